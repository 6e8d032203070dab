//! A small world for the tests of lance work: arms and a tool that lag, swing
//! and are pushed, a surface that is seen late, and people who say things.

use super::*;
use crate::percept::{HEARING_DELAY_S, SIGHT_DELAY_S, TOUCH_DELAY_S};
use crate::tick::TICK_S;
use crate::{Heard, Mind, OwnBody, Percepts, Sound, Spot, Stance, SurfaceFrame, Task, ToolSense};

/// Tool in the hands: natural frequency, rad/s, and damping. It lags by 0.12 s.
const TOOL_RAD_S: f64 = 12.0;
const TOOL_DAMPING: f64 = 0.7;
const TOOL_M: f64 = 1.25;
/// The hands lag by this, seconds, and move no faster, m/s.
const HANDS_LAG_S: f64 = 0.12;
const HANDS_M_S: f64 = 1.2;
/// Radius that the jet cleans, metres.
const JET_M: f64 = 0.02;
/// Cells of the surface, metres.
const CELL_M: f64 = 0.01;

/// What there was to feel and see at a tick.
#[derive(Clone, Default)]
struct Moment {
    body: OwnBody,
    tool: Option<ToolSense>,
    spot: Option<Spot>,
    jet: bool,
    tiles: Vec<u8>,
    people: Vec<(Seat, [f64; 2])>,
    hose: bool,
    wears: u8,
}

/// Where the jet met the surface at a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Trace {
    pub tick: Tick,
    pub spot: Spot,
    pub jet: bool,
}

pub(super) struct LanceWorld {
    pub tick: Tick,
    pub body: OwnBody,
    walk: [f64; 2],
    /// Yaw and pitch that were told, and of the tool with their speeds.
    aim: [f64; 2],
    tool: [f64; 2],
    speed: [f64; 2],
    /// Reach and lift that were told and that are.
    hands_told: [f64; 2],
    hands: [f64; 2],
    pub in_hands: bool,
    pub catch_on: bool,
    squeezed: bool,
    squeeze: f64,
    pub tied: bool,
    pub brace: bool,
    /// The brace is lost at these times, seconds.
    pub steps_at: Vec<f64>,
    /// There is water to be had.
    pub water: bool,
    pub jet: bool,
    /// How far the jet pushes the hands back, metres, and lets the tool sag,
    /// radians; how fast it kicks it up, rad/s.
    pub push_m: f64,
    pub sag_rad: f64,
    pub kick_rad_s: f64,
    pushed_m: f64,
    /// The hands go round with the tool and not with the body.
    pub round: bool,
    /// Share of the strength that the jet takes in a second, and rest gives.
    pub tires: f64,
    pub rests: f64,
    pub hidden: Option<(f64, f64)>,
    pub people: Vec<(f64, f64, [f64; 2])>,
    pub clean: Vec<bool>,
    /// Nothing comes clean.
    pub stubborn: bool,
    pub wears: u8,
    pub hose: bool,
    work_ends: Option<Tick>,
    moments: Vec<Moment>,
    pub words: Vec<(f64, Seat, Call)>,
    pub log: Vec<Input>,
    pub trail: Vec<Trace>,
    /// Since when the trigger is let go with the catch off, and the longest.
    open: Option<Tick>,
    pub longest_open_s: f64,
    pub walked_open: bool,
    pub refused: Vec<Act>,
}

pub(super) const SURFACE: SurfaceFrame = SurfaceFrame {
    corner_m: [-0.75, 0.25, 0.0],
    right: [1.0, 0.0],
    size_m: [1.5, 1.2],
    tiles: [15, 12],
};

pub(super) fn site() -> Site {
    Site {
        nerves: crate::percept::Nerves::default(),
        places: vec![("lance".into(), [0.0, 1.55]), ("gate".into(), [3.0, 4.0])],
        controls: vec![(Control::EmergencyStop, [3.0, 1.2, 3.5])],
        reach_m: 0.8,
        zone_m: Some([[-3.0, -1.0], [3.0, 3.0]]),
        surface: Some(SURFACE),
    }
}

fn cells() -> [usize; 2] {
    [0, 1].map(|i| (SURFACE.size_m[i] / CELL_M).round() as usize)
}

impl LanceWorld {
    /// Somebody with the tool in their hands before the middle of the surface.
    pub fn new() -> Self {
        let yaw = core::f64::consts::FRAC_PI_2;
        LanceWorld {
            tick: Tick(0),
            body: OwnBody {
                at_m: [0.0, 1.55],
                yaw_rad: yaw,
                strength: 1.0,
                ..OwnBody::default()
            },
            walk: [0.0; 2],
            aim: [yaw, -0.3],
            tool: [yaw, -0.3],
            speed: [0.0; 2],
            hands_told: [0.0; 2],
            hands: [0.0; 2],
            in_hands: true,
            catch_on: true,
            squeezed: false,
            squeeze: 0.0,
            tied: false,
            brace: false,
            steps_at: Vec::new(),
            water: true,
            jet: false,
            push_m: 0.05,
            sag_rad: 0.01,
            kick_rad_s: 0.6,
            pushed_m: 0.0,
            round: false,
            tires: 0.0,
            rests: 0.1,
            hidden: None,
            people: Vec::new(),
            stubborn: false,
            clean: vec![false; cells()[0] * cells()[1]],
            wears: 0,
            hose: false,
            work_ends: None,
            moments: Vec::new(),
            words: Vec::new(),
            log: Vec::new(),
            trail: Vec::new(),
            open: None,
            longest_open_s: 0.0,
            walked_open: false,
            refused: Vec::new(),
        }
    }

    fn tip_m(&self) -> [f64; 3] {
        let yaw = if self.round {
            self.tool[0]
        } else {
            self.body.yaw_rad
        };
        let along = along(self.tool);
        let ahead = 0.35 + self.hands[0];
        let hands = [
            self.body.at_m[0] + ahead * libm::cos(yaw),
            1.15 + self.hands[1],
            self.body.at_m[1] - ahead * libm::sin(yaw),
        ];
        core::array::from_fn(|i| hands[i] + (TOOL_M - self.pushed_m) * along[i])
    }

    /// Where the line of the tool meets the surface, which stands at z = 0.
    pub fn spot(&self) -> Option<Spot> {
        let (tip, along) = (self.tip_m(), along(self.tool));
        let stand_off_m = -tip[2] / along[2];
        let x_m = tip[0] + along[0] * stand_off_m - SURFACE.corner_m[0];
        let y_m = tip[1] + along[1] * stand_off_m - SURFACE.corner_m[1];
        let inside = (0.0..=SURFACE.size_m[0]).contains(&x_m)
            && (0.0..=SURFACE.size_m[1]).contains(&y_m)
            && along[2] < 0.0;
        let spot = Spot {
            x_m,
            y_m,
            stand_off_m,
        };
        (self.in_hands && inside).then_some(spot)
    }

    /// The way the tool points, radians.
    pub fn yaw(&self) -> f64 {
        self.tool[0]
    }

    /// How far the line of the tool passes a spot by, radians.
    pub fn off_rad(&self, spot: [f64; 3]) -> f64 {
        let (tip, along) = (self.tip_m(), along(self.tool));
        let hands: [f64; 3] = core::array::from_fn(|i| tip[i] - TOOL_M * along[i]);
        let to: [f64; 3] = core::array::from_fn(|i| spot[i] - hands[i]);
        let length_m = to.iter().map(|x| x * x).sum::<f64>().sqrt();
        let level: f64 = to.iter().zip(along).map(|(a, b)| a * b).sum();
        libm::acos((level / length_m).min(1.0))
    }

    fn tiles(&self) -> Vec<u8> {
        let [columns, _] = cells();
        let per = 10;
        let [tiles_x, tiles_y] = SURFACE.tiles.map(usize::from);
        (0..tiles_x * tiles_y)
            .map(|tile| {
                let (x0, y0) = (tile % tiles_x * per, tile / tiles_x * per);
                let clean = (0..per * per)
                    .filter(|c| self.clean[(y0 + c / per) * columns + x0 + c % per])
                    .count();
                (clean * 100 / (per * per)) as u8
            })
            .collect()
    }

    fn percepts(&self) -> Percepts {
        let late = |s: f64| {
            &self.moments[self
                .moments
                .len()
                .saturating_sub(1 + Tick::at(s).0 as usize)]
        };
        let (felt, seen) = (late(TOUCH_DELAY_S), late(SIGHT_DELAY_S));
        let now = self.tick;
        let heard = self
            .words
            .iter()
            .filter(|(s, _, _)| Tick::at(s + HEARING_DELAY_S) == now)
            .map(|(_, seat, call)| Heard {
                seat: *seat,
                call: *call,
            })
            .collect();
        let hidden = self
            .hidden
            .is_some_and(|(from, until)| (from..until).contains(&now.seconds()));
        Percepts {
            tick: now,
            body: felt.body,
            jet_runs: seen.jet,
            sound: Sound::default(),
            heard,
            tool: felt.tool,
            holds_hose: felt.hose,
            spot: seen.spot.filter(|_| !hidden),
            tiles_pct: seen.tiles.clone(),
            wears: felt.wears,
            people: seen.people.clone(),
            nozzle_fitted: Some(true),
            ..Percepts::default()
        }
    }

    pub fn step(&mut self, pilot: &mut Pilot) {
        let tool = self.in_hands.then(|| ToolSense {
            tip_m: self.tip_m(),
            yaw_rad: self.tool[0],
            pitch_rad: self.tool[1],
            reach_m: self.hands[0],
            lift_m: self.hands[1],
            catch_on: self.catch_on,
            squeeze: self.squeeze,
            tied: self.tied,
        });
        let s = self.tick.seconds();
        let people = self
            .people
            .iter()
            .filter(|(from, until, _)| (*from..*until).contains(&s))
            .map(|(_, _, at)| (Seat::VISITOR, *at))
            .collect();
        self.moments.push(Moment {
            body: self.body,
            tool,
            spot: self.spot(),
            jet: self.jet,
            tiles: self.tiles(),
            people,
            hose: self.hose,
            wears: self.wears,
        });
        let p = self.percepts();
        let mut inputs = Vec::new();
        pilot.act(&p, &mut inputs);
        for input in &inputs {
            assert_eq!((input.tick, input.seat), (self.tick, Seat::LANCE));
            self.take(input.act);
        }
        self.log.extend(inputs);
        self.live();
        self.tick.0 += 1;
    }

    fn take(&mut self, act: Act) {
        let rad = |units: i16| f64::from(units) * 1e-4;
        let refused = match act {
            Act::Squeeze { permille } => permille > 0 && (self.catch_on || self.body.fallen),
            Act::TakeUp => self.in_hands || self.body.fallen,
            Act::LayDown => !self.in_hands,
            Act::Begin(_) | Act::TakeHose | Act::Wear { .. } => self.in_hands,
            _ => false,
        };
        if refused {
            self.refused.push(act);
            return;
        }
        match act {
            Act::Aim { yaw, pitch } => {
                self.aim[0] += rad(yaw);
                self.aim[1] = (self.aim[1] + rad(pitch)).clamp(-1.2, 1.2);
            }
            Act::Turn { yaw } => {
                self.aim[0] += rad(yaw);
                self.body.yaw_rad += rad(yaw);
            }
            Act::Reach { mm } => {
                let to = self.hands_told[0] + f64::from(mm) * 1e-3;
                self.hands_told[0] = to.clamp(-0.2, 0.25);
            }
            Act::Lift { mm } => {
                let to = self.hands_told[1] + f64::from(mm) * 1e-3;
                self.hands_told[1] = to.clamp(-0.5, 0.4);
            }
            Act::Walk {
                forward_cm_s,
                right_cm_s,
            } => {
                self.walk = [forward_cm_s, right_cm_s].map(|cm| f64::from(cm) / 100.0);
                let moves = self.walk != [0.0; 2];
                self.walked_open |=
                    moves && self.in_hands && (!self.catch_on || self.squeezed || self.brace);
            }
            Act::Stand(stance) => self.body.stance = stance,
            Act::Brace(on) => self.brace = on,
            Act::SafetyCatch(on) => self.catch_on = on,
            Act::Squeeze { permille } => self.squeezed = permille > 500,
            Act::TakeUp => self.in_hands = true,
            Act::LayDown => {
                assert!(self.catch_on && !self.squeezed && !self.brace);
                self.in_hands = false;
            }
            Act::Begin(task) => {
                self.body.working = Some(task);
                self.work_ends = Some(self.tick.after(task.duration_s()));
            }
            Act::Wear { item, on: true } => self.wears |= item.bit(),
            Act::Wear { item, on: false } => self.wears &= !item.bit(),
            Act::Tie(on) => self.tied = on,
            Act::TakeHose => self.hose = true,
            Act::LetGo => self.hose = false,
            Act::Choose { .. } | Act::Say(_) | Act::HandBack | Act::Take(_) => {}
            other => panic!("the lance hand has no use for {other:?}"),
        }
    }

    fn live(&mut self) {
        let (sin, cos) = (libm::sin(self.body.yaw_rad), libm::cos(self.body.yaw_rad));
        let [forward, right] = self.walk;
        self.body.at_m[0] += (forward * cos + right * sin) * TICK_S;
        self.body.at_m[1] += (-forward * sin + right * cos) * TICK_S;

        // The body turns where the arms come to their end.
        let beyond = self.aim[0] - self.body.yaw_rad;
        self.body.yaw_rad += beyond - beyond.clamp(-0.6, 0.6);
        let sag = if self.jet { self.sag_rad } else { 0.0 };
        let to = [self.aim[0], self.aim[1] - sag];
        for (i, to) in to.into_iter().enumerate() {
            let pull = TOOL_RAD_S * TOOL_RAD_S * (to - self.tool[i]);
            let drag = 2.0 * TOOL_DAMPING * TOOL_RAD_S * self.speed[i];
            self.speed[i] += (pull - drag) * TICK_S;
            self.tool[i] += self.speed[i] * TICK_S;
        }
        for i in 0..2 {
            let m_s = (self.hands_told[i] - self.hands[i]) / HANDS_LAG_S;
            self.hands[i] += m_s.clamp(-HANDS_M_S, HANDS_M_S) * TICK_S;
        }
        let push_m = if self.jet { self.push_m } else { 0.0 };
        self.pushed_m += (push_m - self.pushed_m) * TICK_S / 0.1;

        let squeeze = if self.squeezed || self.tied { 1.0 } else { 0.0 };
        self.squeeze += (squeeze - self.squeeze) * TICK_S / 0.05;
        let jet = self.squeeze > 0.5 && self.water && self.in_hands;
        if jet && !self.jet {
            self.speed[1] += self.kick_rad_s;
            self.speed[0] += 0.5 * self.kick_rad_s;
        }
        self.jet = jet;

        let s = self.tick.seconds();
        if self.steps_at.iter().any(|at| Tick::at(*at) == self.tick) {
            self.brace = false;
            self.body.braced = 0.0;
        }
        let (to, span_s) = if self.brace { (1.0, 0.6) } else { (0.0, 0.3) };
        let step = TICK_S / span_s;
        self.body.braced += (to - self.body.braced).clamp(-step, step);
        let rate = if jet { -self.tires } else { self.rests };
        self.body.strength = (self.body.strength + rate * TICK_S).clamp(0.0, 1.0);
        if self.work_ends.is_some_and(|end| self.tick >= end) {
            self.work_ends = None;
            self.body.working = None;
        }

        if let Some(spot) = self.spot() {
            let trace = Trace {
                tick: self.tick,
                spot,
                jet,
            };
            self.trail.push(trace);
            if jet && !self.stubborn {
                self.wash([spot.x_m, spot.y_m]);
            }
        }
        if self.squeezed || self.catch_on {
            self.open = None;
        } else {
            let since = *self.open.get_or_insert(self.tick);
            self.longest_open_s = self.longest_open_s.max(self.tick.since(since));
        }
        assert!(s < 2000.0, "the world goes on for too long");
    }

    fn wash(&mut self, at: [f64; 2]) {
        let [columns, rows] = cells();
        let around = (JET_M / CELL_M) as i64 + 1;
        let [cx, cy] = at.map(|m| (m / CELL_M).floor() as i64);
        for y in cy - around..=cy + around {
            for x in cx - around..=cx + around {
                let middle = [x, y].map(|c| (c as f64 + 0.5) * CELL_M);
                let there = (0..columns as i64).contains(&x) && (0..rows as i64).contains(&y);
                if there && crate::person::distance_m(middle, at) <= JET_M {
                    self.clean[y as usize * columns + x as usize] = true;
                }
            }
        }
    }

    /// Runs until the pilot is done or stuck, or for so many seconds.
    pub fn run(&mut self, pilot: &mut Pilot, s: f64) {
        let end = self.tick.after(s);
        while self.tick < end && *pilot.outcome() == Outcome::Running {
            self.step(pilot);
        }
    }

    /// Times of the acts that are asked for.
    pub fn times(&self, wanted: impl Fn(&Act) -> bool) -> Vec<f64> {
        self.log
            .iter()
            .filter(|i| wanted(&i.act))
            .map(|i| i.tick.seconds())
            .collect()
    }
}

fn along([yaw, pitch]: [f64; 2]) -> [f64; 3] {
    let level = libm::cos(pitch);
    [
        level * libm::cos(yaw),
        libm::sin(pitch),
        -level * libm::sin(yaw),
    ]
}

/// A pilot at the lance.
pub(super) fn lance_pilot(goals: Vec<Goal>, after_stop: Vec<Goal>, skill: Skill) -> Pilot {
    lance_pilot_with(goals, after_stop, skill, 3)
}

/// One whose errors are drawn from this seed.
pub(super) fn lance_pilot_with(
    goals: Vec<Goal>,
    after_stop: Vec<Goal>,
    skill: Skill,
    seed: u64,
) -> Pilot {
    let script = Script {
        level: "test".into(),
        about: "test".into(),
        breaks: Vec::new(),
        goals,
        after_stop,
    };
    Pilot::new(script, Seat::LANCE, Source::Trainee, site(), skill, seed)
}

/// Feet and brace as the work asks for.
pub(super) fn braced() -> Vec<Goal> {
    vec![
        Goal::Stand {
            stance: Stance::Staggered,
        },
        Goal::Brace { on: true },
    ]
}

/// Work that takes its time.
pub(super) fn fit() -> Goal {
    Goal::Work {
        task: Task::FitNozzle,
    }
}
