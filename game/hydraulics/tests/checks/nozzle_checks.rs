//! Nozzle flow, speed and thrust.

use crate::reference::{Comparison, Row, number, table};
use hydraulics::NozzleSpec;
use hydraulics::nozzle::{ideal_speed, thrust};
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::units::{Length, Pressure, VolumeFlow};
use hydraulics::water::{CompressionCurve, Water};

fn water(celsius: f64) -> CompressionCurve {
    Water::at_celsius(celsius).isotherm()
}

/// Isentropic expansion by IAPWS-95 (CoolProp): exact speed, flow and thrust of an ideal jet.
#[test]
fn jet_speed_flow_and_thrust_follow_isentropic_expansion() {
    let mut speed = Comparison::relative("jet speed", 0.001);
    // The jet leaves up to 8 K colder than it came and so a little denser than is reckoned here:
    // 0.3 % at 40 degC and 2,800 bar, which shows in the flow and in part in the thrust.
    let mut flux = Comparison::relative("mass flux", 0.0025);
    let mut force = Comparison::relative("thrust per area", 0.0025);
    let mut psi = Comparison::relative("psi", 0.001);
    for row in table("nozzle_compressible.csv") {
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_gauge") * 1.0e5);
        let at = format!("{t} degC {p} Pa");
        let line = water(t);
        let ideal = NozzleSpec::round(1.0e-3, 1.0, 1.0);
        let flow = ideal.mass_flow(&line, p);
        let jet = ideal.jet(&line, p, flow);
        speed.take(&at, jet.speed_m_s, number(&row, "v_isen_m_s"));
        flux.take(&at, flow / ideal.area_m2(), number(&row, "G_kg_m2s"));
        force.take(
            &at,
            jet.thrust_n / ideal.area_m2(),
            number(&row, "F_per_A_Pa"),
        );
        psi.take(&at, line.psi_squared(p).sqrt(), number(&row, "psi_exact"));
    }
    speed.end();
    flux.end();
    force.end();
    psi.end();
}

/// The table is the incompressible law at 998.2 kg/m3 in closed form. The plain orifice must
/// meet it; the nozzle must fall short of it by psi, for which the exact value is tabled apart.
#[test]
fn the_incompressible_law_is_met_and_the_nozzle_falls_short_of_it_by_psi() {
    const RHO: f64 = 998.2;
    let mut orifice = Comparison::relative("incompressible flow", 2.0e-6);
    let mut law = Comparison::relative("incompressible thrust", 2.0e-6);
    let mut nozzle = Comparison::relative("nozzle flow over incompressible", 0.001);
    let mut force = Comparison::relative("nozzle thrust over incompressible", 0.002);
    let exact = table("nozzle_compressible.csv");
    let psi_at = |bar: f64| {
        let same = |r: &&Row| number(r, "T_C") == 20.0 && number(r, "P_bar_gauge") == bar;
        exact.iter().find(same).map(|r| number(r, "psi_exact"))
    };
    let line = water(20.0);
    for row in table("nozzle_flow_thrust.csv") {
        let at = format!("{row:?}");
        let (d, cd) = (number(&row, "d_mm") * 1.0e-3, number(&row, "Cd"));
        let (bar, v) = (number(&row, "P_bar"), number(&row, "v_ideal_m_s"));
        let want = VolumeFlow::from_litres_per_minute(number(&row, "Q_L_min")).m3_per_s();
        let plain = Conductance::of_opening(cd, round_area_m2(d), RHO).mass_flow(bar * 1.0e5) / RHO;
        // The straight end of the law takes five parts in a million at 100 bar and less above.
        orifice.take(&at, plain / (1.0 - 50.0 / (bar * 1.0e5)), want);
        law.take(&at, thrust(RHO * want, v), number(&row, "F_N"));
        if let Some(psi) = psi_at(bar) {
            let spec = NozzleSpec::round(d, cd, 1.0);
            let flow = spec.mass_flow(&line, bar * 1.0e5);
            nozzle.take(&at, flow / line.atmospheric_density() / want, psi);
            let jet = spec.jet(&line, bar * 1.0e5, flow);
            force.take(&at, jet.thrust_n / number(&row, "F_N"), psi * psi);
        }
    }
    orifice.end();
    law.end();
    nozzle.end();
    force.end();
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

/// Guidance on hand lancing (published; the source stands in the table).
#[test]
fn published_thrust_and_speed_of_hand_lances_are_met() {
    let line = water(20.0);
    let force = |bar: f64, litres: f64| {
        let m = VolumeFlow::from_litres_per_minute(litres).m3_per_s() * line.atmospheric_density();
        thrust(m, ideal_speed(&line, bar * 1.0e5))
    };
    meets("N1", force(1_000.0, 34.0));
    meets("N3", force(2_500.0, 20.0));
    meets("N5", force(2_500.0, 40.0));
    // Published as 0.97 of the ideal speed.
    meets("N2", 0.97 * ideal_speed(&line, 1.0e8));
    meets("N4", 0.97 * ideal_speed(&line, 2.5e8));
}

/// Fire-service figures and text-book exercises (sources in the table): low pressure, where the
/// compressible law must fall back on the plain one.
#[test]
fn published_fire_nozzles_and_text_book_cases_are_met() {
    let line = water(20.0);
    let rho = line.atmospheric_density();
    // Smooth bores in US units: gpm = 29.71 d^2 sqrt(psi) against 29.84 of the ideal law.
    let smooth =
        |inches: f64| NozzleSpec::round(Length::from_inches(inches).m(), 29.71 / 29.84, 1.0);
    let gpm = |q: f64| VolumeFlow::from_us_gallons_per_minute(q).m3_per_s() * rho;
    meets(
        "N6",
        Pressure::from_pa(smooth(1.25).pressure_for(&line, gpm(400.0))).psi(),
    );

    let tip = Pressure::from_psi(74.25).pa();
    let ideal = NozzleSpec::round(Length::from_inches(1.25).m(), 1.0, 1.0);
    let jet = ideal.jet(&line, tip, ideal.mass_flow(&line, tip));
    meets("N7", jet.thrust_n / 4.448_221_615);

    let fog = thrust(
        gpm(150.0),
        ideal_speed(&line, Pressure::from_psi(100.0).pa()),
    );
    meets("N8", fog / 4.448_221_615);

    let flow = smooth(15.0 / 16.0).mass_flow(&line, Pressure::from_psi(50.0).pa()) / rho;
    meets(
        "N9",
        VolumeFlow::from_m3_per_s(flow).us_gallons_per_minute(),
    );

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

/// N13 quotes the incompressible law in miles an hour. The real jet is slower by psi (exact
/// expansion), which is more than the quotation's tolerance: at 2,450 bar no incompressible
/// figure can be met by a compressible law, and should not be. N12 is no publication but an
/// evaluation of its own, and is left out.
#[test]
fn a_published_incompressible_speed_is_met_by_that_law_and_not_by_the_real_jet() {
    let line = water(20.0);
    let p = Pressure::from_psi(35_500.0).pa();
    let mph = 3_600.0 / 1_609.344;
    let real = ideal_speed(&line, p);
    meets("N13", real / line.psi_squared(p).sqrt() * mph);
    assert!(real * mph < 0.985 * number(&published("N13"), "expected"));
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
