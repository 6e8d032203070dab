//! Settings, from the title and from a halted attempt.

use super::theme::{self, AMBER, FAINT, GAP, RED, SPACE, TEAL, TEXT};
use crate::flow::Screen;
use crate::hands::keymap::{Binding, Deed, Keymap};
use crate::hands::names;
use crate::settings::{MOUSE, Quality, Settings, TEXT_SCALES, Units, VIEWS_DEG, can_be_kept};
use bevy::input::gamepad::Gamepad;
use bevy::prelude::*;
use bevy_egui::EguiContexts;
use bevy_egui::egui::{self, Align, Label, Layout, Slider, Ui, Vec2};
use core::ops::RangeInclusive;
use training::text::{number, say};

/// A part of the settings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Part {
    #[default]
    Picture,
    Sound,
    Hands,
    Keys,
}

impl Part {
    const ALL: [Part; 4] = [Part::Picture, Part::Sound, Part::Hands, Part::Keys];

    fn id(self) -> &'static str {
        match self {
            Part::Picture => "picture",
            Part::Sound => "sound",
            Part::Hands => "hands",
            Part::Keys => "keys",
        }
    }
}

/// Which part is open, and which deed waits for a key.
#[derive(Resource, Default)]
pub(super) struct Waits {
    part: Part,
    /// The deed, and the place in the list that is replaced; one past the end
    /// adds a line.
    wanted: Option<(Deed, usize)>,
    /// A key was taken in this picture: it means nothing else.
    taken: bool,
    /// What came of it.
    told: Option<String>,
}

impl Waits {
    /// Whether keys belong to a deed that waits for one.
    pub(super) fn holds_keys(&self) -> bool {
        self.wanted.is_some() || self.taken
    }

    /// A picture is laid out to its end.
    pub(super) fn end_picture(&mut self) {
        self.taken = false;
    }
}

pub(super) fn screen(
    mut contexts: EguiContexts,
    mut settings: ResMut<Settings>,
    mut waits: ResMut<Waits>,
    mut next: ResMut<NextState<Screen>>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let mut root = theme::root(&ctx, "settings");
    let mut back = super::wants_back(&ctx) && !waits.holds_keys();
    super::choice::full(&mut root, |ui| {
        ui.horizontal(|ui| {
            ui.label(theme::heading(say("scene-settings-title", &[])));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                back |= theme::small_button(ui, say("scene-back", &[])).clicked();
            });
        });
        ui.separator();
        // Looked at before, so that a picture that changes nothing writes nothing.
        let mut changed = settings.clone();
        show(ui, &mut changed, &mut waits);
        settings.set_if_neq(changed);
    });
    waits.end_picture();
    if back {
        *waits = Waits::default();
        next.set(Screen::Title);
    }
    Ok(())
}

/// All settings, part by part.
pub(super) fn show(ui: &mut Ui, settings: &mut Settings, waits: &mut Waits) {
    ui.add_space(GAP);
    ui.horizontal_wrapped(|ui| {
        for part in Part::ALL {
            let words = say(&format!("scene-settings-part-{}", part.id()), &[]);
            let tab = theme::choice(ui, waits.part == part, words);
            if waits.part == part {
                theme::begins(&tab);
            }
            if tab.clicked() && !waits.holds_keys() {
                waits.part = part;
                waits.told = None;
            }
        }
    });
    ui.add_space(GAP);
    theme::scroll(ui, waits.part.id(), |ui| {
        ui.set_max_width(780.0);
        ui.spacing_mut().item_spacing.y = 12.0;
        match waits.part {
            Part::Picture => picture(ui, settings),
            Part::Sound => sound(ui, settings),
            Part::Hands => hands(ui, settings),
            Part::Keys => keys(ui, settings, waits),
        }
    });
}

/// A line: what is set, what it does, and the part that sets it.
fn line(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui)) {
    let width = ui.available_width();
    let left = (0.45 * width).min(340.0);
    ui.horizontal_top(|ui| {
        let size = Vec2::new(left, 0.0);
        ui.allocate_ui_with_layout(size, Layout::top_down(Align::LEFT), |ui| {
            ui.set_width(left);
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.add(Label::new(theme::body(say(&format!("scene-settings-{name}"), &[]))).wrap());
            let about = say(&format!("scene-settings-{name}-about"), &[]);
            ui.add(Label::new(theme::faint(about)).wrap());
        });
        ui.add_space(SPACE);
        ui.horizontal(add);
    });
}

fn one_of<T: PartialEq + Copy>(ui: &mut Ui, now: &mut T, all: &[(T, &str)]) {
    for (value, id) in all {
        if theme::choice(ui, now == value, say(id, &[])).clicked() {
            *now = *value;
        }
    }
}

fn slider(ui: &mut Ui, value: &mut f32, range: RangeInclusive<f32>, step: f64, shown: String) {
    let slider = Slider::new(value, range).step_by(step).show_value(false);
    theme::followed(ui.add(slider));
    ui.label(theme::body(shown).color(AMBER));
}

fn share(value: f32) -> String {
    say(
        "scene-percent",
        &[("number", &number(f64::from(100.0 * value), 0))],
    )
}

fn tick(ui: &mut Ui, on: &mut bool) {
    let words = say(
        if *on {
            "scene-settings-on"
        } else {
            "scene-settings-off"
        },
        &[],
    );
    theme::followed(ui.checkbox(on, theme::body(words)));
}

fn picture(ui: &mut Ui, s: &mut Settings) {
    line(ui, "units", |ui| {
        one_of(
            ui,
            &mut s.units,
            &[
                (Units::Metric, "scene-settings-units-metric"),
                (Units::UsCustomary, "scene-settings-units-us"),
            ],
        );
    });
    line(ui, "text_scale", |ui| {
        let shown = share(s.text_scale);
        // The size changes once the slider is let go: what is drawn under the
        // pointer would else run away from it.
        let id = ui.id().with("text_scale");
        let mut now = ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(s.text_scale);
        let slider = Slider::new(&mut now, TEXT_SCALES)
            .step_by(0.05)
            .show_value(false);
        let moved = theme::followed(ui.add(slider));
        if moved.dragged() {
            ui.data_mut(|d| d.insert_temp(id, now));
        } else {
            ui.data_mut(|d| d.remove::<f32>(id));
            s.text_scale = now;
        }
        ui.label(theme::body(if moved.dragged() { share(now) } else { shown }).color(AMBER));
    });
    line(ui, "quality", |ui| {
        one_of(
            ui,
            &mut s.quality,
            &[
                (Quality::Low, "scene-settings-quality-low"),
                (Quality::High, "scene-settings-quality-high"),
            ],
        );
    });
    line(ui, "view", |ui| {
        let shown = say(
            "scene-degrees",
            &[("number", &number(f64::from(s.view_deg), 0))],
        );
        slider(ui, &mut s.view_deg, VIEWS_DEG, 1.0, shown);
    });
    line(ui, "sway", |ui| {
        let shown = share(s.sway);
        slider(ui, &mut s.sway, 0.0..=1.0, 0.05, shown);
    });
    line(ui, "fullscreen", |ui| tick(ui, &mut s.fullscreen));
}

fn sound(ui: &mut Ui, s: &mut Settings) {
    line(ui, "loudness", |ui| {
        let shown = share(s.loudness);
        slider(ui, &mut s.loudness, 0.0..=1.0, 0.05, shown);
    });
    line(ui, "voices", |ui| {
        let shown = share(s.voices);
        slider(ui, &mut s.voices, 0.0..=1.0, 0.05, shown);
    });
    line(ui, "captions", |ui| tick(ui, &mut s.captions));
}

fn hands(ui: &mut Ui, s: &mut Settings) {
    line(ui, "mouse", |ui| {
        let slider = Slider::new(&mut s.mouse, MOUSE).show_value(false);
        theme::followed(ui.add(slider));
        ui.label(theme::body(number(f64::from(s.mouse), 0)).color(AMBER));
    });
    line(ui, "invert", |ui| tick(ui, &mut s.invert));
    line(ui, "toggles", |ui| tick(ui, &mut s.toggles));
    line(ui, "follows", |ui| tick(ui, &mut s.follows));
}

fn keys(ui: &mut Ui, s: &mut Settings, waits: &mut Waits) {
    ui.add(Label::new(theme::faint(say("scene-settings-keys-about", &[]))).wrap());
    let told = match waits.wanted {
        Some((deed, _)) => {
            let words = say("scene-settings-keys-press", &[("deed", &names::deed(deed))]);
            theme::strong(words).color(AMBER)
        }
        None => theme::body(waits.told.clone().unwrap_or_default()).color(TEAL),
    };
    ui.add(Label::new(told).wrap());
    ui.spacing_mut().item_spacing.y = 4.0;
    for (n, deed) in Deed::ALL.into_iter().enumerate() {
        let fill = if n.is_multiple_of(2) {
            theme::RAISED
        } else {
            theme::PANEL
        };
        let frame = egui::Frame::new()
            .fill(fill)
            .inner_margin(egui::Margin::symmetric(10, 3));
        frame.show(ui, |ui| row(ui, s, waits, deed));
    }
    ui.add_space(GAP);
    if theme::small_button(ui, say("scene-settings-keys-reset", &[])).clicked()
        && !waits.holds_keys()
    {
        s.keys = Keymap::default();
        waits.told = Some(say("scene-settings-keys-were_reset", &[]));
    }
}

fn row(ui: &mut Ui, s: &Settings, waits: &mut Waits, deed: Deed) {
    ui.horizontal(|ui| {
        let size = Vec2::new(240.0, 26.0);
        ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
            ui.set_width(size.x);
            ui.add(Label::new(theme::body(names::deed(deed))).truncate());
        });
        let mut none = true;
        for (n, (_, binding)) in s.keys.0.iter().enumerate().filter(|(_, (d, _))| *d == deed) {
            none = false;
            let waiting = waits.wanted == Some((deed, n));
            let words = if waiting {
                say("scene-settings-keys-waits", &[])
            } else {
                names::binding(*binding)
            };
            let pressed = theme::choice(ui, waiting, words).clicked();
            if pressed && !waits.holds_keys() {
                waits.wanted = Some((deed, n));
            }
        }
        if none {
            ui.label(theme::body(say("scene-settings-keys-none", &[])).color(RED));
        }
        let more = waits.wanted == Some((deed, s.keys.0.len()));
        let words = if more {
            say("scene-settings-keys-waits", &[])
        } else {
            String::from("+")
        };
        let plus = theme::choice(ui, more, words);
        let plus =
            plus.on_hover_text(theme::faint(say("scene-settings-keys-more", &[])).color(TEXT));
        if plus.clicked() && !waits.holds_keys() {
            waits.wanted = Some((deed, s.keys.0.len()));
        }
        if deed == Deed::Squeeze {
            ui.label(theme::faint(say("scene-settings-keys-held", &[])).color(FAINT));
        }
    });
}

/// Binds what was pressed to a deed. It is taken away from what it did before,
/// because one key that does two things is one too many in a yard; says so.
fn bind(keys: &mut Keymap, deed: Deed, place: usize, pressed: Binding) -> String {
    let was: Vec<Deed> = keys.deeds(pressed).filter(|d| *d != deed).collect();
    let old = keys.0.get(place).copied().filter(|(d, _)| *d == deed);
    match keys.0.get_mut(place) {
        Some(line) if line.0 == deed => line.1 = pressed,
        _ => keys.0.push((deed, pressed)),
    }
    let mut seen = false;
    keys.0.retain(|(d, b)| {
        if *b != pressed {
            return true;
        }
        // Twice for one deed says nothing more than once.
        *d == deed && !std::mem::replace(&mut seen, true)
    });
    let key = names::binding(pressed);
    let deed = names::deed(deed);
    match was.first() {
        Some(was) => say(
            "scene-settings-keys-taken",
            &[("key", &key), ("deed", &deed), ("was", &names::deed(*was))],
        ),
        None => {
            let old = old.map(|(_, b)| names::binding(b)).unwrap_or_default();
            let id = if old.is_empty() {
                "scene-settings-keys-bound"
            } else {
                "scene-settings-keys-changed"
            };
            if old.is_empty() {
                say(id, &[("key", &key), ("deed", &deed)])
            } else {
                say(id, &[("key", &key), ("deed", &deed), ("old", &old)])
            }
        }
    }
}

fn take(
    keys: Option<Res<ButtonInput<KeyCode>>>,
    buttons: Option<Res<ButtonInput<MouseButton>>>,
    pads: Query<&Gamepad>,
    mut waits: ResMut<Waits>,
    mut settings: ResMut<Settings>,
) {
    let Some((deed, place)) = waits.wanted else {
        return;
    };
    let key = keys.as_ref().and_then(|k| k.get_just_pressed().next());
    let button = buttons.as_ref().and_then(|b| b.get_just_pressed().next());
    let pad = pads.iter().find_map(|p| p.get_just_pressed().next());
    let pressed = key
        .map(|k| Binding::Key(*k))
        .or(button.map(|b| Binding::Mouse(*b)))
        .or(pad.map(|b| Binding::Pad(*b)));
    let Some(pressed) = pressed else { return };
    waits.wanted = None;
    waits.taken = true;
    // The menu may be on any key; to every other deed Escape says: not now.
    if pressed == Binding::Key(KeyCode::Escape) && deed != Deed::Menu {
        return;
    }
    waits.told = Some(if can_be_kept(pressed) {
        bind(&mut settings.keys, deed, place, pressed)
    } else {
        say("scene-settings-keys-not_this", &[])
    });
}

/// Sets up the settings as a screen.
pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Waits>().add_systems(Update, take);
}

#[cfg(test)]
mod tests {
    use super::*;

    const W: Binding = Binding::Key(KeyCode::KeyW);
    const K: Binding = Binding::Key(KeyCode::KeyK);

    #[test]
    fn a_key_does_one_thing_only() {
        let mut keys = Keymap::default();
        let place = keys.0.iter().position(|(d, _)| *d == Deed::Call).unwrap();
        bind(&mut keys, Deed::Call, place, W);
        assert_eq!(keys.deeds(W).collect::<Vec<_>>(), [Deed::Call]);
        assert_eq!(keys.of(Deed::Ahead).count(), 0);
    }

    #[test]
    fn a_deed_may_have_several_keys_and_each_once() {
        let mut keys = Keymap::default();
        let end = keys.0.len();
        bind(&mut keys, Deed::Ahead, end, K);
        assert_eq!(keys.of(Deed::Ahead).collect::<Vec<_>>(), [W, K]);
        let end = keys.0.len();
        bind(&mut keys, Deed::Ahead, end, K);
        assert_eq!(keys.of(Deed::Ahead).collect::<Vec<_>>(), [W, K]);
    }

    #[test]
    fn what_is_told_names_what_the_key_did_before() {
        let mut keys = Keymap::default();
        let place = keys.0.iter().position(|(d, _)| *d == Deed::Call).unwrap();
        let told = bind(&mut keys, Deed::Call, place, W);
        assert!(told.contains(&names::deed(Deed::Ahead)), "{told}");
        assert!(!bind(&mut keys, Deed::Call, place, K).contains(&names::deed(Deed::Ahead)));
    }
}
