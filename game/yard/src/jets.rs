//! What the jet does at the end of a tick: where it points, and what it takes
//! off the surface.

use crate::aim::{self, Around, Target, sees};
use crate::people::Person;
use crate::senses::{EYES_M, in_view};
use crate::surface::{Stroke, Stroked, Wall};
use crate::tool::Tool;
use crate::yard::{Measured, Place};
use bevy::ecs::resource::Resource;
use bevy::ecs::system::{Query, Res, ResMut};
use crew::Seat;
use crew::tick::TICK_S;
use glam::DVec3;
use hydraulics::Exit;
use training::SurfaceStep;

/// From how far somebody is noticed in a yard, metres (a choice of this
/// project).
const NOTICE_M: f64 = 25.0;
/// Half of the field in which somebody is noticed, radians: nearly to the
/// side (from memory: the field of view of two eyes is about 200 degrees).
const NOTICE_RAD: f64 = 1.6;

/// What the tool points at and what it did in this tick.
#[derive(Resource, Clone, Debug, Default)]
pub struct Aimed {
    /// What the line of the tool meets; nothing while it is not in the hands
    /// and no water leaves it.
    pub target: Target,
    /// Tip of the tool.
    pub tip: DVec3,
    /// What the jet came to on the surface.
    pub stroked: Stroked,
    /// The steps that cells have taken.
    pub steps: Vec<SurfaceStep>,
    /// Somebody who has no business there is in the zone.
    pub intruder: bool,
    /// The pump hand and the lance hand can see them.
    pub intruder_seen: (bool, bool),
}

/// Works the jet of this tick.
pub fn jets(
    place: Res<Place>,
    tool: Res<Tool>,
    measured: Res<Measured>,
    mut wall: Option<ResMut<Wall>>,
    mut aimed: ResMut<Aimed>,
    people: Query<&Person>,
) {
    let mut people: Vec<&Person> = people.iter().collect();
    people.sort_by_key(|p| p.seat);
    let aimed = &mut *aimed;
    *aimed = Aimed::default();
    watch_zone(&place, wall.as_deref(), &people, aimed);
    let Some(holder) = people.iter().find(|p| p.seat == Seat::LANCE) else {
        return;
    };
    let dir = tool.points(holder);
    aimed.tip = tool.tip(holder, &place.lance);
    let flows = &measured.0;
    let exit = Exit::of(
        flows.mass_kg_s.mean(),
        flows.thrust_n.mean(),
        place.density_kg_m3,
    );
    if tool.in_hands() || exit.is_some() {
        let around = Around {
            surface: wall.as_deref().map(Wall::frame),
            walls: &place.site.walls,
            kept_dry: &place.site.kept_dry,
            people: &people,
        };
        aimed.target = aim::look(aimed.tip, dir, Seat::LANCE, &around);
    }
    let Some(wall) = wall.as_deref_mut() else {
        return;
    };
    let nozzle = tool.nozzle.and_then(|n| place.nozzles.get(usize::from(n)));
    match (exit, aimed.target.spot, nozzle) {
        (Some(exit), Some((spot, stand_off_m)), Some(nozzle)) => {
            let stroke = Stroke {
                spot,
                stand_off_m,
                cosine: aimed.target.cosine,
                exit,
                jet: nozzle.jet,
            };
            aimed.stroked = wall.stroke(&stroke, TICK_S, &mut aimed.steps);
        }
        _ => wall.lift(),
    }
}

/// Whether somebody is in the zone, and who of the crew can see them.
fn watch_zone(place: &Place, wall: Option<&Wall>, people: &[&Person], aimed: &mut Aimed) {
    let Some([low, high]) = place.site.zone else {
        return;
    };
    let Some(visitor) = people.iter().find(|p| p.seat == Seat::VISITOR) else {
        return;
    };
    let feet = visitor.feet();
    let inside = (low[0]..=high[0]).contains(&feet.x) && (low[1]..=high[1]).contains(&feet.z);
    aimed.intruder = inside;
    let notices = |seat| {
        people
            .iter()
            .find(|p| p.seat == seat)
            .is_some_and(|p| notices(p, feet, place, wall))
    };
    aimed.intruder_seen = (
        inside && notices(Seat::PUMP),
        inside && notices(Seat::LANCE),
    );
}

/// Whether a person has somebody who stands at `feet` in view.
fn notices(person: &Person, feet: DVec3, place: &Place, wall: Option<&Wall>) -> bool {
    let eyes = DVec3::Y * EYES_M;
    in_view(person, feet, NOTICE_M, NOTICE_RAD)
        && sees(
            person.feet() + eyes,
            feet + eyes * 0.8,
            &place.site.walls,
            wall.map(Wall::frame),
        )
}
