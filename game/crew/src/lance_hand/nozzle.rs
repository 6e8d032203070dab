//! The lance hand at work on the nozzle.

use super::{LanceHand, Post};
use crate::{Act, Call, Input, Percepts, Stance, Task, Tick};
use serde::{Deserialize, Serialize};

/// Work that does not begin within this time is begun once more, seconds.
const BEGIN_S: f64 = 1.0;
/// Tries to begin a piece of work.
const BEGIN_TRIES: u8 = 3;

/// Work on the nozzle under way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Bench {
    asked: Option<Tick>,
    seen: bool,
    tries: u8,
}

impl LanceHand {
    /// Work on the nozzle: gauge, then fit, then say that one is ready.
    pub(super) fn bench(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let task = match self.post {
            Post::Gauge => Task::GaugeBore,
            Post::Fit => Task::FitNozzle,
            _ => return,
        };
        // Catch on and the tool out of the shoulder first.
        if !self.catch_on || self.braced.is_some() || self.stance != Stance::Normal {
            return;
        }
        match self.bench.asked {
            None => {
                if self.bench.tries >= BEGIN_TRIES {
                    // No nozzle, no word.
                    self.enter(Post::Rest, p, out);
                    return;
                }
                self.bench.tries += 1;
                self.bench.asked = Some(p.tick);
                self.bench.seen = false;
                self.me.does(p.tick, Act::Begin(task), out);
            }
            Some(_) if p.body.working == Some(task) => self.bench.seen = true,
            Some(_) if self.bench.seen && p.body.working.is_none() => match self.post {
                Post::Gauge => self.enter(Post::Fit, p, out),
                _ if p.nozzle_fitted == Some(true) => {
                    if !self.voice.speaks(p.tick) {
                        self.say(Call::Ready, p, out);
                        self.enter(Post::Rest, p, out);
                    }
                }
                _ => {
                    // The eye is a little later than the hand.
                    self.bench.seen = false;
                    self.bench.asked = Some(p.tick);
                }
            },
            Some(asked) => {
                if self.post == Post::Fit
                    && p.nozzle_fitted == Some(true)
                    && p.body.working.is_none()
                {
                    self.bench.seen = true;
                } else if p.tick.since(asked) > BEGIN_S {
                    self.bench.asked = None;
                }
            }
        }
    }
}
