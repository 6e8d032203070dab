//! A blow by the end of a hose that whips, or by a lance that thrashes about in nobody's hands.

use super::{HEAD_M, Hit, Scene, spine, wears};
use crate::people::Person;
use crew::{Ppe, Seat};
use glam::DVec3;
use mechanics::Rod;
use training::HurtBy;
use training::harm::{Struck, by_blow};

/// Nearer than this to the middle of somebody something strikes them, metres.
const BODY_M: f64 = 0.22;
/// What moves slower hurts nobody, metres per second: the hose that strikes has no more than 1.6 J.
const SLOW_M_S: f64 = 2.0;
/// Length of the hose that goes with a blow, metres, and the share of a lance (choices of this project:
/// what strikes with its end brings about a third of its mass, as a rod does that turns about its
/// other end).
const GOES_WITH_M: f64 = 0.5;
const LANCE_SHARE: f64 = 1.0 / 3.0;
/// So near to the hands a hose is held by them and does not strike who holds it, metres.
const HELD_M: f64 = 1.2;

pub(super) fn hits(scene: &Scene<'_>, hits: &mut Vec<Hit>) {
    if !scene.hose.is_loose() {
        return;
    }
    for (rod, at_tool) in scene.hose.rods().filter(|(rod, _)| !rod.is_asleep()) {
        let held = at_tool && scene.tool.in_hands();
        let hose_nodes = rod.hose_nodes().len();
        for (n, velocity) in rod.velocities().iter().enumerate() {
            let speed = velocity.length();
            if speed < SLOW_M_S {
                continue;
            }
            let at = rod.nodes()[n];
            let of_lance = n >= hose_nodes;
            let kg = mass_kg(rod, of_lance, scene.place.lance.mass_kg);
            let energy_j = 0.5 * kg * speed * speed;
            for person in scene.people {
                let own = held && person.seat == Seat::LANCE;
                let in_hand = own && person.body.hands().distance(at) < HELD_M;
                if let Some(struck) = strikes(person, at).filter(|_| !in_hand)
                    && let Some(grade) = by_blow(energy_j, struck)
                {
                    hits.push(Hit {
                        seat: person.seat,
                        by: if of_lance { HurtBy::Tool } else { HurtBy::Hose },
                        grade,
                    });
                }
            }
        }
    }
}

fn mass_kg(rod: &Rod, of_lance: bool, lance_kg: f64) -> f64 {
    if of_lance {
        LANCE_SHARE * lance_kg
    } else {
        rod.spec().mass_kg_per_m(1.0) * GOES_WITH_M
    }
}

/// What of somebody is struck at a place, if anything is.
fn strikes(person: &Person, at: DVec3) -> Option<Struck> {
    let [low, high] = spine(person);
    let along = high - low;
    let share = ((at - low).dot(along) / along.length_squared()).clamp(0.0, 1.0);
    if (low + along * share).distance(at) > BODY_M {
        return None;
    }
    let head = share * along.length() > HEAD_M;
    Some(if head {
        Struck::Head {
            helmet: wears(person, Ppe::Helmet),
        }
    } else {
        Struck::Body
    })
}
