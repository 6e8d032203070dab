//! The base of support: the ground the feet enclose, and what lies within it.

use serde::{Deserialize, Serialize};

/// A point or vector on the ground plan: x and z of the world, m.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// World x.
    pub x: f64,
    /// World z.
    pub z: f64,
}

impl Plan {
    /// The origin.
    pub const ZERO: Self = Self { x: 0.0, z: 0.0 };

    /// A point of the plan.
    #[must_use]
    pub const fn new(x: f64, z: f64) -> Self {
        Self { x, z }
    }

    /// The plan of a point in space.
    #[must_use]
    pub fn of(v: glam::DVec3) -> Self {
        Self::new(v.x, v.z)
    }

    /// The point in space at height `y`.
    #[must_use]
    pub fn at_height(self, y: f64) -> glam::DVec3 {
        glam::DVec3::new(self.x, y, self.z)
    }

    /// Scalar product.
    #[must_use]
    pub fn dot(self, o: Self) -> f64 {
        self.x * o.x + self.z * o.z
    }

    /// Length.
    #[must_use]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The vector shortened to `most` where it is longer.
    #[must_use]
    pub fn shortened(self, most: f64) -> Self {
        let length = self.length();
        if length > most {
            self * (most / length)
        } else {
            self
        }
    }

    /// The direction, or zero.
    #[must_use]
    pub fn direction(self) -> Self {
        let length = self.length();
        if length > 1e-12 {
            self * (1.0 / length)
        } else {
            Self::ZERO
        }
    }

    fn cross(self, o: Self) -> f64 {
        self.x * o.z - self.z * o.x
    }

    /// Whether both parts are finite.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.z.is_finite()
    }
}

impl core::ops::Add for Plan {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.z + o.z)
    }
}

impl core::ops::AddAssign for Plan {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}

impl core::ops::Sub for Plan {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.z - o.z)
    }
}

impl core::ops::Mul<f64> for Plan {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.x * k, self.z * k)
    }
}

/// The convex hull of heels and toes of the feet on the ground (at most four
/// points), widened all round by a margin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Base {
    hull: [Plan; 4],
    count: usize,
    margin: f64,
}

impl Base {
    /// The hull of up to four points, widened by `margin` metres.
    #[must_use]
    pub fn of(points: &[Plan], margin: f64) -> Self {
        let mut sorted = [Plan::ZERO; 4];
        let n = points.len().min(4);
        sorted[..n].copy_from_slice(&points[..n]);
        sorted[..n].sort_by(|a, b| a.x.total_cmp(&b.x).then(a.z.total_cmp(&b.z)));
        // Monotone chain: lower hull, then upper.
        let mut chain = [Plan::ZERO; 9];
        let mut count = 0;
        let push = |chain: &mut [Plan; 9], count: &mut usize, floor: usize, p: Plan| {
            while *count >= floor + 2
                && (chain[*count - 1] - chain[*count - 2]).cross(p - chain[*count - 1]) <= 0.0
            {
                *count -= 1;
            }
            chain[*count] = p;
            *count += 1;
        };
        for &p in &sorted[..n] {
            push(&mut chain, &mut count, 0, p);
        }
        if n > 2 {
            let floor = count - 1;
            for &p in sorted[..n - 1].iter().rev() {
                push(&mut chain, &mut count, floor, p);
            }
            count -= 1;
        }
        let mut hull = [Plan::ZERO; 4];
        let count = count.min(4);
        hull[..count].copy_from_slice(&chain[..count]);
        Self {
            hull,
            count,
            margin,
        }
    }

    /// The point of the base nearest to `p`: `p` itself where it lies within.
    #[must_use]
    pub fn nearest(&self, p: Plan) -> Plan {
        let hull = &self.hull[..self.count];
        if self.count == 0 {
            return p;
        }
        let mut inside = self.count >= 3;
        let mut best = hull[0];
        let mut best_distance = f64::INFINITY;
        for i in 0..self.count {
            let a = hull[i];
            let edge = hull[(i + 1) % self.count] - a;
            if edge.cross(p - a) < 0.0 {
                inside = false;
            }
            let t = ((p - a).dot(edge) / edge.dot(edge).max(1e-18)).clamp(0.0, 1.0);
            let q = a + edge * t;
            let distance = (p - q).length();
            if distance < best_distance {
                best_distance = distance;
                best = q;
            }
        }
        if inside || best_distance <= self.margin.max(0.0) {
            return p;
        }
        best + (p - best) * (self.margin / best_distance)
    }

    /// How far `p` lies outside the base, m; 0 within.
    #[must_use]
    pub fn outside_m(&self, p: Plan) -> f64 {
        (p - self.nearest(p)).length()
    }

    /// The same hull with another margin.
    #[must_use]
    pub fn widened(&self, margin: f64) -> Self {
        Self { margin, ..*self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Base {
        Base::of(
            &[
                Plan::new(1.0, 1.0),
                Plan::new(0.0, 0.0),
                Plan::new(1.0, 0.0),
                Plan::new(0.0, 1.0),
            ],
            0.0,
        )
    }

    #[test]
    fn a_point_within_the_feet_is_its_own_nearest() {
        let p = Plan::new(0.3, 0.9);
        assert_eq!(square().nearest(p), p);
        assert_eq!(square().outside_m(p), 0.0);
    }

    #[test]
    fn a_point_outside_is_as_far_as_the_nearest_edge_or_corner() {
        assert!((square().outside_m(Plan::new(0.5, -0.2)) - 0.2).abs() < 1e-12);
        assert!((square().outside_m(Plan::new(1.3, 1.4)) - 0.5).abs() < 1e-12);
        let wide = square().widened(0.1);
        assert!((wide.outside_m(Plan::new(1.3, 1.4)) - 0.4).abs() < 1e-12);
        assert_eq!(wide.outside_m(Plan::new(0.5, -0.05)), 0.0);
    }

    #[test]
    fn feet_in_one_line_still_make_a_base() {
        let line = Base::of(
            &[
                Plan::new(0.0, 0.0),
                Plan::new(2.0, 0.0),
                Plan::new(1.0, 0.0),
            ],
            0.0,
        );
        assert!((line.outside_m(Plan::new(1.0, 0.3)) - 0.3).abs() < 1e-12);
        assert_eq!(line.outside_m(Plan::new(1.5, 0.0)), 0.0);
    }
}
