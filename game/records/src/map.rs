//! Maps of the surface: before, at half of the time, and after.

use crate::chart::{Axis, WIDTH};
use crate::clock::minutes;
use crate::html::{escape, text};
use crate::picture::Picture;
use crate::sheet::{Cleaning, Map, Tile};
use crate::theme::THEME;
use crate::words::share;
use std::fmt::Write;
use training::surface::is_damaged;
use training::text::{number, say};

/// Room for the ticks on the left of each map.
const LEFT: f64 = 30.0;
const GAP: f64 = 12.0;
/// Room for the half of the last tick that stands out on the right.
const RIGHT: f64 = 12.0;
const HEAD: f64 = 34.0;
const FOOT: f64 = 32.0;
/// A map is no higher than this, however high the surface.
const HIGHEST: f64 = 300.0;

/// Dots along a picture, at least, so that its pattern can be seen.
const DOTS_LEAST: u32 = 400;

/// The maps side by side, with their key; nothing where there is no surface to
/// draw.
pub(crate) fn figure(cleaning: &Cleaning) -> String {
    let [width_m, height_m] = cleaning.size_m;
    let sound = [width_m, height_m]
        .iter()
        .all(|m| m.is_finite() && *m > 0.0);
    if !sound || cleaning.columns == 0 || cleaning.maps.is_empty() {
        return String::new();
    }
    let count = cleaning.maps.len() as f64;
    let each = (WIDTH - RIGHT - count * LEFT - (count - 1.0) * GAP) / count;
    let scale = (each / width_m).min(HIGHEST / height_m);
    let [width, height] = [scale * width_m, scale * height_m];
    let mut svg = format!(
        "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {:.0}\" role=\"img\" \
         aria-labelledby=\"map-title map-desc\"><title id=\"map-title\">{}</title>\
         <desc id=\"map-desc\">{}</desc>",
        HEAD + height + FOOT,
        text("report-map-title", &[]),
        escape(&description(cleaning)),
    );
    let last = cleaning.maps.len() - 1;
    for (place, map) in cleaning.maps.iter().enumerate() {
        let left = LEFT + place as f64 * (LEFT + GAP + each);
        let id = match place {
            0 => "report-map-before",
            _ if place == last => "report-map-after",
            _ => "report-map-half",
        };
        svg.push_str(&one(cleaning, map, id, [left, width, height]));
        if let Some(worst) = cleaning.worst.filter(|_| place == last) {
            svg.push_str(&outline(&worst, left, HEAD + height, scale));
        }
    }
    svg.push_str("</svg>");
    let damaged = cleaning.maps.iter().any(|map| {
        let cells = map.steps.iter().zip(&cleaning.wanted);
        { cells }.any(|(steps, wanted)| is_damaged(*steps, *wanted))
    });
    format!(
        "<figure>{svg}</figure>{}",
        key(damaged, cleaning.worst.is_some())
    )
}

/// What the maps show, for those who do not see them.
fn description(cleaning: &Cleaning) -> String {
    let all = cleaning.maps.iter().map(|map| {
        let time = minutes(map.at_s);
        let clean = share(map.clean_pct);
        say("report-map-desc", &[("time", &time), ("clean", &clean)])
    });
    all.collect::<Vec<_>>().join(" ")
}

/// One map with its axes.
fn one(cleaning: &Cleaning, map: &Map, id: &str, [left, width, height]: [f64; 3]) -> String {
    let bottom = HEAD + height;
    let mut out = format!(
        "<text class=\"panel\" x=\"{left:.1}\" y=\"{:.1}\">{}</text>\
         <text x=\"{left:.1}\" y=\"{:.1}\">{}</text>",
        HEAD - 19.0,
        text(id, &[("time", &minutes(map.at_s))]),
        HEAD - 6.0,
        text("report-map-clean", &[("clean", &share(map.clean_pct))]),
    );
    if let Some(address) = picture(cleaning, map).address() {
        let _ = write!(
            out,
            "<image x=\"{left:.1}\" y=\"{HEAD}\" width=\"{width:.1}\" height=\"{height:.1}\" \
             preserveAspectRatio=\"none\" href=\"{address}\"/>"
        );
    }
    let _ = write!(
        out,
        "<rect class=\"frame\" x=\"{left:.1}\" y=\"{HEAD}\" width=\"{width:.1}\" height=\"{height:.1}\"/>"
    );
    let [width_m, height_m] = cleaning.size_m;
    let axis = Axis::up_to(width_m.max(height_m), 4);
    let there = |most: f64| {
        let ticks = axis.ticks.iter().copied();
        ticks.filter(move |tick| *tick <= most + 1e-9)
    };
    for tick in there(width_m) {
        let x = left + tick / width_m * width;
        let _ = write!(
            out,
            "<path class=\"frame\" d=\"M{x:.1},{bottom:.1}v4\"/>\
             <text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            bottom + 14.0,
            number(tick, axis.decimals)
        );
    }
    for tick in there(height_m) {
        let y = bottom - tick / height_m * height;
        let _ = write!(
            out,
            "<path class=\"frame\" d=\"M{left:.1},{y:.1}h-4\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            left - 6.0,
            y + 3.5,
            number(tick, axis.decimals)
        );
    }
    let _ = write!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
        left + 0.5 * width,
        bottom + 27.0,
        text("report-map-metres", &[])
    );
    out
}

/// A frame around a tile: light beneath and dark above, to be seen on any
/// ground.
fn outline(tile: &Tile, left: f64, bottom: f64, scale: f64) -> String {
    let [from_x, from_y, to_x, to_y] = tile.over_m;
    let path = format!(
        "x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"",
        left + scale * from_x,
        bottom - scale * to_y,
        scale * (to_x - from_x),
        scale * (to_y - from_y)
    );
    format!("<rect class=\"halo\" {path}/><rect class=\"worst\" {path}/>")
}

/// Places in the palette.
const CLEAN: u8 = 0;
const PARTLY: [u8; 2] = [1, 2];
const FOULED: u8 = 3;
const DAMAGED: [u8; 2] = [CLEAN, FOULED];

/// The cells as dots: clean ones light, fouled ones dark, those between with
/// slanted stripes, and damaged ones in a chequer of light and dark.
fn picture(cleaning: &Cleaning, map: &Map) -> Picture {
    let columns = cleaning.columns.max(1);
    let times = DOTS_LEAST.div_ceil(columns).clamp(1, 40);
    let width = columns * times;
    // About seventy stripes across, so that a small map still shows them.
    let stripe = (width / 140).max(2);
    let cells: Vec<(u8, u8)> = (map.steps.iter().copied())
        .zip(cleaning.wanted.iter().copied())
        .collect();
    let mut dots = Vec::with_capacity(cells.len() * (times * times) as usize);
    let rows = cells.chunks_exact(columns as usize).rev();
    for (y, row) in (0_u32..).zip(rows.flat_map(|row| std::iter::repeat_n(row, times as usize))) {
        for x in 0..width {
            let (steps, wanted) = row[(x / times) as usize];
            dots.push(if is_damaged(steps, wanted) {
                DAMAGED[((x / stripe + y / stripe) % 2) as usize]
            } else if steps >= wanted {
                CLEAN
            } else if steps == 0 {
                FOULED
            } else {
                PARTLY[((x + y) / stripe % 2) as usize]
            });
        }
    }
    Picture {
        width,
        dots,
        palette: [
            THEME.clean,
            THEME.partly_light,
            THEME.partly_dark,
            THEME.fouled,
        ],
    }
}

/// What the grounds mean.
fn key(with_damage: bool, with_worst: bool) -> String {
    let swatch = |inner: &str| {
        format!(
            "<svg width=\"34\" height=\"18\" viewBox=\"0 0 34 18\" aria-hidden=\"true\">{inner}</svg>"
        )
    };
    let whole = |class: &str| {
        format!("<rect class=\"{class}\" x=\".5\" y=\".5\" width=\"33\" height=\"17\"/>")
    };
    let striped = format!(
        "{}<path class=\"stripes\" d=\"M5,17L21,1M13,17L29,1M21,17L33,5M1,13L13,1\"/>",
        whole("partly")
    );
    let mut items = vec![
        (whole("clean"), "report-map-key-clean"),
        (striped, "report-map-key-partly"),
        (whole("fouled"), "report-map-key-fouled"),
    ];
    if with_damage {
        let chequer =
            "<path class=\"fouled\" d=\"M1,1h8v8h-8zM17,1h8v8h-8zM9,9h8v8h-8zM25,9h8v8h-8z\"/>";
        items.push((
            format!("{}{chequer}", whole("clean")),
            "report-map-key-damaged",
        ));
    }
    if with_worst {
        let inner = "<rect class=\"worst\" x=\"9\" y=\"2\" width=\"14\" height=\"14\"/>";
        items.push((inner.to_owned(), "report-map-key-worst"));
    }
    let mut out = String::from("<ul class=\"key\">");
    for (drawing, id) in items {
        let _ = write!(out, "<li>{}{}</li>", swatch(&drawing), text(id, &[]));
    }
    out.push_str("</ul>");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn small(steps: Vec<u8>) -> (Cleaning, Map) {
        let cleaning = Cleaning {
            grade_pct: 95.0,
            stand_off_m: 0.06,
            size_m: [0.3, 0.2],
            columns: 3,
            wanted: vec![2, 2, 2, 2, 0, 2],
            maps: Vec::new(),
            worst: None,
            below_grade: (0, 0),
        };
        let map = Map {
            at_s: 1.0,
            steps,
            clean_pct: 0.0,
        };
        (cleaning, map)
    }

    #[test]
    fn the_lowest_row_of_the_surface_is_at_the_bottom_of_the_map() {
        let (cleaning, map) = small(vec![0, 1, 2, 0, 0, 2]);
        let picture = picture(&cleaning, &map);
        let dot = |x: usize, y: usize| picture.dots[y * picture.width as usize + x];
        let cell = picture.width as usize / 3;
        let (middle, high, low) = (cell / 2, cell / 2, cell + cell / 2);
        assert_eq!(dot(middle, low), FOULED);
        assert!(PARTLY.contains(&dot(cell + middle, low)));
        assert_eq!(dot(2 * cell + middle, low), CLEAN);
        assert_eq!(dot(middle, high), FOULED);
        assert_eq!(dot(cell + middle, high), CLEAN, "nothing to clean");
        assert_eq!(dot(2 * cell + middle, high), CLEAN);
        // Both stripes are within one cell.
        for stripe in PARTLY {
            assert!(picture.dots.contains(&stripe));
        }
    }

    #[test]
    fn a_damaged_cell_is_told_from_a_clean_one() {
        let (mut cleaning, mut map) = small(vec![3, 4, 2, 0, 0, 2]);
        let drawn = picture(&cleaning, &map);
        let cell = drawn.width as usize / 3;
        let of = |picture: &Picture, column: usize| -> Vec<u8> {
            let dots = picture.dots.chunks_exact(picture.width as usize).rev();
            let rows = dots.take(cell);
            rows.flat_map(|row| row[column * cell..(column + 1) * cell].to_vec())
                .collect()
        };
        let only = |column: usize, dot: u8| of(&drawn, column).iter().all(|d| *d == dot);
        assert!(only(0, CLEAN) && only(2, CLEAN), "on the way is no damage");
        let damaged = of(&drawn, 1);
        assert!(damaged.contains(&CLEAN) && damaged.contains(&FOULED));
        cleaning.maps = vec![map.clone()];
        assert!(figure(&cleaning).contains(&text("report-map-key-damaged", &[])));
        map.steps[1] = 2;
        cleaning.maps = vec![map];
        assert!(!figure(&cleaning).contains(&text("report-map-key-damaged", &[])));
    }

    #[test]
    fn a_surface_that_is_all_but_clean_does_not_read_as_clean() {
        assert_eq!(share(99.99), "99.9");
        assert_eq!(share(100.0), "100");
        assert_eq!(share(0.0), "0");
    }

    #[test]
    fn sizes_that_are_none_draw_nothing() {
        for size_m in [[0.0, 1.0], [f64::NAN, 1.0], [1.0, f64::INFINITY]] {
            let (mut cleaning, map) = small(vec![0; 6]);
            cleaning.maps = vec![map];
            assert!(!figure(&cleaning).is_empty());
            cleaning.size_m = size_m;
            assert!(figure(&cleaning).is_empty());
        }
    }
}
