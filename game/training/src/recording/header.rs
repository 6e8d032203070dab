//! What stands at the two ends of the body.

use super::frame::BUNDLE_MOST;
use super::sum::Sum;
use crate::channels::ChannelSpec;
use crate::mark::Ended;
use crew::Tick;
use serde::{Deserialize, Serialize};

/// Most channels of a table.
const CHANNELS_MOST: usize = 1024;

/// Most bytes of a name.
const NAME_MOST: usize = 256;

/// Most ticks from one sample to the next: an hour.
const EVERY_MOST: u32 = 120 * 3600;

/// First frame of the body: what was run, and how to read what follows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Header {
    /// Version of the release that ran the attempt.
    pub release: String,
    /// The channels, in the order of the samples. A recording is read with its
    /// own table for good, whatever later releases measure.
    pub channels: Vec<ChannelSpec>,
    /// Id of the level.
    pub level: String,
    /// Seed of the attempt.
    pub seed: u64,
    /// Everything of the level, catalogue, region and rules that was used.
    pub bundle: Bundle,
    /// Ticks in a simulated second.
    pub ticks_per_second: u32,
    /// Where the attempt starts from, if it was restarted from another.
    pub parent: Option<Parent>,
}

/// The canonical bytes of the data that an attempt was run with, and their
/// sum. What is in them is the business of whoever packs levels.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bundle {
    bytes: Vec<u8>,
    sum: Sum,
}

impl Bundle {
    /// A bundle of these bytes.
    pub fn new(bytes: Vec<u8>) -> Self {
        let sum = Sum::of(&bytes);
        Bundle { bytes, sum }
    }

    /// The bytes.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Their sum.
    pub fn sum(&self) -> Sum {
        self.sum
    }
}

/// The moment of another attempt that this one was taken up from. What went
/// before is copied into this one, so that it stands on its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Parent {
    /// Body hash of the other attempt.
    pub body: Sum,
    /// The first tick that was run anew.
    pub tick: Tick,
}

impl Header {
    /// What keeps the header from being written or read, if anything: the name
    /// of the field. A table needs channels with different ids, a quantum that
    /// is a number above zero, and a rate.
    pub fn problem(&self) -> Option<&'static str> {
        let name = |text: &str| !text.is_empty() && text.len() <= NAME_MOST;
        if !name(&self.release) {
            return Some("release");
        }
        if !name(&self.level) {
            return Some("level");
        }
        if self.ticks_per_second == 0 {
            return Some("ticks_per_second");
        }
        if self.bundle.bytes.len() > BUNDLE_MOST || Sum::of(&self.bundle.bytes) != self.bundle.sum {
            return Some("bundle");
        }
        let sound = |c: &ChannelSpec| {
            name(&c.id)
                && c.unit.len() <= NAME_MOST
                && c.quantum.is_finite()
                && c.quantum > 0.0
                && (1..=EVERY_MOST).contains(&c.every)
        };
        let mut ids: Vec<&str> = self.channels.iter().map(|c| c.id.as_str()).collect();
        ids.sort_unstable();
        if self.channels.len() > CHANNELS_MOST
            || !self.channels.iter().all(sound)
            || ids.windows(2).any(|pair| pair[0] == pair[1])
        {
            return Some("channels");
        }
        None
    }
}

/// Last frame of the body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct End {
    /// The last tick that was run.
    pub last: Tick,
    /// Why there are no more.
    pub why: Ended,
    /// Digest of the state of the yard behind the last tick.
    pub digest: u64,
}
