//! Slips of the hand that many people make: each is told once, by its name,
//! instead of by all that follows from it.

use super::Shape;
use crate::decimal::short;
use crate::finding::{Code, Finding, Mend, did_you_mean};
use crate::source::{Form, Parts, Quantity, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Dimension, Presence, Slot, Unit, What, Word, is_word, unit, words};

/// What ends a line.
const BREAKS: [char; 2] = ['\n', '\r'];

/// What people write for the two hyphens at each end of a leg.
const DASHES: &[char] = &['-', '–', '—', '−'];

/// Quotes that word processors make of straight ones.
const CURLY: &[char] = &['“', '”', '„', '‟', '«', '»', '‘', '’'];

impl Shape<'_> {
    /// The slip in a statement's own line, if there is one.
    pub(super) fn slip(&self, statement: &Statement) -> Option<Finding> {
        let model = statement.model.iter().flat_map(|(_, values)| values);
        let values = statement.arguments.iter().chain(model);
        // All but the comma show by a character that fits nowhere.
        if !values.clone().any(Value::is_stray) {
            return self.decimal_comma(statement);
        }
        let values: Vec<&Value> = values.collect();
        if let Some(quote) = values.iter().find(|value| self.is_stray(value, CURLY)) {
            let line = quote.span.to(statement.head.after());
            let straight = self.item.text(line).replace(CURLY, "\"");
            let message = "a text stands in straight quotes, `\"…\"`";
            let edit = (line, straight);
            return Some(slip(quote.span, message, "Write straight quotes", edit));
        }
        if let Some(mark) = values.iter().find(|value| self.is_stray(value, &[';'])) {
            if self.ends_line(mark.span) {
                let message = "a line ends without a mark: take this `;` out";
                let edit = (mark.span, String::new());
                return Some(slip(mark.span, message, "Take the `;` out", edit));
            }
            let message = "clauses are parted by commas: write `,` for `;`";
            let edit = (mark.span, ",".to_string());
            return Some(slip(mark.span, message, "Write a comma", edit));
        }
        if let Some(slip) = self.single_quotes(statement, &values) {
            return Some(slip);
        }
        let pairs = || values.iter().zip(values.iter().skip(1));
        for (first, second) in pairs().filter(|(first, second)| adjoin(first, second)) {
            if self.is_stray(first, &['/']) && self.is_stray(second, &['/']) {
                let message = "a comment starts with `#`";
                let edit = (first.span.to(second.span), "#".to_string());
                let rest = first.span.to(statement.head.after());
                return Some(slip(rest, message, "Start the comment with `#`", edit));
            }
            if let ValueKind::Quantity(quantity) = second.kind
                && self.is_stray(first, &['\'', '’'])
                && let Some(slip) = self.thousands(first.span, quantity)
            {
                return Some(slip);
            }
            if let ValueKind::Quantity(quantity) = second.kind
                && self.is_stray(first, &['.'])
            {
                let span = first.span.to(quantity.span());
                let meant = format!("0.{}", self.item.text(quantity.span()));
                let message = format!("a number starts with a digit: write `{meant}`");
                return Some(slip(span, &message, "Write the zero", (span, meant)));
            }
        }
        values
            .windows(3)
            .find_map(|three| self.slashed_date(three))
            .or_else(|| self.decimal_comma(statement))
    }

    /// A text in single quotes.
    fn single_quotes(&self, statement: &Statement, values: &[&Value]) -> Option<Finding> {
        let mut marks = values.iter().filter(|value| self.is_stray(value, &['\'']));
        let (first, _) = (marks.next()?, marks.next()?);
        // Behind a digit it parts thousands, or means feet.
        let before = self.item.source().get(..first.span.start as usize)?;
        if before.ends_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        let line = first.span.to(statement.head.after());
        let doubled = self.item.text(line).replace('\'', "\"");
        let message = "a text stands in double quotes, `\"…\"`";
        let edit = (line, doubled);
        Some(slip(first.span, message, "Write double quotes", edit))
    }

    /// What people call a thing, written without quotes: from `start` up to the next mark.
    pub(super) fn label_without_quotes(&self, word: &Word, start: Span) -> Option<Finding> {
        if !word.slots.iter().any(|slot| slot.what == What::Label) {
            return None;
        }
        let behind = self.item.source().get(start.start as usize..)?;
        let marks = [',', ':', '{', '}', '#', '"', '\n', '\r'];
        let end = behind.find(marks).unwrap_or(behind.len());
        let (label, rest) = behind.split_at_checked(end)?;
        // It has one in quotes already.
        if rest.starts_with('"') {
            return None;
        }
        let label = label.trim_end();
        let start = start.start as usize;
        let span = Span::new(start, start + label.len());
        let text = format!("\"{label}\"");
        let message = format!("a text stands in quotes: write `{text}`");
        Some(slip(span, &message, "Put it in quotes", (span, text)))
    }

    /// A block whose `{` stands on a line of its own, below the line that it belongs to.
    pub(super) fn block_below(&self, statement: &Statement) -> Option<Finding> {
        let brace = statement.block?.open;
        let before = self.item.source().get(..brace.start as usize)?;
        let above = before.trim_end();
        if brace.start != statement.span.start || above.ends_with(['{', '}']) {
            return None;
        }
        let message = "a block opens at the end of the line that it belongs to: move this `{` up";
        let finding = Finding::new(Code::Syntax, brace, message);
        let line = above.rsplit(BREAKS).next().unwrap_or_default();
        // Behind a comment the brace would be part of it.
        let mend = (!line.is_empty() && !line.contains('#')).then(|| Mend {
            title: "Move the `{` up".to_string(),
            edits: vec![(
                Span::new(above.len(), brace.start as usize),
                " ".to_string(),
            )],
        });
        Some(finding.mended_by(mend))
    }

    /// Whether such a block stands below a statement: what is missing may be in there.
    pub(super) fn opens_below(&self, statement: &Statement) -> bool {
        let behind = self.item.source().get(statement.span.end as usize..);
        statement.block.is_none() && behind.is_some_and(|text| text.trim_start().starts_with('{'))
    }

    /// Whether a colon stands behind a statement's own words.
    pub(super) fn is_before_colon(&self, statement: &Statement) -> bool {
        let own = match &statement.model {
            Some((colon, _)) => colon.start,
            None => statement.head.end,
        };
        let behind = self.item.source().get(own as usize..);
        behind.is_some_and(|text| text.trim_start_matches([' ', '\t']).starts_with(':'))
    }

    /// A colon where no model may stand: behind a word, or a clause's, as other notations have it.
    pub(super) fn colon_too_much(
        &self,
        statement: &Statement,
        word: &Word,
        colon: Span,
    ) -> Finding {
        let mut clauses = statement.body.iter();
        let clause =
            clauses.rfind(|clause| clause.form == Form::Clause && clause.head.end <= colon.start);
        let name = clause.map_or(word.name, |clause| self.item.keyword(clause));
        let mut model = statement.model.iter().flat_map(|(_, values)| values);
        if let Some(last) = model.next_back()
            && clause.is_none()
            && !statement.arguments.is_empty()
        {
            // It has its arguments, and a model besides.
            let span = colon.to(last.span);
            let text = self.item.text(span);
            let message = format!("`{name}` takes no model: take `{text}` out");
            let before = self
                .item
                .source()
                .get(..span.start as usize)
                .unwrap_or_default();
            let edit = (
                Span::new(before.trim_end().len(), span.end as usize),
                String::new(),
            );
            return slip(span, &message, &format!("Take `{text}` out"), edit);
        }
        let message = format!("no colon stands behind `{name}`: take it out");
        let mark = Span::new(colon.start as usize, colon.start as usize + 1);
        let edit = (mark, String::new());
        slip(mark, &message, "Take the colon out", edit)
    }

    /// A date with slashes. Which number is the year only shows where it comes first.
    fn slashed_date(&self, three: &[&Value]) -> Option<Finding> {
        let [first, slash, last] = three else {
            return None;
        };
        if !self.is_stray(slash, &['/']) || !is_plain(first) || !is_plain(last) {
            return None;
        }
        let message = "a date is written with hyphens, the year first: `2026-01-31` or `2026-01`";
        let finding = Finding::new(Code::Syntax, first.span.to(last.span), message);
        let written = self.item.source().get(first.span.start as usize..)?;
        let is_part = |c: char| c.is_ascii_digit() || c == '/';
        let written = written.split(|c| !is_part(c)).next()?;
        let lengths: Vec<usize> = written.split('/').map(str::len).collect();
        let mend = matches!(lengths.as_slice(), [4, 2] | [4, 2, 2]).then(|| {
            let start = first.span.start as usize;
            let span = Span::new(start, start + written.len());
            Mend {
                title: "Write the date with hyphens".to_string(),
                edits: vec![(span, written.replace('/', "-"))],
            }
        });
        Some(finding.mended_by(mend))
    }

    /// A number whose thousands are marked: `4'700 ohm`.
    fn thousands(&self, mark: Span, behind: Quantity) -> Option<Finding> {
        let before = self.item.source().get(..mark.start as usize)?;
        let digits = before.len() - before.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        if digits == 0 {
            return None;
        }
        let start = before.len() - digits;
        let text = self.item.text(behind.span());
        let meant = format!("{}{text}", before.get(start..)?);
        let message = format!("nothing stands between the digits of a number: write `{meant}`");
        let span = Span::new(start, behind.span().end as usize);
        Some(slip(
            span,
            &message,
            "Write the number without marks",
            (span, meant),
        ))
    }

    /// A number to the base of sixteen where people count by ten.
    pub(super) fn hexadecimal(&self, quantity: &Quantity, unit: &str) -> Option<Finding> {
        let digits = unit.strip_prefix(['x', 'X'])?;
        let adjoining = quantity.unit?.start == quantity.number.span.end;
        if self.item.text(quantity.number.span) != "0" || !adjoining {
            return None;
        }
        let meant = u32::from_str_radix(digits, 16).ok()?.to_string();
        let span = quantity.span();
        let message = format!("numbers are written in decimals: write `{meant}`");
        Some(slip(span, &message, "Write it in decimals", (span, meant)))
    }

    /// A range with a hyphen, a dash, three points or `to` between its ends.
    pub(super) fn hyphen(&self, statement: &Statement, word: &Word) -> Option<Finding> {
        let is_range = |what: &What| matches!(what, What::Range(_) | What::Numbers);
        if !word.slots.iter().any(|slot| is_range(&slot.what)) {
            return None;
        }
        let quantity = |value: &Value| match value.kind {
            ValueKind::Quantity(quantity) => Some(quantity),
            _ => None,
        };
        let is_to = |unit: Span| self.item.text(unit) == "to";
        let pair = |pair: &[Value]| {
            let [first, last] = pair else { return None };
            let (from, to) = (quantity(first)?, self.item.text(last.span));
            quantity(last)?;
            if let Some(unit) = from.unit.filter(|unit| is_to(*unit)) {
                // `1 to 8` reads as 1 of the unit `to`, and 8.
                let from = Span {
                    end: unit.start,
                    ..first.span
                };
                return Some((
                    self.item.text(from).trim_end(),
                    to,
                    first.span.to(last.span),
                ));
            }
            // `9-15 V` reads as 9, and -15 V.
            let to = to
                .strip_prefix(['-', '−'])
                .filter(|_| adjoin(first, last))?;
            Some((self.item.text(first.span), to, first.span.to(last.span)))
        };
        let three = |three: &[Value]| {
            let [first, mark, last] = three else {
                return None;
            };
            quantity(last)?;
            // `0...7` reads as the open range `0..`, a point, and 7.
            if let ValueKind::Range(Some(from), None) = &first.kind
                && self.item.text(mark.span) == "."
            {
                let from = self.item.text(from.span());
                return Some((from, self.item.text(last.span), first.span.to(last.span)));
            }
            quantity(first)?;
            let marks = ["-", "–", "—", "−", "…", "to"];
            let (from, to) = (self.item.text(first.span), self.item.text(last.span));
            let marked = marks.contains(&self.item.text(mark.span));
            marked.then(|| (from, to, first.span.to(last.span)))
        };
        let values = &statement.arguments;
        let found = values.windows(2).find_map(pair);
        let (from, to, span) = found.or_else(|| values.windows(3).find_map(three))?;
        let meant = format!("{from} .. {to}");
        let message = format!("a range has `..` between its ends: write `{meant}`");
        Some(slip(
            span,
            &message,
            "Write the range with `..`",
            (span, meant),
        ))
    }

    /// A length that is written as a sum, whose second half reads as a line of
    /// its own: `--12.5 m + 3 m--`. `rest` starts at the plus.
    pub(super) fn adds_up(&self, rest: Span) -> Option<Finding> {
        let source = self.item.source();
        let plus = rest.start as usize;
        let behind = source.get(plus..)?.strip_prefix('+')?;
        let before = source.get(..plus)?;
        let line = before.rsplit(BREAKS).next()?;
        let first = line
            .rsplit("--")
            .next()
            .filter(|own| own.len() < line.len())?;
        let (one, own) = length(first.trim())?;
        let second = behind.split("--").next()?;
        let mut sum = one;
        let mut unit = own;
        for part in second.split('+') {
            let (more, own) = length(part.trim())?;
            if !own.is_empty() && !unit.is_empty() && own != unit {
                return None;
            }
            sum += more;
            unit = if own.is_empty() { unit } else { own };
        }
        let start = plus - first.trim_start().len();
        let span = Span::new(start, plus + 1 + second.trim_end().len());
        let meant = format!("{} {unit}", short(sum, 3));
        let meant = meant.trim_end().to_string();
        let message = format!("a length is one number: write the sum, `{meant}`");
        Some(slip(span, &message, "Write the sum", (span, meant)))
    }

    /// The legs of a route, with a hyphen or a dash where two hyphens belong; or the first
    /// that does not end.
    pub(super) fn legs(&self, statement: &Statement) -> Option<Finding> {
        let (text, from) = (
            self.item.text(statement.head),
            statement.head.start as usize,
        );
        let span = |start: usize, end: usize| Span::new(from + start, from + end);
        let is_blank = |c: char| c == ' ' || c == '\t';
        let mut edits = Vec::new();
        let mut first: Option<(Span, &str)> = None;
        // Where a leg starts that has not ended, and what stands in it.
        let mut open: Option<(usize, usize)> = None;
        let mut at = 0;
        while let Some(found) = text.get(at..)?.find(DASHES) {
            let start = at + found;
            let behind = text.get(start..)?.trim_start_matches(DASHES);
            let (before, end) = (text.get(..start)?, text.len() - behind.len());
            at = end;
            let ends = behind.is_empty() || behind.starts_with(is_blank);
            let starts = before.ends_with(is_blank)
                && behind
                    .trim_start_matches(is_blank)
                    .starts_with(|c: char| c.is_ascii_digit());
            let is_right = text.get(start..end)? == "--";
            match open {
                Some((leg, own)) if ends => {
                    if !(is_right && edits.is_empty()) {
                        first.get_or_insert((span(leg, end), text.get(own..start)?.trim()));
                    }
                    open = None;
                }
                Some((leg, own)) if starts => {
                    let (length, end) = leading_length(text.get(own..)?)?;
                    let message = format!("this leg does not end: write `--{length}--`");
                    return Some(Finding::new(Code::Syntax, span(leg, own + end), message));
                }
                None if starts => open = Some((start, end)),
                // A hyphen in a name.
                _ => continue,
            }
            if !is_right {
                edits.push((span(start, end), "--".to_string()));
            }
        }
        let (leg, length) = first.filter(|_| open.is_none())?;
        let meant = format!("`--{length}--`");
        let finding = Finding::new(Code::Syntax, leg, format!("a leg is written {meant}"));
        let title = format!("Write {meant}");
        Some(finding.mended_by(Some(Mend { title, edits })))
    }

    /// A decimal comma, whose second half reads as a clause.
    pub(super) fn decimal_comma(&self, statement: &Statement) -> Option<Finding> {
        let decimal = statement.body.iter().find(|line| self.is_decimal(line))?;
        let fraction = decimal.arguments.first()?;
        let comma = decimal.span.start as usize;
        let before = self.item.source().get(..comma).unwrap_or_default();
        let whole = before.trim_end_matches(|c: char| c.is_ascii_digit());
        let whole = Span::new(whole.len(), comma);
        let (digits, decimals) = (self.item.text(whole), self.item.text(fraction.span));
        let three = decimals.bytes().take_while(u8::is_ascii_digit).count() == 3;
        if three && !digits.starts_with('0') {
            // A thousand for some, and one for others.
            let message = format!(
                "no comma stands in a number: write `{digits}{decimals}`, or `{digits}.{decimals}` if these are decimals"
            );
            let span = whole.to(fraction.span);
            return Some(Finding::new(Code::Syntax, span, message));
        }
        let message =
            format!("decimals stand behind a point, not a comma: write `{digits}.{decimals}`");
        let comma = Span::new(comma, comma + 1);
        let edit = (comma, ".".to_string());
        let span = whole.to(fraction.span);
        Some(slip(span, &message, "Write a decimal point", edit))
    }

    /// A comma between values of which several stand side by side: what is
    /// behind it reads as a clause, which starts with a word of its `own` or with none.
    pub(super) fn parted(
        &self,
        clause: &Statement,
        own: Option<&Word>,
        before: &Word,
    ) -> Option<Finding> {
        let several = before.slots.last()?;
        let value = match clause.keyword {
            Some(keyword) if own.is_none() => Value {
                span: keyword,
                kind: ValueKind::Name(Parts::from_buf([keyword])),
            },
            Some(_) => return None,
            None => clause.arguments.first()?.clone(),
        };
        let alone = clause.arguments.len() == usize::from(clause.keyword.is_none());
        if several.presence != Presence::Several
            || !alone
            || self.is_decimal(clause)
            || self.misfit(several, &value, before).is_some()
        {
            return None;
        }
        let comma = Span::new(clause.span.start as usize, clause.span.start as usize + 1);
        let message = format!(
            "take this comma out: what belongs to `{}` stands side by side, without commas",
            before.name
        );
        let edit = (comma, String::new());
        Some(slip(clause.span, &message, "Take the comma out", edit))
    }

    /// A comma with nothing behind it. It is taken out, unless what is meant for it stands on
    /// the next line, further in.
    pub(super) fn loose_comma(&self, clause: &Statement, message: &str) -> Finding {
        let finding = Finding::new(Code::Syntax, clause.span, message);
        let (start, source) = (clause.span.start as usize, self.item.source());
        let comma = Span::new(start, start + 1);
        let line = source
            .get(..start)
            .unwrap_or_default()
            .rsplit(BREAKS)
            .next();
        let mut below = source.get(start + 1..).unwrap_or_default().split(BREAKS);
        let rest = below.next().unwrap_or_default().trim_start();
        let is_last = rest.is_empty() || rest.starts_with('#');
        let below = below.find(|line| !line.trim().is_empty());
        let indent = |line: &str| line.len() - line.trim_start().len();
        let goes_on = is_last && below.map(indent) > line.map(indent);
        let is_alone = self.item.text(clause.span).trim_end() == ",";
        let mend = (is_alone && !goes_on).then(|| Mend {
            title: "Take the comma out".to_string(),
            edits: vec![(comma, String::new())],
        });
        finding.mended_by(mend)
    }

    /// A comma where the colon before a model belongs: `detector d, P5`.
    pub(super) fn comma_for_colon(&self, statement: &Statement, word: &Word) -> Option<Finding> {
        if !word.needs_model || statement.model.is_some() {
            return None;
        }
        let first = statement.body.first()?;
        let name = first.keyword.filter(|_| first.form == Form::Clause)?;
        let text = self.item.text(name);
        let near = |context| did_you_mean(text, words(context).map(|word| word.name));
        if !first.arguments.is_empty()
            || first.model.is_some()
            || is_word(text)
            || word.opens.is_some_and(|context| !near(context).is_empty())
        {
            return None;
        }
        let comma = first.span.start as usize;
        let before = self.item.source().get(..comma)?.trim_end().len();
        let edit = (Span::new(before, name.start as usize), " : ".to_string());
        let place = Span::new(comma, name.end as usize);
        let message = format!("a model stands behind a colon: write `: {text}`");
        Some(slip(place, &message, "Write a colon", edit))
    }

    /// An equals sign where the colon before a model belongs: `panel main = M8`.
    pub(super) fn equals_for_colon(&self, statement: &Statement, word: &Word) -> Option<Finding> {
        let [.., sign, name] = statement.arguments.as_slice() else {
            return None;
        };
        let is_name = matches!(name.kind, ValueKind::Name(_));
        if word.model.is_none()
            || statement.model.is_some()
            || !is_name
            || !self.is_stray(sign, &['='])
        {
            return None;
        }
        let text = self.item.text(name.span);
        let message = format!("a model stands behind a colon: write `: {text}`");
        let edit = (sign.span, ":".to_string());
        let place = sign.span.to(name.span);
        Some(slip(place, &message, "Write a colon", edit))
    }

    /// A comma where the points of a range belong: `ambient 0 °C, 40 °C`.
    pub(super) fn comma_for_points(&self, statement: &Statement, word: &Word) -> Option<Finding> {
        let is_range = |slot: &Slot| matches!(slot.what, What::Range(_) | What::Numbers);
        let ends = (statement.arguments.last()?, statement.body.as_slice());
        let (from, [clause]) = ends else { return None };
        let [to] = clause.arguments.as_slice() else {
            return None;
        };
        let is_number = |value: &Value| matches!(value.kind, ValueKind::Quantity(_));
        if word.opens.is_some()
            || clause.form != Form::Clause
            || clause.keyword.is_some()
            || !(is_number(from) && is_number(to))
            || self.is_decimal(clause)
            || !word.slots.iter().any(is_range)
        {
            return None;
        }
        let comma = Span::new(from.span.end as usize, to.span.start as usize);
        let meant = format!(
            "{} .. {}",
            self.item.text(from.span),
            self.item.text(to.span)
        );
        let message = format!("a range has `..` between its ends: write `{meant}`");
        let edit = (comma, " .. ".to_string());
        Some(slip(
            from.span.to(to.span),
            &message,
            "Write the range with `..`",
            edit,
        ))
    }

    /// Whether a clause is what stands behind a decimal comma.
    pub(super) fn is_decimal(&self, clause: &Statement) -> bool {
        // Asked of every line, so what lies in the line itself comes first.
        if clause.form != Form::Clause || clause.keyword.is_some() {
            return false;
        }
        let Some(Value {
            span,
            kind: ValueKind::Quantity(_) | ValueKind::Range(Some(_), _),
        }) = clause.arguments.first()
        else {
            return false;
        };
        let comma = clause.span.start;
        let before = Span {
            start: comma.saturating_sub(1),
            end: comma,
        };
        span.start == comma + 1
            && self
                .item
                .text(before)
                .ends_with(|c: char| c.is_ascii_digit())
    }

    /// Whether a number stands before a decimal comma.
    pub(super) fn is_before_decimals(&self, number: Span) -> bool {
        let behind = self.item.source().get(number.end as usize..);
        let behind = behind.and_then(|text| text.strip_prefix(','));
        behind.is_some_and(|text| text.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// Whether nothing more is said on the line behind a mark.
    fn ends_line(&self, mark: Span) -> bool {
        let behind = self.item.source().get(mark.end as usize..);
        let line = behind.and_then(|text| text.split(BREAKS).next());
        let rest = line.unwrap_or_default().trim_start();
        rest.is_empty() || rest.starts_with(['#', '}'])
    }

    /// Whether a value is one of these characters, standing where it fits nowhere.
    pub(super) fn is_stray(&self, value: &Value, marks: &[char]) -> bool {
        value.is_stray() && self.item.text(value.span).starts_with(marks)
    }
}

/// Whether a value is a number without a unit.
fn is_plain(value: &Value) -> bool {
    matches!(value.kind, ValueKind::Quantity(Quantity { unit: None, .. }))
}

/// The length that a text starts with, in metres if it says no unit, and where it ends.
fn leading_length(text: &str) -> Option<(String, usize)> {
    let is_part = |c: char| c.is_ascii_digit() || c == '.';
    let behind = text.trim_start().trim_start_matches(is_part);
    let number = text.get(..text.len() - behind.len())?;
    let own = behind.trim_start();
    let word = own.split(|c: char| !c.is_alphabetic()).next()?;
    let is_length = unit(word).is_some_and(|unit| unit.dimension == Dimension::Length);
    Some(match is_length {
        true => {
            let end = text.len() - own.len() + word.len();
            (format!("{} {word}", number.trim()), end)
        }
        false => (format!("{} m", number.trim()), number.len()),
    })
}

/// A number and what stands behind it, if that is a unit of length or nothing.
fn length(text: &str) -> Option<(f64, &str)> {
    let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let own = text.get(digits.len()..)?.trim();
    let is_length = |unit: &Unit| unit.dimension == Dimension::Length;
    let known = own.is_empty() || unit(own).is_some_and(is_length);
    let plain = digits.bytes().all(|c| c.is_ascii_digit() || c == b'.');
    let value = digits.parse().ok().filter(|_| known && plain)?;
    Some((value, own))
}

fn adjoin(first: &Value, second: &Value) -> bool {
    first.span.end == second.span.start
}

/// A finding with the change that writes it as it is meant.
pub(super) fn slip(span: Span, message: &str, title: &str, edit: (Span, String)) -> Finding {
    let mend = Mend {
        title: title.to_string(),
        edits: vec![edit],
    };
    Finding::new(Code::Syntax, span, message).mended_by(Some(mend))
}
