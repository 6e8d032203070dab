//! The machine at the pump, the line and the tool.

use crate::faults::Faults;
use crate::tool::Tool;
use bevy::ecs::resource::Resource;
use crew::{Control, Fault};
use hydraulics::{Circuit, Controls, HoseEnd, SecondAsked};
use serde::{Deserialize, Serialize};
use training::level::{Gauge, Nozzle, Start};

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
        station.set(Control::Barrier, u16::from(start.barrier_closed));
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
    /// Fuel burnt so far, kilograms.
    pub fuel_kg: f64,
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

/// The dump is open, and the emergency stop goes on to the engine.
const DUMP_OPEN: f64 = 0.95;

/// What is pressed to let water out.
#[derive(Clone, Copy, Debug)]
pub struct Pressed {
    /// The trigger of the lance, 0 to 1.
    pub trigger: f64,
    /// The pedal of the second tool, 0 to 1.
    pub pedal: f64,
    /// What is on the end of the second tool.
    pub second: HoseEnd,
}

impl Pressed {
    /// Nothing is.
    pub const NOTHING: Self = Pressed {
        trigger: 0.0,
        pedal: 0.0,
        second: HoseEnd::Blocked,
    };
}

/// What the hands and the wiring ask of the circuit, with the dump as far open
/// as it is.
pub fn controls(
    station: &Station,
    tool: &Tool,
    nozzles: &[Nozzle],
    faults: &Faults,
    pressed: Pressed,
    dump_opening: f64,
) -> Controls {
    // The emergency stop opens the dump first, and only then stops the engine.
    let struck = station.is_on(Control::EmergencyStop) && !faults.is_on(Fault::StopDead);
    let stops = struck && dump_opening >= DUMP_OPEN;
    Controls {
        throttle: station.share(Control::Throttle),
        ignition: station.is_on(Control::Key) && !stops,
        starter: station.position(Control::Key) == 2 && !struck,
        supply_open: station.share(Control::Supply),
        air_bleed_open: station.share(Control::AirBleed),
        regulator_knob: station.share(Control::Regulator),
        dump_local_open: station.is_on(Control::Dump),
        dump_remote_open: struck,
        bleed_open: station.share(Control::Bleed),
        trigger: pressed.trigger,
        isolating_open: Control::OUTLETS.map(|outlet| station.share(outlet)),
        second: SecondAsked {
            trigger: pressed.pedal,
            end: pressed.second,
        },
        hose_end: tool
            .nozzle
            .and_then(|n| nozzles.get(usize::from(n)))
            .map_or(HoseEnd::Open, |nozzle| HoseEnd::Nozzle(nozzle.water)),
        condition: faults.condition(),
    }
}

/// Brings the engine of a circuit from rest to a steady idle, as the controls
/// stand, before an attempt that begins with it running.
pub fn warm_up(circuit: &mut Circuit, station: &Station, tool: &Tool, nozzles: &[Nozzle]) {
    const STEP_S: f64 = 1.0 / 960.0;
    let sound = Faults::default();
    circuit.warm();
    for n in 0..WARM_UP_STEPS {
        if n % 8 == 0 {
            circuit.begin_tick();
        }
        let opening = circuit.state().dump.opening;
        let asked = Controls {
            starter: n < CRANKED_STEPS,
            ..controls(station, tool, nozzles, &sound, Pressed::NOTHING, opening)
        };
        circuit.substep(&asked, STEP_S);
    }
    // What ran before the attempt is no part of it.
    circuit.count_anew();
}

/// Steps of a warm-up, of which the starter turns the engine in the first.
const WARM_UP_STEPS: u32 = 15 * 960;
const CRANKED_STEPS: u32 = 3 * 960;
