//! Where there is work left on the surface, in practice: a screen shows small specks less well than
//! eyes in a yard see them, and the last tenths of a grade are specks.

use super::hud::Sight;
use super::theme::{self, AMBER, INK};
use crate::flow::Screen;
use crate::help::{Come, Help};
use crate::stage::{Show, Stage};
use bevy::prelude::*;
use bevy_egui::egui::{self, Context, Id, Stroke};
use training::level::Surface;
use training::surface::STEPS_PER_LAYER;

/// Percent before the wanted share from which on it is shown: sooner, there is work everywhere.
const NEAR_PCT: f64 = 12.0;
/// So many tiles at most: the worst.
const MOST: usize = 6;
/// How often it is looked at anew, seconds.
const EVERY_S: f32 = 0.5;

/// Tiles with most left to do, by column and row from the lower left.
#[derive(Resource, Default)]
pub(super) struct Left {
    tiles: Vec<[u32; 2]>,
    since_s: f32,
}

fn look(stage: Res<Stage>, help: Res<Help>, time: Res<Time<Real>>, mut left: ResMut<Left>) {
    left.since_s += time.delta_secs();
    if left.since_s < EVERY_S {
        return;
    }
    left.since_s = 0.0;
    left.tiles.clear();
    let Some(show) = &stage.show else { return };
    let come = help.step.as_ref().and_then(|step| step.come);
    let (Some(Come::Clean(clean, wanted)), Some(surface)) = (come, &show.loaded.level.surface)
    else {
        return;
    };
    if clean + NEAR_PCT >= wanted {
        left.tiles = worst(surface, &show.cells, wanted >= surface.grade_pct);
    }
}

/// The tiles in which most is left: of all coats if `all`, else of the uppermost.
fn worst(surface: &Surface, steps: &[u8], all: bool) -> Vec<[u32; 2]> {
    let [columns, _] = surface.cells();
    let [tile_columns, tile_rows] = surface.tiles();
    let side = (surface.tile_m / surface.cell_m).round().max(1.0) as u32;
    let mut dirty = vec![0_u32; (tile_columns * tile_rows) as usize];
    for (cell, steps) in (0_u32..).zip(steps) {
        let layers = surface.layers_of(cell).len() as u8;
        let asked = if all { layers } else { layers.min(1) };
        let tile = [cell % columns / side, cell / columns / side];
        let [x, y] = [tile[0].min(tile_columns - 1), tile[1].min(tile_rows - 1)];
        dirty[(y * tile_columns + x) as usize] += u32::from(*steps < asked * STEPS_PER_LAYER);
    }
    // What is within the grade by itself needs no second look.
    let allowed = (1.0 - surface.grade_pct / 100.0) * f64::from(side * side);
    let mut order: Vec<usize> = (0..dirty.len())
        .filter(|tile| f64::from(dirty[*tile]) > allowed)
        .collect();
    order.sort_by_key(|tile| (core::cmp::Reverse(dirty[*tile]), *tile));
    order.truncate(MOST);
    let place = |tile: usize| [tile as u32 % tile_columns, tile as u32 / tile_columns];
    order.into_iter().map(place).collect()
}

/// Frames around them.
pub(super) fn show(ctx: &Context, sight: &Sight<'_>, show: &Show, left: &Left) {
    let Some(surface) = &show.loaded.level.surface else {
        return;
    };
    let painter = ctx.layer_painter(egui::LayerId::new(egui::Order::Background, Id::new("left")));
    let corner = crate::stage::point(surface.corner);
    let right = Vec3::new(surface.right[0] as f32, 0.0, surface.right[1] as f32);
    let side = surface.tile_m as f32;
    for [x, y] in &left.tiles {
        let at = |dx: u32, dy: u32| {
            let (along, up) = ((x + dx) as f32 * side, (y + dy) as f32 * side);
            sight.of(corner + right * along + Vec3::Y * up)
        };
        let around = [at(0, 0), at(1, 0), at(1, 1), at(0, 1)];
        let Some(points) = around.into_iter().collect::<Option<Vec<_>>>() else {
            continue;
        };
        for stroke in [
            Stroke::new(3.0, theme::through(INK, 0.45)),
            Stroke::new(1.2, AMBER),
        ] {
            painter.add(egui::Shape::closed_line(points.clone(), stroke));
        }
    }
}

/// Keeps what is left.
pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Left>()
        .add_systems(Update, look.run_if(in_state(Screen::Yard)));
}

#[cfg(test)]
mod tests {
    use super::*;
    use training::load::Library;

    #[test]
    fn the_dirtiest_tiles_are_shown_and_those_within_the_grade_are_not() {
        let library = Library::find();
        let loaded = library.load("02_fouled_slab").expect("a sound level");
        let surface = loaded.level.surface.as_ref().expect("a surface");
        let [columns, rows] = surface.cells();
        let full: Vec<u8> = (0..columns * rows)
            .map(|cell| surface.layers_of(cell).len() as u8 * STEPS_PER_LAYER)
            .collect();
        assert!(worst(surface, &full, true).is_empty());
        // One tile as the level finds it.
        let side = (surface.tile_m / surface.cell_m).round() as u32;
        let mut one = full.clone();
        for (cell, steps) in (0_u32..).zip(&mut one) {
            if (cell % columns / side, cell / columns / side) == (2, 1) {
                *steps = 0;
            }
        }
        assert_eq!(worst(surface, &one, true), [[2, 1]]);
        assert_eq!(worst(surface, &one, false), [[2, 1]]);
        assert_eq!(worst(surface, &vec![0; full.len()], true).len(), MOST);
        // A cell short of its grade is no reason to go back.
        let mut speck = full;
        speck[0] = 0;
        assert!(worst(surface, &speck, true).is_empty());
    }
}
