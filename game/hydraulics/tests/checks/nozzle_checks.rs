//! Nozzle flow, speed and thrust.

use crate::reference::{Comparison, Row, number, table};
use hydraulics::NozzleSpec;
use hydraulics::nozzle::{ideal_speed, thrust};
use hydraulics::orifice::round_area_m2;
use hydraulics::units::{Pressure, VolumeFlow};
use hydraulics::water::{CompressionCurve, Water};

fn water(celsius: f64) -> CompressionCurve {
    Water::at_celsius(celsius).isotherm()
}

fn published(id: &str) -> Row {
    let rows = table("published_checks.csv");
    rows.into_iter()
        .find(|r| r["id"] == id)
        .unwrap_or_else(|| panic!("no row {id}"))
}

fn tolerance(row: &Row) -> f64 {
    row["tolerance"]
        .trim_end_matches('%')
        .trim()
        .parse::<f64>()
        .expect("a percentage")
        * 0.01
}

fn meets(id: &'static str, got: f64) {
    let row = published(id);
    let mut c = Comparison::relative(id, tolerance(&row));
    c.take(&row["inputs"], got, number(&row, "expected"));
    c.end();
    // The same check refuses a value that is wrong by twice its tolerance.
    let mut wrong = Comparison::relative(id, tolerance(&row));
    wrong.take(
        "shifted",
        number(&row, "expected") * (1.0 + 2.0 * tolerance(&row)),
        number(&row, "expected"),
    );
    assert!(wrong.refuses());
}

/// Exercises of text books whose answers are from memory (see the table), so that they prove
/// little and stand here and not in the crate `qualify`.
#[test]
fn text_book_cases_from_memory_are_met() {
    let rho = water(20.0).atmospheric_density();
    // The change of momentum only: jet speed less hose speed.
    let q = VolumeFlow::from_litres_per_minute(400.0).m3_per_s();
    meets(
        "N10",
        thrust(
            rho * q,
            q / round_area_m2(0.0077) - q / round_area_m2(0.069),
        ),
    );
    let q = 5.0 / 60.0;
    meets("N11", thrust(rho * q, q / round_area_m2(0.06)));
}

/// Figures that are published for very high pressure are often those of the incompressible law,
/// which no compressible one can meet, nor should.
#[test]
fn at_2450_bar_the_real_jet_is_slower_than_the_incompressible_law_by_two_percent() {
    let line = water(20.0);
    let p = Pressure::from_psi(35_500.0).pa();
    let plain = (2.0 * p / line.atmospheric_density()).sqrt();
    let ratio = ideal_speed(&line, p) / plain;
    assert!((0.97..0.985).contains(&ratio), "{ratio}");
}

#[test]
fn wear_and_blockage_change_flow_by_their_share_of_area() {
    let line = water(20.0);
    let new = NozzleSpec::round(1.4e-3, 0.95, 0.97);
    let flow = new.mass_flow(&line, 7.0e7);
    let worn = NozzleSpec { worn: 0.21, ..new }.mass_flow(&line, 7.0e7);
    let half = NozzleSpec {
        blocked: 0.5,
        ..new
    }
    .mass_flow(&line, 7.0e7);
    assert!((worn / flow - 1.21).abs() < 1.0e-9);
    assert!((half / flow - 0.5).abs() < 1.0e-9);
    assert_eq!(
        NozzleSpec {
            blocked: 1.0,
            ..new
        }
        .mass_flow(&line, 7.0e7),
        0.0
    );
    assert_eq!(
        NozzleSpec {
            bore_m: f64::NAN,
            ..new
        }
        .mass_flow(&line, 7.0e7),
        0.0
    );
    let two = NozzleSpec { count: 2, ..new }.mass_flow(&line, 7.0e7);
    assert!((two / flow - 2.0).abs() < 1.0e-9);
}

#[test]
fn pressure_for_a_flow_is_the_inverse_of_flow_at_a_pressure() {
    let line = water(20.0);
    // Published consequence of compressibility where the pump sets the flow: 22 L/min through
    // 0.9 mm, Cd 0.95, needs 1,906 bar, not 1,837 (operating_point.csv, first row).
    let spec = NozzleSpec::round(0.9e-3, 0.95, 1.0);
    let m = VolumeFlow::from_litres_per_minute(22.0).m3_per_s() * 998.207;
    let p = spec.pressure_for(&line, m);
    let mut c = Comparison::relative("pressure for 22 L/min", 0.003);
    c.take("0.9 mm", p, 1_905.752e5);
    c.end();
    assert!((spec.mass_flow(&line, p) / m - 1.0).abs() < 1.0e-6);
    assert_eq!(
        NozzleSpec {
            blocked: 1.0,
            ..spec
        }
        .pressure_for(&line, m),
        f64::INFINITY
    );
}
