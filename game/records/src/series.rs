//! A channel over time, thinned so that a picture can show it.

/// One moment of a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Time, seconds.
    pub time_s: f64,
    /// Least value since the point before.
    pub min: f64,
    /// Greatest value since the point before.
    pub max: f64,
}

/// A channel over time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Series {
    /// Its points, in the order of time.
    pub points: Vec<Point>,
}

impl Series {
    /// The series with at most `most` points: neighbours are put together and
    /// keep their least and greatest values, so that no peak is lost.
    pub fn thin(&self, most: usize) -> Series {
        let run = self.points.len().div_ceil(most.max(1)).max(1);
        let points = self
            .points
            .chunks(run)
            .map(|chunk| Point {
                time_s: chunk[chunk.len() / 2].time_s,
                min: chunk.iter().map(|p| p.min).fold(f64::INFINITY, f64::min),
                max: chunk
                    .iter()
                    .map(|p| p.max)
                    .fold(f64::NEG_INFINITY, f64::max),
            })
            .collect();
        Series { points }
    }

    /// The greatest value; 0 for an empty series.
    pub fn highest(&self) -> f64 {
        self.points.iter().map(|p| p.max).fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spike() -> Series {
        let points = (0..10_000)
            .map(|n| {
                let value = if n == 7_777 { 900.0 } else { 10.0 };
                Point {
                    time_s: f64::from(n),
                    min: value,
                    max: value,
                }
            })
            .collect();
        Series { points }
    }

    #[test]
    fn thinning_keeps_a_single_peak_that_picking_every_tenth_point_loses() {
        let whole = spike();
        let thin = whole.thin(1000);
        assert!(thin.points.len() <= 1000);
        assert_eq!(thin.highest(), 900.0);
        let picked = whole.points.iter().step_by(10);
        assert!(picked.map(|p| p.max).fold(0.0, f64::max) < 900.0);
    }

    #[test]
    fn a_short_series_stays_as_it_is() {
        let mut short = spike();
        short.points.truncate(5);
        assert_eq!(short.thin(1000), short);
        assert_eq!(Series::default().thin(10), Series::default());
    }
}
