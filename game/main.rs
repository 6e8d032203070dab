//! Jetyard's command line.
fn main() {}
