//! What happened a moment ago and is still told: rules that were broken, a step that had
//! to be made, what the bore gauge reads.

use super::guide::edge;
use super::hud::corner;
use super::theme::{self, AMBER, INK, RED, TEXT};
use crate::flow::Screen;
use crate::sitting::Sitting;
use crate::stage::{Found, Happened, Stage};
use bevy::prelude::*;
use bevy::time::Real;
use bevy_egui::egui::{Align2, Context, Label};
use crew::{Call, Task};
use records::words;
use training::text::say;
use training::{Event, Finding, HurtBy, HurtGrade, Severity};

/// How long a finding is told of, seconds.
const TOLD_S: f32 = 7.0;
/// Most findings that are told of at once.
const TOLD_MOST: usize = 3;
/// How long a step that had to be made is told of, and what a gauge reads, seconds.
const STEPPED_S: f32 = 4.0;
const GAUGED_S: f32 = 8.0;
/// How long "all stop" stands large, seconds.
const STOP_S: f32 = 4.0;

/// A finding as it is told in practice.
struct Told {
    rule: String,
    detail: String,
    severity: Severity,
    left_s: f32,
}

/// What was found lately, and for how long it is still told that one had to step and
/// which nozzle was gauged.
#[derive(Resource, Default)]
pub(super) struct Lately {
    /// What hurt whoever plays, and how badly, for so many seconds more.
    hurt: Option<(HurtBy, HurtGrade, f32)>,
    told: Vec<Told>,
    stepped_s: f32,
    stop_s: f32,
    gauged: Option<(u8, f32)>,
}

impl Lately {
    /// Something that was found is being told.
    pub fn tells(&self) -> bool {
        !self.told.is_empty()
    }

    /// The feet have just had to go.
    pub fn stepped(&self) -> bool {
        self.stepped_s > 0.0
    }

    /// The nozzle that has just been gauged, by its place in the level's list.
    pub fn gauged(&self) -> Option<u8> {
        self.gauged.map(|(nozzle, _)| nozzle)
    }
}

impl Told {
    fn of(finding: &Finding) -> Self {
        Told {
            rule: words::rule_title(&finding.rule),
            detail: words::detail_at_once(finding),
            severity: finding.severity,
            left_s: TOLD_S,
        }
    }
}

fn hear(
    mut found: MessageReader<Found>,
    mut happened: MessageReader<Happened>,
    sitting: Res<Sitting>,
    stage: Res<Stage>,
    time: Res<Time<Real>>,
    mut lately: ResMut<Lately>,
) {
    let dt = time.delta_secs();
    lately.stepped_s = (lately.stepped_s - dt).max(0.0);
    lately.stop_s = (lately.stop_s - dt).max(0.0);
    if let Some((_, left_s)) = &mut lately.gauged {
        *left_s -= dt;
    }
    lately.gauged = lately.gauged.filter(|(_, left_s)| *left_s > 0.0);
    for told in &mut lately.told {
        told.left_s -= dt;
    }
    lately.told.retain(|told| told.left_s > 0.0);
    if let Some((.., left_s)) = &mut lately.hurt {
        *left_s -= dt;
    }
    lately.hurt = lately.hurt.filter(|(.., left_s)| *left_s > 0.0);
    for Happened { event, .. } in happened.read() {
        match event {
            Event::Stepped { seat } if Some(*seat) == stage.own => lately.stepped_s = STEPPED_S,
            Event::Said { seat, call } if *call == Call::AllStop && Some(*seat) != stage.own => {
                lately.stop_s = STOP_S;
            }
            Event::Finished {
                seat,
                task: Task::GaugeBore,
            } if Some(*seat) == stage.own => {
                let nozzle = stage.show.as_ref().map(|show| show.now.tool.chosen);
                lately.gauged = nozzle.map(|nozzle| (nozzle, GAUGED_S));
            }
            Event::Hurt { seat, by, grade } if Some(*seat) == stage.own => {
                lately.hurt = Some((*by, *grade, HURT_S));
            }
            _ => {}
        }
    }
    for Found(finding) in found.read() {
        // Who is assessed is told afterwards.
        if sitting.helps() {
            lately.told.push(Told::of(finding));
        }
    }
    let over = lately.told.len().saturating_sub(TOLD_MOST);
    lately.told.drain(..over);
}

/// So long it stays large on the screen that one was hurt, seconds.
const HURT_S: f32 = 12.0;

/// What has hurt whoever plays.
pub(super) fn hurt(ctx: &Context, lately: &Lately) {
    let Some((by, grade, _)) = lately.hurt else {
        return;
    };
    corner(ctx, "hurt", Align2::CENTER_CENTER, [0.0, -90.0], |ui| {
        theme::over().fill(theme::RED_GROUND).show(ui, |ui| {
            let words = say(&format!("scene-hud-struck-{}", by.id()), &[]);
            ui.label(theme::heading(words).color(TEXT));
            let words = say(&format!("scene-hud-hurt-{}", grade.id()), &[]);
            ui.label(theme::body(words).color(TEXT));
        });
    });
}

fn forget(mut lately: ResMut<Lately>) {
    *lately = Lately::default();
}

/// "All stop", in practice so large that nobody misses it: who looks at the spot of a jet does not
/// read what stands below.
pub(super) fn stop(ctx: &Context, lately: &Lately) {
    if lately.stop_s <= 0.0 {
        return;
    }
    corner(ctx, "stop", Align2::CENTER_CENTER, [0.0, -150.0], |ui| {
        theme::over().fill(theme::RED_GROUND).show(ui, |ui| {
            ui.label(theme::heading(say("scene-hud-stop", &[])).color(TEXT));
        });
    });
}

/// Rules that were broken just now, in practice, so far from the top.
pub(super) fn told(ctx: &Context, lately: &Lately, top: f32) {
    let told = &lately.told;
    if told.is_empty() {
        return;
    }
    // Beside the gauge, which is what has to be looked at now.
    corner(ctx, "told", Align2::RIGHT_TOP, [-20.0, top], |ui| {
        for told in told {
            let critical = told.severity == Severity::Critical;
            let fill = if critical {
                theme::RED_GROUND
            } else {
                theme::through(INK, theme::COVER)
            };
            let shown = theme::over().fill(fill).show(ui, |ui| {
                ui.set_width(320.0);
                ui.spacing_mut().item_spacing.y = 2.0;
                let weight = say(&format!("report-severity-{}", told.severity.id()), &[]);
                ui.horizontal(|ui| {
                    let colour = if critical { TEXT } else { AMBER };
                    ui.label(theme::faint(weight).color(colour));
                });
                ui.add(Label::new(theme::strong(&told.rule)).wrap());
                ui.add(Label::new(theme::body(&told.detail)).wrap());
            });
            edge(ui, shown.response.rect, if critical { RED } else { AMBER });
            ui.add_space(6.0);
        }
    });
}

/// Sets up what is still told.
pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Lately>()
        .add_systems(OnEnter(Screen::Yard), forget)
        .add_systems(Update, hear.run_if(in_state(Screen::Yard)));
}
