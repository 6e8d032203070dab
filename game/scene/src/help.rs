//! Help in practice: what the next step is, first told, then hinted at.

use crate::things::Thing;
use bevy::prelude::*;

/// What is told to the trainee at this moment.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Help {
    /// The step; nothing where no help is given or all is done.
    pub step: Option<Step>,
}

/// A step that comes next.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its number, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// What is to be done.
    pub told: String,
    /// How it is done, once it has not been for a while.
    pub hint: Option<String>,
    /// What it is done with, to be pointed at.
    pub points_at: Option<Thing>,
}

/// Sets up help.
pub fn plugin(app: &mut App) {
    app.init_resource::<Help>();
}
