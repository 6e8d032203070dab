//! What is bound to what.

use bevy::prelude::*;
use serde::{Deserialize, Serialize};

/// Something that a key, a button or a stick does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Deed {
    /// Walk ahead.
    Ahead,
    /// Walk back.
    Back,
    /// Walk to the left.
    Left,
    /// Walk to the right.
    Right,
    /// Turn the body to the left.
    TurnLeft,
    /// Turn the body to the right.
    TurnRight,
    /// Walk quickly.
    Hurry,
    /// Walk slowly.
    Slowly,
    /// Feet wide apart.
    Wide,
    /// One foot ahead of the other.
    Staggered,
    /// Knees bent low.
    Crouch,
    /// Brace the tool to the shoulder.
    Brace,
    /// The trigger.
    Squeeze,
    /// The safety catch.
    Catch,
    /// Hands ahead.
    Reach,
    /// Hands back.
    DrawIn,
    /// Hands up.
    Lift,
    /// Hands down.
    Lower,
    /// Take, hold, open: what is looked at.
    Take,
    /// Look at it closely.
    Inspect,
    /// Look round without moving the aim.
    LookRound,
    /// Call to the crew.
    Call,
    /// Hang a tag on a part that is out of order.
    TagOut,
    /// Reach for the emergency stop.
    Stop,
    /// Open the job sheet.
    Sheet,
    /// Open the menu.
    Menu,
}

impl Deed {
    /// All deeds, in the order in which settings show them.
    pub const ALL: [Deed; 26] = [
        Deed::Ahead,
        Deed::Back,
        Deed::Left,
        Deed::Right,
        Deed::TurnLeft,
        Deed::TurnRight,
        Deed::Hurry,
        Deed::Slowly,
        Deed::Wide,
        Deed::Staggered,
        Deed::Crouch,
        Deed::Brace,
        Deed::Squeeze,
        Deed::Catch,
        Deed::Reach,
        Deed::DrawIn,
        Deed::Lift,
        Deed::Lower,
        Deed::Take,
        Deed::Inspect,
        Deed::LookRound,
        Deed::Call,
        Deed::TagOut,
        Deed::Stop,
        Deed::Sheet,
        Deed::Menu,
    ];

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Deed::Ahead => "ahead",
            Deed::Back => "back",
            Deed::Left => "left",
            Deed::Right => "right",
            Deed::TurnLeft => "turn_left",
            Deed::TurnRight => "turn_right",
            Deed::Hurry => "hurry",
            Deed::Slowly => "slowly",
            Deed::Wide => "wide",
            Deed::Staggered => "staggered",
            Deed::Crouch => "crouch",
            Deed::Brace => "brace",
            Deed::Squeeze => "squeeze",
            Deed::Catch => "catch",
            Deed::Reach => "reach",
            Deed::DrawIn => "draw_in",
            Deed::Lift => "lift",
            Deed::Lower => "lower",
            Deed::Take => "take",
            Deed::Inspect => "inspect",
            Deed::LookRound => "look_round",
            Deed::Call => "call",
            Deed::TagOut => "tag_out",
            Deed::Stop => "stop",
            Deed::Sheet => "sheet",
            Deed::Menu => "menu",
        }
    }

    /// Whether holding may become pressing once. A trigger that stays by
    /// itself is a tied trigger, so it never may.
    pub fn may_toggle(self) -> bool {
        matches!(
            self,
            Deed::Hurry | Deed::Slowly | Deed::Wide | Deed::Crouch | Deed::Brace | Deed::LookRound
        )
    }
}

/// A key or a button.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Binding {
    /// A key of the keyboard.
    Key(KeyCode),
    /// A button of the mouse.
    Mouse(MouseButton),
    /// A button of the pad.
    Pad(GamepadButton),
}

/// What is bound to what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Keymap(pub Vec<(Deed, Binding)>);

impl Default for Keymap {
    fn default() -> Self {
        use Binding::{Key, Mouse, Pad};
        Keymap(vec![
            (Deed::Ahead, Key(KeyCode::KeyW)),
            (Deed::Back, Key(KeyCode::KeyS)),
            (Deed::Left, Key(KeyCode::KeyA)),
            (Deed::Right, Key(KeyCode::KeyD)),
            (Deed::TurnLeft, Key(KeyCode::ArrowLeft)),
            (Deed::TurnRight, Key(KeyCode::ArrowRight)),
            (Deed::Hurry, Key(KeyCode::ShiftLeft)),
            (Deed::Hurry, Pad(GamepadButton::LeftThumb)),
            (Deed::Slowly, Key(KeyCode::AltLeft)),
            (Deed::Wide, Key(KeyCode::ControlLeft)),
            (Deed::Wide, Pad(GamepadButton::RightTrigger)),
            (Deed::Staggered, Key(KeyCode::KeyV)),
            (Deed::Staggered, Pad(GamepadButton::DPadRight)),
            (Deed::Crouch, Key(KeyCode::KeyB)),
            (Deed::Crouch, Pad(GamepadButton::RightThumb)),
            (Deed::Brace, Mouse(MouseButton::Right)),
            (Deed::Brace, Pad(GamepadButton::LeftTrigger2)),
            (Deed::Squeeze, Mouse(MouseButton::Left)),
            (Deed::Squeeze, Pad(GamepadButton::RightTrigger2)),
            (Deed::Catch, Key(KeyCode::KeyC)),
            (Deed::Catch, Pad(GamepadButton::DPadLeft)),
            (Deed::Reach, Key(KeyCode::ArrowUp)),
            (Deed::DrawIn, Key(KeyCode::ArrowDown)),
            (Deed::Lift, Key(KeyCode::PageUp)),
            (Deed::Lower, Key(KeyCode::PageDown)),
            // On the pad, feet do what reaching does.
            (Deed::Lift, Pad(GamepadButton::DPadUp)),
            (Deed::Lower, Pad(GamepadButton::DPadDown)),
            (Deed::Take, Key(KeyCode::KeyE)),
            (Deed::Take, Pad(GamepadButton::South)),
            (Deed::Inspect, Key(KeyCode::KeyF)),
            (Deed::Inspect, Pad(GamepadButton::West)),
            (Deed::LookRound, Key(KeyCode::Space)),
            (Deed::LookRound, Pad(GamepadButton::LeftTrigger)),
            (Deed::Call, Key(KeyCode::KeyR)),
            (Deed::Call, Pad(GamepadButton::North)),
            (Deed::TagOut, Key(KeyCode::KeyT)),
            (Deed::Stop, Key(KeyCode::KeyX)),
            (Deed::Stop, Pad(GamepadButton::East)),
            (Deed::Sheet, Key(KeyCode::Tab)),
            (Deed::Sheet, Pad(GamepadButton::Select)),
            (Deed::Menu, Key(KeyCode::Escape)),
            (Deed::Menu, Pad(GamepadButton::Start)),
        ])
    }
}

impl Keymap {
    /// What is bound to a key or a button.
    pub fn deeds(&self, binding: Binding) -> impl Iterator<Item = Deed> {
        self.0
            .iter()
            .filter(move |(_, b)| *b == binding)
            .map(|(deed, _)| *deed)
    }

    /// What does a deed, the first one first.
    pub fn of(&self, deed: Deed) -> impl Iterator<Item = Binding> {
        self.0
            .iter()
            .filter(move |(d, _)| *d == deed)
            .map(|(_, binding)| *binding)
    }
}
