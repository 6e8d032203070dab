mod lance;
mod needle;
mod sweep;

use super::world::{World, pilot, pilot_with};
use super::*;
use crate::person::distance_m;
use crate::tick::TICKS_PER_SECOND;

fn set(control: Control, to: u16) -> Goal {
    Goal::Set { control, to }
}

fn bring(bar: f64) -> Goal {
    Goal::Bring {
        bar,
        within_pct: 3.0,
        within_s: 60.0,
    }
}

fn say(call: Call, answer: Option<Call>) -> Goal {
    Goal::Say { call, answer }
}

fn reason(pilot: &Pilot) -> StuckReason {
    match pilot.outcome() {
        Outcome::Stuck { reason, .. } => *reason,
        other => panic!("not stuck: {other:?}"),
    }
}

fn limit(pilot: &Pilot) -> PressureLimit {
    match reason(pilot) {
        StuckReason::PressureCannotBeReached { why, .. } => why,
        other => panic!("stuck for another reason: {other:?}"),
    }
}

fn count(world: &World, wanted: impl Fn(&Act) -> bool) -> usize {
    world.log.iter().filter(|i| wanted(&i.act)).count()
}

// Walking

#[test]
fn a_walk_ends_within_a_quarter_of_a_metre_and_at_a_stand() {
    for yaw in [-3.0, -1.0, 0.0, 2.0, 7.0] {
        let mut world = World::new();
        world.yaw = yaw;
        let mut pilot = pilot(vec![Goal::Walk { to: "gate".into() }]);
        world.run(&mut pilot, 20.0);
        assert_eq!(*pilot.outcome(), Outcome::Done);
        assert!(distance_m(world.at, [6.0, 4.0]) < 0.25, "{:?}", world.at);
        let stand = Act::Walk {
            forward_cm_s: 0,
            right_cm_s: 0,
        };
        let last = world
            .log
            .iter()
            .rfind(|i| matches!(i.act, Act::Walk { .. }));
        assert_eq!(last.map(|i| i.act), Some(stand));
    }
}

#[test]
fn a_post_in_the_way_is_walked_around() {
    let mut world = World::new();
    world.wall_x = Some((3.0, 1.6, 3.2));
    let mut pilot = pilot(vec![Goal::Walk { to: "gate".into() }]);
    world.run(&mut pilot, 60.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
}

#[test]
fn a_place_behind_a_wall_is_out_of_reach() {
    let mut world = World::new();
    world.wall_x = Some((3.0, -1e3, 1e3));
    let mut pilot = pilot(vec![Goal::Walk { to: "gate".into() }]);
    world.run(&mut pilot, 120.0);
    assert_eq!(reason(&pilot), StuckReason::OutOfReach);
}

#[test]
fn a_place_that_nobody_knows_is_out_of_reach() {
    let mut world = World::new();
    let mut pilot = pilot(vec![Goal::Walk { to: "moon".into() }]);
    world.run(&mut pilot, 5.0);
    assert_eq!(reason(&pilot), StuckReason::OutOfReach);
}

// Setting

#[test]
fn a_valve_out_of_reach_is_walked_to_and_opened() {
    let mut world = World::new();
    let mut pilot = pilot(vec![set(Control::Supply, 1)]);
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.position(Control::Supply), 1);
    assert_eq!(world.holding, None);
}

#[test]
fn a_stiff_valve_is_not_pushed_twice() {
    let mut world = World::new();
    world.stiff_s = 0.5;
    let mut pilot = pilot(vec![set(Control::Bleed, 1)]);
    world.run(&mut pilot, 10.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(count(&world, |a| matches!(a, Act::Push { .. })), 1);
}

#[test]
fn a_stuck_valve_is_named() {
    let mut world = World::new();
    world.stuck = Some(Control::Bleed);
    let mut pilot = pilot(vec![set(Control::Bleed, 1)]);
    world.run(&mut pilot, 20.0);
    let expected = StuckReason::WouldNotMove {
        control: Control::Bleed,
        seen: 0,
    };
    assert_eq!(reason(&pilot), expected);
    assert_eq!(world.holding, None);
}

#[test]
fn a_control_that_is_right_already_is_left_alone() {
    let mut world = World::new();
    let mut pilot = pilot(vec![set(Control::Dump, 1)]);
    world.run(&mut pilot, 5.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(world.log.is_empty());
}

#[test]
fn a_lever_is_turned_to_the_detent_at_a_hand_speed_and_never_back() {
    for to in [1, 37, 100] {
        let mut world = World::new();
        let mut pilot = pilot(vec![set(Control::Throttle, to)]);
        world.run(&mut pilot, 10.0);
        assert_eq!(*pilot.outcome(), Outcome::Done);
        assert_eq!(world.position(Control::Throttle), to);
        let twists: Vec<_> = world
            .log
            .iter()
            .filter_map(|i| match i.act {
                Act::Twist { detents } => Some((i.tick, detents)),
                _ => None,
            })
            .collect();
        assert!(twists.iter().all(|(_, d)| *d > 0));
        let took_s = twists[twists.len() - 1].0.since(twists[0].0);
        assert!(took_s >= f64::from(to - 1) / 80.0 - 0.02, "{took_s}");
    }
}

#[test]
fn a_jammed_knob_is_named() {
    let mut world = World::new();
    world.stuck = Some(Control::Throttle);
    let mut pilot = pilot(vec![set(Control::Throttle, 50)]);
    world.run(&mut pilot, 30.0);
    let expected = StuckReason::WouldNotMove {
        control: Control::Throttle,
        seen: 0,
    };
    assert_eq!(reason(&pilot), expected);
}

#[test]
fn striking_the_emergency_stop_stands_the_engine() {
    let mut world = World::fed();
    let mut pilot = pilot(vec![Goal::Strike]);
    world.run(&mut pilot, 5.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.rev_s, 0.0);
}

// Starting

fn start() -> Goal {
    Goal::StartEngine { within_s: 40.0 }
}

#[test]
fn the_key_is_held_until_the_engine_runs_and_springs_back() {
    let mut world = World::new();
    world.cranks_for_s = 2.0;
    let mut pilot = pilot(vec![start()]);
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.position(Control::Key), 1);
    assert!(world.rev_s > 10.0);
    assert_eq!(world.holding, None);
}

#[test]
fn a_running_engine_is_not_started_again() {
    let mut world = World::fed();
    let mut pilot = pilot(vec![start()]);
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(world.log.is_empty());
}

#[test]
fn an_engine_that_will_not_start_is_tried_again_with_rests_and_then_named() {
    let mut world = World::new();
    world.cranks_for_s = 1e9;
    let mut pilot = pilot(vec![start()]);
    world.run(&mut pilot, 60.0);
    assert_eq!(reason(&pilot), StuckReason::EngineWouldNotStart);
    let cranks = world
        .moved
        .iter()
        .filter(|(_, c, to)| *c == Control::Key && *to == 2)
        .count();
    assert!((3..=5).contains(&cranks), "{cranks}");
    assert_eq!(world.holding, None);
}

// Talking

#[test]
fn a_word_is_answered() {
    let mut world = World::new();
    world.answers = vec![(Call::ClearToPressurise, Call::ClearToPressurise)];
    let call = Call::ClearToPressurise;
    let mut pilot = pilot(vec![say(call, Some(call)), Goal::HandBack]);
    world.run(&mut pilot, 10.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert!(world.handed_back);
    assert_eq!(world.said.len(), 1);
}

#[test]
fn silence_is_asked_once_more_after_three_seconds_and_then_given_up() {
    let mut world = World::fed();
    world.positions[5] = 1;
    let call = Call::ClearToPressurise;
    let mut pilot = pilot(vec![say(call, Some(call)), set(Control::Dump, 0)]);
    world.run(&mut pilot, 60.0);
    assert_eq!(reason(&pilot), StuckReason::NoAnswer(call));
    assert_eq!(world.said.len(), 2);
    let gap_s = world.said[1].0.since(world.said[0].0) - call.duration_s();
    assert!((3.0..3.4).contains(&gap_s), "{gap_s}");
    for _ in 0..20 * TICKS_PER_SECOND {
        world.step(&mut pilot);
    }
    assert_eq!(world.position(Control::Dump), 1, "silence is no consent");
    assert!(world.moved.is_empty());
}

#[test]
fn say_again_is_answered_by_the_same_word() {
    let mut world = World::new();
    world.words = vec![(1.5, Call::SayAgain), (4.0, Call::Ready)];
    let mut pilot = pilot(vec![say(Call::ReadyQuery, Some(Call::Ready))]);
    world.run(&mut pilot, 10.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let said: Vec<_> = world.said.iter().map(|s| s.1).collect();
    assert_eq!(said, [Call::ReadyQuery, Call::ReadyQuery]);
}

#[test]
fn an_answer_to_something_else_is_no_answer() {
    let mut world = World::new();
    world.answers = vec![(Call::Raise, Call::Lower)];
    let mut pilot = pilot(vec![say(Call::Raise, Some(Call::Raise))]);
    world.run(&mut pilot, 20.0);
    assert_eq!(reason(&pilot), StuckReason::NoAnswer(Call::Raise));
}

#[test]
fn a_missed_word_is_asked_for() {
    // Everything is missed once: the pilot must ask, not guess.
    let deaf = Skill {
        missed: 1.0,
        ..Skill::steady()
    };
    let mut world = World::new();
    world.answers = vec![(Call::ReadyQuery, Call::Ready)];
    let mut pilot = pilot_with(vec![say(Call::ReadyQuery, Some(Call::Ready))], deaf, 3);
    world.run(&mut pilot, 4.0);
    let said: Vec<_> = world.said.iter().map(|s| s.1).collect();
    assert_eq!(said, [Call::ReadyQuery, Call::SayAgain]);
    assert_eq!(*pilot.outcome(), Outcome::Running);
}

#[test]
fn a_word_heard_while_busy_is_kept_for_the_goal_that_waits_for_it() {
    let mut world = World::new();
    world.words = vec![(2.0, Call::Ready)];
    let mut pilot = pilot(vec![
        say(Call::ZeroProved, None),
        Goal::Wait { s: 5.0 },
        Goal::Until {
            cue: Cue::Heard { call: Call::Ready },
            within_s: 1.0,
        },
    ]);
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
}

#[test]
fn a_word_of_an_earlier_exchange_is_not_taken_for_a_later_one() {
    let mut world = World::new();
    world.words = vec![(0.5, Call::Ready)];
    let mut pilot = pilot(vec![
        Goal::Wait { s: 1.0 },
        say(Call::ZeroProved, None),
        Goal::Until {
            cue: Cue::Heard { call: Call::Ready },
            within_s: 3.0,
        },
    ]);
    world.run(&mut pilot, 20.0);
    let cue = Cue::Heard { call: Call::Ready };
    assert_eq!(reason(&pilot), StuckReason::CueNeverCame(cue));
}

// Waiting

type Dress = fn(&mut World, bool);

#[test]
fn every_cue_is_taken_when_it_is_there_and_given_up_when_it_is_not() {
    let cases: [(Cue, Dress); 11] = [
        (Cue::GaugeAbove { bar: 10.0 }, |w, yes| {
            w.rev_s = if yes { 20.0 } else { 0.0 };
        }),
        (Cue::GaugeBelow { bar: 10.0 }, |w, yes| {
            w.rev_s = if yes { 0.0 } else { 20.0 };
        }),
        (Cue::EngineStands, |w, yes| {
            w.rev_s = if yes { 0.0 } else { 20.0 };
        }),
        (Cue::AirGone, |w, yes| w.air = Some(!yes)),
        (Cue::BleedDry, |w, yes| w.bleeds = Some(!yes)),
        (Cue::HoseLimp, |w, yes| w.limp = Some(yes)),
        (Cue::JetRuns, |w, yes| w.jet = yes),
        (Cue::JetStands, |w, yes| w.jet = !yes),
        (Cue::NozzleFitted, |w, yes| w.nozzle = Some(yes)),
        (Cue::Parted, |w, yes| w.harm = [yes, !yes]),
        (Cue::SomebodyDown, |w, yes| w.harm = [!yes, yes]),
    ];
    for (cue, dress) in cases {
        for yes in [true, false] {
            let mut world = World::fed();
            dress(&mut world, yes);
            // Long enough for the needle to be where it belongs.
            let mut pilot = pilot(vec![
                Goal::Wait { s: 3.0 },
                Goal::Until { cue, within_s: 4.0 },
            ]);
            world.run(&mut pilot, 20.0);
            if yes {
                assert_eq!(*pilot.outcome(), Outcome::Done, "{cue:?}");
            } else {
                assert_eq!(reason(&pilot), StuckReason::CueNeverCame(cue));
            }
        }
    }
}

#[test]
fn what_cannot_be_perceived_is_not_taken_for_good() {
    for cue in [Cue::AirGone, Cue::BleedDry, Cue::HoseLimp] {
        let mut world = World::new();
        (world.air, world.bleeds, world.limp) = (None, None, None);
        let mut pilot = pilot(vec![Goal::Until { cue, within_s: 4.0 }]);
        world.run(&mut pilot, 20.0);
        assert_eq!(reason(&pilot), StuckReason::CueNeverCame(cue));
    }
}

// Stopping

/// Seconds from the end of the word to the dump open, with these goals going
/// on when it is said at `word_s`.
fn dump_after_s(world: &mut World, pilot: &mut Pilot, call: Call, word_s: f64) -> f64 {
    world.words = vec![(word_s, call)];
    let end = Tick::at(word_s + 15.0);
    while world.tick < end {
        world.step(pilot);
    }
    let opened = world
        .moved
        .iter()
        .find(|(t, c, to)| *c == Control::Dump && *to == 1 && *t >= Tick::at(word_s));
    opened
        .map(|(tick, _, _)| tick.since(Tick::at(word_s)))
        .expect("the dump was opened")
}

fn until_dump() -> Goal {
    Goal::Until {
        cue: Cue::Heard { call: Call::Dump },
        within_s: 60.0,
    }
}

#[test]
fn the_dump_opens_as_fast_as_a_person_opens_it_and_the_script_goes_on() {
    for skill in [Skill::steady(), Skill::human()] {
        for seed in 0..20 {
            let mut world = World::fed();
            let goals = vec![until_dump(), set(Control::Dump, 1), Goal::HandBack];
            let mut pilot = pilot_with(goals, skill, seed);
            let took_s = dump_after_s(&mut world, &mut pilot, Call::Dump, 5.0);
            let range = if skill == Skill::steady() {
                1.2..1.6
            } else {
                0.8..2.2
            };
            assert!(range.contains(&took_s), "{took_s}");
            assert_eq!(*pilot.outcome(), Outcome::Done);
            assert!(world.handed_back);
            let pushes = count(&world, |a| matches!(a, Act::Push { .. }));
            assert_eq!(pushes, 1, "it is opened once");
        }
    }
}

#[test]
fn a_stop_is_obeyed_with_the_regulator_in_hand_and_the_pressure_is_not_brought_back() {
    for call in [Call::Dump, Call::AllStop] {
        let mut world = World::fed();
        let mut pilot = pilot(vec![bring(500.0)]);
        let took_s = dump_after_s(&mut world, &mut pilot, call, 3.0);
        assert!((1.0..1.8).contains(&took_s), "{took_s}");
        assert_eq!(reason(&pilot), StuckReason::StopCalled(call));
    }
}

#[test]
fn a_stop_is_obeyed_in_the_middle_of_every_goal() {
    // Somebody a second's walk away turns round and walks back first.
    let goals = [
        (Goal::Wait { s: 30.0 }, 1.6),
        (say(Call::Raise, Some(Call::Raise)), 1.6),
        (set(Control::Throttle, 100), 1.8),
        (Goal::Walk { to: "gate".into() }, 1.6 + 2.0),
    ];
    for (goal, within_s) in goals {
        let mut world = World::fed();
        let mut pilot = pilot(vec![goal.clone()]);
        let took_s = dump_after_s(&mut world, &mut pilot, Call::Dump, 1.0);
        assert!(took_s < within_s, "{goal:?}: {took_s}");
    }
}

#[test]
fn a_dump_called_for_while_it_is_being_shut_is_not_shut() {
    let mut world = World::fed();
    world.positions[5] = 1;
    world.stiff_s = 0.6;
    let mut pilot = pilot(vec![set(Control::Dump, 0)]);
    let took_s = dump_after_s(&mut world, &mut pilot, Call::AllStop, 0.8);
    assert!(took_s < 3.0, "{took_s}");
    assert_eq!(world.position(Control::Dump), 1);
    assert_eq!(reason(&pilot), StuckReason::StopCalled(Call::AllStop));
}

#[test]
fn a_stop_is_obeyed_even_by_somebody_who_is_stuck_or_done() {
    let mut world = World::fed();
    let mut pilot = pilot(vec![Goal::Walk { to: "moon".into() }]);
    let took_s = dump_after_s(&mut world, &mut pilot, Call::Dump, 3.0);
    assert!(took_s < 1.6, "{took_s}");
    assert_eq!(reason(&pilot), StuckReason::OutOfReach);
}

#[test]
fn somebody_on_the_ground_does_nothing_and_gives_up_in_the_end() {
    let mut world = World::fed();
    world.fallen = true;
    let mut pilot = pilot(vec![set(Control::Throttle, 50)]);
    world.run(&mut pilot, 60.0);
    assert_eq!(reason(&pilot), StuckReason::Fallen);
    assert!(world.log.is_empty());
}

#[test]
fn a_control_behind_one_is_turned_to_before_it_is_taken() {
    let mut world = World::new();
    world.at = [0.0, 0.6];
    world.yaw = -1.0;
    let mut pilot = pilot(vec![set(Control::Regulator, 5)]);
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    // The knob is ahead along -z, which is a quarter turn.
    let off = world.yaw - core::f64::consts::FRAC_PI_2;
    assert!(off.abs() < 0.2, "{off}");
    let took = world.log.iter().position(|i| matches!(i.act, Act::Take(_)));
    let turned = world
        .log
        .iter()
        .rposition(|i| matches!(i.act, Act::Turn { .. }));
    assert!(turned < took && turned.is_some());
}

// Errors

fn long_script() -> Vec<Goal> {
    vec![
        Goal::Walk { to: "gate".into() },
        set(Control::Supply, 1),
        start(),
        set(Control::Throttle, 75),
        say(Call::ClearToPressurise, Some(Call::ClearToPressurise)),
        set(Control::Dump, 0),
        bring(175.0),
        Goal::Wait { s: 2.0 },
        bring(350.0),
        set(Control::Dump, 1),
        set(Control::Regulator, 0),
        Goal::Strike,
        Goal::HandBack,
    ]
}

fn inputs(skill: Skill, seed: u64) -> (Vec<Input>, Pilot) {
    let mut world = World::new();
    world.answers = vec![(Call::ClearToPressurise, Call::ClearToPressurise)];
    world.words = Vec::new();
    // Asked again, the lance hand says it again.
    world
        .answers
        .push((Call::SayAgain, Call::ClearToPressurise));
    let mut pilot = pilot_with(long_script(), skill, seed);
    world.run(&mut pilot, 200.0);
    (world.log, pilot)
}

#[test]
fn the_same_errors_give_the_same_inputs_and_others_do_not() {
    let (one, _) = inputs(Skill::human(), 5);
    let (two, _) = inputs(Skill::human(), 5);
    let (other, _) = inputs(Skill::human(), 6);
    assert_eq!(one, two);
    assert_ne!(one, other);
}

#[test]
fn a_steady_pilot_draws_nothing_and_so_has_no_other_way() {
    let (one, pilot) = inputs(Skill::steady(), 5);
    let (two, _) = inputs(Skill::steady(), 6);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(pilot.draws(), 0);
    assert_eq!(one, two);
}

#[test]
fn a_human_pilot_finishes_whatever_the_errors() {
    for seed in 0..50 {
        let (_, pilot) = inputs(Skill::human(), seed);
        assert_eq!(*pilot.outcome(), Outcome::Done, "{seed}");
        assert!(pilot.draws() > 0);
    }
}

#[test]
fn a_hasty_pilot_does_not_wait_for_answers_but_still_stops() {
    let call = Call::ClearToPressurise;
    let mut world = World::new();
    let goals = vec![say(call, Some(call)), set(Control::Dump, 0)];
    let mut pilot = pilot_with(goals, Skill::hasty(), 1);
    world.run(&mut pilot, 20.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.said.len(), 1);

    let mut world = World::fed();
    let mut pilot = pilot_with(vec![until_dump()], Skill::hasty(), 1);
    let took_s = dump_after_s(&mut world, &mut pilot, Call::Dump, 5.0);
    assert!(took_s > 0.3, "{took_s}: nobody is faster than their nerves");
}
