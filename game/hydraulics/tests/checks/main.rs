//! Checks of the hydraulics against published and independently computed values.

mod circuit_checks;
mod example;
mod jet_checks;
mod keeping_checks;
mod line_checks;
mod nozzle_checks;
mod operating_point_checks;
mod pump_checks;
mod random_checks;
mod reference;
mod regulator_checks;
mod units_checks;
mod water_checks;
