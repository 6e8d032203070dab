//! What is refused, and why, in words.

use crew::{Goal, StuckReason};
use std::fmt;
use training::data::Problems;
use training::recording::{JournalFault, KeyFault, ReadFault};
use training::text::{not_written, number, say, told};
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
        Refusal(not_written(path, error))
    }
}

impl From<Problems> for Refusal {
    fn from(problems: Problems) -> Self {
        Refusal(problems.to_string())
    }
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
        Refusal(fault.words())
    }
}

impl From<AttemptFault> for Refusal {
    fn from(fault: AttemptFault) -> Self {
        Refusal(fault.words())
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
