//! Work at the lance: stops, people in the zone, and the goals that are one
//! movement.

use super::super::lance_world::{LanceWorld, SURFACE, braced, fit, lance_pilot, lance_pilot_with};
use super::*;
use crate::percept::HEARING_DELAY_S;
use crate::{Ppe, Stance};

fn sweep() -> Goal {
    Goal::Sweep {
        from_m: [0.3, 0.4],
        to_m: [0.9, 0.8],
        stand_off_m: 0.12,
        speed_m_s: 0.3,
        step_m: 0.04,
    }
}

fn braced_sweep() -> Vec<Goal> {
    let mut goals = braced();
    goals.push(sweep());
    goals
}

fn until(call: Call) -> Goal {
    Goal::Until {
        cue: Cue::Heard { call },
        within_s: 60.0,
    }
}

fn let_go_s(world: &LanceWorld) -> Vec<f64> {
    world.times(|a| matches!(a, Act::Squeeze { permille: 0 }))
}

fn squeezed_s(world: &LanceWorld) -> Vec<f64> {
    world.times(|a| matches!(a, Act::Squeeze { permille } if *permille > 0))
}

fn said(world: &LanceWorld, call: Call) -> Vec<f64> {
    world.times(|a| *a == Act::Say(call))
}

fn clean_share(world: &LanceWorld) -> f64 {
    let columns = (SURFACE.size_m[0] * 100.0).round() as usize;
    let inside = |i: usize| {
        let (x, y) = (i % columns, i / columns);
        (30..90).contains(&x) && (40..80).contains(&y)
    };
    let cells: Vec<bool> = (0..world.clean.len())
        .filter(|i| inside(*i))
        .map(|i| world.clean[i])
        .collect();
    cells.iter().filter(|c| **c).count() as f64 / cells.len() as f64
}

// Stopping

#[test]
fn a_stop_word_ends_the_squeeze_within_the_time_of_a_person_and_the_catch_follows() {
    for skill in [Skill::steady(), Skill::human(), Skill::hasty()] {
        for (seed, call) in (0..12).flat_map(|s| [(s, Call::AllStop), (s, Call::Dump)]) {
            let mut world = LanceWorld::new();
            world.words = vec![(9.0, Seat::PUMP, call)];
            let mut pilot = lance_pilot_with(braced_sweep(), vec![], skill, seed);
            world.run(&mut pilot, 60.0);
            assert_eq!(reason(&pilot), StuckReason::StopCalled(call));
            let took_s = let_go_s(&world)[0] - 9.0 - HEARING_DELAY_S;
            assert!((0.25..=1.0).contains(&took_s), "{took_s}");
            assert_eq!(squeezed_s(&world).len(), 1);
            assert!(world.catch_on && world.longest_open_s < 1.0);
        }
    }
}

#[test]
fn after_a_stop_the_list_is_gone_through_and_the_sweep_goes_on_where_it_was() {
    let mut world = LanceWorld::new();
    // What was clear before the stop is not what the list waits for.
    world.words = vec![
        (8.0, Seat::WATCH, Call::ZoneClear),
        (9.0, Seat::WATCH, Call::AllStop),
        (20.0, Seat::WATCH, Call::ZoneClear),
    ];
    let after = vec![Goal::Brace { on: false }, until(Call::ZoneClear)];
    let mut goals = braced_sweep();
    goals.push(Goal::Wait { s: 1.0 });
    let mut pilot = lance_pilot(goals, after, Skill::steady());
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let (on, off) = (squeezed_s(&world), let_go_s(&world));
    assert_eq!((on.len(), off.len()), (2, 2), "{on:?} {off:?}");
    assert!(on[1] > 20.0, "{on:?}");
    // Braced again before the water.
    let braces = world.times(|a| *a == Act::Brace(true));
    assert!(braces.len() == 2 && braces[1] < on[1]);
    assert!(clean_share(&world) > 0.999, "{}", clean_share(&world));
    // Two sweeps from the beginning would take as long again.
    let whole_s = off[1] - on[1] + off[0] - on[0];
    let once_s = 10.0 * (0.64 + 0.04) / 0.3;
    assert!(whole_s < once_s + 5.0, "{whole_s} {once_s}");
}

#[test]
fn a_stop_during_the_list_begins_it_anew() {
    let mut world = LanceWorld::new();
    world.words = vec![
        (9.0, Seat::WATCH, Call::AllStop),
        (14.0, Seat::WATCH, Call::ZoneClear),
        (15.0, Seat::PUMP, Call::AllStop),
        (30.0, Seat::WATCH, Call::ZoneClear),
    ];
    let after = vec![until(Call::ZoneClear), Goal::Wait { s: 5.0 }];
    let mut pilot = lance_pilot(braced_sweep(), after, Skill::steady());
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let on = squeezed_s(&world);
    assert!(on.len() == 2 && on[1] > 35.0, "{on:?}");
}

#[test]
fn a_stop_that_the_script_waits_for_is_no_surprise() {
    let mut world = LanceWorld::new();
    world.words = vec![(5.0, Seat::PUMP, Call::AllStop)];
    let goals = vec![
        Goal::Trigger { on: true },
        until(Call::AllStop),
        Goal::Wait { s: 1.0 },
    ];
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 60.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let took_s = let_go_s(&world)[0] - 5.0 - HEARING_DELAY_S;
    assert!(took_s <= 1.0, "{took_s}");
}

#[test]
fn a_wait_that_was_broken_off_lasts_as_long_as_it_should_in_all() {
    let mut world = LanceWorld::new();
    world.words = vec![
        (4.0, Seat::WATCH, Call::AllStop),
        (20.0, Seat::WATCH, Call::ZoneClear),
    ];
    let after = vec![until(Call::ZoneClear)];
    let mut pilot = lance_pilot(vec![Goal::Wait { s: 10.0 }], after, Skill::steady());
    world.run(&mut pilot, 60.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let ended_s = world.tick.seconds();
    assert!((25.0..27.0).contains(&ended_s), "{ended_s}");
}

// People in the zone

fn visited(skill: Skill, at: [f64; 2], word: Option<f64>) -> (LanceWorld, Pilot) {
    let mut world = LanceWorld::new();
    world.people = vec![(9.0, 14.0, at)];
    world.words = vec![(25.0, Seat::WATCH, Call::ZoneClear)];
    if let Some(s) = word {
        world.words.push((s, Seat::WATCH, Call::AllStop));
    }
    let after = vec![until(Call::ZoneClear)];
    let mut pilot = lance_pilot(braced_sweep(), after, skill);
    world.run(&mut pilot, 200.0);
    (world, pilot)
}

#[test]
fn somebody_seen_in_the_zone_ends_the_squeeze_and_the_stop_is_called() {
    let (world, pilot) = visited(Skill::steady(), [2.0, 2.0], None);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let seen_s = 9.2;
    let off = let_go_s(&world);
    assert!((0.3..=0.95).contains(&(off[0] - seen_s)), "{off:?}");
    let called = said(&world, Call::AllStop);
    assert_eq!(called.len(), 1);
    assert!((1.0..1.1).contains(&(called[0] - seen_s)), "{called:?}");
    assert!(squeezed_s(&world)[1] > 25.0);
    assert!(clean_share(&world) > 0.999);
}

#[test]
fn a_stop_that_another_has_called_is_not_called_again() {
    let (world, pilot) = visited(Skill::steady(), [2.0, 2.0], Some(9.6));
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(said(&world, Call::AllStop), Vec::<f64>::new());
    assert_eq!(let_go_s(&world).len(), 2);
}

#[test]
fn somebody_outside_the_zone_and_a_hasty_hand_change_nothing() {
    for (skill, at) in [(Skill::steady(), [5.0, 5.0]), (Skill::hasty(), [2.0, 2.0])] {
        let (world, pilot) = visited(skill, at, None);
        assert_eq!(*pilot.outcome(), Outcome::Done);
        assert_eq!(let_go_s(&world).len(), 1, "{at:?}");
        assert_eq!(said(&world, Call::AllStop), Vec::<f64>::new());
    }
}

#[test]
fn somebody_who_is_still_there_after_the_list_stops_the_work_again() {
    let mut world = LanceWorld::new();
    world.people = vec![(9.0, 22.0, [2.0, 2.0])];
    world.words = vec![
        (14.0, Seat::WATCH, Call::ZoneClear),
        (25.0, Seat::WATCH, Call::ZoneClear),
    ];
    let after = vec![until(Call::ZoneClear)];
    let mut pilot = lance_pilot(braced_sweep(), after, Skill::steady());
    world.run(&mut pilot, 200.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(said(&world, Call::AllStop).len(), 2);
    assert!(squeezed_s(&world)[1] > 25.0);
}

#[test]
fn somebody_is_seen_when_they_are_near() {
    for (at, yes) in [([1.0, 2.5], true), ([1.0, 3.5], true), ([6.0, 3.0], false)] {
        let mut world = LanceWorld::new();
        world.people = vec![(3.0, 1e3, at)];
        let cue = Cue::Sees {
            seat: Seat::VISITOR,
            within_m: 3.0,
        };
        let goal = Goal::Until { cue, within_s: 8.0 };
        let after = vec![Goal::Wait { s: 0.1 }];
        let mut pilot = lance_pilot(vec![goal], after, Skill::steady());
        world.run(&mut pilot, 30.0);
        if yes {
            assert_eq!(*pilot.outcome(), Outcome::Done);
        } else {
            assert_eq!(reason(&pilot), StuckReason::CueNeverCame(cue));
        }
    }
}

// One movement

#[test]
fn the_tool_points_where_it_should_and_the_body_with_it() {
    for at_m in [[3.0, 0.2, 1.0], [-2.0, 1.5, 4.0], [0.2, 0.4, 0.0]] {
        let mut world = LanceWorld::new();
        let mut pilot = lance_pilot(vec![Goal::AimAt { at_m }], vec![], Skill::steady());
        world.run(&mut pilot, 20.0);
        assert_eq!(*pilot.outcome(), Outcome::Done, "{at_m:?}");
        let off_rad = world.off_rad(at_m);
        assert!(off_rad < 0.035, "{at_m:?}: {off_rad}");
        let turned = super::super::walk::less_turns(world.yaw() - world.body.yaw_rad);
        assert!(turned.abs() < 0.5, "{at_m:?}: {turned}");
    }
}

#[test]
fn a_squeeze_takes_the_catch_off_lasts_as_long_as_it_should_and_puts_it_on_again() {
    let mut world = LanceWorld::new();
    let goals = vec![Goal::Squeeze { s: 4.0 }, Goal::Wait { s: 2.0 }];
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let (on, off) = (squeezed_s(&world), let_go_s(&world));
    assert_eq!((on.len(), off.len()), (1, 1));
    assert!((off[0] - on[0] - 4.0).abs() < 0.05);
    let catches: Vec<Act> = world
        .log
        .iter()
        .map(|i| i.act)
        .filter(|a| matches!(a, Act::SafetyCatch(_)))
        .collect();
    assert_eq!(catches, [Act::SafetyCatch(false), Act::SafetyCatch(true)]);
    assert!(world.longest_open_s < 1.0);
}

#[test]
fn a_trigger_is_left_as_the_script_leaves_it() {
    let mut world = LanceWorld::new();
    let goals = vec![Goal::Trigger { on: true }, Goal::Wait { s: 5.0 }];
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(world.jet);

    let mut world = LanceWorld::new();
    let goals = vec![
        Goal::Trigger { on: true },
        Goal::Trigger { on: false },
        Goal::Wait { s: 5.0 },
    ];
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 20.0);
    assert!(!world.jet && !world.catch_on);
}

#[test]
fn before_a_walk_the_tool_is_made_ready_to_be_carried() {
    let away = [
        Goal::Walk { to: "gate".into() },
        Goal::Set {
            control: Control::EmergencyStop,
            to: 1,
        },
    ];
    for goal in away {
        let mut goals = braced();
        goals.extend([Goal::Trigger { on: true }, Goal::Wait { s: 1.0 }, goal]);
        let mut world = LanceWorld::new();
        let mut pilot = lance_pilot(goals, vec![], Skill::steady());
        world.run(&mut pilot, 8.0);
        let walks = world.times(|a| matches!(a, Act::Walk { .. }));
        assert!(!walks.is_empty());
        assert!(!world.walked_open);
        assert!(world.catch_on && !world.jet && !world.brace);
        assert!(distance_m(world.body.at_m, [0.0, 1.55]) > 0.5);
    }
}

#[test]
fn things_are_laid_down_taken_up_worked_on_worn_and_tied() {
    let mut goals = braced();
    goals.extend([
        Goal::Catch { on: false },
        Goal::Catch { on: true },
        Goal::LayDown,
        Goal::Choose { nozzle: 1 },
        fit(),
        Goal::Wear {
            item: Ppe::Visor,
            on: true,
        },
        Goal::TakeHose,
        Goal::LetGo,
        Goal::TakeUp,
        Goal::Tie { on: true },
        Goal::Tie { on: false },
        Goal::HandBack,
    ]);
    let mut world = LanceWorld::new();
    let mut pilot = lance_pilot(goals, vec![], Skill::steady());
    world.run(&mut pilot, 60.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let acts: Vec<Act> = world.log.iter().map(|i| i.act).collect();
    let expected = [
        Act::Stand(Stance::Staggered),
        Act::Brace(true),
        Act::SafetyCatch(false),
        Act::SafetyCatch(true),
        Act::Brace(false),
        Act::LayDown,
        Act::Choose { nozzle: 1 },
        Act::Begin(crate::Task::FitNozzle),
        Act::Wear {
            item: Ppe::Visor,
            on: true,
        },
        Act::TakeHose,
        Act::LetGo,
        Act::TakeUp,
        Act::Tie(true),
        Act::Tie(false),
        Act::HandBack,
    ];
    assert_eq!(acts, expected);
    assert!(world.refused.is_empty(), "{:?}", world.refused);
    assert_eq!(world.wears, Ppe::Visor.bit());
    // The work was waited for.
    let begun_s = world.times(|a| matches!(a, Act::Begin(_)))[0];
    let worn_s = world.times(|a| matches!(a, Act::Wear { .. }))[0];
    assert!(worn_s - begun_s > 8.0);
}

#[test]
fn what_is_refused_again_and_again_is_given_up() {
    for goal in [Goal::TakeHose, fit()] {
        let mut world = LanceWorld::new();
        let mut pilot = lance_pilot(vec![goal], vec![], Skill::steady());
        world.run(&mut pilot, 30.0);
        assert_eq!(reason(&pilot), StuckReason::OutOfReach);
        assert_eq!(world.refused.len(), 4);
    }
}

// At the pump

#[test]
fn at_the_pump_the_list_follows_the_dump_and_the_needle_is_brought_back() {
    let mut world = World::fed();
    world.words = vec![(3.0, Call::AllStop), (15.0, Call::ZoneClear)];
    let mut pilot = super::super::world::pilot_after(
        vec![bring(300.0)],
        vec![until(Call::ZoneClear), set(Control::Dump, 0)],
    );
    world.run(&mut pilot, 10.0);
    assert_eq!(world.position(Control::Dump), 1);
    world.run(&mut pilot, 100.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.position(Control::Dump), 0);
    assert!((world.pressure_bar - 300.0).abs() < 9.0);
}
