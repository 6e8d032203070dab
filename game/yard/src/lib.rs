//! The simulated yard: Bevy's ECS and Rapier, without rendering.
//!
//! [`Yard::step`] owns the tick. It runs a private, single-threaded schedule on
//! a private world, 120 times a simulated second, and the engine's clock never
//! drives it: a window, the pilot, a bot and a replay all call the same
//! function, as often as they like. The order of a tick is one chain of
//! systems, in `yard.rs`.

mod aim;
pub mod attempt;
mod faults;
mod flow;
mod hands;
mod hazards;
pub mod hose;
mod jets;
pub mod live;
mod machine;
mod noise;
mod observe;
mod people;
mod physics;
pub mod play;
pub mod player;
mod put_up;
pub mod second;
mod senses;
mod surface;
mod tool;
pub mod torn;
pub mod view;
mod words;
mod yard;

pub use attempt::{Attempt, AttemptFault, Beginning};
pub use flow::Meter;
pub use live::Live;
pub use player::Player;
pub use view::ViewFrame;
pub use yard::{KEYFRAME_TICKS, Yard, YardFault, YardState};
