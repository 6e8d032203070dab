//! Where data files are: in a folder, in a recording, or in the program itself.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{env, fs};

use crate::data::{Problems, Source};

mod built_in {
    include!(concat!(env!("OUT_DIR"), "/built_in.rs"));
}

/// A set of data files. Names have `/` between folders, on every system.
#[derive(Clone, Debug)]
pub(super) enum Files {
    /// A folder on disk.
    Folder {
        /// Where.
        path: PathBuf,
        /// How messages call it: the text before each file's name.
        label: String,
    },
    /// Files in memory, out of a recording.
    Memory(BTreeMap<String, Vec<u8>>),
    /// The files that were there when the program was built.
    BuiltIn,
}

impl Files {
    /// The folder of the project the program was built from, else beside the program, else in
    /// the current folder, else what is built in.
    pub(super) fn find() -> Self {
        let project = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
        let program = env::current_exe().ok();
        let beside = program.and_then(|exe| Some(exe.parent()?.join("levels")));
        let here = PathBuf::from("levels");
        [Some(project), beside, Some(here)]
            .into_iter()
            .flatten()
            .find(|path| path.join("catalogue").is_dir())
            .map_or(Self::BuiltIn, |path| Self::folder(&path))
    }

    /// A folder; messages name it as seen from the current folder where they can.
    pub(super) fn folder(path: &Path) -> Self {
        let full = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let current = env::current_dir().and_then(fs::canonicalize).ok();
        let short = current.as_deref().and_then(|c| full.strip_prefix(c).ok());
        let shown = short.unwrap_or(&full).to_string_lossy().replace('\\', "/");
        let label = match shown.as_str() {
            "" => String::new(),
            shown => format!("{}/", shown.trim_end_matches('/')),
        };
        Self::Folder { path: full, label }
    }

    /// How messages call a file.
    pub(super) fn shown(&self, name: &str) -> String {
        match self {
            Self::Folder { label, .. } => format!("{label}{name}"),
            Self::Memory(_) => name.to_owned(),
            Self::BuiltIn => format!("levels/{name}"),
        }
    }

    /// Were they kept in a recording? Then they may lack what was asked for only later.
    pub(super) fn are_kept(&self) -> bool {
        matches!(self, Self::Memory(_))
    }

    /// Is there such a file?
    pub(super) fn has(&self, name: &str) -> bool {
        match self {
            Self::Folder { path, .. } => path.join(name).is_file(),
            Self::Memory(files) => files.contains_key(name),
            Self::BuiltIn => built_in::FILES.iter().any(|(n, _)| *n == name),
        }
    }

    /// The text of a file.
    pub(super) fn read(&self, name: &str) -> Result<Source, Problems> {
        let shown = self.shown(name);
        if !self.has(name) {
            return Err(super::catalogue::absent(&shown).into());
        }
        let bytes = match self {
            Self::Folder { path, .. } => return Source::open(&shown, &path.join(name)),
            Self::Memory(files) => files.get(name).cloned(),
            Self::BuiltIn => {
                let found = built_in::FILES.iter().find(|(n, _)| *n == name);
                found.map(|(_, bytes)| bytes.to_vec())
            }
        };
        Source::new(&shown, bytes.unwrap_or_default())
    }

    /// Names of what is directly in a folder (empty: at the top), in the order of the alphabet.
    pub(super) fn list(&self, folder: &str) -> BTreeSet<String> {
        let inside = |names: &mut dyn Iterator<Item = &str>| {
            names
                .filter_map(|name| match folder {
                    "" => Some(name),
                    folder => name.strip_prefix(folder)?.strip_prefix('/'),
                })
                .filter_map(|rest| Some(rest.split('/').next()?.to_owned()))
                .collect()
        };
        match self {
            Self::Folder { path, .. } => fs::read_dir(path.join(folder))
                .into_iter()
                .flatten()
                .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
                .collect(),
            Self::Memory(files) => inside(&mut files.keys().map(String::as_str)),
            Self::BuiltIn => inside(&mut built_in::FILES.iter().map(|(name, _)| *name)),
        }
    }
}
