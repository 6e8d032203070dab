//! All that a report is made from.

use crate::series::Series;
use crew::{Fault, Part, Seat, Tick};
use training::recording::Status;
use training::rules::cue::Cue;
use training::surface::is_damaged;
use training::{Event, Honesty, Mark, Severity};

/// All that the report of one attempt says. Whoever has it needs neither the
/// recording nor the level; [`Sheet::of`] gathers it from them.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The level.
    pub level: LevelCard,
    /// Seed of the attempt.
    pub seed: u64,
    /// End of the attempt, seconds.
    pub until_s: f64,
    /// The mark.
    pub mark: Mark,
    /// The rules that it was made by.
    pub book: Vec<BookLine>,
    /// The limits that it was made with.
    pub limits: Vec<LimitLine>,
    /// What was used up.
    pub uses: Vec<Use>,
    /// Where the water went; nothing where that was not measured.
    pub water: Option<Water>,
    /// What the trainee had of a day's noise within ear defenders as far as
    /// they were worn, percent; nothing where that was not measured.
    pub noise_dose_pct: Option<f64>,
    /// What was measured, thinned.
    pub series: Vec<Series>,
    /// What lasted a while, in the order of time for each state.
    pub spans: Vec<Span>,
    /// What happened, in the order of time.
    pub moments: Vec<Moment>,
    /// The post that the trainee had.
    pub post: Seat,
    /// Each cause to stop at that post, and the act.
    pub stops: Vec<Stop>,
    /// Parts that failed, in the order of time.
    pub troubles: Vec<Trouble>,
    /// Tags that were hung, each part's first, in the order of time.
    pub tags: Vec<Tag>,
    /// What the tables of the nozzles on the lance say, in the order of time.
    pub tables: Vec<Table>,
    /// The parts of the attempt, one behind the other.
    pub phases: Vec<Phase>,
    /// What became of the surface, where the level has one.
    pub cleaning: Option<Cleaning>,
    /// What the recording is worth.
    pub status: Status,
    /// Name of the attempt: SHA-256 of the recording's body, hexadecimal.
    /// Nothing where the body is not whole.
    pub body_hash: Option<String>,
    /// Release that ran the attempt.
    pub release: String,
    /// Where the attempt was restarted from.
    pub restarted: Option<Restarted>,
    /// Who and when; nothing where that is damaged.
    pub sitting: Option<Sitting>,
    /// How evenly it ran; nothing where it was not sealed.
    pub pace: Option<Pace>,
}

/// A part that failed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trouble {
    /// How.
    pub fault: Fault,
    /// When, seconds.
    pub at_s: f64,
    /// There was pressure then or later.
    pub felt: bool,
    /// How long after that the pressure was first taken away, seconds; nothing where it never was.
    pub stopped_after_s: Option<f64>,
}

/// A tag that was hung on a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tag {
    /// The part.
    pub part: Part,
    /// When, seconds.
    pub at_s: f64,
    /// The part had failed.
    pub right: bool,
}

/// What the report says of the level.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelCard {
    /// Stable name.
    pub id: String,
    /// Version.
    pub version: u32,
    /// Title for people.
    pub title: String,
    /// What it teaches.
    pub objectives: Vec<String>,
    /// Name of the region whose limits hold.
    pub region: String,
}

/// A rule that the mark was made by.
#[derive(Clone, Debug, PartialEq)]
pub struct BookLine {
    /// Stable name.
    pub id: String,
    /// Version of its judgement.
    pub version: u32,
    /// How much breaking it weighs.
    pub severity: Severity,
    /// Where it comes from.
    pub source: String,
    /// How far the source can be trusted.
    pub honesty: Honesty,
}

/// A limit that the mark was made with.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitLine {
    /// Stable name; it ends in the unit.
    pub id: String,
    /// The number.
    pub value: f64,
    /// Where it comes from.
    pub source: String,
    /// How far it can be trusted.
    pub honesty: Honesty,
}

/// Something that is used up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// Water drawn.
    Water,
    /// Fuel burnt.
    Fuel,
    /// Water that ran off where the work is, where the job sheet limits it.
    RunOff,
}

impl Supply {
    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Supply::Water => "water",
            Supply::Fuel => "fuel",
            Supply::RunOff => "run_off",
        }
    }
}

/// How much of something was used up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Use {
    /// Of what.
    pub supply: Supply,
    /// How much, litres; nothing where it was not measured.
    pub used_l: Option<f64>,
    /// How much the job needs, litres.
    pub needed_l: f64,
}

/// Where the water went, litres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// What the supply gave.
    pub drawn_l: f64,
    /// What ran off where the work is.
    pub run_off_l: f64,
    /// What ran off beside the unit.
    pub at_unit_l: f64,
    /// What came back to the tank by the bypass.
    pub returned_l: f64,
}

/// A state that lasts a while and is drawn as a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The engine runs.
    EngineRuns,
    /// The engine runs and the dump is shut, so that the pump feeds the line.
    LineFed,
    /// A nozzle is on the lance.
    NozzleOn,
    /// The trigger is squeezed.
    Squeezed,
    /// The lance is braced to the body.
    Braced,
    /// The gate of the barrier is closed.
    BarrierClosed,
    /// Somebody who has no business there is in the zone.
    Intruder,
}

impl State {
    /// All states, in the order in which they are drawn.
    pub const ALL: [State; 7] = [
        State::EngineRuns,
        State::LineFed,
        State::NozzleOn,
        State::Squeezed,
        State::Braced,
        State::BarrierClosed,
        State::Intruder,
    ];

    /// Whether it is worth a row of its own also where it never was.
    pub fn is_always_shown(self) -> bool {
        !matches!(self, State::BarrierClosed | State::Intruder)
    }

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            State::EngineRuns => "engine_runs",
            State::LineFed => "line_fed",
            State::NozzleOn => "nozzle_on",
            State::Squeezed => "squeezed",
            State::Braced => "braced",
            State::BarrierClosed => "barrier_closed",
            State::Intruder => "intruder",
        }
    }
}

/// How long a state lasted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// The state.
    pub state: State,
    /// From when, seconds.
    pub from_s: f64,
    /// Until when, seconds.
    pub until_s: f64,
}

/// Something that happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// When.
    pub tick: Tick,
    /// What.
    pub event: Event,
}

/// A cause to stop at the trainee's post, the act, and what the water did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// The cause and the act, as the rules and the procedure's lines read them.
    pub cue: Cue,
    /// Seconds until the dump stood open.
    pub open_s: Option<f64>,
}

/// For how long a nozzle was on the lance, and what its maker's table says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Table {
    /// From when, seconds.
    pub from_s: f64,
    /// Until when, seconds.
    pub until_s: f64,
    /// Least and greatest stand-off, metres.
    pub stand_off_m: [f64; 2],
}

/// What a part of an attempt was for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Before the pump first fed the line.
    Prepare,
    /// The line is fed, and the surface not yet or never reached.
    Pressure,
    /// From the first step of a cell to the last.
    Clean,
    /// What came after.
    Finish,
}

impl Stage {
    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Stage::Prepare => "prepare",
            Stage::Pressure => "pressure",
            Stage::Clean => "clean",
            Stage::Finish => "finish",
        }
    }
}

/// A part of an attempt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// What for.
    pub stage: Stage,
    /// From when, seconds.
    pub from_s: f64,
    /// Until when, seconds.
    pub until_s: f64,
}

/// What became of the surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Cleaning {
    /// Share that has to be clean, percent.
    pub grade_pct: f64,
    /// The stand-off that the job sheet states, metres.
    pub stand_off_m: f64,
    /// Width and height, metres.
    pub size_m: [f64; 2],
    /// Cells along the width.
    pub columns: u32,
    /// Steps that each cell needs to be clean, row by row from the lower left.
    pub wanted: Vec<u8>,
    /// The surface before, at half of the time, and after.
    pub maps: Vec<Map>,
    /// The tile that is clean to the least share at the end.
    pub worst: Option<Tile>,
    /// Tiles that are below the grade at the end, and all tiles.
    pub below_grade: (usize, usize),
}

impl Cleaning {
    /// Share of the surface that is damaged under its deposits at the end,
    /// percent.
    pub fn damaged_pct(&self) -> f64 {
        let Some(map) = self.maps.last() else {
            return 0.0;
        };
        let cells = map.steps.iter().zip(&self.wanted);
        let damaged = cells.filter(|(steps, wanted)| is_damaged(**steps, **wanted));
        100.0 * damaged.count() as f64 / map.steps.len().max(1) as f64
    }
}

/// A surface at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// The moment, seconds.
    pub at_s: f64,
    /// Steps that each cell has taken, row by row from the lower left.
    pub steps: Vec<u8>,
    /// Share that is clean, percent.
    pub clean_pct: f64,
}

/// A tile of a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tile {
    /// Left, lower, right and upper edge, metres.
    pub over_m: [f64; 4],
    /// Share that is clean, percent.
    pub clean_pct: f64,
}

/// Where an attempt was restarted from.
#[derive(Clone, Debug, PartialEq)]
pub struct Restarted {
    /// Name of the other attempt: its body hash, hexadecimal.
    pub body_hash: String,
    /// The moment, seconds.
    pub at_s: f64,
}

/// Who, when and on what.
#[derive(Clone, Debug, PartialEq)]
pub struct Sitting {
    /// Code that the roster knows the trainee by.
    pub trainee: String,
    /// Name to show.
    pub display_name: Option<String>,
    /// When it started, seconds since 1970-01-01 00:00 UTC.
    pub started_unix_s: i64,
    /// What it was played on.
    pub device: String,
    /// Kind of sitting, as the end of a text id.
    pub mode: String,
}

/// How evenly an attempt ran.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Seconds on the wall.
    pub wall_s: f64,
    /// Least simulated seconds per second on the wall over any one second.
    pub least_real_time_factor: f64,
    /// Pictures drawn, and the time in milliseconds that 99 of 100 keep below.
    pub frames: Option<(u64, f64)>,
}
