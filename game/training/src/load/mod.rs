//! From data files to a level in which nothing can be invalid.
//!
//! [`Library::find`] finds the data: the folder of the project the program was built from, else
//! beside the program, else in the current folder, else the copy inside the program.
//! [`Library::load`] reads one level with everything it refers to, and gives it with a
//! [`Bundle`] of the very bytes it was read from. Levels and scripts are found by listing
//! folders: adding one adds no code.

mod assumptions;
pub mod bundle;
mod catalogue;
mod check;
mod coach;
mod crew;
mod criteria;
mod deposit;
mod equipment;
mod faults;
mod files;
mod footing;
mod level;
mod nozzle;
mod parts;
mod power_end;
mod region;
mod restraint;
mod script;
mod second;
mod si;
mod site;
mod start;
mod surface;
mod unit;

#[cfg(test)]
mod broken;
#[cfg(test)]
mod tests;

pub use bundle::{Bundle, BundledFile};
pub use catalogue::{Catalogue, Gun, Hose};
pub use check::Checked;
pub use deposit::Deposit;
pub use footing::Ground;
pub use nozzle::{Jet, JetShape, Nozzle};
pub use parts::{Origin, Stated};
pub use restraint::Tether;
pub use unit::{Kit, Unit};

use std::collections::BTreeMap;
use std::path::Path;

use ::crew::Script;

use crate::Level;
use crate::coach::Plan;
use crate::data::{Document, Perturb, Problem, Problems, Read, Source, parse};
use crate::region::Region;
use catalogue::CatalogueIds;
use files::Files;

/// The file that makes a folder a level.
const LEVEL_FILE: &str = "level.ron";
/// The file beside it that helps through the level. It is no part of the level: no bundle and so
/// no recording and no mark holds it.
const COACH_FILE: &str = "coach.ron";

/// A set of levels with their catalogue and regions.
#[derive(Clone, Debug)]
pub struct Library {
    files: Files,
}

/// A level and the bytes it was read from.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// The level.
    pub level: Level,
    /// The bytes of every file it came from.
    pub bundle: Bundle,
}

/// A level whose catalogue was changed at random.
#[derive(Clone, Debug, PartialEq)]
pub struct Perturbed {
    /// The level.
    pub level: Level,
    /// What no longer goes together.
    pub clashes: Problems,
}

/// What every level of a library is read against.
struct Shared {
    catalogue: Option<Catalogue>,
    assumptions: assumptions::Given,
    ids: CatalogueIds,
    regions: BTreeMap<String, Option<Region>>,
    problems: Problems,
    clashes: Problems,
    /// The very bytes of every file that was read, by name.
    bytes: BTreeMap<String, Vec<u8>>,
}

impl Library {
    /// The data, wherever it is.
    #[must_use]
    pub fn find() -> Self {
        Self::of(Files::find())
    }

    /// The data in a folder: levels, `catalogue/` and `regions/`.
    #[must_use]
    pub fn at(folder: &Path) -> Self {
        Self::of(Files::folder(folder))
    }

    /// The copy inside the program.
    #[must_use]
    pub fn built_in() -> Self {
        Self::of(Files::BuiltIn)
    }

    fn of(files: Files) -> Self {
        Self { files }
    }

    /// Where the data is, for people: the folder, or nothing for the copy inside the program.
    #[must_use]
    pub fn folder(&self) -> Option<&Path> {
        match &self.files {
            Files::Folder { path, .. } => Some(path),
            _ => None,
        }
    }

    /// Ids of all levels, in the order of the alphabet.
    #[must_use]
    pub fn levels(&self) -> Vec<String> {
        let folders = self.files.list("").into_iter();
        folders
            .filter(|name| self.files.has(&format!("{name}/{LEVEL_FILE}")))
            .collect()
    }

    /// Names of the scripts of a level, in the order of the alphabet.
    #[must_use]
    pub fn scripts(&self, level: &str) -> Vec<String> {
        let names = self.files.list(level).into_iter();
        names
            .filter(|name| name != LEVEL_FILE && name != COACH_FILE)
            .filter_map(|name| Some(name.strip_suffix(".ron")?.to_owned()))
            .collect()
    }

    /// Reads a level and everything it refers to.
    ///
    /// # Errors
    /// Everything that is wrong in any of its files.
    pub fn load(&self, level: &str) -> Result<Loaded, Problems> {
        let (Perturbed { level, .. }, mut files) = self.load_with(level, None)?;
        let region = region_file(&level.region.id);
        files.retain(|name, _| !name.starts_with("regions/") || *name == region);
        let bundle = Bundle::new(&level.id, files);
        Ok(Loaded { level, bundle })
    }

    /// All machines, tools and people that levels are made of.
    ///
    /// # Errors
    /// Everything that is wrong in any of its files, or in what is read beside it.
    pub fn catalogue(&self) -> Result<Catalogue, Problems> {
        let shared = self.shared(None);
        match shared.catalogue {
            Some(catalogue) if shared.problems.is_empty() => Ok(catalogue),
            _ => Err(shared.problems),
        }
    }

    /// A script of a level, by its name there or by the path of a file.
    ///
    /// # Errors
    /// Everything that is wrong in the script, or that there is none of this name.
    pub fn script(&self, level: &Level, name: &str) -> Result<Script, Problems> {
        let own = self.scripts(&level.id);
        let source = if own.iter().any(|script| script == name) {
            self.files.read(&format!("{}/{name}.ron", level.id))?
        } else if Path::new(name).is_file() {
            Source::open(name, Path::new(name))?
        } else {
            return Err(self.unknown(&level.id, name, own));
        };
        script::script(&parse(source)?, level)
    }

    /// The help through a level, where there is some beside it.
    ///
    /// # Errors
    /// Everything that is wrong in it.
    pub fn coach(&self, level: &Level) -> Result<Option<Plan>, Problems> {
        let file = format!("{}/{COACH_FILE}", level.id);
        if !self.files.has(&file) {
            return Ok(None);
        }
        coach::coach(&self.document(&file)?, level).map(Some)
    }

    fn unknown(&self, at: &str, name: &str, allowed: Vec<String>) -> Problems {
        let shown = self.files.shown(at);
        Problem::of_file(shown.trim_end_matches('/'), check::unknown(name, allowed)).into()
    }

    fn load_with(
        &self,
        level: &str,
        perturb: Option<&mut Perturb>,
    ) -> Result<(Perturbed, BTreeMap<String, Vec<u8>>), Problems> {
        let levels = self.levels();
        if !levels.iter().any(|known| known == level) {
            return Err(self.unknown("", level, levels));
        }
        let lenient = perturb.is_some();
        let mut shared = self.shared(perturb);
        let file = format!("{level}/{LEVEL_FILE}");
        let read = self.document(&file).and_then(|document| {
            shared.bytes.insert(file, bytes(&document));
            self.level(&document, level, &shared, lenient)
        });
        match read {
            Err(problems) => {
                shared.problems.append(problems);
                Err(shared.problems)
            }
            Ok(Read { value, clashes }) => {
                shared.clashes.append(clashes);
                let clashes = shared.clashes;
                match value {
                    Some(level) if shared.problems.is_empty() => {
                        Ok((Perturbed { level, clashes }, shared.bytes))
                    }
                    _ => Err(shared.problems),
                }
            }
        }
    }

    /// Reads a level's document against what it refers to.
    fn level(
        &self,
        document: &Document,
        folder: &str,
        shared: &Shared,
        lenient: bool,
    ) -> Result<Read<Option<Level>>, Problems> {
        let around = level::Around {
            catalogue: shared.catalogue.as_ref(),
            assumptions: &shared.assumptions,
            ids: &shared.ids,
            regions: &shared.regions,
            folder,
            lenient,
        };
        level::level(document, &around)
    }

    /// Reads the catalogue and all regions.
    fn shared(&self, perturb: Option<&mut Perturb>) -> Shared {
        let mut problems = Problems::default();
        let kept = self.files.are_kept();
        let documents = catalogue::FILES.map(|name| {
            if kept && catalogue::LATER.contains(&name) && !self.files.has(name) {
                return None;
            }
            let read = self.document(name);
            read.map_err(|found| problems.append(found)).ok()
        });
        let whole = problems.is_empty();
        let (read, ids) = Catalogue::read(documents.each_ref().map(Option::as_ref), perturb, kept);
        let (catalogue, clashes) = match read {
            Ok(Read { value, clashes }) => (whole.then_some(value), clashes),
            Err(found) => {
                problems.append(found);
                (None, Problems::default())
            }
        };
        let mut read_bytes = BTreeMap::new();
        for (name, document) in catalogue::FILES.iter().zip(&documents) {
            if let Some(document) = document {
                read_bytes.insert((*name).to_owned(), bytes(document));
            }
        }
        let mut given = assumptions::Given::default();
        if !kept || self.files.has(assumptions::FILE) {
            let read = self.document(assumptions::FILE).and_then(|document| {
                read_bytes.insert(assumptions::FILE.to_owned(), bytes(&document));
                assumptions::assumptions(&document, kept)
            });
            match read {
                Ok(read) => given = read,
                Err(found) => problems.append(found),
            }
        }
        let mut regions = BTreeMap::new();
        for name in self.files.list("regions") {
            let Some(id) = name.strip_suffix(".ron") else {
                continue;
            };
            let name = region_file(id);
            let read = self.document(&name).and_then(|document| {
                read_bytes.insert(name, bytes(&document));
                region::region(&document, id, kept)
            });
            let region = match read {
                Ok(region) => Some(region),
                Err(found) => {
                    problems.append(found);
                    None
                }
            };
            regions.insert(id.to_owned(), region);
        }
        Shared {
            catalogue,
            assumptions: given,
            ids,
            regions,
            problems,
            clashes,
            bytes: read_bytes,
        }
    }

    fn document(&self, name: &str) -> Result<Document, Problems> {
        parse(self.files.read(name)?)
    }
}

fn bytes(document: &Document) -> Vec<u8> {
    document.source.text().as_bytes().to_vec()
}

fn region_file(id: &str) -> String {
    format!("regions/{id}.ron")
}
