//! What was measured, in the units that screens show.

use crate::screens::units::shown;
use crate::settings::Units;
use records::Quantity;
use records::words;

/// A value and its limit, each with its unit.
pub(super) fn measured(units: Units, value: f64, limit: f64, unit: &str) -> (String, String) {
    let (by, unit) = shown(units, unit);
    words::measured(value * by, limit * by, unit)
}

/// An amount with its unit.
pub(super) fn amount(units: Units, value: f64, unit: &'static str) -> String {
    let (by, unit) = shown(units, unit);
    format!("{} {unit}", words::short(value * by, 1))
}

/// The unit that an amount is shown in.
pub(super) fn name(units: Units, unit: &'static str) -> &'static str {
    shown(units, unit).1
}

/// What a drawn quantity is multiplied with.
pub(super) fn factor(units: Units, quantity: Quantity) -> f64 {
    let thousandth = if quantity == Quantity::TravelSpeed {
        0.001
    } else {
        1.0
    };
    thousandth * shown(units, unit(quantity)).0
}

/// The unit that a quantity is drawn in, before it becomes another. Millimetres
/// a second say less than metres do.
pub(super) fn unit(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::PumpPressure | Quantity::SetPressure | Quantity::Gauge => "bar",
        Quantity::ToolFlow | Quantity::BypassFlow => "L/min",
        Quantity::Thrust => "N",
        Quantity::StandOff => "mm",
        Quantity::TravelSpeed => "m/s",
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
