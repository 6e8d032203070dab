//! One's own arms: the only thing that is seen of oneself.

use super::{LifeSystems, OfYard};
use crate::stage::{Eye, Show, Stage, point};
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use crew::{Ppe, Seat};

/// A forearm with its hand: left or right.
#[derive(Component, Clone, Copy, PartialEq, Eq)]
enum Arm {
    Left,
    Right,
}

/// The glove of an arm; bare hands have another colour.
#[derive(Component)]
struct Glove;

/// The colours of a gloved and a bare hand.
#[derive(Resource)]
struct Skins {
    glove: Handle<StandardMaterial>,
    bare: Handle<StandardMaterial>,
}

/// From the palm to the elbow, metres.
const FOREARM_M: f32 = 0.30;

fn put_up(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = &stage.show else { return };
    if *yard == stage.yard {
        return;
    }
    *yard = stage.yard;
    let cloth = materials.add(StandardMaterial {
        base_color: if show.loaded.level.post == Seat::LANCE {
            Color::srgb(0.72, 0.50, 0.12)
        } else {
            Color::srgb(0.16, 0.38, 0.42)
        },
        perceptual_roughness: 0.7,
        ..default()
    });
    let glove = materials.add(StandardMaterial {
        base_color: Color::srgb(0.10, 0.11, 0.12),
        perceptual_roughness: 0.6,
        ..default()
    });
    let bare = materials.add(StandardMaterial {
        base_color: Color::srgb(0.66, 0.46, 0.36),
        perceptual_roughness: 0.6,
        ..default()
    });
    commands.insert_resource(Skins {
        glove: glove.clone(),
        bare,
    });
    let sleeve = meshes.add(ConicalFrustum {
        radius_top: 0.043,
        radius_bottom: 0.062,
        height: FOREARM_M,
    });
    let cuff = meshes.add(Cylinder::new(0.047, 0.055));
    let palm = meshes.add(Sphere::new(0.046));
    let finger = meshes.add(Capsule3d::new(0.0125, 0.032));
    // An arm lies along +Z, away from its palm; the fingers close round a bar
    // along X.
    for arm in [Arm::Left, Arm::Right] {
        let mirror = if arm == Arm::Left { -1.0 } else { 1.0 };
        commands
            .spawn((OfYard, arm, Transform::default(), Visibility::Hidden))
            .with_children(|parts| {
                parts.spawn((
                    Mesh3d(sleeve.clone()),
                    MeshMaterial3d(cloth.clone()),
                    NotShadowCaster,
                    // Its narrow end lies at the wrist.
                    Transform::from_xyz(0.0, 0.0, 0.075 + 0.5 * FOREARM_M)
                        .with_rotation(Quat::from_rotation_x(-core::f32::consts::FRAC_PI_2)),
                ));
                parts.spawn((
                    Glove,
                    Mesh3d(cuff.clone()),
                    MeshMaterial3d(glove.clone()),
                    NotShadowCaster,
                    Transform::from_xyz(0.0, 0.0, 0.075)
                        .with_rotation(Quat::from_rotation_x(core::f32::consts::FRAC_PI_2)),
                ));
                parts.spawn((
                    Glove,
                    Mesh3d(palm.clone()),
                    MeshMaterial3d(glove.clone()),
                    NotShadowCaster,
                    Transform::from_xyz(0.0, -0.006, 0.016).with_scale(Vec3::new(0.95, 0.62, 1.15)),
                ));
                for n in 0..4 {
                    let x = mirror * (0.020 * n as f32 - 0.030);
                    for (turn, at) in [
                        (1.25_f32, Vec3::new(x, 0.012, -0.036)),
                        (0.1, Vec3::new(x, -0.014, -0.052)),
                    ] {
                        parts.spawn((
                            Glove,
                            Mesh3d(finger.clone()),
                            MeshMaterial3d(glove.clone()),
                            NotShadowCaster,
                            Transform::from_translation(at)
                                .with_rotation(Quat::from_rotation_x(turn)),
                        ));
                    }
                }
                parts.spawn((
                    Glove,
                    Mesh3d(finger.clone()),
                    MeshMaterial3d(glove.clone()),
                    NotShadowCaster,
                    Transform::from_xyz(-mirror * 0.046, 0.004, -0.014)
                        .with_rotation(Quat::from_rotation_z(mirror * 0.5))
                        .with_scale(Vec3::splat(1.15)),
                ));
            });
    }
}

/// An arm whose palm is at a place, with its elbow towards another.
fn reach(palm: Vec3, elbow: Vec3) -> Transform {
    let back = (elbow - palm).normalize_or(Vec3::Z);
    Transform::from_translation(palm).looking_to(-back, Vec3::Y)
}

/// Where the palms are, if they are to be seen: left and right.
fn palms(show: &Show, seat: Seat) -> [Option<Vec3>; 2] {
    let Some((_, person)) = show.person(seat) else {
        return [None, None];
    };
    if seat == Seat::LANCE && show.now.tool.in_hands {
        let grip = show.place(|f| f.tool.grip);
        let tip = show.place(|f| f.tool.tip);
        let ahead = (tip - grip).normalize_or(Vec3::X);
        let side = ahead.cross(Vec3::Y).normalize_or_zero();
        let right = grip - ahead * 0.10 - Vec3::Y * 0.06;
        let left = grip + ahead * 0.53 - side * 0.10 - Vec3::Y * 0.02;
        let stops = person
            .holding
            .and_then(|c| show.loaded.level.site.control(c));
        return match stops {
            // One hand leaves the tool to stop something.
            Some(at) => [Some(point(at)), Some(right)],
            None => [Some(left), Some(right)],
        };
    }
    if let Some(at) = person
        .holding
        .and_then(|c| show.loaded.level.site.control(c))
    {
        return [None, Some(point(at) + Vec3::new(0.0, 0.0, 0.03))];
    }
    if person.working.is_some() {
        let tip = show.place(|f| f.tool.tip);
        let jiggle = Vec3::Y * 0.01 * (show.now.tick.0 as f32 * 0.11).sin();
        return [
            Some(tip + Vec3::new(-0.05, 0.0, 0.02) - jiggle),
            Some(tip + Vec3::new(0.05, 0.0, 0.02) + jiggle),
        ];
    }
    [None, None]
}

fn hold(
    stage: Res<Stage>,
    eye: Res<Eye>,
    skins: Option<Res<Skins>>,
    mut arms: Query<(&Arm, &mut Transform, &mut Visibility)>,
    mut gloves: Query<&mut MeshMaterial3d<StandardMaterial>, With<Glove>>,
) {
    let Some(show) = &stage.show else { return };
    let seat = stage.own;
    let palms = seat.map_or([None, None], |seat| palms(show, seat));
    let shoulders = seat.and_then(|seat| show.person(seat)).map(|(_, person)| {
        let yaw = person.yaw_rad as f32;
        let right = Vec3::new(yaw.sin(), 0.0, yaw.cos());
        let ahead = Vec3::new(yaw.cos(), 0.0, -yaw.sin());
        let neck = eye.at - Vec3::Y * 0.24 - ahead * 0.06;
        [neck - right * 0.20, neck + right * 0.20]
    });
    for (arm, mut transform, mut visibility) in &mut arms {
        let n = usize::from(*arm == Arm::Right);
        let shown = palms[n].zip(shoulders.map(|s| s[n]));
        visibility.set_if_neq(if shown.is_some() {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
        if let Some((palm, shoulder)) = shown {
            // The elbow hangs below the line from hand to shoulder.
            let elbow = palm.lerp(shoulder, 0.55) - Vec3::Y * 0.16;
            *transform = reach(palm, elbow);
        }
    }
    if let Some(skins) = skins
        && let Some((_, person)) = seat.and_then(|seat| show.person(seat))
    {
        let dressed = show.loaded.level.site.rack.is_none();
        let wanted = if dressed || person.wears & Ppe::Gloves.bit() != 0 {
            &skins.glove
        } else {
            &skins.bare
        };
        for mut material in &mut gloves {
            if material.0 != *wanted {
                material.0 = wanted.clone();
            }
        }
    }
}

/// Sets up one's own arms.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            hold.in_set(LifeSystems::Move),
        ),
    );
}
