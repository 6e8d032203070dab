//! The attempt over time: parts, states, acts and findings as bars and marks,
//! and what was measured, with a cursor through all of it.

use super::curves::{Curve, Line, Panel};
use super::{Ask, Desk, Look, choose, ink, parts, units};
use bevy_egui::egui::{
    self, Align2, Color32, EventFilter, FontId, Pos2, Rect, Sense, Shape, Stroke, pos2, vec2,
};
use egui_plot::{FilledArea, GridMark, Plot, PlotPoints};
use records::glance::gravest_first;
use records::{Quantity, Sheet, State, clock};
use training::text::{number, say};
use training::{Event, Finding, Severity};

/// Room on the left for names and numbers, in heights of a line of text.
const GUTTER_ROWS: f32 = 5.6;

/// A panel is no lower than this, in heights of a line of text.
const PANEL_ROWS: f32 = 2.7;

/// How near to a mark a click has to be, points.
const NEAR: f32 = 9.0;

/// The panels that can be shown, and zoom.
pub(super) fn choices(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>) {
    let sheet = &look.debrief.sheet;
    for panel in Panel::ALL {
        let there = |q: &Quantity| sheet.series.iter().any(|s| s.quantity == *q);
        if panel.quantities().iter().any(there) {
            let words = say(&format!("debrief-panel-{}", panel.id()), &[]);
            if parts::tab(ui, desk.line.shows(panel), words).clicked() {
                desk.line.switched[panel as usize] ^= true;
            }
        }
    }
    ui.add_space(6.0);
    let (until_s, at_s) = (look.debrief.until_s(), look.debrief.cursor_s);
    for (id, by) in [("debrief-nearer", 0.5), ("debrief-farther", 2.0)] {
        if parts::button(ui, id).clicked() {
            desk.line.zoom(until_s, at_s, by);
        }
    }
}

/// How a finding of a weight is drawn: its shape tells as much as its colour.
pub(super) fn mark(painter: &egui::Painter, at: Pos2, size: f32, severity: Severity) {
    let fill = ink::of(severity);
    let edge = Stroke::new(1.0, ink::SUNK);
    match severity {
        Severity::Critical => {
            let square = Rect::from_center_size(at, vec2(1.8 * size, 1.8 * size));
            painter.rect(square, 1.0, fill, edge, egui::StrokeKind::Outside);
        }
        Severity::Major => {
            let corners = [
                at + vec2(0.0, -1.1 * size),
                at + vec2(1.1 * size, 0.9 * size),
                at + vec2(-1.1 * size, 0.9 * size),
            ];
            painter.add(Shape::convex_polygon(corners.to_vec(), fill, edge));
        }
        Severity::Minor => {
            painter.circle(at, 0.85 * size, fill, edge);
        }
    }
}

/// A lane of bars.
struct Lane {
    name: String,
    bars: Vec<(f64, f64, Color32, String)>,
}

fn lanes(sheet: &Sheet) -> Vec<Lane> {
    let mut lanes = vec![Lane {
        name: parts::say("report-lane-phases"),
        bars: (sheet.phases.iter())
            .map(|phase| {
                let words = say(&format!("report-phase-{}", phase.stage.id()), &[]);
                (phase.from_s, phase.until_s, ink::LINE, words)
            })
            .collect(),
    }];
    for state in State::ALL {
        let bars: Vec<_> = (sheet.spans.iter())
            .filter(|span| span.state == state)
            .map(|span| (span.from_s, span.until_s, colour(state), String::new()))
            .collect();
        if !bars.is_empty() || state.is_always_shown() {
            let name = say(&format!("report-state-{}", state.id()), &[]);
            lanes.push(Lane { name, bars });
        }
    }
    if !sheet.stops.is_empty() {
        let bars = (sheet.stops.iter())
            .map(|stop| {
                let from_s = stop.cue.tick.seconds();
                let until_s = stop.cue.acted_s.map_or(sheet.until_s, |s| from_s + s);
                let colour = if stop.cue.is_met() {
                    ink::TEAL
                } else {
                    ink::RED
                };
                (from_s, until_s, colour, String::new())
            })
            .collect();
        let name = parts::say("debrief-lane_stops");
        lanes.push(Lane { name, bars });
    }
    lanes
}

fn colour(state: State) -> Color32 {
    match state {
        State::EngineRuns => ink::FAINT,
        State::LineFed | State::Squeezed => ink::TEAL,
        State::NozzleOn | State::Braced | State::BarrierClosed => ink::MIST,
        State::Intruder => ink::AMBER,
    }
}

/// The whole time line.
pub(super) fn show(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let debrief = look.debrief;
    let until_s = debrief.until_s();
    desk.line.draw_up(&debrief.sheet, look.units);
    if debrief.plays {
        desk.line.follow(until_s, debrief.cursor_s);
    }
    let row = ui.text_style_height(&egui::TextStyle::Body);
    let lanes = lanes(&debrief.sheet);
    let lane_height = (0.72 * row).min(16.0);
    let marks_height = 1.25 * row;
    let axis_height = 1.2 * row;
    let drawn: Vec<Panel> = (Panel::ALL.into_iter())
        .filter(|panel| desk.line.shows(*panel))
        .filter(|panel| {
            let there = |q: &Quantity| desk.line.curves.iter().any(|c| c.quantity == *q);
            panel.quantities().iter().any(there)
        })
        .collect();
    let bars_height = marks_height + lanes.len() as f32 * lane_height + 4.0;
    let least = PANEL_ROWS * row;
    let room = ui.available_height() - bars_height - axis_height - 6.0;
    let each = (room / drawn.len().max(1) as f32).max(least);
    egui::ScrollArea::vertical()
        .id_salt("debrief_line")
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let height = bars_height + axis_height + each * drawn.len() as f32;
            let (all, response) =
                ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click_and_drag());
            let gutter = GUTTER_ROWS * row;
            let plot = Rect::from_min_max(
                pos2(all.left() + gutter, all.top()),
                pos2(all.right() - 10.0, all.bottom()),
            );
            let scale = Scale {
                window_s: desk.line.window(until_s),
                left: plot.left(),
                right: plot.right(),
            };
            let bars = Rect::from_min_size(all.min, vec2(all.width(), bars_height));
            draw_bars(
                ui,
                desk,
                look,
                &lanes,
                bars,
                marks_height,
                lane_height,
                &scale,
            );
            let mut top = bars.bottom();
            for panel in &drawn {
                let at = Rect::from_min_max(pos2(all.left(), top), pos2(plot.right(), top + each));
                draw_panel(ui, &desk.line, look, *panel, at, plot.left(), &scale);
                top += each;
            }
            draw_axis(ui, &scale, pos2(plot.left(), top), all.top());
            draw_cursor(ui, &scale, debrief.cursor_s, all);
            respond(ui, desk, look, &response, &scale, bars, marks_height, asks);
        });
}

/// Half the height of a finding's mark, as a share of the lane's.
const MARK: f32 = 0.33;

/// Where the marks of findings are: at their moments, and where they come close
/// upon each other side by side about the middle of those.
fn places(findings: &[Finding], scale: &Scale, size: f32) -> Vec<f32> {
    let apart = 2.3 * size;
    let mut order: Vec<usize> = (0..findings.len()).collect();
    order.sort_by_key(|n| (findings[*n].tick, *n));
    // Rows of marks that touch: where the first is, and who is in it.
    let mut rows: Vec<(f32, Vec<usize>)> = Vec::new();
    for n in order {
        rows.push((scale.x(findings[n].tick.seconds()), vec![n]));
        while let [.., (before, first), (after, last)] = rows.as_slice()
            && after - before < apart * first.len() as f32
        {
            let all: Vec<usize> = first.iter().chain(last).copied().collect();
            let moment = |n: &usize| scale.x(findings[*n].tick.seconds());
            let middle = all.iter().map(moment).sum::<f32>() / all.len() as f32;
            let half = 0.5 * apart * (all.len() - 1) as f32;
            rows.truncate(rows.len() - 2);
            rows.push((middle - half, all));
        }
    }
    let mut places = vec![0.0; findings.len()];
    for (starts, row) in rows {
        // Whole at the ends too; what lies before or after the part on show
        // stays out of it.
        let long = apart * row.len() as f32;
        let shown = (scale.left..=scale.right).contains(&(starts + 0.5 * (long - apart)));
        let most = (scale.right + 0.5 * apart - long).max(scale.left + 0.5 * apart);
        let starts = if shown {
            starts.clamp(scale.left + 0.5 * apart, most)
        } else {
            starts
        };
        for (k, n) in row.into_iter().enumerate() {
            places[n] = starts + apart * k as f32;
        }
    }
    places
}

/// Between moments and places.
struct Scale {
    window_s: [f64; 2],
    left: f32,
    right: f32,
}

impl Scale {
    fn x(&self, at_s: f64) -> f32 {
        let [from, to] = self.window_s;
        let share = (at_s - from) / (to - from).max(1e-9);
        self.left + share as f32 * (self.right - self.left)
    }

    fn at_s(&self, x: f32) -> f64 {
        let [from, to] = self.window_s;
        let share = f64::from((x - self.left) / (self.right - self.left).max(1.0));
        from + share * (to - from)
    }

    fn shows(&self, at_s: f64) -> bool {
        (self.window_s[0]..=self.window_s[1]).contains(&at_s)
    }

    /// The moments that are written out: as many as there is room for.
    fn ticks(&self, room: f32) -> Vec<f64> {
        let [from, to] = self.window_s;
        let most = f64::from(((self.right - self.left) / room).max(1.0));
        let steps = [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0];
        let wanted = (to - from) / most;
        let step = steps.into_iter().find(|s| *s >= wanted).unwrap_or(1800.0);
        let first = (from / step).ceil() as i64;
        let last = (to / step).floor() as i64;
        (first..=last).map(|n| n as f64 * step).collect()
    }
}

fn font(ui: &egui::Ui) -> FontId {
    FontId::proportional(parts::small(ui))
}

#[allow(clippy::too_many_arguments)]
fn draw_bars(
    ui: &egui::Ui,
    desk: &Desk,
    look: &Look<'_>,
    lanes: &[Lane],
    at: Rect,
    marks_height: f32,
    lane_height: f32,
    scale: &Scale,
) {
    let painter = ui.painter();
    let font = font(ui);
    let small = FontId::proportional(font.size.min(0.95 * lane_height));
    let findings_y = at.top() + 0.5 * marks_height;
    let name = parts::say("report-lane-findings");
    let inside = ui.painter_at(Rect::from_min_max(
        pos2(scale.left, at.top()),
        pos2(scale.right, at.bottom()),
    ));
    let names = ui.painter_at(Rect::from_min_max(
        at.min,
        pos2(scale.left - 4.0, at.bottom()),
    ));
    let right = scale.left - 6.0;
    names.text(
        pos2(right, findings_y),
        Align2::RIGHT_CENTER,
        name,
        font.clone(),
        ink::FAINT,
    );
    painter.rect_filled(
        Rect::from_min_max(
            pos2(scale.left, at.top()),
            pos2(scale.right, at.top() + marks_height - 1.0),
        ),
        2.0,
        ink::SUNK,
    );
    let mut y = at.top() + marks_height;
    for lane in lanes {
        let middle = y + 0.5 * lane_height;
        names.text(
            pos2(right, middle),
            Align2::RIGHT_CENTER,
            &lane.name,
            small.clone(),
            ink::FAINT,
        );
        for (from_s, until_s, fill, words) in &lane.bars {
            let bar = Rect::from_min_max(
                pos2(scale.x(*from_s), y + 1.0),
                pos2(
                    scale.x(*until_s).max(scale.x(*from_s) + 1.5),
                    y + lane_height - 1.0,
                ),
            );
            inside.rect_filled(bar, 1.5, *fill);
            if !words.is_empty() {
                let galley = inside.layout_no_wrap(words.clone(), small.clone(), ink::TEXT);
                let left = bar.left().max(scale.left) + 4.0;
                // Half a word says less than none.
                if left + galley.size().x < bar.right() {
                    let at = pos2(left, middle - 0.5 * galley.size().y);
                    inside.galley(at, galley, ink::TEXT);
                }
            }
        }
        y += lane_height;
    }
    for moment in &look.debrief.sheet.moments {
        if moment.event == Event::Bookmark && scale.shows(moment.tick.seconds()) {
            let x = scale.x(moment.tick.seconds());
            let line = [
                pos2(x, at.top() + 1.0),
                pos2(x, at.top() + marks_height - 2.0),
            ];
            inside.line_segment(line, Stroke::new(3.0, ink::MIST));
        }
    }
    // The gravest lie on top.
    let size = MARK * marks_height;
    let places = places(&look.debrief.mark.findings, scale, size);
    for (number, finding) in gravest_first(&look.debrief.mark.findings).into_iter().rev() {
        let x = scale.x(finding.tick.seconds());
        let place = pos2(places[number - 1], findings_y);
        let line = [pos2(x, at.top() + marks_height), pos2(x, at.bottom())];
        let colour = ink::of(finding.severity);
        inside.line_segment(line, Stroke::new(1.0, colour.gamma_multiply(0.35)));
        // From a mark that stands aside to its moment.
        let lead = [place + vec2(0.0, size), line[0]];
        inside.line_segment(lead, Stroke::new(1.0, colour));
        if desk.chosen == Some(number) {
            inside.circle_stroke(place, 1.45 * size, Stroke::new(2.0, ink::TEXT));
        }
        mark(&inside, place, size, finding.severity);
        let low = if finding.severity == Severity::Major {
            0.2 * size
        } else {
            0.0
        };
        inside.text(
            place + vec2(0.0, low),
            Align2::CENTER_CENTER,
            number,
            FontId::proportional(1.5 * size),
            ink::SUNK,
        );
    }
}

fn draw_panel(
    ui: &mut egui::Ui,
    line: &Line,
    look: &Look<'_>,
    panel: Panel,
    at: Rect,
    left: f32,
    scale: &Scale,
) {
    let curves: Vec<&Curve> = (panel.quantities().iter())
        .filter_map(|q| line.curves.iter().find(|c| c.quantity == *q))
        .collect();
    let most = curves.iter().map(|c| c.most).fold(0.0, f64::max);
    // The curves stay below what is written over them.
    let written = 1.5 * parts::small(ui) / at.height().max(1.0);
    let headroom = 1.0 / (1.0 - f64::from(written).clamp(0.08, 0.4));
    let top = if most > 0.0 { headroom * most } else { 1.0 };
    let inside = Rect::from_min_max(
        pos2(left, at.top() + 2.0),
        pos2(at.right(), at.bottom() - 2.0),
    );
    ui.painter().rect_filled(inside, 2.0, ink::SUNK);
    let [from_s, to_s] = scale.window_s;
    let colours = [ink::TEAL, ink::AMBER, ink::MIST];
    // No curve, no window: a name is enough.
    let mut child = ui.new_child(egui::UiBuilder::new().max_rect(inside));
    child.set_clip_rect(inside.intersect(ui.clip_rect()));
    Plot::new(("debrief_panel", panel.id()))
        .width(inside.width())
        .height(inside.height())
        .show_axes(false)
        .show_background(false)
        .show_x(false)
        .show_y(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .allow_axis_zoom_drag(false)
        .set_margin_fraction(vec2(0.0, 0.0))
        .sense(Sense::hover())
        .grid_color(ink::LINE)
        .x_grid_spacer({
            let ticks = scale.ticks(90.0);
            let step = ticks.windows(2).next().map_or(1.0, |w| w[1] - w[0]);
            move |_| {
                let mark = |value: &f64| GridMark {
                    value: *value,
                    step_size: step,
                };
                ticks.iter().map(mark).collect()
            }
        })
        .y_grid_spacer(move |_| {
            let (step, count) = rungs(top);
            let mark = |n: u32| GridMark {
                value: f64::from(n) * step,
                step_size: step,
            };
            (0..=count).map(mark).collect()
        })
        .show(&mut child, |plot| {
            plot.set_auto_bounds(false);
            plot.set_plot_bounds_x(from_s..=to_s);
            plot.set_plot_bounds_y(0.0..=top);
            for (curve, colour) in curves.iter().zip(colours) {
                for stretch in &curve.stretches {
                    let band = FilledArea::new("", &stretch.time_s, &stretch.min, &stretch.max)
                        .fill_color(colour.gamma_multiply(0.28))
                        .allow_hover(false);
                    plot.add(band);
                    plot.line(
                        egui_plot::Line::new("", PlotPoints::Borrowed(&stretch.mean))
                            .color(colour)
                            .width(1.4)
                            .allow_hover(false),
                    );
                }
            }
        });
    let font = font(ui);
    let (step, count) = rungs(top);
    let decimals = if step < 1.0 { 1 } else { 0 };
    let painter = ui.painter();
    for n in 0..=count {
        let value = f64::from(n) * step;
        let y = inside.bottom() - (value / top) as f32 * inside.height();
        let tight = (step / top) as f32 * inside.height() < 1.15 * font.size;
        if n > 0 && y < inside.top() + 0.4 * font.size || tight && n % 2 == 1 {
            continue;
        }
        let y = y.min(inside.bottom() - 0.45 * font.size);
        painter.text(
            pos2(left - 6.0, y),
            Align2::RIGHT_CENTER,
            number(value, decimals),
            font.clone(),
            ink::FAINT,
        );
    }
    readings(ui, look, panel, &curves, colours, inside);
}

/// Where the lines of a grid up to a value are: one, two or five of a power of
/// ten apart.
fn rungs(top: f64) -> (f64, u32) {
    let rough = top / 4.0;
    let power = 10_f64.powf(rough.max(1e-9).log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= rough)
        .unwrap_or(10.0 * power);
    (step, (top / step).floor() as u32)
}

/// What is drawn, and what it was at the cursor.
fn readings(
    ui: &egui::Ui,
    look: &Look<'_>,
    panel: Panel,
    curves: &[&Curve],
    colours: [Color32; 3],
    inside: Rect,
) {
    let painter = ui.painter_at(inside);
    let font = font(ui);
    let unit = panel.quantities().first().map_or("", |q| units::unit(*q));
    let unit = units::name(look.units, unit);
    let title = say(&format!("report-chart-{}", panel.id()), &[("unit", &unit)]);
    let mut at = inside.left_top() + vec2(6.0, 3.0);
    let words = |at: Pos2, words: String, colour: Color32| {
        let galley = painter.layout_no_wrap(words, font.clone(), colour);
        let ground = Rect::from_min_size(at, galley.size()).expand2(vec2(3.0, 0.0));
        painter.rect_filled(ground, 2.0, ink::SUNK.gamma_multiply(0.8));
        let width = galley.size().x;
        painter.galley(at, galley, colour);
        width + 10.0
    };
    at.x += words(at, title, ink::TEXT);
    if curves.iter().all(|c| c.stretches.is_empty()) {
        words(at, parts::say("report-chart-nothing"), ink::FAINT);
        return;
    }
    for (curve, colour) in curves.iter().zip(colours) {
        let value = curve.at(look.debrief.cursor_s);
        let decimals = if curve.most < 10.0 { 1 } else { 0 };
        let value = value.map_or_else(|| String::from("-"), |v| number(v, decimals));
        let short = say(&format!("debrief-curve-{}", curve.quantity.id()), &[]);
        let told = say("debrief-reading", &[("name", &short), ("value", &value)]);
        at.x += words(at, told, colour);
    }
}

fn draw_axis(ui: &egui::Ui, scale: &Scale, at: Pos2, top: f32) {
    let font = font(ui);
    let painter = ui.painter();
    for tick in scale.ticks(5.0 * font.size) {
        let x = scale.x(tick);
        let grid = Stroke::new(1.0, ink::LINE.gamma_multiply(0.4));
        painter.line_segment([pos2(x, top), pos2(x, at.y)], grid);
        painter.text(
            pos2(x, at.y + 2.0),
            Align2::CENTER_TOP,
            clock::minutes(tick),
            font.clone(),
            ink::FAINT,
        );
    }
}

fn draw_cursor(ui: &egui::Ui, scale: &Scale, at_s: f64, all: Rect) {
    if !scale.shows(at_s) {
        return;
    }
    let x = scale.x(at_s);
    let painter = ui.painter();
    painter.line_segment(
        [pos2(x, all.top()), pos2(x, all.bottom())],
        Stroke::new(2.0, ink::TEXT),
    );
    let tip = [
        pos2(x - 6.0, all.top()),
        pos2(x + 6.0, all.top()),
        pos2(x, all.top() + 8.0),
    ];
    painter.add(Shape::convex_polygon(tip.to_vec(), ink::TEXT, Stroke::NONE));
}

#[allow(clippy::too_many_arguments)]
fn respond(
    ui: &egui::Ui,
    desk: &mut Desk,
    look: &Look<'_>,
    response: &egui::Response,
    scale: &Scale,
    bars: Rect,
    marks_height: f32,
    asks: &mut Vec<Ask>,
) {
    desk.line.id = Some(response.id);
    ui.memory_mut(|m| {
        m.set_focus_lock_filter(
            response.id,
            EventFilter {
                horizontal_arrows: true,
                ..EventFilter::default()
            },
        );
    });
    if response.has_focus() {
        let edge = Stroke::new(1.0, ink::AMBER);
        ui.painter()
            .rect_stroke(response.rect, 2.0, edge, egui::StrokeKind::Inside);
    }
    let zoom = ui.input(|i| i.zoom_delta());
    if response.hovered()
        && zoom != 1.0
        && let Some(at) = response.hover_pos()
    {
        let about_s = scale.at_s(at.x);
        desk.line
            .zoom(look.debrief.until_s(), about_s, 1.0 / f64::from(zoom));
    }
    let Some(at) = response.interact_pointer_pos() else {
        return;
    };
    if response.clicked() || response.drag_started() {
        response.request_focus();
    }
    let on_marks = at.y < bars.top() + marks_height;
    if response.clicked() && on_marks {
        let findings = &look.debrief.mark.findings;
        let places = places(findings, scale, MARK * marks_height);
        let far = |place: &f32| (place - at.x).abs();
        let nearest = (1_usize..).zip(&places);
        let nearest = nearest.min_by(|a, b| far(a.1).total_cmp(&far(b.1)));
        if let Some((number, place)) = nearest
            && far(place) <= NEAR
        {
            desk.page = super::Page::Findings;
            choose(desk, look, number, asks);
            return;
        }
    }
    if (response.clicked() || response.dragged()) && at.x >= scale.left - 2.0 {
        let to_s = scale.at_s(at.x).clamp(0.0, look.debrief.until_s());
        asks.push(Ask::Go(to_s));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crew::Tick;

    fn at(seconds: &[f64]) -> Vec<Finding> {
        let finding = |s: &f64| Finding {
            rule: String::new(),
            detail: String::new(),
            tick: Tick::at(*s),
            severity: Severity::Minor,
            value: 0.0,
            limit: 0.0,
            unit: String::new(),
            mended: None,
        };
        seconds.iter().map(finding).collect()
    }

    #[test]
    fn marks_stand_at_their_moments_or_side_by_side_about_them() {
        let scale = Scale {
            window_s: [0.0, 1000.0],
            left: 0.0,
            right: 1000.0,
        };
        let size = 10.0;
        let apart = 2.3 * size;
        assert_eq!(places(&at(&[100.0, 500.0]), &scale, size), [100.0, 500.0]);
        let close = places(&at(&[504.0, 500.0, 800.0]), &scale, size);
        let off = 0.5 * apart;
        assert_eq!(close, [502.0 + off, 502.0 - off, 800.0]);
        // At the ends they are whole.
        let ends = places(&at(&[0.0, 1000.0]), &scale, size);
        assert_eq!(ends, [off, 1000.0 - off]);
    }
}
