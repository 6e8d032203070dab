//! Two tools on one pump: when the one shuts, the other must not be jolted.

use super::line::{mean, on};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// While somebody holds a jet, the push of it does not change by more than a limit because the other
/// tool on the same pump opens or shuts. Whoever runs the pump keeps enough water on the bypass.
pub struct PartnerJolted;

impl Rule for PartnerJolted {
    fn id(&self) -> &'static str {
        "partner_jolted"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "DGUV Regel 100-500 chapter 2.36, 3.7.2; Norwegian Regulations concerning the Performance of Work, section 20-6 (two guns on one pump only if one cannot jolt the other)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::NozzleFitted,
            Channel::Trigger,
            Channel::Thrust,
            Channel::Pedal,
            Channel::PedalOutlet,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["jolted"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            limit_pct: level.region.limits.thrust_jump_max_pct.value,
            jolts: Jolts::default(),
            worst_pct: None,
        })
    }
}

struct Watching {
    limit_pct: f64,
    jolts: Jolts,
    /// The greatest since the last that was within the limit, once one was beyond it: who has too little
    /// water for two jolts the other at every turn, and that is one mistake.
    worst_pct: Option<f64>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let Some(jolt) = self.jolts.see(o) else {
            return;
        };
        if jolt.pct <= self.limit_pct {
            if self.worst_pct.take().is_some() {
                found.mend(o.tick, "jolted");
            }
            return;
        }
        let worst_pct = self.worst_pct.map_or(jolt.pct, |worst| worst.max(jolt.pct));
        if self.worst_pct.is_some() {
            found.came_to("jolted", worst_pct);
        } else {
            found.add(o, "jolted", jolt.pct, self.limit_pct, "%");
        }
        self.worst_pct = Some(worst_pct);
    }
}

/// The trigger counts as held from here, percent (a choice of this project).
const HELD_PCT: f64 = 90.0;
/// The pedal counts as down from here, percent (a choice of this project).
const DOWN_PCT: f64 = 50.0;
/// The push is a push from here, newtons (a choice of this project).
const PUSH_N: f64 = 20.0;
/// The trigger must have been held for so long before, seconds (a choice of this project: the start of
/// one's own jet is a jolt of its own).
const STEADY_S: f64 = 1.0;
/// For so long a change of the push is put down to the other tool, seconds (a choice of this project:
/// what comes slower is no jolt).
const JOLT_S: f64 = 1.5;

/// How the push on the one who holds a jet changed when the other tool opened or shut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Jolt {
    /// Greatest change of the push, percent of what it was.
    pub pct: f64,
    /// The other tool shut; otherwise it opened.
    pub shut: bool,
}

/// Sees the jolts of an attempt.
#[derive(Clone, Debug, Default)]
pub(crate) struct Jolts {
    held_since: Option<Tick>,
    was_down: bool,
    /// Push as it was last seen.
    push_n: f64,
    /// Since when the other tool has been seen to open or shut, the push before, the greatest change
    /// since.
    going: Option<(Tick, f64, Jolt)>,
}

impl Jolts {
    /// Sees a tick; tells of a jolt when it is over.
    pub fn see(&mut self, o: &Observation) -> Option<Jolt> {
        let push_n = mean(o, Channel::Thrust);
        let down = mean(o, Channel::Pedal) >= DOWN_PCT && on(o, Channel::PedalOutlet);
        let turned = down != self.was_down;
        self.was_down = down;
        let before_n = self.push_n;
        self.push_n = push_n;
        let held = on(o, Channel::EngineRuns)
            && on(o, Channel::NozzleFitted)
            && mean(o, Channel::Trigger) >= HELD_PCT;
        if !held {
            self.held_since = None;
            // Whoever lets go in the middle of it was jolted up to then.
            return self.going.take().map(|(.., jolt)| jolt);
        }
        let since = *self.held_since.get_or_insert(o.tick);
        if turned && o.tick.since(since) >= STEADY_S && before_n > PUSH_N {
            let none = Jolt {
                pct: 0.0,
                shut: !down,
            };
            let last = self.going.replace((o.tick, before_n, none));
            return last.map(|(.., jolt)| jolt);
        }
        let (began, before_n, jolt) = self.going.as_mut()?;
        let by = 100.0 * (push_n / *before_n - 1.0);
        jolt.pct = jolt.pct.max(if jolt.shut { by } else { -by });
        let over = o.tick.since(*began) >= JOLT_S;
        if over {
            self.going.take().map(|(.., jolt)| jolt)
        } else {
            None
        }
    }
}
