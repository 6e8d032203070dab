//! What stays from one sitting to the next: how the window looks, sounds and is
//! operated. Nothing in here changes a mark.

mod file;

pub use file::can_be_kept;

use crate::hands::keymap::Keymap;
use crate::sitting::{Notice, Sitting};
use bevy::prelude::*;
use bevy::time::Real;
use bevy::window::{MonitorSelection, PrimaryWindow, WindowMode};
use core::ops::RangeInclusive;
use std::path::{Path, PathBuf};

/// Units that screens show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// bar, litres a minute, newtons, metres.
    #[default]
    Metric,
    /// psi, US gallons a minute, pounds of force, feet.
    UsCustomary,
}

/// How much is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Quality {
    /// For integrated graphics and for drawing with the processor.
    Low,
    /// For a graphics card.
    #[default]
    High,
}

/// What can be set.
#[derive(Resource, Clone, Debug, PartialEq)]
pub struct Settings {
    /// Units that screens show.
    pub units: Units,
    /// How much is drawn.
    pub quality: Quality,
    /// Size of all that is written, 0.75 to 2.
    pub text_scale: f32,
    /// Vertical angle of view, degrees, 45 to 90.
    pub view_deg: f32,
    /// How much of the body's sway the view shows, 0 to 1. It changes the
    /// view and never the body.
    pub sway: f32,
    /// Turn for one count of the mouse, 0.1 mrad, 1 to 100.
    pub mouse: i16,
    /// Up and down are swapped.
    pub invert: bool,
    /// Keys that are held become keys that are pressed once, where that is
    /// allowed.
    pub toggles: bool,
    /// The arms follow a flat surface while the lance sweeps over it.
    pub follows: bool,
    /// The whole window is covered.
    pub fullscreen: bool,
    /// Loudness of everything, 0 to 1.
    pub loudness: f32,
    /// Loudness of voices, 0 to 1.
    pub voices: f32,
    /// What is heard is written out as well.
    pub captions: bool,
    /// Name or code of the trainee, where it is to be remembered; else empty.
    pub trainee: String,
    /// The name or code is remembered.
    pub remember: bool,
    /// What is bound to what.
    pub keys: Keymap,
}

/// Sizes that all that is written may have.
pub const TEXT_SCALES: RangeInclusive<f32> = 0.75..=2.0;
/// Vertical angles of view, degrees.
pub const VIEWS_DEG: RangeInclusive<f32> = 45.0..=90.0;
/// Turns for one count of the mouse, 0.1 mrad.
pub const MOUSE: RangeInclusive<i16> = 1..=100;
/// Most letters of a name or code.
pub const NAME_MOST: usize = 40;

impl Default for Settings {
    fn default() -> Self {
        Settings {
            units: Units::Metric,
            quality: Quality::High,
            text_scale: 1.0,
            view_deg: 62.0,
            sway: 1.0,
            mouse: 12,
            invert: false,
            toggles: false,
            follows: true,
            fullscreen: false,
            loudness: 0.7,
            voices: 1.0,
            captions: true,
            trainee: String::new(),
            remember: false,
            keys: Keymap::default(),
        }
    }
}

impl Settings {
    /// Reads settings.
    ///
    /// # Errors
    /// All that is wrong with the file, in words.
    pub fn load(path: &Path) -> Result<Self, String> {
        file::load(path)
    }

    /// Writes settings: all of the file or nothing.
    ///
    /// # Errors
    /// The file cannot be written, in words.
    pub fn save(&self, path: &Path) -> Result<(), String> {
        file::save(self, path)
    }
}

/// Where settings are kept: the place that the desktop names for it.
pub fn place() -> Option<PathBuf> {
    let named = |name| {
        std::env::var_os(name)
            .filter(|v| !v.is_empty())
            .map(PathBuf::from)
    };
    let folder = named("XDG_CONFIG_HOME").or_else(|| Some(named("HOME")?.join(".config")))?;
    Some(folder.join("jetyard").join("settings.ron"))
}

/// The file that settings are kept in, if they are.
#[derive(Resource, Clone, Debug, Default)]
pub struct Keeping(pub Option<PathBuf>);

/// Changes come one on the other while a slider is drawn; what stands for so
/// long is written, seconds.
const STANDS_S: f32 = 0.6;

/// What was written last.
#[derive(Resource, Default)]
struct Kept {
    settings: Option<Settings>,
    for_s: f32,
    /// Nothing is tried any more.
    fails: bool,
}

fn keep(
    settings: Res<Settings>,
    keeping: Res<Keeping>,
    time: Res<Time<Real>>,
    mut exits: MessageReader<AppExit>,
    mut kept: ResMut<Kept>,
    mut notice: ResMut<Notice>,
) {
    if kept.settings.is_none() {
        // As they were read, or as they come.
        kept.settings = Some(settings.clone());
    }
    let leaves = exits.read().count() > 0;
    if settings.is_changed() {
        kept.for_s = 0.0;
    }
    kept.for_s += time.delta_secs();
    let due = kept.for_s >= STANDS_S || leaves;
    let Some(path) = keeping.0.as_ref().filter(|_| due && !kept.fails) else {
        return;
    };
    if kept.settings.as_ref() == Some(&*settings) {
        return;
    }
    if let Err(words) = settings.save(path) {
        kept.fails = true;
        notice.0.get_or_insert(words);
    }
    kept.settings = Some(settings.clone());
}

fn cover(settings: Res<Settings>, mut windows: Query<&mut Window, With<PrimaryWindow>>) {
    for mut window in &mut windows {
        let covers = window.mode != WindowMode::Windowed;
        if covers != settings.fullscreen {
            window.mode = if settings.fullscreen {
                WindowMode::BorderlessFullscreen(MonitorSelection::Current)
            } else {
                WindowMode::Windowed
            };
        }
    }
}

fn remember(settings: Res<Settings>, mut sitting: ResMut<Sitting>) {
    if sitting.trainee.is_empty() {
        sitting.trainee.clone_from(&settings.trainee);
    }
}

/// Sets up the settings.
pub fn plugin(app: &mut App) {
    app.init_resource::<Settings>()
        .init_resource::<Keeping>()
        .init_resource::<Kept>()
        .add_systems(Startup, remember)
        .add_systems(Update, cover.run_if(resource_changed::<Settings>))
        .add_systems(Last, keep);
}
