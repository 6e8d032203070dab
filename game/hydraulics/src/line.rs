//! The line from manifold to gun as a chain of volumes joined by links with friction and
//! inertia, stepped implicitly.
//!
//! Backward Euler on the whole chain: volumes are linear in pressure about where they are, links
//! are linear in pressure drop, and both ends (valves at the manifold, outlets at the gun)
//! are solved as the square-root laws they are. Stable for any step. The price is numerical
//! damping: a pressure wave of period T loses a share of about `2 pi^2 dt / T` of its height in
//! each period. Mass is the state that is carried, so none is made or lost.

use crate::gun::GunSpec;
use crate::hose::{HoseSpec, Passage};
use crate::orifice::Conductance;
use crate::storage::{Linear, Liquid, Volume};
use crate::water::{ATMOSPHERE_PA, Water};
use serde::{Deserialize, Serialize};

/// Greatest number of volumes in a line, manifold and gun included.
pub const MAX_NODES: usize = 96;

/// Rounds after which a step is taken as it stands; two or three are usual.
const MAX_ROUNDS: usize = 16;

/// Rounds in which volumes may still change between water and void.
const VOID_ROUNDS: usize = 6;

/// A link between neighbouring volumes: the near half of it and the far half.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Link {
    near: Passage,
    far: Passage,
    inertance: f64,
    /// `dP = resistance |m| m`, refreshed once a tick.
    resistance: f64,
    flow_kg_s: f64,
}

/// The line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Line {
    liquid: Liquid,
    volumes: Vec<Volume>,
    links: Vec<Link>,
    pressures_pa: Vec<f64>,
    masses_kg: Vec<f64>,
}

/// What crossed the ends of the line in a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Pressure at the manifold, Pa.
    pub head_pa: f64,
    /// Pressure at the gun, Pa.
    pub end_pa: f64,
    /// Mass flow out at the manifold, kg/s.
    pub head_out_kg_s: f64,
    /// Mass flow out at the gun, kg/s.
    pub end_out_kg_s: f64,
}

impl Line {
    /// Manifold, hoses and gun, full of water at atmospheric pressure.
    pub fn new(liquid: Liquid, manifold_m3: f64, hoses: &[HoseSpec], gun: &GunSpec) -> Self {
        let mut volumes = vec![Volume {
            m3: manifold_m3,
            wall_give_1_pa: 0.0,
        }];
        let mut links = Vec::new();
        let mut near = Passage::default();
        for hose in hoses {
            for cell in 0..hose.cells {
                volumes.push(hose.cell());
                links.push(Link::joining(near, hose.half_cell(cell == 0)));
                near = hose.half_cell(cell + 1 == hose.cells);
            }
        }
        volumes.push(Volume {
            m3: gun.volume_m3,
            wall_give_1_pa: 0.0,
        });
        links.push(Link::joining(near, Passage::default()));
        Self::of(liquid, volumes, links)
    }

    /// A single volume: the line of text books, for comparison with closed forms.
    pub fn lumped(liquid: Liquid, volume: Volume) -> Self {
        Self::of(liquid, vec![volume], Vec::new())
    }

    /// The same line at rest under one pressure throughout.
    pub fn at_pressure(mut self, pressure_pa: f64) -> Self {
        for (i, volume) in self.volumes.iter().enumerate() {
            self.pressures_pa[i] = pressure_pa;
            self.masses_kg[i] = self.liquid.stored(volume, pressure_pa).0;
        }
        self
    }

    fn of(liquid: Liquid, volumes: Vec<Volume>, links: Vec<Link>) -> Self {
        let masses_kg = volumes.iter().map(|v| liquid.stored(v, 0.0).0).collect();
        let pressures_pa = vec![0.0; volumes.len()];
        Self {
            liquid,
            volumes,
            links,
            pressures_pa,
            masses_kg,
        }
    }

    /// Pressure at the manifold, Pa.
    pub fn head_pa(&self) -> f64 {
        self.pressures_pa.first().copied().unwrap_or(0.0)
    }

    /// Pressure at the gun, Pa.
    pub fn end_pa(&self) -> f64 {
        self.pressures_pa.last().copied().unwrap_or(0.0)
    }

    /// Pressures along the line, Pa: manifold, every cell, gun.
    pub fn pressures_pa(&self) -> &[f64] {
        &self.pressures_pa
    }

    /// Mass flows between neighbouring volumes, kg/s.
    pub fn flows_kg_s(&self) -> impl Iterator<Item = f64> + '_ {
        self.links.iter().map(|link| link.flow_kg_s)
    }

    /// Mass in the line, carried from flow to flow, kg.
    pub fn mass_kg(&self) -> f64 {
        self.masses_kg.iter().sum()
    }

    /// Mass in the line by the law of its volumes at their pressures, kg. Agrees with
    /// [`Self::mass_kg`] as far as the steps resolve the curvature of that law.
    pub fn mass_by_pressure_kg(&self) -> f64 {
        self.volumes
            .iter()
            .zip(&self.pressures_pa)
            .map(|(v, &p)| self.liquid.stored(v, p).0)
            .sum()
    }

    /// Takes friction factors anew at the present flows and at the water's temperature.
    pub fn refresh_friction(&mut self, water: &Water) {
        for (link, pair) in self.links.iter_mut().zip(self.pressures_pa.windows(2)) {
            let pressure = 0.5 * (pair[0] + pair[1]).max(0.0);
            let viscosity = water.viscosity(ATMOSPHERE_PA + pressure);
            let density = self.liquid.density(pressure);
            let flow = link.flow_kg_s;
            link.resistance = link.near.resistance(flow, density, viscosity)
                + link.far.resistance(flow, density, viscosity);
        }
    }

    /// Steps the line: `inflow` enters at the manifold (kg/s), `head` gives the mass flow out
    /// there and its slope at a pressure (rising, nil at and below zero), `end` is the outlet
    /// at the gun.
    pub fn step(
        &mut self,
        dt_s: f64,
        inflow_kg_s: f64,
        head: impl Fn(f64) -> (f64, f64),
        end: Conductance,
    ) -> Step {
        let last = self.volumes.len() - 1;
        let per_dt = 1.0 / dt_s;
        let mut stored = [Linear::default(); MAX_NODES];
        let mut gain = [0.0; MAX_NODES];
        let mut carried = [0.0; MAX_NODES];
        let mut pressure = [0.0; MAX_NODES];
        for (i, volume) in self.volumes.iter().enumerate() {
            pressure[i] = self.pressures_pa[i];
            stored[i] = self.liquid.tangent(volume, pressure[i]);
        }
        // A link passes m = gain (p - p_next) + carried at the end of the step.
        for (i, link) in self.links.iter().enumerate() {
            let inertia = link.inertance * per_dt;
            let opposing = inertia + link.resistance * link.flow_kg_s.abs();
            gain[i] = 1.0 / opposing.max(1.0e-3);
            carried[i] = gain[i] * inertia * link.flow_kg_s;
        }

        let mut end_guess = pressure[last].max(0.0);
        for round in 0..MAX_ROUNDS {
            let end_slope = end.slope(end_guess);
            let end_at_zero = end.mass_flow(end_guess) - end_slope * end_guess;
            self.solve_chain(
                per_dt,
                &stored,
                &gain,
                &carried,
                (end_at_zero, end_slope),
                (inflow_kg_s, &head),
                &mut pressure,
            );
            let mut settled = (pressure[last] - end_guess).abs() <= 1.0e-3 * end_guess + 1.0;
            // From below, the search for the end's pressure never leaves the square root's range.
            end_guess = pressure[last].max(0.0);
            if end.0 <= 0.0 {
                settled = true;
            }
            if round < VOID_ROUNDS {
                settled &= !self.change_void(&pressure, &mut stored);
            }
            if settled {
                break;
            }
        }
        self.take_over(
            dt_s,
            inflow_kg_s,
            &gain,
            &carried,
            &pressure,
            head(pressure[0]).0,
            end,
        )
    }

    /// One linear solution of the chain, exact at the manifold. Eliminates from gun to manifold.
    #[allow(clippy::too_many_arguments)]
    fn solve_chain(
        &self,
        per_dt: f64,
        stored: &[Linear; MAX_NODES],
        gain: &[f64; MAX_NODES],
        carried: &[f64; MAX_NODES],
        (end_at_zero, end_slope): (f64, f64),
        (inflow, head): (f64, &impl Fn(f64) -> (f64, f64)),
        pressure: &mut [f64; MAX_NODES],
    ) {
        let last = self.volumes.len() - 1;
        let mut diagonal = [0.0; MAX_NODES];
        let mut right = [0.0; MAX_NODES];
        for i in (0..=last).rev() {
            let mut d = stored[i].slope_kg_pa * per_dt;
            let mut r = (self.masses_kg[i] - stored[i].at_zero_kg) * per_dt;
            if i > 0 {
                d += gain[i - 1];
                r += carried[i - 1];
            }
            if i < last {
                let through = gain[i] / diagonal[i + 1];
                d += gain[i] - gain[i] * through;
                r += through * right[i + 1] - carried[i];
            } else {
                d += end_slope;
                r -= end_at_zero;
            }
            diagonal[i] = d;
            right[i] = r;
        }
        pressure[0] = solve_head(diagonal[0], right[0] + inflow, head, pressure[0]);
        for i in 0..last {
            pressure[i + 1] = (right[i + 1] + gain[i] * pressure[i]) / diagonal[i + 1];
        }
    }

    /// Puts volumes that crossed atmospheric pressure on the line of their new side; whether
    /// any did.
    fn change_void(&self, pressure: &[f64; MAX_NODES], stored: &mut [Linear; MAX_NODES]) -> bool {
        let mut changed = false;
        for (i, volume) in self.volumes.iter().enumerate() {
            let void = self.liquid.below_atmosphere(volume);
            let is_void = stored[i] == void;
            if is_void != (pressure[i] < 0.0) {
                stored[i] = if is_void {
                    self.liquid.tangent(volume, 0.0)
                } else {
                    void
                };
                changed = true;
            }
        }
        changed
    }

    #[allow(clippy::too_many_arguments)]
    fn take_over(
        &mut self,
        dt_s: f64,
        inflow: f64,
        gain: &[f64; MAX_NODES],
        carried: &[f64; MAX_NODES],
        pressure: &[f64; MAX_NODES],
        head_out: f64,
        end: Conductance,
    ) -> Step {
        let last = self.volumes.len() - 1;
        let end_out = end.mass_flow(pressure[last]);
        self.masses_kg[0] += (inflow - head_out) * dt_s;
        self.masses_kg[last] -= end_out * dt_s;
        for (i, link) in self.links.iter_mut().enumerate() {
            link.flow_kg_s = gain[i] * (pressure[i] - pressure[i + 1]) + carried[i];
            self.masses_kg[i] -= link.flow_kg_s * dt_s;
            self.masses_kg[i + 1] += link.flow_kg_s * dt_s;
        }
        self.pressures_pa.copy_from_slice(&pressure[..=last]);
        Step {
            head_pa: pressure[0],
            end_pa: pressure[last],
            head_out_kg_s: head_out,
            end_out_kg_s: end_out,
        }
    }
}

impl Link {
    fn joining(near: Passage, far: Passage) -> Self {
        Self {
            near,
            far,
            inertance: near.inertance() + far.inertance(),
            resistance: 0.0,
            flow_kg_s: 0.0,
        }
    }
}

/// Root of `d p + h(p) = r` for a rising h that is nil up to zero: Newton's method kept within
/// a closing bracket.
fn solve_head(d: f64, r: f64, head: &impl Fn(f64) -> (f64, f64), guess: f64) -> f64 {
    let without = r / d;
    if without <= 0.0 {
        return without;
    }
    let (mut low, mut high) = (0.0, without);
    let mut p = guess.clamp(low, high);
    for _ in 0..60 {
        let (flow, slope) = head(p);
        let excess = d * p + flow - r;
        if excess > 0.0 {
            high = p
        } else {
            low = p
        }
        let newton = p - excess / (d + slope);
        if (newton - p).abs() <= 1.0e-9 * p + 1.0e-6 {
            break;
        }
        p = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
    }
    p
}
