//! Broken files, and what is said of each.
//!
//! `tests/broken/` holds files that are wrong in one way or in several, beside each the message
//! in full, and under `library/` the data they are checked against. Where a message changes on
//! purpose, its text is written anew with `JETYARD_WRITE_BROKEN=1` and read before it is kept.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::Instant;

use super::Library;
use crate::data::Source;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/broken")
}

fn library() -> Library {
    Library::at(&folder().join("library"))
}

/// What is said of a file, a line for each problem; nothing when it is in order.
fn said(library: &Library, file: &Path) -> String {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    match Source::open(&name, file).and_then(|source| library.check_source(source)) {
        Ok(()) => String::new(),
        Err(problems) => format!("{problems}\n"),
    }
}

/// What is said of each of the broken files, by name; worked out once for all tests.
fn said_of_all() -> &'static BTreeMap<String, String> {
    static SAID: OnceLock<BTreeMap<String, String>> = OnceLock::new();
    SAID.get_or_init(|| {
        let (library, folder) = (library(), folder());
        let names = names(&folder, ".ron").into_iter();
        names
            .map(|name| {
                let said = said(&library, &folder.join(format!("{name}.ron")));
                (name, said)
            })
            .collect()
    })
}

/// Names of the files with this ending, without it.
fn names(folder: &Path, ending: &str) -> BTreeSet<String> {
    fs::read_dir(folder)
        .expect("the broken files")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| Some(name.strip_suffix(ending)?.to_owned()))
        .collect()
}

/// Compares what is said of one file with the text beside it.
fn compare(said: &str, expected: &str) -> Result<(), String> {
    if said.is_empty() {
        return Err("nothing is said of it".to_owned());
    }
    if expected.trim().is_empty() {
        return Err(format!("no message stands beside it; said is\n{said}"));
    }
    // A checkout may have turned the line ends.
    if said == expected.replace("\r\n", "\n") {
        Ok(())
    } else {
        Err(format!("expected\n{expected}said\n{said}"))
    }
}

/// Compares all files of a folder with what is said of them; gives a line or more for each that
/// differs.
fn differences(folder: &Path, said: impl Fn(&str) -> String) -> Vec<String> {
    let (files, texts) = (names(folder, ".ron"), names(folder, ".txt"));
    let mut differences: Vec<String> = files
        .symmetric_difference(&texts)
        .map(|name| format!("{name}: file or message is missing"))
        .collect();
    for name in files.intersection(&texts) {
        let said = said(name);
        let expected = fs::read_to_string(folder.join(format!("{name}.txt"))).expect("a text");
        if let Err(difference) = compare(&said, &expected) {
            differences.push(format!("{name}: {difference}"));
        }
    }
    differences
}

#[test]
fn every_broken_file_is_told_as_the_text_beside_it_says() {
    let folder = folder();
    if std::env::var_os("JETYARD_WRITE_BROKEN").is_some() {
        for (name, said) in said_of_all() {
            fs::write(folder.join(format!("{name}.txt")), said).expect("a file");
        }
    }
    assert!(said_of_all().len() >= 120);
    let differences = differences(&folder, |name| said_of_all()[name].clone());
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}

#[test]
fn the_data_the_broken_files_are_checked_against_is_itself_in_order() {
    for file in library().check() {
        assert!(file.problems.is_empty(), "{}", file.problems);
    }
}

#[test]
fn the_comparison_fails_on_every_wrong_expectation() {
    let folder = folder();
    for (name, said) in said_of_all() {
        let right = fs::read_to_string(folder.join(format!("{name}.txt"))).expect("a text");
        assert_eq!(compare(said, &right), Ok(()), "{name}");
        let first_line = right.lines().next().unwrap_or_default();
        let other_column = right.replacen(':', ":1", 2);
        let without_its_end = &right[..right.len() - 2];
        let more = format!("{right}{first_line}\n");
        for wrong in ["", " \n", first_line, &other_column, without_its_end, &more] {
            assert!(
                compare(said, wrong).is_err(),
                "{name}: {wrong:?} is taken for right"
            );
        }
        // A file that is found to be in order is no broken file.
        assert!(compare("", &right).is_err(), "{name}");
    }
}

#[test]
fn the_comparison_notices_files_without_messages_and_files_in_order() {
    let library = library();
    let copy = tempfile::tempdir().expect("a folder of our own");
    let put = |name: &str, text: &[u8]| fs::write(copy.path().join(name), text).expect("a file");
    let of = |name: &str| said(&library, &copy.path().join(format!("{name}.ron")));
    let failing = || differences(copy.path(), of).len();
    put("empty.ron", b"");
    assert_eq!(failing(), 1, "a file without its message");
    put(
        "empty.txt",
        said(&library, &copy.path().join("empty.ron")).as_bytes(),
    );
    assert_eq!(failing(), 0);
    put("gone.txt", b"gone.ron: is not there\n");
    assert_eq!(failing(), 1, "a message without its file");
    let good = fs::read(folder().join("library/catalogue/guns.ron")).expect("a good file");
    put("gone.ron", &good);
    assert_eq!(failing(), 1, "a file in order");
}

#[test]
fn floods_of_mistakes_are_told_in_seconds_and_cut() {
    let library = library();
    let many = 150_000;
    let unknown: String = (0..many).map(|i| format!("leve{i}: 1, ")).collect();
    let twice = "id: 1, ".repeat(many);
    let strangers = "\"strangr\", ".repeat(many);
    for (text, kept) in [
        (format!("Level({unknown})"), 200),
        (format!("Level({twice})"), 200),
        (format!("Level(objectives: [{strangers}])"), 1),
    ] {
        let begins = text[..30].to_owned();
        let begun = Instant::now();
        let refused = Source::new("flood.ron", text.into_bytes())
            .and_then(|source| library.check_source(source))
            .expect_err("a flood");
        assert!(
            refused.len() >= kept && refused.len() <= 250,
            "{begins}: {}",
            refused.len()
        );
        assert!(
            begun.elapsed().as_secs() < 10,
            "{begins}: {:?}",
            begun.elapsed()
        );
    }
}

#[test]
fn ten_megabytes_of_brackets_are_refused_at_once_and_in_one_line() {
    let library = library();
    let size = 10 * 1024 * 1024;
    let texts = [
        "[".repeat(size),
        "Level(".repeat(size / 6),
        format!("Nozzles([{}])", "[],".repeat(size / 3 - 10)),
        format!("Nozzles([{}])", "(".repeat(size - 20)),
        "/*".repeat(size / 2),
    ];
    for text in texts {
        let begins = text[..20].to_owned();
        let begun = Instant::now();
        let refused = Source::new("brackets.ron", text.into_bytes())
            .and_then(|source| library.check_source(source))
            .expect_err("brackets and no level");
        assert_eq!(refused.len(), 1, "{begins}: {refused}");
        let problem = refused.iter().next().expect("a problem");
        assert!(problem.place.is_some(), "{begins}: {problem}");
        // A slow machine in the dev profile; it takes tenths of a second.
        assert!(
            begun.elapsed().as_secs() < 10,
            "{begins}: {:?}",
            begun.elapsed()
        );
    }
}
