//! The line from manifold to tools: volumes joined by links with inertia and friction.
//!
//! Hoses are cut into cells of equal length. Between two cells, and at every end, lies a node that
//! stores the halves next to it, with whatever volume stands there (manifold, gun); a link carries
//! the water of one cell. Flows stand half a step before pressures and each is found from the
//! other (the staggered leap-frog of finite volumes): second order, nothing is damped but by
//! friction, and for a liquid of constant modulus and steps as long as a wave takes through a cell
//! it gives what the method of characteristics gives. Mass is the state that is carried, so none
//! is made or lost. What leaves through openings is solved implicitly at its own node
//! (`outlet.rs`), friction at its own link.
//! Sources: \[stormer_verlet\], \[wave_speed\], \[continuity\].
//!
//! A step must not be longer than a wave needs through the shortest cell. [`Line::step`] takes as
//! many equal parts as that asks for, so that waves do not grow whatever the setting (but see
//! `UNQUIET` for gaps in the water); hoses cut by
//! [`HoseSpec::suggested_cells`] need one.

mod openings;
mod valves;

use crate::friction::{Following, Layer};
use crate::gun::GunSpec;
use crate::hose::{HoseSpec, Passage};
use crate::orifice::Conductance;
use crate::outlet::{Filling, Openings};
use crate::storage::{Law, Liquid, Volume};
use crate::water::{ATMOSPHERE_PA, Water};
use serde::{Deserialize, Serialize};
use valves::InLine;

/// Greatest number of cells in a line.
pub const MAX_CELLS: u16 = 512;
/// Greatest number of parts that one step is taken in; beyond, a step is cut short by the caller.
const MAX_PARTS: f64 = 4_096.0;
/// Where water has parted from itself, storage changes a thousandfold from one step to the next, and
/// every closing of such a gap would feed the swing from node to node. While there is one, and for so
/// many parts of steps after, steps are half as long, and flows answer pressures that lie so far
/// ahead, as a multiple of their last rise: what swings slower than a few steps hardly feels it.
/// Source: \[model\].
const UNQUIET: u8 = 64;
/// See [`UNQUIET`].
const AHEAD: f64 = 0.5;
/// Head room of the pressure that the step's length is found for: `(share, Pa)`.
const HEAD_ROOM: (f64, f64) = (1.25, 1.0e7);

/// One hose as it lies in the line: its links are neighbours in the lists, and so are the nodes at
/// their far ends.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Stretch {
    /// Node it begins at.
    from: u16,
    /// Node at the far end of its first cell; the others follow.
    next: u16,
    /// Its first link; the others follow.
    link: u16,
    cells: u16,
    /// One cell, without fittings.
    cell: Passage,
    /// Loss coefficient of the fittings at each end.
    end_loss: f64,
    /// How fast the layer at the wall follows.
    following: Following,
}

impl Stretch {
    fn links(&self) -> core::ops::Range<usize> {
        usize::from(self.link)..usize::from(self.link) + usize::from(self.cells)
    }

    /// Nodes of its ends.
    fn ends(&self) -> [usize; 2] {
        [self.from, self.next + self.cells - 1].map(usize::from)
    }

    /// Nodes at the ends of one of its links.
    fn nodes_of(&self, link: usize) -> [usize; 2] {
        let cell = link - usize::from(self.link);
        let to = usize::from(self.next) + cell;
        [
            if cell == 0 {
                usize::from(self.from)
            } else {
                to - 1
            },
            to,
        ]
    }
}

/// Neighbouring nodes of one law.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Run {
    law: u16,
    from: u16,
    to: u16,
}

/// An opening to atmosphere at a node: a tool, a leak, a torn end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Opening {
    node: u16,
    conductance: Conductance,
    flow_kg_s: f64,
}

/// The line. What belongs to a node or a link stands in lists of their own, so that the loops over
/// them are straight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Line {
    liquid: Liquid,
    laws: Vec<Law>,
    runs: Vec<Run>,
    stretches: Vec<Stretch>,
    /// Of every node, kg.
    mass_kg: Vec<f64>,
    /// Of every node, Pa.
    pressure_pa: Vec<f64>,
    /// Net mass flow into every node in this step, kg/s.
    inflow_kg_s: Vec<f64>,
    /// Law of every node.
    law: Vec<u16>,
    /// Sum of 1 over the inertance of every node's links, m.
    give_m: Vec<f64>,
    /// Through every link, kg/s.
    flow_kg_s: Vec<f64>,
    /// `dP = resistance |m| m` of every link, refreshed once a tick. Source: \[darcy_weisbach\].
    resistance: Vec<f64>,
    /// What the layer at the wall of every link still holds against the flow.
    layer: Vec<Layer>,
    /// Links that have parted: nothing passes.
    parted: Vec<u16>,
    /// Valves in the way of links.
    valves: Vec<InLine>,
    /// The ends first, in their order, then leaks and torn ends as they came.
    openings: Vec<Opening>,
    /// What every node's pressure rose by in the last part of a step, Pa.
    rise_pa: Vec<f64>,
    /// Parts of steps for which the line counts as parted from itself yet.
    unquiet: u8,
    /// Longest step, s, up to a pressure, Pa.
    longest: (f64, f64),
}

/// Collects nodes and stretches.
struct Builder {
    volumes: Vec<Vec<Volume>>,
    stretches: Vec<Stretch>,
    links: u16,
}

impl Builder {
    /// Lays a hose from a node; gives the node at its other end.
    fn lay(&mut self, hose: &HoseSpec, from: usize) -> usize {
        let half = hose.half_cell();
        let next = self.volumes.len();
        for cell in 0..usize::from(hose.cells) {
            let near = if cell == 0 { from } else { next + cell - 1 };
            self.volumes[near].push(half);
            self.volumes.push(vec![half]);
        }
        self.stretches.push(Stretch {
            from: from as u16,
            next: next as u16,
            link: self.links,
            cells: hose.cells,
            cell: hose.cell(),
            end_loss: 0.5 * hose.fitting_loss,
            following: Following::default(),
        });
        self.links += hose.cells;
        self.volumes.len() - 1
    }
}

impl Line {
    /// Manifold, hoses and gun, full of water at atmospheric pressure.
    pub fn new(liquid: Liquid, manifold_m3: f64, hoses: &[HoseSpec], gun: &GunSpec) -> Self {
        Self::branched(liquid, manifold_m3, hoses, &[(&[], gun.volume_m3)])
    }

    /// Manifold, a string of hoses, and from its end branches to as many tools: each a string of
    /// its own (which may be empty) with the volume at its end, m3. Tools are numbered in their
    /// order.
    pub fn branched(
        liquid: Liquid,
        manifold_m3: f64,
        trunk: &[HoseSpec],
        branches: &[(&[HoseSpec], f64)],
    ) -> Self {
        let rigid = |m3| Volume {
            m3,
            wall_give_1_pa: 0.0,
        };
        let mut builder = Builder {
            volumes: vec![vec![rigid(manifold_m3)]],
            stretches: Vec::new(),
            links: 0,
        };
        let tee = trunk.iter().fold(0, |at, hose| builder.lay(hose, at));
        let mut ends = Vec::new();
        for (hoses, end_m3) in branches {
            let end = hoses.iter().fold(tee, |at, hose| builder.lay(hose, at));
            builder.volumes[end].push(rigid(*end_m3));
            ends.push(end);
        }
        Self::of(liquid, builder, &ends)
    }

    /// A single volume: the line of text books, for comparison with closed forms.
    pub fn lumped(liquid: Liquid, volume: Volume) -> Self {
        let builder = Builder {
            volumes: vec![vec![volume]],
            stretches: Vec::new(),
            links: 0,
        };
        Self::of(liquid, builder, &[0])
    }

    fn of(liquid: Liquid, built: Builder, ends: &[usize]) -> Self {
        let mut kinds: Vec<&[Volume]> = Vec::new();
        let (mut laws, mut law, mut runs) = (Vec::new(), Vec::new(), Vec::<Run>::new());
        for (node, here) in built.volumes.iter().enumerate() {
            let known = kinds.iter().position(|kind| kind == here);
            let kind = known.unwrap_or_else(|| {
                kinds.push(here);
                laws.push(Law::of(&liquid, here));
                laws.len() - 1
            }) as u16;
            law.push(kind);
            let (from, to) = (node as u16, node as u16 + 1);
            match runs.last_mut() {
                Some(run) if run.law == kind => run.to = to,
                _ => runs.push(Run {
                    law: kind,
                    from,
                    to,
                }),
            }
        }
        let nodes = law.len();
        let mut give_m = vec![0.0; nodes];
        for stretch in &built.stretches {
            for link in stretch.links() {
                for node in stretch.nodes_of(link) {
                    give_m[node] += 1.0 / stretch.cell.inertance();
                }
            }
        }
        let openings = ends.iter().map(|&node| Opening {
            node: node as u16,
            conductance: Conductance(0.0),
            flow_kg_s: 0.0,
        });
        let links = usize::from(built.links);
        Self {
            liquid,
            runs,
            stretches: built.stretches,
            mass_kg: vec![0.0; nodes],
            pressure_pa: vec![0.0; nodes],
            inflow_kg_s: vec![0.0; nodes],
            law,
            give_m,
            flow_kg_s: vec![0.0; links],
            resistance: vec![0.0; links],
            layer: vec![Layer::default(); links],
            parted: Vec::new(),
            valves: Vec::new(),
            openings: openings.collect(),
            rise_pa: vec![0.0; nodes],
            unquiet: 0,
            longest: (0.0, 0.0),
            laws,
        }
        .at_pressure(0.0)
    }

    /// The same line at rest under one pressure throughout.
    pub fn at_pressure(mut self, pressure_pa: f64) -> Self {
        for (mass, law) in self.mass_kg.iter_mut().zip(&self.law) {
            *mass = self.laws[usize::from(*law)].mass_kg(pressure_pa);
        }
        self.pressure_pa.fill(pressure_pa);
        self.find_longest_step(pressure_pa);
        self
    }

    /// The same line with a flow from the manifold to the first tool, kg/s.
    pub fn flowing(mut self, flow_kg_s: f64) -> Self {
        self.flow_kg_s.fill(0.0);
        let mut node = usize::from(self.openings[0].node);
        while let Some(stretch) = self.stretches.iter().find(|s| s.ends()[1] == node) {
            self.flow_kg_s[stretch.links()].fill(flow_kg_s);
            node = stretch.ends()[0];
        }
        self
    }

    /// The same line in steady flow to the first tool, kg/s, with pressures that fall from the
    /// manifold's by the friction there is (see [`Self::with_friction`]).
    pub fn in_steady_flow(self, head_pa: f64, flow_kg_s: f64) -> Self {
        let mut line = self.at_pressure(head_pa).flowing(flow_kg_s);
        for stretch in &line.stretches {
            for link in stretch.links() {
                let [from, to] = stretch.nodes_of(link);
                let flow = line.flow_kg_s[link];
                let pressure = line.pressure_pa[from] - line.resistance[link] * flow.abs() * flow;
                line.pressure_pa[to] = pressure;
                line.mass_kg[to] = line.laws[usize::from(line.law[to])].mass_kg(pressure);
            }
        }
        line
    }

    /// Pressure at the manifold, Pa.
    pub fn head_pa(&self) -> f64 {
        self.pressure_pa.first().copied().unwrap_or(0.0)
    }

    /// Pressure at the first tool, Pa.
    pub fn end_pa(&self) -> f64 {
        self.opening_pa(0)
    }

    /// Pressure before an opening, Pa: the tools first, in their order, then what was added.
    pub fn opening_pa(&self, opening: usize) -> f64 {
        let at = self.openings.get(opening).map(|o| usize::from(o.node));
        at.map_or(0.0, |node| self.pressure_pa[node])
    }

    /// Pressures along the line, Pa: manifold, then every node as it was laid.
    pub fn pressures_pa(&self) -> &[f64] {
        &self.pressure_pa
    }

    /// Mass flows through the cells as they were laid, kg/s, half a step ago.
    pub fn flows_kg_s(&self) -> &[f64] {
        &self.flow_kg_s
    }

    /// Mass in the line, kg.
    pub fn mass_kg(&self) -> f64 {
        self.mass_kg.iter().sum()
    }

    /// Energy of the line, J: what pressure has put into water and walls, and what flows, reckoned
    /// with atmospheric density throughout.
    ///
    /// Flows stand half a step before the pressures, so the energy of a flow is that of the one
    /// there is times the one that these pressures make of it in a step: of a line that is shut and
    /// has no friction just this sum stays what it is. Sources: \[newton\], \[stormer_verlet\].
    pub fn energy_j(&self, dt_s: f64) -> f64 {
        let stored = self.mass_kg.iter().zip(&self.law);
        let stored = stored.map(|(mass, law)| self.laws[usize::from(*law)].work_pa_kg(*mass));
        let part_s = dt_s / self.parts(dt_s);
        let flowing = self.stretches.iter().map(|stretch| {
            let inertance = stretch.cell.inertance();
            let of_links = stretch.links().map(|link| {
                let [from, to] = stretch.nodes_of(link).map(|node| self.pressure_pa[node]);
                let flow = self.flow_kg_s[link];
                flow * (inertance * flow + part_s * (from - to))
            });
            0.5 * of_links.sum::<f64>()
        });
        (stored.sum::<f64>() + flowing.sum::<f64>()) / self.liquid.atmospheric_density()
    }

    /// Longest step that is taken in one part at the present pressures, s, unless the water has
    /// parted from itself somewhere; infinite where there is no hose.
    pub fn longest_step_s(&self) -> f64 {
        self.longest.0
    }

    /// Equal parts that a step must be taken in.
    fn parts(&self, dt_s: f64) -> f64 {
        let longest_s = self.longest.0 * if self.unquiet > 0 { 0.5 } else { 1.0 };
        libm::ceil(dt_s / longest_s * (1.0 - 1.0e-6)).clamp(1.0, MAX_PARTS)
    }

    /// Takes friction factors anew, one of each hose, at the mean of its flows and of its ends'
    /// pressures and at the water's temperature. Sources: \[darcy_weisbach\], \[churchill1977\].
    pub fn refresh_friction(&mut self, water: &Water) {
        for stretch in &mut self.stretches {
            let [from, to] = stretch.ends().map(|node| self.pressure_pa[node]);
            let pressure = 0.5 * (from + to).max(0.0);
            let viscosity = water.viscosity(ATMOSPHERE_PA + pressure);
            let density = self.liquid.density(pressure);
            let flows = &self.flow_kg_s[stretch.links()];
            let mean = flows.iter().map(|flow| flow.abs()).sum::<f64>() / flows.len() as f64;
            let cell = stretch.cell.resistance(mean, density, viscosity);
            let end = stretch.cell.local_resistance(stretch.end_loss, density);
            let resistance = &mut self.resistance[stretch.links()];
            resistance.fill(cell);
            resistance[0] += end;
            resistance[flows.len() - 1] += end;
            stretch
                .following
                .renew(viscosity / density, stretch.cell.bore_m);
        }
    }

    /// Sets one friction factor and density for all of the line, for comparison with text books.
    pub fn with_friction(mut self, darcy: f64, density: f64) -> Self {
        for stretch in &self.stretches {
            let cell = stretch.cell.resistance_of(darcy, density);
            self.resistance[stretch.links()].fill(cell);
        }
        self
    }

    /// Steps the line: `inflow` enters at the manifold (kg/s), `head` are the openings there
    /// besides the tools' and leaks.
    pub fn step(&mut self, dt_s: f64, inflow_kg_s: f64, head: &mut impl Openings) {
        for opening in &mut self.openings {
            opening.flow_kg_s = 0.0;
        }
        // What may be taken at once can change from part to part.
        let mut left_s = dt_s;
        for _ in 0..MAX_PARTS as u32 {
            let parts = self.parts(left_s);
            let part_s = (left_s / parts).min(self.longest.0);
            self.part_step(part_s, inflow_kg_s, head, part_s / dt_s);
            left_s -= part_s;
            if parts <= 1.0 {
                break;
            }
        }
    }

    fn part_step(&mut self, dt_s: f64, inflow_kg_s: f64, head: &mut impl Openings, weight: f64) {
        self.inflow_kg_s.fill(0.0);
        self.inflow_kg_s[0] = inflow_kg_s;
        self.pass_links(dt_s);
        self.drain_head(dt_s, head, weight);
        for first in 0..self.openings.len() {
            self.drain_from(first, dt_s, weight);
        }
        let (lowest_pa, highest_pa) = self.fill_nodes(dt_s);
        self.unquiet = if lowest_pa < 0.0 {
            UNQUIET
        } else {
            self.unquiet.saturating_sub(1)
        };
        let reach_pa = self.longest.1;
        let much_lower = reach_pa.is_finite() && 4.0 * (highest_pa + HEAD_ROOM.1) < reach_pa;
        if highest_pa > reach_pa || much_lower {
            self.find_longest_step(highest_pa);
        }
    }

    /// Flows from the pressures there are.
    fn pass_links(&mut self, dt_s: f64) {
        let ahead = if self.unquiet > 0 { AHEAD } else { 0.0 };
        for stretch in &mut self.stretches {
            stretch.following.at_step(dt_s);
            let following = stretch.following;
            let inertance = stretch.cell.inertance();
            let drag = inertance * following.drag();
            let held = inertance / dt_s + drag * following.entering();
            let (links, next) = (stretch.links(), usize::from(stretch.next));
            let far = self.pressure_pa[next..].iter().zip(&self.rise_pa[next..]);
            let flows = &mut self.flow_kg_s[links.clone()];
            let from = usize::from(stretch.from);
            let mut near = self.pressure_pa[from] + ahead * self.rise_pa[from];
            let resistances = &self.resistance[links.clone()];
            let layers = &mut self.layer[links.clone()];
            for valve in &mut self.valves {
                if let Some(at) = valve.link().checked_sub(links.start)
                    && at < flows.len()
                {
                    valve.keep(flows[at], layers[at]);
                }
            }
            for (((flow, far), resistance), layer) in
                flows.iter_mut().zip(far).zip(resistances).zip(layers)
            {
                let far = far.0 + ahead * far.1;
                // Friction is the mean of that of the old flow and that of the new, which is found
                // from `held new + r/2 |new| new = push`: a front that passes within the step takes
                // half of its friction along. What the step's own change leaves behind at the wall
                // counts at once, as inertia does: a step later it would drive the fastest swing.
                let push = (held - 0.5 * resistance * flow.abs()) * *flow + near
                    - far
                    - drag * layer.fading(&following);
                let root = (held * held + 2.0 * resistance * push.abs()).sqrt();
                let new = 2.0 * push / (held + root);
                layer.follow(&following, new - *flow);
                (*flow, near) = (new, far);
            }
            for valve in self.valves.iter().filter(|v| links.contains(&v.link())) {
                let link = valve.link();
                let ends = stretch.nodes_of(link);
                let [near, far] = ends.map(|n| self.pressure_pa[n] + ahead * self.rise_pa[n]);
                let drop = near - far - drag * valve.was.1.fading(&following);
                let (flow, layer) = valve.pass(held, self.resistance[link], drop, &following);
                (self.flow_kg_s[link], self.layer[link]) = (flow, layer);
            }
            for link in self.parted.iter().map(|link| usize::from(*link)) {
                if links.contains(&link) {
                    self.flow_kg_s[link] = 0.0;
                }
            }
            let flows = &self.flow_kg_s[links];
            self.inflow_kg_s[usize::from(stretch.from)] -= flows[0];
            let inflows = &mut self.inflow_kg_s[next..next + flows.len()];
            let onward = flows[1..].iter().chain([&0.0]);
            for ((inflow, flow), onward) in inflows.iter_mut().zip(flows).zip(onward) {
                *inflow += flow - onward;
            }
        }
    }

    /// Masses from the flows and pressures from the masses; gives the lowest and the highest
    /// pressure.
    fn fill_nodes(&mut self, dt_s: f64) -> (f64, f64) {
        for (mass, inflow) in self.mass_kg.iter_mut().zip(&self.inflow_kg_s) {
            *mass += inflow * dt_s;
        }
        for (rise, pressure) in self.rise_pa.iter_mut().zip(&self.pressure_pa) {
            *rise = -pressure;
        }
        for run in &self.runs {
            let range = usize::from(run.from)..usize::from(run.to);
            let pressures = &mut self.pressure_pa[range.clone()];
            self.laws[usize::from(run.law)].pressures_pa(&self.mass_kg[range], pressures);
        }
        let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
        for (rise, pressure) in self.rise_pa.iter_mut().zip(&self.pressure_pa) {
            *rise += pressure;
            ends = (ends.0.min(*pressure), ends.1.max(*pressure));
        }
        ends
    }

    /// What leaves at the manifold, where a tool or a leak may stand as well.
    fn drain_head(&mut self, dt_s: f64, head: &mut impl Openings, weight: f64) {
        let mut both = Beside {
            head: head.clone(),
            others: self.open_at(0),
            others_kg_s: 0.0,
        };
        let out = self.filling(0).drain(&mut both, dt_s, weight);
        *head = both.head;
        self.share_out(0, both.others_kg_s);
        self.inflow_kg_s[0] -= out;
    }

    /// What leaves at an opening's node; all openings of one node at once, when the first of them
    /// comes by.
    fn drain_from(&mut self, first: usize, dt_s: f64, weight: f64) {
        let at = self.openings[first].node;
        let before = &self.openings[..first];
        if at == 0 || before.iter().any(|opening| opening.node == at) {
            return;
        }
        let mut open = self.open_at(at);
        if open.0 <= 0.0 {
            return;
        }
        let node = usize::from(at);
        let out = self.filling(node).drain(&mut open, dt_s, weight);
        self.share_out(at, out * weight);
        self.inflow_kg_s[node] -= out;
    }

    fn filling(&self, node: usize) -> Filling<'_> {
        Filling {
            law: &self.laws[usize::from(self.law[node])],
            mass_kg: self.mass_kg[node],
            pressure_pa: self.pressure_pa[node],
            inflow_kg_s: self.inflow_kg_s[node],
        }
    }

    /// All openings of a node together.
    fn open_at(&self, node: u16) -> Conductance {
        let here = self.openings.iter().filter(|opening| opening.node == node);
        Conductance(here.map(|opening| opening.conductance.0).sum())
    }

    fn share_out(&mut self, node: u16, flow_kg_s: f64) {
        let all = self.open_at(node).0;
        if all > 0.0 {
            let here = self
                .openings
                .iter_mut()
                .filter(|opening| opening.node == node);
            for opening in here {
                opening.flow_kg_s += flow_kg_s * opening.conductance.0 / all;
            }
        }
    }

    /// The longest step that is stable, from the node that answers fastest: the eigenvalues of the
    /// chain are at most twice the greatest of (sum of links' give) over (node's storage), by
    /// Gershgorin's theorem, and the leap-frog needs `dt^2 lambda <= 4`.
    /// Sources: \[gershgorin1931\], \[stormer_verlet\].
    fn find_longest_step(&mut self, pressure_pa: f64) {
        let reach_pa = match self.liquid {
            Liquid::Water(_) => pressure_pa.max(0.0) * HEAD_ROOM.0 + HEAD_ROOM.1,
            Liquid::Proportional { .. } => f64::INFINITY,
        };
        let mut fastest: f64 = 0.0;
        for (law, give_m) in self.law.iter().zip(&self.give_m) {
            let law = &self.laws[usize::from(*law)];
            // Water stiffens under pressure, a soft wall gives the more the wider it is.
            let mut steepest = law.pressure_and_slope(law.at_zero_kg()).1;
            if reach_pa.is_finite() {
                let reach_kg = law.mass_kg(reach_pa).min(law.top_kg());
                steepest = steepest.max(law.pressure_and_slope(reach_kg).1);
            }
            fastest = fastest.max(give_m * steepest);
        }
        let longest_s = if fastest > 0.0 {
            (2.0 / fastest).sqrt()
        } else {
            f64::INFINITY
        };
        self.longest = (longest_s, reach_pa);
    }
}

/// Openings of the manifold beside which a tool or a leak stands.
#[derive(Clone, Copy)]
struct Beside<H> {
    head: H,
    others: Conductance,
    /// Mean flow of the others, counted.
    others_kg_s: f64,
}

impl<H: Openings> Openings for Beside<H> {
    fn begin(&mut self, pressure_pa: f64, dt_s: f64) {
        self.head.begin(pressure_pa, dt_s);
    }
    fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        let (flow, slope) = self.head.flow(pressure_pa);
        let others = self.others;
        (
            flow + others.mass_flow(pressure_pa),
            slope + others.slope(pressure_pa),
        )
    }
    fn commit(&mut self, pressure_pa: f64, dt_s: f64) {
        self.head.commit(pressure_pa, dt_s);
    }
    fn count(&mut self, pressure_pa: f64, weight: f64) {
        self.head.count(pressure_pa, weight);
        self.others_kg_s += weight * self.others.mass_flow(pressure_pa);
    }
    fn onward(&mut self, began: &Self, times: f64) {
        self.head.onward(&began.head, times);
    }
}
