//! A body for the tests of people who mostly walk: it does what it is told at
//! once, and the eyes and ears of the other end are the test's.

use crate::tick::TICK_S;
use crate::{Act, Call, Input, Mind, Percepts, Tick};

/// Somebody who walks, turns and speaks.
pub(crate) struct Afoot<M> {
    pub p: Percepts,
    pub mind: M,
    walk: [f64; 2],
    pub said: Vec<(Tick, Call)>,
    pub log: Vec<Input>,
    /// Everywhere they have been, a spot for each tick.
    pub track: Vec<[f64; 2]>,
}

impl<M: Mind> Afoot<M> {
    pub fn new(mind: M, at: [f64; 2], yaw_rad: f64) -> Self {
        let mut p = Percepts::default();
        p.body.at_m = at;
        p.body.yaw_rad = yaw_rad;
        p.body.strength = 1.0;
        Afoot {
            p,
            mind,
            walk: [0.0; 2],
            said: Vec::new(),
            log: Vec::new(),
            track: Vec::new(),
        }
    }

    /// One tick; what the test has put into the percepts is perceived.
    pub fn step(&mut self) {
        let mut out = Vec::new();
        self.mind.act(&self.p, &mut out);
        for input in &out {
            assert_eq!(input.tick, self.p.tick);
            match input.act {
                Act::Walk {
                    forward_cm_s,
                    right_cm_s,
                } => self.walk = [forward_cm_s, right_cm_s].map(|v| f64::from(v) / 100.0),
                Act::Turn { yaw } => self.p.body.yaw_rad += f64::from(yaw) * 1e-4,
                Act::Say(call) => self.said.push((self.p.tick, call)),
                other => panic!("nobody who only walks has a use for {other:?}"),
            }
        }
        self.log.extend(out);
        let (sin, cos) = libm::sincos(self.p.body.yaw_rad);
        let [forward, right] = self.walk;
        let [x, z] = self.p.body.at_m;
        self.p.body.at_m = [
            x + (forward * cos + right * sin) * TICK_S,
            z + (-forward * sin + right * cos) * TICK_S,
        ];
        self.track.push(self.p.body.at_m);
        self.p.heard.clear();
        self.p.tick.0 += 1;
    }

    pub fn calls(&self, call: Call) -> Vec<f64> {
        let of = |(at, said): &(Tick, Call)| (*said == call).then(|| at.seconds());
        self.said.iter().filter_map(of).collect()
    }
}
