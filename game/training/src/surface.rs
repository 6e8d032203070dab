//! What becomes of the surface to be cleaned, in whole steps.
//!
//! The yard keeps the dose of every cell as a number. What is recorded and
//! marked is the whole number of steps that a cell has taken on its way from
//! fouled to clean, so that a mark needs no yard and is the same everywhere.
//! Where the level says what the deposits lie on, the steps go on: those of one
//! layer more and the cell is damaged.

use crate::level::Surface;
use serde::{Deserialize, Serialize};

/// Steps from a fouled layer to a removed one.
pub const STEPS_PER_LAYER: u8 = 2;

/// A cell has taken another step towards being clean.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct SurfaceStep {
    /// The cell: row by row from the lower left corner as one faces the
    /// surface.
    pub cell: u32,
    /// Steps it has taken in all; never fewer than before.
    pub steps: u8,
}

/// Whether a cell that has taken so many steps and needs so many to be clean
/// is damaged: what lies under its deposits has lost a layer of its own.
pub fn is_damaged(steps: u8, wanted: u8) -> bool {
    steps >= wanted.saturating_add(STEPS_PER_LAYER)
}

/// How far each cell of a surface has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Cleaned {
    columns: u32,
    steps: Vec<u8>,
    wanted: Vec<u8>,
    clean: u32,
    damaged: u32,
    /// Steps that a cell may take beyond those that clean it: none where nothing
    /// is known of what the deposits lie on.
    beyond: u8,
}

impl Cleaned {
    /// A surface as the level finds it.
    pub fn new(surface: &Surface) -> Self {
        let [columns, rows] = surface.cells();
        let wanted: Vec<u8> = (0..columns * rows)
            .map(|cell| surface.layers_of(cell).len() as u8 * STEPS_PER_LAYER)
            .collect();
        let clean = wanted.iter().filter(|w| **w == 0).count() as u32;
        Cleaned {
            columns,
            steps: vec![0; wanted.len()],
            wanted,
            clean,
            damaged: 0,
            beyond: surface.base.as_ref().map_or(0, |_| STEPS_PER_LAYER),
        }
    }

    /// Takes one step in. A cell that is not there, or a step back, is left
    /// out.
    pub fn take(&mut self, step: SurfaceStep) {
        let Some(cell) = usize::try_from(step.cell)
            .ok()
            .filter(|c| *c < self.steps.len())
        else {
            return;
        };
        let (was, wanted) = (self.steps[cell], self.wanted[cell]);
        let now = step.steps.min(wanted.saturating_add(self.beyond));
        if now > was {
            self.steps[cell] = now;
            self.clean += u32::from(was < wanted && now >= wanted);
            let damaged = is_damaged(now, wanted);
            self.damaged += u32::from(damaged && !is_damaged(was, wanted));
        }
    }

    /// Cells along the width.
    pub fn columns(&self) -> u32 {
        self.columns
    }

    /// Steps taken by each cell, row by row from the lower left.
    pub fn steps(&self) -> &[u8] {
        &self.steps
    }

    /// Steps that each cell needs to be clean.
    pub fn wanted(&self) -> &[u8] {
        &self.wanted
    }

    /// Share of each tile that is clean, percent, row by row from the lower
    /// left; nothing for a tile without cells.
    pub fn tiles_pct(&self, surface: &Surface) -> Vec<Option<f64>> {
        let [tile_columns, tile_rows] = surface.tiles();
        let side = (surface.tile_m / surface.cell_m).round().max(1.0) as u32;
        let mut all = vec![[0_u32; 2]; (tile_columns * tile_rows) as usize];
        let cells = self.steps.iter().zip(&self.wanted);
        for ((steps, wanted), cell) in cells.zip(0_u32..) {
            let column = (cell % self.columns / side).min(tile_columns - 1);
            let row = (cell / self.columns / side).min(tile_rows - 1);
            let [clean, count] = &mut all[(row * tile_columns + column) as usize];
            *clean += u32::from(steps >= wanted);
            *count += 1;
        }
        all.iter()
            .map(|[clean, count]| {
                (*count > 0).then(|| 100.0 * f64::from(*clean) / f64::from(*count))
            })
            .collect()
    }

    /// Share of the surface that is clean, percent.
    pub fn clean_pct(&self) -> f64 {
        self.share_pct(self.clean)
    }

    /// Share of the surface that is damaged under its deposits, percent.
    pub fn damaged_pct(&self) -> f64 {
        self.share_pct(self.damaged)
    }

    fn share_pct(&self, cells: u32) -> f64 {
        if self.wanted.is_empty() {
            0.0
        } else {
            100.0 * f64::from(cells) / self.wanted.len() as f64
        }
    }
}
