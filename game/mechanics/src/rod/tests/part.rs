//! A hose that parts.

use glam::DVec3;

use super::{DT, FLOOR, hose, straight};
use crate::GRAVITY_M_S2;
use crate::ground::Nothing;
use crate::reference::agrees;
use crate::rod::*;

fn lance() -> TailSpec {
    TailSpec {
        length_m: 1.3,
        mass_kg: 6.0,
        bending_stiffness_n_m2: 1500.0,
        outer_radius_m: 0.012,
    }
}

#[test]
fn the_parts_of_a_hose_have_its_length_mass_momentum_and_energy() {
    let spec = hose(10.0, 40);
    for tail in [false, true] {
        for node in [0, 1, 17, 39, 40, usize::MAX] {
            let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
            if tail {
                rod.let_go(&lance(), DVec3::X, DVec3::Z, DVec3::Y).unwrap();
            }
            for i in 0..100 {
                rod.push(i % 41, DVec3::new(3.0, 20.0, f64::from(i as i32 % 7)));
                rod.substep(DT, RodEnd::Free, RodEnd::Free, 1e6, 0.1, &Nothing);
            }
            let whole = rod.clone();
            let torn = rod.part(node).unwrap();
            assert!(rod.nodes().len() >= 2 && torn.hose_nodes().len() >= 2);
            assert_eq!(
                rod.nodes().len() + torn.nodes().len(),
                whole.nodes().len() + 1
            );
            assert_eq!(rod.nodes().last(), torn.nodes().first());
            assert!(rod.tail().is_none());
            assert_eq!(torn.tail().is_some(), tail);
            let length = rod.spec().length_m + torn.spec().length_m;
            assert!(agrees(length, 10.0, 1e-12));
            assert!(agrees(
                rod.spec().segment_m(),
                torn.spec().segment_m(),
                1e-12
            ));
            let momentum = rod.momentum() + torn.momentum();
            assert!(momentum.distance(whole.momentum()) < 1e-9);
            let kinetic = rod.kinetic_j() + torn.kinetic_j();
            assert!(agrees(kinetic, whole.kinetic_j(), 1e-9));
            // All that is lost is the energy of the bend at the cut.
            let lost = whole.energy_j(1e6) - rod.energy_j(1e6) - torn.energy_j(1e6);
            assert!((-1e-9..5.0).contains(&lost), "{lost} J");
            assert_eq!([rod.tensions(), torn.tensions()].concat(), whole.tensions());
        }
    }
}

/// Closed form: half of a hanging hose, cut in its middle, falls freely; the half that hangs
/// is left with its own weight.
#[test]
fn below_a_cut_a_hanging_hose_falls_freely_and_above_it_the_load_is_gone() {
    let spec = hose(10.0, 40);
    let top = DVec3::Y * 60.0;
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, top, -DVec3::Y));
    let start = RodEnd::Fixed(top, -DVec3::Y);
    super::rest(&mut rod, 3.0, start, RodEnd::Free, 0.0, DVec3::ZERO);
    let weight = spec.mass_kg_per_m(1.0) * 10.0 * GRAVITY_M_S2;
    assert!(agrees(rod.forces().start_force.y, -weight, 0.01));
    let mut torn = rod.part(20).unwrap();
    let from = torn.nodes()[0].y;
    for _ in 0..240 {
        rod.substep(DT, start, RodEnd::Free, 0.0, 0.0, &Nothing);
        torn.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &Nothing);
    }
    assert!(agrees(rod.forces().start_force.y, -0.5 * weight, 0.01));
    let fell = from - torn.nodes()[0].y;
    println!("fell {fell} m");
    assert!(agrees(fell, 0.5 * GRAVITY_M_S2 * 0.25, 0.01));
}

#[test]
fn stubs_of_one_segment_move_and_a_single_segment_cannot_be_cut() {
    let spec = hose(10.0, 40);
    let nodes = straight(&spec, DVec3::Y * 0.3, DVec3::X);
    let mut rod = Rod::from_nodes(spec, nodes);
    let coupling = RodEnd::Fixed(rod.nodes()[0], DVec3::X);
    let mut torn = rod.part(0).unwrap();
    let mut stub = torn.part(usize::MAX).unwrap();
    assert_eq!([rod.nodes().len(), stub.nodes().len()], [2, 2]);
    assert_eq!(rod.part(1), None);
    let hands = RodEnd::Fixed(stub.nodes()[1], DVec3::X);
    for _ in 0..960 {
        rod.substep(DT, coupling, RodEnd::Free, 1e6, 0.0, &FLOOR);
        torn.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &FLOOR);
        stub.substep(DT, RodEnd::Free, hands, 0.0, 0.0, &FLOOR);
    }
    // The stubs stick out of what holds them, a hand's breadth lower at their ends; the
    // middle lies on the floor.
    for stub in [&rod, &stub] {
        let low = stub.nodes()[0].y.min(stub.nodes()[1].y);
        assert!((0.2..0.3).contains(&low), "{low}");
        assert!(stub.forces().start_force.is_finite());
        assert!(stub.max_stretch_m() < 1e-3);
    }
    assert!(torn.nodes().iter().all(|p| p.y < 0.02));
    let holds = -rod.forces().start_force.y;
    let want = rod.spec().mass_kg_per_m(1.0) * 0.25 * GRAVITY_M_S2;
    println!("holds {holds} N want {want} N");
    assert!(agrees(holds, want, 0.01));
}

#[test]
fn a_parted_rod_read_back_goes_on_bit_for_bit() {
    let spec = hose(10.0, 40);
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
    let go_on = |rod: &mut Rod| {
        for _ in 0..200 {
            rod.thrust(Tip::Start, 200.0);
            rod.substep(DT, RodEnd::Free, RodEnd::Free, 1e7, 0.5, &FLOOR);
        }
    };
    go_on(&mut rod);
    let mut torn = rod.part(11).unwrap();
    let bytes = postcard::to_allocvec(&torn).unwrap();
    let mut copy: Rod = postcard::from_bytes(&bytes).unwrap();
    assert_eq!(copy, torn);
    go_on(&mut torn);
    go_on(&mut copy);
    assert_eq!(super::state::bits(&copy), super::state::bits(&torn));
}
