//! What became of the surface.

use crate::sheet::{Cleaning, Map, Tile};
use crew::Tick;
use training::level::Surface;
use training::{Cleaned, Observation};

/// Watches a surface being cleaned.
pub(crate) struct Watch<'a> {
    surface: &'a Surface,
    cleaned: Cleaned,
    /// The moment of the map between the first and the last.
    half: Tick,
    maps: Vec<Map>,
    /// The first tick in which a cell took a step, and the last one.
    pub(crate) worked: Option<(Tick, Tick)>,
}

impl<'a> Watch<'a> {
    /// Begins to watch an attempt that takes until `until`.
    pub(crate) fn new(surface: &'a Surface, until: Tick) -> Self {
        let cleaned = Cleaned::new(surface);
        Watch {
            maps: vec![map(&cleaned, Tick(0))],
            surface,
            cleaned,
            half: Tick(until.0 / 2),
            worked: None,
        }
    }

    pub(crate) fn see(&mut self, o: &Observation) {
        if o.tick == self.half && self.half > Tick(0) {
            self.maps.push(map(&self.cleaned, o.tick));
        }
        for step in &o.steps {
            self.cleaned.take(*step);
        }
        if !o.steps.is_empty() {
            let first = self.worked.map_or(o.tick, |w| w.0);
            self.worked = Some((first, o.tick));
        }
    }

    pub(crate) fn finish(mut self, until: Tick) -> Cleaning {
        let surface = self.surface;
        self.maps.push(map(&self.cleaned, until));
        let [tile_columns, _] = surface.tiles();
        let [width, height] = surface.size;
        let tiles: Vec<Tile> = (0_u32..)
            .zip(self.cleaned.tiles_pct(surface))
            .filter_map(|(tile, clean_pct)| {
                let edge = |n: u32, most: f64| (f64::from(n) * surface.tile_m).min(most);
                let (column, row) = (tile % tile_columns, tile / tile_columns);
                Some(Tile {
                    over_m: [
                        edge(column, width),
                        edge(row, height),
                        edge(column + 1, width),
                        edge(row + 1, height),
                    ],
                    clean_pct: clean_pct?,
                })
            })
            .collect();
        let below = tiles.iter().filter(|t| t.clean_pct < surface.grade_pct);
        Cleaning {
            grade_pct: surface.grade_pct,
            stand_off_m: surface.stand_off_m,
            size_m: surface.size,
            columns: self.cleaned.columns(),
            wanted: self.cleaned.wanted().to_vec(),
            maps: self.maps,
            below_grade: (below.count(), tiles.len()),
            // With nothing clean anywhere, no tile is worse than another.
            worst: tiles
                .into_iter()
                .filter(|_| self.cleaned.clean_pct() > 0.0)
                .min_by(|a, b| a.clean_pct.total_cmp(&b.clean_pct)),
        }
    }
}

fn map(cleaned: &Cleaned, at: Tick) -> Map {
    Map {
        at_s: at.seconds(),
        steps: cleaned.steps().to_vec(),
        clean_pct: cleaned.clean_pct(),
    }
}
