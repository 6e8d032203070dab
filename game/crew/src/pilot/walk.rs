//! Walking to a spot, and turning towards one.

use super::Step;
use crate::person::{Person, distance_m};
use crate::{Act, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// Walking speed of somebody at work, m/s (common practice, no source).
const WALK_M_S: f64 = 1.2;
/// Slowest step that still gets somewhere, m/s.
const CREEP_M_S: f64 = 0.3;
/// The walk slows down over this distance from the goal, metres.
const SLOW_WITHIN_M: f64 = 0.8;
/// Share of the bearing error that is turned away in a tick; low enough to be
/// stable when the body answers a quarter of a second late.
const TURN_GAIN: f64 = 0.04;
/// Facing something, radians.
const FACING_RAD: f64 = 0.15;
/// Time to come to a stand, seconds.
const STAND_S: f64 = 0.25;
/// Without getting nearer for this long something is in the way, seconds.
const BLOCKED_S: f64 = 1.5;
/// Length of a step aside, seconds.
const ASIDE_S: f64 = 1.0;
/// Steps aside before giving up.
const ASIDE_MAX: u8 = 6;

/// A walk under way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Walk {
    told: (i16, i16),
    nearest: Option<(f64, Tick)>,
    aside: u8,
    aside_until: Option<Tick>,
    stood: Option<Tick>,
    /// One has to hurry.
    pub hurry: bool,
}

impl Walk {
    /// Walks until within `near_m` of the spot, and comes to a stand there.
    pub fn go(
        &mut self,
        me: &Person,
        p: &Percepts,
        to: [f64; 2],
        near_m: f64,
        out: &mut Vec<crate::Input>,
    ) -> Step<()> {
        let away_m = distance_m(p.body.at_m, to);
        if away_m <= near_m {
            self.stand(me, p, out);
            let since = *self.stood.get_or_insert(p.tick);
            return if p.tick.since(since) >= STAND_S {
                Step::Done
            } else {
                Step::Going
            };
        }
        self.stood = None;
        if p.body.fallen {
            return Step::Going;
        }

        let bearing = bearing_rad(p.body.at_m, to);
        let off = turn_by(me, p, bearing, out);
        match self.nearest {
            Some((nearest_m, since)) if away_m > nearest_m - 0.05 => {
                if p.tick.since(since) > BLOCKED_S {
                    if self.aside >= ASIDE_MAX {
                        self.stand(me, p, out);
                        return Step::Failed(());
                    }
                    self.aside += 1;
                    self.aside_until = Some(p.tick.after(ASIDE_S * f64::from(1 + self.aside / 2)));
                    self.nearest = None;
                }
            }
            _ => self.nearest = Some((away_m, p.tick)),
        }
        if self.aside_until.is_some_and(|until| p.tick < until) {
            let side = if self.aside % 2 == 1 { 60 } else { -60 };
            self.nearest = None;
            self.tell(me, p, (0, side), out);
            return Step::Going;
        }

        let top = if self.hurry {
            me.nerves.hurry_m_s
        } else {
            WALK_M_S
        };
        let speed = (top * away_m / SLOW_WITHIN_M).clamp(CREEP_M_S, top);
        // Turn first, then walk: nobody walks backwards in a yard.
        let ahead = if libm::cos(off) > 0.3 { speed } else { 0.0 };
        let told = (cm_s(ahead * libm::cos(off)), cm_s(ahead * -libm::sin(off)));
        self.tell(me, p, told, out);
        Step::Going
    }

    /// Turns towards a spot.
    pub fn face(
        &mut self,
        me: &Person,
        p: &Percepts,
        spot: [f64; 2],
        out: &mut Vec<crate::Input>,
    ) -> bool {
        turn_by(me, p, bearing_rad(p.body.at_m, spot), out).abs() < FACING_RAD
    }

    /// Stands still.
    pub fn stand(&mut self, me: &Person, p: &Percepts, out: &mut Vec<crate::Input>) {
        self.tell(me, p, (0, 0), out);
    }

    fn tell(&mut self, me: &Person, p: &Percepts, told: (i16, i16), out: &mut Vec<crate::Input>) {
        if told != self.told {
            self.told = told;
            let (forward_cm_s, right_cm_s) = told;
            let act = Act::Walk {
                forward_cm_s,
                right_cm_s,
            };
            me.does(p.tick, act, out);
        }
    }
}

/// In steps of 5 cm/s: nobody sets their pace finer, and the recording stays
/// small.
fn cm_s(m_s: f64) -> i16 {
    ((m_s * 20.0).round() * 5.0) as i16
}

/// Bearing of a spot, radians about the upward axis from +x towards -z.
fn bearing_rad(from: [f64; 2], to: [f64; 2]) -> f64 {
    libm::atan2(-(to[1] - from[1]), to[0] - from[0])
}

/// An angle without whole turns.
pub(super) fn less_turns(rad: f64) -> f64 {
    let whole = 2.0 * core::f64::consts::PI;
    rad - whole * (rad / whole).round()
}

/// How far the body is turned away from a spot, radians.
pub(super) fn turn_rad(p: &Percepts, spot: [f64; 2]) -> f64 {
    less_turns(bearing_rad(p.body.at_m, spot) - p.body.yaw_rad)
}

/// Turns towards a bearing, and says how far off it still is.
fn turn_by(me: &Person, p: &Percepts, bearing: f64, out: &mut Vec<crate::Input>) -> f64 {
    let off = less_turns(bearing - p.body.yaw_rad);
    let most = me.nerves.turn_rad_s * crate::tick::TICK_S;
    let yaw = ((off * TURN_GAIN).clamp(-most, most) * 1e4).round() as i16;
    if off.abs() > 0.02 && yaw != 0 {
        me.does(p.tick, Act::Turn { yaw }, out);
    }
    off
}
