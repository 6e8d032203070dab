//! The machine at the pump, the line and the tool.

use bevy::ecs::resource::Resource;
use crew::Control;
use hydraulics::{Circuit, Controls, HoseEnd, NozzleSpec};
use mechanics::Rod;
use serde::{Deserialize, Serialize};
use training::level::{Gauge, Start};

/// Where the hands have left the controls.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Station {
    positions: Vec<u16>,
}

impl Station {
    /// The controls as a level finds them.
    pub fn at_start(start: &Start) -> Self {
        let mut station = Station {
            positions: vec![0; Control::ALL.len()],
        };
        for (control, position) in &start.controls {
            station.set(*control, *position);
        }
        station
    }

    /// Position of a control.
    pub fn position(&self, control: Control) -> u16 {
        self.positions[control as usize]
    }

    /// Moves a control, no further than its travel.
    pub fn set(&mut self, control: Control, position: u16) {
        self.positions[control as usize] = position.min(control.top());
    }

    /// Share of its travel, 0 to 1.
    pub fn share(&self, control: Control) -> f64 {
        f64::from(self.position(control)) / f64::from(control.top())
    }

    /// Whether a control is not at its first position.
    pub fn is_on(&self, control: Control) -> bool {
        self.position(control) > 0
    }
}

/// The tool at the end of the line.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tool {
    /// The nozzle is on the lance; without it the end is bare and clamped in
    /// its stand.
    pub nozzle_fitted: bool,
    /// How far the tool has gone from the stand into the hands, 0 to 1.
    pub in_hands: f64,
}

/// The water in the machine.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Water {
    /// The circuit.
    pub circuit: Circuit,
    /// The engine runs, or still runs down.
    pub engine_turns: bool,
    /// The starter turns an engine that does not run.
    pub cranks: bool,
    /// The relief is lifted.
    pub relief_lifts: bool,
    /// Water drawn and not returned so far, cubic metres.
    pub drawn_m3: f64,
    /// Fuel burnt so far, kilograms.
    pub fuel_kg: f64,
}

/// The hose between pump and tool.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hose {
    /// The hose.
    pub rod: Rod,
}

/// The gauge's needle.
#[derive(Resource, Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Needle {
    /// What it shows, pascals.
    pub shown_pa: f64,
}

impl Needle {
    /// Follows the pressure with the lag of the gauge, between the zero pin
    /// and the end of the scale.
    pub fn follow(&mut self, gauge: &Gauge, pressure_pa: f64, dt_s: f64) {
        let aim = pressure_pa.clamp(0.0, gauge.full_scale_pa);
        let share = 1.0 - libm::exp(-dt_s / gauge.lag_s);
        self.shown_pa += share * (aim - self.shown_pa);
    }
}

/// What the hands and the wiring ask of the circuit.
pub fn controls(station: &Station, tool: &Tool, nozzle: &NozzleSpec, trigger: f64) -> Controls {
    // The emergency stop opens the dump first; the ignition goes with it.
    let struck = station.is_on(Control::EmergencyStop);
    Controls {
        throttle: station.share(Control::Throttle),
        ignition: station.is_on(Control::Key) && !struck,
        starter: station.position(Control::Key) == 2 && !struck,
        supply_open: station.share(Control::Supply),
        air_bleed_open: station.share(Control::AirBleed),
        regulator_knob: station.share(Control::Regulator),
        regulator_air_ok: true,
        dump_local_open: station.is_on(Control::Dump),
        dump_remote_open: struck,
        bleed_open: station.share(Control::Bleed),
        trigger,
        hose_end: if tool.nozzle_fitted {
            HoseEnd::Nozzle(*nozzle)
        } else {
            HoseEnd::Open
        },
    }
}
