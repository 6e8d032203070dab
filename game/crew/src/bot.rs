//! The bots: people without a person, by name.

use crate::person::{Site, Skill};
use crate::{Pilot, Script, Seat, Source};
use serde::{Deserialize, Serialize};

/// A kind of trainee played by the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Bot {
    /// Follows the level's model script without error.
    Steady,
    /// Follows it with the small errors that a good hand makes.
    Human,
    /// Follows it without pauses, and waits for no answer.
    Hasty,
    /// Does nothing.
    Idle,
}

impl Bot {
    /// All bots.
    pub const ALL: [Bot; 4] = [Bot::Steady, Bot::Human, Bot::Hasty, Bot::Idle];

    /// Stable name, as given on the command line.
    pub fn id(self) -> &'static str {
        match self {
            Bot::Steady => "steady",
            Bot::Human => "human",
            Bot::Hasty => "hasty",
            Bot::Idle => "idle",
        }
    }

    /// The bot with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|b| b.id() == id)
    }

    /// How exact it is; none for the one that does nothing and needs no
    /// script.
    pub fn skill(self) -> Option<Skill> {
        match self {
            Bot::Steady => Some(Skill::steady()),
            Bot::Human => Some(Skill::human()),
            Bot::Hasty => Some(Skill::hasty()),
            Bot::Idle => None,
        }
    }

    /// The pilot of this bot; none for the one that does nothing.
    pub fn pilot(self, script: Script, seat: Seat, site: Site, seed: u64) -> Option<Pilot> {
        let skill = self.skill()?;
        Some(Pilot::new(script, seat, Source::Trainee, site, skill, seed))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bot_is_found_by_its_name() {
        for bot in Bot::ALL {
            assert_eq!(Bot::by_id(bot.id()), Some(bot));
        }
        assert_eq!(Bot::by_id("nobody"), None);
    }

    #[test]
    fn only_the_idle_bot_needs_no_script() {
        for bot in Bot::ALL {
            assert_eq!(bot.skill().is_none(), bot == Bot::Idle);
        }
    }
}
