//! The dynamic line against closed forms.

use crate::example::{DT, hose, tri_80};
use crate::reference::{Comparison, number, rows_with, table};
use hydraulics::hose::Passage;
use hydraulics::line::Line;
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::storage::{
    Liquid, Volume, effective_modulus_pa, elastic_energy_j_kg, elastic_energy_j_m3,
};
use hydraulics::units::VolumeFlow;
use hydraulics::water::{ATMOSPHERE_PA, Water};
use hydraulics::{GunSpec, HoseSpec, NozzleSpec};

const SHUT: Conductance = Conductance(0.0);

/// Steps of the simulator and sixteen times finer ones.
const STEPS: [f64; 2] = [DT, DT / 16.0];

#[test]
fn a_fitting_adds_its_loss_on_the_bore() {
    let with = |loss: f64| Passage {
        bore_m: 0.013,
        length_m: 1.0,
        roughness_m: 0.0,
        loss,
    };
    let r = |loss: f64| with(loss).resistance(0.5, 1_030.0, 1.0e-3);
    let velocity = 0.5 / (1_030.0 * round_area_m2(0.013));
    let want = 0.8 * 0.5 * 1_030.0 * velocity * velocity;
    assert!(((r(0.8) - r(0.0)) * 0.25 / want - 1.0).abs() < 1.0e-9);
}

/// `1/Ke = 1/KS + 1/Kh`: what a volume takes up for a rise of pressure, by the wall's definition
/// `Kh = V dP/dV`.
#[test]
fn a_volume_takes_up_water_by_its_own_give_and_that_of_its_wall() {
    let water = Water::at_celsius(20.0);
    let liquid = Liquid::Water(water.isentrope());
    let mut c = Comparison::relative("uptake over pressure", 0.002);
    for wall_pa in [1.5e9, 3.0e9, f64::INFINITY] {
        let volume = Volume {
            m3: 2.65e-3,
            wall_give_1_pa: 1.0 / wall_pa,
        };
        for p in [1.0e6, 7.0e7, 1.5e8] {
            let rise = 1.0e5;
            let (low, slope) = liquid.stored(&volume, p - 0.5 * rise);
            let (high, _) = liquid.stored(&volume, p + 0.5 * rise);
            let ke = effective_modulus_pa(water.isentrope().at(p).modulus_pa, wall_pa);
            let at = format!("{p} Pa, wall {wall_pa}");
            c.take(&at, (high - low) / rise, 0.5 * (low + high) / ke);
            c.take(&at, slope, 0.5 * (low + high) / ke);
        }
    }
    c.end();
}

/// Stored mass by stored mass: what leaves a volume does the work of its pressure over its specific
/// volume, reckoned in small steps of pressure.
#[test]
fn the_elastic_energy_is_the_work_of_the_swelling_in_small_steps() {
    let line = Water::at_celsius(12.0).isentrope();
    let mut c = Comparison::relative("elastic energy", 1.0e-6);
    for p in [1.0e6, 7.0e7, 1.5e8, 3.0e8] {
        const STEPS: u32 = 4_000;
        let step = p / f64::from(STEPS);
        let volume = |p: f64| 1.0 / line.at(p).density;
        let work: f64 = (0..STEPS)
            .map(|i| step * f64::from(i))
            .map(|low| (low + 0.5 * step) * (volume(low) - volume(low + step)))
            .sum();
        c.take(p, elastic_energy_j_kg(&line, p), work);
        c.take(p, elastic_energy_j_m3(&line, p), work / volume(p));
    }
    c.end();
    assert_eq!(elastic_energy_j_kg(&line, 0.0), 0.0);
    assert_eq!(elastic_energy_j_kg(&line, -1.0e5), 0.0);
    for p in [f64::NAN, f64::INFINITY] {
        assert!(elastic_energy_j_m3(&line, p).is_finite());
    }
}

/// A lumped hose of text books.
struct Lump {
    line: Line,
    /// The working nozzle.
    nozzle: Conductance,
    pump_kg_s: f64,
    p0: f64,
}

impl Lump {
    fn new(row: &crate::reference::Row, ratio: f64) -> Self {
        let density = 1_000.0;
        let modulus_pa = number(row, "Ke_GPa") * 1.0e9;
        let volume = Volume {
            m3: number(row, "V_L") * 1.0e-3,
            wall_give_1_pa: 0.0,
        };
        let p0 = number(row, "P0_bar") * 1.0e5;
        let pump_kg_s =
            VolumeFlow::from_litres_per_minute(number(row, "Q0_L_min")).m3_per_s() * density;
        let line = Line::lumped(
            Liquid::Proportional {
                density,
                modulus_pa,
            },
            volume,
        );
        Self {
            line: line.at_pressure(ratio * p0),
            nozzle: Conductance(pump_kg_s / p0.sqrt()),
            pump_kg_s,
            p0,
        }
    }

    /// Time until the pressure ratio passes a target, between steps by the straight line.
    fn time_to(&mut self, target: f64, pump: bool, dump: f64, dt: f64) -> f64 {
        let inflow = if pump { self.pump_kg_s } else { 0.0 };
        let dump = Conductance(self.nozzle.0 * dump);
        let mut before = self.line.end_pa() / self.p0;
        let rising = before < target;
        let mut time = 0.0;
        loop {
            self.line.open(0, self.nozzle);
            self.line.step(dt, inflow, &mut dump.clone());
            let now = self.line.end_pa() / self.p0;
            if (now < target) != rising {
                return time + dt * (target - before) / (now - before);
            }
            assert!(time < 100.0, "never reaches {target}");
            time += dt;
            before = now;
        }
    }
}

fn target(row: &crate::reference::Row) -> f64 {
    let text = row["target"].trim_start_matches("P/P0=");
    // Nothing is reached exactly by a law that bends at a hundred pascals.
    text.parse::<f64>().expect("a ratio").max(3.0e-5)
}

/// Closed forms of a lumped volume with constant modulus. Backward Euler is of first order: at
/// the simulator's step a time is late by about half a step, and by a percent at the most
/// besides; at finer steps the error shrinks with the step.
#[test]
fn blow_down_and_start_up_take_the_time_of_the_closed_forms() {
    let rows = table("hose_transients_lumped.csv");
    for dt in STEPS {
        let mut c = Comparison::relative("lumped times beyond 1.5 steps", 0.01);
        for (case, from, pump) in [
            ("blowdown_through_working_nozzle", 1.0, false),
            ("pressurise_from_zero_pump_const_flow", 0.0, true),
        ] {
            for row in rows_with(&rows, "case", case) {
                let got = Lump::new(row, from).time_to(target(row), pump, 0.0, dt);
                let want = number(row, "t_s_or_ratio");
                // What is more than the steps explain counts.
                let off = got - want;
                let beyond = (off.abs() - 1.5 * dt).max(0.0).copysign(off);
                c.take(
                    format!("{case} {} dt {dt}", row["target"]),
                    want + beyond,
                    want,
                );
            }
        }
        c.end();
    }
}

/// ODE solution tabled. The dump opens at once here.
#[test]
fn a_dump_lets_the_line_down_in_time_and_to_its_residual() {
    let rows = table("hose_transients_lumped.csv");
    for dt in STEPS {
        let mut c = Comparison::relative("dump times beyond 1.5 steps", 0.01);
        for (case, ratio) in [
            ("dump_opens_area_ratio_10_pump_on", 10.0),
            ("dump_opens_area_ratio_30_pump_on", 30.0),
        ] {
            for row in rows_with(&rows, "case", case) {
                let got = Lump::new(row, 1.0).time_to(target(row), true, ratio, dt);
                let want = number(row, "t_s_or_ratio");
                let off = got - want;
                let beyond = (off.abs() - 1.5 * dt).max(0.0).copysign(off);
                c.take(format!("{case} dt {dt}"), want + beyond, want);
            }
        }
        c.end();
    }
    let mut residual = Comparison::relative("residual pressure", 0.003);
    for (case, ratio) in [
        ("dump_residual_pressure_ratio_area_10", 10.0),
        ("dump_residual_pressure_ratio_area_30", 30.0),
    ] {
        for row in rows_with(&rows, "case", case) {
            let mut lump = Lump::new(row, 1.0);
            let dump = Conductance(lump.nozzle.0 * ratio);
            for _ in 0..20_000 {
                lump.line.open(0, lump.nozzle);
                lump.line.step(DT, lump.pump_kg_s, &mut dump.clone());
            }
            residual.take(
                case,
                lump.line.end_pa() / lump.p0,
                number(row, "t_s_or_ratio"),
            );
        }
    }
    residual.end();
}

/// Exact equation of state (IAPWS-95, isentropic), rigid volume: no constant modulus here, the
/// water of the simulator and its nozzle law.
#[test]
fn a_rigid_volume_of_real_water_blows_down_in_the_exact_time() {
    let water = Water::at_celsius(20.0);
    for dt in STEPS {
        let mut c = Comparison::relative("exact blow-down beyond a step", 0.005);
        for row in table("blowdown_exact_rigid.csv") {
            let p0 = number(&row, "P0_bar") * 1.0e5;
            // The table's water has its temperature under pressure.
            let isentrope = water
                .squeezed(ATMOSPHERE_PA + p0, ATMOSPHERE_PA)
                .isentrope();
            let m0 = VolumeFlow::from_litres_per_minute(number(&row, "Q0_L_min")).m3_per_s()
                * water.atmospheric_density();
            let unit = NozzleSpec::round(1.0e-3, 1.0, 1.0);
            let area_ratio = m0 / unit.mass_flow(&isentrope, p0);
            let nozzle = NozzleSpec::round(1.0e-3 * area_ratio.sqrt(), 1.0, 1.0);
            let volume = Volume {
                m3: number(&row, "V_L") * 1.0e-3,
                wall_give_1_pa: 0.0,
            };
            let mut line = Line::lumped(Liquid::Water(isentrope), volume).at_pressure(p0);
            let want = number(&row, "t_s");
            let target = number(&row, "P_over_P0") * p0;
            let (mut time, mut before) = (0.0, p0);
            while line.end_pa() > target {
                before = line.end_pa();
                line.open(0, nozzle.conductance(&isentrope, before));
                line.step(dt, 0.0, &mut SHUT.clone());
                time += dt;
                assert!(time < 10.0, "it does not blow down");
            }
            let got = time - dt * (target - line.end_pa()) / (before - line.end_pa());
            let off = got - want;
            let beyond = (off.abs() - dt).max(0.0).copysign(off);
            c.take(format!("{} dt {dt}", row["P_over_P0"]), want + beyond, want);
        }
        c.end();
    }
}

/// A reservoir, a frictionless hose and a valve that shuts in a straight line.
fn closing_peak_rise(row: &crate::reference::Row, cells: u16, dt: f64) -> (f64, f64) {
    let (a, rho) = (number(row, "a_m_s"), 1_000.0);
    let (p0, v0) = (number(row, "P0_bar") * 1.0e5, number(row, "V0_m_s"));
    let shut_in = number(row, "Tc_s");
    let liquid = Liquid::Proportional {
        density: rho,
        modulus_pa: rho * a * a,
    };
    let string = HoseSpec {
        cells,
        wall_modulus_pa: 1.0e12,
        ..hose(0.013, number(row, "L_m"))
    };
    let gun = GunSpec {
        volume_m3: 1.0e-6,
        ..tri_80().gun
    };
    let mut line = Line::new(liquid, 1.0e4, &[string], &gun).at_pressure(p0);
    let open = Conductance(rho * round_area_m2(0.013) * v0 / p0.sqrt());
    for _ in 0..(20.0 / DT) as usize {
        line.open(0, open);
        line.step(DT, 0.0, &mut SHUT.clone());
    }
    let steady = line.flows_kg_s().last().expect("a link") / (rho * round_area_m2(0.013));
    let (mut time, mut peak) = (0.0, p0);
    while time < 2.0 * shut_in + 6.0 * number(row, "L_m") / a {
        time += dt;
        let opening = (1.0 - time / shut_in).max(0.0);
        line.open(0, Conductance(open.0 * opening));
        line.step(dt, 0.0, &mut SHUT.clone());
        peak = peak.max(line.end_pa());
    }
    (peak - p0, steady / v0)
}

/// Method of characteristics and the interlocking equations agree to six digits in the table.
/// With fine steps and cells the line meets them; with the simulator's own, waves are damped
/// by the step, and the peak of a 20 m hose comes out low by the shares asserted here.
#[test]
fn shutting_a_valve_raises_the_pressure_of_a_wave() {
    let rows = table("waterhammer_valve.csv");
    let mut fine = Comparison::relative("rise of pressure, fine", 0.01);
    for row in rows.iter().filter(|r| r["L_m"] == "20") {
        let want = (number(row, "Pmax_valve_MOC_bar") - number(row, "P0_bar")) * 1.0e5;
        let (rise, steady) = closing_peak_rise(row, 64, DT / 4.0);
        assert!((steady - 1.0).abs() < 0.002, "the flow before: {steady}");
        fine.take(&row["Tc_s"], rise, want);
        let (rise, _) = closing_peak_rise(row, 16, DT);
        println!(
            "Tc {}: {} of the rise at the simulator's step",
            row["Tc_s"],
            rise / want
        );
        assert!((0.8..1.05).contains(&(rise / want)), "{}", rise / want);
    }
    fine.end();
}
