//! RON text to a tree that knows where everything stands.
//!
//! The part of RON that data files need: comments (`//`, and `/* */` which nest), structs with
//! and without a name, tuples, lists, maps, texts with escapes, raw texts, whole and decimal
//! numbers, `true` and `false`, single words (an enum's variants), `Some(x)` and `None`.
//! Characters in single quotes, byte texts, ranges, raw identifiers, extensions and numbers in
//! other bases are refused. What is accepted here the `ron` crate accepts too, as the same tree.
//!
//! Nothing in a file can make this panic, and depth and count are bounded, so a hostile file
//! costs little time and memory.

mod text;

use super::problem::{Expected, Kind, Problems};
use super::source::{Source, Span};

/// Brackets within brackets that are allowed.
pub const DEPTH_LIMIT: usize = 64;

/// Values in one file that are allowed: some 50 MB of tree.
pub const VALUE_LIMIT: usize = 500_000;

/// A value and where it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where.
    pub span: Span,
    /// What.
    pub value: Value,
}

/// A name and where it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Name {
    /// Where.
    pub span: Span,
    /// The name.
    pub text: String,
}

/// One field of a struct.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// The name before the colon.
    pub name: Name,
    /// The value after it.
    pub value: Node,
}

/// What a file can hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// `true` or `false`.
    Bool(bool),
    /// A whole number, -2^63 to 2^64 - 1; a larger one is a [`Value::Float`], as in the `ron` crate.
    Int(i128),
    /// A number with a point or an exponent; also `inf` and `NaN`.
    Float(f64),
    /// A text in quotation marks.
    Text(String),
    /// A single word.
    Word(String),
    /// `None`.
    Nothing,
    /// `Some(x)`.
    Some(Box<Node>),
    /// `Name(a: 1, b: 2)` or `(a: 1, b: 2)`.
    Struct(Option<Name>, Vec<Field>),
    /// `Name(1, 2)` or `(1, 2)`; also empty brackets.
    Tuple(Option<Name>, Vec<Node>),
    /// `[1, 2]`.
    List(Vec<Node>),
    /// `{"a": 1}`.
    Map(Vec<(Node, Node)>),
}

/// A file and its tree.
#[derive(Clone, Debug)]
pub struct Document {
    /// The text.
    pub source: Source,
    /// The one value that the file is.
    pub root: Node,
}

/// Parses a file.
///
/// # Errors
/// The first syntax error, with its place and what was expected there. One is enough: what
/// follows a syntax error is guesswork.
pub fn parse(source: Source) -> Result<Document, Problems> {
    let mut parser = Parser {
        text: source.text(),
        at: 0,
        depth: 0,
        values: 0,
    };
    match parser.document() {
        Ok(root) => Ok(Document { source, root }),
        Err(SyntaxError { at, kind }) => {
            let kind = match kind {
                Fault::Kind(kind) => kind,
                Fault::Unclosed {
                    close,
                    open,
                    opened,
                } => {
                    let opened = source.place(opened);
                    Kind::Unclosed {
                        close,
                        open,
                        opened,
                    }
                }
            };
            Err(source.problem(at, "", kind).into())
        }
    }
}

/// A syntax error at a byte, before bytes become lines.
#[derive(Debug)]
struct SyntaxError {
    at: usize,
    kind: Fault,
}

#[derive(Debug)]
enum Fault {
    Kind(Kind),
    Unclosed {
        close: char,
        open: char,
        opened: usize,
    },
}

type Parsed<T> = Result<T, SyntaxError>;

fn fail<T>(at: usize, kind: Kind) -> Parsed<T> {
    Err(SyntaxError {
        at,
        kind: Fault::Kind(kind),
    })
}

struct Parser<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
    values: usize,
}

impl<'a> Parser<'a> {
    fn document(&mut self) -> Parsed<Node> {
        // Some editors put a byte-order mark before the text.
        if self.rest().starts_with('\u{FEFF}') {
            self.at += '\u{FEFF}'.len_utf8();
        }
        self.skip_blank()?;
        let root = self.node()?;
        self.skip_blank()?;
        if self.at < self.text.len() {
            return self.unexpected(Expected::EndOfFile);
        }
        Ok(root)
    }

    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// Takes this sign if it stands here.
    fn take(&mut self, sign: u8) -> bool {
        let here = self.peek() == Some(sign);
        self.at += usize::from(here);
        here
    }

    fn span_from(&self, start: usize) -> Span {
        let to_u32 = |byte| u32::try_from(byte).unwrap_or(u32::MAX);
        Span {
            start: to_u32(start),
            end: to_u32(self.at),
        }
    }

    /// What stands here, in a few characters, for a message.
    fn found(&self) -> Option<String> {
        let first = self.rest().chars().next()?;
        let word: String = self
            .rest()
            .chars()
            .take_while(|c| is_word(*c))
            .take(20)
            .collect();
        Some(match word.is_empty() {
            false => word,
            true if first.is_control() => format!("U+{:04X}", u32::from(first)),
            true => first.to_string(),
        })
    }

    fn unexpected<T>(&self, expected: Expected) -> Parsed<T> {
        fail(
            self.at,
            Kind::Unexpected {
                expected,
                found: self.found(),
            },
        )
    }

    /// Skips blanks and comments.
    fn skip_blank(&mut self) -> Parsed<()> {
        loop {
            let blanks = self
                .rest()
                .bytes()
                .take_while(|b| b" \t\r\n".contains(b))
                .count();
            self.at += blanks;
            if self.rest().starts_with("//") {
                self.at += self.rest().find('\n').unwrap_or(self.rest().len());
            } else if self.rest().starts_with("/*") {
                self.skip_comment()?;
            } else {
                return Ok(());
            }
        }
    }

    /// Skips a comment in `/* */`, and those within it.
    fn skip_comment(&mut self) -> Parsed<()> {
        let bytes = self.text.as_bytes();
        let start = self.at;
        let mut open = 0_usize;
        loop {
            match bytes.get(self.at..self.at + 2) {
                Some(b"/*") => {
                    open += 1;
                    self.at += 2;
                }
                Some(b"*/") => {
                    open -= 1;
                    self.at += 2;
                    if open == 0 {
                        return Ok(());
                    }
                }
                Some(_) => self.at += 1,
                None => return fail(start, Kind::UnclosedComment),
            }
        }
    }

    fn node(&mut self) -> Parsed<Node> {
        let start = self.at;
        self.values += 1;
        if self.values > VALUE_LIMIT {
            return fail(start, Kind::TooMany { limit: VALUE_LIMIT });
        }
        let value = match self.peek() {
            Some(b'(') => self.round(None)?,
            Some(b'[') => self.list()?,
            Some(b'{') => self.map()?,
            Some(b'"') => Value::Text(self.text()?),
            Some(b'0'..=b'9' | b'+' | b'-' | b'.') => self.number()?,
            Some(b'r') if self.raw_text_ahead() => Value::Text(self.raw_text()?),
            Some(b) if b == b'_' || b.is_ascii_alphabetic() => self.word()?,
            _ => return self.unexpected(Expected::Value),
        };
        Ok(Node {
            span: self.span_from(start),
            value,
        })
    }

    /// A name as fields, variants and structs have it, or nothing.
    fn name(&mut self) -> Option<Name> {
        let start = self.at;
        let first = self.peek()?;
        if first != b'_' && !first.is_ascii_alphabetic() {
            return None;
        }
        self.at += self
            .rest()
            .bytes()
            .take_while(|b| *b == b'_' || b.is_ascii_alphanumeric())
            .count();
        Some(Name {
            span: self.span_from(start),
            text: self.text[start..self.at].to_owned(),
        })
    }

    fn word(&mut self) -> Parsed<Value> {
        let Some(name) = self.name() else {
            return self.unexpected(Expected::Value);
        };
        match name.text.as_str() {
            "true" => return Ok(Value::Bool(true)),
            "false" => return Ok(Value::Bool(false)),
            "None" => return Ok(Value::Nothing),
            "inf" | "inff32" | "inff64" => return Ok(Value::Float(f64::INFINITY)),
            "NaN" | "NaNf32" | "NaNf64" => return Ok(Value::Float(f64::NAN)),
            _ => {}
        }
        let end_of_word = self.at;
        self.skip_blank()?;
        if self.peek() != Some(b'(') {
            if name.text == "Some" {
                return self.unexpected(Expected::Sign('('));
            }
            // Blanks after a word are not part of it.
            self.at = end_of_word;
            return Ok(Value::Word(name.text));
        }
        if name.text == "Some" {
            return self.some();
        }
        self.round(Some(name))
    }

    /// One bracket deeper; `body` reads up to and with the closing bracket.
    fn within<T>(&mut self, body: impl FnOnce(&mut Self, usize) -> Parsed<T>) -> Parsed<T> {
        let opened = self.at;
        if self.depth == DEPTH_LIMIT {
            return fail(opened, Kind::TooDeep { limit: DEPTH_LIMIT });
        }
        self.depth += 1;
        self.at += 1;
        let result = body(self, opened);
        self.depth -= 1;
        result
    }

    fn some(&mut self) -> Parsed<Value> {
        self.within(|p, opened| {
            p.skip_blank()?;
            let inner = p.node()?;
            if !p.after_item(b')', opened)? {
                return Ok(Value::Some(Box::new(inner)));
            }
            if p.take(b')') {
                return Ok(Value::Some(Box::new(inner)));
            }
            p.unexpected(Expected::Sign(')'))
        })
    }

    /// After an item of a bracket: true when a comma leads on, false when the bracket closed.
    fn after_item(&mut self, close: u8, opened: usize) -> Parsed<bool> {
        self.skip_blank()?;
        if self.take(b',') {
            self.skip_blank()?;
            return Ok(true);
        }
        if self.take(close) {
            return Ok(false);
        }
        if self.at == self.text.len() {
            return self.unclosed(close, opened);
        }
        self.unexpected(Expected::CommaOr(char::from(close)))
    }

    fn unclosed<T>(&self, close: u8, opened: usize) -> Parsed<T> {
        let open = char::from(self.text.as_bytes()[opened]);
        let kind = Fault::Unclosed {
            close: char::from(close),
            open,
            opened,
        };
        Err(SyntaxError { at: self.at, kind })
    }

    /// Items up to the closing bracket, a comma between them and perhaps after the last.
    fn items<T>(
        &mut self,
        close: u8,
        mut item: impl FnMut(&mut Self) -> Parsed<T>,
    ) -> Parsed<Vec<T>> {
        self.within(|p, opened| {
            let mut items = Vec::new();
            p.skip_blank()?;
            loop {
                if p.take(close) {
                    return Ok(items);
                }
                if p.at == p.text.len() {
                    return p.unclosed(close, opened);
                }
                items.push(item(p)?);
                if !p.after_item(close, opened)? {
                    return Ok(items);
                }
            }
        })
    }

    fn list(&mut self) -> Parsed<Value> {
        Ok(Value::List(self.items(b']', Self::node)?))
    }

    fn map(&mut self) -> Parsed<Value> {
        let entry = |p: &mut Self| {
            let key = p.node()?;
            p.colon()?;
            Ok((key, p.node()?))
        };
        Ok(Value::Map(self.items(b'}', entry)?))
    }

    /// The colon after a name or key, and the blanks around it.
    fn colon(&mut self) -> Parsed<()> {
        self.skip_blank()?;
        if !self.take(b':') {
            return self.unexpected(Expected::Sign(':'));
        }
        self.skip_blank()
    }

    /// A struct or a tuple: the first name with a colon behind it decides.
    fn round(&mut self, name: Option<Name>) -> Parsed<Value> {
        if self.fields_ahead()? {
            let field = |p: &mut Self| {
                let Some(name) = p.name() else {
                    return p.unexpected(Expected::FieldName);
                };
                p.colon()?;
                Ok(Field {
                    name,
                    value: p.node()?,
                })
            };
            Ok(Value::Struct(name, self.items(b')', field)?))
        } else {
            Ok(Value::Tuple(name, self.items(b')', Self::node)?))
        }
    }

    /// Looks past the opening bracket: does a name with a colon follow?
    fn fields_ahead(&mut self) -> Parsed<bool> {
        let start = self.at;
        self.at += 1;
        self.skip_blank()?;
        let mut named = self.name().is_some();
        if named {
            self.skip_blank()?;
            named = self.peek() == Some(b':');
        }
        self.at = start;
        Ok(named)
    }

    fn number(&mut self) -> Parsed<Value> {
        let start = self.at;
        let length = self.rest().bytes().take_while(|b| is_of_number(*b)).count();
        let written = &self.rest()[..length];
        self.at += length;
        // Something like 12bar or 12€ is one bad number, not a number and a word.
        let glued = self.rest().chars().next().is_some_and(is_word);
        let value = if glued { None } else { number_value(written) };
        match value {
            Some(value) => Ok(value),
            None => {
                let tail = self.rest().chars().take_while(|c| is_word(*c)).take(20);
                let written = written.chars().take(40).chain(tail).collect();
                fail(start, Kind::BadNumber { written })
            }
        }
    }
}

/// Characters that belong to a word of some language, so that a message shows it whole.
fn is_word(c: char) -> bool {
    c == '_' || c.is_alphanumeric()
}

/// Characters that can be part of a number, or of a word glued to one.
fn is_of_number(b: u8) -> bool {
    b.is_ascii_alphanumeric() || b"+-._".contains(&b)
}

/// The value of a number as written, or nothing when it is none.
fn number_value(written: &str) -> Option<Value> {
    let (sign, digits) = match written.as_bytes().first()? {
        b'-' => (-1, &written[1..]),
        b'+' => (1, &written[1..]),
        _ => (1, written),
    };
    match digits {
        "inf" | "inff32" | "inff64" if sign < 0 => return Some(Value::Float(f64::NEG_INFINITY)),
        "inf" | "inff32" | "inff64" => return Some(Value::Float(f64::INFINITY)),
        "NaN" | "NaNf32" | "NaNf64" => return Some(Value::Float(f64::NAN)),
        _ => {}
    }
    let (mantissa, exponent) = match digits.find(['e', 'E']) {
        Some(at) => (&digits[..at], Some(&digits[at + 1..])),
        None => (digits, None),
    };
    let (whole, fraction) = match mantissa.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (mantissa, None),
    };
    let fraction_ok = match fraction {
        None => is_digits(whole),
        Some("") => is_digits(whole),
        Some(fraction) => is_digits(fraction) && (whole.is_empty() || is_digits(whole)),
    };
    let exponent_ok = match exponent {
        None => true,
        Some(e) => is_digits(e.strip_prefix(['+', '-']).unwrap_or(e)),
    };
    if !fraction_ok || !exponent_ok {
        return None;
    }
    let plain: String = digits.chars().filter(|c| *c != '_').collect();
    if fraction.is_none() && exponent.is_none() {
        let range = i128::from(i64::MIN)..=i128::from(u64::MAX);
        let whole = plain
            .parse::<i128>()
            .ok()
            .map(|n| n * sign)
            .filter(|n| range.contains(n));
        if let Some(whole) = whole {
            return Some(Value::Int(whole));
        }
    }
    // A sum too large for an f64 reads as infinite, and the reader refuses it by name.
    plain
        .parse::<f64>()
        .ok()
        .map(|n| Value::Float(if sign < 0 { -n } else { n }))
}

/// Digits, perhaps with `_` between or after them, a digit first.
fn is_digits(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text.bytes().all(|b| b == b'_' || b.is_ascii_digit())
}

#[cfg(test)]
mod tests;
