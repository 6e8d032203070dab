//! What is drawn over time, and which stretch of it.

use super::units;
use crate::settings::Units;
use bevy_egui::egui;
use egui_plot::PlotPoint;
use records::{Quantity, Sheet};
use std::sync::Arc;

/// The narrowest stretch of time that is shown, seconds.
const NARROWEST_S: f64 = 5.0;

/// What is drawn together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Panel {
    Pressure,
    Flow,
    Thrust,
    TravelSpeed,
    StandOff,
}

impl Panel {
    pub(super) const ALL: [Panel; 5] = [
        Panel::Pressure,
        Panel::Flow,
        Panel::Thrust,
        Panel::TravelSpeed,
        Panel::StandOff,
    ];

    pub(super) fn quantities(self) -> &'static [Quantity] {
        match self {
            Panel::Pressure => &[
                Quantity::PumpPressure,
                Quantity::SetPressure,
                Quantity::Gauge,
            ],
            Panel::Flow => &[Quantity::ToolFlow, Quantity::BypassFlow],
            Panel::Thrust => &[Quantity::Thrust],
            Panel::TravelSpeed => &[Quantity::TravelSpeed],
            Panel::StandOff => &[Quantity::StandOff],
        }
    }

    pub(super) fn id(self) -> &'static str {
        match self {
            Panel::Pressure => "pressure",
            Panel::Flow => "flow",
            Panel::Thrust => "thrust",
            Panel::TravelSpeed => "travel_speed",
            Panel::StandOff => "stand_off",
        }
    }

    /// Whether it is shown until somebody chooses.
    fn is_usual(self) -> bool {
        self != Panel::StandOff
    }
}

/// A stretch of a curve without a gap.
pub(super) struct Stretch {
    pub mean: Vec<PlotPoint>,
    pub time_s: Vec<f64>,
    pub min: Vec<f64>,
    pub max: Vec<f64>,
}

/// A quantity, ready to be drawn.
pub(super) struct Curve {
    pub quantity: Quantity,
    pub stretches: Vec<Stretch>,
    pub most: f64,
}

/// What the time line keeps from picture to picture.
#[derive(Default)]
pub(super) struct Line {
    /// The stretch of time on show, seconds; the whole attempt without one.
    window_s: Option<[f64; 2]>,
    /// Panels that were switched from what is usual.
    pub switched: [bool; Panel::ALL.len()],
    /// The curves, and what they were made of.
    pub curves: Vec<Curve>,
    of: Option<(Arc<Sheet>, Units)>,
    /// The widget that the keys of the cursor belong to.
    pub id: Option<egui::Id>,
}

impl Line {
    pub(super) fn shows(&self, panel: Panel) -> bool {
        panel.is_usual() != self.switched[panel as usize]
    }

    pub(super) fn window(&self, until_s: f64) -> [f64; 2] {
        self.window_s.unwrap_or([0.0, until_s.max(1.0)])
    }

    /// Makes the curves, where they are not there yet.
    pub(super) fn draw_up(&mut self, sheet: &Arc<Sheet>, units: Units) {
        let made = self.of.as_ref();
        if made.is_some_and(|(of, in_units)| Arc::ptr_eq(of, sheet) && *in_units == units) {
            return;
        }
        self.of = Some((sheet.clone(), units));
        self.curves = (sheet.series.iter())
            .map(|series| {
                let by = units::factor(units, series.quantity);
                let stretches: Vec<Stretch> = (series.stretches())
                    .map(|points| Stretch {
                        mean: (points.iter())
                            .map(|p| PlotPoint::new(p.time_s, by * p.mean))
                            .collect(),
                        time_s: points.iter().map(|p| p.time_s).collect(),
                        min: points.iter().map(|p| by * p.min).collect(),
                        max: points.iter().map(|p| by * p.max).collect(),
                    })
                    .collect();
                let most = series.sound().map(|p| by * p.max).fold(0.0, f64::max);
                Curve {
                    quantity: series.quantity,
                    stretches,
                    most,
                }
            })
            .collect();
    }

    /// Zooms about a moment, within the attempt.
    pub(super) fn zoom(&mut self, until_s: f64, about_s: f64, by: f64) {
        let [from, to] = self.window(until_s);
        let length = ((to - from) * by).clamp(NARROWEST_S.min(until_s), until_s.max(1.0));
        if length >= until_s - 1e-6 {
            self.window_s = None;
            return;
        }
        let share = ((about_s - from) / (to - from)).clamp(0.0, 1.0);
        let from = (about_s - share * length).clamp(0.0, until_s - length);
        self.window_s = Some([from, from + length]);
    }

    /// Moves what is on show along with the cursor.
    pub(super) fn follow(&mut self, until_s: f64, cursor_s: f64) {
        if let Some([from, to]) = self.window_s
            && !(from..=to).contains(&cursor_s)
        {
            let length = to - from;
            let from = (cursor_s - 0.1 * length).clamp(0.0, (until_s - length).max(0.0));
            self.window_s = Some([from, from + length]);
        }
    }
}

impl Curve {
    /// The mean value at a moment.
    pub(super) fn at(&self, at_s: f64) -> Option<f64> {
        let mut stretches = self.stretches.iter();
        let stretch = stretches.find(|s| {
            let (first, last) = (s.time_s.first(), s.time_s.last());
            let step = 1.0;
            first.is_some_and(|f| *f - step <= at_s) && last.is_some_and(|l| at_s <= *l + step)
        })?;
        let after = stretch.time_s.partition_point(|t| *t < at_s);
        let near = after.min(stretch.mean.len() - 1);
        Some(stretch.mean[near].y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zooming_stays_within_the_attempt_and_keeps_the_moment() {
        let mut line = Line::default();
        line.zoom(100.0, 90.0, 0.5);
        let [from, to] = line.window(100.0);
        assert!((to - from - 50.0).abs() < 1e-9);
        assert!(from >= 0.0 && to <= 100.0 && (from..=to).contains(&90.0));
        for _ in 0..20 {
            line.zoom(100.0, 90.0, 0.5);
        }
        let [from, to] = line.window(100.0);
        assert!((to - from - NARROWEST_S).abs() < 1e-9);
        for _ in 0..20 {
            line.zoom(100.0, 90.0, 2.0);
        }
        assert_eq!(line.window(100.0), [0.0, 100.0]);
    }

    #[test]
    fn what_is_on_show_goes_along_with_the_cursor() {
        let mut line = Line {
            window_s: Some([10.0, 20.0]),
            ..Line::default()
        };
        line.follow(100.0, 15.0);
        assert_eq!(line.window(100.0), [10.0, 20.0]);
        for cursor_s in [21.0, 3.0, 100.0] {
            line.follow(100.0, cursor_s);
            let [from, to] = line.window(100.0);
            assert!((from..=to).contains(&cursor_s), "{cursor_s}");
            assert!(from >= 0.0 && to <= 100.0 + 1e-9 && (to - from - 10.0).abs() < 1e-9);
        }
    }
}
