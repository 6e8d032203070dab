//! One value of a file, wherever it stands: in a field, a list or a tuple.

use std::ops::RangeInclusive;

use super::super::problem::{Expected, Kind};
use super::super::source::Source;
use super::super::syntax::{Field, Name, Node, Value};
use super::super::units;
use super::ids::{Ids, near};
use super::{Reader, Sink};
use crate::text::say;

/// One value, and where to report what is wrong with it.
///
/// A cell without a value (a field that is missing, or of the wrong type) gives stand-ins and
/// reports nothing: what is wrong has been reported already.
pub struct Cell<'r, 'a> {
    source: &'a Source,
    node: Option<&'a Node>,
    path: String,
    /// The name whose unit the value is in; the last name of the path if there is no other.
    unit_from: Option<&'static str>,
    sink: &'r mut Sink,
}

/// A whole number of some width.
pub trait Whole: Copy + Into<i128> + TryFrom<i128> {}

impl<N: Copy + Into<i128> + TryFrom<i128>> Whole for N {}

impl<'r, 'a> Cell<'r, 'a> {
    pub(super) fn new(
        source: &'a Source,
        node: Option<&'a Node>,
        path: String,
        sink: &'r mut Sink,
    ) -> Self {
        Self {
            source,
            node,
            path,
            unit_from: None,
            sink,
        }
    }

    /// The same value, in the unit that this name ends in.
    pub fn named(&mut self, name: &'static str) -> &mut Self {
        self.unit_from = Some(name);
        self
    }

    /// From here on this cell gives stand-ins only.
    pub(super) fn silence(&mut self) {
        self.node = None;
    }

    /// Reports a problem of this value, if there is a value.
    pub fn problem(&mut self, kind: Kind) {
        if let Some(node) = self.node {
            self.sink.push(
                self.source
                    .problem(node.span.start as usize, &self.path, kind),
            );
        }
    }

    /// Reports that another kind of value is wanted.
    pub(super) fn wrong_type(&mut self, expected: Expected) {
        let found = self.written();
        self.problem(Kind::WrongType { expected, found });
    }

    /// The value as written.
    fn written(&self) -> String {
        self.node
            .map(|n| self.source.excerpt(n.span))
            .unwrap_or_default()
    }

    fn field_name(&self) -> &str {
        if let Some(name) = self.unit_from {
            return name;
        }
        let last = self.path.rsplit('.').next().unwrap_or_default();
        last.split('[').next().unwrap_or_default()
    }

    /// A range with the unit that the field's name ends in.
    fn range(&self, low: &str, high: &str) -> String {
        match units::shown(self.field_name()) {
            Some(unit) => say(
                "data-range-unit",
                &[("low", &low), ("high", &high), ("unit", &unit)],
            ),
            None => say("data-range", &[("low", &low), ("high", &high)]),
        }
    }

    /// A number within a range; whole numbers are taken too.
    pub fn f64(&mut self, range: RangeInclusive<f64>) -> f64 {
        let stand_in = *range.start();
        let Some(node) = self.node else {
            return stand_in;
        };
        let value = match node.value {
            // Data ranges are far below 2^53, beyond which an f64 rounds whole numbers.
            #[allow(clippy::cast_precision_loss)]
            Value::Int(value) => value as f64,
            Value::Float(value) => value,
            _ => {
                self.wrong_type(Expected::Number);
                return stand_in;
            }
        };
        if !value.is_finite() {
            let value = self.written();
            self.problem(Kind::NotFinite { value });
            return stand_in;
        }
        if !range.contains(&value) {
            let allowed = self.range(&range.start().to_string(), &range.end().to_string());
            let value = self.written();
            self.problem(Kind::OutOfRange { value, allowed });
            return stand_in;
        }
        match &mut self.sink.perturb {
            Some(perturb) => perturb.number(value, &range),
            None => value,
        }
    }

    /// A whole number within a range.
    pub fn whole<N: Whole>(&mut self, range: RangeInclusive<N>) -> N {
        let stand_in = *range.start();
        let Some(node) = self.node else {
            return stand_in;
        };
        let Value::Int(value) = node.value else {
            match node.value {
                Value::Float(v) if !v.is_finite() => {
                    let value = self.written();
                    self.problem(Kind::NotFinite { value });
                }
                _ => self.wrong_type(Expected::Whole),
            }
            return stand_in;
        };
        let (low, high): (i128, i128) = (stand_in.into(), (*range.end()).into());
        match N::try_from(value) {
            Ok(whole) if (low..=high).contains(&value) => whole,
            _ => {
                let allowed = self.range(&low.to_string(), &high.to_string());
                let value = self.written();
                self.problem(Kind::OutOfRange { value, allowed });
                stand_in
            }
        }
    }

    /// `true` or `false`.
    pub fn bool(&mut self) -> bool {
        match self.node.map(|n| &n.value) {
            Some(Value::Bool(value)) => *value,
            _ => {
                self.wrong_type(Expected::TrueOrFalse);
                false
            }
        }
    }

    /// A text that says something, of at most `limit` characters, without control characters
    /// other than line ends.
    pub fn text(&mut self, limit: usize) -> String {
        let Some(node) = self.node else {
            return String::new();
        };
        let Value::Text(text) = &node.value else {
            self.wrong_type(Expected::Text);
            return String::new();
        };
        let count = text.chars().count();
        if text.trim().is_empty() {
            self.problem(Kind::EmptyText);
        } else if count > limit {
            self.problem(Kind::TextTooLong { count, limit });
        } else if let Some(bad) = text.chars().find(|c| c.is_control() && *c != '\n') {
            self.problem(Kind::ControlCharacter {
                code: format!("U+{:04X}", u32::from(bad)),
            });
        }
        text.clone()
    }

    /// One of the words, and what it stands for.
    ///
    /// # Panics
    /// When `words` is empty: a mistake of the schema.
    pub fn word<T: Copy>(&mut self, words: &[(&'static str, T)]) -> T {
        let stand_in = words[0].1;
        let Some(node) = self.node else {
            return stand_in;
        };
        let Value::Word(word) = &node.value else {
            self.wrong_type(Expected::Word);
            return stand_in;
        };
        match words.iter().find(|(name, _)| name == word) {
            Some((_, value)) => *value,
            None => {
                self.unknown(word, words.iter().map(|(name, _)| *name));
                stand_in
            }
        }
    }

    /// One of the words, which must not have been there before; it is added to `ids`.
    ///
    /// # Panics
    /// When `words` is empty: a mistake of the schema.
    pub fn new_word<T: Copy>(&mut self, words: &[(&'static str, T)], ids: &mut Ids) -> T {
        let value = self.word(words);
        if let Some(Node {
            value: Value::Word(word),
            ..
        }) = self.node
        {
            self.add(word, ids);
        }
        value
    }

    /// A text that must be among `known` and must not have been there before; it is added to
    /// `ids`.
    pub fn new_name(&mut self, known: &[&'static str], ids: &mut Ids) -> String {
        let Some(node) = self.node else {
            return String::new();
        };
        let Value::Text(name) = &node.value else {
            self.wrong_type(Expected::Text);
            return String::new();
        };
        if known.contains(&name.as_str()) {
            self.add(name, ids);
        } else {
            self.unknown(name, known.iter().copied());
        }
        name.clone()
    }

    /// Is it written with fields?
    #[must_use]
    pub fn has_fields(&self) -> bool {
        matches!(self.node.map(|n| &n.value), Some(Value::Struct(..)))
    }

    fn add(&mut self, id: &str, ids: &mut Ids) {
        if let Some(node) = self.node {
            let place = self.source.place(node.span.start as usize);
            if let Some(first) = ids.add(id, place) {
                let name = id.to_owned();
                self.problem(Kind::Repeated { name, first });
            }
        }
    }

    /// `Name(field: ...)` or a bare `Name`, one of several; `body` reads the fields of the one
    /// that is written.
    ///
    /// # Panics
    /// When `variants` is empty: a mistake of the schema.
    pub fn variant<K: Copy, T>(
        &mut self,
        variants: &[(&'static str, K)],
        body: impl FnOnce(K, &mut Reader<'_, 'a>) -> T,
    ) -> T {
        let names = || variants.iter().map(|(name, _)| *name);
        let (name, fields): (Option<&str>, &'a [Field]) = match self.node.map(|n| &n.value) {
            None => (None, &[]),
            Some(Value::Word(word)) => (Some(word), &[]),
            Some(Value::Struct(Some(name), fields)) => (Some(&name.text), fields),
            Some(Value::Tuple(Some(name), items)) if items.is_empty() => (Some(&name.text), &[]),
            Some(_) => {
                self.wrong_type(Expected::Named(names().collect::<Vec<_>>().join(" | ")));
                (None, &[])
            }
        };
        let chosen = name.and_then(|n| variants.iter().find(|(known, _)| *known == n));
        match (name, chosen) {
            (_, Some((_, kind))) => {
                let kind = *kind;
                self.fields(fields, |r| body(kind, r))
            }
            (Some(written), None) => {
                self.unknown(written, names());
                self.silence();
                self.fields(&[], |r| body(variants[0].1, r))
            }
            (None, None) => {
                self.silence();
                self.fields(&[], |r| body(variants[0].1, r))
            }
        }
    }

    /// An id that must not have been there before; it is added to `ids`.
    pub fn new_id(&mut self, ids: &mut Ids) -> String {
        let Some(id) = self.id() else {
            return String::new();
        };
        self.add(&id, ids);
        id
    }

    /// An id that must be among `ids`.
    pub fn reference(&mut self, ids: &Ids) -> String {
        let Some(id) = self.id() else {
            return String::new();
        };
        if !ids.has(&id) {
            self.unknown(&id, ids.iter());
        }
        id
    }

    /// An id that must be among `known`, and not have been there before; it is added to `ids`.
    pub fn new_reference(&mut self, known: &Ids, ids: &mut Ids) -> String {
        let id = self.reference(known);
        self.add(&id, ids);
        id
    }

    fn id(&mut self) -> Option<String> {
        let Value::Text(id) = &self.node?.value else {
            self.wrong_type(Expected::Text);
            return None;
        };
        let good = id.starts_with(|c: char| c.is_ascii_lowercase() || c.is_ascii_digit())
            && id
                .bytes()
                .all(|b| b == b'_' || b.is_ascii_lowercase() || b.is_ascii_digit())
            && id.len() <= 64;
        if !good {
            let value = self.written();
            self.problem(Kind::BadId { value });
            return None;
        }
        Some(id.clone())
    }

    fn unknown<'k>(&mut self, written: &str, known: impl Iterator<Item = &'k str>) {
        let allowed: Vec<String> = known.map(str::to_owned).collect();
        let near = near(written, allowed.iter().map(String::as_str)).map(str::to_owned);
        let value = written.chars().take(64).collect();
        self.problem(Kind::Unknown {
            value,
            near,
            allowed,
        });
    }

    /// A struct, unnamed or with this name.
    pub fn record<T>(
        &mut self,
        name: &'static str,
        body: impl FnOnce(&mut Reader<'_, 'a>) -> T,
    ) -> T {
        let right = |written: &Option<Name>| written.as_ref().is_none_or(|n| n.text == name);
        let fields: &'a [Field] = match self.node.map(|n| &n.value) {
            Some(Value::Struct(written, fields)) if right(written) => fields,
            Some(Value::Tuple(written, items)) if items.is_empty() && right(written) => &[],
            Some(Value::Struct(..) | Value::Tuple(Some(_), _)) => {
                self.wrong_type(Expected::Named(name.to_owned()));
                self.silence();
                &[]
            }
            _ => {
                self.wrong_type(Expected::Fields);
                self.silence();
                &[]
            }
        };
        self.fields(fields, body)
    }

    fn fields<T>(&mut self, fields: &'a [Field], body: impl FnOnce(&mut Reader<'_, 'a>) -> T) -> T {
        let span = self.node.map(|n| n.span);
        let mut reader = Reader::new(self.source, self.sink, self.path.clone(), span, fields);
        let value = body(&mut reader);
        reader.finish();
        value
    }

    /// The one value within round brackets, as in `Hoses([...])`; its path is the name in lower
    /// case.
    pub(super) fn inside(&mut self, name: &str) -> Cell<'_, 'a> {
        let inner = match self.node.map(|n| &n.value) {
            Some(Value::Tuple(_, items)) if items.len() == 1 => Some(&items[0]),
            _ => {
                self.wrong_type(Expected::NamedList(name.to_owned()));
                None
            }
        };
        Cell::new(self.source, inner, name.to_ascii_lowercase(), self.sink)
    }

    /// A list of so many items.
    pub fn list<T>(
        &mut self,
        count: RangeInclusive<usize>,
        mut item: impl FnMut(&mut Cell<'_, 'a>) -> T,
    ) -> Vec<T> {
        let Some(node) = self.node else {
            return Vec::new();
        };
        let Value::List(items) = &node.value else {
            self.wrong_type(Expected::List);
            return Vec::new();
        };
        if !count.contains(&items.len()) {
            let allowed = say(
                "data-range",
                &[
                    ("low", &count.start().to_string()),
                    ("high", &count.end().to_string()),
                ],
            );
            self.problem(Kind::WrongCount {
                count: items.len(),
                allowed,
            });
        }
        // A list that is far too long is not read to its end.
        let items = items.iter().take(*count.end()).enumerate();
        items
            .map(|(index, node)| {
                let path = format!("{}[{index}]", self.path);
                item(&mut Cell::new(self.source, Some(node), path, self.sink))
            })
            .collect()
    }

    /// Exactly so many numbers in round or square brackets, each within the range.
    pub fn numbers<const N: usize>(&mut self, range: RangeInclusive<f64>) -> [f64; N] {
        let items = match self.node.map(|n| &n.value) {
            Some(Value::Tuple(None, items) | Value::List(items)) if items.len() == N => {
                items.as_slice()
            }
            _ => {
                self.wrong_type(Expected::Values(N));
                self.silence();
                &[]
            }
        };
        std::array::from_fn(|index| {
            let path = format!("{}[{index}]", self.path);
            Cell::new(self.source, items.get(index), path, self.sink).f64(range.clone())
        })
    }
}
