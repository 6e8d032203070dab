//! Hoses under foot, edges, crouching, and hands that cannot hold.

use glam::{DVec3, Vec3Swizzles};

use super::*;
use crate::ground::{Ground, Touch};

/// A level floor with a hose across it at a place of z, or an edge there with a lower floor
/// beyond it.
struct Floor {
    hose_at: Option<f64>,
    edge_at: f64,
    depth_m: f64,
}

impl Ground for Floor {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        let height = if p.z < self.edge_at {
            -self.depth_m
        } else {
            0.0
        };
        Flat {
            height,
            friction: 0.6,
        }
        .touch(p, radius)
    }

    fn trips(&self, from: DVec3, to: DVec3) -> bool {
        self.hose_at
            .is_some_and(|z| (from.z - z) * (to.z - z) <= 0.0 && from.z != to.z)
    }
}

fn hose_at(z: f64) -> Floor {
    Floor {
        hose_at: Some(z),
        edge_at: f64::NEG_INFINITY,
        depth_m: 0.0,
    }
}

/// Walks for some seconds on a floor; gives the events.
fn walk(
    body: &mut Body,
    seconds: f64,
    intent: &BodyIntent,
    floor: &Floor,
    load: DVec3,
) -> BodyEvents {
    let mut events = BodyEvents::default();
    for _ in 0..libm::round(seconds / DT) as usize {
        events.merge(body.substep(DT, intent, load, floor));
    }
    events
}

fn going(ahead: f64, right: f64) -> BodyIntent {
    BodyIntent {
        velocity_body: (ahead, right),
        ..BodyIntent::default()
    }
}

/// Walks onto a hose from eight distances; gives how many times each event came: tripped,
/// stepped, fell.
fn onto_a_hose(ahead: f64, right: f64, load: DVec3) -> [u32; 3] {
    let mut count = [0; 3];
    for k in 0..8 {
        let mut body = operator(80.0);
        let intent = going(ahead, right);
        let way = 1.5 + 0.09 * f64::from(k);
        // Facing along negative z; sideways the hose lies along the facing.
        let floor = Turned(hose_at(if ahead > 0.0 { -way } else { way }), right != 0.0);
        let mut events = BodyEvents::default();
        for i in 0..3840 {
            let part = f64::from(i).min(480.0) / 480.0;
            events.merge(body.substep(DT, &intent, load * part, &floor));
        }
        for (count, came) in count
            .iter_mut()
            .zip([events.tripped, events.stepped, events.fell])
        {
            *count += u32::from(came);
        }
    }
    println!("{ahead} ahead, {right} aside, {load}: {count:?} of 8");
    count
}

/// A floor, or the same with x for z.
struct Turned(Floor, bool);

impl Ground for Turned {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        self.0.touch(p, radius)
    }

    fn trips(&self, from: DVec3, to: DVec3) -> bool {
        if self.1 {
            self.0.trips(from.zyx(), to.zyx())
        } else {
            self.0.trips(from, to)
        }
    }
}

#[test]
fn who_walks_ahead_with_eyes_free_lifts_the_feet_over_a_hose() {
    for ahead in [0.4, 0.8, 1.4] {
        assert_eq!(onto_a_hose(ahead, 0.0, DVec3::ZERO), [0; 3]);
    }
}

#[test]
fn who_hurries_goes_blindly_or_has_thrust_to_mind_catches_a_foot() {
    for (ahead, right) in [(1.7, 0.0), (2.2, 0.0), (-0.6, 0.0), (-1.2, 0.0), (0.0, 0.7)] {
        assert_eq!(onto_a_hose(ahead, right, DVec3::ZERO)[0], 8);
    }
    assert_eq!(onto_a_hose(0.8, 0.0, DVec3::Z * 80.0)[0], 8);
}

/// The capture point of a body that is stopped at the feet runs ahead of them by `v / w`: at
/// 0.4 m/s 0.13 m, within the feet; at 2.2 m/s 0.7 m, most of the longest step.
#[test]
fn how_a_trip_ends_goes_by_the_speed() {
    assert_eq!(onto_a_hose(-0.4, 0.0, DVec3::ZERO), [8, 0, 0]);
    let [_, steps, falls] = onto_a_hose(-1.2, 0.0, DVec3::ZERO);
    assert!(steps == 8 && falls == 0);
    let [_, steps, falls] = onto_a_hose(2.2, 0.0, DVec3::ZERO);
    assert!(steps == 8 && falls >= 4);
}

#[test]
fn a_step_over_an_edge_is_a_fall_as_deep_as_the_edge_and_a_low_kerb_is_none() {
    for depth_m in [0.15, 0.3, 0.6, 2.0, 6.0] {
        let floor = Floor {
            hose_at: None,
            edge_at: -1.5,
            depth_m,
        };
        let mut body = operator(80.0);
        let events = walk(&mut body, 5.0, &going(1.0, 0.0), &floor, DVec3::ZERO);
        let pose = body.pose();
        println!("{depth_m} m: {events:?} {pose:?}");
        if depth_m < 0.35 {
            assert!(!events.fell && events.dropped_m == 0.0);
            assert!(pose.com.z < -3.0);
            assert!((pose.feet[0].y + depth_m).abs() < 1e-6);
        } else {
            assert!(events.fell && agrees(events.dropped_m, depth_m, 1e-6));
            // It lies below, beyond the edge, and its hands with it.
            assert!(agrees(pose.com.y, -depth_m + 0.15, 1e-6));
            assert!(agrees(pose.hands.y, -depth_m + 0.2, 1e-6));
            assert!(pose.com.z < -1.5 && pose.com.z > -2.8);
            assert!(pose.feet.iter().all(|f| agrees(f.y, -depth_m, 1e-6)));
        }
    }
    // Without any ground below it is over all the same.
    let floor = Floor {
        hose_at: None,
        edge_at: -1.5,
        depth_m: 1000.0,
    };
    let mut body = operator(80.0);
    let events = walk(&mut body, 5.0, &going(1.0, 0.0), &floor, DVec3::ZERO);
    assert!(events.fell && agrees(events.dropped_m, 30.0, 0.01));
}

#[test]
fn a_crouch_is_low_steady_and_slow_and_ends() {
    let floor = hose_at(1e3);
    let crouch = set(Stance::Crouched, false);
    let mut body = operator(80.0);
    let events = walk(&mut body, 3.0, &crouch, &floor, DVec3::ZERO);
    assert!(!events.stepped && !events.fell);
    assert!(agrees(body.pose().com.y, 0.65, 1e-9));
    assert!(agrees(body.pose().hands.y, 1.1 - 0.35, 0.01));
    // Steadier: a push from the side that makes who stands step.
    let pushed = |intent: &BodyIntent| {
        let mut body = operator(80.0);
        walk(&mut body, 3.0, intent, &floor, DVec3::ZERO);
        walk(&mut body, 3.0, intent, &floor, DVec3::X * 110.0)
    };
    assert!(pushed(&set(Stance::Normal, false)).stepped);
    assert!(!pushed(&crouch).stepped);
    // Slower.
    let creep = BodyIntent {
        velocity_body: (2.0, 0.0),
        ..crouch
    };
    let events = walk(&mut body, 3.0, &creep, &floor, DVec3::ZERO);
    assert!(!events.stepped && !events.fell);
    assert!(agrees(-body.pose().com_velocity.z, 0.7, 0.02));
    walk(
        &mut body,
        3.0,
        &set(Stance::Normal, false),
        &floor,
        DVec3::ZERO,
    );
    assert!(agrees(body.pose().com.y, 1.0, 1e-9));
}

/// When the hands give up what pulls them down with so many newtons, s; infinite for never.
fn loses(load_n: f64, one_hand: bool) -> f64 {
    let mut body = operator(80.0);
    let intent = BodyIntent {
        one_hand,
        ..BodyIntent::default()
    };
    let mut at = f64::INFINITY;
    let mut times = 0;
    for i in 0..480 * 8 {
        if body
            .substep(DT, &intent, DVec3::NEG_Y * load_n, &floor(0.6))
            .lost_hold
        {
            at = at.min(f64::from(i + 1) * DT);
            times += 1;
        }
    }
    assert!(times <= 1, "lost once, not again and again");
    println!("{load_n} N, one hand {one_hand}: lost after {at} s");
    at
}

#[test]
fn hands_lose_what_is_more_than_they_bear_and_what_tires_them_out() {
    assert_eq!(loses(300.0, false), f64::INFINITY);
    // Rohmert at the greatest force: 6 s.
    assert!(agrees(loses(500.0, false), 6.0, 0.02));
    // Half as much again, twice, thrice as much.
    for (over, want) in [(1.5, 0.3), (2.0, 0.15), (3.0, 0.075)] {
        assert!((loses(500.0 * over, false) - want).abs() < 2.0 * DT);
        assert!((loses(250.0 * over, true) - want).abs() < 2.0 * DT);
    }
    // A tug of a twentieth of a second is held.
    let mut body = operator(80.0);
    for i in 0..480 {
        let load = if i < 24 { 900.0 } else { 100.0 };
        let events = body.substep(DT, &BodyIntent::default(), DVec3::NEG_Y * load, &floor(0.6));
        assert!(!events.lost_hold);
    }
}
