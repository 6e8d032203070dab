//! The face of the yard: a window, hands, pictures and sound.
//!
//! The scene holds nothing of the yard. It turns keys, mouse and pad into
//! inputs, asks for as many ticks as time allows, receives two unchanging
//! pictures ([`yard::ViewFrame`]) and draws what lies between them. Nothing
//! that scores is decided here: without this crate, or without `assets/`, every
//! mark stays what it is.
//!
//! - [`app`] puts the window or the offscreen picture together, [`device`] says
//!   beforehand whether there is anything to draw on.
//! - [`flow`] is the order of screens, [`sitting`] who plays what, and
//!   [`settings`] what stays from one sitting to the next.
//! - [`session`] runs an attempt, [`replay`] shows one again. Both write
//!   [`stage`], the only thing that whoever draws or sounds looks at.
//! - [`hands`] makes inputs from keys, [`things`] says what hands can lay hold of
//!   and where it is, `leaks` where water gets out that should not.
//! - [`world`], [`screens`], [`sound`] and [`help`] show it.

// What is drawn and heard makes no mark, and may differ in its last digit from
// machine to machine.
#![allow(clippy::disallowed_methods)]

pub mod app;
mod before;
mod behind;
pub mod device;
pub mod flow;
pub mod frames;
pub mod hands;
pub mod help;
mod leaks;
mod proof;
pub mod replay;
pub mod screens;
pub mod session;
pub mod settings;
pub mod shots;
pub mod sitting;
pub mod sound;
pub mod stage;
pub mod things;
pub mod world;

pub use app::{Closing, Opening, open};
