//! How frames lie in the file: kinds, lengths, chains, packing.

use super::coverage::COVERAGE_MOST;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// First bytes of every recording.
pub(super) const MAGIC: &[u8; 8] = b"jetyard\n";

/// Version of the format this release writes; it reads this one.
pub const FORMAT: u16 = 1;

/// Length of the magic and the version.
pub(super) const HEAD: usize = MAGIC.len() + 2;

/// Last bytes of a sealed recording. A file that ends in them was once whole,
/// so that what is wrong with it is damage and not an attempt cut short.
pub(super) const TRAILER: &[u8; 8] = b"\nsealed\n";

/// Bytes of a frame beside its payload.
pub(super) const AROUND: usize = 1 + 4 + 8;

/// Most bytes of a chunk before it is packed.
pub(super) const CHUNK_MOST: usize = 1 << 20;

/// Most bytes of all chunks together before they are packed: many hours, and
/// a bound on the memory that a hostile file can ask for.
pub(super) const ALL_CHUNKS_MOST: usize = 64 << 20;

/// Most bytes of a keyframe before it is packed.
pub(super) const BLOB_MOST: usize = 64 << 20;

/// Most bytes of a bundle.
pub(super) const BUNDLE_MOST: usize = 64 << 20;

/// Effort of zstd: more buys little on noise and costs time in the tick.
const ZSTD_LEVEL: i32 = 3;

/// The two parts of a recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Part {
    /// What depends on level, seed and inputs alone.
    Body,
    /// Who, when, on what and how fast.
    Envelope,
}

impl Part {
    /// Stable name.
    pub fn id(self) -> &'static str {
        match self {
            Part::Body => "body",
            Part::Envelope => "envelope",
        }
    }
}

/// What a frame holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Header = 0x01,
    Chunk = 0x02,
    Keyframe = 0x03,
    Coverage = 0x04,
    End = 0x05,
    Opened = 0x81,
    Closed = 0x82,
    Signatures = 0x83,
}

impl Kind {
    pub(super) fn from_byte(byte: u8) -> Option<Self> {
        use Kind::*;
        [
            Header, Chunk, Keyframe, Coverage, End, Opened, Closed, Signatures,
        ]
        .into_iter()
        .find(|k| *k as u8 == byte)
    }

    pub(super) fn part(self) -> Part {
        if self as u8 & 0x80 == 0 {
            Part::Body
        } else {
            Part::Envelope
        }
    }

    /// Most bytes of the payload. Packing never adds more than its five bytes,
    /// since what does not shrink is kept as it is.
    pub(super) fn payload_most(self) -> usize {
        match self {
            Kind::Header => BUNDLE_MOST + (1 << 20),
            Kind::Chunk => CHUNK_MOST + 5,
            Kind::Keyframe => BLOB_MOST + 9,
            Kind::Coverage => COVERAGE_MOST + 10,
            Kind::Opened => 1 << 16,
            Kind::End | Kind::Closed | Kind::Signatures => 1 << 12,
        }
    }
}

/// The running chain of one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Chain(pub(super) [u8; 8]);

impl Chain {
    pub(super) fn start(part: Part) -> Self {
        let tag = match part {
            Part::Body => 0x00,
            Part::Envelope => 0x80,
        };
        let mut hash = Sha256::new();
        hash.update(MAGIC);
        hash.update(FORMAT.to_le_bytes());
        hash.update([tag]);
        Chain::cut(hash)
    }

    /// The chain behind a frame, of which `frame` is kind, length and payload.
    pub(super) fn after(self, frame: &[u8]) -> Self {
        let mut hash = Sha256::new();
        hash.update(self.0);
        hash.update(frame);
        Chain::cut(hash)
    }

    fn cut(hash: Sha256) -> Self {
        let sum: [u8; 32] = hash.finalize().into();
        let mut first = [0; 8];
        first.copy_from_slice(&sum[..8]);
        Chain(first)
    }
}

/// Makes one frame and moves the chain on. The caller keeps to the most bytes
/// of the kind.
pub(super) fn write(kind: Kind, payload: &[u8], chain: &mut Chain) -> Vec<u8> {
    debug_assert!(payload.len() <= kind.payload_most());
    let mut frame = Vec::with_capacity(payload.len() + AROUND);
    frame.push(kind as u8);
    frame.extend_from_slice(&(payload.len() as u32).to_le_bytes());
    frame.extend_from_slice(payload);
    *chain = chain.after(&frame);
    frame.extend_from_slice(&chain.0);
    frame
}

/// Packs bytes: compressed where that makes them smaller.
pub(super) fn pack(out: &mut Vec<u8>, raw: &[u8]) {
    // The compressor can only fail for want of memory or of room in a buffer
    // that it sizes itself; the bytes as they are serve as well.
    if let Ok(small) = zstd::bulk::compress(raw, ZSTD_LEVEL)
        && small.len() + 4 < raw.len()
    {
        out.push(1);
        out.extend_from_slice(&(raw.len() as u32).to_le_bytes());
        out.extend_from_slice(&small);
    } else {
        out.push(0);
        out.extend_from_slice(raw);
    }
}

/// Undoes [`pack`]; nothing where the bytes are no packing, or of more than
/// `most` bytes.
pub(super) fn unpack(packed: &[u8], most: usize) -> Option<Vec<u8>> {
    match packed.split_first()? {
        (0, raw) if raw.len() <= most => Some(raw.to_vec()),
        (1, rest) => {
            let (length, small) = rest.split_first_chunk::<4>()?;
            let length = u32::from_le_bytes(*length) as usize;
            if length > most {
                return None;
            }
            let raw = zstd::bulk::decompress(small, length).ok()?;
            (raw.len() == length).then_some(raw)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_packed_comes_back_and_no_more_than_was_allowed() {
        let noise: Vec<u8> = (0..64_u32).map(|i| ((i * i * 37) >> 3) as u8).collect();
        for (raw, first) in [(vec![7; 5000], 1), (noise, 0), (Vec::new(), 0)] {
            let mut packed = Vec::new();
            pack(&mut packed, &raw);
            assert_eq!(packed[0], first);
            assert_eq!(unpack(&packed, raw.len()), Some(raw.clone()));
            if let Some(less) = raw.len().checked_sub(1) {
                assert_eq!(unpack(&packed, less), None);
            }
        }
    }
}
