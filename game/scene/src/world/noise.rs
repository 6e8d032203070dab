//! Seeded unevenness: the same place is always as uneven.

use bevy::math::{Vec2, Vec3};

/// A number from 0 to 1 that belongs to a place of a grid.
pub fn chance(x: i32, y: i32, seed: u32) -> f32 {
    let mut n = (x as u32)
        .wrapping_mul(0x9e37_79b1)
        .wrapping_add((y as u32).wrapping_mul(0x85eb_ca77))
        .wrapping_add(seed.wrapping_mul(0xc2b2_ae3d));
    n = (n ^ (n >> 15)).wrapping_mul(0x2c1b_3c6d);
    n = (n ^ (n >> 12)).wrapping_mul(0x297a_2d39);
    n ^= n >> 15;
    n as f32 / u32::MAX as f32
}

fn eased(t: f32) -> f32 {
    t * t * (3.0 - 2.0 * t)
}

/// Smooth unevenness from 0 to 1. After `period` cells it begins anew; 0 for
/// never.
pub fn smooth(at: Vec2, period: i32, seed: u32) -> f32 {
    let cell = at.floor();
    let (x, y) = (cell.x as i32, cell.y as i32);
    let (u, v) = (eased(at.x - cell.x), eased(at.y - cell.y));
    let wrap = |n: i32| if period > 0 { n.rem_euclid(period) } else { n };
    let n = |dx, dy| chance(wrap(x + dx), wrap(y + dy), seed);
    let low = n(0, 0) + (n(1, 0) - n(0, 0)) * u;
    let high = n(0, 1) + (n(1, 1) - n(0, 1)) * u;
    low + (high - low) * v
}

/// Unevenness of several sizes, each half of the one before, from 0 to 1.
pub fn rough(at: Vec2, period: i32, octaves: u32, seed: u32) -> f32 {
    let (mut sum, mut weight, mut whole) = (0.0, 1.0, 0.0);
    let (mut at, mut period) = (at, period);
    for n in 0..octaves {
        sum += weight * smooth(at, period, seed.wrapping_add(n));
        whole += weight;
        weight *= 0.5;
        at *= 2.0;
        period *= 2;
    }
    sum / whole
}

/// Unevenness on a sphere, from 0 to 1, for a direction.
pub fn around(towards: Vec3, scale: f32, octaves: u32, seed: u32) -> f32 {
    // Two layers at an angle to each other hide that the noise is flat.
    let a = Vec2::new(towards.x + 0.37 * towards.y, towards.z - 0.21 * towards.y) * scale;
    let b = Vec2::new(towards.z - 0.6 * towards.x, towards.x + 0.6 * towards.z) * (0.83 * scale);
    0.5 * (rough(a, 0, octaves, seed) + rough(b, 0, octaves, seed ^ 0x5bd1))
}

/// Distance to the nearest of points scattered one to a cell, in cells, and to
/// the second nearest. After `period` cells they begin anew.
pub fn cells(at: Vec2, period: i32, seed: u32) -> (f32, f32) {
    let cell = at.floor();
    let (mut first, mut second) = (f32::MAX, f32::MAX);
    for dy in -1..=1 {
        for dx in -1..=1 {
            let (x, y) = (cell.x as i32 + dx, cell.y as i32 + dy);
            let (wx, wy) = (x.rem_euclid(period), y.rem_euclid(period));
            let point = Vec2::new(
                x as f32 + chance(wx, wy, seed),
                y as f32 + chance(wx, wy, seed ^ 0x51ed),
            );
            let far = point.distance(at);
            if far < first {
                (first, second) = (far, first);
            } else if far < second {
                second = far;
            }
        }
    }
    (first, second)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_join_where_they_begin_anew() {
        for n in 0..40_u8 {
            let at = Vec2::new(0.37 * f32::from(n), 0.11 * f32::from(n));
            let apart = (rough(at, 8, 4, 3) - rough(at + Vec2::new(8.0, 16.0), 8, 4, 3)).abs();
            assert!(apart < 1e-4, "{apart}");
            let apart = (cells(at, 8, 3).0 - cells(at + Vec2::new(8.0, 8.0), 8, 3).0).abs();
            assert!(apart < 1e-4, "{apart}");
        }
        let apart =
            (rough(Vec2::new(0.3, 0.4), 8, 4, 3) - rough(Vec2::new(4.3, 0.4), 8, 4, 3)).abs();
        assert!(apart > 1e-3, "the pattern is flat");
    }

    #[test]
    fn chance_is_spread_evenly() {
        let mean = (0..1000).map(|n| chance(n, 7, 1)).sum::<f32>() / 1000.0;
        assert!((mean - 0.5).abs() < 0.05, "{mean}");
    }
}
