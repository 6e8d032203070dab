//! The limits of a region: numbers that law, a code or a site sets.

use crate::Honesty;
use serde::{Deserialize, Serialize};

/// One number, and where it comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Limit {
    /// The number, in the unit that the field's name ends in.
    pub value: f64,
    /// Where it comes from.
    pub source: String,
    /// How far it can be trusted.
    pub honesty: Honesty,
}

macro_rules! limits {
    ($($(#[$doc:meta])* $name:ident: $low:literal ..= $high:literal;)*) => {
        /// The limits of a region, in trade units as their names say.
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        pub struct Limits { $($(#[$doc])* pub $name: Limit,)* }

        impl Limits {
            /// Names of the limits, each with the range it may be given in.
            pub const RANGES: &'static [(&'static str, f64, f64)] = &[$((stringify!($name), $low, $high),)*];

            /// All limits with their names, in the order of the table.
            pub fn all(&self) -> impl Iterator<Item = (&'static str, &Limit)> {
                [$((stringify!($name), &self.$name),)*].into_iter()
            }

            /// Builds the limits by asking for each one by name, with the
            /// range it may be given in.
            pub fn gather(mut ask: impl FnMut(&'static str, f64, f64) -> Limit) -> Self {
                Limits { $($name: ask(stringify!($name), $low, $high),)* }
            }
        }
    };
}

limits! {
    /// Highest set point at which an engine may be started, bar.
    start_set_pressure_max_bar: 0.0 ..= 100.0;
    /// Widest throttle at which an engine may be started, percent.
    start_throttle_max_pct: 0.0 ..= 100.0;
    /// Pressure above which a jet can hurt, bar.
    danger_bar: 1.0 ..= 20.0;
    /// Pressure up to which a line counts as empty, bar.
    zero_bar: 0.1 ..= 2.0;
    /// Highest pressure before all stops are tested, bar.
    stop_test_max_bar: 10.0 ..= 200.0;
    /// Time in which the tool must be without thrust once stopped, seconds.
    tool_stopped_within_s: 0.1 ..= 5.0;
    /// Share of the thrust before that counts as without thrust, percent.
    tool_stopped_thrust_share_pct: 1.0 ..= 50.0;
    /// How long a consent to change the pressure holds, seconds.
    consent_valid_s: 1.0 ..= 120.0;
    /// How long a read-back of "clear" holds, seconds.
    read_back_valid_s: 1.0 ..= 120.0;
    /// Widest step of pressure at once, percent of the job's pressure.
    step_share_max_pct: 5.0 ..= 100.0;
    /// How long each step is held, seconds.
    step_hold_s: 1.0 ..= 120.0;
    /// How far a held step may wander, percent of the job's pressure.
    step_steady_pct: 1.0 ..= 20.0;
    /// How long the engine idles unloaded before it is stopped, seconds.
    cool_idle_s: 0.0 ..= 900.0;
    /// Widest throttle that counts as idling, percent.
    cool_throttle_max_pct: 0.0 ..= 100.0;
    /// Time in which the dump must be open once called for, seconds.
    dump_on_call_s: 0.5 ..= 10.0;
    /// Thrust above which the tool must be braced to the body, newtons.
    braced_above_n: 50.0 ..= 250.0;
    /// Thrust above which a tool must not be held by hand, newtons.
    never_above_n: 100.0 ..= 400.0;
    /// Highest setting of the relief over the kit's maximum, percent.
    relief_over_kit_max_pct: 1.0 ..= 30.0;
    /// Largest share of the pump's flow that may be bypassed, percent.
    bypass_share_max_pct: 10.0 ..= 100.0;
    /// With the trigger let go, how near the tool may point at somebody, metres.
    pointed_within_m: 1.0 ..= 30.0;
    /// The same while the line is under pressure, metres.
    pointed_live_within_m: 1.0 ..= 60.0;
    /// How long the tool may point at somebody without water, seconds.
    pointed_for_s: 0.05 ..= 5.0;
    /// How near somebody may be in the line of a running jet, metres.
    jet_hazard_m: 1.0 ..= 60.0;
    /// How near to one's own feet a running jet may pass, metres.
    jet_to_feet_m: 0.1 ..= 3.0;
    /// Fastest walk with the jet running, metres per second.
    walk_with_flow_m_s: 0.05 ..= 1.5;
    /// How long the safety catch may stay off with the trigger let go, seconds.
    catch_within_s: 0.5 ..= 60.0;
    /// How long the pump may be out of anybody's reach under pressure, seconds.
    unwatched_s: 0.5 ..= 60.0;
    /// How far from a tool that is not in the hands one may be under pressure,
    /// metres.
    away_from_tool_m: 0.5 ..= 10.0;
    /// Time in which the trigger must be let go once there is cause, seconds.
    release_on_cue_s: 0.5 ..= 10.0;
    /// How long a line is flushed before a nozzle is fitted, seconds.
    flush_min_s: 0.0 ..= 120.0;
    /// How far the pressure may be above the lowest rating, or above that of the job, before that is
    /// found, percent: what the regulator and the ripple add.
    over_rating_pct: 0.0 ..= 20.0;
    /// Water in the tank from which the pump is unloaded, degrees Celsius.
    tank_alarm_c: 30.0 ..= 70.0;
    /// Water in the tank at which the pump may not feed the line at all, degrees
    /// Celsius.
    tank_stop_c: 35.0 ..= 90.0;
    /// How long a line may stand at pressure behind a shut gun with nothing being
    /// changed, seconds.
    parked_max_s: 20.0 ..= 900.0;
    /// Level at the ear from which ear defenders are worn, and what may be borne
    /// for the hours below, dB(A).
    noise_level_db: 70.0 ..= 100.0;
    /// How long that level may be borne in a day, hours.
    noise_hours_h: 1.0 ..= 24.0;
    /// So much more halves the time, dB.
    noise_exchange_db: 3.0 ..= 6.0;
    /// How long somebody may be above that level without ear defenders, seconds.
    unprotected_s: 0.0 ..= 300.0;
    /// Largest share of a surface that may be damaged under its deposits, percent.
    damaged_max_pct: 0.0 ..= 100.0;
    /// Distance kept from a running jet over the one at which it goes through skin,
    /// percent.
    hazard_room_pct: 100.0 ..= 1000.0;
    /// Time in which a mistake that is put right and reported costs half,
    /// seconds.
    corrected_within_s: 1.0 ..= 60.0;
    /// How long a line may stay under pressure after a part has failed in a way that shows at once,
    /// seconds.
    trouble_stopped_within_s: 2.0 ..= 120.0;
    /// How long there may be more pressure than tests need while a part is out of order in a way that
    /// only a test or a measurement shows, seconds.
    defect_found_within_s: 5.0 ..= 600.0;
    /// Largest change of the push on somebody who holds a jet when the other tool of the pump opens or
    /// shuts, percent.
    thrust_jump_max_pct: 5.0 ..= 50.0;
    /// How long a starving pump may be kept at work, seconds.
    starved_s: 0.5 ..= 60.0;
    /// Friction under the feet, as a share of the weight on them, below which nobody holds a jet by
    /// hand, percent.
    footing_min_pct: 5.0 ..= 100.0;
    /// How long somebody may stand on less than that with a jet, seconds.
    unsound_footing_s: 0.1 ..= 10.0;
    /// How long the pump may feed the line after somebody was hurt or the hose parted, seconds.
    harm_stopped_within_s: 1.0 ..= 60.0;
    /// How long a hose under pressure may be bent tighter than it may be, seconds.
    kinked_s: 0.5 ..= 60.0;
    /// Points that a major finding costs.
    deduction_major: 0.0 ..= 100.0;
    /// Points that a minor finding costs.
    deduction_minor: 0.0 ..= 100.0;
}

impl Limits {
    /// What a highest pressure is multiplied by before more than that is found: 1 and the margin.
    pub fn over_rating_share(&self) -> f64 {
        1.0 + self.over_rating_pct.value / 100.0
    }
}

/// The limits that hold at a level's site.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Region {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub title: crate::level::Words,
    /// The limits.
    pub limits: Limits,
}
