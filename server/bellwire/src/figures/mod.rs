//! `bellwire figures`: what the plans' numbers imply.

mod explain;
mod json;
mod table;
mod text;

pub use explain::NoWorking;

use std::sync::Arc;

use bellwire_plan::figures::Figures;
use bellwire_plan::model::{Site, UnitId};
use bellwire_plan::workspace::Evaluation;

use crate::args::{FiguresArgs, FiguresFormat, today};
use crate::load::Loaded;
use crate::output::plain;
use crate::{Failure, Outcome, output};

/// A site with its figures.
pub struct Row {
    /// What the file is called.
    pub file: String,
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
            eprintln!("bellwire: cannot read `{}`: {}", plain(&name), plain(why));
        }
        let sites = entry.evaluations.iter().filter(|known| known.is_site());
        rows.extend(sites.map(|evaluation| Row {
            file: plans.relative(&path),
            evaluation: evaluation.clone(),
        }));
    }
    if let Some(name) = &args.explain {
        output::write(&explain::write(&rows, name)?)?;
        return Ok(Outcome::Clean);
    }
    let text = match args.format {
        FiguresFormat::Text => text::write(&rows),
        FiguresFormat::Json => json::write(&rows),
    };
    output::write(&text)?;
    Ok(Outcome::Clean)
}

/// The name of a unit.
pub fn unit(site: &Site, unit: UnitId) -> &str {
    site.units.get(unit).map_or("", |unit| &unit.name.value)
}

/// An output as the plan names it: `main.aux`.
pub fn output(site: &Site, (unit, output): (UnitId, usize)) -> String {
    site.terminal_name(bellwire_plan::model::Terminal::Output(unit, output))
}

/// A bus as the plan names it: `main.keys`. `bus` is an index into the unit's buses in the plan.
pub fn bus(site: &Site, (unit_id, bus): (UnitId, usize)) -> String {
    let found = site.units.get(unit_id).and_then(|unit| unit.buses.get(bus));
    let name = found.map_or("", |bus| &bus.name.value);
    format!("{}.{name}", unit(site, unit_id))
}
