//! An attempt seen again: the cursor of the debrief moves a yard that runs the
//! recording anew.

use crate::flow::{FrameSystems, Screen};
use crate::sitting::Notice;
use crate::stage::{Eye, Happened, Show, Stage, own_eye, point};
use crate::things::grip;
use bevy::prelude::*;
use bevy::time::Real;
use crew::Tick;
use std::path::PathBuf;
use std::sync::Arc;
use training::Mark;
use training::load::Loaded;
use training::recording::Recording;
use yard::Player;

/// Most ticks that are run for one picture, so that the screen goes on while a
/// far moment is made for.
const MOST_TICKS: u32 = 240;

/// Whose eyes a replay is seen with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Seen {
    /// From behind the trainee.
    #[default]
    Over,
    /// With the trainee's eyes.
    Own,
}

/// How well trainees say that they did, before they see what came of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rated {
    /// I would not do it alone.
    NotAlone,
    /// I would do it with somebody beside me.
    WithHelp,
    /// I would do it alone.
    Alone,
}

/// What came of an attempt, and the moment of it that is looked at.
#[derive(Resource)]
pub struct Debrief {
    /// The level.
    pub loaded: Arc<Loaded>,
    /// The recording.
    pub recording: Arc<Recording>,
    /// The mark.
    pub mark: Mark,
    /// All that a report says.
    pub sheet: Arc<records::Sheet>,
    /// Where the recording is.
    pub path: PathBuf,
    /// Where the report is.
    pub report: PathBuf,
    /// Why the report could not be written, in words.
    pub unwritten: Option<String>,
    /// What trainees say of themselves.
    pub rated: Option<Rated>,
    /// The moment that is looked at, seconds.
    pub cursor_s: f64,
    /// The replay runs.
    pub plays: bool,
    /// How many times as fast as it was.
    pub speed: f64,
    /// Whose eyes it is seen with.
    pub seen: Seen,
    /// The yard is still on its way to the moment.
    pub on_its_way: bool,
}

impl Debrief {
    /// The debrief of an attempt, at its start.
    pub fn new(
        loaded: Arc<Loaded>,
        recording: Recording,
        mark: Mark,
        sheet: records::Sheet,
        path: PathBuf,
        report: PathBuf,
        unwritten: Option<String>,
    ) -> Self {
        Debrief {
            loaded,
            recording: Arc::new(recording),
            mark,
            sheet: Arc::new(sheet),
            path,
            report,
            unwritten,
            rated: None,
            cursor_s: 0.0,
            plays: false,
            speed: 1.0,
            seen: Seen::Over,
            on_its_way: false,
        }
    }

    /// The last moment, seconds.
    pub fn until_s(&self) -> f64 {
        self.sheet.until_s
    }
}

/// The yard that a replay shows.
#[derive(Resource)]
struct Replayer(Player);

fn put_up(
    debrief: Option<Res<Debrief>>,
    mut stage: ResMut<Stage>,
    mut notice: ResMut<Notice>,
    mut commands: Commands,
) {
    let Some(debrief) = debrief else { return };
    match Player::new(&debrief.loaded.level, debrief.recording.clone()) {
        Ok(player) => {
            stage.put_up(debrief.loaded.clone(), player.frames().1.clone(), None);
            commands.insert_resource(Replayer(player));
        }
        Err(fault) => notice.0 = Some(fault.words()),
    }
}

fn take_down(mut commands: Commands) {
    commands.remove_resource::<Replayer>();
}

fn advance(
    time: Res<Time<Real>>,
    debrief: Option<ResMut<Debrief>>,
    replayer: Option<ResMut<Replayer>>,
    mut stage: ResMut<Stage>,
    mut notice: ResMut<Notice>,
    mut happened: MessageWriter<Happened>,
) {
    let (Some(mut debrief), Some(mut replayer)) = (debrief, replayer) else {
        return;
    };
    let until_s = debrief.until_s();
    if debrief.plays && !debrief.on_its_way {
        debrief.cursor_s += debrief.speed * time.delta_secs_f64().min(0.25);
    }
    if debrief.cursor_s >= until_s {
        debrief.cursor_s = until_s;
        debrief.plays = false;
    }
    let cursor = debrief.cursor_s.max(0.0);
    let player = &mut replayer.0;
    // The picture that lies just behind the cursor, and the one before it.
    let wanted = Tick::at(cursor);
    match player.go(wanted, MOST_TICKS) {
        Ok(stretch) => {
            debrief.on_its_way = !stretch.arrived;
            if stretch.jumped {
                stage.clean_anew(&player.surface_steps());
            } else {
                stage.clean(&stretch.steps);
                if debrief.plays {
                    happened.write_batch(
                        stretch
                            .events
                            .into_iter()
                            .map(|(tick, event)| Happened { tick, event }),
                    );
                }
            }
            stage.own = (debrief.seen == Seen::Own).then_some(debrief.loaded.level.post);
            if let Some(show) = &mut stage.show {
                let (before, now) = player.frames();
                show.before = before.clone();
                show.now = now.clone();
                show.alpha = 1.0;
            }
        }
        Err(fault) => {
            debrief.plays = false;
            notice.0 = Some(fault.words());
        }
    }
}

/// How far behind and above the trainee the view is taken.
const BEHIND_M: Vec3 = Vec3::new(2.3, 0.75, 1.0);

/// Eyes lower than this are of somebody who goes down, metres, and how much
/// further back one stands then.
const STANDING_M: f32 = 1.45;
const BACK_M: f32 = 1.4;

/// How quickly a look goes to what a hand takes hold of, per second.
const LOOKS_PER_S: f32 = 6.0;

/// How far a head is turned to what the hand holds, to the left and up, radians:
/// whoever takes hold of something looks at it, and what heads did is not
/// recorded.
fn to_hand(show: &Show, own: &Eye) -> Vec2 {
    let held = show.person(show.loaded.level.post);
    let held = held.and_then(|(_, now)| grip(show, now.holding?));
    let Some(way) = held.map(|at| at - own.at) else {
        return Vec2::ZERO;
    };
    let whole = core::f32::consts::TAU;
    let left = (-way.z).atan2(way.x) - own.yaw;
    Vec2::new(
        (left + 0.5 * whole).rem_euclid(whole) - 0.5 * whole,
        way.y.atan2(way.xz().length()) - own.pitch,
    )
}

fn look(
    debrief: Option<Res<Debrief>>,
    stage: Res<Stage>,
    time: Res<Time>,
    mut turned: Local<Vec2>,
    mut eye: ResMut<Eye>,
) {
    let (Some(debrief), Some(show)) = (debrief, &stage.show) else {
        return;
    };
    let post = debrief.loaded.level.post;
    let Some(own) = own_eye(show, post) else {
        return;
    };
    let share = (LOOKS_PER_S * time.delta_secs()).min(1.0);
    *turned = turned.lerp(to_hand(show, &own), share);
    *eye = match debrief.seen {
        Seen::Own => Eye {
            yaw: own.yaw + turned.x,
            pitch: own.pitch + turned.y,
            ..own
        },
        Seen::Over => {
            let Some((_, now)) = show.person(post) else {
                return;
            };
            let eyes = point(now.eyes);
            let ahead = Vec3::new(own.yaw.cos(), 0.0, -own.yaw.sin());
            let right = Vec3::new(own.yaw.sin(), 0.0, own.yaw.cos());
            // Who goes down is looked at from where one stood beside them.
            let down = ((STANDING_M - eyes.y) / STANDING_M).clamp(0.0, 1.0);
            let eyes = eyes.with_y(eyes.y.max(STANDING_M));
            let back = BEHIND_M.x + BACK_M * down;
            let at = eyes - ahead * back + Vec3::Y * (BEHIND_M.y - 0.2) + right * BEHIND_M.z;
            let before = eyes + ahead * 2.2 - Vec3::Y * 0.35;
            let to = before.lerp(point(now.com), down) - at;
            Eye {
                at,
                yaw: (-to.z).atan2(to.x),
                pitch: to.y.atan2(to.xz().length()),
                roll: 0.0,
            }
        }
    };
}

/// Sets up the replay.
pub fn plugin(app: &mut App) {
    app.add_systems(OnEnter(Screen::Debrief), put_up)
        .add_systems(OnExit(Screen::Debrief), take_down)
        .add_systems(
            Update,
            (
                advance.in_set(FrameSystems::Advance),
                look.in_set(FrameSystems::Look),
            )
                .run_if(in_state(Screen::Debrief)),
        );
}
