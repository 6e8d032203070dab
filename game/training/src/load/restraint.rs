//! `catalogue/restraints.ron`: what holds the end of a hose whose coupling lets go.

use super::parts::{Origin, Stated, TITLE, origin, stated_or_known, words};
use super::si::{m, n};
use crate::data::{Ids, Reader};
use crate::level::{Equipment, Restraint, Site, Words};
use crew::Control;

/// A whip restraint of the catalogue.
#[derive(Clone, Debug, PartialEq)]
pub struct Tether {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Where its figures come from.
    pub origin: Origin,
    /// Load at which it breaks, kilonewtons.
    pub strength_kn: Stated,
    /// Load at which what it is clipped to gives way, kilonewtons.
    pub anchor_kn: Stated,
    /// Its stiffness once it is taut, kilonewtons per metre.
    pub stiffness_kn_m: Stated,
    /// Way that the end of the hose has before it is taut, millimetres.
    pub slack_mm: Stated,
}

impl Tether {
    /// As it is clipped over a coupling.
    pub(super) fn clipped(&self) -> Restraint {
        Restraint {
            id: self.id.clone(),
            title: self.title.clone(),
            strength_n: n(self.strength_kn.value),
            anchor_n: n(self.anchor_kn.value),
            stiffness_n_m: n(self.stiffness_kn_m.value),
            slack_m: m(self.slack_mm.value),
        }
    }
}

/// Reads one restraint.
pub(super) fn restraint_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Tether {
    Tether {
        id: r.new_id("id", ids),
        title: r.field("title", |c| words(c, TITLE)),
        origin: origin(r),
        strength_kn: stated_or_known(r, "strength_kn", 0.1..=500.0),
        anchor_kn: stated_or_known(r, "anchor_kn", 0.1..=500.0),
        stiffness_kn_m: stated_or_known(r, "stiffness_kn_m", 1.0..=1.0e5),
        slack_mm: stated_or_known(r, "slack_mm", 0.0..=1_000.0),
    }
}

/// Whether a restraint can be clipped somewhere.
pub(super) fn is_placed(site: &Site) -> bool {
    let mut ends = Control::RESTRAINTS.iter();
    ends.any(|control| site.control(*control).is_some())
}

/// A restraint needs a place where it is clipped, and such a place a restraint.
pub(super) fn check_restraint(r: &mut Reader<'_, '_>, equipment: Option<&Equipment>, site: &Site) {
    let Some(equipment) = equipment else { return };
    let placed = is_placed(site);
    r.check(
        if placed { "site" } else { "equipment" },
        placed == equipment.restraint.is_some(),
        "data-clash-restraint",
        vec![],
    );
}
