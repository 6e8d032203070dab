//! The data that comes with the program, and loading as a whole.

mod assumptions;
mod lance;

use std::fs;
use std::path::{Path, PathBuf};

use super::*;
use crate::data::Kind;

const LEVEL: &str = "01_first_pressure";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels")
}

fn library() -> Library {
    Library::at(&folder())
}

fn loaded() -> Loaded {
    library().load(LEVEL).unwrap_or_else(|p| panic!("{p}"))
}

/// A copy of the data that a test may change.
fn copy() -> tempfile::TempDir {
    fn copy_into(from: &Path, to: &Path) {
        fs::create_dir_all(to).expect("a new folder");
        for entry in fs::read_dir(from).expect("a folder") {
            let from = entry.expect("an entry").path();
            let to = to.join(from.file_name().expect("a name"));
            if from.is_dir() {
                copy_into(&from, &to);
            } else {
                fs::copy(&from, &to).expect("a copy");
            }
        }
    }
    let copy = tempfile::tempdir().expect("a folder of our own");
    copy_into(&folder(), copy.path());
    copy
}

/// Replaces text in one file of a copy.
fn change(copy: &Path, file: &str, from: &str, to: &str) {
    let path = copy.join(file);
    let text = fs::read_to_string(&path).expect("a text");
    assert!(text.contains(from), "{file} does not say {from}");
    fs::write(&path, text.replace(from, to)).expect("a file");
}

#[test]
fn every_file_that_comes_with_the_program_is_in_order() {
    let checked = library().check();
    assert!(checked.len() >= 8, "{checked:#?}");
    for file in checked {
        assert!(
            file.problems.is_empty(),
            "{}:\n{}",
            file.file,
            file.problems
        );
    }
}

#[test]
fn values_arrive_in_si() {
    let level = loaded().level;
    let equipment = &level.equipment;
    assert_eq!(equipment.kit_max_pa, 7.0e7);
    assert_eq!(equipment.circuit.relief.set_pressure_pa, 7.7e7);
    assert_eq!(equipment.circuit.pump.plunger_diameter_m, 0.027);
    assert!((equipment.circuit.engine.rated_speed_rad_s - 188.495_559).abs() < 1e-6);
    assert_eq!(equipment.nozzles[0].water.bore_m, 0.0014);
    assert_eq!(equipment.hoses[0].length_m, 20.0);
    assert_eq!(equipment.circuit.hoses[0].length_m, 20.0);
    assert_eq!(equipment.circuit.hoses[0].wall_modulus_pa, 3.0e9);
    assert!((equipment.hoses[0].stiffness_per_pa - 2.0e-7).abs() < 1e-20);
    assert_eq!(equipment.circuit.gun.volume_m3, 60.0e-6);
    assert_eq!(equipment.circuit.tank.temperature_c, level.water_c);
    assert!((level.site.pump_hand.yaw_rad - core::f64::consts::FRAC_PI_2).abs() < 1e-15);
    // 1.2 mL a minute and bar is 2e-8 m3/s at 1e5 Pa: 2e-13 m3/(s Pa).
    let leakage = equipment.circuit.pump.leakage_m3_s_pa;
    assert!((leakage / 2.0e-13 - 1.0).abs() < 1e-12, "{leakage}");
}

#[test]
fn the_copy_in_the_program_is_the_data_it_was_built_from() {
    let built_in = Library::built_in();
    assert_eq!(built_in.levels(), library().levels());
    assert_eq!(built_in.scripts(LEVEL), library().scripts(LEVEL));
    let inside = built_in.load(LEVEL).expect("built in");
    assert_eq!(inside, loaded());
    assert!(built_in.folder().is_none());
}

#[test]
fn the_data_is_found_in_the_project_the_program_was_built_from() {
    let found = Library::find();
    let folder = fs::canonicalize(folder()).expect("the folder");
    assert_eq!(found.folder(), Some(folder.as_path()));
}

#[test]
fn a_new_level_is_found_without_code() {
    let copy = copy();
    let new = copy.path().join("99_new");
    fs::create_dir(&new).expect("a folder");
    for file in ["level.ron", "model.ron"] {
        fs::copy(copy.path().join(LEVEL).join(file), new.join(file)).expect("a copy");
        change(copy.path(), &format!("99_new/{file}"), LEVEL, "99_new");
    }
    let library = Library::at(copy.path());
    let mut levels = self::library().levels();
    levels.push("99_new".to_owned());
    assert_eq!(library.levels(), levels);
    assert_eq!(library.scripts("99_new"), ["model"]);
    let level = library.load("99_new").expect("a level").level;
    assert_eq!(
        library.script(&level, "model").expect("a script").level,
        "99_new"
    );
}

#[test]
fn scripts_are_read_by_name_and_by_path() {
    let (library, level) = (library(), loaded().level);
    let by_name = library.script(&level, "model").expect("by name");
    let path = folder().join(LEVEL).join("model.ron");
    assert_eq!(library.script(&level, &path.to_string_lossy()), Ok(by_name));
    let wrong = library.script(&level, "modle").expect_err("none such");
    assert_eq!(
        wrong.iter().next().and_then(|p| p.kind.near()),
        Some("model")
    );
}

#[test]
fn an_unknown_level_is_answered_with_the_near_one() {
    let problems = library().load("01_first_presure").expect_err("none such");
    let problem = problems.iter().next().expect("a problem");
    assert_eq!(problem.kind.near(), Some(LEVEL));
    assert!(library().load("../01_first_pressure").is_err());
}

#[test]
fn mistakes_of_all_files_are_told_at_once() {
    let copy = copy();
    change(
        copy.path(),
        "catalogue/hoses.ron",
        "bore_mm: 13,",
        "bore_mm: -13,",
    );
    change(
        copy.path(),
        "catalogue/people.ron",
        "mass_kg: 84",
        "mass_kg: heavy",
    );
    change(
        copy.path(),
        "regions/tidewell.ron",
        "danger_bar: (",
        "danger: (",
    );
    change(
        copy.path(),
        "01_first_pressure/level.ron",
        "post: pump",
        "post: pumps",
    );
    let problems = Library::at(copy.path())
        .load(LEVEL)
        .expect_err("four mistakes");
    let told: Vec<_> = problems.iter().map(|p| p.path.as_str()).collect();
    assert_eq!(
        told,
        [
            "post",
            "hoses[2].bore_mm",
            "people[0].mass_kg",
            "limits.danger"
        ],
        "{problems}"
    );
}

#[test]
fn a_catalogue_with_a_mistake_does_not_bring_on_others() {
    let copy = copy();
    change(
        copy.path(),
        "catalogue/units.ron",
        "stroke_mm: 70,",
        "stroke_mm: 0,",
    );
    let problems = Library::at(copy.path()).load(LEVEL).expect_err("a mistake");
    let told: Vec<_> = problems.iter().map(|p| p.path.as_str()).collect();
    assert_eq!(
        told,
        ["units[0].pump.stroke_mm", "units[3].pump.stroke_mm"],
        "{problems}"
    );
}

#[test]
fn a_missing_catalogue_file_is_named() {
    let copy = copy();
    fs::remove_file(copy.path().join("catalogue/guns.ron")).expect("removed");
    let problems = Library::at(copy.path())
        .load(LEVEL)
        .expect_err("a file is missing");
    let absent: Vec<_> = problems.iter().filter(|p| p.kind == Kind::Absent).collect();
    assert_eq!(absent.len(), 1, "{problems}");
    assert!(absent[0].file.ends_with("catalogue/guns.ron"));
}

#[test]
fn a_bundle_comes_back_whole_and_gives_the_same_level() {
    let Loaded { level, bundle } = loaded();
    let bytes = bundle.bytes();
    assert_eq!(
        bytes,
        loaded().bundle.bytes(),
        "the same files give the same bytes"
    );
    let again = Bundle::from_bytes(&bytes).expect("sound bytes");
    assert_eq!(again, bundle);
    assert_eq!(again.level_id(), LEVEL);
    assert!(again.has_current_rules());
    assert_eq!(again.load(), Ok(level));
    let names: Vec<_> = again.files().iter().map(|f| f.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "01_first_pressure/level.ron",
            "catalogue/assumptions.ron",
            "catalogue/deposits.ron",
            "catalogue/footings.ron",
            "catalogue/guns.ron",
            "catalogue/hoses.ron",
            "catalogue/nozzles.ron",
            "catalogue/people.ron",
            "catalogue/restraints.ron",
            "catalogue/units.ron",
            "regions/tidewell.ron",
            "rules.txt",
        ]
    );
}

#[test]
fn a_bundle_with_any_byte_changed_or_cut_is_refused() {
    let bytes = loaded().bundle.bytes();
    // Every byte of both ends, and a sample of the files between.
    let ends = (0..200).chain(bytes.len() - 200..bytes.len());
    for at in ends.chain((200..bytes.len() - 200).step_by(97)) {
        let mut changed = bytes.clone();
        changed[at] ^= 0x20;
        assert!(Bundle::from_bytes(&changed).is_err(), "byte {at}");
    }
    for cut in [0, 1, 10, bytes.len() / 2, bytes.len() - 1] {
        assert!(Bundle::from_bytes(&bytes[..cut]).is_err(), "cut to {cut}");
    }
    let longer = [bytes.as_slice(), &[0]].concat();
    assert!(Bundle::from_bytes(&longer).is_err());
}

#[test]
fn a_perturbed_catalogue_changes_the_level_by_its_seed() {
    let Loaded { level, bundle } = loaded();
    let changed = |seed| {
        bundle
            .perturbed(seed, 0.1)
            .expect("perturbed")
            .level
            .equipment
    };
    let (one, two) = (changed(1), changed(2));
    assert_eq!(one, changed(1));
    assert_ne!(one, two);
    let share = one.nozzles[0].water.bore_m / level.equipment.nozzles[0].water.bore_m;
    assert!((0.9..=1.1).contains(&share) && share != 1.0, "{share}");
    assert_eq!(one.circuit.pump.cylinders, 3);
    // What the level itself says stays: the length of the hose, the job.
    assert_eq!(one.hoses[0].length_m, 20.0);
    let still = bundle.perturbed(1, 0.0).expect("not perturbed");
    assert_eq!(still.level, level);
    assert!(still.clashes.is_empty(), "{}", still.clashes);
}

#[test]
fn a_perturbed_catalogue_reports_what_no_longer_goes_together() {
    let bundle = loaded().bundle;
    let mut clashing = 0;
    for seed in 0..50 {
        let perturbed = bundle
            .perturbed(seed, 0.1)
            .unwrap_or_else(|p| panic!("{seed}:\n{p}"));
        clashing += usize::from(!perturbed.clashes.is_empty());
    }
    // The figures on the plates hold to 3 %, so a tenth breaks some of them nearly always.
    assert!(clashing > 40, "{clashing}");
}

#[test]
fn one_level_is_checked_with_its_scripts() {
    let level = folder().join(LEVEL);
    let checked = library().check_paths(&[&level]);
    let names: Vec<_> = checked
        .iter()
        .map(|c| c.file.rsplit('/').next().unwrap_or(""))
        .collect();
    assert!(
        names.contains(&"level.ron") && names.contains(&"model.ron"),
        "{names:?}"
    );
    assert!(checked.iter().all(|c| c.problems.is_empty()));
    let nothing = library().check_paths(&[&folder().join("regions")]);
    assert_eq!(
        nothing[0].problems.iter().next().map(|p| &p.kind),
        Some(&Kind::NoLevelHere)
    );
}
