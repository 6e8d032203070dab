//! Tests of what is gathered, on recordings made here.

use crate::series::{POINTS_MOST, Quantity};
use crate::sheet::{Sheet, Span, State};
use crew::{Call, Control, Seat, Tick};
use training::channels::{Channel, ChannelSpec, Observer, Raw, table};
use training::load::Library;
use training::recording::{Bundle, Closed, End, Header, Journal, Mode, Opened, Recording, Status};
use training::region::Limits;
use training::{Ended, Event, Level, Mark, Referee};

/// The channels of one tick, and what happened in it.
type Seen = (Vec<(Channel, Raw)>, Vec<Event>);

fn level() -> Level {
    let loaded = Library::built_in().load("01_first_pressure");
    loaded.expect("a level that is built in").level
}

/// A recording of so many seconds, with the channels of `table`.
fn recording(seconds: f64, table: Vec<ChannelSpec>, seen: impl Fn(f64) -> Seen) -> Vec<u8> {
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
            .tick(tick, &[], &samples, &events, &[], None)
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
    let recording = Recording::read(bytes).expect("a recording");
    let level = level();
    let mut referee = Referee::new(&level);
    recording.play(|o, _| {
        referee.see(o);
    });
    let mark: Mark = referee.mark(Ended::HandedBack);
    Sheet::of(&recording, &level, &mark)
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
    ];
    (values, events)
}

#[test]
fn a_call_is_timed_to_the_hand_and_to_the_open_dump() {
    let sheet = gathered(recording(10.0, table(), dumped_on_call));
    let [cue] = sheet.cues.as_slice() else {
        panic!("{:?}", sheet.cues);
    };
    assert_eq!(cue.tick, Tick::at(5.0));
    assert_eq!(cue.acted_s, Some(1.0));
    assert_eq!(cue.open_s, Some(1.5));
    assert_eq!(cue.allowed_s, level().region.limits.dump_on_call_s.value);
}

#[test]
fn a_call_that_nobody_answers_stays_unanswered() {
    let sheet = gathered(recording(3.0, table(), |now_s| {
        let call = at(now_s, 1.0).then_some(said(Call::AllStop));
        let values = vec![(Channel::EngineRuns, Raw::on(true))];
        (values, call.into_iter().collect())
    }));
    let [cue] = sheet.cues.as_slice() else {
        panic!("{:?}", sheet.cues);
    };
    assert_eq!(
        (cue.call, cue.acted_s, cue.open_s),
        (Call::AllStop, None, None)
    );
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
    let named: Vec<&str> = Limits::RANGES.iter().map(|(name, _, _)| *name).collect();
    assert_eq!(told, named);
    assert!(sheet.limits.iter().all(|l| !l.source.is_empty()));
}
