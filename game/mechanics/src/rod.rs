//! A hose as a rod of point masses: inextensible, bending, lying, kicking.
//!
//! **Equations.** Nodes a segment apart carry the mass of hose and water.
//! Bending has the energy `EI / (2 l^3) |x[i-1] - 2 x[i] + x[i+1]|^2`, which for
//! segments of constant length is `EI (1 - cos theta) / l`: quadratic in the
//! positions, so its forces are exactly linear and are taken implicitly. A
//! clamped end counts half a segment, hence twice the stiffness. Axially a
//! segment is a spring of `EA / l`, stiff enough to be a constraint, and solved
//! as one.
//!
//! **Solution.** Each substep solves one five-band system for the velocities
//! with weight, bending, contact, air and the tensions of the substep before;
//! then Newton steps, each one three-band system, correct the tensions until
//! every segment has the length its tension gives it. Because the first solve
//! starts from the old tensions, a rod at rest is at rest exactly, in spite of
//! the splitting. Both solves are direct: no iteration count decides how stiff
//! the hose is.
//!
//! **Water.** A stream of mass flow `m` and velocity `V` gives each bend the
//! force `m V (t_in - t_out)`, of magnitude `2 m V sin(theta / 2)`. A pressure
//! front runs along at the wave speed; while a node stands at a pressure that
//! differs by `dp` from that at the end, it feels `dp A (t_in - t_out)`, the
//! elbow force of the textbooks. Once the front has passed, the wall carries
//! `p A` all along, which moves nothing.
//!
//! **Contact.** A spring and damper to the ground at each node, with a
//! Coulomb limit: a node below its limit is held by a point it sticks to, so
//! that a lying hose does not creep. A node that moves far in a substep is stopped
//! at what lies on its way ([`Rod::substeps_wanted`]).
//!
//! Speeds are bounded at [`MAX_SPEED_M_S`].

mod banded;
mod contact;
mod end;
mod forces;
mod lay;
mod measure;
mod part;
mod spec;
mod tail;
#[cfg(test)]
mod tests;

use std::collections::VecDeque;

use glam::DVec3;
use serde::{Deserialize, Serialize};

use crate::ground::Ground;
use banded::{Penta, solve_tridiagonal};
pub use contact::SUBSTEPS_MOST;
pub use end::RodEnd;
pub(crate) use end::is_a_place;
pub use spec::{RodError, RodSpec, WATER_KG_PER_M3};
use tail::Tail;
pub use tail::{TailSpec, Tip};

/// Nodes are never let go faster than this, m/s; a whipping end stays below.
pub const MAX_SPEED_M_S: f64 = 150.0;
/// Tensions beyond this are not carried over as a first guess, N.
const GUESS_LIMIT_N: f64 = 50_000.0;
/// The Newton step for the tensions that starts from a residual below this, m, is the
/// last: it leaves the square of it. There is always one, at most [`MAX_NEWTON`].
const LENGTH_TOLERANCE_M: f64 = 1e-5;
const MAX_NEWTON: usize = 6;
/// Forces from outside beyond this are cut, N.
const PUSH_LIMIT_N: f64 = 1e6;
/// A rod slower than this for [`SLEEP_AFTER_S`] falls asleep.
const SLEEP_SPEED_M_S: f64 = 0.003;
const SLEEP_AFTER_S: f64 = 0.5;

/// What the rod does to what holds its ends.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct RodForces {
    /// Force of the hose on the coupling at its start, N.
    pub start_force: DVec3,
    /// Force of the hose on the tool at its end, N. The inertia of the last half
    /// segment is left out: it moves with the tool and belongs to its mass.
    pub end_force: DVec3,
    /// Moment of the hose on the coupling, N m; it turns the coupling's
    /// direction towards the hose.
    pub start_moment: DVec3,
    /// Moment of the hose on the tool, N m.
    pub end_moment: DVec3,
}

/// What a sleeping rod wakes from, if it changes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Sleep {
    start: RodEnd,
    end: RodEnd,
    pressure_pa: f64,
    mass_flow: f64,
}

/// Working space, empty between substeps as far as anybody can tell.
#[derive(Clone, Debug, Default)]
struct Scratch {
    matrix: Penta,
    right: Vec<DVec3>,
    force: Vec<DVec3>,
    mass: Vec<f64>,
    /// What moves a node per axis: less where it is pressed against something.
    inverse_mass: Vec<DVec3>,
    predicted: Vec<DVec3>,
    tangent: Vec<DVec3>,
    /// What is given to the nodes from outside, pushes and thrusts, N.
    given: Vec<DVec3>,
    pushed: bool,
    diagonal: Vec<f64>,
    off: Vec<f64>,
    change: Vec<f64>,
    /// Weight, water, pushes and contact on the two end nodes, N.
    outside: [DVec3; 2],
}

impl PartialEq for Scratch {
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

/// A hose in motion or at rest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rod {
    spec: RodSpec,
    /// A lance that lies loose at the end of the hose.
    tail: Option<Tail>,
    fill: f64,
    position: Vec<DVec3>,
    velocity: Vec<DVec3>,
    /// Tension of each segment, N, positive when it pulls.
    tension: Vec<f64>,
    /// The point each node in contact sticks to.
    anchor: Vec<Option<DVec3>>,
    /// What each node was pressed with in the last substep, N, and the work of friction on it
    /// so far, J.
    pressed: Vec<f64>,
    rubbed: Vec<f64>,
    /// Forces from outside for the next substep.
    push: Vec<DVec3>,
    /// Thrust of what leaves the start and the end in the next substep, N.
    thrust: [f64; 2],
    /// Work of pushes and thrusts in the last substep, J.
    pushed_j: f64,
    /// Where the pressure is taken, and fronts come from.
    pressed_from: Tip,
    /// Inlet pressures of the last moments, newest first: length of the substep, s, and Pa.
    inlet: VecDeque<(f64, f64)>,
    still_s: f64,
    asleep: Option<Sleep>,
    forces: RodForces,
    #[serde(skip)]
    scratch: Scratch,
}

impl Rod {
    /// A rod along `path` (points of its centre line), full of water, without
    /// pressure, come to rest on `ground` with both ends where the path ends.
    ///
    /// # Errors
    /// A field out of range, or a path that does not suit the length.
    pub fn along<G: Ground + ?Sized>(
        spec: RodSpec,
        path: &[DVec3],
        ground: &G,
    ) -> Result<Self, RodError> {
        spec.check()?;
        let nodes = lay::lay(&spec, path)?;
        let mut rod = Self::from_nodes(spec, nodes);
        let ends = [path[0], path[path.len() - 1]].map(|p| RodEnd::Fixed(p, DVec3::ZERO));
        // One second, its motion damped away, is long enough to fall into place.
        for _ in 0..480 {
            rod.substep(1.0 / 480.0, ends[0], ends[1], 0.0, 0.0, ground);
            for v in &mut rod.velocity {
                *v *= 0.97;
            }
        }
        rod.velocity.fill(DVec3::ZERO);
        rod.rubbed.fill(0.0);
        rod.wake();
        Ok(rod)
    }

    /// A rod with its nodes where they are given, at rest.
    fn from_nodes(spec: RodSpec, position: Vec<DVec3>) -> Self {
        let n = position.len();
        Self {
            fill: 1.0,
            velocity: vec![DVec3::ZERO; n],
            tension: vec![0.0; n.saturating_sub(1)],
            anchor: vec![None; n],
            pressed: vec![0.0; n],
            rubbed: vec![0.0; n],
            push: vec![DVec3::ZERO; n],
            thrust: [0.0; 2],
            pushed_j: 0.0,
            tail: None,
            pressed_from: Tip::Start,
            inlet: VecDeque::new(),
            still_s: 0.0,
            asleep: None,
            forces: RodForces::default(),
            scratch: Scratch::default(),
            position,
            spec,
        }
    }

    /// What the rod is made of.
    #[must_use]
    pub fn spec(&self) -> &RodSpec {
        &self.spec
    }

    /// Positions of the nodes from start to end, a tail included, m.
    #[must_use]
    pub fn nodes(&self) -> &[DVec3] {
        &self.position
    }

    /// Velocities of the nodes, m/s.
    #[must_use]
    pub fn velocities(&self) -> &[DVec3] {
        &self.velocity
    }

    /// Tension of each segment, N, positive when it pulls.
    #[must_use]
    pub fn tensions(&self) -> &[f64] {
        &self.tension
    }

    /// What the last substep returned.
    #[must_use]
    pub fn forces(&self) -> RodForces {
        self.forces
    }

    /// Whether the rod lies still and costs next to nothing.
    #[must_use]
    pub fn is_asleep(&self) -> bool {
        self.asleep.is_some()
    }

    /// Wakes a sleeping rod: for changes the rod cannot see, such as a ground that moves.
    pub fn wake(&mut self) {
        self.still_s = 0.0;
        self.asleep = None;
    }

    /// Sets how much of the bore is full of water, 0 to 1.
    pub fn set_fill(&mut self, fill: f64) {
        let fill = if fill.is_finite() {
            fill.clamp(0.0, 1.0)
        } else {
            1.0
        };
        if fill != self.fill {
            self.fill = fill;
            self.wake();
        }
    }

    /// Applies a force, N, to one node during the next substep; forces add up.
    /// An index beyond the last node means the last; the sum is cut at 1 MN.
    pub fn push(&mut self, node: usize, force_n: DVec3) {
        let usable = force_n.is_finite() && force_n.abs().max_element() < 1e100;
        if usable && force_n != DVec3::ZERO {
            let node = node.min(self.push.len() - 1);
            self.push[node] = (self.push[node] + force_n.clamp_length_max(PUSH_LIMIT_N))
                .clamp_length_max(PUSH_LIMIT_N);
            self.wake();
        }
    }

    /// Moves the rod on by `dt` seconds (1/480 s; at most 1/100).
    ///
    /// `pressure_pa` is the gauge pressure at the start of the hose, or at its end once it has
    /// parted there: fronts come from where the pressure changes. `mass_flow` is the flow
    /// through it in kg/s. The stream gives up its momentum at the end
    /// node, so the caller applies the whole reaction of what leaves there.
    pub fn substep<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        start: RodEnd,
        end: RodEnd,
        pressure_pa: f64,
        mass_flow: f64,
        ground: &G,
    ) -> RodForces {
        if !(dt > 0.0 && dt <= 0.01) {
            return self.forces;
        }
        let pressure_pa = if pressure_pa.is_finite() {
            pressure_pa.clamp(0.0, 1e9)
        } else {
            0.0
        };
        let mass_flow = if mass_flow.is_finite() {
            mass_flow.clamp(-1e3, 1e3)
        } else {
            0.0
        };
        if let Some(sleep) = &self.asleep {
            let same = sleep.start.is_near(&start)
                && sleep.end.is_near(&end)
                && (sleep.pressure_pa - pressure_pa).abs() < (0.02 * sleep.pressure_pa).max(1e5)
                && (sleep.mass_flow - mass_flow).abs() < 0.02;
            if same {
                self.pushed_j = 0.0;
                return self.forces;
            }
            self.wake();
        }

        // The scratch is taken out so that it and the state can be lent apart.
        let mut s = core::mem::take(&mut self.scratch);
        self.remember_pressure(dt, pressure_pa);
        self.gather(dt, start, end, pressure_pa, mass_flow, ground, &mut s);
        s.matrix.solve(&mut s.right);
        s.predicted.clear();
        for i in 0..self.position.len() {
            s.predicted
                .push(self.position[i] + dt * (self.velocity[i] + s.right[i]));
        }
        let pinned = [start.place(), end.place()];
        let last = self.position.len() - 1;
        for (node, place) in [(0, pinned[0]), (last, pinned[1])] {
            if let Some((pos, _, _)) = place {
                s.predicted[node] = pos;
            }
        }
        self.tighten(dt, &mut s);
        self.advance(dt, pinned, &mut s);
        self.forces = self.end_forces(pinned, pressure_pa, &s);
        self.scratch = s;
        self.push.fill(DVec3::ZERO);
        self.thrust = [0.0; 2];
        self.doze(dt, start, end, pressure_pa, mass_flow);
        self.forces
    }

    /// Newton steps on the tensions, from the predicted positions.
    fn tighten(&mut self, dt: f64, s: &mut Scratch) {
        let n = self.position.len();
        let hose = self.spec.segments;
        let lengths = [self.segment_m(0), self.segment_m(hose)];
        let gives = lengths.map(|l| l / self.spec.axial_stiffness_n);
        let w2 = dt * dt;
        let predicted = &mut s.predicted[..n];
        let inverse_mass = &s.inverse_mass[..n];
        let tangent = &mut s.tangent[..n - 1];
        let tension = &mut self.tension[..n - 1];
        for _ in 0..MAX_NEWTON {
            s.diagonal.clear();
            s.off.clear();
            s.change.clear();
            let mut worst = 0.0_f64;
            let mut before = DVec3::ZERO;
            for j in 0..n - 1 {
                let d = predicted[j + 1] - predicted[j];
                let length = d.length().max(1e-9);
                let t = d / length;
                let part = usize::from(j >= hose);
                let (l, give) = (lengths[part], gives[part]);
                let residual = length - l - give * tension[j];
                worst = worst.max(residual.abs());
                let moves = inverse_mass[j] * t;
                if j > 0 {
                    s.off.push(-w2 * moves.dot(before));
                }
                before = t;
                tangent[j] = t;
                s.diagonal
                    .push(give + w2 * t.dot(moves + inverse_mass[j + 1] * t));
                s.change.push(residual);
            }
            solve_tridiagonal(&mut s.diagonal, &s.off, &mut s.change);
            let change = &s.change[..n - 1];
            for j in 0..n - 1 {
                let pull = w2 * change[j] * tangent[j];
                predicted[j] += inverse_mass[j] * pull;
                predicted[j + 1] -= inverse_mass[j + 1] * pull;
                tension[j] += change[j];
            }
            if worst < LENGTH_TOLERANCE_M {
                break;
            }
        }
    }

    /// Takes over the new positions; velocities are what moved them.
    fn advance(&mut self, dt: f64, pinned: [Option<(DVec3, DVec3, DVec3)>; 2], s: &mut Scratch) {
        self.pushed_j = 0.0;
        for (i, &x) in s.predicted.iter().enumerate() {
            let v = (x - self.position[i]) / dt;
            if v.length_squared() <= MAX_SPEED_M_S * MAX_SPEED_M_S {
                self.velocity[i] = v;
                self.position[i] = x;
            } else if v.is_finite() {
                self.velocity[i] = v.clamp_length_max(MAX_SPEED_M_S);
                self.position[i] += dt * self.velocity[i];
            } else {
                self.velocity[i] = DVec3::ZERO;
            }
        }
        if s.pushed {
            let work = s.given.iter().zip(&self.velocity).map(|(f, v)| f.dot(*v));
            self.pushed_j = dt * work.sum::<f64>();
        }
        let last = self.position.len() - 1;
        for (node, place) in [(0, pinned[0]), (last, pinned[1])] {
            if let Some((pos, vel, _)) = place {
                self.position[node] = pos;
                self.velocity[node] = vel;
            }
        }
    }

    fn doze(&mut self, dt: f64, start: RodEnd, end: RodEnd, pressure_pa: f64, mass_flow: f64) {
        let fastest = self
            .velocity
            .iter()
            .map(|v| v.length_squared())
            .fold(0.0, f64::max);
        if fastest > SLEEP_SPEED_M_S * SLEEP_SPEED_M_S {
            self.still_s = 0.0;
            return;
        }
        self.still_s += dt;
        if self.still_s >= SLEEP_AFTER_S {
            self.velocity.fill(DVec3::ZERO);
            self.inlet.clear();
            self.inlet.push_front((dt, pressure_pa));
            self.asleep = Some(Sleep {
                start,
                end,
                pressure_pa,
                mass_flow,
            });
        }
    }
}
