//! The language loads, and every query fits it.

use std::path::Path;

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

/// Helix has names of its own for some captures, so queries of its own. It says nothing of one
/// that does not fit.
#[test]
fn the_queries_of_helix_fit_the_language() {
    let language = Language::new(bellwire::LANGUAGE);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../editors/helix/queries");
    let mut count = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let query = std::fs::read_to_string(&path).unwrap();
        Query::new(&language, &query).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        count += 1;
    }
    assert!(count > 0);
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

/// What a query captures in a plan, match by match: the captures' names and texts.
fn matches(query: &str, text: &str) -> Vec<Vec<(String, String)>> {
    let query = Query::new(&Language::new(bellwire::LANGUAGE), query).unwrap();
    let plan = Plan::new(&mut parser(), text);
    let mut cursor = QueryCursor::new();
    let mut found = cursor.matches(&query, plan.tree.root_node(), text.as_bytes());
    let mut all = Vec::new();
    while let Some(one) = found.next() {
        let captures = one.captures().iter().map(|capture| {
            let name = query.capture_names()[capture.index as usize];
            (name.to_owned(), text[capture.node.byte_range()].to_owned())
        });
        all.push(captures.collect());
    }
    all
}

/// The texts that are captured by a name, each once, in order.
fn captured(query: &str, text: &str, name: &str) -> Vec<String> {
    let captures = matches(query, text).into_iter().flatten();
    let mut texts: Vec<String> = Vec::new();
    for (_, text) in captures.filter(|(of, _)| of == name) {
        if !texts.contains(&text) {
            texts.push(text);
        }
    }
    texts
}

/// What the tags declare in a plan, in order.
fn declared(text: &str) -> Vec<String> {
    let declarations = matches(bellwire::TAGS_QUERY, text).into_iter();
    let declarations = declarations.filter(|captures| {
        let mut names = captures.iter().map(|(name, _)| name);
        names.any(|name| name.starts_with("definition"))
    });
    let names = declarations.flatten().filter(|(of, _)| of == "name");
    names.map(|(_, text)| text).collect()
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

const PLAN: &str = "\
# Why.
site a {
  # First.
  # Second.
  panel main \"Hall\" : M8, revision 4.2 {
    partition 1
  }
  run r : four { main.keys --12 m-- front }
}
";

#[test]
fn blocks_and_comments_fold() {
    let folded = captured(bellwire::FOLDS_QUERY, PLAN, "fold");
    let starts: Vec<&str> = folded.iter().map(|text| text.trim_end()).collect();
    for fold in ["# First.", "# Second.", "{\n    partition 1\n  }"] {
        assert!(starts.contains(&fold), "{fold} in {starts:?}");
    }
    assert!(starts.iter().any(|text| text.starts_with("{\n  # First.")));
}

#[test]
fn each_block_is_a_step_in_closed_or_not() {
    let text = "site a {\n  panel main : M8 {\n    partition 1\n  }\n  bus keys {\n";
    let steps = matches(bellwire::INDENTS_QUERY, text).into_iter().flatten();
    let steps: Vec<_> = steps
        .map(|(name, text)| {
            (
                name,
                text.lines().nth(1).unwrap_or("").trim().to_owned() + &text[..1],
            )
        })
        .collect();
    let step = |name: &str, text: &str| (name.to_owned(), text.to_owned());
    assert_eq!(
        steps,
        [
            step("indent.begin", "panel main : M8 {{"),
            step("indent.begin", "partition 1{"),
            step("indent.branch", "}"),
            step("indent.end", "}"),
            step("indent.begin", "{"),
        ]
    );
}

#[test]
fn comments_and_nothing_else_are_read_as_comments() {
    let text = "# TODO: look\nsite a {\n  note \"# none\"  # FIXME\n}\n";
    let read = captured(bellwire::INJECTIONS_QUERY, text, "injection.content");
    assert_eq!(read, ["# TODO: look", "# FIXME"]);
    let language = Language::new(bellwire::LANGUAGE);
    let query = Query::new(&language, bellwire::INJECTIONS_QUERY).unwrap();
    let settings = query.property_settings(0).iter();
    let settings = settings.map(|set| (&*set.key, set.value.as_deref()));
    let language = ("injection.language", Some("comment"));
    assert_eq!(settings.collect::<Vec<_>>(), [language]);
}

#[test]
fn a_name_is_known_in_the_block_around_it() {
    let locals = |name| captured(bellwire::LOCALS_QUERY, PLAN, name);
    let scopes = locals("local.scope");
    assert_eq!(scopes.len(), 2, "{scopes:?}");
    assert!(scopes[1].starts_with("{\n  # First."), "{scopes:?}");
    assert_eq!(locals("local.definition"), ["a", "main", "r"]);
    assert_eq!(locals("local.reference"), ["M8", "four", "main", "front"]);
}

#[test]
fn statements_blocks_and_clauses_can_be_selected() {
    let objects = |name| captured(bellwire::TEXTOBJECTS_QUERY, PLAN, name);
    assert_eq!(objects("parameter.outer"), [", revision 4.2"]);
    assert_eq!(objects("parameter.inner"), ["revision", "4.2"]);
    assert!(objects("statement.outer").contains(&"partition 1".to_owned()));
    assert!(objects("class.inner").contains(&"partition 1".to_owned()));
    let runs = objects("class.outer").into_iter();
    let runs: Vec<_> = runs.filter(|text| text.starts_with("run")).collect();
    assert_eq!(runs, ["run r : four { main.keys --12 m-- front }"]);
}
