//! Each line of the lance's procedure is seen when it is done, and not when it
//! is nearly done; and each kind reads no more than it says.

use super::*;
use crate::allowed::tool_at;
use crate::level::CriterionKind as Kind;
use crate::scene::{Scene, level, surface};
use crate::{Event, HurtBy, HurtGrade};
use crew::{Call, Control, Fault, Part, Seat};

/// What becomes of one criterion in a scene in which nothing but its own
/// channels is measured.
fn result(kind: Kind, post: Seat, play: impl FnOnce(&mut Scene<'_>)) -> CriterionResult {
    let mut level = level();
    level.post = post;
    level.surface = Some(surface());
    level.equipment.nozzles[0].stand_off_m = [0.15, 0.3];
    let other = level.equipment.nozzles[0].clone();
    level.equipment.nozzles.push(other);
    level.equipment.nozzles[1].stand_off_m = [0.4, 0.6];
    for control in Control::RESTRAINTS {
        level.site.controls.push((control, [1.0, 0.5, 0.5]));
    }
    let read = channels(&kind);
    level.criteria = vec![Criterion {
        id: "one".to_owned(),
        weight: 100.0,
        kind,
    }];
    let mut criteria = Criteria::new(&level);
    play(&mut Scene::of(read, |o| criteria.see(o, 60.0)));
    criteria.results().remove(0)
}

fn share(kind: Kind, post: Seat, play: impl FnOnce(&mut Scene<'_>)) -> f64 {
    result(kind, post, play).share
}

fn at_lance(kind: Kind, play: impl FnOnce(&mut Scene<'_>)) -> f64 {
    share(kind, Seat::LANCE, play)
}

#[test]
fn cleaned_is_worth_the_share_of_what_was_asked() {
    let of = |pct| {
        at_lance(Kind::Cleaned { pct }, |s| {
            s.run(1.0);
        })
    };
    assert!((of(80.0) - 0.75).abs() < 1e-12);
    assert_eq!(of(60.0), 1.0);
    assert_eq!(of(30.0), 1.0);
}

const PATCH: Kind = Kind::TestPatch {
    at_most_bar: 200.0,
    look_s: 3.0,
};

fn works(s: &mut Scene<'_>, bar: f64, for_s: f64) {
    s.loaded(bar)
        .jet(60.0)
        .set(Channel::ImpactPressure, 40.0)
        .run(for_s);
    s.released().set(Channel::ImpactPressure, 0.0);
}

#[test]
fn a_patch_counts_when_it_was_worked_low_and_looked_at() {
    let done = at_lance(PATCH, |s| {
        works(s, 200.0, 3.0);
        s.run(1.0);
        works(s, 180.0, 2.1);
        s.run(3.1);
        works(s, 350.0, 10.0);
    });
    assert_eq!(done, 1.0);
}

#[test]
fn a_patch_too_short_or_not_looked_at_or_too_late_does_not_count() {
    let too_short = at_lance(PATCH, |s| {
        works(s, 200.0, 4.9);
        s.run(10.0);
        works(s, 350.0, 10.0);
        s.run(10.0);
    });
    let not_looked_at = at_lance(PATCH, |s| {
        works(s, 200.0, 6.0);
        s.run(2.9);
        works(s, 350.0, 10.0);
        s.run(10.0);
    });
    let too_late = at_lance(PATCH, |s| {
        works(s, 201.0, 1.0);
        works(s, 150.0, 10.0);
        s.run(10.0);
    });
    assert_eq!([too_short, not_looked_at, too_late], [0.0; 3]);
}

#[test]
fn stand_off_is_held_against_the_table_of_the_nozzle_that_is_on() {
    let kept = |nozzle: f64, mm: [f64; 2]| {
        at_lance(Kind::StandOffKept { pct: 80.0 }, |s| {
            s.set(Channel::Nozzle, nozzle)
                .set(Channel::ImpactPressure, 40.0);
            s.set(Channel::StandOff, mm[0]).run(6.0);
            s.set(Channel::StandOff, mm[1]).run(6.0);
            // Off the surface nothing is judged.
            s.set(Channel::ImpactPressure, 0.0)
                .set(Channel::StandOff, 0.0)
                .run(60.0);
        })
    };
    assert_eq!(kept(1.0, [150.0, 300.0]), 1.0);
    assert!((kept(1.0, [150.0, 301.0]) - 50.0 / 80.0).abs() < 1e-9);
    assert_eq!(kept(1.0, [149.0, 301.0]), 0.0);
    assert_eq!(kept(2.0, [400.0, 600.0]), 1.0);
    assert_eq!(kept(2.0, [150.0, 300.0]), 0.0);
    assert_eq!(kept(0.0, [150.0, 300.0]), 0.0, "no nozzle, no table");
}

#[test]
fn a_glance_of_the_jet_keeps_no_stand_off() {
    let glance = at_lance(Kind::StandOffKept { pct: 80.0 }, |s| {
        s.set(Channel::Nozzle, 1.0)
            .set(Channel::ImpactPressure, 40.0);
        s.set(Channel::StandOff, 200.0).run(4.9);
    });
    assert_eq!(glance, 0.0);
}

#[test]
fn only_what_is_cleaned_with_the_nozzle_of_the_job_counts() {
    let share = at_lance(Kind::NozzleChanged, |s| {
        s.set(Channel::Nozzle, 2.0).step(0, 1).run(1.0);
        s.set(Channel::Nozzle, 1.0)
            .step(1, 1)
            .step(2, 1)
            .step(3, 1)
            .run(1.0);
    });
    assert_eq!(share, 0.75);
    let nothing = at_lance(Kind::NozzleChanged, |s| {
        s.set(Channel::Nozzle, 1.0).run(1.0);
    });
    assert_eq!(nothing, 0.0);
}

#[test]
fn to_have_stopped_somebody_has_to_have_come() {
    let after = |comes: bool, released_after_s: f64| {
        at_lance(Kind::StoppedForIntruder, |s| {
            s.loaded(350.0).jet(80.0).run(1.0);
            let seen = f64::from(u8::from(comes));
            s.set(Channel::Intruder, seen)
                .set(Channel::IntruderSeenByLance, seen);
            s.run(released_after_s).released().run(5.0);
        })
    };
    assert_eq!(after(true, 1.4), 1.0);
    assert_eq!(after(true, 1.6), 0.0);
    assert_eq!(after(false, 1.4), 0.0);
    // Who let go before has nothing to stop, and may not squeeze again.
    let let_go = |squeezed_again: bool| {
        at_lance(Kind::StoppedForIntruder, |s| {
            s.loaded(350.0).jet(80.0).run(1.0).released().run(1.0);
            s.set(Channel::Intruder, 1.0)
                .set(Channel::IntruderSeenByLance, 1.0)
                .run(1.0);
            if squeezed_again {
                s.jet(80.0).run(5.0);
            }
        })
    };
    assert_eq!(let_go(false), 1.0);
    assert_eq!(let_go(true), 0.0);
}

#[test]
fn a_line_without_an_occasion_is_left_out_of_the_mark() {
    let weight = |comes: f64| {
        let come = |s: &mut Scene<'_>| {
            s.set(Channel::Intruder, comes).run(1.0);
        };
        result(Kind::StoppedForIntruder, Seat::LANCE, come).weight
    };
    assert_eq!(weight(0.0), 0.0);
    assert_eq!(weight(1.0), 100.0);
}

#[test]
fn who_lets_go_while_the_word_is_spoken_has_answered_it() {
    let called = |before_s: f64| {
        let scene = |s: &mut Scene<'_>| {
            s.loaded(350.0).jet(80.0).run(5.0).released().run(before_s);
            s.say(Seat::WATCH, Call::AllStop).run(5.0);
        };
        let came = result(Kind::StoppedForIntruder, Seat::LANCE, scene);
        (came.weight, came.share)
    };
    assert_eq!(called(0.6), (100.0, 1.0));
    // Long before, it was let go for another reason, and there was nothing to stop.
    assert_eq!(called(4.0).0, 0.0);
}

#[test]
fn the_lance_is_left_safe_empty_with_the_catch_on_and_out_of_the_hands() {
    let left = |bar: f64, catch: f64, at: f64| {
        at_lance(Kind::LanceLeftSafe, |s| {
            s.bar(bar)
                .set(Channel::SafetyCatch, catch)
                .set(Channel::ToolAt, at);
            s.event(Event::HandedBack).run(1.0);
        })
    };
    assert_eq!(left(1.0, 1.0, tool_at::STAND), 1.0);
    assert_eq!(left(1.1, 1.0, tool_at::STAND), 0.0);
    assert_eq!(left(1.0, 0.0, tool_at::STAND), 0.0);
    assert_eq!(left(1.0, 1.0, tool_at::HANDS), 0.0);
}

#[test]
fn a_call_for_the_dump_is_answered_in_time_or_not_at_all() {
    let after = |s: f64| {
        share(Kind::DumpedOnCall, Seat::PUMP, |scene| {
            scene.loaded(700.0).run(1.0);
            scene.say(Seat::LANCE, Call::Dump).run(s).dumped().run(5.0);
        })
    };
    assert_eq!(after(2.4), 1.0);
    assert_eq!(after(2.6), 0.0);
    let never_called = share(Kind::DumpedOnCall, Seat::PUMP, |scene| {
        scene.loaded(700.0).run(1.0).dumped().run(5.0);
    });
    assert_eq!(never_called, 0.0);
}

#[test]
fn a_trouble_is_met_once_the_right_part_is_tagged_and_the_pressure_gone_in_time() {
    let kind = || Kind::TroubleMet { within_s: 20.0 };
    let met = |live_s: f64, part: Option<Part>, again_s: f64| {
        share(kind(), Seat::PUMP, |s| {
            s.loaded(700.0).run(5.0);
            s.event(Event::Failed {
                fault: Fault::NozzleBlocked,
                amount: 1000,
            })
            .run(live_s);
            s.dumped().run(10.0);
            if let Some(part) = part {
                s.event(Event::TaggedOut {
                    seat: Seat::PUMP,
                    part,
                })
                .run(1.0);
            }
            if again_s > 0.0 {
                s.loaded(700.0).run(again_s);
            }
        })
    };
    assert_eq!(met(19.0, Some(Part::Nozzle), 0.0), 1.0);
    // Late is worth half, if it was stopped for good and the right part tagged.
    assert_eq!(met(21.0, Some(Part::Nozzle), 0.0), 0.5);
    assert_eq!(met(21.0, Some(Part::Gun), 0.0), 0.0);
    assert_eq!(met(21.0, None, 0.0), 0.0);
    assert_eq!(met(21.0, Some(Part::Nozzle), 0.5), 0.0, "it is live");
    assert_eq!(met(5.0, Some(Part::Gun), 0.0), 0.0);
    assert_eq!(met(5.0, None, 0.0), 0.0);
    // Tagged out and used all the same.
    assert_eq!(met(5.0, Some(Part::Nozzle), 30.0), 0.0);
    let late = |live_s: f64, again_s: f64| {
        result(kind(), Seat::PUMP, |s| {
            s.loaded(700.0).run(5.0);
            s.event(Event::Failed {
                fault: Fault::NozzleBlocked,
                amount: 1000,
            })
            .run(live_s);
            s.dumped().run(10.0);
            s.event(Event::TaggedOut {
                seat: Seat::PUMP,
                part: Part::Nozzle,
            });
            s.loaded(700.0).run(again_s);
            s.dumped().run(1.0);
        })
    };
    assert_eq!(late(19.0, 0.5).late_s, None);
    assert_eq!(late(21.3, 0.5).late_s, Some([21.8, 20.0]));
    assert_eq!(late(21.3, 2.0).late_s, None, "used again");
    assert_eq!(late(21.3, 2.0).share, 0.0);
    let after = |wrong: &[Part]| {
        share(kind(), Seat::PUMP, |s| {
            s.loaded(700.0).run(5.0);
            s.event(Event::Failed {
                fault: Fault::NozzleBlocked,
                amount: 1000,
            })
            .run(5.0);
            s.dumped().run(10.0);
            for part in wrong.iter().copied().chain([Part::Nozzle]) {
                s.event(Event::TaggedOut {
                    seat: Seat::PUMP,
                    part,
                })
                .run(1.0);
            }
        })
    };
    // Guesses in good faith cost nothing, the same one twice neither; a tag on everything tells nothing.
    assert_eq!(after(&[Part::Gun, Part::Gun, Part::Hose]), 1.0);
    assert_eq!(after(&[Part::Gun, Part::Hose, Part::Pump]), 0.0);
    let quiet = result(kind(), Seat::PUMP, |s| {
        s.loaded(700.0).run(30.0);
    });
    assert_eq!(quiet.weight, 0.0);
    let down = result(kind(), Seat::PUMP, |s| {
        s.loaded(700.0).run(5.0).dumped().run(5.0);
        s.event(Event::Failed {
            fault: Fault::NozzleBlocked,
            amount: 1000,
        })
        .run(60.0);
    });
    assert_eq!(down.weight, 0.0);
}

#[test]
fn restraints_count_when_all_are_clipped_before_the_first_pressure() {
    let share = |play: fn(&mut Scene<'_>)| share(Kind::Restrained, Seat::PUMP, play);
    fn clipped(s: &mut Scene<'_>, pump: f64, gun: f64) {
        s.set(Channel::PumpRestraint, pump)
            .set(Channel::GunRestraint, gun);
    }
    let never = share(|s| {
        s.run(5.0);
    });
    assert_eq!(never, 0.0);
    let late = share(|s| {
        clipped(s, 1.0, 0.0);
        s.fed(50.0).run(5.0);
        clipped(s, 1.0, 1.0);
        s.run(5.0);
    });
    assert_eq!(late, 0.0);
    let in_time = share(|s| {
        s.fed(5.0).run(5.0);
        clipped(s, 1.0, 1.0);
        s.fed(500.0).run(5.0);
    });
    assert_eq!(in_time, 1.0);
}

#[test]
fn a_parted_hose_is_met_by_a_pump_that_stops_in_time_and_nobody_hurt() {
    let kind = || Kind::StoppedForParted { within_s: 4.0 };
    let met = |live_s: f64, grade: Option<HurtGrade>| {
        result(kind(), Seat::PUMP, |s| {
            s.loaded(500.0).run(5.0);
            if let Some(grade) = grade {
                s.event(Event::Hurt {
                    seat: Seat::WATCH,
                    by: HurtBy::Hose,
                    grade,
                });
            }
            s.set(Channel::HoseParted, 1.0)
                .run(live_s)
                .dumped()
                .run(5.0);
        })
    };
    assert_eq!(met(3.9, None).share, 1.0);
    assert_eq!(met(4.2, None).share, 0.0);
    assert_eq!(met(1.0, Some(HurtGrade::Bruise)).share, 1.0);
    assert_eq!(met(1.0, Some(HurtGrade::Injury)).share, 0.0);
    let whole = result(kind(), Seat::PUMP, |s| {
        s.loaded(500.0).run(5.0).dumped().run(5.0);
    });
    assert_eq!(whole.weight, 0.0, "no occasion");
}

#[test]
fn a_level_is_not_assessable_only_for_channels_that_its_own_lines_read() {
    let without = |missing: Channel| {
        let there: Vec<Channel> = (Channel::ALL.iter().copied())
            .filter(|c| *c != missing)
            .collect();
        let mut referee = crate::Referee::new(&level());
        Scene::of(&there, |o| {
            referee.see(o);
        })
        .run(1.0);
        referee.mark(crate::Ended::HandedBack).procedure
    };
    assert_eq!(without(Channel::BleedRuns), None);
    assert!(without(Channel::SurfaceClean).is_some());
    assert!(without(Channel::StandOff).is_some());
}

/// Rests at these pressures, one after the other, each long enough to be held.
fn rests(bars: &[f64]) -> (f64, f64) {
    let kind = Kind::StepsHeld { count: 4 };
    let line = result(kind, Seat::PUMP, |s| {
        for bar in bars {
            s.loaded(*bar).run(16.0);
        }
    });
    (line.value, line.wanted)
}

#[test]
fn steps_count_as_far_as_they_are_steps_of_the_job() {
    assert_eq!(rests(&[175.0, 350.0, 525.0, 700.0]), (4.0, 4.0));
    // The first low pressure, and what more speed makes of it, are no steps of the job.
    assert_eq!(
        rests(&[55.0, 120.0, 175.0, 350.0, 525.0, 700.0]),
        (4.0, 4.0)
    );
    assert_eq!(rests(&[55.0, 120.0, 175.0, 350.0]), (2.0, 4.0));
    assert_eq!(rests(&[55.0]), (0.0, 4.0));
    // Other steps than quarters, none wider than may be, and one that was mended.
    assert_eq!(rests(&[210.0, 420.0, 630.0, 700.0]), (4.0, 4.0));
    assert_eq!(rests(&[175.0, 350.0, 525.0, 655.0, 700.0]), (4.0, 4.0));
    // Three steps are no four.
    assert_eq!(rests(&[55.0, 260.0, 460.0, 660.0]), (3.0, 4.0));
    assert_eq!(rests(&[350.0, 700.0]), (2.0, 4.0));
}
