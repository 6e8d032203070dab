//! The tables of values that were not computed here, built in. Each says in its first lines what it
//! is and what made it.

use std::collections::BTreeMap;

macro_rules! tables {
    ($($name:ident = $file:literal;)*) => {
        $(
            #[doc = concat!("`tests/reference/", $file, "`.")]
            pub const $name: &str = include_str!(concat!("../../../tests/reference/", $file));
        )*
        /// All of them, with the names of their files.
        #[cfg(test)]
        pub const ALL: &[(&str, &str)] = &[$(($file, $name)),*];
    };
}

tables! {
    BLOW_DOWN_EXACT = "blowdown_exact_rigid.csv";
    HANGING_ROD = "hanging_rod.csv";
    HEAT_TANK = "heat_tank.csv";
    HEAVY_ELASTICA = "heavy_elastica.csv";
    HOSE_FRICTION = "hose_friction.csv";
    HOSE_WHIP = "hose_whip.csv";
    LUMPED_TRANSIENTS = "hose_transients_lumped.csv";
    MULTI_TOOL = "multi_tool.csv";
    NOISE = "noise.csv";
    NOZZLE_COMPRESSIBLE = "nozzle_compressible.csv";
    NOZZLE_FLOW_THRUST = "nozzle_flow_thrust.csv";
    NOZZLE_NETWORK = "nozzle_network.csv";
    OIL_COOLER = "oil_cooler.csv";
    OIL_VISCOSITY = "oil_viscosity.csv";
    OPERATING_POINT = "operating_point.csv";
    OPERATOR_BALANCE = "operator_balance.csv";
    PIPE_RELEASED = "pipe_released.csv";
    PUBLISHED = "published_checks.csv";
    PUMP_CLEARANCE = "pump_clearance_efficiency.csv";
    PUMP_DISPLACEMENT = "pump_displacement.csv";
    PUMP_POWER = "pump_power.csv";
    PUMP_RIPPLE = "pump_ripple.csv";
    REGULATING_VALVE = "regulating_valve.csv";
    RUPTURE = "rupture_full_bore.csv";
    SERIES_FRICTION = "waterhammer_series_friction.csv";
    STARTUP_JOLT = "startup_jolt.csv";
    STORED_ENERGY = "stored_energy.csv";
    SUCTION = "suction.csv";
    TSNET = "waterhammer_tsnet.csv";
    UNIT_CONSTANTS = "unit_constants.csv";
    VALVE_CLOSURE = "waterhammer_valve.csv";
    VALVE_CLOSURE_MOC = "waterhammer_moc.csv";
    WATER = "water_properties.csv";
    WATER_WIDE = "water_wide.csv";
    WAVE_SPEED = "wavespeed.csv";
}

/// One row, by the names of its columns.
#[derive(Clone, Debug)]
pub struct Row(BTreeMap<String, String>);

impl Row {
    /// A cell; empty where there is no such column.
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).map_or("", String::as_str)
    }

    /// Names of its columns.
    pub fn columns(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// A number; none that is one (and so a failing case) where the cell holds none.
    pub fn number(&self, column: &str) -> f64 {
        self.text(column).parse().unwrap_or(f64::NAN)
    }

    /// A pressure that the table has in bar, Pa.
    pub fn pascal(&self, column: &str) -> f64 {
        1.0e5 * self.number(column)
    }

    /// Puts another text into a cell.
    pub fn put(&mut self, column: &str, text: &str) {
        self.0.insert(column.to_owned(), text.to_owned());
    }
}

/// All rows of a table. A row that cannot be read has no cells, so that it fails.
pub fn rows(table: &str) -> Vec<Row> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes())
        .deserialize()
        .map(|row| Row(row.unwrap_or_default()))
        .collect()
}
