//! What a person can know from where they stand.
//!
//! The yard fills these in, already delayed by what each sense takes: the
//! people of this crate never see anything sooner or from further off than a
//! trainee in the same boots.

use crate::{Call, Control, Seat, Stance, Task, Tick};
use serde::{Deserialize, Serialize};

/// Seconds from a sight to knowing it (from memory: simple visual reaction
/// time of adults, 0.18-0.25 s).
pub const SIGHT_DELAY_S: f64 = 0.2;

/// Seconds from the end of a word to knowing it (from memory: simple auditory
/// reaction time of adults, 0.14-0.18 s).
pub const HEARING_DELAY_S: f64 = 0.16;

/// Seconds from a push on the body to knowing it (from memory: simple tactile
/// reaction time of adults, about 0.15 s).
pub const TOUCH_DELAY_S: f64 = 0.15;

/// How quickly people take things in and get going.
///
/// Nobody knows these figures exactly; a level states them with their ranges
/// (`levels/catalogue/assumptions.ron`).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Nerves {
    /// From a sight to knowing it, seconds.
    pub sight_s: f64,
    /// From the end of a word to knowing it, seconds.
    pub hearing_s: f64,
    /// From a push on the body to knowing it, seconds.
    pub touch_s: f64,
    /// From a word that stops the work to the first movement, on top of the
    /// time that hearing takes, seconds.
    pub choice_s: f64,
    /// From the thought to the hand at the control, seconds.
    pub reach_s: f64,
    /// Walking speed of somebody who has to stop something, metres per second.
    pub hurry_m_s: f64,
    /// Speed of turning on the spot, radians per second.
    pub turn_rad_s: f64,
}

impl Default for Nerves {
    /// From memory: choosing between two responses takes 0.4-0.6 s with the
    /// hands at something else, a reach of half a metre 0.3-0.4 s; a brisk walk
    /// and a calm turn.
    fn default() -> Self {
        Nerves {
            sight_s: SIGHT_DELAY_S,
            hearing_s: HEARING_DELAY_S,
            touch_s: TOUCH_DELAY_S,
            choice_s: 0.55,
            reach_s: 0.3,
            hurry_m_s: 1.8,
            turn_rad_s: 2.0,
        }
    }
}

/// A word that has been heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heard {
    /// Who said it.
    pub seat: Seat,
    /// What was said.
    pub call: Call,
}

/// How one's own body is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OwnBody {
    /// Where one stands, metres east and metres south in the yard.
    pub at_m: [f64; 2],
    /// Which way one faces, radians to the left of north-up view's x axis.
    pub yaw_rad: f64,
    /// Lean away from upright, radians.
    pub lean_rad: f64,
    /// How the feet are set.
    pub stance: Stance,
    /// How far the tool is braced to the shoulder, 0 to 1.
    pub braced: f64,
    /// Strength left, 0 to 1.
    pub strength: f64,
    /// One lies on the ground.
    pub fallen: bool,
    /// Control in one's hand.
    pub holding: Option<Control>,
    /// Work one's hands are busy with.
    pub working: Option<Task>,
    /// Push of the tool on the body, newtons.
    pub push_n: f64,
}

/// What the engine and the pump sound like from here.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Sound {
    /// Engine note, revolutions per second; 0 when it stands.
    pub engine_rev_s: f64,
    /// How hard it labours, 0 to 1.
    pub labour: f64,
    /// Hiss of the bypass, 0 to 1 of the flow of the pump.
    pub hiss: f64,
    /// Knock of a starved pump.
    pub knock: bool,
}

/// What is felt and seen of the tool in one's own hands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ToolSense {
    /// Tip of the lance, metres along x, y (up) and z.
    pub tip_m: [f64; 3],
    /// The way it points, radians about the upward axis from +x towards -z.
    pub yaw_rad: f64,
    /// Pitch, radians up.
    pub pitch_rad: f64,
    /// How far the hands are moved ahead, metres.
    pub reach_m: f64,
    /// How far the hands are moved up, metres.
    pub lift_m: f64,
    /// The safety catch is on.
    pub catch_on: bool,
    /// The trigger is squeezed, 0 to 1.
    pub squeeze: f64,
    /// The trigger is tied.
    pub tied: bool,
}

/// Where the line of the tool meets the surface to be cleaned, with or without
/// water.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Spot {
    /// Along the surface from its left edge as one faces it, metres.
    pub x_m: f64,
    /// Up the surface from its lower edge, metres.
    pub y_m: f64,
    /// From the tip to the surface along the line of the tool, metres.
    pub stand_off_m: f64,
}

/// Everything one person knows at a tick.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Percepts {
    /// The present tick.
    pub tick: Tick,
    /// One's own body.
    pub body: OwnBody,
    /// Needle of the pressure gauge in bar, when near enough to read it.
    pub gauge_bar: Option<f64>,
    /// Thermometer of the supply tank, degrees Celsius, when near enough to read
    /// it.
    pub tank_c: Option<f64>,
    /// Gauge at the pump's inlet in bar, when near enough to read it.
    pub inlet_bar: Option<f64>,
    /// Gauge of the power end's oil in bar, when near enough to read it.
    pub oil_bar: Option<f64>,
    /// Positions of the controls that can be seen from here.
    pub controls: Vec<(Control, u16)>,
    /// Water runs or drips from the bleed valve, when near enough to see it.
    pub bleed_runs: Option<bool>,
    /// The cock on the pump head spits air, when near enough to see it.
    pub air_spits: Option<bool>,
    /// The hose is limp, when it can be felt or seen close by.
    pub hose_limp: Option<bool>,
    /// Water leaves the tool.
    pub jet_runs: bool,
    /// A nozzle is on the lance, when near enough to see it.
    pub nozzle_fitted: Option<bool>,
    /// What the machines sound like.
    pub sound: Sound,
    /// Words that one has just understood.
    pub heard: Vec<Heard>,
    /// The tool in one's own hands.
    pub tool: Option<ToolSense>,
    /// One holds the hose.
    pub holds_hose: bool,
    /// Where the line of the tool in one's hands meets the surface.
    pub spot: Option<Spot>,
    /// How far each tile of the surface is clean, percent, row by row from
    /// the lower left; empty when it is not in view.
    pub tiles_pct: Vec<u8>,
    /// Number of the nozzle that is on the lance, from 0, when it can be made
    /// out.
    pub nozzle: Option<u8>,
    /// What one wears, a bit for each piece.
    pub wears: u8,
    /// Where the other people are that one sees, metres along x and z.
    pub people: Vec<(Seat, [f64; 2])>,
    /// One sees a hose that has parted, or the end of one or a tool thrash about.
    pub parted: bool,
    /// One sees somebody else who lies on the ground or is hurt.
    pub somebody_down: bool,
}

impl Percepts {
    /// Position of a control, when it can be seen.
    pub fn position(&self, control: Control) -> Option<u16> {
        self.controls
            .iter()
            .find(|(c, _)| *c == control)
            .map(|(_, p)| *p)
    }

    /// Whether this word has just been heard from somebody.
    pub fn hears(&self, call: Call) -> bool {
        self.heard.iter().any(|h| h.call == call)
    }
}
