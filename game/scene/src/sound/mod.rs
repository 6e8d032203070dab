//! The yard as it is heard, and the same in words.

use bevy::prelude::*;

/// What is heard, written out.
#[derive(Resource, Clone, Debug, Default)]
pub struct Captions {
    /// The lines that stand at this moment, the oldest first.
    pub lines: Vec<Caption>,
}

/// A line of what is heard.
#[derive(Clone, Debug, PartialEq)]
pub struct Caption {
    /// Who speaks; nothing for a noise.
    pub speaker: Option<String>,
    /// The words, or the noise.
    pub words: String,
    /// How long it still stands, seconds.
    pub left_s: f32,
}

/// Sets up what is heard.
pub fn plugin(app: &mut App) {
    app.init_resource::<Captions>();
}
