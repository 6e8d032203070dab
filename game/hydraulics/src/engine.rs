//! Diesel engine: governed speed between idle and rated with droop, torque curve, inertia,
//! starter, stall, run-down, fuel.

use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// One point of a torque curve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TorquePoint {
    /// Speed, rad/s.
    pub speed_rad_s: f64,
    /// Greatest net torque at the flywheel, N m.
    pub torque_n_m: f64,
}

/// An engine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EngineSpec {
    /// Governed speed with the throttle at 0, rad/s.
    pub idle_speed_rad_s: f64,
    /// Governed speed with the throttle at 1, rad/s.
    pub rated_speed_rad_s: f64,
    /// Rise of speed from full load to none, as a fraction of rated speed. The throttle names
    /// the speed at full load.
    pub droop: f64,
    /// Time constant of the governor, s.
    pub governor_lag_s: f64,
    /// Torque curve over rising speed; held at its ends.
    pub torque_curve: Vec<TorquePoint>,
    /// Inertia of engine, gear and crank seen at the flywheel, kg m2.
    pub inertia_kg_m2: f64,
    /// Torque that turns the engine without fuel, N m.
    pub friction_torque_n_m: f64,
    /// Starter torque at standstill, at the flywheel, N m.
    pub starter_torque_n_m: f64,
    /// Speed at which the starter gives no torque, rad/s.
    pub starter_free_speed_rad_s: f64,
    /// Speed at which it fires, rad/s.
    pub firing_speed_rad_s: f64,
    /// Speed below which a running engine stalls, rad/s.
    pub stall_speed_rad_s: f64,
    /// Indicated efficiency.
    pub indicated_efficiency: f64,
    /// Lower heating value of the fuel, J/kg.
    pub fuel_heat_j_kg: f64,
}

impl EngineSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut r = Ranges::default();
        r.check(
            "engine.rated_speed_rad_s",
            self.rated_speed_rad_s,
            20.0,
            1_000.0,
        );
        let rated = self.rated_speed_rad_s.max(20.0);
        r.check(
            "engine.idle_speed_rad_s",
            self.idle_speed_rad_s,
            10.0,
            rated,
        );
        r.check("engine.droop", self.droop, 1.0e-4, 0.3);
        r.check("engine.governor_lag_s", self.governor_lag_s, 0.0, 2.0);
        r.check(
            "engine.torque_curve.count",
            self.torque_curve.len() as f64,
            1.0,
            64.0,
        );
        let mut last = -1.0;
        for point in &self.torque_curve {
            // Speeds rise from point to point.
            r.check(
                "engine.torque_curve.speed_rad_s",
                point.speed_rad_s,
                last + 1.0,
                2_000.0,
            );
            r.check(
                "engine.torque_curve.torque_n_m",
                point.torque_n_m,
                1.0,
                1.0e6,
            );
            last = point.speed_rad_s;
        }
        r.check("engine.inertia_kg_m2", self.inertia_kg_m2, 0.01, 1.0e4);
        r.check(
            "engine.friction_torque_n_m",
            self.friction_torque_n_m,
            0.1,
            1.0e5,
        );
        r.check(
            "engine.starter_torque_n_m",
            self.starter_torque_n_m,
            0.0,
            1.0e5,
        );
        r.check(
            "engine.starter_free_speed_rad_s",
            self.starter_free_speed_rad_s,
            1.0,
            300.0,
        );
        r.check(
            "engine.firing_speed_rad_s",
            self.firing_speed_rad_s,
            1.0,
            300.0,
        );
        let idle = self.idle_speed_rad_s.max(1.0);
        r.check(
            "engine.stall_speed_rad_s",
            self.stall_speed_rad_s,
            0.5,
            idle,
        );
        r.check(
            "engine.indicated_efficiency",
            self.indicated_efficiency,
            0.05,
            0.6,
        );
        r.check("engine.fuel_heat_j_kg", self.fuel_heat_j_kg, 1.0e7, 1.3e8);
        r.finish()
    }

    /// Speed the governor holds at full load for a throttle position from 0 to 1, rad/s: straight
    /// from idle to rated. Source: \[model\].
    pub fn governed_speed_rad_s(&self, throttle: f64) -> f64 {
        self.idle_speed_rad_s + throttle * (self.rated_speed_rad_s - self.idle_speed_rad_s)
    }

    /// Greatest net torque at a speed, rad/s, N m: straight between the points of the curve.
    /// Source: \[model\].
    pub fn full_torque_n_m(&self, speed_rad_s: f64) -> f64 {
        let curve = &self.torque_curve;
        let (Some(first), Some(last)) = (curve.first(), curve.last()) else {
            return 0.0;
        };
        if speed_rad_s <= first.speed_rad_s {
            return first.torque_n_m;
        }
        for pair in curve.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if speed_rad_s <= b.speed_rad_s {
                let along = (speed_rad_s - a.speed_rad_s) / (b.speed_rad_s - a.speed_rad_s);
                return a.torque_n_m + along * (b.torque_n_m - a.torque_n_m);
            }
        }
        last.torque_n_m
    }
}

/// The engine's state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Engine {
    /// Flywheel speed, rad/s.
    pub speed_rad_s: f64,
    /// It fires.
    pub running: bool,
    /// Fuel rack, 0 to 1 of the full charge.
    pub rack: f64,
}

/// What the driver asks of the engine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demand {
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// Ignition on.
    pub ignition: bool,
    /// Starter turning.
    pub starter: bool,
    /// Share of its torque that the engine has lost.
    pub weak: f64,
}

impl Engine {
    /// Turns for a time step against a load torque at the flywheel (0 or more, N m).
    ///
    /// `J dw/dt = torque - friction - load`; the governor acts on the speed at the end of the step,
    /// so that a stiff one stays stable. Sources: \[newton\], \[model\].
    pub fn step(&mut self, spec: &EngineSpec, demand: Demand, load_n_m: f64, dt_s: f64) {
        if !demand.ignition {
            self.running = false;
        }
        let per_inertia = dt_s / spec.inertia_kg_m2;
        let resisting = spec.friction_torque_n_m + load_n_m.max(0.0);
        let mut speed = self.speed_rad_s - per_inertia * resisting;
        if self.running {
            let left = 1.0 - demand.weak;
            let charge = left * spec.full_torque_n_m(self.speed_rad_s) + spec.friction_torque_n_m;
            let band = spec.droop * spec.rated_speed_rad_s;
            let no_load = spec.governed_speed_rad_s(demand.throttle) + band;
            let share = dt_s / (spec.governor_lag_s + dt_s);
            let kept = (1.0 - share) * self.rack;
            // speed' = speed + g (kept + share (no_load - speed') / band), then the rack is held
            // to its range and the speed follows.
            let gain = per_inertia * charge;
            let free =
                (speed + gain * (kept + share * no_load / band)) / (1.0 + gain * share / band);
            self.rack = kept + share * ((no_load - free) / band).clamp(0.0, 1.0);
            speed += gain * self.rack;
        } else {
            self.rack = 0.0;
            if demand.starter {
                let left = 1.0 - self.speed_rad_s / spec.starter_free_speed_rad_s;
                speed += per_inertia * spec.starter_torque_n_m * left.max(0.0);
            }
        }
        self.speed_rad_s = speed.max(0.0);
        if self.running {
            // Below the stall speed it runs up only as long as the starter helps.
            self.running = self.speed_rad_s >= spec.stall_speed_rad_s || demand.starter;
        } else {
            // Once turning fast enough with fuel it fires; the starter brings it there.
            self.running = demand.ignition && self.speed_rad_s >= spec.firing_speed_rad_s;
        }
    }

    /// Net torque over the greatest at this speed, 0 to 1.
    pub fn load(&self, spec: &EngineSpec) -> f64 {
        let full = spec.full_torque_n_m(self.speed_rad_s);
        let net = self.rack * (full + spec.friction_torque_n_m) - spec.friction_torque_n_m;
        (net / full.max(1.0e-9)).clamp(0.0, 1.0)
    }

    /// Fuel burnt, kg/s: indicated power over indicated efficiency and heating value. The
    /// efficiency is one number for all loads. Sources: \[newton\], \[model\].
    pub fn fuel_rate_kg_s(&self, spec: &EngineSpec) -> f64 {
        if !self.running {
            return 0.0;
        }
        let charge = spec.full_torque_n_m(self.speed_rad_s) + spec.friction_torque_n_m;
        self.rack * charge * self.speed_rad_s / (spec.indicated_efficiency * spec.fuel_heat_j_kg)
    }
}
