//! `<level>/coach.ron`: help for who has never done it. No part of the level: neither a mark nor
//! a recording knows of it.

use crew::{Call, Control, Seat, Task};

use super::parts::words;
use super::site::control_words;
use super::start::ppe_words;
use crate::Channel;
use crate::coach::{Aside, Condition, KEYS, MOST, Plan, Pointed, Stage, Step, Undone, stranger};
use crate::data::syntax::{Node, Value};
use crate::data::{Cell, Document, Ids, Problems, Reader, read};
use crate::level::{Level, Words};
use crate::text::number;

/// Longest text of a step, in characters: it is read beside the work.
const SAID: usize = 200;
/// Longest hint, in characters.
const HINT: usize = 400;
/// Longest that a condition is asked to hold, seconds.
const HELD_S: f64 = 600.0;

/// What of a level a plan can name.
struct Around<'a> {
    level: &'a Level,
    places: Ids,
    nozzles: Ids,
    channels: Ids,
    /// Ids of all steps, in their order.
    steps: Vec<String>,
}

impl Around<'_> {
    fn ids_of_steps(&self) -> Ids {
        self.steps.iter().map(String::as_str).collect()
    }

    /// The place of a step; the first one for an id that there is not, which
    /// was reported.
    fn place_of(&self, id: &str) -> usize {
        let place = self.steps.iter().position(|step| step == id);
        place.unwrap_or_default()
    }
}

/// Reads the plan of a level.
pub(super) fn coach(document: &Document, level: &Level) -> Result<Plan, Problems> {
    let nozzles = level.equipment.nozzles.iter();
    let around = Around {
        level,
        places: level.site.places.iter().map(|(id, _)| id.clone()).collect(),
        nozzles: nozzles.map(|nozzle| nozzle.id.clone()).collect(),
        channels: Channel::ALL.iter().map(|c| c.id()).collect(),
        steps: ids_of_steps(document),
    };
    read(document, "Coach", |r| {
        let own = r.new_id("level", &mut Ids::default());
        let mut ids = Ids::default();
        let mut place = 0;
        let steps = r.list("steps", 1..=200, |c| {
            place += 1;
            step(c, &around, Some(place - 1), &mut ids)
        });
        let asides = r
            .option("asides", |c| {
                c.list(0..=20, |c| aside(c, &around, &mut ids))
            })
            .unwrap_or_default();
        r.check(
            "level",
            own == level.id,
            "data-clash-coach-level",
            vec![("written", own.clone()), ("level", level.id.clone())],
        );
        Plan {
            level: own,
            post: level.post,
            steps,
            asides,
        }
    })
}

/// The ids of the steps as they are written, so that a step can name a later one.
fn ids_of_steps(document: &Document) -> Vec<String> {
    let Some(Value::List(steps)) = field(&document.root.value, "steps") else {
        return Vec::new();
    };
    let id = |step: &Node| match field(&step.value, "id") {
        Some(Value::Text(id)) => id.clone(),
        _ => String::new(),
    };
    steps.iter().map(id).collect()
}

fn field<'d>(value: &'d Value, name: &str) -> Option<&'d Value> {
    let Value::Struct(_, fields) = value else {
        return None;
    };
    let field = fields.iter().find(|field| field.name.text == name)?;
    Some(&field.value.value)
}

fn aside(cell: &mut Cell<'_, '_>, around: &Around<'_>, ids: &mut Ids) -> Aside {
    cell.record("Aside", |r| Aside {
        id: r.new_id("id", ids),
        between: r
            .option("between", |c| {
                c.list(1..=20, |c| c.record("Between", |r| between(r, around)))
            })
            .unwrap_or_default(),
        when: r.field("when", |c| condition(c, around)),
        over: r.field("over", |c| condition(c, around)),
        steps: r.list("steps", 1..=50, |c| step(c, around, None, ids)),
    })
}

/// Reads a step. One of the plan itself has a place there and can be taken back; one of an aside
/// cannot.
fn step(cell: &mut Cell<'_, '_>, around: &Around<'_>, place: Option<usize>, ids: &mut Ids) -> Step {
    cell.record("Step", |r| Step {
        id: r.new_id("id", ids),
        say: spoken(r, "say", SAID),
        hint: spoken(r, "hint", HINT),
        points_at: r.option("points_at", |c| pointed(c, around)),
        done: r.list("done", 1..=10, |c| stage(c, around)),
        spared: r.option("spared", |c| condition(c, around)),
        undone: place.and_then(|place| {
            r.option("undone", |c| {
                c.record("Undone", |r| undone(r, around, place))
            })
        }),
    })
}

/// Words in which names of keys may stand in braces.
fn spoken(r: &mut Reader<'_, '_>, name: &'static str, limit: usize) -> Words {
    let words = r.field(name, |c| words(c, limit));
    let all = || core::iter::once(&words.en).chain(words.others.iter().map(|(_, w)| w));
    match all().find_map(|text| stranger(text)) {
        Some(Some(written)) => {
            let values = vec![("written", written), ("allowed", KEYS.join(", "))];
            r.check(name, false, "data-clash-coach-key", values);
        }
        Some(None) => r.check(name, false, "data-clash-coach-brace", vec![]),
        None => {}
    }
    words
}

fn undone(r: &mut Reader<'_, '_>, around: &Around<'_>, place: usize) -> Undone {
    Undone {
        when: r.field("when", |c| condition(c, around)),
        until: later(r, around, place),
    }
}

fn between(r: &mut Reader<'_, '_>, around: &Around<'_>) -> [usize; 2] {
    let id = r.reference("from", &around.ids_of_steps());
    let from = around.place_of(&id);
    [from, later(r, around, from)]
}

/// A step that must come after the one at this place.
fn later(r: &mut Reader<'_, '_>, around: &Around<'_>, place: usize) -> usize {
    let id = r.reference("until", &around.ids_of_steps());
    let until = around.place_of(&id);
    r.check(
        "until",
        until > place,
        "data-clash-coach-until",
        vec![
            ("step", id),
            (
                "before",
                around.steps.get(place).cloned().unwrap_or_default(),
            ),
        ],
    );
    until
}

#[derive(Clone, Copy)]
enum PointedSort {
    Control,
    Nozzle,
    Ppe,
    Place,
    Surface,
    Bare(Pointed),
}

fn pointed(cell: &mut Cell<'_, '_>, around: &Around<'_>) -> Pointed {
    const SORTS: [(&str, PointedSort); 10] = [
        ("Control", PointedSort::Control),
        ("Lance", PointedSort::Bare(Pointed::Lance)),
        ("Stand", PointedSort::Bare(Pointed::Stand)),
        ("LanceEnd", PointedSort::Bare(Pointed::LanceEnd)),
        ("Nozzle", PointedSort::Nozzle),
        ("BoreGauge", PointedSort::Bare(Pointed::BoreGauge)),
        ("Ppe", PointedSort::Ppe),
        ("JobBoard", PointedSort::Bare(Pointed::JobBoard)),
        ("Place", PointedSort::Place),
        ("Surface", PointedSort::Surface),
    ];
    cell.variant(&SORTS, |sort, r| match sort {
        PointedSort::Control => Pointed::Control(control(r, around)),
        PointedSort::Nozzle => Pointed::Nozzle(nozzle(r, around)),
        PointedSort::Ppe => {
            let item = r.word("item", &ppe_words());
            let rack = around.level.site.rack.is_some();
            r.check("item", rack, "data-clash-no-rack", vec![]);
            Pointed::Ppe(item)
        }
        PointedSort::Place => Pointed::Place(place(r, around)),
        PointedSort::Surface => {
            let at = r.field("at_m", |c| c.numbers(0.0..=50.0));
            let size = r.field("size_m", |c| c.numbers(0.05..=50.0));
            match &around.level.surface {
                None => r.check("at_m", false, "data-clash-no-surface", vec![]),
                Some(surface) => {
                    let [width, height] = surface.size;
                    let within = at[0] + 0.5 * size[0] <= width + 1e-9
                        && at[1] + 0.5 * size[1] <= height + 1e-9
                        && [0, 1].into_iter().all(|n| at[n] - 0.5 * size[n] >= -1e-9);
                    r.check(
                        "at_m",
                        within,
                        "data-clash-coach-spot",
                        vec![("width", number(width, 2)), ("height", number(height, 2))],
                    );
                }
            }
            Pointed::Surface { at, size }
        }
        PointedSort::Bare(pointed) => pointed,
    })
}

#[derive(Clone, Copy)]
enum Sort {
    Reads,
    Said,
    Moved,
    Finished,
    HandedBack,
    TaggedOut,
    Wears,
    Fitted,
    Chosen,
    At,
    All,
    Any,
    Not,
}

const SORTS: [(&str, Sort); 13] = [
    ("Reads", Sort::Reads),
    ("Said", Sort::Said),
    ("Moved", Sort::Moved),
    ("Finished", Sort::Finished),
    ("HandedBack", Sort::HandedBack),
    ("TaggedOut", Sort::TaggedOut),
    ("Wears", Sort::Wears),
    ("Fitted", Sort::Fitted),
    ("Chosen", Sort::Chosen),
    ("At", Sort::At),
    ("All", Sort::All),
    ("Any", Sort::Any),
    ("Not", Sort::Not),
];

/// A condition, or `Held(for_s: ..., of: ...)` for one that has to last.
fn stage(cell: &mut Cell<'_, '_>, around: &Around<'_>) -> Stage {
    let lasting: Vec<(&'static str, Option<Sort>)> = SORTS
        .iter()
        .map(|(name, sort)| (*name, Some(*sort)))
        .chain([("Held", None)])
        .collect();
    cell.variant(&lasting, |sort, r| match sort {
        Some(sort) => Stage {
            when: of_sort(sort, r, around),
            for_s: 0.0,
        },
        None => Stage {
            for_s: r.f64("for_s", 0.1..=HELD_S),
            when: r.field("of", |c| condition(c, around)),
        },
    })
}

fn condition(cell: &mut Cell<'_, '_>, around: &Around<'_>) -> Condition {
    cell.variant(&SORTS, |sort, r| of_sort(sort, r, around))
}

fn of_sort(sort: Sort, r: &mut Reader<'_, '_>, around: &Around<'_>) -> Condition {
    match sort {
        Sort::Reads => reads(r, around),
        Sort::Said => Condition::Said {
            seat: r.word("seat", &Seat::ALL.map(|seat| (seat.id(), seat))),
            call: r.word("call", &Call::ALL.map(|call| (call.id(), call))),
        },
        Sort::Moved => {
            let control = control(r, around);
            let to = r.whole("to", 0..=u16::MAX);
            r.check(
                "to",
                to <= control.top(),
                "data-clash-position",
                vec![
                    ("control", control.id().to_owned()),
                    ("top", control.top().to_string()),
                ],
            );
            Condition::Moved { control, to }
        }
        Sort::Finished => Condition::Finished {
            task: r.word("task", &Task::ALL.map(|task| (task.id(), task))),
        },
        Sort::HandedBack => Condition::HandedBack,
        Sort::TaggedOut => Condition::TaggedOut,
        Sort::Wears => Condition::Wears {
            item: r.word("item", &ppe_words()),
        },
        Sort::Fitted => Condition::Fitted {
            nozzle: nozzle(r, around),
        },
        Sort::Chosen => Condition::Chosen {
            nozzle: nozzle(r, around),
        },
        Sort::At => Condition::At {
            place: place(r, around),
            within_m: r.f64("within_m", 0.2..=20.0),
        },
        Sort::All => Condition::All(r.list("of", 1..=20, |c| condition(c, around))),
        Sort::Any => Condition::Any(r.list("of", 1..=20, |c| condition(c, around))),
        Sort::Not => Condition::Not(Box::new(r.field("of", |c| condition(c, around)))),
    }
}

fn reads(r: &mut Reader<'_, '_>, around: &Around<'_>) -> Condition {
    let id = r.reference("channel", &around.channels);
    let bound = |r: &mut Reader<'_, '_>, name| r.option(name, |c| c.f64(-MOST..=MOST));
    let (least, most) = (bound(r, "at_least"), bound(r, "at_most"));
    r.check(
        "",
        least.is_some() || most.is_some(),
        "data-clash-coach-bound",
        vec![],
    );
    let (at_least, at_most) = (least.unwrap_or(-MOST), most.unwrap_or(MOST));
    r.check(
        "at_most",
        at_least <= at_most,
        "data-clash-coach-bounds-order",
        vec![],
    );
    Condition::Reads {
        // One that does not exist was reported.
        channel: Channel::by_id(&id).unwrap_or(Channel::Gauge),
        at_least,
        at_most,
    }
}

fn control(r: &mut Reader<'_, '_>, around: &Around<'_>) -> Control {
    let control: Control = r.word("control", &control_words());
    r.check(
        "control",
        around.level.site.control(control).is_some(),
        "data-clash-control-absent",
        vec![("control", control.id().to_owned())],
    );
    control
}

fn nozzle(r: &mut Reader<'_, '_>, around: &Around<'_>) -> u8 {
    let id = r.reference("nozzle", &around.nozzles);
    let mut nozzles = around.level.equipment.nozzles.iter();
    let place = nozzles.position(|nozzle| nozzle.id == id);
    // Levels have few nozzles; one that is not there was reported.
    place.and_then(|n| u8::try_from(n).ok()).unwrap_or_default()
}

fn place(r: &mut Reader<'_, '_>, around: &Around<'_>) -> [f64; 2] {
    let id = r.reference("place", &around.places);
    around.level.site.place(&id).unwrap_or_default()
}
