//! What could be done with what is looked at, and why it cannot be.

use super::gaze::holds;
use super::keymap::Deed;
use super::moves::{near_board, near_stand};
use super::{Hands, Look, Offer, names};
use crate::session::Session;
use crate::stage::Stage;
use crate::things::{Placed, Thing, work_at_end};
use bevy::prelude::*;
use crew::{Act, Control, Handling, Input, Seat, Source, Task};
use training::allowed::allowed;
use training::text::{number, say};
use training::{Level, Observation, Refusal};
use yard::ViewFrame;
use yard::view::PersonView;

/// Brings the look up to date.
pub(super) fn offer(
    stage: Res<Stage>,
    hands: Res<Hands>,
    mut session: ResMut<Session>,
    mut look: ResMut<Look>,
) {
    let (Some(show), Some(seat)) = (&stage.show, stage.own) else {
        return;
    };
    let (level, frame) = (&show.loaded.level, &show.now);
    let at = hands.gaze().at(level, frame, seat);
    let Some(o) = session.bypass_change_detection().observation() else {
        return;
    };
    let offers = show
        .person(seat)
        .map_or_else(Vec::new, |(_, me)| offers(level, frame, me, at.as_ref(), o));
    if look.at != at || look.offers != offers {
        look.at = at;
        look.offers = offers;
    }
}

/// What could be done, with the observation of the tick before.
fn offers(
    level: &Level,
    frame: &ViewFrame,
    me: &PersonView,
    at: Option<&Placed>,
    o: &Observation,
) -> Vec<Offer> {
    if let Some((_, _)) = me.working {
        return vec![Offer {
            deed: Deed::Take,
            words: say("hands-offer-leave_off", &[]),
            not: None,
        }];
    }
    if let Some(control) = me.holding {
        return in_hand(control, frame);
    }
    let Some(at) = at else {
        return Vec::new();
    };
    let not = |act| {
        let input = Input {
            tick: o.tick,
            seat: me.seat,
            source: Source::Trainee,
            act,
        };
        let refusal = allowed(&input, o, &level.site).err()?;
        Some(match refusal {
            Refusal::OutOfReach => say("hands-too_far", &[]),
            _ => say(&format!("report-refusal-{}", refusal.id()), &[]),
        })
    };
    let name = names::thing(at.thing, level);
    let told = |id: &str, act: Option<Act>| {
        vec![Offer {
            deed: Deed::Take,
            words: say(id, &[("thing", &name)]),
            not: act.and_then(not),
        }]
    };
    match at.thing {
        Thing::Control(control) => told("hands-offer-take", Some(Act::Take(control))),
        Thing::Lance => told("hands-offer-take_up", Some(Act::TakeUp)),
        Thing::Stand if !near_stand(me, &frame.tool) => {
            from_near("hands-offer-put_back", &name, false)
        }
        Thing::Stand => told("hands-offer-put_back", Some(Act::LayDown)),
        Thing::Nozzle(nozzle) if frame.tool.chosen == nozzle => {
            told("hands-offer-chosen", Some(Act::Choose { nozzle }))
        }
        Thing::Nozzle(nozzle) => told("hands-offer-choose", Some(Act::Choose { nozzle })),
        Thing::BoreGauge => told("hands-offer-gauge", Some(Act::Begin(Task::GaugeBore))),
        Thing::LanceEnd => {
            let on = frame.tool.nozzle;
            let (task, id) = match work_at_end(on.is_some()) {
                task @ Task::RemoveNozzle => (task, "hands-offer-remove"),
                task => (task, "hands-offer-fit"),
            };
            let nozzle = Thing::Nozzle(on.unwrap_or(frame.tool.chosen));
            vec![Offer {
                deed: Deed::Take,
                words: say(id, &[("thing", &names::thing(nozzle, level))]),
                not: not(Act::Begin(task)),
            }]
        }
        Thing::Ppe(item) => {
            let on = me.wears & item.bit() == 0;
            let id = if on {
                "hands-offer-put_on"
            } else {
                "hands-offer-take_off"
            };
            told(id, Some(Act::Wear { item, on }))
        }
        Thing::Hose if holds(frame, me.seat) => Vec::new(),
        Thing::Hose if me.seat == Seat::LANCE => told("hands-offer-hose", Some(Act::TakeHose)),
        Thing::Hose => Vec::new(),
        Thing::Dials | Thing::LineGauge => vec![Offer {
            deed: Deed::Inspect,
            words: say("hands-offer-read", &[("thing", &name)]),
            not: None,
        }],
        Thing::JobBoard => from_near("hands-offer-hand_back", &name, near_board(me, at)),
    }
}

/// What is only done from near.
fn from_near(id: &str, name: &str, is_near: bool) -> Vec<Offer> {
    vec![Offer {
        deed: Deed::Take,
        words: say(id, &[("thing", &name)]),
        not: (!is_near).then(|| say("hands-too_far", &[])),
    }]
}

/// What could be done with a control in the hand, and how it stands.
fn in_hand(control: Control, frame: &ViewFrame) -> Vec<Offer> {
    let share = frame.controls.iter().find(|(c, _)| *c == control);
    let share = share.map_or(0.0, |(_, share)| *share);
    let name = say(&format!("calls-control-{}", control.id()), &[]);
    let mut found = Vec::new();
    match control.handling() {
        Handling::Twist { .. } => {
            // What the hand covers, or what an arm feels at the end.
            let stands = match control {
                Control::Throttle => say(
                    "hands-stands-percent",
                    &[("percent", &number(100.0 * share, 0))],
                ),
                _ if share <= 0.0 => say("hands-stands-out", &[]),
                _ if share >= 1.0 => say("hands-stands-in", &[]),
                _ => String::new(),
            };
            found.push(Offer {
                deed: Deed::Take,
                words: say(
                    "hands-offer-twist",
                    &[("thing", &name), ("stands", &stands)],
                ),
                not: None,
            });
        }
        Handling::Push { .. } => {
            let at = (share * f64::from(control.top())).round() as u16;
            let id = format!("hands-push-{}_{at}", control.id());
            found.push(Offer {
                deed: Deed::Squeeze,
                words: say(&id, &[]),
                not: None,
            });
            if control == Control::Key && at > 0 {
                found.push(Offer {
                    deed: Deed::Brace,
                    words: say("hands-push-key_back", &[]),
                    not: None,
                });
            }
            found.push(Offer {
                deed: Deed::Take,
                words: say("hands-offer-let_go", &[("thing", &name)]),
                not: None,
            });
        }
    }
    found
}
