//! Holding and moving the tool: where the hands and the tool have to be for
//! its line to meet a spot from the right distance, and the small movements
//! that bring them there.
//!
//! Whoever holds a tool knows where it is by feel, a little late, and knows
//! how it answers. So each movement is told ahead, and what is felt serves to
//! learn what pushes the tool away from where it was told to be: the push of
//! the jet, the lean of the body, the sag of the tool.

use super::walk::less_turns;
use crate::input::{LIFT_M, REACH_M};
use crate::person::Person;
use crate::tick::TICK_S;
use crate::{Act, Input, Percepts, Tick, ToolSense};
use serde::{Deserialize, Serialize};

/// From the hands to the tip, metres (a choice of this project: the lance of
/// the demo catalogue, held at grip and trigger).
const TOOL_M: f64 = 1.25;
/// The hands at rest: ahead of the feet and above the ground, metres (from
/// memory: forearms level, elbows at the body).
const HANDS_AHEAD_M: f64 = 0.35;
const HANDS_UP_M: f64 = 1.15;
/// The tool follows the hands by so much later, seconds (a choice of this
/// project).
const FOLLOW_S: f64 = 0.12;
/// What pushes the tool aside is learnt with this time constant, seconds.
const LEARN_S: f64 = 0.35;
/// Where the hands really are is learnt with this time constant, seconds: it
/// changes at once when the jet pushes.
const LEARN_HANDS_S: f64 = 0.15;
/// How far they go round with the tool is learnt with this time constant,
/// seconds, while the tool is turned against the body by more than so much,
/// radians.
const LEARN_ROUND_S: f64 = 0.5;
const AGAINST_RAD: f64 = 0.2;
/// Where hands that go round with the tool are depends on where it points, and
/// that on where they are: reckoned so often, each time four times nearer.
const ROUNDS: u8 = 5;
/// The hands are moved every so many ticks: forty times a second is finer than
/// the tool follows.
const EVERY_TICKS: u32 = 3;
/// Not attended to for so long, the arms are felt for anew, seconds.
const FORGET_S: f64 = 0.25;
/// Angles are told in these units, radians.
const AIM_UNIT_RAD: f64 = 1e-4;
/// Hands are moved in these units, metres.
const HAND_UNIT_M: f64 = 1e-3;
/// The tip is aimed anew at no faster than this, rad/s (a choice of this
/// project: a tool of 6 kg is not swung about).
const AIM_RAD_S: f64 = 1.2;
/// The hands move no faster than this, m/s.
const HAND_M_S: f64 = 0.8;
/// While the tool points further away than this from where it should, the
/// hands do not go ahead, radians: nobody pokes a tip into a wall.
const POINTS_RAD: f64 = 0.1;

/// Follows a number by a known time later.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Late {
    stages: [f64; 3],
}

impl Late {
    /// At rest at a number.
    pub fn at(x: f64) -> Self {
        Late { stages: [x; 3] }
    }

    /// Takes in the number of this tick, and gives that of `s` before.
    pub fn follow(&mut self, x: f64, s: f64) -> f64 {
        let share = TICK_S * self.stages.len() as f64 / s;
        let mut from = x;
        for stage in &mut self.stages {
            *stage += (from - *stage) * share;
            from = *stage;
        }
        from
    }
}

/// How hands and tool are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Pose {
    /// The way the tool points, radians, as in [`ToolSense`].
    pub yaw_rad: f64,
    /// Pitch, radians up.
    pub pitch_rad: f64,
    /// Hands ahead, metres.
    pub reach_m: f64,
    /// Hands up, metres.
    pub lift_m: f64,
    /// From the tip to the spot, metres. It is not what was asked for where
    /// the arms come to their end.
    pub stand_off_m: f64,
}

/// One of the four ways in which the tool is moved.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Axis {
    /// Where it was told to be, in whole units.
    told: i32,
    late: Late,
    /// How far it is felt to be from where it was told to be.
    off: f64,
}

impl Axis {
    fn felt_at(x: f64, unit: f64) -> Self {
        let told = (x / unit).round() as i32;
        Axis {
            told,
            late: Late::at(f64::from(told) * unit),
            off: 0.0,
        }
    }

    fn learn(&mut self, me: &Person, felt_less: impl Fn(f64) -> f64, unit: f64) {
        let told = f64::from(self.told) * unit;
        let late = self.late.follow(told, me.nerves.touch_s + FOLLOW_S);
        self.off += (felt_less(late) - self.off) * TICK_S / LEARN_S;
    }

    /// The next movement towards where it should be told to be, whole units.
    fn towards(&mut self, wanted: f64, most: f64, slack: f64) -> i16 {
        let left = wanted - f64::from(self.told);
        if left.abs() < slack {
            return 0;
        }
        let step = left.clamp(-most, most).round() as i16;
        self.told += i32::from(step);
        step
    }
}

/// The arms of somebody who holds the tool.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Arms {
    yaw: Axis,
    pitch: Axis,
    reach: Axis,
    lift: Axis,
    /// How far the hands are from where they would be by themselves, metres.
    hands_off_m: [f64; 3],
    /// How far the hands go round with the tool when it is turned against the
    /// body, 0 to 1. It depends on how the tool is held, and is learnt.
    goes_round: f64,
    felt: Option<Tick>,
}

/// Unit vector of a direction, along x, y (up) and z.
fn along(yaw_rad: f64, pitch_rad: f64) -> [f64; 3] {
    let level = libm::cos(pitch_rad);
    [
        level * libm::cos(yaw_rad),
        libm::sin(pitch_rad),
        -level * libm::sin(yaw_rad),
    ]
}

impl Arms {
    /// Feels where the tool is. Without a tool in the hands there is nothing
    /// to feel.
    pub fn feel(&mut self, me: &Person, p: &Percepts) -> Option<ToolSense> {
        let tool = p.tool?;
        let pole = along(tool.yaw_rad, tool.pitch_rad);
        let hands: [f64; 3] = core::array::from_fn(|i| tool.tip_m[i] - TOOL_M * pole[i]);
        let against = less_turns(tool.yaw_rad - p.body.yaw_rad);
        if against.abs() > AGAINST_RAD {
            let (_, right_m) = split(p, hands);
            let whole_m = (HANDS_AHEAD_M + tool.reach_m) * libm::sin(against);
            let share = (-right_m / whole_m).clamp(0.0, 1.0);
            self.goes_round += (share - self.goes_round) * TICK_S / LEARN_ROUND_S;
        }
        let rest = self.rest_m(p, tool.yaw_rad, tool.reach_m, tool.lift_m);
        let off = |i: usize| hands[i] - rest[i];
        if self.felt.is_none_or(|at| p.tick.since(at) > FORGET_S) {
            *self = Arms {
                yaw: Axis::felt_at(tool.yaw_rad, AIM_UNIT_RAD),
                pitch: Axis::felt_at(tool.pitch_rad, AIM_UNIT_RAD),
                reach: Axis::felt_at(tool.reach_m, HAND_UNIT_M),
                lift: Axis::felt_at(tool.lift_m, HAND_UNIT_M),
                hands_off_m: [off(0), off(1), off(2)],
                goes_round: self.goes_round,
                felt: None,
            };
        }
        self.felt = Some(p.tick);
        self.yaw
            .learn(me, |late| less_turns(tool.yaw_rad - late), AIM_UNIT_RAD);
        self.pitch
            .learn(me, |late| tool.pitch_rad - late, AIM_UNIT_RAD);
        self.reach
            .learn(me, |late| tool.reach_m - late, HAND_UNIT_M);
        self.lift.learn(me, |late| tool.lift_m - late, HAND_UNIT_M);
        for (i, known) in self.hands_off_m.iter_mut().enumerate() {
            *known += (off(i) - *known) * TICK_S / LEARN_HANDS_S;
        }
        Some(tool)
    }

    /// The body was turned, and the tool with it, by whole units of angle.
    pub fn turned_by(&mut self, units: i16) {
        self.yaw.told += i32::from(units);
    }

    /// How to hold the tool so that its line meets a spot of the yard with
    /// this distance from the tip. The hands go as high as the spot where they
    /// can, and the pitch does the rest.
    pub fn pose(&self, p: &Percepts, spot: [f64; 3], stand_off_m: f64) -> Pose {
        let within =
            |x: f64, (least, most): (f64, f64), off: f64| x.max(least + off).min(most + off);
        let line_m = TOOL_M + stand_off_m;
        let mut pose = self.pose_here(p, spot);
        for _ in 0..ROUNDS {
            let base = self.hands_m(p, pose.yaw_rad, 0.0, 0.0);
            let lift_m = within(spot[1] - base[1], LIFT_M, self.lift.off);
            let up_m = spot[1] - base[1] - lift_m;
            // Reach goes along this way.
            let turn = p.body.yaw_rad + self.round_rad(p, pose.yaw_rad);
            let (sin, cos) = (libm::sin(turn), libm::cos(turn));
            let (x, z) = (spot[0] - base[0], spot[2] - base[2]);
            let (ahead, aside) = (x * cos - z * sin, x * sin + z * cos);
            let level_m = (line_m * line_m - up_m * up_m - aside * aside)
                .max(0.0)
                .sqrt();
            let reach_m = within(ahead - level_m, REACH_M, self.reach.off);
            pose = self.pointing(p, spot, pose.yaw_rad, reach_m, lift_m);
        }
        pose
    }

    /// How to point at a spot with the hands where they are.
    pub fn pose_here(&self, p: &Percepts, spot: [f64; 3]) -> Pose {
        let reach_m = f64::from(self.reach.told) * HAND_UNIT_M + self.reach.off;
        let lift_m = f64::from(self.lift.told) * HAND_UNIT_M + self.lift.off;
        let yaw_rad = f64::from(self.yaw.told) * AIM_UNIT_RAD + self.yaw.off;
        let mut pose = self.pointing(p, spot, yaw_rad, reach_m, lift_m);
        for _ in 0..ROUNDS {
            pose = self.pointing(p, spot, pose.yaw_rad, reach_m, lift_m);
        }
        pose
    }

    /// How to point at a spot with the hands where they are while the tool is
    /// turned like that.
    fn pointing(
        &self,
        p: &Percepts,
        spot: [f64; 3],
        yaw_rad: f64,
        reach_m: f64,
        lift_m: f64,
    ) -> Pose {
        let hands = self.hands_m(p, yaw_rad, reach_m, lift_m);
        let to: [f64; 3] = core::array::from_fn(|i| spot[i] - hands[i]);
        let level_m = (to[0] * to[0] + to[2] * to[2]).sqrt();
        Pose {
            yaw_rad: libm::atan2(-to[2], to[0]),
            pitch_rad: libm::atan2(to[1], level_m),
            reach_m,
            lift_m,
            stand_off_m: (level_m * level_m + to[1] * to[1]).sqrt() - TOOL_M,
        }
    }

    /// How far the hands are gone round with a tool that points this way.
    fn round_rad(&self, p: &Percepts, yaw_rad: f64) -> f64 {
        self.goes_round * less_turns(yaw_rad - p.body.yaw_rad)
    }

    /// Where the hands would be by themselves.
    fn rest_m(&self, p: &Percepts, yaw_rad: f64, reach_m: f64, lift_m: f64) -> [f64; 3] {
        let ahead = HANDS_AHEAD_M + reach_m;
        let turn = p.body.yaw_rad + self.round_rad(p, yaw_rad);
        [
            p.body.at_m[0] + ahead * libm::cos(turn),
            HANDS_UP_M + lift_m,
            p.body.at_m[1] - ahead * libm::sin(turn),
        ]
    }

    /// Where the hands are, as far as one knows.
    fn hands_m(&self, p: &Percepts, yaw_rad: f64, reach_m: f64, lift_m: f64) -> [f64; 3] {
        let rest = self.rest_m(p, yaw_rad, reach_m, lift_m);
        core::array::from_fn(|i| rest[i] + self.hands_off_m[i])
    }

    /// Moves the tool towards a pose, and the hands with it.
    pub fn steer(&mut self, me: &Person, p: &Percepts, pose: &Pose, out: &mut Vec<Input>) {
        if !p.tick.0.is_multiple_of(EVERY_TICKS) {
            return;
        }
        let span_s = f64::from(EVERY_TICKS) * TICK_S;
        let aim = |axis: &mut Axis, left_rad: f64| {
            let wanted = f64::from(axis.told) + left_rad / AIM_UNIT_RAD;
            axis.towards(wanted, AIM_RAD_S * span_s / AIM_UNIT_RAD, 2.5)
        };
        let left = |axis: &Axis, wanted: f64| {
            less_turns(wanted - axis.off - f64::from(axis.told) * AIM_UNIT_RAD)
        };
        let (left_yaw, left_pitch) = (
            left(&self.yaw, pose.yaw_rad),
            left(&self.pitch, pose.pitch_rad),
        );
        let yaw = aim(&mut self.yaw, left_yaw);
        let pitch = aim(&mut self.pitch, left_pitch);
        if yaw != 0 || pitch != 0 {
            me.does(p.tick, Act::Aim { yaw, pitch }, out);
        }
        let hand = |axis: &mut Axis, wanted_m: f64, (least, most): (f64, f64)| {
            let wanted = (wanted_m - axis.off).clamp(least, most) / HAND_UNIT_M;
            axis.towards(wanted, HAND_M_S * span_s / HAND_UNIT_M, 0.75)
        };
        let points = left_yaw.abs().max(left_pitch.abs()) < POINTS_RAD;
        let reach_m = f64::from(self.reach.told) * HAND_UNIT_M + self.reach.off;
        if points || pose.reach_m < reach_m {
            let mm = hand(&mut self.reach, pose.reach_m, REACH_M);
            if mm != 0 {
                me.does(p.tick, Act::Reach { mm }, out);
            }
        }
        let mm = hand(&mut self.lift, pose.lift_m, LIFT_M);
        if mm != 0 {
            me.does(p.tick, Act::Lift { mm }, out);
        }
    }

    /// Whether everything has been told to be where a pose has it.
    pub fn told(&self, pose: &Pose) -> bool {
        let aim = |axis: &Axis, wanted: f64| {
            less_turns(wanted - axis.off - f64::from(axis.told) * AIM_UNIT_RAD).abs() < 0.005
        };
        let hand = |axis: &Axis, wanted: f64| {
            (wanted - axis.off - f64::from(axis.told) * HAND_UNIT_M).abs() < 0.005
        };
        aim(&self.yaw, pose.yaw_rad)
            && aim(&self.pitch, pose.pitch_rad)
            && hand(&self.reach, pose.reach_m)
            && hand(&self.lift, pose.lift_m)
    }

    /// Whether the arms are at the end of their reach.
    pub fn reach_ends(&self) -> bool {
        ends(&self.reach, REACH_M)
    }

    /// Whether the arms are at the end of their reach or of their lift.
    pub fn at_end(&self) -> bool {
        self.reach_ends() || ends(&self.lift, LIFT_M)
    }
}

fn ends(axis: &Axis, (least, most): (f64, f64)) -> bool {
    let told = f64::from(axis.told) * HAND_UNIT_M;
    told < least + 0.005 || told > most - 0.005
}

/// Ahead of the body and to its right, metres.
fn split(p: &Percepts, [x, _, z]: [f64; 3]) -> (f64, f64) {
    let (sin, cos) = (libm::sin(p.body.yaw_rad), libm::cos(p.body.yaw_rad));
    let (x, z) = (x - p.body.at_m[0], z - p.body.at_m[1]);
    (x * cos - z * sin, x * sin + z * cos)
}
