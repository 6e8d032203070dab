//! An invented unit for tests: three cylinders, 80 kW, a kit for 700 bar at 57 L/min, 20 m of
//! 13 mm hose. Real machine data live in the catalogue files.

use hydraulics::units::{AngularSpeed, Temperature};
use hydraulics::*;

/// One substep of the simulator.
pub const DT: f64 = 1.0 / 960.0;
/// Substeps of a tick.
pub const SUBSTEPS: usize = 8;

pub fn rpm(value: f64) -> f64 {
    AngularSpeed::from_rpm(value).rad_per_s()
}

pub fn hose(bore_m: f64, length_m: f64) -> HoseSpec {
    HoseSpec {
        bore_m,
        length_m,
        roughness_m: 1.5e-6,
        wall_modulus_pa: 2.0e9,
        fitting_loss: 0.0,
        rated_pressure_pa: 1.25e8,
        cells: HoseSpec::suggested_cells(length_m, 2.0e9),
    }
}

pub fn tri_80() -> CircuitSpec {
    CircuitSpec {
        pump: PumpSpec {
            cylinders: 3,
            plunger_diameter_m: 0.0267,
            stroke_m: 0.070,
            crank_ratio: 0.2,
            gear_ratio: 4.0,
            clearance_ratio: 0.5,
            leakage_m3_s_pa: 1.0e-13,
            valve_loss: 0.01,
            mechanical_efficiency: 0.93,
            friction_torque_n_m: 30.0,
            rod_load_limit_n: None,
            suction: SuctionSpec::that_brings(2.0e5, 2.0e-3, rpm(500.0)),
            starvation_lag_s: 1.5,
            initial_air_fraction: 0.4,
            air_bleed_time_s: 3.0,
        },
        power_end: None,
        engine: EngineSpec {
            idle_speed_rad_s: rpm(800.0),
            rated_speed_rad_s: rpm(2_000.0),
            droop: 0.04,
            governor_lag_s: 0.1,
            torque_curve: vec![
                TorquePoint {
                    speed_rad_s: rpm(600.0),
                    torque_n_m: 280.0,
                },
                TorquePoint {
                    speed_rad_s: rpm(1_400.0),
                    torque_n_m: 440.0,
                },
                TorquePoint {
                    speed_rad_s: rpm(2_000.0),
                    torque_n_m: 382.0,
                },
            ],
            inertia_kg_m2: 2.0,
            friction_torque_n_m: 55.0,
            starter_torque_n_m: 250.0,
            starter_free_speed_rad_s: rpm(350.0),
            firing_speed_rad_s: rpm(150.0),
            stall_speed_rad_s: rpm(120.0),
            indicated_efficiency: 0.42,
            fuel_heat_j_kg: 42.7e6,
        },
        regulator: RegulatorSpec {
            seat_bore_m: 0.008,
            discharge_coefficient: 0.7,
            max_lift_m: 0.6e-3,
            moving_mass_kg: 0.3,
            damping_n_s_m: 4_000.0,
            air_area_m2: 5.0e-3,
            air_volume_m3: 1.0e-3,
            max_air_pressure_pa: 8.0e5,
            residual_preload_n: 60.0,
            flow_force_left: 0.1,
            jet_angle_cos: 0.358_368,
            air_follow_s: 0.3,
            air_loss_s: 1.5,
        },
        dump: DumpSpec {
            bore_m: 0.010,
            discharge_coefficient: 0.7,
            opening_time_s: 0.15,
            closing_time_s: 0.4,
        },
        bleed: BleedSpec {
            bore_m: 0.002,
            discharge_coefficient: 0.65,
        },
        relief: ReliefSpec {
            set_pressure_pa: 7.7e7,
            accumulation: 0.1,
            full_flow_kg_s: 1.1,
        },
        burst_disc: None,
        hoses: vec![hose(0.013, 20.0)],
        gun: GunSpec {
            kind: GunKind::DryShut,
            passage_bore_m: 0.008,
            passage_loss: 4.0,
            volume_m3: 8.0e-5,
            valve_travel_s: 0.08,
            dump_bore_m: 0.008,
            dump_discharge_coefficient: 0.7,
            seat_loss: 2.0,
            open_passage_coefficient: 0.82,
        },
        branch: BranchSpec::default(),
        tank: TankSpec {
            volume_m3: 1.0,
            temperature_c: 15.0,
            bypass_return: 1.0,
        },
        manifold_volume_m3: 4.0e-4,
    }
}

/// Two strings from the manifold, each with its isolating valve.
pub fn two_ways(spec: &CircuitSpec) -> BranchSpec {
    BranchSpec {
        isolating: Some(IsolatingSpec {
            bore_m: 0.013,
            seat_loss: 2.0,
            travel_s: 0.5,
        }),
        second: Some(SecondSpec {
            after_hoses: 0,
            hoses: vec![hose(0.013, 15.0)],
            gun: spec.gun.clone(),
        }),
    }
}

/// A disc for that unit.
pub fn disc() -> BurstDiscSpec {
    BurstDiscSpec {
        burst_pressure_pa: 8.5e7,
        bore_m: 0.006,
        discharge_coefficient: 0.62,
        opening_time_s: 0.005,
    }
}

/// The level's nozzle: 1.4 mm, round.
pub fn nozzle() -> NozzleSpec {
    NozzleSpec::round(1.4e-3, 0.95, 1.0)
}

/// A circuit with its controls and clock.
pub struct Rig {
    pub circuit: Circuit,
    pub controls: Controls,
    pub now: Instant,
    pub time_s: f64,
    substep: usize,
}

impl Rig {
    pub fn new(spec: CircuitSpec, celsius: f64) -> Self {
        let circuit = Circuit::new(spec, Temperature::from_celsius(celsius)).expect("a sound spec");
        let controls = Controls {
            hose_end: HoseEnd::Nozzle(nozzle()),
            ..Controls::AT_REST
        };
        Self {
            circuit,
            controls,
            now: Instant::default(),
            time_s: 0.0,
            substep: 0,
        }
    }

    pub fn substep(&mut self) -> Instant {
        if self.substep.is_multiple_of(SUBSTEPS) {
            self.circuit.begin_tick();
        }
        self.substep += 1;
        self.now = self.circuit.substep(&self.controls, DT);
        self.time_s += DT;
        self.now
    }

    /// Steps for a time, looking at each substep.
    pub fn watch(&mut self, seconds: f64, mut look: impl FnMut(&Instant)) {
        for _ in 0..(seconds / DT).round() as usize {
            look(&self.substep());
        }
    }

    pub fn run(&mut self, seconds: f64) {
        self.watch(seconds, |_| {});
    }

    /// Means of some quantity over whole turns of the crank, at least `seconds` long.
    pub fn mean_over_turns<const N: usize>(
        &mut self,
        seconds: f64,
        quantity: impl Fn(&Instant) -> [f64; N],
    ) -> [f64; N] {
        let mut sum = [0.0; N];
        let mut count = 0.0;
        // Start as the crank passes its zero.
        let mut angle = self.circuit.state().pump.crank_angle_rad;
        let mut started = false;
        let mut elapsed = 0.0;
        for _ in 0..1_000_000 {
            let now = self.substep();
            let next = self.circuit.state().pump.crank_angle_rad;
            let turned = next < angle;
            angle = next;
            if turned {
                if started && elapsed >= seconds {
                    break;
                }
                started = true;
            }
            if started {
                for (s, q) in sum.iter_mut().zip(quantity(&now)) {
                    *s += q;
                }
                count += 1.0;
                elapsed += DT;
            }
        }
        sum.map(|s| s / count)
    }

    /// Supply open, air bled, engine started unloaded, throttle set, dump shut, regulator at a
    /// set point, trigger pulled.
    pub fn bring_to_pressure(&mut self, throttle: f64, knob: f64) {
        self.controls.supply_open = 1.0;
        self.controls.air_bleed_open = 1.0;
        self.run(30.0);
        self.controls.air_bleed_open = 0.0;
        self.start();
        self.controls.throttle = throttle;
        self.controls.dump_local_open = false;
        self.controls.trigger = 1.0;
        self.run(3.0);
        self.controls.regulator_knob = knob;
        self.run(5.0);
    }

    pub fn start(&mut self) {
        self.controls.ignition = true;
        self.controls.starter = true;
        for _ in 0..5_000 {
            if self.substep().engine_running {
                break;
            }
        }
        self.controls.starter = false;
        self.run(3.0);
    }
}
