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
//!
//! A step must not be longer than a wave needs through the shortest cell. [`Line::step`] takes as
//! many equal parts as that asks for, so no setting makes it unstable; hoses cut by
//! [`HoseSpec::suggested_cells`] need one.

use crate::gun::GunSpec;
use crate::friction::{Following, Layer};
use crate::hose::{HoseSpec, Passage};
use crate::orifice::{Conductance, round_area_m2};
use crate::outlet::{Filling, Openings};
use crate::storage::{Law, Liquid, Volume};
use crate::water::{ATMOSPHERE_PA, Water};
use serde::{Deserialize, Serialize};

/// Greatest number of cells in a line.
pub const MAX_CELLS: u16 = 512;
/// Greatest number of parts that one step is taken in; beyond, a step is cut short by the caller.
const MAX_PARTS: f64 = 4_096.0;
/// Head room of the pressure that the step's length is found for: `(share, Pa)`.
const HEAD_ROOM: (f64, f64) = (1.25, 1.0e7);

/// A cell's water between two nodes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Link {
    from: u16,
    to: u16,
    /// Its hose among the line's.
    hose: u16,
    passage: Passage,
    /// `dP = resistance |m| m`, refreshed once a tick.
    resistance: f64,
    flow_kg_s: f64,
    /// What the wall's layer of slower water still holds against the flow.
    layer: Layer,
    /// Torn off: nothing passes.
    parted: bool,
}

/// A node.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Node {
    /// Its law among the line's.
    law: u16,
    mass_kg: f64,
    pressure_pa: f64,
    inflow_kg_s: f64,
    /// Sum of 1 over the inertance of its links, m.
    give_m: f64,
}

/// An opening to atmosphere at a node: a tool, a leak, a torn end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Opening {
    node: u16,
    conductance: Conductance,
    flow_kg_s: f64,
}

/// The line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Line {
    liquid: Liquid,
    laws: Vec<Law>,
    nodes: Vec<Node>,
    links: Vec<Link>,
    /// How fast the layer at the wall follows, of every hose.
    following: Vec<Following>,
    /// The ends first, in their order, then leaks and torn ends as they came.
    openings: Vec<Opening>,
    /// Longest step, s, up to a pressure, Pa.
    longest: (f64, f64),
}

/// Collects nodes and links.
struct Builder {
    volumes: Vec<Vec<Volume>>,
    links: Vec<Link>,
    hoses: u16,
}

impl Builder {
    /// Lays a hose from a node; gives the node at its other end.
    fn lay(&mut self, hose: &HoseSpec, from: usize) -> usize {
        let half = hose.half_cell();
        let mut near = from;
        for cell in 0..hose.cells {
            self.volumes[near].push(half);
            self.volumes.push(vec![half]);
            let far = self.volumes.len() - 1;
            let ends = u8::from(cell == 0) + u8::from(cell + 1 == hose.cells);
            self.links.push(Link {
                from: near as u16,
                to: far as u16,
                hose: self.hoses,
                passage: hose.cell(ends),
                resistance: 0.0,
                flow_kg_s: 0.0,
                layer: Layer::default(),
                parted: false,
            });
            near = far;
        }
        self.hoses += 1;
        near
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
            links: Vec::new(),
            hoses: 0,
        };
        let tee = trunk.iter().fold(0, |at, hose| builder.lay(hose, at));
        let mut ends = Vec::new();
        for (hoses, end_m3) in branches {
            let end = hoses.iter().fold(tee, |at, hose| builder.lay(hose, at));
            builder.volumes[end].push(rigid(*end_m3));
            ends.push(end);
        }
        Self::of(liquid, &builder.volumes, builder.links, &ends)
    }

    /// A single volume: the line of text books, for comparison with closed forms.
    pub fn lumped(liquid: Liquid, volume: Volume) -> Self {
        Self::of(liquid, &[vec![volume]], Vec::new(), &[0])
    }

    fn of(liquid: Liquid, volumes: &[Vec<Volume>], links: Vec<Link>, ends: &[usize]) -> Self {
        let mut kinds: Vec<&[Volume]> = Vec::new();
        let mut laws: Vec<Law> = Vec::new();
        let mut nodes = Vec::new();
        for here in volumes {
            let known = kinds.iter().position(|kind| kind == here);
            let law = known.unwrap_or_else(|| {
                kinds.push(here);
                laws.push(Law::of(&liquid, here));
                laws.len() - 1
            });
            nodes.push(Node {
                law: law as u16,
                mass_kg: laws[law].at_zero_kg(),
                pressure_pa: 0.0,
                inflow_kg_s: 0.0,
                give_m: 0.0,
            });
        }
        for link in &links {
            for node in [link.from, link.to] {
                nodes[usize::from(node)].give_m += 1.0 / link.passage.inertance();
            }
        }
        let openings = ends.iter().map(|&node| Opening {
            node: node as u16,
            conductance: Conductance(0.0),
            flow_kg_s: 0.0,
        });
        let mut line = Self {
            liquid,
            laws,
            nodes,
            following: vec![Following::default(); links.iter().map(|l| l.hose + 1).max().unwrap_or(0).into()],
            links,
            openings: openings.collect(),
            longest: (0.0, 0.0),
        };
        line.find_longest_step(0.0);
        line
    }

    /// The same line at rest under one pressure throughout.
    pub fn at_pressure(mut self, pressure_pa: f64) -> Self {
        for node in &mut self.nodes {
            node.mass_kg = self.laws[usize::from(node.law)].mass_kg(pressure_pa);
            node.pressure_pa = pressure_pa;
        }
        self.find_longest_step(pressure_pa);
        self
    }

    /// The same line with one flow through every link, kg/s.
    pub fn flowing(mut self, flow_kg_s: f64) -> Self {
        for link in &mut self.links {
            link.flow_kg_s = flow_kg_s;
        }
        self
    }

    /// Pressure at the manifold, Pa.
    pub fn head_pa(&self) -> f64 {
        self.nodes.first().map_or(0.0, |node| node.pressure_pa)
    }

    /// Pressure at the first tool, Pa.
    pub fn end_pa(&self) -> f64 {
        self.opening_pa(0)
    }

    /// Pressure before an opening, Pa: the tools first, in their order, then what was added.
    pub fn opening_pa(&self, opening: usize) -> f64 {
        let at = self.openings.get(opening).map(|o| usize::from(o.node));
        at.map_or(0.0, |node| self.nodes[node].pressure_pa)
    }

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
            node: node.min(self.nodes.len() - 1) as u16,
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
    /// back.
    pub fn part(&mut self, link: usize) -> Option<(usize, usize)> {
        let torn = self.links.get_mut(link).filter(|link| !link.parted)?;
        torn.parted = true;
        torn.flow_kg_s = 0.0;
        let torn = *torn;
        let bore = round_area_m2(torn.passage.bore_m);
        let free = Conductance::of_opening(1.0, bore, self.liquid.atmospheric_density());
        Some((
            self.leak(usize::from(torn.from), free),
            self.leak(usize::from(torn.to), free),
        ))
    }

    /// Pressures along the line, Pa: manifold, then every node as it was laid.
    pub fn pressures_pa(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.nodes.iter().map(|node| node.pressure_pa)
    }

    /// Mass flows through the cells as they were laid, kg/s, half a step ago.
    pub fn flows_kg_s(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.links.iter().map(|link| link.flow_kg_s)
    }

    /// Mass in the line, kg.
    pub fn mass_kg(&self) -> f64 {
        self.nodes.iter().map(|node| node.mass_kg).sum()
    }

    /// Takes friction factors anew at the present flows and at the water's temperature.
    pub fn refresh_friction(&mut self, water: &Water) {
        for link in &mut self.links {
            let ends = [link.from, link.to].map(|node| self.nodes[usize::from(node)].pressure_pa);
            let pressure = 0.5 * (ends[0] + ends[1]).max(0.0);
            let viscosity = water.viscosity(ATMOSPHERE_PA + pressure);
            let density = self.liquid.density(pressure);
            link.resistance = link.passage.resistance(link.flow_kg_s, density, viscosity);
            self.following[usize::from(link.hose)].renew(viscosity / density, link.passage.bore_m);
        }
    }

    /// Sets one friction factor and density for all of the line, for comparison with text books.
    pub fn with_friction(mut self, darcy: f64, density: f64) -> Self {
        for link in &mut self.links {
            link.resistance = link.passage.resistance_of(darcy, density);
        }
        self
    }

    /// Steps the line: `inflow` enters at the manifold (kg/s), `head` are the openings there
    /// besides the tools' and leaks.
    pub fn step(&mut self, dt_s: f64, inflow_kg_s: f64, head: &mut impl Openings) {
        let parts = libm::ceil(dt_s / self.longest.0 * (1.0 - 1.0e-9)).clamp(1.0, MAX_PARTS);
        let part_s = (dt_s / parts).min(self.longest.0);
        for opening in &mut self.openings {
            opening.flow_kg_s = 0.0;
        }
        for _ in 0..parts as u32 {
            self.part_step(part_s, inflow_kg_s, head, 1.0 / parts);
        }
    }

    fn part_step(
        &mut self,
        dt_s: f64,
        inflow_kg_s: f64,
        head: &mut impl Openings,
        weight: f64,
    ) {
        for node in &mut self.nodes {
            node.inflow_kg_s = 0.0;
        }
        self.nodes[0].inflow_kg_s = inflow_kg_s;
        for following in &mut self.following {
            following.at_step(dt_s);
        }
        for link in &mut self.links {
            let (from, to) = (usize::from(link.from), usize::from(link.to));
            if link.parted {
                continue;
            }
            let inertia = link.passage.inertance() / dt_s;
            let drop = self.nodes[from].pressure_pa - self.nodes[to].pressure_pa;
            let following = &self.following[usize::from(link.hose)];
            let layer = link.layer.drag(following) * link.passage.inertance();
            let opposing = inertia + link.resistance * link.flow_kg_s.abs();
            let flow = (inertia * link.flow_kg_s + drop - layer) / opposing;
            link.layer.follow(following, flow - link.flow_kg_s);
            link.flow_kg_s = flow;
            self.nodes[from].inflow_kg_s -= link.flow_kg_s;
            self.nodes[to].inflow_kg_s += link.flow_kg_s;
        }
        self.drain_head(dt_s, head, weight);
        for first in 0..self.openings.len() {
            self.drain_from(first, dt_s, weight);
        }
        let mut highest_pa: f64 = 0.0;
        for node in &mut self.nodes {
            node.mass_kg += node.inflow_kg_s * dt_s;
            node.pressure_pa = self.laws[usize::from(node.law)].pressure_pa(node.mass_kg);
            highest_pa = highest_pa.max(node.pressure_pa);
        }
        let reach_pa = self.longest.1;
        let much_lower = reach_pa.is_finite() && 4.0 * (highest_pa + HEAD_ROOM.1) < reach_pa;
        if highest_pa > reach_pa || much_lower {
            self.find_longest_step(highest_pa);
        }
    }

    /// What leaves at the manifold, where a tool or a leak may stand as well.
    fn drain_head(&mut self, dt_s: f64, head: &mut impl Openings, weight: f64) {
        let mut both = Beside {
            head: head.clone(),
            others: self.open_at(0),
            others_kg_s: 0.0,
        };
        let node = self.nodes[0];
        let out = self.filling(&node).drain(&mut both, dt_s, weight);
        *head = both.head;
        self.share_out(0, both.others_kg_s);
        self.nodes[0].inflow_kg_s -= out;
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
        let node = self.nodes[usize::from(at)];
        let out = self.filling(&node).drain(&mut open, dt_s, weight);
        self.share_out(at, out * weight);
        self.nodes[usize::from(at)].inflow_kg_s -= out;
    }

    fn filling(&self, node: &Node) -> Filling<'_> {
        Filling {
            law: &self.laws[usize::from(node.law)],
            mass_kg: node.mass_kg,
            pressure_pa: node.pressure_pa,
            inflow_kg_s: node.inflow_kg_s,
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
            let here = self.openings.iter_mut().filter(|opening| opening.node == node);
            for opening in here {
                opening.flow_kg_s += flow_kg_s * opening.conductance.0 / all;
            }
        }
    }

    /// The longest step that is stable, from the node that answers fastest: the eigenvalues of the
    /// chain are at most twice the greatest of (sum of links' give) over (node's storage), by
    /// Gershgorin's theorem, and the leap-frog needs `dt^2 lambda <= 4`.
    fn find_longest_step(&mut self, pressure_pa: f64) {
        let reach_pa = match self.liquid {
            Liquid::Water(_) => pressure_pa.max(0.0) * HEAD_ROOM.0 + HEAD_ROOM.1,
            Liquid::Proportional { .. } => f64::INFINITY,
        };
        let mut fastest: f64 = 0.0;
        for node in &self.nodes {
            let law = &self.laws[usize::from(node.law)];
            let mass = if reach_pa.is_finite() {
                law.mass_kg(reach_pa).min(law.top_kg())
            } else {
                law.at_zero_kg()
            };
            fastest = fastest.max(node.give_m * law.pressure_and_slope(mass).1);
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
