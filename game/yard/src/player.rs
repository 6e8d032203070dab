//! A recording on show: the yard at any of its moments, run again from the
//! keyframe before it.

use crate::attempt::AttemptFault;
use crate::view::ViewFrame;
use crate::yard::{KEYFRAME_TICKS, Yard, YardState};
use crew::Tick;
use std::sync::Arc;
use training::recording::Recording;
use training::{Event, Level, SurfaceStep};

/// A yard that goes where it is sent within a recording.
pub struct Player {
    yard: Yard,
    start: YardState,
    recording: Arc<Recording>,
    before: ViewFrame,
    now: ViewFrame,
}

/// What came of a stretch of the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stretch {
    /// The wanted moment is reached.
    pub arrived: bool,
    /// It was jumped to, so that the surface is to be looked at as a whole.
    pub jumped: bool,
    /// What became of the surface on the way.
    pub steps: Vec<SurfaceStep>,
    /// What happened on the way.
    pub events: Vec<(Tick, Event)>,
}

impl Player {
    /// A player that stands at the start of a recording.
    ///
    /// # Errors
    /// The level makes no yard.
    pub fn new(level: &Level, recording: Arc<Recording>) -> Result<Self, AttemptFault> {
        let mut yard = Yard::new(level)?;
        let start = yard.state();
        let now = yard.view();
        Ok(Player {
            yard,
            start,
            recording,
            before: now.clone(),
            now,
        })
    }

    /// Goes on towards a moment for at most so many ticks. A moment behind, or
    /// one far ahead, is reached by way of the keyframe before it.
    ///
    /// # Errors
    /// A keyframe that this build cannot read, or a yard that does not come out.
    pub fn go(&mut self, to: Tick, most_ticks: u32) -> Result<Stretch, AttemptFault> {
        let to = to.min(self.recording.until());
        let mut stretch = Stretch::default();
        let here = self.yard.tick();
        if to < here || to.0 - here.0 > KEYFRAME_TICKS {
            match self.recording.keyframe_before(to) {
                Some(keyframe) if to < here || keyframe.tick > here => {
                    self.yard
                        .restore(YardState::from_bytes(&keyframe.state()?)?);
                    stretch.jumped = true;
                }
                None if to < here => {
                    self.yard.restore(self.start.clone());
                    stretch.jumped = true;
                }
                _ => {}
            }
        }
        let until = Tick(to.0.min(self.yard.tick().0.saturating_add(most_ticks)));
        let inputs = self.recording.inputs();
        let mut next = inputs.partition_point(|i| i.tick < self.yard.tick());
        let mut stepped = stretch.jumped;
        while self.yard.tick() < until {
            let tick = self.yard.tick();
            let count = inputs[next..].iter().take_while(|i| i.tick == tick).count();
            if tick.0 + 1 == until.0 {
                self.before = self.yard.view();
            }
            let o = self
                .yard
                .step(&inputs[next..next + count])
                .map_err(AttemptFault::NotMeasurable)?;
            next += count;
            stretch.steps.extend_from_slice(&o.steps);
            stretch.events.extend(o.events.iter().map(|e| (tick, *e)));
            stepped = true;
        }
        if stepped {
            self.now = self.yard.view();
            if stretch.jumped || self.before.tick > self.now.tick {
                self.before = self.now.clone();
            }
        }
        stretch.arrived = self.yard.tick() == to;
        Ok(stretch)
    }

    /// The moment that is on show.
    pub fn tick(&self) -> Tick {
        self.yard.tick()
    }

    /// The last two pictures, the earlier one first.
    pub fn frames(&self) -> (&ViewFrame, &ViewFrame) {
        (&self.before, &self.now)
    }

    /// What the cells of the surface have come to.
    pub fn surface_steps(&self) -> Vec<SurfaceStep> {
        self.yard.surface_steps()
    }
}
