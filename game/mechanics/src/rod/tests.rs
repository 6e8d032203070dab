//! What a hose must do, against closed forms of mechanics.

use std::time::Instant;

use glam::DVec3;

use super::*;
use crate::ground::{Flat, Nothing};

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
    }
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
            let t = (tick * 4 + sub) as f64 * DT;
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
        clock.elapsed().as_secs_f64() * 1e6 / ticks as f64,
        rod.max_stretch_m() * 1e3,
        rod.min_bend_radius_m()
    );
}
