//! Checks data files without running anything.

use std::path::Path;

use super::catalogue::Catalogue;
use super::{COACH_FILE, LEVEL_FILE, Library, assumptions, coach, region, script};
use crate::Level;
use crate::data::problem::Expected;
use crate::data::syntax::{Node, Value};
use crate::data::{Document, Kind, Problem, Problems, Source, nearest, parse};

/// A file that was checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// Its name, as people know it.
    pub file: String,
    /// What is wrong in it; nothing when all is well.
    pub problems: Problems,
}

/// Names that a data file can have at its root.
const ROOTS: [&str; 13] = [
    "Level",
    "Script",
    "Coach",
    "Region",
    "Units",
    "Hoses",
    "Nozzles",
    "Guns",
    "People",
    "Deposits",
    "Restraints",
    "Footings",
    "Assumptions",
];

impl Library {
    /// Checks every file of the library: catalogue, regions, levels, their scripts and coaches.
    #[must_use]
    pub fn check(&self) -> Vec<Checked> {
        let shared = self.shared(None);
        let mut checked: Vec<Checked> = super::catalogue::FILES
            .iter()
            .chain([&assumptions::FILE])
            .map(|name| (*name).to_owned())
            .chain(shared.regions.keys().map(|id| super::region_file(id)))
            .map(|name| self.of_file(&self.files.shown(&name), &shared.problems))
            .collect();
        for id in self.levels() {
            let name = format!("{id}/{LEVEL_FILE}");
            let read = self
                .document(&name)
                .and_then(|document| self.level(&document, &id, &shared, false));
            let level = read.as_ref().ok().and_then(|read| read.value.clone());
            checked.push(Checked {
                file: self.files.shown(&name),
                problems: read.err().unwrap_or_default(),
            });
            let scripts = self.scripts(&id).into_iter();
            let mut beside: Vec<String> = scripts.map(|name| format!("{id}/{name}.ron")).collect();
            let help = format!("{id}/{COACH_FILE}");
            if self.files.has(&help) {
                beside.push(help.clone());
            }
            for name in beside {
                let read = self.document(&name).and_then(|document| match &level {
                    Some(level) if name == help => coach::coach(&document, level).map(drop),
                    Some(level) => script::script(&document, level).map(drop),
                    // Its places and words cannot be checked without the level.
                    None => Ok(()),
                });
                checked.push(Checked {
                    file: self.files.shown(&name),
                    problems: read.err().unwrap_or_default(),
                });
            }
        }
        checked
    }

    fn of_file(&self, file: &str, problems: &Problems) -> Checked {
        let own = problems.iter().filter(|p| p.file == file).cloned();
        Checked {
            file: file.to_owned(),
            problems: own.collect::<Vec<_>>().into(),
        }
    }

    /// Checks one file on its own, whatever it is, against this library. What it is, the name at
    /// its root says; a level's or region's folder or file name is not held against it.
    #[must_use]
    pub fn check_file(&self, path: &Path) -> Checked {
        let shown = path.to_string_lossy().replace('\\', "/");
        let read = Source::open(&shown, path).and_then(|source| self.check_source(source));
        Checked {
            file: shown,
            problems: read.err().unwrap_or_default(),
        }
    }

    /// Checks the text of one file; see [`Library::check_file`].
    ///
    /// # Errors
    /// Everything that is wrong in it.
    pub fn check_source(&self, source: Source) -> Result<(), Problems> {
        let document = parse(source)?;
        let root = root_name(&document).unwrap_or_default().to_owned();
        if let Some(read) = Catalogue::check_file(&document, &root) {
            return read;
        }
        match root.as_str() {
            "Assumptions" => assumptions::assumptions(&document, false).map(drop),
            "Region" => {
                let id = text_field(&document, "id").unwrap_or_default().to_owned();
                region::region(&document, &id, false).map(drop)
            }
            "Level" => {
                let id = text_field(&document, "id").unwrap_or_default().to_owned();
                let shared = self.shared(None);
                let read = self.level(&document, &id, &shared, false);
                match (read, shared.problems) {
                    (Err(problems), _) => Err(problems),
                    (Ok(_), library) => library.or(()),
                }
            }
            "Script" => {
                let level = self.level_named(&document)?;
                script::script(&document, &level).map(drop)
            }
            "Coach" => {
                let level = self.level_named(&document)?;
                coach::coach(&document, &level).map(drop)
            }
            _ => {
                let allowed = ROOTS.map(str::to_owned).to_vec();
                let kind = match root.as_str() {
                    "" => Kind::NoRoot { allowed },
                    written => unknown(written, allowed),
                };
                let at = document.root.span.start as usize;
                Err(document.source.problem(at, "", kind).into())
            }
        }
    }

    /// The level that a script or a coach says it is for.
    fn level_named(&self, document: &Document) -> Result<Level, Problems> {
        let levels = self.levels();
        let (at, kind) = match field(document, "level") {
            None => {
                let field = "level".to_owned();
                (document.root.span, Kind::MissingField { field })
            }
            Some(node) => match &node.value {
                Value::Text(id) if levels.contains(id) => return Ok(self.load(id)?.level),
                Value::Text(id) => (node.span, unknown(id, levels)),
                _ => {
                    let found = document.source.excerpt(node.span);
                    let expected = Expected::Text;
                    (node.span, Kind::WrongType { expected, found })
                }
            },
        };
        Err(document
            .source
            .problem(at.start as usize, "level", kind)
            .into())
    }

    /// Checks what people point at: a whole data folder, the folder of one level, or files.
    #[must_use]
    pub fn check_paths(&self, paths: &[&Path]) -> Vec<Checked> {
        let mut checked = Vec::new();
        for path in paths {
            if path.join("catalogue").is_dir() {
                checked.extend(Library::at(path).check());
            } else if path.is_dir() {
                checked.extend(self.check_level_folder(path));
            } else {
                checked.push(self.check_file(path));
            }
        }
        checked
    }

    fn check_level_folder(&self, folder: &Path) -> Vec<Checked> {
        let shown = folder.to_string_lossy().replace('\\', "/");
        let name = folder.file_name().unwrap_or_default().to_string_lossy();
        let around = folder.parent().filter(|p| p.join("catalogue").is_dir());
        if !folder.join(LEVEL_FILE).is_file() || around.is_none() {
            let problem = Problem::of_file(&shown, Kind::NoLevelHere);
            return vec![Checked {
                file: shown,
                problems: problem.into(),
            }];
        }
        let library = around.map_or_else(|| self.clone(), Library::at);
        let own = format!("/{name}/");
        let files = library.check().into_iter();
        files.filter(|c| c.file.contains(&own)).collect()
    }
}

fn root_name(document: &Document) -> Option<&str> {
    match &document.root.value {
        Value::Struct(Some(name), _) | Value::Tuple(Some(name), _) => Some(&name.text),
        Value::Word(word) => Some(word),
        _ => None,
    }
}

pub(super) fn unknown(written: &str, allowed: Vec<String>) -> Kind {
    Kind::Unknown {
        value: written.to_owned(),
        near: nearest(written, allowed.iter().map(String::as_str)).map(str::to_owned),
        allowed,
    }
}

fn field<'d>(document: &'d Document, name: &str) -> Option<&'d Node> {
    let Value::Struct(_, fields) = &document.root.value else {
        return None;
    };
    let field = fields.iter().find(|field| field.name.text == name)?;
    Some(&field.value)
}

fn text_field<'d>(document: &'d Document, name: &str) -> Option<&'d str> {
    match &field(document, name)?.value {
        Value::Text(text) => Some(text),
        _ => None,
    }
}
