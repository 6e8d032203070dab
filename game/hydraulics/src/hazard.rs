//! Hazard distance: how far from the nozzle a jet can still go through what it meets.
//!
//! Square on, the pressure in the middle of the footprint falls with the way by the laws of
//! [`crate::jet`]; the distance is where it falls to a threshold. For bare skin that is some 7 bar
//! (100 psi, a note of the CDC on injuries by water). So it depends on how long the core of the
//! jet is and on what the nozzle makes of it: a fan spreads, and is harmless much nearer than a
//! round jet of the same water. Source: \[model\].
//!
//! INRS measured such distances with a skin of latex on foam that passed a jet of very high
//! pressure at 0.5 m/s: 1.4 to 3.6 m for straight jets, 0.1 to 0.4 m for flat ones and 0.2 to 0.7 m
//! for rotating ones, without saying at which pressures. With common bores round jets and fans of this
//! model lie within those bands. For a rotating
//! jet it gives the distance along the jet itself, as if it stood still on one spot, and is about
//! twice as far: to the safe side. Source: \[inrs2008\].
//!
//! What a jet does to an eye, what wet clothing keeps off, drops and stones that fly, and the water
//! hammer of the first drop are left out.

use crate::jet::{Exit, JetSpec};

/// No distance beyond this is looked for, m.
const FARTHEST_M: f64 = 200.0;

/// Halvings of the search: to 1e-12 of the farthest.
const HALVINGS: u32 = 40;

impl JetSpec {
    /// Distance along the jet from the nozzle to where its pressure, square on, has fallen to a
    /// threshold, m; 0 to 200. 0 without a jet, and where it is below the threshold as it leaves.
    /// A threshold that is not positive gives the farthest there is.
    pub fn hazard_m(&self, exit: &Exit, threshold_pa: f64) -> f64 {
        let hurts = |way_m: f64| self.impact(exit, way_m).centre_pa > threshold_pa;
        if !hurts(0.0) {
            return 0.0;
        }
        // The pressure never rises with the way.
        let (mut near, mut far) = (0.0, FARTHEST_M);
        if hurts(far) {
            return far;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (near + far);
            if hurts(middle) {
                near = middle;
            } else {
                far = middle;
            }
        }
        0.5 * (near + far)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jet::JetKind;
    use core::f64::consts::PI;

    const SKIN_PA: f64 = 7.0e5;

    /// The jet of a bore at a pressure, in water of 1000 kg/m3, all of its pressure turned into
    /// speed.
    fn exit(bore_m: f64, pressure_pa: f64) -> Exit {
        Exit {
            diameter_m: bore_m,
            stagnation_pa: pressure_pa,
            thrust_n: 2.0 * pressure_pa * 0.25 * PI * bore_m * bore_m,
        }
    }

    fn of(kind: JetKind, core_diameters: f64, decay: f64) -> JetSpec {
        JetSpec {
            kind,
            core_diameters,
            decay,
        }
    }

    /// The law of decay turned round, `x = X d (p0 / p)^(1/n)`. Source: \[mathematics\].
    #[test]
    fn of_a_round_jet_it_is_the_law_of_decay_turned_round() {
        for (bore, bar, core, decay) in [
            (1.4e-3, 1000.0, 100.0, 2.0),
            (0.7e-3, 2500.0, 150.0, 1.5),
            (1.8e-3, 350.0, 100.0, 2.0),
        ] {
            let (jet, exit) = (of(JetKind::Round, core, decay), exit(bore, bar * 1.0e5));
            let want = core * bore * libm::pow(bar * 1.0e5 / SKIN_PA, 1.0 / decay);
            let got = jet.hazard_m(&exit, SKIN_PA);
            assert!((got / want - 1.0).abs() < 1.0e-9, "{got} {want}");
        }
    }

    #[test]
    fn a_fan_is_harmless_long_before_a_round_jet_of_the_same_water() {
        let exit = exit(1.15e-3, 1.0e8);
        let round = of(JetKind::Round, 60.0, 1.5).hazard_m(&exit, SKIN_PA);
        let fan = of(JetKind::Fan { spread_rad: 0.26 }, 60.0, 1.5).hazard_m(&exit, SKIN_PA);
        assert!(fan > 0.0 && 5.0 * fan < round, "{fan} {round}");
    }

    /// The bands of INRS for bare skin. Its abstract gives neither bores nor pressures of the tests,
    /// and the shape of the jets here is from memory, so this holds the model to the right
    /// distances and no more. Sources: \[inrs2008\], \[memory\].
    #[test]
    fn it_lies_where_jets_were_found_to_go_through_skin() {
        let within = |kind, shape: (f64, f64), bores: [f64; 2], band: [f64; 2]| {
            for bore in bores {
                for bar in [1000.0, 1750.0, 2500.0] {
                    let exit = exit(bore * 1.0e-3, bar * 1.0e5);
                    let m = of(kind, shape.0, shape.1).hazard_m(&exit, SKIN_PA);
                    assert!(
                        m >= band[0] && m <= band[1],
                        "{kind:?} {bore} mm {bar} bar: {m} m"
                    );
                }
            }
        };
        within(JetKind::Round, (100.0, 2.0), [1.2, 1.8], [1.4, 3.6]);
        for degrees in [15.0_f64, 30.0] {
            let kind = JetKind::Fan {
                spread_rad: degrees.to_radians(),
            };
            within(kind, (60.0, 1.5), [1.0, 1.4], [0.1, 0.4]);
        }
    }

    #[test]
    fn it_grows_with_pressure_and_bore_and_ends_where_there_is_no_jet() {
        let jet = of(JetKind::Round, 100.0, 2.0);
        let at = |bore, pa| jet.hazard_m(&exit(bore, pa), SKIN_PA);
        assert!(at(1.0e-3, 1.0e8) > at(1.0e-3, 3.0e7));
        assert!(at(1.4e-3, 3.0e7) > at(1.0e-3, 3.0e7));
        assert_eq!(at(1.0e-3, SKIN_PA), 0.0);
        assert_eq!(jet.hazard_m(&Exit::default(), SKIN_PA), 0.0);
        assert_eq!(at(f64::NAN, 1.0e8), 0.0);
        assert_eq!(jet.hazard_m(&exit(1.0e-3, 1.0e8), f64::NAN), 0.0);
        assert_eq!(jet.hazard_m(&exit(1.0e-3, 1.0e8), 0.0), FARTHEST_M);
    }
}
