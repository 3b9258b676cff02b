//! The language loads, and every query fits it.

use tree_sitter::{Language, Query};
use tree_sitter_bellwire as bellwire;

#[test]
fn queries_fit_the_language() {
    let language = Language::new(bellwire::LANGUAGE);
    for (name, query) in [
        ("highlights", bellwire::HIGHLIGHTS_QUERY),
        ("folds", bellwire::FOLDS_QUERY),
        ("indents", bellwire::INDENTS_QUERY),
        ("injections", bellwire::INJECTIONS_QUERY),
        ("locals", bellwire::LOCALS_QUERY),
        ("tags", bellwire::TAGS_QUERY),
        ("textobjects", bellwire::TEXTOBJECTS_QUERY),
    ] {
        let query = Query::new(&language, query).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(query.pattern_count() > 0, "{name} is empty");
    }
}

#[test]
fn node_types_are_those_of_the_language() {
    let language = Language::new(bellwire::LANGUAGE);
    for kind in [
        "plan",
        "statement",
        "path",
        "fragment",
        "model",
        "clause",
        "block",
        "stray_close",
        "point",
        "leg",
        "name",
        "reference",
        "part",
        "quantity",
        "number",
        "unit",
        "range",
        "date",
        "string",
        "stray",
        "comment",
    ] {
        assert_ne!(language.id_for_node_kind(kind, true), 0, "no kind {kind}");
        assert!(bellwire::NODE_TYPES.contains(&format!("\"type\": \"{kind}\"")));
    }
}
