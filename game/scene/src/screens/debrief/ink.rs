//! The colours of the debrief.

use bevy_egui::egui::Color32;
use training::Severity;

pub(super) const GROUND: Color32 = Color32::from_rgb(20, 27, 33);
pub(super) const RAISED: Color32 = Color32::from_rgb(30, 39, 47);
pub(super) const SUNK: Color32 = Color32::from_rgb(14, 19, 24);
pub(super) const LINE: Color32 = Color32::from_rgb(58, 70, 79);
pub(super) const TEXT: Color32 = Color32::from_rgb(236, 230, 218);
pub(super) const FAINT: Color32 = Color32::from_rgb(163, 168, 166);
pub(super) const AMBER: Color32 = Color32::from_rgb(232, 168, 62);
pub(super) const TEAL: Color32 = Color32::from_rgb(74, 176, 172);
pub(super) const RED: Color32 = Color32::from_rgb(222, 84, 72);
/// A third line of a panel.
pub(super) const MIST: Color32 = Color32::from_rgb(176, 186, 212);

/// Cells of a surface.
pub(super) const CLEAN: Color32 = Color32::from_rgb(150, 212, 206);
pub(super) const PARTLY: [Color32; 2] =
    [Color32::from_rgb(206, 160, 84), Color32::from_rgb(122, 88, 40)];
pub(super) const FOULED: Color32 = Color32::from_rgb(52, 44, 38);

/// The colour of a weight. Its shape or its word stands beside it always.
pub(super) fn of(severity: Severity) -> Color32 {
    match severity {
        Severity::Critical => RED,
        Severity::Major => AMBER,
        Severity::Minor => MIST,
    }
}
