//! Whether the physics that a level depends on meets its references. An assessment begins only
//! where it does: see the crate `qualify`.
//!
//! The whole table takes a second or two, so it is made behind the screens, once, when an
//! assessment is first looked at.

use bevy::prelude::*;
use qualify::{Part, Table};
use std::sync::{Arc, OnceLock};
use training::level::Level;

/// What is known of the physics.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Proof {
    /// It is being found out.
    Checking,
    /// Every quantity that the level depends on meets its references.
    Holds,
    /// These do not; ids of their titles.
    Fails(Vec<String>),
}

/// The table, once somebody has asked for it.
#[derive(Resource, Default)]
pub struct Proofs {
    table: Arc<OnceLock<Table>>,
    asked: bool,
}

impl Proofs {
    /// How it stands with a level.
    pub fn of(&mut self, level: &Level) -> Proof {
        if !self.asked {
            self.asked = true;
            let table = self.table.clone();
            std::thread::spawn(move || table.set(qualify::run()));
        }
        match self.table.get() {
            None => Proof::Checking,
            Some(table) => judged(table, level),
        }
    }
}

fn judged(table: &Table, level: &Level) -> Proof {
    let parts: Vec<Part> = Part::ALL
        .into_iter()
        .filter(|part| level.physics().contains(&part.id()))
        .collect();
    let failing = table.failing(&parts);
    if failing.is_empty() {
        Proof::Holds
    } else {
        Proof::Fails(failing.iter().map(|quantity| quantity.title_id()).collect())
    }
}

/// Keeps what is known of the physics.
pub fn plugin(app: &mut App) {
    app.init_resource::<Proofs>();
}

#[cfg(test)]
mod tests {
    use super::*;
    use qualify::{Outcome, Verdict};
    use training::load::Library;

    /// The table with one case of a quantity turned round.
    fn spoiled(whole: &Table, id: &str) -> Table {
        let turn = |outcome: &Outcome| {
            let mut outcome = outcome.clone();
            if outcome.quantity.id == id {
                outcome.cases[0].verdict = Verdict::Fail;
            }
            outcome
        };
        whole.outcomes().iter().map(turn).collect()
    }

    #[test]
    fn a_level_is_proven_unless_something_that_it_depends_on_fails() {
        let library = Library::find();
        let level = |id: &str| library.load(id).expect("a sound level");
        let [pump, lance] = ["01_first_pressure", "02_fouled_slab"].map(level);
        let whole = qualify::run();
        for level in [&pump, &lance] {
            assert_eq!(judged(&whole, &level.level), Proof::Holds);
            for id in level.level.physics() {
                assert!(Part::ALL.iter().any(|part| part.id() == id), "{id}");
            }
        }
        let density = spoiled(&whole, "density");
        let balance = spoiled(&whole, "ground_force");
        let named = |id: &str| Proof::Fails(vec![format!("qualify-quantity-{id}")]);
        assert_eq!(judged(&density, &pump.level), named("density"));
        assert_eq!(judged(&balance, &lance.level), named("ground_force"));
        // Nobody is pushed at the pump.
        assert_eq!(judged(&balance, &pump.level), Proof::Holds);
    }
}
