//! Help through a level: the model attempt goes through all of its steps, and
//! who does nothing stays at the first. That small human errors get nobody stuck,
//! the attempts with such errors show.

use crate::support::{LEVELS, library, loaded_of, recording_of};
use std::sync::Arc;
use training::coach::{Coach, Plan};
use training::{Observation, channels};

/// The help of a level.
pub fn plan(id: &str) -> Plan {
    let loaded = loaded_of(id);
    let read = library().coach(&loaded.level);
    let plan = read.unwrap_or_else(|problems| panic!("{problems}"));
    plan.unwrap_or_else(|| panic!("{id} has no help"))
}

#[test]
fn the_model_attempt_goes_through_every_step_in_its_order_to_the_last() {
    for id in LEVELS {
        let plan = plan(id);
        let steps = plan.steps.len();
        assert!(steps >= 12, "{id}: {steps} steps");
        let mut coach = Coach::new(Arc::new(plan));
        let mut before = 0;
        recording_of(id).play(|o, _| {
            coach.see(o);
            let now = coach.count();
            let name = coach.step().map(|s| s.id.clone());
            assert!(
                now == before || now == before + 1,
                "{id} at {:.2} s: from step {before} to {now} {name:?}",
                o.tick.seconds()
            );
            before = now;
        });
        let left = coach.step().map(|s| s.id.clone());
        assert_eq!((coach.count(), left), (steps, None), "{id}");
    }
}

#[test]
fn who_does_nothing_stays_at_the_first_step() {
    for id in LEVELS {
        let mut coach = Coach::new(Arc::new(plan(id)));
        let loaded = loaded_of(id);
        let mut yard = yard::Yard::new(&loaded.level).unwrap_or_else(|f| panic!("{f:?}"));
        for _ in 0..30 * crew::TICKS_PER_SECOND {
            let o = yard.step(&[]).unwrap_or_else(|f| panic!("{f:?}"));
            coach.see(o);
        }
        assert_eq!((coach.count(), coach.aside()), (0, None), "{id}");
    }
}

#[test]
fn nothing_is_done_where_nothing_is_measured() {
    for id in LEVELS {
        let mut coach = Coach::new(Arc::new(plan(id)));
        coach.see(&Observation::missing_all());
        coach.see(&Observation::with_table(&channels::table()));
        assert_eq!((coach.count(), coach.aside()), (0, None), "{id}");
    }
}

#[test]
fn help_is_no_part_of_a_level_and_in_no_bundle() {
    for id in LEVELS {
        let loaded = loaded_of(id);
        let mut names = loaded.bundle.files().iter().map(|f| f.name.as_str());
        assert!(names.all(|name| !name.contains("coach")), "{id}");
        assert!(
            !library().scripts(id).contains(&String::from("coach")),
            "{id}"
        );
    }
}

#[test]
fn what_is_said_of_calls_is_what_the_post_can_say() {
    // Words in quotation marks are calls, and calls are written as they are said.
    let calls: Vec<String> = crew::Call::ALL
        .iter()
        .map(|c| training::text::say(&format!("calls-call-{}", c.id()), &[]))
        .collect();
    for id in LEVELS {
        let plan = plan(id);
        let asides = plan.asides.iter().flat_map(|a| &a.steps);
        let mut seen = 0;
        for step in plan.steps.iter().chain(asides) {
            for text in [&step.say.en, &step.hint.en] {
                for quoted in text.split('"').skip(1).step_by(2) {
                    let word = quoted.trim_end_matches('!').to_lowercase();
                    assert!(calls.contains(&word), "{id} {}: {quoted}", step.id);
                    seen += 1;
                }
            }
        }
        assert!(seen >= 10, "{id}: {seen}");
    }
}
