//! What helps to learn, in practice: the step that comes next and how far it has
//! come, which words hold, where one has to be, and how far off the tip is.

use super::hud::{bar, corner, reading};
use super::theme::{self, AMBER, RED, TEAL, TEXT};
use super::units::amount;
use crate::before::Before;
use crate::help::{Come, Help, Stand};
use crate::settings::Settings;
use crate::stage::Show;
use bevy_egui::egui::{Align2, Color32, Context, Label, Rect, Stroke, Ui};
use crew::{Call, Control, Seat};
use training::allowed::REACH_M;
use training::text::{number, say};
use yard::view::PersonView;

/// The step that comes next, first told, then hinted at.
pub(super) fn step(ctx: &Context, help: &Help, me: &PersonView) {
    // Who lies on the ground does nothing next.
    if me.fallen {
        return;
    }
    corner(ctx, "step", Align2::LEFT_TOP, [20.0, 20.0], |ui| {
        if let Some(step) = &help.step {
            let shown = theme::over().show(ui, |ui| {
                ui.set_width(STEP_WIDE);
                let count = say(
                    "scene-hud-step",
                    &[("number", &step.number), ("of", &step.of)],
                );
                ui.label(theme::faint(count).color(AMBER));
                ui.add(Label::new(theme::body(&step.told)).wrap());
                if let Some(hint) = &step.hint {
                    ui.add(Label::new(theme::faint(hint).size(14.5).color(TEXT)).wrap());
                }
                if let Some(come) = step.come {
                    far(ui, come);
                }
            });
            edge(ui, shown.response.rect, AMBER);
            ui.add_space(6.0);
        }
        for (call, stand) in &help.words {
            word(ui, *call, *stand);
        }
    });
}

/// How far a step has come.
fn far(ui: &mut Ui, come: Come) {
    let (words, share) = match come {
        Come::Held(held_s, for_s) => (
            say("scene-hud-held", &[("held", &held_s), ("of", &for_s)]),
            f64::from(held_s) / f64::from(for_s.max(1)),
        ),
        Come::Clean(clean, wanted) => {
            let numbers = [number(clean, 1), number(wanted, 0)];
            let words = say(
                "scene-hud-clean",
                &[("clean", &numbers[0]), ("wanted", &numbers[1])],
            );
            (words, clean / wanted.max(1.0))
        }
    };
    ui.label(theme::faint(words).color(TEAL));
    bar(ui, STEP_WIDE, share as f32, TEAL);
}

/// Width of a step, points.
const STEP_WIDE: f32 = 300.0;

/// How it stands with a word that something hangs on: whether it was read back,
/// and for how long that is good.
fn word(ui: &mut Ui, call: Call, stand: Stand) {
    let spoken = |call: Call| say(&format!("calls-call-{}", call.id()), &[]);
    let call = spoken(call);
    let (words, colour) = match stand {
        Stand::Asked => (say("scene-hud-word_asked", &[("call", &call)]), AMBER),
        Stand::Holds(left_s) => {
            let told = [("call", &call as _), ("seconds", &left_s as _)];
            (say("scene-hud-word_holds", &told), TEAL)
        }
        Stand::Refused(by) => {
            let by_id = match by {
                Call::NoChange => "scene-hud-word_no_change",
                _ => "scene-hud-word_refused",
            };
            (say(by_id, &[("call", &call), ("by", &spoken(by))]), AMBER)
        }
    };
    let shown = theme::over().show(ui, |ui| {
        ui.set_width(STEP_WIDE);
        ui.add(Label::new(theme::body(words).color(colour)).wrap());
    });
    edge(ui, shown.response.rect, colour);
}

/// What tells a card apart: a line down its left edge.
pub(super) fn edge(ui: &Ui, card: Rect, colour: Color32) {
    let line = [card.left_top(), card.left_bottom()];
    ui.painter().line_segment(line, Stroke::new(3.0, colour));
}

/// Whoever has the pump under pressure and stands too far from its dump, in
/// practice: on a screen one sees badly how far an arm reaches.
pub(super) fn away(ctx: &Context, show: &Show, seat: Seat, me: &PersonView) {
    let dump = show.loaded.level.site.control(Control::Dump);
    let open = show.share(Control::Dump).unwrap_or(1.0) > 0.5;
    let Some(dump) = dump.filter(|_| seat == Seat::PUMP && !open) else {
        return;
    };
    let feet = [0, 2].map(|n| 0.5 * (me.feet[0][n] + me.feet[1][n]));
    let far = (dump[0] - feet[0]).hypot(dump[2] - feet[1]) > REACH_M;
    let danger_bar = show.loaded.level.region.limits.danger_bar.value;
    if far && show.now.machine.pump_pa > 1e5 * danger_bar {
        corner(ctx, "away", Align2::CENTER_TOP, [0.0, 20.0], |ui| {
            theme::over().show(ui, |ui| {
                ui.label(theme::strong(say("scene-hud-away", &[])).color(AMBER));
            });
        });
    }
}

/// A tip is brought up to the surface by eye from so near, metres.
const STAND_OFF_M: f64 = 0.6;
/// It is not told finer than this, millimetres.
const STAND_OFF_STEP_MM: f64 = 5.0;

/// How far the tip of the lance in the hands is from the surface, in practice:
/// a screen shows depth less well than a yard does.
pub(super) fn stand_off(ctx: &Context, me: &PersonView, show: &Show, settings: &Settings) {
    let tool = &show.now.tool;
    let held = me.seat == Seat::LANCE && tool.in_hands;
    let before = Before::of(&show.loaded.level, tool);
    // A stroke that runs over an edge is told as well: there it is turned round.
    let way_m = match &before {
        Some(before) if before.touches() => Some(0.0),
        Some(before) => Some(f64::from(before.stand_off_m)),
        None => tool.stand_off_m,
    };
    let Some(way_m) = way_m.filter(|m| held && *m <= STAND_OFF_M) else {
        return;
    };
    let mm = STAND_OFF_STEP_MM * (1000.0 * way_m / STAND_OFF_STEP_MM).round();
    // Arms that can go no further are told of: on a screen one does not feel them.
    let end = |at_end: bool, id: &str| if at_end { say(id, &[]) } else { String::new() };
    if mm <= 0.0 {
        let id = match me.drawn_in {
            true => "scene-hud-touches_in",
            false => "scene-hud-touches",
        };
        reading(ctx, say(id, &[]), RED);
    } else {
        let length = amount(settings.units, mm, "mm");
        // Against the table of the nozzle that is on the lance.
        let nozzles = &show.loaded.level.equipment.nozzles;
        let table = tool.nozzle.and_then(|n| nozzles.get(usize::from(n)));
        let table_m = table.map_or([0.0, f64::INFINITY], |nozzle| nozzle.stand_off_m);
        // One number, one word for it.
        let (id, colour) = match mm / 1000.0 {
            m if m < table_m[0] => ("scene-hud-stand_off_near", AMBER),
            m if m > table_m[1] => ("scene-hud-stand_off_far", AMBER),
            _ => ("scene-hud-stand_off", TEAL),
        };
        let arms = match id {
            "scene-hud-stand_off_near" => end(me.drawn_in, "scene-hud-arms_in"),
            "scene-hud-stand_off_far" => end(me.stretched, "scene-hud-arms_out"),
            _ => String::new(),
        };
        let words = say(id, &[("length", &length)]) + &arms;
        // What still trickles once the dump is open is no jet to judge by.
        let dumped = show.share(Control::Dump).unwrap_or(0.0) > 0.5;
        match show.withstands() {
            Some(coat) if colour == TEAL && !dumped => {
                let coat = coat.title.get("en");
                let words = say(
                    "scene-hud-stand_off_weak",
                    &[("length", &length), ("coat", &coat)],
                );
                reading(ctx, words, AMBER);
            }
            _ => reading(ctx, words, colour),
        }
    }
}
