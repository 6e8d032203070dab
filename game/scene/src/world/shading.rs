//! How light falls on surfaces: in place of the engine's shader, which asks for
//! everything that a surface can have, come two that ask for what those of this
//! yard have. All else of the engine stays.

use crate::settings::{Quality, Settings};
use bevy::prelude::*;
use bevy::shader::Shader;

/// Where the engine has its shader of surfaces.
const SURFACES: &str = "embedded://bevy_pbr/render/pbr.wgsl";

const RICH: &str = include_str!("rich.wgsl");
const PLAIN: &str = include_str!("plain.wgsl");

/// The shader of surfaces for a quality.
fn source(quality: Quality) -> &'static str {
    match quality {
        Quality::High => RICH,
        Quality::Low => PLAIN,
    }
}

/// The shader of surfaces.
#[derive(Resource)]
struct Surfaces {
    handle: Handle<Shader>,
    /// The quality that the one in use is for; nothing while it is the engine's.
    is_for: Option<Quality>,
}

fn set_up(mut commands: Commands, server: Res<AssetServer>) {
    commands.insert_resource(Surfaces {
        handle: server.load(SURFACES),
        is_for: None,
    });
}

fn exchange(
    surfaces: Option<ResMut<Surfaces>>,
    settings: Res<Settings>,
    mut shaders: ResMut<Assets<Shader>>,
) {
    let Some(mut surfaces) = surfaces else { return };
    let wanted = Some(settings.quality);
    // The engine's own has to have come in, or it would come after ours.
    if surfaces.is_for == wanted || !shaders.contains(&surfaces.handle) {
        return;
    }
    let shader = Shader::from_wgsl(source(settings.quality), SURFACES);
    if shaders.insert(&surfaces.handle, shader).is_ok() {
        surfaces.is_for = wanted;
    }
}

/// The quality that the shader in use is for; nothing before ours has come in.
pub fn in_use(world: &World) -> Option<Quality> {
    let surfaces = world.get_resource::<Surfaces>()?;
    let shader = world.resource::<Assets<Shader>>().get(&surfaces.handle)?;
    [Quality::High, Quality::Low]
        .into_iter()
        .find(|quality| shader.source.as_str() == source(*quality))
}

/// Sets up the exchange.
pub fn plugin(app: &mut App) {
    app.add_systems(PreStartup, set_up)
        .add_systems(PreUpdate, exchange);
}
