//! What has become of the parts: wear, fouling, sticking, losses. A circuit of sound parts has
//! [`Condition::SOUND`]; anything else is a fault that comes with the controls, so that it can begin
//! and end while water flows.
//!
//! Nothing here is an outcome. A fault changes one property of one part, and what a gauge shows of
//! it follows from the circuit.

use crate::controls::{HoseEnd, fraction};
use crate::nozzle::NozzleSpec;
use crate::relief::ReliefSpec;
use serde::{Deserialize, Serialize};

/// The state of every part that can be other than new. Shares are 0 (as new) to 1; anything else is
/// held to its range, and a number that is none counts as 0.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Condition {
    /// Time by which the dump valve's stroke is longer, s, 0 to 60.
    pub dump_slow_s: f64,
    /// The dump valve stays where it is, whatever is asked.
    pub dump_stuck: bool,
    /// Share of the dump valve's area that stays open when it is shut.
    pub dump_leak: f64,
    /// The gun's valve stays where it is, whatever the trigger does.
    pub gun_stuck: bool,
    /// Share of the gun valve's stroke that stays open when the trigger is let go.
    pub gun_leak: f64,
    /// The regulator's air is lost.
    pub regulator_air_lost: bool,
    /// The regulator's poppet does not move.
    pub regulator_stuck: bool,
    /// Flow area of the regulator's worn seat when it is shut, as a share of its area at full lift.
    pub regulator_seat_worn: f64,
    /// Share of the damping of the regulator's poppet that is lost.
    pub regulator_damping_lost: f64,
    /// Share by which the relief valve opens too low.
    pub relief_weak: f64,
    /// The relief valve does not open.
    pub relief_stuck: bool,
    /// Flow area that every nozzle has gained by wear beyond its own, as a share of the new one, 0 to 2.
    pub nozzle_worn: f64,
    /// Share of the nozzle's area that debris blocks.
    pub nozzle_blocked: f64,
    /// Share of the supply's flow that does not come.
    pub supply_lost: f64,
    /// Share of the strainer's open area that is fouled.
    pub strainer_fouled: f64,
    /// How many times its leakage as new the packings leak more, 0 to 100.
    pub packing_worn: f64,
    /// Share of one cylinder's stroke that goes back through its suction valve.
    pub pump_valve_leak: f64,
    /// Share of the engine's torque that is lost.
    pub engine_weak: f64,
    /// Share of the crankcase's oil that is missing.
    pub oil_lost: f64,
    /// Share of the oil cooler's surface that is fouled.
    pub cooler_fouled: f64,
    /// Area of the jet out of a hole in the hose, halfway along the string (that of the hole times its
    /// discharge coefficient), m2, at most 1e-3.
    pub hose_leak_m2: f64,
    /// The coupling at the gun's end of the string has parted.
    pub hose_parted: bool,
    /// The coupling at the pump's end of the string has parted.
    pub pump_coupling_parted: bool,
}

impl Condition {
    /// Everything as new.
    pub const SOUND: Self = Self {
        dump_slow_s: 0.0,
        dump_stuck: false,
        dump_leak: 0.0,
        gun_stuck: false,
        gun_leak: 0.0,
        regulator_air_lost: false,
        regulator_stuck: false,
        regulator_seat_worn: 0.0,
        regulator_damping_lost: 0.0,
        relief_weak: 0.0,
        relief_stuck: false,
        nozzle_worn: 0.0,
        nozzle_blocked: 0.0,
        supply_lost: 0.0,
        strainer_fouled: 0.0,
        packing_worn: 0.0,
        pump_valve_leak: 0.0,
        engine_weak: 0.0,
        oil_lost: 0.0,
        cooler_fouled: 0.0,
        hose_leak_m2: 0.0,
        hose_parted: false,
        pump_coupling_parted: false,
    };

    /// The same with every number within its range.
    pub(crate) fn held(&self) -> Self {
        let up_to = |most: f64, value: f64| most * fraction(value / most);
        Self {
            dump_slow_s: up_to(60.0, self.dump_slow_s),
            dump_leak: fraction(self.dump_leak),
            gun_leak: fraction(self.gun_leak),
            regulator_seat_worn: fraction(self.regulator_seat_worn),
            regulator_damping_lost: fraction(self.regulator_damping_lost),
            relief_weak: fraction(self.relief_weak),
            nozzle_worn: up_to(2.0, self.nozzle_worn),
            nozzle_blocked: fraction(self.nozzle_blocked),
            supply_lost: fraction(self.supply_lost),
            strainer_fouled: fraction(self.strainer_fouled),
            packing_worn: up_to(100.0, self.packing_worn),
            pump_valve_leak: fraction(self.pump_valve_leak),
            engine_weak: fraction(self.engine_weak),
            oil_lost: fraction(self.oil_lost),
            cooler_fouled: fraction(self.cooler_fouled),
            hose_leak_m2: up_to(1.0e-3, self.hose_leak_m2),
            ..*self
        }
    }

    /// What is on the hose, with the wear and the debris of this condition in it. Two blockages leave
    /// the product of what each leaves. Source: \[mathematics\].
    pub(crate) fn of_end(&self, end: &HoseEnd) -> HoseEnd {
        let HoseEnd::Nozzle(nozzle) = *end else {
            return *end;
        };
        HoseEnd::Nozzle(NozzleSpec {
            worn: (1.0 + nozzle.worn) * (1.0 + self.nozzle_worn) - 1.0,
            blocked: 1.0 - (1.0 - fraction(nozzle.blocked)) * (1.0 - self.nozzle_blocked),
            ..nozzle
        })
    }

    /// The relief valve as it is. One that sticks passes nothing; a weak one begins to open lower, and
    /// passes less by the root of its lower pressure. Source: \[model\].
    pub(crate) fn of_relief(&self, relief: &ReliefSpec) -> ReliefSpec {
        // A valve that opens by itself at no pressure at all is an opening, not a relief.
        let left = (1.0 - self.relief_weak).max(0.01);
        let passes = if self.relief_stuck { 0.0 } else { left.sqrt() };
        ReliefSpec {
            set_pressure_pa: relief.set_pressure_pa * left,
            full_flow_kg_s: relief.full_flow_kg_s * passes,
            ..relief.clone()
        }
    }
}

impl Default for Condition {
    fn default() -> Self {
        Self::SOUND
    }
}
