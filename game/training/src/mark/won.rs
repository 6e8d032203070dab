//! How much of the surface is clean, as far as it counts.

use crate::level::Surface;
use crate::{Cleaned, SurfaceStep};
use crew::Tick;

/// How long after a critical finding nothing that is cleaned counts, seconds (a
/// choice of this project: most critical breaches have no end that could be
/// told, and none is worth working through).
const LOST_FOR_S: f64 = 2.0;

/// What was cleaned, less what was cleaned in the tick of a critical finding
/// and shortly after it. Such steps are lost for good: a cell that took one
/// then never counts as clean.
pub(super) struct Won {
    cleaned: Cleaned,
    /// Steps of each cell as reported, those that do not count included.
    taken: Vec<u8>,
    lost: Vec<u8>,
    critical: Option<Tick>,
}

impl Won {
    pub fn new(surface: &Surface) -> Self {
        let cleaned = Cleaned::new(surface);
        let none = vec![0; cleaned.steps().len()];
        Won {
            cleaned,
            taken: none.clone(),
            lost: none,
            critical: None,
        }
    }

    /// Something critical was found in this tick.
    pub fn spoil(&mut self, now: Tick) {
        self.critical = Some(now);
    }

    /// Takes in the steps of a tick, after its findings.
    pub fn take(&mut self, now: Tick, steps: &[SurfaceStep]) {
        let counts = self.critical.is_none_or(|t| now.since(t) > LOST_FOR_S);
        for step in steps {
            let place = usize::try_from(step.cell).unwrap_or(usize::MAX);
            let (Some(taken), Some(lost)) = (self.taken.get_mut(place), self.lost.get_mut(place))
            else {
                continue;
            };
            // What goes on below the deposits cleans nothing.
            let wanted = self.cleaned.wanted().get(place).copied().unwrap_or(0);
            let more = step.steps.min(wanted).saturating_sub(*taken);
            *taken += more;
            if counts {
                self.cleaned.take(SurfaceStep {
                    cell: step.cell,
                    steps: *taken - *lost,
                });
            } else {
                *lost += more;
            }
        }
    }

    /// Share of the surface that counts as clean, percent.
    pub fn clean_pct(&self) -> f64 {
        self.cleaned.clean_pct()
    }
}
