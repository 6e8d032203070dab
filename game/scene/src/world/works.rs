//! What is built in the waterworks: houses, halls, tanks, silos, fences.

use crate::world::kit::{Mason, Stuff};
use crate::world::noise::chance;
use crate::world::yards::colours::{GREY, OCHRE, PETROL, SLATE};
use crate::world::yards::{Closed, Opening, Side};
use bevy::math::{Vec2, Vec3};
use bevy::prelude::{Quat, Transform};

const FRAME: u32 = 0x3b464d;
const PANE: u32 = 0x1c262c;
const PLINTH: u32 = 0x77777a;
const WHITE: u32 = 0xdedcd5;

/// Middle of a side on the ground, the way along it to the right of who looks at
/// it, and the way out of it.
fn side(of: Side, size: [f32; 3]) -> (Vec3, Vec3, Vec3) {
    let (half_x, half_z) = (0.5 * size[0], 0.5 * size[2]);
    match of {
        Side::Front => (Vec3::Z * half_z, Vec3::X, Vec3::Z),
        Side::Back => (-Vec3::Z * half_z, -Vec3::X, -Vec3::Z),
        Side::Right => (Vec3::X * half_x, -Vec3::Z, Vec3::X),
        Side::Left => (-Vec3::X * half_x, Vec3::Z, -Vec3::X),
    }
}

/// An opening, built in its own frame: x along the wall, z out of it.
fn open(m: &mut Mason, opening: &Opening, size: [f32; 3]) {
    let (at, along, out) = side(opening.side, size);
    let frame = Transform::from_translation(at + along * opening.along).with_rotation(
        Quat::from_mat3(&bevy::math::Mat3::from_cols(along, Vec3::Y, out)),
    );
    let [low, high] = opening.between;
    let (width, height) = (opening.width, high - low);
    let middle = Vec3::new(0.0, 0.5 * (low + high), 0.0);
    m.within(frame, |m| {
        surround(m, opening.kind, middle, width, height, low);
        match opening.kind {
            Closed::Panes(across, up) => {
                m.of(Stuff::Glass, PANE);
                m.block(middle + Vec3::Z * 0.012, Vec3::new(width, height, 0.02));
                m.of(Stuff::Paint, FRAME);
                for n in 0..=across {
                    let x = (f32::from(n) / f32::from(across) - 0.5) * width;
                    m.block(
                        middle + Vec3::new(x, 0.0, 0.03),
                        Vec3::new(0.045, height, 0.05),
                    );
                }
                for n in 0..=up {
                    let y = (f32::from(n) / f32::from(up) - 0.5) * height;
                    m.block(
                        middle + Vec3::new(0.0, y, 0.03),
                        Vec3::new(width, 0.045, 0.045),
                    );
                }
            }
            Closed::Shutter => {
                m.of(Stuff::Paint, PETROL);
                let slats = (height / 0.16) as u16;
                for n in 0..slats {
                    let y = low + (f32::from(n) + 0.5) * height / f32::from(slats);
                    m.rounded(Vec3::new(0.0, y, 0.0), Vec3::new(width, 0.15, 0.07), 0.02);
                }
                m.of(Stuff::Paint, FRAME);
                m.rounded(
                    Vec3::new(0.0, low + 0.05, 0.01),
                    Vec3::new(width, 0.1, 0.09),
                    0.01,
                );
            }
            Closed::Door => {
                m.of(Stuff::Paint, PETROL);
                m.rounded(middle, Vec3::new(width, height, 0.07), 0.01);
                m.of(Stuff::Steel, 0xb8bcbe);
                m.bar(
                    Vec3::new(0.38 * width, 1.0, 0.06),
                    Vec3::new(0.24 * width, 1.0, 0.06),
                    0.012,
                    8,
                );
                m.block(
                    Vec3::new(0.0, low + 0.16, 0.037),
                    Vec3::new(0.86 * width, 0.26, 0.004),
                );
                m.of(Stuff::Concrete, PLINTH);
                m.rounded(
                    Vec3::new(0.0, 0.03, 0.25),
                    Vec3::new(width + 0.3, 0.06, 0.5),
                    0.01,
                );
            }
            Closed::Slats => {
                m.of(Stuff::Paint, FRAME);
                m.block(middle, Vec3::new(width, height, 0.03));
                m.of(Stuff::Paint, GREY);
                let slats = (height / 0.11) as u16;
                for n in 0..slats {
                    let y = low + (f32::from(n) + 0.5) * height / f32::from(slats);
                    let tilt =
                        Transform::from_xyz(0.0, y, 0.03).with_rotation(Quat::from_rotation_x(0.7));
                    m.within(tilt, |m| m.block(Vec3::ZERO, Vec3::new(width, 0.1, 0.012)));
                }
            }
        }
    });
}

/// What frames an opening in a wall.
fn surround(m: &mut Mason, kind: Closed, middle: Vec3, width: f32, height: f32, low: f32) {
    m.of(Stuff::Paint, FRAME);
    let edge = if kind == Closed::Shutter { 0.14 } else { 0.07 };
    for x in [-1.0, 1.0] {
        m.rounded(
            middle + Vec3::new(x * 0.5 * (width + edge), 0.0, 0.02),
            Vec3::new(edge, height + 0.02, 0.12),
            0.01,
        );
    }
    let over = if kind == Closed::Shutter { 0.42 } else { edge };
    m.rounded(
        middle + Vec3::new(0.0, 0.5 * (height + over), 0.03),
        Vec3::new(
            width + 2.0 * edge,
            over,
            if over > 0.3 { 0.3 } else { 0.12 },
        ),
        0.015,
    );
    if low > 0.3 {
        m.of(Stuff::Concrete, 0xa9a7a0);
        m.rounded(
            middle - Vec3::new(0.0, 0.5 * height + 0.04, -0.06),
            Vec3::new(width + 0.24, 0.08, 0.2),
            0.015,
        );
    }
}

/// A house with a pitched roof along its length.
pub fn house(
    m: &mut Mason,
    size: [f32; 3],
    colour: u32,
    brick: bool,
    rise: f32,
    openings: &[Opening],
) {
    let [length, height, depth] = size;
    let (x, z) = (0.5 * length, 0.5 * depth);
    m.stands(Vec2::new(x, z));
    let walls = [
        (Vec2::new(-x, z), Vec2::new(x, z)),
        (Vec2::new(x, z), Vec2::new(x, -z)),
        (Vec2::new(x, -z), Vec2::new(-x, -z)),
        (Vec2::new(-x, -z), Vec2::new(-x, z)),
    ];
    m.of(if brick { Stuff::Brick } else { Stuff::Render }, colour);
    for (from, to) in walls {
        m.wall(from, to, height);
    }
    for end in [-1.0, 1.0] {
        let corners = [
            Vec3::new(end * x, height, end * z),
            Vec3::new(end * x, height, -end * z),
            Vec3::new(end * x, height + rise, 0.0),
            Vec3::new(end * x, height + rise, 0.0),
        ];
        m.face(corners);
    }
    // A plinth of dark bricks, a hand deep.
    m.of(Stuff::Brick, if brick { 0x5d4a45 } else { 0x6d6a6a });
    let plinth = 0.45;
    m.block(
        Vec3::new(0.0, 0.5 * plinth, 0.0),
        Vec3::new(length + 0.08, plinth, depth + 0.08),
    );
    for o in openings {
        open(m, o, size);
    }
    roof(m, length, height, depth, rise);
    gutters(m, length, height, depth);
}

/// A roof of standing seams, with eaves and a ridge.
fn roof(m: &mut Mason, length: f32, height: f32, depth: f32, rise: f32) {
    let (x, z) = (0.5 * length + 0.35, 0.5 * depth + 0.45);
    let drop = rise * 0.45 / (0.5 * depth);
    let thick = 0.12;
    for s in [-1.0, 1.0] {
        let eave = |x: f32, y: f32| Vec3::new(s * x, height - drop + y, s * z);
        let ridge = |x: f32, y: f32| Vec3::new(s * x, height + rise + y, 0.0);
        m.of(Stuff::Paint, SLATE);
        m.face([
            eave(-x, thick),
            eave(x, thick),
            ridge(x, thick),
            ridge(-x, thick),
        ]);
        m.of(Stuff::Paint, WHITE);
        m.face([ridge(-x, 0.0), ridge(x, 0.0), eave(x, 0.0), eave(-x, 0.0)]);
        m.face([eave(-x, 0.0), eave(x, 0.0), eave(x, thick), eave(-x, thick)]);
        m.face([eave(x, 0.0), ridge(x, 0.0), ridge(x, thick), eave(x, thick)]);
        m.face([
            ridge(-x, 0.0),
            eave(-x, 0.0),
            eave(-x, thick),
            ridge(-x, thick),
        ]);
        if m.is_fine() {
            m.of(Stuff::Paint, 0x3d4650);
            let seams = (length / 0.55) as u16;
            for n in 0..=seams {
                let along = -x + 2.0 * x * f32::from(n) / f32::from(seams);
                m.bar(eave(along, thick), ridge(along, thick), 0.022, 6);
            }
        }
    }
    m.of(Stuff::Paint, 0x3d4650);
    m.bar(
        Vec3::new(-x, height + rise + thick, 0.0),
        Vec3::new(x, height + rise + thick, 0.0),
        0.09,
        8,
    );
}

fn gutters(m: &mut Mason, length: f32, height: f32, depth: f32) {
    let (x, z) = (0.5 * length, 0.5 * depth);
    m.of(Stuff::Zinc, 0x9aa2a6);
    for s in [-1.0, 1.0] {
        let at = |x: f32, y: f32, out: f32| Vec3::new(x, y, s * (z + out));
        let eave = height - 0.24;
        m.bar(at(-x - 0.3, eave, 0.5), at(x + 0.3, eave, 0.5), 0.075, 10);
        for end in [-1.0, 1.0] {
            let x = end * (x - 0.25);
            m.pipe(
                &[
                    at(x, eave, 0.5),
                    at(x, eave - 0.35, 0.5),
                    at(x, eave - 0.7, 0.1),
                    at(x, 0.25, 0.1),
                    at(x, 0.12, 0.25),
                ],
                0.05,
                10,
            );
            for y in [0.9, 2.1] {
                m.block(at(x, y, 0.06), Vec3::new(0.14, 0.04, 0.12));
            }
        }
    }
}

/// A hall of corrugated sheet on a base of blocks, with a low roof.
pub fn hall(m: &mut Mason, size: [f32; 3], colour: u32, openings: &[Opening]) {
    let [length, height, depth] = size;
    let (x, z) = (0.5 * length, 0.5 * depth);
    m.stands(Vec2::new(x, z));
    let corners = [
        Vec2::new(-x, z),
        Vec2::new(x, z),
        Vec2::new(x, -z),
        Vec2::new(-x, -z),
    ];
    let base = 0.9;
    m.of(Stuff::Concrete, 0xa6a39c);
    m.block(
        Vec3::new(0.0, 0.5 * base, 0.0),
        Vec3::new(length + 0.1, base, depth + 0.1),
    );
    m.of(Stuff::Paint, 0x9fb0b2);
    for n in 0..4 {
        m.sheet(corners[n], corners[(n + 1) % 4], base, height);
    }
    m.of(Stuff::Paint, colour);
    for (s, half) in [
        (Vec2::new(-x, z), 1.0),
        (Vec2::new(x, z), 1.0),
        (Vec2::new(x, -z), 1.0),
        (Vec2::new(-x, -z), 1.0),
    ] {
        m.rounded(
            Vec3::new(s.x, 0.5 * (base + height), s.y),
            Vec3::new(0.2 * half, height - base, 0.2 * half),
            0.02,
        );
    }
    for s in [-1.0, 1.0] {
        m.rounded(
            Vec3::new(0.0, height - 0.18, s * (z + 0.04)),
            Vec3::new(length, 0.42, 0.1),
            0.02,
        );
        m.rounded(
            Vec3::new(s * (x + 0.04), height - 0.18, 0.0),
            Vec3::new(0.1, 0.42, depth),
            0.02,
        );
    }
    for o in openings {
        open(m, o, size);
    }
    roof(m, length, height, depth, 0.09 * depth);
    gutters(m, length, height - 0.05, depth);
    // Vents along the ridge.
    m.of(Stuff::Zinc, 0xa8aeb0);
    for n in 0..3_u8 {
        let at = Vec3::new(
            length * (f32::from(n) - 1.0) * 0.3,
            height + 0.09 * depth + 0.1,
            0.0,
        );
        m.within(Transform::from_translation(at), |m| {
            m.turned(
                &[
                    (0.0, 0.0),
                    (0.3, 0.0),
                    (0.3, 0.5),
                    (0.45, 0.55),
                    (0.3, 0.8),
                    (0.0, 0.85),
                ],
                14,
            );
        });
    }
}

/// A roof on posts: one edge higher than the other.
pub fn shelter(m: &mut Mason, [length, height, depth]: [f32; 3]) {
    let (x, z) = (0.5 * length, 0.5 * depth);
    m.of(Stuff::Paint, PETROL);
    let posts = 4_u8;
    for n in 0..posts {
        let x = -x + 2.0 * x * f32::from(n) / f32::from(posts - 1);
        for s in [-1.0, 1.0] {
            // Only the rear posts reach the ground: the front stays free.
            let top = if s > 0.0 { height } else { height - 0.6 };
            let low = if s > 0.0 { height - 0.35 } else { 0.0 };
            if s < 0.0 {
                m.rounded(
                    Vec3::new(x, 0.5 * (low + top), -z + 0.2),
                    Vec3::new(0.2, top - low, 0.2),
                    0.015,
                );
                m.stands_at(Vec2::new(x, -z + 0.2), Vec2::splat(0.16));
                m.rounded(
                    Vec3::new(x, 0.02, -z + 0.2),
                    Vec3::new(0.36, 0.04, 0.36),
                    0.01,
                );
                m.bar(
                    Vec3::new(x, top - 1.5, -z + 0.2),
                    Vec3::new(x, top + 0.12, 0.05 * z),
                    0.06,
                    8,
                );
            }
        }
        m.bar(
            Vec3::new(x, height - 0.62, -z),
            Vec3::new(x, height - 0.02, z),
            0.085,
            8,
        );
    }
    m.of(Stuff::Zinc, 0xaeb6b8);
    for k in 0..4_u8 {
        let s = f32::from(k) / 3.0;
        let at = |x: f32| Vec3::new(x, height - 0.52 + 0.6 * s, -z + 2.0 * z * s);
        m.bar(at(-x - 0.2), at(x + 0.2), 0.045, 6);
    }
    // The sheets, seen from above and below.
    let at = |x: f32, s: f32, up: f32| Vec3::new(x, height - 0.45 + 0.6 * s + up, -z + 2.0 * z * s);
    let (low, high) = (-0.04, 1.04);
    m.of(Stuff::Paint, SLATE);
    let (a, b) = (x + 0.3, -x - 0.3);
    m.face([
        at(b, high, 0.06),
        at(a, high, 0.06),
        at(a, low, 0.06),
        at(b, low, 0.06),
    ]);
    m.of(Stuff::Paint, 0x8fa0a3);
    m.face([
        at(b, low, 0.0),
        at(a, low, 0.0),
        at(a, high, 0.0),
        at(b, high, 0.0),
    ]);
    m.of(Stuff::Paint, PETROL);
    m.rounded(at(0.0, high, 0.0), Vec3::new(2.0 * a, 0.26, 0.06), 0.01);
    m.rounded(at(0.0, low, 0.0), Vec3::new(2.0 * a, 0.2, 0.06), 0.01);
}

/// A round tank of concrete with a walkway and a ladder.
pub fn tank(m: &mut Mason, radius: f32, height: f32) {
    m.stands(Vec2::splat(0.8 * radius));
    m.of(Stuff::Concrete, 0xb4b1a9);
    m.turned(
        &[
            (radius + 0.25, 0.0),
            (radius + 0.25, 0.25),
            (radius, 0.3),
            (radius, height - 0.3),
            (radius + 0.12, height - 0.25),
            (radius + 0.12, height),
            (radius - 0.3, height),
            (radius - 0.3, height - 0.8),
        ],
        56,
    );
    m.of(Stuff::Concrete, 0x8d8b86);
    for n in 0..14_u8 {
        let turn = core::f32::consts::TAU * f32::from(n) / 14.0;
        let at = Vec3::new(turn.cos() * radius, 0.0, turn.sin() * radius);
        m.place(at, -turn.to_degrees(), |m| {
            m.rounded(
                Vec3::new(0.05, 0.5 * height - 0.1, 0.0),
                Vec3::new(0.24, height - 0.3, 0.5),
                0.03,
            );
        });
    }
    railing(m, radius + 0.02, height, 28);
    m.of(Stuff::Zinc, 0xa3abae);
    ladder(m, Vec3::new(0.0, 0.0, radius + 0.3), height + 1.0);
    // A bridge over the water.
    m.rounded(
        Vec3::new(0.0, height + 0.1, 0.0),
        Vec3::new(2.0 * radius, 0.16, 0.9),
        0.02,
    );
}

fn railing(m: &mut Mason, radius: f32, base: f32, posts: u8) {
    m.of(Stuff::Zinc, 0xb0b6b8);
    let at = |n: u8, y: f32| {
        let turn = core::f32::consts::TAU * f32::from(n) / f32::from(posts);
        Vec3::new(turn.cos() * radius, base + y, turn.sin() * radius)
    };
    for n in 0..posts {
        m.bar(at(n, 0.0), at(n, 1.1), 0.025, 6);
        for y in [0.55, 1.1] {
            m.bar(at(n, y), at(n + 1, y), 0.022, 6);
        }
    }
}

fn ladder(m: &mut Mason, foot: Vec3, height: f32) {
    for x in [-0.22, 0.22] {
        m.bar(
            foot + Vec3::X * x,
            foot + Vec3::new(x, height, 0.0),
            0.025,
            6,
        );
    }
    let rungs = (height / 0.3) as u16;
    for n in 1..rungs {
        let y = 0.3 * f32::from(n);
        m.bar(
            foot + Vec3::new(-0.22, y, 0.0),
            foot + Vec3::new(0.22, y, 0.0),
            0.014,
            5,
        );
    }
}

/// A steel silo on four legs.
pub fn silo(m: &mut Mason, radius: f32, height: f32) {
    m.stands(Vec2::splat(0.9 * radius));
    let neck = 2.3;
    m.of(Stuff::Paint, 0xc3c6c4);
    m.turned(
        &[
            (0.22, 1.3),
            (radius, neck + 0.9),
            (radius, height - 0.7),
            (0.25, height),
            (0.25, height + 0.2),
            (0.0, height + 0.2),
        ],
        32,
    );
    m.of(Stuff::Zinc, 0xa5adb0);
    for y in [neck + 1.0, 0.5 * (neck + height), height - 0.75] {
        m.within(Transform::from_xyz(0.0, y, 0.0), |m| {
            m.turned(
                &[
                    (radius, -0.05),
                    (radius + 0.05, -0.05),
                    (radius + 0.05, 0.05),
                    (radius, 0.05),
                ],
                32,
            );
        });
    }
    for (x, z) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
        let (x, z) = (0.68 * radius * x, 0.68 * radius * z);
        m.bar(Vec3::new(x, 0.0, z), Vec3::new(x, neck + 1.6, z), 0.08, 8);
        m.bar(Vec3::new(x, 0.4, z), Vec3::new(-z, neck, x), 0.03, 6);
        m.of(Stuff::Concrete, PLINTH);
        m.rounded(Vec3::new(x, 0.1, z), Vec3::new(0.45, 0.2, 0.45), 0.02);
        m.of(Stuff::Zinc, 0xa5adb0);
    }
    ladder(m, Vec3::new(0.0, 0.0, radius + 0.12), height + 0.5);
    m.pipe(
        &[
            Vec3::new(radius + 0.1, 0.8, 0.0),
            Vec3::new(radius + 0.1, height + 0.3, 0.0),
            Vec3::new(0.4, height + 0.45, 0.0),
        ],
        0.055,
        10,
    );
}

/// A fence of mesh on posts, along x from the origin.
pub fn fence(m: &mut Mason, length: f32, seed: u32) {
    let posts = (length / 2.5).round().max(1.0) as u16;
    let height = 2.0;
    for n in 0..=posts {
        let x = length * f32::from(n) / f32::from(posts);
        let lean = 0.02 * (chance(i32::from(n), 3, seed) - 0.5);
        m.of(Stuff::Zinc, 0x8d979a);
        m.bar(
            Vec3::X * x,
            Vec3::new(x + lean, height + 0.1, lean),
            0.032,
            8,
        );
        if m.is_fine() {
            m.bar(
                Vec3::new(x + lean, height + 0.1, lean),
                Vec3::new(x + lean, height + 0.4, -0.25),
                0.022,
                6,
            );
        }
        m.of(Stuff::Concrete, PLINTH);
        m.block(Vec3::new(x, 0.03, 0.0), Vec3::new(0.26, 0.08, 0.26));
    }
    m.of(Stuff::Zinc, 0x8d979a);
    for y in [0.12, 1.0, height] {
        m.bar(Vec3::Y * y, Vec3::new(length, y, 0.0), 0.014, 5);
    }
    let step = if m.is_fine() { 0.16 } else { 0.32 };
    let mut thin = |x0: f32, y0: f32, x1: f32, y1: f32| {
        let w = 0.0035;
        m.face([
            Vec3::new(x0 - w, y0, 0.0),
            Vec3::new(x0 + w, y0, 0.0),
            Vec3::new(x1 + w, y1, 0.0),
            Vec3::new(x1 - w, y1, 0.0),
        ]);
        m.face([
            Vec3::new(x0 + w, y0, 0.0),
            Vec3::new(x0 - w, y0, 0.0),
            Vec3::new(x1 - w, y1, 0.0),
            Vec3::new(x1 + w, y1, 0.0),
        ]);
    };
    let wires = (length / step) as u16;
    for n in 0..wires {
        let x = step * f32::from(n);
        thin(x, 0.12, x, height);
    }
    if m.is_fine() {
        for y in [0.45, 0.72, 1.3, 1.6, 1.85] {
            m.bar(Vec3::Y * y, Vec3::new(length, y, 0.0), 0.005, 5);
        }
        for k in 0..3_u8 {
            let (y, z) = (
                height + 0.18 + 0.1 * f32::from(k),
                -0.06 - 0.085 * f32::from(k),
            );
            m.bar(Vec3::new(0.0, y, z), Vec3::new(length, y, z), 0.004, 5);
        }
    }
}

/// A gate of two leaves about the origin.
pub fn gate(m: &mut Mason, width: f32) {
    for s in [-1.0, 1.0] {
        m.of(Stuff::Paint, PETROL);
        m.rounded(
            Vec3::new(s * 0.5 * width, 1.15, 0.0),
            Vec3::new(0.16, 2.3, 0.16),
            0.015,
        );
        let (near, far) = (s * 0.04, s * (0.5 * width - 0.12));
        for y in [0.15, 1.0, 2.0] {
            m.bar(Vec3::new(near, y, 0.0), Vec3::new(far, y, 0.0), 0.03, 8);
        }
        for x in [near, far] {
            m.bar(Vec3::new(x, 0.12, 0.0), Vec3::new(x, 2.03, 0.0), 0.03, 8);
        }
        m.bar(
            Vec3::new(far, 0.15, 0.0),
            Vec3::new(near, 1.0, 0.0),
            0.02,
            6,
        );
        let bars = (0.5 * width / 0.14) as u16;
        for n in 1..bars {
            let x = near + (far - near) * f32::from(n) / f32::from(bars);
            m.bar(Vec3::new(x, 0.15, 0.0), Vec3::new(x, 2.0, 0.0), 0.01, 5);
        }
        m.of(Stuff::Paint, OCHRE);
        m.rounded(
            Vec3::new(0.5 * (near + far), 1.5, 0.0),
            Vec3::new(0.5, 0.35, 0.02),
            0.004,
        );
    }
}

/// A wall of precast blocks along x from the origin.
pub fn blocks(m: &mut Mason, length: f32, courses: u8, seed: u32) {
    let (size, count) = (Vec3::new(1.2, 0.6, 0.6), (length / 1.2).ceil().max(1.0));
    let along = length / count;
    m.within(Transform::from_xyz(0.5 * length, 0.0, 0.0), |m| {
        m.stands(Vec2::new(0.5 * length, 0.3));
    });
    for course in 0..courses {
        let shift = if course % 2 == 0 { 0.0 } else { 0.5 };
        let blocks = count as u16 + u16::from(course % 2 == 1);
        for n in 0..blocks {
            let from = ((f32::from(n) - shift) * along).max(0.0);
            let to = ((f32::from(n) + 1.0 - shift) * along).min(length);
            if to - from < 0.05 {
                continue;
            }
            let own = chance(i32::from(n), i32::from(course), seed);
            let grey = (150.0 + 34.0 * own) as u32;
            m.of(Stuff::Concrete, grey << 16 | (grey - 1) << 8 | (grey - 7));
            let off = 0.02 * (own - 0.5);
            let y = size.y * (f32::from(course) + 0.5);
            m.rounded(
                Vec3::new(0.5 * (from + to), y, off),
                Vec3::new(to - from - 0.012, size.y - 0.01, size.z),
                0.03,
            );
        }
    }
}
