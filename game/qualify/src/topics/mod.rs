//! What is compared, one file a topic.

pub mod heat;
pub mod hose;
pub mod jet;
pub mod network;
pub mod noise;
pub mod nozzle;
pub mod oil;
pub mod operator;
pub mod points;
pub mod pump;
pub mod regulator;
pub mod rod;
pub mod storage;
pub mod suction;
pub mod transients;
pub mod units;
pub mod water;
pub mod waves;
