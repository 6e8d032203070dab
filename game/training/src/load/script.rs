//! `<level>/<script>.ron`: an attempt written down as goals.

use crew::{Call, Control, Cue, Goal, Part, Script, Seat, Stance, Task};

use super::parts::PASSAGE;
use super::si::m;
use super::site::{YARD_M, control_words};
use super::start::ppe_words;
use crate::data::{Cell, Document, Ids, Problems, Reader, read};
use crate::level::{Level, Surface};
use crate::rules::RULES;
use crate::text::number;

/// Longest that a script waits for anything, seconds.
const PATIENCE_S: f64 = 3_600.0;

/// What of a level goals can name.
struct Stage<'a> {
    level: &'a Level,
    places: Ids,
    nozzles: Ids,
}

/// Reads a script for a level.
pub(super) fn script(document: &Document, level: &Level) -> Result<Script, Problems> {
    let stage = Stage {
        level,
        places: level.site.places.iter().map(|(id, _)| id.clone()).collect(),
        nozzles: level
            .equipment
            .nozzles
            .iter()
            .map(|nozzle| nozzle.id.clone())
            .collect(),
    };
    let rules: Ids = RULES.iter().map(|rule| rule.id()).collect();
    read(document, "Script", |r| {
        let script = Script {
            level: r.new_id("level", &mut Ids::default()),
            about: r.text("about", PASSAGE),
            breaks: r.list("breaks", 0..=rules.iter().count(), |c| c.reference(&rules)),
            goals: r.list("goals", 1..=1_000, |c| goal(c, &stage)),
            after_stop: r
                .option("after_stop", |c| c.list(1..=200, |c| goal(c, &stage)))
                .unwrap_or_default(),
        };
        r.check(
            "level",
            script.level == level.id,
            "data-clash-script-level",
            vec![
                ("written", script.level.clone()),
                ("level", level.id.clone()),
            ],
        );
        script
    })
}

#[derive(Clone, Copy)]
enum GoalSort {
    Walk,
    Set,
    StartEngine,
    Say,
    Wait,
    Until,
    Bring,
    Strike,
    HandBack,
    Stand,
    Brace,
    Catch,
    Squeeze,
    AimAt,
    Sweep,
    Rework,
    LayDown,
    TakeUp,
    Choose,
    Work,
    Wear,
    Tie,
    TakeHose,
    LetGo,
    Trigger,
    TagOut,
}

const GOALS: [(&str, GoalSort); 26] = [
    ("Walk", GoalSort::Walk),
    ("Set", GoalSort::Set),
    ("StartEngine", GoalSort::StartEngine),
    ("Say", GoalSort::Say),
    ("Wait", GoalSort::Wait),
    ("Until", GoalSort::Until),
    ("Bring", GoalSort::Bring),
    ("Strike", GoalSort::Strike),
    ("HandBack", GoalSort::HandBack),
    ("Stand", GoalSort::Stand),
    ("Brace", GoalSort::Brace),
    ("Catch", GoalSort::Catch),
    ("Squeeze", GoalSort::Squeeze),
    ("AimAt", GoalSort::AimAt),
    ("Sweep", GoalSort::Sweep),
    ("Rework", GoalSort::Rework),
    ("LayDown", GoalSort::LayDown),
    ("TakeUp", GoalSort::TakeUp),
    ("Choose", GoalSort::Choose),
    ("Work", GoalSort::Work),
    ("Wear", GoalSort::Wear),
    ("Tie", GoalSort::Tie),
    ("TakeHose", GoalSort::TakeHose),
    ("LetGo", GoalSort::LetGo),
    ("Trigger", GoalSort::Trigger),
    ("TagOut", GoalSort::TagOut),
];

impl GoalSort {
    /// The post whose work it is; nothing where both can do it.
    fn post(self) -> Option<Seat> {
        match self {
            GoalSort::StartEngine | GoalSort::Bring => Some(Seat::PUMP),
            GoalSort::Brace
            | GoalSort::Catch
            | GoalSort::Squeeze
            | GoalSort::AimAt
            | GoalSort::Sweep
            | GoalSort::Rework
            | GoalSort::LayDown
            | GoalSort::TakeUp
            | GoalSort::Choose
            | GoalSort::Work
            | GoalSort::Tie
            | GoalSort::TakeHose
            | GoalSort::Trigger => Some(Seat::LANCE),
            GoalSort::Walk
            | GoalSort::Set
            | GoalSort::Say
            | GoalSort::Wait
            | GoalSort::Until
            | GoalSort::Strike
            | GoalSort::TagOut
            | GoalSort::HandBack
            | GoalSort::Stand
            | GoalSort::Wear
            | GoalSort::LetGo => None,
        }
    }
}

fn goal(cell: &mut Cell<'_, '_>, stage: &Stage<'_>) -> Goal {
    cell.variant(&GOALS, |sort, r| {
        let goal = goal_of(sort, r, stage);
        let post = stage.level.post;
        r.check(
            "",
            sort.post().is_none_or(|own| own == post),
            "data-clash-goal-post",
            vec![("post", post.id().to_owned())],
        );
        goal
    })
}

fn goal_of(sort: GoalSort, r: &mut Reader<'_, '_>, stage: &Stage<'_>) -> Goal {
    match sort {
        GoalSort::Walk => Goal::Walk {
            to: r.reference("to", &stage.places),
        },
        GoalSort::Set => set(r, stage.level),
        GoalSort::StartEngine => Goal::StartEngine {
            within_s: patience(r),
        },
        GoalSort::Say => Goal::Say {
            call: call(r, "call"),
            answer: r.option("answer", |c| c.word(&calls())),
        },
        GoalSort::Wait => Goal::Wait {
            s: seconds(r, PATIENCE_S),
        },
        GoalSort::Until => Goal::Until {
            cue: r.field("cue", |c| cue(c, stage.level)),
            within_s: patience(r),
        },
        GoalSort::Bring => Goal::Bring {
            bar: pressure(r),
            within_pct: r.f64("within_pct", 0.1..=50.0),
            within_s: patience(r),
        },
        GoalSort::Strike => Goal::Strike,
        GoalSort::HandBack => Goal::HandBack,
        GoalSort::Stand => Goal::Stand {
            stance: r.word("stance", &STANCES),
        },
        GoalSort::Brace => Goal::Brace { on: r.bool("on") },
        GoalSort::Catch => Goal::Catch { on: r.bool("on") },
        GoalSort::Squeeze => Goal::Squeeze {
            s: seconds(r, 60.0),
        },
        GoalSort::AimAt => Goal::AimAt {
            at_m: r.field("at_m", |c| c.numbers(-YARD_M..=YARD_M)),
        },
        GoalSort::Sweep => {
            let [from_m, to_m] = part(r, stage.level.surface.as_ref());
            Goal::Sweep {
                from_m,
                to_m,
                stand_off_m: m(r.f64("stand_off_mm", 1.0..=2_000.0)),
                speed_m_s: r.f64("speed_m_s", 0.01..=3.0),
                step_m: m(r.f64("step_mm", 1.0..=500.0)),
            }
        }
        GoalSort::Rework => {
            let [from_m, to_m] = part(r, stage.level.surface.as_ref());
            Goal::Rework {
                from_m,
                to_m,
                stand_off_m: m(r.f64("stand_off_mm", 1.0..=2_000.0)),
                speed_m_s: r.f64("speed_m_s", 0.01..=3.0),
                step_m: m(r.f64("step_mm", 1.0..=500.0)),
                clean_pct: r.whole("clean_pct", 1..=100),
            }
        }
        GoalSort::LayDown => Goal::LayDown,
        GoalSort::TakeUp => Goal::TakeUp,
        GoalSort::Choose => {
            let id = r.reference("nozzle", &stage.nozzles);
            let mut nozzles = stage.level.equipment.nozzles.iter();
            let place = nozzles.position(|nozzle| nozzle.id == id);
            // Levels have few nozzles; one that is not there was reported.
            let place = place.and_then(|place| u8::try_from(place).ok());
            Goal::Choose {
                nozzle: place.unwrap_or(0),
            }
        }
        GoalSort::Work => Goal::Work {
            task: r.word("task", &Task::ALL.map(|task| (task.id(), task))),
        },
        GoalSort::Wear => {
            let goal = Goal::Wear {
                item: r.word("item", &ppe_words()),
                on: r.bool("on"),
            };
            let rack = stage.level.site.rack.is_some();
            r.check("item", rack, "data-clash-no-rack", vec![]);
            goal
        }
        GoalSort::Tie => Goal::Tie { on: r.bool("on") },
        GoalSort::TakeHose => Goal::TakeHose,
        GoalSort::LetGo => Goal::LetGo,
        GoalSort::Trigger => Goal::Trigger { on: r.bool("on") },
        GoalSort::TagOut => Goal::TagOut {
            part: r.word("part", &Part::ALL.map(|part| (part.id(), part))),
        },
    }
}

const STANCES: [(&str, Stance); 4] = [
    ("normal", Stance::Normal),
    ("wide", Stance::Wide),
    ("staggered", Stance::Staggered),
    ("crouched", Stance::Crouched),
];

fn set(r: &mut Reader<'_, '_>, level: &Level) -> Goal {
    let control: Control = r.word("control", &control_words());
    let to = r.whole("to", 0..=u16::MAX);
    r.check(
        "control",
        level.site.control(control).is_some(),
        "data-clash-control-absent",
        vec![("control", control.id().to_owned())],
    );
    r.check(
        "to",
        to <= control.top(),
        "data-clash-position",
        vec![
            ("control", control.id().to_owned()),
            ("top", control.top().to_string()),
        ],
    );
    Goal::Set { control, to }
}

/// A part of the surface: left lower and right upper corner.
fn part(r: &mut Reader<'_, '_>, surface: Option<&Surface>) -> [[f64; 2]; 2] {
    let [from, to] = ["from_m", "to_m"].map(|name| r.field(name, |c| c.numbers(0.0..=50.0)));
    let Some(surface) = surface else {
        r.check("from_m", false, "data-clash-no-surface", vec![]);
        return [from, to];
    };
    let [width, height] = surface.size;
    r.check(
        "to_m",
        from[0] < to[0] && from[1] < to[1] && to[0] <= width && to[1] <= height,
        "data-clash-part",
        vec![("width", number(width, 2)), ("height", number(height, 2))],
    );
    [from, to]
}

fn calls() -> [(&'static str, Call); Call::ALL.len()] {
    Call::ALL.map(|call| (call.id(), call))
}

fn call(r: &mut Reader<'_, '_>, name: &'static str) -> Call {
    r.word(name, &calls())
}

fn patience(r: &mut Reader<'_, '_>) -> f64 {
    r.f64("within_s", 0.0..=PATIENCE_S)
}

fn seconds(r: &mut Reader<'_, '_>, longest: f64) -> f64 {
    r.field("s", |c| c.named("wait_s").f64(0.0..=longest))
}

fn pressure(r: &mut Reader<'_, '_>) -> f64 {
    r.field("bar", |c| c.named("pressure_bar").f64(0.0..=5_000.0))
}

#[derive(Clone, Copy)]
enum CueSort {
    Heard,
    GaugeAbove,
    GaugeBelow,
    Sees,
    Bare(Cue),
}

fn cue(cell: &mut Cell<'_, '_>, level: &Level) -> Cue {
    const CUES: [(&str, CueSort); 14] = [
        ("Heard", CueSort::Heard),
        ("GaugeAbove", CueSort::GaugeAbove),
        ("GaugeBelow", CueSort::GaugeBelow),
        ("EngineStands", CueSort::Bare(Cue::EngineStands)),
        ("AirGone", CueSort::Bare(Cue::AirGone)),
        ("BleedDry", CueSort::Bare(Cue::BleedDry)),
        ("HoseLimp", CueSort::Bare(Cue::HoseLimp)),
        ("JetRuns", CueSort::Bare(Cue::JetRuns)),
        ("JetStands", CueSort::Bare(Cue::JetStands)),
        ("NozzleFitted", CueSort::Bare(Cue::NozzleFitted)),
        ("PumpKnocks", CueSort::Bare(Cue::PumpKnocks)),
        ("Parted", CueSort::Bare(Cue::Parted)),
        ("SomebodyDown", CueSort::Bare(Cue::SomebodyDown)),
        ("Sees", CueSort::Sees),
    ];
    cell.variant(&CUES, |sort, r| match sort {
        CueSort::Heard => Cue::Heard {
            call: call(r, "call"),
        },
        CueSort::GaugeAbove => Cue::GaugeAbove { bar: pressure(r) },
        CueSort::GaugeBelow => Cue::GaugeBelow { bar: pressure(r) },
        CueSort::Sees => {
            let seat = r.word("seat", &Seat::ALL.map(|seat| (seat.id(), seat)));
            let there = match seat {
                Seat::WATCH => level.crew.watch.is_some(),
                Seat::VISITOR => level.crew.visitor.is_some(),
                _ => seat != level.post,
            };
            let who = vec![("seat", seat.id().to_owned())];
            r.check("seat", there, "data-clash-nobody-there", who);
            Cue::Sees {
                seat,
                within_m: r.f64("within_m", 0.5..=100.0),
            }
        }
        CueSort::Bare(cue) => cue,
    })
}
