//! Scripts: an attempt written down as goals.
//!
//! A script says what a person wants to bring about, never what their hands do
//! at which tick: the pilot finds the hand movements from what it perceives,
//! so that a script outlives every change of the physics.

use crate::{Call, Control};
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
        }
    }
}
