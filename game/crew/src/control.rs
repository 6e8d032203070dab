//! The things that hands operate.

use serde::{Deserialize, Serialize};

/// A thing in the yard that a hand takes hold of.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Control {
    /// Valve of the water supply to the pump.
    Supply,
    /// Cock on the pump head that lets the air out of the suction side.
    AirBleed,
    /// Engine key: off, on, and start while held.
    Key,
    /// Engine speed lever.
    Throttle,
    /// Knob of the bypass regulator.
    Regulator,
    /// Lever of the dump valve at the pump.
    Dump,
    /// Emergency stop at the pump.
    EmergencyStop,
    /// Bleed valve of the high-pressure line.
    Bleed,
    /// Gate of the barrier around the zone. A level may do without one.
    Barrier,
    /// Cock on the unit's outlet to the lance. Only a unit with two outlets has one.
    LanceOutlet,
    /// Cock on the unit's outlet to a second tool.
    PedalOutlet,
    /// Whip restraint over the coupling at the pump's end of the lance's hose. A level may do without
    /// one.
    PumpRestraint,
    /// Whip restraint over the coupling at the gun's end of that hose. A level may do without one.
    GunRestraint,
}

/// How a control is moved by the hand that holds it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Handling {
    /// Turned by detents, and stays where it is left.
    Twist {
        /// Detents from one end of the travel to the other.
        detents: u16,
    },
    /// Pushed one position at a time.
    Push {
        /// Number of positions.
        positions: u8,
        /// A position that springs back to the one before it when let go.
        springs_back_from: Option<u8>,
    },
}

impl Control {
    /// All controls, in the order of their numbers.
    pub const ALL: [Control; 13] = [
        Control::Supply,
        Control::AirBleed,
        Control::Key,
        Control::Throttle,
        Control::Regulator,
        Control::Dump,
        Control::EmergencyStop,
        Control::Bleed,
        Control::Barrier,
        Control::LanceOutlet,
        Control::PedalOutlet,
        Control::PumpRestraint,
        Control::GunRestraint,
    ];

    /// The cocks of a unit with two outlets.
    pub const OUTLETS: [Control; 2] = [Control::LanceOutlet, Control::PedalOutlet];

    /// The whip restraints of the lance's hose, at the pump and at the gun.
    pub const RESTRAINTS: [Control; 2] = [Control::PumpRestraint, Control::GunRestraint];

    /// Stable name, as written in data files and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Control::Supply => "supply",
            Control::AirBleed => "air_bleed",
            Control::Key => "key",
            Control::Throttle => "throttle",
            Control::Regulator => "regulator",
            Control::Dump => "dump",
            Control::EmergencyStop => "emergency_stop",
            Control::Bleed => "bleed",
            Control::Barrier => "barrier",
            Control::LanceOutlet => "lance_outlet",
            Control::PedalOutlet => "pedal_outlet",
            Control::PumpRestraint => "pump_restraint",
            Control::GunRestraint => "gun_restraint",
        }
    }

    /// The control with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.id() == id)
    }

    /// How the hand moves it. Position 0 is shut, off, low or backed off; for
    /// the dump valve 0 is shut (water goes to the tool) and 1 is open; for
    /// the emergency stop 1 is struck; for the barrier 1 is closed; for an outlet 1 is open;
    /// a whip restraint hangs loose at 0 and is clipped on both sides of its coupling at 1.
    pub fn handling(self) -> Handling {
        match self {
            Control::Throttle => Handling::Twist { detents: 100 },
            Control::Regulator => Handling::Twist { detents: 1000 },
            Control::Key => Handling::Push {
                positions: 3,
                springs_back_from: Some(2),
            },
            Control::Supply
            | Control::AirBleed
            | Control::Dump
            | Control::EmergencyStop
            | Control::Bleed
            | Control::Barrier
            | Control::LanceOutlet
            | Control::PedalOutlet
            | Control::PumpRestraint
            | Control::GunRestraint => Handling::Push {
                positions: 2,
                springs_back_from: None,
            },
        }
    }

    /// The highest position of the control.
    pub fn top(self) -> u16 {
        match self.handling() {
            Handling::Twist { detents } => detents,
            Handling::Push { positions, .. } => u16::from(positions) - 1,
        }
    }
}
