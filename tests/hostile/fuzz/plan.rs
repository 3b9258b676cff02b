//! Everything that is made of one text: read, worked out, shown, mended and laid out.

use std::ops::Range;

use bellwire_assist::{self as assist, Edit, FileEdits, HintSettings};
use bellwire_plan::source::{Encoding, File, FilePath};
use bellwire_plan::working::{Subject, working};
use bellwire_plan::workspace::{Entry, View, Workspace};
use bellwire_tests::random::Random;

use crate::common::path;
use crate::random::chance;
use crate::shape;

/// Where spoilt texts stand: beside the demo's sites, so that what they use is there.
pub const NAME: &str = "sites/spoilt.bell";

/// What is shown of a file without a cursor.
pub fn shown(view: &View, entry: &Entry) -> String {
    let all = 0..entry.file.text().len();
    let settings = HintSettings::default();
    format!(
        "{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}",
        assist::tokens(entry, all.clone()),
        assist::folds(entry),
        assist::outline(entry),
        assist::hints(entry, all, settings),
        assist::lenses(entry),
        assist::links(view, entry),
        assist::format(&entry.file)
    )
}

/// Insists that all is well with a text.
pub fn check(world: &mut Workspace, text: &str) {
    // No scanner that tree-sitter generates gets over a NUL.
    shape::compare(&text.replace('\0', " "));
    world.put(vec![File::new(path(NAME), text)]);
    let view = world.view();
    let entry = view.entry(&path(NAME)).expect("the file");
    // Places by chance, but the same ones whenever the text is the same.
    let mut random = chance(text.len() as u64);
    for found in view.findings(&entry) {
        inside(text, [found.range.clone()]);
        assert!(!found.finding.message.is_empty());
        only_numbers(text, &found.finding.message);
        if random.below(8) == 0 {
            let mends = assist::mends(&view, &entry, found.range);
            inside(text, ranges(mends.into_iter().flat_map(|mend| mend.edits)));
        }
    }
    for evaluation in &entry.evaluations {
        let figures = format!("{:?}", evaluation.figures());
        assert!(!figures.contains("NaN"), "{figures}");
        let Some(site) = evaluation.site() else {
            continue;
        };
        for subject in Subject::all(site) {
            let sum = format!("{:?}", working(site, evaluation.figures(), subject));
            only_numbers(text, &sum);
        }
    }
    positions(&entry.file, text, &mut random);
    without_cursor(&view, &entry, text);
    for _ in 0..6 {
        at_cursor(&view, &entry, text, random.place(text), &mut random);
    }
    layout(&view, &entry, text);
}

/// That no number is shown that is none; what the plan itself says may be quoted.
pub fn only_numbers(text: &str, shown: &str) {
    let words = |of: &str, wanted: &str| {
        of.split(|c: char| !c.is_alphanumeric())
            .any(|word| word == wanted)
    };
    for no_number in ["inf", "NaN"] {
        let is_shown = words(shown, no_number) && !words(text, no_number);
        assert!(!is_shown, "{shown} of {text:?}");
    }
}

/// Ranges that lie in the text, and start and end where characters do.
fn inside(text: &str, ranges: impl IntoIterator<Item = Range<usize>>) {
    for range in ranges {
        assert!(text.get(range.clone()).is_some(), "{range:?} in {text:?}");
    }
}

fn ranges(edits: impl IntoIterator<Item = Edit>) -> impl Iterator<Item = Range<usize>> {
    edits.into_iter().map(|edit| edit.range)
}

fn file_edits(files: impl IntoIterator<Item = FileEdits>) {
    for FileEdits { file, edits } in files {
        inside(&file.text().to_string(), ranges(edits));
    }
}

fn positions(file: &File, text: &str, random: &mut Random) {
    for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
        for _ in 0..4 {
            let at = random.place(text);
            // Between the two halves of a line break there is no position.
            if text[..at].ends_with('\r') && text[at..].starts_with('\n') {
                continue;
            }
            let position = file.text().position(at, encoding);
            assert_eq!(file.text().offset(position, encoding), at, "{encoding:?}");
        }
    }
}

fn without_cursor(view: &View, entry: &Entry, text: &str) {
    only_numbers(text, &shown(view, entry));
    let slips = assist::mend_slips(view, entry).into_iter().flatten();
    inside(text, ranges(slips));
    let all = 0..text.len();
    let mut end = 0;
    let tokens = assist::tokens(entry, all);
    let some = assist::tokens(entry, 0..text.len() / 2);
    let mut mended = some.clone();
    if let Some(splice) = assist::delta(&some, &tokens) {
        let end = splice.start + splice.removed;
        mended.splice(splice.start..end, tokens[splice.inserted].to_vec());
    }
    assert!(mended == tokens, "a delta of tokens is wrong in {text:?}");
    for token in tokens {
        assert!(token.range.start >= end, "tokens overlap in {text:?}");
        end = token.range.end;
        inside(text, [token.range]);
    }
    inside(text, assist::outline(entry).into_iter().map(|of| of.range));
    inside(
        text,
        assist::links(view, entry).into_iter().map(|of| of.range),
    );
    for fold in assist::folds(entry) {
        assert!(fold.first < fold.last && fold.last < entry.file.text().lines());
    }
    let own = path(NAME);
    let symbols = assist::symbols(view, "a", 50).into_iter();
    inside(
        text,
        symbols
            .filter(|of| *of.file.path() == own)
            .map(|of| of.range),
    );
    let moved = (own, FilePath::new("/plans/x/y.bell"));
    file_edits(assist::rename_files(view, &[moved]));
}

fn at_cursor(view: &View, entry: &Entry, text: &str, at: usize, random: &mut Random) {
    let hover = assist::hover(view, entry, at);
    for page in hover.iter().map(|of| &of.markdown) {
        assert!(!assist::plain(page).is_empty(), "{page:?}");
        only_numbers(text, page);
    }
    inside(text, hover.map(|of| of.range));
    for found in assist::complete(view, entry, at) {
        inside(text, [found.replace]);
        inside(text, ranges(found.extra));
        if random.below(20) == 0 {
            let page = found.key.and_then(|key| assist::document(view, &key));
            page.map(|page| assist::plain(&page));
        }
    }
    assist::standing(entry, at);
    inside(text, assist::linked(entry, at));
    assist::definition(view, entry, at);
    assist::type_definition(view, entry, at);
    for found in assist::references(view, entry, at, true) {
        let text = found.file.text().to_string();
        inside(&text, found.places.into_iter().map(|of| of.range));
    }
    inside(
        text,
        assist::highlights(entry, at).into_iter().map(|of| of.range),
    );
    let steps = assist::fed_by(entry, at)
        .into_iter()
        .chain(assist::feeds(entry, at));
    inside(text, steps.map(|step| step.to.name_range));
    let mut outer = at..at;
    for range in assist::selections(entry, [at]).into_iter().flatten() {
        assert!(
            range.start <= outer.start && outer.end <= range.end,
            "{text:?} at {at}"
        );
        outer = range.clone();
        inside(text, [range]);
    }
    for typed in ["\n", "}", "{"] {
        inside(text, ranges(assist::on_type(&entry.file, at, typed)));
    }
    let some = at..random.place(text).max(at);
    inside(text, ranges(assist::format_range(&entry.file, some)));
    let _ = assist::prepare_rename(entry, at);
    if let Ok(renamed) = assist::rename(view, entry, at, "other-name") {
        file_edits(renamed);
    }
}

/// To lay a text out changes nothing that it means, and twice is as once.
pub fn layout(view: &View, entry: &Entry, text: &str) {
    let laid = |entry: &Entry, text: &str| {
        let mut laid = text.to_string();
        for edit in assist::format(&entry.file).into_iter().rev() {
            laid.replace_range(edit.range, &edit.text);
        }
        laid
    };
    let once = laid(entry, text);
    if once == text {
        return;
    }
    let after = view.try_out(File::new(path(NAME), &once));
    let twice = laid(&after, &once);
    assert_eq!(once, twice, "{text:?}");
    let before = view.try_out(File::new(path(NAME), text));
    assert_eq!(meaning(&before), meaning(&after), "{text:?}");
}

/// What a file means, places aside.
fn meaning(entry: &Entry) -> Vec<String> {
    let mut meaning = Vec::new();
    for evaluation in &entry.evaluations {
        meaning.push(format!("{:?}", evaluation.figures()));
        for finding in evaluation.findings.iter() {
            // Messages quote the plan as it is laid out.
            meaning.push(finding.code.to_string());
        }
    }
    // What stands in one place comes in no certain order.
    meaning.sort();
    meaning
}
