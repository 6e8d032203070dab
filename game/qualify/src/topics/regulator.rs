//! The bypass regulator when its tool shuts: where it settles, how high it goes, whether it hunts.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{REGULATING_VALVE, Row, rows};
use core::f64::consts::PI;
use hydraulics::line::Line;
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::regulator::{Motion, Poppet, Valve};
use hydraulics::storage::{Liquid, Volume};
use hydraulics::units::VolumeFlow;

const PARTS: &[Part] = &[Part::Regulator];
const SOURCES: &[&str] = &["poppet"];
/// Density of the table's water, kg/m3.
const RHO: f64 = 998.2;
/// The simulator's own step, s.
const STEP_S: f64 = 1.0 / 960.0;
/// Where it is asked whether the valve hunts, steps are so many times finer: those of the simulator
/// damp a swing of 130 Hz by some percent, and a valve at the very edge comes to rest by them.
const FINER: u32 = 16;
/// Swing of the last half second, as a share of the set point, from which the valve counts as
/// hunting.
const HUNTS: f64 = 0.005;

pub const QUANTITIES: &[Quantity] = &[
    Quantity::relative("regulator_settles_at", "bar", 0.001, SOURCES, PARTS, |c| {
        each(c, 1, |c, row, found| {
            // A valve that hunts settles nowhere.
            if is_stable(row) {
                c.take(
                    named(row),
                    found.settled_bar,
                    row.number("P_static_after_bar"),
                );
            }
        })
    }),
    Quantity::relative("regulator_peak", "bar", 0.005, SOURCES, PARTS, |c| {
        each(c, 1, |c, row, found| {
            if is_stable(row) {
                c.take(named(row), found.peak_bar, row.number("P_peak_bar"));
            }
        })
    }),
    Quantity::relative("regulator_lift", "mm", 0.005, SOURCES, PARTS, |c| {
        each(c, 1, |c, row, found| {
            if is_stable(row) {
                c.take(named(row), found.lift_mm, row.number("x_after_mm"));
            }
        })
    }),
    Quantity {
        id: "regulator_hunts",
        unit: "1",
        kind: Kind::Difference,
        tolerance: 0.5,
        sources: SOURCES,
        parts: PARTS,
        gather: |c| {
            each(c, FINER, |c, row, found| {
                let hunts = |yes| if yes { 1.0 } else { 0.0 };
                c.take(named(row), hunts(found.hunts), hunts(!is_stable(row)));
            });
        },
    },
];

fn is_stable(row: &Row) -> bool {
    row.text("verdict") == "stable"
}

fn named(row: &Row) -> String {
    format!(
        "{}: {} bar, {} L, {} N/mm, {} N s/m, shut in {} s",
        row.text("case"),
        row.text("P_set_bar"),
        row.text("V_L"),
        row.text("k_N_mm"),
        row.text("c_Ns_m"),
        row.text("t_close_s")
    )
}

struct Found {
    settled_bar: f64,
    lift_mm: f64,
    peak_bar: f64,
    hunts: bool,
}

fn each(c: &mut Cases, finer: u32, take: fn(&mut Cases, &Row, &Found)) {
    for row in rows(REGULATING_VALVE) {
        let found = shut(&row, finer);
        take(c, &row, &found);
    }
}

/// A nozzle that shuts in a straight line while the pump goes on: no hose, no flow force.
fn shut(row: &Row, finer: u32) -> Found {
    let step_s = STEP_S / f64::from(finer);
    let flow = |column| VolumeFlow::from_litres_per_minute(row.number(column)).m3_per_s();
    let set = row.pascal("P_set_bar");
    let seat = 1.0e-3 * row.number("seat_mm");
    let poppet = Poppet {
        mass_kg: row.number("m_kg"),
        seat_area_m2: round_area_m2(seat),
        gap_cd_width_m: 0.7 * PI * seat,
        damping_n_s_m: row.number("c_Ns_m"),
        stiffness_n_m: 1.0e3 * row.number("k_N_mm"),
        preload_n: row.number("F0_N"),
        max_lift_m: 2.0e-3,
        flow_force_area_per_m: 0.0,
    };
    let volume = Volume {
        m3: 1.0e-3 * row.number("V_L"),
        wall_give_1_pa: 0.0,
    };
    let liquid = Liquid::Proportional {
        density: RHO,
        modulus_pa: 1.0e9 * row.number("Ke_GPa"),
    };
    let mut line = Line::lumped(liquid, volume).at_pressure(set);
    let motion = Motion {
        lift_m: 1.0e-3 * row.number("x0_mm"),
        speed_m_s: 0.0,
    };
    let mut valve = Valve::new(poppet, motion, RHO);
    let pumped = RHO * flow("Q_pump_L_min");
    let open = RHO * flow("Q_nozzle_L_min") / set.sqrt();
    let shut_in = row.number("t_close_s");
    let steps = (4.0 / step_s) as u32;
    let (mut peak, mut late) = (0.0_f64, (f64::INFINITY, 0.0_f64));
    for step in 0..steps {
        let time = step_s * (f64::from(step) + 1.0);
        let opening = (1.0 - time / shut_in).max(0.0);
        line.open(0, Conductance(open * opening));
        line.step(step_s, pumped, &mut valve);
        let now = line.head_pa();
        peak = peak.max(now);
        if time > 3.5 {
            late = (late.0.min(now), late.1.max(now));
        }
    }
    Found {
        settled_bar: 1.0e-5 * line.head_pa(),
        lift_mm: 1.0e3 * valve.motion.lift_m,
        peak_bar: 1.0e-5 * peak,
        hunts: late.1 - late.0 > HUNTS * set,
    }
}
