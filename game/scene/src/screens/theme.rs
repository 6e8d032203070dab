//! How all screens look: colours, sizes and fonts by name, and the few parts
//! that every screen is made of.

use crate::app;
use crate::settings::Settings;
use crate::sitting::Shelf;
use bevy::prelude::*;
use bevy_egui::EguiContexts;
use bevy_egui::egui::{
    self, Align, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Frame,
    Layout, Margin, Response, RichText, Stroke, TextStyle, Ui, UiBuilder, Vec2,
};
use std::path::Path;
use std::sync::Arc;

/// Ground behind everything.
pub const INK: Color32 = Color32::from_rgb(14, 19, 24);
/// Ground of a panel.
pub const PANEL: Color32 = Color32::from_rgb(20, 27, 33);
/// What lies on a panel: cards, buttons.
pub const RAISED: Color32 = Color32::from_rgb(31, 41, 49);
/// A button with the pointer over it.
pub const LIT: Color32 = Color32::from_rgb(42, 55, 65);
/// Fine lines that say nothing by themselves.
pub const LINE: Color32 = Color32::from_rgb(58, 70, 79);
/// The edge of what can be pressed or ticked.
pub const EDGE: Color32 = Color32::from_rgb(98, 112, 120);
/// Words.
pub const TEXT: Color32 = Color32::from_rgb(238, 232, 220);
/// Words of less weight.
pub const FAINT: Color32 = Color32::from_rgb(166, 172, 170);
/// What asks for attention, and what the keyboard is at.
pub const AMBER: Color32 = Color32::from_rgb(232, 168, 62);
/// Water, and what is in order.
pub const TEAL: Color32 = Color32::from_rgb(96, 190, 184);
/// Danger, in words.
pub const RED: Color32 = Color32::from_rgb(244, 128, 112);
/// Ground of a danger, with words on it.
pub const RED_GROUND: Color32 = Color32::from_rgb(120, 32, 26);

/// Size of the name on the title.
pub const TITLE: f32 = 58.0;
/// Size of the head of a screen.
pub const HEADING: f32 = 30.0;
/// Size of the head of a part.
pub const PART: f32 = 20.0;
/// Size of running text.
pub const BODY: f32 = 16.0;
/// Size of notes.
pub const SMALL: f32 = 13.5;
/// Space between things that belong together.
pub const GAP: f32 = 8.0;
/// Space between things that do not.
pub const SPACE: f32 = 20.0;
/// Height of a button.
pub const BUTTON: f32 = 40.0;

/// Name of the family of headings.
const HEADINGS: &str = "headings";
/// Name of the family of words with weight.
const STRONG: &str = "strong";

/// Whether fonts and style are in place: in the picture after they were set.
#[derive(Resource, Default)]
pub struct Dressed {
    pictures: u32,
    scale: f32,
}

/// Screens draw once fonts and style are in place.
pub fn is_dressed(dressed: Res<Dressed>) -> bool {
    dressed.pictures > 1
}

/// A font file that the drawing code can be trusted with: a whole table of
/// contents, every part of it within the file, and the parts that it needs.
fn is_font(bytes: &[u8]) -> bool {
    let word = |at: usize| {
        let four = bytes.get(at..at + 4)?.try_into().ok()?;
        Some(u32::from_be_bytes(four) as usize)
    };
    let count = bytes
        .get(4..6)
        .map_or(0, |b| usize::from(b[0]) << 8 | usize::from(b[1]));
    let known = matches!(bytes.get(..4), Some([0, 1, 0, 0] | b"OTTO" | b"true"));
    let mut missing: Vec<&[u8]> = vec![b"cmap", b"head", b"hhea", b"hmtx", b"maxp"];
    let whole = (0..count).all(|n| {
        let at = 12 + 16 * n;
        let (Some(name), Some(from), Some(long)) =
            (bytes.get(at..at + 4), word(at + 8), word(at + 12))
        else {
            return false;
        };
        missing.retain(|m| *m != name);
        from.checked_add(long).is_some_and(|end| end <= bytes.len())
    });
    known && count > 0 && whole && missing.is_empty()
}

/// The fonts of a folder, each for what its name says it is for; what is not
/// there is drawn with a font of the drawing code.
fn fonts(folder: &Path) -> FontDefinitions {
    let mut found = FontDefinitions::default();
    // Arrows are in the font of figures only.
    let plain: Vec<String> = [FontFamily::Proportional, FontFamily::Monospace]
        .iter()
        .flat_map(|family| found.families.get(family).cloned().unwrap_or_default())
        .collect();
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "ttf" || e == "otf"))
        .collect();
    files.sort();
    let names: Vec<String> = files
        .iter()
        .map(|f| {
            f.file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .to_lowercase()
        })
        .collect();
    let heavy = |name: &str| ["bold", "600", "700"].iter().any(|w| name.contains(w));
    let narrow = |name: &str| name.contains("condensed");
    let mut take = |wanted: &dyn Fn(&str) -> bool| {
        let n = names.iter().position(|name| wanted(name))?;
        let bytes = std::fs::read(&files[n]).ok().filter(|b| is_font(b))?;
        let data = Arc::new(FontData::from_owned(bytes));
        found.font_data.insert(names[n].clone(), data);
        Some(names[n].clone())
    };
    let text = take(&|n| !narrow(n) && !heavy(n) && !n.contains("italic"));
    let strong = take(&|n| !narrow(n) && heavy(n));
    let heading = take(&|n| narrow(n) && heavy(n)).or_else(|| take(&|n| narrow(n)));
    let chain = |first: &[&Option<String>]| -> Vec<String> {
        let own = first.iter().filter_map(|f| (*f).clone());
        own.chain(plain.iter().cloned()).collect()
    };
    let families = [
        (FontFamily::Proportional, chain(&[&text])),
        (FontFamily::Name(STRONG.into()), chain(&[&strong, &text])),
        (
            FontFamily::Name(HEADINGS.into()),
            chain(&[&heading, &strong, &text]),
        ),
    ];
    found.families.extend(families);
    found
}

/// How much larger than a point things are drawn so that a screen is as well
/// filled in a large window as in a small one.
fn fit(height_px: f32) -> f32 {
    let of_small = height_px / 720.0;
    if of_small < 1.0 {
        of_small.max(0.75)
    } else {
        (1.0 + 0.7 * (of_small - 1.0)).min(2.5)
    }
}

/// Sets fonts and style, and the size of everything.
pub fn dress(
    mut contexts: EguiContexts,
    mut dressed: ResMut<Dressed>,
    settings: Res<Settings>,
    shelf: Option<Res<Shelf>>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    if dressed.pictures == 0 {
        let folder = shelf.map(|shelf| app::assets(&shelf.library).join("fonts"));
        ctx.set_fonts(fonts(&folder.unwrap_or_default()));
        ctx.set_theme(egui::Theme::Dark);
        ctx.all_styles_mut(style);
    }
    dressed.pictures = (dressed.pictures + 1).min(2);
    // What the window is high without any scale of ours.
    let height = ctx.viewport_rect().height() * ctx.zoom_factor();
    let wanted = settings.text_scale.clamp(0.75, 2.0) * fit(height);
    let wanted = (20.0 * wanted).round() / 20.0;
    if dressed.scale != wanted {
        dressed.scale = wanted;
        ctx.set_zoom_factor(wanted);
    }
    Ok(())
}

/// Fonts and style without a window.
#[cfg(test)]
pub fn dress_for_tests(ctx: &egui::Context) {
    ctx.set_fonts(fonts(Path::new("")));
    ctx.set_theme(egui::Theme::Dark);
    ctx.all_styles_mut(style);
}

fn style(style: &mut egui::Style) {
    let family = |name: &str| FontFamily::Name(name.into());
    style.text_styles = [
        (TextStyle::Heading, FontId::new(HEADING, family(HEADINGS))),
        (TextStyle::Body, FontId::new(BODY, FontFamily::Proportional)),
        (
            TextStyle::Button,
            FontId::new(BODY, FontFamily::Proportional),
        ),
        (
            TextStyle::Small,
            FontId::new(SMALL, FontFamily::Proportional),
        ),
        (
            TextStyle::Monospace,
            FontId::new(SMALL, FontFamily::Monospace),
        ),
    ]
    .into();
    let spacing = &mut style.spacing;
    spacing.item_spacing = Vec2::splat(GAP);
    spacing.button_padding = Vec2::new(14.0, 8.0);
    spacing.interact_size = Vec2::new(40.0, 30.0);
    spacing.slider_width = 240.0;
    spacing.icon_width = 20.0;
    spacing.icon_width_inner = 12.0;
    let scroll = &mut spacing.scroll;
    *scroll = egui::style::ScrollStyle::thin();
    scroll.floating_width = 5.0;
    scroll.bar_width = 9.0;
    scroll.floating_allocated_width = 14.0;
    scroll.foreground_color = true;
    scroll.dormant_background_opacity = 0.0;
    scroll.active_background_opacity = 0.0;
    scroll.dormant_handle_opacity = 0.35;
    scroll.active_handle_opacity = 0.5;
    style.interaction.selectable_labels = false;
    let visuals = &mut style.visuals;
    visuals.dark_mode = true;
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(FAINT);
    visuals.panel_fill = PANEL;
    visuals.window_fill = PANEL;
    visuals.window_stroke = Stroke::new(1.0, LINE);
    visuals.extreme_bg_color = INK;
    visuals.text_edit_bg_color = Some(INK);
    visuals.faint_bg_color = RAISED;
    visuals.hyperlink_color = TEAL;
    visuals.warn_fg_color = AMBER;
    visuals.error_fg_color = RED;
    visuals.selection.bg_fill = Color32::from_rgb(88, 66, 26);
    visuals.selection.stroke = Stroke::new(1.0, AMBER);
    visuals.slider_trailing_fill = true;
    let widgets = &mut visuals.widgets;
    let looks = [
        (&mut widgets.noninteractive, RAISED, LINE, 1.0),
        (&mut widgets.inactive, RAISED, EDGE, 1.0),
        (&mut widgets.hovered, LIT, FAINT, 1.0),
        // What the keyboard is at must be seen from across a room.
        (&mut widgets.active, LIT, AMBER, 2.0),
        (&mut widgets.open, LIT, FAINT, 1.0),
    ];
    for (look, ground, edge, width) in looks {
        look.bg_fill = ground;
        look.weak_bg_fill = ground;
        look.bg_stroke = Stroke::new(width, edge);
        look.fg_stroke = Stroke::new(1.5, TEXT);
        look.corner_radius = CornerRadius::same(3);
        look.expansion = 0.0;
    }
}

/// The whole screen to be laid out.
pub fn root(ctx: &egui::Context, name: &str) -> Ui {
    let builder = UiBuilder::new()
        .layer_id(egui::LayerId::background())
        .max_rect(ctx.viewport_rect());
    Ui::new(ctx.clone(), egui::Id::new(name), builder)
}

/// A colour through which what lies behind is seen.
pub fn through(colour: Color32, share: f32) -> Color32 {
    let [r, g, b, _] = colour.to_array();
    Color32::from_rgba_unmultiplied(r, g, b, (255.0 * share) as u8)
}

/// The head of a screen.
pub fn heading(words: impl Into<String>) -> RichText {
    RichText::new(words)
        .font(FontId::new(HEADING, FontFamily::Name(HEADINGS.into())))
        .color(TEXT)
}

/// The head of a part.
pub fn part(words: impl Into<String>) -> RichText {
    RichText::new(words)
        .font(FontId::new(PART, FontFamily::Name(HEADINGS.into())))
        .color(AMBER)
}

/// Words with weight.
pub fn strong(words: impl Into<String>) -> RichText {
    RichText::new(words)
        .font(FontId::new(BODY, FontFamily::Name(STRONG.into())))
        .color(TEXT)
}

/// Running text.
pub fn body(words: impl Into<String>) -> RichText {
    RichText::new(words).size(BODY).color(TEXT)
}

/// Words of less weight.
pub fn faint(words: impl Into<String>) -> RichText {
    RichText::new(words).size(SMALL).color(FAINT)
}

/// The font of headings in a size.
pub fn heading_font(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(HEADINGS.into()))
}

/// A card that lies on a panel.
pub fn card() -> Frame {
    Frame::new()
        .fill(RAISED)
        .stroke(Stroke::new(1.0, LINE))
        .corner_radius(CornerRadius::same(4))
        .inner_margin(Margin::same(16))
}

/// How little is seen through what lies over the yard: words on it have to be
/// read before a bright sky.
pub const COVER: f32 = 0.975;

/// A small panel over the yard.
pub fn over() -> Frame {
    Frame::new()
        .fill(through(INK, COVER))
        .corner_radius(CornerRadius::same(4))
        .inner_margin(Margin::symmetric(12, 8))
}

/// Shows where the keyboard has gone, also where that is out of sight.
pub fn followed(response: Response) -> Response {
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response
}

/// Where the keyboard begins, if it is nowhere.
pub fn begins(response: &Response) {
    if response.ctx.memory(|m| m.focused().is_none()) {
        response.request_focus();
    }
}

/// A button across the width that there is, its words at the left.
pub fn button(ui: &mut Ui, words: impl Into<String>) -> Response {
    let button = egui::Button::new(body(words)).min_size(Vec2::new(0.0, BUTTON));
    let wide = Layout::top_down_justified(Align::LEFT);
    followed(ui.with_layout(wide, |ui| ui.add(button)).inner)
}

/// A button that is as wide as its words.
pub fn small_button(ui: &mut Ui, words: impl Into<String>) -> Response {
    followed(ui.button(body(words)))
}

/// What most people want next.
fn main_button(words: String) -> egui::Button<'static> {
    let words = RichText::new(words)
        .font(FontId::new(BODY, FontFamily::Name(STRONG.into())))
        .color(INK);
    egui::Button::new(words)
        .fill(AMBER)
        .min_size(Vec2::new(0.0, BUTTON))
}

/// The button that most people want next.
pub fn main(ui: &mut Ui, words: impl Into<String>, wide: bool) -> Response {
    main_if(ui, words, wide, true)
}

/// The same, where it may not be pressed yet.
pub fn main_if(ui: &mut Ui, words: impl Into<String>, wide: bool, may: bool) -> Response {
    let button = main_button(words.into());
    let add = |ui: &mut Ui| {
        // On amber, the edge of the one that the keyboard is at has to be pale.
        let active = &mut ui.visuals_mut().widgets.active;
        active.bg_stroke = Stroke::new(3.0, TEXT);
        ui.add_enabled(may, button)
    };
    let response = if wide {
        ui.with_layout(Layout::top_down_justified(Align::LEFT), add)
            .inner
    } else {
        ui.scope(add).inner
    };
    followed(response)
}

/// One of several, of which one holds.
pub fn choice(ui: &mut Ui, holds: bool, words: impl Into<String>) -> Response {
    let words = body(words).color(if holds { AMBER } else { TEXT });
    let mut button = egui::Button::new(words).selected(holds);
    if holds {
        button = button.stroke(Stroke::new(1.0, AMBER));
    }
    followed(ui.add(button))
}

/// A line of text with a mark before it.
pub fn bullet(ui: &mut Ui, colour: Color32, words: RichText) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 10.0;
        let height = ui.text_style_height(&TextStyle::Body);
        let (rect, _) = ui.allocate_exact_size(Vec2::new(6.0, height), egui::Sense::hover());
        let mark = egui::Rect::from_center_size(rect.center(), Vec2::splat(5.0));
        ui.painter().rect_filled(mark, 1.0, colour);
        ui.add(egui::Label::new(words).wrap());
    });
}

/// A part that is moved up and down where it is too long, by keys as well.
pub fn scroll<R>(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    let shown = egui::ScrollArea::vertical()
        .id_salt(name)
        .auto_shrink([false, false])
        .show(ui, |ui| {
            let page = 0.8 * ui.clip_rect().height();
            let by = ui.input(|i| {
                use egui::Key::{End, Home, PageDown, PageUp};
                let pressed = |key| f32::from(u8::from(i.key_pressed(key)));
                page * (pressed(PageUp) - pressed(PageDown)) + 1e5 * (pressed(Home) - pressed(End))
            });
            if by != 0.0 && !ui.ctx().egui_wants_keyboard_input() {
                ui.scroll_with_delta(Vec2::new(0.0, by));
            }
            add(ui)
        });
    let below = shown.content_size.y - shown.state.offset.y - shown.inner_rect.height();
    if below > 1.0 {
        goes_on(ui, shown.inner_rect, below);
    }
    shown.inner
}

/// Height over which a part fades out that goes on below, points.
const FADE: f32 = 34.0;

/// Lets a part fade out at its foot, so that nobody takes the cut for the end.
fn goes_on(ui: &Ui, part: egui::Rect, below: f32) {
    let ground = ui.visuals().panel_fill;
    let fade = FADE.min(2.0 * below);
    let (top, foot) = (part.bottom() - fade, part.bottom());
    let mut shade = egui::Mesh::default();
    for (y, colour) in [(top, Color32::TRANSPARENT), (foot, ground)] {
        for x in [part.left(), part.right()] {
            shade.colored_vertex(egui::pos2(x, y), colour);
        }
    }
    shade.add_triangle(0, 1, 2);
    shade.add_triangle(1, 3, 2);
    ui.painter().add(shade);
    let tip = egui::pos2(part.center().x, foot - 3.0);
    let plate = egui::Rect::from_center_size(tip - Vec2::new(0.0, 4.0), Vec2::new(30.0, 14.0));
    ui.painter().rect_filled(plate, 4.0, ground);
    let arrow = [tip + Vec2::new(-7.0, -6.0), tip, tip + Vec2::new(7.0, -6.0)];
    let stroke = egui::Stroke::new(2.0, FAINT);
    ui.painter().line_segment([arrow[0], arrow[1]], stroke);
    ui.painter().line_segment([arrow[1], arrow[2]], stroke);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of a colour (WCAG 2.2, definition).
    fn luminance(colour: Color32) -> f64 {
        let channel = |byte: u8| {
            let c = f64::from(byte) / 255.0;
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(colour.r()) + 0.7152 * channel(colour.g()) + 0.0722 * channel(colour.b())
    }

    /// Contrast of two colours (WCAG 2.2, definition).
    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn all_text_has_the_contrast_that_wcag_asks_of_running_text() {
        // WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1.
        for text in [TEXT, FAINT, AMBER, TEAL, RED] {
            for ground in [INK, PANEL, RAISED, LIT] {
                assert!(contrast(text, ground) >= 4.5, "{text:?} on {ground:?}");
            }
        }
        assert!(contrast(INK, AMBER) >= 4.5);
        assert!(contrast(TEXT, RED_GROUND) >= 4.5);
        // The comparer can fail.
        assert!(contrast(LINE, PANEL) < 4.5);
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn words_over_the_yard_are_read_before_the_brightest_sky() {
        // The picture is blended in linear light.
        for ground in [INK, PANEL] {
            let seen = f64::from(COVER) * luminance(ground) + 1.0 - f64::from(COVER);
            for text in [TEXT, FAINT, AMBER, TEAL, RED] {
                assert!((luminance(text) + 0.05) / (seen + 0.05) >= 4.5, "{text:?}");
            }
        }
    }

    #[test]
    fn the_edge_of_what_the_keyboard_is_at_is_seen() {
        // WCAG 2.2, success criterion 1.4.11: at least 3 to 1.
        for ground in [INK, PANEL, RAISED] {
            assert!(contrast(AMBER, ground) >= 3.0);
        }
        for ground in [INK, PANEL] {
            assert!(contrast(EDGE, ground) >= 3.0);
        }
    }

    #[test]
    fn all_families_have_a_font_where_there_is_no_folder() {
        let found = fonts(Path::new("/nowhere"));
        for family in [
            FontFamily::Proportional,
            FontFamily::Monospace,
            FontFamily::Name(HEADINGS.into()),
            FontFamily::Name(STRONG.into()),
        ] {
            let names = &found.families[&family];
            assert!(!names.is_empty());
            assert!(names.iter().all(|n| found.font_data.contains_key(n)));
        }
    }

    #[test]
    fn a_font_that_is_cut_short_is_no_font() {
        let whole = FontDefinitions::default();
        let data = whole.font_data.values().next().unwrap();
        assert!(is_font(&data.font));
        assert!(!is_font(&data.font[..data.font.len() / 2]));
        assert!(!is_font(b"no font at all"));
        assert!(!is_font(b""));
    }

    #[test]
    fn a_larger_window_is_filled_with_larger_words() {
        assert_eq!(fit(720.0), 1.0);
        assert!(fit(1080.0) > 1.2 && fit(1080.0) < 1.5);
        assert_eq!(fit(100.0), 0.75);
        assert_eq!(fit(100_000.0), 2.5);
    }
}
