//! Which answers the thread that reads may make itself: those that were quick the
//! last time. To wake another thread for them would take longer.

use std::any::TypeId;
use std::sync::Arc;
use std::time::{Duration, Instant};

use bellwire_plan::source::FilePath;
use dashmap::DashMap;

/// What an answer may keep the reader of the input waiting.
const QUICK: Duration = Duration::from_millis(1);

/// A file, and a way to answer about it: the type of the closure that does so.
pub type Kind = (FilePath, TypeId);

/// How long the last answers took. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub struct Paces(Arc<DashMap<Kind, Duration>>);

impl Paces {
    /// Whether such an answer was quick the last time. The first one never is.
    pub fn is_quick(&self, kind: &Kind) -> bool {
        self.0.get(kind).is_some_and(|took| *took < QUICK)
    }

    /// Does the work, and notes how long it takes.
    pub fn time<T>(&self, kind: Kind, work: impl FnOnce() -> T) -> T {
        let began = Instant::now();
        let done = work();
        self.0.insert(kind, began.elapsed());
        done
    }

    /// Forgets a file.
    pub fn forget(&self, name: &FilePath) {
        self.0.retain(|(other, _), _| other != name);
    }
}
