//! What is signed, and the frame that holds the signatures.

use super::frame::Part;
use super::key::{OpenKey, PublicKey};
use super::sum::Sum;

/// The line of text that a signature is made over.
pub(super) fn message(part: Part, sum: Sum) -> String {
    format!("jetyard {} {sum}\n", part.id())
}

/// The two signatures, each with its key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Signatures {
    pub(super) body: (PublicKey, [u8; 64]),
    pub(super) envelope: (PublicKey, [u8; 64]),
}

impl Signatures {
    pub(super) fn sign(key: &OpenKey, body: Sum, envelope: Sum) -> Self {
        let by = |part, sum| (key.public(), key.sign(message(part, sum).as_bytes()));
        Signatures {
            body: by(Part::Body, body),
            envelope: by(Part::Envelope, envelope),
        }
    }

    pub(super) fn to_bytes(self) -> Vec<u8> {
        let mut out = Vec::with_capacity(192);
        for (key, signature) in [self.body, self.envelope] {
            out.extend_from_slice(&key.0);
            out.extend_from_slice(&signature);
        }
        out
    }

    pub(super) fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let one = |bytes: &[u8]| {
            let (key, signature) = bytes.split_first_chunk::<32>()?;
            Some((PublicKey(*key), signature.try_into().ok()?))
        };
        let (body, envelope) = bytes.split_at_checked(96)?;
        Some(Signatures {
            body: one(body)?,
            envelope: one(envelope)?,
        })
    }

    /// Whether the signature of a part fits its hash and is by this key.
    pub(super) fn holds(&self, part: Part, sum: Sum, signer: PublicKey) -> bool {
        let (key, signature) = match part {
            Part::Body => &self.body,
            Part::Envelope => &self.envelope,
        };
        *key == signer && key.signed(message(part, sum).as_bytes(), signature)
    }
}
