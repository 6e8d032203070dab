//! What water and machines do, from the pump's crank to the jet.
//!
//! Engine-free: `f64`, SI units, gauge pressure unless a name says absolute, no clock, no
//! random numbers, no input or output. Mass flow is the conserved quantity; a volume flow is
//! always quoted at suction (atmospheric) density.
//!
//! [`circuit::Circuit`] is the assembled system and holds the one order of evaluation.
//! [`steady`] finds the operating point the circuit settles to, without stepping it.
//!
//! A key in square brackets after "Source" is told in full in `SOURCES.md`. Data of
//! machines hold in the ranges that their `validate` checks.
#![deny(missing_docs)]

pub mod balance;
pub mod bleed;
pub mod branch;
mod breaks;
pub mod burst_disc;
pub mod circuit;
pub mod condition;
pub mod constant;
pub mod controls;
pub mod dump;
pub mod engine;
pub mod friction;
pub mod gun;
pub mod hazard;
pub mod hose;
pub mod jet;
pub mod line;
pub mod noise;
pub mod nozzle;
pub mod oil;
pub mod orifice;
pub mod outlet;
mod polynomial;
pub mod power_end;
pub mod pump;
pub mod regulator;
pub mod relief;
pub mod spec;
pub mod steady;
pub mod storage;
pub mod suction;
pub mod tank;
pub mod units;
pub mod water;

pub use balance::Balance;
pub use bleed::BleedSpec;
pub use branch::{BranchSpec, IsolatingSpec, SecondInstant, SecondSpec};
pub use breaks::{Torn, TornEnd};
pub use burst_disc::BurstDiscSpec;
pub use circuit::{Circuit, CircuitState, Instant};
pub use condition::Condition;
pub use controls::{Controls, HoseEnd, SecondAsked};
pub use dump::DumpSpec;
pub use engine::{EngineSpec, TorquePoint};
pub use gun::{GunKind, GunSpec};
pub use hose::HoseSpec;
pub use jet::{Exit, Impact, JetKind, JetSpec, Removal, Spot, Sweep, sweep};
pub use nozzle::NozzleSpec;
pub use oil::OilSpec;
pub use power_end::{OilTrip, PowerEndSpec};
pub use pump::PumpSpec;
pub use regulator::RegulatorSpec;
pub use relief::ReliefSpec;
pub use spec::{CircuitSpec, SpecError};
pub use suction::SuctionSpec;
pub use tank::TankSpec;
