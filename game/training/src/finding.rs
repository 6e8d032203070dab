//! What the referee finds.

use crew::Tick;
use serde::{Deserialize, Serialize};

/// How much a broken rule weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Housekeeping.
    Minor,
    /// A layer of safety is taken away.
    Major,
    /// Could kill or maim in one event: the attempt fails.
    Critical,
}

impl Severity {
    /// Stable name, as printed and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Severity::Minor => "minor",
            Severity::Major => "major",
            Severity::Critical => "critical",
        }
    }
}

/// One broken rule at one moment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// Id of the rule.
    pub rule: String,
    /// What about it: the end of a text id under the rule's.
    pub detail: String,
    /// When.
    pub tick: Tick,
    /// How much it weighs.
    pub severity: Severity,
    /// What was measured.
    pub value: f64,
    /// What the limit is.
    pub limit: f64,
    /// Unit of both.
    pub unit: String,
    /// Since when the breach was over, where the rule can say so and it was.
    pub mended: Option<Tick>,
}
