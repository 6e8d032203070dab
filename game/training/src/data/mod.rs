//! Reading data files without losing places.
//!
//! A level author who makes four mistakes is told of four, each with file, line, column, the
//! field's path, the value as written and what is allowed. `serde` stops at its first error and
//! keeps no places, so files are parsed here into a tree that keeps them ([`syntax`]) and read
//! from that tree by readers that go on after an error ([`reader`]). What is found wrong is a
//! list of [`problem::Problem`]. The files are RON; a test holds this parser against the `ron`
//! crate.
//!
//! Values in files are in the units of the trade, the unit in the field's name (`pressure_bar`);
//! the schema code turns them into SI, in one place.

pub mod problem;
pub mod reader;
pub mod source;
pub mod syntax;
mod units;

#[cfg(test)]
mod agreement;

pub use problem::{Kind, Problem, Problems};
pub use reader::{Cell, Ids, Perturb, Read, Reader, Reading, near as nearest, read};
pub use source::{Place, Source};
pub use syntax::{Document, parse};
