//! `check`: checks data files without running anything, or how much marks owe to what is assumed.

use super::faults::Refusal;
use super::{Verdict, show};
use clap::ArgMatches;
use std::path::{Path, PathBuf};
use training::load::Library;
use training::text::say;

/// The command.
pub fn check(m: &ArgMatches) -> Result<Verdict, Refusal> {
    if m.get_flag("sensitivity") {
        return super::sensitivity::sensitivity(m);
    }
    let paths: Vec<&Path> = m
        .get_many::<PathBuf>("path")
        .map(|paths| paths.map(PathBuf::as_path).collect())
        .unwrap_or_default();
    let library = Library::find();
    let checked = if paths.is_empty() {
        library.check()
    } else {
        library.check_paths(&paths)
    };
    let mut wrong = Vec::new();
    for file in &checked {
        if file.problems.is_empty() {
            show::line(&say("cli-check-fine", &[("file", &file.file)]));
        } else {
            wrong.push(file.problems.to_string());
        }
    }
    if !wrong.is_empty() {
        return Err(Refusal::new(wrong.join("\n")));
    }
    show::line(&say("cli-check-all", &[("count", &checked.len())]));
    Ok(Verdict::Fine)
}
