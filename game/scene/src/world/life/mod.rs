//! What moves in the yard beside the pump unit: people, hose, lance, water, and
//! the surface that comes clean.

mod arms;
mod bones;
mod hose;
mod lance;
mod people;
mod puffs;
mod restraint;
mod second;
mod soles;
mod spills;
mod surface;
mod water;

use crate::stage::Stage;
use bevy::prelude::*;

/// Belongs to the yard on show and goes with it.
#[derive(Component)]
pub struct OfYard;

/// Takes away what belongs to a yard that is no longer on show.
fn clear(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    old: Query<Entity, With<OfYard>>,
    mut commands: Commands,
) {
    if *yard != stage.yard {
        *yard = stage.yard;
        for entity in &old {
            commands.entity(entity).despawn();
        }
    }
}

/// The order of drawing: what is gone is cleared away before anything is put up.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum LifeSystems {
    Clear,
    PutUp,
    /// What others are drawn by is worked out.
    Arrange,
    Move,
}

/// More ticks than this from one picture to the next are a jump.
const JUMP_TICKS: u32 = 20 * crew::TICKS_PER_SECOND;

/// Sets up what moves.
pub fn plugin(app: &mut App) {
    app.configure_sets(
        Update,
        (
            LifeSystems::Clear,
            LifeSystems::PutUp,
            LifeSystems::Arrange,
            LifeSystems::Move,
        )
            .chain()
            .in_set(crate::flow::FrameSystems::Show),
    )
    .add_systems(Update, clear.in_set(LifeSystems::Clear))
    .add_plugins((
        people::plugin,
        soles::plugin,
        hose::plugin,
        restraint::plugin,
        lance::plugin,
        arms::plugin,
        second::plugin,
        water::plugin,
        surface::plugin,
    ));
}
