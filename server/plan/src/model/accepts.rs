//! Findings that an item's author has seen and accepts, with `accept CODE "reason"`.

use std::sync::Arc;

use super::at::At;
use super::words::Words;
use crate::finding::{Code, Finding, did_you_mean};
use crate::source::{Item, Span};

const WORD: &str = "accept";

/// A finding that is accepted.
#[derive(Debug, Clone)]
pub struct Accept {
    /// Its code.
    pub code: At<Code>,
    /// Why.
    pub reason: String,
    /// The statement in which it is accepted.
    pub within: Span,
}

/// What is accepted anywhere in an item. A code that does not exist is reported.
pub fn accepts(item: &Arc<Item>, findings: &mut Vec<Finding>) -> Vec<Accept> {
    let mut accepts = Vec::new();
    // Few items accept anything: no need to ask each of their statements.
    if !item.source().contains(WORD) {
        return accepts;
    }
    collect(Words::root(item), &mut accepts, findings);
    accepts
}

fn collect(words: Words, accepts: &mut Vec<Accept>, findings: &mut Vec<Finding>) {
    for inner in words.body() {
        if inner.keyword() != WORD {
            collect(inner, accepts, findings);
            continue;
        }
        let reason = inner.label();
        let reason = reason.filter(|reason| !reason.value.trim().is_empty());
        let (Some(name), Some(reason)) = (inner.name(), reason) else {
            continue;
        };
        if let Some(code) = Code::parse(name.value) {
            accepts.push(Accept {
                code: name.map(|_| code),
                reason: reason.value.into_owned(),
                within: words.statement.span,
            });
        } else {
            let hint = did_you_mean(name.value, Code::ALL.iter().map(|code| code.name()));
            let hint = match hint.is_empty() {
                true => " `bellwire explain` lists them.",
                false => &hint,
            };
            let message = format!("no finding has the code `{}`.{hint}", name.value);
            findings.push(Finding::new(Code::UnknownName, name.span, message));
        }
    }
}
