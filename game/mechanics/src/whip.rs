//! What the water does to a hose that has parted under pressure.
//!
//! **Three phases.**
//! 1. *Piston.* The two ends face each other with the pressure between them, and are pushed
//!    apart with `p A`, A the bore. It lasts while water still has to squeeze out through the
//!    gap: until the curtain round the gap, `pi D g`, is as wide as the bore, `pi D^2 / 4`,
//!    that is for a gap of a quarter of the bore. How the force fades towards that is left
//!    out; it is there in full or not at all.
//! 2. *Blow-down.* The water that was packed into the hose leaves, and pushes the end with
//!    its momentum, `m^2 / (rho A)`.
//! 3. *Pump.* What the pump still sends leaves in the same way, with little thrust: its flow
//!    comes through a wide bore.
//!
//! A nozzle that is still on keeps its thrust as long as there is pressure; that is
//! [`Rod::push_tip`] and needs nothing from here.
//!
//! Pressure at the ends and the flow out of them are the circuit's business; the caller gives
//! them for each substep.
//!
//! **Energy.** [`Ledger`] keeps what there was to be had and where it went. Seen from the
//! ground the jet carries off `m V^2 / 2` less the work `F u` that it does on an end that
//! moves with `u` against it, and nothing but this work and that of the piston can move the
//! hose.

use core::f64::consts::PI;

use glam::DVec3;
use serde::{Deserialize, Serialize};

use crate::rod::{Rod, SUBSTEPS_MOST, Tip, WATER_KG_PER_M3};
use crate::tether::{Anchor, Pull, Tether};

/// The gap of the curtain that is as wide as the bore, as a part of the bore's diameter.
const GAP_OF_BORE: f64 = 0.25;
/// From the parting on substeps are kept short for this time, s: that of the piston and of the
/// blow-down of a long hose.
const SHORT_SUBSTEPS_S: f64 = 0.1;
/// Pressures and flows beyond these are cut, Pa and kg/s.
const PRESSURE_LIMIT_PA: f64 = 1e9;
const FLOW_LIMIT_KG_S: f64 = 1e3;

/// Elastic energy of the water in a hose and of its wall, J: `P^2 V / (2 Ke)`, with the
/// effective modulus `Ke` of both together. Water gets stiffer with pressure, so with the
/// modulus at no pressure this is more than there is, with that at the pressure less.
#[must_use]
pub fn stored_j(pressure_pa: f64, volume_m3: f64, effective_modulus_pa: f64) -> f64 {
    pressure_pa * pressure_pa * volume_m3 / (2.0 * effective_modulus_pa)
}

/// Thrust of a mass flow, kg/s, that leaves an open bore of `area_m2`: `m^2 / (rho A)`, N.
#[must_use]
pub fn open_bore_thrust_n(mass_flow_kg_s: f64, area_m2: f64) -> f64 {
    mass_flow_kg_s * mass_flow_kg_s / (WATER_KG_PER_M3 * area_m2)
}

/// What the circuit says of an open end in one substep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Outflow {
    /// Gauge pressure just inside, Pa.
    pub pressure_pa: f64,
    /// What leaves, kg/s; nothing pushes where it is negative.
    pub mass_flow_kg_s: f64,
}

/// Where the energy of a parting comes from and goes to, J.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Ledger {
    /// What was stored in water and wall at the parting.
    pub stored_j: f64,
    /// What the pump has put in since.
    pub pump_j: f64,
    /// Kinetic energy of the water that has left, seen from the ends it left.
    pub jet_j: f64,
    /// Work of the thrust on the ends.
    pub thrust_j: f64,
    /// Work of the piston on the ends.
    pub piston_j: f64,
}

impl Ledger {
    /// What there was to be had so far, J.
    #[must_use]
    pub fn given_j(&self) -> f64 {
        self.stored_j + self.pump_j
    }

    /// What the jets took with them, seen from the ground, J.
    #[must_use]
    pub fn carried_off_j(&self) -> f64 {
        self.jet_j - self.thrust_j
    }

    /// What can be in the hose at most, as motion and as pressure, J. What friction of the
    /// water, air and ground took is not in it.
    #[must_use]
    pub fn left_j(&self) -> f64 {
        self.given_j() - self.carried_off_j()
    }
}

/// An end that water leaves, and what pushed it there last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct OpenEnd {
    dt: f64,
    velocity: DVec3,
    thrust: DVec3,
    piston: DVec3,
}

impl OpenEnd {
    /// Books the work of what pushed it since the substep before.
    fn book(&mut self, dt: f64, rod: &Rod, tip: Tip, ledger: &mut Ledger) {
        let now = rod.tip_velocity(tip);
        // The mean velocity is what makes force times way the gain of a free mass.
        let way = 0.5 * self.dt * (self.velocity + now);
        ledger.thrust_j += self.thrust.dot(way);
        ledger.piston_j += self.piston.dot(way);
        *self = Self {
            dt,
            velocity: now,
            ..Self::default()
        };
    }
}

/// Where the restraint across a coupling is fast with its other end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum FastTo {
    /// To the end of the half before it.
    OtherHalf,
    /// To a point that does not move, m.
    Point(DVec3),
}

/// What pushed the halves of a parted hose in one substep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Pushed {
    /// Force of the piston on either end, N.
    pub piston_n: f64,
    /// Thrust on the end of the near and the start of the far half, N.
    pub thrust_n: [f64; 2],
    /// What the restraint did.
    pub pull: Pull,
}

/// A hose that has parted: what goes on between its two halves. The near half ends there, the
/// far half begins there, as [`Rod::part`] leaves them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Parting {
    age_s: f64,
    /// The ends are still so near that the pressure acts between them.
    piston: bool,
    /// How far they have come apart, m, and which way the near half ends.
    gap_m: f64,
    axis: DVec3,
    tether: Option<(Tether, FastTo)>,
    ends: [OpenEnd; 2],
    ledger: Ledger,
}

impl Parting {
    /// A hose that parts now, with what was stored in it, J, and the restraint across the place.
    /// A store that is not finite counts as none.
    #[must_use]
    pub fn new(stored_j: f64, tether: Option<(Tether, FastTo)>) -> Self {
        Self {
            age_s: 0.0,
            piston: true,
            gap_m: 0.0,
            axis: DVec3::ZERO,
            tether,
            ends: [OpenEnd::default(); 2],
            ledger: Ledger {
                stored_j: finite(stored_j, 0.0, f64::MAX),
                ..Ledger::default()
            },
        }
    }

    /// The restraint across the place.
    #[must_use]
    pub fn tether(&self) -> Option<&Tether> {
        self.tether.as_ref().map(|t| &t.0)
    }

    /// Where the energy went, up to the substep before the last.
    #[must_use]
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }

    /// Time since the hose parted, s.
    #[must_use]
    pub fn age_s(&self) -> f64 {
        self.age_s
    }

    /// How many substeps a time of `dt` is to be split into; at most [`SUBSTEPS_MOST`].
    #[must_use]
    pub fn substeps_wanted(&self, near: &Rod, far: &Rod, dt: f64) -> usize {
        if self.age_s < SHORT_SUBSTEPS_S {
            return SUBSTEPS_MOST;
        }
        let tied = self.tether.as_ref().map_or(1, |(tether, to)| {
            tether.substeps_wanted(far, Tip::Start, &anchor(*to, near), dt)
        });
        let moves = near.substeps_wanted(dt).max(far.substeps_wanted(dt));
        moves.max(tied)
    }

    /// Pushes both halves for their next substep of `dt` seconds (at most 1/100), by what the
    /// circuit says of the near and the far end; `pump_w` is what the pump puts into the
    /// water, W. The caller then moves both with [`Rod::substep`] and
    /// [`RodEnd::Free`](crate::RodEnd::Free) there.
    pub fn push(
        &mut self,
        dt: f64,
        near: &mut Rod,
        far: &mut Rod,
        out: [Outflow; 2],
        pump_w: f64,
    ) -> Pushed {
        let mut pushed = Pushed::default();
        if !(dt > 0.0 && dt <= 0.01) {
            return pushed;
        }
        self.age_s += dt;
        let was = self.opening();
        let gone_s = self.ends[0].dt;
        self.ends[0].book(dt, near, Tip::End, &mut self.ledger);
        self.ends[1].book(dt, far, Tip::Start, &mut self.ledger);
        self.axis = near.outward(Tip::End);
        // By the mean speed, as of a free mass under a force.
        self.gap_m += 0.5 * gone_s * (was + self.opening());
        self.ledger.pump_j += dt * finite(pump_w, 0.0, 1e9);

        pushed.piston_n =
            self.push_apart(dt, near, far, out[0].pressure_pa.max(out[1].pressure_pa));
        for (i, (rod, tip)) in [(&mut *near, Tip::End), (&mut *far, Tip::Start)]
            .into_iter()
            .enumerate()
        {
            let flow = finite(out[i].mass_flow_kg_s, 0.0, FLOW_LIMIT_KG_S);
            let area = rod.spec().bore_area_m2();
            if flow > 0.0 && area > 1e-9 {
                let thrust_n = open_bore_thrust_n(flow, area);
                let force = -thrust_n * rod.outward_ahead(tip, dt);
                rod.push(rod.node_of(tip), force);
                self.ends[i].thrust = force;
                // Seen from the end: m V^2 / 2 with V = m / (rho A).
                self.ledger.jet_j += dt * 0.5 * thrust_n * flow / (WATER_KG_PER_M3 * area);
                pushed.thrust_n[i] = thrust_n;
            }
        }
        if let Some((tether, to)) = &mut self.tether {
            let anchor = anchor(*to, near);
            pushed.pull = tether.pull(dt, far, Tip::Start, &anchor);
            if *to == FastTo::OtherHalf {
                near.push(near.node_of(Tip::End), pushed.pull.on_anchor_n);
            }
        }
        pushed
    }

    /// How fast the ends open along the axis of the place, m/s.
    fn opening(&self) -> f64 {
        (self.ends[1].velocity - self.ends[0].velocity).dot(self.axis)
    }

    /// The piston: gives its force, N, as it is on the mean over the substep.
    fn push_apart(&mut self, dt: f64, near: &mut Rod, far: &mut Rod, pressure_pa: f64) -> f64 {
        if !self.piston {
            return 0.0;
        }
        let bore_m = near.spec().bore_m.min(far.spec().bore_m);
        let left_m = GAP_OF_BORE * bore_m - self.gap_m;
        if left_m <= 0.0 {
            self.piston = false;
            return 0.0;
        }
        let full_n = finite(pressure_pa, 0.0, PRESSURE_LIMIT_PA) * PI / 4.0 * bore_m * bore_m;
        // The ends are so light that they are often apart well within the substep. So the force
        // is cut to the time that they need.
        let inverse_mass = near.yields(Tip::End, dt) + far.yields(Tip::Start, dt);
        let gain = full_n * inverse_mass;
        let opening = self.opening();
        let root = (opening * opening + 2.0 * gain * left_m).sqrt();
        // Of the two forms of the root the one without cancellation.
        let needed_s = if root + opening > 0.0 {
            2.0 * left_m / (root + opening)
        } else {
            dt
        };
        let force_n = full_n * (needed_s / dt).min(1.0);
        let force = force_n * self.axis;
        near.push(near.node_of(Tip::End), -force);
        far.push(0, force);
        self.ends[0].piston = -force;
        self.ends[1].piston = force;
        force_n
    }
}

/// What the restraint is fast to, as it is now.
fn anchor(to: FastTo, near: &Rod) -> Anchor {
    match to {
        FastTo::OtherHalf => Anchor::end_of(near, Tip::End),
        FastTo::Point(point) => Anchor::fixed(point),
    }
}

/// The value within its bounds, 0 for what is not a number.
fn finite(value: f64, low: f64, high: f64) -> f64 {
    if value.is_nan() {
        0.0
    } else {
        value.clamp(low, high)
    }
}

#[cfg(test)]
mod tests;
