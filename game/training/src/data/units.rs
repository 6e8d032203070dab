//! The unit at the end of a field's name, as authors write it.

/// Units that our fields end in, and how they read in a message.
const OURS: [(&str, &str); 46] = [
    ("bar", "bar"),
    ("mbar", "mbar"),
    ("gpa", "GPa"),
    ("lpm", "L/min"),
    ("m3pm", "m3/min"),
    ("l", "L"),
    ("ml", "mL"),
    ("ml_min_bar", "mL/min per bar"),
    ("m3", "m3"),
    ("mm", "mm"),
    ("um", "micrometre"),
    ("m", "m"),
    ("m2", "m2"),
    ("mps", "m/s"),
    ("mm2", "mm2"),
    ("cm2", "cm2"),
    ("m_s", "m/s"),
    ("kg", "kg"),
    ("g", "g"),
    ("kg_m", "kg/m"),
    ("kg_m2", "kg m2"),
    ("n", "N"),
    ("kn", "kN"),
    ("kn_m", "kN/m"),
    ("n_m", "N m"),
    ("n_m2", "N m2"),
    ("n_m2_per_bar", "N m2 per bar"),
    ("n_s_m", "N s/m"),
    ("kw", "kW"),
    ("w", "W"),
    ("kj", "kJ"),
    ("mj_kg", "MJ/kg"),
    ("rpm", "rev/min"),
    ("hz", "Hz"),
    ("s", "s"),
    ("ms", "ms"),
    ("us", "microseconds"),
    ("per_s", "per second"),
    ("min", "min"),
    ("h", "h"),
    ("deg", "degrees"),
    ("c", "degrees Celsius"),
    ("db", "dB(A)"),
    ("pct", "%"),
    ("share", "as a share of one"),
    ("gpkwh", "g/kWh"),
];

/// Units that authors may bring from elsewhere; none is ours.
const FOREIGN: [&str; 29] = [
    "psi", "psig", "kpa", "mpa", "pa", "atm", "gpm", "lps", "m3h", "in", "inch", "ft", "yd", "cm",
    "km", "lb", "lbs", "lbf", "kgf", "hp", "ps", "mph", "kmh", "fps", "f", "k", "rad", "sec",
    "percent",
];

/// Splits a field's name into what it says and the unit it ends in.
pub(super) fn split(field: &str) -> Option<(&str, &str)> {
    // The longest that fits: `mass_kg_m` ends in kg/m and not in m.
    let unit = OURS
        .iter()
        .map(|(unit, _)| *unit)
        .filter(|unit| stem(field, unit).is_some())
        .max_by_key(|unit| unit.len())?;
    Some((stem(field, unit)?, unit))
}

fn stem<'f>(field: &'f str, unit: &str) -> Option<&'f str> {
    let stem = field.strip_suffix(unit)?.strip_suffix('_')?;
    (!stem.is_empty()).then_some(stem)
}

/// How the unit of a field reads in a message; nothing for a field without one.
pub(super) fn shown(field: &str) -> Option<&'static str> {
    let (_, unit) = split(field)?;
    OURS.iter()
        .find(|(u, _)| *u == unit)
        .map(|(_, shown)| *shown)
}

/// Is `written` the field `wanted` with another unit, or with none?
pub(super) fn differ_in_unit_only(written: &str, wanted: &str) -> bool {
    let Some((stem, _)) = split(wanted) else {
        return false;
    };
    match written.strip_prefix(stem) {
        Some("") => true,
        Some(rest) => rest.strip_prefix('_').is_some_and(|unit| {
            let unit = unit.to_ascii_lowercase();
            FOREIGN.contains(&unit.as_str()) || OURS.iter().any(|(u, _)| *u == unit)
        }),
        None => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_foreign_unit_or_none_is_seen_as_the_same_field() {
        assert!(differ_in_unit_only("pressure_psi", "pressure_bar"));
        assert!(differ_in_unit_only("pressure_mpa", "pressure_bar"));
        assert!(differ_in_unit_only("pressure_MPa", "pressure_bar"));
        assert!(differ_in_unit_only("pressure", "pressure_bar"));
        assert!(differ_in_unit_only("bore_m", "bore_mm"));
        assert!(!differ_in_unit_only("pressure_low", "pressure_bar"));
        assert!(!differ_in_unit_only("rating_psi", "pressure_bar"));
        assert!(!differ_in_unit_only("name_psi", "name"));
    }

    #[test]
    fn the_unit_is_the_last_word_of_the_name() {
        assert_eq!(shown("flow_lpm"), Some("L/min"));
        assert_eq!(shown("bend_radius_m"), Some("m"));
        assert_eq!(shown("mass_kg_m"), Some("kg/m"));
        assert_eq!(shown("cylinders"), None);
        assert_eq!(shown("bar"), None);
    }
}
