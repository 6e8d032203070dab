//! Pump: displacement, power, clearance, ripple.

use crate::example::{rpm, tri_80};
use crate::reference::{Comparison, number, table};
use hydraulics::PumpSpec;
use hydraulics::units::{Power, Pressure, VolumeFlow};
use hydraulics::water::Water;
use std::f64::consts::TAU;

fn lossless(cylinders: u8, diameter_m: f64, stroke_m: f64, crank_ratio: f64) -> PumpSpec {
    PumpSpec {
        cylinders,
        plunger_diameter_m: diameter_m,
        stroke_m,
        crank_ratio,
        clearance_ratio: 0.0,
        leakage_m3_s_pa: 0.0,
        valve_loss: 0.0,
        ..tri_80().pump
    }
}

/// Closed form.
#[test]
fn displacement_and_rod_load_are_those_of_the_plungers() {
    let mut flow = Comparison::relative("displacement", 2.0e-6);
    let mut load = Comparison::relative("rod load", 2.0e-6);
    for row in table("pump_displacement.csv") {
        let (d, s) = (
            number(&row, "plunger_mm") * 1.0e-3,
            number(&row, "stroke_mm") * 1.0e-3,
        );
        let spec = lossless(number(&row, "n") as u8, d, s, 0.2);
        let q = spec.swept_flow_m3_s(rpm(number(&row, "rpm")));
        flow.take(
            d,
            VolumeFlow::from_m3_per_s(q).litres_per_minute(),
            number(&row, "Q_disp_L_min"),
        );
        load.take(
            d,
            spec.rod_load_n(1.0e8) * 1.0e-3,
            number(&row, "rod_load_kN_at_1000bar"),
        );
    }
    flow.end();
    load.end();
}

/// Closed form; rows P1 and P2 are the pair of one power end with two kits.
#[test]
fn power_is_pressure_times_flow_over_efficiency() {
    let ideal = PumpSpec {
        mechanical_efficiency: 1.0,
        ..tri_80().pump
    };
    let real = PumpSpec {
        mechanical_efficiency: 0.95,
        ..tri_80().pump
    };
    let mut kw = Comparison::relative("hydraulic power", 2.0e-6);
    // The table divides by the trade's rounded 1,714; exact units give 1,714.29.
    let mut hp = Comparison::relative("hydraulic power, hp", 2.0e-4);
    let mut shaft = Comparison::relative("shaft power", 2.0e-6);
    for row in table("pump_power.csv") {
        let p = Pressure::from_bar(number(&row, "P_bar")).pa();
        let q = VolumeFlow::from_litres_per_minute(number(&row, "Q_L_min")).m3_per_s();
        kw.take(
            p,
            Power::from_w(ideal.shaft_power_w(p, q)).kw(),
            number(&row, "hyd_kW"),
        );
        hp.take(
            p,
            Power::from_w(ideal.shaft_power_w(p, q)).hp(),
            number(&row, "hyd_hp"),
        );
        shaft.take(
            p,
            Power::from_w(real.shaft_power_w(p, q)).kw(),
            number(&row, "shaft_kW_at_0.95"),
        );
    }
    kw.end();
    hp.end();
    shaft.end();
    let mut pair = Comparison::relative("P1 and P2", 0.002);
    for (id, gpm, psi) in [("P1", 72.0, 20_000.0), ("P2", 143.0, 10_000.0)] {
        let q = VolumeFlow::from_us_gallons_per_minute(gpm).m3_per_s();
        let got = ideal.shaft_power_w(Pressure::from_psi(psi).pa(), q);
        let rows = table("published_checks.csv");
        let row = rows.iter().find(|r| r["id"] == id).expect("the row");
        pair.take(id, Power::from_w(got).hp(), number(row, "expected"));
    }
    pair.end();
}

/// Isentropic compression by IAPWS-95 (CoolProp) from 3 bar absolute.
#[test]
fn clearance_efficiency_follows_the_compression_of_the_water() {
    // What is lost grows with the clearance, and so does what an error in density does to it.
    let mut c = Comparison::relative("clearance efficiency over clearance", 0.001);
    for row in table("pump_clearance_efficiency.csv") {
        let spec = PumpSpec {
            clearance_ratio: number(&row, "c_clearance"),
            suction_pressure_pa: 3.0e5 - 101_325.0,
            ..tri_80().pump
        };
        let (t, p) = (number(&row, "T_C"), number(&row, "P_bar_gauge") * 1.0e5);
        let line = Water::at_celsius(t).isentrope();
        let at = format!("{t} degC {p} Pa c {}", spec.clearance_ratio);
        let off = spec.clearance_efficiency(&line, p) - number(&row, "eta_v_suction");
        c.take_difference(at, off / spec.clearance_ratio.max(1.0), 0.0);
    }
    c.end();
}

/// Kinematics by 72,000 crank steps.
#[test]
fn ripple_is_that_of_the_slider_crank() {
    const STEPS: u32 = 36_000;
    let mut peak = Comparison::relative("ripple, points of the mean", 0.05);
    let mut swept = Comparison::relative("ripple by swept volume, points", 0.05);
    for row in table("pump_ripple.csv") {
        let n = number(&row, "n_plungers");
        let spec = lossless(n as u8, 0.02, 0.07, number(&row, "lambda_r_over_l"));
        let mean = spec.displacement_m3() / TAU;
        let step = TAU / f64::from(STEPS);
        let (mut most, mut least) = (f64::MIN, f64::MAX);
        let (mut most_swept, mut least_swept) = (f64::MIN, f64::MAX);
        for i in 0..STEPS {
            let angle = step * f64::from(i);
            let rate = spec.delivery_per_rad_m3(angle) / mean;
            (most, least) = (most.max(rate), least.min(rate));
            let volume = spec.delivered_m3(angle + step) - spec.delivered_m3(angle);
            let rate = volume / step / mean;
            (most_swept, least_swept) = (most_swept.max(rate), least_swept.min(rate));
        }
        let at = format!("n {n} lambda {}", spec.crank_ratio);
        peak.take_difference(
            &at,
            100.0 * (most - least),
            number(&row, "peak_to_peak_pct"),
        );
        peak.take_difference(
            &at,
            100.0 * (most - 1.0),
            number(&row, "max_minus_mean_pct"),
        );
        peak.take_difference(
            &at,
            100.0 * (least - 1.0),
            number(&row, "min_minus_mean_pct"),
        );
        swept.take_difference(
            &at,
            100.0 * (most_swept - least_swept),
            number(&row, "peak_to_peak_pct"),
        );
    }
    peak.end();
    swept.end();
}

#[test]
fn a_turn_delivers_the_displacement_in_steps_of_any_length() {
    let spec = lossless(3, 0.0267, 0.07, 0.2);
    for steps in [1_u32, 3, 7, 100] {
        let step = TAU / f64::from(steps);
        let sum: f64 = (0..steps)
            .map(|i| {
                let angle = 1.3 + step * f64::from(i);
                spec.delivered_m3(angle + step) - spec.delivered_m3(angle)
            })
            .sum();
        assert!(
            (sum / spec.displacement_m3() - 1.0).abs() < 1.0e-12,
            "{steps} steps: {sum}"
        );
    }
}

#[test]
fn leakage_takes_more_of_the_flow_the_slower_the_pump() {
    let spec = PumpSpec {
        leakage_m3_s_pa: 5.0e-13,
        clearance_ratio: 0.0,
        ..tri_80().pump
    };
    let line = Water::at_celsius(20.0).isentrope();
    let efficiency = |speed: f64| {
        let swept = spec.swept_flow_m3_s(speed) * line.atmospheric_density();
        spec.mean_mass_flow(&line, speed, 7.0e7) / swept
    };
    let (slow, fast) = (efficiency(rpm(200.0)), efficiency(rpm(500.0)));
    assert!(slow < fast && fast < 1.0 - spec.valve_loss);
    assert_eq!(spec.mean_mass_flow(&line, 0.0, 7.0e7), 0.0);
}
