//! What the yards cost to draw, counted on the real thing, without a window.

use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use crew::Seat;
use scene::device::Machine;
use scene::flow::Screen;
use scene::settings::{Quality, Settings};
use scene::sitting::{Shelf, Sitting};
use scene::stage::{Eye, Stage};
use scene::world::budget::{Cost, count, most};
use scene::world::shading;
use scene::world::{Canvas, Pending};
use scene::{Opening, app};
use std::path::{Path, PathBuf};
use training::load::Library;

/// Set to `must`, a machine that cannot draw fails instead of being passed over.
const PICTURES: &str = "JETYARD_PICTURES";

/// Most pictures that are waited for everything to be there.
const MOST_WAITED: u32 = 1500;

fn opening(attempts: &Path, quality: Quality) -> Opening {
    Opening {
        library: Library::find(),
        release: String::from("test"),
        attempts: attempts.to_owned(),
        device: String::from("test"),
        settings: Settings {
            quality,
            ..Settings::default()
        },
        settings_file: None,
        slowly: false,
        level: None,
        from: None,
    }
}

/// Goes into a yard and waits until all of it is there.
fn enter(app: &mut App, n: usize) -> bool {
    let level = app.world().resource::<Shelf>().levels.get(n).cloned();
    let Some(level) = level else { return false };
    app.insert_resource(Sitting {
        level: Some(level),
        ..Sitting::default()
    });
    app.world_mut()
        .resource_mut::<NextState<Screen>>()
        .set(Screen::Yard);
    let mut calm = 0;
    for _ in 0..MOST_WAITED {
        app.update();
        let waits = app.world().resource::<Pending>().0 > 0;
        calm = if waits { 0 } else { calm + 1 };
        if calm > 8 {
            return true;
        }
        if waits {
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
    }
    panic!("something of the yard never came in");
}

/// What the dearest of some looks costs: from the trainee's place all around,
/// and from outside over everything.
fn dearest(app: &mut App) -> Cost {
    let mut dearest = Cost::default();
    for n in 0..5_u8 {
        // Without a seat of one's own the view stays where it is put.
        let mut stage = app.world_mut().resource_mut::<Stage>();
        stage.own = None::<Seat>;
        let eye = if n < 4 {
            Eye {
                at: Vec3::new(1.5, 1.7, 2.5),
                yaw: core::f32::consts::FRAC_PI_2 * f32::from(n),
                pitch: 0.0,
                roll: 0.0,
            }
        } else {
            Eye {
                at: Vec3::new(-6.0, 4.0, 7.0),
                yaw: 0.5,
                pitch: -0.25,
                roll: 0.0,
            }
        };
        app.insert_resource(eye);
        app.update();
        app.insert_resource(eye);
        app.update();
        let cost = count(app.world_mut());
        dearest.draws = dearest.draws.max(cost.draws);
        dearest.triangles = dearest.triangles.max(cost.triangles);
        dearest.texture_bytes = dearest.texture_bytes.max(cost.texture_bytes);
    }
    dearest
}

/// What was taken of the picture that goes to the canvas.
#[derive(Resource, Default)]
struct Taken(Option<Vec<u8>>);

fn picture(app: &mut App) -> Vec<u8> {
    let canvas = app.world().resource::<Canvas>().0.clone();
    app.insert_resource(Taken::default());
    app.world_mut().spawn(Screenshot::image(canvas)).observe(
        |on: On<ScreenshotCaptured>, mut taken: ResMut<Taken>| taken.0 = on.image.data.clone(),
    );
    for _ in 0..MOST_WAITED {
        app.update();
        if let Some(bytes) = app.world_mut().resource_mut::<Taken>().0.take() {
            return bytes;
        }
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    panic!("no picture came");
}

/// Leaves the yard, for a while on another screen.
fn leave_for(app: &mut App, screen: Screen) {
    app.world_mut().write_message(scene::session::Wish::Leave);
    app.update();
    app.world_mut()
        .resource_mut::<NextState<Screen>>()
        .set(screen);
    for _ in 0..6 {
        app.update();
    }
}

/// The first yard from outside, with nothing written on it.
fn from_outside(app: &mut App) -> Vec<u8> {
    assert!(enter(app, 0));
    app.insert_resource(scene::flow::Bare(true));
    app.world_mut().resource_mut::<Stage>().own = None::<Seat>;
    let eye = Eye {
        at: Vec3::new(-3.0, 3.0, 5.0),
        yaw: 0.6,
        pitch: -0.3,
        roll: 0.0,
    };
    // The light of the surroundings takes its time.
    for _ in 0..60 {
        app.insert_resource(eye);
        app.update();
        std::thread::sleep(std::time::Duration::from_millis(60));
    }
    app.insert_resource(eye);
    let taken = picture(app);
    app.insert_resource(scene::flow::Bare(false));
    taken
}

/// By how much two pictures differ on the average, in steps of 255.
fn apart(a: &[u8], b: &[u8]) -> f64 {
    assert_eq!(a.len(), b.len());
    let sum: u64 = a
        .iter()
        .zip(b)
        .map(|(a, b)| u64::from(a.abs_diff(*b)))
        .sum();
    sum as f64 / a.len() as f64
}

/// The most that two pictures of a yard at rest may differ: a needle trembles,
/// somebody breathes. Where the shadows of the sun were lost it was 1.7.
const APART_MOST: f64 = 0.4;

#[test]
fn a_yard_looks_the_same_whatever_screen_was_before_it() {
    if cannot_draw() {
        return;
    }
    let folder = std::env::temp_dir().join(format!("jetyard-same-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for attempts");
    for quality in [Quality::High, Quality::Low] {
        let mut app = app::offscreen(opening(&folder, quality), 160, 90);
        app.update();
        let first = from_outside(&mut app);
        leave_for(&mut app, Screen::Choice);
        let again = from_outside(&mut app);
        let apart = apart(&first, &again);
        eprintln!("{quality:?}: pictures {apart:.3} apart");
        assert!(apart < APART_MOST, "{quality:?}: {apart:.3} apart");
    }
    std::fs::remove_dir_all(&folder).ok();
}

/// Whether there is nothing to draw on; a machine that must draw fails then.
fn cannot_draw() -> bool {
    let nothing = Machine::look().adapters.is_empty();
    if nothing {
        let must = std::env::var(PICTURES).is_ok_and(|v| v == "must");
        assert!(!must, "there is nothing to draw on, and {PICTURES}=must");
        eprintln!("SKIPPED: there is no Vulkan driver, so nothing was drawn");
    }
    nothing
}

/// Memory that this process holds, bytes, where the system says.
fn held() -> Option<usize> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmRSS:"))?;
    let kib: usize = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kib << 10)
}

/// Memory that drawing a while takes and does not give back, bytes.
fn kept(app: &mut App) -> usize {
    for _ in 0..WARM_UP {
        app.update();
    }
    let before = held();
    for _ in 0..WHILE {
        app.update();
    }
    let (Some(before), Some(after)) = (before, held()) else {
        return 0;
    };
    after.saturating_sub(before)
}

/// Pictures until everything is where it stays, and pictures of a while.
const WARM_UP: u32 = 10;
const WHILE: u32 = 20;
/// Whiles that are looked at.
const WHILES: u32 = 3;

/// The most that a while may keep, bytes. A shader of ours that a driver made
/// anew for every draw kept 24 MB of each picture.
const KEPT_MOST: usize = 60 << 20;

#[test]
fn no_yard_costs_more_than_weak_machines_can_draw() {
    if cannot_draw() {
        return;
    }
    let folder: PathBuf =
        std::env::temp_dir().join(format!("jetyard-budget-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for attempts");
    let mut faults = Vec::new();
    for quality in [Quality::High, Quality::Low] {
        let mut app = app::offscreen(opening(&folder, quality), 320, 180);
        app.update();
        for n in 0.. {
            if !enter(&mut app, n) {
                assert!(n > 1, "there are two yards at the least");
                break;
            }
            assert_eq!(shading::in_use(app.world()), Some(quality));
            let cost = dearest(&mut app);
            eprintln!("{quality:?}, yard {}: {cost:?}", n + 1);
            assert!(
                cost.draws > 20 && cost.triangles > 5_000,
                "nothing of the yard was seen: {cost:?}"
            );
            if quality == Quality::Low {
                // What is still being loaded on a busy machine is taken once; what is kept of every
                // picture is taken in every while.
                let kept = (0..WHILES).map(|_| kept(&mut app));
                let kept = kept.min().unwrap_or_default();
                eprintln!("{quality:?}, yard {}: {kept} bytes kept", n + 1);
                assert!(kept < KEPT_MOST, "{WHILE} pictures kept {kept} bytes");
            }
            let over = cost.over(most(quality));
            if !over.is_empty() {
                faults.push(format!(
                    "{quality:?}, yard {}: too many {} ({cost:?})",
                    n + 1,
                    over.join(", ")
                ));
            }
            leave_for(&mut app, Screen::Title);
        }
    }
    // The quality may change while a yard is on show, and back.
    let mut app = app::offscreen(opening(&folder, Quality::High), 320, 180);
    app.update();
    assert!(enter(&mut app, 0));
    for quality in [Quality::Low, Quality::High] {
        app.world_mut().resource_mut::<Settings>().quality = quality;
        for _ in 0..4 {
            app.update();
        }
        assert_eq!(shading::in_use(app.world()), Some(quality));
    }
    std::fs::remove_dir_all(&folder).ok();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
