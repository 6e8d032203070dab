//! From what keyboard, mouse and pad report to presses.

use super::calls::{self, Kind, Word};
use super::gaze::GLANCE_M;
use super::keymap::{Binding, Deed, Keymap};
use super::{Hands, Look, Pressed, Ways};
use crate::flow::{FrameSystems, Run, Screen};
use crate::session::{Session, Wish};
use crate::settings::Settings;
use crate::stage::Stage;
use bevy::ecs::system::SystemParam;
use bevy::input::ButtonState;
use bevy::input::gamepad::{Gamepad, GamepadAxis, GamepadConnection, GamepadConnectionEvent};
use bevy::input::keyboard::KeyboardInput;
use bevy::input::mouse::{MouseButtonInput, MouseMotion, MouseScrollUnit, MouseWheel};
use bevy::prelude::*;
use bevy::time::Real;
use bevy::window::{CursorGrabMode, CursorOptions, PrimaryWindow};
use crew::{Call, Seat, TICKS_PER_SECOND, Tick};

/// Counts of a smoothly turning wheel that make a notch.
const NOTCH_COUNTS: f32 = 40.0;
/// A key that is let go without a pick leaves the ring of calls open for a
/// number, for so long, seconds.
const OPEN_S: f32 = 8.0;
/// How long whoever first leaves a ring without a pick is told how one picks, seconds.
const UNPICKED_S: f32 = 6.0;
/// The stick has to be pushed out so far before it means anything.
const STICK_DEAD: f32 = 0.15;
/// Counts of the mouse that the stick at its end is worth in the ring of calls.
const STICK_COUNTS: f32 = 80.0;
/// How near something has to be to be held close, metres.
const INSPECT_M: f32 = 1.3;

/// The ring of calls, or of tags.
#[derive(Resource, Default)]
pub struct Ring {
    open: Option<Open>,
    /// The kind of the ring that was first left without a pick, and since when, seconds.
    unpicked: Option<(Kind, f32)>,
}

#[derive(Clone, Copy, Default)]
struct Open {
    kind: Kind,
    way: Vec2,
    since_s: f32,
    /// The key is down.
    held: bool,
}

impl Ring {
    /// Opens it with a call picked, as if the key were held.
    pub fn hold_on(&mut self, seat: Seat, call: Call) {
        let ring = calls::ring(Kind::Calls, seat);
        let call = Word::Say(call);
        let place = ring.iter().position(|word| *word == call).unwrap_or(0);
        let turn = core::f32::consts::TAU * place as f32 / ring.len() as f32;
        let up = Vec2::from_angle(turn);
        self.open = Some(Open {
            kind: Kind::Calls,
            way: Vec2::new(up.y, -up.x) * STICK_COUNTS,
            since_s: 0.0,
            held: true,
        });
    }

    fn picked(&self, seat: Seat) -> Option<(Kind, Option<Word>)> {
        let open = self.open?;
        Some((open.kind, calls::towards(open.kind, seat, open.way)))
    }
}

/// What keyboard, mouse and pad report.
#[derive(SystemParam)]
pub struct Reports<'w, 's> {
    keys: MessageReader<'w, 's, KeyboardInput>,
    buttons: MessageReader<'w, 's, MouseButtonInput>,
    motion: MessageReader<'w, 's, MouseMotion>,
    wheel: MessageReader<'w, 's, MouseWheel>,
    pads: Query<'w, 's, &'static Gamepad>,
    unplugged: MessageReader<'w, 's, GamepadConnectionEvent>,
    sticks: Local<'s, [f32; 5]>,
    /// What is down now. Without a window nobody keeps it.
    keys_down: Option<Res<'w, ButtonInput<KeyCode>>>,
    buttons_down: Option<Res<'w, ButtonInput<MouseButton>>>,
    was_live: Local<'s, bool>,
}

/// Something that was pressed or let go.
struct Change {
    binding: Binding,
    down: bool,
}

impl Reports<'_, '_> {
    fn changes(&mut self) -> Vec<Change> {
        let mut found: Vec<Change> = self
            .keys
            .read()
            .filter(|k| !k.repeat)
            .map(|k| Change {
                binding: Binding::Key(k.key_code),
                down: k.state == ButtonState::Pressed,
            })
            .collect();
        found.extend(self.buttons.read().map(|b| Change {
            binding: Binding::Mouse(b.button),
            down: b.state == ButtonState::Pressed,
        }));
        for pad in &self.pads {
            found.extend(pad.get_just_released().map(|b| Change {
                binding: Binding::Pad(*b),
                down: false,
            }));
            found.extend(pad.get_just_pressed().map(|b| Change {
                binding: Binding::Pad(*b),
                down: true,
            }));
        }
        found
    }

    fn moved(&mut self) -> Vec2 {
        self.motion.read().map(|m| m.delta).sum()
    }

    fn notches(&mut self) -> f32 {
        let notches = self.wheel.read().map(|w| match w.unit {
            MouseScrollUnit::Line => w.y,
            MouseScrollUnit::Pixel => w.y / NOTCH_COUNTS,
        });
        notches.sum()
    }

    /// Sticks that walk and look, and how far the trigger is drawn.
    fn sticks(&self, keys: &Keymap) -> [f32; 5] {
        let mut found = [0.0; 5];
        for pad in &self.pads {
            let axes = [
                GamepadAxis::LeftStickX,
                GamepadAxis::LeftStickY,
                GamepadAxis::RightStickX,
                GamepadAxis::RightStickY,
            ];
            for (stick, axis) in found.iter_mut().zip(axes) {
                let at = pad.get(axis).unwrap_or(0.0);
                let out = (at.abs() - STICK_DEAD).max(0.0) / (1.0 - STICK_DEAD);
                *stick += out.copysign(at);
            }
            for binding in keys.of(Deed::Squeeze) {
                if let Binding::Pad(button) = binding {
                    found[4] += pad.get(button).unwrap_or(0.0);
                }
            }
        }
        found.map(|at: f32| at.clamp(-1.0, 1.0))
    }

    fn is_down(&self, binding: Binding) -> bool {
        match binding {
            Binding::Key(key) => self.keys_down.as_ref().is_some_and(|k| k.pressed(key)),
            Binding::Mouse(button) => self
                .buttons_down
                .as_ref()
                .is_some_and(|b| b.pressed(button)),
            Binding::Pad(button) => self.pads.iter().any(|pad| pad.pressed(button)),
        }
    }

    /// What is held while an attempt goes on again. A trigger has to be pressed
    /// anew.
    fn held(&self, keys: &Keymap) -> Vec<Deed> {
        let held = |deed: &Deed| keys.of(*deed).any(|b| self.is_down(b));
        let may = Deed::ALL.iter().copied().filter(|deed| deed.may_toggle());
        may.filter(held).collect()
    }

    /// Forgets what came.
    fn forget(&mut self) {
        *self.was_live = false;
        self.keys.clear();
        self.buttons.clear();
        self.motion.clear();
        self.wheel.clear();
        *self.sticks = [0.0; 5];
    }
}

#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
fn gather(
    mut reports: Reports<'_, '_>,
    settings: Res<Settings>,
    screen: Res<State<Screen>>,
    run: Option<Res<State<Run>>>,
    time: Res<Time<Real>>,
    session: Res<Session>,
    stage: Res<Stage>,
    mut hands: ResMut<Hands>,
    mut look: ResMut<Look>,
    mut ring: ResMut<Ring>,
    mut wishes: MessageWriter<Wish>,
) {
    let lost = reports
        .unplugged
        .read()
        .any(|c| c.connection == GamepadConnection::Disconnected);
    let live = **screen == Screen::Yard && run.is_some_and(|run| **run == Run::Live);
    hands.mean(Ways {
        mouse: settings.mouse.clamp(1, 100),
        invert: settings.invert,
        toggles: settings.toggles,
        follows: settings.follows,
    });
    if !live {
        reports.forget();
        ring.open = None;
        *look = Look {
            at: look.at,
            sheet: look.sheet && **screen == Screen::Yard,
            ..Look::default()
        };
        return;
    }
    if !*reports.was_live {
        *reports.was_live = true;
        if !settings.toggles {
            for deed in reports.held(&settings.keys) {
                hands.press(None, Pressed::Down(deed));
            }
        }
    }
    if lost {
        // Whoever held the pad holds nothing now.
        hands.release();
        wishes.write(Wish::Halt(true));
    }
    let seat = stage.own.unwrap_or(Seat::PUMP);
    let now_s = time.elapsed_secs();
    let ringing = ring.open.is_some_and(|open| open.held);
    let was_open = ring.open.map(|open| open.kind);
    let mut picked_one = false;
    for Change { binding, down } in reports.changes() {
        if down
            && let Some(open) = ring.open
            && let Binding::Key(key) = binding
            && let Some(word) = calls::by_key(open.kind, seat, key)
        {
            hands.press(None, Pressed::Picked(word));
            ring.open = None;
            picked_one = true;
            continue;
        }
        for deed in settings.keys.deeds(binding) {
            match (deed, down) {
                (Deed::Menu, true) => {
                    if ring.open.take().is_none() {
                        wishes.write(Wish::Halt(true));
                    }
                }
                (Deed::Sheet, true) => look.sheet = !look.sheet,
                (Deed::Inspect, true) => {
                    let near = look.at.filter(|_| look_m(&look, &stage, seat) <= INSPECT_M);
                    look.inspects = near.map(|at| at.thing);
                }
                (Deed::Inspect, false) => look.inspects = None,
                (Deed::Call | Deed::TagOut, true) => {
                    ring.open = match ring.open {
                        Some(_) => None,
                        None => Some(Open {
                            kind: if deed == Deed::TagOut {
                                Kind::Tags
                            } else {
                                Kind::Calls
                            },
                            way: Vec2::ZERO,
                            since_s: now_s,
                            held: true,
                        }),
                    };
                }
                (Deed::Call | Deed::TagOut, false) => {
                    if let Some(open) = &mut ring.open {
                        let picked = calls::towards(open.kind, seat, open.way);
                        open.held = false;
                        open.since_s = now_s;
                        if let Some(word) = picked {
                            hands.press(None, Pressed::Picked(word));
                            ring.open = None;
                            picked_one = true;
                        }
                    }
                }
                (Deed::Menu | Deed::Sheet, false) => {}
                // These keys turn the pages of the sheet while it lies there.
                (Deed::Lift | Deed::Lower, true) if look.sheet && !is_pad(binding) => {}
                // On the pad the trigger is drawn, not pressed; with a control
                // in the hand it is a button like others.
                (Deed::Squeeze, true) if is_pad(binding) => hands.press(None, Pressed::Clicked),
                (Deed::Squeeze, false) if is_pad(binding) => {}
                (deed, true) => hands.press(None, Pressed::Down(deed)),
                (deed, false) => hands.press(None, Pressed::Up(deed)),
            }
        }
    }
    let moved = reports.moved();
    let sticks = reports.sticks(&settings.keys);
    if ringing {
        if let Some(open) = &mut ring.open {
            open.way = (open.way + moved).clamp_length_max(120.0);
            let stick = Vec2::new(sticks[2], -sticks[3]);
            if stick.length() > 0.5 {
                open.way = stick * STICK_COUNTS;
            }
        }
    } else if moved != Vec2::ZERO {
        hands.press(
            None,
            Pressed::Moved {
                x: moved.x,
                y: moved.y,
            },
        );
    }
    if ring
        .open
        .is_some_and(|open| !open.held && now_s - open.since_s > OPEN_S)
    {
        ring.open = None;
    }
    if let Some(kind) = was_open
        && ring.open.is_none()
        && !picked_one
        && ring.unpicked.is_none()
    {
        ring.unpicked = Some((kind, now_s));
    }
    let unpicked = ring.unpicked;
    look.unpicked = unpicked
        .filter(|(_, since_s)| now_s - since_s < UNPICKED_S)
        .map(|(kind, _)| kind);
    turn_wheel(reports.notches(), &time, session.tick(), &mut hands);
    pass_on(&mut reports.sticks, sticks, ringing, &mut hands);
    look.calling = ring.picked(seat);
}

/// Spreads the notches of a frame over its ticks, so that a quick turn of the
/// wheel is as quick where pictures come slowly.
fn turn_wheel(notches: f32, time: &Time<Real>, tick: Tick, hands: &mut Hands) {
    let whole = notches.trunc();
    if whole.abs() < 2.0 {
        if notches != 0.0 {
            hands.press(None, Pressed::Wheel(notches));
        }
        return;
    }
    let count = whole.abs().min(60.0);
    let span = time.delta_secs().min(0.25) * TICKS_PER_SECOND as f32;
    for n in 0..count as u32 {
        let at = Tick(tick.0 + (n as f32 * span / count) as u32);
        hands.press(Some(at), Pressed::Wheel(whole.signum()));
    }
    let part = notches - whole;
    if part != 0.0 {
        hands.press(None, Pressed::Wheel(part));
    }
}

/// Passes on sticks that have moved.
fn pass_on(was: &mut [f32; 5], mut now: [f32; 5], ringing: bool, hands: &mut Hands) {
    if ringing {
        (now[2], now[3]) = (0.0, 0.0);
    }
    if now[..2] != was[..2] {
        let (x, y) = (now[0], now[1]);
        hands.press(None, Pressed::Strides { x, y });
    }
    if now[2..4] != was[2..4] {
        let (x, y) = (now[2], now[3]);
        hands.press(None, Pressed::Leans { x, y });
    }
    if now[4] != was[4] {
        hands.press(None, Pressed::Drawn(now[4]));
    }
    *was = now;
}

fn is_pad(binding: Binding) -> bool {
    matches!(binding, Binding::Pad(_))
}

/// How far what is looked at is from the eyes.
fn look_m(look: &Look, stage: &Stage, seat: Seat) -> f32 {
    let eyes = stage.show.as_ref().and_then(|show| show.person(seat));
    match (look.at, eyes) {
        (Some(at), Some((_, me))) => crate::stage::point(me.eyes).distance(at.at),
        _ => GLANCE_M,
    }
}

/// The pointer belongs to the yard while one works in it, and to the screens at
/// all other times.
fn hold_pointer(
    screen: Res<State<Screen>>,
    run: Option<Res<State<Run>>>,
    mut windows: Query<&mut CursorOptions, With<PrimaryWindow>>,
) {
    let live = **screen == Screen::Yard && run.is_some_and(|run| **run == Run::Live);
    let wanted = if live {
        CursorGrabMode::Locked
    } else {
        CursorGrabMode::None
    };
    for mut cursor in &mut windows {
        if cursor.grab_mode != wanted || cursor.visible == live {
            cursor.grab_mode = wanted;
            cursor.visible = !live;
        }
    }
}

/// Sets up what gathers presses.
pub fn plugin(app: &mut App) {
    app.init_resource::<Ring>()
        .add_message::<KeyboardInput>()
        .add_message::<MouseButtonInput>()
        .add_message::<MouseMotion>()
        .add_message::<MouseWheel>()
        .add_message::<GamepadConnectionEvent>()
        .add_systems(Update, (gather, hold_pointer).in_set(FrameSystems::Gather));
}
