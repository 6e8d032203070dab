//! Self-compensating bypass regulator: a poppet held shut by compressed air. It lets through
//! whatever the tool does not take, at nearly constant pressure; the operator's knob sets the
//! air pressure and with it the set point. Backed off, or without air, it passes the whole
//! flow at a low residual pressure.

use crate::condition::Condition;
use crate::constant;
use crate::orifice::{Conductance, round_area_m2};
use crate::outlet::Openings;
use crate::spec::{Ranges, SpecError};
use crate::water::ATMOSPHERE_PA;
use serde::{Deserialize, Serialize};

/// Ratio of heat capacities of air (from memory, 0.1 %). Source: \[memory\].
const AIR_GAMMA: f64 = 1.4;

/// An air-loaded bypass regulator.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RegulatorSpec {
    /// Seat bore, m.
    pub seat_bore_m: f64,
    /// Discharge coefficient of the annular gap.
    pub discharge_coefficient: f64,
    /// Greatest lift, m: with it the residual pressure of the backed-off valve.
    pub max_lift_m: f64,
    /// Moving mass, kg.
    pub moving_mass_kg: f64,
    /// Damping, N s/m.
    pub damping_n_s_m: f64,
    /// Area of the air piston, m2.
    pub air_area_m2: f64,
    /// Air volume behind it, m3.
    pub air_volume_m3: f64,
    /// Air pressure with the knob fully in, Pa.
    pub max_air_pressure_pa: f64,
    /// Force that remains on the poppet without air, N.
    pub residual_preload_n: f64,
    /// Fraction of the theoretical flow force left after the poppet's shape has trimmed it.
    pub flow_force_left: f64,
    /// Cosine of the angle at which the jet leaves the seat. 0.358 368 for the 69 degrees of a
    /// sharp poppet seat (Von Mises; from memory). Sources: \[von_mises1917\], \[memory\].
    pub jet_angle_cos: f64,
    /// Time constant of the air following the knob, s.
    pub air_follow_s: f64,
    /// Time constant of the air escaping when its supply is lost, s.
    pub air_loss_s: f64,
}

impl RegulatorSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut r = Ranges::default();
        r.check("regulator.seat_bore_m", self.seat_bore_m, 1.0e-3, 0.1);
        r.check(
            "regulator.discharge_coefficient",
            self.discharge_coefficient,
            0.1,
            1.0,
        );
        r.check(
            "regulator.max_lift_m",
            self.max_lift_m,
            1.0e-5,
            self.seat_bore_m.max(1.0e-5),
        );
        r.check(
            "regulator.moving_mass_kg",
            self.moving_mass_kg,
            1.0e-3,
            50.0,
        );
        r.check("regulator.damping_n_s_m", self.damping_n_s_m, 0.0, 1.0e7);
        r.check("regulator.air_area_m2", self.air_area_m2, 1.0e-5, 1.0);
        r.check("regulator.air_volume_m3", self.air_volume_m3, 1.0e-6, 1.0);
        r.check(
            "regulator.max_air_pressure_pa",
            self.max_air_pressure_pa,
            1.0e4,
            5.0e6,
        );
        r.check(
            "regulator.residual_preload_n",
            self.residual_preload_n,
            0.0,
            5_000.0,
        );
        r.check("regulator.flow_force_left", self.flow_force_left, 0.0, 1.0);
        r.check("regulator.air_follow_s", self.air_follow_s, 0.0, 60.0);
        r.check("regulator.air_loss_s", self.air_loss_s, 0.0, 600.0);
        r.finish()
    }

    /// Set point at a knob position, Pa: the manifold pressure at which the settled valve just
    /// lifts. While it bypasses, the pressure stands a little higher (its override).
    /// Source: \[newton\].
    pub fn set_pressure_pa(&self, knob: f64) -> f64 {
        self.lifting_pressure_pa(knob * self.max_air_pressure_pa)
    }

    /// Knob position for a set point, Pa, not held to 0 to 1. Source: \[newton\].
    pub fn knob_for(&self, set_pressure_pa: f64) -> f64 {
        let force = set_pressure_pa * round_area_m2(self.seat_bore_m) - self.residual_preload_n;
        force / (self.air_area_m2 * self.max_air_pressure_pa)
    }

    /// Settled pressure at a knob position while a mass flow (kg/s) of a density (kg/m3) is
    /// bypassed, Pa: where the forces of [`Poppet`] balance. Sources: \[newton\], \[merritt1967\].
    pub fn static_pressure_pa(&self, knob: f64, bypass_kg_s: f64, density: f64) -> f64 {
        let air = knob * self.max_air_pressure_pa;
        let poppet = self.poppet(air);
        let mut p = poppet.lifting_pressure_pa().max(1.0);
        for _ in 0..40 {
            // The residual of the full lift stands in when the air cannot hold the poppet down.
            let gap = poppet.gap_conductance_per_m(density);
            let lift = (bypass_kg_s / (gap * p.sqrt())).min(poppet.max_lift_m);
            let held = (poppet.preload_n + poppet.stiffness_n_m * lift)
                / (poppet.seat_area_m2 - poppet.flow_force_area_per_m * lift).max(1.0e-12);
            let root = bypass_kg_s / (gap * poppet.max_lift_m);
            p = 0.5 * (p + held.max(root * root));
        }
        p
    }

    fn lifting_pressure_pa(&self, air_pressure_pa: f64) -> f64 {
        self.poppet(air_pressure_pa).lifting_pressure_pa()
    }

    /// The poppet under an air pressure (gauge, Pa): the air behind it is a spring of stiffness
    /// `k = gamma P A^2 / V`, P being absolute, as long as the lift changes its volume little; the
    /// flow force is `2 Cd pi d x P cos(angle)`, of which the share `flow_force_left` stays.
    ///
    /// Sources: \[thermodynamics\], \[merritt1967\].
    pub fn poppet(&self, air_pressure_pa: f64) -> Poppet {
        let circumference = core::f64::consts::PI * self.seat_bore_m;
        Poppet {
            mass_kg: self.moving_mass_kg,
            seat_area_m2: round_area_m2(self.seat_bore_m),
            gap_cd_width_m: self.discharge_coefficient * circumference,
            damping_n_s_m: self.damping_n_s_m,
            stiffness_n_m: constant::AIR_GAMMA.at(0, AIR_GAMMA)
                * (air_pressure_pa + ATMOSPHERE_PA)
                * self.air_area_m2
                * self.air_area_m2
                / self.air_volume_m3,
            preload_n: self.air_area_m2 * air_pressure_pa + self.residual_preload_n,
            max_lift_m: self.max_lift_m,
            flow_force_area_per_m: self.flow_force_left
                * 2.0
                * self.discharge_coefficient
                * circumference
                * self.jet_angle_cos,
        }
    }
}

/// A poppet on its seat: `m x'' = As P - F0 - k x - c x' - flow force`. Source: \[newton\].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Poppet {
    /// Moving mass, kg.
    pub mass_kg: f64,
    /// Area under pressure when shut, m2.
    pub seat_area_m2: f64,
    /// Discharge coefficient times seat circumference, m: the gap's effective area per lift.
    pub gap_cd_width_m: f64,
    /// Damping, N s/m.
    pub damping_n_s_m: f64,
    /// Spring stiffness, N/m.
    pub stiffness_n_m: f64,
    /// Force that holds it shut, N.
    pub preload_n: f64,
    /// Greatest lift, m.
    pub max_lift_m: f64,
    /// Closing flow force per pressure and lift, m2/m.
    pub flow_force_area_per_m: f64,
}

impl Poppet {
    /// Pressure at which it lifts, Pa: `P = F0 / As`. Source: \[newton\].
    pub fn lifting_pressure_pa(&self) -> f64 {
        self.preload_n / self.seat_area_m2
    }

    /// Conductance of the gap per metre of lift, kg/(s m sqrt Pa), from a density, kg/m3:
    /// `Cd pi d sqrt(2 rho)`. Source: \[bernoulli\].
    pub fn gap_conductance_per_m(&self, density: f64) -> f64 {
        self.gap_cd_width_m * (2.0 * density).sqrt()
    }
}

/// How the poppet stands and moves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Motion {
    /// Lift, m.
    pub lift_m: f64,
    /// Speed of lifting, m/s.
    pub speed_m_s: f64,
}

/// The poppet's lift at the end of a step as a function of the pressure at its end, which the
/// line solver searches together with the bypass flow it gives: `lift = at_zero + gain p`,
/// between the stops. Backward Euler, so no step is too long for it.
/// Sources: \[newton\], \[mathematics\].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LiftResponse {
    at_zero_m: f64,
    gain_m_pa: f64,
    max_lift_m: f64,
    gap_conductance_per_m: f64,
}

impl Motion {
    /// The response over the coming step; the flow force takes the pressure of a step ago.
    pub fn response(
        &self,
        poppet: &Poppet,
        pressure_before_pa: f64,
        density: f64,
        dt_s: f64,
    ) -> LiftResponse {
        let stiffness =
            poppet.stiffness_n_m + poppet.flow_force_area_per_m * pressure_before_pa.max(0.0);
        let inertia = poppet.mass_kg / dt_s;
        let resistance = inertia + poppet.damping_n_s_m + stiffness * dt_s;
        let push = inertia * self.speed_m_s - poppet.preload_n - stiffness * self.lift_m;
        LiftResponse {
            at_zero_m: self.lift_m + dt_s * push / resistance,
            gain_m_pa: dt_s * poppet.seat_area_m2 / resistance,
            max_lift_m: poppet.max_lift_m,
            gap_conductance_per_m: poppet.gap_conductance_per_m(density),
        }
    }

    /// Where it is after so many times the way it made from where it began, between the stops.
    pub fn onward(&self, began: &Motion, times: f64, max_lift_m: f64) -> Motion {
        let lift = began.lift_m + times * (self.lift_m - began.lift_m);
        let lift_m = lift.clamp(0.0, max_lift_m);
        let speed = began.speed_m_s + times * (self.speed_m_s - began.speed_m_s);
        Motion {
            lift_m,
            speed_m_s: if lift_m == lift { speed } else { 0.0 },
        }
    }

    /// Takes over the end of the step.
    pub fn commit(&mut self, response: &LiftResponse, pressure_pa: f64, dt_s: f64) {
        let (lift, gain) = response.lift(pressure_pa);
        // At a stop the poppet has come to rest.
        self.speed_m_s = if gain > 0.0 {
            (lift - self.lift_m) / dt_s
        } else {
            0.0
        };
        self.lift_m = lift;
    }
}

impl LiftResponse {
    /// Lift at a pressure, and its slope (nil at a stop).
    fn lift(&self, pressure_pa: f64) -> (f64, f64) {
        let free = self.at_zero_m + self.gain_m_pa * pressure_pa;
        if free <= 0.0 {
            (0.0, 0.0)
        } else if free >= self.max_lift_m {
            (self.max_lift_m, 0.0)
        } else {
            (free, self.gain_m_pa)
        }
    }

    /// Bypass mass flow, kg/s, and its slope, kg/(s Pa), at a pressure, Pa. Source: \[bernoulli\].
    pub fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        let (lift, gain) = self.lift(pressure_pa);
        if lift <= 0.0 {
            return (0.0, 0.0);
        }
        let unit = Conductance(self.gap_conductance_per_m);
        let per_lift = unit.mass_flow(pressure_pa);
        (
            lift * per_lift,
            lift * unit.slope(pressure_pa) + gain * per_lift,
        )
    }
}

/// The poppet at work in a step of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Valve {
    /// The poppet under its air.
    pub poppet: Poppet,
    /// How it moves.
    pub motion: Motion,
    /// Density of what it lets through once it is out, kg/m3.
    pub density: f64,
    /// Mean mass flow of the step, kg/s.
    pub passed_kg_s: f64,
    /// It does not move.
    stuck: bool,
    /// Area of the worn seat beside the poppet.
    worn: Conductance,
    response: LiftResponse,
}

impl Valve {
    /// A poppet that moves so.
    pub fn new(poppet: Poppet, motion: Motion, density: f64) -> Self {
        Self {
            poppet,
            motion,
            density,
            passed_kg_s: 0.0,
            stuck: false,
            worn: Conductance(0.0),
            response: LiftResponse::default(),
        }
    }
}

impl Valve {
    /// The same in a condition: a poppet that sticks keeps its lift, one that has lost its damping moves
    /// with what is left of it, and a worn seat passes what its share of the area at full lift lets
    /// through. Source: \[bernoulli\].
    pub fn in_condition(mut self, of: &Condition) -> Self {
        self.stuck = of.regulator_stuck;
        self.poppet.damping_n_s_m *= 1.0 - of.regulator_damping_lost;
        let full = self.poppet.gap_conductance_per_m(self.density) * self.poppet.max_lift_m;
        self.worn = Conductance(of.regulator_seat_worn * full);
        self
    }
}

impl Openings for Valve {
    fn begin(&mut self, pressure_pa: f64, dt_s: f64) {
        self.response = if self.stuck {
            LiftResponse {
                at_zero_m: self.motion.lift_m,
                gain_m_pa: 0.0,
                max_lift_m: self.poppet.max_lift_m,
                gap_conductance_per_m: self.poppet.gap_conductance_per_m(self.density),
            }
        } else {
            let poppet = &self.poppet;
            self.motion
                .response(poppet, pressure_pa, self.density, dt_s)
        };
    }

    fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        let (gap, slope) = self.response.flow(pressure_pa);
        (
            gap + self.worn.mass_flow(pressure_pa),
            slope + self.worn.slope(pressure_pa),
        )
    }

    fn commit(&mut self, pressure_pa: f64, dt_s: f64) {
        self.motion.commit(&self.response, pressure_pa, dt_s);
    }

    fn count(&mut self, pressure_pa: f64, weight: f64) {
        self.passed_kg_s += weight * self.flow(pressure_pa).0;
    }

    fn onward(&mut self, began: &Self, times: f64) {
        let top = self.poppet.max_lift_m;
        self.motion = self.motion.onward(&began.motion, times, top);
    }
}

/// The regulator's state: its air, and its poppet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Regulator {
    /// Air pressure behind the piston, gauge, Pa.
    pub air_pressure_pa: f64,
    /// The poppet.
    pub motion: Motion,
}

impl Regulator {
    /// Lets the air follow the knob, or escape, each with its time constant. Source: \[model\].
    pub fn step_air(&mut self, spec: &RegulatorSpec, knob: f64, of: &Condition, dt_s: f64) {
        let (target, lag) = if of.regulator_air_lost {
            (0.0, spec.air_loss_s)
        } else {
            (knob * spec.max_air_pressure_pa, spec.air_follow_s)
        };
        self.air_pressure_pa += (target - self.air_pressure_pa) * dt_s / (lag + dt_s);
    }

    /// Set point of the air as it is now, Pa.
    pub fn set_pressure_pa(&self, spec: &RegulatorSpec) -> f64 {
        spec.lifting_pressure_pa(self.air_pressure_pa)
    }
}
