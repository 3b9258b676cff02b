//! `bellwire figures`: what the plans' numbers imply.

mod explain;
mod json;
mod table;
mod text;

pub use explain::NoWorking;

use std::sync::Arc;

use bellwire_plan::figures::Figures;
use bellwire_plan::finding::{Code, Severity};
use bellwire_plan::model::{OutputId, Site, UnitId};
use bellwire_plan::source::Item;
use bellwire_plan::workspace::{Entry, Evaluation, Located, View};

use crate::args::{FiguresArgs, FiguresFormat};
use crate::load::Loaded;
use crate::today::today;
use crate::{Failure, Outcome, output};

/// A site with its figures.
pub struct Row {
    /// What the file is called.
    pub file: String,
    /// How much of the site and of what it uses could not be read.
    pub unread: usize,
    evaluation: Arc<Evaluation>,
}

impl Row {
    /// The site.
    pub fn site(&self) -> Option<&Site> {
        self.evaluation.site()
    }

    /// Its figures.
    pub fn figures(&self) -> &Figures {
        self.evaluation.figures()
    }
}

/// Runs the command.
///
/// # Errors
/// The plans cannot be read, or the output cannot be written.
pub fn run(args: &FiguresArgs) -> Result<Outcome, Failure> {
    let plans = Loaded::new(&args.plans, today())?;
    let mut rows = Vec::new();
    for path in plans.view.paths() {
        let Some(entry) = plans.view.entry(&path) else {
            continue;
        };
        if let Some(why) = entry.file.unreadable_because() {
            let name = plans.relative(&path);
            output::tell(&format!("cannot read `{name}`: {why}"));
        }
        let sites: Vec<_> = entry.evaluations.iter().filter(|of| of.is_site()).collect();
        if sites.is_empty() {
            continue;
        }
        let unread = Unread::new(&plans.view, &entry);
        rows.extend(sites.into_iter().map(|evaluation| Row {
            file: plans.relative(&path),
            unread: unread.of(&evaluation.item),
            evaluation: evaluation.clone(),
        }));
    }
    if let Some(name) = &args.explain {
        output::write(&explain::write(&rows, name)?)?;
        return Ok(Outcome::Clean);
    }
    let text = match args.format {
        FiguresFormat::Text => text::write(&rows, output::columns()),
        FiguresFormat::Json => json::write(&rows)?,
    };
    output::write(&text)?;
    Ok(Outcome::Clean)
}

/// What could not be read in a file and in those that it uses: figures of its
/// sites may lack what was meant there.
struct Unread {
    /// The item of each; `None` for what belongs to no site.
    found: Vec<Option<u64>>,
}

impl Unread {
    fn new(view: &View, entry: &Entry) -> Unread {
        let mut found = Vec::new();
        let sites = entry.evaluations.iter().filter(|of| of.is_site());
        let sites: Vec<u64> = sites.map(|of| of.item.id).collect();
        for located in view.findings(entry).iter().filter(|of| is_unread(of)) {
            let item = located.item.as_ref().map(|item| item.id);
            found.push(item.filter(|id| sites.contains(id)));
        }
        for import in &entry.imports {
            let Some(used) = view.entry(&import.target) else {
                continue;
            };
            let located = view.findings(&used);
            let others = located
                .iter()
                .filter(|of| is_unread(of) && of.site.is_none());
            found.extend(others.map(|_| None));
        }
        Unread { found }
    }

    fn of(&self, site: &Item) -> usize {
        let own = |item: &&Option<u64>| item.is_none_or(|id| id == site.id);
        self.found.iter().filter(own).count()
    }
}

/// Whether a finding says that something in the text means nothing.
fn is_unread(located: &Located) -> bool {
    let finding = &located.finding;
    let reading = finding.code.is_of_reading() || finding.code == Code::NameTaken;
    reading && finding.severity == Severity::Error && finding.accepted.is_none()
}

/// The name of a unit.
pub fn unit(site: &Site, unit: UnitId) -> &str {
    site.units.get(unit).map_or("", |unit| &unit.name.value)
}

/// The outputs that something hangs on, joined by ` + `; `None` if there are none.
pub fn joined(site: &Site, outputs: &[OutputId]) -> Option<String> {
    let names: Vec<String> = outputs.iter().map(|of| site.output_name(*of)).collect();
    (!names.is_empty()).then(|| names.join(" + "))
}
