//! Rules that only the hand at the pump answers for.

use super::{Case, found_by, plain, rule};
use crate::load::Library;
use crate::rules::Found;
use crate::scene::{Scene, level};
use crate::{Channel, Event};
use std::path::Path;

/// Goes to a place of the level, at once.
fn stand(scene: &mut Scene<'_>, place: &str) {
    let [x, z] = level().site.place(place).expect("a place of the level");
    scene
        .set(Channel::PumpHandX, x)
        .set(Channel::PumpHandZ, z)
        .run(0.1);
}

/// The trigger is open, the bypass is silent, and the needle stands below what is set.
fn sagging<'s, 'a>(s: &'s mut Scene<'a>, set_bar: f64) -> &'s mut Scene<'a> {
    s.loaded(600.0)
        .jet(200.0)
        .set(Channel::ToolFlow, 40.0)
        .set(Channel::BypassFlow, 0.0)
        .set(Channel::SetPressure, set_bar)
}

/// The lance works, and after a while the mate lets go of the pedal: the push before and after.
fn partner_shuts(s: &mut Scene<'_>, before_n: f64, after_n: f64) {
    s.loaded(500.0)
        .set(Channel::PedalOutlet, 1.0)
        .set(Channel::Pedal, 100.0)
        .jet(before_n)
        .run(3.0);
    s.set(Channel::Pedal, 0.0)
        .set(Channel::Thrust, after_n)
        .run(3.0);
}

pub(super) const CASES: &[Case] = &[
    Case {
        rule: "partner_jolted",
        detail: "jolted",
        level: plain,
        trip: |s| partner_shuts(s, 100.0, 116.0),
        miss: |s| {
            partner_shuts(s, 100.0, 114.5);
            s.set(Channel::Thrust, 100.0).run(3.0);
            // Behind a shut cock the pedal moves nothing, and what comes later is no jolt.
            s.set(Channel::PedalOutlet, 0.0)
                .set(Channel::Pedal, 100.0)
                .run(3.0);
            s.set(Channel::Pedal, 0.0)
                .set(Channel::Thrust, 130.0)
                .run(3.0);
            // One's own trigger is a jolt of one's own.
            s.released().run(1.0);
            s.set(Channel::PedalOutlet, 1.0)
                .set(Channel::Pedal, 100.0)
                .run(1.0);
            s.jet(60.0).run(0.5);
            s.set(Channel::Pedal, 0.0).jet(120.0).run(3.0);
        },
    },
    Case {
        rule: "partner_jolted",
        detail: "jolted",
        level: plain,
        trip: |s| {
            s.loaded(500.0)
                .set(Channel::PedalOutlet, 1.0)
                .jet(100.0)
                .run(3.0);
            // On and off at too little speed is one mistake.
            for _ in 0..3 {
                s.set(Channel::Pedal, 100.0)
                    .set(Channel::Thrust, 84.0)
                    .run(3.0);
                s.set(Channel::Pedal, 0.0)
                    .set(Channel::Thrust, 100.0)
                    .run(3.0);
            }
        },
        miss: |s| {
            s.loaded(500.0)
                .set(Channel::PedalOutlet, 1.0)
                .jet(100.0)
                .run(3.0);
            s.set(Channel::Pedal, 100.0)
                .set(Channel::Thrust, 86.0)
                .run(3.0);
        },
    },
    Case {
        rule: "line_left_charged",
        detail: "lance",
        level: plain,
        trip: |s| {
            s.set(Channel::GunPressure, 7.5).run(1.0);
            s.event(Event::HandedBack).run(1.0);
        },
        miss: |s| {
            s.set(Channel::GunPressure, 500.0).run(1.0);
            s.set(Channel::GunPressure, 6.5).run(1.0);
            s.event(Event::HandedBack).run(1.0);
        },
    },
    Case {
        rule: "line_left_charged",
        detail: "pedal",
        level: plain,
        trip: |s| {
            s.set(Channel::PedalPressure, 7.5).run(1.0);
            s.event(Event::HandedBack).run(1.0);
        },
        miss: |s| {
            s.set(Channel::PedalPressure, 500.0).run(1.0);
            s.set(Channel::PedalPressure, 6.5).run(1.0);
            s.event(Event::HandedBack).run(1.0);
        },
    },
    Case {
        rule: "oil_trip_overridden",
        detail: "pressure",
        level: plain,
        trip: |s| {
            s.set(Channel::OilTrip, 1.0).run(1.0);
            s.set(Channel::OilTrip, 0.0).event(Event::Cranked).run(1.0);
        },
        miss: |s| {
            s.event(Event::Cranked).run(1.0);
            s.set(Channel::OilTrip, 1.0).run(60.0);
        },
    },
    Case {
        rule: "oil_trip_overridden",
        detail: "heat",
        level: plain,
        trip: |s| {
            s.set(Channel::OilTrip, 2.0).run(1.0);
            s.set(Channel::OilTrip, 0.0).event(Event::Cranked).run(1.0);
        },
        miss: |s| {
            s.event(Event::Cranked).run(1.0);
            s.set(Channel::OilTrip, 2.0).run(60.0);
        },
    },
    Case {
        rule: "wound_past_sag",
        detail: "wound_in",
        level: plain,
        trip: |s| {
            sagging(s, 680.0).run(3.0);
            sagging(s, 702.0).run(1.0);
        },
        miss: |s| {
            sagging(s, 680.0).run(3.0);
            // A few detents: the play of a hand that tries.
            sagging(s, 700.0).run(1.0);
            // With water left on the bypass the needle follows.
            s.set(Channel::BypassFlow, 2.0).run(0.1);
            sagging(s, 900.0).run(1.0);
        },
    },
    Case {
        rule: "start_unloaded",
        detail: "dump",
        level: plain,
        trip: |s| {
            s.set(Channel::DumpLever, 0.0)
                .event(Event::Cranked)
                .run(1.0);
        },
        miss: |s| {
            s.set(Channel::DumpLever, 0.0)
                .set(Channel::EmergencyStop, 1.0)
                .event(Event::Cranked)
                .run(1.0);
        },
    },
    Case {
        rule: "start_unloaded",
        detail: "regulator",
        level: plain,
        trip: |s| {
            s.set(Channel::SetPressure, 40.5)
                .event(Event::Cranked)
                .run(1.0);
        },
        miss: |s| {
            s.set(Channel::SetPressure, 40.0)
                .event(Event::Cranked)
                .run(1.0);
        },
    },
    Case {
        rule: "start_unloaded",
        detail: "throttle",
        level: plain,
        trip: |s| {
            s.set(Channel::Throttle, 20.1)
                .event(Event::Cranked)
                .run(1.0);
        },
        miss: |s| {
            s.set(Channel::Throttle, 20.0)
                .event(Event::Cranked)
                .run(1.0);
        },
    },
    Case {
        rule: "shut_down_order",
        detail: "key",
        level: plain,
        trip: |s| {
            s.set(Channel::Key, 1.0).event(Event::HandedBack).run(1.0);
        },
        miss: |s| {
            s.event(Event::HandedBack).run(1.0);
        },
    },
    Case {
        rule: "shut_down_order",
        detail: "not_cooled",
        level: plain,
        trip: |s| {
            s.set(Channel::SetPressure, 500.0)
                .fed(500.0)
                .run(10.0)
                .dumped()
                .run(179.0);
            s.set(Channel::SetPressure, 0.0)
                .set(Channel::EngineRuns, 0.0)
                .run(1.0);
            s.event(Event::HandedBack).run(1.0);
        },
        miss: |s| {
            s.set(Channel::SetPressure, 500.0)
                .fed(500.0)
                .run(10.0)
                .dumped()
                .run(181.0);
            s.set(Channel::SetPressure, 0.0)
                .set(Channel::EngineRuns, 0.0)
                .run(1.0);
            s.event(Event::HandedBack).run(1.0);
        },
    },
    Case {
        rule: "leak_walk",
        detail: "not_walked",
        level: plain,
        trip: |s| {
            s.loaded(60.0);
            stand(s, "walk_1");
            s.loaded(71.0).run(5.0);
        },
        miss: |s| {
            s.loaded(60.0);
            stand(s, "walk_1");
            stand(s, "walk_2");
            s.loaded(71.0).run(5.0);
        },
    },
    Case {
        rule: "leak_walk",
        detail: "not_walked",
        level: plain,
        trip: |s| {
            s.loaded(71.0).run(0.6);
        },
        // The spike of a valve is no work.
        miss: |s| {
            s.loaded(71.0).run(0.4).loaded(60.0).run(5.0);
        },
    },
    Case {
        rule: "over_lowest_rating",
        detail: "rating",
        level: |l| l.equipment.hoses[0].rating_pa = 6.0e7,
        trip: |s| {
            s.loaded(618.5).run(5.0);
        },
        miss: |s| {
            s.loaded(617.5)
                .run(5.0)
                .loaded(650.0)
                .run(0.4)
                .dumped()
                .run(5.0);
        },
    },
    Case {
        rule: "over_lowest_rating",
        detail: "rating",
        level: |l| l.equipment.gun_rating_pa = 5.0e7,
        trip: |s| {
            s.set(Channel::GunPressure, 516.0).run(5.0);
        },
        miss: |s| {
            s.set(Channel::GunPressure, 514.0).run(5.0);
        },
    },
    Case {
        rule: "over_lowest_rating",
        detail: "job_sheet",
        level: |l| l.job.pressure_bar = 300.0,
        trip: |s| {
            s.loaded(309.5).run(5.0);
        },
        miss: |s| {
            s.loaded(308.5).run(5.0);
            s.set(Channel::NozzleFitted, 0.0).fed(400.0).run(5.0);
        },
    },
    Case {
        rule: "pump_unwatched",
        detail: "unwatched",
        level: plain,
        trip: |s| {
            s.loaded(100.0).set(Channel::PumpHandToDump, 0.95).run(10.0);
        },
        miss: |s| {
            s.loaded(100.0).set(Channel::PumpHandToDump, 2.0).run(2.9);
            s.set(Channel::PumpHandToDump, 0.85).run(10.0);
            s.dumped()
                .bar(9.0)
                .set(Channel::PumpHandToDump, 8.0)
                .run(10.0);
        },
    },
    Case {
        rule: "pump_unwatched",
        detail: "long_walk",
        level: plain,
        trip: |s| {
            s.loaded(60.0).set(Channel::PumpHandToDump, 5.0).run(70.0);
        },
        miss: |s| {
            s.loaded(60.0).set(Channel::PumpHandToDump, 5.0).run(59.0);
            s.set(Channel::PumpHandToDump, 0.5).run(10.0);
        },
    },
    Case {
        rule: "starved_kept_on",
        detail: "kept_on",
        level: plain,
        trip: |s| {
            s.loaded(300.0).set(Channel::Starved, 1.0).run(5.1);
        },
        // Soon unloaded, and once more for a short time with the dump shut.
        miss: |s| {
            s.loaded(300.0).set(Channel::Starved, 1.0).run(4.8);
            s.dumped().run(20.0);
            s.loaded(300.0).run(4.8);
            s.set(Channel::Starved, 0.0).run(20.0);
        },
    },
    Case {
        rule: "bypass_share",
        detail: "too_much",
        level: plain,
        trip: |s| {
            s.loaded(300.0)
                .jet(100.0)
                .set(Channel::BypassFlow, 31.0)
                .run(60.0);
        },
        miss: |s| {
            s.loaded(300.0)
                .jet(100.0)
                .set(Channel::BypassFlow, 31.0)
                .run(19.0);
            s.set(Channel::Throttle, 2.0).run(19.0).released().run(60.0);
            s.jet(100.0).set(Channel::BypassFlow, 30.0).run(60.0);
        },
    },
];

#[test]
fn a_walk_made_or_given_leaves_no_excuse_for_going_away() {
    let again = |s: &mut Scene<'_>| {
        s.loaded(60.0);
        stand(s, "walk_1");
        stand(s, "walk_2");
        s.set(Channel::PumpHandToDump, 5.0).run(20.0);
        s.set(Channel::PumpHandToDump, 0.5).run(1.0);
        s.set(Channel::PumpHandToDump, 5.0).run(20.0);
    };
    let found = found_by("pump_unwatched", &level(), again);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].detail, "unwatched");

    let mut given = level();
    given.given.leak_walked = true;
    let found = found_by("pump_unwatched", &given, |s| {
        s.loaded(60.0).set(Channel::PumpHandToDump, 5.0).run(4.0);
    });
    assert_eq!(found.len(), 1, "{found:?}");
}

#[test]
fn a_leak_walk_that_was_made_before_or_is_not_asked_for_is_not_judged() {
    let high = |s: &mut Scene<'_>| {
        s.loaded(300.0).run(5.0);
    };
    let mut level = level();
    assert_eq!(found_by("leak_walk", &level, high).len(), 1);
    level.given.leak_walked = true;
    assert_eq!(found_by("leak_walk", &level, high), []);
    level.given.leak_walked = false;
    level.criteria.clear();
    assert_eq!(found_by("leak_walk", &level, high), []);
}

/// A lance that is let go is nothing to a tank while the second tool has the water.
#[test]
fn a_line_is_not_parked_while_the_second_tool_runs() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
    let loaded = Library::at(&folder).load("10_two_lines");
    let level = loaded.unwrap_or_else(|problems| panic!("{problems}")).level;
    let rule = rule("tank_hot");
    let measured = [rule.channels(), &[Channel::Pedal, Channel::PedalOutlet]].concat();
    let found = |cock: f64, pedal: f64| {
        let mut findings = Vec::new();
        let mut watch = rule.watch(&level);
        let mut scene = Scene::of(&measured, |o| {
            watch.see(o, &mut Found::of(rule, &mut findings));
        });
        scene
            .loaded(350.0)
            .set(Channel::PedalOutlet, cock)
            .set(Channel::Pedal, pedal)
            .run(121.0);
        drop(scene);
        findings.len()
    };
    assert_eq!(found(1.0, 100.0), 0, "it runs");
    assert_eq!(found(1.0, 0.0), 1, "its pedal is up");
    assert_eq!(found(0.0, 100.0), 1, "its cock is shut");
}
