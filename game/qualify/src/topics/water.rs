//! Properties of water.

use crate::case::Kind;
use crate::published::{Check, checks};
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{
    NOZZLE_COMPRESSIBLE, PUMP_CLEARANCE, Row, STORED_ENERGY, WATER, WATER_WIDE, rows,
};
use hydraulics::units::KELVIN_AT_ZERO_CELSIUS;
use hydraulics::water::{
    ATMOSPHERE_PA, MAX_PRESSURE_PA, MAX_TEMPERATURE_C, MIN_TEMPERATURE_C, Water, viscosity,
};

/// Absolute pressure that the pump draws at in its table.
pub const SUCTION_ABS_PA: f64 = 3.0e5;

const IAPWS: &[&str] = &["iapws95"];
const IAPWS_AND_POINTS: &[&str] = &["iapws95", "iapws95_points"];
const PARTS: &[Part] = &[Part::Water];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "density",
        unit: "kg/m3",
        kind: Kind::Relative,
        tolerance: 1.0e-6,
        sources: IAPWS_AND_POINTS,
        parts: PARTS,
        gather: density,
    },
    Quantity {
        id: "sound_speed",
        unit: "m/s",
        kind: Kind::Relative,
        tolerance: 0.000_2,
        sources: IAPWS_AND_POINTS,
        parts: PARTS,
        gather: sound_speed,
    },
    Quantity {
        id: "viscosity",
        unit: "Pa s",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: &["iapws_viscosity", "iapws_viscosity_points"],
        parts: PARTS,
        gather: dynamic_viscosity,
    },
    Quantity {
        id: "heat_capacity",
        unit: "J/(kg K)",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: IAPWS,
        parts: PARTS,
        gather: |c| {
            both(c, "cp_J_kgK", |_| None, |w, p| w.heat_capacity(p));
        },
    },
    Quantity {
        id: "expansion",
        unit: "1/K",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: IAPWS,
        parts: PARTS,
        gather: |c| main(c, "alpha_1_K", 1.0, |w, p| w.thermal_expansion(p)),
    },
    // Down to where water does not expand at all, which no share can be held against.
    Quantity {
        id: "expansion_when_cold",
        unit: "1/K",
        kind: Kind::Difference,
        tolerance: 7.0e-8,
        sources: IAPWS,
        parts: PARTS,
        gather: |c| {
            take(c, WATER_WIDE, "alpha_1_K", 1.0, |w, p| {
                w.thermal_expansion(p)
            })
        },
    },
    Quantity {
        id: "vapour_pressure",
        unit: "Pa",
        kind: Kind::Relative,
        tolerance: 2.0e-4,
        sources: IAPWS,
        parts: PARTS,
        gather: vapour_pressure,
    },
    Quantity {
        id: "isothermal_modulus",
        unit: "GPa",
        kind: Kind::Relative,
        tolerance: 5.0e-4,
        sources: IAPWS,
        parts: PARTS,
        gather: |c| main(c, "KT_GPa", 1.0e-9, |w, p| w.isothermal_modulus(p)),
    },
    Quantity {
        id: "isentropic_modulus",
        unit: "GPa",
        kind: Kind::Relative,
        tolerance: 5.0e-4,
        sources: IAPWS,
        parts: PARTS,
        gather: |c| main(c, "KS_GPa", 1.0e-9, |w, p| w.isentropic_modulus(p)),
    },
    Quantity {
        id: "throttling_rise",
        unit: "K",
        kind: Kind::Relative,
        tolerance: 0.002,
        sources: IAPWS,
        parts: PARTS,
        gather: throttling_rise,
    },
    Quantity {
        id: "isentropic_compression",
        unit: "1",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: IAPWS,
        parts: PARTS,
        gather: compression,
    },
    Quantity {
        id: "isentropic_temperature",
        unit: "K",
        kind: Kind::Relative,
        tolerance: 0.005,
        sources: IAPWS,
        parts: PARTS,
        gather: temperature_change,
    },
];

/// `20 degC, 1000 bar`
pub fn state(row: &Row, pressure: &str) -> String {
    format!("{} degC, {} bar", row.text("T_C"), row.text(pressure))
}

/// Whether the core claims to hold there; what is no number is left in, to fail.
fn claimed(celsius: f64, abs_pa: f64) -> bool {
    let held = MIN_TEMPERATURE_C..=MAX_TEMPERATURE_C;
    let beyond = |value: f64, within: bool| value.is_finite() && !within;
    !beyond(celsius, held.contains(&celsius)) && !beyond(abs_pa, abs_pa <= MAX_PRESSURE_PA)
}

/// The rows of a table over temperature and gauge pressure for which the core claims to hold.
pub fn held(table: &str) -> Vec<Row> {
    let claims = |row: &Row| {
        let abs_pa = row.pascal("P_bar_gauge") + ATMOSPHERE_PA;
        claimed(row.number("T_C"), abs_pa)
    };
    rows(table).into_iter().filter(claims).collect()
}

/// A column of a table over temperature and absolute pressure.
fn take(c: &mut Cases, table: &str, column: &str, by: f64, of: impl Fn(&Water, f64) -> f64) {
    for row in rows(table) {
        let (t, p) = (row.number("T_C"), row.pascal("P_bar_abs"));
        if claimed(t, p) {
            let ours = by * of(&Water::at_celsius(t), p);
            c.take(state(&row, "P_bar_abs"), ours, row.number(column));
        }
    }
}

fn main(c: &mut Cases, column: &str, by: f64, of: impl Fn(&Water, f64) -> f64) {
    take(c, WATER, column, by, of);
}

/// A column that both tables have, and the points at which the releases are to be verified.
fn both(
    c: &mut Cases,
    column: &str,
    point: impl Fn(&Check) -> Option<f64>,
    of: impl Fn(&Water, f64) -> f64,
) {
    for table in [WATER, WATER_WIDE] {
        take(c, table, column, 1.0, &of);
    }
    for check in checks() {
        if let Some(ours) = point(&check) {
            c.take_published(&check, ours, check.expected());
        }
    }
}

fn is_of_water(check: &Check) -> bool {
    check.inputs().contains("IAPWS")
}

fn celsius(check: &Check) -> f64 {
    check.named("T").unwrap_or(f64::NAN) - KELVIN_AT_ZERO_CELSIUS
}

/// The points give density and temperature and the pressure that comes out. Pressure would be a
/// poor thing to compare in a liquid, so it is given here and the density compared.
fn density(c: &mut Cases) {
    both(c, "rho_kg_m3", |_| None, |w, p| w.density(p));
    for check in checks() {
        let abs_pa = 1.0e6 * check.expected();
        if is_of_water(&check) && check.quantity() == "pressure" && claimed(celsius(&check), abs_pa)
        {
            let ours = Water::at_celsius(celsius(&check)).density(abs_pa);
            c.take_published(&check, ours, check.named("rho").unwrap_or(f64::NAN));
        }
    }
}

/// The table's tolerance is 1e-6, which the release asks of programs that evaluate it. The core
/// derives sound speed from a fitted volume: it is held to its own 3e-4.
fn sound_speed(c: &mut Cases) {
    both(c, "sound_m_s", |_| None, |w, p| w.sound_speed(p));
    let points: Vec<Check> = checks().into_iter().filter(is_of_water).collect();
    for check in &points {
        let pressure =
            |other: &&Check| other.quantity() == "pressure" && other.inputs() == check.inputs();
        if check.quantity() != "sound speed" {
            continue;
        }
        let abs_pa = points.iter().find(pressure);
        let abs_pa = abs_pa.map_or(f64::NAN, |p| 1.0e6 * p.expected());
        if claimed(celsius(check), abs_pa) {
            let ours = Water::at_celsius(celsius(check)).sound_speed(abs_pa);
            c.take_published_within(3.0e-4, check, ours, check.expected());
        }
    }
}

/// The formulation is evaluated at the density that is given, so its points count beyond the range
/// of the density as well.
fn dynamic_viscosity(c: &mut Cases) {
    both(c, "mu_Pa_s", |_| None, |w, p| w.viscosity(p));
    for check in checks() {
        if is_of_water(&check) && check.quantity() == "viscosity" {
            let given = |name| check.named(name).unwrap_or(f64::NAN);
            let ours = viscosity(given("T"), given("rho"));
            c.take_published(&check, ours, 1.0e-6 * check.expected());
        }
    }
}

fn vapour_pressure(c: &mut Cases) {
    let mut last = String::new();
    for row in rows(WATER_WIDE) {
        // The table repeats it for every pressure.
        if row.text("T_C") != last {
            row.text("T_C").clone_into(&mut last);
            let ours = Water::at_celsius(row.number("T_C")).vapour_pressure();
            c.take(format!("{last} degC"), ours, row.number("saturation_Pa"));
        }
    }
}

/// Water that ends above the range of the core has the heat capacity of the range's end.
fn throttling_rise(c: &mut Cases) {
    for row in held(NOZZLE_COMPRESSIBLE) {
        let (t, p) = (row.number("T_C"), row.pascal("P_bar_gauge"));
        let ours = Water::at_celsius(t).throttling_rise_k(p);
        let want = row.number("dT_throttle_K");
        c.take(state(&row, "P_bar_gauge"), ours, want);
    }
}

/// Growth of the density. One table lets water down that has its temperature under pressure; the
/// other squeezes water that has it at the pump's suction.
fn compression(c: &mut Cases) {
    for row in held(STORED_ENERGY) {
        let (t, p) = (row.number("T_C"), row.pascal("P_bar_gauge"));
        let released = Water::at_celsius(t).squeezed(ATMOSPHERE_PA + p, ATMOSPHERE_PA);
        let line = released.isentrope();
        let ours = line.at(p).density / line.atmospheric_density() - 1.0;
        let want = 0.01 * row.number("compression_pct");
        c.take(state(&row, "P_bar_gauge"), ours, want);
    }
    for row in each_state(PUMP_CLEARANCE) {
        let (t, p) = (row.number("T_C"), row.pascal("P_bar_gauge"));
        let line = Water::at_celsius(t).isentrope();
        let suction = line.at(SUCTION_ABS_PA - ATMOSPHERE_PA).density;
        let ours = line.at(p).density / suction - 1.0;
        let want = row.number("rho_d_over_rho_s") - 1.0;
        c.take(
            format!("{}, from 3 bar", state(&row, "P_bar_gauge")),
            ours,
            want,
        );
    }
}

/// By how much water warms up as it is squeezed, and cools down as it is let go; but for what ends
/// colder than the core knows water (one row, supercooled).
fn temperature_change(c: &mut Cases) {
    for (table, from_gauge, column) in [
        (PUMP_CLEARANCE, false, "T_discharge_C"),
        (NOZZLE_COMPRESSIBLE, true, "T_exit_isentropic_C"),
    ] {
        for row in each_state(table) {
            let (t, p) = (row.number("T_C"), row.pascal("P_bar_gauge"));
            let water = Water::at_celsius(t);
            let under = ATMOSPHERE_PA + p;
            let after = if from_gauge {
                water.squeezed(under, ATMOSPHERE_PA)
            } else {
                water.squeezed(SUCTION_ABS_PA, under)
            };
            if !claimed(row.number(column), under) {
                continue;
            }
            let (ours, want) = (after.temperature_c() - t, row.number(column) - t);
            let way = if from_gauge { "let down" } else { "squeezed" };
            c.take(format!("{}, {way}", state(&row, "P_bar_gauge")), ours, want);
        }
    }
}

/// The first row of each temperature and gauge pressure.
fn each_state(table: &str) -> Vec<Row> {
    let mut found: Vec<Row> = Vec::new();
    for row in held(table) {
        let at = state(&row, "P_bar_gauge");
        if found.iter().all(|other| state(other, "P_bar_gauge") != at) {
            found.push(row);
        }
    }
    found
}
