//! The surface to be cleaned, its deposits, and whether they come off.

use hydraulics::steady::{Question, operating_point_at_speed};
use hydraulics::water::Water;
use hydraulics::{Exit, HoseEnd};

use super::catalogue::Catalogue;
use super::deposit::Deposit;
use super::si::{bar, m, pa, rad, share};
use super::site::{YARD_M, inside};
use crate::data::{Ids, Reader};
use crate::level::{Base, Coat, Equipment, Job, Surface, Words};
use crate::text::number;

/// Most cells that a surface may have: each is looked at in every tick that it is hit, and kept
/// in every recording (a choice of this project).
const CELLS: f64 = 1.0e6;

/// Most tiles that a surface may have: whoever sees it sees all of them in every tick (a choice
/// of this project).
const TILES: f64 = 1.0e4;

/// Pressure of the impact over the threshold of a coat that a level must offer, so that it comes
/// off also where hand and hose are not exactly as computed (a choice of this project).
const MARGIN: f64 = 1.2;

/// What of the rest of the level decides whether the surface will do.
pub(super) struct Setting<'a> {
    /// The catalogue, unless something is wrong in it.
    pub catalogue: Option<&'a Catalogue>,
    /// Ids of the deposits.
    pub deposits: &'a Ids,
    /// The equipment and the job, unless something is wrong in them.
    pub means: Option<(&'a Equipment, &'a Job)>,
    /// Temperature of the water, degrees Celsius.
    pub water_c: f64,
    /// The zone that the barrier closes.
    pub zone: Option<[[f64; 2]; 2]>,
}

/// Reads the surface. With a mistake in the catalogue its coats are stand-ins.
pub(super) fn surface(r: &mut Reader<'_, '_>, setting: &Setting<'_>) -> Surface {
    let facing = rad(r.f64("facing_deg", -360.0..=360.0));
    let mut surface = Surface {
        corner: r.field("corner_m", |c| c.numbers(-YARD_M..=YARD_M)),
        right: right_of(facing),
        size: r.field("size_m", |c| c.numbers(0.05..=50.0)),
        cell_m: m(r.f64("cell_mm", 0.5..=100.0)),
        tile_m: m(r.f64("tile_mm", 5.0..=1_000.0)),
        grade_pct: r.f64("grade_pct", 1.0..=100.0),
        stand_off_m: m(r.f64("stand_off_mm", 1.0..=2_000.0)),
        coats: Vec::new(),
        base: None,
    };
    check_place(r, &surface, setting.zone);
    check_grid(r, &mut surface);
    if let Some((equipment, _)) = setting.means {
        check_stand_off(r, &surface, equipment);
    }
    // With a stand-in for size or stand-off nothing can be said of the coats.
    let sound = r.is_clean();
    surface.coats = r.list("coats", 1..=20, |c| {
        c.record("Coat", |r| coat(r, &surface, setting, sound))
    });
    surface.base = r
        .option("base", |c| c.reference(setting.deposits))
        .map(|id| {
            let deposits = setting.catalogue.map(|c| c.deposits.as_slice());
            let material = deposits.and_then(|d| d.iter().find(|d| d.id == id));
            Base {
                title: material.map_or_else(Words::default, |d| d.title.clone()),
                removal: material.map_or(NO_REMOVAL, Deposit::removal),
                deposit: id,
            }
        });
    check_layers(r, &surface);
    if sound && r.is_clean() {
        check_base_stays(r, &surface, setting);
    }
    surface
}

/// Most layers that may lie on one another, what they lie on counted with them: what a cell has
/// taken is kept in sixteen bits (a choice of this project).
const LAYERS: usize = 7;

fn check_layers(r: &mut Reader<'_, '_>, surface: &Surface) {
    if !r.is_clean() {
        return;
    }
    let [columns, rows] = surface.cells();
    let coats = (0..columns * rows).map(|cell| surface.layers_of(cell).len());
    let most = coats.max().unwrap_or(0) + usize::from(surface.base.is_some());
    let words = vec![("count", most.to_string()), ("limit", LAYERS.to_string())];
    r.check("coats", most <= LAYERS, "data-clash-layers", words);
}

/// At the pressure that is allowed for the hardest coat and the stand-off of the job, what the
/// coats lie on is not damaged.
fn check_base_stays(r: &mut Reader<'_, '_>, surface: &Surface, setting: &Setting<'_>) {
    let (Some(base), Some((equipment, job))) = (&surface.base, setting.means) else {
        return;
    };
    if setting.catalogue.is_none() {
        return;
    }
    let allowed_bar = (surface.coats.iter()).fold(0.0, |most, c| f64::max(most, c.at_most_bar));
    let pump_pa = pa(allowed_bar).min(equipment.kit_max_pa);
    let impact_pa = impact_pa(
        equipment,
        job,
        pump_pa,
        surface.stand_off_m,
        setting.water_c,
    );
    r.check(
        "base",
        MARGIN * impact_pa <= base.removal.threshold_pa,
        "data-clash-base-damaged",
        vec![
            ("base", base.deposit.clone()),
            ("reached", number(bar(impact_pa), 0)),
            ("pressure", number(bar(pump_pa), 0)),
            ("threshold", number(bar(base.removal.threshold_pa), 0)),
            ("factor", number(MARGIN, 1)),
        ],
    );
}

/// The way along the lower edge, from left to right, of a surface whose face looks this way.
pub(super) fn right_of(facing_rad: f64) -> [f64; 2] {
    // Quarters of a turn are meant exactly.
    let exact = |part: f64| if part.abs() < 1.0e-12 { 0.0 } else { part };
    [exact(-libm::sin(facing_rad)), exact(-libm::cos(facing_rad))]
}

fn check_place(r: &mut Reader<'_, '_>, surface: &Surface, zone: Option<[[f64; 2]; 2]>) {
    let ([x, y, z], [right_x, right_z], [width, height]) =
        (surface.corner, surface.right, surface.size);
    let far = [x + right_x * width, z + right_z * width];
    let within = far.iter().all(|c| c.abs() <= YARD_M) && y >= 0.0 && y + height <= YARD_M;
    r.check(
        "corner_m",
        within,
        "data-clash-surface-yard",
        vec![("limit", number(YARD_M, 0))],
    );
    if let Some(zone) = zone {
        r.check(
            "corner_m",
            inside([x, z], zone) && inside(far, zone),
            "data-clash-surface-zone",
            vec![],
        );
    }
}

fn check_grid(r: &mut Reader<'_, '_>, surface: &mut Surface) {
    let [width, height] = surface.size;
    let count = |edge: f64| (width / edge).ceil() * (height / edge).ceil();
    let most =
        |count: f64, limit: f64| vec![("count", number(count, 0)), ("limit", number(limit, 0))];
    let cells = count(surface.cell_m);
    r.check(
        "cell_mm",
        cells <= CELLS,
        "data-clash-cells",
        most(cells, CELLS),
    );
    let tiles = count(surface.tile_m);
    r.check(
        "tile_mm",
        tiles <= TILES,
        "data-clash-tiles",
        most(tiles, TILES),
    );
    r.check(
        "tile_mm",
        surface.tile_m >= surface.cell_m,
        "data-clash-tile-small",
        vec![],
    );
    // Where clashes are only reported, whoever goes on still gets a grid that can be kept.
    if cells > CELLS || tiles > TILES {
        surface.cell_m = 1.0;
        surface.tile_m = 1.0;
    }
}

fn check_stand_off(r: &mut Reader<'_, '_>, surface: &Surface, equipment: &Equipment) {
    let Some(nozzle) = equipment.nozzles.first() else {
        return;
    };
    let [least, greatest] = nozzle.stand_off_m;
    let mm = |m: f64| number(m * 1.0e3, 0);
    r.check(
        "stand_off_mm",
        (least..=greatest).contains(&surface.stand_off_m),
        "data-clash-stand-off",
        vec![
            ("stand_off", mm(surface.stand_off_m)),
            ("nozzle", nozzle.id.clone()),
            ("least", mm(least)),
            ("greatest", mm(greatest)),
        ],
    );
}

fn coat(r: &mut Reader<'_, '_>, surface: &Surface, setting: &Setting<'_>, sound: bool) -> Coat {
    let id = r.reference("deposit", setting.deposits);
    let deposits = setting.catalogue.map(|c| c.deposits.as_slice());
    let deposit = deposits.and_then(|d| d.iter().find(|d| d.id == id));
    let coat = Coat {
        title: deposit.map_or_else(Words::default, |d| d.title.clone()),
        removal: deposit.map_or(NO_REMOVAL, Deposit::removal),
        deposit: id,
        over: r.field("over_m", |c| c.numbers(0.0..=50.0)),
        at_most_bar: r.f64("at_most_bar", 1.0..=4_000.0),
    };
    if !sound {
        return coat;
    }
    let ([left, low, right, high], [width, height]) = (coat.over, surface.size);
    r.check(
        "over_m",
        left < right && low < high && right <= width && high <= height,
        "data-clash-coat-part",
        vec![("width", number(width, 2)), ("height", number(height, 2))],
    );
    if let (Some(_), Some((equipment, job))) = (deposit, setting.means) {
        check_comes_off(r, &coat, surface, equipment, job, setting.water_c);
    }
    coat
}

/// Stands in for what nothing is known of.
const NO_REMOVAL: hydraulics::Removal = hydraulics::Removal {
    threshold_pa: 1.0,
    dose_s: 1.0,
    exponent: 1.0,
};

/// At the pressure that is allowed for it and the stand-off of the job, a coat comes off with a
/// margin.
fn check_comes_off(
    r: &mut Reader<'_, '_>,
    coat: &Coat,
    surface: &Surface,
    equipment: &Equipment,
    job: &Job,
    water_c: f64,
) {
    let pump_pa = pa(coat.at_most_bar).min(equipment.kit_max_pa);
    let impact_pa = impact_pa(equipment, job, pump_pa, surface.stand_off_m, water_c);
    r.check(
        "at_most_bar",
        impact_pa >= MARGIN * coat.removal.threshold_pa,
        "data-clash-coat-stays",
        vec![
            ("coat", coat.deposit.clone()),
            ("reached", number(bar(impact_pa), 0)),
            ("pressure", number(bar(pump_pa), 0)),
            ("threshold", number(bar(coat.removal.threshold_pa), 0)),
            ("factor", number(MARGIN, 1)),
        ],
    );
}

/// Pressure in the middle of where the job's nozzle hits a surface square on, pascals.
pub(super) fn impact_pa(
    equipment: &Equipment,
    job: &Job,
    pump_pa: f64,
    stand_off_m: f64,
    water_c: f64,
) -> f64 {
    let Some(nozzle) = equipment.nozzles.first() else {
        return 0.0;
    };
    let throttle = share(job.throttle_pct);
    // The speed that the governor falls to under full load: the pump may run faster and give a
    // little more, and one speed is found far sooner than the one that goes with the load.
    let speed = equipment.circuit.engine.governed_speed_rad_s(throttle);
    let point = operating_point_at_speed(
        &equipment.circuit,
        &Question {
            throttle,
            regulator_knob: equipment
                .circuit
                .regulator
                .knob_for(pump_pa)
                .clamp(0.0, 1.0),
            hose_end: HoseEnd::Nozzle(nozzle.water),
            temperature_c: water_c,
        },
        speed,
    );
    let density = Water::at_celsius(water_c).isentrope().atmospheric_density();
    let Some(exit) = Exit::of(point.nozzle_mass_flow_kg_s, point.thrust_n, density) else {
        return 0.0;
    };
    nozzle.jet.spot(&exit, stand_off_m).impact.centre_pa
}
