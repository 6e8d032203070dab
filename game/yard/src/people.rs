//! People: entities with a seat, a body, hands and a voice.

use bevy::ecs::component::Component;
use bevy_rapier3d::rapier::prelude::RigidBodyHandle;
use crew::{Call, Control, Heard, Seat, Stance, Task, Tick};
use glam::DVec3;
use mechanics::{Body, BodyIntent};
use serde::{Deserialize, Serialize};
use training::{HurtBy, HurtGrade};

/// A person of the crew.
#[derive(Component, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Their seat.
    pub seat: Seat,
    /// Their body.
    pub body: Body,
    /// What their hands do.
    pub hands: Hands,
    /// What they say and hear.
    pub voice: Voice,
    /// How they want to move.
    pub gait: Gait,
    /// Their capsule in Rapier.
    pub capsule: RigidBodyHandle,
    /// Where the middle between their feet was at the end of the tick before.
    pub was_at: DVec3,
    /// How fast they go over the ground, metres per second.
    pub speed_m_s: f64,
    /// How badly they are hurt.
    pub hurt: Option<HurtGrade>,
    /// What is hitting them, until it is told.
    pub hitting: Option<Hitting>,
    /// How far they fell from an edge, metres.
    pub dropped_m: f64,
}

impl Person {
    /// Measures how fast they go, once a tick.
    pub fn pace(&mut self, tick_s: f64) {
        let feet = self.feet();
        let went = (feet - self.was_at) * DVec3::new(1.0, 0.0, 1.0);
        // The feet go in steps; the speed is that of the walk over half a
        // second.
        let share = tick_s / PACE_S;
        self.speed_m_s += share * (went.length() / tick_s - self.speed_m_s);
        self.was_at = feet;
    }

    /// Where they stand: the middle between the feet.
    pub fn feet(&self) -> DVec3 {
        let [left, right] = self.body.pose().feet;
        0.5 * (left + right)
    }

    /// How far they lean from upright, any way, radians.
    pub fn lean_rad(&self) -> f64 {
        let (ahead, right) = self.body.pose().lean_rad;
        (ahead * ahead + right * right).sqrt()
    }
}

/// How a person wants to move.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Gait {
    /// Speed ahead and to the right, metres per second.
    pub velocity_m_s: (f64, f64),
    /// Turn still to be made, radians to the left.
    pub turn_rad: f64,
    /// Pitch that the tool is to have, radians up.
    pub pitch_rad: f64,
    /// The way that the tool is to point, radians to the left of the facing.
    pub tool_yaw_rad: f64,
    /// How far the hands are to be ahead of their usual place, metres.
    pub reach_m: f64,
    /// How far the hands are to be above their usual height, metres.
    pub lift_m: f64,
    /// How the feet are to be set.
    pub stance: Stance,
    /// The tool is to be braced.
    pub brace: bool,
    /// The other hand is at something else.
    pub one_hand: bool,
}

impl Gait {
    /// What is turned of what is still to be turned in one tick, radians.
    pub fn turned_rad(&self, tick_s: f64) -> f64 {
        let most = MAX_TURN_RAD_S * tick_s;
        self.turn_rad.clamp(-most, most)
    }

    /// What the body is told for one tick.
    ///
    /// `easing`: the trigger is let go, and the body knows it.
    pub fn intent(&self, tick_s: f64, easing: bool) -> BodyIntent {
        BodyIntent {
            velocity_body: self.velocity_m_s,
            yaw_rate: self.turned_rad(tick_s) / tick_s,
            // Nobody walks with the feet set.
            stance: match self.stance {
                Stance::Crouched => mechanics::Stance::Crouched,
                _ if self.velocity_m_s != (0.0, 0.0) => mechanics::Stance::Normal,
                Stance::Normal => mechanics::Stance::Normal,
                Stance::Wide => mechanics::Stance::Wide,
                Stance::Staggered => mechanics::Stance::Staggered,
            },
            brace: self.brace,
            hands_ahead_m: self.reach_m,
            hands_up_m: self.lift_m,
            one_hand: self.one_hand,
            easing,
            lasting_n: DVec3::ZERO,
            coming_n: DVec3::ZERO,
        }
    }
}

/// Time over which a speed is taken, seconds.
const PACE_S: f64 = 0.5;
/// Fastest turn on the spot, radians per second.
const MAX_TURN_RAD_S: f64 = 4.0;

/// What a person's hands do.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Hands {
    /// The control that is held.
    pub holding: Option<Control>,
    /// The push that is under way.
    pub push: Option<Push>,
    /// How far the trigger is squeezed, 0 to 1.
    pub squeeze: f64,
    /// The safety catch is on.
    pub catch_on: bool,
    /// The work that is under way, and the ticks that it still takes.
    pub work: Option<(Task, u32)>,
    /// The node of the hose that is held.
    pub hose: Option<usize>,
    /// What is worn, a bit for each piece.
    pub wears: u8,
}

/// A push of a control from one position to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Push {
    /// The control.
    pub control: Control,
    /// The position it goes to.
    pub to: u16,
    /// Ticks until it is there.
    pub ticks: u32,
}

/// A hit that goes on: what it comes to is told when it is over.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hitting {
    /// What hits.
    pub by: HurtBy,
    /// How badly so far.
    pub grade: HurtGrade,
    /// Ticks until it is told.
    pub ticks: u32,
}

/// What a person says and hears.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Voice {
    /// The word being said, and the ticks until its end.
    pub saying: Option<(Call, u32)>,
    /// Words on their way to the ear, and when they are understood.
    pub coming: Vec<(Heard, Tick)>,
}

/// A thing that can be pushed about.
#[derive(Component, Clone, Debug, PartialEq)]
pub struct Prop {
    /// Stable name.
    pub id: String,
    /// Its body in Rapier.
    pub body: RigidBodyHandle,
}
