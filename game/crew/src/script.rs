//! Scripts: an attempt written down as goals.
//!
//! A script says what a person wants to bring about, never what their hands do
//! at which tick: the pilot finds the hand movements from what it perceives,
//! so that a script outlives every change of the physics.

use crate::{Call, Control, Part, Ppe, Stance, Task};
use serde::{Deserialize, Serialize};

/// A script for one seat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Script {
    /// The level it is for.
    pub level: String,
    /// What it is: `model`, or what it gets wrong.
    pub about: String,
    /// Rules that this attempt is meant to break, by id; empty for a model.
    pub breaks: Vec<String>,
    /// The goals, one after the other.
    pub goals: Vec<Goal>,
    /// What is done after a word has stopped the work, before the goal that
    /// it broke off is taken up again; empty where a stop ends the attempt.
    pub after_stop: Vec<Goal>,
}

/// One thing to bring about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Goal {
    /// Walk to a place of the level.
    Walk {
        /// Name of the place.
        to: String,
    },
    /// Bring a control to a position (detents of a twist, or a push position).
    Set {
        /// The control.
        control: Control,
        /// The position.
        to: u16,
    },
    /// Start the engine and let the key go once it runs.
    StartEngine {
        /// Patience in seconds.
        within_s: f64,
    },
    /// Say a word, and wait for the answer if one is wanted: after 3 s of
    /// silence say it once more, after 3 s more give up.
    Say {
        /// The word.
        call: Call,
        /// The answer that must be heard.
        answer: Option<Call>,
    },
    /// Let time pass.
    Wait {
        /// Seconds.
        s: f64,
    },
    /// Wait until something is perceived.
    Until {
        /// What is waited for.
        cue: Cue,
        /// Patience in seconds.
        within_s: f64,
    },
    /// Turn the regulator until the needle shows a pressure, and rest there.
    Bring {
        /// Pressure on the gauge, bar.
        bar: f64,
        /// How near is good enough, percent of the pressure.
        within_pct: f64,
        /// Patience in seconds.
        within_s: f64,
    },
    /// Strike the emergency stop.
    Strike,
    /// Hand the job back.
    HandBack,
    /// Set the feet.
    Stand {
        /// How.
        stance: Stance,
    },
    /// Brace the tool to the shoulder, or take it down.
    Brace {
        /// To the shoulder when true.
        on: bool,
    },
    /// Put the safety catch on or off.
    Catch {
        /// On when true.
        on: bool,
    },
    /// Squeeze the trigger for a while, wherever the tool points.
    Squeeze {
        /// Seconds.
        s: f64,
    },
    /// Point the tool at a spot of the yard and hold it there.
    AimAt {
        /// The spot, metres along x, y (up) and z.
        at_m: [f64; 3],
    },
    /// Sweep a part of the surface with the jet, row by row from the top, from
    /// where one stands: the trigger is squeezed once the jet is on its way
    /// and let go at the end. What the arms cannot reach is left out.
    Sweep {
        /// Left and lower edge of the part, metres along the surface and up.
        from_m: [f64; 2],
        /// Right and upper edge of the part.
        to_m: [f64; 2],
        /// Distance from tip to surface, metres.
        stand_off_m: f64,
        /// Speed of the jet along the surface, metres per second.
        speed_m_s: f64,
        /// From one row to the next, metres.
        step_m: f64,
    },
    /// Sweep again those tiles of a part of the surface that are not clean
    /// yet, as far as it can be seen.
    Rework {
        /// Left and lower edge of the part, metres along the surface and up.
        from_m: [f64; 2],
        /// Right and upper edge of the part.
        to_m: [f64; 2],
        /// Distance from tip to surface, metres.
        stand_off_m: f64,
        /// Speed of the jet along the surface, metres per second.
        speed_m_s: f64,
        /// From one row to the next, metres.
        step_m: f64,
        /// A tile is clean from here, percent.
        clean_pct: u8,
    },
    /// Lay the tool down where one stands.
    LayDown,
    /// Take the tool up.
    TakeUp,
    /// Lay out a nozzle to be fitted next.
    Choose {
        /// Place in the list of nozzles, from 0.
        nozzle: u8,
    },
    /// Work with the hands until it is done.
    Work {
        /// The work.
        task: Task,
    },
    /// Put on or take off a piece of protective equipment.
    Wear {
        /// The piece.
        item: Ppe,
        /// On when true.
        on: bool,
    },
    /// Tie the trigger, or untie it.
    Tie {
        /// Tied when true.
        on: bool,
    },
    /// Take hold of the hose at one's feet.
    TakeHose,
    /// Let go of what is held.
    LetGo,
    /// Squeeze or release the trigger and leave it so.
    Trigger {
        /// Squeezed when true.
        on: bool,
    },
    /// Hang a tag on a part: out of order.
    TagOut {
        /// The part.
        part: Part,
    },
}

/// Something a person can wait for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Cue {
    /// A word is heard.
    Heard {
        /// The word.
        call: Call,
    },
    /// The needle is above this, in bar.
    GaugeAbove {
        /// Pressure, bar.
        bar: f64,
    },
    /// The needle is below this, in bar.
    GaugeBelow {
        /// Pressure, bar.
        bar: f64,
    },
    /// The engine has come to a stand.
    EngineStands,
    /// No more air comes out of the pump head.
    AirGone,
    /// The bleed valve has stopped running and dripping.
    BleedDry,
    /// The hose hangs limp.
    HoseLimp,
    /// Water leaves the tool.
    JetRuns,
    /// No water leaves the tool.
    JetStands,
    /// A nozzle is on the lance.
    NozzleFitted,
    /// Somebody is seen this near.
    Sees {
        /// Who.
        seat: crate::Seat,
        /// How near, metres.
        within_m: f64,
    },
    /// The pump knocks.
    PumpKnocks,
    /// A hose that has parted, or an end or a tool that thrashes about, is seen.
    Parted,
    /// Somebody is seen who lies on the ground or is hurt.
    SomebodyDown,
}

impl Goal {
    /// Stable name of the kind of goal, as the end of text ids.
    pub fn id(&self) -> &'static str {
        match self {
            Goal::Walk { .. } => "walk",
            Goal::Set { .. } => "set",
            Goal::StartEngine { .. } => "start_engine",
            Goal::Say { .. } => "say",
            Goal::Wait { .. } => "wait",
            Goal::Until { .. } => "until",
            Goal::Bring { .. } => "bring",
            Goal::Strike => "strike",
            Goal::HandBack => "hand_back",
            Goal::Stand { .. } => "stand",
            Goal::Brace { .. } => "brace",
            Goal::Catch { .. } => "catch",
            Goal::Squeeze { .. } => "squeeze",
            Goal::AimAt { .. } => "aim_at",
            Goal::Sweep { .. } => "sweep",
            Goal::Rework { .. } => "rework",
            Goal::LayDown => "lay_down",
            Goal::TakeUp => "take_up",
            Goal::Choose { .. } => "choose",
            Goal::Work { .. } => "work",
            Goal::Wear { .. } => "wear",
            Goal::Tie { .. } => "tie",
            Goal::TakeHose => "take_hose",
            Goal::LetGo => "let_go",
            Goal::Trigger { .. } => "trigger",
            Goal::TagOut { .. } => "tag_out",
        }
    }
}

impl Cue {
    /// Stable name of the kind of cue, as the end of text ids.
    pub fn id(&self) -> &'static str {
        match self {
            Cue::Heard { .. } => "heard",
            Cue::GaugeAbove { .. } => "gauge_above",
            Cue::GaugeBelow { .. } => "gauge_below",
            Cue::EngineStands => "engine_stands",
            Cue::AirGone => "air_gone",
            Cue::BleedDry => "bleed_dry",
            Cue::HoseLimp => "hose_limp",
            Cue::JetRuns => "jet_runs",
            Cue::JetStands => "jet_stands",
            Cue::NozzleFitted => "nozzle_fitted",
            Cue::Sees { .. } => "sees",
            Cue::PumpKnocks => "pump_knocks",
            Cue::Parted => "parted",
            Cue::SomebodyDown => "somebody_down",
        }
    }
}
