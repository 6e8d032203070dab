//! Soft quads for all that is spray, mist and running water: one mesh that is
//! made anew for each picture.

use bevy::asset::RenderAssetUsages;
use bevy::image::{ImageSampler, ImageSamplerDescriptor};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};

/// Quads that are gathered for a picture.
#[derive(Default)]
pub struct Puffs {
    positions: Vec<[f32; 3]>,
    uvs: Vec<[f32; 2]>,
    colours: Vec<[f32; 4]>,
    indices: Vec<u32>,
}

/// A number from 0 to 1 that seems to be chance, the same for the same
/// number.
pub fn hash(n: u32) -> f32 {
    let mut x = n.wrapping_mul(0x9E37_79B9) ^ 0x85EB_CA6B;
    x = (x ^ (x >> 15)).wrapping_mul(0x2C1B_3C6D);
    x = (x ^ (x >> 12)).wrapping_mul(0x297A_2D39);
    ((x ^ (x >> 15)) & 0xFF_FFFF) as f32 / 16_777_216.0
}

/// The same in three directions, each from -1 to 1.
pub fn scatter(n: u32) -> Vec3 {
    Vec3::new(hash(3 * n + 1), hash(3 * n + 2), hash(3 * n + 3)) * 2.0 - 1.0
}

impl Puffs {
    fn quad(&mut self, corners: [Vec3; 4], colour: [f32; 4]) {
        let first = self.positions.len() as u32;
        self.positions.extend(corners.map(|c| c.to_array()));
        self.uvs
            .extend([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]);
        self.colours.extend([colour; 4]);
        self.indices
            .extend([0, 1, 2, 0, 2, 3].map(|n: u32| first + n));
    }

    /// A round puff that faces the eye.
    pub fn puff(&mut self, at: Vec3, radius: f32, colour: [f32; 4], eye: &Transform) {
        let (right, up) = (eye.right() * radius, eye.up() * radius);
        self.quad(
            [
                at - right - up,
                at + right - up,
                at + right + up,
                at - right + up,
            ],
            colour,
        );
    }

    /// A streak from one point to another, as wide at each end as is said.
    pub fn streak(
        &mut self,
        from: Vec3,
        to: Vec3,
        wide: [f32; 2],
        colour: [f32; 4],
        eye: &Transform,
    ) {
        let along = to - from;
        let look = 0.5 * (from + to) - eye.translation;
        let Some(side) = along.cross(look).try_normalize() else {
            return;
        };
        // The soft picture fades out towards its ends, which are hidden beyond
        // the streak's own.
        let over = along * 0.18;
        let first = self.positions.len() as u32;
        let (a, b) = (side * wide[0], side * wide[1]);
        self.positions.extend(
            [
                from - over - a,
                from - over + a,
                to + over + b,
                to + over - b,
            ]
            .map(|c| c.to_array()),
        );
        self.uvs
            .extend([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]);
        self.colours.extend([colour; 4]);
        self.indices
            .extend([0, 1, 2, 0, 2, 3].map(|n: u32| first + n));
    }

    /// A patch that lies on the ground.
    pub fn patch(&mut self, at: Vec3, radius: f32, colour: [f32; 4]) {
        let (x, z) = (Vec3::X * radius, Vec3::Z * radius);
        self.quad([at - x + z, at + x + z, at + x - z, at - x - z], colour);
    }

    /// Puts the quads into a mesh. A mesh without any would not be drawn as
    /// one, so that one far below the ground stays.
    pub fn into_mesh(mut self, mesh: &mut Mesh) {
        if self.positions.is_empty() {
            self.quad([Vec3::NEG_Y * 50.0; 4], [0.0; 4]);
        }
        mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, self.positions);
        mesh.insert_attribute(Mesh::ATTRIBUTE_UV_0, self.uvs);
        mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, self.colours);
        mesh.insert_indices(Indices::U32(self.indices));
    }
}

/// An empty mesh for quads.
pub fn mesh() -> Mesh {
    let mut mesh = Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    );
    Puffs::default().into_mesh(&mut mesh);
    mesh
}

/// The picture of a puff: soft towards its edge, and not quite even.
pub fn picture() -> Image {
    const SIZE: usize = 64;
    let mut bytes = Vec::with_capacity(SIZE * SIZE * 4);
    for y in 0..SIZE {
        for x in 0..SIZE {
            let at = |n: usize| (n as f32 + 0.5) / SIZE as f32 * 2.0 - 1.0;
            let (u, v) = (at(x), at(y));
            let far = (u * u + v * v).sqrt();
            let soft = (1.0 - far).clamp(0.0, 1.0);
            let lump =
                0.5 + 0.5 * ((u * 5.3 + 1.7 * (v * 4.1).sin()).sin() * (v * 6.1 + 0.6).cos());
            let alpha = soft * soft * (3.0 - 2.0 * soft) * (0.72 + 0.28 * lump);
            bytes.extend([255, 255, 255, (255.0 * alpha) as u8]);
        }
    }
    let mut image = Image::new(
        Extent3d {
            width: SIZE as u32,
            height: SIZE as u32,
            depth_or_array_layers: 1,
        },
        TextureDimension::D2,
        bytes,
        TextureFormat::Rgba8UnormSrgb,
        RenderAssetUsages::RENDER_WORLD,
    );
    image.sampler = ImageSampler::Descriptor(ImageSamplerDescriptor::linear());
    image
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chance_is_spread_and_repeatable() {
        let mean = (0..1000).map(hash).sum::<f32>() / 1000.0;
        assert!((mean - 0.5).abs() < 0.03, "{mean}");
        assert_eq!(hash(7).to_bits(), hash(7).to_bits());
        assert_ne!(hash(7).to_bits(), hash(8).to_bits());
    }
}
