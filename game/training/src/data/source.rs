//! The text of one data file, and where in it something stands.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use super::problem::{Kind, Problem, Problems};

/// The largest data file that is read. Our own are a few kilobytes; the bound keeps a wrong or
/// hostile file from filling the memory.
pub const FILE_LIMIT_BYTES: usize = 16 * 1024 * 1024;

/// A stretch of a file, in bytes from its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// A place in a text as editors show it: both count from 1, columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Place {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1. A tab is one character.
    pub column: u32,
}

/// A data file: its name as shown to people, and its text, known to be UTF-8.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    line_starts: Vec<u32>,
    /// Characters before each block of the text, so that a column far along a line of
    /// megabytes costs no more than one at its start.
    characters_before: Vec<u32>,
}

/// Bytes in a block.
const BLOCK: usize = 4096;

/// Does this byte begin a character? In UTF-8 the others go on with one.
fn begins_character(byte: u8) -> bool {
    byte & 0xC0 != 0x80
}

impl Source {
    /// Takes the bytes of a file. `name` is what problems call it.
    ///
    /// # Errors
    /// More than [`FILE_LIMIT_BYTES`], or not UTF-8: then with the place of the first bad byte.
    pub fn new(name: &str, bytes: Vec<u8>) -> Result<Self, Problems> {
        if bytes.len() > FILE_LIMIT_BYTES {
            let kind = Kind::FileTooLarge {
                limit_mib: FILE_LIMIT_BYTES / (1024 * 1024),
            };
            return Err(Problem::of_file(name, kind).into());
        }
        let (text, bad) = match String::from_utf8(bytes) {
            Ok(text) => (text, None),
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let mut bytes = error.into_bytes();
                let bad = bytes[good];
                bytes.truncate(good);
                // The part before the first bad byte is UTF-8, so nothing is replaced here.
                (String::from_utf8_lossy(&bytes).into_owned(), Some(bad))
            }
        };
        let mut line_starts = vec![0];
        line_starts.extend(
            text.bytes()
                .zip(1..)
                .filter(|(b, _)| *b == b'\n')
                .map(|(_, at)| at),
        );
        let mut characters_before = Vec::with_capacity(text.len() / BLOCK + 1);
        let mut characters = 0;
        for block in text.as_bytes().chunks(BLOCK) {
            characters_before.push(characters);
            characters += to_u32(block.iter().filter(|b| begins_character(**b)).count());
        }
        characters_before.push(characters);
        let source = Self {
            name: name.to_owned(),
            text,
            line_starts,
            characters_before,
        };
        match bad {
            None => Ok(source),
            Some(byte) => {
                let kind = Kind::NotUtf8 {
                    byte: format!("0x{byte:02X}"),
                };
                Err(source.problem(source.text.len(), "", kind).into())
            }
        }
    }

    /// Reads a file from disk; never more than the limit and one byte of it.
    ///
    /// # Errors
    /// As [`Source::new`], and when the file cannot be read.
    pub fn open(name: &str, path: &Path) -> Result<Self, Problems> {
        let mut bytes = Vec::new();
        File::open(path)
            .and_then(|file| {
                file.take(FILE_LIMIT_BYTES as u64 + 1)
                    .read_to_end(&mut bytes)
            })
            .map_err(|error| {
                let reason = error.to_string();
                Problem::of_file(name, Kind::CannotRead { reason })
            })?;
        Self::new(name, bytes)
    }

    /// The name shown to people.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte.
    #[must_use]
    pub fn place(&self, byte: usize) -> Place {
        let byte = byte.min(self.text.len());
        let line = self
            .line_starts
            .partition_point(|start| *start as usize <= byte);
        let start = self.line_starts[line - 1] as usize;
        let mut column = self.characters_before(byte) - self.characters_before(start);
        // A byte-order mark shows as nothing.
        if start == 0 && byte > 0 && self.text.starts_with('\u{FEFF}') {
            column -= 1;
        }
        Place {
            line: to_u32(line),
            column: column + 1,
        }
    }

    /// Characters that begin before a byte.
    fn characters_before(&self, byte: usize) -> u32 {
        let block = byte / BLOCK;
        let rest = &self.text.as_bytes()[block * BLOCK..byte];
        self.characters_before[block]
            + to_u32(rest.iter().filter(|b| begins_character(**b)).count())
    }

    /// What is written in a stretch, shortened to one line of at most 40 characters.
    #[must_use]
    pub fn excerpt(&self, span: Span) -> String {
        const LONGEST: usize = 40;
        let written = self
            .text
            .get(span.start as usize..span.end as usize)
            .unwrap_or_default();
        let mut words = written.split_whitespace();
        let mut line = words
            .next()
            .unwrap_or_default()
            .chars()
            .take(LONGEST + 1)
            .collect::<String>();
        for word in words {
            if line.chars().count() > LONGEST {
                break;
            }
            line.push(' ');
            line.extend(word.chars().take(LONGEST + 1));
        }
        if line.chars().count() > LONGEST {
            line = line
                .chars()
                .take(LONGEST - 3)
                .chain("...".chars())
                .collect();
        }
        // Nothing that a terminal obeys may leave a data file through a message.
        line.chars()
            .map(|c| if c.is_control() { '\u{FFFD}' } else { c })
            .collect()
    }

    /// A problem at a byte of this file.
    #[must_use]
    pub fn problem(&self, byte: usize, path: &str, kind: Kind) -> Problem {
        Problem {
            file: self.name.clone(),
            place: Some(self.place(byte)),
            path: path.to_owned(),
            kind,
        }
    }
}

fn to_u32(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(read: Result<Source, Problems>) -> Problem {
        read.unwrap_err().iter().next().expect("a problem").clone()
    }

    fn source(text: &str) -> Source {
        Source::new("t.ron", text.as_bytes().to_vec()).expect("a good text")
    }

    #[test]
    fn places_count_lines_and_characters_from_one() {
        let s = source("a\nbå€c\r\n\nd");
        for (byte, line, column) in [
            (0, 1, 1),
            (1, 1, 2),
            (2, 2, 1),
            (3, 2, 2),
            (5, 2, 3),
            (8, 2, 4),
            (11, 3, 1),
            (12, 4, 1),
        ] {
            assert_eq!(s.place(byte), Place { line, column }, "byte {byte}");
        }
        assert_eq!(s.place(99), Place { line: 4, column: 2 });
    }

    #[test]
    fn columns_far_along_a_line_are_counted_right() {
        let text = format!("first\n{}", "aé€𝄞".repeat(5_000));
        let s = source(&text);
        for (character, (byte, _)) in text.char_indices().enumerate().skip(6).step_by(97) {
            let column = to_u32(character - 6 + 1);
            assert_eq!(s.place(byte), Place { line: 2, column }, "byte {byte}");
        }
        let end = to_u32(20_000 + 1);
        assert_eq!(
            s.place(text.len()),
            Place {
                line: 2,
                column: end
            }
        );
    }

    #[test]
    fn a_byte_order_mark_takes_no_column() {
        assert_eq!(source("\u{FEFF}ab").place(4), Place { line: 1, column: 2 });
    }

    #[test]
    fn the_first_byte_that_is_no_utf8_is_named_with_its_place() {
        let problem = one(Source::new("t.ron", b"ok\nab\xFFc".to_vec()));
        assert_eq!(problem.place, Some(Place { line: 2, column: 3 }));
        assert_eq!(
            problem.kind,
            Kind::NotUtf8 {
                byte: "0xFF".to_owned()
            }
        );
    }

    #[test]
    fn a_file_over_the_limit_is_refused() {
        let problem = one(Source::new("t.ron", vec![b' '; FILE_LIMIT_BYTES + 1]));
        assert_eq!(problem.kind, Kind::FileTooLarge { limit_mib: 16 });
        assert!(Source::new("t.ron", vec![b' '; FILE_LIMIT_BYTES]).is_ok());
    }

    #[test]
    fn an_excerpt_is_one_short_line_without_control_characters() {
        let text = "one\n  two \u{1B}[31m and very much more of this, all on one line";
        let s = source(text);
        let span = Span {
            start: 0,
            end: to_u32(text.len()),
        };
        assert_eq!(
            s.excerpt(span),
            "one two \u{FFFD}[31m and very much more of t..."
        );
    }
}
