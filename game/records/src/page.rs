//! The page of a report.

use crate::chart;
use crate::sheet::Sheet;
use crate::theme::THEME;
use crew::{Seat, Tick};
use std::fmt::Write;
use training::recording::Status;
use training::rules::RULES;
use training::text::{number, say};
use training::{Event, Finding};

/// The report of an attempt: one file of HTML that needs nothing else.
pub fn report(sheet: &Sheet) -> String {
    let mut page = head(sheet);
    cautions(&mut page);
    marks(&mut page, sheet);
    findings(&mut page, sheet);
    procedure(&mut page, sheet);
    section(&mut page, "report-chart");
    let flags: Vec<(usize, f64)> = in_order(sheet)
        .iter()
        .map(|(n, f)| (*n, f.tick.seconds()))
        .collect();
    page.push_str(&chart::timeline(sheet, &flags));
    acts(&mut page, sheet);
    how(&mut page, sheet);
    log(&mut page, sheet);
    remarks(&mut page);
    page.push_str("</main></body></html>\n");
    page
}

/// Text made safe for HTML.
fn safe(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '&' => String::from("&amp;"),
            '<' => String::from("&lt;"),
            '>' => String::from("&gt;"),
            '"' => String::from("&quot;"),
            '\'' => String::from("&#39;"),
            c => String::from(c),
        })
        .collect()
}

/// A text of the catalogue, made safe.
fn text(id: &str) -> String {
    safe(&say(id, &[]))
}

/// A moment in words.
fn time(tick: Tick) -> String {
    // Whole seconds, so that 59.97 s never reads "0 min 60 s".
    let seconds = tick.seconds().round() as u64;
    say(
        "report-time",
        &[("minutes", &(seconds / 60)), ("seconds", &(seconds % 60))],
    )
}

/// A number with as many decimals as it needs to be read.
fn figure(value: f64) -> String {
    let decimals = if value.fract() == 0.0 || value.abs() >= 100.0 {
        0
    } else {
        1
    };
    number(value, decimals)
}

fn section(page: &mut String, title: &str) {
    write!(page, "<h2>{}</h2>", text(title)).ok();
}

fn head(sheet: &Sheet) -> String {
    let t = THEME;
    let title = safe(&say("report-title", &[("level", &sheet.title)]));
    let lead = safe(&say(
        "report-lead",
        &[("level", &sheet.title), ("version", &sheet.version)],
    ));
    format!(
        "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>{title}</title><style>\
         body{{margin:0;background:{paper};color:{ink};font:{size}px/1.5 system-ui,sans-serif}}\
         header{{background:{harbour};color:{foam};padding:22px 40px}}header h1{{margin:0;font-size:26px}}\
         header p{{margin:6px 0 0;max-width:80ch}}\
         main{{max-width:1120px;margin:0 auto;padding:8px 40px 40px}}\
         h2{{font-size:19px;margin:30px 0 10px;border-bottom:2px solid {harbour};padding-bottom:3px}}\
         .caution{{border-left:6px solid {brick};background:{slate};padding:8px 16px;margin:20px 0}}\
         .caution ul{{margin:4px 0;padding-left:20px}}.caution h2{{border:0;margin:0;font-size:16px}}\
         .marks{{display:flex;gap:14px;flex-wrap:wrap;margin:0;padding:0}}\
         .mark{{flex:1 1 200px;border:1px solid {line};padding:10px 16px;background:{slate}}}\
         .mark dt{{color:{faint}}}.mark dd{{margin:0;font-size:30px;font-weight:600}}\
         .mark dd.words{{font-size:17px;line-height:45px}}\
         table{{border-collapse:collapse;width:100%}}th,td{{text-align:left;vertical-align:top;padding:7px 10px;border-bottom:1px solid {line}}}\
         th{{background:{slate};font-weight:600}}td.n,th.n{{text-align:right;white-space:nowrap}}\
         .critical{{color:{brick};font-weight:700}}.fine{{color:{faint};font-size:13px}}\
         svg{{width:100%;height:auto;font-family:inherit}}\
         .log td{{padding:2px 10px}}.box{{border:1px solid {line};height:110px;margin-top:10px}}\
         @media print{{header{{background:none;color:{ink};border-bottom:3px solid {ink};padding:8px 0}}main{{padding:0}}\
         body{{font-size:12px}}.fine{{font-size:10px}}td,th{{padding:4px 6px}}tr,.mark,.caution,svg{{break-inside:avoid}}h2{{break-after:avoid}}@page{{margin:15mm}}}}\
         </style></head><body><header><h1>{title}</h1><p>{lead}</p></header><main>",
        paper = t.paper,
        ink = t.ink,
        size = t.text_px,
        harbour = t.harbour,
        foam = t.foam,
        brick = t.brick,
        slate = t.slate,
        line = t.line,
        faint = t.faint_ink,
    )
}

fn cautions(page: &mut String) {
    write!(
        page,
        "<div class=\"caution\"><h2>{}</h2><ul><li>{}</li><li>{}</li><li>{}</li></ul></div>",
        text("report-cautions"),
        text("report-caution-aid"),
        text("report-caution-law"),
        text("report-caution-wound"),
    )
    .ok();
}

fn marks(page: &mut String, sheet: &Sheet) {
    section(page, "report-marks");
    page.push_str("<dl class=\"marks\">");
    let mark = &sheet.mark;
    for (id, value, missing) in [
        ("safety", mark.safety, "report-not_assessable"),
        ("coverage", mark.coverage, "report-not_part"),
        ("procedure", mark.procedure, "report-not_assessable"),
        ("economy", mark.economy, "report-not_assessable"),
    ] {
        let name = text(&format!("report-mark-{id}"));
        match value {
            Some(value) => write!(
                page,
                "<div class=\"mark\"><dt>{name}</dt><dd>{}</dd></div>",
                figure(value)
            ),
            None => write!(
                page,
                "<div class=\"mark\"><dt>{name}</dt><dd class=\"words\">{}</dd></div>",
                text(missing)
            ),
        }
        .ok();
    }
    page.push_str("</dl>");
    if mark.is_critical() {
        write!(
            page,
            "<p class=\"critical\">{}</p>",
            text("report-critical")
        )
        .ok();
    }
}

/// Findings with the gravest first, each with its number in that order.
fn in_order(sheet: &Sheet) -> Vec<(usize, &Finding)> {
    let mut findings: Vec<&Finding> = sheet.mark.findings.iter().collect();
    findings.sort_by_key(|f| (std::cmp::Reverse(f.severity), f.tick));
    (1..).zip(findings).collect()
}

fn findings(page: &mut String, sheet: &Sheet) {
    section(page, "report-findings");
    if sheet.mark.findings.is_empty() {
        write!(page, "<p>{}</p>", text("report-no_findings")).ok();
    } else {
        write!(
            page,
            "<table><thead><tr><th class=\"n\">{}</th><th>{}</th><th>{}</th><th>{}</th>\
             <th class=\"n\">{}</th><th class=\"n\">{}</th><th>{}</th></tr></thead><tbody>",
            text("report-column-number"),
            text("report-column-time"),
            text("report-column-severity"),
            text("report-column-what"),
            text("report-column-measured"),
            text("report-column-limit"),
            text("report-column-next"),
        )
        .ok();
        for (number, finding) in in_order(sheet) {
            row(page, number, finding);
        }
        page.push_str("</tbody></table>");
    }
    for rule in &sheet.mark.not_assessable {
        write!(
            page,
            "<p>{}: {}</p>",
            text(&format!("rules-{rule}-title")),
            text("report-not_assessable")
        )
        .ok();
    }
}

fn row(page: &mut String, number: usize, finding: &Finding) {
    let source = RULES
        .iter()
        .find(|r| r.id() == finding.rule)
        .map(|rule| {
            let honesty = say(&format!("report-honesty-{}", rule.honesty().id()), &[]);
            say(
                "report-source",
                &[("source", &rule.source()), ("honesty", &honesty)],
            )
        })
        .unwrap_or_default();
    let measured = |value: f64| {
        safe(&say(
            "report-value",
            &[("value", &figure(value)), ("unit", &finding.unit)],
        ))
    };
    let rule = &finding.rule;
    write!(
        page,
        "<tr id=\"finding-{number}\"><td class=\"n\">{number}</td><td>{}</td><td class=\"{severity}\">{}</td>\
         <td><b>{}</b><br>{}<div class=\"fine\">{}</div></td>\
         <td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td></tr>",
        safe(&time(finding.tick)),
        text(&format!("report-severity-{}", finding.severity.id())),
        text(&format!("rules-{rule}-title")),
        text(&format!("rules-{rule}-{}", finding.detail)),
        safe(&source),
        measured(finding.value),
        measured(finding.limit),
        text(&format!("rules-{rule}-coach")),
        severity = finding.severity.id(),
    )
    .ok();
}

fn procedure(page: &mut String, sheet: &Sheet) {
    section(page, "report-procedure");
    write!(
        page,
        "<table><thead><tr><th>{}</th><th class=\"n\">{}</th><th class=\"n\">{}</th><th class=\"n\">{}</th></tr></thead><tbody>",
        text("report-column-step"),
        text("report-column-measured"),
        text("report-column-share"),
        text("report-column-done"),
    )
    .ok();
    for line in &sheet.mark.criteria {
        write!(
            page,
            "<tr><td>{}</td><td class=\"n\">{} / {} {}</td><td class=\"n\">{} %</td><td class=\"n\">{} %</td></tr>",
            text(&format!("report-criterion-{}", line.kind)),
            figure(line.value),
            figure(line.wanted),
            safe(&line.unit),
            figure(line.weight),
            figure((100.0 * line.share).floor()),
        )
        .ok();
    }
    page.push_str("</tbody></table>");
}

fn acts(page: &mut String, sheet: &Sheet) {
    section(page, "report-acts");
    if sheet.acts.is_empty() {
        write!(page, "<p>{}</p>", text("report-acts-none")).ok();
    }
    for act in &sheet.acts {
        let called = time(act.called);
        let line = match act.opened {
            Some(opened) => say(
                "report-act-dump",
                &[
                    ("time", &called),
                    ("seconds", &number(opened.since(act.called), 2)),
                    ("limit", &number(sheet.dump_on_call_s, 1)),
                ],
            ),
            None => say("report-act-none", &[("time", &called)]),
        };
        write!(page, "<p>{}</p>", safe(&line)).ok();
    }
}

fn how(page: &mut String, sheet: &Sheet) {
    section(page, "report-how");
    let ended = say(&format!("report-ended-{}", sheet.mark.ended.id()), &[]);
    let status = match &sheet.status {
        Status::Sealed { signed: Some(by) } => {
            say("report-status-signed", &[("by", &by.to_string())])
        }
        Status::Sealed { signed: None } => say("report-status-sealed", &[]),
        _ => say("report-status-other", &[]),
    };
    for line in [
        say("report-who", &[("code", &sheet.trainee)]),
        say(
            "report-how-ended",
            &[
                ("time", &time(Tick::at(sheet.mark.duration_s))),
                ("ended", &ended),
            ],
        ),
        say(
            "report-how-mark",
            &[("ticks", &sheet.ticks), ("rules", &RULES.len())],
        ),
        say(
            "report-how-body",
            &[
                ("body", &sheet.body),
                ("release", &sheet.release),
                ("seed", &sheet.seed.to_string()),
            ],
        ),
        status,
    ] {
        write!(
            page,
            "<p style=\"overflow-wrap:anywhere;margin:4px 0\">{}</p>",
            safe(&line)
        )
        .ok();
    }
}

fn log(page: &mut String, sheet: &Sheet) {
    section(page, "report-log");
    page.push_str("<table class=\"log\"><tbody>");
    for (tick, event) in &sheet.log {
        write!(
            page,
            "<tr><td class=\"n\">{}</td><td>{}</td></tr>",
            safe(&time(*tick)),
            safe(&told(event))
        )
        .ok();
    }
    page.push_str("</tbody></table>");
}

/// An event in words.
fn told(event: &Event) -> String {
    let who = |seat: &Seat| say(&format!("report-who-{}", seat.id()), &[]);
    let task = |t: &crew::Task| say(&format!("report-task-{}", t.id()), &[]);
    match event {
        Event::Said { seat, call } => say(
            "report-log-said",
            &[
                ("who", &who(seat)),
                ("call", &say(&format!("calls-call-{}", call.id()), &[])),
            ],
        ),
        Event::Moved { seat, control, .. } => say(
            "report-log-moved",
            &[
                ("who", &who(seat)),
                (
                    "control",
                    &say(&format!("calls-control-{}", control.id()), &[]),
                ),
            ],
        ),
        Event::Cranked => say("report-log-cranked", &[]),
        Event::EngineRan => say("report-log-engine_ran", &[]),
        Event::EngineStood => say("report-log-engine_stood", &[]),
        Event::Began { seat, task: t } => say(
            "report-log-began",
            &[("who", &who(seat)), ("task", &task(t))],
        ),
        Event::Finished { seat, task: t } => say(
            "report-log-finished",
            &[("who", &who(seat)), ("task", &task(t))],
        ),
        Event::BrokeOff { seat, task: t } => say(
            "report-log-broke_off",
            &[("who", &who(seat)), ("task", &task(t))],
        ),
        Event::ReliefLifted => say("report-log-relief", &[]),
        Event::Stepped { seat } => say("report-log-stepped", &[("who", &who(seat))]),
        Event::Slipped { seat } => say("report-log-slipped", &[("who", &who(seat))]),
        Event::Fell { seat } => say("report-log-fell", &[("who", &who(seat))]),
        Event::Refused { seat, why } => say(
            "report-log-refused",
            &[
                ("who", &who(seat)),
                ("why", &say(&format!("report-refusal-{}", why.id()), &[])),
            ],
        ),
        Event::Bookmark => say("report-log-bookmark", &[]),
        Event::HandedBack => say("report-log-handed_back", &[]),
    }
}

fn remarks(page: &mut String) {
    section(page, "report-remarks");
    write!(
        page,
        "<div class=\"box\"></div><p class=\"fine\">{}</p>",
        text("report-signature")
    )
    .ok();
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_from_data_cannot_become_markup() {
        assert_eq!(
            safe("<b title=\"x\">&'"),
            "&lt;b title=&quot;x&quot;&gt;&amp;&#39;"
        );
    }

    #[test]
    fn a_time_just_before_a_minute_does_not_read_as_sixty_seconds() {
        let shown: Vec<char> = time(Tick::at(59.97))
            .chars()
            .filter(char::is_ascii_digit)
            .collect();
        assert_eq!(shown, ['1', '0']);
    }
}
