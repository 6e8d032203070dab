//! The yard as it is seen.
//!
//! [`yards`] says what stands where, [`site`] builds it out of [`kit`], [`works`],
//! [`goods`], [`parts`] and [`outlets`] over the [`ground`]; [`mod@unit`] is the pump unit. [`light`],
//! [`sky`] and [`camera`] make a picture of it, [`cloth`] gives it surfaces from
//! [`pattern`]s and from the [`store`]. [`shading`] is how light falls on them. [`vista`] is what
//! menus stand before, [`merge`] puts models together as they come in. [`life`] is all that moves
//! beside the unit. [`mark`] points at things, and [`budget`] counts what all of it costs.

pub mod budget;
pub mod camera;
pub mod cloth;
pub mod footings;
pub mod fume;
pub mod goods;
pub mod ground;
pub mod kit;
pub mod life;
pub mod light;
pub mod mark;
pub mod merge;
pub mod noise;
pub mod outlets;
pub mod parts;
pub mod pattern;
pub mod rack;
pub mod shading;
pub mod site;
pub mod sky;
pub mod store;
pub mod unit;
pub mod vista;
pub mod works;
pub mod yards;

use crate::settings::{Quality, Settings};
use bevy::prelude::*;
use bevy::world_serialization::{WorldAssetRoot, WorldInstanceReady};

/// The camera that the yard is seen through.
#[derive(Component)]
pub struct YardCamera;

/// Where pictures go that no window shows.
#[derive(Resource, Clone)]
pub struct Canvas(pub Handle<Image>);

/// How much of what belongs into the picture is not there yet.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pending(pub usize);

/// A model that has come in.
#[derive(Component)]
struct Come;

/// Whether the quality is another than when this was last asked; the first time
/// it is.
fn quality_changed(settings: Res<Settings>, mut was: Local<Option<Quality>>) -> bool {
    was.replace(settings.quality) != Some(settings.quality)
}

fn come(on: On<WorldInstanceReady>, mut commands: Commands) {
    if let Ok(mut entity) = commands.get_entity(on.entity) {
        entity.try_insert(Come);
    }
}

fn count(
    mut pending: ResMut<Pending>,
    cloth: Res<cloth::Cloth>,
    sky: Res<light::Sky>,
    server: Res<AssetServer>,
    models: Query<&WorldAssetRoot, Without<Come>>,
) {
    let models = models
        .iter()
        .filter(|root| !server.load_state(&root.0).is_failed())
        .count();
    let count = Pending(cloth.missing(&server) + usize::from(sky.is_missing()) + models);
    pending.set_if_neq(count);
}

/// Sets up what is seen.
pub fn plugin(app: &mut App) {
    app.init_resource::<Pending>()
        .add_observer(come)
        .add_systems(PostUpdate, count)
        .add_plugins((
            store::plugin,
            cloth::plugin,
            shading::plugin,
            light::plugin,
            camera::plugin,
            site::plugin,
            unit::plugin,
            fume::plugin,
            rack::plugin,
            vista::plugin,
            mark::plugin,
            life::plugin,
        ));
}
