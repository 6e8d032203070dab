//! The contact port: what a hose or a foot asks of whatever it may rest on.
//!
//! The crate knows no scene. Whoever owns the scene implements [`Ground`] over
//! its own shapes and hands it in for the length of one substep.

use glam::DVec3;
use serde::{Deserialize, Serialize};

/// What a sphere finds when it reaches into a surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Touch {
    /// How far the sphere reaches into the surface, in metres; positive when it touches.
    pub depth: f64,
    /// Outward unit normal of the surface, pointing to the side the sphere is on.
    pub normal: DVec3,
    /// Coulomb friction coefficient of the surface, dimensionless. Static and
    /// kinetic friction are taken as one.
    pub friction: f64,
}

/// Anything solid that a hose can lie on and feet can stand on.
///
/// An implementation must answer the same question with the same bits, or
/// replays of a recording part.
pub trait Ground {
    /// The touch of a sphere of `radius` metres centred at `p`, or `None` where
    /// it is clear of everything.
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch>;

    /// Whether something low lies across the way of a foot, between two points of the ground it
    /// is carried over: a hose, a cable. Whether the foot then catches on it depends on how
    /// it is carried, which the body knows.
    fn trips(&self, from: DVec3, to: DVec3) -> bool {
        let _ = (from, to);
        false
    }
}

impl<G: Ground + ?Sized> Ground for &G {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        (**self).touch(p, radius)
    }

    fn trips(&self, from: DVec3, to: DVec3) -> bool {
        (**self).trips(from, to)
    }
}

/// A level plane without end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Flat {
    /// Height of the plane, in metres.
    pub height: f64,
    /// Its friction coefficient, dimensionless.
    pub friction: f64,
}

impl Ground for Flat {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        let depth = self.height + radius - p.y;
        (depth > 0.0).then_some(Touch {
            depth,
            normal: DVec3::Y,
            friction: self.friction,
        })
    }
}

/// Nothing at all, for things that hang or fly.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Nothing;

impl Ground for Nothing {
    fn touch(&self, _p: DVec3, _radius: f64) -> Option<Touch> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sphere_above_the_plane_by_more_than_its_radius_does_not_touch() {
        let floor = Flat {
            height: 1.0,
            friction: 0.5,
        };
        assert_eq!(floor.touch(DVec3::new(3.0, 1.2, -4.0), 0.1), None);
        let touch = floor.touch(DVec3::new(3.0, 1.05, -4.0), 0.1);
        assert!(touch.is_some_and(|t| (t.depth - 0.05).abs() < 1e-12 && t.normal == DVec3::Y));
    }
}
