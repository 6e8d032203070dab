//! The facts: every finding, the gravest first, and the work line by line.

use super::{Ask, Desk, Look, choose, ink, parts, units};
use crate::settings::Units;
use bevy_egui::egui::{self, Color32, RichText, Sense, vec2};
use records::{clock, glance, words};
use training::text::say;
use training::{Event, Finding, Severity};

/// What was seen, against its limit.
pub(super) fn seen(ui: &mut egui::Ui, units: Units, finding: &Finding) {
    let (value, limit) = units::measured(units, finding.value, finding.limit, &finding.unit);
    let words = say("debrief-seen", &[("value", &value), ("limit", &limit)]);
    parts::words(ui, parts::plain(words));
}

/// Every finding, the critical ones first.
pub(super) fn findings(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let mark = &look.debrief.mark;
    falls(ui, look);
    let found = glance::gravest_first(&mark.findings);
    if found.is_empty() {
        let id = if mark.not_assessable.is_empty() {
            "report-no_findings"
        } else {
            "report-no_findings_in_part"
        };
        parts::words(ui, parts::plain(parts::say(id)));
    }
    let mut last: Option<Severity> = None;
    for (number, finding) in found {
        let critical = finding.severity == Severity::Critical;
        if critical && last.is_none() {
            parts::heading(ui, "report-findings-critical");
        } else if !critical && last.is_none_or(|l| l == Severity::Critical) {
            parts::heading(ui, "debrief-other_findings");
        }
        last = Some(finding.severity);
        if one(ui, desk, look, number, finding) {
            choose(desk, look, number, asks);
        }
    }
    if !mark.not_assessable.is_empty() {
        parts::heading(ui, "report-rules_not_assessable");
        for rule in &mark.not_assessable {
            parts::words(ui, parts::plain(words::rule_title(rule)));
        }
    }
}

/// Whoever fell is told when: a fall is no finding by itself.
fn falls(ui: &mut egui::Ui, look: &Look<'_>) {
    let post = look.debrief.loaded.level.post;
    for (tick, event) in look.debrief.recording.events() {
        if matches!(event, Event::Fell { seat } if *seat == post) {
            let time = clock::moment(tick.seconds());
            let told = say("debrief-fell", &[("time", &time)]);
            parts::words(ui, parts::strong(told).color(ink::AMBER));
        }
    }
}

/// One finding; says whether it was chosen.
fn one(ui: &mut egui::Ui, desk: &Desk, look: &Look<'_>, number: usize, finding: &Finding) -> bool {
    let chosen = desk.chosen == Some(number);
    let colour = ink::of(finding.severity);
    let edge = if chosen { ink::AMBER } else { ink::LINE };
    let fill = if chosen { ink::RAISED } else { ink::SUNK };
    let deductions = &look.debrief.mark.deductions;
    let deduction = deductions.iter().find(|d| d.finding + 1 == number);
    let small = parts::small(ui);
    let mut clicked = false;
    let response = parts::boxed(ui, fill, edge, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.horizontal(|ui| {
            let (at, painter) = ui.allocate_painter(vec2(16.0, 16.0), Sense::hover());
            super::timeline::mark(&painter, at.rect.center(), 6.0, finding.severity);
            let weight = say(&format!("report-severity-{}", finding.severity.id()), &[]);
            ui.label(parts::weighty(weight, colour));
            let time = clock::moment(finding.tick.seconds());
            let place = say(
                "debrief-finding_place",
                &[("number", &number), ("time", &time)],
            );
            clicked |= parts::worded(ui, place).clicked();
            let cost = words::cost(finding, deduction);
            let cost = say("debrief-cost", &[("cost", &cost)]);
            ui.add(egui::Label::new(parts::faint(cost).size(small)).truncate());
        });
        parts::words(ui, parts::strong(words::rule_title(&finding.rule)));
        parts::words(ui, parts::plain(words::detail(finding)));
        seen(ui, look.units, finding);
        if let Some(mended) = finding.mended {
            let over = say(
                "report-mended",
                &[("time", &clock::moment(mended.seconds()))],
            );
            parts::words(ui, parts::faint(over).size(small));
            if deduction.is_some_and(|d| d.halved) {
                let half = parts::say("report-cost-halved");
                parts::words(ui, parts::faint(half).size(small));
            }
        }
        if chosen {
            more(ui, look, finding);
        }
    });
    let anywhere = ui.interact(
        response.rect,
        ui.id().with(("finding", number)),
        // The button within is what the keyboard comes to.
        Sense::CLICK,
    );
    clicked || anywhere.clicked()
}

/// What to do instead, and where the rule comes from.
fn more(ui: &mut egui::Ui, look: &Look<'_>, finding: &Finding) {
    let coach = words::rule_coach(&finding.rule);
    if !coach.is_empty() {
        let next_time = say("report-coach", &[("words", &coach)]);
        parts::words(ui, RichText::new(next_time).color(ink::TEAL));
    }
    let mut book = look.debrief.sheet.book.iter();
    if let Some(rule) = book.find(|rule| rule.id == finding.rule) {
        let honesty = say(&format!("report-honesty-{}", rule.honesty.id()), &[]);
        let source = say(
            "report-source",
            &[("source", &rule.source), ("honesty", &honesty)],
        );
        let small = parts::small(ui);
        parts::words(ui, parts::faint(source).size(small));
    }
}

/// The procedure line by line, what was used up, and the acts.
pub(super) fn work(ui: &mut egui::Ui, look: &Look<'_>, asks: &mut Vec<Ask>) {
    troubles(ui, look);
    procedure(ui, look);
    economy(ui, look);
    acts(ui, look, asks);
    if look.debrief.sheet.cleaning.is_none() {
        super::surface::model(ui, look.model);
    }
}

/// What failed, where anything did.
fn troubles(ui: &mut egui::Ui, look: &Look<'_>) {
    let told = words::troubles(&look.debrief.sheet);
    if told.is_empty() {
        return;
    }
    parts::heading(ui, "report-troubles");
    for words in told {
        parts::words(ui, parts::plain(words));
    }
}

fn procedure(ui: &mut egui::Ui, look: &Look<'_>) {
    let mark = &look.debrief.mark;
    parts::heading(ui, "report-procedure");
    let small = parts::small(ui);
    if mark.procedure.is_none() {
        let words = parts::say("report-procedure-not_assessable");
        parts::words(ui, parts::plain(words));
    }
    for line in &mark.criteria {
        let full = line.share >= 1.0;
        let colour = match line.share {
            _ if line.weight == 0.0 => ink::MIST,
            s if s >= 1.0 => ink::TEAL,
            s if s > 0.0 => ink::AMBER,
            _ => ink::RED,
        };
        ui.horizontal(|ui| {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let points = say(
                    "debrief-points",
                    &[
                        ("earned", &words::earned(line)),
                        ("worth", &words::short(line.weight, 1)),
                    ],
                );
                ui.label(parts::weighty(points, colour));
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    let name = words::criterion(&line.kind);
                    let name = if full {
                        parts::plain(name)
                    } else {
                        parts::strong(name)
                    };
                    ui.add(egui::Label::new(name).wrap());
                });
            });
        });
        bar(ui, line.share, colour);
        parts::words(ui, parts::faint(words::seen(line)).size(small));
        ui.add_space(3.0);
    }
}

/// A share as a bar.
fn bar(ui: &mut egui::Ui, share: f64, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 4.0), Sense::hover());
    ui.painter().rect_filled(rect, 2.0, ink::LINE);
    let mut earned = rect;
    earned.set_width(rect.width() * share.clamp(0.0, 1.0) as f32);
    ui.painter().rect_filled(earned, 2.0, colour);
}

fn economy(ui: &mut egui::Ui, look: &Look<'_>) {
    parts::heading(ui, "report-mark-economy");
    for used in &look.debrief.sheet.uses {
        let supply = say(&format!("report-use-{}", used.supply.id()), &[]);
        let needed = units::amount(look.units, used.needed_l, "L");
        let words = match used.used_l {
            Some(used_l) => say(
                "debrief-use",
                &[
                    ("supply", &supply),
                    ("used", &units::amount(look.units, used_l, "L")),
                    ("needed", &needed),
                ],
            ),
            None => say(
                "debrief-use_unknown",
                &[("supply", &supply), ("needed", &needed)],
            ),
        };
        parts::words(ui, parts::plain(words));
    }
    // Little water and few points would puzzle whoever does not know why.
    if look.debrief.mark.procedure.is_some_and(|mark| mark < 100.0) {
        let small = parts::small(ui);
        let words = parts::say("report-use-procedure");
        parts::words(ui, parts::faint(words).size(small));
    }
}

/// How long it took from each cause to stop to the act.
fn acts(ui: &mut egui::Ui, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let sheet = &look.debrief.sheet;
    // How long a trouble took is told with it.
    if sheet.stops.is_empty() && !sheet.troubles.is_empty() {
        return;
    }
    parts::heading(ui, "report-acts");
    if sheet.stops.is_empty() {
        parts::words(ui, parts::plain(glance::no_cue(sheet)));
    }
    for stop in &sheet.stops {
        let cue = &stop.cue;
        let taken = cue.acted_s.map_or_else(
            || parts::say("report-never"),
            |s| units::amount(look.units, s, "s"),
        );
        let colour = if cue.is_met() { ink::TEAL } else { ink::RED };
        ui.horizontal_wrapped(|ui| {
            let time = clock::moment(cue.tick.seconds());
            if parts::worded(ui, time).clicked() {
                asks.push(Ask::Go((cue.tick.seconds() - super::BEFORE_S).max(0.0)));
            }
            ui.label(parts::plain(words::cause(cue.cause)));
            let verdict = say(
                "debrief-act_taken",
                &[
                    ("taken", &taken),
                    ("allowed", &units::amount(look.units, cue.allowed_s, "s")),
                ],
            );
            ui.label(RichText::new(verdict).color(colour));
        });
    }
}
