//! How random cases are drawn.

use proptest::test_runner::{Config, RngSeed};

/// So many random cases, always the same in the suite, so that it does not fail for nothing that was
/// changed; where `JETYARD_CASES` asks for another number, they are drawn anew each time.
pub fn chance(usual: u32) -> Config {
    let asked = std::env::var("JETYARD_CASES").ok();
    let asked = asked.and_then(|n| n.parse().ok());
    Config {
        cases: asked.unwrap_or(usual),
        rng_seed: asked.map_or(RngSeed::Fixed(1), |_| RngSeed::Random),
        failure_persistence: None,
        ..Config::default()
    }
}
