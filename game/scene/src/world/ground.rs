//! The ground of a yard, and what lies beyond it.

use crate::world::kit::{Footprint, Mason, Stuff};
use crate::world::noise::{chance, rough};
use crate::world::yards::{Ground, Stretch, Yard};
use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

/// How far the meadow goes, metres.
const MEADOW_M: f32 = 90.0;

/// A mesh of the ground: flat, with shades of its own at every point.
fn flat(corners: [Vec2; 2], cell: f32, height: f32, shade: impl Fn(Vec2) -> Vec3) -> Mesh {
    let size = corners[1] - corners[0];
    let count = (size / cell).ceil().max(Vec2::ONE).as_uvec2();
    let (mut at, mut colour, mut uv) = (Vec::new(), Vec::new(), Vec::new());
    for z in 0..=count.y {
        for x in 0..=count.x {
            let place = corners[0] + size * UVec2::new(x, z).as_vec2() / count.as_vec2();
            at.push([place.x, height, place.y]);
            uv.push(place.to_array());
            colour.push(shade(place).extend(1.0).to_array());
        }
    }
    let row = count.x + 1;
    let corners = (0..count.y)
        .flat_map(|z| (0..count.x).map(move |x| z * row + x))
        .flat_map(|n| [n, n + row, n + row + 1, n, n + row + 1, n + 1])
        .collect();
    let normals = vec![[0.0, 1.0, 0.0]; at.len()];
    whole(at, normals, uv, colour, corners)
}

fn whole(
    at: Vec<[f32; 3]>,
    normal: Vec<[f32; 3]>,
    uv: Vec<[f32; 2]>,
    colour: Vec<[f32; 4]>,
    corners: Vec<u32>,
) -> Mesh {
    let count = at.len();
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, at)
    .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normal)
    .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, uv)
    .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colour)
    // The ground is level, and its pattern lies along x and z.
    .with_inserted_attribute(Mesh::ATTRIBUTE_TANGENT, vec![[1.0, 0.0, 0.0, 1.0]; count])
    .with_inserted_indices(Indices::U32(corners))
}

/// How deep in shade the ground lies beside what stands on it, 0 to 1.
fn beside(at: Vec2, footprints: &[Footprint]) -> f32 {
    footprints
        .iter()
        .map(|f| {
            let reach = 0.25 + 0.35 * f.half.min_element().min(1.2);
            (1.0 - f.distance(at) / reach).clamp(0.0, 1.0)
        })
        .fold(0.0, f32::max)
}

/// The ground of a yard: its stretches, each with its stuff.
pub fn lay(yard: &Yard, footprints: &[Footprint], fine: bool) -> Vec<(Stuff, Mesh)> {
    let seed = yard.seed;
    let mut found = Vec::new();
    for stretch in yard.ground {
        let corners = [Vec2::from(stretch.from), Vec2::from(stretch.to)];
        let near = stretch.kind == Ground::Slabs;
        let cell = match (near, fine) {
            (true, true) => 0.28,
            (true, false) => 0.7,
            (false, true) => 0.9,
            (false, false) => 3.0,
        };
        let (stuff, height) = match stretch.kind {
            Ground::Slabs => (Stuff::Concrete, 0.0),
            Ground::Road => (Stuff::Tar, -0.015),
            Ground::Stones => (Stuff::Gravel, -0.01),
        };
        let mesh = flat(corners, cell, height, |at| {
            shade(stretch, at, seed, footprints)
        });
        found.push((stuff, mesh));
    }
    let edge = Vec2::splat(MEADOW_M);
    let meadow = flat([-edge, edge], if fine { 2.5 } else { 9.0 }, -0.06, |at| {
        let broad = rough(0.09 * at, 0, 4, seed + 7);
        let fine = rough(0.5 * at, 0, 3, seed + 8);
        let green = Vec3::new(0.115, 0.15, 0.062).lerp(Vec3::new(0.24, 0.225, 0.12), broad);
        green * (0.7 + 0.6 * fine) * (1.0 - 0.5 * beside(at, footprints))
    });
    found.push((Stuff::Grass, meadow));
    found
}

fn shade(stretch: &Stretch, at: Vec2, seed: u32, footprints: &[Footprint]) -> Vec3 {
    let broad = rough(0.16 * at, 0, 3, seed);
    let middle = rough(0.8 * at, 0, 3, seed + 1);
    let dark = 1.0 - 0.55 * beside(at, footprints);
    match stretch.kind {
        Ground::Slabs => {
            // Every slab was poured on a day of its own.
            let slab = (at / Vec2::new(4.0, 3.6)).floor();
            let own = chance(slab.x as i32, slab.y as i32, seed + 2);
            let wet = ((broad - 0.42) * 3.0).clamp(0.0, 1.0);
            let grey = 0.34 + 0.10 * own + 0.2 * (middle - 0.5);
            let dry = Vec3::new(grey, 0.985 * grey, 0.95 * grey);
            let moss = ((rough(0.45 * at, 0, 3, seed + 3) - 0.6) * 3.0).clamp(0.0, 0.5);
            let edge = (stretch.to[1] - at.y)
                .min(at.y - stretch.from[1])
                .min(at.x - stretch.from[0]);
            let moss = moss * (1.0 - edge / 3.0).clamp(0.0, 1.0);
            let base = dry * (1.0 - 0.42 * wet);
            base.lerp(Vec3::new(0.13, 0.17, 0.08), moss) * dark
        }
        Ground::Road => {
            let track = (((at.y - stretch.from[1]) * 1.15).sin() * 0.5 + 0.5) * 0.25;
            let grey = 0.075 + 0.05 * middle + 0.03 * track + 0.03 * (broad - 0.5);
            Vec3::new(grey, grey, 1.03 * grey) * dark
        }
        Ground::Stones => {
            let grey = 0.4 + 0.25 * (middle - 0.5) + 0.2 * (broad - 0.5);
            Vec3::new(grey, 0.96 * grey, 0.9 * grey) * dark
        }
    }
}

/// Outline of a puddle: its distance from the middle at a turn, for a radius of
/// one.
fn shore(turn: f32, seed: u32) -> f32 {
    let round = Vec2::from_angle(turn);
    0.28 + 1.1 * rough(1.5 * round + Vec2::splat(9.0), 0, 4, seed)
        + 0.1 * rough(9.0 * round + Vec2::splat(9.0), 0, 2, seed + 1)
}

/// A layer over the ground wherever a puddle is: so much wider than the water,
/// and fading out over a share of it.
fn pools(yard: &Yard, wider: f32, fades: f32, depth: f32, height: f32, fine: bool) -> Mesh {
    let (mut at, mut colour, mut corners) = (Vec::new(), Vec::new(), Vec::new());
    for (n, [x, z, radius, long, turn]) in yard.puddles.iter().enumerate() {
        let seed = yard.seed + 13 * n as u32;
        let along = Vec2::from_angle(turn.to_radians());
        let middle = Vec2::new(*x, *z);
        let place = |turn: f32, share: f32| {
            let out = radius * (shore(turn, seed) + wider) * share;
            let local = Vec2::from_angle(turn) * out * Vec2::new(*long, 1.0);
            let at = middle + along.rotate(local);
            [at.x, height, at.y]
        };
        let first = at.len() as u32;
        at.push([middle.x, height, middle.y]);
        colour.push([1.0, 1.0, 1.0, depth]);
        let sides = if fine { 96_u32 } else { 40 };
        for k in 0..sides {
            let turn = core::f32::consts::TAU * k as f32 / sides as f32;
            for (share, alpha) in [(1.0 - fades, depth), (1.0, 0.0)] {
                at.push(place(turn, share));
                colour.push([1.0, 1.0, 1.0, alpha]);
            }
            let (a, b) = (first + 1 + 2 * k, first + 1 + 2 * ((k + 1) % sides));
            corners.extend([first, b, a, a, b, b + 1, a, b + 1, a + 1]);
        }
    }
    let normals = vec![[0.0, 1.0, 0.0]; at.len()];
    let uv = at.iter().map(|at| [at[0], at[2]]).collect();
    whole(at, normals, uv, colour, corners)
}

/// Standing water.
pub fn puddles(yard: &Yard, fine: bool) -> Mesh {
    pools(yard, 0.0, 0.09, 0.62, 0.005, fine)
}

/// What the water has soaked around it.
pub fn soaked(yard: &Yard, fine: bool) -> Mesh {
    pools(yard, 0.2, 0.3, 0.36, 0.002, fine)
}

/// Joints between the slabs.
pub fn joints(m: &mut Mason, yard: &Yard) {
    m.of(Stuff::Line, 0x2a2a28);
    let y = 0.0015;
    for stretch in yard.ground.iter().filter(|s| s.kind == Ground::Slabs) {
        let (from, to) = (Vec2::from(stretch.from), Vec2::from(stretch.to));
        let mut strip = |a: Vec2, b: Vec2, across: Vec2| {
            let at = |p: Vec2| Vec3::new(p.x, y, p.y);
            m.face([
                at(a + across),
                at(b + across),
                at(b - across),
                at(a - across),
            ]);
        };
        let mut x = (from.x / 4.0).ceil() * 4.0;
        while x < to.x {
            strip(
                Vec2::new(x, from.y),
                Vec2::new(x, to.y),
                Vec2::new(-0.008, 0.0),
            );
            x += 4.0;
        }
        let mut z = (from.y / 3.6).ceil() * 3.6;
        while z < to.y {
            strip(
                Vec2::new(from.x, z),
                Vec2::new(to.x, z),
                Vec2::new(0.0, 0.008),
            );
            z += 3.6;
        }
    }
}

/// Hills, woods and the town, in haze.
pub fn beyond(m: &mut Mason, yard: &Yard) {
    m.place(Vec3::ZERO, yard.far_turn, |m| {
        rise(m, 330.0, 30.0, 12.0, 0xc6d0d6, yard.seed);
        rise(m, 240.0, 17.0, 6.0, 0xb0bec4, yard.seed + 1);
        town(m, yard.seed);
        rise(m, 150.0, 6.0, 3.0, 0x95a6a5, yard.seed + 2);
        wood(m, 104.0, 8.5, 0x7f9089, yard.seed + 3);
        wood(m, 84.0, 6.0, 0x6d7c70, yard.seed + 4);
        apron(m);
    });
}

/// Fields between the meadow and the hills.
fn apron(m: &mut Mason) {
    let ring = |radius: f32, n: u32, y: f32| {
        let turn = core::f32::consts::TAU * n as f32 / 48.0;
        Vec3::new(radius * turn.cos(), y, radius * turn.sin())
    };
    for (inner, outer, colour) in [
        (80.0, 120.0, 0x909c86),
        (120.0, 190.0, 0xa4afa4),
        (190.0, 360.0, 0xb7c1c0),
    ] {
        m.of(Stuff::Far, colour);
        for n in 0..48 {
            m.face([
                ring(inner, n + 1, -0.3),
                ring(outer, n + 1, -0.3),
                ring(outer, n, -0.3),
                ring(inner, n, -0.3),
            ]);
        }
    }
}

/// A line of hills all around.
fn rise(m: &mut Mason, radius: f32, height: f32, least: f32, colour: u32, seed: u32) {
    m.of(Stuff::Far, colour);
    let count = 120;
    let at = |n: u32, up: bool| {
        let turn = core::f32::consts::TAU * (n % count) as f32 / count as f32;
        let round = Vec2::from_angle(turn);
        let top = least + (height - least) * rough(2.4 * round + Vec2::splat(7.0), 0, 4, seed);
        Vec3::new(
            radius * round.x,
            if up { top } else { -0.5 },
            radius * round.y,
        )
    };
    for n in 0..count {
        m.face([at(n + 1, false), at(n, false), at(n, true), at(n + 1, true)]);
        m.face([at(n, false), at(n + 1, false), at(n + 1, true), at(n, true)]);
    }
}

/// A line of trees, with gaps.
fn wood(m: &mut Mason, radius: f32, height: f32, colour: u32, seed: u32) {
    m.of(Stuff::Far, colour);
    let count = 900_u32;
    let at = |n: u32| {
        let turn = core::f32::consts::TAU * n as f32 / count as f32;
        let round = Vec2::from_angle(turn);
        let stand =
            ((rough(3.1 * round + Vec2::splat(5.0), 0, 2, seed) - 0.44) * 6.0).clamp(0.0, 1.0);
        // Crowns stand close, each rounded and as high as it has grown.
        let tree = n / 9;
        let grown = 0.45 + 0.55 * chance(tree as i32, 1, seed);
        let across = (n % 9) as f32 / 4.0 - 1.0;
        let crown = grown * (0.62 + 0.38 * (1.0 - across * across).max(0.0).sqrt());
        let twig = chance(n as i32, 0, seed) - 0.5;
        (round, stand * height * (crown + 0.1 * twig))
    };
    for n in 0..count {
        let ((a, up_a), (b, up_b)) = (at(n), at((n + 1) % count));
        if up_a + up_b < 0.2 {
            continue;
        }
        let place = |round: Vec2, y: f32| Vec3::new(radius * round.x, y, radius * round.y);
        m.face([
            place(b, -0.4),
            place(a, -0.4),
            place(a, up_a),
            place(b, up_b),
        ]);
    }
}

/// Roofs, chimneys and a water tower of the town, as outlines.
fn town(m: &mut Mason, seed: u32) {
    for n in 0..46_i32 {
        let own = |k: i32| chance(n, k, seed + 21);
        let turn = -0.95 + 1.15 * (n as f32 + own(0)) / 46.0;
        let radius = 165.0 + 50.0 * own(1);
        let (width, height) = (6.0 + 9.0 * own(2), 3.5 + 5.0 * own(3));
        let shade = (160.0 + 22.0 * own(4)) as u32;
        m.of(Stuff::Far, shade << 16 | (shade + 6) << 8 | (shade + 9));
        let at = Vec3::new(radius * turn.cos(), 0.0, radius * turn.sin());
        let facing = -turn.to_degrees() - 90.0;
        m.place(at, facing, |m| {
            let w = 0.5 * width;
            m.face([
                Vec3::new(-w, -0.4, 0.0),
                Vec3::new(w, -0.4, 0.0),
                Vec3::new(w, height, 0.0),
                Vec3::new(-w, height, 0.0),
            ]);
            let shade = shade - 22;
            m.of(Stuff::Far, shade << 16 | (shade + 4) << 8 | (shade + 8));
            m.face([
                Vec3::new(-w, height, 0.0),
                Vec3::new(w, height, 0.0),
                Vec3::new(w - 1.2, height + 2.6, 0.0),
                Vec3::new(-w + 1.2, height + 2.6, 0.0),
            ]);
            if own(5) > 0.6 {
                m.block(
                    Vec3::new(w - 2.0, height + 3.0, 0.0),
                    Vec3::new(0.9, 2.2, 0.9),
                );
            }
        });
    }
    // The water tower stands above them all.
    m.place(Vec3::new(128.0, 0.0, -66.0), 0.0, |m| {
        m.of(Stuff::Far, 0x9fb0b4);
        m.turned(
            &[
                (2.0, -0.4),
                (1.5, 17.0),
                (5.2, 21.0),
                (5.2, 26.0),
                (0.5, 28.5),
                (0.0, 30.0),
            ],
            20,
        );
    });
}
