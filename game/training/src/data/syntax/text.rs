//! Texts in quotation marks: with escapes, and raw.

use super::{Kind, Parsed, Parser, fail};

impl Parser<'_> {
    /// A text in quotation marks, its escapes resolved.
    pub(super) fn text(&mut self) -> Parsed<String> {
        let start = self.at;
        self.at += 1;
        let mut text = String::new();
        loop {
            let plain = self.rest().find(['"', '\\']).unwrap_or(self.rest().len());
            text.push_str(&self.rest()[..plain]);
            self.at += plain;
            if self.take(b'"') {
                return Ok(text);
            }
            if self.at == self.text.len() {
                return fail(start, Kind::UnclosedText);
            }
            self.escape(start, &mut text)?;
        }
    }

    /// A backslash and what it stands for; `start` is where the text began.
    fn escape(&mut self, start: usize, text: &mut String) -> Parsed<()> {
        let backslash = self.at;
        self.at += 1;
        let Some(sign) = self.rest().chars().next() else {
            return fail(start, Kind::UnclosedText);
        };
        self.at += sign.len_utf8();
        let character = match sign {
            '"' | '\'' | '\\' => Some(sign),
            'n' => Some('\n'),
            'r' => Some('\r'),
            't' => Some('\t'),
            '0' => Some('\0'),
            'x' => self.hexadecimal(2).filter(char::is_ascii),
            'u' => self.braced(),
            '\n' => {
                self.skip_line_start();
                return Ok(());
            }
            '\r' if self.take(b'\n') => {
                self.skip_line_start();
                return Ok(());
            }
            _ => None,
        };
        match character {
            Some(character) => {
                text.push(character);
                Ok(())
            }
            None => {
                let written = self.text[backslash..self.at].chars();
                let written = written
                    .map(|c| if c.is_control() { '\u{FFFD}' } else { c })
                    .collect();
                fail(backslash, Kind::BadEscape { written })
            }
        }
    }

    /// A backslash before the end of a line joins it with the next, without its indentation.
    fn skip_line_start(&mut self) {
        self.at += self
            .rest()
            .bytes()
            .take_while(|b| b" \t\r\n".contains(b))
            .count();
    }

    /// Exactly this many hexadecimal digits, as a character.
    fn hexadecimal(&mut self, digits: usize) -> Option<char> {
        let written = self.rest().get(..digits)?;
        if !written.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let code = u32::from_str_radix(written, 16).ok()?;
        self.at += digits;
        char::from_u32(code)
    }

    /// `{` one to six hexadecimal digits `}`.
    fn braced(&mut self) -> Option<char> {
        if !self.take(b'{') {
            return None;
        }
        let digits = self
            .rest()
            .bytes()
            .take(7)
            .take_while(u8::is_ascii_hexdigit)
            .count();
        if digits == 0 || digits > 6 {
            return None;
        }
        let character = self.hexadecimal(digits)?;
        self.take(b'}').then_some(character)
    }

    /// Does `r"` or `r#"` with any count of `#` stand here?
    pub(super) fn raw_text_ahead(&self) -> bool {
        self.rest()[1..].trim_start_matches('#').starts_with('"')
    }

    /// A raw text: everything up to a quotation mark with as many `#` as it began with.
    pub(super) fn raw_text(&mut self) -> Parsed<String> {
        let start = self.at;
        let hashes = self.rest()[1..].bytes().take_while(|b| *b == b'#').count();
        self.at += hashes + 2;
        let close = format!("\"{}", "#".repeat(hashes));
        match self.rest().find(&close) {
            Some(end) => {
                let text = self.rest()[..end].to_owned();
                self.at += end + close.len();
                Ok(text)
            }
            None => fail(start, Kind::UnclosedText),
        }
    }
}
