//! The jet of the lance on somebody: on others wherever they stand in it, and on one's own feet.

use super::{Hit, Scene, clothed, wears};
use crew::{Ppe, Seat};
use hydraulics::Exit;
use training::HurtBy;
use training::harm::by_water;

/// Nearer to the line of the jet than this a foot is in it, metres: half the breadth of a boot.
const FOOT_M: f64 = 0.06;

pub(super) fn hits(scene: &Scene<'_>, hits: &mut Vec<Hit>) {
    let flows = &scene.measured.0;
    let density = scene.place.density_kg_m3;
    let Some(exit) = Exit::of(flows.mass_kg_s.mean(), flows.thrust_n.mean(), density) else {
        return;
    };
    let nozzle = scene.tool.nozzle.map(usize::from);
    let Some(nozzle) = nozzle.and_then(|n| scene.place.nozzles.get(n)) else {
        return;
    };
    let mut hit = |seat, way_m, clothed| {
        if let Some(grade) = by_water(&nozzle.jet, &exit, way_m, clothed) {
            let by = HurtBy::Jet;
            hits.push(Hit { seat, by, grade });
        }
    };
    let target = &scene.aimed.target;
    if let Some((seat, way_m)) = target.person
        && let Some(person) = scene.person(seat)
    {
        hit(seat, way_m, clothed(person));
    }
    if let Some(holder) = scene.person(Seat::LANCE)
        && target.feet_m <= FOOT_M
    {
        let feet = holder.body.pose().feet;
        let way_m = feet.map(|foot| foot.distance(scene.aimed.tip));
        hit(
            Seat::LANCE,
            way_m[0].min(way_m[1]),
            wears(holder, Ppe::Boots),
        );
    }
}
