//! What of an attempt is told first, by the page and by whoever else shows it.

use crate::clock::{self, minutes};
use crate::sheet::{Sheet, State, Stop};
use crew::Call;
use std::cmp::Reverse;
use training::criteria::CriterionResult;
use training::text::say;
use training::{Event, Finding, Severity};

/// Seconds before a finding from which it is worth playing again (a choice of
/// this project).
pub const RUN_UP_S: f64 = 20.0;

/// What happened, in one sentence.
pub fn happened(sheet: &Sheet) -> String {
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
pub fn first_cause(findings: &[Finding]) -> Option<(usize, &Finding)> {
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

/// The line that was earned in full and weighs most.
pub fn best(criteria: &[CriterionResult]) -> Option<&CriterionResult> {
    most(criteria, |c| if c.share >= 1.0 { c.weight } else { 0.0 })
}

/// The line that cost most.
pub fn worst(criteria: &[CriterionResult]) -> Option<&CriterionResult> {
    most(criteria, |c| c.weight * (1.0 - c.share))
}

/// That nobody gave the trainee cause to stop; when the trainee called for it, with water to stop, is
/// told with it.
pub fn no_cue(sheet: &Sheet) -> String {
    let fed = |at_s: f64| {
        let mut spans = sheet.spans.iter().filter(|s| s.state == State::LineFed);
        spans.any(|s| (s.from_s..=s.until_s).contains(&at_s))
    };
    let own = sheet.moments.iter().filter(|moment| match moment.event {
        Event::Said { seat, call } => {
            seat == sheet.post
                && matches!(call, Call::Dump | Call::AllStop)
                && fed(moment.tick.seconds())
        }
        _ => false,
    });
    let times: Vec<String> = own.map(|m| clock::moment(m.tick.seconds())).collect();
    if times.is_empty() {
        say("report-acts-none", &[])
    } else {
        say("report-acts-own", &[("times", &times.join(", "))])
    }
}

/// The slowest act, one that never came before all others.
pub fn slowest(sheet: &Sheet) -> Option<&Stop> {
    let late = |s: &Stop| s.cue.acted_s.unwrap_or(f64::INFINITY) / s.cue.allowed_s;
    let stops = sheet.stops.iter();
    stops.max_by(|a, b| late(a).total_cmp(&late(b)))
}

/// The findings, the gravest first, each with its number by its place in time.
pub fn gravest_first(findings: &[Finding]) -> Vec<(usize, &Finding)> {
    let mut found: Vec<(usize, &Finding)> = (1..).zip(findings).collect();
    found.sort_by_key(|(number, f)| (Reverse(f.severity), *number));
    found
}
