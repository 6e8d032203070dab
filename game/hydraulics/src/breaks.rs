//! Where the hose string has broken: a hole halfway, the coupling at the gun's end parted.

use crate::condition::Condition;
use crate::line::Line;
use crate::orifice::Conductance;
use serde::{Deserialize, Serialize};

/// The openings that breaks have made in a line. They are made when first needed: a sound line has
/// none to solve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Breaks {
    hole: Option<usize>,
    /// Openings of the two torn ends.
    torn: Option<(usize, usize)>,
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
        if self.torn.is_none() && of.hose_parted {
            let last = cells.saturating_sub(1);
            self.torn = line.part(last);
        }
    }

    /// Mass flow out of all of them, kg/s.
    pub fn flow_kg_s(&self, line: &Line) -> f64 {
        let torn = self.torn.map(|(one, other)| [one, other]);
        let openings = self.hole.into_iter().chain(torn.into_iter().flatten());
        openings.map(|opening| line.opening_kg_s(opening)).sum()
    }
}
