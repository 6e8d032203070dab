//! The game itself, the pictures of it, and how quickly they come.

#[cfg(feature = "window")]
use super::attempts::device;
use super::faults::Refusal;
use super::run::{ATTEMPTS, MODEL, Order, Player, carry_out, taken_up, tell};
use super::{Verdict, show};
use clap::ArgMatches;
use crew::{Bot, Tick};
use std::path::PathBuf;
#[cfg(feature = "window")]
use std::sync::Arc;
use training::load::Library;
use training::recording::Recording;
use training::text::say;

/// A recording and the moment of it at which another attempt goes on.
type TakenUp = Option<(Recording, Tick)>;

/// Opens the game: in a window where there can be one, and else as a model
/// attempt played without it.
pub fn open(level: Option<&str>, from: TakenUp) -> Result<Verdict, Refusal> {
    let library = Library::find();
    let levels = library.levels();
    let first = levels
        .first()
        .ok_or_else(|| Refusal::new(say("cli-no_levels", &[])))?;
    // A level that is asked for by name has to be good before anything opens.
    let level = level.map(|id| library.load(id).map(|_| id)).transpose()?;
    let goes_on = from.is_some();
    match face::open(&library, level, from)? {
        face::Opened::Left => Ok(Verdict::Fine),
        face::Opened::Lost => {
            show::problem(&say("cli-adapter_lost", &[("folder", &ATTEMPTS)]));
            Ok(Verdict::Findings)
        }
        // The model attempt stands in for a beginning, and not for going on with another.
        face::Opened::Cannot(_) if goes_on => {
            Err(Refusal::new(say("cli-from_needs_a_window", &[])))
        }
        face::Opened::Cannot(why) => {
            show::line(&why);
            model(&library, level.unwrap_or(first))
        }
    }
}

/// The command `play`.
pub fn play(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let level = m.get_one::<String>("level").map_or("", String::as_str);
    // A name that is misspelt is told before a recording is looked into.
    Library::find().load(level)?;
    open(Some(level), taken_up(m, level)?)
}

/// Plays the model attempt of a level without a window.
fn model(library: &Library, level: &str) -> Result<Verdict, Refusal> {
    let loaded = library.load(level)?;
    show::line(&say(
        "cli-plays_model",
        &[("level", &loaded.level.title.get("en"))],
    ));
    let script = library.script(&loaded.level, MODEL)?;
    let played = carry_out(Order {
        seed: loaded.level.seed,
        loaded,
        player: Player::Scripted(Bot::Steady, script),
        from: None,
        out: PathBuf::from(ATTEMPTS),
        key: None,
        injected: Vec::new(),
        metered: false,
    })?;
    tell(&played);
    let fine = played.mark.findings.is_empty() && played.stuck.is_none();
    Ok(if fine {
        Verdict::Fine
    } else {
        Verdict::Findings
    })
}

pub use face::{frames, shots};

#[cfg(feature = "window")]
mod face {
    use super::*;
    use crate::cli::{RELEASE, measure::round};
    use scene::device::{Machine, Way};
    use scene::settings::{Quality, Settings};
    use scene::{Closing, Opening};
    use serde_json::json;

    /// How the window was left.
    pub enum Opened {
        /// By the user.
        Left,
        /// The graphics adapter was lost.
        Lost,
        /// There can be none, and why, in words.
        Cannot(String),
    }

    fn opening(library: Library, level: Option<&str>, from: TakenUp) -> Result<Opening, Refusal> {
        let settings_file = scene::settings::place();
        let settings = match &settings_file {
            Some(path) if path.exists() => Settings::load(path).map_err(Refusal::new)?,
            _ => Settings::default(),
        };
        Ok(Opening {
            library,
            release: RELEASE.to_owned(),
            attempts: PathBuf::from(ATTEMPTS),
            device: device(),
            settings,
            settings_file,
            slowly: false,
            level: level.map(str::to_owned),
            from: from.map(|(recording, at)| (Arc::new(recording), at)),
        })
    }

    pub fn open(library: &Library, level: Option<&str>, from: TakenUp) -> Result<Opened, Refusal> {
        let mut opening = opening(library.clone(), level, from)?;
        match Machine::look().way() {
            Way::Window { slowly } => {
                if slowly {
                    show::line(&say("cli-window_slowly", &[]));
                }
                opening.slowly = slowly;
            }
            Way::NoDisplay => return Ok(Opened::Cannot(say("cli-no_display", &[]))),
            Way::NoAdapter => return Ok(Opened::Cannot(say("cli-no_adapter", &[]))),
        }
        Ok(match scene::open(opening) {
            Closing::Left => Opened::Left,
            Closing::AdapterLost => Opened::Lost,
        })
    }

    /// Pictures are made of what comes with the program, and not of how
    /// somebody has set it.
    fn plain(quality: Quality) -> Opening {
        Opening {
            library: Library::find(),
            release: RELEASE.to_owned(),
            attempts: PathBuf::from(ATTEMPTS),
            device: device(),
            settings: Settings {
                quality,
                ..Settings::default()
            },
            settings_file: None,
            slowly: false,
            level: None,
            from: None,
        }
    }

    fn must_draw() -> Result<(), Refusal> {
        if Machine::look().adapters.is_empty() {
            return Err(Refusal::new(say("cli-no_adapter", &[])));
        }
        Ok(())
    }

    fn quality(m: &ArgMatches) -> Quality {
        if m.get_flag("low") {
            Quality::Low
        } else {
            Quality::High
        }
    }

    /// The command `shots`.
    pub fn shots(m: &ArgMatches) -> Result<Verdict, Refusal> {
        must_draw()?;
        let folder = m.get_one::<PathBuf>("folder").cloned().unwrap_or_default();
        let sizes: Vec<(u32, u32)> = match m.get_one::<(u32, u32)>("size") {
            Some(size) => vec![*size],
            None => vec![(1280, 720), (1920, 1080)],
        };
        let only = m.get_one::<String>("only").map_or("", String::as_str);
        let quality = quality(m);
        scene::shots::take(
            || plain(quality),
            &folder,
            &sizes,
            only,
            |path| {
                show::line(&say(
                    "cli-shots-taken",
                    &[("path", &path.display().to_string())],
                ))
            },
        )
        .map_err(Refusal::new)?;
        Ok(Verdict::Fine)
    }

    /// The command `frames`.
    pub fn frames(m: &ArgMatches) -> Result<Verdict, Refusal> {
        must_draw()?;
        let size = m.get_one("size").copied().unwrap_or((1280, 720));
        let count = usize::from(m.get_one::<u16>("count").copied().unwrap_or(120));
        let quality = quality(m);
        let folder = std::env::temp_dir().join(format!("jetyard-frames-{}", std::process::id()));
        let measured = scene::frames::measure(|| plain(quality), &folder, size, quality, count);
        std::fs::remove_dir_all(&folder).ok();
        let measured = measured.map_err(Refusal::new)?;
        let scenes: Vec<_> = measured
            .scenes
            .iter()
            .map(|s| {
                json!({
                    "name": s.name,
                    "count": s.count,
                    "median_ms": round(s.median_ms, 2),
                    "p99_ms": round(s.p99_ms, 2),
                    "worst_ms": round(s.worst_ms, 2),
                    "draws": s.cost.draws,
                    "triangles": s.cost.triangles,
                    "texture_bytes": s.cost.texture_bytes,
                })
            })
            .collect();
        show::data(&json!({
            "adapter": measured.adapter,
            "size": [measured.size.0, measured.size.1],
            "quality": if quality == Quality::Low { "low" } else { "high" },
            "scenes": scenes,
        }));
        Ok(Verdict::Fine)
    }
}

#[cfg(not(feature = "window"))]
mod face {
    use super::*;

    /// There is no window in this build.
    pub enum Opened {
        /// Never.
        #[allow(dead_code)]
        Left,
        /// Never.
        #[allow(dead_code)]
        Lost,
        /// Always, and why, in words.
        Cannot(String),
    }

    pub fn open(_: &Library, _: Option<&str>, _: TakenUp) -> Result<Opened, Refusal> {
        Ok(Opened::Cannot(say("cli-no_window", &[])))
    }

    pub fn shots(_: &ArgMatches) -> Result<Verdict, Refusal> {
        Err(Refusal::new(say("cli-no_window", &[])))
    }

    pub fn frames(m: &ArgMatches) -> Result<Verdict, Refusal> {
        shots(m)
    }
}
