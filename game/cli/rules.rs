//! `rules`: lists the rule book.

use super::faults::Refusal;
use super::{Verdict, show};
use clap::ArgMatches;
use serde_json::{Value, json};
use training::rules::RULES;
use training::text::say;

/// The command.
pub fn rules(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let title = |id: &str| say(&format!("rules-{id}-title"), &[]);
    if m.get_flag("json") {
        let rules: Vec<Value> = RULES
            .iter()
            .map(|rule| {
                json!({
                    "id": rule.id(),
                    "title": title(rule.id()),
                    "version": rule.version(),
                    "severity": rule.severity().id(),
                    "source": rule.source(),
                    "honesty": rule.honesty().id(),
                    "channels": rule.channels().iter().map(|c| c.id()).collect::<Vec<_>>(),
                })
            })
            .collect();
        show::data(&Value::Array(rules));
        return Ok(Verdict::Fine);
    }
    for rule in RULES {
        show::line(&title(rule.id()));
        show::line(&say(
            "cli-rules-line",
            &[
                ("id", &rule.id()),
                (
                    "severity",
                    &say(&format!("cli-severity-{}", rule.severity().id()), &[]),
                ),
                (
                    "honesty",
                    &say(&format!("report-honesty-{}", rule.honesty().id()), &[]),
                ),
            ],
        ));
        show::line(&format!("    {}", rule.source()));
    }
    Ok(Verdict::Fine)
}
