//! The jet in the air: decay, footprint, momentum, and what a sweep takes off.

use crate::reference::{Comparison, number, table};
use core::f64::consts::{PI, TAU};
use hydraulics::water::Water;
use hydraulics::{Exit, Impact, JetKind, JetSpec, NozzleSpec, Removal, sweep};
use proptest::prelude::*;

const FAN: JetKind = JetKind::Fan { spread_rad: 0.35 };

fn jet(kind: JetKind, core_diameters: f64, decay: f64) -> JetSpec {
    JetSpec {
        kind,
        core_diameters,
        decay,
    }
}

/// An ideal jet of 1 mm under 1,000 bar: `F = 2 p0 A`.
fn exit() -> Exit {
    let diameter_m = 1.0e-3;
    Exit {
        diameter_m,
        stagnation_pa: 1.0e8,
        thrust_n: 2.0e8 * 0.25 * PI * diameter_m * diameter_m,
    }
}

fn soft() -> Removal {
    Removal {
        threshold_pa: 1.5e7,
        dose_s: 2.0e-3,
        exponent: 1.0,
    }
}

/// From memory in its form, tabled apart: this shows that the cubic is the cubic.
#[test]
fn pressure_over_the_footprint_is_the_cubic_as_tabled() {
    let mut c = Comparison::relative("profile of impact", 1.0e-6);
    for kind in [JetKind::Round, FAN] {
        let impact = jet(kind, 100.0, 1.5).impact(&exit(), 0.25);
        for row in table("jet_impact_profile.csv") {
            let s = number(&row, "r_over_R");
            let got = impact.pressure_pa(s * impact.half_across_m, 0.0) / impact.centre_pa;
            let want = number(&row, "p_cubic");
            // At the edge both are nothing, and nothing has no relative error.
            c.take(s, 1.0 + got, 1.0 + want);
        }
    }
    c.end();
}

/// Closed form, tabled apart. A model and no measurement: this shows that it is the model.
#[test]
fn the_pressure_on_the_axis_decays_as_tabled() {
    let mut pressure = Comparison::relative("pressure on the axis", 1.0e-6);
    let mut speed = Comparison::relative("speed on the axis", 1.0e-6);
    for row in table("jet_decay_model.csv") {
        let (core, decay) = match row["model"].as_str() {
            "core100_n1" => (100.0, 1.0),
            "core100_n2" => (100.0, 2.0),
            "core135_n1" => (135.0, 1.0),
            other => panic!("a model that is not known: {other}"),
        };
        let way_m = number(&row, "x_over_d") * exit().diameter_m;
        let impact = jet(JetKind::Round, core, decay).impact(&exit(), way_m);
        let ratio = impact.centre_pa / exit().stagnation_pa;
        pressure.take(format!("{row:?}"), ratio, number(&row, "p_ratio"));
        speed.take(format!("{row:?}"), ratio.sqrt(), number(&row, "u_ratio"));
    }
    pressure.end();
    speed.end();
}

#[test]
fn the_footprint_is_as_deep_on_either_side() {
    for kind in [JetKind::Round, FAN] {
        let impact = jet(kind, 100.0, 1.5).impact(&exit(), 0.25);
        for s in [0.1, 0.4, 0.9] {
            let [left, right] = [-s, s].map(|s| impact.pressure_pa(s * impact.half_across_m, 0.0));
            assert_eq!(left, right);
            assert!(left > 0.0 && left < impact.centre_pa);
        }
    }
}

/// `R / d = 1.29099` from a force balance by numerical integration (SciPy), and the radius of
/// 1.68 d beyond which nothing was cleaned at `p_c = 0.59 p0`: Guha, Barron and Balachandar,
/// Journal of Materials Processing Technology 211 (2011) 610.
#[test]
fn the_footprint_is_as_wide_as_its_momentum_and_as_cleaning_was_seen() {
    let mut balance = Comparison::relative("radius in the core", 5.0e-6);
    let mut seen = Comparison::relative("radius where cleaning ended", 0.003);
    for decay in [1.0, 1.5, 2.0] {
        let round = jet(JetKind::Round, 100.0, decay);
        let d = exit().diameter_m;
        let near = round.impact(&exit(), 50.0 * d);
        balance.take(decay, near.half_across_m / d, 1.29099);
        let way_m = 100.0 * d / libm::pow(0.59, 1.0 / decay);
        let far = round.impact(&exit(), way_m);
        assert!((far.centre_pa / exit().stagnation_pa - 0.59).abs() < 1.0e-9);
        seen.take(decay, far.half_across_m / d, 1.68);
    }
    balance.end();
    seen.end();
}

/// Force of a footprint, by a grid of squares laid over it.
fn force_n(impact: &Impact) -> f64 {
    const HALF: i32 = 400;
    let width = |half: f64| half / f64::from(HALF);
    let along = if impact.half_along_m > 0.0 {
        impact.half_along_m
    } else {
        impact.half_across_m
    };
    let (dx, dy) = (width(impact.half_across_m), width(along));
    let mut force = 0.0;
    for i in -HALF..HALF {
        for j in -HALF..HALF {
            let (x, y) = ((f64::from(i) + 0.5) * dx, (f64::from(j) + 0.5) * dy);
            let pressure = if impact.half_along_m > 0.0 {
                impact.pressure_pa(x, y)
            } else {
                impact.pressure_pa((x * x + y * y).sqrt(), 0.0)
            };
            force += pressure * dx * dy;
        }
    }
    force
}

#[test]
fn the_footprint_bears_the_whole_thrust_at_every_stand_off() {
    let mut c = Comparison::relative("force of the footprint", 2.0e-4);
    for kind in [JetKind::Round, FAN, JetKind::Fan { spread_rad: 1.2 }] {
        for decay in [1.0, 1.5, 2.0] {
            for way_m in [0.0, 0.01, 0.05, 0.1, 0.2, 0.5, 2.0] {
                let impact = jet(kind, 100.0, decay).impact(&exit(), way_m);
                let at = format!("{kind:?} n {decay} at {way_m} m");
                c.take(at, force_n(&impact), exit().thrust_n);
            }
        }
    }
    c.end();
    // And the grid sees a footprint that bears too much.
    let mut wide = jet(JetKind::Round, 100.0, 1.5).impact(&exit(), 0.2);
    wide.half_across_m *= 1.001;
    let mut c = Comparison::relative("too wide", 1.0e-3);
    c.take("here", force_n(&wide), exit().thrust_n);
    assert!(c.refuses());
}

/// Closed form: `d / w`, `w = d + 2 x tan(spread / 2)`, besides the decay of the round jet.
#[test]
fn pressure_of_a_fan_falls_with_its_width_and_below_that_of_a_round_jet() {
    let mut law = Comparison::relative("pressure times width", 1.0e-12);
    let mut ratio = Comparison::relative("fan over round", 1.0e-12);
    let d = exit().diameter_m;
    for way_m in [0.0, 0.02, 0.05, 0.1, 0.3, 1.0] {
        let fan = jet(FAN, 100.0, 1.5).impact(&exit(), way_m);
        let round = jet(JetKind::Round, 100.0, 1.5).impact(&exit(), way_m);
        let width_m = 2.0 * fan.half_along_m;
        if way_m <= 0.1 {
            law.take(way_m, fan.centre_pa * width_m, exit().stagnation_pa * d);
        }
        let want = d / (d + 2.0 * way_m * libm::tan(0.175));
        ratio.take(way_m, fan.centre_pa / round.centre_pa, want);
    }
    law.end();
    ratio.end();
}

#[test]
fn the_half_width_of_the_cut_is_where_the_pressure_meets_the_threshold() {
    let mut c = Comparison::relative("pressure at the edge of the cut", 1.0e-9);
    for kind in [JetKind::Round, FAN] {
        let impact = jet(kind, 60.0, 1.5).impact(&exit(), 0.1);
        for share in [0.001, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99] {
            let threshold = share * impact.centre_pa;
            let half = impact.half_cut_m(threshold);
            c.take(share, impact.pressure_pa(half, 0.0), threshold);
            assert!(half > 0.0 && half < impact.half_across_m);
        }
        assert_eq!(impact.half_cut_m(impact.centre_pa), 0.0);
        assert_eq!(impact.half_cut_m(2.0 * impact.centre_pa), 0.0);
        assert_eq!(impact.half_cut_m(0.0), impact.half_across_m);
        assert_eq!(impact.half_cut_m(f64::NAN), 0.0);
    }
    c.end();
}

/// Closed form: `d = bore sqrt(Cd)`, because the coefficient narrows the stream, and `F = 2 p0 A`.
#[test]
fn the_jet_of_a_nozzle_leaves_with_the_diameter_of_its_stream() {
    let mut diameter = Comparison::relative("diameter at the exit", 1.0e-6);
    let mut balance = Comparison::relative("thrust over 2 p0 A", 1.0e-9);
    for (t, p) in [(5.0, 1.0e7), (20.0, 7.0e7), (20.0, 2.8e8), (40.0, 3.0e8)] {
        let at = format!("{t} degC {p} Pa");
        let line = Water::at_celsius(t).isotherm();
        let density = line.atmospheric_density();
        let nozzle = NozzleSpec::round(1.2e-3, 0.9, 1.0);
        let left = nozzle.jet(&line, p, nozzle.mass_flow(&line, p));
        let exit = Exit::of(left.mass_flow_kg_s, left.thrust_n, density).expect("a jet");
        // The straight end of the orifice's law takes five parts in a million off the flow at
        // 100 bar and less above.
        let whole = exit.diameter_m / (1.0 - 25.0 / p);
        diameter.take(&at, whole, 1.2e-3 * f64::sqrt(0.9));
        let area = 0.25 * PI * exit.diameter_m * exit.diameter_m;
        balance.take(&at, exit.thrust_n, 2.0 * exit.stagnation_pa * area);
    }
    diameter.end();
    balance.end();
    assert_eq!(Exit::of(0.0, 100.0, 998.0), None);
    assert_eq!(Exit::of(0.5, f64::NAN, 998.0), None);
    assert_eq!(Exit::of(f64::INFINITY, 100.0, 998.0), None);
}

/// Dose and touches of one point while the tool travels along x, in small steps of time.
fn brute(jet: &JetSpec, removal: &Removal, stand_off_m: f64, u: f64, at: (f64, f64)) -> (f64, f64) {
    let (ring, turns, way, slant) = match jet.kind {
        JetKind::Rotating {
            cone_rad,
            radius_m,
            turns_per_s,
        } => (
            radius_m + stand_off_m * libm::tan(cone_rad),
            turns_per_s,
            stand_off_m / libm::cos(cone_rad),
            libm::cos(cone_rad) * libm::cos(cone_rad),
        ),
        _ => (0.0, 0.0, stand_off_m, 1.0),
    };
    let impact = jet.impact(&exit(), way);
    let reach = ring + impact.half_across_m;
    let dt = 0.02 * impact.half_across_m / (u + TAU * turns * ring);
    // From before the first touch until after the last.
    let steps = (2.2 * reach / (u * dt)).ceil() as u32;
    let begin = at.0 / u - 1.1 * reach / u;
    let (mut dose, mut touches, mut under) = (0.0, 0.0, false);
    for i in 0..steps {
        let t = begin + (f64::from(i) + 0.5) * dt;
        let angle = TAU * turns * t;
        let x = at.0 - u * t - ring * libm::cos(angle);
        let y = at.1 - ring * libm::sin(angle);
        let pressure = if impact.half_along_m > 0.0 {
            impact.pressure_pa(x, y)
        } else {
            impact.pressure_pa((x * x + y * y).sqrt(), 0.0)
        };
        dose += removal.rate(slant * pressure) * dt;
        let now = slant * pressure > removal.threshold_pa;
        touches += f64::from(u8::from(now && !under));
        under = now;
    }
    (dose, touches)
}

/// Means of dose and touches over a band, from a raster of points.
fn brute_band(jet: &JetSpec, removal: &Removal, stand_off_m: f64, u: f64) -> (f64, f64) {
    let told = sweep(jet, &exit(), removal, stand_off_m, u);
    let across = 161;
    // Several points to a footprint, along one turn.
    let along = (5.0 * told.pitch_m / told.cut_width_m).ceil().max(1.0) as i32;
    let (mut dose, mut touches) = (0.0, 0.0);
    for i in 0..across {
        let y = ((f64::from(i) + 0.5) / f64::from(across) - 0.5) * told.swath_m;
        for j in 0..along {
            let x = f64::from(j) / f64::from(along) * told.pitch_m;
            let (d, n) = brute(jet, removal, stand_off_m, u, (x, y));
            dose += d;
            touches += n;
        }
        // Just beyond the band nothing is touched.
        if i == 0 {
            let (d, n) = brute(jet, removal, stand_off_m, u, (0.0, 0.501 * told.swath_m));
            assert_eq!((d, n), (0.0, 0.0));
        }
    }
    let count = f64::from(across * along);
    (dose / count, touches / count)
}

/// A second method: points of the band, each followed through time.
#[test]
fn a_sweep_of_a_round_jet_or_a_fan_gives_what_points_under_it_get() {
    let mut middle = Comparison::relative("dose in the middle", 0.003);
    let mut mean = Comparison::relative("mean dose of the band", 0.005);
    for (kind, stand_off_m) in [
        (JetKind::Round, 0.05),
        (JetKind::Round, 0.3),
        (FAN, 0.01),
        (FAN, 0.015),
    ] {
        for exponent in [1.0, 1.5] {
            let removal = Removal { exponent, ..soft() };
            let jet = jet(kind, 100.0, 1.5);
            let told = sweep(&jet, &exit(), &removal, stand_off_m, 0.2);
            let at = format!("{kind:?} at {stand_off_m} m, exponent {exponent}");
            let (dose, touches) = brute(&jet, &removal, stand_off_m, 0.2, (0.0, 0.0));
            middle.take(&at, told.dose_per_touch, dose);
            assert_eq!(told.mid_dose, told.dose_per_touch);
            assert_eq!((touches, told.passes, told.pitch_m), (1.0, 1.0, 0.0));
            let (dose, touches) = brute_band(&jet, &removal, stand_off_m, 0.2);
            mean.take(&at, told.mean_dose, dose);
            assert_eq!(touches, 1.0);
        }
    }
    middle.end();
    mean.end();
}

#[test]
fn a_sweep_of_a_rotating_jet_gives_what_points_under_it_get() {
    let mut mean = Comparison::relative("mean dose of the band", 0.002);
    let mut middle = Comparison::relative("dose along the middle", 1.0e-4);
    let mut passes = Comparison::relative("touches of a point", 0.005);
    // Quick and slow turning, a ring wider than the footprint and one within it.
    for (cone_rad, radius_m, turns_per_s, u) in [
        (0.1, 0.005, 25.0, 0.15),
        (0.1, 0.005, 5.0, 0.15),
        (0.3, 0.002, 40.0, 0.3),
        (0.01, 0.0, 30.0, 0.02),
    ] {
        let kind = JetKind::Rotating {
            cone_rad,
            radius_m,
            turns_per_s,
        };
        let jet = jet(kind, 60.0, 1.5);
        let told = sweep(&jet, &exit(), &soft(), 0.05, u);
        let (dose, touches) = brute_band(&jet, &soft(), 0.05, u);
        println!("{kind:?} {told:?}: dose {dose}, touches {touches}");
        mean.take(format!("{kind:?}"), told.mean_dose, dose);
        passes.take(format!("{kind:?}"), told.passes, touches);
        assert_eq!(told.pitch_m, u / turns_per_s);
        let along = 400;
        let dose: f64 = (0..along)
            .map(|j| f64::from(j) / f64::from(along) * told.pitch_m)
            .map(|x| brute(&jet, &soft(), 0.05, u, (x, 0.0)).0)
            .sum();
        middle.take(format!("{kind:?}"), told.mid_dose, dose / f64::from(along));
    }
    mean.end();
    middle.end();
    passes.end();
}

#[test]
fn half_the_speed_is_twice_the_dose_and_twice_the_passes() {
    let rotating = JetKind::Rotating {
        cone_rad: 0.2,
        radius_m: 0.004,
        turns_per_s: 50.0,
    };
    let mut dose = Comparison::relative("mean dose by speed", 1.0e-12);
    let mut passes = Comparison::relative("passes by speed", 0.002);
    for kind in [JetKind::Round, FAN, rotating] {
        let jet = jet(kind, 100.0, 1.5);
        let at = |u: f64| sweep(&jet, &exit(), &soft(), 0.012, u);
        dose.take(
            format!("{kind:?}"),
            at(0.1).mean_dose,
            2.0 * at(0.2).mean_dose,
        );
        if kind == rotating {
            // Turning is quick beside travel here, so the way along the ring is what counts.
            passes.take("rotating", at(0.1).passes, 2.0 * at(0.2).passes);
        } else {
            assert_eq!(at(0.1).dose_per_touch, 2.0 * at(0.2).dose_per_touch);
        }
    }
    dose.end();
    passes.end();
}

#[test]
fn a_rotating_jet_without_cone_and_ring_is_a_round_jet() {
    let still = JetKind::Rotating {
        cone_rad: 0.0,
        radius_m: 0.0,
        turns_per_s: 30.0,
    };
    let round = sweep(&jet(JetKind::Round, 80.0, 1.5), &exit(), &soft(), 0.1, 0.1);
    let mut led = sweep(&jet(still, 80.0, 1.5), &exit(), &soft(), 0.1, 0.1);
    assert_eq!(led.pitch_m, 0.1 / 30.0);
    led.pitch_m = 0.0;
    assert_eq!(led, round);
    assert!(round.mean_dose > 0.0 && round.dose_per_touch > round.mean_dose);
}

#[test]
fn below_the_threshold_nothing_comes_off_and_without_travel_there_is_no_band() {
    for kind in [JetKind::Round, FAN] {
        let jet = jet(kind, 100.0, 1.5);
        let centre_pa = jet.impact(&exit(), 0.05).centre_pa;
        let hard = |threshold_pa: f64| Removal {
            threshold_pa,
            ..soft()
        };
        let none = sweep(&jet, &exit(), &hard(centre_pa), 0.05, 0.1);
        assert_eq!(none, hydraulics::Sweep::default());
        let some = sweep(&jet, &exit(), &hard(0.99 * centre_pa), 0.05, 0.1);
        assert!(some.cut_width_m > 0.0 && some.mean_dose > 0.0);
        for speed in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let none = sweep(&jet, &exit(), &soft(), 0.05, speed);
            assert_eq!(none, hydraulics::Sweep::default());
        }
    }
}

#[test]
fn values_out_of_range_are_all_named() {
    let bad = jet(JetKind::Fan { spread_rad: 3.0 }, 0.0, f64::NAN);
    let named: Vec<_> = bad
        .validate()
        .unwrap_err()
        .iter()
        .map(|e| e.field)
        .collect();
    assert_eq!(named, ["jet.core_diameters", "jet.decay", "jet.spread_rad"]);
    let bad = Removal {
        threshold_pa: 0.0,
        dose_s: -1.0,
        exponent: 9.0,
    };
    assert_eq!(bad.validate().unwrap_err().len(), 3);
    assert!(soft().validate().is_ok() && jet(FAN, 60.0, 1.5).validate().is_ok());
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -10.0f64..1000.0,
        2 => -1.0e12f64..1.0e12,
        2 => prop_oneof![
            Just(0.0),
            Just(f64::NAN),
            Just(f64::INFINITY),
            Just(f64::NEG_INFINITY),
            Just(f64::MAX),
            Just(f64::MIN_POSITIVE),
        ],
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]
    #[test]
    fn nothing_from_outside_makes_a_jet_not_a_number(
        which in 0usize..3,
        shape in prop::array::uniform5(any_number()),
        leaving in prop::array::uniform3(any_number()),
        takes in prop::array::uniform3(any_number()),
        (way, speed, off) in (any_number(), any_number(), any_number()),
    ) {
        let kind = [
            JetKind::Round,
            JetKind::Fan { spread_rad: shape[0] },
            JetKind::Rotating { cone_rad: shape[0], radius_m: shape[1], turns_per_s: shape[2] },
        ][which];
        let jet = jet(kind, shape[3], shape[4]);
        let [diameter_m, stagnation_pa, thrust_n] = leaving;
        let left = Exit { diameter_m, stagnation_pa, thrust_n };
        if let Some(exit) = Exit::of(leaving[0], leaving[1], leaving[2]) {
            prop_assert!(exit.diameter_m.is_finite() && exit.stagnation_pa.is_finite());
        }
        let removal = Removal { threshold_pa: takes[0], dose_s: takes[1], exponent: takes[2] };
        for exit in [left, exit()] {
            let impact = jet.impact(&exit, way);
            for value in [
                impact.centre_pa,
                impact.half_across_m,
                impact.half_along_m,
                impact.pressure_pa(off, way),
                impact.half_cut_m(takes[0]),
                removal.rate(off),
            ] {
                prop_assert!(value.is_finite() && value >= 0.0, "{value} of {impact:?}");
            }
            let told = sweep(&jet, &exit, &removal, way, speed);
            for value in [
                told.cut_width_m,
                told.swath_m,
                told.pitch_m,
                told.passes,
                told.dose_per_touch,
                told.mean_dose,
                told.mid_dose,
            ] {
                prop_assert!(value.is_finite() && value >= 0.0, "{told:?}");
            }
        }
    }
}
