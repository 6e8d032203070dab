//! The game itself: until it has a window, the model attempt of the first
//! level is played without one.

use super::faults::Refusal;
use super::run::{ATTEMPTS, MODEL, Order, Player, carry_out, tell};
use super::{Verdict, show};
use crew::Bot;
use std::path::PathBuf;
use training::load::Library;
use training::text::say;

/// Says that there is no window, and plays.
pub fn open() -> Result<Verdict, Refusal> {
    let library = Library::find();
    let levels = library.levels();
    let first = levels
        .first()
        .ok_or_else(|| Refusal::new(say("cli-no_levels", &[])))?;
    let loaded = library.load(first)?;
    show::line(&say("cli-no_window", &[]));
    show::line(&say(
        "cli-plays_model",
        &[("level", &loaded.level.title.get("en"))],
    ));
    let script = library.script(&loaded.level, MODEL)?;
    let played = carry_out(Order {
        seed: loaded.level.seed,
        loaded,
        player: Player::Scripted(Bot::Steady, script),
        from: None,
        out: PathBuf::from(ATTEMPTS),
        key: None,
        metered: false,
    })?;
    tell(&played);
    let fine = played.mark.findings.is_empty() && played.stuck.is_none();
    Ok(if fine {
        Verdict::Fine
    } else {
        Verdict::Findings
    })
}
