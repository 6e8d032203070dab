//! Reads as much of Rust as it takes to tell what a source names: words and signs, without
//! remarks, texts and tests.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Functions whose last digit differs between platforms; `libm` has them all.
const PLATFORM_MATHEMATICS: [&str; 27] = [
    "acos", "acosh", "asin", "asinh", "atan", "atan2", "atanh", "cbrt", "cos", "cosh", "exp",
    "exp2", "exp_m1", "hypot", "ln", "ln_1p", "log", "log10", "log2", "mul_add", "powf", "powi",
    "sin", "sin_cos", "sinh", "tan", "tanh",
];

/// Names of what has no fixed order or no fixed value.
const WITHOUT_ORDER: [&str; 8] = [
    "HashMap",
    "HashSet",
    "RandomState",
    "SystemTime",
    "ThreadRng",
    "from_entropy",
    "from_os_rng",
    "thread_rng",
];

/// A source as it goes into the program.
pub struct Source {
    /// Words and signs; `::` is one sign.
    tokens: Vec<String>,
    /// Modules that are only compiled for tests.
    pub test_modules: Vec<String>,
}

impl Source {
    /// Reads a source.
    pub fn of(text: &str) -> Self {
        let tokens = tokens(&without_remarks_and_texts(text));
        let (tokens, test_modules) = without_tests(tokens);
        Source {
            tokens,
            test_modules,
        }
    }

    fn at(&self, place: usize) -> &str {
        self.tokens.get(place).map_or("", String::as_str)
    }

    /// The first words of all paths, and the crates that are imported whole.
    pub fn roots(&self) -> BTreeSet<String> {
        let mut found = BTreeSet::new();
        for (place, token) in self.tokens.iter().enumerate() {
            if !is_word(token) {
                continue;
            }
            let before = place.checked_sub(1).map_or("", |p| self.at(p));
            let starts = before != "::" || {
                // `::name` in front of which no word stands is a path from the top.
                let further = place.checked_sub(2).map_or("", |p| self.at(p));
                !is_word(further) || ["use", "return", "in", "as", "dyn", "impl"].contains(&further)
            };
            let whole = matches!(before, "use" | "crate" | "extern")
                && [";", "as"].contains(&self.at(place + 1));
            if starts && (self.at(place + 1) == "::" || whole) {
                found.insert(token.clone());
            }
        }
        found
    }

    /// Whether a module of the standard library is named, by its path or in a list of imports.
    pub fn names_of_std(&self, module: &str) -> bool {
        (0..self.tokens.len()).any(|place| {
            if !["std", "core", "alloc"].contains(&self.at(place)) || self.at(place + 1) != "::" {
                return false;
            }
            match self.at(place + 2) {
                "{" => self.list_at(place + 2).contains(&module),
                word => word == module,
            }
        })
    }

    /// First words of the entries of a list of imports.
    fn list_at(&self, open: usize) -> Vec<&str> {
        let mut depth = 0;
        let mut found = Vec::new();
        for place in open..self.tokens.len() {
            match self.at(place) {
                "{" => depth += 1,
                "}" => depth -= 1,
                word if depth == 1 && ["{", ","].contains(&self.at(place - 1)) => found.push(word),
                _ => {}
            }
            if depth == 0 {
                break;
            }
        }
        found
    }

    /// What is named that has no fixed order or no fixed value.
    pub fn without_order(&self) -> Vec<String> {
        let named = |word: &&&str| self.tokens.iter().any(|t| t == **word);
        WITHOUT_ORDER
            .iter()
            .filter(named)
            .map(|word| format!("{word}: not the same in two runs"))
            .collect()
    }

    /// Calls of functions of the platform's own mathematics library.
    pub fn platform_mathematics(&self) -> Vec<String> {
        let called = |word: &&&str| {
            self.tokens.iter().enumerate().any(|(place, token)| {
                let before = place.checked_sub(1).map_or("", |p| self.at(p));
                let whose = place.checked_sub(2).map_or("", |p| self.at(p));
                let method = before == "." && self.at(place + 1) == "(";
                let path = before == "::" && ["f32", "f64"].contains(&whose);
                token == **word && (method || path)
            })
        };
        PLATFORM_MATHEMATICS
            .iter()
            .filter(called)
            .map(|word| format!("{word}: differs between platforms, use libm"))
            .collect()
    }
}

/// Where the modules lie that a file names.
pub fn folder_of_modules(file: &Path) -> PathBuf {
    let folder = file.parent().unwrap_or(Path::new(""));
    match file.file_stem().and_then(|stem| stem.to_str()) {
        Some("lib" | "main" | "mod") | None => folder.to_owned(),
        Some(stem) => folder.join(stem),
    }
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

fn is_word_sign(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// The text with remarks left out, and texts and characters emptied.
fn without_remarks_and_texts(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    let sign = |at: usize| signs.get(at).copied().unwrap_or('\0');
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    while at < signs.len() {
        let c = signs[at];
        let in_word = at > 0 && is_word_sign(signs[at - 1]);
        if c == '/' && sign(at + 1) == '/' {
            while at < signs.len() && signs[at] != '\n' {
                at += 1;
            }
        } else if c == '/' && sign(at + 1) == '*' {
            let mut depth = 0;
            while at < signs.len() {
                if sign(at) == '/' && sign(at + 1) == '*' {
                    depth += 1;
                    at += 2;
                } else if sign(at) == '*' && sign(at + 1) == '/' {
                    depth -= 1;
                    at += 2;
                } else {
                    at += 1;
                }
                if depth == 0 {
                    break;
                }
            }
            out.push(' ');
        } else if let Some(hashes) = raw_text_at(&signs, at).filter(|_| !in_word) {
            let end: Vec<char> = std::iter::once('"').chain(vec!['#'; hashes]).collect();
            while sign(at) != '"' {
                at += 1;
            }
            at += 1;
            while at < signs.len() && !signs[at..].starts_with(&end) {
                at += 1;
            }
            at += end.len();
            out.push_str("\"\"");
        } else if c == '"' {
            at += 1;
            while at < signs.len() && signs[at] != '"' {
                at += if signs[at] == '\\' { 2 } else { 1 };
            }
            at += 1;
            out.push_str("\"\"");
        } else if c == '\'' && (sign(at + 1) == '\\' || sign(at + 2) == '\'') {
            // A character; anything else behind the mark is a lifetime.
            at += if sign(at + 1) == '\\' { 3 } else { 2 };
            while at < signs.len() && signs[at] != '\'' {
                at += 1;
            }
            at += 1;
            out.push_str("' '");
        } else {
            out.push(c);
            at += 1;
        }
    }
    out
}

/// Whether a raw text begins here, and with how many hashes.
fn raw_text_at(signs: &[char], at: usize) -> Option<usize> {
    let mut next = at;
    if matches!(signs.get(next)?, 'b' | 'c') {
        next += 1;
    }
    if *signs.get(next)? != 'r' {
        return None;
    }
    let hashes = signs[next + 1..].iter().take_while(|c| **c == '#').count();
    (*signs.get(next + 1 + hashes)? == '"').then_some(hashes)
}

fn tokens(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut joins = false;
    for c in text.chars() {
        if c.is_whitespace() {
            joins = false;
            continue;
        }
        let last = found.last_mut().filter(|_| joins);
        match last {
            Some(last) if is_word_sign(c) && last.ends_with(is_word_sign) => last.push(c),
            Some(last) if c == ':' && last == ":" => last.push(c),
            _ => found.push(c.to_string()),
        }
        joins = true;
    }
    found
}

/// Leaves out everything under `#[cfg(test)]`, and names the modules among it.
fn without_tests(tokens: Vec<String>) -> (Vec<String>, Vec<String>) {
    const MARK: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
    let (mut kept, mut modules) = (Vec::new(), Vec::new());
    let mut at = 0;
    while at < tokens.len() {
        if !tokens[at..]
            .iter()
            .map(String::as_str)
            .take(MARK.len())
            .eq(MARK)
        {
            kept.push(tokens[at].clone());
            at += 1;
            continue;
        }
        at += MARK.len();
        let from = at;
        let mut depth = 0;
        while at < tokens.len() {
            match tokens[at].as_str() {
                "{" | "(" | "[" => depth += 1,
                "}" | ")" | "]" => depth -= 1,
                _ => {}
            }
            let block_ends = depth == 0 && tokens[at] == "}";
            let item_ends = depth == 0 && tokens[at] == ";";
            at += 1;
            if item_ends || (block_ends && tokens.get(at).is_none_or(|next| next != ";")) {
                break;
            }
        }
        let item = &tokens[from..at];
        let module = item.iter().position(|t| t == "mod");
        // Only what leads up to the name of a module, not a module further inside.
        let leads = |place: &usize| item[..*place].iter().all(|t| t != "{" && t != "=");
        if let Some(name) = module.filter(leads).and_then(|place| item.get(place + 1)) {
            modules.push(name.clone());
        }
    }
    (kept, modules)
}
