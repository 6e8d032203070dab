//! The surface to be cleaned: what the jet does to each of its cells.
//!
//! A cell keeps the dose it has had in whole units, so that a keyframe is
//! small and sums do not depend on their order. Within a tick the middle of
//! the jet is led along its way (round the ring of a rotating nozzle, along
//! with the hand) in steps shorter than its footprint; at each, every cell gets
//! the dose of the pressure at its middle. So a cell stands for its middle, and
//! the share of clean cells for the share of the area, without favour. A layer
//! that is gone leaves nothing of its last dose to the one below.

use bevy::ecs::resource::Resource;
use core::f64::consts::TAU;
use glam::DVec3;
use hydraulics::jet::Spot;
use hydraulics::{Exit, Impact, JetSpec, Removal};
use serde::{Deserialize, Serialize};
use training::SurfaceStep;
use training::level::Surface;
use training::surface::STEPS_PER_LAYER;

/// Units of dose in a layer.
const UNITS: u32 = 8192;
/// Units from one recorded step to the next.
const UNITS_PER_STEP: u32 = UNITS / STEPS_PER_LAYER as u32;
/// A step along the way of the jet, as a share of what it cuts to either side.
const STEP_SHARE: f64 = 0.5;
/// Most steps along the way of the jet within one tick.
const MOST_STEPS: usize = 400;

/// The surface as it stands in the yard, with what was done to it.
#[derive(Resource, Clone, Debug)]
pub struct Wall {
    frame: Frame,
    cell_m: f64,
    columns: u32,
    rows: u32,
    tile_cells: u32,
    tile_columns: u32,
    /// Every deposit there is on it.
    removals: Vec<Removal>,
    /// Layers from the top down, as places in `removals`.
    stacks: Vec<Vec<u8>>,
    /// What all of it lies on, where the level says so, as a place in `removals`.
    base: Option<u8>,
    /// Which of the stacks a cell has.
    stack_of: Vec<u8>,
    tile_size: Vec<u32>,
    /// What was done to it.
    pub done: Done,
}

/// What was done to a surface: all of it that lives from tick to tick.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Done {
    dose: Vec<u16>,
    tile_clean: Vec<u32>,
    clean: u32,
    damaged: u32,
    /// How far round its ring a rotating jet is, turns.
    turn: f64,
    /// Where the jet was at the end of the tick before, if it was on.
    spot: Option<[f64; 2]>,
}

/// Where a surface is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Lower left corner as one faces it.
    pub corner: DVec3,
    /// Along the lower edge to the right.
    pub right: DVec3,
    /// Out of it, towards who faces it.
    pub out: DVec3,
    /// Width and height, metres.
    pub size: [f64; 2],
}

/// A jet that meets a surface, at the end of a tick.
#[derive(Clone, Copy, Debug)]
pub struct Stroke {
    /// Where its axis meets the surface, metres along it and up.
    pub spot: [f64; 2],
    /// From the tip to there, metres.
    pub stand_off_m: f64,
    /// Cosine of the angle between the axis and the surface's normal.
    pub cosine: f64,
    /// The jet as it leaves.
    pub exit: Exit,
    /// What becomes of it.
    pub jet: JetSpec,
}

/// What a tick of a jet on a surface came to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Stroked {
    /// Pressure in the middle of the footprint, pascals.
    pub impact_pa: f64,
    /// Speed of the axis along the surface, metres per second.
    pub travel_m_s: f64,
}

impl Done {
    /// The dose of all cells together, in units.
    pub fn sum(&self) -> u64 {
        self.dose.iter().map(|d| u64::from(*d)).sum()
    }
}

impl Frame {
    /// Where a surface of a level is.
    pub fn of(surface: &Surface) -> Self {
        let [rx, rz] = surface.right;
        Frame {
            corner: DVec3::from_array(surface.corner),
            right: DVec3::new(rx, 0.0, rz),
            out: DVec3::new(-rz, 0.0, rx),
            size: surface.size,
        }
    }

    /// Where a ray from `tip` along `dir` meets the surface from its front:
    /// the spot on it and the way there.
    pub fn meet(&self, tip: DVec3, dir: DVec3) -> Option<([f64; 2], f64)> {
        let toward = -dir.dot(self.out);
        if toward < 1e-3 {
            return None;
        }
        let off = (tip - self.corner).dot(self.out);
        let way = off / toward;
        // A tip that was pushed into the surface still works on it.
        if way < -0.3 {
            return None;
        }
        let at = tip + dir * way - self.corner;
        let spot = [at.dot(self.right), at.y];
        let inside =
            (0.0..self.size[0]).contains(&spot[0]) && (0.0..self.size[1]).contains(&spot[1]);
        inside.then_some((spot, way.max(0.0)))
    }
}

impl Wall {
    /// A surface as the level finds it.
    pub fn new(surface: &Surface) -> Self {
        let [columns, rows] = surface.cells();
        let [tile_columns, tile_rows] = surface.tiles();
        let mut removals: Vec<Removal> = Vec::new();
        let mut stacks: Vec<Vec<u8>> = Vec::new();
        let mut stack_of = Vec::with_capacity((columns * rows) as usize);
        for cell in 0..columns * rows {
            let stack: Vec<u8> = surface
                .layers_of(cell)
                .iter()
                .map(|coat| place_in(&mut removals, coat.removal))
                .collect();
            stack_of.push(place_in(&mut stacks, stack));
        }
        let base = surface.base.as_ref();
        let base = base.map(|base| place_in(&mut removals, base.removal));
        let tile_cells = (surface.tile_m / surface.cell_m).round().max(1.0) as u32;
        let mut wall = Wall {
            frame: Frame::of(surface),
            cell_m: surface.cell_m,
            columns,
            rows,
            tile_cells,
            tile_columns,
            removals,
            stacks,
            base,
            tile_size: vec![0; (tile_columns * tile_rows) as usize],
            done: Done {
                dose: vec![0; stack_of.len()],
                tile_clean: vec![0; (tile_columns * tile_rows) as usize],
                ..Done::default()
            },
            stack_of,
        };
        for cell in 0..wall.stack_of.len() {
            let tile = wall.tile(cell);
            wall.tile_size[tile] += 1;
            if wall.stacks[usize::from(wall.stack_of[cell])].is_empty() {
                wall.done.tile_clean[tile] += 1;
                wall.done.clean += 1;
            }
        }
        wall
    }

    /// Where it is.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// Share of it that is clean, percent.
    pub fn clean_pct(&self) -> f64 {
        100.0 * f64::from(self.done.clean) / self.stack_of.len().max(1) as f64
    }

    /// Share of it that is damaged under its deposits, percent.
    pub fn damaged_pct(&self) -> f64 {
        100.0 * f64::from(self.done.damaged) / self.stack_of.len().max(1) as f64
    }

    /// The cells that have taken steps, and how many.
    pub fn steps(&self) -> Vec<SurfaceStep> {
        let cells = self.done.dose.iter().enumerate();
        cells
            .map(|(cell, dose)| SurfaceStep {
                cell: cell as u32,
                steps: (u32::from(*dose) / UNITS_PER_STEP) as u8,
            })
            .filter(|step| step.steps > 0)
            .collect()
    }

    /// How far each tile is clean, percent, row by row from the lower left.
    pub fn tiles_pct(&self) -> Vec<u8> {
        let shares = self.done.tile_clean.iter().zip(&self.tile_size);
        shares
            .map(|(clean, all)| (100 * clean / (*all).max(1)) as u8)
            .collect()
    }

    fn tile(&self, cell: usize) -> usize {
        let (column, row) = (cell as u32 % self.columns, cell as u32 / self.columns);
        ((row / self.tile_cells) * self.tile_columns + column / self.tile_cells) as usize
    }

    /// The jet is off the surface.
    pub fn lift(&mut self) {
        self.done.spot = None;
    }

    /// Leads the jet along its way of one tick.
    pub fn stroke(
        &mut self,
        stroke: &Stroke,
        tick_s: f64,
        steps: &mut Vec<SurfaceStep>,
    ) -> Stroked {
        let from = self.done.spot.replace(stroke.spot).unwrap_or(stroke.spot);
        let moved = [stroke.spot[0] - from[0], stroke.spot[1] - from[1]];
        let moved_m = (moved[0] * moved[0] + moved[1] * moved[1]).sqrt();
        let Spot {
            mut impact,
            ring_m,
            turns_per_s,
        } = stroke.jet.spot(&stroke.exit, stroke.stand_off_m);
        // Of the momentum only the part along the surface's normal counts.
        impact.centre_pa *= stroke.cosine * stroke.cosine;
        let turns = turns_per_s * tick_s;
        let stroked = Stroked {
            impact_pa: impact.centre_pa,
            travel_m_s: moved_m / tick_s,
        };
        let before = self.done.turn;
        self.done.turn = (before + turns).fract();
        let lowest_pa = self
            .removals
            .iter()
            .map(|r| r.threshold_pa)
            .fold(f64::INFINITY, f64::min);
        // Outside of this nothing comes off.
        let cut_m = impact.half_cut_m(lowest_pa);
        if cut_m <= 0.0 {
            return stroked;
        }
        let reach = [cut_m, impact.half_along_m.max(cut_m)];
        let way_m = moved_m + TAU * ring_m * turns;
        let count = ((way_m / (STEP_SHARE * cut_m)).ceil() as usize).clamp(1, MOST_STEPS);
        let share_s = tick_s / count as f64;
        let mut touched = Vec::new();
        for n in 0..count {
            let part = (n as f64 + 0.5) / count as f64;
            let angle = TAU * (before + turns * part);
            let x = from[0] + moved[0] * part + ring_m * libm::cos(angle);
            let y = from[1] + moved[1] * part + ring_m * libm::sin(angle);
            self.touch([x, y], reach, &impact, share_s, &mut touched);
        }
        touched.sort_unstable();
        touched.dedup();
        for cell in touched {
            let units = u32::from(self.done.dose[cell as usize]);
            steps.push(SurfaceStep {
                cell,
                steps: (units / UNITS_PER_STEP) as u8,
            });
        }
        stroked
    }

    /// Lays the footprint on the cells around a point for so long.
    fn touch(
        &mut self,
        at: [f64; 2],
        reach: [f64; 2],
        impact: &Impact,
        s: f64,
        touched: &mut Vec<u32>,
    ) {
        // The first and last cell whose middle is within reach.
        let span = |axis: usize, most: u32| {
            let low = ((at[axis] - reach[axis]) / self.cell_m - 0.5)
                .ceil()
                .max(0.0);
            let high = ((at[axis] + reach[axis]) / self.cell_m - 0.5).floor();
            (low as u32, high.min(f64::from(most) - 1.0))
        };
        let ((left, right), (low, high)) = (span(0, self.columns), span(1, self.rows));
        if right < 0.0 || high < 0.0 {
            return;
        }
        let cell_m = self.cell_m;
        let middle = |n: u32| (f64::from(n) + 0.5) * cell_m;
        for row in low..=high as u32 {
            let dy = middle(row) - at[1];
            for column in left..=right as u32 {
                let dx = middle(column) - at[0];
                // A fan stands upright, across the way of a level stroke.
                let pressure = if impact.half_along_m > 0.0 {
                    impact.pressure_pa(dx, dy)
                } else {
                    impact.pressure_pa((dx * dx + dy * dy).sqrt(), 0.0)
                };
                self.dose(row * self.columns + column, pressure, s, touched);
            }
        }
    }

    fn dose(&mut self, cell: u32, pressure_pa: f64, s: f64, touched: &mut Vec<u32>) {
        let place = cell as usize;
        let stack = &self.stacks[usize::from(self.stack_of[place])];
        let units = u32::from(self.done.dose[place]);
        let layer = (units / UNITS) as usize;
        // Below the last deposit there is what all of them lie on, for one layer.
        let on_base = layer == stack.len();
        let under = self.base.as_ref().filter(|_| on_base);
        let Some(&deposit) = stack.get(layer).or(under) else {
            return;
        };
        let rate = self.removals[usize::from(deposit)].rate(pressure_pa);
        let more = (rate * s * f64::from(UNITS)).round().min(f64::from(UNITS)) as u32;
        let full = (layer as u32 + 1) * UNITS;
        let to = (units + more).min(full);
        self.done.dose[place] = to as u16;
        if to / UNITS_PER_STEP > units / UNITS_PER_STEP {
            touched.push(cell);
            if to == full && on_base {
                self.done.damaged += 1;
            } else if to == full && layer + 1 == stack.len() {
                let tile = self.tile(place);
                self.done.tile_clean[tile] += 1;
                self.done.clean += 1;
            }
        }
    }
}

/// The place of a thing in a list, where it is added if it is not there yet.
fn place_in<T: PartialEq>(all: &mut Vec<T>, thing: T) -> u8 {
    let place = all.iter().position(|known| *known == thing);
    let place = place.unwrap_or_else(|| {
        all.push(thing);
        all.len() - 1
    });
    // A level has far fewer deposits and stacks than that.
    place.min(usize::from(u8::MAX)) as u8
}

#[cfg(test)]
mod tests;
