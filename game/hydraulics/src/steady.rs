//! The operating point a circuit settles to: no ripple, no time.

use crate::controls::HoseEnd;
use crate::gun::Gun;
use crate::hose::HoseSpec;
use crate::nozzle::NozzleSpec;
use crate::orifice::Conductance;
use crate::spec::CircuitSpec;
use crate::water::{ATMOSPHERE_PA, CompressionCurve, Water};
use serde::{Deserialize, Serialize};

/// Pieces a hose's loss is summed over, so that density and viscosity follow the pressure.
const PIECES: u32 = 60;

/// A settled operating point, trigger pulled, dump and bleed shut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct OperatingPoint {
    /// Pressure at the manifold, Pa.
    pub pump_pressure_pa: f64,
    /// Pressure at the gun inlet, Pa.
    pub gun_pressure_pa: f64,
    /// Pressure at the nozzle inlet, Pa.
    pub nozzle_pressure_pa: f64,
    /// Flow of the pump, m3/s at suction density.
    pub pump_flow_m3_s: f64,
    /// Flow of the nozzle, m3/s at suction density.
    pub nozzle_flow_m3_s: f64,
    /// Mass flow of the nozzle, kg/s.
    pub nozzle_mass_flow_kg_s: f64,
    /// Flow of the bypass, m3/s at suction density.
    pub bypass_flow_m3_s: f64,
    /// Flow of the relief valve, m3/s at suction density.
    pub relief_flow_m3_s: f64,
    /// Thrust on the tool, N.
    pub thrust_n: f64,
    /// Engine speed, rad/s.
    pub engine_speed_rad_s: f64,
    /// Engine torque over the greatest at that speed; above 1 the engine cannot hold it.
    pub engine_load: f64,
}

/// What is asked of the circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question {
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// Regulator knob, 0 to 1.
    pub regulator_knob: f64,
    /// What is on the hose, trigger pulled.
    pub hose_end: HoseEnd,
    /// Temperature of the water, degC.
    pub temperature_c: f64,
}

/// Pressure lost along one hose, Pa, from its downstream pressure, Pa, and a mass flow, kg/s: the
/// sum over 60 pieces, with the water of each piece at its pressure.
/// Sources: \[darcy_weisbach\], \[churchill1977\].
pub fn hose_loss_pa(
    hose: &HoseSpec,
    water: &Water,
    downstream_pa: f64,
    mass_flow_kg_s: f64,
) -> f64 {
    let mut piece = hose.cell();
    piece.length_m = hose.length_m / f64::from(PIECES);
    piece.loss = hose.fitting_loss / f64::from(PIECES);
    let mut pressure = downstream_pa;
    for _ in 0..PIECES {
        let density = water.density(ATMOSPHERE_PA + pressure.max(0.0));
        let viscosity = water.viscosity(ATMOSPHERE_PA + pressure.max(0.0));
        let resistance = piece.resistance(mass_flow_kg_s, density, viscosity);
        pressure += resistance * mass_flow_kg_s * mass_flow_kg_s;
    }
    pressure - downstream_pa
}

/// The settled point of a circuit: where the pump's mean flow is what tool, bypass and relief take,
/// and the engine's torque what the pump asks. Sources: \[continuity\], \[newton\].
pub fn operating_point(spec: &CircuitSpec, question: &Question) -> OperatingPoint {
    let water = Water::at_celsius(question.temperature_c);
    let case = Case {
        spec,
        water: &water,
        isentrope: water.isentrope(),
        isotherm: water.isotherm(),
        question,
    };
    // The governor's droop ties speed to load; speed changes little, so this settles fast.
    let mut speed = spec.engine.governed_speed_rad_s(question.throttle);
    let mut point = case.at_engine_speed(speed);
    for _ in 0..30 {
        let held = case.governed_speed(point.engine_load);
        if (held - speed).abs() < 1.0e-9 * speed {
            break;
        }
        speed = held;
        point = case.at_engine_speed(speed);
    }
    point
}

/// The settled point with the engine held at a speed, rad/s.
pub fn operating_point_at_speed(
    spec: &CircuitSpec,
    question: &Question,
    engine_speed_rad_s: f64,
) -> OperatingPoint {
    let water = Water::at_celsius(question.temperature_c);
    Case {
        spec,
        water: &water,
        isentrope: water.isentrope(),
        isotherm: water.isotherm(),
        question,
    }
    .at_engine_speed(engine_speed_rad_s)
}

/// The bore, m, of one round nozzle that passes a mass flow (kg/s) at an inlet pressure (Pa), all
/// else as the nozzle given. Source: \[bernoulli\].
pub fn nozzle_bore_m(
    nozzle: &NozzleSpec,
    water: &CompressionCurve,
    pressure_pa: f64,
    kg_s: f64,
) -> f64 {
    let trial = nozzle.mass_flow(water, pressure_pa);
    nozzle.bore_m * (kg_s / trial).sqrt()
}

/// The place between `low` and `high` where a rising function passes zero, to a part in 1e10 of
/// the bracket. A function that does not pass zero gives the end nearer to it.
///
/// The ITP method (Oliveira and Takahashi, ACM Trans. Math. Softw. 47(1), 2021): a secant that is
/// pulled towards the middle of the bracket, never slower than halving. Source: \[itp2021\].
fn root(low: f64, high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    const HALVINGS: i32 = 34;
    let (mut low, mut high) = (low, high);
    let (mut at_low, mut at_high) = (rising(low), rising(high));
    if at_low >= 0.0 {
        return low;
    }
    if at_high <= 0.0 {
        return high;
    }
    let truncation = 0.2 / (high - low);
    // Half the width that may be left, after the halvings that would take.
    let mut reach = 0.5 * (high - low) * 2.0;
    let close = reach / f64::from(2_u32.pow(17)) / f64::from(2_u32.pow(17));
    for _ in 0..=HALVINGS + 1 {
        let width = high - low;
        if width <= 2.0 * close {
            break;
        }
        let middle = 0.5 * (low + high);
        let secant = (at_high * low - at_low * high) / (at_high - at_low);
        let towards = (middle - secant).signum();
        let step = (truncation * width * width).min((middle - secant).abs());
        let truncated = secant + towards * step;
        let radius = reach - 0.5 * width;
        let place = if (truncated - middle).abs() <= radius {
            truncated
        } else {
            middle - towards * radius
        };
        let at_place = rising(place);
        if at_place > 0.0 {
            (high, at_high) = (place, at_place);
        } else if at_place < 0.0 {
            (low, at_low) = (place, at_place);
        } else {
            return place;
        }
        reach *= 0.5;
    }
    0.5 * (low + high)
}

struct Case<'a> {
    spec: &'a CircuitSpec,
    water: &'a Water,
    isentrope: CompressionCurve,
    isotherm: CompressionCurve,
    question: &'a Question,
}

impl Case<'_> {
    /// Speed the governor holds when its rack must give a load. Source: \[model\].
    fn governed_speed(&self, load: f64) -> f64 {
        let engine = &self.spec.engine;
        let set = engine.governed_speed_rad_s(self.question.throttle);
        let full = engine.full_torque_n_m(set);
        let rack = (load * full + engine.friction_torque_n_m) / (full + engine.friction_torque_n_m);
        set + engine.droop * engine.rated_speed_rad_s * (1.0 - rack.clamp(0.0, 1.0))
    }

    fn at_engine_speed(&self, engine_speed: f64) -> OperatingPoint {
        let crank = engine_speed / self.spec.pump.gear_ratio;
        let pressure = self.manifold_pressure(crank);
        let pumped = self.pumped(crank, pressure);
        let tool = self.tool_flow(pressure);
        let relief = self.spec.relief.flow(pressure).0;
        let (gun, nozzle, thrust) = self.tool_end(tool);
        let rho = self.isentrope.atmospheric_density();
        let torque = (pressure * self.spec.pump.displacement_m3()
            / core::f64::consts::TAU
            / self.spec.pump.mechanical_efficiency
            + self.spec.pump.friction_torque_n_m)
            / self.spec.pump.gear_ratio;
        OperatingPoint {
            pump_pressure_pa: pressure,
            gun_pressure_pa: gun,
            nozzle_pressure_pa: nozzle,
            pump_flow_m3_s: pumped / rho,
            nozzle_flow_m3_s: tool / rho,
            nozzle_mass_flow_kg_s: tool,
            bypass_flow_m3_s: (pumped - tool - relief).max(0.0) / rho,
            relief_flow_m3_s: relief / rho,
            thrust_n: thrust,
            engine_speed_rad_s: engine_speed,
            engine_load: torque / self.spec.engine.full_torque_n_m(engine_speed).max(1.0e-9),
        }
    }

    fn pumped(&self, crank: f64, pressure: f64) -> f64 {
        self.spec
            .pump
            .mean_mass_flow(&self.isentrope, crank, pressure)
    }

    /// The pressure at which the pump's flow equals what tool, bypass and relief take: the
    /// surplus falls as pressure rises.
    fn manifold_pressure(&self, crank: f64) -> f64 {
        root(0.0, 5.0e8, |p| {
            let taken = self.tool_flow(p) + self.bypass(p) + self.spec.relief.flow(p).0;
            taken - self.pumped(crank, p)
        })
    }

    /// Bypass mass flow at a settled pressure. Sources: \[newton\], \[merritt1967\], \[bernoulli\].
    fn bypass(&self, pressure: f64) -> f64 {
        let regulator = &self.spec.regulator;
        let air = self.question.regulator_knob * regulator.max_air_pressure_pa;
        let poppet = regulator.poppet(air);
        let over = poppet.seat_area_m2 * pressure - poppet.preload_n;
        let stiffness = poppet.stiffness_n_m + poppet.flow_force_area_per_m * pressure;
        let lift = (over / stiffness).clamp(0.0, poppet.max_lift_m);
        let gap = poppet.gap_conductance_per_m(self.isentrope.atmospheric_density());
        lift * Conductance(gap).mass_flow(pressure)
    }

    /// Mass flow of hose and tool at a manifold pressure.
    fn tool_flow(&self, manifold: f64) -> f64 {
        if matches!(self.question.hose_end, HoseEnd::Blocked) {
            return 0.0;
        }
        // With no losses at all the flow cannot exceed that of the bare passage.
        let bore = crate::orifice::round_area_m2(self.spec.gun.passage_bore_m);
        let rho = self.isentrope.atmospheric_density();
        let most = bore * (2.0 * rho * manifold.max(0.0)).sqrt() * 4.0;
        root(0.0, most, |m| self.manifold_for(m) - manifold)
    }

    /// Manifold pressure needed for a tool flow.
    fn manifold_for(&self, tool: f64) -> f64 {
        let mut pressure = self.tool_end(tool).0;
        for hose in self.spec.hoses.iter().rev() {
            if pressure > 1.0e9 {
                return pressure;
            }
            pressure += hose_loss_pa(hose, self.water, pressure, tool);
        }
        pressure
    }

    /// Gun and nozzle pressure and thrust at a tool flow.
    fn tool_end(&self, tool: f64) -> (f64, f64, f64) {
        let gun_spec = &self.spec.gun;
        let mut gun = Gun {
            opening: 1.0,
            nozzle_pressure_pa: 0.0,
        };
        if let HoseEnd::Nozzle(nozzle) = &self.question.hose_end {
            gun.nozzle_pressure_pa = nozzle.pressure_for(&self.isotherm, tool).min(1.0e12);
        }
        let outlets = gun.outlets(gun_spec, &self.question.hose_end, &self.isotherm);
        let root = if outlets.nozzle.0 > 0.0 {
            tool / outlets.nozzle.0
        } else {
            0.0
        };
        let jet = gun.jet(
            gun_spec,
            &self.question.hose_end,
            &outlets,
            &self.isotherm,
            tool,
        );
        (root * root, gun.nozzle_pressure_pa, jet.thrust_n)
    }
}

#[cfg(test)]
mod tests {
    use super::root;

    #[test]
    fn the_root_of_a_rising_function_is_found_and_an_end_given_where_there_is_none() {
        let cube = root(0.0, 10.0, |x| x * x * x - 2.0);
        assert!((cube - 1.259_921_049_894_873).abs() < 1e-8);
        assert_eq!(root(0.0, 1.0, |x| x + 1.0), 0.0);
        assert_eq!(root(0.0, 1.0, |x| x - 2.0), 1.0);
        let mut calls = std::cell::Cell::new(0);
        root(0.0, 5e8, |x| {
            calls.set(calls.get() + 1);
            (x / 7e7).sqrt() - 1.0
        });
        assert!(*calls.get_mut() < 20, "{calls:?}");
    }
}
