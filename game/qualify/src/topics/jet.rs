//! The jet as it leaves and where it meets a surface.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{IMPACT_PROFILE, NOZZLE_COMPRESSIBLE, rows};
use crate::topics::water::{held, state};
use hydraulics::water::Water;
use hydraulics::{Exit, JetKind, JetSpec, NozzleSpec};

const PARTS: &[Part] = &[Part::Jet];

pub const QUANTITIES: &[Quantity] = &[
    // Of the pressure in the middle. By the difference, because there is none at the edge.
    Quantity {
        id: "impact_profile",
        unit: "1",
        kind: Kind::Difference,
        tolerance: 2.0e-6,
        sources: &["leach_walker"],
        parts: PARTS,
        gather: impact_profile,
    },
    Quantity {
        id: "stagnation_speed",
        unit: "m/s",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: &["isentropic_nozzle"],
        parts: &[Part::Jet, Part::Nozzle],
        gather: stagnation_speed,
    },
];

fn impact_profile(c: &mut Cases) {
    let exit = Exit {
        diameter_m: 1.0e-3,
        stagnation_pa: 1.0e8,
        thrust_n: 157.0,
    };
    for (kind, name) in [
        (JetKind::Round, "round"),
        (JetKind::Fan { spread_rad: 0.35 }, "fan"),
    ] {
        let jet = JetSpec {
            kind,
            core_diameters: 100.0,
            decay: 1.5,
        };
        let impact = jet.impact(&exit, 0.25);
        for row in rows(IMPACT_PROFILE) {
            let out = row.number("r_over_R");
            let ours = impact.pressure_pa(out * impact.half_across_m, 0.0) / impact.centre_pa;
            let at = format!("{name}, {} of the radius", row.text("r_over_R"));
            c.take(at, ours, row.number("p_cubic"));
        }
    }
}

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
