//! The body as a state: determinism, restoring, bad input, cost.

use glam::DVec3;
use proptest::prelude::*;

use super::{DT, floor, operator};
use crate::body::*;
use crate::ground::{Flat, Touch};

fn bits(body: &Body) -> Vec<u64> {
    let pose = body.pose();
    let vectors = [
        pose.feet[0],
        pose.feet[1],
        pose.com,
        pose.com_velocity,
        pose.hands,
        pose.hands_velocity,
    ];
    vectors
        .iter()
        .flat_map(|v| v.to_array())
        .chain([body.strength_left(), body.yaw()])
        .map(f64::to_bits)
        .collect()
}

fn lively(body: &mut Body, from: i32, to: i32) {
    for i in from..to {
        let t = f64::from(i) * DT;
        let intent = BodyIntent {
            one_hand: i % 900 > 600,
            velocity_body: (libm::sin(t), 0.3 * libm::cos(2.0 * t)),
            yaw_rate: 0.5 * libm::sin(0.7 * t),
            stance: if i % 900 < 450 {
                Stance::Normal
            } else {
                Stance::Staggered
            },
            brace: i % 700 < 500,
            hands_ahead_m: 0.4 * libm::sin(1.1 * t),
            hands_up_m: 0.7 * libm::sin(1.3 * t),
            easing: i % 800 > 600,
            lasting_n: DVec3::new(-20.0, 5.0, 10.0),
            coming_n: DVec3::Z * f64::from(i % 300),
        };
        let load = DVec3::new(40.0 * libm::sin(3.0 * t), 10.0, 120.0 * libm::cos(t));
        body.substep(DT, &intent, load, &floor(0.5));
    }
}

#[test]
fn two_equal_bodies_stay_equal_to_the_bit() {
    let run = || {
        let mut body = operator(82.0);
        lively(&mut body, 0, 3000);
        body
    };
    assert_eq!(bits(&run()), bits(&run()));
    assert_eq!(run(), run());
}

#[test]
fn a_body_read_back_goes_on_bit_for_bit() {
    let mut body = operator(82.0);
    lively(&mut body, 0, 1234);
    let bytes = postcard::to_allocvec(&body).unwrap();
    let mut copy: Body = postcard::from_bytes(&bytes).unwrap();
    assert_eq!(copy, body);
    lively(&mut body, 1234, 3000);
    lively(&mut copy, 1234, 3000);
    assert_eq!(bits(&copy), bits(&body));
    assert_eq!(copy, body);
    // A difference in the last bit is seen.
    copy.com_velocity.x = f64::from_bits(copy.com_velocity.x.to_bits() ^ 1);
    assert_ne!(bits(&copy), bits(&body));
    assert_ne!(copy, body);
}

/// Not a check but a figure: printed with `--nocapture`.
#[test]
fn a_body_has_a_time_printed() {
    let mut body = operator(82.0);
    let clock = std::time::Instant::now();
    lively(&mut body, 0, 4800);
    println!(
        "body: {:.2} microseconds a tick",
        clock.elapsed().as_secs_f64() * 1e6 / 1200.0
    );
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -300.0f64..300.0,
        1 => -1e6f64..1e6,
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(f64::MAX)],
    ]
}

/// A floor with something to trip over at every half metre.
struct Cluttered(Flat);

impl Ground for Cluttered {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        self.0.touch(p, radius)
    }

    fn trips(&self, from: DVec3, to: DVec3) -> bool {
        libm::floor(2.0 * from.z) != libm::floor(2.0 * to.z)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn nothing_from_outside_makes_a_body_not_a_number(
        calls in prop::collection::vec(
            ((any_number(), any_number(), any_number()), (any_number(), any_number(), any_number()),
             0usize..4, any::<bool>(), -0.1f64..2.0, 1usize..200),
            1..12,
        ),
    ) {
        let mut body = operator(80.0);
        for (load, walk, stance, brace, friction, times) in calls {
            let intent = BodyIntent {
                one_hand: times % 2 == 0,
                velocity_body: (walk.0 * 0.01, walk.1 * 0.01),
                yaw_rate: walk.2 * 0.01,
                stance: [
                    Stance::Normal,
                    Stance::Wide,
                    Stance::Staggered,
                    Stance::Crouched,
                ][stance],
                brace,
                hands_ahead_m: load.0 * 0.01,
                hands_up_m: load.1 * 0.01,
                easing: !brace,
                lasting_n: DVec3::new(walk.1, load.2, load.0),
                coming_n: DVec3::new(load.1, walk.0, walk.2),
            };
            for _ in 0..times {
                body.substep(DT, &intent, DVec3::new(load.0, load.1, load.2), &Cluttered(floor(friction)));
                prop_assert!(bits(&body).iter().all(|b| f64::from_bits(*b).is_finite()));
                prop_assert!((0.0..=1.0).contains(&body.strength_left()));
            }
            body.shift(DVec3::new(walk.0, walk.1, walk.2));
        }
    }
}
