//! More than one way for the water: isolating valves, and a second tool on the same pump.

use crate::condition::Condition;
use crate::controls::{Controls, HoseEnd};
use crate::dump::travelled;
use crate::gun::{Gun, GunSpec, Outlets};
use crate::hose::HoseSpec;
use crate::line::Line;
use crate::nozzle::Jet;
use crate::orifice::{Conductance, round_area_m2};
use crate::spec::{Ranges, SpecError};
use crate::water::CompressionCurve;
use serde::{Deserialize, Serialize};

/// Tools that a circuit can have.
pub const TOOLS: usize = 2;

/// A valve that shuts the way to one tool off: a ball with the bore of the hose, or a cock. What is
/// behind it keeps its pressure, and no dump at the pump lets it down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct IsolatingSpec {
    /// Bore, m. Fully open it is no narrower than the hose, and loses nothing.
    pub bore_m: f64,
    /// Loss coefficient of the half-open valve on its bore, as [`GunSpec::seat_loss`].
    pub seat_loss: f64,
    /// Time from open to shut, s.
    pub travel_s: f64,
}

impl IsolatingSpec {
    fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("isolating.bore_m", self.bore_m, 5.0e-4, 0.1);
        ranges.check("isolating.seat_loss", self.seat_loss, 0.0, 100.0);
        ranges.check("isolating.travel_s", self.travel_s, 0.0, 30.0);
        ranges.finish()
    }
}

/// The way to a second tool.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SecondSpec {
    /// How many hoses of the first tool's string the water passes before it parts; 0 where both
    /// strings begin at the manifold.
    pub after_hoses: u8,
    /// The hoses from there to the second tool, in order.
    pub hoses: Vec<HoseSpec>,
    /// Its valve: a gun, or a pedal for the foot. Both shut the way to the nozzle, or dump.
    pub gun: GunSpec,
}

/// The branches of a circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct BranchSpec {
    /// One at the beginning of the way to each tool.
    pub isolating: Option<IsolatingSpec>,
    /// The second tool.
    pub second: Option<SecondSpec>,
}

impl BranchSpec {
    /// All values out of range; `hoses` lead to the first tool.
    pub fn validate(&self, hoses: &[HoseSpec]) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        if let Some(valve) = &self.isolating {
            ranges.include(valve.validate());
        }
        if let Some(second) = &self.second {
            // Behind the last of its hoses each tool has a way of its own.
            let before = f64::from(second.after_hoses);
            let most = hoses.len() as f64 - 1.0;
            ranges.check("second.after_hoses", before, 0.0, most);
            ranges.check("second.hoses", second.hoses.len() as f64, 1.0, 16.0);
            for hose in &second.hoses {
                ranges.include(hose.validate());
            }
            ranges.include(second.gun.validate());
        }
        ranges.finish()
    }

    /// Hoses before the parting, of so many.
    fn trunk(&self, hoses: usize) -> usize {
        match &self.second {
            Some(second) => usize::from(second.after_hoses),
            None => hoses,
        }
    }

    /// The cells of the second tool's own hoses.
    pub(crate) fn cells(&self) -> usize {
        let second = self.second.iter().flat_map(|second| &second.hoses);
        second.map(|hose| usize::from(hose.cells)).sum()
    }
}

/// Where isolating valves and the second tool stand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Branches {
    /// Opening of the isolating valves, 0 shut to 1 open.
    pub isolating: [f64; TOOLS],
    /// The second tool's valve.
    pub gun: Gun,
    /// Numbers of the valves in the line.
    valves: [Option<usize>; TOOLS],
}

/// What the second tool does in a step; nothing where there is none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SecondInstant {
    /// Pressure before its valve, Pa.
    pub pressure_pa: f64,
    /// Mass flow out of its nozzle, kg/s.
    pub nozzle_mass_flow_kg_s: f64,
    /// Mass flow out of its own dump, kg/s.
    pub dump_mass_flow_kg_s: f64,
    /// Speed of its jet, m/s.
    pub jet_speed_m_s: f64,
    /// Its thrust, N.
    pub thrust_n: f64,
    /// Opening of its valve, 0 to 1.
    pub opening: f64,
}

impl Branches {
    /// The line of a circuit with its branches, and where they stand: everything open, no trigger
    /// pulled.
    pub(crate) fn lay(
        spec: &BranchSpec,
        hoses: &[HoseSpec],
        first_end_m3: f64,
        line: impl FnOnce(&[HoseSpec], &[(&[HoseSpec], f64)]) -> Line,
    ) -> (Self, Line) {
        let (trunk, own) = hoses.split_at(spec.trunk(hoses.len()).min(hoses.len()));
        let first = (own, first_end_m3);
        let mut line = match &spec.second {
            Some(second) => line(trunk, &[first, (&second.hoses, second.gun.volume_m3)]),
            None => line(trunk, &[first]),
        };
        let cells = |hoses: &[HoseSpec]| hoses.iter().map(|h| usize::from(h.cells)).sum::<usize>();
        let mut valves = [None; TOOLS];
        if spec.isolating.is_some() {
            // Without a second tool the one valve stands at the manifold.
            let first = spec.second.as_ref().map_or(0, |_| cells(trunk));
            valves[0] = line.fit_valve(first);
            if spec.second.is_some() {
                valves[1] = line.fit_valve(cells(hoses));
            }
        }
        let branches = Self {
            isolating: [1.0; TOOLS],
            gun: Gun::RELEASED,
            valves,
        };
        (branches, line)
    }

    /// Moves the valves for a time step and opens what they let pass, in water of a density, kg/m3.
    /// Gives the ways out of the second tool. Sources: \[bernoulli\], \[model\].
    pub(crate) fn open(
        &mut self,
        spec: &BranchSpec,
        controls: &Controls,
        isotherm: &CompressionCurve,
        line: &mut Line,
        dt_s: f64,
    ) -> Option<Outlets> {
        if let Some(valve) = &spec.isolating {
            let area = round_area_m2(valve.bore_m);
            let density = isotherm.atmospheric_density();
            let ways = self.isolating.iter_mut().zip(controls.isolating_open);
            for ((opening, asked), number) in ways.zip(self.valves) {
                *opening = travelled(*opening, asked, valve.travel_s, dt_s);
                let lets = Conductance::of_seat(0.0, valve.seat_loss, *opening, area, density);
                if let Some(number) = number {
                    line.set_valve(number, lets);
                }
            }
        }
        let second = spec.second.as_ref()?;
        let asks = &controls.second;
        self.gun
            .step(&second.gun, asks.trigger, &Condition::SOUND, dt_s);
        let outlets = self.gun.outlets(&second.gun, &asks.end, isotherm);
        line.open(1, outlets.total());
        Some(outlets)
    }

    /// What the second tool does of what left the line.
    pub(crate) fn jet(
        &mut self,
        spec: &BranchSpec,
        end: &HoseEnd,
        outlets: Option<&Outlets>,
        isotherm: &CompressionCurve,
        line: &Line,
    ) -> SecondInstant {
        let (Some(second), Some(outlets)) = (&spec.second, outlets) else {
            return SecondInstant::default();
        };
        let (nozzle, dump) = outlets.shares(line.opening_kg_s(1));
        let jet: Jet = self.gun.jet(&second.gun, end, outlets, isotherm, nozzle);
        SecondInstant {
            pressure_pa: line.opening_pa(1),
            nozzle_mass_flow_kg_s: nozzle,
            dump_mass_flow_kg_s: dump,
            jet_speed_m_s: jet.speed_m_s,
            thrust_n: jet.thrust_n,
            opening: self.gun.opening,
        }
    }
}
