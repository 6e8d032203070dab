//! Pump: swept volume and leakage.

use crate::example::{rpm, tri_80};
use hydraulics::PumpSpec;
use hydraulics::water::Water;
use std::f64::consts::TAU;

fn lossless(cylinders: u8, diameter_m: f64, stroke_m: f64, crank_ratio: f64) -> PumpSpec {
    PumpSpec {
        cylinders,
        plunger_diameter_m: diameter_m,
        stroke_m,
        crank_ratio,
        clearance_ratio: 0.0,
        leakage_m3_s_pa: 0.0,
        valve_loss: 0.0,
        ..tri_80().pump
    }
}

/// The two ways to the same flow: by the speed of the plungers, and by the volume between two
/// angles.
#[test]
fn the_volume_that_is_swept_follows_the_speed_of_the_plungers() {
    const STEPS: u32 = 3_600;
    for cylinders in 1..=7 {
        for lambda in [0.0, 0.2, 0.3] {
            let spec = lossless(cylinders, 0.02, 0.07, lambda);
            let mean = spec.displacement_m3() / TAU;
            let step = TAU / f64::from(STEPS);
            for i in 0..STEPS {
                let angle = step * f64::from(i);
                let swept = spec.delivered_m3(angle + step) - spec.delivered_m3(angle);
                let off = swept / step - spec.delivery_per_rad_m3(angle + 0.5 * step);
                // A corner within the step is cut.
                assert!(
                    off.abs() < 2.0e-3 * mean,
                    "{cylinders} {lambda} {angle}: {off}"
                );
            }
        }
    }
}

#[test]
fn a_turn_delivers_the_displacement_in_steps_of_any_length() {
    let spec = lossless(3, 0.0267, 0.07, 0.2);
    for steps in [1_u32, 3, 7, 100] {
        let step = TAU / f64::from(steps);
        let sum: f64 = (0..steps)
            .map(|i| {
                let angle = 1.3 + step * f64::from(i);
                spec.delivered_m3(angle + step) - spec.delivered_m3(angle)
            })
            .sum();
        assert!(
            (sum / spec.displacement_m3() - 1.0).abs() < 1.0e-12,
            "{steps} steps: {sum}"
        );
    }
}

#[test]
fn leakage_takes_more_of_the_flow_the_slower_the_pump() {
    let spec = PumpSpec {
        leakage_m3_s_pa: 5.0e-13,
        clearance_ratio: 0.0,
        ..tri_80().pump
    };
    let line = Water::at_celsius(20.0).isentrope();
    let efficiency = |speed: f64| {
        let swept = spec.swept_flow_m3_s(speed) * line.atmospheric_density();
        spec.mean_mass_flow(&line, speed, 7.0e7) / swept
    };
    let (slow, fast) = (efficiency(rpm(200.0)), efficiency(rpm(500.0)));
    assert!(slow < fast && fast < 1.0 - spec.valve_loss);
    assert_eq!(spec.mean_mass_flow(&line, 0.0, 7.0e7), 0.0);
}
