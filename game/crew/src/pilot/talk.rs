//! Saying a word and waiting for its answer.

use super::Step;
use crate::person::Person;
use crate::{Act, Call, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// Silence after a word before it is said once more, and again before giving
/// up, seconds (the rule agreed at the briefing).
const SILENCE_S: f64 = 3.0;
/// A breath before speaking, seconds.
const BREATH_S: f64 = 0.2;
/// A word is said again at the other's request so often.
const REPEATS: u8 = 3;

/// One's own voice: it says one word at a time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Voice {
    /// When the last word was begun.
    pub from: Tick,
    /// Speaking until then.
    pub free_at: Tick,
}

impl Voice {
    /// Whether a word is being said.
    pub fn speaks(&self, now: Tick) -> bool {
        now < self.free_at
    }

    /// Begins to say a word.
    pub fn say(&mut self, me: &Person, p: &Percepts, call: Call, out: &mut Vec<Input>) {
        self.from = p.tick;
        // A tick more than the word takes, so that it is over for everybody.
        self.free_at = Tick(p.tick.after(call.duration_s()).0 + 1);
        me.does(p.tick, Act::Say(call), out);
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Stage {
    Breathe { until: Tick },
    Speak,
    Listen { since: Tick },
}

/// A word on its way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Talk {
    stage: Option<Stage>,
    said: u8,
    repeats: u8,
}

impl Talk {
    /// Says `call`, and waits for `answer` if there is one to wait for.
    /// `caught` holds the words caught in this tick.
    #[expect(clippy::too_many_arguments, reason = "mouth, ears and both words")]
    pub fn go(
        &mut self,
        me: &mut Person,
        voice: &mut Voice,
        p: &Percepts,
        call: Call,
        answer: Option<Call>,
        caught: &[Call],
        out: &mut Vec<Input>,
    ) -> Step<()> {
        let stage = *self.stage.get_or_insert_with(|| Stage::Breathe {
            until: p.tick.after(me.pause_s(BREATH_S)),
        });
        match stage {
            Stage::Breathe { until } => {
                if p.tick >= until && !voice.speaks(p.tick) {
                    voice.say(me, p, call, out);
                    self.said += 1;
                    self.stage = Some(Stage::Speak);
                }
            }
            Stage::Speak => {
                if !voice.speaks(p.tick) {
                    if answer.is_none() || !me.skill.listens {
                        return Step::Done;
                    }
                    self.stage = Some(Stage::Listen { since: p.tick });
                }
            }
            Stage::Listen { since } => {
                if answer.is_some_and(|a| caught.contains(&a)) {
                    return Step::Done;
                }
                if voice.speaks(p.tick) {
                    // Asked for a repetition oneself: the silence begins anew.
                    self.stage = Some(Stage::Speak);
                } else if caught.contains(&Call::SayAgain) && self.repeats < REPEATS {
                    self.repeats += 1;
                    self.said -= 1;
                    self.breathe(me, p);
                } else if p.tick.since(since) > SILENCE_S {
                    if self.said >= 2 {
                        return Step::Failed(());
                    }
                    self.breathe(me, p);
                }
            }
        }
        Step::Going
    }

    fn breathe(&mut self, me: &mut Person, p: &Percepts) {
        self.stage = Some(Stage::Breathe {
            until: p.tick.after(me.pause_s(BREATH_S)),
        });
    }
}
