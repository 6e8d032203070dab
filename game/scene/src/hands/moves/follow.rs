//! Arms that follow a flat surface while the lance sweeps over it. Whoever cleans
//! keeps the tip as far off as it is without thinking of it; a mouse tells where
//! to, and not how far. Nothing else is kept: what a thrust or a step does to the
//! stand-off is left to whoever holds the lance.

use super::{HAND_MM, Scene};
use crate::hands::gaze::{UNIT_RAD, angles};
use crate::stage::point;
use bevy::math::Vec3;

/// A tip is held to a surface from so near, metres.
const NEAR_M: f64 = 0.4;
/// A surface that is met more flatly than this is not followed, share of a right
/// angle's sine.
const SLANT: f32 = 0.3;

/// What the arms owe.
#[derive(Default)]
pub struct Follow {
    owed_mm: f32,
}

impl Follow {
    /// The lance is turned by units to the left and up.
    pub fn aimed(&mut self, scene: &Scene<'_>, [left, up]: [i16; 2]) {
        let tool = &scene.frame.tool;
        let near = tool.stand_off_m.is_some_and(|m| m <= NEAR_M);
        let Some(surface) = scene.level.surface.as_ref().filter(|_| near) else {
            self.owed_mm = 0.0;
            return;
        };
        let out = Vec3::new(-surface.right[1] as f32, 0.0, surface.right[0] as f32);
        let off = (point(surface.corner) - point(tool.grip)).dot(out);
        let ahead = point(tool.points);
        let (yaw, pitch) = angles(ahead);
        let (yaw, pitch) = (
            yaw + f32::from(left) * UNIT_RAD,
            pitch + f32::from(up) * UNIT_RAD,
        );
        let turned = Vec3::new(
            yaw.cos() * pitch.cos(),
            pitch.sin(),
            -yaw.sin() * pitch.cos(),
        );
        let [was, is] = [ahead, turned].map(|way| way.dot(out));
        if was.abs() >= SLANT && is.abs() >= SLANT {
            self.owed_mm += 1000.0 * (off / is - off / was);
        }
    }

    /// How far the hands go ahead in this tick, millimetres.
    pub fn taken(&mut self) -> i16 {
        let most = f32::from(HAND_MM);
        let whole = self.owed_mm.clamp(-most, most).trunc();
        self.owed_mm -= whole;
        whole as i16
    }

    /// Nothing is owed any more.
    pub fn forget(&mut self) {
        self.owed_mm = 0.0;
    }
}
