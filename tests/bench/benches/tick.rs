//! What a tick of the circuit costs.

#[path = "../../../game/hydraulics/tests/checks/example.rs"]
#[allow(dead_code)]
mod example;

use divan::Bencher;
use example::{DT, Rig, SUBSTEPS, disc, hose, tri_80, two_ways};
use hydraulics::{Condition, OilSpec, PowerEndSpec};

/// Counts what is allocated: a step should allocate nothing.
#[global_allocator]
static COUNTED: divan::AllocProfiler = divan::AllocProfiler::system();

fn main() {
    divan::main();
}

/// A unit at work into a string of hoses, the trigger pulled and let go.
#[divan::bench(args = [20.0, 40.0, 100.0])]
fn tick_with_a_string_of_metres(bencher: Bencher, metres: f64) {
    let mut spec = tri_80();
    spec.hoses = vec![hose(0.013, metres / 2.0), hose(0.013, metres / 2.0)];
    let knob = spec.regulator.knob_for(7.0e7);
    let mut rig = Rig::new(spec, 15.0);
    rig.bring_to_pressure(0.56, knob);
    works(bencher, rig);
}

/// The same hundred metres with all that a unit can have: its power end, a disc, cocks, a second line
/// of fifteen metres at work, and a hole in the first.
#[divan::bench]
fn tick_with_everything_on(bencher: Bencher) {
    let mut spec = tri_80();
    spec.hoses = vec![hose(0.013, 50.0), hose(0.013, 50.0)];
    spec.power_end = Some(power_end());
    spec.burst_disc = Some(disc());
    spec.branch = two_ways(&spec);
    let knob = spec.regulator.knob_for(3.0e7);
    let mut rig = Rig::new(spec, 15.0);
    rig.controls.second.end = rig.controls.hose_end;
    rig.controls.second.trigger = 1.0;
    rig.controls.condition = Condition {
        hose_leak_m2: 1.0e-7,
        packing_worn: 5.0,
        nozzle_worn: 0.1,
        ..Condition::SOUND
    };
    rig.bring_to_pressure(0.9, knob);
    works(bencher, rig);
}

fn works(bencher: Bencher, mut rig: Rig) {
    let mut ticks = 0_u32;
    bencher.bench_local(|| {
        ticks += 1;
        rig.controls.trigger = if ticks / 120 % 2 == 0 { 1.0 } else { 0.0 };
        rig.circuit.begin_tick();
        for _ in 0..SUBSTEPS {
            divan::black_box(rig.circuit.substep(&rig.controls, DT));
        }
    });
}

/// Made up, as in the catalogue.
fn power_end() -> PowerEndSpec {
    PowerEndSpec {
        oil: OilSpec {
            viscosity_40_m2_s: 220.0e-6,
            viscosity_100_m2_s: 18.8e-6,
            density_kg_m3: 890.0,
            heat_j_kg_k: 1_900.0,
        },
        oil_mass_kg: 20.0,
        delivery_m3: 2.0e-5,
        relief_pressure_pa: 4.0e5,
        bearing_leak_m3: 1.2e-11,
        pressure_lag_s: 1.0,
        film_share: 0.5,
        friction_speed_rad_s: 50.0,
        friction_temperature_c: 60.0,
        loss_to_oil: 0.6,
        cooler_w_k: 150.0,
        case_w_k: 15.0,
        air_temperature_c: 12.0,
        trip_pressure_pa: 8.0e4,
        trip_delay_s: 8.0,
        trip_temperature_c: 95.0,
    }
}
