//! The standard pictures of every screen and level, made without a window.

mod looks;
mod moment;

use crate::app::{Opening, offscreen};
use crate::flow::{Bare, Run, Screen};
use crate::hands::gather::Ring;
use crate::hands::keymap::Deed;
use crate::hands::{Hands, Pressed};
use crate::replay::{Debrief, Rated, Seen};
use crate::screens::debrief::{Desk, Page};
use crate::session::{Session, Wish};
use crate::sitting::{Shelf, Sitting};
use crate::stage::{Stage, point};
use crate::world::light::Sky;
use crate::world::{Canvas, Pending};
use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::time::TimeUpdateStrategy;
use crew::{Call, Control, Seat, Stance, Tick};
use looks::{Matter, NEAR_M, Near, SIGHT_M, go_beside, look_at};
use moment::Moment;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};
use training::Mark;
use training::faults::Planned;
use training::load::Loaded;
use training::recording::{self, FileSink, Mode, Opened, Recording};
use training::text::{not_written, say};
use yard::{AttemptFault, Beginning, play};

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

/// What picture is taken. An attempt is named by its place in [`ATTEMPTS`].
enum View {
    /// A screen as it is opened.
    Screen(Screen),
    /// The job sheet of a level.
    Sheet(usize),
    /// In an attempt, with the trainee's eyes.
    Yard(usize, f64),
    /// The same, looking at what is worked at.
    AtWork(usize, f64),
    /// The same a little later, looking at something near.
    At(usize, f64, Near),
    /// In an attempt, with nobody's eyes, at a place where something is the matter.
    Beside(usize, f64, Matter),
    /// The same, with the ring of calls open.
    Calling(usize, f64),
    /// The same, halted.
    Halted(usize, f64),
    /// The debrief before the trainee has said how it went.
    Rating(usize),
    /// A page of the debrief, with the cursor at a moment.
    Debrief(usize, f64, Page),
    /// The replay alone, without anything written on it, from shortly before
    /// something happens.
    Replay(usize, Moment, Seen),
}

/// The attempts that pictures are taken of: the level's place, the script that plays it,
/// and what fails besides, as on a command line.
const ATTEMPTS: [(usize, &str, &[&str]); 17] = [
    (MODEL_01, "model", &[]),
    (MODEL_02, "model", &[]),
    (MODEL_01, "bad", &[]),
    (MODEL_02, "bad", &[]),
    (MODEL_02, "thrown", &[]),
    (LEVEL_08, "model", &["packing_worn=20@60"]),
    (LEVEL_08, "model", &["hose_leaks=0.3@110"]),
    (LEVEL_08, "model", &["hose_parted@110"]),
    (LEVEL_08, "model", &["oil_low=100@95"]),
    (LEVEL_08, "model", &["relief_weak=20@110"]),
    (LEVEL_10, "model", &[]),
    (LEVEL_10, "model", &["relief_stuck", "regulator_stuck@150"]),
    (LEVEL_08, "bad", &[]),
    (LEVEL_11, "model", &[]),
    (LEVEL_11, "bad", &[]),
    (LEVEL_11, "slips", &[]),
    (LEVEL_11, "trips", &[]),
];
const MODEL_01: usize = 0;
const MODEL_02: usize = 1;
const BAD_01: usize = 2;
const BAD_02: usize = 3;
const THROWN_02: usize = 4;
const PACKING_08: usize = 5;
const HOLE_08: usize = 6;
const PARTED_08: usize = 7;
const OIL_08: usize = 8;
const RELIEF_08: usize = 9;
const MODEL_10: usize = 10;
const DISC_10: usize = 11;
const BAD_08: usize = 12;
const MODEL_11: usize = 13;
const BAD_11: usize = 14;
const SLIPS_11: usize = 15;
const TRIPS_11: usize = 16;
/// The place of the level of troubles among the levels.
const LEVEL_08: usize = 2;
/// That of the level of two lines.
const LEVEL_10: usize = 3;
/// That of the level with a loose end.
const LEVEL_11: usize = 4;

/// The pictures: a name, what is on it, and for how many pictures in a row the
/// moment goes on, a sixth of a second each.
fn views() -> Vec<(String, View, u32)> {
    use View::{At, AtWork, Beside, Calling, Debrief, Halted, Rating, Replay, Sheet, Yard};
    let one = |name: &str, view| (name.to_owned(), view, 1);
    let strip = |name: &str, view| (name.to_owned(), view, STRIP);
    vec![
        one("title", View::Screen(Screen::Title)),
        one("choice", View::Screen(Screen::Choice)),
        one("settings", View::Screen(Screen::Settings)),
        one("sheet_01", Sheet(MODEL_01)),
        one("sheet_02", Sheet(MODEL_02)),
        one("sheet_10", Sheet(MODEL_10)),
        one("sheet_11", Sheet(MODEL_11)),
        one("yard_01_start", Yard(MODEL_01, 0.5)),
        one("yard_01_work", AtWork(MODEL_01, WORK_01_S)),
        one("yard_01_call", Calling(MODEL_01, WORK_01_S)),
        one("yard_02_start", Yard(MODEL_02, 0.5)),
        one("yard_02_work", AtWork(MODEL_02, WORK_02_S)),
        one("yard_10_start", Yard(MODEL_10, 0.5)),
        one("yard_10_work", AtWork(MODEL_10, WORK_10_S)),
        one("yard_11_start", Yard(MODEL_11, 0.5)),
        one("yard_11_work", AtWork(MODEL_11, WORK_11_S)),
        one("yard_11_torn", Beside(MODEL_11, TORN_11_S, Matter::Torn)),
        one("yard_11_down", Yard(SLIPS_11, DOWN_11_S)),
        one("yard_10_outlets", At(MODEL_10, WORK_10_S, Near::Outlets)),
        one("yard_10_stand", Beside(MODEL_10, WORK_10_S, Matter::Stand)),
        one("yard_10_yard", At(MODEL_10, WORK_10_S, Near::Stand)),
        one("pause", Halted(MODEL_02, WORK_02_S)),
        one("trouble_dials", At(PACKING_08, TROUBLE_S, Near::Dials)),
        one("trouble_oil", At(OIL_08, OIL_S, Near::Dials)),
        one("trouble_post", Yard(PACKING_08, TROUBLE_S)),
        one(
            "trouble_packing",
            Beside(PACKING_08, TROUBLE_S, Matter::Glands),
        ),
        one(
            "trouble_relief",
            Beside(RELIEF_08, TROUBLE_S, Matter::Relief),
        ),
        one("trouble_disc", Beside(DISC_10, DISC_S, Matter::Disc)),
        one("trouble_hole", Beside(HOLE_08, TROUBLE_S, Matter::Hole)),
        one("trouble_torn", Beside(PARTED_08, TROUBLE_S, Matter::Torn)),
        one("debrief_rate", Rating(MODEL_02)),
        one("debrief_01", Debrief(MODEL_01, WORK_01_S, Page::Minute)),
        one("debrief_02", Debrief(MODEL_02, WORK_02_S, Page::Minute)),
        one("debrief_01_bad", Debrief(BAD_01, 60.0, Page::Minute)),
        one("debrief_08_bad", Debrief(BAD_08, 160.0, Page::Minute)),
        one("debrief_11_bad", Debrief(BAD_11, 164.0, Page::Minute)),
        one("debrief_08_work", Debrief(BAD_08, 160.0, Page::Work)),
        one(
            "debrief_02_findings",
            Debrief(BAD_02, 200.0, Page::Findings),
        ),
        one("debrief_02_work", Debrief(BAD_02, 200.0, Page::Work)),
        one(
            "debrief_02_surface",
            Debrief(MODEL_02, WORK_02_S, Page::Surface),
        ),
        one("debrief_02_papers", Debrief(BAD_02, 200.0, Page::Papers)),
        one(
            "replay_01_over",
            Replay(MODEL_01, Moment::Raise, Seen::Over),
        ),
        one(
            "replay_02_over",
            Replay(MODEL_02, Moment::At(WORK_02_S), Seen::Over),
        ),
        strip("strip_start", Replay(MODEL_01, Moment::Start, Seen::Own)),
        strip(
            "strip_squeeze",
            Replay(MODEL_02, Moment::Squeeze, Seen::Own),
        ),
        strip(
            "strip_sweep",
            Replay(MODEL_02, Moment::At(WORK_02_S), Seen::Own),
        ),
        strip("strip_dump", Replay(MODEL_01, Moment::Dump, Seen::Own)),
        strip("strip_fall", Replay(THROWN_02, Moment::Fall, Seen::Over)),
        strip("strip_held", Replay(MODEL_11, Moment::Parting, Seen::Over)),
        strip("strip_whip", Replay(BAD_11, Moment::Parting, Seen::Over)),
        strip("strip_slip", Replay(SLIPS_11, Moment::Slip, Seen::Over)),
        strip(
            "strip_thrash",
            Replay(SLIPS_11, Moment::Dropping, Seen::Over),
        ),
        strip("strip_trip", Replay(TRIPS_11, Moment::Trip, Seen::Over)),
        strip(
            "strip_intruder",
            Replay(MODEL_02, Moment::Intruder, Seen::Own),
        ),
    ]
}

/// A moment of each model attempt at which it is at work, seconds.
const WORK_01_S: f64 = 350.0;
const WORK_02_S: f64 = 400.0;
const WORK_10_S: f64 = 174.0;
const WORK_11_S: f64 = 175.0;
/// A moment after the coupling has parted, and one after a fall, seconds.
const TORN_11_S: f64 = 186.0;
const DOWN_11_S: f64 = 175.0;
/// A moment at which what fails in the level of troubles has been failing for a while,
/// seconds, and how long it goes on then, so that water has run together.
const TROUBLE_S: f64 = 112.0;
const RUNS_S: f64 = 6.0;
/// A moment shortly after the disc has torn, seconds.
const DISC_S: f64 = 203.0;
/// A moment shortly after the oil was lost: what the guard does then comes by itself,
/// seconds.
const OIL_S: f64 = 96.0;

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
    let wanted: Vec<(String, View, u32)> = views()
        .into_iter()
        .filter(|(name, ..)| name.starts_with(only))
        .collect();
    let played = attempts(&opening(), folder, &wanted)?;
    for (width, height) in sizes {
        let mut app = offscreen(opening(), *width, *height);
        app.insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(
            FRAME_S,
        )));
        for (name, view, count) in &wanted {
            set(&mut app, view, &|n| &played[&n])?;
            settle(&mut app);
            for n in 0..*count {
                if n > 0 {
                    step(&mut app, STRIP_STEP_S);
                }
                let place = if *count > 1 {
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
    clear_away(played.values());
    Ok(())
}

/// The attempts that some pictures are taken of, by their places in [`ATTEMPTS`].
fn attempts(
    opening: &Opening,
    folder: &Path,
    wanted: &[(String, View, u32)],
) -> Result<BTreeMap<usize, Played>, String> {
    let shelf = shelf(opening);
    let mut found = BTreeMap::new();
    for n in wanted.iter().filter_map(|(_, view, _)| view.level()) {
        if found.contains_key(&n) {
            continue;
        }
        let (level, name, fails) = ATTEMPTS[n];
        let loaded = shelf.levels.get(level);
        let loaded = loaded.ok_or_else(|| say("scene-no_level", &[]))?;
        let fails = fails.iter().flat_map(|fault| Planned::parse(fault));
        let played = by_script(&shelf, loaded, name, fails.collect(), folder)?;
        found.insert(n, played);
    }
    Ok(found)
}

/// The model attempts of some levels, or of all where none is named.
///
/// # Errors
/// A script or a recording could not be made, in words.
pub fn models(opening: &Opening, folder: &Path, only: &[&str]) -> Result<Vec<Played>, String> {
    let shelf = shelf(opening);
    let named = |loaded: &&Arc<Loaded>| only.is_empty() || only.contains(&&*loaded.level.id);
    let levels = shelf.levels.iter().filter(named);
    levels
        .map(|loaded| by_script(&shelf, loaded, "model", Vec::new(), folder))
        .collect()
}

fn shelf(opening: &Opening) -> Shelf {
    Shelf::of(
        opening.library.clone(),
        opening.release.clone(),
        opening.attempts.clone(),
        opening.device.clone(),
    )
}

/// Takes the recordings away again.
pub(crate) fn clear_away<'a>(played: impl IntoIterator<Item = &'a Played>) {
    for played in played {
        std::fs::remove_file(&played.path).ok();
    }
}

/// Goes into the middle of an attempt, with the trainee's eyes.
///
/// # Errors
/// As [`take`].
pub(crate) fn at_work(app: &mut App, played: &Played, at_s: f64) -> Result<(), String> {
    set(app, &View::AtWork(0, at_s), &|_| played)
}

impl View {
    fn level(&self) -> Option<usize> {
        match self {
            View::Screen(_) => None,
            View::Sheet(n)
            | View::Yard(n, _)
            | View::AtWork(n, _)
            | View::At(n, ..)
            | View::Beside(n, ..)
            | View::Calling(n, _)
            | View::Halted(n, _)
            | View::Rating(n)
            | View::Debrief(n, _, _)
            | View::Replay(n, _, _) => Some(*n),
        }
    }
}

/// An attempt at a level that a script plays, without pictures.
fn by_script(
    shelf: &Shelf,
    loaded: &Arc<Loaded>,
    name: &str,
    injected: Vec<Planned>,
    folder: &Path,
) -> Result<Played, String> {
    let level = &loaded.level;
    let script = shelf.library.script(level, name);
    let script = script.map_err(|problems| problems.to_string())?;
    std::fs::create_dir_all(folder).map_err(|e| not_written(folder, &e))?;
    let path = crate::session::new_path(folder, &level.id, level.seed)?;
    let beginning = Beginning {
        injected,
        release: shelf.release.clone(),
        bundle: recording::Bundle::new(loaded.bundle.bytes()),
        seed: level.seed,
        opened: Opened {
            trainee: name.to_owned(),
            display_name: None,
            started_unix_s: crate::session::unix_now_s(),
            device: shelf.device.clone(),
            mode: Mode::Practice,
        },
    };
    let words = |fault: AttemptFault| fault.words();
    let sink = FileSink::create(&path).map_err(|f| words(f.into()))?;
    let mark = play::by_script(level, script, beginning, sink, |_| {}).map_err(words)?;
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

fn set<'a>(app: &mut App, view: &View, played: &dyn Fn(usize) -> &'a Played) -> Result<(), String> {
    // Whatever was under way is left.
    app.world_mut().write_message(Wish::Leave);
    app.world_mut().insert_resource(Bare(false));
    app.update();
    go(app, Screen::Title);
    let sit = |app: &mut App, n: usize, at_s: Option<f64>| {
        let played = played(n);
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
        View::Yard(n, s) | View::AtWork(n, s) | View::At(n, s, _) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
            is_there(app)?;
            go_on(app);
            let level = &played(*n).loaded.level;
            match view {
                View::AtWork(..) => {
                    let stop = level.site.control(Control::EmergencyStop).map(point);
                    look_at(app, stop, NEAR_M);
                }
                View::At(_, _, near) => {
                    pass(app, RUNS_S);
                    look_at(app, near.place(level), SIGHT_M);
                }
                _ => {}
            }
        }
        View::Beside(n, s, matter) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
            is_there(app)?;
            go_on(app);
            app.world_mut().insert_resource(Bare(true));
            pass(app, RUNS_S);
            go_beside(app, *matter);
        }
        View::Calling(n, s) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
            go_on(app);
            let post = played(*n).loaded.level.post;
            app.world_mut()
                .resource_mut::<Ring>()
                .hold_on(post, Call::Dump);
        }
        View::Halted(n, s) => {
            sit(app, *n, Some(*s));
            go(app, Screen::Yard);
            go_on(app);
            step(app, 0.2);
            app.world_mut()
                .resource_mut::<NextState<Run>>()
                .set(Run::Halted);
        }
        View::Rating(n) => {
            lay_out(app, played(*n), 0.0);
            go(app, Screen::Debrief);
        }
        View::Debrief(n, s, page) => {
            lay_out(app, played(*n), *s);
            app.world_mut().resource_mut::<Debrief>().rated = Some(Rated::WithHelp);
            go(app, Screen::Debrief);
            app.world_mut().resource_mut::<Desk>().open(*page);
        }
        View::Replay(n, moment, seen) => {
            let played = played(*n);
            lay_out(app, played, moment.of(&played.recording)?);
            let mut debrief = app.world_mut().resource_mut::<Debrief>();
            debrief.rated = Some(Rated::Alone);
            debrief.seen = *seen;
            app.world_mut().insert_resource(Bare(true));
            go(app, Screen::Debrief);
        }
    }
    Ok(())
}

/// Whether an attempt could be taken up: its recording may end sooner.
///
/// # Errors
/// It could not, in words.
fn is_there(app: &App) -> Result<(), String> {
    let there = app.world().resource::<Session>().is_under_way();
    there
        .then_some(())
        .ok_or_else(|| say("scene-no_moment", &[]))
}

/// Takes up an attempt with the hands as they were: what was held there is held
/// on.
fn go_on(app: &mut App) {
    let world = app.world_mut();
    world.write_message(Wish::Halt(false));
    let Some(show) = &world.resource::<Stage>().show else {
        return;
    };
    let tool = &show.now.tool;
    let seat = show.loaded.level.post;
    let me = show.now.people.iter().find(|person| person.seat == seat);
    let held = [
        (Deed::Brace, me.is_some_and(|me| me.braced > 0.0)),
        (Deed::Wide, me.is_some_and(|me| me.stance == Stance::Wide)),
        (
            Deed::Squeeze,
            seat == Seat::LANCE && tool.in_hands && tool.squeeze > 0.5,
        ),
    ];
    // To go on lets go of everything.
    app.update();
    let mut hands = app.world_mut().resource_mut::<Hands>();
    for (deed, is) in held {
        if is {
            hands.press(None, Pressed::Down(deed));
        }
    }
    app.update();
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

/// Runs until the adapter has worked out the light of the surroundings.
pub(crate) fn filtered(app: &mut App) {
    for _ in 0..MOST_WAITED {
        if app.world().resource::<Sky>().is_filtered() {
            break;
        }
        app.update();
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

/// Lets time go by in as few pictures as may be: nobody looks at them.
fn pass(app: &mut App, seconds: f64) {
    let every = |s| TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(s));
    app.insert_resource(every(PASS_S));
    for _ in 0..(seconds / PASS_S).ceil() as u32 {
        app.update();
    }
    app.insert_resource(every(FRAME_S));
}

/// From one picture to the next, seconds, and where nobody looks.
const FRAME_S: f64 = 1.0 / 60.0;
const PASS_S: f64 = 0.1;

/// Whether a picture has arrived, and what went wrong with it.
#[derive(Resource, Default)]
struct Arrived(Option<Result<(), String>>);

/// So long a picture is waited for, and for so many more pictures. It is read
/// back by another thread, while a quick adapter draws hundreds more and a slow
/// one not a dozen.
const READ_BACK: Duration = Duration::from_secs(20);
const READ_BACK_PICTURES: u32 = 60;

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
    let began = Instant::now();
    let mut drawn = 0;
    while began.elapsed() < READ_BACK || drawn < READ_BACK_PICTURES {
        app.update();
        drawn += 1;
        if let Some(result) = app.world_mut().resource_mut::<Arrived>().0.take() {
            return result.map_err(|reason| {
                say(
                    "cli-not_written",
                    &[("path", &path.display().to_string()), ("reason", &reason)],
                )
            });
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    Err(say(
        "scene-no_picture",
        &[("path", &path.display().to_string())],
    ))
}
