//! Words and data as HTML.

use training::text::{Argument, say};

/// Text as it may stand in an element or in an attribute with quotation marks.
///
/// Control characters, and those that turn the direction of writing around and
/// can make one name look like another, become a replacement mark.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(c),
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => out.push('\u{fffd}'),
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A text of the catalogue, with all that is filled in made safe. Arguments
/// come unescaped.
pub(crate) fn text(id: &str, arguments: &[(&str, &dyn Argument)]) -> String {
    escape(&say(id, arguments))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_from_data_cannot_become_markup() {
        assert_eq!(
            escape(r#"<b a="1" c='2'>&amp;"#),
            "&lt;b a=&quot;1&quot; c=&#39;2&#39;&gt;&amp;amp;"
        );
    }

    #[test]
    fn invisible_characters_show() {
        assert_eq!(
            escape("a\u{0}b\u{202e}c\u{7f}"),
            "a\u{fffd}b\u{fffd}c\u{fffd}"
        );
        assert_eq!(escape("é 水\n"), "é 水\n");
    }
}
