//! Goes through the bytes of a recording, frame by frame, and keeps what is
//! sound.

use super::chunk::Timeline;
use super::coverage::{self, STEPS_MOST};
use super::envelope::{Closed, Opened};
use super::fault::ReadFault;
use super::frame::{
    self, ALL_CHUNKS_MOST, AROUND, CHUNK_MOST, Chain, FORMAT, HEAD, Kind, MAGIC, Part, TRAILER,
};
use super::header::{End, Header};
use super::journal::envelope_hash;
use super::key::PublicKey;
use super::seal::Signatures;
use super::status::{Damage, Status};
use super::sum::Sum;
use crate::surface::SurfaceStep;
use crew::Tick;
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use std::ops::Range;

/// Everything sound that the bytes hold.
#[derive(Clone, Debug)]
pub(super) struct Scan {
    pub(super) header: Header,
    pub(super) opened: Option<Opened>,
    pub(super) timeline: Timeline,
    /// Tick and place of the packed bytes.
    pub(super) keyframes: Vec<(Tick, Range<usize>)>,
    /// Steps that were read and whose chunk has not come yet.
    ahead: Vec<(Tick, SurfaceStep)>,
    pub(super) body_frames: Vec<Range<usize>>,
    pub(super) end: Option<End>,
    pub(super) closed: Option<Closed>,
    pub(super) body_hash: Option<Sum>,
    pub(super) envelope_hash: Option<Sum>,
    pub(super) body_signer: Option<PublicKey>,
    pub(super) status: Status,
}

/// What may come next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Due {
    Opened,
    Running,
    Closed,
    /// As closed said, or, where closed is damaged, as it comes.
    Signatures,
    Trailer,
}

/// What a frame was, or why there is none.
enum Step<'a> {
    Frame(Frame<'a>),
    Torn,
    Damaged(Damage, Part),
}

struct Frame<'a> {
    kind: Kind,
    payload: &'a [u8],
    /// Place of the payload in the file.
    at: usize,
    range: Range<usize>,
    chained: bool,
}

struct Walk<'a> {
    bytes: &'a [u8],
    at: usize,
    body: Chain,
    envelope: Chain,
}

impl<'a> Walk<'a> {
    fn step(&mut self) -> Step<'a> {
        let rest = &self.bytes[self.at..];
        let torn = |part| {
            if self.bytes.ends_with(TRAILER) {
                Step::Damaged(Damage::Length, part)
            } else {
                Step::Torn
            }
        };
        let Some(&first) = rest.first() else {
            return torn(Part::Body);
        };
        let Some(kind) = Kind::from_byte(first) else {
            // A power cut can leave a tail of zeros: room that was taken and
            // not yet filled.
            return if zeros(rest) {
                Step::Torn
            } else {
                Step::Damaged(Damage::Kind, Part::Body)
            };
        };
        let part = kind.part();
        let Some((length, _)) = rest[1..].split_first_chunk::<4>() else {
            return torn(part);
        };
        let length = u32::from_le_bytes(*length) as usize;
        if length > kind.payload_most() {
            return Step::Damaged(Damage::Length, part);
        }
        let Some(whole) = rest.get(..length + AROUND) else {
            return torn(part);
        };
        let (framed, stored) = whole.split_at(length + 5);
        let chain = match part {
            Part::Body => &mut self.body,
            Part::Envelope => &mut self.envelope,
        };
        let due = chain.after(framed);
        let behind = &rest[whole.len()..];
        if due.0 != stored && zeros(stored) && zeros(behind) {
            // Such a tail can begin inside a frame.
            return torn(part);
        }
        // Going on from what is stored shows whether later frames are sound.
        chain.0.copy_from_slice(stored);
        let range = self.at..self.at + whole.len();
        self.at = range.end;
        Step::Frame(Frame {
            kind,
            payload: &framed[5..],
            at: range.start + 5,
            range,
            chained: due == *chain,
        })
    }
}

fn zeros(bytes: &[u8]) -> bool {
    bytes.iter().all(|byte| *byte == 0)
}

/// Goes through the bytes.
pub(super) fn scan(bytes: &[u8]) -> Result<Scan, ReadFault> {
    let (walk, header, header_range) = head(bytes)?;
    let scan = Scan {
        timeline: Timeline::default(),
        header,
        opened: None,
        keyframes: Vec::new(),
        ahead: Vec::new(),
        body_frames: vec![header_range],
        end: None,
        closed: None,
        body_hash: None,
        envelope_hash: None,
        body_signer: None,
        status: Status::Unfinished { until: Tick(0) },
    };
    Ok(scan.through(walk))
}

/// Reads what must be there for there to be a recording at all.
fn head(bytes: &[u8]) -> Result<(Walk<'_>, Header, Range<usize>), ReadFault> {
    let magic = &bytes[..bytes.len().min(MAGIC.len())];
    if !MAGIC.starts_with(magic) {
        return Err(ReadFault::NotARecording);
    }
    let version = bytes.get(MAGIC.len()..HEAD).ok_or(ReadFault::NothingYet)?;
    let found = u16::from_le_bytes([version[0], version[1]]);
    if found != FORMAT {
        let known = FORMAT;
        return Err(ReadFault::UnknownFormat { found, known });
    }
    let mut walk = Walk {
        bytes,
        at: HEAD,
        body: Chain::start(Part::Body),
        envelope: Chain::start(Part::Envelope),
    };
    let why = match walk.step() {
        Step::Torn => return Err(ReadFault::NothingYet),
        Step::Damaged(why, _) => why,
        Step::Frame(frame) if !frame.chained => Damage::Chain,
        Step::Frame(frame) if frame.kind != Kind::Header => Damage::Place,
        Step::Frame(frame) => match postcard::<Header>(frame.payload) {
            Some(header) if header.problem().is_none() => {
                return Ok((walk, header, frame.range));
            }
            _ => Damage::Content,
        },
    };
    Err(ReadFault::Header { why })
}

impl Scan {
    fn through(mut self, mut walk: Walk<'_>) -> Self {
        let mut due = Due::Opened;
        let mut frames = 1_u32;
        let mut chunk_bytes = 0;
        let mut envelope_frames: Vec<Range<usize>> = Vec::new();
        let mut signer: Option<PublicKey> = None;
        let mut signatures: Option<Signatures> = None;
        let mut envelope_damage: Option<(u32, Damage)> = None;
        let mut stop: Option<(u32, Part, Damage)> = None;
        let mut whole = false;

        loop {
            let rest = &walk.bytes[walk.at..];
            let signatures_come = rest.first() == Some(&(Kind::Signatures as u8));
            if due == Due::Trailer || (due == Due::Signatures && rest == TRAILER) {
                if rest == TRAILER {
                    whole = true;
                } else if !TRAILER.starts_with(rest) {
                    stop = Some((frames, Part::Envelope, Damage::Trailer));
                }
                break;
            }
            let damaged_close = due == Due::Signatures && self.closed.is_none();
            if damaged_close && !signatures_come && TRAILER.starts_with(rest) {
                break;
            }
            let frame = match walk.step() {
                Step::Frame(frame) => frame,
                Step::Torn => break,
                Step::Damaged(why, part) => {
                    stop = Some((frames, part, why));
                    break;
                }
            };
            let part = frame.kind.part();
            let placed = self.placed(due, frame.kind, &frame);
            if !placed {
                let why = if frame.chained {
                    Damage::Place
                } else {
                    Damage::Chain
                };
                stop = Some((frames, part, why));
                break;
            }
            let taken = if frame.chained {
                self.take(&frame, &mut chunk_bytes, &mut signer, &mut signatures)
            } else {
                Err(Damage::Chain)
            };
            match (taken, part) {
                (Ok(()), Part::Body) => self.body_frames.push(frame.range.clone()),
                (Ok(()), Part::Envelope) => {}
                (Err(why), Part::Body) => {
                    stop = Some((frames, part, why));
                    break;
                }
                (Err(why), Part::Envelope) => {
                    envelope_damage.get_or_insert((frames, why));
                }
            }
            if part == Part::Envelope && frame.kind != Kind::Signatures {
                envelope_frames.push(frame.range.clone());
            }
            due = match frame.kind {
                Kind::Opened | Kind::Chunk | Kind::Keyframe | Kind::Coverage | Kind::Header => {
                    Due::Running
                }
                Kind::End => Due::Closed,
                Kind::Closed if self.closed.is_some() && signer.is_none() => Due::Trailer,
                Kind::Closed => Due::Signatures,
                Kind::Signatures => Due::Trailer,
            };
            frames += 1;
        }

        if self.end.is_some() {
            self.body_hash = Some(hash_of(walk.bytes, &self.body_frames));
        }
        if let Some(body) = self.body_hash
            && self.closed.is_some()
            && envelope_damage.is_none()
        {
            let frames: Vec<u8> = envelope_frames
                .iter()
                .flat_map(|range| &walk.bytes[range.clone()])
                .copied()
                .collect();
            self.envelope_hash = Some(envelope_hash(body, &frames));
        }
        if let (Some(body), Some(signatures)) = (self.body_hash, &signatures) {
            let key = signatures.body.0;
            self.body_signer = signatures.holds(Part::Body, body, key).then_some(key);
        }
        self.timeline.settle();

        let until = self.timeline.until();
        // The first frame that is wrong is named: what comes behind it may
        // only look wrong because of it.
        let damage = envelope_damage
            .map(|(at, why)| (at, Part::Envelope, why))
            .or(stop);
        self.status = if let Some((at_frame, part, why)) = damage {
            Status::Damaged {
                at_frame,
                part,
                after: until,
                why,
            }
        } else if !whole {
            Status::Unfinished { until }
        } else {
            self.seal(signer, signatures)
        };
        self
    }

    /// Whether the frame may stand where it stands.
    fn placed(&self, due: Due, kind: Kind, frame: &Frame<'_>) -> bool {
        match due {
            Due::Opened => kind == Kind::Opened,
            Due::Running => match kind {
                Kind::Chunk => true,
                // The chunk of the steps comes first.
                _ if !self.ahead.is_empty() => false,
                Kind::End => true,
                Kind::Keyframe | Kind::Coverage => {
                    stamp(frame.payload) == Some(self.timeline.until())
                }
                _ => false,
            },
            Due::Closed => kind == Kind::Closed,
            Due::Signatures => kind == Kind::Signatures,
            Due::Trailer => false,
        }
    }

    /// Takes in a frame that is chained and placed.
    fn take(
        &mut self,
        frame: &Frame<'_>,
        chunk_bytes: &mut usize,
        signer: &mut Option<PublicKey>,
        signatures: &mut Option<Signatures>,
    ) -> Result<(), Damage> {
        let payload = frame.payload;
        match frame.kind {
            Kind::Header => return Err(Damage::Place),
            Kind::Chunk => {
                let chunk = frame::unpack(payload, CHUNK_MOST).ok_or(Damage::Content)?;
                *chunk_bytes += chunk.len();
                if *chunk_bytes > ALL_CHUNKS_MOST {
                    return Err(Damage::Bound);
                }
                self.timeline
                    .append(&self.header.channels, &chunk, &self.ahead)
                    .ok_or(Damage::Content)?;
                self.ahead.clear();
            }
            Kind::Keyframe => {
                let tick = stamp(payload).ok_or(Damage::Content)?;
                let entry = (tick, frame.at + 4..frame.at + payload.len());
                self.keyframes.push(entry);
            }
            Kind::Coverage => {
                let (stamp, coded) = payload.split_first_chunk().ok_or(Damage::Content)?;
                let start = Tick(u32::from_le_bytes(*stamp));
                let steps = coverage::read(start, coded).ok_or(Damage::Content)?;
                if self.timeline.steps.len() + steps.len() > STEPS_MOST {
                    return Err(Damage::Bound);
                }
                self.ahead = steps;
            }
            Kind::End => {
                let end: End = postcard(payload).ok_or(Damage::Content)?;
                if end.last.0.checked_add(1) != Some(self.timeline.until().0)
                    || self.timeline.ends.is_empty()
                {
                    return Err(Damage::Place);
                }
                self.end = Some(end);
            }
            Kind::Opened => {
                self.opened = Some(postcard(payload).ok_or(Damage::Content)?);
            }
            Kind::Closed => {
                let (closed, by) = postcard(payload).ok_or(Damage::Content)?;
                self.closed = Some(closed);
                *signer = by;
            }
            Kind::Signatures => {
                *signatures = Some(Signatures::from_bytes(payload).ok_or(Damage::Content)?);
            }
        }
        Ok(())
    }

    fn seal(&self, signer: Option<PublicKey>, signatures: Option<Signatures>) -> Status {
        let Some(signer) = signer else {
            return Status::Sealed { signed: None };
        };
        let holds = |part, sum: Option<Sum>| {
            signatures
                .zip(sum)
                .is_some_and(|(signatures, sum)| signatures.holds(part, sum, signer))
        };
        let body_holds = holds(Part::Body, self.body_hash);
        let envelope_holds = holds(Part::Envelope, self.envelope_hash);
        let claimed = signer.fingerprint();
        if body_holds && envelope_holds {
            let signed = Some(claimed);
            Status::Sealed { signed }
        } else {
            Status::SealBroken {
                claimed,
                body_holds,
                envelope_holds,
            }
        }
    }
}

/// The tick that a keyframe or coverage is stamped with.
fn stamp(payload: &[u8]) -> Option<Tick> {
    let tick = payload.first_chunk::<4>()?;
    Some(Tick(u32::from_le_bytes(*tick)))
}

fn hash_of(bytes: &[u8], ranges: &[Range<usize>]) -> Sum {
    let mut hash = Sha256::new();
    for range in ranges {
        hash.update(&bytes[range.clone()]);
    }
    Sum(hash.finalize().into())
}

/// Reads a value that must take up all the bytes.
fn postcard<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    let (value, rest) = postcard::take_from_bytes(bytes).ok()?;
    rest.is_empty().then_some(value)
}
