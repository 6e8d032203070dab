//! Recordings as the commands open and keep them.

use super::faults::Refusal;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};
use training::Level;
use training::load::Bundle;
use training::recording::{Recording, Status};
use training::text::{number, say};

/// A recording, and the level that it brought along.
pub struct Opened {
    /// The recording.
    pub recording: Recording,
    /// The level, made from the files inside the recording: no folder of
    /// levels is needed.
    pub level: Level,
}

/// Opens a recording, sealed or not.
pub fn open(path: &Path) -> Result<Opened, Refusal> {
    let recording = Recording::load(path)?;
    let level = Bundle::from_bytes(recording.header().bundle.bytes())?.load()?;
    Ok(Opened { recording, level })
}

/// Refuses a recording that is no whole attempt.
pub fn must_be_sealed(opened: &Opened) -> Result<(), Refusal> {
    let status = opened.recording.status();
    if status.is_sealed() {
        Ok(())
    } else {
        Err(Refusal::new(told(&status)))
    }
}

/// What a recording is worth, in words.
pub fn told(status: &Status) -> String {
    match status {
        Status::Sealed { signed: None } => say("cli-status-sealed", &[]),
        Status::Sealed { signed: Some(by) } => say("cli-status-signed", &[("by", &by.to_string())]),
        Status::SealBroken { claimed, .. } => {
            say("cli-status-seal_broken", &[("by", &claimed.to_string())])
        }
        Status::Unfinished { until } => say(
            "cli-status-unfinished",
            &[("until", &number(until.seconds(), 2))],
        ),
        Status::Damaged {
            at_frame,
            after,
            why,
            ..
        } => say(
            "cli-status-damaged",
            &[
                ("frame", at_frame),
                ("after", &number(after.seconds(), 2)),
                ("why", &say(&format!("cli-damage-{}", why.id()), &[])),
            ],
        ),
    }
}

/// Seconds since 1970, by the clock of this machine.
pub fn unix_now_s() -> i64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |d| i64::try_from(d.as_secs()).unwrap_or(i64::MAX))
}

/// A name for a new recording that no other file has.
pub fn new_path(folder: &Path, level: &str, seed: u64) -> Result<PathBuf, Refusal> {
    training::recording::new_path(folder, level, seed, unix_now_s())
        .map_err(|e| Refusal::not_written(folder, &e))
}

/// This machine, as an envelope names it: no more than what kind it is.
pub fn device() -> String {
    let cpu = std::fs::read_to_string("/proc/cpuinfo").ok().and_then(|t| {
        let line = t.lines().find(|l| l.starts_with("model name"))?;
        Some(line.split(':').nth(1)?.trim().to_owned())
    });
    format!(
        "{} {} {}",
        std::env::consts::OS,
        std::env::consts::ARCH,
        cpu.unwrap_or_default()
    )
    .trim()
    .to_owned()
}
