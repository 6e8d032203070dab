//! The card for whoever has one minute: what it comes to, what to talk about,
//! what went well, how quick the hand was, and where to begin again.

use super::model::Model;
use super::{Ask, Desk, Look, choose, facts, ink, parts, rating, surface, units};
use bevy_egui::egui::{self, Color32, Margin, RichText};
use records::glance::{self, RUN_UP_S};
use records::{clock, words};
use training::text::number;

/// The card.
pub(super) fn show(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>, asks: &mut Vec<Ask>) {
    verdict(ui, look);
    marks(ui, look);
    let sheet = &look.debrief.sheet;
    parts::words(ui, parts::plain(glance::happened(sheet)));
    first(ui, desk, look, asks);
    for trouble in words::troubles(sheet) {
        parts::words(ui, parts::plain(trouble));
    }
    let criteria = &sheet.mark.criteria;
    if let Some(best) = glance::best(criteria) {
        line(ui, "report-minute-well", ink::TEAL, &earned(best));
    }
    if let Some(worst) = glance::worst(criteria) {
        line(ui, "report-minute-missing", ink::AMBER, &earned(worst));
    }
    act(ui, look, asks);
    if let Some(rated) = look.debrief.rated {
        let said = parts::say(&format!("debrief-rated-{}", rating::id(rated)));
        line(ui, "debrief-said", ink::MIST, &said);
    }
    ui.add_space(4.0);
    let small = parts::small(ui);
    let validity = parts::say("report-caution-validity");
    parts::words(ui, parts::faint(validity).size(small));
    // It comes in later: below all that can be pressed.
    if let Model::Ready { reached, .. } = look.model {
        parts::words(ui, parts::faint(surface::reached(reached)).size(small));
    }
}

/// What it comes to, in a word.
fn verdict(ui: &mut egui::Ui, look: &Look<'_>) {
    let mark = &look.debrief.mark;
    let (edge, words) = if mark.is_critical() {
        (ink::RED, parts::say("debrief-verdict-critical"))
    } else if mark.safety.is_none() {
        (ink::AMBER, parts::say("debrief-verdict-unknown"))
    } else {
        (ink::TEAL, parts::say("debrief-verdict-none_critical"))
    };
    egui::Frame::new()
        .fill(edge)
        .corner_radius(5)
        .inner_margin(Margin::symmetric(10, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let words = parts::weighty(words, ink::SUNK);
            parts::words(ui, words);
        });
    if let Some(other) = &look.debrief.sheet.restarted {
        let time = clock::moment(other.at_s);
        let words = parts::say_with("report-warning-restarted", &[("time", &time)]);
        let small = parts::small(ui);
        parts::words(ui, RichText::new(words).color(ink::AMBER).size(small));
    }
}

/// The four parts of the mark, side by side and never added up.
fn marks(ui: &mut egui::Ui, look: &Look<'_>) {
    let mark = &look.debrief.mark;
    let all = [
        ("safety", mark.safety, "report-not_assessable"),
        ("coverage", mark.coverage, "report-not_part"),
        ("procedure", mark.procedure, "report-not_assessable"),
        ("economy", mark.economy, "report-not_assessable"),
    ];
    let body = egui::TextStyle::Body.resolve(ui.style()).size;
    let small = parts::small(ui);
    ui.columns(all.len(), |columns| {
        for (ui, (id, value, missing)) in columns.iter_mut().zip(all) {
            let failed = id == "safety" && mark.is_critical();
            let edge = if failed { ink::RED } else { ink::LINE };
            tile(ui, edge, |ui| {
                // As high as two lines of why there is none, so that the tiles
                // stand level.
                ui.set_min_height(3.8 * body);
                let name = parts::say(&format!("report-mark-{id}"));
                ui.add(egui::Label::new(parts::faint(name).size(small)).truncate());
                match value {
                    Some(value) => {
                        let colour = if failed { ink::RED } else { ink::TEXT };
                        let value = parts::weighty(words::share(value), colour);
                        ui.label(value.size(1.7 * body));
                    }
                    None => {
                        parts::words(ui, parts::faint(parts::say(missing)).size(small));
                    }
                }
            });
        }
    });
}

fn tile(ui: &mut egui::Ui, edge: Color32, add: impl FnOnce(&mut egui::Ui)) {
    parts::boxed(ui, ink::RAISED, edge, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.vertical_centered(add);
    });
}

/// What to talk about first: the earliest of the gravest findings.
fn first(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let findings = &look.debrief.mark.findings;
    let Some((number, finding)) = glance::first_cause(findings) else {
        let id = if look.debrief.mark.not_assessable.is_empty() {
            "report-no_findings"
        } else {
            "report-no_findings_in_part"
        };
        parts::words(ui, parts::plain(parts::say(id)));
        return;
    };
    let edge = ink::of(finding.severity);
    parts::boxed(ui, ink::RAISED, edge, |ui| {
        parts::words(ui, parts::weighty(parts::say("report-minute-talk"), edge));
        parts::words(
            ui,
            parts::strong(parts::say_with(
                "debrief-first",
                &[
                    ("number", &number),
                    ("time", &clock::moment(finding.tick.seconds())),
                    ("rule", &words::rule_title(&finding.rule)),
                ],
            )),
        );
        parts::words(ui, parts::plain(words::detail(finding)));
        facts::seen(ui, look.units, finding);
        let coach = words::rule_coach(&finding.rule);
        if !coach.is_empty() {
            let next_time = parts::say_with("report-coach", &[("words", &coach)]);
            parts::words(ui, RichText::new(next_time).color(ink::TEAL));
        }
        ui.horizontal_wrapped(|ui| {
            if parts::button(ui, "debrief-look").clicked() {
                choose(desk, look, number, asks);
            }
            let from_s = (finding.tick.seconds() - RUN_UP_S).max(0.0);
            if look.may_restart {
                let time = clock::minutes(from_s);
                let words = parts::say_with("debrief-from", &[("time", &time)]);
                if parts::worded(ui, words).clicked() {
                    asks.push(Ask::From(from_s));
                }
            }
        });
    });
}

fn earned(line: &training::criteria::CriterionResult) -> String {
    parts::say_with(
        "report-minute-earned",
        &[
            ("step", &words::criterion(&line.kind)),
            ("seen", &words::seen(line)),
        ],
    )
}

/// A fact with its name.
fn line(ui: &mut egui::Ui, id: &str, colour: Color32, said: &str) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.label(parts::weighty(parts::say(id), colour));
        ui.label(parts::plain(said));
    });
}

/// From the cue to the act: the slowest one.
fn act(ui: &mut egui::Ui, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let sheet = &look.debrief.sheet;
    let Some(stop) = glance::slowest(sheet) else {
        // How long a trouble took is told with it.
        if !sheet.troubles.is_empty() {
            return;
        }
        line(ui, "debrief-act", ink::MIST, &glance::no_cue(sheet));
        return;
    };
    let cue = &stop.cue;
    let taken = cue.acted_s.map_or_else(
        || parts::say("report-never"),
        |s| units::amount(look.units, s, "s"),
    );
    let said = parts::say_with(
        "report-minute-slowest",
        &[
            ("time", &clock::moment(cue.tick.seconds())),
            ("cause", &words::cause(cue.cause)),
            ("taken", &taken),
            ("allowed", &format!("{} s", number(cue.allowed_s, 1))),
        ],
    );
    let colour = if cue.is_met() { ink::TEAL } else { ink::RED };
    line(ui, "debrief-act", colour, &said);
    if parts::button(ui, "debrief-look_act").clicked() {
        asks.push(Ask::Go((cue.tick.seconds() - super::BEFORE_S).max(0.0)));
    }
}
