//! What hands do with presses, tick by tick, in a yard that runs.

use crate::desk::Desk;
use crew::{Act, Call, Control, Seat};
use scene::hands::calls::Word;
use scene::hands::keymap::Deed;
use scene::hands::{Pressed, Ways};

/// The slab with the lance in the hands.
fn lance() -> Desk {
    Desk::at("02_fouled_slab", |level| {
        level.start.tool_in_stand = false;
    })
}

fn pump() -> Desk {
    Desk::at("01_first_pressure", |_| {})
}

fn squeezed(act: &Act) -> bool {
    matches!(act, Act::Squeeze { permille } if *permille > 0)
}

#[test]
fn a_press_within_one_tick_lasts_a_tick() {
    let mut desk = pump();
    desk.run(2)
        .press(&[Pressed::Down(Deed::TurnLeft), Pressed::Up(Deed::TurnLeft)]);
    desk.run(5);
    let turned = |act: &Act| matches!(act, Act::Turn { yaw } if *yaw > 100);
    assert_eq!(desk.acts(turned), 1);
}

#[test]
fn what_is_let_go_of_stays_so_however_quickly_it_was_pressed() {
    let mut desk = pump();
    desk.run(2).press(&[
        Pressed::Down(Deed::Ahead),
        Pressed::Up(Deed::Ahead),
        Pressed::Down(Deed::Ahead),
        Pressed::Released,
    ]);
    desk.run(30);
    let last = desk
        .done
        .iter()
        .rfind(|(_, a)| matches!(a, Act::Walk { .. }));
    assert!(
        last.is_none_or(|(_, act)| *act
            == Act::Walk {
                forward_cm_s: 0,
                right_cm_s: 0
            }),
        "{last:?}"
    );
}

#[test]
fn every_count_of_the_mouse_reaches_the_aim() {
    let mut desk = lance();
    desk.run(2);
    // A quick flick and many small ones.
    desk.press(&[Pressed::Moved { x: -100.0, y: 40.0 }]).run(60);
    for _ in 0..70 {
        desk.press(&[Pressed::Moved { x: 0.25, y: -0.5 }]).run(1);
    }
    desk.run(60);
    let sum = desk.done.iter().fold((0, 0), |sum, (_, act)| match act {
        Act::Aim { yaw, pitch } => (sum.0 + i32::from(*yaw), sum.1 + i32::from(*pitch)),
        _ => sum,
    });
    assert_eq!(sum, (1200 - 210, -480 + 420));
    assert!(desk.acts(|a| matches!(a, Act::Aim { .. })) > 10);
    assert_eq!(desk.hands.aim_owed_rad(), [0.0, 0.0]);
}

#[test]
fn a_trigger_is_never_a_toggle() {
    for deed in Deed::ALL {
        let held = matches!(deed, Deed::Squeeze | Deed::Take | Deed::Stop);
        assert!(!(held && deed.may_toggle()), "{deed:?}");
    }
    let mut desk = lance();
    desk.hands.mean(Ways {
        toggles: true,
        ..Ways::default()
    });
    desk.run(2).press(&[Pressed::Down(Deed::Catch)]).run(2);
    assert!(!desk.frame.tool.catch_on);
    desk.press(&[Pressed::Down(Deed::Squeeze)]).run(30);
    assert!(desk.frame.tool.squeeze > 0.99);
    desk.press(&[Pressed::Up(Deed::Squeeze)]).run(2);
    assert!(desk.frame.tool.squeeze < 0.01);
    // The brace may be one: pressed once it stays.
    desk.press(&[Pressed::Down(Deed::Brace), Pressed::Up(Deed::Brace)]);
    desk.run(120);
    assert_eq!(desk.acts(|a| *a == Act::Brace(false)), 0);
    assert_eq!(desk.acts(|a| *a == Act::Brace(true)), 1);
}

#[test]
fn a_finger_takes_its_time_and_feels_the_catch() {
    let mut desk = lance();
    desk.run(2).press(&[Pressed::Down(Deed::Squeeze)]).run(60);
    // With the catch on it gives way once, and not at every tick.
    assert_eq!((desk.acts(squeezed), desk.refused), (1, 1));
    assert!(desk.frame.tool.squeeze < 0.01);
    desk.press(&[Pressed::Up(Deed::Squeeze), Pressed::Down(Deed::Catch)]);
    desk.run(2).press(&[Pressed::Down(Deed::Squeeze)]).run(9);
    let half = desk.frame.tool.squeeze;
    assert!((0.3..0.7).contains(&half), "{half}");
    desk.run(12);
    assert!(desk.frame.tool.squeeze > 0.99);
    // The catch lets go; the finger does not squeeze on by itself.
    desk.press(&[Pressed::Up(Deed::Catch), Pressed::Down(Deed::Catch)])
        .run(4);
    desk.press(&[Pressed::Up(Deed::Catch), Pressed::Down(Deed::Catch)])
        .run(60);
    assert!(!desk.frame.tool.catch_on && desk.frame.tool.squeeze < 0.01);
    // The pad's trigger is drawn as far as it is drawn.
    desk.press(&[Pressed::Up(Deed::Squeeze), Pressed::Drawn(0.5)])
        .run(30);
    assert!((desk.frame.tool.squeeze - 0.5).abs() < 0.01);
    desk.press(&[Pressed::Released]).run(2);
    assert!(desk.frame.tool.squeeze < 0.01);
}

#[test]
fn the_wheel_turns_what_is_in_the_hand_and_nothing_else() {
    let mut desk = pump();
    desk.run(60).press(&[Pressed::Wheel(5.0)]).run(30);
    assert!(
        desk.done
            .iter()
            .all(|(_, a)| !matches!(a, Act::Twist { .. } | Act::Push { .. }))
    );
    let regulator = |desk: &Desk| {
        let at = desk.frame.controls.iter();
        at.clone()
            .find(|(c, _)| *c == Control::Regulator)
            .map_or(0, |(_, share)| (share * 1000.0).round() as i32)
    };
    let was = regulator(&desk);
    desk.look_at(Control::Regulator)
        .press(&[Pressed::Down(Deed::Take)])
        .run(3);
    assert_eq!(desk.holding(), Some(Control::Regulator));
    // Slowly a notch is a detent; with the key for quick it is ten.
    for _ in 0..3 {
        desk.press(&[Pressed::Wheel(1.0)]).run(40);
    }
    assert_eq!(regulator(&desk), was + 3);
    desk.press(&[Pressed::Down(Deed::Hurry), Pressed::Wheel(-2.0)])
        .run(40);
    assert_eq!(regulator(&desk), was + 3 - 20);
    desk.press(&[Pressed::Up(Deed::Take)]).run(3);
    assert_eq!(desk.holding(), None);
    assert_eq!(desk.refused, 0);
}

#[test]
fn the_key_turns_by_the_wheel_and_springs_back_from_the_start() {
    let mut desk = pump();
    let key = |desk: &Desk| {
        let at = desk.frame.controls.iter();
        at.clone()
            .find(|(c, _)| *c == Control::Key)
            .map(|(_, s)| (s * 2.0).round() as i32)
    };
    desk.run(60).look_at(Control::Key);
    desk.press(&[Pressed::Down(Deed::Take)]).run(3);
    desk.press(&[Pressed::Wheel(1.0)]).run(40);
    assert_eq!(key(&desk), Some(1));
    desk.press(&[Pressed::Down(Deed::Squeeze), Pressed::Up(Deed::Squeeze)])
        .run(40);
    assert_eq!(key(&desk), Some(2));
    desk.press(&[Pressed::Up(Deed::Take)]).run(5);
    assert_eq!((key(&desk), desk.refused), (Some(1), 0));
}

#[test]
fn the_emergency_stop_is_struck_in_half_a_second_and_only_within_reach() {
    let mut desk = pump();
    let struck = |desk: &Desk| {
        let at = desk.frame.controls.iter();
        at.clone()
            .any(|(c, s)| *c == Control::EmergencyStop && *s > 0.9)
    };
    desk.run(30).press(&[Pressed::Down(Deed::Stop)]).run(72);
    assert!(struck(&desk));
    assert_eq!(desk.holding(), None);
    // From the lance post it is out of reach.
    let mut desk = lance();
    desk.run(30).press(&[Pressed::Down(Deed::Stop)]).run(72);
    assert!(!struck(&desk) && desk.acts(|a| matches!(a, Act::Take(_))) == 0);
}

#[test]
fn a_word_waits_for_the_one_before_and_a_stop_waits_for_no_other() {
    let mut desk = pump();
    desk.run(2)
        .press(&[Pressed::Picked(Word::Say(Call::Raise))])
        .run(5);
    desk.press(&[
        Pressed::Picked(Word::Say(Call::Dump)),
        Pressed::Picked(Word::Say(Call::Lower)),
    ]);
    desk.run(120);
    let said: Vec<Act> = desk
        .done
        .iter()
        .map(|(_, a)| *a)
        .filter(|a| matches!(a, Act::Say(_)))
        .collect();
    assert_eq!(said, [Act::Say(Call::Raise), Act::Say(Call::Dump)]);
    assert_eq!(desk.refused, 0);
    assert_eq!(desk.level.post, Seat::PUMP);
}

/// Sweeps to the left before the slab, and says how the stand-off changed, metres.
fn swept(follows: bool) -> f64 {
    let mut desk = Desk::at("02_fouled_slab", |level| {
        level.start.tool_in_stand = false;
        level.site.lance_hand.at = [12.1, 1.0];
    });
    desk.hands.mean(Ways {
        follows,
        ..Ways::default()
    });
    desk.run(60);
    let off = |desk: &Desk| desk.frame.tool.stand_off_m.expect("before the slab");
    // Up to the slab, as far as the table of the nozzle says.
    desk.press(&[Pressed::Down(Deed::Reach)]);
    for _ in 0..600 {
        if off(&desk) < 0.08 {
            break;
        }
        desk.run(1);
    }
    desk.press(&[Pressed::Up(Deed::Reach)]).run(120);
    let before = off(&desk);
    assert!((0.02..0.12).contains(&before), "{before}");
    let mut most = 0.0_f64;
    for _ in 0..60 {
        desk.press(&[Pressed::Moved { x: -5.0, y: 0.0 }]).run(6);
        most = most.max((off(&desk) - before).abs());
    }
    most
}

#[test]
fn arms_follow_a_surface_while_the_lance_sweeps_over_it() {
    let (with, without) = (swept(true), swept(false));
    assert!(without > 0.04, "a sweep that changes little: {without}");
    assert!(with < 0.25 * without, "{with} against {without}");
}

#[test]
fn a_tap_of_the_hands_is_five_millimetres_however_short() {
    for (ticks, mm) in [(1, 5), (3, 5), (8, 8)] {
        let mut desk = Desk::at("02_fouled_slab", |level| {
            level.start.tool_in_stand = false;
        });
        desk.run(60);
        desk.press(&[Pressed::Down(Deed::Reach)]).run(ticks);
        desk.press(&[Pressed::Up(Deed::Reach)]).run(30);
        let moved = desk.done.iter().map(|(_, act)| match act {
            Act::Reach { mm } => i32::from(*mm),
            _ => 0,
        });
        assert_eq!(moved.sum::<i32>(), mm, "{ticks} ticks");
    }
}
