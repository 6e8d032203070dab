//! Moments of an attempt that pictures are taken of.

use crew::{Call, Seat};
use training::recording::Recording;
use training::text::say;
use training::{Channel, Event, Observation};

/// A moment of an attempt.
#[derive(Clone, Copy)]
pub(super) enum Moment {
    /// By the clock, seconds.
    At(f64),
    /// The engine begins to run.
    Start,
    /// The pressure is brought up to that of the job.
    Raise,
    /// The lance begins to push.
    Squeeze,
    /// The dump opens on a line under pressure.
    Dump,
    /// Somebody falls.
    Fall,
    /// A coupling lets go.
    Parting,
    /// Feet begin to slide.
    Slip,
    /// A foot catches in something.
    Trip,
    /// The tool falls out of the hands.
    Dropping,
    /// Somebody walks in.
    Intruder,
}

impl Moment {
    /// When it is, a little early, so that it is seen to come, seconds.
    ///
    /// # Errors
    /// It never came, in words.
    pub(super) fn of(self, recording: &Recording) -> Result<f64, String> {
        let Moment::At(s) = self else {
            let mut found = None;
            recording.play(|o, _| {
                if found.is_none() && self.is(o) {
                    found = Some(o.tick.seconds());
                }
            });
            let found = found.ok_or_else(|| say("scene-no_moment", &[]))?;
            return Ok((found - EARLY_S).max(0.0));
        };
        Ok(s)
    }

    fn is(self, o: &Observation) -> bool {
        let over = |channel, least| o.max(channel).is_some_and(|value| value > least);
        let came = |is: fn(&Event) -> bool| o.events.iter().any(is);
        match self {
            Moment::At(_) => false,
            Moment::Start => o.events.contains(&Event::EngineRan),
            Moment::Raise => over(Channel::GunPressure, 600.0),
            Moment::Squeeze => over(Channel::Thrust, 60.0),
            Moment::Dump => over(Channel::DumpOpen, 1.0) && over(Channel::GunPressure, 200.0),
            Moment::Fall => came(|e| matches!(e, Event::Fell { .. })),
            Moment::Parting => came(|e| matches!(e, Event::Parted { .. })),
            Moment::Slip => came(|e| matches!(e, Event::Slipped { .. })),
            Moment::Trip => came(|e| matches!(e, Event::Tripped { .. })),
            Moment::Dropping => came(|e| matches!(e, Event::Dropped { .. })),
            Moment::Intruder => came(|e| {
                let stopped = Call::AllStop;
                matches!(e, Event::Said { seat, call } if *seat == Seat::WATCH && *call == stopped)
            }),
        }
    }
}

/// How much before a moment its strip begins, seconds.
const EARLY_S: f64 = 0.3;
