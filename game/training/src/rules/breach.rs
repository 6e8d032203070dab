//! A breach that lasts: found once it has lasted long enough, not found again
//! until it has been over for a while.

use crew::Tick;

/// How long a breach has to be over before the next one is another, seconds (a
/// choice of this project: what hovers about a limit is one breach).
pub(crate) const REARM_S: f64 = 2.0;

/// What a tick makes of a breach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Turn {
    /// Nothing new.
    Same,
    /// It has now lasted long enough, so many seconds.
    Found(f64),
    /// One that was found is over, and has been since this tick.
    Over(Tick),
}

/// Follows one kind of breach through an attempt.
#[derive(Clone, Debug)]
pub(crate) struct Breach {
    rearm_s: f64,
    since: Option<Tick>,
    over_since: Option<Tick>,
    found: bool,
}

impl Default for Breach {
    fn default() -> Self {
        Breach {
            rearm_s: REARM_S,
            since: None,
            over_since: None,
            found: false,
        }
    }
}

impl Breach {
    /// A breach that is another as soon as the last one is over.
    pub fn over_at_once() -> Self {
        Breach {
            rearm_s: 0.0,
            ..Breach::default()
        }
    }

    /// Sees whether the rule is broken in this tick, when that is found after
    /// it has lasted `for_s`.
    pub fn see(&mut self, now: Tick, broken: bool, for_s: f64) -> Turn {
        if broken {
            self.over_since = None;
            let lasts_s = now.since(*self.since.get_or_insert(now));
            if self.found || lasts_s < for_s {
                return Turn::Same;
            }
            self.found = true;
            return Turn::Found(lasts_s);
        }
        self.since = None;
        if !self.found {
            return Turn::Same;
        }
        let over_since = *self.over_since.get_or_insert(now);
        if now.since(over_since) < self.rearm_s {
            return Turn::Same;
        }
        self.found = false;
        self.over_since = None;
        Turn::Over(over_since)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plays what is broken from and until when, and tells each turn with its
    /// tick.
    fn turns(breach: &mut Breach, broken: &[(u32, u32)], until: u32) -> Vec<(u32, Turn)> {
        (0..until)
            .map(|t| {
                let is = broken.iter().any(|(from, to)| (*from..*to).contains(&t));
                (t, breach.see(Tick(t), is, 0.5))
            })
            .filter(|(_, turn)| *turn != Turn::Same)
            .collect()
    }

    #[test]
    fn a_breach_is_found_once_it_has_lasted_and_over_since_it_ended() {
        let found = turns(&mut Breach::default(), &[(10, 100)], 1000);
        assert_eq!(
            found,
            [(70, Turn::Found(0.5)), (340, Turn::Over(Tick(100)))]
        );
    }

    #[test]
    fn what_does_not_last_is_not_found() {
        let found = turns(&mut Breach::default(), &[(10, 69), (80, 130)], 1000);
        assert_eq!(found, []);
    }

    #[test]
    fn what_comes_back_before_it_was_over_for_a_while_is_the_same_breach() {
        let found = turns(&mut Breach::default(), &[(0, 100), (200, 300)], 2000);
        assert_eq!(
            found,
            [(60, Turn::Found(0.5)), (540, Turn::Over(Tick(300)))]
        );
        let found = turns(&mut Breach::default(), &[(0, 100), (400, 500)], 600);
        assert_eq!(
            found,
            [
                (60, Turn::Found(0.5)),
                (340, Turn::Over(Tick(100))),
                (460, Turn::Found(0.5))
            ]
        );
    }

    #[test]
    fn a_breach_that_is_over_at_once_can_be_found_again_at_once() {
        let found = turns(&mut Breach::over_at_once(), &[(0, 61), (62, 130)], 140);
        assert_eq!(
            found,
            [
                (60, Turn::Found(0.5)),
                (61, Turn::Over(Tick(61))),
                (122, Turn::Found(0.5)),
                (130, Turn::Over(Tick(130)))
            ]
        );
    }
}
