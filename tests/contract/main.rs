//! One level from file to mark: the claims that hold for the whole program.

mod attempts;
mod coached;
mod command_line;
mod effects;
mod faults;
mod harm;
mod interrupted;
mod marks;
mod monkey;
mod pace;
mod reach;
mod recordings;
mod support;
mod transients;
mod whip;
mod yards;
