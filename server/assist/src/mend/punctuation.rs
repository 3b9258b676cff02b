//! A mark that is missing between two words.

use bellwire_plan::vocabulary::word;
use bellwire_plan::workspace::{Entry, Located};

use super::{Proposal, around_finding};
use crate::edit::Edit;

/// A comma that is missing before a word, or a colon before a model.
pub(super) fn punctuation(entry: &Entry, found: &Located) -> Option<Proposal> {
    let text = entry.file.text();
    let line = text.line(text.line_of(found.range.start));
    let head = text.slice(line.start..found.range.start);
    let end = line.start + head.trim_end().len();
    let what = text.slice(found.range.clone());
    let what = what.split_whitespace().next()?;
    let around = around_finding(found.item.as_ref()?, found);
    let innermost = around.last()?;
    let is_word = around
        .iter()
        .filter_map(|around| around.inner)
        .any(|inner| word(what, inner).is_some());
    let is_name = what.starts_with(char::is_alphabetic);
    let takes_model =
        is_name && innermost.word?.model.is_some() && innermost.statement.model.is_none();
    let is_listed = innermost.word?.list;
    let (mark, called) = match (is_word || is_listed, takes_model) {
        (true, _) => (", ", "comma"),
        (false, true) => (" : ", "colon"),
        (false, false) => return None,
    };
    let edit = Edit {
        range: end..found.range.start,
        text: mark.to_string(),
    };
    let title = format!("Put a {called} before `{what}`");
    let mut proposal = Proposal::new(title, vec![edit]).slip();
    proposal.guess = true;
    Some(proposal)
}
