//! Walks the sources: every id that code names has a text, and every text is named by code.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use fluent_bundle::FluentResource;
use fluent_syntax::ast;

use super::{AREAS, Language, language};

/// Messages of one language: id, and the area of the file it stands in.
fn messages(language: Language) -> BTreeMap<String, &'static str> {
    let mut found = BTreeMap::new();
    for (area, source) in language.sources() {
        let resource = FluentResource::try_new(source.to_owned())
            .unwrap_or_else(|(_, errors)| panic!("en/{area}.ftl is no Fluent: {errors:?}"));
        for entry in resource.entries() {
            if let ast::Entry::Message(message) = entry {
                let id = message.id.name.to_owned();
                assert!(message.value.is_some(), "{id} has no text");
                assert!(
                    found.insert(id.clone(), area).is_none(),
                    "{id} is there twice"
                );
            }
        }
    }
    found
}

fn is_id(text: &str) -> bool {
    let mut parts = text.split('-');
    AREAS.contains(&parts.next().unwrap_or_default())
        && text.contains('-')
        && parts.all(|p| {
            !p.is_empty()
                && p.bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
        })
}

/// An id that code builds, such as `"rules-{id}-title"`: its fixed pieces.
fn pieces(text: &str) -> Option<Vec<String>> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        let close = open + rest[open..].find('}')?;
        pieces.push(rest[..open].to_owned());
        rest = &rest[close + 1..];
    }
    pieces.push(rest.to_owned());
    (pieces.len() > 1 && is_id(&pieces.join("x"))).then_some(pieces)
}

fn fits(id: &str, pieces: &[String]) -> bool {
    let [first, middle @ .., last] = pieces else {
        return false;
    };
    let Some(mut rest) = id.strip_prefix(first.as_str()) else {
        return false;
    };
    for piece in middle {
        match rest.get(1..).and_then(|r| r.find(piece.as_str())) {
            Some(at) => rest = &rest[1 + at + piece.len()..],
            None => return false,
        }
    }
    rest.len() > last.len() && rest.ends_with(last.as_str())
}

/// The string literals of Rust source, comments left out. Escapes stay as written: no id has any.
fn string_literals(source: &str) -> Vec<String> {
    let bytes = source.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let rest = &source[at..];
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
        } else if rest.starts_with("/*") {
            at += rest.find("*/").map_or(rest.len(), |end| end + 2);
        } else if let Some((hashes, open)) = raw_string(rest) {
            let close = format!("\"{}", "#".repeat(hashes));
            let body = &rest[open..];
            let end = body.find(&close).unwrap_or(body.len());
            found.push(body[..end].to_owned());
            at += open + end + close.len();
        } else if bytes[at] == b'"' {
            let mut end = at + 1;
            while end < bytes.len() && bytes[end] != b'"' {
                end += if bytes[end] == b'\\' { 2 } else { 1 };
            }
            let end = end.min(bytes.len());
            found.push(String::from_utf8_lossy(&bytes[at + 1..end]).into_owned());
            at = end + 1;
        } else if rest.starts_with("'\\") {
            // A character written with an escape; it may be a quotation mark.
            at += 3;
            while at < bytes.len() && bytes[at] != b'\'' {
                at += 1;
            }
            at += 1;
        } else if rest.starts_with("'\"'") {
            at += 3;
        } else {
            at += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    found
}

/// `r#"` and the like: count of `#` and where the text begins.
fn raw_string(rest: &str) -> Option<(usize, usize)> {
    let after = rest.strip_prefix('r')?;
    let hashes = after.bytes().take_while(|b| *b == b'#').count();
    after[hashes..]
        .starts_with('"')
        .then_some((hashes, hashes + 2))
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    let entries = fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for entry in entries {
        let path = entry.expect("a readable folder").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn every_text_asked_for_exists_and_every_text_is_asked_for() {
    let messages = messages(language());
    let game = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut files = Vec::new();
    rust_files(&game, &mut files);
    // The tests below name ids that do not exist.
    files.retain(|f| !f.ends_with("text/coverage.rs"));
    assert!(
        files.len() > 5,
        "the sources are not where this test looks: {}",
        game.display()
    );

    let mut asked = BTreeSet::new();
    let mut built = Vec::new();
    let mut missing = Vec::new();
    for file in files {
        let source = fs::read_to_string(&file).expect("source text");
        for literal in string_literals(&source) {
            if let Some(pieces) = pieces(&literal) {
                built.push(pieces);
            } else if is_id(&literal) {
                if !messages.contains_key(&literal) {
                    missing.push(format!("{literal} in {}", file.display()));
                }
                asked.insert(literal);
            }
        }
    }
    assert!(missing.is_empty(), "no text for: {missing:#?}");

    let unused: Vec<_> = messages
        .keys()
        .filter(|id| !asked.contains(*id) && !built.iter().any(|p| fits(id, p)))
        .collect();
    assert!(
        unused.is_empty(),
        "texts that nothing asks for: {unused:#?}"
    );
}

#[test]
fn every_text_stands_in_the_file_of_its_area() {
    for (id, area) in messages(language()) {
        assert!(
            is_id(&id),
            "{id} is no id: area, then lower-case words, joined by -"
        );
        assert!(
            id.starts_with(&format!("{area}-")),
            "{id} stands in en/{area}.ftl"
        );
    }
}

#[test]
fn the_walk_sees_ids_in_code_and_not_in_comments() {
    let source = r##"
        // say("cli-in-comment", &[])
        /* "cli-in-block" */
        let c = '"'; let d = '\''; let life: &'static str = "cli-one";
        say("cli-two", &[("n", &"a \" b")]);
        let raw = r#"cli-three"#;
    "##;
    let ids: Vec<_> = string_literals(source)
        .into_iter()
        .filter(|l| is_id(l))
        .collect();
    assert_eq!(ids, ["cli-one", "cli-two", "cli-three"]);
}

#[test]
fn a_built_id_stands_for_all_that_fit_it() {
    let built = pieces("rules-{id}-title").expect("an id that code builds");
    assert!(fits("rules-start_unloaded-title", &built));
    assert!(!fits("rules-start_unloaded-why", &built));
    assert!(!fits("rules--title", &built));
    assert_eq!(pieces("{level}: done"), None);
    assert_eq!(pieces("rules-plain"), None);
}
