//! `<level>/level.ron`: an exercise.

use std::collections::BTreeMap;

use crew::Seat;

use super::assumptions::Given as GivenAssumptions;
use super::catalogue::{Catalogue, CatalogueIds};
use super::crew::{Company, crew};
use super::criteria::{Scene, criteria};
use super::equipment::{Demands, equipment};
use super::faults::faults;
use super::parts::{PASSAGE, Stated, TITLE, words};
use super::restraint::{check_restraint, is_placed};
use super::second::check_second;
use super::site::site;
use super::start::{given, ppe, start};
use super::surface::{Setting, surface};
use crate::Assumed;
use crate::data::{Document, Ids, Problems, Read, Reader, Reading};
use crate::level::{Economy, Equipment, Job, Level, Site, Surface};
use crate::region::Region;
use crate::text::number;

/// What a level is read against.
pub(super) struct Around<'a> {
    /// The catalogue, unless something is wrong in it.
    pub catalogue: Option<&'a Catalogue>,
    /// What the whole yard takes for granted.
    pub assumptions: &'a GivenAssumptions,
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
    let (mut start, start_nozzle) = r.record("start", "Start", |r| start(r, &around.ids.nozzles));
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
        air_c,
        air_in_head: start.air_in_head,
        sound,
    };
    let equipment = r.record("equipment", "Equipment", |r| {
        equipment(r, around.catalogue, around.ids, &demands)
    });
    let hose_m = equipment
        .as_ref()
        .map(|e| e.hoses.iter().map(|hose| hose.length_m).sum());
    start.nozzle = ready_nozzle(r, equipment.as_ref(), start_nozzle.as_deref());
    let mut places = Ids::default();
    let mark = r.mark();
    let site = r.record("site", "Site", |r| {
        site(r, around.catalogue, around.ids, hose_m, &mut places)
    });
    let site_sound = r.is_clean_since(mark);
    let surface = r.option("surface", |c| {
        c.record("Surface", |r| {
            let setting = Setting {
                catalogue: around.catalogue,
                deposits: &around.ids.deposits,
                means: equipment.as_ref().filter(|_| sound).map(|e| (e, &job)),
                water_c,
                zone: site.zone.filter(|_| site_sound),
            };
            surface(r, &setting)
        })
    });
    let post = r.word("post", &POSTS);
    let crew = r.record("crew", "Crew", |r| {
        let company = Company {
            post,
            site: site_sound.then_some(&site),
            places: &places,
            job: sound.then_some(&job),
            equipment: equipment.as_ref().filter(|_| sound),
            water_c,
        };
        crew(r, &company)
    });
    check_second(r, equipment.as_ref(), &site, &crew);
    check_restraint(r, equipment.as_ref(), &site);
    let faults = r
        .option("faults", |c| c.record("Faults", faults))
        .unwrap_or_default();
    let scene = Scene {
        places: &places,
        surface: surface.is_some(),
        mate: crew.mate.is_some(),
        restraint: is_placed(&site),
        intruder: crew.visitor.is_some()
            || crew.watch.as_ref().is_some_and(|w| w.near_place.is_some()),
        lowest_step_bar: crew
            .pump_hand
            .as_ref()
            .and_then(|p| p.steps_bar.first().copied()),
    };
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
        post,
        seed: r.whole("seed", 0..=u64::MAX),
        expected_s,
        limit_s,
        water_c,
        air_c,
        crew,
        faults,
        given: r
            .option("given", |c| c.record("Given", given))
            .unwrap_or_default(),
        ppe: r
            .option("ppe", |c| c.record("Ppe", ppe))
            .unwrap_or_default(),
        criteria: criteria(r, &scene),
        economy: r.record("economy", "Economy", |r| Economy {
            water_l: r.f64("water_l", 0.1..=1.0e6),
            fuel_l: r.f64("fuel_l", 0.01..=1.0e5),
            run_off_l: r.option("run_off_l", |c| c.f64(0.1..=1.0e6)),
        }),
        assumptions: around.assumptions.values.clone(),
        assumed: assumed(around, equipment.as_ref(), &site, surface.as_ref()),
        surface,
        start,
        job,
        site,
        region: region?.clone(),
        equipment: equipment?,
    })
}

/// The place in the list of nozzles of the one that is on the lance or lies ready.
fn ready_nozzle(r: &mut Reader<'_, '_>, equipment: Option<&Equipment>, id: Option<&str>) -> u8 {
    let (Some(equipment), Some(id)) = (equipment, id) else {
        return 0;
    };
    let place = equipment.nozzles.iter().position(|n| n.id == id);
    let mark = r.mark();
    r.check_since(
        mark,
        "start",
        place.is_some(),
        "data-clash-start-nozzle",
        vec![("nozzle", id.to_owned())],
    );
    place.and_then(|p| u8::try_from(p).ok()).unwrap_or(0)
}

/// The numbers that are known only within a range: of what the level takes from the catalogue,
/// and what the whole yard takes for granted.
fn assumed(
    around: &Around<'_>,
    equipment: Option<&Equipment>,
    site: &Site,
    surface: Option<&Surface>,
) -> Vec<Assumed> {
    let (Some(catalogue), Some(equipment)) = (around.catalogue, equipment) else {
        return Vec::new();
    };
    let mut list = Vec::new();
    let mut add = |kind: &str, name: &str, source: &str, fields: &[(&str, &str, Stated)]| {
        let within = fields
            .iter()
            .filter(|(.., stated)| stated.low < stated.high);
        list.extend(within.map(|(field, unit, stated)| Assumed {
            id: format!("{kind}.{name}.{field}"),
            unit: (*unit).to_owned(),
            low: stated.low,
            value: stated.value,
            high: stated.high,
            source: source.to_owned(),
        }));
    };
    let laid_out = |id: &str| equipment.nozzles.iter().any(|n| n.id == id);
    for nozzle in catalogue.nozzles.iter().filter(|n| laid_out(&n.id)) {
        let [cd, cv] = nozzle.coefficients;
        let fields = [("cd", "1", cd), ("cv", "1", cv)];
        add("nozzle", &nozzle.id, &nozzle.origin.source, &fields);
        // Without a surface nobody asks what becomes of the jet.
        if let Some(jet) = nozzle.jet.as_ref().filter(|_| surface.is_some()) {
            let fields = [
                ("core_diameters", "1", jet.core_diameters),
                ("decay", "1", jet.decay),
            ];
            add("nozzle", &nozzle.id, &jet.origin.source, &fields);
        }
    }
    let laid = |id: &str| equipment.hoses.iter().any(|h| h.id == id);
    for hose in catalogue.hoses.iter().filter(|h| laid(&h.id)) {
        let fields = [
            ("wall_modulus_gpa", "GPa", hose.wall_modulus_gpa),
            (
                "bending_stiffness_n_m2",
                "N m2",
                hose.bending_stiffness_n_m2,
            ),
        ];
        add("hose", &hose.id, &hose.origin.source, &fields);
    }
    let lies = |id: &str| surface.is_some_and(|s| s.coats.iter().any(|c| c.deposit == id));
    for deposit in catalogue.deposits.iter().filter(|d| lies(&d.id)) {
        let fields = [
            ("threshold_bar", "bar", deposit.threshold_bar),
            ("dose_us", "us", deposit.dose_us),
            ("exponent", "1", deposit.exponent),
        ];
        add("deposit", &deposit.id, &deposit.origin.source, &fields);
    }
    let clipped = |id: &str| equipment.restraint.as_ref().is_some_and(|r| r.id == id);
    for tether in catalogue.restraints.iter().filter(|t| clipped(&t.id)) {
        let fields = [
            ("strength_kn", "kN", tether.strength_kn),
            ("anchor_kn", "kN", tether.anchor_kn),
            ("stiffness_kn_m", "kN/m", tether.stiffness_kn_m),
            ("slack_mm", "mm", tether.slack_mm),
        ];
        add("restraint", &tether.id, &tether.origin.source, &fields);
    }
    let trodden = |id: &str| site.footings.iter().any(|f| f.kind == id);
    for ground in catalogue.footings.iter().filter(|g| trodden(&g.id)) {
        let fields = [("friction", "1", ground.friction)];
        add("footing", &ground.id, &ground.origin.source, &fields);
    }
    list.extend(around.assumptions.assumed.iter().cloned());
    list
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
