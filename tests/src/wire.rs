//! The protocol's messages as they go over a pipe, for whoever plays the client.

use std::io::BufRead;
use std::path::Path;

/// A message with its header.
pub fn framed(body: impl AsRef<[u8]>) -> Vec<u8> {
    let body = body.as_ref();
    let mut message = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
    message.extend_from_slice(body);
    message
}

/// The body of the next message; `None` at the end, or where no message is.
pub fn read(output: &mut impl BufRead) -> Option<Vec<u8>> {
    let mut length = None;
    loop {
        let mut line = String::new();
        if output.read_line(&mut line).ok()? == 0 {
            return None;
        }
        match line.trim().split_once(": ") {
            Some((name, value)) if name.eq_ignore_ascii_case("content-length") => {
                length = Some(value.parse().ok()?);
            }
            Some(_) => {}
            None if line.trim().is_empty() => break,
            None => return None,
        }
    }
    let mut body = vec![0; length?];
    output.read_exact(&mut body).ok()?;
    Some(body)
}

/// The URI of a path without characters that need escaping.
pub fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}
