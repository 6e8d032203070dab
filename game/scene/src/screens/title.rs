//! The title: what this is, and the cautions that come before anything else.
//! The yard is seen beside it.

use super::theme::{self, AMBER, GAP, INK, PANEL, SPACE, TEXT};
use crate::flow::Screen;
use crate::sitting::Shelf;
use bevy::prelude::*;
use bevy_egui::EguiContexts;
use bevy_egui::egui::{self, Margin, Rect, RichText, Stroke, Ui, Vec2};
use training::text::say;

/// What is asked for on the title.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ask {
    Go(Screen),
    Quit,
}

pub(super) fn screen(
    mut contexts: EguiContexts,
    shelf: Option<Res<Shelf>>,
    mut next: ResMut<NextState<Screen>>,
    mut exit: MessageWriter<AppExit>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let mut root = theme::root(&ctx, "title");
    let asked = left_panel(&mut root, |ui| {
        name(ui);
        let asked = menu(ui);
        at_bottom(ui, "cautions", |ui| {
            cautions(ui);
            if let Some(shelf) = &shelf {
                ui.label(theme::faint(say(
                    "scene-title-release",
                    &[("release", &shelf.release)],
                )));
            }
        });
        asked
    });
    match asked {
        Some(Ask::Go(screen)) => next.set(screen),
        Some(Ask::Quit) => {
            exit.write(AppExit::Success);
        }
        None => {}
    }
    Ok(())
}

/// The panel at the left that title and pause have, with the yard beside it.
pub(super) fn left_panel<R>(root: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let whole = root.max_rect();
    let width = (0.36 * whole.width())
        .clamp(380.0, 520.0)
        .min(whole.width());
    let panel = Rect::from_min_size(whole.min, Vec2::new(width, whole.height()));
    let painter = root.painter();
    painter.rect_filled(panel, 0.0, theme::through(PANEL, theme::COVER));
    // The edge towards the yard.
    let edge = Rect::from_min_max(
        panel.right_top() - Vec2::new(3.0, 0.0),
        panel.right_bottom(),
    );
    painter.rect_filled(edge, 0.0, AMBER);
    let inside = panel.shrink2(Vec2::new(36.0, 28.0));
    let builder = egui::UiBuilder::new().max_rect(inside);
    // Large words in a small window are longer than the panel.
    root.scope_builder(builder, |ui| theme::scroll(ui, "left", add))
        .inner
}

/// Something at the lower end of the place that there is: how high it is, is
/// known from the picture before.
fn at_bottom(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui)) {
    let id = ui.id().with(name);
    let high = ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(0.0);
    ui.add_space((ui.available_height() - high - GAP).max(SPACE));
    let shown = ui.scope(add).response.rect.height();
    if shown != high {
        ui.data_mut(|d| d.insert_temp(id, shown));
        ui.ctx().request_repaint();
    }
}

fn name(ui: &mut Ui) {
    let name = RichText::new(say("scene-window", &[]))
        .font(theme::heading_font(theme::TITLE))
        .color(TEXT);
    ui.label(name);
    ui.add(egui::Label::new(theme::body(say("scene-title-job", &[])).color(theme::FAINT)).wrap());
    ui.add_space(SPACE);
}

fn menu(ui: &mut Ui) -> Option<Ask> {
    let mut asked = None;
    let start = theme::main(ui, say("scene-title-start", &[]), true);
    theme::begins(&start);
    if start.clicked() {
        asked = Some(Ask::Go(Screen::Choice));
    }
    if theme::button(ui, say("scene-title-settings", &[])).clicked() {
        asked = Some(Ask::Go(Screen::Settings));
    }
    if theme::button(ui, say("scene-title-quit", &[])).clicked() {
        asked = Some(Ask::Quit);
    }
    asked
}

/// What has to be read before one begins.
fn cautions(ui: &mut Ui) {
    let frame = egui::Frame::new()
        .fill(theme::through(INK, 0.7))
        .inner_margin(Margin::same(14));
    let shown = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(theme::part(say("scene-title-cautions", &[])));
        for id in [
            "scene-title-caution-kill",
            "scene-title-caution-licence",
            "scene-title-caution-law",
        ] {
            ui.add(egui::Label::new(theme::body(say(id, &[])).size(14.5)).wrap());
        }
    });
    let at = shown.response.rect;
    ui.painter()
        .line_segment([at.left_top(), at.left_bottom()], Stroke::new(3.0, AMBER));
}
