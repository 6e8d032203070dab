//! Coming to rest again after a tug, a push or a step.

use super::*;

fn operator() -> Body {
    Body::new(BodySpec::default(), DVec3::ZERO, ALONG_MINUS_Z).unwrap()
}

/// A steady pull of a hose, N: down, aside and a little back.
const HOSE_N: DVec3 = DVec3::new(18.0, -10.0, 8.0);

#[test]
fn a_tug_of_a_tenth_of_a_second_moves_no_foot_and_a_lasting_pull_does() {
    let intent = set(Stance::Staggered, true);
    for (lasts_s, steps) in [(0.1, false), (1.0, true)] {
        let mut body = operator();
        stand(&mut body, 3.0, &intent, 0.6, |_| DVec3::ZERO);
        let events = stand(&mut body, 3.0, &intent, 0.6, |t| {
            if t < lasts_s {
                DVec3::new(0.0, 0.0, -180.0)
            } else {
                DVec3::ZERO
            }
        });
        assert_eq!(events.stepped, steps, "{lasts_s} s");
        assert!(!events.fell);
    }
}

#[test]
fn who_has_stepped_back_under_thrust_stands_still_again_when_it_is_gone() {
    let mut intent = set(Stance::Normal, false);
    let mut body = operator();
    stand(&mut body, 3.0, &intent, 0.6, |_| HOSE_N);
    let thrust = DVec3::new(20.0, 0.0, 140.0);
    let pushed = stand(&mut body, 2.0, &intent, 0.6, |t| {
        HOSE_N + thrust * (t / 0.15).min(1.0)
    });
    assert!(pushed.stepped && !pushed.fell, "{pushed:?}");
    intent.easing = true;
    let released = stand(&mut body, 3.0, &intent, 0.6, |t| {
        HOSE_N + thrust * (1.0 - t / 0.1).max(0.0)
    });
    assert!(!released.fell);
    let steps = body.recovery_steps();
    let events = stand(&mut body, 20.0, &intent, 0.6, |_| HOSE_N);
    assert_eq!(body.recovery_steps(), steps, "it went on stepping");
    assert!(!events.fell && !events.slipped);
    assert!(body.pose().com_velocity.length() < 0.02);
}

#[test]
fn feet_that_are_set_anew_keep_the_body_over_them() {
    let mut body = operator();
    stand(&mut body, 2.0, &set(Stance::Normal, false), 0.6, |_| {
        DVec3::ZERO
    });
    // From one stance to another and back, with nothing that pushes.
    for stance in [
        Stance::Staggered,
        Stance::Wide,
        Stance::Staggered,
        Stance::Normal,
    ] {
        let events = stand(&mut body, 4.0, &set(stance, false), 0.6, |_| DVec3::ZERO);
        assert!(
            !events.stepped && !events.slipped && !events.fell,
            "{stance:?}"
        );
    }
}

#[test]
fn who_lets_go_counts_on_what_the_hose_goes_on_doing() {
    let mut sway = [0.0_f64; 2];
    for (knows, sway) in [false, true].into_iter().zip(&mut sway) {
        let mut intent = set(Stance::Staggered, true);
        if knows {
            intent.lasting_n = HOSE_N;
        }
        let mut body = operator();
        let thrust = DVec3::new(0.0, 0.0, 90.0);
        stand(&mut body, 3.0, &intent, 0.6, |_| HOSE_N);
        stand(&mut body, 3.0, &intent, 0.6, |t| {
            HOSE_N + thrust * (t / 0.15).min(1.0)
        });
        intent.easing = true;
        for n in 0..480 {
            let t = f64::from(n) * DT;
            let load = HOSE_N + thrust * (1.0 - t / 0.1).max(0.0);
            body.substep(DT, &intent, load, &floor(0.6));
            // Aside, where nothing but the hose pulls.
            *sway = sway.max(body.pose().com_velocity.x.abs());
        }
    }
    let [surprised, knowing] = sway;
    assert!(knowing < 0.5 * surprised, "{surprised} {knowing}");
}

#[test]
fn who_squeezes_for_a_thrust_that_is_known_is_thrown_back_less() {
    let mut thrown = [0.0_f64; 2];
    let thrust = DVec3::new(0.0, 0.0, 180.0);
    for (knows, thrown) in [0.0, 0.8].into_iter().zip(&mut thrown) {
        let mut intent = set(Stance::Staggered, true);
        let mut body = operator();
        stand(&mut body, 3.0, &intent, 0.6, |_| DVec3::ZERO);
        intent.coming_n = thrust * knows;
        for n in 0..480 {
            let load = thrust * (f64::from(n) * DT / 0.15).min(1.0);
            body.substep(DT, &intent, load, &floor(0.6));
            *thrown = thrown.max(body.pose().com_velocity.z);
        }
    }
    let [surprised, ready] = thrown;
    assert!(ready < 0.7 * surprised, "{surprised} {ready}");
    // What was known to come and does not throws nobody.
    let mut intent = set(Stance::Staggered, true);
    intent.coming_n = thrust * 0.8;
    let mut body = operator();
    stand(&mut body, 3.0, &set(Stance::Staggered, true), 0.6, |_| {
        DVec3::ZERO
    });
    let events = stand(&mut body, 3.0, &intent, 0.6, |_| DVec3::ZERO);
    assert!(!events.fell, "{events:?}");
}
