//! The tool at the end of the line: where it is, what is on it, where it
//! points.

use crate::people::Person;
use bevy::ecs::resource::Resource;
use crew::tick::TICK_S;
use glam::DVec3;
use mechanics::tool::{ToolError, ToolIntent};
use serde::{Deserialize, Serialize};
use training::allowed::tool_at;
use training::level::{Lance, Level};

/// Least time to take a tool up or to lay it down, seconds, and the speed at
/// which it is carried with its hose behind it, metres per second (common
/// practice, no source).
const CARRY_S: f64 = 0.8;
const CARRY_M_S: f64 = 0.25;
/// Height at which a lance lies on the ground, metres.
const LYING_M: f64 = 0.05;
/// How near to its stand a tool is put back into it, metres.
const STAND_REACH_M: f64 = 1.0;

/// Where a tool is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum At {
    /// In its stand.
    Stand,
    /// In the hands.
    Hands,
    /// On the ground.
    Ground,
}

/// The tool at the end of the line.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tool {
    /// Where it is, or is on the way to.
    pub at: At,
    /// The nozzle on the lance; without one the end is bare.
    pub nozzle: Option<u8>,
    /// The nozzle laid out to be fitted next.
    pub chosen: u8,
    /// The trigger is tied.
    pub tied: bool,
    /// How hard it pushed when it was used last, of the pressure at the gun, N/Pa: what its
    /// user knows of it, until it is used again.
    pub felt_n_pa: f64,
    /// Share of the time of being taken up that has gone, 0 to 1.
    carried: f64,
    /// Time that it takes from where it lay into the hands, seconds.
    carry_s: f64,
    /// Where it stands or lies, or did last.
    lay: DVec3,
    lay_dir: DVec3,
    /// The speed that it takes along out of the hands, metres per second.
    takes_along: DVec3,
    /// How it is aimed while it is in the hands.
    aimed: mechanics::Tool,
}

impl Tool {
    /// The tool as a level finds it.
    ///
    /// # Errors
    /// A lance that cannot be aimed.
    pub fn at_start(level: &Level, stand: DVec3, stand_out: DVec3) -> Result<Self, ToolError> {
        let start = &level.start;
        let in_hands = start.nozzle_fitted && !start.tool_in_stand;
        Ok(Tool {
            at: if in_hands { At::Hands } else { At::Stand },
            nozzle: start.nozzle_fitted.then_some(start.nozzle),
            chosen: start.nozzle,
            tied: false,
            felt_n_pa: 0.0,
            carried: f64::from(u8::from(in_hands)),
            carry_s: CARRY_S,
            lay: stand,
            lay_dir: stand_out,
            takes_along: DVec3::ZERO,
            aimed: mechanics::Tool::new(spec(level))?,
        })
    }

    /// Whether it is in the hands, or on the way there.
    pub fn in_hands(&self) -> bool {
        self.at == At::Hands
    }

    /// Whether it has come to rest in the hands.
    pub fn is_held(&self) -> bool {
        self.in_hands() && self.carried >= 1.0
    }

    /// The value of the channel that says where it is.
    pub fn code(&self) -> f64 {
        match self.at {
            At::Stand => tool_at::STAND,
            At::Hands => tool_at::HANDS,
            At::Ground => tool_at::GROUND,
        }
    }

    /// Moves it on by a tick between the hands and where it lies.
    pub fn carry(&mut self) {
        let by = TICK_S / self.carry_s;
        self.carried = if self.in_hands() {
            (self.carried + by).min(1.0)
        } else {
            (self.carried - by).max(0.0)
        };
    }

    /// How far it has gone from where it lay into the hands, 0 to 1.
    pub fn way(&self) -> f64 {
        self.carried * self.carried * (3.0 - 2.0 * self.carried)
    }

    /// Takes it into these hands.
    pub fn take_up(&mut self, person: &Person) {
        self.at = At::Hands;
        self.carry_s = ((person.body.hands() - self.lay).length() / CARRY_M_S).max(CARRY_S);
    }

    /// Lays it down where its holder stands: into its stand when that is near,
    /// else on the ground, pointing where it points.
    pub fn lay_down(&mut self, person: &Person, stand: DVec3, stand_out: DVec3) {
        let hands = person.body.hands();
        let near = DVec3::new(stand.x - hands.x, 0.0, stand.z - hands.z).length();
        if near <= STAND_REACH_M {
            self.at = At::Stand;
            self.lay = stand;
            self.lay_dir = stand_out;
            self.carry_s = ((hands - self.lay).length() / CARRY_M_S).max(CARRY_S);
        } else {
            self.lower(person, stand_out);
        }
    }

    /// Lays it on the ground before the feet, pointing where it points.
    fn lower(&mut self, person: &Person, stand_out: DVec3) {
        let hands = person.body.hands();
        self.at = At::Ground;
        self.lay = DVec3::new(hands.x, LYING_M, hands.z);
        let dir = self.dir(person);
        self.lay_dir = DVec3::new(dir.x, 0.0, dir.z).normalize_or(stand_out);
        self.carry_s = ((hands - self.lay).length() / CARRY_M_S).max(CARRY_S);
        self.takes_along = DVec3::ZERO;
    }

    /// Lets it fall out of the hands, as fast as they go.
    pub fn drop(&mut self, person: &Person) {
        (self.lay, self.lay_dir) = (self.grip(person), self.points(person));
        self.takes_along = person.body.pose().hands_velocity * self.way();
        self.at = At::Ground;
        self.carried = 0.0;
    }

    /// It lies, or flies, there now.
    pub fn lie(&mut self, grip: DVec3, dir: DVec3) {
        (self.lay, self.lay_dir) = (grip, dir);
    }

    /// The speed that it has as it leaves the hands, metres per second.
    pub fn takes_along(&self) -> DVec3 {
        self.takes_along
    }

    /// The way it would point in these hands.
    fn dir(&self, person: &Person) -> DVec3 {
        let yaw = person.body.yaw() + self.aimed.yaw_rad();
        let pitch = self.aimed.pitch_rad();
        let (ahead, up) = (libm::cos(pitch), libm::sin(pitch));
        DVec3::new(ahead * libm::cos(yaw), up, -ahead * libm::sin(yaw))
    }

    /// The way it points.
    pub fn points(&self, person: &Person) -> DVec3 {
        let dir = self.dir(person);
        self.lay_dir.lerp(dir, self.way()).normalize_or(dir)
    }

    /// Where its grip is: the end of the hose.
    pub fn grip(&self, person: &Person) -> DVec3 {
        self.lay.lerp(person.body.hands(), self.way())
    }

    /// Where its tip is.
    pub fn tip(&self, person: &Person, lance: &Lance) -> DVec3 {
        self.grip(person) + self.points(person) * lance.tip_to_trigger_m
    }

    /// Yaw and pitch in the yard, radians.
    pub fn heading(&self, person: &Person) -> (f64, f64) {
        let dir = self.points(person);
        (
            libm::atan2(-dir.z, dir.x),
            libm::asin(dir.y.clamp(-1.0, 1.0)),
        )
    }

    /// Swings it in its holder's hands.
    pub fn substep(&mut self, dt_s: f64, person: &Person, thrust_n: f64) {
        let wanted = ToolIntent {
            yaw_rad: person.gait.tool_yaw_rad,
            pitch_rad: person.gait.pitch_rad,
        };
        let body = &person.body;
        let thrust_n = thrust_n * self.way();
        self.aimed.substep(
            dt_s,
            &wanted,
            body.braced(),
            body.strength_left(),
            thrust_n,
            (0.0, 0.0),
        );
    }
}

fn spec(level: &Level) -> mechanics::ToolSpec {
    let (lance, a) = (&level.equipment.lance, &level.assumptions);
    mechanics::ToolSpec {
        mass_kg: lance.mass_kg,
        length_m: lance.length_m,
        tip_ahead_m: lance.tip_to_trigger_m,
        thrust_lever_m: a.thrust_lever_m,
        stiffness_n_m: a.tool_n_m,
        braced_stiffness_n_m: a.tool_braced_n_m,
        damping_ratio: a.tool_damping,
        adapt_s: a.tool_adapt_s,
        felt_s: a.tool_felt_s,
        exhausted_share: a.tool_exhausted_share,
    }
}
