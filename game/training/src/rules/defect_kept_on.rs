//! What is out of order is not worked with.

use super::line::{is_dumped, is_fed, mean, on};
use super::{BOTH_POSTS, Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::{Fault, Part, Seat, TICKS_PER_SECOND};

/// Once a part has failed in a way that shows, the pressure is taken away in time, and the part is not
/// used again before it is as new.
pub struct DefectKeptOn;

impl Rule for DefectKeptOn {
    fn id(&self) -> &'static str {
        "defect_kept_on"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-9 (defective equipment is not used); how soon it has to be noticed is a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        BOTH_POSTS
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::PumpPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &[
            "dump",
            "gun",
            "regulator",
            "relief",
            "nozzle",
            "pump",
            "engine",
            "hose",
            "gauge",
            "stop",
        ]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            danger_bar: limits.danger_bar.value,
            test_max_bar: limits.stop_test_max_bar.value,
            stopped_within_s: limits.trouble_stopped_within_s.value,
            found_within_s: limits.defect_found_within_s.value,
            standing: Vec::new(),
            torn: None,
        })
    }
}

/// How a fault shows itself.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sign {
    /// At once, by needle, sound, jet or push.
    Plain,
    /// To whoever tests, measures and compares: it is to be found before there is more pressure than
    /// tests need.
    Slight,
    /// Not at all until something else fails, or judged elsewhere.
    None,
}

fn sign(fault: Fault) -> Sign {
    match fault {
        Fault::GunStuck
        | Fault::AirLost
        | Fault::RegulatorStuck
        | Fault::RegulatorHunts
        | Fault::NozzleBlocked
        | Fault::PumpValveLeaks
        | Fault::HoseLeaks
        | Fault::HoseParted
        | Fault::PumpCouplingParts => Sign::Plain,
        Fault::DumpSlow
        | Fault::DumpStuck
        | Fault::DumpLeaks
        | Fault::GunLeaks
        | Fault::SeatWorn
        | Fault::ReliefWeak
        | Fault::NozzleWorn
        | Fault::PackingWorn
        | Fault::EngineWeak
        | Fault::OilLow
        | Fault::GaugeStuck
        | Fault::StopDead => Sign::Slight,
        // A pump that starves is the concern of a rule of its own, whatever starves it. Oil that grows
        // hot does so in longer than any attempt lasts, and then stops the engine.
        Fault::ReliefStuck | Fault::SupplyWeak | Fault::StrainerFouled | Fault::CoolerFouled => {
            Sign::None
        }
    }
}

/// A fault that is there.
struct Standing {
    fault: Fault,
    /// Ticks under pressure since.
    ticks: u32,
    found: bool,
}

struct Watching {
    danger_bar: f64,
    test_max_bar: f64,
    stopped_within_s: f64,
    found_within_s: f64,
    standing: Vec<Standing>,
    /// Ticks for which a pump has fed its torn disc, until that is found.
    torn: Option<u32>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        if o.events.contains(&Event::DiscBurst) {
            self.torn = Some(0);
        }
        if let Some(ticks) = &mut self.torn {
            *ticks += u32::from(is_fed(o));
            let for_s = f64::from(*ticks) / f64::from(TICKS_PER_SECOND);
            if for_s > self.stopped_within_s {
                found.add(o, Part::Relief.id(), for_s, self.stopped_within_s, "s");
                self.torn = None;
            }
        }
        for event in &o.events {
            if let Event::Failed { fault, amount } = *event {
                self.standing.retain(|s| s.fault != fault);
                if amount > 0 && sign(fault) != Sign::None {
                    self.standing.push(Standing {
                        fault,
                        ticks: 0,
                        found: false,
                    });
                }
            }
        }
        if self.standing.is_empty() {
            return;
        }
        // What an engine that stands has left in the line is another rule's concern, and what a running
        // pump still raises against an open dump is nobody's.
        let bar = if on(o, Channel::EngineRuns) && !is_dumped(o) {
            mean(o, Channel::PumpPressure)
        } else {
            0.0
        };
        for standing in &mut self.standing {
            let (above_bar, limit_s) = match sign(standing.fault) {
                Sign::Plain => (self.danger_bar, self.stopped_within_s),
                Sign::Slight | Sign::None => (self.test_max_bar, self.found_within_s),
            };
            standing.ticks += u32::from(bar > above_bar);
            let for_s = f64::from(standing.ticks) / f64::from(TICKS_PER_SECOND);
            if for_s > limit_s && !standing.found {
                standing.found = true;
                found.add(o, standing.fault.part().id(), for_s, limit_s, "s");
            }
        }
    }
}
