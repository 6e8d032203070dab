//! A small world for the tests of the pump hand: a pump whose controls are
//! seen late and moved with delay, a needle that lags, a bleed that runs dry,
//! and words that come when the test says so.
//!
//! It holds the pump hand to its promises in every tick: the dump is shut
//! only after a fresh word that was read back, the regulator goes up only
//! after "raise", and nobody leaves the dump lever of a line that is fed.

use super::*;
use crate::percept::{HEARING_DELAY_S, SIGHT_DELAY_S};
use crate::person::distance_m;
use crate::tick::TICK_S;
use crate::{Act, Heard, OwnBody, Sound};

const NEEDLE_LAG_S: f64 = 0.4;
/// From the push to the lever at its other end, seconds.
const PUSH_S: f64 = 0.25;
/// Rise of the needle per detent, bar.
const BAR_PER_DETENT: f64 = 1.3;
/// Detents before the spring takes hold.
const DEAD_DETENTS: f64 = 30.0;
/// "Raise" holds for so long, seconds.
const RAISE_S: f64 = 20.0;
/// Pressure with the regulator backed off, bar.
pub(super) const RESIDUAL_BAR: f64 = 15.0;

type Positions = [u16; Control::ALL.len()];

pub(super) struct World {
    pub tick: Tick,
    pub hand: PumpHand,
    pub at: [f64; 2],
    pub yaw: f64,
    walk: [f64; 2],
    pub holding: Option<Control>,
    pub positions: Positions,
    seen: Vec<Positions>,
    pushes: Vec<(Tick, Control, bool)>,
    pub pressure_bar: f64,
    needle_bar: f64,
    needle_seen: Vec<f64>,
    pub rev_s: f64,
    cranked_s: f64,
    /// The engine starts after so long a turn of the starter, seconds.
    pub cranks_for_s: f64,
    /// The bleed runs for so long after it was opened, seconds.
    pub drains_for_s: f64,
    /// A hose that has parted is seen, and somebody on the ground.
    pub harm: [bool; 2],
    bled_s: f64,
    /// Words that end at these times.
    words: Vec<(Tick, Seat, Call)>,
    pub log: Vec<Input>,
    pub said: Vec<(Tick, Call)>,
    /// When each control came to where it is.
    pub moved: Vec<(Tick, Control, u16)>,
    /// The word that allows the dump to be shut: asked, then read back.
    /// The word for water that the lance hand said last.
    asked: Option<Call>,
    clear_asked: Option<Call>,
    clear: bool,
    /// When "raise" was asked, and nothing since that takes it back.
    raise: Option<Tick>,
}

fn no(control: Control) -> usize {
    control as usize
}

pub(super) fn site() -> Site {
    Site {
        nerves: crate::percept::Nerves::default(),
        places: vec![("pump".into(), [0.0, 0.6]), ("lance".into(), [12.0, 3.0])],
        controls: vec![
            (Control::Supply, [-4.0, 0.5, -0.5]),
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

pub(super) fn ways() -> PumpHandWays {
    PumpHandWays {
        reply_s: 0.8,
        steps_bar: vec![100.0, 250.0, 500.0],
        throttle_pct: vec![20.0, 40.0, 60.0],
        cool_s: 0.0,
    }
}

impl World {
    /// The engine idles with the regulator backed off and the dump open.
    pub fn idling() -> Self {
        let mut world = World::standing();
        world.rev_s = 13.0;
        world.positions[no(Control::Key)] = 1;
        world
    }

    /// The engine stands, the dump is open, the bleed is shut.
    pub fn standing() -> Self {
        let mut positions = [0; Control::ALL.len()];
        positions[no(Control::Dump)] = 1;
        positions[no(Control::Supply)] = 1;
        World {
            tick: Tick(0),
            hand: PumpHand::new(ways(), site(), 1),
            at: [0.0, 0.6],
            yaw: 1.57,
            walk: [0.0; 2],
            holding: None,
            positions,
            seen: Vec::new(),
            pushes: Vec::new(),
            pressure_bar: 0.0,
            needle_bar: 0.0,
            needle_seen: Vec::new(),
            rev_s: 0.0,
            cranked_s: 0.0,
            cranks_for_s: 1.0,
            drains_for_s: 3.0,
            harm: [false; 2],
            bled_s: 0.0,
            words: Vec::new(),
            log: Vec::new(),
            said: Vec::new(),
            moved: Vec::new(),
            asked: None,
            clear_asked: None,
            clear: false,
            raise: None,
        }
    }

    /// A line at this step, reached by the words that lead there.
    pub fn at_step(step: usize) -> Self {
        let mut world = World::idling();
        world.asks(Call::ClearToPressurise);
        world.runs(8.0);
        assert_eq!(world.position(Control::Dump), 0);
        for _ in 0..step {
            world.asks(Call::Raise);
            world.runs(22.0);
        }
        assert_eq!(world.hand.step(), step);
        world
    }

    pub fn position(&self, control: Control) -> u16 {
        self.positions[no(control)]
    }

    pub fn set(&mut self, control: Control, to: u16) {
        self.positions[no(control)] = to;
    }

    /// The lance hand's word ends now.
    pub fn asks(&mut self, call: Call) {
        self.word(0.0, Seat::LANCE, call);
    }

    /// Somebody's word ends so many seconds from now.
    pub fn word(&mut self, in_s: f64, seat: Seat, call: Call) {
        self.words.push((self.tick.after(in_s), seat, call));
    }

    pub fn runs(&mut self, s: f64) {
        let end = self.tick.after(s);
        while self.tick < end {
            self.step();
        }
    }

    /// Runs until something is so, for at most so many seconds.
    pub fn runs_until(&mut self, s: f64, is: impl Fn(&World) -> bool) -> bool {
        let end = self.tick.after(s);
        while self.tick < end && !is(self) {
            self.step();
        }
        is(self)
    }

    fn fed(&self) -> bool {
        self.rev_s > 10.0 && self.position(Control::Dump) == 0
    }

    fn percepts(&mut self) -> Percepts {
        let delay = (SIGHT_DELAY_S / TICK_S) as usize;
        let late = |n: usize| n.saturating_sub(1 + delay);
        let now = self.tick;
        let heard: Vec<Heard> = self
            .words
            .iter()
            .filter(|(end, ..)| end.after(HEARING_DELAY_S) == now)
            .map(|&(_, seat, call)| Heard { seat, call })
            .collect();
        for h in &heard {
            self.hears(*h);
        }
        let open = self.position(Control::Bleed) == 1;
        Percepts {
            tick: now,
            body: OwnBody {
                at_m: self.at,
                yaw_rad: self.yaw,
                strength: 1.0,
                holding: self.holding,
                ..OwnBody::default()
            },
            gauge_bar: Some(self.needle_seen[late(self.needle_seen.len())]),
            controls: Control::ALL
                .into_iter()
                .zip(self.seen[late(self.seen.len())])
                .collect(),
            bleed_runs: Some(open && self.bled_s < self.drains_for_s),
            sound: Sound {
                engine_rev_s: self.rev_s,
                labour: 0.5,
                hiss: 0.5,
                knock: false,
            },
            heard,
            people: vec![(Seat::LANCE, [12.0, 3.0])],
            parted: self.harm[0],
            somebody_down: self.harm[1],
            ..Percepts::default()
        }
    }

    /// What a word allows.
    fn hears(&mut self, heard: Heard) {
        if matches!(heard.call, Call::Dump | Call::AllStop) {
            self.clear_asked = None;
            self.clear = false;
            self.raise = None;
        } else if heard.seat == Seat::LANCE {
            let clear = matches!(heard.call, Call::ClearToFlush | Call::ClearToPressurise);
            // Who asks again wants the same read-back, and nothing before it.
            if heard.call != Call::SayAgain {
                self.asked = clear.then_some(heard.call);
            }
            self.clear_asked = self.asked;
            self.clear = false;
            match heard.call {
                Call::Raise => self.raise = Some(self.tick),
                Call::ReadyQuery => {}
                _ => self.raise = None,
            }
        }
    }

    pub fn step(&mut self) {
        self.seen.push(self.positions);
        self.needle_seen.push(self.needle_bar);
        let p = self.percepts();
        let mut inputs = Vec::new();
        self.hand.act(&p, &mut inputs);
        for input in &inputs {
            assert_eq!((input.tick, input.seat), (self.tick, Seat::PUMP));
            assert_eq!(input.source, Source::Crew);
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
            } => self.walk = [forward_cm_s, right_cm_s].map(|v| f64::from(v) / 100.0),
            Act::Turn { yaw } => self.yaw += f64::from(yaw) * 1e-4,
            Act::Take(control) => {
                assert_eq!(self.holding, None, "one thing at a time");
                let spot = site().below(control).expect("only what is there is taken");
                if distance_m(spot, self.at) <= site().reach_m {
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
                let raise = self.raise.is_some_and(|at| self.tick.since(at) < RAISE_S);
                assert!(
                    control != Control::Regulator || detents < 0 || raise,
                    "the regulator goes up without a word at {} s",
                    self.tick.seconds()
                );
                let to = i32::from(self.position(control)) + i32::from(detents);
                self.put(control, to.clamp(0, i32::from(control.top())) as u16);
            }
            Act::Push { on } => {
                let control = self.holding.expect("a hand that pushes holds something");
                if control == Control::Dump && !on {
                    assert!(self.clear, "the dump is shut without a word");
                    self.clear = false;
                }
                self.pushes.push((self.tick.after(PUSH_S), control, on));
            }
            Act::Say(call) => {
                let own_end = self.tick.after(call.duration_s());
                self.said.push((own_end, call));
            }
            other => panic!("the pump hand has no use for {other:?}"),
        }
    }

    fn put(&mut self, control: Control, to: u16) {
        if self.position(control) != to {
            self.set(control, to);
            self.moved.push((self.tick, control, to));
        }
    }

    fn live(&mut self) {
        let (sin, cos) = libm::sincos(self.yaw);
        let [forward, right] = self.walk;
        self.at[0] += (forward * cos + right * sin) * TICK_S;
        self.at[1] += (-forward * sin + right * cos) * TICK_S;

        let now = self.tick;
        let due: Vec<_> = self.pushes.iter().copied().filter(|d| d.0 == now).collect();
        for (_, control, on) in due {
            let at = self.position(control);
            let to = if on {
                (at + 1).min(control.top())
            } else {
                at.saturating_sub(1)
            };
            self.put(control, to);
        }
        // One's own word allows what it reads back once it has ended.
        if let Some(asked) = self.clear_asked
            && self
                .said
                .iter()
                .any(|(end, call)| *end == now && *call == asked)
        {
            self.clear_asked = None;
            self.clear = true;
        }

        match self.position(Control::Key) {
            _ if self.position(Control::EmergencyStop) == 1 => self.rev_s = 0.0,
            2 if self.rev_s < 10.0 => {
                self.cranked_s += TICK_S;
                let runs = self.cranked_s >= self.cranks_for_s;
                self.rev_s = if runs { 13.0 } else { 3.0 };
            }
            0 => self.rev_s = (self.rev_s - 10.0 * TICK_S).max(0.0),
            _ if self.rev_s < 10.0 => {
                self.rev_s = 0.0;
                self.cranked_s = 0.0;
            }
            _ => self.rev_s = 13.0 + 0.12 * f64::from(self.position(Control::Throttle)),
        }
        if self.position(Control::Bleed) == 1 {
            self.bled_s += TICK_S;
        } else {
            self.bled_s = 0.0;
        }
        let knob = (f64::from(self.position(Control::Regulator)) - DEAD_DETENTS).max(0.0);
        let speed = 0.9 + 0.1 * f64::from(self.position(Control::Throttle)) / 100.0;
        self.pressure_bar = if self.fed() {
            (RESIDUAL_BAR + BAR_PER_DETENT * knob) * speed
        } else {
            0.0
        };
        let ripple = 0.01 * libm::sin(2.0 * core::f64::consts::PI * 24.0 * now.seconds());
        let felt_bar = self.pressure_bar * (1.0 + ripple);
        self.needle_bar += (felt_bar - self.needle_bar) * TICK_S / NEEDLE_LAG_S;
        if self.fed() {
            let dump = site().below(Control::Dump).expect("there is a dump");
            assert!(
                distance_m(dump, self.at) <= site().reach_m,
                "leaves a fed line"
            );
        }
    }

    /// The words said by the pump hand.
    pub fn words_said(&self) -> Vec<Call> {
        self.said.iter().map(|(_, call)| *call).collect()
    }

    /// When a control last came to a position, seconds.
    pub fn when(&self, control: Control, to: u16) -> Option<f64> {
        let of = |m: &&(Tick, Control, u16)| m.1 == control && m.2 == to;
        self.moved.iter().rev().find(of).map(|m| m.0.seconds())
    }
}
