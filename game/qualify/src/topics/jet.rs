//! The jet as it leaves.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::NOZZLE_COMPRESSIBLE;
use crate::topics::water::{held, state};
use hydraulics::water::Water;
use hydraulics::{Exit, NozzleSpec};

pub const QUANTITIES: &[Quantity] = &[Quantity {
    id: "stagnation_speed",
    unit: "m/s",
    kind: Kind::Relative,
    tolerance: 0.001,
    sources: &["isentropic_nozzle"],
    parts: &[Part::Jet, Part::Nozzle],
    gather: stagnation_speed,
}];

/// The speed that the stagnation pressure stands for which the jet is given.
fn stagnation_speed(c: &mut Cases) {
    for row in held(NOZZLE_COMPRESSIBLE) {
        let p = row.pascal("P_bar_gauge");
        let line = Water::at_celsius(row.number("T_C")).isotherm();
        let density = line.atmospheric_density();
        let nozzle = NozzleSpec::round(1.2e-3, 0.9, 1.0);
        let jet = nozzle.jet(&line, p, nozzle.mass_flow(&line, p));
        let exit = Exit::of(jet.mass_flow_kg_s, jet.thrust_n, density);
        let ours = exit.map_or(f64::NAN, |e| (2.0 * e.stagnation_pa / density).sqrt());
        c.take(state(&row, "P_bar_gauge"), ours, row.number("v_isen_m_s"));
    }
}
