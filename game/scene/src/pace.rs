//! No picture is begun while more than one is still being drawn. Some drivers
//! take pictures in as fast as they are asked for: then hands are answered ever
//! later, and what waits to be drawn fills the memory.

use bevy::prelude::*;
use bevy::render::render_resource::PollType;
use bevy::render::renderer::{RenderDevice, RenderQueue};
use bevy::render::{Render, RenderApp, RenderSystems};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

/// Pictures that may be on their way at once.
const ON_THEIR_WAY: u32 = 1;

/// A lost adapter never comes to an end; the engine says that it is lost.
const LONGEST: Duration = Duration::from_secs(2);

/// From one look to the next.
const LOOK: Duration = Duration::from_micros(200);

/// Pictures that were handed to the adapter, and those that it is done with.
#[derive(Resource, Default)]
struct Handed {
    over: u32,
    done: Arc<AtomicU32>,
}

impl Handed {
    fn on_their_way(&self) -> u32 {
        self.over.wrapping_sub(self.done.load(Ordering::Acquire))
    }
}

fn keep(mut handed: ResMut<Handed>, queue: Res<RenderQueue>, device: Res<RenderDevice>) {
    handed.over = handed.over.wrapping_add(1);
    let done = handed.done.clone();
    queue.on_submitted_work_done(move || {
        done.fetch_add(1, Ordering::Release);
    });
    let began = Instant::now();
    while handed.on_their_way() > ON_THEIR_WAY && began.elapsed() < LONGEST {
        device.poll(PollType::Poll).ok();
        std::thread::sleep(LOOK);
    }
}

/// Keeps the pace.
pub fn plugin(app: &mut App) {
    if let Some(render) = app.get_sub_app_mut(RenderApp) {
        render
            .init_resource::<Handed>()
            .add_systems(Render, keep.in_set(RenderSystems::Cleanup));
    }
}
