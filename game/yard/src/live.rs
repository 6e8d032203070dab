//! An attempt that a trainee plays by hand, tick by tick, with the crew played
//! by the program.

use crate::attempt::{Attempt, AttemptFault, Beginning};
use crate::play::{crew_coming_in, crew_of};
use crate::view::ViewFrame;
use crew::{Act, Input, Mind, Percepts, Seat, Source, Tick};
use training::recording::{Closed, OpenKey, Recording, Sealed, Sink};
use training::{Ended, Finding, Level, Mark, Observation, SurfaceStep};

/// An attempt under way, and its last two pictures.
pub struct Live<S: Sink> {
    attempt: Attempt<S>,
    post: Seat,
    crew: Vec<(Seat, Box<dyn Mind>)>,
    inputs: Vec<Input>,
    before: ViewFrame,
    now: ViewFrame,
}

impl<S: Sink> Live<S> {
    /// Begins an attempt at a level.
    ///
    /// # Errors
    /// As [`Attempt::begin`].
    pub fn begin(level: &Level, beginning: Beginning, sink: S) -> Result<Self, AttemptFault> {
        let seed = beginning.seed;
        let attempt = Attempt::begin(level, beginning, sink)?;
        Ok(Self::around(attempt, level, crew_of(level, seed)))
    }

    /// Takes up an earlier attempt at one of its moments. The crew begins to
    /// think anew there, told what has gone before.
    ///
    /// # Errors
    /// As [`Attempt::restart`].
    pub fn restart(
        level: &Level,
        beginning: Beginning,
        from: &Recording,
        at: Tick,
        sink: S,
    ) -> Result<Self, AttemptFault> {
        let seed = beginning.seed;
        let attempt = Attempt::restart(level, beginning, from, at, sink)?;
        let crew = crew_coming_in(level, seed, from, at);
        Ok(Self::around(attempt, level, crew))
    }

    fn around(mut attempt: Attempt<S>, level: &Level, crew: Vec<(Seat, Box<dyn Mind>)>) -> Self {
        let now = attempt.yard().view();
        Live {
            attempt,
            post: level.post,
            crew,
            inputs: Vec::new(),
            before: now.clone(),
            now,
        }
    }

    /// One tick with what the trainee does in it; says what was observed.
    ///
    /// # Errors
    /// As [`Attempt::step`].
    pub fn step(&mut self, acts: &[Act]) -> Result<&Observation, AttemptFault> {
        let tick = self.attempt.tick();
        self.inputs.clear();
        self.inputs.extend(acts.iter().map(|act| Input {
            tick,
            seat: self.post,
            source: Source::Trainee,
            act: *act,
        }));
        for (seat, mind) in &mut self.crew {
            mind.act(&self.attempt.percepts(*seat), &mut self.inputs);
        }
        self.attempt.step(&self.inputs)?;
        let now = self.attempt.yard().view();
        self.before = std::mem::replace(&mut self.now, now);
        Ok(self.attempt.yard().observation())
    }

    /// The trainee's seat.
    pub fn post(&self) -> Seat {
        self.post
    }

    /// The tick that comes next.
    pub fn tick(&self) -> Tick {
        self.attempt.tick()
    }

    /// The last two pictures of the yard, the earlier one first.
    pub fn frames(&self) -> (&ViewFrame, &ViewFrame) {
        (&self.before, &self.now)
    }

    /// The latest observation.
    pub fn observation(&mut self) -> &Observation {
        self.attempt.yard().observation()
    }

    /// What the trainee knows before the tick that comes next.
    pub fn percepts(&mut self) -> Percepts {
        self.attempt.percepts(self.post)
    }

    /// What the cells of the surface have come to.
    pub fn surface_steps(&mut self) -> Vec<SurfaceStep> {
        self.attempt.yard().surface_steps()
    }

    /// What was found in the last tick.
    pub fn just_found(&self) -> &[Finding] {
        self.attempt.just_found()
    }

    /// Everything found so far.
    pub fn findings(&self) -> &[Finding] {
        self.attempt.findings()
    }

    /// How the attempt has ended, once it has.
    pub fn ended(&self) -> Option<Ended> {
        self.attempt.ended()
    }

    /// Ends and seals the attempt, and says its mark.
    ///
    /// # Errors
    /// As [`Attempt::seal`].
    pub fn seal(
        self,
        ended: Ended,
        closed: Closed,
        key: Option<&OpenKey>,
    ) -> Result<(Mark, Sealed), AttemptFault> {
        self.attempt.seal(ended, closed, key)
    }
}
