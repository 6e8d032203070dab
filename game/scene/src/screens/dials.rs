//! The small dials of the unit in words: what the pump draws from, the oil of its
//! power end, and the tank.

use super::units::amount;
use crate::settings::Units;
use training::text::say;
use yard::second::SecondView;
use yard::view::MachineView;

/// A small dial is not read closer than this, bar.
const READ_BAR: f64 = 0.1;

/// A pressure as a small dial is read.
fn bar(units: Units, pa: f64) -> String {
    let read = (pa / 1e5 / READ_BAR).round() * READ_BAR;
    // A needle on its pin is at nought, and not below it.
    amount(
        units,
        if read.abs() < 0.5 * READ_BAR {
            0.0
        } else {
            read
        },
        "bar",
    )
}

/// A temperature as a small dial is read.
fn heat(units: Units, c: f64) -> String {
    amount(units, c.round(), "°C")
}

/// Oil pressure and temperature, in one line.
fn oil(machine: &MachineView, units: Units) -> String {
    say(
        "scene-dials-oil",
        &[
            ("pressure", &bar(units, machine.oil_pa)),
            ("heat", &heat(units, machine.oil_c)),
        ],
    )
}

/// All of them, a line each, with what is read.
pub(super) fn lines(machine: &MachineView, units: Units) -> Vec<(&'static str, String)> {
    let guard = if machine.oil_tripped {
        "scene-dials-guard-stopped"
    } else {
        "scene-dials-guard-off"
    };
    vec![
        ("scene-tag-inlet", bar(units, machine.inlet_pa)),
        ("scene-tag-oil", oil(machine, units)),
        ("scene-tag-tank", heat(units, machine.tank_c)),
        ("scene-tag-guard", say(guard, &[])),
    ]
}

/// A gauge of a line is not read closer than this, bar.
const LINE_READ_BAR: f64 = 10.0;

/// What the gauge of the second line shows, as it is read.
pub(super) fn line(second: &SecondView, units: Units) -> String {
    let read = (second.pressure_pa / 1e5 / LINE_READ_BAR).round() * LINE_READ_BAR;
    amount(units, read.max(0.0), "bar")
}

/// The same as is said of them in practice, without being held close.
pub(super) fn words(machine: &MachineView, units: Units) -> String {
    let said = [
        ("scene-hud-inlet", bar(units, machine.inlet_pa)),
        ("scene-hud-oil", oil(machine, units)),
        ("scene-hud-tank", heat(units, machine.tank_c)),
    ];
    let mut words: Vec<String> = said
        .into_iter()
        .map(|(id, amount)| say(id, &[("amount", &amount)]))
        .collect();
    if machine.oil_tripped {
        words.push(say("scene-hud-guard", &[]));
    }
    words.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_dials_are_read_to_a_tenth_and_below_nought() {
        let mut machine = MachineView {
            inlet_pa: 1.83e5,
            oil_pa: 4.16e5,
            oil_c: 61.3,
            tank_c: 23.8,
            ..MachineView::default()
        };
        let said = words(&machine, Units::Metric);
        assert_eq!(said, "Inlet 1.8 bar\nOil 4.2 bar, 61 °C\nTank 24 °C");
        machine.inlet_pa = -0.47e5;
        machine.oil_tripped = true;
        let said = words(&machine, Units::Metric);
        assert!(said.starts_with("Inlet -0.5 bar\n"), "{said}");
        assert!(said.ends_with("\nOil guard: engine stopped"), "{said}");
        machine.inlet_pa = -300.0;
        assert_eq!(lines(&machine, Units::Metric)[0].1, "0 bar");
    }
}
