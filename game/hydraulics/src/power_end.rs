//! Power end of the plunger pump: the pressure lubrication of its crankcase, the oil's heat and its
//! cooler, what cold oil asks of the crank, and the trips that stop the engine.

use crate::oil::OilSpec;
use crate::spec::{Ranges, SpecError};
use core::f64::consts::TAU;
use serde::{Deserialize, Serialize};

/// Heat capacity of the water in the cooler, J/(kg K): of liquid water within one percent between
/// 0 and 100 degC. Source: \[iapws95\].
const WATER_HEAT_J_KG_K: f64 = 4_190.0;

/// Hottest and coldest the oil is told, degC. Source: \[model\].
const HELD_C: (f64, f64) = (-40.0, 200.0);

/// A power end with a crankcase that is lubricated under pressure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PowerEndSpec {
    /// The oil.
    pub oil: OilSpec,
    /// Its mass when filled to the mark, kg.
    pub oil_mass_kg: f64,
    /// What the oil pump brings in one turn of the crank, m3.
    pub delivery_m3: f64,
    /// Pressure at which the oil pump's relief holds, Pa.
    pub relief_pressure_pa: f64,
    /// Leak of all bearings together: flow times dynamic viscosity over pressure, m3.
    pub bearing_leak_m3: f64,
    /// Time constant with which the galleries come to pressure, s.
    pub pressure_lag_s: f64,
    /// Share of the crank's own friction that is of oil films, at the speed and temperature below.
    pub film_share: f64,
    /// Crank speed at which the friction of the pump is given, rad/s.
    pub friction_speed_rad_s: f64,
    /// Temperature of the oil at which it is given, degC.
    pub friction_temperature_c: f64,
    /// Share of the pump's mechanical loss that becomes heat of the oil (the rest warms packings
    /// and water).
    pub loss_to_oil: f64,
    /// Conductance of the clean cooler, oil to suction water, W/K.
    pub cooler_w_k: f64,
    /// Conductance of the case to the air, W/K.
    pub case_w_k: f64,
    /// Temperature of the air, and of the oil at the start, degC.
    pub air_temperature_c: f64,
    /// Oil pressure below which the engine is stopped, Pa.
    pub trip_pressure_pa: f64,
    /// Time from firing until that trip is armed, s.
    pub trip_delay_s: f64,
    /// Oil temperature above which the engine is stopped, degC.
    pub trip_temperature_c: f64,
}

impl PowerEndSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut r = Ranges::default();
        self.oil.check(&mut r);
        for (field, value, min, max) in [
            ("power_end.oil_mass_kg", self.oil_mass_kg, 0.1, 5_000.0),
            ("power_end.delivery_m3", self.delivery_m3, 1.0e-7, 0.1),
            (
                "power_end.relief_pressure_pa",
                self.relief_pressure_pa,
                1.0e4,
                2.0e6,
            ),
            (
                "power_end.bearing_leak_m3",
                self.bearing_leak_m3,
                1.0e-15,
                1.0e-6,
            ),
            ("power_end.pressure_lag_s", self.pressure_lag_s, 0.0, 60.0),
            ("power_end.film_share", self.film_share, 0.0, 1.0),
            (
                "power_end.friction_speed_rad_s",
                self.friction_speed_rad_s,
                1.0,
                1_000.0,
            ),
            (
                "power_end.friction_temperature_c",
                self.friction_temperature_c,
                0.0,
                120.0,
            ),
            ("power_end.loss_to_oil", self.loss_to_oil, 0.0, 1.0),
            ("power_end.cooler_w_k", self.cooler_w_k, 0.0, 1.0e5),
            ("power_end.case_w_k", self.case_w_k, 0.0, 1.0e4),
            (
                "power_end.air_temperature_c",
                self.air_temperature_c,
                -30.0,
                60.0,
            ),
            (
                "power_end.trip_pressure_pa",
                self.trip_pressure_pa,
                0.0,
                self.relief_pressure_pa,
            ),
            ("power_end.trip_delay_s", self.trip_delay_s, 0.0, 120.0),
            (
                "power_end.trip_temperature_c",
                self.trip_temperature_c,
                40.0,
                150.0,
            ),
        ] {
            r.check(field, value, min, max);
        }
        r.finish()
    }

    /// Oil flow at a crank speed, rad/s, m3/s; `lost` is the share of the oil that is gone, with
    /// which the pump draws air. Sources: \[continuity\], \[model\].
    pub fn oil_flow_m3_s(&self, crank_speed_rad_s: f64, lost: f64) -> f64 {
        crank_speed_rad_s / TAU * self.delivery_m3 * (1.0 - lost)
    }

    /// Pressure at which the galleries settle with an oil flow, m3/s, and a dynamic viscosity, Pa s:
    /// laminar through the clearances of the bearings, `p = Q mu / G`, and no higher than the
    /// relief. Sources: \[hagen_poiseuille\], \[model\].
    pub fn settled_pressure_pa(&self, oil_flow_m3_s: f64, viscosity_pa_s: f64) -> f64 {
        (oil_flow_m3_s * viscosity_pa_s / self.bearing_leak_m3).min(self.relief_pressure_pa)
    }

    /// Viscosity at a temperature, degC, over that at which the friction is given.
    /// Source: \[astm_d341\].
    pub fn thickness(&self, oil_c: f64) -> f64 {
        self.oil.kinematic_m2_s(oil_c) / self.oil.kinematic_m2_s(self.friction_temperature_c)
    }

    /// What the friction of the unloaded crank is taken by, for a [thickness](Self::thickness) of
    /// the oil: films as `mu w` (the law of a bearing that runs full of oil and nearly without
    /// load), the rest as it is. The film is taken as warm as the sump, so that a cold crank comes
    /// out somewhat too heavy. Sources: \[petroff1883\], \[model\].
    pub fn friction_factor(&self, crank_speed_rad_s: f64, thickness: f64) -> f64 {
        let faster = crank_speed_rad_s / self.friction_speed_rad_s;
        1.0 - self.film_share + self.film_share * thickness * faster
    }

    /// Heat that the cooler takes from the oil, W, for an oil flow, m3/s, a flow of water, kg/s, and
    /// the temperatures at which both come in, degC; `fouled` is the share of its conductance that
    /// is lost. Sources: \[incropera\].
    pub fn cooled_w(&self, oil_flow_m3_s: f64, oil_c: f64, water: Coolant, fouled: f64) -> f64 {
        let oil_w_k = oil_flow_m3_s * self.oil.density_kg_m3 * self.oil.heat_j_kg_k;
        let water_w_k = water.mass_flow_kg_s * WATER_HEAT_J_KG_K;
        let (least, most) = (oil_w_k.min(water_w_k), oil_w_k.max(water_w_k));
        if least <= 0.0 {
            return 0.0;
        }
        let units = self.cooler_w_k * (1.0 - fouled) / least;
        effectiveness(units, least / most) * least * (oil_c - water.temperature_c)
    }
}

/// Share of the greatest possible heat that a counterflow exchanger passes on, for its number of
/// transfer units n and the ratio c of the smaller to the greater capacity rate:
/// `(1 - exp(-n (1 - c))) / (1 - c exp(-n (1 - c)))`, and `n / (1 + n)` where the rates are equal.
/// Source: \[incropera\].
pub fn effectiveness(transfer_units: f64, capacity_ratio: f64) -> f64 {
    let apart = 1.0 - capacity_ratio;
    if apart < 1.0e-9 {
        return transfer_units / (1.0 + transfer_units);
    }
    let left = libm::exp(-transfer_units * apart);
    (1.0 - left) / (1.0 - capacity_ratio * left)
}

/// The water that comes to the cooler.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coolant {
    /// Mass flow, kg/s.
    pub mass_flow_kg_s: f64,
    /// Temperature, degC.
    pub temperature_c: f64,
}

/// Why the oil has stopped the engine.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum OilTrip {
    /// It has not.
    #[default]
    None,
    /// Too little pressure.
    Pressure,
    /// Too hot.
    Heat,
}

/// What a step of the power end goes by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    /// Crank speed, rad/s.
    pub crank_speed_rad_s: f64,
    /// The engine fires.
    pub fires: bool,
    /// The ignition is on; off takes back a trip.
    pub ignition: bool,
    /// Friction torque of the unloaded crank as it is given, N m.
    pub friction_torque_n_m: f64,
    /// Mechanical loss of the pump besides, W.
    pub loss_w: f64,
    /// The water drawn through the cooler.
    pub coolant: Coolant,
    /// Share of the oil that is gone, 0 to 1.
    pub oil_lost: f64,
    /// Share of the cooler's conductance that is lost, 0 to 1.
    pub cooler_fouled: f64,
}

/// The power end's state.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PowerEnd {
    /// Temperature of the oil, degC.
    pub oil_temperature_c: f64,
    /// Pressure in the galleries, Pa.
    pub oil_pressure_pa: f64,
    /// Dynamic viscosity of the oil, Pa s, and its thickness, of the last [`PowerEnd::refresh`].
    viscosity_pa_s: f64,
    thickness: f64,
    /// How long the engine has fired, s, up to the delay of the trip.
    fired_s: f64,
    /// What has stopped the engine, until the ignition is switched off.
    pub trip: OilTrip,
}

impl PowerEnd {
    /// As cold as the air, at rest.
    pub fn new(spec: &PowerEndSpec) -> Self {
        let mut new = Self {
            oil_temperature_c: spec.air_temperature_c,
            oil_pressure_pa: 0.0,
            viscosity_pa_s: 0.0,
            thickness: 1.0,
            fired_s: 0.0,
            trip: OilTrip::None,
        };
        new.refresh(spec);
        new
    }

    /// Makes it as warm as the friction of the crank is given at: a machine that has worked.
    pub fn warm(&mut self, spec: &PowerEndSpec) {
        self.oil_temperature_c = spec.friction_temperature_c;
        self.refresh(spec);
    }

    /// Takes up the viscosity of the oil as warm as it is now, which may be held over a tick.
    pub fn refresh(&mut self, spec: &PowerEndSpec) {
        self.viscosity_pa_s = spec.oil.dynamic_pa_s(self.oil_temperature_c);
        self.thickness = spec.thickness(self.oil_temperature_c);
    }

    /// What the friction of the unloaded crank is taken by now. Source: \[petroff1883\].
    pub fn friction_factor(&self, spec: &PowerEndSpec, crank_speed_rad_s: f64) -> f64 {
        spec.friction_factor(crank_speed_rad_s, self.thickness)
    }

    /// Goes on by a time step: oil pressure, the oil's heat `m c dT/dt`, and the trips.
    /// Sources: \[thermodynamics\], \[newton\], \[model\].
    pub fn step(&mut self, spec: &PowerEndSpec, now: &Running, dt_s: f64) {
        let flow = spec.oil_flow_m3_s(now.crank_speed_rad_s, now.oil_lost);
        let settled = spec.settled_pressure_pa(flow, self.viscosity_pa_s);
        let share = dt_s / (spec.pressure_lag_s + dt_s);
        self.oil_pressure_pa += share * (settled - self.oil_pressure_pa);

        let factor = self.friction_factor(spec, now.crank_speed_rad_s);
        let rubbed_w = now.friction_torque_n_m * factor * now.crank_speed_rad_s;
        let heat_w = rubbed_w + spec.loss_to_oil * now.loss_w
            - spec.cooled_w(flow, self.oil_temperature_c, now.coolant, now.cooler_fouled)
            - spec.case_w_k * (self.oil_temperature_c - spec.air_temperature_c);
        // Some oil always stays in the galleries.
        let mass_kg = spec.oil_mass_kg * (1.0 - now.oil_lost).max(0.05);
        let warmer = heat_w / (mass_kg * spec.oil.heat_j_kg_k) * dt_s;
        self.oil_temperature_c = (self.oil_temperature_c + warmer).clamp(HELD_C.0, HELD_C.1);

        if !now.ignition {
            self.trip = OilTrip::None;
        }
        if !now.fires {
            self.fired_s = 0.0;
            return;
        }
        self.fired_s = (self.fired_s + dt_s).min(spec.trip_delay_s);
        let armed = self.fired_s >= spec.trip_delay_s;
        if self.trip != OilTrip::None {
            // The first reason stays.
        } else if armed && self.oil_pressure_pa < spec.trip_pressure_pa {
            self.trip = OilTrip::Pressure;
        } else if self.oil_temperature_c > spec.trip_temperature_c {
            self.trip = OilTrip::Heat;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spec() -> PowerEndSpec {
        PowerEndSpec {
            oil: OilSpec {
                viscosity_40_m2_s: 220.0e-6,
                viscosity_100_m2_s: 18.75e-6,
                density_kg_m3: 890.0,
                heat_j_kg_k: 1_900.0,
            },
            oil_mass_kg: 20.0,
            delivery_m3: 2.0e-5,
            relief_pressure_pa: 4.0e5,
            bearing_leak_m3: 1.2e-11,
            pressure_lag_s: 1.0,
            film_share: 0.5,
            friction_speed_rad_s: 50.0,
            friction_temperature_c: 60.0,
            loss_to_oil: 0.6,
            cooler_w_k: 150.0,
            case_w_k: 15.0,
            air_temperature_c: 12.0,
            trip_pressure_pa: 8.0e4,
            trip_delay_s: 8.0,
            trip_temperature_c: 95.0,
        }
    }

    const DT_S: f64 = 0.01;

    fn rated(loss_w: f64) -> Running {
        Running {
            crank_speed_rad_s: 50.0,
            fires: true,
            ignition: true,
            friction_torque_n_m: 20.0,
            loss_w,
            coolant: Coolant {
                mass_flow_kg_s: 0.95,
                temperature_c: 14.0,
            },
            oil_lost: 0.0,
            cooler_fouled: 0.0,
        }
    }

    fn run(spec: &PowerEndSpec, end: &mut PowerEnd, now: &Running, seconds: f64) {
        for _ in 0..(seconds / DT_S).round() as u32 {
            end.refresh(spec);
            end.step(spec, now, DT_S);
        }
    }

    #[test]
    fn a_warm_power_end_turns_as_its_data_say_and_a_cold_one_harder() {
        let spec = spec();
        let mut end = PowerEnd::new(&spec);
        let speed = 50.0;
        let cold = end.friction_factor(&spec, speed);
        end.warm(&spec);
        assert_eq!(end.thickness, 1.0);
        assert!(cold > 1.2 * end.friction_factor(&spec, speed), "{cold}");
    }

    #[test]
    fn the_given_friction_holds_at_the_given_speed_and_temperature_and_cold_oil_asks_for_more() {
        let spec = spec();
        assert!((spec.friction_factor(50.0, spec.thickness(60.0)) - 1.0).abs() < 1e-12);
        assert!(spec.friction_factor(20.0, spec.thickness(0.0)) > 5.0);
        assert!(spec.friction_factor(20.0, spec.thickness(90.0)) < 1.0);
    }

    #[test]
    fn the_relief_holds_cold_oil_and_thin_oil_at_idle_stays_below_it() {
        let spec = spec();
        let at = |speed, c| {
            spec.settled_pressure_pa(spec.oil_flow_m3_s(speed, 0.0), spec.oil.dynamic_pa_s(c))
        };
        assert_eq!(at(20.0, 10.0), spec.relief_pressure_pa);
        assert!(at(20.0, 80.0) < 0.6 * spec.relief_pressure_pa);
        assert_eq!(at(0.0, 10.0), 0.0);
    }

    /// All heat that comes in is in the oil or has gone through cooler and case.
    #[test]
    fn no_heat_is_lost() {
        let spec = spec();
        let mut end = PowerEnd::new(&spec);
        let now = rated(5_000.0);
        let (mut came, mut went) = (0.0, 0.0);
        for _ in 0..60_000 {
            end.refresh(&spec);
            let flow = spec.oil_flow_m3_s(50.0, 0.0);
            came += DT_S * (20.0 * 50.0 * end.friction_factor(&spec, 50.0) + 0.6 * 5_000.0);
            went += DT_S * spec.cooled_w(flow, end.oil_temperature_c, now.coolant, 0.0);
            went += DT_S * 15.0 * (end.oil_temperature_c - 12.0);
            end.step(&spec, &now, DT_S);
        }
        let kept = 20.0 * 1_900.0 * (end.oil_temperature_c - 12.0);
        assert!(
            (kept - (came - went)).abs() < 1e-6 * came,
            "{kept} {came} {went}"
        );
        assert!((45.0..70.0).contains(&end.oil_temperature_c), "{end:?}");
    }

    #[test]
    fn a_fouled_cooler_ends_in_a_trip_by_heat_that_only_the_key_takes_back() {
        let spec = spec();
        let mut end = PowerEnd::new(&spec);
        let fouled = Running {
            cooler_fouled: 0.98,
            ..rated(6_000.0)
        };
        run(&spec, &mut end, &fouled, 60.0);
        assert_eq!(end.trip, OilTrip::None, "{end:?}");
        run(&spec, &mut end, &fouled, 3_600.0);
        assert_eq!(end.trip, OilTrip::Heat, "{end:?}");
        let standing = Running {
            fires: false,
            crank_speed_rad_s: 0.0,
            ..fouled
        };
        run(&spec, &mut end, &standing, 60.0);
        assert_eq!(end.trip, OilTrip::Heat);
        let off = Running {
            ignition: false,
            ..standing
        };
        run(&spec, &mut end, &off, DT_S);
        assert_eq!(end.trip, OilTrip::None);
    }

    #[test]
    fn lost_oil_trips_by_pressure_and_not_before_the_delay() {
        let spec = spec();
        let mut end = PowerEnd::new(&spec);
        let lost = Running {
            oil_lost: 1.0,
            ..rated(0.0)
        };
        run(&spec, &mut end, &lost, 7.9);
        assert_eq!(end.trip, OilTrip::None);
        run(&spec, &mut end, &lost, 0.2);
        assert_eq!(end.trip, OilTrip::Pressure);

        let mut sound = PowerEnd::new(&spec);
        run(&spec, &mut sound, &rated(0.0), 60.0);
        assert_eq!(sound.trip, OilTrip::None);
    }

    #[test]
    fn the_cooler_takes_nothing_without_water_and_never_more_than_there_is() {
        let spec = spec();
        let water = |mass_flow_kg_s| Coolant {
            mass_flow_kg_s,
            temperature_c: 14.0,
        };
        assert_eq!(spec.cooled_w(1.6e-4, 70.0, water(0.0), 0.0), 0.0);
        assert_eq!(spec.cooled_w(0.0, 70.0, water(1.0), 0.0), 0.0);
        let most = 1.6e-4 * 890.0 * 1_900.0 * 56.0;
        let taken = spec.cooled_w(1.6e-4, 70.0, water(1.0), 0.0);
        assert!(0.0 < taken && taken < most, "{taken} of {most}");
        assert!(spec.cooled_w(1.6e-4, 70.0, water(1.0), 0.5) < taken);
        assert_eq!(effectiveness(2.0, 1.0), 2.0 / 3.0);
    }
}
