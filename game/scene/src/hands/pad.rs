//! The pad: read from the devices of the system in a thread of its own, and
//! handed on as the engine's own messages.
//!
//! The engine's usual way needs a library of the system that is not there
//! everywhere. A pad that cannot be opened is no pad; nothing in here panics.

mod layout;
mod reader;

use super::effort::Effort;
use crate::flow::{FrameSystems, Run, Screen};
use crate::stage::Stage;
use bevy::input::InputSystems;
use bevy::input::gamepad::{
    GamepadAxis, GamepadButton, GamepadConnection, GamepadConnectionEvent,
    RawGamepadAxisChangedEvent, RawGamepadButtonChangedEvent, RawGamepadEvent,
};
use bevy::prelude::*;
use std::collections::BTreeMap;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Mutex, PoisonError};

/// A jolt of the pad for so much push that comes or goes within a tick, newtons.
const JOLT_N: f32 = 12.0;
/// It is over after about this time, seconds.
const JOLT_S: f32 = 0.15;
/// The pad is told anew when what it has to do has changed by this.
const TOLD_STEP: f32 = 0.04;

/// What a pad reports.
#[derive(Clone, Debug, PartialEq)]
pub enum Report {
    /// It was found.
    Found {
        /// Number of the pad, never given twice.
        pad: u32,
        /// As it calls itself.
        name: String,
    },
    /// A button is pressed so far, 0 to 1.
    Button {
        /// Number of the pad.
        pad: u32,
        /// The button.
        button: GamepadButton,
        /// How far.
        value: f32,
    },
    /// A stick stands so, -1 to 1; right and up are positive.
    Axis {
        /// Number of the pad.
        pad: u32,
        /// The axis.
        axis: GamepadAxis,
        /// Where.
        value: f32,
    },
    /// It is gone.
    Gone {
        /// Number of the pad.
        pad: u32,
    },
}

/// How strongly pads shake, 0 to 1: slowly and heavily, quickly and lightly.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shake {
    /// Slowly and heavily.
    pub heavy: f32,
    /// Quickly and lightly.
    pub light: f32,
}

/// The ends of the thread.
#[derive(Resource)]
struct Ends {
    reports: Mutex<Receiver<Report>>,
    shakes: Mutex<Sender<Shake>>,
    known: BTreeMap<u32, Entity>,
}

/// The push that has just come or gone, fading.
#[derive(Default)]
struct Jolt {
    push_n: f32,
    left: f32,
    told: Shake,
}

/// Hands on what pads report, before the engine looks at its messages.
fn hand_on(
    ends: Option<ResMut<Ends>>,
    mut commands: Commands,
    mut connections: MessageWriter<GamepadConnectionEvent>,
    mut raw: MessageWriter<RawGamepadEvent>,
) {
    let Some(mut ends) = ends else { return };
    let ends = &mut *ends;
    let reports = ends
        .reports
        .get_mut()
        .unwrap_or_else(PoisonError::into_inner);
    for report in reports.try_iter() {
        match report {
            Report::Found { pad, name } => {
                let entity = commands.spawn_empty().id();
                ends.known.insert(pad, entity);
                let connection = GamepadConnection::Connected {
                    name,
                    vendor_id: None,
                    product_id: None,
                };
                connections.write(GamepadConnectionEvent::new(entity, connection));
            }
            Report::Gone { pad } => {
                if let Some(entity) = ends.known.remove(&pad) {
                    let connection = GamepadConnection::Disconnected;
                    connections.write(GamepadConnectionEvent::new(entity, connection));
                }
            }
            Report::Button { pad, button, value } => {
                if let Some(entity) = ends.known.get(&pad) {
                    raw.write(RawGamepadButtonChangedEvent::new(*entity, button, value).into());
                }
            }
            Report::Axis { pad, axis, value } => {
                if let Some(entity) = ends.known.get(&pad) {
                    raw.write(RawGamepadAxisChangedEvent::new(*entity, axis, value).into());
                }
            }
        }
    }
}

/// How the pad shakes while the tool pushes, and how it jolts when the push
/// comes or goes.
fn shake(
    time: Res<Time>,
    stage: Res<Stage>,
    screen: Res<State<Screen>>,
    run: Option<Res<State<Run>>>,
    ends: Option<ResMut<Ends>>,
    mut jolt: Local<Jolt>,
) {
    let Some(mut ends) = ends else { return };
    let live = **screen == Screen::Yard && run.is_some_and(|run| **run == Run::Live);
    let me = stage.show.as_ref().zip(stage.own);
    let me = me.and_then(|(show, seat)| Some((show, show.person(seat)?.1)));
    let mut wanted = Shake::default();
    if let Some((show, me)) = me.filter(|_| live) {
        let effort = Effort::of(me, &show.now);
        let push_n = effort.push_n as f32;
        let ticks = (show.now.tick.0 - show.before.tick.0).max(1) as f32;
        let come = (push_n - jolt.push_n).abs() / ticks;
        jolt.push_n = push_n;
        jolt.left = (jolt.left - time.delta_secs() / JOLT_S).max((come / JOLT_N).min(1.0));
        wanted = shaken(&effort, jolt.left);
    } else {
        *jolt = Jolt {
            told: jolt.told,
            ..Jolt::default()
        };
    }
    let told = jolt.told;
    let moved = (wanted.heavy - told.heavy)
        .abs()
        .max((wanted.light - told.light).abs());
    let stops = wanted == Shake::default() && told != wanted;
    if moved >= TOLD_STEP || stops {
        jolt.told = wanted;
        let shakes = ends
            .shakes
            .get_mut()
            .unwrap_or_else(PoisonError::into_inner);
        // Without the thread there is no pad to shake.
        shakes.send(wanted).ok();
    }
}

/// How a pad shakes with an effort, and a jolt on top, 0 to 1.
pub fn shaken(effort: &Effort, jolt: f32) -> Shake {
    let push = effort.rumble as f32;
    Shake {
        heavy: (0.55 * push * push + 0.6 * jolt).min(1.0),
        light: (0.7 * push + 0.4 * jolt).min(1.0),
    }
}

/// Sets up the pad.
pub fn plugin(app: &mut App) {
    let (to_game, reports) = channel();
    let (shakes, to_pad) = channel();
    if !reader::start(to_game, to_pad) {
        return;
    }
    around(app, reports, shakes);
}

/// Sets up what hands reports on, whoever makes them.
fn around(app: &mut App, reports: Receiver<Report>, shakes: Sender<Shake>) {
    app.insert_resource(Ends {
        reports: Mutex::new(reports),
        shakes: Mutex::new(shakes),
        known: BTreeMap::new(),
    })
    .add_systems(PreUpdate, hand_on.before(InputSystems))
    .add_systems(Update, shake.in_set(FrameSystems::Show));
}

#[cfg(test)]
mod tests;
