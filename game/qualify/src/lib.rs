//! The table that proves the physics: every check of the core against values that were not
//! computed by it.
//!
//! A [`Quantity`] says what is compared, how far it may be off, and which parts of the physics it
//! proves; [`run`] gathers its [`Case`]s from the tables of `tests/reference`, which are built in,
//! and judges each. A quantity fails if one of its cases does or if it has none.
//! [`Table::failing`] tells whoever depends on a part that it is not proven.
//!
//! What counts: each row of a table that lies within the range the core states for itself. What
//! does not: rows whose source says that they are from memory, invented, a model only, or reckoned
//! by the very formulas they would check.
//!
//! Engine-free: no clock, no files, no chance. Words come from whoever asks ([`Words`]): this crate
//! names texts by id and holds none.
//!
//! **Adding a quantity**: one entry in the list of its topic in `topics`, and its title in the
//! texts. **Adding a topic**: one file there and one line in `registry`. **Adding a source**: one
//! entry in [`sources`].
#![deny(missing_docs)]

pub mod bends;
mod case;
mod html;
mod page;
mod plot;
mod published;
mod quantity;
mod registry;
mod rig;
pub mod sources;
mod table;
mod tables;
#[cfg(test)]
mod tests;
mod topics;

pub use case::{Case, Kind, Verdict};
pub use page::html;
pub use quantity::{Part, Quantity};
pub use table::{Outcome, Table};

/// Gives the text of an id, with the named values filled in.
pub type Words<'a> = dyn Fn(&str, &[(&str, String)]) -> String + 'a;

/// Runs every check.
pub fn run() -> Table {
    Table::of(registry::quantities())
}
