//! Figures of a plan that is given as text: the whole way from notation to number.

use std::sync::Arc;

use bellwire_plan::day::Day;
use bellwire_plan::figures::{
    BatteryFigures, BusFigures, ConditionFigures, DeviceState, FaultFigures, LegFigures,
    OutputState, Solved, State,
};
use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{Evaluation, NoFiles, Workspace};

/// The first site of a text.
pub struct Plan {
    evaluation: Arc<Evaluation>,
    findings: Vec<&'static str>,
}

impl Plan {
    /// Works out a text. Anything in it that cannot be read is a mistake of the test.
    #[track_caller]
    pub fn new(text: &str) -> Plan {
        let path = FilePath::new("/plan.bell");
        let today = Day {
            year: 2026,
            month: 11,
            day: 25,
        };
        let mut workspace = Workspace::new(Arc::new(NoFiles), today);
        workspace.put(vec![File::new(path.clone(), text)]);
        let view = workspace.view();
        let entry = view.entry(&path).unwrap();
        let findings = view.findings(&entry);
        for found in &findings {
            let code = found.finding.code;
            assert!(
                code.family() != "Reading the plan",
                "{code} at `{}`: {}\n{text}",
                &text[found.range.clone()],
                found.finding.message
            );
        }
        let mut sites = entry.evaluations.iter();
        let site = sites.find(|evaluation| evaluation.is_site());
        Plan {
            evaluation: site.expect("a site").clone(),
            findings: findings
                .iter()
                .map(|found| found.finding.code.name())
                .collect(),
        }
    }

    fn site(&self) -> &bellwire_plan::model::Site {
        self.evaluation.site().unwrap()
    }

    /// A device in a state.
    #[track_caller]
    pub fn device(&self, name: &str, state: State) -> Solved<DeviceState> {
        let mut devices = self.site().devices.iter();
        let device = devices.position(|device| device.name.value == name);
        let figures = self.evaluation.figures();
        let found = figures.device(device.unwrap_or_else(|| panic!("no device {name}")));
        found.expect("it is fed").states[state].clone()
    }

    /// An output in a state: `main.aux`.
    #[track_caller]
    pub fn output(&self, name: &str, state: State) -> Solved<OutputState> {
        let mut outputs = self.evaluation.figures().outputs.iter();
        let found = outputs.find(|output| self.site().output_name(output.id()) == name);
        found.unwrap_or_else(|| panic!("no output {name}")).states[state].clone()
    }

    /// The legs of a run, in the order of the plan.
    #[track_caller]
    pub fn legs(&self, run: &str) -> &[LegFigures] {
        let mut runs = self.site().runs.iter();
        let id = runs.position(|other| other.name.value == run);
        let id = id.unwrap_or_else(|| panic!("no run {run}"));
        self.evaluation.figures().legs_of(id)
    }

    /// What the first battery must do.
    pub fn battery(&self) -> &BatteryFigures {
        &self.evaluation.figures().batteries[0]
    }

    /// What the input of the first zone sees in a condition.
    #[track_caller]
    pub fn condition(&self, name: &str) -> &ConditionFigures {
        let conditions = self.evaluation.figures().zones[0].by_key(self.site());
        let mut found = conditions.into_iter().filter(|(key, _)| key == name);
        let (_, condition) = found
            .next()
            .unwrap_or_else(|| panic!("no condition {name}"));
        condition
    }

    /// The first bus.
    pub fn bus(&self) -> &BusFigures {
        &self.evaluation.figures().buses[0]
    }

    /// Where the cable of the first bus ends.
    pub fn bus_ends(&self) -> Vec<String> {
        let ends = self.bus().ends.iter();
        ends.map(|end| self.site().terminal_name(*end)).collect()
    }

    /// Whether anything in the text has a finding of this code.
    pub fn has_finding(&self, code: &str) -> bool {
        self.findings.contains(&code)
    }

    /// What has no solution.
    pub fn faults(&self) -> &[FaultFigures] {
        &self.evaluation.figures().faults
    }
}
