//! What trainees say of themselves, before anything is told: who has seen the
//! facts can no longer say what they thought.

use super::{Ask, Look, ink, parts};
use crate::replay::Rated;
use bevy_egui::egui::{self, Align2, Color32, Key, RichText, vec2};

const ANSWERS: [(Rated, &str, Key); 3] = [
    (Rated::Alone, "alone", Key::Num1),
    (Rated::WithHelp, "with_help", Key::Num2),
    (Rated::NotAlone, "not_alone", Key::Num3),
];

/// The name of an answer, as the end of text ids.
pub(super) fn id(rated: Rated) -> &'static str {
    let named = ANSWERS.iter().find(|(answer, ..)| *answer == rated);
    named.map_or("", |(_, id, _)| id)
}

/// The question and its three answers.
pub(super) fn show(ui: &mut egui::Ui, area: egui::Rect, look: &Look<'_>, asks: &mut Vec<Ask>) {
    ui.painter()
        .rect_filled(area, 0.0, Color32::from_black_alpha(150));
    let width = (0.9 * area.width()).min(620.0);
    egui::Area::new(egui::Id::new("debrief_rating"))
        .anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0))
        .show(ui.ctx(), |ui| {
            ui.set_max_height(area.height());
            egui::Frame::new()
                .fill(ink::GROUND)
                .stroke(egui::Stroke::new(1.0, ink::LINE))
                .corner_radius(8)
                .inner_margin(24)
                .show(ui, |ui| {
                    ui.set_width(width - 50.0);
                    question(ui, look, asks);
                });
        });
    for (answer, _, key) in ANSWERS {
        if ui.input(|i| i.key_pressed(key)) {
            asks.push(Ask::Rate(answer));
        }
    }
}

fn question(ui: &mut egui::Ui, look: &Look<'_>, asks: &mut Vec<Ask>) {
    parts::words(ui, parts::faint(&look.debrief.sheet.level.title));
    let size = 1.45 * egui::TextStyle::Body.resolve(ui.style()).size;
    parts::words(ui, parts::strong(parts::say("debrief-rating")).size(size));
    parts::words(ui, parts::faint(parts::say("debrief-rating-about")));
    ui.add_space(10.0);
    for (number, (answer, id, _)) in (1_usize..).zip(ANSWERS) {
        let words = parts::say(&format!("debrief-rated-{id}"));
        let words = RichText::new(parts::say_with(
            "debrief-rating-answer",
            &[("number", &number), ("words", &words)],
        ));
        let button = egui::Button::new(words.color(ink::TEXT))
            .wrap()
            .fill(ink::RAISED)
            .min_size(vec2(ui.available_width(), 0.0));
        if ui.add(button).clicked() {
            asks.push(Ask::Rate(answer));
        }
        ui.add_space(4.0);
    }
}
