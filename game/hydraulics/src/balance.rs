//! The balance of the water: what the pump took in, and by which way it left.
//!
//! Mass is kept, so that at any moment what was pumped is what left by all ways and what the line
//! has more than at the start. Water goes back to the tank by the bypass alone, as far as the tank
//! takes it back; what leaves by the dump, the relief, a burst disc and the bleed valve runs off beside the unit,
//! and what leaves by the tool, by a hole in the hose or by a torn end runs off where the work is. What
//! the packings let by never comes as far as the manifold: it is drawn besides, and runs off beside
//! the unit. Source: \[continuity\].

use serde::{Deserialize, Serialize};

/// Masses since the start, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Balance {
    /// Into the manifold.
    pub pumped_kg: f64,
    /// Out of nozzles or the bare end.
    pub tool_kg: f64,
    /// Out of the dump orifices of dumping guns.
    pub gun_dump_kg: f64,
    /// Through the dump valve.
    pub dump_kg: f64,
    /// Through the bleed valve.
    pub bleed_kg: f64,
    /// Through the relief.
    pub relief_kg: f64,
    /// Through a burst disc.
    pub disc_kg: f64,
    /// Out of holes in the hose and torn ends.
    pub hose_kg: f64,
    /// Past the packings of the plungers.
    pub gland_kg: f64,
    /// Through the regulator.
    pub bypass_kg: f64,
    /// Part of that which came back to the tank.
    pub returned_kg: f64,
}

/// Mean mass flows of a step, kg/s, named as the masses.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Rates {
    pub pumped: f64,
    pub tool: f64,
    pub gun_dump: f64,
    pub dump: f64,
    pub bleed: f64,
    pub relief: f64,
    pub disc: f64,
    pub hose: f64,
    pub gland: f64,
    pub bypass: f64,
    pub returned: f64,
}

impl Balance {
    /// Adds the flows of one step.
    pub(crate) fn add(&mut self, rates: &Rates, dt_s: f64) {
        self.pumped_kg += rates.pumped * dt_s;
        self.tool_kg += rates.tool * dt_s;
        self.gun_dump_kg += rates.gun_dump * dt_s;
        self.dump_kg += rates.dump * dt_s;
        self.bleed_kg += rates.bleed * dt_s;
        self.relief_kg += rates.relief * dt_s;
        self.disc_kg += rates.disc * dt_s;
        self.hose_kg += rates.hose * dt_s;
        self.gland_kg += rates.gland * dt_s;
        self.bypass_kg += rates.bypass * dt_s;
        self.returned_kg += rates.returned * dt_s;
    }

    /// What fell where the work is: out of the tool and of a hose that leaks, kg.
    pub fn run_off_kg(&self) -> f64 {
        self.tool_kg + self.gun_dump_kg + self.hose_kg
    }

    /// What ran off beside the unit: by the dump, the bleed valve, the relief, the disc, the packings, and the
    /// part of the bypass that the tank does not take back, kg.
    pub fn at_the_unit_kg(&self) -> f64 {
        let valves = self.dump_kg + self.bleed_kg + self.relief_kg + self.disc_kg;
        valves + self.gland_kg + (self.bypass_kg - self.returned_kg)
    }

    /// What the supply gave: all that was pumped or lost at the packings and did not come back, kg.
    pub fn drawn_kg(&self) -> f64 {
        self.pumped_kg + self.gland_kg - self.returned_kg
    }
}
