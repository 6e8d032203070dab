//! An attempt under way: as many ticks as the time that has gone by, and no
//! tick dropped. Where pictures come too slowly the yard goes slowly with them,
//! and the recording says so.

use crate::behind::Behind;
use crate::flow::{FrameSystems, Run, Screen};
use crate::hands::Hands;
use crate::help::Coaching;
use crate::replay::Debrief;
use crate::sitting::{Notice, Shelf, Sitting};
use crate::stage::{Found, Happened, Stage};
use bevy::prelude::*;
use bevy::time::Real;
use crew::{Act, Percepts, TICKS_PER_SECOND, Tick};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};
use training::load::Loaded;
use training::recording::{self, Closed, FileSink, FrameStatistics, Mode, Opened, Recording};
use training::text::{not_written, say};
use training::{Ended, Finding, Mark};
use yard::{AttemptFault, Beginning, Live};

/// Most time that one picture stands for, seconds. What is longer makes the yard
/// go slowly.
const LONGEST_FRAME_S: f64 = 0.25;

/// The attempt under way, if there is one.
#[derive(Resource, Default)]
pub struct Session {
    under_way: Option<UnderWay>,
}

struct UnderWay {
    live: Live<Behind>,
    loaded: Arc<Loaded>,
    path: PathBuf,
    owed_s: f64,
    pace: Pace,
    /// It was taken up from an earlier one, and waits to go on.
    waits: bool,
}

/// What is wished of the attempt under way.
#[derive(Message, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Halt it, or go on.
    Halt(bool),
    /// End it here, and look at what came of it.
    End,
    /// Begin it anew. What was recorded so far stays, unfinished.
    Anew,
    /// Leave it. What was recorded so far stays, unfinished.
    Leave,
}

/// How evenly it runs.
#[derive(Default)]
struct Pace {
    wall_s: f64,
    window: (f64, f64),
    least: Option<f64>,
    frames_ms: Vec<f32>,
}

impl Pace {
    fn frame(&mut self, wall_s: f64, simulated_s: f64) {
        self.wall_s += wall_s;
        self.frames_ms.push((1000.0 * wall_s) as f32);
        self.window.0 += wall_s;
        self.window.1 += simulated_s;
        if self.window.0 >= 1.0 {
            let factor = self.window.1 / self.window.0;
            self.least = Some(self.least.map_or(factor, |least| least.min(factor)));
            self.window = (0.0, 0.0);
        }
    }

    fn closed(mut self) -> Closed {
        self.frames_ms.sort_by(f32::total_cmp);
        let count = self.frames_ms.len();
        let at = |share: f64| {
            let place = (share * count as f64).ceil() as usize;
            f64::from(self.frames_ms[place.clamp(1, count) - 1])
        };
        let whole = self.window.1 / self.window.0;
        let whole = if whole.is_finite() { whole } else { 1.0 };
        Closed {
            wall_s: self.wall_s,
            least_real_time_factor: self.least.unwrap_or(whole),
            frames: (count > 0).then(|| FrameStatistics {
                count: count as u64,
                mean_ms: self.frames_ms.iter().map(|ms| f64::from(*ms)).sum::<f64>() / count as f64,
                p99_ms: at(0.99),
                worst_ms: at(1.0),
            }),
        }
    }
}

impl Session {
    /// Whether an attempt is under way.
    pub fn is_under_way(&self) -> bool {
        self.under_way.is_some()
    }

    /// The tick that comes next.
    pub fn tick(&self) -> Tick {
        self.under_way.as_ref().map_or(Tick(0), |u| u.live.tick())
    }

    /// Whether it was taken up from an earlier one and has not gone on yet.
    pub fn is_taken_up(&self) -> bool {
        self.under_way.as_ref().is_some_and(|u| u.waits)
    }

    /// What the trainee knows before the tick that comes next.
    pub fn percepts(&mut self) -> Option<Percepts> {
        self.under_way.as_mut().map(|u| u.live.percepts())
    }

    /// Everything found so far.
    pub fn findings(&self) -> &[Finding] {
        self.under_way.as_ref().map_or(&[], |u| u.live.findings())
    }

    /// What was observed in the last tick.
    pub fn observation(&mut self) -> Option<&training::Observation> {
        self.under_way.as_mut().map(|u| u.live.observation())
    }

    fn begin(&mut self, shelf: &Shelf, sitting: &Sitting) -> Result<Arc<Loaded>, String> {
        self.under_way = None;
        let loaded = sitting
            .level
            .clone()
            .ok_or_else(|| say("scene-no_level", &[]))?;
        let level = &loaded.level;
        // Where something is drawn, practice draws anew each time; an assessment has its fixed form.
        let seed = match &sitting.from {
            Some((from, _)) => from.header().seed,
            None if level.faults.drawn.is_some() && sitting.mode == Mode::Practice => {
                unix_now_s().unsigned_abs()
            }
            None => level.seed,
        };
        let path = new_path(&shelf.attempts, &level.id, seed)?;
        let beginning = Beginning {
            injected: Vec::new(),
            release: shelf.release.clone(),
            bundle: recording::Bundle::new(loaded.bundle.bytes()),
            seed,
            opened: Opened {
                trainee: sitting.trainee.trim().to_owned(),
                display_name: None,
                started_unix_s: unix_now_s(),
                device: shelf.device.clone(),
                mode: sitting.mode,
            },
        };
        let sink = FileSink::create(&path).map_err(|f| AttemptFault::from(f).words())?;
        let sink = Behind::over(sink).map_err(|e| not_written(&path, &e))?;
        let live = match &sitting.from {
            Some((from, at)) => Live::restart(level, beginning, from, *at, sink),
            None => Live::begin(level, beginning, sink),
        };
        self.under_way = Some(UnderWay {
            live: live.map_err(|f| f.words())?,
            loaded: loaded.clone(),
            path,
            owed_s: 0.0,
            pace: Pace::default(),
            waits: sitting.from.is_some(),
        });
        Ok(loaded)
    }

    /// Seals the attempt.
    fn end(&mut self, ended: Ended) -> Option<Result<Debrief, String>> {
        let under_way = self.under_way.take()?;
        let closed = under_way.pace.closed();
        let sealed = under_way.live.seal(ended, closed, None);
        Some(match sealed {
            Ok((mark, _)) => put_away(under_way.loaded, under_way.path, mark),
            Err(fault) => Err(fault.words()),
        })
    }
}

/// Reads what was recorded, writes its report, and lays out the debrief.
fn put_away(loaded: Arc<Loaded>, path: PathBuf, mark: Mark) -> Result<Debrief, String> {
    let recording = Recording::load(&path).map_err(|f| AttemptFault::from(f).words())?;
    let sheet = records::Sheet::of(&recording, &loaded.level, &mark);
    let report = path.with_extension("html");
    let unwritten = records::keep(&sheet, &report)
        .err()
        .map(|e| not_written(&report, &e));
    Ok(Debrief::new(
        loaded, recording, mark, sheet, path, report, unwritten,
    ))
}

/// Seconds since 1970, by the clock of this machine.
pub fn unix_now_s() -> i64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |d| i64::try_from(d.as_secs()).unwrap_or(i64::MAX))
}

/// A name for a new recording that no other file has.
///
/// # Errors
/// The folder cannot be made, in words.
pub fn new_path(folder: &Path, level: &str, seed: u64) -> Result<PathBuf, String> {
    recording::new_path(folder, level, seed, unix_now_s()).map_err(|e| not_written(folder, &e))
}

#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
fn begin(
    shelf: Res<Shelf>,
    sitting: Res<Sitting>,
    mut session: ResMut<Session>,
    mut stage: ResMut<Stage>,
    mut hands: ResMut<Hands>,
    mut notice: ResMut<Notice>,
    mut next: ResMut<NextState<Screen>>,
    mut next_run: ResMut<NextState<Run>>,
) {
    *hands = Hands::default();
    match session.begin(&shelf, &sitting) {
        Ok(loaded) => {
            let Some(under_way) = &mut session.under_way else {
                return;
            };
            let frame = under_way.live.frames().1.clone();
            let post = under_way.live.post();
            stage.put_up(loaded, frame, Some(post));
            let steps = under_way.live.surface_steps();
            stage.clean_anew(&steps);
            if under_way.waits {
                // In the middle of the work nothing moves before hands have
                // taken hold again.
                next_run.set(Run::Halted);
            }
        }
        Err(words) => {
            notice.0 = Some(words);
            next.set(Screen::Choice);
        }
    }
}

#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
fn advance(
    time: Res<Time<Real>>,
    run: Option<Res<State<Run>>>,
    mut session: ResMut<Session>,
    mut hands: ResMut<Hands>,
    mut stage: ResMut<Stage>,
    mut notice: ResMut<Notice>,
    mut happened: MessageWriter<Happened>,
    mut found: MessageWriter<Found>,
    mut coaching: ResMut<Coaching>,
    mut commands: Commands,
    mut next: ResMut<NextState<Screen>>,
) {
    let Some(under_way) = &mut session.under_way else {
        return;
    };
    let wall_s = time.delta_secs_f64();
    let halted = under_way.waits || run.is_some_and(|run| **run == Run::Halted);
    if !halted {
        under_way.owed_s += wall_s.min(LONGEST_FRAME_S);
    }
    let tick_s = 1.0 / f64::from(TICKS_PER_SECOND);
    let mut ticks = 0;
    let mut fault = None;
    // Half a microsecond of rounding must not cost a tick.
    while under_way.owed_s + 5e-7 >= tick_s && under_way.live.ended().is_none() {
        under_way.owed_s -= tick_s;
        let acts: Vec<Act> = hands.tick(
            under_way.live.tick(),
            &under_way.loaded.level,
            under_way.live.frames().1,
        );
        match under_way.live.step(&acts) {
            Ok(o) => {
                stage.clean(&o.steps);
                coaching.see(o);
                let tick = o.tick;
                happened.write_batch(o.events.iter().map(|event| Happened {
                    tick,
                    event: *event,
                }));
            }
            Err(wrong) => {
                fault = Some(wrong.words());
                break;
            }
        }
        found.write_batch(under_way.live.just_found().iter().cloned().map(Found));
        ticks += 1;
    }
    if !halted {
        under_way.pace.frame(wall_s, f64::from(ticks) * tick_s);
    }
    if let Some(show) = &mut stage.show {
        let (before, now) = under_way.live.frames();
        if ticks > 0 {
            show.before = before.clone();
            show.now = now.clone();
        }
        show.alpha = (under_way.owed_s / tick_s).clamp(0.0, 1.0) as f32;
    }
    if let Some(words) = fault {
        // What was recorded so far stays where it is.
        session.under_way = None;
        notice.0 = Some(words);
        next.set(Screen::Choice);
    } else if let Some(ended) = under_way.live.ended() {
        close(&mut session, ended, &mut commands, &mut notice, &mut next);
    }
}

fn close(
    session: &mut Session,
    ended: Ended,
    commands: &mut Commands,
    notice: &mut Notice,
    next: &mut NextState<Screen>,
) {
    match session.end(ended) {
        Some(Ok(debrief)) => {
            commands.insert_resource(debrief);
            next.set(Screen::Debrief);
        }
        Some(Err(words)) => {
            notice.0 = Some(words);
            next.set(Screen::Choice);
        }
        None => {}
    }
}

#[allow(clippy::too_many_arguments)]
fn heed(
    mut wishes: MessageReader<Wish>,
    sitting: Res<Sitting>,
    mut session: ResMut<Session>,
    mut hands: ResMut<Hands>,
    mut notice: ResMut<Notice>,
    mut commands: Commands,
    mut next: ResMut<NextState<Screen>>,
    run: Option<Res<State<Run>>>,
    mut next_run: ResMut<NextState<Run>>,
) {
    for wish in wishes.read() {
        if !session.is_under_way() {
            continue;
        }
        match wish {
            Wish::Halt(halt) => {
                let was = run.as_ref().is_some_and(|run| ***run == Run::Halted);
                if *halt == was {
                    continue;
                }
                if let Some(under_way) = &mut session.under_way {
                    under_way.waits &= *halt;
                }
                hands.release();
                // In an assessment a halt is seen on the time line.
                if sitting.mode == Mode::Assessment {
                    hands.press(None, crate::hands::Pressed::Marked);
                }
                next_run.set(if *halt { Run::Halted } else { Run::Live });
            }
            Wish::End => close(
                &mut session,
                Ended::Stopped,
                &mut commands,
                &mut notice,
                &mut next,
            ),
            Wish::Anew => {
                session.under_way = None;
                next.set(Screen::Yard);
            }
            Wish::Leave => {
                session.under_way = None;
                next.set(Screen::Choice);
            }
        }
    }
}

/// The window has lost the focus: hands let go, and the attempt halts.
fn lose_focus(
    mut focused: MessageReader<bevy::window::WindowFocused>,
    mut wishes: MessageWriter<Wish>,
    screen: Res<State<Screen>>,
) {
    let lost = focused.read().any(|f| !f.focused);
    if lost && **screen == Screen::Yard {
        wishes.write(Wish::Halt(true));
    }
}

/// Sets up the attempt under way.
pub fn plugin(app: &mut App) {
    app.init_resource::<Session>()
        .add_message::<Wish>()
        .add_message::<bevy::window::WindowFocused>()
        .add_systems(OnEnter(Screen::Yard), begin)
        .add_systems(
            Update,
            (lose_focus, heed, advance)
                .chain()
                .in_set(FrameSystems::Advance),
        );
}
