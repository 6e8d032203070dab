//! Two tools on one pump.

use crate::quantity::{Cases, Part, Quantity};
use crate::rig;
use crate::tables::{NOZZLE_NETWORK, Row, rows};
use hydraulics::line::Line;
use hydraulics::orifice::Conductance;
use hydraulics::storage::Liquid;
use hydraulics::units::VolumeFlow;
use hydraulics::water::{CompressionCurve, Water};
use hydraulics::{HoseSpec, NozzleSpec};

const PARTS: &[Part] = &[Part::Line, Part::Nozzle];
const SOURCES: &[&str] = &["two_tools"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity::relative("two_tools_pressure", "bar", 0.003, SOURCES, PARTS, |c| {
        each(c, |c, row, found| {
            c.take(
                named(row, "pump"),
                1.0e-5 * found.pump_pa,
                row.number("P_pump_bar"),
            );
            for (tool, name) in ["A", "B"].into_iter().enumerate() {
                let reference = row.number(&format!("P_{name}_bar"));
                c.take(
                    named(row, name),
                    1.0e-5 * found.tools[tool].pressure_pa,
                    reference,
                );
            }
        });
    }),
    Quantity::relative("two_tools_flow", "L/min", 0.005, SOURCES, PARTS, |c| {
        tools(c, "Q", "L_min", |tool| tool.flow_l_min);
    }),
    Quantity::relative("two_tools_thrust", "N", 0.005, SOURCES, PARTS, |c| {
        tools(c, "F", "N", |tool| tool.thrust_n);
    }),
];

/// A quantity of each tool that is open.
fn tools(c: &mut Cases, letter: &'static str, unit: &'static str, of: fn(&Tool) -> f64) {
    for row in rows(NOZZLE_NETWORK) {
        let found = settled(&row);
        for (tool, name) in ["A", "B"].into_iter().enumerate() {
            if row.text("open").contains(name) {
                let reference = row.number(&format!("{letter}_{name}_{unit}"));
                c.take(named(&row, name), of(&found.tools[tool]), reference);
            }
        }
    }
}

fn each(c: &mut Cases, take: fn(&mut Cases, &Row, &Found)) {
    for row in rows(NOZZLE_NETWORK) {
        let found = settled(&row);
        take(c, &row, &found);
    }
}

fn named(row: &Row, at: &str) -> String {
    format!(
        "{at}; {} L/min, {}, {} mm behind {}, {} mm behind {}, open {}",
        row.text("Q_pump_L_min"),
        row.text("supply"),
        row.text("d_A_mm"),
        row.text("hose_A"),
        row.text("d_B_mm"),
        row.text("hose_B"),
        row.text("open")
    )
}

#[derive(Clone, Copy, Default)]
struct Tool {
    pressure_pa: f64,
    flow_l_min: f64,
    thrust_n: f64,
}

struct Found {
    pump_pa: f64,
    tools: [Tool; 2],
}

/// `13mm x 40m`, in few cells: what it settles to does not depend on them.
fn hose(text: &str) -> HoseSpec {
    let (bore, length) = text.split_once('x').unwrap_or(("", ""));
    let number = |text: &str, unit| {
        text.trim()
            .trim_end_matches(unit)
            .parse()
            .unwrap_or(f64::NAN)
    };
    HoseSpec {
        cells: 6,
        ..rig::hose(1.0e-3 * number(bore, "mm"), number(length, "m"))
    }
}

/// Runs until as much leaves as comes in.
fn settled(row: &Row) -> Found {
    let water = Water::at_celsius(20.0);
    let isotherm: CompressionCurve = water.isotherm();
    let [supply, a, b] = ["supply", "hose_A", "hose_B"].map(|column| hose(row.text(column)));
    // What a hose holds under pressure is that of its own temperature, as the table has it.
    let mut line = Line::branched(
        Liquid::Water(isotherm),
        1.0e-6,
        &[supply],
        &[(&[a], 1.0e-6), (&[b], 1.0e-6)],
    );
    let nozzles = ["A", "B"].map(|name| {
        let bore_m = 1.0e-3 * row.number(&format!("d_{name}_mm"));
        NozzleSpec::round(bore_m, row.number(&format!("Cd_{name}")), 1.0)
    });
    let open = ["A", "B"].map(|name| row.text("open").contains(name));
    let pumped = VolumeFlow::from_litres_per_minute(row.number("Q_pump_L_min")).m3_per_s()
        * water.atmospheric_density();
    let step_s = 1.0 / 480.0;
    let end_s = 300.0;
    for step in 0..(end_s / step_s) as u32 {
        for (tool, nozzle) in nozzles.iter().enumerate() {
            let passes = nozzle.conductance(&isotherm, line.opening_pa(tool));
            line.open(tool, if open[tool] { passes } else { Conductance(0.0) });
        }
        if step % 4 == 0 {
            line.refresh_friction(&water);
        }
        line.step(step_s, pumped, &mut Conductance(0.0));
        let out = line.opening_kg_s(0) + line.opening_kg_s(1);
        if step > 4_800 && (out / pumped - 1.0).abs() < 1.0e-5 {
            break;
        }
    }
    let tool = |tool: usize| {
        let (pressure_pa, flow) = (line.opening_pa(tool), line.opening_kg_s(tool));
        Tool {
            pressure_pa,
            flow_l_min: VolumeFlow::from_m3_per_s(flow / water.atmospheric_density())
                .litres_per_minute(),
            thrust_n: nozzles[tool].jet(&isotherm, pressure_pa, flow).thrust_n,
        }
    };
    Found {
        pump_pa: line.head_pa(),
        tools: [tool(0), tool(1)],
    }
}
