//! The values that a statement's arguments can be.

use std::borrow::Cow;

use smallvec::SmallVec;

use super::span::Span;

/// A number as written: `12`, `0.5`, and `4.2` or `10.23`, which may be a version.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// Where it stands.
    pub span: Span,
    /// Its value; the parts after a second point, as in `4.2.1`, are left out.
    pub value: f64,
}

/// A number with or without a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// The number.
    pub number: Number,
    /// The unit's place, if one is written.
    pub unit: Option<Span>,
}

impl Quantity {
    /// Where number and unit stand.
    pub fn span(&self) -> Span {
        match self.unit {
            Some(unit) => self.number.span.to(unit),
            None => self.number.span,
        }
    }

    /// Hands each of its places to `shift`.
    pub(super) fn spans(&mut self, shift: &impl Fn(&mut Span)) {
        shift(&mut self.number.span);
        if let Some(unit) = &mut self.unit {
            shift(unit);
        }
    }
}

/// One part of a reference: `main` and `keys` of `main.keys`.
pub type Part = Span;

/// The parts of a reference; nearly always one or two.
pub type Parts = SmallVec<[Part; 1]>;

/// What kind of value an argument is.
#[derive(Debug, Clone, PartialEq)]
pub enum ValueKind {
    /// A plain name, or a reference of several parts. Never empty; a part that
    /// is not typed yet (`main.`) is an empty span.
    Name(Parts),
    /// A text in quotes; the span is of what stands between them, see [`unescaped`].
    Text(Span),
    /// A number.
    Quantity(Quantity),
    /// From one quantity to another, either end open. Rare, so not in the value
    /// itself: there are as many values as words in a text.
    Range(Option<Box<Quantity>>, Option<Box<Quantity>>),
    /// A day or a month.
    Date,
    /// Something that fits nowhere.
    Stray,
}

/// What stands between the quotes of a text, as it is meant: a backslash takes what is behind it as it is.
pub fn unescaped(text: &str) -> Cow<'_, str> {
    if !text.contains('\\') {
        return Cow::Borrowed(text);
    }
    let mut meant = String::with_capacity(text.len());
    let mut chars = text.chars();
    while let Some(c) = chars.next() {
        let behind = (c == '\\').then(|| chars.next()).flatten();
        meant.push(behind.unwrap_or(c));
    }
    Cow::Owned(meant)
}

/// An argument.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub kind: ValueKind,
}

impl Value {
    /// A plain name that stands there.
    pub fn name(span: Span) -> Value {
        Value {
            span,
            kind: ValueKind::Name(Parts::from_buf([span])),
        }
    }

    /// Whether it is a name or a reference.
    pub fn is_name(&self) -> bool {
        matches!(self.kind, ValueKind::Name(_))
    }

    /// The number, if it is one.
    pub fn quantity(&self) -> Option<Quantity> {
        match self.kind {
            ValueKind::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    /// Whether it fits nowhere.
    pub fn is_stray(&self) -> bool {
        matches!(self.kind, ValueKind::Stray)
    }

    /// Whether it is a text whose closing quote is missing.
    pub fn is_unclosed(&self) -> bool {
        matches!(self.kind, ValueKind::Text(inner) if inner.end == self.span.end)
    }

    /// Its numbers: one, or those at the ends of a range.
    pub fn quantities(&self) -> impl Iterator<Item = Quantity> {
        let ends = match &self.kind {
            ValueKind::Quantity(quantity) => [Some(*quantity), None],
            ValueKind::Range(from, to) => [from, to].map(|end| end.as_deref().copied()),
            _ => [None, None],
        };
        ends.into_iter().flatten()
    }

    /// Hands each of its places to `shift`.
    pub(super) fn spans(&mut self, shift: &impl Fn(&mut Span)) {
        shift(&mut self.span);
        match &mut self.kind {
            ValueKind::Name(parts) => parts.iter_mut().for_each(shift),
            ValueKind::Text(span) => shift(span),
            ValueKind::Quantity(quantity) => quantity.spans(shift),
            ValueKind::Range(from, to) => {
                for quantity in [from, to].into_iter().flatten() {
                    quantity.spans(shift);
                }
            }
            ValueKind::Date | ValueKind::Stray => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::unescaped;

    #[test]
    fn a_backslash_takes_what_is_behind_it_as_it_is() {
        assert_eq!(unescaped("Hall"), "Hall");
        assert_eq!(unescaped(r#"5\" \\ \Ω"#), r#"5" \ Ω"#);
        // Of a text that nobody has ended yet.
        assert_eq!(unescaped("Hall\\"), "Hall\\");
    }
}
