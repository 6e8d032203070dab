//! The screen over a real attempt, laid out without a window.

use super::model::carry_out;
use super::*;
use bevy_egui::egui::{Pos2, RawInput, Shape, Vec2, epaint::ClippedShape, pos2, vec2};
use crew::{Bot, Mind, TICKS_PER_SECOND};
use records::words;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::LazyLock;
use std::sync::atomic::AtomicBool;
use training::Ended;
use training::load::{Library, Loaded};
use training::recording::{Bundle, Closed, Opened, Recording};
use yard::{Attempt, Beginning, play};

const SIZES: [(f32, f32, f32); 4] = [
    (1280.0, 720.0, 1.0),
    (1920.0, 1080.0, 1.35),
    (1280.0, 720.0, 1.5),
    (1920.0, 1080.0, 2.0),
];

const PAGES: [Page; 5] = [
    Page::Minute,
    Page::Findings,
    Page::Work,
    Page::Surface,
    Page::Papers,
];

/// A bad attempt at a level, left after a while.
fn attempt(level: &str, for_s: u32) -> (Arc<Loaded>, Vec<u8>, training::Mark) {
    let library = Library::find();
    let loaded = Arc::new(library.load(level).expect("a level"));
    let level = &loaded.level;
    let script = library.script(level, "bad").expect("a script");
    let beginning = Beginning {
        injected: Vec::new(),
        release: String::from("test"),
        bundle: Bundle::new(loaded.bundle.bytes()),
        seed: level.seed,
        opened: Opened {
            trainee: String::from("T-17"),
            display_name: None,
            started_unix_s: 1_700_000_000,
            device: String::from("test"),
            mode: Mode::Practice,
        },
    };
    let mut bytes = Vec::new();
    let mut attempt = Attempt::begin(level, beginning, &mut bytes).expect("a yard");
    let mut trainee = Bot::Steady
        .pilot(script, level.post, play::site(level), level.seed)
        .expect("a pilot");
    let mut crew = play::crew_of(level, level.seed);
    let mut inputs = Vec::new();
    for _ in 0..for_s * TICKS_PER_SECOND {
        inputs.clear();
        trainee.act(&attempt.percepts(level.post), &mut inputs);
        for (seat, mind) in &mut crew {
            mind.act(&attempt.percepts(*seat), &mut inputs);
        }
        attempt.step(&inputs).expect("a tick");
    }
    let closed = Closed {
        wall_s: 1.0,
        least_real_time_factor: 1.0,
        frames: None,
    };
    let (mark, _) = attempt.seal(Ended::Stopped, closed, None).expect("a seal");
    (loaded, bytes, mark)
}

type Made = (Arc<Loaded>, Vec<u8>, training::Mark);

static AT_PUMP: LazyLock<Made> = LazyLock::new(|| attempt("01_first_pressure", 150));
static AT_LANCE: LazyLock<Made> = LazyLock::new(|| attempt("02_fouled_slab", 150));

fn debrief((loaded, bytes, mark): &Made) -> Debrief {
    let recording = Recording::read(bytes.clone()).expect("a recording");
    let sheet = records::Sheet::of(&recording, &loaded.level, mark);
    Debrief::new(
        loaded.clone(),
        recording,
        mark.clone(),
        sheet,
        PathBuf::from("/somewhere/with/a/long/name/of/a/folder/attempt.jetyard"),
        PathBuf::from("/somewhere/with/a/long/name/of/a/folder/attempt.html"),
        None,
    )
}

/// A window without a screen.
struct Window {
    ctx: egui::Context,
    size: Vec2,
    desk: Desk,
    model: Model,
    time_s: f64,
}

/// What a picture holds, and what was asked for in it.
struct Picture {
    shapes: Vec<ClippedShape>,
    asks: Vec<Ask>,
}

impl Window {
    fn of(width: f32, height: f32, scale: f32) -> Self {
        let ctx = egui::Context::default();
        theme::dress_for_tests(&ctx);
        ctx.set_zoom_factor(scale);
        Window {
            ctx,
            size: vec2(width, height) / scale,
            desk: Desk::default(),
            model: Model::default(),
            time_s: 0.0,
        }
    }

    fn draw(&mut self, debrief: &Debrief, events: Vec<egui::Event>) -> Picture {
        let cells = vec![
            0;
            debrief
                .sheet
                .cleaning
                .as_ref()
                .map_or(0, |c| c.wanted.len())
        ];
        self.time_s += 0.5;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.size)),
            time: Some(self.time_s),
            events,
            focused: true,
            ..RawInput::default()
        };
        let mut asks = Vec::new();
        let output = self.ctx.run_ui(input, |ui| {
            let look = Look {
                debrief,
                units: Units::Metric,
                may_restart: true,
                model: &self.model,
                cells: &cells,
            };
            asks = show(ui, &mut self.desk, &look);
        });
        let shapes = output.shapes.clone();
        output.drop_without_applying_deltas();
        Picture { shapes, asks }
    }

    /// A picture once the layout has come to rest.
    fn settled(&mut self, debrief: &Debrief) -> Picture {
        for _ in 0..3 {
            self.draw(debrief, Vec::new());
        }
        self.draw(debrief, Vec::new())
    }

    fn key(&mut self, debrief: &Debrief, key: egui::Key) -> Vec<Ask> {
        let pressed = |pressed| egui::Event::Key {
            key,
            physical_key: None,
            pressed,
            repeat: false,
            modifiers: egui::Modifiers::NONE,
        };
        self.draw(debrief, vec![pressed(true), pressed(false)]).asks
    }

    fn click(&mut self, debrief: &Debrief, at: Pos2) -> Vec<Ask> {
        let button = |pressed| egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: egui::Modifiers::NONE,
        };
        self.draw(debrief, vec![egui::Event::PointerMoved(at)]);
        let mut asks = self.draw(debrief, vec![button(true)]).asks;
        asks.extend(self.draw(debrief, vec![button(false)]).asks);
        asks
    }
}

/// Every piece of writing with its place and what it is cut to.
fn writing(picture: &Picture) -> Vec<(String, Rect, Rect)> {
    fn of(shape: &Shape, clip: Rect, found: &mut Vec<(String, Rect, Rect)>) {
        match shape {
            Shape::Text(text) => {
                let at = text.galley.rect.translate(text.pos.to_vec2());
                found.push((text.galley.text().to_owned(), at, clip));
            }
            Shape::Vec(all) => all.iter().for_each(|s| of(s, clip, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    for clipped in &picture.shapes {
        of(&clipped.shape, clipped.clip_rect, &mut found);
    }
    found
}

fn says(picture: &Picture, words: &str) -> bool {
    writing(picture)
        .iter()
        .any(|(text, ..)| text.contains(words))
}

#[test]
fn nothing_is_told_before_trainees_have_rated_themselves() {
    let mut of = debrief(&AT_PUMP);
    let found: Vec<String> = (of.mark.findings.iter())
        .map(|f| words::rule_title(&f.rule))
        .collect();
    assert!(!found.is_empty(), "the attempt is not bad enough");
    let facts: Vec<String> = found
        .into_iter()
        .chain(["safety", "procedure"].map(|id| parts::say(&format!("report-mark-{id}"))))
        .chain([
            parts::say("debrief-verdict-critical"),
            parts::say("debrief-verdict-none_critical"),
            parts::say("debrief-play"),
            parts::say("report-lane-findings"),
        ])
        .collect();
    let mut window = Window::of(1280.0, 720.0, 1.0);
    let hidden = window.settled(&of);
    for fact in &facts {
        assert!(!says(&hidden, fact), "{fact}");
    }
    assert!(says(&hidden, &parts::say("debrief-rated-alone")));
    // The same look for facts finds them once there is an answer.
    of.rated = Some(Rated::WithHelp);
    let told = window.settled(&of);
    assert!(facts.iter().filter(|fact| says(&told, fact)).count() >= 4);
    assert!(!says(&told, &parts::say("debrief-rating")));
}

#[test]
fn every_page_is_laid_out_in_every_window() {
    for made in [&AT_PUMP, &AT_LANCE] {
        let mut of = debrief(made);
        of.unwritten = Some(String::from("the disk is full"));
        for (width, height, scale) in SIZES {
            let mut window = Window::of(width, height, scale);
            of.rated = None;
            let asked = window.settled(&of);
            assert!(within(&asked, window.size), "{width} {scale}: rating");
            of.rated = Some(Rated::Alone);
            for page in PAGES {
                window.desk.page = page;
                for chosen in [None, Some(1)] {
                    window.desk.chosen = chosen;
                    let picture = window.settled(&of);
                    let mut cut = cut_off(&picture);
                    cut.extend(cut_in_height(&picture, &window.desk));
                    assert!(cut.is_empty(), "{width}x{height} {scale} {page:?}: {cut:?}");
                    let yard = window.desk.yard.expect("the yard is seen");
                    assert!(yard.is_positive() && yard.right() <= width * 1.01);
                }
            }
        }
    }
}

/// Whether all writing is in the window.
fn within(picture: &Picture, size: Vec2) -> bool {
    let whole = Rect::from_min_size(Pos2::ZERO, size).expand(1.0);
    writing(picture)
        .iter()
        .all(|(_, at, _)| whole.contains_rect(*at))
}

/// Writing that is cut off at a side. What is cut off above or below can be
/// scrolled to, and what stands outside altogether is not there.
fn cut_off(picture: &Picture) -> Vec<String> {
    let all = writing(picture).into_iter();
    let cut = all.filter(|(_, at, clip)| {
        let seen = at.top() < clip.bottom() && at.bottom() > clip.top();
        let there = at.left() < clip.right() && at.right() > clip.left();
        let whole = at.left() >= clip.left() - 1.5 && at.right() <= clip.right() + 1.5;
        seen && there && !whole
    });
    cut.map(|(text, at, clip)| format!("{text} at {at:?} in {clip:?}"))
        .collect()
}

/// Writing in the row of buttons, which does not scroll, that is cut off above or
/// below.
fn cut_in_height(picture: &Picture, desk: &Desk) -> Vec<String> {
    let buttons = desk.buttons.expect("the row of buttons");
    let all = writing(picture).into_iter();
    let cut = all.filter(|(_, at, clip)| {
        let there = buttons.expand(2.0).contains_rect(*clip) && clip.is_positive();
        there && (at.top() < clip.top() - 1.5 || at.bottom() > clip.bottom() + 1.5)
    });
    cut.map(|(text, at, clip)| format!("{text} at {at:?} in {clip:?}"))
        .collect()
}

#[test]
fn the_look_for_what_is_cut_off_can_find_something() {
    let ctx = egui::Context::default();
    let input = RawInput {
        screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(200.0, 100.0))),
        ..RawInput::default()
    };
    let output = ctx.run_ui(input, |ui| {
        ui.set_clip_rect(Rect::from_min_size(Pos2::ZERO, vec2(20.0, 100.0)));
        ui.label("much too long for this");
    });
    let picture = Picture {
        shapes: output.shapes.clone(),
        asks: Vec::new(),
    };
    output.drop_without_applying_deltas();
    assert_eq!(cut_off(&picture).len(), 1);
    assert!(!within(&picture, vec2(20.0, 100.0)));
}

#[test]
fn keys_move_the_cursor_within_the_attempt() {
    let mut of = debrief(&AT_PUMP);
    of.rated = Some(Rated::Alone);
    of.cursor_s = 10.0;
    let until_s = of.until_s();
    let mut window = Window::of(1280.0, 720.0, 1.0);
    window.settled(&of);
    assert_eq!(window.key(&of, egui::Key::ArrowRight), [Ask::Go(11.0)]);
    assert_eq!(window.key(&of, egui::Key::ArrowLeft), [Ask::Go(9.0)]);
    assert_eq!(window.key(&of, egui::Key::Home), [Ask::Go(0.0)]);
    assert_eq!(window.key(&of, egui::Key::End), [Ask::Go(until_s)]);
    assert_eq!(window.key(&of, egui::Key::Space), [Ask::Play(true)]);
    of.cursor_s = 0.3;
    assert_eq!(window.key(&of, egui::Key::ArrowLeft), [Ask::Go(0.0)]);
}

#[test]
fn keys_answer_the_question() {
    let of = debrief(&AT_PUMP);
    let mut window = Window::of(1280.0, 720.0, 1.0);
    window.settled(&of);
    assert_eq!(window.key(&of, egui::Key::Space), []);
    assert_eq!(
        window.key(&of, egui::Key::Num2),
        [Ask::Rate(Rated::WithHelp)]
    );
}

#[test]
fn a_finding_leads_to_three_seconds_before_it() {
    let mut of = debrief(&AT_PUMP);
    of.rated = Some(Rated::Alone);
    let finding = of.mark.findings[0].clone();
    let mut window = Window::of(1280.0, 720.0, 1.0);
    window.desk.page = Page::Findings;
    let picture = window.settled(&of);
    let place = parts::say_with(
        "debrief-finding_place",
        &[
            ("number", &1),
            ("time", &records::clock::moment(finding.tick.seconds())),
        ],
    );
    let all = writing(&picture);
    let (_, at, _) = all.iter().find(|(text, ..)| *text == place).expect("a row");
    let asks = window.click(&of, at.center());
    let wanted = (finding.tick.seconds() - 3.0).max(0.0);
    assert_eq!(asks, [Ask::Go(wanted)]);
    assert_eq!(window.desk.chosen, Some(1));
}

#[test]
fn a_click_on_the_time_line_goes_to_that_moment() {
    let mut of = debrief(&AT_PUMP);
    of.rated = Some(Rated::Alone);
    let mut window = Window::of(1280.0, 720.0, 1.0);
    window.settled(&of);
    let row = 16.0;
    let line = Layout::of(window.size, row, false).line;
    let at = |share: f32| pos2(line.left() + share * line.width(), line.bottom() - 90.0);
    let moment = |asks: &[Ask]| match asks.last() {
        Some(Ask::Go(at_s)) => *at_s,
        other => panic!("{other:?}"),
    };
    let early = moment(&window.click(&of, at(0.4)));
    let late = moment(&window.click(&of, at(0.8)));
    assert!(0.0 < early && early < late && late < of.until_s());
    // Two fifths of the width apart, of what lies to the right of the names.
    let share = (late - early) / of.until_s();
    assert!((0.38..0.6).contains(&share), "{share}");
}

#[test]
fn nobody_who_is_assessed_takes_an_attempt_up_again() {
    let of = debrief(&AT_PUMP);
    let mut sitting = Sitting::default();
    assert!(may_restart(&of, &sitting));
    sitting.mode = Mode::Assessment;
    assert!(!may_restart(&of, &sitting));
}

#[test]
fn a_model_attempt_that_nobody_waits_for_ends() {
    let (loaded, ..) = &*AT_PUMP;
    let left = AtomicBool::new(true);
    let seed = loaded.level.seed;
    let came = carry_out(&Library::find(), loaded, String::new(), seed, &left);
    assert!(came.is_err());
}
