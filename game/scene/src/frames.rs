//! How quickly this machine draws: the yards at work, against a bare scene of
//! the engine, without a window.

use crate::app::{Opening, offscreen_with};
use crate::device::Machine;
use crate::flow::Bare;
use crate::settings::Quality;
use crate::shots;
use crate::world::Canvas;
use crate::world::budget::{Cost, count as count_cost};
use bevy::camera::RenderTarget;
use bevy::prelude::*;
use bevy::render::render_resource::PollType;
use bevy::render::renderer::{RenderAdapterInfo, RenderDevice, RenderQueue};
use bevy::render::settings::RenderCreation;
use bevy::render::{Render, RenderApp, RenderSystems};
use bevy::time::TimeUpdateStrategy;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// What was measured of a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What was drawn.
    pub name: String,
    /// Number of pictures.
    pub count: usize,
    /// Half of the pictures took less, milliseconds.
    pub median_ms: f64,
    /// 99 of 100 took less, milliseconds.
    pub p99_ms: f64,
    /// The longest, milliseconds.
    pub worst_ms: f64,
    /// Pieces and triangles that were in view.
    pub cost: Cost,
}

/// All that was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Frames {
    /// What drew.
    pub adapter: String,
    /// Size of a picture.
    pub size: (u32, u32),
    /// How much was drawn.
    pub quality: Quality,
    /// The bare scene first, then the yards.
    pub scenes: Vec<Measured>,
}

/// Pictures that were handed to the adapter, and those that it is done with.
#[derive(Default)]
struct Handed {
    over: usize,
    done: Arc<AtomicUsize>,
}

/// How long to wait before the adapter is asked again.
const ASK: Duration = Duration::from_micros(50);

/// Waits until the adapter is done with the picture before this one. So one
/// picture at most is on its way, as behind a window, and the time from one to
/// the next is that of whoever takes longer: processor or adapter.
fn keep_up(device: Res<RenderDevice>, queue: Res<RenderQueue>, mut handed: Local<Handed>) {
    handed.over += 1;
    let (over, done) = (handed.over, handed.done.clone());
    queue.on_submitted_work_done(move || {
        done.fetch_max(over, Ordering::Relaxed);
    });
    while handed.done.load(Ordering::Relaxed) + 1 < over {
        if device.poll(PollType::Poll).is_err() {
            return;
        }
        std::thread::sleep(ASK);
    }
}

fn timed(app: &mut App, name: &str, count: usize) -> Measured {
    let mut times_ms: Vec<f64> = (0..count)
        .map(|_| {
            let began = Instant::now();
            app.update();
            1000.0 * began.elapsed().as_secs_f64()
        })
        .collect();
    times_ms.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = (share * count as f64).ceil() as usize;
        times_ms[place.clamp(1, count) - 1]
    };
    Measured {
        name: name.to_owned(),
        count,
        median_ms: at(0.5),
        p99_ms: at(0.99),
        worst_ms: at(1.0),
        cost: count_cost(app.world_mut()),
    }
}

fn keeping_up(app: &mut App) {
    app.insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(
        1.0 / 60.0,
    )));
    if let Some(render) = app.get_sub_app_mut(RenderApp) {
        render.add_systems(Render, keep_up.in_set(RenderSystems::Cleanup));
    }
}

/// What the engine needs at the least, just as it comes: forty-two boxes under
/// one light.
fn bare(opening: Opening, (width, height): (u32, u32), count: usize) -> (String, Measured) {
    let mut app = crate::app::canvas(&opening.library, width, height, RenderCreation::default());
    keeping_up(&mut app);
    app.finish();
    app.cleanup();
    let canvas = app.world().resource::<Canvas>().0.clone();
    let world = app.world_mut();
    let cube = world
        .resource_mut::<Assets<Mesh>>()
        .add(Cuboid::from_length(0.8));
    let paint = world
        .resource_mut::<Assets<StandardMaterial>>()
        .add(Color::srgb(0.5, 0.55, 0.5));
    world.spawn((
        Camera3d::default(),
        Msaa::Off,
        RenderTarget::Image(canvas.into()),
        Transform::from_xyz(0.0, 4.0, 9.0).looking_at(Vec3::ZERO, Vec3::Y),
    ));
    world.spawn((
        DirectionalLight::default(),
        Transform::from_xyz(3.0, 6.0, 2.0).looking_at(Vec3::ZERO, Vec3::Y),
    ));
    for n in 0_u8..42 {
        let (x, z) = (f32::from(n % 7) - 3.0, f32::from(n / 7) - 3.0);
        world.spawn((
            Mesh3d(cube.clone()),
            MeshMaterial3d(paint.clone()),
            Transform::from_xyz(1.2 * x, 0.0, 1.2 * z),
        ));
    }
    for _ in 0..30.min(count) {
        app.update();
    }
    let adapter = app
        .world()
        .get_resource::<RenderAdapterInfo>()
        .map(|info| info.name.clone())
        .unwrap_or_default();
    (adapter, timed(&mut app, "bare", count))
}

/// Measures. `folder` takes the attempts that are played for it, and loses them
/// again.
///
/// # Errors
/// An attempt could not be made, in words.
pub fn measure(
    opening: impl Fn() -> Opening,
    folder: &Path,
    size: (u32, u32),
    quality: Quality,
    count: usize,
) -> Result<Frames, String> {
    let (adapter, bare) = bare(opening(), size, count);
    let mut scenes = vec![bare];
    let mut with = opening();
    with.settings.quality = quality;
    with.slowly = quality == Quality::Low;
    let played = shots::models(&with, folder, &[])?;
    let mut app = offscreen_with(with, size.0, size.1, keeping_up);
    for (n, name, at_s) in [(0, "yard_01", 350.0), (1, "yard_02", 400.0)] {
        let Some(played) = played.get(n) else {
            continue;
        };
        shots::at_work(&mut app, played, at_s)?;
        app.insert_resource(Bare(false));
        shots::settle(&mut app);
        shots::filtered(&mut app);
        scenes.push(timed(&mut app, name, count));
    }
    shots::clear_away(&played);
    Ok(Frames {
        adapter: if adapter.is_empty() {
            Machine::look()
                .adapters
                .first()
                .map(|a| a.name.clone())
                .unwrap_or_default()
        } else {
            adapter
        },
        size,
        quality,
        scenes,
    })
}
