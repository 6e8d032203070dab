//! Tests of what is gathered, on recordings made here.

use crate::series::{POINTS_MOST, Quantity};
use crate::sheet::{Sheet, Span, Stage, State, Stop, Table};
use crew::{Call, Control, Seat, Tick};
use training::channels::{Channel, ChannelSpec, Observer, Raw, table};
use training::load::Library;
use training::recording::{Bundle, Closed, End, Header, Journal, Mode, Opened, Recording, Status};
use training::region::Limits;
use training::rules::cue::Cause;
use training::{Ended, Event, Level, Mark, Referee, SurfaceStep};

/// The channels of one tick, and what happened in it.
type Seen = (Vec<(Channel, Raw)>, Vec<Event>);

fn level() -> Level {
    let loaded = Library::built_in().load("01_first_pressure");
    loaded.expect("a level that is built in").level
}

/// A recording of so many seconds, with the channels of `table`.
fn recording(seconds: f64, table: Vec<ChannelSpec>, seen: impl Fn(f64) -> Seen) -> Vec<u8> {
    recording_with(seconds, table, seen, |_| Vec::new())
}

/// The same with the steps that cells of a surface take.
fn recording_with(
    seconds: f64,
    table: Vec<ChannelSpec>,
    seen: impl Fn(f64) -> Seen,
    steps: impl Fn(f64) -> Vec<SurfaceStep>,
) -> Vec<u8> {
    let header = Header {
        release: "0.0.9".to_owned(),
        channels: table.clone(),
        level: "01_first_pressure".to_owned(),
        seed: 11,
        bundle: Bundle::new(Vec::new()),
        ticks_per_second: 120,
        parent: None,
    };
    let opened = Opened {
        trainee: "T-1".to_owned(),
        display_name: None,
        started_unix_s: 0,
        device: "a test".to_owned(),
        mode: Mode::Practice,
    };
    let mut bytes = Vec::new();
    let mut journal = Journal::begin(&mut bytes, header, opened).expect("a head");
    let mut observer = Observer::default();
    let last = Tick(Tick::at(seconds).0 - 1);
    for tick in (0..=last.0).map(Tick) {
        let (values, events) = seen(tick.seconds());
        let mut raw = vec![Raw::default(); Channel::ALL.len()];
        for (channel, value) in values {
            raw[channel.index()] = value;
        }
        let all = observer.take(tick, &raw).expect("values").to_vec();
        let there = |spec: &ChannelSpec| Channel::by_id(&spec.id).map(|c| all[c.index()]);
        let samples: Vec<_> = table.iter().filter_map(there).collect();
        journal
            .tick(tick, &[], &samples, &events, &steps(tick.seconds()), None)
            .expect("a tick");
    }
    let end = End {
        last,
        why: Ended::HandedBack,
        digest: 0,
    };
    let closed = Closed {
        wall_s: seconds,
        least_real_time_factor: 1.0,
        frames: None,
    };
    journal.seal(end, closed, None).expect("a seal");
    bytes
}

fn gathered(bytes: Vec<u8>) -> Sheet {
    gathered_of(bytes, &level())
}

fn gathered_of(bytes: Vec<u8>, level: &Level) -> Sheet {
    let recording = Recording::read(bytes).expect("a recording");
    let mut referee = Referee::new(level);
    recording.play(|o, _| {
        referee.see(o);
    });
    let mark: Mark = referee.mark(Ended::HandedBack);
    Sheet::of(&recording, level, &mark)
}

/// The tick that begins at a moment.
fn at(now_s: f64, moment_s: f64) -> bool {
    Tick::at(now_s) == Tick::at(moment_s)
}

fn said(call: Call) -> Event {
    Event::Said {
        seat: Seat::LANCE,
        call,
    }
}

fn moved(control: Control, to: u16) -> Event {
    Event::Moved {
        seat: Seat::PUMP,
        control,
        to,
    }
}

/// Runs from 1 s to 9 s; the dump is shut from 2 s on; called at 5 s, the lever
/// is moved at 6 s and the dump stands open half a second later.
fn dumped_on_call(now_s: f64) -> Seen {
    let open = !(2.0..6.5).contains(&now_s);
    let mut events = Vec::new();
    for (moment_s, event) in [
        // Not fed yet: this call asks nobody to act.
        (1.5, said(Call::Dump)),
        (5.0, said(Call::Dump)),
        // Called again before the hand is there: the same call.
        (5.5, said(Call::AllStop)),
        (6.0, moved(Control::Dump, 1)),
        (8.0, moved(Control::Dump, 1)),
    ] {
        if at(now_s, moment_s) {
            events.push(event);
        }
    }
    let values = vec![
        (Channel::EngineRuns, Raw::on((1.0..9.0).contains(&now_s))),
        (
            Channel::DumpOpen,
            Raw::steady(if open { 100.0 } else { 0.0 }),
        ),
        (Channel::DumpLever, Raw::on(now_s >= 6.0)),
        (Channel::NozzleFitted, Raw::on(true)),
    ];
    (values, events)
}

#[test]
fn a_call_is_timed_to_the_hand_and_to_the_open_dump() {
    let sheet = gathered(recording(10.0, table(), dumped_on_call));
    let [Stop { cue, open_s }] = sheet.stops.as_slice() else {
        panic!("{:?}", sheet.stops);
    };
    assert_eq!(cue.tick, Tick::at(5.0));
    assert_eq!(cue.acted_s, Some(1.0));
    assert_eq!(*open_s, Some(1.5));
    assert_eq!(cue.allowed_s, level().region.limits.dump_on_call_s.value);
}

#[test]
fn a_call_that_nobody_answers_stays_unanswered() {
    let sheet = gathered(recording(3.0, table(), |now_s| {
        let call = at(now_s, 1.0).then_some(said(Call::AllStop));
        let values = vec![
            (Channel::EngineRuns, Raw::on(true)),
            (Channel::NozzleFitted, Raw::on(true)),
        ];
        (values, call.into_iter().collect())
    }));
    let [Stop { cue, open_s }] = sheet.stops.as_slice() else {
        panic!("{:?}", sheet.stops);
    };
    let called = Cause::Called(Call::AllStop);
    assert_eq!((cue.cause, cue.acted_s, *open_s), (called, None, None));
}

#[test]
fn a_state_is_a_bar_from_its_beginning_to_its_end_or_that_of_the_attempt() {
    let sheet = gathered(recording(10.0, table(), |now_s| {
        let (mut values, events) = dumped_on_call(now_s);
        values.push((Channel::NozzleFitted, Raw::on(now_s >= 7.0)));
        (values, events)
    }));
    let of = |state| -> Vec<(f64, f64)> {
        let all = sheet.spans.iter();
        all.filter(|s: &&Span| s.state == state)
            .map(|s| (s.from_s, s.until_s))
            .collect()
    };
    assert_eq!(of(State::EngineRuns), [(1.0, 9.0)]);
    assert_eq!(of(State::LineFed), [(2.0, 6.5)]);
    assert_eq!(of(State::NozzleOn), [(7.0, 10.0)]);
}

#[test]
fn a_spike_of_one_tick_is_still_in_the_drawn_series() {
    // Twenty samples a second, so 150 s have more than are drawn.
    let sheet = gathered(recording(150.0, table(), |now_s| {
        let spike = Raw {
            min: 100.0,
            mean: 101.0,
            max: 412.0,
        };
        let raw = if at(now_s, 77.7) {
            spike
        } else {
            Raw::steady(100.0)
        };
        (vec![(Channel::PumpPressure, raw)], Vec::new())
    }));
    let pump = &sheet.series[0];
    assert_eq!(pump.quantity, Quantity::PumpPressure);
    assert!(pump.points.len() <= POINTS_MOST && pump.points.len() > 1000);
    let highest = pump.points.iter().find(|p| p.max > 400.0).expect("it");
    assert!((highest.max - 412.0).abs() < 0.1, "{highest:?}");
    assert!((highest.time_s - 77.7).abs() < 0.1, "{highest:?}");
    assert!((pump.points[3].mean - 100.0).abs() < 0.1);
}

#[test]
fn a_channel_that_a_recording_lacks_is_not_drawn_and_not_counted() {
    let lacks = [Channel::Gauge, Channel::WaterUsed];
    let kept = |c: &ChannelSpec| lacks.iter().all(|l| l.id() != c.id);
    let table = table().into_iter().filter(kept).collect();
    let sheet = gathered(recording(5.0, table, |_| (Vec::new(), Vec::new())));
    let count = |quantity| {
        let all = sheet.series.iter();
        all.filter(|s| s.quantity == quantity)
            .map(|s| s.points.len())
            .sum::<usize>()
    };
    assert_eq!(count(Quantity::Gauge), 0);
    assert_eq!(count(Quantity::PumpPressure), 100);
    assert_eq!(sheet.uses[0].used_l, None);
    assert_eq!(sheet.uses[1].used_l, Some(0.0));
    let page = crate::report(&sheet);
    assert!(page.contains(&crate::html::text("report-not_assessable", &[])));
}

#[test]
fn a_recording_that_was_cut_off_gathers_what_is_there() {
    let whole = recording(10.0, table(), dumped_on_call);
    let sheet = gathered(whole[..whole.len() - 200].to_vec());
    assert!(
        matches!(sheet.status, Status::Unfinished { .. }),
        "{:?}",
        sheet.status
    );
    assert_eq!(sheet.body_hash, None);
    assert_eq!(sheet.pace, None);
    assert!(sheet.until_s > 5.0);
    assert!(crate::report(&sheet).contains("role=\"alert\""));
}

#[test]
fn every_limit_of_the_region_is_told_with_its_source() {
    let sheet = gathered(recording(1.0, table(), |_| (Vec::new(), Vec::new())));
    let told: Vec<&str> = sheet.limits.iter().map(|l| l.id.as_str()).collect();
    let of_region = Limits::RANGES.iter().map(|(name, _, _)| *name);
    let named: Vec<&str> = ["job_bar", "job_most_bar"]
        .into_iter()
        .chain(of_region)
        .collect();
    assert_eq!(told, named);
    // 700 bar, and the 3 % that are not counted.
    assert_eq!(sheet.limits[0].value, 700.0);
    assert_eq!(sheet.limits[1].value, 721.0);
    assert!(sheet.limits.iter().all(|l| !l.source.is_empty()));
}

/// A level with a wall to be cleaned, 150 by 120 cells in tiles of 10 by 10.
fn level_with_a_wall() -> Level {
    Level {
        surface: Some(crate::sample::surface()),
        ..level()
    }
}

/// The trigger is squeezed from 2 s to 9 s but for half a second from 6 s on,
/// and somebody can be seen from 4 s to 6.2 s and again from 8 s.
fn stopped_at_the_lance(now_s: f64) -> Seen {
    let trigger = (2.0..9.0).contains(&now_s) && !(6.0..6.5).contains(&now_s);
    let seen = (4.0..6.2).contains(&now_s) || now_s >= 8.0;
    let by = |seat, call| Event::Said { seat, call };
    let mut events = Vec::new();
    for (moment_s, event) in [
        // Nothing to let go yet; one's own word; not a word to stop.
        (1.0, by(Seat::PUMP, Call::AllStop)),
        (2.1, by(Seat::LANCE, Call::AllStop)),
        (3.5, by(Seat::PUMP, Call::Raise)),
        // While the intruder's cue is still open.
        (5.0, by(Seat::WATCH, Call::AllStop)),
        (7.5, by(Seat::WATCH, Call::Dump)),
    ] {
        if at(now_s, moment_s) {
            events.push(event);
        }
    }
    let values = vec![
        (
            Channel::Trigger,
            Raw::steady(if trigger { 100.0 } else { 0.0 }),
        ),
        (Channel::IntruderSeenByLance, Raw::on(seen)),
        (Channel::Intruder, Raw::on(seen)),
        (Channel::EngineRuns, Raw::on(true)),
        (Channel::NozzleFitted, Raw::on(true)),
    ];
    (values, events)
}

/// The level with the trainee at the lance.
fn level_at_the_lance() -> Level {
    Level {
        post: Seat::LANCE,
        ..level()
    }
}

#[test]
fn a_cause_at_the_lance_is_timed_to_the_trigger_let_go() {
    let level = level_at_the_lance();
    let sheet = gathered_of(recording(10.0, table(), stopped_at_the_lance), &level);
    let told: Vec<_> = (sheet.stops.iter())
        .map(|s| (s.cue.tick, s.cue.cause, s.cue.acted_s))
        .collect();
    let expected = [
        (Tick::at(4.0), Cause::Seen, Some(2.0)),
        (Tick::at(7.5), Cause::Called(Call::Dump), Some(1.5)),
    ];
    assert_eq!(told, expected);
    let allowed_s = level.region.limits.release_on_cue_s.value;
    assert!(sheet.stops.iter().all(|s| s.cue.allowed_s == allowed_s));

    // Cut off before the trigger is let go, nothing is said of when it was.
    let sheet = gathered_of(recording(5.5, table(), stopped_at_the_lance), &level);
    assert_eq!(sheet.stops.len(), 1);
    assert_eq!(sheet.stops[0].cue.acted_s, None);
}

#[test]
fn the_table_of_a_nozzle_holds_for_as_long_as_it_is_on_the_lance() {
    let level = level();
    let range = level.equipment.nozzles[0].stand_off_m;
    let sheet = gathered_of(
        recording(4.0, table(), |now_s| {
            let on = if (1.0..2.0).contains(&now_s) || now_s >= 3.0 {
                1.0
            } else {
                0.0
            };
            (vec![(Channel::Nozzle, Raw::steady(on))], Vec::new())
        }),
        &level,
    );
    let over = |from_s, until_s| Table {
        from_s,
        until_s,
        stand_off_m: range,
    };
    assert_eq!(sheet.tables, [over(1.0, 2.0), over(3.0, 4.0)]);
}

/// Takes the lowest row to the end from 3 s on, a cell a tick, and half of the
/// way the one above it from 7 s on.
fn rows_cleaned(now_s: f64) -> Vec<SurfaceStep> {
    let cell = |from_s: f64| Tick::at(now_s).0 - Tick::at(from_s).0;
    let step = |cell, steps| SurfaceStep { cell, steps };
    if (3.0..4.25).contains(&now_s) {
        vec![step(cell(3.0), 2)]
    } else if (7.0..7.5).contains(&now_s) {
        vec![step(150 + cell(7.0), 1)]
    } else {
        Vec::new()
    }
}

fn stages(sheet: &Sheet) -> Vec<(Stage, f64, f64)> {
    let all = sheet.phases.iter();
    all.map(|p| (p.stage, p.from_s, p.until_s)).collect()
}

#[test]
fn the_surface_is_shown_before_at_half_of_the_time_and_after() {
    let bytes = recording_with(10.0, table(), dumped_on_call, rows_cleaned);
    let sheet = gathered_of(bytes, &level_with_a_wall());
    let cleaning = sheet.cleaning.as_ref().expect("a surface");
    let taken: Vec<(f64, u32)> = (cleaning.maps.iter())
        .map(|map| (map.at_s, map.steps.iter().map(|s| u32::from(*s)).sum()))
        .collect();
    assert_eq!(taken, [(0.0, 0), (5.0, 300), (10.0, 360)]);
    let clean = |map: usize| cleaning.maps[map].clean_pct;
    assert_eq!([clean(0), clean(1)], [0.0, 100.0 / 120.0]);
    assert_eq!(clean(2), clean(1), "half of the steps is not clean");
    // The lowest tiles are clean in one row of ten, and no tile is better.
    let worst = cleaning.worst.expect("a tile");
    assert_eq!(worst.clean_pct, 0.0);
    let far = |a: f64, b: f64| (a - b).abs() > 1e-9;
    for (edge, due) in worst.over_m.into_iter().zip([0.0, 0.1, 0.1, 0.2]) {
        assert!(!far(edge, due), "{:?}", worst.over_m);
    }
    assert_eq!(cleaning.below_grade, (180, 180));

    assert_eq!(
        stages(&sheet),
        [
            (Stage::Prepare, 0.0, 2.0),
            (Stage::Pressure, 2.0, 3.0),
            (Stage::Clean, 3.0, 7.5),
            (Stage::Finish, 7.5, 10.0)
        ]
    );
    let page = crate::report(&sheet);
    assert_eq!(page.matches("data:image/png;base64,").count(), 3);
}

#[test]
fn a_level_without_a_surface_has_no_maps_and_no_panels_of_one() {
    let sheet = gathered(recording(10.0, table(), dumped_on_call));
    assert_eq!(sheet.cleaning, None);
    assert!(sheet.series.iter().all(|s| !s.quantity.is_of_surface()));
    assert_eq!(
        stages(&sheet),
        [
            (Stage::Prepare, 0.0, 2.0),
            (Stage::Pressure, 2.0, 6.5),
            (Stage::Finish, 6.5, 10.0)
        ]
    );
    let page = crate::report(&sheet);
    for id in [
        "report-surface",
        "report-map-title",
        "report-series-stand_off",
    ] {
        assert!(!page.contains(&crate::html::text(id, &[])), "{id}");
    }
    let idle = gathered(recording(2.0, table(), |_| (Vec::new(), Vec::new())));
    assert_eq!(stages(&idle), [(Stage::Prepare, 0.0, 2.0)]);
}

#[test]
fn stand_off_and_travel_have_gaps_where_there_is_nothing_to_measure() {
    let seen = |now_s: f64| {
        let aims = (1.0..2.0).contains(&now_s) || now_s >= 3.0;
        let jet = now_s >= 4.0;
        let value = |on, value| Raw::steady(if on { value } else { 0.0 });
        let values = vec![
            (Channel::StandOff, value(aims, 60.0)),
            (Channel::TravelSpeed, value(aims, 90.0)),
            (Channel::ImpactPressure, value(jet, 200.0)),
        ];
        (values, Vec::new())
    };
    let sheet = gathered_of(recording(5.0, table(), seen), &level_with_a_wall());
    let stretches = |quantity| -> Vec<f64> {
        let found = sheet.series.iter().find(|s| s.quantity == quantity);
        let series = found.expect("a series");
        series.stretches().map(|s| s.len() as f64 * 0.05).collect()
    };
    for (quantity, due) in [
        // The tip that only passes by says nothing.
        (Quantity::StandOff, &[1.0][..]),
        (Quantity::TravelSpeed, &[1.0][..]),
    ] {
        let found = stretches(quantity);
        assert_eq!(found.len(), due.len(), "{found:?}");
        let far = |(a, b): (&f64, &f64)| (a - b).abs() > 0.051;
        assert!(!found.iter().zip(due).any(far), "{found:?}");
    }
}

#[test]
fn trigger_brace_barrier_and_intruder_have_their_bars() {
    let sheet = gathered(recording(10.0, table(), |now_s| {
        let (mut values, events) = stopped_at_the_lance(now_s);
        values.push((Channel::Intruder, Raw::on(now_s >= 3.0)));
        (values, events)
    }));
    let of = |state| -> Vec<(f64, f64)> {
        let all = sheet.spans.iter().filter(|s: &&Span| s.state == state);
        all.map(|s| (s.from_s, s.until_s)).collect()
    };
    assert_eq!(of(State::Squeezed), [(2.0, 6.0), (6.5, 9.0)]);
    assert_eq!(of(State::Intruder), [(3.0, 10.0)]);
    assert_eq!(of(State::BarrierClosed), []);
    let page = crate::report(&sheet);
    let has = |id: &str| page.contains(&crate::html::text(id, &[]));
    assert!(has("report-state-squeezed") && has("report-state-intruder"));
    assert!(!has("report-state-barrier_closed"), "a row of nothing");
}
