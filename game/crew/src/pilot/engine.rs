//! Starting the engine by key and ear.

use super::Step;
use super::hands::{Hands, Hindrance};
use crate::person::{Person, Site};
use crate::{Act, Control, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// An engine that turns faster than this runs under its own power, rev/s: a
/// starter turns a diesel at 2-5, it idles at 12 or more (common practice, no
/// source).
pub(crate) const UNDER_POWER_REV_S: f64 = 9.0;
/// The note has to stay for this long before the key is let go, seconds.
const SURE_S: f64 = 0.3;
/// Longest turn of the starter, seconds (common practice, no source: ten
/// seconds at most, less is kinder).
const CRANK_S: f64 = 6.0;
/// The starter cools for this long before the next turn, seconds.
const REST_S: f64 = 3.0;
/// After the key is let go the engine has to run on for this long, seconds.
const RUNS_ON_S: f64 = 1.0;

/// Positions of the key.
const ON: u16 = 1;
const START: u16 = 2;

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Stage {
    #[default]
    Listen,
    Turn,
    Crank {
        since: Tick,
        heard: Option<Tick>,
    },
    Let {
        since: Tick,
    },
    Rest {
        until: Tick,
    },
}

/// Somebody who starts the engine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Starter {
    stage: Stage,
    hands: Hands,
}

impl Starter {
    /// Starts the engine; the goal's patience is kept by the caller.
    pub fn go(
        &mut self,
        me: &mut Person,
        site: &Site,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<Hindrance> {
        let runs = p.sound.engine_rev_s > UNDER_POWER_REV_S;
        match self.stage {
            Stage::Listen => {
                if runs {
                    return Step::Done;
                }
                match self.hands.grasp(me, site, p, Control::Key, out) {
                    Step::Going => {}
                    Step::Failed(why) => return Step::Failed(why),
                    Step::Done => self.stage = Stage::Turn,
                }
            }
            Stage::Turn => match self.turn(me, p, out) {
                Step::Going => {}
                Step::Failed(why) => return Step::Failed(why),
                Step::Done => {
                    self.stage = Stage::Crank {
                        since: p.tick,
                        heard: None,
                    };
                }
            },
            Stage::Crank { since, heard } => {
                let heard = if runs { heard.or(Some(p.tick)) } else { None };
                let sure = heard.is_some_and(|from| p.tick.since(from) >= SURE_S);
                self.stage = if sure || p.tick.since(since) > CRANK_S {
                    me.does(p.tick, Act::LetGo, out);
                    Stage::Let { since: p.tick }
                } else {
                    Stage::Crank { since, heard }
                };
            }
            Stage::Let { since } => {
                let gone = p.tick.since(since) >= RUNS_ON_S;
                if self.hands.release(me, p, out) && gone {
                    if runs {
                        return Step::Done;
                    }
                    let until = p.tick.after(REST_S);
                    self.stage = Stage::Rest { until };
                }
            }
            Stage::Rest { until } => {
                if p.tick >= until {
                    *self = Starter::default();
                }
            }
        }
        Step::Going
    }

    /// Stands still, whatever was going on.
    pub fn stand(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        self.hands.stand(me, p, out);
    }

    /// Turns the key to the start position; once the starter is heard, the
    /// key is there, whatever the eye still sees.
    fn turn(&mut self, me: &mut Person, p: &Percepts, out: &mut Vec<Input>) -> Step<Hindrance> {
        if p.sound.engine_rev_s > 0.5 && p.position(Control::Key) == Some(START) {
            return Step::Done;
        }
        match self.hands.move_to(me, p, Control::Key, START, out) {
            // A key that goes on but not to start belongs to an engine that
            // does not start; the patience of the goal runs out over it.
            Step::Failed(Hindrance::WouldNotMove { seen: ON }) => Step::Done,
            other => other,
        }
    }
}
