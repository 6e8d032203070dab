//! The hose between pump and tool: what holds its ends, what pushes at them, and what it
//! does to the hands.
//!
//! It is fast to the coupling at the pump, and ends where the tool is: in the stand, in the
//! hands, or on the ground, where the lance lies loose and goes on as a part of the rod. Where
//! a coupling parts, a stub of one segment stays behind, and the water that leaves both ends
//! pushes them about; a whip restraint that is clipped there holds them together.

use crate::machine::Station;
use crate::people::Person;
use crate::tool::{At, Tool};
use crate::yard::Place;
use bevy::ecs::resource::Resource;
use crew::Control;
use glam::DVec3;
use hydraulics::{Instant, TornEnd};
use mechanics::rod::{TailSpec, Tip};
use mechanics::tether::{Tether, TetherSpec};
use mechanics::whip::{FastTo, Ledger, Outflow, Parting, stored_j};
use mechanics::{Rod, RodEnd};
use serde::{Deserialize, Serialize};
use training::{Assumptions, Event};

/// The hose.
#[derive(Resource, Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hose {
    /// The hose as a rod, with the lance at its end where that lies loose there.
    pub rod: Rod,
    /// Where its couplings have parted: at the pump, at the gun.
    parted: [Option<Parted>; 2],
}

/// A coupling that has parted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Parted {
    /// What stayed behind with what does not let go: at the gun with the lance at its end
    /// where that lies loose.
    stub: Rod,
    parting: Parting,
    /// Pressure there when it parted, pascals. While the ends are still face to face it goes on
    /// between them; the circuit, which knows of no gap, has it fall at once.
    before_pa: f64,
    /// That its restraint has held was told.
    told: bool,
}

/// A lance on the ground that moves faster than this thrashes about, metres per second.
const WILD_M_S: f64 = 1.0;
/// A coupling and the sleeve behind it keep so many nodes of the hose from being bent by what lies
/// further on (a choice of this project).
const STIFF_NODES: usize = 1;

const AT_PUMP: usize = 0;
const AT_GUN: usize = 1;

/// The water that the hose has in it in a round.
#[derive(Clone, Copy, Debug)]
pub struct Fill {
    /// Mean pressure, pascals.
    pub pressure_pa: f64,
    /// Mass flow through it, kilograms per second.
    pub mass_flow_kg_s: f64,
    /// Thrust of the tool, newtons.
    pub thrust_n: f64,
}

/// What the hose and the tool do to the hands in a round, newtons.
#[derive(Clone, Copy, Debug, Default)]
pub struct Load {
    /// What lasts when the trigger is let go: the pull of the hose.
    pub lasting_n: DVec3,
    /// All of it.
    pub all_n: DVec3,
    /// Pull in the whip restraints, the greatest of the round.
    pub restraint_n: f64,
}

/// Motion of hoses that have parted, and what there is to move them, joules.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Whip {
    /// Energy of motion of hose, stubs and loose lance.
    pub moving_j: f64,
    /// Their energy of position above the ground, and of bends and stretch.
    pub held_j: f64,
    /// Where the energy of the water went.
    pub ledger: Ledger,
}

/// The most that a hose pulls at a hand that takes the tool up or lays it down,
/// newtons (a choice of this project).
const CARRY_MOST_N: f64 = 30.0;
/// Bending stiffness of a lance, newton square metres: a steel tube of 20 mm with walls of 5 mm (closed
/// form of a tube, steel of 200 GPa). It is stiff beside any hose, and more would change nothing.
const LANCE_N_M2: f64 = 1500.0;
/// Radius of a lance that lies about, metres.
const LANCE_RADIUS_M: f64 = 0.017;
/// Damping of a whip restraint that is taut, newton seconds per metre (a choice of this project: a
/// tenth of what would keep its end from springing back).
const RESTRAINT_N_S_M: f64 = 60.0;
/// A restraint that is whole so long after a parting has held, seconds.
const HELD_S: f64 = 0.5;

impl Hose {
    /// A whole hose.
    pub fn whole(rod: Rod) -> Self {
        Hose {
            rod,
            parted: [None, None],
        }
    }

    /// Where its own end at the pump or at the gun is and the way that water leaves it, once
    /// that has parted.
    pub fn torn_end(&self, at_pump: bool) -> Option<(DVec3, DVec3)> {
        let (which, tip) = if at_pump {
            (AT_PUMP, Tip::Start)
        } else {
            (AT_GUN, Tip::End)
        };
        self.parted[which].as_ref()?;
        Some((self.rod.tip_position(tip), self.rod.outward(tip)))
    }

    /// Where a hole in it is, halfway along, and the way that its jet goes: up, to the side and a
    /// little along (a choice of this project).
    pub fn hole(&self) -> (DVec3, DVec3) {
        let nodes = self.rod.hose_nodes();
        let middle = nodes.len() / 2;
        let way = (nodes[middle] - nodes[middle - 1]).normalize_or(DVec3::X);
        let side = way.cross(DVec3::Y).normalize_or(DVec3::Z);
        // Towards who stands at the panel, where that is to one side.
        let side = if side.z < 0.0 { -side } else { side };
        let out = DVec3::Y + 0.75 * side + 0.15 * way;
        (nodes[middle], out.normalize())
    }

    /// The stub that stayed behind at the pump or at the gun.
    pub fn stub(&self, at_pump: bool) -> Option<&Rod> {
        let which = if at_pump { AT_PUMP } else { AT_GUN };
        self.parted[which].as_ref().map(|parted| &parted.stub)
    }

    /// A restraint of that coupling that was clipped when it parted, and whether it holds.
    pub fn restrained(&self, at_pump: bool) -> Option<bool> {
        let which = if at_pump { AT_PUMP } else { AT_GUN };
        let tether = self.parted[which].as_ref()?.parting.tether()?;
        Some(!tether.is_broken())
    }

    /// The rod that ends at the tool.
    fn of_tool(&mut self) -> &mut Rod {
        match &mut self.parted[AT_GUN] {
            Some(parted) => &mut parted.stub,
            None => &mut self.rod,
        }
    }

    /// All of it that may move by itself, hose and stubs with the lance where that is loose, and
    /// whether it ends at the tool.
    pub fn rods(&self) -> impl Iterator<Item = (&Rod, bool)> {
        let [at_pump, at_gun] = &self.parted;
        let hose = (&self.rod, at_gun.is_none());
        let at_pump = at_pump.iter().map(|parted| (&parted.stub, false));
        let at_gun = at_gun.iter().map(|parted| (&parted.stub, true));
        core::iter::once(hose).chain(at_pump).chain(at_gun)
    }

    /// Whether an end of it, or the lance at its end, is in nobody's hands.
    pub fn is_loose(&self) -> bool {
        self.parted.iter().any(Option::is_some) || self.rod.tail().is_some()
    }

    /// Whether it is bent somewhere tighter than it stands, apart from where it comes out of a coupling.
    pub fn is_kinked(&self) -> bool {
        let spec = self.rod.spec();
        let l = spec.segment_m();
        let nodes = self.rod.hose_nodes();
        let inner = nodes.len().saturating_sub(2 * STIFF_NODES);
        let tight = libm::cos(l / spec.min_bend_radius_m.max(l));
        nodes
            .windows(3)
            .skip(STIFF_NODES)
            .take(inner.saturating_sub(2))
            .any(|w| {
                let (a, b) = (w[1] - w[0], w[2] - w[1]);
                a.dot(b) < tight * (a.length_squared() * b.length_squared()).sqrt()
            })
    }

    /// Speed of the fastest loose end, metres per second: 0 where none is loose.
    pub fn end_speed_m_s(&self) -> f64 {
        let mut fastest = 0.0_f64;
        let mut see = |rod: &Rod, tip| fastest = fastest.max(rod.tip_velocity(tip).length());
        if self.parted[AT_PUMP].is_some() {
            see(&self.rod, Tip::Start);
        }
        if self.parted[AT_GUN].is_some() {
            see(&self.rod, Tip::End);
        }
        for (rod, _) in self.rods().filter(|(rod, _)| rod.tail().is_some()) {
            see(rod, Tip::End);
        }
        fastest
    }

    /// Where an end is that has parted, or the tip of a loose lance that does not lie still.
    pub fn wild_end(&self) -> Option<DVec3> {
        let torn = [true, false]
            .into_iter()
            .find_map(|at_pump| self.torn_end(at_pump));
        let lance = || {
            let loose = self.rods().map(|(rod, _)| rod);
            let loose = loose.filter(|rod| rod.tail().is_some());
            let wild = |rod: &&Rod| rod.tip_velocity(Tip::End).length() > WILD_M_S;
            let mut tips = loose.filter(wild).map(|rod| rod.tip_position(Tip::End));
            tips.next()
        };
        torn.map(|(at, _)| at).or_else(lance)
    }

    /// The motion there is with a pressure in it, pascals, and what there was to be had for it.
    pub fn whip(&self, pressure_pa: f64) -> Whip {
        let mut whip = Whip::default();
        for (rod, _) in self.rods() {
            whip.moving_j += rod.kinetic_j();
            whip.held_j += rod.energy_j(pressure_pa) - rod.kinetic_j();
        }
        for parted in self.parted.iter().flatten() {
            let ledger = parted.parting.ledger();
            whip.ledger.stored_j += ledger.stored_j;
            whip.ledger.pump_j += ledger.pump_j;
            whip.ledger.jet_j += ledger.jet_j;
            whip.ledger.thrust_j += ledger.thrust_j;
            whip.ledger.piston_j += ledger.piston_j;
        }
        whip
    }

    /// Parts what the circuit says has parted.
    pub fn part(
        &mut self,
        now: &Instant,
        before_pa: f64,
        place: &Place,
        station: &Station,
        happened: &mut Vec<Event>,
    ) {
        let couplings = [
            (now.torn.at_pump, AT_PUMP, Control::PumpRestraint),
            (now.torn.at_gun, AT_GUN, Control::GunRestraint),
        ];
        for (torn, which, restraint) in couplings {
            if torn.is_none() || self.parted[which].is_some() {
                continue;
            }
            let node = if which == AT_PUMP { 1 } else { usize::MAX };
            let spec = self.rod.spec();
            let volume_m3 = spec.bore_area_m2() * spec.length_m;
            let stored_j = stored_j(before_pa, volume_m3, place.hose_modulus_pa);
            // The catalogue's hoses are longer than one segment.
            let Some(mut other) = self.rod.part(node) else {
                debug_assert!(false, "a hose of one segment");
                continue;
            };
            if which == AT_PUMP {
                core::mem::swap(&mut self.rod, &mut other);
            }
            let clipped = station.is_on(restraint);
            let tether = place.restraint.as_ref().filter(|_| clipped).and_then(|r| {
                Tether::new(TetherSpec {
                    slack_m: r.slack_m,
                    stiffness_n_per_m: r.stiffness_n_m,
                    damping_n_s_per_m: RESTRAINT_N_S_M,
                    strength_n: r.strength_n.min(r.anchor_n),
                })
                .ok()
            });
            let tether = tether.map(|tether| (tether, FastTo::OtherHalf));
            self.parted[which] = Some(Parted {
                parting: Parting::new(stored_j, tether),
                before_pa,
                stub: other,
                told: false,
            });
            happened.push(Event::Parted {
                pump_end: which == AT_PUMP,
            });
        }
    }

    /// Moves hose, stubs and loose lance by a round, with the water as it is now, and says what
    /// pulls at who holds the tool.
    #[allow(clippy::too_many_arguments)] // what meets in a hose
    pub fn round(
        &mut self,
        dt_s: f64,
        now: &Instant,
        fill: Fill,
        tool: &mut Tool,
        person: &mut Person,
        place: &Place,
        happened: &mut Vec<Event>,
    ) -> Load {
        self.follow_the_tool(tool, person, place);
        let aim = tool.points(person);
        let hand = tool.way();
        let pull = self.pull(person, &place.assumptions);
        let coupling = RodEnd::Fixed(place.coupling, place.coupling_out);
        let held = RodEnd::Held {
            pos: tool.grip(person),
            vel: person.body.pose().hands_velocity * hand,
            dir: aim,
        };
        let loose = self.of_tool().tail().is_some();
        let at_tool = if loose { RodEnd::Free } else { held };
        let parts = self.substeps_wanted(dt_s);
        let part_s = dt_s / parts as f64;
        let mut load = Load::default();
        let mut hose_n = DVec3::ZERO;
        for _ in 0..parts {
            if loose {
                self.of_tool().thrust(Tip::End, fill.thrust_n);
            }
            load.restraint_n = load.restraint_n.max(self.push(part_s, now, happened));
            let [parted_pump, parted_gun] = &mut self.parted;
            let ground = &place.ground;
            let mut start = coupling;
            let mut end = at_tool;
            let mut pressure_pa = fill.pressure_pa;
            if let Some(parted) = parted_pump {
                start = RodEnd::Free;
                pressure_pa = pressure_of(now.torn.at_pump);
                let stub = &mut parted.stub;
                stub.substep(part_s, coupling, RodEnd::Free, 0.0, 0.0, ground);
            }
            if let Some(parted) = parted_gun {
                end = RodEnd::Free;
                pressure_pa = pressure_of(now.torn.at_gun);
                let stub = &mut parted.stub;
                let forces = stub.substep(part_s, RodEnd::Free, at_tool, 0.0, 0.0, ground);
                hose_n += forces.end_force / parts as f64;
            }
            let flow = fill.mass_flow_kg_s;
            let forces = self
                .rod
                .substep(part_s, start, end, pressure_pa, flow, ground);
            if parted_gun.is_none() {
                hose_n += forces.end_force / parts as f64;
            }
        }
        if let Some((grip, _, dir)) = self.of_tool().tail() {
            tool.lie(grip, dir);
            hose_n = DVec3::ZERO;
        }
        // In its stand the tool pushes on the stand.
        // A hand that carries gives way before it is pulled over.
        if !tool.is_held() {
            hose_n = hose_n.clamp_length_max(CARRY_MOST_N);
        }
        load.lasting_n = hose_n * hand - pull;
        load.all_n = load.lasting_n - aim * fill.thrust_n * hand;
        load
    }

    fn substeps_wanted(&self, dt_s: f64) -> usize {
        let [pump, gun] = &self.parted;
        let at_pump = pump
            .as_ref()
            .map(|p| p.parting.substeps_wanted(&p.stub, &self.rod, dt_s));
        let at_gun = gun
            .as_ref()
            .map(|p| p.parting.substeps_wanted(&self.rod, &p.stub, dt_s));
        let moves = self.rods().map(|(rod, _)| rod.substeps_wanted(dt_s));
        moves.chain(at_pump).chain(at_gun).max().unwrap_or(1)
    }

    /// Pushes the ends that have parted by the water that leaves them, and says how hard a
    /// restraint pulls.
    fn push(&mut self, dt_s: f64, now: &Instant, happened: &mut Vec<Event>) -> f64 {
        let pump_w = now.pump_pressure_pa.max(0.0) * now.pump_flow_m3_s.max(0.0);
        let mut most_n = 0.0_f64;
        for (which, torn) in [now.torn.at_pump, now.torn.at_gun].into_iter().enumerate() {
            let (Some(parted), Some(torn)) = (&mut self.parted[which], torn) else {
                continue;
            };
            let of_hose = Outflow {
                pressure_pa: torn.pressure_pa,
                mass_flow_kg_s: torn.mass_flow_kg_s,
            };
            let of_stub = Outflow {
                pressure_pa: parted.before_pa,
                mass_flow_kg_s: torn.other_kg_s,
            };
            let Parted {
                stub,
                parting,
                told,
                ..
            } = parted;
            let pushed = if which == AT_PUMP {
                let out = [of_stub, of_hose];
                parting.push(dt_s, stub, &mut self.rod, out, pump_w)
            } else {
                let out = [of_hose, of_stub];
                parting.push(dt_s, &mut self.rod, stub, out, pump_w)
            };
            most_n = most_n.max(pushed.pull.load_n);
            let pump_end = which == AT_PUMP;
            if pushed.pull.broke {
                *told = true;
                happened.push(Event::RestraintBroke { pump_end });
            }
            if !*told && parting.age_s() > HELD_S {
                *told = true;
                if parting.tether().is_some() {
                    happened.push(Event::RestraintHeld { pump_end });
                }
            }
        }
        most_n
    }

    /// Lets the lance lie loose at the end of its hose once nobody holds it any more, and
    /// takes it off when somebody does.
    fn follow_the_tool(&mut self, tool: &Tool, person: &Person, place: &Place) {
        let rod = self.of_tool();
        let loose = rod.tail().is_some();
        if loose && tool.at != At::Ground {
            rod.take_up();
        }
        if !loose && tool.at == At::Ground && tool.way() <= 0.0 {
            let lance = &place.lance;
            let tail = TailSpec {
                length_m: lance.tip_to_trigger_m,
                mass_kg: lance.mass_kg,
                bending_stiffness_n_m2: LANCE_N_M2,
                outer_radius_m: LANCE_RADIUS_M,
            };
            let let_go = rod.let_go(&tail, tool.points(person), tool.takes_along(), DVec3::ZERO);
            // The catalogue's lances are within the bounds of a tail.
            debug_assert!(let_go.is_ok(), "{tail:?}");
        }
    }

    /// Pulls the hose towards the hand that holds it, and says with what force.
    fn pull(&mut self, person: &mut Person, a: &Assumptions) -> DVec3 {
        let Some(node) = person.hands.hose else {
            return DVec3::ZERO;
        };
        let (Some(at), Some(velocity)) = (
            self.rod.hose_nodes().get(node).copied(),
            self.rod.velocities().get(node).copied(),
        ) else {
            person.hands.hose = None;
            return DVec3::ZERO;
        };
        let mut hand = person.body.hands();
        hand.y = hand.y.min(PULL_HEIGHT_M);
        let off = hand - at;
        if off.length() > PULL_LOST_M + PULL_HEIGHT_M {
            person.hands.hose = None;
            return DVec3::ZERO;
        }
        let damping = (person.body.pose().hands_velocity - velocity) * a.pull_n_s_m;
        let force = (off * a.pull_n_m + damping).clamp_length_max(a.pull_most_n);
        self.rod.push(node, force);
        force
    }
}

fn pressure_of(torn: Option<TornEnd>) -> f64 {
    torn.map_or(0.0, |torn| torn.pressure_pa.max(0.0))
}

/// A hose that has got away from the hand by so much is lost, metres.
const PULL_LOST_M: f64 = 0.6;
/// A held hose is lifted no higher than this, metres.
const PULL_HEIGHT_M: f64 = 0.6;
