//! From the units of the trade, which data files use, to SI. The one place where that is done.

use core::f64::consts::PI;

use hydraulics::units::{LITRES_PER_MINUTE_PER_M3_PER_S, PA_PER_BAR};

/// Pascals.
pub(super) fn pa(bar: f64) -> f64 {
    bar * PA_PER_BAR
}

/// Bar.
pub(super) fn bar(pa: f64) -> f64 {
    pa / PA_PER_BAR
}

/// Cubic metres a second.
pub(super) fn m3_s(lpm: f64) -> f64 {
    lpm / LITRES_PER_MINUTE_PER_M3_PER_S
}

/// Litres a minute.
pub(super) fn lpm(m3_s: f64) -> f64 {
    m3_s * LITRES_PER_MINUTE_PER_M3_PER_S
}

/// Metres.
pub(super) fn m(mm: f64) -> f64 {
    mm * 1.0e-3
}

/// Newtons.
pub(super) fn n(kn: f64) -> f64 {
    kn * 1.0e3
}

/// Cubic metres.
pub(super) fn m3(l: f64) -> f64 {
    l * 1.0e-3
}

/// Radians a second.
pub(super) fn rad_s(rpm: f64) -> f64 {
    rpm * PI / 30.0
}

/// Revolutions a minute.
pub(super) fn rpm(rad_s: f64) -> f64 {
    rad_s * 30.0 / PI
}

/// Seconds.
pub(super) fn s(us: f64) -> f64 {
    us * 1.0e-6
}

/// Radians.
pub(super) fn rad(deg: f64) -> f64 {
    deg * PI / 180.0
}

/// A share of one.
pub(super) fn share(pct: f64) -> f64 {
    pct * 0.01
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trade_units_turn_into_si() {
        assert_eq!(pa(700.0), 7.0e7);
        assert_eq!(bar(7.0e7), 700.0);
        assert!((m3_s(60.0) - 1.0e-3).abs() < 1e-18);
        assert!((lpm(1.0e-3) - 60.0).abs() < 1e-12);
        assert_eq!(m(1600.0), 1.6);
        assert_eq!(n(26.5), 26_500.0);
        assert_eq!(m3(300.0), 0.3);
        assert!((rad_s(60.0) - 2.0 * PI).abs() < 1e-15);
        assert!((rpm(2.0 * PI) - 60.0).abs() < 1e-12);
        assert_eq!(rad(180.0), PI);
        assert!((s(60.0) - 6.0e-5).abs() < 1e-18);
        assert_eq!(share(25.0), 0.25);
    }
}
