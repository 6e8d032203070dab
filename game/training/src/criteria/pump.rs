//! What the procedure asks of the hand at the pump.

use super::{Seen, seconds};
use crate::rules::cue::{Cause, Cue, Cues};
use crate::rules::flush_before_fitting::Flush;
use crate::rules::leak_walk::Walk;
use crate::rules::line::{is_bled, is_dumped, is_fed, mean, on};
use crate::rules::partner_jolted::Jolts;
use crate::rules::raise_in_steps::Steps;
use crate::rules::shut_down_order::Cooling;
use crate::rules::stop_tests::StopsSeen;
use crate::{Channel, Event, Level, Observation};
use crew::{Task, Tick};

pub(super) struct Flushed {
    min_s: f64,
    flush: Flush,
}

impl Flushed {
    pub fn new(min_s: f64) -> Self {
        Flushed {
            min_s,
            flush: Flush::default(),
        }
    }
}

impl Seen for Flushed {
    fn see(&mut self, o: &Observation) {
        self.flush.see(o);
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (self.flush.ran_s(), self.min_s, "s")
    }
}

#[derive(Default)]
pub(super) struct BoreGauged {
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

pub(super) struct StopsTested(StopsSeen);

impl StopsTested {
    pub fn new(level: &Level) -> Self {
        StopsTested(StopsSeen::new(level))
    }
}

impl Seen for StopsTested {
    fn see(&mut self, o: &Observation) {
        self.0.see(o);
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (self.0.count() as f64, 3.0, "stops tested")
    }
}

pub(super) struct LeakWalk(Walk);

impl LeakWalk {
    pub fn new(places: &[String], level: &Level) -> Self {
        LeakWalk(Walk::past(places, level))
    }
}

impl Seen for LeakWalk {
    fn see(&mut self, o: &Observation) {
        self.0.see(o);
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (self.0.walked() as f64, self.0.places() as f64, "places")
    }
}

pub(super) struct StepsHeld {
    steps: Steps,
    wanted: u32,
    best: u32,
}

impl StepsHeld {
    pub fn new(wanted: u32, level: &Level) -> Self {
        StepsHeld {
            steps: Steps::new(level),
            wanted,
            best: 0,
        }
    }
}

impl Seen for StepsHeld {
    fn see(&mut self, o: &Observation) {
        self.steps.see(o);
        self.best = self.best.max(self.steps.of_job(self.wanted));
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(self.best), f64::from(self.wanted), "steps")
    }
}

pub(super) struct Hold {
    bar: f64,
    within_bar: f64,
    hold_s: f64,
    ignore_s: f64,
    changed: Option<Tick>,
    trigger_open: bool,
    counted: u32,
    best: u32,
}

impl Hold {
    pub fn new(level: &Level) -> Self {
        let job = &level.job;
        Hold {
            bar: job.pressure_bar,
            within_bar: job.within_pct / 100.0 * job.pressure_bar,
            hold_s: job.hold_s,
            ignore_s: job.ignore_after_trigger_s,
            changed: None,
            trigger_open: false,
            counted: 0,
            best: 0,
        }
    }
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

/// Every call for the dump was answered in time, and there was one.
pub(super) struct DumpedOnCall(Cues);

impl DumpedOnCall {
    pub fn new(level: &Level) -> Self {
        DumpedOnCall(Cues::new(level))
    }
}

impl Seen for DumpedOnCall {
    fn see(&mut self, o: &Observation) {
        self.0.see(o);
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let mut calls = (self.0.all().iter())
            .filter(|cue| matches!(cue.cause, Cause::Called(_)))
            .peekable();
        let done = calls.peek().is_some() && calls.all(Cue::is_met);
        (f64::from(u8::from(done)), 1.0, "calls answered")
    }
}

pub(super) struct Cooled {
    cooling: Cooling,
    loaded_above_bar: f64,
    worked: bool,
}

impl Cooled {
    pub fn new(level: &Level) -> Self {
        Cooled {
            cooling: Cooling::new(level),
            loaded_above_bar: 0.5 * level.job.pressure_bar,
            worked: false,
        }
    }
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

pub(super) struct Partnered {
    limit_pct: f64,
    wanted: u32,
    jolts: Jolts,
    smooth: u32,
}

impl Partnered {
    pub fn new(wanted: u32, level: &Level) -> Self {
        Partnered {
            limit_pct: level.region.limits.thrust_jump_max_pct.value,
            wanted,
            jolts: Jolts::default(),
            smooth: 0,
        }
    }
}

impl Seen for Partnered {
    fn see(&mut self, o: &Observation) {
        let jolt = self.jolts.see(o);
        let smooth = jolt.is_some_and(|jolt| jolt.shut && jolt.pct <= self.limit_pct);
        self.smooth += u32::from(smooth);
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(self.smooth), f64::from(self.wanted), "closings")
    }
}

pub(super) struct LeftSafe {
    zero_bar: f64,
    safe: bool,
}

impl LeftSafe {
    pub fn new(level: &Level) -> Self {
        LeftSafe {
            zero_bar: level.region.limits.zero_bar.value,
            safe: false,
        }
    }
}

impl Seen for LeftSafe {
    fn see(&mut self, o: &Observation) {
        if o.events.contains(&Event::HandedBack) {
            self.safe = !on(o, Channel::EngineRuns)
                && is_dumped(o)
                && is_bled(o)
                && !on(o, Channel::SupplyOpen)
                && mean(o, Channel::Key) == 0.0
                && mean(o, Channel::GunPressure) <= self.zero_bar
                && mean(o, Channel::PedalPressure) <= self.zero_bar;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(u8::from(self.safe)), 1.0, "left safe")
    }
}
