//! The way of the jet over a part of the surface: row by row from the top,
//! there and back.

use crate::{Goal, SurfaceFrame};
use serde::{Deserialize, Serialize};

/// Rows reach this far beyond the edges of the part where there is more of the
/// surface, metres (a choice of this project).
const OVERLAP_M: f64 = 0.02;
/// The jet kicks when it starts, and comes to rest on a way that is swept once
/// more: that way lasts so long, seconds.
pub(super) const LEAD_S: f64 = 0.8;
/// No sweep has more rows than this.
const ROWS_MAX: usize = 1_000;
/// Nobody sweeps with rows nearer to each other, metres, or more slowly,
/// metres per second.
const STEP_LEAST_M: f64 = 0.005;
const SPEED_LEAST_M_S: f64 = 0.01;

/// How a part of the surface is to be swept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Order {
    /// Left and lower edge, metres along the surface and up.
    pub from_m: [f64; 2],
    /// Right and upper edge.
    pub to_m: [f64; 2],
    /// Distance from tip to surface, metres.
    pub stand_off_m: f64,
    /// Speed of the jet along the surface, metres per second.
    pub speed_m_s: f64,
    /// From one row to the next, metres.
    pub step_m: f64,
}

impl Order {
    /// What a goal says about it.
    pub fn of(goal: &Goal) -> Option<Self> {
        match goal {
            Goal::Sweep {
                from_m,
                to_m,
                stand_off_m,
                speed_m_s,
                step_m,
            }
            | Goal::Rework {
                from_m,
                to_m,
                stand_off_m,
                speed_m_s,
                step_m,
                ..
            } => Some(Order {
                from_m: *from_m,
                to_m: *to_m,
                stand_off_m: *stand_off_m,
                speed_m_s: speed_m_s.max(SPEED_LEAST_M_S),
                step_m: step_m.max(STEP_LEAST_M),
            }),
            _ => None,
        }
    }
}

/// A way over the surface, from corner to corner.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Way {
    corners: Vec<[f64; 2]>,
}

impl Way {
    /// The rows of a part, with a short way back to the first corner before
    /// them. Empty when nothing of the part is on the surface.
    pub fn over(order: &Order, surface: &SurfaceFrame) -> Self {
        let span = |i: usize, beyond_m: f64| {
            let least = (order.from_m[i] - beyond_m).max(0.0);
            let most = (order.to_m[i] + beyond_m).min(surface.size_m[i]);
            (least, most)
        };
        let (left, right) = span(0, OVERLAP_M);
        let (low, high) = span(1, 0.0);
        let is_there = right > left && high > low;
        if !is_there {
            return Way::default();
        }
        let lead_m = (order.speed_m_s * LEAD_S).min(0.5 * (right - left));
        let half_m = 0.5 * order.step_m.min(high - low);
        // A part that is a hair higher than whole rows needs no further one.
        let rows = ((high - low) / order.step_m - 1e-6).ceil() as usize;
        let mut corners = vec![[left + lead_m, high - half_m]];
        for row in 0..rows.clamp(1, ROWS_MAX) {
            let y = (high - half_m - order.step_m * row as f64).max(low + half_m);
            let (begin, end) = if row % 2 == 0 {
                (left, right)
            } else {
                (right, left)
            };
            corners.extend([[begin, y], [end, y]]);
        }
        Way { corners }
    }

    /// Its length, metres.
    pub fn length_m(&self) -> f64 {
        self.legs().map(|(_, _, m)| m).sum()
    }

    /// Length of the short way back, metres.
    pub fn lead_m(&self) -> f64 {
        self.legs().next().map_or(0.0, |(_, _, m)| m)
    }

    /// The spot that is so far along it, and which leg that is on.
    pub fn at(&self, along_m: f64) -> ([f64; 2], usize) {
        let mut left_m = along_m.max(0.0);
        for (leg, (a, b, m)) in self.legs().enumerate() {
            if left_m <= m && m > 0.0 {
                let share = left_m / m;
                let at = [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
                return (at, leg);
            }
            left_m -= m;
        }
        let last = self.corners.last().copied().unwrap_or_default();
        (last, self.corners.len())
    }

    fn legs(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2], f64)> + '_ {
        self.corners.windows(2).map(|w| {
            let m = crate::person::distance_m(w[0], w[1]);
            (w[0], w[1], m)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn surface() -> SurfaceFrame {
        SurfaceFrame {
            corner_m: [0.0, 0.25, 0.0],
            right: [1.0, 0.0],
            size_m: [1.5, 1.2],
            tiles: [15, 12],
        }
    }

    fn order(from_m: [f64; 2], to_m: [f64; 2], step_m: f64) -> Order {
        Order {
            from_m,
            to_m,
            stand_off_m: 0.1,
            speed_m_s: 0.25,
            step_m,
        }
    }

    #[test]
    fn rows_cover_a_part_from_edge_to_edge_and_no_more() {
        for step_m in [0.03, 0.05, 0.07, 0.5] {
            let order = order([0.3, 0.2], [0.9, 0.5], step_m);
            let way = Way::over(&order, &surface());
            let heights: Vec<f64> = way.corners.iter().map(|c| c[1]).collect();
            for y in (0..=300).map(|mm| 0.2 + f64::from(mm) * 1e-3) {
                let near = heights.iter().any(|h| (h - y).abs() <= 0.5 * step_m + 1e-9);
                assert!(near, "{step_m}: nothing at {y}");
            }
            for c in &way.corners {
                assert!((0.279..=0.921).contains(&c[0]), "{c:?}");
                assert!((0.199..=0.501).contains(&c[1]), "{c:?}");
            }
        }
    }

    #[test]
    fn rows_end_at_the_edge_of_the_surface() {
        let way = Way::over(&order([0.0, 0.0], [1.5, 1.2], 0.1), &surface());
        assert!(way.corners.iter().all(|c| (0.0..=1.5).contains(&c[0])));
        // A short way back, twelve rows, and eleven steps between them.
        let expected_m = 0.2 + 12.0 * 1.5 + 11.0 * 0.1;
        assert!((way.length_m() - expected_m).abs() < 1e-9);
        assert_eq!(way.at(1e3).0, [0.0, 0.05]);
        assert_eq!(way.at(0.2 + 1.5).0, [1.5, 1.15]);
    }

    #[test]
    fn a_part_off_the_surface_has_no_rows() {
        for (from_m, to_m) in [
            ([2.0, 0.0], [3.0, 1.0]),
            ([0.5, 1.3], [0.9, 1.4]),
            ([0.5, 0.5], [0.9, 0.5]),
            ([f64::NAN, f64::NAN], [-1.0, -1.0]),
        ] {
            let way = Way::over(&order(from_m, to_m, 0.1), &surface());
            assert_eq!(way.length_m(), 0.0, "{from_m:?} {to_m:?}");
        }
    }
}
