//! `<level>/<script>.ron`: an attempt written down as goals.

use crew::{Call, Cue, Goal, Script};

use super::parts::PASSAGE;
use super::site::control_words;
use crate::data::{Cell, Document, Ids, Problems, Reader, read};
use crate::level::Level;
use crate::rules::RULES;

/// Longest that a script waits for anything, seconds.
const PATIENCE_S: f64 = 3_600.0;

/// Reads a script for a level.
pub(super) fn script(document: &Document, level: &Level) -> Result<Script, Problems> {
    let places: Ids = level.site.places.iter().map(|(id, _)| id.clone()).collect();
    let rules: Ids = RULES.iter().map(|rule| rule.id()).collect();
    read(document, "Script", |r| {
        let script = Script {
            level: r.new_id("level", &mut Ids::default()),
            about: r.text("about", PASSAGE),
            breaks: r.list("breaks", 0..=rules.iter().count(), |c| c.reference(&rules)),
            goals: r.list("goals", 1..=1_000, |c| goal(c, &places)),
            after_stop: Vec::new(),
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
}

fn goal(cell: &mut Cell<'_, '_>, places: &Ids) -> Goal {
    const GOALS: [(&str, GoalSort); 9] = [
        ("Walk", GoalSort::Walk),
        ("Set", GoalSort::Set),
        ("StartEngine", GoalSort::StartEngine),
        ("Say", GoalSort::Say),
        ("Wait", GoalSort::Wait),
        ("Until", GoalSort::Until),
        ("Bring", GoalSort::Bring),
        ("Strike", GoalSort::Strike),
        ("HandBack", GoalSort::HandBack),
    ];
    cell.variant(&GOALS, |sort, r| match sort {
        GoalSort::Walk => Goal::Walk {
            to: r.reference("to", places),
        },
        GoalSort::Set => {
            let control = r.word("control", &control_words());
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
            Goal::Set { control, to }
        }
        GoalSort::StartEngine => Goal::StartEngine {
            within_s: patience(r),
        },
        GoalSort::Say => Goal::Say {
            call: call(r, "call"),
            answer: r.option("answer", |c| c.word(&calls())),
        },
        GoalSort::Wait => Goal::Wait {
            s: r.field("s", |c| c.named("wait_s").f64(0.0..=PATIENCE_S)),
        },
        GoalSort::Until => Goal::Until {
            cue: r.field("cue", cue),
            within_s: patience(r),
        },
        GoalSort::Bring => Goal::Bring {
            bar: pressure(r),
            within_pct: r.f64("within_pct", 0.1..=50.0),
            within_s: patience(r),
        },
        GoalSort::Strike => Goal::Strike,
        GoalSort::HandBack => Goal::HandBack,
    })
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

fn pressure(r: &mut Reader<'_, '_>) -> f64 {
    r.field("bar", |c| c.named("pressure_bar").f64(0.0..=5_000.0))
}

#[derive(Clone, Copy)]
enum CueSort {
    Heard,
    GaugeAbove,
    GaugeBelow,
    Bare(Cue),
}

fn cue(cell: &mut Cell<'_, '_>) -> Cue {
    const CUES: [(&str, CueSort); 10] = [
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
    ];
    cell.variant(&CUES, |sort, r| match sort {
        CueSort::Heard => Cue::Heard {
            call: call(r, "call"),
        },
        CueSort::GaugeAbove => Cue::GaugeAbove { bar: pressure(r) },
        CueSort::GaugeBelow => Cue::GaugeBelow { bar: pressure(r) },
        CueSort::Bare(cue) => cue,
    })
}
