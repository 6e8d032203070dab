//! The job sheet: what is to be done, how it is marked, and what can hurt.

use super::choice::{full, post};
use super::theme::{self, AMBER, FAINT, GAP, RED, SPACE, TEAL, TEXT};
use super::units::{self, amount};
use crate::flow::Screen;
use crate::proof::{Proof, Proofs};
use crate::settings::{Settings, Units};
use crate::sitting::Sitting;
use bevy::prelude::*;
use bevy_egui::EguiContexts;
use bevy_egui::egui::{self, Align, Grid, Label, Layout, RichText, Ui, Vec2};
use crew::Seat;
use training::level::{CriterionKind, Level};
use training::recording::Mode;
use training::text::{number, say};

/// Width from which the sheet has two columns.
const WIDE: f32 = 820.0;

/// What is asked for here.
enum Ask {
    Back,
    Begin,
}

pub(super) fn screen(
    mut contexts: EguiContexts,
    sitting: Res<Sitting>,
    settings: Res<Settings>,
    mut proofs: ResMut<Proofs>,
    mut accepted: Local<bool>,
    mut next: ResMut<NextState<Screen>>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let Some(loaded) = sitting.level.clone() else {
        next.set(Screen::Choice);
        return Ok(());
    };
    // Who is assessed is assessed by physics that meets its references.
    let proof = match sitting.mode {
        Mode::Assessment => proofs.of(&loaded.level),
        _ => Proof::Holds,
    };
    if proof == Proof::Checking {
        ctx.request_repaint();
    }
    let mut root = theme::root(&ctx, "sheet");
    let mut asked = super::wants_back(&ctx).then_some(Ask::Back);
    full(&mut root, |ui| {
        head(ui, &loaded.level, &sitting);
        let foot = theme::BUTTON + SPACE;
        let size = Vec2::new(ui.available_width(), ui.available_height() - foot);
        ui.allocate_ui(size, |ui| {
            ui.set_min_size(size);
            sheet(ui, &loaded.level, settings.units);
        });
        ui.add_space(GAP);
        if let Some(ask) = foot_line(ui, sitting.mode, &proof, &mut accepted) {
            asked = Some(ask);
        }
    });
    match asked {
        Some(Ask::Back) => {
            *accepted = false;
            next.set(Screen::Choice);
        }
        Some(Ask::Begin) => {
            *accepted = false;
            next.set(Screen::Yard);
        }
        None => {}
    }
    Ok(())
}

fn head(ui: &mut Ui, level: &Level, sitting: &Sitting) {
    ui.horizontal(|ui| {
        ui.label(theme::heading(level.title.get("en")));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let mode = say(&format!("scene-mode-{}", sitting.mode.id()), &[]);
            let trainee = if sitting.trainee.is_empty() {
                say("scene-sheet-no_name", &[])
            } else {
                sitting.trainee.clone()
            };
            let post = say(&format!("scene-post-{}", post(level.post)), &[]);
            let about = say(
                "scene-sheet-about",
                &[("trainee", &trainee), ("mode", &mode), ("post", &post)],
            );
            ui.add(Label::new(theme::body(about).color(FAINT)).truncate());
        });
    });
    ui.separator();
}

fn foot_line(ui: &mut Ui, mode: Mode, proof: &Proof, accepted: &mut bool) -> Option<Ask> {
    let assessed = mode == Mode::Assessment;
    let mut asked = None;
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let may = !assessed || (*accepted && *proof == Proof::Holds);
        let begin = theme::main_if(ui, say("scene-sheet-begin", &[]), false, may);
        if may {
            theme::begins(&begin);
        }
        if begin.clicked() {
            asked = Some(Ask::Begin);
        }
        if theme::small_button(ui, say("scene-back", &[])).clicked() {
            asked = Some(Ask::Back);
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            if let Some(why) = unproven(proof) {
                ui.add(Label::new(theme::body(why).color(AMBER)).wrap());
            } else if assessed {
                let words = theme::body(say("scene-sheet-accept", &[]));
                let tick = theme::followed(ui.checkbox(accepted, words));
                theme::begins(&tick);
            } else {
                ui.add(Label::new(theme::faint(say("scene-sheet-law", &[]))).truncate());
            }
        });
    });
    asked
}

/// Why an assessment cannot begin, or not yet.
fn unproven(proof: &Proof) -> Option<String> {
    match proof {
        Proof::Holds => None,
        Proof::Checking => Some(say("scene-sheet-checking", &[])),
        Proof::Fails(titles) => {
            let titles: Vec<String> = titles.iter().map(|id| say(id, &[])).collect();
            let failing = titles.join("; ");
            Some(say("scene-sheet-unproven", &[("failing", &failing)]))
        }
    }
}

/// The sheet itself, which is looked at in the yard as well.
pub(super) fn sheet(ui: &mut Ui, level: &Level, units: Units) {
    if ui.available_width() >= WIDE {
        let half = 0.5 * (ui.available_width() - 2.0 * SPACE);
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            let size = Vec2::new(half, height);
            ui.allocate_ui_with_layout(size, Layout::top_down(Align::LEFT), |ui| {
                theme::scroll(ui, "told", |ui| told(ui, level));
            });
            ui.add_space(SPACE);
            ui.vertical(|ui| {
                theme::scroll(ui, "measured", |ui| measured(ui, level, units));
            });
        });
    } else {
        theme::scroll(ui, "sheet", |ui| {
            told(ui, level);
            ui.add_space(SPACE);
            measured(ui, level, units);
        });
    }
}

fn told(ui: &mut Ui, level: &Level) {
    ui.label(theme::part(say("scene-sheet-briefing", &[])));
    // A sentence a line is easier to come back to than one block.
    for paragraph in paragraphs(level.briefing.get("en")) {
        ui.add(Label::new(theme::body(paragraph)).wrap());
    }
    ui.add_space(GAP);
    ui.label(theme::part(say("scene-sheet-hazards", &[])).color(RED));
    for hazard in &level.hazards {
        theme::bullet(ui, RED, theme::body(hazard.get("en")));
    }
    ui.add_space(GAP);
    ui.label(theme::part(say("scene-sheet-objectives", &[])));
    for objective in &level.objectives {
        theme::bullet(ui, TEAL, theme::body(objective.get("en")));
    }
}

/// A long text in parts of two sentences or so, none of them cut in the middle.
fn paragraphs(text: &str) -> Vec<String> {
    const ENOUGH: usize = 140;
    let mut found = vec![String::new()];
    for sentence in text.split_inclusive(". ") {
        let long = found.last().is_some_and(|last| last.len() > ENOUGH);
        if long {
            found.push(String::new());
        }
        if let Some(last) = found.last_mut() {
            last.push_str(sentence);
        }
    }
    found
}

fn measured(ui: &mut Ui, level: &Level, units: Units) {
    ui.label(theme::part(say("scene-sheet-criteria", &[])));
    criteria(ui, level, units);
    ui.add_space(SPACE);
    ui.label(theme::part(say("scene-sheet-limits", &[])));
    ui.add(
        Label::new(theme::faint(say(
            "scene-sheet-limits_of",
            &[("region", &level.region.title.get("en"))],
        )))
        .wrap(),
    );
    limits(ui, level, units);
    if level.post == Seat::LANCE || !level.equipment.nozzles.is_empty() {
        ui.add_space(SPACE);
        ui.label(theme::part(say("scene-sheet-nozzles", &[])));
        nozzles(ui, level, units);
    }
    ui.add_space(SPACE);
    let time = say(
        "scene-sheet-time",
        &[
            ("expected", &units::clock(level.expected_s)),
            ("limit", &units::clock(level.limit_s)),
        ],
    );
    ui.add(Label::new(theme::faint(time)).wrap());
}

/// Lines of words with something at the right, each on a ground of its own.
fn line(ui: &mut Ui, n: usize, left: RichText, under: Option<String>, right: RichText) {
    let fill = if n.is_multiple_of(2) {
        theme::RAISED
    } else {
        theme::PANEL
    };
    egui::Frame::new()
        .fill(fill)
        .inner_margin(egui::Margin::symmetric(10, 5))
        .show(ui, |ui| {
            let width = ui.available_width();
            ui.horizontal_top(|ui| {
                let size = Vec2::new(width - 110.0, 0.0);
                ui.allocate_ui_with_layout(size, Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(size.x);
                    ui.spacing_mut().item_spacing.y = 1.0;
                    ui.add(Label::new(left).wrap());
                    if let Some(under) = under {
                        ui.add(Label::new(theme::faint(under)).wrap());
                    }
                });
                ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                    ui.add(Label::new(right).extend());
                });
            });
        });
}

fn criteria(ui: &mut Ui, level: &Level, units: Units) {
    ui.spacing_mut().item_spacing.y = 0.0;
    for (n, criterion) in level.criteria.iter().enumerate() {
        let name = say(&format!("report-criterion-{}", criterion.kind.id()), &[]);
        let asked = asked(&criterion.kind, level, units);
        let weight = say("scene-percent", &[("number", &number(criterion.weight, 0))]);
        line(
            ui,
            n,
            theme::body(name),
            Some(asked),
            theme::strong(weight).color(AMBER),
        );
    }
    ui.spacing_mut().item_spacing.y = GAP;
}

/// What is measured for a criterion, with this level's numbers.
fn asked(kind: &CriterionKind, level: &Level, units: Units) -> String {
    let id = format!("scene-asked-{}", kind.id());
    let bar = |value: f64| amount(units, value, "bar");
    match kind {
        CriterionKind::Flushed { min_s: seconds }
        | CriterionKind::TroubleMet { within_s: seconds }
        | CriterionKind::StoppedForParted { within_s: seconds } => {
            say(&id, &[("seconds", &number(*seconds, 0))])
        }
        CriterionKind::StepsHeld { count } => say(
            &id,
            &[
                ("count", count),
                ("seconds", &number(level.region.limits.step_hold_s.value, 0)),
            ],
        ),
        CriterionKind::Partnered { count } => say(&id, &[("count", count)]),
        CriterionKind::LeakWalk { places } => say(&id, &[("count", &places.len())]),
        CriterionKind::Hold => say(
            &id,
            &[
                ("pressure", &bar(level.job.pressure_bar)),
                ("within", &number(level.job.within_pct, 0)),
                ("seconds", &number(level.job.hold_s, 0)),
            ],
        ),
        CriterionKind::DumpedOnCall => say(
            &id,
            &[(
                "seconds",
                &number(level.region.limits.dump_on_call_s.value, 1),
            )],
        ),
        CriterionKind::Cooled => say(
            &id,
            &[("seconds", &number(level.region.limits.cool_idle_s.value, 0))],
        ),
        CriterionKind::Cleaned { pct } | CriterionKind::StandOffKept { pct } => {
            say(&id, &[("percent", &number(*pct, 0))])
        }
        CriterionKind::TestPatch {
            at_most_bar,
            look_s,
        } => say(
            &id,
            &[
                ("pressure", &bar(*at_most_bar)),
                ("seconds", &number(*look_s, 0)),
            ],
        ),
        CriterionKind::StoppedForIntruder => say(
            &id,
            &[(
                "seconds",
                &number(level.region.limits.release_on_cue_s.value, 1),
            )],
        ),
        CriterionKind::StopsTested => {
            let stop = |name: &String| say(&format!("scene-stop-{name}"), &[]);
            let before: Vec<String> = level.given.stops_tested.iter().map(stop).collect();
            let asked = say(&id, &[]);
            if before.is_empty() {
                return asked;
            }
            let before = say("scene-asked-stops_given", &[("stops", &before.join(", "))]);
            format!("{asked} {before}")
        }
        CriterionKind::BoreGauged
        | CriterionKind::LeftSafe
        | CriterionKind::NozzleChanged
        | CriterionKind::Restrained
        | CriterionKind::LanceLeftSafe => say(&id, &[]),
    }
}

/// Limits that a hand at this post meets.
fn limit_names(post: Seat) -> &'static [&'static str] {
    if post == Seat::PUMP {
        &[
            "job_bar",
            "job_most_bar",
            "danger_bar",
            "zero_bar",
            "start_set_pressure_max_bar",
            "start_throttle_max_pct",
            "stop_test_max_bar",
            "step_share_max_pct",
            "read_back_valid_s",
            "consent_valid_s",
            "bypass_share_max_pct",
            "unwatched_s",
            "parked_max_s",
            "starved_s",
            "trouble_stopped_within_s",
        ]
    } else {
        &[
            "danger_bar",
            "zero_bar",
            "braced_above_n",
            "never_above_n",
            "stop_test_max_bar",
            "pointed_within_m",
            "jet_hazard_m",
            "jet_to_feet_m",
            "walk_with_flow_m_s",
            "catch_within_s",
            "release_on_cue_s",
            "damaged_max_pct",
        ]
    }
}

fn limits(ui: &mut Ui, level: &Level, units: Units) {
    ui.spacing_mut().item_spacing.y = 0.0;
    let names = limit_names(level.post);
    let of_region = level.region.limits.all();
    let of_region = of_region.map(|(name, limit)| (name, limit.value));
    let all = level.job_limits().into_iter().chain(of_region);
    for (n, (name, value)) in all.filter(|(name, _)| names.contains(name)).enumerate() {
        let words = say(&format!("report-limit-{name}"), &[]);
        let unit = match name.rsplit('_').next() {
            _ if name.ends_with("_m_s") => "m/s",
            Some("bar") => "bar",
            Some("n") => "N",
            Some("m") => "m",
            Some("pct") => "%",
            _ => "s",
        };
        let value = amount(units, value, unit);
        line(
            ui,
            n,
            theme::body(words).size(14.5),
            None,
            theme::body(value),
        );
    }
    ui.spacing_mut().item_spacing.y = GAP;
}

fn nozzles(ui: &mut Ui, level: &Level, units: Units) {
    let head = |ui: &mut Ui, id: &str| ui.label(theme::faint(say(id, &[])));
    Grid::new("nozzles")
        .num_columns(3)
        .spacing([18.0, 6.0])
        .striped(false)
        .show(ui, |ui| {
            head(ui, "scene-sheet-nozzle");
            head(ui, "scene-sheet-bore");
            head(ui, "scene-sheet-stand_off");
            ui.end_row();
            for (n, nozzle) in level.equipment.nozzles.iter().enumerate() {
                let colour = if n == 0 { AMBER } else { TEXT };
                ui.label(theme::body(nozzle.title.get("en")).color(colour));
                let bore = 1000.0 * nozzle.water.bore_m;
                ui.label(theme::body(amount(units, bore, "mm")));
                let [near, far] = nozzle.stand_off_m.map(|m| amount(units, 1000.0 * m, "mm"));
                ui.label(theme::body(say(
                    "scene-from_to",
                    &[("from", &near), ("to", &far)],
                )));
                ui.end_row();
            }
        });
    ui.add(Label::new(theme::faint(say("scene-sheet-nozzle_note", &[]))).wrap());
}
