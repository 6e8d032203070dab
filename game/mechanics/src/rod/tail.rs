//! A lance that lies or flies loose at the end of its hose.
//!
//! **Model.** The lance is part of the rod: further nodes ahead of the end of the hose,
//! about as far apart as those of the hose, with the mass and the bending stiffness of the
//! lance. So it is solved together with the hose: coupled to a taut hose from outside, a
//! lance of some kilograms would need far shorter substeps. Hose and lance are joined
//! firmly, without a swivel; where they meet, half a segment of each bends.
//!
//! **Thrust.** What leaves an end pushes it against the way it leaves, wherever that
//! points by then: a force that follows the rod. Such a force has no energy of position; a
//! loose lance takes energy out of it again and again, which is why a lance with its
//! trigger tied thrashes about until the water is gone.

use glam::DVec3;
use serde::{Deserialize, Serialize};

use super::end::{is_a_place, unit, unit_or_up};
use super::{MAX_SPEED_M_S, PUSH_LIMIT_N, Rod, RodError};

/// A thrust turns with its end within a substep, but by no more than this part of its last
/// segment aside.
const TURN_AHEAD_MOST: f64 = 0.5;
/// A force on an end is felt no further away than by so many segments.
const REACHED_MOST: usize = 40;
/// A tail is cut into no more segments than this.
const SEGMENTS_MOST: f64 = 40.0;

/// An end of a rod.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Tip {
    /// Where the rod begins.
    Start,
    /// Where it ends: the tip of the lance, where there is one.
    End,
}

/// A lance as the tail of a rod.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TailSpec {
    /// From the end of the hose to the tip, m; 0.1 to 10.
    pub length_m: f64,
    /// Mass with the water in it, evenly along the length, kg; 0.1 to 100.
    pub mass_kg: f64,
    /// Bending stiffness `EI`, N m2; 0 to 1e6. A steel tube of 20 mm with walls of 5 mm has
    /// 1500 (closed form of a tube, steel of 200 GPa).
    pub bending_stiffness_n_m2: f64,
    /// Outer radius, m; 1e-4 to 1.
    pub outer_radius_m: f64,
}

impl TailSpec {
    /// Checks every field against its range.
    ///
    /// # Errors
    /// The first field out of its range.
    pub fn check(&self) -> Result<(), RodError> {
        let stiffness = self.bending_stiffness_n_m2;
        let bounds = [
            ("tail length_m", self.length_m, 0.1, 10.0),
            ("tail mass_kg", self.mass_kg, 0.1, 100.0),
            ("tail bending_stiffness_n_m2", stiffness, 0.0, 1e6),
            ("tail outer_radius_m", self.outer_radius_m, 1e-4, 1.0),
        ];
        for (field, value, low, high) in bounds {
            // Written so that a NaN fails.
            if !(value >= low && value <= high) {
                return Err(RodError::BadField { field, value });
            }
        }
        Ok(())
    }
}

/// A tail and how many segments it is cut into.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Tail {
    spec: TailSpec,
    segments: usize,
}

impl Tail {
    fn segment_m(&self) -> f64 {
        self.spec.length_m / self.segments as f64
    }
}

impl Rod {
    /// Whoever held the lance lets go of it: it goes on as a tail of the rod, from the end of
    /// the hose along `dir`, at the velocity of the grip, m/s, and turning about it at
    /// `turn_rate`, rad/s. A tail that was there is taken up first. A direction without
    /// length means that of the hose; what is not finite counts as zero.
    ///
    /// # Errors
    /// A field of the description out of its range; the rod is then as it was.
    pub fn let_go(
        &mut self,
        tail: &TailSpec,
        dir: DVec3,
        grip_velocity: DVec3,
        turn_rate: DVec3,
    ) -> Result<(), RodError> {
        tail.check()?;
        self.take_up();
        let mut dir = unit(dir);
        if dir == DVec3::ZERO {
            dir = self.outward(Tip::End);
        }
        let finite = |v: DVec3| if is_a_place(v) { v } else { DVec3::ZERO };
        let (velocity, turn) = (finite(grip_velocity), finite(turn_rate));
        let wanted = libm::round(tail.length_m / self.spec.segment_m());
        let tail = Tail {
            spec: tail.clone(),
            segments: wanted.clamp(1.0, SEGMENTS_MOST) as usize,
        };
        let end = self.position.len() - 1;
        let grip = self.position[end];
        self.velocity[end] = velocity.clamp_length_max(MAX_SPEED_M_S);
        for j in 1..=tail.segments {
            let out = dir * (tail.segment_m() * j as f64);
            let velocity = velocity + turn.cross(out);
            self.position.push(grip + out);
            self.velocity.push(velocity.clamp_length_max(MAX_SPEED_M_S));
            self.tension.push(0.0);
            self.anchor.push(None);
            self.pressed.push(0.0);
            self.rubbed.push(0.0);
            self.push.push(DVec3::ZERO);
        }
        self.tail = Some(tail);
        self.wake();
        Ok(())
    }

    /// Somebody takes the lance into their hands: the tail is gone, and the rod ends with the
    /// hose. Gives whether there was one.
    pub fn take_up(&mut self) -> bool {
        let had = self.tail.take().is_some();
        if had {
            let nodes = self.spec.segments + 1;
            self.position.truncate(nodes);
            self.velocity.truncate(nodes);
            self.anchor.truncate(nodes);
            self.pressed.truncate(nodes);
            self.rubbed.truncate(nodes);
            self.push.truncate(nodes);
            self.tension.truncate(nodes - 1);
            self.wake();
        }
        had
    }

    /// Grip and tip, m, of the lance that lies at the end of the hose, and its direction.
    #[must_use]
    pub fn tail(&self) -> Option<(DVec3, DVec3, DVec3)> {
        self.tail.as_ref()?;
        let grip = self.position[self.spec.segments];
        let tip = self.tip_position(Tip::End);
        Some((grip, tip, unit_or_up(tip - grip)))
    }

    /// Nodes of the lance from the end of the hose to the tip, m; none without a lance.
    #[must_use]
    pub fn tail_nodes(&self) -> &[DVec3] {
        match self.tail {
            Some(_) => &self.position[self.spec.segments..],
            None => &[],
        }
    }

    /// Nodes of the hose from start to end, m, without the lance.
    #[must_use]
    pub fn hose_nodes(&self) -> &[DVec3] {
        &self.position[..=self.spec.segments]
    }

    /// Adds a thrust, N, for the next substep: the reaction of what leaves an end, against
    /// the way it leaves, which is along the last segment. The sum is cut at 1 MN; what is not
    /// finite adds nothing.
    pub fn thrust(&mut self, tip: Tip, thrust_n: f64) {
        if thrust_n.is_finite() && thrust_n != 0.0 {
            let sum = &mut self.thrust[tip as usize];
            let thrust_n = thrust_n.clamp(-PUSH_LIMIT_N, PUSH_LIMIT_N);
            *sum = (*sum + thrust_n).clamp(-PUSH_LIMIT_N, PUSH_LIMIT_N);
            self.wake();
        }
    }

    /// Adds the thrust of a nozzle at the end: [`Rod::thrust`] at [`Tip::End`].
    pub fn push_tip(&mut self, thrust_n: f64) {
        self.thrust(Tip::End, thrust_n);
    }

    /// Index of the node of an end.
    #[must_use]
    pub fn node_of(&self, tip: Tip) -> usize {
        self.last_two(tip).0
    }

    /// Where an end is, m.
    #[must_use]
    pub fn tip_position(&self, tip: Tip) -> DVec3 {
        self.position[self.node_of(tip)]
    }

    /// Velocity of an end, m/s.
    #[must_use]
    pub fn tip_velocity(&self, tip: Tip) -> DVec3 {
        self.velocity[self.node_of(tip)]
    }

    /// Mass that goes with an end, kg: that of its node.
    #[must_use]
    pub fn tip_mass_kg(&self, tip: Tip) -> f64 {
        self.node_mass(self.node_of(tip))
    }

    /// Unit direction out of an end, along its last segment.
    #[must_use]
    pub fn outward(&self, tip: Tip) -> DVec3 {
        let (node, next) = self.last_two(tip);
        unit_or_up(self.position[node] - self.position[next])
    }

    /// What a force on an end along its last segment moves within a substep of `dt`, 1/kg: the
    /// inverse of the mass that goes with the end by then. More than the end itself is reached
    /// only through the tension of the segments; bending is left out.
    pub(crate) fn yields(&self, tip: Tip, dt: f64) -> f64 {
        let n = self.position.len();
        let inverse =
            |k: usize| 1.0 / self.node_mass(if tip == Tip::Start { k } else { n - 1 - k });
        let segment = |k: usize| if tip == Tip::Start { k } else { n - 2 - k };
        let along = |k: usize| {
            let j = segment(k);
            unit_or_up(self.position[j + 1] - self.position[j])
        };
        let reach = (n - 1).min(REACHED_MOST);
        // From the last node that is reckoned with to the end, each with what it drags along.
        let mut yields = inverse(reach);
        for k in (0..reach).rev() {
            let w = inverse(k);
            let bent = if k > 0 {
                along(k - 1).dot(along(k))
            } else {
                1.0
            };
            let give = self.segment_m(segment(k)) / self.spec.axial_stiffness_n / (dt * dt);
            yields = w - (w * bent) * (w * bent) / (give + w + yields);
        }
        yields
    }

    fn last_two(&self, tip: Tip) -> (usize, usize) {
        let last = self.position.len() - 1;
        match tip {
            Tip::Start => (0, 1),
            Tip::End => (last, last - 1),
        }
    }

    /// The direction out of an end as it will be at the end of the substep.
    pub(crate) fn outward_ahead(&self, tip: Tip, dt: f64) -> DVec3 {
        let (node, next) = self.last_two(tip);
        let now = self.position[node] - self.position[next];
        let turn = dt * (self.velocity[node] - self.velocity[next]);
        unit_or_up(now + turn.clamp_length_max(TURN_AHEAD_MOST * now.length()))
    }

    /// Length of segment `j`, m.
    pub(super) fn segment_m(&self, j: usize) -> f64 {
        match &self.tail {
            Some(tail) if j >= self.spec.segments => tail.segment_m(),
            _ => self.spec.segment_m(),
        }
    }

    /// Radius at node `i`, m.
    pub(super) fn radius_m(&self, i: usize) -> f64 {
        match &self.tail {
            Some(tail) if i > self.spec.segments => tail.spec.outer_radius_m,
            _ => self.spec.outer_radius_m,
        }
    }

    /// Mass of segment `j`, kg.
    fn segment_kg(&self, j: usize) -> f64 {
        match &self.tail {
            Some(tail) if j >= self.spec.segments => tail.spec.mass_kg / tail.segments as f64,
            _ => self.spec.mass_kg_per_m(self.fill) * self.spec.segment_m(),
        }
    }

    /// Mass of node `i`, half of the segments beside it, kg.
    pub(super) fn node_mass(&self, i: usize) -> f64 {
        let before = if i > 0 { self.segment_kg(i - 1) } else { 0.0 };
        let after = if i + 1 < self.position.len() {
            self.segment_kg(i)
        } else {
            0.0
        };
        0.5 * (before + after)
    }

    /// Masses of all nodes, kg.
    pub(super) fn masses(&self, out: &mut Vec<f64>) {
        let hose = self.spec.segments;
        out.clear();
        out.resize(hose, self.segment_kg(0));
        out.extend((hose..self.position.len()).map(|i| self.node_mass(i)));
        out[0] = self.node_mass(0);
    }

    /// Stiffness of half of segment `j` against bending, N m.
    fn half_stiffness(&self, j: usize, pressure_pa: f64) -> f64 {
        let stiffness = match &self.tail {
            Some(tail) if j >= self.spec.segments => tail.spec.bending_stiffness_n_m2,
            _ => self.spec.bending_stiffness_at(pressure_pa),
        };
        2.0 * stiffness / self.segment_m(j)
    }

    /// Moment at joint `i` for a bend of one radian there, N m: the halves of the two
    /// segments beside it bend one behind the other.
    pub(super) fn joint_stiffness(&self, i: usize, pressure_pa: f64) -> f64 {
        let before = self.half_stiffness(i - 1, pressure_pa);
        let after = self.half_stiffness(i, pressure_pa);
        let sum = before + after;
        if sum > 0.0 { before * after / sum } else { 0.0 }
    }

    /// The same at an end node that is clamped, with the length of its segment, m.
    pub(super) fn clamp_stiffness(&self, at: usize, pressure_pa: f64) -> (f64, f64) {
        let j = at.min(self.position.len() - 2);
        (self.half_stiffness(j, pressure_pa), self.segment_m(j))
    }
}
