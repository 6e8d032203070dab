//! The colours and sizes of a report, by name.

/// A colour as CSS writes it.
pub type Colour = &'static str;

/// Everything that decides how a report looks.
pub struct Theme {
    /// Ground of the page.
    pub paper: Colour,
    /// Text.
    pub ink: Colour,
    /// Text of less weight.
    pub faint_ink: Colour,
    /// Ground of tables' heads and of boxes.
    pub slate: Colour,
    /// Fine lines.
    pub line: Colour,
    /// The band at the head of the page.
    pub harbour: Colour,
    /// Text on the band.
    pub foam: Colour,
    /// What is grave.
    pub brick: Colour,
    /// First line of a chart.
    pub deep: Colour,
    /// Second line of a chart.
    pub rust: Colour,
    /// Size of running text, pixels.
    pub text_px: u32,
}

/// The look of this release.
pub const THEME: Theme = Theme {
    paper: "#fdfcf8",
    ink: "#1d2426",
    faint_ink: "#4f5a5d",
    slate: "#e9eeec",
    line: "#b9c3c1",
    harbour: "#12414a",
    foam: "#f2f7f5",
    brick: "#8c1f16",
    deep: "#0b4f6c",
    rust: "#a2490d",
    text_px: 15,
};

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of a colour (WCAG 2.2, definition).
    fn luminance(colour: Colour) -> f64 {
        let channel = |at: usize| {
            let byte = u8::from_str_radix(&colour[at..at + 2], 16).unwrap();
            let c = f64::from(byte) / 255.0;
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    /// Contrast of two colours (WCAG 2.2, definition).
    fn contrast(a: Colour, b: Colour) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn all_text_has_the_contrast_that_wcag_asks_of_running_text() {
        let t = THEME;
        for (text, ground) in [
            (t.ink, t.paper),
            (t.ink, t.slate),
            (t.faint_ink, t.paper),
            (t.faint_ink, t.slate),
            (t.foam, t.harbour),
            (t.brick, t.paper),
            (t.brick, t.slate),
            (t.deep, t.paper),
            (t.rust, t.paper),
        ] {
            assert!(contrast(text, ground) >= 4.5, "{text} on {ground}");
        }
        // The comparer can fail.
        assert!(contrast(t.line, t.paper) < 4.5);
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    }
}
