//! Plunger pump: what each crank angle delivers, what compressed clearance and leakage take
//! from it, the torque it asks of the shaft, air in its head and a starving suction.

use crate::condition::Condition;
use crate::orifice::round_area_m2;
use crate::spec::{Ranges, SpecError};
use crate::suction::{Passage, SuctionSpec, SuctionWater, follow};
use crate::water::{ATMOSPHERE_PA, CompressionCurve};
use core::f64::consts::TAU;
use serde::{Deserialize, Serialize};

/// Share of the demand below which the suction counts as starved. Source: \[model\].
const STARVED_BELOW: f64 = 0.98;

/// The cylinder whose suction valve leaks where one does.
const LEAKY: u8 = 0;

/// A plunger pump with one kit of plungers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PumpSpec {
    /// Number of cylinders.
    pub cylinders: u8,
    /// Plunger diameter, m.
    pub plunger_diameter_m: f64,
    /// Stroke, m.
    pub stroke_m: f64,
    /// Crank radius over connecting-rod length.
    pub crank_ratio: f64,
    /// Engine turns for one turn of the crank.
    pub gear_ratio: f64,
    /// Clearance volume over stroke volume.
    pub clearance_ratio: f64,
    /// Leakage past the packings while they are under pressure, m3/(s Pa).
    pub leakage_m3_s_pa: f64,
    /// Share of each stroke lost to the lag of the valves.
    pub valve_loss: f64,
    /// Mechanical efficiency, shaft to plungers.
    pub mechanical_efficiency: f64,
    /// Torque that turns the unloaded crank, N m.
    pub friction_torque_n_m: f64,
    /// Greatest force that one rod of the power end stands, N; none where nobody knows.
    pub rod_load_limit_n: Option<f64>,
    /// The suction side.
    pub suction: SuctionSpec,
    /// Time constant with which a starved pump loses its flow, and gets it back, s.
    pub starvation_lag_s: f64,
    /// Air in the head before it is bled, as a fraction of the stroke volume.
    pub initial_air_fraction: f64,
    /// Time constant with which an open air bleed lets the air out, s.
    pub air_bleed_time_s: f64,
}

impl PumpSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut r = Ranges::default();
        r.check("pump.cylinders", f64::from(self.cylinders), 1.0, 12.0);
        r.check(
            "pump.plunger_diameter_m",
            self.plunger_diameter_m,
            1.0e-3,
            0.5,
        );
        r.check("pump.stroke_m", self.stroke_m, 1.0e-3, 1.0);
        r.check("pump.crank_ratio", self.crank_ratio, 0.0, 0.5);
        r.check("pump.gear_ratio", self.gear_ratio, 0.1, 50.0);
        r.check("pump.clearance_ratio", self.clearance_ratio, 0.0, 5.0);
        r.check("pump.leakage_m3_s_pa", self.leakage_m3_s_pa, 0.0, 1.0e-9);
        r.check("pump.valve_loss", self.valve_loss, 0.0, 0.5);
        r.check(
            "pump.mechanical_efficiency",
            self.mechanical_efficiency,
            0.3,
            1.0,
        );
        r.check(
            "pump.friction_torque_n_m",
            self.friction_torque_n_m,
            0.0,
            1.0e5,
        );
        if let Some(limit_n) = self.rod_load_limit_n {
            r.check("pump.rod_load_limit_n", limit_n, 1.0, 1.0e7);
        }
        self.suction.check(&mut r);
        r.check("pump.starvation_lag_s", self.starvation_lag_s, 0.0, 60.0);
        r.check(
            "pump.initial_air_fraction",
            self.initial_air_fraction,
            0.0,
            1.0,
        );
        r.check("pump.air_bleed_time_s", self.air_bleed_time_s, 0.01, 600.0);
        r.finish()
    }

    /// Volume swept in one turn of the crank, m3: `n A stroke`. Source: \[slider_crank\].
    pub fn displacement_m3(&self) -> f64 {
        f64::from(self.cylinders) * round_area_m2(self.plunger_diameter_m) * self.stroke_m
    }

    /// Mean volume swept in a second at a crank speed, m3/s. Source: \[slider_crank\].
    pub fn swept_flow_m3_s(&self, crank_speed_rad_s: f64) -> f64 {
        self.displacement_m3() * crank_speed_rad_s / TAU
    }

    /// Force of a pressure on one plunger and its rod, N: `F = P A`. Source: \[newton\].
    pub fn rod_load_n(&self, pressure_pa: f64) -> f64 {
        pressure_pa * round_area_m2(self.plunger_diameter_m)
    }

    /// Share of a stroke that the water left compressed in the clearance volume leaves to be
    /// delivered, counted at suction density: `1 - c (rho_d/rho_s - 1)`, not below 0. The water
    /// follows the curve given; the give of head and valves is left out. Source: \[continuity\].
    pub fn clearance_efficiency(&self, water: &CompressionCurve, discharge_pa: f64) -> f64 {
        let delivered = water.at(discharge_pa).density;
        let suction = water.at(self.suction.still_pressure_pa).density;
        (1.0 - self.clearance_ratio * (delivered / suction - 1.0)).max(0.0)
    }

    /// Water that comes past the packings at a discharge pressure, m3/s: in proportion to it, and so
    /// many times more as they are worn. Source: \[model\].
    pub fn gland_leak_m3_s(&self, of: &Condition, pressure_pa: f64) -> f64 {
        self.leakage_m3_s_pa * (1.0 + of.packing_worn) * pressure_pa.max(0.0)
    }

    /// Mean mass flow at a crank speed and discharge pressure with a full, bled head, kg/s: the
    /// swept flow less clearance, lag of the valves and a leakage in proportion to pressure.
    /// Sources: \[continuity\], \[model\].
    pub fn mean_mass_flow(
        &self,
        water: &CompressionCurve,
        crank_speed_rad_s: f64,
        pressure_pa: f64,
    ) -> f64 {
        let share = self.clearance_efficiency(water, pressure_pa) * (1.0 - self.valve_loss);
        let net = self.swept_flow_m3_s(crank_speed_rad_s) * share
            - self.leakage_m3_s_pa * pressure_pa.max(0.0);
        water.atmospheric_density() * net.max(0.0)
    }

    /// Mean shaft power for a pressure and a volume flow, W: `P Q / eta_m`, without the friction of
    /// the unloaded crank. Source: \[newton\].
    pub fn shaft_power_w(&self, pressure_pa: f64, flow_m3_s: f64) -> f64 {
        pressure_pa * flow_m3_s / self.mechanical_efficiency
    }

    /// Plunger position above its outermost point over the crank radius, at a crank angle.
    /// Source: \[slider_crank\].
    fn travel(&self, angle_rad: f64) -> f64 {
        let (sin, cos) = libm::sincos(angle_rad);
        let lambda = self.crank_ratio;
        if lambda < 1.0e-6 {
            return 1.0 - cos;
        }
        // The rod runs down the delivery stroke first slowly: 1 - cos + (1 - sqrt(..))/lambda.
        1.0 - cos + (1.0 - (1.0 - lambda * lambda * sin * sin).sqrt()) / lambda
    }

    /// Volume delivered since angle zero up to a crank angle of 0 or more, all cylinders, with
    /// ideal valves, m3. Its differences are exact over any step, so the mean over a turn is
    /// the displacement however long the steps. Source: \[slider_crank\].
    pub fn delivered_m3(&self, crank_angle_rad: f64) -> f64 {
        (0..self.cylinders)
            .map(|k| self.delivered_by_m3(k, crank_angle_rad))
            .sum()
    }

    /// The same of one cylinder, counted from 0. Source: \[slider_crank\].
    fn delivered_by_m3(&self, cylinder: u8, crank_angle_rad: f64) -> f64 {
        let turns = crank_angle_rad / TAU + f64::from(cylinder) / f64::from(self.cylinders);
        let whole = libm::floor(turns);
        let angle = (turns - whole) * TAU;
        let within = if angle < core::f64::consts::PI {
            self.travel(angle)
        } else {
            2.0
        };
        let radius = 0.5 * self.stroke_m;
        (2.0 * whole + within) * radius * round_area_m2(self.plunger_diameter_m)
    }

    /// Volume delivered per radian at a crank angle, m3/rad: the flow's ripple, and the torque
    /// of a pressure. Source: \[slider_crank\].
    pub fn delivery_per_rad_m3(&self, crank_angle_rad: f64) -> f64 {
        (0..self.cylinders)
            .map(|k| self.delivery_of_per_rad_m3(k, crank_angle_rad))
            .sum()
    }

    /// The same of one cylinder, counted from 0. Source: \[slider_crank\].
    fn delivery_of_per_rad_m3(&self, cylinder: u8, crank_angle_rad: f64) -> f64 {
        let lambda = self.crank_ratio;
        let ahead = TAU * f64::from(cylinder) / f64::from(self.cylinders);
        let (sin, cos) = libm::sincos(crank_angle_rad + ahead);
        let speed = sin + lambda * sin * cos / (1.0 - lambda * lambda * sin * sin).sqrt();
        speed.max(0.0) * 0.5 * self.stroke_m * round_area_m2(self.plunger_diameter_m)
    }
}

/// The pump's state.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pump {
    /// Crank angle within a turn, rad.
    pub crank_angle_rad: f64,
    /// Air in the head, as a fraction of the stroke volume.
    pub air_fraction: f64,
    /// Share of each stroke that the suction fills with water.
    pub fill: f64,
    /// The suction brings less than the pump asks for.
    pub starved: bool,
    /// Pressure at its inlet, gauge, Pa.
    pub inlet_pressure_pa: f64,
}

impl Pump {
    /// At rest, not bled, its inlet without pressure.
    pub fn new(spec: &PumpSpec) -> Self {
        Self {
            crank_angle_rad: 0.0,
            air_fraction: spec.initial_air_fraction,
            fill: 1.0,
            starved: false,
            inlet_pressure_pa: 0.0,
        }
    }

    /// Torque a discharge pressure asks of the crank now, N m: `P dV/dangle / eta_m`, without the
    /// friction of the unloaded crank. A cylinder whose suction valve leaks lifts so much less.
    /// Source: \[newton\].
    pub fn torque_n_m(&self, spec: &PumpSpec, of: &Condition, pressure_pa: f64) -> f64 {
        let angle = self.crank_angle_rad;
        let volume_per_rad = spec.delivery_per_rad_m3(angle)
            - of.pump_valve_leak * spec.delivery_of_per_rad_m3(LEAKY, angle);
        pressure_pa.max(0.0) * volume_per_rad * self.share(pressure_pa) / spec.mechanical_efficiency
    }

    /// Share of a stroke left by air and by a starved suction. Air is squeezed to almost
    /// nothing before any water leaves, and swells again on the way back.
    /// Sources: \[thermodynamics\], \[model\].
    fn share(&self, pressure_pa: f64) -> f64 {
        let squeezed = ATMOSPHERE_PA / (ATMOSPHERE_PA + pressure_pa.max(0.0));
        self.fill * (1.0 - self.air_fraction * (1.0 - squeezed))
    }

    /// Turns the crank for a time step; gives the mass flow into the manifold, kg/s.
    pub fn step(
        &mut self,
        spec: &PumpSpec,
        water: &CompressionCurve,
        supply: Supply<'_>,
        crank_speed_rad_s: f64,
        pressure_pa: f64,
        dt_s: f64,
    ) -> f64 {
        self.step_suction(spec, supply, crank_speed_rad_s, dt_s);
        let of = supply.of;
        let from = self.crank_angle_rad;
        let to = from + crank_speed_rad_s * dt_s;
        let leaky = spec.delivered_by_m3(LEAKY, to) - spec.delivered_by_m3(LEAKY, from);
        let swept = spec.delivered_m3(to) - spec.delivered_m3(from) - of.pump_valve_leak * leaky;
        self.crank_angle_rad = to - TAU * libm::floor(to / TAU);
        if swept <= 0.0 {
            // The valves hold what is in the line.
            return 0.0;
        }
        let share = spec.clearance_efficiency(water, pressure_pa)
            * (1.0 - spec.valve_loss)
            * self.share(pressure_pa);
        let leaked = spec.gland_leak_m3_s(of, pressure_pa) * dt_s;
        water.atmospheric_density() * (swept * share - leaked).max(0.0) / dt_s
    }

    fn step_suction(&mut self, spec: &PumpSpec, supply: Supply<'_>, speed: f64, dt_s: f64) {
        let Supply { passage, water, .. } = supply;
        let asked = spec.swept_flow_m3_s(speed);
        let brought = spec.suction.brings_m3_s(&passage, &water, speed);
        let target = if asked > brought {
            brought / asked
        } else {
            1.0
        };
        self.starved = target < STARVED_BELOW;
        // A pump that hardly turns neither empties nor fills its head.
        if asked > 0.0 {
            self.fill += (target - self.fill) * dt_s / (spec.starvation_lag_s + dt_s);
        }
        let drawn = self.fill.min(target) * asked;
        self.inlet_pressure_pa = follow(
            self.inlet_pressure_pa,
            &spec.suction,
            (&passage, &water),
            drawn,
            asked > 0.0,
            dt_s,
        );
        if passage.open > 0.0 {
            let rate = supply.air_bleed_open * passage.open / spec.air_bleed_time_s;
            self.air_fraction /= 1.0 + rate * dt_s;
        }
    }
}

/// How the pump and its suction side stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply<'a> {
    /// The way from tank and booster.
    pub passage: Passage,
    /// The water there.
    pub water: SuctionWater,
    /// Air bleed of the head, 0 to 1.
    pub air_bleed_open: f64,
    /// What has become of strainer, valves and packings.
    pub of: &'a Condition,
}
