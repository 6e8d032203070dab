//! Where the hose string has broken: a hole halfway, the coupling at either end parted.

use crate::condition::Condition;
use crate::line::Line;
use crate::orifice::Conductance;
use serde::{Deserialize, Serialize};

/// The openings that breaks have made in a line. They are made when first needed: a sound line has
/// none to solve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Breaks {
    hole: Option<usize>,
    /// Openings of the two torn ends at the gun: that of the hose, that of the gun.
    at_gun: Option<(usize, usize)>,
    /// Openings of the two torn ends at the pump: that of the outlet, that of the hose.
    at_pump: Option<(usize, usize)>,
}

/// Water at an end of the hose that has come loose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct TornEnd {
    /// Pressure in the hose behind it, Pa.
    pub pressure_pa: f64,
    /// Mass flow out of it, kg/s.
    pub mass_flow_kg_s: f64,
    /// Mass flow out of what it was coupled to, kg/s.
    pub other_kg_s: f64,
}

/// The torn ends of a line; nothing where a coupling holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Torn {
    /// The hose's end at the gun.
    pub at_gun: Option<TornEnd>,
    /// The hose's end at the pump.
    pub at_pump: Option<TornEnd>,
}

impl Torn {
    /// Mass flow out of all of them, kg/s.
    pub fn flow_kg_s(&self) -> f64 {
        let ends = [self.at_gun, self.at_pump].into_iter().flatten();
        ends.map(|end| end.mass_flow_kg_s + end.other_kg_s).sum()
    }
}

impl Breaks {
    /// Opens what the condition says along the first so many cells of a line, in water of a density,
    /// kg/m3. A hole can be mended while the
    /// line stands; what has parted stays so.
    pub fn follow(&mut self, of: &Condition, line: &mut Line, cells: usize, density: f64) {
        if self.hole.is_none() && of.hose_leak_m2 > 0.0 {
            let halfway = cells.div_ceil(2);
            self.hole = Some(line.leak(halfway, Conductance(0.0)));
        }
        if let Some(hole) = self.hole {
            line.open(hole, Conductance::of_opening(1.0, of.hose_leak_m2, density));
        }
        if self.at_gun.is_none() && of.hose_parted {
            self.at_gun = line.part(cells.saturating_sub(1));
        }
        if self.at_pump.is_none() && of.pump_coupling_parted {
            self.at_pump = line.part(0);
        }
    }

    /// Mass flow out of all of them, kg/s.
    pub fn flow_kg_s(&self, line: &Line) -> f64 {
        let torn = [self.at_gun, self.at_pump].into_iter().flatten();
        let openings = self.hole.into_iter().chain(torn.flat_map(|(a, b)| [a, b]));
        openings.map(|opening| line.opening_kg_s(opening)).sum()
    }

    /// The water at the ends of the hose that have come loose.
    pub fn torn(&self, line: &Line) -> Torn {
        let end = |hose, other| TornEnd {
            pressure_pa: line.opening_pa(hose),
            mass_flow_kg_s: line.opening_kg_s(hose),
            other_kg_s: line.opening_kg_s(other),
        };
        Torn {
            at_gun: self.at_gun.map(|(hose, gun)| end(hose, gun)),
            at_pump: self.at_pump.map(|(outlet, hose)| end(hose, outlet)),
        }
    }
}
