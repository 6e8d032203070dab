//! The window, or the picture that no window shows, put together.

use crate::flow::Screen;
use crate::sitting::{Shelf, Sitting};
use crate::world::Canvas;
use crate::{
    flow, hands, help, proof, replay, screens, session, settings, sitting, sound, stage, world,
};
use bevy::asset::{AssetEventSystems, AssetPlugin, RenderAssetUsages};
use bevy::ecs::schedule::{Schedules, SingleThreadedExecutor};
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::error_handler::{RenderErrorHandler, RenderErrorPolicy};
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat, TextureUsages};
use bevy::render::settings::{RenderCreation, WgpuFeatures, WgpuSettings};
use bevy::render::{RenderApp, RenderPlugin};
use bevy::window::{ExitCondition, WindowResolution};
use bevy::winit::WinitPlugin;
use bevy_egui::{EguiPlugin, EguiPostUpdateSet, EguiPrimaryContextPass};
use crew::Tick;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use training::load::Library;
use training::recording::Recording;
use training::text::say;

/// What is needed to open the game.
pub struct Opening {
    /// Where the levels come from.
    pub library: Library,
    /// Version of this program.
    pub release: String,
    /// Folder of the recordings.
    pub attempts: PathBuf,
    /// This machine, as an envelope names it.
    pub device: String,
    /// Settings of the last sitting.
    pub settings: settings::Settings,
    /// Where settings are kept.
    pub settings_file: Option<PathBuf>,
    /// Pictures come slowly here, because the processor draws them.
    pub slowly: bool,
    /// The level whose job sheet is opened at once.
    pub level: Option<String>,
    /// An attempt at it that is gone on with, and from when.
    pub from: Option<(Arc<Recording>, Tick)>,
}

/// How the window was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closing {
    /// By the user.
    Left,
    /// The graphics adapter was lost. What was recorded stays.
    AdapterLost,
}

/// All that goes on behind pictures and sound: it needs time, states and input
/// messages, and nothing to draw on.
pub fn logic(app: &mut App) {
    app.add_plugins((
        flow::plugin,
        settings::plugin,
        sitting::plugin,
        proof::plugin,
        stage::plugin,
        hands::plugin,
        session::plugin,
        replay::plugin,
        help::plugin,
    ));
}

/// All that is drawn and heard.
pub fn face(app: &mut App) {
    app.add_plugins(EguiPlugin::default())
        // A schedule that nobody has put anything into is not there, and the
        // pass through it would fail.
        .init_schedule(EguiPrimaryContextPass)
        // A letter that is drawn for the first time would else be missing in
        // that picture: the adapter has it in the next.
        .configure_sets(
            PostUpdate,
            EguiPostUpdateSet::PostProcessOutput.before(AssetEventSystems),
        )
        .add_plugins((world::plugin, screens::plugin, sound::plugin));
}

/// Lays out levels and settings.
pub fn lay_out(app: &mut App, opening: Opening) {
    let shelf = Shelf::of(
        opening.library,
        opening.release,
        opening.attempts,
        opening.device,
    );
    let level = opening.level.as_deref().and_then(|id| shelf.level(id));
    if let Some(level) = level {
        app.insert_resource(Sitting {
            level: Some(level.clone()),
            from: opening.from,
            ..Sitting::default()
        });
        app.insert_state(Screen::Sheet);
    }
    let mut chosen = opening.settings;
    if opening.slowly {
        chosen.quality = settings::Quality::Low;
    }
    app.insert_resource(settings::Keeping(opening.settings_file))
        .insert_resource(chosen)
        .insert_resource(shelf);
}

/// The folder of models, textures and sounds: beside the levels, or in the
/// sources.
pub fn assets(library: &Library) -> PathBuf {
    let beside = library
        .folder()
        .and_then(Path::parent)
        .map(|folder| folder.join("assets"));
    let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets");
    let mut places = beside.into_iter().chain([PathBuf::from("assets"), sources]);
    let found = places.find(|place| place.is_dir());
    let found = found.unwrap_or_else(|| PathBuf::from("assets"));
    // The engine looks for a relative folder beside the program.
    std::fs::canonicalize(&found).unwrap_or(found)
}

fn asset_plugin(library: &Library) -> AssetPlugin {
    AssetPlugin {
        file_path: assets(library).display().to_string(),
        ..default()
    }
}

fn log_plugin() -> LogPlugin {
    LogPlugin {
        level: bevy::log::Level::ERROR,
        // The driver's own remarks are no news to a trainee.
        filter: String::from("wgpu=error,naga=error"),
        ..default()
    }
}

/// How the adapter is asked for: of those that [`crate::device`] looks at, and
/// of no others. The engine's way of binding all materials at
/// once saves nothing where so few things are drawn, and where the processor
/// draws it costs a look into a table for each number in each pixel.
fn adapter() -> RenderCreation {
    RenderCreation::from(WgpuSettings {
        backends: Some(crate::device::BACKENDS),
        disabled_features: Some(WgpuFeatures::TEXTURE_BINDING_ARRAY),
        ..default()
    })
}

static LOST: AtomicBool = AtomicBool::new(false);

/// A lost adapter ends the window and not the program: what was recorded so far
/// is safe, and the command line goes on.
fn lose_adapter(app: &mut App) {
    app.insert_resource(RenderErrorHandler(|_, main, _| {
        LOST.store(true, Ordering::Relaxed);
        main.write_message(AppExit::error());
        RenderErrorPolicy::StopRendering
    }));
}

/// Runs all systems of a world one behind the other. There are few, and each is
/// done sooner than another thread is woken for it; pictures come more evenly.
fn in_a_row(world: &mut World) {
    for (_, schedule) in world.resource_mut::<Schedules>().iter_mut() {
        schedule.set_executor(SingleThreadedExecutor::new());
    }
}

fn all_in_a_row(app: &mut App) {
    in_a_row(app.world_mut());
    if let Some(render) = app.get_sub_app_mut(RenderApp) {
        in_a_row(render.world_mut());
    }
}

/// Opens the window and stays until it is closed.
pub fn open(opening: Opening) -> Closing {
    let mut app = App::new();
    app.set_error_handler(bevy::ecs::error::error);
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: Some(Window {
                    title: say("scene-window", &[]),
                    name: Some(String::from("jetyard")),
                    resolution: WindowResolution::new(1280, 720),
                    ..default()
                }),
                ..default()
            })
            .set(RenderPlugin {
                render_creation: adapter(),
                ..default()
            })
            .set(asset_plugin(&opening.library))
            .set(log_plugin()),
    );
    lose_adapter(&mut app);
    app.add_plugins((logic, face, hands::pad::plugin));
    lay_out(&mut app, opening);
    all_in_a_row(&mut app);
    app.run();
    if LOST.load(Ordering::Relaxed) {
        Closing::AdapterLost
    } else {
        Closing::Left
    }
}

/// The engine without a window: every picture goes on to a [`Canvas`].
pub(crate) fn canvas(
    library: &Library,
    width: u32,
    height: u32,
    render_creation: RenderCreation,
) -> App {
    let mut app = App::new();
    app.set_error_handler(bevy::ecs::error::error);
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: None,
                exit_condition: ExitCondition::DontExit,
                ..default()
            })
            .set(RenderPlugin {
                // Else the first pictures lack what is not compiled yet.
                synchronous_pipeline_compilation: true,
                render_creation,
                ..default()
            })
            .set(asset_plugin(library))
            .set(log_plugin())
            .disable::<WinitPlugin>(),
    );
    let mut image = Image::new_uninit(
        Extent3d {
            width,
            height,
            depth_or_array_layers: 1,
        },
        TextureDimension::D2,
        TextureFormat::Rgba8UnormSrgb,
        RenderAssetUsages::RENDER_WORLD,
    );
    image.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT | TextureUsages::COPY_SRC;
    let canvas = app.world_mut().resource_mut::<Assets<Image>>().add(image);
    app.insert_resource(Canvas(canvas));
    app
}

/// The game without a window. Whoever calls it runs the updates.
pub fn offscreen(opening: Opening, width: u32, height: u32) -> App {
    offscreen_with(opening, width, height, |_| {})
}

/// The same with something more, which has to be there before drawing begins on
/// a thread of its own.
pub(crate) fn offscreen_with(
    opening: Opening,
    width: u32,
    height: u32,
    more: impl FnOnce(&mut App),
) -> App {
    let mut app = canvas(&opening.library, width, height, adapter());
    app.add_plugins((logic, face));
    lay_out(&mut app, opening);
    more(&mut app);
    all_in_a_row(&mut app);
    app.finish();
    app.cleanup();
    app
}
