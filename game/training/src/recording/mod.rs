//! The recording of an attempt: one file, from the first tick to the seal.
//!
//! A recording keeps what the referee saw, so that a mark can be made again
//! anywhere and years later without the yard, and what the hands did, so that
//! the attempt can be run again. It has two parts, laid into one file frame by
//! frame: the *body* depends on nothing but the level, its seed and the
//! inputs, and is equal byte for byte in two runs; the *envelope* says who,
//! when, on what machine and at what pace.
//!
//! # The file
//!
//! All whole numbers are little-endian.
//!
//! ```text
//! file      = "jetyard\n"  version:u16  frame*  trailer
//! frame     = kind:u8  length:u32  payload[length]  chain[8]
//! trailer   = "\nsealed\n"            only behind a seal
//! ```
//!
//! | kind | part     | frame      | payload |
//! |------|----------|------------|---------|
//! | 0x01 | body     | header     | postcard of [`Header`] |
//! | 0x02 | body     | chunk      | packed; up to half a second of ticks, see `chunk.rs` |
//! | 0x03 | body     | keyframe   | tick:u32, then packed bytes the yard can start from |
//! | 0x04 | body     | coverage   | tick:u32, then what became of the surface in the ticks of the chunk behind it, see `coverage.rs` |
//! | 0x05 | body     | end        | postcard of [`End`] |
//! | 0x81 | envelope | opened     | postcard of [`Opened`] |
//! | 0x82 | envelope | closed     | postcard of ([`Closed`], the signer's public key or none) |
//! | 0x83 | envelope | signatures | body key\[32\] body signature\[64\] envelope key\[32\] envelope signature\[64\] |
//!
//! The order is: header, opened, then chunks and keyframes as they come, end,
//! closed, and signatures if closed names a signer. Coverage stands right before
//! the chunk in whose ticks cells of the surface took steps, is stamped with that
//! chunk's first tick, and is not there where none did; so no tick is ever read
//! without its steps, wherever the file was cut off. *Packed* is a
//! byte 0 and the bytes as they are, or a byte 1, their length:u32 and one zstd
//! frame.
//!
//! Each part has its own chain. The chain of a frame is the first 8 bytes of
//! SHA-256(chain before it in the same part, kind, length, payload); before the
//! first frame it is the first 8 bytes of SHA-256("jetyard\n", version, 0x00
//! for the body or 0x80 for the envelope). A byte that is flipped, or a frame
//! that is lost, swapped or slipped in, is thereby found with its place, and
//! everything before it is still good. The chain guards against accidents
//! only; the signatures guard against hands.
//!
//! # The hashes and the signatures
//!
//! The body hash is SHA-256 over all body frames in order, each with its kind,
//! length, payload and chain ([`Recording::body_bytes`]). The envelope hash is
//! SHA-256 over the 32 bytes of the body hash and then the frames opened and
//! closed. What is signed (Ed25519, RFC 8032) is a line of text each:
//! `jetyard body <64 hex digits>` and `jetyard envelope <64 hex digits>`, with
//! a line feed behind it and nothing else. So, with the body bytes, the key
//! and the signature in files of their own, any tool can check a recording:
//!
//! ```text
//! printf 'jetyard body %s\n' "$(sha256sum < body | cut -c1-64)" > message
//! ```
//!
//! and then an Ed25519 check of `message` with that key and signature.
//!
//! # What a recording is worth
//!
//! Only [`Status::Sealed`] is a whole attempt. A file that was cut off by a
//! crash or a power cut is [`Status::Unfinished`] and is never a mark.

mod chunk;
mod columns;
mod coverage;
pub mod envelope;
pub mod fault;
mod frame;
pub mod header;
pub mod journal;
pub mod key;
pub mod keyfile;
mod play;
pub mod read;
mod scan;
mod seal;
pub mod sink;
pub mod status;
pub mod sum;
#[cfg(test)]
mod tests;

pub use envelope::{Closed, FrameStatistics, Mode, Opened};
pub use fault::{JournalFault, ReadFault};
pub use frame::{FORMAT, Part};
pub use header::{Bundle, End, Header, Parent};
pub use journal::{Journal, Sealed};
pub use key::{Fingerprint, OpenKey, PublicKey};
pub use keyfile::{KeyFault, KeyFile};
pub use read::{Keyframe, Recording};
pub use sink::{FileSink, Sink, new_path};
pub use status::{Damage, Status};
pub use sum::Sum;
