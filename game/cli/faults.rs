//! What is refused, and why, in words.

use crew::{Goal, StuckReason};
use std::fmt;
use training::data::Problems;
use training::recording::{JournalFault, KeyFault, ReadFault};
use training::text::{Argument, number, say};
use yard::{AttemptFault, YardFault};

/// Bad input: one clear message, and exit code 2.
#[derive(Debug)]
pub struct Refusal(String);

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Refusal {
    /// A refusal in words that are already made.
    pub fn new(words: String) -> Self {
        Refusal(words)
    }

    /// A file that cannot be written.
    pub fn not_written(path: &std::path::Path, error: &std::io::Error) -> Self {
        Refusal(say(
            "cli-not_written",
            &[
                ("path", &path.display().to_string()),
                ("reason", &error.to_string()),
            ],
        ))
    }
}

impl From<Problems> for Refusal {
    fn from(problems: Problems) -> Self {
        Refusal(problems.to_string())
    }
}

/// The text of a fault that has an id and arguments of its own.
fn told(id: &str, arguments: &[(&'static str, String)]) -> String {
    let arguments: Vec<(&str, &dyn Argument)> = arguments
        .iter()
        .map(|(name, value)| (*name, value as &dyn Argument))
        .collect();
    say(&format!("cli-fault-{id}"), &arguments)
}

impl From<ReadFault> for Refusal {
    fn from(fault: ReadFault) -> Self {
        Refusal(told(fault.id(), &fault.arguments()))
    }
}

impl From<JournalFault> for Refusal {
    fn from(fault: JournalFault) -> Self {
        Refusal(told(fault.id(), &fault.arguments()))
    }
}

impl From<KeyFault> for Refusal {
    fn from(fault: KeyFault) -> Self {
        Refusal(told(fault.id(), &fault.arguments()))
    }
}

impl From<YardFault> for Refusal {
    fn from(fault: YardFault) -> Self {
        let reason = match fault {
            YardFault::Circuit(errors) => errors
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("; "),
            YardFault::Hose(error) => error.to_string(),
            YardFault::Person(error) => error.to_string(),
            YardFault::Tool(error) => error.to_string(),
            YardFault::Keyframe => return Refusal(say("cli-fault-keyframe_other_build", &[])),
        };
        Refusal(say("cli-fault-no_yard", &[("reason", &reason)]))
    }
}

impl From<AttemptFault> for Refusal {
    fn from(fault: AttemptFault) -> Self {
        match fault {
            AttemptFault::Yard(fault) => fault.into(),
            AttemptFault::Journal(fault) => fault.into(),
            AttemptFault::Read(fault) => fault.into(),
            AttemptFault::NotMeasurable(not) => Refusal(say(
                "cli-fault-not_measurable",
                &[
                    ("channel", &not.channel.id()),
                    ("time", &number(not.tick.seconds(), 2)),
                ],
            )),
            AttemptFault::NoSuchTick { asked, until } => Refusal(say(
                "cli-fault-no_such_tick",
                &[
                    ("asked", &number(asked.seconds(), 2)),
                    ("until", &number(until.seconds(), 2)),
                ],
            )),
            AttemptFault::Differs { at } => Refusal(say(
                "cli-fault-differs",
                &[("time", &number(at.seconds(), 3)), ("tick", &at.0)],
            )),
        }
    }
}

/// Why a script could not go on, in words: the goal and the physical reason.
pub fn stuck(index: usize, goal: &Goal, reason: &StuckReason) -> String {
    let why = match reason {
        StuckReason::WouldNotMove { control, .. } => say(
            "cli-stuck-would_not_move",
            &[(
                "control",
                &say(&format!("calls-control-{}", control.id()), &[]),
            )],
        ),
        StuckReason::NoAnswer(call) | StuckReason::StopCalled(call) => say(
            &format!("cli-stuck-{}", reason.id()),
            &[("call", &say(&format!("calls-call-{}", call.id()), &[]))],
        ),
        StuckReason::CueNeverCame(cue) => say(
            "cli-stuck-cue_never_came",
            &[("cue", &say(&format!("calls-cue-{}", cue.id()), &[]))],
        ),
        StuckReason::PressureCannotBeReached {
            gauge_bar,
            wanted_bar,
            why,
        } => say(
            "cli-stuck-pressure_cannot_be_reached",
            &[
                ("gauge", &number(*gauge_bar, 0)),
                ("wanted", &number(*wanted_bar, 0)),
                ("why", &say(&format!("cli-limit-{}", why.id()), &[])),
            ],
        ),
        StuckReason::OutOfReach
        | StuckReason::EngineWouldNotStart
        | StuckReason::Fallen
        | StuckReason::EngineStopped => say(&format!("cli-stuck-{}", reason.id()), &[]),
    };
    say(
        "cli-stuck",
        &[
            ("goal", &(index + 1)),
            ("what", &say(&format!("calls-goal-{}", goal.id()), &[])),
            ("why", &why),
        ],
    )
}
