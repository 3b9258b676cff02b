//! URIs as editors write them. Some editors do not escape what has to be escaped, such
//! as a bracket or an accented letter. Each message with such a URI would be refused,
//! even `initialize`, where the name of a folder has one.

use std::str::FromStr;

use serde_json::Value;
use tower_lsp::ls_types::Uri;

use crate::percent;

/// The members of the protocol's objects that hold a URI.
const MEMBERS: [&str; 6] = ["uri", "rootUri", "oldUri", "newUri", "scopeUri", "baseUri"];

/// Escapes what has to be escaped in the URIs of a message. Valid URIs stay as they are.
pub fn mend(message: &mut Value) {
    match message {
        Value::Object(members) => {
            for (name, value) in members {
                match value {
                    Value::String(uri) if MEMBERS.contains(&name.as_str()) => mend_one(uri),
                    other => mend(other),
                }
            }
        }
        Value::Array(values) => values.iter_mut().for_each(mend),
        _ => {}
    }
}

fn mend_one(uri: &mut String) {
    if Uri::from_str(uri).is_ok() {
        return;
    }
    let escaped = escaped(uri);
    // What is still not a URI stays as the client wrote it, and is refused where it is parsed.
    if Uri::from_str(&escaped).is_ok() {
        *uri = escaped;
    }
}

/// The text, with every byte escaped that a path may not hold as it is (RFC 3986, 3.3).
fn escaped(text: &str) -> String {
    let bytes = text.as_bytes();
    let is_hex = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_hexdigit);
    percent::encoded(text, |at, byte| match byte {
        b'%' => is_hex(at + 1) && is_hex(at + 2),
        byte => b":/?#@!$&'()*+,;=".contains(&byte),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_has_to_be_escaped_is_and_nothing_else() {
        for (written, read) in [
            ("file:///a [x]/b|^.bell", "file:///a%20%5Bx%5D/b%7C%5E.bell"),
            ("file:///caf\u{e9}/b.bell", "file:///caf%C3%A9/b.bell"),
            ("file:///50%/a%20b c.bell", "file:///50%25/a%20b%20c.bell"),
            ("file:///a+b&c=(d).bell", "file:///a+b&c=(d).bell"),
            ("file:///caf%c3%a9.bell", "file:///caf%c3%a9.bell"),
            ("untitled:Untitled-1", "untitled:Untitled-1"),
            ("::", "::"),
        ] {
            let mut message = json!({"params": [{"uri": written, "text": written}]});
            mend(&mut message);
            let expected = json!({"params": [{"uri": read, "text": written}]});
            assert_eq!(message, expected);
        }
    }
}
