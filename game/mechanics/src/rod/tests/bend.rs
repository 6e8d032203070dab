//! Bent hoses against the elastica: elliptic integrals and solved boundary values, tabled.

use glam::DVec3;

use super::{hose, rest, straight};
use crate::GRAVITY_M_S2;
use crate::ground::Nothing;
use crate::reference::{Table, agrees};
use crate::rod::*;

/// A hose of a weight, N/m, and a stiffness, in segments of `segment_m`.
fn of(length_m: f64, weight: f64, stiffness: f64, segment_m: f64) -> RodSpec {
    RodSpec {
        segments: libm::round(length_m / segment_m) as usize,
        empty_mass_kg_per_m: weight / GRAVITY_M_S2,
        bore_m: 0.0,
        bending_stiffness_n_m2: stiffness,
        stiffness_per_pa: 0.0,
        ..hose(length_m, 80)
    }
}

/// Elliptic integrals: a clamped hose bends under a load at its tip as far as the elastica does,
/// however far that is.
#[test]
fn a_clamped_hose_takes_the_elastica_under_a_load_at_its_tip() {
    for row in Table::read("elastica.csv").rows() {
        let (length, stiffness) = (3.0, 42.0);
        let load = row.number("PL2_over_EI") * stiffness / (length * length);
        for (segment_m, tolerance) in [(0.25, 0.02), (0.1, 0.01)] {
            let spec = of(length, 0.01, stiffness, segment_m);
            let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
            let clamp = RodEnd::Fixed(DVec3::Y, DVec3::X);
            rest(
                &mut rod,
                24.0,
                clamp,
                RodEnd::Free,
                0.0,
                DVec3::NEG_Y * load,
            );
            let tip = rod.tip_position(Tip::End) - DVec3::Y;
            let (down, along) = (-tip.y / length, tip.x / length);
            println!(
                "{segment_m} m: down {down} want {}, along {along} want {}",
                row.text("down_over_L"),
                row.text("along_over_L")
            );
            assert!(agrees(down, row.number("down_over_L"), tolerance));
            assert!(agrees(along, row.number("along_over_L"), tolerance));
            // Beam theory at the clamp: the moment is the load times its lever.
            let moment = load * tip.x;
            println!("moment {} {moment}", rod.forces().start_moment);
            assert!(agrees(rod.forces().start_moment.z, -moment, 0.02));
            // And the curvature follows it, at each node.
            let node = rod.nodes().len() / 3;
            let lever = tip.x - rod.nodes()[node].x;
            let want = stiffness / (load * lever);
            let got = rod.bend_radius_m(node);
            println!("radius {got} want {want}");
            assert!(agrees(got, want, 0.02));
        }
    }
}

/// Solved boundary values: a hose of the stiffness of a catalogue that sticks out of its coupling.
#[test]
fn a_hose_that_sticks_out_bends_under_its_own_weight_as_the_heavy_elastica() {
    for row in Table::read("heavy_elastica.csv").rows() {
        // The hose of 25 mm: 42 N m2, with its water 33 N/m.
        let (weight, stiffness) = (33.0, 42.0);
        let length = libm::cbrt(row.number("wL3_over_EI") * stiffness / weight);
        for (segments, tolerance) in [(8, 0.05), (24, 0.01)] {
            let spec = of(length, weight, stiffness, length / f64::from(segments));
            let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
            let clamp = RodEnd::Fixed(DVec3::Y, DVec3::X);
            rest(&mut rod, 8.0, clamp, RodEnd::Free, 0.0, DVec3::ZERO);
            let tip = rod.tip_position(Tip::End) - DVec3::Y;
            let (down, along) = (-tip.y / length, tip.x / length);
            println!(
                "{segments} segments: down {down} want {}, along {along} want {}",
                row.text("down_over_L"),
                row.text("along_over_L")
            );
            assert!(agrees(down, row.number("down_over_L"), tolerance));
            assert!(agrees(along, row.number("along_over_L"), tolerance));
        }
    }
}

/// A hose hung by both ends, settled: sag, m, pull, N, and bend radius in the middle, m.
fn hung(spec: RodSpec, span: f64) -> (f64, f64, f64) {
    let half = 0.5 * spec.length_m;
    let low = (half * half - 0.25 * span * span).sqrt();
    let ends = [DVec3::ZERO, DVec3::X * span];
    let path = [ends[0], DVec3::new(0.5 * span, -0.999 * low, 0.0), ends[1]];
    let mut rod = Rod::along(spec, &path, &Nothing).unwrap();
    let fixed = ends.map(|p| RodEnd::Fixed(p, DVec3::ZERO));
    rest(&mut rod, 15.0, fixed[0], fixed[1], 0.0, DVec3::ZERO);
    let lowest = rod.nodes().iter().map(|p| p.y).fold(0.0, f64::min);
    let middle = rod.nodes().len() / 2;
    (
        -lowest,
        rod.forces().start_force.x,
        rod.bend_radius_m(middle),
    )
}

#[test]
fn a_hanging_hose_takes_the_elastica_with_its_stiffness_and_the_catenary_without() {
    for row in Table::read("hanging_rod.csv").rows() {
        let (span, length) = (row.number("span_m"), row.number("L_m"));
        let (weight, stiffness) = (row.number("w_N_m"), row.number("EI_N_m2"));
        for (segment_m, tolerance) in [(0.125, 0.05), (0.05, 0.01)] {
            let (sag, pull, radius) = hung(of(length, weight, stiffness, segment_m), span);
            println!(
                "{segment_m} m: sag {sag} want {}, pull {pull} want {}, radius {radius} want {}",
                row.text("sag_m"),
                row.text("pull_N"),
                stiffness / row.number("moment_N_m")
            );
            assert!((sag - row.number("sag_m")).abs() < tolerance * span);
            // Beam theory: R = EI / M.
            assert!(agrees(radius, stiffness / row.number("moment_N_m"), 0.1));
            // The pull is what is left of the weight and of the bend's push outward.
            let most = (weight * length).max(row.number("pull_N").abs());
            assert!((pull - row.number("pull_N")).abs() < tolerance * most);
            let (sag, _, _) = hung(of(length, weight, 0.0, segment_m), span);
            assert!((sag - row.number("chain_sag_m")).abs() < 0.02 * span);
        }
    }
}
