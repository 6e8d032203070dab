//! Simulated time: whole ticks, never seconds that drift.

use serde::{Deserialize, Serialize};

/// Ticks in a simulated second.
pub const TICKS_PER_SECOND: u32 = 120;

/// Length of a tick in seconds.
pub const TICK_S: f64 = 1.0 / TICKS_PER_SECOND as f64;

/// A moment of an attempt, counted from its start.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Tick(pub u32);

impl Tick {
    /// The tick that begins at `seconds`, rounded to the nearest; negative and
    /// non-finite times give the start.
    pub fn at(seconds: f64) -> Self {
        Tick((seconds * f64::from(TICKS_PER_SECOND)).round().max(0.0) as u32)
    }

    /// Seconds from the start of the attempt.
    pub fn seconds(self) -> f64 {
        f64::from(self.0) / f64::from(TICKS_PER_SECOND)
    }

    /// Seconds from `earlier` to this tick; zero when `earlier` is later.
    pub fn since(self, earlier: Tick) -> f64 {
        Tick(self.0.saturating_sub(earlier.0)).seconds()
    }

    /// This tick moved on by `seconds`.
    pub fn after(self, seconds: f64) -> Self {
        Tick(self.0.saturating_add(Tick::at(seconds).0))
    }
}
