//! Times the line alone on the case of `tests/reference/make_tsnet.py`: a reservoir, 600 m of pipe
//! with friction, an end valve whose flow falls evenly to nothing in 2 s. For
//! `tests/bench/against_tsnet.py`, which gives the arguments:
//!
//!     closing_valve CELLS GRAVITY SPEED FRICTION UNTIL RUNS
//!
//! (1, m/s2, m/s, 1 as Darcy's factor, s, 1), and reads what is printed as JSON: seconds that the
//! quickest of the runs and that in the middle took, and times and heads at the valve, s and m.

use core::cell::Cell;
use hydraulics::HoseSpec;
use hydraulics::line::{Line, MAX_CELLS};
use hydraulics::orifice::round_area_m2;
use hydraulics::outlet::Passing;
use hydraulics::storage::Liquid;
use std::hint::black_box;
use std::process::ExitCode;
use std::time::Instant;

const LENGTH_M: f64 = 600.0;
const BORE_M: f64 = 0.5;
const WAVE_M_S: f64 = 1_200.0;
const DENSITY: f64 = 1_000.0;
const RESERVOIR_M: f64 = 200.0;
const SHUT_IN_S: f64 = 2.0;
/// So much that what flows in or out moves its head by less than a ten-thousandth of a millimetre.
const RESERVOIR_M3: f64 = 1.0e12;
/// The valve's own room, m3.
const NOTHING_M3: f64 = 1.0e-9;

struct Case {
    /// At rest before the valve moves.
    line: Line,
    /// Of one step, in which a wave takes just one cell, s.
    dt: f64,
    steps: usize,
    flow_kg_s: f64,
}

impl Case {
    fn new(asked: &Asked) -> Result<Self, String> {
        let dt = LENGTH_M / (WAVE_M_S * f64::from(asked.cells));
        let liquid = Liquid::Proportional {
            density: DENSITY,
            modulus_pa: DENSITY * WAVE_M_S * WAVE_M_S,
        };
        let pipe = HoseSpec {
            bore_m: BORE_M,
            length_m: LENGTH_M,
            roughness_m: 0.0,
            // A wall that does not give: it is in the speed of the wave.
            wall_modulus_pa: 1.0e20,
            fitting_loss: 0.0,
            rated_pressure_pa: 1.0e8,
            cells: asked.cells,
        };
        // The valve stands where the manifold is else, so the water runs backwards.
        let flow_kg_s = DENSITY * round_area_m2(BORE_M) * asked.speed;
        let steady = |head_pa: f64| {
            Line::branched(
                liquid,
                NOTHING_M3,
                core::slice::from_ref(&pipe),
                &[(&[], RESERVOIR_M3)],
            )
            .with_friction(asked.darcy, DENSITY)
            .in_steady_flow(head_pa, -flow_kg_s)
        };
        let loss_pa = steady(0.0).end_pa();
        let line = steady(RESERVOIR_M * DENSITY * asked.gravity - loss_pa);
        if dt > line.longest_step_s() * (1.0 + 1.0e-9) {
            return Err("a step would be taken in parts".to_owned());
        }
        Ok(Self {
            line,
            dt,
            steps: (asked.until_s / dt - 1.0e-9).ceil() as usize,
            flow_kg_s,
        })
    }

    /// Steps through the case: pressures at the valve. This, and no more, is timed.
    fn solve(&self, line: &mut Line, pressures: &mut Vec<f64>) {
        let taken = Cell::new(self.flow_kg_s);
        let mut valve = Passing(|p: f64| {
            if p > 0.0 {
                (taken.get(), 0.0)
            } else {
                (0.0, 0.0)
            }
        });
        pressures.push(line.head_pa());
        for step in 0..self.steps {
            taken.set(self.flow_kg_s * self.open(step));
            line.step(self.dt, 0.0, &mut valve);
            pressures.push(line.head_pa());
        }
    }

    /// Share of the flow that the valve lets through, as the mean of a step.
    fn open(&self, step: usize) -> f64 {
        // What has passed up to a time, as seconds of the open valve.
        let passed = |time: f64| {
            let left = (1.0 - time / SHUT_IN_S).max(0.0);
            SHUT_IN_S * (1.0 - left * left) / 2.0
        };
        let from = step as f64 * self.dt;
        (passed(from + self.dt) - passed(from)) / self.dt
    }
}

/// What is asked for on the command line.
struct Asked {
    cells: u16,
    gravity: f64,
    speed: f64,
    darcy: f64,
    until_s: f64,
    runs: usize,
}

impl Asked {
    fn of(words: &[String]) -> Result<Self, String> {
        let [cells, gravity, speed, darcy, until, runs] = words else {
            return Err("wanted: CELLS GRAVITY SPEED FRICTION UNTIL RUNS".to_owned());
        };
        Ok(Self {
            cells: between("CELLS", cells, 1.0, f64::from(MAX_CELLS))?.trunc() as u16,
            gravity: between("GRAVITY", gravity, 1.0, 100.0)?,
            speed: between("SPEED", speed, 0.0, 100.0)?,
            darcy: between("FRICTION", darcy, 0.0, 1.0)?,
            until_s: between("UNTIL", until, 0.0, 3_600.0)?,
            runs: between("RUNS", runs, 1.0, 1.0e6)?.trunc() as usize,
        })
    }
}

fn between(name: &str, word: &str, least: f64, most: f64) -> Result<f64, String> {
    let number = word.parse().ok();
    number
        .filter(|number| (least..=most).contains(number))
        .ok_or(format!(
            "{name}: wanted a number from {least} to {most}, found `{word}`"
        ))
}

fn timed() -> Result<String, String> {
    if cfg!(debug_assertions) {
        return Err("only a release build is timed".to_owned());
    }
    let words: Vec<String> = std::env::args().skip(1).collect();
    let asked = Asked::of(&words)?;
    let case = Case::new(&asked)?;
    let mut took: Vec<f64> = Vec::new();
    let mut pressures = Vec::with_capacity(case.steps + 1);
    for _ in 0..asked.runs {
        let mut line = case.line.clone();
        pressures.clear();
        let began = Instant::now();
        case.solve(black_box(&mut line), &mut pressures);
        took.push(began.elapsed().as_secs_f64());
        black_box((&line, &pressures));
    }
    took.sort_by(f64::total_cmp);
    let weight = DENSITY * asked.gravity;
    let times: Vec<f64> = (0..=case.steps).map(|n| n as f64 * case.dt).collect();
    let heads: Vec<f64> = pressures.iter().map(|p| p / weight).collect();
    Ok(format!(
        "{{\"best_s\": {:e}, \"middle_s\": {:e}, \"times_s\": {times:?}, \"heads_m\": {heads:?}}}",
        took[0],
        took[took.len() / 2]
    ))
}

fn main() -> ExitCode {
    match timed() {
        Ok(json) => {
            println!("{json}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("closing_valve: {why}");
            ExitCode::FAILURE
        }
    }
}
