//! People, walls, things and machines in one yard.

use crate::support::loaded;
use crew::{Act, Control, Input, Seat, Source};
use training::{Channel, Event, Refusal};
use yard::Yard;

fn does(yard: &mut Yard, seat: Seat, act: Act) {
    let input = Input {
        tick: yard.tick(),
        seat,
        source: Source::Trainee,
        act,
    };
    yard.step(&[input]).unwrap();
}

fn wait(yard: &mut Yard, seconds: f64) {
    for _ in 0..(seconds * 120.0) as u32 {
        yard.step(&[]).unwrap();
    }
}

fn at(yard: &Yard) -> (f64, f64) {
    let o = yard.observation();
    (
        o.mean(Channel::PumpHandX).unwrap(),
        o.mean(Channel::PumpHandZ).unwrap(),
    )
}

#[test]
fn a_wall_stops_a_walk_and_nobody_falls() {
    let level = loaded().level;
    let mut yard = Yard::new(&level).unwrap();
    wait(&mut yard, 1.0);
    let before = at(&yard);
    let ahead = Act::Walk {
        forward_cm_s: 100,
        right_cm_s: 0,
    };
    does(&mut yard, Seat::PUMP, ahead);
    wait(&mut yard, 5.0);
    let after = at(&yard);
    // The unit's face is at z = 0.3 m, and a person is half a metre through.
    assert!(after.1 < before.1 - 0.1, "{before:?} {after:?}");
    assert!(after.1 > 0.5, "{after:?}");
    assert_eq!(yard.observation().on(Channel::PumpHandFallen), Some(false));
}

#[test]
fn a_thing_that_is_walked_into_gives_way() {
    let mut level = loaded().level;
    level.site.walls.clear();
    level.site.props[0].at = [0.6, 0.25, -0.6];
    let mut yard = Yard::new(&level).unwrap();
    wait(&mut yard, 1.0);
    let before = yard.props()[0].1;
    does(
        &mut yard,
        Seat::PUMP,
        Act::Walk {
            forward_cm_s: 100,
            right_cm_s: 0,
        },
    );
    wait(&mut yard, 3.0);
    let after = yard.props()[0].1;
    assert!(after[2] < before[2] - 0.3, "{before:?} {after:?}");
}

#[test]
fn a_hand_takes_hold_moves_and_lets_go_and_the_rest_is_refused() {
    let mut yard = Yard::new(&loaded().level).unwrap();
    wait(&mut yard, 0.5);
    let refused = |yard: &Yard| match yard.observation().events.as_slice() {
        [Event::Refused { why, .. }] => Some(*why),
        _ => None,
    };
    does(&mut yard, Seat::PUMP, Act::Push { on: true });
    assert_eq!(refused(&yard), Some(Refusal::NothingHeld));
    does(&mut yard, Seat::PUMP, Act::Take(Control::Supply));
    assert_eq!(refused(&yard), None);
    does(&mut yard, Seat::PUMP, Act::Twist { detents: 1 });
    assert_eq!(refused(&yard), Some(Refusal::WrongWay));
    does(&mut yard, Seat::PUMP, Act::Take(Control::Dump));
    assert_eq!(refused(&yard), Some(Refusal::HandsBusy));
    does(&mut yard, Seat::PUMP, Act::Push { on: true });
    wait(&mut yard, 0.5);
    assert_eq!(yard.observation().on(Channel::SupplyOpen), Some(true));
    does(&mut yard, Seat::PUMP, Act::Squeeze { permille: 1000 });
    assert_eq!(refused(&yard), Some(Refusal::NoTool));
    // The safety catch holds the trigger.
    does(&mut yard, Seat::LANCE, Act::Squeeze { permille: 1000 });
    assert_eq!(refused(&yard), Some(Refusal::CatchOn));
    // After the job is handed back nothing is done any more.
    does(&mut yard, Seat::PUMP, Act::HandBack);
    does(&mut yard, Seat::PUMP, Act::LetGo);
    assert_eq!(refused(&yard), Some(Refusal::Over));
}

#[test]
fn inputs_of_other_ticks_are_not_looked_at() {
    let mut yard = Yard::new(&loaded().level).unwrap();
    let late = Input {
        tick: crew::Tick(100),
        seat: Seat::PUMP,
        source: Source::Trainee,
        act: Act::Take(Control::Supply),
    };
    yard.step(&[late]).unwrap();
    assert_eq!(yard.observation().events, []);
    assert_eq!(
        training::allowed::held(yard.observation(), Seat::PUMP),
        None
    );
}
