//! Water that leaves the hose where it should not: a needle out of a hole, which is hard to see,
//! and the blast out of an end that has parted.

use super::{Hit, Scene, clothed, spine};
use crate::aim::between;
use glam::DVec3;
use hydraulics::Exit;
use mechanics::whip::open_bore_thrust_n;
use training::HurtBy;
use training::harm::{ROUGH, by_water};

/// Nearer than this to the middle of somebody they are in the spray, metres.
const BODY_M: f64 = 0.25;
/// Whoever stands as near as this to a hole gets a hand or a leg into it, and from how far off it is
/// hit then, metres (a choice of this project).
const NEAR_M: f64 = 0.4;
const TOUCH_M: f64 = 0.1;
/// No spray is followed further, metres.
const FARTHEST_M: f64 = 10.0;

pub(super) fn hits(scene: &Scene<'_>, hits: &mut Vec<Hit>) {
    let end = &scene.measured.0.end;
    let density = scene.place.density_kg_m3;
    // A mean of both ends is what there is halfway.
    let hole_pa = (0.5 * (end.pump_pressure_pa + end.gun_pressure_pa)).max(0.0);
    let hole_kg_s = end.hose_leak_m3_s * end.suction_density_kg_m3 - end.torn.flow_kg_s();
    let hole_n = hole_kg_s * (2.0 * hole_pa / density).sqrt();
    if let Some(exit) = Exit::of(hole_kg_s, hole_n, density) {
        sprays(scene, scene.hose.hole(), &exit, Some(TOUCH_M), hits);
    }
    let area = scene.hose.rod.spec().bore_area_m2();
    for (torn, at_pump) in [(end.torn.at_pump, true), (end.torn.at_gun, false)] {
        let (Some(torn), Some(from)) = (torn, scene.hose.torn_end(at_pump)) else {
            continue;
        };
        let thrust_n = open_bore_thrust_n(torn.mass_flow_kg_s, area);
        if let Some(exit) = Exit::of(torn.mass_flow_kg_s, thrust_n, density) {
            sprays(scene, from, &exit, None, hits);
        }
    }
}

/// Whom a spray from a place along a direction hits; `touch_m`: how near it is to who stands beside it.
fn sprays(
    scene: &Scene<'_>,
    (at, out): (DVec3, DVec3),
    exit: &Exit,
    touch_m: Option<f64>,
    hits: &mut Vec<Hit>,
) {
    for person in scene.people {
        let [low, high] = spine(person);
        let (off_m, way_m) = between(at, out, FARTHEST_M, low, high);
        let in_it = (off_m <= BODY_M && way_m > 0.0).then_some(way_m);
        let beside = touch_m.filter(|_| off_m <= NEAR_M && way_m <= NEAR_M);
        let nearest = in_it.into_iter().chain(beside).reduce(f64::min);
        let grade = nearest.and_then(|way_m| by_water(&ROUGH, exit, way_m, clothed(person)));
        if let Some(grade) = grade {
            hits.push(Hit {
                seat: person.seat,
                by: HurtBy::Spray,
                grade,
            });
        }
    }
}
