//! The surface that comes clean: colour and relief of each cell follow the steps
//! that it has taken.

use super::puffs::hash;
use super::{LifeSystems, OfYard};
use crate::stage::{Show, Stage};
use bevy::asset::RenderAssetUsages;
use bevy::image::{ImageFilterMode, ImageSampler, ImageSamplerDescriptor};
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};
use training::level::Surface;
use training::surface::STEPS_PER_LAYER;

/// The panel, its pictures, and what is known of each cell.
#[derive(Component)]
struct Panel {
    colour: Handle<Image>,
    relief: Handle<Image>,
    columns: usize,
    rows: usize,
    /// The coats on each cell from the top down.
    layers: Vec<Vec<Layer>>,
    /// The look of each coat.
    looks: Vec<Look>,
    /// Roughness of the concrete below.
    rough: Vec<f32>,
    /// Water has run over the cell.
    wet: Vec<bool>,
    renewed: u32,
}

/// A coat on a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Layer {
    /// Its place in the level's list.
    coat: u8,
    /// How thick it is here; the thickest coat is one.
    thick: f32,
}

/// How far water runs down the panel from where it was thrown on it, cells.
const RUN_OFF: f32 = 90.0;

/// How a coat looks.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Look {
    base: [f32; 3],
    dark: [f32; 3],
    thick: f32,
    grain: f32,
}

/// The bare concrete.
const CONCRETE: Look = Look {
    base: [0.56, 0.55, 0.52],
    dark: [0.42, 0.41, 0.39],
    thick: 0.0,
    grain: 0.25,
};

/// The edge of a fleck, as a share of all that comes off in flecks.
const FLECK_EDGE: f32 = 0.35;

/// How many coats are gone after so many steps, and how far the next one is.
fn gone(steps: u8) -> (usize, f32) {
    let part = f32::from(steps % STEPS_PER_LAYER) / f32::from(STEPS_PER_LAYER);
    (usize::from(steps / STEPS_PER_LAYER), part)
}

/// The look of a deposit. One that is not known by name looks like scale.
fn look(deposit: &str) -> Look {
    match deposit {
        "algae" => Look {
            base: [0.15, 0.20, 0.09],
            dark: [0.07, 0.09, 0.05],
            thick: 0.9,
            grain: 0.9,
        },
        "old_paint" => Look {
            base: [0.45, 0.20, 0.15],
            dark: [0.34, 0.14, 0.10],
            thick: 0.6,
            grain: 0.2,
        },
        _ => Look {
            base: [0.34, 0.30, 0.24],
            dark: [0.20, 0.17, 0.13],
            thick: 1.0,
            grain: 0.7,
        },
    }
}

/// Noise over the cells, smooth over some of them, 0 to 1.
fn noise(x: f32, y: f32, seed: u32) -> f32 {
    let (fx, fy) = (x.floor(), y.floor());
    let corner = |dx: i32, dy: i32| {
        let (ix, iy) = ((fx as i32 + dx) as u32, (fy as i32 + dy) as u32);
        hash(ix.wrapping_mul(7919).wrapping_add(iy.wrapping_mul(104_729)) ^ seed)
    };
    let ease = |s: f32| s * s * (3.0 - 2.0 * s);
    let (u, v) = (ease(x - fx), ease(y - fy));
    let low = corner(0, 0) + (corner(1, 0) - corner(0, 0)) * u;
    let high = corner(0, 1) + (corner(1, 1) - corner(0, 1)) * u;
    low + (high - low) * v
}

/// The same over several sizes.
fn clouds(x: f32, y: f32, seed: u32) -> f32 {
    0.5 * noise(x / 46.0, y / 46.0, seed)
        + 0.3 * noise(x / 13.0, y / 13.0, seed ^ 0x55)
        + 0.2 * noise(x / 3.5, y / 3.5, seed ^ 0xAA)
}

impl Panel {
    /// The uppermost coat of a cell that is still there, the one below it, and
    /// how far the upper one is gone.
    fn state(&self, cell: usize, steps: u8) -> (Option<u8>, Option<u8>, f32) {
        let coat = |n: usize| self.layers[cell].get(n).map(|layer| layer.coat);
        let (gone, part) = gone(steps);
        (coat(gone), coat(gone + 1), part)
    }

    fn look(&self, coat: Option<u8>) -> Look {
        coat.and_then(|c| self.looks.get(usize::from(c)))
            .copied()
            .unwrap_or(CONCRETE)
    }

    fn colour(&self, cell: usize, steps: u8) -> [u8; 4] {
        let (x, y) = ((cell % self.columns) as f32, (cell / self.columns) as f32);
        let (coat, below, part) = self.state(cell, steps);
        let paint = |look: Look, seed: u32| {
            let s = clouds(x, y, seed);
            let grain = 1.0 + 0.22 * look.grain * (hash(cell as u32 ^ seed) - 0.5);
            [0, 1, 2].map(|n| {
                let mixed = look.dark[n] + (look.base[n] - look.dark[n]) * (1.5 * s).min(1.0);
                mixed * grain
            })
        };
        let upper = paint(self.look(coat), 17 + u32::from(coat.unwrap_or(9)));
        let mut rgb = upper;
        if coat.is_some() && part > 0.0 {
            let under = paint(self.look(below), 17 + u32::from(below.unwrap_or(9)));
            // Half gone: it is off in flecks with soft edges.
            let fleck = noise(x / 2.2, y / 2.2, 71);
            let bare = ((part - fleck) / FLECK_EDGE + 0.5).clamp(0.1, 0.9);
            rgb = [0, 1, 2].map(|n| upper[n] + (under[n] - upper[n]) * bare);
        }
        // What was washed is wet, and so is what lies below.
        let wet = if self.wet[cell] { 0.70 } else { 1.0 };
        let byte = |v: f32| (255.0 * (v * wet).clamp(0.0, 1.0)) as u8;
        [byte(rgb[0]), byte(rgb[1]), byte(rgb[2]), 255]
    }

    /// Wets a cell and, in streaks, what lies below it; says which cells were
    /// dry until now.
    fn wash(&mut self, cell: usize, fresh: &mut Vec<usize>) {
        let column = cell % self.columns;
        // Some columns lead water further than others.
        let led = noise(column as f32 / 2.5, 0.0, 91);
        let run = (RUN_OFF * led * led) as usize;
        let below = (0..=run).map_while(|n| cell.checked_sub(n * self.columns));
        for at in below {
            if !std::mem::replace(&mut self.wet[at], true) {
                fresh.push(at);
            }
        }
    }

    /// How far a cell stands out, in thicknesses of a coat.
    fn height(&self, cell: usize, steps: u8) -> f32 {
        let (gone, part) = gone(steps);
        let left = self.layers[cell].iter().skip(gone);
        let thick: f32 = left.map(|layer| layer.thick).sum();
        let upper = self.layers[cell].get(gone).map_or(0.0, |layer| layer.thick);
        thick - part * upper + self.rough[cell]
    }

    /// The slope of a cell, out of the rows and columns on both sides of it: one
    /// crumb that was left is no needle.
    fn normal(&self, cell: usize, cells: &[u8]) -> [u8; 4] {
        let (x, y) = (cell % self.columns, cell / self.columns);
        let (left, right) = (x.saturating_sub(1), (x + 1).min(self.columns - 1));
        let (down, up) = (y.saturating_sub(1), (y + 1).min(self.rows - 1));
        let at = |x: usize, y: usize| {
            let cell = y * self.columns + x;
            self.height(cell, cells.get(cell).copied().unwrap_or(0))
        };
        let column = |x: usize| 0.25 * (at(x, down) + at(x, up)) + 0.5 * at(x, y);
        let row = |y: usize| 0.25 * (at(left, y) + at(right, y)) + 0.5 * at(x, y);
        let (dx, dy) = (column(right) - column(left), row(up) - row(down));
        let n = Vec3::new(-0.8 * dx, -0.8 * dy, 1.0).normalize();
        let byte = |v: f32| (255.0 * (0.5 + 0.5 * v)) as u8;
        [byte(n.x), byte(n.y), byte(n.z), 255]
    }

    /// Where a cell is in the pictures, whose first row is the highest.
    fn place(&self, cell: usize) -> usize {
        let (x, y) = (cell % self.columns, cell / self.columns);
        4 * ((self.rows - 1 - y) * self.columns + x)
    }
}

fn picture(columns: usize, rows: usize, format: TextureFormat) -> Image {
    let mut image = Image::new_fill(
        Extent3d {
            width: columns as u32,
            height: rows as u32,
            depth_or_array_layers: 1,
        },
        TextureDimension::D2,
        &[128, 128, 255, 255],
        format,
        RenderAssetUsages::all(),
    );
    image.sampler = ImageSampler::Descriptor(ImageSamplerDescriptor {
        mag_filter: ImageFilterMode::Linear,
        min_filter: ImageFilterMode::Linear,
        ..default()
    });
    image
}

fn put_up(
    stage: Res<Stage>,
    mut yard: Local<u32>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut commands: Commands,
) {
    let Some(show) = stage.unbuilt(&mut yard) else {
        return;
    };
    let Some(surface) = &show.loaded.level.surface else {
        return;
    };
    let [columns, rows] = surface.cells().map(|n| n as usize);
    let colour = images.add(picture(columns, rows, TextureFormat::Rgba8UnormSrgb));
    let relief = images.add(picture(columns, rows, TextureFormat::Rgba8Unorm));
    let looks: Vec<Look> = surface.coats.iter().map(|c| look(&c.deposit)).collect();
    let place = |cell: usize| ((cell % columns) as f32, (cell / columns) as f32);
    let panel = Panel {
        colour: colour.clone(),
        relief: relief.clone(),
        columns,
        rows,
        layers: (0..columns * rows)
            .map(|cell| layers(surface, &looks, cell as u32, place(cell)))
            .collect(),
        looks,
        rough: (0..columns * rows)
            .map(|cell| {
                let (x, y) = place(cell);
                0.10 * noise(x / 1.7, y / 1.7, 5)
            })
            .collect(),
        wet: vec![false; columns * rows],
        // Anything but what the stage has, so that it is painted at once.
        renewed: show.renewed.wrapping_sub(1),
    };
    let [width, height] = surface.size.map(|m| m as f32);
    let mut quad = Mesh::from(Rectangle::new(width, height));
    if let Err(error) = quad.generate_tangents() {
        bevy::log::error!("{error}");
    }
    let right = Vec3::new(surface.right[0] as f32, 0.0, surface.right[1] as f32);
    // Out of the face, for who sees `right` to the right.
    let out = right.cross(Vec3::Y);
    let corner = Vec3::from(surface.corner.map(|m| m as f32));
    let middle = corner + right * (0.5 * width) + Vec3::Y * (0.5 * height);
    let turn = Quat::from_mat3(&Mat3::from_cols(right, Vec3::Y, out));
    commands.spawn((
        OfYard,
        panel,
        Mesh3d(meshes.add(quad)),
        MeshMaterial3d(materials.add(StandardMaterial {
            base_color_texture: Some(colour),
            normal_map_texture: Some(relief),
            perceptual_roughness: 0.55,
            reflectance: 0.4,
            ..default()
        })),
        Transform::from_translation(middle + out * 0.002).with_rotation(turn),
    ));
    // The slab that carries it, and a frame of steel around.
    let concrete = materials.add(StandardMaterial {
        base_color: Color::srgb(0.46, 0.45, 0.43),
        perceptual_roughness: 0.85,
        ..default()
    });
    let steel = materials.add(StandardMaterial {
        base_color: Color::srgb(0.19, 0.25, 0.27),
        perceptual_roughness: 0.5,
        metallic: 0.3,
        ..default()
    });
    let mut part = |size: Vec3, along: f32, up: f32, forth: f32, material: &Handle<_>| {
        commands.spawn((
            OfYard,
            Mesh3d(meshes.add(Cuboid::from_size(size))),
            MeshMaterial3d(material.clone()),
            Transform::from_translation(middle + right * along + Vec3::Y * up + out * forth)
                .with_rotation(turn),
        ));
    };
    part(Vec3::new(width, height, 0.05), 0.0, 0.0, -0.026, &concrete);
    for side in [-1.0, 1.0] {
        let along = side * (0.5 * width + 0.03);
        part(
            Vec3::new(0.06, height + 0.12, 0.09),
            along,
            0.0,
            -0.02,
            &steel,
        );
        let over = side * (0.5 * height + 0.03);
        part(Vec3::new(width, 0.06, 0.09), 0.0, over, -0.02, &steel);
        let leg = middle.y - 0.5 * height;
        let down = -0.5 * (height + leg);
        part(Vec3::new(0.06, leg, 0.06), along, down, -0.02, &steel);
    }
}

fn layers(surface: &Surface, looks: &[Look], cell: u32, (x, y): (f32, f32)) -> Vec<Layer> {
    let layers = surface.layers_of(cell);
    layers
        .iter()
        .filter_map(|coat| {
            let place = surface.coats.iter().position(|c| core::ptr::eq(c, *coat))?;
            let look = looks.get(place)?;
            let lumps = 0.8 * look.grain * (clouds(x, y, 31 + place as u32) - 0.35);
            Some(Layer {
                coat: place as u8,
                thick: look.thick * (0.6 + lumps),
            })
        })
        .collect()
}

fn come_clean(
    mut stage: ResMut<Stage>,
    mut panels: Query<&mut Panel>,
    mut images: ResMut<Assets<Image>>,
) {
    let Some(show) = &mut stage.bypass_change_detection().show else {
        return;
    };
    let fresh = std::mem::take(&mut show.fresh);
    let show: &Show = show;
    for mut panel in &mut panels {
        let whole = panel.renewed != show.renewed;
        if !whole && fresh.is_empty() {
            continue;
        }
        panel.renewed = show.renewed;
        let count = panel.columns * panel.rows;
        let steps = |cell: usize| show.cells.get(cell).copied().unwrap_or(0);
        let touched: Vec<usize> = if whole {
            (0..count).collect()
        } else {
            fresh
                .iter()
                .map(|s| s.cell as usize)
                .filter(|c| *c < count)
                .collect()
        };
        let mut coloured = touched.clone();
        if whole {
            panel.wet.fill(false);
        }
        for cell in touched.iter().filter(|cell| steps(**cell) > 0) {
            panel.wash(*cell, &mut coloured);
        }
        if let Some(mut image) = images.get_mut(&panel.colour)
            && let Some(bytes) = &mut image.data
        {
            for cell in &coloured {
                let place = panel.place(*cell);
                bytes[place..place + 4].copy_from_slice(&panel.colour(*cell, steps(*cell)));
            }
        }
        if let Some(mut image) = images.get_mut(&panel.relief)
            && let Some(bytes) = &mut image.data
        {
            let columns = panel.columns;
            for cell in &touched {
                // The slope of the neighbours changes too.
                let rows = [cell.wrapping_sub(columns), *cell, cell + columns];
                let around = rows
                    .into_iter()
                    .flat_map(|c| [c.wrapping_sub(1), c, c.wrapping_add(1)]);
                for near in around.filter(|c| *c < count && (!whole || c == cell)) {
                    let place = panel.place(near);
                    bytes[place..place + 4].copy_from_slice(&panel.normal(near, &show.cells));
                }
            }
        }
    }
}

/// Sets up the surface.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        (
            put_up.in_set(LifeSystems::PutUp),
            come_clean.in_set(LifeSystems::Move),
        ),
    );
}
