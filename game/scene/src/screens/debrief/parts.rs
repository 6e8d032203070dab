//! Small pieces that every part of the debrief is made of.

use super::ink;
use bevy_egui::egui::{self, Color32, CornerRadius, Frame, Margin, RichText, Stroke};
use training::text;
pub(super) use training::text::say as say_with;

/// A text without anything to fill in.
pub(super) fn say(id: &str) -> String {
    text::say(id, &[])
}

/// Words of the usual weight.
pub(super) fn plain(words: impl Into<String>) -> RichText {
    RichText::new(words).color(ink::TEXT)
}

/// Words of less weight.
pub(super) fn faint(words: impl Into<String>) -> RichText {
    RichText::new(words).color(ink::FAINT)
}

/// Words that stand out.
pub(super) fn strong(words: impl Into<String>) -> RichText {
    RichText::new(words).color(ink::TEXT).strong()
}

/// The size of the small print, in points.
pub(super) fn small(ui: &egui::Ui) -> f32 {
    0.86 * egui::TextStyle::Body.resolve(ui.style()).size
}

/// Words that wrap.
pub(super) fn words(ui: &mut egui::Ui, words: RichText) -> egui::Response {
    ui.add(egui::Label::new(words).wrap())
}

/// A heading of a section.
pub(super) fn heading(ui: &mut egui::Ui, id: &str) {
    ui.add_space(6.0);
    ui.add(egui::Label::new(RichText::new(say(id)).color(ink::AMBER).strong()).wrap());
}

/// A button.
pub(super) fn button(ui: &mut egui::Ui, id: &str) -> egui::Response {
    worded(ui, say(id))
}

/// A button with words that were put together.
pub(super) fn worded(ui: &mut egui::Ui, words: impl Into<String>) -> egui::Response {
    ui.add(egui::Button::new(plain(words)))
}

/// One of several pages.
pub(super) fn tab(ui: &mut egui::Ui, chosen: bool, words: impl Into<String>) -> egui::Response {
    let words = RichText::new(words);
    let words = if chosen {
        words.color(ink::GROUND).strong()
    } else {
        words.color(ink::TEXT)
    };
    let fill = if chosen { ink::AMBER } else { ink::RAISED };
    ui.add(egui::Button::new(words).fill(fill).selected(chosen))
}

/// A box with a fill and an edge.
pub(super) fn boxed(
    ui: &mut egui::Ui,
    fill: Color32,
    edge: Color32,
    add: impl FnOnce(&mut egui::Ui),
) -> egui::Response {
    Frame::new()
        .fill(fill)
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(CornerRadius::same(5))
        .inner_margin(Margin::symmetric(8, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            add(ui);
        })
        .response
}

/// A part that scrolls where it is higher than its room.
pub(super) fn scroll(
    ui: &mut egui::Ui,
    salt: impl egui::AsIdSalt,
    add: impl FnOnce(&mut egui::Ui),
) {
    egui::ScrollArea::vertical()
        .id_salt(salt)
        .auto_shrink([false, false])
        .show(ui, |ui| {
            // The bar must not lie over words.
            ui.set_max_width(ui.available_width() - 8.0);
            add(ui);
            ui.add_space(8.0);
        });
}
