//! What an aimed lance must do, against closed forms.

use core::f64::consts::PI;

use proptest::prelude::*;

use super::*;
use crate::reference::agrees;

const DT: f64 = 1.0 / 480.0;

fn lance(change: impl Fn(&mut ToolSpec)) -> Tool {
    let mut spec = ToolSpec::default();
    change(&mut spec);
    Tool::new(spec).unwrap()
}

/// Without arms that learn.
fn stubborn() -> Tool {
    lance(|s| s.adapt_s = 1e6)
}

/// Runs for `seconds` and gives the least and the greatest pitch on the way.
fn hold(
    tool: &mut Tool,
    seconds: f64,
    intent: &ToolIntent,
    braced: f64,
    thrust: impl Fn(f64) -> f64,
) -> (f64, f64) {
    let mut range = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..libm::round(seconds / DT) as usize {
        let t = (i as f64 + 0.5) * DT;
        tool.substep(DT, intent, braced, 1.0, thrust(t), (0.0, 0.0));
        range = (range.0.min(tool.pitch_rad()), range.1.max(tool.pitch_rad()));
    }
    range
}

/// Closed form: a rod held at its end has `m L^2 / 3`, at its middle `m L^2 / 12`.
#[test]
fn the_moment_of_inertia_is_that_of_a_rod() {
    let at = |tip: f64| {
        let tool = lance(|s| (s.mass_kg, s.length_m, s.tip_ahead_m) = (5.0, 1.4, tip));
        tool.spec().inertia_kg_m2()
    };
    assert!(agrees(at(1.4), 5.0 * 1.96 / 3.0, 1e-12));
    assert!(agrees(at(0.7), 5.0 * 1.96 / 12.0, 1e-12));
}

/// Closed form: `F e / k`, for strength and bracing as they are.
#[test]
fn a_slow_thrust_pitches_the_lance_by_the_angle_of_statics() {
    for (braced, strength) in [(0.0, 1.0), (1.0, 1.0), (0.5, 1.0), (0.0, 0.2), (1.0, 0.0)] {
        let mut tool = stubborn();
        for i in 0..4800 {
            let thrust = 200.0 * (f64::from(i) * DT / 8.0).min(1.0);
            tool.substep(
                DT,
                &ToolIntent::default(),
                braced,
                strength,
                thrust,
                (-3.0, 0.0),
            );
        }
        let free = 150.0 * (0.3 + 0.7 * strength);
        let want = 200.0 * 0.04 / (free + 250.0 * braced);
        println!("pitch {} want {want}", tool.pitch_rad());
        assert!(agrees(tool.pitch_rad(), want, 0.01));
        assert!(agrees(tool.yaw_rad(), -3.0 / (free + 250.0 * braced), 0.01));
        assert!(!agrees(tool.pitch_rad() * 1.02, want, 0.01));
    }
}

/// Closed form: `2 pi / (w sqrt(1 - z^2))`, `w^2 = k / I`.
#[test]
fn a_lance_let_go_swings_with_its_natural_frequency() {
    for braced in [0.0, 1.0] {
        let mut tool = lance(|s| (s.adapt_s, s.damping_ratio) = (1e6, 0.05));
        let aside = ToolIntent {
            yaw_rad: 0.3,
            pitch_rad: 0.0,
        };
        hold(&mut tool, 20.0, &aside, braced, |_| 0.0);
        let mut crossings = Vec::new();
        let mut before = tool.yaw_rad();
        for i in 0..4800 {
            tool.substep(DT, &ToolIntent::default(), braced, 1.0, 0.0, (0.0, 0.0));
            let now = tool.yaw_rad();
            if before > 0.0 && now <= 0.0 {
                crossings.push((f64::from(i) + before / (before - now)) * DT);
            }
            before = now;
        }
        let period = (crossings[3] - crossings[0]) / 3.0;
        let k = if braced > 0.0 { 400.0 } else { 150.0 };
        let w = f64::sqrt(k / tool.spec().inertia_kg_m2());
        let want = 2.0 * PI / (w * f64::sqrt(1.0 - 0.05 * 0.05));
        println!("period {period} s want {want} s");
        assert!(agrees(period, want, 0.005));
    }
}

#[test]
fn a_squeeze_kicks_the_tip_by_centimetres_and_it_comes_back() {
    let mut tool = lance(|_| ());
    let (_, kick) = hold(&mut tool, 3.0, &ToolIntent::default(), 0.0, |t| {
        200.0 * (t / 0.1).min(1.0)
    });
    println!(
        "kick {kick} rad, {} cm at the tip; left {}",
        100.0 * kick * tool.spec().tip_ahead_m,
        tool.pitch_rad()
    );
    assert!((0.02..0.10).contains(&(kick * tool.spec().tip_ahead_m)));
    assert!(tool.pitch_rad().abs() < 0.02 * kick);
    let learned = tool.learned_n_m().1;
    assert!(agrees(learned, -200.0 * 0.04, 0.01));

    let mut braced = lance(|_| ());
    let (_, less) = hold(&mut braced, 3.0, &ToolIntent::default(), 1.0, |t| {
        200.0 * (t / 0.1).min(1.0)
    });
    println!("braced {less} rad");
    assert!(less < 0.6 * kick && less > 0.0);
}

#[test]
fn thrust_that_goes_off_dips_the_tip_until_the_arms_have_unlearned_it() {
    for braced in [0.0, 1.0] {
        let mut tool = lance(|_| ());
        hold(&mut tool, 4.0, &ToolIntent::default(), braced, |_| 200.0);
        let (dip, over) = hold(&mut tool, 3.0, &ToolIntent::default(), braced, |_| 0.0);
        println!("dip {dip} over {over} left {}", tool.pitch_rad());
        assert!(dip < -0.015 && over < -0.2 * dip);
        assert!(tool.pitch_rad().abs() < 0.02 * dip.abs());
    }
}

#[test]
fn arms_bear_nothing_by_themselves_before_they_can_have_felt_it() {
    let mut tool = lance(|_| ());
    hold(
        &mut tool,
        ToolSpec::default().felt_s - DT,
        &ToolIntent::default(),
        0.0,
        |_| 200.0,
    );
    assert_eq!(tool.learned_n_m().1, 0.0);
    hold(&mut tool, 2.0 * DT, &ToolIntent::default(), 0.0, |_| 200.0);
    assert!(tool.learned_n_m().1 < 0.0);
    // A blow that is over by then is answered late, and so in the wrong direction.
    let mut tool = lance(|_| ());
    hold(&mut tool, 0.1, &ToolIntent::default(), 0.0, |_| 200.0);
    let (least, _) = hold(&mut tool, 0.5, &ToolIntent::default(), 0.0, |_| 0.0);
    println!("dips to {least} rad");
    assert!(least < -0.005);
}

#[test]
fn the_lance_goes_where_it_is_wanted() {
    for (yaw, pitch) in [(0.4, -0.3), (-1.0, 0.9), (3.0, -9.0)] {
        let mut tool = lance(|_| ());
        let intent = ToolIntent {
            yaw_rad: yaw,
            pitch_rad: pitch,
        };
        hold(&mut tool, 3.0, &intent, 0.0, |_| 200.0);
        let want = (
            yaw.clamp(-YAW_LIMIT_RAD, YAW_LIMIT_RAD),
            pitch.clamp(-PITCH_LIMIT_RAD, PITCH_LIMIT_RAD),
        );
        assert!((tool.yaw_rad() - want.0).abs() < 1e-3);
        assert!((tool.pitch_rad() - want.1).abs() < 1e-3);
        assert!(tool.yaw_rate().abs() < 1e-2 && tool.pitch_rate().abs() < 1e-2);
    }
}

#[test]
fn the_direction_turns_to_the_left_and_up() {
    let mut tool = lance(|_| ());
    assert!((tool.direction(0.0) - DVec3::X).length() < 1e-12);
    assert!((tool.direction(PI / 2.0) - DVec3::NEG_Z).length() < 1e-12);
    let intent = ToolIntent {
        yaw_rad: 0.5,
        pitch_rad: 0.25,
    };
    hold(&mut tool, 4.0, &intent, 1.0, |_| 0.0);
    let d = tool.direction(0.0);
    assert!(agrees(d.length(), 1.0, 1e-12));
    assert!(d.z < 0.0 && d.y > 0.0, "left of x is negative z");
    assert!((d.y - libm::sin(0.25)).abs() < 1e-3);
}

#[test]
fn fields_out_of_range_are_refused_by_name() {
    let refused = |change: &dyn Fn(&mut ToolSpec)| {
        let mut spec = ToolSpec::default();
        change(&mut spec);
        Tool::new(spec).unwrap_err().field
    };
    assert_eq!(refused(&|s| s.mass_kg = f64::NAN), "mass_kg");
    assert_eq!(refused(&|s| s.length_m = 0.0), "length_m");
    assert_eq!(refused(&|s| s.tip_ahead_m = 1.4), "tip_ahead_m");
    assert_eq!(refused(&|s| s.thrust_lever_m = 0.5), "thrust_lever_m");
    assert_eq!(refused(&|s| s.stiffness_n_m = -1.0), "stiffness_n_m");
    assert_eq!(
        refused(&|s| s.braced_stiffness_n_m = 100.0),
        "braced_stiffness_n_m"
    );
    assert_eq!(refused(&|s| s.damping_ratio = 0.0), "damping_ratio");
    assert_eq!(refused(&|s| s.adapt_s = f64::INFINITY), "adapt_s");
}

fn lively(tool: &mut Tool, from: i32, to: i32) {
    for i in from..to {
        let t = f64::from(i) * DT;
        let intent = ToolIntent {
            yaw_rad: libm::sin(t),
            pitch_rad: 0.4 * libm::cos(2.0 * t),
        };
        let thrust = if i % 700 < 400 { 200.0 } else { 0.0 };
        let pull = (4.0 * libm::sin(3.0 * t), -2.0);
        tool.substep(DT, &intent, 0.5 + 0.5 * libm::sin(t), 0.8, thrust, pull);
    }
}

#[test]
fn a_tool_read_back_goes_on_bit_for_bit() {
    let mut tool = lance(|_| ());
    lively(&mut tool, 0, 1234);
    let bytes = postcard::to_allocvec(&tool).unwrap();
    let mut copy: Tool = postcard::from_bytes(&bytes).unwrap();
    let mut twin = tool.clone();
    assert_eq!(copy, tool);
    lively(&mut tool, 1234, 3000);
    lively(&mut copy, 1234, 3000);
    lively(&mut twin, 1234, 3000);
    let bits =
        |t: &Tool| [t.yaw_rad(), t.pitch_rad(), t.yaw_rate(), t.pitch_rate()].map(f64::to_bits);
    assert_eq!(bits(&copy), bits(&tool));
    assert_eq!(bits(&twin), bits(&tool));
    assert_eq!(copy, tool);
    // A difference in the last bit is seen.
    copy.yaw.rate = f64::from_bits(copy.yaw.rate.to_bits() ^ 1);
    assert_ne!(copy, tool);
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -300.0f64..300.0,
        1 => -1e6f64..1e6,
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(f64::MAX)],
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn nothing_from_outside_makes_a_tool_not_a_number(
        heavy in any::<bool>(),
        dt in prop_oneof![Just(DT), Just(0.01)],
        calls in prop::collection::vec(
            ((any_number(), any_number()), (any_number(), any_number()), any_number(),
             (any_number(), any_number()), 1usize..200),
            1..12,
        ),
    ) {
        // The lightest lance in the stiffest arms swings fastest.
        let mut tool = lance(|s| if !heavy {
            (s.mass_kg, s.length_m, s.tip_ahead_m) = (0.5, 0.3, 0.15);
            (s.stiffness_n_m, s.braced_stiffness_n_m, s.damping_ratio) = (5000.0, 5000.0, 0.05);
        });
        for (want, held, thrust, pull, times) in calls {
            let intent = ToolIntent { yaw_rad: want.0 * 0.01, pitch_rad: want.1 * 0.01 };
            for _ in 0..times {
                tool.substep(dt, &intent, held.0 * 0.01, held.1 * 0.01, thrust, pull);
                prop_assert!(tool.yaw_rate().abs() < 1e4 && tool.pitch_rate().abs() < 1e4);
                prop_assert!(tool.yaw_rad().abs() <= YAW_LIMIT_RAD + STOP_BEYOND_RAD);
                prop_assert!(tool.pitch_rad().abs() <= PITCH_LIMIT_RAD + STOP_BEYOND_RAD);
            }
        }
        // Left alone it comes to rest where it is wanted.
        for _ in 0..40_000 {
            tool.substep(dt, &ToolIntent::default(), 0.0, 1.0, 0.0, (0.0, 0.0));
        }
        prop_assert!(tool.yaw_rad().abs() < 1e-6 && tool.pitch_rad().abs() < 1e-6);
    }
}
