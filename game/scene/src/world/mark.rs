//! What is looked at, and what help points at.

use crate::flow::{FrameSystems, Screen};
use crate::hands::Look;
use crate::help::Help;
use crate::settings::Settings;
use crate::stage::{Eye, Stage};
use crate::things::things;
use crate::world::YardCamera;
use bevy::asset::RenderAssetUsages;
use bevy::light::{NotShadowCaster, NotShadowReceiver};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

/// Where on the screen the thing is that help points at.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Marker {
    /// In logical pixels from the upper left; nothing where help points at
    /// nothing, or it is behind the back.
    pub screen: Option<Vec2>,
}

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
    let at = look.at.filter(|_| **screen == Screen::Yard);
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

fn point(
    help: Res<Help>,
    stage: Res<Stage>,
    settings: Res<Settings>,
    eye: Res<Eye>,
    cameras: Query<&Camera, With<YardCamera>>,
    mut marker: ResMut<Marker>,
) {
    let thing = help.step.as_ref().and_then(|step| step.points_at);
    let screen = thing.and_then(|thing| {
        let show = stage.show.as_ref()?;
        let level = &show.loaded.level;
        let seat = stage.own.unwrap_or(level.post);
        let all = things(level, &show.now, seat);
        let placed = all.iter().find(|placed| placed.thing == thing)?;
        let size = cameras.iter().next()?.logical_viewport_size()?;
        on_screen(&eye, settings.view_deg, size, placed.at)
    });
    marker.set_if_neq(Marker { screen });
}

/// Where a point of the yard is on a screen of this size.
fn on_screen(eye: &Eye, view_deg: f32, size: Vec2, at: Vec3) -> Option<Vec2> {
    let seen = eye
        .transform()
        .compute_affine()
        .inverse()
        .transform_point3(at);
    if seen.z > -0.05 {
        return None;
    }
    let half = (0.5 * view_deg.to_radians()).tan() * -seen.z;
    let up = seen.y / half;
    let right = seen.x / (half * size.x / size.y);
    Some(0.5 * size * Vec2::new(1.0 + right, 1.0 - up))
}

/// Sets up what points at things.
pub fn plugin(app: &mut App) {
    app.init_resource::<Marker>()
        .add_systems(Startup, set_up)
        .add_systems(Update, (ring_round, point).in_set(FrameSystems::Show));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_ahead_is_in_the_middle_and_what_lies_behind_is_nowhere() {
        let eye = Eye {
            at: Vec3::new(1.0, 1.6, 2.0),
            yaw: 0.0,
            pitch: 0.0,
            roll: 0.0,
        };
        let size = Vec2::new(1280.0, 720.0);
        let ahead = on_screen(&eye, 60.0, size, eye.at + Vec3::X * 3.0).expect("it is ahead");
        assert!(ahead.distance(0.5 * size) < 0.01, "{ahead}");
        // Facing east, south is to the right.
        let right = on_screen(&eye, 60.0, size, eye.at + Vec3::new(3.0, 0.0, 1.0));
        assert!(right.expect("it is ahead").x > 700.0);
        assert_eq!(on_screen(&eye, 60.0, size, eye.at - Vec3::X), None);
    }
}
