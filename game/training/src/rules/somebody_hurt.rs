//! Nobody comes to harm.

use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, HurtBy, HurtGrade, Level, Observation};
use crew::Seat;

/// Nobody is hurt so badly that a doctor has to see it: by a jet or a tool that the lance hand had in
/// their hands, by a hose, or, if it is the trainee, by a fall. Falls of others, and what others do
/// with a tool, are no findings of the trainee. A bruise is told and is no finding: what led to it
/// may be one.
pub struct SomebodyHurt;

impl Rule for SomebodyHurt {
    fn id(&self) -> &'static str {
        "somebody_hurt"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "European Journal of Trauma and Emergency Surgery 45 (2019), 507-515, and the CDC sheet on high-pressure water injection: however small a wound by water looks, it is a case for the hospital at once, like a gunshot; how badly somebody is hurt by what: published criteria for skin, skull and falls"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    // Beside what happened it reads how the people are, so that a recording from before anybody could
    // be hurt is not taken for one in which nobody was.
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::LanceHandHurt,
            Channel::PumpHandHurt,
            Channel::WatchHurt,
            Channel::VisitorHurt,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["jet", "spray", "hose", "tool", "fall", "drop"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching { post: level.post })
    }
}

struct Watching {
    post: Seat,
}

impl Watching {
    /// Whether the trainee answers for it.
    fn answers(&self, seat: Seat, by: HurtBy) -> bool {
        match by {
            HurtBy::Jet | HurtBy::Tool => self.post == Seat::LANCE,
            HurtBy::Spray | HurtBy::Hose => true,
            HurtBy::Fall | HurtBy::Drop => self.post == seat,
        }
    }
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        for event in &o.events {
            if let Event::Hurt { seat, by, grade } = *event
                && grade >= HurtGrade::Injury
                && self.answers(seat, by)
            {
                let grade = f64::from(grade.number());
                found.add(o, by.id(), grade, 0.0, "grade");
            }
        }
    }
}
