//! The colours of the debrief.

use bevy_egui::egui::Color32;
use training::Severity;

pub(super) use crate::screens::theme::{
    AMBER, FAINT, INK as SUNK, LINE, PANEL as GROUND, RAISED, RED, TEAL, TEXT,
};

/// A third line of a panel.
pub(super) const MIST: Color32 = Color32::from_rgb(176, 186, 212);

/// Cells of a surface.
pub(super) const CLEAN: Color32 = Color32::from_rgb(150, 212, 206);
pub(super) const PARTLY: [Color32; 2] = [
    Color32::from_rgb(206, 160, 84),
    Color32::from_rgb(122, 88, 40),
];
pub(super) const FOULED: Color32 = Color32::from_rgb(52, 44, 38);

/// The colour of a weight. Its shape or its word stands beside it always.
pub(super) fn of(severity: Severity) -> Color32 {
    match severity {
        Severity::Critical => RED,
        Severity::Major => AMBER,
        Severity::Minor => MIST,
    }
}
