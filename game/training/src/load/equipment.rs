//! What a level takes from the catalogue, and whether it goes together.

use hydraulics::steady::{OperatingPoint, Question, operating_point};
use hydraulics::{BranchSpec, CircuitSpec, HoseEnd, PowerEndSpec, TankSpec};

use super::catalogue::{Catalogue, CatalogueIds, Gun, Hose};
use super::nozzle::Nozzle;
use super::restraint::Tether;
use super::second::{branch, second};
use super::si::{bar, lpm, pa, share};
use super::unit::{Kit, Unit};
use crate::data::{Cell, Ids, Reader};
use crate::level::{self, Equipment, Gauge, HoseBody, Job};
use crate::region::Region;
use crate::text::number;

/// The part of the job's pressure that must be reached with the trigger pulled. Below it the
/// regulator has nothing left to bypass, and winding it in raises nothing.
pub(super) const HELD_SHARE: f64 = 0.98;

/// Most nozzles at the lance post besides that of the job.
const OTHER_NOZZLES: usize = 8;

/// What of the rest of the level decides whether the equipment will do.
pub(super) struct Demands<'a> {
    pub job: &'a Job,
    pub region: Option<&'a Region>,
    pub water_c: f64,
    pub air_c: f64,
    pub air_in_head: f64,
    /// Are job, weather and start as they should be, or stand-ins?
    pub sound: bool,
}

/// Reads the equipment. Nothing when something is wrong in it or in the catalogue.
pub(super) fn equipment(
    r: &mut Reader<'_, '_>,
    catalogue: Option<&Catalogue>,
    ids: &CatalogueIds,
    demands: &Demands<'_>,
) -> Option<Equipment> {
    let unit_id = r.reference("unit", &ids.units);
    let unit = catalogue.and_then(|c| c.units.iter().find(|u| u.id == unit_id));
    let kit_id = match unit {
        Some(unit) => r.reference("kit", &unit.kit_ids),
        // Whether there is such a kit cannot be known without its unit.
        None => r.field("kit", |c| c.new_id(&mut Ids::default())),
    };
    let kit = unit.and_then(|u| u.kit(&kit_id));
    if let (Some(kit), Some(region)) = (kit, demands.region) {
        check_relief(r, kit, region);
    }
    let (hoses, gun) = line(r, catalogue, ids, kit);
    let mut named = Ids::default();
    let mut nozzle = |c: &mut Cell<'_, '_>| {
        let id = c.new_reference(&ids.nozzles, &mut named);
        catalogue.and_then(|c| c.nozzles.iter().find(|n| n.id == id))
    };
    let job_nozzle = r.field("nozzle", &mut nozzle);
    let others = r.option("other_nozzles", |c| c.list(1..=OTHER_NOZZLES, &mut nozzle));
    let restraint = r.option("restraint", |c| {
        let id = c.reference(&ids.restraints);
        catalogue.and_then(|c| c.restraints.iter().find(|t| t.id == id))
    });
    let other = r.option("second", |c| {
        c.record("Second", |r| second(r, catalogue, ids, kit))
    });
    let [pump_hand, lance_hand] = r.record("people", "PeopleOf", |r| {
        ["pump_hand", "lance_hand"].map(|post| {
            let id = r.reference(post, &ids.people);
            catalogue.and_then(|c| c.people.iter().find(|p| p.id == id))
        })
    });
    let (unit, kit, gun, nozzle) = (unit?, kit?, gun?, job_nozzle?);
    let others: Vec<&Nozzle> = others
        .unwrap_or_default()
        .into_iter()
        .collect::<Option<_>>()?;
    let hoses = hoses?;
    let (other, way) = match other {
        None => (None, None),
        Some(read) => read.map(|(other, way)| (Some(other), Some(way)))?,
    };
    let circuit = circuit(unit, kit, &hoses, gun, branch(unit, way), demands);
    let nozzles: Vec<level::Nozzle> = [nozzle]
        .into_iter()
        .chain(others)
        .map(Nozzle::laid_out)
        .collect();
    if r.is_clean() && demands.sound {
        check_circuit(r, &circuit, &nozzles);
        check_job(r, &circuit, kit, nozzle, demands);
    }
    Some(Equipment {
        unit: unit.id.clone(),
        kit: kit.id.clone(),
        kit_max_pa: kit.max_pa,
        circuit,
        gauge: Gauge {
            full_scale_pa: kit.gauge_full_scale_pa,
            lag_s: unit.gauge_lag_s,
        },
        nozzles,
        gun_rating_pa: gun.rating_pa,
        lance: gun.lance.clone(),
        hoses: hoses
            .iter()
            .map(|(hose, length_m)| HoseBody {
                length_m: *length_m,
                ..hose.body.clone()
            })
            .collect(),
        restraint: restraint.flatten().map(Tether::clipped),
        second: other,
        pump_hand: pump_hand?.clone(),
        lance_hand: lance_hand?.clone(),
    })
}

/// A hose of the catalogue with the length that is laid of it, metres.
type Laid<'a> = (&'a Hose, f64);

/// Reads the hoses and the gun of one line. Nothing for what is not there.
pub(super) fn line<'a>(
    r: &mut Reader<'_, '_>,
    catalogue: Option<&'a Catalogue>,
    ids: &CatalogueIds,
    kit: Option<&Kit>,
) -> (Option<Vec<Laid<'a>>>, Option<&'a Gun>) {
    let hoses: Vec<Option<Laid<'a>>> = r.list("hoses", 1..=16, |c| {
        c.record("HoseOf", |r| {
            let id = r.reference("id", &ids.hoses);
            let length_m = r.f64("length_m", 0.5..=200.0);
            let hose = catalogue.and_then(|c| c.hoses.iter().find(|h| h.id == id))?;
            check_rating(r, "id", &hose.id, hose.body.rating_pa, kit);
            Some((hose, length_m))
        })
    });
    let gun_id = r.reference("gun", &ids.guns);
    let gun = catalogue.and_then(|c| c.guns.iter().find(|g| g.id == gun_id));
    if let Some(gun) = gun {
        check_rating(r, "gun", &gun.id, gun.rating_pa, kit);
    }
    (hoses.into_iter().collect(), gun)
}

fn circuit(
    unit: &Unit,
    kit: &Kit,
    hoses: &[(&Hose, f64)],
    gun: &Gun,
    branch: BranchSpec,
    demands: &Demands<'_>,
) -> CircuitSpec {
    let mut pump = kit.pump.clone();
    pump.initial_air_fraction = demands.air_in_head;
    CircuitSpec {
        pump,
        power_end: unit.power_end.clone().map(|end| PowerEndSpec {
            air_temperature_c: demands.air_c,
            ..end
        }),
        engine: unit.engine.clone(),
        regulator: unit.regulator.clone(),
        dump: unit.dump.clone(),
        bleed: unit.bleed.clone(),
        relief: kit.relief.clone(),
        burst_disc: kit.disc.clone(),
        hoses: hoses
            .iter()
            .map(|(hose, length_m)| hose.water.laid(*length_m))
            .collect(),
        gun: gun.water.clone(),
        branch,
        tank: TankSpec {
            temperature_c: demands.water_c,
            ..unit.tank.clone()
        },
        manifold_volume_m3: unit.manifold_volume_m3,
    }
}

/// The relief may not be set further over the kit than the region allows.
fn check_relief(r: &mut Reader<'_, '_>, kit: &Kit, region: &Region) {
    let limit_pct = region.limits.relief_over_kit_max_pct.value;
    // A hair of slack: settings are whole bars, and a tenth of 1,379 is none.
    let highest = kit.max_pa * (1.0 + share(limit_pct)) + pa(0.5);
    r.check(
        "kit",
        kit.relief.set_pressure_pa <= highest,
        "data-clash-relief-high",
        vec![
            ("relief", number(bar(kit.relief.set_pressure_pa), 0)),
            ("limit", number(limit_pct, 1)),
            ("max", number(bar(kit.max_pa), 0)),
        ],
    );
}

/// Every part of the line stands the pressure at which the relief passes its full flow.
fn check_rating(
    r: &mut Reader<'_, '_>,
    field: &'static str,
    part: &str,
    rating_pa: f64,
    kit: Option<&Kit>,
) {
    let Some(kit) = kit else { return };
    let relief_pa = kit.relief.full_flow_pressure_pa();
    r.check(
        field,
        rating_pa >= relief_pa,
        "data-clash-rating",
        vec![
            ("part", part.to_owned()),
            ("rating", number(bar(rating_pa), 0)),
            ("kit", kit.id.clone()),
            ("relief", number(bar(relief_pa), 0)),
        ],
    );
}

/// What the files allow and the circuit as a whole does not.
fn check_circuit(r: &mut Reader<'_, '_>, circuit: &CircuitSpec, nozzles: &[level::Nozzle]) {
    let unit = circuit.validate().err().unwrap_or_default();
    let of_nozzle = nozzles.iter().flat_map(|nozzle| {
        let water = nozzle.water.validate().err().unwrap_or_default();
        let jet = nozzle.jet.validate().err().unwrap_or_default();
        water.into_iter().chain(jet)
    });
    let unit = unit.into_iter().map(|error| ("unit", error));
    for (field, error) in unit.chain(of_nozzle.map(|error| ("nozzle", error))) {
        r.check(
            field,
            false,
            "data-clash-circuit",
            vec![
                ("field", error.field.to_owned()),
                ("value", error.value.to_string()),
                ("low", error.min.to_string()),
                ("high", error.max.to_string()),
            ],
        );
    }
}

/// The job can be done, and held, with this unit and nozzle.
fn check_job(
    r: &mut Reader<'_, '_>,
    circuit: &CircuitSpec,
    kit: &Kit,
    nozzle: &Nozzle,
    demands: &Demands<'_>,
) {
    let job = demands.job;
    let job_pa = pa(job.pressure_bar);
    let pressure = || ("pressure", number(job.pressure_bar, 0));
    r.check(
        "kit",
        job_pa <= kit.max_pa,
        "data-clash-job-over-kit",
        vec![
            pressure(),
            ("kit", kit.id.clone()),
            ("max", number(bar(kit.max_pa), 0)),
        ],
    );
    if job_pa > kit.max_pa {
        return;
    }
    let knob = circuit.regulator.knob_for(job_pa);
    let reaches = (0.0..=1.0).contains(&knob);
    r.check(
        "unit",
        reaches,
        "data-clash-regulator-reach",
        vec![pressure()],
    );
    if !reaches {
        return;
    }
    let point: OperatingPoint = operating_point(
        circuit,
        &Question {
            throttle: share(job.throttle_pct),
            regulator_knob: knob,
            hose_end: HoseEnd::Nozzle(nozzle.water),
            temperature_c: demands.water_c,
        },
    );
    if let Some(region) = demands.region {
        let limit = region.limits.never_above_n.value;
        r.check(
            "nozzle",
            point.thrust_n <= limit,
            "data-clash-thrust",
            vec![
                ("nozzle", nozzle.id.clone()),
                ("thrust", number(point.thrust_n, 0)),
                pressure(),
                ("limit", number(limit, 0)),
            ],
        );
    }
    r.check(
        "nozzle",
        point.pump_pressure_pa >= HELD_SHARE * job_pa,
        "data-clash-flow",
        vec![
            ("nozzle", nozzle.id.clone()),
            ("flow", number(lpm(point.pump_flow_m3_s), 1)),
            ("reached", number(bar(point.pump_pressure_pa), 0)),
            pressure(),
        ],
    );
    r.check(
        "unit",
        point.engine_load <= 1.0,
        "data-clash-engine-load",
        vec![pressure(), ("throttle", number(job.throttle_pct, 0))],
    );
}
