//! What goes wrong in a level, and when.
//!
//! [`Fate`] watches an attempt as the referee does and lets parts fail in their time. A failure is an
//! input like any other ([`Act::Fail`]): it stands in the recording, so that a replay needs neither
//! the plan nor the seed.

use crate::rules::line::{is_fed, is_loaded, mean, water_runs};
use crate::{Channel, Level, Observation};
use crew::{Act, Fault, Input, Seat, Source, Tick};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// What a level has in store.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Faults {
    /// What fails in every attempt.
    pub sure: Vec<Planned>,
    /// What is drawn by the seed of the attempt.
    pub drawn: Option<Draw>,
}

/// Some of a list, drawn by the seed.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// How many at least.
    pub least: u32,
    /// How many at most: no more than the list has.
    pub most: u32,
    /// The list.
    pub of: Vec<Planned>,
}

/// A fault with its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Planned {
    /// What fails.
    pub fault: Fault,
    /// How much, in whole units of the fault's extent.
    pub amount: u16,
    /// The moment from which its time counts.
    pub after: Moment,
    /// How long after it, seconds.
    pub s: f64,
    /// Whose doing it is: the level's or the instructor's.
    pub source: Source,
}

/// A moment that an attempt comes to, or never does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moment {
    /// The beginning of the attempt.
    Begin,
    /// The first water out of the tool with the line fed. What is planned after it comes while the line
    /// is fed: where it is not at that time, as soon as it is fed again.
    Water,
    /// The pressure of the job, with the trigger open; the same holds for what is planned after it.
    JobPressure,
}

impl Planned {
    /// Reads `fault=amount@seconds`, as on a command line: so much of a fault, so many seconds after
    /// the beginning. The amount is in the fault's own unit and may be left out where there is only
    /// one.
    ///
    /// # Errors
    /// Says what is wrong with it.
    pub fn parse(text: &str) -> Result<Self, PlanProblem> {
        let (what, s) = match text.split_once('@') {
            Some((what, s)) => (what, number(s)?),
            None => (text, 0.0),
        };
        let (id, amount) = match what.split_once('=') {
            Some((id, amount)) => (id, Some(number(amount)?)),
            None => (what, None),
        };
        let fault = Fault::by_id(id).ok_or_else(|| PlanProblem::NoSuchFault(id.to_owned()))?;
        let extent = fault.extent();
        let greatest = f64::from(extent.top) / extent.per_unit;
        let amount = amount.unwrap_or(greatest);
        if !(0.0..=greatest).contains(&amount) {
            return Err(PlanProblem::TooMuch {
                fault,
                amount,
                greatest,
            });
        }
        if !(0.0..=LATEST_S).contains(&s) {
            return Err(PlanProblem::Never(s));
        }
        Ok(Planned {
            fault,
            amount: whole(amount, fault),
            after: Moment::Begin,
            s,
            source: Source::Instructor,
        })
    }
}

/// The latest that a fault may be planned for, seconds after its moment.
pub const LATEST_S: f64 = 28_800.0;

/// An amount in a fault's own unit as whole units of its extent; within its range, so that nothing is
/// cut off.
pub(crate) fn whole(amount: f64, fault: Fault) -> u16 {
    let extent = fault.extent();
    (amount * extent.per_unit)
        .round()
        .clamp(0.0, f64::from(extent.top)) as u16
}

fn number(text: &str) -> Result<f64, PlanProblem> {
    text.parse()
        .ok()
        .filter(|n: &f64| n.is_finite())
        .ok_or_else(|| PlanProblem::NoNumber(text.to_owned()))
}

/// Why a fault cannot be planned so.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanProblem {
    /// There is no fault of this name.
    NoSuchFault(String),
    /// This is no number.
    NoNumber(String),
    /// There cannot be so much of it.
    TooMuch {
        /// The fault.
        fault: Fault,
        /// What was asked for, in the fault's unit.
        amount: f64,
        /// The most there can be.
        greatest: f64,
    },
    /// Not within any attempt, seconds.
    Never(f64),
}

/// Lets parts fail in their time.
#[derive(Clone, Debug)]
pub struct Fate {
    coming: Vec<Planned>,
    job_bar: f64,
    water: Option<Tick>,
    job_pressure: Option<Tick>,
    /// The pump fed the line in the tick before.
    fed: bool,
    /// What the level has let fail: it does not fail again.
    came: Vec<Fault>,
}

impl Fate {
    /// What is in store for an attempt with a seed.
    pub fn new(level: &Level, seed: u64) -> Self {
        let mut coming = level.faults.sure.clone();
        if let Some(draw) = &level.faults.drawn {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            rng.set_stream(STREAM);
            let mut left = draw.of.clone();
            for _ in 0..rng.random_range(draw.least..=draw.most) {
                let which = rng.random_range(0..left.len() as u32);
                coming.push(left.remove(which as usize));
            }
        }
        Fate {
            coming,
            job_bar: level.job.pressure_bar * (1.0 - level.job.within_pct / 100.0),
            water: None,
            job_pressure: None,
            fed: false,
            came: Vec::new(),
        }
    }

    /// One more thing that goes wrong.
    pub fn add(&mut self, planned: Planned) {
        self.coming.push(planned);
    }

    /// What fails in a tick, in the order of the plan.
    pub fn act(&mut self, tick: Tick, out: &mut Vec<Input>) {
        let at_work = |moment: Option<Tick>| moment.filter(|_| self.fed);
        let (water, job_pressure) = (at_work(self.water), at_work(self.job_pressure));
        let came = &mut self.came;
        self.coming.retain(|planned| {
            let from = match planned.after {
                Moment::Begin => Some(Tick(0)),
                Moment::Water => water,
                Moment::JobPressure => job_pressure,
            };
            let due = from.is_some_and(|from| tick >= from.after(planned.s));
            let again = planned.source == Source::Fault && came.contains(&planned.fault);
            if due && !again {
                came.push(planned.fault);
                out.push(Input {
                    tick,
                    seat: Seat::PUMP,
                    source: planned.source,
                    act: Act::Fail {
                        fault: planned.fault,
                        amount: planned.amount,
                    },
                });
            }
            !due
        });
    }

    /// Sees what came of a tick.
    pub fn see(&mut self, o: &Observation) {
        if self.coming.is_empty() {
            return;
        }
        self.fed = is_fed(o);
        let runs = is_loaded(o) && water_runs(o);
        if runs && self.water.is_none() {
            self.water = Some(o.tick);
        }
        let at_job = runs && mean(o, Channel::PumpPressure) >= self.job_bar;
        if at_job && self.job_pressure.is_none() {
            self.job_pressure = Some(o.tick);
        }
    }
}

/// The stream of the generator that faults are drawn from: the people of the crew have theirs below.
const STREAM: u64 = 1 << 32;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::{Scene, level};
    use std::collections::BTreeSet;

    fn planned(fault: Fault, after: Moment, s: f64) -> Planned {
        Planned {
            fault,
            amount: 1,
            after,
            s,
            source: Source::Fault,
        }
    }

    /// What fails in a scene, and when, in seconds.
    fn fails(level: &Level, seed: u64, play: impl FnOnce(&mut Scene<'_>)) -> Vec<(Fault, f64)> {
        let mut fate = Fate::new(level, seed);
        let mut out = Vec::new();
        play(&mut Scene::of(Channel::ALL, |o| {
            fate.act(o.tick, &mut out);
            fate.see(o);
        }));
        out.iter()
            .map(|input| match input.act {
                Act::Fail { fault, .. } => (fault, input.tick.seconds()),
                other => panic!("{other:?}"),
            })
            .collect()
    }

    fn work(s: &mut Scene<'_>) {
        s.run(2.0);
        s.loaded(60.0).run(1.0).jet(20.0).run(2.0);
        s.loaded(700.0).jet(200.0).run(10.0);
    }

    #[test]
    fn each_fault_comes_once_so_long_after_its_moment() {
        let mut level = level();
        level.faults.sure = vec![
            planned(Fault::DumpSlow, Moment::Begin, 0.0),
            planned(Fault::GunLeaks, Moment::Begin, 1.5),
            planned(Fault::AirLost, Moment::Water, 1.0),
            planned(Fault::NozzleBlocked, Moment::JobPressure, 4.0),
            planned(Fault::GaugeStuck, Moment::JobPressure, 400.0),
        ];
        let tick = 1.0 / 120.0;
        let near = |found: &[(Fault, f64)], wanted: &[(Fault, f64)]| {
            assert_eq!(found.len(), wanted.len(), "{found:?}");
            for (a, b) in found.iter().zip(wanted) {
                assert!(a.0 == b.0 && (a.1 - b.1).abs() < 1.5 * tick, "{a:?} {b:?}");
            }
        };
        near(
            &fails(&level, 1, work),
            &[
                (Fault::DumpSlow, 0.0),
                (Fault::GunLeaks, 1.5),
                (Fault::AirLost, 4.0),
                (Fault::NozzleBlocked, 9.0),
            ],
        );
        // What never runs has no first water.
        let dry = fails(&level, 1, |s| {
            s.run(30.0);
        });
        near(&dry, &[(Fault::DumpSlow, 0.0), (Fault::GunLeaks, 1.5)]);
    }

    #[test]
    fn what_is_planned_for_work_waits_while_nobody_works() {
        let mut level = level();
        level.faults.sure = vec![planned(Fault::GunStuck, Moment::JobPressure, 5.0)];
        let stopped = |s: &mut Scene<'_>| {
            s.loaded(700.0).jet(200.0).run(3.0);
            s.dumped().run(60.0);
        };
        assert_eq!(fails(&level, 1, |s| stopped(s)), []);
        let again = fails(&level, 1, |s| {
            stopped(s);
            s.loaded(100.0).run(1.0);
        });
        assert_eq!(again.len(), 1);
        assert!((again[0].1 - 63.0).abs() < 0.1, "{again:?}");
    }

    #[test]
    fn what_has_failed_does_not_fail_again() {
        let mut level = level();
        level.faults.sure = [1.0, 3.0]
            .map(|s| planned(Fault::GunStuck, Moment::Begin, s))
            .to_vec();
        let found = fails(&level, 1, |s| {
            s.run(10.0);
        });
        assert_eq!(found.len(), 1, "{found:?}");
    }

    #[test]
    fn what_is_drawn_depends_on_the_seed_alone_and_every_item_has_its_turn() {
        let mut level = level();
        let of: Vec<Planned> = Fault::ALL[..6]
            .iter()
            .map(|fault| planned(*fault, Moment::Begin, 0.0))
            .collect();
        level.faults.drawn = Some(Draw {
            least: 0,
            most: 3,
            of,
        });
        let drawn = |seed| -> Vec<Fault> {
            let found = fails(&level, seed, |s| {
                s.run(0.1);
            });
            found.into_iter().map(|(fault, _)| fault).collect()
        };
        let mut counts = [0; 4];
        let mut seen = BTreeSet::new();
        for seed in 0..400 {
            let faults = drawn(seed);
            assert_eq!(faults, drawn(seed));
            let different: BTreeSet<Fault> = faults.iter().copied().collect();
            assert_eq!(different.len(), faults.len(), "{faults:?}");
            counts[faults.len()] += 1;
            seen.extend(different);
        }
        assert_eq!(seen.len(), 6);
        // A quarter each, within four standard deviations of 400 draws.
        assert!(counts.iter().all(|n| (65..=135).contains(n)), "{counts:?}");
    }

    #[test]
    fn a_plan_is_read_from_a_line() {
        let plan = Planned::parse("strainer_fouled=82.5@120").expect("a plan");
        assert_eq!((plan.fault, plan.amount), (Fault::StrainerFouled, 825));
        assert_eq!((plan.after, plan.s), (Moment::Begin, 120.0));
        assert_eq!(plan.source, Source::Instructor);
        assert_eq!(Planned::parse("dump_stuck").map(|p| p.amount), Ok(1));
        assert_eq!(Planned::parse("dump_slow=6").map(|p| p.amount), Ok(60));
        for (text, wrong) in [
            ("leak=1", PlanProblem::NoSuchFault("leak".to_owned())),
            ("dump_slow=fast", PlanProblem::NoNumber("fast".to_owned())),
            ("dump_slow=6@", PlanProblem::NoNumber(String::new())),
            ("dump_slow=NaN", PlanProblem::NoNumber("NaN".to_owned())),
            ("dump_slow=6@-1", PlanProblem::Never(-1.0)),
        ] {
            assert_eq!(Planned::parse(text), Err(wrong), "{text}");
        }
        assert!(matches!(
            Planned::parse("dump_slow=61"),
            Err(PlanProblem::TooMuch { greatest: 60.0, .. })
        ));
    }
}
