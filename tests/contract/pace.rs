//! How quickly a yard with a long hose and four people goes. Timed on request only
//! (`JETYARD_PACE=1`), on a machine that does nothing else: what else runs would be timed too.

use crate::support::{SLAB, loaded_of};
use crew::{Act, Control, Fault, Input, Seat, Source};
use std::time::Instant;
use training::Level;
use yard::Yard;

/// The level at the slab with 80 m of hose, laid to and fro.
fn long_hose() -> Level {
    let mut level = loaded_of(SLAB).level;
    let (body, water) = (
        level.equipment.hoses[0].clone(),
        level.equipment.circuit.hoses[0].clone(),
    );
    level.equipment.hoses = vec![body; 4];
    level.equipment.circuit.hoses = vec![water; 4];
    let mut path = vec![[1.7, 0.2], [2.5, 2.0]];
    for n in 0..6 {
        let x = 3.2 + 1.1 * f64::from(n);
        let (near, far) = (-4.5, 5.5);
        let (from, to) = if n % 2 == 0 { (far, near) } else { (near, far) };
        path.extend([[x, from], [x, to]]);
    }
    path.extend([[10.6, 3.0], [11.2, -1.5], [11.7, -0.7]]);
    level.site.hose_path = path;
    level
}

/// Seconds for each of so many ticks.
fn time(yard: &mut Yard, ticks: u32, mut acts: impl FnMut(u32) -> Vec<(Seat, Act)>) -> Vec<f64> {
    (0..ticks)
        .map(|tick| {
            let now = yard.tick();
            let inputs: Vec<Input> = acts(tick)
                .into_iter()
                .map(|(seat, act)| Input {
                    tick: now,
                    seat,
                    source: Source::Instructor,
                    act,
                })
                .collect();
            let began = Instant::now();
            yard.step(&inputs).expect("a yard");
            began.elapsed().as_secs_f64()
        })
        .collect()
}

fn told(name: &str, mut ticks: Vec<f64>) -> f64 {
    ticks.sort_by(f64::total_cmp);
    let mean = ticks.iter().sum::<f64>() / ticks.len() as f64;
    let factor = 1.0 / 120.0 / mean;
    let late = ticks[(ticks.len() as f64 * 0.999) as usize];
    println!(
        "{name}: {factor:.0} times real time, a tick {:.0} us on average, {:.0} us at 99.9 %",
        1e6 * mean,
        1e6 * late
    );
    factor
}

#[test]
fn a_long_hose_and_four_people_go_many_times_as_fast_as_the_clock() {
    if std::env::var("JETYARD_PACE").is_err() {
        return;
    }
    let mut yard = Yard::new(&long_hose()).expect("a yard");
    let at_pump = |act| (Seat::PUMP, act);
    let lance = |act| (Seat::LANCE, act);
    let turns = |tick: u32| match tick {
        10 => vec![at_pump(Act::Take(Control::Throttle))],
        11..=30 => vec![at_pump(Act::Twist { detents: 3 })],
        31 => vec![at_pump(Act::LetGo), lance(Act::TakeUp)],
        32 => vec![at_pump(Act::Take(Control::Dump))],
        33 => vec![at_pump(Act::Push { on: false })],
        200 => vec![at_pump(Act::LetGo)],
        201 => vec![at_pump(Act::Take(Control::Regulator))],
        202..=340 => vec![at_pump(Act::Twist { detents: 3 })],
        500 => vec![lance(Act::SafetyCatch(false))],
        _ if tick > 600 && tick.is_multiple_of(120) => vec![
            lance(Act::Squeeze {
                permille: if tick.is_multiple_of(240) { 1000 } else { 0 },
            }),
            lance(Act::Aim {
                yaw: if tick.is_multiple_of(480) {
                    2000
                } else {
                    -2000
                },
                pitch: 0,
            }),
        ],
        _ => Vec::new(),
    };
    time(&mut yard, 600, turns);
    let works = told("at work", time(&mut yard, 6000, |t| turns(t + 600)));
    // Somebody drags the hose along: all of it comes awake.
    let drags = |tick: u32| match tick % 240 {
        0 => vec![lance(Act::Walk {
            forward_cm_s: if tick.is_multiple_of(480) { -60 } else { 60 },
            right_cm_s: 40,
        })],
        _ => Vec::new(),
    };
    let dragged = told("dragged", time(&mut yard, 2400, drags));
    let fault = Fault::HoseParted;
    let parts = time(&mut yard, 240, |tick| {
        let fail = Act::Fail { fault, amount: 1 };
        if tick == 0 {
            vec![at_pump(fail)]
        } else {
            Vec::new()
        }
    });
    let whips = told("whipping", parts);
    assert!(works >= 20.0 && dragged >= 20.0 && whips >= 5.0);
}
