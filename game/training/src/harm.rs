//! What a jet, a blow or a fall does to somebody: how badly, and from whom that is known.
//!
//! Nobody can foretell a wound. What is known is from which pressure water goes through skin, which
//! blows break bones, and from which heights people are brought to a trauma centre. Each function
//! here holds one such thing against published figures and says no more than one of three grades
//! ([`HurtGrade`]). Where on the body something strikes is known only as head or not; the eye, the
//! great vessels, dirt in the water and what somebody does in the shock are left out, and so is how
//! long it lasts: the distances of INRS are those of a jet that passes at 0.5 m/s.
//!
//! Sources, each with how far it was read:
//! - INRS, hazard distance of water jets of very high pressure, HST-CND 213, ND 2298 (2008), its
//!   abstract: straight jets go through a skin of latex up to 1.4 to 3.6 m, and through protective
//!   clothing up to 0.15 to 1.1 m; flat ones up to 0.1 to 0.4 m and less than 0.05 m; rotating ones
//!   up to 0.2 to 0.7 m and about 0.2 m.
//! - CDC, a note on injuries by water: skin is breached from some 7 bar (100 psi).
//! - Missouri S&T, lectures on waterjetting by D. Summers: a jet cuts plywood from some 2,700 psi.
//! - Department of Defense Explosives Safety Board, Technical Paper 12, as cited by others: a
//!   fragment of 79 J (58 ft lbf) is hazardous, which means that it kills or maims.
//! - N. Yoganandan and others, Biomechanics of skull fracture, Journal of Neurotrauma 12(4), 1995, its
//!   abstract: skulls broke at 14.1 to 68.5 J and 4.5 to 14.1 kN; struck quickly, at 28.0 J on average.
//! - EN 397, industrial helmets, as told by others: struck from above with 49 J they let no more than
//!   5 kN through.
//! - ISO/TS 15066: no more may be done to a chest than bruises it, which is given as a force and a
//!   stiffness; the stiffness, 25 N/mm, was read, the force, 280 N for a moment, is from memory.
//! - Guidance of the offshore trade on dropped objects: from 40 J on an injury that needs treatment,
//!   with protective equipment worn.
//! - National guideline for the field triage of injured patients (2021): a fall from more than 10 ft
//!   (3 m) is a risk of serious injury.
//! - 29 CFR 1910.28(b)(1)(i): whoever can fall 4 ft (1.2 m) is to be protected from it.
//! - A. Dickinson and others, Falls from height, Journal of the Royal Army Medical Corps 158(2), 2012,
//!   its abstract: with wounds of head or chest half died that had fallen 10.5 m.

use crate::HurtGrade;
use hydraulics::{Exit, JetKind, JetSpec};

/// Pressure from which water goes through bare skin, pascals (CDC).
pub const SKIN_PA: f64 = 7.0e5;

/// Pressure from which it goes through clothing that is made for the job, pascals. Derived: such
/// clothing brings the greatest distance of straight jets from 3.6 m to 1.1 m (INRS), and along a
/// straight jet the pressure falls with the square of the way: 7 bar times (3.6 / 1.1)^2.
pub const CLOTHING_PA: f64 = 75.0e5;

/// Pressure from which a wound by water counts as grave, pascals. Derived: what cuts plywood, 186 bar
/// (Summers), is taken to cut to the bone.
pub const CUTS_PA: f64 = 186.0e5;

/// A jet out of something that was never made for one: a hole in a hose, or its torn end. Its core
/// is short and it falls apart soon (from memory: 20 diameters, and pressure that falls with the
/// square of the way).
pub const ROUGH: JetSpec = JetSpec {
    kind: JetKind::Round,
    core_diameters: 20.0,
    decay: 2.0,
};

/// Energy from which a blow leaves a bruise, joules: 280 N on a chest of 25 N/mm, `F^2 / (2 k)`
/// (ISO/TS 15066, the force from memory).
pub const BRUISE_J: f64 = 1.6;

/// Energy from which a blow on the body needs a doctor, joules (guidance on dropped objects).
pub const BODY_INJURY_J: f64 = 40.0;

/// Energy from which a blow on the body is grave, joules (the hazardous fragment).
pub const BODY_GRAVE_J: f64 = 79.0;

/// Least energy that broke a skull, joules (Yoganandan and others). From there on a blow on a bare
/// head is grave.
pub const SKULL_J: f64 = 14.1;

/// Energy up to which a helmet keeps from the skull what breaks it, joules (EN 397). It is tested from
/// above only; here it is taken to do as much from every side.
pub const HELMET_J: f64 = 49.0;

/// Height of a fall from which it is grave, metres (field triage).
pub const GRAVE_FALL_M: f64 = 3.0;

/// Height of a fall from which it needs a doctor whatever is worn, metres (29 CFR 1910.28).
pub const INJURY_FALL_M: f64 = 1.2;

/// What a blow strikes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Struck {
    /// The head.
    Head {
        /// It wears a helmet.
        helmet: bool,
    },
    /// Trunk or limbs.
    Body,
}

/// What water does to somebody this far from where it leaves, in metres along the jet, who wears
/// clothing that is made for it or not. For holes and torn ends take the jet [`ROUGH`].
///
/// What has gone through the skin is an injury at least, however small it looks. Clothing that
/// holds leaves a bruise.
pub fn by_water(jet: &JetSpec, exit: &Exit, way_m: f64, clothed: bool) -> Option<HurtGrade> {
    let pressure_pa = jet.impact(exit, way_m).centre_pa;
    let holds_pa = if clothed { CLOTHING_PA } else { SKIN_PA };
    if pressure_pa > holds_pa {
        let deep = pressure_pa >= CUTS_PA;
        Some(if deep {
            HurtGrade::Grave
        } else {
            HurtGrade::Injury
        })
    } else {
        (pressure_pa > SKIN_PA).then_some(HurtGrade::Bruise)
    }
}

/// What a blow does: `energy_j` is the energy of what strikes, relative to the body, joules.
///
/// A bare head is hurt by less than a body: no contact that leaves a bruise elsewhere is allowed
/// with it (ISO/TS 15066, from memory).
pub fn by_blow(energy_j: f64, struck: Struck) -> Option<HurtGrade> {
    let [injury_j, grave_j] = match struck {
        Struck::Head { helmet: false } => [BRUISE_J, SKULL_J],
        Struck::Head { helmet: true } => [SKULL_J, HELMET_J],
        Struck::Body => [BODY_INJURY_J, BODY_GRAVE_J],
    };
    graded(energy_j, [BRUISE_J, injury_j, grave_j])
}

/// What a fall does; `height_m` is how far below the feet one lands, metres: 0 for a fall on the spot.
///
/// The head comes down from the height of a body even on the spot, and nothing but a helmet is
/// between it and the ground: 4.5 kg (from memory) that fall 1.6 m have 71 J, more than any skull
/// bore that was tested.
pub fn by_fall(height_m: f64, helmet: bool) -> Option<HurtGrade> {
    let injury_m = if helmet { INJURY_FALL_M } else { 0.0 };
    graded(height_m, [0.0, injury_m, GRAVE_FALL_M])
}

/// The highest grade whose least value is reached.
fn graded(value: f64, least: [f64; 3]) -> Option<HurtGrade> {
    let grades = HurtGrade::ALL.into_iter().zip(least).rev();
    { grades }
        .find(|(_, least)| value >= *least)
        .map(|(grade, _)| grade)
}

#[cfg(test)]
mod tests;
