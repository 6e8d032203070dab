//! The pump unit: its body and all that moves on it.

use crate::flow::FrameSystems;
use crate::settings::{Quality, Settings};
use crate::stage::{Show, Stage};
use crate::world::merge::{Merger, Shadows, Wanted};
use crate::world::noise::chance;
use crate::world::site::OfYard;
use crate::world::store::Store;
use bevy::gltf::GltfExtras;
use bevy::prelude::*;
use bevy::world_serialization::{WorldAssetRoot, WorldInstanceReady};
use core::f32::consts::TAU;
use crew::{Control, TICKS_PER_SECOND};
use std::collections::BTreeSet;
use yard::view::MachineView;

/// The unit as a whole.
#[derive(Component)]
struct Unit {
    home: Vec3,
}

/// A part that moves, as it rests.
#[derive(Component, Clone, Copy, Debug)]
struct Moving {
    rest: Transform,
    by: By,
}

/// What moves a part. Each turns about, or slides along, its own upward axis.
#[derive(Clone, Copy, Debug, PartialEq)]
enum By {
    /// A control: degrees from one end of its travel to the other, and metres.
    Control(Control, [f32; 2], f32),
    /// What a dial shows.
    Dial(Shown, Dial),
    /// The guard of the oil: it is seen while that has stopped the engine.
    OilTrip,
    /// The engine, so many turns for one of its own.
    Engine(f32),
    /// The pump's crank: so far back and forth, and where in the turn.
    Crank(f32, f32),
}

/// What a dial of the unit shows, in the unit that stands on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    /// The pressure at the pump, as its needle follows it, bar.
    Pressure,
    /// The speed of the engine, revolutions per minute.
    Speed,
    /// The pressure at the pump's inlet against that of the air, bar.
    Inlet,
    /// The pressure of the power end's oil, bar.
    OilPressure,
    /// Its temperature, degrees Celsius.
    OilHeat,
    /// The temperature of the tank, degrees Celsius.
    Tank,
}

impl Shown {
    fn of(self, machine: &MachineView) -> f64 {
        match self {
            Shown::Pressure => machine.needle_pa / 1e5,
            Shown::Speed => 60.0 * machine.engine_rev_s,
            Shown::Inlet => machine.inlet_pa / 1e5,
            Shown::OilPressure => machine.oil_pa / 1e5,
            Shown::OilHeat => machine.oil_c,
            Shown::Tank => machine.tank_c,
        }
    }

    /// What the dial with this needle shows, and where the numbers of its scale end
    /// where its file does not say.
    fn by_needle(name: &str) -> Option<(Self, f32)> {
        Some(match name {
            "gauge_needle" => (Shown::Pressure, 1600.0),
            "tacho_needle" => (Shown::Speed, 3000.0),
            "inlet_needle" => (Shown::Inlet, 5.0),
            "oil_pressure_needle" => (Shown::OilPressure, 6.0),
            "oil_heat_needle" => (Shown::OilHeat, 120.0),
            "tank_needle" => (Shown::Tank, 80.0),
            _ => return None,
        })
    }
}

/// A dial: degrees and values at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Dial {
    deg: [f32; 2],
    value: [f32; 2],
}

impl Dial {
    fn turn(self, value: f32) -> f32 {
        let [low, high] = self.value;
        // The stops of a dial lie just beyond its numbers.
        let share = ((value - low) / (high - low)).clamp(-0.01, 1.02);
        (self.deg[0] + (self.deg[1] - self.deg[0]) * share).to_radians()
    }
}

/// How the engine and the pump have turned so far, in turns, and when that was.
#[derive(Resource, Default)]
struct Turned {
    engine: f32,
    pump: f32,
    at_s: f64,
}

fn put_up(
    mut commands: Commands,
    stage: Res<Stage>,
    settings: Res<Settings>,
    store: Res<Store>,
    server: Res<AssetServer>,
    mut shown: Local<Option<(String, Quality)>>,
) {
    let Some(show) = &stage.show else { return };
    let level = &show.loaded.level;
    let wanted = (level.id.clone(), settings.quality);
    if shown.as_ref() == Some(&wanted) {
        return;
    }
    *shown = Some(wanted);
    let (Some(body), Some(model)) = (
        level.site.walls.first(),
        store.model(&server, "pump_unit", &settings),
    ) else {
        return;
    };
    let home = Vec3::new(body.at[0] as f32, 0.0, body.at[2] as f32);
    commands
        .spawn((
            OfYard,
            Unit { home },
            WorldAssetRoot(model),
            Transform::from_translation(home),
        ))
        .observe(bind);
}

/// Finds the parts that move, once the model has come in.
fn bind(
    on: On<WorldInstanceReady>,
    mut commands: Commands,
    children: Query<&Children>,
    nodes: Query<(&Name, &Transform, Option<&GltfExtras>)>,
    mut merger: Merger,
) {
    let mut moving = BTreeSet::new();
    for entity in children.iter_descendants(on.entity) {
        let Ok((name, rest, extras)) = nodes.get(entity) else {
            continue;
        };
        let extras = extras.map_or("", |extras| extras.value.as_str());
        if let Some(by) = moved_by(name, extras) {
            commands.entity(entity).insert(Moving { rest: *rest, by });
            moving.insert(entity);
        }
    }
    merger.merge(
        on.entity,
        |entity| moving.contains(&entity),
        |_| Wanted::Merged,
        Shadows::Thrown,
    );
}

/// What moves the node of this name, by what its file says of it.
fn moved_by(name: &str, extras: &str) -> Option<By> {
    let told: serde_json::Value = serde_json::from_str(extras).unwrap_or_default();
    let number = |key: &str, or: f32| {
        told.get(key)
            .and_then(serde_json::Value::as_f64)
            .map_or(or, |n| n as f32)
    };
    let dial = |until: f32| Dial {
        deg: [number("deg_at_min", 0.0), number("deg_at_max", -270.0)],
        value: [number("value_min", 0.0), number("value_max", until)],
    };
    if let Some(id) = name.strip_prefix("ctl_") {
        let control = Control::by_id(id)?;
        let deg = [number("deg_min", 0.0), number("deg_max", 0.0)];
        return Some(By::Control(control, deg, number("travel_m", 0.0)));
    }
    if let Some(n) = name.strip_prefix("plunger_") {
        let n: u8 = n.parse().ok()?;
        return Some(By::Crank(number("travel_m", 0.03), f32::from(n) / 3.0));
    }
    if let Some((shown, until)) = Shown::by_needle(name) {
        return Some(By::Dial(shown, dial(until)));
    }
    match name {
        "oil_lamp" => Some(By::OilTrip),
        "engine_fan" => Some(By::Engine(number("rpm_ratio", 1.0))),
        _ => None,
    }
}

/// The moment between the two pictures, seconds.
pub fn moment_s(show: &Show) -> f64 {
    let (before, now) = (show.before.tick.0 as f64, show.now.tick.0 as f64);
    (before + (now - before) * f64::from(show.alpha)) / f64::from(TICKS_PER_SECOND)
}

fn turn(stage: Res<Stage>, mut turned: ResMut<Turned>) {
    let Some(show) = &stage.show else { return };
    let at_s = moment_s(show);
    // A replay jumps; what turns does not.
    let by_s = (at_s - turned.at_s).clamp(0.0, 0.25) as f32;
    turned.at_s = at_s;
    turned.engine = (turned.engine + by_s * show.number(|f| f.machine.engine_rev_s)).fract();
    turned.pump = (turned.pump + by_s * show.number(|f| f.machine.pump_rev_s)).fract();
}

fn shake(stage: Res<Stage>, turned: Res<Turned>, mut units: Query<(&Unit, &mut Transform)>) {
    let Some(show) = &stage.show else { return };
    let runs = show.now.machine.runs || show.now.machine.cranks;
    let labour = show.number(|f| f.machine.labour);
    for (unit, mut transform) in &mut units {
        let moment = (turned.at_s * 60.0) as i32;
        let pick = |n: i32| chance(moment, n, 5) - 0.5;
        let by = Vec3::new(pick(0), pick(1), pick(2)) * 0.0011 * (0.6 + 0.6 * labour);
        transform.translation = unit.home + if runs { by } else { Vec3::ZERO };
    }
}

fn set(
    stage: Res<Stage>,
    turned: Res<Turned>,
    mut parts: Query<(&Moving, &mut Transform, &mut Visibility)>,
) {
    let Some(show) = &stage.show else { return };
    for (part, mut transform, mut visible) in &mut parts {
        let (rad, metres) = match part.by {
            By::Control(control, [from, to], travel) => {
                let share = show.share(control).unwrap_or(0.0);
                ((from + (to - from) * share).to_radians(), travel * share)
            }
            By::Dial(shown, dial) => (dial.turn(show.number(|f| shown.of(&f.machine))), 0.0),
            By::OilTrip => {
                visible.set_if_neq(if show.now.machine.oil_tripped {
                    Visibility::Inherited
                } else {
                    Visibility::Hidden
                });
                (0.0, 0.0)
            }
            By::Engine(ratio) => (TAU * (turned.engine * ratio), 0.0),
            By::Crank(travel, phase) => {
                let turn = TAU * (turned.pump + phase);
                (0.0, 0.5 * travel * turn.sin())
            }
        };
        transform.rotation = part.rest.rotation * Quat::from_rotation_y(rad);
        transform.translation = part.rest.translation + part.rest.rotation * Vec3::Y * metres;
    }
}

/// Sets up the unit.
pub fn plugin(app: &mut App) {
    app.init_resource::<Turned>().add_systems(
        Update,
        (put_up, turn, shake, set)
            .chain()
            .after(super::site::put_up)
            .in_set(FrameSystems::Show),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_known_by_name_and_by_what_their_file_says() {
        let lever = r#"{"kind":"lever","deg_min":0.0,"deg_max":-90.0}"#;
        assert_eq!(
            moved_by("ctl_dump", lever),
            Some(By::Control(Control::Dump, [0.0, -90.0], 0.0))
        );
        assert_eq!(moved_by("ctl_nothing", lever), None);
        assert_eq!(moved_by("frame", ""), None);
        assert!(matches!(
            moved_by("gauge_needle", "no json"),
            Some(By::Dial(Shown::Pressure, _))
        ));
        let inlet = r#"{"value_min":-1.0,"value_max":5.0}"#;
        let Some(By::Dial(shown, dial)) = moved_by("inlet_needle", inlet) else {
            panic!("no dial");
        };
        // Below the pressure of the air it still shows something.
        let machine = MachineView {
            inlet_pa: -0.5e5,
            ..MachineView::default()
        };
        let deg = dial.turn(shown.of(&machine) as f32).to_degrees();
        assert!((deg + 270.0 * 0.5 / 6.0).abs() < 1e-3, "{deg}");
        assert_eq!(moved_by("oil_lamp", ""), Some(By::OilTrip));
    }

    #[test]
    fn the_model_has_every_dial_and_the_lamp() {
        let model = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../assets/models/pump_unit.glb"
        );
        for file in [model.to_owned(), model.replace(".glb", ".low.glb")] {
            let bytes = std::fs::read(&file).expect("a model");
            // The first piece of such a file is text: what it is made of, by name.
            let long = u32::from_le_bytes([bytes[12], bytes[13], bytes[14], bytes[15]]);
            let text = &bytes[20..20 + long as usize];
            let told: serde_json::Value = serde_json::from_slice(text).expect("json");
            let nodes = told["nodes"].as_array().expect("nodes");
            let moved: Vec<By> = nodes
                .iter()
                .filter_map(|node| {
                    let name = node["name"].as_str()?;
                    moved_by(name, &node["extras"].to_string())
                })
                .collect();
            for shown in [
                Shown::Pressure,
                Shown::Speed,
                Shown::Inlet,
                Shown::OilPressure,
                Shown::OilHeat,
                Shown::Tank,
            ] {
                let is = |by: &&By| matches!(by, By::Dial(of, _) if *of == shown);
                assert_eq!(moved.iter().filter(is).count(), 1, "{file}: {shown:?}");
            }
            assert!(moved.contains(&By::OilTrip), "{file}");
        }
    }

    #[test]
    fn a_dial_stops_just_beyond_its_numbers() {
        let dial = Dial {
            deg: [0.0, -270.0],
            value: [0.0, 1600.0],
        };
        let deg = |value: f32| dial.turn(value).to_degrees();
        assert!((deg(800.0) + 135.0).abs() < 1e-3);
        assert!(deg(5000.0) > -280.0 && deg(5000.0) < -270.0);
    }
}
