//! What the physics does reaches the trainee: heat, noise and run-off are measured, and what one
//! does about them shows in the mark.

use crate::support::{LEVEL, loaded_of, model_of, played, recording_of, script};
use crew::{Control, Goal, Ppe, Skill};
use hydraulics::noise::Criterion;
use training::recording::{Bundle, Recording};
use training::{Channel, Level, Observation};

/// The last that a recording holds of some channels, and the greatest.
fn ends(recording: &Recording, channels: &[Channel]) -> Vec<(f64, f64)> {
    let mut ends = vec![(f64::NAN, f64::NEG_INFINITY); channels.len()];
    recording.play(|o: &Observation, _| {
        for (end, channel) in ends.iter_mut().zip(channels) {
            let now = o.mean(*channel).expect("a channel of this release");
            *end = (now, end.1.max(now));
        }
    });
    ends
}

/// The model attempt of the first level with one more wait, behind the step to 350 bar: the
/// hottest tank, degrees Celsius, and what was found.
fn parked_for(wait_s: f64) -> (f64, Vec<String>) {
    let loaded = loaded_of(LEVEL);
    let bundle = Bundle::new(loaded.bundle.bytes());
    let mut script = script(&loaded.level, "model");
    let step = |goal: &Goal| matches!(goal, Goal::Bring { bar, .. } if *bar == 350.0);
    let at = script
        .goals
        .iter()
        .position(step)
        .expect("a step to 350 bar");
    script.goals.insert(at + 1, Goal::Wait { s: wait_s });
    let played = played(&loaded.level, &bundle, script, Skill::steady(), 1);
    let recording = Recording::read(played.bytes).unwrap_or_else(|fault| panic!("{fault}"));
    let [(_, hottest_c)] = ends(&recording, &[Channel::TankTemperature])[..] else {
        panic!("one channel");
    };
    let found = played.mark.findings.into_iter();
    (
        hottest_c,
        found.map(|f| format!("{}_{}", f.rule, f.detail)).collect(),
    )
}

#[test]
fn only_the_time_at_a_shut_gun_is_another_and_so_are_the_tank_and_the_finding() {
    let (short_c, short) = parked_for(60.0);
    let (long_c, long) = parked_for(140.0);
    assert_eq!(short, Vec::<String>::new());
    assert_eq!(long, ["tank_hot_parked"]);
    println!("{short_c:.1} C, {long_c:.1} C");
    assert!(long_c > short_c + 1.0, "{short_c} {long_c}");
}

#[test]
fn the_water_of_an_attempt_balances_to_what_is_left_in_the_line() {
    let (loaded, _) = model_of(LEVEL);
    let channels = [
        Channel::WaterDrawn,
        Channel::RunOff,
        Channel::RunOffAtUnit,
        Channel::WaterReturned,
        Channel::WaterUsed,
    ];
    let ends = ends(&recording_of(LEVEL), &channels);
    let [drawn, work, unit, back, used] = [0, 1, 2, 3, 4].map(|n| ends[n].0);
    // Each is told to a tenth of a litre, and the line gives a little when it is filled.
    assert!((drawn - work - unit).abs() < 0.3, "{drawn} {work} {unit}");
    assert!(
        work > 20.0 && unit > 20.0 && back > work,
        "{work} {unit} {back}"
    );
    // What the work took is counted by another way: tool and bleed, tick by tick.
    assert!(used > work - 0.2 && used < drawn, "{used} {work}");
    assert_eq!(loaded.level.equipment.circuit.tank.bypass_return, 1.0);
}

/// What the pump hand had of a day's noise in the model attempt, percent, and the loudest.
fn heard(level: &Level, bundle: &Bundle) -> (f64, f64) {
    let script = script(level, "model");
    let played = played(level, bundle, script, Skill::steady(), 1);
    let recording = Recording::read(played.bytes).unwrap_or_else(|fault| panic!("{fault}"));
    let channels = [Channel::NoiseDosePumpHand, Channel::NoiseAtPumpHand];
    let ends = ends(&recording, &channels);
    (ends[0].0, ends[1].1)
}

#[test]
fn ear_defenders_take_off_the_dose_what_their_decibels_say() {
    let loaded = loaded_of(LEVEL);
    let bundle = Bundle::new(loaded.bundle.bytes());
    let (worn_pct, worn_db) = heard(&loaded.level, &bundle);
    let mut level = loaded.level.clone();
    level.ppe.pump_hand &= !Ppe::EarDefenders.bit();
    let (bare_pct, bare_db) = heard(&level, &bundle);
    let off_db = level.assumptions.defenders_db;
    println!("worn {worn_pct} % {worn_db} dB(A), bare {bare_pct} % {bare_db} dB(A)");
    assert!((bare_db - worn_db - off_db).abs() < 0.11);
    assert!(
        bare_pct > 10.0,
        "an attempt beside the engine is no small part of a day"
    );
    // 3 dB halve the time that may be borne; the dose is told to a hundredth of a percent.
    let day = Criterion {
        level_db: level.region.limits.noise_level_db.value,
        duration_s: 28_800.0,
        exchange_db: level.region.limits.noise_exchange_db.value,
    };
    let longer = day.permitted_s(80.0 - off_db) / day.permitted_s(80.0);
    let want = bare_pct / longer;
    assert!(
        (worn_pct - want).abs() < 0.011 + 0.02 * want,
        "{worn_pct} {want}"
    );
}

/// The model attempt with two lines, with its goals changed: what was found, what the second line
/// held at the end, bar, and the greatest push on the lance hand,
/// newtons.
fn two_lines(change: impl Fn(&mut Vec<Goal>)) -> (Vec<String>, f64, f64) {
    let loaded = loaded_of("10_two_lines");
    let bundle = Bundle::new(loaded.bundle.bytes());
    let mut script = script(&loaded.level, "model");
    change(&mut script.goals);
    let seed = loaded.level.seed;
    let played = played(&loaded.level, &bundle, script, Skill::steady(), seed);
    let recording = Recording::read(played.bytes).unwrap_or_else(|fault| panic!("{fault}"));
    let ends = ends(&recording, &[Channel::PedalPressure, Channel::Thrust]);
    let found = played.mark.findings.into_iter();
    let found = found.map(|f| format!("{}_{}", f.rule, f.detail));
    (found.collect(), ends[0].0, ends[1].1)
}

#[test]
fn only_the_speed_is_another_and_so_is_the_jolt_when_the_other_tool_shuts() {
    let at = |throttle: u16| {
        two_lines(|goals| {
            for goal in goals {
                if let Goal::Set { control, to } = goal
                    && *control == Control::Throttle
                    && *to > 0
                {
                    *to = throttle;
                }
            }
        })
    };
    let (fast, slow) = (at(95), at(50));
    assert_eq!(fast.0, Vec::<String>::new());
    assert_eq!(slow.0, ["partner_jolted_jolted"]);
    // The same pressure at the gauge with one tool, and so the same push.
    assert!((fast.2 / slow.2 - 1.0).abs() < 0.05, "{fast:?} {slow:?}");
}

#[test]
fn only_the_cock_is_another_and_so_is_what_the_second_line_holds_at_the_end() {
    let (found, open_bar, _) = two_lines(|_| {});
    assert_eq!((found, open_bar), (Vec::new(), 0.0));
    let (found, shut_bar, _) = two_lines(|goals| {
        let dump = |goal: &Goal| {
            matches!(
                goal,
                Goal::Set {
                    control: Control::Dump,
                    to: 1
                }
            )
        };
        let at = goals.iter().position(dump).expect("it is opened");
        let shut = Goal::Set {
            control: Control::PedalOutlet,
            to: 0,
        };
        goals.insert(at, shut);
    });
    assert_eq!(found, ["line_left_charged_pedal"]);
    assert!((450.0..550.0).contains(&shut_bar), "{shut_bar}");
}
