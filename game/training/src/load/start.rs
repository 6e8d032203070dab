//! How a level begins: machine, nozzle, what was done before, and what is worn.

use crew::{Control, Ppe};

use super::si::share;
use crate::data::{Cell, Ids, Reader};
use crate::level::{Given, PpeRules, Start};

/// The stops that a crew tests before it works.
const STOPS: [&str; 3] = ["trigger", "dump", "emergency_stop"];

/// Reads how everything stands at the start; with it comes the id of the nozzle that is on the
/// lance or lies ready, where the level names one.
pub(super) fn start(r: &mut Reader<'_, '_>, nozzles: &Ids) -> (Start, Option<String>) {
    const KEY: [(&str, u16); 2] = [("Off", 0), ("On", 1)];
    let opened = |r: &mut Reader<'_, '_>, name| u16::from(r.bool(name));
    let turned = |r: &mut Reader<'_, '_>, name, control: Control| {
        let share = share(r.f64(name, 0.0..=100.0));
        // Between 0 and the top of a u16, so nothing is cut off.
        (share * f64::from(control.top())).round() as u16
    };
    let flag =
        |r: &mut Reader<'_, '_>, name, otherwise| r.option(name, |c| c.bool()).unwrap_or(otherwise);
    let start = Start {
        controls: vec![
            (Control::Supply, opened(r, "supply_open")),
            (Control::AirBleed, opened(r, "air_bleed_open")),
            (Control::Key, r.word("key", &KEY)),
            (
                Control::Throttle,
                turned(r, "throttle_pct", Control::Throttle),
            ),
            (
                Control::Regulator,
                turned(r, "regulator_pct", Control::Regulator),
            ),
            (Control::Dump, opened(r, "dump_open")),
            (Control::EmergencyStop, opened(r, "emergency_stop_struck")),
            (Control::Bleed, opened(r, "bleed_open")),
            (
                Control::LanceOutlet,
                u16::from(flag(r, "lance_outlet_open", true)),
            ),
            (
                Control::PedalOutlet,
                u16::from(flag(r, "pedal_outlet_open", true)),
            ),
            (
                Control::PumpRestraint,
                u16::from(flag(r, "pump_restraint_clipped", true)),
            ),
            (
                Control::GunRestraint,
                u16::from(flag(r, "gun_restraint_clipped", true)),
            ),
        ],
        air_in_head: share(r.f64("air_in_head_pct", 0.0..=100.0)),
        nozzle_fitted: r.bool("nozzle_fitted"),
        nozzle: 0,
        engine_runs: flag(r, "engine_runs", false),
        barrier_closed: flag(r, "barrier_closed", true),
        tool_in_stand: flag(r, "tool_in_stand", false),
    };
    let nozzle = r.option("nozzle", |c| c.reference(nozzles));
    let at = |control| {
        start
            .controls
            .iter()
            .any(|(c, to)| *c == control && *to > 0)
    };
    let can_run = at(Control::Key) && at(Control::Supply) && !at(Control::EmergencyStop);
    r.check(
        "engine_runs",
        can_run || !start.engine_runs,
        "data-clash-engine-runs",
        vec![],
    );
    (start, nozzle)
}

/// Reads what was done and seen to before the attempt.
pub(super) fn given(r: &mut Reader<'_, '_>) -> Given {
    let stops: Ids = STOPS.into_iter().collect();
    let mut named = Ids::default();
    let flag = |r: &mut Reader<'_, '_>, name| r.option(name, |c| c.bool()).unwrap_or(false);
    Given {
        flushed: flag(r, "flushed"),
        leak_walked: flag(r, "leak_walked"),
        stops_tested: r
            .option("stops_tested", |c| {
                c.list(0..=STOPS.len(), |c| c.new_reference(&stops, &mut named))
            })
            .unwrap_or_default(),
    }
}

/// The names of the pieces of protective equipment, as words.
pub(super) fn ppe_words() -> [(&'static str, Ppe); Ppe::ALL.len()] {
    Ppe::ALL.map(|item| (item.id(), item))
}

/// Reads what has to be worn and what is worn.
pub(super) fn ppe(r: &mut Reader<'_, '_>) -> PpeRules {
    let pieces = |cell: &mut Cell<'_, '_>| {
        let mut named = Ids::default();
        let words = ppe_words();
        let list = cell.list(0..=Ppe::ALL.len(), |c| c.new_word(&words, &mut named));
        list.into_iter().fold(0, |set, item| set | item.bit())
    };
    PpeRules {
        required: r.field("required", pieces),
        pump_hand: r.field("pump_hand", pieces),
        lance_hand: r.field("lance_hand", pieces),
    }
}
