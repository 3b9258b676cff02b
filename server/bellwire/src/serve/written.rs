//! Answers that are written out by the thread that made them.
//!
//! The service would turn each result into a tree of values first, on the thread that
//! reads; for a list of everything in a plan, that takes longer than making the list.
//! So a handler leaves the text of its result here and returns an empty one to the
//! service, and the transport sends the text instead.

use std::sync::{Arc, OnceLock};

use serde::Serialize;
use serde_json::value::{RawValue, to_raw_value};
use tower_lsp::jsonrpc::{Error, Id, Response, Result};

tokio::task_local! {
    static ROOM: Room;
}

/// A result as it goes over the line.
pub type Text = Box<RawValue>;

/// Room for the text of one call's result.
#[derive(Clone, Default)]
struct Room(Arc<OnceLock<Text>>);

/// A result written out.
///
/// # Errors
/// It cannot be written as JSON.
pub fn text(result: &impl Serialize) -> Result<Text> {
    to_raw_value(result).map_err(|error| {
        tracing::error!("an answer could not be written as JSON: {error}");
        Error::internal_error()
    })
}

/// Leaves the result of the call that this is part of.
///
/// # Errors
/// This is not part of a call, or the call has a result already.
pub fn leave(text: Text) -> Result<()> {
    let left = ROOM.try_with(|room| room.0.set(text).is_ok());
    match left {
        Ok(true) => Ok(()),
        _ => Err(Error::internal_error()),
    }
}

/// Answers a call, with room for the text of its result.
pub async fn answer(call: impl Future<Output = Option<Response>>) -> Option<Answer> {
    let room = Room::default();
    let response = ROOM.scope(room.clone(), call).await?;
    let text = Arc::into_inner(room.0).and_then(OnceLock::into_inner);
    match text.filter(|_| response.is_ok()) {
        None => Some(Answer::Values(response)),
        Some(result) => Some(Answer::Text {
            jsonrpc: "2.0",
            result,
            id: response.id().clone(),
        }),
    }
}

/// An answer as it goes over the line.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum Answer {
    /// As the service made it.
    Values(Response),
    /// With a result that is written out already.
    Text {
        /// The version of the protocol.
        jsonrpc: &'static str,
        /// The result.
        result: Text,
        /// The call's number.
        id: Id,
    },
}
