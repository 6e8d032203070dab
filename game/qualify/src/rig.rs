//! An invented unit for the checks. The values that a table gives take the place of its own; the
//! others do not bear on what is compared.

use core::f64::consts::TAU;
use hydraulics::units::AngularSpeed;
use hydraulics::{
    BleedSpec, BranchSpec, CircuitSpec, DumpSpec, EngineSpec, GunKind, GunSpec, HoseSpec, PumpSpec,
    RegulatorSpec, ReliefSpec, SuctionSpec, TankSpec, TorquePoint,
};

/// Speed at which the engine is held, rad/s: 1,800 a minute.
pub const ENGINE_RAD_S: f64 = AngularSpeed::from_rpm(1_800.0).rad_per_s();

/// Three plungers without leakage, valve loss or air.
pub fn pump() -> PumpSpec {
    PumpSpec {
        cylinders: 3,
        plunger_diameter_m: 0.0267,
        stroke_m: 0.070,
        crank_ratio: 0.2,
        gear_ratio: 4.0,
        clearance_ratio: 0.0,
        leakage_m3_s_pa: 0.0,
        valve_loss: 0.0,
        mechanical_efficiency: 1.0,
        friction_torque_n_m: 0.0,
        rod_load_limit_n: None,
        suction: SuctionSpec::that_brings(2.0e5, 0.01, ENGINE_RAD_S / 4.0),
        starvation_lag_s: 1.5,
        initial_air_fraction: 0.0,
        air_bleed_time_s: 3.0,
    }
}

/// A smooth hose without fittings.
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

/// A system whose pump delivers a flow at any pressure with its engine held at [`ENGINE_RAD_S`],
/// with a soft air spring, so that its regulator is nearly ideal, and a gun without loss.
pub fn without_losses(flow_m3_s: f64, hoses: Vec<HoseSpec>) -> CircuitSpec {
    let mut pump = pump();
    let crank = ENGINE_RAD_S / pump.gear_ratio;
    let area = flow_m3_s * TAU / crank / (f64::from(pump.cylinders) * pump.stroke_m);
    pump.plunger_diameter_m = (area * 4.0 / core::f64::consts::PI).sqrt();
    let strong = |speed_rad_s| TorquePoint {
        speed_rad_s,
        torque_n_m: 5_000.0,
    };
    CircuitSpec {
        pump,
        power_end: None,
        engine: EngineSpec {
            idle_speed_rad_s: 84.0,
            rated_speed_rad_s: 209.0,
            droop: 1.0e-4,
            governor_lag_s: 0.0,
            torque_curve: vec![strong(63.0), strong(209.0)],
            inertia_kg_m2: 50.0,
            friction_torque_n_m: 55.0,
            starter_torque_n_m: 5_000.0,
            starter_free_speed_rad_s: 36.0,
            firing_speed_rad_s: 16.0,
            stall_speed_rad_s: 12.0,
            indicated_efficiency: 0.42,
            fuel_heat_j_kg: 42.7e6,
        },
        regulator: RegulatorSpec {
            seat_bore_m: 0.008,
            discharge_coefficient: 0.7,
            max_lift_m: 0.6e-3,
            moving_mass_kg: 0.3,
            damping_n_s_m: 4_000.0,
            air_area_m2: 0.02,
            air_volume_m3: 0.05,
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
            set_pressure_pa: 4.0e8,
            accumulation: 0.1,
            full_flow_kg_s: 1.1,
        },
        burst_disc: None,
        hoses,
        gun: GunSpec {
            kind: GunKind::DryShut,
            passage_bore_m: 0.008,
            passage_loss: 0.0,
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
