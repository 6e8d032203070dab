//! Sweeping the surface.

use super::super::footing::{RESTED, TIRED};
use super::super::lance_world::{
    LanceWorld, SURFACE, Trace, braced, lance_pilot, lance_pilot_with,
};
use super::*;
use crate::person::distance_m;

const STAND_OFF_M: f64 = 0.12;
const STEP_M: f64 = 0.04;
const SPEED_M_S: f64 = 0.3;

fn sweep(from_m: [f64; 2], to_m: [f64; 2]) -> Goal {
    Goal::Sweep {
        from_m,
        to_m,
        stand_off_m: STAND_OFF_M,
        speed_m_s: SPEED_M_S,
        step_m: STEP_M,
    }
}

fn with_brace(goal: Goal) -> Vec<Goal> {
    let mut goals = braced();
    goals.push(goal);
    goals
}

/// How far the worst point of a part is from the way of the jet.
fn worst_m(world: &LanceWorld, from_m: [f64; 2], to_m: [f64; 2]) -> f64 {
    let wet: Vec<[f64; 2]> = world
        .trail
        .iter()
        .filter(|t| t.jet)
        .step_by(3)
        .map(|t| [t.spot.x_m, t.spot.y_m])
        .collect();
    let grid = |i: usize| {
        let n = ((to_m[i] - from_m[i]) / 0.01).round() as usize;
        (0..=n).map(move |k| from_m[i] + k as f64 * 0.01)
    };
    let mut worst_m = 0.0_f64;
    for x in grid(0) {
        for y in grid(1) {
            let near = wet
                .iter()
                .map(|at| distance_m([x, y], *at))
                .fold(f64::INFINITY, f64::min);
            worst_m = worst_m.max(near);
        }
    }
    worst_m
}

/// Traces of the jet that has run for at least a second.
fn settled(world: &LanceWorld) -> Vec<Trace> {
    let mut since: Option<Tick> = None;
    let mut kept = Vec::new();
    for t in &world.trail {
        if !t.jet {
            since = None;
        } else if t.tick.since(*since.get_or_insert(t.tick)) > 1.0 {
            kept.push(*t);
        }
    }
    kept
}

/// Least and greatest speed over a quarter of a second along a row.
fn speeds_m_s(world: &LanceWorld, left: f64, right: f64) -> (f64, f64) {
    let traces = settled(world);
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for pair in traces.windows(31) {
        let (a, b) = (pair[0], pair[30]);
        let inside = pair
            .iter()
            .all(|t| t.spot.x_m > left + 0.1 && t.spot.x_m < right - 0.1);
        let whole = b.tick.0 - a.tick.0 == 30;
        if inside && whole {
            let m_s = (b.spot.x_m - a.spot.x_m).abs() / 0.25;
            (least, most) = (least.min(m_s), most.max(m_s));
        }
    }
    (least, most)
}

/// How far the distance was off, from some time on.
fn off_m(world: &LanceWorld, from_s: f64) -> f64 {
    settled(world)
        .iter()
        .filter(|t| t.tick.seconds() > from_s)
        .map(|t| (t.spot.stand_off_m - STAND_OFF_M).abs())
        .fold(0.0, f64::max)
}

/// A sweep of a part that came to its end: how far the worst point is from the
/// way of the jet, slowest and fastest along the rows, and how far the distance
/// was off, all in metres and seconds.
fn swept(world: &mut LanceWorld, skill: Skill, seed: u64, part: Part) -> (f64, (f64, f64), f64) {
    let (from_m, to_m) = part;
    let mut pilot = lance_pilot_with(with_brace(sweep(from_m, to_m)), vec![], skill, seed);
    world.run(&mut pilot, 400.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(world.refused.is_empty(), "{:?}", world.refused);
    assert!(world.catch_on && !world.jet);
    assert!(world.longest_open_s < 1.0, "{}", world.longest_open_s);
    if skill == Skill::steady() {
        assert_eq!(pilot.draws(), 0);
    }
    let worst_m = worst_m(world, from_m, to_m);
    let speeds = speeds_m_s(world, from_m[0], to_m[0]);
    (worst_m, speeds, off_m(world, 0.0))
}

type Part = ([f64; 2], [f64; 2]);
const PARTS: [Part; 3] = [
    ([0.0, 0.0], SURFACE.size_m),
    ([0.3, 0.4], [0.9, 0.8]),
    ([1.0, 0.1], [1.3, 0.3]),
];
const MIDDLE: Part = PARTS[1];

#[test]
fn a_sweep_covers_its_part_at_an_even_speed_and_distance() {
    for part in PARTS {
        let (worst_m, (least, most), off_m) =
            swept(&mut LanceWorld::new(), Skill::steady(), 1, part);
        assert!(worst_m <= 0.5 * STEP_M + 0.005, "{part:?}: {worst_m}");
        assert!(least >= 0.9 * SPEED_M_S, "{part:?}: {least}");
        assert!(most <= 1.1 * SPEED_M_S, "{part:?}: {most}");
        assert!(off_m <= 0.01, "{part:?}: {off_m}");
    }
}

#[test]
fn whatever_the_jet_pushes_is_learnt() {
    let cases: [fn(&mut LanceWorld); 4] = [
        |w| w.push_m = 0.08,
        |w| w.push_m = 0.0,
        |w| w.sag_rad = -0.02,
        |w| w.kick_rad_s = 0.9,
    ];
    for (i, change) in cases.into_iter().enumerate() {
        let mut world = LanceWorld::new();
        change(&mut world);
        let (worst_m, (least, most), off_m) = swept(&mut world, Skill::steady(), 1, MIDDLE);
        assert!(worst_m <= 0.5 * STEP_M + 0.005, "{i}: {worst_m}");
        assert!(least >= 0.9 * SPEED_M_S, "{i}: {least}");
        assert!(most <= 1.1 * SPEED_M_S, "{i}: {most}");
        assert!(off_m <= 0.01, "{i}: {off_m}");
    }
}

#[test]
fn hands_that_go_round_with_the_tool_are_learnt_within_a_row() {
    let mut world = LanceWorld::new();
    world.round = true;
    let (worst_m, (least, most), _) = swept(&mut world, Skill::steady(), 1, MIDDLE);
    assert!(worst_m <= 0.5 * STEP_M + 0.005, "{worst_m}");
    assert!(least >= 0.9 * SPEED_M_S && most <= 1.1 * SPEED_M_S);
    let began_s = squeezes(&world).0[0];
    // The short way back and a row of 0.64 m take 3.1 s.
    let off_m = off_m(&world, began_s + 3.1);
    assert!(off_m <= 0.01, "{off_m}");
}

#[test]
fn a_human_sweep_covers_its_part_within_the_errors_of_a_hand() {
    for seed in 0..6 {
        let (worst_m, (least, most), off_m) =
            swept(&mut LanceWorld::new(), Skill::human(), seed, MIDDLE);
        // Twice 4 mm of row, and a wander of 4 mm that seldom is thrice that.
        assert!(worst_m <= 0.5 * STEP_M + 0.005 + 0.016, "{seed}: {worst_m}");
        // A tenth of pace, and a wander of at most 50 mm/s.
        assert!(least >= 0.7 * SPEED_M_S, "{seed}: {least}");
        assert!(most <= 1.3 * SPEED_M_S, "{seed}: {most}");
        assert!(off_m <= 0.02, "{seed}: {off_m}");
        assert!(off_m > 0.002, "{seed}: a human hand is not exact");
    }
}

// Breaking off and going on

/// Times at which the trigger was squeezed and let go, seconds.
fn squeezes(world: &LanceWorld) -> (Vec<f64>, Vec<f64>) {
    let on = world.times(|a| matches!(a, Act::Squeeze { permille } if *permille > 0));
    let off = world.times(|a| matches!(a, Act::Squeeze { permille: 0 }));
    (on, off)
}

/// The sweep was broken off once soon after `from_s`, and went on near where
/// that was; nothing was left out.
fn broken_off_once(world: &LanceWorld, from_s: f64, within_s: f64, part: Part) {
    let (on, off) = squeezes(world);
    assert_eq!((on.len(), off.len()), (2, 2), "{on:?} {off:?}");
    let took_s = off[0] - from_s;
    assert!((0.0..=within_s).contains(&took_s), "{took_s}");
    let at = |s: f64| {
        let near = world.trail.iter().min_by(|a, b| {
            let away = |t: &Trace| (t.tick.seconds() - s).abs();
            away(a).total_cmp(&away(b))
        });
        near.expect("a trail").spot
    };
    let (left, taken_up) = (at(off[0]), at(on[1]));
    let back_m = distance_m([left.x_m, left.y_m], [taken_up.x_m, taken_up.y_m]);
    assert!(back_m < 0.4, "{left:?} {taken_up:?}");
    let worst_m = worst_m(world, part.0, part.1);
    assert!(worst_m <= 0.5 * STEP_M + 0.005, "{worst_m}");
    assert!(world.longest_open_s < 1.0, "{}", world.longest_open_s);
    assert!(world.refused.is_empty(), "{:?}", world.refused);
}

#[test]
fn a_lost_brace_ends_the_squeeze_and_is_taken_again_before_the_next() {
    let mut world = LanceWorld::new();
    world.steps_at = vec![10.0];
    let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    broken_off_once(&world, 10.0, 0.3, MIDDLE);
    let braces = world.times(|a| *a == Act::Brace(true));
    assert_eq!(braces.len(), 2);
    assert!(braces[1] + 0.6 < squeezes(&world).0[1]);
}

#[test]
fn a_sweep_that_the_script_begins_without_a_brace_goes_on_without_one() {
    let mut world = LanceWorld::new();
    let mut pilot = lance_pilot(vec![sweep(MIDDLE.0, MIDDLE.1)], vec![], Skill::steady());
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.times(|a| matches!(a, Act::Brace(_))).len(), 0);
    assert_eq!(squeezes(&world).0.len(), 1);
}

#[test]
fn leaning_far_or_falling_ends_the_squeeze_at_once() {
    let cases: [fn(&mut LanceWorld, bool); 2] = [
        |w, yes| w.body.lean_rad = if yes { 0.5 } else { 0.05 },
        |w, yes| w.body.fallen = yes,
    ];
    for change in cases {
        let mut world = LanceWorld::new();
        let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
        let mut pilot = lance_pilot(goals, vec![], Skill::steady());
        world.run(&mut pilot, 10.0);
        change(&mut world, true);
        world.run(&mut pilot, 3.0);
        change(&mut world, false);
        world.run(&mut pilot, 200.0);
        assert_eq!(*pilot.outcome(), Outcome::Done);
        broken_off_once(&world, 10.0, 0.3, MIDDLE);
    }
}

#[test]
fn a_tired_hand_rests_and_goes_on_where_it_was() {
    let mut world = LanceWorld::new();
    world.tires = 0.05;
    let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    let mut before = (1.0, false);
    let mut rests = 0;
    while *pilot.outcome() == Outcome::Running {
        world.step(&mut pilot);
        let strength = world.body.strength;
        assert!(strength > TIRED - 0.03, "{strength}");
        if world.jet && !before.1 {
            assert!(strength >= RESTED, "{strength}");
        }
        rests += usize::from(before.1 && !world.jet && strength < TIRED);
        before = (strength, world.jet);
    }
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(rests >= 1);
    let worst_m = worst_m(&world, MIDDLE.0, MIDDLE.1);
    assert!(worst_m <= 0.5 * STEP_M + 0.005, "{worst_m}");
    assert!(world.longest_open_s < 1.0);
}

#[test]
fn a_spot_that_is_not_seen_ends_the_squeeze() {
    let mut world = LanceWorld::new();
    world.hidden = Some((10.0, 12.0));
    let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    broken_off_once(&world, 10.0, 1.2, MIDDLE);
}

#[test]
fn a_gun_without_water_is_let_go_and_named() {
    let mut world = LanceWorld::new();
    world.water = false;
    let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 60.0);
    let cue = Cue::JetRuns;
    assert_eq!(reason(&pilot), StuckReason::CueNeverCame(cue));
    for _ in 0..120 {
        world.step(&mut pilot);
    }
    let (on, off) = squeezes(&world);
    assert_eq!((on.len(), off.len()), (1, 1));
    assert!(off[0] - on[0] < 3.3);
    assert!(world.catch_on);
}

#[test]
fn water_that_comes_late_leaves_nothing_out() {
    let mut world = LanceWorld::new();
    world.water = false;
    let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    while squeezes(&world).0.is_empty() {
        world.step(&mut pilot);
    }
    world.run(&mut pilot, 2.0);
    world.water = true;
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let worst_m = worst_m(&world, MIDDLE.0, MIDDLE.1);
    assert!(worst_m <= 0.5 * STEP_M + 0.005, "{worst_m}");
}

// Reach

#[test]
fn what_the_arms_cannot_reach_is_left_out_and_the_rest_is_swept() {
    // Too far to the left for the right end, too far off for the corners, too
    // near for the middle.
    for (at_m, share) in [([-0.5, 1.55], 0.4), ([0.0, 1.75], 0.5), ([0.0, 1.3], 0.1)] {
        let mut world = LanceWorld::new();
        world.body.at_m = at_m;
        let (from_m, to_m) = PARTS[0];
        let goals = with_brace(sweep(from_m, to_m));
        let mut pilot = lance_pilot(goals, vec![], Skill::steady());
        world.run(&mut pilot, 600.0);
        assert_eq!(*pilot.outcome(), Outcome::Done, "{at_m:?}");
        let clean = world.clean.iter().filter(|c| **c).count();
        let done = clean as f64 / world.clean.len() as f64;
        assert!((share..0.99).contains(&done), "{at_m:?}: {done}");
        let wrong = settled(&world)
            .iter()
            .filter(|t| (t.spot.stand_off_m - STAND_OFF_M).abs() > 0.35 * STAND_OFF_M)
            .count();
        let all = settled(&world).len();
        assert!(wrong * 20 < all, "{at_m:?}: {wrong} of {all}");
        assert!(world.longest_open_s < 1.0);
    }
}

#[test]
fn a_part_that_cannot_be_reached_at_all_does_not_keep_anybody() {
    for at_m in [[0.0, 3.0], [4.0, 1.55]] {
        let mut world = LanceWorld::new();
        world.body.at_m = at_m;
        let goals = with_brace(sweep(MIDDLE.0, MIDDLE.1));
        let mut pilot = lance_pilot(goals, vec![], Skill::steady());
        world.run(&mut pilot, 60.0);
        assert_eq!(reason(&pilot), StuckReason::OutOfReach);
        assert!(world.trail.iter().all(|t| !t.jet));
    }
}

#[test]
fn without_a_tool_or_a_surface_nothing_is_swept() {
    let mut world = LanceWorld::new();
    let mut pilot = lance_pilot(vec![sweep([2.0, 0.0], [3.0, 1.0])], vec![], Skill::steady());
    world.run(&mut pilot, 60.0);
    assert_eq!(reason(&pilot), StuckReason::OutOfReach);
}

// Rework

fn rework(clean_pct: u8) -> Goal {
    Goal::Rework {
        from_m: [0.0, 0.0],
        to_m: SURFACE.size_m,
        stand_off_m: STAND_OFF_M,
        speed_m_s: SPEED_M_S,
        step_m: 0.03,
        clean_pct,
    }
}

#[test]
fn rework_goes_only_where_it_is_needed_and_leaves_it_clean() {
    let mut world = LanceWorld::new();
    world.clean.fill(true);
    // Two tiles high up, and one below.
    let dirty = |x: usize, y: usize| {
        (40..60).contains(&x) && (90..100).contains(&y)
            || (100..110).contains(&x) && (30..40).contains(&y)
    };
    for y in 0..120 {
        for x in 0..150 {
            world.clean[y * 150 + x] = !dirty(x, y);
        }
    }
    let mut pilot = lance_pilot(with_brace(rework(95)), vec![], Skill::steady());
    world.run(&mut pilot, 120.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(world.clean.iter().filter(|c| !**c).count() < 20);
    let inside = |t: &Trace, x: (f64, f64), y: (f64, f64)| {
        let near = |v: f64, (a, b): (f64, f64)| (a - 0.06..=b + 0.06).contains(&v);
        near(t.spot.x_m, x) && near(t.spot.y_m, y)
    };
    let (mut up, mut down) = (0, 0);
    for t in world.trail.iter().filter(|t| t.jet) {
        let is_up = inside(t, (0.4, 0.6), (0.9, 1.0));
        let is_down = inside(t, (1.0, 1.1), (0.3, 0.4));
        assert!(is_up || is_down, "{t:?}");
        up += usize::from(is_up);
        down += usize::from(is_down);
    }
    assert!(up > 0 && down > 0);
    assert_eq!(squeezes(&world).0.len(), 2);
}

#[test]
fn a_clean_surface_is_not_reworked() {
    let mut world = LanceWorld::new();
    world.clean.fill(true);
    let mut pilot = lance_pilot(with_brace(rework(95)), vec![], Skill::steady());
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(squeezes(&world).0.len(), 0);
}

#[test]
fn what_will_not_come_clean_is_given_up_after_three_rounds() {
    let mut world = LanceWorld::new();
    world.clean.fill(true);
    world.clean[3030] = false;
    world.stubborn = true;
    let mut pilot = lance_pilot(with_brace(rework(100)), vec![], Skill::steady());
    world.run(&mut pilot, 120.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(squeezes(&world).0.len(), 3);
}
