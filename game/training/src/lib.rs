//! Levels, the referee, the recording of an attempt, and its mark.
//!
//! Nothing here knows the engine, the simulated yard, a window or the clock on
//! the wall. What the yard measured comes in as an [`Observation`]; what comes
//! out is findings, a recording and a mark, which is a pure function of the
//! recording.

pub mod allowed;
pub mod assumed;
pub mod assumptions;
pub mod channels;
pub mod coach;
pub mod criteria;
pub mod data;
pub mod event;
pub mod faults;
pub mod finding;
pub mod harm;
pub mod honesty;
pub mod level;
pub mod load;
pub mod mark;
pub mod observation;
pub mod recording;
pub mod region;
pub mod rules;
#[cfg(test)]
mod scene;
pub mod surface;
pub mod text;

pub use allowed::allowed;
pub use assumed::Assumed;
pub use assumptions::Assumptions;
pub use channels::{Channel, Observer, Raw, Sample};
pub use event::{Event, HurtBy, HurtGrade, Refusal};
pub use faults::Faults;
pub use finding::{Finding, Severity};
pub use honesty::Honesty;
pub use level::Level;
pub use mark::{Deduction, Ended, Mark, Referee};
pub use observation::Observation;
pub use region::Region;
pub use surface::{Cleaned, SurfaceStep};
