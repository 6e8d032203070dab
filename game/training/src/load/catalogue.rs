//! `catalogue/*.ron`: the machines and people that levels choose from.

use hydraulics::{GunKind, GunSpec, HoseSpec};

use super::deposit::{Deposit, deposit_row};
use super::footing::{Ground, ground_row};
use super::nozzle::{Nozzle, nozzle_row};
use super::parts::{Origin, Stated, TITLE, origin, stated_or_known, words};
use super::restraint::{Tether, restraint_row};
use super::si::{m, m3, pa};
use super::unit::{Unit, units};
use crate::Assumptions;
use crate::data::{Document, Ids, Kind, Perturb, Problem, Problems, Read, Reader, Reading};
use crate::level::{HoseBody, Lance, Person, Words};
use crate::text::number;

/// Burst over working pressure that a jetting hose must have (EN 1829-2 and codes of practice
/// for water jetting; from memory).
const BURST_FACTOR: f64 = 2.5;

const DEPOSITS: &str = "catalogue/deposits.ron";
const RESTRAINTS: &str = "catalogue/restraints.ron";
const FOOTINGS: &str = "catalogue/footings.ron";

/// Files that came after the first recordings, which lack them.
pub(super) const LATER: [&str; 3] = [DEPOSITS, RESTRAINTS, FOOTINGS];

/// Names of the catalogue's files, in the order in which they are read.
pub(super) const FILES: [&str; 8] = [
    "catalogue/units.ron",
    "catalogue/hoses.ron",
    "catalogue/nozzles.ron",
    "catalogue/guns.ron",
    "catalogue/people.ron",
    DEPOSITS,
    RESTRAINTS,
    FOOTINGS,
];

/// A hose of the catalogue; a level says how long it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Hose {
    /// Stable name.
    pub id: String,
    /// Where its figures come from.
    pub origin: Origin,
    /// As the water sees it, one metre of it.
    pub water: HoseSpec,
    /// As it lies about, one metre of it.
    pub body: HoseBody,
    /// Modulus of its wall, gigapascals.
    pub wall_modulus_gpa: Stated,
    /// Its bending stiffness without pressure, N m2.
    pub bending_stiffness_n_m2: Stated,
    /// Pressure at which it bursts, pascals.
    pub burst_pa: f64,
}

/// A gun of the catalogue, with its lance.
#[derive(Clone, Debug, PartialEq)]
pub struct Gun {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Where its figures come from.
    pub origin: Origin,
    /// As the water sees it.
    pub water: GunSpec,
    /// As a thing that is held.
    pub lance: Lance,
    /// Highest working pressure, pascals.
    pub rating_pa: f64,
}

/// The whole catalogue, checked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Catalogue {
    /// Pump units.
    pub units: Vec<Unit>,
    /// Hoses.
    pub hoses: Vec<Hose>,
    /// Nozzles.
    pub nozzles: Vec<Nozzle>,
    /// Guns.
    pub guns: Vec<Gun>,
    /// People.
    pub people: Vec<Person>,
    /// What is to be taken off.
    pub deposits: Vec<Deposit>,
    /// Whip restraints.
    pub restraints: Vec<Tether>,
    /// What feet stand on.
    pub footings: Vec<Ground>,
}

/// Ids of everything in the catalogue, known even where an item has mistakes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct CatalogueIds {
    pub units: Ids,
    pub hoses: Ids,
    pub nozzles: Ids,
    pub guns: Ids,
    pub people: Ids,
    pub deposits: Ids,
    pub restraints: Ids,
    pub footings: Ids,
}

impl Catalogue {
    /// Reads all files; `documents` stand in the order of [`FILES`], and one that could not
    /// be parsed is missing. Files `kept` in a recording may lack what came later. Gives the ids
    /// whatever is wrong.
    pub(super) fn read(
        documents: [Option<&Document>; FILES.len()],
        mut perturb: Option<&mut Perturb>,
        kept: bool,
    ) -> (Result<Read<Self>, Problems>, CatalogueIds) {
        let [unit, hose, nozzle, gun, person, deposit, restraint, footing] = documents;
        let mut ids = CatalogueIds::default();
        let mut gather = Gather::default();
        let units = gather.of(unit, |d| {
            units(d, &mut ids.units, perturb.as_deref_mut(), kept)
        });
        let hoses = gather.of(hose, |d| {
            list(d, "Hoses", perturb.as_deref_mut(), kept, |r| {
                hose_row(r, &mut ids.hoses)
            })
        });
        let nozzles = gather.of(nozzle, |d| {
            list(d, "Nozzles", perturb.as_deref_mut(), kept, |r| {
                nozzle_row(r, &mut ids.nozzles)
            })
        });
        let guns = gather.of(gun, |d| {
            list(d, "Guns", perturb.as_deref_mut(), kept, |r| {
                gun_row(r, &mut ids.guns)
            })
        });
        let people = gather.of(person, |d| {
            list(d, "People", perturb.as_deref_mut(), kept, |r| {
                person_row(r, &mut ids.people)
            })
        });
        let deposits = gather.of(deposit, |d| {
            list(d, "Deposits", perturb.as_deref_mut(), kept, |r| {
                deposit_row(r, &mut ids.deposits)
            })
        });
        let restraints = gather.of(restraint, |d| {
            list(d, "Restraints", perturb.as_deref_mut(), kept, |r| {
                restraint_row(r, &mut ids.restraints)
            })
        });
        let footings = gather.of(footing, |d| {
            list(d, "Footings", perturb, kept, |r| {
                ground_row(r, &mut ids.footings)
            })
        });
        let catalogue = Self {
            units,
            hoses,
            nozzles,
            guns,
            people,
            deposits,
            restraints,
            footings,
        };
        let clashes = gather.clashes;
        let read = gather.problems.or(Read {
            value: catalogue,
            clashes,
        });
        (read, ids)
    }

    /// Reads one file on its own; `root` is the name at its root.
    pub(super) fn check_file(document: &Document, root: &str) -> Option<Result<(), Problems>> {
        let mut ids = Ids::default();
        Some(match root {
            "Units" => units(document, &mut ids, None, false).map(drop),
            "Hoses" => alone(document, "Hoses", |r| drop(hose_row(r, &mut ids))),
            "Nozzles" => alone(document, "Nozzles", |r| drop(nozzle_row(r, &mut ids))),
            "Guns" => alone(document, "Guns", |r| drop(gun_row(r, &mut ids))),
            "People" => alone(document, "People", |r| drop(person_row(r, &mut ids))),
            "Deposits" => alone(document, "Deposits", |r| drop(deposit_row(r, &mut ids))),
            "Restraints" => alone(document, "Restraints", |r| {
                drop(restraint_row(r, &mut ids));
            }),
            "Footings" => alone(document, "Footings", |r| drop(ground_row(r, &mut ids))),
            _ => return None,
        })
    }
}

/// Gathers what comes of several files.
#[derive(Default)]
struct Gather {
    problems: Problems,
    clashes: Problems,
}

impl Gather {
    fn of<T>(
        &mut self,
        document: Option<&Document>,
        read: impl FnOnce(&Document) -> Result<Read<Vec<T>>, Problems>,
    ) -> Vec<T> {
        match document.map(read) {
            None => Vec::new(),
            Some(Ok(read)) => {
                self.clashes.append(read.clashes);
                read.value
            }
            Some(Err(problems)) => {
                self.problems.append(problems);
                Vec::new()
            }
        }
    }
}

fn alone(
    document: &Document,
    name: &'static str,
    row: impl FnMut(&mut Reader<'_, '_>),
) -> Result<(), Problems> {
    list(document, name, None, false, row).map(drop)
}

fn list<T>(
    document: &Document,
    name: &'static str,
    perturb: Option<&mut Perturb>,
    kept: bool,
    mut row: impl FnMut(&mut Reader<'_, '_>) -> T,
) -> Result<Read<Vec<T>>, Problems> {
    let item = match name {
        "Hoses" => "Hose",
        "Nozzles" => "Nozzle",
        "Guns" => "Gun",
        "Deposits" => "Deposit",
        "Restraints" => "Restraint",
        "Footings" => "Ground",
        _ => "Person",
    };
    let lenient = perturb.is_some();
    Reading::of(document)
        .perturbed(perturb)
        .lenient(lenient)
        .kept(kept)
        .list(name, 1..=200, |c| c.record(item, |r| row(r)))
}

fn hose_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Hose {
    let id = r.new_id("id", ids);
    let origin = origin(r);
    let bore_m = m(r.f64("bore_mm", 2.0..=100.0));
    let rating_bar = r.f64("rating_bar", 10.0..=5_000.0);
    let burst_bar = r.f64("burst_bar", 10.0..=20_000.0);
    r.check(
        "burst_bar",
        burst_bar >= BURST_FACTOR * rating_bar,
        "data-clash-burst",
        vec![
            ("burst", number(burst_bar, 0)),
            ("factor", number(BURST_FACTOR, 1)),
            ("rating", number(rating_bar, 0)),
        ],
    );
    let wall_modulus_gpa = stated_or_known(r, "wall_modulus_gpa", 0.01..=1_000.0);
    let bending_stiffness_n_m2 = stated_or_known(r, "bending_stiffness_n_m2", 0.01..=10_000.0);
    Hose {
        wall_modulus_gpa,
        bending_stiffness_n_m2,
        water: HoseSpec {
            bore_m,
            length_m: 1.0,
            roughness_m: m(r.f64("roughness_mm", 0.0..=1.0)),
            wall_modulus_pa: wall_modulus_gpa.value * 1.0e9,
            fitting_loss: r.f64("coupling_loss", 0.0..=50.0),
            rated_pressure_pa: pa(rating_bar),
            cells: 1,
        },
        body: HoseBody {
            id: id.clone(),
            length_m: 1.0,
            bore_m,
            outer_m: m(r.f64("outer_mm", 3.0..=200.0)),
            mass_empty_kg_m: r.f64("mass_empty_kg_m", 0.05..=50.0),
            bending_stiffness_n_m2: bending_stiffness_n_m2.value,
            stiffness_per_pa: r.f64("stiffness_rise_n_m2_per_bar", 0.0..=100.0) / pa(1.0),
            min_bend_radius_m: m(r.f64("min_bend_radius_mm", 10.0..=5_000.0)),
            rating_pa: pa(rating_bar),
            proof_date: r.field("proof_date", |c| {
                let date = c.text(7);
                if !date.is_empty() && !is_year_and_month(&date) {
                    c.problem(Kind::BadDate {
                        value: date.clone(),
                    });
                }
                date
            }),
        },
        burst_pa: pa(burst_bar),
        id,
        origin,
    }
}

/// `2026-03` and the like.
fn is_year_and_month(text: &str) -> bool {
    let digits = |t: &str, count| t.len() == count && t.bytes().all(|b| b.is_ascii_digit());
    match text.split_once('-') {
        Some((year, month)) => {
            digits(year, 4) && digits(month, 2) && ("01"..="12").contains(&month)
        }
        None => false,
    }
}

fn gun_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Gun {
    const KINDS: [(&str, GunKind); 2] =
        [("DryShut", GunKind::DryShut), ("Dumping", GunKind::Dumping)];
    let kind = r.word("kind", &KINDS);
    let dump_bore_mm = r.option("dump_bore_mm", |c| c.f64(0.5..=100.0));
    let dump_cd = r.option("dump_cd", |c| c.f64(0.1..=1.0));
    let dumps = dump_bore_mm.is_some() && dump_cd.is_some();
    r.check(
        "kind",
        kind == GunKind::DryShut || dumps,
        "data-clash-dump-bore",
        vec![],
    );
    let before = Assumptions::default();
    Gun {
        id: r.new_id("id", ids),
        title: r.field("title", |c| words(c, TITLE)),
        origin: origin(r),
        water: GunSpec {
            kind,
            passage_bore_m: m(r.f64("passage_bore_mm", 0.5..=100.0)),
            passage_loss: r.f64("passage_loss", 0.0..=100.0),
            volume_m3: m3(r.f64("volume_ml", 1.0..=50_000.0)) * 1.0e-3,
            valve_travel_s: r.f64("valve_travel_s", 0.0..=5.0),
            // A gun that shuts dry has no dump; the values are not read.
            dump_bore_m: m(dump_bore_mm.unwrap_or(0.5)),
            dump_discharge_coefficient: dump_cd.unwrap_or(0.1),
            // The level's assumptions say.
            seat_loss: before.gun_seat_loss,
            open_passage_coefficient: before.gun_open_cd,
        },
        lance: Lance {
            length_m: m(r.f64("length_mm", 1_200.0..=4_000.0)),
            tip_to_trigger_m: m(r.f64("tip_to_trigger_mm", 1_200.0..=3_500.0)),
            mass_kg: r.f64("mass_kg", 0.5..=30.0),
        },
        rating_pa: pa(r.f64("rating_bar", 10.0..=5_000.0)),
    }
}

fn person_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Person {
    let _ = origin(r);
    Person {
        id: r.new_id("id", ids),
        mass_kg: r.f64("mass_kg", 30.0..=250.0),
        com_height_m: r.f64("com_height_m", 0.5..=1.5),
        hand_height_m: r.f64("hand_height_m", 0.3..=1.8),
        reaction_s: r.f64("reaction_s", 0.05..=0.5),
        max_hold_n: r.f64("max_hold_n", 50.0..=2_000.0),
    }
}

/// A problem that stands for a file that is not there.
pub(super) fn absent(file: &str) -> Problem {
    Problem::of_file(file, Kind::Absent)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_proof_date_is_a_year_and_a_month() {
        assert!(is_year_and_month("2026-03"));
        for wrong in [
            "2026-13",
            "2026-00",
            "26-03",
            "2026/03",
            "2026-3",
            "",
            "2026-03-01",
        ] {
            assert!(!is_year_and_month(wrong), "{wrong}");
        }
    }
}
