//! What the whole yard takes for granted: numbers about people, tools and hoses that are known
//! within a range at best and belong to no single item of the catalogue.
//!
//! `catalogue/assumptions.ron` states each with its range and source, and the yard builds bodies,
//! tools, hoses and senses with them. One is added by a line in the table below and an entry in
//! that file; where the yard uses it is the caller's.

/// What there is to know of an assumption beside its value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// Name in the file: the part it belongs to, and what it is.
    pub id: &'static str,
    /// Unit of the value, as people write it; `1` for a share, factor or coefficient.
    pub unit: &'static str,
    /// The value that holds for a recording from before the file stated it.
    pub before: f64,
    /// The least that the file may state.
    pub least: f64,
    /// The most that the file may state.
    pub most: f64,
}

macro_rules! assumptions {
    ($($(#[$doc:meta])* $name:ident = $id:literal, $unit:literal, $before:literal, $least:literal ..= $most:literal;)*) => {
        /// What the yard takes for granted; units as in [`Assumptions::KNOWN`].
        #[derive(Clone, Debug, PartialEq)]
        pub struct Assumptions { $($(#[$doc])* pub $name: f64,)* }

        impl Assumptions {
            /// All of them, in the order of the table.
            pub const KNOWN: &'static [Known] = &[$(Known {
                id: $id, unit: $unit, before: $before, least: $least, most: $most,
            },)*];

            /// The value of one; nothing for an id that is not in the table.
            pub fn get(&self, id: &str) -> Option<f64> {
                match id { $($id => Some(self.$name),)* _ => None }
            }

            /// Takes another value for one. `false` for an id that is not in the table.
            pub fn put(&mut self, id: &str, value: f64) -> bool {
                match id { $($id => self.$name = value,)* _ => return false }
                true
            }
        }

        impl Default for Assumptions {
            /// What held before the file stated it.
            fn default() -> Self {
                Assumptions { $($name: $before,)* }
            }
        }
    };
}

assumptions! {
    /// From a sight to knowing it.
    sight_s = "sense.sight_s", "s", 0.2, 0.05 ..= 1.0;
    /// From the end of a word to knowing it.
    hearing_s = "sense.hearing_s", "s", 0.16, 0.05 ..= 1.0;
    /// From a push on the body to knowing it.
    touch_s = "sense.touch_s", "s", 0.15, 0.05 ..= 1.0;
    /// From a word that stops the work to the first movement, beside hearing.
    choice_s = "crew.choice_s", "s", 0.55, 0.1 ..= 2.0;
    /// From the thought to the hand at the control.
    control_reach_s = "crew.reach_s", "s", 0.3, 0.1 ..= 2.0;
    /// Walking speed of somebody who has to stop something.
    hurry_m_s = "crew.hurry_m_s", "m/s", 1.8, 0.5 ..= 2.2;
    /// Speed of turning on the spot.
    turn_rad_s = "crew.turn_rad_s", "rad/s", 2.0, 0.5 ..= 6.0;
    /// Reaction time of a body to a load, over the one in the catalogue.
    reaction_share = "person.reaction_share", "1", 1.0, 0.5 ..= 2.0;
    /// Force that the arms can hold, over the one in the catalogue.
    max_hold_share = "person.max_hold_share", "1", 1.0, 0.5 ..= 2.0;
    /// Stiffness of the normal stance.
    stance_normal_n_m = "body.stance_normal_n_m", "N/m", 3000.0, 500.0 ..= 20000.0;
    /// Stiffness of the wide stance.
    stance_wide_n_m = "body.stance_wide_n_m", "N/m", 4000.0, 500.0 ..= 20000.0;
    /// Stiffness of the staggered stance.
    stance_staggered_n_m = "body.stance_staggered_n_m", "N/m", 5000.0, 500.0 ..= 20000.0;
    /// What bracing adds to the stiffness of a stance.
    brace_n_m = "body.brace_n_m", "N/m", 3000.0, 0.0 ..= 20000.0;
    /// Damping of the stance relative to critical.
    stance_damping = "body.stance_damping", "1", 0.9, 0.1 ..= 3.0;
    /// Time to bring the tool to the shoulder.
    brace_s = "body.brace_s", "s", 0.6, 0.0 ..= 5.0;
    /// Part of the load that the arms bear when braced.
    braced_share = "body.braced_share", "1", 0.4, 0.0 ..= 1.0;
    /// Time at rest that restores all strength.
    recovery_s = "body.recovery_s", "s", 600.0, 1.0 ..= 100000.0;
    /// Longest recovery step.
    max_step_m = "body.max_step_m", "m", 0.9, 0.1 ..= 1.5;
    /// Time of a step of walking or placing.
    step_s = "body.step_s", "s", 0.42, 0.1 ..= 2.0;
    /// Time of a recovery step.
    recovery_step_s = "body.recovery_step_s", "s", 0.25, 0.1 ..= 2.0;
    /// Time in which a load that is let go of is expected to vanish.
    ease_s = "body.ease_s", "s", 0.25, 0.02 ..= 2.0;
    /// How far the hands are usually ahead of the middle between the feet.
    hand_reach_m = "body.hand_reach_m", "m", 0.35, 0.0 ..= 0.8;
    /// Time constant of reaching arms.
    reach_time_s = "body.reach_time_s", "s", 0.12, 0.02 ..= 1.0;
    /// Greatest speed of reaching arms.
    reach_m_s = "body.reach_m_s", "m/s", 1.2, 0.1 ..= 5.0;
    /// Stiffness of free arms.
    arm_n_m = "body.arm_n_m", "N/m", 2500.0, 200.0 ..= 50000.0;
    /// Stiffness of the arms with the tool at the shoulder.
    shoulder_n_m = "body.shoulder_n_m", "N/m", 10000.0, 200.0 ..= 100000.0;
    /// Mass of tool and forearms.
    arm_mass_kg = "body.arm_mass_kg", "kg", 6.0, 1.0 ..= 30.0;
    /// Damping of the arms relative to critical.
    arm_damping = "body.arm_damping", "1", 0.7, 0.1 ..= 3.0;
    /// Line of the thrust above the grip.
    thrust_lever_m = "tool.thrust_lever_m", "m", 0.04, 0.0 ..= 0.2;
    /// Angular stiffness of free arms.
    tool_n_m = "tool.stiffness_n_m", "N m/rad", 150.0, 5.0 ..= 5000.0;
    /// Angular stiffness with the tool braced.
    tool_braced_n_m = "tool.braced_stiffness_n_m", "N m/rad", 400.0, 5.0 ..= 5000.0;
    /// Damping of the aim relative to critical.
    tool_damping = "tool.damping", "1", 0.7, 0.05 ..= 3.0;
    /// How soon the arms learn to bear a lasting torque.
    tool_adapt_s = "tool.adapt_s", "s", 0.4, 0.05 ..= 100.0;
    /// From a torque to the first answer of the arms.
    tool_felt_s = "tool.felt_s", "s", 0.2, 0.01 ..= 1.0;
    /// What is left of the stiffness of free arms when they are exhausted.
    tool_exhausted_share = "tool.exhausted_share", "1", 0.3, 0.05 ..= 1.0;
    /// Stiffness of a hand that pulls a hose.
    pull_n_m = "hand.pull_n_m", "N/m", 2500.0, 100.0 ..= 20000.0;
    /// Damping of a hand that pulls a hose.
    pull_n_s_m = "hand.pull_n_s_m", "N s/m", 150.0, 0.0 ..= 2000.0;
    /// The most that a hand pulls a hose with.
    pull_most_n = "hand.pull_most_n", "N", 250.0, 20.0 ..= 1000.0;
    /// Axial stiffness of a hose.
    hose_axial_n = "hose.axial_n", "N", 1000000.0, 10000.0 ..= 100000000.0;
    /// Retardation time of a hose's bending.
    hose_damping_s = "hose.bending_damping_s", "s", 0.05, 0.0 ..= 1.0;
    /// Drag coefficient of a hose across a stream of air.
    hose_drag = "hose.drag", "1", 1.2, 0.0 ..= 5.0;
    /// Loss coefficient of a half-open gun seat.
    gun_seat_loss = "gun.seat_loss", "1", 2.0, 0.0 ..= 100.0;
    /// Discharge coefficient of a gun's open passage.
    gun_open_cd = "gun.open_passage_cd", "1", 0.82, 0.1 ..= 1.0;
    /// Cosine of the jet's angle at the regulator's seat.
    regulator_jet_cos = "regulator.jet_angle_cos", "1", 0.358368, 0.0 ..= 1.0;
    /// Noise 1 m from a jet of 1 mm at 1000 bar.
    jet_noise_db = "noise.jet_db", "dB(A)", 101.0, 70.0 ..= 130.0;
    /// Exponent of a jet's speed in the power of its noise.
    jet_noise_exponent = "noise.jet_exponent", "1", 4.5, 1.0 ..= 10.0;
    /// Noise 1 m from a unit at rated speed.
    unit_noise_db = "noise.unit_db", "dB(A)", 102.0, 60.0 ..= 125.0;
    /// Exponent of an engine's speed in the power of its noise.
    unit_noise_exponent = "noise.unit_exponent", "1", 3.0, 1.0 ..= 6.0;
    /// What worn ear defenders keep off.
    defenders_db = "noise.defenders_db", "dB", 22.0, 0.0 ..= 50.0;
}
