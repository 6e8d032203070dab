//! Pipe friction: Darcy factor over all regimes, and what a changing flow adds to it.

use crate::constant;
use serde::{Deserialize, Serialize};

/// Reynolds number below which [`churchill`] is not evaluated by the hose: in the laminar range
/// the loss is nil beside the pressures here, and a factor held over a tick must not be the
/// huge one of a standstill. Source: \[model\].
pub const REYNOLDS_FLOOR: f64 = 3_000.0;

/// Darcy friction factor by Churchill's 1977 equation for all regimes (S. W. Churchill,
/// Chemical Engineering 84(24), 1977), from Reynolds number and relative roughness `eps/D`:
/// `f = 8 ((8 / Re)^12 + 1 / (A + B)^1.5)^(1/12)`, `B = (37530 / Re)^16`,
/// `A = (-2.457 ln((7 / Re)^0.9 + 0.27 eps / D))^16`.
///
/// Within 1 % of the Colebrook equation for the smooth bores and flows of jetting hose; 64/Re
/// in laminar flow. A Reynolds number of zero or below is treated as 1e-6.
///
/// Sources: \[churchill1977\], \[colebrook1939\], \[darcy_weisbach\].
pub fn churchill(reynolds: f64, relative_roughness: f64) -> f64 {
    let now = constant::CHURCHILL.now();
    let re = if reynolds > 1.0e-6 { reynolds } else { 1.0e-6 };
    let smooth = libm::pow(now.of(0, 7.0) / re, now.of(1, 0.9));
    let term = smooth + now.of(2, 0.27) * relative_roughness.max(0.0);
    let a = pow16(now.of(3, 2.457) * -libm::log(term));
    let b = pow16(now.of(4, 37_530.0) / re);
    let laminar = pow12(now.of(5, 8.0) / re);
    let turbulent = 1.0 / libm::pow(a + b, now.of(6, 1.5));
    now.of(7, 8.0) * libm::pow(laminar + turbulent, 1.0 / 12.0)
}

fn pow16(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    let x8 = x4 * x4;
    x8 * x8
}

fn pow12(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    x4 * x4 * x4
}

/// Weights of [`Layer`] and how fast each fades, by powers of `exp(-n tau)`, `tau = 4 nu t / D^2`
/// (A. K. Trikha, J. Fluids Eng. 97(1), 1975, from memory). Sources: \[trikha1975\], \[memory\].
const FADING: [(f64, f64); 3] = [(1.0, 26.4), (8.1, 200.0), (40.0, 8_000.0)];

/// Drag of a changing flow beyond that of a steady one, in a round bore: the water at the wall is
/// left behind by every change and catches up by viscosity.
///
/// `dp/dx = (16 mu / D^2) sum y`, `y = sum of weight exp(-n tau) dV` over all changes of speed so
/// far: Zielke's (1968) convolution for laminar flow with Trikha's three exponentials. Between
/// turbulent flow and this, which lets the weights of laminar flow stand, the drag of fast
/// oscillations differs little: they do not reach beyond the layer at the wall.
///
/// Sources: \[zielke1968\], \[trikha1975\], \[model\].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Layer {
    /// As mass flow, kg/s.
    left_behind: [f64; FADING.len()],
}

/// How [`Layer`]s of one bore follow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Following {
    /// `4 nu / D^2`, 1/s. Source: \[trikha1975\].
    rate_1_s: f64,
    step_s: f64,
    fades: [f64; FADING.len()],
    /// Of a change within the step, on the way to its end.
    enters: [f64; FADING.len()],
}

impl Following {
    /// At a kinematic viscosity, m2/s, and bore, m.
    pub fn renew(&mut self, viscosity_m2_s: f64, bore_m: f64) {
        self.rate_1_s = 4.0 * viscosity_m2_s / (bore_m * bore_m);
        self.step_s = 0.0;
    }

    /// Loss of pressure over inertance and over what is left behind, 1/s: `16 nu / D^2`.
    /// Source: \[zielke1968\].
    pub fn drag(&self) -> f64 {
        4.0 * self.rate_1_s
    }

    /// What a change within the step has left behind at its end, as a multiple of it.
    pub fn entering(&self) -> f64 {
        self.enters[0] + self.enters[1] + self.enters[2]
    }

    /// For steps of a length.
    pub fn at_step(&mut self, dt_s: f64) {
        if self.step_s == dt_s || self.rate_1_s <= 0.0 {
            return;
        }
        self.step_s = dt_s;
        let now = constant::LAYER.now();
        for (i, (weight, n)) in FADING.into_iter().enumerate() {
            let (weight, n) = (now.of(2 * i, weight), now.of(2 * i + 1, n));
            let half = libm::exp(-0.5 * n * self.rate_1_s * dt_s);
            self.fades[i] = half * half;
            self.enters[i] = weight * half;
        }
    }
}

impl Layer {
    /// What is still left behind at the end of a step, of all that was before it, kg/s.
    pub fn fading(&self, following: &Following) -> f64 {
        let [a, b, c] = self.left_behind;
        let [of_a, of_b, of_c] = following.fades;
        a * of_a + b * of_b + c * of_c
    }

    /// Goes on by a step in which the flow changed, kg/s.
    pub fn follow(&mut self, following: &Following, change_kg_s: f64) {
        for (i, left) in self.left_behind.iter_mut().enumerate() {
            *left = *left * following.fades[i] + following.enters[i] * change_kg_s;
        }
    }
}
