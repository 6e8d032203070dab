//! Finger and safety catch of the lance hand.

use super::{BRACED, LanceHand, Post};
use crate::{Act, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// After a word that was not understood no squeeze begins for this long,
/// seconds.
const CONFUSED_S: f64 = 2.0;
/// From the safety catch to the trigger, seconds.
const CATCH_S: f64 = 0.15;
/// A release that lasts longer than this has the catch on, seconds.
const CATCH_FREE_S: f64 = 3.0;
/// From letting go to the catch, seconds.
const CATCH_ON_S: f64 = 0.5;
/// Longest wait for the brace before the squeeze is left, seconds.
const BRACE_MAX_S: f64 = 2.5;

/// What the finger does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) enum Finger {
    Released {
        since: Tick,
    },
    /// Bracing, then the catch.
    Taking {
        since: Tick,
        caught: Option<Tick>,
        for_s: Option<f64>,
    },
    Squeezed {
        since: Tick,
        until: Option<Tick>,
    },
}

impl LanceHand {
    /// Finger and catch.
    pub(super) fn trigger(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        match self.finger {
            Finger::Taking {
                since,
                caught: None,
                for_s,
            } => {
                let braced = p.nozzle_fitted != Some(true) || p.body.braced >= BRACED;
                let confused = self
                    .confused
                    .is_some_and(|at| p.tick.since(at) < CONFUSED_S);
                if self.unsteady(p) || p.tick.since(since) > BRACE_MAX_S {
                    self.release(p, out);
                } else if braced && !confused {
                    if self.catch_on {
                        self.catch_on = false;
                        self.me.does(p.tick, Act::SafetyCatch(false), out);
                    }
                    self.finger = Finger::Taking {
                        since,
                        caught: Some(p.tick),
                        for_s,
                    };
                }
            }
            Finger::Taking {
                caught: Some(at),
                for_s,
                ..
            } => {
                if self.unsteady(p) {
                    self.release(p, out);
                } else if p.tick.since(at) >= CATCH_S {
                    self.me.does(p.tick, Act::Squeeze { permille: 1000 }, out);
                    self.water = None;
                    self.finger = Finger::Squeezed {
                        since: p.tick,
                        until: for_s.map(|s| p.tick.after(s)),
                    };
                }
            }
            Finger::Squeezed { until, .. } => {
                if until.is_some_and(|until| p.tick >= until) {
                    self.release(p, out);
                }
            }
            Finger::Released { since } => {
                let resting_s = p.tick.since(since);
                // A pause that is planned to be short leaves the catch off.
                let short = self.post == Post::Work
                    && self
                        .ways
                        .work
                        .get(self.labour.pair)
                        .is_some_and(|(wait_s, _)| *wait_s <= CATCH_FREE_S - CATCH_ON_S);
                let due_s = if short {
                    CATCH_FREE_S - 2.0 * CATCH_S
                } else {
                    CATCH_ON_S
                };
                if !self.catch_on && resting_s >= due_s {
                    self.catch_on = true;
                    self.me.does(p.tick, Act::SafetyCatch(true), out);
                }
            }
        }
    }
}
