//! Findings for people: the plan's lines with the spots marked, and a count.

use std::collections::BTreeSet;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use bellwire_plan::finding::Severity;
use bellwire_plan::sentence::count;
use bellwire_plan::source::{File, FilePath};
use rayon::prelude::*;

use super::{Region, Row};
use crate::load::Loaded;
use crate::output::{acts, wrapped};

/// The findings, each with its excerpt, and a count at the end. Messages are in lines of at
/// most so many columns.
pub fn write(plans: &Loaded, rows: &[Row], in_colour: bool, columns: Option<usize>) -> String {
    let renderer = match in_colour {
        true => Renderer::styled(),
        false => Renderer::plain(),
    };
    // Of a longer line of the plan, what is around its marks.
    let renderer = match columns {
        Some(columns) => renderer.term_width(columns.max(40)),
        None => renderer,
    };
    let rendered = |row: &Row| renderer.render(&[group(plans, row, columns)]);
    let mut parts: Vec<String> = rows.par_iter().map(rendered).collect();
    parts.push(summary(plans, rows) + "\n");
    parts.join("\n\n")
}

fn group(plans: &Loaded, row: &Row, columns: Option<usize>) -> Group<'static> {
    let found = &row.located.finding;
    let (level, name) = match (found.severity, &found.accepted) {
        (_, Some(_)) => (Level::NOTE, "accepted"),
        (Severity::Error, _) => (Level::ERROR, "error"),
        (Severity::Warning, _) => (Level::WARNING, "warning"),
        (Severity::Information, _) => (Level::INFO, "information"),
    };
    let message = clean(&found.message);
    let message = match columns {
        // Its further lines stand under the first, behind `error[code]: `.
        Some(columns) => folded(&message, columns, name.len() + found.code.name().len() + 4),
        None => message,
    };
    let title = level.with_name(name).primary_title(message);
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
    for (file, range, message) in &row.located.related {
        let mark = (AnnotationKind::Context, range.clone(), clean(message));
        let mut known = places.iter_mut();
        match known.find(|(other, _)| other.path() == file.path()) {
            Some((_, marks)) => marks.push(mark),
            None => places.push((file.clone(), vec![mark])),
        }
    }
    for (file, marks) in places {
        for marks in near(&file, marks) {
            group = excerpt(group, plans, &file, marks);
        }
    }
    if let Some(reason) = &found.accepted {
        group = group.element(Level::NOTE.message(clean(&format!("accepted: {reason}"))));
    }
    if let Some(mend) = found.mend.as_ref().filter(|_| row.counts()) {
        group = group.element(Level::HELP.message(clean(&mend.title)));
    }
    group
}

/// A message in lines that end with a word, where so many columns leave room for more than a
/// few words beside what stands before it.
fn folded(message: &str, columns: usize, before: usize) -> String {
    let room = columns.saturating_sub(before);
    match room >= 24 {
        true => wrapped(message, room).join("\n"),
        false => message.to_string(),
    }
}

/// A place to mark: how, where, and what it is.
type Mark = (AnnotationKind, Range<usize>, String);

/// The longest excerpt, in bytes: rendering one takes time in proportion to the
/// square of its width, and nobody reads more.
const LONGEST: usize = 2048;

/// The lines that hold a mark's start.
fn line(file: &File, mark: &Mark) -> Range<usize> {
    let text = file.text();
    text.line(text.line_of(mark.1.start))
}

/// Marks that fit into one excerpt together, the first mark's first.
fn near(file: &File, marks: Vec<Mark>) -> Vec<Vec<Mark>> {
    let mut groups: Vec<(Range<usize>, Vec<Mark>)> = Vec::new();
    for mark in marks {
        let own = line(file, &mark);
        let with = |group: &Range<usize>| group.start.min(own.start)..group.end.max(own.end);
        let fitting = groups
            .iter_mut()
            .find(|(lines, _)| with(lines).len() <= LONGEST);
        match fitting {
            Some((lines, group)) => {
                *lines = with(lines);
                group.push(mark);
            }
            None => groups.push((own, vec![mark])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// Adds the lines of a file from the first mark to the last; of lines that are
/// too long to show, only where they are. Of a place that spans several lines,
/// the first is marked.
fn excerpt(
    mut group: Group<'static>,
    plans: &Loaded,
    file: &File,
    marks: Vec<Mark>,
) -> Group<'static> {
    let text = file.text();
    let path = clean(&plans.relative(file.path()));
    if text.is_empty() {
        return group.element(Origin::path(path));
    }
    let start = marks.iter().map(|mark| line(file, mark).start).min();
    let start = start.unwrap_or(0);
    let end = marks.iter().map(|mark| line(file, mark).end).max();
    let end = end.unwrap_or(start);
    if end - start > LONGEST {
        for (_, range, message) in marks {
            let Region { line, column, .. } = Region::of(file, &range);
            let origin = Origin::path(path.clone()).line(line as usize);
            group = group.element(origin.char_column(column as usize));
            if !message.is_empty() {
                group = group.element(Level::NOTE.message(message));
            }
        }
        return group;
    }
    let annotations = marks.iter().map(|mark| {
        let (kind, range, message) = mark;
        let end = range.end.min(line(file, mark).end).max(range.start);
        let mark = kind.span(range.start - start..end - start);
        match message.is_empty() {
            true => mark,
            false => mark.label(message.clone()),
        }
    });
    group.element(
        Snippet::source(same_length(&text.slice(start..end)))
            .line_start(text.line_of(start) + 1)
            .path(path)
            .annotations(annotations),
    )
}

/// The lines of the count: `3 errors, 1 warning in 2 of 3 sites`.
fn summary(plans: &Loaded, rows: &[Row]) -> String {
    let (files, sites) = plans.view.counts();
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
    use super::{folded, same_length};

    #[test]
    fn messages_break_between_words_where_there_is_room() {
        let message = "yard gets 9.1 V with the battery at its end";
        let lines = "yard gets 9.1 V with the\nbattery at its end";
        assert_eq!(folded(message, 44, 20), lines);
        assert_eq!(folded(message, 120, 20), message);
        assert_eq!(folded(message, 40, 20), message);
    }

    #[test]
    fn excerpts_keep_every_byte_in_its_place() {
        let lines = "a\u{1b}[31m \u{9b}x \u{202e}y\r\nb\rΩ\tc";
        let clean = same_length(lines);
        assert_eq!(clean, "a?[31m ·x \u{fffd}y \nb\nΩ\tc");
        assert_eq!(clean.len(), lines.len());
    }
}
