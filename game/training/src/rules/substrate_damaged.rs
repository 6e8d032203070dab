//! The deposit comes off and what it lies on stays as it is.

use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Cleaned, Honesty, Level, Observation};
use crew::Seat;

/// No more than a share of the surface is damaged under its deposits: by too much pressure for
/// what it is made of, too near, too long on one spot, or by a nozzle that strikes harder than the
/// job's. Where the level says of nothing what the deposits lie on, there is nothing to damage.
pub struct SubstrateDamaged;

impl Rule for SubstrateDamaged {
    fn id(&self) -> &'static str {
        "substrate_damaged"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "published caps by material, WRc Sewer Jetting Code of Practice (2005), as reported by secondary pages: the pressure suits what is cleaned; the share: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Derived
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::SurfaceClean]
    }
    fn details(&self) -> &'static [&'static str] {
        &["too_much"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            cleaned: level.surface.as_ref().map(Cleaned::new),
            most_pct: level.region.limits.damaged_max_pct.value,
            found: false,
        })
    }
}

struct Watching {
    cleaned: Option<Cleaned>,
    most_pct: f64,
    found: bool,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let Some(cleaned) = &mut self.cleaned else {
            return;
        };
        if o.steps.is_empty() {
            return;
        }
        for step in &o.steps {
            cleaned.take(*step);
        }
        let pct = cleaned.damaged_pct();
        if self.found {
            // What is damaged stays so: one breach, told with what it came to.
            found.came_to("too_much", pct);
        } else if pct > self.most_pct {
            self.found = true;
            found.add(o, "too_much", pct, self.most_pct, "%");
        }
    }
}
