//! Contact of the nodes with the ground, and how not to miss it.
//!
//! A node that moves further than its radius within a substep could pass a floor or a thin
//! wall unseen. So its way is looked along, in strides of a radius, for the first surface it
//! runs into; that surface, taken as flat, acts on it from where it will be met. The spring
//! of a contact gets stiffer with shorter substeps, so that what comes fast stays within a
//! radius of the surface at the substeps of [`Rod::substeps_wanted`].

use glam::DVec3;

use super::end::unit;
use super::{Rod, Scratch};
use crate::ground::{Ground, Touch};

/// Least natural rate of the contact spring of a free node along the normal, 1/s.
const CONTACT_RATE_HZ: f64 = 480.0;
/// The same across the normal; softer, so that the turn from sliding to
/// sticking takes several substeps.
const STICK_RATE_HZ: f64 = 240.0;
/// A way is looked along in no more strides than this.
const STRIDES_MOST: f64 = 64.0;
/// Surfaces whose normals differ by more than this (as a cosine) are two.
const SAME_FACE: f64 = 0.9;
/// A touch deeper than this part of the radius is hard.
const HARD_TOUCH: f64 = 0.1;
/// Natural rate of the contact spring for a blow, in units of one over the substep: all but a
/// ninth of the speed is gone within one.
const HARD_RATE: f64 = 2.0;
/// Nobody need split a substep into more than this.
pub const SUBSTEPS_MOST: usize = 8;

impl Rod {
    /// How many substeps a time of `dt` is to be split into, so that no node moves much further
    /// than its radius in one: 1 for a hose that is handled, at most [`SUBSTEPS_MOST`]
    /// for one that whips.
    #[must_use]
    pub fn substeps_wanted(&self, dt: f64) -> usize {
        let radius = self.spec.outer_radius_m.min(self.radius_m(usize::MAX));
        let wanted = libm::ceil(self.fastest_m_s() * dt.max(0.0) / radius);
        wanted.clamp(1.0, SUBSTEPS_MOST as f64) as usize
    }

    /// Contact of each node with the ground: normal spring, sticking, sliding.
    pub(super) fn touch_ground<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        ground: &G,
        s: &mut Scratch,
    ) {
        let last = self.position.len() - 1;
        let rate = CONTACT_RATE_HZ.max(1.0 / dt);
        let hose = self.spec.segments;
        let radii = [self.radius_m(hose), self.radius_m(last)];
        for i in 0..=last {
            let radius = radii[usize::from(i > hose)];
            // A node at an end stands for a whole segment here.
            let mass = if i == 0 || i == last {
                2.0 * s.mass[i]
            } else {
                s.mass[i]
            };
            self.pressed[i] = 0.0;
            let here = ground.touch(self.position[i], radius);
            let hard = here.is_some_and(|t| t.depth > HARD_TOUCH * radius);
            let far = (dt * self.velocity[i]).length_squared() > radius * radius;
            if hard || far {
                let rates = [if hard { HARD_RATE / dt } else { rate }, HARD_RATE / dt];
                self.meet(i, here, hard, [radius, mass, dt], rates, ground, s);
            } else if let Some(touch) = here {
                let pressing = self.press(i, &touch, mass * rate, rate, dt, s);
                self.hold(i, &touch, pressing, mass, dt, s);
            } else {
                self.anchor[i] = None;
            }
        }
    }

    /// Contact of a node that moves far, or is pressed hard, with all that it touches and
    /// meets; with the natural rates of springs that it touches and that it meets, 1/s.
    #[allow(clippy::too_many_arguments)]
    fn meet<G: Ground + ?Sized>(
        &mut self,
        i: usize,
        here: Option<Touch>,
        hard: bool,
        [radius, mass, dt]: [f64; 3],
        [touching, meeting]: [f64; 2],
        ground: &G,
        s: &mut Scratch,
    ) {
        // A surface that is touched hard may hide another: a wall the floor.
        let aside = here.filter(|_| hard).and_then(|t| {
            let out = self.position[i] + t.depth * t.normal;
            ground.touch(out, radius).filter(|u| is_other(&t, u))
        });
        let ahead = self.runs_into(i, radius, dt, [here, aside], ground);
        let met = [(here, touching), (aside, meeting), (ahead, meeting)];
        let mut first = true;
        for (touch, rate) in met {
            let Some(touch) = touch else { continue };
            let pressing = self.press(i, &touch, mass * rate, rate, dt, s);
            if first {
                self.hold(i, &touch, pressing, mass, dt, s);
            }
            first = false;
        }
        if first {
            self.anchor[i] = None;
        }
    }

    /// The first surface on the way of node `i` within `dt` that is another than those it
    /// touches already, with the depth it would have now if it were flat: negative before it.
    fn runs_into<G: Ground + ?Sized>(
        &self,
        i: usize,
        radius: f64,
        dt: f64,
        touches: [Option<Touch>; 2],
        ground: &G,
    ) -> Option<Touch> {
        let way = self.velocity[i] * dt;
        if way.length_squared() <= radius * radius {
            return None;
        }
        let length = way.length();
        let strides = libm::ceil(length / radius).min(STRIDES_MOST);
        for k in 1..=strides as u32 {
            let gone = way * (f64::from(k) / strides);
            let Some(touch) = ground.touch(self.position[i] + gone, radius) else {
                continue;
            };
            let into = -gone.dot(touch.normal);
            if into > 0.0 && touches.iter().flatten().all(|t| is_other(t, &touch)) {
                let depth = touch.depth - into;
                return Some(Touch { depth, ..touch });
            }
        }
        None
    }

    /// Presses node `i` out of a surface, or stops it at the one it is about to meet. Gives
    /// the force, N. `damping` is that of a free node, kg/s, at its natural `rate`.
    #[inline]
    fn press(
        &mut self,
        i: usize,
        touch: &Touch,
        damping: f64,
        rate: f64,
        dt: f64,
        s: &mut Scratch,
    ) -> f64 {
        let n = touch.normal;
        let approach = -self.velocity[i].dot(n);
        let (k, c) = (damping * rate, 2.0 * damping);
        let next = touch.depth + dt * approach;
        // The damper acts for that part of the substep in which there is contact.
        let part = if touch.depth < 0.0 && approach > 0.0 {
            (next / (dt * approach)).clamp(0.0, 1.0)
        } else {
            1.0
        };
        let pressing = (k * next + part * c * approach).max(0.0);
        if pressing > 0.0 {
            self.pressed[i] += pressing;
            s.force[i] += pressing * n;
            let resists = dt * (dt * k + part * c) * (n * n);
            s.matrix.diagonal[i] += resists;
            s.inverse_mass[i] += resists;
        }
        pressing
    }

    /// Friction of node `i` on a surface it is pressed against.
    #[inline]
    fn hold(
        &mut self,
        i: usize,
        touch: &Touch,
        pressing: f64,
        mass: f64,
        dt: f64,
        s: &mut Scratch,
    ) {
        let stick_k = mass * STICK_RATE_HZ * STICK_RATE_HZ;
        let stick_c = mass * STICK_RATE_HZ;
        let n = touch.normal;
        let v = self.velocity[i];
        let limit = touch.friction * self.spec.friction_scale * pressing;
        let next = self.position[i] + dt * v;
        let anchor = *self.anchor[i].get_or_insert(self.position[i]);
        let across = |u: DVec3| u - u.dot(n) * n;
        let hold = -stick_k * across(next - anchor) - stick_c * across(v);
        let size = hold.length();
        // What would have to be held to leave it where it is: a node that something else tears
        // away with more than the limit is not held for a substep first.
        let torn = across(s.force[i] + mass / dt * v);
        if size <= limit && torn.length_squared() > limit * limit {
            let slide = -limit * unit(torn);
            s.force[i] += slide;
            self.anchor[i] = Some(next + slide / stick_k);
            self.rubbed[i] += dt * (-slide.dot(v)).max(0.0);
        } else if size <= limit {
            s.force[i] += hold;
            s.matrix.diagonal[i] += dt * (dt * stick_k + stick_c) * (DVec3::ONE - n * n);
        } else {
            let slide = hold * (limit / size);
            s.force[i] += slide;
            // The point it sticks to is dragged along, at the limit behind.
            self.anchor[i] = Some(next + slide / stick_k);
            self.rubbed[i] += dt * (-slide.dot(v)).max(0.0);
        }
    }
}

/// Whether two touches are of surfaces that face different ways.
fn is_other(one: &Touch, other: &Touch) -> bool {
    one.normal.dot(other.normal) <= SAME_FACE
}
