//! The rings of calls and of tags.

use super::hud::corner;
use super::theme::{self, AMBER, FAINT, INK, RED, TEXT};
use crate::hands::calls::{self, Kind, Word};
use crate::hands::keymap::Deed;
use crate::hands::names;
use crate::settings::Settings;
use bevy_egui::egui::{Align2, Context, FontId, Id, Label, LayerId, Order, Rect, Stroke, Vec2};
use crew::Seat;
use training::text::say;

/// A ring that was left without a pick: how one picks, the first time that it happens.
pub(super) fn unpicked(ctx: &Context, kind: Kind, settings: &Settings) {
    let (id, deed) = match kind {
        Kind::Calls => ("scene-hud-unsaid", Deed::Call),
        Kind::Tags => ("scene-hud-untagged", Deed::TagOut),
    };
    let key = names::bound(&settings.keys, deed);
    corner(
        ctx,
        "unpicked",
        Align2::CENTER_CENTER,
        [0.0, -110.0],
        |ui| {
            theme::over().show(ui, |ui| {
                ui.add(Label::new(theme::body(say(id, &[("key", &key)])).color(AMBER)).wrap());
            });
        },
    );
}

/// The words of a ring around the middle of the screen, the picked one lit.
pub(super) fn ring(ctx: &Context, kind: Kind, seat: Seat, picked: Option<Word>) {
    let words = calls::ring(kind, seat);
    let layer = LayerId::new(Order::Foreground, Id::new("ring"));
    let painter = ctx.layer_painter(layer);
    let screen = ctx.viewport_rect();
    let middle = screen.center();
    let [wide, high] = [
        (0.5 * screen.width() - 110.0).min(320.0),
        (0.5 * screen.height() - 40.0).min(230.0),
    ];
    // What lies behind would be read together with the words.
    painter.rect_filled(screen, 0.0, theme::through(INK, 0.66));
    let font = FontId::proportional(theme::BODY);
    let small = FontId::proportional(theme::SMALL);
    for (n, word) in words.iter().enumerate() {
        let turn = core::f32::consts::TAU * n as f32 / words.len() as f32;
        let at = middle + Vec2::new(wide * turn.sin(), -high * turn.cos());
        let lit = picked == Some(*word);
        let stops = word.stops();
        let name = word.name();
        let (ground, ink) = if lit {
            (AMBER, INK)
        } else {
            (theme::through(INK, 0.9), TEXT)
        };
        let galley = painter.layout_no_wrap(name, font.clone(), ink);
        let key = painter.layout_no_wrap(
            names::key(calls::KEYS[n]),
            small.clone(),
            if lit { INK } else { FAINT },
        );
        let inside = Vec2::new(galley.size().x + key.size().x + 8.0, galley.size().y);
        let pill = Rect::from_center_size(at, inside + Vec2::new(22.0, 12.0));
        painter.rect_filled(pill, 4.0, ground);
        let edge = if stops { RED } else { theme::LINE };
        let width = if stops { 2.0 } else { 1.0 };
        painter.rect_stroke(
            pill,
            4.0,
            Stroke::new(width, edge),
            bevy_egui::egui::StrokeKind::Inside,
        );
        let left = pill.left_center() + Vec2::new(11.0, 0.0);
        let key_size = key.size();
        painter.galley(left - Vec2::new(0.0, 0.5 * key_size.y), key, ink);
        let words_at = left + Vec2::new(key_size.x + 8.0, -0.5 * galley.size().y);
        painter.galley(words_at, galley, ink);
    }
    let told = match (picked, kind) {
        (Some(word), _) => word.name(),
        (None, Kind::Calls) => say("scene-hud-call", &[]),
        (None, Kind::Tags) => say("scene-hud-tag_out", &[]),
    };
    let head = theme::heading_font(26.0);
    painter.text(
        middle,
        Align2::CENTER_CENTER,
        told,
        head,
        if picked.is_some() { AMBER } else { TEXT },
    );
}
