//! The two drawings of a quantity: ours against the reference, and what is used of the tolerance.

use crate::Words;
use crate::case::Case;
use crate::html::{escape, small};
use crate::table::Outcome;
use std::fmt::Write;

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 210.0;
const TOP: f64 = 22.0;
const BOTTOM: f64 = 172.0;
/// Left and right ends of the drawings.
const FIRST: [f64; 2] = [66.0, 366.0];
const SECOND: [f64; 2] = [444.0, 744.0];
/// Largest use of a tolerance that is drawn where it is; what uses more stands at the edge.
const USED_MOST: f64 = 1.5;

/// An axis, straight or by powers of ten.
#[derive(Clone, Debug, PartialEq)]
struct Axis {
    from: f64,
    until: f64,
    powers: bool,
    ticks: Vec<f64>,
}

impl Axis {
    /// An axis that holds all values: by powers of ten where they are positive and lie far apart.
    fn holding(values: impl Iterator<Item = f64>) -> Self {
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.filter(|v| v.is_finite()) {
            (least, most) = (least.min(value), most.max(value));
        }
        if least > most {
            (least, most) = (0.0, 1.0);
        }
        if least > 0.0 && most > 30.0 * least {
            return Self::by_powers(least, most);
        }
        let room = if most > least {
            0.05 * (most - least)
        } else {
            (0.1 * least.abs()).max(1.0e-9)
        };
        let (from, until) = (least - room, most + room);
        let step = step(until - from);
        let first = libm::ceil(from / step);
        let ticks = (0..8).map(|i| (first + f64::from(i)) * step);
        Self {
            from,
            until,
            powers: false,
            ticks: ticks.filter(|t| *t <= until).collect(),
        }
    }

    fn by_powers(least: f64, most: f64) -> Self {
        let (from, until) = (libm::log10(least), libm::log10(most));
        let room = 0.05 * (until - from);
        let (from, until) = (from - room, until + room);
        // Every power, or every other where there are many.
        let step = libm::ceil((until - from) / 6.0).max(1.0);
        let first = libm::ceil(from);
        let ticks = (0..8).map(|i| first + f64::from(i) * step);
        Self {
            from,
            until,
            powers: true,
            ticks: ticks
                .filter(|t| *t <= until)
                .map(|t| libm::pow(10.0, t))
                .collect(),
        }
    }

    /// How far along the axis a value lies, 0 to 1.
    fn share(&self, value: f64) -> f64 {
        let value = if self.powers {
            libm::log10(value)
        } else {
            value
        };
        let share = (value - self.from) / (self.until - self.from);
        if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.0
        }
    }
}

/// A step of 1, 2 or 5 times a power of ten, with at most five in a span.
fn step(span: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(span / 5.0)));
    let wanted = [1.0, 2.0, 5.0, 10.0].into_iter().map(|of| of * power);
    wanted.into_iter().find(|s| 5.0 * s >= span).unwrap_or(span)
}

fn across([left, right]: [f64; 2], share: f64) -> f64 {
    left + share * (right - left)
}

fn up(share: f64) -> f64 {
    BOTTOM - share * (BOTTOM - TOP)
}

/// A frame with a name over it, and the axis below it.
fn frame(out: &mut String, ends: [f64; 2], name: &str, axis: &Axis, below: &str) {
    write!(
        out,
        "<text class=\"panel\" x=\"{}\" y=\"{}\">{}</text>",
        ends[0],
        TOP - 8.0,
        escape(name)
    )
    .ok();
    for tick in &axis.ticks {
        let x = across(ends, axis.share(*tick));
        write!(
            out,
            "<path class=\"grid\" d=\"M{x:.1},{TOP}V{BOTTOM}\"/>\
             <text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            BOTTOM + 13.0,
            small_tick(*tick)
        )
        .ok();
    }
    write!(
        out,
        "<rect class=\"frame\" x=\"{}\" y=\"{TOP}\" width=\"{}\" height=\"{}\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
        ends[0],
        ends[1] - ends[0],
        BOTTOM - TOP,
        0.5 * (ends[0] + ends[1]),
        BOTTOM + 28.0,
        escape(below)
    )
    .ok();
}

fn level(out: &mut String, ends: [f64; 2], share: f64, name: &str) {
    let y = up(share);
    write!(
        out,
        "<path class=\"grid\" d=\"M{},{y:.1}H{}\"/>\
         <text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
        ends[0],
        ends[1],
        ends[0] - 5.0,
        y + 3.5,
        escape(name)
    )
    .ok();
}

/// Ticks are round, so that three digits tell them.
fn small_tick(value: f64) -> String {
    let text = crate::html::shown(value);
    if text.len() > 7 { small(value) } else { text }
}

/// One path of dots, those that fail in another class.
fn dots(out: &mut String, cases: &[Case], place: impl Fn(&Case) -> (f64, f64)) {
    for (class, verdict) in [("pass", "pass"), ("fail", "fail")] {
        let mut path = String::new();
        for case in cases.iter().filter(|c| c.verdict.id() == verdict) {
            let (x, y) = place(case);
            // Of no length it would be nothing to some who draw it.
            write!(path, "M{x:.1},{y:.1}h.01").ok();
        }
        if !path.is_empty() {
            write!(out, "<path class=\"dots {class}\" d=\"{path}\"/>").ok();
        }
    }
}

/// The drawings of a quantity.
pub fn figure(outcome: &Outcome, words: &Words) -> String {
    let cases = &outcome.cases;
    let unit = outcome.quantity.unit;
    let title = words(&outcome.quantity.title_id(), &[]);
    let with_unit = |which: &str| match unit {
        "1" => words(&format!("qualify-plot-{which}-bare"), &[]),
        unit => words(
            &format!("qualify-plot-{which}"),
            &[("unit", unit.to_owned())],
        ),
    };
    let axis = Axis::holding(cases.iter().flat_map(|c| [c.reference, c.ours]));
    let mut out = String::new();
    write!(
        out,
        "<figure><svg class=\"chart\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-label=\"{}\">",
        escape(&words("qualify-plot", &[("title", title)]))
    )
    .ok();
    let against = with_unit("reference");
    frame(&mut out, FIRST, &with_unit("ours"), &axis, &against);
    for tick in &axis.ticks {
        level(&mut out, FIRST, axis.share(*tick), &small_tick(*tick));
    }
    write!(
        out,
        "<path class=\"curve second\" d=\"M{},{}L{},{}\"/>",
        FIRST[0],
        up(0.0),
        FIRST[1],
        up(1.0)
    )
    .ok();
    dots(&mut out, cases, |case| {
        (
            across(FIRST, axis.share(case.reference)),
            up(axis.share(case.ours)),
        )
    });

    let used = |value: f64| 0.5 + 0.5 * value / USED_MOST;
    write!(
        out,
        "<rect class=\"table\" x=\"{}\" y=\"{:.1}\" width=\"{}\" height=\"{:.1}\"/>",
        SECOND[0],
        up(used(1.0)),
        SECOND[1] - SECOND[0],
        up(used(-1.0)) - up(used(1.0))
    )
    .ok();
    frame(
        &mut out,
        SECOND,
        &words("qualify-plot-deviation", &[]),
        &axis,
        &against,
    );
    for (value, name) in [(-1.0, "\u{2212}1"), (0.0, "0"), (1.0, "+1")] {
        level(&mut out, SECOND, used(value), name);
    }
    dots(&mut out, cases, |case| {
        let of = case.deviation() / case.tolerance;
        let of = if of.is_nan() { USED_MOST } else { of };
        let share = used(of.clamp(-USED_MOST, USED_MOST));
        (across(SECOND, axis.share(case.reference)), up(share))
    });
    out.push_str("</svg></figure>");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_holds_its_values_with_few_round_ticks() {
        let axis = Axis::holding([2.0, 9.0].into_iter());
        assert!(axis.ticks.len() >= 3 && axis.ticks.len() <= 6, "{axis:?}");
        assert!(axis.share(2.0) > 0.0 && axis.share(9.0) < 1.0 && !axis.powers);
        let wide = Axis::holding([0.01, 5_000.0].into_iter());
        assert!(wide.powers && wide.ticks == [0.01, 1.0, 100.0], "{wide:?}");
        assert!((wide.share(1.0) - 0.37).abs() < 0.05);
    }

    #[test]
    fn whatever_is_measured_there_is_an_axis() {
        for values in [
            vec![],
            vec![f64::NAN],
            vec![0.0],
            vec![5.0, 5.0],
            vec![-3.0, 0.0],
            vec![1.0e-300, 1.0e300],
            vec![f64::INFINITY, 1.0],
        ] {
            let axis = Axis::holding(values.iter().copied());
            assert!(axis.ticks.len() <= 8, "{values:?} {axis:?}");
            for value in values {
                assert!((0.0..=1.0).contains(&axis.share(value)));
            }
        }
    }
}
