//! What the picture costs: counted, so that it can be held against what weak
//! machines can draw.

use crate::settings::Quality;
use bevy::camera::primitives::{Aabb, Frustum};
use bevy::camera::visibility::ViewVisibility;
use bevy::platform::collections::HashSet;
use bevy::prelude::*;

use crate::world::YardCamera;

/// What is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Pieces drawn one by one.
    pub draws: usize,
    /// Triangles of those.
    pub triangles: usize,
    /// Size of all textures, bytes.
    pub texture_bytes: usize,
}

/// The most that may be drawn, made for integrated graphics: 300,000 triangles
/// in high quality and 80,000 in low, and about 40 MB of textures.
pub fn most(quality: Quality) -> Cost {
    match quality {
        Quality::High => Cost {
            draws: 120,
            triangles: 300_000,
            texture_bytes: 42 << 20,
        },
        Quality::Low => Cost {
            draws: 120,
            triangles: 80_000,
            texture_bytes: 25 << 20,
        },
    }
}

impl Cost {
    /// What is over the most that may be drawn.
    pub fn over(self, most: Cost) -> Vec<&'static str> {
        let mut found = Vec::new();
        if self.draws > most.draws {
            found.push("draws");
        }
        if self.triangles > most.triangles {
            found.push("triangles");
        }
        if self.texture_bytes > most.texture_bytes {
            found.push("texture bytes");
        }
        found
    }
}

/// Counts what the camera sees.
pub fn count(world: &mut World) -> Cost {
    let mut cost = Cost::default();
    let frusta: Vec<Frustum> = world
        .query_filtered::<&Frustum, With<YardCamera>>()
        .iter(world)
        .copied()
        .collect();
    let mut pieces = world.query::<(&Mesh3d, &ViewVisibility, Option<&Aabb>, &GlobalTransform)>();
    let meshes = world.resource::<Assets<Mesh>>();
    for (mesh, visible, bounds, place) in pieces.iter(world) {
        let in_view = bounds.is_none_or(|bounds| {
            frusta
                .iter()
                .any(|f| f.intersects_obb(bounds, &place.affine(), true, false))
        });
        if !visible.get() || !in_view {
            continue;
        }
        cost.draws += 1;
        let corners = meshes.get(&mesh.0).map_or(0, |mesh| {
            mesh.indices().map_or(mesh.count_vertices(), |i| i.len())
        });
        cost.triangles += corners / 3;
    }
    let mut seen = HashSet::new();
    for (id, image) in world.resource::<Assets<Image>>().iter() {
        if seen.insert(id) {
            cost.texture_bytes += image.data.as_ref().map_or_else(
                || {
                    let size = image.texture_descriptor.size;
                    let texel = image.texture_descriptor.format.block_copy_size(None);
                    let all = size.width * size.height * size.depth_or_array_layers;
                    // With all smaller forms of it a third more.
                    all as usize * texel.unwrap_or(4) as usize * 4 / 3
                },
                Vec::len,
            );
        }
    }
    cost
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_much_is_named() {
        let most = most(Quality::Low);
        assert!(most.over(most).is_empty());
        let more = Cost {
            draws: most.draws + 1,
            triangles: most.triangles + 1,
            ..most
        };
        assert_eq!(more.over(most), ["draws", "triangles"]);
    }
}
