//! Shapes that say what happened, without a colour.

use crew::{Control, Seat, Task};
use training::Event;

/// Where on the time line a thing that happened is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lane {
    /// What the pump hand said.
    PumpCalls,
    /// What the lance hand said.
    LanceCalls,
    /// What others said.
    OtherCalls,
    /// What was done to the unit, and what became of people.
    Acts,
    /// What was done with the tool, the nozzles, the equipment and the barrier.
    Handling,
}

/// A shape on the time line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Glyph {
    /// The pump hand called.
    PumpCall,
    /// The lance hand called.
    LanceCall,
    /// Somebody else called.
    OtherCall,
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
    /// Nozzle laid out, fitted or taken off, or its bore gauged.
    Nozzle,
    /// The tool was laid down or dropped.
    ToolDown,
    /// The tool was taken up.
    ToolUp,
    /// Protective equipment was put on or taken off.
    Wear,
    /// The gate of the barrier was closed.
    BarrierClosed,
    /// The gate of the barrier was opened.
    BarrierOpened,
    /// A person stepped, slid or fell, or struck something with the tool.
    Person,
    /// Somebody set a mark.
    Bookmark,
}

impl Glyph {
    /// All shapes, in the order of the key.
    pub const ALL: [Glyph; 16] = [
        Glyph::PumpCall,
        Glyph::LanceCall,
        Glyph::OtherCall,
        Glyph::EngineRan,
        Glyph::EngineStood,
        Glyph::DumpOpened,
        Glyph::DumpShut,
        Glyph::EmergencyStop,
        Glyph::Nozzle,
        Glyph::ToolDown,
        Glyph::ToolUp,
        Glyph::Wear,
        Glyph::BarrierClosed,
        Glyph::BarrierOpened,
        Glyph::Person,
        Glyph::Bookmark,
    ];

    /// The shape for what happened, if it has one.
    pub fn of(event: &Event) -> Option<Self> {
        Some(match event {
            Event::Said { seat, .. } if *seat == Seat::PUMP => Glyph::PumpCall,
            Event::Said { seat, .. } if *seat == Seat::LANCE => Glyph::LanceCall,
            Event::Said { .. } => Glyph::OtherCall,
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
            Event::Moved {
                control: Control::Barrier,
                to,
                ..
            } => {
                if *to == 0 {
                    Glyph::BarrierOpened
                } else {
                    Glyph::BarrierClosed
                }
            }
            Event::LaidDown { .. } | Event::Dropped { .. } => Glyph::ToolDown,
            Event::TookUp { .. } => Glyph::ToolUp,
            Event::Wore { .. } => Glyph::Wear,
            Event::EngineRan => Glyph::EngineRan,
            Event::EngineStood => Glyph::EngineStood,
            Event::Finished {
                task: Task::GaugeBore | Task::FitNozzle | Task::RemoveNozzle,
                ..
            }
            | Event::Chose { .. } => Glyph::Nozzle,
            Event::Stepped { .. }
            | Event::Slipped { .. }
            | Event::Fell { .. }
            | Event::Tripped { .. }
            | Event::LostHold { .. }
            | Event::Hurt { .. }
            | Event::Struck { .. } => Glyph::Person,
            Event::Bookmark => Glyph::Bookmark,
            _ => return None,
        })
    }

    /// Where it is drawn.
    pub fn lane(self) -> Lane {
        match self {
            Glyph::PumpCall => Lane::PumpCalls,
            Glyph::LanceCall => Lane::LanceCalls,
            Glyph::OtherCall => Lane::OtherCalls,
            Glyph::Nozzle
            | Glyph::ToolDown
            | Glyph::ToolUp
            | Glyph::Wear
            | Glyph::BarrierClosed
            | Glyph::BarrierOpened => Lane::Handling,
            _ => Lane::Acts,
        }
    }

    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Glyph::PumpCall => "pump_call",
            Glyph::LanceCall => "lance_call",
            Glyph::OtherCall => "other_call",
            Glyph::DumpOpened => "dump_opened",
            Glyph::DumpShut => "dump_shut",
            Glyph::EngineRan => "engine_ran",
            Glyph::EngineStood => "engine_stood",
            Glyph::EmergencyStop => "emergency_stop",
            Glyph::Nozzle => "nozzle",
            Glyph::ToolDown => "tool_down",
            Glyph::ToolUp => "tool_up",
            Glyph::Wear => "wear",
            Glyph::BarrierClosed => "barrier_closed",
            Glyph::BarrierOpened => "barrier_opened",
            Glyph::Person => "person",
            Glyph::Bookmark => "bookmark",
        }
    }

    /// The shape, 8 units wide and high about a point.
    pub fn svg(self, x: f64, y: f64) -> String {
        let (path, open) = match self {
            Glyph::PumpCall => ("M-4,3.5H4L0,-4Z", false),
            Glyph::LanceCall => ("M-4,-3.5H4L0,4Z", true),
            Glyph::OtherCall => ("M-4,-3.5H4L0,4Z", false),
            Glyph::DumpOpened => ("M-3.5,-3.5H3.5V3.5H-3.5Z", true),
            Glyph::DumpShut => ("M-3.5,-3.5H3.5V3.5H-3.5Z", false),
            Glyph::EngineRan => ("M-4,0A4,4 0 1 1 4,0A4,4 0 1 1 -4,0Z", false),
            Glyph::EngineStood => ("M-4,0A4,4 0 1 1 4,0A4,4 0 1 1 -4,0Z", true),
            Glyph::EmergencyStop => ("M-4,-4L4,4M-4,4L4,-4", true),
            Glyph::Nozzle => ("M0,-4.5L4,0L0,4.5L-4,0Z", false),
            Glyph::ToolDown => ("M0,-4.5V4M-3.5,.5L0,4L3.5,.5", true),
            Glyph::ToolUp => ("M0,4.5V-4M-3.5,-.5L0,-4L3.5,-.5", true),
            Glyph::Wear => ("M-4,3V0A4,4 0 0 1 4,0V3Z", true),
            Glyph::BarrierClosed => ("M-4,-4V4M4,-4V4M-4,0H4", true),
            Glyph::BarrierOpened => ("M-4,-4V4M4,-4V4M-4,0L2,-4", true),
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
