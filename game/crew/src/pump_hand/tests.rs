use super::world::{RESIDUAL_BAR, World, site, ways};
use super::*;
use crate::Act;
use crate::percept::HEARING_DELAY_S;

fn near(value: f64, wanted: f64, pct: f64) -> bool {
    (value - wanted).abs() <= wanted * pct / 100.0
}

#[test]
fn ready_is_said_after_the_time_to_think() {
    let mut w = World::idling();
    w.runs(1.0);
    w.asks(Call::ReadyQuery);
    w.runs(4.0);
    assert_eq!(w.words_said(), [Call::Ready]);
    let begun_s = w.said[0].0.seconds() - Call::Ready.duration_s();
    assert!((1.5..2.5).contains(&begun_s), "{begun_s}");
}

#[test]
fn with_the_engine_standing_nobody_is_ready_and_nothing_is_shut() {
    for call in [
        Call::ReadyQuery,
        Call::ClearToPressurise,
        Call::ClearToFlush,
    ] {
        let mut w = World::standing();
        w.asks(call);
        w.runs(20.0);
        assert_eq!(w.words_said(), [Call::SayAgain]);
        assert!(w.moved.is_empty(), "{:?}", w.moved);
    }
}

#[test]
fn asked_while_at_work_the_pump_hand_says_ready_when_all_is_steady() {
    let mut w = World::at_step(0);
    w.asks(Call::Raise);
    w.runs(4.0);
    assert_eq!(w.hand.order(), Some(Order::Raise));
    w.said.clear();
    w.asks(Call::ReadyQuery);
    w.runs(18.0);
    assert_eq!(w.words_said(), [Call::SayAgain, Call::Ready]);
    assert_eq!((w.hand.order(), w.hand.step()), (None, 1));
}

#[test]
fn a_word_for_water_is_read_back_before_the_dump_is_shut() {
    for call in [Call::ClearToPressurise, Call::ClearToFlush] {
        let mut w = World::idling();
        // Left wound in by somebody.
        w.set(Control::Regulator, 200);
        w.runs(1.0);
        w.asks(call);
        w.runs(12.0);
        assert_eq!(w.words_said(), [call]);
        let shut_s = w.when(Control::Dump, 0).expect("the dump is shut");
        assert!(w.said[0].0.seconds() < shut_s);
        assert_eq!(w.position(Control::Regulator), 0, "nothing was agreed yet");
        assert!(w.when(Control::Regulator, 0) < Some(shut_s));
        assert!(near(w.pressure_bar, RESIDUAL_BAR, 15.0));
    }
}

#[test]
fn a_line_that_is_fed_has_the_word_read_back_and_no_more() {
    let mut w = World::at_step(1);
    let (moved, said) = (w.moved.len(), w.said.len());
    w.asks(Call::ClearToPressurise);
    w.runs(15.0);
    assert_eq!(w.words_said()[said..], [Call::ClearToPressurise]);
    assert_eq!(w.moved.len(), moved);
}

#[test]
fn each_raise_is_read_back_and_gives_one_step() {
    let mut w = World::at_step(0);
    for (step, bar) in ways().steps_bar.iter().enumerate() {
        let said = w.said.len();
        w.asks(Call::Raise);
        w.runs(1.5);
        assert!(w.pressure_bar < *bar / 1.9, "nothing before the read-back");
        w.runs(20.5);
        assert_eq!(w.words_said()[said..], [Call::Raise]);
        assert_eq!((w.hand.order(), w.hand.step()), (None, step + 1));
        assert!(near(w.pressure_bar, *bar, 3.0), "{}", w.pressure_bar);
        let pct = ways().throttle_pct[step];
        assert_eq!(f64::from(w.position(Control::Throttle)), pct);
        let regulator = w.position(Control::Regulator);
        w.runs(30.0);
        assert_eq!(w.position(Control::Regulator), regulator, "and stays");
    }
    let moved = w.moved.len();
    w.asks(Call::Raise);
    w.runs(10.0);
    assert_eq!(w.words_said().last(), Some(&Call::NoChange));
    assert_eq!(w.moved.len(), moved);
}

#[test]
fn each_lower_is_read_back_and_gives_one_step_down_to_residual() {
    let mut w = World::at_step(3);
    for (step, bar) in [(2, 250.0), (1, 100.0), (0, 13.5)] {
        let said = w.said.len();
        w.asks(Call::Lower);
        w.runs(22.0);
        assert_eq!(w.words_said()[said..], [Call::Lower]);
        assert_eq!(w.hand.step(), step);
        assert!(near(w.pressure_bar, bar, 4.0), "{bar}: {}", w.pressure_bar);
    }
    assert_eq!(w.position(Control::Regulator), 0);
    assert_eq!(w.position(Control::Throttle), 0);
    w.asks(Call::Lower);
    w.runs(5.0);
    assert_eq!(w.words_said().last(), Some(&Call::NoChange));
}

#[test]
fn a_second_raise_before_the_first_is_done_gives_no_second_step() {
    let mut w = World::at_step(0);
    w.asks(Call::Raise);
    w.runs(4.0);
    w.asks(Call::Raise);
    w.runs(30.0);
    assert_eq!(w.hand.step(), 1);
    assert!(w.pressure_bar < 104.0, "{}", w.pressure_bar);
}

#[test]
fn with_the_dump_open_no_step_can_be_followed() {
    for call in [Call::Raise, Call::Lower] {
        let mut w = World::at_step(2);
        w.asks(Call::Dump);
        w.runs(4.0);
        let (moved, said) = (w.moved.len(), w.said.len());
        w.asks(call);
        w.runs(5.0);
        w.asks(call);
        w.runs(5.0);
        assert_eq!(w.words_said()[said..], [Call::SayAgain], "once");
        assert_eq!(w.moved.len(), moved);
    }
}

#[test]
fn words_that_take_back_stop_the_needle_where_it_is() {
    {
        let call = Call::NoChange;
        let mut w = World::at_step(1);
        w.asks(Call::Raise);
        assert!(w.runs_until(20.0, |w| w.pressure_bar > 150.0));
        w.asks(call);
        w.runs(HEARING_DELAY_S + 0.02);
        let left_bar = w.pressure_bar;
        w.runs(20.0);
        assert!(near(w.pressure_bar, left_bar, 1.0), "{call:?}");
        assert_eq!((w.hand.order(), w.hand.step()), (None, 1));
        assert_eq!(w.holding, None);
        // The next word goes on from there, to the same mark.
        w.asks(Call::Raise);
        w.runs(22.0);
        assert_eq!(w.hand.step(), 2);
        assert!(near(w.pressure_bar, 250.0, 3.0), "{}", w.pressure_bar);
    }
}

#[test]
fn a_raise_that_turns_into_lower_goes_back_to_the_step_it_came_from() {
    let mut w = World::at_step(1);
    w.asks(Call::Raise);
    assert!(w.runs_until(20.0, |w| w.pressure_bar > 150.0));
    w.asks(Call::Lower);
    w.runs(22.0);
    assert_eq!((w.hand.order(), w.hand.step()), (None, 1));
    assert!(near(w.pressure_bar, 100.0, 4.0), "{}", w.pressure_bar);
}

#[test]
fn a_raise_not_done_when_the_word_has_grown_old_is_left() {
    let mut w = World::at_step(0);
    // Thought about for so long that no hand can be quick enough.
    w.hand.ways.reply_s = 12.0;
    w.hand.ways.steps_bar = vec![900.0];
    w.asks(Call::Raise);
    w.runs(CONSENT_S + HEARING_DELAY_S + 0.1);
    let left = w.position(Control::Regulator);
    assert!(w.pressure_bar < 800.0, "{}", w.pressure_bar);
    w.runs(20.0);
    assert_eq!(w.position(Control::Regulator), left);
    assert_eq!((w.hand.order(), w.hand.step()), (None, 0));
    w.hand.ways.reply_s = 0.8;
    w.asks(Call::Raise);
    w.runs(20.0);
    assert_eq!(w.hand.step(), 1);
}

#[test]
fn a_dump_is_followed_whoever_calls_and_the_step_is_remembered() {
    for seat in [Seat::LANCE, Seat::WATCH, Seat(9)] {
        let mut w = World::at_step(2);
        let (regulator, throttle) = (
            w.position(Control::Regulator),
            w.position(Control::Throttle),
        );
        let said = w.said.len();
        w.word(0.0, seat, Call::Dump);
        assert!(w.runs_until(HEARING_DELAY_S + 2.5, |w| w.position(Control::Dump) == 1));
        w.runs(20.0);
        assert_eq!(w.position(Control::Dump), 1, "and stays open");
        assert_eq!(w.said.len(), said, "stopping needs no word");
        assert_eq!(w.position(Control::Regulator), regulator);
        assert_eq!(w.position(Control::Throttle), throttle);
        w.asks(Call::ClearToPressurise);
        w.runs(10.0);
        assert_eq!(w.position(Control::Dump), 0);
        assert_eq!(w.hand.step(), 2);
        assert!(near(w.pressure_bar, 250.0, 4.0), "{}", w.pressure_bar);
        w.asks(Call::Raise);
        w.runs(22.0);
        assert!(near(w.pressure_bar, 500.0, 3.0), "{}", w.pressure_bar);
    }
}

#[test]
fn everything_stopped_lets_the_engine_down_and_waits_for_a_fresh_word() {
    let mut w = World::at_step(2);
    let throttle = w.position(Control::Throttle);
    w.word(0.0, Seat::WATCH, Call::AllStop);
    w.runs(8.0);
    assert_eq!(w.position(Control::Dump), 1);
    assert_eq!(w.position(Control::Throttle), 0);
    assert!(w.when(Control::Dump, 1) < w.when(Control::Throttle, 0));
    w.word(0.0, Seat::WATCH, Call::ZoneClear);
    w.runs(2.0);
    w.asks(Call::ReadyQuery);
    w.runs(5.0);
    assert_eq!(w.words_said().last(), Some(&Call::Ready));
    w.asks(Call::ClearToFlush);
    w.runs(10.0);
    assert_eq!(w.words_said().last(), Some(&Call::SayAgain));
    assert_eq!(w.position(Control::Dump), 1);
    w.asks(Call::ClearToPressurise);
    w.runs(12.0);
    assert_eq!(w.position(Control::Dump), 0);
    assert_eq!(w.position(Control::Throttle), throttle, "the same setting");
    assert!(near(w.pressure_bar, 250.0, 4.0), "{}", w.pressure_bar);
}

#[test]
fn everything_stopped_with_the_dump_open_still_lets_the_engine_down() {
    let mut w = World::at_step(1);
    w.asks(Call::Dump);
    w.runs(5.0);
    assert_eq!(w.position(Control::Throttle), 20);
    w.asks(Call::AllStop);
    w.runs(5.0);
    assert_eq!(w.position(Control::Throttle), 0);
    assert_eq!(w.position(Control::Dump), 1);
}

/// A world in which a stop is called for so many ticks after a word.
fn stopped_after(call: Call, stop: Call, ticks: u32) -> World {
    let mut w = match call {
        Call::StartUp => World::standing(),
        Call::ClearToPressurise => World::idling(),
        Call::ProveZero => World::at_step(2),
        _ => World::at_step(1),
    };
    w.asks(call);
    w.runs(Tick(ticks).seconds());
    w.word(0.0, Seat::WATCH, stop);
    w
}

#[test]
fn a_stop_at_any_stage_of_any_work_has_the_dump_open_in_time() {
    let mut fed = 0;
    for stop in [Call::Dump, Call::AllStop] {
        for call in [
            Call::ClearToPressurise,
            Call::Raise,
            Call::Lower,
            Call::ProveZero,
            Call::StartUp,
        ] {
            // Each tenth of a second of the word's work, and past its end.
            for ticks in (0..3000).step_by(13) {
                let mut w = stopped_after(call, stop, ticks);
                w.runs(HEARING_DELAY_S);
                fed += u32::from(w.position(Control::Dump) == 0);
                let heard = w.tick;
                w.runs(2.5);
                assert_eq!(w.position(Control::Dump), 1, "{call:?} {ticks}");
                w.runs(6.0);
                let shut = w.when(Control::Dump, 0).unwrap_or(0.0);
                assert!(shut <= heard.seconds() + 0.5, "{call:?} {ticks}: {shut}");
                assert_eq!(w.position(Control::Dump), 1, "{call:?} {ticks}");
                assert_eq!((w.hand.order(), w.holding), (None, None));
                if stop == Call::AllStop {
                    assert_eq!(w.position(Control::Throttle), 0);
                }
            }
        }
    }
    assert!(fed > 500, "most stops come with the line fed: {fed}");
}

#[test]
fn a_second_stop_while_the_engine_is_let_down_changes_nothing() {
    for second in [Call::Dump, Call::AllStop] {
        let mut w = World::at_step(3);
        w.asks(Call::AllStop);
        assert!(w.runs_until(8.0, |w| w.position(Control::Throttle) < 50));
        w.word(0.0, Seat::WATCH, second);
        w.runs(8.0);
        assert_eq!(w.position(Control::Dump), 1);
        assert_eq!(w.position(Control::Throttle), 0);
        w.asks(Call::ClearToPressurise);
        w.runs(12.0);
        assert_eq!(w.position(Control::Throttle), 60, "the same setting");
        assert!(near(w.pressure_bar, 500.0, 4.0), "{}", w.pressure_bar);
    }
}

#[test]
fn a_hand_that_shuts_the_dump_need_not_see_it_shut_to_open_it_again() {
    let (mut shut, mut slowest_s) = (0, 0.0_f64);
    for ticks in 200..800 {
        let mut w = stopped_after(Call::ClearToPressurise, Call::Dump, ticks);
        w.runs(HEARING_DELAY_S);
        let heard_s = w.tick.seconds();
        if w.hand.order() != Some(Order::Shut) {
            continue;
        }
        w.runs(4.0);
        if w.when(Control::Dump, 0).is_some() {
            shut += 1;
            let open_s = w.when(Control::Dump, 1).unwrap_or(f64::INFINITY);
            slowest_s = slowest_s.max(open_s - heard_s);
        }
    }
    assert!(shut > 20, "the push was under way: {shut}");
    assert!(slowest_s < 1.5, "{slowest_s}");
}

#[test]
fn a_dump_that_somebody_shuts_after_a_stop_is_opened_again() {
    let mut w = World::at_step(1);
    w.asks(Call::AllStop);
    w.runs(8.0);
    w.set(Control::Dump, 0);
    w.runs(3.0);
    assert_eq!(w.position(Control::Dump), 1);
}

#[test]
fn a_zero_is_proved_in_its_order() {
    let mut w = World::at_step(2);
    w.asks(Call::ProveZero);
    assert!(w.runs_until(40.0, |w| w.words_said().last() == Some(&Call::ZeroProved)));
    let order = [
        (Control::Dump, 1),
        (Control::Regulator, 0),
        (Control::Throttle, 0),
        (Control::Key, 0),
        (Control::Bleed, 1),
    ]
    .map(|(control, to)| w.when(control, to));
    assert!(order.iter().all(Option::is_some), "{order:?}");
    assert!(order.is_sorted(), "{order:?}");
    let bleed_s = order[4].expect("opened");
    let word_s = w.tick.seconds();
    assert!(word_s > bleed_s + w.drains_for_s + 1.0, "it was dry first");
    assert_eq!(w.rev_s, 0.0);
    let said = w.said.iter().filter(|s| s.1 == Call::ZeroProved).count();
    w.runs(20.0);
    assert_eq!(said, 1);
    assert_eq!(w.hand.step(), 0);
}

#[test]
fn a_bleed_that_does_not_run_dry_proves_nothing() {
    let mut w = World::at_step(1);
    w.drains_for_s = f64::INFINITY;
    w.asks(Call::ProveZero);
    w.runs(200.0);
    assert!(!w.words_said().contains(&Call::ZeroProved));
}

#[test]
fn the_bleed_is_opened_only_once_the_engine_stands() {
    let mut w = World::at_step(1);
    w.asks(Call::ProveZero);
    assert!(w.runs_until(40.0, |w| w.position(Control::Key) == 0));
    assert!(w.runs_until(10.0, |w| w.rev_s <= 0.0));
    assert_eq!(w.position(Control::Bleed), 0);
}

#[test]
fn an_engine_that_worked_hard_is_cooled_where_the_level_asks_for_it() {
    for (step, cool_s, least_s) in [(3, 60.0, 60.0), (1, 60.0, 0.0), (3, 0.0, 0.0)] {
        let mut w = World::at_step(step);
        w.hand.ways.cool_s = cool_s;
        w.asks(Call::ProveZero);
        assert!(w.runs_until(120.0, |w| w.position(Control::Key) == 0));
        let down_s = w.when(Control::Throttle, 0).expect("let down");
        let idled_s = w.when(Control::Key, 0).expect("stopped") - down_s;
        assert!(idled_s >= least_s, "{step}: {idled_s}");
        assert!(idled_s < least_s + 5.0, "{step}: {idled_s}");
    }
}

#[test]
fn started_up_the_engine_runs_without_load_and_ready_is_said() {
    let mut w = World::standing();
    w.set(Control::Bleed, 1);
    w.set(Control::Regulator, 120);
    w.asks(Call::StartUp);
    assert!(w.runs_until(40.0, |w| w.words_said().last() == Some(&Call::Ready)));
    assert_eq!(w.words_said(), [Call::StartUp, Call::Ready]);
    assert_eq!(w.position(Control::Bleed), 0);
    assert_eq!(w.position(Control::Dump), 1);
    assert_eq!(w.position(Control::Regulator), 0);
    let cranked_s = w.when(Control::Key, 2);
    assert!(w.when(Control::Bleed, 0) < cranked_s);
    assert!(w.when(Control::Regulator, 0) < cranked_s);
    assert!(w.rev_s > 10.0);
}

#[test]
fn an_engine_that_does_not_start_is_not_called_ready() {
    let mut w = World::standing();
    w.cranks_for_s = f64::INFINITY;
    w.asks(Call::StartUp);
    w.runs(200.0);
    assert_eq!(w.words_said(), [Call::StartUp]);
    assert_eq!((w.hand.order(), w.holding), (None, None));
}

#[test]
fn a_change_of_nozzle_begins_again_at_residual_pressure() {
    let mut w = World::at_step(3);
    w.asks(Call::ProveZero);
    w.runs(40.0);
    assert_eq!(w.words_said().last(), Some(&Call::ZeroProved));
    w.asks(Call::StartUp);
    w.runs(20.0);
    assert_eq!(w.words_said().last(), Some(&Call::Ready));
    w.asks(Call::ClearToPressurise);
    w.runs(10.0);
    assert!(
        near(w.pressure_bar, RESIDUAL_BAR, 15.0),
        "{}",
        w.pressure_bar
    );
    w.asks(Call::Raise);
    w.runs(22.0);
    assert!(near(w.pressure_bar, 100.0, 3.0), "{}", w.pressure_bar);
}

#[test]
fn the_step_of_an_engine_that_died_is_forgotten() {
    let mut w = World::at_step(2);
    w.set(Control::EmergencyStop, 1);
    w.runs(3.0);
    assert_eq!(w.hand.step(), 0);
    w.asks(Call::StartUp);
    w.runs(5.0);
    assert_eq!(w.words_said().last(), Some(&Call::SayAgain), "struck");
}

#[test]
fn the_last_word_is_said_again_when_asked_for() {
    let mut w = World::idling();
    w.asks(Call::ReadyQuery);
    w.runs(4.0);
    w.asks(Call::SayAgain);
    w.runs(4.0);
    assert_eq!(w.words_said(), [Call::Ready, Call::Ready]);
    w.runs(LAST_WORD_S);
    w.asks(Call::SayAgain);
    w.runs(4.0);
    assert_eq!(w.said.len(), 2, "a word is not remembered for ever");
}

#[test]
fn a_read_back_that_was_not_heard_is_said_again_before_anything_is_shut() {
    let mut w = World::idling();
    w.asks(Call::ClearToPressurise);
    w.runs(3.1);
    w.asks(Call::SayAgain);
    assert!(w.runs_until(10.0, |w| w.position(Control::Dump) == 0));
    assert_eq!(
        w.words_said(),
        [Call::ClearToPressurise, Call::ClearToPressurise]
    );
}

#[test]
fn words_that_want_no_answer_get_none() {
    for call in [
        Call::Correction,
        Call::Ready,
        Call::Squeeze,
        Call::Release,
        Call::ZeroProved,
        Call::ZoneClear,
        Call::NoChange,
        Call::SayAgain,
    ] {
        for mut w in [World::standing(), World::idling()] {
            w.asks(call);
            w.runs(5.0);
            assert!(w.said.is_empty() && w.moved.is_empty(), "{call:?}");
        }
    }
}

#[test]
fn two_words_spoken_into_each_other_are_asked_for_once() {
    let mut w = World::idling();
    w.runs(1.0);
    w.word(0.0, Seat::WATCH, Call::ZoneClear);
    w.word(0.3, Seat::LANCE, Call::ClearToPressurise);
    w.runs(12.0);
    assert_eq!(w.words_said(), [Call::SayAgain]);
    assert_eq!(w.position(Control::Dump), 1);
    w.asks(Call::ClearToPressurise);
    w.runs(10.0);
    assert_eq!(w.position(Control::Dump), 0);
}

#[test]
fn a_word_spoken_into_the_read_back_leaves_the_dump_open() {
    let mut w = World::idling();
    w.asks(Call::ClearToPressurise);
    w.runs(2.0);
    // Not understood, so it may have been anything.
    w.asks(Call::ReadyQuery);
    w.runs(20.0);
    assert_eq!(w.words_said(), [Call::ClearToPressurise, Call::SayAgain]);
    assert_eq!(w.position(Control::Dump), 1);
}

#[test]
fn nobody_but_the_lance_hand_has_anything_done_at_the_pump() {
    for seat in [Seat::WATCH, Seat::VISITOR, Seat(9)] {
        for call in Call::ALL {
            if matches!(call, Call::Dump | Call::AllStop) {
                continue;
            }
            let mut w = World::at_step(1);
            let (moved, said) = (w.moved.len(), w.said.len());
            w.word(0.0, seat, call);
            w.runs(8.0);
            assert_eq!((w.moved.len(), w.said.len()), (moved, said), "{call:?}");
        }
    }
}

#[test]
fn without_a_word_nothing_is_touched() {
    let mut w = World::idling();
    w.set(Control::Regulator, 100);
    w.runs(60.0);
    let touches = |i: &&Input| !matches!(i.act, Act::Turn { .. } | Act::Walk { .. });
    assert_eq!(w.log.iter().filter(touches).count(), 0);
}

#[test]
fn the_pump_hand_goes_to_the_dump_lever_and_stays_there() {
    let mut w = World::idling();
    w.at = [5.0, 4.0];
    w.runs(15.0);
    assert!(site().in_reach(Control::Dump, w.at), "{:?}", w.at);
}

#[test]
fn gauge_and_lance_hand_are_both_in_view() {
    let mut w = World::idling();
    w.yaw = -2.0;
    w.runs(8.0);
    for spot in [[0.0, 0.1], [12.0, 3.0]] {
        let toward = libm::atan2(-(spot[1] - w.at[1]), spot[0] - w.at[0]);
        // Eyes and head reach 80 degrees to either side.
        assert!(libm::cos(toward - w.yaw) > 0.17, "{spot:?} {}", w.yaw);
    }
}

#[test]
fn the_same_seed_gives_the_same_inputs() {
    let run = |seed| {
        let mut w = World::idling();
        w.hand = PumpHand::new(ways(), site(), seed);
        w.asks(Call::ClearToPressurise);
        w.runs(8.0);
        w.asks(Call::Raise);
        w.runs(20.0);
        w.log
    };
    assert_eq!(run(3), run(3));
    assert_ne!(run(3), run(4));
}

#[test]
#[should_panic(expected = "the regulator goes up without a word")]
fn the_world_of_these_tests_notices_a_raise_without_a_word() {
    let mut w = World::at_step(1);
    w.hand.begin(Order::Raise, None, &Percepts::default());
    w.runs(20.0);
}

#[test]
#[should_panic(expected = "the dump is shut without a word")]
fn the_world_of_these_tests_notices_a_dump_shut_without_a_word() {
    let mut w = World::idling();
    w.hand.begin(Order::Shut, None, &Percepts::default());
    w.runs(20.0);
}

#[test]
fn who_comes_in_knows_the_step_by_the_regulator_and_the_first_by_the_throttle() {
    let steps = ways();
    let at = |throttle_pct: f64, set_bar: f64| {
        let mut hand = PumpHand::new(ways(), site(), 1);
        hand.come_in(&Past {
            throttle_pct,
            set_bar,
            ..Past::default()
        });
        hand.step
    };
    let [first, second, third] = [0, 1, 2].map(|n| (steps.throttle_pct[n], steps.steps_bar[n]));
    assert_eq!(at(0.0, 80.0), 0);
    assert_eq!(at(first.0, 0.9 * first.1), 1);
    assert_eq!(at(second.0, 1.02 * second.1), 2);
    assert_eq!(at(third.0, 0.97 * third.1), 3);
    // Lowered at the regulator, and not yet at the throttle.
    assert_eq!(at(third.0, 1.1 * second.1), 2);
    // The throttle was eased while the dump is open.
    assert_eq!(at(0.0, third.1), 3);
}

#[test]
fn at_the_sight_of_harm_the_pump_hand_shouts_dumps_and_stops_the_pump_for_good() {
    for harm in [[true, false], [false, true]] {
        let mut w = World::at_step(2);
        let said = w.said.len();
        w.harm = harm;
        let seen_s = w.tick.seconds();
        w.runs(4.0);
        let opened_s = w.when(Control::Dump, 1).expect("the dump is opened") - seen_s;
        assert!((0.3..2.0).contains(&opened_s), "{opened_s}");
        assert_eq!(w.words_said()[said], Call::AllStop);
        w.runs(60.0);
        assert_eq!(w.rev_s, 0.0, "the engine stands");
        assert_eq!(w.position(Control::Bleed), 1);
        assert_eq!(w.words_said().last(), Some(&Call::ZeroProved));
        for call in [Call::StartUp, Call::ClearToPressurise, Call::ReadyQuery] {
            let moved = w.moved.len();
            w.asks(call);
            w.runs(20.0);
            assert_eq!(w.words_said().last(), Some(&Call::AllStop), "{call:?}");
            assert_eq!(w.moved.len(), moved, "{call:?}");
        }
    }
}

#[test]
fn a_stop_called_by_somebody_else_keeps_nobody_from_stopping_the_pump() {
    let mut w = World::at_step(2);
    w.harm = [true, false];
    w.word(0.2, Seat::LANCE, Call::AllStop);
    w.word(4.0, Seat::LANCE, Call::AllStop);
    w.runs(90.0);
    assert_eq!(w.rev_s, 0.0);
    assert_eq!(w.words_said().last(), Some(&Call::ZeroProved));
    assert!(!w.words_said().contains(&Call::AllStop));
}
