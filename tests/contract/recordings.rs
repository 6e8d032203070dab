//! Recordings: the same bits, the same mark, any moment again.

use crate::support::{
    LEVELS, beginning, closed, model, model_of, model_recording, played, recording_of, script,
};
use crew::{Act, Call, Input, Mind, Percepts, Seat, Skill, Source, Tick};
use std::time::{Duration, Instant};
use training::load;
use training::recording::{Bundle, Recording, Status};
use training::rules::RULES;
use training::{Channel, Ended, Event, Level};
use yard::attempt::{self, AttemptFault};
use yard::{Attempt, Yard, play};

fn level_of(recording: &Recording) -> Level {
    load::Bundle::from_bytes(recording.header().bundle.bytes())
        .and_then(|bundle| bundle.load())
        .unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn two_runs_with_one_seed_have_equal_bodies_byte_for_byte() {
    let read = |bytes: &[u8]| Recording::read(bytes.to_vec()).unwrap();
    for level in LEVELS {
        let (loaded, first) = model_of(level);
        let bundle = Bundle::new(loaded.bundle.bytes());
        let model = script(&loaded.level, "model");
        let again = played(
            &loaded.level,
            &bundle,
            model,
            Skill::steady(),
            loaded.level.seed,
        );
        let (one, two) = (read(&first.bytes), read(&again.bytes));
        assert_eq!(one.body_bytes(), two.body_bytes(), "{level}");
        assert_eq!(one.body_hash(), two.body_hash(), "{level}");
    }
    let (loaded, first) = model();
    let bundle = Bundle::new(loaded.bundle.bytes());
    let one = read(&first.bytes);
    // The comparison can fail: other errors of the hand, another body.
    let other = played(
        &loaded.level,
        &bundle,
        script(&loaded.level, "model"),
        Skill::human(),
        2,
    );
    assert_ne!(one.body_bytes(), read(&other.bytes).body_bytes());
}

#[test]
fn the_mark_of_a_recording_equals_the_live_mark_and_needs_no_folder_of_levels() {
    for level in LEVELS {
        let (_, played) = model_of(level);
        let recording = recording_of(level);
        assert_eq!(recording.status(), Status::Sealed { signed: None });
        // The level comes out of the recording itself.
        let level = level_of(&recording);
        assert_eq!(attempt::mark(&level, &recording), Some(played.mark.clone()));
    }
}

#[test]
fn a_recording_plays_again_to_the_same_bits() {
    for level in LEVELS {
        let recording = recording_of(level);
        let level = level_of(&recording);
        let mut seen = 0;
        attempt::replay(&level, &recording, |_| seen += 1).unwrap_or_else(|f| panic!("{f:?}"));
        assert_eq!(seen, recording.until().0);
    }
}

#[test]
fn a_yard_that_is_a_little_different_is_told_from_the_recorded_one() {
    let recording = model_recording();
    let mut level = level_of(&recording);
    level.equipment.circuit.dump.opening_time_s *= 1.01;
    match attempt::replay(&level, &recording, |_| {}) {
        Err(AttemptFault::Differs { at }) => assert!(at < recording.until()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn any_moment_is_reached_within_a_second_and_is_equal_bit_for_bit() {
    for level in LEVELS {
        jumps(&recording_of(level));
    }
}

fn jumps(recording: &Recording) {
    let level = level_of(recording);
    // A straight run gives the states to compare with.
    let apart = recording.until().0 / 12;
    let moments: Vec<Tick> = (1..12).map(|n| Tick(n * apart)).collect();
    let mut straight = Yard::new(&level).unwrap();
    let mut digests = Vec::new();
    let mut wanted = moments.iter().peekable();
    recording.play(|o, inputs| {
        if wanted.next_if(|t| **t == o.tick).is_some() {
            digests.push((straight.digest(), straight.observation().clone()));
        }
        straight.step(inputs).unwrap();
    });
    assert_eq!(digests.len(), moments.len());
    for (at, (digest, observed)) in moments.iter().zip(&digests) {
        let began = Instant::now();
        let mut yard = Yard::new(&level).unwrap();
        attempt::go_to(&mut yard, recording, *at).unwrap_or_else(|f| panic!("{f:?}"));
        let took = began.elapsed();
        assert_eq!(yard.tick(), *at);
        assert_eq!(yard.digest(), *digest, "at {at:?}");
        assert_eq!(yard.observation().tick, observed.tick);
        assert!(took < Duration::from_secs(1), "{took:?}");
    }
}

#[test]
fn an_attempt_taken_up_at_a_moment_goes_on_and_stands_on_its_own() {
    let recording = model_recording();
    let level = level_of(&recording);
    let at = Tick::at(200.0);
    let bundle = recording.header().bundle.clone();
    let mut bytes = Vec::new();
    let mut attempt =
        Attempt::restart(&level, beginning(&bundle, 1), &recording, at, &mut bytes).unwrap();
    assert_eq!(attempt.tick(), at);
    // The same inputs from here on lead to the same end.
    let all = recording.inputs().to_vec();
    while attempt.ended().is_none() {
        let tick = attempt.tick();
        let now: Vec<Input> = all.iter().filter(|i| i.tick == tick).copied().collect();
        attempt.step(&now).unwrap();
    }
    let (mark, _) = attempt.seal(Ended::HandedBack, closed(), None).unwrap();
    assert_eq!(mark, model().1.mark);
    let child = Recording::read(bytes).unwrap();
    assert!(child.is_restarted_from(&recording));
    assert_eq!(attempt::mark(&level, &child), Some(mark));
}

/// Says one word, and does nothing else.
struct SaysOnce(Seat, Option<Call>);

impl Mind for SaysOnce {
    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if let Some(call) = self.1.take() {
            out.push(Input {
                tick: p.tick,
                seat: self.0,
                source: Source::Trainee,
                act: Act::Say(call),
            });
        }
    }
}

#[test]
fn the_pump_hand_of_an_attempt_taken_up_goes_on_from_the_step_that_was_agreed() {
    let (loaded, played) = model_of("02_fouled_slab");
    let (level, recording) = (
        &loaded.level,
        Recording::read(played.bytes.clone()).unwrap(),
    );
    // At 500 bar, for ten seconds already.
    let (mut since, mut at) = (None, None);
    recording.play(|o, _| {
        let there = o
            .mean(Channel::Gauge)
            .is_some_and(|bar| (480.0..520.0).contains(&bar));
        since = there.then(|| since.unwrap_or(o.tick));
        if since.is_some_and(|s| o.tick.since(s) >= 10.0) {
            at.get_or_insert(o.tick);
        }
    });
    let at = at.expect("the model works at 500 bar");
    let bundle = recording.header().bundle.clone();
    let mut bytes = Vec::new();
    let mut attempt =
        Attempt::restart(level, beginning(&bundle, 1), &recording, at, &mut bytes).unwrap();
    let mut crew = play::crew_coming_in(level, 1, &recording, at);
    let mut trainee = SaysOnce(Seat::LANCE, Some(Call::Raise));
    let (mut least_bar, mut last_bar) = (f64::INFINITY, 0.0_f64);
    let mut inputs = Vec::new();
    while attempt.tick().since(at) < 40.0 {
        inputs.clear();
        trainee.act(&attempt.percepts(Seat::LANCE), &mut inputs);
        for (seat, mind) in &mut crew {
            mind.act(&attempt.percepts(*seat), &mut inputs);
        }
        let o = attempt.step(&inputs).unwrap();
        last_bar = o.mean(Channel::Gauge).unwrap();
        least_bar = least_bar.min(last_bar);
    }
    assert!(least_bar > 450.0, "lowered to {least_bar} bar");
    assert!((710.0..800.0).contains(&last_bar), "{last_bar} bar");
}

#[test]
fn both_tools_of_an_attempt_taken_up_go_on_with_the_work_and_let_go_at_a_word() {
    let (loaded, played) = model_of("10_two_lines");
    let (level, recording) = (
        &loaded.level,
        Recording::read(played.bytes.clone()).unwrap(),
    );
    let begins = Event::Said {
        seat: Seat::PUMP,
        call: Call::NoChange,
    };
    let said = recording.events().iter().find(|(_, e)| *e == begins);
    let said = said.expect("the model says so").0;
    // Before anybody sprays, and with both at it.
    for after_s in [1.0, 18.0] {
        let at = said.after(after_s);
        let bundle = recording.header().bundle.clone();
        let mut bytes = Vec::new();
        let mut attempt =
            Attempt::restart(level, beginning(&bundle, 1), &recording, at, &mut bytes).unwrap();
        let mut crew = play::crew_coming_in(level, 1, &recording, at);
        let mut trainee = SaysOnce(Seat::PUMP, Some(Call::AllStop));
        let (mut sprayed_s, mut rinsed_s, mut left) = ([0.0; 2], [0.0; 2], [f64::NAN; 2]);
        let mut inputs = Vec::new();
        while attempt.tick().since(at) < 60.0 {
            let now = usize::from(attempt.tick().since(at) >= 50.0);
            inputs.clear();
            if now == 1 {
                trainee.act(&attempt.percepts(Seat::PUMP), &mut inputs);
            }
            for (seat, mind) in &mut crew {
                mind.act(&attempt.percepts(*seat), &mut inputs);
            }
            let o = attempt.step(&inputs).unwrap();
            left = [Channel::Trigger, Channel::Pedal].map(|c| o.mean(c).unwrap());
            let tick_s = 1.0 / f64::from(crew::TICKS_PER_SECOND);
            sprayed_s[now] += if left[0] > 50.0 { tick_s } else { 0.0 };
            rinsed_s[now] += if left[1] > 50.0 { tick_s } else { 0.0 };
        }
        assert!(sprayed_s[0] > 40.0, "{after_s}: {sprayed_s:?} s");
        assert!(rinsed_s[0] > 15.0, "{after_s}: {rinsed_s:?} s");
        assert!(sprayed_s[1] < 3.0 && rinsed_s[1] < 3.0, "{after_s}");
        assert_eq!(left, [0.0; 2], "{after_s}: nobody holds on");
    }
}

#[test]
fn a_moment_behind_the_end_is_refused() {
    let recording = model_recording();
    let mut yard = Yard::new(&level_of(&recording)).unwrap();
    let asked = Tick(recording.until().0 + 1);
    assert!(matches!(
        attempt::go_to(&mut yard, &recording, asked),
        Err(AttemptFault::NoSuchTick { .. })
    ));
}

#[test]
fn nothing_moves_by_hand_from_out_of_reach() {
    let recording = model_recording();
    let mut yard = Yard::new(&level_of(&recording)).unwrap();
    for _ in 0..10 {
        yard.step(&[]).unwrap();
    }
    let grab = Input {
        tick: yard.tick(),
        seat: Seat::LANCE,
        source: Source::Trainee,
        act: Act::Take(crew::Control::Regulator),
    };
    let o = yard.step(&[grab]).unwrap();
    assert!(matches!(
        o.events.as_slice(),
        [Event::Refused {
            why: training::Refusal::OutOfReach,
            ..
        }]
    ));
}

#[test]
fn twenty_minutes_stay_below_ten_megabytes_and_are_marked_in_half_a_second() {
    let (loaded, _) = model();
    let mut level = loaded.level.clone();
    level.limit_s = 1200.0;
    let bundle = Bundle::new(loaded.bundle.bytes());
    let mut bytes = Vec::new();
    let mut attempt = Attempt::begin(&level, beginning(&bundle, 1), &mut bytes).unwrap();
    let recording = model_recording();
    // The busiest part of the model attempt, over and over, with a hand that
    // is never still.
    let mut tick = 0;
    while attempt.ended().is_none() {
        let from = Tick(tick % recording.until().0);
        let mut now: Vec<Input> = recording
            .inputs()
            .iter()
            .filter(|i| i.tick == from && i.act != Act::HandBack)
            .map(|i| Input {
                tick: Tick(tick),
                ..*i
            })
            .collect();
        now.push(Input {
            tick: Tick(tick),
            seat: Seat::PUMP,
            source: Source::Trainee,
            act: Act::Aim {
                yaw: (tick % 7) as i16 - 3,
                pitch: (tick % 5) as i16 - 2,
            },
        });
        attempt.step(&now).unwrap();
        tick += 1;
    }
    let (live, _) = attempt.seal(Ended::TimeLimit, closed(), None).unwrap();
    println!("20 minutes: {} bytes", bytes.len());
    assert!(bytes.len() <= 10_000_000, "{} bytes", bytes.len());
    let began = Instant::now();
    let recording = Recording::read(bytes).unwrap();
    let mark = attempt::mark(&level, &recording).unwrap();
    let took = began.elapsed();
    println!("read and marked in {took:?}");
    assert_eq!(mark, live);
    assert!(took < Duration::from_millis(500), "{took:?}");
}

/// Every format that was ever released stays readable: the file of a format is
/// kept for good and never made anew.
#[test]
fn a_recording_of_format_1_is_read_and_marked_for_good() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/format_1.jetyard");
    let recording = Recording::load(std::path::Path::new(path)).unwrap();
    assert_eq!(recording.status(), Status::Sealed { signed: None });
    let hash = include_str!("../golden/format_1.body").trim();
    assert_eq!(
        recording.body_hash().map(|h| h.to_string()).as_deref(),
        Some(hash)
    );
    let level = level_of(&recording);
    assert_eq!(level.id, recording.header().level);
    let mark = attempt::mark(&level, &recording).unwrap();
    // Rules may come to judge differently; that six were broken here they will
    // not stop to see.
    let broken: std::collections::BTreeSet<&str> =
        mark.findings.iter().map(|f| f.rule.as_str()).collect();
    assert!(broken.len() >= 6, "{broken:?}");
    // What was not measured then cannot be assessed now, and nothing else.
    let measured = |c: &Channel| recording.header().channels.iter().any(|m| m.id == c.id());
    let cannot: Vec<&str> = RULES
        .iter()
        .filter(|r| r.posts().contains(&level.post) && !r.channels().iter().all(measured))
        .map(|r| r.id())
        .collect();
    assert_eq!(mark.not_assessable, cannot);
}
