//! The data a level was loaded from, byte for byte, so that a recording can be marked where
//! there is no folder of levels, or another version of it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::files::Files;
use super::{Library, Perturbed};
use crate::Level;
use crate::data::{Kind, Perturb, Problem, Problems};
use crate::rules::RULES;

/// Form of the bytes; raised when they are laid out differently.
const FORM: u16 = 1;

/// Length of a SHA-256 digest.
const DIGEST_BYTES: usize = 32;

/// Name under which the table of rules stands among the files.
pub const RULES_FILE: &str = "rules.txt";

/// The files of a level, the catalogue and the region it uses, and the table of rules.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bundle {
    form: u16,
    level: String,
    files: Vec<BundledFile>,
}

/// One file of a bundle.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BundledFile {
    /// Its name within the data folder, `/` between folders.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: [u8; 32],
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl Bundle {
    /// A bundle of these files, and of the rules as they are now.
    pub(super) fn new(level: &str, files: BTreeMap<String, Vec<u8>>) -> Self {
        let mut files = files;
        files.insert(RULES_FILE.to_owned(), rule_table().into_bytes());
        Self {
            form: FORM,
            level: level.to_owned(),
            // In the order of their names, so that the same files give the same bytes.
            files: files
                .into_iter()
                .map(|(name, bytes)| BundledFile {
                    name,
                    sha256: Sha256::digest(&bytes).into(),
                    bytes,
                })
                .collect(),
        }
    }

    /// The level's id.
    #[must_use]
    pub fn level_id(&self) -> &str {
        &self.level
    }

    /// The files, by name.
    #[must_use]
    pub fn files(&self) -> &[BundledFile] {
        &self.files
    }

    /// The table of rules it was made with: a line for each with id, version and severity.
    #[must_use]
    pub fn rules(&self) -> String {
        let file = self.files.iter().find(|file| file.name == RULES_FILE);
        let bytes = file.map(|file| file.bytes.as_slice()).unwrap_or_default();
        String::from_utf8_lossy(bytes).into_owned()
    }

    /// Are the rules of this program those it was made with?
    #[must_use]
    pub fn has_current_rules(&self) -> bool {
        self.rules() == rule_table()
    }

    /// The canonical bytes: the same files give the same bytes. A digest of all stands at the
    /// end.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        // Writing to memory what is made of numbers, texts and bytes cannot fail.
        let mut bytes = postcard::to_allocvec(self).unwrap_or_default();
        let digest = Sha256::digest(&bytes);
        bytes.extend_from_slice(&digest);
        bytes
    }

    /// A bundle from its bytes.
    ///
    /// # Errors
    /// When a byte of it was changed, or it was cut, or lengthened.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, Problems> {
        Self::sound(bytes).ok_or_else(|| Problem::of_file("bundle", Kind::Damaged).into())
    }

    fn sound(bytes: &[u8]) -> Option<Self> {
        let (body, digest) = bytes.split_at_checked(bytes.len().checked_sub(DIGEST_BYTES)?)?;
        if Sha256::digest(body).as_slice() != digest {
            return None;
        }
        let (bundle, rest) = postcard::take_from_bytes::<Self>(body).ok()?;
        let sorted = bundle.files.is_sorted_by(|a, b| a.name < b.name);
        let mut files = bundle.files.iter();
        let sound = files.all(|f| Sha256::digest(&f.bytes).as_slice() == f.sha256);
        (rest.is_empty() && bundle.form == FORM && sorted && sound).then_some(bundle)
    }

    /// The level, checked again from the files in here.
    ///
    /// # Errors
    /// When the files do not pass the checks of this program.
    pub fn load(&self) -> Result<Level, Problems> {
        Ok(self.library().load(&self.level)?.level)
    }

    /// The level with every number of the catalogue changed by up to `share` of itself, either
    /// way, the same for the same seed. Counts and words stay. Checks between values are
    /// reported and not enforced.
    ///
    /// # Errors
    /// When the files do not pass the other checks.
    pub fn perturbed(&self, seed: u64, share: f64) -> Result<Perturbed, Problems> {
        let mut perturb = Perturb::new(seed, share);
        Ok(self.library().load_with(&self.level, Some(&mut perturb))?.0)
    }

    fn library(&self) -> Library {
        let files = self
            .files
            .iter()
            .map(|file| (file.name.clone(), file.bytes.clone()));
        Library::of(Files::Memory(files.collect()))
    }
}

/// Id, version and severity of every rule, a line each.
fn rule_table() -> String {
    RULES
        .iter()
        .map(|rule| {
            format!(
                "{} {} {}\n",
                rule.id(),
                rule.version(),
                rule.severity().id()
            )
        })
        .collect()
}
