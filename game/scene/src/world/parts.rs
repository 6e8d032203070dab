//! What a level itself asks for: walls that stop people, the barrier about the
//! zone, the stand of the lance and its tray, the rack, the board, and what is to
//! be kept dry.

use crate::things::{self, TRAY_HEIGHT_M};
use crate::world::footings;
use crate::world::goods::warning;
use crate::world::kit::{Mason, Stuff};
use crate::world::outlets;
use crate::world::yards::colours::{OCHRE, PETROL};
use bevy::math::{Quat, Vec2, Vec3};
use bevy::prelude::Transform;
use crew::{Control, Ppe};
use training::Level;

const WHITE: u32 = 0xe8e6de;
const RED: u32 = 0xb1402f;

/// Height of the barrier's tapes, metres.
const TAPES_M: [f32; 2] = [1.02, 0.56];

/// Width of the gate in the barrier, metres.
const GATE_M: f32 = 1.5;

/// How far below the barrel the forks of the lance's stand part, metres.
const FORK_M: f32 = 0.035;

/// Width of the lance's stand, metres.
const STAND_M: f32 = 0.5;

fn vec3(at: [f64; 3]) -> Vec3 {
    Vec3::new(at[0] as f32, at[1] as f32, at[2] as f32)
}

/// Builds all of it, but for what moves. `lance` is where the grip of the lance is
/// when it stands in its stand.
pub fn build(m: &mut Mason, level: &Level, lance: Vec3) {
    let site = &level.site;
    // The first wall is the unit's own body.
    for wall in site.walls.iter().skip(1) {
        slab(m, vec3(wall.at), vec3(wall.size));
    }
    if let Some(zone) = site.zone {
        let gate = site.controls.iter().find(|(c, _)| *c == Control::Barrier);
        let gate = gate.map(|(_, at)| vec3(*at));
        barrier(m, zone, gate);
        if let Some(at) = gate {
            m.within(Transform::from_translation(at), latch);
        }
    }
    for kept in &site.kept_dry {
        taped_lamp(m, vec3(kept.at), vec3(kept.size));
    }
    for footing in &site.footings {
        footings::build(m, footing);
    }
    stand(m, level, lance);
    rack(m, level);
    board(m, level);
    supply(m, level);
    outlets::build(m, level);
}

/// An upright slab of concrete in a steel frame.
fn slab(m: &mut Mason, at: Vec3, size: Vec3) {
    m.within(Transform::from_xyz(at.x, 0.0, at.z), |m| {
        m.stands(0.5 * Vec2::new(size.x, size.z));
        m.of(Stuff::Concrete, 0xb3b0a7);
        m.rounded(Vec3::new(0.0, at.y, 0.0), size, 0.012);
        // What holds it up stands on the far side, away from who works at it.
        let back = if size.x < size.z { Vec3::X } else { -Vec3::Z };
        let along = if size.x < size.z { Vec3::Z } else { Vec3::X };
        let (thick, long) = (size.dot(back).abs(), size.dot(along));
        let top = at.y + 0.5 * size.y;
        m.of(Stuff::Paint, 0x54626a);
        for s in [-0.42, 0.42] {
            let foot = along * (s * long) + back * (0.5 * thick + 0.05);
            m.bar(
                foot + Vec3::Y * (0.88 * top),
                foot + back * 0.95 + Vec3::Y * 0.06,
                0.05,
                8,
            );
            m.bar(
                foot + Vec3::Y * 0.06,
                foot + back * 1.05 + Vec3::Y * 0.06,
                0.05,
                8,
            );
            m.bar(foot, foot + Vec3::Y * top, 0.045, 8);
        }
        m.of(Stuff::Concrete, 0x9c9992);
        let size = along.abs() * (long + 0.3) + back.abs() * (thick + 0.34) + Vec3::Y * 0.08;
        m.rounded(Vec3::Y * 0.04, size, 0.02);
    });
}

/// Posts and tapes about the zone, with a gap for the gate: from the latch, where
/// hands have to go, to the hinge on its left.
fn barrier(m: &mut Mason, [from, to]: [[f64; 2]; 2], gate: Option<Vec3>) {
    let (a, b) = (
        Vec2::new(from[0] as f32, from[1] as f32),
        Vec2::new(to[0] as f32, to[1] as f32),
    );
    let corners = [
        Vec2::new(a.x, a.y),
        Vec2::new(b.x, a.y),
        Vec2::new(b.x, b.y),
        Vec2::new(a.x, b.y),
    ];
    for n in 0..4 {
        let (from, to) = (corners[n], corners[(n + 1) % 4]);
        let way = to - from;
        let length = way.length();
        let along = way / length.max(1e-6);
        let at_gate = gate.map(|g| Vec2::new(g.x, g.z)).filter(|g| {
            let off = *g - from;
            off.perp_dot(along).abs() < 0.6 && (0.0..=length).contains(&off.dot(along))
        });
        match at_gate.map(|g| (g - from).dot(along)) {
            Some(latch) => {
                let hinge = latch - GATE_M * along.x;
                side(m, from, from + along * latch.min(hinge));
                side(m, from + along * latch.max(hinge), to);
            }
            None => side(m, from, to),
        }
    }
}

/// One side of the barrier.
fn side(m: &mut Mason, from: Vec2, to: Vec2) {
    let way = to - from;
    let length = way.length();
    if length < 0.2 {
        return;
    }
    let posts = (length / 2.6).ceil().max(1.0);
    let at = |share: f32, y: f32| {
        let p = from + way * share;
        Vec3::new(p.x, y, p.y)
    };
    for n in 0..=posts as u32 {
        post(m, at(n as f32 / posts, 0.0));
    }
    for n in 0..posts as u32 {
        let (s0, s1) = (n as f32 / posts, (n as f32 + 1.0) / posts);
        for height in TAPES_M {
            tape(m, at(s0, height), at(s1, height));
        }
    }
}

/// A post of the barrier on its foot.
fn post(m: &mut Mason, at: Vec3) {
    m.within(Transform::from_translation(at), |m| {
        m.stands(Vec2::splat(0.14));
        m.of(Stuff::Rubber, 0x2a2f33);
        m.turned(&[(0.21, 0.0), (0.2, 0.05), (0.09, 0.1), (0.035, 0.14)], 18);
        m.of(Stuff::Paint, OCHRE);
        m.turned(&[(0.024, 0.1), (0.024, 1.06), (0.0, 1.07)], 10);
        m.of(Stuff::Rubber, 0x2a2f33);
        for y in TAPES_M {
            m.turned(&[(0.03, y - 0.05), (0.03, y + 0.05)], 10);
        }
    });
}

/// A tape that hangs between two posts, in stripes.
pub fn tape(m: &mut Mason, from: Vec3, to: Vec3) {
    striped(m, from, to, 0.2, 0.036);
}

/// The same with stripes of a length and half of a width.
fn striped(m: &mut Mason, from: Vec3, to: Vec3, stripe: f32, half: f32) {
    let way = to - from;
    let length = way.length();
    let count = (length / stripe).round().max(2.0) as u32;
    let sag = 0.012 * length;
    let at = |n: u32, up: f32| {
        let s = n as f32 / count as f32;
        let hang = 4.0 * sag * s * (1.0 - s);
        from + way * s + Vec3::Y * (up - hang)
    };
    for n in 0..count {
        m.of(Stuff::Tape, if n % 2 == 0 { RED } else { WHITE });
        m.face([at(n, -half), at(n + 1, -half), at(n + 1, half), at(n, half)]);
    }
}

/// The leaf of the barrier's gate: it turns about its origin, closed along +x.
pub fn leaf(m: &mut Mason) {
    m.of(Stuff::Paint, OCHRE);
    m.bar(Vec3::ZERO, Vec3::Y * 1.12, 0.032, 10);
    let end = GATE_M - 0.08;
    for y in [0.28, 1.02] {
        m.bar(Vec3::new(0.0, y, 0.0), Vec3::new(end, y, 0.0), 0.022, 10);
    }
    m.bar(
        Vec3::new(end, 0.26, 0.0),
        Vec3::new(end, 1.04, 0.0),
        0.022,
        10,
    );
    m.bar(
        Vec3::new(0.0, 0.28, 0.0),
        Vec3::new(end, 1.02, 0.0),
        0.014,
        8,
    );
    m.of(Stuff::Zinc, 0xaab2b4);
    m.rounded(
        Vec3::new(0.5 * end, 0.66, 0.0),
        Vec3::new(0.46, 0.46, 0.012),
        0.004,
    );
    m.within(Transform::from_xyz(0.5 * end, 0.62, 0.007), |m| {
        warning(m, 0.34)
    });
    m.within(
        Transform::from_xyz(0.5 * end, 0.62, -0.007)
            .with_rotation(Quat::from_rotation_y(core::f32::consts::PI)),
        |m| warning(m, 0.34),
    );
    m.of(Stuff::Steel, 0xb8bcbe);
    m.bar(
        Vec3::new(end - 0.1, 0.9, 0.04),
        Vec3::new(end + 0.1, 0.9, 0.04),
        0.014,
        8,
    );
}

/// The latch on the post that the leaf closes against, about its middle: a
/// keeper for the bolt, and a lever above it.
fn latch(m: &mut Mason) {
    m.of(Stuff::Zinc, 0xaab2b4);
    m.rounded(Vec3::ZERO, Vec3::new(0.07, 0.13, 0.07), 0.006);
    m.of(Stuff::Steel, 0xb8bcbe);
    m.bar(
        Vec3::new(-0.06, -0.1, 0.04),
        Vec3::new(0.02, -0.1, 0.04),
        0.02,
        10,
    );
    m.of(Stuff::Paint, RED);
    m.bar(
        Vec3::new(0.0, 0.03, -0.04),
        Vec3::new(-0.13, 0.05, -0.07),
        0.013,
        8,
    );
    m.bar(
        Vec3::new(-0.1, 0.046, -0.063),
        Vec3::new(-0.16, 0.056, -0.076),
        0.019,
        10,
    );
}

/// Where the gate's hinge is: its width to the left of the latch.
pub fn hinge(level: &Level) -> Option<Vec3> {
    let site = &level.site;
    let (_, at) = site.controls.iter().find(|(c, _)| *c == Control::Barrier)?;
    Some(Vec3::new(at[0] as f32 - GATE_M, 0.0, at[2] as f32))
}

/// A lamp beside the work, taped off.
fn taped_lamp(m: &mut Mason, at: Vec3, size: Vec3) {
    m.within(Transform::from_translation(at), |m| {
        let (w, h) = (0.36 * size.x, 0.42 * size.y);
        m.of(Stuff::Paint, 0x4a555b);
        m.rounded(
            Vec3::new(0.04, 0.0, 0.0),
            Vec3::new(w, 2.0 * h, 0.8 * size.z),
            0.02,
        );
        m.of(Stuff::Lamp, 0xf4e9c8);
        m.block(
            Vec3::new(0.04 - 0.5 * w - 0.004, 0.0, 0.0),
            Vec3::new(0.01, 1.6 * h, 0.55 * size.z),
        );
        m.of(Stuff::Zinc, 0x98a1a4);
        for k in [-0.5, 0.0, 0.5] {
            let x = 0.04 - 0.5 * w - 0.03;
            m.bar(
                Vec3::new(x, k * 1.5 * h, -0.4 * size.z),
                Vec3::new(x, k * 1.5 * h, 0.4 * size.z),
                0.006,
                6,
            );
        }
        // It hangs on the slab's frame by a bracket and a cable.
        m.pipe(
            &[
                Vec3::new(0.1, 0.0, 0.0),
                Vec3::new(0.26, 0.0, 0.0),
                Vec3::new(0.26, -at.y + 0.02, 0.0),
            ],
            0.024,
            8,
        );
        m.rounded(
            Vec3::new(0.26, -at.y + 0.02, 0.0),
            Vec3::new(0.34, 0.04, 0.34),
            0.01,
        );
        m.of(Stuff::Rubber, 0x23282b);
        m.pipe(
            &[
                Vec3::new(0.1, -h, 0.05),
                Vec3::new(0.3, -h - 0.2, 0.06),
                Vec3::new(0.29, -at.y + 0.05, 0.08),
            ],
            0.01,
            6,
        );
        let ring = 0.5 * size.x + 0.02;
        let post = [
            Vec3::new(-ring, 0.0, ring),
            Vec3::new(ring, 0.0, ring),
            Vec3::new(ring, 0.0, -ring),
            Vec3::new(-ring, 0.0, -ring),
        ];
        // The tape is drawn about four rods on arms of the bracket.
        m.of(Stuff::Zinc, 0x98a1a4);
        let rods: &[Vec3] = if m.is_fine() { &post } else { &[] };
        for corner in rods {
            let rod = |y: f32| *corner + Vec3::Y * y * h;
            m.bar(rod(-1.3), rod(1.3), 0.009, 6);
            m.bar(Vec3::new(0.08, 0.0, 0.0), rod(0.0), 0.007, 6);
        }
        for y in [-1.15 * h, 1.15 * h] {
            for n in 0..4 {
                striped(
                    m,
                    post[n] + Vec3::Y * y,
                    post[(n + 1) % 4] + Vec3::Y * y,
                    0.06,
                    0.022,
                );
            }
        }
    });
}

/// Ahead of and to the right of who stands at the lance.
fn lance_frame(level: &Level) -> Option<Transform> {
    let [x, z] = level.site.place("lance")?;
    let yaw = level.site.lance_hand.yaw_rad as f32;
    Some(Transform::from_xyz(x as f32, 0.0, z as f32).with_rotation(Quat::from_rotation_y(yaw)))
}

/// The stand of the lance and the tray beside it: x is ahead, z to the right.
fn stand(m: &mut Mason, level: &Level, lance: Vec3) {
    let (Some(frame), Some(tray)) = (lance_frame(level), things::tray(level)) else {
        return;
    };
    let to_local = frame.compute_affine().inverse();
    let local = to_local.transform_point3(tray);
    let grip = to_local.transform_point3(lance);
    m.within(frame, |m| {
        m.of(Stuff::Paint, 0x54626a);
        // The barrel lies in two forks, on both sides of the foregrip.
        if level.start.tool_in_stand {
            let [near, far] = things::FORKS_M.map(|ahead| grip.x + ahead);
            for x in [near, far] {
                let fork = Vec3::new(x, grip.y - FORK_M, grip.z);
                m.stands_at(Vec2::new(x, grip.z), Vec2::splat(0.12));
                m.bar(Vec3::new(x, 0.03, grip.z), fork, 0.028, 10);
                for s in [-0.5, 0.5] {
                    let foot = Vec3::new(x, 0.03, grip.z + s * STAND_M);
                    m.bar(Vec3::new(x, 0.03, grip.z), foot, 0.026, 10);
                    let tine = Vec3::new(0.0, 2.4 * FORK_M, s * 3.0 * FORK_M);
                    m.bar(fork, fork + tine, 0.012, 8);
                }
            }
            for y in [0.03, 0.5] {
                let along = [near, far].map(|x| Vec3::new(x, y, grip.z));
                m.bar(along[0], along[1], 0.022, 10);
            }
        }
        m.place(Vec3::new(local.x, 0.0, local.z), 0.0, tray_table);
        // The bore gauge: a pin in steps, each as thick as a nozzle is wide.
        if let Some(at) = things::gauge_place(level) {
            let at = frame.compute_affine().inverse().transform_point3(at);
            m.within(Transform::from_translation(at - Vec3::Y * 0.022), |m| {
                m.of(Stuff::Rubber, OCHRE);
                m.bar(
                    Vec3::new(-0.085, 0.0, 0.0),
                    Vec3::new(-0.01, 0.0, 0.0),
                    0.011,
                    10,
                );
                m.of(Stuff::Steel, 0xc4c8c9);
                for n in 0..6_u8 {
                    let x = -0.01 + 0.016 * f32::from(n);
                    let thick = 0.0055 - 0.0007 * f32::from(n);
                    m.bar(
                        Vec3::new(x, 0.0, 0.0),
                        Vec3::new(x + 0.016, 0.0, 0.0),
                        thick,
                        10,
                    );
                }
            });
        }
    });
}

/// The tray on its legs, a lip around and felt in it.
fn tray_table(m: &mut Mason) {
    m.stands(Vec2::new(0.2, 0.42));
    let top = TRAY_HEIGHT_M;
    m.of(Stuff::Zinc, 0x9aa3a6);
    m.rounded(
        Vec3::new(0.0, top - 0.015, 0.0),
        Vec3::new(0.36, 0.02, 0.84),
        0.005,
    );
    for s in [-1.0, 1.0] {
        m.block(
            Vec3::new(s * 0.18, top + 0.01, 0.0),
            Vec3::new(0.01, 0.06, 0.84),
        );
        m.block(
            Vec3::new(0.0, top + 0.01, s * 0.42),
            Vec3::new(0.36, 0.06, 0.01),
        );
        for x in [-0.15, 0.15] {
            m.bar(
                Vec3::new(x, 0.0, s * 0.38),
                Vec3::new(x, top - 0.02, s * 0.38),
                0.018,
                8,
            );
        }
        m.bar(
            Vec3::new(-0.15, 0.3, s * 0.38),
            Vec3::new(0.15, 0.3, s * 0.38),
            0.014,
            8,
        );
    }
    m.block(Vec3::new(0.0, 0.3, 0.0), Vec3::new(0.3, 0.015, 0.76));
    m.of(Stuff::Rubber, 0x24383b);
    m.block(
        Vec3::new(0.0, top - 0.002, 0.0),
        Vec3::new(0.34, 0.008, 0.82),
    );
}

/// The rack of protective equipment: a board with pegs on two posts.
fn rack(m: &mut Mason, level: &Level) {
    let Some([x, z]) = level.site.rack else {
        return;
    };
    m.within(Transform::from_xyz(x as f32, 0.0, z as f32 + 0.32), |m| {
        m.stands(Vec2::new(0.75, 0.2));
        m.of(Stuff::Paint, PETROL);
        for s in [-1.0, 1.0] {
            m.rounded(
                Vec3::new(s * 0.72, 1.05, 0.05),
                Vec3::new(0.08, 2.1, 0.08),
                0.01,
            );
            m.rounded(
                Vec3::new(s * 0.72, 0.04, 0.0),
                Vec3::new(0.1, 0.08, 0.6),
                0.01,
            );
        }
        m.of(Stuff::Wood, 0xa58d6c);
        m.rounded(
            Vec3::new(0.0, 1.42, 0.04),
            Vec3::new(1.42, 1.1, 0.03),
            0.006,
        );
        m.of(Stuff::Paint, PETROL);
        m.rounded(
            Vec3::new(0.0, 2.08, -0.06),
            Vec3::new(1.7, 0.03, 0.56),
            0.008,
        );
        m.of(Stuff::Steel, 0xb8bcbe);
        for item in Ppe::ALL {
            let Some(at) = things::ppe_place(level, item) else {
                continue;
            };
            let at = at - Vec3::new(x as f32, 0.0, z as f32 + 0.32);
            m.bar(
                Vec3::new(at.x, at.y + 0.16, 0.03),
                Vec3::new(at.x, at.y + 0.19, -0.1),
                0.01,
                6,
            );
        }
    });
}

/// The board where the job is handed back: a sheet on a clip, on a post.
fn board(m: &mut Mason, level: &Level) {
    let Some(at) = things::board_place(level) else {
        return;
    };
    // It faces the place where who reads it stands.
    let stands = if level.post == crew::Seat::PUMP {
        level.site.place("pump")
    } else {
        level.site.place("lance")
    };
    let yaw = stands.map_or(0.0, |[x, z]| (x as f32 - at.x).atan2(z as f32 - at.z));
    let frame = Transform::from_xyz(at.x, 0.0, at.z).with_rotation(Quat::from_rotation_y(yaw));
    m.within(frame, |m| {
        m.stands(Vec2::splat(0.16));
        m.of(Stuff::Paint, 0x54626a);
        m.rounded(
            Vec3::new(0.0, 0.02, -0.05),
            Vec3::new(0.36, 0.04, 0.36),
            0.01,
        );
        m.bar(
            Vec3::new(0.0, 0.0, -0.05),
            Vec3::new(0.0, at.y - 0.05, -0.05),
            0.024,
            10,
        );
        let tilt = Transform::from_xyz(0.0, at.y, -0.02).with_rotation(Quat::from_rotation_x(-0.3));
        m.within(tilt, |m| {
            m.of(Stuff::Wood, 0x8b7456);
            m.rounded(Vec3::ZERO, Vec3::new(0.34, 0.44, 0.018), 0.006);
            m.of(Stuff::Line, 0xf2efe6);
            m.block(Vec3::new(0.0, -0.02, 0.0105), Vec3::new(0.28, 0.37, 0.003));
            m.of(Stuff::Line, 0x6d7478);
            for n in 0..9_u8 {
                let width = if n == 0 {
                    0.16
                } else {
                    0.2 - 0.03 * f32::from(n % 3)
                };
                let y = 0.12 - 0.034 * f32::from(n);
                m.block(
                    Vec3::new(-0.11 + 0.5 * width, y, 0.0125),
                    Vec3::new(width, 0.006, 0.001),
                );
            }
            m.of(Stuff::Steel, 0xb8bcbe);
            m.rounded(
                Vec3::new(0.0, 0.19, 0.016),
                Vec3::new(0.13, 0.04, 0.02),
                0.006,
            );
        });
    });
}

/// The hose from the hydrant to the unit: flat, wide and blue.
fn supply(m: &mut Mason, level: &Level) {
    let Some((_, at)) = level
        .site
        .controls
        .iter()
        .find(|(c, _)| *c == Control::Supply)
    else {
        return;
    };
    let to = vec3(*at);
    let from = Vec3::new(-3.2, 0.56, -3.4);
    let way: Vec<Vec3> = [
        from,
        Vec3::new(-2.9, 0.5, -3.4),
        Vec3::new(-2.55, 0.06, -3.3),
        Vec3::new(-2.0, 0.04, -2.6),
        Vec3::new(-2.2, 0.04, -1.5),
        Vec3::new(-1.7, 0.04, -0.6),
        Vec3::new(-1.1, 0.06, -0.2),
        Vec3::new(-0.7, 0.3, -0.1),
        Vec3::new(to.x - 0.5, 0.55, to.z - 0.6),
    ]
    .into();
    m.of(Stuff::Rubber, 0x35586e);
    let fine = smooth(&way, if m.is_fine() { 7 } else { 3 });
    for pair in fine.windows(2) {
        m.bar(pair[0], pair[1], 0.038, 10);
    }
    m.of(Stuff::Steel, 0xb0aa9a);
    m.bar(fine[0], fine[0] + Vec3::X * 0.1, 0.055, 12);
}

/// A smooth way through points.
fn smooth(points: &[Vec3], steps: u32) -> Vec<Vec3> {
    let at = |n: i64| points[n.clamp(0, points.len() as i64 - 1) as usize];
    let mut found = Vec::new();
    for n in 0..points.len() as i64 - 1 {
        let (a, b, c, d) = (at(n - 1), at(n), at(n + 1), at(n + 2));
        for k in 0..steps {
            let t = k as f32 / steps as f32;
            let (t2, t3) = (t * t, t * t * t);
            found.push(
                0.5 * ((2.0 * b)
                    + (c - a) * t
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * t2
                    + (3.0 * b - a - 3.0 * c + d) * t3),
            );
        }
    }
    found.extend(points.last());
    found
}
