//! What a circuit is made of, and the check that it makes sense.

use crate::bleed::BleedSpec;
use crate::branch::BranchSpec;
use crate::burst_disc::BurstDiscSpec;
use crate::dump::DumpSpec;
use crate::engine::EngineSpec;
use crate::gun::GunSpec;
use crate::hose::HoseSpec;
use crate::line::MAX_CELLS;
use crate::power_end::PowerEndSpec;
use crate::pump::PumpSpec;
use crate::regulator::RegulatorSpec;
use crate::relief::ReliefSpec;
use crate::tank::TankSpec;
use serde::{Deserialize, Serialize};

/// Everything from the tank to the gun. The nozzle is fitted and changed during the job, so it
/// comes with the controls.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CircuitSpec {
    /// The plunger pump with its kit.
    pub pump: PumpSpec,
    /// Its power end; none where nothing is known of it, and the friction is that of the pump.
    pub power_end: Option<PowerEndSpec>,
    /// The engine that drives it.
    pub engine: EngineSpec,
    /// The self-compensating bypass regulator.
    pub regulator: RegulatorSpec,
    /// The dump valve at the manifold.
    pub dump: DumpSpec,
    /// The bleed valve at the manifold.
    pub bleed: BleedSpec,
    /// The relief valve at the manifold.
    pub relief: ReliefSpec,
    /// The burst disc behind it, where there is one.
    pub burst_disc: Option<BurstDiscSpec>,
    /// The hose string from the manifold to the gun, in order.
    pub hoses: Vec<HoseSpec>,
    /// The gun.
    pub gun: GunSpec,
    /// Isolating valves and a second tool, where there are any.
    pub branch: BranchSpec,
    /// The supply tank.
    pub tank: TankSpec,
    /// Water in the manifold between pump and hose, m3.
    pub manifold_volume_m3: f64,
}

/// A value outside its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpecError {
    /// Dotted name of the field.
    pub field: &'static str,
    /// The value found.
    pub value: f64,
    /// The least value allowed.
    pub min: f64,
    /// The greatest value allowed.
    pub max: f64,
}

impl core::fmt::Display for SpecError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(
            f,
            "{} is {}, allowed {} to {}",
            self.field, self.value, self.min, self.max
        )
    }
}

impl core::error::Error for SpecError {}

/// Collects every value out of range instead of stopping at the first.
#[derive(Debug, Default)]
pub(crate) struct Ranges(Vec<SpecError>);

impl Ranges {
    pub(crate) fn check(&mut self, field: &'static str, value: f64, min: f64, max: f64) {
        if !(min..=max).contains(&value) {
            self.0.push(SpecError {
                field,
                value,
                min,
                max,
            });
        }
    }

    pub(crate) fn include(&mut self, result: Result<(), Vec<SpecError>>) {
        if let Err(mut errors) = result {
            self.0.append(&mut errors);
        }
    }

    pub(crate) fn finish(self) -> Result<(), Vec<SpecError>> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(self.0)
        }
    }
}

impl CircuitSpec {
    /// All values out of range, at once.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.include(self.pump.validate());
        if let Some(power_end) = &self.power_end {
            ranges.include(power_end.validate());
        }
        ranges.include(self.engine.validate());
        ranges.include(self.regulator.validate());
        ranges.include(self.dump.validate());
        ranges.include(self.bleed.validate());
        ranges.include(self.relief.validate());
        if let Some(disc) = &self.burst_disc {
            ranges.include(disc.validate());
        }
        ranges.include(self.branch.validate(&self.hoses));
        ranges.check("hoses.count", self.hoses.len() as f64, 1.0, 16.0);
        for hose in &self.hoses {
            ranges.include(hose.validate());
        }
        let cells = self.string_cells() + self.branch.cells();
        ranges.check("hoses.cells", cells as f64, 1.0, f64::from(MAX_CELLS));
        ranges.include(self.gun.validate());
        ranges.include(self.tank.validate());
        ranges.check("manifold_volume_m3", self.manifold_volume_m3, 1.0e-6, 0.1);
        ranges.finish()
    }

    /// Cells of the string to the first tool.
    pub(crate) fn string_cells(&self) -> usize {
        self.hoses.iter().map(|h| usize::from(h.cells)).sum()
    }
}
