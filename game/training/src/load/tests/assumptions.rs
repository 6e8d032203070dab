//! What the whole yard takes for granted, as files state it.

use super::*;
use crate::Assumptions;
use std::collections::BTreeMap;

#[test]
fn the_catalogue_states_every_assumption_of_the_table_within_a_range_and_with_a_source() {
    for library in [Library::find(), Library::built_in()] {
        for id in library.levels() {
            let level = library.load(&id).expect("a level in order").level;
            for known in Assumptions::KNOWN {
                let mut of = level.assumed.iter().filter(|a| a.id == known.id);
                let (Some(one), None) = (of.next(), of.next()) else {
                    panic!("{id}: {} is not stated once", known.id);
                };
                assert!(one.low < one.high, "{}", one.id);
                assert!(one.low <= one.value && one.value <= one.high, "{}", one.id);
                assert!(known.least <= one.low && one.high <= known.most);
                assert_eq!(one.unit, known.unit, "{}", one.id);
                assert!(!one.source.is_empty());
                assert_eq!(level.assumptions.get(known.id), Some(one.value));
            }
        }
    }
}

#[test]
fn no_two_assumptions_of_the_table_have_the_same_id_or_the_same_place() {
    for (n, known) in Assumptions::KNOWN.iter().enumerate() {
        assert!(Assumptions::KNOWN[..n].iter().all(|k| k.id != known.id));
        assert!((known.least..=known.most).contains(&known.before));
        let mut changed = Assumptions::default();
        assert_eq!(changed.get(known.id), Some(known.before));
        assert!(changed.put(known.id, known.before + 1.0));
        let others = Assumptions::KNOWN.iter().filter(|k| k.id != known.id);
        for other in others {
            assert_eq!(changed.get(other.id), Some(other.before), "{}", known.id);
        }
    }
}

#[test]
fn a_recording_from_before_the_assumptions_takes_what_held_then() {
    let Loaded { level, bundle } = loaded();
    let without = |dropped: &str| {
        let files: BTreeMap<String, Vec<u8>> = (bundle.files().iter())
            .filter(|f| f.name != dropped && f.name != "rules.txt")
            .map(|f| (f.name.clone(), f.bytes.clone()))
            .collect();
        Bundle::new(&level.id, files).load()
    };
    let before = without("catalogue/assumptions.ron").expect("a level in order");
    assert_eq!(before.assumptions, Assumptions::default());
    assert!(
        before
            .assumed
            .iter()
            .all(|a| before.assumptions.get(&a.id).is_none())
    );
    // Nothing else may be missing.
    assert!(without("catalogue/people.ron").is_err());
    // One that states a part of them is taken at its word, and for the rest holds what held.
    let text = "Assumptions([(id: \"sense.sight_s\", source: \"a test\", honesty: Memory, \
                unit: \"s\", range: (low: 0.2, value: 0.3, high: 0.4))])";
    let mut files: BTreeMap<String, Vec<u8>> = (bundle.files().iter())
        .filter(|f| f.name != "rules.txt")
        .map(|f| (f.name.clone(), f.bytes.clone()))
        .collect();
    files.insert("catalogue/assumptions.ron".to_owned(), text.into());
    let part = Bundle::new(&level.id, files)
        .load()
        .expect("a level in order");
    let wanted = Assumptions {
        sight_s: 0.3,
        ..Assumptions::default()
    };
    assert_eq!(part.assumptions, wanted);
}
