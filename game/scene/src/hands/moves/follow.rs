//! Arms that work before a flat surface without being thought of. Whoever cleans
//! keeps the tip as far off as it was set, whatever the sweep, the push of the jet
//! or a lean does to it, and holds the hands level with what is cleaned; a mouse
//! tells where to, and none of that. How far off, how fast and where remain the
//! trainee's; what arms cannot reach they do not reach.

use super::{HAND_MM, Scene};
use crate::before::{Before, SLANT};
use crate::hands::gaze::{UNIT_RAD, angles, less_turns};
use crate::stage::point;
use bevy::math::{Vec2, Vec3, Vec3Swizzles};
use crew::TICKS_PER_SECOND;

/// So long after the last step and the last key of the hands the stand-off is
/// taken to be the one that is meant, ticks.
const MEANT_TICKS: u32 = TICKS_PER_SECOND / 4;
/// What pushes the tip away is made up for with this time constant, seconds, from
/// so much on, metres (a choice of this project: the time in which arms learn to
/// bear a lasting push).
const MAKE_UP_S: f32 = 0.4;
const SLACK_M: f32 = 0.003;
/// The hands are level enough so near to the height of the spot, metres; they go
/// there at most so fast, metres per second, and with this time constant, seconds.
const LEVEL_M: f32 = 0.04;
const LEVEL_M_S: f32 = 0.15;
const LEVEL_S: f32 = 0.8;
/// Of their own accord they go no higher than this above their usual place, metres:
/// above it they would be before the eyes.
const LEVEL_UP_M: f64 = 0.15;
/// A braced tool may point so far to one side of the facing; further, and the body
/// goes behind it, until it is square enough, radians.
const ASIDE_RAD: f32 = 0.2;
const SQUARE_RAD: f32 = 0.01;
/// The body turns so fast then, units per tick: 0.25 rad/s. The tool, which
/// lags, swings aside no further than it does in a stroke.
const SQUARE_UNITS: f32 = 21.0;
/// Whoever has just let go leans where the push was, and turns only once that is over,
/// ticks.
const QUIET_TICKS: u32 = 3 * TICKS_PER_SECOND / 2;
/// What the arms owe at most, millimetres: the rest is forgotten.
const OWED_MM: f32 = 250.0;
/// Nobody means a tip to be nearer than this, metres.
const LEAST_M: f32 = 0.01;

/// What the arms do of their own accord in a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Followed {
    /// Hands ahead and up, millimetres.
    pub mm: [i16; 2],
    /// The tool up, units.
    pub pitch: i16,
}

/// What the arms owe.
#[derive(Default)]
pub struct Follow {
    owed_mm: [f32; 2],
    owed_pitch: f32,
    /// For how many ticks nobody has meddled with the stand-off.
    still: u32,
    /// The stand-off that is meant, metres.
    meant_m: Option<f32>,
    /// The tool was at the shoulder in the last tick, and the body is on its way
    /// behind it.
    braced: bool,
    squares: bool,
    owed_yaw: f32,
    /// For how many ticks the body may turn.
    quiet: u32,
}

impl Follow {
    /// The lance is turned by units to the left and up: the hands go as far ahead
    /// or back as keeps the tip where it is from the surface.
    pub fn aimed(&mut self, scene: &Scene<'_>, [left, up]: [i16; 2]) {
        let Some(before) = Before::of(scene.level, &scene.frame.tool) else {
            return;
        };
        let (yaw, pitch) = angles(before.points);
        let (yaw, pitch) = (
            yaw + f32::from(left) * UNIT_RAD,
            pitch + f32::from(up) * UNIT_RAD,
        );
        let turned = Vec3::new(
            yaw.cos() * pitch.cos(),
            pitch.sin(),
            -yaw.sin() * pitch.cos(),
        );
        let [was, is] = [before.points, turned].map(|way| way.dot(before.out));
        if is.abs() >= SLANT {
            // From the grip to the plane of the surface, along its normal.
            let off = before.line_m * was;
            self.owed_mm[0] += 1000.0 * (off / is - off / was);
        }
    }

    /// What the arms do in this tick; `meddled` with by steps or by the keys of
    /// the hands they only do what the sweep asks for.
    pub fn tick(&mut self, scene: &Scene<'_>, meddled: bool) -> Followed {
        if meddled {
            self.still = 0;
            self.meant_m = None;
        } else {
            self.still += 1;
        }
        match Before::of(scene.level, &scene.frame.tool) {
            Some(before) if self.still >= MEANT_TICKS => {
                let meant_m = *self.meant_m.get_or_insert(before.stand_off_m.max(LEAST_M));
                let off_m = before.stand_off_m - meant_m;
                if off_m.abs() > SLACK_M {
                    let share = 1.0 / (MAKE_UP_S * TICKS_PER_SECOND as f32);
                    self.owed_mm[0] += 1000.0 * off_m * share;
                }
                self.level(scene, &before);
            }
            Some(_) => {}
            None => {
                // What was meant stays so while the tool points elsewhere.
                self.owed_mm = [0.0; 2];
                self.owed_pitch = 0.0;
            }
        }
        let most = f32::from(HAND_MM);
        let mut mm = [0; 2];
        for (n, (owed, mm)) in self.owed_mm.iter_mut().zip(&mut mm).enumerate() {
            // What arms cannot reach is not asked for more and more.
            let way = f64::from(*owed);
            let ends = match n {
                0 => {
                    !scene.me.may_reach(way)
                        || (way > 0.0 && scene.me.stretched)
                        || (way < 0.0 && scene.me.drawn_in)
                }
                _ => !scene.me.may_lift(way),
            };
            if ends {
                *owed = 0.0;
            }
            let whole = owed.clamp(-most, most).trunc();
            *owed = (*owed - whole).clamp(-OWED_MM, OWED_MM);
            *mm = whole as i16;
        }
        let pitch = self.owed_pitch.trunc();
        self.owed_pitch -= pitch;
        Followed {
            mm,
            pitch: pitch as i16,
        }
    }

    /// Whoever takes the tool to the shoulder, or has it there far to one side, stands
    /// square behind it before it pushes, while it goes on pointing at the same spot:
    /// how far the body and the tool turn in this tick, units. `may` it not be now, it
    /// is not begun, and broken off.
    pub fn square(&mut self, scene: &Scene<'_>, braces: bool, may: bool) -> [i16; 2] {
        let arm = scene.me.tool_yaw_rad as f32;
        self.quiet = if may { self.quiet + 1 } else { 0 };
        let may = self.quiet >= QUIET_TICKS;
        let begins = braces && (!self.braced || arm.abs() > ASIDE_RAD);
        self.braced = braces && (may || self.braced);
        self.squares = (self.squares || begins) && may && braces && arm.abs() > SQUARE_RAD;
        if !self.squares {
            self.owed_yaw = 0.0;
            return [0; 2];
        }
        let turn = (arm / UNIT_RAD).clamp(-SQUARE_UNITS, SQUARE_UNITS).trunc();
        // The hands go round with the body; the tool has to make up for that.
        let spot = Before::of(scene.level, &scene.frame.tool).map_or(0.0, |before| {
            let grip = point(scene.frame.tool.grip);
            let feet = 0.5 * (point(scene.me.feet[0]) + point(scene.me.feet[1]));
            let (off, rad) = (grip - feet, turn * UNIT_RAD);
            let moved = Vec3::new(off.z * rad, 0.0, -off.x * rad);
            let to = before.points * before.line_m;
            less_turns(angles(to - moved).0 - angles(to).0) / UNIT_RAD
        });
        self.owed_yaw += spot - turn;
        let aim = self.owed_yaw.trunc();
        self.owed_yaw -= aim;
        [turn as i16, aim as i16]
    }

    /// Brings the hands to the height of the spot, which stays where it is.
    fn level(&mut self, scene: &Scene<'_>, before: &Before) {
        let up = before.line_m * before.points.y;
        let ends = (up > 0.0 && scene.me.hands_told_m[1] >= LEVEL_UP_M)
            || !scene.me.may_lift(f64::from(up));
        if up.abs() < LEVEL_M || ends {
            return;
        }
        let dt = 1.0 / TICKS_PER_SECOND as f32;
        let by = (up / LEVEL_S).clamp(-LEVEL_M_S, LEVEL_M_S) * dt;
        let level = before.line_m * before.points.xz().length();
        let now = Vec2::new(level, up);
        let then = Vec2::new(level, up - by);
        self.owed_mm[1] += 1000.0 * by;
        self.owed_mm[0] += 1000.0 * (then.length() - now.length());
        self.owed_pitch += (then.to_angle() - now.to_angle()) / UNIT_RAD;
    }

    /// Nothing is owed any more.
    pub fn forget(&mut self) {
        *self = Follow::default();
    }
}
