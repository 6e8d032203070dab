//! The one place where what the yard computes becomes whole quanta.

use crate::hose::Hose;
use crate::jets::Aimed;
use crate::machine::{Needle, Station, Water};
use crate::noise::Noise;
use crate::people::Person;
use crate::senses::is_limp;
use crate::surface::Wall;
use crate::tool::Tool;
use crate::yard::{Fault, Happened, Last, Measured, Now, Place, Watching};
use bevy::ecs::system::{Query, Res, ResMut};
use crew::{Control, Seat};
use training::{Channel, Observation, Raw};

const BAR: f64 = 1e-5;
const L_MIN: f64 = 60_000.0;
const RPM: f64 = 60.0 / core::f64::consts::TAU;
const DEG: f64 = 180.0 / core::f64::consts::PI;

/// Makes the observation of this tick.
#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
pub fn observe(
    now: Res<Now>,
    place: Res<Place>,
    measured: Res<Measured>,
    station: Res<Station>,
    tool: Res<Tool>,
    water: Res<Water>,
    needle: Res<Needle>,
    noise: Res<Noise>,
    hose: Res<Hose>,
    wall: Option<Res<Wall>>,
    mut aimed: ResMut<Aimed>,
    mut watching: ResMut<Watching>,
    mut happened: ResMut<Happened>,
    mut last: ResMut<Last>,
    mut fault: ResMut<Fault>,
    people: Query<&Person>,
) {
    let flows = &measured.0;
    let end = &flows.end;
    let who = |seat| people.iter().find(|p| p.seat == seat);
    let (pump_hand, lance_hand) = (who(Seat::PUMP), who(Seat::LANCE));
    let (watch, visitor) = (who(Seat::WATCH), who(Seat::VISITOR));
    let of =
        |person: Option<&Person>, value: fn(&Person) -> f64| Raw::steady(person.map_or(0.0, value));
    let balance = water.circuit.state().balance;
    let regulator = &water.circuit.spec().regulator;
    let litres = |kg: f64| Raw::steady(1000.0 * kg / place.density_kg_m3);
    let at = |control| Raw::steady(f64::from(station.position(control)));
    let raws: Vec<Raw> = Channel::ALL
        .iter()
        .map(|channel| match channel {
            Channel::PumpPressure => flows.pump_pa.raw(BAR),
            Channel::Gauge => Raw::steady(needle.shown_pa * BAR),
            Channel::GunPressure => flows.gun_pa.raw(BAR),
            Channel::ToolFlow => flows.tool_m3_s.raw(L_MIN),
            Channel::BypassFlow => flows.bypass_m3_s.raw(L_MIN),
            Channel::Thrust => flows.thrust_n.raw(1.0),
            Channel::EngineSpeed => Raw::steady(end.engine_speed_rad_s * RPM),
            // What the hand has set: without its air the regulator holds less, and that is no deed.
            Channel::SetPressure => {
                Raw::steady(BAR * regulator.set_pressure_pa(station.share(Control::Regulator)))
            }
            Channel::Throttle => Raw::steady(100.0 * station.share(Control::Throttle)),
            Channel::TankTemperature => Raw::steady(end.tank_temperature_c),
            Channel::WaterUsed => litres(balance.run_off_kg() + balance.bleed_kg),
            Channel::FuelUsed => Raw::steady(water.fuel_kg / DIESEL_KG_L),
            Channel::Key => at(Control::Key),
            Channel::EngineRuns => Raw::on(water.engine_turns),
            Channel::DumpLever => at(Control::Dump),
            Channel::DumpOpen => Raw::steady(100.0 * end.dump_opening),
            Channel::SupplyOpen => at(Control::Supply),
            Channel::AirBleedOpen => at(Control::AirBleed),
            Channel::BleedOpen => at(Control::Bleed),
            Channel::BleedRuns => Raw::on(end.dripping),
            Channel::EmergencyStop => at(Control::EmergencyStop),
            Channel::Trigger if tool.tied => Raw::steady(100.0),
            Channel::Trigger => of(lance_hand, |p| 100.0 * p.hands.squeeze),
            Channel::NozzleFitted => Raw::on(tool.nozzle.is_some()),
            Channel::HoseLimp => Raw::on(is_limp(end.pump_pressure_pa, end.gun_pressure_pa)),
            Channel::PumpHandToDump => Raw::steady(pump_hand.map_or(0.0, |p| {
                let feet = p.feet();
                place.site.control(Control::Dump).map_or(0.0, |[x, _, z]| {
                    let (dx, dz) = (x - feet.x, z - feet.z);
                    (dx * dx + dz * dz).sqrt()
                })
            })),
            Channel::PumpHandX => of(pump_hand, |p| p.feet().x),
            Channel::PumpHandZ => of(pump_hand, |p| p.feet().z),
            Channel::LanceHandX => of(lance_hand, |p| p.feet().x),
            Channel::LanceHandZ => of(lance_hand, |p| p.feet().z),
            Channel::LanceHandLean => of(lance_hand, |p| p.lean_rad() * DEG),
            Channel::LanceBraced => of(lance_hand, |p| 100.0 * p.body.braced()),
            Channel::HoseStretch => flows.stretch_m.raw(1000.0),
            Channel::PumpHandFallen => of(pump_hand, fallen),
            Channel::LanceHandFallen => of(lance_hand, fallen),
            Channel::PumpHandHolds => of(pump_hand, holds),
            Channel::LanceHandHolds => of(lance_hand, holds),
            Channel::PumpHandWorks => of(pump_hand, works),
            Channel::LanceHandWorks => of(lance_hand, works),
            Channel::PumpHandSpeaks => of(pump_hand, speaks),
            Channel::LanceHandSpeaks => of(lance_hand, speaks),
            Channel::SafetyCatch => of(lance_hand, |p| f64::from(u8::from(p.hands.catch_on))),
            Channel::ToolAt => Raw::steady(tool.code()),
            Channel::ToolAway => Raw::steady(lance_hand.map_or(0.0, |p| {
                let (grip, feet) = (tool.grip(p), p.feet());
                let (dx, dz) = (grip.x - feet.x, grip.z - feet.z);
                (dx * dx + dz * dz).sqrt()
            })),
            Channel::TriggerTied => Raw::on(tool.tied),
            Channel::Nozzle => Raw::steady(tool.nozzle.map_or(0.0, |n| f64::from(n) + 1.0)),
            Channel::StandOff => {
                Raw::steady(1000.0 * aimed.target.spot.map_or(0.0, |(_, way_m)| way_m))
            }
            Channel::TravelSpeed => Raw::steady(1000.0 * aimed.stroked.travel_m_s),
            Channel::ImpactPressure => Raw::steady(aimed.stroked.impact_pa * BAR),
            Channel::SurfaceClean => Raw::steady(wall.as_ref().map_or(0.0, |w| w.clean_pct())),
            Channel::PointedAt => Raw::steady(
                aimed
                    .target
                    .person
                    .map_or(0.0, |(seat, _)| f64::from(seat.0) + 1.0),
            ),
            Channel::PointedFrom => Raw::steady(aimed.target.person.map_or(0.0, |(_, m)| m)),
            Channel::JetToFeet => Raw::steady(aimed.target.feet_m),
            Channel::PointedAtKeptDry => Raw::on(aimed.target.kept_dry),
            Channel::LanceHandSpeed => of(lance_hand, |p| p.speed_m_s),
            Channel::HoseHeld => of(lance_hand, |p| f64::from(u8::from(p.hands.hose.is_some()))),
            Channel::Barrier => at(Control::Barrier),
            Channel::PumpHandWears => of(pump_hand, |p| f64::from(p.hands.wears)),
            Channel::LanceHandWears => of(lance_hand, |p| f64::from(p.hands.wears)),
            Channel::Intruder => Raw::on(aimed.intruder),
            Channel::IntruderSeenByLance => Raw::on(aimed.intruder_seen.1),
            Channel::IntruderSeenByPump => Raw::on(aimed.intruder_seen.0),
            Channel::WatchX => of(watch, |p| p.feet().x),
            Channel::WatchZ => of(watch, |p| p.feet().z),
            Channel::VisitorX => of(visitor, |p| p.feet().x),
            Channel::VisitorZ => of(visitor, |p| p.feet().z),
            Channel::NoiseAtPumpHand => Raw::steady(noise.pump.level_db),
            Channel::NoiseAtLanceHand => Raw::steady(noise.lance.level_db),
            Channel::NoiseDosePumpHand => Raw::steady(100.0 * noise.pump.dose.share()),
            Channel::NoiseDoseLanceHand => Raw::steady(100.0 * noise.lance.dose.share()),
            Channel::WaterDrawn => litres(balance.drawn_kg()),
            Channel::RunOff => litres(balance.run_off_kg()),
            Channel::RunOffAtUnit => litres(balance.at_the_unit_kg()),
            Channel::WaterReturned => litres(balance.returned_kg),
            Channel::SurfaceDamaged => Raw::steady(wall.as_ref().map_or(0.0, |w| w.damaged_pct())),
            Channel::Starved => Raw::on(end.starved),
            Channel::InletPressure => Raw::steady(end.inlet_pressure_pa * BAR),
            Channel::OilPressure => Raw::steady(end.oil_pressure_pa * BAR),
            Channel::OilTemperature => Raw::steady(end.oil_temperature_c),
            Channel::OilTrip => Raw::steady(f64::from(end.oil_trip as u8)),
            Channel::RodLoad => flows
                .pump_pa
                .raw(1e-3 * water.circuit.spec().pump.rod_load_n(1.0)),
            Channel::DiscBurst => Raw::on(end.disc_burst),
            Channel::LanceOutlet => at(Control::LanceOutlet),
            Channel::PedalOutlet => at(Control::PedalOutlet),
            Channel::Pedal => of(who(Seat::MATE), |p| 100.0 * p.hands.squeeze),
            Channel::PedalPressure => flows.pedal_pa.raw(BAR),
            Channel::PedalFlow => flows.pedal_m3_s.raw(L_MIN),
            Channel::PumpRestraint => at(Control::PumpRestraint),
            Channel::GunRestraint => at(Control::GunRestraint),
            Channel::Footing => Raw::steady(lance_hand.map_or(0.0, |p| {
                let feet = p.feet();
                100.0 * place.site.friction([feet.x, feet.z])
            })),
            Channel::HoseParted => Raw::steady(if end.torn.at_gun.is_some() {
                1.0
            } else if end.torn.at_pump.is_some() {
                2.0
            } else {
                0.0
            }),
            Channel::HoseEndSpeed => flows.end_speed_m_s.raw(1.0),
            Channel::RestraintLoad => flows.restraint_n.raw(1e-3),
            Channel::LanceHandHurt => of(lance_hand, hurt),
            Channel::PumpHandHurt => of(pump_hand, hurt),
            Channel::WatchHurt => of(watch, hurt),
            Channel::VisitorHurt => of(visitor, hurt),
            Channel::HoseKinked => Raw::on(hose.is_kinked()),
        })
        .collect();
    match watching.0.take(now.0, &raws) {
        Ok(samples) => last.0.set_all(samples),
        Err(not_measurable) => fault.0 = Some(not_measurable),
    }
    last.0.tick = now.0;
    last.0.events = std::mem::take(&mut happened.0);
    last.0.steps = std::mem::take(&mut aimed.steps);
}

/// Density of diesel fuel, kilograms per litre (EN 590: 0.820 to 0.845 at 15
/// degrees Celsius).
const DIESEL_KG_L: f64 = 0.835;

fn hurt(person: &Person) -> f64 {
    person.hurt.map_or(0.0, |grade| f64::from(grade.number()))
}

fn fallen(person: &Person) -> f64 {
    f64::from(u8::from(person.body.is_fallen()))
}

fn holds(person: &Person) -> f64 {
    person
        .hands
        .holding
        .map_or(0.0, |c| f64::from(c as u8) + 1.0)
}

fn works(person: &Person) -> f64 {
    person
        .hands
        .work
        .map_or(0.0, |(t, _)| f64::from(t as u8) + 1.0)
}

fn speaks(person: &Person) -> f64 {
    f64::from(u8::from(person.voice.saying.is_some()))
}

/// The observation before the first tick: how a level stands at its start.
pub fn before_the_start() -> Observation {
    Observation::with_table(&training::channels::table())
}
