//! What the engine shows of itself: haze from the exhaust, and the beacon.

use crate::flow::FrameSystems;
use crate::stage::Stage;
use crate::world::merge::Lamp;
use crate::world::noise::chance;
use crate::world::unit::moment_s;
use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

/// Where the exhaust ends, seen from the middle of the unit's footprint.
const EXHAUST: Vec3 = Vec3::new(-0.2, 1.86, -0.34);

/// Puffs in the air at a time.
const PUFFS: u32 = 14;

/// How long a puff is seen, seconds.
const SEEN_S: f32 = 1.7;

/// Points around a puff.
const SIDES: u32 = 10;

/// The haze.
#[derive(Component)]
struct Haze;

fn set_up(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let points = (PUFFS * (SIDES + 1)) as usize;
    let corners = (0..PUFFS)
        .flat_map(|puff| {
            let first = puff * (SIDES + 1);
            (0..SIDES).flat_map(move |n| [first, first + 1 + n, first + 1 + (n + 1) % SIDES])
        })
        .collect();
    let mesh = Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, vec![[0.0; 3]; points])
    .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, vec![[0.0; 4]; points])
    .with_inserted_indices(Indices::U32(corners));
    commands.spawn((
        Haze,
        NotShadowCaster,
        NoFrustumCulling,
        Mesh3d(meshes.add(mesh)),
        MeshMaterial3d(materials.add(StandardMaterial {
            unlit: true,
            cull_mode: None,
            alpha_mode: AlphaMode::Blend,
            ..default()
        })),
        Visibility::Hidden,
    ));
}

fn drift(
    stage: Res<Stage>,
    camera: Query<&GlobalTransform, With<super::YardCamera>>,
    mut hazes: Query<(&Mesh3d, &mut Visibility), With<Haze>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let show = stage.show.as_ref().filter(|show| show.now.machine.runs);
    for (mesh, mut visibility) in &mut hazes {
        let (Some(show), Some(camera)) = (show, camera.iter().next()) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        let Some(body) = show.loaded.level.site.walls.first() else {
            continue;
        };
        visibility.set_if_neq(Visibility::Inherited);
        let home = Vec3::new(body.at[0] as f32, 0.0, body.at[2] as f32) + EXHAUST;
        let labour = show.number(|f| f.machine.labour);
        let (right, up) = (camera.right(), camera.up());
        let (mut at, mut colour) = (Vec::new(), Vec::new());
        for puff in 0..PUFFS {
            let age = moment_s(show) as f32 / SEEN_S + puff as f32 / PUFFS as f32;
            let (turn, age) = (age.floor() as i32, age.fract());
            let pick = |n: i32| chance(turn, n, puff) - 0.5;
            let middle = home
                + Vec3::Y * (0.15 + 1.3 * age)
                + Vec3::new(0.35 * age + 0.3 * pick(0) * age, 0.0, 0.3 * pick(1) * age);
            let size = 0.07 + 0.34 * age;
            let thick = (0.05 + 0.09 * labour) * (1.0 - age) * (age * 8.0).min(1.0);
            let grey = 0.42 - 0.2 * labour;
            at.push(middle.to_array());
            colour.push([grey, grey, grey, thick]);
            for n in 0..SIDES {
                let round = Vec2::from_angle(core::f32::consts::TAU * n as f32 / SIDES as f32);
                let rim = middle + (right * round.x + up * round.y) * size;
                at.push(rim.to_array());
                colour.push([grey, grey, grey, 0.0]);
            }
        }
        if let Some(mut mesh) = meshes.get_mut(&mesh.0) {
            mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, at);
            mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, colour);
        }
    }
}

/// Flashes in a second.
const FLASHES_HZ: f32 = 1.1;

fn flash(
    stage: Res<Stage>,
    beacons: Query<&MeshMaterial3d<StandardMaterial>, With<Lamp>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(show) = &stage.show else { return };
    let turn = moment_s(show) as f32 * FLASHES_HZ;
    let bright = (core::f32::consts::TAU * turn).cos().max(0.0).powi(6);
    let glow = if show.now.machine.runs { bright } else { 0.0 };
    let light = LinearRgba::rgb(1.0, 0.48, 0.08) * (2_600.0 * glow);
    for paint in &beacons {
        // What is touched is sent to the adapter anew.
        if materials.get(&paint.0).is_some_and(|m| m.emissive != light)
            && let Some(mut material) = materials.get_mut(&paint.0)
        {
            material.emissive = light;
        }
    }
}

/// Sets up haze and beacon.
pub fn plugin(app: &mut App) {
    app.add_systems(Startup, set_up)
        .add_systems(Update, (drift, flash).in_set(FrameSystems::Show));
}
