//! What the pump hand makes of each word of the lance hand, as a table.

use crate::Call;
use crate::shock::goes_on;
use serde::{Deserialize, Serialize};

/// What the pump hand is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Order {
    /// Shutting the dump, so that water goes to the tool.
    Shut,
    /// Bringing the pressure one step up.
    Raise,
    /// Bringing the pressure one step down.
    Lower,
    /// Stopping the pump and proving the line at zero.
    Prove,
    /// Starting the pump up without load.
    Start,
    /// Letting the engine down after everything was stopped.
    Ease,
}

impl Order {
    /// All of them.
    pub const ALL: [Order; 6] = [
        Order::Shut,
        Order::Raise,
        Order::Lower,
        Order::Prove,
        Order::Start,
        Order::Ease,
    ];
}

/// How the pump stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub(super) enum Line {
    /// The engine does not run under its own power.
    Stands,
    /// The engine runs and the dump is open.
    Open,
    /// The engine runs and the dump is not seen to be open.
    Fed,
}

/// What the pump hand knows when a word comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Sight {
    /// How the pump stands.
    pub line: Line,
    /// What is being done.
    pub at: Option<Order>,
    /// The pressure is at the highest step.
    pub top: bool,
    /// The regulator is backed off.
    pub bottom: bool,
    /// Everything was stopped, and nothing was agreed since.
    pub stopped: bool,
    /// The emergency stop is struck.
    pub struck: bool,
    /// Harm was seen.
    pub harm: bool,
}

/// What the pump hand makes of a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Answer {
    /// What is said.
    pub say: Option<Call>,
    /// What is done after it.
    pub order: Option<Order>,
}

/// What the pump hand makes of `call`. Words that stop the work never come to
/// this table, and "say again" is answered by the runner, who knows what was
/// said last.
pub(super) fn answer(sight: Sight, call: Call) -> Answer {
    use Line::{Fed, Open, Stands};
    use Order::{Lower, Prove, Raise, Shut, Start};
    let says = |say, order| Answer {
        say: Some(say),
        order,
    };
    let nothing = Answer {
        say: None,
        order: None,
    };
    let puzzled = says(Call::SayAgain, None);
    let read_back = |order| says(call, order);

    if sight.harm && goes_on(call) {
        return says(Call::AllStop, None);
    }
    match (call, sight.at, sight.line) {
        // Stopping needs no word; the rest is said to others, or answers.
        (
            Call::Dump
            | Call::AllStop
            | Call::Ready
            | Call::ZoneClear
            | Call::SayAgain
            | Call::Squeeze
            | Call::Release
            | Call::ZeroProved
            | Call::NoChange
            | Call::Correction,
            _,
            _,
        ) => nothing,

        (Call::ReadyQuery, None, Open | Fed) => says(Call::Ready, None),
        (Call::ReadyQuery, _, _) => puzzled,

        // A line is flushed at what it stands at; after a stop the next word
        // has to be the one for pressure, or a new start.
        (Call::ClearToFlush, _, _) if sight.stopped => puzzled,
        (Call::ClearToFlush | Call::ClearToPressurise, None, Open) => read_back(Some(Shut)),
        (Call::ClearToFlush | Call::ClearToPressurise, None, Fed)
        | (Call::ClearToFlush | Call::ClearToPressurise, Some(Shut), Open | Fed) => read_back(None),
        (Call::ClearToFlush | Call::ClearToPressurise, _, _) => puzzled,

        // One step for each word, and the needle can be set only while the
        // line is fed.
        (Call::Raise, None, Fed) if sight.top => says(Call::NoChange, None),
        (Call::Raise, None, Fed) => read_back(Some(Raise)),
        (Call::Raise, _, _) => puzzled,
        (Call::Lower, None | Some(Raise), Fed) if sight.bottom => says(Call::NoChange, None),
        (Call::Lower, None | Some(Raise), Fed) => read_back(Some(Lower)),
        (Call::Lower, _, _) => puzzled,

        (Call::ProveZero, Some(Prove), _) => nothing,
        (Call::ProveZero, _, _) => read_back(Some(Prove)),

        (Call::StartUp, Some(Start), _) => nothing,
        (Call::StartUp, None, Stands) if !sight.struck => read_back(Some(Start)),
        (Call::StartUp, None, Open) => says(Call::Ready, None),
        (Call::StartUp, _, _) => puzzled,
    }
}

/// Whether a word of the lance hand takes back what was agreed, so that the
/// hands stop before anything is thought of.
pub(super) fn takes_back(call: Call, at: Order) -> bool {
    match call {
        Call::NoChange | Call::SayAgain => matches!(at, Order::Shut | Order::Raise | Order::Lower),
        Call::Lower => at == Order::Raise,
        Call::ProveZero => at != Order::Prove,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CALM: Sight = Sight {
        line: Line::Fed,
        at: None,
        top: false,
        bottom: false,
        stopped: false,
        struck: false,
        harm: false,
    };

    /// `=` reads back, `?` asks again, `r` says ready, `n` no change, `-` says
    /// nothing; then the first letter of what is done.
    fn short(sight: Sight, call: Call) -> String {
        let answer = answer(sight, call);
        let said = match answer.say {
            None => '-',
            Some(c) if c == call => '=',
            Some(Call::SayAgain) => '?',
            Some(Call::Ready) => 'r',
            Some(Call::NoChange) => 'n',
            Some(_) => '!',
        };
        let order = answer.order.map_or("-".to_owned(), |o| format!("{o:?}"));
        format!("{said}{}", &order[..1])
    }

    #[test]
    fn every_word_has_its_outcome_however_the_pump_stands() {
        // At rest: standing, open, fed; then fed while shutting, raising,
        // lowering; open while proving; standing while starting; open while
        // easing.
        let at = [
            (Line::Stands, None),
            (Line::Open, None),
            (Line::Fed, None),
            (Line::Fed, Some(Order::Shut)),
            (Line::Fed, Some(Order::Raise)),
            (Line::Fed, Some(Order::Lower)),
            (Line::Open, Some(Order::Prove)),
            (Line::Stands, Some(Order::Start)),
            (Line::Open, Some(Order::Ease)),
        ];
        let rows = [
            "ready_query          ?- r- r- ?- ?- ?- ?- ?- ?-",
            "ready                -- -- -- -- -- -- -- -- --",
            "clear_to_flush       ?- =S =- =- ?- ?- ?- ?- ?-",
            "clear_to_pressurise  ?- =S =- =- ?- ?- ?- ?- ?-",
            "raise                ?- ?- =R ?- ?- ?- ?- ?- ?-",
            "lower                ?- ?- =L ?- =L ?- ?- ?- ?-",
            "no_change            -- -- -- -- -- -- -- -- --",
            "dump                 -- -- -- -- -- -- -- -- --",
            "all_stop             -- -- -- -- -- -- -- -- --",
            "zone_clear           -- -- -- -- -- -- -- -- --",
            "say_again            -- -- -- -- -- -- -- -- --",
            "squeeze              -- -- -- -- -- -- -- -- --",
            "release              -- -- -- -- -- -- -- -- --",
            "zero_proved          -- -- -- -- -- -- -- -- --",
            "prove_zero           =P =P =P =P =P =P -- =P =P",
            "start_up             =S r- ?- ?- ?- ?- ?- -- ?-",
            "correction           -- -- -- -- -- -- -- -- --",
        ];
        assert_eq!(rows.len(), Call::ALL.len());
        for (row, call) in rows.iter().zip(Call::ALL) {
            let mut cells = row.split_whitespace();
            assert_eq!(cells.next(), Some(call.id()));
            for (line, at) in at {
                let sight = Sight { line, at, ..CALM };
                let stated = cells.next().unwrap_or("missing");
                assert_eq!(short(sight, call), stated, "{line:?} {at:?} {call:?}");
            }
        }
    }

    #[test]
    fn at_either_end_of_the_steps_nothing_changes() {
        let top = Sight { top: true, ..CALM };
        let bottom = Sight {
            bottom: true,
            ..CALM
        };
        assert_eq!(short(top, Call::Raise), "n-");
        assert_eq!(short(top, Call::Lower), "=L");
        assert_eq!(short(bottom, Call::Lower), "n-");
        assert_eq!(short(bottom, Call::Raise), "=R");
    }

    #[test]
    fn after_a_stop_only_the_word_for_pressure_shuts_the_dump() {
        let stopped = Sight {
            line: Line::Open,
            stopped: true,
            ..CALM
        };
        for call in Call::ALL {
            let shuts = answer(stopped, call).order == Some(Order::Shut);
            assert_eq!(shuts, call == Call::ClearToPressurise, "{call:?}");
        }
    }

    #[test]
    fn nothing_is_started_with_the_emergency_stop_struck() {
        let struck = Sight {
            line: Line::Stands,
            struck: true,
            ..CALM
        };
        assert_eq!(short(struck, Call::StartUp), "?-");
    }

    #[test]
    fn after_harm_every_word_for_water_is_answered_with_a_stop() {
        for line in [Line::Stands, Line::Open, Line::Fed] {
            for call in Call::ALL {
                let harmed = Sight {
                    line,
                    harm: true,
                    ..CALM
                };
                let answer = answer(harmed, call);
                assert_ne!(answer.order, Some(Order::Shut), "{call:?}");
                assert_ne!(answer.order, Some(Order::Start), "{call:?}");
                assert_ne!(answer.order, Some(Order::Raise), "{call:?}");
                assert_eq!(answer.say == Some(Call::AllStop), goes_on(call), "{call:?}");
            }
        }
    }

    #[test]
    fn only_raise_raises_and_it_takes_a_line_that_is_fed() {
        for line in [Line::Stands, Line::Open, Line::Fed] {
            for at in Order::ALL.into_iter().map(Some).chain([None]) {
                for call in Call::ALL {
                    let sight = Sight { line, at, ..CALM };
                    if answer(sight, call).order == Some(Order::Raise) {
                        assert_eq!((call, line, at), (Call::Raise, Line::Fed, None));
                    }
                }
            }
        }
    }
}
