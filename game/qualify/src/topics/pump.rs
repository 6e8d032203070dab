//! The plunger pump: displacement, power, compressed clearance, ripple.

use crate::case::Kind;
use crate::published::checks;
use crate::quantity::{Cases, Part, Quantity};
use crate::rig;
use crate::tables::{PUMP_CLEARANCE, PUMP_DISPLACEMENT, PUMP_POWER, PUMP_RIPPLE, Row, rows};
use crate::topics::water::{SUCTION_ABS_PA, held, state};
use core::f64::consts::TAU;
use hydraulics::units::{AngularSpeed, Power, Pressure, VolumeFlow};
use hydraulics::water::{ATMOSPHERE_PA, Water};
use hydraulics::{PumpSpec, SuctionSpec};

const PUMP: &[Part] = &[Part::Pump];
const CLOSED: &[&str] = &["closed_form"];
const CRANK: &[&str] = &["slider_crank"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "displacement",
        unit: "L/min",
        kind: Kind::Relative,
        tolerance: 2.0e-6,
        sources: CLOSED,
        parts: PUMP,
        gather: displacement,
    },
    Quantity {
        id: "rod_load",
        unit: "kN",
        kind: Kind::Relative,
        tolerance: 2.0e-6,
        sources: CLOSED,
        parts: PUMP,
        gather: rod_load,
    },
    Quantity {
        id: "hydraulic_power",
        unit: "kW",
        kind: Kind::Relative,
        tolerance: 2.0e-6,
        sources: CLOSED,
        parts: PUMP,
        gather: hydraulic_power,
    },
    // The trade divides by a rounded 1,714, which is 1.7e-4 off.
    Quantity {
        id: "hydraulic_horsepower",
        unit: "hp",
        kind: Kind::Relative,
        tolerance: 2.0e-4,
        sources: CLOSED,
        parts: PUMP,
        gather: horsepower,
    },
    Quantity {
        id: "shaft_power",
        unit: "kW",
        kind: Kind::Relative,
        tolerance: 2.0e-6,
        sources: CLOSED,
        parts: PUMP,
        gather: shaft_power,
    },
    Quantity {
        id: "clearance_efficiency",
        unit: "1",
        kind: Kind::Relative,
        tolerance: 1.0e-4,
        sources: &["iapws95"],
        parts: PUMP,
        gather: clearance,
    },
    Quantity {
        id: "ripple_peak_to_peak",
        unit: "%",
        kind: Kind::Relative,
        tolerance: 1.0e-4,
        sources: CRANK,
        parts: PUMP,
        gather: |c| ripple(c, "peak_to_peak_pct", |least, most| most - least),
    },
    Quantity {
        id: "ripple_above",
        unit: "%",
        kind: Kind::Relative,
        tolerance: 1.0e-4,
        sources: CRANK,
        parts: PUMP,
        gather: |c| ripple(c, "max_minus_mean_pct", |_, most| most - 1.0),
    },
    Quantity {
        id: "ripple_below",
        unit: "%",
        kind: Kind::Relative,
        tolerance: 1.0e-4,
        sources: CRANK,
        parts: PUMP,
        gather: |c| ripple(c, "min_minus_mean_pct", |least, _| least - 1.0),
    },
];

fn plungers(row: &Row) -> (PumpSpec, String) {
    let [n, d, s, rpm] = ["n", "plunger_mm", "stroke_mm", "rpm"].map(|k| row.text(k));
    let spec = PumpSpec {
        cylinders: row.number("n") as u8,
        plunger_diameter_m: 1.0e-3 * row.number("plunger_mm"),
        stroke_m: 1.0e-3 * row.number("stroke_mm"),
        ..rig::pump()
    };
    (spec, format!("{n} plungers, {d} x {s} mm, {rpm} rpm"))
}

fn displacement(c: &mut Cases) {
    for row in rows(PUMP_DISPLACEMENT) {
        let (spec, at) = plungers(&row);
        let speed = AngularSpeed::from_rpm(row.number("rpm")).rad_per_s();
        let flow = VolumeFlow::from_m3_per_s(spec.swept_flow_m3_s(speed));
        c.take(at, flow.litres_per_minute(), row.number("Q_disp_L_min"));
    }
}

fn rod_load(c: &mut Cases) {
    for row in rows(PUMP_DISPLACEMENT) {
        let (spec, at) = plungers(&row);
        let ours = 1.0e-3 * spec.rod_load_n(1.0e8);
        c.take(at, ours, row.number("rod_load_kN_at_1000bar"));
    }
}

/// Power at the shaft of a pump with a mechanical efficiency.
fn power(pressure_pa: f64, flow_m3_s: f64, mechanical_efficiency: f64) -> Power {
    let spec = PumpSpec {
        mechanical_efficiency,
        ..rig::pump()
    };
    Power::from_w(spec.shaft_power_w(pressure_pa, flow_m3_s))
}

fn tabled(c: &mut Cases, column: &str, of: impl Fn(f64, f64) -> f64) {
    for row in rows(PUMP_POWER) {
        let flow = VolumeFlow::from_litres_per_minute(row.number("Q_L_min"));
        let ours = of(row.pascal("P_bar"), flow.m3_per_s());
        let at = format!("{} L/min, {} bar", row.text("Q_L_min"), row.text("P_bar"));
        c.take(at, ours, row.number(column));
    }
}

fn hydraulic_power(c: &mut Cases) {
    tabled(c, "hyd_kW", |p, q| power(p, q, 1.0).kw());
}

fn horsepower(c: &mut Cases) {
    tabled(c, "hyd_hp", |p, q| power(p, q, 1.0).hp());
    for check in checks() {
        if check.quantity() == "hydraulic power" {
            let given = |unit| check.given(unit).unwrap_or(f64::NAN);
            let flow = VolumeFlow::from_us_gallons_per_minute(given("gpm")).m3_per_s();
            let ours = power(Pressure::from_psi(given("psi")).pa(), flow, 1.0);
            c.take_published(&check, ours.hp(), check.expected());
        }
    }
}

fn shaft_power(c: &mut Cases) {
    tabled(c, "shaft_kW_at_0.95", |p, q| power(p, q, 0.95).kw());
}

/// Counted at suction density, and the same counted at that of the discharge.
fn clearance(c: &mut Cases) {
    for row in held(PUMP_CLEARANCE) {
        let spec = PumpSpec {
            clearance_ratio: row.number("c_clearance"),
            suction: SuctionSpec {
                still_pressure_pa: SUCTION_ABS_PA - ATMOSPHERE_PA,
                ..rig::pump().suction
            },
            ..rig::pump()
        };
        let p = row.pascal("P_bar_gauge");
        let line = Water::at_celsius(row.number("T_C")).isentrope();
        let ours = spec.clearance_efficiency(&line, p);
        let at = format!(
            "{}, clearance {}",
            state(&row, "P_bar_gauge"),
            row.text("c_clearance")
        );
        c.take(
            format!("{at}, at suction"),
            ours,
            row.number("eta_v_suction"),
        );
        let squeezed = line.at(p).density / line.at(spec.suction.still_pressure_pa).density;
        let want = row.number("eta_v_discharge");
        c.take(format!("{at}, at discharge"), ours / squeezed, want);
    }
}

/// Percent of the mean, from the least and the greatest flow over the mean within a turn.
fn ripple(c: &mut Cases, column: &str, of: impl Fn(f64, f64) -> f64) {
    for row in rows(PUMP_RIPPLE) {
        let cylinders = row.number("n_plungers") as u8;
        let spec = PumpSpec {
            cylinders,
            crank_ratio: row.number("lambda_r_over_l"),
            ..rig::pump()
        };
        let mean = spec.displacement_m3() / TAU;
        // The flow has its corners where a plunger turns round, which angles so chosen meet.
        let steps = 1_000 * u32::from(cylinders).max(1) * 2;
        let (mut least, mut most) = (f64::MAX, f64::MIN);
        for i in 0..steps {
            let angle = TAU * f64::from(i) / f64::from(steps);
            let flow = spec.delivery_per_rad_m3(angle) / mean;
            (least, most) = (least.min(flow), most.max(flow));
        }
        let ours = 100.0 * of(least, most);
        let at = format!("{cylinders} plungers, crank ratio {}", spec.crank_ratio);
        c.take(at, ours, row.number(column));
    }
}
