//! Checks of the hydraulics: how it behaves, and the values from outside that are reached by stepping
//! time. What can be held against a table without that is in the crate `qualify`.
//! Here too: that every formula names its source.

mod branch_checks;
mod chance;
mod circuit_checks;
mod condition_checks;
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
mod source_checks;
mod water_checks;
