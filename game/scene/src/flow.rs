//! The order of screens.

use bevy::prelude::*;

/// What the window shows.
#[derive(States, Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Screen {
    /// Title and cautions.
    #[default]
    Title,
    /// Who plays, in which mode, and which level.
    Choice,
    /// The job sheet of the chosen level.
    Sheet,
    /// An attempt under way.
    Yard,
    /// What came of it.
    Debrief,
    /// Settings, from the title.
    Settings,
}

/// Whether the attempt under way goes on.
#[derive(SubStates, Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[source(Screen = Screen::Yard)]
pub enum Run {
    /// It goes on.
    #[default]
    Live,
    /// It is halted: a menu is open, or the window has lost the focus.
    Halted,
}

/// Whether nothing is written over the picture of the yard.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Bare(pub bool);

/// The order of a frame.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FrameSystems {
    /// Keys, mouse and pad are gathered.
    Gather,
    /// The attempt or the replay moves on.
    Advance,
    /// Eyes follow.
    Look,
    /// What is drawn and heard is brought up to date.
    Show,
}

/// Sets up states and the order of a frame.
pub fn plugin(app: &mut App) {
    app.init_resource::<Bare>()
        .init_state::<Screen>()
        .add_sub_state::<Run>()
        .configure_sets(
            Update,
            (
                FrameSystems::Gather,
                FrameSystems::Advance,
                FrameSystems::Look,
                FrameSystems::Show,
            )
                .chain(),
        );
}
