//! Screens with the pad alone: the cross and the left stick move what the
//! keyboard would move, the lower button presses, the right one goes back.

use crate::flow::{Run, Screen};
use crate::sitting::Notice;
use bevy::input::gamepad::{Gamepad, GamepadAxis, GamepadButton};
use bevy::prelude::*;
use bevy::time::Real;
use bevy_egui::egui::{Event, Key, Modifiers};
use bevy_egui::input::EguiInputEvent;
use bevy_egui::{EguiInputSet, PrimaryEguiContext};

/// How far the stick is pushed out to count.
const OUT: f32 = 0.6;
/// Time until a held stick counts again, at first and then, seconds.
const AGAIN_S: [f32; 2] = [0.4, 0.15];

/// The stick as it was, and how long until it counts again.
#[derive(Default)]
struct Held {
    way: Option<Key>,
    left_s: f32,
}

/// The key that a button stands for on a screen.
fn key(button: GamepadButton) -> Option<(Key, Modifiers)> {
    let plain = |key| Some((key, Modifiers::NONE));
    match button {
        GamepadButton::DPadUp => plain(Key::ArrowUp),
        GamepadButton::DPadDown => plain(Key::ArrowDown),
        GamepadButton::DPadLeft => plain(Key::ArrowLeft),
        GamepadButton::DPadRight => plain(Key::ArrowRight),
        GamepadButton::South => plain(Key::Enter),
        GamepadButton::East | GamepadButton::Start => plain(Key::Escape),
        GamepadButton::RightTrigger => plain(Key::Tab),
        GamepadButton::LeftTrigger => Some((Key::Tab, Modifiers::SHIFT)),
        GamepadButton::LeftTrigger2 => plain(Key::PageUp),
        GamepadButton::RightTrigger2 => plain(Key::PageDown),
        _ => None,
    }
}

/// The way that a stick points, if it is pushed out.
fn way(x: f32, y: f32) -> Option<Key> {
    if x.abs().max(y.abs()) < OUT {
        None
    } else if x.abs() > y.abs() {
        Some(if x > 0.0 {
            Key::ArrowRight
        } else {
            Key::ArrowLeft
        })
    } else {
        Some(if y > 0.0 {
            Key::ArrowUp
        } else {
            Key::ArrowDown
        })
    }
}

#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
fn pass_on(
    pads: Query<&Gamepad>,
    contexts: Query<Entity, With<PrimaryEguiContext>>,
    screen: Res<State<Screen>>,
    run: Option<Res<State<Run>>>,
    notice: Res<Notice>,
    time: Res<Time<Real>>,
    mut held: Local<Held>,
    mut events: MessageWriter<EguiInputEvent>,
) {
    let live = **screen == Screen::Yard && run.is_some_and(|run| **run == Run::Live);
    let Ok(context) = contexts.single() else {
        return;
    };
    if live && notice.0.is_none() {
        *held = Held::default();
        return;
    }
    let mut send = |key, modifiers, pressed| {
        let event = Event::Key {
            key,
            physical_key: None,
            pressed,
            repeat: false,
            modifiers,
        };
        events.write(EguiInputEvent { context, event });
    };
    let (mut x, mut y) = (0.0, 0.0);
    for pad in &pads {
        for (key, modifiers) in pad.get_just_pressed().filter_map(|b| key(*b)) {
            send(key, modifiers, true);
        }
        for (key, modifiers) in pad.get_just_released().filter_map(|b| key(*b)) {
            send(key, modifiers, false);
        }
        x += pad.get(GamepadAxis::LeftStickX).unwrap_or(0.0);
        y += pad.get(GamepadAxis::LeftStickY).unwrap_or(0.0);
    }
    let now = way(x, y);
    held.left_s -= time.delta_secs();
    let fresh = now != held.way;
    if let Some(key) = now
        && (fresh || held.left_s <= 0.0)
    {
        send(key, Modifiers::NONE, true);
        send(key, Modifiers::NONE, false);
        held.left_s = AGAIN_S[usize::from(!fresh)];
    }
    held.way = now;
}

/// Sets up the pad on screens.
pub(super) fn plugin(app: &mut App) {
    app.add_systems(
        PreUpdate,
        pass_on
            .after(EguiInputSet::ReadBevyMessages)
            .before(EguiInputSet::WriteEguiEvents),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stick_points_where_it_is_pushed_furthest() {
        assert_eq!(way(0.0, 0.0), None);
        assert_eq!(way(0.5, -0.5), None);
        assert_eq!(way(0.9, 0.3), Some(Key::ArrowRight));
        assert_eq!(way(-0.9, 0.3), Some(Key::ArrowLeft));
        assert_eq!(way(0.1, 0.8), Some(Key::ArrowUp));
        assert_eq!(way(0.1, -0.8), Some(Key::ArrowDown));
    }

    #[test]
    fn every_screen_can_be_left_and_pressed_with_the_pad() {
        let keys: Vec<Key> = [GamepadButton::South, GamepadButton::East]
            .into_iter()
            .filter_map(key)
            .map(|(key, _)| key)
            .collect();
        assert_eq!(keys, [Key::Enter, Key::Escape]);
        assert_eq!(key(GamepadButton::North), None);
    }
}
