//! What a hose must do, against closed forms of mechanics.

mod bend;
mod part;
mod state;
mod tail;

use glam::DVec3;

use super::*;
use crate::GRAVITY_M_S2;
use crate::ground::{Flat, Nothing};
use crate::reference::{Table, agrees};

const DT: f64 = 1.0 / 480.0;
const FLOOR: Flat = Flat {
    height: 0.0,
    friction: 0.6,
};

/// A hose of the size the yard uses; values from memory.
fn hose(length_m: f64, segments: usize) -> RodSpec {
    RodSpec {
        length_m,
        segments,
        outer_radius_m: 0.010,
        empty_mass_kg_per_m: 0.6,
        bore_m: 0.008,
        bending_stiffness_n_m2: 4.0,
        stiffness_per_pa: 2e-7,
        axial_stiffness_n: 1e6,
        damping_s: 0.02,
        min_bend_radius_m: 0.2,
        friction_scale: 1.0,
        wave_speed_m_s: 1200.0,
        drag_coefficient: 1.2,
    }
}

fn straight(spec: &RodSpec, from: DVec3, dir: DVec3) -> Vec<DVec3> {
    (0..=spec.segments)
        .map(|i| from + dir * (i as f64 * spec.segment_m()))
        .collect()
}

/// Runs until nothing moves, the motion braked from outside.
fn rest(rod: &mut Rod, seconds: f64, start: RodEnd, end: RodEnd, pressure: f64, pull: DVec3) {
    for _ in 0..(seconds / DT) as usize {
        rod.push(usize::MAX, pull);
        rod.substep(DT, start, end, pressure, 0.0, &Nothing);
        for v in &mut rod.velocity {
            *v *= 0.99;
        }
    }
}

/// Closed form: a hanging chain `y = a cosh(x / a)`, `2 a sinh(S / 2a) = L`.
#[test]
fn a_hanging_hose_takes_the_shape_and_the_forces_of_a_catenary() {
    let (span, length) = (8.0, 10.0);
    let mut low = 0.5;
    let mut high = 50.0;
    for _ in 0..200 {
        let a = 0.5 * (low + high);
        if 2.0 * a * libm::sinh(span / (2.0 * a)) > length {
            low = a;
        } else {
            high = a;
        }
    }
    let a = 0.5 * (low + high);
    let sag = a * (libm::cosh(span / (2.0 * a)) - 1.0);

    let mut spec = hose(length, 80);
    spec.bending_stiffness_n_m2 = 0.0;
    let weight = spec.mass_kg_per_m(1.0) * GRAVITY_M_S2;
    let ends = [DVec3::new(0.0, 9.0, 0.0), DVec3::new(span, 9.0, 0.0)];
    let mut rod = Rod::along(spec, &ends, &Nothing).unwrap();
    let fixed = ends.map(|p| RodEnd::Fixed(p, DVec3::ZERO));
    rest(&mut rod, 20.0, fixed[0], fixed[1], 0.0, DVec3::ZERO);
    rod.wake();
    let forces = rod.substep(DT, fixed[0], fixed[1], 0.0, 0.0, &Nothing);

    let lowest = rod
        .nodes()
        .iter()
        .map(|p| p.y)
        .fold(f64::INFINITY, f64::min);
    println!(
        "sag {} want {sag}, forces {forces:?}, want {} {}",
        9.0 - lowest,
        weight * a,
        weight * length * 0.5
    );
    assert!(agrees(9.0 - lowest, sag, 0.01));
    assert!(agrees(forces.start_force.x, weight * a, 0.01));
    assert!(agrees(forces.end_force.x, -weight * a, 0.01));
    assert!(agrees(forces.start_force.y, -0.5 * weight * length, 0.01));
    assert!(agrees(forces.end_force.y, -0.5 * weight * length, 0.01));
}

/// Closed form (Euler-Bernoulli): tip deflection `F L^3 / (3 EI)`.
#[test]
fn a_clamped_hose_bends_under_a_tip_load_like_a_cantilever() {
    for pressure in [0.0, 7e7] {
        let mut spec = hose(1.5, 24);
        spec.bending_stiffness_n_m2 = 40.0;
        spec.stiffness_per_pa = 8e-7;
        let stiffness = 40.0 + 8e-7 * pressure;
        let force = 1.0;
        let want = force * 1.5_f64.powi(3) / (3.0 * stiffness);
        let start = RodEnd::Fixed(DVec3::Y, DVec3::X);
        // Sideways, so that the weight adds nothing.
        let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
        rest(
            &mut rod,
            8.0,
            start,
            RodEnd::Free,
            pressure,
            DVec3::Z * force,
        );
        let got = rod.nodes()[24].z;
        let forces = rod.forces();
        println!("cantilever {got} want {want} forces {forces:?}");
        assert!(agrees(got, want, 0.02));
        assert!(agrees(forces.start_force.z, force, 0.01));
        assert!(agrees(forces.start_moment.y, -force * 1.5, 0.02));
    }
}

#[test]
fn pressure_straightens_a_bent_hose() {
    let radius = 0.6;
    let spec = hose(1.5, 24);
    let arc: Vec<DVec3> = (0..=24)
        .map(|i| {
            let angle = i as f64 * spec.segment_m() / radius;
            DVec3::new(
                radius * libm::sin(angle),
                0.01,
                radius * (1.0 - libm::cos(angle)),
            )
        })
        .collect();
    let ends = |p: f64| {
        let mut rod = Rod::from_nodes(spec.clone(), arc.clone());
        for _ in 0..960 {
            rod.substep(
                DT,
                RodEnd::Fixed(arc[0], DVec3::X),
                RodEnd::Free,
                p,
                0.0,
                &FLOOR,
            );
        }
        rod.min_bend_radius_m()
    };
    let (limp, stiff) = (ends(0.0), ends(7e7));
    println!("radius limp {limp}, under pressure {stiff}");
    assert!(stiff > 2.0 * limp);
}

#[test]
fn no_segment_stretches_two_millimetres_under_thrust_or_pull() {
    let spec = hose(20.0, 80);
    for force in [250.0, 600.0] {
        // A steady pull along the hose.
        let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y * 0.01, DVec3::X));
        let mut worst = 0.0_f64;
        for i in 0..1440 {
            rod.push(80, DVec3::X * (force * (f64::from(i) / 960.0).min(1.0)));
            rod.substep(
                DT,
                RodEnd::Fixed(DVec3::Y * 0.01, DVec3::X),
                RodEnd::Free,
                7e7,
                0.5,
                &FLOOR,
            );
            worst = worst.max(rod.max_stretch_m());
        }
        println!(
            "pull {force} N: stretch {} mm, start force {}",
            worst * 1e3,
            rod.forces().start_force
        );
        assert!(worst < 0.002);
        let held_by_friction = 0.6 * spec.mass_kg_per_m(1.0) * GRAVITY_M_S2 * 20.0;
        let rest = rod.forces().start_force.x;
        assert!((rest - force).abs() < held_by_friction);

        // A nozzle left on a loose end, thrusting back along it: the whip.
        let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y * 0.01, DVec3::X));
        let (mut worst, mut fastest) = (0.0_f64, 0.0_f64);
        for _ in 0..960 {
            let dir = (rod.nodes()[80] - rod.nodes()[79]).normalize();
            rod.push(80, force * (DVec3::new(0.02, 0.05, 0.03) - dir));
            rod.substep(
                DT,
                RodEnd::Fixed(DVec3::Y * 0.01, DVec3::X),
                RodEnd::Free,
                7e7,
                0.5,
                &FLOOR,
            );
            worst = worst.max(rod.max_stretch_m());
            fastest = rod
                .velocities()
                .iter()
                .map(|v| v.length())
                .fold(fastest, f64::max);
        }
        println!("whip {force} N: stretch {} mm, {fastest} m/s", worst * 1e3);
        assert!(worst < 0.002);
        assert!(fastest > 2.0, "it does whip");
    }
}

#[test]
fn a_taut_hose_pulls_its_holder_back_with_its_axial_stiffness() {
    let spec = hose(20.0, 80);
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y, DVec3::X));
    // A hand that moves out by 600 N worth of stretch over a second.
    let far = 600.0 / (spec.axial_stiffness_n / 20.0);
    let mut forces = RodForces::default();
    let mut worst = 0.0_f64;
    for i in 0..1920 {
        let part = (f64::from(i) * DT).min(1.0);
        let end = RodEnd::Held {
            pos: DVec3::new(20.0 + far * part, 1.0, 0.0),
            vel: DVec3::X * if part < 1.0 { far } else { 0.0 },
            dir: DVec3::X,
        };
        forces = rod.substep(
            DT,
            RodEnd::Fixed(DVec3::Y, DVec3::X),
            end,
            0.0,
            0.0,
            &Flat {
                height: 0.99,
                friction: 0.0,
            },
        );
        worst = worst.max(rod.max_stretch_m());
    }
    println!("taut: {forces:?} worst {} mm", worst * 1e3);
    assert!(agrees(forces.end_force.x, -600.0, 0.01));
    assert!(agrees(forces.start_force.x, 600.0, 0.01));
    assert!(worst < 0.002);
}

#[test]
fn energy_does_not_grow_without_input() {
    // A heavy chain let go from the side, and a stiff rod let go from an arc.
    for (stiffness, damping) in [(0.0, 0.0), (4.0, 0.0), (60.0, 0.02)] {
        let mut spec = hose(5.0, 20);
        spec.bending_stiffness_n_m2 = stiffness;
        spec.damping_s = damping;
        // Equal chords on a helix, so that no segment starts stretched.
        let turn = 0.08;
        let flat = 0.9 * 0.25;
        let nodes: Vec<DVec3> = (0..=20)
            .map(|i| {
                let angle = turn * f64::from(i);
                let radius = 0.5 * flat / libm::sin(0.5 * turn);
                let rise = f64::from(i) * (0.25_f64 * 0.25 - flat * flat).sqrt();
                DVec3::new(
                    radius * libm::sin(angle),
                    rise,
                    radius * (1.0 - libm::cos(angle)),
                )
            })
            .collect();
        let mut rod = Rod::from_nodes(spec, nodes);
        let start = RodEnd::Fixed(rod.nodes()[0], DVec3::ZERO);
        assert!(rod.max_stretch_m() < 1e-12);
        let first = rod.energy_j(0.0);
        let mut most = f64::NEG_INFINITY;
        for _ in 0..4800 {
            rod.substep(DT, start, RodEnd::Free, 0.0, 0.0, &Nothing);
            most = most.max(rod.energy_j(0.0));
        }
        println!(
            "energy at first {first}, most {most}, last {}",
            rod.energy_j(0.0)
        );
        assert!(most <= first + 1e-6 * first.abs());
    }
}

/// Closed form: a rigid rod about its end swings with `w^2 = 3 g / (2 L)`.
#[test]
fn a_stiff_hose_hung_by_its_end_swings_in_the_time_of_a_rigid_pendulum() {
    let mut spec = hose(2.0, 16);
    spec.bending_stiffness_n_m2 = 2000.0;
    let angle = 0.1;
    let dir = DVec3::new(libm::sin(angle), -libm::cos(angle), 0.0);
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::ZERO, dir));
    let start = RodEnd::Fixed(DVec3::ZERO, DVec3::ZERO);
    let mut crossings = Vec::new();
    let mut peak = 0.0_f64;
    for i in 0..2880 {
        let before = rod.nodes()[16].x;
        rod.substep(DT, start, RodEnd::Free, 0.0, 0.0, &Nothing);
        let after = rod.nodes()[16].x;
        if before > 0.0 && after <= 0.0 {
            crossings.push(DT * (f64::from(i) + before / (before - after)));
        }
        if i > 2000 {
            peak = peak.max(after);
        }
    }
    let got = crossings[1] - crossings[0];
    let want = 2.0 * core::f64::consts::PI / (3.0 * GRAVITY_M_S2 / 4.0_f64).sqrt();
    println!(
        "period {got} want {want}; swing after 5 s {} of the first",
        peak / (2.0 * libm::sin(angle))
    );
    assert!(agrees(got, want, 0.01));
    assert!(peak > 0.9 * 2.0 * libm::sin(angle));
}

#[test]
fn a_free_fall_loses_little_energy_and_keeps_its_shape() {
    let spec = hose(5.0, 20);
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y * 40.0, DVec3::X));
    let seconds = 0.5;
    for _ in 0..240 {
        rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &Nothing);
    }
    // Air takes well under a percent at 5 m/s.
    assert!(agrees(
        rod.momentum().y,
        -rod.spec().mass_kg_per_m(1.0) * 5.0 * GRAVITY_M_S2 * seconds,
        0.02
    ));
    assert!(rod.max_stretch_m() < 1e-6);
}

/// Coulomb: a lying hose holds up to `mu w L`, and beyond it is accelerated by the rest.
#[test]
fn friction_holds_a_lying_hose_below_its_limit_and_not_above() {
    let spec = hose(10.0, 40);
    let mass = spec.mass_kg_per_m(1.0) * 10.0;
    let limit = 0.6 * mass * GRAVITY_M_S2;
    let pull = |part: f64| {
        let nodes = straight(&spec, DVec3::Y * 0.01, DVec3::X);
        let mut rod = Rod::from_nodes(spec.clone(), nodes);
        for _ in 0..240 {
            rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &FLOOR);
        }
        for _ in 0..1440 {
            rod.push(40, DVec3::X * (part * limit));
            rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &FLOOR);
        }
        rod
    };
    for part in [0.5, 0.97] {
        let held = pull(part);
        println!(
            "at {part}: moved {} m, {} m/s",
            held.nodes()[20].x - 5.0,
            held.momentum().x / mass
        );
        assert!((held.nodes()[20].x - 5.0).abs() < 0.003);
        assert!(held.momentum().x.abs() / mass < 1e-4);
    }
    for part in [1.03, 1.1, 1.5] {
        let slides = pull(part);
        // What friction took of the pull, by the speed after 3 s.
        let took = part * limit - slides.momentum().x / 3.0;
        println!("at {part}: friction {took} N want {limit} N");
        assert!(agrees(took, limit, 0.01));
    }
}

#[test]
fn a_hose_let_go_on_the_ground_comes_to_rest_and_sleeps_and_wakes_on_pressure() {
    let path = [
        DVec3::new(0.0, 0.3, 0.0),
        DVec3::new(1.0, 0.01, 0.0),
        DVec3::new(8.0, 0.01, 0.0),
    ];
    let mut rod = Rod::along(hose(9.0, 36), &path, &FLOOR).unwrap();
    let ends = [RodEnd::Fixed(path[0], DVec3::X), RodEnd::Free];
    let mut slept_after = None;
    for i in 0..4800 {
        rod.substep(DT, ends[0], ends[1], 0.0, 0.0, &FLOOR);
        if rod.is_asleep() {
            slept_after = Some(f64::from(i) * DT);
            break;
        }
    }
    println!("slept after {slept_after:?}");
    assert!(slept_after.is_some());
    let lying = rod.nodes().to_vec();
    for _ in 0..480 {
        rod.substep(DT, ends[0], ends[1], 0.0, 0.0, &FLOOR);
    }
    assert_eq!(rod.nodes(), &lying[..]);
    rod.substep(DT, ends[0], ends[1], 2e6, 0.0, &FLOOR);
    assert!(!rod.is_asleep());
    for _ in 0..480 {
        rod.substep(DT, ends[0], ends[1], 7e7, 0.0, &FLOOR);
    }
    assert_ne!(rod.nodes(), &lying[..]);
}

/// A rod with one sharp bend in its middle.
fn elbow(spec: &RodSpec, angle: f64) -> Vec<DVec3> {
    let n = spec.segments;
    let out = DVec3::new(libm::cos(angle), 0.0, libm::sin(angle));
    (0..=n)
        .map(|i| {
            let leg = |k: usize| k as f64 * spec.segment_m();
            DVec3::X * leg(i.min(n / 2)) + out * leg(i.saturating_sub(n / 2)) + 100.0 * DVec3::Y
        })
        .collect()
}

/// Elbow thrust of the textbooks, `2 (p A + m V) sin(theta / 2)`: at 60 degrees
/// it is `p A + m V`, tabled for hoses as end-cap force and open-bore thrust (the
/// latter for 1000 kg/m3, 0.18 % more than here).
#[test]
fn a_bend_of_sixty_degrees_feels_the_end_cap_force_and_the_thrust_of_the_stream() {
    for row in Table::read("hose_whip.csv").rows() {
        let mut spec = hose(row.number("L_m"), 20);
        spec.bore_m = row.number("ID_mm") / 1000.0;
        spec.outer_radius_m = spec.bore_m;
        let bend = 10;
        let angle = core::f64::consts::FRAC_PI_3;
        let mut rod = Rod::from_nodes(spec.clone(), elbow(&spec, angle));
        let outward = DVec3::new(0.5, 0.0, -libm::sin(angle));
        let mut s = Scratch {
            force: vec![DVec3::ZERO; 21],
            tangent: rod
                .position
                .windows(2)
                .map(|w| (w[1] - w[0]).normalize())
                .collect(),
            ..Scratch::default()
        };
        let flow = WATER_KG_PER_M3 * row.number("Q_L_min") / 60_000.0;
        rod.remember_pressure(DT, 0.0);
        rod.water_forces(flow, &mut s);
        let stream = s.force[bend];
        println!(
            "stream {} want {}",
            stream.length(),
            row.number("steady_open_bore_thrust_N")
        );
        assert!(agrees(
            stream.dot(outward),
            row.number("steady_open_bore_thrust_N"),
            0.002
        ));
        assert!(agrees(
            stream.length(),
            row.number("steady_open_bore_thrust_N"),
            0.002
        ));

        // The front has passed the bend but not reached the end.
        let pressure = row.number("P_bar") * 1e5;
        let passing = 0.75 * spec.length_m / spec.wave_speed_m_s;
        let steps = 50;
        for _ in 0..steps {
            rod.remember_pressure(passing / f64::from(steps - 1), pressure);
        }
        s.force.fill(DVec3::ZERO);
        rod.water_forces(0.0, &mut s);
        println!(
            "front {} want {}",
            s.force[bend].length(),
            row.number("PA_kN") * 1e3
        );
        assert!(agrees(
            s.force[bend].dot(outward),
            row.number("PA_kN") * 1e3,
            0.001
        ));
        // Once it has passed the end as well, nothing is left.
        for _ in 0..2 * steps {
            rod.remember_pressure(passing / f64::from(steps - 1), pressure);
        }
        s.force.fill(DVec3::ZERO);
        rod.water_forces(0.0, &mut s);
        assert!(s.force[bend].length() < 1e-9);
    }
}

/// The hose takes the opposite of the momentum the front gives the water in it:
/// `dp A / a` for each metre, along the hose.
#[test]
fn a_pressure_front_kicks_a_bent_hose_with_the_momentum_of_its_water() {
    let spec = hose(20.0, 80);
    let angle = core::f64::consts::FRAC_PI_2;
    let mut rod = Rod::from_nodes(spec.clone(), elbow(&spec, angle));
    let step = 2e6;
    let mut time = 0.0;
    for i in 0..12 {
        let pressure = if i == 0 { 0.0 } else { step };
        rod.substep(DT, RodEnd::Free, RodEnd::Free, pressure, 0.0, &Nothing);
        time += DT;
    }
    let falling = -DVec3::Y * (spec.mass_kg_per_m(1.0) * 20.0 * GRAVITY_M_S2 * time);
    let kick = rod.momentum() - falling;
    let want =
        -step * spec.bore_area_m2() / spec.wave_speed_m_s * (10.0 * DVec3::X + 10.0 * DVec3::Z);
    println!("kick {kick} want {want}");
    assert!((kick - want).length() < 0.02 * want.length());
}

#[test]
fn a_pressure_front_throws_a_free_bend_outward() {
    let mut spec = hose(20.0, 80);
    // Limp, so that the sharp bend does not open by itself.
    spec.bending_stiffness_n_m2 = 0.0;
    spec.stiffness_per_pa = 0.0;
    let nodes = elbow(&spec, core::f64::consts::FRAC_PI_2);
    let at = nodes[40];
    let start = RodEnd::Fixed(nodes[0], DVec3::X);
    let moved = |pressure: f64| {
        let mut rod = Rod::from_nodes(spec.clone(), nodes.clone());
        for i in 0..24 {
            let p = if i == 0 { 0.0 } else { pressure };
            rod.substep(DT, start, RodEnd::Free, p, 0.0, &Nothing);
        }
        let moved = rod.nodes()[40] - at;
        DVec3::new(moved.x, 0.0, moved.z).dot(DVec3::new(1.0, 0.0, -1.0))
    };
    println!("outward {} {}", moved(0.0), moved(2e6));
    assert!(moved(2e6) > moved(0.0) + 0.001);
}

#[test]
fn slack_lies_beside_the_path_and_both_ends_stay_on_it() {
    let path = [
        DVec3::new(0.0, 0.01, 0.0),
        DVec3::new(9.0, 0.01, 0.0),
        DVec3::new(9.0, 0.01, 6.0),
    ];
    let rod = Rod::along(hose(20.0, 80), &path, &FLOOR).unwrap();
    assert_eq!(rod.nodes()[0], path[0]);
    assert_eq!(rod.nodes()[80], path[2]);
    println!(
        "laid: stretch {} mm, radius {} m",
        rod.max_stretch_m() * 1e3,
        rod.min_bend_radius_m()
    );
    assert!(rod.max_stretch_m() < 0.0005);
    assert!(!rod.is_kinked());
    let lifted = rod.nodes().iter().map(|p| p.y).fold(0.0, f64::max);
    assert!(lifted < 0.02);
}

#[test]
fn a_hose_bent_tighter_than_it_stands_is_kinked() {
    let spec = hose(1.0, 20);
    let arc = |radius: f64| -> Vec<DVec3> {
        (0..=20)
            .map(|i| {
                // Chords of one segment on a circle.
                let angle = f64::from(i) * 2.0 * libm::asin(0.5 * 0.05 / radius);
                radius * DVec3::new(libm::sin(angle), 1.0 - libm::cos(angle), 0.0)
            })
            .collect()
    };
    let wide = Rod::from_nodes(spec.clone(), arc(0.25));
    let tight = Rod::from_nodes(spec, arc(0.18));
    assert!(agrees(wide.min_bend_radius_m(), 0.25, 0.01));
    assert!(agrees(tight.min_bend_radius_m(), 0.18, 0.01));
    assert!(!wide.is_kinked() && tight.is_kinked());
    assert_eq!((wide.kinks().count(), tight.kinks().count()), (0, 19));
    // One sharp bend is one kink, and ends have none.
    let one = Rod::from_nodes(hose(1.0, 20), elbow(&hose(1.0, 20), 0.5));
    assert!(one.kinks().eq([10]));
    assert!(agrees(one.bend_radius_m(10), 0.05 / 0.5, 1e-9));
    for node in [0, 5, 20, usize::MAX] {
        assert!(one.bend_radius_m(node) > 1e6);
    }
}

/// Coulomb: the ground bears the weight, and sliding takes `mu m g` for every metre.
#[test]
fn what_lies_is_pressed_with_its_weight_and_what_slides_is_rubbed_by_friction() {
    let spec = hose(10.0, 40);
    let mut rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::Y * 0.01, DVec3::X));
    let weight = spec.mass_kg_per_m(1.0) * 10.0 * GRAVITY_M_S2;
    for _ in 0..480 {
        rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &FLOOR);
    }
    assert!(agrees(rod.pressed_n().iter().sum(), weight, 0.01));
    assert!(rod.rubbed_j().iter().sum::<f64>() < 1e-6 * weight);
    let from = rod.nodes()[40];
    for _ in 0..960 {
        rod.push(40, DVec3::X * (1.5 * 0.6 * weight));
        rod.substep(DT, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &FLOOR);
    }
    let way = rod.nodes()[40].distance(from);
    let rubbed = rod.rubbed_j().iter().sum::<f64>();
    println!("{rubbed} J over {way} m");
    assert!(agrees(rubbed, 0.6 * weight * way, 0.02));
    assert!(agrees(rod.rubbed_j()[20], rubbed / 40.0, 0.05));
}

#[test]
fn the_nearest_node_is_found_and_nonsense_finds_none() {
    let spec = hose(10.0, 40);
    let rod = Rod::from_nodes(spec.clone(), straight(&spec, DVec3::ZERO, DVec3::X));
    let (node, away) = rod.nearest_node(DVec3::new(2.6, 0.3, 0.4));
    assert_eq!(node, 10);
    assert!(agrees(away, f64::sqrt(0.01 + 0.25), 1e-12));
    assert_eq!(rod.nearest_node(DVec3::new(99.0, 0.0, 0.0)).0, 40);
    let (node, away) = rod.nearest_node(DVec3::new(f64::NAN, 0.0, 0.0));
    assert_eq!((node, away), (0, f64::INFINITY));
}

/// A hand lifts the middle of a hose and walks off with it for 2 m, then stands: a spring of
/// `stiffness` and a damper at the node, at most 250 N strong. Gives the hose, how far the
/// node then is from the hand, m, and the greatest speed of any node on the way, m/s.
fn drag(stiffness: f64) -> (Rod, f64, f64) {
    let path = [DVec3::new(0.0, 0.01, 0.0), DVec3::new(20.0, 0.01, 0.0)];
    let mut rod = Rod::along(hose(20.0, 80), &path, &FLOOR).unwrap();
    let coupling = RodEnd::Fixed(path[0], DVec3::X);
    let from = DVec3::new(10.0, 0.01, 0.0);
    let way = DVec3::new(-1.0, 0.6, 1.7);
    let (node, _) = rod.nearest_node(from);
    let mut fastest = 0.0_f64;
    for i in 0..2400 {
        let part = (f64::from(i) * DT / 2.5).min(1.0);
        let hand_velocity = if part < 1.0 { way / 2.5 } else { DVec3::ZERO };
        let apart = from + way * part - rod.nodes()[node];
        let force = stiffness * apart + 30.0 * (hand_velocity - rod.velocities()[node]);
        rod.push(node, force.clamp_length_max(250.0));
        rod.substep(DT, coupling, RodEnd::Free, 0.0, 0.0, &FLOOR);
        fastest = fastest.max(speed_of(&rod));
    }
    let away = rod.nodes()[node].distance(from + way);
    (rod, away, fastest)
}

/// Speed of the fastest node, m/s.
fn speed_of(rod: &Rod) -> f64 {
    rod.velocities()
        .iter()
        .map(|v| v.length())
        .fold(0.0, f64::max)
}

#[test]
fn a_hand_takes_the_hose_along_by_pushing_one_node() {
    for stiffness in [500.0, 2000.0, 5000.0] {
        let (rod, away, fastest) = drag(stiffness);
        println!("{stiffness} N/m: {away} m from the hand, {fastest} m/s at most");
        // Some metres of hose, 6.4 N each, hang from it.
        assert!(away > 5.0 / stiffness && away < 50.0 / stiffness);
        assert!(fastest < 2.0);
        assert!(speed_of(&rod) < 0.02, "nothing rings: {}", speed_of(&rod));
        assert!(rod.max_stretch_m() < 0.002);
    }
}
