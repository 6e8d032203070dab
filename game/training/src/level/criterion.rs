//! What the procedure's mark of a level is made of.

use serde::{Deserialize, Serialize};

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
    /// So many steps of pressure were held: the job's pressure is cut into as many equal ones.
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
    /// A part of the surface was cleaned to the grade.
    Cleaned {
        /// The share that is asked for, percent.
        pct: f64,
    },
    /// A test patch was worked at the lowest pressure, and looked at with the
    /// trigger let go, before the pressure went up.
    TestPatch {
        /// Pressure at the gauge, at most, bar.
        at_most_bar: f64,
        /// How long it is looked at, seconds.
        look_s: f64,
    },
    /// The surface was worked within the stand-off of the nozzle's table for
    /// this share of the time.
    StandOffKept {
        /// Percent of the time with the jet on the surface.
        pct: f64,
    },
    /// The nozzle of the job was on the lance when the surface was cleaned.
    NozzleChanged,
    /// Somebody walked in, and the trigger was let go in time each time.
    StoppedForIntruder,
    /// At the end the line is proved at zero, the safety catch is on and the
    /// lance lies in order.
    LanceLeftSafe,
    /// Each part that failed was tagged out, and the pressure taken away before.
    TroubleMet {
        /// Longest time under pressure after it failed, seconds.
        within_s: f64,
    },
    /// While the lance worked, the second tool shut so often without a jolt.
    Partnered {
        /// How often.
        count: u32,
    },
    /// All whip restraints were clipped before there was pressure for the first time.
    Restrained,
    /// When the hose parted, the pump stopped feeding it in time, and nobody was hurt.
    StoppedForParted {
        /// Longest time for it, seconds.
        within_s: f64,
    },
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
            CriterionKind::Cleaned { .. } => "cleaned",
            CriterionKind::TestPatch { .. } => "test_patch",
            CriterionKind::StandOffKept { .. } => "stand_off_kept",
            CriterionKind::NozzleChanged => "nozzle_changed",
            CriterionKind::StoppedForIntruder => "stopped_for_intruder",
            CriterionKind::LanceLeftSafe => "lance_left_safe",
            CriterionKind::TroubleMet { .. } => "trouble_met",
            CriterionKind::Partnered { .. } => "partnered",
            CriterionKind::Restrained => "restrained",
            CriterionKind::StoppedForParted { .. } => "stopped_for_parted",
        }
    }
}
