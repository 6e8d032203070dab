//! Words and numbers as they stand on the page.

/// Text as it may stand in an element or in an attribute with quotation marks.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() && c != '\n' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A number with six significant digits, by powers of ten where it is far from one.
pub fn shown(value: f64) -> String {
    with_digits(value, 6)
}

/// A deviation or a tolerance, with two.
pub fn small(value: f64) -> String {
    with_digits(value, 2)
}

fn with_digits(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "\u{2013}".to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let places = libm::floor(libm::log10(value.abs())) as i32;
    if !(-4..=6).contains(&places) {
        let written = format!("{value:.*e}", digits - 1);
        let (of_ten, power) = written.split_once('e').unwrap_or((&written, "0"));
        return format!("{}e{power}", trimmed(of_ten));
    }
    let decimals = (digits as i32 - 1 - places).max(0) as usize;
    trimmed(&format!("{value:.decimals$}")).to_owned()
}

/// Without zeros at the end of a fraction.
fn trimmed(text: &str) -> &str {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_well_and_words_cannot_become_markup() {
        for (value, want) in [
            (998.2071, "998.207"),
            (0.0012345678, "0.00123457"),
            (1.0e-6, "1e-6"),
            (2.25e9, "2.25e9"),
            (123_456.0, "123456"),
            (-0.5, "-0.5"),
            (0.0, "0"),
            (f64::NAN, "\u{2013}"),
        ] {
            assert_eq!(shown(value), want);
        }
        assert_eq!(small(0.001_234), "0.0012");
        assert_eq!(
            escape("<a \"b\" & 'c'>\u{0}"),
            "&lt;a &quot;b&quot; &amp; &#39;c&#39;&gt;\u{fffd}"
        );
    }
}
