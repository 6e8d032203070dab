//! Who plays, in which mode, and which level.

use super::theme::{self, AMBER, FAINT, GAP, PANEL, RED, SPACE, TEAL};
use super::units;
use crate::flow::Screen;
use crate::settings::{Settings, Units};
use crate::sitting::{Shelf, Sitting};
use bevy::prelude::*;
use bevy_egui::EguiContexts;
use bevy_egui::egui::{self, Align, Layout, RichText, Stroke, Ui, Vec2};
use crew::Seat;
use std::sync::Arc;
use training::load::Loaded;
use training::recording::Mode;
use training::text::{number, say};

/// Most letters of a name or code.
const NAME_MOST: usize = 40;

/// Width from which who and what stand side by side.
const WIDE: f32 = 900.0;

/// What is asked for here.
enum Ask {
    Back,
    Open(Arc<Loaded>),
}

pub(super) fn screen(
    mut contexts: EguiContexts,
    shelf: Option<Res<Shelf>>,
    mut sitting: ResMut<Sitting>,
    mut settings: ResMut<Settings>,
    mut next: ResMut<NextState<Screen>>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let mut root = theme::root(&ctx, "choice");
    let Some(shelf) = shelf else {
        return Ok(());
    };
    let mut who = Who {
        trainee: sitting.trainee.clone(),
        mode: sitting.mode,
        remember: settings.remember,
    };
    let before = who.clone();
    let mut asked = super::wants_back(&ctx).then_some(Ask::Back);
    full(&mut root, |ui| {
        if let Some(ask) = head(ui) {
            asked = Some(ask);
        }
        ui.add_space(GAP);
        let wide = ui.available_width() >= WIDE;
        if wide {
            ui.horizontal_top(|ui| {
                let left = Vec2::new(320.0, ui.available_height());
                ui.allocate_ui_with_layout(left, Layout::top_down(Align::LEFT), |ui| {
                    theme::scroll(ui, "who", |ui| who.show(ui));
                });
                ui.add_space(SPACE);
                ui.vertical(|ui| {
                    theme::scroll(ui, "levels", |ui| {
                        levels(ui, &shelf, settings.units, &mut asked);
                    });
                });
            });
        } else {
            theme::scroll(ui, "both", |ui| {
                who.show(ui);
                ui.add_space(SPACE);
                levels(ui, &shelf, settings.units, &mut asked);
            });
        }
    });
    if who != before {
        sitting.trainee.clone_from(&who.trainee);
        sitting.mode = who.mode;
        settings.remember = who.remember;
        let kept = if who.remember {
            who.trainee
        } else {
            String::new()
        };
        settings.trainee = kept.trim().to_owned();
    }
    match asked {
        Some(Ask::Back) => next.set(Screen::Title),
        Some(Ask::Open(loaded)) => {
            sitting.trainee = sitting.trainee.trim().to_owned();
            sitting.level = Some(loaded);
            sitting.from = None;
            next.set(Screen::Sheet);
        }
        None => {}
    }
    Ok(())
}

/// A screen that takes the whole window.
pub(super) fn full<R>(root: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let whole = root.max_rect();
    root.painter().rect_filled(whole, 0.0, PANEL);
    let inside = whole.shrink2(Vec2::new(36.0, 24.0));
    let builder = egui::UiBuilder::new().max_rect(inside);
    root.scope_builder(builder, |ui| add(ui)).inner
}

fn head(ui: &mut Ui) -> Option<Ask> {
    ui.horizontal(|ui| {
        ui.label(theme::heading(say("scene-choice-title", &[])));
        let right = Layout::right_to_left(Align::Center);
        ui.with_layout(right, |ui| {
            theme::small_button(ui, say("scene-back", &[]))
                .clicked()
                .then_some(Ask::Back)
        })
        .inner
    })
    .inner
}

/// Where it is kept that a name was just entered: the keyboard goes on to the
/// first level then.
fn named() -> egui::Id {
    egui::Id::new("named")
}

/// Who plays, and how.
#[derive(Clone, PartialEq)]
struct Who {
    trainee: String,
    mode: Mode,
    remember: bool,
}

impl Who {
    fn show(&mut self, ui: &mut Ui) {
        ui.label(theme::part(say("scene-choice-who", &[])));
        let field = egui::TextEdit::singleline(&mut self.trainee)
            .hint_text(theme::body(say("scene-choice-name", &[])).color(FAINT))
            .font(egui::FontId::proportional(theme::BODY))
            .char_limit(NAME_MOST)
            .margin(egui::Margin::symmetric(10, 9))
            .desired_width(f32::INFINITY);
        let field = ui.add(field);
        theme::begins(&field);
        let done = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if done {
            ui.data_mut(|d| d.insert_temp(named(), true));
        }
        // What a screen would obey has no place in a name.
        self.trainee.retain(|c| !c.is_control());
        theme::followed(ui.checkbox(
            &mut self.remember,
            theme::body(say("scene-choice-remember", &[])),
        ));
        ui.add_space(SPACE);
        ui.label(theme::part(say("scene-choice-mode", &[])));
        for mode in [Mode::Practice, Mode::Refresher, Mode::Assessment] {
            self.mode(ui, mode);
        }
    }

    fn mode(&mut self, ui: &mut Ui, mode: Mode) {
        let holds = self.mode == mode;
        let name = say(&format!("scene-mode-{}", mode.id()), &[]);
        let about = say(&format!("scene-mode-{}-about", mode.id()), &[]);
        let colour = if holds { AMBER } else { theme::TEXT };
        let mut job = egui::text::LayoutJob::default();
        job.wrap.max_width = ui.available_width() - 30.0;
        let style = ui.style().clone();
        let mut put = |words: RichText| {
            words.append_to(&mut job, &style, egui::FontSelection::Default, Align::LEFT);
        };
        put(theme::strong(name).color(colour));
        put(theme::faint(format!("\n{about}")));
        let mut button = egui::Button::new(job).wrap().selected(holds);
        if holds {
            button = button.stroke(Stroke::new(1.0, AMBER)).fill(theme::RAISED);
        }
        let wide = Layout::top_down_justified(Align::LEFT);
        let pressed = ui.with_layout(wide, |ui| ui.add(button)).inner;
        if theme::followed(pressed).clicked() {
            self.mode = mode;
        }
    }
}

fn levels(ui: &mut Ui, shelf: &Shelf, units: Units, asked: &mut Option<Ask>) {
    let side_by_side = ui.available_width() >= 620.0;
    let id = egui::Id::new("card_height");
    ui.data_mut(|d| {
        let (_, now) = d.get_temp::<(f32, f32)>(id).unwrap_or_default();
        d.insert_temp(id, (now, 0.0_f32));
    });
    for pair in shelf.levels.chunks(if side_by_side { 2 } else { 1 }) {
        let gap = 16.0;
        let count = if side_by_side { 2.0 } else { 1.0 };
        let width = (ui.available_width() - (count - 1.0) * gap - 12.0) / count;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for loaded in pair {
                let size = Vec2::new(width, 0.0);
                ui.allocate_ui_with_layout(size, Layout::top_down(Align::LEFT), |ui| {
                    if card(ui, loaded, units, width, side_by_side) {
                        *asked = Some(Ask::Open(loaded.clone()));
                    }
                });
            }
        });
        ui.add_space(GAP);
    }
    if shelf.levels.is_empty() {
        ui.label(theme::body(say("scene-choice-no_levels", &[])));
    }
    for problem in &shelf.refused {
        refused(ui, problem);
    }
}

/// Number of a level, as its folder begins.
fn place(id: &str) -> &str {
    id.split('_').next().unwrap_or_default()
}

fn card(ui: &mut Ui, loaded: &Arc<Loaded>, units: Units, width: f32, side_by_side: bool) -> bool {
    let level = &loaded.level;
    theme::card()
        .show(ui, |ui| {
            ui.set_width(width - 34.0);
            ui.horizontal(|ui| {
                let place = RichText::new(place(&level.id)).font(theme::heading_font(40.0));
                ui.label(place.color(TEAL));
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 2.0;
                    let title =
                        RichText::new(level.title.get("en")).font(theme::heading_font(24.0));
                    ui.label(title.color(theme::TEXT));
                    let post = say(&format!("scene-post-{}", post(level.post)), &[]);
                    let minutes = number(level.expected_s / 60.0, 0);
                    let pressure = units::amount(units, level.job.pressure_bar, "bar");
                    let about = say(
                        "scene-choice-about",
                        &[
                            ("post", &post),
                            ("minutes", &minutes),
                            ("pressure", &pressure),
                        ],
                    );
                    ui.add(egui::Label::new(theme::faint(about)).wrap());
                });
            });
            ui.add_space(4.0);
            ui.spacing_mut().item_spacing.y = 6.0;
            for objective in &level.objectives {
                theme::bullet(ui, TEAL, theme::body(objective.get("en")).size(14.5));
            }
            ui.add_space(4.0);
            ui.label(theme::strong(say("scene-sheet-hazards", &[])).color(RED));
            for hazard in &level.hazards {
                theme::bullet(ui, RED, theme::body(hazard.get("en")).size(14.5));
            }
            // The buttons of cards that stand side by side stand in a line: how
            // high the highest is, is known from the picture before.
            let id = egui::Id::new("card_height");
            let (tall, now) = ui
                .data(|d| d.get_temp::<(f32, f32)>(id))
                .unwrap_or_default();
            let own = ui.min_rect().height();
            ui.data_mut(|d| d.insert_temp(id, (tall, now.max(own))));
            ui.add_space(
                GAP + if side_by_side {
                    (tall - own).max(0.0)
                } else {
                    0.0
                },
            );
            let open = theme::main(ui, say("scene-choice-open", &[]), true);
            if ui.data_mut(|d| d.remove_temp::<bool>(named())).is_some() {
                open.request_focus();
            }
            open.clicked()
        })
        .inner
}

/// Stable name of a post, as the end of text ids.
pub(super) fn post(seat: Seat) -> &'static str {
    if seat == Seat::PUMP { "pump" } else { "lance" }
}

fn refused(ui: &mut Ui, problem: &str) {
    theme::card().stroke(Stroke::new(1.0, RED)).show(ui, |ui| {
        ui.set_width(ui.available_width() - 20.0);
        ui.label(theme::strong(say("scene-choice-refused", &[])).color(RED));
        let words = RichText::new(problem).monospace().color(theme::TEXT);
        ui.add(egui::Label::new(words).wrap());
    });
}
