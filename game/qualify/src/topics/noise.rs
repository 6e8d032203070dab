//! Noise: level over distance, and how long a level may be borne.

use crate::case::Kind;
use crate::published::checks;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{NOISE, Row, rows};
use hydraulics::noise::{Criterion, level_at};

const PARTS: &[Part] = &[Part::Noise];

pub const QUANTITIES: &[Quantity] = &[
    // A level has no size, only a distance to another.
    Quantity {
        id: "noise_level",
        unit: "dB(A)",
        kind: Kind::Difference,
        tolerance: 0.001,
        sources: &["closed_form"],
        parts: PARTS,
        gather: level,
    },
    Quantity {
        id: "permitted_exposure",
        unit: "s",
        kind: Kind::Relative,
        tolerance: 1.0e-4,
        sources: &["closed_form"],
        parts: PARTS,
        gather: exposure,
    },
    Quantity {
        id: "published_exposure",
        unit: "s",
        kind: Kind::Relative,
        tolerance: 0.15,
        sources: &["niosh", "psa_norway"],
        parts: PARTS,
        gather: published_exposure,
    },
];

/// That of the table.
const EIGHT_HOURS: Criterion = Criterion {
    level_db: 85.0,
    duration_s: 8.0 * 3_600.0,
    exchange_db: 3.0,
};

fn heard(row: &Row) -> (f64, String) {
    let [loud, near, far] = ["L1_dBA", "r1_m", "r_m"].map(|k| row.number(k));
    let at = format!("{loud} dB(A) at {near} m, heard at {far} m");
    (level_at(loud, near, far), at)
}

fn level(c: &mut Cases) {
    for row in rows(NOISE) {
        let (ours, at) = heard(&row);
        c.take(at, ours, row.number("L_dBA"));
    }
}

fn exposure(c: &mut Cases) {
    for row in rows(NOISE) {
        let (level, at) = heard(&row);
        let ours = EIGHT_HOURS.permitted_s(level);
        c.take(at, ours, row.number("permitted_s_85_3dB"));
    }
}

fn published_exposure(c: &mut Cases) {
    for check in checks() {
        if !check.quantity().starts_with("time to daily limit") {
            continue;
        }
        let given = |text: Option<f64>| text.unwrap_or(f64::NAN);
        let criterion = Criterion {
            level_db: given(check.given("dB")),
            duration_s: 3_600.0 * given(check.given("h")),
            exchange_db: given(check.before(" dB exchange")),
        };
        let ours = criterion.permitted_s(given(check.given("dB(A)")));
        c.take_published(&check, ours, check.expected());
    }
}
