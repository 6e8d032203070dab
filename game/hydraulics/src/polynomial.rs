//! A polynomial that is right at given places.

/// Places from 0 to 1 that crowd at both ends (extrema of Chebyshev's polynomial), both ends
/// among them. Source: \[chebyshev\].
pub(crate) fn crowded<const N: usize>() -> [f64; N] {
    core::array::from_fn(|k| {
        let angle = core::f64::consts::PI * k as f64 / (N - 1) as f64;
        0.5 - 0.5 * libm::cos(angle)
    })
}

/// Coefficients over rising powers of the polynomial that takes `values` at the places `at`.
/// Source: \[mathematics\].
pub(crate) fn through<const N: usize>(at: &[f64; N], values: [f64; N]) -> [f64; N] {
    // Newton's divided differences, and from his form to powers.
    let mut divided = values;
    for order in 1..N {
        for k in (order..N).rev() {
            divided[k] = (divided[k] - divided[k - 1]) / (at[k] - at[k - order]);
        }
    }
    let mut powers = [0.0; N];
    for k in (0..N).rev() {
        // powers = powers (x - at[k]) + divided[k]
        for power in (1..N).rev() {
            powers[power] = powers[power - 1] - at[k] * powers[power];
        }
        powers[0] = divided[k] - at[k] * powers[0];
    }
    powers
}

/// Value and slope at a place.
pub(crate) fn value_and_slope<const N: usize>(powers: &[f64; N], x: f64) -> (f64, f64) {
    let (mut value, mut slope) = (0.0, 0.0);
    for c in powers.iter().rev() {
        slope = slope * x + value;
        value = value * x + c;
    }
    (value, slope)
}
