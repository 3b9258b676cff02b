//! What stands in a zone.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "input",
        &[Zone],
        &[needs("input", Named(Names::Input))],
        One,
        "The input that reads the loop: the panel's own, or one of an expander.",
        "input x1.2",
    ),
    word(
        "from",
        &[Zone],
        &[several("detector", Named(Names::Detector))],
        One,
        "The detectors on the loop, in order.",
        "from rc1 rc2",
    ),
    word(
        "loop",
        &[Zone],
        &[needs("loop", Named(Names::Loop))],
        Once,
        "How the loop is wired: one of the loops that the input can read. May be left out where there is only one.",
        "loop single",
    ),
    word(
        "entry",
        &[Zone],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long one may take from here to the keypad before it is an alarm.",
        "entry 30 s",
    ),
    word(
        "exit",
        &[Zone],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long one may take from the keypad to here after setting.",
        "exit 45 s",
    ),
];
