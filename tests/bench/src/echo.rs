//! A server that does nothing: what it takes to answer is the machine's part of every other time.
//!
//! Its findings of a document are none, sent as soon as an edit of it is read.

use std::io::{BufReader, Write};

use bellwire_tests::wire::{framed, read};
use serde_json::{Value, json};

use crate::Failure;

/// Answers whatever comes on standard input until it says `exit`, or ends.
///
/// # Errors
/// A client that sends no JSON, or is gone.
pub fn serve() -> Result<(), Failure> {
    let mut input = BufReader::with_capacity(1 << 16, std::io::stdin());
    let mut output = std::io::stdout();
    while let Some(body) = read(&mut input) {
        let message: Value = serde_json::from_slice(&body).map_err(|error| {
            Failure(format!(
                "the client wrote something that is not JSON: {error}"
            ))
        })?;
        if message["method"] == "exit" {
            break;
        }
        let document = &message["params"]["textDocument"];
        let answer = match (&message["id"], &document["uri"]) {
            (Value::Null, Value::Null) => continue,
            (Value::Null, uri) => json!({
                "jsonrpc": "2.0",
                "method": "textDocument/publishDiagnostics",
                "params": {"uri": uri, "version": document["version"], "diagnostics": []},
            }),
            (id, _) => json!({"jsonrpc": "2.0", "id": id, "result": {}}),
        };
        output.write_all(&framed(answer.to_string()))?;
        output.flush()?;
    }
    Ok(())
}
