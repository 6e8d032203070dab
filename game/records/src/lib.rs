//! What is kept and handed over of an attempt: its report.
//!
//! A report is made of a recording and its mark, and of nothing else; it reads
//! no clock, knows no engine and decides nothing.

mod chart;
pub mod clock;
mod gather;
pub mod glance;
mod html;
mod map;
mod page;
mod picture;
#[cfg(test)]
mod sample;
mod series;
mod sheet;
mod style;
mod theme;
pub mod words;

pub use page::report;
pub use series::{POINTS_MOST, Point, Quantity, Series};
pub use sheet::{
    BookLine, Cleaning, LevelCard, LimitLine, Map, Moment, Pace, Phase, Restarted, Sheet, Sitting,
    Span, Stage, State, Stop, Supply, Table, Tile, Use, Water,
};
pub use words::{measured, seen};

/// The style sheet of the project's papers, for a page that is drawn elsewhere.
#[must_use]
pub fn style_sheet() -> String {
    style::sheet(&theme::THEME)
}

/// Writes a report into a file, whole or not at all.
///
/// # Errors
/// The file cannot be written.
pub fn keep(sheet: &Sheet, file: &std::path::Path) -> std::io::Result<()> {
    let half = file.with_extension("html.part");
    let written = std::fs::write(&half, report(sheet)).and_then(|()| std::fs::rename(&half, file));
    if written.is_err() {
        std::fs::remove_file(&half).ok();
    }
    written
}
