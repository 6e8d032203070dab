//! The rod as a state: determinism, restoring, refusal of bad input, cost.

use std::time::Instant;

use glam::DVec3;
use proptest::prelude::*;

use super::{DT, FLOOR, hose};
use crate::rod::*;

pub(super) fn bits(rod: &Rod) -> Vec<u64> {
    rod.nodes()
        .iter()
        .chain(rod.velocities())
        .flat_map(|v| v.to_array())
        .chain(rod.tensions().iter().copied())
        .map(f64::to_bits)
        .collect()
}

#[test]
fn two_equal_rods_stay_equal_to_the_bit() {
    let run = || {
        let path = [
            DVec3::new(0.0, 0.3, 0.0),
            DVec3::new(1.0, 0.01, 0.0),
            DVec3::new(6.0, 0.01, 2.0),
        ];
        let mut rod = Rod::along(hose(8.0, 32), &path, &FLOOR).unwrap();
        for i in 0..600 {
            rod.push(
                32,
                DVec3::new(0.0, 8.0, -libm::sin(f64::from(i) * 0.05) * 20.0),
            );
            rod.substep(
                DT,
                RodEnd::Fixed(path[0], DVec3::X),
                RodEnd::Free,
                1e5 * f64::from(i),
                0.5,
                &FLOOR,
            );
        }
        rod
    };
    assert_eq!(bits(&run()), bits(&run()));
}

#[test]
fn a_rod_read_back_goes_on_bit_for_bit() {
    let path = [
        DVec3::new(0.0, 0.3, 0.0),
        DVec3::new(1.0, 0.01, 0.0),
        DVec3::new(6.0, 0.01, 2.0),
    ];
    let mut rod = Rod::along(hose(8.0, 32), &path, &FLOOR).unwrap();
    let go_on = |rod: &mut Rod, from: i32| {
        for i in from..from + 300 {
            let p = if i % 100 < 50 { 5e7 } else { 1e7 };
            rod.push(32, DVec3::new(0.0, 8.0, 20.0));
            rod.substep(
                DT,
                RodEnd::Fixed(path[0], DVec3::X),
                RodEnd::Free,
                p,
                0.5,
                &FLOOR,
            );
        }
    };
    go_on(&mut rod, 0);
    rod.push(3, DVec3::X);
    let bytes = postcard::to_allocvec(&rod).unwrap();
    let mut copy: Rod = postcard::from_bytes(&bytes).unwrap();
    assert_eq!(copy, rod);
    go_on(&mut rod, 300);
    go_on(&mut copy, 300);
    assert_eq!(bits(&copy), bits(&rod));
    assert_eq!(copy, rod);
    // A difference in the last bit is seen.
    copy.velocity[7].y = f64::from_bits(copy.velocity[7].y.to_bits() ^ 1);
    assert_ne!(bits(&copy), bits(&rod));
    assert_ne!(copy, rod);
}

#[test]
fn a_path_that_does_not_suit_the_hose_is_refused() {
    let far = [DVec3::ZERO, DVec3::X * 21.0];
    let near = [DVec3::ZERO, DVec3::X * 2.0];
    let spec = hose(20.0, 80);
    assert!(matches!(
        Rod::along(spec.clone(), &far, &FLOOR),
        Err(RodError::PathTooLong { .. })
    ));
    assert!(matches!(
        Rod::along(spec.clone(), &near, &FLOOR),
        Err(RodError::PathTooShort { .. })
    ));
    for path in [
        &[][..],
        &[DVec3::ZERO],
        &[DVec3::ZERO; 3],
        &[DVec3::NAN, DVec3::X],
    ] {
        assert_eq!(
            Rod::along(spec.clone(), path, &FLOOR),
            Err(RodError::BadPath)
        );
    }
    let mut wrong = spec;
    wrong.bore_m = f64::NAN;
    assert!(matches!(
        Rod::along(wrong, &far, &FLOOR),
        Err(RodError::BadField {
            field: "bore_m",
            ..
        })
    ));
}

/// Not a check but a figure: printed with `--nocapture`.
#[test]
fn twenty_metres_awake_have_a_time_printed() {
    let path = [
        DVec3::new(0.0, 0.4, 0.0),
        DVec3::new(1.0, 0.01, 0.0),
        DVec3::new(16.0, 0.01, 3.0),
        DVec3::new(16.5, 1.1, 3.0),
    ];
    let mut rod = Rod::along(hose(20.0, 80), &path, &FLOOR).unwrap();
    let ticks = 1200;
    let clock = Instant::now();
    for tick in 0..ticks {
        for sub in 0..4 {
            let t = f64::from(tick * 4 + sub) * DT;
            let pos =
                path[3] + DVec3::new(0.1 * libm::sin(2.0 * t), 0.05 * libm::sin(3.0 * t), 0.0);
            let end = RodEnd::Held {
                pos,
                vel: DVec3::ZERO,
                dir: DVec3::new(0.9, 0.1, 0.0).normalize(),
            };
            rod.substep(DT, RodEnd::Fixed(path[0], DVec3::X), end, 7e7, 0.55, &FLOOR);
        }
        assert!(!rod.is_asleep());
    }
    println!(
        "rod of 80 segments, awake: {:.1} microseconds a tick; stretch {:.3} mm, radius {:.3} m",
        clock.elapsed().as_secs_f64() * 1e6 / f64::from(ticks),
        rod.max_stretch_m() * 1e3,
        rod.min_bend_radius_m()
    );
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -3.0f64..3.0,
        1 => -1e6f64..1e6,
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(f64::MAX)],
    ]
}

fn any_vector() -> impl Strategy<Value = DVec3> {
    (any_number(), any_number(), any_number()).prop_map(|(x, y, z)| DVec3::new(x, y, z))
}

fn any_end() -> impl Strategy<Value = RodEnd> {
    prop_oneof![
        Just(RodEnd::Free),
        (any_vector(), any_vector()).prop_map(|(p, d)| RodEnd::Fixed(p, d)),
        (any_vector(), any_vector(), any_vector()).prop_map(|(pos, vel, dir)| RodEnd::Held {
            pos,
            vel,
            dir
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn nothing_from_outside_makes_a_rod_not_a_number(
        calls in prop::collection::vec(
            (any_end(), any_end(), any_number(), any_number(), any_vector(), 1usize..30),
            1..12,
        ),
        drops in prop::collection::vec(
            (any_vector(), any_vector(), any_vector(), any_number(), 0usize..20),
            12,
        ),
    ) {
        let path = [DVec3::new(0.0, 0.01, 0.0), DVec3::new(2.5, 0.01, 0.0)];
        let mut rod = Rod::along(hose(3.0, 12), &path, &FLOOR).unwrap();
        let tail = TailSpec {
            length_m: 1.0,
            mass_kg: 5.0,
            bending_stiffness_n_m2: 1000.0,
            outer_radius_m: 0.01,
        };
        for (call, drop) in calls.into_iter().zip(drops) {
            let (start, end, pressure, flow, push, times) = call;
            let (dir, velocity, turn, thrust, drops) = drop;
            match drops {
                0..8 => rod.let_go(&tail, dir, velocity, turn).unwrap(),
                8..16 => _ = rod.take_up(),
                cut => rod = rod.part(cut - 10).unwrap_or(rod),
            }
            for _ in 0..times {
                rod.push(6, push);
                rod.push_tip(thrust * 100.0);
                rod.thrust(Tip::Start, thrust);
                let f = rod.substep(DT, start, end, pressure * 3e7, flow, &FLOOR);
                prop_assert!(f.start_force.is_finite() && f.end_force.is_finite());
                prop_assert!(f.start_moment.is_finite() && f.end_moment.is_finite());
                prop_assert!(rod.nodes().iter().chain(rod.velocities()).all(|v| v.is_finite()));
                prop_assert!(rod.tensions().iter().all(|t| t.is_finite()));
                prop_assert!(rod.velocities().iter().all(|v| v.length() <= MAX_SPEED_M_S * 1.001));
            }
        }
    }
}
