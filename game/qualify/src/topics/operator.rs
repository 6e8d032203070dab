//! The operator: statics of a load, the jolt of a start.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{OPERATOR_BALANCE, Row, STARTUP_JOLT, rows};
use glam::DVec3;
use mechanics::body::balance::{StaticNeed, static_need};
use mechanics::{Body, BodyIntent, BodySpec, Flat, Stance};

const PARTS: &[Part] = &[Part::Operator];
const CLOSED: &[&str] = &["closed_form"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "ground_force",
        unit: "N",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: CLOSED,
        parts: PARTS,
        gather: |c| statics(c, "normal_N", |need| need.normal_n),
    },
    Quantity {
        id: "side_force",
        unit: "N",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: CLOSED,
        parts: PARTS,
        gather: |c| statics(c, "horiz_N", |need| need.horizontal_n),
    },
    Quantity {
        id: "friction_needed",
        unit: "1",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: CLOSED,
        parts: PARTS,
        gather: |c| statics(c, "mu_required", |need| need.friction),
    },
    Quantity {
        id: "feet_behind",
        unit: "m",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: CLOSED,
        parts: PARTS,
        gather: |c| statics(c, "b_required_m", |need| need.offset_m),
    },
    Quantity {
        id: "jolt_speed",
        unit: "m/s",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: CLOSED,
        parts: PARTS,
        gather: |c| jolt(c, "v_m_s", |speed, _| speed),
    },
    Quantity {
        id: "jolt_way",
        unit: "mm",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: CLOSED,
        parts: PARTS,
        gather: |c| jolt(c, "x_mm", |_, way| 1.0e3 * way),
    },
];

/// A load stands in the table once for each ground; what it asks of the ground is the same.
fn statics(c: &mut Cases, column: &str, of: impl Fn(&StaticNeed) -> f64) {
    let mut seen = Vec::new();
    for row in rows(OPERATOR_BALANCE) {
        let (sin, cos) = libm::sincos(row.number("jet_below_horiz_deg").to_radians());
        let force = row.number("F_N");
        let (mass, height) = (row.number("mass_kg"), row.number("h_m"));
        let need = static_need(mass, force * cos, force * sin, height);
        let [mass, force, height, down] =
            ["mass_kg", "F_N", "h_m", "jet_below_horiz_deg"].map(|k| row.text(k));
        let at = format!("{mass} kg, {force} N at {height} m, jet {down} degrees down");
        let told = (at.clone(), row.text(column).to_owned());
        if seen.contains(&told) {
            continue;
        }
        seen.push(told);
        let ours = need.as_ref().map_or(f64::NAN, &of);
        c.take(at, ours, row.number(column));
    }
}

/// Speed, m/s, and way, m, of a body that does not answer yet, under a thrust that rises evenly.
fn jolted(row: &Row) -> Option<(f64, f64)> {
    const DT: f64 = 1.0 / 480.0;
    let spec = BodySpec {
        mass_kg: row.number("mass_kg"),
        reaction_delay_s: row.number("tau_s"),
        ..BodySpec::default()
    };
    // Facing against z, so that the thrust pushes along it.
    let mut body = Body::new(spec, DVec3::ZERO, core::f64::consts::FRAC_PI_2).ok()?;
    let from = body.pose().com;
    let intent = BodyIntent {
        stance: Stance::Normal,
        ..BodyIntent::default()
    };
    let floor = Flat {
        height: 0.0,
        friction: 0.6,
    };
    let steps = libm::round(row.number("tau_s") / DT) as u32;
    for i in 0..steps {
        let time = (f64::from(i) + 0.5) * DT;
        let share = (time / row.number("t_rise_s")).min(1.0);
        body.substep(DT, &intent, DVec3::Z * (row.number("F_N") * share), &floor);
    }
    let pose = body.pose();
    Some((pose.com_velocity.z, pose.com.z - from.z))
}

fn jolt(c: &mut Cases, column: &str, of: impl Fn(f64, f64) -> f64) {
    for row in rows(STARTUP_JOLT) {
        let ours = jolted(&row).map_or(f64::NAN, |(speed, way)| of(speed, way));
        let [mass, force, rise, delay] =
            ["mass_kg", "F_N", "t_rise_s", "tau_s"].map(|k| row.text(k));
        let at = format!("{mass} kg, {force} N within {rise} s, {delay} s");
        c.take(at, ours, row.number(column));
    }
}
