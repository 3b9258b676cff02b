//! The working: a sum as an engineer would write it, line by line, with where
//! each value comes from, held against its limits. Plain text, worked out when
//! somebody asks.

mod along;
mod battery;
mod bus;
mod device;
mod joint;
mod layout;
mod load;
mod run;
mod subject;
#[cfg(test)]
mod tests;
mod zone;

use crate::decimal::{self, fixed};
use crate::figures::Figures;
use crate::model::Site;
use crate::table::Table;

pub use subject::{Subject, subjects};

/// A sum, in parts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Working {
    /// What it is about.
    pub title: String,
    /// In the order of the sum.
    pub parts: Vec<Part>,
}

/// One part of a sum: a table, and what there is to say about it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Part {
    /// What is worked out.
    pub heading: String,
    /// The lines of the sum; columns have no titles if there is nothing to say.
    pub table: Table,
    /// Sentences: sources, and what was assumed.
    pub notes: Vec<String>,
}

impl Part {
    /// An empty part. A column whose title starts with a blank leans right.
    fn new(heading: impl Into<String>, columns: &[&str]) -> Part {
        Part {
            heading: heading.into(),
            table: Table::new(columns),
            notes: Vec::new(),
        }
    }

    /// A part of lines: what, the sum, and what comes out.
    fn sum(heading: impl Into<String>) -> Part {
        Part::new(heading, &["", "", " "])
    }

    fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.table.row(cells);
    }

    fn line(&mut self, what: impl Into<String>, sum: impl Into<String>, result: impl Into<String>) {
        self.table.row([what.into(), sum.into(), result.into()]);
    }

    fn note(&mut self, note: impl Into<String>) {
        let note = note.into();
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}

/// The working for one thing of a site.
pub fn working(site: &Site, figures: &Figures, of: Subject) -> Option<Working> {
    match of {
        Subject::Device(id) => device::working(site, figures, id),
        Subject::Output(id) => load::working(site, figures, id),
        Subject::Unit(id) => battery::working(site, figures, id),
        Subject::Zone(id) => zone::working(site, figures, id),
        Subject::Bus(block) => bus::working(site, figures, block),
        Subject::Run(id) => run::working(site, figures, id),
        Subject::Joint(id) => joint::working(site, figures, id),
    }
}

/// What a working is about: the name, and the label behind it.
fn titled(name: &str, label: Option<&str>) -> String {
    match label {
        Some(label) => format!("{name} \"{label}\""),
        None => name.to_string(),
    }
}

fn volts(value: f64) -> String {
    format!("{} V", fixed(value, 3))
}

fn amperes(value: f64) -> String {
    format!("{} A", fixed(value, 3))
}

fn ampere_hours(value: f64) -> String {
    format!("{} Ah", fixed(value, 2))
}

/// A value as `write` has it; `?` for one that is not known.
fn known(value: Option<f64>, write: impl FnOnce(f64) -> String) -> String {
    value.map_or("?".to_string(), write)
}

/// What a plan says, which has few decimals.
fn short(value: f64) -> String {
    decimal::short(value, 3)
}
