//! What the push of the tool costs the person who holds it. It is felt in the
//! view, in the arms and in the pad, and heard in the breath; it changes
//! nothing in the yard but how quickly the arms turn where they are told to.

use yard::ViewFrame;
use yard::view::PersonView;

/// Push from which on holding is work, and push that takes all that one has,
/// newtons (a choice of this project: what may be held unbraced, and a quarter
/// more than what may be held at all).
const EASY_N: f64 = 40.0;
const ALL_N: f64 = 310.0;
/// Breaths a minute at rest and with all that one has (from memory).
const REST_BREATHS_MIN: f64 = 14.0;
const MOST_BREATHS_MIN: f64 = 46.0;
/// Fastest turn of the aim without a push, radians per second (a choice of this
/// project: a tool of 6 kg is not swung about).
const AIM_RAD_S: f64 = 5.0;
/// The push at which it is half as fast, newtons.
const AIM_HALF_N: f64 = 110.0;
/// Tremor of the view at the full effort, radians (a choice of this project).
const TREMOR_RAD: f64 = 0.006;

/// What holding the tool costs at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Effort {
    /// Push of the jet on the hands, newtons.
    pub push_n: f64,
    /// Share of what the person can do, 0 to 1.
    pub share: f64,
    /// Tremor of head and arms, root mean square, radians.
    pub tremor_rad: f64,
    /// How strongly the pad shakes, 0 to 1.
    pub rumble: f64,
    /// Breaths a minute.
    pub breaths_min: f64,
    /// Fastest turn of the aim, radians per second.
    pub aim_rad_s: f64,
}

impl Effort {
    /// Of a person in a frame.
    pub fn of(me: &PersonView, frame: &ViewFrame) -> Self {
        let holds = super::gaze::holds(frame, me.seat);
        let push_n = frame.jet.filter(|_| holds).map_or(0.0, |j| j.thrust_n);
        Effort::at(push_n, me.braced, me.strength)
    }

    /// At a push, braced so far and with so much strength left.
    pub fn at(push_n: f64, braced: f64, strength: f64) -> Self {
        let tired = 1.0 - strength.clamp(0.0, 1.0);
        let load = ((push_n - EASY_N) / (ALL_N - EASY_N)).clamp(0.0, 1.0);
        // The shoulder takes a part of it.
        let load = load * (1.0 - 0.25 * braced);
        let share = (load + 0.5 * tired * (1.0 - load)).clamp(0.0, 1.0);
        Effort {
            push_n,
            share,
            tremor_rad: TREMOR_RAD * share * share,
            rumble: (push_n / ALL_N).clamp(0.0, 1.0),
            breaths_min: REST_BREATHS_MIN + (MOST_BREATHS_MIN - REST_BREATHS_MIN) * share,
            aim_rad_s: AIM_RAD_S / (1.0 + push_n.max(0.0) / AIM_HALF_N)
                * (0.5 + 0.5 * strength.clamp(0.0, 1.0)),
        }
    }
}
