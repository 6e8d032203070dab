//! The head: where the look goes, and what is looked at.
//!
//! Without a tool the look turns at once and the body follows once the neck
//! would have to twist; while walking it goes where one looks. With the tool in
//! the hands the look goes along the tool, but for the key that looks round.

use crate::stage::{Eye, point, to_spot};
use crate::things::{self, Placed};
use bevy::math::{Vec2, Vec3, Vec3Swizzles};
use core::f32::consts::{PI, TAU};
use crew::Seat;
use training::Level;
use training::allowed::REACH_M;
use yard::ViewFrame;
use yard::view::PersonView;

/// One unit of turn, radians: those of [`crew::Act::Aim`].
pub const UNIT_RAD: f32 = 1e-4;
/// How far the head turns against the body before the body follows, radians.
const DEAD_RAD: f32 = 0.6;
/// The same while walking: people walk where they look.
const DEAD_WALKING_RAD: f32 = 0.02;
/// How far the head turns round, each way, and up and down, radians.
const ROUND_RAD: f32 = 1.4;
const ROUND_PITCH_RAD: f32 = 1.0;
/// How far up and down one looks, radians.
const PITCH_RAD: f32 = 1.35;
/// How quickly the head comes back from looking round, radians per tick.
const BACK_RAD: f32 = 8.0 / 120.0;
/// From how far something is looked at, metres.
pub const GLANCE_M: f32 = 3.2;

/// Less whole turns, from -pi to pi.
pub fn less_turns(rad: f32) -> f32 {
    (rad + PI).rem_euclid(TAU) - PI
}

/// The way that a direction goes on the plan, and up, radians.
pub fn angles(way: Vec3) -> (f32, f32) {
    let level = way.xz();
    (
        Vec2::new(level.x, -level.y).to_angle(),
        Vec2::new(level.length(), way.y).to_angle(),
    )
}

/// Whoever stands before controls or before the surface at the beginning looks
/// half down to them: what is above them stays in view.
const DOWN_SHARE: f32 = 0.5;

/// The look at the very beginning.
fn first(me: &PersonView, level: &Level) -> (f32, f32) {
    let eyes = point(me.eyes);
    let near: Vec<Vec3> = level
        .site
        .controls
        .iter()
        .map(|(_, at)| point(*at))
        .filter(|at| at.xz().distance(eyes.xz()) <= REACH_M as f32)
        .collect();
    let ahead_rad = me.yaw_rad as f32;
    if !near.is_empty() {
        let middle = near.iter().sum::<Vec3>() / near.len() as f32;
        return (ahead_rad, DOWN_SHARE * angles(middle - eyes).1);
    }
    let Some(surface) = &level.surface else {
        return (ahead_rad, 0.0);
    };
    // Over to what is to be worked at, as far as a neck turns.
    let [width, height] = surface.size.map(|m| m as f32);
    let right = Vec3::new(surface.right[0] as f32, 0.0, surface.right[1] as f32);
    let middle = point(surface.corner) + 0.5 * (width * right + height * Vec3::Y);
    let (yaw, pitch) = angles(middle - eyes);
    let off = less_turns(yaw - ahead_rad).clamp(-DEAD_RAD, DEAD_RAD);
    (less_turns(ahead_rad + off), DOWN_SHARE * pitch)
}

/// The head of the person who plays.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gaze {
    /// Where one looks without a tool, radians about the upward axis, and up;
    /// none until the yard was seen for the first time.
    look: Option<(f32, f32)>,
    /// The head turned away from that, radians to the left and up.
    round: Vec2,
    /// The same a tick earlier, for pictures between two ticks.
    before: (Option<(f32, f32)>, Vec2),
    looks_round: bool,
}

impl Gaze {
    /// Begins a tick.
    pub fn begin(&mut self, me: &PersonView, level: &Level, frame: &ViewFrame, looks_round: bool) {
        let look = self.look.unwrap_or_else(|| first(me, level));
        self.before = (Some(look), self.round);
        // Whoever lays the tool down goes on looking where it pointed.
        self.look = Some(if holds(frame, me.seat) {
            along_tool(me, frame)
        } else {
            look
        });
        self.looks_round = looks_round;
        if !looks_round {
            let left = self.round.length();
            self.round *= (1.0 - BACK_RAD / left.max(BACK_RAD)).max(0.0);
        }
    }

    /// Turns the head, by radians to the left and up.
    pub fn turn(&mut self, left: f32, up: f32) {
        if self.looks_round {
            self.round.x = (self.round.x + left).clamp(-ROUND_RAD, ROUND_RAD);
            self.round.y = (self.round.y + up).clamp(-ROUND_PITCH_RAD, ROUND_PITCH_RAD);
        } else if let Some((yaw, pitch)) = &mut self.look {
            *yaw = less_turns(*yaw + left);
            *pitch = (*pitch + up).clamp(-PITCH_RAD, PITCH_RAD);
        }
    }

    /// Turns the head with a body that is told to turn.
    pub fn turn_with_body(&mut self, left: f32) {
        if let Some((yaw, _)) = &mut self.look {
            *yaw = less_turns(*yaw + left);
        }
    }

    /// By how much the body has to turn to follow the look, radians to the left.
    pub fn to_follow(&self, me: &PersonView, walks: bool) -> f32 {
        let Some((yaw, _)) = self.look else {
            return 0.0;
        };
        let off = less_turns(yaw - (me.yaw_rad + me.turning_rad) as f32);
        let dead = if walks { DEAD_WALKING_RAD } else { DEAD_RAD };
        off - off.clamp(-dead, dead)
    }

    /// The way that is ahead for somebody who walks without a tool.
    pub fn ahead_rad(&self, me: &PersonView) -> f32 {
        self.look.map_or(me.yaw_rad as f32, |(yaw, _)| yaw)
    }

    /// Whether the look is turned away from the aim.
    pub fn looks_round(&self) -> bool {
        self.looks_round
    }

    /// Where the look goes with the yard as it is in a frame, seen from the
    /// eyes; the same however fast pictures are drawn.
    pub fn eye(&self, me: &PersonView, frame: &ViewFrame) -> Eye {
        let (yaw, pitch) = if holds(frame, me.seat) {
            along_tool(me, frame)
        } else {
            self.look.unwrap_or((me.yaw_rad as f32, 0.0))
        };
        Eye {
            at: point(me.eyes),
            yaw: yaw + self.round.x,
            pitch: (pitch + self.round.y).clamp(-PITCH_RAD, PITCH_RAD),
            roll: 0.0,
        }
    }

    /// Where the head looks without a tool, between the last two ticks, and how
    /// far it is turned round.
    pub fn between(&self, alpha: f32) -> ((f32, f32), Vec2) {
        let now = self.look.unwrap_or_default();
        let before = self.before.0.unwrap_or(now);
        let yaw = before.0 + less_turns(now.0 - before.0) * alpha;
        let pitch = before.1 + (now.1 - before.1) * alpha;
        ((yaw, pitch), self.before.1.lerp(self.round, alpha))
    }

    /// The thing that is looked at.
    pub fn at(&self, level: &Level, frame: &ViewFrame, seat: Seat) -> Option<Placed> {
        let me = frame.people.iter().find(|p| p.seat == seat)?;
        let eye = self.eye(me, frame);
        let things = things::things(level, frame, seat);
        things::looked_at(eye.at, eye.forward(), &things, GLANCE_M)
    }
}

/// Where somebody with the tool in the hands looks.
fn along_tool(me: &PersonView, frame: &ViewFrame) -> (f32, f32) {
    let tool = &frame.tool;
    angles(to_spot(point(me.eyes), point(tool.tip), point(tool.points)))
}

/// Whether a seat has the tool in the hands, or on the way there.
pub fn holds(frame: &ViewFrame, seat: Seat) -> bool {
    seat == Seat::LANCE && frame.tool.in_hands
}
