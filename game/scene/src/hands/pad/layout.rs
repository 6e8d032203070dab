//! What the buttons and axes of a device are on a pad.

use super::Report;
use bevy::input::gamepad::{GamepadAxis, GamepadButton};
use evdev::{AbsoluteAxisCode, KeyCode};

/// Devices of this vendor report the left and the upper button by the letters on
/// them, which stand for the other one.
const LETTERED_VENDOR: u16 = 0x045e;

/// How one device is laid out.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// Axes that it has, with their least and greatest values.
    pub axes: Vec<(AbsoluteAxisCode, (i32, i32))>,
    /// Its vendor.
    pub vendor: u16,
}

impl Layout {
    fn range(&self, code: AbsoluteAxisCode) -> Option<(i32, i32)> {
        let found = self.axes.iter().find(|(c, _)| *c == code);
        found.map(|(_, range)| *range)
    }

    /// Whether the triggers are drawn, and not only pressed.
    fn draws(&self) -> bool {
        self.range(AbsoluteAxisCode::ABS_RX).is_some()
            && self.range(AbsoluteAxisCode::ABS_RZ).is_some()
    }

    /// A button of the device that was pressed or let go.
    pub fn button(&self, pad: u32, code: KeyCode, value: i32) -> Option<Report> {
        let lettered = self.vendor == LETTERED_VENDOR;
        let button = match code {
            KeyCode::BTN_SOUTH => GamepadButton::South,
            KeyCode::BTN_EAST => GamepadButton::East,
            KeyCode::BTN_NORTH if lettered => GamepadButton::West,
            KeyCode::BTN_WEST if lettered => GamepadButton::North,
            KeyCode::BTN_NORTH => GamepadButton::North,
            KeyCode::BTN_WEST => GamepadButton::West,
            KeyCode::BTN_TL => GamepadButton::LeftTrigger,
            KeyCode::BTN_TR => GamepadButton::RightTrigger,
            KeyCode::BTN_TL2 if !self.draws() => GamepadButton::LeftTrigger2,
            KeyCode::BTN_TR2 if !self.draws() => GamepadButton::RightTrigger2,
            KeyCode::BTN_SELECT => GamepadButton::Select,
            KeyCode::BTN_START => GamepadButton::Start,
            KeyCode::BTN_MODE => GamepadButton::Mode,
            KeyCode::BTN_THUMBL => GamepadButton::LeftThumb,
            KeyCode::BTN_THUMBR => GamepadButton::RightThumb,
            KeyCode::BTN_DPAD_UP => GamepadButton::DPadUp,
            KeyCode::BTN_DPAD_DOWN => GamepadButton::DPadDown,
            KeyCode::BTN_DPAD_LEFT => GamepadButton::DPadLeft,
            KeyCode::BTN_DPAD_RIGHT => GamepadButton::DPadRight,
            _ => return None,
        };
        let value = f32::from(u8::from(value != 0));
        Some(Report::Button { pad, button, value })
    }

    /// An axis of the device that has moved: a stick, a trigger or a cross.
    pub fn axis(&self, pad: u32, code: AbsoluteAxisCode, value: i32) -> Vec<Report> {
        use AbsoluteAxisCode as Code;
        let Some((least, most)) = self.range(code).filter(|(least, most)| least < most) else {
            return Vec::new();
        };
        let share = (f64::from(value) - f64::from(least)) / (f64::from(most) - f64::from(least));
        let share = share.clamp(0.0, 1.0) as f32;
        let stick = |axis, turned: bool| {
            let value = 2.0 * share - 1.0;
            // Devices count down as positive.
            let value = if turned { -value } else { value };
            vec![Report::Axis { pad, axis, value }]
        };
        let trigger = |button| {
            vec![Report::Button {
                pad,
                button,
                value: share,
            }]
        };
        let cross = |less, more| {
            let at = value.signum();
            [(less, -1), (more, 1)]
                .map(|(button, side)| Report::Button {
                    pad,
                    button,
                    value: f32::from(u8::from(at == side)),
                })
                .to_vec()
        };
        match code {
            Code::ABS_X => stick(GamepadAxis::LeftStickX, false),
            Code::ABS_Y => stick(GamepadAxis::LeftStickY, true),
            Code::ABS_RX => stick(GamepadAxis::RightStickX, false),
            Code::ABS_RY => stick(GamepadAxis::RightStickY, true),
            Code::ABS_Z if self.draws() => trigger(GamepadButton::LeftTrigger2),
            Code::ABS_RZ if self.draws() => trigger(GamepadButton::RightTrigger2),
            // Without axes of its own the right stick is on these.
            Code::ABS_Z => stick(GamepadAxis::RightStickX, false),
            Code::ABS_RZ => stick(GamepadAxis::RightStickY, true),
            Code::ABS_HAT0X => cross(GamepadButton::DPadLeft, GamepadButton::DPadRight),
            Code::ABS_HAT0Y => cross(GamepadButton::DPadUp, GamepadButton::DPadDown),
            _ => Vec::new(),
        }
    }
}
