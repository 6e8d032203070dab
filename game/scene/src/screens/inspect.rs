//! A thing held close: what can be read on it, and no more.

use super::dials;
use super::theme::{self, AMBER, FAINT, TEXT};
use super::units::amount;
use crate::hands::keymap::Deed;
use crate::hands::names;
use crate::settings::{Settings, Units};
use crate::stage::Show;
use crate::things::Thing;
use bevy_egui::egui::{Align2, Area, Context, Grid, Id, Label, Stroke, Ui};
use training::Level;
use training::text::say;

/// What is read on a thing: names and values, in lines.
fn tag(thing: Thing, show: &Show, units: Units) -> Vec<(&'static str, String)> {
    let level = &show.loaded.level;
    let bar = |pa: f64| amount(units, pa / 1e5, "bar");
    match thing {
        Thing::Nozzle(n) => nozzle(level, n, units),
        Thing::LanceEnd => match show.now.tool.nozzle {
            Some(n) => nozzle(level, n, units),
            None => vec![("scene-tag-end", say("scene-tag-end-bare", &[]))],
        },
        Thing::Lance => {
            let lance = &level.equipment.lance;
            let catch = if show.now.tool.catch_on {
                "scene-tag-catch-on"
            } else {
                "scene-tag-catch-off"
            };
            vec![
                ("scene-tag-rating", bar(level.equipment.gun_rating_pa)),
                ("scene-tag-length", amount(units, lance.length_m, "m")),
                ("scene-tag-catch", say(catch, &[])),
            ]
        }
        Thing::Hose => level
            .equipment
            .hoses
            .first()
            .map(|hose| {
                vec![
                    ("scene-tag-rating", bar(hose.rating_pa)),
                    ("scene-tag-bore", amount(units, 1000.0 * hose.bore_m, "mm")),
                    ("scene-tag-length", amount(units, hose.length_m, "m")),
                    ("scene-tag-proof", hose.proof_date.clone()),
                ]
            })
            .unwrap_or_default(),
        Thing::Control(crew::Control::Regulator) => {
            let kit = level.equipment.kit_max_pa;
            vec![("scene-tag-kit", bar(kit))]
        }
        Thing::Dials => dials::lines(&show.now.machine, units),
        Thing::LineGauge => (show.now.second.iter())
            .map(|second| ("scene-tag-line", dials::line(second, units)))
            .collect(),
        _ => Vec::new(),
    }
}

fn nozzle(level: &Level, n: u8, units: Units) -> Vec<(&'static str, String)> {
    let Some(nozzle) = level.equipment.nozzles.get(usize::from(n)) else {
        return Vec::new();
    };
    let [near, far] = nozzle.stand_off_m.map(|m| amount(units, 1000.0 * m, "mm"));
    vec![
        ("scene-tag-nozzle", nozzle.title.get("en").to_owned()),
        (
            "scene-tag-bore",
            amount(units, 1000.0 * nozzle.water.bore_m, "mm"),
        ),
        (
            "scene-tag-stand_off",
            say("scene-from_to", &[("from", &near), ("to", &far)]),
        ),
    ]
}

/// The card of the thing that is held close.
pub(super) fn card(ctx: &Context, thing: Thing, show: &Show, settings: &Settings) {
    let lines = tag(thing, show, settings.units);
    let none = match thing {
        Thing::JobBoard => {
            let key = names::bound(&settings.keys, Deed::Take);
            say("scene-tag-board", &[("key", &key)])
        }
        _ => say("scene-tag-none", &[]),
    };
    lay(ctx, &names::thing(thing, &show.loaded.level), &lines, &none);
}

/// What the bore gauge has just told of a nozzle.
pub(super) fn gauged(ctx: &Context, n: u8, show: &Show, settings: &Settings) {
    let level = &show.loaded.level;
    let Some(nozzle) = level.equipment.nozzles.get(usize::from(n)) else {
        return;
    };
    let bore = amount(settings.units, 1000.0 * nozzle.water.bore_m, "mm");
    let lines = [
        ("scene-tag-nozzle", nozzle.title.get("en").to_owned()),
        // No nozzle of any level is worn.
        ("scene-tag-bore", bore.clone()),
        ("scene-tag-gauged", bore),
    ];
    lay(ctx, &names::thing(Thing::BoreGauge, level), &lines, "");
}

/// Lays a card out; `none` is what it says where there are no lines.
fn lay(ctx: &Context, name: &str, lines: &[(&'static str, String)], none: &str) {
    Area::new(Id::new("inspect"))
        .anchor(Align2::RIGHT_CENTER, [-40.0, 0.0])
        .interactable(false)
        .fade_in(false)
        .show(ctx, |ui| {
            let frame = theme::card().fill(theme::through(theme::PANEL, 0.95));
            frame
                .stroke(Stroke::new(1.0, AMBER))
                .show(ui, |ui| written(ui, name, lines, none));
        });
}

fn written(ui: &mut Ui, name: &str, lines: &[(&'static str, String)], none: &str) {
    ui.set_width(280.0);
    ui.add(Label::new(theme::part(name)).wrap());
    if lines.is_empty() {
        ui.add(Label::new(theme::body(none)).wrap());
        return;
    }
    Grid::new("tag")
        .num_columns(2)
        .spacing([16.0, 6.0])
        .show(ui, |ui| {
            for (id, value) in lines {
                ui.label(theme::faint(say(id, &[])).color(FAINT));
                ui.add(Label::new(theme::strong(value).color(TEXT)).wrap());
                ui.end_row();
            }
        });
}
