//! The lines of the procedure's mark.
//!
//! Each criterion of a level watches the attempt and says in the end how much
//! of it was seen, from nothing to all. They read what the rules read, and use
//! the same meaning of "tested", "held" and "cooled".

use crate::level::{Criterion, CriterionKind, Level};
use crate::rules::line::{is_bled, is_dumped, is_fed, mean, moved, on};
use crate::rules::raise_in_steps::Steps;
use crate::rules::shut_down_order::Cooling;
use crate::rules::stop_tests::StopsSeen;
use crate::{Channel, Event, Observation};
use crew::{Call, Control, Seat, Task, Tick};
use serde::{Deserialize, Serialize};

/// What became of a criterion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CriterionResult {
    /// Name within the level.
    pub id: String,
    /// Name of its kind, as the end of text ids.
    pub kind: String,
    /// Its share of the procedure's mark, percent.
    pub weight: f64,
    /// How much of it was seen, 0 to 1.
    pub share: f64,
    /// What was measured.
    pub value: f64,
    /// What was asked.
    pub wanted: f64,
    /// Unit of both.
    pub unit: String,
}

/// All criteria of an attempt.
pub struct Criteria {
    watching: Vec<(Criterion, Box<dyn Seen>)>,
}

impl Criteria {
    /// Begins to watch.
    pub fn new(level: &Level) -> Self {
        Criteria {
            watching: level
                .criteria
                .iter()
                .map(|c| (c.clone(), begin(&c.kind, level)))
                .collect(),
        }
    }

    /// Sees one tick.
    pub fn see(&mut self, o: &Observation) {
        for (_, seen) in &mut self.watching {
            seen.see(o);
        }
    }

    /// What became of them so far.
    pub fn results(&self) -> Vec<CriterionResult> {
        self.watching
            .iter()
            .map(|(criterion, seen)| {
                let (value, wanted, unit) = seen.measured();
                let share = if wanted > 0.0 { value / wanted } else { value };
                CriterionResult {
                    id: criterion.id.clone(),
                    kind: criterion.kind.id().to_owned(),
                    weight: criterion.weight,
                    share: share.clamp(0.0, 1.0),
                    value,
                    wanted,
                    unit: unit.to_owned(),
                }
            })
            .collect()
    }
}

/// A criterion that watches.
trait Seen {
    fn see(&mut self, o: &Observation);
    /// What was measured, what was asked, and their unit.
    fn measured(&self) -> (f64, f64, &'static str);
}

fn begin(kind: &CriterionKind, level: &Level) -> Box<dyn Seen> {
    let job = &level.job;
    let limits = &level.region.limits;
    match kind {
        CriterionKind::Flushed { min_s } => Box::new(Flushed {
            min_s: *min_s,
            ran: 0,
            fitted: false,
        }),
        CriterionKind::BoreGauged => Box::new(BoreGauged::default()),
        CriterionKind::StopsTested => Box::new(StopsTested(StopsSeen::new(level))),
        CriterionKind::LeakWalk { places } => Box::new(LeakWalk {
            places: places
                .iter()
                .filter_map(|p| level.site.place(p))
                .map(|at| (at, false))
                .collect(),
            low_max_bar: limits.stop_test_max_bar.value,
            danger_bar: limits.danger_bar.value,
        }),
        CriterionKind::StepsHeld { count } => Box::new(StepsHeld {
            steps: Steps::new(level),
            wanted: *count,
            best: 0,
        }),
        CriterionKind::Hold => Box::new(Hold {
            bar: job.pressure_bar,
            within_bar: job.within_pct / 100.0 * job.pressure_bar,
            hold_s: job.hold_s,
            ignore_s: job.ignore_after_trigger_s,
            changed: None,
            trigger_open: false,
            counted: 0,
            best: 0,
        }),
        CriterionKind::DumpedOnCall => Box::new(DumpedOnCall {
            within_s: limits.dump_on_call_s.value,
            called: None,
            taken_s: None,
            called_once: false,
        }),
        CriterionKind::Cooled => Box::new(Cooled {
            cooling: Cooling::new(level),
            loaded_above_bar: 0.5 * job.pressure_bar,
            worked: false,
        }),
        CriterionKind::LeftSafe => Box::new(LeftSafe {
            zero_bar: limits.zero_bar.value,
            safe: false,
        }),
        CriterionKind::Cleaned { .. }
        | CriterionKind::TestPatch { .. }
        | CriterionKind::StandOffKept { .. }
        | CriterionKind::NozzleChanged
        | CriterionKind::StoppedForIntruder
        | CriterionKind::LanceLeftSafe => todo!("criteria of the lance"),
    }
}

fn seconds(ticks: u32) -> f64 {
    Tick(ticks).seconds()
}

struct Flushed {
    min_s: f64,
    ran: u32,
    fitted: bool,
}

impl Seen for Flushed {
    fn see(&mut self, o: &Observation) {
        self.fitted |= on(o, Channel::NozzleFitted);
        if !self.fitted && is_fed(o) && mean(o, Channel::ToolFlow) > 1.0 {
            self.ran += 1;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (seconds(self.ran), self.min_s, "s")
    }
}

#[derive(Default)]
struct BoreGauged {
    gauged: bool,
    fitted_ungauged: bool,
}

impl Seen for BoreGauged {
    fn see(&mut self, o: &Observation) {
        for event in &o.events {
            match event {
                Event::Finished {
                    task: Task::GaugeBore,
                    ..
                } => self.gauged = true,
                Event::Began {
                    task: Task::FitNozzle,
                    ..
                } if !self.gauged => self.fitted_ungauged = true,
                _ => {}
            }
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let done = self.gauged && !self.fitted_ungauged;
        (f64::from(u8::from(done)), 1.0, "bores gauged")
    }
}

struct StopsTested(StopsSeen);

impl Seen for StopsTested {
    fn see(&mut self, o: &Observation) {
        self.0.see(o);
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (self.0.count() as f64, 3.0, "stops tested")
    }
}

struct LeakWalk {
    places: Vec<([f64; 2], bool)>,
    low_max_bar: f64,
    danger_bar: f64,
}

/// How near to a place counts as having been there (a choice of this project).
const NEAR_M: f64 = 0.6;

impl Seen for LeakWalk {
    fn see(&mut self, o: &Observation) {
        let bar = mean(o, Channel::PumpPressure);
        if !on(o, Channel::NozzleFitted) || bar < self.danger_bar || bar > self.low_max_bar {
            return;
        }
        let (x, z) = (mean(o, Channel::PumpHandX), mean(o, Channel::PumpHandZ));
        for (at, walked) in &mut self.places {
            let (dx, dz) = (x - at[0], z - at[1]);
            *walked |= dx * dx + dz * dz <= NEAR_M * NEAR_M;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let walked = self.places.iter().filter(|(_, walked)| *walked).count();
        (walked as f64, self.places.len() as f64, "places")
    }
}

struct StepsHeld {
    steps: Steps,
    wanted: u32,
    best: usize,
}

impl Seen for StepsHeld {
    fn see(&mut self, o: &Observation) {
        self.steps.see(o);
        self.best = self.best.max(self.steps.count());
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (self.best as f64, f64::from(self.wanted), "steps")
    }
}

struct Hold {
    bar: f64,
    within_bar: f64,
    hold_s: f64,
    ignore_s: f64,
    changed: Option<Tick>,
    trigger_open: bool,
    counted: u32,
    best: u32,
}

impl Seen for Hold {
    fn see(&mut self, o: &Observation) {
        let open = mean(o, Channel::Trigger) >= 50.0;
        if open != self.trigger_open {
            self.trigger_open = open;
            self.changed = Some(o.tick);
        }
        let fed = is_fed(o) && on(o, Channel::NozzleFitted);
        let settling = self
            .changed
            .is_some_and(|t| o.tick.since(t) < self.ignore_s);
        if fed && settling {
            return;
        }
        if fed && (mean(o, Channel::Gauge) - self.bar).abs() <= self.within_bar {
            self.counted += 1;
            self.best = self.best.max(self.counted);
        } else {
            self.counted = 0;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (seconds(self.best), self.hold_s, "s")
    }
}

struct DumpedOnCall {
    within_s: f64,
    called: Option<Tick>,
    taken_s: Option<f64>,
    called_once: bool,
}

impl Seen for DumpedOnCall {
    fn see(&mut self, o: &Observation) {
        let called = o.events.iter().any(|e| {
            matches!(
                e,
                Event::Said {
                    seat: Seat::LANCE,
                    call: Call::Dump | Call::AllStop
                }
            )
        });
        if called && is_fed(o) && self.called.is_none() {
            self.called = Some(o.tick);
            self.called_once = true;
        }
        if let Some(at) = self.called
            && (moved(o, Control::Dump) == Some(1) || on(o, Channel::EmergencyStop))
        {
            let s = o.tick.since(at);
            self.taken_s = Some(self.taken_s.map_or(s, |worst| worst.max(s)));
            self.called = None;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let done = self.called_once
            && self.called.is_none()
            && self.taken_s.is_some_and(|s| s <= self.within_s);
        (f64::from(u8::from(done)), 1.0, "calls answered")
    }
}

struct Cooled {
    cooling: Cooling,
    loaded_above_bar: f64,
    worked: bool,
}

impl Seen for Cooled {
    fn see(&mut self, o: &Observation) {
        self.cooling.see(o);
        self.worked |= mean(o, Channel::PumpPressure) > self.loaded_above_bar;
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let done = self.cooling.done(self.worked);
        (f64::from(u8::from(done)), 1.0, "coolings")
    }
}

struct LeftSafe {
    zero_bar: f64,
    safe: bool,
}

impl Seen for LeftSafe {
    fn see(&mut self, o: &Observation) {
        if o.events.contains(&Event::HandedBack) {
            self.safe = !on(o, Channel::EngineRuns)
                && is_dumped(o)
                && is_bled(o)
                && !on(o, Channel::SupplyOpen)
                && mean(o, Channel::Key) == 0.0
                && mean(o, Channel::GunPressure) <= self.zero_bar;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(u8::from(self.safe)), 1.0, "left safe")
    }
}

/// The channels that criteria read.
pub const CHANNELS: &[Channel] = &[
    Channel::EngineRuns,
    Channel::EmergencyStop,
    Channel::DumpOpen,
    Channel::BleedOpen,
    Channel::BleedRuns,
    Channel::SupplyOpen,
    Channel::Key,
    Channel::Trigger,
    Channel::NozzleFitted,
    Channel::PumpPressure,
    Channel::GunPressure,
    Channel::SetPressure,
    Channel::Throttle,
    Channel::Gauge,
    Channel::Thrust,
    Channel::ToolFlow,
    Channel::PumpHandX,
    Channel::PumpHandZ,
];
