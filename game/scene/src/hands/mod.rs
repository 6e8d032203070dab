//! Hands: keys, mouse and pad become what a person does, tick by tick.
//!
//! [`Hands`] is fed with what was pressed and asked once for every tick what
//! the person does in it. It knows no clock and no frame: the same presses by
//! tick give the same acts, however fast pictures are drawn.
//!
//! - [`gather`] makes presses from what keyboard, mouse and pad report.
//! - [`gaze`] is the head: where the look goes, and what is looked at.
//! - [`moves`] is everything that hands and feet do with a press.
//! - [`effort`] is what the push of the tool costs: how the look trembles, how
//!   quickly arms still turn, how the pad shakes.
//! - [`eye`] makes the view of it, [`offers`] says what could be done.
//! - [`pad`] reads pads, and shakes them.

pub mod calls;
pub mod effort;
pub mod eye;
pub mod gather;
pub mod gaze;
pub mod keymap;
pub mod moves;
pub mod names;
pub mod offers;
pub mod pad;

use crate::flow::{FrameSystems, Screen};
use crate::things::{Placed, Thing};
use bevy::prelude::*;
use calls::{Kind, Word};
use crew::{Act, Tick};
use keymap::Deed;
use moves::Mover;
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
    /// A call or a tag was picked.
    Picked(Word),
    /// The trigger of the pad is drawn so far, 0 to 1.
    Drawn(f32),
    /// The trigger of the pad is drawn far enough to push what is in the hand.
    Clicked,
    /// The stick that walks stands so, to the right and ahead, -1 to 1 each.
    Strides {
        /// To the right.
        x: f32,
        /// Ahead.
        y: f32,
    },
    /// The stick that looks stands so, to the right and up, -1 to 1 each. It
    /// turns what is held in the hand.
    Leans {
        /// To the right.
        x: f32,
        /// Up.
        y: f32,
    },
    /// Everything is let go.
    Released,
    /// A mark is set on the time line.
    Marked,
}

/// How presses are meant, from the settings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ways {
    /// Turn for one count of the mouse, 0.1 mrad.
    pub mouse: i16,
    /// Up and down are swapped.
    pub invert: bool,
    /// Keys that are held become keys that are pressed once, where that is
    /// allowed.
    pub toggles: bool,
    /// The arms follow a flat surface while the lance sweeps over it.
    pub follows: bool,
}

impl Default for Ways {
    fn default() -> Self {
        Ways {
            mouse: 12,
            invert: false,
            toggles: false,
            follows: true,
        }
    }
}

/// What was pressed and what comes of it.
#[derive(Resource, Default)]
pub struct Hands {
    queue: VecDeque<(Option<Tick>, Pressed)>,
    ways: Ways,
    mover: Mover,
}

impl Hands {
    /// Takes something in: it acts in the next tick, or in the one that is
    /// named.
    pub fn press(&mut self, at: Option<Tick>, pressed: Pressed) {
        self.queue.push_back((at, pressed));
    }

    /// How presses are meant from now on.
    pub fn mean(&mut self, ways: Ways) {
        self.ways = ways;
    }

    /// What the person does in a tick, with the yard as it was before.
    pub fn tick(&mut self, tick: Tick, level: &Level, frame: &ViewFrame) -> Vec<Act> {
        let due = self.due(tick);
        self.mover.tick(tick, level, frame, self.ways, &due)
    }

    /// What acts in this tick. What is pressed and let go within one tick is
    /// let go in the next one, so that no press is too short to do anything.
    fn due(&mut self, tick: Tick) -> Vec<Pressed> {
        let mut due = Vec::new();
        let mut kept = VecDeque::new();
        let (mut begun, mut put_off) = (Vec::new(), Vec::new());
        for (at, pressed) in self.queue.drain(..) {
            if at.is_some_and(|at| at > tick) {
                kept.push_back((at, pressed));
                continue;
            }
            match pressed {
                Pressed::Released => {
                    kept.retain(|(at, _): &(Option<Tick>, Pressed)| at.is_some_and(|at| at > tick));
                    begun.clear();
                    put_off.clear();
                }
                Pressed::Down(deed) | Pressed::Up(deed) if put_off.contains(&deed) => {
                    kept.push_back((None, pressed));
                    continue;
                }
                Pressed::Up(deed) if begun.contains(&deed) => {
                    put_off.push(deed);
                    kept.push_back((None, pressed));
                    continue;
                }
                Pressed::Down(deed) => begun.push(deed),
                _ => {}
            }
            due.push(pressed);
        }
        self.queue = kept;
        due
    }

    /// Lets go of everything at once: the focus is lost, a menu opens.
    pub fn release(&mut self) {
        self.press(None, Pressed::Released);
    }

    /// The head, and what it looks at.
    pub fn gaze(&self) -> &gaze::Gaze {
        self.mover.gaze()
    }

    /// How far the arms still have to turn the tool to where the mouse has
    /// brought it, radians to the left and up.
    pub fn aim_owed_rad(&self) -> [f32; 2] {
        self.mover.aim_owed_rad()
    }

    /// How far the arms turn the tool from the way the body faces, radians to
    /// the left.
    pub fn arm_yaw_rad(&self) -> f32 {
        self.mover.arm_yaw_rad()
    }

    /// Share of the time that the take key has been held for something that
    /// needs a while, 0 to 1.
    pub fn held_share(&self) -> Option<f32> {
        self.mover.held_share()
    }
}

/// What is looked at, and what a hand could do with it.
#[derive(Resource, Clone, Debug, Default)]
pub struct Look {
    /// The thing.
    pub at: Option<Placed>,
    /// What could be done with it now, the first by the key that takes.
    pub offers: Vec<Offer>,
    /// A ring is open, and this one of its words is picked.
    pub calling: Option<(Kind, Option<Word>)>,
    /// A ring was just left without a pick, for the first time.
    pub unpicked: Option<Kind>,
    /// A thing is held close to be looked at.
    pub inspects: Option<Thing>,
    /// The look is turned away from the aim.
    pub looks_round: bool,
    /// The job sheet lies over the view; the work goes on behind it.
    pub sheet: bool,
    /// Share of the time that the take key has been held for something that
    /// needs a while, 0 to 1.
    pub held_share: Option<f32>,
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

/// Sets up hands.
pub fn plugin(app: &mut App) {
    app.init_resource::<Hands>()
        .init_resource::<Look>()
        .add_plugins(gather::plugin)
        .add_systems(
            Update,
            (eye::look, offers::offer)
                .chain()
                .in_set(FrameSystems::Look)
                .run_if(in_state(Screen::Yard)),
        );
}
