//! Models, as they come in, are put together to few pieces: whatever does not
//! move by itself and is of one kind is drawn at once. The colours of the file
//! go into the vertices for that, and textures come from the [`Cloth`].

use crate::settings::{Quality, Settings};
use crate::world::cloth::Cloth;
use bevy::ecs::system::SystemParam;
use bevy::gltf::GltfMaterialName;
use bevy::light::NotShadowCaster;
use bevy::mesh::VertexAttributeValues;
use bevy::mesh::skinning::SkinnedMesh;
use bevy::prelude::*;
use std::collections::BTreeMap;

/// What a material of a model asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wanted {
    /// To be drawn with all others of its kind.
    Merged,
    /// The same, in another colour than the file has.
    Coloured(Color),
    /// To be left as it is, because it comes and goes, or changes.
    Apart,
}

/// What of a model throws shadows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shadows {
    /// All that one cannot see through.
    Thrown,
    /// Nothing.
    None,
}

/// What is drawn alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// Dressed in a set of textures.
    Set(&'static str),
    /// Cut out of the sheet of dials, plates and signs.
    Decal,
    /// With a picture of its own in the file.
    Pictured,
    /// Metal without a texture.
    Metal,
    /// Anything else that one cannot see through.
    Plain,
    /// What one can see through, in hundredths of its opacity.
    Clear(u8),
    /// What gives light.
    Lamp,
}

/// The kind of a material.
fn kind(name: &str, material: &StandardMaterial, quality: Quality) -> Kind {
    if name == "m_decal" {
        return Kind::Decal;
    }
    if material.base_color_texture.is_some() && set_of(name).is_none() {
        return Kind::Pictured;
    }
    if material.alpha_mode != AlphaMode::Opaque {
        return Kind::Clear((100.0 * material.base_color.alpha()) as u8);
    }
    if name == "m_lamp" {
        return Kind::Lamp;
    }
    match set_of(name) {
        Some(set) if quality == Quality::High => Kind::Set(set),
        _ if material.metallic > 0.5 => Kind::Metal,
        _ => Kind::Plain,
    }
}

/// The set of textures that belongs to a material of a model.
fn set_of(material: &str) -> Option<&'static str> {
    Some(match material {
        "m_guard" => "paint",
        "m_steel" | "m_steel_hot" | "m_brass" => "steel",
        "m_rubber" => "rubber",
        "m_tread" => "tread",
        name if name.starts_with("m_paint") => "paint",
        _ => return None,
    })
}

/// The most that glass hides: a dial has to be read through it.
const CLEAR_MOST: f32 = 0.03;

fn material(kind: Kind, like: &StandardMaterial, cloth: &Cloth) -> StandardMaterial {
    let mut made = like.clone();
    // It is in the vertices.
    made.base_color = Color::WHITE;
    match kind {
        Kind::Set(name) => {
            if let Some(set) = cloth.set(name) {
                made.base_color_texture = Some(set.colour.clone());
                made.normal_map_texture = Some(set.relief.clone());
                made.metallic_roughness_texture = Some(set.gloss.clone());
                made.occlusion_texture = Some(set.gloss.clone());
                made.perceptual_roughness = 1.0;
                made.metallic = 1.0;
            }
        }
        Kind::Decal => made.base_color_texture = cloth.decals(),
        Kind::Pictured => {}
        Kind::Metal => {
            made.metallic = 0.9;
            made.perceptual_roughness = 0.4;
        }
        Kind::Plain => made.perceptual_roughness = 0.5,
        Kind::Clear(_) => {}
        Kind::Lamp => made.base_color = like.base_color,
    }
    made
}

/// A mesh on its way into a piece: where it stands in the piece's frame, and
/// its colour.
struct Part {
    mesh: Handle<Mesh>,
    at: Transform,
    colour: LinearRgba,
    skin: Option<SkinnedMesh>,
}

/// Pieces by what they hang on and what they are; each with a material to
/// begin from.
type Pieces = BTreeMap<(Entity, Kind), (Handle<StandardMaterial>, Vec<Part>)>;

/// What of a node belongs to its picture.
type Node = (
    &'static Transform,
    Option<&'static Mesh3d>,
    Option<&'static MeshMaterial3d<StandardMaterial>>,
    Option<&'static GltfMaterialName>,
    Option<&'static SkinnedMesh>,
);

/// Puts models together.
#[derive(SystemParam)]
pub struct Merger<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    cloth: Res<'w, Cloth>,
    settings: Res<'w, Settings>,
    children: Query<'w, 's, &'static Children>,
    nodes: Query<'w, 's, Node>,
}

impl Merger<'_, '_> {
    /// Puts a model together that has just come in. What `moves` stays a piece
    /// of its own, with all that hangs on it.
    pub fn merge(
        &mut self,
        root: Entity,
        moves: impl Fn(Entity) -> bool,
        wanted: impl Fn(&str) -> Wanted,
        shadows: Shadows,
    ) {
        let mut pieces = Pieces::new();
        let mut gone = Vec::new();
        let mut to_do = vec![(root, root, Transform::IDENTITY)];
        while let Some((entity, piece, at)) = to_do.pop() {
            for child in self.children.get(entity).into_iter().flatten() {
                let Ok((local, mesh, material, name, skin)) = self.nodes.get(*child) else {
                    continue;
                };
                let (piece, at) = if moves(*child) {
                    (*child, Transform::IDENTITY)
                } else {
                    (piece, at * *local)
                };
                to_do.push((*child, piece, at));
                let (Some(mesh), Some(handle), Some(name)) = (mesh, material, name) else {
                    continue;
                };
                let wanted = wanted(&name.0);
                let Some(material) = self.materials.get(&handle.0) else {
                    continue;
                };
                if wanted == Wanted::Apart {
                    continue;
                }
                let kind = kind(&name.0, material, self.settings.quality);
                let mut colour = match wanted {
                    Wanted::Coloured(colour) => colour.to_linear(),
                    _ => material.base_color.to_linear(),
                };
                if name.0 == "m_glass" {
                    colour.alpha = colour.alpha.min(CLEAR_MOST);
                }
                let parts = pieces.entry((piece, kind));
                let (_, parts) = parts.or_insert_with(|| (handle.0.clone(), Vec::new()));
                parts.push(Part {
                    mesh: mesh.0.clone(),
                    at,
                    colour,
                    skin: skin.cloned(),
                });
                gone.push(*child);
            }
        }
        for ((piece, kind), (like, parts)) in pieces {
            let Some(mesh) = self.put_together(kind, &parts) else {
                continue;
            };
            let Some(like) = self.materials.get(&like).cloned() else {
                continue;
            };
            let own = material(kind, &like, &self.cloth);
            let mut made = self.commands.spawn((
                Mesh3d(self.meshes.add(mesh)),
                MeshMaterial3d(self.materials.add(own)),
                Transform::default(),
                ChildOf(piece),
            ));
            if shadows == Shadows::None || matches!(kind, Kind::Clear(_) | Kind::Decal) {
                made.insert(NotShadowCaster);
            }
            if kind == Kind::Lamp {
                made.insert(Lamp);
            }
            if let Some(skin) = parts.iter().find_map(|part| part.skin.clone()) {
                made.insert(skin);
            }
        }
        for entity in gone {
            self.commands.entity(entity).despawn();
        }
    }

    fn put_together(&self, kind: Kind, parts: &[Part]) -> Option<Mesh> {
        let mut whole: Option<Mesh> = None;
        for part in parts {
            let Some(mesh) = self.meshes.get(&part.mesh) else {
                continue;
            };
            // A skin is where its bones are, whatever it hangs on.
            let mut mesh = match part.skin {
                Some(_) => mesh.clone(),
                None => mesh.clone().transformed_by(part.at),
            };
            colour(&mut mesh, part.colour);
            if self.settings.quality == Quality::Low {
                mesh.remove_attribute(Mesh::ATTRIBUTE_TANGENT);
                if !matches!(kind, Kind::Decal | Kind::Pictured) {
                    mesh.remove_attribute(Mesh::ATTRIBUTE_UV_0);
                }
            }
            match &mut whole {
                None => whole = Some(mesh),
                Some(whole) => {
                    if let Err(error) = whole.merge(&mesh) {
                        bevy::log::error!("{error}");
                    }
                }
            }
        }
        whole
    }
}

/// Dyes the vertices of a mesh; what is in them already shades it.
fn colour(mesh: &mut Mesh, colour: LinearRgba) {
    let count = mesh.count_vertices();
    let shades = match mesh.remove_attribute(Mesh::ATTRIBUTE_COLOR) {
        Some(VertexAttributeValues::Float32x4(shades)) => shades,
        _ => vec![[1.0; 4]; count],
    };
    let dye = colour.to_f32_array();
    let dyed: Vec<[f32; 4]> = shades
        .into_iter()
        .map(|shade| core::array::from_fn(|n| shade[n] * dye[n]))
        .collect();
    mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, dyed);
}

/// A lamp of a model.
#[derive(Component)]
pub struct Lamp;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_alike_is_of_one_kind_and_glass_is_not() {
        let paint = StandardMaterial::default();
        let steel = StandardMaterial {
            metallic: 1.0,
            ..default()
        };
        let glass = StandardMaterial {
            alpha_mode: AlphaMode::Blend,
            ..default()
        };
        let low = |name: &str, material: &StandardMaterial| kind(name, material, Quality::Low);
        assert_eq!(low("m_paint_body", &paint), low("m_red", &paint));
        // What is drawn on the face of a panel must not be painted over.
        let drawn_on = StandardMaterial {
            base_color_texture: Some(Handle::default()),
            ..default()
        };
        assert_eq!(low("m_panel", &drawn_on), Kind::Pictured);
        assert_ne!(low("m_paint_body", &paint), low("m_steel", &steel));
        assert_ne!(low("m_glass", &glass), low("m_red", &paint));
        assert_eq!(
            kind("m_paint_body", &paint, Quality::High),
            Kind::Set("paint")
        );
        assert_eq!(kind("m_red", &paint, Quality::High), Kind::Plain);
    }

    #[test]
    fn a_dye_keeps_the_shade_of_the_file() {
        let mut mesh = Mesh::from(Cuboid::from_length(1.0));
        let count = mesh.count_vertices();
        mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, vec![[0.5, 0.5, 0.5, 1.0]; count]);
        colour(&mut mesh, LinearRgba::new(1.0, 0.2, 0.0, 1.0));
        let Some(VertexAttributeValues::Float32x4(dyed)) = mesh.attribute(Mesh::ATTRIBUTE_COLOR)
        else {
            panic!("no colours");
        };
        assert_eq!(dyed[0], [0.5, 0.1, 0.0, 1.0]);
    }
}
