//! Sun, sky and haze of a quiet morning.

use crate::settings::{Quality, Settings};
use crate::stage::Stage;
use crate::world::YardCamera;
use crate::world::sky;
use crate::world::yards;
use bevy::camera::visibility::RenderLayers;
use bevy::light::{
    CascadeShadowConfigBuilder, DirectionalLightShadowMap, GeneratedEnvironmentMapLight, Skybox,
};
use bevy::pbr::{DistanceFog, FogFalloff};
use bevy::prelude::*;
use bevy::render::sync_world::SyncToRenderWorld;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use std::time::{Duration, Instant};

/// Light of the sky where the picture of it is white, candela per square metre.
const SKY_CD_M2: f32 = 4700.0;

/// Light of the sun through thin cloud, lux.
const SUN_LUX: f32 = 44_000.0;

/// The layer that is looked at behind screens that cover everything: the sun is
/// in it, and nothing that could be seen.
pub const BEHIND: usize = 1;

/// Haze at the horizon.
pub const HAZE: Color = Color::srgb(0.80, 0.83, 0.845);

/// How far one sees in it, metres.
const SEEN_M: f32 = 1300.0;

/// The sun.
#[derive(Component)]
struct Sun;

/// The sky above the yard, and what of it and of the yard is mirrored.
#[derive(Resource, Default)]
pub struct Sky {
    drawing: Option<Task<[Image; 2]>>,
    /// What is mirrored, on its way to be lit by.
    filter: Option<(Entity, Instant, u32)>,
    /// Which yard and what quality it was drawn for.
    drawn_for: Option<(String, Quality)>,
}

impl Sky {
    /// Whether it is still being drawn.
    pub fn is_missing(&self) -> bool {
        self.drawing.is_some() || self.drawn_for.is_none()
    }

    /// Whether the adapter is still working out how it lights what.
    pub fn is_filtered(&self) -> bool {
        self.filter.is_none()
    }
}

fn set_up(
    mut commands: Commands,
    settings: Res<Settings>,
    stage: Res<Stage>,
    before: Query<Entity, With<Sun>>,
) {
    for sun in &before {
        commands.entity(sun).despawn();
    }
    let high = settings.quality == Quality::High;
    let yard = stage
        .show
        .as_ref()
        .map(|show| yards::of(&show.loaded.level.id));
    commands.insert_resource(DirectionalLightShadowMap {
        size: if high { 2048 } else { 1024 },
    });
    commands.insert_resource(GlobalAmbientLight::NONE);
    commands.insert_resource(ClearColor(HAZE));
    commands.spawn((
        Sun,
        RenderLayers::from_layers(&[0, BEHIND]),
        DirectionalLight {
            color: Color::srgb(1.0, 0.93, 0.83),
            illuminance: SUN_LUX,
            shadow_maps_enabled: true,
            shadow_normal_bias: 1.2,
            ..default()
        },
        CascadeShadowConfigBuilder {
            num_cascades: if high { 2 } else { 1 },
            minimum_distance: 0.1,
            first_cascade_far_bound: 8.0,
            maximum_distance: if high { 45.0 } else { 22.0 },
            overlap_proportion: 0.2,
        }
        .build(),
        sun_from(yard.map_or(yards::SUN, |yard| yard.sun)),
    ));
}

fn sun_from(towards: Vec3) -> Transform {
    Transform::from_translation(towards).looking_at(Vec3::ZERO, Vec3::Y)
}

/// Begins to draw the sky of the yard on show.
fn draw(mut sky: ResMut<Sky>, stage: Res<Stage>, settings: Res<Settings>) {
    let id = stage.show.as_ref().map_or("", |show| &show.loaded.level.id);
    let wanted = (id.to_owned(), settings.quality);
    if sky.drawn_for.as_ref() == Some(&wanted) {
        return;
    }
    let yard = yards::of(id);
    let (open, closed) = match settings.quality {
        Quality::High => (256, 128),
        Quality::Low => (128, 1),
    };
    sky.drawn_for = Some(wanted);
    sky.drawing = Some(AsyncComputeTaskPool::get().spawn(async move {
        let masses = sky::masses(yard);
        [
            sky::drawn(open, yard.sun, &[]),
            sky::drawn(closed, yard.sun, &masses),
        ]
    }));
}

/// Hangs the sky up once it is there.
fn hang_up(
    mut commands: Commands,
    mut sky: ResMut<Sky>,
    mut images: ResMut<Assets<Image>>,
    cameras: Query<Entity, With<YardCamera>>,
    settings: Res<Settings>,
) {
    let drawn = sky
        .drawing
        .as_mut()
        .and_then(|task| block_on(poll_once(task)));
    let Some(drawn) = drawn else { return };
    sky.drawing = None;
    let [open, mirrored] = drawn.map(|image| images.add(image));
    for camera in &cameras {
        let mut camera = commands.entity(camera);
        camera.insert(Skybox {
            image: Some(open.clone()),
            brightness: SKY_CD_M2,
            ..default()
        });
    }
    if let Some((old, ..)) = sky.filter.take() {
        commands.entity(old).despawn();
    }
    if settings.quality == Quality::High {
        let light = GeneratedEnvironmentMapLight {
            environment_map: mirrored,
            intensity: SKY_CD_M2,
            ..default()
        };
        let filter = commands.spawn((light, SyncToRenderWorld)).id();
        sky.filter = Some((filter, Instant::now(), 0));
    }
}

/// So long, and for so many pictures, what is mirrored is filtered: shaders have
/// to be compiled for it.
const FILTERED_FOR: (Duration, u32) = (Duration::from_secs(3), 30);

/// The engine filters what is mirrored anew for every picture. Ours stays what
/// it is, so the thing that it is filtered for goes once that is done, and the
/// cameras keep what came of it.
fn filter(
    mut commands: Commands,
    mut sky: ResMut<Sky>,
    filtered: Query<&EnvironmentMapLight>,
    cameras: Query<Entity, With<YardCamera>>,
) {
    let Some((entity, since, pictures)) = &mut sky.bypass_change_detection().filter else {
        return;
    };
    let Ok(light) = filtered.get(*entity) else {
        return;
    };
    if *pictures == 0 {
        for camera in &cameras {
            commands.entity(camera).insert(light.clone());
        }
    }
    *pictures += 1;
    if *pictures > FILTERED_FOR.1 && since.elapsed() > FILTERED_FOR.0 {
        commands.entity(*entity).despawn();
        sky.filter = None;
    }
}

/// Haze, where much can be drawn. Where little can, light comes plainly, and
/// nothing of the surroundings is asked for.
fn haze(mut commands: Commands, settings: Res<Settings>, cameras: Query<Entity, With<YardCamera>>) {
    for camera in &cameras {
        let mut camera = commands.entity(camera);
        if settings.quality == Quality::High {
            camera.insert(DistanceFog {
                color: HAZE,
                directional_light_color: Color::srgba(1.0, 0.94, 0.86, 0.2),
                directional_light_exponent: 18.0,
                falloff: FogFalloff::from_visibility(SEEN_M),
            });
        } else {
            camera.remove::<(DistanceFog, EnvironmentMapLight)>();
        }
    }
}

/// The sun stands where the yard on show has it.
fn turn(stage: Res<Stage>, mut shown: Local<u32>, mut suns: Query<&mut Transform, With<Sun>>) {
    if *shown == stage.yard {
        return;
    }
    *shown = stage.yard;
    let Some(show) = &stage.show else { return };
    for mut sun in &mut suns {
        *sun = sun_from(yards::of(&show.loaded.level.id).sun);
    }
}

/// Sets up the light.
pub fn plugin(app: &mut App) {
    app.init_resource::<Sky>()
        .add_systems(
            PreUpdate,
            (
                (set_up, haze).run_if(super::quality_changed),
                draw,
                hang_up,
                filter,
            )
                .chain(),
        )
        .add_systems(Update, turn);
}
