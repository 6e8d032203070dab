//! Every text a person reads, by its id.
//!
//! The words live in the `.ftl` files beside this module, one per area, and code names them by
//! id: `say("cli-run-finished", &[("level", &level), ("count", &3)])`. An id starts with its
//! area ([`AREAS`]), so a test can walk the sources and
//! find every id that is asked for and every text that nobody asks for.
//!
//! Numbers go in already written, by [`number`], so no setting of the machine changes a decimal
//! point. Only whole counts go in as numbers, because plural forms choose by them.

#[cfg(test)]
mod coverage;

use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

/// The first part of an id, one per file of texts.
pub const AREAS: [&str; 10] = [
    "data", "rules", "cli", "report", "calls", "scene", "debrief", "captions", "hands", "qualify",
];

/// A language that texts exist in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Language {
    /// English.
    English,
}

impl Language {
    /// The tag of the language (BCP 47).
    #[must_use]
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
        }
    }

    /// The texts of the language: area and Fluent source.
    fn sources(self) -> [(&'static str, &'static str); 10] {
        match self {
            Self::English => [
                ("data", include_str!("en/data.ftl")),
                ("rules", include_str!("en/rules.ftl")),
                ("cli", include_str!("en/cli.ftl")),
                ("report", include_str!("en/report.ftl")),
                ("calls", include_str!("en/calls.ftl")),
                ("scene", include_str!("en/scene.ftl")),
                ("debrief", include_str!("en/debrief.ftl")),
                ("captions", include_str!("en/captions.ftl")),
                ("hands", include_str!("en/hands.ftl")),
                ("qualify", include_str!("en/qualify.ftl")),
            ],
        }
    }
}

/// The language of every text. The one place to change it.
#[must_use]
pub fn language() -> Language {
    Language::English
}

/// The text of a fault that has an id and arguments of its own.
pub fn told(id: &str, arguments: &[(&'static str, String)]) -> String {
    let arguments: Vec<(&str, &dyn Argument)> = arguments
        .iter()
        .map(|(name, value)| (*name, value as &dyn Argument))
        .collect();
    say(&format!("cli-fault-{id}"), &arguments)
}

/// That a file cannot be written.
pub fn not_written(path: &std::path::Path, error: &std::io::Error) -> String {
    say(
        "cli-not_written",
        &[
            ("path", &path.display().to_string()),
            ("reason", &error.to_string()),
        ],
    )
}

/// Something that can stand in a text: words, or a whole count.
pub trait Argument {
    /// The value as the text formatter takes it.
    fn value(&self) -> FluentValue<'_>;
}

impl Argument for str {
    fn value(&self) -> FluentValue<'_> {
        FluentValue::from(self)
    }
}

impl Argument for &str {
    fn value(&self) -> FluentValue<'_> {
        FluentValue::from(*self)
    }
}

impl Argument for String {
    fn value(&self) -> FluentValue<'_> {
        FluentValue::from(self.as_str())
    }
}

macro_rules! counts {
    ($($whole:ty),*) => {$(
        impl Argument for $whole {
            fn value(&self) -> FluentValue<'_> {
                FluentValue::from(*self)
            }
        }
    )*};
}

counts!(u8, u16, u32, u64, usize, i32, i64);

/// A number written with a fixed count of decimals and a point, the same on every machine.
///
/// Zero never carries a minus sign. A value that is not finite reads `-`.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "-".to_owned();
    }
    let written = format!("{value:.decimals$}");
    match written.strip_prefix('-') {
        Some(digits) if digits.bytes().all(|b| b == b'0' || b == b'.') => digits.to_owned(),
        _ => written,
    }
}

/// The text with this id, its `{ $names }` filled in.
///
/// A missing id or argument is a mistake of ours: tests of this crate panic on it; a running
/// program shows the id in brackets and carries on.
#[must_use]
pub fn say(id: &str, arguments: &[(&str, &dyn Argument)]) -> String {
    match CATALOGUE.say(id, arguments) {
        Ok(text) => text,
        Err(shown) => {
            #[cfg(test)]
            panic!("text {id} cannot be written: {shown}");
            #[cfg(not(test))]
            shown
        }
    }
}

/// Is there a text with this id?
#[must_use]
pub fn exists(id: &str) -> bool {
    CATALOGUE.bundle.has_message(id)
}

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::new(language()));

struct Catalogue {
    bundle: FluentBundle<FluentResource>,
}

impl Catalogue {
    /// Reads the texts of a language. A line that is no Fluent is left out here and fails a test.
    fn new(language: Language) -> Self {
        let tag: LanguageIdentifier = language.tag().parse().unwrap_or_default();
        let mut bundle = FluentBundle::new_concurrent(vec![tag]);
        // The marks that isolate right-to-left text show as rubbish in plain terminals.
        bundle.set_use_isolating(false);
        for (_, source) in language.sources() {
            let resource = match FluentResource::try_new(source.to_owned()) {
                Ok(resource) | Err((resource, _)) => resource,
            };
            bundle.add_resource_overriding(resource);
        }
        Self { bundle }
    }

    fn say(&self, id: &str, arguments: &[(&str, &dyn Argument)]) -> Result<String, String> {
        let Some(pattern) = self.bundle.get_message(id).and_then(|m| m.value()) else {
            return Err(format!("[{id}]"));
        };
        let mut filled = FluentArgs::with_capacity(arguments.len());
        for (name, argument) in arguments {
            filled.set(*name, argument.value());
        }
        let mut errors = Vec::new();
        let text = self
            .bundle
            .format_pattern(pattern, Some(&filled), &mut errors)
            .into_owned();
        if errors.is_empty() {
            Ok(text)
        } else {
            Err(text)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_text_shows_its_id_in_brackets() {
        // Not through `say`, which panics in tests.
        assert_eq!(
            CATALOGUE.say("no-such-text", &[]),
            Err("[no-such-text]".to_owned())
        );
    }

    #[test]
    #[should_panic(expected = "cannot be written")]
    fn a_missing_text_is_loud_in_tests() {
        let _ = say("no-such-text", &[]);
    }

    #[test]
    fn a_missing_argument_is_noticed_and_still_shows_the_rest() {
        let text = CATALOGUE.say("data-at-file", &[("file", &"a.ron")]);
        assert_eq!(text, Err("a.ron: {$message}".to_owned()));
    }

    #[test]
    fn texts_carry_no_invisible_marks() {
        let text = say("data-at-file", &[("file", &"a.ron"), ("message", &"full")]);
        assert_eq!(text, "a.ron: full");
    }

    #[test]
    fn numbers_are_written_the_same_everywhere() {
        assert_eq!(number(1234.5678, 1), "1234.6");
        assert_eq!(number(-0.0001, 2), "0.00");
        assert_eq!(number(-1.5, 1), "-1.5");
        assert_eq!(number(f64::NAN, 1), "-");
    }
}
