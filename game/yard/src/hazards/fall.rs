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
        if let Some(grade) = by_fall(0.0, wears(person, Ppe::Helmet)) {
            let by = HurtBy::Fall;
            hits.push(Hit { seat, by, grade });
        }
    }
}
