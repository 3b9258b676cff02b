//! Outputs, as the models of panels and supplies have them.

use super::read::{amount, own_amount, owned};
use crate::model::at::At;
use crate::model::words::Words;
use crate::vocabulary::{Context, Dimension};

/// An output.
#[derive(Debug)]
pub struct OutputModel {
    /// Its name.
    pub name: At<String>,
    /// Its voltage on mains; `None` while that cannot be read.
    pub volts: Option<f64>,
    /// What it can carry, amperes.
    pub limit: Option<At<f64>>,
    /// Whether it is on in alarm only.
    pub in_alarm: bool,
    /// There is more that cannot be read, and may say that it is on in alarm only.
    pub in_alarm_unread: bool,
}

pub(super) fn output_model(words: Words) -> Option<OutputModel> {
    Some(OutputModel {
        name: owned(words.name()?),
        volts: own_amount(words, Dimension::Voltage).map(|at| at.value),
        limit: amount(words, "limit", Dimension::Current),
        in_alarm: words.has("in"),
        in_alarm_unread: !words.has("in") && words.has_unread(Context::OutputModel),
    })
}
