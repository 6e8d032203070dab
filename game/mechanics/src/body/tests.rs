//! What a standing operator must do, against tables and closed forms.

mod flips;
mod hands;
mod recovery;
mod state;
mod trip;

use glam::DVec3;

use super::balance::static_need;
use super::endurance::{ENDLESS_BELOW, Strength, endurance_s};
use super::*;
use crate::GRAVITY_M_S2;
use crate::ground::{Flat, Nothing};
use crate::reference::{Table, agrees};
use crate::rod::{Rod, RodEnd, RodSpec};

const DT: f64 = 1.0 / 480.0;
/// Operators here face along negative z, so that a thrust pushes along z.
const ALONG_MINUS_Z: f64 = PI / 2.0;

fn floor(friction: f64) -> Flat {
    Flat {
        height: 0.0,
        friction,
    }
}

fn operator(mass_kg: f64) -> Body {
    let spec = BodySpec {
        mass_kg,
        ..BodySpec::default()
    };
    Body::new(spec, DVec3::ZERO, ALONG_MINUS_Z).unwrap()
}

/// Runs for `seconds` under a load back along the facing, and gives all events.
fn stand(
    body: &mut Body,
    seconds: f64,
    intent: &BodyIntent,
    friction: f64,
    load: impl Fn(f64) -> DVec3,
) -> BodyEvents {
    let mut events = BodyEvents::default();
    for i in 0..libm::round(seconds / DT) as usize {
        let middle = (i as f64 + 0.5) * DT;
        events.merge(body.substep(DT, intent, load(middle), &floor(friction)));
    }
    events
}

/// A thrust that rises evenly to `force` in `rise` seconds, back along the facing (+z).
fn thrust(force: f64, rise: f64) -> impl Fn(f64) -> DVec3 {
    move |t| DVec3::Z * (force * (t / rise).min(1.0))
}

fn set(stance: Stance, brace: bool) -> BodyIntent {
    BodyIntent {
        stance,
        brace,
        ..BodyIntent::default()
    }
}

/// An operator who has taken a stance and, if asked, the tool to the shoulder.
fn ready(mass_kg: f64, intent: &BodyIntent) -> Body {
    let mut body = operator(mass_kg);
    let events = stand(&mut body, 3.0, intent, 0.6, |_| DVec3::ZERO);
    assert!(!events.stepped && !events.slipped && !events.fell);
    assert_eq!(body.braced(), f64::from(u8::from(intent.brace)));
    body
}

/// Closed form: a free mass under a ramped force.
#[test]
fn before_the_reaction_the_start_up_jolt_moves_the_body_as_a_free_mass() {
    for row in Table::read("startup_jolt.csv").rows() {
        let spec = BodySpec {
            mass_kg: row.number("mass_kg"),
            reaction_delay_s: row.number("tau_s"),
            ..BodySpec::default()
        };
        let mut body = Body::new(spec, DVec3::ZERO, ALONG_MINUS_Z).unwrap();
        let from = body.pose().com;
        let load = thrust(row.number("F_N"), row.number("t_rise_s"));
        stand(
            &mut body,
            row.number("tau_s"),
            &set(Stance::Normal, false),
            0.6,
            &load,
        );
        let pose = body.pose();
        let (v, x) = (pose.com_velocity.z, (pose.com - from).z * 1000.0);
        println!(
            "jolt {v} {x} want {} {}",
            row.number("v_m_s"),
            row.number("x_mm")
        );
        assert!(agrees(v, row.number("v_m_s"), 0.01));
        assert!(agrees(x, row.number("x_mm"), 0.01));
        assert!(!agrees(v * 1.02, row.number("v_m_s"), 0.01));
        // And right after it the ground pushes back.
        assert_eq!(body.ground_force().z, 0.0);
        let (rise, force) = (row.number("t_rise_s"), row.number("F_N"));
        stand(&mut body, 0.02, &set(Stance::Normal, false), 0.6, |t| {
            thrust(force, rise)(t + row.number("tau_s"))
        });
        assert!(body.ground_force().z < 0.0);
    }
}

/// Closed form: `mu = F cos / (W - F sin)`, `b = F cos h / (W - F sin)`.
#[test]
fn the_statics_of_a_load_are_those_of_the_table() {
    for row in Table::read("operator_balance.csv").rows() {
        let angle = row.number("jet_below_horiz_deg").to_radians();
        let force = row.number("F_N");
        let need = static_need(
            row.number("mass_kg"),
            force * libm::cos(angle),
            force * libm::sin(angle),
            row.number("h_m"),
        )
        .unwrap();
        assert!(agrees(need.normal_n, row.number("normal_N"), 1e-5));
        assert!(agrees(need.horizontal_n, row.number("horiz_N"), 1e-5));
        assert!(agrees(need.friction, row.number("mu_required"), 1e-5));
        assert!(agrees(need.offset_m, row.number("b_required_m"), 1e-5));
        assert!(!agrees(
            need.offset_m * 1.001,
            row.number("b_required_m"),
            1e-5
        ));
        let slips = need.friction > row.number("mu_ground");
        assert_eq!(slips, row.text("verdict") == "slip");
    }
    assert_eq!(static_need(60.0, 0.0, 700.0, 1.1), None);
}

/// The same table, answered by the body itself under a load that rises slowly.
/// The table has the hands over the centre of mass; where they are ahead or
/// behind, an upward load has a lever of its own, which is taken off.
#[test]
fn a_body_slips_and_bears_where_the_table_says() {
    for row in Table::read("operator_balance.csv").rows() {
        let spec = BodySpec {
            mass_kg: row.number("mass_kg"),
            hand_height_m: row.number("h_m"),
            hand_reach_m: 0.0,
            ..BodySpec::default()
        };
        let intent = set(Stance::Staggered, false);
        let mut body = Body::new(spec, DVec3::ZERO, ALONG_MINUS_Z).unwrap();
        stand(&mut body, 2.0, &intent, 0.6, |_| DVec3::ZERO);
        let angle = row.number("jet_below_horiz_deg").to_radians();
        let force = DVec3::new(0.0, libm::sin(angle), libm::cos(angle)) * row.number("F_N");
        let mu = row.number("mu_ground");
        let events = stand(&mut body, 14.0, &intent, mu, |t| {
            force * (t / 10.0).min(1.0)
        });
        println!(
            "{events:?} {} b {} want {}",
            row.text("verdict"),
            body.pressure_point().z - body.pose().com.z,
            row.number("b_required_m")
        );
        assert_eq!(events.slipped, row.text("verdict") == "slip");
        if !events.slipped {
            assert!(!events.stepped && !events.fell);
            let reach = body.hands.reach(body.yaw).at_height(0.0).z;
            let lever = reach * force.y;
            let behind =
                body.pressure_point().z - body.pose().com.z + lever / row.number("normal_N");
            assert!(agrees(behind, row.number("b_required_m"), 0.01));
            assert!(agrees(-body.ground_force().z, row.number("horiz_N"), 0.01));
            assert!(agrees(body.ground_force().y, row.number("normal_N"), 0.01));
        }
    }
}

#[test]
fn a_braced_staggered_operator_holds_the_first_level_s_thrust_without_a_step() {
    for mass in [75.0, 80.0] {
        for rise in [0.1, 0.3] {
            let intent = set(Stance::Staggered, true);
            let mut body = ready(mass, &intent);
            let events = stand(&mut body, 10.0, &intent, 0.6, thrust(205.0, rise));
            println!("{mass} kg {rise} s {events:?} {:?}", body.pose());
            assert!(!events.stepped && !events.fell && !events.brace_lost);
            assert_eq!(body.braced(), 1.0);
            assert!(body.pose().com_velocity.length() < 0.01);
            assert!(body.pose().lean_rad.0 > 0.05, "leans into it");
        }
    }
}

/// Closed form: `atan(F h / (W h_com))`, the lean that brings the pressure point
/// back under the middle of the feet.
/// Statics: of 200 N at 0.3 rad to the side and 1.1 m up the ground bears 0.083 m
/// aside of where it bears the weight, which is within the feet of the stance.
#[test]
fn a_braced_staggered_operator_bears_a_push_from_either_side_without_a_step() {
    let intent = set(Stance::Staggered, true);
    for side in [-0.3, 0.3] {
        let mut body = ready(80.0, &intent);
        let events = stand(&mut body, 12.0, &intent, 0.5, |t| {
            let aside = side * (t / 2.0).min(1.0);
            let push = 200.0 * (t / 0.15).min(1.0);
            DVec3::new(push * libm::sin(aside), 0.0, push * libm::cos(aside))
        });
        assert!(
            !events.stepped && !events.slipped && !events.fell,
            "{side}: {events:?}"
        );
    }
}

/// Nobody falls over a thrust that they end themselves.
#[test]
fn a_braced_staggered_operator_lets_go_of_a_straight_push_without_a_step() {
    let intent = set(Stance::Staggered, true);
    let lets_go = BodyIntent {
        easing: true,
        ..intent
    };
    for push in [100.0, 150.0, 190.0] {
        let mut body = ready(80.0, &intent);
        stand(&mut body, 6.0, &intent, 0.5, thrust(push, 0.15));
        let events = stand(&mut body, 4.0, &lets_go, 0.5, |t| {
            DVec3::Z * (push * (1.0 - t / 0.12).max(0.0))
        });
        assert!(
            !events.stepped && !events.slipped && !events.fell,
            "{push}: {events:?}"
        );
    }
}

#[test]
fn a_lasting_load_makes_the_body_lean_by_the_angle_of_statics_and_no_more() {
    for force in [50.0, 150.0] {
        let intent = set(Stance::Staggered, false);
        let mut body = ready(80.0, &intent);
        stand(&mut body, 12.0, &intent, 0.6, thrust(force, 4.0));
        let want = libm::atan(force * 1.1 / (80.0 * GRAVITY_M_S2 * 1.0));
        let got = body.pose().lean_rad.0;
        println!("lean {got} want {want}");
        assert!(agrees(got, want, 0.01));
    }
}

#[test]
fn the_ground_bears_only_where_there_are_feet() {
    for (stance, brace, force) in [
        (Stance::Normal, false, 250.0),
        (Stance::Wide, true, 120.0),
        (Stance::Staggered, true, 300.0),
    ] {
        let intent = set(stance, brace);
        let mut body = ready(80.0, &intent);
        let mut at_the_edge = 0;
        for i in 0..1440 {
            let base = body.base();
            let placing = body.swing.is_some();
            let load = thrust(force, 0.1)(f64::from(i) * DT);
            body.substep(DT, &intent, load, &floor(0.6));
            // The feet may have moved between the two.
            let steady = placing == body.swing.is_some() && base == body.base();
            if body.is_fallen() || !steady || body.is_slipping() {
                continue;
            }
            let outside = base.outside_m(Plan::of(body.pressure_point()));
            assert!(outside < 1e-9, "{stance:?} at {i}: {outside} m");
            let edge = base.widened(0.0).outside_m(Plan::of(body.pressure_point()));
            at_the_edge += u32::from(edge > gait::HALF_FOOT_M - 1e-6);
        }
        println!("{stance:?}: at the edge of the base for {at_the_edge} substeps");
        assert!(at_the_edge > 5, "the base was what limited the push");
    }
}

#[test]
fn an_unready_operator_steps_back_under_a_start_up_jolt_of_250_newtons() {
    for mass in [75.0, 80.0] {
        let intent = set(Stance::Normal, false);
        let mut body = ready(mass, &intent);
        let events = stand(&mut body, 6.0, &intent, 0.6, thrust(250.0, 0.1));
        println!(
            "{mass} kg {events:?} steps {} {:?}",
            body.recovery_steps(),
            body.pose()
        );
        assert!(events.stepped);
        assert!(body.recovery_steps() >= 1);
        assert!(body.pose().feet[0].z > 0.2 || body.pose().feet[1].z > 0.2);
    }
}

#[test]
fn a_step_takes_the_tool_from_the_shoulder_and_bracing_takes_its_time() {
    let intent = set(Stance::Normal, true);
    let mut body = operator(80.0);
    let events = stand(&mut body, 0.59, &intent, 0.6, |_| DVec3::ZERO);
    assert!(!events.braced && body.braced() < 1.0);
    let events = stand(&mut body, 0.02, &intent, 0.6, |_| DVec3::ZERO);
    assert!(events.braced && body.braced() == 1.0);
    let mut lost = false;
    for i in 0..960 {
        let load = thrust(400.0, 0.05)(f64::from(i) * DT);
        let events = body.substep(DT, &intent, load, &floor(0.8));
        if events.stepped {
            lost = true;
            assert!(events.brace_lost && body.braced() == 0.0);
            break;
        }
    }
    assert!(lost, "a step was made");
}

#[test]
fn thrust_that_vanishes_throws_the_body_forward() {
    let intent = set(Stance::Staggered, true);
    let mut body = ready(80.0, &intent);
    stand(&mut body, 8.0, &intent, 0.6, thrust(205.0, 0.3));
    let from = body.pose().com.z;
    let mut fastest = 0.0_f64;
    let mut events = BodyEvents::default();
    for _ in 0..480 {
        events.merge(body.substep(DT, &intent, DVec3::ZERO, &floor(0.6)));
        fastest = fastest.max(-body.pose().com_velocity.z);
    }
    // For a reaction time the feet still push with 205 N: 0.51 m/s.
    println!(
        "forward {fastest} m/s, {events:?}, moved {}",
        body.pose().com.z - from
    );
    assert!(agrees(fastest, 205.0 * 0.2 / 80.0, 0.02));
    assert!(events.stepped || events.fell);
}

#[test]
fn slippery_footing_makes_the_feet_go_and_no_footing_a_fall() {
    let intent = set(Stance::Staggered, true);
    let mut body = ready(80.0, &intent);
    let events = stand(&mut body, 8.0, &intent, 0.05, thrust(205.0, 0.3));
    assert!(events.slipped && events.fell && body.is_fallen());

    let mut body = ready(80.0, &intent);
    let mut events = BodyEvents::default();
    for _ in 0..48 {
        events.merge(body.substep(DT, &intent, DVec3::ZERO, &Nothing));
    }
    assert!(events.fell);
}

/// Formula of Rohmert 1960 as tabled.
#[test]
fn endurance_is_that_of_rohmert() {
    for row in Table::read("rohmert.csv").rows() {
        let want = row.number("T_rohmert_s");
        let got = endurance_s(row.number("f")).unwrap();
        assert!(agrees(got, want, 1e-6));
        assert!(!agrees(got * 1.001, want, 1e-6));
        let mut strength = Strength::default();
        let mut held = 0.0;
        while strength.left() > 0.0 {
            strength.hold(0.01, row.number("f"), 600.0);
            held += 0.01;
        }
        assert!(agrees(held, want, 0.01));
    }
    assert_eq!(endurance_s(ENDLESS_BELOW - 1e-9), None);
    assert_eq!(endurance_s(f64::NAN), None);
}

#[test]
fn a_braced_operator_tires_later_and_rest_restores() {
    let left = |brace: bool| {
        let intent = set(Stance::Staggered, brace);
        let mut body = ready(80.0, &intent);
        stand(&mut body, 30.0, &intent, 0.6, thrust(150.0, 2.0));
        body
    };
    let (free, braced) = (left(false), left(true));
    assert!(free.strength_left() < braced.strength_left());
    assert!(free.strength_left() < 0.9);
    let mut rested = free.clone();
    stand(
        &mut rested,
        30.0,
        &set(Stance::Staggered, false),
        0.6,
        |_| DVec3::ZERO,
    );
    let gain = rested.strength_left() - free.strength_left();
    assert!(agrees(gain, 30.0 / 600.0, 0.05));
}

#[test]
fn walking_reaches_its_speed_and_stops_without_a_stumble() {
    for (ahead, aside) in [(1.4, 0.0), (0.0, 0.8), (-0.8, 0.0), (2.2, 0.0)] {
        let mut body = operator(80.0);
        let walk = BodyIntent {
            velocity_body: (ahead, aside),
            ..BodyIntent::default()
        };
        let events = stand(&mut body, 4.0, &walk, 0.6, |_| DVec3::ZERO);
        let v = body.pose().com_velocity;
        println!("walk {v} {events:?} {:?}", body.pose().feet);
        assert!((v.length() - (ahead * ahead + aside * aside).sqrt()).abs() < 0.05);
        assert!(!events.stepped && !events.slipped && !events.fell);
        let apart = (body.pose().feet[0] - body.pose().feet[1]).length();
        assert!(apart < 1.3, "the feet keep together");
        let events = stand(&mut body, 3.0, &BodyIntent::default(), 0.6, |_| DVec3::ZERO);
        println!("stop {events:?} {:?}", body.pose());
        assert!(!events.stepped && !events.slipped && !events.fell);
        assert!(body.pose().com_velocity.length() < 0.01);
        for (i, foot) in body.pose().feet.iter().enumerate() {
            let home = gait::home_of(body.center, &Facing::at(body.yaw()), Stance::Normal, i);
            assert!((Plan::of(*foot) - home).length() < 0.1);
        }
    }
}

/// Whoever takes a step or two and stands again, however they stand, does not stumble.
#[test]
fn short_walks_in_any_stance_end_without_a_stumble() {
    for stance in [Stance::Normal, Stance::Wide, Stance::Staggered] {
        for brace in [false, true] {
            for (ahead, right) in [
                (0.45, 0.0),
                (1.2, 0.0),
                (-0.84, 0.0),
                (0.0, 0.84),
                (0.0, -0.84),
                (0.6, 0.6),
            ] {
                for tap in 1..16_u32 {
                    let still = set(stance, brace);
                    let walks = BodyIntent {
                        velocity_body: (ahead, right),
                        ..still
                    };
                    let mut body = ready(84.0, &still);
                    let mut events = BodyEvents::default();
                    for _ in 0..2 {
                        let seconds = 0.08 * f64::from(tap);
                        events.merge(stand(&mut body, seconds, &walks, 0.5, |_| DVec3::ZERO));
                        events.merge(stand(&mut body, 2.0, &still, 0.5, |_| DVec3::ZERO));
                    }
                    assert!(
                        !events.stepped && !events.slipped && !events.fell,
                        "{stance:?} {brace} {ahead} {right} tap {tap}: {events:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_facing_turns_to_the_left_from_x() {
    for (yaw, ahead, right) in [
        (0.0, DVec3::X, DVec3::Z),
        (PI / 2.0, DVec3::NEG_Z, DVec3::X),
    ] {
        let body = Body::new(BodySpec::default(), DVec3::ZERO, yaw).unwrap();
        assert!((body.forward() - ahead).length() < 1e-12);
        assert!((Facing::at(yaw).right.at_height(0.0) - right).length() < 1e-12);
        let reach = body.hands() - body.pose().com;
        assert!(agrees(reach.dot(ahead), 0.35, 1e-9));
    }
}

#[test]
fn turning_in_place_takes_the_feet_along() {
    let mut body = operator(80.0);
    let turn = BodyIntent {
        yaw_rate: 1.5,
        ..BodyIntent::default()
    };
    let events = stand(&mut body, 3.0, &turn, 0.6, |_| DVec3::ZERO);
    stand(&mut body, 1.5, &BodyIntent::default(), 0.6, |_| DVec3::ZERO);
    assert!(!events.stepped && !events.fell);
    assert!((body.yaw() - (ALONG_MINUS_Z + 4.5 - 2.0 * PI)).abs() < 1e-6);
    for foot in &body.feet {
        assert!(libm::remainder(foot.yaw - body.yaw(), 2.0 * PI).abs() < 0.5);
    }
}

#[test]
fn feet_stand_on_the_ground_they_find() {
    for height in [-0.2, 0.0, 0.3] {
        let mut body = operator(80.0);
        let ground = Flat {
            height,
            friction: 0.6,
        };
        for _ in 0..10 {
            body.substep(DT, &BodyIntent::default(), DVec3::ZERO, &ground);
        }
        let pose = body.pose();
        assert!((pose.feet[0].y - height).abs() < 1e-9);
        assert!((pose.com.y - height - 1.0).abs() < 1e-9);
        assert!((pose.hands.y - height - 1.1).abs() < 1e-9);
    }
}

#[test]
fn the_hands_give_way_less_at_the_shoulder() {
    let give = |brace: bool| {
        let intent = set(Stance::Staggered, brace);
        let mut body = ready(80.0, &intent);
        let before = body.hands().z;
        stand(&mut body, 6.0, &intent, 0.6, thrust(100.0, 1.0));
        body.hands().z - before
    };
    let (free, braced) = (give(false), give(true));
    println!("hands give {free} and {braced} m");
    assert!(free > 3.0 * braced && braced > 0.0);
}

#[test]
fn pushing_the_whole_body_aside_does_not_disturb_it() {
    let intent = set(Stance::Staggered, true);
    let mut body = ready(80.0, &intent);
    let mut moved = body.clone();
    let by = DVec3::new(0.5, 0.0, -0.25);
    moved.shift(by);
    let load = thrust(150.0, 0.3);
    stand(&mut body, 1.0, &intent, 0.6, &load);
    stand(&mut moved, 1.0, &intent, 0.6, &load);
    assert!((moved.pose().com - body.pose().com - by).length() < 1e-9);
}

struct Worked {
    body: Body,
    events: BodyEvents,
    hose: DVec3,
    stretch_m: f64,
    microseconds_a_tick: f64,
}

/// Ten seconds of hose, tool and body in one loop, thrust on, from `icy` seconds on ice.
fn work_with_hose(icy: f64) -> Worked {
    let spec = RodSpec {
        length_m: 20.0,
        segments: 80,
        outer_radius_m: 0.010,
        empty_mass_kg_per_m: 0.6,
        bore_m: 0.008,
        bending_stiffness_n_m2: 4.0,
        stiffness_per_pa: 2e-7,
        axial_stiffness_n: 1e6,
        damping_s: 0.02,
        min_bend_radius_m: 0.2,
        friction_scale: 1.0,
        wave_speed_m_s: 1200.0,
        drag_coefficient: 1.2,
    };
    let intent = set(Stance::Staggered, true);
    let mut body = ready(80.0, &intent);
    let start = DVec3::new(-12.0, 0.5, 10.0);
    let corner = DVec3::new(0.0, 0.01, 1.5);
    let path = [start, DVec3::new(-11.0, 0.01, 9.5), corner, body.hands()];
    let mut rod = Rod::along(spec, &path, &floor(0.6)).unwrap();
    let out = RodEnd::Fixed(start, DVec3::new(1.0, -0.3, 0.0).normalize());
    let mut events = BodyEvents::default();
    let mut hose = DVec3::ZERO;
    let mut stretch_m = 0.0_f64;
    let clock = std::time::Instant::now();
    let ticks = 1200;
    for i in 0..4 * ticks {
        let time = f64::from(i) * DT;
        let part = (time / 0.3).min(1.0);
        let ground = floor(if time < icy { 0.6 } else { 0.05 });
        let end = RodEnd::Held {
            pos: body.hands(),
            vel: body.hands_velocity(),
            dir: body.forward(),
        };
        hose = rod
            .substep(DT, out, end, 7e7 * part, 0.55 * part, &ground)
            .end_force;
        let load = hose - body.forward() * (205.0 * part);
        events.merge(body.substep(DT, &intent, load, &ground));
        stretch_m = stretch_m.max(rod.max_stretch_m());
    }
    Worked {
        body,
        events,
        hose,
        stretch_m,
        microseconds_a_tick: clock.elapsed().as_secs_f64() * 1e6 / f64::from(ticks),
    }
}

/// Nothing rings, nothing is dragged off.
#[test]
fn an_operator_with_hose_and_thrust_stands_still() {
    let worked = work_with_hose(f64::INFINITY);
    println!(
        "hose and body: {:.1} microseconds a tick; hose pulls {}, stretch {:.3} mm, {:?}",
        worked.microseconds_a_tick,
        worked.hose,
        worked.stretch_m * 1e3,
        worked.events
    );
    let events = worked.events;
    assert!(!events.stepped && !events.slipped && !events.fell);
    assert!(worked.body.hands_velocity().length() < 0.02);
    assert!(worked.stretch_m < 0.002);
    // A metre or two of hose, 6.5 N each, hang from the hands.
    assert!(worked.hose.y < -3.0 && worked.hose.y > -20.0);
    assert!(worked.hose.length() < 60.0);
}

#[test]
fn a_fall_takes_the_hands_down_without_tearing_the_hose() {
    let worked = work_with_hose(2.0);
    assert!(worked.events.fell);
    assert!(worked.body.hands().y < 0.3);
    println!("stretch in a fall {:.3} mm", worked.stretch_m * 1e3);
    assert!(worked.stretch_m < 0.002);
}
