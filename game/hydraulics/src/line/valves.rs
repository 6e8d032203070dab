//! Valves in the way of the water: what passes a link is what its valve lets pass.

use super::Line;
use crate::friction::{Following, Layer};
use crate::orifice::Conductance;
use serde::{Deserialize, Serialize};

/// A valve at the beginning of a link.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct InLine {
    link: u16,
    /// `dP = loss |m| m`, 1/(m kg); nothing when it is shut. Source: \[bernoulli\].
    loss: Option<f64>,
    /// Flow and layer of the link before this part of a step.
    pub was: (f64, Layer),
}

impl InLine {
    pub fn link(&self) -> usize {
        usize::from(self.link)
    }

    pub fn keep(&mut self, flow_kg_s: f64, layer: Layer) {
        self.was = (flow_kg_s, layer);
    }

    /// The flow after a part of a step, found as that of other links, but with the loss of the valve
    /// wholly at the new flow: it is far stiffer than friction when the valve is nearly shut.
    /// Sources: \[newton\], \[bernoulli\].
    pub fn pass(
        &self,
        held: f64,
        resistance: f64,
        drop_pa: f64,
        following: &Following,
    ) -> (f64, Layer) {
        let (flow, mut layer) = self.was;
        let new = self.loss.map_or(0.0, |loss| {
            let push = (held - 0.5 * resistance * flow.abs()) * flow + drop_pa;
            let root = (held * held + (2.0 * resistance + 4.0 * loss) * push.abs()).sqrt();
            2.0 * push / (held + root)
        });
        layer.follow(following, new - flow);
        (new, layer)
    }
}

impl Line {
    /// Puts a valve at the beginning of a link, open without loss; gives its number, or nothing where
    /// there is no such link.
    pub fn fit_valve(&mut self, link: usize) -> Option<usize> {
        if link >= self.flow_kg_s.len() {
            return None;
        }
        self.valves.push(InLine {
            link: link as u16,
            loss: Some(0.0),
            was: (0.0, Layer::default()),
        });
        Some(self.valves.len() - 1)
    }

    /// Sets what a valve lets pass: infinite for one without loss, 0 for one that is shut. Behind a
    /// shut one the water keeps its pressure. Source: \[bernoulli\].
    pub fn set_valve(&mut self, valve: usize, conductance: Conductance) {
        if let Some(valve) = self.valves.get_mut(valve) {
            let Conductance(of) = conductance;
            valve.loss = (of > 0.0).then(|| 1.0 / (of * of));
        }
    }
}
