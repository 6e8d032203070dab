//! What menus stand before: the pump apron at rest, looked over slowly.

use crate::flow::{FrameSystems, Screen};
use crate::sitting::Shelf;
use crate::stage::{Eye, Stage};
use crate::world::yards;
use bevy::prelude::*;

/// Time of one look to the side and back, seconds.
const LOOK_S: f32 = 48.0;

/// How far the view drifts to each side, metres.
const DRIFT_M: f32 = 0.9;

/// Whether a screen stands before it.
fn behind(screen: Screen) -> bool {
    match screen {
        Screen::Title | Screen::Choice | Screen::Sheet | Screen::Settings => true,
        Screen::Yard | Screen::Debrief => false,
    }
}

/// The yard that was put up here, by its number on the stage.
#[derive(Resource, Default)]
struct Vista(Option<u32>);

fn put_up(
    screen: Res<State<Screen>>,
    shelf: Option<Res<Shelf>>,
    mut stage: ResMut<Stage>,
    mut vista: ResMut<Vista>,
) {
    if !behind(**screen) {
        vista.0 = None;
        return;
    }
    // What an attempt has left on the stage is taken over, as it is.
    if vista.0 == Some(stage.yard) {
        return;
    }
    let first = shelf.as_ref().and_then(|shelf| shelf.levels.first());
    let Some(loaded) = first else { return };
    if let Ok(frame) = yard::view::at_start(&loaded.level) {
        stage.put_up(loaded.clone(), frame, None);
    }
    vista.0 = Some(stage.yard);
}

fn look(screen: Res<State<Screen>>, time: Res<Time>, stage: Res<Stage>, mut eye: ResMut<Eye>) {
    if !behind(**screen) {
        return;
    }
    let level = stage.show.as_ref().map_or("", |show| &show.loaded.level.id);
    let [from, to] = yards::of(level).vista;
    let share = (core::f32::consts::TAU * time.elapsed_secs_wrapped() / LOOK_S).sin();
    let aside = (to - from).cross(Vec3::Y).normalize_or_zero();
    let at = from + aside * (DRIFT_M * share);
    let way = to - at;
    *eye = Eye {
        at,
        yaw: (-way.z).atan2(way.x),
        pitch: way.y.atan2(way.xz().length()),
        roll: 0.0,
    };
}

/// Sets up what menus stand before.
pub fn plugin(app: &mut App) {
    app.init_resource::<Vista>().add_systems(
        Update,
        (
            put_up.in_set(FrameSystems::Advance),
            look.in_set(FrameSystems::Look),
        ),
    );
}
