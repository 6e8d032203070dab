//! The one list of all quantities: a line for each topic.

use crate::quantity::Quantity;
use crate::topics::{
    heat, hose, jet, network, noise, nozzle, oil, operator, points, pump, regulator, rod, storage,
    suction, transients, units, water, waves,
};

const TOPICS: &[&[Quantity]] = &[
    water::QUANTITIES,
    storage::QUANTITIES,
    heat::QUANTITIES,
    nozzle::QUANTITIES,
    hose::QUANTITIES,
    pump::QUANTITIES,
    suction::QUANTITIES,
    oil::QUANTITIES,
    points::QUANTITIES,
    network::QUANTITIES,
    transients::QUANTITIES,
    waves::QUANTITIES,
    regulator::QUANTITIES,
    jet::QUANTITIES,
    operator::QUANTITIES,
    rod::QUANTITIES,
    noise::QUANTITIES,
    units::QUANTITIES,
];

/// All quantities, topic by topic.
pub fn quantities() -> impl Iterator<Item = &'static Quantity> {
    TOPICS.iter().flat_map(|topic| topic.iter())
}
