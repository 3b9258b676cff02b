//! What is given to checks beside the site.

use std::sync::Arc;

use crate::day::Day;
use crate::model::{ModelData, Scope};
use crate::source::Item;
use crate::vocabulary::Space;

/// What is given to checks beside the site.
#[derive(Clone, Copy)]
pub(crate) struct Given<'a> {
    /// The day.
    pub today: Day,
    /// Where models that would mend something are looked for; asked only when
    /// there is something to mend.
    pub scope: &'a dyn Scope,
}

impl Given<'_> {
    /// The cables that the site's file can use.
    pub fn cables(&self) -> Vec<Arc<Item>> {
        self.models(|data| matches!(data, ModelData::Cable(_)))
    }

    /// The batteries that the site's file can use.
    pub fn batteries(&self) -> Vec<Arc<Item>> {
        self.models(|data| matches!(data, ModelData::Battery(_)))
    }

    fn models(&self, wanted: fn(&ModelData) -> bool) -> Vec<Arc<Item>> {
        let mut models = self.scope.all(Space::Model);
        models.retain(|item| item.model().is_some_and(|model| wanted(&model.data)));
        models
    }
}
