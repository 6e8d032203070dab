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
        // Slices of one length, and what was just reckoned carried along: nothing is looked up
        // twice.
        let (diagonal, near, far) = (&self.diagonal[..n], &self.near[..n], &self.far[..n]);
        let pivot_inverse = &mut self.pivot_inverse[..n];
        let lower_near = &mut self.lower_near[..n];
        let lower_far = &mut self.lower_far[..n];
        // L D L^T with unit lower L: `lower_near[i]` is L(i+1, i), `lower_far[i]` L(i+2, i).
        let (mut near_1, mut far_1, mut far_2) = (DVec3::ZERO, DVec3::ZERO, DVec3::ZERO);
        // Entry (i, i-1) of L D, and entries (i-1, i+1) and (i-2, i).
        let mut coupled = DVec3::ZERO;
        let (mut beyond_1, mut beyond_2) = (0.0, 0.0);
        let (mut x_1, mut x_2) = (DVec3::ZERO, DVec3::ZERO);
        for i in 0..n {
            let inverse = (diagonal[i] - near_1 * coupled - far_2 * beyond_2).recip();
            pivot_inverse[i] = inverse;
            coupled = DVec3::splat(near[i]) - near_1 * beyond_1;
            let x = b[i] - near_1 * x_1 - far_2 * x_2;
            b[i] = x;
            (x_2, x_1) = (x_1, x);
            near_1 = coupled * inverse;
            lower_near[i] = near_1;
            far_2 = far_1;
            far_1 = inverse * far[i];
            lower_far[i] = far_1;
            (beyond_2, beyond_1) = (beyond_1, far[i]);
        }
        (x_1, x_2) = (DVec3::ZERO, DVec3::ZERO);
        for i in (0..n).rev() {
            // Beyond the last row there is nothing, whatever stands in the bands.
            let x = b[i] * pivot_inverse[i] - lower_near[i] * x_1 - lower_far[i] * x_2;
            b[i] = x;
            (x_2, x_1) = (x_1, x);
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
    let diagonal = &mut diagonal[..n];
    let off = &off[..n - 1];
    let mut inverse = diagonal[0].recip();
    diagonal[0] = inverse;
    let mut x = b[0];
    for i in 1..n {
        let factor = off[i - 1] * inverse;
        inverse = (diagonal[i] - factor * off[i - 1]).recip();
        diagonal[i] = inverse;
        x = b[i] - factor * x;
        b[i] = x;
    }
    x = b[n - 1] * inverse;
    b[n - 1] = x;
    for i in (0..n - 1).rev() {
        x = (b[i] - off[i] * x) * diagonal[i];
        b[i] = x;
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
