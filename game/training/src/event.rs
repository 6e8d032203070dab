//! What happens at a moment, beside what is measured all the time.

use crew::{Call, Control, Fault, Part, Ppe, Seat, Task};
use serde::{Deserialize, Serialize};

/// Something that happened.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Event {
    /// A word was said to its end, and can be heard.
    Said {
        /// Who said it.
        seat: Seat,
        /// What was said.
        call: Call,
    },
    /// A control was moved by a hand to another position.
    Moved {
        /// Whose hand.
        seat: Seat,
        /// The control.
        control: Control,
        /// The new position.
        to: u16,
    },
    /// The starter began to turn the engine.
    Cranked,
    /// The engine began to run under its own power.
    EngineRan,
    /// The engine came to a stand.
    EngineStood,
    /// Work with the hands began.
    Began {
        /// Whose hands.
        seat: Seat,
        /// The work.
        task: Task,
    },
    /// Work with the hands was done.
    Finished {
        /// Whose hands.
        seat: Seat,
        /// The work.
        task: Task,
    },
    /// Work with the hands was broken off.
    BrokeOff {
        /// Whose hands.
        seat: Seat,
        /// The work.
        task: Task,
    },
    /// The relief valve lifted.
    ReliefLifted,
    /// A person had to take a step to stay up.
    Stepped {
        /// Who.
        seat: Seat,
    },
    /// A person's feet slid.
    Slipped {
        /// Who.
        seat: Seat,
    },
    /// A person fell.
    Fell {
        /// Who.
        seat: Seat,
    },
    /// Something that a hand tried and that cannot be done as things are.
    Refused {
        /// Whose hand.
        seat: Seat,
        /// Why.
        why: Refusal,
    },
    /// Somebody set a mark on the time line.
    Bookmark,
    /// The job was handed back: the attempt is over.
    HandedBack,
    /// The tool was laid down.
    LaidDown {
        /// By whom.
        seat: Seat,
    },
    /// The tool was dropped.
    Dropped {
        /// By whom.
        seat: Seat,
    },
    /// The tool was taken up.
    TookUp {
        /// By whom.
        seat: Seat,
    },
    /// A nozzle was laid out to be fitted next.
    Chose {
        /// By whom.
        seat: Seat,
        /// Place in the list of nozzles, from 0.
        nozzle: u8,
    },
    /// A piece of protective equipment was put on or taken off.
    Wore {
        /// By whom.
        seat: Seat,
        /// The piece.
        item: Ppe,
        /// On when true.
        on: bool,
    },
    /// The tool struck something solid.
    Struck {
        /// Whose tool.
        seat: Seat,
    },
    /// A part failed, or is as new again with an amount of 0.
    Failed {
        /// What failed.
        fault: Fault,
        /// How much, in whole units of the fault's extent.
        amount: u16,
    },
    /// A part was tagged out of order.
    TaggedOut {
        /// By whom.
        seat: Seat,
        /// The part.
        part: Part,
    },
    /// The burst disc tore.
    DiscBurst,
    /// A coupling of the hose let go.
    Parted {
        /// At the pump's end of the hose; else at the gun's.
        pump_end: bool,
    },
    /// A whip restraint held the end of a hose that had let go.
    RestraintHeld {
        /// At the pump's end of the hose; else at the gun's.
        pump_end: bool,
    },
    /// A whip restraint broke, or what it was clipped to gave way.
    RestraintBroke {
        /// At the pump's end of the hose; else at the gun's.
        pump_end: bool,
    },
    /// A foot caught in something that lies on the ground.
    Tripped {
        /// Whose foot.
        seat: Seat,
    },
    /// The tool tore itself out of the hands.
    LostHold {
        /// Whose hands.
        seat: Seat,
    },
    /// The hose was bent tighter than it may be.
    Kinked,
    /// Somebody was hurt.
    Hurt {
        /// Who.
        seat: Seat,
        /// What did it.
        by: HurtBy,
        /// How badly.
        grade: HurtGrade,
    },
}

/// What hurt somebody.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum HurtBy {
    /// The jet of a tool.
    Jet,
    /// Water out of a fine hole in a hose, or out of its torn end.
    Spray,
    /// The end of a hose that whips about.
    Hose,
    /// A tool that thrashes about with its jet on.
    Tool,
    /// A fall on the spot.
    Fall,
    /// A fall from a height.
    Drop,
}

impl HurtBy {
    /// All of them, in the order of their numbers.
    pub const ALL: [HurtBy; 6] = [
        HurtBy::Jet,
        HurtBy::Spray,
        HurtBy::Hose,
        HurtBy::Tool,
        HurtBy::Fall,
        HurtBy::Drop,
    ];

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            HurtBy::Jet => "jet",
            HurtBy::Spray => "spray",
            HurtBy::Hose => "hose",
            HurtBy::Tool => "tool",
            HurtBy::Fall => "fall",
            HurtBy::Drop => "drop",
        }
    }
}

/// How badly somebody was hurt.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum HurtGrade {
    /// It hurts and mends by itself; the work can go on after a look at it.
    Bruise,
    /// Work is over for this person, who is taken to a doctor. Every wound that water has made is at
    /// least this, however small it looks.
    Injury,
    /// It can cost a limb or a life.
    Grave,
}

impl HurtGrade {
    /// All of them, from the least.
    pub const ALL: [HurtGrade; 3] = [HurtGrade::Bruise, HurtGrade::Injury, HurtGrade::Grave];

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            HurtGrade::Bruise => "bruise",
            HurtGrade::Injury => "injury",
            HurtGrade::Grave => "grave",
        }
    }

    /// As the channels of people's harm count it: 1 for the least; 0 is unhurt.
    pub fn number(self) -> u8 {
        self as u8 + 1
    }
}

/// Why something cannot be done as things are.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Refusal {
    /// It is out of reach from here.
    OutOfReach,
    /// The hands are busy.
    HandsBusy,
    /// Nothing is held.
    NothingHeld,
    /// What is held does not move that way.
    WrongWay,
    /// It is at the end of its travel.
    EndOfTravel,
    /// The person lies on the ground.
    Fallen,
    /// The trigger is in nobody's hand at this post.
    NoTool,
    /// The thing is not there to be worked on.
    NotThere,
    /// The person is still speaking.
    Speaking,
    /// The attempt is over.
    Over,
    /// The safety catch is on.
    CatchOn,
    /// The tool is not in the hands.
    ToolNotHeld,
    /// The tool is in the hands.
    ToolInHands,
}

impl Refusal {
    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Refusal::OutOfReach => "out_of_reach",
            Refusal::HandsBusy => "hands_busy",
            Refusal::NothingHeld => "nothing_held",
            Refusal::WrongWay => "wrong_way",
            Refusal::EndOfTravel => "end_of_travel",
            Refusal::Fallen => "fallen",
            Refusal::NoTool => "no_tool",
            Refusal::NotThere => "not_there",
            Refusal::Speaking => "speaking",
            Refusal::Over => "over",
            Refusal::CatchOn => "catch_on",
            Refusal::ToolNotHeld => "tool_not_held",
            Refusal::ToolInHands => "tool_in_hands",
        }
    }
}
