//! What leaves a volume through its openings in one step.
//!
//! A volume between two steps of a wave is filled or emptied through square-root openings, some of
//! which move with its pressure. It can be small, so that it empties in a fraction of a step:
//! explicit formulas would swing. The two implicit stages of SDIRK2 (R. Alexander, SIAM J. Numer.
//! Anal. 14(6), 1977) are of second order and damp what is faster than the step; where the second
//! would reach below atmosphere, one stage of backward Euler empties the volume and no more.
//! Sources: \[alexander1977\], \[continuity\].

use crate::orifice::Conductance;
use crate::storage::Law;
use core::f64::consts::FRAC_1_SQRT_2;

/// Share of the step that each implicit stage takes. Source: \[alexander1977\].
const STAGE: f64 = 1.0 - FRAC_1_SQRT_2;
/// How far the second stage's base lies beyond the first stage's end, as a multiple of what the
/// first stage changed.
const ONWARD: f64 = (1.0 - STAGE) / STAGE;

/// Newton's method is done once a step has moved by less than this share of what the volume holds beyond
/// its content without pressure: what is left then is of the order of its square.
/// Source: \[mathematics\].
const CLOSE_ENOUGH: f64 = 1.0e-6;

/// Openings of one volume, all to atmosphere.
pub trait Openings: Clone {
    /// Makes ready for a stage that begins at a pressure.
    fn begin(&mut self, pressure_pa: f64, dt_s: f64);
    /// Mass flow out, kg/s, and its slope at a pressure at the stage's end: rising, nil at and
    /// below zero.
    fn flow(&self, pressure_pa: f64) -> (f64, f64);
    /// Takes over the end of the stage.
    fn commit(&mut self, pressure_pa: f64, dt_s: f64);
    /// Counts the stage's flow by its weight in the step.
    fn count(&mut self, pressure_pa: f64, weight: f64);
    /// Goes on to so many times the way from where it began.
    fn onward(&mut self, began: &Self, times: f64);
}

impl Openings for Conductance {
    fn begin(&mut self, _: f64, _: f64) {}
    fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        (self.mass_flow(pressure_pa), self.slope(pressure_pa))
    }
    fn commit(&mut self, _: f64, _: f64) {}
    fn count(&mut self, _: f64, _: f64) {}
    fn onward(&mut self, _: &Self, _: f64) {}
}

/// Openings of which nothing need be known but what they pass at a pressure.
#[derive(Clone, Copy, Debug)]
pub struct Passing<F>(pub F);

impl<F: Fn(f64) -> (f64, f64) + Clone> Openings for Passing<F> {
    fn begin(&mut self, _: f64, _: f64) {}
    fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        (self.0)(pressure_pa)
    }
    fn commit(&mut self, _: f64, _: f64) {}
    fn count(&mut self, _: f64, _: f64) {}
    fn onward(&mut self, _: &Self, _: f64) {}
}

/// A volume before the step, and what comes in meanwhile.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Filling<'a> {
    pub law: &'a Law,
    pub mass_kg: f64,
    pub pressure_pa: f64,
    /// Net mass flow in through everything but the openings, kg/s.
    pub inflow_kg_s: f64,
}

impl Filling<'_> {
    /// Mean mass flow out through the openings in a step, kg/s. `weight` is the step's share of
    /// what is counted.
    pub fn drain(&self, openings: &mut impl Openings, dt_s: f64, weight: f64) -> f64 {
        let began = openings.clone();
        let stage_s = STAGE * dt_s;

        openings.begin(self.pressure_pa, stage_s);
        let first = self.stage(self.mass_kg, openings, stage_s);
        openings.commit(first.pressure_pa, stage_s);
        let base_kg = self.mass_kg + ONWARD * (first.mass_kg - self.mass_kg);
        if base_kg < self.law.at_zero_kg() {
            *openings = began;
            openings.begin(self.pressure_pa, dt_s);
            let whole = self.stage(self.mass_kg, openings, dt_s);
            openings.commit(whole.pressure_pa, dt_s);
            openings.count(whole.pressure_pa, weight);
            return whole.out_kg_s;
        }
        openings.count(first.pressure_pa, (1.0 - STAGE) * weight);
        openings.onward(&began, ONWARD);

        openings.begin(first.pressure_pa, stage_s);
        let second = self.stage(base_kg, openings, stage_s);
        openings.commit(second.pressure_pa, stage_s);
        openings.count(second.pressure_pa, STAGE * weight);
        (1.0 - STAGE) * first.out_kg_s + STAGE * second.out_kg_s
    }

    /// Root of `mass = base + dt (inflow - out(mass))`: Newton's method within a closing bracket.
    /// Sources: \[alexander1977\], \[mathematics\].
    fn stage(&self, base_kg: f64, openings: &impl Openings, dt_s: f64) -> Stage {
        let without_kg = base_kg + dt_s * self.inflow_kg_s;
        let (mut pressure_pa, mut slope) = self.law.pressure_and_slope(without_kg);
        let (mut low, mut high) = (self.law.at_zero_kg(), without_kg);
        if without_kg <= low {
            return Stage {
                mass_kg: without_kg,
                pressure_pa,
                out_kg_s: 0.0,
            };
        }
        // Where it stands is the better guess, unless it is outside.
        let mut mass_kg = without_kg;
        if self.mass_kg > low && self.mass_kg < high {
            mass_kg = self.mass_kg;
            (pressure_pa, slope) = self.law.pressure_and_slope(mass_kg);
        }
        let mut out = openings.flow(pressure_pa);
        for _ in 0..60 {
            let excess = mass_kg - without_kg + dt_s * out.0;
            if excess > 0.0 {
                high = mass_kg;
            } else {
                low = mass_kg;
            }
            let newton = mass_kg - excess / (1.0 + dt_s * out.1 * slope);
            let next = if newton >= low && newton <= high {
                newton
            } else {
                0.5 * (low + high)
            };
            let moved = (next - mass_kg).abs();
            mass_kg = next;
            (pressure_pa, slope) = self.law.pressure_and_slope(mass_kg);
            out = openings.flow(pressure_pa);
            let beyond_kg = (mass_kg - self.law.at_zero_kg()).max(1.0e-7 * mass_kg);
            if moved <= CLOSE_ENOUGH * beyond_kg {
                break;
            }
        }
        Stage {
            mass_kg,
            pressure_pa,
            out_kg_s: out.0,
        }
    }
}

struct Stage {
    mass_kg: f64,
    pressure_pa: f64,
    out_kg_s: f64,
}
