//! The folder of models and textures. What is not in it is not asked for, so
//! that a missing file is missed quietly and once.

use crate::settings::{Quality, Settings};
use crate::sitting::Shelf;
use bevy::gltf::GltfAssetLabel;
use bevy::image::ImageLoaderSettings;
use bevy::prelude::*;
use bevy::world_serialization::WorldAsset;
use std::path::PathBuf;

/// Where models and textures are.
#[derive(Resource, Default)]
pub struct Store {
    folder: PathBuf,
}

impl Store {
    fn has(&self, path: &str) -> bool {
        self.folder.join(path).is_file()
    }

    /// One of a set of textures, if it is there.
    pub fn texture(
        &self,
        server: &AssetServer,
        set: &str,
        map: &str,
        is_colour: bool,
    ) -> Option<Handle<Image>> {
        self.image(server, format!("textures/{set}.{map}.ktx2"), is_colour)
    }

    /// The sheet of dials, plates and signs, if it is there.
    pub fn decals(&self, server: &AssetServer) -> Option<Handle<Image>> {
        self.image(server, String::from("textures/decals.ktx2"), true)
    }

    fn image(&self, server: &AssetServer, path: String, is_colour: bool) -> Option<Handle<Image>> {
        if !self.has(&path) {
            return None;
        }
        let settings = move |settings: &mut ImageLoaderSettings| {
            settings.is_srgb = is_colour;
            settings.sampler = super::pattern::repeating(true);
        };
        Some(server.load_builder().with_settings(settings).load(path))
    }

    /// A model, if it is there: the plainer one where little is to be drawn and
    /// where there is one.
    pub fn model(
        &self,
        server: &AssetServer,
        name: &str,
        settings: &Settings,
    ) -> Option<Handle<WorldAsset>> {
        let full = format!("models/{name}.glb");
        let plain = format!("models/{name}.low.glb");
        let path = if settings.quality == Quality::Low && self.has(&plain) {
            plain
        } else if self.has(&full) {
            full
        } else {
            return None;
        };
        Some(server.load(GltfAssetLabel::Scene(0).from_asset(path)))
    }
}

/// Finds the folder.
pub(super) fn set_up(mut commands: Commands, shelf: Option<Res<Shelf>>) {
    commands.insert_resource(Store {
        folder: shelf.map_or_else(PathBuf::new, |shelf| crate::app::assets(&shelf.library)),
    });
}

/// Sets up the store.
pub fn plugin(app: &mut App) {
    app.add_systems(Startup, set_up);
}
