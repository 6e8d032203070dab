//! Where a picture looks: with the eyes of who plays, or beside something that is the
//! matter.

use super::step;
use crate::hands::{Hands, Pressed};
use crate::leaks;
use crate::settings::Settings;
use crate::stage::{Eye, Stage, point};
use crate::things::{dials_place, line_gauge_place};
use bevy::prelude::*;
use crew::Seat;
use training::Level;

/// A place where something is the matter.
#[derive(Clone, Copy)]
pub(super) enum Matter {
    /// The packings of the pump.
    Glands,
    /// The pipe of the relief.
    Relief,
    /// The middle of the hose.
    Hole,
    /// Its end at the gun.
    Torn,
    /// The pipe of the burst disc.
    Disc,
    /// The stand of a second tool.
    Stand,
}

/// Something that is looked at from where one stands.
#[derive(Clone, Copy)]
pub(super) enum Near {
    /// The small dials.
    Dials,
    /// The cocks of a unit with two outlets, and the gauge behind the second.
    Outlets,
    /// Where the second tool stands.
    Stand,
}

impl Near {
    /// Where it is.
    pub(super) fn place(self, level: &Level) -> Option<Vec3> {
        match self {
            Near::Dials => dials_place(level),
            Near::Outlets => line_gauge_place(level).map(|at| at - 0.06 * Vec3::X),
            Near::Stand => level.site.second.as_ref().map(|second| {
                let [x, z] = second.at;
                Vec3::new(x as f32, 0.9, z as f32)
            }),
        }
    }
}

/// Steps out of the body and stands where something is the matter.
pub(super) fn go_beside(app: &mut App, matter: Matter) {
    let mut stage = app.world_mut().resource_mut::<Stage>();
    // Without a seat of one's own the view stays where it is put.
    stage.own = None;
    let Some(show) = &stage.show else { return };
    let (at, off) = match matter {
        Matter::Glands => (leaks::glands(&show.loaded.level), Vec3::new(0.8, 0.3, 1.2)),
        Matter::Relief => (leaks::relief(&show.loaded.level), Vec3::new(0.9, 0.8, 1.3)),
        Matter::Hole => (leaks::hole(show), Vec3::new(1.2, 1.3, 3.4)),
        Matter::Torn => (
            leaks::torn(show).map(|torn| point(torn.at)),
            Vec3::new(1.9, 0.2, 1.6),
        ),
        Matter::Disc => (leaks::disc(&show.loaded.level), Vec3::new(0.9, 0.7, 1.3)),
        Matter::Stand => {
            let second = show.now.second.as_ref();
            let tip = second.map(|tool| point(tool.tip));
            (tip, Vec3::new(2.4, 1.5, -1.9))
        }
    };
    let Some(at) = at else { return };
    // Water comes down: the look is a little below.
    let way = -off - 0.25 * Vec3::Y;
    app.world_mut().insert_resource(Eye {
        at: at + off,
        yaw: (-way.z).atan2(way.x),
        pitch: way.y.atan2(way.xz().length()),
        roll: 0.0,
    });
}

/// Without a tool in the hands one looks at what one works at, between the gauge
/// and the knobs, or at something else that is near: the head is turned there by the
/// mouse.
pub(super) fn look_at(app: &mut App, at: Option<Vec3>, within_m: f32) {
    let world = app.world();
    let Some(show) = &world.resource::<Stage>().show else {
        return;
    };
    let level = &show.loaded.level;
    let Some((_, me)) = show.person(level.post) else {
        return;
    };
    let eyes = point(me.eyes);
    let Some(at) = at else { return };
    let holds = level.post == Seat::LANCE && show.now.tool.in_hands;
    if holds || eyes.distance(at) > within_m {
        return;
    }
    let way = at - eyes;
    let eye = world.resource::<Eye>();
    let left = (-way.z).atan2(way.x) - eye.yaw;
    let left =
        (left + core::f32::consts::PI).rem_euclid(core::f32::consts::TAU) - core::f32::consts::PI;
    let up = way.y.atan2(way.xz().length()) - eye.pitch;
    let count_rad = 1e-4 * f32::from(world.resource::<Settings>().mouse);
    app.world_mut().resource_mut::<Hands>().press(
        None,
        Pressed::Moved {
            x: -left / count_rad,
            y: -up / count_rad,
        },
    );
    step(app, 0.7);
}

/// What is nearer than this is worked at, and what is within this can be looked at, metres.
pub(super) const NEAR_M: f32 = 4.0;
pub(super) const SIGHT_M: f32 = 20.0;
