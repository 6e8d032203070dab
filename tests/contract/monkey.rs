//! Hands that do anything at any time, from saved states on: whatever they do, the yard stays a yard.
//!
//! A few seconds of each state in CI; `JETYARD_MONKEY_H=24` runs so many simulated hours in all.

use crate::support::{LEVELS, model_of, recording_of};
use crew::{Act, Call, Control, Fault, Input, Part, Ppe, Seat, Source, Stance, Task};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeSet;
use training::allowed::tool_at;
use training::{Channel, Event, Level, Observation};
use yard::{Yard, YardState};

/// So many saved states are started from.
const STATES: usize = 50;
/// Seconds from each in CI.
const SECONDS: f64 = 4.0;
const TICKS_PER_SECOND: u32 = crew::TICKS_PER_SECOND;

/// Keyframes of the model attempts, spread evenly over all of them.
fn saved() -> Vec<(&'static str, YardState)> {
    let all: Vec<_> = LEVELS
        .into_iter()
        .flat_map(|id| {
            let recording = recording_of(id);
            let frames = recording.keyframes().map(|frame| {
                let bytes = frame.state().expect("a keyframe");
                (id, YardState::from_bytes(&bytes).expect("of this build"))
            });
            frames.collect::<Vec<_>>()
        })
        .collect();
    assert!(all.len() >= STATES, "{} keyframes", all.len());
    let step = all.len() as f64 / STATES as f64;
    (0..STATES)
        .map(|n| all[(n as f64 * step) as usize].clone())
        .collect()
}

fn pick<T: Copy>(chance: &mut ChaCha8Rng, of: &[T]) -> T {
    of[chance.random_range(0..of.len())]
}

/// Anything that a person or an instructor can do, but to end the attempt.
fn anything(chance: &mut ChaCha8Rng) -> Act {
    let small = |chance: &mut ChaCha8Rng, most: i16| chance.random_range(-most..=most);
    match chance.random_range(0..24) {
        0 | 1 => Act::Walk {
            forward_cm_s: small(chance, 250),
            right_cm_s: small(chance, 150),
        },
        2 | 3 => Act::Aim {
            yaw: small(chance, 8000),
            pitch: small(chance, 4000),
        },
        4 => Act::Stand(pick(
            chance,
            &[Stance::Normal, Stance::Wide, Stance::Staggered],
        )),
        5 => Act::Brace(chance.random()),
        6 | 7 => Act::Take(pick(chance, &Control::ALL)),
        8 => Act::LetGo,
        9 => Act::Twist {
            detents: small(chance, 5),
        },
        10 => Act::Push {
            on: chance.random(),
        },
        11 | 12 => Act::Squeeze {
            permille: pick(chance, &[0, 500, 1000, 1000]),
        },
        13 => Act::SafetyCatch(chance.random_bool(0.3)),
        14 => Act::Say(pick(chance, &Call::ALL)),
        15 => Act::Begin(pick(chance, &Task::ALL)),
        16 => pick(
            chance,
            &[Act::LeaveOff, Act::Bookmark, Act::TakeHose, Act::LayDown],
        ),
        17 => Act::Turn {
            yaw: small(chance, 8000),
        },
        18 => pick(chance, &[Act::Reach { mm: 40 }, Act::Lift { mm: -60 }]),
        19 => Act::TakeUp,
        20 => Act::Choose {
            nozzle: chance.random_range(0..4),
        },
        21 => Act::Wear {
            item: pick(chance, &Ppe::ALL),
            on: chance.random(),
        },
        22 => pick(
            chance,
            &[Act::Tie(true), Act::Tie(false), Act::TagOut(Part::Hose)],
        ),
        _ => {
            let fault = pick(chance, &Fault::ALL);
            Act::Fail {
                fault,
                amount: chance.random_range(0..=fault.extent().top),
            }
        }
    }
}

/// The state of the yard, as coarse as a person would tell it.
fn state_of(o: &Observation) -> [u8; 5] {
    let on = |channel| u8::from(o.on(channel).unwrap_or(false));
    let tool = match o.mean(Channel::ToolAt) {
        Some(at) if at == tool_at::STAND => 0,
        Some(at) if at == tool_at::HANDS => 1,
        _ => 2,
    };
    let pressed = u8::from(o.mean(Channel::GunPressure).is_some_and(|bar| bar > 7.0));
    [
        tool,
        pressed,
        on(Channel::EngineRuns),
        on(Channel::LanceHandFallen),
        on(Channel::PumpHandFallen),
    ]
}

/// Kinds of acts and whether they were refused: 24 kinds that are tried.
fn kind_of(act: Act) -> String {
    let text = format!("{act:?}");
    text.split(|c: char| !c.is_alphanumeric())
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// What must hold of any yard at any time; says what does not.
fn wrong_with(yard: &mut Yard, level: &Level) -> Option<String> {
    let view = yard.view();
    // How deep something may be pressed into the ground or a wall, metres.
    let within = |at: &[f64; 3], by: f64| {
        let inside = |wall: &training::level::Block| {
            (0..3).all(|k| (at[k] - wall.at[k]).abs() < 0.5 * wall.size[k] - by)
        };
        level.site.walls.iter().any(inside)
    };
    for person in &view.people {
        for at in [person.feet[0], person.feet[1], person.com, person.hands] {
            if !at.iter().all(|x| x.is_finite() && x.abs() < 1e3) {
                return Some(format!("{} is nowhere: {at:?}", person.seat.id()));
            }
        }
        let low = person.feet[0][1].min(person.feet[1][1]).min(person.com[1]);
        if low < -0.05 || person.com[1] > 2.0 {
            return Some(format!("{} is under the ground: {low}", person.seat.id()));
        }
        if within(&person.com, 0.1) {
            return Some(format!("{} is in a wall", person.seat.id()));
        }
    }
    for (n, node) in view.hose.iter().enumerate() {
        if !node.iter().all(|x| x.is_finite() && x.abs() < 1e3) {
            return Some(format!("node {n} of the hose is nowhere: {node:?}"));
        }
        if node[1] < -0.1 {
            return Some(format!("node {n} of the hose is under ground: {node:?}"));
        }
    }
    for (n, pair) in view.hose.windows(2).enumerate() {
        let long: f64 = (0..3).map(|k| (pair[1][k] - pair[0][k]).powi(2)).sum();
        if long > 0.4 * 0.4 {
            return Some(format!("segment {n} of the hose is {} m long", long.sqrt()));
        }
    }
    None
}

#[test]
fn a_monkey_at_the_controls_breaks_no_yard_and_its_twin_does_the_same() {
    let hours: Option<f64> = std::env::var("JETYARD_MONKEY_H")
        .ok()
        .map(|h| h.parse().expect("hours"));
    let each_s = hours.map_or(SECONDS, |h| h * 3600.0 / STATES as f64);
    let mut seen: BTreeSet<([u8; 5], String, bool)> = BTreeSet::new();
    let mut states: BTreeSet<[u8; 5]> = BTreeSet::new();
    let mut kinds: BTreeSet<String> = BTreeSet::new();
    let mut ticks = 0_u64;
    for (n, (id, state)) in saved().into_iter().enumerate() {
        let level = &model_of(id).0.level;
        let mut twins = [(); 2].map(|()| Yard::new(level).expect("a yard"));
        for twin in &mut twins {
            twin.restore(state.clone());
        }
        let mut chance = ChaCha8Rng::seed_from_u64(n as u64);
        for tick in 0..(each_s * f64::from(TICKS_PER_SECOND)) as u32 {
            let [one, other] = &mut twins;
            let mut inputs = Vec::new();
            while chance.random_bool(0.08) {
                inputs.push(Input {
                    tick: one.tick(),
                    seat: pick(&mut chance, &Seat::ALL),
                    source: Source::Trainee,
                    act: anything(&mut chance),
                });
            }
            let before = state_of(one.observation());
            let observed = one.step(&inputs).map(|o| o.events.clone());
            let events = observed.unwrap_or_else(|e| panic!("{id}, state {n}, tick {tick}: {e:?}"));
            other.step(&inputs).expect("as its twin");
            ticks += 1;
            for input in &inputs {
                let refused = events
                    .iter()
                    .any(|e| matches!(e, Event::Refused { seat, .. } if *seat == input.seat));
                states.insert(before);
                kinds.insert(kind_of(input.act));
                seen.insert((before, kind_of(input.act), refused));
            }
            if tick % TICKS_PER_SECOND == 0 {
                assert_eq!(
                    one.digest(),
                    other.digest(),
                    "{id}, state {n}, tick {tick}: the twins part"
                );
                if let Some(what) = wrong_with(one, level) {
                    panic!("{id}, state {n}, tick {tick}: {what}");
                }
            }
        }
    }
    println!(
        "{:.1} simulated hours from {STATES} states: {} pairs of state, act and answer out of {} states, {} acts and 2 answers: {:.0} %",
        ticks as f64 / f64::from(TICKS_PER_SECOND) / 3600.0,
        seen.len(),
        states.len(),
        kinds.len(),
        100.0 * seen.len() as f64 / (states.len() * kinds.len() * 2) as f64
    );
    assert!(seen.len() > 200, "{}", seen.len());
}
