//! The sky all around, and what of the yard is mirrored in wet ground.

use crate::world::noise;
use crate::world::yards::{What, Yard};
use bevy::asset::RenderAssetUsages;
use bevy::image::ImageSampler;
use bevy::prelude::*;
use bevy::render::render_resource::{
    Extent3d, TextureDimension, TextureFormat, TextureViewDescriptor, TextureViewDimension,
};

/// Something large that hides the sky: its corners, and the light it gives back
/// as a share of the sky's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mass {
    low: Vec3,
    high: Vec3,
    colour: Vec3,
}

/// From where the surroundings are seen: about the middle of the work.
const MIDDLE: Vec3 = Vec3::new(5.5, 0.9, 1.0);

/// The large things of a yard.
pub fn masses(yard: &Yard) -> Vec<Mass> {
    let linear = |colour: u32, share: f32| {
        let [_, r, g, b] = colour.to_be_bytes();
        let colour: LinearRgba = Srgba::rgb_u8(r, g, b).into();
        Vec3::new(colour.red, colour.green, colour.blue) * share
    };
    let mut found = Vec::new();
    for put in yard.things {
        let at = Vec3::new(put.at[0], 0.0, put.at[1]);
        let mut stand = |size: Vec3, base: f32, colour: Vec3| {
            let turned = (put.turn / 90.0).round() as i32 % 2 != 0;
            let size = if turned {
                Vec3::new(size.z, size.y, size.x)
            } else {
                size
            };
            let half = Vec3::new(0.5 * size.x, 0.0, 0.5 * size.z);
            found.push(Mass {
                low: at - half + Vec3::Y * base,
                high: at + half + Vec3::Y * (base + size.y),
                colour,
            });
        };
        match put.what {
            What::House {
                size, colour, rise, ..
            } => {
                stand(size.into(), 0.0, linear(colour, 0.75));
                let [x, y, z] = size;
                stand(Vec3::new(x, 0.55 * rise, 0.55 * z), y, Vec3::splat(0.16));
            }
            What::Hall { size, .. } => stand(size.into(), 0.0, linear(0x9fb0b2, 0.7)),
            What::Tank(radius, height) => {
                stand(
                    Vec3::new(1.8 * radius, height, 1.8 * radius),
                    0.0,
                    Vec3::splat(0.36),
                );
            }
            What::Silo(radius, height) => {
                stand(
                    Vec3::new(1.7 * radius, height - 2.0, 1.7 * radius),
                    2.0,
                    Vec3::splat(0.4),
                );
            }
            What::Shelter([x, y, z]) => stand(Vec3::new(x, 0.3, z), y - 0.4, Vec3::splat(0.14)),
            What::Target([x, y]) => stand(Vec3::new(x, y, 0.3), 0.2, linear(0x7d6a52, 0.6)),
            What::Blocks(to, courses) => {
                let to = Vec3::new(to[0], 0.6 * f32::from(courses), to[1]);
                found.push(Mass {
                    low: at.min(to) - Vec3::new(0.3, 0.0, 0.3),
                    high: at.max(to) + Vec3::new(0.3, 0.0, 0.3),
                    colour: Vec3::splat(0.3),
                });
            }
            _ => {}
        }
    }
    found
}

/// What stands in a direction, if anything does.
fn hit(towards: Vec3, masses: &[Mass]) -> Option<Vec3> {
    let mut nearest = (f32::MAX, None);
    for mass in masses {
        let (a, b) = (
            (mass.low - MIDDLE) / towards,
            (mass.high - MIDDLE) / towards,
        );
        let (enters, leaves) = (a.min(b).max_element(), a.max(b).min_element());
        if enters > 0.0 && enters <= leaves && enters < nearest.0 {
            nearest = (enters, Some(mass.colour));
        }
    }
    nearest.1
}

/// What the sky is like in a direction.
fn light(towards: Vec3, sun: Vec3) -> Vec3 {
    let up = towards.y;
    if up < -0.02 {
        // Wet ground, seen by what faces down.
        let deep = (-up * 3.0).min(1.0);
        return Vec3::new(0.52, 0.54, 0.55).lerp(Vec3::new(0.2, 0.2, 0.195), deep);
    }
    let up = up.max(0.0);
    let high = up.powf(0.55);
    let clear = Vec3::new(0.86, 0.90, 0.93).lerp(Vec3::new(0.27, 0.41, 0.62), high);
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
        Vec3::new(0.43, 0.46, 0.51),
        0.85 * thick * (0.35 + 0.65 * up.min(1.0)),
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
pub fn drawn(side: u32, sun: Vec3, masses: &[Mass]) -> Image {
    let sun = sun.normalize();
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
                let light = hit(towards, masses).unwrap_or_else(|| light(towards, sun));
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
    fn a_house_hides_the_sky_behind_it_and_no_other() {
        let house = Mass {
            low: MIDDLE + Vec3::new(-5.0, -2.0, -12.0),
            high: MIDDLE + Vec3::new(5.0, 4.0, -8.0),
            colour: Vec3::splat(0.5),
        };
        assert_eq!(hit(-Vec3::Z, &[house]), Some(house.colour));
        assert_eq!(hit(Vec3::Z, &[house]), None);
        assert_eq!(hit(Vec3::Y, &[house]), None);
    }

    #[test]
    fn the_sky_is_a_cube_and_brighter_than_the_ground() {
        let size = drawn(8, Vec3::Y, &[]).texture_descriptor.size;
        assert_eq!(
            (size.width, size.height, size.depth_or_array_layers),
            (8, 8, 6)
        );
        let up = light(Vec3::Y, Vec3::X).element_sum();
        let down = light(-Vec3::Y, Vec3::X).element_sum();
        assert!(up > down, "{up} {down}");
    }
}
