//! Where water leaves a line: tools, holes, torn ends.

use super::{Line, Opening};
use crate::constant;
use crate::orifice::{Conductance, round_area_m2};

/// Share of the velocity head that a torn end keeps as pressure. A jet leaves at the pressure of
/// its surroundings; this little lets its end be an opening like others. Source: \[model\].
const TORN_LOSS: f64 = 0.01;

impl Line {
    /// Mean mass flow out of an opening in the last step, kg/s.
    pub fn opening_kg_s(&self, opening: usize) -> f64 {
        self.openings.get(opening).map_or(0.0, |o| o.flow_kg_s)
    }

    /// Sets how wide an opening is.
    pub fn open(&mut self, opening: usize, conductance: Conductance) {
        if let Some(opening) = self.openings.get_mut(opening) {
            opening.conductance = conductance;
        }
    }

    /// Lets water out at a node from now on; gives the opening's number.
    pub fn leak(&mut self, node: usize, conductance: Conductance) -> usize {
        self.openings.push(Opening {
            node: node.min(self.law.len() - 1) as u16,
            conductance,
            flow_kg_s: 0.0,
        });
        self.openings.len() - 1
    }

    /// Parts the line full bore at the beginning of a link: both torn ends are open, that towards
    /// the pump and that towards the tool. Gives the numbers of their openings, or nothing where
    /// there is no such link or it has parted before.
    ///
    /// What leaves first is limited by the line's impedance, `V = P/(rho a)`, until the wave is
    /// back. Source: \[wave_speed\].
    pub fn part(&mut self, link: usize) -> Option<(usize, usize)> {
        let stretch = self.stretches.iter().find(|s| s.links().contains(&link))?;
        if self.parted.contains(&(link as u16)) {
            return None;
        }
        let [from, to] = stretch.nodes_of(link);
        let bore = round_area_m2(stretch.cell.bore_m);
        self.parted.push(link as u16);
        self.flow_kg_s[link] = 0.0;
        let free = constant::TORN.at(0, TORN_LOSS).sqrt().recip();
        let free = Conductance::of_opening(free, bore, self.liquid.atmospheric_density());
        Some((self.leak(from, free), self.leak(to, free)))
    }
}
