//! Fingers: what a pilot wants done becomes keys, mouse and wheel, as a person
//! would press them.

use bevy::input::ButtonState;
use bevy::input::keyboard::{Key, KeyboardInput};
use bevy::input::mouse::{MouseButtonInput, MouseMotion, MouseScrollUnit, MouseWheel};
use bevy::prelude::*;
use crew::{Act, Input, Stance};
use scene::hands::calls::{self, Kind};
use scene::hands::gaze::{UNIT_RAD, angles, holds, less_turns};
use scene::hands::{Hands, keymap::Deed};
use scene::settings::Settings;
use scene::stage::{Show, point};
use scene::things::{self, Thing};
use std::collections::BTreeSet;
use training::Level;
use yard::ViewFrame;
use yard::view::PersonView;

/// Speeds that keys can make, metres per second, and the keys for each.
const PACES: [(f32, &[Deed]); 3] = [(1.2, &[]), (0.45, &[Deed::Slowly]), (1.8, &[Deed::Hurry])];

/// A turn that a key makes in a tick, units.
const TURN_UNITS: i32 = 150;

/// A movement of the hands that a key makes in a tick, millimetres.
const HAND_MM: i32 = 3;
/// For so many ticks it makes one millimetre in each.
const HAND_BEGINS: u32 = 24;

/// Something that takes several ticks to do with keys.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Chore {
    /// Look at a thing and press the key that takes; keep it down where that
    /// holds.
    Take(Thing, bool),
    /// Walk up to the board, look at it, and hold the key.
    HandBack,
}

/// The fingers of a pilot.
#[derive(Default)]
pub struct Fingers {
    down: BTreeSet<Deed>,
    /// Keys that stay down until the pilot wants otherwise.
    held: BTreeSet<Deed>,
    walk: Vec2,
    /// What the feet owe of the walk, in the frame of the look.
    owed: Vec2,
    turn: i32,
    reach: [i32; 2],
    /// For how many ticks the keys of that have been down.
    moving: [u32; 2],
    staggered: bool,
    chore: Option<Chore>,
    chore_ticks: u32,
}

/// What the fingers do in a tick.
#[derive(Default)]
pub struct Strokes {
    keys: BTreeSet<Deed>,
    /// Counts of the mouse.
    mouse: Vec2,
    wheel: f32,
    /// The key that opens a ring, and the one that picks from it.
    typed: Option<[KeyCode; 2]>,
}

fn me<'a>(frame: &'a ViewFrame, level: &Level) -> &'a PersonView {
    frame
        .people
        .iter()
        .find(|p| p.seat == level.post)
        .expect("the trainee is in the yard")
}

impl Fingers {
    /// Takes in what the pilot does in this tick and presses what does it.
    pub fn press(&mut self, acts: &[Input], show: &Show, hands: &Hands) -> Strokes {
        let (level, frame) = (&show.loaded.level, &show.now);
        let me = me(frame, level);
        let mut strokes = Strokes::default();
        for input in acts {
            self.take_in(input.act, me, frame, &mut strokes);
        }
        let tool = holds(frame, me.seat);
        self.work_on(level, frame, me, hands, tool, &mut strokes);
        self.feet(me, hands, tool, &mut strokes);
        // Turns of the body go by the keys, tick by tick.
        if self.turn.abs() >= TURN_UNITS {
            let left = self.turn > 0;
            self.turn -= TURN_UNITS * self.turn.signum();
            strokes.keys.insert(if left {
                Deed::TurnLeft
            } else {
                Deed::TurnRight
            });
        }
        for (n, (more, less)) in [(Deed::Reach, Deed::DrawIn), (Deed::Lift, Deed::Lower)]
            .into_iter()
            .enumerate()
        {
            // A move begins slowly.
            let step = if self.moving[n] < HAND_BEGINS {
                1
            } else {
                HAND_MM
            };
            // The shortest press does five of them.
            let least = if self.moving[n] == 0 { 5 } else { step };
            if self.reach[n].abs() >= least {
                strokes
                    .keys
                    .insert(if self.reach[n] > 0 { more } else { less });
                self.reach[n] -= step * self.reach[n].signum();
                self.moving[n] += 1;
            } else {
                self.moving[n] = 0;
            }
        }
        // Both ways at once is neither.
        strokes.keys.extend(self.held.iter().copied());
        strokes
    }

    fn take_in(&mut self, act: Act, me: &PersonView, frame: &ViewFrame, strokes: &mut Strokes) {
        match act {
            Act::Walk {
                forward_cm_s,
                right_cm_s,
            } => {
                self.walk = Vec2::new(f32::from(right_cm_s), f32::from(forward_cm_s)) / 100.0;
                if self.walk == Vec2::ZERO {
                    self.owed = Vec2::ZERO;
                }
            }
            Act::Aim { yaw, pitch } if holds(frame, me.seat) => {
                strokes.mouse += Vec2::new(-f32::from(yaw), -f32::from(pitch));
            }
            Act::Aim { yaw, pitch } => {
                self.turn += i32::from(yaw);
                strokes.mouse.y -= f32::from(pitch);
            }
            Act::Turn { yaw } => self.turn += i32::from(yaw),
            Act::Reach { mm } => self.reach[0] += i32::from(mm),
            Act::Lift { mm } => self.reach[1] += i32::from(mm),
            Act::Stand(stance) => {
                set(&mut self.held, Deed::Wide, stance == Stance::Wide);
                if (stance == Stance::Staggered) != self.staggered {
                    self.staggered = !self.staggered;
                    strokes.keys.insert(Deed::Staggered);
                }
            }
            Act::Brace(on) => set(&mut self.held, Deed::Brace, on),
            Act::Squeeze { permille } => set(&mut self.held, Deed::Squeeze, permille > 0),
            Act::SafetyCatch(on) if on != frame.tool.catch_on => {
                strokes.keys.insert(Deed::Catch);
            }
            Act::Take(control) => self.begin(Chore::Take(Thing::Control(control), true)),
            Act::TakeHose => self.begin(Chore::Take(Thing::Hose, true)),
            Act::TakeUp => self.begin(Chore::Take(Thing::Lance, false)),
            Act::LayDown => self.begin(Chore::Take(Thing::Stand, false)),
            Act::Choose { nozzle } => self.begin(Chore::Take(Thing::Nozzle(nozzle), false)),
            Act::Wear { item, .. } => self.begin(Chore::Take(Thing::Ppe(item), false)),
            Act::Begin(crew::Task::GaugeBore) => {
                self.begin(Chore::Take(Thing::BoreGauge, false));
            }
            Act::Begin(_) => self.begin(Chore::Take(Thing::LanceEnd, false)),
            Act::HandBack => self.begin(Chore::HandBack),
            Act::LetGo => {
                self.chore = None;
                self.held.remove(&Deed::Take);
                self.held.remove(&Deed::Slowly);
            }
            Act::Twist { detents } => {
                // Slowly, so that a notch is a detent.
                self.held.insert(Deed::Slowly);
                strokes.wheel += f32::from(detents);
            }
            Act::Push { on } => strokes.wheel += if on { 1.0 } else { -1.0 },
            Act::Say(_) | Act::TagOut(_) => {
                let (kind, opens) = match act {
                    Act::TagOut(_) => (Kind::Tags, KeyCode::KeyT),
                    _ => (Kind::Calls, KeyCode::KeyR),
                };
                let place = calls::ring(kind, me.seat)
                    .iter()
                    .position(|word| word.act() == act)
                    .expect("it is on the ring");
                strokes.typed = Some([opens, calls::KEYS[place]]);
            }
            other => panic!("no key does {other:?}"),
        }
    }

    fn begin(&mut self, chore: Chore) {
        if self.chore != Some(chore) {
            self.chore = Some(chore);
            self.chore_ticks = 0;
        }
    }

    /// Goes on with what takes several ticks.
    fn work_on(
        &mut self,
        level: &Level,
        frame: &ViewFrame,
        me: &PersonView,
        hands: &Hands,
        tool: bool,
        strokes: &mut Strokes,
    ) {
        let Some(chore) = self.chore else { return };
        self.chore_ticks += 1;
        let (thing, stays) = match chore {
            Chore::Take(thing, stays) => (thing, stays),
            Chore::HandBack => (Thing::JobBoard, true),
        };
        let placed = things::things(level, frame, me.seat);
        let Some(placed) = placed.iter().find(|p| p.thing == thing) else {
            // It is in the hand already, or put away.
            self.chore = None;
            return;
        };
        if chore == Chore::HandBack {
            let feet = 0.5 * (point(me.feet[0]) + point(me.feet[1]));
            let way = placed.at - feet;
            let far = Vec2::new(way.x, way.z).length();
            if far > 1.3 {
                let off = less_turns(angles(way).0 - me.yaw_rad as f32);
                // Ahead is up in the frame of the walk, right is right.
                self.walk = Vec2::from_angle(off).rotate(Vec2::Y) * 0.9;
                return;
            }
            self.walk = Vec2::ZERO;
        }
        // The head first; the key once the look is there.
        let eye = hands.gaze().eye(me, frame);
        let (yaw, pitch) = angles(placed.at - eye.at);
        let off = Vec2::new(less_turns(yaw - eye.yaw), pitch - eye.pitch);
        if tool {
            strokes.keys.insert(Deed::LookRound);
        }
        if off.length() > 2e-3 && !(stays && self.held.contains(&Deed::Take)) {
            strokes.mouse += Vec2::new(-off.x, -off.y) / UNIT_RAD;
            if tool && off.x.abs() > 0.1 && self.chore_ticks > 3 {
                // The head turns no further: the body has to.
                let left = off.x > 0.0;
                strokes.keys.insert(if left {
                    Deed::TurnLeft
                } else {
                    Deed::TurnRight
                });
            }
            if self.chore_ticks < 240 {
                return;
            }
        }
        if stays {
            self.held.insert(Deed::Take);
            if matches!(chore, Chore::Take(..)) {
                self.chore = None;
            }
        } else {
            strokes.keys.insert(Deed::Take);
            self.chore = None;
        }
    }

    fn feet(&mut self, me: &PersonView, hands: &Hands, tool: bool, strokes: &mut Strokes) {
        if self.walk == Vec2::ZERO {
            return;
        }
        let body = me.yaw_rad as f32;
        let ahead = if tool {
            hands.arm_yaw_rad()
        } else {
            // Who walks looks where the body faces.
            let (look, turning) = (hands.gaze().ahead_rad(me), me.turning_rad as f32);
            let off = less_turns(body + turning - look);
            if self.chore.is_none() {
                strokes.mouse.x -= off / UNIT_RAD;
                0.0
            } else {
                less_turns(look - body)
            }
        };
        // From the body's frame into the look's.
        let wanted = Vec2::from_angle(-ahead).rotate(self.walk);
        self.owed += wanted;
        let mut best = (self.owed.length(), Vec2::ZERO, Vec::new());
        for x in [-1_i8, 0, 1] {
            for y in [-1_i8, 0, 1] {
                let way = Vec2::new(f32::from(x), f32::from(y)).clamp_length_max(1.0);
                if way == Vec2::ZERO {
                    continue;
                }
                for (pace, with) in PACES {
                    if pace > 1.3 && way.y <= 0.5 {
                        continue;
                    }
                    let share = if way.y > 0.1 { 1.0 } else { 0.7 };
                    let made = way * pace * share;
                    let left = (self.owed - made).length();
                    if left < best.0 - 1e-4 {
                        let mut keys = with.to_vec();
                        keys.extend((x != 0).then(|| side(x, Deed::Right, Deed::Left)));
                        keys.extend((y != 0).then(|| side(y, Deed::Ahead, Deed::Back)));
                        best = (left, made, keys);
                    }
                }
            }
        }
        self.owed = (self.owed - best.1).clamp_length_max(3.0);
        strokes.keys.extend(best.2);
    }

    /// Writes the strokes as the window would.
    pub fn write(&mut self, strokes: Strokes, world: &mut World) {
        let keys = world.resource::<Settings>().keys.clone();
        let window = Entity::PLACEHOLDER;
        let changes: Vec<(Deed, bool)> = self
            .down
            .difference(&strokes.keys)
            .map(|d| (*d, false))
            .chain(strokes.keys.difference(&self.down).map(|d| (*d, true)))
            .collect();
        if strokes.mouse != Vec2::ZERO {
            world.write_message(MouseMotion {
                delta: strokes.mouse,
            });
        }
        for (deed, down) in changes {
            use scene::hands::keymap::Binding;
            match keys.of(deed).next().expect("it is bound") {
                Binding::Key(key) => {
                    world.write_message(key_message(key, down, window));
                }
                Binding::Mouse(button) => {
                    let state = if down {
                        ButtonState::Pressed
                    } else {
                        ButtonState::Released
                    };
                    world.write_message(MouseButtonInput {
                        button,
                        state,
                        window,
                    });
                }
                Binding::Pad(_) => panic!("the first binding is a key or a button"),
            }
        }
        if strokes.wheel != 0.0 {
            world.write_message(MouseWheel {
                unit: MouseScrollUnit::Line,
                x: 0.0,
                y: strokes.wheel,
                window,
                phase: bevy::input::touch::TouchPhase::Moved,
            });
        }
        if let Some([ring, word]) = strokes.typed {
            for (key, down) in [(ring, true), (ring, false), (word, true), (word, false)] {
                world.write_message(key_message(key, down, window));
            }
        }
        self.down = strokes.keys;
    }
}

fn side(n: i8, more: Deed, less: Deed) -> Deed {
    if n > 0 { more } else { less }
}

fn set(keys: &mut BTreeSet<Deed>, deed: Deed, on: bool) {
    if on {
        keys.insert(deed);
    } else {
        keys.remove(&deed);
    }
}

/// A key as the window reports it.
fn key_message(key_code: KeyCode, down: bool, window: Entity) -> KeyboardInput {
    KeyboardInput {
        key_code,
        logical_key: Key::Unidentified(bevy::input::keyboard::NativeKey::Unidentified),
        state: if down {
            ButtonState::Pressed
        } else {
            ButtonState::Released
        },
        text: None,
        repeat: false,
        window,
    }
}
