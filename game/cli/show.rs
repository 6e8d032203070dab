//! How a mark is printed.

use super::measure::round;
use serde_json::{Value, json};
use std::io::Write;
use training::Finding;
use training::mark::Mark;
use training::text::{number, say};

/// Prints a line; a reader that has gone away is nobody's fault.
pub fn line(text: &str) {
    writeln!(std::io::stdout(), "{text}").ok();
}

/// Prints a problem.
pub fn problem(text: &str) {
    writeln!(std::io::stderr(), "{text}").ok();
}

/// Prints data.
pub fn data(value: &Value) {
    line(&format!("{value:#}"));
}

/// A mark as data.
pub fn mark_json(mark: &Mark, seed: u64) -> Value {
    json!({
        "level": mark.level,
        "seed": seed,
        "safety": mark.safety,
        "coverage": mark.coverage,
        "procedure": mark.procedure,
        "economy": mark.economy,
        "critical": mark.is_critical(),
        "findings": mark.findings.iter().map(finding_json).collect::<Vec<_>>(),
        "criteria": mark.criteria.iter().map(|c| json!({
            "id": c.id,
            "kind": c.kind,
            "weight": c.weight,
            "share": round(c.share, 4),
            "value": round(c.value, 3),
            "wanted": c.wanted,
            "unit": c.unit,
            "late_s": c.late_s,
        })).collect::<Vec<_>>(),
        "not_assessable": mark.not_assessable,
        "ended": mark.ended.id(),
        "duration_s": round(mark.duration_s, 3),
    })
}

fn finding_json(finding: &Finding) -> Value {
    json!({
        "rule": finding.rule,
        "detail": finding.detail,
        "time_s": round(finding.tick.seconds(), 3),
        "value": round(finding.value, 3),
        "limit": round(finding.limit, 3),
        "unit": finding.unit,
        "severity": finding.severity.id(),
    })
}

/// Prints a mark in words.
pub fn mark(mark: &Mark) {
    line("");
    line(&say("cli-mark-heading", &[("level", &mark.level)]));
    for (part, value) in [
        ("safety", mark.safety),
        ("coverage", mark.coverage),
        ("procedure", mark.procedure),
        ("economy", mark.economy),
    ] {
        let value = match (part, value) {
            (_, Some(value)) => number(value, 1),
            ("coverage", None) => say("cli-mark-not_part", &[]),
            (_, None) => say("cli-mark-not_assessable", &[]),
        };
        let name = say(&format!("cli-mark-{part}"), &[]);
        line(&format!("  {name:<12} {value}"));
    }
    for criterion in &mark.criteria {
        let name = say(&format!("report-criterion-{}", criterion.kind), &[]);
        line(&say(
            "cli-mark-criterion",
            &[("name", &name), ("seen", &records::seen(criterion))],
        ));
    }
    if mark.findings.is_empty() {
        line(&say("cli-mark-no_findings", &[]));
    } else {
        line(&say(
            "cli-mark-findings",
            &[("count", &mark.findings.len())],
        ));
    }
    let mut findings: Vec<&Finding> = mark.findings.iter().collect();
    findings.sort_by_key(|f| (std::cmp::Reverse(f.severity), f.tick));
    for finding in findings {
        line(&format!("  {}", found(finding)));
    }
    for rule in &mark.not_assessable {
        let title = say(&format!("rules-{rule}-title"), &[]);
        line(&say("cli-mark-rule_not_assessable", &[("rule", &title)]));
    }
}

/// A finding in a line.
pub fn found(finding: &Finding) -> String {
    let severity = say(&format!("cli-severity-{}", finding.severity.id()), &[]);
    let (value, limit) = records::measured(finding.value, finding.limit, &finding.unit);
    say(
        "cli-mark-finding",
        &[
            ("time", &number(finding.tick.seconds(), 1)),
            ("severity", &severity),
            ("rule", &say(&format!("rules-{}-title", finding.rule), &[])),
            (
                "detail",
                &say(&format!("rules-{}-{}", finding.rule, finding.detail), &[]),
            ),
            ("value", &value),
            ("limit", &limit),
        ],
    )
}
