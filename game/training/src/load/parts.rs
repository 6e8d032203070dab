//! Pieces that several kinds of file have in common.

use std::ops::RangeInclusive;

use crate::Honesty;
use crate::data::{Cell, Reader};
use crate::level::Words;

/// Longest title, in characters.
pub(super) const TITLE: usize = 80;
/// Longest passage of text, in characters.
pub(super) const PASSAGE: usize = 2000;

/// Languages that words can be given in besides English (ISO 639-1).
const LANGUAGES: [&str; 20] = [
    "cs", "da", "de", "el", "es", "fi", "fr", "hu", "it", "ja", "ko", "nl", "no", "pl", "pt", "ro",
    "sv", "tr", "uk", "zh",
];

/// Words for people: `(en: "...", de: "...")`; English must be there.
pub(super) fn words(cell: &mut Cell<'_, '_>, limit: usize) -> Words {
    cell.record("Words", |r| Words {
        en: r.text("en", limit),
        others: LANGUAGES
            .into_iter()
            .filter_map(|code| Some((code.to_owned(), r.option(code, |c| c.text(limit))?)))
            .collect(),
    })
}

/// Where a number or an item comes from, and how far that can be trusted.
#[derive(Clone, Debug, PartialEq)]
pub struct Origin {
    /// Where it comes from.
    pub source: String,
    /// How far it can be trusted.
    pub honesty: Honesty,
}

/// The fields `source` and `honesty`.
pub(super) fn origin(r: &mut Reader<'_, '_>) -> Origin {
    const MARKS: [(&str, Honesty); 5] = [
        ("Published", Honesty::Published),
        ("Practice", Honesty::Practice),
        ("Memory", Honesty::Memory),
        ("Derived", Honesty::Derived),
        ("Invented", Honesty::Invented),
    ];
    Origin {
        source: r.text("source", 300),
        honesty: r.word("honesty", &MARKS),
    }
}

/// A number that is known only within a range: the value that is taken, and the least and most
/// that it may be, in the unit that the field's name ends in.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stated {
    /// The least that it may be.
    pub low: f64,
    /// What it is taken for.
    pub value: f64,
    /// The most that it may be.
    pub high: f64,
}

/// `(low: ..., value: ..., high: ...)`, rising in this order.
pub(super) fn stated(
    r: &mut Reader<'_, '_>,
    name: &'static str,
    range: RangeInclusive<f64>,
) -> Stated {
    r.record(name, "Stated", |r| ends(r, name, &range))
}

/// The same, or a plain number where it is known exactly enough.
pub(super) fn stated_or_known(
    r: &mut Reader<'_, '_>,
    name: &'static str,
    range: RangeInclusive<f64>,
) -> Stated {
    r.field(name, |c| {
        if c.has_fields() {
            return c.record("Stated", |r| ends(r, name, &range));
        }
        let value = c.f64(range);
        Stated {
            low: value,
            value,
            high: value,
        }
    })
}

fn ends(r: &mut Reader<'_, '_>, name: &'static str, range: &RangeInclusive<f64>) -> Stated {
    let mut part = |field| r.field(field, |c| c.named(name).f64(range.clone()));
    let stated = Stated {
        low: part("low"),
        value: part("value"),
        high: part("high"),
    };
    r.check(
        "value",
        stated.low <= stated.value && stated.value <= stated.high,
        "data-clash-stated",
        vec![
            ("low", stated.low.to_string()),
            ("value", stated.value.to_string()),
            ("high", stated.high.to_string()),
        ],
    );
    stated
}
