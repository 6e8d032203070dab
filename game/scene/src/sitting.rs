//! Who plays what.

use bevy::prelude::*;
use crew::Tick;
use std::path::PathBuf;
use std::sync::Arc;
use training::load::{Library, Loaded};
use training::recording::{Mode, Recording};

/// The levels there are.
#[derive(Resource)]
pub struct Shelf {
    /// Where they come from.
    pub library: Library,
    /// The levels that could be loaded, in their order.
    pub levels: Vec<Arc<Loaded>>,
    /// What was wrong with those that could not, in words.
    pub refused: Vec<String>,
    /// Version of this program.
    pub release: String,
    /// Folder of the recordings.
    pub attempts: PathBuf,
    /// This machine, as an envelope names it.
    pub device: String,
}

impl Shelf {
    /// Loads every level of a library.
    pub fn of(library: Library, release: String, attempts: PathBuf, device: String) -> Self {
        let mut levels = Vec::new();
        let mut refused = Vec::new();
        for id in library.levels() {
            match library.load(&id) {
                Ok(loaded) => levels.push(Arc::new(loaded)),
                Err(problems) => refused.push(problems.to_string()),
            }
        }
        Shelf {
            library,
            levels,
            refused,
            release,
            attempts,
            device,
        }
    }

    /// A level by its id.
    pub fn level(&self, id: &str) -> Option<&Arc<Loaded>> {
        self.levels.iter().find(|l| l.level.id == id)
    }
}

/// Who plays, in which mode, and what.
#[derive(Resource, Clone)]
pub struct Sitting {
    /// Name or code of the trainee, as typed.
    pub trainee: String,
    /// Kind of sitting.
    pub mode: Mode,
    /// The chosen level.
    pub level: Option<Arc<Loaded>>,
    /// An earlier attempt at it that is taken up, and the moment.
    pub from: Option<(Arc<Recording>, Tick)>,
}

/// Something that has to be read before anything else goes on.
#[derive(Resource, Default)]
pub struct Notice(pub Option<String>);

impl Default for Sitting {
    fn default() -> Self {
        Sitting {
            trainee: String::new(),
            mode: Mode::Practice,
            level: None,
            from: None,
        }
    }
}

impl Sitting {
    /// Whether help is given.
    pub fn helps(&self) -> bool {
        self.mode != Mode::Assessment
    }
}

/// Sets up who plays what.
pub fn plugin(app: &mut App) {
    app.init_resource::<Sitting>().init_resource::<Notice>();
}
