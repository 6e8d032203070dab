//! Properties of liquid water over pressure and temperature, 0 to 60 degC and up to 3,200 bar.
//!
//! The specific volume is a polynomial over temperature and pressure, fitted to IAPWS-95
//! (IAPWS R6-95) within 2e-7. Everything else about compression (isothermal and isentropic
//! modulus, sound speed, expansion, heat capacity under pressure, throttling heat) is derived
//! from it and from the heat capacity at one atmosphere by exact thermodynamic relations, so
//! nothing can disagree with the density: sound speed comes out within 1e-4. Viscosity is the
//! IAPWS 2008 formulation (IAPWS R12-08) without its critical term, vapour pressure the
//! supplementary equation for saturation (IAPWS SR1-86).
//! Sources: \[iapws95\], \[iapws_viscosity\], \[iapws_saturation\], \[thermodynamics\].
//!
//! Arguments outside the range are held at its ends, so every result is finite.

mod table;

use crate::constant;
use crate::polynomial::{crowded, through, value_and_slope};
use crate::units::KELVIN_AT_ZERO_CELSIUS;
use serde::{Deserialize, Serialize};

/// Standard atmosphere, absolute (exact by definition).
pub const ATMOSPHERE_PA: f64 = 101_325.0;
/// Lowest temperature the equations hold for.
pub const MIN_TEMPERATURE_C: f64 = table::CELSIUS[0];
/// Highest temperature the equations hold for.
pub const MAX_TEMPERATURE_C: f64 = table::CELSIUS[1];
/// Highest absolute pressure the equations hold for.
pub const MAX_PRESSURE_PA: f64 = table::PASCAL[1];

/// Largest gauge pressure a [`CompressionCurve`] is evaluated at; beyond it results are held.
const CEILING_PA: f64 = 1.0e9;

/// How many coefficients the volume has over pressure.
const IN_P: usize = table::VOLUME[0].len();

/// Water at one temperature. Cheap to build; pressures given to its functions are absolute.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "f64", into = "f64")]
pub struct Water {
    temperature_c: f64,
    /// Chebyshev coefficients over pressure of the specific volume, m3/kg, of what it grows by
    /// with temperature, and of what that grows by.
    volume: [f64; IN_P],
    volume_t: [f64; IN_P],
    volume_tt: [f64; IN_P],
    /// Heat capacity at one atmosphere, J/(kg K).
    heat: f64,
    rho_a: f64,
}

impl From<f64> for Water {
    fn from(temperature_c: f64) -> Self {
        Self::at_celsius(temperature_c)
    }
}

impl From<Water> for f64 {
    fn from(water: Water) -> Self {
        water.temperature_c
    }
}

/// Chebyshev polynomials at `x`, and their first and second derivatives. Source: \[chebyshev\].
fn chebyshev<const N: usize>(x: f64) -> [[f64; N]; 3] {
    let mut all = [[0.0; N]; 3];
    for k in 0..N {
        let back = |of: &[f64; N], by: usize| k.checked_sub(by).map_or(0.0, |k| of[k]);
        let [t, d, dd] = &all;
        let next = match k {
            0 => [1.0, 0.0, 0.0],
            1 => [x, 1.0, 0.0],
            _ => [
                2.0 * x * back(t, 1) - back(t, 2),
                2.0 * back(t, 1) + 2.0 * x * back(d, 1) - back(d, 2),
                4.0 * back(d, 1) + 2.0 * x * back(dd, 1) - back(dd, 2),
            ],
        };
        for (of, value) in all.iter_mut().zip(next) {
            of[k] = value;
        }
    }
    all
}

fn sum(coefficients: &[f64], polynomials: &[f64]) -> f64 {
    coefficients
        .iter()
        .zip(polynomials)
        .map(|(c, p)| c * p)
        .sum()
}

/// The integral of a series from -1 to `y`. Source: \[chebyshev\].
fn integral(coefficients: &[f64; IN_P], y: f64) -> f64 {
    // That of T_k is T_(k+1)/2(k+1) - T_(k-1)/2(k-1).
    let upper = chebyshev::<{ IN_P + 1 }>(y)[0];
    let lower = chebyshev::<{ IN_P + 1 }>(-1.0)[0];
    let mut sum = coefficients[0] * (y + 1.0) + coefficients[1] * 0.5 * (y * y - 1.0);
    for (k, c) in coefficients.iter().enumerate().skip(2) {
        let n = k as f64;
        let at = |t: &[f64]| t[k + 1] / (2.0 * (n + 1.0)) - t[k - 1] / (2.0 * (n - 1.0));
        sum += c * (at(&upper) - at(&lower));
    }
    sum
}

/// Half the span of the tables: what a step of 1 in a polynomial's argument is.
const HALF_K: f64 = 0.5 * (table::CELSIUS[1] - table::CELSIUS[0]);
const HALF_PA: f64 = 0.5 * (table::PASCAL[1] - table::PASCAL[0]);

impl Water {
    /// Water at a temperature in degrees Celsius, held within 0 to 60 degC; 20 degC for a
    /// number that is none.
    pub fn at_celsius(temperature_c: f64) -> Self {
        let t = if temperature_c.is_finite() {
            temperature_c.clamp(MIN_TEMPERATURE_C, MAX_TEMPERATURE_C)
        } else {
            20.0
        };
        let x = (t - table::CELSIUS[0]) / HALF_K - 1.0;
        let [p, d, dd] = chebyshev::<{ table::VOLUME.len() }>(x);
        let (mut volume, mut volume_t, mut volume_tt) = ([0.0; IN_P], [0.0; IN_P], [0.0; IN_P]);
        let now = constant::WATER_VOLUME.now();
        for (k, row) in table::VOLUME.iter().enumerate() {
            for (j, c) in row.iter().enumerate() {
                let c = now.of(k * IN_P + j, *c);
                volume[j] += c * p[k];
                volume_t[j] += c * d[k] / HALF_K;
                volume_tt[j] += c * dd[k] / (HALF_K * HALF_K);
            }
        }
        let now = constant::WATER_HEAT.now();
        let heat: f64 = chebyshev::<{ table::HEAT.len() }>(x)[0]
            .iter()
            .enumerate()
            .map(|(k, t)| now.of(k, table::HEAT[k]) * t)
            .sum();
        let mut water = Self {
            temperature_c: t,
            volume,
            volume_t,
            volume_tt,
            heat,
            rho_a: 0.0,
        };
        water.rho_a = water.density(ATMOSPHERE_PA);
        water
    }

    /// Temperature in degrees Celsius.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// Density at one atmosphere, the density at which volume flows are quoted, kg/m3.
    pub fn atmospheric_density(&self) -> f64 {
        self.rho_a
    }

    /// Specific volume at an absolute pressure, m3/kg, and its slopes over temperature and
    /// pressure.
    fn volume(&self, pressure_abs_pa: f64) -> [f64; 3] {
        let [p, d, _] = chebyshev::<IN_P>(argument(pressure_abs_pa));
        [
            sum(&self.volume, &p),
            sum(&self.volume_t, &p),
            sum(&self.volume, &d) / HALF_PA,
        ]
    }

    /// Density at an absolute pressure, kg/m3. Within 2e-7 of IAPWS-95. Source: \[iapws95\].
    pub fn density(&self, pressure_abs_pa: f64) -> f64 {
        1.0 / self.volume(pressure_abs_pa)[0]
    }

    /// Isothermal bulk modulus `rho dP/drho`, Pa. Within 2e-4. Source: \[thermodynamics\].
    pub fn isothermal_modulus(&self, pressure_abs_pa: f64) -> f64 {
        let [v, _, v_p] = self.volume(pressure_abs_pa);
        -v / v_p
    }

    /// Volumetric thermal expansion `-(1/rho) drho/dT` at constant pressure, 1/K. Within 1e-7.
    /// Source: \[thermodynamics\].
    pub fn thermal_expansion(&self, pressure_abs_pa: f64) -> f64 {
        let [v, v_t, _] = self.volume(pressure_abs_pa);
        v_t / v
    }

    /// Heat capacity at constant pressure, J/(kg K): at one atmosphere as fitted, under pressure
    /// by `dcp/dP = -T d2v/dT2`. Within 5e-4. Sources: \[thermodynamics\], \[iapws95\].
    pub fn heat_capacity(&self, pressure_abs_pa: f64) -> f64 {
        let curvature = HALF_PA * integral(&self.volume_tt, argument(pressure_abs_pa));
        self.heat - self.temperature_k() * curvature
    }

    /// Isentropic bulk modulus `rho a^2`, Pa: `1/KS = 1/KT - alpha^2 T/(rho cp)`. Within 2e-4, as
    /// the sound speed is within 1e-4. Source: \[thermodynamics\].
    pub fn isentropic_modulus(&self, pressure_abs_pa: f64) -> f64 {
        let [v, v_t, v_p] = self.volume(pressure_abs_pa);
        let heat = self.heat_capacity(pressure_abs_pa);
        1.0 / (-v_p / v - v_t * v_t * self.temperature_k() / (v * heat))
    }

    /// Sound speed in unconfined water, `sqrt(KS / rho)`, m/s. Within 1e-4.
    /// Source: \[thermodynamics\].
    pub fn sound_speed(&self, pressure_abs_pa: f64) -> f64 {
        (self.isentropic_modulus(pressure_abs_pa) / self.density(pressure_abs_pa)).sqrt()
    }

    /// Dynamic viscosity at an absolute pressure, Pa s. Source: \[iapws_viscosity\].
    pub fn viscosity(&self, pressure_abs_pa: f64) -> f64 {
        viscosity(self.temperature_k(), self.density(pressure_abs_pa))
    }

    /// Temperature rise, K, of water let down from a gauge pressure to atmosphere with no work
    /// taken from it: bypass, dump, bleed, or a jet after impact.
    ///
    /// Enthalpy is kept: `cp dT = integral of v - T dv/dT over P`, with the heat capacity half
    /// way up: within 0.15 %. Heat lost to vapour is not modelled (it matters only above about 80 degC).
    /// Source: \[thermodynamics\].
    pub fn throttling_rise_k(&self, pressure_gauge_pa: f64) -> f64 {
        let y = argument(ATMOSPHERE_PA + held(pressure_gauge_pa));
        let of_volume = integral(&self.volume, y);
        let of_slope = integral(&self.volume_t, y);
        let enthalpy = HALF_PA * (of_volume - self.temperature_k() * of_slope);
        self.rise_by_k(enthalpy)
    }

    /// Temperature rise, K, of this water at one atmosphere by so much heat on a kilogram, J/kg, with
    /// the heat capacity half way up: within 0.15 %.
    pub fn rise_by_k(&self, heat_j_kg: f64) -> f64 {
        let half_way = self.temperature_c + 0.5 * heat_j_kg / self.heat;
        heat_j_kg / Water::at_celsius(half_way).heat
    }

    /// Vapour pressure, absolute, Pa (IAPWS SR1-86; 0.01 % from IAPWS-95).
    /// Source: \[iapws_saturation\].
    pub fn vapour_pressure(&self) -> f64 {
        const CRITICAL_K: f64 = 647.096;
        const CRITICAL_PA: f64 = 22.064e6;
        // Powers of 1 - T/Tc, in halves, and what they are taken by.
        const TERMS: [(f64, f64); 6] = [
            (1.0, -7.859_517_83),
            (1.5, 1.844_082_59),
            (3.0, -11.786_649_7),
            (3.5, 22.680_741_1),
            (4.0, -15.961_871_9),
            (7.5, 1.801_225_02),
        ];
        let now = constant::VAPOUR.now();
        let (critical_k, critical_pa) = (now.of(0, CRITICAL_K), now.of(1, CRITICAL_PA));
        let t = self.temperature_k();
        let tau = 1.0 - t / critical_k;
        let sum: f64 = TERMS
            .iter()
            .enumerate()
            .map(|(n, (power, by))| {
                let (power, by) = (now.of(2 + 2 * n, *power), now.of(3 + 2 * n, *by));
                by * libm::pow(tau, power)
            })
            .sum();
        critical_pa * libm::exp(critical_k / t * sum)
    }

    fn temperature_k(&self) -> f64 {
        self.temperature_c + constant::KELVIN.at(0, KELVIN_AT_ZERO_CELSIUS)
    }
}

/// A polynomial's argument for an absolute pressure, held within the table.
fn argument(pressure_abs_pa: f64) -> f64 {
    (held(pressure_abs_pa).min(MAX_PRESSURE_PA) - table::PASCAL[0]) / HALF_PA - 1.0
}

fn held(pressure_pa: f64) -> f64 {
    if pressure_pa.is_nan() {
        ATMOSPHERE_PA
    } else {
        pressure_pa.clamp(0.0, CEILING_PA)
    }
}

/// Dynamic viscosity of water, Pa s, from temperature (K) and density (kg/m3).
///
/// IAPWS R12-08 without the critical enhancement, which is nil for the liquid far from its
/// critical point. Reproduces the release's own verification points. Source: \[iapws_viscosity\].
pub fn viscosity(temperature_k: f64, density_kg_m3: f64) -> f64 {
    const DILUTE: [f64; 4] = [1.677_52, 2.204_62, 0.636_656_4, -0.241_605];
    // Rows: powers of (1/Tr - 1); columns: powers of (rho_r - 1).
    const FINITE: [[f64; 7]; 6] = [
        [
            5.200_94e-1,
            2.225_31e-1,
            -2.813_78e-1,
            1.619_13e-1,
            -3.253_72e-2,
            0.0,
            0.0,
        ],
        [
            8.508_95e-2,
            9.991_15e-1,
            -9.068_51e-1,
            2.573_99e-1,
            0.0,
            0.0,
            0.0,
        ],
        [-1.083_74, 1.887_97, -7.724_79e-1, 0.0, 0.0, 0.0, 0.0],
        [
            -2.895_55e-1,
            1.266_13,
            -4.898_37e-1,
            0.0,
            6.984_52e-2,
            0.0,
            -4.356_73e-3,
        ],
        [0.0, 0.0, -2.570_40e-1, 0.0, 0.0, 8.721_02e-3, 0.0],
        [0.0, 1.205_73e-1, 0.0, 0.0, 0.0, 0.0, -5.932_64e-4],
    ];
    let now = constant::VISCOSITY_DILUTE.now();
    let tr = temperature_k / now.of(0, 647.096);
    let rr = density_kg_m3 / now.of(1, 322.0);
    let inverse = 1.0 / tr;
    let series = DILUTE.iter().enumerate().rev();
    let series = series.fold(0.0, |sum, (k, c)| sum * inverse + now.of(2 + k, *c));
    let dilute = 100.0 * tr.sqrt() / series;
    let now = constant::VISCOSITY_FINITE.now();
    let mut sum = 0.0;
    let mut t_power = 1.0;
    for (i, row) in FINITE.iter().enumerate() {
        let mut inner = 0.0;
        for (j, h) in row.iter().enumerate().rev() {
            inner = inner * (rr - 1.0) + now.of(i * row.len() + j, *h);
        }
        sum += t_power * inner;
        t_power *= inverse - 1.0;
    }
    dilute * libm::exp(rr * sum) * 1.0e-6
}

/// Density of water over gauge pressure on one line of states, up to 3,200 bar: the volume
/// relative to one atmosphere is a polynomial of the pressure, so that neither density nor the
/// integral of dP/rho costs more than a few products. Above, the modulus stays what it is at
/// 3,200 bar.
///
/// [`Water::isentrope`] is what fast compression and a burst of release follow,
/// [`Water::isotherm`] what water in balance with its surroundings follows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct CompressionCurve {
    rho_a: f64,
    /// Coefficients over powers of the share of [`SPAN_PA`].
    volume: [f64; NODES],
}

/// Density and what it changes by, at one gauge pressure on a [`CompressionCurve`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compression {
    /// Density, kg/m3.
    pub density: f64,
    /// Bulk modulus along the curve, Pa.
    pub modulus_pa: f64,
}

/// A [`CompressionCurve`] is right at so many pressures, and its polynomial reaches so far.
const NODES: usize = 8;
const SPAN_PA: f64 = table::PASCAL[1] - ATMOSPHERE_PA;

impl Water {
    /// This water after it has come from one absolute pressure to another without friction,
    /// heat or mixing: warmer under more, colder under less (`dT/dP = T dv/dT / cp`).
    /// Held at 3,200 bar. Source: \[thermodynamics\].
    pub fn squeezed(&self, from_abs_pa: f64, to_abs_pa: f64) -> Water {
        const STEPS: u32 = 8;
        let [from, to] = [from_abs_pa, to_abs_pa].map(|p| held(p).min(MAX_PRESSURE_PA));
        let step = (to - from) / f64::from(STEPS);
        let slope = |celsius: f64, p: f64| {
            let water = Water::at_celsius(celsius);
            water.temperature_k() * water.volume(p)[1] / water.heat_capacity(p)
        };
        let mut t = self.temperature_c;
        for n in 0..STEPS {
            // The rule of the midpoint.
            let p = from + step * f64::from(n);
            let half = t + 0.5 * step * slope(t, p);
            t += step * slope(half, p + 0.5 * step);
        }
        Water::at_celsius(t)
    }

    /// The states at this temperature. Density within 1e-6, modulus within 5e-4.
    pub fn isotherm(&self) -> CompressionCurve {
        CompressionCurve::through(self.rho_a, |p| self.density(p))
    }

    /// The states on the isentrope through one atmosphere at this temperature: under pressure
    /// the water is warmer.
    pub fn isentrope(&self) -> CompressionCurve {
        CompressionCurve::through(self.rho_a, |p| self.squeezed(ATMOSPHERE_PA, p).density(p))
    }
}

impl CompressionCurve {
    /// The curve with these densities over absolute pressure.
    fn through(rho_a: f64, density: impl Fn(f64) -> f64) -> Self {
        // The first place is at one atmosphere.
        let at = crowded::<NODES>();
        let relative = at.map(|x| rho_a / density(ATMOSPHERE_PA + SPAN_PA * x));
        let volume = through(&at, relative);
        Self { rho_a, volume }
    }

    /// Density at one atmosphere, kg/m3.
    pub fn atmospheric_density(&self) -> f64 {
        self.rho_a
    }

    /// Density and modulus at a gauge pressure (held at zero below it).
    pub fn at(&self, gauge_pa: f64) -> Compression {
        let p = held(gauge_pa);
        let (volume, slope) = value_and_slope(&self.volume, (p / SPAN_PA).min(1.0));
        let modulus_pa = -volume * SPAN_PA / slope;
        let beyond = (p - SPAN_PA).max(0.0);
        let density = self.rho_a / volume;
        Compression {
            density: if beyond > 0.0 {
                density * libm::exp(beyond / modulus_pa)
            } else {
                density
            },
            modulus_pa,
        }
    }

    /// Work of bringing a kilogram from atmosphere to a gauge pressure along this curve, J/kg: the
    /// integral of dP/rho. Of a pump's work all stays in the water as heat once that is let down
    /// with no work taken from it, more than [`Water::throttling_rise_k`] knows by what the
    /// compression warmed it.
    pub fn work_j_kg(&self, gauge_pa: f64) -> f64 {
        self.psi_squared(gauge_pa) * held(gauge_pa) / self.rho_a
    }

    /// Square of the compressibility factor psi of a nozzle: the speed reached from a gauge
    /// pressure over that of water of atmospheric density, `v = psi sqrt(2 P / rho_a)`. Beyond
    /// 3,200 bar it is held.
    ///
    /// `v^2/2` is the integral of dP/rho from atmosphere, exact on this curve. Water that comes
    /// at the temperature of its surroundings leaves colder and denser than the isentrope
    /// through atmosphere says; the isotherm is right at the nozzle's inlet and comes within
    /// 0.1 % of the exact speed up to 3,000 bar, the isentrope only within 0.2 %.
    /// Sources: \[bernoulli\], \[thermodynamics\].
    pub fn psi_squared(&self, gauge_pa: f64) -> f64 {
        let x = (held(gauge_pa) / SPAN_PA).min(1.0);
        let mut mean = 0.0;
        for (power, c) in self.volume.iter().enumerate().rev() {
            mean = mean * x + c / (power + 1) as f64;
        }
        mean
    }

    /// Work, J/kg, that water gives back as it swells along this curve from a gauge pressure to
    /// atmosphere, over what it does to the atmosphere: the integral of the gauge pressure over
    /// the specific volume, exact on this curve. Beyond 3,200 bar it is held.
    /// Source: \[thermodynamics\].
    pub(crate) fn work_of_swelling_j_kg(&self, gauge_pa: f64) -> f64 {
        let x = (held(gauge_pa) / SPAN_PA).min(1.0);
        // Of each power x^k of the volume the integral takes k / (k + 1).
        let mut sum = 0.0;
        for (power, c) in self.volume.iter().enumerate().rev() {
            let k = power as f64;
            sum = sum * x - c * k / (k + 1.0);
        }
        sum * x * SPAN_PA / self.rho_a
    }
}
