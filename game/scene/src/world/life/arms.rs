//! One's own arms: the only thing that is seen of oneself.

use super::people::suit;
use super::{LifeSystems, OfYard};
use crate::settings::Settings;
use crate::stage::{Eye, Show, Stage};
use crate::things;
use crate::world::merge::{Merger, Shadows, Wanted};
use crate::world::store::Store;
use bevy::gltf::GltfMaterialName;
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use bevy::world_serialization::WorldInstanceReady;
use crew::{Ppe, Seat};

/// A forearm with its hand: left or right.
#[derive(Component, Clone, Copy, PartialEq, Eq)]
enum Arm {
    Left,
    Right,
}

/// The upper arm that belongs to it.
#[derive(Component)]
struct Sleeve(Arm);

/// Where the elbow of the model of a right arm is, in its own frame, and how
/// thick and long the sleeve above it is, metres.
const ELBOW: Vec3 = Vec3::new(0.038, -0.035, 0.485);
const SLEEVE_M: [f32; 2] = [0.059, 0.34];

/// The glove of an arm; bare hands have another colour.
#[derive(Component)]
struct Glove(Handle<StandardMaterial>);

/// The colour of a bare hand.
#[derive(Resource)]
struct Bare(Handle<StandardMaterial>);

/// Own arms that are not bound to their parts yet.
#[derive(Component)]
struct Unbound;

fn put_up(
    stage: Res<Stage>,
    settings: Res<Settings>,
    assets: Res<AssetServer>,
    store: Res<Store>,
    mut yard: Local<u32>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    if stage.unbuilt(&mut yard).is_none() {
        return;
    }
    commands.insert_resource(Bare(materials.add(StandardMaterial {
        base_color: Color::srgb(0.66, 0.46, 0.36),
        perceptual_roughness: 0.6,
        ..default()
    })));
    let Some(model) = store.model(&assets, "arms", &settings) else {
        return;
    };
    commands
        .spawn((
            OfYard,
            WorldAssetRoot(model),
            Transform::default(),
            Visibility::default(),
        ))
        .observe(|on: On<WorldInstanceReady>, mut commands: Commands| {
            commands.entity(on.entity).insert(Unbound);
        });
}

/// Puts up the upper arms.
fn put_up_sleeves(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    let cloth = materials.add(StandardMaterial {
        base_color: suit(show.loaded.level.post),
        perceptual_roughness: 0.85,
        ..default()
    });
    let [radius, length] = SLEEVE_M;
    let sleeve = Capsule3d::new(radius, length)
        .mesh()
        .longitudes(14)
        .latitudes(6);
    let sleeve = meshes.add(sleeve);
    for arm in [Arm::Left, Arm::Right] {
        commands.spawn((
            OfYard,
            Sleeve(arm),
            Mesh3d(sleeve.clone()),
            MeshMaterial3d(cloth.clone()),
            NotShadowCaster,
            Visibility::Hidden,
            Transform::default(),
        ));
    }
}

/// Finds the parts of the arms: a left and a right one, whose palm is at its
/// origin and whose elbow lies towards +Z.
fn bind(
    stage: Res<Stage>,
    unbound: Query<Entity, With<Unbound>>,
    children: Query<&Children>,
    names: Query<&Name>,
    parts: Query<(&GltfMaterialName, &MeshMaterial3d<StandardMaterial>)>,
    mut commands: Commands,
    mut merger: Merger,
) {
    let Some(show) = &stage.show else { return };
    for root in &unbound {
        commands.entity(root).remove::<Unbound>();
        let mut arms = Vec::new();
        for part in children.iter_descendants(root) {
            match names.get(part).map(Name::as_str) {
                Ok("arm_l") => {
                    commands
                        .entity(part)
                        .insert((Arm::Left, Visibility::Hidden));
                    arms.push(part);
                }
                Ok("arm_r") => {
                    commands
                        .entity(part)
                        .insert((Arm::Right, Visibility::Hidden));
                    arms.push(part);
                }
                _ => {}
            }
            let Ok((name, material)) = parts.get(part) else {
                continue;
            };
            if is_glove(&name.0) {
                let glove = Glove(material.0.clone());
                commands.entity(part).insert((glove, NotShadowCaster));
            }
        }
        merger.merge(
            root,
            |e| arms.contains(&e),
            |name| match name {
                "m_suit" => Wanted::Coloured(suit(show.loaded.level.post)),
                name if is_glove(name) => Wanted::Apart,
                _ => Wanted::Merged,
            },
            Shadows::None,
        );
    }
}

fn is_glove(material: &str) -> bool {
    material.starts_with("m_glove")
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
        // Where the model has its grips.
        let up = side.cross(ahead);
        let right = grip - ahead * 0.047 - up * 0.093;
        let left = grip + ahead * 0.557 - side * 0.018 - up * 0.091;
        let stops = person.holding.and_then(|c| things::grip(show, c));
        return match stops {
            // One hand leaves the tool to stop something.
            Some(at) => [Some(at), Some(right)],
            None => [Some(left), Some(right)],
        };
    }
    if let Some(at) = person.holding.and_then(|c| things::grip(show, c)) {
        return [None, Some(at + Vec3::new(0.0, 0.0, 0.03))];
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
    bare: Option<Res<Bare>>,
    mut arms: Query<(&Arm, &mut Transform, &mut Visibility)>,
    mut sleeves: Query<(&Sleeve, &mut Transform, &mut Visibility), Without<Arm>>,
    mut gloves: Query<(&Glove, &mut MeshMaterial3d<StandardMaterial>)>,
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
        for (_, mut upper, mut visible) in sleeves.iter_mut().filter(|s| s.0.0 == *arm) {
            visible.set_if_neq(*visibility);
            if let Some((_, shoulder)) = shown {
                let aside = if n == 0 { -1.0 } else { 1.0 };
                let elbow = transform.transform_point(ELBOW * Vec3::new(aside, 1.0, 1.0));
                let up = (shoulder - elbow).normalize_or(Vec3::Y);
                *upper = Transform::from_translation(elbow + up * (0.5 * SLEEVE_M[1]))
                    .with_rotation(Quat::from_rotation_arc(Vec3::Y, up));
            }
        }
    }
    if let Some(bare) = bare
        && let Some((_, person)) = seat.and_then(|seat| show.person(seat))
    {
        let dressed = show.loaded.level.site.rack.is_none();
        let gloved = dressed || person.wears & Ppe::Gloves.bit() != 0;
        for (glove, mut material) in &mut gloves {
            let wanted = if gloved { &glove.0 } else { &bare.0 };
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
            (put_up, put_up_sleeves).in_set(LifeSystems::PutUp),
            (bind, hold).chain().in_set(LifeSystems::Move),
        ),
    );
}
