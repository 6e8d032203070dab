//! What was found, and what the procedure's mark is made of.

use super::{section, table};
use crate::clock::moment;
use crate::glance::gravest_first;
use crate::html::{escape, text};
use crate::sheet::Sheet;
use crate::words;
use std::fmt::Write;
use training::text::say;
use training::{Finding, Severity};

/// The findings: the critical ones first, then the others.
pub(super) fn findings(page: &mut String, sheet: &Sheet) {
    section(page, "report-findings");
    let found = gravest_first(&sheet.mark.findings);
    if found.is_empty() {
        let id = if sheet.mark.not_assessable.is_empty() {
            "report-no_findings"
        } else {
            "report-no_findings_in_part"
        };
        write!(page, "<p>{}</p>", text(id, &[])).ok();
    } else {
        let critical = |f: &&(usize, &Finding)| f.1.severity == Severity::Critical;
        let count = found.iter().filter(critical).count();
        let (first, rest) = found.split_at(count);
        group(page, sheet, "report-findings-critical", first);
        group(page, sheet, "report-findings-other", rest);
    }
    if !sheet.mark.not_assessable.is_empty() {
        write!(
            page,
            "<p>{}</p><ul>",
            text("report-rules_not_assessable", &[])
        )
        .ok();
        for rule in &sheet.mark.not_assessable {
            write!(page, "<li>{}</li>", escape(&words::rule_title(rule))).ok();
        }
        page.push_str("</ul>");
    }
}

fn group(page: &mut String, sheet: &Sheet, caption: &str, found: &[(usize, &Finding)]) {
    if found.is_empty() {
        return;
    }
    table(
        page,
        "found",
        caption,
        &[
            ("report-column-number", true),
            ("report-column-time", true),
            ("report-column-severity", false),
            ("report-column-what", false),
            ("report-column-measured", true),
            ("report-column-limit", true),
            ("report-column-cost", true),
        ],
    );
    for (number, finding) in found {
        one(page, sheet, *number, finding);
    }
    page.push_str("</table>");
}

/// One finding: what it is in a row, what to do and where the rule comes from
/// below it.
fn one(page: &mut String, sheet: &Sheet, number: usize, finding: &Finding) {
    let severity = finding.severity.id();
    let mut deductions = sheet.mark.deductions.iter();
    let deduction = deductions.find(|d| d.finding + 1 == number);
    let (value, limit) = words::measured(finding.value, finding.limit, &finding.unit);
    write!(
        page,
        "<tbody class=\"one\" id=\"finding-{number}\"><tr><td class=\"n\">{number}</td>\
         <td class=\"n\">{}</td><td><span class=\"weight {severity}\">{}</span></td>\
         <td><b>{}</b>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td>\
         <td class=\"n\">{}</td></tr>",
        moment(finding.tick.seconds()),
        text(&format!("report-severity-{severity}"), &[]),
        escape(&words::rule_title(&finding.rule)),
        escape(&words::detail(finding)),
        escape(&value),
        escape(&limit),
        escape(&words::cost(finding, deduction)),
    )
    .ok();
    page.push_str("<tr class=\"more\"><td colspan=\"3\"></td><td colspan=\"4\">");
    if let Some(mended) = finding.mended {
        let over = text("report-mended", &[("time", &moment(mended.seconds()))]);
        let half = if deduction.is_some_and(|d| d.halved) {
            text("report-cost-halved", &[])
        } else {
            String::new()
        };
        write!(page, "<p>{over} {half}</p>").ok();
    }
    let coach = words::rule_coach(&finding.rule);
    if !coach.is_empty() {
        write!(
            page,
            "<p>{}</p>",
            text("report-coach", &[("words", &coach)])
        )
        .ok();
    }
    if let Some(rule) = sheet.book.iter().find(|line| line.id == finding.rule) {
        let honesty = say(&format!("report-honesty-{}", rule.honesty.id()), &[]);
        let source = text(
            "report-source",
            &[("source", &rule.source), ("honesty", &honesty)],
        );
        write!(page, "<p class=\"fine\">{source}</p>").ok();
    }
    page.push_str("</td></tr></tbody>");
}

/// The lines of the procedure's mark, and what was used up.
pub(super) fn procedure(page: &mut String, sheet: &Sheet) {
    page.push_str("<section class=\"whole\">");
    section(page, "report-procedure");
    if !sheet.level.objectives.is_empty() {
        write!(
            page,
            "<p class=\"fine\">{}</p><ul class=\"fine teaches\">",
            text("report-objectives", &[])
        )
        .ok();
        for objective in &sheet.level.objectives {
            write!(page, "<li>{}</li>", escape(objective)).ok();
        }
        page.push_str("</ul>");
    }
    if sheet.mark.procedure.is_none() {
        write!(
            page,
            "<p>{}</p>",
            text("report-procedure-not_assessable", &[])
        )
        .ok();
    }
    table(
        page,
        "",
        "report-procedure-about",
        &[
            ("report-column-step", false),
            ("report-column-asked", false),
            ("report-column-share", true),
            ("report-column-earned", true),
        ],
    );
    page.push_str("<tbody>");
    for line in &sheet.mark.criteria {
        write!(
            page,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>",
            escape(&words::criterion(&line.kind)),
            escape(&words::seen(line)),
            words::short(line.weight, 1),
            words::earned(line),
        )
        .ok();
    }
    page.push_str("</tbody></table>");
    for used in &sheet.uses {
        let supply = say(&format!("report-use-{}", used.supply.id()), &[]);
        let needed = words::short(used.needed_l, 1);
        let line = match used.used_l {
            Some(used_l) => text(
                "report-use",
                &[
                    ("supply", &supply),
                    ("used", &words::short(used_l, 1)),
                    ("needed", &needed),
                ],
            ),
            None => text(
                "report-use-unknown",
                &[("supply", &supply), ("needed", &needed)],
            ),
        };
        write!(page, "<p class=\"fine\">{line}</p>").ok();
    }
    for line in [water(sheet), noise(sheet)].into_iter().flatten() {
        write!(page, "<p class=\"fine\">{line}</p>").ok();
    }
    page.push_str("</section>");
}

/// Where the water went.
fn water(sheet: &Sheet) -> Option<String> {
    let water = sheet.water?;
    let litres = |l: f64| words::short(l, 1);
    Some(text(
        "report-water",
        &[
            ("drawn", &litres(water.drawn_l)),
            ("work", &litres(water.run_off_l)),
            ("unit", &litres(water.at_unit_l)),
            ("back", &litres(water.returned_l)),
        ],
    ))
}

/// What the trainee had of a day's noise.
fn noise(sheet: &Sheet) -> Option<String> {
    let dose = words::short(sheet.noise_dose_pct?, 2);
    Some(text("report-noise", &[("dose", &dose)]))
}
