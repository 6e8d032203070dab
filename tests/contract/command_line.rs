//! The program as it is called.

use crate::support::{LEVEL, SLAB, model};
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
    assert!(words.contains("There is no display"), "{words}");
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
    let kept = folder.path().join("kept.jetyard");
    std::fs::write(&kept, &model().1.bytes).unwrap();
    let kept = kept.display().to_string();
    let from = |command, level| vec![command, level, "--from", kept.as_str(), "--at", "10"];
    for (arguments, says) in [
        (from("run", SLAB), "a recording of 01_first_pressure"),
        (from("play", SLAB), "a recording of 01_first_pressure"),
        (from("play", "01_first_presure"), LEVEL),
        (from("play", LEVEL), "no window here"),
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

/// The data of this project in a folder, with one text in a file of the catalogue replaced.
fn copied(to: &Path, file: &str, from: &str, by: &str) {
    let levels = Path::new(env!("CARGO_MANIFEST_DIR")).join("levels");
    for folder in [LEVEL, "catalogue", "regions"] {
        std::fs::create_dir_all(to.join(folder)).unwrap();
        for entry in std::fs::read_dir(levels.join(folder)).unwrap() {
            let entry = entry.unwrap();
            std::fs::copy(entry.path(), to.join(folder).join(entry.file_name())).unwrap();
        }
    }
    let file = to.join("catalogue").join(file);
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains(from), "{from} is no longer there");
    std::fs::write(file, text.replacen(from, by, 1)).unwrap();
}

#[test]
fn a_sweep_tells_what_turns_on_an_absurd_range_and_nothing_of_a_narrow_one() {
    let folder = tempfile::tempdir().unwrap();
    let level = folder.path().join(LEVEL).display().to_string();
    // A nozzle that takes a quarter of its water, and one that takes what it is stated to take.
    let source = "id: \"round_1_40\"";
    let nozzles = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("levels/catalogue/nozzles.ron"),
    )
    .unwrap();
    let of = nozzles.split(source).nth(1).unwrap();
    let cd = of
        .lines()
        .find(|l| l.trim_start().starts_with("cd:"))
        .unwrap();
    let whole = format!("{source}{}{cd}", of.split(cd).next().unwrap());
    let absurd = "        cd: (low: 0.2, value: 0.95, high: 0.95),";
    let changed = format!("{source}{}{absurd}", of.split(cd).next().unwrap());
    copied(folder.path(), "nozzles.ron", &whole, &changed);
    let id = "nozzle.round_1_40.cd";
    let swept = run(
        folder.path(),
        &["check", "--sensitivity", &level, "--only", id, "--json"],
    );
    assert_eq!(code(&swept), 0, "{}", words(&swept));
    let data = json(&swept);
    let [row] = data.as_array().unwrap().as_slice() else {
        panic!("{data}");
    };
    assert_eq!(row["id"], id);
    assert_eq!((&row["low"], &row["high"]), (&0.2.into(), &0.95.into()));
    let flips = row["at_low"]["flips"].as_array().unwrap();
    assert!(flips.contains(&"safety".into()), "{row}");
    // The high end is the stated value, and comes to the very same.
    assert_eq!(row["at_high"]["flips"].as_array().unwrap().len(), 0);
    for part in ["safety", "coverage", "procedure", "findings", "stuck"] {
        assert_eq!(row["at_high"][part], row["stated"][part], "{part}");
    }
    assert_eq!(row["stated"]["safety"], 100.0);

    let unknown = run(
        folder.path(),
        &["check", "--sensitivity", &level, "--only", "nozzle.x.cd"],
    );
    assert_eq!(code(&unknown), 2);
    assert!(words(&unknown).contains("nozzle.x.cd"));
}

#[test]
fn a_sweep_prints_a_row_for_what_it_sweeps_and_a_sum() {
    let folder = tempfile::tempdir().unwrap();
    let id = "sense.sight_s";
    let output = run(
        folder.path(),
        &["check", "--sensitivity", "08_trouble", "--only", id],
    );
    let words = words(&output);
    assert_eq!(code(&output), 0, "{words}");
    let rows: Vec<&str> = words.lines().filter(|l| l.starts_with(id)).collect();
    assert_eq!(rows.len(), 1, "{words}");
    assert!(rows[0].contains("0.18 / 0.2 / 0.25 s"), "{words}");
    assert!(words.contains("1 swept"), "{words}");
    assert!(!words.contains("cli-"), "a text is missing: {words}");
}

#[test]
fn qualify_passes_and_keeps_its_page_and_its_data_whole() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(folder.path(), &["qualify", "--json", "--out", "kept"]);
    assert_eq!(code(&output), 0, "{}", words(&output));
    let table = json(&output);
    assert!(table.as_array().unwrap().len() >= 120);
    let kept = folder.path().join("kept");
    let page = std::fs::read_to_string(kept.join("qualification.html")).unwrap();
    assert!(page.starts_with("<!doctype html>") && page.ends_with("</html>\n"));
    let data = std::fs::read_to_string(kept.join("qualification.json")).unwrap();
    assert_eq!(serde_json::from_str::<Value>(&data).unwrap(), table);
    assert_eq!(std::fs::read_dir(&kept).unwrap().count(), 2);

    let told = run(folder.path(), &["qualify"]);
    assert_eq!(code(&told), 0);
    assert!(
        words(&told).contains("cases that fail: 0"),
        "{}",
        words(&told)
    );

    std::fs::write(folder.path().join("taken"), "a file").unwrap();
    let refused = run(folder.path(), &["qualify", "--out", "taken"]);
    assert_eq!(code(&refused), 2, "{}", words(&refused));
}
