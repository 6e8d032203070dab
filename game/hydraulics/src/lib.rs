//! hydraulics
