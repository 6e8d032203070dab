//! What the push of the tool feels like at the desk.

use bevy::math::Vec2;
use crew::{Act, Control, Input, Seat, Source, Stance, Tick};
use scene::hands::Hands;
use scene::hands::effort::Effort;
use scene::hands::eye::{Follows, view};
use scene::hands::pad::shaken;
use scene::stage::Show;
use std::path::Path;
use std::sync::Arc;
use training::load::{Library, Loaded};
use yard::Yard;

/// What somebody at the desk sees, hears and feels over three seconds.
#[derive(Clone, Copy, Debug)]
struct Felt {
    /// They were thrown to the ground.
    fell: bool,
    /// Push that the yard made, newtons; the rule does not look at it.
    push_n: f64,
    /// How far the view wanders from where it is on the whole, root mean square.
    drift_rad: f32,
    /// How far the view leans and shakes with the body.
    lean_rad: f32,
    rumble: f32,
    breaths_min: f64,
}

/// How somebody stands in one run.
#[derive(Clone, Copy)]
struct Way {
    yaw: i16,
    pitch: i16,
    brace: bool,
    stance: Stance,
    rest_ticks: u32,
}

/// The slab's yard with the pressure on, the gun shut and the round nozzle of
/// the other job on a lance that is in the hands.
fn loaded(regulator: u16) -> Loaded {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
    let mut loaded = Library::at(&folder)
        .load("02_fouled_slab")
        .unwrap_or_else(|p| panic!("{p}"));
    let level = &mut loaded.level;
    let round = level.equipment.nozzles.iter();
    let round = round
        .enumerate()
        .find(|(_, n)| n.id == "round_1_40")
        .map(|(n, _)| n as u8);
    level.start.nozzle = round.expect("the level has it");
    level.start.nozzle_fitted = true;
    level.start.tool_in_stand = false;
    for (control, at) in &mut level.start.controls {
        match control {
            Control::Dump => *at = 0,
            Control::Throttle => *at = 90,
            Control::Regulator => *at = regulator,
            _ => {}
        }
    }
    loaded
}

/// Runs the yard and feels it for three seconds.
fn feel(loaded: &Arc<Loaded>, way: Way) -> Felt {
    let mut yard = Yard::new(&loaded.level).expect("a yard");
    let mut step = |tick: u32, acts: &[Act]| {
        let inputs: Vec<Input> = acts
            .iter()
            .map(|act| Input {
                tick: Tick(tick),
                seat: Seat::LANCE,
                source: Source::Trainee,
                act: *act,
            })
            .collect();
        yard.step(&inputs).expect("measurable");
        yard.view()
    };
    let mut tick = 0;
    let begin = [
        Act::Aim {
            yaw: way.yaw,
            pitch: way.pitch,
        },
        Act::Stand(way.stance),
        Act::Brace(way.brace),
        Act::SafetyCatch(false),
    ];
    // The line comes to pressure first: the stance is not taken while the hose jumps under the hands.
    while tick < 240 {
        step(tick, &[]);
        tick += 1;
    }
    step(tick, &begin);
    while tick < 720 + way.rest_ticks {
        tick += 1;
        step(tick, &[]);
    }
    tick += 1;
    let now = step(tick, &[Act::Squeeze { permille: 1000 }]);
    // The kick is over.
    let (pushed, from) = (tick + 48, tick + 180);
    let mut show = Show {
        loaded: loaded.clone(),
        before: now.clone(),
        now,
        alpha: 1.0,
        cells: Vec::new(),
        fresh: Vec::new(),
        renewed: 0,
    };
    let (hands, mut follows) = (Hands::default(), Follows::default());
    let mut views = Vec::new();
    let (mut push_n, mut rumble, mut breaths_min) = (0.0, 0.0, 0.0);
    let (mut fell, mut upright) = (false, 0.0_f64);
    while tick < from + 360 {
        tick += 1;
        show.before = show.now.clone();
        show.now = step(tick, &[]);
        let eye = view(&show, Seat::LANCE, &hands, 1.0, 1.0 / 120.0, &mut follows);
        let eye = eye.expect("somebody looks");
        let me = show.person(Seat::LANCE).expect("they are there").1;
        let effort = Effort::of(me, &show.now);
        // The push stands long before the body has come to rest from its kick.
        if tick >= pushed && !me.fallen {
            upright += 1.0;
            push_n += effort.push_n;
        }
        if tick < from {
            continue;
        }
        let share = 1.0 / 360.0;
        fell |= me.fallen;
        rumble += share as f32 * shaken(&effort, 0.0).heavy;
        breaths_min += share * effort.breaths_min;
        views.push((
            Vec2::new(eye.yaw, eye.pitch),
            Vec2::new(me.lean_rad[0] as f32, me.lean_rad[1] as f32),
        ));
    }
    let count = views.len() as f32;
    let mean = views.iter().map(|(aim, _)| *aim).sum::<Vec2>() / count;
    let off = views.iter().map(|(aim, _)| aim.distance_squared(mean));
    let lean = views.iter().map(|(_, lean)| lean.length());
    Felt {
        push_n: push_n / upright.max(1.0),
        fell,
        drift_rad: (off.sum::<f32>() / count).sqrt(),
        lean_rad: lean.sum::<f32>() / count,
        rumble,
        breaths_min,
    }
}

/// The fixed rule: the harder one is the one that more senses say is harder.
fn second_is_harder(first: &Felt, second: &Felt) -> bool {
    // Whoever is thrown to the ground needs no other sense.
    if first.fell != second.fell {
        return second.fell;
    }
    let says = [
        second.drift_rad > first.drift_rad,
        second.lean_rad > first.lean_rad,
        second.rumble > first.rumble,
        second.breaths_min > first.breaths_min,
    ];
    says.iter().filter(|s| **s).count() >= 3
}

/// Ten ways to stand there.
fn ways() -> Vec<Way> {
    (0..10_i16)
        .map(|n| Way {
            yaw: 400 * (n - 5),
            pitch: 150 * (n % 4) - 200,
            brace: n % 3 != 0,
            stance: if n % 2 == 0 {
                Stance::Staggered
            } else {
                Stance::Wide
            },
            rest_ticks: 17 * n as u32,
        })
        .collect()
}

#[test]
fn somebody_at_the_desk_tells_150_from_250_newtons() {
    let (light, heavy) = (Arc::new(loaded(452)), Arc::new(loaded(812)));
    let mut told = 0;
    for (n, way) in ways().into_iter().enumerate() {
        let (soft, hard) = (feel(&light, way), feel(&heavy, way));
        println!("{soft:?}\n{hard:?}");
        assert!((soft.push_n - 150.0).abs() < 8.0, "{soft:?}");
        assert!((hard.push_n - 250.0).abs() < 12.0, "{hard:?}");
        // Which comes first is not the same each time.
        let harder_second = n % 3 != 1;
        let (first, second) = if harder_second {
            (soft, hard)
        } else {
            (hard, soft)
        };
        told += usize::from(second_is_harder(&first, &second) == harder_second);
        // The rule cannot tell what is the same.
        assert!(!second_is_harder(&soft, &soft));
    }
    assert_eq!(told, 10, "of ten pairs");
}
