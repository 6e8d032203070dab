//! The bands that plans tell for the needle: what is told is what counts, and whoever keeps within
//! them keeps within the rules.

use super::{Condition, MOST, Plan, READ_BAR, Step, read_off_bar};
use crate::load::Library;
use crate::scene::Scene;
use crate::{Channel, Level};
use crew::Seat;
use std::path::Path;

/// All levels with help for a hand at the pump.
fn plans() -> Vec<(Level, Plan)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
    let library = Library::at(&folder);
    let load = |id: String| {
        let level = library.load(&id).unwrap_or_else(|p| panic!("{p}")).level;
        let plan = library.coach(&level).unwrap_or_else(|p| panic!("{p}"));
        Some((level, plan?))
    };
    let all = library.levels().into_iter().filter_map(load);
    all.filter(|(_, plan)| plan.post == Seat::PUMP).collect()
}

/// The band in which the needle is to be held for a while, where that is all a step asks for.
fn held(step: &Step) -> Option<[f64; 2]> {
    step.done.iter().find_map(|stage| match stage.when {
        Condition::Reads {
            channel: Channel::Gauge,
            at_least,
            at_most,
        } if at_most < MOST && stage.for_s >= 10.0 => Some([at_least, at_most]),
        _ => None,
    })
}

/// The band that a text tells, as in "(245 to 260)".
fn told(text: &str) -> Option<[f64; 2]> {
    let (_, rest) = text.split_once('(')?;
    let (band, _) = rest.split_once(')')?;
    let (least, most) = band.split_once(" to ")?;
    Some([least.parse().ok()?, most.parse().ok()?])
}

#[test]
fn the_band_that_is_told_is_the_one_that_counts_and_can_be_read() {
    let mut seen = 0;
    for (level, plan) in plans() {
        for step in &plan.steps {
            let held = held(step);
            assert_eq!(told(&step.say.en), held, "{} {}", level.id, step.id);
            for edge in held.into_iter().flatten() {
                assert_eq!(read_off_bar(edge), edge, "{} {}", level.id, step.id);
                seen += 1;
            }
        }
    }
    // Four steps at three levels, each with two edges.
    assert!(seen >= 24, "{seen}");
}

#[test]
fn whoever_keeps_within_the_bands_breaks_no_rule_about_pressure() {
    for (level, plan) in plans() {
        let share = level.region.limits.step_share_max_pct.value / 100.0;
        let step_bar = share * level.job.pressure_bar;
        let mut before = 0.0;
        for band in plan.steps.iter().filter_map(held) {
            // What is read as an edge may stand half a line beyond it.
            let [least, most] = [band[0] - 0.5 * READ_BAR, band[1] + 0.5 * READ_BAR];
            assert!(most - before <= step_bar, "{}: {band:?}", level.id);
            assert!(most <= level.job_most_bar(), "{}: {band:?}", level.id);
            before = least;
        }
        let within = before < level.job.pressure_bar;
        assert!(within, "{}: the last step is the job's", level.id);
    }
}

#[test]
fn what_is_read_as_the_edge_of_a_band_is_within_it() {
    let band = Condition::Reads {
        channel: Channel::Gauge,
        at_least: 165.0,
        at_most: 190.0,
    };
    let mut within = Vec::new();
    let known = super::Known {
        post: Seat::PUMP,
        chosen: None,
    };
    Scene::of(&[Channel::Gauge], |o| within.push(band.holds(o, &known)))
        .set(Channel::Gauge, 162.0)
        .run(0.01)
        .set(Channel::Gauge, 163.0)
        .run(0.01)
        .set(Channel::Gauge, 192.0)
        .run(0.01)
        .set(Channel::Gauge, 193.0)
        .run(0.01);
    assert_eq!(within, [false, true, true, false]);
}

#[test]
fn a_needle_is_read_to_a_bar_and_from_a_hundred_to_five() {
    let read = [0.4, 54.6, 99.4, 99.6, 102.4, 102.6, 512.4, 512.6].map(read_off_bar);
    assert_eq!(read, [0.0, 55.0, 99.0, 100.0, 100.0, 105.0, 510.0, 515.0]);
}
