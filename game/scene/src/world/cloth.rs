//! What stuffs look like, and the textures of the models.

use crate::settings::{Quality, Settings};
use crate::world::kit::Stuff;
use crate::world::pattern::{Drawn, Pattern};
use crate::world::store::Store;
use bevy::math::Affine2;
use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use std::collections::BTreeMap;

/// Colour, relief, and gloss of a pattern.
#[derive(Clone, Debug)]
pub struct Set {
    /// Colour.
    pub colour: Handle<Image>,
    /// Relief.
    pub relief: Handle<Image>,
    /// Shade, roughness and metal.
    pub gloss: Handle<Image>,
}

/// All that things are dressed in.
#[derive(Resource)]
pub struct Cloth {
    /// The material of each stuff.
    pub stuffs: BTreeMap<Stuff, Handle<StandardMaterial>>,
    /// Standing water.
    pub puddle: Handle<StandardMaterial>,
    /// Ground that water has soaked.
    pub damp: Handle<StandardMaterial>,
    /// Sets of textures for models, by name.
    sets: BTreeMap<&'static str, Set>,
    /// The sheet of dials, plates and signs.
    decals: Option<Handle<Image>>,
    drawing: Vec<(Set, Task<Drawn>)>,
}

impl Cloth {
    /// Number of patterns that are still being drawn or read.
    pub fn missing(&self, server: &AssetServer) -> usize {
        let read = self
            .sets
            .values()
            .flat_map(|set| [&set.colour, &set.relief, &set.gloss]);
        let reading = read
            .chain(&self.decals)
            .filter(|image| server.load_state(*image).is_loading());
        self.drawing.len() + reading.count()
    }

    /// A set of textures for models.
    pub fn set(&self, name: &str) -> Option<&Set> {
        self.sets.get(name)
    }

    /// The sheet of dials, plates and signs.
    pub fn decals(&self) -> Option<Handle<Image>> {
        self.decals.clone()
    }
}

/// Metal, roughness, reflectance and pattern of a stuff.
fn nature(stuff: Stuff) -> (f32, f32, f32, Option<Pattern>) {
    match stuff {
        Stuff::Concrete => (0.0, 0.95, 0.5, Some(Pattern::Concrete)),
        Stuff::Render => (0.0, 1.0, 0.3, Some(Pattern::Render)),
        Stuff::Brick => (0.0, 1.0, 0.3, Some(Pattern::Brick)),
        Stuff::Paint => (0.0, 1.0, 0.5, Some(Pattern::Paint)),
        Stuff::Zinc => (0.75, 1.0, 0.5, Some(Pattern::Paint)),
        Stuff::Steel => (1.0, 0.28, 0.5, None),
        Stuff::Wood => (0.0, 1.0, 0.25, Some(Pattern::Wood)),
        Stuff::Rubber => (0.0, 0.75, 0.35, None),
        Stuff::Glass => (0.0, 0.06, 0.85, None),
        Stuff::Gravel => (0.0, 1.0, 0.3, Some(Pattern::Gravel)),
        Stuff::Grass => (0.0, 1.0, 0.15, Some(Pattern::Grass)),
        Stuff::Tar => (0.0, 0.9, 0.45, Some(Pattern::Concrete)),
        Stuff::Bark => (0.0, 0.95, 0.2, None),
        Stuff::Line => (0.0, 0.8, 0.4, None),
        Stuff::Tape => (0.0, 0.5, 0.4, None),
        Stuff::Lamp | Stuff::Far => (0.0, 1.0, 0.0, None),
    }
}

const STUFFS: [Stuff; 17] = [
    Stuff::Concrete,
    Stuff::Render,
    Stuff::Brick,
    Stuff::Paint,
    Stuff::Zinc,
    Stuff::Steel,
    Stuff::Wood,
    Stuff::Rubber,
    Stuff::Glass,
    Stuff::Gravel,
    Stuff::Grass,
    Stuff::Tar,
    Stuff::Bark,
    Stuff::Line,
    Stuff::Tape,
    Stuff::Lamp,
    Stuff::Far,
];

/// Side of a drawn pattern.
fn side(quality: Quality) -> u32 {
    match quality {
        Quality::High => 512,
        Quality::Low => 128,
    }
}

/// Sets of textures that models may be dressed in.
const SETS: [&str; 4] = ["paint", "steel", "rubber", "tread"];

fn set_up(
    mut commands: Commands,
    settings: Res<Settings>,
    store: Res<Store>,
    server: Res<AssetServer>,
    images: Res<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let high = settings.quality == Quality::High;
    let pool = AsyncComputeTaskPool::get();
    let mut drawing = Vec::new();
    let drawn: BTreeMap<Pattern, Set> = Pattern::ALL
        .into_iter()
        .map(|pattern| {
            let set = Set {
                colour: images.reserve_handle(),
                relief: images.reserve_handle(),
                gloss: images.reserve_handle(),
            };
            let side = side(settings.quality);
            drawing.push((
                set.clone(),
                pool.spawn(async move { pattern.drawn(side, high) }),
            ));
            (pattern, set)
        })
        .collect();
    let stuffs = STUFFS
        .into_iter()
        .map(|stuff| {
            let (metallic, perceptual_roughness, reflectance, pattern) = nature(stuff);
            let set = pattern.and_then(|pattern| drawn.get(&pattern));
            let scale = pattern.map_or(1.0, |pattern| 1.0 / pattern.length_m());
            let material = StandardMaterial {
                base_color_texture: set.map(|set| set.colour.clone()),
                // Relief and gloss cost as much as colour does.
                normal_map_texture: set.filter(|_| high).map(|set| set.relief.clone()),
                metallic_roughness_texture: set.filter(|_| high).map(|set| set.gloss.clone()),
                metallic,
                perceptual_roughness: if high {
                    perceptual_roughness
                } else {
                    perceptual_roughness.min(0.8)
                },
                reflectance,
                uv_transform: Affine2::from_scale(Vec2::splat(scale)),
                unlit: !stuff.is_lit(),
                fog_enabled: stuff != Stuff::Far,
                cull_mode: (!matches!(stuff, Stuff::Tape | Stuff::Far))
                    .then_some(bevy::render::render_resource::Face::Back),
                double_sided: stuff == Stuff::Tape,
                depth_bias: if stuff == Stuff::Line { 40.0 } else { 0.0 },
                ..default()
            };
            (stuff, materials.add(material))
        })
        .collect();
    let layer = |grey: f32, roughness: f32, bias: f32| StandardMaterial {
        base_color: Color::srgb(grey, grey, 0.98 * grey),
        perceptual_roughness: roughness,
        reflectance: 0.5,
        alpha_mode: AlphaMode::Blend,
        depth_bias: bias,
        ..default()
    };
    let puddle = materials.add(StandardMaterial {
        // Still water gives back more than other things do, seen from a height
        // at which people are.
        reflectance: 0.85,
        normal_map_texture: drawn
            .get(&Pattern::Water)
            .filter(|_| high)
            .map(|set| set.relief.clone()),
        uv_transform: Affine2::from_scale(Vec2::splat(1.0 / Pattern::Water.length_m())),
        ..layer(0.12, 0.03, 20.0)
    });
    let damp = materials.add(layer(0.17, 0.42, 10.0));
    let sets = SETS
        .into_iter()
        // Without relief and gloss there is nothing in them that a plain colour
        // has not.
        .filter(|_| high)
        .filter_map(|name| {
            let texture = |map, is_colour| store.texture(&server, name, map, is_colour);
            let set = Set {
                colour: texture("albedo", true)?,
                relief: texture("normal", false)?,
                gloss: texture("orm", false)?,
            };
            Some((name, set))
        })
        .collect();
    commands.insert_resource(Cloth {
        stuffs,
        puddle,
        damp,
        sets,
        decals: store.decals(&server),
        drawing,
    });
}

/// Takes in what was drawn.
fn take_in(mut cloth: ResMut<Cloth>, mut images: ResMut<Assets<Image>>) {
    if cloth.drawing.is_empty() {
        return;
    }
    cloth.drawing.retain_mut(|(set, task)| {
        let Some(drawn) = block_on(poll_once(task)) else {
            return true;
        };
        let drawn = [
            (&set.colour, drawn.colour),
            (&set.relief, drawn.relief),
            (&set.gloss, drawn.gloss),
        ];
        for (handle, image) in drawn {
            if let Some(image) = image {
                images.insert(handle.id(), image).ok();
            }
        }
        false
    });
}

/// Sets up stuffs.
pub fn plugin(app: &mut App) {
    app.add_systems(
        PreUpdate,
        (set_up.run_if(super::quality_changed), take_in).chain(),
    );
}
