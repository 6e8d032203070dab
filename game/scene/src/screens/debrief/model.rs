//! The model attempt: the level's own script, played once beside the debrief,
//! so that what can be reached stands next to what was reached.

use crate::replay::Debrief;
use crate::sitting::Shelf;
use bevy::prelude::*;
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use training::load::{Library, Loaded};
use training::recording::{Bundle, Mode, Opened, Sink};
use training::text::say;
use training::{Cleaned, Mark};
use yard::{Beginning, play};

/// The script that every level has.
const SCRIPT: &str = "model";

/// What the model attempt reached.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Reached {
    /// Its mark.
    pub mark: Mark,
    /// Steps that each cell of the surface has taken at its end.
    pub steps: Vec<u8>,
    /// Share of the surface that is clean at its end, percent.
    pub clean_pct: f64,
}

/// What a model attempt is made of: the level's bytes and the seed.
type Of = (String, String, u64);

/// The model attempt of the level on show.
#[derive(Resource, Default)]
pub(super) enum Model {
    /// None was asked for.
    #[default]
    None,
    /// It is being played.
    Under {
        /// What it is made of.
        of: Of,
        /// Where the result comes from.
        result: Mutex<Receiver<Result<Reached, String>>>,
        /// Raised to end it.
        _left: Left,
    },
    /// It was played.
    Ready {
        /// What it is made of.
        of: Of,
        /// What it reached.
        reached: Arc<Reached>,
    },
    /// It could not be played.
    Failed {
        /// What it would have been made of.
        of: Of,
        /// Why, in words.
        why: String,
    },
}

/// Ends the attempt when nobody waits for it any more.
pub(super) struct Left(Arc<AtomicBool>);

impl Drop for Left {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

impl Model {
    fn of(&self) -> Option<&Of> {
        match self {
            Model::None => None,
            Model::Under { of, .. } | Model::Ready { of, .. } | Model::Failed { of, .. } => {
                Some(of)
            }
        }
    }

    /// Sees to it that the model attempt at the level of a debrief is played,
    /// and takes the result in. It has the seed of that attempt; where the level
    /// draws what goes wrong, its own: the script is for that.
    pub(super) fn want(&mut self, debrief: &Debrief, shelf: &Shelf) {
        let level = &debrief.loaded.level;
        let seed = match level.faults.drawn {
            Some(_) => level.seed,
            None => debrief.recording.header().seed,
        };
        let of = (
            level.id.clone(),
            format!("{:?}", debrief.loaded.bundle.bytes().len()),
            seed,
        );
        if self.of() != Some(&of) {
            *self = begin(of, debrief.loaded.clone(), shelf, seed);
        }
        let Model::Under { of, result, .. } = self else {
            return;
        };
        let Ok(result) = result.get_mut().map(|r| r.try_recv()) else {
            return;
        };
        match result {
            Ok(Ok(reached)) => {
                *self = Model::Ready {
                    of: of.clone(),
                    reached: Arc::new(reached),
                };
            }
            Ok(Err(why)) => {
                *self = Model::Failed {
                    of: of.clone(),
                    why,
                };
            }
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => {
                *self = Model::Failed {
                    of: of.clone(),
                    why: say("debrief-model-broke_off", &[]),
                };
            }
        }
    }
}

fn begin(of: Of, loaded: Arc<Loaded>, shelf: &Shelf, seed: u64) -> Model {
    let (library, release) = (shelf.library.clone(), shelf.release.clone());
    let (send, result) = channel();
    let left = Arc::new(AtomicBool::new(false));
    let leave = left.clone();
    let thread = std::thread::Builder::new().name(String::from("model attempt"));
    let begun = thread.spawn(move || {
        let reached = carry_out(&library, &loaded, release, seed, &leave);
        // Whoever has left does not wait for it.
        send.send(reached).ok();
    });
    match begun {
        Ok(_) => Model::Under {
            of,
            result: Mutex::new(result),
            _left: Left(left),
        },
        Err(e) => Model::Failed {
            of,
            why: e.to_string(),
        },
    }
}

/// Takes what is recorded and keeps nothing of it: only the mark is wanted. It
/// refuses once nobody waits any more, which ends the attempt.
struct Nowhere<'a>(&'a AtomicBool);

impl Sink for Nowhere<'_> {
    fn write_all(&mut self, _: &[u8]) -> io::Result<()> {
        if self.0.load(Ordering::Relaxed) {
            Err(io::ErrorKind::Interrupted.into())
        } else {
            Ok(())
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Plays the model script to its end.
pub(super) fn carry_out(
    library: &Library,
    loaded: &Loaded,
    release: String,
    seed: u64,
    left: &AtomicBool,
) -> Result<Reached, String> {
    let level = &loaded.level;
    let script = library.script(level, SCRIPT);
    let script = script.map_err(|problems| problems.to_string())?;
    let beginning = Beginning {
        injected: Vec::new(),
        release,
        bundle: Bundle::new(loaded.bundle.bytes()),
        seed,
        opened: Opened {
            trainee: String::from(SCRIPT),
            display_name: None,
            started_unix_s: 0,
            device: String::new(),
            mode: Mode::Practice,
        },
    };
    let mut cleaned = level.surface.as_ref().map(Cleaned::new);
    let mark = play::by_script(level, script, beginning, Nowhere(left), |o| {
        if let Some(cleaned) = &mut cleaned {
            for step in &o.steps {
                cleaned.take(*step);
            }
        }
    })
    .map_err(|fault| fault.words())?;
    Ok(Reached {
        mark,
        clean_pct: cleaned.as_ref().map_or(0.0, Cleaned::clean_pct),
        steps: cleaned.map(|c| c.steps().to_vec()).unwrap_or_default(),
    })
}
