//! What a report says, gathered from a recording.

use crate::series::{Point, Series};
use crew::{Call, Control, Seat, Tick};
use training::recording::{Recording, Status};
use training::{Channel, Event, Level, Mark, Observation};

/// Most points of a series in a picture.
const POINTS: usize = 1500;

/// A call for the dump, and what became of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Act {
    /// When the word was said.
    pub called: Tick,
    /// When the dump was opened.
    pub opened: Option<Tick>,
}

/// Everything a report says.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Title of the level.
    pub title: String,
    /// Version of the level.
    pub version: u32,
    /// The mark.
    pub mark: Mark,
    /// Seed of the attempt.
    pub seed: u64,
    /// Release that made the recording.
    pub release: String,
    /// Name of the recording by its content.
    pub body: String,
    /// Who signed it, if it is sealed at all.
    pub status: Status,
    /// Code of the trainee.
    pub trainee: String,
    /// Ticks of the attempt.
    pub ticks: u32,
    /// Time in which the dump has to be open once called for, seconds.
    pub dump_on_call_s: f64,
    /// Pressure at the pump, bar.
    pub pump_pressure: Series,
    /// Pressure set at the regulator, bar.
    pub set_pressure: Series,
    /// Flow out of the tool, litres a minute.
    pub tool_flow: Series,
    /// Flow through the bypass, litres a minute.
    pub bypass_flow: Series,
    /// Thrust on the tool, newtons.
    pub thrust: Series,
    /// What was said and done.
    pub log: Vec<(Tick, Event)>,
    /// From a call for the dump to the act.
    pub acts: Vec<Act>,
}

impl Sheet {
    /// Gathers a sheet from a recording and its mark.
    pub fn of(recording: &Recording, level: &Level, mark: &Mark) -> Sheet {
        let wanted = [
            Channel::PumpPressure,
            Channel::SetPressure,
            Channel::ToolFlow,
            Channel::BypassFlow,
            Channel::Thrust,
        ];
        let mut series: [Series; 5] = Default::default();
        let mut acts: Vec<Act> = Vec::new();
        recording.play(|o, _| {
            for (channel, series) in wanted.iter().zip(&mut series) {
                take(o, *channel, series);
            }
            watch_for_dump(o, &mut acts);
        });
        let [pump_pressure, set_pressure, tool_flow, bypass_flow, thrust] =
            series.map(|s| s.thin(POINTS));
        Sheet {
            title: level.title.get("en").to_owned(),
            version: level.version,
            mark: mark.clone(),
            seed: recording.header().seed,
            release: recording.header().release.clone(),
            body: recording
                .body_hash()
                .map(|h| h.to_string())
                .unwrap_or_default(),
            status: recording.status(),
            trainee: recording
                .opened()
                .map(|o| o.trainee.clone())
                .unwrap_or_default(),
            ticks: recording.until().0,
            dump_on_call_s: level.region.limits.dump_on_call_s.value,
            pump_pressure,
            set_pressure,
            tool_flow,
            bypass_flow,
            thrust,
            log: recording.events().to_vec(),
            acts,
        }
    }
}

fn take(o: &Observation, channel: Channel, series: &mut Series) {
    let (_, _, every, _) = channel.declared();
    if !training::channels::is_sampled(o.tick, every) {
        return;
    }
    if let (Some(min), Some(max)) = (o.min(channel), o.max(channel)) {
        series.points.push(Point {
            time_s: o.tick.seconds(),
            min,
            max,
        });
    }
}

fn watch_for_dump(o: &Observation, acts: &mut Vec<Act>) {
    let waiting = |acts: &[Act]| acts.last().is_some_and(|a| a.opened.is_none());
    for event in &o.events {
        match event {
            Event::Said {
                seat: Seat::LANCE,
                call: Call::Dump | Call::AllStop,
            } if !waiting(acts) && o.mean(Channel::DumpLever) == Some(0.0) => acts.push(Act {
                called: o.tick,
                opened: None,
            }),
            Event::Moved {
                control: Control::Dump,
                to: 1,
                ..
            }
            | Event::Moved {
                control: Control::EmergencyStop,
                to: 1,
                ..
            } => {
                if let Some(act) = acts.last_mut()
                    && act.opened.is_none()
                {
                    act.opened = Some(o.tick);
                }
            }
            _ => {}
        }
    }
}
