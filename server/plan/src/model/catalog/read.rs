//! Reading what models of several kinds say.

use bellwire_circuit::Draw;

use crate::model::at::At;
use crate::model::words::{Amount, Words};
use crate::source::Span;
use crate::vocabulary::{Context, Dimension, Kind, What, keeps_within, kind, word};

/// Where a model says what it draws in standby and in alarm.
#[derive(Debug, Clone, Copy)]
pub struct DrawsAt {
    /// In standby.
    pub standby: Span,
    /// In alarm.
    pub alarm: Span,
}

/// The draws in standby and alarm: each defaults as the vocabulary says, unless there is more
/// that cannot be read and may be meant for it.
pub(super) fn draws(words: Words, has_more: bool) -> (Option<Draw>, Option<Draw>) {
    let draw = |keyword| draw(words, keyword).map(|draw| draw.value);
    match (words.has("standby"), words.has("alarm")) {
        _ if has_more => (draw("standby"), draw("alarm")),
        (true, false) => (draw("standby"), draw("standby")),
        (false, true) => (Some(Draw::Amperes(0.0)), draw("alarm")),
        _ => (draw("standby"), draw("alarm")),
    }
}

pub(super) fn draw_named(words: Words) -> bool {
    words.has("standby") || words.has("alarm")
}

pub(super) fn draws_at(words: Words) -> Option<DrawsAt> {
    let place = |keyword| draw(words, keyword).map(|draw| draw.span);
    Some(DrawsAt {
        standby: place("standby")?,
        alarm: place("alarm")?,
    })
}

/// The name that a statement starts with, if it is one that may stand there.
pub(super) fn chosen(words: Words, context: Context) -> Option<&'static str> {
    let name = words.name()?.value;
    let slot = word(words.keyword(), context)?.slots.first()?;
    match slot.what {
        What::Choice(choices) => {
            let mut choices = choices.iter();
            choices.find_map(|(choice, _)| (*choice == name).then_some(*choice))
        }
        _ => None,
    }
}

/// Lines that count together: while one of them cannot be read, none do.
pub(super) fn all_or_none<T>(lines: impl Iterator<Item = Option<T>>) -> Vec<T> {
    lines.collect::<Option<Vec<T>>>().unwrap_or_default()
}

/// The number that stands where a range of all that there are belongs. `8` for eight of them is
/// a slip, and the eighth alone is `8 .. 8`.
pub(super) fn alone(words: Words) -> Option<At<u32>> {
    let (first, last) = words.whole_range()?.value;
    let number = words.whole().filter(|number| number.value > 1)?;
    (first == last).then_some(number)
}

/// The amount behind `keyword`, unless it is one that cannot be, which is told there.
pub(super) fn amount(words: Words, keyword: &'static str, dimension: Dimension) -> Option<At<f64>> {
    own_amount(words.get(keyword)?, dimension)
}

/// The amount that a statement itself gives, likewise.
pub(super) fn own_amount(words: Words, dimension: Dimension) -> Option<At<f64>> {
    let amount = words.amount(dimension)?;
    keeps_within(words.keyword(), Some(dimension), amount.value).then_some(amount)
}

/// The same, of any dimension.
pub(super) fn any_amount(words: Words) -> Option<At<Amount>> {
    let amount = words.any_amount()?;
    let Amount { dimension, value } = amount.value;
    keeps_within(words.keyword(), Some(dimension), value).then_some(amount)
}

/// The draw behind `keyword`, likewise.
pub(super) fn draw(words: Words, keyword: &'static str) -> Option<At<Draw>> {
    let words = words.get(keyword)?;
    any_amount(words).and_then(|_| words.draw())
}

/// How many there may be; nothing for none at all, which is told as a mistake.
pub(super) fn how_many(words: Words, keyword: &'static str) -> Option<At<u32>> {
    words.whole_of(keyword).filter(|most| most.value > 0)
}

pub(super) fn known_kind(words: Words) -> Option<At<&'static Kind>> {
    let name = words.name()?;
    let kind = kind(name.value)?;
    Some(name.map(|_| kind))
}

pub(in crate::model) fn owned(at: At<&str>) -> At<String> {
    at.map(str::to_string)
}
