//! Somebody who has no business in the yard and walks through the zone.
//!
//! They see the jet, come nearer past a few named places, and go back the
//! same way when they hear that everything is to stop. At the first of the
//! places they look on until the jet is at work: nobody is drawn in by a lance
//! that does nothing.

#[cfg(test)]
mod tests;

use crate::person::{Mind, Past, Person, Site, Skill};
use crate::pilot::{Step, Walk};
use crate::{Call, Input, Percepts, Seat, Source, Tick};
use serde::{Deserialize, Serialize};

/// How a visitor behaves in a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct VisitorWays {
    /// When they set out, after the first water out of the tool was seen,
    /// seconds.
    pub after_s: f64,
    /// The names of the places that they walk past, and back the same way; at
    /// the first of several they wait for the jet. A name that the site does
    /// not know is left out.
    pub by: Vec<String>,
}

/// From a word that was heard to the understanding that it is meant for
/// oneself, seconds (a choice of this project: longer than the crew takes,
/// who wait for it).
const UNDERSTAND_S: f64 = 0.8;
/// How long the jet has run without a break when it draws somebody in, seconds
/// (a choice of this project).
const DRAWS_S: f64 = 1.5;
/// How near to a place is past it, metres.
const PAST_M: f64 = 0.4;

/// What the visitor is at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Visit {
    /// Outside, and has not set out yet.
    #[default]
    Waits,
    /// On the way in, to the place of this number on the way.
    Comes(usize),
    /// At the first place, until the jet is at work.
    LooksOn,
    /// Stands and makes out what was called.
    Stops {
        /// The place that was being walked to.
        towards: usize,
        /// When it is understood.
        until: Tick,
    },
    /// On the way out, to the place of this number on the way.
    Goes(usize),
    /// Back outside for good.
    Away,
}

/// The visitor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Visitor {
    me: Person,
    after_s: f64,
    /// Where they came from, and the places, in the order of the way in.
    way: Vec<[f64; 2]>,
    visit: Visit,
    /// Where they stood at first is in the way.
    arrived: bool,
    water: Option<Tick>,
    /// Since when the jet runs without a break.
    runs_since: Option<Tick>,
    walk: Walk,
}

impl Visitor {
    /// A visitor; the small differences between their pauses are drawn from
    /// `seed`.
    pub fn new(ways: VisitorWays, site: Site, seed: u64) -> Self {
        let calm = Skill {
            spread: 0.1,
            ..Skill::steady()
        };
        Visitor {
            me: Person::new(Seat::VISITOR, Source::Crew, calm, seed).of(&site),
            after_s: ways.after_s,
            way: ways.by.iter().filter_map(|id| site.place(id)).collect(),
            visit: Visit::default(),
            arrived: false,
            water: None,
            runs_since: None,
            walk: Walk::default(),
        }
    }

    /// What the visitor is at.
    pub fn visit(&self) -> Visit {
        self.visit
    }

    /// Stops at a word that stops the work.
    fn listen(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let stops = |c| matches!(c, Call::AllStop | Call::Dump);
        let called = p
            .heard
            .iter()
            .any(|h| h.seat != Seat::VISITOR && stops(h.call));
        // Who waits outside or is on the way out does not take it for
        // themselves.
        let Visit::Comes(towards) = self.visit else {
            return;
        };
        if called {
            self.walk.stand(&self.me, p, out);
            self.walk = Walk::default();
            self.visit = Visit::Stops {
                towards,
                until: p.tick.after(self.me.pause_s(UNDERSTAND_S)),
            };
        }
    }

    /// Walks to a place of the way; true when there, or when it cannot be got
    /// to.
    fn walks(&mut self, at: usize, p: &Percepts, out: &mut Vec<Input>) -> Step<()> {
        let Some(&spot) = self.way.get(at) else {
            return Step::Done;
        };
        let step = self.walk.go(&self.me, p, spot, PAST_M, out);
        if step != Step::Going {
            self.walk = Walk::default();
        }
        step
    }
}

impl Mind for Visitor {
    fn come_in(&mut self, past: &Past) {
        self.water = past.water;
        if past.visited && self.way.len() > 1 {
            // Back by the first place, wherever that was left.
            self.arrived = true;
            self.way.insert(0, self.way[0]);
            self.visit = Visit::Goes(1);
        }
    }

    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if !self.arrived {
            self.arrived = true;
            self.way.insert(0, p.body.at_m);
        }
        if p.jet_runs {
            self.water.get_or_insert(p.tick);
            self.runs_since.get_or_insert(p.tick);
        } else {
            self.runs_since = None;
        }
        self.listen(p, out);
        if p.body.fallen {
            return;
        }
        match self.visit {
            Visit::Waits => {
                let due = self.water.is_some_and(|w| p.tick.since(w) >= self.after_s);
                if due && self.way.len() > 1 {
                    self.visit = Visit::Comes(1);
                }
            }
            Visit::Comes(at) => match self.walks(at, p, out) {
                Step::Going => {}
                Step::Done if at + 1 < self.way.len() => {
                    self.visit = if at == 1 {
                        Visit::LooksOn
                    } else {
                        Visit::Comes(at + 1)
                    };
                }
                // At the end of the way, or where it does not go on.
                Step::Done | Step::Failed(()) => self.visit = Visit::Goes(at - 1),
            },
            Visit::LooksOn => {
                let runs = self.runs_since;
                if runs.is_some_and(|since| p.tick.since(since) >= DRAWS_S) {
                    self.visit = Visit::Comes(2);
                }
            }
            Visit::Stops { towards, until } => {
                if p.tick >= until {
                    self.visit = Visit::Goes(towards - 1);
                }
            }
            Visit::Goes(at) => match self.walks(at, p, out) {
                Step::Done if at == 0 => self.visit = Visit::Away,
                Step::Done => self.visit = Visit::Goes(at - 1),
                // Whatever is in the way, they do not stay.
                Step::Going | Step::Failed(()) => {}
            },
            Visit::Away => {}
        }
    }
}
