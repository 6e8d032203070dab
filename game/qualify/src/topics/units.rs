//! The trade's constants, from the conversions of units.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{UNIT_CONSTANTS, rows};
use hydraulics::orifice::round_area_m2;
use hydraulics::units::{Force, Length, Power, Pressure, VolumeFlow};

pub const QUANTITIES: &[Quantity] = &[Quantity {
    id: "unit_constants",
    unit: "1",
    kind: Kind::Relative,
    tolerance: 2.0e-6,
    sources: &["closed_form"],
    parts: &[Part::Nozzle, Part::Pump],
    gather: constants,
}];

/// `v = k1 sqrt(bar)` and so on, for incompressible water.
fn constants(c: &mut Cases) {
    for row in rows(UNIT_CONSTANTS) {
        let rho = row.number("rho");
        let speed = |p: Pressure| (2.0 * p.pa() / rho).sqrt();
        let (bar, psi) = (Pressure::from_bar(1.0), Pressure::from_psi(1.0));
        let litre = VolumeFlow::from_litres_per_minute(1.0).m3_per_s();
        let gallon = VolumeFlow::from_us_gallons_per_minute(1.0).m3_per_s();
        let (mm, inch) = (Length::from_mm(1.0).m(), Length::from_inches(1.0).m());
        let flow = |d: f64, p| VolumeFlow::from_m3_per_s(round_area_m2(d) * speed(p));
        let momentum = 2.0 * psi.pa() * round_area_m2(inch);
        for (column, ours) in [
            ("k1_m_s", speed(bar)),
            ("k2_N", rho * litre * speed(bar)),
            ("k3_lbf", Force::from_n(rho * gallon * speed(psi)).lbf()),
            ("k4_gpm", flow(inch, psi).us_gallons_per_minute()),
            ("k5_Lmin", flow(mm, bar).litres_per_minute()),
            ("k6_hp", Power::from_w(gallon * psi.pa()).hp()),
            ("k7_lbf", Force::from_n(momentum).lbf()),
        ] {
            c.take(format!("{column}, {rho} kg/m3"), ours, row.number(column));
        }
    }
}
