//! Writes an attempt down while it runs.

use super::chunk::{CHUNK_TICKS, Gathered};
use super::coverage::{self, COVERAGE_MOST, STEPS_MOST};
use super::envelope::{Closed, Opened};
use super::fault::JournalFault;
use super::frame::{
    self, ALL_CHUNKS_MOST, BLOB_MOST, CHUNK_MOST, Chain, FORMAT, Kind, MAGIC, Part, TRAILER,
};
use super::header::{End, Header};
use super::key::{OpenKey, PublicKey};
use super::seal::Signatures;
use super::sink::Sink;
use super::sum::Sum;
use crate::channels::{ChannelSpec, Sample, is_sampled};
use crate::event::Event;
use crate::surface::SurfaceStep;
use crew::{Input, Tick};
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::VecDeque;

/// A recording that is being written.
///
/// Half a second at a time goes to the sink and is synced, so that whatever
/// ends the program or the machine costs less than a second of the attempt.
/// After a fault of the sink the journal stays faulty: what it wrote before
/// can be read, and it writes no more.
#[derive(Debug)]
pub struct Journal<S> {
    sink: S,
    channels: Vec<ChannelSpec>,
    writer: Writer,
    gathered: Gathered,
    /// Samples before the gathered chunk; empty before the first.
    held: Vec<Sample>,
    /// The tick that is due.
    next: Tick,
    /// What lies before is synced.
    safe_until: Tick,
    /// What lies before these is on its way to be synced, the earliest first.
    on_its_way: VecDeque<Tick>,
    chunk_bytes: usize,
    step_count: usize,
    fault: Option<JournalFault>,
}

/// A recording that was sealed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// Names the attempt: equal in two runs of the same inputs.
    pub body_hash: Sum,
    /// Names the sitting.
    pub envelope_hash: Sum,
    /// Who signed it.
    pub signed_by: Option<PublicKey>,
}

/// Frames, their chains and the hashes over them.
#[derive(Debug)]
struct Writer {
    body: Chain,
    envelope: Chain,
    body_hash: Sha256,
    envelope_frames: Vec<u8>,
}

impl Writer {
    fn new() -> Self {
        Writer {
            body: Chain::start(Part::Body),
            envelope: Chain::start(Part::Envelope),
            body_hash: Sha256::new(),
            envelope_frames: Vec::new(),
        }
    }

    fn frame(&mut self, kind: Kind, payload: &[u8]) -> Vec<u8> {
        match kind.part() {
            Part::Body => {
                let frame = frame::write(kind, payload, &mut self.body);
                self.body_hash.update(&frame);
                frame
            }
            Part::Envelope => {
                let frame = frame::write(kind, payload, &mut self.envelope);
                self.envelope_frames.extend_from_slice(&frame);
                frame
            }
        }
    }
}

impl<S: Sink> Journal<S> {
    /// Writes and syncs the head of a recording. The attempt starts at tick 0,
    /// also when it was taken up from another: what went before is copied.
    ///
    /// # Errors
    /// [`JournalFault::Field`] for a header or an envelope that cannot be
    /// written as it is, or a fault of the sink.
    pub fn begin(mut sink: S, header: Header, opened: Opened) -> Result<Self, JournalFault> {
        if let Some(field) = header.problem().or(opened.problem()) {
            return Err(JournalFault::Field { field });
        }
        let mut writer = Writer::new();
        let mut bytes = MAGIC.to_vec();
        bytes.extend_from_slice(&FORMAT.to_le_bytes());
        bytes.extend(writer.frame(Kind::Header, &postcard("header", Kind::Header, &header)?));
        bytes.extend(writer.frame(Kind::Opened, &postcard("opened", Kind::Opened, &opened)?));
        sink.write_all(&bytes)
            .and_then(|()| sink.sync())
            .map_err(|fault| JournalFault::of_sink(&fault, Tick(0)))?;
        Ok(Journal {
            sink,
            channels: header.channels,
            writer,
            gathered: Gathered::default(),
            held: Vec::new(),
            next: Tick(0),
            safe_until: Tick(0),
            on_its_way: VecDeque::new(),
            chunk_bytes: 0,
            step_count: 0,
            fault: None,
        })
    }

    /// What lies before this tick outlives a power cut.
    pub fn safe_until(&self) -> Tick {
        self.safe_until
    }

    /// Takes in one tick: what hands did in it, each channel's present sample
    /// in the order of the table, what happened, what became of the surface, and
    /// a digest of the state of the yard behind it, every second or so.
    ///
    /// # Errors
    /// Ticks that are not one behind the other, inputs stamped with another
    /// tick, samples that a recording could not give back, or a fault of the
    /// sink. The first three take nothing in and leave the journal as it was; a
    /// fault of the sink, or more than a recording holds, is for good.
    pub fn tick(
        &mut self,
        tick: Tick,
        inputs: &[Input],
        samples: &[Sample],
        events: &[Event],
        steps: &[SurfaceStep],
        digest: Option<u64>,
    ) -> Result<(), JournalFault> {
        self.sound()?;
        self.due(tick)?;
        for input in inputs {
            self.due(input.tick)?;
        }
        self.on_beat(tick, samples)?;
        // The last tick of all can have none behind it.
        let next = tick.0.checked_add(1).ok_or(JournalFault::TooMuch {
            what: "recording",
            tick,
        })?;

        let g = &mut self.gathered;
        if g.ticks == 0 {
            g.start = tick;
        }
        g.ticks += 1;
        g.rows.extend_from_slice(samples);
        g.inputs.extend_from_slice(inputs);
        g.events.extend(events.iter().map(|e| (tick, *e)));
        g.steps.extend(steps.iter().map(|s| (tick, *s)));
        g.digests.extend(digest.map(|d| (tick, d)));
        self.next = Tick(next);
        if next.is_multiple_of(CHUNK_TICKS) {
            self.write_chunk()?;
        }
        Ok(())
    }

    /// Puts down a state that the yard can start from, as it is before `tick`,
    /// which must be the tick that is due.
    ///
    /// # Errors
    /// Another tick, more bytes than a recording holds, or a fault of the sink.
    pub fn keyframe(&mut self, tick: Tick, state: &[u8]) -> Result<(), JournalFault> {
        self.sound()?;
        self.due(tick)?;
        if state.len() > BLOB_MOST {
            let what = "keyframe";
            return Err(JournalFault::TooMuch { what, tick });
        }
        self.write_chunk()?;
        let frame = self.writer.frame(Kind::Keyframe, &stamped(tick, state));
        self.write(&frame)
    }

    /// Ends the body, closes the envelope and signs both, if there is a key.
    ///
    /// # Errors
    /// [`JournalFault::Nothing`] for an attempt of no ticks,
    /// [`JournalFault::Order`] for an end that is not at the last tick, or a
    /// fault of the sink. The recording then stays unfinished.
    pub fn seal(
        mut self,
        end: End,
        closed: Closed,
        key: Option<&OpenKey>,
    ) -> Result<Sealed, JournalFault> {
        self.sound()?;
        if self.next == Tick(0) {
            return Err(JournalFault::Nothing);
        }
        let last = Tick(self.next.0 - 1);
        if end.last != last {
            let (due, came) = (last, end.last);
            return Err(JournalFault::Order { due, came });
        }
        self.write_chunk()?;
        let signed_by = key.map(OpenKey::public);
        let mut bytes = self
            .writer
            .frame(Kind::End, &postcard("end", Kind::End, &end)?);
        let closed = postcard("closed", Kind::Closed, &(closed, signed_by))?;
        bytes.extend(self.writer.frame(Kind::Closed, &closed));
        let body_hash = Sum(self.writer.body_hash.clone().finalize().into());
        let envelope_hash = envelope_hash(body_hash, &self.writer.envelope_frames);
        if let Some(key) = key {
            let signatures = Signatures::sign(key, body_hash, envelope_hash).to_bytes();
            bytes.extend(self.writer.frame(Kind::Signatures, &signatures));
        }
        bytes.extend_from_slice(TRAILER);
        self.write(&bytes)?;
        self.sync()?;
        Ok(Sealed {
            body_hash,
            envelope_hash,
            signed_by,
        })
    }

    fn sound(&self) -> Result<(), JournalFault> {
        self.fault.clone().map_or(Ok(()), Err)
    }

    fn due(&self, came: Tick) -> Result<(), JournalFault> {
        let due = self.next;
        if came == due {
            Ok(())
        } else {
            Err(JournalFault::Order { due, came })
        }
    }

    /// A channel may move in the ticks its table gives it samples in, and in
    /// no other; in the first tick it may have any value.
    fn on_beat(&self, tick: Tick, samples: &[Sample]) -> Result<(), JournalFault> {
        let (due, came) = (self.channels.len(), samples.len());
        if due != came {
            return Err(JournalFault::Samples { due, came });
        }
        let gathered = &self.gathered.rows;
        let before = if gathered.is_empty() {
            &self.held
        } else {
            &gathered[gathered.len() - due..]
        };
        for (index, (spec, sample)) in self.channels.iter().zip(samples).enumerate() {
            let flat = sample.min == sample.mean && sample.max == sample.mean;
            let moved = before.get(index).is_some_and(|held| held != sample);
            if (!spec.spread && !flat) || (moved && !is_sampled(tick, spec.every)) {
                let channel = spec.id.clone();
                return Err(JournalFault::OffBeat { channel, tick });
            }
        }
        Ok(())
    }

    fn write_chunk(&mut self) -> Result<(), JournalFault> {
        if self.gathered.ticks == 0 {
            return Ok(());
        }
        let held = (!self.held.is_empty()).then_some(self.held.as_slice());
        let chunk = self.gathered.encode(&self.channels, held);
        self.chunk_bytes += chunk.len();
        let steps = &self.gathered.steps;
        self.step_count += steps.len();
        let covered = (!steps.is_empty()).then(|| coverage::payload(self.gathered.start, steps));
        let (coverage, coverage_bytes) = covered.unzip();
        let too_much = if chunk.len() > CHUNK_MOST {
            Some("chunk")
        } else if coverage_bytes > Some(COVERAGE_MOST) || self.step_count > STEPS_MOST {
            Some("coverage")
        } else if self.chunk_bytes > ALL_CHUNKS_MOST {
            Some("recording")
        } else {
            None
        };
        if let Some(what) = too_much {
            let tick = self.gathered.start;
            return self.fail(JournalFault::TooMuch { what, tick });
        }
        let mut payload = Vec::with_capacity(chunk.len() + 1);
        frame::pack(&mut payload, &chunk);
        let mut frames = coverage.map_or_else(Vec::new, |coverage| {
            self.writer.frame(Kind::Coverage, &coverage)
        });
        frames.extend(self.writer.frame(Kind::Chunk, &payload));
        let rows = &self.gathered.rows;
        self.held = rows[rows.len() - self.channels.len()..].to_vec();
        self.gathered.clear();
        self.write(&frames)?;
        self.on_its_way.push_back(self.next);
        match self.sink.begin_sync() {
            Ok(open) => {
                while self.on_its_way.len() > open {
                    self.safe_until = self.on_its_way.pop_front().unwrap_or(self.safe_until);
                }
                Ok(())
            }
            Err(fault) => self.fail(JournalFault::of_sink(&fault, self.safe_until)),
        }
    }

    fn write(&mut self, bytes: &[u8]) -> Result<(), JournalFault> {
        match self.sink.write_all(bytes) {
            Ok(()) => Ok(()),
            Err(fault) => self.fail(JournalFault::of_sink(&fault, self.safe_until)),
        }
    }

    fn sync(&mut self) -> Result<(), JournalFault> {
        match self.sink.sync() {
            Ok(()) => Ok(()),
            Err(fault) => self.fail(JournalFault::of_sink(&fault, self.safe_until)),
        }
    }

    fn fail(&mut self, fault: JournalFault) -> Result<(), JournalFault> {
        self.fault = Some(fault.clone());
        Err(fault)
    }
}

/// The hash of the envelope: the body hash, and the frames before the
/// signatures.
pub(super) fn envelope_hash(body: Sum, frames: &[u8]) -> Sum {
    let mut hash = Sha256::new();
    hash.update(body.0);
    hash.update(frames);
    Sum(hash.finalize().into())
}

fn stamped(tick: Tick, bytes: &[u8]) -> Vec<u8> {
    let mut out = tick.0.to_le_bytes().to_vec();
    frame::pack(&mut out, bytes);
    out
}

fn postcard(
    field: &'static str,
    kind: Kind,
    value: &impl Serialize,
) -> Result<Vec<u8>, JournalFault> {
    postcard::to_allocvec(value)
        .ok()
        .filter(|bytes| bytes.len() <= kind.payload_most())
        .ok_or(JournalFault::Field { field })
}
