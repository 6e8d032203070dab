//! The colours and sizes of a report, by name.

/// A colour as style sheets write it.
pub(crate) type Colour = &'static str;

/// Everything that decides how a report looks. Sizes of the page are pixels of
/// a style sheet, sizes of the chart its own units.
pub(crate) struct Theme {
    /// Ground of the page.
    pub paper: Colour,
    /// Words, and shapes of the chart.
    pub ink: Colour,
    /// Words of less weight.
    pub faint_ink: Colour,
    /// Ground of heads of tables and of boxes.
    pub slate: Colour,
    /// Fine lines that say nothing by themselves.
    pub line: Colour,
    /// The band at the head of the page, and headings.
    pub harbour: Colour,
    /// Words on the band, and on what is grave.
    pub foam: Colour,
    /// Critical findings, and what is wrong with a recording.
    pub brick: Colour,
    /// Major findings.
    pub ochre: Colour,
    /// Minor findings.
    pub dusk: Colour,
    /// First line of a panel.
    pub deep: Colour,
    /// Second line of a panel.
    pub rust: Colour,
    /// Third line of a panel.
    pub moss: Colour,
    /// A clean part of a surface.
    pub clean: Colour,
    /// A part that is partly clean: one stripe and the other.
    pub partly_light: Colour,
    /// The darker stripe.
    pub partly_dark: Colour,
    /// A fouled part.
    pub fouled: Colour,
    /// Running text.
    pub text_px: u32,
    /// Tables and notes.
    pub small_px: u32,
    /// Headings of sections.
    pub heading_px: u32,
    /// Title of the page.
    pub title_px: u32,
    /// The four marks.
    pub mark_px: u32,
    /// Widest the page gets.
    pub page_px: u32,
    /// Widest the chart gets.
    pub chart_px: u32,
    /// Words in the chart.
    pub chart_text: u32,
}

/// The look of this release.
pub(crate) const THEME: Theme = Theme {
    paper: "#fdfcf8",
    ink: "#1d2426",
    faint_ink: "#4f5a5d",
    slate: "#e9eeec",
    line: "#b9c3c1",
    harbour: "#12414a",
    foam: "#f2f7f5",
    brick: "#8c1f16",
    ochre: "#744600",
    dusk: "#3b4d63",
    deep: "#0b4f6c",
    rust: "#a2490d",
    moss: "#3f5d1f",
    clean: "#dfeef0",
    partly_light: "#d3a862",
    partly_dark: "#8a6526",
    fouled: "#352a22",
    text_px: 15,
    small_px: 13,
    heading_px: 19,
    title_px: 26,
    mark_px: 32,
    page_px: 1120,
    chart_px: 1000,
    chart_text: 10,
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
            (t.harbour, t.paper),
            (t.harbour, t.slate),
            (t.foam, t.harbour),
            (t.foam, t.brick),
            (t.brick, t.paper),
            (t.brick, t.slate),
            (t.ochre, t.paper),
            (t.ochre, t.slate),
            (t.dusk, t.paper),
            (t.dusk, t.slate),
        ] {
            assert!(contrast(text, ground) >= 4.5, "{text} on {ground}");
        }
        // The comparer can fail.
        assert!(contrast(t.line, t.paper) < 4.5);
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    }

    #[test]
    fn lines_of_the_chart_stand_out_as_text_does() {
        let t = THEME;
        for line in [t.deep, t.rust, t.moss] {
            assert!(contrast(line, t.paper) >= 4.5, "{line}");
        }
    }

    #[test]
    fn grounds_of_a_surface_differ_by_lightness_and_not_by_colour_alone() {
        let t = THEME;
        // The order from clean to fouled, each well apart from the next.
        let grounds = [t.clean, t.partly_light, t.partly_dark, t.fouled];
        for pair in grounds.windows(2) {
            assert!(luminance(pair[0]) > luminance(pair[1]));
            assert!(contrast(pair[0], pair[1]) >= 1.8, "{pair:?}");
        }
        // Shapes that mean something: three to one (WCAG 2.2, 1.4.11).
        assert!(contrast(t.clean, t.partly_dark) >= 3.0);
        assert!(contrast(t.partly_light, t.fouled) >= 3.0);
    }

    #[test]
    fn words_in_the_chart_are_readable_on_paper() {
        // A4 less its margins is 184 mm wide; a pixel of a style sheet is
        // 1/96 inch. Nine of them, 6.75 points, are the least we print.
        let page_px = 184.0 / 25.4 * 96.0;
        let printed_px = f64::from(THEME.chart_text) * page_px / crate::chart::WIDTH;
        assert!(printed_px >= 9.0, "{printed_px:.2}");
    }
}
