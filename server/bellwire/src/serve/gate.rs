//! The gate in front of the protocol: reads messages, each as one piece, and tells
//! well-formed ones from others, which do not end the conversation.

use serde_json::Value;
use tokio::io::{AsyncBufReadExt, AsyncRead, AsyncReadExt, BufReader};
use tower_lsp::jsonrpc::{Request, Response};

use super::{edits, uris};

/// The longest message, in bytes; the largest plan that is read from disk has
/// 16 MiB, and escaping may double that.
const LARGEST: u64 = 64 << 20;

/// The longest line of a header, in bytes.
const LONGEST: u64 = 4096;

/// What the client says.
#[derive(Debug, PartialEq)]
pub enum Message {
    /// A request or a notification.
    Call(Request),
    /// The answer to a request of ours.
    Answer(Response),
    /// Something that is not JSON-RPC 2.0.
    Unreadable,
}

/// Reads messages one after the other.
pub struct Gate<I>(BufReader<I>);

impl<I: AsyncRead + Unpin> Gate<I> {
    /// A gate that reads from `input`.
    pub fn new(input: I) -> Gate<I> {
        Gate(BufReader::with_capacity(1 << 16, input))
    }

    /// The next message; `None` when the input ends or breaks off.
    pub async fn next(&mut self) -> Option<Message> {
        let length = header(&mut self.0).await?;
        let body = body(&mut self.0, length).await?;
        let message = message(&body).unwrap_or(Message::Unreadable);
        if message == Message::Unreadable {
            tracing::warn!("a message of {length} bytes is not JSON-RPC and was refused");
        }
        Some(message)
    }
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
                    Err(_) => tracing::warn!("the length in a header is not a number"),
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

/// What a body says, if it is a request, a notification or a response of JSON-RPC 2.0.
fn message(body: &[u8]) -> Option<Message> {
    well_formed(body).or_else(|| {
        let message = well_formed(&paired(body)?);
        tracing::warn!("half a character came, and stands as U+FFFD");
        message
    })
}

/// A body with U+FFFD for each escaped surrogate without its other half; `None` if there is
/// none. Some editors cut a character in two, and to refuse the edit would leave us with
/// another text than theirs. U+FFFD takes as much room as half a pair, one unit in UTF-16
/// and three bytes, so every place still holds.
fn paired(body: &[u8]) -> Option<Vec<u8>> {
    let unit = |at: usize| match body.get(at..at + 2)? {
        br"\u" => {
            let digits = std::str::from_utf8(body.get(at + 2..at + 6)?).ok()?;
            u16::from_str_radix(digits, 16).ok()
        }
        _ => None,
    };
    let (mut whole, mut at) = (body.to_vec(), 0);
    while at < body.len() {
        at += match (unit(at), unit(at + 6)) {
            (Some(0xd800..=0xdbff), Some(0xdc00..=0xdfff)) => 12,
            (Some(0xd800..=0xdfff), _) => {
                whole.get_mut(at + 2..at + 6)?.copy_from_slice(b"fffd");
                6
            }
            (Some(_), _) => 6,
            (None, _) if body.get(at) == Some(&b'\\') => 2,
            (None, _) => 1,
        };
    }
    (whole != body).then_some(whole)
}

fn well_formed(body: &[u8]) -> Option<Message> {
    let mut message: Value = serde_json::from_slice(body).ok()?;
    uris::mend(&mut message);
    edits::mend(&mut message);
    let is_call = message.as_object()?.contains_key("method");
    match is_call {
        true => serde_json::from_value(message).ok().map(Message::Call),
        false => serde_json::from_value(message).ok().map(Message::Answer),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn through(input: impl AsRef<[u8]>) -> Vec<Message> {
        let mut gate = Gate::new(input.as_ref());
        let mut messages = Vec::new();
        while let Some(message) = gate.next().await {
            messages.push(message);
        }
        messages
    }

    fn framed(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    #[tokio::test]
    async fn good_messages_pass_and_bad_ones_are_marked() {
        let good = r#"{"jsonrpc":"2.0","id":1,"method":"shutdown"}"#;
        let call = Request::build("shutdown").id(1).finish();
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
            let messages = through(framed(bad) + &framed(good)).await;
            let expected = [Message::Unreadable, Message::Call(call.clone())];
            assert_eq!(messages, expected, "{bad}");
        }
    }

    #[tokio::test]
    async fn answers_are_told_from_calls() {
        let answer = r#"{"jsonrpc":"2.0","id":"a","result":null}"#;
        let expected = Response::from_ok("a".into(), Value::Null);
        let messages = through(framed(answer)).await;
        assert_eq!(messages, [Message::Answer(expected)]);
    }

    #[tokio::test]
    async fn half_a_character_counts_as_much_as_the_editor_says() {
        let text = |text: &str| Request::build("say").params(Value::from(text)).finish();
        for (sent, read) in [
            (r"\ud800", "\u{fffd}"),
            (r"a\uDFFF\ud83d\ude00b", "a\u{fffd}😀b"),
            (r"\ud83d\ud83d\ude00", "\u{fffd}😀"),
            (r"\\ud800\ude00", "\\ud800\u{fffd}"),
            (r"\\\ud800\n", "\\\u{fffd}\n"),
            (r"\ud83d\ude00", "😀"),
        ] {
            let call = format!(r#"{{"jsonrpc":"2.0","method":"say","params":"{sent}"}}"#);
            let messages = through(framed(&call)).await;
            assert_eq!(messages, [Message::Call(text(read))], "{sent}");
        }
    }

    #[tokio::test]
    async fn headers_are_read_as_they_come() {
        let good = r#"{"jsonrpc":"2.0","method":"exit"}"#;
        let input = format!(
            "garbage\n\r\ncontent-length:{}\nContent-Type: application/vscode-jsonrpc\n\n{good}",
            good.len()
        );
        let call = Request::build("exit").finish();
        assert_eq!(through(input).await, [Message::Call(call)]);
    }

    #[tokio::test]
    async fn half_a_message_is_the_end() {
        assert_eq!(through(b"Content-Length: 99\r\n\r\n{}").await, []);
        assert_eq!(through(b"Content-Le").await, []);
        assert_eq!(
            through(b"Content-Length: 99999999999999\r\n\r\n{}").await,
            []
        );
        assert_eq!(through(b"Content-Length: -4\r\n\r\n{}").await, []);
    }
}
