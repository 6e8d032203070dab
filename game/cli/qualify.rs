//! `qualify`: runs every check of the physics against values from outside.

use super::faults::Refusal;
use super::{Verdict, show};
use ::qualify::Table;
use clap::ArgMatches;
use std::path::{Path, PathBuf};
use training::text::{Argument, say};

/// The command.
pub fn qualify(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let table = ::qualify::run();
    if let Some(folder) = m.get_one::<PathBuf>("out") {
        keep(&table, folder)?;
    }
    if m.get_flag("json") {
        show::data(&table.json());
    } else {
        show::line(table.text(&words).trim_end());
        show::line(&say("qualify-caution", &[]));
    }
    Ok(match table.verdict() {
        ::qualify::Verdict::Pass => Verdict::Fine,
        ::qualify::Verdict::Fail => Verdict::Findings,
    })
}

/// The texts, as the table asks for them.
fn words(id: &str, arguments: &[(&str, String)]) -> String {
    let arguments: Vec<(&str, &dyn Argument)> = arguments
        .iter()
        .map(|(name, value)| (*name, value as &dyn Argument))
        .collect();
    say(id, &arguments)
}

/// Writes the page and the data into a folder, both whole or neither.
fn keep(table: &Table, folder: &Path) -> Result<(), Refusal> {
    std::fs::create_dir_all(folder).map_err(|e| Refusal::not_written(folder, &e))?;
    let page = ::qualify::html(table, &words, &records::style_sheet());
    let data = format!("{:#}\n", table.json());
    let files = [("qualification.html", page), ("qualification.json", data)];
    let half = |name: &str| folder.join(format!("{name}.part"));
    let write = || {
        for (name, text) in &files {
            std::fs::write(half(name), text)?;
        }
        for (name, _) in &files {
            std::fs::rename(half(name), folder.join(name))?;
        }
        Ok(())
    };
    let written: std::io::Result<()> = write();
    if written.is_err() {
        for (name, _) in &files {
            std::fs::remove_file(half(name)).ok();
        }
    }
    written.map_err(|e| Refusal::not_written(folder, &e))
}
