//! What a person does, as data.
//!
//! An input says what a hand, foot or voice does and never what becomes of it:
//! "twists by three detents", not "sets 350 bar". It is stamped with the tick
//! it acts in, counted in whole units of the body's frame (after the player's
//! sensitivity setting), and carries its seat and its source.

use crate::{Control, Fault, Part, Tick};
use serde::{Deserialize, Serialize};

/// How far the hands that hold the tool may be told to go back and ahead of their
/// usual place, metres (from memory: the arms of an adult).
pub const REACH_M: (f64, f64) = (-0.2, 0.25);
/// The same down and up, metres.
pub const LIFT_M: (f64, f64) = (-0.5, 0.4);

/// A place in the crew. Two people can share a yard, each with a seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Seat(pub u8);

impl Seat {
    /// The hand at the pump.
    pub const PUMP: Seat = Seat(0);
    /// The hand at the lance.
    pub const LANCE: Seat = Seat(1);
    /// The watch, who keeps the zone.
    pub const WATCH: Seat = Seat(2);
    /// Somebody who has no business here.
    pub const VISITOR: Seat = Seat(3);
    /// The mate, at the pedal of a second tool.
    pub const MATE: Seat = Seat(4);
    /// All seats, in the order of their numbers.
    pub const ALL: [Seat; 5] = [
        Seat::PUMP,
        Seat::LANCE,
        Seat::WATCH,
        Seat::VISITOR,
        Seat::MATE,
    ];

    /// The seats that speak: whoever stands at a pedal only listens.
    pub const SPEAKERS: [Seat; 4] = [Seat::PUMP, Seat::LANCE, Seat::WATCH, Seat::VISITOR];

    /// Stable name, as written in data files.
    pub fn id(self) -> &'static str {
        match self.0 {
            0 => "pump",
            1 => "lance",
            2 => "watch",
            3 => "visitor",
            4 => "mate",
            _ => "other",
        }
    }

    /// The seat with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.id() == id)
    }
}

/// Where an input comes from.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Source {
    /// The person being trained, or the pilot that stands in for them.
    Trainee,
    /// The instructor at the panel.
    Instructor,
    /// A fault of the level.
    Fault,
    /// A crew member played by the program.
    Crew,
}

/// How the feet are set.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub enum Stance {
    /// Feet side by side under the hips.
    #[default]
    Normal,
    /// Feet wide apart, knees bent.
    Wide,
    /// One foot ahead of the other, along the line of the tool.
    Staggered,
    /// Knees bent low.
    Crouched,
}

/// A word agreed at the briefing. Each has a hand signal too.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Call {
    /// Are you ready?
    ReadyQuery,
    /// I am ready.
    Ready,
    /// The line may be flushed.
    ClearToFlush,
    /// The line may be pressurised.
    ClearToPressurise,
    /// Pressure goes up.
    Raise,
    /// Pressure goes down.
    Lower,
    /// Leave everything as it is.
    NoChange,
    /// Open the dump now.
    Dump,
    /// Stop everything now.
    AllStop,
    /// Nobody is in the zone.
    ZoneClear,
    /// I did not hear; repeat.
    SayAgain,
    /// Squeeze the trigger, pointed somewhere safe.
    Squeeze,
    /// Let the trigger go.
    Release,
    /// The line is proved at zero; the tool may be worked on.
    ZeroProved,
    /// Stop the pump and prove the line at zero.
    ProveZero,
    /// Start the pump up again, without load.
    StartUp,
    /// That was my mistake, and I have put it right.
    Correction,
}

impl Call {
    /// All calls, in the order of their numbers.
    pub const ALL: [Call; 17] = [
        Call::ReadyQuery,
        Call::Ready,
        Call::ClearToFlush,
        Call::ClearToPressurise,
        Call::Raise,
        Call::Lower,
        Call::NoChange,
        Call::Dump,
        Call::AllStop,
        Call::ZoneClear,
        Call::SayAgain,
        Call::Squeeze,
        Call::Release,
        Call::ZeroProved,
        Call::ProveZero,
        Call::StartUp,
        Call::Correction,
    ];

    /// Stable name, as written in data files and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Call::ReadyQuery => "ready_query",
            Call::Ready => "ready",
            Call::ClearToFlush => "clear_to_flush",
            Call::ClearToPressurise => "clear_to_pressurise",
            Call::Raise => "raise",
            Call::Lower => "lower",
            Call::NoChange => "no_change",
            Call::Dump => "dump",
            Call::AllStop => "all_stop",
            Call::ZoneClear => "zone_clear",
            Call::SayAgain => "say_again",
            Call::Squeeze => "squeeze",
            Call::Release => "release",
            Call::ZeroProved => "zero_proved",
            Call::ProveZero => "prove_zero",
            Call::StartUp => "start_up",
            Call::Correction => "correction",
        }
    }

    /// The call with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.id() == id)
    }

    /// Seconds it takes to say, from the first sound to the last (common
    /// practice, no source: two to four syllables at a speaking pace).
    pub fn duration_s(self) -> f64 {
        match self {
            Call::Ready | Call::Raise | Call::Lower | Call::Dump | Call::Squeeze => 0.4,
            Call::ReadyQuery | Call::NoChange | Call::AllStop | Call::Release => 0.6,
            Call::StartUp => 0.6,
            Call::SayAgain
            | Call::ZoneClear
            | Call::ZeroProved
            | Call::ProveZero
            | Call::Correction => 0.8,
            Call::ClearToFlush => 0.9,
            Call::ClearToPressurise => 1.2,
        }
    }
}

/// Work with the hands that takes time and both of them.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Task {
    /// Measure the bore of the nozzle with a gauge pin.
    GaugeBore,
    /// Screw the nozzle on to the lance.
    FitNozzle,
    /// Screw the nozzle off the lance.
    RemoveNozzle,
}

impl Task {
    /// All tasks, in the order of their numbers.
    pub const ALL: [Task; 3] = [Task::GaugeBore, Task::FitNozzle, Task::RemoveNozzle];

    /// Stable name, as written in data files and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Task::GaugeBore => "gauge_bore",
            Task::FitNozzle => "fit_nozzle",
            Task::RemoveNozzle => "remove_nozzle",
        }
    }

    /// Seconds of work (common practice, no source).
    pub fn duration_s(self) -> f64 {
        match self {
            Task::GaugeBore => 4.0,
            Task::FitNozzle => 8.0,
            Task::RemoveNozzle => 6.0,
        }
    }
}

/// A piece of protective equipment that is worn.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Ppe {
    /// Helmet.
    Helmet,
    /// Visor in front of the face, and goggles under it.
    Visor,
    /// Ear defenders.
    EarDefenders,
    /// Gloves.
    Gloves,
    /// Waterproof suit of the class that the job asks for.
    Suit,
    /// Safety boots with a guard over instep and shin.
    Boots,
}

impl Ppe {
    /// All pieces, in the order of their numbers.
    pub const ALL: [Ppe; 6] = [
        Ppe::Helmet,
        Ppe::Visor,
        Ppe::EarDefenders,
        Ppe::Gloves,
        Ppe::Suit,
        Ppe::Boots,
    ];

    /// Stable name, as written in data files and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Ppe::Helmet => "helmet",
            Ppe::Visor => "visor",
            Ppe::EarDefenders => "ear_defenders",
            Ppe::Gloves => "gloves",
            Ppe::Suit => "suit",
            Ppe::Boots => "boots",
        }
    }

    /// The piece with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.id() == id)
    }

    /// Its bit in a set of pieces.
    pub fn bit(self) -> u8 {
        1 << self as u8
    }
}

/// What is done.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Act {
    /// Walk with this speed in the body's frame until told otherwise, cm/s.
    Walk {
        /// Ahead is positive.
        forward_cm_s: i16,
        /// To the right is positive.
        right_cm_s: i16,
    },
    /// Turn what is aimed, in tenths of a milliradian: with the tool in the
    /// hands the tool, and the body only where the arms come to their end;
    /// otherwise the body.
    Aim {
        /// To the left is positive.
        yaw: i16,
        /// Up is positive.
        pitch: i16,
    },
    /// Set the feet.
    Stand(Stance),
    /// Brace the tool to the shoulder, or take it down.
    Brace(bool),
    /// Take hold of a control within reach.
    Take(Control),
    /// Let go of what is held.
    LetGo,
    /// Turn what is held by so many detents; positive is up, in or more.
    Twist {
        /// Signed number of detents.
        detents: i16,
    },
    /// Push what is held one position on (`true`) or back (`false`).
    Push {
        /// On, open or struck when true.
        on: bool,
    },
    /// Squeeze the trigger by this share of its travel, in thousandths, until
    /// told otherwise.
    Squeeze {
        /// 0 is released, 1000 is fully squeezed.
        permille: u16,
    },
    /// Put the safety catch on (`true`) or off.
    SafetyCatch(bool),
    /// Say an agreed word.
    Say(Call),
    /// Begin work with the hands.
    Begin(Task),
    /// Leave off the work that is going on.
    LeaveOff,
    /// Hand the job back: the attempt ends.
    HandBack,
    /// Instructor's mark on the time line.
    Bookmark,
    /// Turn the whole body, in tenths of a milliradian to the left; the tool
    /// goes with it.
    Turn {
        /// To the left is positive.
        yaw: i16,
    },
    /// Move the hands with the tool ahead or back, in millimetres.
    Reach {
        /// Ahead is positive.
        mm: i16,
    },
    /// Move the hands with the tool up or down, in millimetres.
    Lift {
        /// Up is positive.
        mm: i16,
    },
    /// Lay the tool down where one stands.
    LayDown,
    /// Take the tool up that lies within reach.
    TakeUp,
    /// Lay out one of the nozzles of the job to be fitted next, by its place
    /// in the list.
    Choose {
        /// Place in the list of nozzles, from 0.
        nozzle: u8,
    },
    /// Put a piece of protective equipment on (`true`) or take it off.
    Wear {
        /// The piece.
        item: Ppe,
        /// On when true.
        on: bool,
    },
    /// Tie the trigger so that it stays squeezed (`true`), or untie it. No
    /// key does this by itself: it is a thing that people do and must not.
    Tie(bool),
    /// Take hold of the hose that lies within reach; letting go ends it.
    TakeHose,
    /// A part fails, or is as new again with an amount of 0. No hand does this: it comes from the
    /// level or from the instructor.
    Fail {
        /// What fails.
        fault: Fault,
        /// How much, in whole units of the fault's [extent](Fault::extent).
        amount: u16,
    },
    /// Hang a tag on a part: out of order, not to be used.
    TagOut(Part),
}

/// One thing done by one person in one tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Input {
    /// The tick it acts in.
    pub tick: Tick,
    /// Whose hands.
    pub seat: Seat,
    /// Who moves those hands.
    pub source: Source,
    /// What is done.
    pub act: Act,
}
