//! After an attempt: what trainees say of themselves, then what happened, the
//! attempt over time with the yard seen again beside it, and the surface.
//!
//! Everything shown is read from the mark, the report's sheet and the recording.
//! Nothing in here decides anything. What is asked for on the screen comes back
//! as a list of [`Ask`]s, so that the screen can be laid out and looked at
//! without a window.

mod card;
mod clip;
mod curves;
mod facts;
mod ink;
mod layout;
mod model;
mod papers;
mod parts;
mod rating;
mod surface;
#[cfg(test)]
mod tests;
mod timeline;
mod transport;
mod units;
mod view;

use crate::flow::Screen;
use crate::replay::{Debrief, Rated, Seen};
use crate::screens::{ScreenSystems, theme};
use crate::settings::{Settings, Units};
use crate::sitting::{Shelf, Sitting};
use crate::stage::Stage;
use bevy::prelude::*;
use bevy_egui::egui::{self, Rect, UiBuilder};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use crew::Tick;
use layout::Layout;
use model::Model;
use training::recording::Mode;

/// Seconds before a finding to which its mark leads.
const BEFORE_S: f64 = 3.0;

/// What is told in the first column.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Page {
    /// The minute's card.
    #[default]
    Minute,
    /// Every finding.
    Findings,
    /// The procedure, what was used up, and the acts.
    Work,
    /// The surface.
    Surface,
    /// The files.
    Papers,
}

/// What the screen keeps from picture to picture.
#[derive(Resource, Default)]
pub(crate) struct Desk {
    page: Page,
    /// The chosen finding, by its place in time.
    chosen: Option<usize>,
    line: curves::Line,
    maps: surface::Maps,
    /// What was last put where other programs find it, and whether it could be.
    copied: Option<(papers::Paper, bool)>,
    /// Where the row of buttons is.
    #[cfg(test)]
    buttons: Option<Rect>,
    /// Where the yard is seen, pixels.
    yard: Option<Rect>,
}

impl Desk {
    /// Opens a page.
    pub(crate) fn open(&mut self, page: Page) {
        self.page = page;
    }
}

/// Something that was asked for.
#[derive(Clone, Debug, PartialEq)]
enum Ask {
    /// What trainees say of themselves.
    Rate(Rated),
    /// Look at a moment, seconds.
    Go(f64),
    /// Let the replay run, or halt it.
    Play(bool),
    /// So many times as fast as it was.
    Speed(f64),
    /// See it with whose eyes.
    See(Seen),
    /// Play again from a moment, seconds.
    From(f64),
    /// Play again from the start.
    Again,
    /// Back to the choice of levels.
    Leave,
    /// Put the path of a file where other programs find it.
    Copy(papers::Paper),
}

/// All that one picture is made from.
struct Look<'a> {
    debrief: &'a Debrief,
    units: Units,
    /// The attempt may be taken up at one of its moments.
    may_restart: bool,
    model: &'a Model,
    /// What the cells of the surface have come to at the cursor.
    cells: &'a [u8],
}

/// Lays out the whole screen and says what was asked for.
fn show(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>) -> Vec<Ask> {
    let mut asks = Vec::new();
    let area = ui.max_rect();
    parts::dress(ui);
    if look.debrief.rated.is_none() {
        desk.yard = None;
        rating::show(ui, area, look, &mut asks);
        return asks;
    }
    let row = ui.text_style_height(&egui::TextStyle::Body);
    let with_surface = look.debrief.sheet.cleaning.is_some();
    let layout = Layout::of(area.size(), row, with_surface);
    desk.yard = Some(layout.yard * ui.pixels_per_point());
    #[cfg(test)]
    {
        desk.buttons = Some(layout.transport);
    }
    transport::keys(ui, look, &desk.line, &mut asks);
    part(ui, layout.head, ink::SUNK, |ui| head(ui, look, &mut asks));
    part(ui, layout.told, ink::GROUND, |ui| {
        told(ui, desk, look, layout.beside.is_some(), &mut asks);
    });
    part(ui, layout.transport, ink::RAISED, |ui| {
        transport::show(ui, desk, look, &mut asks);
    });
    part(ui, layout.line, ink::GROUND, |ui| {
        timeline::show(ui, desk, look, &mut asks);
    });
    if let Some(beside) = layout.beside {
        part(ui, beside, ink::GROUND, |ui| {
            parts::scroll(ui, "debrief_beside", |ui| surface::show(ui, desk, look));
        });
    }
    frame(ui, layout.yard);
    asks
}

/// One part of the screen with its own ground.
fn part(ui: &mut egui::Ui, at: Rect, fill: egui::Color32, add: impl FnOnce(&mut egui::Ui)) {
    let at = at.translate(ui.max_rect().min.to_vec2());
    ui.painter().rect_filled(at, 0.0, fill);
    let inside = at.shrink2(egui::vec2(1.5 * layout::GAP, 0.5 * layout::GAP));
    ui.scope_builder(UiBuilder::new().max_rect(inside), |ui| {
        ui.set_clip_rect(at.intersect(ui.clip_rect()));
        add(ui);
    });
}

/// A fine line around the yard.
fn frame(ui: &egui::Ui, yard: Rect) {
    let yard = yard.translate(ui.max_rect().min.to_vec2());
    let stroke = egui::Stroke::new(1.0, ink::LINE);
    ui.painter()
        .rect_stroke(yard, 0.0, stroke, egui::StrokeKind::Inside);
}

fn head(ui: &mut egui::Ui, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let sheet = &look.debrief.sheet;
    ui.horizontal_centered(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if parts::button(ui, "debrief-leave").clicked() {
                asks.push(Ask::Leave);
            }
            if parts::button(ui, "debrief-again").clicked() {
                asks.push(Ask::Again);
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let title = parts::strong(&sheet.level.title);
                ui.add(egui::Label::new(title).truncate());
                if let Some(sitting) = &sheet.sitting {
                    let name = sitting.display_name.as_ref();
                    let name = name.unwrap_or(&sitting.trainee);
                    let mode = records::words::mode(&sitting.mode);
                    let started = records::clock::utc(sitting.started_unix_s);
                    let about = if name.is_empty() {
                        parts::say_with("debrief-about", &[("mode", &mode), ("time", &started)])
                    } else {
                        parts::say_with(
                            "debrief-about_of",
                            &[("name", name), ("mode", &mode), ("time", &started)],
                        )
                    };
                    ui.add(egui::Label::new(parts::faint(about)).truncate());
                }
            });
        });
    });
}

fn told(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>, beside: bool, asks: &mut Vec<Ask>) {
    let debrief = look.debrief;
    let with_surface = debrief.sheet.cleaning.is_some() && !beside;
    if desk.page == Page::Surface && !with_surface {
        desk.page = Page::Minute;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 0.5 * layout::GAP;
        let count = debrief.mark.findings.len();
        let mut tab = |page: Page, words: String| {
            if parts::tab(ui, desk.page == page, words).clicked() {
                desk.page = page;
            }
        };
        tab(Page::Minute, parts::say("debrief-page-minute"));
        tab(
            Page::Findings,
            parts::say_with("debrief-page-findings", &[("count", &count)]),
        );
        tab(Page::Work, parts::say("debrief-page-work"));
        if with_surface {
            tab(Page::Surface, parts::say("debrief-page-surface"));
        }
        tab(Page::Papers, parts::say("debrief-page-papers"));
    });
    ui.separator();
    let page = desk.page;
    parts::scroll(ui, ("debrief_told", page as u8), |ui| match page {
        Page::Minute => card::show(ui, desk, look, asks),
        Page::Findings => facts::findings(ui, desk, look, asks),
        Page::Work => facts::work(ui, look, asks),
        Page::Surface => surface::show(ui, desk, look),
        Page::Papers => papers::show(ui, desk, look, asks),
    });
}

/// Chooses a finding and goes to shortly before it.
fn choose(desk: &mut Desk, look: &Look<'_>, number: usize, asks: &mut Vec<Ask>) {
    let findings = &look.debrief.mark.findings;
    if let Some(finding) = number.checked_sub(1).and_then(|n| findings.get(n)) {
        desk.chosen = Some(number);
        asks.push(Ask::Go((finding.tick.seconds() - BEFORE_S).max(0.0)));
    }
}

/// Whether an attempt may be taken up at one of its moments: never where
/// somebody is assessed.
fn may_restart(debrief: &Debrief, sitting: &Sitting) -> bool {
    let of = debrief.recording.opened().map(|opened| opened.mode);
    of.is_some_and(|mode| mode != Mode::Assessment) && sitting.mode != Mode::Assessment
}

fn enter(mut desk: ResMut<Desk>) {
    *desk = Desk::default();
}

#[allow(clippy::too_many_arguments)]
fn screen(
    mut contexts: EguiContexts,
    debrief: Option<ResMut<Debrief>>,
    mut desk: ResMut<Desk>,
    mut model: ResMut<Model>,
    stage: Res<Stage>,
    settings: Res<Settings>,
    shelf: Option<Res<Shelf>>,
    mut sitting: ResMut<Sitting>,
    mut next: ResMut<NextState<Screen>>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let Some(mut debrief) = debrief else {
        // Nothing was handed over: there is nothing to stay for.
        next.set(Screen::Choice);
        return Ok(());
    };
    if debrief.rated.is_some()
        && let Some(shelf) = &shelf
    {
        model.want(&debrief, shelf);
    }
    let cells = stage.show.as_ref().map_or(&[][..], |s| &s.cells);
    let asks = {
        let look = Look {
            debrief: &debrief,
            units: settings.units,
            may_restart: may_restart(&debrief, &sitting),
            model: &model,
            cells,
        };
        let mut root = theme::root(&ctx, "debrief");
        show(&mut root, &mut desk, &look)
    };
    for ask in asks {
        match ask {
            Ask::Rate(rated) => debrief.rated = Some(rated),
            Ask::Go(at_s) => debrief.cursor_s = at_s.clamp(0.0, debrief.until_s()),
            Ask::Play(plays) => {
                if plays && debrief.cursor_s >= debrief.until_s() {
                    debrief.cursor_s = 0.0;
                }
                debrief.plays = plays;
            }
            Ask::Speed(speed) => debrief.speed = speed,
            Ask::See(seen) => debrief.seen = seen,
            Ask::Copy(paper) => {
                let path = paper.path(&debrief).display().to_string();
                desk.copied = Some((paper, clip::put(&path)));
            }
            Ask::From(at_s) => {
                sitting.level = Some(debrief.loaded.clone());
                sitting.from = Some((debrief.recording.clone(), Tick::at(at_s)));
                next.set(Screen::Yard);
            }
            Ask::Again => {
                sitting.level = Some(debrief.loaded.clone());
                sitting.from = None;
                next.set(Screen::Yard);
            }
            Ask::Leave => {
                sitting.from = None;
                next.set(Screen::Choice);
            }
        }
    }
    Ok(())
}

/// Sets up the debrief.
pub fn plugin(app: &mut App) {
    app.init_resource::<Desk>()
        .init_resource::<Model>()
        .add_systems(OnEnter(Screen::Debrief), enter)
        .add_systems(
            EguiPrimaryContextPass,
            screen
                .in_set(ScreenSystems::Draw)
                .run_if(in_state(Screen::Debrief)),
        );
    view::plugin(app);
}
