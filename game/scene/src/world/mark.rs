//! The ring around what is looked at.

use crate::flow::{FrameSystems, Screen};
use crate::hands::Look;
use crate::stage::Eye;
use crate::things::Thing;
use bevy::asset::RenderAssetUsages;
use bevy::light::{NotShadowCaster, NotShadowReceiver};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

/// The ring around what is looked at.
#[derive(Component)]
struct Ring;

/// Amber, as it is used for nothing but pointing.
const AMBER: Color = Color::srgb(0.93, 0.66, 0.25);

fn set_up(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    commands.spawn((
        Ring,
        NotShadowCaster,
        NotShadowReceiver,
        Mesh3d(meshes.add(ring())),
        MeshMaterial3d(materials.add(StandardMaterial {
            base_color: AMBER,
            unlit: true,
            fog_enabled: false,
            alpha_mode: AlphaMode::Blend,
            // It is not hidden by the thing that it goes round.
            depth_bias: 5000.0,
            cull_mode: None,
            ..default()
        })),
        Visibility::Hidden,
    ));
}

/// A flat ring of radius one that fades out to both sides, across z.
fn ring() -> Mesh {
    let sides = 64_u32;
    let (mut at, mut colour, mut corners) = (Vec::new(), Vec::new(), Vec::new());
    for n in 0..sides {
        let turn = core::f32::consts::TAU * n as f32 / sides as f32;
        for (radius, alpha) in [(0.86, 0.0), (0.96, 0.9), (1.0, 0.9), (1.1, 0.0)] {
            at.push([radius * turn.cos(), radius * turn.sin(), 0.0]);
            colour.push([1.0, 1.0, 1.0, alpha]);
        }
        for k in 0..3 {
            let (a, b) = (4 * n + k, 4 * ((n + 1) % sides) + k);
            corners.extend([a, a + 1, b + 1, a, b + 1, b]);
        }
    }
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, at)
    .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colour)
    .with_inserted_indices(Indices::U32(corners))
}

fn ring_round(
    screen: Res<State<Screen>>,
    look: Res<Look>,
    eye: Res<Eye>,
    time: Res<Time>,
    mut rings: Query<(&mut Transform, &mut Visibility), With<Ring>>,
) {
    // A ring over dials would lie on what is to be read.
    let at = look.at.filter(|at| {
        let read = matches!(at.thing, Thing::Dials | Thing::LineGauge);
        **screen == Screen::Yard && !read
    });
    for (mut transform, mut visibility) in &mut rings {
        let Some(placed) = at else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        visibility.set_if_neq(Visibility::Inherited);
        let to_eye = (eye.at - placed.at).normalize_or(Vec3::Z);
        let pulse = 1.0 + 0.05 * (4.0 * time.elapsed_secs_wrapped()).sin();
        transform.translation = placed.at + to_eye * placed.radius_m;
        transform.rotation = Quat::from_rotation_arc(Vec3::Z, to_eye);
        transform.scale = Vec3::splat(placed.radius_m * pulse);
    }
}

/// Sets up the ring.
pub fn plugin(app: &mut App) {
    app.add_systems(Startup, set_up)
        .add_systems(Update, ring_round.in_set(FrameSystems::Show));
}
