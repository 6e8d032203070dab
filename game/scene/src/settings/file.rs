//! The file of settings: read as all data files are, with every mistake and its
//! place, and written so that it is never there by half.

use super::{MOUSE, NAME_MOST, Quality, Settings, TEXT_SCALES, Units, VIEWS_DEG};
use crate::hands::keymap::{Binding, Deed, Keymap};
use bevy::prelude::*;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use training::data::{Cell, Reader, Source, parse, read};
use training::text::number;

const UNITS: [(&str, Units); 2] = [
    ("Metric", Units::Metric),
    ("UsCustomary", Units::UsCustomary),
];
const QUALITIES: [(&str, Quality); 2] = [("Low", Quality::Low), ("High", Quality::High)];

macro_rules! words {
    ($kind:ident: $($name:ident)*) => { &[$((stringify!($name), $kind::$name)),*] };
}

/// Keys that something can be bound to.
pub const KEYS: &[(&str, KeyCode)] = words!(KeyCode:
    KeyA KeyB KeyC KeyD KeyE KeyF KeyG KeyH KeyI KeyJ KeyK KeyL KeyM KeyN KeyO KeyP KeyQ KeyR
    KeyS KeyT KeyU KeyV KeyW KeyX KeyY KeyZ
    Digit0 Digit1 Digit2 Digit3 Digit4 Digit5 Digit6 Digit7 Digit8 Digit9
    ArrowUp ArrowDown ArrowLeft ArrowRight PageUp PageDown Home End Insert Delete
    ShiftLeft ShiftRight ControlLeft ControlRight AltLeft AltRight
    Space Tab Enter Escape Backspace CapsLock
    Minus Equal BracketLeft BracketRight Semicolon Quote Backquote Backslash IntlBackslash
    Comma Period Slash
    F1 F2 F3 F4 F5 F6 F7 F8 F9 F10 F11 F12
    Numpad0 Numpad1 Numpad2 Numpad3 Numpad4 Numpad5 Numpad6 Numpad7 Numpad8 Numpad9
    NumpadAdd NumpadSubtract NumpadMultiply NumpadDivide NumpadDecimal NumpadEnter
);

/// Buttons of the mouse that something can be bound to.
pub const BUTTONS: &[(&str, MouseButton)] = words!(MouseButton: Left Right Middle Back Forward);

/// Buttons of the pad that something can be bound to.
pub const PAD: &[(&str, GamepadButton)] = words!(GamepadButton:
    South East North West LeftTrigger RightTrigger LeftTrigger2 RightTrigger2
    Select Start LeftThumb RightThumb DPadUp DPadDown DPadLeft DPadRight
);

/// Most lines of the list of keys.
const KEYS_MOST: usize = 200;

fn deeds() -> Vec<(&'static str, Deed)> {
    Deed::ALL.iter().map(|deed| (deed.id(), *deed)).collect()
}

fn name<T: PartialEq>(words: &[(&'static str, T)], of: &T) -> Option<&'static str> {
    words
        .iter()
        .find(|(_, value)| value == of)
        .map(|(name, _)| *name)
}

/// Whether a binding is one that can be written down.
pub fn can_be_kept(binding: Binding) -> bool {
    match binding {
        Binding::Key(key) => name(KEYS, &key).is_some(),
        Binding::Mouse(button) => name(BUTTONS, &button).is_some(),
        Binding::Pad(button) => name(PAD, &button).is_some(),
    }
}

/// Every field may be left out: a file of an earlier release lacks some.
pub(super) fn load(path: &Path) -> Result<Settings, String> {
    let source = Source::open(&path.display().to_string(), path);
    let document = source.and_then(parse).map_err(|p| p.to_string())?;
    read(&document, "Settings", settings).map_err(|p| p.to_string())
}

fn settings(r: &mut Reader<'_, '_>) -> Settings {
    let plain = Settings::default();
    let share = |c: &mut Cell<'_, '_>| c.f64(0.0..=1.0) as f32;
    let wide =
        |range: core::ops::RangeInclusive<f32>| f64::from(*range.start())..=f64::from(*range.end());
    Settings {
        units: r.option("units", |c| c.word(&UNITS)).unwrap_or(plain.units),
        quality: r
            .option("quality", |c| c.word(&QUALITIES))
            .unwrap_or(plain.quality),
        text_scale: r
            .option("text_scale", |c| c.f64(wide(TEXT_SCALES)) as f32)
            .unwrap_or(plain.text_scale),
        view_deg: r
            .option("view_deg", |c| c.f64(wide(VIEWS_DEG)) as f32)
            .unwrap_or(plain.view_deg),
        sway: r.option("sway", share).unwrap_or(plain.sway),
        mouse: r.option("mouse", |c| c.whole(MOUSE)).unwrap_or(plain.mouse),
        invert: r.option("invert", |c| c.bool()).unwrap_or(plain.invert),
        toggles: r.option("toggles", |c| c.bool()).unwrap_or(plain.toggles),
        follows: r.option("follows", |c| c.bool()).unwrap_or(plain.follows),
        fullscreen: r
            .option("fullscreen", |c| c.bool())
            .unwrap_or(plain.fullscreen),
        loudness: r.option("loudness", share).unwrap_or(plain.loudness),
        voices: r.option("voices", share).unwrap_or(plain.voices),
        captions: r.option("captions", |c| c.bool()).unwrap_or(plain.captions),
        trainee: r
            .option("trainee", |c| c.text(NAME_MOST))
            .unwrap_or_default(),
        remember: r.option("remember", |c| c.bool()).unwrap_or(plain.remember),
        keys: r
            .option("keys", |c| Keymap(c.list(0..=KEYS_MOST, bound)))
            .unwrap_or(plain.keys),
    }
}

/// One line of the list: what is done, and the one thing that does it.
fn bound(cell: &mut Cell<'_, '_>) -> (Deed, Binding) {
    let deeds = deeds();
    cell.record("Bound", |r| {
        let deed = r.word("deed", &deeds);
        let key = r.option("key", |c| Binding::Key(c.word(KEYS)));
        let mouse = r.option("mouse", |c| Binding::Mouse(c.word(BUTTONS)));
        let pad = r.option("pad", |c| Binding::Pad(c.word(PAD)));
        let mut given = [key, mouse, pad].into_iter().flatten();
        let (first, second) = (given.next(), given.next());
        r.check(
            "",
            first.is_some() && second.is_none(),
            "scene-settings-one_binding",
            vec![],
        );
        (deed, first.unwrap_or(Binding::Key(KeyCode::Escape)))
    })
}

/// The file as it is written.
fn text(settings: &Settings) -> String {
    let units = name(&UNITS, &settings.units).unwrap_or("Metric");
    let quality = name(&QUALITIES, &settings.quality).unwrap_or("High");
    let mut text = String::from("Settings(\n");
    let mut put = |name: &str, value: String| {
        writeln!(text, "    {name}: {value},").ok();
    };
    put("units", units.to_owned());
    put("quality", quality.to_owned());
    put("text_scale", number(f64::from(settings.text_scale), 2));
    put("view_deg", number(f64::from(settings.view_deg), 0));
    put("sway", number(f64::from(settings.sway), 2));
    put("mouse", number(f64::from(settings.mouse), 0));
    put("invert", settings.invert.to_string());
    put("toggles", settings.toggles.to_string());
    put("follows", settings.follows.to_string());
    put("fullscreen", settings.fullscreen.to_string());
    put("loudness", number(f64::from(settings.loudness), 2));
    put("voices", number(f64::from(settings.voices), 2));
    put("captions", settings.captions.to_string());
    put("remember", settings.remember.to_string());
    if !settings.trainee.trim().is_empty() {
        let plain = settings.trainee.replace('\\', "\\\\").replace('"', "\\\"");
        put("trainee", format!("\"{plain}\""));
    }
    text.push_str("    keys: [\n");
    for (deed, binding) in &settings.keys.0 {
        let (kind, word) = match binding {
            Binding::Key(key) => ("key", name(KEYS, key)),
            Binding::Mouse(button) => ("mouse", name(BUTTONS, button)),
            Binding::Pad(button) => ("pad", name(PAD, button)),
        };
        if let Some(word) = word {
            writeln!(text, "        (deed: {}, {kind}: {word}),", deed.id()).ok();
        }
    }
    text.push_str("    ],\n)\n");
    text
}

pub(super) fn save(settings: &Settings, path: &Path) -> Result<(), String> {
    let half = path.with_extension("ron.part");
    let folder = path.parent().unwrap_or(Path::new("."));
    let written = fs::create_dir_all(folder)
        .and_then(|()| fs::write(&half, text(settings)))
        .and_then(|()| fs::rename(&half, path));
    written.map_err(|error| {
        fs::remove_file(&half).ok();
        training::text::not_written(path, &error)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::PathBuf;

    fn file(name: &str, text: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("jetyard-settings-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join(name);
        fs::write(&path, text).unwrap();
        path
    }

    fn refused(name: &str, text: &str) -> String {
        let path = file(name, text);
        let said = load(&path).unwrap_err();
        // A file that cannot be read is left as it is.
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
        said.replace(&format!("{}/", path.parent().unwrap().display()), "")
    }

    fn changed() -> Settings {
        let mut keys = Keymap::default();
        keys.0.push((Deed::Call, Binding::Key(KeyCode::F5)));
        Settings {
            units: Units::UsCustomary,
            quality: Quality::Low,
            text_scale: 1.25,
            view_deg: 75.0,
            sway: 0.3,
            mouse: 31,
            invert: true,
            toggles: true,
            follows: false,
            fullscreen: true,
            loudness: 0.15,
            voices: 0.85,
            captions: false,
            trainee: String::from("T-07 \"Jo\" \\"),
            remember: true,
            keys,
        }
    }

    #[test]
    fn what_is_written_is_what_is_read() {
        let path = file("round.ron", "");
        for settings in [Settings::default(), changed()] {
            save(&settings, &path).unwrap();
            assert_eq!(load(&path), Ok(settings));
            assert!(!path.with_extension("ron.part").exists());
        }
    }

    #[test]
    fn what_is_left_out_is_as_it_comes() {
        let path = file("short.ron", "Settings(mouse: 20)");
        let loaded = load(&path).unwrap();
        assert_eq!(
            loaded,
            Settings {
                mouse: 20,
                ..Settings::default()
            }
        );
    }

    #[test]
    fn every_mistake_of_a_file_is_told_at_once_with_its_place() {
        let said = refused(
            "wrong.ron",
            "Settings(\n    text_scale: 3.5,\n    mouse: 0,\n    units: Metrik,\n    loudnes: 0.5,\n    captions: 1,\n)\n",
        );
        let lines: Vec<&str> = said.lines().collect();
        assert_eq!(
            lines,
            [
                "wrong.ron:2:17: text_scale: 3.5 is out of range; allowed: 0.75 to 2",
                "wrong.ron:3:12: mouse: 0 is out of range; allowed: 1 to 100",
                "wrong.ron:4:12: units: Metrik does not exist; did you mean Metric? There is: Metric, UsCustomary",
                "wrong.ron:5:5: loudnes: no field loudnes here; did you mean loudness?",
                "wrong.ron:6:15: captions: expected true or false, found 1",
            ]
        );
    }

    #[test]
    fn a_line_of_the_keys_binds_one_thing() {
        let said = refused(
            "keys.ron",
            "Settings(keys: [\n    (deed: ahead, key: KeyW, mouse: Left),\n    (deed: back),\n    (deed: jump, key: KeyJ),\n])\n",
        );
        let lines: Vec<&str> = said.lines().collect();
        assert_eq!(lines.len(), 3, "{said}");
        assert!(
            lines
                .iter()
                .any(|l| l.starts_with("keys.ron:2:5: keys[0]: ")),
            "{said}"
        );
        assert!(
            lines
                .iter()
                .any(|l| l.starts_with("keys.ron:3:5: keys[1]: ")),
            "{said}"
        );
        assert!(
            lines
                .iter()
                .any(|l| l.starts_with("keys.ron:4:12: keys[2].deed: jump ")),
            "{said}"
        );
    }

    #[test]
    fn a_file_of_another_kind_is_refused() {
        assert!(refused("level.ron", "Level(id: \"x\")").contains("Settings(...)"));
        assert!(refused("cut.ron", "Settings(mouse: 20").contains("the file ends here"));
        assert!(
            load(Path::new("/nowhere/settings.ron"))
                .unwrap_err()
                .contains("cannot be read")
        );
    }

    #[test]
    fn a_folder_that_cannot_be_made_is_told() {
        let file = file("plain.txt", "");
        let said = save(&Settings::default(), &file.join("settings.ron")).unwrap_err();
        assert!(said.contains("plain.txt"), "{said}");
    }

    #[test]
    fn all_that_comes_bound_can_be_kept() {
        for (deed, binding) in Keymap::default().0 {
            assert!(can_be_kept(binding), "{deed:?}");
        }
    }
}
