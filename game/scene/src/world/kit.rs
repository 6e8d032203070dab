//! Shapes put together from a few simple ones. Everything that stands still in a
//! yard and is of one stuff becomes one mesh, so that a whole yard is a few
//! dozen draws.

use bevy::asset::RenderAssetUsages;
use bevy::math::Affine3A;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use std::collections::BTreeMap;

/// What a thing is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stuff {
    /// Poured concrete.
    Concrete,
    /// Rendered wall.
    Render,
    /// Laid bricks or blocks.
    Brick,
    /// Painted or coated metal.
    Paint,
    /// Bare zinc.
    Zinc,
    /// Bright steel.
    Steel,
    /// Rough wood.
    Wood,
    /// Rubber and black plastic.
    Rubber,
    /// Window panes.
    Glass,
    /// Loose stones.
    Gravel,
    /// Short grass.
    Grass,
    /// Tarred road.
    Tar,
    /// Bark and twigs.
    Bark,
    /// Worn lines on the ground.
    Line,
    /// Printed tape and foil.
    Tape,
    /// What gives light.
    Lamp,
    /// What is so far away that only haze and outline are left.
    Far,
}

impl Stuff {
    /// Whether light falls on it: all but what gives light, or is nothing but
    /// haze.
    pub fn is_lit(self) -> bool {
        !matches!(self, Stuff::Far | Stuff::Lamp)
    }
}

/// Vertices of one stuff.
#[derive(Default)]
struct Heap {
    at: Vec<[f32; 3]>,
    normal: Vec<[f32; 3]>,
    uv: Vec<[f32; 2]>,
    colour: Vec<[f32; 4]>,
    corners: Vec<u32>,
}

/// A rectangle on the ground that something stands on: middle, half of its
/// size, turn.
#[derive(Clone, Copy, Debug)]
pub struct Footprint {
    /// Its middle, x and z.
    pub at: Vec2,
    /// Half of its size.
    pub half: Vec2,
    /// Its turn about the upward axis, radians.
    pub turn: f32,
}

impl Footprint {
    /// How far a point of the ground lies outside.
    pub fn distance(&self, at: Vec2) -> f32 {
        let local = Vec2::from_angle(-self.turn).rotate(at - self.at).abs() - self.half;
        local.max(Vec2::ZERO).length()
    }
}

/// Builds shapes.
pub struct Mason {
    heaps: BTreeMap<Stuff, Heap>,
    frame: Affine3A,
    stuff: Stuff,
    colour: LinearRgba,
    /// Segments around what is round, at the full.
    fine: bool,
    /// It is only seen from afar: edges that were taken off and the last segments
    /// around would be smaller than a pixel.
    afar: bool,
    /// All of it is to be one piece, as far as one cannot see through it.
    in_one: bool,
    /// What stands on the ground.
    pub footprints: Vec<Footprint>,
}

/// Height up to which walls are splashed and stained, metres.
const GRIME_M: f32 = 0.55;

impl Mason {
    /// Nothing built yet.
    pub fn new(fine: bool) -> Self {
        Mason {
            heaps: BTreeMap::new(),
            frame: Affine3A::IDENTITY,
            stuff: Stuff::Concrete,
            colour: LinearRgba::WHITE,
            fine,
            afar: false,
            in_one: false,
            footprints: Vec::new(),
        }
    }

    /// The same for something small that moves by itself: where little can be
    /// drawn its colours are enough, and it is of one stuff.
    pub fn of_small(fine: bool) -> Self {
        Mason {
            in_one: !fine,
            ..Mason::new(fine)
        }
    }

    /// The same for what is only seen from afar.
    pub fn of_far(fine: bool) -> Self {
        Mason {
            afar: true,
            ..Mason::new(fine)
        }
    }

    /// Whether round things are built finely.
    pub fn is_fine(&self) -> bool {
        self.fine
    }

    /// Takes stuff and colour for what comes next.
    pub fn of(&mut self, stuff: Stuff, colour: u32) -> &mut Self {
        let [_, r, g, b] = colour.to_be_bytes();
        self.stuff = match stuff {
            Stuff::Glass | Stuff::Tape | Stuff::Lamp | Stuff::Far => stuff,
            _ if self.in_one => Stuff::Rubber,
            _ => stuff,
        };
        self.colour = Srgba::rgb_u8(r, g, b).into();
        self
    }

    /// Builds something in a frame of its own: origin on the ground, turned.
    pub fn place(&mut self, at: Vec3, turn_deg: f32, build: impl FnOnce(&mut Self)) {
        let turn = Quat::from_rotation_y(turn_deg.to_radians());
        self.within(Transform::from_translation(at).with_rotation(turn), build);
    }

    /// Builds something in a frame of its own.
    pub fn within(&mut self, frame: Transform, build: impl FnOnce(&mut Self)) {
        let outer = self.frame;
        self.frame = outer * frame.compute_affine();
        build(self);
        self.frame = outer;
    }

    /// Something of this size stands here: the ground about it is darker.
    pub fn stands(&mut self, half: Vec2) {
        let at = self.frame.translation;
        let ahead = self.frame.transform_vector3(Vec3::X);
        self.footprints.push(Footprint {
            at: Vec2::new(at.x, at.z),
            half,
            turn: ahead.z.atan2(ahead.x),
        });
    }

    /// The same for a place beside the origin.
    pub fn stands_at(&mut self, at: Vec2, half: Vec2) {
        self.within(Transform::from_xyz(at.x, 0.0, at.y), |m| m.stands(half));
    }

    fn vertex(&mut self, at: Vec3, normal: Vec3, uv: Vec2) -> u32 {
        let at = self.frame.transform_point3(at);
        let normal = self.frame.transform_vector3(normal).normalize_or(Vec3::Y);
        let mut colour = self.colour;
        if self.stuff != Stuff::Far && self.stuff != Stuff::Lamp {
            // Splashes and dirt gather near the ground, and less light gets there.
            let low = (at.y / GRIME_M).clamp(0.0, 1.0);
            let shade = 0.62 + 0.38 * low * (2.0 - low);
            let shade = if normal.y < -0.7 { 0.75 * shade } else { shade };
            colour = LinearRgba::rgb(
                colour.red * shade,
                colour.green * shade,
                colour.blue * shade,
            );
        }
        let heap = self.heaps.entry(self.stuff).or_default();
        let n = heap.at.len() as u32;
        heap.at.push(at.to_array());
        heap.normal.push(normal.to_array());
        heap.uv.push(uv.to_array());
        heap.colour.push(colour.to_f32_array());
        n
    }

    fn corners(&mut self, corners: &[u32]) {
        self.heaps
            .entry(self.stuff)
            .or_default()
            .corners
            .extend_from_slice(corners);
    }

    /// Where a point of the pattern is that covers a face: patterns are laid out
    /// in metres.
    fn pattern(&self, at: Vec3, normal: Vec3) -> Vec2 {
        let at = self.frame.transform_point3(at);
        let n = self.frame.transform_vector3(normal).abs();
        if n.y > n.x && n.y > n.z {
            Vec2::new(at.x, at.z)
        } else if n.x > n.z {
            Vec2::new(at.z, -at.y)
        } else {
            Vec2::new(at.x, -at.y)
        }
    }

    /// A flat face; its corners go round against the clock, seen from the front.
    pub fn face(&mut self, corners: [Vec3; 4]) {
        let [a, b, c, d] = corners;
        let normal = (b - a)
            .cross(d - a)
            .normalize_or((c - b).cross(d - b).normalize_or(Vec3::Y));
        let n = corners.map(|at| {
            let uv = self.pattern(at, normal);
            self.vertex(at, normal, uv)
        });
        self.corners(&[n[0], n[1], n[2], n[0], n[2], n[3]]);
    }

    /// A flat face with a picture spread over it: corners from the lower left
    /// against the clock, and the part of the picture, from the upper left.
    pub fn picture(&mut self, corners: [Vec3; 4], part: Rect) {
        let [a, b, _, d] = corners;
        let normal = (b - a).cross(d - a).normalize_or(Vec3::Y);
        let uvs = [
            Vec2::new(part.min.x, part.max.y),
            part.max,
            Vec2::new(part.max.x, part.min.y),
            part.min,
        ];
        let mut n = [0; 4];
        for (k, (at, uv)) in corners.into_iter().zip(uvs).enumerate() {
            n[k] = self.vertex(at, normal, uv);
        }
        self.corners(&[n[0], n[1], n[2], n[0], n[2], n[3]]);
    }

    /// A wall face from the ground up, split where the stains end.
    pub fn wall(&mut self, from: Vec2, to: Vec2, height: f32) {
        self.wall_between(from, to, 0.0, height);
    }

    /// The same between two heights. Its front is to the right of the way.
    pub fn wall_between(&mut self, from: Vec2, to: Vec2, low: f32, high: f32) {
        let at = |p: Vec2, y: f32| Vec3::new(p.x, y, p.y);
        let mut cuts = vec![low];
        for cut in [0.18, GRIME_M] {
            if cut > low && cut < high {
                cuts.push(cut);
            }
        }
        cuts.push(high);
        for pair in cuts.windows(2) {
            let (y0, y1) = (pair[0], pair[1]);
            self.face([at(from, y0), at(to, y0), at(to, y1), at(from, y1)]);
        }
    }

    /// A box about its middle, with sharp edges.
    pub fn block(&mut self, middle: Vec3, size: Vec3) {
        self.rounded(middle, size, 0.0);
    }

    /// A box about its middle with its edges taken off.
    pub fn rounded(&mut self, middle: Vec3, size: Vec3, edge: f32) {
        let half = 0.5 * size;
        let edge = if self.fine && !self.afar {
            edge.min(0.45 * size.min_element())
        } else {
            0.0
        };
        let inner = half - Vec3::splat(edge);
        // Of each corner three vertices, one for each face that meets there.
        let mut n = [[0_u32; 3]; 8];
        for (corner, trio) in n.iter_mut().enumerate() {
            let sign = Vec3::new(
                if corner & 1 == 0 { -1.0 } else { 1.0 },
                if corner & 2 == 0 { -1.0 } else { 1.0 },
                if corner & 4 == 0 { -1.0 } else { 1.0 },
            );
            for (axis, vertex) in trio.iter_mut().enumerate() {
                let mut at = sign * inner;
                at[axis] = sign[axis] * half[axis];
                let mut normal = Vec3::ZERO;
                normal[axis] = sign[axis];
                let uv = self.pattern(middle + at, normal);
                *vertex = self.vertex(middle + at, normal, uv);
            }
        }
        for axis in 0..3 {
            let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
            for side in [0, 1] {
                let corner = |a: usize, b: usize| n[side << axis | a << u | b << v][axis];
                let round = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
                self.round_off(round, side == 1);
            }
            if edge > 0.0 {
                // The four edges along this axis.
                for (a, b) in [(0, 0), (1, 0), (1, 1), (0, 1)] {
                    let (c0, c1) = (a << u | b << v, 1 << axis | a << u | b << v);
                    let strip = [n[c0][u], n[c0][v], n[c1][v], n[c1][u]];
                    self.round_off(strip, a == b);
                }
            }
        }
        if edge > 0.0 {
            for (corner, trio) in n.iter().enumerate() {
                let even = corner.count_ones() % 2 == 1;
                let [a, b, c] = *trio;
                self.corners(&if even { [a, b, c] } else { [a, c, b] });
            }
        }
    }

    fn round_off(&mut self, [a, b, c, d]: [u32; 4], forward: bool) {
        self.corners(&if forward {
            [a, b, c, a, c, d]
        } else {
            [a, c, b, a, d, c]
        });
    }

    /// A body turned about the upward axis: radius and height, from below.
    pub fn turned(&mut self, profile: &[(f32, f32)], sides: usize) {
        let sides = match sides {
            _ if self.fine && self.afar => (2 * sides / 3).max(4),
            _ if self.fine => sides,
            ..=3 => 3,
            4..=10 => 4,
            11..=16 => 6,
            _ => 2 * sides / 5,
        };
        for pair in profile.windows(2) {
            let ((r0, y0), (r1, y1)) = (pair[0], pair[1]);
            let slope = Vec2::new(y1 - y0, r0 - r1).normalize_or(Vec2::X);
            let around = core::f32::consts::TAU;
            let mut row = Vec::with_capacity(2 * (sides + 1));
            for k in 0..=sides {
                let turn = around * k as f32 / sides as f32;
                let (s, c) = turn.sin_cos();
                let normal = Vec3::new(c * slope.x, slope.y, s * slope.x);
                let along = turn * r0.max(r1);
                row.push(self.vertex(Vec3::new(c * r0, y0, s * r0), normal, Vec2::new(along, -y0)));
                row.push(self.vertex(
                    Vec3::new(c * r1, y1, s * r1),
                    normal,
                    Vec2::new(along, -y1 - (r0 - r1).abs()),
                ));
            }
            for k in 0..sides {
                let k = 2 * k;
                // Towards a point there is one triangle, and no more.
                if r1 > 0.0 {
                    self.corners(&[row[k], row[k + 1], row[k + 3]]);
                }
                if r0 > 0.0 {
                    self.corners(&[row[k], row[k + 3], row[k + 2]]);
                }
            }
        }
    }

    /// A round bar between two points.
    pub fn bar(&mut self, from: Vec3, to: Vec3, radius: f32, sides: usize) {
        self.horn(from, to, radius, radius, sides);
    }

    /// A round bar that tapers.
    pub fn horn(&mut self, from: Vec3, to: Vec3, r0: f32, r1: f32, sides: usize) {
        let length = from.distance(to);
        self.turned_along(
            from,
            to,
            &[(0.0, 0.0), (r0, 0.0), (r1, length), (0.0, length)],
            sides,
        );
    }

    /// The same without its ends, which are inside of something else.
    pub fn limb(&mut self, from: Vec3, to: Vec3, r0: f32, r1: f32, sides: usize) {
        self.turned_along(from, to, &[(r0, 0.0), (r1, from.distance(to))], sides);
    }

    fn turned_along(&mut self, from: Vec3, to: Vec3, profile: &[(f32, f32)], sides: usize) {
        let way = (to - from).normalize_or(Vec3::Y);
        let turn = Quat::from_rotation_arc(Vec3::Y, way);
        self.within(Transform::from_translation(from).with_rotation(turn), |m| {
            m.turned(profile, sides);
        });
    }

    /// A round pipe along points.
    pub fn pipe(&mut self, points: &[Vec3], radius: f32, sides: usize) {
        for pair in points.windows(2) {
            self.bar(pair[0], pair[1], radius, sides);
        }
        let joints = points.len().saturating_sub(1);
        for at in points.iter().take(joints).skip(1) {
            let r = radius;
            self.within(Transform::from_translation(*at), |m| {
                m.turned(
                    &[
                        (0.0, -r),
                        (0.7 * r, -0.7 * r),
                        (r, 0.0),
                        (0.7 * r, 0.7 * r),
                        (0.0, r),
                    ],
                    sides,
                );
            });
        }
    }

    /// A wall of corrugated sheet from the ground up; its front is to the right
    /// of the way.
    pub fn sheet(&mut self, from: Vec2, to: Vec2, low: f32, high: f32) {
        let way = to - from;
        let length = way.length();
        let along = way / length.max(1e-6);
        let out = Vec2::new(-along.y, along.x);
        let pitch = if self.fine { 0.19 } else { 0.6 };
        let count = (length / pitch).round().max(1.0) as usize;
        let depth = if self.fine { 0.035 } else { 0.0 };
        let mut was = from;
        for k in 0..count {
            let share = |s: f32| from + way * ((k as f32 + s) / count as f32);
            let steps = [
                share(0.2) + out * depth,
                share(0.5) + out * depth,
                share(0.7),
                share(1.0),
            ];
            let taken = if self.fine { 0..4 } else { 3..4 };
            for to in &steps[taken] {
                self.wall_between(was, *to, low, high);
                was = *to;
            }
        }
    }

    /// What was built, one mesh of each stuff.
    pub fn meshes(self) -> Vec<(Stuff, Mesh)> {
        let fine = self.fine;
        self.heaps
            .into_iter()
            .filter(|(_, heap)| !heap.corners.is_empty())
            .map(|(stuff, heap)| {
                let mut mesh = Mesh::new(
                    PrimitiveTopology::TriangleList,
                    RenderAssetUsages::default(),
                )
                .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, heap.at)
                .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, heap.uv)
                .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, heap.colour)
                .with_inserted_indices(Indices::U32(heap.corners));
                if stuff.is_lit() {
                    mesh.insert_attribute(Mesh::ATTRIBUTE_NORMAL, heap.normal);
                }
                if fine && stuff.is_lit() {
                    // Needed where a pattern has relief; a mesh that cannot have
                    // them is drawn without relief.
                    mesh.generate_tangents().ok();
                }
                (stuff, mesh)
            })
            .collect()
    }
}
