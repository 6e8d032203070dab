//! What the bypass warms.

use crate::case::Kind;
use crate::quantity::{Cases, Part, Quantity};
use crate::tables::{HEAT_TANK, Row, rows};
use hydraulics::TankSpec;
use hydraulics::tank::Tank;
use hydraulics::units::VolumeFlow;
use hydraulics::water::{ATMOSPHERE_PA, MAX_TEMPERATURE_C, Water};

/// A step, s: the tank is slow.
const STEP_S: f64 = 1.0;

pub const QUANTITIES: &[Quantity] = &[Quantity {
    id: "tank_temperature",
    unit: "degC",
    kind: Kind::Relative,
    tolerance: 0.005,
    sources: &["stirred_tank"],
    parts: &[Part::Water, Part::Regulator],
    gather: |c: &mut Cases| {
        for row in rows(HEAT_TANK) {
            let reference = row.number("T_ode_C");
            // Beyond, the core holds its water to the end of its table.
            if reference <= MAX_TEMPERATURE_C {
                c.take(named(&row), warmed(&row), reference);
            }
        }
    },
}];

fn named(row: &Row) -> String {
    format!(
        "{} kg, {} bar, {} L/min back, {} L/min fresh at {} degC, from {} degC, {} min",
        row.text("M_kg"),
        row.text("P_bar"),
        row.text("Q_bypass_L_min"),
        row.text("Q_fresh_L_min"),
        row.text("T_fresh_C"),
        row.text("T_start_C"),
        row.text("t_min")
    )
}

fn warmed(row: &Row) -> f64 {
    // The table's litres are of water at 20 degC.
    let litres = Water::at_celsius(20.0).atmospheric_density();
    let flow = |column| VolumeFlow::from_litres_per_minute(row.number(column)).m3_per_s() * litres;
    let (back, fresh) = (flow("Q_bypass_L_min"), flow("Q_fresh_L_min"));
    let temperature_c = row.number("T_fresh_C");
    let density = Water::at_celsius(temperature_c).density(ATMOSPHERE_PA);
    let spec = TankSpec {
        volume_m3: row.number("M_kg") / density,
        temperature_c,
        bypass_return: 1.0,
    };
    let mut tank = Tank::new(&spec, row.number("T_start_C"));
    let steps = (row.number("t_min") * 60.0 / STEP_S).round() as u32;
    for _ in 0..steps {
        let water = Water::at_celsius(tank.temperature_c);
        let rise = water.rise_by_k(water.isentrope().work_j_kg(row.pascal("P_bar")));
        tank.step(&spec, back + fresh, back, rise, STEP_S);
    }
    tank.temperature_c
}
