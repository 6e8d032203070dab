//! What hurts people in the yard: one file a hazard, one line each in [`HAZARDS`].
//!
//! Each looks at how everything stands at the end of a tick and says who is hit by what. How badly
//! that hurts is told by `training::harm`, against published figures. Whoever needs a doctor goes
//! down, lets go of everything and works no more.

mod blow;
mod fall;
mod jet;
mod spray;

use crate::hose::Hose;
use crate::jets::Aimed;
use crate::people::{Hitting, Person};
use crate::tool::Tool;
use crate::yard::{Happened, Measured, Place};
use bevy::ecs::system::{Query, Res, ResMut};
use crew::{Ppe, Seat, TICKS_PER_SECOND};
use glam::DVec3;
use training::{Event, HurtBy, HurtGrade};

/// Somebody who is hit.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Hit {
    seat: Seat,
    by: HurtBy,
    grade: HurtGrade,
}

/// The yard at the end of a tick, as a hazard looks at it.
struct Scene<'a> {
    place: &'a Place,
    measured: &'a Measured,
    hose: &'a Hose,
    tool: &'a Tool,
    aimed: &'a Aimed,
    happened: &'a [Event],
    /// Everybody, by seat.
    people: &'a [&'a Person],
}

impl Scene<'_> {
    fn person(&self, seat: Seat) -> Option<&Person> {
        self.people.iter().find(|p| p.seat == seat).copied()
    }
}

/// Says who is hit in a tick.
type Hazard = fn(&Scene<'_>, &mut Vec<Hit>);

/// All hazards.
const HAZARDS: [Hazard; 4] = [jet::hits, spray::hits, blow::hits, fall::hits];

/// Lets the hazards of this tick hit whom they hit.
#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
pub fn hurt(
    place: Res<Place>,
    measured: Res<Measured>,
    hose: Res<Hose>,
    tool: Res<Tool>,
    aimed: Res<Aimed>,
    mut happened: ResMut<Happened>,
    mut people: Query<&mut Person>,
) {
    let mut hits = Vec::new();
    {
        let mut all: Vec<&Person> = people.iter().collect();
        all.sort_by_key(|p| p.seat);
        let scene = Scene {
            place: &place,
            measured: &measured,
            hose: &hose,
            tool: &tool,
            aimed: &aimed,
            happened: &happened.0,
            people: &all,
        };
        for hazard in HAZARDS {
            hazard(&scene, &mut hits);
        }
    }
    // Of all that hits somebody the worst counts.
    hits.sort_by_key(|hit| (hit.seat, core::cmp::Reverse(hit.grade)));
    hits.dedup_by_key(|hit| hit.seat);
    let mut people: Vec<_> = people.iter_mut().collect();
    people.sort_by_key(|person| person.seat);
    for person in &mut people {
        let seat = person.seat;
        if let Some(hit) = hits.iter().find(|hit| hit.seat == seat) {
            strike(person, *hit);
        }
        tell(person, &mut happened.0);
    }
}

/// Lets a hit count where it is worse than what there was.
fn strike(person: &mut Person, hit: Hit) {
    let so_far = person.hitting.map(|hitting| hitting.grade).max(person.hurt);
    if so_far.is_some_and(|was| was >= hit.grade) {
        return;
    }
    person.hitting = Some(Hitting {
        by: hit.by,
        grade: hit.grade,
        ticks: person.hitting.map_or(TOLD_TICKS, |hitting| hitting.ticks),
    });
}

/// Tells what a hit came to, and lets the person go down whom it hurt.
fn tell(person: &mut Person, happened: &mut Vec<Event>) {
    let Some(hitting) = &mut person.hitting else {
        return;
    };
    hitting.ticks = hitting.ticks.saturating_sub(1);
    if hitting.ticks == 0 {
        person.hurt = Some(hitting.grade);
        happened.push(Event::Hurt {
            seat: person.seat,
            by: hitting.by,
            grade: hitting.grade,
        });
        let down = hitting.grade >= HurtGrade::Injury;
        person.hitting = None;
        if down && person.body.knock_down() {
            happened.push(Event::Fell { seat: person.seat });
        }
    }
}

/// Ticks from the first touch to what is told of it: a blow that lasts is told once, by its worst
/// (a quarter of a second, a choice of this project).
const TOLD_TICKS: u32 = TICKS_PER_SECOND / 4;

/// Height of a person who stands, metres, and from which height on something strikes the head.
const TALL_M: f64 = 1.75;
const HEAD_M: f64 = 1.5;

/// The line through somebody's middle, from the feet to the top of the head.
fn spine(person: &Person) -> [DVec3; 2] {
    let feet = person.feet();
    if person.body.is_fallen() {
        let com = person.body.pose().com;
        let ahead = person.body.forward();
        [com - ahead * 0.5 * TALL_M, com + ahead * 0.5 * TALL_M]
    } else {
        [feet, feet + DVec3::Y * TALL_M]
    }
}

/// What protects against water: suit, gloves and boots together.
fn clothed(person: &Person) -> bool {
    let needs = Ppe::Suit.bit() | Ppe::Gloves.bit() | Ppe::Boots.bit();
    person.hands.wears & needs == needs
}

fn wears(person: &Person, item: Ppe) -> bool {
    person.hands.wears & item.bit() != 0
}
