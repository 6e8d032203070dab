//! A fall, on the spot or from an edge.

use super::{Hit, Scene, wears};
use crew::Ppe;
use training::harm::by_fall;
use training::{Event, HurtBy};

pub(super) fn hits(scene: &Scene<'_>, hits: &mut Vec<Hit>) {
    for event in scene.happened {
        let Event::Fell { seat } = *event else {
            continue;
        };
        let Some(person) = scene.person(seat) else {
            continue;
        };
        if let Some(grade) = by_fall(person.dropped_m, wears(person, Ppe::Helmet)) {
            let by = if person.dropped_m > 0.0 {
                HurtBy::Drop
            } else {
                HurtBy::Fall
            };
            hits.push(Hit { seat, by, grade });
        }
    }
}
