//! `report`: writes the report of a recording.

use super::attempts::{must_be_sealed, open};
use super::faults::Refusal;
use super::{Verdict, show};
use clap::ArgMatches;
use records::Sheet;
use std::path::{Path, PathBuf};
use training::text::say;

/// The command.
pub fn report(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let recording = m
        .get_one::<PathBuf>("recording")
        .cloned()
        .unwrap_or_default();
    let out = m.get_one::<PathBuf>("out").cloned().unwrap_or_default();
    write(&recording, &out)?;
    show::line(&say(
        "cli-run-report",
        &[("path", &out.display().to_string())],
    ));
    Ok(Verdict::Fine)
}

/// Writes the report of a recording into a file, whole or not at all.
pub fn write(recording: &Path, out: &Path) -> Result<(), Refusal> {
    let opened = open(recording)?;
    must_be_sealed(&opened)?;
    let mark = yard::attempt::mark(&opened.level, &opened.recording)
        .ok_or_else(|| Refusal::new(say("cli-no_end", &[])))?;
    let sheet = Sheet::of(&opened.recording, &opened.level, &mark);
    records::keep(&sheet, out).map_err(|e| Refusal::not_written(out, &e))
}
