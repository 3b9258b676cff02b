//! What the thing under the cursor means, and its figures.

mod word;

pub(crate) use word::word;

use bellwire_plan::source::Item;
use std::sync::Arc;

pub(crate) fn model(_item: &Arc<Item>) -> String {
    String::new()
}
