//! The dark under a foot that stands: without it people seem to hover.

use super::{LifeSystems, OfYard};
use crate::stage::Stage;
use bevy::asset::RenderAssetUsages;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use crew::Seat;

/// Under a foot of somebody: left or right.
#[derive(Component)]
struct Sole(Seat, usize);

/// Half its breadth and half its length, metres.
const SIZE_M: Vec2 = Vec2::new(0.13, 0.22);

/// From the ankle to the middle of the foot, metres.
const AHEAD_M: f32 = 0.06;

/// Over the ground, metres, so that the ground does not come through.
const OVER_M: f32 = 0.006;

/// Height from which a foot throws none, metres.
const LIFTED_M: f32 = 0.15;

/// How much it hides in its middle.
const DARKEST: f32 = 0.55;

/// Corners of it.
const SIDES: u32 = 14;

/// A flat round that is dark in its middle.
fn round() -> Mesh {
    let mut at = vec![[0.0, 0.0, 0.0]];
    let mut colours = vec![[0.0, 0.0, 0.0, DARKEST]];
    let mut corners = Vec::new();
    for n in 0..SIDES {
        let angle = core::f32::consts::TAU * n as f32 / SIDES as f32;
        at.push([SIZE_M.x * angle.cos(), 0.0, SIZE_M.y * angle.sin()]);
        colours.push([0.0, 0.0, 0.0, 0.0]);
        corners.extend([0, 1 + (n + 1) % SIDES, 1 + n]);
    }
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, at)
    .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours)
    .with_inserted_indices(Indices::U32(corners))
}

fn put_up(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    let mesh = meshes.add(round());
    let material = materials.add(StandardMaterial {
        unlit: true,
        alpha_mode: AlphaMode::Blend,
        depth_bias: 30.0,
        ..default()
    });
    for person in &show.now.people {
        for foot in 0..2 {
            commands.spawn((
                OfYard,
                Sole(person.seat, foot),
                Mesh3d(mesh.clone()),
                MeshMaterial3d(material.clone()),
                Transform::default(),
                Visibility::Hidden,
                NotShadowCaster,
            ));
        }
    }
}

fn lie(stage: Res<Stage>, mut soles: Query<(&Sole, &mut Transform, &mut Visibility)>) {
    let Some(show) = &stage.show else { return };
    for (Sole(seat, foot), mut transform, mut visibility) in &mut soles {
        let n = show.now.people.iter().position(|p| p.seat == *seat);
        let person = n.map(|n| (n, &show.now.people[n]));
        let stands = person.filter(|(_, p)| stage.own != Some(*seat) && !p.fallen);
        let Some((n, person)) = stands else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        let at = show.place(|f| f.people.get(n).map_or([0.0; 3], |p| p.feet[*foot]))
            - super::people::aside(show, person);
        visibility.set_if_neq(if at.y > LIFTED_M {
            Visibility::Hidden
        } else {
            Visibility::Inherited
        });
        let yaw = show.angle(|f| f.people.get(n).map_or(0.0, |p| p.yaw_rad));
        let turn = Quat::from_rotation_y(yaw - core::f32::consts::FRAC_PI_2);
        let middle = Vec3::new(at.x, OVER_M, at.z) - turn * Vec3::Z * AHEAD_M;
        *transform = Transform::from_translation(middle).with_rotation(turn);
    }
}

/// Sets up what is under feet.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            lie.in_set(LifeSystems::Move),
        ),
    );
}
