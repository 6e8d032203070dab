//! How the ends of a rod are held.

use glam::DVec3;
use serde::{Deserialize, Serialize};

use super::{MAX_SPEED_M_S, SLEEP_SPEED_M_S};

/// How an end of the rod is held. Directions are unit vectors along the rod,
/// from its start towards its end: out of the coupling at the start, into the
/// tool at the end. A zero direction lets the end turn freely. A position that is
/// not finite, or further than 100 km off, counts as [`RodEnd::Free`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum RodEnd {
    /// Fast to something that does not move: position, m, and direction.
    Fixed(DVec3, DVec3),
    /// In somebody's hands, or fast to something that moves.
    Held {
        /// Where it is at the end of the substep, m.
        pos: DVec3,
        /// Its velocity, m/s.
        vel: DVec3,
        /// Direction of the rod there.
        dir: DVec3,
    },
    /// Free.
    Free,
}

impl RodEnd {
    pub(super) fn place(&self) -> Option<(DVec3, DVec3, DVec3)> {
        match *self {
            Self::Fixed(pos, dir) if is_a_place(pos) => Some((pos, DVec3::ZERO, unit(dir))),
            Self::Held { pos, vel, dir } if is_a_place(pos) => {
                let vel = if is_a_place(vel) { vel } else { DVec3::ZERO };
                Some((pos, vel.clamp_length_max(MAX_SPEED_M_S), unit(dir)))
            }
            _ => None,
        }
    }

    pub(super) fn is_near(&self, other: &Self) -> bool {
        match (self.place(), other.place()) {
            (None, None) => true,
            (Some((p, v, d)), Some((q, w, e))) => {
                p.distance_squared(q) < 1e-8
                    && d.distance_squared(e) < 1e-6
                    && v.distance_squared(w) < SLEEP_SPEED_M_S * SLEEP_SPEED_M_S
            }
            _ => false,
        }
    }
}

/// Whether a point is finite and within the yard's farthest corner by far.
pub(crate) fn is_a_place(p: DVec3) -> bool {
    p.is_finite() && p.abs().max_element() < 1e5
}

pub(super) fn unit(v: DVec3) -> DVec3 {
    if v.is_finite() && v.abs().max_element() < 1e100 {
        v.normalize_or_zero()
    } else {
        DVec3::ZERO
    }
}

pub(super) fn unit_or_up(d: DVec3) -> DVec3 {
    let length = d.length();
    if length > 1e-12 { d / length } else { DVec3::Y }
}
