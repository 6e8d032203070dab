//! What the procedure's mark is made of.

use crate::data::{Ids, Reader};
use crate::level::{Criterion, CriterionKind};
use crate::text::number;

/// What of the rest of the level criteria ask for.
pub(super) struct Scene<'a> {
    /// Ids of the places.
    pub places: &'a Ids,
    /// There is a surface to be cleaned.
    pub surface: bool,
    /// Somebody comes who has no business there, or comes too near.
    pub intruder: bool,
    /// Somebody works a second tool.
    pub mate: bool,
    /// There is a whip restraint to be clipped.
    pub restraint: bool,
    /// The lowest step of the pump hand, where the program plays them, bar.
    pub lowest_step_bar: Option<f64>,
}

#[derive(Clone, Copy)]
enum Sort {
    Flushed,
    BoreGauged,
    StopsTested,
    LeakWalk,
    StepsHeld,
    Hold,
    DumpedOnCall,
    Cooled,
    LeftSafe,
    Cleaned,
    TestPatch,
    StandOffKept,
    NozzleChanged,
    StoppedForIntruder,
    LanceLeftSafe,
    TroubleMet,
    Partnered,
    Restrained,
    StoppedForParted,
}

const KINDS: [(&str, Sort); 19] = [
    ("Flushed", Sort::Flushed),
    ("BoreGauged", Sort::BoreGauged),
    ("StopsTested", Sort::StopsTested),
    ("LeakWalk", Sort::LeakWalk),
    ("StepsHeld", Sort::StepsHeld),
    ("Hold", Sort::Hold),
    ("DumpedOnCall", Sort::DumpedOnCall),
    ("Cooled", Sort::Cooled),
    ("LeftSafe", Sort::LeftSafe),
    ("Cleaned", Sort::Cleaned),
    ("TestPatch", Sort::TestPatch),
    ("StandOffKept", Sort::StandOffKept),
    ("NozzleChanged", Sort::NozzleChanged),
    ("StoppedForIntruder", Sort::StoppedForIntruder),
    ("LanceLeftSafe", Sort::LanceLeftSafe),
    ("TroubleMet", Sort::TroubleMet),
    ("Partnered", Sort::Partnered),
    ("Restrained", Sort::Restrained),
    ("StoppedForParted", Sort::StoppedForParted),
];

/// Reads the criteria.
pub(super) fn criteria(r: &mut Reader<'_, '_>, scene: &Scene<'_>) -> Vec<Criterion> {
    let mark = r.mark();
    let mut ids = Ids::default();
    let criteria = r.list("criteria", 1..=40, |c| {
        c.record("Criterion", |r| {
            let criterion = Criterion {
                id: r.new_id("id", &mut ids),
                weight: r.f64("weight", 0.1..=100.0),
                kind: r.field("kind", |c| {
                    c.variant(&KINDS, |sort, r| kind(sort, r, scene))
                }),
            };
            check(r, &criterion.kind, scene);
            criterion
        })
    });
    let sum: f64 = criteria.iter().map(|c| c.weight).sum();
    let sums = (sum - 100.0).abs() < 1.0e-6;
    let value = vec![("sum", number(sum, 1))];
    r.check_since(mark, "criteria", sums, "data-clash-weights", value);
    criteria
}

fn kind(sort: Sort, r: &mut Reader<'_, '_>, scene: &Scene<'_>) -> CriterionKind {
    match sort {
        Sort::Flushed => CriterionKind::Flushed {
            min_s: r.f64("min_s", 1.0..=600.0),
        },
        Sort::BoreGauged => CriterionKind::BoreGauged,
        Sort::StopsTested => CriterionKind::StopsTested,
        Sort::LeakWalk => CriterionKind::LeakWalk {
            places: r.list("places", 1..=20, |c| c.reference(scene.places)),
        },
        Sort::StepsHeld => CriterionKind::StepsHeld {
            count: r.whole("count", 1..=20),
        },
        Sort::Hold => CriterionKind::Hold,
        Sort::DumpedOnCall => CriterionKind::DumpedOnCall,
        Sort::Cooled => CriterionKind::Cooled,
        Sort::LeftSafe => CriterionKind::LeftSafe,
        Sort::Cleaned => CriterionKind::Cleaned {
            pct: r.f64("pct", 1.0..=100.0),
        },
        Sort::TestPatch => CriterionKind::TestPatch {
            at_most_bar: r.f64("at_most_bar", 1.0..=4_000.0),
            look_s: r.f64("look_s", 0.5..=120.0),
        },
        Sort::StandOffKept => CriterionKind::StandOffKept {
            pct: r.f64("pct", 1.0..=100.0),
        },
        Sort::NozzleChanged => CriterionKind::NozzleChanged,
        Sort::StoppedForIntruder => CriterionKind::StoppedForIntruder,
        Sort::LanceLeftSafe => CriterionKind::LanceLeftSafe,
        Sort::TroubleMet => CriterionKind::TroubleMet {
            within_s: r.f64("within_s", 1.0..=600.0),
        },
        Sort::Partnered => CriterionKind::Partnered {
            count: r.whole("count", 1..=20),
        },
        Sort::Restrained => CriterionKind::Restrained,
        Sort::StoppedForParted => CriterionKind::StoppedForParted {
            within_s: r.f64("within_s", 1.0..=600.0),
        },
    }
}

/// What a criterion watches for can come about in the level.
fn check(r: &mut Reader<'_, '_>, kind: &CriterionKind, scene: &Scene<'_>) {
    match kind {
        CriterionKind::Cleaned { .. }
        | CriterionKind::StandOffKept { .. }
        | CriterionKind::NozzleChanged
        | CriterionKind::TestPatch { .. } => {
            r.check(
                "kind",
                scene.surface,
                "data-clash-criterion-surface",
                vec![],
            );
        }
        CriterionKind::Partnered { .. } => {
            r.check("kind", scene.mate, "data-clash-criterion-mate", vec![]);
        }
        CriterionKind::Restrained => {
            r.check(
                "kind",
                scene.restraint,
                "data-clash-criterion-restraint",
                vec![],
            );
        }
        CriterionKind::StoppedForIntruder => {
            r.check(
                "kind",
                scene.intruder,
                "data-clash-criterion-intruder",
                vec![],
            );
        }
        _ => {}
    }
    if let (CriterionKind::TestPatch { at_most_bar, .. }, Some(lowest)) =
        (kind, scene.lowest_step_bar)
    {
        r.check(
            "kind",
            lowest <= *at_most_bar,
            "data-clash-test-patch",
            vec![
                ("limit", number(*at_most_bar, 0)),
                ("lowest", number(lowest, 0)),
            ],
        );
    }
}
