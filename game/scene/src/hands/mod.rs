//! Hands: keys, mouse and pad become what a person does, tick by tick.
//!
//! [`Hands`] is fed with what was pressed and asked once for every tick what
//! the person does in it. It knows no clock and no frame: the same presses by
//! tick give the same acts, however fast pictures are drawn.

pub mod calls;
pub mod keymap;
pub mod names;

use crate::flow::{FrameSystems, Screen};
use crate::stage::{Eye, Stage, own_eye};
use crate::things::{Placed, Thing};
use bevy::prelude::*;
use crew::{Act, Call, Tick};
use keymap::Deed;
use std::collections::VecDeque;
use training::Level;
use yard::ViewFrame;

/// Something that was pressed, moved or let go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pressed {
    /// A deed begins.
    Down(Deed),
    /// A deed ends.
    Up(Deed),
    /// The pointer was moved by so many counts, to the right and down.
    Moved {
        /// To the right.
        x: f32,
        /// Down.
        y: f32,
    },
    /// The wheel was turned by so many notches; up is positive.
    Wheel(f32),
    /// A call was picked.
    Said(Call),
    /// The trigger of the pad is drawn so far, 0 to 1.
    Drawn(f32),
    /// Everything is let go.
    Released,
    /// A mark is set on the time line.
    Marked,
}

/// What was pressed and what comes of it.
#[derive(Resource, Default)]
pub struct Hands {
    queue: VecDeque<(Option<Tick>, Pressed)>,
}

impl Hands {
    /// Takes something in: it acts in the next tick, or in the one that is
    /// named.
    pub fn press(&mut self, at: Option<Tick>, pressed: Pressed) {
        self.queue.push_back((at, pressed));
    }

    /// What the person does in a tick, with the yard as it was before.
    pub fn tick(&mut self, _tick: Tick, _level: &Level, _frame: &ViewFrame) -> Vec<Act> {
        self.queue.clear();
        Vec::new()
    }

    /// Lets go of everything at once: the focus is lost, a menu opens.
    pub fn release(&mut self) {
        self.press(None, Pressed::Released);
    }
}

/// What is looked at, and what a hand could do with it.
#[derive(Resource, Clone, Debug, Default)]
pub struct Look {
    /// The thing.
    pub at: Option<Placed>,
    /// What could be done with it now, the first by the key that takes.
    pub offers: Vec<Offer>,
    /// The ring of calls is open, and this one is picked.
    pub calling: Option<Option<Call>>,
    /// A thing is held close to be looked at.
    pub inspects: Option<Thing>,
    /// The look is turned away from the aim.
    pub looks_round: bool,
}

/// Something that could be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The deed whose binding does it.
    pub deed: Deed,
    /// What it is, in words.
    pub words: String,
    /// Why it cannot be done as things are, in words.
    pub not: Option<String>,
}

fn look(stage: Res<Stage>, mut eye: ResMut<Eye>) {
    let Some(show) = &stage.show else { return };
    let Some(seat) = stage.own else { return };
    if let Some(own) = own_eye(show, seat) {
        *eye = own;
    }
}

/// Sets up hands.
pub fn plugin(app: &mut App) {
    app.init_resource::<Hands>()
        .init_resource::<Look>()
        .add_systems(
            Update,
            look.in_set(FrameSystems::Look)
                .run_if(in_state(Screen::Yard)),
        );
}
