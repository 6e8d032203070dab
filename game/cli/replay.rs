//! `replay`: runs a recording's inputs again and compares.

use super::attempts::{open, told};
use super::faults::Refusal;
use super::progress::Progress;
use super::{Verdict, show};
use clap::ArgMatches;
use std::path::PathBuf;
use std::time::Instant;
use training::text::{number, say};
use yard::{AttemptFault, Yard, attempt};

/// The command.
pub fn replay(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let path = m
        .get_one::<PathBuf>("recording")
        .cloned()
        .unwrap_or_default();
    let opened = open(&path)?;
    show::line(&told(&opened.recording.status()));
    let outcome = match m.get_one::<String>("to") {
        Some(text) => {
            let at = super::run::moment(&opened.recording, text)?;
            let began = Instant::now();
            let mut yard = Yard::new(&opened.level)?;
            attempt::go_to(&mut yard, &opened.recording, at).map(|()| {
                say(
                    "cli-replay-jumped",
                    &[
                        ("time", &number(at.seconds(), 2)),
                        ("took", &number(began.elapsed().as_secs_f64(), 2)),
                        ("digest", &format!("{:016x}", yard.digest())),
                    ],
                )
            })
        }
        None => {
            let mut progress = Progress::begin("cli-progress-replay");
            let same = attempt::replay(&opened.level, &opened.recording, |tick| progress.at(tick));
            progress.end();
            let until = opened.recording.until();
            same.map(|()| {
                say(
                    "cli-replay-same",
                    &[("time", &number(until.seconds(), 1)), ("ticks", &until.0)],
                )
            })
        }
    };
    match outcome {
        Ok(text) => {
            show::line(&text);
            Ok(Verdict::Fine)
        }
        Err(fault @ AttemptFault::Differs { .. }) => {
            show::problem(&Refusal::from(fault).to_string());
            Ok(Verdict::Findings)
        }
        Err(fault) => Err(fault.into()),
    }
}
