//! Rules about hoses that let go, feet that do not hold, and people who are hurt.

use super::{Case, found_by, plain};
use crate::scene::{Scene, level};
use crate::{Channel, Event, HurtBy, HurtGrade, Level};
use crew::{Control, Seat};

const LANCE: Seat = Seat::LANCE;

/// Both couplings have a restraint.
pub(super) fn restrained(level: &mut Level) {
    for control in Control::RESTRAINTS {
        level.site.controls.push((control, [1.0, 0.5, 0.5]));
    }
}

fn at_lance(level: &mut Level) {
    level.post = LANCE;
}

fn clipped<'a, 's>(s: &'s mut Scene<'a>, pump: f64, gun: f64) -> &'s mut Scene<'a> {
    s.set(Channel::PumpRestraint, pump)
        .set(Channel::GunRestraint, gun)
}

/// Clips the restraint at the gun six seconds after the start.
pub(super) fn clipped_late(s: &mut Scene<'_>) {
    clipped(s, 1.0, 0.0).fed(8.0).run(6.0);
    clipped(s, 1.0, 1.0).run(10.0);
}

/// Lets the bend out six seconds after the start.
pub(super) fn straightened_late(s: &mut Scene<'_>) {
    s.loaded(350.0).set(Channel::HoseKinked, 1.0).run(6.0);
    s.set(Channel::HoseKinked, 0.0).run(10.0);
}

fn hurt(seat: Seat, by: HurtBy, grade: HurtGrade) -> Event {
    Event::Hurt { seat, by, grade }
}

/// Stands on ground of this friction with a jet for so long, then on firm ground.
fn stands(s: &mut Scene<'_>, footing_pct: f64, for_s: f64) {
    s.loaded(500.0).jet(120.0);
    s.set(Channel::Footing, footing_pct).run(for_s);
    s.set(Channel::Footing, 70.0).run(20.0);
}

pub(super) const CASES: &[Case] = &[
    Case {
        rule: "unrestrained_coupling",
        detail: "pump_end",
        level: restrained,
        trip: |s| {
            clipped(s, 0.0, 1.0).fed(7.5).run(30.0);
        },
        miss: |s| {
            // Below what hurts it may hang.
            clipped(s, 0.0, 0.0).fed(6.5).run(30.0);
            clipped(s, 1.0, 1.0).fed(1000.0).run(30.0);
        },
    },
    Case {
        rule: "unrestrained_coupling",
        detail: "gun_end",
        level: restrained,
        trip: |s| {
            clipped(s, 1.0, 0.0).fed(500.0).run(30.0);
        },
        miss: |s| {
            clipped(s, 1.0, 1.0).fed(500.0).run(30.0);
            s.dumped().run(5.0);
            clipped(s, 0.0, 0.0).run(30.0);
        },
    },
    Case {
        rule: "somebody_hurt",
        detail: "jet",
        level: at_lance,
        trip: |s| {
            s.event(hurt(Seat::WATCH, HurtBy::Jet, HurtGrade::Injury))
                .run(1.0);
        },
        miss: |s| {
            s.event(hurt(Seat::WATCH, HurtBy::Jet, HurtGrade::Bruise))
                .run(1.0);
        },
    },
    Case {
        rule: "somebody_hurt",
        detail: "hose",
        level: plain,
        trip: |s| {
            s.event(hurt(LANCE, HurtBy::Hose, HurtGrade::Grave))
                .run(1.0);
        },
        miss: |s| {
            // At the pump nobody answers for what the lance hand strikes.
            s.event(hurt(Seat::VISITOR, HurtBy::Jet, HurtGrade::Grave))
                .run(1.0);
        },
    },
    Case {
        rule: "somebody_hurt",
        detail: "fall",
        level: at_lance,
        trip: |s| {
            s.event(hurt(LANCE, HurtBy::Fall, HurtGrade::Injury))
                .run(1.0);
        },
        miss: |s| {
            s.event(hurt(Seat::PUMP, HurtBy::Fall, HurtGrade::Injury))
                .run(1.0);
        },
    },
    Case {
        rule: "kept_on_after_harm",
        detail: "hurt",
        level: plain,
        trip: |s| {
            s.loaded(500.0);
            s.event(hurt(LANCE, HurtBy::Fall, HurtGrade::Injury))
                .run(6.1);
        },
        miss: |s| {
            s.loaded(500.0);
            s.event(hurt(LANCE, HurtBy::Fall, HurtGrade::Bruise))
                .run(10.0);
            s.event(hurt(LANCE, HurtBy::Jet, HurtGrade::Grave)).run(5.9);
            s.dumped().run(60.0);
        },
    },
    Case {
        rule: "kept_on_after_harm",
        detail: "parted",
        level: at_lance,
        trip: |s| {
            s.loaded(500.0).set(Channel::HoseParted, 2.0).run(6.1);
        },
        miss: |s| {
            s.loaded(500.0).set(Channel::HoseParted, 1.0).run(5.9);
            s.dumped().run(20.0);
            // As new, it may be fed again.
            s.set(Channel::HoseParted, 0.0).loaded(500.0).run(20.0);
        },
    },
    Case {
        rule: "kept_on_after_harm",
        detail: "again",
        level: plain,
        trip: |s| {
            s.loaded(500.0);
            s.event(hurt(Seat::VISITOR, HurtBy::Jet, HurtGrade::Injury))
                .run(2.0);
            s.dumped().run(100.0);
            s.loaded(50.0).run(20.0);
        },
        miss: |s| {
            // Who is hurt themselves is not asked to act.
            s.loaded(500.0);
            s.event(hurt(Seat::PUMP, HurtBy::Hose, HurtGrade::Injury))
                .run(20.0);
        },
    },
    Case {
        rule: "unsound_footing",
        detail: "slippery",
        level: plain,
        trip: |s| stands(s, 39.0, 1.1),
        miss: |s| {
            stands(s, 39.0, 0.8);
            stands(s, 40.0, 10.0);
            // Without a jet one may stand where one likes.
            s.released().set(Channel::Footing, 15.0).run(20.0);
        },
    },
    Case {
        rule: "tripped",
        detail: "tripped",
        level: plain,
        trip: |s| {
            s.loaded(500.0)
                .event(Event::Tripped { seat: LANCE })
                .run(1.0);
        },
        miss: |s| {
            s.event(Event::Tripped {
                seat: Seat::VISITOR,
            })
            .run(1.0);
            s.loaded(500.0).jet(100.0);
            s.event(Event::Tripped { seat: LANCE }).run(1.0);
        },
    },
    Case {
        rule: "tripped_with_jet",
        detail: "tripped",
        level: plain,
        trip: |s| {
            s.loaded(500.0).jet(100.0);
            s.event(Event::Tripped { seat: LANCE }).run(1.0);
        },
        miss: |s| {
            s.loaded(500.0).jet(100.0).run(1.0);
            s.released().event(Event::Tripped { seat: LANCE }).run(1.0);
        },
    },
    Case {
        rule: "hose_bent_tight",
        detail: "kinked",
        level: plain,
        trip: |s| {
            s.loaded(350.0).set(Channel::HoseKinked, 1.0).run(3.1);
        },
        miss: |s| {
            s.loaded(350.0).set(Channel::HoseKinked, 1.0).run(2.9);
            s.dumped().run(20.0);
        },
    },
];

#[test]
fn a_level_without_restraints_is_not_judged_by_them() {
    let found = found_by("unrestrained_coupling", &level(), |s| {
        s.fed(1000.0).run(10.0);
    });
    assert_eq!(found, []);
}

#[test]
fn a_wound_is_found_at_the_grade_it_has_and_once_each() {
    let mut level = level();
    level.post = LANCE;
    let found = found_by("somebody_hurt", &level, |s| {
        s.event(hurt(LANCE, HurtBy::Tool, HurtGrade::Grave))
            .run(5.0);
        s.event(hurt(Seat::PUMP, HurtBy::Spray, HurtGrade::Injury))
            .run(5.0);
    });
    let told: Vec<(&str, f64)> = found.iter().map(|f| (f.detail.as_str(), f.value)).collect();
    assert_eq!(told, [("tool", 3.0), ("spray", 2.0)]);
}

#[test]
fn one_harm_that_goes_on_is_found_once() {
    let found = found_by("kept_on_after_harm", &level(), |s| {
        s.loaded(500.0).set(Channel::HoseParted, 1.0).run(30.0);
        s.dumped().run(5.0);
        s.loaded(500.0).run(30.0);
    });
    assert_eq!(found.len(), 1, "{found:?}");
}
