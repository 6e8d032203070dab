//! The commands, one file each.
//!
//! A command gives a [`Verdict`] or a [`Refusal`]; what either prints comes
//! from the text catalogue. Exit codes: 0 fine, 1 findings or a difference, 2
//! bad input.

mod attempts;
mod check;
mod faults;
mod key;
mod mark;
mod measure;
mod progress;
mod qualify;
mod replay;
mod report;
mod rules;
mod run;
mod sensitivity;
mod show;
mod window;

use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};
use faults::Refusal;
use std::path::PathBuf;
use std::process::ExitCode;
use training::text::say;

/// Version of this program, as it is written into recordings.
pub const RELEASE: &str = env!("CARGO_PKG_VERSION");

/// How a command that did its work came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// All is well.
    Fine,
    /// There are findings, or a difference, or the attempt did not get through.
    Findings,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let matches = match command().try_get_matches() {
        Ok(matches) => matches,
        Err(error) => {
            // Help and version are no errors; everything else is bad input.
            let code = if error.use_stderr() { 2 } else { 0 };
            // A closed pipe is nobody's fault.
            error.print().ok();
            return ExitCode::from(code);
        }
    };
    match carry_out(&matches) {
        Ok(Verdict::Fine) => ExitCode::SUCCESS,
        Ok(Verdict::Findings) => ExitCode::from(1),
        Err(refusal) => {
            show::problem(&refusal.to_string());
            ExitCode::from(2)
        }
    }
}

fn carry_out(matches: &ArgMatches) -> Result<Verdict, Refusal> {
    match matches.subcommand() {
        None => window::open(None, None),
        Some(("play", m)) => window::play(m),
        Some(("shots", m)) => window::shots(m),
        Some(("frames", m)) => window::frames(m),
        Some(("run", m)) => run::run(m),
        Some(("mark", m)) => mark::mark(m),
        Some(("replay", m)) => replay::replay(m),
        Some(("report", m)) => report::report(m),
        Some(("check", m)) => check::check(m),
        Some(("rules", m)) => rules::rules(m),
        Some(("qualify", m)) => qualify::qualify(m),
        Some(("key", m)) => key::key(m),
        Some(_) => Ok(Verdict::Fine),
    }
}

fn option(id: &'static str, value: &'static str, help: &str) -> Arg {
    Arg::new(id).long(id).value_name(value).help(say(help, &[]))
}

fn path(id: &'static str, value: &'static str, help: &str) -> Arg {
    option(id, value, help).value_parser(value_parser!(PathBuf))
}

fn flag(id: &'static str, help: &str) -> Arg {
    Arg::new(id)
        .long(id)
        .action(ArgAction::SetTrue)
        .help(say(help, &[]))
}

/// Width and height of a picture.
fn size() -> Arg {
    option("size", "WxH", "cli-help-size").value_parser(|text: &str| {
        let side = |text: &str| {
            let side: u32 = text.parse().ok()?;
            (64..=8192).contains(&side).then_some(side)
        };
        text.split_once('x')
            .and_then(|(w, h)| Some((side(w)?, side(h)?)))
            .ok_or_else(|| say("cli-bad_size", &[("value", &text)]))
    })
}

fn recording() -> Arg {
    Arg::new("recording")
        .value_name("RECORDING")
        .required(true)
        .value_parser(value_parser!(PathBuf))
        .help(say("cli-help-recording", &[]))
}

fn json() -> Arg {
    flag("json", "cli-help-json")
}

fn command() -> Command {
    Command::new("jetyard")
        .version(RELEASE)
        .about(say("cli-help-about", &[]))
        .after_help(say("cli-help-after", &[]))
        .subcommand(
            Command::new("play")
                .about(say("cli-help-play", &[]))
                .arg(
                    Arg::new("level")
                        .value_name("LEVEL")
                        .required(true)
                        .help(say("cli-help-level", &[])),
                )
                .arg(path("from", "RECORDING", "cli-help-from").requires("at"))
                .arg(option("at", "MOMENT", "cli-help-at").requires("from")),
        )
        .subcommand(
            Command::new("shots")
                .about(say("cli-help-shots", &[]))
                .arg(
                    Arg::new("folder")
                        .value_name("DIR")
                        .required(true)
                        .value_parser(value_parser!(PathBuf))
                        .help(say("cli-help-shots_folder", &[])),
                )
                .arg(size())
                .arg(option("only", "NAME", "cli-help-only_shots"))
                .arg(flag("low", "cli-help-low")),
        )
        .subcommand(
            Command::new("frames")
                .about(say("cli-help-frames", &[]))
                .arg(size())
                .arg(
                    option("count", "N", "cli-help-count")
                        .value_parser(value_parser!(u16).range(10..=10_000)),
                )
                .arg(flag("low", "cli-help-low")),
        )
        .subcommand(
            Command::new("run")
                .about(say("cli-help-run", &[]))
                .arg(
                    Arg::new("level")
                        .value_name("LEVEL")
                        .required(true)
                        .help(say("cli-help-level", &[])),
                )
                .arg(option("script", "FILE", "cli-help-script").conflicts_with("bot"))
                .arg(option("bot", "NAME", "cli-help-bot"))
                .arg(option("seed", "N", "cli-help-seed").value_parser(value_parser!(u64)))
                .arg(path("out", "DIR", "cli-help-out"))
                .arg(path("key", "FILE", "cli-help-key"))
                .arg(path("from", "RECORDING", "cli-help-from").requires("at"))
                .arg(option("at", "MOMENT", "cli-help-at").requires("from"))
                .arg(
                    option("fault", "FAULT[=AMOUNT][@SECONDS]", "cli-help-fault")
                        .action(ArgAction::Append),
                )
                .arg(json())
                .arg(flag("stats", "cli-help-stats")),
        )
        .subcommand(
            Command::new("mark")
                .about(say("cli-help-mark", &[]))
                .arg(recording())
                .arg(json()),
        )
        .subcommand(
            Command::new("replay")
                .about(say("cli-help-replay", &[]))
                .arg(recording())
                .arg(option("to", "MOMENT", "cli-help-to")),
        )
        .subcommand(
            Command::new("report")
                .about(say("cli-help-report", &[]))
                .arg(recording())
                .arg(path("out", "FILE", "cli-help-report_out").required(true)),
        )
        .subcommand(
            Command::new("check")
                .about(say("cli-help-check", &[]))
                .arg(
                    Arg::new("path")
                        .value_name("PATH")
                        .num_args(0..)
                        .value_parser(value_parser!(PathBuf))
                        .help(say("cli-help-check_path", &[])),
                )
                .arg(flag("sensitivity", "cli-help-sensitivity"))
                .arg(option("only", "ID", "cli-help-only").requires("sensitivity"))
                .arg(
                    option("jobs", "N", "cli-help-jobs")
                        .value_parser(value_parser!(u16).range(1..=256))
                        .requires("sensitivity"),
                )
                .arg(json().requires("sensitivity")),
        )
        .subcommand(
            Command::new("rules")
                .about(say("cli-help-rules", &[]))
                .arg(json()),
        )
        .subcommand(
            Command::new("qualify")
                .about(say("cli-help-qualify", &[]))
                .arg(path("out", "DIR", "cli-help-qualify_out"))
                .arg(json()),
        )
        .subcommand(
            Command::new("key")
                .about(say("cli-help-key_command", &[]))
                .subcommand_required(true)
                .subcommand(
                    Command::new("new")
                        .about(say("cli-help-key_new", &[]))
                        .arg(path("out", "FILE", "cli-help-key_out").required(true))
                        .arg(flag("stick", "cli-help-key_stick")),
                )
                .subcommand(
                    Command::new("show")
                        .about(say("cli-help-key_show", &[]))
                        .arg(
                            Arg::new("file")
                                .value_name("FILE")
                                .required(true)
                                .value_parser(value_parser!(PathBuf))
                                .help(say("cli-help-key", &[])),
                        ),
                ),
        )
}
