//! What the marks rest on: acts, limits, the recording, and all that happened.

use super::{facts, section, table};
use crate::clock::{minutes, moment};
use crate::glance;
use crate::html::{escape, text};
use crate::sheet::{Moment, Sheet, Stop};
use crate::words;
use crew::{Control, Handling, Seat};
use std::fmt::Write;
use training::Event;
use training::text::{number, say};

/// How long it took from each cause to stop to the act, at the trainee's post.
pub(super) fn stops(page: &mut String, sheet: &Sheet) {
    section(page, "report-acts");
    let at_lance = sheet.post == Seat::LANCE;
    if sheet.stops.is_empty() {
        write!(page, "<p>{}</p>", escape(&glance::no_cue(sheet))).ok();
        return;
    }
    let (about, acted) = if at_lance {
        ("report-acts-lance", "report-column-released")
    } else {
        ("report-acts-pump", "report-column-acted")
    };
    let mut columns = vec![
        ("report-column-cause", false),
        ("report-column-time", true),
        (acted, true),
        ("report-column-allowed", true),
        ("report-column-in_time", false),
    ];
    if !at_lance {
        columns.push(("report-column-open", true));
    }
    table(page, "short", about, &columns);
    page.push_str("<tbody>");
    for Stop { cue, open_s } in &sheet.stops {
        let cause = words::cause(cue.cause);
        let in_time = if cue.is_met() {
            "report-in_time"
        } else {
            "report-too_late"
        };
        write!(
            page,
            "<tr><th scope=\"row\">{}</th><td class=\"n\">{}</td><td class=\"n\">{}</td>\
             <td class=\"n\">{} s</td><td>{}</td>",
            escape(&cause),
            moment(cue.tick.seconds()),
            taken(cue.acted_s),
            number(cue.allowed_s, 2),
            text(in_time, &[]),
        )
        .ok();
        if !at_lance {
            write!(page, "<td class=\"n\">{}</td>", taken(*open_s)).ok();
        }
        page.push_str("</tr>");
    }
    page.push_str("</tbody></table>");
}

/// Seconds, or that it never was.
fn taken(seconds: Option<f64>) -> String {
    seconds.map_or_else(
        || text("report-never", &[]),
        |s| format!("{} s", number(s, 2)),
    )
}

/// What was done with the tool, the nozzles, the equipment and the barrier.
pub(super) fn handling(page: &mut String, sheet: &Sheet) {
    let handled = |moment: &&Moment| match moment.event {
        Event::LaidDown { .. }
        | Event::Dropped { .. }
        | Event::TookUp { .. }
        | Event::Chose { .. }
        | Event::Wore { .. }
        | Event::Finished { .. } => true,
        Event::Moved { control, .. } => {
            control == Control::Barrier || Control::RESTRAINTS.contains(&control)
        }
        _ => false,
    };
    let moments: Vec<&Moment> = sheet.moments.iter().filter(handled).collect();
    if !moments.is_empty() {
        section(page, "report-handling");
        lines(page, &moments);
    }
}

/// How the mark was made, and how anybody makes it again.
pub(super) fn how(page: &mut String, sheet: &Sheet) {
    section(page, "report-how");
    let ended = say(&format!("report-ended-{}", sheet.mark.ended.id()), &[]);
    let took = minutes(sheet.until_s);
    let mut lines = vec![
        say("report-how-mark", &[("rules", &sheet.book.len())]),
        say("report-how-ended", &[("time", &took), ("ended", &ended)]),
    ];
    if let Some(other) = &sheet.restarted {
        lines.push(say(
            "report-how-restarted",
            &[("time", &moment(other.at_s)), ("body", &other.body_hash)],
        ));
    }
    for line in lines {
        write!(page, "<p>{}</p>", escape(&line)).ok();
    }
    let mut known = vec![("report-fact-release", sheet.release.clone())];
    if let Some(pace) = &sheet.pace {
        known.push(("report-fact-wall", format!("{} s", number(pace.wall_s, 0))));
        known.push(("report-fact-pace", number(pace.least_real_time_factor, 2)));
        if let Some((count, p99_ms)) = pace.frames {
            known.push((
                "report-fact-frames",
                say(
                    "report-frames",
                    &[("count", &count), ("p99", &number(p99_ms, 1))],
                ),
            ));
        }
    }
    facts(page, &known);
    match &sheet.body_hash {
        Some(body) => write!(
            page,
            "<p>{} <code>{}</code></p>",
            text("report-body", &[]),
            escape(body)
        ),
        None => write!(page, "<p>{}</p>", text("report-body-none", &[])),
    }
    .ok();
    write!(
        page,
        "<p>{}</p><pre><code>jetyard mark RECORDING\njetyard replay RECORDING\njetyard report RECORDING --out FILE</code></pre>",
        text("report-how-again", &[])
    )
    .ok();
    table(
        page,
        "sources",
        "report-book-about",
        &[
            ("report-column-rule", false),
            ("report-column-version", true),
            ("report-column-severity", false),
            ("report-column-source", false),
            ("report-column-honesty", false),
        ],
    );
    page.push_str("<tbody>");
    for rule in &sheet.book {
        write!(
            page,
            "<tr><th scope=\"row\">{}</th><td class=\"n\">{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
            escape(&words::rule_title(&rule.id)),
            rule.version,
            text(&format!("report-severity-{}", rule.severity.id()), &[]),
            escape(&rule.source),
            text(&format!("report-honesty-{}", rule.honesty.id()), &[]),
        )
        .ok();
    }
    page.push_str("</tbody></table>");
}

/// The limits that the mark was made with.
pub(super) fn limits(page: &mut String, sheet: &Sheet) {
    section(page, "report-limits");
    write!(
        page,
        "<p>{}</p>",
        text("report-limits-region", &[("region", &sheet.level.region)])
    )
    .ok();
    table(
        page,
        "sources",
        "report-limits-about",
        &[
            ("report-column-limit", false),
            ("report-column-value", true),
            ("report-column-source", false),
            ("report-column-honesty", false),
        ],
    );
    page.push_str("<tbody>");
    for limit in &sheet.limits {
        let value = format!(
            "{} {}",
            words::short(limit.value, 2),
            words::limit_unit(&limit.id, limit.value)
        );
        write!(
            page,
            "<tr><th scope=\"row\">{}</th><td class=\"n\">{}</td><td>{}</td><td>{}</td></tr>",
            escape(&words::limit(&limit.id)),
            escape(&value),
            escape(&limit.source),
            text(&format!("report-honesty-{}", limit.honesty.id()), &[]),
        )
        .ok();
    }
    page.push_str("</tbody></table>");
}

/// All that was said and done.
pub(super) fn log(page: &mut String, sheet: &Sheet) {
    section(page, "report-log");
    lines(page, &without_twisting_on(&sheet.moments));
}

/// What happened, line by line.
fn lines(page: &mut String, moments: &[&Moment]) {
    page.push_str("<ul class=\"log\">");
    for happened in moments {
        write!(
            page,
            "<li><time>{}</time><span>{}</span></li>",
            moment(happened.tick.seconds()),
            escape(&words::event(&happened.event)),
        )
        .ok();
    }
    page.push_str("</ul>");
}

/// A knob that is turned gives an event for each of its detents. One line is
/// enough for as long as the hand goes on.
const TWISTING_ON_S: f64 = 3.0;

fn without_twisting_on(moments: &[Moment]) -> Vec<&Moment> {
    let twists = |moment: &Moment| match moment.event {
        Event::Moved { seat, control, .. }
            if matches!(control.handling(), Handling::Twist { .. }) =>
        {
            Some((seat, control))
        }
        _ => None,
    };
    let mut last: [Option<&Moment>; Control::ALL.len()] = [None; Control::ALL.len()];
    let mut kept = Vec::new();
    for moment in moments {
        let goes_on = twists(moment).is_some_and(|(_, control)| {
            let before = last[control as usize].replace(moment);
            before.is_some_and(|b| {
                twists(b) == twists(moment) && moment.tick.since(b.tick) < TWISTING_ON_S
            })
        });
        if !goes_on {
            kept.push(moment);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crew::Tick;

    #[test]
    fn a_knob_turned_in_one_go_is_one_line_and_turned_again_is_another() {
        let turn = |seconds: f64, to| Moment {
            tick: Tick::at(seconds),
            event: Event::Moved {
                seat: Seat::PUMP,
                control: Control::Regulator,
                to,
            },
        };
        let dump = Moment {
            tick: Tick::at(1.5),
            event: Event::Moved {
                seat: Seat::PUMP,
                control: Control::Dump,
                to: 1,
            },
        };
        let moments = [turn(0.0, 1), turn(1.0, 2), dump, turn(2.0, 3), turn(9.0, 4)];
        let kept: Vec<f64> = without_twisting_on(&moments)
            .iter()
            .map(|m| m.tick.seconds())
            .collect();
        assert_eq!(kept, [0.0, 1.5, 9.0]);
    }
}
