//! What is wrong with the machine at the moment.

use bevy::ecs::resource::Resource;
use crew::Fault;
use hydraulics::Condition;
use serde::{Deserialize, Serialize};

/// How much of every fault there is, in whole units of its extent.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Faults {
    amounts: Vec<u16>,
}

impl Default for Faults {
    fn default() -> Self {
        Faults {
            amounts: vec![0; Fault::ALL.len()],
        }
    }
}

impl Faults {
    /// Lets a part fail by so much, or makes it as new with 0.
    pub fn set(&mut self, fault: Fault, amount: u16) {
        self.amounts[fault as usize] = amount.min(fault.extent().top);
    }

    /// Whether there is any of a fault.
    pub fn is_on(&self, fault: Fault) -> bool {
        self.amounts[fault as usize] > 0
    }

    /// How much of it there is, in the fault's own unit.
    fn amount(&self, fault: Fault) -> f64 {
        f64::from(self.amounts[fault as usize]) / fault.extent().per_unit
    }

    /// The parts as the water finds them.
    pub fn condition(&self) -> Condition {
        let share = |fault| self.amount(fault) / 100.0;
        // The area of a bore that is wider by so much.
        let wider = 1.0 + share(Fault::NozzleWorn);
        Condition {
            dump_slow_s: self.amount(Fault::DumpSlow),
            dump_stuck: self.is_on(Fault::DumpStuck),
            dump_leak: share(Fault::DumpLeaks),
            gun_stuck: self.is_on(Fault::GunStuck),
            gun_leak: share(Fault::GunLeaks),
            regulator_air_lost: self.is_on(Fault::AirLost),
            regulator_stuck: self.is_on(Fault::RegulatorStuck),
            regulator_seat_worn: share(Fault::SeatWorn),
            regulator_damping_lost: share(Fault::RegulatorHunts),
            relief_weak: share(Fault::ReliefWeak),
            relief_stuck: self.is_on(Fault::ReliefStuck),
            nozzle_worn: wider * wider - 1.0,
            nozzle_blocked: share(Fault::NozzleBlocked),
            supply_lost: share(Fault::SupplyWeak),
            strainer_fouled: share(Fault::StrainerFouled),
            packing_worn: self.amount(Fault::PackingWorn),
            pump_valve_leak: share(Fault::PumpValveLeaks),
            engine_weak: share(Fault::EngineWeak),
            oil_lost: share(Fault::OilLow),
            cooler_fouled: share(Fault::CoolerFouled),
            hose_leak_m2: 1.0e-6 * self.amount(Fault::HoseLeaks),
            hose_parted: self.is_on(Fault::HoseParted),
            pump_coupling_parted: self.is_on(Fault::PumpCouplingParts),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_fault_every_part_is_as_new() {
        assert_eq!(Faults::default().condition(), Condition::SOUND);
    }

    #[test]
    fn every_fault_of_the_water_changes_its_condition_and_ends_with_nil() {
        for fault in Fault::ALL {
            let mut faults = Faults::default();
            faults.set(fault, u16::MAX);
            // The needle and the button are no part of the circuit.
            let dry = matches!(fault, Fault::GaugeStuck | Fault::StopDead);
            assert_eq!(faults.condition() == Condition::SOUND, dry, "{fault:?}");
            assert!(faults.is_on(fault));
            faults.set(fault, 0);
            assert_eq!(faults, Faults::default());
        }
    }

    #[test]
    fn a_bore_wider_by_a_tenth_has_a_fifth_more_area() {
        let mut faults = Faults::default();
        faults.set(Fault::NozzleWorn, 100);
        assert!((faults.condition().nozzle_worn - 0.21).abs() < 1e-12);
    }
}
