//! Suction of the plunger pump: what tank, booster, valve, strainer and line can bring before the
//! water boils in the cylinders.

use crate::constant;
use crate::orifice::round_area_m2;
use crate::spec::Ranges;
use crate::water::{ATMOSPHERE_PA, Water};
use core::f64::consts::TAU;
use serde::{Deserialize, Serialize};

/// Standard acceleration of free fall, m/s2 (exact by definition).
const GRAVITY_M_S2: f64 = 9.806_65;

/// Time constant of the pressure in the suction line, s. Source: \[model\].
const INLET_LAG_S: f64 = 0.3;

/// Most of the strainer that can be blocked: what is left then lets next to nothing through.
/// Source: \[model\].
const MOST_FOULED: f64 = 0.999;

/// The suction side. Losses are in velocity heads of the line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SuctionSpec {
    /// Pressure of tank and booster at the pump without flow, gauge, Pa.
    pub still_pressure_pa: f64,
    /// By how much the booster's pressure falls with the square of the flow, Pa s2/m6.
    pub fall_pa_s2_m6: f64,
    /// Bore of the line, m.
    pub bore_m: f64,
    /// Length of the line, m.
    pub length_m: f64,
    /// Loss of the line with its bends.
    pub line_loss: f64,
    /// Loss of the supply valve when fully open.
    pub valve_loss: f64,
    /// Loss of the clean strainer.
    pub strainer_loss: f64,
    /// The Hydraulic Institute's factor C of the acceleration head for the number of plungers,
    /// min/s.
    pub unsteadiness_min_s: f64,
    /// Its factor K for how springy the liquid is.
    pub springiness: f64,
    /// Net positive suction head that the pump requires at the speed below, m.
    pub npsh_required_m: f64,
    /// The part of it that opens the suction valves at any speed, m.
    pub npsh_valves_m: f64,
    /// Crank speed at which it is required, rad/s.
    pub npsh_speed_rad_s: f64,
}

/// How the way to the pump stands. Fractions are 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Opening of the supply valve.
    pub open: f64,
    /// Share of the strainer that is blocked.
    pub fouled: f64,
    /// Share of the supply that has failed.
    pub lost: f64,
}

impl Passage {
    /// All open, clean and there.
    pub const CLEAR: Self = Self {
        open: 1.0,
        fouled: 0.0,
        lost: 0.0,
    };
}

/// The water as the suction meets it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SuctionWater {
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Vapour pressure, absolute, Pa.
    pub vapour_pa: f64,
}

impl SuctionWater {
    /// Of water at atmospheric pressure.
    pub fn of(water: &Water) -> Self {
        Self {
            density_kg_m3: water.atmospheric_density(),
            vapour_pa: water.vapour_pressure(),
        }
    }

    /// Gauge pressure at which it boils, Pa.
    pub fn boils_at_pa(&self) -> f64 {
        self.vapour_pa - ATMOSPHERE_PA
    }
}

impl SuctionSpec {
    /// A short suction that brings a flow, m3/s, at a crank speed, rad/s, and no more: for machines
    /// of which nothing else is known. All the head goes into its strainer. Source: \[model\].
    pub fn that_brings(still_pressure_pa: f64, flow_m3_s: f64, crank_speed_rad_s: f64) -> Self {
        let mut spec = Self {
            still_pressure_pa,
            fall_pa_s2_m6: 0.0,
            bore_m: 0.05,
            length_m: 0.0,
            line_loss: 0.0,
            valve_loss: 0.0,
            strainer_loss: 0.0,
            unsteadiness_min_s: 0.0,
            springiness: 1.4,
            npsh_required_m: 5.0,
            npsh_valves_m: 2.0,
            npsh_speed_rad_s: crank_speed_rad_s,
        };
        let water = SuctionWater::of(&Water::at_celsius(20.0));
        let head_m = spec.spare_m(crank_speed_rad_s, &water);
        let speed_m_s = flow_m3_s / round_area_m2(spec.bore_m);
        spec.strainer_loss = head_m * 2.0 * gravity() / (speed_m_s * speed_m_s);
        spec
    }

    pub(crate) fn check(&self, r: &mut Ranges) {
        for (field, value, min, max) in [
            (
                "suction.still_pressure_pa",
                self.still_pressure_pa,
                0.0,
                2.0e6,
            ),
            ("suction.fall_pa_s2_m6", self.fall_pa_s2_m6, 0.0, 1.0e18),
            ("suction.bore_m", self.bore_m, 1.0e-3, 1.0),
            ("suction.length_m", self.length_m, 0.0, 100.0),
            ("suction.line_loss", self.line_loss, 0.0, 1.0e3),
            ("suction.valve_loss", self.valve_loss, 0.0, 1.0e3),
            ("suction.strainer_loss", self.strainer_loss, 0.0, 1.0e12),
            (
                "suction.unsteadiness_min_s",
                self.unsteadiness_min_s,
                0.0,
                1.0,
            ),
            ("suction.springiness", self.springiness, 1.0, 5.0),
            ("suction.npsh_required_m", self.npsh_required_m, 0.0, 30.0),
            (
                "suction.npsh_valves_m",
                self.npsh_valves_m,
                0.0,
                self.npsh_required_m.max(0.0),
            ),
            (
                "suction.npsh_speed_rad_s",
                self.npsh_speed_rad_s,
                1.0,
                1_000.0,
            ),
        ] {
            r.check(field, value, min, max);
        }
    }

    /// Net positive suction head that the pump requires at a crank speed, m: a part that opens its
    /// valves, and one with the square of the speed. Source: \[model\].
    pub fn npsh_required_at_m(&self, crank_speed_rad_s: f64) -> f64 {
        let faster = crank_speed_rad_s / self.npsh_speed_rad_s;
        self.npsh_valves_m + (self.npsh_required_m - self.npsh_valves_m) * faster * faster
    }

    /// Head that it takes to speed the water in the line up and down with the plungers, m, at a mean
    /// flow, m3/s, and a crank speed, rad/s: `h = L V N C / (K g)`, N in turns a minute.
    /// Source: \[hydraulic_institute\].
    pub fn acceleration_head_m(&self, flow_m3_s: f64, crank_speed_rad_s: f64) -> f64 {
        let speed_m_s = flow_m3_s / round_area_m2(self.bore_m);
        let turns_min = 60.0 * crank_speed_rad_s / TAU;
        self.length_m * speed_m_s * turns_min * self.unsteadiness_min_s
            / (self.springiness * gravity())
    }

    /// Velocity heads lost on the way: a valve that is open to a share has its loss over the square
    /// of it, a strainer of which a share is blocked likewise by what is left.
    /// Sources: \[bernoulli\], \[model\].
    fn loss(&self, passage: &Passage) -> f64 {
        let left = 1.0 - passage.fouled.min(MOST_FOULED);
        self.line_loss
            + self.valve_loss / (passage.open * passage.open)
            + self.strainer_loss / (left * left)
    }

    /// Pressure lost from standstill to a flow, over the square of the flow, Pa s2/m6.
    /// Source: \[bernoulli\].
    fn resistance_pa_s2_m6(&self, passage: &Passage, water: &SuctionWater) -> f64 {
        let area = round_area_m2(self.bore_m);
        self.fall_pa_s2_m6 + 0.5 * water.density_kg_m3 * self.loss(passage) / (area * area)
    }

    /// Gauge pressure at the pump's inlet at a mean flow, m3/s, Pa; not below that at which the
    /// water boils. Source: \[bernoulli\].
    pub fn inlet_pressure_pa(
        &self,
        passage: &Passage,
        water: &SuctionWater,
        flow_m3_s: f64,
    ) -> f64 {
        let boils = water.boils_at_pa();
        if passage.open <= 0.0 {
            return boils;
        }
        let still = self.still_pressure_pa * (1.0 - passage.lost);
        let lost = self.resistance_pa_s2_m6(passage, water) * flow_m3_s * flow_m3_s;
        (still - lost).max(boils)
    }

    /// Net positive suction head that there is at a mean flow, m3/s, and a crank speed, rad/s, m:
    /// `(p - p_v) / (rho g)` at the inlet less the acceleration head.
    /// Sources: \[bernoulli\], \[hydraulic_institute\].
    pub fn npsh_available_m(
        &self,
        passage: &Passage,
        water: &SuctionWater,
        flow_m3_s: f64,
        crank_speed_rad_s: f64,
    ) -> f64 {
        let inlet = self.inlet_pressure_pa(passage, water, flow_m3_s);
        (inlet - water.boils_at_pa()) / (water.density_kg_m3 * gravity())
            - self.acceleration_head_m(flow_m3_s, crank_speed_rad_s)
    }

    /// Head beyond what the pump requires, without any flow, m.
    fn spare_m(&self, crank_speed_rad_s: f64, water: &SuctionWater) -> f64 {
        let still = self.still_pressure_pa - water.boils_at_pa();
        still / (water.density_kg_m3 * gravity()) - self.npsh_required_at_m(crank_speed_rad_s)
    }

    /// The most that comes at a crank speed, rad/s, m3/s: the flow at which the head that there is
    /// has fallen to that required. With a the loss over the square of the flow, b the acceleration
    /// head over the flow and h the head to spare, `Q = 2 h / (b + sqrt(b^2 + 4 a h))`. What has
    /// failed of the supply is missing in the flow.
    /// Sources: \[mathematics\], \[hydraulic_institute\], \[model\].
    pub fn brings_m3_s(
        &self,
        passage: &Passage,
        water: &SuctionWater,
        crank_speed_rad_s: f64,
    ) -> f64 {
        let spare = self.spare_m(crank_speed_rad_s, water);
        if passage.open <= 0.0 || spare <= 0.0 {
            return 0.0;
        }
        let per_square =
            self.resistance_pa_s2_m6(passage, water) / (water.density_kg_m3 * gravity());
        let per_flow = self.acceleration_head_m(1.0, crank_speed_rad_s);
        let root = (per_flow * per_flow + 4.0 * per_square * spare).sqrt();
        (1.0 - passage.lost) * 2.0 * spare / (per_flow + root).max(f64::MIN_POSITIVE)
    }
}

fn gravity() -> f64 {
    constant::GRAVITY.at(0, GRAVITY_M_S2)
}

/// Follows the pressure at the inlet, gauge, Pa, through a time step with the flow that the pump
/// draws, m3/s. Behind a shut valve a pump that turns draws the line empty, and one that stands
/// leaves it as it is. Source: \[model\].
pub(crate) fn follow(
    inlet_pa: f64,
    spec: &SuctionSpec,
    supply: (&Passage, &SuctionWater),
    drawn_m3_s: f64,
    turns: bool,
    dt_s: f64,
) -> f64 {
    let (passage, water) = supply;
    if passage.open <= 0.0 && !turns {
        return inlet_pa;
    }
    let settles = spec.inlet_pressure_pa(passage, water, drawn_m3_s);
    inlet_pa + (settles - inlet_pa) * dt_s / (INLET_LAG_S + dt_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spec() -> SuctionSpec {
        SuctionSpec {
            still_pressure_pa: 3.0e5,
            fall_pa_s2_m6: 8.5e10,
            bore_m: 0.032,
            length_m: 3.0,
            line_loss: 6.0,
            valve_loss: 0.5,
            strainer_loss: 4.0,
            unsteadiness_min_s: 0.066,
            springiness: 1.4,
            npsh_required_m: 6.0,
            npsh_valves_m: 2.0,
            npsh_speed_rad_s: 52.0,
        }
    }

    fn water(celsius: f64) -> SuctionWater {
        SuctionWater::of(&Water::at_celsius(celsius))
    }

    /// By its own definition, over speeds, warmth, valve and strainer.
    #[test]
    fn at_the_flow_that_comes_the_head_is_just_what_is_required() {
        for celsius in [5.0, 20.0, 45.0] {
            for speed in [20.0, 52.0, 70.0] {
                for (open, fouled) in [(1.0, 0.0), (0.3, 0.0), (1.0, 0.7), (0.5, 0.9)] {
                    let passage = Passage {
                        open,
                        fouled,
                        lost: 0.0,
                    };
                    let w = water(celsius);
                    let flow = spec().brings_m3_s(&passage, &w, speed);
                    let there = spec().npsh_available_m(&passage, &w, flow, speed);
                    let asked = spec().npsh_required_at_m(speed);
                    assert!((there - asked).abs() < 1e-9 * asked, "{passage:?} {speed}");
                }
            }
        }
    }

    #[test]
    fn whatever_is_in_the_way_brings_less() {
        let at = |passage: &Passage, celsius| spec().brings_m3_s(passage, &water(celsius), 52.0);
        let clear = at(&Passage::CLEAR, 15.0);
        for passage in [
            Passage {
                open: 0.2,
                ..Passage::CLEAR
            },
            Passage {
                fouled: 0.8,
                ..Passage::CLEAR
            },
            Passage {
                lost: 0.5,
                ..Passage::CLEAR
            },
        ] {
            assert!(at(&passage, 15.0) < clear, "{passage:?}");
        }
        assert!(at(&Passage::CLEAR, 59.0) < clear);
        for passage in [
            Passage {
                open: 0.0,
                ..Passage::CLEAR
            },
            Passage {
                lost: 1.0,
                ..Passage::CLEAR
            },
        ] {
            assert_eq!(at(&passage, 15.0), 0.0, "{passage:?}");
        }
    }

    #[test]
    fn a_plain_suction_brings_the_flow_it_is_made_for() {
        let plain = SuctionSpec::that_brings(3.0e5, 1.5e-3, 52.0);
        let flow = plain.brings_m3_s(&Passage::CLEAR, &water(20.0), 52.0);
        assert!((flow / 1.5e-3 - 1.0).abs() < 1e-12, "{flow}");
        let mut r = Ranges::default();
        plain.check(&mut r);
        assert_eq!(r.finish(), Ok(()));
    }

    #[test]
    fn the_inlet_falls_to_boiling_behind_a_shut_valve_and_no_further() {
        let shut = Passage {
            open: 0.0,
            ..Passage::CLEAR
        };
        let w = water(15.0);
        let mut inlet = 2.0e5;
        for _ in 0..1_000 {
            inlet = follow(inlet, &spec(), (&shut, &w), 0.0, false, 0.01);
        }
        assert_eq!(inlet, 2.0e5, "nothing turns");
        for _ in 0..1_000 {
            inlet = follow(inlet, &spec(), (&shut, &w), 0.0, true, 0.01);
        }
        assert!((inlet - w.boils_at_pa()).abs() < 1.0, "{inlet}");
    }
}
