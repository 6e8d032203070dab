//! Every part of the machine shows when it fails: two runs of one level that differ in that alone.

use crate::support::{beginning, loaded_of, script};
use crew::{Act, Control, Fault, Input, Mind, Seat, Skill, Source, Tick};
use std::sync::OnceLock;
use training::recording::Bundle;
use training::{Channel, Level};
use yard::{Attempt, Yard, YardState, play};

const TROUBLE: &str = "08_trouble";

/// The level with nothing in store, and the yard of it at work at the job's pressure.
fn at_work() -> &'static (Level, YardState) {
    static AT_WORK: OnceLock<(Level, YardState)> = OnceLock::new();
    AT_WORK.get_or_init(|| {
        let loaded = loaded_of(TROUBLE);
        let bundle = Bundle::new(loaded.bundle.bytes());
        let mut level = loaded.level;
        level.faults = training::Faults::default();
        let model = script(&level, "model");
        let mut attempt =
            Attempt::begin(&level, beginning(&bundle, 1), Vec::new()).expect("an attempt");
        let mut pilot = play::pilot(&level, model, Skill::steady(), 1);
        let mut crew = play::crew_of(&level, 1);
        let mut inputs = Vec::new();
        let mut works = None;
        loop {
            inputs.clear();
            pilot.act(&attempt.percepts(Seat::PUMP), &mut inputs);
            for (seat, mind) in &mut crew {
                mind.act(&attempt.percepts(*seat), &mut inputs);
            }
            let o = attempt.step(&inputs).expect("a step");
            let at = |channel| o.mean(channel).unwrap_or_default();
            if at(Channel::Gauge) > 670.0 && at(Channel::Trigger) > 90.0 {
                let since = *works.get_or_insert(o.tick);
                if o.tick.since(since) > 5.0 {
                    break;
                }
            } else {
                works = None;
            }
            assert!(o.tick.seconds() < 300.0, "it never came to work");
        }
        let state = attempt.yard().state();
        (level, state)
    })
}

/// What the pump hand does after some seconds.
#[derive(Clone, Copy, PartialEq)]
enum Does {
    Nothing,
    Dumps,
    Strikes,
}

const RUN_S: f64 = 16.0;
/// The lance hand lets go, and squeezes again.
const RELEASED_S: [f64; 2] = [5.0, 8.0];
/// The pump hand stops it.
const STOPPED_S: f64 = 10.0;

/// Every twelfth tick of so many seconds with a fault: all channels.
fn run(fault: Option<(Fault, f64)>, does: Does) -> Vec<Vec<f64>> {
    let (level, state) = at_work();
    let mut yard = Yard::new(level).expect("a yard");
    yard.restore(state.clone());
    let began = yard.tick();
    let mut trace = Vec::new();
    let moment = |s: f64| began.after(s);
    while yard.tick().since(began) < RUN_S {
        let tick = yard.tick();
        let mut inputs = Vec::new();
        let mut does_now = |seat, source, act| {
            inputs.push(Input {
                tick,
                seat,
                source,
                act,
            });
        };
        if let Some((fault, amount)) = fault.filter(|_| tick == began) {
            let amount = (amount * fault.extent().per_unit).round() as u16;
            does_now(Seat::PUMP, Source::Fault, Act::Fail { fault, amount });
        }
        for (at, permille) in [(RELEASED_S[0], 0), (RELEASED_S[1], 1000)] {
            if tick == moment(at) {
                does_now(Seat::LANCE, Source::Crew, Act::Squeeze { permille });
            }
        }
        let control = match does {
            Does::Nothing => None,
            Does::Dumps => Some(Control::Dump),
            Does::Strikes => Some(Control::EmergencyStop),
        };
        if let Some(control) = control {
            for (after, act) in [
                (0, Act::LetGo),
                (1, Act::Take(control)),
                (2, Act::Push { on: true }),
            ] {
                if tick == Tick(moment(STOPPED_S).0 + after) {
                    does_now(Seat::PUMP, Source::Trainee, act);
                }
            }
        }
        let o = yard.step(&inputs).expect("measurable");
        if tick.0.is_multiple_of(12) {
            let value = |channel: &Channel| o.mean(*channel).unwrap_or(f64::NAN);
            trace.push(Channel::ALL.iter().map(value).collect());
        }
    }
    trace
}

/// The greatest difference of a channel between two runs.
fn difference(one: &[Vec<f64>], other: &[Vec<f64>], channel: Channel) -> f64 {
    let index = channel.index();
    one.iter()
        .zip(other)
        .map(|(a, b)| (a[index] - b[index]).abs())
        .fold(0.0, f64::max)
}

/// A fault, how much of it, what is done, and where it shows by how much at least, in the unit of
/// the channel.
type Case = (Fault, f64, Does, Channel, f64);

const CASES: &[Case] = &[
    (
        Fault::DumpSlow,
        6.0,
        Does::Dumps,
        Channel::GunPressure,
        200.0,
    ),
    (
        Fault::DumpStuck,
        1.0,
        Does::Dumps,
        Channel::GunPressure,
        600.0,
    ),
    (Fault::DumpLeaks, 20.0, Does::Nothing, Channel::Gauge, 100.0),
    (Fault::GunStuck, 1.0, Does::Nothing, Channel::Thrust, 150.0),
    (Fault::GunLeaks, 20.0, Does::Nothing, Channel::Thrust, 10.0),
    (Fault::AirLost, 1.0, Does::Nothing, Channel::Gauge, 400.0),
    (
        Fault::RegulatorStuck,
        1.0,
        Does::Nothing,
        Channel::Gauge,
        40.0,
    ),
    (Fault::SeatWorn, 50.0, Does::Nothing, Channel::Gauge, 100.0),
    (
        Fault::ReliefWeak,
        30.0,
        Does::Nothing,
        Channel::Gauge,
        100.0,
    ),
    (
        Fault::NozzleWorn,
        10.0,
        Does::Nothing,
        Channel::Thrust,
        25.0,
    ),
    (
        Fault::NozzleBlocked,
        100.0,
        Does::Nothing,
        Channel::Thrust,
        150.0,
    ),
    (
        Fault::SupplyWeak,
        85.0,
        Does::Nothing,
        Channel::Gauge,
        100.0,
    ),
    (
        Fault::StrainerFouled,
        96.0,
        Does::Nothing,
        Channel::Gauge,
        100.0,
    ),
    (
        Fault::PackingWorn,
        50.0,
        Does::Nothing,
        Channel::BypassFlow,
        2.0,
    ),
    (
        Fault::PumpValveLeaks,
        100.0,
        Does::Nothing,
        Channel::BypassFlow,
        5.0,
    ),
    (
        Fault::EngineWeak,
        60.0,
        Does::Nothing,
        Channel::EngineSpeed,
        100.0,
    ),
    (
        Fault::OilLow,
        100.0,
        Does::Nothing,
        Channel::OilPressure,
        0.3,
    ),
    (
        Fault::HoseLeaks,
        0.6,
        Does::Nothing,
        Channel::BypassFlow,
        5.0,
    ),
    (
        Fault::HoseParted,
        1.0,
        Does::Nothing,
        Channel::Thrust,
        150.0,
    ),
    (Fault::GaugeStuck, 1.0, Does::Dumps, Channel::Gauge, 600.0),
    (
        Fault::StopDead,
        1.0,
        Does::Strikes,
        Channel::GunPressure,
        600.0,
    ),
];

/// Faults that no run of this kind shows.
const UNSEEN: &[Fault] = &[
    // Until something else fails.
    Fault::ReliefStuck,
];

/// Faults that take longer than this to show: the oil warms over minutes.
const SLOW: &[(Fault, f64, Channel)] = &[(Fault::CoolerFouled, 100.0, Channel::OilTemperature)];

#[test]
fn every_part_that_fails_shows_and_nothing_else_has_changed() {
    let sound = [Does::Nothing, Does::Dumps, Does::Strikes].map(|does| run(None, does));
    for (fault, amount, does, channel, least) in CASES {
        let began_alike = &sound[*does as usize];
        let failed = run(Some((*fault, *amount)), *does);
        let off = difference(began_alike, &failed, *channel);
        println!("{}: {} off by {off:.1}", fault.id(), channel.id());
        assert!(off >= *least, "{}: {off} of {least}", fault.id());
    }
    for fault in UNSEEN {
        let failed = run(Some((*fault, 1.0)), Does::Nothing);
        assert_eq!(failed, sound[0], "{}", fault.id());
    }
    for (fault, amount, channel) in SLOW {
        // The last digit of the channel is enough to tell that it begins to.
        let off = difference(
            &sound[0],
            &run(Some((*fault, *amount)), Does::Nothing),
            *channel,
        );
        assert!(off >= channel.declared().1, "{}: {off}", fault.id());
    }
    for fault in Fault::ALL {
        let tried = CASES.iter().any(|case| case.0 == fault)
            || SLOW.iter().any(|case| case.0 == fault)
            || UNSEEN.contains(&fault);
        assert!(tried, "{}", fault.id());
    }
}

#[test]
fn without_a_fault_two_runs_are_one() {
    assert_eq!(run(None, Does::Nothing), run(None, Does::Nothing));
    let none = run(Some((Fault::NozzleBlocked, 0.0)), Does::Nothing);
    assert_eq!(none, run(None, Does::Nothing));
}
