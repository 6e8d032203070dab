//! Random hands on every machine of the catalogue: water is neither made nor lost, and nothing goes
//! beyond what the relief lets through.
//!
//! 200 attempts of the hands in the suite; `JETYARD_CASES=10000` for more.

use hydraulics::units::Temperature;
use hydraulics::{
    BranchSpec, Circuit, CircuitSpec, Controls, HoseEnd, HoseSpec, Instant, SecondSpec, TankSpec,
};
use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use training::load::{Catalogue, Library};

const STEP_S: f64 = 1.0 / 960.0;
const SUBSTEPS: u32 = 8;
const TICKS: u32 = 480;

fn any<'a, T>(all: &'a [T], chance: &mut ChaCha8Rng) -> &'a T {
    all.choose(chance).expect("the catalogue has some")
}

/// A circuit of whatever the catalogue has, whether it fits together or not.
fn any_circuit(catalogue: &Catalogue, chance: &mut ChaCha8Rng) -> CircuitSpec {
    let unit = any(&catalogue.units, chance);
    let kit = any(&unit.kits, chance);
    let hoses = (0..chance.random_range(1..=3)).map(|_| {
        let hose = &any(&catalogue.hoses, chance).water;
        hose.laid(chance.random_range(2.0..60.0))
    });
    let hoses: Vec<HoseSpec> = hoses.collect();
    // In every other one there are two lines, each with its cock.
    let second = chance.random_ratio(1, 2).then(|| SecondSpec {
        after_hoses: chance.random_range(0..hoses.len() as u8),
        hoses: vec![
            any(&catalogue.hoses, chance)
                .water
                .laid(chance.random_range(2.0..60.0)),
        ],
        gun: any(&catalogue.guns, chance).water.clone(),
    });
    CircuitSpec {
        pump: kit.pump.clone(),
        power_end: unit.power_end.clone(),
        engine: unit.engine.clone(),
        regulator: unit.regulator.clone(),
        dump: unit.dump.clone(),
        bleed: unit.bleed.clone(),
        relief: kit.relief.clone(),
        burst_disc: kit.disc.clone(),
        hoses,
        gun: any(&catalogue.guns, chance).water.clone(),
        branch: BranchSpec {
            isolating: unit.outlet_cocks.clone().filter(|_| second.is_some()),
            second,
        },
        tank: TankSpec {
            temperature_c: chance.random_range(5.0..30.0),
            ..unit.tank.clone()
        },
        manifold_volume_m3: unit.manifold_volume_m3,
    }
}

fn any_hands(catalogue: &Catalogue, chance: &mut ChaCha8Rng, controls: &mut Controls) {
    controls.throttle = chance.random_range(0.0..1.0);
    controls.supply_open = if chance.random_ratio(1, 8) {
        chance.random_range(0.0..1.0)
    } else {
        1.0
    };
    controls.regulator_knob = if chance.random_ratio(1, 4) {
        1.0
    } else {
        chance.random_range(0.0..1.0)
    };
    controls.condition.regulator_air_lost = chance.random_ratio(1, 12);
    controls.dump_local_open = chance.random_ratio(1, 6);
    controls.dump_remote_open = chance.random_ratio(1, 12);
    controls.bleed_open = if chance.random_ratio(1, 8) {
        chance.random_range(0.0..1.0)
    } else {
        0.0
    };
    controls.trigger = f64::from(u8::from(!chance.random_ratio(1, 2)));
    controls.ignition = !chance.random_ratio(1, 12);
    controls.starter = chance.random_ratio(1, 3);
    controls.second.trigger = f64::from(u8::from(chance.random_ratio(1, 2)));
    controls.second.end = HoseEnd::Nozzle(any(&catalogue.nozzles, chance).water);
    for way in &mut controls.isolating_open {
        *way = f64::from(u8::from(!chance.random_ratio(1, 6)));
    }
    controls.hose_end = match chance.random_range(0..8) {
        0 => HoseEnd::Open,
        1 => HoseEnd::Blocked,
        _ => HoseEnd::Nozzle(any(&catalogue.nozzles, chance).water),
    };
}

/// What left in a step, kg.
fn left(now: &Instant) -> f64 {
    let volume = now.nozzle_flow_m3_s
        + now.bypass_flow_m3_s
        + now.dump_flow_m3_s
        + now.bleed_flow_m3_s
        + now.relief_flow_m3_s
        + now.disc_flow_m3_s
        + now.gun_dump_flow_m3_s;
    let second = now.second.nozzle_mass_flow_kg_s + now.second.dump_mass_flow_kg_s;
    (volume * now.suction_density_kg_m3 + second) * STEP_S
}

/// Speed at which the water in the string can be stopped, times its impedance: how much a wave may
/// add to what the pump stands at, Pa.
fn wave_pa(spec: &CircuitSpec, most_kg_s: f64) -> f64 {
    // Nothing is faster than sound in water at the top of its range.
    const FASTEST_M_S: f64 = 2_050.0;
    let second = spec.branch.second.iter().flat_map(|second| &second.hoses);
    let narrowest = spec
        .hoses
        .iter()
        .chain(second)
        .fold(f64::INFINITY, |bore, hose| bore.min(hose.bore_m));
    most_kg_s / hydraulics::orifice::round_area_m2(narrowest) * FASTEST_M_S
}

#[test]
fn random_hands_on_any_machine_of_the_catalogue_keep_mass_and_stay_below_the_relief() {
    let cases: u64 = std::env::var("JETYARD_CASES").map_or(200, |n| n.parse().expect("a number"));
    let catalogue = Library::built_in().catalogue().expect("a sound catalogue");
    let (mut worst_mass, mut worst_pressure) = (0.0_f64, 0.0_f64);
    let mut running = 0;
    for case in 1..=cases {
        let mut chance = ChaCha8Rng::seed_from_u64(case);
        let spec = any_circuit(&catalogue, &mut chance);
        let limit = spec.relief.full_flow_pressure_pa();
        let mut circuit = Circuit::new(spec.clone(), Temperature::from_celsius(15.0))
            .unwrap_or_else(|e| panic!("case {case}: {e:?}"));
        let mut controls = Controls::AT_REST;
        controls.supply_open = 1.0;
        controls.ignition = true;
        controls.starter = true;
        controls.throttle = 1.0;
        let began = circuit.state().line.mass_kg();
        let (mut pumped, mut out, mut flow) = (0.0, 0.0, 0.0_f64);
        let mut next = 120;
        for tick in 0..TICKS {
            if tick == next {
                any_hands(&catalogue, &mut chance, &mut controls);
                next += chance.random_range(4..64);
            }
            circuit.begin_tick();
            for _ in 0..SUBSTEPS {
                let now = circuit.substep(&controls, STEP_S);
                pumped += now.pump_mass_flow_kg_s * STEP_S;
                out += left(&now);
                running += u64::from(now.engine_running);
                let head = now.pump_pressure_pa;
                assert!(
                    head.is_finite() && now.thrust_n.is_finite(),
                    "case {case}: {now:?}"
                );
                let flows = circuit.state().line.flows_kg_s();
                flow = flows.iter().fold(flow, |most, m| most.max(m.abs()));
                let highest = circuit.state().line.pressures_pa();
                let highest = highest.iter().fold(0.0_f64, |most, p| most.max(*p));
                worst_pressure = worst_pressure.max(highest / (limit + wave_pa(&spec, flow)));
                assert!(
                    highest <= limit + wave_pa(&spec, flow),
                    "case {case}: {highest} Pa, the relief lets {limit} Pa"
                );
            }
        }
        let stored = circuit.state().line.mass_kg() - began;
        let off = (pumped - out - stored).abs() / pumped.max(began);
        worst_mass = worst_mass.max(off);
        assert!(off <= 1.0e-9, "case {case}: {off} of the water");
    }
    println!(
        "{cases} cases: mass kept to {worst_mass:.1e}, highest pressure {worst_pressure:.2} of what \
         relief and wave allow"
    );
    assert!(running > cases * 500, "engines ran");
}
