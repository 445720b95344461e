//! Hashes of files.

use sha2::{Digest, Sha256};

/// The SHA-256 of some bytes, in hexadecimal digits.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::sha256;

    /// From FIPS 180-4's example for `abc`.
    #[test]
    fn the_hash_is_the_standards() {
        assert_eq!(
            sha256(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
