//! Who acts in the yard, and what they can know.
//!
//! Everything that a hand can do is an [`Input`]; everything that a person can
//! see, hear or feel from where they stand is a [`Percepts`]. People played by
//! the program (the crew, the pilot that follows a script, bots) live here.
//! They turn percepts into inputs, exactly as a person at the keys does, and
//! they cannot do anything else: this crate does not depend on the one that
//! holds observations, faults and marks, so that the compiler keeps them
//! honest.

#[cfg(test)]
mod afoot;
pub mod bot;
pub mod control;
mod ears;
pub mod fault;
pub mod input;
pub mod lance_hand;
pub mod mate;
pub mod percept;
pub mod person;
pub mod pilot;
pub mod pump_hand;
pub mod script;
mod shock;
pub mod tick;
pub mod visitor;
pub mod watch;

pub use bot::Bot;
pub use control::{Control, Handling};
pub use fault::{Extent, Fault, Part};
pub use input::{Act, Call, Input, Ppe, Seat, Source, Stance, Task};
pub use lance_hand::{LanceHand, LanceHandWays};
pub use mate::{Mate, MateWays};
pub use percept::{Heard, OwnBody, Percepts, Sound, Spot, ToolSense};
pub use person::{Mind, Past, Person, Site, Skill, Spoken, SurfaceFrame};
pub use pilot::{Outcome, Pilot, PressureLimit, StuckReason};
pub use pump_hand::{PumpHand, PumpHandWays};
pub use script::{Cue, Goal, Script};
pub use tick::{TICKS_PER_SECOND, Tick};
pub use visitor::{Visitor, VisitorWays};
pub use watch::{Watch, WatchWays};
