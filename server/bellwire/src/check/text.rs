//! Findings for people: the plan's lines with the spots marked, and a count.

use std::collections::BTreeSet;
use std::ops::Range;

use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use bellwire_plan::finding::Severity;
use bellwire_plan::source::{File, FilePath};

use super::Row;
use crate::load::Loaded;
use crate::output::{acts, count};

/// The findings, each with its excerpt, and a count at the end.
pub fn write(plans: &Loaded, rows: &[Row], in_colour: bool) -> String {
    let renderer = match in_colour {
        true => Renderer::styled(),
        false => Renderer::plain(),
    };
    let mut text = String::new();
    for row in rows {
        text.push_str(&renderer.render(&[group(plans, row)]));
        text.push_str("\n\n");
    }
    text.push_str(&summary(plans, rows));
    text.push('\n');
    text
}

fn group(plans: &Loaded, row: &Row) -> Group<'static> {
    let found = &row.located.finding;
    let level = match (found.severity, &found.accepted) {
        (_, Some(_)) => Level::NOTE.with_name("accepted"),
        (Severity::Error, _) => Level::ERROR,
        (Severity::Warning, _) => Level::WARNING,
        (Severity::Information, _) => Level::INFO.with_name("information"),
    };
    let title = level.primary_title(clean(&found.message));
    let mut group = Group::with_title(title.id(found.code.name()));
    // The finding's own file first, then the files of the other places.
    let mut places = vec![(
        row.file.clone(),
        vec![(
            AnnotationKind::Primary,
            row.located.range.clone(),
            String::new(),
        )],
    )];
    for (path, range, message) in &row.located.related {
        let mark = (AnnotationKind::Context, range.clone(), clean(message));
        match places.iter_mut().find(|(file, _)| file.path() == path) {
            Some((_, marks)) => marks.push(mark),
            None => places.extend(plans.view.file(path).map(|file| (file, vec![mark]))),
        }
    }
    for (file, marks) in places {
        group = match file.text().is_empty() {
            true => group.element(Origin::path(clean(&plans.relative(file.path())))),
            false => group.element(excerpt(plans, &file, marks)),
        };
    }
    if let Some(reason) = &found.accepted {
        group = group.element(Level::NOTE.message(clean(&format!("accepted: {reason}"))));
    }
    if let Some(mend) = found.mend.as_ref().filter(|_| row.counts()) {
        group = group.element(Level::HELP.message(clean(&mend.title)));
    }
    group
}

/// A place to mark: how, where, and what it is.
type Mark = (AnnotationKind, Range<usize>, String);

/// The lines of a file from the first mark to the last. Of a place that spans
/// several lines, the first is marked.
fn excerpt(plans: &Loaded, file: &File, marks: Vec<Mark>) -> Snippet<'static, Annotation<'static>> {
    let text = file.text();
    let lines = |range: &Range<usize>| text.line(text.line_of(range.start));
    let start = marks.iter().map(|(_, range, _)| lines(range).start).min();
    let start = start.unwrap_or(0);
    let end = marks.iter().map(|(_, range, _)| lines(range).end).max();
    let annotations = marks.iter().map(|(kind, range, message)| {
        let end = range.end.min(lines(range).end).max(range.start);
        let mark = kind.span(range.start - start..end - start);
        match message.is_empty() {
            true => mark,
            false => mark.label(message.clone()),
        }
    });
    Snippet::source(same_length(&text.slice(start..end.unwrap_or(0))))
        .line_start(text.line_of(start) + 1)
        .path(clean(&plans.relative(file.path())))
        .annotations(annotations)
}

/// The lines of the count: `3 errors, 1 warning in 2 of 3 sites`.
fn summary(plans: &Loaded, rows: &[Row]) -> String {
    let files = plans.view.paths().len();
    let sites = plans.sites();
    let of = |severity| {
        let counted = rows.iter().filter(|row| row.counts());
        counted
            .filter(|row| row.located.finding.severity == severity)
            .count()
    };
    let mut counts = Vec::new();
    for (severity, one) in [(Severity::Error, "error"), (Severity::Warning, "warning")] {
        if of(severity) > 0 {
            counts.push(count(of(severity), one));
        }
    }
    if of(Severity::Information) > 0 {
        counts.push(format!("{} for information", of(Severity::Information)));
    }
    let accepted = rows.iter().filter(|row| !row.counts()).count();
    if accepted > 0 {
        counts.push(format!("{accepted} accepted"));
    }
    let whole = format!("{}, {}", count(sites, "site"), count(files, "file"));
    if counts.is_empty() {
        return format!("nothing found in {whole}");
    }
    let counts = counts.join(", ");
    let touched: BTreeSet<(&FilePath, &str)> = rows
        .iter()
        .filter_map(|row| Some((row.file.path(), row.located.site.as_deref()?)))
        .collect();
    let touched_files: BTreeSet<&FilePath> = rows.iter().map(|row| row.file.path()).collect();
    match touched.len() {
        0 => format!(
            "{counts} in {} of {}",
            touched_files.len(),
            count(files, "file")
        ),
        touched => format!("{counts} in {touched} of {}", count(sites, "site")),
    }
}

/// `text` without what a terminal acts on.
fn clean(text: &str) -> String {
    crate::output::plain(text).into_owned()
}

/// Lines without what a terminal acts on, every byte where it was: places in
/// them still hold. Line breaks become LF; tabs are left to the renderer.
fn same_length(lines: &str) -> String {
    let mut out = String::with_capacity(lines.len());
    let mut characters = lines.chars().peekable();
    while let Some(c) = characters.next() {
        match c {
            '\n' | '\t' => out.push(c),
            '\r' if characters.peek() == Some(&'\n') => out.push(' '),
            '\r' => out.push('\n'),
            c if acts(c) => out.push_str(match c.len_utf8() {
                1 => "?",
                2 => "\u{b7}",
                _ => "\u{fffd}",
            }),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::same_length;

    #[test]
    fn excerpts_keep_every_byte_in_its_place() {
        let lines = "a\u{1b}[31m \u{9b}x \u{202e}y\r\nb\rΩ\tc";
        let clean = same_length(lines);
        assert_eq!(clean, "a?[31m ·x \u{fffd}y \nb\nΩ\tc");
        assert_eq!(clean.len(), lines.len());
    }
}
