//! What people hear of the machine and of the jet, and what they have had of a
//! day's noise.

use crate::jets::Aimed;
use crate::people::Person;
use crate::senses::EYES_M;
use crate::tool::Tool;
use crate::yard::{Measured, Place};
use bevy::ecs::resource::Resource;
use bevy::ecs::system::{Query, Res, ResMut};
use crew::tick::TICK_S;
use crew::{Control, Ppe, Seat};
use glam::DVec3;
use hydraulics::Exit;
use hydraulics::noise::{Criterion, Dose, JetLoudness, MachineLoudness, level_at, together_db};
use serde::{Deserialize, Serialize};
use training::Level;

/// Nearer to a source than this its level does not rise: the law of distance
/// holds from a few sizes of it (a choice of this project).
const NEAREST_M: f64 = 1.0;
/// Height above the ground of the one spot that all noise of the unit comes
/// from, behind its key: about the middle of an engine, metres.
const ENGINE_M: f64 = 0.9;

/// How loud things are, and what may be borne.
#[derive(Clone, Copy, Debug)]
pub struct Loudness {
    jet: JetLoudness,
    machine: MachineLoudness,
    /// What ear defenders keep off, dB.
    defenders_db: f64,
    criterion: Criterion,
}

impl Loudness {
    /// As the level's assumptions, its engine and its region have it.
    pub fn of(level: &Level) -> Self {
        let (a, limits) = (&level.assumptions, &level.region.limits);
        Loudness {
            jet: JetLoudness {
                level_db: a.jet_noise_db,
                exponent: a.jet_noise_exponent,
            },
            machine: MachineLoudness {
                level_db: a.unit_noise_db,
                rated_rad_s: level.equipment.circuit.engine.rated_speed_rad_s,
                exponent: a.unit_noise_exponent,
            },
            defenders_db: a.defenders_db,
            criterion: Criterion {
                level_db: limits.noise_level_db.value,
                duration_s: limits.noise_hours_h.value * 3_600.0,
                exchange_db: limits.noise_exchange_db.value,
            },
        }
    }
}

/// What a person's ears have had.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Ear {
    /// Level at the ear in this tick, within ear defenders where they are worn,
    /// dB(A); 0 where it is quieter.
    pub level_db: f64,
    /// Share of a day's noise so far.
    pub dose: Dose,
}

/// The ears of the two hands.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Noise {
    /// The pump hand.
    pub pump: Ear,
    /// The lance hand.
    pub lance: Ear,
}

/// Hears this tick.
pub fn hear(
    place: Res<Place>,
    measured: Res<Measured>,
    aimed: Res<Aimed>,
    tool: Res<Tool>,
    mut noise: ResMut<Noise>,
    people: Query<&Person>,
) {
    let loud = &place.loudness;
    let flows = &measured.0;
    let exit = Exit::of(
        flows.mass_kg_s.mean(),
        flows.thrust_n.mean(),
        place.density_kg_m3,
    );
    // Out of a bare end water runs and does not roar.
    let jet_db = exit
        .filter(|_| tool.nozzle.is_some())
        .map_or(f64::NEG_INFINITY, |exit| loud.jet.level_db(&exit));
    let machine_db = loud.machine.level_db(flows.end.engine_speed_rad_s);
    let engine = place
        .site
        .control(Control::Key)
        .map_or(place.coupling, |[x, _, z]| DVec3::new(x, ENGINE_M, z));
    let second = place.site.second.as_ref().and_then(|second| {
        let mass_kg_s = flows.pedal_m3_s.mean() * place.density_kg_m3;
        let exit = Exit::of(mass_kg_s, flows.end.second.thrust_n, place.density_kg_m3)?;
        let [x, z] = second.at;
        Some((DVec3::new(x, ENGINE_M, z), loud.jet.level_db(&exit)))
    });
    let (second, second_db) = second.unwrap_or((engine, f64::NEG_INFINITY));
    let noise = &mut *noise;
    for (seat, ear) in [
        (Seat::PUMP, &mut noise.pump),
        (Seat::LANCE, &mut noise.lance),
    ] {
        let Some(person) = people.iter().find(|p| p.seat == seat) else {
            continue;
        };
        let head = person.feet() + DVec3::Y * EYES_M;
        let from =
            |at: DVec3, level_db: f64| level_at(level_db, 1.0, (at - head).length().max(NEAREST_M));
        let outside_db = together_db([
            from(aimed.tip, jet_db),
            from(engine, machine_db),
            from(second, second_db),
        ]);
        let worn = person.hands.wears & Ppe::EarDefenders.bit() != 0;
        let kept_off_db = if worn { loud.defenders_db } else { 0.0 };
        ear.level_db = (outside_db - kept_off_db).max(0.0);
        ear.dose.hear(&loud.criterion, ear.level_db, TICK_S);
    }
}
