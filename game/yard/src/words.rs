//! What went wrong, in words.

use crate::attempt::AttemptFault;
use crate::yard::YardFault;
use training::text::{number, say, told};

impl YardFault {
    /// What is wrong, in words.
    pub fn words(&self) -> String {
        let reason = match self {
            YardFault::Circuit(errors) => errors
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("; "),
            YardFault::Hose(error) => error.to_string(),
            YardFault::Person(error) => error.to_string(),
            YardFault::Tool(error) => error.to_string(),
            YardFault::Keyframe => return say("cli-fault-keyframe_other_build", &[]),
        };
        say("cli-fault-no_yard", &[("reason", &reason)])
    }
}

impl AttemptFault {
    /// What is wrong, in words.
    pub fn words(&self) -> String {
        match self {
            AttemptFault::Yard(fault) => fault.words(),
            AttemptFault::Journal(fault) => told(fault.id(), &fault.arguments()),
            AttemptFault::Read(fault) => told(fault.id(), &fault.arguments()),
            AttemptFault::NotMeasurable(not) => say(
                "cli-fault-not_measurable",
                &[
                    ("channel", &not.channel.id()),
                    ("time", &number(not.tick.seconds(), 2)),
                ],
            ),
            AttemptFault::NoSuchTick { asked, until } => say(
                "cli-fault-no_such_tick",
                &[
                    ("asked", &number(asked.seconds(), 2)),
                    ("until", &number(until.seconds(), 2)),
                ],
            ),
            AttemptFault::Differs { at } => say(
                "cli-fault-differs",
                &[("time", &number(at.seconds(), 3)), ("tick", &at.0)],
            ),
        }
    }
}
