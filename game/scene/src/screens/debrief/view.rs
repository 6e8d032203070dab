//! The yard is seen again in the free part of the window.

use super::Desk;
use crate::flow::{FrameSystems, Screen};
use crate::world::YardCamera;
use bevy::camera::{RenderTarget, Viewport};
use bevy::prelude::*;
use bevy_egui::{EguiGlobalSettings, PrimaryEguiContext};

/// The camera that screens are drawn through, above that of the yard. It has
/// one of its own, so that the yard's can be kept to a part of the window.
#[derive(Component)]
pub struct PaneCamera;

/// Sets up where the yard is seen.
pub(super) fn plugin(app: &mut App) {
    app.add_systems(OnExit(Screen::Debrief), leave).add_systems(
        Update,
        keep.in_set(FrameSystems::Show)
            .run_if(in_state(Screen::Debrief)),
    );
}

/// Keeps the camera of the yard to the part that is free.
fn keep(
    desk: Res<Desk>,
    contexts: Query<&bevy_egui::EguiContext, With<PrimaryEguiContext>>,
    mut cameras: Query<&mut Camera, With<YardCamera>>,
) {
}

fn leave(mut cameras: Query<&mut Camera, With<YardCamera>>) {
    for mut camera in &mut cameras {
        camera.viewport = None;
    }
}
