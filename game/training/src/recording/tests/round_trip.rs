use super::*;

#[test]
fn a_recording_shows_the_referee_what_the_live_one_saw() {
    for ticks in [1, 59, 60, 61, 1000] {
        let moments = attempt(ticks, 1);
        let (bytes, sealed) = record(&moments, Some(&key()));
        let recording = Recording::read(bytes).unwrap();
        let signed = Some(key().public().fingerprint());
        assert_eq!(recording.status(), Status::Sealed { signed });
        shows(&recording, &moments);
        assert_eq!(*recording.header(), header());
        assert_eq!(recording.opened(), Some(&opened()));
        assert_eq!(recording.closed(), Some(&closed()));
        assert_eq!(recording.end(), Some(&end(&moments)));
        assert_eq!(recording.body_hash(), Some(sealed.body_hash));
        assert_eq!(recording.envelope_hash(), Some(sealed.envelope_hash));
        assert_eq!(Sum::of(&recording.body_bytes()), sealed.body_hash);
        let events: Vec<_> = moments
            .iter()
            .flat_map(|m| m.events.iter().map(|e| (m.tick, *e)))
            .collect();
        assert_eq!(recording.events(), events);
    }
}

#[test]
fn samples_at_the_ends_of_their_range_come_back() {
    let mut moments = attempt(240, 2);
    let ends = [i32::MIN, i32::MAX, 0, -1, i32::MAX, i32::MIN];
    for (m, value) in moments.iter_mut().zip(ends.iter().cycle()) {
        let all = Sample {
            min: *value,
            mean: *value,
            max: *value,
        };
        m.samples[Channel::Trigger.index()] = all;
        if (m.tick.0 + 1).is_multiple_of(6) {
            let (min, max) = (i32::MAX, i32::MIN);
            m.samples[Channel::Thrust.index()] = Sample {
                min,
                mean: *value,
                max,
            };
        } else if m.tick.0 > 5 {
            continue;
        }
    }
    // A channel holds its sample until the next.
    let mut held = moments[0].samples[Channel::Thrust.index()];
    for m in &mut moments {
        let thrust = &mut m.samples[Channel::Thrust.index()];
        if (m.tick.0 + 1).is_multiple_of(6) {
            held = *thrust;
        }
        *thrust = held;
    }
    let (bytes, _) = record(&moments, None);
    shows(&Recording::read(bytes).unwrap(), &moments);
}

#[test]
fn two_runs_have_equal_bodies_whoever_sat_there_and_whenever() {
    let moments = attempt(500, 3);
    let (first, a) = record(&moments, Some(&key()));
    let somebody = Opened {
        trainee: "T-018".to_owned(),
        display_name: None,
        started_unix_s: 1_900_086_400,
        device: "another machine".to_owned(),
        mode: Mode::Assessment,
    };
    let pace = Closed {
        wall_s: 9.0,
        least_real_time_factor: 0.9,
        frames: Some(FrameStatistics {
            count: 540,
            mean_ms: 16.7,
            p99_ms: 18.0,
            worst_ms: 40.0,
        }),
    };
    let (second, b) = record_as(&moments, header(), somebody, pace, None);
    let body = |bytes: Vec<u8>| Recording::read(bytes).unwrap().body_bytes();
    assert_eq!(body(first), body(second));
    assert_eq!(a.body_hash, b.body_hash);
    assert_ne!(a.envelope_hash, b.envelope_hash);
}

#[test]
fn one_other_input_makes_another_body() {
    let moments = attempt(500, 3);
    let mut other = moments.clone();
    other[250].inputs[0].act = Act::LetGo;
    assert_ne!(
        record(&moments, None).1.body_hash,
        record(&other, None).1.body_hash
    );
}

#[test]
fn a_recording_is_read_with_its_own_table() {
    let header = Header {
        channels: foreign_table(),
        ..header()
    };
    let mut bytes = Vec::new();
    let mut journal = Journal::begin(&mut bytes, header, opened()).unwrap();
    let at = |value| Sample {
        min: value - 1,
        mean: value,
        max: value + 2,
    };
    let mut wind = at(0);
    let mut gauge = at(400);
    for tick in (0..100).map(Tick) {
        if (tick.0 + 1).is_multiple_of(3) {
            wind = at(tick.0 as i32);
            gauge = at(400 + tick.0 as i32);
        }
        journal
            .tick(tick, &[], &[wind, gauge], &[], &[], None)
            .unwrap();
    }
    let end = End {
        last: Tick(99),
        why: crate::Ended::TimeLimit,
        digest: 0,
    };
    journal.seal(end, closed(), None).unwrap();
    let recording = Recording::read(bytes).unwrap();
    assert_eq!(recording.status(), Status::Sealed { signed: None });
    let mut ticks = 0;
    recording.play(|seen, _| {
        let last_beat = ((seen.tick.0 + 1) / 3 * 3).saturating_sub(1);
        assert_eq!(
            seen.mean(Channel::Gauge),
            Some(0.25 * f64::from(400 + last_beat))
        );
        assert_eq!(
            seen.max(Channel::Gauge),
            Some(0.25 * f64::from(402 + last_beat))
        );
        assert_eq!(seen.mean(Channel::Thrust), None, "the table has no thrust");
        ticks += 1;
    });
    assert_eq!(ticks, 100);
}

#[test]
fn a_keyframe_is_found_at_or_before_a_tick() {
    let moments = attempt(1000, 4);
    let (bytes, _) = record(&moments, None);
    let recording = Recording::read(bytes).unwrap();
    assert_eq!(recording.keyframes().len(), 9);
    for (tick, at) in [(0, 0), (119, 0), (120, 120), (500, 480), (5000, 960)] {
        let found = recording.keyframe_before(Tick(tick)).unwrap();
        assert_eq!(found.tick, Tick(at));
        assert_eq!(found.state().unwrap(), keyframe_of(Tick(at)));
    }
}

#[test]
fn a_restarted_attempt_names_its_parent_and_stands_on_its_own() {
    let moments = attempt(400, 5);
    let (bytes, sealed) = record(&moments, Some(&key()));
    let parent = Recording::read(bytes.clone()).unwrap();

    let start = Parent {
        body: sealed.body_hash,
        tick: Tick(250),
    };
    let again = Header {
        parent: Some(start),
        ..header()
    };
    let (child_bytes, _) = record_as(&moments, again, opened(), closed(), None);
    let child = Recording::read(child_bytes).unwrap();
    assert_eq!(child.status(), Status::Sealed { signed: None });
    shows(&child, &moments);
    assert!(child.is_restarted_from(&parent));
    assert!(!parent.is_restarted_from(&child));
    let (other, _) = record(&attempt(400, 6), None);
    assert!(!child.is_restarted_from(&Recording::read(other).unwrap()));
    // It names the parent, and what went before is not the parent's.
    for (tick, is_it) in [(249, false), (250, true)] {
        let mut moments = moments.clone();
        let said = Event::Bookmark;
        moments[tick].events.push(said);
        let again = Header {
            parent: Some(start),
            ..header()
        };
        let (bytes, _) = record_as(&moments, again, opened(), closed(), None);
        assert_eq!(
            Recording::read(bytes).unwrap().is_restarted_from(&parent),
            is_it
        );
    }
    assert_eq!(
        parent.body_bytes(),
        Recording::read(bytes).unwrap().body_bytes()
    );
}

#[test]
fn steps_come_back_with_their_ticks_and_in_their_order() {
    let mut moments = attempt(1000, 17);
    let step = |cell, steps| SurfaceStep { cell, steps };
    // To and fro within a tick, as far as cells go, and back by a step.
    moments[300].steps = vec![step(u32::MAX, 255), step(0, 1), step(7, 2), step(7, 1)];
    moments[301].steps = vec![step(0, 0)];
    for m in &mut moments[420..600] {
        m.steps.clear();
    }
    let (bytes, sealed) = record(&moments, None);
    let coverage = super::frames(&bytes)
        .iter()
        .filter(|(kind, _)| *kind == Kind::Coverage)
        .count();
    let chunks = moments.chunks(60);
    let with_steps = chunks.filter(|c| c.iter().any(|m| !m.steps.is_empty()));
    assert_eq!(coverage, with_steps.count());
    assert!(coverage < 17);
    let recording = Recording::read(bytes).unwrap();
    shows(&recording, &moments);
    assert!(recording.steps().len() > 1000);
    let mut without = 0;
    recording.play(|seen, _| without += u32::from(seen.steps.is_empty()));
    assert!(without > 180 && without < 600, "{without}");

    // Another order within a tick is another attempt.
    moments[300].steps.swap(1, 2);
    assert_ne!(record(&moments, None).1.body_hash, sealed.body_hash);
}
