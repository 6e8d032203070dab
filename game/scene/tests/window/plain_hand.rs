//! A plain hand: somebody who sees the spot a quarter of a second late, leads it by
//! the mouse and reads the stand-off, and knows nothing of the yard besides.

use crate::desk::Desk;
use bevy::math::Vec3;
use crew::{Act, Control};
use scene::hands::keymap::Deed;
use scene::hands::{Pressed, Ways};
use scene::stage::point;
use std::collections::VecDeque;

/// What is seen is so old, ticks.
const SEEN_TICKS: usize = 30;
/// The hand makes up for what is seen to be off with this rate, 1/s.
const MEND_PER_S: f32 = 2.0;
/// It misjudges how far the spot goes for a move of the mouse by so much.
const MISJUDGED: f32 = 1.15;
/// A count of the mouse turns the aim by so much, radians.
const COUNT_RAD: f32 = 12e-4;
/// From the hands to the spot, metres: as everybody would guess.
const LINE_M: f32 = 1.3;

/// Where the regulator is at first: 500 bar.
const LOW: u16 = 446;

/// What somebody is set to do.
#[derive(Clone, Copy)]
struct Job {
    regulator: u16,
    /// Where they stand: ahead of the slab, and along it, metres.
    stands: [f64; 2],
    /// The way they face at first, degrees off square.
    faces_deg: f64,
    /// From left and below to right and above, metres.
    from: [f32; 2],
    to: [f32; 2],
    stand_off_mm: f64,
    speed_m_s: f32,
    step_m: f32,
}

/// What came of it.
#[derive(Clone, Copy, Debug)]
struct Came {
    bar: f64,
    thrust_n: f64,
    clean_pct: f64,
    took_s: f64,
    /// Share of the time with the jet on the slab in which the tip was within the
    /// table of the nozzle.
    in_table: f64,
    steps: usize,
    fell: bool,
}

/// Where the tool points at, metres along the slab and up: beside it too.
fn spot(desk: &Desk) -> [f32; 2] {
    let surface = desk.level.surface.as_ref().expect("there is a slab");
    let tool = &desk.frame.tool;
    let (tip, points) = (point(tool.tip), point(tool.points));
    let [x, z] = surface.right.map(|r| r as f32);
    let out = Vec3::new(-z, 0.0, x);
    let off = (tip - point(surface.corner)).dot(out);
    let at = tip - points * (off / points.dot(out)) - point(surface.corner);
    [at.x * x + at.z * z, at.y]
}

/// Leads the spot to a place, tick by tick.
struct Hand {
    seen: VecDeque<[f32; 2]>,
    meant: VecDeque<[f32; 2]>,
    keys: Option<Deed>,
}

impl Hand {
    fn new() -> Self {
        Hand {
            seen: VecDeque::new(),
            meant: VecDeque::new(),
            keys: None,
        }
    }

    /// One tick on the way from one place to the next; keys of the hands are pressed
    /// only where a stand-off is given.
    fn lead(&mut self, desk: &mut Desk, to: [f32; 2], stand_off_mm: Option<f64>) {
        let last = self.meant.back().copied().unwrap_or(to);
        self.seen.push_back(spot(desk));
        self.meant.push_back(to);
        let mut counts = [0, 1].map(|i| (to[i] - last[i]) * MISJUDGED);
        if self.seen.len() > SEEN_TICKS {
            let was_meant = self.meant.pop_front().expect("as many");
            if let Some(seen) = self.seen.pop_front() {
                for i in 0..2 {
                    counts[i] += MEND_PER_S / 120.0 * (was_meant[i] - seen[i]);
                }
            }
        }
        let counts = counts.map(|m| m / LINE_M / COUNT_RAD);
        // To the right of the slab is to the right of who stands before it.
        desk.press(&[Pressed::Moved {
            x: counts[0],
            y: -counts[1],
        }]);
        if let Some(stand_off_mm) = stand_off_mm {
            self.set_off(desk, stand_off_mm);
        }
        desk.run(1);
    }

    /// Presses the keys of the hands while the reading is off by more than a
    /// quarter, or tells that it is outside the nozzle's table.
    fn set_off(&mut self, desk: &mut Desk, stand_off_mm: f64) {
        let table = desk.level.equipment.nozzles[0].stand_off_m;
        let tip_m = desk.frame.tool.stand_off_m;
        let amber = tip_m.is_some_and(|m| m < table[0] || m > table[1]);
        let off_mm = tip_m.map(|m| 1000.0 * m - stand_off_mm);
        let slack = if self.keys.is_some() { 0.08 } else { 0.25 };
        let wants = off_mm
            .filter(|off| amber || off.abs() > slack * stand_off_mm)
            .map(|off| if off > 0.0 { Deed::Reach } else { Deed::DrawIn });
        if wants != self.keys {
            if let Some(key) = self.keys {
                desk.press(&[Pressed::Up(key)]);
            }
            if let Some(key) = wants {
                desk.press(&[Pressed::Down(key)]);
            }
            self.keys = wants;
        }
    }
}

/// Somebody with the lance in the hands, one foot ahead, and the line under pressure.
fn before_the_slab(job: Job, follows: bool) -> Desk {
    let mut desk = Desk::at("02_fouled_slab", |level| {
        level.start.tool_in_stand = false;
        level.start.nozzle = 0;
        level.start.nozzle_fitted = true;
        level.site.lance_hand.at = job.stands;
        // The hose was brought along.
        level.site.hose_path.push(job.stands.map(|m| m - 0.4));
        level.site.lance_hand.yaw_rad = job.faces_deg.to_radians();
        for (control, at) in &mut level.start.controls {
            match control {
                Control::Dump => *at = 0,
                Control::Throttle => *at = 80,
                Control::Regulator => *at = job.regulator.min(LOW),
                _ => {}
            }
        }
    });
    desk.hands.mean(Ways {
        follows,
        ..Ways::default()
    });
    // Hose and pressure come to rest.
    desk.run(360);
    desk.others.push(Act::Take(Control::Regulator));
    for _ in 0..job.regulator.saturating_sub(LOW) / 3 {
        desk.run(1);
        desk.others.push(Act::Twist { detents: 3 });
    }
    desk.run(360);
    tap(&mut desk, Deed::Staggered, 1);
    desk.press(&[Pressed::Down(Deed::Catch)]).run(240);
    desk
}

/// Presses a key for so long.
fn tap(desk: &mut Desk, deed: Deed, ticks: u32) {
    desk.press(&[Pressed::Down(deed)]).run(ticks);
    desk.press(&[Pressed::Up(deed)]).run(1);
}

fn clean(job: Job, follows: bool) -> Came {
    let mut desk = before_the_slab(job, follows);
    let mut hand = Hand::new();
    // The lance to the middle of the part, and then to the shoulder.
    let middle = [0, 1].map(|i| 0.5 * (job.from[i] + job.to[i]));
    for _ in 0..240 {
        hand.lead(&mut desk, middle, Some(job.stand_off_mm));
    }
    desk.press(&[Pressed::Down(Deed::Brace)]);
    // To the first corner, at the stand-off.
    let begin = [job.from[0], job.to[1]];
    for _ in 0..5 {
        for _ in 0..240 {
            hand.lead(&mut desk, begin, Some(job.stand_off_mm));
        }
        // The reading says so where arms alone do not do it.
        let me = desk.me();
        let step = match (me.drawn_in, me.stretched) {
            (true, _) => Deed::Back,
            (_, true) => Deed::Ahead,
            _ => break,
        };
        desk.press(&[Pressed::Down(Deed::Slowly), Pressed::Down(step)]);
        desk.run(40);
        desk.press(&[Pressed::Up(step), Pressed::Up(Deed::Slowly)]);
    }
    let steps_before = desk.steps;
    desk.press(&[Pressed::Down(Deed::Squeeze)]);
    let (mut x, mut y, mut right) = (begin[0], begin[1], true);
    let mut came = Came {
        bar: 0.0,
        thrust_n: 0.0,
        clean_pct: desk.clean_pct,
        took_s: 0.0,
        in_table: 0.0,
        steps: 0,
        fell: false,
    };
    let (mut on, mut within, mut ticks) = (0.0, 0.0, 0.0);
    let table = desk.level.equipment.nozzles[0].stand_off_m;
    while y > job.from[1] && !desk.fell {
        let far = job.speed_m_s / 120.0;
        x += if right { far } else { -far };
        if x > job.to[0] || x < job.from[0] {
            x = x.clamp(job.from[0], job.to[0]);
            right = !right;
            y -= job.step_m;
        }
        hand.lead(&mut desk, [x, y], Some(job.stand_off_mm));
        ticks += 1.0;
        if let Some(jet) = desk.frame.jet {
            came.thrust_n = jet.thrust_n;
            came.bar = desk.frame.machine.pump_pa / 1e5;
            on += 1.0;
            let off = desk.frame.tool.stand_off_m;
            within += f64::from(u8::from(
                off.is_some_and(|m| m >= table[0] && m <= table[1]),
            ));
        }
    }
    came.clean_pct = desk.clean_pct - came.clean_pct;
    came.took_s = ticks / 120.0;
    came.in_table = within / f64::max(on, 1.0);
    came.steps = desk.steps - steps_before;
    came.fell = desk.fell;
    came
}

/// A half of the algae at 500 bar.
const ALGAE: Job = Job {
    regulator: LOW,
    stands: [12.43, 0.7],
    faces_deg: 8.0,
    from: [0.0, 0.0],
    to: [0.6, 1.0],
    stand_off_mm: 60.0,
    speed_m_s: 0.2,
    step_m: 0.018,
};

/// The middle at 1000 bar, by somebody who does not stand square.
const PAINT: Job = Job {
    regulator: 925,
    stands: [12.43, 1.0],
    faces_deg: 20.0,
    from: [0.4, 0.3],
    to: [0.8, 0.7],
    stand_off_mm: 60.0,
    speed_m_s: 0.18,
    step_m: 0.016,
};

#[test]
fn a_plain_hand_cleans_algae_at_fifteen_percent_a_minute() {
    let came = clean(ALGAE, true);
    println!("{came:.2?}");
    assert!((came.bar - 500.0).abs() < 20.0, "{came:?}");
    // The half is 50 percent of the slab.
    assert!(came.clean_pct > 38.0, "{came:?}");
    assert!(came.clean_pct / came.took_s * 60.0 > 13.0, "{came:?}");
    assert!(came.in_table > 0.85, "{came:?}");
    assert!(!came.fell && came.steps == 0, "{came:?}");
}

#[test]
fn a_plain_hand_takes_old_paint_off_at_a_thousand_bar() {
    let came = clean(PAINT, true);
    println!("{came:.2?}");
    assert!((came.bar - 1000.0).abs() < 60.0, "{came:?}");
    assert!(came.thrust_n > 180.0, "{came:?}");
    // The part is 13 percent of the slab, and a little of what is about it.
    assert!(came.clean_pct > 12.0, "{came:?}");
    assert!(came.in_table > 0.9, "{came:?}");
    assert!(!came.fell && came.steps == 0, "{came:?}");
}

#[test]
fn arms_that_are_left_to_the_trainee_keep_less_of_it() {
    let (alone, helped) = (clean(PAINT, false), clean(PAINT, true));
    println!("{alone:.2?}");
    assert!(alone.in_table < helped.in_table - 0.05, "{alone:?}");
    assert!(alone.clean_pct < helped.clean_pct, "{alone:?}");
}

#[test]
fn a_tap_of_the_keys_that_walk_fells_nobody_under_pressure() {
    for regulator in [200, LOW] {
        for brace in [false, true] {
            for deed in [Deed::Ahead, Deed::Back, Deed::Left, Deed::Right] {
                let job = Job {
                    regulator,
                    stands: [12.0, 0.9],
                    ..ALGAE
                };
                let mut desk = before_the_slab(job, true);
                if brace {
                    desk.press(&[Pressed::Down(Deed::Brace)]).run(240);
                }
                let before = desk.steps;
                for ticks in [30, 15] {
                    tap(&mut desk, deed, ticks);
                    desk.run(300);
                }
                let steps = desk.steps - before;
                assert!(
                    !desk.fell && steps == 0,
                    "{regulator} {brace} {deed:?}: {steps} steps"
                );
            }
        }
    }
}

#[test]
fn a_stand_off_that_was_set_stays_while_the_lance_points_elsewhere() {
    let mut desk = before_the_slab(ALGAE, true);
    let off = |desk: &Desk| desk.frame.tool.stand_off_m.expect("before the slab");
    let mut hand = Hand::new();
    for _ in 0..480 {
        hand.lead(&mut desk, [0.3, 0.2], Some(70.0));
    }
    desk.run(120);
    let before = off(&desk);
    assert!((0.05..0.09).contains(&before), "{before}");
    // Above the slab, and back to its upper edge.
    for y in [-700.0, 300.0] {
        desk.press(&[Pressed::Moved { x: 0.0, y }]).run(240);
    }
    for _ in 0..480 {
        hand.lead(&mut desk, [0.3, 0.9], None);
    }
    desk.run(240);
    let after = off(&desk);
    assert!((after - before).abs() < 0.02, "{before} {after}");
}

#[test]
fn whoever_braces_comes_to_stand_square_and_points_at_the_same_spot() {
    let mut desk = before_the_slab(PAINT, true);
    let mut hand = Hand::new();
    for _ in 0..600 {
        hand.lead(&mut desk, [0.9, 0.5], Some(60.0));
    }
    desk.run(120);
    let (before, off) = (spot(&desk), desk.frame.tool.stand_off_m);
    assert!(desk.me().tool_yaw_rad.abs() > 0.25, "to one side");
    desk.press(&[Pressed::Down(Deed::Brace)]);
    let mut most = 0.0_f32;
    for _ in 0..360 {
        desk.run(1);
        most = most.max((spot(&desk)[0] - before[0]).abs());
    }
    assert!(desk.me().tool_yaw_rad.abs() < 0.02);
    // It swings a little on the way.
    let after = (spot(&desk)[0] - before[0]).abs();
    assert!(most < 0.08 && after < 0.025, "{most} {after}");
    assert!(!desk.fell);
    println!("{off:?} {:?}", desk.frame.tool.stand_off_m);
}

#[test]
fn whoever_lets_go_at_a_thousand_bar_stays_where_they_stand() {
    for end in [0.4_f32, 0.5, 0.6] {
        let mut desk = before_the_slab(PAINT, true);
        let mut hand = Hand::new();
        for _ in 0..360 {
            hand.lead(&mut desk, [0.6, 0.5], Some(60.0));
        }
        desk.press(&[Pressed::Down(Deed::Brace)]);
        for _ in 0..360 {
            hand.lead(&mut desk, [0.6, 0.5], Some(60.0));
        }
        let before = desk.steps;
        desk.press(&[Pressed::Down(Deed::Squeeze)]);
        for n in 0..360 {
            let way = (n as f32 / 240.0).min(1.0);
            hand.lead(&mut desk, [0.6 + (end - 0.6) * way, 0.5], Some(60.0));
        }
        assert!(desk.frame.jet.is_some_and(|j| j.thrust_n > 180.0));
        desk.press(&[Pressed::Up(Deed::Squeeze)]).run(360);
        assert_eq!(desk.steps, before, "{end}");
        assert!(!desk.fell);
    }
}

#[test]
fn nobody_walks_on_or_reaches_on_with_the_tip_at_the_slab() {
    let mut desk = before_the_slab(ALGAE, true);
    let nearest = |desk: &Desk| {
        let tool = &desk.frame.tool;
        let at = desk.level.surface.as_ref().expect("a slab").corner[0];
        at - tool.tip[0]
    };
    tap(&mut desk, Deed::Reach, 300);
    tap(&mut desk, Deed::Ahead, 360);
    desk.run(240);
    assert!(nearest(&desk) > -0.12, "{}", nearest(&desk));
    assert!(!desk.fell);
}

/// To the right with the jet, the trigger let go for a while, and back with it: how
/// many steps that took after the lance was braced.
fn there_and_back(stands: f64, wait: u32) -> (usize, bool) {
    let job = Job {
        stands: [12.25, stands],
        ..ALGAE
    };
    let mut desk = before_the_slab(job, true);
    let mut hand = Hand::new();
    for _ in 0..360 {
        hand.lead(&mut desk, [0.3, 0.6], Some(60.0));
    }
    desk.press(&[Pressed::Down(Deed::Brace)]);
    for _ in 0..360 {
        hand.lead(&mut desk, [0.1, 0.6], Some(60.0));
    }
    if let Some(key) = hand.keys.take() {
        desk.press(&[Pressed::Up(key)]);
    }
    let before = desk.steps;
    for (from, to) in [(0.1_f32, 0.62_f32), (0.62, 0.0)] {
        desk.press(&[Pressed::Down(Deed::Squeeze)]).run(30);
        let ticks = ((to - from).abs() / 0.17 * 120.0) as usize;
        for n in 0..ticks {
            let way = n as f32 / ticks as f32;
            hand.lead(&mut desk, [from + (to - from) * way, 0.6], None);
        }
        assert!(desk.frame.jet.is_some_and(|j| j.thrust_n > 85.0));
        desk.press(&[Pressed::Up(Deed::Squeeze)]).run(wait);
    }
    (desk.steps - before, desk.fell)
}

#[test]
fn whoever_lets_go_to_one_side_and_sweeps_back_moves_no_foot() {
    for stands in [0.7, 0.9] {
        for wait in [60, 220, 480] {
            let came = there_and_back(stands, wait);
            assert_eq!(came, (0, false), "{stands} {wait}");
        }
    }
}

/// Three rows of the paint at a time, with a pause after each three: steps, and whether it
/// ended in a fall.
fn rows_and_pauses(stands: f64, wait: u32) -> (usize, bool) {
    let job = Job {
        stands: [12.25, stands],
        ..PAINT
    };
    let mut desk = before_the_slab(job, true);
    let mut hand = Hand::new();
    for n in 0..960 {
        if n == 480 {
            desk.press(&[Pressed::Down(Deed::Brace)]);
        }
        hand.lead(&mut desk, [0.6, 0.6], Some(60.0));
    }
    let before = desk.steps;
    let (mut x, mut way) = (0.6_f32, 0.15 / 120.0);
    for y in [0.68, 0.63, 0.58, 0.53, 0.48, 0.43] {
        desk.press(&[Pressed::Down(Deed::Squeeze)]);
        for _ in 0..960 {
            x += way;
            if !(0.4..=0.8).contains(&x) {
                (x, way) = (x.clamp(0.4, 0.8), -way);
            }
            hand.lead(&mut desk, [x, y], Some(60.0));
        }
        assert!(desk.fell || desk.frame.jet.is_some_and(|j| j.thrust_n > 180.0));
        if let Some(key) = hand.keys.take() {
            desk.press(&[Pressed::Up(key)]);
        }
        desk.press(&[Pressed::Up(Deed::Squeeze)]).run(wait);
    }
    (desk.steps - before, desk.fell)
}

#[test]
fn rows_at_a_thousand_bar_with_pauses_between_move_no_foot() {
    for stands in [0.9, 1.0] {
        for wait in [120, 360] {
            let came = rows_and_pauses(stands, wait);
            assert_eq!(came, (0, false), "{stands} {wait}");
        }
    }
}
