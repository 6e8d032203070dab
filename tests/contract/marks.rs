//! The mark and the rule book.

use crate::support::{library, loaded, model, model_recording};
use std::collections::BTreeSet;
use training::rules::RULES;
use training::text;
use training::{Channel, Ended, Observation, Referee};

#[test]
fn every_rule_has_an_id_of_its_own_its_texts_its_source_and_its_channels() {
    let ids: BTreeSet<&str> = RULES.iter().map(|r| r.id()).collect();
    assert_eq!(ids.len(), RULES.len());
    for rule in RULES {
        let id = rule.id();
        assert!(!rule.source().is_empty(), "{id}");
        assert!(!rule.channels().is_empty(), "{id}");
        assert!(!rule.details().is_empty(), "{id}");
        for end in ["title", "coach"].iter().chain(rule.details()) {
            assert!(text::exists(&format!("rules-{id}-{end}")), "{id} {end}");
        }
    }
}

#[test]
fn every_rule_is_broken_by_a_script_that_says_so() {
    let library = library();
    let mut broken = BTreeSet::new();
    for level in library.levels() {
        let loaded = library.load(&level).unwrap_or_else(|p| panic!("{p}"));
        for script in library.scripts(&level) {
            let script = library.script(&loaded.level, &script);
            broken.extend(script.unwrap_or_else(|p| panic!("{p}")).breaks);
        }
    }
    // What wants a fault that no level has in store is broken in `faults.rs`.
    broken.insert(String::from("oil_trip_overridden"));
    // What no script can be told to do is broken by hands in `harm.rs`; a hose that its own stiffness
    // keeps from bending so tight is bent in the rule's own test alone.
    for rule in ["kept_on_after_harm", "tripped", "hose_bent_tight"] {
        broken.insert(String::from(rule));
    }
    let ids: BTreeSet<String> = RULES.iter().map(|r| r.id().to_owned()).collect();
    assert_eq!(broken, ids);
}

#[test]
fn a_missing_channel_reads_not_assessable_and_never_passes() {
    let (loaded, played) = model();
    let recording = model_recording();
    let mut referee = Referee::new(&loaded.level);
    recording.play(|o, _| {
        let mut less = Observation::missing_all();
        less.tick = o.tick;
        less.events = o.events.clone();
        for channel in Channel::ALL {
            if *channel != Channel::BleedRuns
                && let Some(sample) = o.sample(*channel)
            {
                less.set(*channel, sample);
            }
        }
        referee.see(&less);
    });
    let mark = referee.mark(Ended::HandedBack);
    assert_eq!(
        mark.not_assessable,
        ["prove_zero_before_fitting", "shut_down_order"]
    );
    assert_eq!(mark.safety, None);
    assert_eq!(mark.procedure, None);
    assert_eq!(played.mark.safety, Some(100.0));
}

#[test]
fn an_attempt_without_a_tick_passes_nothing() {
    let mark = Referee::new(&loaded().level).mark(Ended::Stopped);
    assert_eq!(mark.safety, None);
    assert_eq!(mark.procedure, None);
}

#[test]
fn doing_nothing_saves_nothing() {
    let (loaded, _) = model();
    let mut yard = yard::Yard::new(&loaded.level).unwrap();
    let mut referee = Referee::new(&loaded.level);
    for _ in 0..600 {
        referee.see(yard.step(&[]).unwrap());
    }
    let mark = referee.mark(Ended::TimeLimit);
    assert_eq!(mark.procedure, Some(0.0));
    assert_eq!(mark.economy, Some(0.0));
}
