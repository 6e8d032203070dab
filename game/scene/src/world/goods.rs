//! What stands about in a yard: drums, pallets, lamps, hydrants, trees, signs.

use crate::world::kit::{Mason, Stuff};
use crate::world::noise::chance;
use crate::world::yards::colours::{GREY, OCHRE, PETROL};
use bevy::math::{Quat, Vec2, Vec3};
use bevy::prelude::Transform;

const RED: u32 = 0xa83a2c;
const WHITE: u32 = 0xe4e2da;
const BLACK: u32 = 0x23272a;
const TIMBER: u32 = 0xb39a78;

/// A kerb along x from the origin.
pub fn kerb(m: &mut Mason, length: f32) {
    let stones = (length / 1.0).round().max(1.0) as u16;
    for n in 0..stones {
        let own = chance(i32::from(n), 1, 77);
        let grey = (158.0 + 26.0 * own) as u32;
        m.of(Stuff::Concrete, grey << 16 | grey << 8 | (grey - 6));
        let size = length / f32::from(stones);
        let x = (f32::from(n) + 0.5) * size;
        m.rounded(
            Vec3::new(x, 0.03, 0.0),
            Vec3::new(size - 0.012, 0.14, 0.15),
            0.025,
        );
    }
}

/// A lamp on a post; it looks along +z.
pub fn lamp(m: &mut Mason, height: f32) {
    m.stands(Vec2::splat(0.12));
    m.of(Stuff::Concrete, 0x8b8a86);
    m.rounded(Vec3::new(0.0, 0.06, 0.0), Vec3::new(0.42, 0.14, 0.42), 0.03);
    m.of(Stuff::Zinc, 0x8f999d);
    m.turned(
        &[
            (0.09, 0.1),
            (0.085, 1.1),
            (0.06, 1.2),
            (0.045, height),
            (0.0, height),
        ],
        14,
    );
    m.pipe(
        &[
            Vec3::new(0.0, height - 0.1, 0.0),
            Vec3::new(0.0, height + 0.12, 0.35),
            Vec3::new(0.0, height + 0.16, 1.0),
        ],
        0.035,
        10,
    );
    m.of(Stuff::Paint, GREY);
    m.rounded(
        Vec3::new(0.0, height + 0.17, 1.15),
        Vec3::new(0.26, 0.1, 0.62),
        0.03,
    );
    m.of(Stuff::Lamp, 0xe9e4d2);
    m.block(
        Vec3::new(0.0, height + 0.115, 1.17),
        Vec3::new(0.2, 0.02, 0.5),
    );
    m.of(Stuff::Paint, PETROL);
    m.rounded(Vec3::new(0.0, 0.6, 0.08), Vec3::new(0.1, 0.3, 0.05), 0.01);
}

/// A tree without leaves.
pub fn tree(m: &mut Mason, height: f32, seed: u32) {
    m.stands(Vec2::splat(0.25));
    let depth = if m.is_fine() { 6 } else { 4 };
    m.of(Stuff::Bark, 0x5a5650);
    grow(
        m,
        Vec3::ZERO,
        Vec3::Y,
        0.28 * height,
        0.017 * height,
        depth,
        seed,
    );
}

fn grow(m: &mut Mason, from: Vec3, way: Vec3, length: f32, radius: f32, left: u32, seed: u32) {
    let pick = |n: i32| chance(n, left as i32, seed) - 0.5;
    let bent = (way + 0.22 * Vec3::new(pick(1), 0.25, pick(2))).normalize_or(Vec3::Y);
    let to = from + bent * length;
    let sides = match left {
        5.. => 8,
        3..=4 => 5,
        _ => 3,
    };
    let end = if left == 0 { 0.0 } else { 0.72 * radius };
    m.limb(from, to, radius, end, sides);
    if left == 0 {
        return;
    }
    let count = if left > 3 { 3 } else { 2 };
    let spin = core::f32::consts::TAU * (pick(3) + 0.5);
    for n in 0..count {
        let turn = spin + core::f32::consts::TAU * n as f32 / count as f32 + pick(10 + n);
        let side = bent.any_orthonormal_vector();
        let side = Quat::from_axis_angle(bent, turn) * side;
        let open = 0.42 + 0.35 * (pick(20 + n) + 0.5);
        // Branches seek the light.
        let way = (bent + side * open + Vec3::Y * 0.16).normalize_or(Vec3::Y);
        let share = 0.66 + 0.22 * pick(30 + n);
        let start = from.lerp(to, 0.8 + 0.2 * (n as f32 + 1.0) / count as f32);
        grow(
            m,
            start,
            way,
            length * share,
            0.6 * radius,
            left - 1,
            seed.wrapping_mul(31).wrapping_add(n as u32 + left),
        );
    }
}

/// A hydrant with a standpipe.
pub fn hydrant(m: &mut Mason) {
    m.stands(Vec2::splat(0.2));
    m.of(Stuff::Concrete, 0x93918b);
    m.rounded(Vec3::new(0.0, 0.03, 0.0), Vec3::new(0.7, 0.06, 0.7), 0.02);
    m.of(Stuff::Paint, 0x3b6a86);
    m.turned(
        &[
            (0.16, 0.05),
            (0.16, 0.1),
            (0.09, 0.12),
            (0.09, 0.62),
            (0.13, 0.66),
            (0.13, 0.78),
            (0.06, 0.86),
            (0.0, 0.87),
        ],
        18,
    );
    m.bar(
        Vec3::new(-0.2, 0.56, 0.0),
        Vec3::new(0.2, 0.56, 0.0),
        0.05,
        12,
    );
    m.of(Stuff::Steel, 0xb9b3a4);
    for s in [-1.0, 1.0] {
        m.bar(
            Vec3::new(s * 0.2, 0.56, 0.0),
            Vec3::new(s * 0.26, 0.56, 0.0),
            0.062,
            12,
        );
    }
    m.of(Stuff::Paint, RED);
    m.within(Transform::from_xyz(0.0, 0.93, 0.0), |m| wheel(m, 0.11));
}

/// A hand wheel about the upward axis.
pub fn wheel(m: &mut Mason, radius: f32) {
    let at = |n: u8| {
        let turn = core::f32::consts::TAU * f32::from(n) / 16.0;
        Vec3::new(turn.cos() * radius, 0.0, turn.sin() * radius)
    };
    for n in 0..16 {
        m.bar(at(n), at(n + 1), 0.011, 6);
    }
    for n in [0, 4, 8, 12] {
        m.bar(Vec3::ZERO, at(n), 0.008, 5);
    }
    m.bar(Vec3::Y * -0.08, Vec3::Y * 0.02, 0.018, 8);
}

/// One drum.
fn drum(m: &mut Mason, colour: u32) {
    m.stands(Vec2::splat(0.26));
    m.of(Stuff::Paint, colour);
    let r = 0.286;
    m.turned(
        &[
            (r, 0.0),
            (r + 0.008, 0.012),
            (r - 0.005, 0.03),
            (r - 0.005, 0.28),
            (r + 0.008, 0.295),
            (r - 0.005, 0.31),
            (r - 0.005, 0.56),
            (r + 0.008, 0.575),
            (r - 0.005, 0.59),
            (r - 0.005, 0.85),
            (r + 0.008, 0.868),
            (r - 0.004, 0.88),
            (r - 0.02, 0.862),
            (0.0, 0.862),
        ],
        28,
    );
    m.of(Stuff::Steel, 0xb0b0ac);
    m.bar(
        Vec3::new(0.17, 0.86, 0.05),
        Vec3::new(0.17, 0.878, 0.05),
        0.036,
        10,
    );
    m.bar(
        Vec3::new(-0.19, 0.86, 0.0),
        Vec3::new(-0.19, 0.874, 0.0),
        0.02,
        8,
    );
    m.of(Stuff::Line, WHITE);
    m.within(Transform::from_rotation(Quat::from_rotation_y(1.0)), |m| {
        let z = r + 0.003;
        m.face([
            Vec3::new(-0.07, 0.37, z),
            Vec3::new(0.07, 0.37, z),
            Vec3::new(0.07, 0.51, z),
            Vec3::new(-0.07, 0.51, z),
        ]);
    });
}

/// Drums side by side.
pub fn drums(m: &mut Mason, count: u8, colour: u32) {
    for n in 0..count {
        let own = chance(i32::from(n), 5, u32::from(count));
        let at = Vec3::new(
            0.62 * f32::from(n / 2),
            0.0,
            0.6 * f32::from(n % 2) + 0.08 * own,
        );
        m.place(at, 360.0 * own, |m| drum(m, colour));
    }
}

/// Pallets on top of each other.
pub fn pallets(m: &mut Mason, count: u8) {
    m.stands(Vec2::new(0.6, 0.5));
    for n in 0..count {
        let own = chance(i32::from(n), 9, 4);
        let frame = Transform::from_xyz(0.05 * (own - 0.5), 0.144 * f32::from(n), 0.0)
            .with_rotation(Quat::from_rotation_y(0.09 * (own - 0.5)));
        m.within(frame, |m| {
            m.of(Stuff::Wood, TIMBER);
            for k in 0..7_u8 {
                let z = 0.155 * (f32::from(k) - 3.0);
                m.rounded(Vec3::new(0.0, 0.133, z), Vec3::new(1.2, 0.022, 0.1), 0.003);
            }
            for z in [-0.45, 0.0, 0.45] {
                m.block(Vec3::new(0.0, 0.011, z), Vec3::new(1.2, 0.022, 0.1));
                for x in [-0.53, 0.0, 0.53] {
                    m.block(Vec3::new(x, 0.072, z), Vec3::new(0.14, 0.1, 0.1));
                }
            }
            for x in [-0.53, 0.0, 0.53] {
                m.block(Vec3::new(x, 0.117, 0.0), Vec3::new(0.14, 0.02, 1.0));
            }
        });
    }
}

/// A plastic tank in a cage on a pallet.
pub fn caged(m: &mut Mason) {
    m.place(Vec3::ZERO, 0.0, |m| pallets(m, 1));
    m.of(Stuff::Render, 0xd9dbd6);
    m.rounded(Vec3::new(0.0, 0.64, 0.0), Vec3::new(1.1, 0.96, 0.94), 0.09);
    m.of(Stuff::Zinc, 0xa7b0b3);
    let (x, z, low, high) = (0.58, 0.49, 0.16, 1.16);
    for y in [low, 0.42, 0.67, 0.92, high] {
        for s in [-1.0, 1.0] {
            m.bar(Vec3::new(-x, y, s * z), Vec3::new(x, y, s * z), 0.011, 6);
            m.bar(Vec3::new(s * x, y, -z), Vec3::new(s * x, y, z), 0.011, 6);
        }
    }
    for n in 0..5_u8 {
        let k = f32::from(n) / 2.0 - 1.0;
        for s in [-1.0, 1.0] {
            m.bar(
                Vec3::new(k * x, low, s * z),
                Vec3::new(k * x, high, s * z),
                0.011,
                6,
            );
            m.bar(
                Vec3::new(s * x, low, k * z),
                Vec3::new(s * x, high, k * z),
                0.011,
                6,
            );
        }
    }
    m.of(Stuff::Rubber, 0x2b3236);
    m.turned(&[(0.12, 1.1), (0.12, 1.17), (0.0, 1.18)], 16);
    m.bar(
        Vec3::new(0.0, 0.24, z),
        Vec3::new(0.0, 0.24, z + 0.09),
        0.05,
        12,
    );
}

/// Pipes on low trestles along x from the origin.
pub fn pipes(m: &mut Mason, length: f32) {
    let trestles = (length / 2.4).ceil().max(1.0) as u16;
    for n in 0..=trestles {
        let x = length * f32::from(n) / f32::from(trestles);
        m.of(Stuff::Concrete, 0x94928c);
        m.rounded(Vec3::new(x, 0.14, 0.0), Vec3::new(0.3, 0.28, 0.9), 0.03);
        m.of(Stuff::Zinc, 0x98a1a4);
        m.rounded(Vec3::new(x, 0.31, 0.0), Vec3::new(0.12, 0.08, 0.8), 0.01);
    }
    for (z, radius, colour) in [(-0.2, 0.16, PETROL), (0.22, 0.1, 0x6d8791)] {
        m.of(Stuff::Paint, colour);
        m.bar(
            Vec3::new(0.0, 0.35 + radius, z),
            Vec3::new(length, 0.35 + radius, z),
            radius,
            20,
        );
        let flanges = (length / 3.0).ceil() as u16;
        for n in 0..=flanges {
            let x = length * f32::from(n) / f32::from(flanges.max(1));
            m.bar(
                Vec3::new(x - 0.03, 0.35 + radius, z),
                Vec3::new(x + 0.03, 0.35 + radius, z),
                radius + 0.06,
                20,
            );
        }
    }
}

/// Hoses hung up on a wall; the wall is behind, at -z.
pub fn hoses(m: &mut Mason) {
    m.of(Stuff::Paint, PETROL);
    m.rounded(Vec3::new(0.0, 1.72, -0.2), Vec3::new(1.9, 0.14, 0.05), 0.01);
    for n in 0..3_u8 {
        let x = 0.62 * (f32::from(n) - 1.0);
        m.of(Stuff::Steel, 0xa9adae);
        m.bar(Vec3::new(x, 1.72, -0.2), Vec3::new(x, 1.78, 0.1), 0.02, 8);
        let colour = [0x30363a, 0x3b4a52, 0x6a4a3a][usize::from(n)];
        m.of(Stuff::Rubber, colour);
        let coils = if m.is_fine() { 4 } else { 2 };
        for k in 0..coils {
            let radius = 0.3 + 0.02 * (k % 2) as f32;
            let z = -0.14 + 0.055 * k as f32;
            let at = |a: u8| {
                let turn = core::f32::consts::TAU * f32::from(a) / 20.0;
                Vec3::new(
                    x + 0.86 * radius * turn.sin(),
                    1.42 + radius * 1.12 * turn.cos(),
                    z,
                )
            };
            for a in 0..20 {
                m.bar(at(a), at(a + 1), 0.026, 8);
            }
        }
        m.bar(
            Vec3::new(x + 0.1, 1.1, 0.06),
            Vec3::new(x + 0.14, 0.72, 0.07),
            0.026,
            8,
        );
        m.of(Stuff::Steel, 0xb8b2a2);
        m.bar(
            Vec3::new(x + 0.14, 0.72, 0.07),
            Vec3::new(x + 0.15, 0.6, 0.07),
            0.036,
            8,
        );
    }
}

/// An electric cabinet on a base; its door looks along +z.
pub fn cabinet(m: &mut Mason) {
    m.stands(Vec2::new(0.36, 0.2));
    m.of(Stuff::Concrete, 0x8f8d88);
    m.rounded(Vec3::new(0.0, 0.08, 0.0), Vec3::new(0.8, 0.16, 0.42), 0.02);
    m.of(Stuff::Paint, 0x9ba7a6);
    m.rounded(Vec3::new(0.0, 0.86, 0.0), Vec3::new(0.72, 1.4, 0.34), 0.02);
    m.rounded(
        Vec3::new(0.0, 1.59, 0.02),
        Vec3::new(0.8, 0.06, 0.44),
        0.015,
    );
    m.rounded(
        Vec3::new(0.0, 0.86, 0.175),
        Vec3::new(0.64, 1.3, 0.02),
        0.008,
    );
    m.of(Stuff::Rubber, BLACK);
    m.rounded(
        Vec3::new(0.25, 0.92, 0.2),
        Vec3::new(0.03, 0.14, 0.03),
        0.008,
    );
    m.within(Transform::from_xyz(-0.08, 1.22, 0.188), |m| warning(m, 0.2));
    m.of(Stuff::Zinc, 0x98a1a4);
    m.pipe(
        &[Vec3::new(0.2, 1.6, -0.1), Vec3::new(0.2, 2.9, -0.1)],
        0.025,
        8,
    );
}

/// A warning triangle of our own drawing that looks along +z.
pub fn warning(m: &mut Mason, size: f32) {
    let at = |x: f32, y: f32, z: f32| Vec3::new(x * size, y * size, z);
    m.of(Stuff::Line, BLACK);
    let tri = |m: &mut Mason, scale: f32, z: f32| {
        m.face([
            at(-0.5 * scale, -0.29 * scale, z),
            at(0.5 * scale, -0.29 * scale, z),
            at(0.0, 0.58 * scale, z),
            at(0.0, 0.58 * scale, z),
        ]);
    };
    tri(m, 1.0, 0.001);
    m.of(Stuff::Line, 0xd8a531);
    tri(m, 0.78, 0.003);
    m.of(Stuff::Line, BLACK);
    m.block(
        at(0.0, 0.03, 0.004),
        Vec3::new(0.07 * size, 0.3 * size, 0.002),
    );
    m.block(
        at(0.0, -0.17, 0.004),
        Vec3::new(0.07 * size, 0.07 * size, 0.002),
    );
}

/// A post that cars do not pass.
pub fn bollard(m: &mut Mason) {
    m.stands(Vec2::splat(0.09));
    m.of(Stuff::Paint, OCHRE);
    m.turned(&[(0.085, 0.0), (0.085, 0.95), (0.06, 1.0), (0.0, 1.01)], 16);
    m.of(Stuff::Paint, BLACK);
    for y in [0.5, 0.78] {
        m.turned(&[(0.087, y), (0.087, y + 0.12)], 16);
    }
}

/// A steel box for waste.
pub fn skip(m: &mut Mason) {
    m.stands(Vec2::new(1.5, 0.8));
    m.of(Stuff::Paint, 0x5d6f5c);
    let ring = |y: f32, x: f32, z: f32| {
        [
            Vec3::new(-x, y, z),
            Vec3::new(x, y, z),
            Vec3::new(x, y, -z),
            Vec3::new(-x, y, -z),
        ]
    };
    let (low, high) = (ring(0.1, 1.25, 0.75), ring(1.25, 1.75, 0.85));
    for n in 0..4 {
        let k = (n + 1) % 4;
        m.face([low[n], low[k], high[k], high[n]]);
        m.face([high[n], high[k], low[k], low[n]]);
        m.bar(high[n], high[k], 0.045, 8);
        m.bar(low[n], high[n], 0.03, 6);
    }
    for x in [-0.7, 0.0, 0.7] {
        for s in [-1.0, 1.0] {
            m.rounded(
                Vec3::new(x, 0.7, s * 0.83),
                Vec3::new(0.08, 1.0, 0.06),
                0.01,
            );
        }
    }
    m.of(Stuff::Gravel, 0x8d877c);
    m.face([
        Vec3::new(-1.55, 0.95, 0.8),
        Vec3::new(1.55, 0.95, 0.8),
        Vec3::new(1.4, 1.05, -0.8),
        Vec3::new(-1.4, 1.1, -0.8),
    ]);
}

/// Pipes stacked in a frame along x.
pub fn stack(m: &mut Mason) {
    m.stands(Vec2::new(2.2, 0.6));
    m.of(Stuff::Zinc, 0x8d979a);
    for x in [-1.5, 1.5] {
        m.rounded(Vec3::new(x, 0.06, 0.0), Vec3::new(0.1, 0.12, 1.4), 0.01);
        for z in [-0.66, 0.66] {
            m.rounded(Vec3::new(x, 0.6, z), Vec3::new(0.08, 1.2, 0.08), 0.01);
        }
    }
    for row in 0..3_u8 {
        for n in 0..4 - row % 2 {
            let own = chance(i32::from(n), i32::from(row), 3);
            let z = 0.3 * (f32::from(n) - 1.5 + 0.5 * f32::from(row % 2));
            let y = 0.27 + 0.26 * f32::from(row);
            m.of(Stuff::Paint, if own > 0.45 { 0x4f6e78 } else { 0x8a5a44 });
            let end = 2.1 + 0.2 * own;
            m.bar(Vec3::new(-end, y, z), Vec3::new(2.1, y, z), 0.14, 16);
            m.of(Stuff::Rubber, 0x15181a);
            for (x, out) in [(-end, -0.002), (2.1, 0.002)] {
                m.bar(Vec3::new(x, y, z), Vec3::new(x + out, y, z), 0.12, 16);
            }
        }
    }
}

/// A sign that looks along +z: which of the two.
pub fn sign(m: &mut Mason, which: u8) {
    m.of(Stuff::Zinc, 0x9aa3a6);
    m.rounded(
        Vec3::new(0.0, 1.75, -0.01),
        Vec3::new(0.6, 0.8, 0.02),
        0.006,
    );
    m.of(Stuff::Line, WHITE);
    m.block(Vec3::new(0.0, 1.75, 0.002), Vec3::new(0.56, 0.76, 0.004));
    m.within(Transform::from_xyz(0.0, 1.84, 0.006), |m| warning(m, 0.4));
    m.of(Stuff::Line, if which == 0 { 0x2c5f78 } else { 0x2f6f62 });
    m.block(Vec3::new(0.0, 1.47, 0.004), Vec3::new(0.5, 0.13, 0.004));
    m.of(Stuff::Line, WHITE);
    for (x, w) in [(-0.14, 0.12), (0.02, 0.14), (0.16, 0.08)] {
        m.block(Vec3::new(x, 1.47, 0.006), Vec3::new(w, 0.025, 0.004));
    }
}

/// A cone, half a metre high.
pub fn cone(m: &mut Mason) {
    m.stands(Vec2::splat(0.13));
    m.of(Stuff::Rubber, BLACK);
    m.rounded(Vec3::new(0.0, 0.02, 0.0), Vec3::new(0.3, 0.04, 0.3), 0.01);
    m.of(Stuff::Paint, 0xc4572a);
    m.turned(&[(0.115, 0.04), (0.093, 0.16)], 20);
    m.turned(&[(0.066, 0.3), (0.05, 0.38)], 20);
    m.turned(&[(0.035, 0.46), (0.025, 0.5), (0.0, 0.5)], 20);
    m.of(Stuff::Paint, WHITE);
    m.turned(&[(0.093, 0.16), (0.066, 0.3)], 20);
    m.turned(&[(0.05, 0.38), (0.035, 0.46)], 20);
}

/// A cart of tools.
pub fn cart(m: &mut Mason) {
    m.stands(Vec2::new(0.45, 0.28));
    m.of(Stuff::Paint, PETROL);
    m.rounded(Vec3::new(0.0, 0.52, 0.0), Vec3::new(0.86, 0.68, 0.5), 0.03);
    m.of(Stuff::Paint, GREY);
    for n in 0..4_u8 {
        let y = 0.28 + 0.16 * f32::from(n);
        m.rounded(Vec3::new(0.0, y, 0.255), Vec3::new(0.8, 0.14, 0.02), 0.006);
        m.of(Stuff::Steel, 0xb8bcbe);
        m.bar(
            Vec3::new(-0.2, y, 0.285),
            Vec3::new(0.2, y, 0.285),
            0.009,
            6,
        );
        m.of(Stuff::Paint, GREY);
    }
    m.of(Stuff::Rubber, BLACK);
    m.rounded(
        Vec3::new(0.0, 0.875, 0.0),
        Vec3::new(0.88, 0.03, 0.52),
        0.01,
    );
    for x in [-0.34, 0.34] {
        for z in [-0.2, 0.2] {
            m.bar(
                Vec3::new(x - 0.02, 0.08, z),
                Vec3::new(x + 0.02, 0.08, z),
                0.08,
                14,
            );
        }
    }
    m.of(Stuff::Steel, 0xb8bcbe);
    m.pipe(
        &[
            Vec3::new(0.43, 0.7, -0.2),
            Vec3::new(0.56, 0.8, -0.2),
            Vec3::new(0.56, 0.8, 0.2),
            Vec3::new(0.43, 0.7, 0.2),
        ],
        0.014,
        8,
    );
}

/// Heavy timber on a frame that takes a jet; its face looks along +z.
pub fn target(m: &mut Mason, [width, height]: [f32; 2]) {
    m.stands(Vec2::new(0.5 * width, 0.3));
    m.of(Stuff::Wood, 0x7d6a52);
    let boards = (height / 0.24) as u16;
    for n in 0..boards {
        let own = chance(i32::from(n), 2, 9);
        let y = 0.25 + 0.24 * (f32::from(n) + 0.5);
        m.rounded(
            Vec3::new(0.03 * (own - 0.5), y, 0.0),
            Vec3::new(width, 0.232, 0.11),
            0.012,
        );
    }
    m.of(Stuff::Paint, 0x4d585d);
    for s in [-1.0, 0.0, 1.0] {
        let x = s * 0.44 * width;
        m.rounded(
            Vec3::new(x, 0.5 * height + 0.15, -0.12),
            Vec3::new(0.12, height + 0.3, 0.12),
            0.01,
        );
        m.bar(
            Vec3::new(x, 0.8 * height, -0.15),
            Vec3::new(x, 0.05, -1.0),
            0.05,
            8,
        );
        m.rounded(Vec3::new(x, 0.04, -0.5), Vec3::new(0.14, 0.08, 1.2), 0.01);
    }
    m.of(Stuff::Concrete, 0x9c9992);
    m.rounded(Vec3::new(0.0, 0.2, -0.95), Vec3::new(width, 0.4, 0.5), 0.03);
}

/// A grating over a drain, along z.
pub fn grating(m: &mut Mason, [width, length]: [f32; 2]) {
    m.of(Stuff::Rubber, 0x07090a);
    let (x, z) = (0.5 * width, 0.5 * length);
    let y = 0.004;
    m.face([
        Vec3::new(-x, y, z),
        Vec3::new(x, y, z),
        Vec3::new(x, y, -z),
        Vec3::new(-x, y, -z),
    ]);
    m.of(Stuff::Zinc, 0x6f777a);
    for s in [-1.0, 1.0] {
        m.block(Vec3::new(s * x, 0.006, 0.0), Vec3::new(0.05, 0.016, length));
        m.block(Vec3::new(0.0, 0.006, s * z), Vec3::new(width, 0.016, 0.05));
    }
    let bars = (length / if m.is_fine() { 0.045 } else { 0.12 }) as u16;
    for n in 1..bars {
        let z = -z + length * f32::from(n) / f32::from(bars);
        m.block(Vec3::new(0.0, 0.006, z), Vec3::new(width, 0.013, 0.014));
    }
}

/// A worn line along x from the origin.
pub fn line(m: &mut Mason, length: f32) {
    let pieces = (length / 0.35).ceil().max(1.0) as u16;
    for n in 0..pieces {
        let own = chance(i32::from(n), 8, length.to_bits());
        // Where wheels and boots go it is worn off.
        if own < 0.08 {
            continue;
        }
        let shade = 150.0 + 62.0 * own;
        let (r, g, b) = (shade as u32, (0.97 * shade) as u32, (0.86 * shade) as u32);
        m.of(Stuff::Line, r << 16 | g << 8 | b);
        let (from, to) = (0.35 * f32::from(n), (0.35 * f32::from(n + 1)).min(length));
        let (w, y) = (0.05, 0.003);
        m.face([
            Vec3::new(from, y, w),
            Vec3::new(to, y, w),
            Vec3::new(to, y, -w),
            Vec3::new(from, y, -w),
        ]);
    }
}

/// Slanting bars about the origin, along x.
pub fn hatched(m: &mut Mason, [length, width]: [f32; 2]) {
    let bars = (length / 0.5) as u16;
    let (z, y) = (0.5 * width, 0.003);
    for n in 0..bars {
        let own = chance(i32::from(n), 6, 12);
        let shade = (150.0 + 50.0 * own) as u32;
        m.of(
            Stuff::Line,
            (shade << 16) | ((shade * 80 / 100) << 8) | (shade * 36 / 100),
        );
        let from = -0.5 * length + 0.5 * f32::from(n);
        m.face([
            Vec3::new(from, y, z),
            Vec3::new(from + 0.22, y, z),
            Vec3::new(from + 0.5, y, -z),
            Vec3::new(from + 0.28, y, -z),
        ]);
    }
}
