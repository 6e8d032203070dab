//! The time line: one drawing of what was measured, what lasted, what happened
//! and what was found.

mod axis;
mod glyph;
mod numbers;

use crate::clock::{minutes, moment};
use crate::html::{escape, text};
use crate::series::{Point, Quantity, Series};
use crate::sheet::{Moment, Sheet, State, Table};
use crate::words;
pub(crate) use axis::Axis;
use glyph::{Glyph, Lane};
use numbers::Place;
use std::fmt::Write;
use training::Severity;
use training::text::{number, say};

/// Width of the drawing, in its own units.
pub(crate) const WIDTH: f64 = 760.0;

const LEFT: f64 = 94.0;
const RIGHT: f64 = WIDTH - 14.0;
const ROW: f64 = 19.0;
const SPAN_ROW: f64 = 14.0;
const PHASE_ROW: f64 = 17.0;
const EVENT_ROW: f64 = 15.0;
const HEAD: f64 = 18.0;

/// A part of the drawing with an axis of its own.
struct Panel {
    id: &'static str,
    unit: &'static str,
    height: f64,
    /// What the axis reaches at least, so that next to nothing looks like it.
    least: f64,
    intervals: u32,
    holds: &'static [Quantity],
}

const PANELS: [Panel; 5] = [
    Panel {
        id: "pressure",
        unit: "bar",
        height: 150.0,
        least: 100.0,
        intervals: 6,
        holds: &[
            Quantity::PumpPressure,
            Quantity::SetPressure,
            Quantity::Gauge,
        ],
    },
    Panel {
        id: "flow",
        unit: "L/min",
        height: 66.0,
        least: 10.0,
        intervals: 3,
        holds: &[Quantity::ToolFlow, Quantity::BypassFlow],
    },
    Panel {
        id: "thrust",
        unit: "N",
        height: 66.0,
        least: 50.0,
        intervals: 3,
        holds: &[Quantity::Thrust],
    },
    Panel {
        id: "stand_off",
        unit: "mm",
        height: 66.0,
        least: 100.0,
        intervals: 3,
        holds: &[Quantity::StandOff],
    },
    Panel {
        id: "travel_speed",
        unit: "mm/s",
        height: 66.0,
        least: 100.0,
        intervals: 3,
        holds: &[Quantity::TravelSpeed],
    },
];

/// The panels of a sheet: those of a surface only where there is one.
fn panels(sheet: &Sheet) -> impl Iterator<Item = &'static Panel> {
    let surface = sheet.cleaning.is_some();
    let of_surface = |panel: &&Panel| panel.holds.iter().all(|q| q.is_of_surface());
    PANELS
        .iter()
        .filter(move |panel| surface || !of_surface(panel))
}

/// The bars of a sheet.
fn states(sheet: &Sheet) -> Vec<State> {
    let was = |state: &State| sheet.spans.iter().any(|span| span.state == *state);
    let all = State::ALL.into_iter();
    all.filter(|s| s.is_always_shown() || was(s)).collect()
}

/// The drawing with its key.
pub(crate) fn figure(sheet: &Sheet) -> String {
    let time = Axis::of_time(sheet.until_s, 12);
    let x = |seconds: f64| LEFT + time.share(seconds) * (RIGHT - LEFT);

    let found: Vec<f64> = (sheet.mark.findings.iter())
        .map(|f| x(f.tick.seconds()))
        .collect();
    let places = numbers::places(&found, LEFT, RIGHT + 4.0);
    let rows = places.iter().flatten().map(|p| p.row + 1).max();
    let numbers_height = rows.unwrap_or(0) as f64 * ROW;
    let phases_top = numbers_height + 6.0;
    let spans_top = phases_top + PHASE_ROW + 2.0;
    let events_top = spans_top + states(sheet).len() as f64 * SPAN_ROW + 3.0;
    let mut y = events_top + lanes(sheet).len() as f64 * EVENT_ROW + 2.0;
    let mut inner = String::new();
    for panel in panels(sheet) {
        y += HEAD;
        inner.push_str(&panel_svg(sheet, panel, &time, y));
        y += panel.height;
    }
    let bottom = y;
    inner.push_str(&time_axis(&time, bottom));
    let height = bottom + 34.0;

    let mut svg = format!(
        "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {height:.0}\" role=\"group\" \
         aria-labelledby=\"chart-title chart-desc\"><title id=\"chart-title\">{}</title>\
         <desc id=\"chart-desc\">{}</desc>",
        text("report-chart-title", &[]),
        description(sheet),
    );
    // Beneath all else, so that no line goes through a word or a shape.
    svg.push_str(&findings(sheet, &found, &places, numbers_height, bottom));
    svg.push_str(&phases(sheet, phases_top, x));
    svg.push_str(&spans(sheet, spans_top, x));
    svg.push_str(&events(sheet, events_top, x));
    svg.push_str(&inner);
    svg.push_str("</svg>");
    format!("<figure>{svg}</figure>{}", key(sheet))
}

/// What the drawing shows, for those who do not see it.
fn description(sheet: &Sheet) -> String {
    let until = minutes(sheet.until_s);
    let mut out = text("report-chart-desc", &[("until", &until)]);
    for series in &sheet.series {
        let most = series
            .sound()
            .map(|p| p.max)
            .fold(f64::NEG_INFINITY, f64::max);
        if most.is_finite() {
            let name = say(&series_name_id(series.quantity), &[]);
            let unit = PANELS
                .iter()
                .find(|p| p.holds.contains(&series.quantity))
                .map_or("", |p| p.unit);
            let most = format!("{} {unit}", words::short(most, 1));
            out.push(' ');
            out.push_str(&text(
                "report-chart-most",
                &[("name", &name), ("most", &most)],
            ));
        }
    }
    out
}

fn series_name_id(quantity: Quantity) -> String {
    format!("report-series-{}", quantity.id())
}

/// How the lines of a panel differ, from the first on: by colour and by dash.
const LOOKS: [&str; 3] = ["first", "second", "third"];

/// The look of a quantity's line.
fn look(quantity: Quantity) -> &'static str {
    let place = |panel: &Panel| panel.holds.iter().position(|q| *q == quantity);
    let place = PANELS.iter().find_map(place).unwrap_or(0);
    LOOKS[place.min(LOOKS.len() - 1)]
}

/// One panel: frame, grid, ticks, bands and lines.
fn panel_svg(sheet: &Sheet, panel: &Panel, time: &Axis, top: f64) -> String {
    let bottom = top + panel.height;
    let held = |q: &Quantity| sheet.series.iter().find(|s| s.quantity == *q);
    let most = panel
        .holds
        .iter()
        .filter_map(held)
        .flat_map(Series::sound)
        .fold(panel.least, |most: f64, p| most.max(p.max));
    let wanted = wanted(sheet, panel);
    let tables = tables(sheet, panel);
    // A table that reaches far beyond all that was measured is cut off: the
    // line must not be pressed flat.
    let axis = Axis::up_to(wanted.unwrap_or(0.0).max(most), panel.intervals);
    let mut out = format!(
        "<text class=\"panel\" x=\"{LEFT}\" y=\"{:.1}\">{}</text>",
        top - 5.0,
        text(
            &format!("report-chart-{}", panel.id),
            &[("unit", &panel.unit)]
        )
    );
    for table in tables {
        let x = |s: f64| LEFT + time.share(s) * (RIGHT - LEFT);
        let [least, most] = table.stand_off_m.map(|m| 1000.0 * m);
        let (from, until) = (x(table.from_s), x(table.until_s));
        let (high, low) = (axis.share(most), axis.share(least));
        let y = bottom - high * panel.height;
        let _ = write!(
            out,
            "<g><title>{} {}\u{2013}{} {}</title><rect class=\"table\" x=\"{from:.1}\" \
             y=\"{y:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>",
            text("report-chart-table", &[]),
            number(least, 0),
            number(most, 0),
            panel.unit,
            until - from,
            (high - low) * panel.height,
        );
        let floor = bottom - low * panel.height;
        let _ = write!(
            out,
            "<path class=\"table-edge\" d=\"M{from:.1},{floor:.1}H{until:.1}"
        );
        if most <= axis.until {
            let _ = write!(out, "M{from:.1},{y:.1}H{until:.1}");
        }
        out.push_str("\"/></g>");
    }
    for tick in &time.ticks {
        let x = LEFT + time.share(*tick) * (RIGHT - LEFT);
        let _ = write!(
            out,
            "<path class=\"grid\" d=\"M{x:.1},{top:.1}V{bottom:.1}\"/>"
        );
    }
    for tick in &axis.ticks {
        let y = bottom - axis.share(*tick) * panel.height;
        let _ = write!(
            out,
            "<path class=\"grid\" d=\"M{LEFT},{y:.1}H{RIGHT}\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            LEFT - 6.0,
            y + 3.5,
            number(*tick, axis.decimals)
        );
    }
    let mut drawn = false;
    for quantity in panel.holds {
        let Some(series) = held(quantity) else {
            continue;
        };
        let place = |p: &Point, value: f64| {
            (
                LEFT + time.share(p.time_s) * (RIGHT - LEFT),
                bottom - axis.share(value) * panel.height,
            )
        };
        let look = look(*quantity);
        let (mut band, mut curve) = (String::new(), String::new());
        for points in series.stretches() {
            if points.iter().any(|p| p.max > p.min) {
                let upper: Vec<_> = points.iter().map(|p| place(p, p.max)).collect();
                let lower: Vec<_> = points.iter().rev().map(|p| place(p, p.min)).collect();
                let _ = write!(band, "M{}L{}Z", path(&upper), path(&lower));
            }
            let line: Vec<_> = points.iter().map(|p| place(p, p.mean)).collect();
            // A lone point is a dot: a line without a length is not drawn.
            let dot = if line.len() == 1 { "h.8" } else { "" };
            let _ = write!(curve, "M{}{dot}", path(&line));
        }
        if !band.is_empty() {
            let _ = write!(out, "<path class=\"band\" d=\"{band}\"/>");
        }
        if !curve.is_empty() {
            drawn = true;
            let _ = write!(out, "<path class=\"curve {look}\" d=\"{curve}\"/>");
        }
    }
    if let Some(wanted) = wanted {
        let y = bottom - axis.share(wanted) * panel.height;
        let _ = write!(out, "<path class=\"wanted\" d=\"M{LEFT},{y:.1}H{RIGHT}\"/>");
    }
    if !drawn {
        let _ = write!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\">{}</text>",
            LEFT + 8.0,
            0.5 * (top + bottom),
            text("report-chart-nothing", &[])
        );
    }
    let _ = write!(
        out,
        "<rect class=\"frame\" x=\"{LEFT}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>",
        RIGHT - LEFT,
        panel.height
    );
    out
}

/// A value that the job sheet states for what a panel shows.
fn wanted(sheet: &Sheet, panel: &Panel) -> Option<f64> {
    let cleaning = sheet.cleaning.as_ref()?;
    let mm = 1000.0 * cleaning.stand_off_m;
    (panel.id == "stand_off" && mm.is_finite()).then_some(mm)
}

/// What the tables of the nozzles say of what a panel shows.
fn tables<'a>(sheet: &'a Sheet, panel: &Panel) -> impl Iterator<Item = &'a Table> {
    let sound = |t: &&Table| {
        let [least, most] = t.stand_off_m;
        least.is_finite() && most.is_finite() && least < most && t.from_s < t.until_s
    };
    let shown = panel.id == "stand_off";
    sheet.tables.iter().filter(move |t| shown && sound(t))
}

/// Points as a path, leaving out those that lie on a level stretch.
fn path(points: &[(f64, f64)]) -> String {
    let tenth = |v: f64| (v * 10.0).round();
    let mut out = String::new();
    for (i, &(x, y)) in points.iter().enumerate() {
        let level = |other: Option<&(f64, f64)>| other.is_some_and(|o| tenth(o.1) == tenth(y));
        let inside = i > 0 && level(points.get(i - 1)) && level(points.get(i + 1));
        if !inside {
            let _ = write!(out, "{}{x:.1},{y:.1}", if i == 0 { "" } else { " " });
        }
    }
    out
}

fn time_axis(time: &Axis, bottom: f64) -> String {
    let mut out = String::new();
    for tick in &time.ticks {
        let x = LEFT + time.share(*tick) * (RIGHT - LEFT);
        let _ = write!(
            out,
            "<path class=\"frame\" d=\"M{x:.1},{bottom:.1}v4\"/>\
             <text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            bottom + 14.0,
            minutes(*tick)
        );
    }
    let _ = write!(
        out,
        "<text class=\"panel\" x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
        0.5 * (LEFT + RIGHT),
        bottom + 29.0,
        text("report-chart-time", &[])
    );
    out
}

fn lane(y: f64, name: &str) -> String {
    format!(
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{name}</text>\
         <path class=\"lane\" d=\"M{LEFT},{y:.1}H{RIGHT}\"/>",
        LEFT - 12.0,
        y + 3.5
    )
}

/// The parts of the attempt, named where there is room.
fn phases(sheet: &Sheet, top: f64, x: impl Fn(f64) -> f64) -> String {
    let mut out = format!(
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
        LEFT - 12.0,
        top + 0.5 * PHASE_ROW + 3.5,
        text("report-lane-phases", &[])
    );
    for phase in &sheet.phases {
        let (from, until) = (x(phase.from_s), x(phase.until_s));
        let name = text(&format!("report-phase-{}", phase.stage.id()), &[]);
        let _ = write!(
            out,
            "<g><title>{name} {}\u{2013}{}</title><rect class=\"phase\" x=\"{from:.1}\" \
             y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>",
            moment(phase.from_s),
            moment(phase.until_s),
            top + 1.0,
            (until - from).max(0.0),
            PHASE_ROW - 2.0
        );
        // A letter is about six units wide.
        if until - from > 6.0 * name.chars().count() as f64 {
            let _ = write!(
                out,
                "<text class=\"phase-name\" x=\"{:.1}\" y=\"{:.1}\">{name}</text>",
                0.5 * (from + until),
                top + 0.5 * PHASE_ROW + 3.5
            );
        }
        out.push_str("</g>");
    }
    out
}

/// Bars for what lasted.
fn spans(sheet: &Sheet, top: f64, x: impl Fn(f64) -> f64) -> String {
    let mut out = String::new();
    for (row, state) in states(sheet).into_iter().enumerate() {
        let y = top + (row as f64 + 0.5) * SPAN_ROW;
        let name = text(&format!("report-state-{}", state.id()), &[]);
        out.push_str(&lane(y, &name));
        for span in sheet.spans.iter().filter(|s| s.state == state) {
            let (from, until) = (x(span.from_s), x(span.until_s));
            let _ = write!(
                out,
                "<rect class=\"span\" x=\"{from:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"8\">\
                 <title>{name} {}\u{2013}{}</title></rect>",
                y - 4.0,
                (until - from).max(1.0),
                moment(span.from_s),
                moment(span.until_s)
            );
        }
    }
    out
}

/// The rows for what happened, each with the id of its name.
fn lanes(sheet: &Sheet) -> Vec<(Lane, &'static str)> {
    let calls = |moment: &Moment| {
        let lane = Glyph::of(&moment.event).map(Glyph::lane);
        lane == Some(Lane::OtherCalls)
    };
    let others = sheet.moments.iter().any(calls);
    [
        (Lane::PumpCalls, "report-lane-pump_calls"),
        (Lane::LanceCalls, "report-lane-lance_calls"),
        (Lane::OtherCalls, "report-lane-other_calls"),
        (Lane::Acts, "report-lane-acts"),
        (Lane::Handling, "report-lane-handling"),
    ]
    .into_iter()
    .filter(|(lane, _)| others || *lane != Lane::OtherCalls)
    .collect()
}

/// Shapes for what happened.
fn events(sheet: &Sheet, top: f64, x: impl Fn(f64) -> f64) -> String {
    let mut out = String::new();
    for (row, (which, id)) in lanes(sheet).into_iter().enumerate() {
        let y = top + (row as f64 + 0.5) * EVENT_ROW;
        out.push_str(&lane(y, &text(id, &[])));
        for happened in &sheet.moments {
            let Some(glyph) = Glyph::of(&happened.event).filter(|g| g.lane() == which) else {
                continue;
            };
            let at_s = happened.tick.seconds();
            let said = words::event(&happened.event);
            let _ = write!(
                out,
                "<g><title>{} {}</title>{}</g>",
                moment(at_s),
                escape(&said),
                glyph.svg(x(at_s), y)
            );
        }
    }
    out
}

/// A number for each finding, with a line down through the drawing.
fn findings(
    sheet: &Sheet,
    at: &[f64],
    places: &[Option<Place>],
    lane_bottom: f64,
    bottom: f64,
) -> String {
    let found = &sheet.mark.findings;
    let mut out = String::new();
    if found.is_empty() {
        return out;
    }
    let _ = write!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
        LEFT - 12.0,
        lane_bottom - 0.5 * ROW + 3.5,
        text("report-lane-findings", &[])
    );
    let mut shapes = String::new();
    for (index, ((finding, at), place)) in found.iter().zip(at).zip(places).enumerate() {
        let severity = finding.severity.id();
        let _ = write!(
            out,
            "<path class=\"drop {severity}\" d=\"M{at:.1},{lane_bottom:.1}V{bottom:.1}\"/>"
        );
        let Some(place) = place else { continue };
        let y = lane_bottom - (place.row as f64 + 0.5) * ROW;
        let count = index + 1;
        let _ = write!(
            out,
            "<path class=\"lead\" d=\"M{:.1},{y:.1}L{at:.1},{lane_bottom:.1}\"/>",
            place.x
        );
        let title = format!(
            "{} {}",
            moment(finding.tick.seconds()),
            words::rule_title(&finding.rule)
        );
        let _ = write!(
            shapes,
            "<a href=\"#finding-{count}\"><title>{}</title>{}\
             <text class=\"number {severity}\" x=\"{:.1}\" y=\"{:.1}\">{count}</text></a>",
            escape(&title),
            badge(finding.severity, place.x, y),
            place.x,
            y + 3.6
        );
    }
    out + &shapes
}

/// The shape behind the number of a finding: its weight without its colour.
fn badge(severity: Severity, x: f64, y: f64) -> String {
    let id = severity.id();
    let half = numbers::HALF;
    match severity {
        Severity::Critical => format!(
            "<rect class=\"badge {id}\" x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>",
            x - half,
            y - half,
            2.0 * half,
            2.0 * half
        ),
        Severity::Major => {
            format!("<circle class=\"badge {id}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{half:.1}\"/>")
        }
        Severity::Minor => format!(
            "<path class=\"badge {id}\" d=\"M{x:.1},{:.1}l9,9l-9,9l-9,-9Z\"/>",
            y - 9.0
        ),
    }
}

/// What the lines and shapes mean.
fn key(sheet: &Sheet) -> String {
    let mut out = String::from("<ul class=\"key\">");
    let small = |inner: &str, width: u32| {
        format!(
            "<svg width=\"{width}\" height=\"18\" viewBox=\"0 0 {width} 18\" aria-hidden=\"true\">{inner}</svg>"
        )
    };
    let mut item = |drawing: String, text: String| {
        let _ = write!(out, "<li>{drawing}{text}</li>");
    };
    for quantity in panels(sheet).flat_map(|panel| panel.holds) {
        let look = look(*quantity);
        let line = format!("<path class=\"curve {look}\" d=\"M0,9H34\"/>");
        item(small(&line, 34), text(&series_name_id(*quantity), &[]));
    }
    if panels(sheet).any(|panel| wanted(sheet, panel).is_some()) {
        let line = "<path class=\"wanted\" d=\"M0,9H34\"/>";
        item(small(line, 34), text("report-chart-wanted", &[]));
    }
    if panels(sheet).any(|panel| tables(sheet, panel).next().is_some()) {
        let inner = "<rect class=\"table\" y=\"3\" width=\"34\" height=\"12\"/>\
                     <path class=\"table-edge\" d=\"M0,3H34M0,15H34\"/>";
        item(small(inner, 34), text("report-chart-table", &[]));
    }
    let band = "<path class=\"band\" d=\"M0,3H34V15H0Z\"/>";
    item(small(band, 34), text("report-band", &[]));
    // Only what is there needs an explanation.
    let found = &sheet.mark.findings;
    let severities = [Severity::Critical, Severity::Major, Severity::Minor];
    for severity in severities
        .into_iter()
        .filter(|s| found.iter().any(|f| f.severity == *s))
    {
        let id = severity.id();
        let inner = badge(severity, 9.0, 9.0);
        item(
            small(&inner, 18),
            text(&format!("report-severity-{id}"), &[]),
        );
    }
    let drawn = |glyph: &Glyph| {
        let moments = sheet.moments.iter();
        moments
            .map(|m| Glyph::of(&m.event))
            .any(|g| g == Some(*glyph))
    };
    for glyph in Glyph::ALL.into_iter().filter(drawn) {
        item(
            small(&glyph.svg(6.0, 9.0), 12),
            text(&format!("report-glyph-{}", glyph.id()), &[]),
        );
    }
    out.push_str("</ul>");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_stretch_is_drawn_by_its_ends_only() {
        let flat: Vec<_> = (0..100).map(|i| (f64::from(i), 5.0)).collect();
        assert_eq!(path(&flat), "0.0,5.0 99.0,5.0");
        assert_eq!(
            path(&[(0.0, 5.0), (1.0, 5.0), (2.0, 9.0), (3.0, 5.0)]),
            "0.0,5.0 1.0,5.0 2.0,9.0 3.0,5.0"
        );
    }
}
