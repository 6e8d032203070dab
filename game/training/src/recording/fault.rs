//! What can go wrong in writing and reading.
//!
//! A fault has a stable id, under which its text is found, and the arguments
//! of that text. The words here are for developers.

use super::status::Damage;
use crew::Tick;
use std::io;
use thiserror::Error;

/// The attempt can no longer be recorded, or something was handed over that
/// cannot be recorded truly.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum JournalFault {
    /// There is already a file of that name; nothing is ever overwritten.
    #[error("{path} is already there and is not overwritten")]
    AlreadyThere {
        /// The file.
        path: String,
    },
    /// The file cannot be made.
    #[error("{path} cannot be made: {reason}")]
    NotMade {
        /// The file.
        path: String,
        /// What the system says.
        reason: String,
    },
    /// The disk is full.
    #[error("the disk is full; the attempt is safe until tick {}", .safe_until.0)]
    DiskFull {
        /// What lies before this tick is on the disk.
        safe_until: Tick,
    },
    /// The file cannot be written.
    #[error("the recording cannot be written: {reason}; the attempt is safe until tick {}", .safe_until.0)]
    Write {
        /// What lies before this tick is on the disk.
        safe_until: Tick,
        /// What the system says.
        reason: String,
    },
    /// A tick, or something stamped with one, came out of turn.
    #[error("tick {} was due and {} came", .due.0, .came.0)]
    Order {
        /// The tick that was due.
        due: Tick,
        /// The tick that came.
        came: Tick,
    },
    /// The samples are not one for each channel of the table.
    #[error("the table has {due} channels and {came} samples came")]
    Samples {
        /// Number of channels.
        due: usize,
        /// Number of samples.
        came: usize,
    },
    /// A channel moved between its samples, or shows a spread that its table
    /// does not keep: a recording could not give it back.
    #[error("channel {channel} moved off its beat in tick {}", .tick.0)]
    OffBeat {
        /// Id of the channel.
        channel: String,
        /// The tick.
        tick: Tick,
    },
    /// A field of the header or of the envelope cannot be written as it is.
    #[error("{field} is missing, too long or makes no sense")]
    Field {
        /// Name of the field.
        field: &'static str,
    },
    /// More than a recording holds.
    #[error("{what} is more than a recording holds in tick {}", .tick.0)]
    TooMuch {
        /// `chunk`, `recording`, `keyframe` or `coverage`.
        what: &'static str,
        /// The tick.
        tick: Tick,
    },
    /// The journal was told to seal an attempt of no ticks.
    #[error("there is nothing to seal")]
    Nothing,
}

impl JournalFault {
    /// A fault of a sink.
    pub(super) fn of_sink(fault: &io::Error, safe_until: Tick) -> Self {
        match fault.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                JournalFault::DiskFull { safe_until }
            }
            _ => JournalFault::Write {
                safe_until,
                reason: fault.to_string(),
            },
        }
    }

    /// Stable name.
    pub fn id(&self) -> &'static str {
        match self {
            JournalFault::AlreadyThere { .. } => "journal_already_there",
            JournalFault::NotMade { .. } => "journal_not_made",
            JournalFault::DiskFull { .. } => "journal_disk_full",
            JournalFault::Write { .. } => "journal_write",
            JournalFault::Order { .. } => "journal_order",
            JournalFault::Samples { .. } => "journal_samples",
            JournalFault::OffBeat { .. } => "journal_off_beat",
            JournalFault::Field { .. } => "journal_field",
            JournalFault::TooMuch { .. } => "journal_too_much",
            JournalFault::Nothing => "journal_nothing",
        }
    }

    /// Arguments of the text, by name; moments are whole ticks.
    pub fn arguments(&self) -> Vec<(&'static str, String)> {
        let tick = |tick: &Tick| tick.0.to_string();
        match self {
            JournalFault::AlreadyThere { path } => vec![("path", path.clone())],
            JournalFault::NotMade { path, reason } => {
                vec![("path", path.clone()), ("reason", reason.clone())]
            }
            JournalFault::DiskFull { safe_until } => vec![("safe_until", tick(safe_until))],
            JournalFault::Write { safe_until, reason } => {
                vec![("safe_until", tick(safe_until)), ("reason", reason.clone())]
            }
            JournalFault::Order { due, came } => vec![("due", tick(due)), ("came", tick(came))],
            JournalFault::Samples { due, came } => {
                vec![("due", due.to_string()), ("came", came.to_string())]
            }
            JournalFault::OffBeat { channel, tick: at } => {
                vec![("channel", channel.clone()), ("tick", tick(at))]
            }
            JournalFault::Field { field } => vec![("field", (*field).to_owned())],
            JournalFault::TooMuch { what, tick: at } => {
                vec![("what", (*what).to_owned()), ("tick", tick(at))]
            }
            JournalFault::Nothing => Vec::new(),
        }
    }
}

/// The bytes give no recording at all. Bytes that give at least a header are a
/// [`super::Recording`], and its status says what it is worth.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ReadFault {
    /// The file cannot be read.
    #[error("{path} cannot be read: {reason}")]
    NotRead {
        /// The file.
        path: String,
        /// What the system says.
        reason: String,
    },
    /// More bytes than any recording has.
    #[error("{bytes} bytes are more than the {most} that a recording can have")]
    TooLarge {
        /// Bytes of the file.
        bytes: u64,
        /// Most bytes that are read.
        most: u64,
    },
    /// The first bytes are not those of a recording.
    #[error("this is not a recording")]
    NotARecording,
    /// A recording of a format that this release does not read.
    #[error("this recording has format {found}; this release reads format {known}")]
    UnknownFormat {
        /// Format of the file.
        found: u16,
        /// Format of this release.
        known: u16,
    },
    /// It was cut off before its header was whole.
    #[error("the recording was cut off before its header was written")]
    NothingYet,
    /// The header is damaged, without which nothing can be read.
    #[error("the header of the recording is damaged: {}", .why.id())]
    Header {
        /// What is wrong.
        why: Damage,
    },
    /// The bytes of a keyframe make no sense.
    #[error("the keyframe of tick {} cannot be unpacked", .tick.0)]
    Keyframe {
        /// The tick.
        tick: Tick,
    },
}

impl ReadFault {
    /// Stable name.
    pub fn id(&self) -> &'static str {
        match self {
            ReadFault::NotRead { .. } => "recording_not_read",
            ReadFault::TooLarge { .. } => "recording_too_large",
            ReadFault::NotARecording => "recording_not_one",
            ReadFault::UnknownFormat { .. } => "recording_unknown_format",
            ReadFault::NothingYet => "recording_nothing_yet",
            ReadFault::Header { .. } => "recording_header",
            ReadFault::Keyframe { .. } => "recording_keyframe",
        }
    }

    /// Arguments of the text, by name.
    pub fn arguments(&self) -> Vec<(&'static str, String)> {
        match self {
            ReadFault::NotRead { path, reason } => {
                vec![("path", path.clone()), ("reason", reason.clone())]
            }
            ReadFault::TooLarge { bytes, most } => {
                vec![("bytes", bytes.to_string()), ("most", most.to_string())]
            }
            ReadFault::UnknownFormat { found, known } => {
                vec![("found", found.to_string()), ("known", known.to_string())]
            }
            ReadFault::Header { why } => vec![("why", why.id().to_owned())],
            ReadFault::Keyframe { tick } => vec![("tick", tick.0.to_string())],
            ReadFault::NotARecording | ReadFault::NothingYet => Vec::new(),
        }
    }
}
