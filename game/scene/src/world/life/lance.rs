//! The lance, wherever it is, and the nozzle on it.

use super::{LifeSystems, OfYard};
use crate::settings::Settings;
use crate::stage::{Stage, point};
use crate::things::nozzle_place;
use crate::world::kit::{Mason, Stuff};
use crate::world::merge::{Merger, Shadows, Wanted};
use crate::world::store::Store;
use bevy::prelude::*;
use bevy::world_serialization::WorldInstanceReady;
use training::Level;
use yard::view::{Spread, ToolView};

/// The lance.
#[derive(Component)]
struct Lance;

/// A part of it that moves, and how it stands at rest.
#[derive(Component)]
enum Moving {
    Trigger(Quat),
    Catch(Quat),
}

/// A nozzle of the level, by its place in the list.
#[derive(Component)]
struct Nozzle(u8);

/// From the model's origin to its tip, metres.
pub(super) const TIP_M: f32 = 1.25;

/// Length of a nozzle, metres.
pub(super) const NOZZLE_M: f32 = 0.06;

/// How far the trigger turns, radians.
const SQUEEZE_RAD: f32 = -0.28;

/// How far the safety catch turns when it is off, radians.
const CATCH_RAD: f32 = 1.05;

#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
fn put_up(
    stage: Res<Stage>,
    settings: Res<Settings>,
    assets: Res<AssetServer>,
    store: Res<Store>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    if let Some(model) = store.model(&assets, "lance", &settings) {
        commands
            .spawn((
                OfYard,
                Lance,
                WorldAssetRoot(model),
                Transform::default(),
                Visibility::default(),
            ))
            .observe(bind);
    }
    let ring = meshes.add(Cylinder::new(0.0175, 0.010));
    // Hexagon and tip, each with where its middle is along the nozzle.
    let plain = [
        (
            meshes.add(Cylinder::new(0.0145, 0.026).mesh().resolution(6)),
            -0.025,
        ),
        (
            meshes.add(
                ConicalFrustum {
                    radius_top: 0.007,
                    radius_bottom: 0.0125,
                    height: 0.022,
                }
                .mesh()
                .resolution(20),
            ),
            -0.049,
        ),
    ];
    let steel = materials.add(StandardMaterial {
        base_color: Color::srgb(0.62, 0.63, 0.62),
        metallic: 0.9,
        perceptual_roughness: 0.35,
        ..default()
    });
    for (n, nozzle) in show.loaded.level.equipment.nozzles.iter().enumerate() {
        let name = nozzle_model(Spread::of(&nozzle.jet));
        let mark = materials.add(StandardMaterial {
            base_color: mark(n as u8),
            perceptual_roughness: 0.5,
            ..default()
        });
        let mut nozzle = commands.spawn((
            OfYard,
            Nozzle(n as u8),
            Transform::default(),
            Visibility::default(),
            children![(
                Mesh3d(ring.clone()),
                MeshMaterial3d(mark),
                Transform::from_xyz(0.0, 0.0, -0.012)
                    .with_rotation(Quat::from_rotation_x(core::f32::consts::FRAC_PI_2)),
            )],
        ));
        let Some(name) = name else {
            let along = Quat::from_rotation_x(-core::f32::consts::FRAC_PI_2);
            nozzle.with_children(|parts| {
                for (shape, z) in &plain {
                    parts.spawn((
                        Mesh3d(shape.clone()),
                        MeshMaterial3d(steel.clone()),
                        Transform::from_xyz(0.0, 0.0, *z).with_rotation(along),
                    ));
                }
            });
            continue;
        };
        if let Some(model) = store.model(&assets, name, &settings) {
            nozzle.insert(WorldAssetRoot(model)).observe(
                |on: On<WorldInstanceReady>, mut merger: Merger| {
                    merger.merge(on.entity, |_| false, |_| Wanted::Merged, Shadows::None);
                },
            );
        }
    }
}

/// The model of a nozzle whose jet spreads like that.
pub(super) fn nozzle_model(spread: Spread) -> Option<&'static str> {
    match spread {
        Spread::Fan { .. } => Some("nozzle_fan"),
        Spread::Cone { .. } => Some("nozzle_rotating"),
        // No more than a hexagon with a bore.
        Spread::Round | Spread::Bare => None,
    }
}

/// A nozzle that is no more than a hexagon with a bore, in the frame of the lance's end.
pub(super) fn plain_nozzle(m: &mut Mason) {
    m.of(Stuff::Steel, 0xb9bdb8);
    m.bar(Vec3::NEG_Z * 0.012, Vec3::NEG_Z * 0.038, 0.0145, 6);
    m.horn(
        Vec3::NEG_Z * 0.038,
        Vec3::NEG_Z * NOZZLE_M,
        0.0125,
        0.007,
        20,
    );
}

/// The ring by which nozzles are told apart.
fn mark(nozzle: u8) -> Color {
    match nozzle % 4 {
        0 => Color::srgb(0.10, 0.45, 0.48),
        1 => Color::srgb(0.80, 0.52, 0.10),
        2 => Color::srgb(0.72, 0.72, 0.70),
        _ => Color::srgb(0.35, 0.22, 0.42),
    }
}

fn bind(
    on: On<WorldInstanceReady>,
    children: Query<&Children>,
    named: Query<(&Name, &Transform)>,
    mut commands: Commands,
    mut merger: Merger,
) {
    let mut moving = Vec::new();
    for part in children.iter_descendants(on.entity) {
        let Ok((name, rest)) = named.get(part) else {
            continue;
        };
        match name.as_str() {
            "trigger" => {
                commands.entity(part).insert(Moving::Trigger(rest.rotation));
                moving.push(part);
            }
            "safety_catch" => {
                commands.entity(part).insert(Moving::Catch(rest.rotation));
                moving.push(part);
            }
            _ => {}
        }
    }
    merger.merge(
        on.entity,
        |e| moving.contains(&e),
        |_| Wanted::Merged,
        Shadows::Thrown,
    );
}

/// A turn that points -Z along a direction and keeps the grip below.
pub(super) fn pointing(ahead: Vec3) -> Quat {
    Transform::default().looking_to(ahead, Vec3::Y).rotation
}

/// What is neither the lance nor a part of it.
type Apart = (Without<Lance>, Without<Moving>);

fn hold(
    stage: Res<Stage>,
    mut lances: Query<&mut Transform, With<Lance>>,
    mut moving: Query<(&Moving, &mut Transform), Without<Lance>>,
    mut nozzles: Query<(&Nozzle, &mut Transform, &mut Visibility), Apart>,
) {
    let Some(show) = &stage.show else { return };
    let tool = &show.now.tool;
    let tip = show.place(|f| f.tool.tip);
    let before = point(show.before.tool.points);
    let ahead = before
        .lerp(point(tool.points), show.alpha)
        .try_normalize()
        .unwrap_or(Vec3::X);
    for mut lance in &mut lances {
        *lance = Transform::from_translation(tip - ahead * TIP_M).with_rotation(pointing(ahead));
    }
    let squeeze = show.number(|f| f.tool.squeeze);
    for (part, mut transform) in &mut moving {
        transform.rotation = match part {
            Moving::Trigger(rest) => *rest * Quat::from_rotation_y(SQUEEZE_RAD * squeeze),
            Moving::Catch(rest) if tool.catch_on => *rest,
            Moving::Catch(rest) => *rest * Quat::from_rotation_y(CATCH_RAD),
        };
    }
    for (nozzle, mut transform, mut visibility) in &mut nozzles {
        let (place, seen) = if tool.nozzle == Some(nozzle.0) {
            (
                Some(
                    Transform::from_translation(tip - ahead * NOZZLE_M)
                        .with_rotation(pointing(ahead)),
                ),
                true,
            )
        } else {
            let at = in_tray(&show.loaded.level, tool, nozzle.0);
            (at, at.is_some())
        };
        if let Some(place) = place {
            *transform = place;
        }
        visibility.set_if_neq(if seen {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
}

fn in_tray(level: &Level, tool: &ToolView, nozzle: u8) -> Option<Transform> {
    nozzle_place(level, tool, nozzle).map(Transform::from_translation)
}

/// Sets up the lance.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            hold.in_set(LifeSystems::Move),
        ),
    );
}
