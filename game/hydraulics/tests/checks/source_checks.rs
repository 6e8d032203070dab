//! Every formula in the docs names where it is from by a key of `SOURCES.md`.
//!
//! A doc block is a run of `///` or of `//!` lines. A formula is a text in single backticks that
//! has
//!
//! - an operator: `=`, `*`, `/`, `^` or `+` anywhere, or `-`, `<`, `>`, `<=`, `>=` between blanks,
//!   or a minus sign in front,
//! - or a function of mathematics with its bracket, such as `sqrt(`,
//! - or two names with a blank between them, which is a product: `m v`,
//!
//! and that is no code: no `::`, `->`, `=>`, `==`, `!=`, no quote, attribute or name of a file. Link
//! texts (`[` before the backtick) are code. A key stands in escaped square brackets, so that
//! rustdoc does not look for an item of its name. A formula without backticks is not found.
//!
//! Private items and modules are held to the same as public ones.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const FUNCTIONS: [&str; 9] = [
    "sqrt(", "exp(", "log(", "log2(", "log10(", "ln(", "sin(", "cos(", "tan(",
];

/// A run of doc lines.
struct Block {
    line: usize,
    text: String,
}

fn blocks(source: &str) -> Vec<Block> {
    let mut found: Vec<Block> = Vec::new();
    let (mut running, mut fenced) = (None, false);
    for (at, line) in source.lines().enumerate() {
        let line = line.trim_start();
        let kind = ["///", "//!"].into_iter().find(|k| line.starts_with(k));
        let Some(mark) = kind else {
            (running, fenced) = (None, false);
            continue;
        };
        if running != kind {
            fenced = false;
            found.push(Block {
                line: at + 1,
                text: String::new(),
            });
        }
        running = kind;
        let words = &line[mark.len()..];
        if words.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if let (false, Some(block)) = (fenced, found.last_mut()) {
            block.text.push_str(words);
            block.text.push('\n');
        }
    }
    found
}

/// Texts in single backticks that are no link.
fn quoted(text: &str) -> Vec<String> {
    let parts: Vec<&str> = text.split('`').collect();
    let inside = parts.windows(2).skip(1).step_by(2);
    let before = parts.iter().step_by(2);
    let both = inside.zip(before);
    both.filter(|(_, before)| !before.ends_with('['))
        .map(|(pair, _)| pair[0].split_whitespace().collect::<Vec<_>>().join(" "))
        .collect()
}

fn is_formula(text: &str) -> bool {
    let code = ["::", "->", "=>", "==", "!=", "\"", "#["];
    if code.iter().any(|mark| text.contains(mark)) || is_file(text) {
        return false;
    }
    let anywhere = text.contains(['=', '*', '/', '^', '+']);
    let between = [" - ", " < ", " > ", " <= ", " >= "];
    let between = between.iter().any(|mark| text.contains(mark));
    let minus = text.starts_with('-') && !text.starts_with("--") && text.len() > 1;
    let function = FUNCTIONS.iter().any(|name| text.contains(name));
    let named = |word: &str| {
        word.starts_with(|c: char| c.is_alphabetic())
            && word
                .chars()
                .all(|c| c.is_alphanumeric() || "_'|".contains(c))
    };
    let product = text.contains(' ') && text.split(' ').filter(|word| named(word)).count() >= 2;
    anywhere || between || minus || function || product
}

fn is_file(text: &str) -> bool {
    let ending = text.rsplit_once('.').map(|(_, ending)| ending);
    let known = ["csv", "md", "py", "rs", "toml"];
    !text.contains(' ') && ending.is_some_and(|ending| known.contains(&ending))
}

fn is_key(text: &str) -> bool {
    let small = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    !text.is_empty() && text.chars().all(small)
}

/// Whatever stands in escaped square brackets.
fn keys(text: &str) -> Vec<String> {
    let opened = text.split("\\[").skip(1);
    opened
        .filter_map(|rest| rest.split_once("\\]"))
        .map(|(key, _)| key.to_owned())
        .collect()
}

/// What is wrong with a list of sources, and its keys with how often each is named.
fn listed(list: &str, faults: &mut Vec<String>) -> BTreeMap<String, u32> {
    let mut known = BTreeMap::new();
    for (at, line) in list.lines().enumerate() {
        let Some(entry) = line.strip_prefix("- ") else {
            continue;
        };
        let parts = entry.strip_prefix('[').and_then(|e| e.split_once("] "));
        match parts {
            Some((key, text)) if is_key(key) && !text.trim().is_empty() => {
                if known.insert(key.to_owned(), 0).is_some() {
                    faults.push(format!("SOURCES.md:{}: {key} stands twice", at + 1));
                }
            }
            _ => faults.push(format!("SOURCES.md:{}: no key and text", at + 1)),
        }
    }
    known
}

/// All faults of sources, as name and text, against a list.
fn faults(list: &str, sources: &[(String, String)]) -> Vec<String> {
    let mut faults = Vec::new();
    let mut known = listed(list, &mut faults);
    for (name, text) in sources {
        for block in blocks(text) {
            let place = format!("{name}:{}", block.line);
            let named = keys(&block.text);
            for key in &named {
                match known.get_mut(key) {
                    Some(times) => *times += 1,
                    None => faults.push(format!("{place}: nobody knows the key {key}")),
                }
            }
            let formula = quoted(&block.text).into_iter().find(|q| is_formula(q));
            if let (Some(formula), true) = (formula, named.is_empty()) {
                faults.push(format!("{place}: `{formula}` names no source"));
            }
        }
    }
    for (key, times) in known {
        if times == 0 {
            faults.push(format!("SOURCES.md: nothing uses {key}"));
        }
    }
    faults
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn crate_sources() -> Vec<(String, String)> {
    let mut folders = vec![PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder of sources") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push((path.display().to_string(), read(&path)));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn every_formula_of_the_crate_names_a_known_source() {
    let list = read(&PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("SOURCES.md"));
    let sources = crate_sources();
    assert!(sources.len() >= 27, "{}", sources.len());
    // A finder that sees little would find little to blame.
    let all = sources.iter().flat_map(|(_, text)| blocks(text));
    let formulas = all.flat_map(|block| quoted(&block.text));
    let formulas = formulas.filter(|text| is_formula(text)).count();
    assert!(formulas >= 60, "{formulas}");
    let faults = faults(&list, &sources);
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

/// The faults of one source against a list of two keys, both of which it should use.
fn of(source: &str) -> Vec<String> {
    let list = "# Sources\n\n- [newton] N.\n- [wave_1] W.\n";
    let used = "/// Uses: \\[newton\\], \\[wave_1\\].\nfn used() {}\n".to_owned();
    let sources = [
        ("used.rs".to_owned(), used),
        ("a.rs".to_owned(), source.to_owned()),
    ];
    faults(list, &sources)
}

#[test]
fn a_formula_without_a_key_is_found_wherever_it_stands() {
    for wrong in [
        "/// Force: `F = m a`.\npub fn force() {}",
        "//! Force: `F = m a`.\n",
        "    /// Momentum, `m v`.\n    pub fn momentum() {}",
        "/// Of `sqrt(Ke)`.\nstruct Private;",
        "/// Broken over `a lines\n/// end`, one product.\npub fn f() {}",
        "/// Here `p <= q` holds.\npub fn f() {}",
        "/// One of `-x`.\npub fn f() {}",
        // The key of the block above or below is not its own.
        "/// \\[newton\\]\nfn a() {}\n/// `F = m a`\nfn b() {}",
        "//! \\[newton\\]\n/// `F = m a`\nfn b() {}",
        // Nor does the key count in a bare bracket, or in a comment.
        "/// `F = m a`, [newton]\nfn b() {}",
        "// \\[newton\\]\n/// `F = m a`\nfn b() {}",
    ] {
        let found = of(wrong);
        assert_eq!(found.len(), 1, "{wrong}: {found:?}");
        assert!(found[0].contains("names no source"), "{found:?}");
    }
    let found = of("fn a() {}\n\n/// One.\n/// `F = m a`\nfn b() {}");
    assert_eq!(found, ["a.rs:3: `F = m a` names no source"]);
}

#[test]
fn what_is_no_formula_or_has_its_key_passes() {
    for right in [
        "/// Force: `F = m a`. Source: \\[newton\\].\npub fn force() {}",
        "/// `F = m a`\n///\n/// Sources: \\[newton\\], \\[wave_1\\].\nfn b() {}",
        "/// Calls [`Line::step`] of `outlet.rs` with `(share, Pa)`, `dt_s` and `f64`.\nfn b() {}",
        "/// See `tests/reference/water_table.py` and `Vec<u8>`.\nfn b() {}",
        "/// ```\n/// let a = b / c;\n/// ```\nfn b() {}",
        "// A comment: `F = m a`.\nfn b() {}",
        "/// Twice as much, 64/Re without backticks.\nfn b() {}",
    ] {
        assert_eq!(of(right), Vec::<String>::new(), "{right}");
    }
}

#[test]
fn a_key_that_is_unknown_unused_doubled_or_malformed_is_refused() {
    let unknown = of("/// `F = m a`, \\[newtown\\]\nfn b() {}");
    assert_eq!(unknown, ["a.rs:1: nobody knows the key newtown"]);

    let source = |text: &str| [("a.rs".to_owned(), text.to_owned())];
    let uses = source("/// \\[newton\\]\nfn b() {}");
    let unused = faults("- [newton] N.\n- [idle] I.\n", &uses);
    assert_eq!(unused, ["SOURCES.md: nothing uses idle"]);
    // Used in a comment or in code is not used in the docs.
    let elsewhere = source("/// \\[newton\\]\nfn b() {} // \\[idle\\]\n");
    assert_eq!(faults("- [newton] N.\n- [idle] I.\n", &elsewhere), unused);

    let doubled = faults("- [newton] N.\n- [newton] M.\n", &uses);
    assert_eq!(doubled, ["SOURCES.md:2: newton stands twice"]);
    for bad in [
        "- [Newton] N.",
        "- newton N.",
        "- [] N.",
        "- [new ton] N.",
        "- [ok]",
    ] {
        let found = faults(&format!("- [newton] N.\n{bad}\n"), &uses);
        assert_eq!(found, ["SOURCES.md:2: no key and text"], "{bad}");
    }
}
