//! Keys that recordings are signed with.

use super::keyfile::KeyFault;
use super::sum::{Sum, from_hex, hex};
use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};
use serde::{Deserialize, Serialize};
use std::fmt;

/// The half of a key that may be known to all: enough to check a signature.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PublicKey(pub [u8; 32]);

impl PublicKey {
    /// Reads 64 hexadecimal digits.
    pub fn from_hex(text: &str) -> Option<Self> {
        Some(PublicKey(from_hex(text)?.try_into().ok()?))
    }

    /// Whether this key signed these bytes (Ed25519, RFC 8032; keys and
    /// signatures that a stranger could make fit are refused).
    pub fn signed(&self, message: &[u8], signature: &[u8; 64]) -> bool {
        VerifyingKey::from_bytes(&self.0).is_ok_and(|key| {
            key.verify_strict(message, &Signature::from_bytes(signature))
                .is_ok()
        })
    }

    /// The short code of the key.
    pub fn fingerprint(&self) -> Fingerprint {
        let mut code = [0; 10];
        code.copy_from_slice(&Sum::of(&self.0).0[..10]);
        Fingerprint(code)
    }
}

/// As 64 hexadecimal digits.
impl fmt::Display for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hex(&self.0))
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// Short code of a public key, to be read out and compared by eye: the first
/// 80 bits of its SHA-256, five bits to the letter, in four groups. Letters
/// that are taken for others (I, L, O, U) are not used.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Fingerprint([u8; 10]);

/// For example `3F9K-T0ZQ-7RMB-W2C5`.
impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
        for (group, five) in self.0.chunks(5).enumerate() {
            let bits = five.iter().fold(0_u64, |bits, b| bits << 8 | u64::from(*b));
            let letter = |at: u32| char::from(LETTERS[(bits >> (35 - 5 * at) & 31) as usize]);
            let half = |from: u32| (from..from + 4).map(letter).collect::<String>();
            let dash = if group == 0 { "" } else { "-" };
            write!(f, "{dash}{}-{}", half(0), half(4))?;
        }
        Ok(())
    }
}

impl fmt::Debug for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A key that can sign. It is kept in a [`super::KeyFile`] and nowhere else.
#[derive(Clone)]
pub struct OpenKey(SigningKey);

impl OpenKey {
    /// A new key, out of the system's own randomness: the only thing of this
    /// crate that is not the same twice.
    ///
    /// # Errors
    /// [`KeyFault::NoRandomness`] where the system has none to give.
    pub fn make() -> Result<Self, KeyFault> {
        let mut secret = [0; 32];
        getrandom::fill(&mut secret).map_err(|_| KeyFault::NoRandomness)?;
        Ok(OpenKey::from_secret(secret))
    }

    /// The key of this secret.
    pub fn from_secret(secret: [u8; 32]) -> Self {
        OpenKey(SigningKey::from_bytes(&secret))
    }

    /// The half that may be known to all.
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }

    /// Signs bytes (Ed25519, RFC 8032).
    pub fn sign(&self, message: &[u8]) -> [u8; 64] {
        self.0.sign(message).to_bytes()
    }

    pub(super) fn secret(&self) -> [u8; 32] {
        self.0.to_bytes()
    }
}

/// Shows the public half only.
impl fmt::Debug for OpenKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "OpenKey({})", self.public())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_published_secret_gives_its_published_key_and_signature() {
        // RFC 8032 section 7.1, test 2 (message of one byte, 0x72).
        let secret = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb";
        let public = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";
        let signature = "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da\
                         085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00";
        let key = OpenKey::from_secret(from_hex(secret).unwrap().try_into().unwrap());
        assert_eq!(key.public().to_string(), public);
        assert_eq!(hex(&key.sign(&[0x72])), signature);
        assert!(key.public().signed(&[0x72], &key.sign(&[0x72])));
        assert!(!key.public().signed(&[0x73], &key.sign(&[0x72])));
    }

    #[test]
    fn a_key_of_all_zeros_signs_nothing() {
        assert!(!PublicKey([0; 32]).signed(b"anything", &[0; 64]));
    }

    #[test]
    fn a_fingerprint_is_the_first_bits_of_the_sum_of_the_key() {
        let key = PublicKey([7; 32]);
        let letters: String = key.fingerprint().to_string().replace('-', "");
        let bits = letters.chars().fold(0_u128, |bits, c| {
            let digit = "0123456789ABCDEFGHJKMNPQRSTVWXYZ".find(c).unwrap();
            bits << 5 | digit as u128
        });
        let first: [u8; 16] = Sum::of(&key.0).0[..16].try_into().unwrap();
        assert_eq!(bits, u128::from_be_bytes(first) >> 48);
        assert_eq!(letters.len(), 16);
    }
}
