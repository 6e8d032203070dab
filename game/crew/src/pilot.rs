//! The pilot: follows a script by what it perceives.
//!
//! A script names goals; the pilot finds the hand movements. It sees, hears
//! and reaches no further than a person in its place, and what it does has the
//! pauses of a person. Whatever it is doing, a word that stops the work makes
//! it open the dump first, or let go of the trigger at the lance.

mod arms;
mod engine;
mod finger;
mod footing;
mod hands;
mod lance;
mod needle;
mod rework;
mod rows;
mod stop;
mod sweep;
mod talk;
mod track;
mod walk;

#[cfg(test)]
mod lance_world;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod world;

pub(crate) use engine::{Starter, UNDER_POWER_REV_S};
pub(crate) use hands::Hands;
pub use needle::PressureLimit;
pub(crate) use needle::{Feel, Needle};
pub(crate) use talk::Voice;
pub(crate) use walk::Walk;

use crate::person::{Mind, Person, Site, Skill};
use crate::{Act, Call, Control, Cue, Goal, Input, Percepts, Script, Seat, Source, Tick};
use hands::Hindrance;
use lance::{Hold, Job};
use needle::Amiss;
use serde::{Deserialize, Serialize};
use stop::{Detour, Stop};
use talk::Talk;

/// How far a movement has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Step<F> {
    Going,
    Done,
    Failed(F),
}

/// How far a person with a script has come.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Outcome {
    /// Under way.
    #[default]
    Running,
    /// Every goal was reached.
    Done,
    /// A goal cannot be reached.
    Stuck {
        /// Its place in the script, from 0.
        index: usize,
        /// The goal.
        goal: Goal,
        /// Why.
        reason: StuckReason,
    },
}

/// Why a goal cannot be reached.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum StuckReason {
    /// The place or the control cannot be got to or not be seen.
    OutOfReach,
    /// The control does not go where it should.
    WouldNotMove {
        /// The control.
        control: Control,
        /// Where it was seen last.
        seen: u16,
    },
    /// The engine did not run under its own power in time.
    EngineWouldNotStart,
    /// Nobody answered, twice.
    NoAnswer(Call),
    /// What was waited for did not come in time.
    CueNeverCame(Cue),
    /// The needle cannot be brought to the pressure.
    PressureCannotBeReached {
        /// Where it stood last, bar.
        gauge_bar: f64,
        /// Where it should be, bar.
        wanted_bar: f64,
        /// What stands against it.
        why: PressureLimit,
    },
    /// The work was stopped by this word, and the goal would have gone on with
    /// it.
    StopCalled(Call),
    /// One lies on the ground and does not get up.
    Fallen,
    /// The engine came to a stand though nobody here stopped it.
    EngineStopped,
}

impl StuckReason {
    /// Stable name, as the end of text ids.
    pub fn id(&self) -> &'static str {
        match self {
            StuckReason::OutOfReach => "out_of_reach",
            StuckReason::WouldNotMove { .. } => "would_not_move",
            StuckReason::EngineWouldNotStart => "engine_would_not_start",
            StuckReason::NoAnswer(_) => "no_answer",
            StuckReason::CueNeverCame(_) => "cue_never_came",
            StuckReason::PressureCannotBeReached { .. } => "pressure_cannot_be_reached",
            StuckReason::StopCalled(_) => "stop_called",
            StuckReason::Fallen => "fallen",
            StuckReason::EngineStopped => "engine_stopped",
        }
    }
}

/// How near to a place is there, metres.
const NEAR_M: f64 = 0.15;
/// From a goal reached to the next one taken up, seconds.
const BETWEEN_S: f64 = 0.25;
/// The pilot gives up a walk after this long, seconds.
const WALK_MAX_S: f64 = 90.0;
/// Somebody on the ground gives up after this long, seconds.
const FALLEN_MAX_S: f64 = 20.0;
/// An engine that is silent for so long has stopped, seconds.
const SILENT_S: f64 = 1.0;
/// From a word that was not caught to asking for it again, seconds.
const PUZZLED_S: f64 = 0.4;

/// What is being done about the present goal.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Work {
    #[default]
    Fresh,
    Walk(Walk),
    Set(Hands),
    Start(Starter),
    Say(Talk),
    Wait {
        until: Tick,
    },
    Until {
        holds_since: Option<Tick>,
    },
    Bring(Box<Needle>),
    Lance(Box<Job>),
}

/// Opening the dump because somebody called for it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Reflex {
    call: Call,
    from: Tick,
    hands: Hands,
}

/// Somebody who follows a script.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pilot {
    me: Person,
    site: Site,
    script: Script,
    outcome: Outcome,
    index: usize,
    begun: Tick,
    free_at: Tick,
    work: Work,
    reflex: Option<Reflex>,
    /// How the tool is held.
    hold: Hold,
    /// Letting go of it because somebody called for it.
    stop: Option<Stop>,
    /// What is done after a stop.
    detour: Option<Detour>,
    /// Somebody who is seen in the zone has been taken in.
    intruder: bool,
    /// When to call the stop oneself.
    shout_at: Option<Tick>,
    voice: Voice,
    feel: Feel,
    /// Words caught and not yet used.
    kept: Vec<Call>,
    /// When to ask for a word that was not caught.
    ask_at: Option<Tick>,
    fallen: Option<Tick>,
    /// The engine was started and is not meant to stop yet.
    engine_due: bool,
    /// Since when the engine is silent though it should run.
    silent: Option<Tick>,
}

impl Pilot {
    /// Somebody at a seat who follows a script; their errors are drawn from
    /// `seed`.
    pub fn new(
        script: Script,
        seat: Seat,
        source: Source,
        site: Site,
        skill: Skill,
        seed: u64,
    ) -> Self {
        Pilot {
            me: Person::new(seat, source, skill, seed).of(&site),
            site,
            script,
            outcome: Outcome::Running,
            index: 0,
            begun: Tick(0),
            free_at: Tick(0),
            work: Work::Fresh,
            reflex: None,
            hold: Hold::default(),
            stop: None,
            detour: None,
            intruder: false,
            shout_at: None,
            voice: Voice::default(),
            feel: Feel::default(),
            kept: Vec::new(),
            ask_at: None,
            fallen: None,
            engine_due: false,
            silent: None,
        }
    }

    /// How far the script has come.
    pub fn outcome(&self) -> &Outcome {
        &self.outcome
    }

    /// The goal being worked at, by its place in the script.
    pub fn goal(&self) -> usize {
        self.index
    }

    /// Random numbers drawn so far.
    pub fn draws(&self) -> u128 {
        self.me.draws()
    }

    /// Catches the words of this tick.
    fn listen(&mut self, p: &Percepts) -> Vec<Call> {
        let mut caught = Vec::new();
        let own = self.me.seat;
        for heard in p.heard.iter().filter(|h| h.seat != own) {
            let stops = matches!(heard.call, Call::Dump | Call::AllStop);
            if !stops && heard.call != Call::SayAgain && self.me.misses() {
                let pause_s = self.me.pause_s(PUZZLED_S);
                self.ask_at = Some(p.tick.after(pause_s));
                continue;
            }
            caught.push(heard.call);
            self.kept.push(heard.call);
        }
        caught
    }

    /// Begins to open the dump when a word stops the work.
    fn flinch(&mut self, p: &Percepts, caught: &[Call], out: &mut Vec<Input>) {
        let stop = caught
            .iter()
            .find(|c| matches!(c, Call::Dump | Call::AllStop));
        let Some(&call) = stop else { return };
        // What is open already needs no hand, unless that hand is shutting it.
        let open = p.position(Control::Dump) == Some(1) && !self.shuts_dump();
        if self.reflex.is_some() || self.site.below(Control::Dump).is_none() || open {
            return;
        }
        self.stand(p, out);
        self.forget_words(call);
        // Nobody in this crew, however hasty, is faster than their nerves.
        let choice_s = self.me.nerves.choice_s;
        let pause_s = self.me.pause_s(choice_s).max(0.5 * choice_s);
        self.reflex = Some(Reflex {
            call,
            from: p.tick.after(pause_s),
            hands: Hands::hurried(),
        });
    }

    /// Stands still, whatever is going on.
    fn stand(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        match &mut self.work {
            Work::Walk(walk) => walk.stand(&self.me, p, out),
            Work::Set(hands) => hands.stand(&self.me, p, out),
            Work::Start(starter) => starter.stand(&self.me, p, out),
            Work::Bring(needle) => needle.stand(&self.me, p, out),
            Work::Fresh
            | Work::Say(_)
            | Work::Wait { .. }
            | Work::Until { .. }
            | Work::Lance(_) => {}
        }
    }

    /// Opens the dump; true while that is going on.
    fn dumps(&mut self, p: &Percepts, out: &mut Vec<Input>) -> bool {
        let Some(reflex) = &mut self.reflex else {
            return false;
        };
        if p.tick < reflex.from {
            return true;
        }
        let done = reflex
            .hands
            .set(&mut self.me, &self.site, p, Control::Dump, 1, out);
        if done == Step::Going {
            return true;
        }
        let call = reflex.call;
        self.reflex = None;
        self.free_at = p.tick.after(self.me.pause_s(BETWEEN_S));
        if self.turns_aside(call) {
            self.turn_aside(p);
            return true;
        }
        // What puts water on the tool must not go on after a stop. All else
        // does, and the hands begin it anew.
        let brings = matches!(self.present(), Some(Goal::Bring { .. }));
        if brings || self.shuts_dump() {
            self.stuck(StuckReason::StopCalled(call));
        } else if matches!(self.work, Work::Walk(_) | Work::Set(_) | Work::Start(_)) {
            self.work = Work::Fresh;
        }
        true
    }

    /// Whether the goal is to shut the dump.
    fn shuts_dump(&self) -> bool {
        let shut = Goal::Set {
            control: Control::Dump,
            to: 0,
        };
        self.present() == Some(&shut)
    }

    /// Whether the engine, once started, has gone silent by itself.
    fn engine_died(&mut self, p: &Percepts) -> bool {
        if !self.engine_due || p.sound.engine_rev_s > 0.0 {
            self.silent = None;
            return false;
        }
        let since = *self.silent.get_or_insert(p.tick);
        p.tick.since(since) > SILENT_S
    }

    fn present(&self) -> Option<&Goal> {
        match self.outcome {
            Outcome::Running => match &self.detour {
                Some(detour) => self.script.after_stop.get(detour.at),
                None => self.script.goals.get(self.index),
            },
            _ => None,
        }
    }

    fn stuck(&mut self, reason: StuckReason) {
        if let Some(goal) = self.present() {
            self.outcome = Outcome::Stuck {
                index: self.index,
                goal: goal.clone(),
                reason,
            };
        }
    }

    fn next(&mut self, p: &Percepts) {
        self.work = Work::Fresh;
        self.free_at = p.tick.after(self.me.pause_s(BETWEEN_S));
        if self.detour.is_some() {
            self.next_aside(p);
            return;
        }
        self.index += 1;
        if self.index >= self.script.goals.len() {
            self.outcome = Outcome::Done;
        }
    }

    /// Works at the present goal.
    fn pursue(&mut self, goal: &Goal, p: &Percepts, caught: &[Call], out: &mut Vec<Input>) {
        if self.work == Work::Fresh {
            self.work = self.begin(goal, p);
        }
        if !self.carries(goal, p, out) {
            return;
        }
        let me = &mut self.me;
        let waited_s = p.tick.since(self.begun);
        let step = match (&mut self.work, goal) {
            (Work::Walk(walk), Goal::Walk { to }) => match self.site.place(to) {
                Some(at) if waited_s < WALK_MAX_S => match walk.go(me, p, at, NEAR_M, out) {
                    Step::Going => Step::Going,
                    Step::Done => Step::Done,
                    Step::Failed(()) => Step::Failed(StuckReason::OutOfReach),
                },
                _ => {
                    walk.stand(me, p, out);
                    Step::Failed(StuckReason::OutOfReach)
                }
            },
            (Work::Set(hands), Goal::Set { control, to }) => {
                name(hands.set(me, &self.site, p, *control, *to, out), *control)
            }
            (Work::Set(hands), Goal::Strike) => {
                let control = Control::EmergencyStop;
                name(hands.set(me, &self.site, p, control, 1, out), control)
            }
            (Work::Start(starter), Goal::StartEngine { within_s }) => {
                match starter.go(me, &self.site, p, out) {
                    Step::Going if waited_s > *within_s => {
                        starter.stand(me, p, out);
                        Step::Failed(StuckReason::EngineWouldNotStart)
                    }
                    step => name(step, Control::Key),
                }
            }
            (Work::Say(talk), Goal::Say { call, answer }) => {
                match talk.go(me, &mut self.voice, p, *call, *answer, caught, out) {
                    Step::Going => Step::Going,
                    Step::Done => {
                        if let Some(answer) = answer {
                            self.kept.retain(|c| c != answer);
                        }
                        Step::Done
                    }
                    Step::Failed(()) => Step::Failed(StuckReason::NoAnswer(*call)),
                }
            }
            (Work::Wait { until }, Goal::Wait { .. }) => done_if(p.tick >= *until),
            (Work::Until { holds_since }, Goal::Until { cue, within_s }) => {
                let come = match cue {
                    Cue::Heard { call } => {
                        let stops = matches!(call, Call::Dump | Call::AllStop);
                        let known = self.kept.iter().position(|c| c == call);
                        if let Some(at) = known {
                            self.kept.remove(at);
                        }
                        known.is_some() || !(me.skill.listens || stops)
                    }
                    _ => holds(*cue, p, holds_since),
                };
                if !come && waited_s > *within_s {
                    Step::Failed(StuckReason::CueNeverCame(*cue))
                } else {
                    done_if(come)
                }
            }
            (
                Work::Bring(needle),
                Goal::Bring {
                    bar,
                    within_pct,
                    within_s,
                },
            ) => {
                let limit = |gauge_bar, why| StuckReason::PressureCannotBeReached {
                    gauge_bar,
                    wanted_bar: *bar,
                    why,
                };
                match needle.go(me, &self.site, &mut self.feel, p, *bar, *within_pct, out) {
                    Step::Going if waited_s > *within_s => Step::Failed(limit(
                        needle.reads_bar(),
                        needle.found().unwrap_or(PressureLimit::Unsteady),
                    )),
                    Step::Going => Step::Going,
                    Step::Done => Step::Done,
                    Step::Failed(Amiss::Limit { gauge_bar, why }) => {
                        Step::Failed(limit(gauge_bar, why))
                    }
                    Step::Failed(Amiss::Hand(why)) => Step::Failed(reason(why, Control::Regulator)),
                }
            }
            (Work::Lance(job), _) => job.go(goal, &mut self.hold, me, &self.site, p, out),
            (_, Goal::HandBack) => {
                me.does(p.tick, Act::HandBack, out);
                Step::Done
            }
            (_, Goal::TagOut { part }) => {
                me.does(p.tick, Act::TagOut(*part), out);
                Step::Done
            }
            // The work is always begun for the goal it belongs to.
            _ => {
                self.work = Work::Fresh;
                Step::Going
            }
        };
        match step {
            Step::Going => {}
            Step::Done => {
                self.engine_due |= matches!(goal, Goal::StartEngine { .. });
                self.next(p);
            }
            Step::Failed(reason) => {
                self.stuck(reason);
                if p.body.holding.is_some() {
                    self.me.does(p.tick, Act::LetGo, out);
                }
            }
        }
    }

    /// Has the tool ready to be carried where the goal takes one away from
    /// where one stands; at once where there is none in the hands.
    fn carries(&mut self, goal: &Goal, p: &Percepts, out: &mut Vec<Input>) -> bool {
        let here = |control| self.site.in_reach(control, p.body.at_m);
        let stays = match goal {
            Goal::Walk { .. } | Goal::StartEngine { .. } => false,
            Goal::Set { control, .. } => here(*control),
            Goal::Strike => here(Control::EmergencyStop),
            _ => return true,
        };
        if stays {
            self.hold.finger.release(&self.me, p, out);
            return true;
        }
        self.hold.stow(&self.me, p, out)
    }

    fn begin(&mut self, goal: &Goal, p: &Percepts) -> Work {
        self.begun = p.tick;
        self.hold.fresh();
        if matches!(
            goal,
            Goal::Strike
                | Goal::Set {
                    control: Control::Key | Control::EmergencyStop,
                    ..
                }
        ) {
            self.engine_due = false;
        }
        match goal {
            Goal::Walk { .. } => Work::Walk(Walk::default()),
            Goal::Set { .. } | Goal::Strike => Work::Set(Hands::default()),
            Goal::StartEngine { .. } => Work::Start(Starter::default()),
            Goal::Say { .. } => {
                // A new exchange: what was said before belongs to an old one,
                // except a word that stops the work.
                self.kept
                    .retain(|c| matches!(c, Call::Dump | Call::AllStop));
                Work::Say(Talk::default())
            }
            Goal::Wait { s } => Work::Wait {
                until: p.tick.after(self.me.wait_s(*s)),
            },
            Goal::Until { .. } => Work::Until { holds_since: None },
            Goal::Bring { .. } => Work::Bring(Box::default()),
            Goal::HandBack | Goal::TagOut { .. } => Work::Wait { until: p.tick },
            Goal::Stand { .. }
            | Goal::Brace { .. }
            | Goal::Catch { .. }
            | Goal::Squeeze { .. }
            | Goal::AimAt { .. }
            | Goal::Sweep { .. }
            | Goal::Rework { .. }
            | Goal::LayDown
            | Goal::TakeUp
            | Goal::Choose { .. }
            | Goal::Work { .. }
            | Goal::Wear { .. }
            | Goal::Tie { .. }
            | Goal::TakeHose
            | Goal::LetGo
            | Goal::Trigger { .. } => {
                let job = Job::begin(goal, &self.hold, &mut self.me, &self.site, p);
                Work::Lance(Box::new(job))
            }
        }
    }
}

impl Mind for Pilot {
    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let caught = self.listen(p);
        if self.me.seat == Seat::LANCE {
            self.heed(p, &caught, out);
        } else {
            self.flinch(p, &caught, out);
        }
        self.minds_finger(p, out);
        if p.body.fallen {
            let since = *self.fallen.get_or_insert(p.tick);
            if p.tick.since(since) > FALLEN_MAX_S {
                self.stuck(StuckReason::Fallen);
            }
            return;
        }
        self.fallen = None;
        if self.ask_at.is_some_and(|at| p.tick >= at) && !self.voice.speaks(p.tick) {
            self.ask_at = None;
            self.voice.say(&self.me, p, Call::SayAgain, out);
        }
        self.shouts(p, out);
        if self.halts(p, out) || self.dumps(p, out) || p.tick < self.free_at {
            return;
        }
        // The hand at the regulator finds out by itself what is the matter.
        if self.engine_died(p) && !matches!(self.present(), Some(Goal::Bring { .. })) {
            self.stuck(StuckReason::EngineStopped);
        }
        match self.present().cloned() {
            Some(goal) => self.pursue(&goal, p, &caught, out),
            // A script without goals is done before it begins.
            None if self.outcome == Outcome::Running => self.outcome = Outcome::Done,
            None => {}
        }
    }

    fn outcome(&self) -> &Outcome {
        &self.outcome
    }
}

fn done_if(done: bool) -> Step<StuckReason> {
    if done { Step::Done } else { Step::Going }
}

fn reason(why: Hindrance, control: Control) -> StuckReason {
    match why {
        Hindrance::OutOfReach => StuckReason::OutOfReach,
        Hindrance::WouldNotMove { seen } => StuckReason::WouldNotMove { control, seen },
    }
}

fn name(step: Step<Hindrance>, control: Control) -> Step<StuckReason> {
    match step {
        Step::Going => Step::Going,
        Step::Done => Step::Done,
        Step::Failed(why) => Step::Failed(reason(why, control)),
    }
}

/// Whether a cue is there, and has been for as long as a person needs to be
/// sure of it. What cannot be perceived from here is not there.
fn holds(cue: Cue, p: &Percepts, since: &mut Option<Tick>) -> bool {
    let (now, sure_s) = match cue {
        // Kept by the ears of the pilot.
        Cue::Heard { .. } => (false, 0.0),
        Cue::GaugeAbove { bar } => (p.gauge_bar.is_some_and(|g| g > bar), 0.3),
        Cue::GaugeBelow { bar } => (p.gauge_bar.is_some_and(|g| g < bar), 0.3),
        Cue::EngineStands => (p.sound.engine_rev_s <= 0.0, 0.5),
        Cue::AirGone => (p.air_spits == Some(false), 1.0),
        Cue::BleedDry => (p.bleed_runs == Some(false), 1.0),
        Cue::HoseLimp => (p.hose_limp == Some(true), 0.5),
        Cue::JetRuns => (p.jet_runs, 0.2),
        Cue::JetStands => (!p.jet_runs, 0.5),
        Cue::NozzleFitted => (p.nozzle_fitted == Some(true), 0.2),
        // One stroke may be anything; a second of them is a pump that starves.
        Cue::PumpKnocks => (p.sound.knock, 1.0),
        Cue::Parted => (p.parted, 0.2),
        Cue::SomebodyDown => (p.somebody_down, 0.2),
        Cue::Sees { seat, within_m } => {
            let near = |at: [f64; 2]| crate::person::distance_m(at, p.body.at_m) <= within_m;
            (p.people.iter().any(|(s, at)| *s == seat && near(*at)), 0.2)
        }
    };
    if !now {
        *since = None;
        return false;
    }
    p.tick.since(*since.get_or_insert(p.tick)) >= sure_s
}
