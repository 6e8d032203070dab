//! SHA-256 sums, as names of things.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt;

/// The SHA-256 (FIPS 180-4) of something.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Sum(pub [u8; 32]);

impl Sum {
    /// The sum of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Sum(Sha256::digest(bytes).into())
    }

    /// Reads 64 hexadecimal digits.
    pub fn from_hex(text: &str) -> Option<Self> {
        Some(Sum(from_hex(text)?.try_into().ok()?))
    }
}

/// As 64 hexadecimal digits.
impl fmt::Display for Sum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hex(&self.0))
    }
}

impl fmt::Debug for Sum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// Bytes as lower-case hexadecimal digits.
pub(super) fn hex(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    bytes
        .iter()
        .flat_map(|b| [b >> 4, b & 15])
        .map(|d| char::from(DIGITS[usize::from(d)]))
        .collect()
}

/// Hexadecimal digits of either case as bytes.
pub(super) fn from_hex(text: &str) -> Option<Vec<u8>> {
    let digits: Option<Vec<u8>> = text
        .chars()
        .map(|c| c.to_digit(16).map(|d| d as u8))
        .collect();
    let digits = digits?;
    let (pairs, rest) = digits.as_chunks::<2>();
    rest.is_empty()
        .then(|| pairs.iter().map(|[high, low]| high << 4 | low).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sum_of_abc_is_the_published_one() {
        // FIPS 180-4 example "abc" (NIST, Cryptographic Standards and
        // Guidelines, example values for SHA-256).
        let published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Sum::of(b"abc").to_string(), published);
        assert_eq!(Sum::from_hex(published), Some(Sum::of(b"abc")));
        assert_eq!(Sum::from_hex(&published[1..]), None);
        assert_eq!(Sum::from_hex(&published.replace('b', "g")), None);
    }
}
