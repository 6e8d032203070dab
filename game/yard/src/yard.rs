//! The yard and its tick.

use crate::faults::Faults;
use crate::flow::{self, Flows, Meter};
use crate::hazards;
use crate::hose::{Hose, Whip};
use crate::jets::{self, Aimed};
use crate::machine::{self, Needle, Station};
use crate::noise::{self, Loudness, Noise};
use crate::people::{Gait, Hands, Person, Prop, Voice};
use crate::physics::{Physics, Sets, SiteGround};
use crate::put_up::{body, lay_out, rod_spec, settle};
use crate::senses::{self, Senses};
use crate::surface::{Done, Wall};
use crate::tool::Tool;
use crate::{hands, observe};
use bevy::ecs::resource::Resource;
use bevy::ecs::schedule::{
    IntoScheduleConfigs, LogLevel, Schedule, ScheduleBuildSettings, SingleThreadedExecutor,
};
use bevy::ecs::system::{Query, ResMut};
use bevy::ecs::world::World;
use crew::tick::TICK_S;
use crew::{Input, Percepts, Seat, TICKS_PER_SECOND, Tick};
use glam::DVec3;
use hydraulics::Circuit;
use hydraulics::units::Temperature;
use mechanics::Rod;
use serde::{Deserialize, Serialize};
use training::channels::NotMeasurable;
use training::level::{Gauge, Lance, Site};
use training::{Assumptions, Event, Level, Observation, Observer};

/// Ticks from one keyframe to the next.
pub const KEYFRAME_TICKS: u32 = 30 * TICKS_PER_SECOND;

/// The tick that is being made.
#[derive(Resource, Clone, Copy, Default)]
pub struct Now(pub Tick);

/// The inputs of this tick.
#[derive(Resource, Default)]
pub struct Inbox(pub Vec<Input>);

/// What has happened in this tick so far.
#[derive(Resource, Default)]
pub struct Happened(pub Vec<Event>);

/// The latest observation.
#[derive(Resource)]
pub struct Last(pub Observation);

/// What the loop of substeps measured in this tick.
#[derive(Resource, Default)]
pub struct Measured(pub Flows);

/// Turns what is measured into observations.
#[derive(Resource, Default)]
pub struct Watching(pub Observer);

/// Something could not be measured: the attempt is void.
#[derive(Resource, Default)]
pub struct Fault(pub Option<NotMeasurable>);

/// The job was handed back.
#[derive(Resource, Clone, Copy, Default)]
pub struct Over(pub bool);

/// What does not change during an attempt.
#[derive(Resource, Clone, Debug)]
pub struct Place {
    /// The site of the level.
    pub site: Site,
    /// The ground and the walls.
    pub ground: SiteGround,
    /// The gauge at the pump.
    pub gauge: Gauge,
    /// The nozzles at the lance post.
    pub nozzles: Vec<training::level::Nozzle>,
    /// The second tool.
    pub second: Option<training::level::Second>,
    /// The lance.
    pub lance: Lance,
    /// What is taken for granted about people, tools and hoses.
    pub assumptions: Assumptions,
    /// Density of the water without pressure, kilograms per cubic metre.
    pub density_kg_m3: f64,
    /// What holds the ends of a hose whose coupling parts, where it is clipped.
    pub restraint: Option<training::level::Restraint>,
    /// How stiff water and wall of the hose are together against being filled further, pascals.
    pub hose_modulus_pa: f64,
    /// How loud things are.
    pub loudness: Loudness,
    /// Where the hose leaves the pump.
    pub coupling: DVec3,
    /// Which way it leaves.
    pub coupling_out: DVec3,
    /// Where the tool stands while it is not in the hands.
    pub stand: DVec3,
    /// Which way the tool points in its stand.
    pub stand_out: DVec3,
}

/// A level's equipment does not make a yard.
#[derive(Debug)]
pub enum YardFault {
    /// The circuit refuses its numbers.
    Circuit(Vec<hydraulics::SpecError>),
    /// The hose refuses its numbers or its path.
    Hose(mechanics::RodError),
    /// A person refuses their numbers.
    Person(mechanics::body::BodyError),
    /// The lance refuses its numbers.
    Tool(mechanics::tool::ToolError),
    /// A keyframe cannot be read by this build.
    Keyframe,
}

/// Everything that lives from tick to tick. A copy of it continues as the
/// yard would have.
#[derive(Clone, Serialize, Deserialize)]
pub struct YardState {
    tick: Tick,
    over: bool,
    station: Station,
    tool: Tool,
    water: machine::Water,
    hose: Hose,
    needle: Needle,
    faults: Faults,
    senses: Senses,
    noise: Noise,
    people: Vec<Person>,
    observer: Observer,
    /// What was done to the surface, where there is one.
    done: Option<Done>,
    sets: Sets,
}

impl YardState {
    /// The tick that comes next.
    pub fn tick(&self) -> Tick {
        self.tick
    }

    /// The state as bytes, for a keyframe.
    ///
    /// # Errors
    /// Only if something in it cannot be written, which would be a fault of
    /// this build.
    pub fn to_bytes(&self) -> Result<Vec<u8>, YardFault> {
        postcard::to_stdvec(self).map_err(|_| YardFault::Keyframe)
    }

    /// The state from the bytes of a keyframe of the same build.
    ///
    /// # Errors
    /// Says when the bytes are not a state of this build.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, YardFault> {
        postcard::from_bytes(bytes).map_err(|_| YardFault::Keyframe)
    }
}

/// A yard in which a level is played.
pub struct Yard {
    pub(crate) world: World,
    schedule: Schedule,
}

impl Yard {
    /// Puts up the yard of a level.
    ///
    /// # Errors
    /// A checked level makes a yard; an unchecked one may be refused.
    pub fn new(level: &Level) -> Result<Self, YardFault> {
        let site = &level.site;
        let equipment = &level.equipment;
        let mut spec = equipment.circuit.clone();
        spec.pump.initial_air_fraction = level.start.air_in_head;
        let assumptions = &level.assumptions;
        let second = spec.branch.second.as_mut().map(|second| &mut second.gun);
        for gun in [&mut spec.gun].into_iter().chain(second) {
            gun.seat_loss = assumptions.gun_seat_loss;
            gun.open_passage_coefficient = assumptions.gun_open_cd;
        }
        spec.regulator.jet_angle_cos = assumptions.regulator_jet_cos;
        let mut circuit = Circuit::new(spec, Temperature::from_celsius(level.water_c))
            .map_err(YardFault::Circuit)?;

        let ground = SiteGround::of_site(site);
        let lance_hand = body(&equipment.lance_hand, &site.lance_hand, assumptions)?;
        let (place, path) = lay_out(level, ground, &lance_hand);
        let mut rod = Rod::along(rod_spec(level), &path, &place.ground).map_err(YardFault::Hose)?;
        settle(&mut rod, &place);

        let mut physics = Physics::of_site(site);
        let mut world = World::new();
        let mate = site.second.as_ref().map(|second| second.mate.clone());
        let others = [
            (Seat::WATCH, &site.watch),
            (Seat::VISITOR, &site.visitor),
            (Seat::MATE, &mate),
        ];
        let mut crew = vec![
            (
                Seat::PUMP,
                body(&equipment.pump_hand, &site.pump_hand, assumptions)?,
                level.ppe.pump_hand,
            ),
            (Seat::LANCE, lance_hand, level.ppe.lance_hand),
        ];
        for (seat, standing) in others {
            if let Some(standing) = standing {
                let wears = level.ppe.required;
                crew.push((
                    seat,
                    body(&equipment.pump_hand, standing, assumptions)?,
                    wears,
                ));
            }
        }
        for (seat, body, wears) in crew {
            let [left, right] = body.pose().feet;
            let feet = 0.5 * (left + right);
            let capsule = physics.add_person([feet.x, feet.z]);
            world.spawn(Person {
                seat,
                body,
                was_at: feet,
                speed_m_s: 0.0,
                hurt: None,
                hitting: None,
                dropped_m: 0.0,
                hands: Hands {
                    catch_on: seat == Seat::LANCE,
                    wears,
                    ..Hands::default()
                },
                voice: Voice::default(),
                gait: Gait::default(),
                capsule,
            });
        }
        for prop in &site.props {
            let body = physics.add_prop(prop.at, prop.size, prop.mass_kg);
            world.spawn(Prop {
                id: prop.id.clone(),
                body,
            });
        }
        world.insert_resource(physics);
        let station = Station::at_start(&level.start);
        let tool = Tool::at_start(level, place.stand, place.stand_out).map_err(YardFault::Tool)?;
        if level.start.engine_runs {
            machine::warm_up(&mut circuit, &station, &tool, &place.nozzles);
        }
        world.insert_resource(station);
        world.insert_resource(tool);
        if let Some(surface) = &level.surface {
            world.insert_resource(Wall::new(surface));
        }
        world.init_resource::<Aimed>();
        world.insert_resource(machine::Water {
            circuit,
            engine_turns: level.start.engine_runs,
            cranks: false,
            relief_lifts: false,
            fuel_kg: 0.0,
        });
        world.insert_resource(Hose::whole(rod));
        world.insert_resource(place);
        world.insert_resource(Last(observe::before_the_start()));
        world.init_resource::<Now>();
        world.init_resource::<Inbox>();
        world.init_resource::<Happened>();
        world.init_resource::<Measured>();
        world.init_resource::<Watching>();
        world.init_resource::<Fault>();
        world.init_resource::<Faults>();
        world.init_resource::<Over>();
        world.init_resource::<Needle>();
        world.init_resource::<Senses>();
        world.init_resource::<Noise>();
        world.init_resource::<Meter>();
        Ok(Yard {
            world,
            schedule: schedule(),
        })
    }

    /// One tick: the inputs of this tick in, the observation out. Inputs of
    /// other ticks are not looked at.
    ///
    /// # Errors
    /// Something that scores is no finite number: the attempt is void.
    pub fn step(&mut self, inputs: &[Input]) -> Result<&Observation, NotMeasurable> {
        let now = self.tick();
        let mut inbox = self.world.resource_mut::<Inbox>();
        inbox.0.clear();
        inbox
            .0
            .extend(inputs.iter().filter(|i| i.tick == now).copied());
        let began_ns = self.world.resource::<Meter>().now();
        self.schedule.run(&mut self.world);
        if let Some(fault) = self.world.resource::<Fault>().0 {
            return Err(fault);
        }
        let next = Tick(now.0 + 1);
        self.world.resource_mut::<Now>().0 = next;
        if next.0.is_multiple_of(KEYFRAME_TICKS) {
            self.renew();
        }
        let mut meter = self.world.resource_mut::<Meter>();
        meter.total_ns += meter.now() - began_ns;
        meter.ticks += u64::from(meter.clock_ns.is_some());
        Ok(&self.world.resource::<Last>().0)
    }

    /// The tick that comes next.
    pub fn tick(&self) -> Tick {
        self.world.resource::<Now>().0
    }

    /// The latest observation.
    pub fn observation(&self) -> &Observation {
        &self.world.resource::<Last>().0
    }

    /// What the person on a seat knows before the tick that comes next.
    pub fn percepts(&mut self, seat: Seat) -> Percepts {
        let mut people = self.world.query::<&Person>();
        let world = &self.world;
        let Some(person) = people.iter(world).find(|p| p.seat == seat) else {
            return Percepts::default();
        };
        world.resource::<Senses>().of(
            person,
            world.resource::<Place>(),
            world.get_resource::<Wall>().map(Wall::frame),
            world.resource::<Hose>().rod.nodes(),
            self.tick(),
        )
    }

    /// The motion of hoses that have parted, and what there was to be had for it.
    pub fn whip(&self) -> Whip {
        let end = &self.world.resource::<Measured>().0.end;
        let pressure_pa = end.pump_pressure_pa.max(0.0);
        self.world.resource::<Hose>().whip(pressure_pa)
    }

    /// Times the parts of each tick from now on, by a clock in nanoseconds.
    pub fn meter_by(&mut self, clock_ns: fn() -> u64) {
        self.world.insert_resource(Meter {
            clock_ns: Some(clock_ns),
            ..Meter::default()
        });
    }

    /// What was timed so far.
    pub fn meter(&self) -> Meter {
        *self.world.resource::<Meter>()
    }

    /// A copy of everything that lives from tick to tick.
    pub fn state(&mut self) -> YardState {
        let mut people: Vec<Person> = self
            .world
            .query::<&Person>()
            .iter(&self.world)
            .cloned()
            .collect();
        people.sort_by_key(|p| p.seat);
        let world = &self.world;
        YardState {
            tick: world.resource::<Now>().0,
            over: world.resource::<Over>().0,
            station: world.resource::<Station>().clone(),
            tool: world.resource::<Tool>().clone(),
            water: world.resource::<machine::Water>().clone(),
            hose: world.resource::<Hose>().clone(),
            needle: world.resource::<Needle>().clone(),
            faults: world.resource::<Faults>().clone(),
            senses: world.resource::<Senses>().clone(),
            noise: *world.resource::<Noise>(),
            people,
            observer: world.resource::<Watching>().0.clone(),
            done: world.get_resource::<Wall>().map(|wall| wall.done.clone()),
            sets: world.resource::<Physics>().sets().clone(),
        }
    }

    /// Goes to another state of the same level.
    pub fn restore(&mut self, state: YardState) {
        let world = &mut self.world;
        let mut last = observe::before_the_start();
        last.set_all(state.observer.current());
        last.tick = Tick(state.tick.0.saturating_sub(1));
        if state.over {
            last.events.push(Event::HandedBack);
        }
        world.insert_resource(Last(last));
        world.insert_resource(Now(state.tick));
        world.insert_resource(Over(state.over));
        world.insert_resource(state.station);
        world.insert_resource(state.tool);
        if let (Some(done), Some(mut wall)) = (state.done, world.get_resource_mut::<Wall>()) {
            wall.done = done;
        }
        world.insert_resource(state.water);
        world.insert_resource(state.hose);
        world.insert_resource(state.needle);
        world.insert_resource(state.faults);
        world.insert_resource(state.senses);
        world.insert_resource(state.noise);
        world.insert_resource(Watching(state.observer));
        world.resource_mut::<Physics>().restore(state.sets);
        for mut person in world.query::<&mut Person>().iter_mut(world) {
            if let Some(saved) = state.people.iter().find(|p| p.seat == person.seat) {
                *person = saved.clone();
            }
        }
    }

    /// The things that can be pushed about, by name, and where they are.
    pub fn props(&mut self) -> Vec<(String, [f32; 3])> {
        let mut query = self.world.query::<&Prop>();
        let physics = self.world.resource::<Physics>();
        let mut props: Vec<_> = query
            .iter(&self.world)
            .filter_map(|p| Some((p.id.clone(), physics.position(p.body)?)))
            .collect();
        props.sort_by(|a, b| a.0.cmp(&b.0));
        props
    }

    /// The same with how they are turned, as quaternions (x, y, z, w).
    pub(crate) fn props_turned(&mut self) -> Vec<(String, [f64; 3], [f64; 4])> {
        let mut query = self.world.query::<&Prop>();
        let physics = self.world.resource::<Physics>();
        let mut props: Vec<_> = query
            .iter(&self.world)
            .filter_map(|p| {
                let (at, turn) = physics.pose(p.body)?;
                Some((p.id.clone(), at.map(f64::from), turn.map(f64::from)))
            })
            .collect();
        props.sort_by(|a, b| a.0.cmp(&b.0));
        props
    }

    /// A number that differs as soon as anything that moves differs by a bit.
    pub fn digest(&mut self) -> u64 {
        let mut digest = Digest::default();
        for (_, at) in self.props() {
            for x in at {
                digest.take(u64::from(x.to_bits()));
            }
        }
        for (rod, _) in self.world.resource::<Hose>().rods() {
            for x in rod.nodes().iter().flat_map(|node| node.to_array()) {
                digest.take(x.to_bits());
            }
        }
        digest.take(self.world.resource::<Needle>().shown_pa.to_bits());
        if let Some(wall) = self.world.get_resource::<Wall>() {
            digest.take(wall.done.sum());
        }
        let end = &self.world.resource::<Measured>().0.end;
        for x in [
            end.pump_pressure_pa,
            end.gun_pressure_pa,
            end.engine_speed_rad_s,
            end.thrust_n,
            end.bypass_flow_m3_s,
            end.tank_temperature_c,
            end.inlet_pressure_pa,
            end.oil_pressure_pa,
            end.oil_temperature_c,
        ] {
            digest.take(x.to_bits());
        }
        let mut people: Vec<_> = self
            .world
            .query::<&Person>()
            .iter(&self.world)
            .map(|p| (p.seat, p.body.pose().com, p.feet()))
            .collect();
        people.sort_by_key(|(seat, ..)| *seat);
        for (_, com, feet) in people {
            for x in com.to_array().into_iter().chain(feet.to_array()) {
                digest.take(x.to_bits());
            }
        }
        digest.0
    }

    /// Goes through a keyframe's bytes and back, so that an attempt that went
    /// on and one that was taken up again from the keyframe stand on the very
    /// same ground: caches that are not written are dropped in both.
    fn renew(&mut self) {
        let sets = self.world.resource::<Physics>().sets();
        let renewed = postcard::to_stdvec(sets)
            .ok()
            .and_then(|bytes| postcard::from_bytes(&bytes).ok());
        if let Some(sets) = renewed {
            self.world.resource_mut::<Physics>().restore(sets);
        }
    }
}

/// FNV-1a over whole words: enough to tell two states apart, and the same on
/// every machine.
struct Digest(u64);

impl Default for Digest {
    fn default() -> Self {
        Digest(0xcbf2_9ce4_8422_2325)
    }
}

impl Digest {
    fn take(&mut self, word: u64) {
        for byte in word.to_le_bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

/// The order of a tick.
fn schedule() -> Schedule {
    let mut schedule = Schedule::default();
    schedule.set_executor(SingleThreadedExecutor::new());
    schedule.set_build_settings(ScheduleBuildSettings {
        ambiguity_detection: LogLevel::Error,
        ..Default::default()
    });
    schedule.add_systems(
        (
            senses::forget_words,
            hands::take_inputs,
            hands::move_hands,
            flow::flow,
            contacts,
            jets::jets,
            hazards::hurt,
            noise::hear,
            observe::observe,
            senses::sense,
        )
            .chain(),
    );
    schedule
}

/// Walls stop people, people push props.
fn contacts(mut physics: ResMut<Physics>, mut people: Query<&mut Person>) {
    let mut people: Vec<_> = people.iter_mut().collect();
    people.sort_by_key(|p| p.seat);
    for person in &mut people {
        let feet = person.feet();
        let reached = physics.walk(person.capsule, [feet.x, feet.z], TICK_S);
        let back = DVec3::new(reached[0] - feet.x, 0.0, reached[1] - feet.z);
        if back != DVec3::ZERO {
            person.body.shift(back);
        }
        person.pace(TICK_S);
    }
    physics.step(TICK_S);
}
