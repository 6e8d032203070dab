//! The files that sounds are in. What is missing is not heard, and nothing
//! else comes of it.

use kira::sound::static_sound::StaticSoundData;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Deepest folder that is looked into.
const DEEPEST: u32 = 4;

/// The sounds there are, read when they are first wanted.
#[derive(Default)]
pub struct Store {
    files: BTreeMap<String, PathBuf>,
    read: BTreeMap<String, Option<StaticSoundData>>,
}

impl Store {
    /// Looks for sounds in a folder and the folders in it. A sound is known by
    /// the name of its file; a word by `speech/`, seat and call.
    pub fn of(folder: &Path) -> Self {
        let mut files = BTreeMap::new();
        gather(folder, "", DEEPEST, &mut files);
        Store {
            files,
            read: BTreeMap::new(),
        }
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.files.len()
    }

    /// Whether there is one of this name.
    pub fn has(&self, name: &str) -> bool {
        self.files.contains_key(name)
    }

    /// A sound by its name; nothing where there is none, or none that can be
    /// read.
    pub fn get(&mut self, name: &str) -> Option<StaticSoundData> {
        if let Some(read) = self.read.get(name) {
            return read.clone();
        }
        let path = self.files.get(name)?;
        let read = StaticSoundData::from_file(path).ok();
        self.read.insert(name.to_owned(), read.clone());
        read
    }
}

fn gather(folder: &Path, within: &str, deeper: u32, files: &mut BTreeMap<String, PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let Some(stem) = path.file_stem().and_then(|s| s.to_str()) else {
            continue;
        };
        if path.is_dir() {
            if deeper > 0 {
                gather(&path, &format!("{within}{stem}/"), deeper - 1, files);
            }
        } else if path.extension().is_some_and(|e| e == "ogg") {
            let name = match within.find("speech/") {
                Some(at) => format!("{}{stem}", &within[at..]),
                None => stem.to_owned(),
            };
            files.insert(name, path);
        }
    }
}
