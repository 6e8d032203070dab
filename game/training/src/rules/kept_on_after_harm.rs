//! After harm the water stops, and does not start again.

use super::line::{is_fed, mean, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, HurtGrade, Level, Observation};
use crew::{Seat, Tick};

/// Once somebody has been hurt or the hose has parted, the pump no longer feeds the line after a
/// limit, and does not feed it again: not before the hose is as new, and not in this attempt where
/// somebody has to be taken to a doctor. Who is hurt themselves is not asked to act.
pub struct KeptOnAfterHarm;

impl Rule for KeptOnAfterHarm {
    fn id(&self) -> &'static str {
        "kept_on_after_harm"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "European Journal of Trauma and Emergency Surgery 45 (2019), 507-515 (make safe, then help); HSE press release of 27 September 2013 (a second victim minutes after the restart); the seconds: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Derived
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::PumpPressure,
            Channel::HoseParted,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["hurt", "parted", "again"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            post: level.post,
            within_s: limits.harm_stopped_within_s.value,
            danger_bar: limits.danger_bar.value,
            hurt: None,
            parted: None,
        })
    }
}

/// What happened, and what became of the water since.
struct Harm {
    at: Tick,
    stopped: bool,
    found: bool,
}

struct Watching {
    post: Seat,
    within_s: f64,
    danger_bar: f64,
    hurt: Option<Harm>,
    parted: Option<Harm>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let new = || Harm {
            at: o.tick,
            stopped: false,
            found: false,
        };
        for event in &o.events {
            if let Event::Hurt { seat, grade, .. } = *event
                && seat != self.post
                && grade >= HurtGrade::Injury
            {
                self.hurt.get_or_insert_with(new);
            }
        }
        if on(o, Channel::HoseParted) {
            self.parted.get_or_insert_with(new);
        } else {
            self.parted = None;
        }
        let fed = is_fed(o);
        let bar = mean(o, Channel::PumpPressure);
        for (harm, detail) in [(&mut self.hurt, "hurt"), (&mut self.parted, "parted")] {
            let Some(harm) = harm.as_mut().filter(|harm| !harm.found) else {
                continue;
            };
            let waited_s = o.tick.since(harm.at);
            if !fed {
                harm.stopped = true;
            } else if harm.stopped && bar > self.danger_bar {
                harm.found = true;
                found.add(o, "again", bar, self.danger_bar, "bar");
            } else if !harm.stopped && waited_s > self.within_s {
                harm.found = true;
                found.add(o, detail, waited_s, self.within_s, "s");
            }
        }
    }
}
