//! Water, hose and bodies in one loop of substeps.
//!
//! A tick has [`ROUNDS`] rounds. In each, the circuit makes two substeps, then
//! the hose one with the pressure and flow it was given, then the bodies one
//! with the thrust of the jet and the pull of the hose summed into one load.

use crate::faults::Faults;
use crate::hose::{Fill, Hose};
use crate::machine::{Needle, Pressed, Station, Water, controls};
use crate::people::Person;
use crate::physics::Underfoot;
use crate::tool::Tool;
use crate::yard::{Happened, Measured, Place};
use bevy::ecs::resource::Resource;
use bevy::ecs::system::{Query, Res, ResMut};
use crew::tick::TICK_S;
use crew::{Fault, Seat};
use glam::DVec3;
use hydraulics::{HoseEnd, Instant};
use mechanics::BodyEvents;
use training::{Event, Raw};

/// Rounds in a tick: the hose and the bodies step by 1/480 s.
pub const ROUNDS: usize = 4;
/// Substeps of the circuit in a round: the water steps by 1/960 s.
const WATER_PER_ROUND: usize = 2;

/// Below this speed an engine that runs down counts as standing, radians per
/// second.
const STOOD_RAD_S: f64 = 1.0;

const ROUND_S: f64 = TICK_S / ROUNDS as f64;
const WATER_S: f64 = ROUND_S / WATER_PER_ROUND as f64;

/// Least, mean and greatest of a value that moves within a tick.
#[derive(Clone, Copy, Debug, Default)]
pub struct Swing {
    count: u32,
    sum: f64,
    min: f64,
    max: f64,
}

impl Swing {
    fn take(&mut self, value: f64) {
        if self.count == 0 {
            self.min = value;
            self.max = value;
        }
        self.count += 1;
        self.sum += value;
        self.min = self.min.min(value);
        self.max = self.max.max(value);
    }

    /// The value as a channel takes it, times `scale`.
    pub fn raw(&self, scale: f64) -> Raw {
        Raw {
            min: self.min * scale,
            mean: self.mean() * scale,
            max: self.max * scale,
        }
    }

    /// Mean over the tick.
    pub fn mean(&self) -> f64 {
        if self.count == 0 {
            0.0
        } else {
            self.sum / f64::from(self.count)
        }
    }
}

/// What the loop of substeps measured in one tick, in SI units.
#[derive(Clone, Debug, Default)]
pub struct Flows {
    /// Pressure at the pump's outlet.
    pub pump_pa: Swing,
    /// Pressure at the inlet of the gun.
    pub gun_pa: Swing,
    /// Flow out of the tool, at suction density.
    pub tool_m3_s: Swing,
    /// Flow through the bypass.
    pub bypass_m3_s: Swing,
    /// Mass flow out of the tool.
    pub mass_kg_s: Swing,
    /// Thrust of the jet on the tool.
    pub thrust_n: Swing,
    /// Pressure before the valve of the second tool.
    pub pedal_pa: Swing,
    /// Flow out of the second tool.
    pub pedal_m3_s: Swing,
    /// The circuit at the end of the tick.
    pub end: Instant,
    /// Stretch of the worst segment of the hose, metres.
    pub stretch_m: Swing,
    /// Load on the lance hand at the end of the tick.
    pub load_n: f64,
    /// Pull in the whip restraints.
    pub restraint_n: Swing,
    /// Speed of loose ends.
    pub end_speed_m_s: Swing,
}

/// Times the parts of a tick by a clock that the caller lends. What it reads
/// goes into nothing but its own sums.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub struct Meter {
    /// A clock in nanoseconds; without one nothing is timed.
    pub clock_ns: Option<fn() -> u64>,
    /// Ticks that were timed.
    pub ticks: u64,
    /// Time in the circuit.
    pub hydraulics_ns: u64,
    /// Time in the hose and the bodies.
    pub bodies_ns: u64,
    /// Time in all.
    pub total_ns: u64,
}

impl Meter {
    /// Present time of the clock, if there is one.
    pub fn now(&self) -> u64 {
        self.clock_ns.map_or(0, |clock| clock())
    }
}

/// Steps water, hose and bodies through one tick.
#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
pub fn flow(
    place: Res<Place>,
    station: Res<Station>,
    faults: Res<Faults>,
    mut tool: ResMut<Tool>,
    mut water: ResMut<Water>,
    mut hose: ResMut<Hose>,
    mut needle: ResMut<Needle>,
    mut measured: ResMut<Measured>,
    mut happened: ResMut<Happened>,
    mut meter: ResMut<Meter>,
    mut people: Query<&mut Person>,
) {
    let mut people: Vec<_> = people.iter_mut().collect();
    people.sort_by_key(|p| p.seat);
    let squeeze = |seat| {
        let person = people.iter().find(|p| p.seat == seat);
        person.map_or(0.0, |p| p.hands.squeeze)
    };
    let pressed = Pressed {
        trigger: if tool.tied { 1.0 } else { squeeze(Seat::LANCE) },
        pedal: squeeze(Seat::MATE),
        second: place.second.as_ref().map_or(HoseEnd::Blocked, |second| {
            HoseEnd::Nozzle(second.nozzle.water)
        }),
    };
    let opening = water.circuit.state().dump.opening;
    let torn = water.circuit.state().burst_disc.burst;
    let asked = controls(&station, &tool, &place.nozzles, &faults, pressed, opening);
    let mut flows = Flows::default();
    let mut events = vec![BodyEvents::default(); people.len()];

    water.circuit.begin_tick();
    for _ in 0..ROUNDS {
        let began_ns = meter.now();
        let before_pa = water.circuit.state().line.head_pa();
        let mut thrust_n = 0.0;
        let mut pressure_pa = 0.0;
        let mut mass_flow = 0.0;
        for _ in 0..WATER_PER_ROUND {
            let now = water.circuit.substep(&asked, WATER_S);
            flows.pump_pa.take(now.pump_pressure_pa);
            flows.gun_pa.take(now.gun_pressure_pa);
            flows.tool_m3_s.take(now.nozzle_flow_m3_s);
            flows.bypass_m3_s.take(now.bypass_flow_m3_s);
            flows.mass_kg_s.take(now.nozzle_mass_flow_kg_s);
            flows.thrust_n.take(now.thrust_n);
            flows.pedal_pa.take(now.second.pressure_pa);
            let pedal_kg_s = now.second.nozzle_mass_flow_kg_s;
            flows
                .pedal_m3_s
                .take(pedal_kg_s / now.suction_density_kg_m3);
            let share = 1.0 / WATER_PER_ROUND as f64;
            thrust_n += share * now.thrust_n;
            pressure_pa += share * 0.5 * (now.pump_pressure_pa + now.gun_pressure_pa);
            mass_flow += share * now.nozzle_mass_flow_kg_s;
            flows.end = now;
        }
        let water_done_ns = meter.now();
        hose.part(&flows.end, before_pa, &place, &station, &mut happened.0);
        for (person, event) in people.iter_mut().zip(&mut events) {
            let easing = person.hands.squeeze <= 0.0 && !tool.tied;
            person.gait.one_hand = person.hands.holding.is_some() || person.hands.hose.is_some();
            let mut intent = person.gait.intent(TICK_S, easing);
            let load = if person.seat == Seat::LANCE {
                tool.substep(ROUND_S, person, thrust_n);
                let fill = Fill {
                    pressure_pa,
                    mass_flow_kg_s: mass_flow,
                    thrust_n,
                };
                let load = hose.round(
                    ROUND_S,
                    &flows.end,
                    fill,
                    &mut tool,
                    person,
                    &place,
                    &mut happened.0,
                );
                flows.restraint_n.take(load.restraint_n);
                flows.end_speed_m_s.take(hose.end_speed_m_s());
                intent.lasting_n = load.lasting_n;
                // The pressure is known: every step of it was called.
                let gun_pa = flows.end.gun_pressure_pa.max(0.0);
                if thrust_n > FELT_N && gun_pa > FELT_PA {
                    tool.felt_n_pa = thrust_n / gun_pa;
                }
                if person.hands.squeeze > 0.0 {
                    let knows_n = READY_SHARE * tool.felt_n_pa * gun_pa;
                    intent.coming_n = -tool.points(person) * knows_n * tool.way();
                }
                let load = load.all_n;
                flows.stretch_m.take(hose.rod.max_stretch_m());
                flows.load_n = load.length();
                load
            } else {
                DVec3::ZERO
            };
            let underfoot = Underfoot {
                ground: &place.ground,
                hose: hose.rod.hose_nodes(),
            };
            let happened = person.body.substep(ROUND_S, &intent, load, &underfoot);
            event.merge(happened);
        }
        meter.hydraulics_ns += water_done_ns - began_ns;
        meter.bodies_ns += meter.now() - water_done_ns;
    }
    for (person, event) in people.iter_mut().zip(&events) {
        let seat = person.seat;
        let turned = person.gait.turned_rad(TICK_S);
        person.gait.turn_rad -= turned;
        person.dropped_m = person.dropped_m.max(event.dropped_m);
        let lost = event.lost_hold && seat == Seat::LANCE && tool.in_hands();
        if lost {
            person.hands.squeeze = 0.0;
            tool.drop(person);
        }
        for (came, what) in [
            (event.stepped, Event::Stepped { seat }),
            (event.slipped, Event::Slipped { seat }),
            (event.tripped, Event::Tripped { seat }),
            (event.fell, Event::Fell { seat }),
            (lost, Event::LostHold { seat }),
            (lost, Event::Dropped { seat }),
        ] {
            if came {
                happened.0.push(what);
            }
        }
    }

    let end = flows.end;
    if !faults.is_on(Fault::GaugeStuck) {
        needle.follow(&place.gauge, flows.pump_pa.mean(), TICK_S);
    }
    let water = &mut *water;
    water.fuel_kg += TICK_S * end.fuel_rate_kg_s;
    // Running down with the ignition off, an engine still turns the pump.
    let turns = end.engine_running || (water.engine_turns && end.engine_speed_rad_s > STOOD_RAD_S);
    let cranks = asked.starter && !turns;
    let lifts = end.relief_flow_m3_s > 0.0;
    for (came, what) in [
        (cranks && !water.cranks, Event::Cranked),
        (turns && !water.engine_turns, Event::EngineRan),
        (!turns && water.engine_turns, Event::EngineStood),
        (lifts && !water.relief_lifts, Event::ReliefLifted),
        (end.disc_burst && !torn, Event::DiscBurst),
    ] {
        if came {
            happened.0.push(what);
        }
    }
    water.engine_turns = turns;
    water.cranks = cranks;
    water.relief_lifts = lifts;
    measured.0 = flows;
}

/// A thrust, and a pressure at the gun, below which nothing is learned of a tool, newtons
/// and pascals (a choice of this project: what trickles tells nothing).
const FELT_N: f64 = 20.0;
const FELT_PA: f64 = 2e6;
/// Nobody makes ready for all of what they know will come (from memory: adjustments ahead
/// of one's own act take up the greater part of it).
const READY_SHARE: f64 = 0.8;
