//! Hoses that part in the stepped yard: how they move, what holds them, whom they hit.

use crate::support::{LOOSE_END, loaded_of};
use crew::{Act, Control, Fault, Input, Seat, Source};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use training::{Channel, Event, Level, Referee};
use yard::Yard;

/// The level with a line that somebody else has rigged; what fails is up to the tests.
pub fn level() -> Level {
    let mut level = loaded_of(LOOSE_END).level;
    level.faults = training::Faults::default();
    level
}

fn input(yard: &Yard, seat: Seat, act: Act) -> Input {
    Input {
        tick: yard.tick(),
        seat,
        source: Source::Instructor,
        act,
    }
}

pub fn does(yard: &mut Yard, seat: Seat, act: Act) -> Vec<Event> {
    let input = input(yard, seat, act);
    yard.step(&[input]).expect("a yard").events.clone()
}

pub fn wait(yard: &mut Yard, seconds: f64) -> Vec<Event> {
    let mut events = Vec::new();
    for _ in 0..(seconds * 120.0) as u32 {
        events.extend(yard.step(&[]).expect("a yard").events.clone());
    }
    events
}

/// Lets time pass before the eyes of a referee.
pub fn wait_seeing(yard: &mut Yard, seconds: f64, referee: &mut Referee) {
    for _ in 0..(seconds * 120.0) as u32 {
        referee.see(yard.step(&[]).expect("a yard"));
    }
}

fn bar(yard: &Yard) -> f64 {
    yard.observation()
        .mean(Channel::PumpPressure)
        .expect("measured")
}

/// The yard with its line at a pressure that the pump hand has set: so many detents of the
/// regulator, of a thousand.
pub fn under_pressure(level: &Level, detents: i32) -> Yard {
    let mut yard = Yard::new(level).expect("a yard");
    let pump = |yard: &mut Yard, act| does(yard, Seat::PUMP, act);
    wait(&mut yard, 0.3);
    pump(&mut yard, Act::Take(Control::Throttle));
    for _ in 0..20 {
        pump(&mut yard, Act::Twist { detents: 3 });
    }
    pump(&mut yard, Act::LetGo);
    pump(&mut yard, Act::Take(Control::Dump));
    pump(&mut yard, Act::Push { on: false });
    wait(&mut yard, 1.0);
    pump(&mut yard, Act::LetGo);
    pump(&mut yard, Act::Take(Control::Regulator));
    for n in 0..(detents / 3) {
        pump(&mut yard, Act::Twist { detents: 3 });
        if n % 4 == 0 {
            wait(&mut yard, 0.05);
        }
    }
    pump(&mut yard, Act::LetGo);
    wait(&mut yard, 4.0);
    yard
}

pub fn part(yard: &mut Yard, fault: Fault) -> Vec<Event> {
    does(yard, Seat::PUMP, Act::Fail { fault, amount: 1 })
}

#[test]
fn an_end_that_whips_has_no_more_energy_than_water_wall_and_pump_have_given() {
    let cases: u64 = std::env::var("JETYARD_CASES").map_or(12, |n| n.parse().expect("a number"));
    let mut closest = 0.0_f64;
    let mut fastest = 0.0_f64;
    for case in 1..=cases {
        let mut chance = ChaCha8Rng::seed_from_u64(case);
        let mut level = level();
        if let Some(restraint) = &mut level.equipment.restraint {
            restraint.slack_m = chance.random_range(0.0..0.6);
            restraint.strength_n = chance.random_range(2e3..6e4);
            restraint.stiffness_n_m = chance.random_range(2e5..2e6);
        }
        for restraint in Control::RESTRAINTS {
            level
                .start
                .controls
                .retain(|(control, _)| *control != restraint);
            let clipped = u16::from(chance.random_bool(0.5));
            level.start.controls.push((restraint, clipped));
        }
        let mut yard = under_pressure(&level, chance.random_range(60..800));
        let parts = [Fault::HoseParted, Fault::PumpCouplingParts];
        let fault = parts[chance.random_range(0..2)];
        let before = yard.whip();
        let had_j = before.moving_j + before.held_j;
        part(&mut yard, fault);
        for tick in 0..240 {
            yard.step(&[]).expect("a yard");
            let whip = yard.whip();
            let most_j = had_j + whip.ledger.left_j();
            assert!(
                whip.moving_j <= most_j,
                "case {case}, tick {tick}: {} of {most_j} J: {whip:?}",
                whip.moving_j
            );
            closest = closest.max(whip.moving_j / most_j);
            let speed = yard.observation().max(Channel::HoseEndSpeed);
            fastest = fastest.max(speed.expect("measured"));
        }
        assert!(yard.whip().ledger.stored_j > 0.0);
    }
    println!(
        "{cases} partings: at most {:.1} % of what there was became motion, ends up to {fastest:.0} m/s",
        100.0 * closest
    );
}

#[test]
fn an_open_bore_pushes_for_a_moment_and_then_hardly_at_all() {
    let mut yard = under_pressure(&level(), 500);
    let before = bar(&yard);
    assert!(before > 400.0, "{before}");
    part(&mut yard, Fault::HoseParted);
    let mut speeds = Vec::new();
    for _ in 0..360 {
        yard.step(&[]).expect("a yard");
        speeds.push(
            yard.observation()
                .max(Channel::HoseEndSpeed)
                .expect("measured"),
        );
    }
    println!(
        "{before:.0} bar, speeds of the end: {:?}",
        &speeds.iter().step_by(12).collect::<Vec<_>>()
    );
    let whips = speeds[..60].iter().fold(0.0, |m: f64, s| m.max(*s));
    let later = speeds[240..].iter().fold(0.0, |m: f64, s| m.max(*s));
    assert!(whips > 5.0 && later < 0.3 * whips, "{whips} {later}");
    // Most of the water that the pressure had packed into it is gone within two tenths of a second.
    assert!(bar(&yard) < 0.1 * before);
}

#[test]
fn a_restraint_without_slack_holds_and_a_weak_or_slack_one_breaks() {
    let held = |strength_n: f64, slack_m: f64| {
        let mut level = level();
        let restraint = level.equipment.restraint.as_mut().expect("a restraint");
        restraint.strength_n = strength_n;
        restraint.anchor_n = strength_n;
        restraint.slack_m = slack_m;
        level
            .start
            .controls
            .retain(|(c, _)| *c != Control::GunRestraint);
        level.start.controls.push((Control::GunRestraint, 1));
        let mut yard = under_pressure(&level, 500);
        let pressure_pa = 1e5 * bar(&yard);
        let bore_m = level.equipment.hoses[0].bore_m;
        let twice_n = 2.0 * pressure_pa * core::f64::consts::PI / 4.0 * bore_m * bore_m;
        let mut events = part(&mut yard, Fault::HoseParted);
        let mut most_n = 0.0_f64;
        for _ in 0..120 {
            let o = yard.step(&[]).expect("a yard");
            events.extend(o.events.clone());
            let load = yard.observation().max(Channel::RestraintLoad);
            most_n = most_n.max(1000.0 * load.expect("measured"));
        }
        let broke = events
            .iter()
            .any(|e| matches!(e, Event::RestraintBroke { .. }));
        let held = events
            .iter()
            .any(|e| matches!(e, Event::RestraintHeld { .. }));
        assert!(broke != held, "{events:?}");
        (held, most_n, twice_n)
    };
    let (holds, most_n, twice_n) = held(1e6, 0.0);
    println!("without slack {most_n:.0} N of 2PA = {twice_n:.0} N");
    assert!(holds && most_n <= twice_n, "{most_n} {twice_n}");
    assert!(held(twice_n, 0.0).0);
    assert!(!held(0.7 * most_n, 0.0).0);
    let (_, slack_n, _) = held(1e6, 0.6);
    println!("with 0.6 m of slack {slack_n:.0} N");
    assert!(slack_n > most_n, "{slack_n}");
    assert!(!held(twice_n.min(0.9 * slack_n), 0.6).0);
}

#[test]
fn a_lance_that_nobody_holds_thrashes_until_the_dump_is_open() {
    let mut level = level();
    level.start.nozzle_fitted = true;
    let mut yard = under_pressure(&level, 500);
    let lance = |yard: &mut Yard, act| does(yard, Seat::LANCE, act);
    lance(&mut yard, Act::TakeUp);
    wait(&mut yard, 3.0);
    lance(&mut yard, Act::SafetyCatch(false));
    lance(&mut yard, Act::Tie(true));
    wait(&mut yard, 1.0);
    let thrust = yard.observation().mean(Channel::Thrust).expect("measured");
    assert!(thrust > 60.0, "{thrust}");
    // Whoever lays it down like this has let go of a thing that pushes by itself.
    lance(
        &mut yard,
        Act::Walk {
            forward_cm_s: -100,
            right_cm_s: 0,
        },
    );
    wait(&mut yard, 1.5);
    lance(&mut yard, Act::LayDown);
    wait(&mut yard, 6.0);
    let mut fastest = 0.0_f64;
    let mut turned = 0.0_f64;
    let mut was = yard.view().tool.points;
    for _ in 0..600 {
        yard.step(&[]).expect("a yard");
        let speed = yard
            .observation()
            .max(Channel::HoseEndSpeed)
            .expect("measured");
        fastest = fastest.max(speed);
        let now = yard.view().tool.points;
        // The chord of a small turn is the turn.
        turned += (0..3)
            .map(|k| (now[k] - was[k]) * (now[k] - was[k]))
            .sum::<f64>()
            .sqrt();
        was = now;
    }
    println!("{thrust:.0} N: up to {fastest:.1} m/s, {turned:.0} rad in five seconds");
    assert!(fastest > 1.5, "{fastest}");
    does(&mut yard, Seat::PUMP, Act::Take(Control::Dump));
    does(&mut yard, Seat::PUMP, Act::Push { on: true });
    wait(&mut yard, 4.0);
    let speed = yard
        .observation()
        .max(Channel::HoseEndSpeed)
        .expect("measured");
    assert!(speed < 0.2, "{speed}");
}
