//! The hose, from the pump to the tool, or to where it has parted.

use super::{LifeSystems, OfYard};
use crate::leaks::{along, length_m, unit_foot};
use crate::settings::{Quality, Settings};
use crate::stage::{Show, Stage, point};
use crate::world::cloth::Cloth;
use crate::world::kit::{Mason, Stuff};
use crate::world::outlets;
use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use crew::{Control, TICKS_PER_SECOND, Tick};

/// The tube.
#[derive(Component)]
struct Tube;

/// What joins an end of the hose: at the pump, or at the tool.
#[derive(Component, Clone, Copy, PartialEq, Eq)]
enum Coupling {
    Pump,
    Tool,
}

/// Ferrule and nut of a coupling: radius and height along the hose.
pub(super) const COUPLING: [(f32, f32); 10] = [
    (0.0, -0.115),
    (0.0165, -0.115),
    (0.0175, -0.105),
    (0.0175, -0.035),
    (0.021, -0.03),
    (0.027, -0.026),
    (0.027, 0.022),
    (0.023, 0.026),
    (0.023, 0.034),
    (0.0, 0.034),
];

/// Outer radius of the hose as it is drawn, metres: a 13 mm bore with its
/// layers of wire and its cover.
const RADIUS_M: f32 = 0.0125;

/// Corners of its section.
const SIDES: usize = 8;

/// Pieces from one node to the next.
pub(super) fn pieces(quality: Quality) -> usize {
    match quality {
        Quality::High => 4,
        Quality::Low => 2,
    }
}

fn put_up(
    stage: Res<Stage>,
    settings: Res<Settings>,
    cloth: Res<Cloth>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    if stage.unbuilt(&mut yard).is_none() {
        return;
    }
    let mesh = Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    );
    commands.spawn((
        OfYard,
        Tube,
        Mesh3d(meshes.add(tube(&line(&stage_line(&stage), 1), RADIUS_M, mesh))),
        MeshMaterial3d(materials.add(cover())),
        Transform::default(),
        NoFrustumCulling,
    ));
    let mut mason = Mason::new(settings.quality == Quality::High);
    mason.of(Stuff::Steel, 0xb9bdb8);
    mason.turned(&COUPLING, 16);
    for (stuff, mesh) in mason.meshes() {
        let (mesh, material) = (meshes.add(mesh), cloth.stuffs.get(&stuff));
        let Some(material) = material else { continue };
        for end in [Coupling::Pump, Coupling::Tool] {
            commands.spawn((
                OfYard,
                end,
                Mesh3d(mesh.clone()),
                MeshMaterial3d(material.clone()),
                Transform::default(),
            ));
        }
    }
}

/// What the cover of a hose looks like.
pub(super) fn cover() -> StandardMaterial {
    StandardMaterial {
        base_color: Color::srgb(0.055, 0.06, 0.065),
        perceptual_roughness: 0.42,
        reflectance: 0.45,
        ..default()
    }
}

fn stage_line(stage: &Stage) -> Vec<Vec3> {
    stage.show.as_ref().map(nodes).unwrap_or_default()
}

fn nodes(show: &Show) -> Vec<Vec3> {
    let (before, now) = (&show.before.hose, &show.now.hose);
    let lying = now.iter().enumerate().map(|(n, at)| {
        let at = point(*at);
        let was = before.get(n).map_or(at, |w| point(*w));
        was.lerp(at, show.alpha)
    });
    // Its beginning leads from where it is drawn to where the yard has it.
    let level = &show.loaded.level;
    if level.site.control(Control::LanceOutlet).is_some() {
        return outlets::led(level, Control::LanceOutlet, lying.collect());
    }
    let led = outlet(show);
    let skipped = if led.is_some() { 2 } else { 0 };
    led.into_iter()
        .flatten()
        .chain(lying.skip(skipped))
        .collect()
}

/// The hose as it is drawn at this moment.
#[derive(Resource, Default)]
pub(super) struct Lies {
    /// Its middle line from the pump to the tool, or to where it has parted.
    pub line: Vec<Vec3>,
    /// What hangs on the tool where it has parted, from the torn end on.
    pub stub: Vec<Vec3>,
    /// How long ago it parted, seconds; nothing while it is whole.
    pub parted_s: Option<f32>,
    /// The moment it was last worked out for.
    pub until: Option<Tick>,
}

/// The piece that stays on the tool when the hose parts at its end, metres.
const STUB_M: f32 = 0.45;
/// So much before the torn end goes down to the ground, metres, and how long that
/// takes, seconds.
const DROPS_M: f32 = 1.6;
const DROP_S: f32 = 0.45;
/// How far water makes a torn end swing, metres, at the flow that makes it swing
/// most, cubic metres per second, and how often, radians per second.
const SWING_M: f32 = 0.22;
const SWING_M3_S: f32 = 8e-4;
const SWING_RAD_S: f32 = 9.0;
/// A hose that was not seen to part has parted long ago, seconds.
const LONG_AGO_S: f32 = 60.0;

fn arrange(stage: Res<Stage>, mut lies: ResMut<Lies>) {
    let Some(show) = &stage.show else { return };
    let lies = &mut *lies;
    let tick = show.now.tick;
    let gone_s = lies
        .until
        .and_then(|until| tick.0.checked_sub(until.0))
        .filter(|ticks| *ticks <= super::JUMP_TICKS)
        .map(|ticks| ticks as f32 / TICKS_PER_SECOND as f32);
    lies.until = Some(tick);
    lies.parted_s = match (show.now.machine.hose_parted, gone_s, lies.parted_s) {
        (false, ..) => None,
        (true, None, _) => Some(LONG_AGO_S),
        (true, Some(_), None) => Some(0.0),
        (true, Some(gone_s), Some(was_s)) => Some(was_s + gone_s),
    };
    lies.line = nodes(show);
    lies.stub.clear();
    if let Some(parted_s) = lies.parted_s {
        let at_s = (tick.0 as f32 + show.alpha) / TICKS_PER_SECOND as f32;
        let swings = show.number(|f| f.machine.torn_m3_s) / SWING_M3_S;
        let swing_m = SWING_M * swings.clamp(0.0, 1.0) * (SWING_RAD_S * at_s).sin();
        lies.stub = part(&mut lies.line, (parted_s / DROP_S).min(1.0), swing_m);
    }
}

/// Parts a line near its end, as far as its pieces have come down by then, and gives
/// what hangs on the tool. The torn end swings to the side.
fn part(line: &mut Vec<Vec3>, down: f32, swing_m: f32) -> Vec<Vec3> {
    let length = length_m(line);
    let Some((torn, _, before)) = along(line, length - STUB_M) else {
        return Vec::new();
    };
    let tool = line[line.len() - 1];
    let mut stub = vec![torn];
    stub.extend(line.drain(before..));
    line.push(torn);
    // It hangs down from the tool, as far as the ground lets it.
    let mut far = length_m(&stub);
    for n in 0..stub.len() - 1 {
        let next = stub[n].distance(stub[n + 1]);
        let hangs = tool - Vec3::Y * far;
        stub[n] = stub[n].lerp(
            Vec3::new(hangs.x, hangs.y.max(RADIUS_M), hangs.z),
            0.8 * down,
        );
        far -= next;
    }
    let mut far = 0.0;
    for n in (0..line.len()).rev() {
        let at = line[n];
        if far > DROPS_M {
            break;
        }
        let near = 1.0 - far / DROPS_M;
        let before = line[n.saturating_sub(1)];
        far += at.distance(before);
        let side = (at - before).cross(Vec3::Y).normalize_or_zero();
        let soft = near * near * (3.0 - 2.0 * near);
        let low = at.y + (RADIUS_M - at.y) * down * (2.0 * soft).min(1.0);
        line[n] = Vec3::new(at.x, low, at.z) + side * swing_m * near * near;
    }
    stub
}

/// The outlet of the unit as it is modelled, seen from the middle of its
/// footprint; the hose leaves it towards the operator.
const OUTLET: Vec3 = Vec3::new(1.1, 0.14, 0.65);

/// Where the hose leaves a unit with one outlet: the yard has its end some way above.
fn outlet(show: &Show) -> Option<[Vec3; 2]> {
    let at = unit_foot(&show.loaded.level)? + OUTLET;
    Some([at, at + Vec3::new(0.0, 0.03, 0.16)])
}

/// A smooth line through some points.
pub(super) fn line(nodes: &[Vec3], pieces: usize) -> Vec<Vec3> {
    let mut line = Vec::new();
    for n in 0..nodes.len().saturating_sub(1) {
        let at = |k: isize| {
            let place = (n as isize + k).clamp(0, nodes.len() as isize - 1);
            nodes[place as usize]
        };
        let (a, b, c, d) = (at(-1), at(0), at(1), at(2));
        for piece in 0..pieces {
            let s = piece as f32 / pieces as f32;
            let (s2, s3) = (s * s, s * s * s);
            line.push(
                0.5 * (2.0 * b
                    + (c - a) * s
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * s2
                    + (3.0 * b - a - 3.0 * c + d) * s3),
            );
        }
    }
    line.extend(nodes.last());
    line
}

/// The mesh of a tube along a line.
pub(super) fn tube(line: &[Vec3], radius: f32, mut mesh: Mesh) -> Mesh {
    let rings = line.len();
    let mut positions = Vec::with_capacity(rings * SIDES);
    let mut normals = Vec::with_capacity(rings * SIDES);
    for n in 0..rings {
        let ahead = line[(n + 1).min(rings - 1)] - line[n.saturating_sub(1)];
        let ahead = ahead.normalize_or(Vec3::X);
        let side = ahead.cross(Vec3::Y).normalize_or(Vec3::Z);
        let up = side.cross(ahead);
        // It lies on the ground and not in it.
        let middle = Vec3::new(line[n].x, line[n].y.max(radius), line[n].z);
        for k in 0..SIDES {
            let turn = core::f32::consts::TAU * k as f32 / SIDES as f32;
            let out = side * turn.cos() + up * turn.sin();
            positions.push((middle + out * radius).to_array());
            normals.push(out.to_array());
        }
    }
    let mut indices = Vec::with_capacity(rings * SIDES * 6);
    for n in 0..rings.saturating_sub(1) {
        for k in 0..SIDES {
            let [a, b] = [n * SIDES + k, n * SIDES + (k + 1) % SIDES];
            let [c, d] = [a + SIDES, b + SIDES];
            indices.extend([a, b, c, b, d, c].map(|i| i as u32));
        }
    }
    mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, positions);
    mesh.insert_attribute(Mesh::ATTRIBUTE_NORMAL, normals);
    mesh.insert_indices(Indices::U32(indices));
    mesh
}

fn lie(
    stage: Res<Stage>,
    settings: Res<Settings>,
    lies: Res<Lies>,
    mut meshes: ResMut<Assets<Mesh>>,
    tubes: Query<&Mesh3d, With<Tube>>,
    mut couplings: Query<(&Coupling, &mut Transform)>,
) {
    if stage.show.is_none() {
        return;
    }
    let at_tool = if lies.stub.len() > 1 {
        &lies.stub
    } else {
        &lies.line
    };
    for (end, mut transform) in &mut couplings {
        let of = match end {
            Coupling::Pump => &lies.line,
            Coupling::Tool => at_tool,
        };
        let along = match (end, of.as_slice()) {
            (Coupling::Pump, [last, before, ..]) | (Coupling::Tool, [.., before, last]) => {
                Some((*last, *last - *before))
            }
            _ => None,
        };
        if let Some((at, out)) = along {
            transform.translation = Vec3::new(at.x, at.y.max(0.027), at.z);
            transform.rotation = Quat::from_rotation_arc(Vec3::Y, out.normalize_or(Vec3::Y));
        }
    }
    for handle in &tubes {
        if let Some(mut mesh) = meshes.get_mut(&handle.0) {
            let empty = || {
                Mesh::new(
                    PrimitiveTopology::TriangleList,
                    RenderAssetUsages::default(),
                )
            };
            let pieces = pieces(settings.quality);
            *mesh = tube(&line(&lies.line, pieces), RADIUS_M, empty());
            if lies.stub.len() > 1 {
                let stub = tube(&line(&lies.stub, pieces), RADIUS_M, empty());
                if let Err(error) = mesh.merge(&stub) {
                    bevy::log::error!("{error}");
                }
            }
        }
    }
}

/// Sets up the hose.
pub fn plugin(app: &mut App) {
    app.init_resource::<Lies>().add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            arrange.in_set(LifeSystems::Arrange),
            lie.in_set(LifeSystems::Move),
        ),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smooth_line_goes_through_its_points() {
        let nodes = [Vec3::ZERO, Vec3::X, Vec3::new(2.0, 0.0, 1.0)];
        let line = line(&nodes, 4);
        assert_eq!(line.len(), 9);
        for (n, node) in nodes.iter().enumerate() {
            assert!(line[4 * n].distance(*node) < 1e-5);
        }
    }

    #[test]
    fn a_hose_that_parts_goes_down_on_both_sides_of_the_tear() {
        let along: Vec<Vec3> = (0..=12)
            .map(|n| {
                Vec3::new(
                    0.5 * n as f32,
                    if n > 8 { 0.25 * (n - 8) as f32 } else { 0.0 },
                    0.0,
                )
            })
            .collect();
        let mut line = along.clone();
        let stub = part(&mut line, 1.0, 0.0);
        let (torn, tool) = (line[line.len() - 1], along[12]);
        assert!((torn.y - RADIUS_M).abs() < 1e-4, "{torn}");
        assert_eq!(stub[stub.len() - 1], tool);
        // It hangs below the tool.
        let end = stub[0];
        assert!(
            end.y < tool.y - 0.3 && (end.x - tool.x).abs() < 0.15,
            "{end}"
        );
        // What lies far from the tear stays where it was.
        assert_eq!(line[..5], along[..5]);
        // At the very beginning nothing has moved yet.
        let mut line = along.clone();
        let stub = part(&mut line, 0.0, 0.0);
        assert!(stub[0].distance(line[line.len() - 1]) < 1e-5);
    }

    #[test]
    fn a_tube_has_a_ring_at_each_point() {
        let mesh = Mesh::new(
            PrimitiveTopology::TriangleList,
            RenderAssetUsages::default(),
        );
        let mesh = tube(&[Vec3::ZERO, Vec3::X, Vec3::X * 2.0], RADIUS_M, mesh);
        assert_eq!(mesh.count_vertices(), 3 * SIDES);
    }
}
