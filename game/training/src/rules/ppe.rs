//! Protective equipment is worn as long as there is pressure.

use super::breach::{Breach, Turn};
use super::line::{is_dumped, max, mean};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Ppe, Seat};

/// While the line is under pressure, the trainee wears every piece that the
/// level asks for. What the others wear is theirs to answer for.
pub struct PpeWorn;

impl Rule for PpeWorn {
    fn id(&self) -> &'static str {
        "ppe"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "DGUV Information 214-022, 3.1 (face, body, foot and hearing protection at cleaning with jets), as reported by secondary pages; Norwegian Labour Inspection Authority, page on protective equipment for high-pressure jetting; Directive 2003/10/EC (hearing)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::DumpOpen,
            Channel::PumpPressure,
            Channel::GunPressure,
            Channel::PumpHandWears,
            Channel::LanceHandWears,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &[
            "helmet",
            "visor",
            "ear_defenders",
            "gloves",
            "suit",
            "boots",
        ]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            danger_bar: level.region.limits.danger_bar.value,
            required: level.ppe.required,
            wears: if level.post == Seat::LANCE {
                Channel::LanceHandWears
            } else {
                Channel::PumpHandWears
            },
            bare: Breach::default(),
            found: None,
        })
    }
}

struct Watching {
    danger_bar: f64,
    required: u8,
    wears: Channel,
    bare: Breach,
    /// The piece that was last found missing.
    found: Option<&'static str>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let bar = mean(o, Channel::PumpPressure).max(mean(o, Channel::GunPressure));
        let live = !is_dumped(o) && bar > self.danger_bar;
        let worn = max(o, self.wears) as u8;
        let missing = (Ppe::ALL.into_iter())
            .find(|piece| self.required & !worn & piece.bit() != 0)
            .filter(|_| live)
            .map(Ppe::id);
        match (self.bare.see(o.tick, missing.is_some(), 0.0), missing) {
            (Turn::Found(_), Some(piece)) => {
                let count = |set: u8| f64::from(set.count_ones());
                let worn = count(self.required & worn);
                found.add(o, piece, worn, count(self.required), "pieces");
                self.found = Some(piece);
            }
            (Turn::Over(at), _) => {
                if let Some(piece) = self.found {
                    found.mend(at, piece);
                }
            }
            _ => {}
        }
    }
}
