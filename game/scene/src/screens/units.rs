//! Amounts in the units that screens show.
//!
//! Everything is measured in metric units. The others follow from definitions
//! that are exact: the inch of 25.4 mm, the pound of 0.453 592 37 kg in standard
//! gravity, the US gallon of 231 cubic inches (NIST SP 811, appendix B).

use crate::settings::Units;
use training::text::number;

/// Metres in a foot.
const FOOT_M: f64 = 0.3048;
/// Newtons in a pound of force.
const POUND_N: f64 = 0.453_592_37 * 9.806_65;
/// Litres in a US gallon.
const GALLON_L: f64 = 231.0 * 0.254 * 0.254 * 0.254;
/// Bar in a pound of force on a square inch.
const PSI_BAR: f64 = POUND_N / (0.0254 * 0.0254) / 1e5;

/// What a metric unit is multiplied with, and what it is called then.
pub fn shown(units: Units, unit: &str) -> (f64, &str) {
    if units == Units::Metric {
        return (1.0, unit);
    }
    match unit {
        "bar" => (1.0 / PSI_BAR, "psi"),
        "L/min" => (1.0 / GALLON_L, "gpm"),
        "L" => (1.0 / GALLON_L, "gal"),
        "N" => (1.0 / POUND_N, "lbf"),
        "m" => (1.0 / FOOT_M, "ft"),
        "m/s" => (1.0 / FOOT_M, "ft/s"),
        "mm" => (12.0 / (1000.0 * FOOT_M), "in"),
        _ => (1.0, unit),
    }
}

/// An amount of a metric unit as it is shown, with three figures that mean
/// something.
pub fn amount(units: Units, value: f64, unit: &str) -> String {
    let (by, unit) = shown(units, unit);
    let value = value * by;
    let decimals = match value.abs() {
        v if v >= 100.0 || v == 0.0 => 0,
        v if v >= 10.0 => 1,
        v if v >= 1.0 => 2,
        _ => 3,
    };
    let written = number(value, decimals);
    let written = if written.contains('.') {
        written.trim_end_matches('0').trim_end_matches('.')
    } else {
        &written
    };
    // What is read off a large gauge has no more than three figures.
    let written = if unit == "psi" && value >= 1000.0 {
        number((value / 10.0).round() * 10.0, 0)
    } else {
        written.to_owned()
    };
    format!("{written} {unit}")
}

/// A time as a clock shows it, minutes and seconds.
pub fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0) as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line of the reference table, by the name of its column.
    fn reference(rho: &str) -> impl Fn(&str) -> f64 {
        let table = include_str!("../../../../tests/reference/unit_constants.csv");
        let lines = table.lines().filter(|l| !l.starts_with('#'));
        let mut rows = lines.map(|l| l.split(',').collect::<Vec<_>>());
        let head = rows.next().unwrap();
        let row = rows.find(|r| r[0] == rho).unwrap();
        move |column| {
            let n = head.iter().position(|h| *h == column).unwrap();
            row[n].parse().unwrap()
        }
    }

    fn factor(unit: &str) -> f64 {
        shown(Units::UsCustomary, unit).0
    }

    fn close(a: f64, b: f64) -> bool {
        // The table has seven figures, and each is made of two of its columns.
        ((a - b) / b).abs() < 4e-7
    }

    #[test]
    fn metric_constants_become_those_of_the_other_units() {
        for rho in ["998.2", "1000"] {
            let k = reference(rho);
            // F = k Q sqrt(p), in N, L/min, bar and in lbf, gpm, psi.
            let k3 = k("k2_N") * factor("N") / factor("L/min") / factor("bar").sqrt();
            assert!(close(k3, k("k3_lbf")), "{k3} for {}", k("k3_lbf"));
            // Q = k d2 sqrt(p), in L/min, mm, bar and in gpm, in, psi.
            let inches = factor("mm").powi(2);
            let k4 = k("k5_Lmin") * factor("L/min") / inches / factor("bar").sqrt();
            assert!(close(k4, k("k4_gpm")), "{k4} for {}", k("k4_gpm"));
        }
    }

    #[test]
    fn a_pressure_on_an_area_is_the_same_force_in_both() {
        // F = k d2 p in lbf, in, psi: twice the area of a circle.
        let newtons = 2.0 * core::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254 * 1e5 * PSI_BAR;
        let k7 = newtons * factor("N");
        assert!(close(k7, reference("1000")("k7_lbf")), "{k7}");
    }

    #[test]
    fn the_comparer_can_fail() {
        assert!(!close(1.000_001, 1.0));
    }

    #[test]
    fn amounts_are_written_as_people_say_them() {
        assert_eq!(amount(Units::Metric, 700.0, "bar"), "700 bar");
        assert_eq!(amount(Units::UsCustomary, 700.0, "bar"), "10150 psi");
        assert_eq!(amount(Units::UsCustomary, 7.0, "bar"), "102 psi");
        assert_eq!(amount(Units::UsCustomary, 250.0, "N"), "56.2 lbf");
        assert_eq!(amount(Units::UsCustomary, 33.0, "L/min"), "8.72 gpm");
        assert_eq!(amount(Units::Metric, 2.5, "s"), "2.5 s");
        assert_eq!(amount(Units::UsCustomary, 2.5, "s"), "2.5 s");
        assert_eq!(amount(Units::Metric, 0.0, "bar"), "0 bar");
    }

    #[test]
    fn a_clock_shows_minutes_and_seconds() {
        assert_eq!(clock(0.0), "0:00");
        assert_eq!(clock(659.9), "10:59");
        assert_eq!(clock(f64::NAN), "0:00");
    }
}
