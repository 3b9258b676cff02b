//! What may stand outside every statement.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "use",
        &[File],
        &[needs("path", PathText)],
        Many,
        "Brings the names that another file declares into this one. The path is seen from this file's folder and stays inside the workspace. Names that the other file itself only uses do not come along.",
        "use \"../catalog/merrow.bell\"",
    ),
    word(
        "model",
        &[File],
        &[needs("kind", Kind(None)), NAME, LABEL],
        Many,
        "Describes a product, once for all plans that fit it.",
        "model detector RC \"Recessed contact\" { contact alarm, closed }",
    )
    .opens_by_kind(),
    word(
        "rules",
        &[File],
        &[NAME, LABEL],
        Many,
        "A rule set: what a system must hold out, and what is kept in hand. Built on another, it takes over what it does not say itself.",
        "rules house : intruder-grade-2 { standby 24 h }",
    )
    .may_be_of(Names::Rules)
    .opens(Rules),
    word(
        "monitoring",
        &[File],
        &[NAME, LABEL],
        Many,
        "A centre that sites report to. Each account there serves one site.",
        "monitoring northgate \"Northgate monitoring\"",
    )
    .opens(Monitoring),
    word(
        "site",
        &[File],
        &[NAME, LABEL],
        Many,
        "One customer's premises: panels, supplies, devices, and the cables between them.",
        "site harbour \"Harbour Street\" { … }",
    )
    .opens(Site),
];
