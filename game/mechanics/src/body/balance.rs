//! Balance as such: the statics of a load on a standing body, and the delayed
//! control that keeps it up.
//!
//! **Control.** What the body feels is a reaction time old. A proportional and
//! derivative control of a free mass on that old percept alone is stable only up
//! to `0.55 m / delay^2`, 1.1 kN/m for 80 kg and 0.2 s; standing people hold
//! with 3 to 8 kN/m. So, as models of standing do (from memory: predictor of
//! Smith, internal model of optimal-control theory), the old percept is carried
//! forward by what the body knows it did meanwhile, and the control acts on
//! that. Nothing acts before the delay has passed.
//!
//! **Letting go.** What a person does to the load with their own hand needs no
//! percept: who lets go of the trigger knows that the thrust will go, and takes
//! back the push against it at once (copy of the motor command, from memory). The
//! body expects the load to fall evenly, in [`BodySpec::ease_s`](super::BodySpec::ease_s), to the part of it that lasts:
//! what a hose does to the hands goes on. A tool that drops its thrust sooner, later
//! or not at all surprises it for the difference, until the percept has caught up.
//! In the same way it makes itself ready for the thrust it squeezes for, as far as it
//! knows it ([`BodyIntent::coming_n`](super::BodyIntent::coming_n); adjustments ahead of one's own act, from memory).

use std::collections::VecDeque;

use serde::{Deserialize, Serialize};

use super::support::Plan;
use crate::GRAVITY_M_S2;

/// What it takes to stand still against a load.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct StaticNeed {
    /// Force of the ground along its normal, N.
    pub normal_n: f64,
    /// Horizontal force of the ground, N.
    pub horizontal_n: f64,
    /// Friction coefficient that just holds.
    pub friction: f64,
    /// How far behind the centre of mass, along the load, the feet must bear, m.
    pub offset_m: f64,
}

/// The statics of a body of `mass_kg` against a load of `horizontal_n` sideways
/// and `upward_n` upwards (both on the body), acting at `height_m` in line with
/// the centre of mass: slip if `H > mu (W - U)`; feet behind by `H h / (W - U)`.
/// `None` if the load lifts the body.
#[must_use]
pub fn static_need(
    mass_kg: f64,
    horizontal_n: f64,
    upward_n: f64,
    height_m: f64,
) -> Option<StaticNeed> {
    let normal_n = mass_kg * GRAVITY_M_S2 - upward_n;
    (normal_n > 0.0).then(|| StaticNeed {
        normal_n,
        horizontal_n,
        friction: horizontal_n / normal_n,
        offset_m: horizontal_n * height_m / normal_n,
    })
}

/// One moment of what the body feels and does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Moment {
    pub dt: f64,
    pub position: Plan,
    pub velocity: Plan,
    /// Load felt in the hands, N: horizontal and upward.
    pub load: Plan,
    pub load_up: f64,
    /// The part of it that does not go with the trigger, N.
    pub lasting: Plan,
    pub lasting_up: f64,
    /// Horizontal force of the ground that the body drew on, N.
    pub ground: Plan,
    /// Part of the load that the body knows it has let go of, 0 to 1.
    pub eased: f64,
    /// Part of what it squeezes for that the body has made itself ready for, 0 to 1.
    pub readied: f64,
}

/// What the body knows of its own hand at the trigger.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Known {
    /// Part of the load that has been let go of, 0 to 1.
    pub eased: f64,
    /// Part that is ready of what is to come, 0 to 1, and that, N: horizontal and upward.
    pub readied: f64,
    pub coming: Plan,
    pub coming_up: f64,
}

/// The percept: moments of the last reaction time, newest at the back.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Percept {
    moments: VecDeque<Moment>,
}

/// The state the body reckons it is in now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Reckoned {
    pub position: Plan,
    pub velocity: Plan,
    pub load: Plan,
    pub load_up: f64,
}

impl Percept {
    pub fn record(&mut self, moment: Moment, delay_s: f64) {
        self.moments.push_back(moment);
        // Everything younger than the delay is kept, and one moment that is not.
        let mut age: f64 = self.moments.iter().map(|m| m.dt).sum();
        while let Some(first) = self.moments.front() {
            if self.moments.len() > 1 && age - first.dt >= delay_s - 1e-9
                || self.moments.len() > 4096
            {
                age -= first.dt;
                self.moments.pop_front();
            } else {
                break;
            }
        }
    }

    /// Moves everything remembered by `by`: the ground has carried the body along.
    pub fn shift(&mut self, by: Plan) {
        for m in &mut self.moments {
            m.position += by;
        }
    }

    /// The oldest percept carried on by what the body did since, with the load taken as it
    /// was felt then, less what has been let go of since and with what was squeezed for since.
    pub fn reckon(&self, mass_kg: f64, known: &Known) -> Option<Reckoned> {
        let old = self.moments.front()?;
        // What was let go of when the load was felt is not in what was felt, and what was
        // ready then is.
        let held = 1.0 - old.eased;
        let left = |eased: f64| {
            if held > 0.0 {
                ((1.0 - eased) / held).min(1.0)
            } else {
                1.0
            }
        };
        let open = 1.0 - old.readied;
        let come = |readied: f64| {
            if open > 0.0 {
                ((readied - old.readied) / open).clamp(0.0, 1.0)
            } else {
                0.0
            }
        };
        let goes = old.load - old.lasting;
        let load = |eased: f64, readied: f64| {
            let stays = goes * left(eased);
            old.lasting + stays + (known.coming - stays) * come(readied)
        };
        let goes_up = (old.load_up - old.lasting_up) * left(known.eased);
        let mut position = old.position;
        let mut velocity = old.velocity;
        for m in &self.moments {
            let gain = (load(m.eased, m.readied) + m.ground) * (m.dt / mass_kg);
            position += (velocity + gain * 0.5) * m.dt;
            velocity += gain;
        }
        Some(Reckoned {
            position,
            velocity,
            load: load(known.eased, known.readied),
            load_up: old.lasting_up + goes_up + (known.coming_up - goes_up) * come(known.readied),
        })
    }
}
