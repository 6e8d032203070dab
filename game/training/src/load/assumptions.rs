//! `catalogue/assumptions.ron`: what the whole yard takes for granted, with ranges and sources.

use super::parts::{origin, stated};
use crate::assumed::Assumed;
use crate::assumptions::{Assumptions, Known};
use crate::data::{Document, Ids, Kind, Problems, Reader, Reading};

/// The file. Recordings from before there was one lack it.
pub(super) const FILE: &str = "catalogue/assumptions.ron";

/// Assumptions as a file states them.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Given {
    /// Their values.
    pub values: Assumptions,
    /// Their ranges.
    pub assumed: Vec<Assumed>,
}

/// Reads the file. One `kept` in a recording may lack what came later: then holds what held
/// before, and no range is known.
pub(super) fn assumptions(document: &Document, kept: bool) -> Result<Given, Problems> {
    let known: Vec<&'static str> = Assumptions::KNOWN.iter().map(|k| k.id).collect();
    let mut named = Ids::default();
    let read = Reading::of(document)
        .kept(kept)
        .list("Assumptions", 1..=200, |c| {
            c.record("Assumption", |r| row(r, &known, &mut named))
        })?;
    let mut given = Given::default();
    for assumed in read.value.into_iter().flatten() {
        given.values.put(&assumed.id, assumed.value);
        given.assumed.push(assumed);
    }
    let start = document.root.span.start as usize;
    let missing = Assumptions::KNOWN
        .iter()
        .filter(|k| !kept && given.assumed.iter().all(|a| a.id != k.id))
        .map(|k| {
            let field = k.id.to_owned();
            let kind = Kind::MissingField { field };
            document.source.problem(start, "assumptions", kind)
        });
    let missing: Problems = missing.collect::<Vec<_>>().into();
    missing.or(given)
}

/// One assumption; nothing where its name is not in the table.
fn row(r: &mut Reader<'_, '_>, known: &[&'static str], named: &mut Ids) -> Option<Assumed> {
    let id = r.field("id", |c| c.new_name(known, named));
    let known: Option<&Known> = Assumptions::KNOWN.iter().find(|k| k.id == id);
    let source = origin(r).source;
    let Some(known) = known else {
        // Its unit and range cannot be known; that they are there is enough.
        for field in ["unit", "range"] {
            let _ = r.option(field, |_| ());
        }
        return None;
    };
    let unit = r.text("unit", 20);
    let wanted = vec![("unit", known.unit.to_owned())];
    r.check(
        "unit",
        unit == known.unit,
        "data-clash-assumption-unit",
        wanted,
    );
    let range = stated(r, "range", known.least..=known.most);
    Some(Assumed {
        id,
        unit: known.unit.to_owned(),
        low: range.low,
        value: range.value,
        high: range.high,
        source,
    })
}
