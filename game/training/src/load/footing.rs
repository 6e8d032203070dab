//! `catalogue/footings.ron`: what feet stand on, and how well they hold there; and where a site has
//! which.

use super::catalogue::{Catalogue, CatalogueIds};
use super::parts::{Origin, Stated, TITLE, origin, stated, words};
use super::site::YARD_M;
use crate::data::{Ids, Reader};
use crate::level::{Footing, Words};

/// A kind of ground of the catalogue.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Where its figures come from.
    pub origin: Origin,
    /// Friction of a boot on it, as a share of the weight.
    pub friction: Stated,
}

/// Reads one kind of ground.
pub(super) fn ground_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Ground {
    Ground {
        id: r.new_id("id", ids),
        title: r.field("title", |c| words(c, TITLE)),
        origin: origin(r),
        friction: stated(r, "friction", 0.01..=1.5),
    }
}

/// Reads a part of a site's ground. Nothing when something is wrong in the catalogue.
pub(super) fn footing(
    r: &mut Reader<'_, '_>,
    catalogue: Option<&Catalogue>,
    ids: &CatalogueIds,
) -> Option<Footing> {
    let kind = r.reference("kind", &ids.footings);
    let [low, high]: [[f64; 2]; 2] =
        ["low_m", "high_m"].map(|name| r.field(name, |c| c.numbers(-YARD_M..=YARD_M)));
    r.check(
        "high_m",
        low[0] < high[0] && low[1] < high[1],
        "data-clash-footing-order",
        vec![],
    );
    let ground = catalogue?.footings.iter().find(|g| g.id == kind)?;
    Some(Footing {
        title: ground.title.clone(),
        friction: ground.friction.value,
        over: [low, high],
        kind,
    })
}
