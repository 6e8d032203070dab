//! Ids that exist, and the nearest of them to one that does not.

use std::collections::BTreeMap;

use crate::data::source::Place;

/// Ids of one kind that have been read, and where each was.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ids {
    found: BTreeMap<String, Place>,
}

impl Ids {
    /// Adds an id; gives its first place when it was there before.
    pub(super) fn add(&mut self, id: &str, place: Place) -> Option<Place> {
        if let Some(first) = self.found.get(id) {
            return Some(*first);
        }
        self.found.insert(id.to_owned(), place);
        None
    }

    /// Is there such an id?
    #[must_use]
    pub fn has(&self, id: &str) -> bool {
        self.found.contains_key(id)
    }

    /// Every id, in the order of the alphabet.
    pub fn iter(&self) -> impl Iterator<Item = &str> {
        self.found.keys().map(String::as_str)
    }
}

impl<T: Into<String>> FromIterator<T> for Ids {
    /// Ids that were not read from a file; their place is the start of one.
    fn from_iter<I: IntoIterator<Item = T>>(ids: I) -> Self {
        let place = Place { line: 1, column: 1 };
        Self {
            found: ids.into_iter().map(|id| (id.into(), place)).collect(),
        }
    }
}

/// The name among `known` that `written` was probably meant to be.
///
/// Close means: at most about every third letter changed, left out, added or swapped.
#[must_use]
pub fn near<'k>(written: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    // The comparison costs the product of the lengths; no name of ours is that long.
    const LONGEST: usize = 64;
    if written.len() > LONGEST {
        return None;
    }
    let lower = written.to_ascii_lowercase();
    known
        .map(|name| {
            (
                strsim::damerau_levenshtein(&lower, &name.to_ascii_lowercase()),
                name,
            )
        })
        .filter(|(distance, name)| *distance * 3 <= name.len().max(written.len()) + 1)
        .min()
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_name_is_offered_and_none_when_all_are_far() {
        let known = ["tri_80", "tri_200", "quint_750"];
        assert_eq!(near("tri80", known.into_iter()), Some("tri_80"));
        assert_eq!(near("quin_750", known.into_iter()), Some("quint_750"));
        assert_eq!(near("Tri_200", known.into_iter()), Some("tri_200"));
        assert_eq!(near("lance", known.into_iter()), None);
        assert_eq!(near(&"tri_80".repeat(100), known.into_iter()), None);
        assert_eq!(near("x", std::iter::empty()), None);
    }
}
