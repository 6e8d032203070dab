//! What stands behind the pump of a unit: its suction and its power end.

use hydraulics::suction::{Passage, SuctionWater};
use hydraulics::water::Water;
use hydraulics::{EngineSpec, OilSpec, PowerEndSpec, PumpSpec, SuctionSpec};

use super::si::{bar, lpm, m, m3, m3_s, pa, share};
use super::unit::{PLATE_TOLERANCE, PLATE_WATER_C};
use crate::data::Reader;
use crate::text::number;

/// Square metres a second in a square millimetre a second.
const M2_S_PER_MM2_S: f64 = 1.0e-6;

/// Crank speed at the engine's rated speed, radians a second.
fn rated_crank_rad_s(engine: &EngineSpec, pump: &PumpSpec) -> f64 {
    engine.rated_speed_rad_s / pump.gear_ratio
}

/// The suction of a unit. Its pressure without flow is that of the pump.
pub(super) fn suction(r: &mut Reader<'_, '_>, engine: &EngineSpec, pump: &PumpSpec) -> SuctionSpec {
    let still_pressure_pa = pump.suction.still_pressure_pa;
    let stalls_m3_s = m3_s(r.f64("booster_stall_lpm", 0.1..=100_000.0));
    SuctionSpec {
        still_pressure_pa,
        fall_pa_s2_m6: still_pressure_pa / (stalls_m3_s * stalls_m3_s),
        bore_m: m(r.f64("bore_mm", 5.0..=500.0)),
        length_m: r.f64("length_m", 0.0..=100.0),
        line_loss: r.f64("line_k", 0.0..=1_000.0),
        valve_loss: r.f64("valve_k", 0.0..=1_000.0),
        strainer_loss: r.f64("strainer_k", 0.0..=1_000.0),
        unsteadiness_min_s: r.f64("acceleration_c", 0.0..=1.0),
        springiness: r.f64("acceleration_k", 1.0..=5.0),
        npsh_required_m: r.f64("npsh_required_m", 0.0..=30.0),
        npsh_valves_m: r.f64("npsh_valves_m", 0.0..=30.0),
        npsh_speed_rad_s: rated_crank_rad_s(engine, pump),
    }
}

/// What is said to come of the supply is what the suction brings at rated speed.
pub(super) fn check_suction(r: &mut Reader<'_, '_>, suction: &SuctionSpec, said_m3_s: f64) {
    let water = SuctionWater::of(&Water::at_celsius(PLATE_WATER_C));
    let brings = suction.brings_m3_s(&Passage::CLEAR, &water, suction.npsh_speed_rad_s);
    r.check(
        "suction",
        (brings / said_m3_s - 1.0).abs() <= PLATE_TOLERANCE,
        "data-clash-suction",
        vec![
            ("brings", number(lpm(brings), 1)),
            ("supply", number(lpm(said_m3_s), 1)),
        ],
    );
}

/// The power end of a unit. Its air temperature is that of the level.
pub(super) fn power_end(
    r: &mut Reader<'_, '_>,
    engine: &EngineSpec,
    pump: &PumpSpec,
) -> PowerEndSpec {
    let density_kg_m3 = r.f64("oil_density_kg_m3", 700.0..=1_200.0);
    let oil = OilSpec {
        viscosity_40_m2_s: M2_S_PER_MM2_S * r.f64("oil_grade_mm2_s", 5.0..=2_000.0),
        viscosity_100_m2_s: M2_S_PER_MM2_S * r.f64("oil_at_100c_mm2_s", 2.0..=200.0),
        density_kg_m3,
        heat_j_kg_k: 1.0e3 * r.f64("oil_heat_kj_kg_k", 1.0..=4.0),
    };
    let thins = oil.viscosity_100_m2_s < oil.viscosity_40_m2_s;
    r.check(
        "oil_at_100c_mm2_s",
        thins,
        "data-clash-oil-thickens",
        vec![],
    );
    let relief_pressure_pa = pa(r.f64("oil_relief_bar", 0.1..=20.0));
    let trip_pressure_pa = pa(r.f64("trip_bar", 0.0..=20.0));
    r.check(
        "trip_bar",
        trip_pressure_pa < relief_pressure_pa,
        "data-clash-oil-trip",
        vec![],
    );
    PowerEndSpec {
        oil,
        oil_mass_kg: density_kg_m3 * m3(r.f64("oil_l", 0.2..=5_000.0)),
        delivery_m3: m3(1.0e-3 * r.f64("oil_pump_ml_turn", 0.1..=10_000.0)),
        relief_pressure_pa,
        bearing_leak_m3: 1.0e-9 * r.f64("bearing_leak_mm3", 1.0e-5..=100.0),
        pressure_lag_s: r.f64("oil_lag_s", 0.0..=60.0),
        film_share: share(r.f64("film_share_pct", 0.0..=100.0)),
        friction_speed_rad_s: rated_crank_rad_s(engine, pump),
        friction_temperature_c: r.f64("friction_at_c", 0.0..=120.0),
        loss_to_oil: share(r.f64("loss_to_oil_pct", 0.0..=100.0)),
        cooler_w_k: r.f64("cooler_w_k", 0.0..=100_000.0),
        case_w_k: r.f64("case_w_k", 0.0..=10_000.0),
        air_temperature_c: PLATE_WATER_C,
        trip_pressure_pa,
        trip_delay_s: r.f64("trip_delay_s", 0.0..=120.0),
        trip_temperature_c: r.f64("trip_c", 40.0..=150.0),
    }
}

/// The force on one rod at the highest pressure that relief or disc let come is within what the power
/// end stands.
pub(super) fn check_rod(
    r: &mut Reader<'_, '_>,
    field: &'static str,
    pump: &PumpSpec,
    highest_pa: f64,
) {
    let Some(limit_n) = pump.rod_load_limit_n else {
        return;
    };
    let load_n = pump.rod_load_n(highest_pa);
    r.check(
        field,
        load_n <= limit_n,
        "data-clash-rod-load",
        vec![
            ("pressure", number(bar(highest_pa), 0)),
            ("load", number(1.0e-3 * load_n, 1)),
            ("limit", number(1.0e-3 * limit_n, 1)),
        ],
    );
}
