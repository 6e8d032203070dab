//! A whip restraint against closed forms.

use glam::DVec3;
use proptest::prelude::*;

use super::*;
use crate::ground::{Flat, Nothing};
use crate::reference::{Table, agrees};
use crate::rod::{RodEnd, RodSpec};

const DT: f64 = 1.0 / 480.0;
/// Frictionless, so that nothing but the tether holds.
const ICE: Flat = Flat {
    height: 0.0,
    friction: 0.0,
};

fn hose(length_m: f64, bore_m: f64) -> RodSpec {
    RodSpec {
        length_m,
        segments: libm::round(length_m / 0.25) as usize,
        outer_radius_m: 0.5 * bore_m + 0.005,
        empty_mass_kg_per_m: 0.9,
        bore_m,
        bending_stiffness_n_m2: 8.0,
        stiffness_per_pa: 3e-7,
        axial_stiffness_n: 1e6,
        damping_s: 0.02,
        min_bend_radius_m: 0.2,
        friction_scale: 1.0,
        wave_speed_m_s: 1200.0,
        drag_coefficient: 0.0,
    }
}

fn sling(slack_m: f64, stiffness: f64, strength: f64) -> Tether {
    Tether::new(TetherSpec {
        slack_m,
        stiffness_n_per_m: stiffness,
        damping_n_s_per_m: 0.0,
        strength_n: strength,
    })
    .unwrap()
}

/// A straight hose along x from the origin on ice.
fn lying(spec: RodSpec) -> Rod {
    let y = DVec3::Y * spec.outer_radius_m;
    let end = y + DVec3::X * spec.length_m;
    Rod::along(spec, &[y, end], &ICE).unwrap()
}

/// Tears at a hose on a tether with a force that comes at once and lasts for `seconds`, and
/// gives the tether. `at_end`: at the far end of the hose, else at the tied end itself.
fn tear(spec: RodSpec, mut tether: Tether, force_n: f64, seconds: f64, at_end: bool) -> Tether {
    let mut rod = lying(spec);
    let anchor = Anchor::fixed(rod.tip_position(Tip::Start));
    let node = if at_end { rod.node_of(Tip::End) } else { 0 };
    let mut time = 0.0;
    while time < seconds {
        // As short as they are from the moment on that a hose parts.
        let parts = SUBSTEPS_MOST;
        let dt = DT / parts as f64;
        for _ in 0..parts {
            tether.pull(dt, &mut rod, Tip::Start, &anchor);
            rod.push(node, DVec3::X * force_n);
            rod.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ICE);
            time += dt;
        }
    }
    tether
}

/// A piece of hose so short and stiff that it moves as one mass.
fn lump(bore_m: f64) -> RodSpec {
    RodSpec {
        axial_stiffness_n: 1e9,
        segments: 2,
        ..hose(0.6, bore_m)
    }
}

/// Closed form, tabled with the end-cap force of hoses: a load that comes at once bears on a
/// spring without slack with twice its weight.
#[test]
fn an_end_cap_force_that_is_let_loose_loads_a_restraint_without_slack_twice() {
    for row in Table::read("hose_whip.csv").rows() {
        let force = row.number("PA_kN") * 1e3;
        let want = row.number("2PA_kN") * 1e3;
        let bore = row.number("ID_mm") / 1000.0;
        for stiffness in [3e4, 3e5, 2e6] {
            for at_end in [false, true] {
                let peak =
                    tear(lump(bore), sling(0.0, stiffness, 1e7), force, 0.2, at_end).most_n();
                println!("{stiffness} N/m: {peak} N want {want} N");
                assert!(agrees(peak, want, 0.05));
            }
        }
        // A whole hose that is torn at behind its restraint: a bar that is fixed at its end,
        // where the wave of the load is thrown back (closed form: twice as well).
        let length = row.number("L_m");
        let peak = tear(hose(length, bore), sling(0.0, 1e7, 1e7), force, 0.3, true).most_n();
        println!("{length} m: {peak} N want {want} N");
        assert!(agrees(peak, want, 0.05));
    }
}

/// Closed form, by energy: `F (1 + sqrt(1 + 2 k s / F))`.
#[test]
fn slack_adds_what_the_force_has_gained_on_the_way() {
    for row in Table::read("hose_whip.csv").rows() {
        let force = row.number("PA_kN") * 1e3;
        let bore = row.number("ID_mm") / 1000.0;
        for (slack, stiffness) in [(0.05, 1e5), (0.05, 1e6), (0.2, 3e5)] {
            let want = force * (1.0 + f64::sqrt(1.0 + 2.0 * stiffness * slack / force));
            let peak = tear(lump(bore), sling(slack, stiffness, 1e7), force, 0.2, true).most_n();
            println!("{slack} m, {stiffness} N/m: {peak} N want {want} N");
            assert!(agrees(peak, want, 0.05));
        }
    }
}

#[test]
fn a_restraint_of_twice_the_end_cap_force_holds_and_a_weaker_or_a_slack_one_breaks() {
    for row in Table::read("hose_whip.csv").rows() {
        let force = row.number("PA_kN") * 1e3;
        let twice = row.number("2PA_kN") * 1e3;
        let spec = || lump(row.number("ID_mm") / 1000.0);
        let holds = tear(spec(), sling(0.0, 3e5, 1.05 * twice), force, 0.5, false);
        assert!(!holds.is_broken() && holds.most_n() > force);
        let weak = tear(spec(), sling(0.0, 3e5, 0.95 * twice), force, 0.5, false);
        assert!(weak.is_broken());
        let slack = tear(spec(), sling(0.3, 3e5, 1.05 * twice), force, 0.5, false);
        assert!(slack.is_broken());
    }
}

/// Once broken it stays broken, and what it held goes on with the force alone.
#[test]
fn a_broken_restraint_holds_nothing_ever_after() {
    let mut rod = lying(lump(0.013));
    let mut tether = sling(0.0, 3e5, 5000.0);
    let anchor = Anchor::fixed(rod.tip_position(Tip::Start));
    let mut broke = 0;
    for i in 0..960 {
        let pull = tether.pull(DT / 8.0, &mut rod, Tip::Start, &anchor);
        broke += u32::from(pull.broke);
        assert_eq!(
            pull.on_anchor_n == DVec3::ZERO,
            i == 0 || tether.is_broken()
        );
        rod.push(0, DVec3::X * 3000.0);
        rod.substep(DT / 8.0, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ICE);
    }
    assert_eq!(broke, 1);
    assert!(tether.is_broken() && tether.most_n() > 5000.0);
    assert_eq!(tether.substeps_wanted(&rod, Tip::Start, &anchor, DT), 1);
    assert!(rod.tip_position(Tip::Start).x > 1.0);
}

/// Momentum: what one half gets the other loses.
#[test]
fn two_halves_of_a_hose_that_are_tied_together_take_each_other_along() {
    let spec = hose(6.0, 0.013);
    let mut rod = lying(spec.clone());
    let mut torn = rod.part(12).unwrap();
    for _ in 0..5 {
        torn.push(0, DVec3::X * 2000.0);
        torn.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ICE);
    }
    let momentum = rod.momentum() + torn.momentum();
    assert!(momentum.x > 15.0);
    let mut tether = sling(0.1, 2e5, 1e6);
    let mut most_n = 0.0_f64;
    for _ in 0..960 {
        let anchor = Anchor::end_of(&rod, Tip::End);
        let parts = tether.substeps_wanted(&torn, Tip::Start, &anchor, DT);
        for _ in 0..parts {
            let dt = DT / parts as f64;
            let anchor = Anchor::end_of(&rod, Tip::End);
            let pull = tether.pull(dt, &mut torn, Tip::Start, &anchor);
            rod.push(usize::MAX, pull.on_anchor_n);
            for half in [&mut rod, &mut torn] {
                half.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ICE);
            }
            most_n = most_n.max(pull.load_n);
        }
    }
    let after = rod.momentum() + torn.momentum();
    println!("{} then {}, at most {most_n} N", momentum.x, after.x);
    assert!(agrees(after.x, momentum.x, 1e-6));
    assert!(rod.momentum().x > 0.2 * momentum.x);
    assert!(agrees(tether.most_n(), most_n, 1e-12));
}

#[test]
fn a_restraint_out_of_range_is_refused_by_name() {
    let refused = |slack, stiffness, damping, strength| {
        let spec = TetherSpec {
            slack_m: slack,
            stiffness_n_per_m: stiffness,
            damping_n_s_per_m: damping,
            strength_n: strength,
        };
        Tether::new(spec).unwrap_err().field
    };
    assert_eq!(refused(-0.1, 1e5, 0.0, 1e4), "slack_m");
    assert_eq!(refused(0.0, f64::NAN, 0.0, 1e4), "stiffness_n_per_m");
    assert_eq!(refused(0.0, 1e5, -1.0, 1e4), "damping_n_s_per_m");
    assert_eq!(refused(0.0, 1e5, 0.0, 0.0), "strength_n");
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -3.0f64..3.0,
        1 => -1e6f64..1e6,
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(f64::MAX)],
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn nothing_from_outside_makes_what_is_tied_not_a_number_or_quicker_by_itself(
        slack in 0.0f64..2.0,
        stiffness in 2.0f64..8.0,
        damping in prop_oneof![Just(0.0), 0.0f64..1e5],
        anchors in prop::collection::vec(
            ((any_number(), any_number(), any_number()), any_number(), any_number()), 1..8),
    ) {
        let mut rod = lying(hose(2.0, 0.013));
        let spec = TetherSpec {
            slack_m: slack,
            stiffness_n_per_m: libm::exp10(stiffness),
            damping_n_s_per_m: damping,
            strength_n: 1e6,
        };
        let mut tether = Tether::new(spec).unwrap();
        for ((x, y, z), velocity, mass_kg) in anchors {
            let position = DVec3::new(x, y, z);
            let anchor = Anchor { position, velocity: DVec3::X * velocity, mass_kg };
            for _ in 0..30 {
                let parts = tether.substeps_wanted(&rod, Tip::Start, &anchor, DT);
                prop_assert!((1..=SUBSTEPS_MOST).contains(&parts));
                let pull = tether.pull(DT, &mut rod, Tip::Start, &anchor);
                prop_assert!(pull.load_n.is_finite() && pull.load_n >= 0.0);
                prop_assert!(pull.on_anchor_n.is_finite());
                rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &Nothing);
                prop_assert!(rod.nodes().iter().all(|p| p.is_finite()));
            }
        }
        // On a fixed anchor it never swings higher than it began.
        let mut tether = Tether::new(TetherSpec { strength_n: 1e7, ..tether.spec().clone() }).unwrap();
        let mut rod = lying(hose(2.0, 0.013));
        let anchor = Anchor::fixed(rod.tip_position(Tip::Start) - DVec3::X * (slack + 1e-3));
        let stored = 0.5 * tether.spec().stiffness_n_per_m * 1e-6;
        for _ in 0..400 {
            tether.pull(DT, &mut rod, Tip::Start, &anchor);
            rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ICE);
            prop_assert!(rod.kinetic_j() <= 1.05 * stored + 1e-3, "{} J of {stored}", rod.kinetic_j());
        }
    }
}

#[test]
fn a_tether_read_back_goes_on_bit_for_bit() {
    let mut rod = lying(hose(3.0, 0.013));
    let mut tether = sling(0.02, 3e5, 1e6);
    let anchor = Anchor::fixed(rod.tip_position(Tip::Start));
    let go_on = |rod: &mut Rod, tether: &mut Tether| {
        let mut loads = Vec::new();
        for _ in 0..200 {
            rod.push(0, DVec3::new(3000.0, 500.0, 20.0));
            let pull = tether.pull(DT / 4.0, rod, Tip::Start, &anchor);
            rod.substep(DT / 4.0, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ICE);
            loads.push(pull.load_n.to_bits());
        }
        loads
    };
    go_on(&mut rod, &mut tether);
    let bytes = postcard::to_allocvec(&(&rod, &tether)).unwrap();
    let (mut rod_copy, mut copy): (Rod, Tether) = postcard::from_bytes(&bytes).unwrap();
    assert_eq!(
        go_on(&mut rod, &mut tether),
        go_on(&mut rod_copy, &mut copy)
    );
    assert_eq!((rod, tether), (rod_copy, copy));
}
