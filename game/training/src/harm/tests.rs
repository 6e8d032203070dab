//! The grades against the figures that were published.

use super::*;
use core::f64::consts::PI;

/// The jet of a bore at a pressure, in water of 1000 kg/m3, all of its pressure turned into speed.
fn exit(bore_mm: f64, bar: f64) -> Exit {
    let (bore_m, pressure_pa) = (bore_mm * 1.0e-3, bar * 1.0e5);
    Exit {
        diameter_m: bore_m,
        stagnation_pa: pressure_pa,
        thrust_n: 2.0 * pressure_pa * 0.25 * PI * bore_m * bore_m,
    }
}

const STRAIGHT: JetSpec = JetSpec {
    kind: JetKind::Round,
    core_diameters: 100.0,
    decay: 2.0,
};

/// A fan and a rotating jet of the shapes that the tests of the hazard distance take.
fn fan(degrees: f64) -> JetSpec {
    JetSpec {
        kind: JetKind::Fan {
            spread_rad: degrees.to_radians(),
        },
        core_diameters: 60.0,
        decay: 1.5,
    }
}

/// How far off a jet injures.
fn injures_m(jet: &JetSpec, exit: &Exit, clothed: bool) -> f64 {
    let (mut near, mut far) = (0.0, 50.0);
    for _ in 0..40 {
        let middle = 0.5 * (near + far);
        if by_water(jet, exit, middle, clothed) >= Some(HurtGrade::Injury) {
            near = middle;
        } else {
            far = middle;
        }
    }
    near
}

/// INRS, abstract: straight jets 1.4 to 3.6 m on bare skin, 0.15 to 1.1 m through clothing; flat ones 0.1
/// to 0.4 m, and less than 0.05 m through clothing. Bores and pressures are not in the abstract; these
/// are common ones.
#[test]
fn jets_injure_as_far_off_as_was_measured() {
    for bore_mm in [1.2, 1.8] {
        for bar in [1000.0, 1750.0, 2500.0] {
            let exit = exit(bore_mm, bar);
            let bare = injures_m(&STRAIGHT, &exit, false);
            let clothed = injures_m(&STRAIGHT, &exit, true);
            assert!(
                (1.4..=3.6).contains(&bare),
                "{bore_mm} mm {bar} bar: {bare}"
            );
            assert!(
                (0.15..=1.1).contains(&clothed),
                "{bore_mm} mm {bar} bar, clothed: {clothed}"
            );
        }
    }
    for bore_mm in [1.0, 1.4] {
        for bar in [1000.0, 1750.0, 2500.0] {
            let exit = exit(bore_mm, bar);
            for degrees in [15.0, 30.0] {
                let bare = injures_m(&fan(degrees), &exit, false);
                let clothed = injures_m(&fan(degrees), &exit, true);
                assert!((0.1..=0.4).contains(&bare), "{degrees}: {bare}");
                // To the safe side of what was measured, and not by far.
                assert!((0.02..=0.15).contains(&clothed), "{degrees}: {clothed}");
            }
        }
    }
}

/// INRS: rotating jets 0.2 to 0.7 m on bare skin, about 0.2 m through clothing. The model takes such a
/// jet as if it stood still on one spot, which is further; at 1000 bar by half again to twice.
#[test]
fn a_rotating_jet_injures_further_than_was_measured_and_not_by_far() {
    let rotating = JetSpec {
        kind: JetKind::Rotating {
            cone_rad: 15.0_f64.to_radians(),
            radius_m: 0.004,
            turns_per_s: 50.0,
        },
        core_diameters: 42.0,
        decay: 1.5,
    };
    let exit = exit(1.15, 1000.0);
    let bare = injures_m(&rotating, &exit, false);
    let clothed = injures_m(&rotating, &exit, true);
    assert!((0.7..=1.4).contains(&bare), "{bare}");
    assert!((0.2..=0.4).contains(&clothed), "{clothed}");
}

/// INRS: through clothing the greatest of the distances is 1.1 m instead of 3.6 m.
#[test]
fn clothing_brings_the_distance_of_a_straight_jet_to_a_third() {
    let exit = exit(1.4, 1500.0);
    let share = injures_m(&STRAIGHT, &exit, true) / injures_m(&STRAIGHT, &exit, false);
    assert!((share / (1.1 / 3.6) - 1.0).abs() < 0.01, "{share}");
}

/// Safety bulletins on leaks of hydraulics, up to some 800 bar: skin was breached up to 100 mm from
/// the hole. That is for pinholes; of half a millimetre here.
#[test]
fn a_pinhole_injures_within_a_hand_of_it_and_not_a_metre_off() {
    let m = injures_m(&ROUGH, &exit(0.5, 800.0), false);
    assert!((0.07..=0.15).contains(&m), "{m}");
    assert_eq!(by_water(&ROUGH, &exit(0.5, 800.0), 1.0, false), None);
}

/// CDC: some 7 bar. Summers: 2,700 psi.
#[test]
fn water_is_graded_by_the_pressure_it_has_left() {
    // Within the core it has all of it.
    let at = |bar, clothed| by_water(&STRAIGHT, &exit(1.4, bar), 0.01, clothed);
    assert_eq!(at(6.9, false), None);
    assert_eq!(at(7.1, false), Some(HurtGrade::Injury));
    assert_eq!(at(7.1, true), Some(HurtGrade::Bruise));
    assert_eq!(at(74.0, true), Some(HurtGrade::Bruise));
    assert_eq!(at(76.0, true), Some(HurtGrade::Injury));
    let plywood_bar = 2700.0 * 0.068_948;
    for clothed in [false, true] {
        assert_eq!(at(plywood_bar - 1.0, clothed), Some(HurtGrade::Injury));
        assert_eq!(at(plywood_bar + 1.0, clothed), Some(HurtGrade::Grave));
        assert_eq!(
            by_water(&STRAIGHT, &Exit::default(), 0.01, clothed),
            None,
            "no jet"
        );
        assert_eq!(by_water(&STRAIGHT, &exit(1.4, 1000.0), 20.0, clothed), None);
    }
}

/// 58 ft lbf; the helmet of EN 397: 5 kg that fall 1 m; 280 N on 25 N/mm.
#[test]
fn a_blow_is_graded_by_its_energy_and_by_what_it_strikes() {
    use HurtGrade::{Bruise, Grave, Injury};
    let body = |j| by_blow(j, Struck::Body);
    let [bare, helmet] = [false, true].map(|helmet| Struck::Head { helmet });
    let fragment_j = 58.0 * 1.3558;
    assert!((BODY_GRAVE_J / fragment_j - 1.0).abs() < 0.01);
    assert_eq!(body(fragment_j - 1.0), Some(Injury));
    assert_eq!(body(fragment_j + 1.0), Some(Grave));
    assert_eq!(body(39.0), Some(Bruise));
    assert_eq!(body(41.0), Some(Injury));
    let chest_j = 280.0 * 280.0 / (2.0 * 25_000.0);
    assert!((BRUISE_J / chest_j - 1.0).abs() < 0.03, "{chest_j}");
    assert_eq!(body(1.0), None);
    // A skull breaks at 28 J on average, and what a helmet is tested with does not break it.
    assert_eq!(by_blow(28.0, bare), Some(Grave));
    assert_eq!(by_blow(28.0, helmet), Some(Injury));
    let test_j = 5.0 * 9.81 * 1.0;
    assert!((HELMET_J / test_j - 1.0).abs() < 0.01);
    assert_eq!(by_blow(test_j + 0.1, helmet), Some(Grave));
    assert_eq!(by_blow(5.0, bare), Some(Injury));
    assert_eq!(by_blow(5.0, helmet), Some(Bruise));
    for struck in [bare, helmet, Struck::Body] {
        assert_eq!(by_blow(0.0, struck), None);
        assert_eq!(by_blow(f64::NAN, struck), None);
        // Never better for more.
        let mut before = None;
        for j in 0..200 {
            let grade = by_blow(f64::from(j), struck);
            assert!(grade >= before, "{struck:?} {j} J");
            before = grade;
        }
    }
}

/// 10 ft and 4 ft. From 10.5 m half of those with wounds of head or chest died: that is grave.
#[test]
fn a_fall_is_graded_by_its_height() {
    use HurtGrade::{Bruise, Grave, Injury};
    assert_eq!(by_fall(0.0, true), Some(Bruise));
    assert_eq!(by_fall(0.0, false), Some(Injury));
    for helmet in [false, true] {
        assert_eq!(by_fall(4.0 * 0.3048, helmet), Some(Injury));
        assert_eq!(by_fall(2.9, helmet), Some(Injury));
        assert_eq!(by_fall(10.0 * 0.3048, helmet), Some(Grave));
        assert_eq!(by_fall(10.5, helmet), Some(Grave));
        assert_eq!(by_fall(f64::NAN, helmet), None);
    }
}
