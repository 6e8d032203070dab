//! The hose between pump and tool: what holds its ends, what pushes at them, and what it
//! does to the hands.
//!
//! Its end at the pump is fast to the coupling there until that parts. Its end at the tool
//! is where the tool is: in the stand, in the hands, or on the ground, where the lance
//! lies loose and goes on as a part of the rod. Where a coupling has parted that end is free, and
//! the water that leaves it pushes it about.

use crate::people::Person;
use crate::tool::{At, Tool};
use crate::yard::Place;
use bevy::ecs::resource::Resource;
use glam::DVec3;
use hydraulics::Instant;
use mechanics::rod::{TailSpec, Tip};
use mechanics::{Rod, RodEnd};
use serde::{Deserialize, Serialize};
use training::Assumptions;

/// The hose.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hose {
    /// The hose as a rod, with the lance at its end where that lies loose.
    pub rod: Rod,
}

/// The water that the hose has in it in a round.
#[derive(Clone, Copy, Debug)]
pub struct Fill {
    /// Mean pressure, pascals.
    pub pressure_pa: f64,
    /// Mass flow through it, kilograms per second.
    pub mass_flow_kg_s: f64,
    /// Thrust of the tool, newtons.
    pub thrust_n: f64,
}

/// What the hose and the tool do to the hands in a round, newtons.
#[derive(Clone, Copy, Debug, Default)]
pub struct Load {
    /// What lasts when the trigger is let go: the pull of the hose.
    pub lasting_n: DVec3,
    /// All of it.
    pub all_n: DVec3,
}

/// The most that a hose pulls at a hand that takes the tool up or lays it down,
/// newtons (a choice of this project).
const CARRY_MOST_N: f64 = 30.0;
/// Bending stiffness of a lance, newton square metres: a steel tube of 20 mm with walls of 5 mm (closed
/// form of a tube, steel of 200 GPa). It is stiff beside any hose, and more would change nothing.
const LANCE_N_M2: f64 = 1500.0;
/// Radius of a lance that lies about, metres.
const LANCE_RADIUS_M: f64 = 0.017;

impl Hose {
    /// Moves hose and loose lance by a round, with the water as it is now, and says what
    /// pulls at who holds the tool.
    pub fn round(
        &mut self,
        dt_s: f64,
        now: &Instant,
        fill: Fill,
        tool: &mut Tool,
        person: &mut Person,
        place: &Place,
    ) -> Load {
        let on_line = now.torn.at_gun.is_none();
        self.follow_the_tool(tool, person, place, on_line);
        let aim = tool.points(person);
        let hand = tool.way();
        let pull = self.pull(person, &place.assumptions);
        let start = match now.torn.at_pump {
            None => RodEnd::Fixed(place.coupling, place.coupling_out),
            Some(_) => RodEnd::Free,
        };
        let loose = self.rod.tail().is_some();
        let end = if loose || !on_line {
            RodEnd::Free
        } else {
            RodEnd::Held {
                pos: tool.grip(person),
                vel: person.body.pose().hands_velocity * hand,
                dir: aim,
            }
        };
        let parts = self.rod.substeps_wanted(dt_s);
        let mut hose_n = DVec3::ZERO;
        for _ in 0..parts {
            if loose {
                self.rod.thrust(Tip::End, fill.thrust_n);
            }
            let forces = self.rod.substep(
                dt_s / parts as f64,
                start,
                end,
                fill.pressure_pa,
                fill.mass_flow_kg_s,
                &place.ground,
            );
            hose_n += forces.end_force / parts as f64;
        }
        if let Some((grip, _, dir)) = self.rod.tail() {
            tool.lie(grip, dir);
        }
        if loose || !on_line {
            hose_n = DVec3::ZERO;
        }
        // In its stand the tool pushes on the stand.
        // A hand that carries gives way before it is pulled over.
        if !tool.is_held() {
            hose_n = hose_n.clamp_length_max(CARRY_MOST_N);
        }
        let lasting_n = hose_n * hand - pull;
        Load {
            lasting_n,
            all_n: lasting_n - aim * fill.thrust_n * hand,
        }
    }

    /// Lets the lance lie loose at the end of the hose once nobody holds it any more, and
    /// takes it off when somebody does.
    fn follow_the_tool(&mut self, tool: &mut Tool, person: &Person, place: &Place, on_line: bool) {
        let loose = self.rod.tail().is_some();
        if loose && (tool.at != At::Ground || !on_line) {
            self.rod.take_up();
        }
        if !loose && on_line && tool.at == At::Ground && tool.way() <= 0.0 {
            let lance = &place.lance;
            let tail = TailSpec {
                length_m: lance.tip_to_trigger_m,
                mass_kg: lance.mass_kg,
                bending_stiffness_n_m2: LANCE_N_M2,
                outer_radius_m: LANCE_RADIUS_M,
            };
            let aim = tool.points(person);
            let speed = tool.takes_along();
            // The catalogue's lances are within the bounds of a tail.
            if self.rod.let_go(&tail, aim, speed, DVec3::ZERO).is_err() {
                debug_assert!(false, "{tail:?}");
            }
        }
    }

    /// Pulls the hose towards the hand that holds it, and says with what force.
    fn pull(&mut self, person: &mut Person, a: &Assumptions) -> DVec3 {
        let Some(node) = person.hands.hose else {
            return DVec3::ZERO;
        };
        let (Some(at), Some(velocity)) = (
            self.rod.nodes().get(node).copied(),
            self.rod.velocities().get(node).copied(),
        ) else {
            person.hands.hose = None;
            return DVec3::ZERO;
        };
        let mut hand = person.body.hands();
        hand.y = hand.y.min(PULL_HEIGHT_M);
        let off = hand - at;
        if off.length() > PULL_LOST_M + PULL_HEIGHT_M {
            person.hands.hose = None;
            return DVec3::ZERO;
        }
        let damping = (person.body.pose().hands_velocity - velocity) * a.pull_n_s_m;
        let force = (off * a.pull_n_m + damping).clamp_length_max(a.pull_most_n);
        self.rod.push(node, force);
        force
    }
}

/// A hose that has got away from the hand by so much is lost, metres.
const PULL_LOST_M: f64 = 0.6;
/// A held hose is lifted no higher than this, metres.
const PULL_HEIGHT_M: f64 = 0.6;
