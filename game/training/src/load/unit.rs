//! `catalogue/units.ron`: pump units with their engines, kits and valves.

use hydraulics::water::Water;
use hydraulics::{
    BleedSpec, BurstDiscSpec, DumpSpec, EngineSpec, IsolatingSpec, PowerEndSpec, PumpSpec,
    RegulatorSpec, ReliefSpec, SuctionSpec, TankSpec, TorquePoint,
};

use super::parts::{Origin, TITLE, origin, words};
use super::power_end::{check_rod, check_suction, power_end, suction};
use super::si::{bar, lpm, m, m3, m3_s, pa, rad_s, rpm, share};
use crate::data::{Document, Ids, Perturb, Problems, Read, Reader, Reading};
use crate::level::Words;
use crate::text::number;

/// Supply over the pump's flow that a unit must have (common practice, no source).
const SUPPLY_FACTOR: f64 = 1.25;

/// Highest pressure of a unit whose regulator is backed off, engine idling, bar (common
/// practice, no source).
const RESIDUAL_MAX_BAR: f64 = 40.0;

/// Highest pressure of a second protection over the kit's (trade safety notes).
const DISC_FACTOR: f64 = 1.4;

/// How far the figures on a unit's plate may be from what its dimensions give.
pub(super) const PLATE_TOLERANCE: f64 = 0.03;

/// Temperature at which the figures on a plate are checked, degrees Celsius.
pub(super) const PLATE_WATER_C: f64 = 20.0;

/// A pump unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Where its figures come from.
    pub origin: Origin,
    /// The engine.
    pub engine: EngineSpec,
    /// The kits it can be fitted with.
    pub kits: Vec<Kit>,
    /// Ids of the kits.
    pub kit_ids: Ids,
    /// The pump's power end; its air temperature is that of the level. A catalogue from before
    /// says nothing of it.
    pub power_end: Option<PowerEndSpec>,
    /// The bypass regulator.
    pub regulator: RegulatorSpec,
    /// The dump valve.
    pub dump: DumpSpec,
    /// The bleed valve.
    pub bleed: BleedSpec,
    /// The cocks of its two outlets. A catalogue from before knows one outlet.
    pub outlet_cocks: Option<IsolatingSpec>,
    /// The supply tank; its temperature is that of the level.
    pub tank: TankSpec,
    /// Water between pump and hose, cubic metres.
    pub manifold_volume_m3: f64,
    /// Time constant of the gauge's needle, seconds.
    pub gauge_lag_s: f64,
}

/// A plunger kit, and what goes with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Kit {
    /// Stable name within the unit.
    pub id: String,
    /// The pump with this kit, its head full of water.
    pub pump: PumpSpec,
    /// Highest pressure, pascals.
    pub max_pa: f64,
    /// Flow on the plate, at rated speed and highest pressure, cubic metres a second.
    pub flow_m3_s: f64,
    /// Flow that the supply brings at rated speed, cubic metres a second.
    pub supply_m3_s: f64,
    /// The relief valve.
    pub relief: ReliefSpec,
    /// The burst disc behind it. A catalogue from before has none.
    pub disc: Option<BurstDiscSpec>,
    /// End of the gauge's scale, pascals.
    pub gauge_full_scale_pa: f64,
}

impl Unit {
    /// The kit with this name.
    #[must_use]
    pub fn kit(&self, id: &str) -> Option<&Kit> {
        self.kits.iter().find(|kit| kit.id == id)
    }
}

/// Reads all units. A file `kept` in a recording may lack what came later.
pub(super) fn units(
    document: &Document,
    ids: &mut Ids,
    perturb: Option<&mut Perturb>,
    kept: bool,
) -> Result<Read<Vec<Unit>>, Problems> {
    let lenient = perturb.is_some();
    Reading::of(document)
        .perturbed(perturb)
        .lenient(lenient)
        .kept(kept)
        .list("Units", 1..=100, |c| c.record("Unit", |r| unit(r, ids)))
}

fn unit(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Unit {
    let mark = r.mark();
    let engine = r.record("engine", "Engine", engine);
    let mut kit_ids = Ids::default();
    let (mut pump, supply_m3_s) = r.record("pump", "Pump", |r| pump(r, &engine));
    let power_end = r.later("power_end", |c| {
        c.record("PowerEnd", |r| power_end(r, &engine, &pump))
    });
    if let Some(suction) = r.later("suction", |c| {
        c.record("Suction", |r| suction(r, &engine, &pump))
    }) {
        check_suction(r, &suction, supply_m3_s);
        pump.suction = suction;
    }
    let unit = Unit {
        id: r.new_id("id", ids),
        title: r.field("title", |c| words(c, TITLE)),
        origin: origin(r),
        kits: {
            // With a stand-in in engine or pump, nothing can be said of the plates.
            let sound = r.is_clean_since(mark);
            r.list("kits", 1..=12, |c| {
                c.record("Kit", |r| {
                    let kit = kit(r, &pump, supply_m3_s, &mut kit_ids);
                    if sound {
                        check_kit(r, &kit, &engine);
                    }
                    kit
                })
            })
        },
        kit_ids,
        power_end,
        regulator: r.record("regulator", "Regulator", regulator),
        dump: r.record("dump", "Dump", |r| DumpSpec {
            bore_m: m(r.f64("bore_mm", 0.5..=100.0)),
            discharge_coefficient: r.f64("cd", 0.1..=1.0),
            opening_time_s: r.f64("opening_s", 0.0..=30.0),
            closing_time_s: r.f64("closing_s", 0.0..=30.0),
        }),
        bleed: r.record("bleed", "Bleed", |r| BleedSpec {
            bore_m: m(r.f64("bore_mm", 0.1..=20.0)),
            discharge_coefficient: r.f64("cd", 0.1..=1.0),
        }),
        outlet_cocks: r.later("outlet_cocks", |c| c.record("Cocks", cocks)),
        tank: r.record("tank", "Tank", |r| TankSpec {
            volume_m3: m3(r.f64("volume_l", 10.0..=100_000.0)),
            temperature_c: PLATE_WATER_C,
            bypass_return: share(r.f64("bypass_return_pct", 0.0..=100.0)),
        }),
        manifold_volume_m3: m3(r.f64("manifold_l", 0.001..=100.0)),
        gauge_lag_s: r.f64("gauge_lag_s", 0.01..=5.0),
        engine,
    };
    check_residual(r, &unit);
    unit
}

fn engine(r: &mut Reader<'_, '_>) -> EngineSpec {
    let power_kw = r.f64("power_kw", 1.0..=5_000.0);
    let engine = EngineSpec {
        idle_speed_rad_s: rad_s(r.f64("idle_rpm", 100.0..=5_000.0)),
        rated_speed_rad_s: rad_s(r.f64("rated_rpm", 200.0..=9_000.0)),
        droop: share(r.f64("droop_pct", 0.01..=30.0)),
        governor_lag_s: r.f64("governor_lag_s", 0.0..=2.0),
        torque_curve: r.list("torque_curve_rpm_n_m", 1..=64, |c| {
            let [speed, torque] = c.numbers(1.0..=1.0e6);
            TorquePoint {
                speed_rad_s: rad_s(speed),
                torque_n_m: torque,
            }
        }),
        inertia_kg_m2: r.f64("inertia_kg_m2", 0.01..=10_000.0),
        friction_torque_n_m: r.f64("friction_torque_n_m", 0.1..=1.0e5),
        starter_torque_n_m: r.f64("starter_torque_n_m", 0.0..=1.0e5),
        starter_free_speed_rad_s: rad_s(r.f64("starter_free_rpm", 10.0..=2_800.0)),
        firing_speed_rad_s: rad_s(r.f64("firing_rpm", 10.0..=2_800.0)),
        stall_speed_rad_s: rad_s(r.f64("stall_rpm", 5.0..=2_800.0)),
        indicated_efficiency: share(r.f64("indicated_efficiency_pct", 5.0..=60.0)),
        fuel_heat_j_kg: r.f64("fuel_heat_mj_kg", 10.0..=130.0) * 1.0e6,
    };
    let falls = engine
        .torque_curve
        .windows(2)
        .find(|pair| pair[1].speed_rad_s < pair[0].speed_rad_s + 1.0);
    if let Some([before, after]) = falls {
        r.check(
            "torque_curve_rpm_n_m",
            false,
            "data-clash-torque-order",
            vec![
                ("speed", number(rpm(after.speed_rad_s), 0)),
                ("before", number(rpm(before.speed_rad_s), 0)),
            ],
        );
    }
    let rising = engine.stall_speed_rad_s <= engine.idle_speed_rad_s
        && engine.idle_speed_rad_s <= engine.rated_speed_rad_s;
    r.check("idle_rpm", rising, "data-clash-engine-speeds", vec![]);
    let rated = engine.rated_speed_rad_s;
    let curve_kw = engine.full_torque_n_m(rated) * rated * 1.0e-3;
    r.check(
        "power_kw",
        (curve_kw / power_kw - 1.0).abs() <= PLATE_TOLERANCE,
        "data-clash-engine-rating",
        vec![
            ("curve", number(curve_kw, 1)),
            ("rating", number(power_kw, 1)),
        ],
    );
    engine
}

/// The pump without what the kit changes, and the flow that is said to come of its supply. Its
/// suction is one that brings just that.
fn pump(r: &mut Reader<'_, '_>, engine: &EngineSpec) -> (PumpSpec, f64) {
    let supply_m3_s = m3_s(r.f64("supply_lpm", 0.1..=60_000.0));
    let still_pa = pa(r.f64("suction_bar", 0.0..=20.0));
    let gear_ratio = r.f64("gear_ratio", 0.1..=50.0);
    let pump = PumpSpec {
        cylinders: r.whole("cylinders", 1..=12),
        plunger_diameter_m: 0.0,
        stroke_m: m(r.f64("stroke_mm", 1.0..=1_000.0)),
        crank_ratio: r.f64("crank_ratio", 0.0..=0.5),
        gear_ratio,
        clearance_ratio: 0.0,
        leakage_m3_s_pa: 0.0,
        valve_loss: share(r.f64("valve_loss_pct", 0.0..=50.0)),
        mechanical_efficiency: share(r.f64("mechanical_efficiency_pct", 30.0..=100.0)),
        friction_torque_n_m: r.f64("friction_torque_n_m", 0.0..=1.0e5),
        suction: SuctionSpec::that_brings(
            still_pa,
            supply_m3_s,
            engine.rated_speed_rad_s / gear_ratio,
        ),
        rod_load_limit_n: r
            .later("rod_load_kn", |c| c.f64(1.0..=10_000.0))
            .map(|kn| 1.0e3 * kn),
        starvation_lag_s: r.f64("starvation_lag_s", 0.0..=60.0),
        initial_air_fraction: 0.0,
        air_bleed_time_s: r.f64("air_bleed_s", 0.01..=600.0),
    };
    (pump, supply_m3_s)
}

fn kit(r: &mut Reader<'_, '_>, pump: &PumpSpec, supply_m3_s: f64, ids: &mut Ids) -> Kit {
    let leakage_ml_min_bar = r.f64("leakage_ml_min_bar", 0.0..=6.0);
    Kit {
        id: r.new_id("id", ids),
        pump: PumpSpec {
            plunger_diameter_m: m(r.f64("plunger_mm", 1.0..=500.0)),
            clearance_ratio: r.f64("clearance_ratio", 0.0..=5.0),
            leakage_m3_s_pa: m3_s(leakage_ml_min_bar * 1.0e-3) / pa(1.0),
            ..pump.clone()
        },
        max_pa: pa(r.f64("max_bar", 10.0..=5_000.0)),
        flow_m3_s: m3_s(r.f64("flow_lpm", 0.1..=5_000.0)),
        supply_m3_s,
        relief: ReliefSpec {
            set_pressure_pa: pa(r.f64("relief_bar", 10.0..=5_000.0)),
            accumulation: share(r.f64("relief_accumulation_pct", 0.5..=50.0)),
            full_flow_kg_s: r.f64("relief_full_flow_lpm", 0.1..=6_000.0) / 60.0,
        },
        disc: r.later("disc", |c| c.record("Disc", disc)),
        gauge_full_scale_pa: pa(r.f64("gauge_full_scale_bar", 10.0..=10_000.0)),
    }
}

fn cocks(r: &mut Reader<'_, '_>) -> IsolatingSpec {
    IsolatingSpec {
        bore_m: m(r.f64("bore_mm", 1.0..=100.0)),
        seat_loss: r.f64("seat_loss", 0.0..=100.0),
        travel_s: r.f64("turn_s", 0.0..=30.0),
    }
}

fn disc(r: &mut Reader<'_, '_>) -> BurstDiscSpec {
    BurstDiscSpec {
        burst_pressure_pa: pa(r.f64("bar", 10.0..=5_000.0)),
        bore_m: m(r.f64("bore_mm", 1.0..=100.0)),
        discharge_coefficient: r.f64("cd", 0.1..=1.0),
        opening_time_s: r.f64("opening_s", 0.0..=1.0),
    }
}

/// It tears after the relief has let its full flow pass, and before anything else breaks.
fn check_disc(r: &mut Reader<'_, '_>, kit: &Kit, disc: &BurstDiscSpec) {
    let tears = || ("disc", number(bar(disc.burst_pressure_pa), 0));
    let relief_pa = kit.relief.full_flow_pressure_pa();
    r.check(
        "disc",
        disc.burst_pressure_pa > relief_pa,
        "data-clash-disc-low",
        vec![tears(), ("relief", number(bar(relief_pa), 0))],
    );
    r.check(
        "disc",
        disc.burst_pressure_pa <= DISC_FACTOR * kit.max_pa,
        "data-clash-disc-high",
        vec![
            tears(),
            ("factor", number(DISC_FACTOR, 1)),
            ("max", number(bar(kit.max_pa), 0)),
        ],
    );
    check_rod(r, "disc", &kit.pump, disc.burst_pressure_pa);
}

fn check_kit(r: &mut Reader<'_, '_>, kit: &Kit, engine: &EngineSpec) {
    let water = Water::at_celsius(PLATE_WATER_C).isentrope();
    let crank_rad_s = engine.rated_speed_rad_s / kit.pump.gear_ratio;
    let flow =
        kit.pump.mean_mass_flow(&water, crank_rad_s, kit.max_pa) / water.atmospheric_density();
    let pressure = number(bar(kit.max_pa), 0);
    r.check(
        "flow_lpm",
        (flow / kit.flow_m3_s - 1.0).abs() <= PLATE_TOLERANCE,
        "data-clash-kit-flow",
        vec![
            ("flow", number(lpm(flow), 1)),
            ("pressure", pressure.clone()),
            ("rating", number(lpm(kit.flow_m3_s), 1)),
        ],
    );
    let friction_w = kit.pump.friction_torque_n_m * crank_rad_s;
    let need_w = kit.pump.shaft_power_w(kit.max_pa, kit.flow_m3_s) + friction_w;
    let power_w = engine.full_torque_n_m(engine.rated_speed_rad_s) * engine.rated_speed_rad_s;
    r.check(
        "max_bar",
        need_w <= power_w,
        "data-clash-kit-power",
        vec![
            ("need", number(need_w * 1.0e-3, 1)),
            ("flow", number(lpm(kit.flow_m3_s), 1)),
            ("pressure", pressure.clone()),
            ("power", number(power_w * 1.0e-3, 1)),
        ],
    );
    r.check(
        "relief_bar",
        kit.relief.set_pressure_pa > kit.max_pa,
        "data-clash-relief-low",
        vec![
            ("relief", number(bar(kit.relief.set_pressure_pa), 0)),
            ("max", pressure),
        ],
    );
    let relief_pa = kit.relief.full_flow_pressure_pa();
    match &kit.disc {
        Some(disc) => check_disc(r, kit, disc),
        None => check_rod(r, "relief_bar", &kit.pump, relief_pa),
    }
    let need = SUPPLY_FACTOR * kit.flow_m3_s;
    r.check(
        "flow_lpm",
        kit.supply_m3_s >= need,
        "data-clash-supply",
        vec![
            ("supply", number(lpm(kit.supply_m3_s), 1)),
            ("factor", number(SUPPLY_FACTOR, 2)),
            ("need", number(lpm(need), 1)),
        ],
    );
}

fn regulator(r: &mut Reader<'_, '_>) -> RegulatorSpec {
    RegulatorSpec {
        seat_bore_m: m(r.f64("seat_bore_mm", 1.0..=100.0)),
        discharge_coefficient: r.f64("cd", 0.1..=1.0),
        max_lift_m: m(r.f64("max_lift_mm", 0.01..=50.0)),
        moving_mass_kg: r.f64("moving_mass_kg", 0.001..=50.0),
        damping_n_s_m: r.f64("damping_n_s_m", 0.0..=1.0e7),
        air_area_m2: r.f64("air_area_cm2", 0.1..=10_000.0) * 1.0e-4,
        air_volume_m3: m3(r.f64("air_volume_l", 0.001..=1_000.0)),
        max_air_pressure_pa: pa(r.f64("max_air_bar", 0.1..=50.0)),
        residual_preload_n: r.f64("residual_preload_n", 0.0..=5_000.0),
        flow_force_left: share(r.f64("flow_force_left_pct", 0.0..=100.0)),
        // The level's assumptions say.
        jet_angle_cos: crate::Assumptions::default().regulator_jet_cos,
        air_follow_s: r.f64("air_follow_s", 0.0..=60.0),
        air_loss_s: r.f64("air_loss_s", 0.0..=600.0),
    }
}

/// With the knob backed off the whole idle flow must pass at a low pressure.
fn check_residual(r: &mut Reader<'_, '_>, unit: &Unit) {
    if !r.is_clean() {
        return;
    }
    let water = Water::at_celsius(PLATE_WATER_C).isentrope();
    let idle = unit.engine.idle_speed_rad_s;
    let highest = unit
        .kits
        .iter()
        .map(|kit| {
            let mass = kit
                .pump
                .mean_mass_flow(&water, idle / kit.pump.gear_ratio, 0.0);
            unit.regulator
                .static_pressure_pa(0.0, mass, water.atmospheric_density())
        })
        .fold(0.0, f64::max);
    r.check(
        "regulator",
        bar(highest) <= RESIDUAL_MAX_BAR,
        "data-clash-residual",
        vec![
            ("pressure", number(bar(highest), 1)),
            ("limit", number(RESIDUAL_MAX_BAR, 0)),
        ],
    );
}
