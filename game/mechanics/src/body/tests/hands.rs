//! Hands that stay where the work is, and what a hand that lets go knows.

use super::*;

/// 200 N and no more are what a person may hold for long.
const WORK_N: f64 = 198.0;

/// What came of a spell: how far the hands were from a place, least and greatest along
/// the facing, m, and the events.
struct Spell {
    least: f64,
    most: f64,
    events: BodyEvents,
}

/// Runs for `seconds` under a load back along the facing.
fn spell(
    body: &mut Body,
    seconds: f64,
    intent: &BodyIntent,
    from: DVec3,
    load: impl Fn(f64) -> f64,
) -> Spell {
    let mut spell = Spell {
        least: f64::INFINITY,
        most: f64::NEG_INFINITY,
        events: BodyEvents::default(),
    };
    for i in 0..libm::round(seconds / DT) as usize {
        let force = load((i as f64 + 0.5) * DT);
        let events = body.substep(DT, intent, DVec3::Z * force, &floor(0.6));
        spell.events.merge(events);
        let along = (body.hands() - from).dot(body.forward());
        spell.least = spell.least.min(along);
        spell.most = spell.most.max(along);
    }
    spell
}

/// An operator who has held the thrust for three seconds.
fn at_work(mass_kg: f64) -> Body {
    let on = set(Stance::Staggered, true);
    let mut body = ready(mass_kg, &on);
    let from = body.hands();
    spell(&mut body, 3.0, &on, from, |t| WORK_N * (t / 0.3).min(1.0));
    body
}

/// The thrust goes evenly in `fall_s`.
fn going(fall_s: f64) -> impl Fn(f64) -> f64 {
    move |t| WORK_N * (1.0 - t / fall_s).max(0.0)
}

fn letting_go() -> BodyIntent {
    BodyIntent {
        easing: true,
        ..set(Stance::Staggered, true)
    }
}

#[test]
fn the_tool_stays_in_its_place_while_the_body_leans_into_thrust_and_out_of_it() {
    let on = set(Stance::Staggered, true);
    let mut body = ready(80.0, &on);
    let place = body.hands();
    let upright = body.pose().com.z;
    spell(&mut body, 0.5, &on, place, |t| WORK_N * (t / 0.3).min(1.0));
    let hold = spell(&mut body, 2.5, &on, place, |_| WORK_N);
    let leant = upright - body.pose().com.z;
    let release = spell(&mut body, 3.0, &letting_go(), place, going(0.15));
    println!(
        "leans by {leant} m, hands {} to {}, after release {} to {}",
        hold.least, hold.most, release.least, release.most
    );
    assert!(leant > 0.25);
    for part in [&hold, &release] {
        assert!(!part.events.stepped && !part.events.slipped);
        assert!(part.least > -0.08 && part.most < 0.08);
    }
    assert!((body.pose().com.z - upright).abs() < 0.01);
}

#[test]
fn who_lets_go_of_the_thrust_knowingly_needs_no_step() {
    for mass in [75.0, 80.0, 90.0] {
        for fall_s in [0.1, 0.25, 0.5] {
            let mut body = at_work(mass);
            let from = body.hands();
            let known = spell(&mut body, 3.0, &letting_go(), from, going(fall_s));
            assert!(!known.events.stepped && !known.events.brace_lost);
            assert_eq!(body.braced(), 1.0);
        }
        // Thrust that vanishes of itself still takes a step, and the brace with it.
        let mut body = at_work(mass);
        let from = body.hands();
        let on = set(Stance::Staggered, true);
        let sudden = spell(&mut body, 3.0, &on, from, going(0.1));
        assert!(sudden.events.stepped && sudden.events.brace_lost);
    }
}

#[test]
fn thrust_that_stays_though_let_go_pushes_the_body_back_until_it_is_felt() {
    let back = |intent: BodyIntent| {
        let mut body = at_work(80.0);
        let from = body.pose().com.z;
        let hands = body.hands();
        let mut furthest = 0.0_f64;
        for _ in 0..20 {
            spell(&mut body, 0.1, &intent, hands, |_| WORK_N);
            furthest = furthest.max(body.pose().com.z - from);
        }
        assert!(!body.is_fallen());
        assert!(body.pose().com_velocity.length() < 0.02, "comes to rest");
        furthest
    };
    let (knowing, deceived) = (back(set(Stance::Staggered, true)), back(letting_go()));
    println!("pushed back by {knowing} m and {deceived} m");
    assert!(knowing < 0.01 && deceived > 0.05);
}

/// To let go does nothing where there is no load.
#[test]
fn letting_go_of_nothing_moves_nobody() {
    let mut body = ready(80.0, &set(Stance::Staggered, true));
    let before = body.pose();
    stand(&mut body, 2.0, &letting_go(), 0.6, |_| DVec3::ZERO);
    assert!((body.pose().com - before.com).length() < 1e-3);
}

#[test]
fn a_lean_far_ahead_brings_the_weight_over_the_foot_ahead() {
    for mass in [75.0, 80.0, 90.0] {
        let body = at_work(mass);
        let feet = body.base().widened(0.0);
        let com = Plan::of(body.pose().com);
        println!("{mass} kg: {} m beside the feet", feet.outside_m(com));
        assert!(feet.outside_m(com) < 0.005);
        // Straight ahead of the middle there would be no foot.
        let straight = Plan::new(body.middle().x, com.z);
        assert!(feet.outside_m(straight) > 0.02);
    }
}

/// Closed form: first order, `1 - exp(-t / 0.12 s)`.
#[test]
fn hands_reach_for_their_place_with_the_time_constant_of_arms() {
    let mut body = ready(80.0, &set(Stance::Normal, false));
    let before = body.hands();
    let intent = BodyIntent {
        hands_ahead_m: 0.06,
        hands_up_m: -0.08,
        ..BodyIntent::default()
    };
    stand(&mut body, 0.125, &intent, 0.6, |_| DVec3::ZERO);
    let part = 1.0 - libm::exp(-0.125 / 0.12);
    let moved = body.hands() - before;
    assert!(agrees(-moved.z, 0.06 * part, 0.02));
    assert!(agrees(moved.y, -0.08 * part, 0.02));
    stand(&mut body, 2.0, &intent, 0.6, |_| DVec3::ZERO);
    let moved = body.hands() - before;
    assert!(agrees(-moved.z, 0.06, 0.001) && agrees(moved.y, -0.08, 0.001));
}

#[test]
fn hands_go_no_faster_and_no_further_than_arms_do() {
    let mut body = ready(80.0, &set(Stance::Normal, false));
    let before = body.hands();
    let far = BodyIntent {
        hands_ahead_m: 5.0,
        hands_up_m: 5.0,
        ..BodyIntent::default()
    };
    let mut fastest = 0.0_f64;
    for _ in 0..960 {
        body.substep(DT, &far, DVec3::ZERO, &floor(0.6));
        fastest = fastest.max(body.hands_velocity().length());
    }
    assert!(agrees(fastest, 1.2, 0.01));
    let moved = body.hands() - before;
    assert!(agrees(-moved.z, 0.30, 0.001) && agrees(moved.y, 0.45, 0.001));
    let wild = BodyIntent {
        hands_ahead_m: f64::NAN,
        hands_up_m: f64::NEG_INFINITY,
        ..BodyIntent::default()
    };
    stand(&mut body, 2.0, &wild, 0.6, |_| DVec3::ZERO);
    assert!((body.hands() - before).length() < 1e-3, "no wish at all");

    // Pushed over, forward and back, they keep to the bounds.
    for force in [-150.0, 150.0] {
        let mut body = ready(80.0, &set(Stance::Staggered, false));
        for _ in 0..960 {
            body.substep(DT, &far, DVec3::Z * force, &floor(0.6));
            assert!((0.05 - 1e-12..=0.75 + 1e-12).contains(&body.hands.ahead));
        }
    }
}

/// Closed form: the lean of statics, `F h / (W - U)`, for hands that are held low, with
/// the lift `U` of a jet that goes down, whose lever is the reach.
#[test]
fn a_load_acts_where_the_hands_are_held() {
    let intent = BodyIntent {
        hands_up_m: -0.5,
        hands_ahead_m: 0.2,
        ..set(Stance::Staggered, false)
    };
    let mut body = ready(80.0, &intent);
    let load = DVec3::new(0.0, 40.0, 100.0);
    stand(&mut body, 12.0, &intent, 0.6, |t| load * (t / 4.0).min(1.0));
    let weight = 80.0 * GRAVITY_M_S2 - 40.0;
    let reach = body.hands.ahead;
    let want = (100.0 * 0.6 + 40.0 * reach) / weight;
    let got = body.middle().z - body.pose().com.z;
    println!("leans by {got} m, want {want} m with a reach of {reach} m");
    assert!(agrees(got, want, 0.01));
    assert!(reach > 0.2 && reach < 0.55);
}

#[test]
fn the_velocity_of_the_hands_is_the_rate_of_their_place() {
    let mut body = ready(80.0, &set(Stance::Staggered, false));
    let mut fastest = 0.0_f64;
    for i in 0..4800 {
        let t = f64::from(i) * DT;
        let intent = BodyIntent {
            velocity_body: (0.4 * libm::sin(t), 0.2 * libm::cos(t)),
            yaw_rate: 1.5 * libm::sin(0.9 * t),
            hands_ahead_m: 0.2 * libm::sin(4.0 * t),
            hands_up_m: 0.3 * libm::cos(3.0 * t),
            ..set(Stance::Staggered, false)
        };
        let load = DVec3::new(20.0 * libm::sin(7.0 * t), 10.0, 40.0 * libm::cos(5.0 * t));
        let before = body.hands();
        body.substep(DT, &intent, load, &floor(0.6));
        let rate = (body.hands() - before) / DT;
        let told = body.hands_velocity();
        assert!((rate - told).length() < 0.02, "{rate} told as {told}");
        fastest = fastest.max(told.length());
    }
    assert!(fastest > 0.8 && !body.is_fallen());
}

#[test]
fn while_walking_the_hands_go_with_the_body() {
    for (ahead, aside) in [(1.4, 0.0), (-0.8, 0.0), (0.0, 0.8)] {
        let mut body = operator(80.0);
        let walk = BodyIntent {
            velocity_body: (ahead, aside),
            ..BodyIntent::default()
        };
        for _ in 0..1920 {
            body.substep(DT, &walk, DVec3::ZERO, &floor(0.6));
            let off = body.hands() - body.pose().com - body.forward() * 0.35;
            assert!(Plan::of(off).length() < 0.1, "{off} while walking");
        }
        let v = body.hands_velocity();
        assert!((v.length() - libm::hypot(ahead, aside)).abs() < 0.05);
    }
}
