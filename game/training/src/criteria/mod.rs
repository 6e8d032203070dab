//! The lines of the procedure's mark.
//!
//! Each criterion of a level watches the attempt and says in the end how much
//! of it was seen, from nothing to all. They read what the rules read, and use
//! the same meaning of "tested", "held", "cooled" and "called".

mod hose;
mod lance;
mod pump;
mod trouble;

use crate::level::{Criterion, CriterionKind, Level};
use crate::rules::cue;
use crate::{Channel, Observation};
use crew::Tick;
use serde::{Deserialize, Serialize};

/// What became of a criterion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CriterionResult {
    /// Name within the level.
    pub id: String,
    /// Name of its kind, as the end of text ids.
    pub kind: String,
    /// Its share of the procedure's mark, percent; nothing where the attempt
    /// gave no occasion for it.
    pub weight: f64,
    /// How much of it was seen, 0 to 1.
    pub share: f64,
    /// What was measured.
    pub value: f64,
    /// What was asked.
    pub wanted: f64,
    /// Unit of both.
    pub unit: String,
    /// Where a part was earned by what came too late: how long the slowest of it took and what was
    /// allowed, seconds.
    pub late_s: Option<[f64; 2]>,
}

/// All criteria of an attempt.
pub struct Criteria {
    watching: Vec<(Criterion, Box<dyn Seen>)>,
}

impl Criteria {
    /// Begins to watch.
    pub fn new(level: &Level) -> Self {
        Criteria {
            watching: level
                .criteria
                .iter()
                .map(|c| (c.clone(), begin(&c.kind, level)))
                .collect(),
        }
    }

    /// Sees one tick, at the end of which a share of the surface counts as
    /// clean, percent.
    pub fn see(&mut self, o: &Observation, clean_pct: f64) {
        for (_, seen) in &mut self.watching {
            seen.see(o);
            seen.see_clean(clean_pct);
        }
    }

    /// What became of them so far.
    pub fn results(&self) -> Vec<CriterionResult> {
        self.watching
            .iter()
            .map(|(criterion, seen)| {
                let (value, wanted, unit) = seen.measured();
                let share = if wanted > 0.0 { value / wanted } else { value };
                CriterionResult {
                    id: criterion.id.clone(),
                    kind: criterion.kind.id().to_owned(),
                    weight: if seen.had_occasion() {
                        criterion.weight
                    } else {
                        0.0
                    },
                    share: share.clamp(0.0, 1.0),
                    value,
                    wanted,
                    unit: unit.to_owned(),
                    late_s: seen.late_s(),
                }
            })
            .collect()
    }
}

/// A criterion that watches.
trait Seen: Send + Sync {
    fn see(&mut self, o: &Observation);
    /// Sees the share of the surface that counts as clean, percent.
    fn see_clean(&mut self, _: f64) {}
    /// What was measured, what was asked, and their unit.
    fn measured(&self) -> (f64, f64, &'static str);
    /// How long the slowest of what came too late, and still earns a part, took, and what was allowed,
    /// seconds.
    fn late_s(&self) -> Option<[f64; 2]> {
        None
    }
    /// Whether there was anything to show it by: what others have to do first
    /// may not have come.
    fn had_occasion(&self) -> bool {
        true
    }
}

fn begin(kind: &CriterionKind, level: &Level) -> Box<dyn Seen> {
    match kind {
        CriterionKind::Flushed { min_s } => Box::new(pump::Flushed::new(*min_s)),
        CriterionKind::BoreGauged => Box::new(pump::BoreGauged::default()),
        CriterionKind::StopsTested => Box::new(pump::StopsTested::new(level)),
        CriterionKind::LeakWalk { places } => Box::new(pump::LeakWalk::new(places, level)),
        CriterionKind::StepsHeld { count } => Box::new(pump::StepsHeld::new(*count, level)),
        CriterionKind::Hold => Box::new(pump::Hold::new(level)),
        CriterionKind::DumpedOnCall => Box::new(pump::DumpedOnCall::new(level)),
        CriterionKind::Cooled => Box::new(pump::Cooled::new(level)),
        CriterionKind::LeftSafe => Box::new(pump::LeftSafe::new(level)),
        CriterionKind::Cleaned { pct } => Box::new(lance::Cleaned::new(*pct)),
        CriterionKind::TestPatch {
            at_most_bar,
            look_s,
        } => Box::new(lance::TestPatch::new(*at_most_bar, *look_s)),
        CriterionKind::StandOffKept { pct } => Box::new(lance::StandOffKept::new(*pct, level)),
        CriterionKind::NozzleChanged => Box::new(lance::NozzleChanged::default()),
        CriterionKind::StoppedForIntruder => Box::new(lance::StoppedForIntruder::new(level)),
        CriterionKind::LanceLeftSafe => Box::new(lance::LanceLeftSafe::new(level)),
        CriterionKind::TroubleMet { within_s } => {
            Box::new(trouble::TroubleMet::new(*within_s, level))
        }
        CriterionKind::Partnered { count } => Box::new(pump::Partnered::new(*count, level)),
        CriterionKind::Restrained => Box::new(hose::Restrained::new(level)),
        CriterionKind::StoppedForParted { within_s } => {
            Box::new(hose::StoppedForParted::new(*within_s))
        }
    }
}

/// The channels that a kind of criterion reads. Where one is missing, that
/// kind cannot be assessed; the others can.
pub fn channels(kind: &CriterionKind) -> &'static [Channel] {
    match kind {
        CriterionKind::Flushed { .. } => &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::ToolFlow,
        ],
        // Read from what happened, and from nothing that is measured.
        CriterionKind::BoreGauged => &[],
        CriterionKind::StopsTested => &[
            Channel::EngineRuns,
            Channel::EmergencyStop,
            Channel::DumpOpen,
            Channel::Trigger,
            Channel::NozzleFitted,
            Channel::GunPressure,
            Channel::Thrust,
        ],
        CriterionKind::LeakWalk { .. } => &[
            Channel::NozzleFitted,
            Channel::PumpPressure,
            Channel::PumpHandX,
            Channel::PumpHandZ,
        ],
        CriterionKind::StepsHeld { .. } => &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::PumpPressure,
        ],
        CriterionKind::Hold => &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::Trigger,
            Channel::Gauge,
        ],
        CriterionKind::DumpedOnCall => cue::CHANNELS,
        CriterionKind::Cooled => &[
            Channel::EngineRuns,
            Channel::EmergencyStop,
            Channel::DumpOpen,
            Channel::SetPressure,
            Channel::Throttle,
            Channel::PumpPressure,
        ],
        CriterionKind::Partnered { .. } => &[
            Channel::EngineRuns,
            Channel::NozzleFitted,
            Channel::Trigger,
            Channel::Thrust,
            Channel::Pedal,
            Channel::PedalOutlet,
        ],
        CriterionKind::LeftSafe => &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::BleedOpen,
            Channel::BleedRuns,
            Channel::SupplyOpen,
            Channel::Key,
            Channel::GunPressure,
        ],
        // The steps of its cells are no channel; they are kept whenever this
        // one is.
        CriterionKind::Cleaned { .. } => &[Channel::SurfaceClean],
        CriterionKind::TestPatch { .. } => {
            &[Channel::ImpactPressure, Channel::Gauge, Channel::Trigger]
        }
        CriterionKind::StandOffKept { .. } => {
            &[Channel::ImpactPressure, Channel::StandOff, Channel::Nozzle]
        }
        CriterionKind::NozzleChanged => &[Channel::SurfaceClean, Channel::Nozzle],
        CriterionKind::StoppedForIntruder => cue::CHANNELS,
        CriterionKind::LanceLeftSafe => {
            &[Channel::GunPressure, Channel::SafetyCatch, Channel::ToolAt]
        }
        CriterionKind::TroubleMet { .. } => &[Channel::EngineRuns, Channel::PumpPressure],
        CriterionKind::Restrained => &[
            Channel::PumpPressure,
            Channel::PumpRestraint,
            Channel::GunRestraint,
        ],
        CriterionKind::StoppedForParted { .. } => {
            &[Channel::HoseParted, Channel::EngineRuns, Channel::DumpOpen]
        }
    }
}

fn seconds(ticks: u32) -> f64 {
    Tick(ticks).seconds()
}

#[cfg(test)]
mod tests;
