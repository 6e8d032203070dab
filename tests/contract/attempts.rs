//! The model attempt, the bad ones, human hands, and machines that are a little
//! different.

use crate::coached::plan;
use crate::support::{
    LEVEL, LEVELS, LOOSE_END, Played, SLAB, library, loaded, loaded_of, model_of, played, script,
};
use crew::{Outcome, Skill, StuckReason};
use std::collections::BTreeSet;
use std::sync::Arc;
use training::Ended;
use training::coach::Coach;
use training::recording::{Bundle, Recording};

#[test]
fn the_model_attempt_is_without_a_finding_and_gets_everything_done() {
    for level in LEVELS {
        let (loaded, played) = model_of(level);
        let mark = &played.mark;
        assert_eq!(mark.findings, [], "{level}");
        assert_eq!(mark.not_assessable, Vec::<String>::new(), "{level}");
        assert_eq!(mark.safety, Some(100.0), "{level}");
        assert_eq!(mark.procedure, Some(100.0), "{level}");
        assert_eq!(mark.ended, Ended::HandedBack, "{level}");
        assert_eq!(played.outcome, Outcome::Done, "{level}");
        assert_eq!(
            mark.coverage.is_some(),
            loaded.level.cleaned().is_some(),
            "{level}"
        );
    }
    let coverage = model_of(SLAB).1.mark.coverage;
    assert!(coverage.is_some_and(|pct| pct >= 95.0), "{coverage:?}");
}

#[test]
fn no_segment_of_the_hose_stretches_by_two_millimetres() {
    for level in LEVELS {
        let (_, played) = model_of(level);
        assert!(played.stretch_mm > 0.0, "the stretch is measured");
        // A hose whose coupling lets go is pulled at by twice the end-cap load at most, 19 kN at 700 bar:
        // of its stiffness of 1 MN, 4.7 mm of a segment.
        let most_mm = if level == LOOSE_END { 4.7 } else { 2.0 };
        assert!(
            played.stretch_mm < most_mm,
            "{level}: {} mm",
            played.stretch_mm
        );
    }
}

/// Plays a script of a level without error; the ids of the rules that it was
/// written to break, those that it was found to break, and what became of it.
fn broken_by(level: &str, name: &str) -> (Vec<String>, Vec<String>, Played) {
    let loaded = library().load(level).unwrap_or_else(|p| panic!("{p}"));
    let bundle = Bundle::new(loaded.bundle.bytes());
    let script = script(&loaded.level, name);
    let mut wanted = script.breaks.clone();
    let played = played(&loaded.level, &bundle, script, Skill::steady(), 1);
    let findings = played.mark.findings.iter();
    let mut found: Vec<String> = findings.map(|f| f.rule.clone()).collect();
    wanted.sort();
    found.sort();
    (wanted, found, played)
}

#[test]
fn a_bad_attempt_is_found_out_once_for_each_rule_it_was_written_to_break_and_for_no_other() {
    let library = library();
    let mut bad = Vec::new();
    for level in library.levels() {
        let loaded = library.load(&level).unwrap_or_else(|p| panic!("{p}"));
        for name in library.scripts(&level) {
            if !script(&loaded.level, &name).breaks.is_empty() {
                bad.push((level.clone(), name));
            }
        }
    }
    assert!(bad.len() >= 4, "{bad:?}");
    for (level, name) in bad {
        let (wanted, found, played) = broken_by(&level, &name);
        assert_eq!(found, wanted, "{level} {name}");
        assert_eq!(played.mark.safety, Some(0.0), "{level} {name}");
        if wanted.iter().any(|rule| rule == "somebody_hurt") {
            // Whoever lies hurt on the ground hands nothing back.
            let fallen = |why: &StuckReason| matches!(why, StuckReason::Fallen);
            assert!(
                matches!(&played.outcome, Outcome::Stuck { reason, .. } if fallen(reason)),
                "{level} {name}: {:?}",
                played.outcome
            );
            continue;
        }
        assert_eq!(played.outcome, Outcome::Done, "{level} {name}");
        assert_eq!(played.mark.ended, Ended::HandedBack, "{level} {name}");
    }
}

#[test]
fn the_bad_attempts_of_the_two_levels_break_seven_and_fifteen_rules() {
    for (level, count) in [("01_first_pressure", 7), ("02_fouled_slab", 15)] {
        let loaded = library().load(level).unwrap_or_else(|p| panic!("{p}"));
        let breaks = script(&loaded.level, "bad").breaks;
        let distinct: BTreeSet<&String> = breaks.iter().collect();
        assert_eq!((breaks.len(), distinct.len()), (count, count), "{level}");
    }
}

/// Plays the model script so many times on both cores.
fn many<T: Send>(count: u64, play: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let play = &play;
    std::thread::scope(|scope| {
        let halves = [0, 1].map(|half| {
            scope.spawn(move || {
                (1..=count)
                    .filter(|seed| seed % 2 == half)
                    .map(play)
                    .collect::<Vec<T>>()
            })
        });
        halves
            .into_iter()
            .flat_map(|half| half.join().unwrap_or_else(|_| panic!("an attempt failed")))
            .collect()
    })
}

/// Plays a level so many times with small human errors: no finding, all done, a
/// surface clean to its grade, and nobody whom the help leaves stuck.
fn human_hands(id: &str, count: u64) {
    let loaded = loaded_of(id);
    let bundle = Bundle::new(loaded.bundle.bytes());
    let model = script(&loaded.level, "model");
    let help = Arc::new(plan(id));
    let durations = many(count, |seed| {
        let played = played(&loaded.level, &bundle, model.clone(), Skill::human(), seed);
        assert_eq!(played.mark.findings, [], "seed {seed}");
        assert_eq!(played.mark.safety, Some(100.0), "seed {seed}");
        assert_eq!(played.outcome, Outcome::Done, "seed {seed}");
        if let Some(surface) = &loaded.level.surface {
            let coverage = played.mark.coverage;
            println!("seed {seed}: {coverage:?} % clean");
            assert!(
                coverage.is_some_and(|pct| pct >= surface.grade_pct),
                "seed {seed}: {coverage:?}"
            );
        }
        let recording = Recording::read(played.bytes);
        let recording = recording.unwrap_or_else(|fault| panic!("seed {seed}: {fault}"));
        let mut coach = Coach::new(help.clone());
        recording.play(|o, _| coach.see(o));
        let left = coach.step().map(|s| s.id.clone());
        assert_eq!(left, None, "seed {seed}");
        played.mark.duration_s.to_bits()
    });
    let different: BTreeSet<u64> = durations.into_iter().collect();
    assert!(
        different.len() as u64 * 5 > count * 4,
        "the errors differ from seed to seed"
    );
}

#[test]
fn fifty_attempts_with_small_human_errors_are_without_a_finding() {
    human_hands(LEVEL, 50);
}

#[test]
fn six_attempts_at_the_slab_with_small_human_errors_are_without_a_finding() {
    human_hands(SLAB, 6);
}

#[test]
fn with_every_catalogue_value_off_by_up_to_a_tenth_the_model_script_ends_or_says_why_not() {
    let loaded = loaded();
    let bundle = Bundle::new(loaded.bundle.bytes());
    let model = script(&loaded.level, "model");
    let outcomes = many(20, |seed| {
        let other = loaded
            .bundle
            .perturbed(seed, 0.1)
            .unwrap_or_else(|problems| panic!("{problems}"));
        assert_ne!(other.level.equipment, loaded.level.equipment);
        played(&other.level, &bundle, model.clone(), Skill::steady(), seed).outcome
    });
    let mut done = 0;
    for outcome in outcomes {
        match outcome {
            Outcome::Done => done += 1,
            Outcome::Stuck { reason, .. } => assert!(
                matches!(
                    reason,
                    StuckReason::PressureCannotBeReached { .. }
                        | StuckReason::EngineStopped
                        | StuckReason::EngineWouldNotStart
                        | StuckReason::Fallen
                ),
                "not a physical reason: {reason:?}"
            ),
            Outcome::Running => panic!("the script neither ended nor got stuck"),
        }
    }
    assert!(done >= 10, "most machines still do the job: {done} of 20");
}
