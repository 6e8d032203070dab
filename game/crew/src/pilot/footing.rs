//! A firm hold for work with the jet: the tool in the hands, the feet set,
//! the tool braced, the arms rested. Where it is lost, it is taken again.

use super::lance::Hold;
use super::{Step, StuckReason};
use crate::person::Person;
use crate::{Act, Input, Percepts, Stance, Tick};
use serde::{Deserialize, Serialize};

/// Leaning further than this one lets go, and goes on below that, radians
/// (common practice, no source: a braced stand leans by half as much).
const LEAN_MAX_RAD: f64 = 0.35;
const LEAN_GOOD_RAD: f64 = 0.25;
/// Braced less than this, the brace is lost; from there on it is good.
const BRACE_LOST: f64 = 0.5;
pub(super) const BRACED: f64 = 0.9;
/// With less strength than this one rests, and until there is so much again
/// (a choice of this project).
pub(super) const TIRED: f64 = 0.35;
pub(super) const RESTED: f64 = 0.5;
/// Feet and brace are seen to again after this time, seconds.
const AGAIN_S: f64 = 1.5;
/// Everything is well for so long before the work goes on, seconds.
const WELL_S: f64 = 0.3;
/// The tool is looked for this long, seconds.
const TOOLLESS_S: f64 = 4.0;

/// How somebody stood when they began, and means to stand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Footing {
    stance: Stance,
    brace: bool,
    asked: Option<Tick>,
    well: Option<Tick>,
    tired: bool,
    toolless: Option<Tick>,
}

impl Footing {
    /// As the script has it.
    pub fn like(hold: &Hold) -> Self {
        Footing {
            stance: hold.stance,
            brace: hold.brace,
            asked: None,
            well: None,
            tired: false,
            toolless: None,
        }
    }

    /// It has to be taken again.
    pub fn anew(&mut self) {
        self.asked = None;
        self.well = None;
    }

    /// Whether the hold is not firm.
    pub fn amiss(&mut self, p: &Percepts) -> bool {
        self.tired |= p.body.strength < TIRED;
        p.body.fallen
            || p.tool.is_none()
            || p.body.lean_rad.abs() > LEAN_MAX_RAD
            || (self.brace && p.body.braced < BRACE_LOST)
            || self.tired
    }

    /// Takes a firm hold, with the trigger let go.
    pub fn take(
        &mut self,
        hold: &mut Hold,
        me: &Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        hold.finger.release(me, p, out);
        let again = self.asked.is_none_or(|at| p.tick.since(at) > AGAIN_S);
        if p.tool.is_none() {
            self.well = None;
            let since = *self.toolless.get_or_insert(p.tick);
            if p.tick.since(since) > TOOLLESS_S {
                return Step::Failed(StuckReason::OutOfReach);
            }
            if again && p.body.holding.is_none() {
                self.asked = Some(p.tick);
                me.does(p.tick, Act::TakeUp, out);
            }
            return Step::Going;
        }
        self.toolless = None;
        if self.tired {
            self.tired = p.body.strength < RESTED;
        }
        // Side by side is how feet stand by themselves.
        let stands = p.body.stance == self.stance || self.stance == Stance::Normal;
        let braced = p.body.braced >= BRACED || !self.brace;
        let well = !self.tired && p.body.lean_rad.abs() < LEAN_GOOD_RAD && stands && braced;
        if !well {
            self.well = None;
            if again && !(stands && braced) {
                self.asked = Some(p.tick);
                if !stands {
                    me.does(p.tick, Act::Stand(self.stance), out);
                }
                if !braced {
                    me.does(p.tick, Act::Brace(true), out);
                }
            }
            return Step::Going;
        }
        hold.stance = self.stance;
        hold.brace = self.brace;
        let since = *self.well.get_or_insert(p.tick);
        if p.tick.since(since) < WELL_S {
            return Step::Going;
        }
        Step::Done
    }
}
