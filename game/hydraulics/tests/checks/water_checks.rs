//! Water against IAPWS-95 and IAPWS-2008 values (computed with CoolProp, cross-checked with a
//! second library; see the head of each table) and the releases' own verification points.

use crate::reference::{Comparison, number, table};
use hydraulics::water::{ATMOSPHERE_PA, Water, viscosity};

#[test]
fn density_is_that_of_iapws_to_a_millionth() {
    let mut c = Comparison::relative("density", 1.0e-6);
    for row in table("water_properties.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_abs") * 1.0e5);
        c.take(
            format!("{t} degC {p} Pa"),
            Water::at_celsius(t).density(p),
            number(&row, "rho_kg_m3"),
        );
    }
    c.end();
}

#[test]
fn sound_speed_is_within_a_fiftieth_of_a_percent() {
    let mut c = Comparison::relative("sound speed", 0.0002);
    for row in table("water_properties.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_abs") * 1.0e5);
        c.take(
            format!("{t} degC {p} Pa"),
            Water::at_celsius(t).sound_speed(p),
            number(&row, "sound_m_s"),
        );
    }
    c.end();
}

#[test]
fn viscosity_is_within_half_a_percent_at_one_atmosphere_and_one_above() {
    let mut low = Comparison::relative("viscosity at 1 bar", 0.005);
    let mut high = Comparison::relative("viscosity under pressure", 0.01);
    for row in table("water_properties.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_abs") * 1.0e5);
        let part = if p < 2.0e5 { &mut low } else { &mut high };
        part.take(
            format!("{t} degC {p} Pa"),
            Water::at_celsius(t).viscosity(p),
            number(&row, "mu_Pa_s"),
        );
    }
    low.end();
    high.end();
}

#[test]
fn heat_capacity_and_expansion_follow_from_the_density() {
    let mut cp = Comparison::relative("heat capacity", 0.001);
    // By difference: near 4 degC the expansion passes through nothing.
    let mut alpha = Comparison::relative("expansion, 1/K", 2.0e-7);
    for row in table("water_properties.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_abs") * 1.0e5);
        let water = Water::at_celsius(t);
        cp.take(
            format!("{t} degC {p} Pa"),
            water.heat_capacity(p),
            number(&row, "cp_J_kgK"),
        );
        alpha.take_difference(
            format!("{t} degC {p} Pa"),
            water.thermal_expansion(p),
            number(&row, "alpha_1_K"),
        );
    }
    cp.end();
    alpha.end();
}

/// IAPWS R6-95, Table 7, and R12-08, Table 4. The equation of state's points at 700 MPa lie
/// outside the 320 MPa of the table and are left out. The viscosity formulation is evaluated at
/// the density given, so all three of its points count, though two lie outside the table
/// (1,200 kg/m3, and 373 K).
#[test]
fn the_verification_points_of_the_releases_are_met() {
    let mut rho = Comparison::relative("W density", 1.0e-6);
    let mut speed = Comparison::relative("W sound speed", 0.0002);
    let mut mu = Comparison::relative("W viscosity", 1.0e-6);
    let (mut density, mut pressure, mut left_out) = (0.0, 0.0, 0);
    for row in table("published_checks.csv")
        .iter()
        .filter(|r| r["id"] == "W")
    {
        let expected = number(row, "expected");
        let given = |name: &str| {
            let text = row["inputs"]
                .split_whitespace()
                .find_map(|w| w.strip_prefix(name));
            text.and_then(|t| t.parse::<f64>().ok())
        };
        match row["quantity"].as_str() {
            "pressure" => {
                density = given("rho=").expect("a density");
                pressure = expected * 1.0e6;
                if pressure <= 3.0e8 {
                    let celsius = given("T=").expect("a temperature") - 273.15;
                    rho.take(
                        &row["inputs"],
                        Water::at_celsius(celsius).density(pressure),
                        density,
                    );
                } else {
                    left_out += 1;
                }
            }
            "sound speed" if pressure <= 3.0e8 => {
                speed.take(
                    density,
                    Water::at_celsius(300.0 - 273.15).sound_speed(pressure),
                    expected,
                );
            }
            "sound speed" => {}
            "viscosity" => {
                let (t, d) = (given("T=").expect("T"), given("rho=").expect("rho"));
                mu.take(&row["inputs"], viscosity(t, d) * 1.0e6, expected);
            }
            other => panic!("unknown quantity {other}"),
        }
    }
    assert_eq!(left_out, 1);
    rho.end();
    speed.end();
    mu.end();
}

#[test]
fn throttling_heats_as_the_enthalpy_says() {
    // Water that ends above the table has the heat capacity of the table's end.
    let mut c = Comparison::relative("throttling rise", 0.002);
    for row in table("nozzle_compressible.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_gauge") * 1.0e5);
        let want = number(&row, "dT_throttle_K");
        c.take(
            format!("{t} degC {p} Pa"),
            Water::at_celsius(t).throttling_rise_k(p),
            want,
        );
    }
    c.end();
}

/// The table expands water that has the tabled temperature under pressure.
#[test]
fn the_isentrope_compresses_as_iapws_does() {
    let mut squeeze = Comparison::relative("isentropic compression", 0.0003);
    for row in table("stored_energy.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_gauge") * 1.0e5);
        let line = Water::at_celsius(t)
            .squeezed(ATMOSPHERE_PA + p, ATMOSPHERE_PA)
            .isentrope();
        let ratio = line.at(p).density / line.atmospheric_density() - 1.0;
        let want = 0.01 * number(&row, "compression_pct");
        squeeze.take_difference(format!("{t} degC {p} Pa"), ratio, want);
    }
    squeeze.end();
}

#[test]
fn arguments_out_of_range_give_finite_results() {
    for t in [f64::NAN, -300.0, 1.0e9] {
        let water = Water::at_celsius(t);
        for p in [f64::NAN, f64::NEG_INFINITY, -1.0, 1.0e30, f64::INFINITY] {
            for value in [
                water.density(p),
                water.sound_speed(p),
                water.viscosity(p),
                water.throttling_rise_k(p),
                water.isentrope().psi_squared(p),
            ] {
                assert!(value.is_finite(), "{t} {p} {value}");
            }
        }
        assert!(water.vapour_pressure() < ATMOSPHERE_PA);
    }
}

#[test]
fn the_ends_of_the_range_are_as_good_as_its_middle() {
    let mut rho = Comparison::relative("density, wide", 1.0e-6);
    let mut speed = Comparison::relative("sound speed, wide", 0.0003);
    let mut heat = Comparison::relative("heat capacity, wide", 0.001);
    let mut mu = Comparison::relative("viscosity, wide", 0.001);
    let mut vapour = Comparison::relative("vapour pressure", 0.001);
    for row in table("water_wide.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_abs") * 1.0e5);
        let water = Water::at_celsius(t);
        let at = format!("{t} degC {p} Pa");
        rho.take(&at, water.density(p), number(&row, "rho_kg_m3"));
        speed.take(&at, water.sound_speed(p), number(&row, "sound_m_s"));
        heat.take(&at, water.heat_capacity(p), number(&row, "cp_J_kgK"));
        mu.take(&at, water.viscosity(p), number(&row, "mu_Pa_s"));
        vapour.take(&at, water.vapour_pressure(), number(&row, "saturation_Pa"));
    }
    for comparison in [rho, speed, heat, mu, vapour] {
        comparison.end();
    }
}
