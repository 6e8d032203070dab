//! A whip restraint: a sling or sock that is to keep the end of a hose near a fixed point, or
//! near the end it has parted from.
//!
//! **Model.** Nothing as long as its ends are nearer than its slack; beyond it a spring and a
//! damper that pull and never push. Above its strength it breaks, for good.
//!
//! **Load.** A force `F` that is put on at once and lasts stretches a spring without slack to
//! twice what it bears at rest, so the load peaks at `2 F`; with a slack `s` the force has
//! gained `F s` by the time the spring is taut, and the load peaks at
//! `F (1 + sqrt(1 + 2 k s / F))`. Both are closed forms of textbooks, whatever the mass.
//!
//! **Solution.** The spring is taken where the end is now, and the end moves with the
//! velocity to come (symplectic Euler): that neither gains nor loses energy over a swing, so
//! that the peak is right, as long as a swing takes several substeps. Where it does not, the
//! part of the spring that would run away is taken at the state to come instead.
//! [`Tether::substeps_wanted`] says how short they should be.

use glam::DVec3;
use serde::{Deserialize, Serialize};

use crate::rod::{Rod, SUBSTEPS_MOST, Tip, is_a_place};

/// Substeps are wanted to be so short that the phase of the end's swing on the tether goes on
/// by no more than this within one, rad.
const PHASE_MOST_RAD: f64 = 0.2;
/// Up to this phase of a substep nothing is taken at the state to come: half of where the
/// explicit spring runs away.
const PHASE_EXPLICIT_RAD: f64 = 1.0;

/// A whip restraint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TetherSpec {
    /// How far its ends may come apart before it pulls, m; 0 to 10.
    pub slack_m: f64,
    /// Stiffness once it is taut, N/m; 100 to 1e8.
    pub stiffness_n_per_m: f64,
    /// Damping once it is taut, N s/m; 0 to 1e5.
    pub damping_n_s_per_m: f64,
    /// Load at which it or its anchor breaks, N; 1 to 1e7.
    pub strength_n: f64,
}

/// Why a tether cannot be built: a field that is not finite or out of its range.
#[derive(Clone, Debug, PartialEq)]
pub struct TetherError {
    /// Name of the field.
    pub field: &'static str,
    /// The value found.
    pub value: f64,
}

impl core::fmt::Display for TetherError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "restraint: {} cannot be {}", self.field, self.value)
    }
}

impl core::error::Error for TetherError {}

impl TetherSpec {
    /// Checks every field against its range.
    ///
    /// # Errors
    /// The first field out of its range.
    pub fn check(&self) -> Result<(), TetherError> {
        let bounds = [
            ("slack_m", self.slack_m, 0.0, 10.0),
            ("stiffness_n_per_m", self.stiffness_n_per_m, 100.0, 1e8),
            ("damping_n_s_per_m", self.damping_n_s_per_m, 0.0, 1e5),
            ("strength_n", self.strength_n, 1.0, 1e7),
        ];
        for (field, value, low, high) in bounds {
            // Written so that a NaN fails.
            if !(value >= low && value <= high) {
                return Err(TetherError { field, value });
            }
        }
        Ok(())
    }
}

/// The other end of a tether: a fixed point, or the end of the other part of a hose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Anchor {
    /// Where it is, m.
    pub position: DVec3,
    /// Its velocity, m/s.
    pub velocity: DVec3,
    /// Mass that goes with it, kg; 0 for a point that does not move.
    pub mass_kg: f64,
}

impl Anchor {
    /// A point that does not move.
    #[must_use]
    pub fn fixed(position: DVec3) -> Self {
        Self {
            position,
            ..Self::default()
        }
    }

    /// An end of a rod, as it is now.
    #[must_use]
    pub fn end_of(rod: &Rod, tip: Tip) -> Self {
        Self {
            position: rod.tip_position(tip),
            velocity: rod.tip_velocity(tip),
            mass_kg: rod.tip_mass_kg(tip),
        }
    }
}

/// What a tether did in one substep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Pull {
    /// Load on it, N.
    pub load_n: f64,
    /// Force on the anchor, N.
    pub on_anchor_n: DVec3,
    /// Whether it broke just now.
    pub broke: bool,
}

/// A whip restraint that is fitted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tether {
    spec: TetherSpec,
    broken: bool,
    most_n: f64,
}

impl Tether {
    /// A whole restraint.
    ///
    /// # Errors
    /// A field of the description out of its range.
    pub fn new(spec: TetherSpec) -> Result<Self, TetherError> {
        spec.check()?;
        Ok(Self {
            spec,
            broken: false,
            most_n: 0.0,
        })
    }

    /// What it is.
    #[must_use]
    pub fn spec(&self) -> &TetherSpec {
        &self.spec
    }

    /// Whether it has broken.
    #[must_use]
    pub fn is_broken(&self) -> bool {
        self.broken
    }

    /// The greatest load it has borne, N; that at which it broke, if it did.
    #[must_use]
    pub fn most_n(&self) -> f64 {
        self.most_n
    }

    /// How many substeps a time of `dt` is to be split into, so that the load of a sudden pull
    /// comes out right: 1 while it is slack or broken, at most [`SUBSTEPS_MOST`]. It cannot
    /// know of forces that are yet to come: from the moment on that a hose parts the
    /// substeps are to be as short as [`Parting`](crate::whip::Parting) wants them.
    #[must_use]
    pub fn substeps_wanted(&self, rod: &Rod, tip: Tip, anchor: &Anchor, dt: f64) -> usize {
        let apart = rod.tip_position(tip) - anchor.position;
        let speed = (rod.tip_velocity(tip) - anchor.velocity).length();
        // Not just when it is taut: it must not be taut for long before that is seen.
        let soon = apart.length() + speed * dt >= self.spec.slack_m;
        if self.broken || !soon || dt.is_nan() || dt <= 0.0 {
            return 1;
        }
        let rate = self.rate(inverse_mass(rod, tip, anchor));
        let wanted = libm::ceil(rate * dt / PHASE_MOST_RAD);
        wanted.clamp(1.0, SUBSTEPS_MOST as f64) as usize
    }

    /// Rate at which what it ties together swings on it, rad/s.
    fn rate(&self, inverse_mass: f64) -> f64 {
        (self.spec.stiffness_n_per_m * inverse_mass).sqrt()
    }

    /// Pulls the end of a rod towards the anchor during the next substep of the rod, which is of
    /// `dt` seconds (at most 1/100), and says what it pulls with. Where the anchor is the end of
    /// another rod, the caller pushes that with [`Pull::on_anchor_n`]. An anchor that is not
    /// finite, or further than 100 km off, is not there.
    pub fn pull(&mut self, dt: f64, rod: &mut Rod, tip: Tip, anchor: &Anchor) -> Pull {
        let apart = rod.tip_position(tip) - anchor.position;
        let length = apart.length();
        let usable =
            dt > 0.0 && dt <= 0.01 && is_a_place(anchor.position) && is_a_place(anchor.velocity);
        if self.broken || !usable || length <= self.spec.slack_m || length < 1e-9 {
            return Pull::default();
        }
        let away = apart / length;
        let opening = (rod.tip_velocity(tip) - anchor.velocity).dot(away);
        let load_n = self.load(
            length - self.spec.slack_m,
            opening,
            inverse_mass(rod, tip, anchor),
            dt,
        );
        self.most_n = self.most_n.max(load_n);
        if load_n > self.spec.strength_n {
            self.broken = true;
            return Pull {
                load_n,
                broke: true,
                ..Pull::default()
            };
        }
        rod.push(rod.node_of(tip), -load_n * away);
        Pull {
            load_n,
            on_anchor_n: load_n * away,
            broke: false,
        }
    }

    /// Load of a tether that is stretched by `stretch`, m, and opens at a speed, m/s.
    fn load(&self, stretch: f64, opening: f64, inverse_mass: f64, dt: f64) -> f64 {
        let (k, c) = (self.spec.stiffness_n_per_m, self.spec.damping_n_s_per_m);
        let phase = self.rate(inverse_mass) * dt;
        let square = phase * phase;
        // With this part of the spring at the state to come no phase runs away, and up to the
        // bound none is taken there.
        let bound = PHASE_EXPLICIT_RAD * PHASE_EXPLICIT_RAD;
        let ahead = if square > bound {
            1.0 - bound / square
        } else {
            0.0
        };
        let pull = k * (stretch + ahead * dt * opening) + c * opening;
        let resists = 1.0 + ahead * square + dt * c * inverse_mass;
        (pull / resists).max(0.0)
    }
}

/// Of the end of the rod and the anchor together, 1/kg.
fn inverse_mass(rod: &Rod, tip: Tip, anchor: &Anchor) -> f64 {
    let of_anchor = if anchor.mass_kg > 0.0 {
        1.0 / anchor.mass_kg
    } else {
        0.0
    };
    1.0 / rod.tip_mass_kg(tip) + of_anchor
}

#[cfg(test)]
mod tests;
