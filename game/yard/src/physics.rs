//! Contacts, props and people in Rapier.
//!
//! People are capsules that follow their bodies of `mechanics`; walls stop
//! them, and they push the props they walk into. The sets are Rapier's own, so
//! that they can be cloned and written out; the pipeline is only its workspace.

use bevy::ecs::resource::Resource;
use bevy_rapier3d::rapier::control::{CharacterLength, KinematicCharacterController};
use bevy_rapier3d::rapier::prelude::*;
use glam::DVec3;
use mechanics::{Ground, Touch};
use serde::{Deserialize, Serialize};
use training::level::Site;

/// Radius of a person's capsule, metres.
const PERSON_RADIUS_M: f32 = 0.25;
/// Half of the capsule's straight part, metres.
const PERSON_HALF_M: f32 = 0.6;
/// Height of the capsule's middle over the feet, metres.
const PERSON_MIDDLE_M: f32 = PERSON_RADIUS_M + PERSON_HALF_M;

/// Everything of Rapier's that lives from tick to tick.
#[derive(Clone, Serialize, Deserialize)]
pub struct Sets {
    islands: IslandManager,
    broad_phase: DefaultBroadPhase,
    narrow_phase: NarrowPhase,
    bodies: RigidBodySet,
    colliders: ColliderSet,
    impulse_joints: ImpulseJointSet,
    multibody_joints: MultibodyJointSet,
    ccd: CCDSolver,
}

impl Default for Sets {
    fn default() -> Self {
        Sets {
            islands: IslandManager::new(),
            broad_phase: DefaultBroadPhase::new(),
            narrow_phase: NarrowPhase::new(),
            bodies: RigidBodySet::new(),
            colliders: ColliderSet::new(),
            impulse_joints: ImpulseJointSet::new(),
            multibody_joints: MultibodyJointSet::new(),
            ccd: CCDSolver::new(),
        }
    }
}

/// The physics of the yard.
#[derive(Resource, Default)]
pub struct Physics {
    sets: Sets,
    pipeline: PhysicsPipeline,
}

impl Physics {
    /// Puts up the ground and the walls of a site.
    pub fn of_site(site: &Site) -> Self {
        let mut physics = Physics::default();
        let friction = site.ground_friction as f32;
        physics.sets.colliders.insert(
            ColliderBuilder::halfspace(bevy_rapier3d::na::Unit::new_unchecked(Vector::Y))
                .friction(friction)
                .build(),
        );
        for wall in &site.walls {
            physics.sets.colliders.insert(
                block(wall.size)
                    .translation(vector(wall.at))
                    .friction(friction)
                    .build(),
            );
        }
        physics
    }

    /// Adds a thing that can be pushed about.
    pub fn add_prop(&mut self, at: [f64; 3], size: [f64; 3], mass_kg: f64) -> RigidBodyHandle {
        let handle = self
            .sets
            .bodies
            .insert(RigidBodyBuilder::dynamic().translation(vector(at)).build());
        self.sets.colliders.insert_with_parent(
            block(size).mass(mass_kg as f32).friction(0.5).build(),
            handle,
            &mut self.sets.bodies,
        );
        handle
    }

    /// Adds a person standing at a place.
    pub fn add_person(&mut self, feet: [f64; 2]) -> RigidBodyHandle {
        let handle = self.sets.bodies.insert(
            RigidBodyBuilder::kinematic_position_based()
                .translation(standing(feet))
                .build(),
        );
        self.sets.colliders.insert_with_parent(
            ColliderBuilder::capsule_y(PERSON_HALF_M, PERSON_RADIUS_M).build(),
            handle,
            &mut self.sets.bodies,
        );
        handle
    }

    /// Moves a person towards where their feet want to be, and says where the
    /// walls let them go.
    pub fn walk(&mut self, person: RigidBodyHandle, feet: [f64; 2], dt_s: f64) -> [f64; 2] {
        let Some(body) = self.sets.bodies.get(person) else {
            return feet;
        };
        let from = *body.position();
        let wish = standing(feet) - from.translation;
        let controller = KinematicCharacterController {
            snap_to_ground: None,
            offset: CharacterLength::Absolute(0.01),
            ..Default::default()
        };
        let shape = Capsule::new_y(PERSON_HALF_M, PERSON_RADIUS_M);
        // Props give way; only what is fixed stops a person.
        let filter = QueryFilter::only_fixed().exclude_rigid_body(person);
        let queries = self.sets.broad_phase.as_query_pipeline(
            self.sets.narrow_phase.query_dispatcher(),
            &self.sets.bodies,
            &self.sets.colliders,
            filter,
        );
        let went = controller
            .move_shape(
                dt_s as f32,
                &queries,
                &shape,
                &Pose::from_translation(from.translation + Vector::Y * 0.02),
                Vector::new(wish.x, 0.0, wish.z),
                |_| {},
            )
            .translation;
        let stopped = (went.x - wish.x).abs() > 1e-4 || (went.z - wish.z).abs() > 1e-4;
        let reached = if stopped {
            [
                f64::from(from.translation.x + went.x),
                f64::from(from.translation.z + went.z),
            ]
        } else {
            feet
        };
        if let Some(body) = self.sets.bodies.get_mut(person) {
            body.set_next_kinematic_translation(standing(reached));
        }
        reached
    }

    /// One tick of contacts and props.
    pub fn step(&mut self, dt_s: f64) {
        let parameters = IntegrationParameters {
            dt: dt_s as f32,
            ..Default::default()
        };
        let sets = &mut self.sets;
        self.pipeline.step(
            Vector::Y * -(mechanics::GRAVITY_M_S2 as f32),
            &parameters,
            &mut sets.islands,
            &mut sets.broad_phase,
            &mut sets.narrow_phase,
            &mut sets.bodies,
            &mut sets.colliders,
            &mut sets.impulse_joints,
            &mut sets.multibody_joints,
            &mut sets.ccd,
            &(),
            &(),
        );
    }

    /// Where a thing is.
    pub fn position(&self, thing: RigidBodyHandle) -> Option<[f32; 3]> {
        let at = self.sets.bodies.get(thing)?.translation();
        Some([at.x, at.y, at.z])
    }

    /// Where a thing is and how it is turned (a quaternion, x, y, z, w).
    pub fn pose(&self, thing: RigidBodyHandle) -> Option<([f32; 3], [f32; 4])> {
        let body = self.sets.bodies.get(thing)?;
        let turn = body.rotation();
        let at = self.position(thing)?;
        Some((at, [turn.x, turn.y, turn.z, turn.w]))
    }

    /// The sets as they stand.
    pub fn sets(&self) -> &Sets {
        &self.sets
    }

    /// Puts sets back. The workspace starts afresh, as it does for sets that
    /// were read from a file.
    pub fn restore(&mut self, sets: Sets) {
        self.sets = sets;
        self.pipeline = PhysicsPipeline::new();
    }
}

fn vector(at: [f64; 3]) -> Vector {
    Vector::new(at[0] as f32, at[1] as f32, at[2] as f32)
}

fn standing(feet: [f64; 2]) -> Vector {
    Vector::new(feet[0] as f32, PERSON_MIDDLE_M, feet[1] as f32)
}

fn block(size: [f64; 3]) -> ColliderBuilder {
    ColliderBuilder::cuboid(
        0.5 * size[0] as f32,
        0.5 * size[1] as f32,
        0.5 * size[2] as f32,
    )
}

/// The ground and the walls of a site, as a hose and a boot meet them.
#[derive(Clone, Debug)]
pub struct SiteGround {
    site: Site,
}

impl SiteGround {
    /// The ground of a site.
    pub fn of_site(site: &Site) -> Self {
        SiteGround { site: site.clone() }
    }
}

impl Ground for SiteGround {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        let mut deepest = (radius - p.y, DVec3::Y);
        for wall in &self.site.walls {
            let centre = DVec3::from_array(wall.at);
            let half = 0.5 * DVec3::from_array(wall.size);
            let from_centre = p - centre;
            let outside = from_centre.abs() - half;
            let reach = outside.max_element();
            if reach >= radius {
                continue;
            }
            let (depth, normal) = if reach <= 0.0 {
                // The middle is inside the block: out through the nearest face.
                let axis = if outside.x >= outside.y && outside.x >= outside.z {
                    DVec3::X
                } else if outside.y >= outside.z {
                    DVec3::Y
                } else {
                    DVec3::Z
                };
                let side = axis * axis.dot(from_centre).signum();
                (radius - reach, side)
            } else {
                let nearest = from_centre.clamp(-half, half);
                let away = from_centre - nearest;
                let distance = away.length();
                (radius - distance, away / distance)
            };
            if depth > deepest.0 {
                deepest = (depth, normal);
            }
        }
        (deepest.0 > 0.0).then(|| Touch {
            depth: deepest.0,
            normal: deepest.1,
            friction: self.site.friction([p.x, p.z]),
        })
    }
}

/// The ground with the hose on it, as feet meet it.
pub struct Underfoot<'a> {
    /// The ground.
    pub ground: &'a SiteGround,
    /// The middle line of the hose.
    pub hose: &'a [DVec3],
}

/// What lies higher than this a foot passes under or stands before, metres.
const LOW_M: f64 = 0.15;

impl Ground for Underfoot<'_> {
    fn touch(&self, p: DVec3, radius: f64) -> Option<Touch> {
        self.ground.touch(p, radius)
    }

    fn trips(&self, from: DVec3, to: DVec3) -> bool {
        self.hose
            .windows(2)
            .filter(|w| w[0].y.min(w[1].y) < from.y + LOW_M)
            .any(|w| cross([from, to], [w[0], w[1]]))
    }
}

/// Whether two stretches cross, seen from above.
fn cross(a: [DVec3; 2], b: [DVec3; 2]) -> bool {
    // On which side of a stretch a point lies.
    let side = |[from, to]: [DVec3; 2], at: DVec3| {
        let (way, off) = (to - from, at - from);
        way.x * off.z - way.z * off.x
    };
    let parts = |of: [DVec3; 2], by: [DVec3; 2]| side(of, by[0]) * side(of, by[1]) < 0.0;
    parts(a, b) && parts(b, a)
}
