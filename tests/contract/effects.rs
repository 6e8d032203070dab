//! What a hand does with the jet shows in what comes clean, the way the theory
//! of jets says: one thing is changed at a time.

use crate::support::{SLAB, loaded_of};
use crew::{Call, Goal, Mind, Outcome, Script, Seat, Skill, Stance};
use hydraulics::JetKind;
use hydraulics::jet::sweep;
use training::Level;
use training::surface::Cleaned;
use yard::{Yard, play};

/// A stroke or several, and how they are made.
#[derive(Clone, Copy)]
struct Strokes {
    bar: f64,
    stand_off_m: f64,
    speed_m_s: f64,
    step_m: f64,
    rows: u32,
}

/// Three strokes too far apart to meet, of which the middle one is looked at:
/// where the first begins the jet goes over twice.
const ONE: Strokes = Strokes {
    bar: 500.0,
    stand_off_m: 0.065,
    speed_m_s: 0.25,
    step_m: 0.06,
    rows: 3,
};

/// Left edge, width and middle of the strokes on the slab, metres.
const LEFT_M: f64 = 0.05;
const WIDTH_M: f64 = 0.3;
const MIDDLE_M: f64 = 0.5;

/// The slab with algae and nothing else, ready to be worked: everything that
/// comes before the stroke is given.
fn slab() -> Level {
    let mut level = loaded_of(SLAB).level;
    if let Some(surface) = &mut level.surface {
        surface.coats.retain(|c| c.deposit == "algae");
    }
    level.start.nozzle = 0;
    level.start.barrier_closed = true;
    level.ppe.lance_hand = level.ppe.required;
    level.crew.visitor = None;
    level.crew.watch = None;
    level
}

/// What was cleaned by strokes: the share of each row of cells within the
/// width of the strokes, from the bottom up.
fn profile(level: &Level, strokes: Strokes) -> Vec<f64> {
    let mut level = level.clone();
    if let Some(hand) = &mut level.crew.pump_hand {
        hand.steps_bar = vec![strokes.bar];
        hand.throttle_pct = vec![60.0];
    }
    let half_m = 0.5 * f64::from(strokes.rows) * strokes.step_m;
    let say = |call| Goal::Say {
        call,
        answer: Some(call),
    };
    let goals = vec![
        Goal::Walk {
            to: "lance".to_owned(),
        },
        Goal::AimAt {
            at_m: [14.0, 1.1, -0.6],
        },
        Goal::Stand {
            stance: Stance::Staggered,
        },
        Goal::TakeUp,
        Goal::Walk {
            to: "stand_left".to_owned(),
        },
        Goal::Stand {
            stance: Stance::Staggered,
        },
        Goal::AimAt {
            at_m: [14.0, 0.9, 0.7],
        },
        Goal::Brace { on: true },
        say(Call::ClearToPressurise),
        Goal::Wait { s: 5.0 },
        say(Call::Raise),
        Goal::Wait { s: 20.0 },
        Goal::Sweep {
            from_m: [LEFT_M, MIDDLE_M - half_m],
            to_m: [LEFT_M + WIDTH_M, MIDDLE_M + half_m],
            stand_off_m: strokes.stand_off_m,
            speed_m_s: strokes.speed_m_s,
            step_m: strokes.step_m,
        },
    ];
    let script = Script {
        level: level.id.clone(),
        about: "strokes".to_owned(),
        breaks: Vec::new(),
        goals,
        after_stop: Vec::new(),
    };
    let surface = level.surface.clone().expect("a surface");
    let mut cleaned = Cleaned::new(&surface);
    let mut yard = Yard::new(&level).unwrap();
    let mut pilot = play::pilot(&level, script, Skill::steady(), 1);
    let mut crew = play::crew_of(&level, 1);
    while *Mind::outcome(&pilot) == Outcome::Running {
        let mut inputs = Vec::new();
        pilot.act(&yard.percepts(Seat::LANCE), &mut inputs);
        for (seat, mind) in &mut crew {
            mind.act(&yard.percepts(*seat), &mut inputs);
        }
        for step in &yard.step(&inputs).unwrap().steps {
            cleaned.take(*step);
        }
        assert!(
            yard.tick().seconds() < 300.0,
            "the strokes are done by then"
        );
    }
    assert_eq!(*Mind::outcome(&pilot), Outcome::Done);
    let columns = cleaned.columns() as usize;
    // The ends of the strokes, where the jet turns, are left out.
    let inner = |m: f64| (m / surface.cell_m) as usize;
    let (from, to) = (inner(LEFT_M + 0.05), inner(LEFT_M + WIDTH_M - 0.05));
    let cells = cleaned.steps().iter().zip(cleaned.wanted());
    let clean: Vec<bool> = cells.map(|(steps, wanted)| steps >= wanted).collect();
    clean
        .chunks(columns)
        .map(|row| row[from..to].iter().filter(|c| **c).count() as f64 / (to - from) as f64)
        .collect()
}

/// The cleaned area of strokes over their length, metres: how wide a band of
/// the same area would be.
fn width_m(level: &Level, strokes: Strokes) -> f64 {
    let cell_m = level.surface.as_ref().expect("a surface").cell_m;
    middle(level, strokes).iter().sum::<f64>() * cell_m
}

/// The profile of the middle stroke alone.
fn middle(level: &Level, strokes: Strokes) -> Vec<f64> {
    let cell_m = level.surface.as_ref().expect("a surface").cell_m;
    let mut rows = profile(level, strokes);
    for (row, share) in rows.iter_mut().enumerate() {
        let y = (row as f64 + 0.5) * cell_m;
        if (y - MIDDLE_M).abs() > 0.5 * strokes.step_m {
            *share = 0.0;
        }
    }
    rows
}

/// What theory says of the same stroke at the pressure that the nozzle gets.
fn theory(level: &Level, strokes: Strokes) -> hydraulics::jet::Sweep {
    let nozzle = &level.equipment.nozzles[0];
    let water = hydraulics::water::Water::at_celsius(level.water_c);
    let isentrope = water.isentrope();
    // Hose and gun take about four per cent at these flows.
    let at_nozzle_pa = 0.96 * strokes.bar * 1e5;
    let flow = nozzle.water.mass_flow(&isentrope, at_nozzle_pa);
    let jet = nozzle.water.jet(&isentrope, at_nozzle_pa, flow);
    let exit = hydraulics::Exit::of(flow, jet.thrust_n, water.density(0.0)).expect("a jet");
    let removal = level.surface.as_ref().expect("a surface").coats[0].removal;
    sweep(
        &nozzle.jet,
        &exit,
        &removal,
        strokes.stand_off_m,
        strokes.speed_m_s,
    )
}

#[test]
fn travelling_at_twice_the_speed_cleans_half_where_the_turns_do_not_overlap() {
    let level = slab();
    let fast = |speed_m_s| {
        let strokes = Strokes { speed_m_s, ..ONE };
        let passes = theory(&level, strokes).passes;
        (width_m(&level, strokes), passes)
    };
    let ((slow_m, slow_passes), (quick_m, quick_passes)) = (fast(0.35), fast(0.7));
    assert!(slow_passes < 1.0, "the turns leave gaps: {slow_passes}");
    assert!((slow_passes / quick_passes - 2.0).abs() < 0.1);
    // Turns cross at the edges of the band, more so when slow; and the two dozen
    // turns of the quick stroke are counted to a tenth.
    let ratio = slow_m / quick_m;
    assert!((1.7..2.2).contains(&ratio), "{slow_m} {quick_m}");
}

#[test]
fn further_away_the_jet_cuts_less_and_beyond_the_threshold_nothing() {
    let level = slab();
    let at = |stand_off_m| {
        let strokes = Strokes { stand_off_m, ..ONE };
        (width_m(&level, strokes), theory(&level, strokes))
    };
    let ((near_m, near), (far_m, far)) = (at(0.065), at(0.095));
    assert!(near.mean_dose > far.mean_dose && far.mean_dose > 0.0);
    assert!(far_m < 0.7 * near_m && far_m > 0.0, "{near_m} {far_m}");
    let (none_m, none) = at(0.13);
    assert_eq!(none.mean_dose, 0.0);
    assert_eq!(none_m, 0.0);
}

#[test]
fn less_pressure_cuts_narrower_and_below_the_threshold_nothing() {
    let level = slab();
    let at = |bar| {
        let strokes = Strokes { bar, ..ONE };
        (width_m(&level, strokes), theory(&level, strokes))
    };
    let ((high_m, high), (low_m, low)) = (at(500.0), at(300.0));
    assert!(low.cut_width_m < high.cut_width_m && low.cut_width_m > 0.0);
    assert!(low_m < 0.85 * high_m && low_m > 0.0, "{high_m} {low_m}");
    let (none_m, none) = at(200.0);
    assert_eq!((none_m, none.mean_dose), (0.0, 0.0));
}

#[test]
fn a_rotating_jet_cleans_a_band_a_round_one_a_line_and_a_fan_no_algae() {
    let level = slab();
    let with = |kind| {
        let mut level = level.clone();
        level.equipment.nozzles[0].jet.kind = kind;
        (width_m(&level, ONE), theory(&level, ONE))
    };
    let JetKind::Rotating { .. } = level.equipment.nozzles[0].jet.kind else {
        panic!("the slab's own nozzle rotates");
    };
    let rotating_m = width_m(&level, ONE);
    let (round_m, round) = with(JetKind::Round);
    let (fan_m, fan) = with(JetKind::Fan { spread_rad: 0.26 });
    assert!(rotating_m > 5.0 * round_m, "{rotating_m} {round_m}");
    // The line is as wide as theory says, to a cell on either side.
    assert!((round_m - round.cut_width_m).abs() < 0.005, "{round_m}");
    assert_eq!((fan_m, fan.mean_dose), (0.0, 0.0));
}

#[test]
fn rows_that_overlap_clean_more_between_the_best_row_alone_and_all_rows_added() {
    let level = slab();
    let slow = Strokes {
        speed_m_s: 0.3,
        ..ONE
    };
    let one = middle(&level, slow);
    let mut before = 0.0;
    for (step_m, cells) in [(0.06, 24), (0.04, 16), (0.02, 8)] {
        let strokes = Strokes {
            step_m,
            rows: 5,
            ..slow
        };
        let all = profile(&level, strokes);
        // A point is clean when one of the rows that pass it has cleaned it: no
        // less often than by the best of them, no more often than by all added.
        let middle = one.len() / 2;
        let (mut least, mut most, mut found) = (0.0, 0.0, 0.0);
        for (row, share) in all.iter().enumerate().skip(middle - cells).take(2 * cells) {
            let passing = (-2..=2)
                .map(|k: i32| row as i32 + k * cells as i32)
                .filter_map(|at| one.get(usize::try_from(at).ok()?));
            least += passing.clone().fold(0.0, |a: f64, b| a.max(*b));
            most += passing.sum::<f64>().min(1.0);
            found += share;
        }
        let n = (2 * cells) as f64;
        let (least, most, found) = (least / n, most / n, found / n);
        println!("step {step_m} m: {least:.3} <= {found:.3} <= {most:.3}");
        // A row is made of turns, and two rows never begin at the same one.
        assert!(
            found > least - 0.03 && found < most + 0.03,
            "{least} {found} {most}"
        );
        assert!(found > before + 0.05, "{found} {before}");
        before = found;
    }
}
