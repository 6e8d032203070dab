//! What hands, pedals and signals ask of the circuit.

use crate::branch::TOOLS;
use crate::condition::Condition;
use crate::nozzle::NozzleSpec;
use serde::{Deserialize, Serialize};

/// What is on the free end of the hose string.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum HoseEnd {
    /// No nozzle: the water leaves through the full bore of the gun passage, and the trigger
    /// has no say (a hose end clamped for flushing).
    Open,
    /// A nozzle on the gun.
    Nozzle(NozzleSpec),
    /// A nozzle that lets nothing through, or a plug.
    Blocked,
}

/// What is asked of a second tool.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SecondAsked {
    /// Its trigger or pedal, 0 released to 1 pressed.
    pub trigger: f64,
    /// What is on its end.
    pub end: HoseEnd,
}

/// The positions of every control at one moment. Fractions are 0 to 1; anything else is held
/// to that range, and a number that is none counts as 0.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Controls {
    /// Throttle, 0 idle to 1 rated speed.
    pub throttle: f64,
    /// Ignition (fuel solenoid) on.
    pub ignition: bool,
    /// Starter turning.
    pub starter: bool,
    /// Supply valve, 0 shut to 1 open.
    pub supply_open: f64,
    /// Air bleed of the pump head, 0 shut to 1 open.
    pub air_bleed_open: f64,
    /// Regulator knob, 0 backed off to 1 fully in.
    pub regulator_knob: f64,
    /// The dump lever at the pump stands open.
    pub dump_local_open: bool,
    /// The remote dump, or the emergency stop, asks for open (also when its signal is lost).
    pub dump_remote_open: bool,
    /// Bleed valve at the manifold, 0 shut to 1 open.
    pub bleed_open: f64,
    /// Trigger of the gun, 0 released to 1 pulled.
    pub trigger: f64,
    /// What is on the end of the hose.
    pub hose_end: HoseEnd,
    /// Isolating valves of the ways to the tools, 0 shut to 1 open, where there are any.
    pub isolating_open: [f64; TOOLS],
    /// The second tool, where there is one.
    pub second: SecondAsked,
    /// What has become of the parts.
    pub condition: Condition,
}

impl Controls {
    /// Engine off, supply shut, regulator backed off, dump open, trigger released, hose end open,
    /// isolating valves open.
    pub const AT_REST: Self = Self {
        throttle: 0.0,
        ignition: false,
        starter: false,
        supply_open: 0.0,
        air_bleed_open: 0.0,
        regulator_knob: 0.0,
        dump_local_open: true,
        dump_remote_open: false,
        bleed_open: 0.0,
        trigger: 0.0,
        hose_end: HoseEnd::Open,
        isolating_open: [1.0; TOOLS],
        second: SecondAsked {
            trigger: 0.0,
            end: HoseEnd::Blocked,
        },
        condition: Condition::SOUND,
    };

    /// The same with every fraction within 0 to 1.
    pub(crate) fn held(&self) -> Self {
        Self {
            throttle: fraction(self.throttle),
            supply_open: fraction(self.supply_open),
            air_bleed_open: fraction(self.air_bleed_open),
            regulator_knob: fraction(self.regulator_knob),
            bleed_open: fraction(self.bleed_open),
            trigger: fraction(self.trigger),
            isolating_open: self.isolating_open.map(fraction),
            second: SecondAsked {
                trigger: fraction(self.second.trigger),
                ..self.second
            },
            condition: self.condition.held(),
            ..*self
        }
    }
}

impl Default for Controls {
    fn default() -> Self {
        Self::AT_REST
    }
}

/// Held within 0 to 1; not a number is 0.
pub(crate) fn fraction(value: f64) -> f64 {
    if value.is_nan() {
        0.0
    } else {
        value.clamp(0.0, 1.0)
    }
}
