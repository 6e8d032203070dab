//! What an instructor who has one minute needs: what happened, what to talk
//! about, what went well, how quick the hand was, and where to begin again.

use super::section;
use crate::clock::moment;
use crate::glance::{self, RUN_UP_S};
use crate::html::{escape, text};
use crate::sheet::Sheet;
use crate::words;
use std::fmt::Write;
use training::criteria::CriterionResult;
use training::text::{number, say};

/// The card. It says nothing that does not stand further down with its proof.
pub(super) fn minute(page: &mut String, sheet: &Sheet) {
    page.push_str("<section class=\"minute\">");
    section(page, "report-minute");
    page.push_str("<dl>");
    line(page, "report-minute-happened", &glance::happened(sheet));
    let troubles = words::troubles(sheet);
    if !troubles.is_empty() {
        line(page, "report-troubles", &troubles.join(" "));
    }
    let first = glance::first_cause(&sheet.mark.findings);
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
    if let Some(best) = glance::best(criteria) {
        line(page, "report-minute-well", &earned(best));
    }
    if let Some(worst) = glance::worst(criteria) {
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

fn earned(line: &CriterionResult) -> String {
    say(
        "report-minute-earned",
        &[
            ("step", &words::criterion(&line.kind)),
            ("seen", &words::seen(line)),
        ],
    )
}

/// The slowest act, in words.
fn slowest(sheet: &Sheet) -> Option<String> {
    let cue = glance::slowest(sheet)?.cue;
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
    use crate::glance::first_cause;
    use crate::sample;
    use training::Severity;

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
