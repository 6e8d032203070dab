//! What can go wrong with the parts of a machine, as data.
//!
//! Only the words are here. Which faults a level has in store nobody who acts in the yard knows: the
//! list is in the crate that this one cannot see.

use serde::{Deserialize, Serialize};

/// A way in which one part is no longer as new.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Fault {
    /// The dump valve moves slowly, by so many tenths of a second.
    DumpSlow,
    /// The dump valve does not move.
    DumpStuck,
    /// The dump valve does not shut tight.
    DumpLeaks,
    /// The gun's valve does not follow the trigger.
    GunStuck,
    /// The gun's valve does not shut tight.
    GunLeaks,
    /// The air that holds the regulator's poppet is lost.
    AirLost,
    /// The regulator's poppet does not move.
    RegulatorStuck,
    /// The regulator's seat is worn.
    SeatWorn,
    /// The relief valve opens too low.
    ReliefWeak,
    /// The relief valve does not open.
    ReliefStuck,
    /// The bore of the nozzle is worn wider, by so much of its width.
    NozzleWorn,
    /// Debris blocks the nozzle.
    NozzleBlocked,
    /// The water supply brings too little.
    SupplyWeak,
    /// The strainer before the pump is fouled.
    StrainerFouled,
    /// The packings of the plungers leak, so many times as much as new ones.
    PackingWorn,
    /// The suction valve of one cylinder leaks.
    PumpValveLeaks,
    /// The engine has lost torque.
    EngineWeak,
    /// Oil is missing from the crankcase.
    OilLow,
    /// The oil cooler is fouled.
    CoolerFouled,
    /// There is a hole in the hose.
    HoseLeaks,
    /// The hose has parted at the coupling of the gun's end.
    HoseParted,
    /// The needle of the gauge stays where it is.
    GaugeStuck,
    /// Striking the emergency stop does nothing.
    StopDead,
    /// The regulator's poppet has lost its damping, and may hunt.
    RegulatorHunts,
    /// The hose has parted at the coupling of the pump's end.
    PumpCouplingParts,
}

/// A part of the machine that can be told apart and tagged out.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Part {
    /// The dump valve.
    Dump,
    /// The gun with its valve.
    Gun,
    /// The regulator with its air.
    Regulator,
    /// The relief valve.
    Relief,
    /// The nozzle.
    Nozzle,
    /// Water supply and strainer.
    Supply,
    /// The pump with its valves and packings.
    Pump,
    /// The engine and the power end with its oil.
    Engine,
    /// The hose.
    Hose,
    /// The gauge.
    Gauge,
    /// The emergency stop.
    Stop,
}

impl Part {
    /// All parts, in the order of their numbers.
    pub const ALL: [Part; 11] = [
        Part::Dump,
        Part::Gun,
        Part::Regulator,
        Part::Relief,
        Part::Nozzle,
        Part::Supply,
        Part::Pump,
        Part::Engine,
        Part::Hose,
        Part::Gauge,
        Part::Stop,
    ];

    /// Stable name, as written in data files and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Part::Dump => "dump",
            Part::Gun => "gun",
            Part::Regulator => "regulator",
            Part::Relief => "relief",
            Part::Nozzle => "nozzle",
            Part::Supply => "supply",
            Part::Pump => "pump",
            Part::Engine => "engine",
            Part::Hose => "hose",
            Part::Gauge => "gauge",
            Part::Stop => "stop",
        }
    }

    /// The part with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.id() == id)
    }
}

/// How much of a fault there can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Unit in which data files state it; without one it is there or not.
    pub unit: &'static str,
    /// Whole units of an amount in one of those.
    pub per_unit: f64,
    /// The greatest amount.
    pub top: u16,
}

impl Fault {
    /// All faults, in the order of their numbers.
    pub const ALL: [Fault; 25] = [
        Fault::DumpSlow,
        Fault::DumpStuck,
        Fault::DumpLeaks,
        Fault::GunStuck,
        Fault::GunLeaks,
        Fault::AirLost,
        Fault::RegulatorStuck,
        Fault::SeatWorn,
        Fault::ReliefWeak,
        Fault::ReliefStuck,
        Fault::NozzleWorn,
        Fault::NozzleBlocked,
        Fault::SupplyWeak,
        Fault::StrainerFouled,
        Fault::PackingWorn,
        Fault::PumpValveLeaks,
        Fault::EngineWeak,
        Fault::OilLow,
        Fault::CoolerFouled,
        Fault::HoseLeaks,
        Fault::HoseParted,
        Fault::GaugeStuck,
        Fault::StopDead,
        Fault::RegulatorHunts,
        Fault::PumpCouplingParts,
    ];

    /// Stable name, as written in data files and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Fault::DumpSlow => "dump_slow",
            Fault::DumpStuck => "dump_stuck",
            Fault::DumpLeaks => "dump_leaks",
            Fault::GunStuck => "gun_stuck",
            Fault::GunLeaks => "gun_leaks",
            Fault::AirLost => "air_lost",
            Fault::RegulatorStuck => "regulator_stuck",
            Fault::SeatWorn => "seat_worn",
            Fault::ReliefWeak => "relief_weak",
            Fault::ReliefStuck => "relief_stuck",
            Fault::NozzleWorn => "nozzle_worn",
            Fault::NozzleBlocked => "nozzle_blocked",
            Fault::SupplyWeak => "supply_weak",
            Fault::StrainerFouled => "strainer_fouled",
            Fault::PackingWorn => "packing_worn",
            Fault::PumpValveLeaks => "pump_valve_leaks",
            Fault::EngineWeak => "engine_weak",
            Fault::OilLow => "oil_low",
            Fault::CoolerFouled => "cooler_fouled",
            Fault::HoseLeaks => "hose_leaks",
            Fault::HoseParted => "hose_parted",
            Fault::GaugeStuck => "gauge_stuck",
            Fault::StopDead => "stop_dead",
            Fault::RegulatorHunts => "regulator_hunts",
            Fault::PumpCouplingParts => "pump_coupling_parts",
        }
    }

    /// The fault with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.id() == id)
    }

    /// The part that it is a fault of.
    pub fn part(self) -> Part {
        match self {
            Fault::DumpSlow | Fault::DumpStuck | Fault::DumpLeaks => Part::Dump,
            Fault::GunStuck | Fault::GunLeaks => Part::Gun,
            Fault::AirLost | Fault::RegulatorStuck | Fault::SeatWorn | Fault::RegulatorHunts => {
                Part::Regulator
            }
            Fault::ReliefWeak | Fault::ReliefStuck => Part::Relief,
            Fault::NozzleWorn | Fault::NozzleBlocked => Part::Nozzle,
            Fault::SupplyWeak | Fault::StrainerFouled => Part::Supply,
            Fault::PackingWorn | Fault::PumpValveLeaks => Part::Pump,
            Fault::EngineWeak | Fault::OilLow | Fault::CoolerFouled => Part::Engine,
            Fault::HoseLeaks | Fault::HoseParted | Fault::PumpCouplingParts => Part::Hose,
            Fault::GaugeStuck => Part::Gauge,
            Fault::StopDead => Part::Stop,
        }
    }

    /// Whether it lets the line part, so that the pressure goes by itself.
    pub fn parts_the_line(self) -> bool {
        matches!(self, Fault::HoseParted | Fault::PumpCouplingParts)
    }

    /// How much of it there can be.
    pub fn extent(self) -> Extent {
        let of = |unit, per_unit, top| Extent {
            unit,
            per_unit,
            top,
        };
        match self {
            Fault::DumpSlow => of("s", 10.0, 600),
            Fault::NozzleWorn => of("%", 10.0, 400),
            Fault::PackingWorn => of("times", 10.0, 1_000),
            Fault::HoseLeaks => of("mm2", 100.0, 10_000),
            Fault::DumpLeaks
            | Fault::GunLeaks
            | Fault::SeatWorn
            | Fault::ReliefWeak
            | Fault::NozzleBlocked
            | Fault::SupplyWeak
            | Fault::StrainerFouled
            | Fault::PumpValveLeaks
            | Fault::EngineWeak
            | Fault::OilLow
            | Fault::CoolerFouled
            | Fault::RegulatorHunts => of("%", 10.0, 1_000),
            Fault::DumpStuck
            | Fault::GunStuck
            | Fault::AirLost
            | Fault::RegulatorStuck
            | Fault::ReliefStuck
            | Fault::HoseParted
            | Fault::PumpCouplingParts
            | Fault::GaugeStuck
            | Fault::StopDead => of("", 1.0, 1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fault_stands_at_its_number_and_is_found_by_its_name() {
        for (number, fault) in Fault::ALL.into_iter().enumerate() {
            assert_eq!(fault as usize, number);
            assert_eq!(Fault::by_id(fault.id()), Some(fault));
        }
        for (number, part) in Part::ALL.into_iter().enumerate() {
            assert_eq!(part as usize, number);
            assert_eq!(Part::by_id(part.id()), Some(part));
        }
        assert_eq!(Fault::by_id("dump"), None);
    }

    #[test]
    fn every_part_can_fail() {
        for part in Part::ALL {
            assert!(Fault::ALL.iter().any(|f| f.part() == part), "{part:?}");
        }
    }
}
