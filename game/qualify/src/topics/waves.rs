//! Waves through hoses, joints and branches, moment by moment.

use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{PIPE_RELEASED, Row, VALVE_CLOSURE_MOC, rows};
use crate::topics::transients::{
    NOTHING_M3, RESERVOIR_M3, SHUT, STEP_S, closing, shut_at_once, tube,
};
use hydraulics::HoseSpec;
use hydraulics::line::Line;
use hydraulics::orifice::{Conductance, round_area_m2};
use hydraulics::storage::Liquid;

/// See [`outflow`].
const FINER: f64 = 4.0;

const SOURCES: &[&str] = &["fine_characteristics"];
const PARTS: &[Part] = &[Part::Line];

pub const QUANTITIES: &[Quantity] = &[
    Quantity::relative("closure_peak", "bar", 0.005, SOURCES, PARTS, |c| {
        each(c, |c, row, shut| {
            c.take(
                named(row, ""),
                1.0e-5 * shut.most_pa,
                row.number("Pmax_bar"),
            );
        });
    }),
    Quantity::relative("closure_least", "bar", 0.005, SOURCES, PARTS, |c| {
        each(c, |c, row, shut| {
            c.take(
                named(row, ""),
                1.0e-5 * shut.least_pa,
                row.number("Pmin_bar"),
            );
        });
    }),
    Quantity::relative("closure_moment", "bar", 0.005, SOURCES, PARTS, |c| {
        each(c, |c, row, shut| {
            for (column, pa) in &shut.moments {
                c.take(named(row, column), 1.0e-5 * pa, row.number(column));
            }
        });
    }),
    Quantity::relative("dead_end_peak", "bar", 0.005, SOURCES, PARTS, |c| {
        each(c, |c, row, shut| {
            if !row.text("Pmax_dead_end_bar").is_empty() {
                let reference = row.number("Pmax_dead_end_bar");
                c.take(named(row, ""), 1.0e-5 * shut.dead_end_most_pa, reference);
            }
        });
    }),
    Quantity::relative(
        "outflow_by_the_moment",
        "m/s",
        0.01,
        SOURCES,
        PARTS,
        outflow,
    ),
];

fn named(row: &Row, at: &str) -> String {
    let hoses: Vec<String> = (1..=3)
        .filter(|n| !row.text(&format!("L{n}_m")).is_empty())
        .map(|n| {
            format!(
                "{} m of {} mm at {} m/s",
                row.text(&format!("L{n}_m")),
                row.text(&format!("ID{n}_mm")),
                row.text(&format!("a{n}_m_s"))
            )
        })
        .collect();
    format!(
        "{} {}, {} m/s, {} bar, f {}, shut in {} s {at}",
        row.text("layout"),
        hoses.join(", "),
        row.text("V0_m_s"),
        row.text("P0_bar"),
        row.text("f"),
        row.text("Tc_s")
    )
}

/// What happens at the valve.
struct Shut {
    least_pa: f64,
    most_pa: f64,
    dead_end_most_pa: f64,
    /// Name of the column, and the pressure then.
    moments: Vec<(String, f64)>,
}

fn each(c: &mut Cases, take: fn(&mut Cases, &Row, &Shut)) {
    for row in rows(VALVE_CLOSURE_MOC) {
        let found = shut(&row);
        take(c, &row, &found);
    }
}

/// The moments that the table has, in units of its time.
fn moments(row: &Row) -> Vec<(String, f64)> {
    row.columns()
        .filter_map(|column| {
            let moment = column.strip_prefix("P_at_")?.strip_suffix("_units_bar")?;
            Some((column.to_owned(), moment.parse().ok()?))
        })
        .collect()
}

/// Hoses whose cells a wave takes one step each for. One wave speed is that of the liquid, another
/// comes of the wall.
struct Layout {
    liquid: Liquid,
    hoses: Vec<HoseSpec>,
    dt: f64,
}

impl Layout {
    fn of(row: &Row) -> Self {
        let rho = row.number("rho");
        let hose = |n: usize| {
            let number = |column: &str| row.number(&format!("{column}{n}_{}", unit(column)));
            [number("L"), number("ID"), number("a")]
        };
        let found: Vec<[f64; 3]> = (1..=3)
            .map(hose)
            .filter(|hose| hose.iter().all(|x| x.is_finite()))
            .collect();
        let fastest = found.iter().fold(0.0_f64, |most, hose| most.max(hose[2]));
        // Even parts of the unit: moments stand at halves of it.
        let unit_s = row.number("unit_s");
        let dt = unit_s / (2.0 * (0.5 * unit_s / STEP_S).ceil());
        let hoses = found.iter().map(|[length, bore_mm, wave]| {
            let cells = (length / (wave * dt)).round().max(1.0) as u16;
            // 1/(rho a^2) is the give of liquid and wall together.
            let give = (1.0 / (wave * wave) - 1.0 / (fastest * fastest)) / rho;
            HoseSpec {
                wall_modulus_pa: if give > 0.0 { 1.0 / give } else { 1.0e20 },
                ..tube(1.0e-3 * bore_mm, *length, cells)
            }
        });
        Self {
            liquid: Liquid::Proportional {
                density: rho,
                modulus_pa: rho * fastest * fastest,
            },
            hoses: hoses.collect(),
            dt,
        }
    }
}

fn unit(column: &str) -> &'static str {
    match column {
        "L" => "m",
        "ID" => "mm",
        _ => "m_s",
    }
}

fn shut(row: &Row) -> Shut {
    let layout = Layout::of(row);
    let dt = layout.dt;
    let (trunk, last) = match row.text("layout") {
        "tee" => (&layout.hoses[..1], &layout.hoses[1..2]),
        _ => (&layout.hoses[..], &layout.hoses[..0]),
    };
    let dead = layout.hoses.get(2..).unwrap_or_default();
    let mut branches = vec![(last, NOTHING_M3)];
    if row.text("layout") == "tee" {
        branches.push((dead, NOTHING_M3));
    }
    let valve_bore = last.last().or(trunk.last()).map_or(0.0, |hose| hose.bore_m);
    let rho = row.number("rho");
    let flow = rho * round_area_m2(valve_bore) * row.number("V0_m_s");
    let mut line = Line::branched(layout.liquid, RESERVOIR_M3, trunk, &branches)
        .with_friction(row.number("f"), rho)
        .in_steady_flow(row.pascal("P0_bar"), flow);
    let open = flow / line.end_pa().sqrt();
    let shut_in = row.number("Tc_s");
    let (unit_s, moments) = (row.number("unit_s"), moments(row));
    let last = moments.iter().fold(0.0_f64, |most, (_, at)| most.max(*at));
    let mut found = Shut {
        least_pa: line.end_pa(),
        most_pa: line.end_pa(),
        dead_end_most_pa: 0.0,
        moments: Vec::new(),
    };
    let steps = (last * unit_s / dt).round() as u32;
    for step in 1..=steps {
        let step = f64::from(step);
        if shut_in > dt {
            line.open(0, Conductance(open * closing(step, dt, shut_in)));
            line.step(dt, 0.0, &mut SHUT.clone());
        } else if step == 1.0 {
            shut_at_once(&mut line, flow, dt);
        } else {
            line.step(dt, 0.0, &mut SHUT.clone());
        }
        found.least_pa = found.least_pa.min(line.end_pa());
        found.most_pa = found.most_pa.max(line.end_pa());
        found.dead_end_most_pa = found.dead_end_most_pa.max(line.opening_pa(1));
        for (column, at) in &moments {
            if (at * unit_s / dt - step).abs() < 0.25 {
                found.moments.push((column.clone(), line.end_pa()));
            }
        }
    }
    found
}

/// The end of a line is opened at once and wholly. A line that is closed at its other end would
/// pull below vacuum there after a while, which the table's linear equations do and water does not:
/// it counts until then. In steps a quarter as long as the
/// simulator's: at 180 m/s through 8 mm friction takes a fifth of the speed in one of those, and the
/// first hundredth of a second comes out 2.5 % fast.
fn outflow(c: &mut Cases) {
    for row in rows(PIPE_RELEASED) {
        let (length, wave, rho) = (row.number("L_m"), row.number("a_m_s"), row.number("rho"));
        let bore = 1.0e-3 * row.number("ID_mm");
        let held = row.text("upper_end") == "held";
        let at = row.number("t_over_L_a");
        if !held && at >= 1.0 {
            continue;
        }
        // Twentieths of the travel time are whole steps.
        let cells = FINER * 20.0 * (length / (wave * STEP_S) / 20.0).ceil();
        let dt = length / (wave * cells);
        let liquid = Liquid::Proportional {
            density: rho,
            modulus_pa: rho * wave * wave,
        };
        let upper = if held { RESERVOIR_M3 } else { NOTHING_M3 };
        let hose = tube(bore, length, cells as u16);
        let mut line = Line::branched(liquid, upper, &[hose], &[(&[], NOTHING_M3)])
            .with_friction(row.number("f"), rho)
            .at_pressure(row.pascal("P0_bar"));
        // So wide that next to nothing of the velocity head is left as pressure.
        line.open(0, Conductance::of_opening(100.0, round_area_m2(bore), rho));
        for _ in 0..(at * cells).round() as u32 {
            line.step(dt, 0.0, &mut SHUT.clone());
        }
        // A flow is the mean of its step: that of the moment lies between two.
        let before = line.opening_kg_s(0);
        line.step(dt, 0.0, &mut SHUT.clone());
        let ours = 0.5 * (before + line.opening_kg_s(0)) / (rho * round_area_m2(bore));
        let case = format!(
            "{}, {} bar, {length} m of {} mm, {wave} m/s, f {}, at {at} L/a",
            row.text("upper_end"),
            row.text("P0_bar"),
            row.text("ID_mm"),
            row.text("f")
        );
        c.take(case, ours, row.number("V_open_end_m_s"));
    }
}
