//! `regions/<id>.ron`: the limits that law, a code or a site sets.

use super::parts::{TITLE, origin, words};
use crate::data::{Document, Ids, Problems, read};
use crate::region::{Limit, Limits, Region};

/// Reads a region; `id` is the name of its file.
pub(super) fn region(document: &Document, id: &str) -> Result<Region, Problems> {
    read(document, "Region", |r| {
        let region = Region {
            id: r.new_id("id", &mut Ids::default()),
            title: r.field("title", |c| words(c, TITLE)),
            limits: r.record("limits", "Limits", |r| {
                Limits::gather(|name, low, high| {
                    r.record(name, "Limit", |r| {
                        let value = r.field("value", |c| c.named(name).f64(low..=high));
                        let origin = origin(r);
                        Limit {
                            value,
                            source: origin.source,
                            honesty: origin.honesty,
                        }
                    })
                })
            }),
        };
        let file = vec![("file", id.to_owned())];
        r.check("id", region.id == id, "data-clash-region-file", file);
        region
    })
}
