//! `mark`: makes the mark of a recording, from nothing but the recording.

use super::attempts::{must_be_sealed, open, told};
use super::faults::Refusal;
use super::{Verdict, measure, show};
use clap::ArgMatches;
use std::path::PathBuf;
use training::text::say;

/// The command.
pub fn mark(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let path = m
        .get_one::<PathBuf>("recording")
        .cloned()
        .unwrap_or_default();
    let opened = open(&path)?;
    must_be_sealed(&opened)?;
    let mark = yard::attempt::mark(&opened.level, &opened.recording)
        .ok_or_else(|| Refusal::new(say("cli-no_end", &[])))?;
    let status = told(&opened.recording.status());
    if m.get_flag("json") {
        let mut value = show::mark_json(&mark, opened.recording.header().seed);
        value["recording"] = path.display().to_string().into();
        let report = path.with_extension("html");
        value["report"] = report
            .is_file()
            .then(|| report.display().to_string())
            .into();
        // As the envelope has it: the pace at which the attempt was played.
        value["stats"]["real_time_factor"] = opened
            .recording
            .closed()
            .map(|c| measure::round(c.least_real_time_factor, 1))
            .into();
        value["status"] = opened.recording.status().id().into();
        value["body_hash"] = opened.recording.body_hash().map(|h| h.to_string()).into();
        show::data(&value);
    } else {
        show::mark(&mark);
        show::line("");
        show::line(&status);
        show::line(&say("cli-caution", &[]));
    }
    Ok(if mark.findings.is_empty() {
        Verdict::Fine
    } else {
        Verdict::Findings
    })
}
