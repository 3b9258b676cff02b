//! The language loads, and every query fits it.

use super::support::{Plan, parser};
use tree_sitter::{Language, Query, QueryCursor, StreamingIterator};
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

/// What the tags declare in a plan, in order.
fn declared(text: &str) -> Vec<String> {
    let query = Query::new(&Language::new(bellwire::LANGUAGE), bellwire::TAGS_QUERY).unwrap();
    let kinds = query.capture_names();
    let plan = Plan::new(&mut parser(), text);
    let mut cursor = QueryCursor::new();
    let mut matches = cursor.matches(&query, plan.tree.root_node(), text.as_bytes());
    let mut names = Vec::new();
    while let Some(found) = matches.next() {
        let captured = |start: &str| {
            let of_kind = |index: u32| kinds[index as usize].starts_with(start);
            found.captures().iter().find(|one| of_kind(one.index))
        };
        if let (Some(_), Some(name)) = (captured("definition"), captured("name")) {
            names.push(text[name.node.byte_range()].to_owned());
        }
    }
    names
}

#[test]
fn tags_declare_what_has_a_label_a_model_or_a_block() {
    let text = "model panel M8 \"Eight zones\"\njoint j1 \"Void\"\nkeypad a : K2\nbus keys { }\nzone 4 \"Shop\"";
    assert_eq!(declared(text), ["M8", "j1", "a", "keys", "4"]);
}

#[test]
fn tags_declare_nothing_by_arguments_alone() {
    let text =
        "accept far-from-supply \"seen on site\"\nmetal copper\nnote \"x\"\ncutoff 10.5 V { }";
    assert_eq!(declared(text), [""; 0]);
}
