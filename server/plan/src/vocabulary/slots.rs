//! Which values are for which slots of a word.

use std::slice::Iter;

use super::{Presence, Slot};

/// The slots of a word, while values are put into them in order.
#[derive(Debug, Clone)]
pub struct Slots {
    /// The one that the next value is for.
    current: Option<&'static Slot>,
    /// How many values it has.
    taken: usize,
    rest: Iter<'static, Slot>,
}

impl Slots {
    /// All of them empty.
    pub fn new(slots: &'static [Slot]) -> Slots {
        let mut rest = slots.iter();
        Slots {
            current: rest.next(),
            taken: 0,
            rest,
        }
    }

    /// Puts a value into the first slot that it fits, past those that may stay empty; into the
    /// first that may not, if it fits none before. `None` if all slots have their values.
    pub fn put(&mut self, mut fits: impl FnMut(&'static Slot) -> bool) -> Option<&'static Slot> {
        while let Some(slot) = self.current {
            if !fits(slot) && self.may_pass(slot) {
                self.pass();
                continue;
            }
            match slot.presence {
                Presence::Several => self.taken += 1,
                Presence::Required | Presence::Optional => self.pass(),
            }
            return Some(slot);
        }
        None
    }

    /// The slots that the next value may fill, and whether none need be filled.
    pub fn open(self) -> (Vec<&'static Slot>, bool) {
        let mut open = Vec::new();
        let first = self.current.map(|slot| (slot, self.may_pass(slot)));
        let rest = self
            .rest
            .map(|slot| (slot, slot.presence == Presence::Optional));
        for (slot, may_pass) in first.into_iter().chain(rest) {
            open.push(slot);
            if !may_pass {
                return (open, false);
            }
        }
        (open, true)
    }

    /// The first slot that needs a value and has none.
    pub fn missing(self) -> Option<&'static Slot> {
        let current = self.current.filter(|_| self.taken == 0);
        let mut empty = current.into_iter().chain(self.rest);
        empty.find(|slot| slot.presence != Presence::Optional)
    }

    fn may_pass(&self, current: &Slot) -> bool {
        match current.presence {
            Presence::Optional => true,
            Presence::Several => self.taken > 0,
            Presence::Required => false,
        }
    }

    fn pass(&mut self) {
        self.current = self.rest.next();
        self.taken = 0;
    }
}
