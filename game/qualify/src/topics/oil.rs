//! The power end's oil over temperature, and its cooler.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{OIL_COOLER, OIL_VISCOSITY, rows};
use hydraulics::OilSpec;
use hydraulics::power_end::effectiveness;

const PARTS: &[Part] = &[Part::Pump];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "oil_viscosity",
        unit: "mm2/s",
        kind: Kind::Relative,
        // The terms for thin liquids, which the core leaves out, are 2e-5 of the thinnest.
        tolerance: 1.0e-4,
        sources: &["astm_d341"],
        parts: PARTS,
        gather: viscosity,
    },
    Quantity {
        id: "oil_cooler_effectiveness",
        unit: "1",
        kind: Kind::Relative,
        tolerance: 1.0e-6,
        sources: &["exchangers"],
        parts: PARTS,
        gather: cooler,
    },
];

fn viscosity(c: &mut Cases) {
    for row in rows(OIL_VISCOSITY) {
        let oil = OilSpec {
            viscosity_40_m2_s: 1.0e-6 * row.number("grade_mm2_s"),
            viscosity_100_m2_s: 1.0e-6 * row.number("v100_mm2_s"),
            density_kg_m3: 890.0,
            heat_j_kg_k: 1_900.0,
        };
        let ours = 1.0e6 * oil.kinematic_m2_s(row.number("T_C"));
        let at = format!(
            "grade {}, {} degC",
            row.text("grade_mm2_s"),
            row.text("T_C")
        );
        c.take(at, ours, row.number("v_mm2_s"));
    }
}

fn cooler(c: &mut Cases) {
    for row in rows(OIL_COOLER) {
        let ours = effectiveness(row.number("NTU"), row.number("Cr"));
        let at = format!(
            "{} transfer units, ratio {}",
            row.text("NTU"),
            row.text("Cr")
        );
        c.take(at, ours, row.number("effectiveness"));
    }
}
