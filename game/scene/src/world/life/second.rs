//! The second tool of a level that has one: the cocks at the unit follow hands, the gauge behind the
//! second shows what its line holds, and a lance clamped in a stand hangs on a hose of its own, with a pedal.

use super::hose::{self, COUPLING};
use super::lance::{self, NOZZLE_M, TIP_M, nozzle_model, pointing};
use super::{LifeSystems, OfYard};
use crate::settings::{Quality, Settings};
use crate::stage::{Show, Stage, point};
use crate::things::line_gauge_place;
use crate::world::cloth::Cloth;
use crate::world::kit::{Mason, Stuff};
use crate::world::merge::{Merger, Shadows, Wanted};
use crate::world::outlets;
use crate::world::store::Store;
use bevy::asset::RenderAssetUsages;
use bevy::light::NotShadowCaster;
use bevy::mesh::PrimitiveTopology;
use bevy::prelude::*;
use bevy::world_serialization::WorldInstanceReady;
use crew::Control;
use training::Level;
use yard::second::SecondView;
use yard::view::Spread;

/// What moves, and from where.
#[derive(Component)]
enum Moves {
    /// The lever of a cock.
    Lever(Control, Vec3),
    /// The needle of the gauge behind the second cock.
    Needle(Transform),
    /// The plate of the pedal, about its hinge.
    Pedal(Transform),
}

/// How far a pedal goes down, radians.
const PRESS_RAD: f32 = 0.22;
/// Height of the pedal's hinge, and length of its plate, metres.
const HINGE_M: f32 = 0.035;
const PLATE_M: f32 = 0.24;

/// How much of the lance lies before its clamp where the posts of the stand hold it, metres.
const POSTS_M: [f32; 2] = [0.30, 0.74];

/// The frame of the stand on the ground: the lance points along -z.
fn stand_frame(second: &SecondView) -> Transform {
    let (clamp, tip) = (point(second.clamp), point(second.tip));
    let ahead = (tip - clamp).with_y(0.0).normalize_or(Vec3::X);
    Transform::from_translation(clamp.with_y(0.0)).with_rotation(pointing(ahead))
}

/// The stand and what else stands or lies still at it, in its own frame; `clamp` and `tip` in it too.
fn stand(m: &mut Mason, clamp: Vec3, tip: Vec3) {
    let way = (tip - clamp).normalize_or(Vec3::NEG_Z);
    let held = POSTS_M.map(|far| clamp + way * far);
    let on_ground = |at: Vec3, y: f32| Vec3::new(0.0, y, at.z);
    m.of(Stuff::Paint, 0x54626a);
    let [near, far] = held;
    m.bar(
        on_ground(near, 0.05) + Vec3::Z * 0.25,
        on_ground(far, 0.05) - Vec3::Z * 0.12,
        0.035,
        10,
    );
    for at in held {
        let top = at - Vec3::Y * 0.03;
        m.bar(on_ground(at, 0.05), top, 0.030, 12);
        for side in [-1.0, 1.0] {
            let foot = on_ground(at, 0.03) + Vec3::X * 0.42 * side;
            m.bar(on_ground(at, 0.05), foot, 0.026, 10);
            m.bar(on_ground(at, 0.36 * at.y + 0.1), foot, 0.014, 8);
        }
    }
    m.bar(near - Vec3::Y * 0.28, far - Vec3::Y * 0.10, 0.016, 8);
    // Jaws about the barrel, with a screw on each side.
    let turn = Transform::from_rotation(Quat::from_rotation_arc(Vec3::NEG_Z, way));
    for at in held {
        m.within(turn.with_translation(at), |m| {
            m.of(Stuff::Paint, 0xb98a3a);
            m.rounded(Vec3::Y * 0.024, Vec3::new(0.075, 0.030, 0.062), 0.008);
            m.rounded(Vec3::NEG_Y * 0.024, Vec3::new(0.075, 0.030, 0.062), 0.008);
            m.of(Stuff::Steel, 0xb9bdb8);
            for side in [-0.029, 0.029] {
                let screw = Vec3::X * side;
                m.bar(screw - Vec3::Y * 0.045, screw + Vec3::Y * 0.052, 0.006, 6);
            }
        });
    }
    // Plates on the rail take the push.
    m.of(Stuff::Zinc, 0x8f999d);
    for n in 0..3_u8 {
        m.rounded(
            on_ground(near, 0.10 + 0.035 * f32::from(n)) + Vec3::Z * 0.14,
            Vec3::new(0.34, 0.032, 0.24),
            0.006,
        );
    }
}

/// The foot of the pedal and its guard, about its middle on the ground.
fn pedal_guard(m: &mut Mason) {
    m.of(Stuff::Rubber, 0x24282b);
    m.rounded(
        Vec3::new(0.0, 0.010, 0.0),
        Vec3::new(0.24, 0.02, 0.36),
        0.006,
    );
    m.of(Stuff::Paint, 0xb98a3a);
    // A hood over it: no chance step runs the jet.
    for side in [-1.0, 1.0] {
        m.rounded(
            Vec3::new(0.112 * side, 0.085, -0.03),
            Vec3::new(0.012, 0.15, 0.26),
            0.004,
        );
    }
    m.rounded(
        Vec3::new(0.0, 0.160, -0.06),
        Vec3::new(0.236, 0.012, 0.20),
        0.004,
    );
}

/// The plate of the pedal about its hinge: it lies towards +z, a little up.
fn pedal_plate(m: &mut Mason) {
    m.of(Stuff::Zinc, 0xaab2b4);
    let tilt = Transform::from_rotation(Quat::from_rotation_x(-PRESS_RAD));
    m.within(tilt, |m| {
        m.rounded(
            Vec3::new(0.0, 0.004, 0.5 * PLATE_M),
            Vec3::new(0.17, 0.012, PLATE_M),
            0.003,
        );
        m.of(Stuff::Rubber, 0x24282b);
        for n in 0..5_u8 {
            let z = PLATE_M * (0.2 + 0.16 * f32::from(n));
            m.block(Vec3::new(0.0, 0.012, z), Vec3::new(0.15, 0.006, 0.016));
        }
    });
}

/// Where the pedal stands: its plate comes up towards who works it.
fn pedal_frame(second: &SecondView) -> Transform {
    Transform {
        translation: point(second.pedal),
        ..stand_frame(second)
    }
}

/// Where the sole of who presses the pedal is, as far as it is down.
pub(super) fn pedal_sole(second: &SecondView) -> Vec3 {
    let rises = PRESS_RAD * (1.0 - second.pressed as f32);
    let on = Vec3::new(
        0.0,
        HINGE_M + 0.55 * PLATE_M * rises.sin() + 0.015,
        -0.10 + 0.55 * PLATE_M,
    );
    pedal_frame(second).transform_point(on)
}

/// The middle line of the second hose, from its cock to the tail of the lance.
fn middle_line(level: &Level, second: &SecondView) -> Vec<Vec3> {
    let lies: Vec<Vec3> = second.hose.iter().map(|at| point(*at)).collect();
    let mut line = outlets::led(level, Control::PedalOutlet, hose::line(&lies, LIES_PIECES));
    let (tail, clamp) = (point(second.tail), point(second.clamp));
    let back = (tail - clamp).normalize_or(Vec3::NEG_Z);
    let behind = tail + 0.26 * back - Vec3::Y * 0.06;
    if let Some(last) = line.last().copied() {
        // Up from the ground in a bow, and into the tail from behind.
        let out = (behind - tail).with_y(0.0);
        line.push(last.lerp(behind.with_y(0.0), 0.6).with_y(0.10) + 0.5 * out);
        line.push(behind + 0.5 * out - Vec3::Y * 0.38);
    }
    line.push(behind);
    line.push(tail);
    line
}

/// Pieces from one corner of its way to the next.
const LIES_PIECES: usize = 8;

/// A piece of several stuffs.
fn piece(
    commands: &mut Commands,
    meshes: &mut Assets<Mesh>,
    cloth: &Cloth,
    mason: Mason,
    mark: Option<Moves>,
) {
    let mut root = commands.spawn((OfYard, Transform::default(), Visibility::default()));
    if let Some(mark) = mark {
        root.insert(mark);
    }
    let root = root.id();
    for (stuff, mesh) in mason.meshes() {
        if let Some(material) = cloth.stuffs.get(&stuff) {
            commands.spawn((
                Mesh3d(meshes.add(mesh)),
                MeshMaterial3d(material.clone()),
                Transform::default(),
                ChildOf(root),
            ));
        }
    }
}

#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
fn put_up(
    stage: Res<Stage>,
    settings: Res<Settings>,
    cloth: Res<Cloth>,
    assets: Res<AssetServer>,
    store: Res<Store>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    let level = &show.loaded.level;
    let fine = settings.quality == Quality::High;
    let meshes = &mut *meshes;
    for control in Control::OUTLETS {
        let Some(at) = level.site.control(control).map(point) else {
            continue;
        };
        let mut m = Mason::of_small(fine);
        outlets::lever(&mut m);
        let mark = Moves::Lever(control, at);
        piece(&mut commands, meshes, &cloth, m, Some(mark));
    }
    if let Some(printed) = outlets::printed(level) {
        let material = StandardMaterial {
            base_color_texture: cloth.decals(),
            perceptual_roughness: 0.8,
            reflectance: 0.2,
            ..default()
        };
        commands.spawn((
            OfYard,
            NotShadowCaster,
            Mesh3d(meshes.add(printed)),
            MeshMaterial3d(materials.add(material)),
            Transform::default(),
        ));
    }
    let Some(second) = &show.now.second else {
        return;
    };
    if let Some(at) = line_gauge_place(level) {
        let mut m = Mason::of_small(fine);
        outlets::needle(&mut m);
        let mark = Moves::Needle(outlets::gauge_frame(at));
        piece(&mut commands, meshes, &cloth, m, Some(mark));
    }
    let line = middle_line(level, second);
    let mut m = Mason::of_small(fine);
    let frame = stand_frame(second);
    let inner = frame.compute_affine().inverse();
    let own = |at: Vec3| inner.transform_point3(at);
    m.within(frame, |m| {
        stand(m, own(point(second.clamp)), own(point(second.tip)));
    });
    m.within(pedal_frame(second), pedal_guard);
    m.of(Stuff::Steel, 0xb9bdb8);
    for (at, next) in [(0, 1), (line.len() - 1, line.len() - 2)] {
        let out = (line[at] - line[next]).normalize_or(Vec3::Y);
        let turn = Quat::from_rotation_arc(Vec3::Y, out);
        m.within(
            Transform::from_translation(line[at]).with_rotation(turn),
            |m| m.turned(&COUPLING, 16),
        );
    }
    let nozzle = level.equipment.second.as_ref().map(|tool| &tool.nozzle.jet);
    let spread = nozzle.map_or(Spread::Bare, Spread::of);
    let (tip, ahead) = (point(second.tip), points(second));
    let at_end = Transform::from_translation(tip - ahead * NOZZLE_M).with_rotation(pointing(ahead));
    if nozzle_model(spread).is_none() {
        m.within(at_end, lance::plain_nozzle);
    }
    piece(&mut commands, meshes, &cloth, m, None);
    let mut m = Mason::of_small(fine);
    pedal_plate(&mut m);
    let mut hinge = pedal_frame(second);
    hinge.translation = hinge.transform_point(Vec3::new(0.0, HINGE_M, -0.10));
    piece(&mut commands, meshes, &cloth, m, Some(Moves::Pedal(hinge)));
    // The hose lies where it lies.
    let mesh = Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    );
    let radius = 0.5 * second.outer_m as f32;
    let pieces = hose::pieces(settings.quality);
    commands.spawn((
        OfYard,
        Mesh3d(meshes.add(hose::tube(&hose::line(&line, pieces), radius, mesh))),
        MeshMaterial3d(materials.add(hose::cover())),
        Transform::default(),
    ));
    let at_clamp = Transform::from_translation(tip - ahead * TIP_M).with_rotation(pointing(ahead));
    for (name, at) in [(Some("lance"), at_clamp), (nozzle_model(spread), at_end)] {
        let Some(model) = name.and_then(|name| store.model(&assets, name, &settings)) else {
            continue;
        };
        commands
            .spawn((OfYard, WorldAssetRoot(model), at, Visibility::default()))
            .observe(|on: On<WorldInstanceReady>, mut merger: Merger| {
                merger.merge(on.entity, |_| false, |_| Wanted::Merged, Shadows::Thrown);
            });
    }
}

/// The way the lance in the stand points.
fn points(second: &SecondView) -> Vec3 {
    (point(second.tip) - point(second.clamp)).normalize_or(Vec3::X)
}

fn follow(stage: Res<Stage>, mut moving: Query<(&Moves, &mut Transform)>) {
    let Some(show) = &stage.show else { return };
    for (moves, mut transform) in &mut moving {
        *transform = match moves {
            Moves::Lever(control, at) => {
                let share = show.share(*control).unwrap_or(0.0);
                let turn = core::f32::consts::FRAC_PI_2 * share;
                Transform::from_translation(*at).with_rotation(Quat::from_rotation_y(turn))
            }
            Moves::Needle(frame) => {
                let pa = of_second(show, |second| second.pressure_pa);
                let turn = Quat::from_rotation_z(outlets::needle_rad(f64::from(pa)));
                frame.with_rotation(frame.rotation * turn)
            }
            Moves::Pedal(hinge) => {
                let down = PRESS_RAD * of_second(show, |second| second.pressed);
                hinge.with_rotation(hinge.rotation * Quat::from_rotation_x(down))
            }
        };
    }
}

/// A number of the second tool at the moment between the two pictures.
fn of_second(show: &Show, of: impl Fn(&SecondView) -> f64) -> f32 {
    show.number(|frame| frame.second.as_ref().map_or(0.0, &of))
}

/// Sets up the second tool.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            follow.in_set(LifeSystems::Move),
        ),
    );
}
