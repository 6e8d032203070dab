//! Direct solvers for the two banded systems of a rod.
//!
//! Both are symmetric and positive definite, so they are factored without
//! pivoting, in one sweep each way.

use glam::DVec3;

/// A symmetric matrix with two bands beside its diagonal, one matrix for each
/// axis: the off-diagonal entries are shared, the diagonal ones are not.
#[derive(Clone, Debug, Default)]
pub(crate) struct Penta {
    /// Entries `(i, i)` for the three axes.
    pub diagonal: Vec<DVec3>,
    /// Entries `(i, i + 1)`.
    pub near: Vec<f64>,
    /// Entries `(i, i + 2)`.
    pub far: Vec<f64>,
    pivot_inverse: Vec<DVec3>,
    lower_near: Vec<DVec3>,
    lower_far: Vec<DVec3>,
}

impl Penta {
    /// Empties the matrix and gives it `n` rows.
    pub fn reset(&mut self, n: usize) {
        for v in [&mut self.near, &mut self.far] {
            v.clear();
            v.resize(n, 0.0);
        }
        for v in [
            &mut self.diagonal,
            &mut self.pivot_inverse,
            &mut self.lower_near,
            &mut self.lower_far,
        ] {
            v.clear();
            v.resize(n, DVec3::ZERO);
        }
    }

    /// Solves in place: `b` is the right side before and the solution after.
    pub fn solve(&mut self, b: &mut [DVec3]) {
        let n = b.len();
        // L D L^T with unit lower L: `lower_near[i]` is L(i+1, i), `lower_far[i]` L(i+2, i).
        let mut near_before = DVec3::ZERO; // L(i, i-1) D(i-1) L(i, i-1) and so on, carried along.
        let mut far_before = DVec3::ZERO;
        let mut far_before_2 = DVec3::ZERO;
        let mut coupled = DVec3::ZERO; // entry (i, i-1) of L D
        for i in 0..n {
            let mut pivot = self.diagonal[i];
            if i >= 1 {
                pivot -= near_before * coupled;
            }
            if i >= 2 {
                pivot -= far_before_2 * self.far[i - 2];
            }
            let inverse = pivot.recip();
            self.pivot_inverse[i] = inverse;
            let mut entry = DVec3::splat(self.near[i]);
            if i >= 1 {
                entry -= near_before * self.far[i - 1];
            }
            let near = entry * inverse;
            let far = inverse * self.far[i];
            self.lower_near[i] = near;
            self.lower_far[i] = far;
            let mut x = b[i];
            if i >= 1 {
                x -= self.lower_near[i - 1] * b[i - 1];
            }
            if i >= 2 {
                x -= self.lower_far[i - 2] * b[i - 2];
            }
            b[i] = x;
            coupled = entry;
            near_before = near;
            far_before_2 = far_before;
            far_before = far;
        }
        for i in (0..n).rev() {
            let mut x = b[i] * self.pivot_inverse[i];
            if i + 1 < n {
                x -= self.lower_near[i] * b[i + 1];
            }
            if i + 2 < n {
                x -= self.lower_far[i] * b[i + 2];
            }
            b[i] = x;
        }
    }
}

/// Solves a symmetric tridiagonal system in place: `diagonal` and `b` are
/// overwritten, `b` with the solution; `off[i]` is entry `(i, i + 1)`.
pub(crate) fn solve_tridiagonal(diagonal: &mut [f64], off: &[f64], b: &mut [f64]) {
    let n = b.len();
    if n == 0 {
        return;
    }
    diagonal[0] = diagonal[0].recip();
    for i in 1..n {
        let factor = off[i - 1] * diagonal[i - 1];
        diagonal[i] = (diagonal[i] - factor * off[i - 1]).recip();
        b[i] -= factor * b[i - 1];
    }
    b[n - 1] *= diagonal[n - 1];
    for i in (0..n - 1).rev() {
        b[i] = (b[i] - off[i] * b[i + 1]) * diagonal[i];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn multiply(m: &Penta, x: &[DVec3]) -> Vec<DVec3> {
        let n = x.len();
        let mut y = vec![DVec3::ZERO; n];
        for i in 0..n {
            y[i] += m.diagonal[i] * x[i];
            if i + 1 < n {
                y[i] += m.near[i] * x[i + 1];
                y[i + 1] += m.near[i] * x[i];
            }
            if i + 2 < n {
                y[i] += m.far[i] * x[i + 2];
                y[i + 2] += m.far[i] * x[i];
            }
        }
        y
    }

    proptest! {
        #[test]
        fn the_five_band_solution_gives_back_its_right_side(
            n in 1usize..40,
            seed in prop::collection::vec(-1.0f64..1.0, 240),
        ) {
            let mut m = Penta::default();
            m.reset(n);
            for i in 0..n {
                m.diagonal[i] = DVec3::new(4.1, 5.0, 9.0) + seed[i];
                if i + 1 < n { m.near[i] = seed[40 + i]; }
                if i + 2 < n { m.far[i] = seed[80 + i]; }
            }
            let b: Vec<DVec3> = (0..n)
                .map(|i| DVec3::new(seed[120 + i], seed[160 + i], seed[200 + i]))
                .collect();
            let mut x = b.clone();
            m.solve(&mut x);
            for (got, want) in multiply(&m, &x).iter().zip(&b) {
                prop_assert!((*got - *want).length() < 1e-12);
            }
        }

        #[test]
        fn the_three_band_solution_gives_back_its_right_side(
            n in 1usize..40,
            seed in prop::collection::vec(-1.0f64..1.0, 120),
        ) {
            let mut diagonal: Vec<f64> = (0..n).map(|i| 2.5 + seed[i]* 0.4).collect();
            let kept = diagonal.clone();
            let off: Vec<f64> = (0..n).map(|i| seed[40 + i]).collect();
            let b: Vec<f64> = (0..n).map(|i| seed[80 + i]).collect();
            let mut x = b.clone();
            solve_tridiagonal(&mut diagonal, &off, &mut x);
            for i in 0..n {
                let mut got = kept[i] * x[i];
                if i > 0 { got += off[i - 1] * x[i - 1]; }
                if i + 1 < n { got += off[i] * x[i + 1]; }
                prop_assert!((got - b[i]).abs() < 1e-12);
            }
        }
    }
}
