//! Couplings that let go and people who were hurt, a sentence each, with what is to be done.

use crate::clock::moment;
use crate::sheet::{Moment, Sheet};
use training::text::say;
use training::{Event, HurtBy, HurtGrade};

/// A sentence or two for each, in the order of time.
pub(super) fn told(sheet: &Sheet) -> Vec<String> {
    let moments = sheet.moments.iter().enumerate();
    moments
        .filter_map(|(at, now)| {
            let time = moment(now.tick.seconds());
            match now.event {
                Event::Parted { pump_end } => {
                    Some(parted(&time, pump_end, &sheet.moments[at + 1..]))
                }
                Event::Hurt { seat, by, grade } => {
                    let who = say(&format!("report-who-{}", seat.id()), &[]);
                    let what = say(&format!("report-hurt-by-{}", by.id()), &[]);
                    let how = say(&format!("report-hurt-grade-{}", grade.id()), &[]);
                    Some(say(
                        "report-harm",
                        &[
                            ("time", &time),
                            ("who", &who),
                            ("what", &what),
                            ("how", &how),
                            ("next", &next(by, grade)),
                        ],
                    ))
                }
                _ => None,
            }
        })
        .collect()
}

/// What became of the end of a hose, by what happened after its coupling let go.
fn parted(time: &str, pump_end: bool, after: &[Moment]) -> String {
    let what = after.iter().find_map(|m| match m.event {
        Event::RestraintHeld { pump_end: end } if end == pump_end => Some("held"),
        Event::RestraintBroke { pump_end: end } if end == pump_end => Some("broke"),
        _ => None,
    });
    let end = if pump_end { "pump" } else { "gun" };
    let coupling = say(&format!("report-coupling-{end}"), &[]);
    let id = format!("report-parted-{}", what.unwrap_or("loose"));
    say(&id, &[("time", &time), ("coupling", &coupling)])
}

/// What is to be done for somebody who was hurt.
fn next(by: HurtBy, grade: HurtGrade) -> String {
    let id = match (grade, by) {
        (HurtGrade::Bruise, _) => "report-help-bruise",
        (_, HurtBy::Jet | HurtBy::Spray) => "report-help-water",
        (_, HurtBy::Hose | HurtBy::Tool) => "report-help-blow",
        (_, HurtBy::Fall | HurtBy::Drop) => "report-help-fall",
    };
    say(id, &[])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crew::{Seat, Tick};

    fn of(events: &[Event]) -> Vec<String> {
        let mut sheet = crate::sample::sheet();
        let moment = |(n, event): (usize, &Event)| Moment {
            tick: Tick(n as u32 * 120),
            event: *event,
        };
        sheet.moments = events.iter().enumerate().map(moment).collect();
        told(&sheet)
    }

    #[test]
    fn what_became_of_a_parted_end_is_told() {
        let ends = |pump_end| {
            let parted = Event::Parted { pump_end };
            let held = Event::RestraintHeld { pump_end };
            let broke = Event::RestraintBroke { pump_end };
            // What happened at the other end is not its business.
            let other = Event::RestraintHeld {
                pump_end: !pump_end,
            };
            [
                of(&[parted, Event::Kinked, held]),
                of(&[parted, other, broke]),
                of(&[held, parted, other]),
            ]
        };
        let mut told: Vec<Vec<String>> = ends(true).into_iter().chain(ends(false)).collect();
        assert!(told.iter().all(|t| t.len() == 1), "{told:?}");
        told.dedup();
        assert_eq!(told.len(), 6, "{told:?}");
    }

    #[test]
    fn whoever_was_hurt_is_told_with_what_is_to_be_done() {
        let hurt = |by, grade| Event::Hurt {
            seat: Seat::WATCH,
            by,
            grade,
        };
        for by in HurtBy::ALL {
            let told = of(&[hurt(by, HurtGrade::Injury), hurt(by, HurtGrade::Bruise)]);
            assert_eq!(told.len(), 2);
            let water = matches!(by, HurtBy::Jet | HurtBy::Spray);
            let hospital = say("report-help-water", &[]);
            assert_eq!(told[0].ends_with(&hospital), water, "{told:?}");
            assert!(told[1].ends_with(&say("report-help-bruise", &[])));
        }
        assert_eq!(of(&[Event::Kinked]), Vec::<String>::new());
    }
}
