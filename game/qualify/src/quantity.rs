//! What is compared, and how its cases are gathered.

use crate::case::{Case, Kind, judge};
use crate::sources;
use std::fmt::Display;

/// A part of the physics that a level may depend on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Properties of water.
    Water,
    /// The plunger pump.
    Pump,
    /// The engine and its governor.
    Engine,
    /// The bypass regulator.
    Regulator,
    /// The dump valve.
    Dump,
    /// Hoses: friction, storage, waves.
    Line,
    /// The nozzle: flow, speed, thrust.
    Nozzle,
    /// The jet in the air and on the surface.
    Jet,
    /// The operator's body.
    Operator,
    /// Noise and its dose.
    Noise,
}

impl Part {
    /// All of them.
    pub const ALL: [Part; 10] = [
        Part::Water,
        Part::Pump,
        Part::Engine,
        Part::Regulator,
        Part::Dump,
        Part::Line,
        Part::Nozzle,
        Part::Jet,
        Part::Operator,
        Part::Noise,
    ];

    /// Its name in ids.
    pub fn id(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Pump => "pump",
            Self::Engine => "engine",
            Self::Regulator => "regulator",
            Self::Dump => "dump",
            Self::Line => "line",
            Self::Nozzle => "nozzle",
            Self::Jet => "jet",
            Self::Operator => "operator",
            Self::Noise => "noise",
        }
    }
}

/// A quantity that is compared with values from outside.
#[derive(Debug)]
pub struct Quantity {
    /// Its name in data and ids; small letters, digits and `_`.
    pub id: &'static str,
    /// Unit of its values; 1 for a pure number.
    pub unit: &'static str,
    /// How its values are compared.
    pub kind: Kind,
    /// How far they may be off; a published value brings its own tolerance, and a table in which
    /// the core is better has a narrower one.
    pub tolerance: f64,
    /// Keys of the sources, see [`sources`]. The first is that of a case that names no other.
    pub sources: &'static [&'static str],
    /// What of the physics it proves.
    pub parts: &'static [Part],
    /// Gathers the cases.
    pub(crate) gather: fn(&mut Cases),
}

impl Quantity {
    /// A quantity that is compared by its difference over the size of the reference.
    pub(crate) const fn relative(
        id: &'static str,
        unit: &'static str,
        tolerance: f64,
        sources: &'static [&'static str],
        parts: &'static [Part],
        gather: fn(&mut Cases),
    ) -> Self {
        Self {
            id,
            unit,
            kind: Kind::Relative,
            tolerance,
            sources,
            parts,
            gather,
        }
    }

    /// Id of its title among the texts.
    pub fn title_id(&self) -> String {
        format!("qualify-quantity-{}", self.id)
    }

    /// Its cases, judged.
    pub(crate) fn cases(&'static self) -> Vec<Case> {
        let mut cases = Cases {
            quantity: self,
            found: Vec::new(),
        };
        (self.gather)(&mut cases);
        cases.found
    }
}

/// Where the cases of one quantity are put.
pub(crate) struct Cases {
    quantity: &'static Quantity,
    found: Vec<Case>,
}

/// Where a reference is from and how well it must be met.
pub(crate) struct Terms {
    pub source_key: &'static str,
    pub source: String,
    pub tolerance: f64,
}

impl Cases {
    /// A value under the quantity's own tolerance, from its first source.
    pub fn take(&mut self, case: impl Display, ours: f64, reference: f64) {
        self.take_within(self.quantity.tolerance, case, ours, reference);
    }

    /// A value with a tolerance of its table.
    pub fn take_within(&mut self, tolerance: f64, case: impl Display, ours: f64, reference: f64) {
        let source_key = self.quantity.sources.first().copied().unwrap_or_default();
        let terms = Terms {
            source_key,
            source: sources::text(source_key).to_owned(),
            tolerance,
        };
        self.take_under(terms, case, ours, reference);
    }

    /// A value with a source and a tolerance of its own.
    pub fn take_under(&mut self, terms: Terms, case: impl Display, ours: f64, reference: f64) {
        let kind = self.quantity.kind;
        self.found.push(Case {
            quantity: self.quantity.id,
            case: case.to_string(),
            reference,
            unit: self.quantity.unit,
            source: terms.source,
            source_key: terms.source_key,
            tolerance: terms.tolerance,
            kind,
            ours,
            verdict: judge(kind, ours, reference, terms.tolerance),
        });
    }
}
