//! Rules that only the hand at the lance answers for.

use super::{Case, found_by, plain};
use crate::allowed::tool_at;
use crate::level::{Base, Words};
use crate::scene::{Scene, level, surface};
use crate::{Channel, Event, Level};
use crew::Seat;
use hydraulics::JetKind;

const LANCE: Seat = Seat::LANCE;

/// Braces the tool six seconds after the start.
pub(super) fn braced_late(s: &mut Scene<'_>) {
    s.loaded(700.0).jet(180.0).run(6.0);
    s.set(Channel::LanceBraced, 100.0).run(10.0);
}

/// Puts the catch on six seconds after the start.
pub(super) fn catch_on_late(s: &mut Scene<'_>) {
    s.loaded(350.0).set(Channel::SafetyCatch, 0.0).run(6.0);
    s.set(Channel::SafetyCatch, 1.0).run(10.0);
}

/// A surface of four cells with one deposit each, on something that can be damaged.
fn on_soft_ground(level: &mut Level) {
    let mut surface = surface();
    surface.base = Some(Base {
        deposit: "slab".to_owned(),
        title: Words::default(),
        removal: surface.coats[0].removal,
    });
    level.surface = Some(surface);
}

fn aimed(scene: &mut Scene<'_>, from_m: f64, for_s: f64) {
    let pump_hand = f64::from(Seat::PUMP.0 + 1);
    scene
        .set(Channel::PointedAt, pump_hand)
        .set(Channel::PointedFrom, from_m)
        .run(for_s);
    scene
        .set(Channel::PointedAt, 0.0)
        .set(Channel::PointedFrom, 0.0)
        .run(5.0);
}

pub(super) const CASES: &[Case] = &[
    Case {
        rule: "braced",
        detail: "not_braced",
        level: plain,
        trip: |s| {
            s.loaded(700.0)
                .jet(151.0)
                .set(Channel::LanceBraced, 89.0)
                .run(30.0);
        },
        miss: |s| {
            s.loaded(700.0)
                .jet(150.0)
                .run(5.0)
                .jet(180.0)
                .run(0.2)
                .jet(100.0)
                .run(5.0);
            s.jet(240.0).set(Channel::LanceBraced, 90.0).run(5.0);
            s.set(Channel::LanceBraced, 0.0)
                .set(Channel::ToolAt, tool_at::STAND)
                .run(5.0);
        },
    },
    Case {
        rule: "braced",
        detail: "not_braced",
        level: plain,
        // Pushed into a step, and squeezed on.
        trip: |s| {
            s.loaded(700.0).jet(180.0);
            s.set(Channel::LanceBraced, 100.0).run(5.0);
            s.set(Channel::LanceBraced, 0.0)
                .event(Event::Stepped { seat: LANCE });
            s.run(30.0);
        },
        // Let go within the second.
        miss: |s| {
            s.loaded(700.0).jet(180.0);
            s.set(Channel::LanceBraced, 100.0).run(5.0);
            s.set(Channel::LanceBraced, 0.0)
                .event(Event::Stepped { seat: LANCE });
            s.run(0.8).jet(0.0).run(5.0);
        },
    },
    Case {
        rule: "not_by_hand",
        detail: "too_strong",
        level: plain,
        trip: |s| {
            s.loaded(700.0)
                .jet(251.0)
                .set(Channel::LanceBraced, 100.0)
                .run(30.0);
        },
        miss: |s| {
            s.loaded(700.0)
                .jet(250.0)
                .run(5.0)
                .jet(300.0)
                .run(0.2)
                .jet(200.0)
                .run(5.0);
            s.jet(300.0).set(Channel::ToolAt, tool_at::STAND).run(5.0);
        },
    },
    Case {
        rule: "pointed_at_person",
        detail: "jet",
        level: plain,
        trip: |s| {
            s.loaded(350.0).set(Channel::Nozzle, 1.0).jet(80.0).run(1.0);
            aimed(s, 2.0, 0.01);
        },
        // Past somebody beyond the distance at which it hurts.
        miss: |s| {
            s.loaded(350.0).set(Channel::Nozzle, 1.0).jet(80.0).run(1.0);
            aimed(s, 2.4, 0.29);
            aimed(s, 15.1, 10.0);
        },
    },
    Case {
        rule: "pointed_at_person",
        detail: "live",
        level: plain,
        trip: |s| {
            s.loaded(350.0).set(Channel::Nozzle, 1.0).jet(80.0).run(1.0);
            aimed(s, 10.0, 1.0);
        },
        miss: |s| {
            s.loaded(350.0).set(Channel::Nozzle, 1.0).jet(80.0).run(1.0);
            aimed(s, 10.0, 0.29);
        },
    },
    Case {
        rule: "pointed_at_person",
        detail: "jet",
        // A fan is harmless much nearer.
        level: |l| l.equipment.nozzles[0].jet.kind = JetKind::Fan { spread_rad: 0.26 },
        trip: |s| {
            s.loaded(350.0).set(Channel::Nozzle, 1.0).jet(80.0).run(1.0);
            aimed(s, 0.2, 0.01);
        },
        miss: |s| {
            s.loaded(350.0).set(Channel::Nozzle, 1.0).jet(80.0).run(1.0);
            aimed(s, 1.0, 0.29);
        },
    },
    Case {
        rule: "pointed_at_person",
        detail: "jet",
        // Of a nozzle that nobody knows the farthest is taken.
        level: plain,
        trip: |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            aimed(s, 10.0, 0.01);
        },
        miss: |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            aimed(s, 10.1, 0.29);
        },
    },
    Case {
        rule: "substrate_damaged",
        detail: "too_much",
        level: on_soft_ground,
        trip: |s| {
            s.step(0, 2).step(1, 2).run(1.0);
            s.step(0, 3).run(1.0).step(0, 4).run(5.0);
        },
        miss: |s| {
            s.step(0, 2).step(1, 3).run(1.0).step(0, 3).run(5.0);
        },
    },
    Case {
        rule: "pointed_at_person",
        detail: "live",
        level: plain,
        trip: |s| {
            s.loaded(350.0).run(1.0);
            aimed(s, 15.0, 10.0);
        },
        miss: |s| {
            s.loaded(350.0).run(1.0);
            aimed(s, 2.0, 0.29);
            aimed(s, 15.1, 10.0);
            s.set(Channel::ToolAt, tool_at::STAND);
            aimed(s, 2.0, 10.0);
        },
    },
    Case {
        rule: "pointed_at_person",
        detail: "dry",
        level: plain,
        trip: |s| aimed(s, 5.0, 10.0),
        miss: |s| {
            aimed(s, 2.0, 0.29);
            aimed(s, 5.1, 10.0);
        },
    },
    Case {
        rule: "pointed_at_feet",
        detail: "too_near",
        level: plain,
        trip: |s| {
            s.loaded(350.0)
                .jet(80.0)
                .set(Channel::JetToFeet, 0.99)
                .run(5.0);
        },
        miss: |s| {
            s.loaded(350.0)
                .jet(80.0)
                .set(Channel::JetToFeet, 1.0)
                .run(5.0);
            s.released().set(Channel::JetToFeet, 0.2).run(5.0);
        },
    },
    Case {
        rule: "walk_with_flow",
        detail: "walked",
        level: plain,
        trip: |s| {
            s.loaded(350.0)
                .jet(80.0)
                .set(Channel::LanceHandSpeed, 0.31)
                .run(5.0);
        },
        miss: |s| {
            s.loaded(350.0)
                .jet(80.0)
                .set(Channel::LanceHandSpeed, 0.3)
                .run(5.0);
            s.set(Channel::LanceHandSpeed, 1.0)
                .event(Event::Stepped { seat: LANCE })
                .run(1.2);
            s.released().run(5.0);
        },
    },
    Case {
        rule: "safety_catch",
        detail: "left_off",
        level: plain,
        trip: |s| {
            s.loaded(350.0).set(Channel::SafetyCatch, 0.0).run(30.0);
        },
        miss: |s| {
            s.loaded(350.0).set(Channel::SafetyCatch, 0.0).run(4.9);
            s.jet(80.0)
                .run(1.0)
                .released()
                .set(Channel::SafetyCatch, 0.0)
                .run(4.9);
            s.dumped().run(30.0);
        },
    },
    Case {
        rule: "safety_catch",
        detail: "moving",
        level: plain,
        trip: |s| {
            s.loaded(350.0).set(Channel::SafetyCatch, 0.0);
            s.set(Channel::LanceHandSpeed, 0.6).run(2.0);
        },
        miss: |s| {
            s.loaded(350.0).set(Channel::SafetyCatch, 0.0);
            s.set(Channel::LanceHandSpeed, 0.6).run(0.2);
            s.set(Channel::LanceHandSpeed, 0.5).run(2.0);
            s.set(Channel::LanceHandSpeed, 1.5)
                .event(Event::Slipped { seat: LANCE })
                .run(1.0);
        },
    },
    Case {
        rule: "tied_trigger",
        detail: "tied",
        level: plain,
        trip: |s| {
            s.set(Channel::TriggerTied, 1.0).run(30.0);
        },
        miss: |s| {
            s.loaded(350.0).jet(80.0).run(300.0);
        },
    },
    Case {
        rule: "left_under_pressure",
        detail: "dropped",
        level: plain,
        trip: |s| {
            s.loaded(7.5).run(1.0);
            s.set(Channel::ToolAt, tool_at::GROUND)
                .event(Event::Dropped { seat: LANCE });
            s.set(Channel::ToolAway, 3.0).run(30.0);
        },
        miss: |s| {
            s.loaded(7.0).run(1.0);
            s.set(Channel::ToolAt, tool_at::GROUND)
                .event(Event::Dropped { seat: LANCE });
            s.set(Channel::ToolAway, 3.0).run(30.0);
        },
    },
    Case {
        rule: "left_under_pressure",
        detail: "fell",
        level: plain,
        trip: |s| {
            s.loaded(350.0).run(1.0);
            s.event(Event::Fell { seat: LANCE }).run(0.1);
            s.set(Channel::ToolAt, tool_at::GROUND)
                .event(Event::Dropped { seat: LANCE });
            s.run(30.0);
        },
        // A slip long before is another matter.
        miss: |s| {
            s.loaded(350.0).run(1.0);
            s.event(Event::Fell { seat: LANCE }).run(1.0);
            s.dumped().run(1.0);
            s.set(Channel::ToolAt, tool_at::GROUND)
                .event(Event::Dropped { seat: LANCE });
            s.run(30.0);
        },
    },
    Case {
        rule: "left_under_pressure",
        detail: "laid_down",
        level: plain,
        trip: |s| {
            s.loaded(350.0).run(1.0);
            s.set(Channel::ToolAt, tool_at::GROUND)
                .event(Event::LaidDown { seat: LANCE });
            s.run(30.0);
        },
        miss: |s| {
            s.loaded(350.0).run(1.0).dumped().run(1.0);
            s.set(Channel::ToolAt, tool_at::GROUND)
                .event(Event::LaidDown { seat: LANCE });
            s.set(Channel::ToolAway, 9.0).run(30.0);
        },
    },
    Case {
        rule: "left_under_pressure",
        detail: "left",
        level: plain,
        trip: |s| {
            s.set(Channel::ToolAt, tool_at::STAND)
                .loaded(350.0)
                .run(5.0);
            s.set(Channel::ToolAway, 2.1).run(30.0);
        },
        // The second is the flush from the stand.
        miss: |s| {
            s.set(Channel::ToolAt, tool_at::STAND)
                .set(Channel::ToolAway, 2.0);
            s.loaded(350.0).run(5.0).dumped();
            s.set(Channel::NozzleFitted, 0.0).fed(9.0).run(1.0);
            s.event(Event::LaidDown { seat: LANCE }).run(20.0);
        },
    },
    Case {
        rule: "live_hose",
        detail: "held",
        level: plain,
        trip: |s| {
            s.loaded(7.1).set(Channel::HoseHeld, 1.0).run(30.0);
        },
        miss: |s| {
            s.loaded(7.0).set(Channel::HoseHeld, 1.0).run(30.0);
            s.set(Channel::HoseHeld, 0.0).loaded(350.0).run(30.0);
        },
    },
    Case {
        rule: "kept_dry",
        detail: "wetted",
        level: plain,
        trip: |s| {
            s.set(Channel::ToolFlow, 1.1)
                .set(Channel::PointedAtKeptDry, 1.0)
                .run(30.0);
        },
        miss: |s| {
            s.set(Channel::ToolFlow, 1.0)
                .set(Channel::PointedAtKeptDry, 1.0)
                .run(30.0);
            s.set(Channel::PointedAtKeptDry, 0.0)
                .set(Channel::ToolFlow, 30.0)
                .run(30.0);
        },
    },
];

#[test]
fn each_aiming_is_found_once_and_the_next_one_again() {
    let mut level = level();
    level.post = LANCE;
    let found = found_by("pointed_at_person", &level, |s| {
        aimed(s, 2.0, 1.0);
        aimed(s, 2.0, 1.0);
    });
    assert_eq!(found.len(), 2, "{found:?}");
}

#[test]
fn water_out_of_a_bare_end_is_no_jet() {
    let mut level = level();
    level.post = LANCE;
    for rule in ["pointed_at_feet", "walk_with_flow"] {
        let found = found_by(rule, &level, |s| {
            s.fed(3.0).jet(20.0).set(Channel::JetToFeet, 0.3);
            s.set(Channel::LanceHandSpeed, 1.0).run(5.0);
        });
        assert_eq!(found, [], "{rule}");
    }
}
