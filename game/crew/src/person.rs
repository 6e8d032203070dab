//! What everybody played by the program has in common: a mind, what they know
//! of the yard, and how exact they are.

use crate::percept::Nerves;
use crate::pilot::Outcome;
use crate::{Act, Call, Control, Input, Percepts, Seat, Source, TICKS_PER_SECOND, Tick};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde::{Deserialize, Serialize};

/// A word that was said to its end, and what there was to be seen of the tool then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spoken {
    /// When.
    pub tick: Tick,
    /// Who said it.
    pub seat: Seat,
    /// The word.
    pub call: Call,
    /// A nozzle was on the lance.
    pub nozzle: bool,
    /// Water left the tool, or the hose was not limp.
    pub live: bool,
}

/// What has gone before, for somebody who comes into an attempt that is taken up
/// in its middle and has not thought through its beginning.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Past {
    /// What was said, in the order of time.
    pub said: Vec<Spoken>,
    /// When the trigger was squeezed (`true`) and let go, in turn.
    pub trigger: Vec<(Tick, bool)>,
    /// The same of the pedal of a second tool.
    pub pedal: Vec<(Tick, bool)>,
    /// The safety catch is off.
    pub catch_off: bool,
    /// The moment at which it is taken up.
    pub at: Tick,
    /// When water was first seen to leave the tool.
    pub water: Option<Tick>,
    /// Somebody who has no business there was in the zone.
    pub visited: bool,
    /// Where the throttle stands, percent.
    pub throttle_pct: f64,
    /// Pressure that the regulator is set to, bar.
    pub set_bar: f64,
}

/// Somebody played by the program.
pub trait Mind: Send + Sync {
    /// Hears what has gone before, ahead of the first tick.
    fn come_in(&mut self, _: &Past) {}

    /// Thinks once a tick: takes what this seat perceives now and adds what it
    /// does, stamped with the same tick.
    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>);

    /// How far they have come. Somebody without a script is always under way.
    fn outcome(&self) -> &Outcome {
        &Outcome::Running
    }
}

/// What a person who was shown round knows of the yard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Site {
    /// Named places to stand, metres along x and z.
    pub places: Vec<(String, [f64; 2])>,
    /// Where each control is, metres along x, y (up) and z.
    pub controls: Vec<(Control, [f64; 3])>,
    /// How far off, level with the ground, a control can be and still be
    /// taken hold of, metres.
    pub reach_m: f64,
    /// The zone that the barrier closes, least and greatest x and z, metres.
    pub zone_m: Option<[[f64; 2]; 2]>,
    /// The surface to be cleaned.
    pub surface: Option<SurfaceFrame>,
    /// How quickly people are.
    pub nerves: Nerves,
}

/// Where the surface to be cleaned is. It stands upright.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SurfaceFrame {
    /// Its lower left corner as one faces it, metres along x, y (up) and z.
    pub corner_m: [f64; 3],
    /// Unit vector along its lower edge, from left to right, along x and z.
    pub right: [f64; 2],
    /// Width and height, metres.
    pub size_m: [f64; 2],
    /// Tiles along its width and height, as in [`crate::Percepts::tiles_pct`].
    pub tiles: [u16; 2],
}

impl SurfaceFrame {
    /// A spot of the surface in the yard.
    pub fn point_m(&self, x_m: f64, y_m: f64) -> [f64; 3] {
        [
            self.corner_m[0] + self.right[0] * x_m,
            self.corner_m[1] + y_m,
            self.corner_m[2] + self.right[1] * x_m,
        ]
    }

    /// Unit vector out of the surface towards who faces it, along x and z.
    pub fn out(&self) -> [f64; 2] {
        [-self.right[1], self.right[0]]
    }
}

/// A person does not stand at the very end of their reach, metres.
const REACH_SPARE_M: f64 = 0.1;

impl Site {
    /// Where a named place is.
    pub fn place(&self, id: &str) -> Option<[f64; 2]> {
        self.places.iter().find(|(p, _)| p == id).map(|(_, at)| *at)
    }

    /// The point on the ground below a control.
    pub fn below(&self, control: Control) -> Option<[f64; 2]> {
        self.controls
            .iter()
            .find(|(c, _)| *c == control)
            .map(|(_, at)| [at[0], at[2]])
    }

    /// Whether a control can be taken hold of in comfort from a spot.
    pub fn in_reach(&self, control: Control, from: [f64; 2]) -> bool {
        self.below(control)
            .is_some_and(|at| distance_m(at, from) <= self.reach_m - REACH_SPARE_M)
    }

    /// Where to stand to take hold of a control: the nearest named place that
    /// it can be reached from, or else right at it, because whatever it is
    /// mounted on stops the walk.
    pub fn spot_for(&self, control: Control, from: [f64; 2]) -> Option<[f64; 2]> {
        let mut best: Option<[f64; 2]> = None;
        for (_, at) in &self.places {
            let nearer = best.is_none_or(|b| distance_m(*at, from) < distance_m(b, from));
            if nearer && self.in_reach(control, *at) {
                best = Some(*at);
            }
        }
        best.or_else(|| self.below(control))
    }
}

/// Distance between two spots on the ground, metres.
pub(crate) fn distance_m(a: [f64; 2], b: [f64; 2]) -> f64 {
    ((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1])).sqrt()
}

/// How exact a person is. All figures are choices of this project.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Skill {
    /// Every pause is so many times as long as that of a steady hand.
    pub pace: f64,
    /// Spread of the pauses: standard deviation of their natural logarithm.
    pub spread: f64,
    /// Waits of a script may last longer by up to this share, drawn evenly.
    pub dawdle: f64,
    /// Waits of a script are cut to this share.
    pub wait_share: f64,
    /// Turns the regulator too far by up to this share of the tolerance.
    pub overshoot: f64,
    /// Share of the words that are not caught at the first hearing. A word
    /// that stops the work is never missed.
    pub missed: f64,
    /// Waits for answers and for words that were agreed.
    pub listens: bool,
    /// How far the tip of the tool wanders about where it should be, each way,
    /// root mean square, metres.
    pub tremor_m: f64,
    /// A row of a sweep is gone along too fast or too slowly by up to this
    /// share.
    pub pace_error: f64,
    /// A row of a sweep lies too high or too low by up to this, metres.
    pub row_error_m: f64,
    /// A row of a sweep is swept from too near or too far by up to this,
    /// metres.
    pub stand_off_error_m: f64,
}

impl Skill {
    /// A hand without error.
    pub fn steady() -> Self {
        Skill {
            pace: 1.0,
            spread: 0.0,
            dawdle: 0.0,
            wait_share: 1.0,
            overshoot: 0.0,
            missed: 0.0,
            listens: true,
            tremor_m: 0.0,
            pace_error: 0.0,
            row_error_m: 0.0,
            stand_off_error_m: 0.0,
        }
    }

    /// A good hand with the small errors that people make.
    pub fn human() -> Self {
        Skill {
            spread: 0.25,
            dawdle: 0.06,
            overshoot: 1.0 / 3.0,
            missed: 0.04,
            tremor_m: 0.004,
            pace_error: 0.1,
            row_error_m: 0.004,
            stand_off_error_m: 0.008,
            ..Skill::steady()
        }
    }

    /// A hand in a hurry: no pauses, short waits, no answers waited for.
    pub fn hasty() -> Self {
        Skill {
            pace: 0.0,
            wait_share: 0.2,
            listens: false,
            ..Skill::steady()
        }
    }
}

/// What a random number is drawn for. Each purpose has a stream of its own, so
/// that one more draw for one purpose changes nothing elsewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Purpose {
    Pauses = 1,
    Waits = 2,
    Knob = 3,
    Hearing = 4,
    Tremor = 5,
    Rows = 6,
}

fn stream(seed: u64, seat: Seat, purpose: Purpose) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(u64::from(seat.0) << 8 | purpose as u64);
    rng
}

/// Evenly drawn between 0 and 1, both left out.
fn even(rng: &mut ChaCha8Rng) -> f64 {
    (f64::from(rng.next_u32()) + 0.5) / 4_294_967_296.0
}

/// Drawn from the normal distribution (by the Box-Muller transform).
fn normal(rng: &mut ChaCha8Rng) -> f64 {
    let (u, v) = (even(rng), even(rng));
    (-2.0 * libm::log(u)).sqrt() * libm::cos(2.0 * core::f64::consts::PI * v)
}

/// Evenly drawn between minus one and one.
fn either_way(rng: &mut ChaCha8Rng) -> f64 {
    2.0 * even(rng) - 1.0
}

/// Slowest and fastest wander of the tip, hertz (from memory: slow drift of an
/// arm that holds a weight; the fast tremor of 8-12 Hz is lost in the mass of
/// the tool).
const WANDER_HZ: (f64, f64) = (0.5, 1.0);

/// How the tip of the tool wanders: two waves along the surface and two up it,
/// each with a frequency and a phase.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Wander {
    rms_m: f64,
    waves: [[(f64, f64); 2]; 2],
}

impl Wander {
    /// How far the tip is off now, metres along the surface and up.
    pub fn at_m(&self, tick: Tick) -> [f64; 2] {
        let s = tick.seconds();
        // Two waves of one amplitude have that amplitude for their joint root
        // mean square.
        self.waves.map(|pair| {
            pair.iter()
                .map(|(hz, phase)| {
                    self.rms_m * libm::sin(2.0 * core::f64::consts::PI * (hz * s + phase))
                })
                .sum()
        })
    }
}

/// What is not exact about one row of a sweep.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct RowErrors {
    /// Speed against the one that was meant.
    pub pace: f64,
    /// Too high, metres.
    pub up_m: f64,
    /// Too far off, metres.
    pub off_m: f64,
}

/// Shortest and longest pause of a human hand against that of a steady one.
const STRETCH: (f64, f64) = (0.7, 1.8);

/// Whose hands they are, and how exact.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Their seat.
    pub seat: Seat,
    /// Who moves their hands.
    pub source: Source,
    /// How exact they are.
    pub skill: Skill,
    /// How quick they are.
    pub nerves: Nerves,
    pauses: ChaCha8Rng,
    waits: ChaCha8Rng,
    knob: ChaCha8Rng,
    hearing: ChaCha8Rng,
    tremor: ChaCha8Rng,
    rows: ChaCha8Rng,
}

impl Person {
    /// A person whose errors are drawn from `seed`.
    pub fn new(seat: Seat, source: Source, skill: Skill, seed: u64) -> Self {
        let of = |purpose| stream(seed, seat, purpose);
        Person {
            seat,
            source,
            skill,
            nerves: Nerves::default(),
            pauses: of(Purpose::Pauses),
            waits: of(Purpose::Waits),
            knob: of(Purpose::Knob),
            hearing: of(Purpose::Hearing),
            tremor: of(Purpose::Tremor),
            rows: of(Purpose::Rows),
        }
    }

    /// The same person, as quick as people of this site are.
    pub fn of(self, site: &Site) -> Self {
        Person {
            nerves: site.nerves,
            ..self
        }
    }

    /// Does something in this tick.
    pub fn does(&self, tick: Tick, act: Act, out: &mut Vec<Input>) {
        out.push(Input {
            tick,
            seat: self.seat,
            source: self.source,
            act,
        });
    }

    /// A pause that lasts `base_s` for a steady hand, seconds.
    pub fn pause_s(&mut self, base_s: f64) -> f64 {
        let stretch = if self.skill.spread > 0.0 {
            libm::exp(self.skill.spread * normal(&mut self.pauses)).clamp(STRETCH.0, STRETCH.1)
        } else {
            1.0
        };
        base_s * self.skill.pace * stretch
    }

    /// A wait that the script gives as `s`, seconds.
    pub fn wait_s(&mut self, s: f64) -> f64 {
        let longer = if self.skill.dawdle > 0.0 {
            self.skill.dawdle * even(&mut self.waits)
        } else {
            0.0
        };
        s * self.skill.wait_share * (1.0 + longer)
    }

    /// How far the regulator is turned past the mark this time, as a share of
    /// the tolerance.
    pub fn overshoot(&mut self) -> f64 {
        if self.skill.overshoot > 0.0 {
            self.skill.overshoot * even(&mut self.knob)
        } else {
            0.0
        }
    }

    /// Whether a word is not caught this time.
    pub fn misses(&mut self) -> bool {
        self.skill.missed > 0.0 && even(&mut self.hearing) < self.skill.missed
    }

    /// How the tip wanders from now on; not at all for a hand without tremor.
    pub(crate) fn wander(&mut self) -> Option<Wander> {
        if self.skill.tremor_m <= 0.0 {
            return None;
        }
        let rng = &mut self.tremor;
        let mut wave = || {
            let hz = WANDER_HZ.0 + (WANDER_HZ.1 - WANDER_HZ.0) * even(rng);
            (hz, even(rng))
        };
        Some(Wander {
            rms_m: self.skill.tremor_m,
            waves: [[wave(), wave()], [wave(), wave()]],
        })
    }

    /// What is not exact about the next row of a sweep.
    pub(crate) fn row_errors(&mut self) -> RowErrors {
        let Skill {
            pace_error,
            row_error_m,
            stand_off_error_m,
            ..
        } = self.skill;
        let mut draw = |most: f64| {
            if most > 0.0 {
                most * either_way(&mut self.rows)
            } else {
                0.0
            }
        };
        RowErrors {
            pace: 1.0 + draw(pace_error),
            up_m: draw(row_error_m),
            off_m: draw(stand_off_error_m),
        }
    }

    /// Random numbers drawn so far.
    pub fn draws(&self) -> u128 {
        [
            &self.pauses,
            &self.waits,
            &self.knob,
            &self.hearing,
            &self.tremor,
            &self.rows,
        ]
        .iter()
        .map(|rng| rng.get_word_pos())
        .sum()
    }
}

/// Spreads a speed given per second over ticks, in whole units.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Spread {
    carry: f64,
}

impl Spread {
    /// How many whole units fall into this tick.
    pub fn take(&mut self, per_s: f64) -> i32 {
        self.carry += per_s / f64::from(TICKS_PER_SECOND);
        let whole = self.carry.floor();
        self.carry -= whole;
        whole as i32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_steady_hand_draws_no_random_number() {
        let mut me = Person::new(Seat::PUMP, Source::Trainee, Skill::steady(), 7);
        assert_eq!(me.pause_s(0.3), 0.3);
        assert_eq!(me.wait_s(15.0), 15.0);
        assert_eq!(me.overshoot(), 0.0);
        assert!(!me.misses());
        assert_eq!(me.wander(), None);
        let exact = RowErrors {
            pace: 1.0,
            up_m: 0.0,
            off_m: 0.0,
        };
        assert_eq!(me.row_errors(), exact);
        assert_eq!(me.draws(), 0);
    }

    #[test]
    fn a_human_hand_stays_within_its_stated_errors() {
        let mut me = Person::new(Seat::PUMP, Source::Trainee, Skill::human(), 7);
        let mut missed = 0;
        let mut pauses = Vec::new();
        for _ in 0..2000 {
            let pause_s = me.pause_s(0.3);
            assert!((0.2..=0.55).contains(&pause_s), "{pause_s}");
            pauses.push(pause_s);
            let wait_s = me.wait_s(15.0);
            assert!((15.0..=15.9).contains(&wait_s), "{wait_s}");
            let over = me.overshoot();
            assert!((0.0..=1.0 / 3.0).contains(&over), "{over}");
            missed += usize::from(me.misses());
        }
        // 4 % of 2000 with a standard deviation of 8.8.
        assert!((40..=120).contains(&missed), "{missed}");
        pauses.sort_by(f64::total_cmp);
        // The median of a lognormal factor is one.
        assert!((pauses[1000] - 0.3).abs() < 0.01, "{}", pauses[1000]);
    }

    #[test]
    fn a_human_tip_wanders_slowly_and_by_its_stated_measure() {
        let mut me = Person::new(Seat::LANCE, Source::Trainee, Skill::human(), 7);
        for _ in 0..20 {
            let wander = me.wander().expect("a human hand");
            let mut squares = [0.0; 2];
            let mut fastest_m_s = 0.0_f64;
            let ticks = 200 * TICKS_PER_SECOND;
            for t in 0..ticks {
                let (now, next) = (wander.at_m(Tick(t)), wander.at_m(Tick(t + 1)));
                for way in 0..2 {
                    squares[way] += now[way] * now[way];
                    let m_s = (next[way] - now[way]) * f64::from(TICKS_PER_SECOND);
                    fastest_m_s = fastest_m_s.max(m_s.abs());
                }
            }
            for square in squares {
                let rms_m = (square / f64::from(ticks)).sqrt();
                assert!((0.003..0.005).contains(&rms_m), "{rms_m}");
            }
            // Two waves of at most 1 Hz and 4 mm.
            assert!(fastest_m_s <= 0.0503, "{fastest_m_s}");
        }
    }

    #[test]
    fn a_human_row_stays_within_its_stated_errors_and_uses_them() {
        let mut me = Person::new(Seat::LANCE, Source::Trainee, Skill::human(), 7);
        let mut most = [0.0_f64; 3];
        for _ in 0..500 {
            let row = me.row_errors();
            let errors = [row.pace - 1.0, row.up_m, row.off_m];
            for ((most, error), stated) in most.iter_mut().zip(errors).zip([0.1, 0.004, 0.008]) {
                assert!(error.abs() <= stated, "{error}");
                *most = most.max(error.abs() / stated);
            }
        }
        assert!(most.iter().all(|m| *m > 0.95), "{most:?}");
    }

    #[test]
    fn purposes_do_not_disturb_each_other() {
        let mut one = Person::new(Seat::PUMP, Source::Trainee, Skill::human(), 7);
        let mut two = one.clone();
        for _ in 0..5 {
            one.misses();
        }
        assert_eq!(one.pause_s(0.3), two.pause_s(0.3));
    }

    #[test]
    fn a_named_place_is_preferred_to_the_control_itself() {
        let site = Site {
            nerves: Nerves::default(),
            places: vec![
                ("gate".into(), [9.0, 0.0]),
                ("pump".into(), [1.0, 0.5]),
                ("back".into(), [1.0, -0.5]),
            ],
            controls: vec![
                (Control::Dump, [1.0, 1.1, 0.0]),
                (Control::Supply, [5.0, 0.4, 5.0]),
            ],
            reach_m: 0.8,
            zone_m: None,
            surface: None,
        };
        assert_eq!(site.spot_for(Control::Dump, [9.0, 3.0]), Some([1.0, 0.5]));
        assert_eq!(site.spot_for(Control::Supply, [9.0, 3.0]), Some([5.0, 5.0]));
        assert_eq!(site.spot_for(Control::Bleed, [9.0, 3.0]), None);
    }

    #[test]
    fn a_spread_speed_adds_up() {
        let mut spread = Spread::default();
        let total: i32 = (0..TICKS_PER_SECOND).map(|_| spread.take(250.0)).sum();
        assert!((249..=250).contains(&total), "{total}");
    }
}
