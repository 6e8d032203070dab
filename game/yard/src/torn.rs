//! The ends of the line where a coupling has parted, as whoever draws them is given them.

use crate::hose::Hose;
use crate::people::Person;
use crate::tool::Tool;
use crate::view::Vector;
use crate::yard::{Measured, Place};
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
    /// Where it is.
    pub at: Vector,
    /// The way that water leaves it.
    pub out: Vector,
    /// Flow out of it, cubic metres per second.
    pub flow_m3_s: f64,
}

/// All such ends.
pub(crate) fn torn(world: &World, place: &Place, holder: Option<&Person>) -> Vec<TornView> {
    let end = &world.resource::<Measured>().0.end;
    let rod = &world.resource::<Hose>().rod;
    let tool = world.resource::<Tool>();
    let density_kg_m3 = end.suction_density_kg_m3.max(1.0);
    let mut found = Vec::new();
    let mut put = |of_hose, at_pump, (at, out): (DVec3, DVec3), kg_s: f64| {
        found.push(TornView {
            of_hose,
            at_pump,
            at: at.to_array(),
            out: out.to_array(),
            flow_m3_s: kg_s / density_kg_m3,
        });
    };
    let of = |tip| (rod.tip_position(tip), rod.outward(tip));
    if let Some(torn) = end.torn.at_pump {
        let outlet = (place.coupling, place.coupling_out);
        put(true, true, of(Tip::Start), torn.mass_flow_kg_s);
        put(false, true, outlet, torn.other_kg_s);
    }
    if let Some(torn) = end.torn.at_gun {
        put(true, false, of(Tip::End), torn.mass_flow_kg_s);
        if let Some(holder) = holder {
            let gun = (tool.grip(holder), -tool.points(holder));
            put(false, false, gun, torn.other_kg_s);
        }
    }
    found
}
