//! `<level>/level.ron`: an exercise.

use std::collections::BTreeMap;

use crew::{Control, Seat};

use super::catalogue::{Catalogue, CatalogueIds};
use super::equipment::{Demands, equipment};
use super::parts::{PASSAGE, TITLE, words};
use super::si::share;
use super::site::site;
use crate::data::{Document, Ids, Problems, Read, Reader, Reading};
use crate::level::{
    Crew, Criterion, CriterionKind, Economy, Given, Job, LanceHand, Level, PpeRules, Start,
};
use crate::region::Region;
use crate::text::number;

/// What a level is read against.
pub(super) struct Around<'a> {
    /// The catalogue, unless something is wrong in it.
    pub catalogue: Option<&'a Catalogue>,
    /// Ids of the catalogue.
    pub ids: &'a CatalogueIds,
    /// Regions by id; nothing for one that has mistakes.
    pub regions: &'a BTreeMap<String, Option<Region>>,
    /// Name of the level's folder.
    pub folder: &'a str,
    /// Checks between values are reported and not enforced.
    pub lenient: bool,
}

/// Reads a level. Without a problem the level is there unless the catalogue or the region is not.
pub(super) fn level(
    document: &Document,
    around: &Around<'_>,
) -> Result<Read<Option<Level>>, Problems> {
    Reading::of(document)
        .lenient(around.lenient)
        .record("Level", |r| fields(r, around))
}

fn fields(r: &mut Reader<'_, '_>, around: &Around<'_>) -> Option<Level> {
    const POSTS: [(&str, Seat); 2] = [("pump", Seat::PUMP), ("lance", Seat::LANCE)];
    let [water_c, air_c] = r.record("weather", "Weather", |r| {
        [r.f64("water_c", 5.0..=45.0), r.f64("air_c", -20.0..=50.0)]
    });
    let start = r.record("start", "Start", start);
    let job = r.record("job", "Job", job);
    // With a stand-in for one of these, nothing can be said of the equipment.
    let sound = r.is_clean();
    let mark = r.mark();
    let id = r.new_id("id", &mut Ids::default());
    let folder = vec![("folder", around.folder.to_owned())];
    let right = id == around.folder;
    r.check_since(mark, "id", right, "data-clash-folder", folder);
    let region_ids: Ids = around.regions.keys().cloned().collect();
    let region_id = r.reference("region", &region_ids);
    let region = around.regions.get(&region_id).and_then(Option::as_ref);
    let demands = Demands {
        job: &job,
        region,
        water_c,
        air_in_head: start.air_in_head,
        sound,
    };
    let equipment = r.record("equipment", "Equipment", |r| {
        equipment(r, around.catalogue, around.ids, &demands)
    });
    let hose_m = equipment
        .as_ref()
        .map(|e| e.hoses.iter().map(|hose| hose.length_m).sum());
    let mut places = Ids::default();
    let site = r.record("site", "Site", |r| site(r, hose_m, &mut places));
    let mark = r.mark();
    let expected_s = r.f64("expected_s", 10.0..=14_400.0);
    let limit_s = r.f64("limit_s", 10.0..=28_800.0);
    r.check_since(
        mark,
        "limit_s",
        limit_s >= expected_s,
        "data-clash-limit",
        vec![
            ("limit", number(limit_s, 0)),
            ("expected", number(expected_s, 0)),
        ],
    );
    let passages = |r: &mut Reader<'_, '_>, name| r.list(name, 1..=12, |c| words(c, PASSAGE));
    Some(Level {
        id,
        version: r.whole("version", 1..=1_000_000),
        author: r.text("author", TITLE),
        title: r.field("title", |c| words(c, TITLE)),
        objectives: passages(r, "objectives"),
        hazards: passages(r, "hazards"),
        briefing: r.field("briefing", |c| words(c, PASSAGE)),
        post: r.word("post", &POSTS),
        seed: r.whole("seed", 0..=u64::MAX),
        expected_s,
        limit_s,
        water_c,
        air_c,
        crew: r.record("crew", "Crew", |r| Crew {
            lance_hand: r.option("lance_hand", |c| c.record("LanceHand", lance_hand)),
            pump_hand: None,
            watch: None,
            visitor: None,
        }),
        surface: None,
        given: Given::default(),
        ppe: PpeRules::default(),
        criteria: criteria(r, &places),
        economy: r.record("economy", "Economy", |r| Economy {
            water_l: r.f64("water_l", 0.1..=1.0e6),
            fuel_l: r.f64("fuel_l", 0.01..=1.0e5),
        }),
        start,
        job,
        site,
        region: region?.clone(),
        equipment: equipment?,
    })
}

fn start(r: &mut Reader<'_, '_>) -> Start {
    const KEY: [(&str, u16); 2] = [("Off", 0), ("On", 1)];
    let opened = |r: &mut Reader<'_, '_>, name| u16::from(r.bool(name));
    let turned = |r: &mut Reader<'_, '_>, name, control: Control| {
        let share = share(r.f64(name, 0.0..=100.0));
        // Between 0 and the top of a u16, so nothing is cut off.
        (share * f64::from(control.top())).round() as u16
    };
    Start {
        controls: vec![
            (Control::Supply, opened(r, "supply_open")),
            (Control::AirBleed, opened(r, "air_bleed_open")),
            (Control::Key, r.word("key", &KEY)),
            (
                Control::Throttle,
                turned(r, "throttle_pct", Control::Throttle),
            ),
            (
                Control::Regulator,
                turned(r, "regulator_pct", Control::Regulator),
            ),
            (Control::Dump, opened(r, "dump_open")),
            (Control::EmergencyStop, opened(r, "emergency_stop_struck")),
            (Control::Bleed, opened(r, "bleed_open")),
        ],
        air_in_head: share(r.f64("air_in_head_pct", 0.0..=100.0)),
        nozzle_fitted: r.bool("nozzle_fitted"),
        nozzle: 0,
        engine_runs: false,
        barrier_closed: true,
        tool_in_stand: false,
    }
}

fn job(r: &mut Reader<'_, '_>) -> Job {
    Job {
        pressure_bar: r.f64("pressure_bar", 10.0..=4_000.0),
        throttle_pct: r.f64("throttle_pct", 0.0..=100.0),
        hold_s: r.f64("hold_s", 1.0..=3_600.0),
        within_pct: r.f64("within_pct", 0.5..=20.0),
        ignore_after_trigger_s: r.f64("ignore_after_trigger_s", 0.0..=30.0),
    }
}

fn lance_hand(r: &mut Reader<'_, '_>) -> LanceHand {
    LanceHand {
        reply_s: r.f64("reply_s", 0.1..=10.0),
        squeeze_s: r.f64("squeeze_s", 0.5..=60.0),
        work: r.list("work_s", 0..=100, |c| {
            let [wait, squeeze] = c.numbers(0.0..=600.0);
            (wait, squeeze)
        }),
        dump_call_after_s: r.option("dump_call_after_s", |c| c.f64(1.0..=3_600.0)),
    }
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
}

fn criteria(r: &mut Reader<'_, '_>, places: &Ids) -> Vec<Criterion> {
    const KINDS: [(&str, Sort); 9] = [
        ("Flushed", Sort::Flushed),
        ("BoreGauged", Sort::BoreGauged),
        ("StopsTested", Sort::StopsTested),
        ("LeakWalk", Sort::LeakWalk),
        ("StepsHeld", Sort::StepsHeld),
        ("Hold", Sort::Hold),
        ("DumpedOnCall", Sort::DumpedOnCall),
        ("Cooled", Sort::Cooled),
        ("LeftSafe", Sort::LeftSafe),
    ];
    let kind = |kind, r: &mut Reader<'_, '_>| match kind {
        Sort::Flushed => CriterionKind::Flushed {
            min_s: r.f64("min_s", 1.0..=600.0),
        },
        Sort::BoreGauged => CriterionKind::BoreGauged,
        Sort::StopsTested => CriterionKind::StopsTested,
        Sort::LeakWalk => CriterionKind::LeakWalk {
            places: r.list("places", 1..=20, |c| c.reference(places)),
        },
        Sort::StepsHeld => CriterionKind::StepsHeld {
            count: r.whole("count", 1..=20),
        },
        Sort::Hold => CriterionKind::Hold,
        Sort::DumpedOnCall => CriterionKind::DumpedOnCall,
        Sort::Cooled => CriterionKind::Cooled,
        Sort::LeftSafe => CriterionKind::LeftSafe,
    };
    let mark = r.mark();
    let mut ids = Ids::default();
    let criteria = r.list("criteria", 1..=40, |c| {
        c.record("Criterion", |r| Criterion {
            id: r.new_id("id", &mut ids),
            weight: r.f64("weight", 0.1..=100.0),
            kind: r.field("kind", |c| c.variant(&KINDS, kind)),
        })
    });
    let sum: f64 = criteria.iter().map(|c| c.weight).sum();
    let sums = (sum - 100.0).abs() < 1.0e-6;
    let value = vec![("sum", number(sum, 1))];
    r.check_since(mark, "criteria", sums, "data-clash-weights", value);
    criteria
}
