//! What the tool points at: the surface, people, things to be kept dry.

use crate::people::Person;
use crate::surface::Frame;
use crew::Seat;
use glam::DVec3;
use training::level::Block;

/// Radius of a person for somebody who aims, metres: half a shoulder's width
/// and what a hand does not know.
const PERSON_RADIUS_M: f64 = 0.35;
/// Height of a person, metres.
const PERSON_HEIGHT_M: f64 = 1.8;
/// Nobody further off is looked at, metres.
const FURTHEST_M: f64 = 60.0;
/// How far a jet is led for what it passes, metres: further off it does not
/// come near one's own feet.
const JET_M: f64 = 4.0;

/// What the line of the tool meets.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Target {
    /// Where it meets the surface, and the way there.
    pub spot: Option<([f64; 2], f64)>,
    /// Cosine of the angle to the surface's normal there.
    pub cosine: f64,
    /// The first person in the line, and how far from the tip.
    pub person: Option<(Seat, f64)>,
    /// A thing to be kept dry is met first of all.
    pub kept_dry: bool,
    /// Least distance of the line, as far as it goes, from the feet of who
    /// holds the tool, metres.
    pub feet_m: f64,
}

/// What there is to point at.
pub struct Around<'a> {
    /// The surface to be cleaned.
    pub surface: Option<&'a Frame>,
    /// Walls.
    pub walls: &'a [Block],
    /// Things to be kept dry.
    pub kept_dry: &'a [Block],
    /// Everybody, who holds the tool too.
    pub people: &'a [&'a Person],
}

/// Looks along the line of the tool from its tip.
pub fn look(tip: DVec3, dir: DVec3, holder: Seat, around: &Around<'_>) -> Target {
    let spot = around.surface.and_then(|s| s.meet(tip, dir));
    let wall_m = nearest(tip, dir, around.walls);
    let stop_m = spot.map_or(wall_m, |(_, way)| wall_m.min(way));
    let spot = spot.filter(|(_, way)| *way <= wall_m);
    let person = around
        .people
        .iter()
        .filter(|p| p.seat != holder)
        .filter_map(|p| {
            let feet = p.feet();
            let head = feet + DVec3::Y * PERSON_HEIGHT_M;
            let (off, along) = between(tip, dir, FURTHEST_M, feet, head);
            (off <= PERSON_RADIUS_M && along > 0.0 && along <= stop_m).then_some((p.seat, along))
        })
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let dry_m = nearest(tip, dir, around.kept_dry);
    let first_m = person.map_or(stop_m, |(_, along)| stop_m.min(along));
    let feet_m = around
        .people
        .iter()
        .find(|p| p.seat == holder)
        .map_or(JET_M, |p| {
            let reach_m = stop_m.min(JET_M);
            p.body
                .pose()
                .feet
                .iter()
                .map(|foot| from_segment(*foot, tip, dir, reach_m))
                .fold(JET_M, f64::min)
        });
    Target {
        spot: spot.filter(|(_, way)| person.is_none_or(|(_, along)| *way <= along)),
        cosine: around.surface.map_or(0.0, |s| -dir.dot(s.out)),
        person,
        kept_dry: dry_m < first_m + 0.05 && dry_m < FURTHEST_M,
        feet_m,
    }
}

/// Whether nothing solid stands between two points.
pub fn sees(from: DVec3, to: DVec3, walls: &[Block], surface: Option<&Frame>) -> bool {
    let way = to - from;
    let far = way.length();
    let Some(dir) = way.try_normalize() else {
        return true;
    };
    let behind = |frame: &Frame| {
        // A surface is looked at from either side.
        let back = Frame {
            out: -frame.out,
            ..*frame
        };
        [*frame, back]
            .iter()
            .filter_map(|f| f.meet(from, dir))
            .any(|(_, way)| way < far)
    };
    nearest(from, dir, walls) >= far && !surface.is_some_and(behind)
}

/// Where a ray first meets one of some blocks: the way there, and out of its
/// face.
pub fn meets(from: DVec3, dir: DVec3, blocks: &[Block]) -> Option<(f64, DVec3)> {
    let (block, way) = blocks
        .iter()
        .filter_map(|block| Some((block, enters(from, dir, block)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let off = from + dir * way - DVec3::from_array(block.at);
    let half = 0.5 * DVec3::from_array(block.size);
    // The face that the point lies on is the one it is nearest to.
    let depth = [0, 1, 2].map(|axis| half[axis] - off[axis].abs());
    let face = (0..3).min_by(|a, b| depth[*a].total_cmp(&depth[*b]))?;
    let mut out = DVec3::ZERO;
    out[face] = 1.0_f64.copysign(off[face]);
    Some((way, out))
}

/// The way along a ray to the nearest of some blocks.
fn nearest(from: DVec3, dir: DVec3, blocks: &[Block]) -> f64 {
    blocks
        .iter()
        .filter_map(|block| enters(from, dir, block))
        .fold(f64::INFINITY, f64::min)
}

/// The way along a ray until it enters a block, by its slabs.
fn enters(from: DVec3, dir: DVec3, block: &Block) -> Option<f64> {
    let (mut near, mut far) = (0.0_f64, f64::INFINITY);
    for axis in 0..3 {
        let (o, d) = (from[axis] - block.at[axis], dir[axis]);
        let half = 0.5 * block.size[axis];
        if d.abs() < 1e-12 {
            if o.abs() > half {
                return None;
            }
            continue;
        }
        let (a, b) = ((-half - o) / d, (half - o) / d);
        near = near.max(a.min(b));
        far = far.min(a.max(b));
    }
    (near <= far).then_some(near)
}

/// Least distance of a point from a stretch of a ray.
fn from_segment(point: DVec3, from: DVec3, dir: DVec3, length: f64) -> f64 {
    let along = (point - from).dot(dir).clamp(0.0, length);
    (from + dir * along - point).length()
}

/// Least distance between a stretch of a ray and a segment, and where along
/// the ray it is.
pub(crate) fn between(from: DVec3, dir: DVec3, length: f64, a: DVec3, b: DVec3) -> (f64, f64) {
    let side = b - a;
    let offset = from - a;
    let (e, f) = (side.length_squared(), side.dot(offset));
    let (c, d) = (dir.dot(offset), dir.dot(side));
    let denominator = e - d * d;
    let mut along = if denominator > 1e-12 {
        ((d * f - c * e) / denominator).clamp(0.0, length)
    } else {
        0.0
    };
    let part = ((d * along + f) / e.max(1e-12)).clamp(0.0, 1.0);
    let near = a + side * part;
    along = (near - from).dot(dir).clamp(0.0, length);
    ((from + dir * along - near).length(), along)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block() -> Block {
        Block {
            at: [5.0, 1.0, 0.0],
            size: [1.0, 2.0, 2.0],
        }
    }

    #[test]
    fn a_ray_enters_a_block_at_its_near_face_and_misses_beside_it() {
        let x = DVec3::X;
        assert_eq!(enters(DVec3::Y, x, &block()), Some(4.5));
        assert_eq!(enters(DVec3::Y, -x, &block()), None);
        assert_eq!(enters(DVec3::new(0.0, 1.0, 1.1), x, &block()), None);
        assert_eq!(enters(DVec3::new(5.0, 1.0, 0.0), x, &block()), Some(0.0));
    }

    #[test]
    fn what_a_ray_meets_faces_it() {
        let (way, out) = meets(DVec3::Y, DVec3::X, &[block()]).expect("it meets");
        assert_eq!((way, out), (4.5, -DVec3::X));
        let down = DVec3::new(0.0, -1.0, 0.0);
        let above = DVec3::new(5.2, 4.0, 0.3);
        assert_eq!(meets(above, down, &[block()]), Some((2.0, DVec3::Y)));
        assert_eq!(meets(DVec3::Y, -DVec3::X, &[block()]), None);
    }

    #[test]
    fn the_distance_to_somebody_upright_is_the_level_one() {
        let feet = DVec3::new(4.0, 0.0, 0.3);
        let head = feet + DVec3::Y * 1.8;
        let (off, along) = between(DVec3::Y, DVec3::X, 60.0, feet, head);
        assert!((off - 0.3).abs() < 1e-9 && (along - 4.0).abs() < 1e-9);
        // Over the head the distance is to the head.
        let (off, _) = between(DVec3::Y * 2.3, DVec3::X, 60.0, feet, head);
        assert!((off - (0.25_f64 + 0.09).sqrt()).abs() < 1e-9, "{off}");
        // Behind the tool nobody is pointed at.
        let (_, along) = between(DVec3::Y + DVec3::X * 9.0, DVec3::X, 60.0, feet, head);
        assert_eq!(along, 0.0);
    }

    #[test]
    fn a_jet_at_the_ground_passes_the_feet_where_it_should() {
        let tip = DVec3::new(0.0, 1.0, 0.0);
        let foot = DVec3::new(1.0, 0.0, 0.0);
        let down = DVec3::new(1.0, -1.0, 0.0).normalize();
        assert!(from_segment(foot, tip, down, 3.0) < 1e-9);
        assert!((from_segment(foot, tip, DVec3::X, 3.0) - 1.0).abs() < 1e-9);
        assert!((from_segment(foot, tip, DVec3::X, 0.5) - 1.25_f64.sqrt()).abs() < 1e-9);
    }
}
