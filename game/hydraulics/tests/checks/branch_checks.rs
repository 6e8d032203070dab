//! Isolating valves, a second tool, the burst disc.

use crate::example::{DT, Rig, disc, hose, nozzle, tri_80, two_ways};
use hydraulics::line::Line;
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::storage::Liquid;
use hydraulics::*;

const RHO: f64 = 998.2;

/// The unit with two strings from the manifold, 20 m and 15 m, and a nozzle of a bore on each.
fn two_lines(nozzle_mm: f64) -> Rig {
    let mut spec = tri_80();
    spec.branch = two_ways(&spec);
    let mut rig = Rig::new(spec, 15.0);
    let nozzle = NozzleSpec::round(1.0e-3 * nozzle_mm, 0.95, 1.0);
    rig.controls.hose_end = HoseEnd::Nozzle(nozzle);
    rig.controls.second.end = HoseEnd::Nozzle(nozzle);
    rig.controls.second.trigger = 1.0;
    rig
}

#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    let off = (found / expected - 1.0).abs();
    assert!(off <= share, "{found} against {expected}: {off:.5}");
}

#[test]
fn a_valve_that_slams_raises_the_pressure_before_it_by_joukowskys_blow() {
    // Joukowsky 1900: rho a V, in a rigid line a of the liquid alone.
    let (modulus_pa, flow, bore) = (2.2e9_f64, 0.2, 0.013);
    let rigid = HoseSpec {
        wall_modulus_pa: 1.0e15,
        roughness_m: 0.0,
        cells: 100,
        ..hose(bore, 100.0)
    };
    let liquid = Liquid::Proportional {
        density: RHO,
        modulus_pa,
    };
    let line = Line::branched(liquid, 1.0e-9, &[rigid], &[(&[], 1.0e-9)]);
    let mut line = line.at_pressure(2.0e7).flowing(flow);
    let valve = line.fit_valve(50).expect("a link");
    line.set_valve(valve, Conductance(0.0));
    let dt = line.longest_step_s();
    // The valve shuts while both ends go on: inflow at the one, and nothing is known at the other
    // until the wave is there, 50 m on.
    let to_the_end = (50.0 / (modulus_pa / RHO).sqrt() / dt) as usize;
    for _ in 0..to_the_end / 2 {
        line.step(dt, flow, &mut Conductance(0.0));
    }
    let blow = (modulus_pa / RHO).sqrt() * flow / round_area_m2(bore);
    let before = line.pressures_pa()[50] - 2.0e7;
    let behind = line.pressures_pa()[51] - 2.0e7;
    near(before, blow, 0.01);
    near(behind, -blow, 0.01);
    assert_eq!(line.flows_kg_s()[50], 0.0);
}

#[test]
fn a_half_open_valve_takes_its_loss_of_the_velocity_head() {
    // K rho V^2 / 2 with K = 2 (1/0.25 - 1) = 6 on the bore.
    let (flow, bore) = (0.5, 0.013);
    let pipe = HoseSpec {
        roughness_m: 0.0,
        ..hose(bore, 5.0)
    };
    let liquid = Liquid::Proportional {
        density: RHO,
        modulus_pa: 2.2e9,
    };
    let mut line = Line::branched(liquid, 4.0e-4, &[pipe], &[(&[], 8.0e-5)]);
    let valve = line.fit_valve(2).expect("a link");
    let area = round_area_m2(bore);
    line.set_valve(valve, Conductance::of_seat(0.0, 2.0, 0.5, area, RHO));
    line.open(0, Conductance::of_opening(0.9, round_area_m2(1.5e-3), RHO));
    for _ in 0..20_000 {
        line.step(DT, flow, &mut Conductance(0.0));
    }
    let speed = flow / (RHO * area);
    let drop = line.pressures_pa()[2] - line.pressures_pa()[3];
    near(drop, 6.0 * 0.5 * RHO * speed * speed, 1.0e-6);
    // No other link of this frictionless line loses anything.
    assert!((line.pressures_pa()[0] - line.pressures_pa()[2]).abs() < 1.0);
}

#[test]
fn behind_a_shut_valve_the_dump_lets_nothing_down() {
    let mut rig = two_lines(1.2);
    rig.bring_to_pressure(0.56, tri_80().regulator.knob_for(3.0e7));
    rig.controls.second.trigger = 0.0;
    rig.run(2.0);
    rig.controls.isolating_open[1] = 0.0;
    rig.run(1.0);
    let trapped = rig.now.second.pressure_pa;
    assert!(trapped > 2.9e7, "{trapped}");
    rig.controls.dump_local_open = true;
    rig.controls.throttle = 0.0;
    rig.controls.ignition = false;
    rig.run(30.0);
    assert!(rig.now.pump_pressure_pa < 1.0e5, "{:?}", rig.now);
    assert!(rig.now.gun_pressure_pa < 1.0e5);
    near(rig.now.second.pressure_pa, trapped, 1.0e-3);
    // A moment of the pedal, and it is gone; so it is with the valve open.
    let shut = rig.circuit.clone();
    rig.controls.second.trigger = 1.0;
    rig.run(2.0);
    assert!(rig.now.second.pressure_pa < 1.0e5);
    rig.circuit = shut;
    rig.controls.second.trigger = 0.0;
    rig.controls.isolating_open[1] = 1.0;
    rig.run(2.0);
    assert!(rig.now.second.pressure_pa < 1.0e5);
}

/// Pressure at the pump, thrust of the first tool and what is pumped with two tools, and after the second has shut.
fn partner_shuts(nozzle_mm: f64, throttle: f64, knob: f64) -> [[f64; 3]; 2] {
    let mut rig = two_lines(nozzle_mm);
    rig.bring_to_pressure(throttle, knob);
    rig.run(5.0);
    let of = |now: &Instant| [now.pump_pressure_pa, now.thrust_n, now.pump_flow_m3_s];
    let both = rig.mean_over_turns(1.0, of);
    rig.controls.second.trigger = 0.0;
    rig.run(5.0);
    let alone = rig.mean_over_turns(1.0, of);
    assert_eq!(rig.now.second.nozzle_mass_flow_kg_s, 0.0);
    [both, alone]
}

#[test]
fn without_bypass_the_partner_that_shuts_makes_four_times_the_thrust() {
    // tests/reference/multi_tool.csv, closed form: equal nozzles, constant flow, two to one: 4. Here
    // the governor droops and the pump leaks more at the higher pressure (some 3 % of the flow); of
    // what it still pumps, all goes by the square.
    let [both, alone] = partner_shuts(1.6, 0.35, 1.0);
    assert!(both[0] > 0.9e7 && alone[0] < 7.0e7, "{both:?} {alone:?}");
    let less = alone[2] / both[2];
    assert!((0.95..1.0).contains(&less), "{less}");
    near(alone[0] / both[0], 4.0 * less * less, 0.01);
    near(alone[1] / both[1], 4.0 * less * less, 0.01);
}

#[test]
fn with_water_left_to_bypass_the_partner_that_shuts_is_hardly_felt() {
    // The same table, ideal regulation: 1. The regulator rises by its stiffness as it opens further.
    let [both, alone] = partner_shuts(1.2, 0.9, tri_80().regulator.knob_for(3.0e7));
    near(both[0], 3.0e7, 0.03);
    near(alone[0] / both[0], 1.0, 0.03);
    near(alone[1] / both[1], 1.0, 0.04);
    assert!(alone[1] > both[1]);
}

#[test]
fn the_water_of_two_tools_and_a_torn_disc_balances() {
    let mut rig = two_lines(1.2);
    let began = rig.circuit.state().line.mass_kg();
    rig.bring_to_pressure(0.9, tri_80().regulator.knob_for(3.0e7));
    rig.controls.second.trigger = 0.4;
    rig.run(3.0);
    let state = rig.circuit.state();
    let b = state.balance;
    let out = b.tool_kg + b.gun_dump_kg + b.dump_kg + b.bleed_kg + b.relief_kg + b.disc_kg;
    let kept = state.line.mass_kg() - began;
    let off = b.pumped_kg - b.bypass_kg - out - kept;
    assert!(off.abs() < 1.0e-8 * b.pumped_kg, "{off}");
    assert!(b.tool_kg > 1.0);
}

/// The unit with a disc of 850 bar, its gun shut and nothing to let the water go by.
fn with_a_disc() -> Rig {
    let mut spec = tri_80();
    spec.burst_disc = Some(disc());
    let mut rig = Rig::new(spec, 15.0);
    rig.controls.hose_end = HoseEnd::Nozzle(nozzle());
    rig.bring_to_pressure(0.6, tri_80().regulator.knob_for(5.0e7));
    rig.controls.condition.relief_stuck = true;
    rig.controls.condition.regulator_stuck = true;
    rig
}

#[test]
fn the_disc_tears_where_the_relief_fails_and_stays_torn() {
    let mut rig = with_a_disc();
    rig.controls.trigger = 0.0;
    let (mut most, mut torn_at) = (0.0_f64, None);
    let mut before = 0.0;
    rig.watch(5.0, |now| {
        most = most.max(now.pump_pressure_pa);
        if now.disc_burst && torn_at.is_none() {
            torn_at = Some(before);
        }
        before = now.pump_pressure_pa;
    });
    // It tore at its pressure, and nothing went beyond by more than the pump makes in its 5 ms.
    let torn_at = torn_at.expect("it tears");
    assert!((8.5e7..8.7e7).contains(&torn_at), "{torn_at}");
    assert!(most < 8.8e7, "{most}");
    // What remains is what its bore asks for: (m / Cd A)^2 / 2 rho.
    let [pressure, flow] = rig.mean_over_turns(1.0, |now| {
        [
            now.pump_pressure_pa,
            now.disc_flow_m3_s + now.bypass_flow_m3_s,
        ]
    });
    let lets = 0.62 * round_area_m2(0.006);
    assert!(
        pressure <= (flow / lets) * (flow / lets) * RHO / 2.0 * 1.05,
        "{pressure}"
    );
    assert!(pressure < 0.02 * torn_at, "{pressure}");
    rig.controls.condition = Condition::SOUND;
    rig.run(2.0);
    assert!(rig.now.disc_burst && rig.now.pump_pressure_pa < 2.0e6);
    let b = rig.circuit.state().balance;
    assert!(b.disc_kg > 1.0 && b.relief_kg == 0.0, "{b:?}");
}

#[test]
fn with_the_relief_sound_the_disc_never_has_to_tear() {
    let mut rig = with_a_disc();
    rig.controls.condition.relief_stuck = false;
    rig.controls.trigger = 0.0;
    rig.run(5.0);
    assert!(
        rig.now.relief_flow_m3_s > 0.0 && !rig.now.disc_burst,
        "{:?}",
        rig.now
    );
}

#[test]
fn a_second_tool_needs_a_hose_of_its_own_and_the_first_too() {
    let mut spec = tri_80();
    spec.branch.second = Some(SecondSpec {
        after_hoses: 1,
        hoses: Vec::new(),
        gun: spec.gun.clone(),
    });
    let errors = spec.validate().expect_err("neither has one");
    let fields: Vec<_> = errors.iter().map(|error| error.field).collect();
    assert_eq!(fields, ["second.after_hoses", "second.hoses"]);
}
