//! What acts on the nodes of a rod: weight, water, air, bending, ground; and what
//! is left for those who hold its ends.

use glam::DVec3;

use super::{
    GUESS_LIMIT_N, MAX_SPEED_M_S, Rod, RodEnd, RodForces, Scratch, WATER_KG_PER_M3, unit_or_up,
};
use crate::GRAVITY_M_S2;
use crate::ground::Ground;

/// Natural rate of the contact spring of a free node along the normal, 1/s.
const CONTACT_RATE_HZ: f64 = 480.0;
/// The same across the normal; softer, so that the turn from sliding to
/// sticking takes several substeps.
const STICK_RATE_HZ: f64 = 240.0;
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
        let at_end = self.pressure_of_age(segment_s * (n - 1) as f64, &mut (0, 0.0));
        let mut cursor = (0, 0.0);
        for i in 0..n {
            let mut push = stream;
            if !uniform {
                push += area * (self.pressure_of_age(segment_s * i as f64, &mut cursor) - at_end);
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
        let l = self.spec.segment_m();
        let mass = self.spec.mass_kg_per_m(self.fill) * l;
        let pinned = [start.place(), end.place()];
        s.matrix.reset(n);
        s.inverse_mass.clear();
        s.inverse_mass.resize(n, 1.0 / mass);
        s.inverse_mass[0] = if pinned[0].is_some() { 0.0 } else { 2.0 / mass };
        s.inverse_mass[last] = if pinned[1].is_some() { 0.0 } else { 2.0 / mass };
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

        // Weight, pushes, old tensions, air.
        let drag =
            0.5 * AIR_KG_PER_M3 * self.spec.drag_coefficient * 2.0 * self.spec.outer_radius_m * l;
        for i in 0..n {
            let m = if i == 0 || i == last {
                0.5 * mass
            } else {
                mass
            };
            // Only the part across the hose meets the air.
            let t = s.tangent[i.min(last - 1)];
            let across = self.velocity[i] - self.velocity[i].dot(t) * t;
            let air = drag * across.length();
            s.force[i] += self.push[i] - air * across;
            s.force[i].y -= m * GRAVITY_M_S2;
            s.matrix.diagonal[i] = DVec3::splat(m + dt * air);
        }
        s.outside = [s.force[0], s.force[last]];
        for j in 0..last {
            self.tension[j] = self.tension[j].clamp(-GUESS_LIMIT_N, GUESS_LIMIT_N);
            let pull = self.tension[j] * s.tangent[j];
            s.force[j] += pull;
            s.force[j + 1] -= pull;
        }

        // Bending: forces at the position one step on, with its retardation.
        let bend = self.spec.bending_stiffness_at(pressure_pa) / (l * l * l);
        let ahead = dt + self.spec.damping_s;
        let implicit = dt * ahead * bend;
        for i in 1..last {
            let x = self.position[i - 1] - 2.0 * self.position[i] + self.position[i + 1];
            let v = self.velocity[i - 1] - 2.0 * self.velocity[i] + self.velocity[i + 1];
            let g = bend * (x + ahead * v);
            s.force[i - 1] -= g;
            s.force[i] += 2.0 * g;
            s.force[i + 1] -= g;
            s.matrix.diagonal[i - 1] += implicit;
            s.matrix.diagonal[i] += 4.0 * implicit;
            s.matrix.diagonal[i + 1] += implicit;
            s.matrix.near[i - 1] -= 2.0 * implicit;
            s.matrix.near[i] -= 2.0 * implicit;
            s.matrix.far[i - 1] += implicit;
        }
        for (at, next, sign, place) in [(0, 1, 1.0, pinned[0]), (last, last - 1, -1.0, pinned[1])] {
            let Some((_, _, dir)) = place else { continue };
            if dir == DVec3::ZERO {
                continue;
            }
            let x = self.position[next] - self.position[at] - sign * l * dir;
            let v = self.velocity[next] - self.velocity[at];
            s.force[next] -= 2.0 * bend * (x + ahead * v);
            s.matrix.diagonal[next] += 2.0 * implicit;
        }

        let before = [s.force[0], s.force[last]];
        self.touch_ground(dt, mass, ground, s);
        s.outside[0] += s.force[0] - before[0];
        s.outside[1] += s.force[last] - before[1];

        // Ends that are held take no part: their velocity is given.
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

    /// Contact of each node with the ground: normal spring, sticking, sliding.
    fn touch_ground<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        mass: f64,
        ground: &G,
        s: &mut Scratch,
    ) {
        let normal_k = mass * CONTACT_RATE_HZ * CONTACT_RATE_HZ;
        let normal_c = 2.0 * mass * CONTACT_RATE_HZ;
        let stick_k = mass * STICK_RATE_HZ * STICK_RATE_HZ;
        let stick_c = mass * STICK_RATE_HZ;
        for i in 0..self.position.len() {
            let Some(touch) = ground.touch(self.position[i], self.spec.outer_radius_m) else {
                self.anchor[i] = None;
                continue;
            };
            let n = touch.normal;
            let v = self.velocity[i];
            let approach = -v.dot(n);
            let pressing =
                (normal_k * (touch.depth + dt * approach) + normal_c * approach).max(0.0);
            s.force[i] += pressing * n;
            let normal_part = n * n;
            s.matrix.diagonal[i] += dt * (dt * normal_k + normal_c) * normal_part;

            let limit = touch.friction * self.spec.friction_scale * pressing;
            let next = self.position[i] + dt * v;
            let anchor = *self.anchor[i].get_or_insert(self.position[i]);
            let across = |u: DVec3| u - u.dot(n) * n;
            let hold = -stick_k * across(next - anchor) - stick_c * across(v);
            let size = hold.length();
            if size <= limit {
                s.force[i] += hold;
                s.matrix.diagonal[i] += dt * (dt * stick_k + stick_c) * (DVec3::ONE - normal_part);
            } else {
                let slide = hold * (limit / size);
                s.force[i] += slide;
                // The point it sticks to is dragged along, at the limit behind.
                self.anchor[i] = Some(next + slide / stick_k);
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
        let n = self.position.len();
        let last = n - 1;
        let l = self.spec.segment_m();
        let bend = self.spec.bending_stiffness_at(pressure_pa);
        let tangent = |j: usize| unit_or_up(self.position[j + 1] - self.position[j]);
        let curl = |i: usize| {
            let k = bend / (l * l * l);
            let x = self.position[i - 1] - 2.0 * self.position[i] + self.position[i + 1];
            let v = self.velocity[i - 1] - 2.0 * self.velocity[i] + self.velocity[i + 1];
            k * (x + self.spec.damping_s * v)
        };
        let mut out = RodForces::default();
        if let Some((_, _, dir)) = pinned[0] {
            let t = tangent(0);
            let clamp = if dir == DVec3::ZERO {
                DVec3::ZERO
            } else {
                2.0 * bend / (l * l) * (t - dir)
            };
            out.start_force = s.outside[0] + self.tension[0] * t + clamp - curl(1);
            out.start_moment = 2.0 * bend / l * dir.cross(t);
        }
        if let Some((_, _, dir)) = pinned[1] {
            let t = tangent(last - 1);
            let clamp = if dir == DVec3::ZERO {
                DVec3::ZERO
            } else {
                2.0 * bend / (l * l) * (dir - t)
            };
            out.end_force = s.outside[1] - self.tension[last - 1] * t + clamp - curl(last - 1);
            out.end_moment = 2.0 * bend / l * dir.cross(t);
        }
        out
    }
}
