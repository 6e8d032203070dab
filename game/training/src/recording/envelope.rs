//! What is known of an attempt beside the attempt itself.

use serde::{Deserialize, Serialize};

/// Most bytes of a text of the envelope.
const TEXT_MOST: usize = 1024;

/// What kind of sitting it is.
///
/// Written into recordings by number: append, never reorder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Mode {
    /// To learn: help, pauses and going back are there.
    Practice,
    /// To refresh: the own last run is the yardstick.
    Refresher,
    /// To be assessed: no help, nothing pauses.
    Assessment,
}

impl Mode {
    /// Stable name.
    pub fn id(self) -> &'static str {
        match self {
            Mode::Practice => "practice",
            Mode::Refresher => "refresher",
            Mode::Assessment => "assessment",
        }
    }
}

/// First frame of the envelope.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    /// Code that the roster knows the trainee by.
    pub trainee: String,
    /// Name to show, if the trainee wants one shown.
    pub display_name: Option<String>,
    /// When it started, in seconds since 1970-01-01 00:00 UTC.
    pub started_unix_s: i64,
    /// What it was played on: machine, system, pad.
    pub device: String,
    /// What kind of sitting it is.
    pub mode: Mode,
}

impl Opened {
    /// The field that is too long to be written, if one is.
    pub fn problem(&self) -> Option<&'static str> {
        let texts = [
            ("trainee", self.trainee.as_str()),
            ("display_name", self.display_name.as_deref().unwrap_or("")),
            ("device", self.device.as_str()),
        ];
        texts
            .into_iter()
            .find(|(_, text)| text.len() > TEXT_MOST)
            .map(|(field, _)| field)
    }
}

/// Last frame of the envelope before the signatures: the pace.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Closed {
    /// Seconds on the wall that the attempt took.
    pub wall_s: f64,
    /// Least simulated seconds per second on the wall over any one second.
    pub least_real_time_factor: f64,
    /// Pictures drawn; none where nothing was drawn.
    pub frames: Option<FrameStatistics>,
}

/// How evenly pictures were drawn.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FrameStatistics {
    /// Number of pictures.
    pub count: u64,
    /// Mean time from one to the next, milliseconds.
    pub mean_ms: f64,
    /// The time that 99 of 100 keep below, milliseconds.
    pub p99_ms: f64,
    /// The longest time, milliseconds.
    pub worst_ms: f64,
}
