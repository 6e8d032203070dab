//! Screens: title, choice, job sheet, display in the yard, pause, debrief and
//! settings, in one theme.

mod calls;
mod choice;
pub(crate) mod debrief;
mod dials;
mod guide;
mod hud;
mod inspect;
mod lately;
mod left;
mod notice;
mod pad;
mod pause;
mod settings;
mod sheet;
pub mod theme;
mod title;
pub mod units;

use crate::flow::{Bare, Screen};
use crate::world::YardCamera;
use crate::world::light::BEHIND;
use bevy::camera::visibility::RenderLayers;
use bevy::prelude::*;
use bevy_egui::{EguiPrimaryContextPass, egui};

/// What is laid out in a picture of the screens, in this order.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ScreenSystems {
    /// Fonts, style and size.
    Dress,
    /// The screen.
    Draw,
    /// What lies over all of it.
    Over,
}

fn is_written(bare: Res<Bare>) -> bool {
    !bare.0
}

/// Back to where one came from.
fn wants_back(ctx: &egui::Context) -> bool {
    ctx.input(|i| i.key_pressed(egui::Key::Escape))
}

/// Behind a screen that takes the whole window nothing is drawn: where the
/// processor draws, the keys of such a screen would else answer late. The
/// camera looks at a layer then that holds the sun and nothing else: without
/// its sun a view has lost its shadows once and for all.
fn cover(
    screen: Res<State<Screen>>,
    cameras: Query<Entity, With<YardCamera>>,
    mut commands: Commands,
) {
    let covers = matches!(**screen, Screen::Choice | Screen::Sheet | Screen::Settings);
    let layers = if covers {
        RenderLayers::layer(BEHIND)
    } else {
        RenderLayers::default()
    };
    for camera in &cameras {
        commands.entity(camera).insert(layers.clone());
    }
}

/// Sets up the screens.
pub fn plugin(app: &mut App) {
    app.init_resource::<theme::Dressed>()
        .add_systems(Update, cover.run_if(resource_changed::<State<Screen>>))
        .configure_sets(
            EguiPrimaryContextPass,
            (
                ScreenSystems::Dress,
                ScreenSystems::Draw.run_if(theme::is_dressed.and_then(is_written)),
                ScreenSystems::Over.run_if(theme::is_dressed.and_then(is_written)),
            )
                .chain(),
        )
        .add_systems(
            EguiPrimaryContextPass,
            (
                theme::dress.in_set(ScreenSystems::Dress),
                title::screen
                    .in_set(ScreenSystems::Draw)
                    .run_if(in_state(Screen::Title)),
                choice::screen
                    .in_set(ScreenSystems::Draw)
                    .run_if(in_state(Screen::Choice)),
                sheet::screen
                    .in_set(ScreenSystems::Draw)
                    .run_if(in_state(Screen::Sheet)),
                settings::screen
                    .in_set(ScreenSystems::Draw)
                    .run_if(in_state(Screen::Settings)),
            ),
        )
        .add_plugins((
            debrief::plugin,
            hud::plugin,
            left::plugin,
            pause::plugin,
            settings::plugin,
            notice::plugin,
            pad::plugin,
        ));
}
