//! A lance that nobody holds.

use glam::DVec3;

use super::{DT, hose, straight};
use crate::ground::{Flat, Ground, Touch};
use crate::reference::agrees;
use crate::rod::*;

const ROUGH: Flat = Flat {
    height: 0.0,
    friction: 0.5,
};

/// Hose of 13 mm and a lance of 6 kg; values from memory.
fn big_hose(length_m: f64) -> RodSpec {
    RodSpec {
        length_m,
        segments: libm::round(length_m / 0.25) as usize,
        outer_radius_m: 0.0115,
        empty_mass_kg_per_m: 0.9,
        bore_m: 0.013,
        bending_stiffness_n_m2: 8.0,
        stiffness_per_pa: 3e-7,
        ..hose(20.0, 80)
    }
}

fn lance() -> TailSpec {
    TailSpec {
        length_m: 1.3,
        mass_kg: 6.0,
        bending_stiffness_n_m2: 1500.0,
        outer_radius_m: 0.012,
    }
}

/// A hose that lies in a slack bow, with its lance let go of at the height of a hip.
fn dropped(pressure: f64) -> (Rod, RodEnd) {
    let path = [
        DVec3::new(0.0, 0.5, 0.0),
        DVec3::new(1.0, 0.0115, 0.0),
        DVec3::new(12.0, 0.0115, 3.0),
        DVec3::new(15.0, 0.0115, 0.0),
        DVec3::new(16.0, 1.0, 0.0),
    ];
    let mut rod = Rod::along(big_hose(20.0), &path, &ROUGH).unwrap();
    let start = RodEnd::Fixed(path[0], DVec3::X);
    let hands = RodEnd::Fixed(path[4], DVec3::X);
    for i in 0..960 {
        let part = (f64::from(i) / 480.0).min(1.0);
        rod.substep(DT, start, hands, pressure * part, 0.0, &ROUGH);
    }
    rod.let_go(&lance(), DVec3::X, DVec3::ZERO, DVec3::ZERO)
        .unwrap();
    (rod, start)
}

/// Splits a substep as the rod wants it.
fn whip<G: Ground + ?Sized>(rod: &mut Rod, start: RodEnd, thrust: f64, pressure: f64, ground: &G) {
    let parts = rod.substeps_wanted(DT);
    for _ in 0..parts {
        rod.push_tip(thrust);
        rod.substep(
            DT / parts as f64,
            start,
            RodEnd::Free,
            pressure,
            0.0,
            ground,
        );
    }
}

/// What a lance did in some seconds with its trigger tied.
struct Thrash {
    way_m: f64,
    fastest_m_s: f64,
    given_j: f64,
    /// Most energy that nobody gave, J.
    excess_j: f64,
    lowest_m: f64,
    /// The most by which a segment is not as long as its tension makes it, m.
    loose_m: f64,
}

fn thrash(rod: &mut Rod, start: RodEnd, thrust: f64, pressure: f64, seconds: f64) -> Thrash {
    let first = rod.energy_j(pressure);
    let mut t = Thrash {
        way_m: 0.0,
        fastest_m_s: 0.0,
        given_j: 0.0,
        excess_j: f64::NEG_INFINITY,
        lowest_m: f64::INFINITY,
        loose_m: 0.0,
    };
    for _ in 0..libm::round(seconds / DT) as usize {
        let before = rod.tip_position(Tip::End);
        let parts = rod.substeps_wanted(DT);
        for _ in 0..parts {
            rod.push_tip(thrust);
            let dt = DT / parts as f64;
            rod.substep(dt, start, RodEnd::Free, pressure, 0.0, &ROUGH);
            t.given_j += rod.pushed_j();
            t.excess_j = t.excess_j.max(rod.energy_j(pressure) - first - t.given_j);
            t.fastest_m_s = t.fastest_m_s.max(rod.fastest_m_s());
            for (j, tension) in rod.tensions().iter().enumerate() {
                let length = rod.nodes()[j].distance(rod.nodes()[j + 1]);
                let want = rod.segment_m(j) * (1.0 + tension / rod.spec().axial_stiffness_n);
                t.loose_m = t.loose_m.max((length - want).abs());
            }
            let low = |low: f64, p: &DVec3| low.min(p.y);
            t.lowest_m = rod.nodes().iter().fold(t.lowest_m, low);
        }
        t.way_m += rod.tip_position(Tip::End).distance(before);
    }
    t
}

#[test]
fn a_lance_with_a_tied_trigger_thrashes_on_what_the_jet_gives_until_the_water_is_gone() {
    let pressure = 7e7;
    for thrust in [120.0, 198.0, 300.0, 600.0] {
        let (mut rod, start) = dropped(pressure);
        let t = thrash(&mut rod, start, thrust, pressure, 10.0);
        println!(
            "{thrust} N: {:.0} m at up to {:.1} m/s, {:.0} J, excess {:.2} J, {:.4} m deep, \
             lengths off by {:.4} mm",
            t.way_m,
            t.fastest_m_s,
            t.given_j,
            t.excess_j,
            0.0115 - t.lowest_m,
            t.loose_m * 1e3
        );
        assert!(t.way_m > 40.0, "it does not lie still");
        assert!(t.excess_j <= 0.0, "no energy from nowhere");
        assert!(t.fastest_m_s < 60.0, "far from the bound of the program");
        assert!(t.lowest_m > 0.0115 - 0.0115, "no deeper than its radius");
        assert!(t.loose_m < 1e-4);
        let mut still_after = f64::INFINITY;
        for i in 0..10 * 480 {
            whip(&mut rod, start, 0.0, 0.0, &ROUGH);
            if rod.is_asleep() {
                still_after = f64::from(i) * DT;
                break;
            }
        }
        println!("lies still after {still_after} s");
        assert!(still_after < 8.0);
        assert!(rod.nodes().iter().all(|p| p.y < 0.6));
    }
}

/// Coulomb: 6 kg and a few metres of hose on a rough floor bear more than that.
#[test]
fn a_lance_with_a_trickle_left_lies_where_it_fell() {
    let (mut rod, start) = dropped(1e6);
    thrash(&mut rod, start, 0.0, 1e6, 4.0);
    let before = rod.nodes().to_vec();
    thrash(&mut rod, start, 15.0, 1e6, 4.0);
    for (now, then) in rod.nodes().iter().zip(&before) {
        assert!(now.distance(*then) < 0.02);
    }
}

/// Closed form (Euler-Bernoulli): hose of `L` with a rigid lance of `a` at its end, a force
/// at the tip: `F (L^3 / 3 + a L^2 / 2) / EI + a F (L^2 / 2 + a L) / EI`.
#[test]
fn a_clamped_hose_bends_under_a_load_at_the_tip_of_its_lance_as_under_force_and_moment() {
    let (l, a, force, stiffness) = (1.5, 1.2, 0.5, 80.0);
    let mut spec = hose(l, 24);
    spec.bending_stiffness_n_m2 = stiffness;
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
    let rigid = TailSpec {
        length_m: a,
        mass_kg: 0.1,
        bending_stiffness_n_m2: 1e6,
        outer_radius_m: 0.01,
    };
    rod.let_go(&rigid, DVec3::X, DVec3::ZERO, DVec3::ZERO)
        .unwrap();
    super::rest(
        &mut rod,
        12.0,
        RodEnd::Fixed(DVec3::Y, DVec3::X),
        RodEnd::Free,
        0.0,
        DVec3::Z * force,
    );
    let want = force / stiffness * (l * l * (l / 3.0 + a / 2.0) + a * (l * l / 2.0 + a * l));
    let got = rod.tail().unwrap().1.z;
    println!("tip {got} want {want}");
    assert!(agrees(got, want, 0.02));
    assert!(agrees(rod.forces().start_moment.y, -force * (l + a), 0.02));
}

/// A floor with a wall of 0.2 m all round, 4 m from the middle, and one across it.
struct Room;

impl Ground for Room {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        let mut deepest = (radius - p.y, DVec3::Y);
        for axis in [DVec3::X, DVec3::Z] {
            for side in [-1.0, 1.0] {
                // From the middle of the wall: out of it on the nearer side.
                let from = p.dot(axis) - side * 4.1;
                let depth = 0.1 + radius - from.abs();
                if depth > 0.0 && depth > deepest.0 {
                    deepest = (depth, axis * from.signum());
                }
            }
        }
        (deepest.0 > 0.0).then_some(Touch {
            depth: deepest.0,
            normal: deepest.1,
            friction: 0.5,
        })
    }
}

#[test]
fn nothing_that_flies_at_sixty_metres_a_second_gets_through_floor_or_wall() {
    let spec = big_hose(3.0);
    // From more sides where more cases are asked for.
    let cases = std::env::var("JETYARD_CASES").map_or(48, |n| n.parse().expect("a number"));
    let mut deepest = 0.0_f64;
    for i in 0..cases {
        let turn = 0.21 + f64::from(i) * 0.13;
        let dir = DVec3::new(
            libm::cos(turn),
            -0.4 + 0.3 * f64::from(i % 4),
            libm::sin(turn),
        );
        let from = DVec3::new(0.0, 1.5, 0.0);
        let nodes = straight(&spec, from - 1.5 * dir.normalize(), dir.normalize());
        let mut rod = Rod::from_nodes(spec.clone(), nodes);
        rod.let_go(&lance(), dir, DVec3::ZERO, DVec3::ZERO).unwrap();
        let cut = rod.nodes().iter().map(|p| p.y).fold(0.1, f64::min);
        for (p, v) in rod.position.iter_mut().zip(&mut rod.velocity) {
            p.y += 0.1 - cut;
            *v = 60.0 * DVec3::new(libm::cos(2.0 * turn), -0.5, libm::sin(2.0 * turn)).normalize();
        }
        for _ in 0..480 {
            let parts = rod.substeps_wanted(DT);
            for _ in 0..parts {
                rod.substep(
                    DT / parts as f64,
                    RodEnd::Free,
                    RodEnd::Free,
                    0.0,
                    0.0,
                    &Room,
                );
                for p in rod.nodes() {
                    let out = p.x.abs().max(p.z.abs()) - (4.0 - 0.0115);
                    deepest = deepest.max(out).max(0.0115 - p.y);
                    assert!(p.y > -0.0115, "case {i}: under the floor at {p}");
                    assert!(out < 0.1, "case {i}: in the wall at {p}");
                }
            }
        }
        assert!(rod.fastest_m_s() < 30.0);
    }
    println!("deepest {deepest} m");
}

/// Whoever lets go of it may have had its tip in the floor, or in a wall.
#[test]
fn a_lance_let_go_of_with_its_tip_in_something_is_pushed_out_of_it_and_not_shot() {
    let spec = big_hose(3.0);
    for (dir, height) in [
        (DVec3::new(0.5, -0.8, 0.0), 0.6),
        (DVec3::new(0.8, -0.1, 0.0), 0.9),
    ] {
        let hands = DVec3::new(2.75, height, 0.0);
        let path = [DVec3::new(0.2, 0.0115, 0.0), hands];
        let mut rod = Rod::along(spec.clone(), &path, &Room).unwrap();
        rod.let_go(&lance(), dir, DVec3::ZERO, DVec3::ZERO).unwrap();
        let tip = rod.tip_position(Tip::End);
        assert!(tip.y < -0.3 || tip.x > 4.03, "{tip}");
        let start = RodEnd::Fixed(path[0], DVec3::ZERO);
        let mut most_j = 0.0_f64;
        for _ in 0..960 {
            let parts = rod.substeps_wanted(DT);
            for _ in 0..parts {
                rod.substep(DT / parts as f64, start, RodEnd::Free, 0.0, 0.0, &Room);
                most_j = most_j.max(rod.kinetic_j());
            }
        }
        // 6 kg that fall from the height of the hands.
        let falls_j = 6.0 * 9.81 * height + 10.0;
        println!("{most_j} J, a fall has {falls_j} J");
        assert!(most_j < falls_j);
        assert!(rod.nodes().iter().all(|p| p.y > 0.0 && p.x < 4.0));
    }
}

#[test]
fn a_lance_taken_up_leaves_the_hose_as_it_was_without_it() {
    let spec = hose(5.0, 20);
    let plain = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
    let mut rod = plain.clone();
    assert!(rod.tail().is_none() && rod.tail_nodes().is_empty() && !rod.take_up());
    let (out, spin) = (DVec3::new(0.0, 0.6, 0.8), DVec3::X * 2.0);
    rod.let_go(&lance(), out, DVec3::Y, spin).unwrap();
    let (grip, tip, dir) = rod.tail().unwrap();
    assert!(grip.distance(DVec3::new(5.0, 1.0, 0.0)) < 1e-12);
    assert!(tip.distance(grip + 1.3 * out) < 1e-12 && dir.distance(out) < 1e-12);
    let fast = DVec3::Y + spin.cross(1.3 * out);
    assert!(rod.tip_velocity(Tip::End).distance(fast) < 1e-12);
    assert_eq!(
        rod.tail_nodes().len() + rod.hose_nodes().len(),
        rod.nodes().len() + 1
    );
    // Momentum of an even rod: that of its middle.
    let hose_end = 0.5 * spec.mass_kg_per_m(1.0) * spec.segment_m() * DVec3::Y;
    let want = 6.0 * (DVec3::Y + spin.cross(0.65 * out)) + hose_end;
    assert!(rod.momentum().distance(want) < 1e-9);
    // Let go of twice is let go of once.
    let once = rod.clone();
    rod.let_go(&lance(), out, DVec3::Y, spin).unwrap();
    assert_eq!(rod, once);
    assert!(rod.take_up());
    assert_eq!(rod.nodes(), plain.nodes());
    rod.velocity[20] = DVec3::ZERO;
    assert_eq!(rod, plain);
}

#[test]
fn a_tail_out_of_range_is_refused_by_name_and_changes_nothing() {
    let spec = hose(5.0, 20);
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
    let before = rod.clone();
    let mut refused = |change: &dyn Fn(&mut TailSpec)| {
        let mut tail = lance();
        change(&mut tail);
        match rod.let_go(&tail, DVec3::X, DVec3::ZERO, DVec3::ZERO) {
            Err(RodError::BadField { field, .. }) => field,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(refused(&|t| t.length_m = 0.0), "tail length_m");
    assert_eq!(refused(&|t| t.mass_kg = f64::NAN), "tail mass_kg");
    assert_eq!(
        refused(&|t| t.bending_stiffness_n_m2 = -1.0),
        "tail bending_stiffness_n_m2"
    );
    assert_eq!(refused(&|t| t.outer_radius_m = 2.0), "tail outer_radius_m");
    assert_eq!(rod, before);
}

#[test]
fn a_thrashing_rod_read_back_goes_on_bit_for_bit() {
    let (mut rod, start) = dropped(7e7);
    let go_on = |rod: &mut Rod| {
        for _ in 0..300 {
            whip(rod, start, 250.0, 7e7, &ROUGH);
        }
        rod.push_tip(3.0);
    };
    go_on(&mut rod);
    let bytes = postcard::to_allocvec(&rod).unwrap();
    let mut copy: Rod = postcard::from_bytes(&bytes).unwrap();
    assert_eq!(copy, rod);
    go_on(&mut rod);
    go_on(&mut copy);
    assert_eq!(super::state::bits(&copy), super::state::bits(&rod));
    assert_eq!(copy, rod);
}
