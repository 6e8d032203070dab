use super::*;
use crew::tick::TICK_S;
use hydraulics::JetKind;
use training::level::{Base, Coat, Words};

const BAR: f64 = 1e5;
/// The height of the middles of a row of cells, metres.
const MIDDLE_M: f64 = 0.20125;

fn coat(threshold_bar: f64, dose_us: f64) -> Coat {
    Coat {
        deposit: "test".into(),
        title: Words::default(),
        removal: Removal {
            threshold_pa: threshold_bar * BAR,
            dose_s: dose_us * 1e-6,
            exponent: 1.0,
        },
        over: [0.0, 0.0, 1.0, 1.0],
        at_most_bar: 1000.0,
    }
}

fn surface_of(coats: Vec<Coat>) -> Surface {
    Surface {
        corner: [5.0, 0.5, 2.0],
        right: [0.0, 1.0],
        size: [0.6, 0.4],
        cell_m: 0.0025,
        tile_m: 0.1,
        grade_pct: 95.0,
        stand_off_m: 0.06,
        coats,
        base: None,
    }
}

fn wall(coats: Vec<Coat>) -> Wall {
    Wall::new(&surface_of(coats))
}

fn exit(bar: f64, bore_m: f64) -> Exit {
    let density = 998.2;
    let speed = (2.0 * bar * BAR / density).sqrt();
    let flow = density * speed * 0.25 * core::f64::consts::PI * bore_m * bore_m;
    Exit::of(flow, flow * speed, density).expect("a jet")
}

const ROUND: JetSpec = JetSpec {
    kind: JetKind::Round,
    core_diameters: 100.0,
    decay: 2.0,
};

fn rotating() -> JetSpec {
    JetSpec {
        kind: JetKind::Rotating {
            cone_rad: 0.26,
            radius_m: 0.004,
            turns_per_s: 50.0,
        },
        core_diameters: 42.0,
        decay: 1.5,
    }
}

/// One level stroke at a height, from one x to another.
fn stroke(
    wall: &mut Wall,
    jet: JetSpec,
    bar: f64,
    stand_off_m: f64,
    y: f64,
    speed: f64,
    x: (f64, f64),
) {
    let ticks = ((x.1 - x.0).abs() / speed / TICK_S).round() as u32;
    let mut steps = Vec::new();
    for n in 0..=ticks {
        let part = f64::from(n) / f64::from(ticks);
        let stroke = Stroke {
            spot: [x.0 + (x.1 - x.0) * part, y],
            stand_off_m,
            cosine: 1.0,
            exit: exit(bar, 0.00115),
            jet,
        };
        wall.stroke(&stroke, TICK_S, &mut steps);
    }
    wall.lift();
}

fn layers(wall: &Wall) -> f64 {
    wall.done.sum() as f64 / f64::from(UNITS)
}

#[test]
fn a_ray_meets_the_surface_where_geometry_says_and_only_from_its_front() {
    let wall = wall(vec![coat(100.0, 100.0)]);
    let frame = wall.frame();
    assert_eq!(frame.out, DVec3::new(-1.0, 0.0, 0.0));
    let tip = DVec3::new(4.0, 0.7, 2.3);
    let (spot, way) = frame.meet(tip, DVec3::X).expect("it is ahead");
    assert!((spot[0] - 0.3).abs() < 1e-12 && (spot[1] - 0.2).abs() < 1e-12);
    assert!((way - 1.0).abs() < 1e-12);
    let slant = DVec3::new(1.0, 0.0, 0.2).normalize();
    let (spot, way) = frame.meet(tip, slant).expect("it is ahead");
    assert!((spot[0] - 0.5).abs() < 1e-12 && (way - 1.04_f64.sqrt()).abs() < 1e-12);
    assert_eq!(frame.meet(tip, -DVec3::X), None);
    assert_eq!(
        frame.meet(tip + DVec3::X * 2.0, -DVec3::X),
        None,
        "from behind"
    );
    assert_eq!(frame.meet(tip + DVec3::Y, DVec3::X), None, "over its edge");
}

#[test]
fn the_dose_laid_down_is_that_of_the_footprint() {
    // Far from full, so that no cell is capped: the sum of all doses is the
    // integral of the rate over the footprint, times the time.
    for (jet, bar, way) in [(ROUND, 400.0, 0.05), (rotating(), 700.0, 0.07)] {
        let (speed, x) = (0.1, (0.2, 0.4));
        // A footprint narrower than a cell is sampled by where it lies in it.
        let found: f64 = (0..8)
            .map(|n| {
                let mut wall = wall(vec![coat(100.0, 400_000.0)]);
                let y = 0.2 + 0.0025 * (f64::from(n) + 0.5) / 8.0;
                stroke(&mut wall, jet, bar, way, y, speed, x);
                layers(&wall) / 8.0
            })
            .sum();
        let (path, slant) = match jet.kind {
            JetKind::Rotating { cone_rad, .. } => {
                let c = libm::cos(cone_rad);
                (way / c, c * c)
            }
            _ => (way, 1.0),
        };
        let mut impact = jet.impact(&exit(bar, 0.00115), path);
        impact.centre_pa *= slant;
        let removal = coat(100.0, 400_000.0).removal;
        let rings = 4000;
        let width = impact.half_across_m / f64::from(rings);
        let rate: f64 = (0..rings)
            .map(|n| (f64::from(n) + 0.5) * width)
            .map(|r| removal.rate(impact.pressure_pa(r, 0.0)) * TAU * r * width)
            .sum();
        let time = (x.1 - x.0) / speed;
        let expected = rate * time / (0.0025 * 0.0025);
        // One tick more than the way takes, and cells of 2.5 mm that sample a
        // footprint of 2 mm: 3 %.
        assert!((found / expected - 1.0).abs() < 0.03, "{found} {expected}");
    }
}

#[test]
fn a_slow_round_jet_cuts_as_wide_as_its_pressure_is_above_the_threshold() {
    let mut wall = wall(vec![coat(100.0, 50.0)]);
    stroke(&mut wall, ROUND, 400.0, 0.1, 0.2, 0.02, (0.1, 0.5));
    let impact = ROUND.impact(&exit(400.0, 0.00115), 0.1);
    let band = 2.0 * impact.half_cut_m(100.0 * BAR);
    // The share of the band's cells that are clean, as a width.
    let clean = wall.clean_pct() / 100.0 * 0.6 * 0.4 / 0.4;
    // To a cell on either side, and the ends.
    assert!((clean - band).abs() < 0.0025, "{clean} {band}");
}

#[test]
fn below_the_threshold_nothing_comes_off_however_long() {
    let mut wall = wall(vec![coat(500.0, 1.0)]);
    stroke(&mut wall, ROUND, 400.0, 0.05, 0.2, 0.01, (0.2, 0.3));
    assert_eq!(layers(&wall), 0.0);
}

#[test]
fn twice_the_speed_lays_down_half_the_dose() {
    let dose = |speed| {
        let mut wall = wall(vec![coat(100.0, 20_000.0)]);
        stroke(&mut wall, rotating(), 700.0, 0.07, 0.2, speed, (0.1, 0.5));
        layers(&wall)
    };
    let ratio = dose(0.1) / dose(0.2);
    assert!((ratio - 2.0).abs() < 0.02, "{ratio}");
}

#[test]
fn a_layer_shields_the_one_below_until_it_is_gone() {
    let both = vec![coat(300.0, 50.0), coat(100.0, 50.0)];
    let mut wall = wall(both);
    // Above the threshold of the top and below that of the bottom.
    for _ in 0..3 {
        stroke(&mut wall, ROUND, 280.0, 0.05, MIDDLE_M, 0.02, (0.1, 0.5));
    }
    let most = wall.done.dose.iter().max().copied();
    assert_eq!(
        most,
        Some(UNITS as u16),
        "the top is gone, the bottom whole"
    );
    assert_eq!(wall.clean_pct(), 0.0);
    for _ in 0..3 {
        stroke(&mut wall, ROUND, 900.0, 0.05, MIDDLE_M, 0.02, (0.1, 0.5));
    }
    assert!(wall.clean_pct() > 0.2);
}

#[test]
fn steps_say_what_became_of_the_cells_and_tiles_add_up() {
    let mut wall = wall(vec![coat(100.0, 50.0)]);
    let mut steps = Vec::new();
    for n in 0..240_u32 {
        let stroke = Stroke {
            spot: [0.05 + f64::from(n) * 0.002, 0.21],
            stand_off_m: 0.06,
            cosine: 1.0,
            exit: exit(500.0, 0.00115),
            jet: rotating(),
        };
        wall.stroke(&stroke, TICK_S, &mut steps);
    }
    let mut last = vec![0_u8; wall.done.dose.len()];
    for step in &steps {
        let before = &mut last[step.cell as usize];
        assert!(step.steps > *before, "a step is one ahead");
        *before = step.steps;
    }
    for (dose, step) in wall.done.dose.iter().zip(&last) {
        assert_eq!(u32::from(*dose) / UNITS_PER_STEP, u32::from(*step));
    }
    let clean = last.iter().filter(|s| **s >= STEPS_PER_LAYER).count();
    assert!(clean > 1000, "{clean}");
    assert_eq!(clean as u32, wall.done.clean);
    assert_eq!(wall.done.tile_clean.iter().sum::<u32>(), wall.done.clean);
}

#[test]
fn a_fan_works_across_its_width_and_a_round_jet_in_a_line() {
    let fan = JetSpec {
        kind: JetKind::Fan { spread_rad: 0.26 },
        core_diameters: 100.0,
        decay: 1.5,
    };
    let width = |jet: JetSpec| {
        let mut wall = wall(vec![coat(20.0, 200.0)]);
        stroke(&mut wall, jet, 500.0, 0.08, MIDDLE_M, 0.05, (0.1, 0.5));
        wall.clean_pct() / 100.0 * 0.6
    };
    let (fan_m, round_m) = (width(fan), width(ROUND));
    let across = 0.00115 + 2.0 * 0.08 * libm::tan(0.13);
    // To a cell on either side.
    assert!((fan_m - across).abs() < 0.005, "{fan_m} {across}");
    assert!(round_m < 0.2 * fan_m, "{round_m} {fan_m}");
}

/// What the deposits lie on.
fn on_base(coats: Vec<Coat>, threshold_bar: f64) -> Wall {
    let mut surface = surface_of(coats);
    let removal = coat(threshold_bar, 50.0).removal;
    surface.base = Some(Base {
        deposit: "test".into(),
        title: Words::default(),
        removal,
    });
    Wall::new(&surface)
}

#[test]
fn a_jet_too_strong_for_what_lies_below_damages_it_once_the_deposit_is_gone() {
    let work = |bar: f64, stand_off_m: f64| {
        let mut wall = on_base(vec![coat(100.0, 50.0)], 600.0);
        for _ in 0..3 {
            stroke(
                &mut wall,
                ROUND,
                bar,
                stand_off_m,
                MIDDLE_M,
                0.02,
                (0.1, 0.5),
            );
        }
        (wall.clean_pct(), wall.damaged_pct(), wall.steps())
    };
    let (clean, damaged, steps) = work(500.0, 0.05);
    assert!(clean > 0.2 && damaged == 0.0, "{clean} {damaged}");
    assert!(steps.iter().all(|s| s.steps <= STEPS_PER_LAYER));
    // The same stroke at more pressure; and from so far that the pressure is down again.
    let (clean, damaged, steps) = work(900.0, 0.05);
    assert!(damaged > 0.05 && damaged <= clean, "{clean} {damaged}");
    let told = steps.iter().filter(|s| s.steps == 2 * STEPS_PER_LAYER);
    let cells = 240.0 * 160.0;
    assert!((100.0 * told.count() as f64 / cells - damaged).abs() < 1e-9);
    let (clean, damaged, _) = work(900.0, 0.2);
    assert!(clean > 0.0 && damaged == 0.0, "{clean} {damaged}");
}
