//! Gathers the sheet of an attempt from its recording.

pub(crate) mod cleaning;
mod cues;
mod troubles;

use crate::series::{POINTS_MOST, Point, Quantity, Series};
use crate::sheet::{
    BookLine, LevelCard, LimitLine, Moment, Pace, Phase, Restarted, Sheet, Sitting, Span, Stage,
    State, Supply, Table, Use, Water,
};
use crew::{Seat, Tick};
use cues::Stops;
use training::channels::is_sampled;
use training::level::Nozzle;
use training::recording::Recording;
use training::rules::RULES;
use training::text::say;
use training::{Channel, Honesty, Level, Mark, Observation, text};

impl Sheet {
    /// Gathers all that a report says by playing the recording once. `level`
    /// and `mark` are those of the recording.
    pub fn of(recording: &Recording, level: &Level, mark: &Mark) -> Sheet {
        let mut watch = Watch::new(recording, level);
        recording.play(|o, _| watch.see(o));
        let header = recording.header();
        let language = text::language().tag();
        let until = recording.until();
        let until_s = until.seconds();
        let (water_l, fuel_l) = watch.used_l;
        let (troubles, tags) = watch.troubles.finish();
        let run_off_l = watch.water.map(|water| water.run_off_l);
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
            book: book(level.post),
            limits: limits(level),
            uses: [
                (Supply::Water, water_l, Some(level.economy.water_l)),
                (Supply::Fuel, fuel_l, Some(level.economy.fuel_l)),
                (Supply::RunOff, run_off_l, level.economy.run_off_l),
            ]
            .into_iter()
            .filter_map(|(supply, used_l, needed_l)| Some(need(supply, used_l, needed_l?)))
            .collect(),
            water: watch.water,
            noise_dose_pct: watch.noise_dose_pct,
            spans: watch.spans(until_s),
            phases: watch.phases(until_s),
            post: level.post,
            stops: watch.stops.finish(),
            troubles,
            tags,
            tables: watch.tables.finish(until_s),
            cleaning: watch.cleaning.map(|c| c.finish(until)),
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

/// The rules that marks at a post are made by.
fn book(post: Seat) -> Vec<BookLine> {
    (RULES.iter())
        .filter(|rule| rule.posts().contains(&post))
        .map(|rule| BookLine {
            id: rule.id().to_owned(),
            version: rule.version(),
            severity: rule.severity(),
            source: rule.source().to_owned(),
            honesty: rule.honesty(),
        })
        .collect()
}

/// The limits of the job sheet, and behind them all those of its region, in the order of their table.
fn limits(level: &Level) -> Vec<LimitLine> {
    let limits = &level.region.limits;
    let of_job = level.job_limits().into_iter().map(|(id, value)| LimitLine {
        id: id.to_owned(),
        value,
        source: say("report-limits-job_source", &[]),
        honesty: Honesty::Invented,
    });
    let of_region = limits.all().map(|(id, limit)| LimitLine {
        id: id.to_owned(),
        value: limit.value,
        source: limit.source.clone(),
        honesty: limit.honesty,
    });
    of_job.chain(of_region).collect()
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
        Quantity::StandOff => Channel::StandOff,
        Quantity::TravelSpeed => Channel::TravelSpeed,
    }
}

/// Whether a quantity says something in this tick: there is no stand-off where
/// the tool points elsewhere or without a jet on the surface, and no travel.
fn says_something(o: &Observation, quantity: Quantity) -> bool {
    let there = |channel| o.mean(channel).is_some_and(|value| value > 0.0);
    match quantity {
        Quantity::StandOff | Quantity::TravelSpeed => {
            there(Channel::StandOff) && there(Channel::ImpactPressure)
        }
        _ => true,
    }
}

/// Where the water went so far; nothing where a part of it is not measured.
fn water(o: &Observation) -> Option<Water> {
    Some(Water {
        drawn_l: o.mean(Channel::WaterDrawn)?,
        run_off_l: o.mean(Channel::RunOff)?,
        at_unit_l: o.mean(Channel::RunOffAtUnit)?,
        returned_l: o.mean(Channel::WaterReturned)?,
    })
}

/// Whether the pump feeds the line.
fn is_fed(o: &Observation) -> bool {
    o.on(Channel::EngineRuns) == Some(true)
        && o.mean(Channel::DumpOpen).is_some_and(|open| open < 5.0)
}

/// A trigger that is squeezed no more than this is let go, percent: what play
/// and a resting finger leave (a choice of this project).
const LET_GO_PCT: f64 = 5.0;

/// Watches the recording for what the report shows.
struct Watch<'a> {
    /// Ticks from one sample to the next, as the recording's own table says.
    every: Vec<u32>,
    series: Vec<Series>,
    /// Since when each state lasts, and how long it lasted before.
    since_s: [Option<f64>; State::ALL.len()],
    spans: Vec<Span>,
    /// The first tick in which the line was fed, and the last one.
    fed: Option<(Tick, Tick)>,
    stops: Stops,
    troubles: troubles::Troubles,
    tables: Tables<'a>,
    cleaning: Option<cleaning::Watch<'a>>,
    used_l: (Option<f64>, Option<f64>),
    water: Option<Water>,
    /// What the trainee hears is measured here.
    dose: Channel,
    noise_dose_pct: Option<f64>,
}

impl<'a> Watch<'a> {
    fn new(recording: &Recording, level: &'a Level) -> Self {
        let table = &recording.header().channels;
        let every = |quantity: &Quantity| {
            let id = channel(*quantity).id();
            table.iter().find(|c| c.id == id).map_or(1, |c| c.every)
        };
        let drawn: Vec<Quantity> = (Quantity::ALL.into_iter())
            .filter(|q| level.surface.is_some() || !q.is_of_surface())
            .collect();
        Watch {
            every: drawn.iter().map(every).collect(),
            series: (drawn.iter())
                .map(|&quantity| Series {
                    quantity,
                    points: Vec::new(),
                })
                .collect(),
            since_s: [None; State::ALL.len()],
            spans: Vec::new(),
            fed: None,
            stops: Stops::new(level),
            troubles: troubles::Troubles::new(level),
            tables: Tables::new(level),
            cleaning: (level.surface.as_ref())
                .map(|surface| cleaning::Watch::new(surface, recording.until())),
            used_l: (None, None),
            water: None,
            dose: if level.post == Seat::LANCE {
                Channel::NoiseDoseLanceHand
            } else {
                Channel::NoiseDosePumpHand
            },
            noise_dose_pct: None,
        }
    }

    fn see(&mut self, o: &Observation) {
        for (series, every) in self.series.iter_mut().zip(&self.every) {
            if is_sampled(o.tick, *every) {
                let half_s = 0.5 * Tick(*every).seconds();
                let end_s = Tick(o.tick.0.saturating_add(1)).seconds();
                let point = point(o, channel(series.quantity), end_s - half_s);
                let drawn = says_something(o, series.quantity);
                let point = point.map(|p| if drawn { p } else { Point::GAP });
                series.points.extend(point);
            }
        }
        self.see_states(o);
        if is_fed(o) {
            let first = self.fed.map_or(o.tick, |fed| fed.0);
            self.fed = Some((first, o.tick));
        }
        self.stops.see(o);
        self.troubles.see(o);
        self.tables.see(o);
        if let Some(cleaning) = &mut self.cleaning {
            cleaning.see(o);
        }
        self.used_l = (o.mean(Channel::WaterUsed), o.mean(Channel::FuelUsed));
        self.water = water(o);
        self.noise_dose_pct = o.mean(self.dose);
    }

    fn see_states(&mut self, o: &Observation) {
        let on = |channel| o.on(channel) == Some(true);
        let lasts = State::ALL.map(|state| match state {
            State::EngineRuns => on(Channel::EngineRuns),
            State::LineFed => is_fed(o),
            State::NozzleOn => on(Channel::NozzleFitted),
            State::Squeezed => o.mean(Channel::Trigger).is_some_and(|t| t > LET_GO_PCT),
            State::Braced => o.mean(Channel::LanceBraced).is_some_and(|b| b >= 50.0),
            State::BarrierClosed => on(Channel::Barrier),
            State::Intruder => on(Channel::Intruder),
        });
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

    fn phases(&self, until_s: f64) -> Vec<Phase> {
        let worked = self.cleaning.as_ref().and_then(|c| c.worked);
        phases(self.fed, worked, until_s)
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
}

/// Watches which nozzle is on the lance.
struct Tables<'a> {
    nozzles: &'a [Nozzle],
    /// The nozzle that is on, by its place in the list, and since when.
    on: Option<(usize, f64)>,
    over: Vec<Table>,
}

impl<'a> Tables<'a> {
    fn new(level: &'a Level) -> Self {
        Tables {
            nozzles: &level.equipment.nozzles,
            on: None,
            over: Vec::new(),
        }
    }

    fn see(&mut self, o: &Observation) {
        // Counted from one; nothing is on at zero.
        let place = o.sample(Channel::Nozzle).map_or(0, |s| s.mean);
        let on = usize::try_from(place).unwrap_or(0).checked_sub(1);
        if on != self.on.map(|(place, _)| place) {
            let now_s = o.tick.seconds();
            let before = std::mem::replace(&mut self.on, on.map(|place| (place, now_s)));
            self.over.extend(self.table(before, now_s));
        }
    }

    fn table(&self, on: Option<(usize, f64)>, until_s: f64) -> Option<Table> {
        let (place, from_s) = on?;
        Some(Table {
            from_s,
            until_s,
            stand_off_m: self.nozzles.get(place)?.stand_off_m,
        })
    }

    fn finish(mut self, until_s: f64) -> Vec<Table> {
        self.over.extend(self.table(self.on, until_s));
        self.over
    }
}

/// What a part of an attempt was for is read from two things: when the pump fed
/// the line, and when cells of the surface took steps.
fn phases(fed: Option<(Tick, Tick)>, worked: Option<(Tick, Tick)>, until_s: f64) -> Vec<Phase> {
    let behind = |tick: Tick| Tick(tick.0.saturating_add(1)).seconds();
    let from_s = |times: Option<(Tick, Tick)>| times.map(|t| t.0.seconds());
    let begun = from_s(fed).into_iter().chain(from_s(worked));
    let fed_from_s = begun.fold(until_s, f64::min);
    let end_s = worked.or(fed).map_or(until_s, |times| behind(times.1));
    let work_from_s = from_s(worked).unwrap_or(end_s);
    let cuts_s = [0.0, fed_from_s, work_from_s, end_s, until_s];
    let stages = [Stage::Prepare, Stage::Pressure, Stage::Clean, Stage::Finish];
    stages
        .into_iter()
        .zip(cuts_s.windows(2))
        .map(|(stage, cut)| Phase {
            stage,
            from_s: cut[0],
            until_s: cut[1],
        })
        .filter(|phase| phase.until_s > phase.from_s)
        .collect()
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
