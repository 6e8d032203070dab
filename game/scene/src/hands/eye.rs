//! The view of the person who plays: their own eyes, and what holding the tool
//! does to them.

use super::effort::Effort;
use super::gaze::{angles, holds, less_turns};
use super::{Hands, Look};
use crate::settings::Settings;
use crate::stage::{Eye, Show, Stage, to_spot};
use bevy::prelude::*;
use bevy::time::Real;
use crew::{Seat, TICKS_PER_SECOND};

/// The view follows the tool this much later, seconds.
const FOLLOW_S: f32 = 0.09;
/// Share of a lean and of a kick that the view shows.
const LEAN_SHARE: f32 = 0.35;
const KICK_SHARE: f32 = 0.5;
/// The look goes with a tool that is only on its way into the hands this much.
const COMING_SHARE: f32 = 0.1;
/// Whoever falls sees the ground come up, but not the whole turn of it, radians.
const FALL_ROLL_RAD: f32 = 0.5;
/// From standing to lying the view takes this time, seconds.
const FALL_S: f32 = 0.5;
/// How far a heavy breath lifts the view, radians (a choice of this project).
const BREATH_RAD: f32 = 0.004;
/// How the tremor swings: cycles per second and shares, for each of two axes
/// (from memory: the tremor of arms under load is some 6 to 11 a second).
const TREMOR_HZ: [f32; 4] = [6.1, 8.3, 7.2, 9.7];

/// What the view remembers from one picture to the next.
#[derive(Default)]
pub struct Follows {
    yard: u32,
    aim: Option<(f32, f32)>,
    fall: f32,
    /// Share of a breath that is drawn.
    breath: f32,
}

/// The tremor of head and arms at a moment of the yard, radians to the left and
/// up, for a given strength of it.
pub fn tremor(at_s: f32, rms_rad: f32) -> Vec2 {
    let swing = |hz: f32| Vec2::from_angle(core::f32::consts::TAU * (hz * at_s).fract()).y;
    Vec2::new(
        0.7 * swing(TREMOR_HZ[0]) + 0.7 * swing(TREMOR_HZ[1]),
        0.7 * swing(TREMOR_HZ[2]) + 0.7 * swing(TREMOR_HZ[3]),
    ) * rms_rad
}

/// The moment that is on show, seconds.
fn moment_s(show: &Show) -> f32 {
    (show.before.tick.0 as f32 + show.alpha) / TICKS_PER_SECOND as f32
}

pub(super) fn look(
    time: Res<Time<Real>>,
    stage: Res<Stage>,
    settings: Res<Settings>,
    hands: Res<Hands>,
    mut look: ResMut<Look>,
    mut eye: ResMut<Eye>,
    mut follows: Local<Follows>,
) {
    let Some(show) = &stage.show else { return };
    let Some(seat) = stage.own else { return };
    if follows.yard != stage.yard {
        *follows = Follows {
            yard: stage.yard,
            ..Follows::default()
        };
    }
    if let Some(own) = view(
        show,
        seat,
        &hands,
        settings.sway,
        time.delta_secs(),
        &mut follows,
    ) {
        *eye = own;
    }
    look.looks_round = hands.gaze().looks_round();
    look.held_share = hands.held_share();
}

/// The view of a seat at the moment on show.
pub fn view(
    show: &Show,
    seat: Seat,
    hands: &Hands,
    sway: f32,
    since_s: f32,
    follows: &mut Follows,
) -> Option<Eye> {
    let (before, now) = show.person(seat)?;
    let ((yaw, pitch), round) = hands.gaze().between(show.alpha);
    let came = (since_s.clamp(0.0, 0.5) / FOLLOW_S).min(1.0);
    let eyes = crate::stage::point(before.eyes).lerp(crate::stage::point(now.eyes), show.alpha);
    let points = to_spot(
        eyes,
        show.place(|f| f.tool.tip),
        show.place(|f| f.tool.points),
    );
    let (mut at_yaw, mut at_pitch) = (yaw, pitch);
    if holds(&show.now, seat) && points.length_squared() > 1e-6 {
        let (tool_yaw, tool_pitch) = angles(points);
        let (was_yaw, was_pitch) = follows.aim.unwrap_or((tool_yaw, tool_pitch));
        // A kick reaches the view in part and smoothly, and the look goes over
        // to the tool as the tool comes into the hands.
        let kick = 1.0 - KICK_SHARE * (1.0 - sway.clamp(0.0, 1.0));
        let way = show.number(|f| f.tool.way);
        let go = came * kick * (COMING_SHARE + (1.0 - COMING_SHARE) * way);
        at_yaw = was_yaw + less_turns(tool_yaw - was_yaw) * go;
        at_pitch = was_pitch + (tool_pitch - was_pitch) * go;
    }
    follows.aim = Some((at_yaw, at_pitch));
    let lean = |n: usize| {
        let (a, b) = (before.lean_rad[n] as f32, now.lean_rad[n] as f32);
        a + (b - a) * show.alpha
    };
    let effort = Effort::of(now, &show.now);
    let shake = tremor(moment_s(show), effort.tremor_rad as f32) * sway;
    follows.breath = (follows.breath + effort.breaths_min as f32 / 60.0 * since_s.min(0.5)).fract();
    let breath = Vec2::from_angle(core::f32::consts::TAU * follows.breath).y;
    let breath = breath * BREATH_RAD * (0.2 + effort.share as f32) * sway;
    let falls = f32::from(u8::from(now.fallen));
    follows.fall += (falls - follows.fall).clamp(-since_s / FALL_S, since_s / FALL_S);
    let down = follows.fall * follows.fall * (3.0 - 2.0 * follows.fall);
    Some(Eye {
        at: eyes,
        yaw: at_yaw + round.x + shake.x,
        pitch: at_pitch + round.y + shake.y + breath - LEAN_SHARE * sway * lean(0),
        roll: sway * (LEAN_SHARE * lean(1) + FALL_ROLL_RAD * down),
    })
}
