//! The camera that the yard is seen through.

use crate::settings::{Quality, Settings};
use crate::stage::Eye;
use crate::world::{Canvas, YardCamera};
use bevy::camera::{Exposure, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::light::ShadowFilteringMethod;
use bevy::prelude::*;
use bevy::render::view::{ColorGrading, ColorGradingGlobal, ColorGradingSection};

/// Brightness to which the picture is exposed, as photographers count it: an
/// overcast, bright morning.
const EXPOSED_EV100: f32 = 12.0;

/// The nearest thing that is seen, metres: a gauge held before the eyes.
const NEAR_M: f32 = 0.05;

/// The tone curve is gentle; this gives back what it takes of depth and colour.
fn grading() -> ColorGrading {
    let section = ColorGradingSection {
        contrast: 1.16,
        saturation: 1.16,
        ..default()
    };
    ColorGrading {
        global: ColorGradingGlobal {
            exposure: 0.12,
            ..default()
        },
        shadows: section,
        midtones: section,
        highlights: section,
    }
}

pub(super) fn set_up(mut commands: Commands, canvas: Option<Res<Canvas>>) {
    let mut camera = commands.spawn((
        Camera3d::default(),
        YardCamera,
        Exposure {
            ev100: EXPOSED_EV100,
        },
        Transform::default(),
    ));
    if let Some(canvas) = canvas {
        camera.insert(RenderTarget::Image(canvas.0.clone().into()));
    }
}

fn grade(
    mut commands: Commands,
    settings: Res<Settings>,
    cameras: Query<Entity, With<YardCamera>>,
) {
    for camera in &cameras {
        let look = match settings.quality {
            Quality::High => (
                Msaa::Sample4,
                ShadowFilteringMethod::Gaussian,
                Tonemapping::AgX,
                grading(),
            ),
            // Plain light has a tone curve of its own.
            Quality::Low => (
                Msaa::Off,
                ShadowFilteringMethod::Hardware2x2,
                Tonemapping::None,
                ColorGrading::default(),
            ),
        };
        commands.entity(camera).insert(look);
    }
}

pub(super) fn look(
    eye: Res<Eye>,
    settings: Res<Settings>,
    mut cameras: Query<(&mut Transform, &mut Projection), With<YardCamera>>,
) {
    for (mut transform, mut projection) in &mut cameras {
        *transform = eye.transform();
        if let Projection::Perspective(perspective) = &mut *projection {
            perspective.fov = settings.view_deg.to_radians();
            perspective.near = NEAR_M;
        }
    }
}

/// Sets up the camera.
pub fn plugin(app: &mut App) {
    app.add_systems(Startup, set_up)
        .add_systems(PreUpdate, grade.run_if(super::quality_changed))
        .add_systems(Update, look.in_set(crate::flow::FrameSystems::Show));
}
