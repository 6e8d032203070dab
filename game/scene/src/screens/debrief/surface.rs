//! The surface before, at half of the time and at the end, at the cursor, and
//! what the model attempt made of it.

use super::model::{Model, Reached};
use super::{Desk, Look, ink, parts};
use bevy_egui::egui::{
    self, Color32, ColorImage, Rect, RichText, Sense, Stroke, TextureHandle, TextureOptions, pos2,
    vec2,
};
use records::{Cleaning, Sheet, Tile, clock, words};
use std::sync::Arc;
use training::surface::is_damaged;
use training::text::{number, say};

/// A map is drawn with at least so many dots along it, so that its pattern can
/// be seen.
const DOTS_LEAST: usize = 240;

/// Maps that were painted.
#[derive(Default)]
pub(super) struct Maps {
    of: Option<Arc<Sheet>>,
    then: Vec<TextureHandle>,
    now: Option<(Vec<u8>, f64, TextureHandle)>,
    model: Option<(Arc<Reached>, TextureHandle)>,
}

/// The whole of what there is to say of the surface.
pub(super) fn show(ui: &mut egui::Ui, desk: &mut Desk, look: &Look<'_>) {
    let sheet = &look.debrief.sheet;
    let Some(cleaning) = &sheet.cleaning else {
        return;
    };
    parts::heading(ui, "report-surface");
    verdict(ui, look, cleaning);
    desk.maps.paint(ui.ctx(), sheet, cleaning, look);
    let maps = &desk.maps;
    let mut shown: Vec<Shown<'_>> = Vec::new();
    if let Some((_, clean_pct, texture)) = &maps.now {
        shown.push(Shown {
            title: say(
                "debrief-map_now",
                &[("time", &clock::moment(look.debrief.cursor_s))],
            ),
            clean_pct: *clean_pct,
            texture,
            worst: None,
        });
    }
    let last = cleaning.maps.len().saturating_sub(1);
    for (place, (map, texture)) in cleaning.maps.iter().zip(&maps.then).enumerate() {
        let id = match place {
            0 => "report-map-before",
            _ if place == last => "report-map-after",
            _ => "report-map-half",
        };
        shown.push(Shown {
            title: say(id, &[("time", &clock::minutes(map.at_s))]),
            clean_pct: map.clean_pct,
            texture,
            worst: cleaning.worst.filter(|_| place == last),
        });
    }
    if let Some((reached, texture)) = &maps.model {
        shown.push(Shown {
            title: parts::say("debrief-map_model"),
            clean_pct: reached.clean_pct,
            texture,
            worst: None,
        });
    }
    grid(ui, cleaning, &shown);
    key(ui, cleaning.worst.is_some());
    model(ui, look.model);
}

fn verdict(ui: &mut egui::Ui, look: &Look<'_>, cleaning: &Cleaning) {
    let clean_pct = cleaning.maps.last().map_or(0.0, |map| map.clean_pct);
    let met = clean_pct >= cleaning.grade_pct;
    let id = if met {
        "report-surface-met"
    } else {
        "report-surface-not_met"
    };
    let clean = words::share(clean_pct);
    let grade = words::short(cleaning.grade_pct, 1);
    let verdict = say(id, &[("clean", &clean), ("grade", &grade)]);
    let colour = if met { ink::TEAL } else { ink::AMBER };
    parts::words(ui, parts::weighty(verdict, colour));
    // The map shows what is clean; the mark leaves out what was won by danger.
    if let Some(coverage) = look.debrief.mark.coverage
        && coverage + 0.1 < clean_pct
    {
        let counted = words::short(coverage, 1);
        let line = say("report-surface-counted", &[("counted", &counted)]);
        parts::words(ui, RichText::new(line).color(ink::AMBER));
    }
    if let Some(worst) = &cleaning.worst {
        let small = parts::small(ui);
        let [left, low, right, high] = worst.over_m.map(|m| number(m, 2));
        let (below, all) = cleaning.below_grade;
        let tiles = say(
            "report-surface-tiles",
            &[("below", &below), ("all", &all), ("grade", &grade)],
        );
        let line = say(
            "report-surface-worst",
            &[
                ("left", &left),
                ("right", &right),
                ("low", &low),
                ("high", &high),
                ("clean", &words::share(worst.clean_pct)),
            ],
        );
        parts::words(ui, parts::plain(tiles).size(small));
        parts::words(ui, parts::faint(line).size(small));
    }
}

struct Shown<'a> {
    title: String,
    clean_pct: f64,
    texture: &'a TextureHandle,
    worst: Option<Tile>,
}

/// The maps side by side, as many as fit.
fn grid(ui: &mut egui::Ui, cleaning: &Cleaning, shown: &[Shown<'_>]) {
    let [width_m, height_m] = cleaning.size_m;
    if !(width_m > 0.0 && height_m > 0.0) {
        return;
    }
    let small = parts::small(ui);
    let gap = 8.0;
    let all = ui.available_width();
    let columns = if all >= 14.0 * small { 2 } else { 1 };
    let width = (all - (columns - 1) as f32 * gap) / columns as f32;
    let scale = (width / width_m as f32).min(0.9 * 320.0 / height_m as f32);
    let size = vec2(scale * width_m as f32, scale * height_m as f32);
    for row in shown.chunks(columns) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for map in row {
                ui.vertical(|ui| {
                    ui.set_width(width);
                    ui.spacing_mut().item_spacing.y = 2.0;
                    let title = parts::strong(&map.title).size(small);
                    ui.add(egui::Label::new(title).truncate());
                    let clean = words::share(map.clean_pct);
                    let clean = say("report-map-clean", &[("clean", &clean)]);
                    ui.add(egui::Label::new(parts::faint(clean).size(small)).truncate());
                    let (at, _) = ui.allocate_exact_size(size, Sense::hover());
                    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
                    let painter = ui.painter();
                    painter.image(map.texture.id(), at, whole, Color32::WHITE);
                    let edge = Stroke::new(1.0, ink::LINE);
                    painter.rect_stroke(at, 0.0, edge, egui::StrokeKind::Outside);
                    if let Some(worst) = &map.worst {
                        outline(painter, worst, at, scale);
                    }
                });
            }
        });
        ui.add_space(4.0);
    }
}

/// A frame around a tile: dark beneath and light above, to be seen on any
/// ground.
fn outline(painter: &egui::Painter, tile: &Tile, at: Rect, scale: f32) {
    let [left, low, right, high] = tile.over_m.map(|m| scale * m as f32);
    let frame = Rect::from_min_max(
        pos2(at.left() + left, at.bottom() - high),
        pos2(at.left() + right, at.bottom() - low),
    );
    painter.rect_stroke(
        frame,
        0.0,
        Stroke::new(4.0, ink::SUNK),
        egui::StrokeKind::Middle,
    );
    painter.rect_stroke(
        frame,
        0.0,
        Stroke::new(2.0, ink::RED),
        egui::StrokeKind::Middle,
    );
}

/// What the grounds mean.
fn key(ui: &mut egui::Ui, with_worst: bool) {
    let small = parts::small(ui);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let mut one = |id: &str, paint: &dyn Fn(&egui::Painter, Rect)| {
            let (at, _) = ui.allocate_exact_size(vec2(1.6 * small, small), Sense::hover());
            paint(ui.painter(), at);
            let words = say(&format!("debrief-key-{id}"), &[]);
            ui.label(parts::faint(words).size(small));
            ui.add_space(6.0);
        };
        one("clean", &|p, at| {
            p.rect_filled(at, 0.0, ink::CLEAN);
        });
        one("partly", &|p, at| {
            p.rect_filled(at, 0.0, ink::PARTLY[0]);
            let p = p.with_clip_rect(at.intersect(p.clip_rect()));
            let mut x = at.left() - at.height();
            while x < at.right() {
                let stripe = [pos2(x, at.bottom()), pos2(x + at.height(), at.top())];
                p.line_segment(stripe, Stroke::new(2.0, ink::PARTLY[1]));
                x += 5.0;
            }
        });
        one("fouled", &|p, at| {
            p.rect_filled(at, 0.0, ink::FOULED);
            p.rect_stroke(
                at,
                0.0,
                Stroke::new(1.0, ink::LINE),
                egui::StrokeKind::Inside,
            );
        });
        if with_worst {
            one("worst", &|p, at| {
                p.rect_stroke(
                    at,
                    0.0,
                    Stroke::new(2.0, ink::RED),
                    egui::StrokeKind::Inside,
                );
            });
        }
    });
}

/// What the model attempt reached.
pub(super) fn model(ui: &mut egui::Ui, model: &Model) {
    parts::heading(ui, "debrief-model");
    match model {
        Model::None => {}
        Model::Under { .. } => {
            parts::words(ui, parts::faint(parts::say("debrief-model-under_way")));
        }
        Model::Failed { why, .. } => {
            let words = say("debrief-model-failed", &[("why", why)]);
            parts::words(ui, parts::faint(words));
        }
        Model::Ready { reached, .. } => {
            parts::words(ui, parts::plain(self::reached(reached)));
        }
    }
}

/// What the model attempt reached, in words.
pub(super) fn reached(reached: &Reached) -> String {
    let mark = &reached.mark;
    let part =
        |value: Option<f64>, missing: &str| value.map_or_else(|| parts::say(missing), words::share);
    say(
        "debrief-model-reached",
        &[
            ("time", &clock::minutes(mark.duration_s)),
            ("safety", &part(mark.safety, "report-not_assessable")),
            ("coverage", &part(mark.coverage, "report-not_part")),
            ("procedure", &part(mark.procedure, "report-not_assessable")),
            ("economy", &part(mark.economy, "report-not_assessable")),
        ],
    )
}

impl Maps {
    /// Paints what is not painted yet.
    fn paint(
        &mut self,
        ctx: &egui::Context,
        sheet: &Arc<Sheet>,
        cleaning: &Cleaning,
        look: &Look<'_>,
    ) {
        let load = |name: &str, steps: &[u8]| {
            ctx.load_texture(name, picture(cleaning, steps), TextureOptions::NEAREST)
        };
        if !self.of.as_ref().is_some_and(|of| Arc::ptr_eq(of, sheet)) {
            *self = Maps {
                of: Some(sheet.clone()),
                then: (cleaning.maps.iter())
                    .map(|map| load("debrief_then", &map.steps))
                    .collect(),
                ..Maps::default()
            };
        }
        if look.cells.len() == cleaning.wanted.len() {
            match &mut self.now {
                Some((cells, ..)) if cells == look.cells => {}
                Some((cells, clean_pct, texture)) => {
                    cells.clear();
                    cells.extend_from_slice(look.cells);
                    *clean_pct = clean(cleaning, look.cells);
                    texture.set(picture(cleaning, look.cells), TextureOptions::NEAREST);
                }
                None => {
                    let texture = load("debrief_now", look.cells);
                    let clean_pct = clean(cleaning, look.cells);
                    self.now = Some((look.cells.to_vec(), clean_pct, texture));
                }
            }
        }
        match look.model {
            Model::Ready { reached, .. } if reached.steps.len() == cleaning.wanted.len() => {
                let there = self.model.as_ref();
                if !there.is_some_and(|(of, _)| Arc::ptr_eq(of, reached)) {
                    let texture = load("debrief_model", &reached.steps);
                    self.model = Some((reached.clone(), texture));
                }
            }
            _ => self.model = None,
        }
    }
}

/// The share of the cells that is clean, percent.
fn clean(cleaning: &Cleaning, steps: &[u8]) -> f64 {
    let cells = steps.iter().zip(&cleaning.wanted);
    let clean = cells.filter(|(steps, wanted)| steps >= wanted).count();
    100.0 * clean as f64 / steps.len().max(1) as f64
}

/// The cells as dots: clean ones light, fouled ones dark, those between with
/// slanted stripes and damaged ones in a chequer, so that lightness and pattern tell them apart and not colour
/// alone.
fn picture(cleaning: &Cleaning, steps: &[u8]) -> ColorImage {
    let columns = (cleaning.columns as usize).max(1);
    let rows = steps.len() / columns;
    let times = DOTS_LEAST.div_ceil(columns).clamp(1, 8);
    let (width, height) = (columns * times, rows * times);
    let stripe = (width / 80).max(2);
    let mut dots = Vec::with_capacity(width * height);
    for y in 0..height {
        // The first row of dots is the highest one, the first row of cells the
        // lowest.
        let row = rows - 1 - y / times;
        for x in 0..width {
            let cell = row * columns + x / times;
            let wanted = cleaning.wanted.get(cell).copied().unwrap_or(0);
            dots.push(match steps[cell] {
                steps if is_damaged(steps, wanted) => {
                    [ink::CLEAN, ink::FOULED][(x / stripe + y / stripe) % 2]
                }
                steps if steps >= wanted => ink::CLEAN,
                0 => ink::FOULED,
                _ => ink::PARTLY[(x + y) / stripe % 2],
            });
        }
    }
    ColorImage::new([width, height], dots)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lowest_row_of_cells_is_the_lowest_row_of_dots() {
        let cleaning = Cleaning {
            grade_pct: 95.0,
            stand_off_m: 0.1,
            size_m: [0.2, 0.2],
            columns: 2,
            wanted: vec![2; 4],
            maps: Vec::new(),
            worst: None,
            below_grade: (0, 0),
        };
        let picture = picture(&cleaning, &[2, 0, 0, 1]);
        let [width, height] = picture.size;
        let dot = |x: usize, y: usize| picture.pixels[y * width + x];
        assert_eq!(dot(0, height - 1), ink::CLEAN);
        assert_eq!(dot(width - 1, height - 1), ink::FOULED);
        assert_eq!(dot(0, 0), ink::FOULED);
        assert!(ink::PARTLY.contains(&dot(width - 1, 0)));
        assert!((clean(&cleaning, &[2, 0, 0, 1]) - 25.0).abs() < 1e-9);
    }
}
