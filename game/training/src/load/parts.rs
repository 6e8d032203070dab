//! Pieces that several kinds of file have in common.

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
