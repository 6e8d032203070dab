//! Rules that either hand answers for.

use super::{Case, found_by, plain};
use crate::rules::cue::{Cause, Cues};
use crate::scene::{Scene, level};
use crate::{Channel, Event, Level};
use crew::{Call, Control, Fault, Ppe, Seat, Task};

/// What has to be worn in these tests: helmet and gloves.
pub(super) const REQUIRED: u8 = 1 << Ppe::Helmet as u8 | 1 << Ppe::Gloves as u8;

fn fits(scene: &mut Scene<'_>) {
    let event = Event::Began {
        seat: Seat::LANCE,
        task: Task::FitNozzle,
    };
    scene.event(event).run(1.0);
}

/// Everything that proves zero but the pressure that is left.
fn proved_but(scene: &mut Scene<'_>, left_bar: f64) {
    scene.set(Channel::BleedOpen, 1.0).bar(left_bar);
    scene.set(Channel::Trigger, 100.0).run(1.0);
    scene.set(Channel::Trigger, 0.0).run(1.0);
}

fn at_lance(level: &mut Level) {
    level.post = Seat::LANCE;
}

fn two_given(level: &mut Level) {
    level.given.stops_tested = vec!["trigger".to_owned(), "dump".to_owned()];
}

/// Puts the gloves on six seconds after the start.
pub(super) fn gloves_on_late(s: &mut Scene<'_>) {
    s.set(Channel::PumpHandWears, f64::from(Ppe::Helmet.bit()));
    s.loaded(20.0).run(6.0);
    s.set(Channel::PumpHandWears, f64::from(REQUIRED)).run(10.0);
}

/// Puts ear defenders on six seconds after the start.
pub(super) fn ears_covered_late(s: &mut Scene<'_>) {
    s.set(Channel::NoiseAtPumpHand, 100.0).run(6.0);
    s.set(Channel::PumpHandWears, f64::from(Ppe::EarDefenders.bit()));
    s.run(10.0);
}

/// Closes the barrier six seconds after the start.
pub(super) fn barrier_closed_late(s: &mut Scene<'_>) {
    s.set(Channel::Barrier, 0.0).loaded(50.0).run(6.0);
    s.set(Channel::Barrier, 1.0).run(10.0);
}

/// A part fails by so much.
fn fails(fault: Fault, amount: u16) -> Event {
    Event::Failed { fault, amount }
}

pub(super) const CASES: &[Case] = &[
    Case {
        rule: "defect_kept_on",
        detail: "nozzle",
        level: plain,
        trip: |s| {
            s.loaded(500.0)
                .event(fails(Fault::NozzleBlocked, 800))
                .run(15.1);
        },
        miss: |s| {
            s.loaded(500.0)
                .event(fails(Fault::NozzleBlocked, 800))
                .run(14.5);
            s.dumped().run(100.0);
            // As new again, it may be used.
            s.loaded(500.0)
                .event(fails(Fault::NozzleBlocked, 0))
                .run(100.0);
        },
    },
    Case {
        rule: "defect_kept_on",
        detail: "dump",
        level: plain,
        trip: |s| {
            s.event(fails(Fault::DumpSlow, 60)).loaded(300.0).run(61.0);
        },
        miss: |s| {
            // Tests are made at low pressure, and take the time they take.
            s.event(fails(Fault::DumpSlow, 60)).loaded(60.0).run(600.0);
            s.loaded(300.0).run(59.0);
        },
    },
    Case {
        rule: "prove_zero_before_fitting",
        detail: "pressure",
        level: plain,
        trip: |s| {
            proved_but(s, 1.1);
            fits(s);
        },
        miss: |s| {
            proved_but(s, 1.0);
            fits(s);
        },
    },
    Case {
        rule: "prove_zero_before_fitting",
        detail: "trigger",
        level: plain,
        trip: |s| {
            s.set(Channel::BleedOpen, 1.0).run(1.0);
            fits(s);
        },
        miss: |s| {
            proved_but(s, 0.0);
            fits(s);
        },
    },
    Case {
        rule: "stop_tests",
        detail: "trigger",
        level: plain,
        trip: |s| {
            s.loaded(70.5).run(5.0);
        },
        miss: |s| {
            s.loaded(69.5)
                .run(5.0)
                .loaded(90.0)
                .run(0.4)
                .loaded(60.0)
                .run(5.0);
        },
    },
    Case {
        rule: "stop_tests",
        detail: "emergency_stop",
        level: two_given,
        trip: |s| {
            s.loaded(100.0).run(5.0);
        },
        miss: |s| {
            s.loaded(60.0).run(1.0);
            s.set(Channel::EmergencyStop, 1.0)
                .run(0.5)
                .bar(6.0)
                .run(0.5);
            s.set(Channel::EmergencyStop, 0.0).loaded(100.0).run(5.0);
        },
    },
    Case {
        rule: "read_back_and_consent",
        detail: "no_read_back",
        level: plain,
        trip: |s| {
            s.set(Channel::EngineRuns, 1.0).run(1.0);
            s.say(Seat::PUMP, Call::ClearToFlush).run(1.0);
            s.moved(Control::Dump, 0).run(1.0);
        },
        miss: |s| {
            s.set(Channel::EngineRuns, 1.0).run(1.0);
            s.say(Seat::PUMP, Call::ClearToFlush).run(1.0);
            s.say(Seat::LANCE, Call::ClearToFlush).run(29.0);
            s.moved(Control::Dump, 0).run(1.0);
        },
    },
    Case {
        rule: "read_back_and_consent",
        detail: "lowered",
        level: plain,
        trip: |s| {
            s.set(Channel::SetPressure, 400.0)
                .loaded(400.0)
                .jet(100.0)
                .run(1.0);
            s.set(Channel::SetPressure, 385.0).run(1.0);
        },
        miss: |s| {
            s.set(Channel::SetPressure, 400.0)
                .loaded(400.0)
                .jet(100.0)
                .run(1.0);
            s.set(Channel::SetPressure, 386.5).run(1.0);
            // Nobody sprays: it surprises nobody.
            s.released().set(Channel::SetPressure, 300.0).run(1.0);
            s.dumped().run(1.0).set(Channel::SetPressure, 0.0).run(1.0);
        },
    },
    Case {
        rule: "raise_in_steps",
        detail: "too_high",
        level: plain,
        trip: |s| {
            s.loaded(200.0).run(14.0).loaded(380.0).run(5.0);
        },
        miss: |s| {
            s.loaded(200.0).run(16.0).loaded(380.0).run(5.0);
        },
    },
    Case {
        rule: "flush_before_fitting",
        detail: "not_flushed",
        level: plain,
        trip: |s| {
            s.fed(3.0).set(Channel::ToolFlow, 30.0).run(9.9).dumped();
            fits(s);
            fits(s);
        },
        miss: |s| {
            s.fed(3.0).set(Channel::ToolFlow, 30.0).run(10.0).dumped();
            fits(s);
        },
    },
    Case {
        rule: "barrier_open",
        detail: "open",
        level: plain,
        trip: |s| {
            s.set(Channel::Barrier, 0.0).fed(7.5).run(30.0);
        },
        miss: |s| {
            s.set(Channel::Barrier, 0.0).fed(7.0).run(5.0);
            s.dumped().bar(9.0).run(5.0);
            s.set(Channel::Barrier, 1.0).loaded(700.0).run(30.0);
        },
    },
    Case {
        rule: "ppe",
        detail: "gloves",
        level: |l| l.ppe.required = REQUIRED,
        trip: |s| {
            s.set(Channel::PumpHandWears, f64::from(Ppe::Helmet.bit()));
            s.loaded(7.5).run(30.0);
        },
        // The lance hand wears nothing, and answers for it alone.
        miss: |s| {
            s.loaded(7.0).run(1.0).dumped().bar(9.0).run(1.0);
            s.set(Channel::PumpHandWears, f64::from(REQUIRED));
            s.loaded(700.0).run(30.0);
        },
    },
    Case {
        rule: "ppe",
        detail: "helmet",
        level: |l| {
            l.ppe.required = REQUIRED;
            l.post = Seat::LANCE;
        },
        trip: |s| {
            s.set(Channel::PumpHandWears, f64::from(REQUIRED));
            s.loaded(7.5).run(30.0);
        },
        miss: |s| {
            s.set(Channel::LanceHandWears, f64::from(REQUIRED));
            s.loaded(700.0).run(30.0);
        },
    },
    Case {
        rule: "unprotected_noise",
        detail: "bare_ears",
        level: |l| l.ppe.required = Ppe::EarDefenders.bit(),
        // Beside the engine, and no pressure yet.
        trip: |s| {
            s.set(Channel::NoiseAtPumpHand, 85.1).run(5.1);
        },
        miss: |s| {
            s.set(Channel::NoiseAtPumpHand, 85.0).run(10.0);
            // A step past it, and ear defenders on.
            s.set(Channel::NoiseAtPumpHand, 110.0).run(4.9);
            s.set(Channel::PumpHandWears, f64::from(Ppe::EarDefenders.bit()));
            s.run(30.0);
            // What the other hand hears is theirs to answer for.
            s.set(Channel::NoiseAtPumpHand, 0.0);
            s.set(Channel::PumpHandWears, 0.0);
            s.set(Channel::NoiseAtLanceHand, 110.0).run(30.0);
            // Under pressure the rule of protective equipment finds them missing.
            s.set(Channel::NoiseAtPumpHand, 110.0)
                .loaded(700.0)
                .run(30.0);
        },
    },
    Case {
        rule: "unprotected_noise",
        detail: "bare_ears",
        level: |l| {
            l.post = Seat::LANCE;
            l.ppe.required = 0;
        },
        // Where the job sheet asks for none it is loud all the same.
        trip: |s| {
            s.loaded(700.0)
                .set(Channel::NoiseAtLanceHand, 100.0)
                .run(6.0);
        },
        miss: |s| {
            s.loaded(700.0)
                .set(Channel::NoiseAtLanceHand, 75.0)
                .run(60.0);
        },
    },
    Case {
        rule: "tank_hot",
        detail: "parked",
        level: plain,
        trip: |s| {
            s.loaded(350.0).run(121.0);
        },
        // A squeeze, a step of pressure, the first low step, and a pump that is dumped.
        miss: |s| {
            s.loaded(350.0).run(119.0);
            s.jet(80.0).run(1.0).released().run(119.0);
            s.set(Channel::SetPressure, 100.0).run(119.0);
            s.loaded(69.0).run(300.0);
            s.loaded(350.0).run(119.0).dumped().run(300.0);
        },
    },
    Case {
        rule: "tank_hot",
        detail: "alarm",
        level: plain,
        trip: |s| {
            s.loaded(350.0)
                .jet(80.0)
                .set(Channel::TankTemperature, 45.0);
            s.run(21.0);
        },
        miss: |s| {
            s.loaded(350.0)
                .jet(80.0)
                .set(Channel::TankTemperature, 44.9);
            s.run(60.0);
            s.set(Channel::TankTemperature, 46.0).run(19.0);
            s.dumped().run(60.0);
        },
    },
    Case {
        rule: "tank_hot",
        detail: "stop",
        level: plain,
        trip: |s| {
            s.loaded(20.0).set(Channel::TankTemperature, 60.0).run(1.0);
        },
        miss: |s| {
            s.loaded(20.0).set(Channel::TankTemperature, 59.9).run(1.0);
            s.dumped().set(Channel::TankTemperature, 70.0).run(60.0);
        },
    },
    Case {
        rule: "intruder",
        detail: "dump_called",
        level: plain,
        trip: |s| {
            s.loaded(700.0).run(1.0);
            s.say(Seat::LANCE, Call::Dump).run(2.7).dumped().run(5.0);
        },
        miss: |s| {
            s.loaded(700.0).run(1.0);
            s.say(Seat::LANCE, Call::Dump).run(2.4).dumped().run(5.0);
            s.say(Seat::LANCE, Call::AllStop).run(5.0);
        },
    },
    Case {
        rule: "intruder",
        detail: "dump_seen",
        level: plain,
        trip: |s| {
            // 1.2 m more than a reach is a second's walk.
            s.loaded(700.0).set(Channel::PumpHandToDump, 2.1).run(1.0);
            s.set(Channel::Intruder, 1.0)
                .set(Channel::IntruderSeenByPump, 1.0);
            s.run(3.7);
        },
        miss: |s| {
            s.loaded(700.0).set(Channel::PumpHandToDump, 2.1).run(1.0);
            s.set(Channel::Intruder, 1.0).run(10.0);
            s.set(Channel::IntruderSeenByLance, 1.0).run(10.0);
            s.set(Channel::IntruderSeenByPump, 1.0).run(3.3);
            s.set(Channel::EmergencyStop, 1.0).run(10.0);
        },
    },
    Case {
        rule: "intruder",
        detail: "trigger_seen",
        level: at_lance,
        trip: |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            s.set(Channel::Intruder, 1.0)
                .set(Channel::IntruderSeenByLance, 1.0);
            s.run(1.6).released().run(1.0);
        },
        miss: |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            s.set(Channel::Intruder, 1.0)
                .set(Channel::IntruderSeenByPump, 1.0);
            s.run(10.0);
            s.set(Channel::IntruderSeenByLance, 1.0)
                .run(1.4)
                .released()
                .run(10.0);
        },
    },
    Case {
        rule: "intruder",
        detail: "trigger_called",
        level: at_lance,
        trip: |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            s.say(Seat::WATCH, Call::AllStop)
                .run(1.6)
                .released()
                .run(1.0);
        },
        // Whoever calls it is not called.
        miss: |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            s.say(Seat::LANCE, Call::Dump).run(10.0);
            s.say(Seat::WATCH, Call::AllStop)
                .run(1.4)
                .released()
                .run(10.0);
        },
    },
];

#[test]
fn a_flush_that_was_given_or_lies_before_the_attempt_is_not_judged() {
    let fit: fn(&mut Scene<'_>) = fits;
    let mut level = level();
    assert_eq!(found_by("flush_before_fitting", &level, fit).len(), 1);
    level.given.flushed = true;
    assert_eq!(found_by("flush_before_fitting", &level, fit), []);
    level.given.flushed = false;
    level.start.nozzle_fitted = true;
    assert_eq!(found_by("flush_before_fitting", &level, fit), []);
}

#[test]
fn to_squeeze_again_with_somebody_in_sight_is_another_breach() {
    let mut level = level();
    level.post = Seat::LANCE;
    let found = found_by("intruder", &level, |s| {
        s.set(Channel::Intruder, 1.0)
            .set(Channel::IntruderSeenByLance, 1.0);
        s.loaded(350.0).jet(80.0).run(3.0).released().run(3.0);
        s.jet(80.0).run(3.0);
    });
    assert_eq!(found.len(), 2, "{found:?}");
}

/// The cues that the pump hand of the first level has in a scene.
fn cues(play: impl Fn(&mut Scene<'_>)) -> Cues {
    let mut cues = Cues::new(&level());
    play(&mut Scene::of(Channel::ALL, |o| cues.see(o)));
    cues
}

#[test]
fn from_cue_to_act_is_told_to_the_tick() {
    let cues = cues(|s| {
        s.loaded(700.0).run(1.0);
        s.say(Seat::LANCE, Call::Dump).run(1.25).dumped().run(1.0);
    });
    let [cue] = cues.all() else {
        panic!("{:?}", cues.all());
    };
    assert_eq!(cue.cause, Cause::Called(Call::Dump));
    assert_eq!(cue.tick.seconds(), 1.0);
    assert_eq!(cue.acted_s, Some(1.25));
    assert!(cue.is_met() && cues.open().is_none());
}

#[test]
fn a_call_with_no_nozzle_at_work_gives_no_cause() {
    let without = cues(|s| {
        s.fed(3.0).say(Seat::LANCE, Call::Dump).run(5.0);
        s.dumped().say(Seat::LANCE, Call::Dump).run(5.0);
    });
    assert_eq!(without.all(), []);
}

#[test]
fn the_answer_to_ones_own_call_is_no_call() {
    let called = |after_s: f64| {
        let cues = cues(|s| {
            s.loaded(700.0).run(1.0);
            s.say(Seat::PUMP, Call::Dump).run(after_s);
            s.say(Seat::LANCE, Call::Dump).run(1.0);
        });
        cues.all().len()
    };
    assert_eq!(called(4.9), 0);
    assert_eq!(called(5.1), 1);
}

#[test]
fn a_hand_at_the_lever_before_the_word_is_out_has_answered_it() {
    let quick = cues(|s| {
        s.loaded(700.0).run(1.0);
        s.set(Channel::DumpLever, 1.0).run(0.05);
        s.say(Seat::LANCE, Call::Dump).run(0.05).dumped().run(1.0);
    });
    assert_eq!(quick.all().len(), 1);
    assert_eq!(quick.all()[0].acted_s, Some(0.0));
}

#[test]
fn one_turn_without_consent_is_one_finding_and_the_next_another() {
    fn wound(s: &mut Scene<'_>, from: f64, by: f64) {
        for n in 0..=30 {
            let bar = from + by * f64::from(n) / 30.0;
            s.set(Channel::SetPressure, bar).run(0.05);
        }
    }
    let found = found_by("read_back_and_consent", &level(), |s| {
        s.set(Channel::SetPressure, 400.0)
            .loaded(400.0)
            .jet(100.0)
            .run(1.0);
        wound(s, 400.0, 90.0);
        s.run(2.0);
        wound(s, 490.0, 90.0);
        s.run(4.0);
        wound(s, 580.0, 90.0);
        wound(s, 670.0, -90.0);
    });
    let details: Vec<&str> = found.iter().map(|f| f.detail.as_str()).collect();
    assert_eq!(details, ["raised", "raised", "lowered"]);
}

#[test]
fn how_late_a_stop_was_is_told_to_the_act() {
    let mut level = level();
    at_lance(&mut level);
    let found = found_by("intruder", &level, |s| {
        s.loaded(350.0).jet(80.0).run(1.0);
        s.say(Seat::WATCH, Call::AllStop).run(3.7);
        s.released().run(2.0);
    });
    assert_eq!(found.len(), 1);
    assert!((found[0].value - 3.7).abs() < 0.05, "{}", found[0].value);
}
