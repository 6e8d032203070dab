//! The yard is seen again in the free part of the window.

use super::Desk;
use crate::flow::{Bare, FrameSystems, Screen};
use crate::world::YardCamera;
use bevy::camera::SubCameraView;
use bevy::prelude::*;
use bevy_egui::egui;

/// The view of a window of so many pixels that has the middle of its picture in
/// the middle of a part of it, and fills that part. The window as a whole stays
/// what is drawn on, because screens are drawn through the same camera.
fn around(part: egui::Rect, window: UVec2) -> Option<SubCameraView> {
    let size = window.as_vec2();
    let sound = size.min_element() >= 1.0 && part.is_finite() && part.is_positive();
    if !sound {
        return None;
    }
    // In the shape of the window, so that nothing is left out at the sides.
    let scale = (part.width() / size.x).max(part.height() / size.y);
    let full = (size * scale).round().max(Vec2::ONE);
    let middle = Vec2::new(part.center().x, part.center().y);
    Some(SubCameraView {
        full_size: full.as_uvec2(),
        offset: 0.5 * full - middle,
        size: window,
    })
}

/// Keeps the picture of the yard to the part that is free.
fn keep(desk: Res<Desk>, bare: Res<Bare>, mut cameras: Query<&mut Camera, With<YardCamera>>) {
    for mut camera in &mut cameras {
        let window = camera.physical_target_size();
        let part = desk.yard.filter(|_| !bare.0);
        let view = part
            .zip(window)
            .and_then(|(part, window)| around(part, window));
        if camera.sub_camera_view != view {
            camera.sub_camera_view = view;
        }
    }
}

fn leave(mut cameras: Query<&mut Camera, With<YardCamera>>) {
    for mut camera in &mut cameras {
        camera.sub_camera_view = None;
    }
}

/// Sets up where the yard is seen.
pub(super) fn plugin(app: &mut App) {
    app.add_systems(OnExit(Screen::Debrief), leave).add_systems(
        Update,
        keep.in_set(FrameSystems::Show)
            .run_if(in_state(Screen::Debrief)),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevy::camera::{CameraProjection, PerspectiveProjection};

    /// Where a point ahead is drawn, pixels from the upper left corner.
    fn drawn(view: &SubCameraView, at: Vec3) -> Vec2 {
        let lens = PerspectiveProjection::default();
        let clip = lens.get_clip_from_view_for_sub(view).project_point3(at);
        let size = view.size.as_vec2();
        Vec2::new(0.5 + 0.5 * clip.x, 0.5 - 0.5 * clip.y) * size
    }

    #[test]
    fn what_is_straight_ahead_is_in_the_middle_of_the_part() {
        for (part, window) in [
            ([440.0, 40.0, 1280.0, 320.0], UVec2::new(1280, 720)),
            ([300.0, 30.0, 700.0, 900.0], UVec2::new(1920, 1080)),
        ] {
            let [left, top, right, bottom] = part;
            let part = egui::Rect::from_min_max(egui::pos2(left, top), egui::pos2(right, bottom));
            let view = around(part, window).expect("a part of a window");
            let middle = drawn(&view, Vec3::new(0.0, 0.0, -5.0));
            let wanted = Vec2::new(part.center().x, part.center().y);
            assert!(middle.distance(wanted) < 1.0, "{middle} for {wanted}");
            // The whole picture reaches over the whole part.
            let full = view.full_size.as_vec2();
            assert!(full.x >= part.width() - 1.0 && full.y >= part.height() - 1.0);
        }
    }

    #[test]
    fn nothing_is_nothing_to_be_seen_in() {
        let part = egui::Rect::from_min_max(egui::pos2(0.0, 0.0), egui::pos2(10.0, 10.0));
        assert!(around(part, UVec2::ZERO).is_none());
        assert!(around(egui::Rect::NOTHING, UVec2::new(10, 10)).is_none());
    }
}
