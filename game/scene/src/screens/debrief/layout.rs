//! Where the parts of the debrief are, for a window of any size.

use bevy_egui::egui::{Rect, Vec2, pos2, vec2};

/// From this width on the surface has a column of its own, in points.
const WIDE: f32 = 1380.0;

/// Length of the row of buttons above the time line, in heights of a line of
/// text: where it is longer than its place, it takes more rows.
const BUTTONS_ROWS: f32 = 56.0;

/// Gap between the parts, points.
pub(super) const GAP: f32 = 8.0;

/// The parts of the debrief.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Layout {
    /// What it is about, and the ways out.
    pub head: Rect,
    /// What is told.
    pub told: Rect,
    /// The yard, seen again.
    pub yard: Rect,
    /// Play, speed, eyes.
    pub transport: Rect,
    /// The attempt over time.
    pub line: Rect,
    /// A column for the surface, where there is room.
    pub beside: Option<Rect>,
}

impl Layout {
    /// The parts in a window of this size, with rows as high as a line of text
    /// asks for.
    pub fn of(size: Vec2, row: f32, with_surface: bool) -> Self {
        let size = size.max(vec2(320.0, 240.0));
        let head_height = 2.1 * row;
        let head = Rect::from_min_size(pos2(0.0, 0.0), vec2(size.x, head_height));
        let top = head.bottom();
        let told_width = (0.345 * size.x).clamp(340.0_f32.min(0.5 * size.x), 560.0);
        let told = Rect::from_min_max(pos2(0.0, top), pos2(told_width, size.y));
        let beside = (with_surface && size.x >= WIDE).then(|| {
            let width = (0.2 * size.x).clamp(320.0, 430.0);
            Rect::from_min_max(pos2(size.x - width, top), pos2(size.x, size.y))
        });
        let right = beside.map_or(size.x, |b| b.left());
        let middle = Rect::from_min_max(pos2(told.right(), top), pos2(right, size.y));
        let rows = (BUTTONS_ROWS * row / (middle.width() - 3.0 * GAP).max(1.0)).ceil();
        let all = middle.height();
        let transport_height = (1.75 * row * rows.clamp(1.0, 3.0)).min(0.3 * all);
        // The yard is never crowded out altogether.
        let line_height = (0.53 * all)
            .clamp(11.0 * row, 520.0_f32.max(11.0 * row))
            .min(0.85 * all - transport_height);
        let line = Rect::from_min_max(
            pos2(middle.left(), middle.bottom() - line_height),
            middle.max,
        );
        let transport = Rect::from_min_max(
            pos2(middle.left(), line.top() - transport_height),
            pos2(middle.right(), line.top()),
        );
        let yard = Rect::from_min_max(
            middle.min,
            pos2(middle.right(), transport.top().max(middle.top() + 1.0)),
        );
        Layout {
            head,
            told,
            yard,
            transport,
            line,
            beside,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: [[f32; 2]; 5] = [
        [1280.0, 720.0],
        [1920.0, 1080.0],
        [853.0, 480.0],
        [2560.0, 1440.0],
        [640.0, 360.0],
    ];

    #[test]
    fn parts_do_not_overlap_and_stay_in_the_window() {
        for [w, h] in SIZES {
            for row in [14.0, 18.0, 27.0] {
                let layout = Layout::of(vec2(w, h), row, true);
                let window = Rect::from_min_size(pos2(0.0, 0.0), vec2(w, h));
                let mut parts = vec![
                    layout.head,
                    layout.told,
                    layout.yard,
                    layout.transport,
                    layout.line,
                ];
                parts.extend(layout.beside);
                for (n, part) in parts.iter().enumerate() {
                    assert!(
                        part.width() > 0.0 && part.height() > 0.0,
                        "{w} {row} {part:?}"
                    );
                    assert!(
                        window.expand(0.5).contains_rect(*part),
                        "{w} {row} {part:?}"
                    );
                    for other in &parts[n + 1..] {
                        let both = part.intersect(*other);
                        let overlap = both.width().max(0.0) * both.height().max(0.0);
                        assert!(overlap < 1.0, "{w} {row}: {part:?} and {other:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_yard_keeps_a_third_of_the_height_at_usual_sizes() {
        for [w, h] in [[1280.0, 720.0], [1920.0, 1080.0]] {
            let layout = Layout::of(vec2(w, h), 18.0, true);
            assert!(layout.yard.height() >= 0.33 * h, "{layout:?}");
            assert!(layout.yard.width() >= 0.4 * w, "{layout:?}");
        }
    }

    #[test]
    fn only_a_wide_window_has_a_column_beside() {
        assert!(Layout::of(vec2(1280.0, 720.0), 18.0, true).beside.is_none());
        assert!(
            Layout::of(vec2(1920.0, 1080.0), 18.0, true)
                .beside
                .is_some()
        );
        assert!(
            Layout::of(vec2(1920.0, 1080.0), 18.0, false)
                .beside
                .is_none()
        );
    }
}
