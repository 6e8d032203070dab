//! The mate at the pedal of a second tool, played by the program.
//!
//! Stands at a lance that is clamped in a stand, and holds its pedal down for a while again and again.
//! Begins when the pump hand has said that the pressure is not to change, and lets go for good at a
//! word that stops the work. Hears, and knows nothing of the pump.

use crate::person::{Mind, Past, Person, Site, Skill};
use crate::{Act, Call, Input, Percepts, Seat, Source, Tick};
use serde::{Deserialize, Serialize};

/// How a mate behaves in a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MateWays {
    /// Work at the pedal once the pressure is not to change: wait, then press, seconds each.
    pub work: Vec<(f64, f64)>,
}

/// The mate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mate {
    me: Person,
    ways: MateWays,
    /// Part of the work that comes next, and since when it is being waited or pressed for.
    at: Option<(usize, Tick)>,
    /// The pedal is down.
    pressed: bool,
    /// When it is let go because of a word.
    stops_at: Option<Tick>,
}

impl Mate {
    /// A mate; the small differences between their pauses are drawn from `seed`.
    pub fn new(ways: MateWays, site: Site, seed: u64) -> Self {
        let calm = Skill {
            spread: 0.1,
            ..Skill::steady()
        };
        Mate {
            me: Person::new(Seat::MATE, Source::Crew, calm, seed).of(&site),
            ways,
            at: None,
            pressed: false,
            stops_at: None,
        }
    }

    fn press(&mut self, on: bool, p: &Percepts, out: &mut Vec<Input>) {
        if on != self.pressed {
            let permille = if on { 1000 } else { 0 };
            self.me.does(p.tick, Act::Squeeze { permille }, out);
            self.pressed = on;
        }
    }

    fn listen(&mut self, p: &Percepts) {
        for heard in &p.heard {
            match heard.call {
                Call::AllStop | Call::Dump => {
                    self.at = None;
                    if self.pressed && self.stops_at.is_none() {
                        let choice_s = self.me.nerves.choice_s;
                        let after_s = self.me.pause_s(choice_s);
                        self.stops_at = Some(p.tick.after(after_s));
                    }
                }
                Call::NoChange if heard.seat == Seat::PUMP => self.at = Some((0, p.tick)),
                _ => {}
            }
        }
    }
}

impl Mind for Mate {
    /// Goes on where whoever stood here before was with the work.
    fn come_in(&mut self, past: &Past) {
        self.pressed = past.pedal.last().is_some_and(|(_, down)| *down);
        let word = past.said.iter().rev().find(|spoken| match spoken.call {
            Call::AllStop | Call::Dump => true,
            Call::NoChange => spoken.seat == Seat::PUMP,
            _ => false,
        });
        let Some(word) = word else { return };
        if word.call == Call::NoChange {
            let since = past.pedal.iter().filter(|(at, _)| *at >= word.tick);
            let begun = since.filter(|(_, down)| *down).count();
            let part = begun.saturating_sub(usize::from(self.pressed));
            let last = past.pedal.last();
            let from = last.map_or(word.tick, |(at, _)| word.tick.max(*at));
            self.at = Some((part, from));
        } else if self.pressed {
            self.stops_at = Some(past.at);
        }
    }

    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        self.listen(p);
        if p.body.fallen {
            // Whoever lies on the ground has no foot on a pedal.
            self.pressed = false;
            self.at = None;
            return;
        }
        if self.stops_at.is_some_and(|at| p.tick >= at) {
            self.stops_at = None;
            self.press(false, p, out);
        }
        let Some((part, since)) = self.at else { return };
        let Some((wait_s, press_s)) = self.ways.work.get(part).copied() else {
            return;
        };
        let for_s = p.tick.since(since);
        if self.pressed && for_s >= press_s {
            self.press(false, p, out);
            self.at = Some((part + 1, p.tick));
        } else if !self.pressed && for_s >= wait_s {
            self.press(true, p, out);
            self.at = Some((part, p.tick));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Heard;
    use crate::tick::TICKS_PER_SECOND;

    fn site() -> Site {
        Site {
            places: Vec::new(),
            controls: Vec::new(),
            reach_m: 0.9,
            zone_m: None,
            surface: None,
            nerves: crate::percept::Nerves::default(),
        }
    }

    /// Lets a mate work for so many seconds; `calls` are heard at their seconds. Gives the spans in
    /// which the pedal is down, in whole tenths of a second.
    fn pressed(work: &[(f64, f64)], calls: &[(f64, Seat, Call)], seconds: f64) -> Vec<(f64, f64)> {
        let ways = MateWays {
            work: work.to_vec(),
        };
        let mut mate = Mate::new(ways, site(), 3);
        let (mut spans, mut down) = (Vec::new(), None);
        for n in 0..(seconds * f64::from(TICKS_PER_SECOND)) as u32 {
            let now_s = f64::from(n) / f64::from(TICKS_PER_SECOND);
            let heard = calls
                .iter()
                .filter(|(at, ..)| (at * f64::from(TICKS_PER_SECOND)) as u32 == n)
                .map(|(_, seat, call)| Heard {
                    seat: *seat,
                    call: *call,
                });
            let p = Percepts {
                tick: Tick(n),
                heard: heard.collect(),
                ..Percepts::default()
            };
            let mut out = Vec::new();
            mate.act(&p, &mut out);
            for input in out {
                assert_eq!(input.seat, Seat::MATE);
                match input.act {
                    Act::Squeeze { permille: 0 } => {
                        let from = down.take().expect("it was down");
                        spans.push((from, now_s));
                    }
                    Act::Squeeze { permille: 1000 } => down = Some(now_s),
                    other => panic!("{other:?}"),
                }
            }
        }
        spans.extend(down.map(|from| (from, f64::INFINITY)));
        spans
    }

    #[test]
    fn presses_in_turn_once_the_pressure_is_not_to_change() {
        let work = [(2.0, 4.0), (3.0, 5.0)];
        assert_eq!(pressed(&work, &[], 30.0), []);
        let begins = [(1.0, Seat::PUMP, Call::NoChange)];
        let spans = pressed(&work, &begins, 30.0);
        let starts: Vec<f64> = spans.iter().map(|s| s.0.round()).collect();
        let ends: Vec<f64> = spans.iter().map(|s| s.1.round()).collect();
        assert_eq!((starts, ends), (vec![3.0, 10.0], vec![7.0, 15.0]));
        // The lance hand may say it too, but it is the pump hand's to say.
        let other = [(1.0, Seat::LANCE, Call::NoChange)];
        assert_eq!(pressed(&work, &other, 30.0), []);
    }

    #[test]
    fn lets_go_for_good_at_a_word_that_stops_the_work() {
        let work = [(2.0, 40.0), (1.0, 5.0)];
        let calls = [
            (1.0, Seat::PUMP, Call::NoChange),
            (10.0, Seat::LANCE, Call::AllStop),
        ];
        let spans = pressed(&work, &calls, 60.0);
        assert_eq!(spans.len(), 1);
        let (_, end) = spans[0];
        assert!((10.2..11.2).contains(&end), "{end}");
    }

    #[test]
    fn who_comes_in_goes_on_where_the_work_was() {
        let spoken = |s, call| crate::Spoken {
            tick: Tick::at(s),
            seat: Seat::PUMP,
            call,
            nozzle: true,
            live: true,
        };
        let works = |words: &[(f64, Call)], pedal: &[(f64, bool)], at_s: f64| {
            let ways = MateWays {
                work: vec![(2.0, 4.0), (3.0, 5.0)],
            };
            let mut mate = Mate::new(ways, site(), 3);
            mate.come_in(&Past {
                said: words.iter().map(|(s, call)| spoken(*s, *call)).collect(),
                pedal: pedal.iter().map(|(s, on)| (Tick::at(*s), *on)).collect(),
                at: Tick::at(at_s),
                ..Past::default()
            });
            let mut turns = Vec::new();
            for n in Tick::at(at_s).0..Tick::at(at_s + 20.0).0 {
                let mut out = Vec::new();
                let p = Percepts {
                    tick: Tick(n),
                    ..Percepts::default()
                };
                mate.act(&p, &mut out);
                turns.extend(out.iter().map(|input| {
                    let on = input.act == Act::Squeeze { permille: 1000 };
                    (input.tick.seconds().round(), on)
                }));
            }
            turns
        };
        let word = [(1.0, Call::NoChange)];
        let all = works(&word, &[], 2.0);
        assert_eq!(
            all,
            [(3.0, true), (7.0, false), (10.0, true), (15.0, false)]
        );
        assert_eq!(works(&word, &[(3.0, true)], 5.0), all[1..]);
        assert_eq!(works(&word, &[(3.0, true), (7.0, false)], 8.0), all[2..]);
        let stopped = [(1.0, Call::NoChange), (5.0, Call::AllStop)];
        assert_eq!(works(&stopped, &[(3.0, true)], 6.0), [(6.0, false)]);
        assert_eq!(works(&stopped, &[(3.0, true), (6.0, false)], 7.0), []);
    }
}
