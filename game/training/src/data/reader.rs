//! Typed reading of a tree, gathering everything that is wrong in it.
//!
//! ```text
//! read(&document, "Hose", |r| Hose {
//!     id: r.new_id("id", &mut ids),
//!     length_m: r.f64("length_m", 0.5..=200.0),
//! })
//! ```
//!
//! Each method asks for a field by name and gives back a value at once, so a schema reads as the
//! struct it builds. After an error it gives a stand-in inside the allowed range and goes on; the
//! stand-in never leaves, because [`read`] gives a value only when nothing was wrong at all. Fields that
//! nobody asked for are unknown fields. Checks between values go through [`Reader::check`], which
//! keeps quiet while the values themselves are wrong.

mod cell;
mod ids;
mod perturb;

pub use cell::{Cell, Whole};
pub use ids::{Ids, near};
pub use perturb::Perturb;

use std::ops::RangeInclusive;

use super::problem::{Expected, Kind, Problem, Problems};
use super::source::{Place, Source, Span};
use super::syntax::{Document, Field, Node, Value};
use super::units;

/// At most this many problems of one file are kept; the rest are counted.
pub const PROBLEMS_KEPT: usize = 200;

/// Reads a file whose root is `name(...)`.
///
/// # Errors
/// Everything that is wrong in the file.
pub fn read<'a, T>(
    document: &'a Document,
    name: &'static str,
    body: impl FnOnce(&mut Reader<'_, 'a>) -> T,
) -> Result<T, Problems> {
    Reading::of(document)
        .record(name, body)
        .map(|read| read.value)
}

/// How a file is read.
pub struct Reading<'a, 'p> {
    document: &'a Document,
    perturb: Option<&'p mut Perturb>,
    lenient: bool,
    kept: bool,
}

/// What came of reading a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Read<T> {
    /// The value.
    pub value: T,
    /// Checks between values that failed, when they are only [reported](Reading::lenient).
    pub clashes: Problems,
}

impl<'a, 'p> Reading<'a, 'p> {
    /// Reads this file as it is written.
    #[must_use]
    pub fn of(document: &'a Document) -> Self {
        Self {
            document,
            perturb: None,
            lenient: false,
            kept: false,
        }
    }

    /// Reads a file that was kept in a recording: it may lack what was asked for only later.
    #[must_use]
    pub fn kept(mut self, kept: bool) -> Self {
        self.kept = kept;
        self
    }

    /// Changes every number at random on the way; counts and words stay.
    #[must_use]
    pub fn perturbed(mut self, perturb: Option<&'p mut Perturb>) -> Self {
        self.perturb = perturb;
        self
    }

    /// Reports checks between values that fail, instead of refusing the file.
    #[must_use]
    pub fn lenient(mut self, lenient: bool) -> Self {
        self.lenient = lenient;
        self
    }

    /// Reads a root `name(...)` with fields.
    ///
    /// # Errors
    /// Everything that is wrong in the file.
    pub fn record<T>(
        self,
        name: &'static str,
        body: impl FnOnce(&mut Reader<'_, 'a>) -> T,
    ) -> Result<Read<T>, Problems> {
        self.root(name, |cell| cell.record(name, body))
    }

    /// Reads a root `name([...])`; in paths the items stand under the name in lower case.
    ///
    /// # Errors
    /// Everything that is wrong in the file.
    pub fn list<T>(
        self,
        name: &'static str,
        count: RangeInclusive<usize>,
        item: impl FnMut(&mut Cell<'_, 'a>) -> T,
    ) -> Result<Read<Vec<T>>, Problems> {
        self.root(name, |cell| cell.inside(name).list(count, item))
    }

    fn root<T>(
        self,
        name: &'static str,
        body: impl FnOnce(&mut Cell<'_, 'a>) -> T,
    ) -> Result<Read<T>, Problems> {
        let mut sink = Sink {
            perturb: self.perturb.as_deref().cloned(),
            lenient: self.lenient,
            kept: self.kept,
            ..Sink::default()
        };
        let (source, root) = (&self.document.source, &self.document.root);
        // A file says what it is, so one in the wrong folder is not taken for a faulty one.
        let named = match &root.value {
            Value::Struct(Some(written), _) | Value::Tuple(Some(written), _) => {
                written.text == name
            }
            _ => false,
        };
        let mut cell = Cell::new(source, Some(root), String::new(), &mut sink);
        if !named {
            cell.wrong_type(Expected::Named(name.to_owned()));
            cell.silence();
        }
        let value = body(&mut cell);
        if let (Some(theirs), Some(ours)) = (self.perturb, sink.perturb) {
            *theirs = ours;
        }
        if sink.dropped > 0 {
            let kind = Kind::AndMore {
                count: sink.dropped,
            };
            sink.problems.push(Problem::of_file(source.name(), kind));
        }
        let clashes = Problems::from(sink.clashes);
        Problems::from(sink.problems).or(Read { value, clashes })
    }
}

/// Where problems of one file are gathered.
#[derive(Debug, Default)]
struct Sink {
    problems: Vec<Problem>,
    dropped: usize,
    clashes: Vec<Problem>,
    /// How many checks between values are among the problems.
    clashed: usize,
    lenient: bool,
    kept: bool,
    perturb: Option<Perturb>,
}

impl Sink {
    /// Counts a problem that is not kept, when there are too many; then it need not be put
    /// together.
    fn is_full(&mut self) -> bool {
        let full = self.problems.len() >= PROBLEMS_KEPT;
        self.dropped += usize::from(full);
        full
    }

    fn push(&mut self, problem: Problem) {
        if self.problems.len() < PROBLEMS_KEPT {
            self.problems.push(problem);
        } else {
            self.dropped += 1;
        }
    }

    /// Problems of single values so far.
    fn count(&self) -> usize {
        self.problems.len() + self.dropped - self.clashed
    }
}

/// Reads the fields of one struct.
pub struct Reader<'r, 'a> {
    source: &'a Source,
    sink: &'r mut Sink,
    path: String,
    /// The struct as written; nothing when a stand-in is read.
    span: Option<Span>,
    fields: Vec<Written<'a>>,
    known: Vec<&'static str>,
    missing: Vec<&'static str>,
    problems_before: usize,
}

/// How much was wrong at some moment of reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    problems: usize,
    missing: usize,
}

/// A field as written, and whether it was asked for.
struct Written<'a> {
    field: &'a Field,
    asked: bool,
    repeated: bool,
}

impl<'r, 'a> Reader<'r, 'a> {
    fn new(
        source: &'a Source,
        sink: &'r mut Sink,
        path: String,
        span: Option<Span>,
        fields: &'a [Field],
    ) -> Self {
        let problems_before = sink.count();
        let mut reader = Self {
            source,
            sink,
            path,
            span,
            fields: Vec::with_capacity(fields.len()),
            known: Vec::new(),
            missing: Vec::new(),
            problems_before,
        };
        let mut first = std::collections::BTreeMap::new();
        for field in fields {
            let name = field.name.text.as_str();
            let start = field.name.span.start as usize;
            let repeated = match first.get(name) {
                None => {
                    first.insert(name, start);
                    false
                }
                Some(_) if reader.sink.is_full() => true,
                Some(earlier) => {
                    let first = source.place(*earlier);
                    let kind = Kind::Repeated {
                        name: name.to_owned(),
                        first,
                    };
                    reader
                        .sink
                        .push(source.problem(start, &join(&reader.path, name), kind));
                    true
                }
            };
            reader.fields.push(Written {
                field,
                asked: false,
                repeated,
            });
        }
        reader
    }

    /// The value of a field, if it is written.
    fn find(&mut self, name: &'static str) -> Option<&'a Node> {
        self.known.push(name);
        let written = self
            .fields
            .iter_mut()
            .find(|w| !w.repeated && w.field.name.text == name)?;
        written.asked = true;
        Some(&written.field.value)
    }

    fn cell(&mut self, name: &'static str, node: Option<&'a Node>) -> Cell<'_, 'a> {
        Cell::new(self.source, node, join(&self.path, name), self.sink)
    }

    /// A field that must be there, read by `body`.
    pub fn field<T>(&mut self, name: &'static str, body: impl FnOnce(&mut Cell<'_, 'a>) -> T) -> T {
        let node = self.find(name);
        if node.is_none() {
            self.missing.push(name);
        }
        body(&mut self.cell(name, node))
    }

    /// A field that may be left out or be `None`; written plainly or as `Some(x)`.
    pub fn option<T>(
        &mut self,
        name: &'static str,
        body: impl FnOnce(&mut Cell<'_, 'a>) -> T,
    ) -> Option<T> {
        let node = match self.find(name)? {
            Node {
                value: Value::Nothing,
                ..
            } => return None,
            Node {
                value: Value::Some(inner),
                ..
            } => inner,
            node => node,
        };
        Some(body(&mut self.cell(name, Some(node))))
    }

    /// A field that files have to have today, and that one [kept](Reading::kept) in a recording
    /// may lack because it was asked for only later.
    pub fn later<T>(
        &mut self,
        name: &'static str,
        body: impl FnOnce(&mut Cell<'_, 'a>) -> T,
    ) -> Option<T> {
        if self.sink.kept {
            self.option(name, body)
        } else {
            Some(self.field(name, body))
        }
    }

    /// A number within a range; whole numbers are taken too.
    pub fn f64(&mut self, name: &'static str, range: RangeInclusive<f64>) -> f64 {
        self.field(name, |c| c.f64(range))
    }

    /// A whole number within a range.
    pub fn whole<N: Whole>(&mut self, name: &'static str, range: RangeInclusive<N>) -> N {
        self.field(name, |c| c.whole(range))
    }

    /// `true` or `false`.
    pub fn bool(&mut self, name: &'static str) -> bool {
        self.field(name, |c| c.bool())
    }

    /// A text that says something, of at most `limit` characters.
    pub fn text(&mut self, name: &'static str, limit: usize) -> String {
        self.field(name, |c| c.text(limit))
    }

    /// One of the words, and what it stands for.
    pub fn word<T: Copy>(&mut self, name: &'static str, words: &[(&'static str, T)]) -> T {
        self.field(name, |c| c.word(words))
    }

    /// An id that must not have been there before; it is added to `ids`.
    pub fn new_id(&mut self, name: &'static str, ids: &mut Ids) -> String {
        self.field(name, |c| c.new_id(ids))
    }

    /// An id that must be among `ids`.
    pub fn reference(&mut self, name: &'static str, ids: &Ids) -> String {
        self.field(name, |c| c.reference(ids))
    }

    /// A struct, unnamed or with this name.
    pub fn record<T>(
        &mut self,
        name: &'static str,
        struct_name: &'static str,
        body: impl FnOnce(&mut Reader<'_, 'a>) -> T,
    ) -> T {
        self.field(name, |c| c.record(struct_name, body))
    }

    /// A list of so many items.
    pub fn list<T>(
        &mut self,
        name: &'static str,
        count: RangeInclusive<usize>,
        item: impl FnMut(&mut Cell<'_, 'a>) -> T,
    ) -> Vec<T> {
        self.field(name, |c| c.list(count, item))
    }

    /// Is everything read of this struct so far as it should be?
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.is_clean_since(self.mark_at_start())
    }

    /// A mark to ask [`Reader::is_clean_since`] with, about the values read after it.
    #[must_use]
    pub fn mark(&self) -> Mark {
        Mark {
            problems: self.sink.count(),
            missing: self.missing.len(),
        }
    }

    fn mark_at_start(&self) -> Mark {
        Mark {
            problems: self.problems_before,
            missing: 0,
        }
    }

    /// Is everything read of this struct since the mark as it should be?
    #[must_use]
    pub fn is_clean_since(&self, mark: Mark) -> bool {
        self.span.is_some() && self.mark() == mark
    }

    /// Demands something of values that are each fine.
    ///
    /// When it does not hold, the problem stands at the field `name`, or at the struct itself for
    /// an empty name, and its message is the text `text` with `values` filled in. Says nothing while the struct is not [clean](Self::is_clean).
    pub fn check(
        &mut self,
        name: &'static str,
        holds: bool,
        text: &'static str,
        values: Vec<(&'static str, String)>,
    ) {
        self.check_since(self.mark_at_start(), name, holds, text, values);
    }

    /// As [`Reader::check`], but says nothing only while what was read since the mark is not
    /// clean.
    pub fn check_since(
        &mut self,
        mark: Mark,
        name: &'static str,
        holds: bool,
        text: &'static str,
        values: Vec<(&'static str, String)>,
    ) {
        if holds || !self.is_clean_since(mark) {
            return;
        }
        let span = self
            .fields
            .iter()
            .find(|w| w.field.name.text == name)
            .map_or(self.span, |w| Some(w.field.value.span));
        if let Some(span) = span {
            let path = join(&self.path, name);
            let kind = Kind::Clash { text, values };
            let problem = self.source.problem(span.start as usize, &path, kind);
            if self.sink.lenient {
                self.sink.clashes.push(problem);
            } else {
                self.sink.clashed += 1;
                self.sink.push(problem);
            }
        }
    }

    /// Where the value of a field stands, if it is written.
    #[must_use]
    pub fn place(&self, name: &str) -> Option<Place> {
        let written = self.fields.iter().find(|w| w.field.name.text == name)?;
        Some(self.source.place(written.field.value.span.start as usize))
    }

    /// Reports fields that nobody asked for and fields that are not there.
    ///
    /// A field with another unit, or with a slip in its name, is one problem and not two.
    fn finish(mut self) {
        let Some(span) = self.span else { return };
        let mut missing = std::mem::take(&mut self.missing);
        for written in self.fields.iter().filter(|w| !w.asked && !w.repeated) {
            if self.sink.is_full() {
                continue;
            }
            let name = &written.field.name;
            let field = name.text.clone();
            let unit_slip = missing
                .iter()
                .chain(&self.known)
                .copied()
                .find(|known| units::differ_in_unit_only(&field, known));
            let near = unit_slip.or_else(|| {
                let first = ids::near(&field, missing.iter().copied());
                first.or_else(|| ids::near(&field, self.known.iter().copied()))
            });
            missing.retain(|m| Some(*m) != near);
            let kind = match (unit_slip, near) {
                (Some(wanted), _) => Kind::WrongUnit {
                    field,
                    wanted: wanted.to_owned(),
                    unit: units::shown(wanted).unwrap_or_default().to_owned(),
                },
                (None, near) => Kind::UnknownField {
                    field,
                    near: near.map(str::to_owned),
                    allowed: self.known.iter().map(|k| (*k).to_owned()).collect(),
                },
            };
            let path = join(&self.path, &name.text);
            self.sink
                .push(self.source.problem(name.span.start as usize, &path, kind));
        }
        for field in missing {
            let path = join(&self.path, field);
            let kind = Kind::MissingField {
                field: field.to_owned(),
            };
            self.sink
                .push(self.source.problem(span.start as usize, &path, kind));
        }
    }
}

fn join(path: &str, field: &str) -> String {
    if path.is_empty() {
        field.to_owned()
    } else if field.is_empty() {
        path.to_owned()
    } else {
        format!("{path}.{field}")
    }
}

#[cfg(test)]
mod tests;
