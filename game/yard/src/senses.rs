//! What each person can see, hear and feel from where they stand.

use crate::machine::{Needle, Station, Tool, Water};
use crate::people::Person;
use crate::yard::{Measured, Now, Place};
use bevy::ecs::resource::Resource;
use bevy::ecs::system::{Query, Res, ResMut};
use crew::percept::{OwnBody, Percepts, SIGHT_DELAY_S, Sound, TOUCH_DELAY_S};
use crew::tick::TICKS_PER_SECOND;
use crew::{Control, Seat, Tick};
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;

/// From how far a gauge of 100 mm can be read, metres (common practice, no
/// source).
const READ_GAUGE_M: f64 = 4.0;
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
/// Flow that is seen as a jet, cubic metres per second: half a litre a minute.
const JET_M3_S: f64 = 0.5 / 60_000.0;

/// What there is to be seen and heard in the yard at one tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Sights {
    needle_bar: f64,
    positions: Vec<u16>,
    bleed_runs: bool,
    air_spits: bool,
    limp: bool,
    jet_runs: bool,
    nozzle_fitted: bool,
    sound: Sound,
    loads_n: f64,
    leans: Vec<(Seat, f64)>,
}

/// The last moments, so that a sense can lag.
#[derive(Resource, Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Senses {
    /// The latest is last.
    moments: VecDeque<Sights>,
}

fn ticks(seconds: f64) -> usize {
    (seconds * f64::from(TICKS_PER_SECOND)).round() as usize
}

/// Keeps this tick's sights.
pub fn sense(
    measured: Res<Measured>,
    needle: Res<Needle>,
    station: Res<Station>,
    tool: Res<Tool>,
    water: Res<Water>,
    mut senses: ResMut<Senses>,
    people: Query<&Person>,
) {
    let flows = &measured.0;
    let end = &flows.end;
    let pump_m3_s = end.pump_flow_m3_s.max(1e-9);
    let mut leans: Vec<_> = people.iter().map(|p| (p.seat, p.lean_rad())).collect();
    leans.sort_by_key(|(seat, _)| *seat);
    senses.moments.push_back(Sights {
        needle_bar: needle.shown_pa / 1e5,
        positions: Control::ALL.iter().map(|c| station.position(*c)).collect(),
        bleed_runs: end.dripping,
        air_spits: end.air_fraction > AIR_SEEN && station.is_on(Control::AirBleed),
        limp: is_limp(end.pump_pressure_pa, end.gun_pressure_pa),
        jet_runs: flows.tool_m3_s.mean() > JET_M3_S,
        nozzle_fitted: tool.nozzle_fitted,
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
    });
    let longest = ticks(SIGHT_DELAY_S.max(TOUCH_DELAY_S)) + 1;
    while senses.moments.len() > longest {
        senses.moments.pop_front();
    }
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
    pub fn of(&self, person: &Person, place: &Place, hose: &[glam::DVec3], next: Tick) -> Percepts {
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
        percepts.heard = person
            .voice
            .coming
            .iter()
            .filter(|(_, known)| *known == next)
            .map(|(heard, _)| *heard)
            .collect();
        if let Some(felt) = self.ago(TOUCH_DELAY_S) {
            if person.seat == Seat::LANCE {
                percepts.body.push_n = felt.loads_n;
            }
            if let Some((_, lean)) = felt.leans.iter().find(|(s, _)| *s == person.seat) {
                percepts.body.lean_rad = *lean;
            }
        }
        let Some(seen) = self.ago(SIGHT_DELAY_S) else {
            return percepts;
        };
        let at_regulator = to_control(Control::Regulator);
        percepts.gauge_bar = (at_regulator <= READ_GAUGE_M).then_some(seen.needle_bar);
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
        percepts.nozzle_fitted = tool_near.then_some(seen.nozzle_fitted);
        percepts.sound = seen.sound;
        percepts
    }
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
