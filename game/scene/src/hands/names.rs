//! How deeds, keys and things are named.

use super::keymap::{Binding, Deed, Keymap};
use crate::things::Thing;
use bevy::input::gamepad::GamepadButton;
use bevy::input::keyboard::KeyCode;
use bevy::input::mouse::MouseButton;
use training::Level;
use training::text::{language, number, say};

/// A deed, in words.
pub fn deed(deed: Deed) -> String {
    say(&format!("hands-deed-{}", deed.id()), &[])
}

/// A key or a button, in words.
pub fn binding(binding: Binding) -> String {
    match binding {
        Binding::Key(key) => self::key(key),
        Binding::Mouse(button) => mouse(button),
        Binding::Pad(button) => pad(button),
    }
}

/// What does a deed, in words: the first key that is bound to it.
pub fn bound(keys: &Keymap, deed: Deed) -> String {
    match keys.of(deed).next() {
        Some(first) => binding(first),
        None => say("hands-unbound", &[]),
    }
}

/// A key, in words.
pub fn key(key: KeyCode) -> String {
    let id = match key {
        KeyCode::ArrowLeft => "hands-key-left",
        KeyCode::ArrowRight => "hands-key-right",
        KeyCode::ArrowUp => "hands-key-up",
        KeyCode::ArrowDown => "hands-key-down",
        KeyCode::PageUp => "hands-key-page_up",
        KeyCode::PageDown => "hands-key-page_down",
        KeyCode::ShiftLeft => "hands-key-shift_left",
        KeyCode::ShiftRight => "hands-key-shift_right",
        KeyCode::ControlLeft => "hands-key-control_left",
        KeyCode::ControlRight => "hands-key-control_right",
        KeyCode::AltLeft => "hands-key-alt_left",
        KeyCode::AltRight => "hands-key-alt_right",
        KeyCode::Space => "hands-key-space",
        KeyCode::Tab => "hands-key-tab",
        KeyCode::Escape => "hands-key-escape",
        KeyCode::Enter => "hands-key-enter",
        KeyCode::Backspace => "hands-key-backspace",
        KeyCode::Minus => "hands-key-minus",
        KeyCode::Equal => "hands-key-equal",
        KeyCode::BracketLeft => "hands-key-bracket_left",
        KeyCode::BracketRight => "hands-key-bracket_right",
        other => {
            // Letters and figures are their own names.
            let name = format!("{other:?}");
            let bare = name.strip_prefix("Key").or(name.strip_prefix("Digit"));
            return bare.unwrap_or(&name).to_owned();
        }
    };
    say(id, &[])
}

fn mouse(button: MouseButton) -> String {
    match button {
        MouseButton::Left => say("hands-mouse-left", &[]),
        MouseButton::Right => say("hands-mouse-right", &[]),
        MouseButton::Middle => say("hands-mouse-middle", &[]),
        MouseButton::Back => say("hands-mouse-back", &[]),
        MouseButton::Forward => say("hands-mouse-forward", &[]),
        MouseButton::Other(n) => say("hands-mouse-other", &[("n", &number(f64::from(n), 0))]),
    }
}

fn pad(button: GamepadButton) -> String {
    let id = match button {
        GamepadButton::South => "hands-pad-south",
        GamepadButton::East => "hands-pad-east",
        GamepadButton::North => "hands-pad-north",
        GamepadButton::West => "hands-pad-west",
        GamepadButton::LeftTrigger => "hands-pad-left_bumper",
        GamepadButton::RightTrigger => "hands-pad-right_bumper",
        GamepadButton::LeftTrigger2 => "hands-pad-left_trigger",
        GamepadButton::RightTrigger2 => "hands-pad-right_trigger",
        GamepadButton::LeftThumb => "hands-pad-left_stick",
        GamepadButton::RightThumb => "hands-pad-right_stick",
        GamepadButton::DPadUp => "hands-pad-cross_up",
        GamepadButton::DPadDown => "hands-pad-cross_down",
        GamepadButton::DPadLeft => "hands-pad-cross_left",
        GamepadButton::DPadRight => "hands-pad-cross_right",
        GamepadButton::Select => "hands-pad-select",
        GamepadButton::Start => "hands-pad-start",
        _ => "hands-pad-other",
    };
    say(id, &[])
}

/// A thing, in words.
pub fn thing(thing: Thing, level: &Level) -> String {
    match thing {
        Thing::Control(control) => say(&format!("calls-control-{}", control.id()), &[]),
        Thing::Lance => say("hands-thing-lance", &[]),
        Thing::Stand => say("hands-thing-stand", &[]),
        Thing::Nozzle(n) => match level.equipment.nozzles.get(usize::from(n)) {
            Some(nozzle) => say(
                "hands-thing-nozzle",
                &[("title", &nozzle.title.get(language().tag()))],
            ),
            None => say("hands-thing-end", &[]),
        },
        Thing::BoreGauge => say("hands-thing-gauge", &[]),
        Thing::LanceEnd => say("hands-thing-end", &[]),
        Thing::Ppe(item) => say(&format!("hands-ppe-{}", item.id()), &[]),
        Thing::Hose => say("hands-thing-hose", &[]),
        Thing::JobBoard => say("hands-thing-board", &[]),
        Thing::Dials => say("hands-thing-dials", &[]),
        Thing::LineGauge => say("hands-thing-line_gauge", &[]),
    }
}
