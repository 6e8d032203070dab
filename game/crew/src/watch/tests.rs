use super::*;
use crate::afoot::Afoot;
use crate::person::SurfaceFrame;
use crate::{Act, Heard};

/// The post of the watch, at the edge of the zone, looking along +x.
const POST: [f64; 2] = [9.0, 5.0];
const LANCE: [f64; 2] = [4.0, 4.0];

fn site() -> Site {
    Site {
        nerves: crate::percept::Nerves::default(),
        places: vec![("near".into(), [5.5, 3.0]), ("lance".into(), LANCE)],
        controls: Vec::new(),
        reach_m: 0.8,
        zone_m: Some([[0.0, 0.0], [8.0, 8.0]]),
        // A wall along x at z = 1, faced from the south.
        surface: Some(SurfaceFrame {
            corner_m: [3.0, 0.2, 1.0],
            right: [1.0, 0.0],
            size_m: [2.0, 1.5],
            tiles: [4, 3],
        }),
    }
}

fn ways() -> WatchWays {
    WatchWays {
        reply_s: 0.6,
        steps_near_after_s: None,
        near_place: None,
    }
}

fn watch_of(ways: WatchWays, site: Site, seed: u64) -> Afoot<Watch> {
    Afoot::new(Watch::new(ways, site, seed), POST, 0.0)
}

fn watch() -> Afoot<Watch> {
    watch_of(ways(), site(), 1)
}

/// Steps until `s` with the visitor where `way` has them at each second.
fn until(w: &mut Afoot<Watch>, s: f64, way: impl Fn(f64) -> Option<[f64; 2]>) {
    while w.p.tick < Tick::at(s) {
        w.p.people = vec![(Seat::LANCE, LANCE)];
        let visitor = way(w.p.tick.seconds());
        w.p.people.extend(visitor.map(|at| (Seat::VISITOR, at)));
        w.step();
        if let Some(at) = visitor {
            w.mind_the_gap(at);
        }
    }
}

impl Afoot<Watch> {
    /// The watch never walks up to anybody.
    fn mind_the_gap(&self, visitor: [f64; 2]) {
        let [.., before, now] = self.track[..] else {
            return;
        };
        let near = distance_m(now, visitor) < APART_M;
        let nearer = distance_m(now, visitor) < distance_m(before, visitor) - 1e-9;
        assert!(!(near && nearer), "{now:?} up to {visitor:?}");
    }
}

/// Comes along the line z = 9 from x = 30, stands at `stop_x` from then on,
/// and goes back from `back_s` on.
fn along(stop_x: f64, back_s: f64) -> impl Fn(f64) -> Option<[f64; 2]> {
    move |s| {
        let x = if s < back_s {
            (30.0 - 1.2 * s).max(stop_x)
        } else {
            (30.0 - 1.2 * back_s).max(stop_x) + 1.2 * (s - back_s)
        };
        Some([x, 7.0])
    }
}

/// When the visitor is this far from the edge of the zone, seconds.
fn at_edge_plus_s(m: f64) -> f64 {
    (30.0 - (8.0 + m)) / 1.2
}

#[test]
fn the_watch_calls_within_a_second_of_seeing_somebody_come_near() {
    for seed in 0..20 {
        let mut w = watch_of(ways(), site(), seed);
        until(&mut w, 18.0, along(3.0, 60.0));
        let calls = w.calls(Call::AllStop);
        let after_s = calls[0] - at_edge_plus_s(NEAR_ZONE_M);
        assert!((0.0..1.0).contains(&after_s), "{after_s}");
    }
}

#[test]
fn somebody_who_appears_in_the_zone_is_called_to_within_a_second() {
    for seed in 0..20 {
        let mut w = watch_of(
            WatchWays {
                reply_s: 3.0,
                ..ways()
            },
            site(),
            seed,
        );
        until(&mut w, 8.0, |s| (s >= 5.0).then_some([2.0, 6.0]));
        let calls = w.calls(Call::AllStop);
        assert!((5.0..6.0).contains(&calls[0]), "{calls:?}");
    }
}

#[test]
fn the_call_is_repeated_every_three_seconds_until_the_zone_is_left() {
    let mut w = watch();
    until(&mut w, 60.0, along(5.0, 30.0));
    let calls = w.calls(Call::AllStop);
    assert!(calls.len() >= 4, "{calls:?}");
    for pair in calls.windows(2) {
        let gap_s = pair[1] - pair[0];
        assert!((2.9..3.2).contains(&gap_s), "{calls:?}");
    }
    let outside_s = 30.0 + 3.0 / 1.2;
    let last = *calls.last().expect("calls were made");
    assert!(last < outside_s + 0.3, "{last}");
    assert!(last > outside_s - 3.2, "not before it is left: {last}");
}

#[test]
fn the_zone_is_called_clear_once_and_only_when_it_is() {
    for seed in 0..10 {
        let mut w = watch_of(ways(), site(), seed);
        until(&mut w, 60.0, along(5.0, 30.0));
        let clear = w.calls(Call::ZoneClear);
        let away_s = 30.0 + (3.0 + NEAR_ZONE_M) / 1.2;
        assert_eq!(clear.len(), 1);
        let after_s = clear[0] - away_s;
        assert!((CLEAR_S..CLEAR_S + 1.5).contains(&after_s), "{after_s}");
        assert!(!w.mind.alarmed());
    }
}

#[test]
fn somebody_who_stands_just_outside_is_not_called_clear_of() {
    let mut w = watch();
    // Turns in the zone, and stands a metre outside it.
    until(&mut w, 60.0, |s| {
        let x = if s < 10.0 {
            6.0
        } else {
            (6.0 + 1.2 * (s - 10.0)).min(9.0)
        };
        Some([x, 1.0])
    });
    assert!(w.calls(Call::ZoneClear).is_empty());
    assert!(w.mind.alarmed());
    let last = *w.calls(Call::AllStop).last().expect("calls were made");
    assert!(last < 13.5, "who has left is not shouted at: {last}");
}

#[test]
fn somebody_who_comes_back_in_is_called_to_again() {
    let mut w = watch();
    // Out to 2.6 m for a second only, then in again.
    until(&mut w, 20.0, |s| {
        let out = (6.0..7.0).contains(&s);
        Some([if out { 10.7 } else { 6.0 }, 1.0])
    });
    assert!(w.calls(Call::ZoneClear).is_empty());
    assert!(w.calls(Call::AllStop).iter().any(|s| *s > 7.0));
}

#[test]
fn somebody_who_passes_by_at_a_distance_or_goes_away_is_let_be() {
    let mut w = watch();
    until(&mut w, 30.0, |s| Some([30.0 - 1.2 * s, 10.6]));
    assert!(w.said.is_empty(), "{:?}", w.said);
    let mut w = watch();
    until(&mut w, 30.0, |s| Some([9.0 + 0.6 * s, 5.0 + 0.8 * s]));
    assert!(w.said.is_empty(), "{:?}", w.said);
}

#[test]
fn without_a_zone_or_without_anybody_the_watch_keeps_silent() {
    let mut open = site();
    open.zone_m = None;
    let mut w = watch_of(ways(), open, 1);
    until(&mut w, 30.0, along(3.0, 60.0));
    assert!(w.said.is_empty());
    let mut w = watch();
    until(&mut w, 30.0, |_| None);
    assert!(w.said.is_empty() && w.log.is_empty());
}

#[test]
fn the_watch_goes_a_step_or_two_towards_somebody_and_back() {
    let mut w = watch();
    until(&mut w, 60.0, along(6.0, 30.0));
    let furthest_m = w
        .track
        .iter()
        .map(|at| distance_m(*at, POST))
        .fold(0.0, f64::max);
    assert!((0.5..TOWARDS_M + 0.3).contains(&furthest_m), "{furthest_m}");
    assert!(distance_m(w.p.body.at_m, POST) < 0.4);
}

#[test]
fn the_watch_stands_where_it_is_when_somebody_comes_right_up_to_it() {
    let mut w = watch();
    until(&mut w, 40.0, |s| Some([(30.0 - 1.2 * s).max(9.2), 5.0]));
    assert!(!w.calls(Call::AllStop).is_empty());
}

#[test]
fn the_watch_stays_out_of_the_way_of_the_jet() {
    // The post right beside the way of the jet, the visitor on its other side.
    let mut w = Afoot::new(Watch::new(ways(), site(), 1), [6.2, 2.6], 0.0);
    until(&mut w, 20.0, |s| (s > 2.0).then_some([1.0, 2.6]));
    assert!(!w.calls(Call::AllStop).is_empty());
    for at in &w.track {
        assert!(!w.mind.in_jet_way(&w.p, *at), "{at:?}");
    }
    assert!(w.mind.in_jet_way(&w.p, [4.0, 2.5]));
    assert!(w.mind.in_jet_way(&w.p, [5.5, 1.5]));
    assert!(!w.mind.in_jet_way(&w.p, [4.0, 6.0]));
}

fn forgetful() -> Afoot<Watch> {
    let ways = WatchWays {
        steps_near_after_s: Some(6.0),
        near_place: Some("near".into()),
        ..ways()
    };
    watch_of(ways, site(), 1)
}

#[test]
fn a_watch_that_forgets_itself_comes_to_itself_after_a_while() {
    let mut w = forgetful();
    until(&mut w, 20.0, |_| None);
    assert_eq!(w.mind.stray(), Stray::No, "not before the jet is seen");
    w.p.jet_runs = true;
    until(&mut w, 25.9, |_| None);
    assert_eq!(w.mind.stray(), Stray::No);
    until(&mut w, 36.0, |_| None);
    let Stray::Stays(since) = w.mind.stray() else {
        panic!("{:?}", w.mind.stray());
    };
    assert!(distance_m(w.p.body.at_m, [5.5, 3.0]) < 0.5);
    until(&mut w, since.seconds() + STAY_S - 0.1, |_| None);
    assert!(distance_m(w.p.body.at_m, [5.5, 3.0]) < 0.5);
    until(&mut w, since.seconds() + STAY_S + 12.0, |_| None);
    assert!(distance_m(w.p.body.at_m, POST) < 0.4);
    let log = w.log.len();
    until(&mut w, 200.0, |_| None);
    assert!(w.log.len() < log + 60, "it happens once");
    assert_eq!(w.mind.stray(), Stray::Back);
    assert!(w.said.is_empty());
}

#[test]
fn a_call_of_the_lance_hand_sends_the_watch_back_at_once() {
    for call in [Call::AllStop, Call::Dump, Call::Release] {
        let mut w = forgetful();
        w.p.jet_runs = true;
        until(&mut w, 18.0, |_| None);
        assert!(matches!(w.mind.stray(), Stray::Stays(_)));
        w.p.heard.push(Heard {
            seat: Seat::LANCE,
            call: Call::Raise,
        });
        w.p.heard.push(Heard {
            seat: Seat::PUMP,
            call,
        });
        w.step();
        assert!(matches!(w.mind.stray(), Stray::Stays(_)), "not those");
        w.p.heard.push(Heard {
            seat: Seat::LANCE,
            call,
        });
        w.step();
        assert_eq!(w.mind.stray(), Stray::Back);
        until(&mut w, 30.0, |_| None);
        assert!(distance_m(w.p.body.at_m, POST) < 0.4);
    }
}

#[test]
fn somebody_in_the_zone_brings_the_watch_to_itself() {
    let mut w = forgetful();
    w.p.jet_runs = true;
    until(&mut w, 18.0, |_| None);
    until(&mut w, 25.0, |_| Some([1.0, 7.0]));
    assert_eq!(w.mind.stray(), Stray::Back);
    assert!(w.calls(Call::AllStop)[0] < 19.0);
}

#[test]
fn the_watch_looks_outwards_and_at_whoever_comes() {
    let mut w = watch();
    until(&mut w, 5.0, |_| None);
    assert!(w.p.body.yaw_rad.abs() < 1e-9);
    until(&mut w, 10.0, |_| Some([9.0, 15.0]));
    let half = core::f64::consts::FRAC_PI_2;
    assert!(
        (w.p.body.yaw_rad + half).abs() < 0.3,
        "{}",
        w.p.body.yaw_rad
    );
    assert!(w.log.iter().all(|i| matches!(i.act, Act::Turn { .. })));
}

#[test]
fn the_same_seed_gives_the_same_inputs() {
    let run = |seed| {
        let mut w = watch_of(ways(), site(), seed);
        until(&mut w, 60.0, along(5.0, 30.0));
        w.log
    };
    assert_eq!(run(3), run(3));
    assert_ne!(run(3), run(4));
}

#[test]
fn the_sight_of_harm_is_shouted_twice_unless_somebody_else_has_done_it() {
    let see: [fn(&mut Percepts); 2] = [|p| p.parted = true, |p| p.somebody_down = true];
    for see in see {
        let mut w = watch();
        until(&mut w, 5.0, |_| None);
        see(&mut w.p);
        until(&mut w, 30.0, |_| None);
        let calls = w.calls(Call::AllStop);
        assert_eq!(calls.len(), 2, "{calls:?}");
        assert!((5.3..6.2).contains(&calls[0]), "{calls:?}");
        assert!((calls[1] - calls[0] - 3.0).abs() < 0.1, "{calls:?}");
        // Known, it is no news.
        assert!(!w.mind.alarmed());
    }
    let mut w = watch();
    until(&mut w, 5.0, |_| None);
    w.p.parted = true;
    until(&mut w, 5.1, |_| None);
    w.p.heard = vec![Heard {
        seat: Seat::LANCE,
        call: Call::AllStop,
    }];
    until(&mut w, 30.0, |_| None);
    assert_eq!(w.calls(Call::AllStop), []);
}
