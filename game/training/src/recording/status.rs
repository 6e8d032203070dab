//! What a recording that was read is worth.

use super::frame::Part;
use super::key::Fingerprint;
use crew::Tick;
use serde::{Deserialize, Serialize};

/// Whether a recording is whole.
///
/// Moments are the first tick that is no longer held: a recording of the ticks
/// 0 to 59 is good until tick 60, one without ticks until the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Status {
    /// Whole, from header to seal. The only status that can be a mark.
    Sealed {
        /// Whose key signed body and envelope; nothing where nobody signed.
        /// Whether that key is one to trust is for the caller to say.
        signed: Option<Fingerprint>,
    },
    /// Whole as bytes go, but a signature does not fit: somebody changed it.
    SealBroken {
        /// The key it claims to be signed by.
        claimed: Fingerprint,
        /// The signature of the body fits: the attempt and its mark are as
        /// they were signed.
        body_holds: bool,
        /// The signature of the envelope fits.
        envelope_holds: bool,
    },
    /// Good as far as it goes, and cut off before it was sealed.
    Unfinished {
        /// What is held ends here.
        until: Tick,
    },
    /// Bytes were changed, lost or put in. With `part` the envelope, the body
    /// may yet be whole ([`super::Recording::body_hash`] says so).
    Damaged {
        /// The first frame that is wrong, counted from 0.
        at_frame: u32,
        /// The part that is wrong.
        part: Part,
        /// What lies before this moment is still good.
        after: Tick,
        /// What is wrong.
        why: Damage,
    },
}

impl Status {
    /// Stable name.
    pub fn id(&self) -> &'static str {
        match self {
            Status::Sealed { .. } => "sealed",
            Status::SealBroken { .. } => "seal_broken",
            Status::Unfinished { .. } => "unfinished",
            Status::Damaged { .. } => "damaged",
        }
    }

    /// Whether it is a whole attempt that may be marked.
    pub fn is_sealed(&self) -> bool {
        matches!(self, Status::Sealed { .. })
    }
}

/// What is wrong with a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Damage {
    /// It does not follow from the frame before it.
    Chain,
    /// It claims to be longer than any frame of its kind, or than the file.
    Length,
    /// It is of no kind that this format has.
    Kind,
    /// It cannot stand where it stands.
    Place,
    /// Its bytes make no sense.
    Content,
    /// It goes past a bound that keeps memory safe.
    Bound,
    /// Something other than the end of the file comes behind the seal.
    Trailer,
}

impl Damage {
    /// Stable name.
    pub fn id(self) -> &'static str {
        match self {
            Damage::Chain => "chain",
            Damage::Length => "length",
            Damage::Kind => "kind",
            Damage::Place => "place",
            Damage::Content => "content",
            Damage::Bound => "bound",
            Damage::Trailer => "trailer",
        }
    }
}
