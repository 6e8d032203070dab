//! Screens: title, choice, job sheet, display in the yard, pause, debrief and
//! settings, in one theme.

use bevy::prelude::*;

/// Sets up the screens.
pub fn plugin(_app: &mut App) {}
