//! Holds benches and programs that are timed only.
