//! Steady points of whole systems, by the solver that does not step time.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::rig;
use crate::tables::{OPERATING_POINT, Row, rows};
use hydraulics::steady::{OperatingPoint, Question, operating_point_at_speed};
use hydraulics::units::VolumeFlow;
use hydraulics::{CircuitSpec, HoseEnd, HoseSpec, NozzleSpec};

const PARTS: &[Part] = &[Part::Line, Part::Nozzle, Part::Regulator];
const SYSTEM: &[&str] = &["whole_system"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "point_pressure",
        unit: "bar",
        kind: Kind::Relative,
        tolerance: 0.003,
        sources: SYSTEM,
        parts: PARTS,
        gather: |c| {
            points(c, "at the pump", |row, point| {
                (1.0e-5 * point.pump_pressure_pa, row.number("P_pump_full"))
            });
            points(c, "at the nozzle", |row, point| {
                let want = row.number("P_nozzle_full");
                (1.0e-5 * point.nozzle_pressure_pa, want)
            });
        },
    },
    Quantity {
        id: "point_flow",
        unit: "L/min",
        kind: Kind::Relative,
        tolerance: 0.005,
        sources: SYSTEM,
        parts: PARTS,
        gather: |c| {
            points(c, "nozzle", |row, point| {
                let want = row.number("Q_nozzle_full_L_min");
                (litres(point.nozzle_flow_m3_s), want)
            });
        },
    },
    // By its share of the pump's flow, of which it is what the tool leaves; none may be left.
    Quantity {
        id: "point_bypass",
        unit: "1",
        kind: Kind::Difference,
        tolerance: 0.005,
        sources: SYSTEM,
        parts: PARTS,
        gather: |c| {
            points(c, "bypass", |row, point| {
                let pump = row.number("Q_pump_L_min");
                let want = row.number("Q_bypass_full") / pump;
                (litres(point.bypass_flow_m3_s) / pump, want)
            });
        },
    },
    Quantity {
        id: "point_thrust",
        unit: "N",
        kind: Kind::Relative,
        tolerance: 0.005,
        sources: SYSTEM,
        parts: PARTS,
        gather: |c| {
            points(c, "thrust", |row, point| {
                (point.thrust_n, row.number("F_full_N"))
            });
        },
    },
];

fn litres(m3_s: f64) -> f64 {
    VolumeFlow::from_m3_per_s(m3_s).litres_per_minute()
}

/// `8mm x 60m+5mm x 3m`; nothing if it does not read so.
fn hoses(text: &str) -> Option<Vec<HoseSpec>> {
    let number = |text: &str, unit: &str| text.trim().strip_suffix(unit)?.trim().parse().ok();
    text.split('+')
        .map(|part| {
            let (bore, length) = part.split_once('x')?;
            let bore_mm: f64 = number(bore, "mm")?;
            Some(rig::hose(1.0e-3 * bore_mm, number(length, "m")?))
        })
        .collect()
}

/// The knob as an operator sets it: wound until the settled gauge shows the tabled pressure while
/// the tabled flow is bypassed. The table's regulator is ideal; this one has an override.
fn knob(spec: &CircuitSpec, row: &Row) -> f64 {
    const RHO: f64 = 998.2;
    let set = row.pascal("P_reg_bar");
    let bypass = VolumeFlow::from_litres_per_minute(row.number("Q_bypass_full")).m3_per_s();
    let mut knob = spec.regulator.knob_for(set);
    for _ in 0..20 {
        knob *= set / spec.regulator.static_pressure_pa(knob, RHO * bypass, RHO);
    }
    knob
}

fn solved(row: &Row) -> Option<OperatingPoint> {
    let flow = VolumeFlow::from_litres_per_minute(row.number("Q_pump_L_min")).m3_per_s();
    let spec = rig::without_losses(flow, hoses(row.text("hoses"))?);
    let nozzle = NozzleSpec {
        count: row.number("n_nozzles") as u8,
        ..NozzleSpec::round(1.0e-3 * row.number("d_mm"), row.number("Cd"), 1.0)
    };
    let question = Question {
        throttle: 1.0,
        regulator_knob: knob(&spec, row),
        hose_end: HoseEnd::Nozzle(nozzle),
        temperature_c: 20.0,
    };
    Some(operating_point_at_speed(
        &spec,
        &question,
        rig::ENGINE_RAD_S,
    ))
}

/// What a row tells and what was solved, and both as the values to be compared.
fn points(c: &mut Cases, what: &str, of: impl Fn(&Row, &OperatingPoint) -> (f64, f64)) {
    for row in rows(OPERATING_POINT) {
        let found = solved(&row);
        let (ours, reference) = found.map_or((f64::NAN, 0.0), |point| of(&row, &point));
        let [set, hoses, d] = ["P_reg_bar", "hoses", "d_mm"].map(|k| row.text(k));
        c.take(
            format!("{set} bar, {hoses}, {d} mm, {what}"),
            ours,
            reference,
        );
    }
}
