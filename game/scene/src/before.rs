//! A tool before the surface to be cleaned.

use crate::stage::point;
use bevy::math::Vec3;
use training::Level;
use yard::view::ToolView;

/// A tip is held to a surface from so near, metres.
const NEAR_M: f32 = 0.4;
/// A surface that is met more flatly than this is not followed, share of a right
/// angle's sine.
pub const SLANT: f32 = 0.3;
/// So far beyond its edges a surface still counts as one, metres.
const BEYOND_M: f32 = 0.3;
/// A tip so near to a surface touches it, metres.
const TOUCHES_M: f32 = 0.004;

/// The tool before the surface.
pub struct Before {
    /// The way it points.
    pub points: Vec3,
    /// Out of the surface.
    pub out: Vec3,
    /// From the grip to the spot along the tool, metres.
    pub line_m: f32,
    /// From the tip to the spot along the tool, metres; less than nothing where the
    /// tip is behind the surface.
    pub stand_off_m: f32,
}

impl Before {
    /// None where no surface is near, or where it is met too flatly. A surface is
    /// thought of as going on a little beyond its edges.
    pub fn of(level: &Level, tool: &ToolView) -> Option<Self> {
        let surface = level.surface.as_ref()?;
        let right = Vec3::new(surface.right[0] as f32, 0.0, surface.right[1] as f32);
        let out = Vec3::new(-right.z, 0.0, right.x);
        let (points, tip) = (point(tool.points), point(tool.tip));
        let towards = -points.dot(out);
        if towards < SLANT {
            return None;
        }
        let off = tip - point(surface.corner);
        let stand_off_m = off.dot(out) / towards;
        let spot = off + stand_off_m * points;
        let [width, height] = surface.size.map(|m| m as f32);
        let beside = |at: f32, size: f32| at < -BEYOND_M || at > size + BEYOND_M;
        let away = beside(spot.dot(right), width) || beside(spot.y, height);
        (stand_off_m <= NEAR_M && !away).then(|| Before {
            line_m: point(tool.grip).distance(tip) + stand_off_m,
            points,
            out,
            stand_off_m,
        })
    }

    /// Whether the tip touches the surface, or would stand in it.
    pub fn touches(&self) -> bool {
        self.stand_off_m <= TOUCHES_M
    }
}
