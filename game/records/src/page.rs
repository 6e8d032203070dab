//! The page of a report.

mod evidence;
mod findings;
mod minute;
mod surface;

use crate::chart;
use crate::clock::utc;
use crate::html::{escape, text};
use crate::sheet::Sheet;
use crate::style;
use crate::theme::THEME;
use crate::words;
use crew::Tick;
use std::fmt::Write;
use training::recording::{Part, Status};
use training::text::{language, say};

/// The report of an attempt: one file of HTML that needs nothing else, neither
/// to be read on a screen nor to be printed.
pub fn report(sheet: &Sheet) -> String {
    let mut page = head(sheet);
    warning(&mut page, sheet);
    cautions(&mut page);
    marks(&mut page, sheet);
    minute::minute(&mut page, sheet);
    findings::findings(&mut page, sheet);
    surface::surface(&mut page, sheet);
    findings::procedure(&mut page, sheet);
    evidence::stops(&mut page, sheet);
    evidence::handling(&mut page, sheet);
    section(&mut page, "report-chart");
    page.push_str(&chart::figure(sheet));
    evidence::how(&mut page, sheet);
    evidence::limits(&mut page, sheet);
    evidence::log(&mut page, sheet);
    pen(&mut page);
    writeln!(
        page,
        "</main><footer class=\"wide\"><p>{} {}</p></footer></body></html>",
        text(
            "report-foot",
            &[("level", &sheet.level.id), ("release", &sheet.release)]
        ),
        text("report-caution-aid", &[]),
    )
    .ok();
    page
}

/// The heading of a section.
fn section(page: &mut String, title: &str) {
    write!(page, "<h2>{}</h2>", text(title, &[])).ok();
}

/// The opening of a table: its class, what it shows, and its columns, each with
/// whether it holds numbers.
fn table(page: &mut String, class: &str, caption: &str, columns: &[(&str, bool)]) {
    write!(
        page,
        "<table class=\"{class}\"><caption>{}</caption><thead><tr>",
        text(caption, &[])
    )
    .ok();
    for (id, numbers) in columns {
        let class = if *numbers { " class=\"n\"" } else { "" };
        write!(page, "<th scope=\"col\"{class}>{}</th>", text(id, &[])).ok();
    }
    page.push_str("</tr></thead>");
}

/// A list of facts: text id of each name, and its value.
fn facts(page: &mut String, facts: &[(&str, String)]) {
    page.push_str("<dl class=\"facts\">");
    for (id, value) in facts {
        write!(
            page,
            "<div><dt>{}</dt><dd>{}</dd></div>",
            text(id, &[]),
            escape(value)
        )
        .ok();
    }
    page.push_str("</dl>");
}

fn head(sheet: &Sheet) -> String {
    let level = &sheet.level;
    let title = text("report-title", &[("level", &level.title)]);
    let mut page = format!(
        "<!doctype html><html lang=\"{}\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>{title}</title>\
         <style>{}</style></head><body><header><div class=\"wide\"><h1>{title}</h1><p>{}</p>",
        language().tag(),
        style::sheet(&THEME),
        text("report-lead", &[]),
    );
    let mut known = vec![
        ("report-fact-level", level.id.clone()),
        ("report-fact-version", level.version.to_string()),
        ("report-fact-seed", sheet.seed.to_string()),
    ];
    if let Some(sitting) = &sheet.sitting {
        let trainee = match &sitting.display_name {
            Some(name) => say(
                "report-trainee",
                &[("name", name), ("code", &sitting.trainee)],
            ),
            None => sitting.trainee.clone(),
        };
        let started = utc(sitting.started_unix_s);
        known.extend([
            ("report-fact-trainee", trainee),
            (
                "report-fact-started",
                say("report-started", &[("time", &started)]),
            ),
            ("report-fact-mode", words::mode(&sitting.mode)),
            ("report-fact-device", sitting.device.clone()),
        ]);
    }
    known.push(("report-fact-recording", standing(&sheet.status)));
    facts(&mut page, &known);
    page.push_str("</div></header><main class=\"wide\">");
    page
}

/// What a recording is worth, in a few words.
fn standing(status: &Status) -> String {
    match status {
        Status::Sealed { signed: Some(by) } => {
            say("report-status-signed", &[("by", &by.to_string())])
        }
        Status::Sealed { signed: None } => say("report-status-unsigned", &[]),
        Status::SealBroken { .. } => say("report-status-seal_broken", &[]),
        Status::Unfinished { .. } => say("report-status-unfinished", &[]),
        Status::Damaged { .. } => say("report-status-damaged", &[]),
    }
}

/// Says at once where a recording is not a whole attempt, no longer the one
/// that was signed, or not played in one go.
fn warning(page: &mut String, sheet: &Sheet) {
    if let Some(other) = &sheet.restarted {
        let time = crate::clock::moment(other.at_s);
        let words = text("report-warning-restarted", &[("time", &time)]);
        write!(page, "<p class=\"stop\">{words}</p>").ok();
    }
    let moment = |tick: &Tick| crate::clock::moment(tick.seconds());
    let words = match &sheet.status {
        Status::Sealed { .. } => return,
        Status::SealBroken {
            claimed,
            body_holds,
            envelope_holds,
        } => {
            let id = match (body_holds, envelope_holds) {
                (true, _) => "report-warning-envelope_changed",
                (false, _) => "report-warning-body_changed",
            };
            text(id, &[("by", &claimed.to_string())])
        }
        Status::Unfinished { until } => {
            text("report-warning-unfinished", &[("time", &moment(until))])
        }
        Status::Damaged {
            part, after, why, ..
        } => {
            let id = match part {
                Part::Body => "report-warning-damaged",
                Part::Envelope => "report-warning-damaged_envelope",
            };
            let why = say(&format!("report-damage-{}", why.id()), &[]);
            text(id, &[("time", &moment(after)), ("why", &why)])
        }
    };
    write!(page, "<p class=\"stop\" role=\"alert\">{words}</p>").ok();
}

fn cautions(page: &mut String) {
    write!(
        page,
        "<section class=\"care\"><h2>{}</h2><ul>",
        text("report-cautions", &[])
    )
    .ok();
    for id in [
        "report-caution-aid",
        "report-caution-law",
        "report-caution-wound",
        "report-caution-validity",
    ] {
        write!(page, "<li>{}</li>", text(id, &[])).ok();
    }
    page.push_str("</ul></section>");
}

/// The four parts of the mark, side by side and never added up.
fn marks(page: &mut String, sheet: &Sheet) {
    section(page, "report-marks");
    page.push_str("<dl class=\"parts\">");
    let mark = &sheet.mark;
    for (id, value, missing) in [
        ("safety", mark.safety, "report-not_assessable"),
        ("coverage", mark.coverage, "report-not_part"),
        ("procedure", mark.procedure, "report-not_assessable"),
        ("economy", mark.economy, "report-not_assessable"),
    ] {
        let failed = id == "safety" && mark.is_critical();
        let class = if failed { " class=\"failed\"" } else { "" };
        let (class_of_value, value) = match value {
            Some(value) => (
                "value",
                format!(
                    "{} <span>{}</span>",
                    words::share(value),
                    text("report-of_hundred", &[])
                ),
            ),
            None => ("words", text(missing, &[])),
        };
        let about = if failed {
            "report-critical".to_owned()
        } else {
            format!("report-about-{id}")
        };
        write!(
            page,
            "<div{class}><dt>{}</dt><dd class=\"{class_of_value}\">{value}</dd>\
             <dd class=\"about\">{}</dd></div>",
            text(&format!("report-mark-{id}"), &[]),
            text(&about, &[])
        )
        .ok();
    }
    page.push_str("</dl>");
}

/// Room for what people write.
fn pen(page: &mut String) {
    page.push_str("<section class=\"pen\">");
    section(page, "report-remarks");
    for _ in 0..4 {
        page.push_str("<div class=\"rule\"></div>");
    }
    write!(
        page,
        "<p class=\"fine\">{}</p><div class=\"names\"><span>{}</span><span>{}</span><span>{}</span></div></section>",
        text("report-remarks-about", &[]),
        text("report-signature-name", &[]),
        text("report-signature-date", &[]),
        text("report-signature", &[]),
    )
    .ok();
}

#[cfg(test)]
mod tests;
