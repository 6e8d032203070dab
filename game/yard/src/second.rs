//! The second tool: a lance clamped in a stand, with its pedal and its hose, as whoever draws it is
//! given it. Its stand takes all of its push, so nothing of it moves.

use crate::people::Person;
use crate::view::{JetView, Spread, Vector, solid};
use crate::yard::{Measured, Place};
use bevy::ecs::world::World;
use crew::Seat;
use glam::DVec3;
use hydraulics::Exit;

/// Height at which the lance is clamped, metres.
const CLAMP_M: f64 = 0.9;
/// How far the lance points down, radians.
const DOWN_RAD: f64 = 0.35;
/// Where the pedal lies, behind the clamp, metres.
const PEDAL_M: f64 = 0.7;

/// The second tool.
#[derive(Clone, Debug, PartialEq)]
pub struct SecondView {
    /// Where the lance is clamped.
    pub clamp: Vector,
    /// Its tail, where its hose comes in.
    pub tail: Vector,
    /// Its tip.
    pub tip: Vector,
    /// Where the pedal lies.
    pub pedal: Vector,
    /// How far the pedal is pressed, 0 to 1.
    pub pressed: f64,
    /// The line on the ground along which its hose lies, from the unit to the stand.
    pub hose: Vec<Vector>,
    /// Outer diameter of that hose, metres.
    pub outer_m: f64,
    /// Pressure before its valve, pascals.
    pub pressure_pa: f64,
    /// Its jet, while water leaves it.
    pub jet: Option<JetView>,
}

/// The second tool of a yard now, where there is one.
pub(crate) fn second(world: &World, place: &Place, people: &[Person]) -> Option<SecondView> {
    let (tool, at) = (place.second.as_ref()?, place.site.second.as_ref()?);
    let ahead = DVec3::new(libm::cos(at.yaw_rad), 0.0, -libm::sin(at.yaw_rad));
    let stand = DVec3::new(at.at[0], 0.0, at.at[1]);
    let points = ahead * libm::cos(DOWN_RAD) - DVec3::Y * libm::sin(DOWN_RAD);
    let clamp = stand + DVec3::Y * CLAMP_M;
    let behind_m = tool.lance.length_m - tool.lance.tip_to_trigger_m;
    let tip = clamp + points * tool.lance.tip_to_trigger_m;
    let flows = &world.resource::<Measured>().0;
    let flow_m3_s = flows.pedal_m3_s.mean();
    let mass_kg_s = flow_m3_s * place.density_kg_m3;
    let jet = Exit::of(mass_kg_s, flows.end.second.thrust_n, place.density_kg_m3).map(|exit| {
        let (meets, normal) = solid(world, place, tip, points);
        JetView {
            tip: tip.to_array(),
            points: points.to_array(),
            flow_m3_s,
            speed_m_s: flows.end.second.jet_speed_m_s,
            thrust_n: exit.thrust_n,
            diameter_m: exit.diameter_m,
            core_m: tool.nozzle.jet.core_diameters * exit.diameter_m,
            spread: Spread::of(&tool.nozzle.jet),
            meets: meets.map(|at| at.to_array()),
            normal: normal.to_array(),
            spot: None,
            impact_pa: 0.0,
            at_person: false,
        }
    });
    let lies = |[x, z]: [f64; 2]| [x, 0.5 * tool.outer_m, z];
    Some(SecondView {
        clamp: clamp.to_array(),
        tail: (clamp - points * behind_m).to_array(),
        tip: tip.to_array(),
        pedal: (stand - ahead * PEDAL_M).to_array(),
        pressed: people
            .iter()
            .find(|p| p.seat == Seat::MATE)
            .map_or(0.0, |p| p.hands.squeeze),
        hose: at.hose_path.iter().copied().map(lies).collect(),
        outer_m: tool.outer_m,
        pressure_pa: flows.pedal_pa.mean(),
        jet,
    })
}
