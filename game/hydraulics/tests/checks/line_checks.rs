//! What a length of bore and a volume do.

use crate::reference::Comparison;
use hydraulics::hose::Passage;
use hydraulics::orifice::round_area_m2;
use hydraulics::storage::{
    Liquid, Volume, effective_modulus_pa, elastic_energy_j_kg, elastic_energy_j_m3,
};
use hydraulics::water::Water;

#[test]
fn a_fitting_adds_its_loss_on_the_bore() {
    let with = |loss: f64| Passage {
        bore_m: 0.013,
        length_m: 1.0,
        roughness_m: 0.0,
        loss,
    };
    let r = |loss: f64| with(loss).resistance(0.5, 1_030.0, 1.0e-3);
    let velocity = 0.5 / (1_030.0 * round_area_m2(0.013));
    let want = 0.8 * 0.5 * 1_030.0 * velocity * velocity;
    assert!(((r(0.8) - r(0.0)) * 0.25 / want - 1.0).abs() < 1.0e-9);
}

/// `1/Ke = 1/KS + 1/Kh`: what a volume takes up for a rise of pressure, by the wall's definition
/// `Kh = V dP/dV`.
#[test]
fn a_volume_takes_up_water_by_its_own_give_and_that_of_its_wall() {
    let water = Water::at_celsius(20.0);
    let liquid = Liquid::Water(water.isentrope());
    let mut c = Comparison::relative("uptake over pressure", 0.002);
    for wall_pa in [1.5e9, 3.0e9, f64::INFINITY] {
        let volume = Volume {
            m3: 2.65e-3,
            wall_give_1_pa: 1.0 / wall_pa,
        };
        for p in [1.0e6, 7.0e7, 1.5e8] {
            let rise = 1.0e5;
            let (low, slope) = liquid.stored(&volume, p - 0.5 * rise);
            let (high, _) = liquid.stored(&volume, p + 0.5 * rise);
            let ke = effective_modulus_pa(water.isentrope().at(p).modulus_pa, wall_pa);
            let at = format!("{p} Pa, wall {wall_pa}");
            c.take(&at, (high - low) / rise, 0.5 * (low + high) / ke);
            c.take(&at, slope, 0.5 * (low + high) / ke);
        }
    }
    c.end();
}

/// Stored mass by stored mass: what leaves a volume does the work of its pressure over its specific
/// volume, reckoned in small steps of pressure.
#[test]
fn the_elastic_energy_is_the_work_of_the_swelling_in_small_steps() {
    let line = Water::at_celsius(12.0).isentrope();
    let mut c = Comparison::relative("elastic energy", 1.0e-6);
    for p in [1.0e6, 7.0e7, 1.5e8, 3.0e8] {
        const STEPS: u32 = 4_000;
        let step = p / f64::from(STEPS);
        let volume = |p: f64| 1.0 / line.at(p).density;
        let work: f64 = (0..STEPS)
            .map(|i| step * f64::from(i))
            .map(|low| (low + 0.5 * step) * (volume(low) - volume(low + step)))
            .sum();
        c.take(p, elastic_energy_j_kg(&line, p), work);
        c.take(p, elastic_energy_j_m3(&line, p), work / volume(p));
    }
    c.end();
    assert_eq!(elastic_energy_j_kg(&line, 0.0), 0.0);
    assert_eq!(elastic_energy_j_kg(&line, -1.0e5), 0.0);
    for p in [f64::NAN, f64::INFINITY] {
        assert!(elastic_energy_j_m3(&line, p).is_finite());
    }
}
