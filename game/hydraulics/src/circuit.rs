//! The assembled circuit: tank, pump, regulator, dump, bleed, relief, burst disc, hoses, guns, nozzles.
//!
//! [`Circuit::substep`] is the one place where the order of evaluation is written. Pressures
//! are gauge.

use crate::balance::{Balance, Rates};
use crate::bleed::dripping;
use crate::branch::{Branches, SecondInstant};
use crate::breaks::{Breaks, Torn};
use crate::burst_disc::BurstDisc;
use crate::controls::Controls;
use crate::dump::{Dump, DumpAsked};
use crate::engine::{Demand, Engine};
use crate::gun::Gun;
use crate::line::Line;
use crate::orifice::Conductance;
use crate::outlet::Openings;
use crate::power_end::{Coolant, OilTrip, PowerEnd, Running};
use crate::pump::{Pump, Supply};
use crate::regulator::{Regulator, Valve};
use crate::relief::ReliefSpec;
use crate::spec::{CircuitSpec, SpecError};
use crate::storage::Liquid;
use crate::suction::{Passage, SuctionWater};
use crate::tank::Tank;
use crate::units::Temperature;
use crate::water::{ATMOSPHERE_PA, CompressionCurve, Water};
use serde::{Deserialize, Serialize};

/// Shortest and longest step taken; anything else given is held to it, s.
const STEP_RANGE_S: (f64, f64) = (1.0e-6, 1.0 / 60.0);

/// The water that is drawn is taken anew when the tank has changed by so much, K: its vapour pressure
/// changes by a thousandth then. Source: \[model\].
const SAME_WATER_K: f64 = 0.01;

/// The circuit with its whole state. A copy, or one read back from its serialised form, goes on
/// bit for bit like the original.
///
/// The compressibility of the water in the line is that of the temperature the circuit was
/// built with; its viscosity follows the tank.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Circuit {
    spec: CircuitSpec,
    /// What the water in the line and in the pump follows.
    isentrope: CompressionCurve,
    /// What the water brings to the nozzle.
    isotherm: CompressionCurve,
    /// Temperature rise of the bypassed water at the pressure of the tick's start, K.
    bypass_rise_k: f64,
    engine: Engine,
    pump: Pump,
    power_end: Option<PowerEnd>,
    /// The water of the tank as the suction meets it, and the temperature at which that was found, degC.
    suction_water: (SuctionWater, f64),
    regulator: Regulator,
    dump: Dump,
    burst_disc: BurstDisc,
    gun: Gun,
    branches: Branches,
    line: Line,
    breaks: Breaks,
    tank: Tank,
    balance: Balance,
}

/// What the circuit does at the end of a substep. Flows are means over the substep; a volume
/// flow (`_m3_s`) is at suction density.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Instant {
    /// Pressure at the manifold, Pa.
    pub pump_pressure_pa: f64,
    /// Pressure at the gun inlet, Pa.
    pub gun_pressure_pa: f64,
    /// Pressure at the nozzle inlet, Pa.
    pub nozzle_pressure_pa: f64,
    /// Mass flow from the pump into the manifold, kg/s.
    pub pump_mass_flow_kg_s: f64,
    /// The same as volume flow.
    pub pump_flow_m3_s: f64,
    /// Mass flow through the nozzle or out of the open hose end, kg/s.
    pub nozzle_mass_flow_kg_s: f64,
    /// The same as volume flow.
    pub nozzle_flow_m3_s: f64,
    /// Through the regulator.
    pub bypass_flow_m3_s: f64,
    /// Through the dump valve at the manifold.
    pub dump_flow_m3_s: f64,
    /// Through the bleed valve.
    pub bleed_flow_m3_s: f64,
    /// Through the relief valve.
    pub relief_flow_m3_s: f64,
    /// Through the burst disc.
    pub disc_flow_m3_s: f64,
    /// The burst disc has torn.
    pub disc_burst: bool,
    /// Through the dump orifice of a dumping gun.
    pub gun_dump_flow_m3_s: f64,
    /// Out of holes in the hose and torn ends.
    pub hose_leak_m3_s: f64,
    /// The ends of the hose that have come loose.
    pub torn: Torn,
    /// Past the packings of the plungers.
    pub gland_leak_m3_s: f64,
    /// Density at which volume flows are quoted, kg/m3.
    pub suction_density_kg_m3: f64,
    /// Speed of the jet as it leaves, m/s.
    pub jet_speed_m_s: f64,
    /// Thrust of the jet on the tool, N.
    pub thrust_n: f64,
    /// Engine speed, rad/s.
    pub engine_speed_rad_s: f64,
    /// Crank speed of the pump, rad/s.
    pub crank_speed_rad_s: f64,
    /// Engine torque over the greatest at its speed, 0 to 1.
    pub engine_load: f64,
    /// The engine fires.
    pub engine_running: bool,
    /// Fuel burnt, kg/s.
    pub fuel_rate_kg_s: f64,
    /// The suction brings less than the pump asks for: it knocks.
    pub starved: bool,
    /// Share of each stroke filled with water.
    pub pump_fill: f64,
    /// Air in the pump head, as a fraction of the stroke volume.
    pub air_fraction: f64,
    /// Pressure at the inlet of the pump, Pa.
    pub inlet_pressure_pa: f64,
    /// Pressure of the power end's oil, Pa; 0 without one.
    pub oil_pressure_pa: f64,
    /// Temperature of the power end's oil, degC; 0 without one.
    pub oil_temperature_c: f64,
    /// Why the oil has stopped the engine.
    pub oil_trip: OilTrip,
    /// Set point of the regulator as its air is now, Pa.
    pub regulator_set_pa: f64,
    /// Lift of the regulator's poppet, m.
    pub regulator_lift_m: f64,
    /// Opening of the dump valve, 0 to 1.
    pub dump_opening: f64,
    /// Opening of the gun's valve, 0 to 1.
    pub gun_opening: f64,
    /// The second tool.
    pub second: SecondInstant,
    /// Water comes from the bleed.
    pub dripping: bool,
    /// Temperature of the tank, degC.
    pub tank_temperature_c: f64,
}

/// A view of what a circuit holds, for gauges, drawing and tests.
#[derive(Clone, Copy, Debug)]
pub struct CircuitState<'a> {
    /// The engine.
    pub engine: &'a Engine,
    /// The pump.
    pub pump: &'a Pump,
    /// Its power end.
    pub power_end: Option<&'a PowerEnd>,
    /// The regulator.
    pub regulator: &'a Regulator,
    /// The dump valve.
    pub dump: &'a Dump,
    /// The burst disc.
    pub burst_disc: &'a BurstDisc,
    /// The gun.
    pub gun: &'a Gun,
    /// Isolating valves and the second tool.
    pub branches: &'a Branches,
    /// Manifold, hoses and gun.
    pub line: &'a Line,
    /// The tank.
    pub tank: &'a Tank,
    /// Where the water went.
    pub balance: &'a Balance,
}

impl Circuit {
    /// A circuit at rest: engine off, dump open, everything full of water at no pressure, the
    /// pump head not bled. The tank and the line are at `water_temperature`.
    pub fn new(spec: CircuitSpec, water_temperature: Temperature) -> Result<Self, Vec<SpecError>> {
        spec.validate()?;
        let water = Water::at_celsius(water_temperature.celsius());
        let isentrope = water.isentrope();
        let (branches, line) = Branches::lay(
            &spec.branch,
            &spec.hoses,
            spec.gun.volume_m3,
            |trunk, ways| {
                let liquid = Liquid::Water(isentrope);
                Line::branched(liquid, spec.manifold_volume_m3, trunk, ways)
            },
        );
        let mut circuit = Self {
            isentrope,
            isotherm: water.isotherm(),
            bypass_rise_k: 0.0,
            engine: Engine::default(),
            pump: Pump::new(&spec.pump),
            power_end: spec.power_end.as_ref().map(PowerEnd::new),
            suction_water: (SuctionWater::of(&water), water.temperature_c()),
            regulator: Regulator::default(),
            dump: Dump::NORMALLY_OPEN,
            burst_disc: BurstDisc::default(),
            gun: Gun::RELEASED,
            branches,
            line,
            breaks: Breaks::default(),
            tank: Tank::new(&spec.tank, water.temperature_c()),
            balance: Balance::default(),
            spec,
        };
        circuit.begin_tick();
        Ok(circuit)
    }

    /// Warms the oil of the power end, as work would have.
    pub fn warm(&mut self) {
        if let (Some(end), Some(spec)) = (&mut self.power_end, &self.spec.power_end) {
            end.warm(spec);
        }
    }

    /// Refreshes what may be held over a tick: friction factors, the heat of the bypass, the water
    /// of the suction and the thickness of the oil.
    pub fn begin_tick(&mut self) {
        let water = Water::at_celsius(self.tank.temperature_c);
        self.line.refresh_friction(&water);
        // The pump's work stays in what is let down again; its leakage and its valves are not in it.
        let work = self.isentrope.work_j_kg(self.line.head_pa());
        self.bypass_rise_k = water.rise_by_k(work);
        if (self.tank.temperature_c - self.suction_water.1).abs() > SAME_WATER_K {
            self.suction_water = (SuctionWater::of(&water), self.tank.temperature_c);
        }
        if let (Some(end), Some(spec)) = (&mut self.power_end, &self.spec.power_end) {
            end.refresh(spec);
        }
    }

    /// Steps everything once, in this order.
    pub fn substep(&mut self, controls: &Controls, dt_s: f64) -> Instant {
        let controls = &controls.held();
        let dt_s = if dt_s.is_nan() { STEP_RANGE_S.0 } else { dt_s };
        let dt_s = dt_s.clamp(STEP_RANGE_S.0, STEP_RANGE_S.1);
        let of = &controls.condition;
        let spec = &self.spec;
        let water = &self.isentrope;
        let rho = water.atmospheric_density();
        let before_pa = self.line.head_pa();

        // 1. The engine turns against the torque of the pressure there was.
        let pushed_n_m = self.pump.torque_n_m(&spec.pump, of, before_pa);
        let oil = self.power_end.as_mut().zip(spec.power_end.as_ref());
        let turned = self.engine.speed_rad_s / spec.pump.gear_ratio;
        let rubs = oil
            .as_ref()
            .map_or(1.0, |(end, oil)| end.friction_factor(oil, turned));
        let load = (pushed_n_m + spec.pump.friction_torque_n_m * rubs) / spec.pump.gear_ratio;
        let tripped = oil
            .as_ref()
            .is_some_and(|(end, _)| end.trip != OilTrip::None);
        let demand = Demand {
            throttle: controls.throttle,
            ignition: controls.ignition && !tripped,
            starter: controls.starter,
            weak: of.engine_weak,
        };
        self.engine.step(&spec.engine, demand, load, dt_s);
        let crank_speed = self.engine.speed_rad_s / spec.pump.gear_ratio;

        // 2. The pump delivers what its crank sweeps.
        let supply = Supply {
            passage: Passage {
                open: controls.supply_open,
                fouled: of.strainer_fouled,
                lost: of.supply_lost,
            },
            water: self.suction_water.0,
            air_bleed_open: controls.air_bleed_open,
            of,
        };
        let pumped = self
            .pump
            .step(&spec.pump, water, supply, crank_speed, before_pa, dt_s);
        if let Some((end, oil)) = oil {
            let running = Running {
                crank_speed_rad_s: crank_speed,
                fires: self.engine.running,
                ignition: controls.ignition,
                friction_torque_n_m: spec.pump.friction_torque_n_m,
                loss_w: (1.0 - spec.pump.mechanical_efficiency) * pushed_n_m * crank_speed,
                coolant: Coolant {
                    mass_flow_kg_s: pumped,
                    temperature_c: self.tank.temperature_c,
                },
                oil_lost: of.oil_lost,
                cooler_fouled: of.cooler_fouled,
            };
            end.step(oil, &running, dt_s);
        }

        // 3. Valves travel.
        let knob = controls.regulator_knob;
        self.regulator.step_air(&spec.regulator, knob, of, dt_s);
        let asked = DumpAsked {
            local_open: controls.dump_local_open,
            remote_open: controls.dump_remote_open,
        };
        self.dump.step(&spec.dump, asked, of, dt_s);
        self.gun.step(&spec.gun, controls.trigger, of, dt_s);
        let disc = spec.burst_disc.as_ref().map_or(Conductance(0.0), |disc| {
            self.burst_disc.step(disc, before_pa, dt_s);
            self.burst_disc.conductance(disc, rho)
        });

        // 4. Line, regulator poppet and every outlet are solved together.
        let mut manifold = Manifold {
            bypass: Valve::new(
                spec.regulator.poppet(self.regulator.air_pressure_pa),
                self.regulator.motion,
                rho,
            )
            .in_condition(of),
            dump: self.dump.conductance(&spec.dump, of, rho),
            bleed: spec.bleed.conductance(controls.bleed_open, rho),
            relief: of.of_relief(&spec.relief),
            disc,
            left: Left::default(),
        };
        let end = of.of_end(&controls.hose_end);
        let outlets = self.gun.outlets(&spec.gun, &end, &self.isotherm);
        self.line.open(0, outlets.total());
        let line = &mut self.line;
        let second = self
            .branches
            .open(&spec.branch, controls, &self.isotherm, line, dt_s);
        self.breaks.follow(of, line, spec.string_cells(), rho);
        self.line.step(dt_s, pumped, &mut manifold);
        self.regulator.motion = manifold.bypass.motion;
        let bypassed = manifold.bypass.passed_kg_s;
        let left = manifold.left;

        // 5. Jet and thrust from what left.
        let (nozzle_flow, gun_dumped) = outlets.shares(self.line.opening_kg_s(0));
        let jet = self
            .gun
            .jet(&spec.gun, &end, &outlets, &self.isotherm, nozzle_flow);
        let second = self.branches.jet(
            &spec.branch,
            &controls.second.end,
            second.as_ref(),
            &self.isotherm,
            &self.line,
        );

        // 6. The tank takes back the bypass.
        self.tank
            .step(&spec.tank, pumped, bypassed, self.bypass_rise_k, dt_s);
        let hose_leak = self.breaks.flow_kg_s(&self.line);
        let gland_leak = if crank_speed > 0.0 {
            rho * spec.pump.gland_leak_m3_s(of, before_pa)
        } else {
            0.0
        };
        let rates = Rates {
            pumped,
            tool: nozzle_flow + second.nozzle_mass_flow_kg_s,
            gun_dump: gun_dumped + second.dump_mass_flow_kg_s,
            dump: left.dump,
            bleed: left.bleed,
            relief: left.relief,
            disc: left.disc,
            hose: hose_leak,
            gland: gland_leak,
            bypass: bypassed,
            returned: bypassed * spec.tank.bypass_return,
        };
        self.balance.add(&rates, dt_s);

        Instant {
            pump_pressure_pa: reported(self.line.head_pa()),
            gun_pressure_pa: reported(self.line.end_pa()),
            nozzle_pressure_pa: self.gun.nozzle_pressure_pa,
            pump_mass_flow_kg_s: pumped,
            pump_flow_m3_s: pumped / rho,
            nozzle_mass_flow_kg_s: nozzle_flow,
            nozzle_flow_m3_s: nozzle_flow / rho,
            bypass_flow_m3_s: bypassed / rho,
            dump_flow_m3_s: left.dump / rho,
            bleed_flow_m3_s: left.bleed / rho,
            relief_flow_m3_s: left.relief / rho,
            disc_flow_m3_s: left.disc / rho,
            disc_burst: self.burst_disc.burst,
            gun_dump_flow_m3_s: gun_dumped / rho,
            hose_leak_m3_s: hose_leak / rho,
            torn: self.breaks.torn(&self.line),
            gland_leak_m3_s: gland_leak / rho,
            suction_density_kg_m3: rho,
            jet_speed_m_s: jet.speed_m_s,
            thrust_n: jet.thrust_n,
            engine_speed_rad_s: self.engine.speed_rad_s,
            crank_speed_rad_s: crank_speed,
            engine_load: self.engine.load(&spec.engine),
            engine_running: self.engine.running,
            fuel_rate_kg_s: self.engine.fuel_rate_kg_s(&spec.engine),
            starved: self.pump.starved,
            pump_fill: self.pump.fill,
            air_fraction: self.pump.air_fraction,
            inlet_pressure_pa: self.pump.inlet_pressure_pa,
            oil_pressure_pa: self.power_end.map_or(0.0, |end| end.oil_pressure_pa),
            oil_temperature_c: self.power_end.map_or(0.0, |end| end.oil_temperature_c),
            oil_trip: self.power_end.map_or(OilTrip::None, |end| end.trip),
            regulator_set_pa: self.regulator.set_pressure_pa(&spec.regulator),
            regulator_lift_m: self.regulator.motion.lift_m,
            dump_opening: self.dump.opening,
            gun_opening: self.gun.opening,
            second,
            dripping: dripping(left.bleed),
            tank_temperature_c: self.tank.temperature_c,
        }
    }

    /// Begins the balance of the water anew.
    pub fn count_anew(&mut self) {
        self.balance = Balance::default();
    }

    /// What the circuit is made of.
    pub fn spec(&self) -> &CircuitSpec {
        &self.spec
    }

    /// What it holds.
    pub fn state(&self) -> CircuitState<'_> {
        CircuitState {
            engine: &self.engine,
            pump: &self.pump,
            power_end: self.power_end.as_ref(),
            regulator: &self.regulator,
            dump: &self.dump,
            burst_disc: &self.burst_disc,
            gun: &self.gun,
            branches: &self.branches,
            line: &self.line,
            tank: &self.tank,
            balance: &self.balance,
        }
    }
}

/// Every way out of the manifold but the hose.
#[derive(Clone)]
struct Manifold {
    bypass: Valve,
    dump: Conductance,
    bleed: Conductance,
    relief: ReliefSpec,
    disc: Conductance,
    left: Left,
}

/// Mean mass flows of a step besides the bypass, kg/s.
#[derive(Clone, Copy, Default)]
struct Left {
    dump: f64,
    bleed: f64,
    relief: f64,
    disc: f64,
}

impl Openings for Manifold {
    fn begin(&mut self, pressure_pa: f64, dt_s: f64) {
        self.bypass.begin(pressure_pa, dt_s);
    }

    fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        let open = Conductance(self.dump.0 + self.bleed.0 + self.disc.0);
        let (bypass, bypass_slope) = self.bypass.flow(pressure_pa);
        let (relief, relief_slope) = self.relief.flow(pressure_pa);
        (
            open.mass_flow(pressure_pa) + bypass + relief,
            open.slope(pressure_pa) + bypass_slope + relief_slope,
        )
    }

    fn commit(&mut self, pressure_pa: f64, dt_s: f64) {
        self.bypass.commit(pressure_pa, dt_s);
    }

    fn count(&mut self, pressure_pa: f64, weight: f64) {
        self.bypass.count(pressure_pa, weight);
        self.left.dump += weight * self.dump.mass_flow(pressure_pa);
        self.left.bleed += weight * self.bleed.mass_flow(pressure_pa);
        self.left.relief += weight * self.relief.flow(pressure_pa).0;
        self.left.disc += weight * self.disc.mass_flow(pressure_pa);
    }

    fn onward(&mut self, began: &Self, times: f64) {
        self.bypass.onward(&began.bypass, times);
    }
}

/// Gauge pressure as an instrument could show it: never below vacuum.
fn reported(pressure_pa: f64) -> f64 {
    pressure_pa.max(-ATMOSPHERE_PA)
}
