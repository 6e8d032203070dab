//! The yard as it is seen.

pub mod life;

use crate::flow::FrameSystems;
use crate::settings::Settings;
use crate::stage::Eye;
use bevy::camera::RenderTarget;
use bevy::prelude::*;

/// The camera that the yard is seen through.
#[derive(Component)]
pub struct YardCamera;

/// Where pictures go that no window shows.
#[derive(Resource, Clone)]
pub struct Canvas(pub Handle<Image>);

/// How much of what belongs into the picture is not there yet.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pending(pub usize);

fn set_up(mut commands: Commands, canvas: Option<Res<Canvas>>) {
    let mut camera = commands.spawn((Camera3d::default(), YardCamera, Transform::default()));
    if let Some(canvas) = canvas {
        camera.insert(RenderTarget::Image(canvas.0.clone().into()));
    }
}

fn look(
    eye: Res<Eye>,
    settings: Res<Settings>,
    mut cameras: Query<(&mut Transform, &mut Projection), With<YardCamera>>,
) {
    for (mut transform, mut projection) in &mut cameras {
        *transform = eye.transform();
        if let Projection::Perspective(perspective) = &mut *projection {
            perspective.fov = settings.view_deg.to_radians();
            perspective.near = 0.05;
        }
    }
}

/// Sets up what is seen.
pub fn plugin(app: &mut App) {
    app.init_resource::<Pending>()
        .add_plugins(life::plugin)
        .add_systems(Startup, set_up)
        .add_systems(Update, look.in_set(FrameSystems::Show));
}
