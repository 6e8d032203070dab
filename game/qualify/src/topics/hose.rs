//! Hoses: friction, wave speed and the pressure of a wave.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{HOSE_FRICTION, Row, WAVE_SPEED, rows};
use hydraulics::friction::{REYNOLDS_FLOOR, churchill};
use hydraulics::hose::Passage;
use hydraulics::storage::{effective_modulus_pa, thick_tube_modulus_pa, wave_speed_m_s};
use hydraulics::units::VolumeFlow;
use hydraulics::water::{ATMOSPHERE_PA, Water};

const LINE: &[Part] = &[Part::Line];
const CHURCHILL: &[&str] = &["churchill"];
const COLEBROOK: &[&str] = &["colebrook"];
const WAVES: &[&str] = &["wave_speed"];

pub const QUANTITIES: &[Quantity] = &[
    Quantity {
        id: "friction_factor",
        unit: "1",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: CHURCHILL,
        parts: LINE,
        gather: |c| friction(c, "f_churchill"),
    },
    Quantity {
        id: "friction_factor_colebrook",
        unit: "1",
        kind: Kind::Relative,
        tolerance: 0.02,
        sources: COLEBROOK,
        parts: LINE,
        gather: |c| friction(c, "f_colebrook"),
    },
    Quantity {
        id: "loss_of_a_metre",
        unit: "bar/m",
        kind: Kind::Relative,
        tolerance: 1.0e-4,
        sources: CHURCHILL,
        parts: LINE,
        gather: |c| loss(c, "dP_bar_per_m_churchill"),
    },
    Quantity {
        id: "loss_of_a_metre_colebrook",
        unit: "bar/m",
        kind: Kind::Relative,
        tolerance: 0.02,
        sources: COLEBROOK,
        parts: LINE,
        gather: |c| loss(c, "dP_bar_per_m_colebrook"),
    },
    Quantity {
        id: "wall_modulus",
        unit: "GPa",
        kind: Kind::Relative,
        tolerance: 1.0e-5,
        sources: &["thick_tube"],
        parts: LINE,
        gather: wall_modulus,
    },
    Quantity {
        id: "effective_modulus",
        unit: "GPa",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: WAVES,
        parts: LINE,
        gather: |c| waves(c, "Ke_GPa", |modulus, _| 1.0e-9 * modulus),
    },
    Quantity {
        id: "wave_speed",
        unit: "m/s",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: WAVES,
        parts: LINE,
        gather: |c| waves(c, "a_m_s", wave_speed_m_s),
    },
    // Of a flow that is stopped by 1 m/s at once.
    Quantity {
        id: "joukowsky_pressure",
        unit: "bar",
        kind: Kind::Relative,
        tolerance: 0.001,
        sources: WAVES,
        parts: LINE,
        gather: |c| {
            waves(c, "joukowsky_bar_per_m_s", |modulus, density| {
                1.0e-5 * density * wave_speed_m_s(modulus, density)
            });
        },
    },
];

fn at(row: &Row) -> String {
    let [id, eps, q, t, p] = ["ID_mm", "eps_mm", "Q_L_min", "T_C", "P_bar"].map(|k| row.text(k));
    format!("{id} mm, rough {eps} mm, {q} L/min, {t} degC, {p} bar")
}

/// Where the flow is turbulent, which is where hoses of jetting are and where the core follows it.
fn turbulent() -> impl Iterator<Item = Row> {
    let least = REYNOLDS_FLOOR.max(4_000.0);
    let laminar = move |row: &Row| (0.0..least).contains(&row.number("Re"));
    let rows = rows(HOSE_FRICTION).into_iter();
    rows.filter(move |row| !laminar(row))
}

fn friction(c: &mut Cases, column: &str) {
    for row in turbulent() {
        let rough = row.number("eps_mm") / row.number("ID_mm");
        let ours = churchill(row.number("Re"), rough);
        c.take(at(&row), ours, row.number(column));
    }
}

fn loss(c: &mut Cases, column: &str) {
    for row in turbulent() {
        let water = Water::at_celsius(row.number("T_C"));
        let p = row.pascal("P_bar");
        let flow = VolumeFlow::from_litres_per_minute(row.number("Q_L_min")).m3_per_s();
        let metre = Passage {
            bore_m: 1.0e-3 * row.number("ID_mm"),
            length_m: 1.0,
            roughness_m: 1.0e-3 * row.number("eps_mm"),
            loss: 0.0,
        };
        let m = flow * water.density(p);
        let ours = metre.resistance(m, water.density(p), water.viscosity(p)) * m * m;
        c.take(at(&row), 1.0e-5 * ours, row.number(column));
    }
}

/// The number behind a name, as in `ID9.5` or `E 207 GPa`.
fn named(text: &str, name: &str) -> Option<f64> {
    let (_, behind) = text.split_once(name)?;
    let number = |c: char| c.is_ascii_digit() || c == '.';
    let behind = behind.trim_start();
    let end = behind.find(|c| !number(c)).unwrap_or(behind.len());
    behind[..end].parse().ok()
}

/// Lines whose text gives the measures of a tube.
fn wall_modulus(c: &mut Cases) {
    for row in rows(WAVE_SPEED) {
        let text = row.text("line");
        let of = |name| named(text, name).unwrap_or(f64::NAN);
        if !text.contains("thick wall") {
            continue;
        }
        let ours = thick_tube_modulus_pa(1.0e9 * of("E "), of("nu "), of(" OD") / of(" ID"));
        let case = format!("{} bar, {text}", row.text("P_bar"));
        c.take(case, 1.0e-9 * ours, row.number("Kh_GPa"));
    }
}

/// With our own water; the wall's modulus is given.
fn waves(c: &mut Cases, column: &str, of: impl Fn(f64, f64) -> f64) {
    let water = Water::at_celsius(20.0);
    for row in rows(WAVE_SPEED) {
        let p = row.pascal("P_bar") + ATMOSPHERE_PA;
        let wall = 1.0e9 * row.number("Kh_GPa");
        let modulus = effective_modulus_pa(water.isentropic_modulus(p), wall);
        let case = format!("{} bar, {}", row.text("P_bar"), row.text("line"));
        c.take(case, of(modulus, water.density(p)), row.number(column));
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn measures_are_read_out_of_words() {
        let text = "steel tube ID9.5 OD14.3 (thick wall, E 207 GPa, nu 0.3)";
        let found = [" ID", " OD", "E ", "nu ", "none"].map(|name| super::named(text, name));
        assert_eq!(found, [Some(9.5), Some(14.3), Some(207.0), Some(0.3), None]);
    }
}
