//! How the site at the cursor stands: a request of our own, for status lines.

use bellwire_assist as assist;
use serde::Serialize;
use tower_lsp::ls_types::{Location, Position};

use crate::serve::shown::shown;
use crate::serve::snapshot::Snapshot;

/// The method: takes `TextDocumentPositionParams`, answers with [`Standing`] or null.
pub const STANDING: &str = "bellwire/standing";

/// The answer.
#[derive(Debug, Serialize)]
pub struct Standing {
    /// The site's name.
    site: String,
    /// The device with least to spare.
    device: String,
    /// Where it is declared.
    location: Location,
    /// Whether it works; false also where there is no solution.
    works: bool,
    /// The state in which it is closest to its limits: `battery-alarm`.
    state: Option<&'static str>,
    /// What it gets in that state.
    volts: Option<f64>,
    /// Volts to spare; negative where it does not work.
    spare: Option<f64>,
    /// `rear 0.08 V to spare`
    text: String,
    /// The same in a sentence.
    detail: String,
}

/// How the site at a position stands.
pub fn standing(file: &Snapshot, position: Position) -> Option<Standing> {
    let found = assist::standing(&file.entry, file.offset(position))?;
    let uri = file.edge.uri(file.name())?;
    Some(Standing {
        site: shown(&found.site),
        device: shown(&found.device),
        location: Location::new(uri, file.range(&found.range)),
        works: found.gets.is_some_and(|gets| gets.spare >= 0.0),
        state: found.gets.map(|gets| gets.state.name()),
        volts: found.gets.map(|gets| gets.volts),
        spare: found.gets.map(|gets| gets.spare),
        text: shown(&found.text),
        detail: shown(&found.detail),
    })
}
