//! Every part of the machine shows when it fails: two runs of one level that differ in that alone.

use crate::support::{beginning, loaded_of, script};
use crew::{Act, Call, Control, Cue, Fault, Goal, Input, Mind, Script, Seat, Skill, Source, Tick};
use std::sync::OnceLock;
use training::faults::Planned;
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
    (
        Fault::RegulatorHunts,
        100.0,
        Does::Nothing,
        Channel::BypassFlow,
        0.5,
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
    (
        Fault::PumpCouplingParts,
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

/// Plays goals at the level with two lines, with something that the instructor lets fail.
fn with(fault: &str, goals: Vec<Goal>) -> training::Mark {
    const LINES: &str = "10_two_lines";
    let loaded = loaded_of(LINES);
    let bundle = Bundle::new(loaded.bundle.bytes());
    let mut beginning = beginning(&bundle, 1);
    beginning
        .injected
        .push(Planned::parse(fault).expect("a fault"));
    let script = Script {
        level: String::from(LINES),
        about: String::from("with a fault"),
        breaks: Vec::new(),
        goals,
        after_stop: Vec::new(),
    };
    play::by_script(&loaded.level, script, beginning, Vec::new(), |_| {}).expect("an attempt")
}

/// Walks to the pump and waits until the oil has stopped the engine.
fn until_it_trips() -> Vec<Goal> {
    vec![
        Goal::Walk {
            to: String::from("pump"),
        },
        Goal::Until {
            cue: Cue::EngineStands,
            within_s: 60.0,
        },
    ]
}

/// The key off and the unit as it is handed over.
fn handed_over() -> Vec<Goal> {
    let set = |control, to| Goal::Set { control, to };
    vec![
        set(Control::Key, 0),
        Goal::Until {
            cue: Cue::EngineStands,
            within_s: 30.0,
        },
        set(Control::Bleed, 1),
        Goal::Until {
            cue: Cue::BleedDry,
            within_s: 60.0,
        },
        set(Control::Supply, 0),
        Goal::HandBack,
    ]
}

#[test]
fn an_engine_that_its_oil_has_stopped_is_left_alone_or_that_is_found() {
    let left = with("oil_low=95@5", [until_it_trips(), handed_over()].concat());
    assert_eq!(left.findings, []);
    let again = vec![
        Goal::Set {
            control: Control::Key,
            to: 0,
        },
        Goal::StartEngine { within_s: 20.0 },
    ];
    let goals = [until_it_trips(), again, handed_over()].concat();
    let found = with("oil_low=95@5", goals).findings;
    let found: Vec<(&str, &str)> = found
        .iter()
        .map(|f| (f.rule.as_str(), f.detail.as_str()))
        .collect();
    assert_eq!(found, [("oil_trip_overridden", "pressure")]);
}

#[test]
fn a_disc_that_tears_ends_the_work_or_that_is_found() {
    // The relief sticks, and somebody winds the regulator all the way in: the gun is shut, and nothing
    // else lets the water go by.
    let wound = |kept_on_s: f64| {
        let set = |control, to| Goal::Set { control, to };
        let say = |call, answer| Goal::Say { call, answer };
        let wait = |s| Goal::Wait { s };
        let goals = vec![
            Goal::Walk {
                to: String::from("pump"),
            },
            say(Call::ReadyQuery, Some(Call::Ready)),
            say(Call::ClearToPressurise, Some(Call::ClearToPressurise)),
            set(Control::Throttle, 80),
            set(Control::Dump, 0),
            set(Control::Regulator, 1000),
            wait(3.0 + kept_on_s),
            set(Control::Dump, 1),
            set(Control::Regulator, 0),
        ];
        let goals = [goals, handed_over()].concat();
        with("relief_stuck", goals).findings
    };
    let relief = |findings: &[training::Finding]| {
        let kept = |f: &&training::Finding| f.rule == "defect_kept_on" && f.detail == "relief";
        findings.iter().filter(kept).count()
    };
    let (short, long) = (wound(0.0), wound(25.0));
    assert!(short.iter().any(|f| f.rule == "over_lowest_rating"));
    assert_eq!((relief(&short), relief(&long)), (0, 1), "{long:?}");
}
