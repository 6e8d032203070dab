//! Plain light where little can be drawn: in place of the engine's shader of
//! surfaces comes one that asks for less. All else of the engine stays.

use crate::settings::{Quality, Settings};
use bevy::prelude::*;
use bevy::shader::Shader;

/// Where the engine has its shader of surfaces.
const SURFACES: &str = "embedded://bevy_pbr/render/pbr.wgsl";

const PLAIN: &str = include_str!("plain.wgsl");

/// The shader of surfaces.
#[derive(Resource)]
struct Surfaces {
    handle: Handle<Shader>,
    /// The engine's own, once it has come in.
    full: Option<Shader>,
    /// The quality that the one in use is for.
    is_for: Quality,
}

fn set_up(mut commands: Commands, server: Res<AssetServer>) {
    commands.insert_resource(Surfaces {
        handle: server.load(SURFACES),
        full: None,
        is_for: Quality::High,
    });
}

fn exchange(
    surfaces: Option<ResMut<Surfaces>>,
    settings: Res<Settings>,
    mut shaders: ResMut<Assets<Shader>>,
) {
    let Some(mut surfaces) = surfaces else { return };
    if surfaces.is_for == settings.quality {
        return;
    }
    let surfaces = &mut *surfaces;
    let Some(now) = shaders.get(&surfaces.handle) else {
        return;
    };
    let full = surfaces.full.get_or_insert_with(|| now.clone()).clone();
    let wanted = match settings.quality {
        Quality::High => full,
        Quality::Low => Shader::from_wgsl(PLAIN, SURFACES),
    };
    if shaders.insert(&surfaces.handle, wanted).is_ok() {
        surfaces.is_for = settings.quality;
    }
}

/// The quality that the shader in use is for; nothing before one has come in.
pub fn in_use(world: &World) -> Option<Quality> {
    let surfaces = world.get_resource::<Surfaces>()?;
    let shader = world.resource::<Assets<Shader>>().get(&surfaces.handle)?;
    Some(if shader.source.as_str() == PLAIN {
        Quality::Low
    } else {
        Quality::High
    })
}

/// Sets up the exchange.
pub fn plugin(app: &mut App) {
    app.add_systems(PreStartup, set_up)
        .add_systems(PreUpdate, exchange);
}
