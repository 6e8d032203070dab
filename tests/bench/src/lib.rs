//! Holds benches only.
