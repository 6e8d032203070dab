//! What the lance hand makes of each word, as a table.

use crate::Call;
use serde::{Deserialize, Serialize};

/// What the lance hand is at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Post {
    /// At the post with nothing agreed: the line is to be without pressure.
    #[default]
    Rest,
    /// The bare hose end, clamped in its stand, is being flushed.
    Flush,
    /// Pressure was agreed: feet staggered, tool braced.
    Guard,
    /// Trigger work at a pressure that is not to change.
    Work,
    /// Measuring the bore of the nozzle.
    Gauge,
    /// Screwing the nozzle on.
    Fit,
    /// On the ground.
    Down,
}

impl Post {
    /// All of them.
    pub const ALL: [Post; 7] = [
        Post::Rest,
        Post::Flush,
        Post::Guard,
        Post::Work,
        Post::Gauge,
        Post::Fit,
        Post::Down,
    ];
}

/// What the lance hand knows when a word comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Sight {
    /// A nozzle is on the lance, when that can be seen.
    pub nozzle: Option<bool>,
    /// Water leaves the tool, or the hose is not limp.
    pub live: bool,
}

/// What becomes of the trigger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Trigger {
    /// It stays as it is.
    Keep,
    /// It is let go at once, before anything is said.
    Release,
    /// It is squeezed for a moment, and let go without another word.
    Squeeze,
}

/// What the lance hand makes of a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Answer {
    /// What is said.
    pub say: Option<Call>,
    /// What the lance hand is at from then on.
    pub next: Post,
    /// What becomes of the trigger.
    pub trigger: Trigger,
}

/// What the lance hand makes of `call` while at `post`. "Say again" is
/// answered by the runner, who knows what was said last.
pub(super) fn answer(post: Post, call: Call, sight: Sight) -> Answer {
    use Post::{Down, Fit, Flush, Gauge, Guard, Rest, Work};
    let stay = |say, trigger| Answer {
        say,
        next: post,
        trigger,
    };
    let go = |say, next, trigger| Answer { say, next, trigger };
    let nothing = stay(None, Trigger::Keep);
    let puzzled = stay(Some(Call::SayAgain), Trigger::Keep);
    let read_back = stay(Some(call), Trigger::Keep);

    match (post, call) {
        // Nobody answers from the ground, and nobody there holds a trigger.
        (Down, _) => stay(None, Trigger::Release),
        // Stopping needs no word.
        (_, Call::Dump | Call::AllStop) => go(None, Rest, Trigger::Release),
        // What the pump hand says for others, or answers.
        (
            _,
            Call::Ready
            | Call::ZoneClear
            | Call::SayAgain
            | Call::ProveZero
            | Call::StartUp
            | Call::Correction,
        ) => nothing,

        (Flush, Call::Release) => go(None, Rest, Trigger::Release),
        (Work, Call::Release) => go(None, Guard, Trigger::Release),
        (Rest | Guard | Gauge | Fit, Call::Release) => stay(None, Trigger::Release),

        // Work with both hands in front of the lance: one thing at a time.
        (Gauge | Fit, Call::ZeroProved | Call::NoChange) => nothing,
        (Gauge | Fit, _) => puzzled,

        (Rest | Guard, Call::ReadyQuery) => stay(Some(Call::Ready), Trigger::Keep),
        (Flush | Work, Call::ReadyQuery) => puzzled,

        // Only a bare end is flushed.
        (Rest | Guard, Call::ClearToFlush) if sight.nozzle == Some(false) => {
            go(Some(call), Flush, Trigger::Keep)
        }
        (Rest | Guard, Call::ClearToFlush) => puzzled,
        (Flush, Call::ClearToFlush) => read_back,
        (Work, Call::ClearToFlush) => go(Some(Call::SayAgain), Guard, Trigger::Release),

        // Only a tool with a nozzle takes pressure.
        (Rest | Guard | Work, Call::ClearToPressurise) if sight.nozzle == Some(true) => {
            go(Some(call), Guard, Trigger::Release)
        }
        (Rest | Guard, Call::ClearToPressurise) => puzzled,
        (Flush, Call::ClearToPressurise) => go(Some(Call::SayAgain), Rest, Trigger::Release),
        (Work, Call::ClearToPressurise) => go(Some(Call::SayAgain), Guard, Trigger::Release),

        // Less pressure is always welcome; more only where some was agreed.
        (Guard, Call::Raise) => read_back,
        (Rest | Guard | Flush, Call::Lower) => read_back,
        (Work, Call::Raise | Call::Lower) => go(Some(call), Guard, Trigger::Release),
        (Rest | Flush, Call::Raise) => puzzled,

        (Guard, Call::NoChange) => go(None, Work, Trigger::Keep),
        (Rest | Flush | Work, Call::NoChange) => nothing,

        (Rest | Guard, Call::Squeeze) => stay(None, Trigger::Squeeze),
        // It is squeezed already, or is about to be.
        (Flush | Work, Call::Squeeze) => nothing,

        // A line that is felt to be live is not proved.
        (Rest | Guard, Call::ZeroProved) if sight.live => puzzled,
        (Flush, Call::ZeroProved) if sight.live => go(Some(Call::SayAgain), Rest, Trigger::Release),
        (Work, Call::ZeroProved) => go(Some(Call::SayAgain), Guard, Trigger::Release),
        (Rest | Guard | Flush, Call::ZeroProved) => match sight.nozzle {
            Some(true) => go(Some(Call::Ready), Rest, Trigger::Release),
            _ => go(None, Gauge, Trigger::Release),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BARE: Sight = Sight {
        nozzle: Some(false),
        live: false,
    };
    const FITTED: Sight = Sight {
        nozzle: Some(true),
        live: false,
    };
    const LIVE: Sight = Sight {
        nozzle: Some(true),
        live: true,
    };
    const BARE_LIVE: Sight = Sight {
        nozzle: Some(false),
        live: true,
    };

    /// `word -> next trigger` for one post and one word: `-` says nothing, `=`
    /// reads back, `?` asks again, `r` says ready; then the next post; then
    /// `k`eep, `r`elease or `s`queeze.
    fn short(post: Post, call: Call, sight: Sight) -> String {
        let answer = answer(post, call, sight);
        let said = match answer.say {
            None => '-',
            Some(c) if c == call => '=',
            Some(Call::SayAgain) => '?',
            Some(Call::Ready) => 'r',
            Some(_) => '!',
        };
        let trigger = match answer.trigger {
            Trigger::Keep => 'k',
            Trigger::Release => 'r',
            Trigger::Squeeze => 's',
        };
        format!("{said}{:?}{trigger}", answer.next)
    }

    #[test]
    fn every_word_has_its_outcome_at_every_post_with_a_nozzle_on() {
        let rows = [
            "ready_query          rRestk  ?Flushk  rGuardk  ?Workk   ?Gaugek  ?Fitk  -Downr",
            "ready                -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "clear_to_flush       ?Restk  =Flushk  ?Guardk  ?Guardr  ?Gaugek  ?Fitk  -Downr",
            "clear_to_pressurise  =Guardr ?Restr   =Guardr  =Guardr  ?Gaugek  ?Fitk  -Downr",
            "raise                ?Restk  ?Flushk  =Guardk  =Guardr  ?Gaugek  ?Fitk  -Downr",
            "lower                =Restk  =Flushk  =Guardk  =Guardr  ?Gaugek  ?Fitk  -Downr",
            "no_change            -Restk  -Flushk  -Workk   -Workk   -Gaugek  -Fitk  -Downr",
            "dump                 -Restr  -Restr   -Restr   -Restr   -Restr   -Restr -Downr",
            "all_stop             -Restr  -Restr   -Restr   -Restr   -Restr   -Restr -Downr",
            "zone_clear           -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "say_again            -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "squeeze              -Rests  -Flushk  -Guards  -Workk   ?Gaugek  ?Fitk  -Downr",
            "release              -Restr  -Restr   -Guardr  -Guardr  -Gauger  -Fitr  -Downr",
            "zero_proved          rRestr  rRestr   rRestr   ?Guardr  -Gaugek  -Fitk  -Downr",
            "prove_zero           -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "start_up             -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "correction           -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
        ];
        check(&rows, FITTED);
    }

    #[test]
    fn every_word_has_its_outcome_at_every_post_with_a_bare_end() {
        let rows = [
            "ready_query          rRestk  ?Flushk  rGuardk  ?Workk   ?Gaugek  ?Fitk  -Downr",
            "ready                -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "clear_to_flush       =Flushk =Flushk  =Flushk  ?Guardr  ?Gaugek  ?Fitk  -Downr",
            "clear_to_pressurise  ?Restk  ?Restr   ?Guardk  ?Guardr  ?Gaugek  ?Fitk  -Downr",
            "raise                ?Restk  ?Flushk  =Guardk  =Guardr  ?Gaugek  ?Fitk  -Downr",
            "lower                =Restk  =Flushk  =Guardk  =Guardr  ?Gaugek  ?Fitk  -Downr",
            "no_change            -Restk  -Flushk  -Workk   -Workk   -Gaugek  -Fitk  -Downr",
            "dump                 -Restr  -Restr   -Restr   -Restr   -Restr   -Restr -Downr",
            "all_stop             -Restr  -Restr   -Restr   -Restr   -Restr   -Restr -Downr",
            "zone_clear           -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "say_again            -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "squeeze              -Rests  -Flushk  -Guards  -Workk   ?Gaugek  ?Fitk  -Downr",
            "release              -Restr  -Restr   -Guardr  -Guardr  -Gauger  -Fitr  -Downr",
            "zero_proved          -Gauger -Gauger  -Gauger  ?Guardr  -Gaugek  -Fitk  -Downr",
            "prove_zero           -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "start_up             -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
            "correction           -Restk  -Flushk  -Guardk  -Workk   -Gaugek  -Fitk  -Downr",
        ];
        check(&rows, BARE);
    }

    fn check(rows: &[&str], sight: Sight) {
        assert_eq!(rows.len(), Call::ALL.len());
        for (row, call) in rows.iter().zip(Call::ALL) {
            let mut cells = row.split_whitespace();
            assert_eq!(cells.next(), Some(call.id()));
            for post in Post::ALL {
                let stated = cells.next().unwrap_or("missing");
                assert_eq!(short(post, call, sight), stated, "{post:?} hears {call:?}");
            }
        }
    }

    #[test]
    fn nothing_is_fitted_to_a_line_that_is_felt_to_be_live() {
        for sight in [LIVE, BARE_LIVE] {
            for post in Post::ALL {
                let next = answer(post, Call::ZeroProved, sight).next;
                assert!(
                    !matches!(next, Post::Gauge | Post::Fit) || next == post,
                    "{post:?} went to {next:?}"
                );
            }
        }
    }

    #[test]
    fn only_the_word_for_it_squeezes_and_never_where_hands_are_at_the_nozzle() {
        for sight in [BARE, FITTED, LIVE, BARE_LIVE] {
            for post in Post::ALL {
                for call in Call::ALL {
                    if answer(post, call, sight).trigger == Trigger::Squeeze {
                        assert_eq!(call, Call::Squeeze);
                        assert!(matches!(post, Post::Rest | Post::Guard));
                    }
                }
            }
        }
    }
}
