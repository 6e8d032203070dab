//! The yard on show, built from the tables and from its level.

use crate::flow::FrameSystems;
use crate::settings::{Quality, Settings};
use crate::stage::Stage;
use crate::things;
use crate::world::cloth::Cloth;
use crate::world::kit::{Mason, Stuff};
use crate::world::yards::{Put, What, Yard};
use crate::world::{goods, ground, parts, rack, works, yards};
use bevy::light::{NotShadowCaster, NotShadowReceiver};
use bevy::prelude::*;
use crew::{Control, Ppe};

/// All that belongs to the yard on show, and goes with it.
#[derive(Component)]
pub struct OfYard;

/// A thing that can be pushed about: its place in the level's list.
#[derive(Component)]
struct Pushed(usize);

/// The leaf of the barrier's gate.
#[derive(Component)]
struct Leaf;

/// How far the gate's leaf swings out, radians.
const SWING_RAD: f32 = 1.75;

fn build(m: &mut Mason, put: &Put, seed: u32) {
    let at = Vec3::new(put.at[0], 0.0, put.at[1]);
    // What goes to another point lies along x towards it.
    let towards = |to: [f32; 2]| {
        let way = Vec2::from(to) - Vec2::from(put.at);
        ((-way.y).atan2(way.x).to_degrees(), way.length())
    };
    match put.what {
        What::Fence(to)
        | What::Kerb(to)
        | What::Blocks(to, _)
        | What::Pipes(to)
        | What::Line(to) => {
            let (turn, length) = towards(to);
            m.place(at, turn, |m| match put.what {
                What::Fence(_) => works::fence(m, length, seed),
                What::Kerb(_) => goods::kerb(m, length),
                What::Blocks(_, courses) => works::blocks(m, length, courses, seed),
                What::Pipes(_) => goods::pipes(m, length),
                _ => goods::line(m, length),
            });
        }
        _ => m.place(at, put.turn, |m| standing(m, put.what, seed)),
    }
}

fn standing(m: &mut Mason, what: What, seed: u32) {
    match what {
        What::House {
            size,
            colour,
            brick,
            rise,
            openings,
        } => works::house(m, size, colour, brick, rise, openings),
        What::Hall {
            size,
            colour,
            openings,
        } => works::hall(m, size, colour, openings),
        What::Shelter(size) => works::shelter(m, size),
        What::Tank(radius, height) => works::tank(m, radius, height),
        What::Silo(radius, height) => works::silo(m, radius, height),
        What::Gate(width) => works::gate(m, width),
        What::Lamp(height) => goods::lamp(m, height),
        What::Tree(height) => goods::tree(m, height, seed),
        What::Hydrant => goods::hydrant(m),
        What::Drums(count, colour) => goods::drums(m, count, colour),
        What::Pallets(count) => goods::pallets(m, count),
        What::Caged => goods::caged(m),
        What::Hoses => goods::hoses(m),
        What::Cabinet => goods::cabinet(m),
        What::Bollard => goods::bollard(m),
        What::Skip => goods::skip(m),
        What::Stack => goods::stack(m),
        What::Sign(which) => goods::sign(m, which),
        What::Cone => goods::cone(m),
        What::Cart => goods::cart(m),
        What::Target(size) => goods::target(m, size),
        What::Grating(size) => goods::grating(m, size),
        What::Hatched(size) => goods::hatched(m, size),
        What::Fence(_) | What::Kerb(_) | What::Blocks(..) | What::Pipes(_) | What::Line(_) => {}
    }
}

/// What stands further than this from where people work is only seen from afar,
/// metres.
const FAR_M: f32 = 13.0;

fn is_far(put: &Put, level: &training::Level) -> bool {
    let at = Vec2::from(put.at);
    let away = |place: &[f64; 2]| at.distance(Vec2::from(place.map(|m| m as f32)));
    let mut places = level.site.places.iter().map(|(_, place)| away(place));
    places.all(|away_m| away_m > FAR_M)
}

/// Everything of a yard that stands still, and whether it throws shadows. Where
/// little can be drawn only what is near does.
pub fn meshes(
    yard: &Yard,
    level: &training::Level,
    lance: Vec3,
    fine: bool,
) -> Vec<(Stuff, Mesh, bool)> {
    let mut m = Mason::new(fine);
    let mut far = Mason::of_far(fine);
    for (n, put) in yard.things.iter().enumerate() {
        let m = if is_far(put, level) { &mut far } else { &mut m };
        build(m, put, yard.seed.wrapping_add(101 * n as u32));
    }
    parts::build(&mut m, level, lance);
    if let Some(unit) = level.site.walls.first() {
        let at = Vec3::new(unit.at[0] as f32, 0.0, unit.at[2] as f32);
        m.place(at, 0.0, |m| m.stands(Vec2::new(1.5, 0.6)));
    }
    ground::joints(&mut far, yard);
    ground::beyond(&mut far, yard);
    m.footprints.append(&mut far.footprints);
    let mut ground = ground::lay(yard, &m.footprints, fine);
    if !fine {
        for (_, mesh) in &mut ground {
            mesh.remove_attribute(Mesh::ATTRIBUTE_TANGENT);
        }
    }
    let with = |shadow: bool| move |(stuff, mesh)| (stuff, mesh, shadow);
    let mut found: Vec<_> = m.meshes().into_iter().map(with(true)).collect();
    found.extend(far.meshes().into_iter().map(with(fine)));
    found.extend(ground.into_iter().map(with(false)));
    found
}

fn spawn(
    commands: &mut Commands,
    meshes: &mut Assets<Mesh>,
    cloth: &Cloth,
    built: Vec<(Stuff, Mesh, bool)>,
    mut each: impl FnMut(&mut EntityCommands),
) {
    for (stuff, mesh, shadow) in built {
        let Some(material) = cloth.stuffs.get(&stuff) else {
            continue;
        };
        let mut piece = commands.spawn((
            Mesh3d(meshes.add(mesh)),
            MeshMaterial3d(material.clone()),
            Transform::default(),
        ));
        if !shadow || matches!(stuff, Stuff::Far | Stuff::Line | Stuff::Lamp) {
            piece.insert(NotShadowCaster);
        }
        if stuff == Stuff::Far {
            piece.insert(NotShadowReceiver);
        }
        each(&mut piece);
    }
}

/// A piece that moves by itself, in a frame of its own.
fn moving(
    commands: &mut Commands,
    meshes: &mut Assets<Mesh>,
    cloth: &Cloth,
    mark: impl Bundle,
    fine: bool,
    build: impl FnOnce(&mut Mason),
) {
    let mut m = Mason::of_small(fine);
    build(&mut m);
    let root = commands
        .spawn((OfYard, mark, Transform::default(), Visibility::default()))
        .id();
    let built = m.meshes().into_iter();
    let built = built.map(|(stuff, mesh)| (stuff, mesh, true)).collect();
    spawn(commands, meshes, cloth, built, |piece| {
        piece.insert(ChildOf(root));
    });
}

pub(super) fn put_up(
    mut commands: Commands,
    stage: Res<Stage>,
    settings: Res<Settings>,
    cloth: Res<Cloth>,
    mut meshes: ResMut<Assets<Mesh>>,
    old: Query<Entity, With<OfYard>>,
    mut shown: Local<Option<(u32, String, Quality)>>,
) {
    let Some(show) = &stage.show else { return };
    let level = &show.loaded.level;
    let wanted = (level.version, level.id.clone(), settings.quality);
    // The same yard put up again looks as it did.
    if shown.as_ref() == Some(&wanted) {
        return;
    }
    *shown = Some(wanted);
    for entity in &old {
        commands.entity(entity).despawn();
    }
    let yard = yards::of(&level.id);
    let fine = settings.quality == Quality::High;
    let meshes = &mut *meshes;
    spawn(
        &mut commands,
        meshes,
        &cloth,
        self::meshes(yard, level, crate::stage::point(show.now.tool.stand), fine),
        |piece| {
            piece.insert(OfYard);
        },
    );
    for (mesh, material) in [
        (ground::soaked(yard, fine), &cloth.damp),
        (ground::puddles(yard, fine), &cloth.puddle),
    ] {
        commands.spawn((
            OfYard,
            NotShadowCaster,
            Mesh3d(meshes.add(mesh)),
            MeshMaterial3d(material.clone()),
        ));
    }
    for (n, prop) in level.site.props.iter().enumerate() {
        let size = Vec3::from(prop.size.map(|edge| edge as f32));
        moving(&mut commands, meshes, &cloth, Pushed(n), fine, |m| {
            m.within(Transform::from_xyz(0.0, -0.5 * size.y, 0.0), |m| {
                if prop.id.starts_with("cone") {
                    goods::cone(m);
                } else {
                    m.of(Stuff::Wood, 0xb39a78);
                    m.rounded(Vec3::Y * 0.5 * size.y, size, 0.01);
                }
            });
        });
    }
    for item in Ppe::ALL {
        let Some(at) = things::ppe_place(level, item) else {
            continue;
        };
        moving(
            &mut commands,
            meshes,
            &cloth,
            rack::Hangs(item),
            fine,
            |m| m.within(Transform::from_translation(at), |m| rack::build(m, item)),
        );
    }
    if let Some(hinge) = parts::hinge(level) {
        moving(
            &mut commands,
            meshes,
            &cloth,
            (Leaf, Hinge(hinge)),
            fine,
            parts::leaf,
        );
    }
}

/// Where the gate's leaf turns.
#[derive(Component)]
struct Hinge(Vec3);

fn moved(
    stage: Res<Stage>,
    mut pushed: Query<(&Pushed, &mut Transform), Without<Leaf>>,
    mut leaves: Query<(&Hinge, &mut Transform), With<Leaf>>,
) {
    let Some(show) = &stage.show else { return };
    for (Pushed(n), mut transform) in &mut pushed {
        let Some(prop) = show.loaded.level.site.props.get(*n) else {
            continue;
        };
        let of = |frame: &yard::ViewFrame| {
            let found = frame.props.iter().find(|(name, ..)| *name == prop.id);
            found.map(|(_, at, turn)| {
                let [x, y, z, w] = turn.map(|n| n as f32);
                (
                    crate::stage::point(*at),
                    Quat::from_xyzw(x, y, z, w).normalize(),
                )
            })
        };
        if let (Some((from, turn)), Some((to, turned))) = (of(&show.before), of(&show.now)) {
            transform.translation = from.lerp(to, show.alpha);
            transform.rotation = turn.slerp(turned, show.alpha);
        }
    }
    let closed = show.share(Control::Barrier).unwrap_or(1.0);
    for (hinge, mut transform) in &mut leaves {
        transform.translation = hinge.0;
        transform.rotation = Quat::from_rotation_y(-SWING_RAD * (1.0 - closed));
    }
}

/// Sets up the yard.
pub fn plugin(app: &mut App) {
    app.add_systems(Update, (put_up, moved).chain().in_set(FrameSystems::Show));
}
