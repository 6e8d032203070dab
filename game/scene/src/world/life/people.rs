//! The people of the yard, as others see them.

use super::bones::{Bones, Posture};
use super::second::pedal_sole;
use super::{LifeSystems, OfYard};
use crate::settings::Settings;
use crate::stage::{Show, Stage, point};
use crate::things::grip;
use crate::world::merge::{Merger, Shadows, Wanted};
use crate::world::store::Store;
use bevy::gltf::GltfMaterialName;
use bevy::prelude::*;
use bevy::world_serialization::WorldInstanceReady;
use crew::{Call, Ppe, Seat};
use yard::view::PersonView;

/// Somebody who is drawn.
#[derive(Component)]
struct Figure(Seat);

fn put_up(
    stage: Res<Stage>,
    settings: Res<Settings>,
    assets: Res<AssetServer>,
    store: Res<Store>,
    mut yard: Local<u32>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    let Some(model) = store.model(&assets, "worker", &settings) else {
        return;
    };
    for person in &show.now.people {
        commands
            .spawn((
                OfYard,
                Figure(person.seat),
                WorldAssetRoot(model.clone()),
                Transform::default(),
                Visibility::default(),
            ))
            .observe(bind);
    }
}

fn bind(
    on: On<WorldInstanceReady>,
    children: Query<&Children>,
    named: Query<(&Name, &Transform)>,
    figures: Query<&Figure>,
    mut commands: Commands,
    mut merger: Merger,
) {
    let named = children
        .iter_descendants(on.entity)
        .filter_map(|e| named.get(e).ok().map(|(name, t)| (e, name.as_str(), t)));
    if let Some(bones) = Bones::find(named) {
        commands.entity(on.entity).insert(bones);
    }
    let Ok(Figure(seat)) = figures.get(on.entity) else {
        return;
    };
    merger.merge(
        on.entity,
        |_| false,
        |name| match name {
            "m_suit" => Wanted::Coloured(suit(*seat)),
            // It is put on and taken off.
            name if piece(name).is_some() => Wanted::Apart,
            _ => Wanted::Merged,
        },
        Shadows::Thrown,
    );
}

/// The colour of the suit of each seat, so that they are told apart from afar.
pub fn suit(seat: Seat) -> Color {
    match seat {
        Seat::PUMP => Color::srgb(0.16, 0.38, 0.42),
        Seat::LANCE => Color::srgb(0.72, 0.50, 0.12),
        Seat::WATCH => Color::srgb(0.62, 0.66, 0.22),
        Seat::MATE => Color::srgb(0.52, 0.22, 0.18),
        _ => Color::srgb(0.33, 0.31, 0.36),
    }
}

/// The piece of equipment that a material belongs to.
fn piece(material: &str) -> Option<Ppe> {
    match material {
        "m_helmet" => Some(Ppe::Helmet),
        "m_visor" => Some(Ppe::Visor),
        "m_paint_accent" => Some(Ppe::EarDefenders),
        _ => None,
    }
}

fn dress(
    stage: Res<Stage>,
    figures: Query<(Entity, &Figure), With<Bones>>,
    children: Query<&Children>,
    mut parts: Query<(&GltfMaterialName, &mut Visibility)>,
) {
    let Some(show) = &stage.show else { return };
    for (entity, figure) in &figures {
        let Some((_, person)) = show.person(figure.0) else {
            continue;
        };
        for part in children.iter_descendants(entity) {
            if let Ok((name, mut visibility)) = parts.get_mut(part)
                && let Some(piece) = piece(&name.0)
            {
                // Where nothing is put on or taken off, everybody came dressed.
                let worn = show.loaded.level.site.rack.is_none() || person.wears & piece.bit() != 0;
                visibility.set_if_neq(if worn {
                    Visibility::Inherited
                } else {
                    Visibility::Hidden
                });
            }
        }
    }
}

/// Height of the hips of somebody who stands upright, metres.
const HIPS_M: f32 = 0.955;

/// Height of the middle of somebody who lies on the ground, metres.
const LYING_M: f32 = 0.16;

/// Height of the ankle of the model over the ground, metres.
const ANKLE_M: f32 = 0.09;

/// The lance is held beside the body, metres, with the left shoulder ahead,
/// radians: the drawn body makes room for it.
const BESIDE_M: f32 = 0.19;
const TWIST_RAD: f32 = 0.7;

/// Shoulders of the model, beside and above the hips; its arm to the palm, metres.
const SHOULDER_M: Vec2 = Vec2::new(0.195, 0.45);
const ARM_M: f32 = 0.53;

/// Whether somebody has the lance in the hands.
fn holds(show: &Show, person: &PersonView) -> bool {
    person.seat == Seat::LANCE && show.now.tool.in_hands && !person.fallen
}

/// How far to the right of the drawn body the lance is, with the way there.
pub(super) fn aside(show: &Show, person: &PersonView) -> Vec3 {
    if !holds(show, person) {
        return Vec3::ZERO;
    }
    let yaw = person.yaw_rad as f32;
    Vec3::new(yaw.sin(), 0.0, yaw.cos()) * BESIDE_M * show.now.tool.way as f32
}

/// Whoever presses the pedal of the second tool has a foot on it: the yard lets them do it from where
/// they stand beside it.
fn on_pedal(show: &Show, person: &PersonView, mut feet: [Vec3; 2]) -> [Vec3; 2] {
    let tool = show
        .now
        .second
        .as_ref()
        .filter(|_| person.seat == Seat::MATE);
    if let Some(tool) = tool.filter(|tool| tool.pressed > 0.0 && !person.fallen) {
        let to = pedal_sole(tool);
        let near = usize::from(feet[1].distance(to) < feet[0].distance(to));
        if feet[near].distance(to) < STEPS_OUT_M {
            feet[near] = feet[near].lerp(to, (4.0 * tool.pressed as f32).min(1.0));
        }
    }
    feet
}

/// How far somebody puts a foot out, metres.
const STEPS_OUT_M: f32 = 0.7;

fn posture(show: &Show, person: &PersonView, root: &Transform, feet: [Vec3; 2]) -> Posture {
    let to_figure = root.compute_affine().inverse();
    let own = |at: Vec3| to_figure.transform_point3(at);
    let feet = feet.map(|f| own(f) + Vec3::Y * ANKLE_M);
    let apart = (feet[0] - feet[1]).length();
    // Wide feet bring the hips down: the legs keep their length.
    let leg = 0.86_f32;
    let drop = leg - (leg * leg - 0.25 * apart * apart).max(0.1).sqrt();
    let mid = 0.5 * (feet[0] + feet[1]);
    let lean = Vec2::new(person.lean_rad[0] as f32, person.lean_rad[1] as f32);
    let hips = Vec3::new(
        mid.x + 0.4 * lean.y.sin(),
        HIPS_M - drop - 0.02,
        mid.z - 0.4 * lean.x.sin(),
    );
    let mut hands = [None, None];
    let mut twist = 0.0;
    let mut head = Vec2::new(0.0, person.pitch_rad as f32 * 0.6);
    if holds(show, person) {
        let tool = &show.now.tool;
        let grip = show.place(|f| f.tool.grip);
        let points = point(tool.points);
        // Where the model of the lance has its grips.
        let side = points.cross(Vec3::Y).normalize_or_zero();
        let up = side.cross(points);
        twist = TWIST_RAD * tool.way as f32;
        hands[1] = Some(own(grip - points * 0.047 - up * 0.093));
        // The left hand goes as far forward along the barrel as its arm allows.
        let shoulder = hips
            + Quat::from_rotation_x(-lean.x)
                * Quat::from_rotation_y(-twist)
                * Vec3::new(-SHOULDER_M.x, SHOULDER_M.y, 0.0);
        let foregrip = own(grip + points * 0.557 - side * 0.018 - up * 0.091);
        let barrel = |m: f32| own(grip + points * m - up * 0.02);
        hands[0] = core::iter::once(foregrip)
            .chain((0..=8).map(|n| barrel(0.5 - 0.05 * n as f32)))
            .find(|at| at.distance(shoulder) < ARM_M)
            .or(Some(barrel(0.1)));
    } else if let Some(control) = person.holding
        && let Some(at) = grip(show, control)
    {
        // The hand on whose side it is.
        let at = own(at);
        hands[usize::from(at.x > hips.x)] = Some(at);
    } else if person.working.is_some() {
        let tip = own(show.place(|f| f.tool.tip));
        hands = [
            Some(tip + Vec3::new(-0.05, 0.0, 0.0)),
            Some(tip + Vec3::new(0.05, 0.02, 0.0)),
        ];
        head.y = -0.5;
    }
    match person.saying {
        // Signals that stop go with the word.
        Some(Call::Dump | Call::AllStop) => {
            hands[0] = Some(hips + Vec3::new(-0.42, 0.86, -0.12));
        }
        Some(_) if hands[0].is_none() => {
            hands[0] = Some(hips + Vec3::new(-0.10, 0.42, -0.20));
        }
        _ => {}
    }
    Posture {
        feet,
        hips,
        lean: lean + Vec2::new(0.04, 0.0),
        twist,
        hands,
        head,
    }
}

fn stand(
    stage: Res<Stage>,
    mut figures: Query<(&Figure, &mut Transform, &mut Visibility, Option<&Bones>)>,
    mut bones: Query<&mut Transform, Without<Figure>>,
) {
    let Some(show) = &stage.show else { return };
    for (figure, mut root, mut visibility, skeleton) in &mut figures {
        let seat = figure.0;
        let Some((_, person)) = show.person(seat) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        let seen = stage.own != Some(seat) && skeleton.is_some();
        visibility.set_if_neq(if seen {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
        let Some(skeleton) = skeleton.filter(|_| seen) else {
            continue;
        };
        let n = show
            .now
            .people
            .iter()
            .position(|p| p.seat == seat)
            .unwrap_or(0);
        let feet =
            [0, 1].map(|f| show.place(|frame| frame.people.get(n).map_or([0.0; 3], |p| p.feet[f])));
        let yaw = show.angle(|frame| frame.people.get(n).map_or(0.0, |p| p.yaw_rad));
        let turn = Quat::from_rotation_y(yaw - core::f32::consts::FRAC_PI_2);
        let aside = aside(show, person);
        let feet = on_pedal(show, person, feet.map(|f| f - aside));
        let mid = 0.5 * (feet[0] + feet[1]);
        let ground = Vec3::new(mid.x, 0.0, mid.z);
        *root = if person.fallen {
            // On the way down, and then flat on the back; the hips stay where
            // the body's middle is.
            let com = show.place(|frame| frame.people.get(n).map_or([0.0; 3], |p| p.com));
            let down = (HIPS_M - com.y) / (HIPS_M - LYING_M);
            // It is slow to begin and quick to end, as the body has it.
            let down = down.clamp(0.0, 1.0).sqrt();
            let lying = turn * Quat::from_rotation_x(down * core::f32::consts::FRAC_PI_2);
            let hips = com.y.clamp(LYING_M, HIPS_M);
            let at = Vec3::new(com.x, hips, com.z) - lying * (Vec3::Y * HIPS_M);
            Transform::from_translation(at).with_rotation(lying)
        } else {
            Transform::from_translation(ground).with_rotation(turn)
        };
        let posture = if person.fallen {
            Posture {
                feet: [
                    Vec3::new(-0.16, ANKLE_M, -0.02),
                    Vec3::new(0.14, ANKLE_M + 0.12, -0.16),
                ],
                hips: Vec3::Y * HIPS_M,
                ..Posture::default()
            }
        } else {
            posture(
                show,
                person,
                &root,
                feet.map(|f| Vec3::new(f.x, f.y.min(0.5), f.z)),
            )
        };
        for (entity, to) in skeleton.pose(&posture) {
            if let Ok(mut bone) = bones.get_mut(entity) {
                *bone = to;
            }
        }
    }
}

/// Sets up people.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            (dress, stand).chain().in_set(LifeSystems::Move),
        ),
    );
}
