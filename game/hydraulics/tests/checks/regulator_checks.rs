//! The regulator's poppet on a lumped line, against an integrated case.

use crate::example::{DT, tri_80};
use crate::reference::{Comparison, Row, number, table};
use hydraulics::RegulatorSpec;
use hydraulics::line::Line;
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::regulator::{Motion, Poppet, Valve};
use hydraulics::storage::{Liquid, Volume};
use hydraulics::units::VolumeFlow;
use std::f64::consts::PI;

const RHO: f64 = 998.2;

struct Shut {
    settled_pa: f64,
    settled_lift_m: f64,
    peak_pa: f64,
    peak_s: f64,
}

/// A nozzle that shuts in a straight line while the pump goes on.
fn shut(row: &Row, dt: f64) -> Shut {
    let flow = |column: &str| VolumeFlow::from_litres_per_minute(number(row, column)).m3_per_s();
    let set = number(row, "P_set_bar") * 1.0e5;
    let seat = number(row, "seat_mm") * 1.0e-3;
    let poppet = Poppet {
        mass_kg: number(row, "m_kg"),
        seat_area_m2: round_area_m2(seat),
        gap_cd_width_m: 0.7 * PI * seat,
        damping_n_s_m: number(row, "c_Ns_m"),
        stiffness_n_m: number(row, "k_N_mm") * 1.0e3,
        preload_n: number(row, "F0_N"),
        max_lift_m: 2.0e-3,
        flow_force_area_per_m: 0.0,
    };
    let volume = Volume {
        m3: number(row, "V_L") * 1.0e-3,
        wall_give_1_pa: 0.0,
    };
    let modulus_pa = number(row, "Ke_GPa") * 1.0e9;
    let liquid = Liquid::Proportional {
        density: RHO,
        modulus_pa,
    };
    let mut line = Line::lumped(liquid, volume).at_pressure(set);
    let motion = Motion {
        lift_m: number(row, "x0_mm") * 1.0e-3,
        speed_m_s: 0.0,
    };
    let mut valve = Valve::new(poppet, motion, RHO);
    let pumped = RHO * flow("Q_pump_L_min");
    let open = RHO * flow("Q_nozzle_L_min") / set.sqrt();
    let (mut time, mut peak_pa, mut peak_s) = (0.0, 0.0, 0.0);
    while time < 4.0 {
        time += dt;
        let opening = (1.0 - time / number(row, "t_close_s")).max(0.0);
        line.open(0, Conductance(open * opening));
        line.step(dt, pumped, &mut valve);
        if line.head_pa() > peak_pa {
            (peak_pa, peak_s) = (line.head_pa(), time);
        }
    }
    Shut {
        settled_pa: line.head_pa(),
        settled_lift_m: valve.motion.lift_m,
        peak_pa,
        peak_s,
    }
}

/// Radau integration of the same equations. With steps a hundred times finer the line meets it
/// in everything. With the simulator's own step the settled state is the same, and peaks come out
/// lower: half a step of a rise of 225 bar in 70 steps (the slow valve) is 0.15 %, and the
/// implicit step damps what turns quickly besides.
#[test]
fn the_bypass_takes_over_when_the_gun_shuts() {
    let mut settled = Comparison::relative("settled pressure", 0.0005);
    let mut lift = Comparison::relative("settled lift", 0.002);
    let mut peak = Comparison::relative("peak, fine", 0.001);
    let mut when = Comparison::relative("time of peak, fine, s", 0.002);
    let mut coarse = Comparison::relative("peak, simulator's step", 0.005);
    for row in table("regulating_valve.csv") {
        let case = row["case"].as_str();
        for dt in [DT, DT / 100.0] {
            let got = shut(&row, dt);
            let at = format!("{case} dt {dt}");
            settled.take(
                &at,
                got.settled_pa,
                number(&row, "P_static_after_bar") * 1.0e5,
            );
            lift.take(&at, got.settled_lift_m, number(&row, "x_after_mm") * 1.0e-3);
            let want = number(&row, "P_peak_bar") * 1.0e5;
            if dt < DT {
                peak.take(&at, got.peak_pa, want);
                // The stiff valve creeps up to its settled pressure: no peak in time.
                if want > 1.001e5 * number(&row, "P_static_after_bar") {
                    when.take_difference(&at, got.peak_s, number(&row, "t_peak_s"));
                }
            } else {
                coarse.take(&at, got.peak_pa, want);
            }
        }
    }
    settled.end();
    lift.end();
    peak.end();
    when.end();
    coarse.end();
}

#[test]
fn the_knob_for_a_set_point_gives_it() {
    let spec = tri_80().regulator;
    let knob = spec.knob_for(7.0e7);
    assert!((spec.set_pressure_pa(knob) / 7.0e7 - 1.0).abs() < 1.0e-12);
    assert!((0.5..1.0).contains(&knob));
    // The override of the whole flow stays within a percent.
    let settled = spec.static_pressure_pa(knob, 0.7, 998.2);
    assert!(settled > 7.0e7 && settled < 7.07e7, "{settled}");
}

/// Momentum of the jet under a sharp poppet, `2 Cd A(x) P cos 69 deg`, against its lift: with
/// nothing trimmed about 3 to 6 % of the load (from memory), and the pressure rises by as much.
#[test]
fn the_flow_force_raises_the_settled_pressure_of_an_untrimmed_poppet() {
    let spec = RegulatorSpec {
        flow_force_left: 1.0,
        ..tri_80().regulator
    };
    let trimmed = RegulatorSpec {
        flow_force_left: 0.0,
        ..spec.clone()
    };
    let knob = spec.knob_for(7.0e7);
    let flow = RHO * VolumeFlow::from_litres_per_minute(100.0).m3_per_s();
    let raw = spec.static_pressure_pa(knob, flow, RHO);
    let share = raw / trimmed.static_pressure_pa(knob, flow, RHO) - 1.0;
    assert!((0.03..0.07).contains(&share), "{share}");
    // The moving poppet settles where the balance of forces says.
    let poppet = spec.poppet(knob * spec.max_air_pressure_pa);
    let volume = Volume {
        m3: 3.0e-3,
        wall_give_1_pa: 0.0,
    };
    let liquid = Liquid::Proportional {
        density: RHO,
        modulus_pa: 1.5e9,
    };
    let mut line = Line::lumped(liquid, volume).at_pressure(7.0e7);
    let mut valve = Valve::new(poppet, Motion::default(), RHO);
    for _ in 0..4_000 {
        line.step(DT, flow, &mut valve);
    }
    assert!(
        (line.head_pa() / raw - 1.0).abs() < 1.0e-4,
        "{} {raw}",
        line.head_pa()
    );
}
