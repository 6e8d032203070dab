//! Dump valve: normally open, lets the manifold down to atmosphere. It opens if either the
//! local lever or the remote asks; it shuts only when both agree.

use crate::condition::Condition;
use crate::orifice::{Conductance, round_area_m2};
use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// A dump valve.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DumpSpec {
    /// Bore when fully open, m. Its area over the nozzle's sets the residual pressure:
    /// `1/(1+m)^2` of the working pressure with the pump on, `m` being that ratio, less with the
    /// gun shut. Sources: \[bernoulli\], \[continuity\].
    pub bore_m: f64,
    /// Discharge coefficient.
    pub discharge_coefficient: f64,
    /// Time from shut to fully open, s.
    pub opening_time_s: f64,
    /// Time from fully open to shut, s.
    pub closing_time_s: f64,
}

impl DumpSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("dump.bore_m", self.bore_m, 5.0e-4, 0.1);
        ranges.check(
            "dump.discharge_coefficient",
            self.discharge_coefficient,
            0.1,
            1.0,
        );
        ranges.check("dump.opening_time_s", self.opening_time_s, 0.0, 30.0);
        ranges.check("dump.closing_time_s", self.closing_time_s, 0.0, 30.0);
        ranges.finish()
    }
}

/// What lever and wiring ask of the valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DumpAsked {
    /// The lever at the pump stands open.
    pub local_open: bool,
    /// The remote asks for open.
    pub remote_open: bool,
}

/// Where the valve stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Dump {
    /// Opening, 0 shut to 1 open.
    pub opening: f64,
}

impl Dump {
    /// Without a command it stands open.
    pub const NORMALLY_OPEN: Self = Self { opening: 1.0 };

    /// Moves for a time step towards what is asked.
    pub fn step(&mut self, spec: &DumpSpec, asked: DumpAsked, of: &Condition, dt_s: f64) {
        if of.dump_stuck {
            return;
        }
        let (target, stroke_s) = if asked.local_open || asked.remote_open {
            (1.0, spec.opening_time_s)
        } else {
            (0.0, spec.closing_time_s)
        };
        self.opening = travelled(self.opening, target, stroke_s + of.dump_slow_s, dt_s);
    }

    /// Conductance at the present opening and a density, kg/m3: the area grows with the opening, and
    /// a seat that leaks shuts no further than its leak. Sources: \[bernoulli\], \[model\].
    pub fn conductance(&self, spec: &DumpSpec, of: &Condition, density: f64) -> Conductance {
        let area = round_area_m2(spec.bore_m) * self.opening.max(of.dump_leak);
        Conductance::of_opening(spec.discharge_coefficient, area, density)
    }
}

/// Position after moving at constant speed towards a target, a full stroke taking `stroke_s`.
/// Source: \[model\].
pub(crate) fn travelled(position: f64, target: f64, stroke_s: f64, dt_s: f64) -> f64 {
    if stroke_s <= dt_s {
        return target;
    }
    let reach = dt_s / stroke_s;
    position + (target - position).clamp(-reach, reach)
}
