//! `run`: plays an attempt without a window.

use super::attempts::{self, device, new_path, unix_now_s};
use super::faults::{Refusal, stuck};
use super::measure::{Pace, Stopwatch, clock_ns};
use super::progress::Progress;
use super::{RELEASE, Verdict, show};
use clap::ArgMatches;
use crew::{Bot, Fault, Goal, Input, Mind, Outcome, Percepts, Script, StuckReason, Tick};
use std::path::{Path, PathBuf};
use training::faults::{LATEST_S, PlanProblem, Planned};
use training::load::{Library, Loaded};
use training::recording::{
    self, Closed, FileSink, KeyFile, Mode, OpenKey, Opened, Recording, Sealed,
};
use training::text::{number, say};
use training::{Ended, Event, Mark};
use yard::{Attempt, Beginning, play};

/// Where attempts are kept when nothing else is said.
pub const ATTEMPTS: &str = "attempts";
/// The script that every level has.
pub const MODEL: &str = "model";

/// What is to be played.
pub struct Order {
    /// The level and its files.
    pub loaded: Loaded,
    /// Who plays the trainee.
    pub player: Player,
    /// Seed of the attempt.
    pub seed: u64,
    /// The recording to take up, and the moment.
    pub from: Option<(Recording, Tick)>,
    /// Folder of the recording.
    pub out: PathBuf,
    /// Key to sign with.
    pub key: Option<OpenKey>,
    /// Parts of a tick are timed.
    pub metered: bool,
    /// What goes wrong beside what the level has in store.
    pub injected: Vec<Planned>,
}

/// Who plays the trainee.
pub enum Player {
    /// A bot with a script.
    Scripted(Bot, Script),
    /// The bot that does nothing.
    Idle,
}

/// What was played.
pub struct Played {
    /// The mark.
    pub mark: Mark,
    /// Where the recording is.
    pub recording: PathBuf,
    /// Where the report is.
    pub report: PathBuf,
    /// The seal.
    pub sealed: Sealed,
    /// Why the script could not go on.
    pub stuck: Option<(usize, Goal, StuckReason)>,
    /// How fast it went.
    pub pace: Pace,
}

/// A trainee who does nothing.
struct Nobody;

impl Mind for Nobody {
    fn act(&mut self, _: &Percepts, _: &mut Vec<Input>) {}
}

/// The command.
pub fn run(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let order = order(m)?;
    let json = m.get_flag("json");
    let seed = order.seed;
    let played = carry_out(order)?;
    if json {
        show::data(&as_json(&played, seed));
    } else {
        tell(&played);
        if m.get_flag("stats") {
            for line in played.pace.lines() {
                show::line(&line);
            }
        }
    }
    let fine = played.mark.findings.is_empty() && played.stuck.is_none();
    Ok(if fine {
        Verdict::Fine
    } else {
        Verdict::Findings
    })
}

fn order(m: &ArgMatches) -> Result<Order, Refusal> {
    let library = Library::find();
    let level = m.get_one::<String>("level").map_or("", String::as_str);
    let loaded = library.load(level)?;
    let bot = match m.get_one::<String>("bot") {
        None => Bot::Steady,
        Some(name) => Bot::by_id(name).ok_or_else(|| unknown_bot(name))?,
    };
    let player = if bot == Bot::Idle {
        Player::Idle
    } else {
        let name = m.get_one::<String>("script").map_or(MODEL, String::as_str);
        Player::Scripted(bot, library.script(&loaded.level, name)?)
    };
    let from = taken_up(m, level)?;
    Ok(Order {
        seed: m
            .get_one::<u64>("seed")
            .copied()
            .unwrap_or(loaded.level.seed),
        loaded,
        player,
        from,
        out: m
            .get_one::<PathBuf>("out")
            .cloned()
            .unwrap_or_else(|| PathBuf::from(ATTEMPTS)),
        key: m
            .get_one::<PathBuf>("key")
            .map(|p| open_key(p))
            .transpose()?,
        metered: m.get_flag("stats"),
        injected: injected(m)?,
    })
}

/// The faults that the command names.
pub fn injected(m: &ArgMatches) -> Result<Vec<Planned>, Refusal> {
    let named = m.get_many::<String>("fault").into_iter().flatten();
    named
        .map(|text| Planned::parse(text).map_err(|problem| bad_fault(text, &problem)))
        .collect()
}

fn bad_fault(text: &str, problem: &PlanProblem) -> Refusal {
    Refusal::new(match problem {
        PlanProblem::NoSuchFault(_) => {
            let known = Fault::ALL.map(Fault::id).join(", ");
            say("cli-unknown_fault", &[("value", &text), ("known", &known)])
        }
        PlanProblem::NoNumber(_) => say("cli-bad_fault", &[("value", &text)]),
        PlanProblem::TooMuch {
            fault, greatest, ..
        } => say(
            "cli-too_much_fault",
            &[
                ("value", &text),
                ("most", &number(*greatest, 0)),
                ("unit", &fault.extent().unit),
            ],
        ),
        PlanProblem::Never(_) => say(
            "cli-late_fault",
            &[("value", &text), ("latest", &number(LATEST_S, 0))],
        ),
    })
}

/// The recording of an attempt at a level that is taken up, and the moment of it, where
/// the command names one.
pub fn taken_up(m: &ArgMatches, level: &str) -> Result<Option<(Recording, Tick)>, Refusal> {
    let Some(path) = m.get_one::<PathBuf>("from") else {
        return Ok(None);
    };
    let opened = attempts::open(path)?;
    let other = &opened.recording.header().level;
    if other != level {
        return Err(Refusal::new(say(
            "cli-from_another_level",
            &[
                ("file", &path.display().to_string()),
                ("other", other),
                ("level", &level),
            ],
        )));
    }
    let at = m.get_one::<String>("at").map_or("", String::as_str);
    let at = moment(&opened.recording, at)?;
    Ok(Some((opened.recording, at)))
}

fn unknown_bot(name: &str) -> Refusal {
    let known = Bot::ALL.map(Bot::id).join(", ");
    Refusal::new(say(
        "cli-unknown_bot",
        &[("name", &name), ("known", &known)],
    ))
}

/// A moment of a recording: seconds from its start, or `mark:N` for the Nth
/// bookmark.
pub fn moment(recording: &Recording, text: &str) -> Result<Tick, Refusal> {
    let bad = || Refusal::new(say("cli-bad_moment", &[("value", &text)]));
    if let Some(number) = text.strip_prefix("mark:") {
        let number: usize = number.parse().map_err(|_| bad())?;
        let marks = recording
            .events()
            .iter()
            .filter(|(_, e)| matches!(e, Event::Bookmark));
        let tick = number
            .checked_sub(1)
            .and_then(|n| marks.map(|(tick, _)| *tick).nth(n));
        return tick.ok_or_else(bad);
    }
    let seconds: f64 = text.parse().map_err(|_| bad())?;
    if seconds.is_finite() && seconds >= 0.0 {
        Ok(Tick::at(seconds))
    } else {
        Err(bad())
    }
}

/// Opens a signing key: a protected one by the passphrase in the environment,
/// so that it stands on no command line and in no history.
fn open_key(path: &Path) -> Result<OpenKey, Refusal> {
    let bytes = std::fs::read(path).map_err(|e| {
        Refusal::new(say(
            "cli-not_read",
            &[
                ("path", &path.display().to_string()),
                ("reason", &e.to_string()),
            ],
        ))
    })?;
    let file = KeyFile::read(&bytes)?;
    let passphrase = std::env::var(super::key::PASSPHRASE).ok();
    Ok(file.open(passphrase.as_deref())?)
}

/// Plays the attempt, seals its recording and writes its report.
pub fn carry_out(order: Order) -> Result<Played, Refusal> {
    let level = &order.loaded.level;
    let recording = new_path(&order.out, &level.id, order.seed)?;
    let beginning = Beginning {
        release: RELEASE.to_owned(),
        bundle: recording::Bundle::new(order.loaded.bundle.bytes()),
        seed: order.seed,
        opened: Opened {
            trainee: String::from("model"),
            display_name: None,
            started_unix_s: unix_now_s(),
            device: device(),
            mode: Mode::Practice,
        },
        injected: order.injected,
    };
    let sink = FileSink::create(&recording)?;
    let mut attempt = match &order.from {
        None => Attempt::begin(level, beginning, sink)?,
        Some((from, at)) => Attempt::restart(level, beginning, from, *at, sink)?,
    };
    if order.metered {
        attempt.yard().meter_by(clock_ns);
    }
    let began = attempt.tick();
    let mut trainee: Box<dyn Mind> = match order.player {
        Player::Idle => Box::new(Nobody),
        Player::Scripted(bot, script) => {
            match bot.pilot(script, level.post, play::site(level), order.seed) {
                Some(pilot) => Box::new(pilot),
                None => Box::new(Nobody),
            }
        }
    };
    let mut crew = match &order.from {
        None => play::crew_of(level, order.seed),
        Some((from, at)) => play::crew_coming_in(level, order.seed, from, *at),
    };
    let stopwatch = Stopwatch::begin();
    let mut progress = Progress::begin("cli-progress-run");
    let ended = play::play(&mut attempt, level.post, trainee.as_mut(), &mut crew, |o| {
        progress.at(o.tick)
    });
    progress.end();
    let ended = ended?;
    let attempt_s = attempt.tick().since(began);
    let pace = stopwatch.end(attempt_s, attempt.yard().meter());
    let closed = Closed {
        wall_s: pace.wall_s,
        least_real_time_factor: pace.real_time_factor(),
        frames: None,
    };
    let (mark, sealed) = attempt.seal(ended, closed, order.key.as_ref())?;
    let stuck = match (ended, trainee.outcome()) {
        (
            Ended::Stuck,
            Outcome::Stuck {
                index,
                goal,
                reason,
            },
        ) => Some((*index, goal.clone(), *reason)),
        _ => None,
    };
    let report = recording.with_extension("html");
    super::report::write(&recording, &report)?;
    Ok(Played {
        mark,
        recording,
        report,
        sealed,
        stuck,
        pace,
    })
}

/// What was played, as data.
fn as_json(played: &Played, seed: u64) -> serde_json::Value {
    let mut value = show::mark_json(&played.mark, seed);
    value["stuck"] = played
        .stuck
        .as_ref()
        .map(|(index, goal, reason)| stuck(*index, goal, reason))
        .into();
    value["recording"] = played.recording.display().to_string().into();
    value["report"] = played.report.display().to_string().into();
    value["body_hash"] = played.sealed.body_hash.to_string().into();
    value["stats"] = played.pace.json();
    value
}

/// What was played, in words.
pub fn tell(played: &Played) {
    if let Some((index, goal, reason)) = &played.stuck {
        show::line(&stuck(*index, goal, reason));
    }
    show::mark(&played.mark);
    show::line("");
    show::line(&say(
        "cli-run-recording",
        &[("path", &played.recording.display().to_string())],
    ));
    show::line(&say(
        "cli-run-report",
        &[("path", &played.report.display().to_string())],
    ));
    show::line(&say("cli-caution", &[]));
}
