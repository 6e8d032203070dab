//! What the tests of this binary share.

use crew::{Mind, Outcome, Script, Skill};
use std::sync::OnceLock;
use training::load::{Library, Loaded};
use training::recording::{Bundle, Closed, Mode, Opened, Recording};
use training::{Ended, Level, Mark};
use yard::{Attempt, Beginning, play};

/// The level that most tests play.
pub const LEVEL: &str = "01_first_pressure";
/// The level with the lance.
pub const SLAB: &str = "02_fouled_slab";
/// All levels, each of which has to keep to the same contract.
pub const LEVELS: [&str; 5] = [LEVEL, SLAB, "08_trouble", "10_two_lines", LOOSE_END];
/// The level in which a coupling lets go.
pub const LOOSE_END: &str = "11_loose_end";

/// The levels of this project.
pub fn library() -> Library {
    Library::find()
}

/// The level, loaded.
pub fn loaded() -> Loaded {
    loaded_of(LEVEL)
}

/// A level, loaded.
pub fn loaded_of(id: &str) -> Loaded {
    library()
        .load(id)
        .unwrap_or_else(|problems| panic!("{problems}"))
}

/// A script of the level.
pub fn script(level: &Level, name: &str) -> Script {
    library()
        .script(level, name)
        .unwrap_or_else(|problems| panic!("{problems}"))
}

/// What is needed to begin.
pub fn beginning(bundle: &Bundle, seed: u64) -> Beginning {
    Beginning {
        injected: Vec::new(),
        release: String::from("test"),
        bundle: bundle.clone(),
        seed,
        opened: Opened {
            trainee: String::from("T-01"),
            display_name: None,
            started_unix_s: 0,
            device: String::from("test"),
            mode: Mode::Practice,
        },
    }
}

/// An envelope's end.
pub fn closed() -> Closed {
    Closed {
        wall_s: 1.0,
        least_real_time_factor: 60.0,
        frames: None,
    }
}

/// What became of an attempt.
pub struct Played {
    /// Its mark, made live.
    pub mark: Mark,
    /// Its recording.
    pub bytes: Vec<u8>,
    /// How far its script came.
    pub outcome: Outcome,
    /// The highest stretch of a segment of the hose, millimetres.
    pub stretch_mm: f64,
}

/// Plays a script in memory.
pub fn played(level: &Level, bundle: &Bundle, script: Script, skill: Skill, seed: u64) -> Played {
    let mut bytes = Vec::new();
    let mut attempt = Attempt::begin(level, beginning(bundle, seed), &mut bytes)
        .unwrap_or_else(|fault| panic!("{fault:?}"));
    let mut pilot = play::pilot(level, script, skill, seed);
    let mut crew = play::crew_of(level, seed);
    let mut stretch_mm = 0.0_f64;
    let ended: Ended = play::play(&mut attempt, level.post, &mut pilot, &mut crew, |o| {
        let now = o.max(training::Channel::HoseStretch).unwrap_or(f64::NAN);
        stretch_mm = stretch_mm.max(now.abs());
    })
    .unwrap_or_else(|fault| panic!("{fault:?}"));
    let (mark, _) = attempt
        .seal(ended, closed(), None)
        .unwrap_or_else(|fault| panic!("{fault:?}"));
    Played {
        mark,
        bytes,
        outcome: Mind::outcome(&pilot).clone(),
        stretch_mm,
    }
}

/// The model attempt of the first level, played once for all tests that only
/// look at it.
pub fn model() -> &'static (Loaded, Played) {
    model_of(LEVEL)
}

/// The model attempt of a level.
pub fn model_of(id: &str) -> &'static (Loaded, Played) {
    static MODELS: [OnceLock<(Loaded, Played)>; LEVELS.len()] =
        [const { OnceLock::new() }; LEVELS.len()];
    let place = LEVELS.iter().position(|l| *l == id).expect("a level");
    MODELS[place].get_or_init(|| {
        let loaded = loaded_of(id);
        let bundle = Bundle::new(loaded.bundle.bytes());
        let script = script(&loaded.level, "model");
        let seed = loaded.level.seed;
        let played = played(&loaded.level, &bundle, script, Skill::steady(), seed);
        (loaded, played)
    })
}

/// The recording of the model attempt of the first level.
pub fn model_recording() -> Recording {
    recording_of(LEVEL)
}

/// The recording of the model attempt of a level.
pub fn recording_of(id: &str) -> Recording {
    let (_, played) = model_of(id);
    Recording::read(played.bytes.clone()).unwrap_or_else(|fault| panic!("{fault}"))
}
