//! Pipe friction: Darcy factor over all regimes.

/// Reynolds number below which [`churchill`] is not evaluated by the hose: in the laminar range
/// the loss is nil beside the pressures here, and a factor held over a tick must not be the
/// huge one of a standstill.
pub const REYNOLDS_FLOOR: f64 = 3_000.0;

/// Darcy friction factor by Churchill's 1977 equation for all regimes (S. W. Churchill,
/// Chemical Engineering 84(24), 1977), from Reynolds number and relative roughness `eps/D`.
///
/// Within 1 % of the Colebrook equation for the smooth bores and flows of jetting hose; 64/Re
/// in laminar flow. A Reynolds number of zero or below is treated as 1e-6.
pub fn churchill(reynolds: f64, relative_roughness: f64) -> f64 {
    let re = if reynolds > 1.0e-6 { reynolds } else { 1.0e-6 };
    let term = libm::pow(7.0 / re, 0.9) + 0.27 * relative_roughness.max(0.0);
    let a = pow16(2.457 * -libm::log(term));
    let b = pow16(37_530.0 / re);
    let laminar = pow12(8.0 / re);
    8.0 * libm::pow(laminar + 1.0 / libm::pow(a + b, 1.5), 1.0 / 12.0)
}

fn pow16(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    let x8 = x4 * x4;
    x8 * x8
}

fn pow12(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    x4 * x4 * x4
}
