//! How a problem reads, for people and for programs.

use std::fmt;

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::{Expected, Kind, Problem, Problems};
use crate::text::{Argument, say};

impl fmt::Display for Expected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Self::Value => say("data-expected-value", &[]),
            Self::FieldName => say("data-expected-field-name", &[]),
            Self::Sign(sign) => say("data-expected-sign", &[("sign", &sign.to_string())]),
            Self::CommaOr(close) => say("data-expected-comma", &[("close", &close.to_string())]),
            Self::EndOfFile => say("data-expected-end", &[]),
            Self::Number => say("data-expected-number", &[]),
            Self::Whole => say("data-expected-whole", &[]),
            Self::TrueOrFalse => say("data-expected-true-false", &[]),
            Self::Text => say("data-expected-text", &[]),
            Self::List => say("data-expected-list", &[]),
            Self::Map => say("data-expected-map", &[]),
            Self::Fields => say("data-expected-fields", &[]),
            Self::Values(count) => say("data-expected-values", &[("count", count)]),
            Self::Word => say("data-expected-word", &[]),
            Self::NamedList(name) => say("data-expected-named-list", &[("name", name)]),
            Self::Named(name) => say("data-expected-named", &[("name", name)]),
        };
        f.write_str(&text)
    }
}

/// At most this many names of a list are shown.
const NAMES_SHOWN: usize = 24;

fn list(names: &[String]) -> String {
    let shown = names
        .iter()
        .take(NAMES_SHOWN)
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join(", ");
    match names.len().saturating_sub(NAMES_SHOWN) {
        0 if names.is_empty() => say("data-none", &[]),
        0 => shown,
        more => say("data-and-more", &[("names", &shown), ("more", &more)]),
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Self::CannotRead { reason } => say("data-cannot-read", &[("reason", reason)]),
            Self::FileTooLarge { limit_mib } => say("data-file-too-large", &[("limit", limit_mib)]),
            Self::NotUtf8 { byte } => say("data-not-utf8", &[("byte", byte)]),
            Self::Unexpected {
                expected,
                found: Some(found),
            } => say(
                "data-unexpected",
                &[("expected", &expected.to_string()), ("found", found)],
            ),
            Self::Unexpected {
                expected,
                found: None,
            } => say(
                "data-unexpected-end",
                &[("expected", &expected.to_string())],
            ),
            Self::Unclosed {
                close,
                open,
                opened,
            } => say(
                "data-unclosed",
                &[
                    ("close", &close.to_string()),
                    ("open", &open.to_string()),
                    ("line", &opened.line.to_string()),
                    ("column", &opened.column.to_string()),
                ],
            ),
            Self::UnclosedText => say("data-unclosed-text", &[]),
            Self::UnclosedComment => say("data-unclosed-comment", &[]),
            Self::BadEscape { written } => say("data-bad-escape", &[("written", written)]),
            Self::BadNumber { written } => say("data-bad-number", &[("written", written)]),
            Self::TooDeep { limit } => say("data-too-deep", &[("limit", limit)]),
            Self::TooMany { limit } => say("data-too-many", &[("limit", limit)]),
            Self::MissingField { field } => say("data-missing-field", &[("field", field)]),
            Self::UnknownField {
                field,
                near: Some(near),
                ..
            } => say(
                "data-unknown-field-near",
                &[("field", field), ("near", near)],
            ),
            Self::UnknownField {
                field,
                near: None,
                allowed,
            } => say(
                "data-unknown-field",
                &[("field", field), ("allowed", &list(allowed))],
            ),
            Self::WrongUnit {
                field,
                wanted,
                unit,
            } => say(
                "data-wrong-unit",
                &[("field", field), ("wanted", wanted), ("unit", unit)],
            ),
            Self::Repeated { name, first } => say(
                "data-repeated",
                &[
                    ("name", name),
                    ("line", &first.line.to_string()),
                    ("column", &first.column.to_string()),
                ],
            ),
            Self::WrongType { expected, found } => say(
                "data-wrong-type",
                &[("expected", &expected.to_string()), ("found", found)],
            ),
            Self::OutOfRange { value, allowed } => say(
                "data-out-of-range",
                &[("value", value), ("allowed", allowed)],
            ),
            Self::WrongCount { count, allowed } => say(
                "data-wrong-count",
                &[("count", count), ("allowed", allowed)],
            ),
            Self::NotFinite { value } => say("data-not-finite", &[("value", value)]),
            Self::EmptyText => say("data-empty-text", &[]),
            Self::TextTooLong { count, limit } => {
                say("data-text-too-long", &[("count", count), ("limit", limit)])
            }
            Self::ControlCharacter { code } => say("data-control-character", &[("code", code)]),
            Self::BadDate { value } => say("data-bad-date", &[("value", value)]),
            Self::NoLevelHere => say("data-no-level-here", &[]),
            Self::NoRoot { allowed } => say("data-no-root", &[("allowed", &list(allowed))]),
            Self::Absent => say("data-absent", &[]),
            Self::Damaged => say("data-damaged", &[]),
            Self::AndMore { count } => say("data-and-more-problems", &[("count", count)]),
            Self::BadId { value } => say("data-bad-id", &[("value", value)]),
            Self::Unknown {
                value,
                near: Some(near),
                allowed,
            } => say(
                "data-unknown-near",
                &[
                    ("value", value),
                    ("near", near),
                    ("allowed", &list(allowed)),
                ],
            ),
            Self::Unknown {
                value,
                near: None,
                allowed,
            } => say(
                "data-unknown",
                &[("value", value), ("allowed", &list(allowed))],
            ),
            Self::Clash { text, values } => {
                let values: Vec<(&str, &dyn Argument)> = values
                    .iter()
                    .map(|(n, v)| (*n, v as &dyn Argument))
                    .collect();
                say(text, &values)
            }
        };
        f.write_str(&text)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let message = self.kind.to_string();
        let Some(place) = self.place else {
            return f.write_str(&say(
                "data-at-file",
                &[("file", &self.file), ("message", &message)],
            ));
        };
        let (line, column) = (place.line.to_string(), place.column.to_string());
        let text = if self.path.is_empty() {
            say(
                "data-at-place",
                &[
                    ("file", &self.file),
                    ("line", &line),
                    ("column", &column),
                    ("message", &message),
                ],
            )
        } else {
            say(
                "data-at-field",
                &[
                    ("file", &self.file),
                    ("line", &line),
                    ("column", &column),
                    ("path", &self.path),
                    ("message", &message),
                ],
            )
        };
        f.write_str(&text)
    }
}

impl Serialize for Problem {
    /// Keys: `file`, `line`, `column` (both absent for a file as a whole), `field`, `kind`,
    /// `value`, `near`, `allowed` (each absent where it means nothing), `message`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("file", &self.file)?;
        if let Some(place) = self.place {
            map.serialize_entry("line", &place.line)?;
            map.serialize_entry("column", &place.column)?;
        }
        if !self.path.is_empty() {
            map.serialize_entry("field", &self.path)?;
        }
        map.serialize_entry("kind", self.kind.name())?;
        if let Some(value) = self.kind.value() {
            map.serialize_entry("value", value)?;
        }
        if let Some(near) = self.kind.near() {
            map.serialize_entry("near", near)?;
        }
        let allowed = self.kind.allowed();
        if !allowed.is_empty() {
            map.serialize_entry("allowed", &allowed)?;
        }
        map.serialize_entry("message", &self.kind.to_string())?;
        map.end()
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.0.iter().enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            problem.fmt(f)?;
        }
        Ok(())
    }
}

impl Serialize for Problems {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(&self.0)
    }
}
