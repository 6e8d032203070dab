//! What is read for work at the lance, and recordings from before there was any.

use std::collections::BTreeMap;

use ::crew::{Control, Cue, Goal, Ppe, Seat, Stance, SurfaceFrame, Task};
use hydraulics::JetKind;

use super::*;
use crate::Assumptions;
use crate::level::{CriterionKind, Given};
use crate::recording::Recording;

fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .join(path)
}

/// The level for tests at the lance.
fn wall() -> (Library, Loaded) {
    let library = Library::at(&project("tests/broken/library"));
    let loaded = library.load("wall").unwrap_or_else(|p| panic!("{p}"));
    (library, loaded)
}

/// The bundle of the level for tests, with other files.
fn with_files(change: impl FnOnce(&mut BTreeMap<String, Vec<u8>>)) -> Bundle {
    let (_, Loaded { level, bundle }) = wall();
    let mut files: BTreeMap<String, Vec<u8>> = bundle
        .files()
        .iter()
        .map(|file| (file.name.clone(), file.bytes.clone()))
        .collect();
    change(&mut files);
    Bundle::new(&level.id, files)
}

#[test]
fn surface_nozzles_and_deposits_arrive_in_si() {
    let (_, Loaded { level, .. }) = wall();
    let surface = level.surface.expect("a surface");
    assert_eq!(surface.corner, [14.2, 0.25, 0.75]);
    assert_eq!(surface.right, [0.0, 1.0]);
    assert_eq!(surface.cell_m, 0.0025);
    assert_eq!(surface.cells(), [600, 480]);
    assert_eq!(surface.tiles(), [15, 12]);
    assert_eq!(surface.stand_off_m, 0.075);
    let [paint, algae] = &surface.coats[..] else {
        panic!("two coats")
    };
    assert_eq!(paint.deposit, "old_paint");
    assert_eq!(paint.over, [0.55, 0.4, 0.95, 0.8]);
    assert_eq!(paint.removal.threshold_pa, 3.0e7);
    assert!((paint.removal.dose_s - 6.0e-5).abs() < 1e-18);
    assert_eq!(algae.title.en, "Algae");
    assert_eq!(algae.at_most_bar, 500.0);
    let equipment = &level.equipment;
    assert_eq!(equipment.gun_rating_pa, 1.25e8);
    assert_eq!(equipment.hoses[0].proof_date, "2026-04");
    let [rotating, fan] = &equipment.nozzles[..] else {
        panic!("two nozzles")
    };
    assert_eq!(rotating.stand_off_m, [0.05, 0.1]);
    let JetKind::Rotating { cone_rad, .. } = rotating.jet.kind else {
        panic!("{:?}", rotating.jet)
    };
    assert!((cone_rad - core::f64::consts::PI / 12.0).abs() < 1e-15);
    assert!(matches!(fan.jet.kind, JetKind::Fan { .. }));
    assert_eq!(level.start.nozzle, 1);
}

#[test]
fn the_beginning_the_crew_and_the_site_arrive() {
    let (_, Loaded { level, .. }) = wall();
    assert_eq!(level.post, Seat::LANCE);
    assert!(level.start.engine_runs && level.start.tool_in_stand);
    assert!(!level.start.barrier_closed);
    assert!(level.given.flushed && level.given.leak_walked);
    assert_eq!(level.given.stops_tested, ["emergency_stop"]);
    assert_eq!(level.ppe.required, 0b11_1111);
    assert_eq!(level.ppe.lance_hand, 0b11_1111 - Ppe::Visor.bit());
    assert_eq!(level.site.zone, Some([[9.8, -2.5], [15.0, 4.2]]));
    assert_eq!(level.site.rack, Some([8.0, 4.8]));
    assert_eq!(level.site.kept_dry.len(), 1);
    assert_eq!(level.site.control(Control::Barrier), Some([9.8, 1.0, 4.2]));
    let crew = level.crew;
    let pump = crew.pump_hand.expect("a pump hand");
    assert_eq!(pump.steps_bar, [55.0, 250.0, 500.0, 900.0]);
    assert_eq!(pump.throttle_pct, [30.0, 45.0, 60.0, 75.0]);
    let watch = crew.watch.expect("a watch");
    assert_eq!(watch.steps_near_after_s, Some(60.0));
    assert_eq!(watch.near_place.as_deref(), Some("too_near"));
    assert_eq!(crew.visitor.expect("a visitor").by, ["gate", "inside"]);
    assert_eq!(
        level.criteria[1].kind,
        CriterionKind::TestPatch {
            at_most_bar: 300.0,
            look_s: 5.0
        }
    );
}

#[test]
fn what_a_level_leaves_out_stands_as_it_did_before_it_could_be_said() {
    let library = Library::at(&project("tests/broken/library"));
    let level = library.load("apron").expect("a level in order").level;
    let start = &level.start;
    assert!(start.barrier_closed && !start.engine_runs && !start.tool_in_stand);
    assert_eq!((start.nozzle, level.equipment.nozzles.len()), (0, 1));
    assert_eq!((level.surface, level.given), (None, Given::default()));
    assert_eq!(level.ppe.required, 0);
    assert_eq!((level.site.zone, level.site.rack), (None, None));
    assert!(level.crew.pump_hand.is_none());
}

#[test]
fn the_lower_edge_runs_to_the_right_of_who_faces_the_surface() {
    for (facing_deg, right) in [
        (0.0, [0.0, -1.0]),
        (90.0, [-1.0, 0.0]),
        (180.0, [0.0, 1.0]),
        (-90.0, [1.0, 0.0]),
        (30.0, [-0.5, -libm::sqrt(0.75)]),
    ] {
        let facing: f64 = facing_deg * core::f64::consts::PI / 180.0;
        let found = surface::right_of(facing);
        for (found, right) in found.iter().zip(right) {
            assert!((found - right).abs() < 1e-15, "{facing_deg}: {found}");
        }
        // A person who looks this way looks along (cos, -sin); the face of the surface too.
        let frame = SurfaceFrame {
            corner_m: [0.0; 3],
            right: found,
            size_m: [1.0; 2],
            tiles: [1; 2],
        };
        let [x, z] = frame.out();
        assert!((x - libm::cos(facing)).abs() < 1e-15);
        assert!((z + libm::sin(facing)).abs() < 1e-15);
    }
}

#[test]
fn a_script_at_the_lance_arrives_in_si() {
    let (library, Loaded { level, .. }) = wall();
    let script = library.script(&level, "model").expect("a script");
    let has = |goal: Goal| assert!(script.goals.contains(&goal), "{goal:?}");
    has(Goal::Choose { nozzle: 0 });
    has(Goal::Work {
        task: Task::RemoveNozzle,
    });
    has(Goal::Stand {
        stance: Stance::Staggered,
    });
    has(Goal::Wear {
        item: Ppe::Visor,
        on: true,
    });
    has(Goal::Sweep {
        from_m: [0.0, 0.0],
        to_m: [1.5, 1.2],
        stand_off_m: 0.075,
        speed_m_s: 0.25,
        step_m: 0.022,
    });
    has(Goal::Until {
        cue: Cue::Sees {
            seat: Seat::VISITOR,
            within_m: 8.0,
        },
        within_s: 60.0,
    });
    assert_eq!(script.after_stop.len(), 3);
    // Every kind of goal but the two of the pump.
    let mut kinds: Vec<&str> = script.goals.iter().map(Goal::id).collect();
    kinds.extend(script.after_stop.iter().map(Goal::id));
    kinds.sort_unstable();
    kinds.dedup();
    assert_eq!(kinds.len(), 23, "{kinds:?}");
}

#[test]
fn every_assumed_number_can_be_taken_at_either_end_and_be_put_back() {
    let (_, Loaded { level, .. }) = wall();
    let ids: Vec<&str> = level.assumed.iter().map(|a| a.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "nozzle.rotating_1_15.core_diameters",
            "nozzle.rotating_1_15.decay",
            "nozzle.fan_15_1_15.core_diameters",
            "nozzle.fan_15_1_15.decay",
            "deposit.algae.threshold_bar",
            "deposit.algae.dose_us",
            "deposit.algae.exponent",
            "deposit.old_paint.threshold_bar",
            "deposit.old_paint.dose_us",
            "deposit.old_paint.exponent",
        ]
        .into_iter()
        .chain(Assumptions::KNOWN.iter().map(|k| k.id))
        .collect::<Vec<_>>()
    );
    for assumed in &level.assumed {
        assert!(assumed.low < assumed.high && !assumed.source.is_empty());
        for end in [assumed.low, assumed.high] {
            let mut other = level.clone();
            assert!(other.assume(&assumed.id, end), "{}", assumed.id);
            let same = other.surface == level.surface
                && other.equipment == level.equipment
                && other.assumptions == level.assumptions;
            assert_eq!(same, end == assumed.value, "{} at {end}", assumed.id);
            assert!(other.assume(&assumed.id, assumed.value));
            assert_eq!(other, level, "{}", assumed.id);
        }
    }
    let mut other = level.clone();
    for (id, value) in [
        ("deposit.moss.threshold_bar", 100.0),
        ("deposit.algae.colour", 100.0),
        ("deposit.algae.threshold_bar", f64::NAN),
        ("deposit.algae.threshold_bar", -1.0),
        ("sense.smell_s", 1.0),
        ("sense.sight_s", -1.0),
        ("", 1.0),
    ] {
        assert!(!other.assume(id, value), "{id}");
    }
    assert_eq!(other, level);
}

#[test]
fn a_jet_hits_with_the_pressure_of_its_core_and_less_behind_it_and_aslant() {
    let (_, Loaded { mut level, .. }) = wall();
    let mut impact = |kind, core_diameters| {
        let equipment = &mut level.equipment;
        equipment.nozzles[0].jet.kind = kind;
        equipment.nozzles[0].jet.core_diameters = core_diameters;
        surface::impact_pa(equipment, &level.job, 5.0e7, 0.075, level.water_c)
    };
    let core = impact(JetKind::Round, 1_000.0);
    // A velocity coefficient of 0.96 leaves 0.96 x 0.96 of the pressure at the nozzle, which is
    // a few bar below that at the pump; compression takes a percent (psi at 500 bar).
    assert!((0.88..0.9216).contains(&(core / 5.0e7)), "{core}");
    let round = impact(JetKind::Round, 42.0);
    assert!(round < core);
    let cone = |cone_rad| JetKind::Rotating {
        cone_rad,
        radius_m: 0.004,
        turns_per_s: 50.0,
    };
    assert_eq!(impact(cone(0.0), 42.0), round);
    // Behind the core: way over cos, to the power of the decay, and cos square for the slant.
    let aslant = impact(cone(0.5), 42.0) / round;
    let expected = libm::pow(libm::cos(0.5), 1.5 + 2.0);
    assert!((aslant - expected).abs() < 1e-12, "{aslant} {expected}");
}

#[test]
fn the_level_of_the_first_recording_is_still_read() {
    let recording = Recording::load(&project("tests/golden/format_1.jetyard")).expect("read");
    let bundle = Bundle::from_bytes(recording.header().bundle.bytes()).expect("a bundle");
    // It was made before there were jets, deposits and some of the limits.
    let later = |name: &str| catalogue::LATER.contains(&name);
    assert!(bundle.files().iter().all(|f| !later(&f.name)));
    let level = bundle.load().unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(level.id, recording.header().level);
    assert_eq!(level.region.limits.corrected_within_s.value, 10.0);
    assert!(!level.region.limits.corrected_within_s.source.is_empty());
}

#[test]
fn what_came_later_may_be_missing_from_a_recording_and_not_from_a_folder() {
    fn without(files: &mut BTreeMap<String, Vec<u8>>, name: &str, from: &str, to: &str) {
        let bytes = files.get_mut(name).expect("a file");
        let text = String::from_utf8(bytes.clone()).expect("a text");
        assert!(text.contains(from), "{name}: {from}");
        *bytes = text.replacen(from, to, 1).into_bytes();
    }
    let region = "regions/yard.ron";
    let later = with_files(|files| without(files, region, "unwatched_s: (", "unwatchd_s: ("));
    let told = later.load().expect_err("a slip is no lack").to_string();
    assert!(told.contains("unwatchd_s"), "{told}");
    let limit = |name: &str| {
        format!(
            "        {name}: (\n            value: 3,\n            source: \"made up for this \
             test\",\n            honesty: Invented,\n        ),\n"
        )
    };
    let lacks = |name: &str| with_files(|files| without(files, region, &limit(name), "")).load();
    let level = lacks("unwatched_s").unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(level.region.limits.unwatched_s.value, 3.0);
    // One that was always there may not be missing.
    let zero = with_files(|files| without(files, region, "zero_bar: (", "never_seen: ("));
    assert!(zero.load().is_err());

    for file in catalogue::LATER {
        let copy = copy();
        fs::remove_file(copy.path().join(file)).expect("removed");
        let problems = Library::at(copy.path()).load(LEVEL).expect_err("absent");
        assert!(
            problems.iter().any(|p| p.kind == Kind::Absent),
            "{problems}"
        );
    }
}

/// The level for tests with a restraint on both couplings and a wet plate, as changed by `change`.
fn restrained(change: impl Fn(String) -> String) -> Result<Level, Problems> {
    let bundle = with_files(|files| {
        let bytes = files.get_mut("wall/level.ron").expect("the level");
        let mut text = String::from_utf8(bytes.clone()).expect("a text");
        for (before, after) in [
            (
                "gun: \"gun_dry\",",
                "gun: \"gun_dry\", restraint: \"sling_40\",",
            ),
            (
                "ground_friction: 0.5,",
                "ground_friction: 0.5, footings: [(kind: \"wet_painted_steel\", \
                 low_m: [11, 0], high_m: [13, 2])],",
            ),
            (
                "(control: barrier,",
                "(control: pump_restraint, at_m: [1.2, 0.8, 0.6]), \
                 (control: gun_restraint, at_m: [11.6, 0.8, 1.0]), (control: barrier,",
            ),
            (
                "barrier_closed: false,",
                "barrier_closed: false, gun_restraint_clipped: false,",
            ),
        ] {
            assert!(text.contains(before), "{before}");
            text = text.replacen(before, after, 1);
        }
        *bytes = change(text).into_bytes();
    });
    bundle.load()
}

#[test]
fn restraints_and_footings_arrive_in_si() {
    let level = restrained(|text| text).unwrap_or_else(|p| panic!("{p}"));
    let restraint = level.equipment.restraint.as_ref().expect("a restraint");
    assert_eq!(restraint.id, "sling_40");
    assert_eq!((restraint.strength_n, restraint.anchor_n), (4.0e4, 5.0e4));
    assert_eq!(restraint.stiffness_n_m, 1.0e6);
    assert_eq!(restraint.slack_m, 0.01);
    let clipped = |control| {
        let mut controls = level.start.controls.iter();
        controls.find(|(c, _)| *c == control).map(|(_, to)| *to)
    };
    assert_eq!(clipped(Control::PumpRestraint), Some(1), "by default");
    assert_eq!(clipped(Control::GunRestraint), Some(0));
    let site = &level.site;
    assert_eq!(site.friction([12.0, 1.0]), 0.15);
    assert_eq!(site.friction([11.0, 2.0]), 0.15);
    assert_eq!(site.friction([10.9, 1.0]), 0.5);
    assert_eq!(site.friction([12.0, 2.1]), 0.5);
    let kind = site.footing([12.0, 1.0]).map(|f| f.kind.as_str());
    assert_eq!(kind, Some("wet_painted_steel"));
}

#[test]
fn what_is_known_of_restraints_and_footings_within_a_range_goes_with_the_level() {
    let level = restrained(|text| text).unwrap_or_else(|p| panic!("{p}"));
    let mut other = level.clone();
    assert!(other.assume("restraint.sling_40.stiffness_kn_m", 500.0));
    assert!(other.assume("footing.wet_painted_steel.friction", 0.2));
    assert_eq!(
        other.equipment.restraint.as_ref().map(|r| r.stiffness_n_m),
        Some(5.0e5)
    );
    assert_eq!(other.site.friction([12.0, 1.0]), 0.2);
    // What is known exactly is not assumed, and what is not there neither.
    for id in [
        "restraint.sling_40.slack_mm",
        "footing.ice.friction",
        "footing.wet_painted_steel.colour",
    ] {
        assert!(!other.assume(id, 1.0), "{id}");
    }
}

#[test]
fn of_two_footings_that_overlap_the_later_counts() {
    let one = "(kind: \"wet_painted_steel\", low_m: [11, 0], high_m: [13, 2])";
    let level = restrained(|text| {
        let inner = "(kind: \"wet_painted_steel\", low_m: [12, 1], high_m: [12.5, 1.5])";
        text.replacen(one, &format!("{one}, {inner}"), 1)
    });
    let level = level.unwrap_or_else(|p| panic!("{p}"));
    let over = |at| level.site.footing(at).map(|f| f.over[0]);
    assert_eq!(over([12.2, 1.2]), Some([12.0, 1.0]));
    assert_eq!(over([11.2, 1.2]), Some([11.0, 0.0]));
}
