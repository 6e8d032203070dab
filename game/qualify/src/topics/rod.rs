//! A hose as a body: how it bends and hangs, and what tears at it where it parts.

use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{HANGING_ROD, HEAVY_ELASTICA, HOSE_WHIP, Row, rows};
use core::f64::consts::PI;
use glam::DVec3;
use mechanics::ground::Nothing;
use mechanics::rod::SUBSTEPS_MOST;
use mechanics::whip::{open_bore_thrust_n, stored_j};
use mechanics::{Anchor, Flat, GRAVITY_M_S2, Rod, RodEnd, RodSpec, Tether, TetherSpec, Tip};

const PARTS: &[Part] = &[Part::Line];
const CLOSED: &[&str] = &["closed_form"];
const ELASTICA: &[&str] = &["elastica_scipy"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity::relative("bend_down", "1", 0.01, ELASTICA, PARTS, |c| {
        sticks_out(c, "down_over_L", |tip| -tip.y);
    }),
    Quantity::relative("bend_along", "1", 0.01, ELASTICA, PARTS, |c| {
        sticks_out(c, "along_over_L", |tip| tip.x);
    }),
    Quantity::relative("hanging_sag", "m", 0.01, ELASTICA, PARTS, hangs),
    Quantity::relative("restraint_load", "kN", 0.02, CLOSED, PARTS, restrained),
    Quantity::relative("whip_energy", "kJ", 1.0e-5, CLOSED, PARTS, stored),
    Quantity::relative("open_bore_thrust", "N", 1.0e-5, CLOSED, PARTS, open_bore),
];

const DT: f64 = 1.0 / 480.0;

/// A hose of a weight, N/m, and a stiffness, N m2; damped by so many seconds, it soon hangs still.
fn hose(length_m: f64, segments: usize, weight: f64, stiffness: f64, damping_s: f64) -> RodSpec {
    RodSpec {
        length_m,
        segments,
        outer_radius_m: 0.01,
        empty_mass_kg_per_m: weight / GRAVITY_M_S2,
        bore_m: 0.0,
        bending_stiffness_n_m2: stiffness,
        stiffness_per_pa: 0.0,
        axial_stiffness_n: 1.0e6,
        damping_s,
        min_bend_radius_m: 0.0,
        friction_scale: 1.0,
        wave_speed_m_s: 1200.0,
        drag_coefficient: 1.2,
    }
}

fn settle(rod: &mut Rod, seconds: u32, start: RodEnd, end: RodEnd) {
    for _ in 0..480 * seconds {
        rod.substep(DT, start, end, 0.0, 0.0, &Nothing);
    }
}

/// The tip of a clamped hose under its own weight, in units of its length.
fn sticks_out(c: &mut Cases, column: &str, of: impl Fn(DVec3) -> f64) {
    // Weight and stiffness of a hose of 25 mm with its water.
    let (weight, stiffness) = (33.0, 42.0);
    for row in rows(HEAVY_ELASTICA) {
        let length = libm::cbrt(row.number("wL3_over_EI") * stiffness / weight);
        // Half of critical for its slowest swing (closed form of a cantilever).
        let swing = 3.52 * (GRAVITY_M_S2 / (row.number("wL3_over_EI") * length)).sqrt();
        let spec = hose(length, 24, weight, stiffness, 1.0 / swing);
        let tip = Rod::along(spec, &[DVec3::ZERO, DVec3::X * length], &Nothing).map(|mut rod| {
            let clamp = RodEnd::Fixed(DVec3::ZERO, DVec3::X);
            settle(&mut rod, 15, clamp, RodEnd::Free);
            rod.tip_position(Tip::End) / length
        });
        let at = format!("w L^3 / EI = {}", row.text("wL3_over_EI"));
        c.take(at, tip.map_or(f64::NAN, &of), row.number(column));
    }
}

/// The sag of a hose between two points.
fn hangs(c: &mut Cases) {
    for row in rows(HANGING_ROD) {
        let [span, length, weight, stiffness] =
            ["span_m", "L_m", "w_N_m", "EI_N_m2"].map(|k| row.number(k));
        let half = 0.5 * length;
        let low = 0.999 * (half * half - 0.25 * span * span).sqrt();
        let path = [
            DVec3::ZERO,
            DVec3::new(0.5 * span, -low, 0.0),
            DVec3::X * span,
        ];
        let segments = libm::round(length / 0.1) as usize;
        let spec = hose(length, segments, weight, stiffness, 0.3);
        let sag = Rod::along(spec, &path, &Nothing).map(|mut rod| {
            let ends = [path[0], path[2]].map(|p| RodEnd::Fixed(p, DVec3::ZERO));
            settle(&mut rod, 12, ends[0], ends[1]);
            rod.nodes().iter().map(|p| -p.y).fold(0.0, f64::max)
        });
        let at = format!("{length} m over {span} m, {weight} N/m, {stiffness} N m2");
        c.take(at, sag.unwrap_or(f64::NAN), row.number("sag_m"));
    }
}

/// A hose of the table, its cross-section and what it is called.
fn bore(row: &Row) -> (f64, String) {
    let bore = 1.0e-3 * row.number("ID_mm");
    let at = format!(
        "{} bar, {} mm, {} m",
        row.text("P_bar"),
        row.text("ID_mm"),
        row.text("L_m")
    );
    (PI / 4.0 * bore * bore, at)
}

/// The greatest load, kN, of a restraint without slack that an end-cap force tears at.
fn restrained(c: &mut Cases) {
    for row in rows(HOSE_WHIP) {
        let (area, at) = bore(&row);
        let force = area * row.pascal("P_bar");
        c.take(
            at,
            torn(force).map_or(f64::NAN, |peak| 1.0e-3 * peak),
            row.number("2PA_kN"),
        );
    }
}

/// The greatest load, N, of a restraint at the end of a short piece of hose that a force tears at
/// from one moment to the next.
fn torn(force_n: f64) -> Option<f64> {
    let ice = Flat {
        height: 0.0,
        friction: 0.0,
    };
    let spec = RodSpec {
        axial_stiffness_n: 1.0e9,
        ..hose(0.5, 2, 10.0, 8.0, 0.02)
    };
    let low = DVec3::Y * spec.outer_radius_m;
    let mut rod = Rod::along(spec, &[low, low + 0.5 * DVec3::X], &ice).ok()?;
    let mut tether = Tether::new(TetherSpec {
        slack_m: 0.0,
        stiffness_n_per_m: 3.0e5,
        damping_n_s_per_m: 0.0,
        strength_n: 1.0e7,
    })
    .ok()?;
    let anchor = Anchor::fixed(low);
    let dt = DT / SUBSTEPS_MOST as f64;
    for _ in 0..400 {
        tether.pull(dt, &mut rod, Tip::Start, &anchor);
        rod.push(0, DVec3::X * force_n);
        rod.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ice);
    }
    Some(tether.most_n())
}

/// The energy, kJ, that is in a hose when it parts.
fn stored(c: &mut Cases) {
    for row in rows(HOSE_WHIP) {
        let (_, at) = bore(&row);
        let volume = 1.0e-3 * row.number("V_L");
        let energy = stored_j(row.pascal("P_bar"), volume, 1.0e9 * row.number("Ke_GPa"));
        c.take(at, 1.0e-3 * energy, row.number("E_kJ"));
    }
}

/// The thrust of the pump's flow out of an open bore; the table is for 1000 kg/m3.
fn open_bore(c: &mut Cases) {
    for row in rows(HOSE_WHIP) {
        let (area, at) = bore(&row);
        let density = mechanics::rod::WATER_KG_PER_M3;
        let flow = density * row.number("Q_L_min") / 60_000.0;
        let thrust = open_bore_thrust_n(flow, area) * 1000.0 / density;
        c.take(at, thrust, row.number("steady_open_bore_thrust_N"));
    }
}
