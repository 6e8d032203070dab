//! Whether the table notices when a constant of the core is wrong.
//!
//! Each constant is bent in turn, at run time: made 3 % greater, and given the other sign. It is
//! caught if a case fails that passed before. What survives is told with its greatest effect on any
//! case, as a share of that case's tolerance. More than 1 can survive where a case was off to the other
//! side: then its tolerance is too wide, and the tests say so. An effect of nothing says that no case
//! has to do with the constant at all.

use crate::case::Verdict;
use crate::table::Table;
use hydraulics::constant::{Bend, GROUPS, while_bent};

/// What constants are taken by.
pub const FACTORS: [f64; 2] = [1.03, -1.0];

/// A constant that can be wrong without the table noticing.
#[derive(Clone, Debug)]
pub struct Survivor {
    /// Which it is and by how much.
    pub bend: Bend,
    /// Its greatest effect, as a share of a tolerance.
    pub effect: f64,
    /// The case on which.
    pub case: String,
}

/// Every constant with every factor.
pub fn all() -> Vec<Bend> {
    let of_group = |group: &'static hydraulics::constant::Group| {
        (0..group.len).flat_map(move |place| {
            FACTORS.map(|factor| Bend {
                group: *group,
                place,
                factor,
            })
        })
    };
    GROUPS.iter().flat_map(of_group).collect()
}

impl Survivor {
    /// Bends one constant; gives what survives of it beside the table as it stands.
    pub fn of(bend: Bend, straight: &Table) -> Option<Self> {
        let mut survivor = Survivor {
            bend,
            effect: 0.0,
            case: String::new(),
        };
        for outcome in straight.outcomes() {
            let quantity = outcome.quantity;
            let bent = while_bent(&bend, || quantity.cases());
            for (was, now) in outcome.cases.iter().zip(&bent) {
                if was.verdict == Verdict::Pass && now.verdict == Verdict::Fail {
                    return None;
                }
                let effect = (now.deviation() - was.deviation()).abs() / was.tolerance;
                if effect > survivor.effect {
                    survivor.effect = effect;
                    survivor.case = format!("{}: {}", quantity.id, was.case);
                }
            }
        }
        Some(survivor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::the_table;
    use std::thread;

    /// Constants that no value from outside has to do with, each with the reason.
    const UNCHECKED: [(&str, &str); 4] = [
        (
            "VOID",
            "stands for column separation, which is not modelled: no table goes below atmosphere",
        ),
        (
            "AIR_GAMMA",
            "the air spring is given by its stiffness in the table of the regulator",
        ),
        (
            "IMPACT",
            "the profile of an impact is from memory, which no table counts",
        ),
        (
            "LAYER",
            "tables of waves have the friction of steady flow only",
        ),
    ];

    fn survivors(bends: &[Bend]) -> Vec<Survivor> {
        let straight = the_table();
        let at_once = thread::available_parallelism().map_or(1, usize::from);
        let part = bends.len().div_ceil(at_once).max(1);
        thread::scope(|scope| {
            let parts: Vec<_> = bends
                .chunks(part)
                .map(|part| {
                    scope.spawn(move || {
                        part.iter()
                            .filter_map(|bend| Survivor::of(*bend, straight))
                            .collect::<Vec<_>>()
                    })
                })
                .collect();
            parts
                .into_iter()
                .flat_map(|part| part.join().expect("no panic"))
                .collect()
        })
    }

    /// All of them with `JETYARD_BENDS=all` (ten minutes), one in forty-eight else.
    #[test]
    fn what_can_be_wrong_without_the_table_noticing_has_little_effect_or_is_named() {
        let every = std::env::var("JETYARD_BENDS").is_ok_and(|asked| asked == "all");
        let bends: Vec<Bend> = all()
            .into_iter()
            .enumerate()
            .filter(|(n, _)| every || n % 48 == 5)
            .map(|(_, bend)| bend)
            .collect();
        let found = survivors(&bends);
        println!("{} bent, {} survive", bends.len(), found.len());
        for survivor in &found {
            let Bend {
                group,
                place,
                factor,
            } = survivor.bend;
            println!(
                "{}[{place}] x {factor}: {:.2e} of a tolerance at {}",
                group.name, survivor.effect, survivor.case
            );
            if survivor.effect == 0.0 {
                let named = UNCHECKED.iter().any(|(name, _)| *name == group.name);
                assert!(named || changes_nothing(&survivor.bend), "{survivor:?}");
            }
        }
        let heavy: Vec<_> = found.iter().filter(|s| s.effect > 1.0).collect();
        assert!(heavy.is_empty(), "{heavy:?}");
        assert!(2 * found.len() < bends.len(), "most are caught");
    }

    /// Places of the viscosity's table at which the release has nothing; signs under an even power.
    fn changes_nothing(bend: &Bend) -> bool {
        const EMPTY: [usize; 21] = [
            5, 6, 11, 12, 13, 17, 18, 19, 20, 24, 26, 28, 29, 31, 32, 34, 35, 37, 38, 39, 40,
        ];
        const EVEN: [usize; 3] = [3, 4, 5];
        match bend.group.name {
            "VISCOSITY_FINITE" => EMPTY.contains(&bend.place),
            "CHURCHILL" => bend.factor == -1.0 && EVEN.contains(&bend.place),
            _ => false,
        }
    }

    #[test]
    fn a_bent_leading_constant_is_caught() {
        let straight = the_table();
        for (name, place) in [
            ("WATER_VOLUME", 0),
            ("CHURCHILL", 0),
            ("VAPOUR", 1),
            ("SPREADING", 0),
            ("WALTHER", 0),
            ("GRAVITY", 0),
        ] {
            let group = GROUPS.iter().find(|g| g.name == name).expect(name);
            for factor in FACTORS {
                let bend = Bend {
                    group: *group,
                    place,
                    factor,
                };
                assert!(
                    Survivor::of(bend, straight).is_none(),
                    "{name}[{place}] x {factor}"
                );
            }
        }
    }
}
