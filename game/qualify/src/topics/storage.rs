//! Elastic energy of compressed water.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::STORED_ENERGY;
use crate::topics::water::{held, state};
use hydraulics::storage::{elastic_energy_j_kg, elastic_energy_j_m3};
use hydraulics::water::{ATMOSPHERE_PA, CompressionCurve, Water};

const PARTS: &[Part] = &[Part::Water, Part::Line];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "stored_energy",
        unit: "J/kg",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: &["iapws95"],
        parts: PARTS,
        gather: |c| energy(c, "e_J_per_kg", elastic_energy_j_kg),
    },
    Quantity {
        id: "stored_energy_of_a_litre",
        unit: "J/L",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: &["iapws95"],
        parts: PARTS,
        gather: |c| {
            energy(c, "E_J_per_L", |line, p| {
                1.0e-3 * elastic_energy_j_m3(line, p)
            });
        },
    },
];

/// The table's water has its temperature under pressure.
fn energy(c: &mut Cases, column: &str, of: impl Fn(&CompressionCurve, f64) -> f64) {
    for row in held(STORED_ENERGY) {
        let (t, p) = (row.number("T_C"), row.pascal("P_bar_gauge"));
        let released = Water::at_celsius(t).squeezed(ATMOSPHERE_PA + p, ATMOSPHERE_PA);
        let ours = of(&released.isentrope(), p);
        c.take(state(&row, "P_bar_gauge"), ours, row.number(column));
    }
}
