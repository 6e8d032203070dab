//! Whip restraints: slings over the couplings at both ends of the hose. Clipped they lie over the
//! coupling; loose they hang from the hose; and where a coupling has parted they hold its two
//! ends together, or hang torn.

use super::hose::{Lies, line, tube};
use super::{LifeSystems, OfYard};
use crate::leaks::along;
use crate::stage::{Show, Stage, point};
use crate::world::yards::colours::OCHRE;
use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::PrimitiveTopology;
use bevy::prelude::*;
use crew::Control;

/// Both slings.
#[derive(Component)]
struct Slings;

/// Radius of a sling, metres, and how far above the middle of the hose it lies.
const RADIUS_M: f32 = 0.009;
const OVER_M: f32 = 0.034;
/// Where it grips the hose, from the coupling, and how long it is, metres.
const GRIPS_M: f32 = 0.42;
const LONG_M: f32 = 0.75;
/// So far into the unit, and along the lance, its other end is fast, metres.
const FAST_M: f32 = 0.16;

fn put_up(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    let site = &show.loaded.level.site;
    if Control::RESTRAINTS
        .iter()
        .all(|c| site.control(*c).is_none())
    {
        return;
    }
    commands.spawn((
        OfYard,
        Slings,
        Mesh3d(meshes.add(empty())),
        MeshMaterial3d(materials.add(StandardMaterial {
            base_color: Color::Srgba(Srgba::from_u8_array([
                (OCHRE >> 16) as u8,
                (OCHRE >> 8) as u8,
                OCHRE as u8,
                255,
            ])),
            perceptual_roughness: 0.9,
            ..default()
        })),
        Transform::default(),
        NoFrustumCulling,
    ));
}

fn empty() -> Mesh {
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    )
}

/// A line that begins at a coupling and leads away from it.
fn from_coupling(lies: &[Vec3], at_pump: bool) -> Vec<Vec3> {
    let mut line = lies.to_vec();
    if !at_pump {
        line.reverse();
    }
    line
}

/// The middle line of the sling of one coupling.
fn sling(show: &Show, lies: &[Vec3], control: Control) -> Option<Vec<Vec3>> {
    show.loaded.level.site.control(control)?;
    let at_pump = control == Control::PumpRestraint;
    let hose = from_coupling(lies, at_pump);
    let (first, out) = (*hose.first()?, along(&hose, 0.05)?.1);
    let (grips, on, _) = along(&hose, GRIPS_M)?;
    let up = Vec3::Y * OVER_M;
    let torn = show.now.torn.iter().filter(|torn| torn.at_pump == at_pump);
    let stub_end = { torn.clone() }.find(|torn| !torn.of_hose);
    let holds = { torn }.any(|torn| torn.held);
    match (stub_end, show.share(control).unwrap_or(0.0) > 0.5) {
        // It holds the two ends together.
        (Some(stub), _) if holds => {
            let at = point(stub.at);
            Some(vec![at - 0.12 * point(stub.out), at, first, grips])
        }
        (None, true) => {
            let behind = first - out * FAST_M;
            let over = first + up + Vec3::Y * 0.012;
            let half = along(&hose, 0.5 * GRIPS_M)?.0 + up;
            Some(vec![behind + 0.4 * up, over, half, grips + up, grips])
        }
        // It hangs from the hose, as far as the ground lets it.
        _ => {
            let side = on.cross(Vec3::Y).normalize_or(Vec3::Z);
            let ground = grips.y.min(LONG_M) - 0.5 * RADIUS_M;
            let down = grips + side * 0.05 - Vec3::Y * ground;
            let left = (LONG_M - ground).max(0.1);
            Some(vec![
                grips + up,
                grips + side * 0.04,
                down + Vec3::Y * 0.02,
                down + side * (0.5 * left) + out * 0.1 + Vec3::Y * RADIUS_M,
            ])
        }
    }
}

fn lie(
    stage: Res<Stage>,
    lies: Res<Lies>,
    mut meshes: ResMut<Assets<Mesh>>,
    slings: Query<&Mesh3d, With<Slings>>,
) {
    let Some(show) = &stage.show else { return };
    for handle in &slings {
        let Some(mut mesh) = meshes.get_mut(&handle.0) else {
            continue;
        };
        let mut both = Control::RESTRAINTS
            .into_iter()
            .filter_map(|control| sling(show, &lies.line, control))
            .map(|points| tube(&line(&points, 4), RADIUS_M, empty()));
        let Some(mut all) = both.next() else { continue };
        for sling in both {
            if let Err(error) = all.merge(&sling) {
                bevy::log::error!("{error}");
            }
        }
        *mesh = all;
    }
}

/// Sets up the slings.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            lie.in_set(LifeSystems::Move),
        ),
    );
}
