//! `check --sensitivity`: plays each level's model script with every number that is known only
//! within a range at both its ends, and says which marks turn on one.

use super::faults::{Refusal, stuck};
use super::run::MODEL;
use super::{RELEASE, Verdict, show};
use clap::ArgMatches;
use crew::{Outcome, Script, Skill};
use serde_json::{Value, json};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;
use training::load::{Library, Loaded};
use training::recording::{self, Closed, Mode, Opened};
use training::text::{number, say};
use training::{Assumed, Ended, Level, Mark};
use yard::{Attempt, Beginning, play};

/// The procedure's mark turns when it moves by more than this, points (a choice of this project:
/// the least of a level's criteria weighs as much).
const PROCEDURE_POINTS: f64 = 5.0;
/// Plays from one line of progress to the next.
const PROGRESS_PLAYS: usize = 10;

/// What came of a play.
#[derive(Clone, Debug, PartialEq)]
struct Played {
    mark: Mark,
    /// Why the script could not go on.
    stuck: Option<String>,
}

/// What turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Flip {
    /// Whether anything is found.
    Safety,
    /// Whether the surface is cleaned to what the level asks.
    Coverage,
    /// The procedure's mark, by more than [`PROCEDURE_POINTS`].
    Procedure,
    /// Whether the script comes to its end.
    Finished,
}

impl Flip {
    /// Name as data, and as the end of text ids.
    fn id(self) -> &'static str {
        match self {
            Flip::Safety => "safety",
            Flip::Coverage => "coverage",
            Flip::Procedure => "procedure",
            Flip::Finished => "finished",
        }
    }
}

/// A number, and what its two ends come to.
struct Row {
    assumed: Assumed,
    ends: [Played; 2],
}

/// The command.
pub fn sensitivity(m: &ArgMatches) -> Result<Verdict, Refusal> {
    let jobs = m
        .get_one::<u16>("jobs")
        .map(|n| usize::from(*n))
        .or_else(|| thread::available_parallelism().ok().map(usize::from))
        .unwrap_or(1);
    let only = m.get_one::<String>("only");
    let json = m.get_flag("json");
    let mut told = Vec::new();
    let (mut swept, mut turned) = (0, Vec::new());
    // What is wrong in any level is said before the first is played.
    for (loaded, script) in levels(m)? {
        let mut level = loaded.level.clone();
        if let Some(only) = only {
            level.assumed.retain(|a| a.id == *only);
            if level.assumed.is_empty() {
                return Err(unknown(only, &loaded.level));
            }
        }
        let sweep = Sweep {
            bundle: recording::Bundle::new(loaded.bundle.bytes()),
            level,
            script,
        };
        let stated = sweep.play(None)?;
        if !json {
            show::line("");
            show::line(&heading(&sweep.level, &stated));
        }
        sweep.all(jobs, |row| {
            let flips = row.flips(&stated);
            swept += 1;
            if !flips.is_empty() {
                turned.push(say(
                    "cli-sensitivity-turned",
                    &[
                        ("id", &row.assumed.id),
                        ("level", &sweep.level.id),
                        ("flips", &why(&row, &flips)),
                    ],
                ));
            }
            if json {
                told.push(row.json(&sweep.level.id, &stated, &flips));
            } else {
                show::line(&row.words(&flips));
            }
        })?;
    }
    if json {
        show::data(&Value::Array(told));
    } else {
        show::line("");
        show::line(&say(
            "cli-sensitivity-summary",
            &[("swept", &swept), ("turned", &turned.len())],
        ));
        for line in turned {
            show::line(&format!("  {line}"));
        }
    }
    Ok(Verdict::Fine)
}

/// The levels that are asked for, each with its model script: by name, or by the path of a folder
/// beside a catalogue.
fn levels(m: &ArgMatches) -> Result<Vec<(Loaded, Script)>, Refusal> {
    let library = Library::find();
    let mut asked: Vec<(Library, String)> = Vec::new();
    for path in m.get_many::<PathBuf>("path").into_iter().flatten() {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let around = path.parent().filter(|p| p.join("catalogue").is_dir());
        let library = around.map_or_else(|| library.clone(), Library::at);
        let name = match around {
            Some(_) => name.into_owned(),
            None => path.to_string_lossy().into_owned(),
        };
        asked.push((library, name));
    }
    if asked.is_empty() {
        asked.extend(library.levels().into_iter().map(|id| (library.clone(), id)));
    }
    asked
        .into_iter()
        .map(|(library, id)| {
            let loaded = library.load(&id)?;
            let script = library.script(&loaded.level, MODEL)?;
            Ok((loaded, script))
        })
        .collect()
}

fn unknown(id: &str, level: &Level) -> Refusal {
    let known: Vec<&str> = level.assumed.iter().map(|a| a.id.as_str()).collect();
    Refusal::new(say(
        "cli-sensitivity-unknown",
        &[
            ("id", &id),
            ("level", &level.id),
            ("known", &known.join(", ")),
        ],
    ))
}

/// A level, and what is needed to play it again and again.
struct Sweep {
    bundle: recording::Bundle,
    level: Level,
    script: Script,
}

impl Sweep {
    /// Plays the model script with one number at another value, or with all as they are stated.
    fn play(&self, other: Option<(&str, f64)>) -> Result<Played, Refusal> {
        let mut level = self.level.clone();
        if let Some((id, value)) = other
            && !level.assume(id, value)
        {
            return Err(unknown(id, &level));
        }
        let level = &level;
        let seed = level.seed;
        let beginning = Beginning {
            injected: Vec::new(),
            release: RELEASE.to_owned(),
            bundle: self.bundle.clone(),
            seed,
            opened: Opened {
                trainee: String::from("model"),
                display_name: None,
                started_unix_s: 0,
                device: String::new(),
                mode: Mode::Practice,
            },
        };
        let mut attempt = Attempt::begin(level, beginning, Vec::new())?;
        let script = self.script.clone();
        let mut pilot = play::pilot(level, script, Skill::steady(), seed);
        let mut crew = play::crew_of(level, seed);
        let ended = play::play(&mut attempt, level.post, &mut pilot, &mut crew, |_| ())?;
        let closed = Closed {
            wall_s: 1.0,
            least_real_time_factor: 1.0,
            frames: None,
        };
        let (mark, _) = attempt.seal(ended, closed, None)?;
        let stuck = match (ended, pilot.outcome()) {
            (
                Ended::Stuck,
                Outcome::Stuck {
                    index,
                    goal,
                    reason,
                },
            ) => Some(stuck(*index, goal, reason)),
            _ => None,
        };
        Ok(Played { mark, stuck })
    }

    /// Plays both ends of every number on several threads, and gives the rows in their order.
    fn all(&self, jobs: usize, mut give: impl FnMut(Row)) -> Result<(), Refusal> {
        let assumed = &self.level.assumed;
        let plays = 2 * assumed.len();
        let (next, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
        let (send, came) = mpsc::channel();
        thread::scope(|scope| {
            for _ in 0..jobs.clamp(1, plays.max(1)) {
                let (send, next, stop) = (send.clone(), &next, &stop);
                scope.spawn(move || {
                    while !stop.load(Ordering::Relaxed) {
                        let n = next.fetch_add(1, Ordering::Relaxed);
                        let Some(of) = assumed.get(n / 2) else {
                            return;
                        };
                        let value = if n % 2 == 0 { of.low } else { of.high };
                        let played = self.play(Some((&of.id, value)));
                        if send.send((n, played)).is_err() {
                            return;
                        }
                    }
                });
            }
            drop(send);
            let mut waiting: Vec<Option<Played>> = vec![None; plays];
            let (mut done, mut given) = (0, 0);
            for (n, played) in came {
                // The other threads end after the play that they are at.
                waiting[n] = Some(played.inspect_err(|_| stop.store(true, Ordering::Relaxed))?);
                done += 1;
                if done % PROGRESS_PLAYS == 0 {
                    show::problem(&say(
                        "cli-progress-sensitivity",
                        &[
                            ("done", &done),
                            ("plays", &plays),
                            ("level", &self.level.id),
                        ],
                    ));
                }
                while given < assumed.len() && waiting[2 * given].is_some() {
                    let Some(high) = waiting[2 * given + 1].take() else {
                        break;
                    };
                    let Some(low) = waiting[2 * given].take() else {
                        break;
                    };
                    give(Row {
                        assumed: assumed[given].clone(),
                        ends: [low, high],
                    });
                    given += 1;
                }
            }
            Ok(())
        })
    }
}

impl Row {
    /// What turned against what comes of the stated values, at which end: 0 low, 1 high.
    fn flips(&self, stated: &Played) -> Vec<(usize, Flip)> {
        let ends = self.ends.iter().enumerate();
        ends.flat_map(|(end, other)| flips(stated, other).into_iter().map(move |f| (end, f)))
            .collect()
    }

    fn json(&self, level: &str, stated: &Played, flips: &[(usize, Flip)]) -> Value {
        let of = |played: &Played, end: Option<usize>| {
            let turned = flips.iter().filter(|(at, _)| Some(*at) == end);
            json!({
                "safety": played.mark.safety,
                "coverage": played.mark.coverage,
                "procedure": played.mark.procedure,
                "findings": played.mark.findings.iter().map(|f| &f.rule).collect::<Vec<_>>(),
                "stuck": played.stuck,
                "flips": turned.map(|(_, flip)| flip.id()).collect::<Vec<_>>(),
            })
        };
        json!({
            "level": level,
            "id": self.assumed.id,
            "unit": self.assumed.unit,
            "source": self.assumed.source,
            "low": self.assumed.low,
            "value": self.assumed.value,
            "high": self.assumed.high,
            "stated": of(stated, None),
            "at_low": of(&self.ends[0], Some(0)),
            "at_high": of(&self.ends[1], Some(1)),
        })
    }

    fn words(&self, flips: &[(usize, Flip)]) -> String {
        let a = &self.assumed;
        let unit = if a.unit == "1" { "" } else { &a.unit };
        let range = format!("{} / {} / {} {unit}", a.low, a.value, a.high);
        let both = |of: fn(&Mark) -> Option<f64>| {
            let [low, high] = self.ends.each_ref().map(|end| points(of(&end.mark)));
            format!("{low} / {high}")
        };
        let row = say(
            "cli-sensitivity-row",
            &[
                ("id", &format!("{:<40}", a.id)),
                ("range", &format!("{range:<32}")),
                ("safety", &format!("{:<13}", both(|m| m.safety))),
                ("coverage", &format!("{:<13}", both(|m| m.coverage))),
                ("procedure", &format!("{:<13}", both(|m| m.procedure))),
            ],
        );
        if flips.is_empty() {
            return row.trim_end().to_owned();
        }
        say(
            "cli-sensitivity-row_flips",
            &[("row", &row), ("flips", &why(self, flips))],
        )
    }
}

/// What turned between what comes of the stated values and what comes of others.
fn flips(stated: &Played, other: &Played) -> Vec<Flip> {
    let clean = |p: &Played| p.mark.safety == Some(100.0) && p.mark.findings.is_empty();
    let reached = |p: &Played| {
        let mut cleaned = p.mark.criteria.iter().filter(|c| c.kind == "cleaned");
        cleaned.all(|c| c.value >= c.wanted)
    };
    let moved = match (stated.mark.procedure, other.mark.procedure) {
        (Some(stated), Some(other)) => (stated - other).abs() > PROCEDURE_POINTS,
        (stated, other) => stated.is_some() != other.is_some(),
    };
    let mut flips = Vec::new();
    for (turned, flip) in [
        (clean(stated) != clean(other), Flip::Safety),
        (reached(stated) != reached(other), Flip::Coverage),
        (moved, Flip::Procedure),
        (
            stated.stuck.is_some() != other.stuck.is_some(),
            Flip::Finished,
        ),
    ] {
        if turned {
            flips.push(flip);
        }
    }
    flips
}

/// What turned and by what, in words.
fn why(row: &Row, flips: &[(usize, Flip)]) -> String {
    let words = flips.iter().map(|(end, flip)| {
        let Played { mark, stuck } = &row.ends[*end];
        let by = match flip {
            Flip::Safety => {
                let mut rules: Vec<&str> = mark.findings.iter().map(|f| f.rule.as_str()).collect();
                rules.sort_unstable();
                rules.dedup();
                format!("{} ({})", points(mark.safety), rules.join(", "))
            }
            Flip::Coverage => points(mark.coverage),
            Flip::Procedure => points(mark.procedure),
            Flip::Finished => stuck
                .clone()
                .unwrap_or_else(|| say("cli-sensitivity-to_the_end", &[])),
        };
        let end = ["cli-sensitivity-low", "cli-sensitivity-high"][*end];
        say(
            "cli-sensitivity-flip",
            &[
                (
                    "what",
                    &say(&format!("cli-sensitivity-flip_{}", flip.id()), &[]),
                ),
                ("end", &say(end, &[])),
                ("by", &by),
            ],
        )
    });
    words.collect::<Vec<_>>().join("; ")
}

/// What comes of the stated values.
fn heading(level: &Level, stated: &Played) -> String {
    let end = match &stated.stuck {
        Some(why) => why.clone(),
        None => say("cli-sensitivity-to_the_end", &[]),
    };
    say(
        "cli-sensitivity-heading",
        &[
            ("level", &level.id),
            ("safety", &points(stated.mark.safety)),
            ("coverage", &points(stated.mark.coverage)),
            ("procedure", &points(stated.mark.procedure)),
            ("end", &end),
        ],
    )
}

fn points(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_owned(), |value| number(value, 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use training::criteria::CriterionResult;

    fn played(change: impl FnOnce(&mut Played)) -> Played {
        let cleaned = CriterionResult {
            id: String::from("cleaned"),
            kind: String::from("cleaned"),
            weight: 100.0,
            share: 1.0,
            value: 96.0,
            wanted: 95.0,
            unit: String::from("%"),
            late_s: None,
        };
        let mut played = Played {
            mark: Mark {
                level: String::from("x"),
                safety: Some(100.0),
                coverage: Some(96.0),
                procedure: Some(90.0),
                economy: None,
                findings: Vec::new(),
                deductions: Vec::new(),
                criteria: vec![cleaned],
                not_assessable: Vec::new(),
                duration_s: 1.0,
                ended: Ended::HandedBack,
            },
            stuck: None,
        };
        change(&mut played);
        played
    }

    #[test]
    fn a_mark_that_moves_without_turning_is_no_flip_and_one_that_turns_is() {
        let stated = played(|_| ());
        assert_eq!(flips(&stated, &stated), []);
        let near = played(|p| {
            p.mark.procedure = Some(85.0);
            p.mark.criteria[0].value = 95.0;
            p.mark.economy = Some(1.0);
        });
        assert_eq!(flips(&stated, &near), []);
        type Change = fn(&mut Played);
        let cases: [(Change, Flip); 6] = [
            (|p| p.mark.safety = Some(95.0), Flip::Safety),
            (|p| p.mark.safety = None, Flip::Safety),
            (|p| p.mark.criteria[0].value = 94.9, Flip::Coverage),
            (|p| p.mark.procedure = Some(84.9), Flip::Procedure),
            (|p| p.mark.procedure = None, Flip::Procedure),
            (|p| p.stuck = Some(String::new()), Flip::Finished),
        ];
        for (change, flip) in cases {
            let other = played(change);
            assert_eq!(flips(&stated, &other), [flip], "{other:?}");
            // Whichever way it turns.
            assert_eq!(flips(&other, &stated), [flip], "{other:?}");
        }
    }

    #[test]
    fn what_turned_is_told_with_its_end_and_its_cause() {
        let stated = played(|_| ());
        let row = Row {
            assumed: Assumed {
                id: String::from("tool.weight"),
                unit: String::from("kg"),
                low: 1.0,
                value: 2.0,
                high: 3.0,
                source: String::from("a test"),
            },
            ends: [
                played(|p| p.stuck = Some(String::from("the arm gave out"))),
                played(|_| ()),
            ],
        };
        let flips = row.flips(&stated);
        assert_eq!(flips, [(0, Flip::Finished)]);
        let words = row.words(&flips);
        for part in [
            "tool.weight",
            "1 / 2 / 3 kg",
            "FLIPS",
            "the arm gave out",
            "low",
        ] {
            assert!(words.contains(part), "{part}: {words}");
        }
        assert!(!words.contains("cli-"), "{words}");
        assert!(!row.words(&[]).contains("FLIPS"));
        let data = row.json("x", &stated, &flips);
        assert_eq!(data["at_low"]["flips"], json!(["finished"]));
        assert_eq!(data["at_high"]["flips"], json!([]));
    }
}
