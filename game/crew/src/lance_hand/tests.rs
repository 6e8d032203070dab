use super::*;
use crate::{Heard, OwnBody, Task};

/// A lance hand at a tool: what they do shows at once, except that hands take
/// their time.
struct Yard {
    p: Percepts,
    hand: LanceHand,
    log: Vec<Input>,
    words: Vec<(f64, Seat, Call)>,
    nozzle_blocked: bool,
    task_until: Option<(Tick, Task)>,
    water: bool,
    trigger: u16,
    catch: bool,
}

fn ways() -> LanceHandWays {
    LanceHandWays {
        reply_s: 0.8,
        squeeze_s: 2.0,
        work: vec![(2.0, 3.0), (1.0, 3.0)],
        dump_call_after_s: Some(12.0),
    }
}

fn site() -> Site {
    Site {
        nerves: crate::percept::Nerves::default(),
        places: vec![("lance".into(), [20.0, 0.0])],
        controls: Vec::new(),
        reach_m: 0.8,
        zone_m: None,
        surface: None,
    }
}

impl Yard {
    fn new(nozzle: bool) -> Self {
        Yard {
            p: Percepts {
                body: OwnBody {
                    at_m: [20.0, 0.1],
                    strength: 1.0,
                    ..OwnBody::default()
                },
                hose_limp: Some(true),
                nozzle_fitted: Some(nozzle),
                ..Percepts::default()
            },
            hand: LanceHand::new(ways(), site(), 1),
            log: Vec::new(),
            words: Vec::new(),
            nozzle_blocked: false,
            task_until: None,
            water: false,
            trigger: 0,
            catch: true,
        }
    }

    fn hears(mut self, s: f64, call: Call) -> Self {
        self.words.push((s, Seat::PUMP, call));
        self
    }

    fn until(&mut self, s: f64) {
        while self.p.tick < Tick::at(s) {
            self.step();
        }
    }

    fn step(&mut self) {
        let now = self.p.tick;
        self.p.heard = self
            .words
            .iter()
            .filter(|(s, ..)| Tick::at(*s) == now)
            .map(|&(_, seat, call)| Heard { seat, call })
            .collect();
        let mut out = Vec::new();
        self.hand.act(&self.p, &mut out);
        for input in out {
            assert_eq!((input.seat, input.source), (Seat::LANCE, Source::Crew));
            assert_eq!(input.tick, now);
            match input.act {
                Act::Squeeze { permille } => {
                    assert!(permille == 0 || !self.catch, "the catch is off first");
                    assert!(permille == 0 || self.p.body.working.is_none());
                    self.trigger = permille;
                }
                Act::SafetyCatch(on) => self.catch = on,
                Act::Brace(on) => self.p.body.braced = f64::from(u8::from(on)),
                Act::Stand(stance) => self.p.body.stance = stance,
                Act::Begin(task) => {
                    assert_eq!(self.trigger, 0);
                    assert!(self.catch, "hands at the nozzle only with the catch on");
                    self.task_until = Some((now.after(task.duration_s()), task));
                    self.p.body.working = Some(task);
                }
                Act::LeaveOff => {
                    self.task_until = None;
                    self.p.body.working = None;
                }
                Act::Say(_) => {}
                other => panic!("the lance hand has no use for {other:?}"),
            }
            self.log.push(input);
        }
        if let Some((until, task)) = self.task_until
            && now >= until
        {
            self.task_until = None;
            self.p.body.working = None;
            if task == Task::FitNozzle && !self.nozzle_blocked {
                self.p.nozzle_fitted = Some(true);
            }
        }
        self.p.jet_runs = self.water && self.trigger > 500;
        self.p.tick.0 += 1;
    }

    fn said(&self) -> Vec<Call> {
        self.log
            .iter()
            .filter_map(|i| match i.act {
                Act::Say(call) => Some(call),
                _ => None,
            })
            .collect()
    }

    /// Begin and end of each squeeze, seconds.
    fn squeezes(&self) -> Vec<(f64, f64)> {
        let mut squeezes = Vec::new();
        for input in &self.log {
            match input.act {
                Act::Squeeze { permille: 0 } => {
                    if let Some((_, end)) = squeezes.last_mut() {
                        *end = input.tick.seconds();
                    }
                }
                Act::Squeeze { .. } => squeezes.push((input.tick.seconds(), f64::INFINITY)),
                _ => {}
            }
        }
        squeezes
    }

    fn at(&self, wanted: Act) -> Option<f64> {
        self.log
            .iter()
            .find(|i| i.act == wanted)
            .map(|i| i.tick.seconds())
    }
}

#[test]
fn ready_is_said_after_the_time_to_think() {
    let mut yard = Yard::new(true).hears(1.0, Call::ReadyQuery);
    yard.until(5.0);
    assert_eq!(yard.said(), [Call::Ready]);
    let at_s = yard.at(Act::Say(Call::Ready)).unwrap_or_default();
    assert!((1.5..2.5).contains(&at_s), "{at_s}");
}

#[test]
fn a_flush_is_read_back_and_squeezed_until_a_word_ends_it() {
    for stop in [Call::Dump, Call::Release, Call::AllStop] {
        let mut yard = Yard::new(false)
            .hears(1.0, Call::ClearToFlush)
            .hears(15.0, stop);
        yard.water = true;
        yard.until(20.0);
        assert_eq!(yard.said(), [Call::ClearToFlush]);
        let squeezes = yard.squeezes();
        assert_eq!(squeezes.len(), 1);
        assert!(squeezes[0].0 > 1.5, "not before the word is thought of");
        assert_eq!(squeezes[0].1, 15.0, "let go in the tick of the word");
        assert!(yard.catch);
        assert_eq!(yard.hand.post(), Post::Rest);
    }
}

#[test]
fn a_flush_whose_water_has_stopped_for_three_seconds_is_over() {
    let mut yard = Yard::new(false).hears(1.0, Call::ClearToFlush);
    yard.until(8.0);
    assert_eq!(
        yard.trigger, 1000,
        "water that has not come yet is waited for"
    );
    yard.water = true;
    yard.until(15.0);
    yard.water = false;
    yard.until(17.5);
    assert_eq!(yard.trigger, 1000);
    yard.until(19.0);
    assert_eq!(yard.trigger, 0);
}

#[test]
fn pressure_is_read_back_with_feet_staggered_and_tool_braced() {
    let mut yard = Yard::new(true).hears(1.0, Call::ClearToPressurise);
    yard.until(6.0);
    assert_eq!(yard.said(), [Call::ClearToPressurise]);
    assert_eq!(yard.p.body.stance, Stance::Staggered);
    assert_eq!(yard.p.body.braced, 1.0);
    assert!(yard.catch, "the catch comes off to squeeze only");
    assert!(yard.squeezes().is_empty());
}

#[test]
fn a_test_squeeze_ends_by_itself_and_the_catch_goes_on() {
    let mut yard = Yard::new(true)
        .hears(1.0, Call::ClearToPressurise)
        .hears(6.0, Call::Squeeze);
    yard.water = true;
    yard.until(15.0);
    let squeezes = yard.squeezes();
    assert_eq!(squeezes.len(), 1);
    let held_s = squeezes[0].1 - squeezes[0].0;
    assert!((held_s - 2.0).abs() < 0.02, "{held_s}");
    assert!(yard.catch);
}

#[test]
fn without_pressure_agreed_a_fitted_tool_is_braced_before_it_is_squeezed() {
    let mut yard = Yard::new(true).hears(1.0, Call::Squeeze);
    yard.until(8.0);
    let braced_s = yard.at(Act::Brace(true)).unwrap_or(f64::INFINITY);
    assert_eq!(yard.squeezes().len(), 1);
    assert!(braced_s < yard.squeezes()[0].0);
    assert_eq!(yard.p.body.stance, Stance::Normal, "and taken down again");
}

#[test]
fn a_proved_zero_has_the_bore_gauged_and_the_nozzle_fitted() {
    let mut yard = Yard::new(false).hears(1.0, Call::ZeroProved);
    yard.until(25.0);
    let gauge_s = yard.at(Act::Begin(Task::GaugeBore)).unwrap_or(f64::NAN);
    let fit_s = yard.at(Act::Begin(Task::FitNozzle)).unwrap_or(f64::NAN);
    assert!(gauge_s + Task::GaugeBore.duration_s() <= fit_s);
    assert_eq!(yard.said(), [Call::Ready]);
    let ready_s = yard.at(Act::Say(Call::Ready)).unwrap_or(f64::NAN);
    assert!(ready_s >= fit_s + Task::FitNozzle.duration_s());
}

#[test]
fn a_nozzle_that_does_not_go_on_is_not_called_ready() {
    let mut yard = Yard::new(false).hears(1.0, Call::ZeroProved);
    yard.nozzle_blocked = true;
    yard.until(60.0);
    assert!(yard.said().is_empty(), "{:?}", yard.said());
    assert_eq!(yard.hand.post(), Post::Rest);
}

#[test]
fn no_hand_goes_to_the_nozzle_of_a_live_hose() {
    let mut yard = Yard::new(false).hears(1.0, Call::ZeroProved);
    yard.p.hose_limp = Some(false);
    yard.until(20.0);
    assert_eq!(yard.said(), [Call::SayAgain]);
    assert_eq!(yard.at(Act::Begin(Task::GaugeBore)), None);
}

#[test]
fn hands_at_the_nozzle_ask_again_once_and_leave_off_at_a_stop() {
    let mut yard = Yard::new(false)
        .hears(1.0, Call::ZeroProved)
        .hears(4.0, Call::ReadyQuery)
        .hears(5.9, Call::ReadyQuery)
        .hears(9.0, Call::AllStop);
    yard.until(20.0);
    assert_eq!(yard.said(), [Call::SayAgain]);
    assert_eq!(yard.at(Act::LeaveOff), Some(9.0));
    assert_eq!(yard.hand.post(), Post::Rest);
}

fn at_work() -> Yard {
    let mut yard = Yard::new(true)
        .hears(1.0, Call::ClearToPressurise)
        .hears(5.0, Call::NoChange);
    yard.water = true;
    yard
}

#[test]
fn trigger_work_follows_its_plan_and_ends_with_a_call_for_the_dump() {
    let mut yard = at_work();
    yard.until(30.0);
    assert_eq!(yard.said(), [Call::ClearToPressurise, Call::Dump]);
    let squeezes = yard.squeezes();
    assert_eq!(squeezes.len(), 2);
    for ((begin, end), (_, squeeze_s)) in squeezes.iter().zip(ways().work) {
        assert!((end - begin - squeeze_s).abs() < 0.02);
    }
    // Two seconds from the word, the time to think, catch to trigger.
    assert!((7.5..8.5).contains(&squeezes[0].0), "{squeezes:?}");
    let pause_s = squeezes[1].0 - squeezes[0].1;
    assert!((1.0..1.3).contains(&pause_s), "{pause_s}");
    let dump_s = yard.at(Act::Say(Call::Dump)).unwrap_or(f64::NAN);
    assert!((17.5..18.5).contains(&dump_s), "{dump_s}");
    assert_eq!(yard.hand.post(), Post::Rest);
}

#[test]
fn the_trigger_is_let_go_before_the_dump_is_called_for() {
    let mut yard = at_work();
    yard.hand.ways.work = vec![(2.0, 60.0)];
    yard.until(25.0);
    let dump_s = yard.at(Act::Say(Call::Dump)).unwrap_or(f64::NAN);
    assert_eq!(yard.squeezes().len(), 1);
    assert!(yard.squeezes()[0].1 <= dump_s);
}

#[test]
fn a_call_for_the_dump_that_is_not_followed_is_made_twice_and_no_more() {
    let mut yard = at_work();
    yard.p.hose_limp = Some(false);
    yard.until(40.0);
    let dumps: Vec<f64> = yard
        .log
        .iter()
        .filter(|i| i.act == Act::Say(Call::Dump))
        .map(|i| i.tick.seconds())
        .collect();
    assert_eq!(dumps.len(), 2);
    let gap_s = dumps[1] - dumps[0] - Call::Dump.duration_s();
    assert!((3.0..3.2).contains(&gap_s), "{gap_s}");
}

#[test]
fn a_stop_is_obeyed_in_the_same_tick_whoever_calls_it() {
    for seat in [Seat::PUMP, Seat(7)] {
        for call in [Call::Dump, Call::AllStop, Call::Release] {
            let mut yard = at_work();
            yard.words.push((9.0, seat, call));
            yard.until(9.5);
            assert_eq!(yard.squeezes()[0].1, 9.0);
        }
    }
}

#[test]
fn nobody_but_the_pump_hand_has_the_trigger_squeezed() {
    let mut yard = Yard::new(true).hears(1.0, Call::ClearToPressurise);
    yard.words.push((6.0, Seat(7), Call::Squeeze));
    yard.until(15.0);
    assert!(yard.squeezes().is_empty());
}

type Trouble = fn(&mut Percepts);

#[test]
fn any_doubt_lets_go_and_calls_for_the_dump() {
    let troubles: [(&str, Trouble); 4] = [
        ("fallen", |p| p.body.fallen = true),
        ("leaning", |p| p.body.lean_rad = -0.5),
        ("weak", |p| p.body.strength = 0.05),
        ("away", |p| p.body.at_m = [24.0, 0.0]),
    ];
    for (name, trouble) in troubles {
        let mut yard = at_work();
        yard.until(9.0);
        assert_eq!(yard.trigger, 1000, "{name}");
        trouble(&mut yard.p);
        yard.step();
        assert_eq!(yard.trigger, 0, "{name}");
        yard.until(12.0);
        assert!(yard.said().contains(&Call::Dump), "{name}");
        yard.until(30.0);
        assert_eq!(yard.squeezes().len(), 1, "{name}");
    }
}

#[test]
fn water_that_stays_away_ends_the_work() {
    let mut yard = at_work();
    yard.hand.ways.work = vec![(2.0, 60.0)];
    yard.until(10.0);
    yard.water = false;
    yard.until(13.5);
    assert_eq!(yard.trigger, 0);
    assert_eq!(yard.hand.post(), Post::Rest);
}

#[test]
fn a_word_spoken_into_ones_own_is_asked_for_once_and_nothing_is_squeezed() {
    let mut yard = Yard::new(true).hears(1.0, Call::ClearToPressurise);
    yard.until(1.5);
    // The read-back lasts 1.2 s from about 1.8 s on.
    let mut yard = yard.hears(2.6, Call::Squeeze).hears(2.7, Call::Squeeze);
    yard.until(8.0);
    assert_eq!(yard.said(), [Call::ClearToPressurise, Call::SayAgain]);
    assert!(yard.squeezes().is_empty());
    let mut yard = yard.hears(8.5, Call::Squeeze);
    yard.until(14.0);
    assert_eq!(
        yard.squeezes().len(),
        1,
        "said again in the clear it counts"
    );
}

#[test]
fn within_two_seconds_of_a_doubtful_word_nothing_is_squeezed() {
    let mut yard = Yard::new(false).hears(1.0, Call::ReadyQuery);
    yard.hand.ways.reply_s = 0.1;
    // "Ready" is said from 1.1 to 1.5 s; the first squeeze is spoken into it,
    // the second in the clear.
    let mut yard = yard.hears(1.6, Call::Squeeze).hears(3.1, Call::Squeeze);
    yard.until(8.0);
    assert_eq!(yard.said(), [Call::Ready, Call::SayAgain]);
    let squeezes = yard.squeezes();
    assert_eq!(squeezes.len(), 1);
    assert!(squeezes[0].0 >= 3.6, "{squeezes:?}");
}

#[test]
fn a_word_is_said_again_when_asked_for() {
    let mut yard = Yard::new(true)
        .hears(1.0, Call::ReadyQuery)
        .hears(4.0, Call::SayAgain);
    yard.until(8.0);
    assert_eq!(yard.said(), [Call::Ready, Call::Ready]);
}

#[test]
fn asked_for_a_word_that_was_never_said_the_lance_hand_keeps_silent() {
    let mut yard = Yard::new(true).hears(4.0, Call::SayAgain);
    yard.until(8.0);
    assert!(yard.said().is_empty());
}

#[test]
fn a_bare_end_is_not_pressurised_and_a_nozzle_is_not_flushed() {
    let mut yard = Yard::new(false).hears(1.0, Call::ClearToPressurise);
    yard.until(6.0);
    assert_eq!(yard.said(), [Call::SayAgain]);
    let mut yard = Yard::new(true).hears(1.0, Call::ClearToFlush);
    yard.until(6.0);
    assert_eq!(yard.said(), [Call::SayAgain]);
    assert!(yard.squeezes().is_empty());
}

#[test]
fn every_release_longer_than_three_seconds_has_the_catch_on() {
    let mut yard = at_work();
    yard.hand.ways.work = vec![(2.0, 1.0), (2.0, 1.0), (4.0, 1.0)];
    yard.hand.ways.dump_call_after_s = None;
    let mut free_s: f64 = 0.0;
    let mut since = yard.p.tick;
    while yard.p.tick < Tick::at(40.0) {
        yard.step();
        if yard.trigger > 0 || yard.catch {
            since = yard.p.tick;
        }
        free_s = free_s.max(yard.p.tick.since(since));
    }
    assert_eq!(yard.squeezes().len(), 3);
    assert!(free_s > 1.0, "a short pause leaves it off: {free_s}");
    assert!(free_s <= 3.0, "{free_s}");
}

#[test]
fn the_same_seed_gives_the_same_inputs() {
    let run = |seed| {
        let mut yard = at_work();
        yard.hand = LanceHand::new(ways(), site(), seed);
        yard.until(30.0);
        yard.log
    };
    assert_eq!(run(3), run(3));
    assert_ne!(run(3), run(4));
}

#[test]
fn at_the_sight_of_harm_the_lance_hand_lets_go_and_shouts_and_begins_nothing_more() {
    let see: [fn(&mut Percepts); 2] = [|p| p.parted = true, |p| p.somebody_down = true];
    for see in see {
        let mut yard = Yard::new(true)
            .hears(1.0, Call::ClearToPressurise)
            .hears(4.0, Call::NoChange)
            .hears(30.0, Call::ReadyQuery)
            .hears(40.0, Call::Squeeze);
        yard.water = true;
        yard.until(8.0);
        assert_eq!(yard.trigger, 1000, "at work");
        see(&mut yard.p);
        yard.step();
        assert_eq!(yard.trigger, 0, "let go in the tick of the sight");
        yard.until(20.0);
        assert_eq!(
            yard.said(),
            [Call::ClearToPressurise, Call::AllStop, Call::AllStop]
        );
        assert!(yard.catch);
        assert_eq!(yard.hand.post(), Post::Rest);
        yard.until(60.0);
        assert_eq!(yard.said()[3..], [Call::AllStop, Call::AllStop]);
        assert_eq!(yard.trigger, 0);
        assert_eq!(yard.squeezes().len(), 1);
    }
}

#[test]
fn nobody_shouts_from_the_ground() {
    let mut yard = Yard::new(true);
    yard.until(1.0);
    yard.p.body.fallen = true;
    yard.p.parted = true;
    yard.until(10.0);
    assert_eq!(yard.said(), []);
}

/// What had been said and done by a moment, for who comes in then.
fn past(at_s: f64, said: &[(f64, Seat, Call)], trigger: &[(f64, bool)]) -> Past {
    let spoken = |&(s, seat, call): &(f64, Seat, Call)| crate::Spoken {
        tick: Tick::at(s),
        seat,
        call,
        nozzle: true,
        live: false,
    };
    let turns = trigger.iter().map(|(s, on)| (Tick::at(*s), *on));
    Past {
        said: said.iter().map(spoken).collect(),
        trigger: turns.collect(),
        catch_off: trigger.last().is_some_and(|(_, on)| *on),
        at: Tick::at(at_s),
        ..Past::default()
    }
}

/// Somebody who comes in at the moment of `past`, at a line with water.
fn come_in(past: &Past) -> Yard {
    let mut yard = Yard::new(true);
    yard.water = true;
    yard.p.hose_limp = Some(false);
    yard.p.tick = past.at;
    if past.trigger.last().is_some_and(|(_, on)| *on) {
        (yard.trigger, yard.catch) = (1000, false);
    }
    yard.hand.come_in(past);
    yard
}

const AGREED: [(f64, Seat, Call); 5] = [
    (1.0, Seat::PUMP, Call::ClearToPressurise),
    (3.0, Seat::LANCE, Call::ClearToPressurise),
    (5.0, Seat::PUMP, Call::Raise),
    (7.0, Seat::LANCE, Call::Raise),
    (20.0, Seat::PUMP, Call::NoChange),
];

#[test]
fn who_comes_in_after_no_change_goes_on_with_the_work() {
    // Not begun yet, then between the two squeezes, then in the first.
    let mut yard = come_in(&past(21.0, &AGREED, &[]));
    assert_eq!(yard.hand.post(), Post::Work);
    yard.until(28.0);
    let begins: Vec<f64> = yard.squeezes().iter().map(|s| s.0.round()).collect();
    assert_eq!(begins, [22.0, 26.0]);
    let mut yard = come_in(&past(26.0, &AGREED, &[(22.3, true), (25.3, false)]));
    yard.until(31.5);
    assert_eq!(yard.squeezes().len(), 1, "the second and no more");
    let mut yard = come_in(&past(23.0, &AGREED, &[(22.3, true)]));
    yard.until(26.0);
    let let_go = yard.at(Act::Squeeze { permille: 0 });
    assert!(
        let_go.is_some_and(|s| (25.3..25.4).contains(&s)),
        "{let_go:?}"
    );
}

#[test]
fn who_comes_in_lets_go_of_what_is_held_at_a_word_that_stops() {
    let before = past(23.0, &AGREED, &[(22.3, true)]);
    let mut yard = come_in(&before).hears(24.0, Call::AllStop);
    yard.until(25.0);
    assert_eq!((yard.trigger, yard.hand.post()), (0, Post::Rest));
}

#[test]
fn who_comes_in_knows_what_was_agreed_and_no_more() {
    let post = |said: &[(f64, Seat, Call)]| come_in(&past(60.0, said, &[])).hand.post();
    assert_eq!(post(&[]), Post::Rest);
    // Not read back is not agreed.
    assert_eq!(post(&AGREED[..1]), Post::Rest);
    assert_eq!(post(&AGREED[..2]), Post::Guard);
    assert_eq!(post(&AGREED[..4]), Post::Guard);
    assert_eq!(post(&AGREED), Post::Work);
    for stop in [
        (30.0, Seat::PUMP, Call::AllStop),
        (30.0, Seat::LANCE, Call::Dump),
    ] {
        let said = [&AGREED[..], &[stop]].concat();
        assert_eq!(post(&said), Post::Rest);
        // Nobody works on without a new "clear to pressurise".
        let again = [&said[..], &[(40.0, Seat::PUMP, Call::NoChange)]].concat();
        assert_eq!(post(&again), Post::Rest);
    }
    // More pressure is agreed, and a second "no change" begins the work again.
    let raised = [
        (30.0, Seat::PUMP, Call::Raise),
        (32.0, Seat::LANCE, Call::Raise),
    ];
    let said = [&AGREED[..], &raised].concat();
    assert_eq!(post(&said), Post::Guard);
    let mut yard = come_in(&past(60.0, &said, &[])).hears(61.0, Call::NoChange);
    yard.until(66.0);
    assert_eq!(yard.hand.post(), Post::Work);
    assert_eq!(yard.squeezes().len(), 1);
}
