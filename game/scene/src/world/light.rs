//! Sun, sky and haze of a quiet morning.

use crate::settings::{Quality, Settings};
use crate::stage::Stage;
use crate::world::YardCamera;
use crate::world::noise;
use crate::world::yards;
use bevy::asset::RenderAssetUsages;
use bevy::image::ImageSampler;
use bevy::light::{
    CascadeShadowConfigBuilder, DirectionalLightShadowMap, GeneratedEnvironmentMapLight, Skybox,
};
use bevy::pbr::{DistanceFog, FogFalloff};
use bevy::prelude::*;
use bevy::render::render_resource::{
    Extent3d, TextureDimension, TextureFormat, TextureViewDescriptor, TextureViewDimension,
};
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};

/// Light of the sky where the picture of it is white, candela per square metre.
const SKY_CD_M2: f32 = 5200.0;

/// Light of the sun through thin cloud, lux.
const SUN_LUX: f32 = 30_000.0;

/// Haze at the horizon.
pub const HAZE: Color = Color::srgb(0.80, 0.83, 0.845);

/// How far one sees in it, metres.
const SEEN_M: f32 = 1300.0;

/// The sun.
#[derive(Component)]
struct Sun;

/// The sky above the yard.
#[derive(Resource)]
pub struct Sky {
    image: Handle<Image>,
    drawing: Option<Task<Image>>,
    stands: bool,
    turn: Quat,
}

impl Sky {
    /// Whether it is still being drawn.
    pub fn is_missing(&self) -> bool {
        !self.stands
    }
}

fn set_up(
    mut commands: Commands,
    settings: Res<Settings>,
    images: Res<Assets<Image>>,
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
        DirectionalLight {
            color: Color::srgb(1.0, 0.93, 0.83),
            illuminance: SUN_LUX,
            shadow_maps_enabled: true,
            shadow_normal_bias: 1.2,
            ..default()
        },
        CascadeShadowConfigBuilder {
            num_cascades: if high { 3 } else { 1 },
            minimum_distance: 0.1,
            first_cascade_far_bound: 6.0,
            maximum_distance: if high { 55.0 } else { 22.0 },
            overlap_proportion: 0.2,
        }
        .build(),
        sun_from(yard.map_or(yards::SUN, |yard| yard.sun)),
    ));
    let side = if high { 256 } else { 32 };
    commands.insert_resource(Sky {
        image: images.reserve_handle(),
        drawing: Some(AsyncComputeTaskPool::get().spawn(async move { drawn(side) })),
        stands: false,
        turn: Quat::IDENTITY,
    });
}

fn sun_from(towards: Vec3) -> Transform {
    Transform::from_translation(towards).looking_at(Vec3::ZERO, Vec3::Y)
}

/// What the sky is like in a direction.
fn light(towards: Vec3) -> Vec3 {
    let up = towards.y;
    let sun = yards::SUN.normalize();
    if up < -0.02 {
        // Wet ground, seen by what faces down.
        let deep = (-up * 3.0).min(1.0);
        return Vec3::new(0.52, 0.54, 0.55).lerp(Vec3::new(0.2, 0.2, 0.195), deep);
    }
    let up = up.max(0.0);
    let high = up.powf(0.55);
    let clear = Vec3::new(0.86, 0.90, 0.93).lerp(Vec3::new(0.34, 0.47, 0.64), high);
    // Cloud in sheets: seen from below, so they close up towards the horizon.
    let flat = towards / (up + 0.16);
    let broad = noise::rough(
        Vec2::new(flat.x * 0.55, flat.z * 0.9) + Vec2::splat(40.0),
        0,
        5,
        5,
    );
    let fine = noise::rough(
        Vec2::new(flat.x * 2.1, flat.z * 3.3) + Vec2::splat(90.0),
        0,
        4,
        9,
    );
    let cover = ((broad - 0.36) * 3.4 + (fine - 0.5) * 0.7).clamp(0.0, 1.0);
    let thick = ((broad - 0.5) * 2.6 + (fine - 0.5) * 0.8).clamp(0.0, 1.0);
    let near_sun = towards.dot(sun).max(0.0);
    let lit = Vec3::new(0.98, 0.965, 0.94) * (0.92 + 0.35 * near_sun.powf(6.0));
    let cloud = lit.lerp(
        Vec3::new(0.60, 0.63, 0.67),
        0.75 * thick * (0.35 + 0.65 * up.min(1.0)),
    );
    let mut sky = clear.lerp(cloud, 0.92 * cover);
    sky += Vec3::new(1.0, 0.86, 0.66) * (0.4 * near_sun.powf(14.0) + 1.5 * near_sun.powf(160.0));
    let haze = (-up * 9.0).exp();
    sky.lerp(Vec3::new(0.88, 0.895, 0.90), 0.8 * haze)
}

/// A number as half-precision bits; what is no ordinary positive number is zero.
fn half(number: f32) -> u16 {
    if !number.is_finite() {
        return 0;
    }
    let bits = number.clamp(0.0, 60_000.0).to_bits() + 0x1000;
    ((bits >> 13) as i32 - ((127 - 15) << 10)).max(0) as u16
}

/// The sky all around as six square pictures.
fn drawn(side: u32) -> Image {
    let mut bytes = Vec::with_capacity(side as usize * side as usize * 48);
    for face in 0..6 {
        for y in 0..side {
            for x in 0..side {
                let at = |n: u32| 2.0 * (n as f32 + 0.5) / side as f32 - 1.0;
                let (u, v) = (at(x), at(y));
                // As cubes of pictures are laid out, they run left-handed.
                let towards = match face {
                    0 => Vec3::new(1.0, -v, -u),
                    1 => Vec3::new(-1.0, -v, u),
                    2 => Vec3::new(u, 1.0, v),
                    3 => Vec3::new(u, -1.0, -v),
                    4 => Vec3::new(u, -v, 1.0),
                    _ => Vec3::new(-u, -v, -1.0),
                };
                let towards = (towards * Vec3::new(1.0, 1.0, -1.0)).normalize();
                let light = light(towards);
                for channel in [light.x, light.y, light.z, 1.0] {
                    bytes.extend(half(channel).to_le_bytes());
                }
            }
        }
    }
    let mut image = Image::new(
        Extent3d {
            width: side,
            height: side,
            depth_or_array_layers: 6,
        },
        TextureDimension::D2,
        bytes,
        TextureFormat::Rgba16Float,
        RenderAssetUsages::default(),
    );
    image.texture_view_descriptor = Some(TextureViewDescriptor {
        dimension: Some(TextureViewDimension::Cube),
        ..default()
    });
    image.sampler = ImageSampler::linear();
    image
}

/// Hangs the sky up once it is there.
fn hang_up(
    mut commands: Commands,
    mut sky: ResMut<Sky>,
    mut images: ResMut<Assets<Image>>,
    cameras: Query<Entity, With<YardCamera>>,
    settings: Res<Settings>,
) {
    if sky.stands {
        return;
    }
    if let Some(task) = &mut sky.drawing {
        let Some(image) = block_on(poll_once(task)) else {
            return;
        };
        images.insert(sky.image.id(), image).ok();
        sky.drawing = None;
    }
    sky.stands = true;
    for camera in &cameras {
        let mut camera = commands.entity(camera);
        camera.insert(Skybox {
            image: Some(sky.image.clone()),
            brightness: SKY_CD_M2,
            rotation: sky.turn,
        });
        if settings.quality == Quality::High {
            camera.insert(GeneratedEnvironmentMapLight {
                environment_map: sky.image.clone(),
                intensity: SKY_CD_M2,
                rotation: sky.turn,
                ..default()
            });
        }
    }
}

/// What is cheap to look through and to be lit by, where much cannot be drawn.
fn plain(
    mut commands: Commands,
    settings: Res<Settings>,
    mut images: ResMut<Assets<Image>>,
    cameras: Query<Entity, With<YardCamera>>,
) {
    for camera in &cameras {
        let mut camera = commands.entity(camera);
        if settings.quality == Quality::High {
            camera.remove::<EnvironmentMapLight>().insert(DistanceFog {
                color: HAZE,
                directional_light_color: Color::srgba(1.0, 0.94, 0.86, 0.2),
                directional_light_exponent: 18.0,
                falloff: FogFalloff::from_visibility(SEEN_M),
            });
        } else {
            let mut light = EnvironmentMapLight::hemispherical_gradient(
                &mut images,
                Color::srgb(0.62, 0.71, 0.82),
                Color::srgb(0.84, 0.86, 0.87),
                Color::srgb(0.42, 0.42, 0.41),
            );
            light.intensity = 0.9 * SKY_CD_M2;
            camera
                .remove::<(DistanceFog, GeneratedEnvironmentMapLight)>()
                .insert(light);
        }
    }
}

/// The sun stands where the yard on show has it.
fn turn(
    stage: Res<Stage>,
    mut shown: Local<u32>,
    mut suns: Query<&mut Transform, With<Sun>>,
    mut sky: ResMut<Sky>,
    mut skies: Query<&mut Skybox>,
    mut lights: Query<&mut GeneratedEnvironmentMapLight>,
) {
    if *shown == stage.yard {
        return;
    }
    *shown = stage.yard;
    let Some(show) = &stage.show else { return };
    let yard = yards::of(&show.loaded.level.id);
    for mut sun in &mut suns {
        *sun = sun_from(yard.sun);
    }
    // The sky is drawn once, and turns with the sun.
    let about = |towards: Vec3| (-towards.z).atan2(towards.x);
    sky.turn = Quat::from_rotation_y(about(yard.sun) - about(yards::SUN));
    for mut skybox in &mut skies {
        skybox.rotation = sky.turn;
    }
    for mut light in &mut lights {
        light.rotation = sky.turn;
    }
}

/// Sets up the light.
pub fn plugin(app: &mut App) {
    app.add_systems(
        PreUpdate,
        ((set_up, plain).run_if(super::quality_changed), hang_up).chain(),
    )
    .add_systems(Update, turn);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_precision_keeps_the_ordinary_numbers() {
        assert_eq!(half(0.0), 0);
        assert_eq!(half(1.0), 0x3c00);
        assert_eq!(half(0.5), 0x3800);
        assert_eq!(half(65_504.0_f32.min(60_000.0)), 0x7b53);
        assert_eq!(half(f32::NAN), 0);
    }

    #[test]
    fn the_sky_is_a_cube_and_brighter_than_the_ground() {
        let size = drawn(8).texture_descriptor.size;
        assert_eq!(
            (size.width, size.height, size.depth_or_array_layers),
            (8, 8, 6)
        );
        let up = light(Vec3::Y).element_sum();
        let down = light(-Vec3::Y).element_sum();
        assert!(up > down, "{up} {down}");
    }
}
