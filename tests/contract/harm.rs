//! Harm that no script can be told to bring about: hands do it here, and the rules see it.

use crate::whip::{does, level, part, under_pressure, wait_seeing};
use crew::{Act, Fault, Seat};
use training::{Ended, Event, HurtBy, HurtGrade, Level, Referee};

/// Rules that are broken by what is seen.
fn broken(level: &Level, see: impl FnOnce(&mut Referee)) -> Vec<String> {
    let mut referee = Referee::new(level);
    see(&mut referee);
    let mark = referee.mark(Ended::HandedBack);
    mark.findings.iter().map(|f| f.rule.clone()).collect()
}

#[test]
fn who_goes_backwards_over_a_hose_trips_and_who_looks_ahead_steps_over_it() {
    // The hose runs along x = 11.6 m behind the lance hand, who looks along x.
    let walk = |forward_cm_s, right_cm_s| Act::Walk {
        forward_cm_s,
        right_cm_s,
    };
    let trips = |turns: bool| {
        let level = level();
        let mut yard = yard::Yard::new(&level).expect("a yard");
        broken(&level, |referee| {
            let seat = Seat::LANCE;
            wait_seeing(&mut yard, 0.5, referee);
            does(&mut yard, seat, walk(0, -80));
            wait_seeing(&mut yard, 1.3, referee);
            does(&mut yard, seat, walk(0, 0));
            wait_seeing(&mut yard, 1.0, referee);
            if turns {
                does(&mut yard, seat, Act::Turn { yaw: 31_416 });
                wait_seeing(&mut yard, 2.0, referee);
            }
            does(&mut yard, seat, walk(if turns { 90 } else { -90 }, 0));
            wait_seeing(&mut yard, 2.5, referee);
        })
    };
    let found = trips(false);
    assert!(
        !found.is_empty() && found.iter().all(|rule| rule == "tripped"),
        "{found:?}"
    );
    assert_eq!(trips(true), Vec::<String>::new());
}

#[test]
fn a_pump_that_goes_on_feeding_a_parted_hose_is_found_and_one_that_stops_is_not() {
    let kept_on = |dumps: bool| {
        let level = level();
        let mut yard = under_pressure(&level, 500);
        broken(&level, |referee| {
            part(&mut yard, Fault::HoseParted);
            wait_seeing(&mut yard, 2.0, referee);
            if dumps {
                does(&mut yard, Seat::PUMP, Act::Take(crew::Control::Dump));
                does(&mut yard, Seat::PUMP, Act::Push { on: true });
            }
            wait_seeing(&mut yard, 8.0, referee);
        })
        .contains(&String::from("kept_on_after_harm"))
    };
    assert!(kept_on(false) && !kept_on(true));
}

#[test]
fn whom_a_whipping_end_hits_goes_down_and_is_told_of_once() {
    let level = level();
    let mut hits = 0;
    // The end whips where it whips: of several pressures some hit the one who holds the gun.
    for detents in [450, 550, 650, 750] {
        let mut loose = level.clone();
        loose
            .start
            .controls
            .retain(|(c, _)| *c != crew::Control::GunRestraint);
        loose.start.controls.push((crew::Control::GunRestraint, 0));
        let mut yard = under_pressure(&loose, detents);
        does(&mut yard, Seat::LANCE, Act::TakeUp);
        crate::whip::wait(&mut yard, 3.0);
        let mut events = part(&mut yard, Fault::HoseParted);
        events.extend(crate::whip::wait(&mut yard, 2.0));
        let hurt: Vec<_> = events
            .iter()
            .filter_map(|e| match e {
                Event::Hurt { seat, by, grade } => Some((*seat, *by, *grade)),
                _ => None,
            })
            .collect();
        println!("{detents}: {hurt:?}");
        if let Some((seat, by, grade)) = hurt.first() {
            assert_eq!((*seat, *by), (Seat::LANCE, HurtBy::Hose));
            if *grade >= HurtGrade::Injury {
                assert!(events.contains(&Event::Fell { seat: *seat }));
            }
            hits += 1;
        }
    }
    assert!(hits > 0);
}
