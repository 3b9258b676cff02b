//! No feature stumbles over a text that is being typed: every one is asked in
//! every state of the demo's files, at the cursor and elsewhere.

use bellwire_plan::source::FilePath;

use crate::fixture::fixture;
use crate::*;

/// Ranges that lie in the text, and start where characters start.
fn inside(text: &str, ranges: impl IntoIterator<Item = std::ops::Range<usize>>) {
    for range in ranges {
        assert!(text.get(range.clone()).is_some(), "{range:?} in {text}");
    }
}

fn ask_everything(path: &str, text: &str) {
    let (view, entry, offset) = fixture(&format!("//- {path}\n{text}"));
    let all = 0..text.len();
    let settings = HintSettings::default();
    let hints = hints(&entry, all.clone(), settings);
    inside(text, hints.into_iter().map(|hint| hint.offset..hint.offset));
    let lenses = lenses(&entry).into_iter();
    inside(text, lenses.flat_map(|lens| [lens.range, lens.target]));
    inside(
        text,
        tokens(&entry, all).into_iter().map(|token| token.range),
    );
    inside(
        text,
        links(&view, &entry).into_iter().map(|link| link.range),
    );
    inside(text, outline(&entry).into_iter().map(|symbol| symbol.range));
    for fold in folds(&entry) {
        assert!(fold.last < entry.file.text().lines());
    }
    let own = |found: FoundSymbol| (found.file.path().as_str() == path).then_some(found.range);
    inside(text, symbols(&view, "r", 99).into_iter().filter_map(own));
    rename_files(&view, &[(FilePath::new(path), FilePath::new("x/y.bell"))]);
    inside(text, format(&entry.file).into_iter().map(|edit| edit.range));
    for offset in [offset, offset / 2, offset.saturating_sub(9), offset + 9] {
        definition(&view, &entry, offset);
        type_definition(&view, &entry, offset);
        for found in references(&view, &entry, offset, true) {
            let text = found.file.text().to_string();
            inside(&text, found.places.into_iter().map(|place| place.range));
        }
        let _ = prepare_rename(&entry, offset);
        let renamed = rename(&view, &entry, offset, "new-name");
        let _ = renamed.map(Iterator::count);
        inside(text, selections(&entry, [offset]).into_iter().flatten());
        let completions = complete(&view, &entry, offset).into_iter();
        inside(text, completions.map(|completion| completion.replace));
        inside(text, hover(&view, &entry, offset).map(|hover| hover.range));
        on_type(&entry.file, offset, "\n");
        on_type(&entry.file, offset, "}");
        let marks = highlights(&entry, offset).into_iter();
        inside(text, marks.map(|mark| mark.range));
        let steps = fed_by(&entry, offset)
            .into_iter()
            .chain(feeds(&entry, offset));
        inside(text, steps.map(|step| step.to.name_range));
    }
}

#[test]
fn every_beginning_of_a_plan() {
    let text = include_str!("fixture/harbour.bell");
    let starts = text.char_indices().map(|(at, _)| at).step_by(3).skip(1);
    for end in starts {
        ask_everything("sites/harbour.bell", &text[..end]);
    }
}

#[test]
fn every_beginning_of_a_catalog() {
    let text = include_str!("fixture/merrow.bell");
    let starts = text.char_indices().map(|(at, _)| at).step_by(5).skip(1);
    for end in starts {
        ask_everything("catalog/merrow.bell", &text[..end]);
    }
}

#[test]
fn every_plan_with_a_line_left_out() {
    let text = include_str!("fixture/harbour.bell");
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    for left_out in 0..lines.len() {
        let mut rest = lines.clone();
        rest.remove(left_out);
        ask_everything("sites/harbour.bell", &rest.concat());
    }
}
