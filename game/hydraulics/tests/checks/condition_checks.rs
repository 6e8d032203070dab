//! What each fault of a part does to the whole circuit: two runs that differ in it alone. Where a
//! closed form says how much, it is the one that is held against.

use crate::example::{DT, Rig, tri_80};
use hydraulics::*;

const BAR: f64 = 1.0e5;

/// At 700 bar with the trigger pulled, then so many seconds with a fault.
fn after(seconds: f64, fault: impl Fn(&mut Condition)) -> Rig {
    let spec = tri_80();
    let knob = spec.regulator.knob_for(7.0e7);
    let mut rig = Rig::new(spec, 15.0);
    rig.bring_to_pressure(0.56, knob);
    fault(&mut rig.controls.condition);
    rig.run(seconds);
    rig
}

/// Mean gauge pressure, nozzle flow, thrust and bypass over whole turns.
fn means(rig: &mut Rig) -> [f64; 4] {
    rig.mean_over_turns(1.0, |now| {
        [
            now.pump_pressure_pa,
            now.nozzle_flow_m3_s,
            now.thrust_n,
            now.bypass_flow_m3_s,
        ]
    })
}

#[track_caller]
fn near(found: f64, expected: f64, share: f64) {
    let off = (found / expected - 1.0).abs();
    assert!(off <= share, "{found} against {expected}: {off:.5}");
}

#[test]
fn a_bore_worn_by_a_tenth_gives_a_fifth_more_thrust_at_an_unchanged_gauge() {
    let mut sound = after(3.0, |_| {});
    // Bernoulli: flow and thrust go with the area, 1.1^2 = 1.21; a little is lost in hose and gun.
    let mut worn = after(3.0, |c| c.nozzle_worn = 0.21);
    let ([p, q, f, by], [p1, q1, f1, by1]) = (means(&mut sound), means(&mut worn));
    near(p1, p, 0.005);
    near(q1 / q, 1.21, 0.02);
    near(f1 / f, 1.21, 0.03);
    assert!(by1 < by - 0.15 * q, "{by1} {by}");
}

#[test]
fn the_regulator_hides_a_blocked_nozzle_from_the_gauge() {
    let mut sound = after(3.0, |_| {});
    let mut half = after(3.0, |c| c.nozzle_blocked = 0.5);
    let mut shut = after(3.0, |c| c.nozzle_blocked = 1.0);
    let [p, q, f, by] = means(&mut sound);
    let [p1, q1, f1, _] = means(&mut half);
    let [p2, q2, f2, by2] = means(&mut shut);
    near(p1, p, 0.01);
    near(p2, p, 0.015);
    // Half the area: half of flow and thrust, and what the hose and gun no longer lose.
    near(q1 / q, 0.5, 0.04);
    near(f1 / f, 0.5, 0.06);
    assert_eq!((q2, f2), (0.0, 0.0));
    near(by2, by + q, 0.01);
}

#[test]
fn a_regulator_that_sticks_lets_a_shut_gun_climb_to_the_relief() {
    let mut sound = after(2.0, |_| {});
    let mut stuck = after(2.0, |c| c.regulator_stuck = true);
    for rig in [&mut sound, &mut stuck] {
        rig.controls.trigger = 0.0;
        rig.run(3.0);
    }
    assert!(sound.now.pump_pressure_pa < 72.0e6);
    let relief = tri_80().relief;
    assert!(stuck.now.relief_flow_m3_s > 0.0);
    assert!(stuck.now.pump_pressure_pa > relief.set_pressure_pa);
    assert!(stuck.now.pump_pressure_pa < relief.full_flow_pressure_pa());
}

#[test]
fn a_weak_relief_lifts_under_work() {
    let weak = after(3.0, |c| c.relief_weak = 0.3);
    let low = 0.7 * tri_80().relief.set_pressure_pa;
    assert!(weak.now.relief_flow_m3_s > 0.0);
    assert!(
        weak.now.pump_pressure_pa < 1.1 * low,
        "{}",
        weak.now.pump_pressure_pa
    );
}

#[test]
fn a_relief_that_sticks_protects_nothing() {
    let over = |stuck: bool| {
        let mut rig = after(0.5, |c| {
            c.regulator_stuck = true;
            c.relief_stuck = stuck;
        });
        rig.controls.trigger = 0.0;
        let mut most: f64 = 0.0;
        rig.watch(1.0, |now| most = most.max(now.pump_pressure_pa));
        most
    };
    let full = tri_80().relief.full_flow_pressure_pa();
    assert!(over(false) < full);
    assert!(over(true) > 1.2 * full);
}

#[test]
fn a_slow_dump_takes_its_time_and_a_stuck_one_never_comes() {
    let fall = |fault: fn(&mut Condition)| {
        let mut rig = after(1.0, fault);
        rig.controls.dump_local_open = true;
        let mut fell_s = f64::INFINITY;
        let mut time_s = 0.0;
        rig.watch(8.0, |now| {
            time_s += DT;
            if now.gun_pressure_pa < 7.0 * BAR {
                fell_s = fell_s.min(time_s);
            }
        });
        (fell_s, rig.now.dump_opening)
    };
    let (sound_s, _) = fall(|_| {});
    let (slow_s, slow_opening) = fall(|c| c.dump_slow_s = 5.0);
    let (stuck_s, stuck_opening) = fall(|c| c.dump_stuck = true);
    assert!(sound_s < 1.0, "{sound_s}");
    assert!(slow_s > sound_s + 1.0, "{slow_s}");
    assert_eq!(slow_opening, 1.0);
    assert!(stuck_s.is_infinite());
    assert_eq!(stuck_opening, 0.0);
}

#[test]
fn a_dump_that_leaks_takes_what_its_area_passes() {
    let share = 0.004;
    let mut leaking = after(3.0, |c| c.dump_leak = share);
    let [p, dump] = leaking.mean_over_turns(1.0, |now| [now.pump_pressure_pa, now.dump_flow_m3_s]);
    // Bernoulli through 0.4 % of a bore of 10 mm, discharge coefficient 0.7.
    let area = core::f64::consts::FRAC_PI_4 * 0.010 * 0.010 * share;
    let density = leaking.now.suction_density_kg_m3;
    near(dump, 0.7 * area * (2.0 * p / density).sqrt(), 0.005);
}

#[test]
fn a_gun_that_jams_keeps_its_jet_and_one_that_leaks_dribbles() {
    let released = |fault: fn(&mut Condition)| {
        let mut rig = after(1.0, fault);
        rig.controls.trigger = 0.0;
        rig.run(2.0);
        means(&mut rig)[2]
    };
    let mut open = after(1.0, |_| {});
    let thrust = means(&mut open)[2];
    assert_eq!(released(|_| {}), 0.0);
    near(released(|c| c.gun_stuck = true), thrust, 0.01);
    let dribble = released(|c| c.gun_leak = 0.1);
    assert!(
        dribble > 0.01 * thrust && dribble < 0.9 * thrust,
        "{dribble}"
    );
}

#[test]
fn a_worn_seat_of_the_regulator_lowers_what_the_pump_can_reach() {
    let mut sound = after(3.0, |_| {});
    let mut worn = after(3.0, |c| c.regulator_seat_worn = 0.5);
    let ([p, ..], [p1, ..]) = (means(&mut sound), means(&mut worn));
    assert!(p1 < 0.8 * p, "{p1} {p}");
}

#[test]
fn without_its_supply_the_pump_knocks_before_the_gauge_falls() {
    for fault in [(|c| c.supply_lost = 0.9) as fn(&mut Condition), |c| {
        c.strainer_fouled = 0.9
    }] {
        let mut rig = after(0.0, fault);
        let before = means(&mut after(0.5, |_| {}))[0];
        let mut knocks_s = f64::INFINITY;
        let mut sags_s = f64::INFINITY;
        let mut time_s = 0.0;
        rig.watch(12.0, |now| {
            time_s += DT;
            if now.starved {
                knocks_s = knocks_s.min(time_s);
            }
            if now.pump_pressure_pa < 0.9 * before {
                sags_s = sags_s.min(time_s);
            }
        });
        assert!(knocks_s + 0.3 < sags_s, "{knocks_s} {sags_s}");
        assert!(sags_s < 10.0, "{sags_s}");
    }
}

#[test]
fn worn_packings_cost_flow_in_proportion_to_pressure() {
    let mut sound = after(3.0, |_| {});
    let mut worn = after(3.0, |c| c.packing_worn = 20.0);
    let flows = |rig: &mut Rig| {
        rig.mean_over_turns(1.0, |now| {
            [
                now.pump_pressure_pa,
                now.pump_flow_m3_s,
                now.gland_leak_m3_s,
            ]
        })
    };
    let ([_, q, leak], [p1, q1, leak1]) = (flows(&mut sound), flows(&mut worn));
    // k P of the data: 1e-13 m3/(s Pa), 21 times.
    near(leak1, 21.0e-13 * p1, 0.01);
    near(q - q1, leak1 - leak, 0.05);
}

#[test]
fn a_suction_valve_that_leaks_takes_a_third_of_three_cylinders_and_beats_once_a_turn() {
    let mut sound = after(2.0, |_| {});
    let mut leaky = after(2.0, |c| c.pump_valve_leak = 1.0);
    // For a turn of the crank: less loaded, the engine runs a little faster.
    let flow = |rig: &mut Rig| {
        let [flow, speed] =
            rig.mean_over_turns(2.0, |now| [now.pump_flow_m3_s, now.crank_speed_rad_s]);
        flow / speed
    };
    near(flow(&mut leaky), flow(&mut sound) * 2.0 / 3.0, 0.005);
    let swing = |rig: &mut Rig| {
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        rig.watch(1.0, |now| {
            least = least.min(now.pump_pressure_pa);
            most = most.max(now.pump_pressure_pa);
        });
        most - least
    };
    let (calm, beats) = (swing(&mut sound), swing(&mut leaky));
    assert!(beats > 3.0 * calm, "{beats} {calm}");
}

#[test]
fn a_weak_engine_is_pulled_down_by_the_load_it_carried_before() {
    let mut sound = after(4.0, |_| {});
    let mut weak = after(4.0, |c| c.engine_weak = 0.5);
    let speed = |rig: &mut Rig| rig.mean_over_turns(1.0, |now| [now.engine_speed_rad_s])[0];
    assert!(speed(&mut weak) < 0.9 * speed(&mut sound));
}

#[test]
fn a_hole_in_the_hose_spouts_what_bernoulli_says_and_mended_it_stops() {
    let area = 2.0e-7;
    let mut leaking = after(3.0, |c| c.hose_leak_m2 = area);
    let [pump, gun, leak] = leaking.mean_over_turns(1.0, |now| {
        [
            now.pump_pressure_pa,
            now.gun_pressure_pa,
            now.hose_leak_m3_s,
        ]
    });
    let density = leaking.now.suction_density_kg_m3;
    near(leak, area * ((pump + gun) / density).sqrt(), 0.01);
    leaking.controls.condition.hose_leak_m2 = 0.0;
    leaking.run(0.1);
    assert_eq!(leaking.now.hose_leak_m3_s, 0.0);
}

#[test]
fn a_parted_hose_takes_thrust_and_pressure_away() {
    let parted = after(3.0, |c| c.hose_parted = true);
    assert!(parted.now.thrust_n < 1.0, "{}", parted.now.thrust_n);
    assert!(
        parted.now.pump_pressure_pa < 100.0 * BAR,
        "{}",
        parted.now.pump_pressure_pa
    );
    near(
        parted.now.hose_leak_m3_s,
        parted.now.pump_flow_m3_s - parted.now.bypass_flow_m3_s,
        0.1,
    );
}

/// Where the coupling at the pump lets go, the hose runs out of its end there and the pump out of
/// its outlet; the gun has nothing left.
#[test]
fn a_coupling_parted_at_the_pump_empties_the_hose_backwards() {
    let mut rig = after(3.0, |_| {});
    let (full, bore) = (rig.now.gun_pressure_pa, rig.circuit.spec().hoses[0].bore_m);
    assert_eq!(rig.now.torn, Torn::default());
    rig.controls.trigger = 0.0;
    rig.run(0.5);
    rig.controls.condition.pump_coupling_parted = true;
    let mut first = 0.0_f64;
    rig.watch(0.02, |now| {
        let end = now.torn.at_pump.expect("it has parted");
        first = first.max(end.mass_flow_kg_s);
    });
    // What leaves first is what the line's impedance lets leave: m = P A / a, with the speed of
    // sound in hose and water; between that of the soft hose and that of free water.
    let area = std::f64::consts::PI / 4.0 * bore * bore;
    let bounds = [full * area / 1700.0, full * area / 700.0];
    assert!(first > bounds[0] && first < bounds[1], "{first} {bounds:?}");
    rig.run(2.0);
    let end = rig.now.torn.at_pump.expect("it stays so");
    assert!(rig.now.torn.at_gun.is_none());
    assert!(rig.now.gun_pressure_pa < 0.01 * full && end.mass_flow_kg_s < 0.05 * first);
    near(
        rig.now.hose_leak_m3_s,
        rig.now.pump_flow_m3_s - rig.now.bypass_flow_m3_s,
        0.1,
    );
}

#[test]
fn sound_parts_are_the_default_and_faults_out_of_range_are_held() {
    assert_eq!(Condition::default(), Condition::SOUND);
    let run = |condition: Condition| {
        let mut rig = after(0.0, |c| *c = condition);
        rig.run(0.5);
        rig.now
    };
    let wild = Condition {
        nozzle_blocked: 7.0,
        packing_worn: f64::NAN,
        dump_leak: -1.0,
        ..Condition::SOUND
    };
    let held = Condition {
        nozzle_blocked: 1.0,
        ..Condition::SOUND
    };
    assert_eq!(run(wild), run(held));
}

#[test]
fn a_regulator_without_its_damping_hunts() {
    // With the damping it comes to rest. Which one does and which one does not is held against a
    // linear analysis in `qualify`, over pump, line and air spring.
    let swing = |rig: &mut Rig| {
        let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
        rig.watch(2.0, |now| {
            low = low.min(now.pump_pressure_pa);
            high = high.max(now.pump_pressure_pa);
        });
        (high - low) / BAR
    };
    let mut sound = after(3.0, |_| {});
    let mut bare = after(3.0, |c| c.regulator_damping_lost = 1.0);
    let (sound, bare) = (swing(&mut sound), swing(&mut bare));
    println!("{sound:.1} bar and {bare:.1} bar");
    assert!(sound < 10.0 && bare > 5.0 * sound, "{sound} {bare}");
}
