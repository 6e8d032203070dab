//! Play, speed, whose eyes, and the keys that do the same.

use super::curves::Line;
use super::{Ask, Desk, Look, ink, parts, timeline};
use crate::replay::Seen;
use bevy_egui::egui::{self, Key, Modifiers, RichText};
use records::clock;
use training::text::say;

/// How many times as fast it can run as it was.
const SPEEDS: [f64; 4] = [1.0, 2.0, 4.0, 8.0];

/// What the arrow keys move the cursor by, seconds: plainly, and with shift.
const STRIDE_S: [f64; 2] = [1.0, 10.0];

/// The keys of the replay. Where a button or a field has the focus, the keys are
/// its own.
pub(super) fn keys(ui: &egui::Ui, look: &Look<'_>, line: &Line, asks: &mut Vec<Ask>) {
    let focused = ui.memory(|m| m.focused());
    if focused.is_some_and(|id| Some(id) != line.id) {
        return;
    }
    let debrief = look.debrief;
    let at_s = debrief.cursor_s;
    let mut go = |to_s: f64| asks.push(Ask::Go(to_s.clamp(0.0, debrief.until_s())));
    let pressed = |modifiers: Modifiers, key: Key| {
        ui.input_mut(|i| i.count_and_consume_key(modifiers, key)) as f64
    };
    let mut by_s = 0.0;
    for (modifiers, stride_s) in [
        (Modifiers::SHIFT, STRIDE_S[1]),
        (Modifiers::NONE, STRIDE_S[0]),
    ] {
        by_s += stride_s * pressed(modifiers, Key::ArrowRight);
        by_s -= stride_s * pressed(modifiers, Key::ArrowLeft);
    }
    if by_s != 0.0 {
        go(at_s + by_s);
    }
    if pressed(Modifiers::NONE, Key::Home) > 0.0 {
        go(0.0);
    }
    if pressed(Modifiers::NONE, Key::End) > 0.0 {
        go(debrief.until_s());
    }
    if pressed(Modifiers::NONE, Key::Space) > 0.0 {
        asks.push(Ask::Play(!debrief.plays));
    }
}

/// The row of buttons above the time line.
pub(super) fn show(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let debrief = look.debrief;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let id = if debrief.plays {
            "debrief-halt"
        } else {
            "debrief-play"
        };
        let play =
            egui::Button::new(RichText::new(parts::say(id)).color(ink::SUNK)).fill(ink::AMBER);
        if ui.add(play).clicked() {
            asks.push(Ask::Play(!debrief.plays));
        }
        let at = clock::moment(debrief.cursor_s);
        let until = clock::minutes(debrief.until_s());
        let place = say("debrief-place", &[("at", &at), ("until", &until)]);
        ui.label(parts::strong(place).monospace());
        for speed in SPEEDS {
            let words = say("debrief-speed", &[("times", &format!("{speed}"))]);
            if parts::tab(ui, debrief.speed == speed, words).clicked() {
                asks.push(Ask::Speed(speed));
            }
        }
        ui.add_space(6.0);
        for (seen, id) in [
            (Seen::Over, "debrief-seen_over"),
            (Seen::Own, "debrief-seen_own"),
        ] {
            if parts::tab(ui, debrief.seen == seen, parts::say(id)).clicked() {
                asks.push(Ask::See(seen));
            }
        }
        if look.may_restart {
            ui.add_space(6.0);
            if parts::button(ui, "debrief-from_here").clicked() {
                asks.push(Ask::From(debrief.cursor_s));
            }
        }
        ui.add_space(6.0);
        timeline::choices(ui, desk, look);
        if debrief.on_its_way {
            ui.label(parts::faint(parts::say("debrief-on_its_way")));
        }
    });
}
