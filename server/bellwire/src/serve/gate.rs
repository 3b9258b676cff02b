//! The gate in front of the protocol: only whole, well-formed messages pass.
//!
//! The transport behind it ends at the first message that it cannot parse. A
//! message that is no JSON-RPC is answered as the standard asks, and the next
//! one is read: the gate hands on a call of [`UNREADABLE`] in its place.

use serde_json::Value;
use tokio::io::{
    AsyncBufReadExt, AsyncRead, AsyncReadExt, AsyncWriteExt, BufReader, DuplexStream, duplex,
};

/// The method that answers with a parse error.
pub const UNREADABLE: &str = "bellwire/unreadable";

/// The most that a message may have; the largest plan that is read from disk
/// has 16 MiB, and escaping may double that.
const LARGEST: u64 = 64 << 20;

/// The longest line of a header.
const LONGEST: u64 = 4096;

/// Reads messages from `input`; what comes out are well-formed messages, and
/// the end when the input ends or breaks off.
pub fn open(input: impl AsyncRead + Unpin + Send + 'static) -> DuplexStream {
    let (mut inner, outer) = duplex(1 << 16);
    tokio::spawn(async move {
        let mut input = BufReader::new(input);
        while let Some(length) = header(&mut input).await {
            let Some(body) = body(&mut input, length).await else {
                break;
            };
            let body = match well_formed(&body) {
                true => body,
                false => {
                    tracing::warn!("a message of {length} bytes is no JSON-RPC and was refused");
                    let call =
                        serde_json::json!({"jsonrpc": "2.0", "id": null, "method": UNREADABLE});
                    call.to_string().into_bytes()
                }
            };
            let head = format!("Content-Length: {}\r\n\r\n", body.len());
            let passed = async {
                inner.write_all(head.as_bytes()).await?;
                inner.write_all(&body).await
            };
            if passed.await.is_err() {
                break;
            }
        }
    });
    outer
}

/// The length of the next message; `None` at the end. Lines that are no header are passed over.
async fn header(input: &mut (impl AsyncBufReadExt + Unpin)) -> Option<u64> {
    let mut length = None;
    loop {
        let mut line = Vec::new();
        let read = (&mut *input)
            .take(LONGEST)
            .read_until(b'\n', &mut line)
            .await;
        if !matches!(read, Ok(read) if read > 0) {
            return None;
        }
        let line = String::from_utf8_lossy(&line);
        let line = line.trim();
        if line.is_empty() {
            match length {
                Some(length) => return Some(length),
                None => continue,
            }
        }
        let field = line.split_once(':');
        match field {
            Some((name, value)) if name.trim().eq_ignore_ascii_case("content-length") => {
                match value.trim().parse() {
                    Ok(found) => length = Some(found),
                    Err(_) => tracing::warn!("a header's length is no number"),
                }
            }
            Some((name, _)) if name.trim().eq_ignore_ascii_case("content-type") => {}
            _ => tracing::warn!("a line where a header should be was passed over"),
        }
    }
}

/// The next `length` bytes; `None` if the input ends before, or if they are far too many to be meant.
async fn body(input: &mut (impl AsyncRead + Unpin), length: u64) -> Option<Vec<u8>> {
    if length > LARGEST {
        tracing::error!(
            "a message of {length} bytes was announced, more than is ever read: ending"
        );
        return None;
    }
    let mut body = Vec::new();
    let read = input.take(length).read_to_end(&mut body).await;
    match read {
        Ok(read) if read as u64 == length => Some(body),
        _ => {
            tracing::warn!("the input broke off inside a message");
            None
        }
    }
}

/// Whether this is a request, a notification or a response of JSON-RPC 2.0.
fn well_formed(body: &[u8]) -> bool {
    let Ok(Value::Object(message)) = serde_json::from_slice(body) else {
        return false;
    };
    let is_id = |id: &Value| id.is_null() || id.is_string() || id.is_i64();
    let id_fits = message.get("id").is_none_or(is_id);
    let is_two = message.get("jsonrpc").and_then(Value::as_str) == Some("2.0");
    let fits = match message.get("method") {
        Some(method) => method.is_string(),
        None => message.contains_key("id") && answers(&message),
    };
    is_two && id_fits && fits
}

fn answers(message: &serde_json::Map<String, Value>) -> bool {
    match (message.get("result"), message.get("error")) {
        (Some(_), None) => true,
        (None, Some(error)) => {
            error.get("code").is_some_and(Value::is_i64)
                && error.get("message").is_some_and(Value::is_string)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn through(input: &'static [u8]) -> String {
        let mut output = String::new();
        open(input).read_to_string(&mut output).await.unwrap();
        output
    }

    fn framed(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    #[tokio::test]
    async fn good_messages_pass_and_bad_ones_are_replaced() {
        let good = r#"{"jsonrpc":"2.0","id":1,"method":"shutdown"}"#;
        let refused = framed(r#"{"jsonrpc":"2.0","id":null,"method":"bellwire/unreadable"}"#);
        for bad in [
            "{",
            "[]",
            "7",
            "{}",
            r#"{"jsonrpc":"1.0","id":1,"method":"a"}"#,
            r#"{"jsonrpc":"2.0","id":[],"method":"a"}"#,
            r#"{"jsonrpc":"2.0","id":1.5,"method":"a"}"#,
            r#"{"jsonrpc":"2.0","method":3}"#,
            r#"{"jsonrpc":"2.0","id":1}"#,
            r#"{"jsonrpc":"2.0","id":1,"error":"no"}"#,
        ] {
            let input = framed(bad) + &framed(good);
            let output = through(input.leak().as_bytes()).await;
            assert_eq!(output, refused.clone() + &framed(good), "{bad}");
        }
    }

    #[tokio::test]
    async fn headers_are_read_as_they_come() {
        let good = r#"{"jsonrpc":"2.0","method":"exit"}"#;
        let input = format!(
            "garbage\n\r\ncontent-length:{}\nContent-Type: application/vscode-jsonrpc\n\n{good}",
            good.len()
        );
        assert_eq!(through(input.leak().as_bytes()).await, framed(good));
    }

    #[tokio::test]
    async fn half_a_message_is_the_end() {
        assert_eq!(through(b"Content-Length: 99\r\n\r\n{}").await, "");
        assert_eq!(through(b"Content-Le").await, "");
        assert_eq!(
            through(b"Content-Length: 99999999999999\r\n\r\n{}").await,
            ""
        );
        assert_eq!(through(b"Content-Length: -4\r\n\r\n{}").await, "");
    }
}
