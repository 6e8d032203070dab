//! Water where it is asked for what cannot be.

use hydraulics::water::{ATMOSPHERE_PA, Water};

#[test]
fn arguments_out_of_range_give_finite_results() {
    for t in [f64::NAN, -300.0, 1.0e9] {
        let water = Water::at_celsius(t);
        for p in [f64::NAN, f64::NEG_INFINITY, -1.0, 1.0e30, f64::INFINITY] {
            for value in [
                water.density(p),
                water.sound_speed(p),
                water.viscosity(p),
                water.throttling_rise_k(p),
                water.isentrope().psi_squared(p),
            ] {
                assert!(value.is_finite(), "{t} {p} {value}");
            }
        }
        assert!(water.vapour_pressure() < ATMOSPHERE_PA);
    }
}
