//! What goes wrong in a level.

use crew::{Fault, Source};

use crate::data::{Cell, Reader};
use crate::faults::{Draw, Faults, LATEST_S, Moment, Planned, whole};
use crate::text::number;

/// Longest list of faults.
const MOST: usize = 64;

/// Reads what is in store.
pub(super) fn faults(r: &mut Reader<'_, '_>) -> Faults {
    Faults {
        sure: r
            .option("sure", |c| c.list(0..=MOST, planned))
            .unwrap_or_default(),
        drawn: r.option("drawn", |c| c.record("Draw", draw)),
    }
}

fn draw(r: &mut Reader<'_, '_>) -> Draw {
    let mark = r.mark();
    let least: u32 = r.whole("least", 0..=MOST as u32);
    let most: u32 = r.whole("most", 0..=MOST as u32);
    let of = r.list("of", 1..=MOST, planned);
    let values = |low: f64, high: f64| vec![("low", number(low, 0)), ("high", number(high, 0))];
    let there = of.len() as u32;
    let range = values(f64::from(least), f64::from(most));
    r.check_since(mark, "most", most >= least, "data-clash-draw-order", range);
    let range = values(f64::from(there), f64::from(most));
    r.check_since(mark, "most", most <= there, "data-clash-draw-list", range);
    Draw { least, most, of }
}

fn planned(c: &mut Cell<'_, '_>) -> Planned {
    const MOMENTS: [(&str, Moment); 3] = [
        ("Begin", Moment::Begin),
        ("Water", Moment::Water),
        ("JobPressure", Moment::JobPressure),
    ];
    let names = Fault::ALL.map(|fault| (fault.id(), fault));
    c.record("Fault", |r| {
        let fault = r.word("fault", &names);
        let extent = fault.extent();
        let greatest = f64::from(extent.top) / extent.per_unit;
        let amount = if extent.unit.is_empty() {
            r.option("amount", |c| c.f64(0.0..=greatest))
                .unwrap_or(greatest)
        } else {
            r.f64("amount", 0.0..=greatest)
        };
        Planned {
            fault,
            amount: whole(amount, fault),
            after: r
                .option("after", |c| c.word(&MOMENTS))
                .unwrap_or(Moment::Begin),
            s: r.option("s", |c| c.f64(0.0..=LATEST_S)).unwrap_or(0.0),
            source: Source::Fault,
        }
    })
}
