//! Lines in time: what takes how long, and how high it goes.

use crate::quantity::{Cases, Part, Quantity};
use crate::rig;
use crate::tables::{
    BLOW_DOWN_EXACT, LUMPED_TRANSIENTS, RUPTURE, Row, SERIES_FRICTION, TSNET, VALVE_CLOSURE, rows,
};
use core::cell::Cell;
use hydraulics::line::Line;
use hydraulics::nozzle::thrust;
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::outlet::Passing;
use hydraulics::storage::{Liquid, Volume};
use hydraulics::units::VolumeFlow;
use hydraulics::water::{ATMOSPHERE_PA, Water};
use hydraulics::{HoseSpec, NozzleSpec};

/// The simulator's own step, s: what is checked here is what is played.
pub(super) const STEP_S: f64 = 1.0 / 960.0;

pub(super) const SHUT: Conductance = Conductance(0.0);

const LINE: &[Part] = &[Part::Line];
const LINE_AND_DUMP: &[Part] = &[Part::Line, Part::Dump];

pub const QUANTITIES: &[Quantity] = &[
    Quantity::relative("blow_down_time", "s", 0.005, &["lumped_line"], LINE, |c| {
        lumped_times(c, "blowdown_through_working_nozzle", 1.0, false, 0.0);
    }),
    Quantity::relative("start_up_time", "s", 0.005, &["lumped_line"], LINE, |c| {
        lumped_times(c, "pressurise_from_zero_pump_const_flow", 0.0, true, 0.0);
    }),
    Quantity::relative(
        "dump_time",
        "s",
        0.005,
        &["lumped_line_scipy"],
        LINE_AND_DUMP,
        |c| {
            for ratio in dump_ratios() {
                let case = format!("dump_opens_area_ratio_{ratio}_pump_on");
                lumped_times(c, &case, 1.0, true, ratio);
            }
        },
    ),
    Quantity::relative(
        "dump_residual_pressure",
        "1",
        0.005,
        &["lumped_line"],
        LINE_AND_DUMP,
        dump_residual,
    ),
    Quantity::relative(
        "blow_down_of_real_water",
        "s",
        0.005,
        &["iapws95"],
        LINE,
        exact_blow_down,
    ),
    Quantity::relative("water_hammer_peak", "bar", 0.005, &["allievi"], LINE, |c| {
        closures(c, "Pmax_valve_MOC_bar", |(_, most)| most)
    }),
    Quantity::relative(
        "water_hammer_least",
        "bar",
        0.005,
        &["allievi"],
        LINE,
        |c| closures(c, "Pmin_valve_MOC_bar", |(least, _)| least),
    ),
    Quantity::relative("closing_valve_head", "m", 0.005, &["tsnet"], LINE, |c| {
        closing_by_speed(c);
    }),
    Quantity::relative(
        "line_packing",
        "bar",
        0.005,
        &["characteristics"],
        LINE,
        line_packing,
    ),
    Quantity::relative(
        "outflow_of_a_parted_line",
        "m/s",
        0.005,
        &["impedance"],
        LINE,
        |c| {
            for row in rows(RUPTURE) {
                let (case, speed) = parted(&row);
                c.take(case, speed, row.number("V_initial_m_s"));
            }
        },
    ),
    Quantity::relative(
        "thrust_of_a_parted_line",
        "N",
        0.01,
        &["impedance"],
        LINE,
        |c| {
            for row in rows(RUPTURE) {
                let (case, speed) = parted(&row);
                let bore = round_area_m2(1.0e-3 * row.number("ID_mm"));
                let ours = thrust(row.number("rho") * bore * speed, speed);
                c.take(case, ours, row.number("jet_thrust_N"));
            }
        },
    ),
];

/// The lumped hose of text books: constant density and modulus.
struct Lump {
    line: Line,
    nozzle: Conductance,
    pump_kg_s: f64,
    p0: f64,
}

impl Lump {
    fn new(row: &Row, share: f64) -> Self {
        let density = 1_000.0;
        let liquid = Liquid::Proportional {
            density,
            modulus_pa: 1.0e9 * row.number("Ke_GPa"),
        };
        let volume = Volume {
            m3: 1.0e-3 * row.number("V_L"),
            wall_give_1_pa: 0.0,
        };
        let p0 = row.pascal("P0_bar");
        let flow = VolumeFlow::from_litres_per_minute(row.number("Q0_L_min"));
        let pump_kg_s = flow.m3_per_s() * density;
        Self {
            line: Line::lumped(liquid, volume).at_pressure(share * p0),
            nozzle: Conductance(pump_kg_s / p0.sqrt()),
            pump_kg_s,
            p0,
        }
    }

    fn step(&mut self, pump: bool, dump: f64) -> f64 {
        self.line.open(0, self.nozzle);
        let inflow = if pump { self.pump_kg_s } else { 0.0 };
        let mut dump = Conductance(self.nozzle.0 * dump);
        self.line.step(STEP_S, inflow, &mut dump);
        self.line.end_pa() / self.p0
    }

    /// Time until the pressure passes a share of what it is measured by, along its root between
    /// two steps: what empties through an opening falls straight in that.
    fn time_to(&mut self, target: f64, pump: bool, dump: f64) -> f64 {
        let mut before = self.line.end_pa() / self.p0;
        let rising = before < target;
        for step in 0..100_000 {
            let now = self.step(pump, dump);
            if (now < target) != rising {
                let [a, b, t] = [before, now, target].map(|x| x.max(0.0).sqrt());
                return STEP_S * (f64::from(step) + (t - a) / (b - a));
            }
            before = now;
        }
        f64::NAN
    }
}

/// Rows of a case with the share of pressure that they aim at. None is reached by a law that bends
/// into a straight line below a hundred pascals: those rows are timed to a millionth.
fn lumped_times(c: &mut Cases, case: &str, from: f64, pump: bool, dump: f64) {
    for row in rows(LUMPED_TRANSIENTS) {
        if row.text("case") == case {
            let target: f64 = row
                .text("target")
                .trim_start_matches("P/P0=")
                .parse()
                .unwrap_or(f64::NAN);
            let ours = Lump::new(&row, from).time_to(target.max(2.0e-6), pump, dump);
            c.take(named(&row), ours, row.number("t_s_or_ratio"));
        }
    }
}

fn named(row: &Row) -> String {
    format!(
        "{} {} L, {} GPa, {} bar, {} L/min, {}",
        row.text("case"),
        row.text("V_L"),
        row.text("Ke_GPa"),
        row.text("P0_bar"),
        row.text("Q0_L_min"),
        row.text("target")
    )
}

/// Ratios of the dump's area to the nozzle's that the table has.
fn dump_ratios() -> Vec<f64> {
    let mut ratios: Vec<f64> = Vec::new();
    for row in rows(LUMPED_TRANSIENTS) {
        let between = row.text("case").strip_prefix("dump_opens_area_ratio_");
        let ratio = between.and_then(|t| t.strip_suffix("_pump_on"));
        if let Some(ratio) = ratio.and_then(|t| t.parse().ok())
            && !ratios.contains(&ratio)
        {
            ratios.push(ratio);
        }
    }
    ratios
}

fn dump_residual(c: &mut Cases) {
    for row in rows(LUMPED_TRANSIENTS) {
        let Some(ratio) = row
            .text("case")
            .strip_prefix("dump_residual_pressure_ratio_area_")
        else {
            continue;
        };
        let ratio: f64 = ratio.parse().unwrap_or(f64::NAN);
        let mut lump = Lump::new(&row, 1.0);
        let mut share = f64::NAN;
        for _ in 0..20_000 {
            share = lump.step(true, ratio);
        }
        c.take(named(&row), share, row.number("t_s_or_ratio"));
    }
}

/// A rigid volume of real water through a real nozzle, pump off.
fn exact_blow_down(c: &mut Cases) {
    for row in rows(BLOW_DOWN_EXACT) {
        let p0 = row.pascal("P0_bar");
        let water = Water::at_celsius(20.0);
        // The table's water has its temperature under pressure.
        let isentrope = water
            .squeezed(ATMOSPHERE_PA + p0, ATMOSPHERE_PA)
            .isentrope();
        let flow = VolumeFlow::from_litres_per_minute(row.number("Q0_L_min"));
        let wanted = flow.m3_per_s() * water.atmospheric_density();
        let unit = NozzleSpec::round(1.0e-3, 1.0, 1.0);
        let wider = wanted / unit.mass_flow(&isentrope, p0);
        let nozzle = NozzleSpec::round(1.0e-3 * wider.sqrt(), 1.0, 1.0);
        let volume = Volume {
            m3: 1.0e-3 * row.number("V_L"),
            wall_give_1_pa: 0.0,
        };
        let mut line = Line::lumped(Liquid::Water(isentrope), volume).at_pressure(p0);
        let target = row.number("P_over_P0") * p0;
        let (mut steps, mut before) = (0.0, p0);
        while line.end_pa() > target && steps < 1.0e5 {
            before = line.end_pa();
            line.open(0, nozzle.conductance(&isentrope, before));
            line.step(STEP_S, 0.0, &mut SHUT.clone());
            steps += 1.0;
        }
        let [a, b, t] = [before, line.end_pa(), target].map(f64::sqrt);
        let ours = STEP_S * (steps - 1.0 + (t - a) / (b - a));
        let case = format!("to {} of {} bar", row.text("P_over_P0"), row.text("P0_bar"));
        c.take(case, ours, row.number("t_s"));
    }
}

/// Cells and a step in which a wave takes just one of them.
fn matched(length_m: f64, wave_m_s: f64) -> (u16, f64) {
    matched_by(length_m, wave_m_s, STEP_S)
}

/// The same for moments that are so far apart: each at the end of a step.
fn matched_to(length_m: f64, wave_m_s: f64, interval_s: f64) -> (u16, f64) {
    let dt = interval_s / (interval_s / STEP_S).ceil();
    matched_by(length_m, wave_m_s, dt)
}

fn matched_by(length_m: f64, wave_m_s: f64, step_s: f64) -> (u16, f64) {
    let cells = (length_m / (wave_m_s * step_s)).round().max(8.0);
    (cells as u16, length_m / (wave_m_s * cells))
}

/// Shuts a valve at once: half way through the step, so that half of the flow still leaves. A flow
/// stands half a step before a pressure.
pub(super) fn shut_at_once(line: &mut Line, flow_kg_s: f64, dt: f64) {
    let (mut low, mut high) = (0.0, 10.0 * flow_kg_s / line.end_pa().sqrt());
    let mut after = line.clone();
    for _ in 0..60 {
        let opening = 0.5 * (low + high);
        after = line.clone();
        after.open(0, Conductance(opening));
        after.step(dt, 0.0, &mut SHUT.clone());
        if after.opening_kg_s(0) > 0.5 * flow_kg_s {
            high = opening;
        } else {
            low = opening;
        }
    }
    after.open(0, SHUT);
    *line = after;
}

/// A smooth bore with a wall that does not give.
pub(super) fn tube(bore_m: f64, length_m: f64, cells: u16) -> HoseSpec {
    HoseSpec {
        cells,
        wall_modulus_pa: 1.0e20,
        ..rig::hose(bore_m, length_m)
    }
}

pub(super) const RESERVOIR_M3: f64 = 1.0e12;
/// A valve's own room, m3.
pub(super) const NOTHING_M3: f64 = 1.0e-9;

/// A reservoir, a line without friction, a valve whose opening falls in a straight line.
fn closures(c: &mut Cases, column: &str, of: fn((f64, f64)) -> f64) {
    for row in rows(VALVE_CLOSURE) {
        let (length, wave) = (row.number("L_m"), row.number("a_m_s"));
        let (rho, bore) = (1_000.0, 0.013);
        let liquid = Liquid::Proportional {
            density: rho,
            modulus_pa: rho * wave * wave,
        };
        let (cells, dt) = matched(length, wave);
        let p0 = row.pascal("P0_bar");
        let flow = rho * round_area_m2(bore) * row.number("V0_m_s");
        let hose = tube(bore, length, cells);
        let mut line = Line::branched(liquid, RESERVOIR_M3, &[hose], &[(&[], NOTHING_M3)])
            .at_pressure(p0)
            .flowing(flow);
        let open = flow / p0.sqrt();
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        let shut_in = row.number("Tc_s");
        let mut steps = 0.0;
        while steps * dt < 2.0 * shut_in + 8.0 * length / wave {
            steps += 1.0;
            if shut_in > dt {
                line.open(0, Conductance(open * closing(steps, dt, shut_in)));
                line.step(dt, 0.0, &mut SHUT.clone());
            } else if steps == 1.0 {
                shut_at_once(&mut line, flow, dt);
            } else {
                line.step(dt, 0.0, &mut SHUT.clone());
            }
            least = least.min(line.end_pa());
            most = most.max(line.end_pa());
        }
        let case = format!(
            "{length} m, {wave} m/s, {} bar, {} m/s, shut in {shut_in} s",
            row.text("P0_bar"),
            row.text("V0_m_s")
        );
        c.take(case, 1.0e-5 * of((least, most)), row.number(column));
    }
}

/// How far a valve is open, on the mean of a step, that shuts in a straight line.
pub(super) fn closing(step: f64, dt: f64, shut_in: f64) -> f64 {
    // What has passed up to a time, as seconds of the open valve.
    let passed = |time: f64| {
        let left = (1.0 - time / shut_in).max(0.0);
        shut_in * (1.0 - left * left) / 2.0
    };
    (passed(step * dt) - passed((step - 1.0) * dt)) / dt
}

/// A valve that lets through what the table says, at the end of 600 m of pipe with friction; the
/// reservoir is at the other end. Head by standard gravity.
fn closing_by_speed(c: &mut Cases) {
    const GRAVITY: f64 = 9.81;
    let (wave, length, bore, friction, rho) = (1_200.0, 600.0, 0.5, 0.01471, 1_000.0);
    let table = rows(TSNET);
    let Some(first) = table.first() else { return };
    let area = round_area_m2(bore);
    let (cells, dt) = matched(length, wave);
    let reservoir_pa = 200.0 * rho * GRAVITY;
    let liquid = Liquid::Proportional {
        density: rho,
        modulus_pa: rho * wave * wave,
    };
    let pipe = tube(bore, length, cells);
    // The valve stands where the manifold is else, so the water runs backwards.
    let flow = rho * area * first.number("V_valve_m_s");
    let string = |head_pa: f64| {
        Line::branched(
            liquid,
            NOTHING_M3,
            core::slice::from_ref(&pipe),
            &[(&[], RESERVOIR_M3)],
        )
        .with_friction(friction, rho)
        .in_steady_flow(head_pa, -flow)
    };
    let loss_pa = string(0.0).end_pa();
    let mut line = string(reservoir_pa - loss_pa);
    let taken = Cell::new(flow);
    let mut valve = Passing(|p: f64| {
        if p > 0.0 {
            (taken.get(), 0.0)
        } else {
            (0.0, 0.0)
        }
    });
    let speed_at = |time: f64| {
        let after = table.iter().position(|row| row.number("t_s") >= time);
        match after {
            Some(0) => first.number("V_valve_m_s"),
            Some(n) => {
                let [a, b] = [&table[n - 1], &table[n]];
                let along = (time - a.number("t_s")) / (b.number("t_s") - a.number("t_s"));
                a.number("V_valve_m_s")
                    + along * (b.number("V_valve_m_s") - a.number("V_valve_m_s"))
            }
            None => 0.0,
        }
    };
    let (mut time, mut head, mut before) = (0.0, line.head_pa(), line.head_pa());
    for row in &table {
        let at = row.number("t_s");
        while time < at - 1.0e-9 {
            before = head;
            taken.set(rho * area * speed_at(time + 0.5 * dt));
            line.step(dt, 0.0, &mut valve);
            time += dt;
            head = line.head_pa();
        }
        let ours = if time > at {
            head - (head - before) * (time - at) / dt
        } else {
            head
        };
        c.take(
            format!("{} s", row.text("t_s")),
            ours / (rho * GRAVITY),
            row.number("H_tsnet_m"),
        );
    }
}

/// A hose that is shut at once: the pressure goes on rising while the friction's loss packs in.
fn line_packing(c: &mut Cases) {
    let (wave, length, bore, friction, speed, p0) = (1_200.0, 20.0, 0.0127, 0.018, 10.0, 1.0e8);
    let table = rows(SERIES_FRICTION);
    let rho = 1_000.0;
    let liquid = Liquid::Proportional {
        density: rho,
        modulus_pa: rho * wave * wave,
    };
    let interval = table.get(1).map_or(f64::NAN, |row| row.number("t_s"));
    let (cells, dt) = matched_to(length, wave, interval);
    let flow = rho * round_area_m2(bore) * speed;
    let mut line = Line::branched(
        liquid,
        RESERVOIR_M3,
        &[tube(bore, length, cells)],
        &[(&[], NOTHING_M3)],
    )
    .with_friction(friction, rho)
    .in_steady_flow(p0, flow);
    let mid = usize::from(cells / 2);
    let mut was = [line.end_pa(), line.pressures_pa()[mid]];
    let mut now = was;
    let mut time = 0.0;
    for row in &table {
        let at = row.number("t_s");
        while time < at - 1.0e-9 {
            was = now;
            if time == 0.0 {
                shut_at_once(&mut line, flow, dt);
            } else {
                line.step(dt, 0.0, &mut SHUT.clone());
            }
            time += dt;
            now = [line.end_pa(), line.pressures_pa()[mid]];
        }
        for (place, column) in ["P_valve_bar", "P_mid_bar"].into_iter().enumerate() {
            let back = if time > at { (time - at) / dt } else { 0.0 };
            let ours = now[place] - (now[place] - was[place]) * back;
            c.take(
                format!("{column} at {} s", row.text("t_s")),
                1.0e-5 * ours,
                row.number(column),
            );
        }
    }
}

/// A long hose under pressure parts in its middle: speed of what leaves before a wave is back.
fn parted(row: &Row) -> (String, f64) {
    let (rho, wave, bore) = (
        row.number("rho"),
        row.number("a_m_s"),
        1.0e-3 * row.number("ID_mm"),
    );
    let length = 60.0;
    let (cells, dt) = matched(length, wave);
    let liquid = Liquid::Proportional {
        density: rho,
        modulus_pa: rho * wave * wave,
    };
    let hose = tube(bore, length, cells);
    let mut line = Line::branched(liquid, NOTHING_M3, &[hose], &[(&[], NOTHING_M3)])
        .at_pressure(row.pascal("P_bar"));
    let case = format!(
        "{} bar, bore {} mm, {} kg/m3, {} m/s",
        row.text("P_bar"),
        row.text("ID_mm"),
        row.text("rho"),
        row.text("a_m_s")
    );
    let Some((torn, _)) = line.part(usize::from(cells / 2)) else {
        return (case, f64::NAN);
    };
    // Well before the wave is back from the end.
    for _ in 0..cells / 4 {
        line.step(dt, 0.0, &mut SHUT.clone());
    }
    (case, line.opening_kg_s(torn) / (rho * round_area_m2(bore)))
}
