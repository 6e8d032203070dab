//! Half a second of an attempt, as one frame.
//!
//! Unpacked, a chunk is: start tick, number of ticks (numbers of `columns.rs`);
//! in the first chunk of a recording the samples in force in its first tick,
//! one of each channel, as steps from zero; the column of each channel, of the
//! samples that fall into these ticks; the number of digests, and each as its
//! tick's place in the chunk and eight bytes; postcard of the inputs and of the
//! events, each with its tick's place.

use super::columns::{self, Bytes};
use crate::channels::{ChannelSpec, Sample};
use crate::event::Event;
use crate::surface::SurfaceStep;
use crew::{Act, Input, Seat, Source, Tick};

/// Ticks of a full chunk. Chunks end on whole multiples of this, so that where
/// a keyframe cut one short does not change how the rest is cut.
pub(super) const CHUNK_TICKS: u32 = 60;

/// An input as it is written, with its tick's place in the chunk.
type WrittenInput = (u8, Seat, Source, Act);

/// The samples of a channel that fall into a chunk.
#[derive(Clone, Copy)]
struct Beats {
    first: u32,
    every: u32,
    count: u32,
}

impl Beats {
    fn new(start: Tick, ticks: u32, every: u32) -> Self {
        let past = ((u64::from(start.0) + 1) % u64::from(every)) as u32;
        let first = if past == 0 { 0 } else { every - past };
        let count = if first < ticks {
            (ticks - 1 - first) / every + 1
        } else {
            0
        };
        Beats {
            first,
            every,
            count,
        }
    }

    /// Place of a sample's tick in the chunk.
    fn place(self, sample: u32) -> u32 {
        self.first + sample * self.every
    }
}

/// What is gathered until a chunk is full.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub(super) start: Tick,
    pub(super) ticks: u32,
    /// One sample of each channel for each tick, tick by tick.
    pub(super) rows: Vec<Sample>,
    pub(super) inputs: Vec<Input>,
    pub(super) events: Vec<(Tick, Event)>,
    /// Written as coverage, before the chunk.
    pub(super) steps: Vec<(Tick, SurfaceStep)>,
    pub(super) digests: Vec<(Tick, u64)>,
}

impl Gathered {
    /// The chunk, unpacked. `held` is each channel's sample before it, and
    /// nothing in the first chunk.
    pub(super) fn encode(&self, channels: &[ChannelSpec], held: Option<&[Sample]>) -> Vec<u8> {
        let place = |tick: Tick| (tick.0 - self.start.0) as u8;
        let mut out = Vec::with_capacity(4096);
        columns::put(&mut out, u64::from(self.start.0));
        columns::put(&mut out, u64::from(self.ticks));
        let in_force = &self.rows[..channels.len()];
        if held.is_none() {
            for (spec, sample) in channels.iter().zip(in_force) {
                columns::put_sample(&mut out, Sample::default(), *sample, spec.spread);
            }
        }
        let held = held.unwrap_or(in_force);
        let mut samples = Vec::with_capacity(CHUNK_TICKS as usize);
        for (index, spec) in channels.iter().enumerate() {
            let beats = Beats::new(self.start, self.ticks, spec.every);
            samples.clear();
            for sample in 0..beats.count {
                samples.push(self.rows[beats.place(sample) as usize * channels.len() + index]);
            }
            if !samples.is_empty() {
                columns::put_column(&mut out, held[index], &samples, spec.spread);
            }
        }
        columns::put(&mut out, self.digests.len() as u64);
        for (tick, digest) in &self.digests {
            out.push(place(*tick));
            out.extend_from_slice(&digest.to_le_bytes());
        }
        let inputs: Vec<WrittenInput> = self
            .inputs
            .iter()
            .map(|i| (place(i.tick), i.seat, i.source, i.act))
            .collect();
        let events: Vec<(u8, Event)> = self.events.iter().map(|(t, e)| (place(*t), *e)).collect();
        for written in [
            postcard::to_allocvec(&inputs),
            postcard::to_allocvec(&events),
        ] {
            // Postcard fails only on lengths it is not told and on full
            // buffers, and here are neither.
            out.extend_from_slice(&written.unwrap_or_default());
        }
        out
    }

    /// Makes room for the next chunk.
    pub(super) fn clear(&mut self) {
        self.ticks = 0;
        self.rows.clear();
        self.inputs.clear();
        self.events.clear();
        self.steps.clear();
        self.digests.clear();
    }
}

/// A channel that took another value.
#[derive(Clone, Copy, Debug)]
pub(super) struct Change {
    pub(super) channel: u16,
    pub(super) sample: Sample,
}

/// The ticks of all chunks that were read, one after the other.
#[derive(Clone, Debug, Default)]
pub(super) struct Timeline {
    /// Each channel's sample in the first tick.
    pub(super) in_force: Vec<Sample>,
    /// For each tick, where its changes end.
    pub(super) ends: Vec<u32>,
    /// All changes, tick by tick.
    pub(super) changes: Vec<Change>,
    pub(super) inputs: Vec<Input>,
    pub(super) events: Vec<(Tick, Event)>,
    pub(super) steps: Vec<(Tick, SurfaceStep)>,
    pub(super) digests: Vec<(Tick, u64)>,
    /// Each channel's sample in the last tick.
    held: Vec<Sample>,
    scratch: Scratch,
}

#[derive(Clone, Debug, Default)]
struct Scratch {
    moved: Vec<(u32, Sample)>,
    /// Changes channel by channel, with their places.
    found: Vec<(u32, Change)>,
}

impl Timeline {
    /// The first tick that is not held.
    pub(super) fn until(&self) -> Tick {
        Tick(self.ends.len() as u32)
    }

    /// The tick that the next chunk starts with, and how many ticks it can
    /// have.
    fn room(&self) -> (Tick, u32) {
        let next = self.until();
        (next, CHUNK_TICKS - next.0 % CHUNK_TICKS)
    }

    /// Takes in an unpacked chunk and the steps that stand before it. Nothing is
    /// taken in when they make no sense.
    pub(super) fn append(
        &mut self,
        channels: &[ChannelSpec],
        chunk: &[u8],
        steps: &[(Tick, SurfaceStep)],
    ) -> Option<()> {
        let mut bytes = Bytes(chunk);
        let (start, most) = self.room();
        let came = bytes.number()?;
        let ticks = u32::try_from(bytes.number()?).ok()?;
        if came != u64::from(start.0) || ticks == 0 || ticks > most {
            return None;
        }
        start.0.checked_add(ticks)?;
        if self.ends.is_empty() {
            self.in_force.clear();
            for spec in channels {
                let sample = columns::sample(&mut bytes, Sample::default(), spec.spread)?;
                self.in_force.push(sample);
            }
            self.held.clone_from(&self.in_force);
        }
        let counts = self.read_columns(channels, &mut bytes, start, ticks)?;

        let mut digests = Vec::new();
        for _ in 0..bytes.number()? {
            let place = u32::from(bytes.byte()?);
            let digest = u64::from_le_bytes(*bytes.take(8)?.first_chunk()?);
            digests.push((tick(start, place, ticks)?, digest));
        }
        let (inputs, rest) = postcard::take_from_bytes::<Vec<WrittenInput>>(bytes.0).ok()?;
        let (events, rest) = postcard::take_from_bytes::<Vec<(u8, Event)>>(rest).ok()?;
        let sound = rest.is_empty()
            && digests.is_sorted_by_key(|d| d.0)
            && inputs.is_sorted_by_key(|i| i.0)
            && events.is_sorted_by_key(|e| e.0)
            && inputs.last().is_none_or(|i| u32::from(i.0) < ticks)
            && events.last().is_none_or(|e| u32::from(e.0) < ticks)
            && steps.last().is_none_or(|s| s.0.0 - start.0 < ticks);
        if !sound {
            return None;
        }

        self.sort_in(&counts[..ticks as usize])?;
        self.digests.extend(digests);
        self.steps.extend_from_slice(steps);
        self.inputs
            .extend(inputs.into_iter().map(|(place, seat, source, act)| Input {
                tick: Tick(start.0 + u32::from(place)),
                seat,
                source,
                act,
            }));
        self.events.extend(
            events
                .into_iter()
                .map(|(place, event)| (Tick(start.0 + u32::from(place)), event)),
        );
        Some(())
    }

    /// Reads the columns into the scratch, and says how many changes fall into
    /// each tick.
    fn read_columns(
        &mut self,
        channels: &[ChannelSpec],
        bytes: &mut Bytes<'_>,
        start: Tick,
        ticks: u32,
    ) -> Option<[u32; CHUNK_TICKS as usize]> {
        let mut counts = [0; CHUNK_TICKS as usize];
        let Scratch { moved, found } = &mut self.scratch;
        found.clear();
        for (index, spec) in channels.iter().enumerate() {
            let beats = Beats::new(start, ticks, spec.every);
            if beats.count == 0 {
                continue;
            }
            moved.clear();
            let held = &mut self.held[index];
            columns::column(bytes, held, beats.count, spec.spread, moved)?;
            for &(sample_no, sample) in moved.iter() {
                let place = beats.place(sample_no);
                counts[place as usize] += 1;
                let channel = index as u16;
                found.push((place, Change { channel, sample }));
            }
        }
        Some(counts)
    }

    /// Moves the scratch's changes behind the others, in order of ticks.
    fn sort_in(&mut self, counts: &[u32]) -> Option<()> {
        let base = self.changes.len();
        u32::try_from(base + self.scratch.found.len()).ok()?;
        let mut next = [0; CHUNK_TICKS as usize];
        let mut end = base;
        for (place, count) in counts.iter().enumerate() {
            next[place] = end;
            end += *count as usize;
            self.ends.push(end as u32);
        }
        let nothing = Change {
            channel: 0,
            sample: Sample::default(),
        };
        self.changes.resize(end, nothing);
        for (place, change) in &self.scratch.found {
            let at = &mut next[*place as usize];
            self.changes[*at] = *change;
            *at += 1;
        }
        Some(())
    }

    /// Frees what only reading needed.
    pub(super) fn settle(&mut self) {
        self.scratch = Scratch::default();
    }
}

fn tick(start: Tick, place: u32, ticks: u32) -> Option<Tick> {
    (place < ticks).then(|| Tick(start.0 + place))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::channels::is_sampled;

    #[test]
    fn beats_fall_where_the_channel_has_samples() {
        for every in [1, 2, 6, 7, 59, 60, 61, 120, 1000] {
            for start in [0, 1, 59, 60, 61, 119, 120, 7200, u32::MAX - 100] {
                for ticks in [1, 2, 59, 60] {
                    let beats = Beats::new(Tick(start), ticks, every);
                    let places: Vec<u32> = (0..beats.count).map(|s| beats.place(s)).collect();
                    let due: Vec<u32> = (0..ticks)
                        .filter(|p| is_sampled(Tick(start + p), every))
                        .collect();
                    assert_eq!(places, due, "every {every} from {start}");
                }
            }
        }
    }
}
