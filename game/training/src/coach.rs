//! Help for who has never done it: what comes next, step by step.
//!
//! A [`Plan`] is data that stands beside a level and is no part of it: no mark
//! and no recording knows of it. A [`Coach`] follows an attempt by what is
//! observed, tick by tick, and says which step of the plan comes next. It sees
//! what the referee sees and changes nothing.

use crate::level::Words;
use crate::{Channel, Event, Observation};
use crew::{Call, Control, Ppe, Seat, Task, Tick};
use std::sync::Arc;

#[cfg(test)]
mod bands;
#[cfg(test)]
mod tests;

/// Names that stand in braces for the keys that do a thing, as in `{take}`.
pub const KEYS: [&str; 25] = [
    "ahead",
    "back",
    "left",
    "right",
    "turn_left",
    "turn_right",
    "hurry",
    "slowly",
    "wide",
    "staggered",
    "brace",
    "squeeze",
    "catch",
    "reach",
    "draw_in",
    "lift",
    "lower",
    "take",
    "inspect",
    "look_round",
    "call",
    "tag_out",
    "stop",
    "sheet",
    "menu",
];

/// The steps through a level, from the first deed to the hand-back.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The level it is for.
    pub level: String,
    /// The post of whoever follows it.
    pub post: Seat,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// What may come between them at any time.
    pub asides: Vec<Aside>,
}

/// What is read off a needle, bar: whole bars below 100, and to five from there on, since no eye tells
/// more of a large dial (a choice of this project). The number beside the needle in practice is this one
/// and plans go by it, so that what is shown within a band is within it.
#[must_use]
pub fn read_off_bar(needle_bar: f64) -> f64 {
    if needle_bar < 100.0 {
        needle_bar.round()
    } else {
        READ_BAR * (needle_bar / READ_BAR).round()
    }
}

/// How close a needle is read from 100 bar on, bar.
const READ_BAR: f64 = 5.0;

/// No channel reads more than this.
pub(crate) const MOST: f64 = 1.0e6;

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name.
    pub id: String,
    /// What is to be done.
    pub say: Words,
    /// How it is done.
    pub hint: Words,
    /// What it is done with.
    pub points_at: Option<Pointed>,
    /// What has to be seen for it to be done, one after the other.
    pub done: Vec<Stage>,
    /// What makes it needless: where this holds when it comes up, or comes to hold, it counts as done.
    pub spared: Option<Condition>,
    /// What takes it back once it was done.
    pub undone: Option<Undone>,
}

/// A condition that holds for a while.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// What has to hold.
    pub when: Condition,
    /// For how long without a break, seconds.
    pub for_s: f64,
}

/// What takes back a step that was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Undone {
    /// What takes it back.
    pub when: Condition,
    /// Until this step comes up, by its place in the plan.
    pub until: usize,
}

/// Something that comes between the steps, and what is to be done then.
#[derive(Clone, Debug, PartialEq)]
pub struct Aside {
    /// Its name.
    pub id: String,
    /// From which step of the plan until which other it may come, by their
    /// places; the other one is no longer among them.
    pub between: Vec<[usize; 2]>,
    /// When it comes.
    pub when: Condition,
    /// When there is no more need for it.
    pub over: Condition,
    /// What is to be done.
    pub steps: Vec<Step>,
}

/// What a step is done with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pointed {
    /// A control.
    Control(Control),
    /// The lance.
    Lance,
    /// The stand of the lance.
    Stand,
    /// The nozzle end of the lance.
    LanceEnd,
    /// A nozzle that lies ready, by its place in the level's list.
    Nozzle(u8),
    /// The bore gauge.
    BoreGauge,
    /// A piece of protective equipment on the rack.
    Ppe(Ppe),
    /// The board where the job is handed back.
    JobBoard,
    /// A place to walk to, metres along x and z.
    Place([f64; 2]),
    /// A part of the surface, metres along it and up.
    Surface {
        /// Its middle.
        at: [f64; 2],
        /// How wide and high it is.
        size: [f64; 2],
    },
}

/// Something that holds at a tick, or does not.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    /// A channel reads within these, in its own unit; the gauge as it is read by eye.
    Reads {
        /// The channel.
        channel: Channel,
        /// At least this, where that matters.
        at_least: f64,
        /// At most this, where that matters.
        at_most: f64,
    },
    /// Somebody has just said a word to its end.
    Said {
        /// Who.
        seat: Seat,
        /// What.
        call: Call,
    },
    /// A hand has just moved a control to this position.
    Moved {
        /// The control.
        control: Control,
        /// The position.
        to: u16,
    },
    /// A piece of work with the hands has just been done.
    Finished {
        /// The work.
        task: Task,
    },
    /// The job has just been handed back.
    HandedBack,
    /// A part was tagged out.
    TaggedOut,
    /// A piece of protective equipment is worn.
    Wears {
        /// The piece.
        item: Ppe,
    },
    /// This nozzle is on the lance, by its place in the level's list.
    Fitted {
        /// The nozzle.
        nozzle: u8,
    },
    /// This nozzle was the last that was laid out to be fitted.
    Chosen {
        /// The nozzle.
        nozzle: u8,
    },
    /// Who follows the plan stands near a place.
    At {
        /// The place, metres along x and z.
        place: [f64; 2],
        /// How near, metres.
        within_m: f64,
    },
    /// All of these hold at once.
    All(Vec<Condition>),
    /// One of these holds.
    Any(Vec<Condition>),
    /// This does not hold.
    Not(Box<Condition>),
}

/// What is remembered from tick to tick because no channel tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Known {
    post: Seat,
    chosen: Option<u8>,
}

impl Known {
    fn note(&mut self, o: &Observation) {
        for event in &o.events {
            if let Event::Chose { seat, nozzle } = event
                && *seat == self.post
            {
                self.chosen = Some(*nozzle);
            }
        }
    }

    fn at(&self, o: &Observation) -> Option<[f64; 2]> {
        let [x, z] = if self.post == Seat::LANCE {
            [Channel::LanceHandX, Channel::LanceHandZ]
        } else {
            [Channel::PumpHandX, Channel::PumpHandZ]
        };
        Some([o.mean(x)?, o.mean(z)?])
    }

    fn wears(&self, o: &Observation, item: Ppe) -> bool {
        let channel = if self.post == Seat::LANCE {
            Channel::LanceHandWears
        } else {
            Channel::PumpHandWears
        };
        o.sample(channel)
            .is_some_and(|s| s.mean & i32::from(item.bit()) != 0)
    }
}

impl Condition {
    /// What a channel that is missing reads is not known, and nothing holds of
    /// it.
    fn holds(&self, o: &Observation, known: &Known) -> bool {
        match self {
            Condition::Reads {
                channel,
                at_least,
                at_most,
            } => o
                .mean(*channel)
                .map(|v| match channel {
                    Channel::Gauge => read_off_bar(v),
                    _ => v,
                })
                .is_some_and(|v| (*at_least..=*at_most).contains(&v)),
            Condition::Said { seat, call } => o.events.contains(&Event::Said {
                seat: *seat,
                call: *call,
            }),
            Condition::Moved { control, to } => o.events.iter().any(
                |e| matches!(e, Event::Moved { control: c, to: t, .. } if (c, t) == (control, to)),
            ),
            Condition::Finished { task } => o
                .events
                .iter()
                .any(|e| matches!(e, Event::Finished { task: t, .. } if t == task)),
            Condition::HandedBack => o.events.contains(&Event::HandedBack),
            Condition::TaggedOut => o
                .events
                .iter()
                .any(|event| matches!(event, Event::TaggedOut { .. })),
            Condition::Wears { item } => known.wears(o, *item),
            Condition::Fitted { nozzle } => o
                .sample(Channel::Nozzle)
                .is_some_and(|s| s.mean == i32::from(*nozzle) + 1),
            Condition::Chosen { nozzle } => known.chosen == Some(*nozzle),
            Condition::At { place, within_m } => known.at(o).is_some_and(|at| {
                let [dx, dz] = [at[0] - place[0], at[1] - place[1]];
                dx * dx + dz * dz <= within_m * within_m
            }),
            Condition::All(all) => all.iter().all(|c| c.holds(o, known)),
            Condition::Any(any) => any.iter().any(|c| c.holds(o, known)),
            Condition::Not(not) => !not.holds(o, known),
        }
    }

    /// What a channel has to grow to for this to hold, where that is all, or one of the
    /// ways, that makes it hold.
    fn grows(&self, to: Channel) -> Option<f64> {
        match self {
            Condition::Reads {
                channel,
                at_least,
                at_most,
            } => (*channel == to && *at_least > 0.0 && *at_most >= MOST).then_some(*at_least),
            Condition::Any(any) => any.iter().find_map(|c| c.grows(to)),
            _ => None,
        }
    }
}

/// How far a step has come.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Progress {
    stage: usize,
    since: Option<Tick>,
}

impl Progress {
    /// Goes on by at most one stage, or to the end of a step that is spared; true when it did.
    fn see(&mut self, step: &Step, o: &Observation, known: &Known) -> bool {
        let Some(stage) = step.done.get(self.stage) else {
            return false;
        };
        if step.spared.as_ref().is_some_and(|s| s.holds(o, known)) {
            *self = Progress {
                stage: step.done.len(),
                since: None,
            };
            return true;
        }
        if !stage.when.holds(o, known) {
            self.since = None;
            return false;
        }
        let since = *self.since.get_or_insert(o.tick);
        let done = o.tick.since(since) >= stage.for_s;
        if done {
            *self = Progress {
                stage: self.stage + 1,
                since: None,
            };
        }
        done
    }

    fn is_done(&self, step: &Step) -> bool {
        self.stage >= step.done.len()
    }
}

/// An aside under way.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Away {
    aside: usize,
    step: usize,
    progress: Progress,
}

/// Follows an attempt through a plan.
#[derive(Clone, Debug)]
pub struct Coach {
    plan: Arc<Plan>,
    at: usize,
    progress: Progress,
    away: Option<Away>,
    known: Known,
    since: Tick,
}

impl Coach {
    /// A coach who stands at the first step.
    #[must_use]
    pub fn new(plan: Arc<Plan>) -> Self {
        let known = Known {
            post: plan.post,
            chosen: None,
        };
        Coach {
            plan,
            at: 0,
            progress: Progress::default(),
            away: None,
            known,
            since: Tick(0),
        }
    }

    /// The plan.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Takes in one tick. At most one step is ticked off in it.
    pub fn see(&mut self, o: &Observation) {
        self.known.note(o);
        let plan = self.plan.clone();
        self.go_on(&plan, o);
        self.step_aside(&plan, o);
    }

    fn go_on(&mut self, plan: &Plan, o: &Observation) {
        let taken_back = plan.steps[..self.at].iter().position(|step| {
            let watched = step.undone.as_ref().filter(|u| self.at < u.until);
            watched.is_some_and(|u| u.when.holds(o, &self.known))
        });
        if let Some(back) = taken_back {
            self.at = back;
            self.progress = Progress::default();
            self.since = o.tick;
        }
        let Some(step) = plan.steps.get(self.at) else {
            return;
        };
        if self.progress.see(step, o, &self.known) {
            self.since = o.tick;
            if self.progress.is_done(step) {
                self.at += 1;
                self.progress = Progress::default();
            }
        }
    }

    /// An aside hides the step of the plan for as long as it lasts; the plan
    /// goes on behind it by whatever is done.
    fn step_aside(&mut self, plan: &Plan, o: &Observation) {
        let Some(mut away) = self.away else {
            let comes = |a: &Aside| {
                let here = |[from, until]: &[usize; 2]| (*from..*until).contains(&self.at);
                (a.between.is_empty() || a.between.iter().any(here))
                    && a.when.holds(o, &self.known)
                    && !a.over.holds(o, &self.known)
            };
            if let Some(aside) = plan.asides.iter().position(comes) {
                self.away = Some(Away {
                    aside,
                    step: 0,
                    progress: Progress::default(),
                });
                self.since = o.tick;
            }
            return;
        };
        let aside = &plan.asides[away.aside];
        let step = aside.steps.get(away.step);
        let (Some(step), false) = (step, aside.over.holds(o, &self.known)) else {
            self.away = None;
            self.since = o.tick;
            return;
        };
        if away.progress.see(step, o, &self.known) {
            self.since = o.tick;
            if away.progress.is_done(step) {
                away.step += 1;
                away.progress = Progress::default();
            }
        }
        self.away = Some(away);
    }

    /// What comes next; nothing when all is done.
    #[must_use]
    pub fn step(&self) -> Option<&Step> {
        match &self.away {
            Some(away) => {
                let steps = &self.plan.asides[away.aside].steps;
                steps.get(away.step).or(self.plan.steps.get(self.at))
            }
            None => self.plan.steps.get(self.at),
        }
    }

    /// How far what has to hold for a while has come at a moment, and what is
    /// wanted, seconds.
    #[must_use]
    pub fn held(&self, now: Tick) -> Option<[f64; 2]> {
        let progress = self.away.as_ref().map_or(self.progress, |a| a.progress);
        let stage = self.step()?.done.get(progress.stage)?;
        let since = progress.since?;
        (stage.for_s > 0.0).then(|| [now.since(since).min(stage.for_s), stage.for_s])
    }

    /// How far a channel has come that the step is about, and what is wanted of
    /// it: where it only has to grow.
    #[must_use]
    pub fn grown(&self, channel: Channel, o: &Observation) -> Option<[f64; 2]> {
        let progress = self.away.as_ref().map_or(self.progress, |a| a.progress);
        let stage = self.step()?.done.get(progress.stage)?;
        let wanted = stage.when.grows(channel)?;
        Some([o.mean(channel)?, wanted])
    }

    /// How many steps of the plan are done.
    #[must_use]
    pub fn count(&self) -> usize {
        self.at
    }

    /// The aside that is under way, by its name.
    #[must_use]
    pub fn aside(&self) -> Option<&str> {
        self.away
            .as_ref()
            .map(|away| self.plan.asides[away.aside].id.as_str())
    }

    /// When it last went on.
    #[must_use]
    pub fn since(&self) -> Tick {
        self.since
    }
}

/// A text with the names in braces replaced by what `key` says of each.
#[must_use]
pub fn filled(text: &str, key: impl Fn(&str) -> String) -> String {
    let mut written = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        written.push_str(before);
        match after.split_once('}') {
            Some((name, after)) => {
                written.push_str(&key(name));
                rest = after;
            }
            None => {
                written.push('{');
                rest = after;
            }
        }
    }
    written.push_str(rest);
    written
}

/// What is wrong with the braces of a text: a name that stands for no key, or
/// nothing where one is not closed.
pub(crate) fn stranger(text: &str) -> Option<Option<String>> {
    text.split('{').skip(1).find_map(|after| {
        let Some((name, _)) = after.split_once('}') else {
            return Some(None);
        };
        let known = KEYS.contains(&name);
        (!known).then(|| Some(name.chars().take(40).collect()))
    })
}
