//! `catalogue/deposits.ron`: what is to be taken off, and what it takes.

use hydraulics::Removal;

use super::parts::{Origin, Stated, TITLE, origin, stated, words};
use super::si::{pa, s};
use crate::data::{Ids, Reader};
use crate::level::Words;

/// A deposit of the catalogue.
#[derive(Clone, Debug, PartialEq)]
pub struct Deposit {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Where its figures come from.
    pub origin: Origin,
    /// Pressure on the surface below which nothing comes off, bar.
    pub threshold_bar: Stated,
    /// Time under twice the threshold that removes a layer, microseconds.
    pub dose_us: Stated,
    /// Exponent of the pressure above the threshold.
    pub exponent: Stated,
}

impl Deposit {
    /// What it is taken to need.
    pub(super) fn removal(&self) -> Removal {
        Removal {
            threshold_pa: pa(self.threshold_bar.value),
            dose_s: s(self.dose_us.value),
            exponent: self.exponent.value,
        }
    }
}

/// Reads one deposit.
pub(super) fn deposit_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Deposit {
    Deposit {
        id: r.new_id("id", ids),
        title: r.field("title", |c| words(c, TITLE)),
        origin: origin(r),
        threshold_bar: stated(r, "threshold_bar", 1.0..=5_000.0),
        dose_us: stated(r, "dose_us", 1.0..=1.0e7),
        exponent: stated(r, "exponent", 0.5..=3.0),
    }
}
