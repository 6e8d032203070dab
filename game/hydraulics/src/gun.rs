//! Gun: the trigger valve before the nozzle, and what becomes of the water on release.

use crate::condition::Condition;
use crate::controls::HoseEnd;
use crate::dump::travelled;
use crate::nozzle::{Jet, thrust};
use crate::orifice::{Conductance, round_area_m2};
use crate::spec::{Ranges, SpecError};
use crate::water::CompressionCurve;
use serde::{Deserialize, Serialize};

/// What the gun does on release of the trigger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum GunKind {
    /// Shuts the way to the nozzle; full pressure stays in the hose.
    DryShut,
    /// Shuts the nozzle off and ports the water to a wide dump orifice at the gun, so that the
    /// whole line falls to low pressure.
    Dumping,
}

/// A gun with its lance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GunSpec {
    /// What happens on release.
    pub kind: GunKind,
    /// Bore of the passage through gun and lance, m.
    pub passage_bore_m: f64,
    /// Loss coefficient from gun inlet to nozzle, trigger pulled, on the passage bore.
    pub passage_loss: f64,
    /// Water in gun and lance, m3.
    pub volume_m3: f64,
    /// Time the valve takes from shut to open and back, s.
    pub valve_travel_s: f64,
    /// Bore of the dump orifice of a dumping gun, m.
    pub dump_bore_m: f64,
    /// Discharge coefficient of that orifice.
    pub dump_discharge_coefficient: f64,
    /// Loss coefficient of the half-open seat on the passage bore: sets how flow grows along
    /// the trigger's travel. 2 is about `1/Cd^2` of a seat with a discharge coefficient of 0.7
    /// (from memory). Sources: \[bernoulli\], \[memory\].
    pub seat_loss: f64,
    /// Discharge coefficient of the open passage. 0.82 for a short tube with a sharp inlet
    /// (from memory). Source: \[memory\].
    pub open_passage_coefficient: f64,
}

impl GunSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("gun.passage_bore_m", self.passage_bore_m, 5.0e-4, 0.1);
        ranges.check("gun.passage_loss", self.passage_loss, 0.0, 100.0);
        ranges.check("gun.volume_m3", self.volume_m3, 1.0e-6, 0.05);
        ranges.check("gun.valve_travel_s", self.valve_travel_s, 0.0, 5.0);
        ranges.check("gun.seat_loss", self.seat_loss, 0.0, 100.0);
        let open = self.open_passage_coefficient;
        ranges.check("gun.open_passage_coefficient", open, 0.1, 1.0);
        if self.kind == GunKind::Dumping {
            ranges.check("gun.dump_bore_m", self.dump_bore_m, 5.0e-4, 0.1);
            let cd = self.dump_discharge_coefficient;
            ranges.check("gun.dump_discharge_coefficient", cd, 0.1, 1.0);
        }
        ranges.finish()
    }
}

/// Where the trigger valve stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gun {
    /// Opening of the way to the nozzle, 0 shut to 1 open.
    pub opening: f64,
    /// Pressure at the nozzle inlet a step ago, Pa.
    pub nozzle_pressure_pa: f64,
}

/// The ways out at the gun for one step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlets {
    /// Through the nozzle, or out of the open end.
    pub nozzle: Conductance,
    /// Through the gun's own dump.
    pub dump: Conductance,
    /// The nozzle alone, without gun valve and passage.
    bare: Conductance,
}

impl Outlets {
    /// Both ways together, seen from the gun inlet. Source: \[continuity\].
    pub fn total(&self) -> Conductance {
        Conductance(self.nozzle.0 + self.dump.0)
    }

    /// What of a flow leaves through the nozzle and what through the gun's dump, kg/s: in
    /// proportion to their conductances. Source: \[bernoulli\].
    pub fn shares(&self, flow_kg_s: f64) -> (f64, f64) {
        let total = self.total().0;
        if total <= 0.0 {
            return (0.0, 0.0);
        }
        // An opening without loss does not occur beside another.
        let nozzle = flow_kg_s * (self.nozzle.0 / total);
        (nozzle, flow_kg_s - nozzle)
    }
}

impl Gun {
    /// Released.
    pub const RELEASED: Self = Self {
        opening: 0.0,
        nozzle_pressure_pa: 0.0,
    };

    /// Moves the valve for a time step towards the trigger.
    pub fn step(&mut self, spec: &GunSpec, trigger: f64, of: &Condition, dt_s: f64) {
        if of.gun_stuck {
            return;
        }
        let target = trigger.max(of.gun_leak);
        self.opening = travelled(self.opening, target, spec.valve_travel_s, dt_s);
    }

    /// The ways out as the valve stands.
    pub fn outlets(&self, spec: &GunSpec, end: &HoseEnd, water: &CompressionCurve) -> Outlets {
        let rho = water.atmospheric_density();
        let passage = round_area_m2(spec.passage_bore_m);
        let bare = match end {
            HoseEnd::Open => {
                let open = Conductance::of_opening(spec.open_passage_coefficient, passage, rho);
                return Outlets {
                    nozzle: open,
                    dump: Conductance(0.0),
                    bare: open,
                };
            }
            HoseEnd::Nozzle(nozzle) => nozzle.conductance(water, self.nozzle_pressure_pa),
            HoseEnd::Blocked => Conductance(0.0),
        };
        let dump = match spec.kind {
            GunKind::DryShut => Conductance(0.0),
            GunKind::Dumping => {
                let area = round_area_m2(spec.dump_bore_m) * (1.0 - self.opening);
                Conductance::of_opening(spec.dump_discharge_coefficient, area, rho)
            }
        };
        let valve = Conductance::of_seat(
            spec.passage_loss,
            spec.seat_loss,
            self.opening,
            passage,
            rho,
        );
        let nozzle = valve.in_series(bare);
        Outlets { nozzle, dump, bare }
    }

    /// The jet for a mass flow, kg/s, that left this step; keeps the nozzle's pressure for the
    /// next. Out of the open end it leaves at `v = m / (rho A)` of the passage.
    /// Sources: \[continuity\], \[bernoulli\].
    pub fn jet(
        &mut self,
        spec: &GunSpec,
        end: &HoseEnd,
        outlets: &Outlets,
        water: &CompressionCurve,
        mass_flow_kg_s: f64,
    ) -> Jet {
        let root = if outlets.bare.0 > 0.0 {
            mass_flow_kg_s / outlets.bare.0
        } else {
            0.0
        };
        self.nozzle_pressure_pa = root * root;
        match end {
            HoseEnd::Nozzle(nozzle) => nozzle.jet(water, self.nozzle_pressure_pa, mass_flow_kg_s),
            HoseEnd::Open => {
                let bore = round_area_m2(spec.passage_bore_m) * water.atmospheric_density();
                let speed = mass_flow_kg_s / bore;
                Jet {
                    mass_flow_kg_s,
                    speed_m_s: speed,
                    thrust_n: thrust(mass_flow_kg_s, speed),
                }
            }
            HoseEnd::Blocked => Jet::default(),
        }
    }
}
