//! Claims about recordings as a whole.

mod damage;
mod faults;
mod power;
mod round_trip;
mod seals;
mod twenty_minutes;

use super::frame::{self, AROUND, Chain, HEAD, Kind, Part};
use super::*;
use crate::channels::{Channel, ChannelSpec, Observer, Raw, Sample, table};
use crate::event::Event;
use crate::observation::Observation;
use crate::surface::SurfaceStep;
use crew::{Act, Call, Control, Input, Seat, Source, Tick};
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::ops::Range;

/// What a yard would hand over in one tick.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Moment {
    tick: Tick,
    inputs: Vec<Input>,
    samples: Vec<Sample>,
    events: Vec<Event>,
    steps: Vec<SurfaceStep>,
    digest: Option<u64>,
}

/// An attempt with everything that moves and shakes in a real one: ripple on
/// the pressures and flows, an engine that hunts, people who sway and walk, a
/// trigger that goes on and off, a hand that aims sixty times a second, and a
/// jet that cleans cells as it goes to and fro.
pub(super) fn attempt(ticks: u32, seed: u64) -> Vec<Moment> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut observer = Observer::default();
    let mut raw = vec![Raw::default(); Channel::ALL.len()];
    let mut moments = Vec::with_capacity(ticks as usize);
    let (mut target, mut pressure, mut trigger) = (0.0, 0.0, 0.0);
    let mut places = [0.0_f64; 6];
    let mut sweep = Sweep::new(seed);
    for tick in (0..ticks).map(Tick) {
        let mut inputs = Vec::new();
        let mut events = Vec::new();
        let mut act = |act| {
            inputs.push(Input {
                tick,
                seat: Seat::PUMP,
                source: Source::Trainee,
                act,
            });
        };
        let chance =
            |rng: &mut ChaCha8Rng, every_s: f64| rng.random::<f64>() < 1.0 / (120.0 * every_s);
        if chance(&mut rng, 5.0) {
            target = rng.random_range(0.0..700.0);
            act(Act::Twist {
                detents: rng.random_range(-20..=20),
            });
            let to = rng.random_range(0..=1000);
            let (seat, control) = (Seat::PUMP, Control::Regulator);
            events.push(Event::Moved { seat, control, to });
        }
        if chance(&mut rng, 4.0) {
            trigger = 100.0 - trigger;
            act(Act::Squeeze {
                permille: if trigger > 0.0 { 1000 } else { 0 },
            });
        }
        if chance(&mut rng, 10.0) {
            act(Act::Say(Call::ALL[rng.random_range(0..Call::ALL.len())]));
            let (seat, call) = (Seat::LANCE, Call::Ready);
            events.push(Event::Said { seat, call });
        }
        if tick.0.is_multiple_of(2) {
            let (yaw, pitch) = (rng.random_range(-80..80), rng.random_range(-40..40));
            act(Act::Aim { yaw, pitch });
        }

        pressure += (target - pressure) * 0.02;
        let mut shaking = |value: f64, mean: f64, ripple: f64| {
            let mean = value + mean * (rng.random::<f64>() + rng.random::<f64>() - 1.0);
            let (below, above) = (rng.random::<f64>(), rng.random::<f64>());
            let (min, max) = (mean - ripple * (0.5 + below), mean + ripple * (0.5 + above));
            Raw { min, mean, max }
        };
        let flow = if trigger > 0.0 { 40.0 } else { 0.0 };
        let mut set = |channel: Channel, value| raw[channel.index()] = value;
        set(Channel::PumpPressure, shaking(pressure, 4.0, 8.0));
        set(Channel::Gauge, shaking(pressure, 3.0, 0.0));
        set(Channel::GunPressure, shaking(pressure * 0.95, 4.0, 6.0));
        set(Channel::ToolFlow, shaking(flow, 0.4, 0.5));
        set(Channel::BypassFlow, shaking(60.0 - flow, 0.6, 0.0));
        set(Channel::Thrust, shaking(flow * 5.0, 3.0, 4.0));
        set(Channel::EngineSpeed, shaking(1800.0, 6.0, 0.0));
        set(Channel::SetPressure, Raw::steady(target));
        set(Channel::Throttle, Raw::steady(80.0));
        set(Channel::TankTemperature, shaking(20.0, 0.2, 0.0));
        set(Channel::WaterUsed, Raw::steady(f64::from(tick.0) * 0.008));
        set(Channel::FuelUsed, Raw::steady(f64::from(tick.0) * 3e-5));
        set(Channel::EngineRuns, Raw::on(true));
        set(Channel::Trigger, Raw::steady(trigger));
        set(Channel::DumpOpen, shaking(50.0, 0.3, 0.0));
        set(Channel::NozzleFitted, Raw::on(true));
        set(Channel::HoseStretch, shaking(0.4, 0.1, 0.1));
        let swaying = [
            Channel::PumpHandToDump,
            Channel::PumpHandX,
            Channel::PumpHandZ,
            Channel::LanceHandX,
            Channel::LanceHandZ,
            Channel::LanceHandLean,
        ];
        for (place, channel) in places.iter_mut().zip(swaying) {
            *place += 0.004 * (rng.random::<f64>() - 0.5);
            raw[channel.index()] = Raw::steady(*place);
        }
        let samples = observer.take(tick, &raw).unwrap().to_vec();
        let digest = (tick.0 % 120 == 119).then(|| rng.next_u64());
        moments.push(Moment {
            tick,
            inputs,
            samples,
            events,
            steps: sweep.take(tick),
            digest,
        });
    }
    moments
}

/// A jet over a surface of 300 by 200 cells, in rows that overlap: three cells
/// wide, with spray that now and then takes a step anywhere, and with rests.
pub(super) struct Sweep {
    rng: ChaCha8Rng,
    at: u32,
    taken: Vec<u8>,
}

impl Sweep {
    const COLUMNS: u32 = 300;
    const ROWS: u32 = 200;

    pub(super) fn new(seed: u64) -> Self {
        Sweep {
            rng: ChaCha8Rng::seed_from_u64(seed ^ 0x5eed),
            at: 0,
            taken: vec![0; (Self::COLUMNS * Self::ROWS) as usize],
        }
    }

    /// The steps of a tick.
    pub(super) fn take(&mut self, tick: Tick) -> Vec<SurfaceStep> {
        let mut steps = Vec::new();
        if tick.0 % 250 >= 190 {
            return steps;
        }
        self.at += u32::from(tick.0.is_multiple_of(2));
        let (row, along) = (self.at / Self::COLUMNS, self.at % Self::COLUMNS);
        let column = if row.is_multiple_of(2) {
            along
        } else {
            Self::COLUMNS - 1 - along
        };
        for up in 0..3 {
            if self.rng.random::<f64>() < 0.7 {
                let row = (2 * row + up) % Self::ROWS;
                steps.extend(self.step(row * Self::COLUMNS + column));
            }
        }
        if self.rng.random::<f64>() < 0.05 {
            let anywhere = self.rng.random_range(0..self.taken.len() as u32);
            steps.extend(self.step(anywhere));
        }
        steps
    }

    fn step(&mut self, cell: u32) -> Option<SurfaceStep> {
        let taken = &mut self.taken[cell as usize];
        *taken = taken.checked_add(1)?;
        let steps = *taken;
        Some(SurfaceStep { cell, steps })
    }
}

pub(super) fn header() -> Header {
    Header {
        release: "0.1.0".to_owned(),
        channels: table(),
        level: "test_level".to_owned(),
        seed: 42,
        bundle: Bundle::new(b"everything the level was made of".to_vec()),
        ticks_per_second: 120,
        parent: None,
    }
}

pub(super) fn opened() -> Opened {
    Opened {
        trainee: "T-017".to_owned(),
        display_name: Some("Robin".to_owned()),
        started_unix_s: 1_900_000_000,
        device: "two cores, no display".to_owned(),
        mode: Mode::Practice,
    }
}

pub(super) fn closed() -> Closed {
    Closed {
        wall_s: 4.5,
        least_real_time_factor: 61.5,
        frames: None,
    }
}

pub(super) fn key() -> OpenKey {
    OpenKey::from_secret([5; 32])
}

pub(super) fn end(moments: &[Moment]) -> End {
    End {
        last: moments.last().unwrap().tick,
        why: crate::Ended::HandedBack,
        digest: 99,
    }
}

/// Writes moments down, with a keyframe every so many ticks.
pub(super) fn write<S: Sink>(
    journal: &mut Journal<S>,
    moments: &[Moment],
    keyframe_every: u32,
) -> Result<(), JournalFault> {
    for m in moments {
        if m.tick.0.is_multiple_of(keyframe_every) {
            journal.keyframe(m.tick, &keyframe_of(m.tick))?;
        }
        tick(journal, m)?;
    }
    Ok(())
}

/// Writes one moment down.
pub(super) fn tick<S: Sink>(journal: &mut Journal<S>, m: &Moment) -> Result<(), JournalFault> {
    journal.tick(m.tick, &m.inputs, &m.samples, &m.events, &m.steps, m.digest)
}

pub(super) fn keyframe_of(tick: Tick) -> Vec<u8> {
    let mut state = tick.0.to_le_bytes().to_vec();
    state.extend([7; 300]);
    state
}

/// A whole recording in memory.
pub(super) fn record(moments: &[Moment], key: Option<&OpenKey>) -> (Vec<u8>, Sealed) {
    record_as(moments, header(), opened(), closed(), key)
}

pub(super) fn record_as(
    moments: &[Moment],
    header: Header,
    opened: Opened,
    closed: Closed,
    key: Option<&OpenKey>,
) -> (Vec<u8>, Sealed) {
    let mut bytes = Vec::new();
    let mut journal = Journal::begin(&mut bytes, header, opened).unwrap();
    write(&mut journal, moments, 120).unwrap();
    let sealed = journal.seal(end(moments), closed, key).unwrap();
    (bytes, sealed)
}

/// The frames of a whole recording: kind and place, from a walk of our own.
pub(super) fn frames(bytes: &[u8]) -> Vec<(Kind, Range<usize>)> {
    let mut found = Vec::new();
    let mut at = HEAD;
    while let Some(kind) = bytes.get(at).and_then(|byte| Kind::from_byte(*byte)) {
        let length = u32::from_le_bytes(bytes[at + 1..at + 5].try_into().unwrap()) as usize;
        found.push((kind, at..at + length + AROUND));
        at += length + AROUND;
    }
    found
}

/// What a person does who knows the format and has no key: changes a frame
/// and puts all chains right behind it.
pub(super) fn forge(bytes: &[u8], mut change: impl FnMut(Kind, &mut Vec<u8>)) -> Vec<u8> {
    let mut out = bytes[..HEAD].to_vec();
    let mut body = Chain::start(Part::Body);
    let mut envelope = Chain::start(Part::Envelope);
    let mut last = HEAD;
    for (kind, range) in frames(bytes) {
        let mut payload = bytes[range.start + 5..range.end - 8].to_vec();
        change(kind, &mut payload);
        let chain = match kind.part() {
            Part::Body => &mut body,
            Part::Envelope => &mut envelope,
        };
        out.extend(frame::write(kind, &payload, chain));
        last = range.end;
    }
    out.extend_from_slice(&bytes[last..]);
    out
}

/// Checks that a recording shows the first moments as they were, as many as it
/// says it holds.
pub(super) fn shows(recording: &Recording, moments: &[Moment]) {
    let mut shown = moments.iter();
    let mut live = Observation::with_table(&table());
    recording.play(|seen, inputs| {
        let moment = shown.next().unwrap();
        live.tick = moment.tick;
        live.set_all(&moment.samples);
        live.events.clone_from(&moment.events);
        live.steps.clone_from(&moment.steps);
        assert_eq!(*seen, live);
        assert_eq!(inputs, moment.inputs);
    });
    let count = moments.len() - shown.len();
    let held = recording.until().0;
    assert_eq!(count, held as usize);
    let digests = moments[..count].iter();
    let digests: Vec<_> = digests.filter_map(|m| Some((m.tick, m.digest?))).collect();
    assert_eq!(recording.digests(), digests);
    assert_eq!(recording.steps(), steps_of(&moments[..count]));
}

/// All steps with their ticks.
pub(super) fn steps_of(moments: &[Moment]) -> Vec<(Tick, SurfaceStep)> {
    let of_one = |m: &Moment| -> Vec<_> { m.steps.iter().map(|s| (m.tick, *s)).collect() };
    moments.iter().flat_map(of_one).collect()
}

/// A table of one channel that the release knows, with another quantum, and of
/// one that it does not know.
pub(super) fn foreign_table() -> Vec<ChannelSpec> {
    let mut gauge = Channel::Gauge.spec();
    gauge.quantum = 0.25;
    gauge.every = 3;
    gauge.spread = true;
    let mut wind = gauge.clone();
    wind.id = "wind".to_owned();
    vec![wind, gauge]
}
