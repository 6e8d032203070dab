//! Sweeping again what is not clean yet, as far as it can be seen.

use super::lance::Hold;
use super::rows::Order;
use super::sweep::Sweep;
use super::{Step, StuckReason};
use crate::person::{Person, Site};
use crate::{Input, Percepts, Stance, SurfaceFrame, Tick};
use serde::{Deserialize, Serialize};

/// So often the surface is looked over and swept where it needs it.
const ROUNDS: u8 = 3;
/// Spray settles and the eye goes over the surface for so long before each
/// round, seconds.
const LOOK_S: f64 = 1.0;
/// The surface is not in view for so long: it will not be, seconds.
const UNSEEN_S: f64 = 5.0;
/// A spot is part of a run when so much of its tile is within the part.
const EDGE_M: f64 = 1e-6;

/// Rework under way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Rework {
    order: Order,
    clean_pct: u8,
    stance: Stance,
    brace: bool,
    since: Tick,
    rounds: u8,
    /// Parts that are still to be swept in this round, the next one last.
    runs: Vec<Order>,
    sweep: Option<Box<Sweep>>,
}

impl Rework {
    /// Rework by somebody who holds the tool like that.
    pub fn new(order: Order, clean_pct: u8, hold: &Hold, p: &Percepts) -> Self {
        Rework {
            order,
            clean_pct,
            stance: hold.stance,
            brace: hold.brace,
            since: p.tick,
            rounds: 0,
            runs: Vec::new(),
            sweep: None,
        }
    }

    /// Whether the jet is being led over the surface.
    pub fn runs(&self) -> bool {
        self.sweep.as_ref().is_some_and(|sweep| sweep.runs())
    }

    /// As [`Sweep::break_off`].
    pub fn break_off(&mut self) {
        if let Some(sweep) = &mut self.sweep {
            sweep.break_off();
        }
    }

    /// Looks and sweeps.
    pub fn go(
        &mut self,
        hold: &mut Hold,
        me: &mut Person,
        site: &Site,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        let Some(surface) = &site.surface else {
            return Step::Failed(StuckReason::OutOfReach);
        };
        if let Some(sweep) = &mut self.sweep {
            match sweep.go(hold, me, p, out) {
                Step::Going => return Step::Going,
                // What the arms cannot reach is left out.
                Step::Done | Step::Failed(StuckReason::OutOfReach) => {}
                Step::Failed(reason) => return Step::Failed(reason),
            }
            self.sweep = None;
            self.since = p.tick;
            if p.tool.is_none() {
                return Step::Failed(StuckReason::OutOfReach);
            }
        }
        if let Some(order) = self.runs.pop() {
            hold.stance = self.stance;
            hold.brace = self.brace;
            self.sweep = Sweep::new(order, site, hold, me, p).map(Box::new);
            return Step::Going;
        }
        let waited_s = p.tick.since(self.since);
        if waited_s < LOOK_S {
            return Step::Going;
        }
        let tiles = usize::from(surface.tiles[0]) * usize::from(surface.tiles[1]);
        if p.tiles_pct.len() != tiles || tiles == 0 {
            return if waited_s > UNSEEN_S {
                Step::Failed(StuckReason::OutOfReach)
            } else {
                Step::Going
            };
        }
        let mut runs = runs(&self.order, surface, &p.tiles_pct, self.clean_pct);
        if runs.is_empty() || self.rounds >= ROUNDS {
            return Step::Done;
        }
        self.rounds += 1;
        runs.reverse();
        self.runs = runs;
        Step::Going
    }
}

/// The runs of tiles within a part that are not clean, from the top and from
/// the left. Runs of one width that lie on each other are one.
fn runs(order: &Order, surface: &SurfaceFrame, pct: &[u8], clean_pct: u8) -> Vec<Order> {
    let [columns, rows] = surface.tiles.map(usize::from);
    let tile_m = [
        surface.size_m[0] / columns as f64,
        surface.size_m[1] / rows as f64,
    ];
    let within = |i: usize, tile: usize| {
        let middle = (tile as f64 + 0.5) * tile_m[i];
        middle > order.from_m[i] - EDGE_M && middle < order.to_m[i] + EDGE_M
    };
    let dirty = |column: usize, row: usize| {
        within(0, column)
            && within(1, row)
            && pct
                .get(row * columns + column)
                .is_some_and(|p| *p < clean_pct)
    };
    // First and last column, lowest and highest row.
    let mut found: Vec<[usize; 4]> = Vec::new();
    for row in (0..rows).rev() {
        let mut column = 0;
        while column < columns {
            let first = column;
            while column < columns && dirty(column, row) {
                column += 1;
            }
            if column > first {
                let last = column - 1;
                let above = found
                    .iter_mut()
                    .find(|r| r[0] == first && r[1] == last && r[2] == row + 1);
                match above {
                    Some(run) => run[2] = row,
                    None => found.push([first, last, row, row]),
                }
            }
            column += 1;
        }
    }
    let clip = |i: usize, x: f64| x.max(order.from_m[i]).min(order.to_m[i]);
    found
        .into_iter()
        .map(|[first, last, low, high]| Order {
            from_m: [
                clip(0, first as f64 * tile_m[0]),
                clip(1, low as f64 * tile_m[1]),
            ],
            to_m: [
                clip(0, (last + 1) as f64 * tile_m[0]),
                clip(1, (high + 1) as f64 * tile_m[1]),
            ],
            ..*order
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SURFACE: SurfaceFrame = SurfaceFrame {
        corner_m: [0.0, 0.25, 0.0],
        right: [1.0, 0.0],
        size_m: [0.6, 0.4],
        tiles: [6, 4],
    };

    fn whole() -> Order {
        Order {
            from_m: [0.0, 0.0],
            to_m: [0.6, 0.4],
            stand_off_m: 0.1,
            speed_m_s: 0.2,
            step_m: 0.03,
        }
    }

    /// Tiles drawn from the top, as one sees them.
    fn seen(rows: [&str; 4]) -> Vec<u8> {
        let drawn = |row: &str| {
            row.bytes()
                .map(|b| if b == b'#' { 20 } else { 99 })
                .collect::<Vec<u8>>()
        };
        rows.iter().rev().flat_map(|row| drawn(row)).collect()
    }

    fn spans(found: &[Order]) -> Vec<[i32; 4]> {
        let tile = |m: f64| (m * 10.0).round() as i32;
        found
            .iter()
            .map(|o| [o.from_m[0], o.to_m[0], o.from_m[1], o.to_m[1]].map(tile))
            .collect()
    }

    #[test]
    fn runs_are_found_from_the_top_and_joined_where_they_are_of_one_width() {
        let pct = seen(["##..#.", "##....", "......", "..####"]);
        let found = runs(&whole(), &SURFACE, &pct, 95);
        let expected = [[0, 2, 2, 4], [4, 5, 3, 4], [2, 6, 0, 1]];
        assert_eq!(spans(&found), expected);
    }

    #[test]
    fn what_is_clean_or_outside_the_part_is_no_run() {
        let pct = seen(["##..#.", "##....", "......", "..####"]);
        assert_eq!(runs(&whole(), &SURFACE, &pct, 20), []);
        let part = Order {
            from_m: [0.3, 0.0],
            to_m: [0.5, 0.2],
            ..whole()
        };
        assert_eq!(spans(&runs(&part, &SURFACE, &pct, 95)), [[3, 5, 0, 1]]);
    }

    #[test]
    fn too_few_tiles_seen_are_no_tiles_to_sweep() {
        assert_eq!(runs(&whole(), &SURFACE, &[], 95), []);
    }
}
