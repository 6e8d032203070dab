//! The timeline of a report, drawn as SVG.

use crate::series::Series;
use crate::sheet::Sheet;
use crate::theme::{Colour, THEME};
use std::fmt::Write;
use training::text::{number, say};

const WIDTH: f64 = 1120.0;
const LEFT: f64 = 66.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 34.0;
const GAP: f64 = 34.0;
const FOOT: f64 = 44.0;
const HEIGHTS: [f64; 3] = [220.0, 120.0, 120.0];

/// One line of a panel: what it is, how it is drawn.
struct Line<'a> {
    id: &'static str,
    series: &'a Series,
    colour: Colour,
    /// Dashes tell lines apart without colour.
    dash: &'static str,
}

/// A round step for an axis that goes up to `top` in four to eight steps.
fn step(top: f64) -> f64 {
    let rough = (top / 5.0).max(1e-9);
    let mut decade = 1.0;
    while decade * 10.0 <= rough {
        decade *= 10.0;
    }
    while decade > rough {
        decade /= 10.0;
    }
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|n| n * decade)
        .find(|s| *s >= rough)
        .unwrap_or(10.0 * decade)
}

/// Draws pressure, flow and thrust, with the findings as numbered flags.
pub fn timeline(sheet: &Sheet, findings: &[(usize, f64)]) -> String {
    let end_s = sheet.mark.duration_s.max(1.0);
    let height = TOP + HEIGHTS.iter().sum::<f64>() + 2.0 * GAP + FOOT;
    let x = |time_s: f64| LEFT + (WIDTH - LEFT - RIGHT) * (time_s / end_s).clamp(0.0, 1.0);
    let panels: [(&str, Vec<Line>); 3] = [
        (
            "report-chart-pressure",
            vec![
                line("pump_pressure", &sheet.pump_pressure, THEME.deep, ""),
                line("set_pressure", &sheet.set_pressure, THEME.rust, "7 4"),
            ],
        ),
        (
            "report-chart-flow",
            vec![
                line("tool_flow", &sheet.tool_flow, THEME.deep, ""),
                line("bypass_flow", &sheet.bypass_flow, THEME.rust, "7 4"),
            ],
        ),
        (
            "report-chart-thrust",
            vec![line("thrust", &sheet.thrust, THEME.deep, "")],
        ),
    ];
    let mut svg = format!(
        "<svg viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" aria-labelledby=\"chart-title\">\
         <title id=\"chart-title\">{}</title>",
        say("report-chart-about", &[])
    );
    let mut top = TOP;
    for ((title, lines), panel_height) in panels.iter().zip(HEIGHTS) {
        panel(&mut svg, title, lines, top, panel_height, x);
        top += panel_height + GAP;
    }
    let bottom = top - GAP;
    time_axis(&mut svg, end_s, bottom, x);
    for (number, time_s) in findings {
        let at = x(*time_s);
        write!(
            svg,
            "<line x1=\"{at:.1}\" x2=\"{at:.1}\" y1=\"{TOP}\" y2=\"{bottom:.1}\" stroke=\"{b}\" stroke-dasharray=\"2 3\"/>\
             <a href=\"#finding-{number}\"><circle cx=\"{at:.1}\" cy=\"{TOP}\" r=\"9\" fill=\"{b}\"/>\
             <text x=\"{at:.1}\" y=\"{ty}\" text-anchor=\"middle\" fill=\"{p}\" font-size=\"12\" font-weight=\"bold\">{number}</text></a>",
            b = THEME.brick,
            p = THEME.paper,
            ty = TOP + 4.0,
        )
        .ok();
    }
    svg.push_str("</svg>");
    svg
}

fn line<'a>(id: &'static str, series: &'a Series, colour: Colour, dash: &'static str) -> Line<'a> {
    Line {
        id,
        series,
        colour,
        dash,
    }
}

fn panel(
    svg: &mut String,
    title: &str,
    lines: &[Line],
    top: f64,
    height: f64,
    x: impl Fn(f64) -> f64,
) {
    let highest = lines.iter().map(|l| l.series.highest()).fold(1.0, f64::max);
    let step = step(highest);
    let full = (highest / step).ceil() * step;
    let y = |value: f64| top + height * (1.0 - (value / full).clamp(0.0, 1.0));
    let right = WIDTH - RIGHT;
    write!(
        svg,
        "<text x=\"{LEFT}\" y=\"{:.1}\" fill=\"{}\" font-size=\"14\" font-weight=\"bold\">{}</text>",
        top - 10.0,
        THEME.ink,
        say(title, &[])
    )
    .ok();
    let mut value = 0.0;
    while value <= full + 0.5 * step {
        let at = y(value);
        write!(
            svg,
            "<line x1=\"{LEFT}\" x2=\"{right}\" y1=\"{at:.1}\" y2=\"{at:.1}\" stroke=\"{}\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" fill=\"{}\" font-size=\"12\">{}</text>",
            THEME.line,
            LEFT - 8.0,
            at + 4.0,
            THEME.faint_ink,
            number(value, if step < 1.0 { 1 } else { 0 })
        )
        .ok();
        value += step;
    }
    for (place, line) in lines.iter().enumerate() {
        let mut path = String::new();
        for (n, point) in line.series.points.iter().enumerate() {
            let start = if n == 0 { 'M' } else { 'L' };
            let at = x(point.time_s);
            let (low, high) = (y(point.min), y(point.max));
            write!(path, "{start}{at:.1} {low:.1}").ok();
            if low - high >= 0.8 {
                write!(path, "L{at:.1} {high:.1}").ok();
            }
        }
        let dash = if line.dash.is_empty() {
            String::new()
        } else {
            format!(" stroke-dasharray=\"{}\"", line.dash)
        };
        write!(
            svg,
            "<path d=\"{path}\" fill=\"none\" stroke=\"{}\" stroke-width=\"1.6\"{dash}/>",
            line.colour
        )
        .ok();
        // The legend stands in the head of the panel.
        let from = LEFT + 190.0 + 210.0 * place as f64;
        let at = top - 14.0;
        write!(
            svg,
            "<line x1=\"{from}\" x2=\"{:.1}\" y1=\"{at:.1}\" y2=\"{at:.1}\" stroke=\"{}\" stroke-width=\"2\"{dash}/>\
             <text x=\"{:.1}\" y=\"{:.1}\" fill=\"{}\" font-size=\"13\">{}</text>",
            from + 34.0,
            line.colour,
            from + 42.0,
            at + 4.0,
            THEME.ink,
            say(&format!("report-series-{}", line.id), &[])
        )
        .ok();
    }
}

fn time_axis(svg: &mut String, end_s: f64, bottom: f64, x: impl Fn(f64) -> f64) {
    let every_s = [10.0, 30.0, 60.0, 120.0, 300.0, 600.0]
        .into_iter()
        .find(|s| end_s / s <= 12.0)
        .unwrap_or(1800.0);
    let mut time_s = 0.0;
    while time_s <= end_s {
        let at = x(time_s);
        write!(
            svg,
            "<line x1=\"{at:.1}\" x2=\"{at:.1}\" y1=\"{bottom:.1}\" y2=\"{:.1}\" stroke=\"{}\"/>\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"{}\" font-size=\"12\">{}</text>",
            bottom + 5.0,
            THEME.faint_ink,
            bottom + 19.0,
            THEME.faint_ink,
            number(time_s / 60.0, if every_s < 60.0 { 1 } else { 0 })
        )
        .ok();
        time_s += every_s;
    }
    write!(
        svg,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" fill=\"{}\" font-size=\"12\">{}</text>",
        WIDTH - RIGHT,
        bottom + 36.0,
        THEME.faint_ink,
        say("report-chart-time", &[])
    )
    .ok();
}

#[cfg(test)]
mod tests {
    use super::step;

    #[test]
    fn the_steps_of_an_axis_are_round_and_few() {
        for (top, wanted) in [
            (700.0, 200.0),
            (33.0, 10.0),
            (194.0, 50.0),
            (1.0, 0.2),
            (4.9, 1.0),
        ] {
            assert_eq!(step(top), wanted, "{top}");
        }
    }
}
