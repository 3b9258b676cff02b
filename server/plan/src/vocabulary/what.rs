//! What an argument can be.

use super::{Context, Dimension};
use crate::source::ValueKind;

/// What an argument can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// A new name, which this statement declares.
    NewName,
    /// A number that serves as a name, which this statement declares.
    NewNumber,
    /// A text in quotes that people read.
    Label,
    /// The path of a file, in quotes.
    PathText,
    /// A whole number from 1.
    HowMany,
    /// A whole number that something outside is known by: an account, a terminal.
    Number,
    /// A whole number, or a range of them.
    Numbers,
    /// A plain number.
    Factor,
    /// The address of the device itself.
    Address,
    /// An address, or `off`.
    Place,
    /// A number with a unit of one of these dimensions.
    Amount(&'static [Dimension]),
    /// A range of such numbers, either end open.
    Range(Dimension),
    /// A version: numbers with points between.
    Version,
    /// A day or month.
    Date,
    /// One of these words; each with its meaning.
    Choice(&'static [(&'static str, &'static str)]),
    /// A kind of thing: any, or one that is a word there.
    Kind(Option<Context>),
    /// Some word, free to choose.
    Word,
    /// Something that has a name elsewhere.
    Named(Names),
}

impl What {
    /// Whether a value of this kind may stand there, whatever it says: a word where
    /// words stand, a number where numbers do.
    pub fn takes(self, kind: &ValueKind) -> bool {
        match kind {
            ValueKind::Name(parts) => match self {
                What::NewName | What::Word => parts.len() == 1,
                What::Named(names) => names != Names::Partition,
                What::Choice(_) | What::Kind(_) | What::Place => true,
                _ => false,
            },
            ValueKind::Text(_) => matches!(self, What::Label | What::PathText),
            ValueKind::Quantity(_) => matches!(
                self,
                What::NewNumber
                    | What::HowMany
                    | What::Number
                    | What::Address
                    | What::Numbers
                    | What::Factor
                    | What::Place
                    | What::Amount(_)
                    | What::Version
                    | What::Named(Names::Partition | Names::Input)
            ),
            ValueKind::Range(..) => matches!(self, What::Numbers | What::Range(_)),
            ValueKind::Date => self == What::Date,
            ValueKind::Stray => false,
        }
    }
}

/// What a name can stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Names {
    /// A model of this kind; the kind that the keyword says, if `""`.
    Model(&'static str),
    /// A rule set.
    Rules,
    /// A monitoring centre.
    Monitoring,
    /// A partition of the panel.
    Partition,
    /// An input of the panel or of an expander.
    Input,
    /// A device on a zone's loop.
    Detector,
    /// A loop that the inputs know.
    Loop,
    /// An output of the model.
    Output,
    /// A bus that the panel's model has.
    Bus,
    /// The code of a finding.
    Code,
    /// How a device may sound, as its model lists it.
    Sound,
}
