//! What is kept and handed over of an attempt: its report.
//!
//! A report is made of a recording and its mark, and of nothing else; it reads
//! no clock and knows no engine.

mod chart;
mod page;
mod series;
mod sheet;
mod theme;

pub use page::report;
pub use series::{Point, Series};
pub use sheet::{Act, Sheet};
