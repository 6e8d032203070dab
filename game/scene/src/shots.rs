//! The standard pictures of every screen and level, made without a window.

use crate::app::{Opening, offscreen};
use crate::flow::{Bare, Run, Screen};
use crate::hands::gather::Ring;
use crate::replay::{Debrief, Rated, Seen};
use crate::session::{Session, Wish};
use crate::sitting::{Shelf, Sitting};
use crate::world::{Canvas, Pending};
use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::time::TimeUpdateStrategy;
use crew::{Bot, Call, Tick};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use training::Mark;
use training::load::Loaded;
use training::recording::{self, Closed, FileSink, Mode, Opened, Recording};
use training::text::{not_written, say};
use yard::{Attempt, AttemptFault, Beginning, play};

/// A model attempt that pictures are taken of.
pub struct Played {
    /// The level.
    pub loaded: Arc<Loaded>,
    /// The recording.
    pub recording: Arc<Recording>,
    /// The mark.
    pub mark: Mark,
    /// Where the recording is.
    pub path: PathBuf,
}

/// What picture is taken.
enum View {
    /// A screen as it is opened.
    Screen(Screen),
    /// The job sheet of a level.
    Sheet(usize),
    /// In the middle of an attempt, with the trainee's eyes.
    Yard(usize, f64),
    /// The same, with the ring of calls open.
    Calling(usize, f64),
    /// The same, halted.
    Halted(usize, f64),
    /// The debrief of an attempt with the cursor at a moment, before or after
    /// the trainee rates it.
    Debrief(usize, f64, Option<Rated>),
    /// The replay alone, without anything written on it.
    Replay(usize, f64, Seen),
}

/// The pictures: a name, what is on it, and for how many pictures in a row the
/// moment goes on, a sixth of a second each.
fn views() -> Vec<(String, View, u32)> {
    use View::{Calling, Debrief, Halted, Replay, Sheet, Yard};
    let one = |name: &str, view| (name.to_owned(), view, 1);
    let strip = |name: &str, view| (name.to_owned(), view, STRIP);
    vec![
        one("title", View::Screen(Screen::Title)),
        one("choice", View::Screen(Screen::Choice)),
        one("settings", View::Screen(Screen::Settings)),
        one("sheet_01", Sheet(0)),
        one("sheet_02", Sheet(1)),
        one("yard_01_start", Yard(0, 0.5)),
        one("yard_01_work", Yard(0, WORK_01_S)),
        one("yard_01_call", Calling(0, WORK_01_S)),
        one("yard_02_start", Yard(1, 0.5)),
        one("yard_02_work", Yard(1, WORK_02_S)),
        one("pause", Halted(1, WORK_02_S)),
        one("debrief_rate", Debrief(1, WORK_02_S, None)),
        one("debrief_01", Debrief(0, WORK_01_S, Some(Rated::WithHelp))),
        one("debrief_02", Debrief(1, WORK_02_S, Some(Rated::Alone))),
        one("replay_01_over", Replay(0, WORK_01_S, Seen::Over)),
        one("replay_02_over", Replay(1, WORK_02_S, Seen::Over)),
        strip("strip_start", Replay(0, 0.0, Seen::Own)),
        strip("strip_squeeze", Replay(1, 0.0, Seen::Over)),
        strip("strip_sweep", Replay(1, WORK_02_S, Seen::Own)),
        strip("strip_dump", Replay(0, 0.0, Seen::Over)),
    ]
}

/// A moment of each model attempt at which it is at work, seconds.
const WORK_01_S: f64 = 350.0;
const WORK_02_S: f64 = 400.0;

/// Pictures in a strip.
const STRIP: u32 = 6;

/// Time from one picture of a strip to the next, seconds.
const STRIP_STEP_S: f64 = 1.0 / 6.0;

/// Most pictures that are waited for models and textures to be there.
const MOST_WAITED: u32 = 2000;

/// Takes all pictures whose names begin as is wished, in each size, and says
/// where they are.
///
/// # Errors
/// A level, an attempt or a picture could not be made, in words.
pub fn take(
    opening: impl Fn() -> Opening,
    folder: &Path,
    sizes: &[(u32, u32)],
    only: &str,
    mut taken: impl FnMut(&Path),
) -> Result<(), String> {
    std::fs::create_dir_all(folder).map_err(|e| not_written(folder, &e))?;
    let played = models(&opening(), folder, &[])?;
    for (width, height) in sizes {
        let mut app = offscreen(opening(), *width, *height);
        app.insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(
            1.0 / 60.0,
        )));
        for (name, view, count) in views() {
            if !name.starts_with(only) || view.level().is_some_and(|n| n >= played.len()) {
                continue;
            }
            set(&mut app, &view, &played);
            settle(&mut app);
            for n in 0..count {
                if n > 0 {
                    step(&mut app, STRIP_STEP_S);
                }
                let place = if count > 1 {
                    format!("{name}_{}_{width}x{height}.png", n + 1)
                } else {
                    format!("{name}_{width}x{height}.png")
                };
                let path = folder.join(place);
                picture(&mut app, &path)?;
                taken(&path);
            }
        }
    }
    clear_away(&played);
    Ok(())
}

/// The model attempts of some levels, or of all where none is named.
///
/// # Errors
/// A script or a recording could not be made, in words.
pub fn models(opening: &Opening, folder: &Path, only: &[&str]) -> Result<Vec<Played>, String> {
    std::fs::create_dir_all(folder).map_err(|e| not_written(folder, &e))?;
    let shelf = Shelf::of(
        opening.library.clone(),
        opening.release.clone(),
        opening.attempts.clone(),
        opening.device.clone(),
    );
    let levels = shelf
        .levels
        .iter()
        .filter(|l| only.is_empty() || only.contains(&l.level.id.as_str()));
    levels.map(|loaded| model(&shelf, loaded, folder)).collect()
}

/// Takes the recordings away again.
pub(crate) fn clear_away(played: &[Played]) {
    for played in played {
        std::fs::remove_file(&played.path).ok();
    }
}

/// Goes into the middle of an attempt, with the trainee's eyes.
pub(crate) fn at_work(app: &mut App, played: &Played, at_s: f64) {
    set(app, &View::Yard(0, at_s), std::slice::from_ref(played));
}

impl View {
    fn level(&self) -> Option<usize> {
        match self {
            View::Screen(_) => None,
            View::Sheet(n)
            | View::Yard(n, _)
            | View::Calling(n, _)
            | View::Halted(n, _)
            | View::Debrief(n, _, _)
            | View::Replay(n, _, _) => Some(*n),
        }
    }
}

/// The model attempt of a level, played without pictures.
fn model(shelf: &Shelf, loaded: &Arc<Loaded>, folder: &Path) -> Result<Played, String> {
    let level = &loaded.level;
    let script = shelf
        .library
        .script(level, "model")
        .map_err(|p| p.to_string())?;
    let path = crate::session::new_path(folder, &level.id, level.seed)?;
    let beginning = Beginning {
        release: shelf.release.clone(),
        bundle: recording::Bundle::new(loaded.bundle.bytes()),
        seed: level.seed,
        opened: Opened {
            trainee: String::from("model"),
            display_name: None,
            started_unix_s: crate::session::unix_now_s(),
            device: shelf.device.clone(),
            mode: Mode::Practice,
        },
    };
    let words = |fault: AttemptFault| fault.words();
    let sink = FileSink::create(&path).map_err(|f| words(f.into()))?;
    let mut attempt = Attempt::begin(level, beginning, sink).map_err(words)?;
    let mut pilot = Bot::Steady
        .pilot(script, level.post, play::site(level), level.seed)
        .ok_or_else(|| say("scene-no_level", &[]))?;
    let mut crew = play::crew_of(level, level.seed);
    let ended =
        play::play(&mut attempt, level.post, &mut pilot, &mut crew, |_| {}).map_err(words)?;
    let closed = Closed {
        wall_s: 0.0,
        least_real_time_factor: 1.0,
        frames: None,
    };
    let (mark, _) = attempt.seal(ended, closed, None).map_err(words)?;
    let recording = Recording::load(&path).map_err(|f| words(f.into()))?;
    Ok(Played {
        loaded: loaded.clone(),
        recording: Arc::new(recording),
        mark,
        path,
    })
}

fn go(app: &mut App, screen: Screen) {
    let world = app.world_mut();
    world.resource_mut::<NextState<Screen>>().set(screen);
    app.update();
    app.update();
}

fn set(app: &mut App, view: &View, played: &[Played]) {
    // Whatever was under way is left.
    app.world_mut().write_message(Wish::Leave);
    app.world_mut().insert_resource(Bare(false));
    app.update();
    go(app, Screen::Title);
    let sit = |app: &mut App, n: usize, at_s: Option<f64>| {
        let played = &played[n];
        app.world_mut().insert_resource(Sitting {
            trainee: String::from("T-07"),
            level: Some(played.loaded.clone()),
            from: at_s.map(|s| (played.recording.clone(), Tick::at(s))),
            ..Sitting::default()
        });
    };
    match view {
        View::Screen(screen) => go(app, *screen),
        View::Sheet(n) => {
            sit(app, *n, None);
            go(app, Screen::Sheet);
        }
        View::Yard(n, s) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
        }
        View::Calling(n, s) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
            let post = played[*n].loaded.level.post;
            app.world_mut()
                .resource_mut::<Ring>()
                .hold_on(post, Call::Dump);
        }
        View::Halted(n, s) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
            step(app, 0.2);
            app.world_mut()
                .resource_mut::<NextState<Run>>()
                .set(Run::Halted);
        }
        View::Debrief(n, s, rated) => {
            lay_out(app, &played[*n], *s);
            app.world_mut().resource_mut::<Debrief>().rated = *rated;
            go(app, Screen::Debrief);
        }
        View::Replay(n, s, seen) => {
            lay_out(app, &played[*n], *s);
            let mut debrief = app.world_mut().resource_mut::<Debrief>();
            debrief.rated = Some(Rated::Alone);
            debrief.seen = *seen;
            app.world_mut().insert_resource(Bare(true));
            go(app, Screen::Debrief);
        }
    }
}

fn lay_out(app: &mut App, played: &Played, cursor_s: f64) {
    let sheet = records::Sheet::of(&played.recording, &played.loaded.level, &played.mark);
    app.world_mut().insert_resource(Debrief {
        loaded: played.loaded.clone(),
        recording: played.recording.clone(),
        mark: played.mark.clone(),
        sheet: Arc::new(sheet),
        path: played.path.clone(),
        report: played.path.with_extension("html"),
        unwritten: None,
        rated: None,
        cursor_s,
        plays: false,
        speed: 1.0,
        seen: Seen::Over,
        on_its_way: true,
    });
}

/// Runs until everything is there that belongs into the picture.
pub(crate) fn settle(app: &mut App) {
    let mut calm = 0;
    for _ in 0..MOST_WAITED {
        app.update();
        let world = app.world();
        let waits = world.get_resource::<Pending>().is_some_and(|p| p.0 > 0)
            || world.get_resource::<Debrief>().is_some_and(|d| {
                d.on_its_way && **world.resource::<State<Screen>>() == Screen::Debrief
            });
        calm = if waits { 0 } else { calm + 1 };
        if calm >= 12 {
            break;
        }
        if waits {
            // Files are read by other threads.
            std::thread::sleep(Duration::from_millis(5));
        }
    }
}

/// Lets the moment go on.
fn step(app: &mut App, seconds: f64) {
    let world = app.world_mut();
    let replays = !world.resource::<Session>().is_under_way();
    if replays && let Some(mut debrief) = world.get_resource_mut::<Debrief>() {
        debrief.cursor_s += seconds;
        for _ in 0..4 {
            app.update();
        }
        return;
    }
    for _ in 0..(60.0 * seconds).ceil() as u32 {
        app.update();
    }
}

/// Whether a picture has arrived, and what went wrong with it.
#[derive(Resource, Default)]
struct Arrived(Option<Result<(), String>>);

fn picture(app: &mut App, path: &Path) -> Result<(), String> {
    let canvas = app.world().resource::<Canvas>().0.clone();
    app.insert_resource(Arrived::default());
    let to = path.to_owned();
    app.world_mut().spawn(Screenshot::image(canvas)).observe(
        move |on: On<ScreenshotCaptured>, mut arrived: ResMut<Arrived>| {
            let saved = on
                .image
                .clone()
                .try_into_dynamic()
                .map_err(|e| e.to_string())
                .and_then(|image| image.to_rgb8().save(&to).map_err(|e| e.to_string()));
            arrived.0 = Some(saved);
        },
    );
    for _ in 0..60 {
        app.update();
        if let Some(result) = app.world_mut().resource_mut::<Arrived>().0.take() {
            return result.map_err(|reason| {
                say(
                    "cli-not_written",
                    &[("path", &path.display().to_string()), ("reason", &reason)],
                )
            });
        }
    }
    Err(say(
        "scene-no_picture",
        &[("path", &path.display().to_string())],
    ))
}
