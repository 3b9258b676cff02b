//! The percent-encoding of URIs (RFC 3986, 2.1).

/// The text with every byte encoded but the unreserved ones (2.3) and those that `stays` says,
/// by place and value.
pub fn encoded(text: &str, stays: impl Fn(usize, u8) -> bool) -> String {
    let is_unreserved = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~".contains(&byte);
    let mut encoded = String::with_capacity(text.len());
    for (at, byte) in text.bytes().enumerate() {
        match is_unreserved(byte) || byte.is_ascii() && stays(at, byte) {
            true => encoded.push(byte.into()),
            false => encoded.push_str(&format!("%{byte:02X}")),
        }
    }
    encoded
}
