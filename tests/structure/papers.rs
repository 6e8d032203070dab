//! Reads the papers beside the code, and any text for what must not be in it.

/// Endings by which a name in backticks is known for a file.
const ENDINGS: [&str; 6] = [".csv", ".ftl", ".md", ".ron", ".rs", ".toml"];

/// Paths that a paper names: in backticks, or as the aim of a link. A path with a part in angle
/// brackets counts as far as that part.
pub fn paths(markdown: &str) -> Vec<String> {
    let mut text = String::new();
    let mut fenced = false;
    for line in markdown.lines() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            text.push_str(line);
            text.push('\n');
        }
    }
    let in_ticks = text
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|word| is_path(word));
    let links = text
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split(')').next())
        .filter(|aim| !aim.contains("://") && !aim.starts_with('#'));
    in_ticks.chain(links).map(up_to_brackets).collect()
}

fn is_path(word: &str) -> bool {
    let plain = !word.contains(|c: char| c.is_whitespace() || "(){}*$=\"".contains(c));
    let file = ENDINGS.iter().any(|ending| word.ends_with(ending));
    plain && !word.contains("::") && !word.starts_with('-') && (word.contains('/') || file)
}

fn up_to_brackets(path: &str) -> String {
    match path.split_once('<') {
        None => path.to_owned(),
        Some((before, _)) => match before.rsplit_once('/') {
            Some((folder, _)) => folder.to_owned(),
            None => ".".to_owned(),
        },
    }
}

/// What must not be left in the project, with the line it stands in. The words are put together
/// here so that this file does not hold them.
pub fn unwanted(text: &str) -> Vec<String> {
    let words = [
        [concat!("to", "do!("), "is not finished"],
        [concat!("unim", "plemented!("), "is not finished"],
        [concat!("TO", "DO"), "is not finished"],
        [concat!("FIX", "ME"), "is not finished"],
        [concat!("#[ig", "nore"), "is a test that does not run"],
        [concat!("db", "g!("), "was left from a search"],
        [concat!("/ho", "me/"), "is a path of one machine"],
        [concat!("/ro", "ot/"), "is a path of one machine"],
        [concat!("/Us", "ers/"), "is a path of one machine"],
        [concat!("/wo", "rk/"), "is a path of one machine"],
        [concat!("\\Us", "ers\\"), "is a path of one machine"],
    ];
    let mut faults = Vec::new();
    for (at, line) in text.lines().enumerate() {
        for [word, why] in words {
            if line
                .match_indices(word)
                .any(|(place, _)| begins(line, place, word))
            {
                faults.push(format!("{}: {word} {why}", at + 1));
            }
        }
    }
    faults
}

/// A path begins where no word or other path goes on; everything else may stand anywhere.
fn begins(line: &str, place: usize, word: &str) -> bool {
    let before = line[..place].chars().next_back();
    !word.starts_with('/') || before.is_none_or(|c| !c.is_alphanumeric() && !"./-_>".contains(c))
}
