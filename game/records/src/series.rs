//! A measured quantity over time, thin enough to draw.

/// The most points of a drawn series: more than a picture has room for.
pub const POINTS_MOST: usize = 2000;

/// A quantity that the report draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Pressure at the pump's outlet, bar.
    PumpPressure,
    /// Pressure the regulator is set to, bar.
    SetPressure,
    /// What the needle of the gauge shows, bar.
    Gauge,
    /// Flow out of the tool, litres per minute.
    ToolFlow,
    /// Flow through the bypass regulator, litres per minute.
    BypassFlow,
    /// Thrust of the jet on the tool, newtons.
    Thrust,
    /// From the tip to the surface along the line of the tool, millimetres.
    StandOff,
    /// Speed of the jet along the surface, millimetres per second.
    TravelSpeed,
}

impl Quantity {
    /// All quantities, in the order in which they are drawn.
    pub const ALL: [Quantity; 8] = [
        Quantity::PumpPressure,
        Quantity::SetPressure,
        Quantity::Gauge,
        Quantity::ToolFlow,
        Quantity::BypassFlow,
        Quantity::Thrust,
        Quantity::StandOff,
        Quantity::TravelSpeed,
    ];

    /// Whether it says something of a surface, and nothing where there is none.
    pub fn is_of_surface(self) -> bool {
        matches!(self, Quantity::StandOff | Quantity::TravelSpeed)
    }

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Quantity::PumpPressure => "pump_pressure",
            Quantity::SetPressure => "set_pressure",
            Quantity::Gauge => "gauge",
            Quantity::ToolFlow => "tool_flow",
            Quantity::BypassFlow => "bypass_flow",
            Quantity::Thrust => "thrust",
            Quantity::StandOff => "stand_off",
            Quantity::TravelSpeed => "travel_speed",
        }
    }
}

/// A quantity over a short time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Middle of the time, seconds from the start of the attempt.
    pub time_s: f64,
    /// Least value in that time, in the quantity's unit.
    pub min: f64,
    /// Mean value over that time.
    pub mean: f64,
    /// Greatest value in that time.
    pub max: f64,
}

impl Point {
    /// A point that is not drawn.
    pub const GAP: Point = Point {
        time_s: f64::NAN,
        min: f64::NAN,
        mean: f64::NAN,
        max: f64::NAN,
    };

    /// Whether all of it is a number that can be drawn.
    pub fn is_sound(&self) -> bool {
        [self.time_s, self.min, self.mean, self.max]
            .iter()
            .all(|v| v.is_finite())
    }
}

/// A quantity over an attempt.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// The quantity.
    pub quantity: Quantity,
    /// Its values, in the order of time. Values that are not finite are not
    /// drawn: where they stand, the line has a gap.
    pub points: Vec<Point>,
}

impl Series {
    /// Brings the series down to at most `most` points. Neighbours are put
    /// together into one point with the least of their minima, the greatest of
    /// their maxima and the mean of their means, so that a spike of one sample
    /// is still there afterwards; to leave points out would lose it. A gap that
    /// is longer than that stays a gap.
    #[must_use]
    pub fn thin(self, most: usize) -> Self {
        let count = self.points.len();
        if count <= most || most == 0 {
            return self;
        }
        let each = count.div_ceil(most);
        Series {
            quantity: self.quantity,
            points: self.points.chunks(each).map(together).collect(),
        }
    }

    /// The stretches between gaps, each with at least one point.
    pub fn stretches(&self) -> impl Iterator<Item = &[Point]> {
        let all = self.points.split(|p| !p.is_sound());
        all.filter(|stretch| !stretch.is_empty())
    }

    /// The points that can be drawn.
    pub fn sound(&self) -> impl Iterator<Item = &Point> + Clone {
        self.points.iter().filter(|p| p.is_sound())
    }
}

/// One point for several neighbours; one that cannot be drawn where none of
/// them can.
fn together(neighbours: &[Point]) -> Point {
    let mut points = neighbours.iter().filter(|p| p.is_sound());
    let Some(first) = points.next() else {
        return Point::GAP;
    };
    let (mut last, mut whole, mut sum, mut count) = (first, *first, first.mean, 1.0);
    for point in points {
        whole.min = whole.min.min(point.min);
        whole.max = whole.max.max(point.max);
        sum += point.mean;
        count += 1.0;
        last = point;
    }
    whole.time_s = 0.5 * (first.time_s + last.time_s);
    whole.mean = sum / count;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flat_with(spikes: &[(usize, f64)], count: usize) -> Series {
        let mut points: Vec<Point> = (0..count)
            .map(|i| Point {
                time_s: i as f64 * 0.05,
                min: 99.0,
                mean: 100.0,
                max: 101.0,
            })
            .collect();
        for &(at, value) in spikes {
            points[at].min = points[at].min.min(value);
            points[at].max = points[at].max.max(value);
        }
        Series {
            quantity: Quantity::PumpPressure,
            points,
        }
    }

    fn extremes(points: &[Point]) -> (f64, f64) {
        points
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
                (low.min(p.min), high.max(p.max))
            })
    }

    #[test]
    fn thinning_keeps_a_spike_and_a_dip_that_leaving_points_out_loses() {
        let series = flat_with(&[(10_001, 263.0), (17_003, 4.0)], 24_000);
        let every_twelfth: Vec<Point> = series.points.iter().step_by(12).copied().collect();
        assert_eq!(extremes(&every_twelfth), (99.0, 101.0), "the naive way");
        let before = extremes(&series.points);
        let thin = series.thin(POINTS_MOST);
        assert!(thin.points.len() <= POINTS_MOST, "{}", thin.points.len());
        assert_eq!(extremes(&thin.points), before);
        let spike = thin.points.iter().find(|p| p.max == 263.0);
        let moved_s = (spike.expect("the spike").time_s - 10_001.0 * 0.05).abs();
        assert!(moved_s <= 0.5 * 12.0 * 0.05, "{moved_s}");
    }

    #[test]
    fn no_count_of_points_is_thinned_to_more_than_the_most() {
        for count in [0, 1, 1999, 2000, 2001, 3999, 4001, 24_000] {
            let thin = flat_with(&[], count).thin(POINTS_MOST);
            assert!(thin.points.len() <= POINTS_MOST, "{count}");
            assert_eq!(thin.points.is_empty(), count == 0);
        }
    }

    #[test]
    fn thinning_keeps_the_mean_and_the_order() {
        let mut series = flat_with(&[], 20_000);
        for (i, point) in series.points.iter_mut().enumerate() {
            point.mean = (i % 97) as f64;
        }
        let mean =
            |points: &[Point]| points.iter().map(|p| p.mean).sum::<f64>() / points.len() as f64;
        let before = mean(&series.points);
        let thin = series.thin(POINTS_MOST);
        // Ten neighbours make each point, so this is exact but for rounding.
        assert!((mean(&thin.points) - before).abs() < 1e-9);
        assert!(thin.points.windows(2).all(|w| w[0].time_s < w[1].time_s));
    }

    #[test]
    fn a_long_gap_is_still_a_gap_when_the_series_is_thin_and_a_short_one_closes() {
        let mut series = flat_with(&[], 20_000);
        series.points[7_000..9_000].fill(Point::GAP);
        series.points[12_003] = Point::GAP;
        assert_eq!(series.stretches().count(), 3);
        let thin = series.thin(POINTS_MOST);
        let ends: Vec<f64> = thin.stretches().map(|s| s[0].time_s).collect();
        assert_eq!(ends.len(), 2);
        assert!((ends[1] - 9_000.0 * 0.05).abs() < 0.5, "{ends:?}");
    }

    #[test]
    fn few_points_are_left_as_they_are() {
        let series = flat_with(&[(3, 500.0)], 200);
        assert_eq!(series.clone().thin(POINTS_MOST), series);
    }

    #[test]
    fn values_that_are_no_numbers_do_not_spread() {
        let mut series = flat_with(&[(5, 150.0)], 5000);
        series.points[4].max = f64::INFINITY;
        series.points[6].mean = f64::NAN;
        assert_eq!(extremes(&series.thin(POINTS_MOST).points), (99.0, 150.0));
    }
}
