//! Ticks that read well.

/// An axis from zero up.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Axis {
    /// Value at the far end, always above zero; the near one is zero.
    pub until: f64,
    /// Values that get a tick.
    pub ticks: Vec<f64>,
    /// Decimals that the ticks need.
    pub decimals: usize,
}

impl Axis {
    /// An axis from zero that holds every value up to `most`, with at most
    /// `intervals` steps of 1, 2 or 5 times a power of ten.
    pub fn up_to(most: f64, intervals: u32) -> Self {
        // What is measured is far below this; what is not must not hang us.
        let most = if most.is_finite() && most > 0.0 {
            most.min(1e12)
        } else {
            1.0
        };
        let intervals = f64::from(intervals.max(1));
        let (mut power, mut decimals) = (0.001, 3_usize);
        let step = 'found: loop {
            for of_ten in [1.0, 2.0, 5.0] {
                if of_ten * power * intervals >= most {
                    break 'found of_ten * power;
                }
            }
            power *= 10.0;
            decimals = decimals.saturating_sub(1);
        };
        let count = (most / step).ceil().max(1.0);
        Axis {
            until: count * step,
            ticks: multiples(count * step, step),
            decimals,
        }
    }

    /// The time from the start, with at most `intervals` steps of whole seconds
    /// or minutes.
    pub fn of_time(until_s: f64, intervals: u32) -> Self {
        let until_s = if until_s.is_finite() {
            until_s.max(1.0)
        } else {
            1.0
        };
        let intervals = f64::from(intervals.max(1));
        let steps = [
            1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0,
        ];
        let wanted = until_s / intervals;
        let step = steps
            .into_iter()
            .find(|s| *s >= wanted)
            .unwrap_or_else(|| (wanted / 3600.0).ceil() * 3600.0);
        Axis {
            until: until_s,
            ticks: multiples(until_s, step),
            decimals: 0,
        }
    }

    /// How far along the axis a value is, 0 to 1; values beyond it are at its
    /// ends.
    pub fn share(&self, value: f64) -> f64 {
        (value / self.until).clamp(0.0, 1.0)
    }
}

/// The multiples of `step` from zero to `until`.
fn multiples(until: f64, step: f64) -> Vec<f64> {
    // A quotient may lie a hair below the whole number it stands for.
    let count = (until / step + 1e-9).floor().clamp(0.0, 100.0) as u32;
    (0..=count).map(|i| f64::from(i) * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_hold_the_greatest_value() {
        let axis = Axis::up_to(412.0, 5);
        assert_eq!(axis.ticks, [0.0, 100.0, 200.0, 300.0, 400.0, 500.0]);
        assert_eq!(Axis::up_to(0.3, 3).ticks.len(), 4);
        assert_eq!(Axis::up_to(0.3, 3).decimals, 1);
        assert_eq!(Axis::up_to(95.0, 3).ticks, [0.0, 50.0, 100.0]);
    }

    #[test]
    fn every_axis_has_few_ticks_whatever_is_measured() {
        for most in [
            0.0,
            -5.0,
            1e-9,
            1.0,
            9.99,
            10.0,
            1e9,
            1e300,
            f64::NAN,
            f64::INFINITY,
        ] {
            for intervals in [0, 1, 3, 5] {
                let axis = Axis::up_to(most, intervals);
                assert!(axis.ticks.len() <= intervals.max(1) as usize + 1, "{most}");
                assert!(axis.ticks.len() >= 2, "{most} {axis:?}");
                assert!(axis.until > 0.0);
            }
        }
    }

    #[test]
    fn time_is_told_in_whole_steps() {
        assert_eq!(
            Axis::of_time(600.0, 10).ticks,
            (0..=10).map(|i| f64::from(i) * 60.0).collect::<Vec<_>>()
        );
        assert_eq!(Axis::of_time(100.0, 12).ticks[1], 10.0);
        assert!(Axis::of_time(1e7, 10).ticks.len() <= 11);
        assert!(!Axis::of_time(0.0, 10).ticks.is_empty());
    }

    #[test]
    fn a_share_never_leaves_the_axis() {
        let axis = Axis::of_time(20.0, 5);
        assert_eq!(axis.share(10.0), 0.5);
        assert_eq!(axis.share(-5.0), 0.0);
        assert_eq!(axis.share(25.0), 1.0);
    }
}
