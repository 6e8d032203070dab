//! What was measured, in the units that screens show.

use crate::settings::Units;
use records::Quantity;
use records::words;

/// What a unit of the mark is multiplied with, and what is shown then; nothing
/// for a unit that stays.
fn shown(units: Units, unit: &str) -> Option<(f64, &'static str)> {
    if units == Units::Metric {
        return None;
    }
    // The pound of force and the foot are exact; a bar is 14.5038 psi, a litre
    // 0.264172 US gallons (NIST SP 811, appendix B).
    Some(match unit {
        "bar" => (14.503_77, "psi"),
        "L/min" => (0.264_172, "gpm"),
        "N" => (1.0 / 4.448_221_615_260_5, "lbf"),
        "m" => (1.0 / 0.3048, "ft"),
        "mm" => (1.0 / 25.4, "in"),
        "m/s" => (1.0 / 0.3048, "ft/s"),
        "mm/s" => (1.0 / 25.4, "in/s"),
        "L" => (0.264_172, "gal"),
        _ => return None,
    })
}

/// A value and its limit, each with its unit.
pub(super) fn measured(units: Units, value: f64, limit: f64, unit: &str) -> (String, String) {
    match shown(units, unit) {
        Some((by, unit)) => words::measured(value * by, limit * by, unit),
        None => words::measured(value, limit, unit),
    }
}

/// An amount with its unit.
pub(super) fn amount(units: Units, value: f64, unit: &'static str) -> String {
    let (by, unit) = shown(units, unit).unwrap_or((1.0, unit));
    format!("{} {unit}", words::short(value * by, 1))
}

/// The unit that an amount is shown in.
pub(super) fn name(units: Units, unit: &'static str) -> &'static str {
    shown(units, unit).map_or(unit, |(_, unit)| unit)
}

/// What a drawn quantity is multiplied with.
pub(super) fn factor(units: Units, quantity: Quantity) -> f64 {
    shown(units, unit(quantity)).map_or(1.0, |(by, _)| by)
}

/// The unit that a quantity is measured in.
pub(super) fn unit(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::PumpPressure | Quantity::SetPressure | Quantity::Gauge => "bar",
        Quantity::ToolFlow | Quantity::BypassFlow => "L/min",
        Quantity::Thrust => "N",
        Quantity::StandOff => "mm",
        Quantity::TravelSpeed => "mm/s",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_elsewhere_is_what_the_mark_measured() {
        assert_eq!(measured(Units::Metric, 318.2, 250.0, "N").0, "318 N");
        let (value, limit) = measured(Units::UsCustomary, 318.2, 250.0, "N");
        // 318.2 N / 4.44822 N and 250 N / 4.44822 N.
        assert_eq!((value.as_str(), limit.as_str()), ("71.5 lbf", "56.2 lbf"));
        // 1000 psi is 68.948 bar in the tables of every gauge.
        let (value, _) = measured(Units::UsCustomary, 68.947_57, 0.0, "bar");
        assert_eq!(value, "1000 psi");
    }

    #[test]
    fn what_has_no_other_unit_stays() {
        for unit in ["s", "%", "open", "points"] {
            assert_eq!(
                measured(Units::UsCustomary, 3.0, 1.0, unit),
                measured(Units::Metric, 3.0, 1.0, unit)
            );
        }
    }
}
