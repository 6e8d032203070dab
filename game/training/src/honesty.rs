//! How far a number or a rule can be trusted.

use serde::{Deserialize, Serialize};

/// Where a number or a rule comes from, so that nobody takes a guess for a
/// published figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Honesty {
    /// Read in a published source, which is named beside it.
    Published,
    /// Common practice of the trade, no source.
    Practice,
    /// From memory; not checked against a source.
    Memory,
    /// Worked out here from something published, or a choice of this project.
    Derived,
    /// Made up for the scenario.
    Invented,
}

impl Honesty {
    /// All marks.
    pub const ALL: [Honesty; 5] = [
        Honesty::Published,
        Honesty::Practice,
        Honesty::Memory,
        Honesty::Derived,
        Honesty::Invented,
    ];

    /// Stable name, as printed and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Honesty::Published => "published",
            Honesty::Practice => "practice",
            Honesty::Memory => "memory",
            Honesty::Derived => "derived",
            Honesty::Invented => "invented",
        }
    }
}
