//! Parts of the ground that hold a boot otherwise than the rest: plates, gratings, ice.

use crate::world::kit::{Mason, Stuff};
use bevy::math::{Vec2, Vec3};
use training::level::Footing;

/// How far a cover stands above the ground around it, metres.
const PROUD_M: f32 = 0.012;

/// Builds one of them.
pub fn build(m: &mut Mason, footing: &Footing) {
    let [low, high] = footing.over.map(|[x, z]| Vec2::new(x as f32, z as f32));
    let (size, middle) = (high - low, 0.5 * (low + high));
    let slab = |m: &mut Mason, by: f32, height: f32| {
        m.rounded(
            Vec3::new(middle.x, 0.5 * height, middle.y),
            Vec3::new(size.x - by, height, size.y - by),
            0.003,
        );
    };
    match footing.kind.as_str() {
        "wet_painted_steel" => {
            // A frame in the ground, and a smooth cover with two lifting holes and worn paint.
            m.of(Stuff::Zinc, 0x8d9496);
            slab(m, 0.0, 0.6 * PROUD_M);
            m.of(Stuff::Steel, 0x3f6b78);
            slab(m, 0.06, PROUD_M);
            m.of(Stuff::Rubber, 0x16191b);
            for side in [-1.0, 1.0] {
                let at = Vec3::new(middle.x, PROUD_M, middle.y + side * 0.36 * size.y);
                m.block(at, Vec3::new(0.12, 0.002, 0.028));
            }
        }
        "grating" => {
            m.of(Stuff::Zinc, 0x9aa1a3);
            let bars = (size.y / 0.04).max(2.0) as u32;
            for n in 0..=bars {
                let z = low.y + size.y * n as f32 / bars as f32;
                let at = Vec3::new(middle.x, 0.5 * PROUD_M, z);
                m.block(at, Vec3::new(size.x, PROUD_M, 0.006));
            }
        }
        "ice" => {
            m.of(Stuff::Steel, 0xc4d4da);
            slab(m, 0.0, 0.25 * PROUD_M);
        }
        _ => {
            m.of(Stuff::Concrete, 0x8f8c85);
            slab(m, 0.0, 0.2 * PROUD_M);
        }
    }
}
