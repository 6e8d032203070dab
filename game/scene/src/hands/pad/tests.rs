//! Pads without a device.

use super::layout::Layout;
use super::*;
use crate::app::logic;
use bevy::input::InputPlugin;
use bevy::input::gamepad::Gamepad;
use bevy::state::app::StatesPlugin;
use evdev::{AbsoluteAxisCode, KeyCode};

fn layout(codes: &[AbsoluteAxisCode]) -> Layout {
    Layout {
        axes: codes.iter().map(|c| (*c, (-100, 100))).collect(),
        vendor: 0,
    }
}

#[test]
fn sticks_triggers_and_the_cross_are_where_they_belong() {
    use AbsoluteAxisCode as Code;
    let full = layout(&[
        Code::ABS_Y,
        Code::ABS_RX,
        Code::ABS_Z,
        Code::ABS_RZ,
        Code::ABS_HAT0X,
    ]);
    let up = full.axis(1, Code::ABS_Y, -100);
    assert_eq!(
        up,
        [Report::Axis {
            pad: 1,
            axis: GamepadAxis::LeftStickY,
            value: 1.0
        }]
    );
    let drawn = full.axis(1, Code::ABS_RZ, 0);
    assert_eq!(
        drawn,
        [Report::Button {
            pad: 1,
            button: GamepadButton::RightTrigger2,
            value: 0.5
        }]
    );
    // A trigger that is drawn is not pressed as well.
    assert_eq!(full.button(1, KeyCode::BTN_TR2, 1), None);
    let bare = layout(&[Code::ABS_Z, Code::ABS_RZ]);
    assert!(matches!(
        bare.axis(1, Code::ABS_RZ, 100)[..],
        [Report::Axis { axis: GamepadAxis::RightStickY, value, .. }] if value == -1.0
    ));
    assert!(bare.button(1, KeyCode::BTN_TR2, 1).is_some());
    let cross = full.axis(1, Code::ABS_HAT0X, -1);
    let pressed = cross
        .iter()
        .filter(|r| matches!(r, Report::Button { value, .. } if *value > 0.5));
    assert_eq!(pressed.count(), 1);
    // An axis that it does not have says nothing, and neither does a broken one.
    assert!(full.axis(1, Code::ABS_X, 5).is_empty());
    let broken = Layout {
        axes: vec![(Code::ABS_X, (3, 3))],
        vendor: 0,
    };
    assert!(broken.axis(1, Code::ABS_X, 3).is_empty());
}

#[test]
fn a_pad_that_is_plugged_in_is_one_of_the_engine_until_it_is_gone() {
    let (to_game, reports) = channel();
    let (shakes, _to_pad) = channel();
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, StatesPlugin, InputPlugin, logic));
    around(&mut app, reports, shakes);
    let send = |report: Report| to_game.send(report).expect("the game listens");
    let pads = |app: &mut App| -> Vec<(bool, f32)> {
        let mut query = app.world_mut().query::<&Gamepad>();
        query
            .iter(app.world())
            .map(|pad| {
                let stick = pad.get(GamepadAxis::LeftStickX).unwrap_or(0.0);
                (pad.pressed(GamepadButton::South), stick)
            })
            .collect()
    };
    app.update();
    // What comes from a pad that nobody found is passed over.
    send(Report::Button {
        pad: 7,
        button: GamepadButton::South,
        value: 1.0,
    });
    app.update();
    assert!(pads(&mut app).is_empty());
    send(Report::Found {
        pad: 1,
        name: String::from("pad"),
    });
    app.update();
    send(Report::Button {
        pad: 1,
        button: GamepadButton::South,
        value: 1.0,
    });
    send(Report::Axis {
        pad: 1,
        axis: GamepadAxis::LeftStickX,
        value: 0.8,
    });
    app.update();
    let found = pads(&mut app);
    assert!(
        matches!(found[..], [(true, stick)] if stick > 0.7),
        "{found:?}"
    );
    send(Report::Gone { pad: 1 });
    app.update();
    app.update();
    assert!(pads(&mut app).is_empty());
}

#[test]
fn a_pad_shakes_more_the_more_the_tool_pushes() {
    let at = |push_n| shaken(&Effort::at(push_n, 1.0, 1.0), 0.0);
    assert_eq!(at(0.0), Shake::default());
    assert!(at(250.0).light > at(150.0).light + 0.15);
    assert!(at(250.0).heavy > at(150.0).heavy + 0.15);
    let jolted = shaken(&Effort::at(150.0, 1.0, 1.0), 1.0);
    assert!(jolted.heavy > at(250.0).heavy && jolted.heavy <= 1.0);
}
