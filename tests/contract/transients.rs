//! Random hands on every machine of the catalogue: water is neither made nor lost, and nothing goes
//! beyond what the relief lets through.
//!
//! 200 attempts of the hands in the suite; `JETYARD_CASES=10000` for more.

use hydraulics::units::Temperature;
use hydraulics::{Circuit, CircuitSpec, Controls, HoseEnd, HoseSpec, Instant, TankSpec};
use training::load::{Catalogue, Library};

const STEP_S: f64 = 1.0 / 960.0;
const SUBSTEPS: u32 = 8;
const TICKS: u32 = 480;

/// Chance by a seed: Marsaglia's xorshift, 64 bits (Journal of Statistical Software 8(14), 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[(self.next() % all.len() as u64) as usize]
    }

    fn once_in(&mut self, n: u64) -> bool {
        self.next().is_multiple_of(n)
    }
}

/// A circuit of whatever the catalogue has, whether it fits together or not.
fn any_circuit(catalogue: &Catalogue, chance: &mut Chance) -> CircuitSpec {
    let unit = chance.of(&catalogue.units);
    let kit = chance.of(&unit.kits);
    let hoses = (0..1 + chance.next() % 3).map(|_| {
        let hose = &chance.of(&catalogue.hoses).water;
        let length_m = chance.between(2.0, 60.0);
        HoseSpec {
            length_m,
            cells: HoseSpec::suggested_cells(length_m, hose.wall_modulus_pa),
            ..hose.clone()
        }
    });
    let hoses = hoses.collect();
    CircuitSpec {
        pump: kit.pump.clone(),
        engine: unit.engine.clone(),
        regulator: unit.regulator.clone(),
        dump: unit.dump.clone(),
        bleed: unit.bleed.clone(),
        relief: kit.relief.clone(),
        hoses,
        gun: chance.of(&catalogue.guns).water.clone(),
        tank: TankSpec {
            temperature_c: chance.between(5.0, 30.0),
            ..unit.tank.clone()
        },
        manifold_volume_m3: unit.manifold_volume_m3,
    }
}

fn any_hands(catalogue: &Catalogue, chance: &mut Chance, controls: &mut Controls) {
    controls.throttle = chance.share();
    controls.supply_open = if chance.once_in(8) {
        chance.share()
    } else {
        1.0
    };
    controls.regulator_knob = if chance.once_in(4) {
        1.0
    } else {
        chance.share()
    };
    controls.regulator_air_ok = !chance.once_in(12);
    controls.dump_local_open = chance.once_in(6);
    controls.dump_remote_open = chance.once_in(12);
    controls.bleed_open = if chance.once_in(8) {
        chance.share()
    } else {
        0.0
    };
    controls.trigger = f64::from(u8::from(!chance.once_in(2)));
    controls.ignition = !chance.once_in(12);
    controls.starter = chance.once_in(3);
    controls.hose_end = match chance.next() % 8 {
        0 => HoseEnd::Open,
        1 => HoseEnd::Blocked,
        _ => HoseEnd::Nozzle(chance.of(&catalogue.nozzles).water),
    };
}

/// What left in a step, kg.
fn left(now: &Instant) -> f64 {
    let volume = now.nozzle_flow_m3_s
        + now.bypass_flow_m3_s
        + now.dump_flow_m3_s
        + now.bleed_flow_m3_s
        + now.relief_flow_m3_s
        + now.gun_dump_flow_m3_s;
    volume * now.suction_density_kg_m3 * STEP_S
}

/// Speed at which the water in the string can be stopped, times its impedance: how much a wave may
/// add to what the pump stands at, Pa.
fn wave_pa(spec: &CircuitSpec, most_kg_s: f64) -> f64 {
    // Nothing is faster than sound in water at the top of its range.
    const FASTEST_M_S: f64 = 2_050.0;
    let narrowest = spec
        .hoses
        .iter()
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
        let mut chance = Chance(case.wrapping_mul(0x9E37_79B9_7F4A_7C15));
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
                next += 4 + (chance.next() % 60) as u32;
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
