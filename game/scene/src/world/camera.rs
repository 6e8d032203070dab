//! The camera that the yard is seen through.

use crate::settings::{Quality, Settings};
use crate::stage::Eye;
use crate::world::{Canvas, YardCamera};
use bevy::anti_alias::smaa::{Smaa, SmaaPreset};
use bevy::camera::{Exposure, RenderTarget};
use bevy::core_pipeline::prepass::DepthPrepass;
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::light::cluster::{ClusterConfig, GlobalClusterSettings};
use bevy::prelude::*;
use bevy::render::view::{ColorGrading, ColorGradingGlobal, NoIndirectDrawing};

/// Brightness to which the picture is exposed, as photographers count it: an
/// overcast, bright morning.
const EXPOSED_EV100: f32 = 12.0;

/// The nearest thing that is seen, metres: a gauge held before the eyes.
const NEAR_M: f32 = 0.05;

/// The tone curve takes a little light; this gives it back.
fn grading() -> ColorGrading {
    ColorGrading {
        global: ColorGradingGlobal {
            exposure: 0.12,
            ..default()
        },
        ..default()
    }
}

pub(super) fn set_up(mut commands: Commands, canvas: Option<Res<Canvas>>) {
    let mut camera = commands.spawn((
        Camera3d::default(),
        YardCamera,
        Exposure {
            ev100: EXPOSED_EV100,
        },
        Msaa::Off,
        // So few things are drawn that to have the adapter sort them out costs more
        // than to draw them.
        NoIndirectDrawing,
        ClusterConfig::Single,
        Transform::default(),
    ));
    if let Some(canvas) = canvas {
        camera.insert(RenderTarget::Image(canvas.0.clone().into()));
    }
}

/// There is no lamp but the sun, so that none have to be sorted by where they
/// reach.
fn sort_no_lamps(clusters: Option<ResMut<GlobalClusterSettings>>) {
    if let Some(mut clusters) = clusters {
        clusters.gpu_clustering = None;
    }
}

fn grade(
    mut commands: Commands,
    settings: Res<Settings>,
    cameras: Query<Entity, With<YardCamera>>,
) {
    for camera in &cameras {
        let mut camera = commands.entity(camera);
        match settings.quality {
            // What is hidden is found out first, so that light is worked out once
            // for each pixel; edges are smoothed afterwards, where they are.
            Quality::High => camera.insert((
                Tonemapping::AgX,
                grading(),
                DepthPrepass,
                Smaa {
                    preset: SmaaPreset::High,
                },
            )),
            // Plain light has a tone curve of its own.
            Quality::Low => camera
                .insert((Tonemapping::None, ColorGrading::default()))
                .remove::<(DepthPrepass, Smaa)>(),
        };
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
    app.add_systems(Startup, (set_up, sort_no_lamps))
        .add_systems(PreUpdate, grade.run_if(super::quality_changed))
        .add_systems(Update, look.in_set(crate::flow::FrameSystems::Show));
}
