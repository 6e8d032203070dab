//! The regulator's set point and its flow force.

use crate::example::{DT, tri_80};
use hydraulics::RegulatorSpec;
use hydraulics::line::Line;
use hydraulics::regulator::{Motion, Valve};
use hydraulics::storage::{Liquid, Volume};
use hydraulics::units::VolumeFlow;

const RHO: f64 = 998.2;

#[test]
fn the_knob_for_a_set_point_gives_it() {
    let spec = tri_80().regulator;
    let knob = spec.knob_for(7.0e7);
    assert!((spec.set_pressure_pa(knob) / 7.0e7 - 1.0).abs() < 1.0e-12);
    assert!((0.5..1.0).contains(&knob));
    // The override of the whole flow stays within a percent.
    let settled = spec.static_pressure_pa(knob, 0.7, 998.2);
    assert!(settled > 7.0e7 && settled < 7.07e7, "{settled}");
}

/// Momentum of the jet under a sharp poppet, `2 Cd A(x) P cos 69 deg`, against its lift: with
/// nothing trimmed about 3 to 6 % of the load (from memory), and the pressure rises by as much.
#[test]
fn the_flow_force_raises_the_settled_pressure_of_an_untrimmed_poppet() {
    let spec = RegulatorSpec {
        flow_force_left: 1.0,
        ..tri_80().regulator
    };
    let trimmed = RegulatorSpec {
        flow_force_left: 0.0,
        ..spec.clone()
    };
    let knob = spec.knob_for(7.0e7);
    let flow = RHO * VolumeFlow::from_litres_per_minute(100.0).m3_per_s();
    let raw = spec.static_pressure_pa(knob, flow, RHO);
    let share = raw / trimmed.static_pressure_pa(knob, flow, RHO) - 1.0;
    assert!((0.03..0.07).contains(&share), "{share}");
    // The moving poppet settles where the balance of forces says.
    let poppet = spec.poppet(knob * spec.max_air_pressure_pa);
    let volume = Volume {
        m3: 3.0e-3,
        wall_give_1_pa: 0.0,
    };
    let liquid = Liquid::Proportional {
        density: RHO,
        modulus_pa: 1.5e9,
    };
    let mut line = Line::lumped(liquid, volume).at_pressure(7.0e7);
    let mut valve = Valve::new(poppet, Motion::default(), RHO);
    for _ in 0..4_000 {
        line.step(DT, flow, &mut valve);
    }
    assert!(
        (line.head_pa() / raw - 1.0).abs() < 1.0e-4,
        "{} {raw}",
        line.head_pa()
    );
}
