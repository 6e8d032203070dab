//! Gathers the sheet of an attempt from its recording.

use crate::series::{POINTS_MOST, Point, Quantity, Series};
use crate::sheet::{
    BookLine, Cue, LevelCard, LimitLine, Moment, Pace, Restarted, Sheet, Sitting, Span, State,
    Supply, Use,
};
use crew::{Call, Control, Seat, Tick};
use training::channels::is_sampled;
use training::recording::Recording;
use training::region::Limits;
use training::rules::RULES;
use training::{Channel, Event, Level, Mark, Observation, text};

impl Sheet {
    /// Gathers all that a report says by playing the recording once. `level`
    /// and `mark` are those of the recording.
    pub fn of(recording: &Recording, level: &Level, mark: &Mark) -> Sheet {
        let mut watch = Watch::new(recording, level.region.limits.dump_on_call_s.value);
        recording.play(|o, _| watch.see(o));
        let header = recording.header();
        let language = text::language().tag();
        let until_s = recording.until().seconds();
        let (water_l, fuel_l) = watch.used_l;
        let need = |supply, used_l, needed_l| Use {
            supply,
            used_l,
            needed_l,
        };
        Sheet {
            level: LevelCard {
                id: level.id.clone(),
                version: level.version,
                title: level.title.get(language).to_owned(),
                objectives: (level.objectives.iter())
                    .map(|words| words.get(language).to_owned())
                    .collect(),
                region: level.region.title.get(language).to_owned(),
            },
            seed: header.seed,
            until_s,
            mark: mark.clone(),
            book: book(),
            limits: limits(&level.region.limits),
            uses: vec![
                need(Supply::Water, water_l, level.economy.water_l),
                need(Supply::Fuel, fuel_l, level.economy.fuel_l),
            ],
            spans: watch.spans(until_s),
            cues: watch.cues,
            series: (watch.series.into_iter())
                .map(|s| s.thin(POINTS_MOST))
                .collect(),
            moments: (recording.events().iter())
                .map(|&(tick, event)| Moment { tick, event })
                .collect(),
            status: recording.status(),
            body_hash: recording.body_hash().map(|sum| sum.to_string()),
            release: header.release.clone(),
            restarted: header.parent.map(|parent| Restarted {
                body_hash: parent.body.to_string(),
                at_s: parent.tick.seconds(),
            }),
            sitting: recording.opened().map(|opened| Sitting {
                trainee: opened.trainee.clone(),
                display_name: opened.display_name.clone(),
                started_unix_s: opened.started_unix_s,
                device: opened.device.clone(),
                mode: opened.mode.id().to_owned(),
            }),
            pace: recording.closed().map(|closed| Pace {
                wall_s: closed.wall_s,
                least_real_time_factor: closed.least_real_time_factor,
                frames: closed.frames.map(|f| (f.count, f.p99_ms)),
            }),
        }
    }
}

/// The rule book that marks are made by.
fn book() -> Vec<BookLine> {
    RULES
        .iter()
        .map(|rule| BookLine {
            id: rule.id().to_owned(),
            version: rule.version(),
            severity: rule.severity(),
            source: rule.source().to_owned(),
            honesty: rule.honesty(),
        })
        .collect()
}

/// All limits of a region, in the order of their table.
fn limits(limits: &Limits) -> Vec<LimitLine> {
    limits
        .all()
        .map(|(id, limit)| LimitLine {
            id: id.to_owned(),
            value: limit.value,
            source: limit.source.clone(),
            honesty: limit.honesty,
        })
        .collect()
}

/// The channel that a quantity is read from.
fn channel(quantity: Quantity) -> Channel {
    match quantity {
        Quantity::PumpPressure => Channel::PumpPressure,
        Quantity::SetPressure => Channel::SetPressure,
        Quantity::Gauge => Channel::Gauge,
        Quantity::ToolFlow => Channel::ToolFlow,
        Quantity::BypassFlow => Channel::BypassFlow,
        Quantity::Thrust => Channel::Thrust,
    }
}

/// Watches the recording for what the report shows.
struct Watch {
    /// Ticks from one sample to the next, as the recording's own table says.
    every: Vec<u32>,
    series: Vec<Series>,
    /// Since when each state lasts, and how long it lasted before.
    since_s: [Option<f64>; State::ALL.len()],
    spans: Vec<Span>,
    cues: Vec<Cue>,
    allowed_s: f64,
    used_l: (Option<f64>, Option<f64>),
}

impl Watch {
    fn new(recording: &Recording, allowed_s: f64) -> Self {
        let table = &recording.header().channels;
        let every = |quantity: &Quantity| {
            let id = channel(*quantity).id();
            table.iter().find(|c| c.id == id).map_or(1, |c| c.every)
        };
        Watch {
            every: Quantity::ALL.iter().map(every).collect(),
            series: (Quantity::ALL.iter())
                .map(|&quantity| Series {
                    quantity,
                    points: Vec::new(),
                })
                .collect(),
            since_s: [None; State::ALL.len()],
            spans: Vec::new(),
            cues: Vec::new(),
            allowed_s,
            used_l: (None, None),
        }
    }

    fn see(&mut self, o: &Observation) {
        for (series, every) in self.series.iter_mut().zip(&self.every) {
            if is_sampled(o.tick, *every) {
                let half_s = 0.5 * Tick(*every).seconds();
                let end_s = Tick(o.tick.0.saturating_add(1)).seconds();
                series
                    .points
                    .extend(point(o, channel(series.quantity), end_s - half_s));
            }
        }
        self.see_states(o);
        self.see_cues(o);
        self.used_l = (o.mean(Channel::WaterUsed), o.mean(Channel::FuelUsed));
    }

    fn see_states(&mut self, o: &Observation) {
        let runs = o.on(Channel::EngineRuns) == Some(true);
        let shut = o.mean(Channel::DumpOpen).is_some_and(|open| open < 5.0);
        let lasts = [
            runs,
            runs && shut,
            o.on(Channel::NozzleFitted) == Some(true),
        ];
        let now_s = o.tick.seconds();
        for ((state, since_s), lasts) in State::ALL.into_iter().zip(&mut self.since_s).zip(lasts) {
            match (*since_s, lasts) {
                (None, true) => *since_s = Some(now_s),
                (Some(from_s), false) => {
                    *since_s = None;
                    self.spans.push(Span {
                        state,
                        from_s,
                        until_s: now_s,
                    });
                }
                _ => {}
            }
        }
    }

    /// The spans, those that last to the end included.
    fn spans(&self, until_s: f64) -> Vec<Span> {
        let lasting = State::ALL.into_iter().zip(self.since_s);
        let open = lasting.filter_map(|(state, since_s)| {
            Some(Span {
                state,
                from_s: since_s?,
                until_s,
            })
        });
        self.spans.iter().copied().chain(open).collect()
    }

    fn see_cues(&mut self, o: &Observation) {
        let acted = o.events.iter().any(|event| {
            matches!(
                event,
                Event::Moved {
                    control: Control::Dump | Control::EmergencyStop,
                    to: 1..,
                    ..
                }
            )
        });
        let open = o.mean(Channel::DumpOpen).is_some_and(|open| open >= 95.0);
        for cue in &mut self.cues {
            let since_s = o.tick.since(cue.tick);
            if acted && cue.acted_s.is_none() {
                cue.acted_s = Some(since_s);
            }
            if open && cue.open_s.is_none() {
                cue.open_s = Some(since_s);
            }
        }
        let fed = o.on(Channel::EngineRuns) == Some(true)
            && o.mean(Channel::DumpOpen).is_some_and(|open| open < 5.0);
        let waits = self.cues.last().is_some_and(|cue| cue.acted_s.is_none());
        for event in &o.events {
            if let Event::Said {
                seat: Seat::LANCE,
                call: call @ (Call::Dump | Call::AllStop),
            } = event
                && fed
                && !waits
            {
                self.cues.push(Cue {
                    tick: o.tick,
                    call: *call,
                    acted_s: None,
                    open_s: None,
                    allowed_s: self.allowed_s,
                });
            }
        }
    }
}

/// The present sample of a channel as a point; nothing where it is missing.
fn point(o: &Observation, channel: Channel, time_s: f64) -> Option<Point> {
    Some(Point {
        time_s,
        min: o.min(channel)?,
        mean: o.mean(channel)?,
        max: o.max(channel)?,
    })
}

#[cfg(test)]
mod tests;
