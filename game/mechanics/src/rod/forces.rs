//! What acts on the nodes of a rod: weight, water, air, bending, ground; and what
//! is left for those who hold its ends.

use glam::DVec3;

use super::end::unit_or_up;
use super::{GUESS_LIMIT_N, MAX_SPEED_M_S, Rod, RodEnd, RodForces, Scratch, Tip, WATER_KG_PER_M3};
use crate::GRAVITY_M_S2;
use crate::ground::Ground;

/// Density of air at 20 degC and sea level, kg/m3 (standard atmosphere).
const AIR_KG_PER_M3: f64 = 1.2;

impl Rod {
    /// Keeps as much of the inlet pressure's past as a front needs to run through.
    pub(super) fn remember_pressure(&mut self, dt: f64, pressure_pa: f64) {
        let needed = self.spec.length_m / self.spec.wave_speed_m_s;
        if self.inlet.is_empty() {
            self.inlet.push_front((dt, pressure_pa));
        }
        self.inlet.push_front((dt, pressure_pa));
        let mut age = 0.0;
        let mut keep = 0;
        for (i, (step, _)) in self.inlet.iter().enumerate() {
            keep = i + 1;
            if age > needed || i >= 4096 {
                break;
            }
            age += step;
        }
        self.inlet.truncate(keep);
    }

    /// Fills `force` with what the water does to each node, N.
    pub(super) fn water_forces(&self, mass_flow: f64, s: &mut Scratch) {
        let n = self.position.len();
        let area = self.spec.bore_area_m2();
        let stream = if area > 1e-9 {
            mass_flow * mass_flow / (WATER_KG_PER_M3 * area)
        } else {
            0.0
        };
        let first = self.inlet.front().map_or(0.0, |p| p.1);
        let uniform = self.inlet.iter().all(|p| p.1 == first);
        if uniform && stream == 0.0 {
            return;
        }
        let segment_s = self.spec.segment_m() / self.spec.wave_speed_m_s;
        let far = self.pressure_of_age(segment_s * (n - 1) as f64, &mut (0, 0.0));
        let mut cursor = (0, 0.0);
        for k in 0..n {
            // The k-th node that the front reaches.
            let i = match self.pressed_from {
                Tip::Start => k,
                Tip::End => n - 1 - k,
            };
            let mut push = stream;
            if !uniform {
                push += area * (self.pressure_of_age(segment_s * k as f64, &mut cursor) - far);
            }
            let into = if i > 0 { s.tangent[i - 1] } else { DVec3::ZERO };
            let out = if i + 1 < n { s.tangent[i] } else { DVec3::ZERO };
            s.force[i] += push * (into - out);
        }
    }

    /// Inlet pressure `age` seconds ago, between its samples by a straight line.
    /// The cursor lets a row of growing ages be read in one pass.
    fn pressure_of_age(&self, age: f64, cursor: &mut (usize, f64)) -> f64 {
        while let (Some(new), Some(old)) = (self.inlet.get(cursor.0), self.inlet.get(cursor.0 + 1))
        {
            if age < cursor.1 + new.0 {
                let part = (age - cursor.1) / new.0;
                return new.1 + part * (old.1 - new.1);
            }
            cursor.1 += new.0;
            cursor.0 += 1;
        }
        self.inlet.back().map_or(0.0, |p| p.1)
    }

    /// Forces at the state to come and the matrix of the implicit solve.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn gather<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        start: RodEnd,
        end: RodEnd,
        pressure_pa: f64,
        mass_flow: f64,
        ground: &G,
        s: &mut Scratch,
    ) {
        let n = self.position.len();
        let last = n - 1;
        let hose = self.spec.segments;
        let l = self.segment_m(0);
        let pinned = [start.place(), end.place()];
        s.matrix.reset(n);
        self.masses(&mut s.mass);
        for (node, place) in [(0, pinned[0]), (last, pinned[1])] {
            if let Some((pos, _, _)) = place {
                self.velocity[node] =
                    ((pos - self.position[node]) / dt).clamp_length_max(MAX_SPEED_M_S);
            }
        }
        s.tangent.clear();
        s.tangent
            .extend(self.position.windows(2).map(|w| unit_or_up(w[1] - w[0])));
        s.force.clear();
        s.force.resize(n, DVec3::ZERO);
        self.water_forces(mass_flow, s);

        // Weight, pushes, thrusts, old tensions, air.
        s.pushed = self.thrust != [0.0; 2] || self.push.iter().any(|f| *f != DVec3::ZERO);
        if s.pushed {
            s.given.clone_from(&self.push);
            for (tip, thrust_n) in [Tip::Start, Tip::End].into_iter().zip(self.thrust) {
                let node = self.node_of(tip);
                s.given[node] -= thrust_n * self.outward_ahead(tip, dt);
            }
            for (force, given) in s.force.iter_mut().zip(&s.given) {
                *force += *given;
            }
        }
        let drag = |radius: f64, length: f64| {
            0.5 * AIR_KG_PER_M3 * self.spec.drag_coefficient * 2.0 * radius * length
        };
        let drags = [
            drag(self.radius_m(hose), l),
            drag(self.radius_m(last), self.segment_m(last - 1)),
        ];
        let (mass, velocity) = (&s.mass[..n], &self.velocity[..n]);
        let (force, diagonal) = (&mut s.force[..n], &mut s.matrix.diagonal[..n]);
        let mut t = s.tangent[0];
        for i in 0..n {
            // Only the part across the hose meets the air.
            if let Some(ahead) = s.tangent.get(i) {
                t = *ahead;
            }
            let across = velocity[i] - velocity[i].dot(t) * t;
            let air = drags[usize::from(i > hose)] * across.length();
            force[i] -= air * across;
            force[i].y -= mass[i] * GRAVITY_M_S2;
            diagonal[i] = DVec3::splat(mass[i] + dt * air);
        }
        s.outside = [s.force[0], s.force[last]];
        let (force, tangent) = (&mut s.force[..n], &s.tangent[..last]);
        for (j, tension) in self.tension[..last].iter_mut().enumerate() {
            *tension = tension.clamp(-GUESS_LIMIT_N, GUESS_LIMIT_N);
            let pull = *tension * tangent[j];
            force[j] += pull;
            force[j + 1] -= pull;
        }

        // Bending: forces at the position one step on, with its retardation.
        let bend = self.spec.bending_stiffness_at(pressure_pa) / (l * l * l);
        let ahead = dt + self.spec.damping_s;
        let implicit = dt * ahead * bend;
        let nodes = hose + 1;
        let (position, velocity) = (&self.position[..nodes], &self.velocity[..nodes]);
        let force = &mut s.force[..nodes];
        let place = |i: usize| position[i] + ahead * velocity[i];
        let (mut before, mut here) = (place(0), place(1));
        for i in 1..nodes - 1 {
            let after = place(i + 1);
            let g = bend * (before - 2.0 * here + after);
            force[i - 1] -= g;
            force[i] += 2.0 * g;
            force[i + 1] -= g;
            (before, here) = (here, after);
        }
        // Each joint couples the three nodes about it.
        let diagonal = &mut s.matrix.diagonal[..nodes];
        let (near, far) = (&mut s.matrix.near[..nodes], &mut s.matrix.far[..nodes]);
        let joint = |i: usize| if i >= 1 && i < hose { 1.0 } else { 0.0 };
        for i in 0..nodes {
            let (before, here, after) = (joint(i.wrapping_sub(1)), joint(i), joint(i + 1));
            diagonal[i] += implicit * (before + 4.0 * here + after);
            near[i] -= implicit * 2.0 * (here + after);
            far[i] += implicit * after;
        }
        for i in hose..last {
            let joint = self.joint_stiffness(i, pressure_pa);
            let (a, b) = (1.0 / self.segment_m(i - 1), 1.0 / self.segment_m(i));
            let curl = |p: &[DVec3]| b * (p[i + 1] - p[i]) - a * (p[i] - p[i - 1]);
            let g = joint * (curl(&self.position) + ahead * curl(&self.velocity));
            s.force[i - 1] -= a * g;
            s.force[i] += (a + b) * g;
            s.force[i + 1] -= b * g;
            let implicit = dt * ahead * joint;
            s.matrix.diagonal[i - 1] += implicit * a * a;
            s.matrix.diagonal[i] += implicit * (a + b) * (a + b);
            s.matrix.diagonal[i + 1] += implicit * b * b;
            s.matrix.near[i - 1] -= implicit * a * (a + b);
            s.matrix.near[i] -= implicit * b * (a + b);
            s.matrix.far[i - 1] += implicit * a * b;
        }
        for (at, next, sign, place) in [(0, 1, 1.0, pinned[0]), (last, last - 1, -1.0, pinned[1])] {
            let Some((_, _, dir)) = place else { continue };
            if dir == DVec3::ZERO {
                continue;
            }
            let (clamp, l) = self.clamp_stiffness(at, pressure_pa);
            let clamp = clamp / (l * l);
            let x = self.position[next] - self.position[at] - sign * l * dir;
            let v = self.velocity[next] - self.velocity[at];
            s.force[next] -= clamp * (x + ahead * v);
            s.matrix.diagonal[next] += dt * ahead * clamp;
        }

        s.inverse_mass.clear();
        let inner = 1.0 / s.mass[1];
        s.inverse_mass
            .extend(s.mass.iter().enumerate().map(|(i, m)| {
                let inverse = if i > 0 && i < hose { inner } else { 1.0 / m };
                DVec3::splat(inverse)
            }));
        let before = [s.force[0], s.force[last]];
        self.touch_ground(dt, ground, s);
        s.outside[0] += s.force[0] - before[0];
        s.outside[1] += s.force[last] - before[1];

        // Ends that are held take no part: their velocity is given.
        for (node, place) in [(0, pinned[0]), (last, pinned[1])] {
            if place.is_some() {
                s.inverse_mass[node] = DVec3::ZERO;
            }
        }
        if pinned[0].is_some() {
            s.matrix.near[0] = 0.0;
            s.matrix.far[0] = 0.0;
        }
        if pinned[1].is_some() {
            s.matrix.near[last - 1] = 0.0;
            if last >= 2 {
                s.matrix.far[last - 2] = 0.0;
            }
        }
        s.right.clear();
        s.right.extend(s.force.iter().map(|f| dt * *f));
        for (node, place) in [(0, pinned[0]), (last, pinned[1])] {
            if place.is_some() {
                s.right[node] = DVec3::ZERO;
                s.matrix.diagonal[node] = DVec3::ONE;
            }
        }
    }

    /// What the ends are pulled with, after the tensions are known.
    pub(super) fn end_forces(
        &self,
        pinned: [Option<(DVec3, DVec3, DVec3)>; 2],
        pressure_pa: f64,
        s: &Scratch,
    ) -> RodForces {
        let last = self.position.len() - 1;
        let tangent = |j: usize| unit_or_up(self.position[j + 1] - self.position[j]);
        // Force of the bend at joint `i` on its neighbour across segment `j`.
        let curl = |i: usize, j: usize| {
            if i == 0 || i == last {
                return DVec3::ZERO;
            }
            let (a, b) = (1.0 / self.segment_m(i - 1), 1.0 / self.segment_m(i));
            let of = |p: &[DVec3]| b * (p[i + 1] - p[i]) - a * (p[i] - p[i - 1]);
            let g = of(&self.position) + self.spec.damping_s * of(&self.velocity);
            self.joint_stiffness(i, pressure_pa) / self.segment_m(j) * g
        };
        let clamp_of = |at: usize, dir: DVec3, bent: DVec3| {
            let (stiffness, l) = self.clamp_stiffness(at, pressure_pa);
            if dir == DVec3::ZERO {
                DVec3::ZERO
            } else {
                stiffness / l * bent
            }
        };
        let mut out = RodForces::default();
        if let Some((_, _, dir)) = pinned[0] {
            let t = tangent(0);
            let clamp = clamp_of(0, dir, t - dir);
            out.start_force = s.outside[0] + self.tension[0] * t + clamp - curl(1, 0);
            out.start_moment = self.clamp_stiffness(0, pressure_pa).0 * dir.cross(t);
        }
        if let Some((_, _, dir)) = pinned[1] {
            let t = tangent(last - 1);
            let clamp = clamp_of(last, dir, dir - t);
            let pull = self.tension[last - 1] * t;
            out.end_force = s.outside[1] - pull + clamp - curl(last - 1, last - 1);
            out.end_moment = self.clamp_stiffness(last, pressure_pa).0 * dir.cross(t);
        }
        out
    }
}
