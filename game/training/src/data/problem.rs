//! What is wrong in a data file, where, and what would be right.

mod wording;

use super::source::Place;

/// One thing wrong in one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file, as people know it.
    pub file: String,
    /// Where in the file; nothing when it is the file as a whole.
    pub place: Option<Place>,
    /// Path of the field (`hoses[2].rating_bar`); empty for a file as a whole or its syntax.
    pub path: String,
    /// What is wrong.
    pub kind: Kind,
}

/// What can be wrong in a data file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The file cannot be read from disk.
    CannotRead {
        /// What the system says.
        reason: String,
    },
    /// The file is larger than any data file may be.
    FileTooLarge {
        /// The limit, in MiB.
        limit_mib: usize,
    },
    /// The file is not text in UTF-8.
    NotUtf8 {
        /// The first byte that cannot be.
        byte: String,
    },
    /// Something else was expected here.
    Unexpected {
        /// What may stand here.
        expected: Expected,
        /// What stands here; nothing at the end of the file.
        found: Option<String>,
    },
    /// The file ends inside a bracket.
    Unclosed {
        /// The bracket that should close.
        close: char,
        /// The bracket that was opened.
        open: char,
        /// Where it was opened.
        opened: Place,
    },
    /// A text, begun here, never ends.
    UnclosedText,
    /// A comment, begun here, never ends.
    UnclosedComment,
    /// A backslash in a text, followed by what means nothing.
    BadEscape {
        /// The backslash and what follows.
        written: String,
    },
    /// Looks like a number and is none.
    BadNumber {
        /// As written.
        written: String,
    },
    /// Brackets within brackets beyond the limit.
    TooDeep {
        /// The limit.
        limit: usize,
    },
    /// More values in one file than the limit.
    TooMany {
        /// The limit.
        limit: usize,
    },
    /// A field that must be there is not.
    MissingField {
        /// Its name.
        field: String,
    },
    /// A field that means nothing here.
    UnknownField {
        /// As written.
        field: String,
        /// A known field with a name close to it.
        near: Option<String>,
        /// Every field that may stand here.
        allowed: Vec<String>,
    },
    /// The field, but with another unit.
    WrongUnit {
        /// As written.
        field: String,
        /// The field that is meant.
        wanted: String,
        /// Its unit, as people write it.
        unit: String,
    },
    /// A field, an id or a key that was there before.
    Repeated {
        /// What is there twice.
        name: String,
        /// Where it was first.
        first: Place,
    },
    /// Another kind of value.
    WrongType {
        /// What is wanted.
        expected: Expected,
        /// What is written.
        found: String,
    },
    /// A number outside its range.
    OutOfRange {
        /// As written.
        value: String,
        /// The range that is allowed.
        allowed: String,
    },
    /// More or fewer items than allowed.
    WrongCount {
        /// How many there are.
        count: usize,
        /// How many there may be.
        allowed: String,
    },
    /// A number that is infinite or none.
    NotFinite {
        /// As written.
        value: String,
    },
    /// A text without a word in it.
    EmptyText,
    /// A text longer than its place allows.
    TextTooLong {
        /// How many characters there are.
        count: usize,
        /// How many there may be.
        limit: usize,
    },
    /// A text with a character that a screen obeys instead of showing.
    ControlCharacter {
        /// Its number.
        code: String,
    },
    /// Not an id: lower-case letters, digits and `_`, a letter or a digit first.
    BadId {
        /// As written.
        value: String,
    },
    /// Not a year and a month.
    BadDate {
        /// As written.
        value: String,
    },
    /// An id or a word that is not among those that exist.
    Unknown {
        /// As written.
        value: String,
        /// One that exists and is close to it.
        near: Option<String>,
        /// All that exist.
        allowed: Vec<String>,
    },
    /// The file is not there.
    Absent,
    /// The folder holds no level.
    NoLevelHere,
    /// What the file is, its root does not say.
    NoRoot {
        /// What it can be.
        allowed: Vec<String>,
    },
    /// Saved data that has been changed or cut.
    Damaged,
    /// More problems than are kept.
    AndMore {
        /// How many were left out.
        count: usize,
    },
    /// Values that are each fine and do not go together.
    Clash {
        /// Id of the text that says how.
        text: &'static str,
        /// What goes into the text.
        values: Vec<(&'static str, String)>,
    },
}

/// What may stand at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Expected {
    /// A value of any kind.
    Value,
    /// A name of a field.
    FieldName,
    /// This very sign.
    Sign(char),
    /// A comma, or this closing bracket.
    CommaOr(char),
    /// Nothing more.
    EndOfFile,
    /// A number.
    Number,
    /// A whole number.
    Whole,
    /// `true` or `false`.
    TrueOrFalse,
    /// A text in quotation marks.
    Text,
    /// A list in square brackets.
    List,
    /// A map in braces.
    Map,
    /// Fields in round brackets.
    Fields,
    /// This many values in round brackets.
    Values(usize),
    /// A single word.
    Word,
    /// This word and its fields in round brackets.
    Named(String),
    /// This word and a list in round brackets.
    NamedList(String),
}

impl Kind {
    /// The stable name of this kind of problem, for programs.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::CannotRead { .. } => "cannot_read",
            Self::FileTooLarge { .. } => "file_too_large",
            Self::NotUtf8 { .. } => "not_utf8",
            Self::Unexpected { .. } => "unexpected",
            Self::Unclosed { .. } => "unclosed",
            Self::UnclosedText => "unclosed_text",
            Self::UnclosedComment => "unclosed_comment",
            Self::BadEscape { .. } => "bad_escape",
            Self::BadNumber { .. } => "bad_number",
            Self::TooDeep { .. } => "too_deep",
            Self::TooMany { .. } => "too_many",
            Self::MissingField { .. } => "missing_field",
            Self::UnknownField { .. } => "unknown_field",
            Self::WrongUnit { .. } => "wrong_unit",
            Self::Repeated { .. } => "repeated",
            Self::WrongType { .. } => "wrong_type",
            Self::OutOfRange { .. } => "out_of_range",
            Self::WrongCount { .. } => "wrong_count",
            Self::NotFinite { .. } => "not_finite",
            Self::EmptyText => "empty_text",
            Self::TextTooLong { .. } => "text_too_long",
            Self::ControlCharacter { .. } => "control_character",
            Self::BadId { .. } => "bad_id",
            Self::Unknown { .. } => "unknown",
            Self::BadDate { .. } => "bad_date",
            Self::Absent => "absent",
            Self::NoLevelHere => "no_level_here",
            Self::NoRoot { .. } => "no_root",
            Self::Damaged => "damaged",
            Self::AndMore { .. } => "and_more",
            Self::Clash { .. } => "clash",
        }
    }

    /// The value as written, where the problem is about one.
    #[must_use]
    pub fn value(&self) -> Option<&str> {
        match self {
            Self::NotUtf8 { byte: value }
            | Self::BadEscape { written: value }
            | Self::BadNumber { written: value }
            | Self::UnknownField { field: value, .. }
            | Self::WrongUnit { field: value, .. }
            | Self::Repeated { name: value, .. }
            | Self::WrongType { found: value, .. }
            | Self::OutOfRange { value, .. }
            | Self::NotFinite { value }
            | Self::ControlCharacter { code: value }
            | Self::BadId { value }
            | Self::BadDate { value }
            | Self::Unknown { value, .. } => Some(value),
            Self::Unexpected { found, .. } => found.as_deref(),
            _ => None,
        }
    }

    /// What would be right, where that can be listed.
    #[must_use]
    pub fn allowed(&self) -> Vec<String> {
        match self {
            Self::UnknownField { allowed, .. }
            | Self::Unknown { allowed, .. }
            | Self::NoRoot { allowed } => allowed.clone(),
            Self::OutOfRange { allowed, .. } | Self::WrongCount { allowed, .. } => {
                vec![allowed.clone()]
            }
            Self::WrongUnit { wanted, .. } => vec![wanted.clone()],
            Self::WrongType { expected, .. } | Self::Unexpected { expected, .. } => {
                vec![expected.to_string()]
            }
            _ => Vec::new(),
        }
    }

    /// The close name that is offered, if there is one.
    #[must_use]
    pub fn near(&self) -> Option<&str> {
        match self {
            Self::UnknownField { near, .. } | Self::Unknown { near, .. } => near.as_deref(),
            Self::WrongUnit { wanted, .. } => Some(wanted),
            _ => None,
        }
    }
}

impl Problem {
    /// A problem of a file as a whole.
    #[must_use]
    pub fn of_file(file: &str, kind: Kind) -> Self {
        Self {
            file: file.to_owned(),
            place: None,
            path: String::new(),
            kind,
        }
    }
}

/// Everything found wrong, in the order of files and places.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        self.0.push(problem);
        self.sort();
    }

    /// Adds all of another list.
    pub fn append(&mut self, other: Problems) {
        self.0.extend(other.0);
        self.sort();
    }

    fn sort(&mut self) {
        // Stable: what stands at one place stays in the order in which it was found.
        self.0
            .sort_by(|a, b| (&a.file, a.place).cmp(&(&b.file, b.place)));
    }

    /// Nothing wrong?
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// One after the other, by file and place.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter()
    }

    /// `value` if nothing is wrong, else the problems.
    ///
    /// # Errors
    /// When there is at least one problem.
    pub fn or<T>(self, value: T) -> Result<T, Self> {
        if self.is_empty() {
            Ok(value)
        } else {
            Err(self)
        }
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl From<Vec<Problem>> for Problems {
    fn from(problems: Vec<Problem>) -> Self {
        let mut problems = Self(problems);
        problems.sort();
        problems
    }
}

impl std::error::Error for Problems {}
