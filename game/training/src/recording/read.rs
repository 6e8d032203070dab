//! A recording that was read.

use super::envelope::{Closed, Opened};
use super::fault::ReadFault;
use super::frame::{self, BLOB_MOST};
use super::header::{End, Header};
use super::key::PublicKey;
use super::scan::{Scan, scan};
use super::status::Status;
use super::sum::Sum;
use crate::event::Event;
use crate::surface::SurfaceStep;
use crew::{Input, Tick};
use std::fs::File;
use std::io::Read;
use std::ops::Range;
use std::path::Path;

/// Most bytes of a file that is read: fifty times what twenty minutes take.
const FILE_MOST: u64 = 512 << 20;

/// Everything sound of a recording. Where it is damaged or unfinished, this is
/// all that lies before the place.
#[derive(Clone, Debug)]
pub struct Recording {
    bytes: Vec<u8>,
    pub(super) scan: Scan,
}

/// A state that the yard can start from.
#[derive(Clone, Copy, Debug)]
pub struct Keyframe<'a> {
    /// The tick that is run next from it.
    pub tick: Tick,
    packed: &'a [u8],
}

impl Keyframe<'_> {
    /// Unpacks the state.
    ///
    /// # Errors
    /// [`ReadFault::Keyframe`] for a frame whose bytes are whole and make no
    /// sense.
    pub fn state(&self) -> Result<Vec<u8>, ReadFault> {
        let tick = self.tick;
        frame::unpack(self.packed, BLOB_MOST).ok_or(ReadFault::Keyframe { tick })
    }
}

impl Recording {
    /// Reads a recording. Bytes from anywhere are safe to read; what they are
    /// worth is in [`Recording::status`].
    ///
    /// # Errors
    /// Bytes that do not even give a header.
    pub fn read(bytes: impl Into<Vec<u8>>) -> Result<Self, ReadFault> {
        let bytes = bytes.into();
        let length = bytes.len() as u64;
        if length > FILE_MOST {
            return Err(too_large(length));
        }
        let scan = scan(&bytes)?;
        Ok(Recording { bytes, scan })
    }

    /// Reads a recording from a file.
    ///
    /// # Errors
    /// A file that cannot be read, or whose bytes do not even give a header.
    pub fn load(path: &Path) -> Result<Self, ReadFault> {
        let not_read = |fault: std::io::Error| ReadFault::NotRead {
            path: path.display().to_string(),
            reason: fault.to_string(),
        };
        let file = File::open(path).map_err(not_read)?;
        let length = file.metadata().map_err(not_read)?.len();
        if length > FILE_MOST {
            return Err(too_large(length));
        }
        let mut bytes = Vec::with_capacity(length as usize);
        // What is no plain file can be longer than it says.
        file.take(FILE_MOST + 1)
            .read_to_end(&mut bytes)
            .map_err(not_read)?;
        Recording::read(bytes)
    }

    /// Whether it is a whole attempt.
    pub fn status(&self) -> Status {
        self.scan.status
    }

    /// What was run, and how it was measured.
    pub fn header(&self) -> &Header {
        &self.scan.header
    }

    /// Who and when, unless that is damaged.
    pub fn opened(&self) -> Option<&Opened> {
        self.scan.opened.as_ref()
    }

    /// The pace, if the recording was sealed and this is not damaged.
    pub fn closed(&self) -> Option<&Closed> {
        self.scan.closed.as_ref()
    }

    /// How it ended, if the body is whole.
    pub fn end(&self) -> Option<&End> {
        self.scan.end.as_ref()
    }

    /// Names the attempt, if the body is whole. It may be whole where the
    /// envelope is not.
    pub fn body_hash(&self) -> Option<Sum> {
        self.scan.body_hash
    }

    /// Names the sitting, if body and envelope are whole.
    pub fn envelope_hash(&self) -> Option<Sum> {
        self.scan.envelope_hash
    }

    /// Whose signature fits the body, whatever became of the envelope.
    pub fn body_signed_by(&self) -> Option<PublicKey> {
        self.scan.body_signer
    }

    /// The frames of the body that are sound, as their hash is made over them.
    pub fn body_bytes(&self) -> Vec<u8> {
        let frames = self.scan.body_frames.iter();
        frames
            .flat_map(|range| &self.bytes[range.clone()])
            .copied()
            .collect()
    }

    /// Whether this attempt was restarted from a moment of that other one: it
    /// names it, and inputs, events and digests before that moment are the
    /// other's.
    pub fn is_restarted_from(&self, other: &Recording) -> bool {
        let Some(parent) = self.header().parent else {
            return false;
        };
        let before = |tick: Tick| tick < parent.tick;
        let history = |recording: &Recording| {
            let timeline = &recording.scan.timeline;
            let inputs = timeline.inputs.iter().take_while(|i| before(i.tick));
            let events = timeline.events.iter().take_while(|e| before(e.0));
            let digests = timeline.digests.iter().take_while(|d| before(d.0));
            (
                inputs.copied().collect::<Vec<_>>(),
                events.copied().collect::<Vec<_>>(),
                digests.copied().collect::<Vec<_>>(),
            )
        };
        other.body_hash() == Some(parent.body)
            && parent.tick <= other.until()
            && history(self) == history(other)
    }

    /// The first tick that is not held.
    pub fn until(&self) -> Tick {
        self.scan.timeline.until()
    }

    /// All inputs, in the order of their ticks.
    pub fn inputs(&self) -> &[Input] {
        &self.scan.timeline.inputs
    }

    /// All events with their ticks, in order.
    pub fn events(&self) -> &[(Tick, Event)] {
        &self.scan.timeline.events
    }

    /// All steps that cells of the surface took, with their ticks, in order.
    pub fn steps(&self) -> &[(Tick, SurfaceStep)] {
        &self.scan.timeline.steps
    }

    /// Digests of the state of the yard behind a tick, in order.
    pub fn digests(&self) -> &[(Tick, u64)] {
        &self.scan.timeline.digests
    }

    /// All keyframes, in order; their states are still packed.
    pub fn keyframes(&self) -> impl ExactSizeIterator<Item = Keyframe<'_>> {
        self.scan.keyframes.iter().map(|entry| self.keyframe(entry))
    }

    /// The last keyframe from which `tick` can be reached.
    pub fn keyframe_before(&self, tick: Tick) -> Option<Keyframe<'_>> {
        let all = &self.scan.keyframes;
        let behind = all.partition_point(|(at, _)| *at <= tick);
        all[..behind].last().map(|entry| self.keyframe(entry))
    }

    fn keyframe(&self, (tick, range): &(Tick, Range<usize>)) -> Keyframe<'_> {
        Keyframe {
            tick: *tick,
            packed: &self.bytes[range.clone()],
        }
    }
}

fn too_large(bytes: u64) -> ReadFault {
    ReadFault::TooLarge {
        bytes,
        most: FILE_MOST,
    }
}
