//! `catalogue/nozzles.ron`: nozzles, and what becomes of their jets.

use hydraulics::{JetKind, JetSpec, NozzleSpec};

use super::parts::{Origin, Stated, TITLE, origin, stated, stated_or_known, words};
use super::si::{m, rad};
use crate::data::{Ids, Reader};
use crate::level::{self, Words};
use crate::text::number;

/// Shape of the jet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JetShape {
    /// One round jet.
    Round,
    /// A flat fan.
    Fan,
    /// A round jet that is led around a cone.
    Rotating,
}

/// A nozzle of the catalogue.
#[derive(Clone, Debug, PartialEq)]
pub struct Nozzle {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: Words,
    /// Where its figures come from.
    pub origin: Origin,
    /// Shape of its jet.
    pub shape: JetShape,
    /// As the water sees it.
    pub water: NozzleSpec,
    /// Its discharge and its velocity coefficient.
    pub coefficients: [Stated; 2],
    /// What becomes of its jet; nothing in a recording from before this was asked for.
    pub jet: Option<Jet>,
}

/// What becomes of the jet of a nozzle.
#[derive(Clone, Debug, PartialEq)]
pub struct Jet {
    /// Where its figures come from.
    pub origin: Origin,
    /// Shape, with its measures.
    pub kind: JetKind,
    /// Length of the core in diameters of the jet.
    pub core_diameters: Stated,
    /// Exponent of the decay of the pressure behind the core.
    pub decay: Stated,
    /// The stand-off that its table gives, least and greatest, metres.
    pub stand_off_m: [f64; 2],
}

impl Nozzle {
    /// The nozzle as a level lays it out at the lance post.
    pub(super) fn laid_out(&self) -> level::Nozzle {
        let (jet, stand_off_m) = match &self.jet {
            Some(jet) => (
                JetSpec {
                    kind: jet.kind,
                    core_diameters: jet.core_diameters.value,
                    decay: jet.decay.value,
                },
                jet.stand_off_m,
            ),
            // Levels of that time have no surface, so nobody asks.
            None => (
                JetSpec {
                    kind: JetKind::Round,
                    core_diameters: 1.0,
                    decay: 1.0,
                },
                [0.0; 2],
            ),
        };
        level::Nozzle {
            id: self.id.clone(),
            title: self.title.clone(),
            water: self.water,
            jet,
            stand_off_m,
        }
    }
}

/// Reads one nozzle.
pub(super) fn nozzle_row(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Nozzle {
    const SHAPES: [(&str, JetShape); 3] = [
        ("Round", JetShape::Round),
        ("Fan", JetShape::Fan),
        ("Rotating", JetShape::Rotating),
    ];
    let (id, title) = (r.new_id("id", ids), r.field("title", |c| words(c, TITLE)));
    let origin = origin(r);
    let mark = r.mark();
    let shape = r.word("kind", &SHAPES);
    // With a stand-in for the shape, nothing can be said of its measures.
    let measured = r.is_clean_since(mark).then_some(shape);
    let bore_m = m(r.f64("bore_mm", 0.05..=20.0));
    let coefficients = ["cd", "cv"].map(|name| stated_or_known(r, name, 0.1..=1.0));
    let [cd, cv] = coefficients.map(|c| c.value);
    Nozzle {
        id,
        title,
        origin,
        shape,
        water: NozzleSpec::round(bore_m, cd, cv),
        coefficients,
        jet: r.later("jet", |c| c.record("Jet", |r| jet(r, measured))),
    }
}

/// The ranges are those of `JetSpec::validate`, in the units of the trade.
fn jet(r: &mut Reader<'_, '_>, shape: Option<JetShape>) -> Jet {
    let jet = Jet {
        origin: origin(r),
        core_diameters: stated(r, "core_diameters", 1.0..=1_000.0),
        decay: stated(r, "decay", 0.5..=3.0),
        stand_off_m: r.field("stand_off_mm", |c| c.numbers(1.0..=2_000.0)).map(m),
        kind: match shape {
            Some(JetShape::Round) => JetKind::Round,
            Some(JetShape::Fan) => JetKind::Fan {
                spread_rad: rad(r.f64("spread_deg", 1.0..=110.0)),
            },
            Some(JetShape::Rotating) => JetKind::Rotating {
                cone_rad: rad(r.f64("cone_deg", 0.0..=57.0)),
                radius_m: m(r.f64("exit_radius_mm", 0.0..=100.0)),
                turns_per_s: r.f64("turns_per_s", 0.1..=500.0),
            },
            None => {
                for name in ["spread_deg", "cone_deg", "exit_radius_mm", "turns_per_s"] {
                    let _ = r.option(name, |_| ());
                }
                JetKind::Round
            }
        },
    };
    let [least, greatest] = jet.stand_off_m;
    r.check(
        "stand_off_mm",
        least < greatest,
        "data-clash-stand-off-order",
        vec![
            ("least", number(least * 1.0e3, 0)),
            ("greatest", number(greatest * 1.0e3, 0)),
        ],
    );
    jet
}
