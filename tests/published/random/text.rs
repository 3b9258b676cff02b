//! A job as a plan.

use std::fmt::Write;

use super::{Cable, End, Job, Path, Place};

impl Job {
    /// The plan: supplies `s0`, `s1`, places `p0` …, runs `r0` ….
    pub fn text(&self) -> String {
        let mut models = String::new();
        let mut site = format!("ambient 0 °C .. {} °C\n", self.celsius);
        self.write(&mut models, &mut site).unwrap();
        format!("{models}site random {{\n{site}}}\n")
    }

    fn write(&self, models: &mut String, site: &mut String) -> std::fmt::Result {
        for (index, supply) in self.supplies.iter().enumerate() {
            writeln!(models, "model supply S{index} {{")?;
            if let Some(cutoff) = supply.cutoff {
                writeln!(models, "charger 1 A\ncutoff {cutoff} V")?;
            }
            let when = if supply.in_alarm { ", in alarm" } else { "" };
            writeln!(models, "output out {} V{when}\n}}", supply.volts)?;
            writeln!(site, "supply s{index} : S{index}")?;
        }
        for (index, place) in self.places.iter().enumerate() {
            match place {
                Place::Joint { ohms } => writeln!(site, "joint p{index}, resistance {ohms} ohm")?,
                Place::Device { standby, alarm } => {
                    writeln!(models, "model detector D{index} {{")?;
                    for (word, draw) in [("standby", standby), ("alarm", alarm)] {
                        if let Some(draw) = draw {
                            writeln!(models, "{word} {}", draw.text())?;
                        }
                    }
                    writeln!(models, "}}")?;
                    writeln!(site, "detector p{index} : D{index}")?;
                }
            }
        }
        for (index, run) in self.runs.iter().enumerate() {
            writeln!(
                models,
                "model cable C{index}, cores 4, {}",
                run.cable.text()
            )?;
            let doubled = if run.doubled { ", doubled" } else { "" };
            writeln!(site, "run r{index} : C{index}{doubled} {{")?;
            for path in &run.paths {
                writeln!(site, "{}", path.text())?;
            }
            writeln!(site, "}}")?;
        }
        Ok(())
    }
}

impl Cable {
    fn text(self) -> String {
        match self {
            Cable::Measured(ohms) => format!("resistance {ohms} ohm/km"),
            Cable::Gauge {
                awg,
                stranded,
                clad,
            } => {
                let strands = if stranded { 7 } else { 1 };
                let metal = if clad { "cca" } else { "copper" };
                format!("conductor {awg} AWG, strands {strands}, metal {metal}")
            }
            Cable::Metric(index) => {
                let mm2 = ["0.5", "0.75", "1"][index];
                format!("conductor {mm2} mm2, strands 7")
            }
        }
    }
}

impl Path {
    fn text(&self) -> String {
        let mut text = self.from.text();
        for (metres, to) in &self.legs {
            write!(text, " --{metres} m-- {}", to.text()).unwrap();
        }
        text
    }
}

impl End {
    fn text(self) -> String {
        match self {
            End::Output(index) => format!("s{index}.out"),
            End::Place(index) => format!("p{index}"),
        }
    }
}
