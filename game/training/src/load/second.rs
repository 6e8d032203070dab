//! A second tool on the same unit: what it is, where it stands, who works it.

use crew::Control;
use hydraulics::{BranchSpec, SecondSpec};

use super::catalogue::{Catalogue, CatalogueIds};
use super::equipment::line;
use super::si::rad;
use super::site::{YARD_M, distance, length_of, standing};
use super::unit::{Kit, Unit};
use crate::data::Reader;
use crate::level::{Crew, Equipment, Mate, Second, SecondPlace, Site};
use crate::text::number;

/// Furthest from the stand of the second tool that its hose may end, metres.
const PATH_END_M: f64 = 1.5;
/// Furthest from that stand that the mate's foot reaches the pedal, metres.
const PEDAL_M: f64 = 2.0;

/// Reads what the second tool is. Nothing when something is wrong in it or in the catalogue.
pub(super) fn second(
    r: &mut Reader<'_, '_>,
    catalogue: Option<&Catalogue>,
    ids: &CatalogueIds,
    kit: Option<&Kit>,
) -> Option<(Second, SecondSpec)> {
    let (hoses, gun) = line(r, catalogue, ids, kit);
    let nozzle_id = r.reference("nozzle", &ids.nozzles);
    let nozzle = catalogue.and_then(|c| c.nozzles.iter().find(|n| n.id == nozzle_id));
    let (hoses, gun, nozzle) = (hoses?, gun?, nozzle?);
    let spec = SecondSpec {
        // Each line has an outlet of its own.
        after_hoses: 0,
        hoses: hoses
            .iter()
            .map(|(hose, length_m)| hose.water.laid(*length_m))
            .collect(),
        gun: gun.water.clone(),
    };
    let first = hoses.first()?.0;
    let second = Second {
        nozzle: nozzle.laid_out(),
        lance: gun.lance.clone(),
        rating_pa: hoses
            .iter()
            .map(|(hose, _)| hose.body.rating_pa)
            .fold(gun.rating_pa, f64::min),
        hose_m: hoses.iter().map(|(_, length_m)| length_m).sum(),
        outer_m: first.body.outer_m,
    };
    Some((second, spec))
}

/// The branches of the circuit: only where there is a second tool, the cocks of the outlets are used.
pub(super) fn branch(unit: &Unit, second: Option<SecondSpec>) -> BranchSpec {
    BranchSpec {
        isolating: unit.outlet_cocks.clone().filter(|_| second.is_some()),
        second,
    }
}

/// Reads where it stands.
pub(super) fn place(r: &mut Reader<'_, '_>) -> SecondPlace {
    let place = SecondPlace {
        at: r.field("at_m", |c| c.numbers(-YARD_M..=YARD_M)),
        yaw_rad: rad(r.f64("yaw_deg", -360.0..=360.0)),
        hose_path: r.list("hose_path_m", 2..=200, |c| c.numbers(-YARD_M..=YARD_M)),
        mate: r.record("mate", "Standing", standing),
    };
    let end_m = place.hose_path.last().map(|end| distance(*end, place.at));
    for (field, away_m, limit_m) in [
        ("hose_path_m", end_m.unwrap_or(0.0), PATH_END_M),
        ("mate", distance(place.mate.at, place.at), PEDAL_M),
    ] {
        r.check(
            field,
            away_m <= limit_m,
            "data-clash-second-away",
            vec![
                ("distance", number(away_m, 2)),
                ("limit", number(limit_m, 1)),
            ],
        );
    }
    place
}

/// Reads how the mate works.
pub(super) fn mate(r: &mut Reader<'_, '_>) -> Mate {
    Mate {
        work: r.list("work_s", 1..=100, |c| {
            let [wait, press] = c.numbers(0.5..=600.0);
            (wait, press)
        }),
    }
}

/// A second tool needs its equipment, its place with the cocks of both outlets, and its mate; a hose
/// as long as its way.
pub(super) fn check_second(
    r: &mut Reader<'_, '_>,
    equipment: Option<&Equipment>,
    site: &Site,
    crew: &Crew,
) {
    let Some(equipment) = equipment else { return };
    let cocks = Control::OUTLETS.map(|control| site.control(control).is_some());
    let parts = [
        equipment.second.is_some(),
        site.second.is_some(),
        crew.mate.is_some(),
        cocks[0],
        cocks[1],
    ];
    let all = parts.iter().all(|there| *there);
    let none = parts.iter().all(|there| !there);
    r.check("equipment", all || none, "data-clash-second", vec![]);
    let (Some(second), Some(place)) = (&equipment.second, &site.second) else {
        return;
    };
    let way_m = length_of(&place.hose_path);
    r.check(
        "site",
        way_m <= second.hose_m,
        "data-clash-second-path",
        vec![
            ("path", number(way_m, 1)),
            ("hose", number(second.hose_m, 1)),
        ],
    );
}
