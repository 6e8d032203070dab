//! What each person can see, hear and feel from where they stand.

use crate::aim;
use crate::hose::Hose;
use crate::jets::Aimed;
use crate::machine::{Needle, Station, Water};
use crate::people::Person;
use crate::surface::{Frame, Wall};
use crate::tool::Tool;
use crate::yard::{Measured, Now, Place};
use bevy::ecs::resource::Resource;
use bevy::ecs::system::{Query, Res, ResMut};
use crew::percept::{OwnBody, Percepts, Sound};
use crew::tick::TICKS_PER_SECOND;
use crew::{Control, Seat, Spot, Tick, ToolSense};
use glam::DVec3;
use hydraulics::Instant;
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;
use training::HurtGrade;

/// From how far a gauge of 100 mm can be read, metres (common practice, no
/// source).
const READ_GAUGE_M: f64 = 4.0;
/// From how far a gauge of 63 mm can be read, metres: those of the inlet, at the supply valve, and
/// of the oil, at the key (common practice, no source).
const READ_SMALL_M: f64 = 2.5;
/// From how far the position of a lever can be told, metres (common practice,
/// no source).
const SEE_CONTROL_M: f64 = 8.0;
/// From how far a drip can be told from none, metres (common practice, no
/// source).
const SEE_DRIP_M: f64 = 3.0;
/// From how far a hose can be felt with a boot or seen to hang limp, metres.
const FEEL_HOSE_M: f64 = 1.5;
/// From how far a nozzle on a lance can be made out, metres (common practice,
/// no source: the lance is held up to be shown).
const SEE_NOZZLE_M: f64 = 15.0;
/// Below this pressure a hose is limp, pascals (common practice, no source).
pub const LIMP_PA: f64 = 4e5;
/// Share of air in the pump head below which the open cock no longer spits.
const AIR_SEEN: f64 = 0.01;
/// Flow that is seen as a jet, litres a minute (a choice of this project).
pub(crate) const JET_L_MIN: f64 = 0.5;

/// What there is to be seen and heard in the yard at one tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Sights {
    needle_bar: f64,
    tank_c: f64,
    inlet_bar: f64,
    oil_bar: f64,
    positions: Vec<u16>,
    bleed_runs: bool,
    air_spits: bool,
    limp: bool,
    jet_runs: bool,
    nozzle: Option<u8>,
    sound: Sound,
    loads_n: f64,
    leans: Vec<(Seat, f64)>,
    /// The tool in the hands, as it is felt.
    tool: Option<ToolSense>,
    spot: Option<Spot>,
    people: Vec<(Seat, [f64; 2])>,
    /// Where an end of the hose has parted, or thrashes about with the tool on it.
    wild: Option<DVec3>,
    /// Who lies on the ground or is hurt, and where.
    down: Vec<(Seat, DVec3)>,
}

/// From how far it can be told what is clean, metres (common practice, no
/// source).
const SEE_TILES_M: f64 = 5.0;
/// Ticks from one look at the tiles to the next.
const TILES_TICKS: u32 = TICKS_PER_SECOND / 2;
/// From how far people are seen, metres (a choice of this project).
const SEE_PEOPLE_M: f64 = 30.0;
/// Half of the field in which people are seen, with the head turned now and
/// then, radians.
const SEE_PEOPLE_RAD: f64 = 2.0;

/// The last moments, so that a sense can lag.
#[derive(Resource, Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Senses {
    /// The latest is last.
    moments: VecDeque<Sights>,
    /// How far each tile of the surface was clean at the last look, percent.
    tiles_pct: Vec<u8>,
}

fn ticks(seconds: f64) -> usize {
    (seconds * f64::from(TICKS_PER_SECOND)).round() as usize
}

/// Keeps this tick's sights.
#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
pub fn sense(
    measured: Res<Measured>,
    needle: Res<Needle>,
    station: Res<Station>,
    tool: Res<Tool>,
    water: Res<Water>,
    aimed: Res<Aimed>,
    wall: Option<Res<Wall>>,
    now: Res<Now>,
    place: Res<Place>,
    hose: Res<Hose>,
    mut senses: ResMut<Senses>,
    people: Query<&Person>,
) {
    let flows = &measured.0;
    let end = &flows.end;
    let pump_m3_s = end.pump_flow_m3_s.max(1e-9);
    let mut leans: Vec<_> = people.iter().map(|p| (p.seat, p.lean_rad())).collect();
    leans.sort_by_key(|(seat, _)| *seat);
    let mut standing: Vec<_> = people
        .iter()
        .map(|p| (p.seat, [p.feet().x, p.feet().z]))
        .collect();
    standing.sort_by_key(|(seat, _)| *seat);
    let mut down: Vec<_> = people
        .iter()
        .filter(|p| p.body.is_fallen() || p.hurt.is_some_and(|h| h >= HurtGrade::Injury))
        .map(|p| (p.seat, p.feet()))
        .collect();
    down.sort_by_key(|(seat, _)| *seat);
    let holder = people.iter().find(|p| p.seat == Seat::LANCE);
    if let Some(wall) = wall.filter(|_| now.0.0.is_multiple_of(TILES_TICKS)) {
        senses.tiles_pct = wall.tiles_pct();
    }
    senses.moments.push_back(Sights {
        needle_bar: needle.shown_pa / 1e5,
        tank_c: end.tank_temperature_c.round(),
        inlet_bar: end.inlet_pressure_pa / 1e5,
        oil_bar: end.oil_pressure_pa / 1e5,
        positions: Control::ALL.iter().map(|c| station.position(*c)).collect(),
        bleed_runs: end.dripping,
        air_spits: spits(end, &station),
        limp: is_limp(end.pump_pressure_pa, end.gun_pressure_pa),
        jet_runs: 60_000.0 * flows.tool_m3_s.mean() > JET_L_MIN,
        nozzle: tool.nozzle,
        sound: Sound {
            engine_rev_s: if water.engine_turns {
                end.engine_speed_rad_s / core::f64::consts::TAU
            } else {
                0.0
            },
            labour: end.engine_load,
            hiss: (flows.bypass_m3_s.mean() / pump_m3_s).clamp(0.0, 1.0),
            knock: end.starved,
        },
        loads_n: flows.load_n,
        leans,
        tool: holder
            .filter(|_| tool.is_held())
            .map(|p| tool_sense(&tool, p, &aimed)),
        spot: aimed
            .target
            .spot
            .filter(|_| tool.is_held())
            .map(|([x_m, y_m], stand_off_m)| Spot {
                x_m,
                y_m,
                stand_off_m,
            }),
        people: standing,
        wild: hose.wild_end(),
        down,
    });
    let longest = ticks(place.assumptions.sight_s.max(place.assumptions.touch_s)) + 1;
    while senses.moments.len() > longest {
        senses.moments.pop_front();
    }
}

fn tool_sense(tool: &Tool, holder: &Person, aimed: &Aimed) -> ToolSense {
    let (yaw_rad, pitch_rad) = tool.heading(holder);
    ToolSense {
        tip_m: aimed.tip.to_array(),
        yaw_rad,
        pitch_rad,
        reach_m: holder.gait.reach_m,
        lift_m: holder.gait.lift_m,
        catch_on: holder.hands.catch_on,
        squeeze: holder.hands.squeeze,
        tied: tool.tied,
    }
}

/// Whether the cock on the pump head spits air.
pub fn spits(end: &Instant, station: &Station) -> bool {
    end.air_fraction > AIR_SEEN && station.is_on(Control::AirBleed)
}

/// Whether a hose with these pressures at its ends is limp.
pub fn is_limp(pump_pa: f64, gun_pa: f64) -> bool {
    pump_pa.max(gun_pa) < LIMP_PA
}

impl Senses {
    fn ago(&self, seconds: f64) -> Option<&Sights> {
        let last = self.moments.len().checked_sub(1)?;
        self.moments.get(last.saturating_sub(ticks(seconds)))
    }

    /// What a person knows before the tick that comes next.
    pub fn of(
        &self,
        person: &Person,
        place: &Place,
        surface: Option<&Frame>,
        hose: &[DVec3],
        next: Tick,
    ) -> Percepts {
        let feet = person.feet();
        let away = |at: [f64; 3]| {
            let (dx, dz) = (at[0] - feet.x, at[2] - feet.z);
            (dx * dx + dz * dz).sqrt()
        };
        let to_control = |control| place.site.control(control).map_or(f64::INFINITY, away);
        let mut percepts = Percepts {
            tick: next,
            ..Percepts::default()
        };
        percepts.body = OwnBody {
            at_m: [feet.x, feet.z],
            yaw_rad: person.body.yaw(),
            lean_rad: person.lean_rad(),
            stance: person.gait.stance,
            braced: person.body.braced(),
            strength: person.body.strength_left(),
            fallen: person.body.is_fallen(),
            holding: person.hands.holding,
            working: person.hands.work.map(|(task, _)| task),
            push_n: 0.0,
        };
        percepts.wears = person.hands.wears;
        percepts.holds_hose = person.hands.hose.is_some();
        percepts.heard = person
            .voice
            .coming
            .iter()
            .filter(|(_, known)| *known == next)
            .map(|(heard, _)| *heard)
            .collect();
        if let Some(felt) = self.ago(place.assumptions.touch_s) {
            if person.seat == Seat::LANCE {
                percepts.body.push_n = felt.loads_n;
                percepts.tool = felt.tool;
            }
            if let Some((_, lean)) = felt.leans.iter().find(|(s, _)| *s == person.seat) {
                percepts.body.lean_rad = *lean;
            }
        }
        let Some(seen) = self.ago(place.assumptions.sight_s) else {
            return percepts;
        };
        let at_regulator = to_control(Control::Regulator);
        percepts.gauge_bar = (at_regulator <= READ_GAUGE_M).then_some(seen.needle_bar);
        // The small dials stand in a row above the dump lever.
        let at_dials = to_control(Control::Dump);
        percepts.inlet_bar = (at_dials <= READ_SMALL_M).then_some(seen.inlet_bar);
        percepts.tank_c = (at_dials <= READ_SMALL_M).then_some(seen.tank_c);
        percepts.oil_bar = (at_dials <= READ_SMALL_M).then_some(seen.oil_bar);
        percepts.controls = Control::ALL
            .iter()
            .zip(&seen.positions)
            .filter(|(control, _)| to_control(**control) <= SEE_CONTROL_M)
            .map(|(control, position)| (*control, *position))
            .collect();
        let drip_near = to_control(Control::Bleed) <= SEE_DRIP_M;
        percepts.bleed_runs = drip_near.then_some(seen.bleed_runs);
        let air_near = to_control(Control::AirBleed) <= SEE_DRIP_M;
        percepts.air_spits = air_near.then_some(seen.air_spits);
        let hose_near = hose.iter().any(|p| away([p.x, p.y, p.z]) <= FEEL_HOSE_M);
        percepts.hose_limp = hose_near.then_some(seen.limp);
        percepts.jet_runs = seen.jet_runs;
        let tool_near = away(place.stand.to_array()) <= SEE_NOZZLE_M;
        percepts.nozzle_fitted = tool_near.then_some(seen.nozzle.is_some());
        percepts.nozzle = seen.nozzle.filter(|_| tool_near);
        let eyes = feet + DVec3::Y * EYES_M;
        percepts.people = seen
            .people
            .iter()
            .filter(|(seat, at)| {
                let other = DVec3::new(at[0], EYES_M, at[1]);
                *seat != person.seat
                    && in_view(person, other, SEE_PEOPLE_M, SEE_PEOPLE_RAD)
                    && aim::sees(eyes, other, &place.site.walls, surface)
            })
            .copied()
            .collect();
        let notices = |at: DVec3| {
            in_view(person, at, SEE_PEOPLE_M, SEE_PEOPLE_RAD)
                && aim::sees(eyes, at + DVec3::Y * 0.3, &place.site.walls, surface)
        };
        percepts.parted = seen.wild.is_some_and(notices);
        percepts.somebody_down = seen
            .down
            .iter()
            .any(|(seat, at)| *seat != person.seat && notices(*at));
        if person.seat == Seat::LANCE {
            percepts.spot = seen.spot;
            let near = surface.is_some_and(|s| {
                let middle = s.corner + s.right * (0.5 * s.size[0]);
                away(middle.to_array()) <= SEE_TILES_M
            });
            if near {
                percepts.tiles_pct.clone_from(&self.tiles_pct);
            }
        }
        percepts.sound = seen.sound;
        percepts
    }
}

/// Height of the eyes of who stands, metres.
pub const EYES_M: f64 = 1.6;

/// Whether a point is within a person's field of view and near enough.
pub fn in_view(person: &Person, at: DVec3, within_m: f64, half_rad: f64) -> bool {
    let way = at - person.feet();
    let bearing = libm::atan2(-way.z, way.x);
    let off = bearing - person.body.yaw();
    let off = off - core::f64::consts::TAU * (off / core::f64::consts::TAU).round();
    DVec3::new(way.x, 0.0, way.z).length() <= within_m && off.abs() <= half_rad
}

/// Forgets the words that have been understood.
pub fn forget_words(now: Res<Now>, mut people: Query<&mut Person>) {
    for mut person in &mut people {
        let present = now.0;
        if person
            .voice
            .coming
            .iter()
            .any(|(_, known)| *known < present)
        {
            person.voice.coming.retain(|(_, known)| *known >= present);
        }
    }
}
