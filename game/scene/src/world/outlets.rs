//! What the unit has beyond its model: the burst disc with its short pipe, and, where a level feeds two
//! tools, a manifold with a cock, a label and a line for each, and the gauge behind the second cock.

use crate::leaks::{DISC_OUT, along, unit_foot};
use crate::stage::point;
use crate::things::line_gauge_place;
use crate::world::kit::{Mason, Stuff};
use bevy::asset::RenderAssetUsages;
use bevy::math::{Quat, Rect, Vec2, Vec3};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::{Mesh, Transform};
use core::f32::consts::{FRAC_PI_2, TAU};
use crew::Control;
use training::Level;

const STEEL: u32 = 0xb9bdb8;
const BRASS: u32 = 0xb08d4a;
const DARK: u32 = 0x2b2e31;
const TEAL: u32 = 0x2f8f8a;

/// The end of the unit's discharge manifold as it is modelled, seen from the middle of its footprint.
const MANIFOLD_END: Vec3 = Vec3::new(0.895, 0.544, 0.463);
/// Where the line to the outlets passes, and the outlet of a unit with one line.
const LINE: Vec3 = Vec3::new(0.82, 0.55, 0.45);
const ONE_OUTLET: Vec3 = Vec3::new(1.1, 0.14, 0.635);

/// The pipes of the cocks lie so far below the hubs of their levers, metres.
const PIPE_M: f32 = 0.045;
/// From the stem of a cock to the end of its outlet, metres.
const OUT_M: f32 = 0.10;
/// Length of the lever of a cock, metres.
pub const LEVER_M: f32 = 0.13;

/// Radius of the gauge behind the second cock, metres, and how far it leans back and turns so
/// that whoever stands before the panel reads it from above, radians.
const GAUGE_M: f32 = 0.055;
const LEANS_RAD: f32 = 0.75;
const TURNS_RAD: f32 = 0.5;

/// Both cocks of the unit, where the level has them.
fn cocks(level: &Level) -> Option<[Vec3; 2]> {
    let [lance, second] = Control::OUTLETS.map(|control| level.site.control(control).map(point));
    Some([lance?, second?])
}

/// So much of a hose that lies there is not drawn where it hangs from an outlet: it leads there in a bow,
/// metres.
const BOW_M: f32 = 1.0;
/// The next point after its bow is at least this far away, metres.
const NEXT_M: f32 = 0.15;

/// A hose from its outlet down to the ground and on as it lies; as it lies where there is no outlet.
pub fn led(level: &Level, outlet: Control, lies: Vec<Vec3>) -> Vec<Vec3> {
    let at = cocks(level).map(|[lance, second]| match outlet {
        Control::PedalOutlet => second,
        _ => lance,
    });
    let (Some(at), Some((to, _, before))) = (at, along(&lies, BOW_M)) else {
        return lies;
    };
    let out = at + Vec3::new(0.0, -PIPE_M, OUT_M + 0.034);
    let bends = out + Vec3::new(0.0, -0.05, 0.11);
    let lower = |share: f32, y: f32| bends.lerp(to, share).with_y(y);
    let bow = [
        out,
        bends,
        lower(0.2, 0.42),
        lower(0.42, 0.13),
        lower(0.7, 0.02),
        to,
    ];
    // Two points at almost the same place would make a kink.
    let on = lies.into_iter().skip(before);
    let on = on.skip_while(|at| at.distance(to) < NEXT_M);
    bow.into_iter().chain(on).collect()
}

/// All of it that does not move.
pub fn build(m: &mut Mason, level: &Level) {
    let Some(foot) = unit_foot(level) else { return };
    if level.equipment.circuit.burst_disc.is_some() {
        m.within(Transform::from_translation(foot), disc);
    }
    if let Some(cocks) = cocks(level) {
        manifold(m, foot, cocks);
        if let Some(gauge) = line_gauge_place(level) {
            tapping(m, cocks[1], gauge);
        }
    }
}

/// The holder of the disc on the manifold's end, and the pipe that leads its water down.
fn disc(m: &mut Mason) {
    let end = MANIFOLD_END;
    let turn = Vec3::new(DISC_OUT.x, end.y, end.z);
    m.of(Stuff::Steel, STEEL);
    let from = end - Vec3::X * 0.02;
    m.pipe(&[from, turn, DISC_OUT + Vec3::Y * 0.01], 0.016, 8);
    if !m.is_fine() {
        return;
    }
    // Two flanges with the disc between them.
    let ring = |m: &mut Mason, from: f32, to: f32, radius: f32| {
        m.bar(end + Vec3::X * from, end + Vec3::X * to, radius, 18);
    };
    ring(m, 0.03, 0.05, 0.034);
    ring(m, 0.056, 0.076, 0.034);
    m.of(Stuff::Paint, 0xb1402f);
    ring(m, 0.05, 0.056, 0.036);
}

/// The block on the panel's post, what feeds it, and the bodies of both cocks.
fn manifold(m: &mut Mason, foot: Vec3, [lance, second]: [Vec3; 2]) {
    let middle = 0.5 * (lance + second) - Vec3::Y * PIPE_M;
    let long = lance.distance(second) + 0.17;
    m.of(Stuff::Steel, STEEL);
    m.rounded(
        middle - Vec3::Z * 0.045,
        Vec3::new(long, 0.075, 0.05),
        0.006,
    );
    m.pipe(
        &[
            foot + LINE,
            foot + LINE + Vec3::new(0.02, 0.02, 0.2),
            Vec3::new(middle.x, middle.y, middle.z - 0.06),
        ],
        0.017,
        12,
    );
    // The outlet of a unit with one line is closed with a plug.
    let plug = foot + ONE_OUTLET;
    m.bar(plug, plug + Vec3::Z * 0.03, 0.024, 6);
    m.bar(plug + Vec3::Z * 0.03, plug + Vec3::Z * 0.05, 0.015, 12);
    for cock in [lance, second] {
        let axis = cock - Vec3::Y * PIPE_M;
        m.of(Stuff::Steel, STEEL);
        m.bar(axis - Vec3::Z * 0.03, axis + Vec3::Z * OUT_M, 0.017, 14);
        m.of(Stuff::Steel, BRASS);
        m.rounded(axis, Vec3::new(0.058, 0.056, 0.062), 0.012);
        m.bar(axis, cock - Vec3::Y * 0.008, 0.010, 12);
        m.of(Stuff::Steel, STEEL);
        m.bar(
            axis + Vec3::Z * (OUT_M - 0.03),
            axis + Vec3::Z * OUT_M,
            0.025,
            6,
        );
        // What its label is riveted to.
        m.of(Stuff::Paint, DARK);
        m.within(label_frame(cock), |m| {
            m.rounded(
                Vec3::new(0.0, 0.0, -0.004),
                Vec3::new(0.106, 0.038, 0.006),
                0.002,
            );
        });
    }
}

/// The label of a cock stands on the block behind it and leans back.
fn label_frame(cock: Vec3) -> Transform {
    Transform::from_translation(cock + Vec3::new(0.0, 0.028, -0.062))
        .with_rotation(Quat::from_rotation_x(-0.6))
}

/// The gauge behind the second cock in its own frame: it looks along +z.
pub fn gauge_frame(at: Vec3) -> Transform {
    let turn = Quat::from_rotation_y(-TURNS_RAD) * Quat::from_rotation_x(-LEANS_RAD);
    Transform::from_translation(at).with_rotation(turn)
}

/// The pipe to the gauge, and its case.
fn tapping(m: &mut Mason, cock: Vec3, gauge: Vec3) {
    let from = cock + Vec3::new(0.0, -PIPE_M, 0.055);
    let below = gauge_frame(gauge).transform_point(Vec3::new(0.0, 0.0, -0.035));
    m.of(Stuff::Steel, BRASS);
    m.pipe(
        &[
            from,
            Vec3::new(below.x, from.y, from.z),
            Vec3::new(below.x, from.y, below.z),
            below,
        ],
        0.007,
        8,
    );
    m.within(gauge_frame(gauge), |m| {
        m.of(Stuff::Steel, STEEL);
        let up = Transform::from_rotation(Quat::from_rotation_x(FRAC_PI_2));
        let r = GAUGE_M;
        m.within(up, |m| {
            m.turned(
                &[
                    (0.0, -0.034),
                    (0.94 * r, -0.032),
                    (r, -0.026),
                    (r, 0.005),
                    (0.94 * r, 0.008),
                    (0.885 * r, 0.008),
                    (0.87 * r, 0.0),
                    (0.0, 0.0),
                ],
                26,
            );
        });
    });
}

/// The lever of a cock about its hub: shut, it lies across the pipe.
pub fn lever(m: &mut Mason) {
    m.of(Stuff::Steel, STEEL);
    m.turned(
        &[(0.0, -0.010), (0.019, -0.010), (0.019, 0.010), (0.0, 0.012)],
        16,
    );
    m.rounded(
        Vec3::new(-0.35 * LEVER_M, 0.004, 0.0),
        Vec3::new(0.7 * LEVER_M, 0.006, 0.02),
        0.002,
    );
    m.of(Stuff::Paint, TEAL);
    m.rounded(
        Vec3::new(-0.70 * LEVER_M, 0.006, 0.0),
        Vec3::new(0.6 * LEVER_M, 0.018, 0.026),
        0.007,
    );
}

/// The needle of the gauge in the gauge's frame, pointing along +x.
pub fn needle(m: &mut Mason) {
    let r = 0.87 * GAUGE_M;
    m.of(Stuff::Paint, 0xc4161c);
    m.block(
        Vec3::new(0.30 * r, 0.0, 0.004),
        Vec3::new(1.05 * r, 0.075 * r, 0.001),
    );
    m.rounded(
        Vec3::new(0.0, 0.0, 0.004),
        Vec3::new(0.2 * r, 0.2 * r, 0.004),
        0.001,
    );
}

/// End of the gauge's scale, pascals.
const GAUGE_PA: f64 = 9e7;

/// How far the needle stands from +x for a pressure, radians to the left.
pub fn needle_rad(pressure_pa: f64) -> f32 {
    let share = (pressure_pa / GAUGE_PA) as f32;
    (225.0 - 270.0 * share.clamp(-0.01, 1.02)).to_radians()
}

/// Places on the sheet of dials and plates: `assets/make/plates.py` has the same.
const SHEET: f32 = 1024.0;
const LABELS: [[f32; 4]; 2] = [[356.0, 608.0, 156.0, 48.0], [356.0, 656.0, 156.0, 48.0]];
const FACE: [f32; 4] = [256.0, 608.0, 96.0, 96.0];

fn on_sheet([x, y, wide, high]: [f32; 4]) -> Rect {
    let corner = Vec2::new(x, y) / SHEET;
    Rect::from_corners(corner, corner + Vec2::new(wide, high) / SHEET)
}

/// What is printed: a label for each cock, and the face of the gauge.
pub fn printed(level: &Level) -> Option<Mesh> {
    let mut sheet = Sheet::default();
    for (cock, label) in cocks(level)?.into_iter().zip(LABELS) {
        let frame = label_frame(cock);
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(Vec2::from);
        let half = Vec2::new(0.050, 0.0154);
        sheet.flat(&frame, on_sheet(label), &corners, half, 0.5);
    }
    let rim: Vec<Vec2> = (0..28_u8)
        .map(|n| Vec2::from_angle(TAU * f32::from(n) / 28.0))
        .collect();
    let frame = gauge_frame(line_gauge_place(level)?);
    sheet.flat(
        &frame,
        on_sheet(FACE),
        &rim,
        Vec2::splat(0.875 * GAUGE_M),
        0.46,
    );
    Some(sheet.mesh())
}

/// Flat pieces that are cut out of the sheet.
#[derive(Default)]
struct Sheet {
    at: Vec<[f32; 3]>,
    normal: Vec<[f32; 3]>,
    uv: Vec<[f32; 2]>,
    corners: Vec<u32>,
}

impl Sheet {
    /// A flat piece with corners from -1 to 1, so large, that takes up so much of its place on the
    /// sheet to either side of its middle.
    fn flat(&mut self, frame: &Transform, from: Rect, corners: &[Vec2], half: Vec2, share: f32) {
        let first = self.at.len() as u32;
        let normal = (frame.rotation * Vec3::Z).to_array();
        for corner in corners {
            let at = (*corner * half).extend(0.001);
            self.at.push(frame.transform_point(at).to_array());
            self.normal.push(normal);
            let off = Vec2::new(corner.x, -corner.y) * from.size() * share;
            self.uv.push((from.center() + off).to_array());
        }
        for n in 1..corners.len() as u32 - 1 {
            self.corners.extend([first, first + n, first + n + 1]);
        }
    }

    fn mesh(self) -> Mesh {
        let white = vec![[1.0_f32; 4]; self.at.len()];
        Mesh::new(
            PrimitiveTopology::TriangleList,
            RenderAssetUsages::default(),
        )
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.at)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, self.normal)
        .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, self.uv)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, white)
        .with_inserted_indices(Indices::U32(self.corners))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_needle_goes_round_to_the_right_from_nought_to_the_end_of_its_scale() {
        let deg = |bar: f64| needle_rad(1e5 * bar).to_degrees();
        assert!((deg(0.0) - 225.0).abs() < 1e-3);
        // Half of the scale stands straight up.
        assert!((deg(450.0) - 90.0).abs() < 1e-3);
        assert!((deg(900.0) + 45.0).abs() < 1e-3);
        assert!(deg(5000.0) < -45.0 && deg(5000.0) > -55.0);
    }

    #[test]
    fn a_hose_hangs_from_its_cock_and_goes_on_as_it_lies_without_points_that_nearly_meet() {
        let level = |id: &str| {
            let loaded = training::load::Library::find().load(id);
            loaded.unwrap_or_else(|problems| panic!("{problems}")).level
        };
        let lies: Vec<Vec3> = (0..12_u8)
            .map(|n| Vec3::new(1.7 + 0.2 * f32::from(n), 0.02, 0.2 + 0.15 * f32::from(n)))
            .collect();
        let one = level("01_first_pressure");
        assert_eq!(led(&one, Control::LanceOutlet, lies.clone()), lies);
        let two = level("10_two_lines");
        for outlet in Control::OUTLETS {
            let hangs = led(&two, outlet, lies.clone());
            let cock = point(two.site.control(outlet).expect("a cock"));
            assert!(hangs[0].distance(cock) < 0.2, "{:?}", hangs[0]);
            assert_eq!(hangs.last(), lies.last());
            for pair in hangs.windows(2) {
                assert!(pair[0].distance(pair[1]) > 0.1, "{pair:?}");
            }
        }
    }

    #[test]
    fn what_is_printed_faces_who_stands_before_it_and_lies_on_its_place_of_the_sheet() {
        let mut sheet = Sheet::default();
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(Vec2::from);
        let place = on_sheet(LABELS[1]);
        sheet.flat(&Transform::IDENTITY, place, &corners, Vec2::ONE, 0.5);
        assert_eq!(sheet.normal[0], [0.0, 0.0, 1.0]);
        // The lower left corner comes from the lower left of the place.
        assert_eq!(sheet.uv[0], [place.min.x, place.max.y]);
        assert_eq!(sheet.uv[2], [place.max.x, place.min.y]);
        let [a, b, c] = [0, 1, 2].map(|n| Vec3::from(sheet.at[sheet.corners[n] as usize]));
        assert!((b - a).cross(c - a).z > 0.0);
    }
}
