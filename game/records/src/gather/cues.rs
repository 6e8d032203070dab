//! How long it took from a cause to stop to the act, at the trainee's post.
//!
//! The cues are those of the rules, so that the page never tells another time
//! than the mark was made by; only what the dump did then is added.

use crate::sheet::Stop;
use training::rules::cue::Cues;
use training::{Channel, Level, Observation};

/// Watches for causes and for the acts that they ask for.
pub(super) struct Stops {
    cues: Cues,
    /// For each cue so far, seconds until the dump stood open.
    open_s: Vec<Option<f64>>,
}

impl Stops {
    pub(super) fn new(level: &Level) -> Self {
        Stops {
            cues: Cues::new(level),
            open_s: Vec::new(),
        }
    }

    pub(super) fn see(&mut self, o: &Observation) {
        self.cues.see(o);
        let cues = self.cues.all();
        self.open_s.resize(cues.len(), None);
        if o.mean(Channel::DumpOpen).is_some_and(|open| open >= 95.0) {
            for (cue, open_s) in cues.iter().zip(&mut self.open_s) {
                open_s.get_or_insert(o.tick.since(cue.tick));
            }
        }
    }

    pub(super) fn finish(&self) -> Vec<Stop> {
        let all = self.cues.all().iter().zip(&self.open_s);
        all.map(|(&cue, &open_s)| Stop { cue, open_s }).collect()
    }
}
