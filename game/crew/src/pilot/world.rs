//! A small world for the tests of the pilot: controls that are seen late, a
//! needle that lags behind a knob, an engine that starts when it feels like
//! it, and somebody who answers.

use super::*;
use crate::percept::{HEARING_DELAY_S, SIGHT_DELAY_S};
use crate::tick::TICK_S;
use crate::{Heard, Mind, OwnBody, Percepts, Sound};

/// Time constant of the needle, seconds.
const NEEDLE_LAG_S: f64 = 0.4;

pub(super) struct World {
    pub tick: Tick,
    pub at: [f64; 2],
    pub yaw: f64,
    walk: [f64; 2],
    pub wall_x: Option<(f64, f64, f64)>,
    pub holding: Option<Control>,
    pub positions: [u16; Control::ALL.len()],
    seen: Vec<[u16; Control::ALL.len()]>,
    pub stuck: Option<Control>,
    /// The control moves only this long after the push, seconds.
    pub stiff_s: f64,
    pushes: Vec<(Tick, Control, bool)>,
    pub knob_bar: f64,
    pub dead_detents: f64,
    pub residual_bar: f64,
    pub cap_bar: f64,
    pub ripple: f64,
    pub gauge_visible: bool,
    pub labour_at_cap: f64,
    pub hiss_at_cap: f64,
    pub pressure_bar: f64,
    needle_bar: f64,
    needle_seen: Vec<f64>,
    pub rev_s: f64,
    pub cranks_for_s: f64,
    cranked_s: f64,
    pub air: Option<bool>,
    pub bleeds: Option<bool>,
    pub limp: Option<bool>,
    pub jet: bool,
    pub nozzle: Option<bool>,
    /// A hose that has parted is seen, and somebody on the ground.
    pub harm: [bool; 2],
    pub fallen: bool,
    /// Answers: when the pilot has said this, the lance hand says that.
    pub answers: Vec<(Call, Call)>,
    /// Words that end at these times.
    pub words: Vec<(f64, Call)>,
    heard_at: Vec<(Tick, Call)>,
    pub log: Vec<Input>,
    pub said: Vec<(Tick, Call)>,
    pub handed_back: bool,
    /// When each control last came to where it is.
    pub moved: Vec<(Tick, Control, u16)>,
}

pub(super) fn site() -> Site {
    Site {
        nerves: crate::percept::Nerves::default(),
        places: vec![
            ("pump".into(), [0.0, 0.6]),
            ("gate".into(), [6.0, 4.0]),
            ("supply".into(), [-4.0, 0.0]),
        ],
        controls: vec![
            (Control::Supply, [-4.0, 0.5, -0.5]),
            (Control::AirBleed, [-0.2, 0.8, 0.1]),
            (Control::Key, [0.3, 1.0, 0.1]),
            (Control::Throttle, [0.4, 1.0, 0.1]),
            (Control::Regulator, [0.0, 1.0, 0.1]),
            (Control::Dump, [-0.3, 1.0, 0.1]),
            (Control::EmergencyStop, [0.2, 1.2, 0.1]),
            (Control::Bleed, [-0.4, 0.8, 0.1]),
        ],
        reach_m: 0.8,
        zone_m: None,
        surface: None,
    }
}

fn at(control: Control) -> usize {
    Control::ALL
        .iter()
        .position(|c| *c == control)
        .unwrap_or_default()
}

impl World {
    pub fn new() -> Self {
        let mut positions = [0; Control::ALL.len()];
        positions[at(Control::Dump)] = 1;
        World {
            tick: Tick(0),
            at: [0.0, 0.6],
            yaw: 1.57,
            walk: [0.0; 2],
            wall_x: None,
            holding: None,
            positions,
            seen: Vec::new(),
            stuck: None,
            stiff_s: 0.0,
            pushes: Vec::new(),
            knob_bar: 0.8,
            dead_detents: 30.0,
            residual_bar: 25.0,
            cap_bar: 2000.0,
            ripple: 0.02,
            gauge_visible: true,
            labour_at_cap: 0.6,
            hiss_at_cap: 0.0,
            pressure_bar: 0.0,
            needle_bar: 0.0,
            needle_seen: Vec::new(),
            rev_s: 0.0,
            cranks_for_s: 1.0,
            cranked_s: 0.0,
            air: Some(false),
            bleeds: Some(false),
            limp: Some(true),
            jet: false,
            nozzle: Some(true),
            harm: [false; 2],
            fallen: false,
            answers: Vec::new(),
            words: Vec::new(),
            heard_at: Vec::new(),
            log: Vec::new(),
            said: Vec::new(),
            handed_back: false,
            moved: Vec::new(),
        }
    }

    /// A world with the engine running and the dump shut.
    pub fn fed() -> Self {
        let mut world = World::new();
        world.rev_s = 20.0;
        world.positions[at(Control::Key)] = 1;
        world.positions[at(Control::Dump)] = 0;
        world
    }

    pub fn position(&self, control: Control) -> u16 {
        self.positions[at(control)]
    }

    fn put(&mut self, control: Control, to: u16) {
        if self.stuck == Some(control) {
            return;
        }
        self.positions[at(control)] = to;
        self.moved.push((self.tick, control, to));
    }

    fn percepts(&mut self) -> Percepts {
        let delay = (SIGHT_DELAY_S / TICK_S) as usize;
        let late = |n: usize| n.saturating_sub(1 + delay);
        let seen = self.seen[late(self.seen.len())];
        let gauge = self.needle_seen[late(self.needle_seen.len())];
        let now = self.tick;
        let heard = self
            .heard_at
            .iter()
            .filter(|(tick, _)| *tick == now)
            .map(|(_, call)| Heard {
                seat: Seat::LANCE,
                call: *call,
            })
            .collect();
        let at_cap = self.pressure_bar >= self.cap_bar - 1.0;
        Percepts {
            tick: now,
            body: OwnBody {
                at_m: self.at,
                yaw_rad: self.yaw,
                strength: 1.0,
                fallen: self.fallen,
                holding: self.holding,
                ..OwnBody::default()
            },
            gauge_bar: self.gauge_visible.then_some(gauge),
            controls: Control::ALL.into_iter().zip(seen).collect(),
            bleed_runs: self.bleeds,
            air_spits: self.air,
            hose_limp: self.limp,
            jet_runs: self.jet,
            nozzle_fitted: self.nozzle,
            sound: Sound {
                engine_rev_s: self.rev_s,
                labour: if at_cap { self.labour_at_cap } else { 0.5 },
                hiss: if at_cap { self.hiss_at_cap } else { 0.5 },
                knock: false,
            },
            heard,
            parted: self.harm[0],
            somebody_down: self.harm[1],
            ..Percepts::default()
        }
    }

    fn word(&mut self, end: Tick, call: Call) {
        self.heard_at.push((end.after(HEARING_DELAY_S), call));
    }

    pub fn step(&mut self, pilot: &mut Pilot) {
        self.seen.push(self.positions);
        self.needle_seen.push(self.needle_bar);
        for (s, call) in self.words.clone() {
            if Tick::at(s) == self.tick {
                self.word(self.tick, call);
            }
        }
        let p = self.percepts();
        let mut inputs = Vec::new();
        pilot.act(&p, &mut inputs);
        for input in &inputs {
            assert_eq!(input.tick, self.tick);
            assert_eq!(input.seat, Seat::PUMP);
            self.take(input.act);
        }
        self.log.extend(inputs);
        self.live();
        self.tick.0 += 1;
    }

    fn take(&mut self, act: Act) {
        match act {
            Act::Walk {
                forward_cm_s,
                right_cm_s,
            } => {
                self.walk = [
                    f64::from(forward_cm_s) / 100.0,
                    f64::from(right_cm_s) / 100.0,
                ]
            }
            Act::Turn { yaw } => self.yaw += f64::from(yaw) * 1e-4,
            Act::Take(control) => {
                assert_eq!(self.holding, None, "one thing at a time");
                let near = site()
                    .below(control)
                    .is_some_and(|spot| crate::person::distance_m(spot, self.at) <= site().reach_m);
                if near {
                    self.holding = Some(control);
                }
            }
            Act::LetGo => {
                if self.holding == Some(Control::Key) && self.position(Control::Key) == 2 {
                    self.put(Control::Key, 1);
                }
                self.holding = None;
            }
            Act::Twist { detents } => {
                let control = self.holding.expect("a hand that turns holds something");
                let top = i32::from(control.top());
                let to = (i32::from(self.position(control)) + i32::from(detents)).clamp(0, top);
                self.put(control, to as u16);
            }
            Act::Push { on } => {
                let control = self.holding.expect("a hand that pushes holds something");
                self.pushes
                    .push((self.tick.after(self.stiff_s), control, on));
            }
            Act::Say(call) => {
                let end = self.tick.after(call.duration_s());
                self.said.push((self.tick, call));
                for (_, answer) in self.answers.clone().iter().filter(|(to, _)| *to == call) {
                    self.word(end.after(1.0), *answer);
                }
            }
            Act::HandBack => self.handed_back = true,
            other => panic!("the pump hand has no use for {other:?}"),
        }
    }

    fn live(&mut self) {
        let (sin, cos) = (libm::sin(self.yaw), libm::cos(self.yaw));
        let [forward, right] = self.walk;
        let to = [
            self.at[0] + (forward * cos + right * sin) * TICK_S,
            self.at[1] + (-forward * sin + right * cos) * TICK_S,
        ];
        let through = self.wall_x.is_some_and(|(x, from, until)| {
            (self.at[0] - x) * (to[0] - x) <= 0.0 && (from..until).contains(&to[1])
        });
        if !through {
            self.at = to;
        }

        let due: Vec<_> = self
            .pushes
            .iter()
            .copied()
            .filter(|d| d.0 == self.tick)
            .collect();
        for (_, control, on) in due {
            let now = self.position(control);
            let to = if on {
                (now + 1).min(control.top())
            } else {
                now.saturating_sub(1)
            };
            if to != now {
                self.put(control, to);
            }
        }

        match self.position(Control::Key) {
            2 if self.rev_s < 10.0 => {
                self.cranked_s += TICK_S;
                self.rev_s = if self.cranked_s >= self.cranks_for_s {
                    13.0
                } else {
                    3.0
                };
            }
            0 => self.rev_s = 0.0,
            _ if self.rev_s < 10.0 => {
                self.rev_s = 0.0;
                self.cranked_s = 0.0;
            }
            _ => {}
        }
        if self.position(Control::EmergencyStop) == 1 {
            self.rev_s = 0.0;
        }

        let fed = self.rev_s > 10.0 && self.position(Control::Dump) == 0;
        let knob = (f64::from(self.position(Control::Regulator)) - self.dead_detents).max(0.0);
        self.pressure_bar = if fed {
            (self.residual_bar + self.knob_bar * knob).min(self.cap_bar)
        } else {
            0.0
        };
        let wave = libm::sin(2.0 * core::f64::consts::PI * 24.0 * self.tick.seconds());
        let felt_bar = self.pressure_bar * (1.0 + self.ripple * wave);
        self.needle_bar += (felt_bar - self.needle_bar) * TICK_S / NEEDLE_LAG_S;
    }

    /// Runs until the pilot is done or stuck, or for so many seconds.
    pub fn run(&mut self, pilot: &mut Pilot, s: f64) {
        let end = self.tick.after(s);
        while self.tick < end && *pilot.outcome() == Outcome::Running {
            self.step(pilot);
        }
    }
}

fn script(goals: Vec<Goal>, after_stop: Vec<Goal>) -> Script {
    Script {
        level: "test".into(),
        about: "test".into(),
        breaks: Vec::new(),
        goals,
        after_stop,
    }
}

pub(super) fn pilot_with(goals: Vec<Goal>, skill: Skill, seed: u64) -> Pilot {
    let script = script(goals, Vec::new());
    Pilot::new(script, Seat::PUMP, Source::Trainee, site(), skill, seed)
}

/// A pilot with something to do after a stop.
pub(super) fn pilot_after(goals: Vec<Goal>, after_stop: Vec<Goal>) -> Pilot {
    let (script, skill) = (script(goals, after_stop), Skill::steady());
    Pilot::new(script, Seat::PUMP, Source::Trainee, site(), skill, 1)
}

pub(super) fn pilot(goals: Vec<Goal>) -> Pilot {
    pilot_with(goals, Skill::steady(), 1)
}
