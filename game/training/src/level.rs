//! A level, checked: nothing in here can be invalid.
//!
//! Angles are radians, lengths metres, pressures pascals and so on; where a
//! field is kept in a trade unit because only rules and people read it, its
//! name says so.

use crate::Region;
use crew::{Control, Seat};
use serde::{Deserialize, Serialize};

/// Words for people, in one or more languages.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Words {
    /// English; always there.
    pub en: String,
    /// Other languages, by their code.
    pub others: Vec<(String, String)>,
}

impl Words {
    /// The words in a language, or in English where that language is missing.
    pub fn get(&self, language: &str) -> &str {
        self.others
            .iter()
            .find(|(code, _)| code == language)
            .map_or(self.en.as_str(), |(_, words)| words)
    }
}

/// A level.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Stable name; the name of its folder.
    pub id: String,
    /// Version of the level's text and numbers.
    pub version: u32,
    /// Who wrote it.
    pub author: String,
    /// Title for people.
    pub title: Words,
    /// What it teaches.
    pub objectives: Vec<Words>,
    /// What can hurt in it.
    pub hazards: Vec<Words>,
    /// What the trainee is told before.
    pub briefing: Words,
    /// The post of the trainee.
    pub post: Seat,
    /// The limits that hold at its site.
    pub region: Region,
    /// Seed of an attempt that names none.
    pub seed: u64,
    /// How long it should take, seconds.
    pub expected_s: f64,
    /// When it ends at the latest, seconds.
    pub limit_s: f64,
    /// Temperature of the supply water, degrees Celsius.
    pub water_c: f64,
    /// Temperature of the air, degrees Celsius.
    pub air_c: f64,
    /// The machines and the people.
    pub equipment: Equipment,
    /// How everything stands at the start.
    pub start: Start,
    /// The yard.
    pub site: Site,
    /// What is to be done.
    pub job: Job,
    /// How the crew behaves.
    pub crew: Crew,
    /// What the procedure's mark is made of.
    pub criteria: Vec<Criterion>,
    /// What the economy's mark is measured against.
    pub economy: Economy,
}

/// The machines and the people.
#[derive(Clone, Debug, PartialEq)]
pub struct Equipment {
    /// Name of the unit in the catalogue.
    pub unit: String,
    /// Name of its plunger kit.
    pub kit: String,
    /// Highest pressure of the kit, pascals.
    pub kit_max_pa: f64,
    /// The whole circuit.
    pub circuit: hydraulics::CircuitSpec,
    /// The gauge at the pump.
    pub gauge: Gauge,
    /// The nozzle that the job asks for.
    pub nozzle: hydraulics::NozzleSpec,
    /// Name of the nozzle in the catalogue.
    pub nozzle_id: String,
    /// The lance or gun as a thing that is held.
    pub lance: Lance,
    /// The hoses from the pump to the gun, as things that lie about.
    pub hoses: Vec<HoseBody>,
    /// The hand at the pump.
    pub pump_hand: Person,
    /// The hand at the lance.
    pub lance_hand: Person,
}

/// The gauge at the pump.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gauge {
    /// End of the scale, pascals.
    pub full_scale_pa: f64,
    /// Time constant of the needle, seconds.
    pub lag_s: f64,
}

/// A hand lance as a thing that is held.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lance {
    /// Length over all, metres.
    pub length_m: f64,
    /// From the tip to the trigger, metres.
    pub tip_to_trigger_m: f64,
    /// Mass without water, kilograms.
    pub mass_kg: f64,
}

/// A hose as a thing that lies about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HoseBody {
    /// Name in the catalogue.
    pub id: String,
    /// Length, metres.
    pub length_m: f64,
    /// Bore, metres.
    pub bore_m: f64,
    /// Outer diameter, metres.
    pub outer_m: f64,
    /// Mass of the empty hose, kilograms per metre.
    pub mass_empty_kg_m: f64,
    /// Bending stiffness without pressure, newton square metres.
    pub bending_stiffness_n_m2: f64,
    /// Growth of the bending stiffness with pressure, newton square metres per
    /// pascal.
    pub stiffness_per_pa: f64,
    /// Smallest radius it may be bent to, metres.
    pub min_bend_radius_m: f64,
    /// Highest working pressure, pascals.
    pub rating_pa: f64,
}

/// A person's body.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Name in the catalogue.
    pub id: String,
    /// Mass with clothing, kilograms.
    pub mass_kg: f64,
    /// Height of the centre of mass, metres.
    pub com_height_m: f64,
    /// Height of the hands on the tool, metres.
    pub hand_height_m: f64,
    /// Delay of the balance reaction, seconds.
    pub reaction_s: f64,
    /// Largest force both hands hold for a moment, newtons.
    pub max_hold_n: f64,
}

/// How everything stands at the start.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Start {
    /// Position of each control, in detents or positions.
    pub controls: Vec<(Control, u16)>,
    /// Share of the pump head that is filled with air, 0 to 1.
    pub air_in_head: f64,
    /// A nozzle is on the lance.
    pub nozzle_fitted: bool,
}

/// The yard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Site {
    /// Friction of a boot or a hose on the ground.
    pub ground_friction: f64,
    /// Walls and other things that do not move.
    pub walls: Vec<Block>,
    /// Things that can be pushed about.
    pub props: Vec<Prop>,
    /// Named places to stand.
    pub places: Vec<(String, [f64; 2])>,
    /// Where each control is.
    pub controls: Vec<(Control, [f64; 3])>,
    /// The line along which the hose is laid, from the pump to the gun.
    pub hose_path: Vec<[f64; 2]>,
    /// Where the pump hand stands at the start, and the way they face.
    pub pump_hand: Standing,
    /// Where the lance hand stands at the start, and the way they face.
    pub lance_hand: Standing,
}

/// Where a person stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Standing {
    /// Place, metres along x and z.
    pub at: [f64; 2],
    /// The way they face, radians about the upward axis from +x towards -z.
    pub yaw_rad: f64,
}

/// A block that does not move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Block {
    /// Centre, metres.
    pub at: [f64; 3],
    /// Edges, metres.
    pub size: [f64; 3],
}

/// A thing that can be pushed about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Prop {
    /// Stable name.
    pub id: String,
    /// Centre, metres.
    pub at: [f64; 3],
    /// Edges, metres.
    pub size: [f64; 3],
    /// Mass, kilograms.
    pub mass_kg: f64,
}

impl Site {
    /// Where a named place is.
    pub fn place(&self, id: &str) -> Option<[f64; 2]> {
        self.places.iter().find(|(p, _)| p == id).map(|(_, at)| *at)
    }

    /// Where a control is.
    pub fn control(&self, control: Control) -> Option<[f64; 3]> {
        self.controls
            .iter()
            .find(|(c, _)| *c == control)
            .map(|(_, at)| *at)
    }
}

/// What is to be done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Job {
    /// Pressure of the job, bar.
    pub pressure_bar: f64,
    /// Throttle of the job, percent.
    pub throttle_pct: f64,
    /// How long the pressure is held, seconds.
    pub hold_s: f64,
    /// How far the needle may wander while held, percent.
    pub within_pct: f64,
    /// Time after each trigger change that does not count, seconds.
    pub ignore_after_trigger_s: f64,
}

/// How the crew behaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Crew {
    /// The lance hand, where the program plays them.
    pub lance_hand: Option<LanceHand>,
}

/// How the lance hand behaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LanceHand {
    /// Time to think before an answer, seconds.
    pub reply_s: f64,
    /// How long the trigger is held when asked to squeeze, seconds.
    pub squeeze_s: f64,
    /// Trigger work once the pressure is not to change: wait, then squeeze,
    /// seconds each.
    pub work: Vec<(f64, f64)>,
    /// When the lance hand calls for the dump, after the trigger work began,
    /// seconds.
    pub dump_call_after_s: Option<f64>,
}

/// One line of the procedure's mark.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Criterion {
    /// Stable name within the level, as the end of a text id or printed as is.
    pub id: String,
    /// Its share of the procedure's mark, percent.
    pub weight: f64,
    /// What has to be seen.
    pub kind: CriterionKind,
}

/// What has to be seen for a criterion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum CriterionKind {
    /// Water ran out of the bare hose end for so long before a nozzle was
    /// first fitted.
    Flushed {
        /// Seconds.
        min_s: f64,
    },
    /// The bore of the nozzle was gauged before it was fitted.
    BoreGauged,
    /// Trigger, dump and emergency stop were tested at low pressure.
    StopsTested,
    /// The line was walked at the first low step, past these places.
    LeakWalk {
        /// Names of places.
        places: Vec<String>,
    },
    /// So many steps of pressure were held.
    StepsHeld {
        /// Number of steps.
        count: u32,
    },
    /// The pressure of the job was held.
    Hold,
    /// The dump was opened in time when the lance hand called for it.
    DumpedOnCall,
    /// The engine idled unloaded long enough before the last stop.
    Cooled,
    /// At the end the engine stands, the line is empty, dump and bleed are
    /// open, the supply is shut and the key is off.
    LeftSafe,
}

impl CriterionKind {
    /// Stable name of the kind, as the end of text ids.
    pub fn id(&self) -> &'static str {
        match self {
            CriterionKind::Flushed { .. } => "flushed",
            CriterionKind::BoreGauged => "bore_gauged",
            CriterionKind::StopsTested => "stops_tested",
            CriterionKind::LeakWalk { .. } => "leak_walk",
            CriterionKind::StepsHeld { .. } => "steps_held",
            CriterionKind::Hold => "hold",
            CriterionKind::DumpedOnCall => "dumped_on_call",
            CriterionKind::Cooled => "cooled",
            CriterionKind::LeftSafe => "left_safe",
        }
    }
}

/// What the economy's mark is measured against.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Economy {
    /// Water that the job needs, litres.
    pub water_l: f64,
    /// Fuel that the job needs, litres.
    pub fuel_l: f64,
}
