//! Bytes to text.

/// The text with LF as its only line end and without byte-order mark, and whether it had to be
/// read as Latin-1.
pub(crate) fn decode(bytes: &[u8]) -> (String, bool) {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let (text, latin) = match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), false),
        Err(_) => (bytes.iter().map(|&byte| char::from(byte)).collect(), true),
    };
    (text.replace("\r\n", "\n").replace('\r', "\n"), latin)
}
