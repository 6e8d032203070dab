//! The yard of a level: ground, walls, props, places, controls, and the line of the hose.

use crew::Control;

use super::catalogue::{Catalogue, CatalogueIds};
use super::footing::footing;
use super::second;
use super::si::rad;
use crate::allowed::REACH_M;
use crate::data::{Cell, Ids, Reader};
use crate::level::{Block, Prop, Site, Standing};
use crate::text::number;

/// Furthest that anything of a yard is from its middle, metres.
pub(super) const YARD_M: f64 = 200.0;

/// Furthest from the nearest control of the unit that the hose may begin, metres.
const PATH_START_M: f64 = 3.0;

/// Furthest from the lance hand that the hose may end, metres.
const PATH_END_M: f64 = 2.0;

/// Least part of the hoses' length that the path must have: more slack cannot be laid out in
/// waves beside the path without crossing itself.
const PATH_LEAST: f64 = 0.8;

/// What the hose needs besides its path on the ground, to rise to the coupling and to the hands,
/// metres.
const RISE_M: f64 = 1.6;

/// The names of the controls, as words.
pub(super) fn control_words() -> [(&'static str, Control); Control::ALL.len()] {
    Control::ALL.map(|control| (control.id(), control))
}

/// Most parts of the ground that are not like the rest.
const FOOTINGS: usize = 50;

/// Reads the site; `hose_m` is the length of all hoses, `places` gets the ids of the places.
pub(super) fn site(
    r: &mut Reader<'_, '_>,
    catalogue: Option<&Catalogue>,
    ids: &CatalogueIds,
    hose_m: Option<f64>,
    places: &mut Ids,
) -> Site {
    let mut site = Site {
        ground_friction: r.f64("ground_friction", 0.05..=1.5),
        footings: r
            .option("footings", |c| {
                c.list(0..=FOOTINGS, |c| {
                    c.record("Footing", |r| footing(r, catalogue, ids))
                })
            })
            .unwrap_or_default()
            .into_iter()
            .flatten()
            .collect(),
        walls: r.list("walls", 0..=200, |c| c.record("Wall", block)),
        props: {
            let mut ids = Ids::default();
            r.list("props", 0..=100, |c| {
                c.record("Prop", |r| Prop {
                    id: r.new_id("id", &mut ids),
                    at: point(r, "at_m"),
                    size: edges(r, "size_m"),
                    mass_kg: r.f64("mass_kg", 0.1..=20_000.0),
                })
            })
        },
        places: r.list("places", 1..=50, |c| {
            c.record("Place", |r| {
                let id = r.new_id("id", places);
                (id, r.field("at_m", |c| c.numbers(-YARD_M..=YARD_M)))
            })
        }),
        controls: {
            let mut ids = Ids::default();
            r.list("controls", 1..=Control::ALL.len(), |c| {
                c.record("ControlAt", |r| {
                    let control = r.field("control", |c| c.new_word(&control_words(), &mut ids));
                    (control, point(r, "at_m"))
                })
            })
        },
        hose_path: r.list("hose_path_m", 2..=200, |c| c.numbers(-YARD_M..=YARD_M)),
        pump_hand: r.record("pump_hand", "Standing", standing),
        lance_hand: r.record("lance_hand", "Standing", standing),
        watch: r.option("watch", |c| c.record("Standing", standing)),
        visitor: r.option("visitor", |c| c.record("Standing", standing)),
        zone: r.option("zone_m", zone),
        kept_dry: r
            .option("kept_dry", |c| c.list(0..=50, |c| c.record("Kept", block)))
            .unwrap_or_default(),
        rack: r.option("rack_m", |c| c.numbers(-YARD_M..=YARD_M)),
        second: r.option("second", |c| c.record("SecondAt", second::place)),
    };
    check_controls(r, &site);
    check_path(r, &site, hose_m);
    check_zone(r, &site);
    // Corners that were swapped are one mistake, and not one more for each thing in the zone.
    site.zone = site.zone.map(|[[x, z], [far_x, far_z]]| {
        [[x.min(far_x), z.min(far_z)], [x.max(far_x), z.max(far_z)]]
    });
    site
}

fn block(r: &mut Reader<'_, '_>) -> Block {
    Block {
        at: point(r, "at_m"),
        size: edges(r, "size_m"),
    }
}

/// Corners of least and greatest x and z.
fn zone(cell: &mut Cell<'_, '_>) -> [[f64; 2]; 2] {
    let corners = cell.list(2..=2, |c| c.numbers(-YARD_M..=YARD_M));
    // A list of another length was reported.
    corners.try_into().unwrap_or_default()
}

fn point(r: &mut Reader<'_, '_>, name: &'static str) -> [f64; 3] {
    r.field(name, |c| c.numbers(-YARD_M..=YARD_M))
}

fn edges(r: &mut Reader<'_, '_>, name: &'static str) -> [f64; 3] {
    r.field(name, |c| c.numbers(0.01..=YARD_M))
}

pub(super) fn standing(r: &mut Reader<'_, '_>) -> Standing {
    Standing {
        at: r.field("at_m", |c| c.numbers(-YARD_M..=YARD_M)),
        yaw_rad: rad(r.f64("yaw_deg", -360.0..=360.0)),
    }
}

pub(super) fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dz) = (a[0] - b[0], a[1] - b[1]);
    (dx * dx + dz * dz).sqrt()
}

/// Every control has a place, and a hand reaches it from somewhere.
fn check_controls(r: &mut Reader<'_, '_>, site: &Site) {
    for control in Control::ALL {
        let id = || ("control", control.id().to_owned());
        let Some([x, _, z]) = site.control(control) else {
            // A level may do without a gate and without restraints, and a unit with one line has no cocks.
            if control == Control::Barrier
                || Control::OUTLETS.contains(&control)
                || Control::RESTRAINTS.contains(&control)
            {
                continue;
            }
            r.check("controls", false, "data-clash-control-missing", vec![id()]);
            continue;
        };
        let nearest = site
            .places
            .iter()
            .map(|(_, at)| distance(*at, [x, z]))
            .fold(f64::INFINITY, f64::min);
        r.check(
            "controls",
            nearest <= REACH_M,
            "data-clash-control-reach",
            vec![
                id(),
                ("distance", number(nearest, 2)),
                ("limit", number(REACH_M, 2)),
            ],
        );
    }
}

/// Length of a line on the ground, metres.
pub(super) fn length_of(path: &[[f64; 2]]) -> f64 {
    path.windows(2).map(|w| distance(w[0], w[1])).sum()
}

/// The hose begins at the unit, ends at the lance hand, and is as long as its path.
fn check_path(r: &mut Reader<'_, '_>, site: &Site, hose_m: Option<f64>) {
    let (Some(first), Some(last)) = (site.hose_path.first(), site.hose_path.last()) else {
        return;
    };
    let start = site
        .controls
        .iter()
        .map(|(_, [x, _, z])| distance([*x, *z], *first))
        .fold(f64::INFINITY, f64::min);
    let ends = |distance, limit| {
        vec![
            ("distance", number(distance, 1)),
            ("limit", number(limit, 1)),
        ]
    };
    r.check(
        "hose_path_m",
        start <= PATH_START_M,
        "data-clash-path-start",
        ends(start, PATH_START_M),
    );
    let end = distance(*last, site.lance_hand.at);
    r.check(
        "hose_path_m",
        end <= PATH_END_M,
        "data-clash-path-end",
        ends(end, PATH_END_M),
    );
    let Some(hose) = hose_m else { return };
    let path = length_of(&site.hose_path);
    let lengths = || {
        vec![
            ("path", number(path, 2)),
            ("hose", number(hose, 2)),
            ("rise", number(RISE_M, 1)),
        ]
    };
    r.check(
        "hose_path_m",
        path + RISE_M <= hose,
        "data-clash-path-long",
        lengths(),
    );
    r.check(
        "hose_path_m",
        path >= PATH_LEAST * hose,
        "data-clash-path-short",
        lengths(),
    );
}

/// The zone is one, and whoever has no business in it begins outside.
fn check_zone(r: &mut Reader<'_, '_>, site: &Site) {
    let Some([least, greatest]) = site.zone else {
        let gate = site.control(Control::Barrier).is_some();
        r.check("controls", !gate, "data-clash-gate-without-zone", vec![]);
        return;
    };
    let rises = least[0] < greatest[0] && least[1] < greatest[1];
    r.check("zone_m", rises, "data-clash-zone-order", vec![]);
    if let Some(visitor) = &site.visitor {
        r.check(
            "visitor",
            !rises || !inside(visitor.at, [least, greatest]),
            "data-clash-visitor-inside",
            vec![],
        );
    }
}

/// Is a spot within a zone?
pub(super) fn inside(at: [f64; 2], [least, greatest]: [[f64; 2]; 2]) -> bool {
    (least[0]..=greatest[0]).contains(&at[0]) && (least[1]..=greatest[1]).contains(&at[1])
}
