//! Jet in the air: pressure where it meets a surface, and what it takes off.
//!
//! **Leaving.** `p0 = rho v^2 / 2`, `F = m v`, and the diameter of a round jet that carries `m`
//! at `v`. With the speed of [`crate::nozzle`], within 0.1 % of isentropic expansion.
//! Sources: \[bernoulli\], \[continuity\].
//!
//! **Decay.** On the axis `p_c = p0` over the core, `x <= X d`, and `p_c = p0 (X d / x)^n` behind
//! it. The form is the usual one for jets of water in air; the speed on the axis was measured as
//! nearly constant up to some 100 d by Rajaratnam and others (1994; figures from memory). `X` is
//! 100 to 150 for a round jet from a well-shaped nozzle and some 20 from a poor one, `n` 1 to 2 (from
//! memory): these belong to the nozzle of a level, and are a model and no measurement. Break-up
//! into drops, the water that is lost as mist, wind and the angle of a worn bore are left out, and
//! so is what a deposit does that is hit by drops instead of a stream.
//! Sources: \[rajaratnam1994\], \[memory\], \[model\].
//!
//! **Footprint.** Square on a surface `p = p_c (1 - 3 s^2 + 2 s^3)`, `s = r / R`, the form of
//! Leach and Walker (1966, from memory). Air slows the jet and takes no momentum away, so the
//! footprint bears all of `F`, `0.3 pi R^2 p_c = F`: `R = 1.291 d sqrt(p0 / p_c)` with
//! `F = 2 p0 pi d^2 / 4`. At `p_c = 0.59 p0` that is `R = 1.68 d`, the radius beyond which Guha,
//! Barron and Balachandar (Journal of Materials Processing Technology 211, 2011) found no
//! cleaning. Sources: \[leach_walker1966\], \[guha2011\], \[continuity\].
//!
//! **Fan.** A sheet that is as wide as a round jet where it leaves and spreads by its angle:
//! `w = d + 2 x tan(spread / 2)`. Its pressure falls as `d / w` besides the decay, and across its
//! thickness the profile bears `F / w` a metre. Even along the width; the share of the momentum
//! that goes sideways, `1 - sin(spread / 2) / (spread / 2)` (2 % at 40 degrees), is left out.
//! A choice of this project after common descriptions of fan jets. Source: \[model\].
//!
//! **Rotating.** A round jet that is led around a cone, so fast that the surface sees its mean.
//! The jet meets the surface at the angle of the cone: the part of its momentum along the normal
//! counts, on a footprint that is longer by the same share, `p cos^2`. The footprint itself is
//! taken as round. Sources: \[continuity\], \[model\].
//!
//! **Removal.** Nothing comes off below a threshold; above it a dose grows with the excess. The
//! form and its numbers are a choice of this project: published values of thresholds and rates
//! scatter by factors. Source: \[model\].

use crate::constant;
use crate::spec::{Ranges, SpecError};
use core::f64::consts::{PI, TAU};
use serde::{Deserialize, Serialize};

/// How a nozzle shapes its jet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum JetKind {
    /// One round jet.
    Round,
    /// A flat fan.
    Fan {
        /// Full angle of the fan, rad; 0.01 to 2.
        spread_rad: f64,
    },
    /// A round jet that is led around a cone.
    Rotating {
        /// Angle between the jet and the axis, rad; 0 to 1.
        cone_rad: f64,
        /// Distance of the jet from the axis where it leaves, m; 0 to 0.1.
        radius_m: f64,
        /// Turns per second; 0.1 to 500.
        turns_per_s: f64,
    },
}

/// How a jet decays.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct JetSpec {
    /// Shape of the jet.
    pub kind: JetKind,
    /// Length of the core in diameters of the jet; 1 to 1000.
    pub core_diameters: f64,
    /// Exponent of the decay of the pressure behind the core; 0.5 to 3.
    pub decay: f64,
}

/// A jet as it leaves the nozzle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exit {
    /// Diameter of a round jet of the same section, m.
    pub diameter_m: f64,
    /// Stagnation pressure, Pa.
    pub stagnation_pa: f64,
    /// Momentum flux, N.
    pub thrust_n: f64,
}

impl Exit {
    /// The jet of a mass flow, kg/s, with a thrust, N, in water of a density at atmospheric
    /// pressure, kg/m3: `v = F / m`, `d = sqrt(4 m / (pi rho v))`, `p0 = rho v^2 / 2`.
    /// Sources: \[bernoulli\], \[continuity\].
    ///
    /// Without flow, or with a value that is not finite, there is no jet.
    pub fn of(mass_flow_kg_s: f64, thrust_n: f64, density_kg_m3: f64) -> Option<Self> {
        if !(mass_flow_kg_s > 0.0 && thrust_n > 0.0 && density_kg_m3 > 0.0) {
            return None;
        }
        let speed = thrust_n / mass_flow_kg_s;
        let area = mass_flow_kg_s / (density_kg_m3 * speed);
        let exit = Self {
            diameter_m: (4.0 * area / PI).sqrt(),
            stagnation_pa: 0.5 * density_kg_m3 * speed * speed,
            thrust_n,
        };
        exit.is_a_jet().then_some(exit)
    }

    /// Whether all of it is positive and finite.
    fn is_a_jet(&self) -> bool {
        [self.diameter_m, self.stagnation_pa, self.thrust_n]
            .iter()
            .all(|v| v.is_finite() && *v > 0.0)
    }
}

/// `integral of (1 - 3 s^2 + 2 s^3) 2 pi s ds` from 0 to 1: the share of `R^2 p_c` that a round
/// footprint bears. Sources: \[mathematics\], \[leach_walker1966\].
const ROUND_SHARE: f64 = 0.3 * PI;

/// Where a jet meets a surface square on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Impact {
    /// Pressure in the middle, Pa.
    pub centre_pa: f64,
    /// From the middle to where nothing is left: radius of a round footprint, half the thickness
    /// of a fan's, m.
    pub half_across_m: f64,
    /// Half the width of a fan's footprint; 0 for a round one, m.
    pub half_along_m: f64,
}

impl JetSpec {
    /// All values out of range.
    ///
    /// # Errors
    /// Each value that is not finite or out of its range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("jet.core_diameters", self.core_diameters, 1.0, 1000.0);
        ranges.check("jet.decay", self.decay, 0.5, 3.0);
        match self.kind {
            JetKind::Round => {}
            JetKind::Fan { spread_rad } => {
                ranges.check("jet.spread_rad", spread_rad, 0.01, 2.0);
            }
            JetKind::Rotating {
                cone_rad,
                radius_m,
                turns_per_s,
            } => {
                ranges.check("jet.cone_rad", cone_rad, 0.0, 1.0);
                ranges.check("jet.radius_m", radius_m, 0.0, 0.1);
                ranges.check("jet.turns_per_s", turns_per_s, 0.1, 500.0);
            }
        }
        ranges.finish()
    }

    /// Where the jet meets a surface square on after so far a way, m. None of it where the way
    /// is so long that nothing is left, or where there is no jet. Laws and limits: see the module.
    pub fn impact(&self, exit: &Exit, way_m: f64) -> Impact {
        if !exit.is_a_jet() {
            return Impact::default();
        }
        let d = exit.diameter_m;
        let way_m = way_m.max(0.0);
        let core_m = self.core_diameters * d;
        let decayed = if way_m > core_m {
            libm::pow(core_m / way_m, self.decay)
        } else {
            1.0
        };
        let axis_pa = exit.stagnation_pa * decayed;
        let impact = match self.kind {
            JetKind::Round | JetKind::Rotating { .. } => Impact {
                centre_pa: axis_pa,
                half_across_m: (exit.thrust_n / (constant::IMPACT.at(2, ROUND_SHARE) * axis_pa))
                    .sqrt(),
                half_along_m: 0.0,
            },
            JetKind::Fan { spread_rad } => {
                let width_m = d + 2.0 * way_m * libm::tan(0.5 * spread_rad);
                let centre_pa = axis_pa * (d / width_m);
                Impact {
                    centre_pa,
                    // Across the sheet the profile bears `half_across p_c` a metre.
                    half_across_m: exit.thrust_n / (centre_pa * width_m),
                    half_along_m: 0.5 * width_m,
                }
            }
        };
        if impact.is_felt() {
            impact
        } else {
            Impact::default()
        }
    }

    /// Where the jet meets a surface that lies square to the axis of the tool, and how it is led
    /// over it while the tool stands still.
    pub fn spot(&self, exit: &Exit, stand_off_m: f64) -> Spot {
        let stand_off_m = stand_off_m.max(0.0);
        let JetKind::Rotating {
            cone_rad,
            radius_m,
            turns_per_s,
        } = self.kind
        else {
            return Spot {
                impact: self.impact(exit, stand_off_m),
                ring_m: 0.0,
                turns_per_s: 0.0,
            };
        };
        let cosine = libm::cos(cone_rad);
        let ring_m = radius_m + stand_off_m * libm::tan(cone_rad);
        if !(cosine > 0.0 && ring_m.is_finite() && turns_per_s.is_finite()) {
            return Spot::default();
        }
        let mut impact = self.impact(exit, stand_off_m / cosine);
        impact.centre_pa *= cosine * cosine;
        Spot {
            impact,
            ring_m: ring_m.abs(),
            turns_per_s: turns_per_s.abs(),
        }
    }
}

/// Where a jet meets a surface, and how it is led around there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// The footprint.
    pub impact: Impact,
    /// Radius of the ring on which it goes around; 0 where it does not, m.
    pub ring_m: f64,
    /// Turns per second; 0 where it does not go around.
    pub turns_per_s: f64,
}

impl Spot {
    /// Integral of the rate of dose along the way of the tool, m/s, mean over the turn: the
    /// chord at `ring sin a` from the middle of the footprint. Source: \[mathematics\].
    fn rate_in_the_middle(&self, removal: &Removal) -> f64 {
        let half = self.impact.half_cut_m(removal.threshold_pa);
        if self.ring_m <= 0.0 {
            return self.impact.rate_on_chord(removal, 0.0);
        }
        let last = libm::asin((half / self.ring_m).min(1.0));
        let chord = |a: f64| {
            self.impact
                .rate_on_chord(removal, self.ring_m * libm::sin(a))
        };
        sum(last, chord) * 2.0 / PI
    }
}

impl Impact {
    /// Whether all of it is finite, and there is some.
    fn is_felt(&self) -> bool {
        self.centre_pa > 0.0
            && self.centre_pa.is_finite()
            && self.half_across_m > 0.0
            && self.half_across_m.is_finite()
            && self.half_along_m.is_finite()
    }

    /// Pressure at a distance from the middle: `across_m` out of a round footprint or through a
    /// fan's thickness, `along_m` along a fan's width (of no matter for a round one), Pa.
    /// Source: \[leach_walker1966\].
    pub fn pressure_pa(&self, across_m: f64, along_m: f64) -> f64 {
        if self.half_along_m > 0.0 && along_m.abs() > self.half_along_m {
            return 0.0;
        }
        let s = across_m.abs() / self.half_across_m;
        // Written so that a NaN gives nothing.
        if s < 1.0 {
            let now = constant::IMPACT.now();
            self.centre_pa * (1.0 - s * s * (now.of(0, 3.0) - now.of(1, 2.0) * s))
        } else {
            0.0
        }
    }

    /// How far from the middle, out or across, the pressure is still above a threshold, m; 0
    /// where it is nowhere. Source: \[mathematics\].
    pub fn half_cut_m(&self, threshold_pa: f64) -> f64 {
        let share = threshold_pa / self.centre_pa;
        // Written so that a NaN gives nothing.
        if !(self.centre_pa > 0.0 && share < 1.0) {
            return 0.0;
        }
        if share <= 0.0 {
            return self.half_across_m;
        }
        // Root of 1 - 3 s^2 + 2 s^3 = share in 0..1: with c = 2 s - 1 it is the triple-angle form.
        let s = 0.5 - libm::sin(libm::asin(2.0 * share - 1.0) / 3.0);
        s.clamp(0.0, 1.0) * self.half_across_m
    }

    /// Integral of the rate of dose along a line, m/s: across a fan, along a chord of a round
    /// footprint so far from its middle.
    fn rate_on_chord(&self, removal: &Removal, off_m: f64) -> f64 {
        let half = self.half_cut_m(removal.threshold_pa);
        let end = (half * half - off_m * off_m).max(0.0).sqrt();
        2.0 * sum(end, |x| {
            let r = (x * x + off_m * off_m).sqrt();
            removal.rate(self.pressure_pa(r, 0.0))
        })
    }

    /// Integral of the rate of dose over the whole footprint, m2/s.
    fn rate_on_all(&self, removal: &Removal) -> f64 {
        if self.half_along_m > 0.0 {
            return 2.0 * self.half_along_m * self.rate_on_chord(removal, 0.0);
        }
        let half = self.half_cut_m(removal.threshold_pa);
        sum(half, |r| TAU * r * removal.rate(self.pressure_pa(r, 0.0)))
    }
}

/// Parts of the integrals here.
const PARTS: u32 = 256;

/// Integral from 0 to `to` by the rule of midpoints: for the exponents in use good to 1e-4.
/// Source: \[mathematics\].
fn sum(to: f64, of: impl Fn(f64) -> f64) -> f64 {
    let part = to / f64::from(PARTS);
    (0..PARTS)
        .map(|i| of((f64::from(i) + 0.5) * part) * part)
        .sum()
}

/// What it takes to remove a layer of a deposit.
///
/// Below the threshold nothing comes off however long the jet stays. Above it the dose grows as
/// `((p - threshold) / threshold)^exponent / dose_s`; the layer is gone at a dose of 1.
///
/// Source: \[model\].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Removal {
    /// Pressure on the surface below which nothing comes off, Pa; 1 kPa to 1 GPa.
    pub threshold_pa: f64,
    /// Time under twice the threshold that removes the layer, s; 1e-6 to 1e3.
    pub dose_s: f64,
    /// Exponent of the excess pressure; 0.5 to 3.
    pub exponent: f64,
}

impl Removal {
    /// All values out of range.
    ///
    /// # Errors
    /// Each value that is not finite or out of its range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("removal.threshold_pa", self.threshold_pa, 1.0e3, 1.0e9);
        ranges.check("removal.dose_s", self.dose_s, 1.0e-6, 1.0e3);
        ranges.check("removal.exponent", self.exponent, 0.5, 3.0);
        ranges.finish()
    }

    /// Dose per second under a pressure, 1/s. 0 where it would not be finite.
    pub fn rate(&self, pressure_pa: f64) -> f64 {
        let excess = pressure_pa / self.threshold_pa - 1.0;
        let rate = if excess <= 0.0 {
            0.0
        } else if self.exponent == 1.0 {
            excess / self.dose_s
        } else {
            libm::pow(excess, self.exponent) / self.dose_s
        };
        if rate.is_finite() { rate.max(0.0) } else { 0.0 }
    }
}

/// What a jet that is led in a straight line over a surface does to a band of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sweep {
    /// Width of the footprint above the threshold, m: its diameter, for a fan its thickness.
    pub cut_width_m: f64,
    /// Full width of the band that is worked, m: of a round jet the footprint's, of a fan the
    /// fan's, of a rotating jet the ring's and half a footprint on either side.
    pub swath_m: f64,
    /// How far the tool goes in one turn of a rotating jet, m; 0 for the others. Where it is more
    /// than the cut width, lines are left standing in the middle of the band.
    pub pitch_m: f64,
    /// How often a point of the band comes under the footprint, in the mean. 1 for jets that do
    /// not turn.
    pub passes: f64,
    /// Dose of one such time where the middle of the footprint goes over, at the mean speed of
    /// the footprint.
    pub dose_per_touch: f64,
    /// Mean dose of the band.
    pub mean_dose: f64,
    /// Dose along the middle of the band, mean along the way. Under a quick ring it is the
    /// least but for the very edge, 2 / pi of the mean where the ring is much wider than the
    /// footprint.
    pub mid_dose: f64,
}

impl Sweep {
    fn is_finite(&self) -> bool {
        [
            self.cut_width_m,
            self.swath_m,
            self.pitch_m,
            self.passes,
            self.dose_per_touch,
            self.mean_dose,
            self.mid_dose,
        ]
        .iter()
        .all(|v| v.is_finite())
    }
}

/// Leads a jet over a surface, square on, at a stand-off and a speed of travel; a fan across its
/// width.
///
/// With `G` the integral of the rate of dose over the footprint, a band of width `b` gets the
/// mean dose `G / (b u)` at the speed `u`, however the footprint gets about in it. A convex
/// footprint of width `c` that moves at `s` comes over new ground at the rate `c s`, so a point
/// of the band is touched `c s / (b u)` times. For a rotating jet `s` is the mean speed along
/// its looped path, with rings of `n` turns a second
/// `|u + 2 pi n rho (-sin a, cos a)|`, averaged over the angle.
///
/// Ends of the band and of the path are left out, and so is the time that the water needs. All
/// of it is zero where the pressure stays below the threshold, where the tool does not travel,
/// because there is no band then, and where values are so wild that one of it were not finite.
///
/// Sources: \[mathematics\], \[model\].
pub fn sweep(
    jet: &JetSpec,
    exit: &Exit,
    removal: &Removal,
    stand_off_m: f64,
    speed_m_s: f64,
) -> Sweep {
    let spot = jet.spot(exit, stand_off_m);
    let impact = &spot.impact;
    let cut_width_m = 2.0 * impact.half_cut_m(removal.threshold_pa);
    if !(speed_m_s > 0.0 && speed_m_s.is_finite() && cut_width_m > 0.0) {
        return Sweep::default();
    }
    let (swath_m, passes, spot_speed) = if impact.half_along_m > 0.0 {
        (2.0 * impact.half_along_m, 1.0, speed_m_s)
    } else {
        let swath_m = 2.0 * spot.ring_m + cut_width_m;
        let around = TAU * spot.turns_per_s * spot.ring_m;
        let spot_speed = mean_speed(speed_m_s, around);
        let passes = cut_width_m * spot_speed / (swath_m * speed_m_s);
        (swath_m, passes, spot_speed)
    };
    let pitch_m = if spot.turns_per_s > 0.0 {
        speed_m_s / spot.turns_per_s
    } else {
        0.0
    };
    let sweep = Sweep {
        cut_width_m,
        swath_m,
        pitch_m,
        passes,
        dose_per_touch: impact.rate_on_chord(removal, 0.0) / spot_speed,
        mean_dose: impact.rate_on_all(removal) / (swath_m * speed_m_s),
        mid_dose: spot.rate_in_the_middle(removal) / speed_m_s,
    };
    if sweep.is_finite() {
        sweep
    } else {
        Sweep::default()
    }
}

/// Mean of `|(along - around sin a, around cos a)|` over the angle, m/s. Source: \[mathematics\].
fn mean_speed(along: f64, around: f64) -> f64 {
    if around == 0.0 {
        return along;
    }
    let squares = along * along + around * around;
    let speed = |a: f64| {
        (squares - 2.0 * along * around * libm::sin(a))
            .max(0.0)
            .sqrt()
    };
    sum(TAU, speed) / TAU
}
