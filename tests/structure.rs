//! What holds the project together, read from its own files: who may depend on whom, what code
//! that makes marks may not touch, and whether the papers beside the code still tell the truth.
//!
//! The compiler guards most of the arrows by itself, because a crate cannot use what its
//! manifest does not list. These tests guard the manifests. Each check is a function from text
//! to faults, so that it can be shown a wrong text and has to refuse it: a check that cannot
//! fail is worth nothing.

#[path = "structure/manifest.rs"]
mod manifest;
#[path = "structure/papers.rs"]
mod papers;
#[path = "structure/source.rs"]
mod source;

use manifest::Manifest;
use source::Source;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The crates from the bottom up, each with those of ours that it may use. Arrows point down.
const ARROWS: [(&str, &[&str]); 9] = [
    ("hydraulics", &[]),
    ("mechanics", &[]),
    ("qualify", &["hydraulics", "mechanics"]),
    // People of the program must not be able to look at observations, faults or marks.
    ("crew", &[]),
    ("training", &["crew", "hydraulics"]),
    ("records", &["crew", "training"]),
    ("yard", &["crew", "hydraulics", "mechanics", "training"]),
    ("scene", &["crew", "qualify", "records", "training", "yard"]),
    (
        "jetyard",
        &[
            "crew",
            "hydraulics",
            "mechanics",
            "qualify",
            "records",
            "scene",
            "training",
            "yard",
        ],
    ),
];

/// Crates that know no engine, no window and no drawing.
const ENGINE_FREE: [&str; 6] = [
    "hydraulics",
    "mechanics",
    "qualify",
    "crew",
    "training",
    "records",
];

/// Crates in which the same inputs must give the same bits.
const DETERMINISTIC: [&str; 7] = [
    "hydraulics",
    "mechanics",
    "qualify",
    "crew",
    "training",
    "records",
    "yard",
];

/// Crates that read and write nothing: what they know, they are given.
const WITHOUT_IO: [&str; 4] = ["hydraulics", "mechanics", "qualify", "crew"];

/// How packages of engines, windows and drawing begin.
const ENGINES: [&str; 8] = [
    "avian", "bevy", "parry", "rapier", "smithay", "wgpu", "winit", "x11",
];

/// Most lines of a source file.
const LINES_MOST: usize = 700;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// All files below a folder, in the order of their names.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display())) {
            let path = entry.expect("a folder that can be listed").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// Everything of the project that is text and ours: sources, data, papers, settings.
fn project_files() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = [".ci", "assets", "game", "levels", "tests"]
        .iter()
        .map(|folder| root().join(folder))
        // A folder that is still empty is not kept by git.
        .filter(|folder| folder.is_dir())
        .flat_map(|folder| files(&folder))
        .collect();
    for name in ["Cargo.toml", "DEVELOPERS.md", "README.md", "clippy.toml"] {
        found.push(root().join(name));
    }
    found
}

/// Folders of our crates, by name.
fn crates() -> BTreeMap<String, PathBuf> {
    let mut found = BTreeMap::from([("jetyard".to_owned(), root())]);
    for entry in fs::read_dir(root().join("game")).expect("the folder of the crates") {
        let folder = entry.expect("a folder that can be listed").path();
        if folder.join("Cargo.toml").is_file() {
            let name = folder.file_name().expect("a name").to_string_lossy();
            found.insert(name.into_owned(), folder);
        }
    }
    found
}

/// The sources of a crate that end up in the program: neither its tests nor files that are only
/// compiled for tests.
fn sources(name: &str, folder: &Path) -> Vec<(PathBuf, Source)> {
    let from = match name {
        "jetyard" => vec![root().join("game/main.rs"), root().join("game/cli")],
        _ => vec![folder.join("src")],
    };
    let all: Vec<(PathBuf, Source)> = from
        .iter()
        .flat_map(|path| {
            if path.is_dir() {
                files(path)
            } else {
                vec![path.clone()]
            }
        })
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .map(|path| {
            let source = Source::of(&read(&path));
            (path, source)
        })
        .collect();
    let for_tests: Vec<PathBuf> = all
        .iter()
        .flat_map(|(path, source)| {
            let inside = source::folder_of_modules(path);
            source.test_modules.iter().map(move |m| inside.join(m))
        })
        .collect();
    all.into_iter()
        .filter(|(path, _)| {
            let module = path.with_extension("");
            !for_tests.iter().any(|t| module.starts_with(t))
        })
        .collect()
}

fn shown(path: &Path) -> String {
    let short = path.strip_prefix(root()).unwrap_or(path);
    short.display().to_string()
}

#[track_caller]
fn none(faults: Vec<String>) {
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

/// What a crate may use of ours; nothing for a crate that no arrow is drawn for.
fn allowed(name: &str) -> Option<&'static [&'static str]> {
    ARROWS.iter().find(|(n, _)| *n == name).map(|(_, may)| *may)
}

fn is_engine(package: &str) -> bool {
    ENGINES.iter().any(|engine| package.starts_with(engine))
}

/// What is wrong with what a manifest lists. `packages` gives the package behind a name that the
/// workspace renames.
fn manifest_faults(
    name: &str,
    manifest: &Manifest,
    packages: &BTreeMap<String, String>,
) -> Vec<String> {
    let Some(may) = allowed(name) else {
        return vec![format!("{name}: no arrow says what it may use")];
    };
    let mut faults = Vec::new();
    for dependency in manifest.dependencies() {
        let package = packages.get(&dependency.package);
        let package = package.unwrap_or(&dependency.package).as_str();
        if allowed(package).is_some() && !may.contains(&package) {
            faults.push(format!("{name} must not use {package}: arrows point down"));
        }
        if ENGINE_FREE.contains(&name) && is_engine(package) {
            faults.push(format!("{name} must not use {package}: it knows no engine"));
        }
        let chance = package.starts_with("rand") || package == "getrandom";
        if chance && !dependency.for_tests && ["hydraulics", "mechanics"].contains(&name) {
            faults.push(format!("{name} must not use {package}: seeds come in"));
        }
    }
    if manifest.value("lints", "workspace") != Some("true") {
        faults.push(format!("{name} does not follow the lints of the workspace"));
    }
    faults
}

/// The packages behind the names of the workspace's dependencies.
fn packages(workspace: &Manifest) -> BTreeMap<String, String> {
    workspace.packages("workspace.dependencies")
}

#[test]
fn every_crate_is_a_member_and_is_tested_by_default() {
    let workspace = Manifest::of(&read(&root().join("Cargo.toml")));
    let listed = |key| -> BTreeSet<String> {
        let list = workspace.value("workspace", key).unwrap_or_default();
        manifest::texts(list).into_iter().collect()
    };
    let there: BTreeSet<String> = crates()
        .into_keys()
        .filter(|name| name != "jetyard")
        .map(|name| format!("game/{name}"))
        .collect();
    assert!(there.len() >= 6, "{there:?}");
    assert_eq!(listed("members"), there);
    let mut with_root = there;
    with_root.insert(".".to_owned());
    assert_eq!(listed("default-members"), with_root);
    let drawn: BTreeSet<String> = ARROWS.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(drawn, crates().into_keys().collect());
}

#[test]
fn the_arrows_themselves_point_down() {
    for (place, (name, may)) in ARROWS.iter().enumerate() {
        for lower in *may {
            let below = ARROWS[..place].iter().any(|(n, _)| n == lower);
            assert!(below, "{name} -> {lower}");
        }
    }
}

#[test]
fn manifests_list_only_what_the_arrows_allow() {
    let packages = packages(&Manifest::of(&read(&root().join("Cargo.toml"))));
    let mut faults = Vec::new();
    for (name, folder) in crates() {
        let manifest = Manifest::of(&read(&folder.join("Cargo.toml")));
        assert_eq!(manifest.value("package", "name"), Some(name.as_str()));
        faults.extend(manifest_faults(&name, &manifest, &packages));
    }
    none(faults);
}

#[test]
fn a_manifest_that_lists_too_much_is_refused() {
    let workspace = "[workspace.dependencies]\nharmless = { package = \"bevy\", version = \"1\" }";
    let packages = packages(&Manifest::of(workspace));
    let faults = |name: &str, dependencies: &str| {
        let text = format!("{dependencies}\n[lints]\nworkspace = true\n");
        manifest_faults(name, &Manifest::of(&text), &packages).len()
    };
    assert_eq!(
        faults("training", "[dependencies]\ncrew.workspace = true"),
        0
    );
    for (name, dependencies) in [
        ("crew", "[dependencies]\ntraining.workspace = true"),
        (
            "crew",
            "[dev-dependencies]\ntraining = { path = \"../training\" }",
        ),
        ("training", "[dependencies]\nyard = { workspace = true }"),
        ("training", "[dependencies.records]\nworkspace = true"),
        (
            "hydraulics",
            "[target.'cfg(unix)'.dependencies]\ncrew.workspace = true",
        ),
        (
            "hydraulics",
            "[build-dependencies]\nmechanics.workspace = true",
        ),
        ("hydraulics", "[dependencies]\nrand.workspace = true"),
        (
            "mechanics",
            "[dependencies]\nw = { package = \"yard\", path = \"../yard\" }",
        ),
        ("mechanics", "[dependencies]\nbevy_math = \"0.19\""),
        ("records", "[dependencies]\nharmless.workspace = true"),
        (
            "records",
            "[dependencies]\na = { version = \"1\", features = [\n  \"b\",\n] }\nyard.workspace = true",
        ),
        ("scenery", "[dependencies]"),
    ] {
        assert_eq!(faults(name, dependencies), 1, "{name}: {dependencies}");
    }
    assert_eq!(
        manifest_faults("crew", &Manifest::of("[dependencies]"), &packages).len(),
        1
    );
}

/// Every engine that some chain of packages brings into an engine-free crate.
fn engines_behind(lock: &str) -> Vec<String> {
    let needs = manifest::lock(lock);
    let mut faults = Vec::new();
    for name in ENGINE_FREE {
        let mut seen = BTreeSet::from([name]);
        let mut left = vec![name];
        while let Some(package) = left.pop() {
            for next in needs.get(package).into_iter().flatten() {
                if is_engine(next) {
                    faults.push(format!("{name} gets {next} by way of {package}"));
                }
                if seen.insert(next.as_str()) {
                    left.push(next.as_str());
                }
            }
        }
    }
    faults
}

#[test]
fn no_engine_comes_in_behind_an_engine_free_crate() {
    let lock = read(&root().join("Cargo.lock"));
    let needs = manifest::lock(&lock);
    for name in ENGINE_FREE {
        assert!(needs.contains_key(name), "{name} is not in Cargo.lock");
    }
    assert!(
        needs["yard"].contains("bevy"),
        "the reader of Cargo.lock is blind"
    );
    none(engines_behind(&lock));
}

#[test]
fn an_engine_behind_an_innocent_package_is_refused() {
    let package = |name: &str, needs: &str| {
        format!(
            "[[package]]\nname = \"{name}\"\nversion = \"1.0.0\"\ndependencies = [\n{needs}]\n\n"
        )
    };
    let lock = package("crew", " \"serde\",\n \"innocent 1.0.0\",\n")
        + &package("innocent", " \"bevy_math\",\n")
        + &package("bevy_math", "");
    let faults = engines_behind(&lock);
    assert_eq!(faults, ["crew gets bevy_math by way of innocent"]);
}

/// What a source of a crate must not name.
fn source_faults(name: &str, source: &Source) -> Vec<String> {
    let may = allowed(name).unwrap_or_default();
    let mut faults = Vec::new();
    for root in source.roots() {
        if root != name && allowed(&root).is_some() && !may.contains(&root.as_str()) {
            faults.push(format!("{root}: arrows point down"));
        }
        if ENGINE_FREE.contains(&name) && is_engine(&root) {
            faults.push(format!("{root}: this crate knows no engine"));
        }
    }
    if DETERMINISTIC.contains(&name) {
        faults.extend(source.without_order());
        faults.extend(source.platform_mathematics());
        for module in ["time", "thread"] {
            if source.names_of_std(module) {
                faults.push(format!("std::{module}: no clock, no threads"));
            }
        }
    }
    if WITHOUT_IO.contains(&name) {
        for module in ["env", "fs", "io", "net", "process"] {
            if source.names_of_std(module) {
                faults.push(format!("std::{module}: what it knows, it is given"));
            }
        }
    }
    faults
}

#[test]
fn sources_name_only_what_their_crate_may() {
    let mut faults = Vec::new();
    let mut tests_left_out = 0;
    for (name, folder) in crates() {
        let sources = sources(&name, &folder);
        assert!(!sources.is_empty(), "{name} has no sources");
        for (path, source) in &sources {
            tests_left_out += source.test_modules.len();
            let wrong = source_faults(&name, source);
            faults.extend(wrong.iter().map(|w| format!("{}: {w}", shown(path))));
        }
    }
    assert!(
        tests_left_out > 10,
        "the reader of sources does not see tests"
    );
    none(faults);
}

#[test]
fn a_source_that_names_too_much_is_refused() {
    let faults = |name: &str, text: &str| source_faults(name, &Source::of(text)).len();
    for (name, wrong) in [
        ("crew", "use training::Observation;"),
        ("crew", "fn f() -> training::Mark { todo }"),
        ("training", "pub use ::yard::Yard;"),
        ("training", "extern crate yard;"),
        ("training", "use {serde::Serialize, records::Sheet};"),
        ("hydraulics", "use bevy::prelude::*;"),
        ("records", "use bevy_rapier3d as r;"),
        ("training", "use std::time::Instant;"),
        ("training", "use std::{fs, time::Duration};"),
        ("yard", "fn f() { ::std::thread::yield_now(); }"),
        ("yard", "use std::collections::{BTreeMap, HashMap};"),
        ("mechanics", "fn f(x: f64) -> f64 { x.sin() }"),
        ("mechanics", "fn f(x: f64) -> f64 { f64::powi(x, 2) }"),
        (
            "yard",
            "fn f(x: f32) -> f32 {\n    x\n        .powf(1.5)\n}",
        ),
        ("crew", "use std::fs;"),
        ("hydraulics", "fn f() { std::env::var(\"X\").ok(); }"),
        // A test in the middle of a file does not hide what comes behind it.
        (
            "crew",
            "#[cfg(test)]\nmod tests { fn f() { '}'; } }\nuse yard::Yard;",
        ),
    ] {
        assert_eq!(faults(name, wrong), 1, "{name}: {wrong}");
    }
    for (name, fine) in [
        (
            "training",
            "use crew::Tick; use hydraulics::Circuit; use std::fs;",
        ),
        (
            "yard",
            "use bevy::prelude::*; fn f(x: f64) -> f64 { libm::sin(x).sqrt() }",
        ),
        ("jetyard", "use std::time::Instant; use records::Sheet;"),
        // Words, remarks and modules of one's own are no imports.
        (
            "crew",
            "//! As `training::Mark`.\n/* use yard::Yard; */ const A: &str = \"std::time\";",
        ),
        (
            "crew",
            "use crate::training::Thing; use super::yard::Other;",
        ),
        (
            "hydraulics",
            "const A: &str = r#\"use bevy::x; \"# ; fn f<'a>(x: &'a str) -> char { '\"' }",
        ),
        (
            "mechanics",
            "#[cfg(test)]\nmod tests { use std::time::Instant; fn f(x: f64) { x.sin(); } }",
        ),
        (
            "mechanics",
            "#[cfg(test)]\nuse std::{fs, time};\nfn f(log: f64) -> f64 { log }",
        ),
    ] {
        assert_eq!(faults(name, fine), 0, "{name}: {fine}");
    }
}

#[test]
fn modules_for_tests_are_found_where_they_lie() {
    let source =
        Source::of("mod a;\n#[cfg(test)]\npub(crate) mod reference;\n#[cfg(test)]\nmod b { }");
    assert_eq!(source.test_modules, ["reference", "b"]);
    for (file, folder) in [
        ("x/lib.rs", "x"),
        ("x/main.rs", "x"),
        ("x/mod.rs", "x"),
        ("x/y.rs", "x/y"),
    ] {
        assert_eq!(
            source::folder_of_modules(Path::new(file)),
            Path::new(folder)
        );
    }
}

#[test]
fn every_path_that_the_papers_name_is_there() {
    let mut faults = Vec::new();
    for name in ["README.md", "DEVELOPERS.md"] {
        let text = read(&root().join(name));
        let paths = papers::paths(&text);
        assert!(
            paths.len() > 5,
            "{name} names no paths: the reader is blind"
        );
        let missing = paths.iter().filter(|p| !root().join(p).exists());
        faults.extend(missing.map(|p| format!("{name} names {p}, which is not there")));
    }
    none(faults);
}

#[test]
fn a_paper_that_names_what_is_gone_is_caught() {
    let text = "See `game/gone.rs`, `README.md`, `levels/<id>/level.ron`, [this](tests/no.md) and \
                `crew::Tick`, `cargo test`, `--out DIR`, [that](https://example.org/a.md).\n\
                ```\nnot/a/path.rs\n```\n`assets/gone/`";
    let found = papers::paths(text);
    assert_eq!(
        found,
        [
            "game/gone.rs",
            "README.md",
            "levels",
            "assets/gone/",
            "tests/no.md"
        ]
    );
}

#[test]
fn nothing_unfinished_and_nothing_of_one_machine_is_left_in_the_project() {
    let mut faults = Vec::new();
    let mut texts = 0;
    for path in project_files() {
        // What is no text holds no words.
        let Ok(text) = fs::read_to_string(&path) else {
            continue;
        };
        texts += 1;
        let wrong = papers::unwanted(&text);
        faults.extend(wrong.iter().map(|w| format!("{}:{w}", shown(&path))));
    }
    assert!(texts > 150, "{texts} files read: the reader is blind");
    none(faults);
}

#[test]
fn unwanted_text_is_caught_with_its_line() {
    for (before, after) in [
        ("to", "do!()"),
        ("unim", "plemented!()"),
        ("#[ig", "nore]"),
        ("#[ig", "nore = \"slow\"]"),
        ("db", "g!(x)"),
        ("// TO", "DO: later"),
        ("/ho", "me/somebody/jetyard"),
        ("C:\\Us", "ers\\somebody"),
        ("\"/wo", "rk/main\""),
    ] {
        let found = papers::unwanted(&format!("fine\n{before}{after}\n"));
        assert_eq!(found.len(), 1, "{before}{after}");
        assert!(found[0].starts_with("2: "), "{found:?}");
    }
    assert!(papers::unwanted("a network/main thing, homework/ and a method").is_empty());
}

fn is_too_long(text: &str) -> bool {
    text.lines().count() > LINES_MOST
}

#[test]
fn no_source_file_is_too_long_to_read() {
    let long =
        |path: &PathBuf| path.extension().is_some_and(|e| e == "rs") && is_too_long(&read(path));
    let faults: Vec<String> = project_files()
        .iter()
        .filter(|path| long(path))
        .map(|path| format!("{} has more than {LINES_MOST} lines", shown(path)))
        .collect();
    none(faults);
    assert!(is_too_long(&"line\n".repeat(LINES_MOST + 1)));
    assert!(!is_too_long(&"line\n".repeat(LINES_MOST)));
}
