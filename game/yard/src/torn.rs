//! The ends of the line where a coupling has parted, as whoever draws them is given them.

use crate::hose::Hose;
use crate::view::Vector;
use crate::yard::Measured;
use bevy::ecs::world::World;
use glam::DVec3;
use mechanics::rod::Tip;

/// An end of the line where a coupling has parted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TornView {
    /// It is the hose's; else that of the outlet or of the gun.
    pub of_hose: bool,
    /// It was coupled at the pump; else at the gun.
    pub at_pump: bool,
    /// A whip restraint holds it to what it was coupled to.
    pub held: bool,
    /// Where it is.
    pub at: Vector,
    /// The way that water leaves it.
    pub out: Vector,
    /// Flow out of it, cubic metres per second.
    pub flow_m3_s: f64,
}

/// All such ends.
pub(crate) fn torn(world: &World) -> Vec<TornView> {
    let end = &world.resource::<Measured>().0.end;
    let hose = world.resource::<Hose>();
    let density_kg_m3 = end.suction_density_kg_m3.max(1.0);
    let mut found = Vec::new();
    let mut put = |of_hose, at_pump, (at, out): (DVec3, DVec3), kg_s: f64| {
        found.push(TornView {
            of_hose,
            at_pump,
            held: hose.restrained(at_pump) == Some(true),
            at: at.to_array(),
            out: out.to_array(),
            flow_m3_s: kg_s / density_kg_m3,
        });
    };
    for (torn, at_pump, tip) in [
        (end.torn.at_pump, true, Tip::End),
        (end.torn.at_gun, false, Tip::Start),
    ] {
        let (Some(torn), Some(hose_end), Some(stub)) =
            (torn, hose.torn_end(at_pump), hose.stub(at_pump))
        else {
            continue;
        };
        put(true, at_pump, hose_end, torn.mass_flow_kg_s);
        let end = (stub.tip_position(tip), stub.outward(tip));
        put(false, at_pump, end, torn.other_kg_s);
    }
    found
}
