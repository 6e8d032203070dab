//! The attempt under way is halted: go on, look at the job sheet, change
//! settings, begin anew, end it, or leave it.

use super::settings::{self, Waits};
use super::theme::{self, AMBER, FAINT, GAP, INK, SPACE, TEXT};
use super::{ScreenSystems, choice, sheet, title};
use crate::flow::{Run, Screen};
use crate::session::{Session, Wish};
use crate::settings::Settings;
use crate::sitting::Sitting;
use bevy::prelude::*;
use bevy::window::WindowFocused;
use bevy_egui::egui::{self, Label, RichText, Ui};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use training::recording::Mode;
use training::text::say;

/// What is open while the attempt is halted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    #[default]
    Menu,
    Sheet,
    Settings,
    /// Whether it is really to be begun anew.
    Anew,
    /// Whether it is really to be left.
    Leave,
}

#[derive(Resource, Default)]
struct Paused {
    page: Page,
    lost_focus: bool,
    /// Pictures since it was halted.
    pictures: u32,
}

enum Ask {
    Open(Page),
    Wish(Wish),
}

fn look_away(mut focused: MessageReader<WindowFocused>, mut paused: ResMut<Paused>) {
    if focused.read().any(|f| !f.focused) {
        paused.lost_focus = true;
    }
}

fn enter(mut paused: ResMut<Paused>) {
    let lost_focus = paused.lost_focus;
    *paused = Paused {
        lost_focus,
        ..Paused::default()
    };
}

fn leave(mut paused: ResMut<Paused>) {
    *paused = Paused::default();
}

#[allow(clippy::too_many_arguments)]
fn screen(
    mut contexts: EguiContexts,
    mut paused: ResMut<Paused>,
    sitting: Res<Sitting>,
    mut settings: ResMut<Settings>,
    mut waits: ResMut<Waits>,
    mut wishes: MessageWriter<Wish>,
    session: Res<Session>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let mut root = theme::root(&ctx, "pause");
    let whole = root.max_rect();
    root.painter()
        .rect_filled(whole, 0.0, theme::through(INK, 0.45));
    // The key that has halted it is still down in the first picture.
    paused.pictures += 1;
    let back = paused.pictures > 2 && super::wants_back(&ctx) && !waits.holds_keys();
    let asked = match paused.page {
        Page::Menu => {
            let why = if paused.lost_focus {
                "scene-pause-lost_focus"
            } else if session.is_taken_up() {
                "scene-pause-taken_up"
            } else {
                "scene-pause-about"
            };
            let asked = title::left_panel(&mut root, |ui| menu(ui, &sitting, why));
            asked.or(back.then_some(Ask::Wish(Wish::Halt(false))))
        }
        Page::Anew | Page::Leave => {
            let wish = if paused.page == Page::Anew {
                Wish::Anew
            } else {
                Wish::Leave
            };
            let asked = title::left_panel(&mut root, |ui| really(ui, wish));
            asked.or(back.then_some(Ask::Open(Page::Menu)))
        }
        Page::Sheet => {
            let asked = choice::full(&mut root, |ui| {
                let asked = head(ui, "scene-pause-sheet");
                if let Some(loaded) = &sitting.level {
                    sheet::sheet(ui, &loaded.level, settings.units);
                }
                asked
            });
            asked.or(back.then_some(Ask::Open(Page::Menu)))
        }
        Page::Settings => {
            let asked = choice::full(&mut root, |ui| {
                let asked = head(ui, "scene-settings-title");
                let mut changed = settings.clone();
                settings::show(ui, &mut changed, &mut waits);
                settings.set_if_neq(changed);
                asked
            });
            asked.or(back.then_some(Ask::Open(Page::Menu)))
        }
    };
    waits.end_picture();
    match asked {
        Some(Ask::Open(page)) => paused.page = page,
        Some(Ask::Wish(wish)) => {
            wishes.write(wish);
        }
        None => {}
    }
    Ok(())
}

fn head(ui: &mut Ui, id: &str) -> Option<Ask> {
    let asked = ui.horizontal(|ui| {
        ui.label(theme::heading(say(id, &[])));
        let right = egui::Layout::right_to_left(egui::Align::Center);
        ui.with_layout(right, |ui| {
            let back = theme::small_button(ui, say("scene-back", &[]));
            theme::begins(&back);
            back.clicked().then_some(Ask::Open(Page::Menu))
        })
        .inner
    });
    ui.separator();
    asked.inner
}

fn menu(ui: &mut Ui, sitting: &Sitting, why: &str) -> Option<Ask> {
    let head = RichText::new(say("scene-pause-title", &[])).font(theme::heading_font(44.0));
    ui.label(head.color(TEXT));
    if let Some(loaded) = &sitting.level {
        ui.label(theme::body(loaded.level.title.get("en")).color(FAINT));
    }
    ui.add_space(GAP);
    ui.add(Label::new(theme::body(say(why, &[]))).wrap());
    if sitting.mode == Mode::Assessment {
        let marked = theme::body(say("scene-pause-marked", &[])).color(AMBER);
        ui.add(Label::new(marked).wrap());
    }
    ui.add_space(SPACE);
    let mut asked = None;
    let go_on = theme::main(ui, say("scene-pause-go_on", &[]), true);
    theme::begins(&go_on);
    if go_on.clicked() {
        asked = Some(Ask::Wish(Wish::Halt(false)));
    }
    for (id, ask) in [
        ("scene-pause-sheet", Ask::Open(Page::Sheet)),
        ("scene-pause-settings", Ask::Open(Page::Settings)),
        ("scene-pause-anew", Ask::Open(Page::Anew)),
        ("scene-pause-end", Ask::Wish(Wish::End)),
        ("scene-pause-leave", Ask::Open(Page::Leave)),
    ] {
        if theme::button(ui, say(id, &[])).clicked() {
            asked = Some(ask);
        }
    }
    asked
}

fn really(ui: &mut Ui, wish: Wish) -> Option<Ask> {
    let id = if wish == Wish::Anew {
        "scene-pause-anew"
    } else {
        "scene-pause-leave"
    };
    ui.add(Label::new(theme::heading(say(id, &[]))).wrap());
    ui.add_space(GAP);
    ui.add(Label::new(theme::body(say("scene-pause-stays", &[]))).wrap());
    ui.add_space(SPACE);
    let no = theme::main(ui, say("scene-back", &[]), true);
    theme::begins(&no);
    if no.clicked() {
        return Some(Ask::Open(Page::Menu));
    }
    theme::button(ui, say(id, &[]))
        .clicked()
        .then_some(Ask::Wish(wish))
}

/// Sets up the menu of a halted attempt.
pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Paused>()
        .add_message::<WindowFocused>()
        .add_systems(Update, look_away.run_if(in_state(Screen::Yard)))
        .add_systems(OnEnter(Run::Halted), enter)
        .add_systems(OnExit(Run::Halted), leave)
        .add_systems(
            EguiPrimaryContextPass,
            screen
                .in_set(ScreenSystems::Draw)
                .run_if(in_state(Run::Halted)),
        );
}
