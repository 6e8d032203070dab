//! Attempts that are played through keyboard, mouse and wheel.

use crate::fingers::Fingers;
use bevy::ecs::schedule::SingleThreadedExecutor;
use bevy::input::InputPlugin;
use bevy::prelude::*;
use bevy::state::app::StatesPlugin;
use bevy::time::TimeUpdateStrategy;
use bevy::window::WindowFocused;
use crew::{Act, Bot, Input, Mind, Seat, Source, TICKS_PER_SECOND, Tick};
use scene::app::{Opening, lay_out, logic};
use scene::flow::{Run, Screen};
use scene::hands::calls::Word;
use scene::hands::keymap::Deed;
use scene::hands::{Hands, Pressed};
use scene::replay::Debrief;
use scene::session::{Session, Wish};
use scene::settings::Settings;
use scene::sitting::{Shelf, Sitting};
use scene::stage::Stage;
use std::path::Path;
use std::time::Duration;
use training::Mark;
use training::load::Library;
use training::recording::Recording;

fn opening(folder: &Path) -> Opening {
    Opening {
        library: Library::at(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels")),
        release: String::from("test"),
        attempts: folder.to_owned(),
        device: String::from("test"),
        settings: Settings {
            // A count of the mouse is a unit of turn.
            mouse: 1,
            // The pilot's own arms keep the stand-off.
            follows: false,
            ..Settings::default()
        },
        settings_file: None,
        slowly: false,
        level: None,
        from: None,
    }
}

/// The game without anything that draws or sounds, in the yard of a level.
fn game(folder: &Path, level: &str, frame_s: f64) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, StatesPlugin, InputPlugin, logic))
        .add_message::<WindowFocused>()
        .insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_secs_f64(
            frame_s,
        )));
    lay_out(&mut app, opening(folder));
    app.finish();
    app.cleanup();
    let chosen = app.world().resource::<Shelf>().level(level).cloned();
    app.world_mut().insert_resource(Sitting {
        level: chosen,
        ..Sitting::default()
    });
    // The first update has no time in it.
    app.update();
    app.world_mut()
        .resource_mut::<NextState<Screen>>()
        .set(Screen::Yard);
    app
}

/// Time from one tick to the next, a little more than exact, so that each
/// update is one tick.
fn tick_s() -> f64 {
    1.0 / f64::from(TICKS_PER_SECOND)
}

/// The model attempt of a level by keys and mouse.
fn by_hand(level: &str) -> (Mark, f64) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut app = game(folder.path(), level, tick_s());
    app.update();
    // Tick by tick, threads would spend their time on waking each other.
    for (_, schedule) in app.world_mut().resource_mut::<Schedules>().iter_mut() {
        schedule.set_executor(SingleThreadedExecutor::new());
    }
    let (loaded, library) = {
        let shelf = app.world().resource::<Shelf>();
        (
            shelf.level(level).cloned().expect("a level"),
            shelf.library.clone(),
        )
    };
    let script = library
        .script(&loaded.level, "model")
        .unwrap_or_else(|p| panic!("{p}"));
    let site = yard::play::site(&loaded.level);
    let mut pilot = Bot::Steady
        .pilot(script, loaded.level.post, site, loaded.level.seed)
        .expect("a pilot");
    let mut fingers = Fingers::default();
    let mut acts = Vec::new();
    let mut last = 0.0;
    while let Some(percepts) = app.world_mut().resource_mut::<Session>().percepts() {
        last = percepts.tick.seconds();
        acts.clear();
        pilot.act(&percepts, &mut acts);
        let strokes = {
            let world = app.world();
            let show = world.resource::<Stage>().show.as_ref().expect("a yard");
            fingers.press(&acts, show, world.resource::<Hands>())
        };
        fingers.write(strokes, app.world_mut());
        app.update();
        assert!(
            !matches!(pilot.outcome(), crew::Outcome::Stuck { .. }),
            "stuck at {last} s: {:?}",
            pilot.outcome()
        );
    }
    app.update();
    let debrief = app
        .world()
        .get_resource::<Debrief>()
        .expect("the attempt was sealed");
    (debrief.mark.clone(), last)
}

/// The mark of the same script without a window.
fn headless(level: &str) -> Mark {
    let folder = tempfile::tempdir().expect("a folder");
    let opening = opening(folder.path());
    let played = scene::shots::models(&opening, folder.path(), &[level])
        .unwrap_or_else(|words| panic!("{words}"));
    played[0].mark.clone()
}

fn told(mark: &Mark) -> Vec<String> {
    mark.findings
        .iter()
        .map(|f| format!("{} at {}", f.rule, f.tick.seconds()))
        .collect()
}

fn within_a_point(level: &str) {
    let (mark, took_s) = by_hand(level);
    let wanted = headless(level);
    let parts = |m: &Mark| [m.safety, m.coverage, m.procedure, m.economy];
    let (mine, theirs) = (parts(&mark), parts(&wanted));
    println!("{level}: by keys and mouse {mine:.2?} in {took_s:.0} s, headless {theirs:.2?}");
    for (mine, theirs) in mine.into_iter().zip(theirs) {
        let near = match (mine, theirs) {
            (Some(mine), Some(theirs)) => (mine - theirs).abs() <= 1.0,
            (mine, theirs) => mine == theirs,
        };
        assert!(near, "{mine:?} against {theirs:?}: {:?}", told(&mark));
    }
}

#[test]
fn the_model_attempt_at_the_pump_goes_through_keys_and_mouse() {
    within_a_point("01_first_pressure");
}

#[test]
fn the_model_attempt_at_the_lance_goes_through_keys_and_mouse() {
    within_a_point("02_fouled_slab");
}

#[test]
fn the_model_attempt_with_two_lines_goes_through_keys_and_mouse() {
    within_a_point("10_two_lines");
}

/// What is pressed in the test of frame rates, by tick.
fn presses(turn: f32) -> Vec<(u32, Pressed)> {
    vec![
        (60, Pressed::Down(Deed::Ahead)),
        (
            61,
            Pressed::Moved {
                x: 200.0 * turn,
                y: -120.0,
            },
        ),
        (180, Pressed::Up(Deed::Ahead)),
        (
            200,
            Pressed::Moved {
                x: -900.0,
                y: 1500.0,
            },
        ),
        (230, Pressed::Down(Deed::Take)),
        (300, Pressed::Wheel(2.0)),
        (360, Pressed::Wheel(-1.0)),
        (400, Pressed::Up(Deed::Take)),
        (420, Pressed::Down(Deed::TurnLeft)),
        (500, Pressed::Up(Deed::TurnLeft)),
        (520, Pressed::Picked(Word::Say(crew::Call::ReadyQuery))),
        (600, Pressed::Down(Deed::Back)),
        (640, Pressed::Down(Deed::Wide)),
        (700, Pressed::Released),
    ]
}

/// The bytes of a recording's body, played at so many pictures a second.
fn body_at(frames_s: f64, turn: f32) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    let mut app = game(folder.path(), "01_first_pressure", 1.0 / frames_s);
    app.update();
    {
        let mut hands = app.world_mut().resource_mut::<Hands>();
        for (tick, pressed) in presses(turn) {
            hands.press(Some(Tick(tick)), pressed);
        }
    }
    // Cut off at the same tick: the hand is handed back by the same press.
    app.world_mut()
        .resource_mut::<Hands>()
        .press(Some(Tick(960)), Pressed::Marked);
    while app.world().resource::<Session>().tick() < Tick(1200) {
        app.update();
    }
    app.world_mut().write_message(Wish::End);
    app.update();
    app.update();
    let debrief = app.world().resource::<Debrief>();
    let recording: &Recording = &debrief.recording;
    recording
        .inputs()
        .iter()
        .filter(|i| i.tick < Tick(1200))
        .flat_map(|i| format!("{i:?}\n").into_bytes())
        .chain(
            recording
                .digests()
                .iter()
                .filter(|(tick, _)| *tick < Tick(1200))
                .flat_map(|d| format!("{d:?}\n").into_bytes()),
        )
        .collect()
}

#[test]
fn the_same_presses_by_tick_give_the_same_attempt_at_any_frame_rate() {
    let at = body_at(30.0, 2.0);
    assert!(at.len() > 1000);
    // The bytes themselves would fill many screens.
    assert!(at == body_at(5.0, 2.0), "at 5 pictures a second");
    assert!(at == body_at(144.0, 2.0), "at 144 pictures a second");
    assert!(at != body_at(30.0, 3.0), "another press is another attempt");
}

/// Does one thing by keys and mouse, and lets so many ticks go by.
fn does(app: &mut App, fingers: &mut Fingers, act: Option<Act>, ticks: u32) {
    for n in 0..ticks {
        let acts: Vec<Input> = act
            .filter(|_| n == 0)
            .map(|act| Input {
                tick: Tick(0),
                seat: Seat::LANCE,
                source: Source::Trainee,
                act,
            })
            .into_iter()
            .collect();
        let strokes = {
            let world = app.world();
            let show = world.resource::<Stage>().show.as_ref().expect("a yard");
            fingers.press(&acts, show, world.resource::<Hands>())
        };
        fingers.write(strokes, app.world_mut());
        app.update();
    }
}

fn squeeze(app: &App) -> f64 {
    let show = app.world().resource::<Stage>().show.as_ref();
    show.expect("a yard").now.tool.squeeze
}

#[test]
fn a_window_without_the_focus_lets_the_trigger_go() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut app = game(folder.path(), "02_fouled_slab", tick_s());
    app.update();
    app.update();
    let mut fingers = Fingers::default();
    does(&mut app, &mut fingers, Some(Act::TakeUp), 300);
    does(&mut app, &mut fingers, Some(Act::SafetyCatch(false)), 5);
    let squeezes = Act::Squeeze { permille: 1000 };
    does(&mut app, &mut fingers, Some(squeezes), 60);
    assert!(squeeze(&app) > 0.99, "the trigger is squeezed");
    app.world_mut().write_message(WindowFocused {
        window: Entity::PLACEHOLDER,
        focused: false,
    });
    app.update();
    app.update();
    assert_eq!(**app.world().resource::<State<Run>>(), Run::Halted);
    let halted = app.world().resource::<Session>().tick();
    for _ in 0..10 {
        app.update();
    }
    assert_eq!(app.world().resource::<Session>().tick(), halted);
    app.world_mut().write_message(Wish::Halt(false));
    // The button is still down, as far as anybody knows; it has to be pressed
    // anew.
    for _ in 0..60 {
        app.update();
        assert!(squeeze(&app) < 0.01, "nobody squeezes by themselves");
    }
    assert_eq!(**app.world().resource::<State<Run>>(), Run::Live);
    assert!(app.world().resource::<Session>().tick() > halted);
    // It can be.
    let lets_go = Act::Squeeze { permille: 0 };
    does(&mut app, &mut fingers, Some(lets_go), 5);
    does(&mut app, &mut fingers, Some(squeezes), 60);
    assert!(squeeze(&app) > 0.99);
}
