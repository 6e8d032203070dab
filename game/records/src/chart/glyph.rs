//! Shapes that say what happened, without a colour.

use crew::{Control, Seat, Task};
use training::Event;

/// Where on the time line a thing that happened is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lane {
    /// What the pump hand said.
    PumpCalls,
    /// What others said.
    LanceCalls,
    /// What was done to the unit and the tool.
    Acts,
}

/// A shape on the time line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Glyph {
    /// The pump hand called.
    PumpCall,
    /// The lance hand called.
    LanceCall,
    /// The dump was opened.
    DumpOpened,
    /// The dump was shut.
    DumpShut,
    /// The engine began to run.
    EngineRan,
    /// The engine came to a stand.
    EngineStood,
    /// The emergency stop was struck.
    EmergencyStop,
    /// Nozzle fitted or taken off, or its bore gauged.
    Nozzle,
    /// A person stepped, slid or fell.
    Person,
    /// Somebody set a mark.
    Bookmark,
}

impl Glyph {
    /// All shapes, in the order of the key.
    pub const ALL: [Glyph; 10] = [
        Glyph::PumpCall,
        Glyph::LanceCall,
        Glyph::EngineRan,
        Glyph::EngineStood,
        Glyph::DumpOpened,
        Glyph::DumpShut,
        Glyph::EmergencyStop,
        Glyph::Nozzle,
        Glyph::Person,
        Glyph::Bookmark,
    ];

    /// The shape for what happened, if it has one.
    pub fn of(event: &Event) -> Option<Self> {
        Some(match event {
            Event::Said { seat, .. } if *seat == Seat::PUMP => Glyph::PumpCall,
            Event::Said { .. } => Glyph::LanceCall,
            Event::Moved {
                control: Control::Dump,
                to,
                ..
            } => {
                if *to == 0 {
                    Glyph::DumpShut
                } else {
                    Glyph::DumpOpened
                }
            }
            Event::Moved {
                control: Control::EmergencyStop,
                to: 1..,
                ..
            } => Glyph::EmergencyStop,
            Event::EngineRan => Glyph::EngineRan,
            Event::EngineStood => Glyph::EngineStood,
            Event::Finished {
                task: Task::GaugeBore | Task::FitNozzle | Task::RemoveNozzle,
                ..
            } => Glyph::Nozzle,
            Event::Stepped { .. } | Event::Slipped { .. } | Event::Fell { .. } => Glyph::Person,
            Event::Bookmark => Glyph::Bookmark,
            _ => return None,
        })
    }

    /// Where it is drawn.
    pub fn lane(self) -> Lane {
        match self {
            Glyph::PumpCall => Lane::PumpCalls,
            Glyph::LanceCall => Lane::LanceCalls,
            _ => Lane::Acts,
        }
    }

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Glyph::PumpCall => "pump_call",
            Glyph::LanceCall => "lance_call",
            Glyph::DumpOpened => "dump_opened",
            Glyph::DumpShut => "dump_shut",
            Glyph::EngineRan => "engine_ran",
            Glyph::EngineStood => "engine_stood",
            Glyph::EmergencyStop => "emergency_stop",
            Glyph::Nozzle => "nozzle",
            Glyph::Person => "person",
            Glyph::Bookmark => "bookmark",
        }
    }

    /// The shape, 8 units wide and high about a point.
    pub fn svg(self, x: f64, y: f64) -> String {
        let (path, open) = match self {
            Glyph::PumpCall => ("M-4,3.5H4L0,-4Z", false),
            Glyph::LanceCall => ("M-4,-3.5H4L0,4Z", true),
            Glyph::DumpOpened => ("M-3.5,-3.5H3.5V3.5H-3.5Z", true),
            Glyph::DumpShut => ("M-3.5,-3.5H3.5V3.5H-3.5Z", false),
            Glyph::EngineRan => ("M-4,0A4,4 0 1 1 4,0A4,4 0 1 1 -4,0Z", false),
            Glyph::EngineStood => ("M-4,0A4,4 0 1 1 4,0A4,4 0 1 1 -4,0Z", true),
            Glyph::EmergencyStop => ("M-4,-4L4,4M-4,4L4,-4", true),
            Glyph::Nozzle => ("M0,-4.5L4,0L0,4.5L-4,0Z", false),
            Glyph::Person => ("M0,-4V4M-4,0H4", true),
            Glyph::Bookmark => ("M-3,4.5V-4.5H3.5L1,-2L3.5,0.5H-3", false),
        };
        let open = if open { " open" } else { "" };
        format!("<path class=\"glyph{open}\" transform=\"translate({x:.1} {y:.1})\" d=\"{path}\"/>")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_shapes_are_alike() {
        let all = Glyph::ALL.map(|g| g.svg(0.0, 0.0));
        for (i, a) in all.iter().enumerate() {
            assert!(!all[..i].contains(a), "{a}");
        }
    }

    #[test]
    fn every_shape_has_a_word_in_the_key() {
        for glyph in Glyph::ALL {
            assert!(training::text::exists(&format!(
                "report-glyph-{}",
                glyph.id()
            )));
        }
    }

    #[test]
    fn everything_drawn_is_also_told_in_words() {
        let seat = Seat::LANCE;
        let events = [
            Event::Said {
                seat,
                call: crew::Call::Dump,
            },
            Event::Moved {
                seat,
                control: Control::EmergencyStop,
                to: 1,
            },
            Event::EngineRan,
            Event::Fell { seat },
            Event::Bookmark,
        ];
        for event in events {
            assert!(Glyph::of(&event).is_some());
            assert!(!crate::words::event(&event).is_empty());
        }
    }
}
