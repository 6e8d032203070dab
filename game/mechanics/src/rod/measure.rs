//! What can be read off a rod: stretch, bends, energy, momentum.

use glam::DVec3;

use super::Rod;
use super::end::unit;
use crate::GRAVITY_M_S2;

impl Rod {
    /// The node nearest to a point and how far it is, m. Of nodes equally near the first;
    /// for a point that is not finite the first at an infinite distance.
    ///
    /// A hand that takes hold of the hose there pulls the node with [`Rod::push`], by a
    /// spring from node to hand and a damper on their velocities; with the masses of
    /// nodes in use springs up to some kN/m are far from unstable at 1/480 s.
    #[must_use]
    pub fn nearest_node(&self, point: DVec3) -> (usize, f64) {
        let mut best = (0, f64::INFINITY);
        for (i, node) in self.position.iter().enumerate() {
            let distance = node.distance(point);
            if distance < best.1 {
                best = (i, distance);
            }
        }
        best
    }

    /// The most any segment differs from its length, m.
    #[must_use]
    pub fn max_stretch_m(&self) -> f64 {
        self.position
            .windows(2)
            .enumerate()
            .map(|(j, w)| (w[0].distance(w[1]) - self.segment_m(j)).abs())
            .fold(0.0, f64::max)
    }

    /// The tightest bend along the hose, as the radius of the circle that turns by
    /// the same angle in one segment, m; infinite when straight.
    #[must_use]
    pub fn min_bend_radius_m(&self) -> f64 {
        let l = self.spec.segment_m();
        let mut least_cos = 1.0_f64;
        for w in self.hose_nodes().windows(3) {
            let (a, b) = (unit(w[1] - w[0]), unit(w[2] - w[1]));
            least_cos = least_cos.min(a.dot(b));
        }
        radius(l, least_cos)
    }

    /// The bend at a node of the hose, as the radius of the circle that turns by the same angle
    /// in one segment, m; infinite where it is straight, and at the ends and beyond them.
    #[must_use]
    pub fn bend_radius_m(&self, node: usize) -> f64 {
        if node == 0 || node >= self.spec.segments {
            return f64::INFINITY;
        }
        let x = &self.position;
        let (a, b) = (unit(x[node] - x[node - 1]), unit(x[node + 1] - x[node]));
        radius(self.spec.segment_m(), a.dot(b))
    }

    /// Nodes at which the hose is bent tighter than it stands, from start to end.
    pub fn kinks(&self) -> impl Iterator<Item = usize> + '_ {
        let least = self.spec.min_bend_radius_m;
        (1..self.spec.segments).filter(move |node| self.bend_radius_m(*node) < least)
    }

    /// What each node was pressed against the ground with in the last substep that it was
    /// awake, N.
    #[must_use]
    pub fn pressed_n(&self) -> &[f64] {
        &self.pressed
    }

    /// Work of the friction that each node has slid against since it was laid, J: what wears
    /// the cover where it lies on something sharp or rough.
    #[must_use]
    pub fn rubbed_j(&self) -> &[f64] {
        &self.rubbed
    }

    /// Whether the hose is bent tighter than it stands.
    #[must_use]
    pub fn is_kinked(&self) -> bool {
        self.min_bend_radius_m() < self.spec.min_bend_radius_m
    }

    /// Kinetic energy plus energy of position, bending (at `pressure_pa`, ends
    /// not counted) and stretch, J; heights from zero.
    #[must_use]
    pub fn energy_j(&self, pressure_pa: f64) -> f64 {
        let mut energy = 0.0;
        for (i, x) in self.position.iter().enumerate() {
            energy +=
                self.node_mass(i) * (0.5 * self.velocity[i].length_squared() + GRAVITY_M_S2 * x.y);
        }
        for (i, w) in self.position.windows(3).enumerate() {
            let (before, after) = (self.segment_m(i), self.segment_m(i + 1));
            let curl = (w[2] - w[1]) / after - (w[1] - w[0]) / before;
            energy += 0.5 * self.joint_stiffness(i + 1, pressure_pa) * curl.length_squared();
        }
        for (j, w) in self.position.windows(2).enumerate() {
            let l = self.segment_m(j);
            let stretch = w[0].distance(w[1]) - l;
            energy += 0.5 * self.spec.axial_stiffness_n / l * stretch * stretch;
        }
        energy
    }

    /// Kinetic energy of rod and water, J.
    #[must_use]
    pub fn kinetic_j(&self) -> f64 {
        (0..self.velocity.len())
            .map(|i| 0.5 * self.node_mass(i) * self.velocity[i].length_squared())
            .sum()
    }

    /// Work that pushes and thrusts did on the rod in the last substep, J.
    #[must_use]
    pub fn pushed_j(&self) -> f64 {
        self.pushed_j
    }

    /// Speed of the fastest node, m/s.
    #[must_use]
    pub fn fastest_m_s(&self) -> f64 {
        let most = |most: f64, v: &DVec3| most.max(v.length_squared());
        self.velocity.iter().fold(0.0, most).sqrt()
    }

    /// Momentum of the rod and the water in it, as one body, kg m/s.
    #[must_use]
    pub fn momentum(&self) -> DVec3 {
        (0..self.position.len())
            .map(|i| self.node_mass(i) * self.velocity[i])
            .sum()
    }
}

/// Radius of the circle that turns in a segment of `length` by the angle of which this is the
/// cosine, m.
fn radius(length: f64, cos: f64) -> f64 {
    let angle = libm::acos(cos.clamp(-1.0, 1.0));
    if angle > 0.0 {
        length / angle
    } else {
        f64::INFINITY
    }
}
