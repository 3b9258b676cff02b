//! Findings: what is wrong with a plan, where, and what would mend it.

mod codes;
mod explain;
mod nearest;

pub use codes::Code;
pub use explain::Explanation;
pub use nearest::{did_you_mean, meant, nearest};

use std::sync::Arc;

use crate::source::{Item, Span, Spot};
use crate::vocabulary::Space;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The system would not work as planned.
    Error,
    /// It works, but something is missing or kept too tight.
    Warning,
    /// Worth knowing.
    Information,
}

impl Severity {
    /// Its name, as the JSON output has it.
    pub fn name(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Information => "information",
        }
    }
}

/// One thing that is wrong. Its place is inside the item that it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What it is.
    pub code: Code,
    /// How much it weighs.
    pub severity: Severity,
    /// Where it is.
    pub span: Span,
    /// What, where, how far off, and what would mend it.
    pub message: String,
    /// The other places that belong to it, each with what it is there.
    pub related: Vec<(Spot, String)>,
    /// Why it is accepted, if it is.
    pub accepted: Option<String>,
    /// The least change that mends it; where figures hang on it, solved again.
    pub mend: Option<Mend>,
    /// The name that nothing in scope has, where that is what is wrong.
    pub lacks: Option<Box<Lack>>,
}

/// A name that nothing in scope has. Another file may declare it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Lack {
    /// The namespace that it was looked up in.
    pub space: Space,
    /// The kind that the model must be of; `None` for what is no model.
    pub kind: Option<&'static str>,
    /// The name.
    pub name: String,
}

impl Finding {
    /// A finding of the code's own severity.
    pub fn new(code: Code, span: Span, message: impl Into<String>) -> Finding {
        Finding {
            code,
            severity: code.severity(),
            span,
            message: message.into(),
            related: Vec::new(),
            accepted: None,
            mend: None,
            lacks: None,
        }
    }

    /// Of another severity than its code's.
    pub fn weighing(mut self, severity: Severity) -> Finding {
        self.severity = severity;
        self
    }

    /// A warning of what can hardly be meant, and may be right.
    pub(crate) fn doubt(span: Span, message: String) -> Finding {
        Finding::new(Code::WrongKind, span, message).weighing(Severity::Warning)
    }

    /// Whether it is that a part of the plan cannot be read: what is missing elsewhere may
    /// stand there.
    pub(crate) fn is_of_unread(&self) -> bool {
        self.severity == Severity::Error && self.code.is_of_reading()
    }

    /// With another place that belongs to it.
    pub fn with(mut self, spot: Spot, message: impl Into<String>) -> Finding {
        self.related.push((spot, message.into()));
        self
    }

    /// With a place in a model that belongs to it, if model and place are known.
    pub fn in_model(
        self,
        model: Option<&Arc<Item>>,
        span: impl Into<Option<Span>>,
        message: impl Into<String>,
    ) -> Finding {
        match model.zip(span.into()) {
            Some((model, span)) => self.with(model.spot(span), message),
            None => self,
        }
    }

    /// With a change that mends it.
    pub fn mended_by(mut self, mend: Option<Mend>) -> Finding {
        self.mend = mend;
        self
    }

    /// That is so because nothing in scope has a name.
    pub fn lacking(mut self, lack: Lack) -> Finding {
        self.lacks = Some(Box::new(lack));
        self
    }
}

/// A change to the item's text that mends a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mend {
    /// What it does: `Give rear the address 3`.
    pub title: String,
    /// Places and the text that replaces them; they do not overlap.
    pub edits: Vec<(Span, String)>,
}

impl Mend {
    /// Two places exchange what stands there.
    pub fn swap(title: impl Into<String>, item: &Item, one: Span, other: Span) -> Mend {
        let text = |span| item.text(span).to_string();
        Mend {
            title: title.into(),
            edits: vec![(one, text(other)), (other, text(one))],
        }
    }
}
