//! What pushes and is pushed: a hose as a rod, the operator who holds its end, and the
//! lance that the operator aims; and what they do when nobody holds them any more: a lance that
//! thrashes, a hose that parts and whips, the restraint that is to keep it.
//!
//! Everything is in SI units and `f64`; y points up, right-handed. Nothing here
//! knows an engine, a clock or a source of chance: the same calls give the same
//! bits. Every state can be cloned, compared, written and read back, and goes on
//! from there bit for bit.
//!
//! # The order of a substep
//!
//! The yard ticks 120 times a second and calls four substeps of 1/480 s a tick.
//! Within one substep the caller does, in this order:
//!
//! 1. take pressure and mass flow in the hose, and the thrust of the nozzle,
//!    from the hydraulics;
//! 2. [`Rod::substep`] with its start at the coupling and its end at
//!    [`Body::hands`] (where the last substep left them) and the direction of the
//!    tool; it returns what the hose does to coupling and tool;
//! 3. add the hose's `end_force` and the reaction thrust (against the jet, at
//!    its full momentum) into one load;
//! 4. [`Body::substep`] with that load: the body moves, the hands with it;
//! 5. [`Tool::substep`] with the thrust and the torque of the hose about the
//!    hands: the lance turns.
//!
//! So the hose sees the hands of the substep before: a lag of 2 ms. Where a
//! hose end lies free the caller gives [`RodEnd::Free`] and applies the
//! reaction of what leaves it with [`Rod::thrust`].
//!
//! A lance that is let go of becomes the tail of the rod ([`Rod::let_go`]) and is pushed by
//! [`Rod::push_tip`]. A hose that parts becomes two rods ([`Rod::part`]), and a
//! [`Parting`] pushes both before each of their substeps. While something whips, the rods
//! want several substeps instead of one ([`Rod::substeps_wanted`],
//! [`Parting::substeps_wanted`]).
//!
//! Inside [`Rod::substep`]: forces (weight, bending, stream in bends, pressure
//! front, air, contact) at the state to come; one implicit banded solve for the
//! velocities; then a direct solve for the tensions, repeated until every
//! segment has the length its tension gives it. Inside [`Body::substep`]: gait
//! and brace; percept of a reaction time ago; prediction from it; wanted ground
//! force; what the base of support and the footing allow of it; motion; step,
//! slip and fall; arms; endurance.
//!
//! # Not modelled
//!
//! The twist of the hose and contact of the hose with itself; the turning of the
//! body about the vertical by a load; a lance that is held and strikes something; the motion of
//! a body once it lies; contact of hose and lance between two nodes, at the edge of a wall.

pub mod body;
pub mod ground;
#[cfg(test)]
mod reference;
pub mod rod;
pub mod tether;
pub mod tool;
pub mod whip;

pub use body::{Body, BodyEvents, BodyIntent, BodySpec, Stance};
pub use ground::{Flat, Ground, Touch};
pub use rod::{Rod, RodEnd, RodError, RodForces, RodSpec, TailSpec, Tip};
pub use tether::{Anchor, Tether, TetherError, TetherSpec};
pub use tool::{Tool, ToolError, ToolIntent, ToolSpec};
pub use whip::{FastTo, Outflow, Parting};

/// Standard acceleration of gravity, m/s2. Source: ISO 80000-3, conventional value.
pub const GRAVITY_M_S2: f64 = 9.80665;
