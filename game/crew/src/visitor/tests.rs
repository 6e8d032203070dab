use super::*;
use crate::Heard;
use crate::afoot::Afoot;
use crate::person::distance_m;

const HOME: [f64; 2] = [0.0, 0.0];
/// From when on the jet runs again, seconds: later than the visitor is there.
const JET_AGAIN_S: f64 = 9.0;

fn site() -> Site {
    Site {
        nerves: crate::percept::Nerves::default(),
        places: vec![("path".into(), [4.0, 0.0]), ("wall".into(), [4.0, 5.0])],
        controls: Vec::new(),
        reach_m: 0.8,
        zone_m: Some([[2.0, 2.0], [8.0, 8.0]]),
        surface: None,
    }
}

fn ways() -> VisitorWays {
    VisitorWays {
        after_s: 5.0,
        by: vec!["path".into(), "nowhere".into(), "wall".into()],
    }
}

/// A visitor; the jet is seen for a second from the second second on, and all
/// the time from the ninth.
fn visitor(seed: u64) -> Afoot<Visitor> {
    Afoot::new(Visitor::new(ways(), site(), seed), HOME, 0.0)
}

fn until(v: &mut Afoot<Visitor>, s: f64, calls: &[(f64, Call)]) {
    while v.p.tick < Tick::at(s) {
        let s = v.p.tick.seconds();
        v.p.jet_runs = (2.0..3.0).contains(&s) || s >= JET_AGAIN_S;
        for (at, call) in calls {
            if v.p.tick == Tick::at(*at) {
                v.p.heard.push(Heard {
                    seat: Seat::WATCH,
                    call: *call,
                });
            }
        }
        v.step();
    }
}

fn nearest_m(v: &Afoot<Visitor>, spot: [f64; 2]) -> f64 {
    v.track
        .iter()
        .map(|at| distance_m(*at, spot))
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn a_visitor_sets_out_so_long_after_the_jet_was_first_seen() {
    let mut v = visitor(1);
    until(&mut v, 6.9, &[]);
    assert!(v.log.is_empty());
    until(&mut v, 7.1, &[]);
    assert_eq!(v.mind.visit(), Visit::Comes(1));
    let mut never = visitor(1);
    while never.p.tick < Tick::at(60.0) {
        never.step();
    }
    assert!(
        never.log.is_empty(),
        "without a jet there is nothing to see"
    );
}

#[test]
fn a_visitor_who_is_not_called_walks_the_whole_way_and_back() {
    let mut v = visitor(1);
    until(&mut v, 60.0, &[]);
    assert!(nearest_m(&v, [4.0, 5.0]) <= PAST_M);
    assert_eq!(v.mind.visit(), Visit::Away);
    assert!(distance_m(v.p.body.at_m, HOME) <= PAST_M);
    let log = v.log.len();
    until(&mut v, 120.0, &[]);
    assert_eq!(v.log.len(), log, "and stays there");
}

#[test]
fn a_visitor_looks_on_until_the_jet_is_at_work() {
    let mut v = visitor(1);
    let mut step = |jet: bool, for_s: f64| {
        let until = v.p.tick.after(for_s);
        while v.p.tick < until {
            v.p.jet_runs = jet;
            v.step();
        }
        (v.mind.visit(), v.p.body.at_m)
    };
    step(true, 1.0);
    let (visit, at) = step(false, 30.0);
    assert_eq!(visit, Visit::LooksOn);
    assert!(distance_m(at, [4.0, 0.0]) <= PAST_M, "at the first place");
    for _ in 0..5 {
        // A squeeze as short as a test of the trigger draws nobody in.
        step(true, 0.8 * DRAWS_S);
        assert_eq!(step(false, 2.0), (Visit::LooksOn, at));
    }
    let (visit, _) = step(true, 1.1 * DRAWS_S);
    assert_eq!(visit, Visit::Comes(2));
    let (visit, _) = step(false, 1.0);
    assert_eq!(visit, Visit::Comes(2), "and on, whatever the jet does then");
}

#[test]
fn a_visitor_who_is_called_stops_and_goes_back_the_same_way() {
    for call in [Call::AllStop, Call::Dump] {
        let mut v = visitor(1);
        let called_s = 13.0;
        until(&mut v, called_s, &[]);
        assert_eq!(v.mind.visit(), Visit::Comes(2), "on the way in");
        until(&mut v, called_s + 0.1, &[(called_s, call)]);
        let stopped = v.p.body.at_m;
        assert!(stopped[1] > 1.0, "past the path: {stopped:?}");
        until(&mut v, called_s + 0.5, &[]);
        assert!(distance_m(v.p.body.at_m, stopped) < 0.05, "stands");
        until(&mut v, called_s + 1.5, &[]);
        assert!(v.mind.visit() == Visit::Goes(1), "{:?}", v.mind.visit());
        let from = v.track.len();
        until(&mut v, 60.0, &[]);
        let back = &v.track[from..];
        let by_path = back.iter().any(|at| distance_m(*at, [4.0, 0.0]) <= PAST_M);
        assert!(by_path, "the same way");
        assert!(back.iter().all(|at| at[1] <= stopped[1] + 0.1));
        assert_eq!(v.mind.visit(), Visit::Away);
        assert!(distance_m(v.p.body.at_m, HOME) <= PAST_M);
    }
}

#[test]
fn it_takes_a_visitor_a_moment_to_understand() {
    let mut v = visitor(3);
    until(&mut v, 13.0, &[]);
    until(&mut v, 13.0 + 0.7 * UNDERSTAND_S, &[(13.0, Call::AllStop)]);
    assert!(matches!(v.mind.visit(), Visit::Stops { towards: 2, .. }));
    until(&mut v, 13.0 + 1.5 * UNDERSTAND_S, &[]);
    assert_eq!(v.mind.visit(), Visit::Goes(1));
}

#[test]
fn other_words_and_ones_own_mean_nothing_to_a_visitor() {
    let mut v = visitor(1);
    let others: Vec<(f64, Call)> = Call::ALL
        .into_iter()
        .filter(|c| !matches!(c, Call::AllStop | Call::Dump))
        .map(|c| (10.0, c))
        .collect();
    until(&mut v, 11.0, &others);
    v.p.heard.push(Heard {
        seat: Seat::VISITOR,
        call: Call::AllStop,
    });
    v.step();
    assert!(matches!(v.mind.visit(), Visit::Comes(_)));
}

#[test]
fn a_call_before_a_visitor_has_set_out_is_not_for_them() {
    let mut v = visitor(1);
    until(&mut v, 10.0, &[(4.0, Call::AllStop)]);
    assert!(matches!(v.mind.visit(), Visit::Comes(_)));
}

#[test]
fn a_visitor_without_a_known_place_stays_outside() {
    let ways = VisitorWays {
        after_s: 1.0,
        by: vec!["nowhere".into()],
    };
    let mut v = Afoot::new(Visitor::new(ways, site(), 1), HOME, 0.0);
    until(&mut v, 30.0, &[(20.0, Call::AllStop)]);
    assert_eq!(v.mind.visit(), Visit::Waits);
    assert!(v.log.is_empty());
}

#[test]
fn who_comes_into_an_attempt_taken_up_knows_what_has_gone_before() {
    let water = Some(Tick(0));
    let past = |visited| Past {
        water,
        visited,
        ..Past::default()
    };
    let mut due = visitor(1);
    due.mind.come_in(&past(false));
    until(&mut due, 5.5, &[]);
    assert_eq!(due.mind.visit(), Visit::Comes(1), "water was long ago");
    let mut once = visitor(1);
    once.mind.come_in(&past(true));
    until(&mut once, 30.0, &[]);
    assert_eq!(once.mind.visit(), Visit::Away, "nobody comes twice");
}

#[test]
fn the_same_seed_gives_the_same_inputs() {
    let run = |seed| {
        let mut v = visitor(seed);
        until(&mut v, 40.0, &[(13.0, Call::AllStop)]);
        v.log
    };
    assert_eq!(run(3), run(3));
    assert_ne!(run(3), run(4));
}
