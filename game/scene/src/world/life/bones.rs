//! A body of bones, put into a posture by where its feet and hands are.

use bevy::prelude::*;
use std::collections::BTreeMap;

/// The bones of a figure and how they stand at rest. A bone points along its own
/// +Y; the figure faces -Z.
#[derive(Component, Clone, Debug)]
pub struct Bones {
    bones: BTreeMap<String, Bone>,
}

#[derive(Clone, Copy, Debug)]
struct Bone {
    entity: Entity,
    /// From the bone before it, at rest.
    rest: Transform,
    /// Its turn in the figure's frame, at rest.
    turn: Quat,
}

/// Where everything of a body is to be, in the figure's own frame.
#[derive(Clone, Copy, Debug, Default)]
pub struct Posture {
    /// Ankles, left and right.
    pub feet: [Vec3; 2],
    /// Height of the hips over the ground.
    pub hips: Vec3,
    /// Lean ahead and to the right, radians.
    pub lean: Vec2,
    /// Turn of the shoulders to the right, radians; the hips go half the way.
    pub twist: f32,
    /// Palms, left and right; none hangs down.
    pub hands: [Option<Vec3>; 2],
    /// Turn of the head to the left and up, radians.
    pub head: Vec2,
}

/// The order from the hips outwards, each with the bone before it.
const CHAIN: [(&str, Option<&str>); 16] = [
    ("hips", None),
    ("spine", Some("hips")),
    ("chest", Some("spine")),
    ("head", Some("chest")),
    ("upper_arm.L", Some("chest")),
    ("forearm.L", Some("upper_arm.L")),
    ("hand.L", Some("forearm.L")),
    ("upper_arm.R", Some("chest")),
    ("forearm.R", Some("upper_arm.R")),
    ("hand.R", Some("forearm.R")),
    ("thigh.L", Some("hips")),
    ("shin.L", Some("thigh.L")),
    ("foot.L", Some("shin.L")),
    ("thigh.R", Some("hips")),
    ("shin.R", Some("thigh.R")),
    ("foot.R", Some("shin.R")),
];

impl Bones {
    /// The bones among some named things; nothing where one is missing.
    pub fn find<'a>(named: impl Iterator<Item = (Entity, &'a str, &'a Transform)>) -> Option<Self> {
        let found: BTreeMap<&str, (Entity, Transform)> =
            named.map(|(e, name, t)| (name, (e, *t))).collect();
        let mut bones: BTreeMap<String, Bone> = BTreeMap::new();
        for (name, parent) in CHAIN {
            let (entity, rest) = *found.get(name)?;
            let before = match parent {
                Some(parent) => bones.get(parent)?.turn,
                None => Quat::IDENTITY,
            };
            bones.insert(
                name.to_owned(),
                Bone {
                    entity,
                    rest,
                    turn: before * rest.rotation,
                },
            );
        }
        Some(Bones { bones })
    }

    /// How every bone stands in a posture, relative to the one before it.
    pub fn pose(&self, posture: &Posture) -> Vec<(Entity, Transform)> {
        let mut turns: BTreeMap<&str, Quat> = BTreeMap::new();
        let mut ends: BTreeMap<&str, Vec3> = BTreeMap::new();
        let lean = Quat::from_rotation_x(-posture.lean.x) * Quat::from_rotation_z(-posture.lean.y);
        let twisted = Quat::from_rotation_y(-posture.twist);
        let half = Quat::IDENTITY.slerp(lean * twisted, 0.5);
        let trunk = lean * twisted;
        for (name, parent) in CHAIN {
            let Some(bone) = self.bones.get(name) else {
                continue;
            };
            let at = match parent {
                None => posture.hips,
                Some(parent) => ends[parent] + turns[parent] * bone.rest.translation,
            };
            let (limb, side) = name.split_once('.').unwrap_or((name, ""));
            let n = usize::from(side == "R");
            let right = if n == 1 { 1.0 } else { -1.0 };
            let turn = match limb {
                "hips" => half * bone.turn,
                "spine" | "chest" => trunk * bone.turn,
                "head" => {
                    lean * Quat::from_rotation_y(posture.head.x)
                        * Quat::from_rotation_x(posture.head.y)
                        * bone.turn
                }
                "thigh" => {
                    let [upper, _] = self.lengths("thigh", "shin", "foot", side);
                    let knee = bend(
                        at,
                        posture.feet[n],
                        upper,
                        self.length("foot", side),
                        -Vec3::Z,
                    );
                    aim(bone.turn, knee - at)
                }
                "shin" => aim(bone.turn, posture.feet[n] - at),
                "foot" | "hand" => {
                    // Feet stay flat; hands go with the arm.
                    if limb == "foot" {
                        bone.turn
                    } else {
                        turns[parent.unwrap_or_default()] * bone.rest.rotation
                    }
                }
                "upper_arm" => {
                    let hand = self.hand(posture, n, at, right, trunk);
                    let [upper, lower] = self.lengths("upper_arm", "forearm", "hand", side);
                    let pole = trunk * Vec3::new(0.55 * right, -1.0, 0.35);
                    aim(bone.turn, bend(at, hand, upper, lower, pole) - at)
                }
                _ => {
                    let shoulder = ends[&*format!("upper_arm.{side}")];
                    let hand = self.hand(posture, n, shoulder, right, trunk);
                    aim(bone.turn, hand - at)
                }
            };
            turns.insert(name, turn);
            ends.insert(name, at);
        }
        CHAIN
            .iter()
            .filter_map(|(name, parent)| {
                let bone = self.bones.get(*name)?;
                let before = parent.map_or(Quat::IDENTITY, |p| turns[p]);
                let translation = match parent {
                    None => posture.hips,
                    Some(_) => bone.rest.translation,
                };
                let rotation = (before.inverse() * turns[name]).normalize();
                Some((
                    bone.entity,
                    Transform {
                        translation,
                        rotation,
                        scale: bone.rest.scale,
                    },
                ))
            })
            .collect()
    }

    fn hand(&self, posture: &Posture, n: usize, shoulder: Vec3, right: f32, trunk: Quat) -> Vec3 {
        let hangs = shoulder + trunk * Vec3::new(0.10 * right, -0.50, -0.06);
        let wanted = posture.hands[n].unwrap_or(hangs);
        // An arm that is too short ends where it ends.
        let side = if n == 1 { "R" } else { "L" };
        let [upper, lower] = self.lengths("upper_arm", "forearm", "hand", side);
        let most = 0.985 * (upper + lower);
        shoulder + (wanted - shoulder).clamp_length_max(most)
    }

    fn length(&self, name: &str, side: &str) -> f32 {
        self.bones
            .get(&format!("{name}.{side}"))
            .map_or(0.3, |b| b.rest.translation.length())
    }

    fn lengths(&self, _upper: &str, lower: &str, end: &str, side: &str) -> [f32; 2] {
        [self.length(lower, side), self.length(end, side)]
    }
}

/// Turns a bone so that it points along a direction, and no more than that.
fn aim(rest: Quat, to: Vec3) -> Quat {
    match to.try_normalize() {
        Some(to) => Quat::from_rotation_arc(rest * Vec3::Y, to) * rest,
        None => rest,
    }
}

/// Where the joint between two bones is that reach from one point to another,
/// bent towards a side.
fn bend(from: Vec3, to: Vec3, upper: f32, lower: f32, pole: Vec3) -> Vec3 {
    let way = to - from;
    let far = way.length().max(0.05).min(0.999 * (upper + lower));
    let dir = way.try_normalize().unwrap_or(-Vec3::Y);
    let along = (upper * upper - lower * lower + far * far) / (2.0 * far);
    let off = (upper * upper - along * along).max(0.0).sqrt();
    let side = (pole - dir * pole.dot(dir))
        .try_normalize()
        .unwrap_or(Vec3::X);
    from + dir * along + side * off
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bent_limb_keeps_its_lengths() {
        let (from, to) = (Vec3::new(0.1, 1.4, 0.0), Vec3::new(0.3, 1.1, -0.3));
        let elbow = bend(from, to, 0.28, 0.25, -Vec3::Y);
        assert!((elbow.distance(from) - 0.28).abs() < 1e-4);
        assert!((elbow.distance(to) - 0.25).abs() < 1e-4);
        assert!(elbow.y < 0.5 * (from.y + to.y), "it bends to its side");
    }

    #[test]
    fn a_limb_too_short_to_bend_is_no_fault() {
        let joint = bend(Vec3::ZERO, Vec3::X, 0.01, 0.01, Vec3::Y);
        assert!(joint.is_finite() && joint.length() < 0.02, "{joint}");
    }

    #[test]
    fn a_bone_points_where_it_is_aimed() {
        let to = Vec3::new(0.2, -0.7, 0.4);
        let turned = aim(Quat::from_rotation_z(0.3), to) * Vec3::Y;
        assert!(turned.distance(to.normalize()) < 1e-5);
    }
}
