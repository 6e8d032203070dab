//! The trade's constants follow from the unit conversions.

use crate::reference::{Comparison, number, table};
use hydraulics::units::{Force, Length, Power, Pressure, VolumeFlow};

/// Derived from SI in closed form: `v = k1 sqrt(bar)` and so on, for incompressible water.
#[test]
fn practical_constants_follow_from_the_conversions() {
    let mut c = Comparison::relative("practical constants", 2.0e-6);
    // The table gives one over 1,714.286 as 1/1,714.
    let mut hp = Comparison::relative("hp per gpm psi", 2.0e-4);
    for row in table("unit_constants.csv") {
        let rho = number(&row, "rho");
        let speed = |p: Pressure| (2.0 * p.pa() / rho).sqrt();
        let (bar, psi) = (Pressure::from_bar(1.0), Pressure::from_psi(1.0));
        let litre = VolumeFlow::from_litres_per_minute(1.0).m3_per_s();
        let gallon = VolumeFlow::from_us_gallons_per_minute(1.0).m3_per_s();
        let area = |d: Length| std::f64::consts::FRAC_PI_4 * d.m() * d.m();
        let flow = |d: Length, p: Pressure| VolumeFlow::from_m3_per_s(area(d) * speed(p));
        c.take("v", speed(bar), number(&row, "k1_m_s"));
        c.take(
            "N",
            Force::from_n(rho * litre * speed(bar)).n(),
            number(&row, "k2_N"),
        );
        c.take(
            "lbf",
            Force::from_n(rho * gallon * speed(psi)).lbf(),
            number(&row, "k3_lbf"),
        );
        let gpm = flow(Length::from_inches(1.0), psi).us_gallons_per_minute();
        c.take("gpm", gpm, number(&row, "k4_gpm"));
        let litres = flow(Length::from_mm(1.0), bar).litres_per_minute();
        c.take("L/min", litres, number(&row, "k5_Lmin"));
        hp.take(
            "hp",
            Power::from_w(gallon * psi.pa()).hp(),
            number(&row, "k6_hp"),
        );
        let momentum = 2.0 * psi.pa() * area(Length::from_inches(1.0));
        c.take(
            "lbf/in2",
            Force::from_n(momentum).lbf(),
            number(&row, "k7_lbf"),
        );
    }
    c.end();
    hp.end();
}
