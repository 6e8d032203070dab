//! Patterns that repeat: colour, relief and gloss of what yards are made of,
//! computed here, so that nothing has to be shipped for them.

use crate::world::noise::{cells, chance, rough};
use bevy::asset::RenderAssetUsages;
use bevy::image::{ImageAddressMode, ImageFilterMode, ImageSampler, ImageSamplerDescriptor};
use bevy::math::Vec2;
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};

/// One place of a pattern: how bright, how high and how rough it is, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct Spot {
    /// Colour by which the stuff's own is multiplied.
    pub tint: Vec3,
    /// Height, as a share of `Pattern::relief_m`.
    pub height: f32,
    /// Roughness.
    pub rough: f32,
}

/// The patterns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pattern {
    /// Floated concrete with hair cracks.
    Concrete,
    /// Rendered wall.
    Render,
    /// Bricks with joints.
    Brick,
    /// Sprayed paint on metal, scuffed.
    Paint,
    /// Boards.
    Wood,
    /// Loose stones.
    Gravel,
    /// Short grass.
    Grass,
    /// Still water that the wind touches.
    Water,
}

impl Pattern {
    /// All patterns.
    pub const ALL: [Pattern; 8] = [
        Pattern::Concrete,
        Pattern::Render,
        Pattern::Brick,
        Pattern::Paint,
        Pattern::Wood,
        Pattern::Gravel,
        Pattern::Grass,
        Pattern::Water,
    ];

    /// Length after which it repeats, metres.
    pub fn length_m(self) -> f32 {
        match self {
            Pattern::Concrete => 3.1,
            Pattern::Render | Pattern::Grass => 2.3,
            Pattern::Brick => 1.8,
            Pattern::Paint => 0.9,
            Pattern::Wood => 1.2,
            Pattern::Gravel => 1.3,
            Pattern::Water => 1.7,
        }
    }

    /// Height of its relief, metres.
    fn relief_m(self) -> f32 {
        match self {
            Pattern::Concrete => 0.0035,
            Pattern::Render => 0.004,
            Pattern::Brick => 0.012,
            Pattern::Paint => 0.0004,
            Pattern::Wood => 0.004,
            Pattern::Gravel => 0.03,
            Pattern::Grass => 0.045,
            Pattern::Water => 0.0035,
        }
    }

    /// What it is like at a place, both from 0 to 1.
    fn spot(self, at: Vec2) -> Spot {
        match self {
            Pattern::Concrete => {
                let broad = rough(4.0 * at, 4, 4, 11);
                let fine = rough(48.0 * at, 48, 2, 12);
                let bent = Vec2::new(broad, rough(5.0 * at, 5, 3, 15));
                let (near, next) = cells(3.0 * at + 0.55 * bent, 3, 13);
                let crack = 1.0 - ((next - near) / 0.007).clamp(0.0, 1.0);
                let stone = cells(80.0 * at, 80, 14).0;
                let pit = if stone < 0.12 { broad } else { 0.0 };
                let light =
                    0.80 + 0.26 * (broad - 0.5) + 0.16 * (fine - 0.5) - 0.05 * crack - 0.10 * pit;
                Spot {
                    tint: Vec3::new(light, light * 0.992, light * 0.975),
                    height: 0.5 * broad + 0.5 * fine - 0.3 * crack - 0.35 * pit,
                    rough: 0.66 + 0.4 * (fine - 0.5) + 0.3 * (broad - 0.5),
                }
            }
            Pattern::Render => {
                let broad = rough(3.0 * at, 3, 4, 21);
                let fine = rough(64.0 * at, 64, 3, 22);
                let light = 0.86 + 0.2 * (broad - 0.5) + 0.14 * (fine - 0.5);
                Spot {
                    tint: Vec3::new(light, light * 0.995, light * 0.98),
                    height: fine,
                    rough: 0.9,
                }
            }
            Pattern::Brick => {
                // Eight bricks of 225 mm along, twenty-four courses of 75 mm up.
                let row = (24.0 * at.y).floor();
                let shift = if row as i32 % 2 == 0 { 0.0 } else { 0.5 };
                let along = 8.0 * at.x + shift;
                let brick = along.floor() as i32;
                let (u, v) = (along.fract(), (24.0 * at.y).fract());
                let edge_m = (u.min(1.0 - u) * 0.225).min(v.min(1.0 - v) * 0.075);
                let joint = 1.0 - ((edge_m - 0.004) / 0.003).clamp(0.0, 1.0);
                let own = chance(brick.rem_euclid(8), row as i32, 31);
                let fine = rough(60.0 * at, 60, 3, 32);
                let clay = Vec3::new(0.92, 0.86, 0.82) * (0.7 + 0.32 * own + 0.3 * (fine - 0.5));
                let mortar = Vec3::new(0.92, 0.93, 0.9) * (0.85 + 0.3 * (fine - 0.5));
                Spot {
                    tint: clay.lerp(mortar, joint),
                    height: (1.0 - joint) * (0.75 + 0.25 * fine),
                    rough: 0.85,
                }
            }
            Pattern::Paint => {
                let broad = rough(3.0 * at, 3, 4, 41);
                let fine = rough(70.0 * at, 70, 2, 42);
                let scuff = (rough(Vec2::new(10.0, 42.0) * at, 0, 3, 43) - 0.72).max(0.0);
                let light = 0.93 + 0.12 * (broad - 0.5) - 0.5 * scuff;
                Spot {
                    tint: Vec3::splat(light),
                    height: fine,
                    rough: 0.46 + 0.25 * (broad - 0.5) + 0.8 * scuff,
                }
            }
            Pattern::Wood => {
                let board = (8.0 * at.y).floor() as i32;
                let v = (8.0 * at.y).fract();
                let gap = if v < 0.05 { 1.0 } else { 0.0 };
                let own = chance(board, 0, 51);
                let grain = rough(Vec2::new(4.0, 64.0) * at, 4, 3, 52 + board as u32);
                let light = 0.6 + 0.25 * own + 0.4 * (grain - 0.5) - 0.4 * gap;
                Spot {
                    tint: Vec3::new(light, 0.95 * light, 0.88 * light),
                    height: 0.3 * grain + 0.7 * (1.0 - gap),
                    rough: 0.85,
                }
            }
            Pattern::Gravel => {
                let (near, next) = cells(30.0 * at, 30, 61);
                let stone = ((next - near) * 2.2).clamp(0.0, 1.0);
                let own = rough(26.0 * at, 26, 1, 62);
                let light = 0.35 + 0.45 * stone * (0.6 + 0.8 * own);
                Spot {
                    tint: Vec3::new(light, light * 0.97, light * 0.93),
                    height: stone,
                    rough: 0.9,
                }
            }
            Pattern::Water => Spot {
                tint: Vec3::ONE,
                height: rough(7.0 * at, 7, 2, 81),
                rough: 0.03,
            },
            Pattern::Grass => {
                let broad = rough(4.0 * at, 4, 3, 71);
                let blade = rough(Vec2::new(90.0, 60.0) * at, 0, 2, 72);
                let light = 0.45 + 0.7 * (blade - 0.35) + 0.35 * (broad - 0.5);
                Spot {
                    tint: Vec3::new(light * (0.9 + 0.35 * broad), light, light * 0.8),
                    height: blade,
                    rough: 0.95,
                }
            }
        }
    }

    /// How much finer or coarser it is drawn than others: what lies on the
    /// ground outside, or is far away, is not seen from near.
    fn fineness(self) -> u32 {
        match self {
            Pattern::Concrete | Pattern::Render | Pattern::Paint => 2,
            Pattern::Brick | Pattern::Wood | Pattern::Gravel | Pattern::Grass | Pattern::Water => 1,
        }
    }

    /// Colour, and where more can be shown relief and gloss. Gloss is drawn a
    /// quarter as finely: nobody sees where it ends. Of water there is relief
    /// alone.
    pub fn drawn(self, side: u32, more: bool) -> Drawn {
        let side = if more {
            side * self.fineness() / 2
        } else {
            side
        };
        let at = |x: u32, y: u32| (Vec2::new(x as f32, y as f32) + Vec2::splat(0.5)) / side as f32;
        let spots: Vec<Spot> = (0..side * side)
            .map(|n| self.spot(at(n % side, n / side)))
            .collect();
        let is_solid = self != Pattern::Water;
        let colour = || {
            let tint = |s: &Spot| s.tint.clamp(Vec3::ZERO, Vec3::ONE);
            spots.iter().map(|s| tint(s).extend(1.0)).collect()
        };
        let gloss = || {
            let gloss = spots
                .iter()
                .map(|s| Vec4::new(1.0, s.rough.clamp(0.05, 1.0), 1.0, 1.0))
                .collect();
            let half = halved(gloss, side as usize);
            halved(half, side as usize / 2)
        };
        let slope = self.relief_m() * side as f32 / (2.0 * self.length_m());
        let relief = || {
            (0..side * side)
                .map(|n| {
                    let (x, y) = (n % side, n / side);
                    let height = |dx: u32, dy: u32| {
                        spots[((x + dx) % side + (y + dy) % side * side) as usize].height
                    };
                    let by = Vec2::new(
                        height(side - 1, 0) - height(1, 0),
                        height(0, side - 1) - height(0, 1),
                    );
                    let out = Vec3::new(by.x * slope, by.y * slope, 1.0).normalize();
                    (0.5 * out + Vec3::splat(0.5)).extend(1.0)
                })
                .collect()
        };
        Drawn {
            colour: is_solid.then(|| layered(colour(), side, Texel::Colour, more)),
            relief: more.then(|| layered(relief(), side, Texel::Slope, true)),
            gloss: (more && is_solid).then(|| layered(gloss(), side / 4, Texel::Numbers, true)),
        }
    }
}

/// What was drawn of a pattern.
pub struct Drawn {
    /// Colour.
    pub colour: Option<Image>,
    /// Relief.
    pub relief: Option<Image>,
    /// Shade, roughness and metal.
    pub gloss: Option<Image>,
}

/// What stands in an image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Texel {
    /// A colour; brightness is as the eye grades it.
    Colour,
    /// Numbers in all channels.
    Numbers,
    /// The slopes along both edges in two channels; the third follows from them.
    Slope,
}

impl Texel {
    fn format(self) -> TextureFormat {
        match self {
            Texel::Colour => TextureFormat::Rgba8UnormSrgb,
            Texel::Numbers => TextureFormat::Rgba8Unorm,
            Texel::Slope => TextureFormat::Rg8Unorm,
        }
    }

    fn put(self, t: Vec4, bytes: &mut Vec<u8>) {
        let byte = |v: f32| (255.0 * v).round() as u8;
        match self {
            Texel::Colour => {
                let c: Srgba = LinearRgba::rgb(t.x * t.x, t.y * t.y, t.z * t.z).into();
                bytes.extend([c.red, c.green, c.blue, t.w].map(byte));
            }
            Texel::Numbers => bytes.extend(t.to_array().map(byte)),
            Texel::Slope => bytes.extend([t.x, t.y].map(byte)),
        }
    }
}

/// How patterns are read: over and over, and smoothly at any distance.
pub fn repeating(smoothly: bool) -> ImageSampler {
    ImageSampler::Descriptor(ImageSamplerDescriptor {
        address_mode_u: ImageAddressMode::Repeat,
        address_mode_v: ImageAddressMode::Repeat,
        mag_filter: ImageFilterMode::Linear,
        min_filter: ImageFilterMode::Linear,
        // To blend two of the smaller forms costs as much again.
        mipmap_filter: if smoothly {
            ImageFilterMode::Linear
        } else {
            ImageFilterMode::Nearest
        },
        anisotropy_clamp: 1,
        ..default()
    })
}

/// What an image holds, with half as many places along each edge.
fn halved(texels: Vec<Vec4>, edge: usize) -> Vec<Vec4> {
    let half = edge / 2;
    (0..half * half)
        .map(|n| {
            let at = 2 * (n % half) + 2 * (n / half) * edge;
            0.25 * (texels[at] + texels[at + 1] + texels[at + edge] + texels[at + edge + 1])
        })
        .collect()
}

/// An image with all its smaller forms.
fn layered(mut texels: Vec<Vec4>, side: u32, holds: Texel, smoothly: bool) -> Image {
    let mut bytes = Vec::with_capacity(texels.len() * 6);
    let (mut edge, mut levels) = (side as usize, 0);
    loop {
        for t in &texels {
            holds.put(*t, &mut bytes);
        }
        levels += 1;
        if edge == 1 {
            break;
        }
        texels = halved(texels, edge);
        edge /= 2;
    }
    let mut image = Image::new_uninit(
        Extent3d {
            width: side,
            height: side,
            depth_or_array_layers: 1,
        },
        TextureDimension::D2,
        holds.format(),
        RenderAssetUsages::RENDER_WORLD,
    );
    image.texture_descriptor.mip_level_count = levels;
    image.data = Some(bytes);
    image.sampler = repeating(smoothly);
    image
}
