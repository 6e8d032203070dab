//! What stays from one sitting to the next: how the window looks, sounds and is
//! operated. Nothing in here changes a mark.

use crate::hands::keymap::Keymap;
use bevy::prelude::*;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};
use training::text::say;

/// Units that screens show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Units {
    /// bar, litres a minute, newtons, metres.
    #[default]
    Metric,
    /// psi, US gallons a minute, pounds of force, feet.
    UsCustomary,
}

/// How much is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Quality {
    /// For integrated graphics and for drawing with the processor.
    Low,
    /// For a graphics card.
    #[default]
    High,
}

/// What can be set.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
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
    /// The whole window is covered.
    pub fullscreen: bool,
    /// Loudness of everything, 0 to 1.
    pub loudness: f32,
    /// Loudness of voices, 0 to 1.
    pub voices: f32,
    /// What is heard is written out as well.
    pub captions: bool,
    /// What is bound to what.
    pub keys: Keymap,
}

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
            fullscreen: false,
            loudness: 0.7,
            voices: 1.0,
            captions: true,
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
        let text = std::fs::read_to_string(path).map_err(|e| {
            say(
                "cli-not_read",
                &[
                    ("path", &path.display().to_string()),
                    ("reason", &e.to_string()),
                ],
            )
        })?;
        ron::from_str(&text).map_err(|e| format!("{}: {e}", path.display()))
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

/// Sets up the settings.
pub fn plugin(app: &mut App) {
    app.init_resource::<Settings>().init_resource::<Keeping>();
}
