//! What an instructor who has one minute needs: what happened, what to talk
//! about, what went well, how quick the hand was, and where to begin again.

use super::section;
use crate::clock::{minutes, moment};
use crate::html::{escape, text};
use crate::sheet::Sheet;
use crate::words;
use std::cmp::Reverse;
use std::fmt::Write;
use training::criteria::CriterionResult;
use training::text::{number, say};
use training::{Finding, Severity};

/// Seconds before a finding from which it is worth playing again (a choice of
/// this project).
const RUN_UP_S: f64 = 20.0;

/// The card. It says nothing that does not stand further down with its proof.
pub(super) fn minute(page: &mut String, sheet: &Sheet) {
    page.push_str("<section class=\"minute\">");
    section(page, "report-minute");
    page.push_str("<dl>");
    line(page, "report-minute-happened", &happened(sheet));
    let first = first_cause(&sheet.mark.findings);
    if let Some((number, finding)) = first {
        let about = say(
            "report-minute-finding",
            &[
                ("time", &moment(finding.tick.seconds())),
                ("number", &number),
                ("rule", &words::rule_title(&finding.rule)),
                ("detail", &words::detail(finding)),
            ],
        );
        let coach = words::rule_coach(&finding.rule);
        line(page, "report-minute-talk", &format!("{about} {coach}"));
    }
    let criteria = &sheet.mark.criteria;
    if let Some(best) = most(criteria, |c| if c.share >= 1.0 { c.weight } else { 0.0 }) {
        line(page, "report-minute-well", &earned(best));
    }
    if let Some(worst) = most(criteria, |c| c.weight * (1.0 - c.share)) {
        line(page, "report-minute-missing", &earned(worst));
    }
    if let Some(act) = slowest(sheet) {
        line(page, "report-minute-act", &act);
    }
    if let Some((_, finding)) = first {
        let from_s = (finding.tick.seconds() - RUN_UP_S).max(0.0);
        write!(
            page,
            "<div><dt>{}</dt><dd><code>jetyard run {} --from RECORDING --at {}</code></dd></div>",
            text("report-minute-again", &[]),
            escape(&sheet.level.id),
            number(from_s, 0),
        )
        .ok();
    }
    page.push_str("</dl></section>");
}

fn line(page: &mut String, id: &str, said: &str) {
    write!(
        page,
        "<div><dt>{}</dt><dd>{}</dd></div>",
        text(id, &[]),
        escape(said.trim_end())
    )
    .ok();
}

fn happened(sheet: &Sheet) -> String {
    let count = |severity| {
        let found = sheet.mark.findings.iter();
        found.filter(|f| f.severity == severity).count()
    };
    say(
        "report-minute-sum",
        &[
            ("time", &minutes(sheet.until_s)),
            (
                "ended",
                &say(&format!("report-ended-{}", sheet.mark.ended.id()), &[]),
            ),
            ("critical", &count(Severity::Critical)),
            ("major", &count(Severity::Major)),
            ("minor", &count(Severity::Minor)),
        ],
    )
}

/// The earliest of the gravest findings, with its number.
fn first_cause(findings: &[Finding]) -> Option<(usize, &Finding)> {
    (1..)
        .zip(findings)
        .min_by_key(|(number, f)| (Reverse(f.severity), *number))
}

/// The first line with the most of something, where there is any of it.
fn most(
    criteria: &[CriterionResult],
    of: impl Fn(&CriterionResult) -> f64,
) -> Option<&CriterionResult> {
    let mut best: Option<&CriterionResult> = None;
    for line in criteria {
        if of(line) > best.map_or(1e-9, &of) {
            best = Some(line);
        }
    }
    best
}

fn earned(line: &CriterionResult) -> String {
    say(
        "report-minute-earned",
        &[
            ("step", &words::criterion(&line.kind)),
            ("seen", &words::seen(line)),
        ],
    )
}

/// The slowest act, one that never came before all others.
fn slowest(sheet: &Sheet) -> Option<String> {
    let late = |s: &crate::Stop| s.cue.acted_s.unwrap_or(f64::INFINITY) / s.cue.allowed_s;
    let stops = sheet.stops.iter();
    let cue = stops.max_by(|a, b| late(a).total_cmp(&late(b)))?.cue;
    let taken = cue.acted_s.map_or_else(
        || say("report-never", &[]),
        |s| format!("{} s", number(s, 2)),
    );
    let allowed = format!("{} s", words::short(cue.allowed_s, 2));
    Some(say(
        "report-minute-slowest",
        &[
            ("time", &moment(cue.tick.seconds())),
            ("cause", &words::cause(cue.cause)),
            ("taken", &taken),
            ("allowed", &allowed),
        ],
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn card(sheet: &Sheet) -> String {
        let mut page = String::new();
        minute(&mut page, sheet);
        page
    }

    #[test]
    fn the_first_cause_is_the_earliest_of_the_gravest() {
        let mut findings = sample::sheet().mark.findings;
        findings.truncate(3);
        for (finding, severity) in
            findings
                .iter_mut()
                .zip([Severity::Major, Severity::Critical, Severity::Critical])
        {
            finding.severity = severity;
        }
        assert_eq!(first_cause(&findings).map(|(number, _)| number), Some(2));
        findings[1].severity = Severity::Minor;
        assert_eq!(first_cause(&findings).map(|(number, _)| number), Some(3));
        assert_eq!(first_cause(&[]), None);
    }

    #[test]
    fn an_act_that_never_came_is_the_slowest() {
        let mut sheet = sample::sheet();
        let never = say("report-never", &[]);
        let told = slowest(&sheet).expect("two causes");
        assert!(told.contains(&never), "{told}");
        sheet.stops.retain(|s| s.cue.acted_s.is_some());
        let told = slowest(&sheet).expect("one cause");
        assert!(told.contains("1.32 s") && !told.contains(&never), "{told}");
    }

    #[test]
    fn with_nothing_found_there_is_nothing_to_play_again() {
        let mut sheet = sample::sheet();
        assert!(card(&sheet).contains("jetyard run"));
        sheet.mark.findings.clear();
        assert!(!card(&sheet).contains("jetyard run"));
    }

    #[test]
    fn what_was_done_in_full_is_praised_and_what_cost_most_is_named() {
        let sheet = sample::sheet();
        let page = card(&sheet);
        let line = |kind: &str| {
            let found = sheet.mark.criteria.iter().find(|c| c.kind == kind);
            escape(&earned(found.expect("a criterion")))
        };
        assert!(page.contains(&line("bore_gauged")));
        assert!(page.contains(&line("left_safe")));
        assert!(!page.contains(&line("flushed")));
    }
}
