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
/// A surface gives nothing a greater speed than this away from it, m/s (a choice of this project:
/// what falls on a floor does not jump back).
const OUT_M_S: f64 = 1.0;
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
        let per_s = 1.0 / dt;
        let rate = CONTACT_RATE_HZ.max(per_s);
        let hose = self.spec.segments;
        let radii = [self.radius_m(hose), self.radius_m(last)];
        let hard_rate = HARD_RATE * per_s;
        for i in 0..=last {
            let radius = radii[usize::from(i > hose)];
            let mut node = Node {
                position: self.position[i],
                velocity: self.velocity[i],
                // A node at an end stands for a whole segment here.
                mass: if i == 0 || i == last {
                    2.0 * s.mass[i]
                } else {
                    s.mass[i]
                },
                dt,
                per_s,
                friction_scale: self.spec.friction_scale,
                force: s.force[i],
                pressed: 0.0,
                resists: DVec3::ZERO,
                sticks: DVec3::ZERO,
                rubbed: 0.0,
            };
            let here = ground.touch(node.position, radius);
            let hard = here.is_some_and(|t| t.depth > HARD_TOUCH * radius);
            let far = (dt * node.velocity).length_squared() > radius * radius;
            let anchor = &mut self.anchor[i];
            if hard || far {
                let rates = [if hard { hard_rate } else { rate }, hard_rate];
                node.meet(here, hard, radius, rates, anchor, ground);
            } else if let Some(touch) = here {
                let pressing = node.press(&touch, rate);
                node.hold(&touch, pressing, anchor);
            } else {
                *anchor = None;
                self.pressed[i] = 0.0;
                continue;
            }
            s.force[i] = node.force;
            s.matrix.diagonal[i] += node.resists + node.sticks;
            // Surfaces lie level or stand upright, mostly: two axes of three are as they were.
            for axis in 0..3 {
                if node.resists[axis] != 0.0 {
                    s.inverse_mass[i][axis] = 1.0 / (s.mass[i] + node.resists[axis]);
                }
            }
            self.pressed[i] = node.pressed;
            self.rubbed[i] += node.rubbed;
        }
    }
}

/// A node, and what contact does to it.
struct Node {
    position: DVec3,
    velocity: DVec3,
    mass: f64,
    dt: f64,
    /// One over it, 1/s.
    per_s: f64,
    friction_scale: f64,
    /// All that acts on it, N.
    force: DVec3,
    /// What presses it, N.
    pressed: f64,
    /// What it gains in the matrix by springs across surfaces and along them, kg.
    resists: DVec3,
    sticks: DVec3,
    /// Work of the friction that it slides against, J.
    rubbed: f64,
}

impl Node {
    /// Contact of a node that moves far, or is touched hard, with all that it touches and
    /// meets; with the natural rates of springs that it touches and that it meets, 1/s.
    fn meet<G: Ground + ?Sized>(
        &mut self,
        here: Option<Touch>,
        hard: bool,
        radius: f64,
        [touching, meeting]: [f64; 2],
        anchor: &mut Option<DVec3>,
        ground: &G,
    ) {
        // A surface that is touched hard may hide another: a wall the floor.
        let aside = here.filter(|_| hard).and_then(|t| {
            let out = self.position + t.depth * t.normal;
            ground.touch(out, radius).filter(|u| is_other(&t, u))
        });
        let ahead = self.runs_into(radius, [here, aside], ground);
        let met = [(here, touching), (aside, meeting), (ahead, meeting)];
        let mut first = true;
        for (touch, rate) in met {
            let Some(touch) = touch else { continue };
            let pressing = self.press(&touch, rate);
            if first {
                self.hold(&touch, pressing, anchor);
            }
            first = false;
        }
        if first {
            *anchor = None;
        }
    }

    /// The first surface on its way within the substep that is another than those it touches
    /// already, with the depth it would have now if it were flat: negative before it.
    fn runs_into<G: Ground + ?Sized>(
        &self,
        radius: f64,
        touches: [Option<Touch>; 2],
        ground: &G,
    ) -> Option<Touch> {
        let way = self.velocity * self.dt;
        let length = way.length();
        if length <= radius {
            return None;
        }
        let strides = libm::ceil(length / radius).min(STRIDES_MOST);
        for k in 1..=strides as u32 {
            let gone = way * (f64::from(k) / strides);
            let Some(touch) = ground.touch(self.position + gone, radius) else {
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

    /// Presses it out of a surface, or stops it at the one it is about to meet, by a spring and
    /// a critical damper of a natural `rate`. Gives the force, N.
    #[inline(always)]
    fn press(&mut self, touch: &Touch, rate: f64) -> f64 {
        let n = touch.normal;
        let dt = self.dt;
        let approach = -self.velocity.dot(n);
        let half = self.mass * rate;
        let (k, c) = (half * rate, 2.0 * half);
        let next = touch.depth + dt * approach;
        // The damper acts for that part of the substep in which there is contact.
        let part = if touch.depth < 0.0 && approach > 0.0 {
            (next / (dt * approach)).clamp(0.0, 1.0)
        } else {
            1.0
        };
        let resists = dt * (dt * k + part * c);
        // What is found deep inside, a lance that was let go of with its tip in a wall, is pushed
        // out, not shot out: beyond what bears the other forces only for this speed.
        let most = (OUT_M_S + approach) * (self.mass + resists) * self.per_s - self.force.dot(n);
        let pressing = (k * next + part * c * approach).min(most).max(0.0);
        if pressing > 0.0 {
            self.force += pressing * n;
            self.resists += resists * (n * n);
            self.pressed += pressing;
        }
        pressing
    }

    /// Friction on a surface that it is pressed against: it sticks to a point, or slides.
    #[inline(always)]
    fn hold(&mut self, touch: &Touch, pressing: f64, anchor: &mut Option<DVec3>) {
        let (dt, n, v) = (self.dt, touch.normal, self.velocity);
        let stick_k = self.mass * STICK_RATE_HZ * STICK_RATE_HZ;
        let stick_c = self.mass * STICK_RATE_HZ;
        let limit = touch.friction * self.friction_scale * pressing;
        let next = self.position + dt * v;
        let at = *anchor.get_or_insert(self.position);
        let across = |u: DVec3| u - u.dot(n) * n;
        let hold = -across(stick_k * (next - at) + stick_c * v);
        let size = hold.length_squared();
        // What would have to be held to leave it where it is: a node that something else tears
        // away with more than the limit is not held for a substep first.
        let torn = across(self.force + self.mass * self.per_s * v);
        let slide = if size > limit * limit {
            hold * (limit / size.sqrt())
        } else if torn.length_squared() > limit * limit {
            -limit * unit(torn)
        } else {
            self.force += hold;
            self.sticks += dt * (dt * stick_k + stick_c) * (DVec3::ONE - n * n);
            return;
        };
        self.force += slide;
        self.rubbed += dt * (-slide.dot(v)).max(0.0);
        // The point it sticks to is dragged along, at the limit behind.
        *anchor = Some(next + slide / stick_k);
    }
}

/// Whether two touches are of surfaces that face different ways.
fn is_other(one: &Touch, other: &Touch) -> bool {
    one.normal.dot(other.normal) <= SAME_FACE
}
