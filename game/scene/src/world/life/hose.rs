//! The hose, from the pump to the tool, or to wherever its loose ends lie.

use super::{LifeSystems, OfYard};
use crate::leaks::unit_foot;
use crate::settings::{Quality, Settings};
use crate::stage::{Show, Stage, point};
use crate::world::cloth::Cloth;
use crate::world::kit::{Mason, Stuff};
use crate::world::outlets;
use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use crew::Control;

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
    let torn = &show.now.torn;
    if torn.iter().any(|torn| torn.of_hose && torn.at_pump) {
        return lying.collect();
    }
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
    /// Its middle line from the pump to the tool.
    pub line: Vec<Vec3>,
}

fn arrange(stage: Res<Stage>, mut lies: ResMut<Lies>) {
    if let Some(show) = &stage.show {
        lies.line = nodes(show);
    }
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
    for (end, mut transform) in &mut couplings {
        let along = match (end, lies.line.as_slice()) {
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
            let show = stage.show.iter();
            for stub in show.flat_map(|show| &show.now.stubs) {
                let stub: Vec<Vec3> = stub.iter().map(|at| point(*at)).collect();
                if let Err(error) = mesh.merge(&tube(&line(&stub, pieces), RADIUS_M, empty())) {
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
    fn a_tube_has_a_ring_at_each_point() {
        let mesh = Mesh::new(
            PrimitiveTopology::TriangleList,
            RenderAssetUsages::default(),
        );
        let mesh = tube(&[Vec3::ZERO, Vec3::X, Vec3::X * 2.0], RADIUS_M, mesh);
        assert_eq!(mesh.count_vertices(), 3 * SIDES);
    }
}
