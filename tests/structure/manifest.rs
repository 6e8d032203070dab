//! Reads as much of TOML as manifests are written in: sections, keys, and values that may go
//! over several lines.

use std::collections::{BTreeMap, BTreeSet};

/// Sections in which a manifest lists what it uses.
const LISTS: [&str; 3] = ["dependencies", "dev-dependencies", "build-dependencies"];

/// A manifest, line by line.
pub struct Manifest {
    entries: Vec<Entry>,
}

struct Entry {
    section: Vec<String>,
    key: Vec<String>,
    value: String,
}

/// Something that a manifest lists.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Dependency {
    /// The package, as far as this manifest says.
    pub package: String,
    /// Only tests use it.
    pub for_tests: bool,
}

impl Manifest {
    /// Reads a manifest.
    pub fn of(text: &str) -> Self {
        let mut entries = Vec::new();
        let mut section = Vec::new();
        let mut lines = text.lines().map(without_remark);
        while let Some(line) = lines.next() {
            let line = line.trim();
            if let Some(header) = line.strip_prefix('[') {
                section = parts(header.trim_matches(|c| c == '[' || c == ']'));
            } else if let Some((key, value)) = halves(line) {
                let mut value = value.trim().to_owned();
                while open_brackets(&value) {
                    let Some(more) = lines.next() else { break };
                    value.push(' ');
                    value.push_str(more.trim());
                }
                entries.push(Entry {
                    section: section.clone(),
                    key: parts(key),
                    value,
                });
            }
        }
        Manifest { entries }
    }

    /// The value of a key, without quotes.
    pub fn value(&self, section: &str, key: &str) -> Option<&str> {
        let found = self
            .entries
            .iter()
            .find(|e| e.section == parts(section) && e.key == parts(key));
        found.map(|e| e.value.trim_matches('"'))
    }

    /// Everything that it lists, under whatever heading.
    pub fn dependencies(&self) -> BTreeSet<Dependency> {
        let mut found = BTreeSet::new();
        for entry in &self.entries {
            let Some(at) = entry
                .section
                .iter()
                .position(|p| LISTS.contains(&p.as_str()))
            else {
                continue;
            };
            if at > 0 && entry.section[0] != "target" {
                continue;
            }
            // Either a line for each, or a section for each.
            let path: Vec<&String> = entry.section[at + 1..].iter().chain(&entry.key).collect();
            let renamed = match path.get(1).map(|p| p.as_str()) {
                Some("package") => Some(entry.value.trim_matches('"').to_owned()),
                _ => renamed(&entry.value),
            };
            found.insert(Dependency {
                package: renamed.unwrap_or_else(|| path[0].clone()),
                for_tests: entry.section[at] == "dev-dependencies",
            });
        }
        found
    }

    /// Names of a section that stand for a package of another name.
    pub fn packages(&self, section: &str) -> BTreeMap<String, String> {
        self.entries
            .iter()
            .filter(|e| e.section == parts(section))
            .filter_map(|e| Some((e.key[0].clone(), renamed(&e.value)?)))
            .collect()
    }
}

/// What each package of a `Cargo.lock` needs, by name; versions of a name are one.
pub fn lock(text: &str) -> BTreeMap<String, BTreeSet<String>> {
    let mut needs: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut name = String::new();
    for line in text.lines().map(str::trim) {
        if let Some(value) = line.strip_prefix("name = ") {
            name = value.trim_matches('"').to_owned();
            needs.entry(name.clone()).or_default();
        } else if line.starts_with('"') {
            let words = line.trim_matches(|c| c == '"' || c == ',');
            let package = words.split(' ').next().unwrap_or_default();
            needs
                .entry(name.clone())
                .or_default()
                .insert(package.to_owned());
        }
    }
    needs
}

/// The texts of a list.
pub fn texts(list: &str) -> Vec<String> {
    list.split('"')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

/// The package that an inline table renames.
fn renamed(value: &str) -> Option<String> {
    let table = value.strip_prefix('{')?;
    let (_, rest) = table.split_once("package")?;
    let rest = rest.trim_start().strip_prefix('=')?;
    texts(rest).into_iter().next()
}

/// A dotted name, taken apart outside quotes.
fn parts(name: &str) -> Vec<String> {
    let mut parts = vec![String::new()];
    let mut quote = None;
    for c in name.trim().chars() {
        match quote {
            Some(q) if c == q => quote = None,
            None if c == '"' || c == '\'' => quote = Some(c),
            None if c == '.' => parts.push(String::new()),
            None if c.is_whitespace() => {}
            _ => parts.last_mut().expect("never empty").push(c),
        }
    }
    parts
}

/// Key and value.
fn halves(line: &str) -> Option<(&str, &str)> {
    line.split_once('=')
}

/// A line up to its remark.
fn without_remark(line: &str) -> &str {
    let mut inside = false;
    for (at, c) in line.char_indices() {
        match c {
            '"' => inside = !inside,
            '#' if !inside => return &line[..at],
            _ => {}
        }
    }
    line
}

/// Whether a value goes on in the next line.
fn open_brackets(value: &str) -> bool {
    let mut depth = 0;
    let mut inside = false;
    for c in value.chars() {
        match c {
            '"' => inside = !inside,
            '[' | '{' if !inside => depth += 1,
            ']' | '}' if !inside => depth -= 1,
            _ => {}
        }
    }
    depth > 0
}
