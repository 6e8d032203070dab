//! The program as it is called.

use crate::support::LEVEL;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn jetyard(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_jetyard"));
    command.current_dir(folder).env_remove("DISPLAY");
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    jetyard(folder)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| panic!("{error}"))
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or(-1)
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&output.stdout)))
}

fn words(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

#[test]
fn without_a_display_it_says_so_plays_the_model_and_ends_with_mark_and_report() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &[]);
    let words = words(&output);
    assert_eq!(code(&output), 0, "{words}");
    assert!(words.contains("no window"), "{words}");
    assert!(words.contains("safety       100.0"), "{words}");
    let report = words
        .lines()
        .find_map(|l| l.strip_prefix("Report: "))
        .unwrap();
    let html = std::fs::read_to_string(folder.path().join(report)).unwrap();
    assert!(html.starts_with("<!doctype html>") && html.contains("</html>"));
    assert!(
        !html.contains("http"),
        "a report needs nothing from outside"
    );
}

#[test]
fn run_mark_replay_and_report_agree_and_keep_their_exit_codes() {
    let folder = tempfile::tempdir().unwrap();
    let ran = run(
        folder.path(),
        &[
            "run", LEVEL, "--script", "bad", "--seed", "7", "--json", "--stats", "--out", "kept",
        ],
    );
    assert_eq!(code(&ran), 1, "{}", words(&ran));
    let live = json(&ran);
    assert_eq!(live["level"], LEVEL);
    assert_eq!(live["seed"], 7);
    assert_eq!(live["safety"], 0.0);
    assert_eq!(live["coverage"], Value::Null);
    assert_eq!(live["findings"].as_array().unwrap().len(), 7);
    for key in ["rule", "time_s", "value", "limit", "severity"] {
        assert!(!live["findings"][0][key].is_null(), "{key}");
    }
    assert!(live["stats"]["real_time_factor"].as_f64().unwrap() > 1.0);
    assert!(live["stats"]["tick"]["hydraulics"]["us"].as_f64().unwrap() > 0.0);
    let recording = live["recording"].as_str().unwrap().to_owned();
    assert!(
        Path::new(folder.path())
            .join(live["report"].as_str().unwrap())
            .is_file()
    );

    // From a folder without levels, by nothing but the recording.
    let marked = run(folder.path(), &["mark", &recording, "--json"]);
    assert_eq!(code(&marked), 1);
    let marked = json(&marked);
    for part in [
        "level",
        "seed",
        "safety",
        "coverage",
        "procedure",
        "economy",
        "findings",
    ] {
        assert_eq!(marked[part], live[part], "{part}");
    }

    let replayed = run(folder.path(), &["replay", &recording]);
    assert_eq!(code(&replayed), 0, "{}", words(&replayed));

    let reported = run(
        folder.path(),
        &["report", &recording, "--out", "again.html"],
    );
    assert_eq!(code(&reported), 0, "{}", words(&reported));
    let first = std::fs::read(folder.path().join(live["report"].as_str().unwrap())).unwrap();
    assert_eq!(
        first,
        std::fs::read(folder.path().join("again.html")).unwrap()
    );
}

#[test]
fn the_rules_are_listed_with_their_keys() {
    let folder = tempfile::tempdir().unwrap();
    let rules = json(&run(folder.path(), &["rules", "--json"]));
    let rules = rules.as_array().unwrap();
    assert_eq!(rules.len(), training::rules::RULES.len());
    for rule in rules {
        for key in ["id", "title", "severity", "source", "honesty"] {
            assert!(rule[key].as_str().is_some_and(|s| !s.is_empty()), "{key}");
        }
    }
}

#[test]
fn bad_input_gets_one_message_and_exit_code_two() {
    let folder = tempfile::tempdir().unwrap();
    let junk = folder.path().join("junk.jetyard");
    std::fs::write(&junk, b"nothing of the kind").unwrap();
    let junk = junk.display().to_string();
    for (arguments, says) in [
        (vec!["run", "01_first_presure"], LEVEL),
        (vec!["run", LEVEL, "--bot", "nobody"], "steady"),
        (vec!["run", LEVEL, "--script", "nothing"], "model"),
        (vec!["run", LEVEL, "--seed", "minus"], "minus"),
        (vec!["mark", junk.as_str()], "not a recording"),
        (vec!["mark", "nowhere.jetyard"], "nowhere.jetyard"),
        (vec!["replay", junk.as_str()], "not a recording"),
        (
            vec!["report", junk.as_str(), "--out", "x.html"],
            "not a recording",
        ),
        (vec!["check", "nowhere.ron"], "nowhere.ron"),
        (vec!["dance"], "dance"),
        (vec!["key", "show", junk.as_str()], "not a signing key"),
    ] {
        let output = run(folder.path(), &arguments);
        let words = words(&output);
        assert_eq!(code(&output), 2, "{arguments:?}: {words}");
        assert!(words.contains(says), "{arguments:?}: {words}");
        assert!(!words.contains("panicked"), "{arguments:?}: {words}");
    }
    assert!(!folder.path().join("x.html").exists());
}

#[test]
fn every_command_has_help() {
    let folder = tempfile::tempdir().unwrap();
    for command in ["run", "mark", "replay", "report", "check", "rules", "key"] {
        let output = run(folder.path(), &[command, "--help"]);
        assert_eq!(code(&output), 0);
        let words = words(&output);
        assert!(words.contains("Usage:"), "{words}");
        assert!(!words.contains("cli-"), "a text is missing: {words}");
    }
}

#[test]
fn a_signed_attempt_says_whose_key_it_was_and_a_wrong_passphrase_opens_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let secret = "correct horse battery";
    let keyed = |arguments: &[&str], passphrase: &str| {
        jetyard(folder.path())
            .args(arguments)
            .env("JETYARD_PASSPHRASE", passphrase)
            .output()
            .unwrap()
    };
    let made = keyed(&["key", "new", "--out", "seal.key"], secret);
    assert_eq!(code(&made), 0, "{}", words(&made));
    // A key is never written over.
    assert_eq!(
        code(&keyed(&["key", "new", "--out", "seal.key"], secret)),
        2
    );
    let wrong = keyed(&["run", LEVEL, "--key", "seal.key"], "another passphrase");
    assert_eq!(code(&wrong), 2, "{}", words(&wrong));

    let level = folder.path().join("short");
    std::fs::create_dir(&level).unwrap();
    let ran = keyed(
        &[
            "run", LEVEL, "--bot", "hasty", "--key", "seal.key", "--json",
        ],
        secret,
    );
    let recording = json(&ran)["recording"].as_str().unwrap().to_owned();
    let marked = run(folder.path(), &["mark", &recording]);
    let shown = words(&run(folder.path(), &["key", "show", "seal.key"]));
    let fingerprint = shown
        .split_whitespace()
        .nth(2)
        .unwrap()
        .trim_end_matches(',');
    assert!(
        words(&marked).contains(fingerprint),
        "{} {shown}",
        words(&marked)
    );
}

#[test]
fn all_data_of_this_project_is_fine() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &["check"]);
    assert_eq!(code(&output), 0, "{}", words(&output));
}

#[test]
fn a_broken_level_is_told_with_file_line_and_column() {
    let folder = tempfile::tempdir().unwrap();
    let file: PathBuf = folder.path().join("level.ron");
    std::fs::write(&file, "Level(\n    id: \"x\",\n    title: (en: \"t\",\n").unwrap();
    let output = run(folder.path(), &["check", &file.display().to_string()]);
    assert_eq!(code(&output), 2);
    let words = words(&output);
    assert!(words.contains("level.ron:"), "{words}");
    let place = words.split("level.ron:").nth(1).unwrap();
    assert!(place.starts_with(|c: char| c.is_ascii_digit()), "{words}");
}
