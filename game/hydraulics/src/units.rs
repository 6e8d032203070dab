//! Quantities for public borders: the value inside is SI, the conversions are to the units of
//! the trade. Factors that are no powers of ten come from exact definitions. Source: \[si_units\].
//!
//! Inside the crate plain `f64` in SI is used, with the unit in the name.

use serde::{Deserialize, Serialize};

/// Pascals in one bar (exact).
pub const PA_PER_BAR: f64 = 1.0e5;
/// Pascals in one pound-force per square inch (from the exact pound, inch and standard gravity).
pub const PA_PER_PSI: f64 = 6_894.757_293_168_361;
/// Litres a minute in one cubic metre a second (exact).
pub const LITRES_PER_MINUTE_PER_M3_PER_S: f64 = 60_000.0;
/// Cubic metres in one US gallon (exact).
pub const M3_PER_US_GALLON: f64 = 3.785_411_784e-3;
/// Newtons in one pound-force (exact).
pub const N_PER_LBF: f64 = 4.448_221_615_260_5;
/// Watts in one mechanical horsepower (550 ft lbf/s, exact).
pub const W_PER_HP: f64 = 745.699_871_582_270_2;
/// Metres in one inch (exact).
pub const M_PER_INCH: f64 = 0.0254;
/// Kelvin at zero degrees Celsius (exact).
pub const KELVIN_AT_ZERO_CELSIUS: f64 = 273.15;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $si:ident, $getter:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// From the SI value.
            pub const fn $si(value: f64) -> Self {
                Self(value)
            }
            /// The SI value.
            pub const fn $getter(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// Pressure in pascals; gauge unless the holder says absolute.
    Pressure, from_pa, pa
);
quantity!(
    /// Volume flow in cubic metres a second.
    VolumeFlow, from_m3_per_s, m3_per_s
);
quantity!(
    /// Mass flow in kilograms a second.
    MassFlow, from_kg_per_s, kg_per_s
);
quantity!(
    /// Force in newtons.
    Force, from_n, n
);
quantity!(
    /// Length in metres.
    Length, from_m, m
);
quantity!(
    /// Power in watts.
    Power, from_w, w
);
quantity!(
    /// Thermodynamic temperature in kelvin.
    Temperature, from_k, k
);
quantity!(
    /// Angular speed in radians a second.
    AngularSpeed, from_rad_per_s, rad_per_s
);

impl Pressure {
    /// From bar.
    pub const fn from_bar(bar: f64) -> Self {
        Self(bar * PA_PER_BAR)
    }
    /// In bar.
    pub const fn bar(self) -> f64 {
        self.0 / PA_PER_BAR
    }
    /// From pounds-force per square inch.
    pub const fn from_psi(psi: f64) -> Self {
        Self(psi * PA_PER_PSI)
    }
    /// In pounds-force per square inch.
    pub const fn psi(self) -> f64 {
        self.0 / PA_PER_PSI
    }
}

impl VolumeFlow {
    /// From litres a minute.
    pub const fn from_litres_per_minute(value: f64) -> Self {
        Self(value / LITRES_PER_MINUTE_PER_M3_PER_S)
    }
    /// In litres a minute.
    pub const fn litres_per_minute(self) -> f64 {
        self.0 * LITRES_PER_MINUTE_PER_M3_PER_S
    }
    /// From US gallons a minute.
    pub const fn from_us_gallons_per_minute(value: f64) -> Self {
        Self(value * M3_PER_US_GALLON / 60.0)
    }
    /// In US gallons a minute.
    pub const fn us_gallons_per_minute(self) -> f64 {
        self.0 * 60.0 / M3_PER_US_GALLON
    }
}

impl Force {
    /// In pounds-force.
    pub const fn lbf(self) -> f64 {
        self.0 / N_PER_LBF
    }
}

impl Length {
    /// From millimetres.
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm * 1.0e-3)
    }
    /// In millimetres.
    pub const fn mm(self) -> f64 {
        self.0 * 1.0e3
    }
    /// From inches.
    pub const fn from_inches(inches: f64) -> Self {
        Self(inches * M_PER_INCH)
    }
}

impl Power {
    /// In kilowatts.
    pub const fn kw(self) -> f64 {
        self.0 * 1.0e-3
    }
    /// In mechanical horsepower.
    pub const fn hp(self) -> f64 {
        self.0 / W_PER_HP
    }
}

impl Temperature {
    /// From degrees Celsius.
    pub const fn from_celsius(value: f64) -> Self {
        Self(value + KELVIN_AT_ZERO_CELSIUS)
    }
    /// In degrees Celsius.
    pub const fn celsius(self) -> f64 {
        self.0 - KELVIN_AT_ZERO_CELSIUS
    }
}

impl AngularSpeed {
    /// From revolutions a minute.
    pub const fn from_rpm(rpm: f64) -> Self {
        Self(rpm * core::f64::consts::TAU / 60.0)
    }
    /// In revolutions a minute.
    pub const fn rpm(self) -> f64 {
        self.0 * 60.0 / core::f64::consts::TAU
    }
}
