//! Numbers changed a little at random, to see what a level owes to each of them.

use std::ops::RangeInclusive;

/// Changes numbers by a share of themselves; the same seed changes them the same way.
#[derive(Clone, Debug)]
pub struct Perturb {
    state: u64,
    share: f64,
}

impl Perturb {
    /// Every number is multiplied by one plus a share between `-share` and `share`.
    #[must_use]
    pub fn new(seed: u64, share: f64) -> Self {
        Self { state: seed, share }
    }

    /// The number changed, but kept in its range.
    pub(super) fn number(&mut self, value: f64, range: &RangeInclusive<f64>) -> f64 {
        let changed = value * (1.0 + self.share * (2.0 * self.unit() - 1.0));
        changed.clamp(*range.start(), *range.end())
    }

    /// A number from 0 up to 1: the top 53 bits of a SplitMix64 step (Steele, Lea and Flood,
    /// "Fast splittable pseudorandom number generators", OOPSLA 2014).
    fn unit(&mut self) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        // 53 bits fit an f64 exactly.
        #[allow(clippy::cast_precision_loss)]
        let top = (z >> 11) as f64;
        top / 9_007_199_254_740_992.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_gives_the_published_sequence() {
        // First outputs of SplitMix64 for the seed 1234567, as published with the reference
        // implementation (from memory): 6457827717110365317, 3203168211198807973.
        let mut perturb = Perturb::new(1_234_567, 0.1);
        let first = 6_457_827_717_110_365_317_u64 >> 11;
        let second = 3_203_168_211_198_807_973_u64 >> 11;
        assert_eq!(perturb.unit() * 9_007_199_254_740_992.0, first as f64);
        assert_eq!(perturb.unit() * 9_007_199_254_740_992.0, second as f64);
    }

    #[test]
    fn numbers_stay_within_the_share_and_the_range() {
        let mut perturb = Perturb::new(7, 0.1);
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for _ in 0..10_000 {
            let changed = perturb.number(100.0, &(0.0..=105.0));
            low = low.min(changed);
            high = high.max(changed);
        }
        assert!((90.0..90.1).contains(&low), "{low}");
        assert_eq!(high, 105.0);
        assert_eq!(Perturb::new(7, 0.1).number(0.0, &(-1.0..=1.0)), 0.0);
    }
}
