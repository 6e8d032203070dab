//! Water that leaves the line: the jet and what it throws back, the dump, the
//! bleed valve, the air cock.

use super::hose::Lies;
use super::puffs::{Puffs, hash, mesh, picture, scatter};
use super::spills::{self, Spilt};
use super::{JUMP_TICKS, LifeSystems, OfYard};
use crate::stage::{Eye, Show, Stage, point};
use bevy::camera::visibility::NoFrustumCulling;
use bevy::light::{NotShadowCaster, NotShadowReceiver};
use bevy::prelude::*;
use crew::{Control, TICKS_PER_SECOND, Tick};
use training::Level;
use yard::view::{JetView, Spread};

/// The quads of all water.
#[derive(Component)]
struct WaterMesh;

/// Water that has gathered on the ground, litres.
#[derive(Component, Default)]
struct Gathered {
    dump_l: f32,
    slab_l: f32,
    /// Below what the jet of a second tool meets, and where that is.
    second_l: f32,
    second_at: Vec3,
    spilt: Spilt,
    /// Until when.
    until: Option<Tick>,
}

fn put_up(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    if stage.unbuilt(&mut yard).is_none() {
        return;
    }
    let material = StandardMaterial {
        base_color_texture: Some(images.add(picture())),
        unlit: true,
        alpha_mode: AlphaMode::Blend,
        cull_mode: None,
        double_sided: true,
        fog_enabled: false,
        ..default()
    };
    commands.spawn((
        OfYard,
        WaterMesh,
        Gathered::default(),
        Mesh3d(meshes.add(mesh())),
        MeshMaterial3d(materials.add(material)),
        Transform::default(),
        NoFrustumCulling,
        NotShadowCaster,
        NotShadowReceiver,
    ));
}

/// Water, white with air.
const WHITE: [f32; 3] = [0.86, 0.90, 0.93];

pub(super) fn white(alpha: f32) -> [f32; 4] {
    [WHITE[0], WHITE[1], WHITE[2], alpha]
}

fn flow(
    stage: Res<Stage>,
    eye: Res<Eye>,
    lies: Res<Lies>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut water: Query<(&Mesh3d, &mut Gathered), With<WaterMesh>>,
) {
    let Some(show) = &stage.show else { return };
    for (handle, mut gathered) in &mut water {
        let Some(mut mesh) = meshes.get_mut(&handle.0) else {
            continue;
        };
        let mut puffs = Puffs::default();
        let eye = eye.transform();
        let t = (show.now.tick.0 as f32 + show.alpha) / TICKS_PER_SECOND as f32;
        // It is gathered by the yard's own time, so that a halt adds nothing and
        // a jump of the replay begins anew.
        let gone = gathered
            .until
            .and_then(|until| show.now.tick.0.checked_sub(until.0))
            .filter(|ticks| *ticks <= JUMP_TICKS);
        if gone.is_none() {
            *gathered = Gathered::default();
        }
        gathered.until = Some(show.now.tick);
        let dt = gone.unwrap_or(0) as f32 / TICKS_PER_SECOND as f32;
        let dump_l_s = 1000.0 * show.number(|f| f.machine.dump_m3_s).max(0.0);
        gathered.dump_l = (gathered.dump_l + dt * (dump_l_s - 0.02)).clamp(0.0, 12.0);
        let at_slab = show.now.jet.as_ref().filter(|j| j.spot.is_some());
        let slab_l_s = at_slab.map_or(0.0, |j| 1000.0 * j.flow_m3_s as f32);
        gathered.slab_l = (gathered.slab_l + dt * (slab_l_s - 0.02)).clamp(0.0, 12.0);
        let second = show.now.second.as_ref().and_then(|tool| tool.jet.as_ref());
        let second_l_s = second.map_or(0.0, |j| 1000.0 * j.flow_m3_s as f32);
        gathered.second_l = (gathered.second_l + dt * (second_l_s - 0.02)).clamp(0.0, 12.0);
        if let Some(at) = second.and_then(|jet| jet.meets) {
            gathered.second_at = point(at).with_y(0.0);
        }
        gathered.spilt.grow(show, dt);
        grounds(&mut puffs, show, &gathered);
        gathered.spilt.pools(&mut puffs, show, &lies);
        spills::draw(&mut puffs, show, &lies, t, &eye);
        machine(&mut puffs, &show.loaded.level, show, dump_l_s, t, &eye);
        for (tip, jet) in show.jets() {
            throw(&mut puffs, tip, jet, t, &eye);
        }
        puffs.into_mesh(&mut mesh);
    }
}

/// Water that runs clear: darker than what is light behind it.
pub(super) fn clear(alpha: f32) -> [f32; 4] {
    [0.22, 0.31, 0.38, alpha]
}

/// What wet ground looks like.
const WET: [f32; 3] = [0.045, 0.052, 0.058];

/// Water that has run together at a place of the ground.
pub(super) fn pool(puffs: &mut Puffs, at: Vec3, litres: f32) {
    if litres > 0.05 {
        let radius = 0.32 * litres.sqrt().min(3.0);
        for n in 0..5 {
            let off = scatter(900 + n) * Vec3::new(0.5, 0.0, 0.5) * radius;
            puffs.patch(
                at + off + Vec3::Y * (0.004 + 0.0006 * n as f32),
                radius * (0.7 + 0.5 * hash(950 + n)),
                [WET[0], WET[1], WET[2], 0.34],
            );
        }
    }
}

/// What has run together under the dump and below the slab.
fn grounds(puffs: &mut Puffs, show: &Show, gathered: &Gathered) {
    let level = &show.loaded.level;
    if let Some(outlet) = dump_outlet(level) {
        let below = Vec3::new(outlet.x, 0.0, outlet.z + 0.1);
        pool(puffs, below, gathered.dump_l);
    }
    pool(puffs, gathered.second_at, gathered.second_l);
    if let Some(surface) = &level.surface {
        let [rx, rz] = surface.right;
        let half = 0.5 * surface.size[0];
        let [x, _, z] = surface.corner;
        // Out of the face: to the left of its right edge, seen from above.
        let at = Vec3::new(
            (x + half * rx - 0.35 * rz) as f32,
            0.0,
            (z + half * rz + 0.35 * rx) as f32,
        );
        pool(puffs, at, gathered.slab_l);
    }
}

/// Where the dump lets go: under its lever, near the ground.
fn dump_outlet(level: &Level) -> Option<Vec3> {
    let at = point(level.site.control(Control::Dump)?);
    Some(Vec3::new(at.x, 0.18, at.z - 0.16))
}

/// A thick stream that falls from a pipe, and splashes where it comes down.
pub(super) fn falls(
    puffs: &mut Puffs,
    from: Vec3,
    ground_y: f32,
    flow_l_s: f32,
    t: f32,
    eye: &Transform,
) {
    let power = (flow_l_s / 0.6).min(1.6);
    let down = Vec3::new(from.x, ground_y, from.z);
    for n in 0..3 {
        let off = scatter(n) * 0.006;
        let wide = 0.012 + 0.016 * power;
        puffs.streak(from + off, down + off, [wide, wide * 1.5], white(0.75), eye);
    }
    let count = 12 + (34.0 * power) as u32;
    for n in 0..count {
        let age = (hash(n + 40) + t * 2.6).fract();
        let dir = scatter(n + 70) * Vec3::new(1.0, 0.0, 1.0);
        let rise = 0.5 * hash(n + 99) * power.min(1.0);
        let at = down
            + dir * (0.05 + 0.5 * age * power.min(1.2))
            + Vec3::Y * (rise * age - 0.45 * age * age).max(0.02);
        let alpha = 0.34 * (1.0 - age);
        puffs.puff(at, 0.03 + 0.16 * age, white(alpha), eye);
    }
}

fn machine(puffs: &mut Puffs, level: &Level, show: &Show, dump_l_s: f32, t: f32, eye: &Transform) {
    let machine = &show.now.machine;
    if let Some(at) = dump_outlet(level)
        && dump_l_s > 0.004
    {
        falls(puffs, at, 0.0, dump_l_s, t, eye);
    }
    if machine.bleed_runs
        && let Some(at) = level.site.control(Control::Bleed).map(point)
    {
        let from = Vec3::new(at.x, 0.20, at.z - 0.16);
        puffs.streak(
            from,
            from * Vec3::new(1.0, 0.0, 1.0),
            [0.006, 0.008],
            white(0.5),
            eye,
        );
        for n in 0..4 {
            let age = (hash(n + 5) + t * 3.0).fract();
            let off = scatter(n + 17) * Vec3::new(0.12, 0.0, 0.12) * age;
            puffs.puff(
                Vec3::new(from.x, 0.02, from.z) + off,
                0.02 + 0.03 * age,
                white(0.18 * (1.0 - age)),
                eye,
            );
        }
    }
    if machine.air_runs
        && let Some(at) = level.site.control(Control::AirBleed).map(point)
    {
        // A thin stream that falls in a bow before the panel.
        let from = at + Vec3::new(0.0, -0.045, 0.01);
        pour(
            puffs,
            from,
            Vec3::new(0.1, 0.2, 1.0).normalize(),
            0.7,
            0.05,
            t,
            eye,
        );
    }
    if machine.air_spits
        && let Some(at) = level.site.control(Control::AirBleed).map(point)
    {
        // It splutters: now hardly anything, now a burst.
        let burst = 0.25 + 0.75 * hash((t * 7.0) as u32 + 290);
        let spout = at + Vec3::new(0.0, -0.05, 0.015);
        for n in 0..20 {
            let age = (hash(n + 300) + t * 3.4).fract();
            let out = Vec3::new(0.0, -0.25, 0.22) + scatter(n + 310) * 0.16;
            let fall = Vec3::Y * (-0.3 * age * age);
            let colour = if n % 2 == 0 { clear } else { white };
            let alpha = 0.8 * burst * (1.0 - age);
            let drop = spout + out * 0.7 * age + fall;
            puffs.puff(drop, 0.012 + 0.03 * age, colour(alpha), eye);
            if n % 4 == 0 {
                puffs.streak(drop, drop + out * 0.12, [0.006, 0.004], clear(alpha), eye);
            }
        }
    }
}

/// A jet slower than this falls in a bow, metres per second.
pub(super) const SLOW_M_S: f32 = 18.0;

/// How much of a jet is drawn as one needle: it ends where the jet meets
/// something, however near that is.
fn core_m(core_m: f64, reach_m: f32) -> f32 {
    (core_m as f32).max(0.05).min(reach_m)
}

/// A jet is drawn no narrower than this, seen from the eye, radians.
const SEEN_RAD: f32 = 0.0018;
/// How much denser the haze of a single needle is than that of one of many.
const HAZE: f32 = 1.8;

fn throw(puffs: &mut Puffs, tip: Vec3, jet: &JetView, t: f32, eye: &Transform) {
    let ahead = point(jet.points).normalize_or(Vec3::X);
    let speed = jet.speed_m_s as f32;
    let flow_l_s = 1000.0 * jet.flow_m3_s as f32;
    if flow_l_s < 0.003 {
        return;
    }
    if speed < SLOW_M_S || jet.spread == Spread::Bare {
        pour(
            puffs,
            tip,
            ahead,
            speed.clamp(0.6, SLOW_M_S),
            flow_l_s,
            t,
            eye,
        );
        return;
    }
    let reach = jet.meets.map_or(7.0, |at| tip.distance(point(at)));
    let core = core_m(jet.core_m, reach);
    // From afar it is still seen as a line, and a needle that nothing leads about as the haze it becomes.
    let away = eye.translation.distance(tip);
    let wide = (3.2 * jet.diameter_m as f32)
        .clamp(0.0022, 0.012)
        .max(SEEN_RAD * away);
    let haze = if jet.spread == Spread::Round {
        HAZE
    } else {
        1.0
    };
    let side = ahead.any_orthonormal_vector();
    let up = ahead.cross(side);
    // The needles that make the jet up, each with its direction.
    let needles: Vec<(Vec3, f32)> = match jet.spread {
        Spread::Round | Spread::Bare => vec![(ahead, 1.0)],
        Spread::Fan { full_rad } => (0..9)
            .map(|n| {
                let turn = (n as f32 / 8.0 - 0.5) * full_rad as f32;
                ((ahead + side * turn.tan()).normalize(), 0.4)
            })
            .collect(),
        Spread::Cone { half_rad } => (0..7)
            .map(|n| {
                // It goes round faster than an eye follows: a shimmering cone.
                let turn = core::f32::consts::TAU * (n as f32 / 7.0 + (t * 23.0).fract());
                let off = side * turn.cos() + up * turn.sin();
                ((ahead + off * (half_rad as f32).tan()).normalize(), 0.42)
            })
            .collect(),
    };
    for (dir, strength) in &needles {
        let whole = core.min(reach);
        puffs.streak(
            tip,
            tip + *dir * whole,
            [wide, wide * 2.2],
            white(0.85 * strength),
            eye,
        );
        if reach > whole {
            // Behind the core it breaks up.
            let far = (reach - whole).min(4.0);
            puffs.streak(
                tip + *dir * whole * 0.8,
                tip + *dir * (whole + far),
                [wide * 2.4, wide * 2.4 + 0.05 * far],
                white(0.22 * haze * strength),
                eye,
            );
        }
    }
    let power = (jet.thrust_n as f32 / 160.0).clamp(0.1, 1.8);
    let mist = (26.0 * power) as u32 + 10;
    for n in 0..mist {
        let s = (hash(n + 1000) + t * (2.2 + hash(n + 1100))).fract();
        let dir = needles[n as usize % needles.len()].0;
        let far = s * reach.min(5.0);
        let off = scatter(n + 1200) * (0.006 + 0.05 * far);
        let alpha = haze * (0.05 + 0.05 * (far / core).min(1.5));
        puffs.puff(
            tip + dir * far + off,
            0.012 + 0.055 * far,
            white(alpha),
            eye,
        );
    }
    if let Some(meets) = jet.meets {
        let meets = point(meets);
        let normal = point(jet.normal).normalize_or(-ahead);
        rebound(puffs, meets, normal, ahead, power, t, eye);
    }
}

/// What is thrown back where a jet meets something.
fn rebound(
    puffs: &mut Puffs,
    meets: Vec3,
    normal: Vec3,
    ahead: Vec3,
    power: f32,
    t: f32,
    eye: &Transform,
) {
    let glance = (ahead - normal * ahead.dot(normal)) * 0.6;
    let count = 30 + (60.0 * power) as u32;
    for n in 0..count {
        let age = (hash(n + 2000) + t * (1.5 + 1.3 * hash(n + 2100))).fract();
        let spread = scatter(n + 2200);
        let along = spread - normal * spread.dot(normal);
        let dir = normal * (0.25 + 0.5 * hash(n + 2300)) + along * 0.75 + glance;
        let fall = Vec3::Y * (-0.5 * age * age);
        let at = meets + normal * 0.01 + dir * age * (0.25 + 0.45 * power) + fall;
        let alpha = 0.24 * (1.0 - age) * (1.0 - age);
        puffs.puff(at, 0.015 + 0.17 * age, white(alpha), eye);
    }
    for n in 0..(14.0 + 20.0 * power) as u32 {
        let age = (hash(n + 3000) + t * 3.1).fract();
        let spread = scatter(n + 3100);
        let along = (spread - normal * spread.dot(normal)).normalize_or_zero();
        let dir = along + normal * 0.22 * hash(n + 3200);
        let from = meets + normal * 0.012 + dir * age * 0.45;
        let to = from + dir * 0.07;
        puffs.streak(from, to, [0.003, 0.0015], white(0.5 * (1.0 - age)), eye);
    }
    // What runs down from there.
    for n in 0..(8.0 + 8.0 * power) as u32 {
        let age = (hash(n + 3500) + t * 0.9).fract();
        let spread = scatter(n + 3600);
        let along = (spread - normal * spread.dot(normal)) * Vec3::new(0.22, 0.04, 0.22);
        let from = meets + normal * 0.008 + along - Vec3::Y * (0.05 + 0.55 * age * age);
        let to = from - Vec3::Y * (0.05 + 0.08 * age);
        puffs.streak(from, to, [0.006, 0.004], clear(0.5 * (1.0 - age)), eye);
    }
    // The bright spot itself.
    puffs.puff(
        meets + normal * 0.015,
        0.035 + 0.02 * power,
        white(0.5),
        eye,
    );
}

/// A soft stream that falls in a bow.
pub(super) fn pour(
    puffs: &mut Puffs,
    tip: Vec3,
    ahead: Vec3,
    speed: f32,
    flow_l_s: f32,
    t: f32,
    eye: &Transform,
) {
    let wide = (0.016 * flow_l_s.sqrt() * (6.0 / speed).sqrt()).clamp(0.002, 0.03);
    let step = 0.035;
    let at = |s: f32| tip + ahead * speed * s - Vec3::Y * 4.905 * s * s;
    let mut s = 0.0;
    let mut n = 0;
    while at(s).y > 0.0 && n < 40 {
        let (from, to) = (at(s), at(s + step));
        let jitter = scatter(n + (t * 30.0) as u32) * 0.004 * n as f32 * 0.2;
        let grown = wide * (1.0 + 0.05 * n as f32);
        puffs.streak(
            from + jitter,
            to + jitter,
            [grown, grown * 1.05],
            clear(0.7),
            eye,
        );
        puffs.streak(
            from + jitter,
            to + jitter,
            [0.35 * grown, 0.35 * grown],
            white(0.8),
            eye,
        );
        s += step;
        n += 1;
    }
    let ground = at(s);
    let power = flow_l_s.sqrt().min(1.0);
    for n in 0..(8.0 + 24.0 * power) as u32 {
        let age = (hash(n + 4000) + t * 2.4).fract();
        let off = scatter(n + 4100) * Vec3::new(0.15, 0.0, 0.15) * (1.0 + 3.0 * power) * age;
        let rise = Vec3::Y * (0.02 + 0.12 * age * (1.0 - age));
        puffs.puff(
            Vec3::new(ground.x, 0.0, ground.z) + off + rise,
            0.015 + 0.11 * power * age,
            white(0.3 * (1.0 - age)),
            eye,
        );
    }
}

/// Sets up water.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            flow.in_set(LifeSystems::Move),
        ),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_needle_ends_at_what_it_meets_even_right_before_the_tip() {
        assert_eq!(core_m(0.4, 7.0), 0.4);
        assert_eq!(core_m(0.0, 7.0), 0.05);
        assert_eq!(core_m(0.4, 0.029), 0.029);
        assert_eq!(core_m(0.0, 0.0), 0.0);
    }
}
