//! What the suction brings to the pump.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{Row, SUCTION, rows};
use hydraulics::SuctionSpec;
use hydraulics::suction::{Passage, SuctionWater};
use hydraulics::units::{AngularSpeed, VolumeFlow};
use hydraulics::water::Water;

const PARTS: &[Part] = &[Part::Pump];
const SOURCES: &[&str] = &["suction_line"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "suction_flow",
        unit: "L/min",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: SOURCES,
        parts: PARTS,
        gather: |c| {
            each(c, "Q_L_min", |case| {
                VolumeFlow::from_m3_per_s(case.brings()).litres_per_minute()
            })
        },
    },
    Quantity {
        id: "suction_inlet_pressure",
        unit: "bar",
        kind: Kind::Difference,
        tolerance: 1.0e-5,
        sources: SOURCES,
        parts: PARTS,
        gather: |c| {
            each(c, "inlet_bar", |case| {
                let flow = case.brings();
                1.0e-5
                    * case
                        .spec
                        .inlet_pressure_pa(&case.passage, &case.water, flow)
            })
        },
    },
    Quantity {
        id: "acceleration_head",
        unit: "m",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: SOURCES,
        parts: PARTS,
        gather: |c| {
            each(c, "acceleration_head_m", |case| {
                case.spec
                    .acceleration_head_m(case.brings(), case.crank_rad_s)
            })
        },
    },
];

struct Case {
    spec: SuctionSpec,
    passage: Passage,
    water: SuctionWater,
    crank_rad_s: f64,
}

impl Case {
    fn of(row: &Row) -> Self {
        let speed = |column| AngularSpeed::from_rpm(row.number(column)).rad_per_s();
        let stalls = VolumeFlow::from_litres_per_minute(row.number("stall_L_min")).m3_per_s();
        let still_pressure_pa = row.pascal("still_bar");
        Self {
            spec: SuctionSpec {
                still_pressure_pa,
                fall_pa_s2_m6: still_pressure_pa / (stalls * stalls),
                bore_m: 1.0e-3 * row.number("bore_mm"),
                length_m: row.number("length_m"),
                line_loss: row.number("K_line"),
                valve_loss: row.number("K_valve"),
                strainer_loss: row.number("K_strainer"),
                unsteadiness_min_s: row.number("C_min_s"),
                springiness: row.number("K_springy"),
                npsh_required_m: row.number("NPSHr_m"),
                npsh_valves_m: row.number("NPSH_springs_m"),
                npsh_speed_rad_s: speed("rated_rpm"),
            },
            passage: Passage {
                open: row.number("opening"),
                fouled: row.number("fouled"),
                lost: 0.0,
            },
            water: SuctionWater::of(&Water::at_celsius(row.number("T_C"))),
            crank_rad_s: speed("rpm"),
        }
    }

    fn brings(&self) -> f64 {
        let Case { spec, passage, .. } = self;
        spec.brings_m3_s(passage, &self.water, self.crank_rad_s)
    }
}

fn each(c: &mut Cases, column: &str, of: impl Fn(&Case) -> f64) {
    for row in rows(SUCTION) {
        let at = format!(
            "{} mm line at {} rpm and {} degC, valve {} open, strainer {} blocked",
            row.text("bore_mm"),
            row.text("rpm"),
            row.text("T_C"),
            row.text("opening"),
            row.text("fouled")
        );
        c.take(at, of(&Case::of(&row)), row.number(column));
    }
}
