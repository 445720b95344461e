//! How much an export may hold.

use crate::fault::ExportFault;

/// The most bytes that are exported in one go, all files together. More could not be read again to
/// see whether it is current.
pub const LARGEST_EXPORT: usize = 256 << 20;

/// Adds the text of a file to the bytes of those before it.
///
/// # Errors
/// When they are more than [`LARGEST_EXPORT`] with it.
pub fn within_export(before: usize, text: &str) -> Result<usize, ExportFault> {
    let bytes = before + text.len();
    if bytes > LARGEST_EXPORT { Err(ExportFault::TooLarge { bytes }) } else { Ok(bytes) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_files_together_may_have_so_much() {
        assert_eq!(within_export(0, "abc"), Ok(3));
        assert_eq!(within_export(LARGEST_EXPORT - 3, "abc"), Ok(LARGEST_EXPORT));
        let fault = within_export(LARGEST_EXPORT - 2, "abc").unwrap_err();
        assert_eq!(fault.slug(), "too-large");
        assert_eq!(
            fault.to_string(),
            "the files of this export have 268435457 bytes; together they may have 268435456"
        );
        assert!(fault.help().is_some());
    }
}
