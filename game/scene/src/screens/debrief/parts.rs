//! Small pieces that every part of the debrief is made of.

use super::ink;
use crate::screens::theme;
use bevy_egui::egui::{self, Color32, CornerRadius, Frame, Margin, RichText, Stroke};
use training::text;
pub(super) use training::text::say as say_with;

/// A text without anything to fill in.
pub(super) fn say(id: &str) -> String {
    text::say(id, &[])
}

/// Much has to be seen at once here: smaller words, and less room around them,
/// than on the other screens.
pub(super) fn dress(ui: &mut egui::Ui) {
    use egui::TextStyle::{Body, Button, Monospace, Small};
    let style = ui.style_mut();
    for (of, size) in [
        (Body, 14.0),
        (Button, 14.0),
        (Small, 12.0),
        (Monospace, 13.0),
    ] {
        if let Some(font) = style.text_styles.get_mut(&of) {
            font.size = size;
        }
    }
    style.spacing.button_padding = egui::vec2(8.0, 3.0);
    style.spacing.interact_size = egui::vec2(24.0, 24.0);
    style.spacing.item_spacing = egui::vec2(6.0, 5.0);
    style.spacing.scroll.floating = true;
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
    weighty(words, ink::TEXT)
}

/// Words that stand out, in a colour.
pub(super) fn weighty(words: impl Into<String>, colour: Color32) -> RichText {
    theme::strong(words).size(14.0).color(colour)
}

/// The size of the small print, in points.
pub(super) fn small(ui: &egui::Ui) -> f32 {
    egui::TextStyle::Small.resolve(ui.style()).size
}

/// Words that wrap.
pub(super) fn words(ui: &mut egui::Ui, words: RichText) -> egui::Response {
    ui.add(egui::Label::new(words).wrap())
}

/// A heading of a section.
pub(super) fn heading(ui: &mut egui::Ui, id: &str) {
    ui.add_space(6.0);
    ui.add(egui::Label::new(weighty(say(id), ink::AMBER)).wrap());
}

/// A button.
pub(super) fn button(ui: &mut egui::Ui, id: &str) -> egui::Response {
    worded(ui, say(id))
}

/// A button with words that were put together.
pub(super) fn worded(ui: &mut egui::Ui, words: impl Into<String>) -> egui::Response {
    ui.add(egui::Button::new(plain(words)))
}

/// One of several, of which some hold.
pub(super) fn tab(ui: &mut egui::Ui, holds: bool, words: impl Into<String>) -> egui::Response {
    let colour = if holds { ink::AMBER } else { ink::TEXT };
    let mut button = egui::Button::new(RichText::new(words).color(colour)).selected(holds);
    if holds {
        button = button.stroke(Stroke::new(1.0, ink::AMBER));
    }
    ui.add(button)
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
