//! What findings cost, and what of the surface counts.

use super::*;
use crate::level::{Criterion, CriterionKind};
use crate::scene::{CLEAN, Scene, level, surface};

/// The mark of a scene at a level, with everything measured.
fn marked(level: &Level, play: impl FnOnce(&mut Scene<'_>)) -> Mark {
    let mut referee = Referee::new(level);
    play(&mut Scene::of(Channel::ALL, |o| {
        referee.see(o);
    }));
    referee.mark(Ended::HandedBack)
}

/// Opens the gate under pressure and shuts it after a while.
fn gate_open_for(scene: &mut Scene<'_>, s: f64) {
    scene.set(Channel::Barrier, 0.0).run(s);
    scene.set(Channel::Barrier, 1.0);
}

/// A line under low pressure and a gate that is open for two seconds; then
/// somebody says something, after a while.
fn gate(said: Option<(Seat, f64)>) -> Mark {
    marked(&level(), |s| {
        s.loaded(50.0).run(1.0);
        gate_open_for(s, 2.0);
        if let Some((seat, after_s)) = said {
            s.run(after_s).say(seat, Call::Correction);
        }
        s.run(20.0);
    })
}

#[test]
fn what_is_put_right_and_reported_in_time_costs_half() {
    let mark = gate(Some((Seat::PUMP, 5.0)));
    assert_eq!(mark.findings.len(), 1);
    let [deduction] = mark.deductions.as_slice() else {
        panic!("{:?}", mark.deductions);
    };
    assert_eq!(
        *deduction,
        Deduction {
            finding: 0,
            points: 7.5,
            halved: true
        }
    );
    assert_eq!(mark.safety, Some(92.5));
}

#[test]
fn what_is_not_reported_or_late_or_by_another_costs_all() {
    for said in [None, Some((Seat::PUMP, 8.1)), Some((Seat::LANCE, 1.0))] {
        let mark = gate(said);
        assert_eq!(mark.deductions[0].points, 15.0, "{said:?}");
        assert_eq!(mark.safety, Some(85.0), "{said:?}");
    }
}

#[test]
fn what_is_reported_and_not_put_right_in_time_costs_all() {
    let mark = marked(&level(), |s| {
        s.loaded(50.0).run(1.0);
        s.say(Seat::PUMP, Call::Correction).run(0.5);
        s.set(Channel::Barrier, 0.0).run(1.0);
        s.say(Seat::PUMP, Call::Correction).run(9.1);
        s.set(Channel::Barrier, 1.0).run(20.0);
    });
    assert!(mark.findings[0].mended.is_some(), "put right, but late");
    assert_eq!(mark.safety, Some(85.0));
}

#[test]
fn half_price_is_given_once() {
    let mark = marked(&level(), |s| {
        s.loaded(50.0).run(1.0);
        for _ in 0..2 {
            gate_open_for(s, 2.0);
            s.say(Seat::PUMP, Call::Correction).run(20.0);
        }
    });
    let points: Vec<f64> = mark.deductions.iter().map(|d| d.points).collect();
    assert_eq!(points, [7.5, 15.0]);
    assert_eq!(mark.safety, Some(77.5));
}

#[test]
fn the_deductions_are_what_is_missing_from_a_hundred() {
    let mut at_lance = level();
    at_lance.post = Seat::LANCE;
    let mark = marked(&at_lance, |s| {
        s.loaded(50.0).run(1.0);
        gate_open_for(s, 2.0);
        // A minor finding costs all whatever is said.
        s.set(Channel::SafetyCatch, 0.0).run(6.0);
        s.set(Channel::SafetyCatch, 1.0);
        s.say(Seat::LANCE, Call::Correction).run(20.0);
    });
    let costs: Vec<(Severity, f64)> = (mark.deductions.iter())
        .map(|d| (mark.findings[d.finding].severity, d.points))
        .collect();
    assert_eq!(costs, [(Severity::Major, 7.5), (Severity::Minor, 5.0)]);
    let safety = mark.safety.expect("all is assessed");
    assert_eq!(
        100.0 - safety,
        costs.iter().map(|(_, points)| points).sum::<f64>()
    );
}

/// A level at the lance with four cells to be cleaned.
fn cleaning() -> Level {
    let mut level = level();
    level.post = Seat::LANCE;
    level.surface = Some(surface());
    level.criteria.push(Criterion {
        id: String::from("cleaned"),
        weight: 0.0,
        kind: CriterionKind::Cleaned { pct: 95.0 },
    });
    level
}

#[test]
fn coverage_is_the_share_of_the_cells_that_are_clean() {
    let mark = marked(&cleaning(), |s| {
        s.step(0, 1).step(3, CLEAN).run(1.0);
        s.step(2, CLEAN - 1).run(1.0);
    });
    assert_eq!(mark.coverage, Some(25.0));
    assert_eq!(
        marked(&level(), |s| {
            s.run(1.0);
        })
        .coverage,
        None
    );
}

#[test]
fn what_is_cleaned_while_something_critical_is_found_never_counts() {
    let mark = marked(&cleaning(), |s| {
        s.step(0, CLEAN).run(1.0);
        // The tie is found in this tick.
        s.set(Channel::TriggerTied, 1.0).step(1, CLEAN).run(2.0);
        // One step of the third cell comes too soon, and the cell stays
        // fouled however much follows.
        s.step(2, CLEAN - 1).run(1.0);
        s.step(2, CLEAN).step(3, CLEAN).run(1.0);
    });
    assert!(mark.is_critical());
    assert_eq!(mark.coverage, Some(50.0));
}

#[test]
fn coverage_does_not_suffer_from_what_is_not_critical() {
    let mark = marked(&cleaning(), |s| {
        s.loaded(50.0)
            .set(Channel::Barrier, 0.0)
            .step(1, CLEAN)
            .run(1.0);
    });
    assert_eq!(mark.findings.len(), 1);
    assert_eq!(mark.coverage, Some(25.0));
}

#[test]
fn a_cell_that_is_not_there_is_left_out() {
    let mark = marked(&cleaning(), |s| {
        s.step(4, CLEAN).step(u32::MAX, CLEAN).run(1.0);
    });
    assert_eq!(mark.coverage, Some(0.0));
}

#[test]
fn what_goes_on_below_the_deposit_cleans_no_cell_that_was_lost() {
    let mut level = cleaning();
    if let Some(surface) = &mut level.surface {
        surface.base = Some(crate::level::Base {
            deposit: "slab".to_owned(),
            title: crate::level::Words::default(),
            removal: surface.coats[0].removal,
        });
    }
    let mark = marked(&level, |s| {
        // The tool aims at somebody with the jet running, and half of a cell is gone meanwhile.
        s.loaded(350.0).jet(80.0).run(1.0);
        s.set(Channel::PointedAt, 1.0)
            .set(Channel::PointedFrom, 1.0)
            .step(0, 1)
            .run(1.0);
        s.set(Channel::PointedAt, 0.0).run(10.0);
        s.step(0, CLEAN).run(1.0).step(0, 2 * CLEAN).run(1.0);
    });
    assert!(mark.is_critical());
    assert_eq!(mark.coverage, Some(0.0));
}

#[test]
fn run_off_counts_in_the_economy_where_the_job_sheet_limits_it() {
    let of = |run_off_l: Option<f64>, ran_off_l: f64| {
        let mut level = cleaning();
        level.economy.run_off_l = run_off_l;
        level.criteria = vec![crate::level::Criterion {
            id: "cleaned".to_owned(),
            weight: 100.0,
            kind: crate::level::CriterionKind::Cleaned { pct: 20.0 },
        }];
        let mark = marked(&level, |s| {
            s.step(0, CLEAN).set(Channel::RunOff, ran_off_l).run(2.0);
        });
        mark.economy
    };
    assert_eq!(of(None, 20.0), Some(100.0));
    assert_eq!(of(Some(20.0), 20.0), Some(100.0));
    assert_eq!(of(Some(10.0), 20.0), Some(83.3));
}
