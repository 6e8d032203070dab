//! What the procedure asks of the hand at the lance.

use super::{Seen, seconds};
use crate::allowed::tool_at;
use crate::rules::cue::{Cue, Cues};
use crate::rules::line::{is_released, mean, on};
use crate::{Channel, Event, Level, Observation};
use crew::Tick;

/// Less than this on the surface is a trickle and no jet, bar (a choice of this
/// project: the pressure that is left behind an open dump comes to less).
const JET_BAR: f64 = 3.0;

/// The jet is on the surface.
fn jet_on_surface(o: &Observation) -> bool {
    mean(o, Channel::ImpactPressure) > JET_BAR
}

/// How much of the surface is clean, of what is asked for.
pub(super) struct Cleaned {
    pct: f64,
    clean_pct: f64,
}

impl Cleaned {
    pub fn new(pct: f64) -> Self {
        Cleaned {
            pct,
            clean_pct: 0.0,
        }
    }
}

impl Seen for Cleaned {
    fn see(&mut self, _: &Observation) {}
    fn see_clean(&mut self, clean_pct: f64) {
        self.clean_pct = clean_pct;
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (self.clean_pct, self.pct, "%")
    }
}

/// How long the jet is on the surface before there is a patch to look at,
/// seconds (a choice of this project).
const PATCH_S: f64 = 5.0;

/// A patch worked at low pressure and looked at, before the first work above
/// it.
pub(super) struct TestPatch {
    at_most_bar: f64,
    look_s: f64,
    worked: u32,
    looks_since: Option<Tick>,
    looked: bool,
    above: bool,
}

impl TestPatch {
    pub fn new(at_most_bar: f64, look_s: f64) -> Self {
        TestPatch {
            at_most_bar,
            look_s,
            worked: 0,
            looks_since: None,
            looked: false,
            above: false,
        }
    }
}

impl Seen for TestPatch {
    fn see(&mut self, o: &Observation) {
        if self.looked || self.above {
            return;
        }
        if jet_on_surface(o) {
            if mean(o, Channel::Gauge) > self.at_most_bar {
                self.above = true;
                return;
            }
            self.worked += 1;
        }
        if seconds(self.worked) >= PATCH_S && is_released(o) {
            let since = *self.looks_since.get_or_insert(o.tick);
            self.looked = o.tick.since(since) >= self.look_s;
        } else {
            self.looks_since = None;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(u8::from(self.looked)), 1.0, "test patches")
    }
}

/// How long the jet has to be on the surface before a share of that time says
/// anything, seconds (a choice of this project).
const SHARE_FROM_S: f64 = 5.0;

/// The share of the time with the jet on the surface in which the tip was as
/// far from it as the table of the nozzle says.
pub(super) struct StandOffKept {
    pct: f64,
    tables_mm: Vec<[f64; 2]>,
    on_surface: u32,
    kept: u32,
}

impl StandOffKept {
    pub fn new(pct: f64, level: &Level) -> Self {
        let nozzles = level.equipment.nozzles.iter();
        StandOffKept {
            pct,
            tables_mm: nozzles
                .map(|n| n.stand_off_m.map(|m| (1000.0 * m).round()))
                .collect(),
            on_surface: 0,
            kept: 0,
        }
    }
}

/// The place in the list of nozzles of the one that is on the lance.
fn nozzle(o: &Observation) -> Option<usize> {
    usize::try_from(o.sample(Channel::Nozzle)?.mean)
        .ok()?
        .checked_sub(1)
}

impl Seen for StandOffKept {
    fn see(&mut self, o: &Observation) {
        if !jet_on_surface(o) {
            return;
        }
        self.on_surface += 1;
        let table = nozzle(o).and_then(|place| self.tables_mm.get(place));
        if let Some([least, most]) = table
            && (*least..=*most).contains(&mean(o, Channel::StandOff))
        {
            self.kept += 1;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let kept_pct = if seconds(self.on_surface) >= SHARE_FROM_S {
            100.0 * f64::from(self.kept) / f64::from(self.on_surface)
        } else {
            0.0
        };
        (kept_pct, self.pct, "%")
    }
}

/// The share of the cleaning that was done with the nozzle of the job.
#[derive(Default)]
pub(super) struct NozzleChanged {
    steps: u32,
    with_the_right_one: u32,
}

impl Seen for NozzleChanged {
    fn see(&mut self, o: &Observation) {
        let steps = o.steps.len() as u32;
        self.steps += steps;
        // The first in the list is the one that the job asks for.
        if nozzle(o) == Some(0) {
            self.with_the_right_one += steps;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let pct = 100.0 * f64::from(self.with_the_right_one) / f64::from(self.steps.max(1));
        (pct, 100.0, "%")
    }
}

/// Somebody walked in, and every cause to stop was answered in time. Whoever
/// has no water running while they are there has nothing to stop.
pub(super) struct StoppedForIntruder {
    cues: Cues,
    came: bool,
}

impl StoppedForIntruder {
    pub fn new(level: &Level) -> Self {
        StoppedForIntruder {
            cues: Cues::new(level),
            came: false,
        }
    }
}

impl Seen for StoppedForIntruder {
    fn see(&mut self, o: &Observation) {
        self.cues.see(o);
        self.came |= on(o, Channel::Intruder) || !self.cues.all().is_empty();
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        let done = self.came && self.cues.all().iter().all(Cue::is_met);
        (f64::from(u8::from(done)), 1.0, "times stopped")
    }
    fn had_occasion(&self) -> bool {
        self.came
    }
}

/// At the end the line is empty, the catch is on and the tool is put away.
pub(super) struct LanceLeftSafe {
    zero_bar: f64,
    safe: bool,
}

impl LanceLeftSafe {
    pub fn new(level: &Level) -> Self {
        LanceLeftSafe {
            zero_bar: level.region.limits.zero_bar.value,
            safe: false,
        }
    }
}

impl Seen for LanceLeftSafe {
    fn see(&mut self, o: &Observation) {
        if o.events.contains(&Event::HandedBack) {
            self.safe = mean(o, Channel::GunPressure) <= self.zero_bar
                && on(o, Channel::SafetyCatch)
                && mean(o, Channel::ToolAt) != tool_at::HANDS;
        }
    }
    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(u8::from(self.safe)), 1.0, "left safe")
    }
}
