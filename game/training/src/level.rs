//! A level, checked: nothing in here can be invalid.
//!
//! Angles are radians, lengths metres, pressures pascals and so on; where a
//! field is kept in a trade unit because only rules and people read it, its
//! name says so.

mod criterion;

pub use criterion::{Criterion, CriterionKind};

use crate::{Assumed, Assumptions, Faults, Region};
use crew::{Control, Seat};
use hydraulics::{JetSpec, NozzleSpec, Removal};
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
    /// What is to be cleaned, where something is.
    pub surface: Option<Surface>,
    /// What was done and seen to before the attempt begins.
    pub given: Given,
    /// What has to be worn, and what is worn at the start.
    pub ppe: PpeRules,
    /// How the crew behaves.
    pub crew: Crew,
    /// What goes wrong.
    pub faults: Faults,
    /// What the procedure's mark is made of.
    pub criteria: Vec<Criterion>,
    /// What the economy's mark is measured against.
    pub economy: Economy,
    /// What the whole yard takes for granted.
    pub assumptions: Assumptions,
    /// Numbers that are known only within a range: those behind this level's cleaning, and the
    /// assumptions.
    pub assumed: Vec<Assumed>,
}

impl Level {
    /// The surface that is to be cleaned; nothing where there is none, or nobody asks for it to be clean.
    pub fn cleaned(&self) -> Option<&Surface> {
        let asked = |c: &Criterion| matches!(c.kind, CriterionKind::Cleaned { .. });
        let surface = self.surface.as_ref();
        surface.filter(|_| self.criteria.iter().any(asked))
    }

    /// Up to here the pressure may swing above that of the job, bar: what a regulator lets it rise by
    /// when a tool shuts is no breach.
    pub fn job_most_bar(&self) -> f64 {
        self.job.pressure_bar * self.region.limits.over_rating_share()
    }

    /// The limits that the job sheet itself sets, by name as those of a region are, each in the unit
    /// that its name ends in.
    pub fn job_limits(&self) -> [(&'static str, f64); 2] {
        [
            ("job_bar", self.job.pressure_bar),
            ("job_most_bar", self.job_most_bar()),
        ]
    }

    /// Names of the parts of the physics that a mark at this level depends on, as the table that
    /// proves the physics calls them: whoever wants to be assessed at it needs all of them proven.
    pub fn physics(&self) -> Vec<&'static str> {
        let mut parts = vec![
            "water",
            "engine",
            "pump",
            "regulator",
            "dump",
            "line",
            "nozzle",
            "noise",
        ];
        if self.surface.is_some() {
            parts.push("jet");
        }
        if self.post == Seat::LANCE {
            parts.push("operator");
        }
        parts
    }
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
    /// The nozzles at the lance post. The first is the one that the job asks
    /// for.
    pub nozzles: Vec<Nozzle>,
    /// Highest working pressure of the gun, pascals.
    pub gun_rating_pa: f64,
    /// The lance or gun as a thing that is held.
    pub lance: Lance,
    /// The hoses from the pump to the gun, as things that lie about.
    pub hoses: Vec<HoseBody>,
    /// The whip restraints of the line to the lance, where they belong to the level.
    pub restraint: Option<Restraint>,
    /// The second tool, where there is one.
    pub second: Option<Second>,
    /// The hand at the pump.
    pub pump_hand: Person,
    /// The hand at the lance.
    pub lance_hand: Person,
}

/// A second tool on the same unit: a lance clamped in a stand, with a pedal for its valve.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Second {
    /// The nozzle that is on it for good.
    pub nozzle: Nozzle,
    /// The lance as a thing.
    pub lance: Lance,
    /// Highest working pressure of the lowest rated part of its line, pascals.
    pub rating_pa: f64,
    /// Length of its hoses, metres.
    pub hose_m: f64,
    /// Their outer diameter, metres.
    pub outer_m: f64,
}

/// A nozzle at the lance post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Nozzle {
    /// Name in the catalogue.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// As the water sees it.
    pub water: NozzleSpec,
    /// What becomes of its jet.
    pub jet: JetSpec,
    /// The stand-off that its maker's table gives, least and greatest, metres.
    pub stand_off_m: [f64; 2],
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
    /// Year and month of the last proof test, as on its tag.
    pub proof_date: String,
}

/// What holds the end of a hose whose coupling lets go. Both ends of the lance's hose have the same.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Restraint {
    /// Name in the catalogue.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Load at which it breaks, newtons.
    pub strength_n: f64,
    /// Load at which what it is clipped to gives way, newtons.
    pub anchor_n: f64,
    /// Its stiffness once it is taut, newtons per metre.
    pub stiffness_n_m: f64,
    /// Way that the end of the hose has before it is taut, metres.
    pub slack_m: f64,
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
    /// The nozzle that is on the lance, or lies ready to be fitted: its place
    /// in the list of nozzles.
    pub nozzle: u8,
    /// The engine runs and is warm.
    pub engine_runs: bool,
    /// The gate of the barrier is closed.
    pub barrier_closed: bool,
    /// The lance stands in its stand and not in the hands.
    pub tool_in_stand: bool,
}

/// What was done and seen to before the attempt begins.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Given {
    /// The line was flushed.
    pub flushed: bool,
    /// The leak walk was made.
    pub leak_walked: bool,
    /// These stops were tested: `trigger`, `dump`, `emergency_stop`.
    pub stops_tested: Vec<String>,
}

/// What has to be worn, and what is worn at the start; a bit for each piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PpeRules {
    /// What everybody within the zone has to wear under pressure.
    pub required: u8,
    /// What the pump hand wears at the start.
    pub pump_hand: u8,
    /// What the lance hand wears at the start.
    pub lance_hand: u8,
}

/// An upright surface to be cleaned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Surface {
    /// Lower left corner as one faces it, metres along x, y (up) and z.
    pub corner: [f64; 3],
    /// Unit vector along the lower edge from left to right, along x and z.
    pub right: [f64; 2],
    /// Width and height, metres.
    pub size: [f64; 2],
    /// Edge of a cell, metres.
    pub cell_m: f64,
    /// Edge of a tile: what the grade is held against, and what an eye can
    /// tell apart, metres.
    pub tile_m: f64,
    /// Share of the surface that has to be clean, percent.
    pub grade_pct: f64,
    /// The stand-off that the job sheet states, metres.
    pub stand_off_m: f64,
    /// The deposits, from the bottom up.
    pub coats: Vec<Coat>,
    /// What they lie on, where the level says so: what it takes to take a layer
    /// off that, which is damage.
    pub base: Option<Base>,
}

/// What the deposits of a surface lie on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Base {
    /// Name in the catalogue.
    pub deposit: String,
    /// Name for people.
    pub title: Words,
    /// What it takes to damage it.
    pub removal: Removal,
}

/// A deposit on a part of a surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Coat {
    /// Name of the deposit in the catalogue.
    pub deposit: String,
    /// Name for people.
    pub title: Words,
    /// What it takes to remove it.
    pub removal: Removal,
    /// Left, lower, right and upper edge of the part, metres.
    pub over: [f64; 4],
    /// The pressure at the gauge that the job sheet allows for it, bar.
    pub at_most_bar: f64,
}

impl Surface {
    /// Cells along width and height.
    pub fn cells(&self) -> [u32; 2] {
        self.size.map(|m| (m / self.cell_m).round().max(1.0) as u32)
    }

    /// Tiles along width and height.
    pub fn tiles(&self) -> [u32; 2] {
        self.size.map(|m| (m / self.tile_m).ceil().max(1.0) as u32)
    }

    /// The coats on a cell, from the top down.
    pub fn layers_of(&self, cell: u32) -> Vec<&Coat> {
        let [columns, _] = self.cells();
        let middle = |n: u32| (f64::from(n) + 0.5) * self.cell_m;
        let (x, y) = (middle(cell % columns), middle(cell / columns));
        self.coats
            .iter()
            .rev()
            .filter(|c| {
                let [left, low, right, high] = c.over;
                (left..right).contains(&x) && (low..high).contains(&y)
            })
            .collect()
    }
}

/// The yard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Site {
    /// Friction of a boot or a hose on the ground.
    pub ground_friction: f64,
    /// Parts of the ground on which boots hold otherwise; of two that overlap the later counts.
    pub footings: Vec<Footing>,
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
    /// Where the watch stands, where there is one.
    pub watch: Option<Standing>,
    /// Where a visitor comes from, where there is one.
    pub visitor: Option<Standing>,
    /// The zone that the barrier closes: corners of least and greatest x and z.
    pub zone: Option<[[f64; 2]; 2]>,
    /// Things that are to be kept dry.
    pub kept_dry: Vec<Block>,
    /// Where protective equipment is put on and taken off.
    pub rack: Option<[f64; 2]>,
    /// Where the second tool stands, where there is one.
    pub second: Option<SecondPlace>,
}

/// A part of the ground on which boots hold otherwise than on the rest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Footing {
    /// Name of its kind in the catalogue.
    pub kind: String,
    /// Name for people.
    pub title: Words,
    /// Corners of least and of greatest x and z, metres.
    pub over: [[f64; 2]; 2],
    /// Friction of a boot on it.
    pub friction: f64,
}

/// Where a second tool stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SecondPlace {
    /// Its stand, metres along x and z.
    pub at: [f64; 2],
    /// The way that it points, radians about the upward axis from +x towards -z.
    pub yaw_rad: f64,
    /// The line along which its hose lies, from the pump to the stand.
    pub hose_path: Vec<[f64; 2]>,
    /// Where the mate stands, and the way they face.
    pub mate: Standing,
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

    /// The part of the ground on which somebody stands who stands there; nothing on the plain ground.
    pub fn footing(&self, [x, z]: [f64; 2]) -> Option<&Footing> {
        self.footings.iter().rev().find(|footing| {
            let [[low_x, low_z], [high_x, high_z]] = footing.over;
            (low_x..=high_x).contains(&x) && (low_z..=high_z).contains(&z)
        })
    }

    /// Friction of a boot there.
    pub fn friction(&self, at: [f64; 2]) -> f64 {
        self.footing(at)
            .map_or(self.ground_friction, |footing| footing.friction)
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
    /// The pump hand, where the program plays them.
    pub pump_hand: Option<PumpHand>,
    /// The watch.
    pub watch: Option<Watch>,
    /// A visitor who walks in.
    pub visitor: Option<Visitor>,
    /// The mate at the second tool.
    pub mate: Option<Mate>,
}

/// How the mate behaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mate {
    /// Work at the pedal once the pressure is not to change: wait, then press, seconds each.
    pub work: Vec<(f64, f64)>,
}

/// How the pump hand behaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PumpHand {
    /// Time to think before an answer, seconds.
    pub reply_s: f64,
    /// The pressures that "raise" and "lower" step through, bar.
    pub steps_bar: Vec<f64>,
    /// The throttle that goes with each of them, percent.
    pub throttle_pct: Vec<f64>,
}

/// How the watch behaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Watch {
    /// Time to think before a word, seconds.
    pub reply_s: f64,
    /// When the watch steps too near to the work, after the first water on the
    /// surface, seconds.
    pub steps_near_after_s: Option<f64>,
    /// Where to: the name of a place.
    pub near_place: Option<String>,
}

/// A visitor who walks into the zone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Visitor {
    /// When they set out, after the first water on the surface, seconds.
    pub after_s: f64,
    /// The names of the places that they walk past, and back the same way when
    /// they are sent off.
    pub by: Vec<String>,
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

/// What the economy's mark is measured against.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Economy {
    /// Water that the job needs, litres.
    pub water_l: f64,
    /// Fuel that the job needs, litres.
    pub fuel_l: f64,
    /// Water that may run off where the work is, where the job sheet says how
    /// much, litres.
    pub run_off_l: Option<f64>,
}
