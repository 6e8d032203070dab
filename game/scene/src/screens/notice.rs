//! Something that has to be read before anything else goes on.

use super::ScreenSystems;
use super::theme::{self, AMBER, GAP, INK};
use crate::sitting::Notice;
use bevy::prelude::*;
use bevy_egui::egui::{self, Id, Label, Modal, Stroke};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use training::text::say;

fn show(mut contexts: EguiContexts, mut notice: ResMut<Notice>) -> Result {
    let Some(words) = notice.0.clone() else {
        return Ok(());
    };
    let ctx = contexts.ctx_mut()?;
    let frame = theme::card()
        .fill(theme::PANEL)
        .stroke(Stroke::new(2.0, AMBER))
        .inner_margin(egui::Margin::same(24));
    let modal = Modal::new(Id::new("notice"))
        .frame(frame)
        .backdrop_color(theme::through(INK, 0.7));
    let shown = modal.show(ctx, |ui| {
        ui.set_width((0.6 * ui.ctx().viewport_rect().width()).clamp(300.0, 560.0));
        ui.label(theme::heading(say("scene-notice-title", &[])));
        ui.add(Label::new(theme::body(words)).wrap());
        ui.add_space(GAP);
        let read = theme::main(ui, say("scene-notice-read", &[]), true);
        // Whatever else the keyboard is at lies behind.
        if !read.has_focus() {
            read.request_focus();
        }
        read.clicked()
    });
    if shown.inner || shown.should_close() {
        notice.0 = None;
    }
    Ok(())
}

/// Sets up what has to be read.
pub(super) fn plugin(app: &mut App) {
    app.add_systems(EguiPrimaryContextPass, show.in_set(ScreenSystems::Over));
}
