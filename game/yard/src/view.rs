//! What a yard looks like at a tick: an unchanging picture for whoever draws
//! it. Nothing that scores is read from it, and nothing of it can be changed.

use crate::hose::Hose;
use crate::jets::Aimed;
use crate::machine::{Needle, Station, Water};
use crate::people::Person;
use crate::second::{SecondView, second};
use crate::senses::{EYES_M, spits};
use crate::surface::Wall;
use crate::tool::{At, Tool};
use crate::torn::{TornView, torn};
use crate::yard::{Measured, Now, Place, Yard};
use bevy::ecs::world::World;
use crew::input::{LIFT_M, REACH_M};
use crew::{Call, Control, Seat, Stance, TICKS_PER_SECOND, Task, Tick};
use glam::DVec3;
use hydraulics::{Exit, JetKind, JetSpec};
use mechanics::body::End;
use training::{HurtGrade, Level, SurfaceStep};

/// A point or a direction: metres along x (east), y (up) and z (south).
pub type Vector = [f64; 3];

/// A picture of the yard at the end of a tick.
#[derive(Clone, Debug, PartialEq)]
pub struct ViewFrame {
    /// The tick that comes next.
    pub tick: Tick,
    /// Everybody, by seat.
    pub people: Vec<PersonView>,
    /// The middle line of the hose, from the pump to the tool.
    pub hose: Vec<Vector>,
    /// Where a coupling of the hose has parted: the ends of hose, outlet and gun there.
    pub torn: Vec<TornView>,
    /// The middle lines of what stayed behind there at the outlet and at the gun.
    pub stubs: Vec<Vec<Vector>>,
    /// Position of each control of the site as a share of its travel, with
    /// pushes that are under way.
    pub controls: Vec<(Control, f64)>,
    /// Engine, pump and gauge.
    pub machine: MachineView,
    /// The lance.
    pub tool: ToolView,
    /// The jet, while water leaves the tool.
    pub jet: Option<JetView>,
    /// The second tool, where there is one.
    pub second: Option<SecondView>,
    /// Things that can be pushed about: name, centre and turn (a quaternion,
    /// x, y, z, w).
    pub props: Vec<(String, Vector, [f64; 4])>,
}

/// A person.
#[derive(Clone, Debug, PartialEq)]
pub struct PersonView {
    /// Their seat.
    pub seat: Seat,
    /// Ankles of the left and the right foot; one may be in the air.
    pub feet: [Vector; 2],
    /// Centre of mass.
    pub com: Vector,
    /// Where the hands are that hold the tool, or would.
    pub hands: Vector,
    /// Eyes, where the body carries them.
    pub eyes: Vector,
    /// The way they face, radians about the upward axis from +x towards -z.
    pub yaw_rad: f64,
    /// Turn still to be made, radians to the left.
    pub turning_rad: f64,
    /// The way that the hands are to point the tool, radians up.
    pub pitch_rad: f64,
    /// The way that the arms are to point the tool, radians to the left of the facing.
    pub tool_yaw_rad: f64,
    /// Lean ahead and to the right, radians.
    pub lean_rad: [f64; 2],
    /// Speed over the ground, metres per second.
    pub speed_m_s: f64,
    /// How the feet are to be set.
    pub stance: Stance,
    /// How far the tool is braced, 0 to 1.
    pub braced: f64,
    /// The arms can go no further ahead.
    pub stretched: bool,
    /// The arms can be drawn in no further.
    pub drawn_in: bool,
    /// How far the hands are told to be ahead of their usual place and above it,
    /// metres.
    pub hands_told_m: [f64; 2],
    /// Strength left, 0 to 1.
    pub strength: f64,
    /// They lie on the ground.
    pub fallen: bool,
    /// Their feet slide.
    pub slipping: bool,
    /// What they wear, a bit for each piece.
    pub wears: u8,
    /// The control in their hand.
    pub holding: Option<Control>,
    /// Work their hands are at, and the share of it that is done.
    pub working: Option<(Task, f64)>,
    /// The word they are saying.
    pub saying: Option<Call>,
    /// They hold the hose.
    pub holds_hose: bool,
    /// How badly they are hurt.
    pub hurt: Option<HurtGrade>,
}

impl PersonView {
    /// Whether the hands may be told to go further that way, ahead or back.
    pub fn may_reach(&self, way: f64) -> bool {
        may(self.hands_told_m[0], way, REACH_M)
    }

    /// The same up or down.
    pub fn may_lift(&self, way: f64) -> bool {
        may(self.hands_told_m[1], way, LIFT_M)
    }
}

fn may(told_m: f64, way: f64, (least, most): (f64, f64)) -> bool {
    (way > 0.0 && told_m < most) || (way < 0.0 && told_m > least)
}

/// Engine, pump and gauge.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MachineView {
    /// Speed of the engine, revolutions per second.
    pub engine_rev_s: f64,
    /// Speed of the pump's crank, revolutions per second.
    pub pump_rev_s: f64,
    /// How hard the engine labours, 0 to 1.
    pub labour: f64,
    /// The engine runs under its own power.
    pub runs: bool,
    /// The starter turns it.
    pub cranks: bool,
    /// Share of the pump's flow that the regulator bypasses, 0 to 1.
    pub bypass_share: f64,
    /// The pump is starved and knocks.
    pub knock: bool,
    /// What the needle shows, pascals.
    pub needle_pa: f64,
    /// Pressure at the pump, pascals.
    pub pump_pa: f64,
    /// Pressure at the gun, pascals.
    pub gun_pa: f64,
    /// How far the dump is open, 0 to 1.
    pub dump_opening: f64,
    /// Flow out of the dump, cubic metres per second.
    pub dump_m3_s: f64,
    /// Water in the supply tank, degrees Celsius.
    pub tank_c: f64,
    /// Pressure at the pump's inlet, pascals.
    pub inlet_pa: f64,
    /// Pressure of the oil in the pump's power end, pascals.
    pub oil_pa: f64,
    /// Its temperature, degrees Celsius.
    pub oil_c: f64,
    /// The oil has stopped the engine, until the key is turned off.
    pub oil_tripped: bool,
    /// Water runs or drips from the bleed valve.
    pub bleed_runs: bool,
    /// The cock on the pump head spits air.
    pub air_spits: bool,
    /// Water without air runs from that cock.
    pub air_runs: bool,
    /// The relief valve is lifted.
    pub relief_lifts: bool,
    /// Flow out of it, cubic metres per second.
    pub relief_m3_s: f64,
    /// Flow out of the burst disc once it has torn, cubic metres per second.
    pub disc_m3_s: f64,
    /// Flow past the packings of all plungers, cubic metres per second.
    pub gland_m3_s: f64,
    /// Flow out of a hole halfway along the hose, cubic metres per second.
    pub hole_m3_s: f64,
}

/// The lance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolView {
    /// It is in the hands, or on the way there.
    pub in_hands: bool,
    /// It stands in its stand.
    pub in_stand: bool,
    /// Where its grip is when it stands there.
    pub stand: Vector,
    /// How far it has come from where it lay into the hands, 0 to 1.
    pub way: f64,
    /// Its grip.
    pub grip: Vector,
    /// Its tip.
    pub tip: Vector,
    /// The way it points.
    pub points: Vector,
    /// From its tip to the surface to be cleaned along the way it points, metres;
    /// nothing where that misses.
    pub stand_off_m: Option<f64>,
    /// The nozzle on it, by its place in the level's list.
    pub nozzle: Option<u8>,
    /// The nozzle laid out to be fitted next.
    pub chosen: u8,
    /// How far the trigger is squeezed, 0 to 1.
    pub squeeze: f64,
    /// The safety catch is on.
    pub catch_on: bool,
    /// The trigger is tied.
    pub tied: bool,
}

/// How a jet spreads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// It leaves the bare end of the line.
    Bare,
    /// One needle.
    Round,
    /// A flat fan.
    Fan {
        /// Its full angle, radians.
        full_rad: f64,
    },
    /// A needle that is led around a cone.
    Cone {
        /// Angle between jet and axis, radians.
        half_rad: f64,
    },
}

impl Spread {
    /// How the jet of a nozzle spreads.
    pub fn of(jet: &JetSpec) -> Self {
        match jet.kind {
            JetKind::Round => Spread::Round,
            JetKind::Fan { spread_rad } => Spread::Fan {
                full_rad: spread_rad,
            },
            JetKind::Rotating { cone_rad, .. } => Spread::Cone { half_rad: cone_rad },
        }
    }
}

/// The jet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JetView {
    /// Where it leaves.
    pub tip: Vector,
    /// The way it leaves.
    pub points: Vector,
    /// Flow, cubic metres per second.
    pub flow_m3_s: f64,
    /// Speed with which it leaves, metres per second.
    pub speed_m_s: f64,
    /// Push on the tool, newtons.
    pub thrust_n: f64,
    /// Diameter with which it leaves, metres.
    pub diameter_m: f64,
    /// How long it keeps its core, metres.
    pub core_m: f64,
    /// How it spreads.
    pub spread: Spread,
    /// Where its axis meets something solid, within its reach.
    pub meets: Option<Vector>,
    /// Out of what it meets.
    pub normal: Vector,
    /// Where it meets the surface to be cleaned, metres along it and up.
    pub spot: Option<[f64; 2]>,
    /// Pressure in the middle of its footprint there, pascals.
    pub impact_pa: f64,
    /// It meets a person.
    pub at_person: bool,
}

/// How far a jet is led until it is mist, metres.
const JET_REACH_M: f64 = 12.0;

impl Yard {
    /// What the yard looks like now.
    pub fn view(&mut self) -> ViewFrame {
        let mut people: Vec<Person> = self
            .world
            .query::<&Person>()
            .iter(&self.world)
            .cloned()
            .collect();
        people.sort_by_key(|p| p.seat);
        let props = self.props_turned();
        let world = &self.world;
        let place = world.resource::<Place>();
        let station = world.resource::<Station>();
        let tool = world.resource::<Tool>();
        let holder = people.iter().find(|p| p.seat == Seat::LANCE);
        ViewFrame {
            tick: world.resource::<Now>().0,
            hose: world
                .resource::<Hose>()
                .rod
                .hose_nodes()
                .iter()
                .map(|n| n.to_array())
                .collect(),
            torn: torn(world),
            stubs: [true, false]
                .into_iter()
                .filter_map(|at_pump| world.resource::<Hose>().stub(at_pump))
                .map(|stub| stub.hose_nodes().iter().map(|n| n.to_array()).collect())
                .collect(),
            controls: place
                .site
                .controls
                .iter()
                .map(|(control, _)| (*control, share(*control, station, &people)))
                .collect(),
            machine: machine(world),
            tool: tool_view(world, tool, holder, place),
            jet: holder.and_then(|holder| jet(world, tool, holder, place)),
            second: second(world, place, &people),
            people: people.iter().map(person_view).collect(),
            props,
        }
    }

    /// How many steps towards clean each cell of the surface has taken, row by
    /// row from the lower left; nothing where there is no surface.
    pub fn surface_steps(&self) -> Vec<SurfaceStep> {
        self.world
            .get_resource::<Wall>()
            .map(Wall::steps)
            .unwrap_or_default()
    }
}

/// What a yard looks like before its first tick.
///
/// # Errors
/// As [`Yard::new`].
pub fn at_start(level: &Level) -> Result<ViewFrame, crate::YardFault> {
    Ok(Yard::new(level)?.view())
}

fn share(control: Control, station: &Station, people: &[Person]) -> f64 {
    let at = f64::from(station.position(control));
    let pushed = people
        .iter()
        .filter_map(|p| p.hands.push)
        .find(|p| p.control == control);
    let now = pushed.map_or(at, |push| {
        let left = f64::from(push.ticks) / (PUSH_SHOWN_S * f64::from(TICKS_PER_SECOND));
        let to = f64::from(push.to);
        to + (at - to) * left.min(1.0)
    });
    now / f64::from(control.top())
}

/// The time that a push is shown to take, seconds.
const PUSH_SHOWN_S: f64 = 0.25;

fn person_view(person: &Person) -> PersonView {
    let pose = person.body.pose();
    let (ahead, right) = pose.lean_rad;
    let facing = person.body.forward();
    let beside = DVec3::new(-facing.z, 0.0, facing.x);
    let feet = person.feet();
    // The head goes with the lean; who has fallen has it near the ground.
    let eyes = if pose.fallen {
        pose.com + DVec3::Y * 0.1 + facing * 0.4
    } else {
        let (s_a, s_r) = (libm::sin(ahead), libm::sin(right));
        let up = libm::cos(ahead) * libm::cos(right);
        let low = person.body.spec().com_height_m - (pose.com.y - feet.y);
        let crouch = match pose.stance {
            mechanics::Stance::Normal | mechanics::Stance::Crouched => low.max(0.0),
            mechanics::Stance::Wide | mechanics::Stance::Staggered => 0.06,
        };
        feet + facing * (EYES_M * s_a) + beside * (EYES_M * s_r) + DVec3::Y * (EYES_M * up - crouch)
    };
    let ends = person.body.arms_at_end();
    PersonView {
        seat: person.seat,
        feet: pose.feet.map(|f| f.to_array()),
        com: pose.com.to_array(),
        hands: pose.hands.to_array(),
        eyes: eyes.to_array(),
        yaw_rad: pose.yaw,
        turning_rad: person.gait.turn_rad,
        pitch_rad: person.gait.pitch_rad,
        tool_yaw_rad: person.gait.tool_yaw_rad,
        lean_rad: [ahead, right],
        speed_m_s: person.speed_m_s,
        stance: person.gait.stance,
        braced: pose.braced,
        stretched: ends == Some(End::Ahead) || !may(person.gait.reach_m, 1.0, REACH_M),
        drawn_in: ends == Some(End::DrawnIn) || !may(person.gait.reach_m, -1.0, REACH_M),
        hands_told_m: [person.gait.reach_m, person.gait.lift_m],
        strength: person.body.strength_left(),
        fallen: pose.fallen,
        slipping: person.body.is_slipping(),
        wears: person.hands.wears,
        holding: person.hands.holding,
        working: person.hands.work.map(|(task, left)| {
            let whole = task.duration_s() * f64::from(TICKS_PER_SECOND);
            (task, 1.0 - f64::from(left) / whole.max(1.0))
        }),
        saying: person.voice.saying.map(|(call, _)| call),
        holds_hose: person.hands.hose.is_some(),
        hurt: person.hurt,
    }
}

fn machine(world: &World) -> MachineView {
    let flows = &world.resource::<Measured>().0;
    let end = &flows.end;
    let water = world.resource::<Water>();
    let station = world.resource::<Station>();
    let pump_m3_s = end.pump_flow_m3_s.max(1e-9);
    let torn_m3_s: f64 = [end.torn.at_pump, end.torn.at_gun]
        .into_iter()
        .flatten()
        .map(|torn| (torn.mass_flow_kg_s + torn.other_kg_s) / end.suction_density_kg_m3)
        .sum();
    MachineView {
        engine_rev_s: end.engine_speed_rad_s / core::f64::consts::TAU,
        labour: end.engine_load,
        pump_rev_s: end.crank_speed_rad_s / core::f64::consts::TAU,
        runs: water.engine_turns,
        cranks: water.cranks,
        bypass_share: (end.bypass_flow_m3_s / pump_m3_s).clamp(0.0, 1.0),
        knock: end.starved,
        needle_pa: world.resource::<Needle>().shown_pa,
        pump_pa: end.pump_pressure_pa,
        gun_pa: end.gun_pressure_pa,
        dump_opening: end.dump_opening,
        dump_m3_s: end.dump_flow_m3_s,
        tank_c: end.tank_temperature_c,
        inlet_pa: end.inlet_pressure_pa,
        oil_pa: end.oil_pressure_pa,
        oil_c: end.oil_temperature_c,
        oil_tripped: end.oil_trip != hydraulics::OilTrip::None,
        bleed_runs: end.dripping,
        air_spits: spits(end, station),
        air_runs: station.is_on(Control::AirBleed)
            && station.is_on(Control::Supply)
            && !spits(end, station),
        relief_lifts: water.relief_lifts,
        relief_m3_s: end.relief_flow_m3_s,
        disc_m3_s: end.disc_flow_m3_s,
        gland_m3_s: end.gland_leak_m3_s,
        hole_m3_s: end.hose_leak_m3_s - torn_m3_s,
    }
}

fn tool_view(world: &World, tool: &Tool, holder: Option<&Person>, place: &Place) -> ToolView {
    let (grip, points) = holder.map_or((place.stand, place.stand_out), |holder| {
        (tool.grip(holder), tool.points(holder))
    });
    let tip = grip + points * place.lance.tip_to_trigger_m;
    let wall = world.get_resource::<Wall>();
    let met = wall.and_then(|wall| wall.frame().meet(tip, points));
    ToolView {
        in_hands: tool.in_hands(),
        in_stand: tool.at == At::Stand,
        stand: place.stand.to_array(),
        way: tool.way(),
        grip: grip.to_array(),
        tip: tip.to_array(),
        points: points.to_array(),
        stand_off_m: met.map(|(_, way)| way),
        nozzle: tool.nozzle,
        chosen: tool.chosen,
        squeeze: holder.map_or(0.0, |p| p.hands.squeeze),
        catch_on: holder.is_none_or(|p| p.hands.catch_on),
        tied: tool.tied,
    }
}

fn jet(world: &World, tool: &Tool, holder: &Person, place: &Place) -> Option<JetView> {
    let flows = &world.resource::<Measured>().0;
    let exit = Exit::of(
        flows.mass_kg_s.mean(),
        flows.thrust_n.mean(),
        place.density_kg_m3,
    )?;
    let aimed = world.resource::<Aimed>();
    let points = tool.points(holder);
    let tip = tool.tip(holder, &place.lance);
    let nozzle = tool.nozzle.and_then(|n| place.nozzles.get(usize::from(n)));
    let (meets, normal) = solid(world, place, tip, points);
    Some(JetView {
        tip: tip.to_array(),
        points: points.to_array(),
        flow_m3_s: flows.tool_m3_s.mean(),
        speed_m_s: exit.thrust_n / flows.mass_kg_s.mean().max(1e-9),
        thrust_n: exit.thrust_n,
        diameter_m: exit.diameter_m,
        core_m: nozzle.map_or(0.0, |n| n.jet.core_diameters * exit.diameter_m),
        spread: nozzle.map_or(Spread::Bare, |n| Spread::of(&n.jet)),
        meets: meets.map(|at| at.to_array()),
        normal: normal.to_array(),
        spot: aimed.target.spot.map(|(spot, _)| spot),
        impact_pa: aimed.stroked.impact_pa,
        at_person: aimed.target.person.is_some(),
    })
}

/// Where a line from the tip meets surface, wall or ground first, and out of
/// what.
pub(crate) fn solid(
    world: &World,
    place: &Place,
    tip: DVec3,
    points: DVec3,
) -> (Option<DVec3>, DVec3) {
    let mut way = JET_REACH_M;
    let mut normal = -points;
    if points.y < -1e-6 && -tip.y / points.y < way {
        way = (-tip.y / points.y).max(0.0);
        normal = DVec3::Y;
    }
    if let Some((at, out)) = crate::aim::meets(tip, points, &place.site.walls)
        && at < way
    {
        (way, normal) = (at, out);
    }
    if let Some(wall) = world.get_resource::<Wall>()
        && let Some((_, at)) = wall.frame().meet(tip, points)
        && at <= way + 0.05
    {
        (way, normal) = (at, wall.frame().out);
    }
    ((way < JET_REACH_M).then(|| tip + points * way), normal)
}
