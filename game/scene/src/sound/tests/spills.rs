//! Water that gets out where it should not, and the guard of the oil, as they are heard.

use super::{Ears, at_pump, load, mixed, pump, shots_of, torn};
use crate::leaks;
use crate::sound::mix::{Loop, Mix};
use crate::sound::shots::{Shot, Shots};
use crate::stage::{Eye, Happened, Show};
use bevy::math::Vec3;
use crew::{Control, Seat};

const L_MIN: f64 = 1.0 / 60_000.0;

fn gain(show: &Show, which: Loop) -> f32 {
    mixed(show).tone(which).gain
}

#[test]
fn sound_packings_are_not_heard_and_worn_ones_the_more_they_leak() {
    let mut show = pump();
    load(&mut show);
    // What the packings of a sound unit of the catalogue let through at 700 bar.
    show.now.machine.gland_m3_s = 0.84 * L_MIN;
    let mut ears = Ears::new(&show);
    assert_eq!(gain(&show, Loop::Trickle), 0.0);
    show.now.machine.gland_m3_s = 4.5 * L_MIN;
    let some = gain(&show, Loop::Trickle);
    show.now.machine.gland_m3_s = 12.0 * L_MIN;
    let much = gain(&show, Loop::Trickle);
    assert!(some > 0.01 && much > 1.5 * some, "{some} {much}");
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["water runs from the packings of the pump"]);
}

#[test]
fn a_hole_in_the_hose_hisses_by_its_flow_and_pressure_at_its_place() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    assert_eq!(gain(&show, Loop::Leak), 0.0);
    let machine = &mut show.now.machine;
    (machine.pump_pa, machine.gun_pa) = (7e7, 7e7);
    machine.hole_m3_s = 1.0 * L_MIN;
    let thin = mixed(&show).tone(Loop::Leak);
    show.now.machine.hole_m3_s = 6.0 * L_MIN;
    let wide = mixed(&show).tone(Loop::Leak);
    assert!(
        thin.gain > 0.01 && wide.gain > 1.5 * thin.gain,
        "{thin:?} {wide:?}"
    );
    ears.hear(&show, &[], 0.1);
    assert_eq!(
        ears.lines(),
        ["water hisses out of the hose, thin and sharp"]
    );
    // The same flow at less pressure is a lower and quieter hiss.
    (show.now.machine.pump_pa, show.now.machine.gun_pa) = (5e6, 5e6);
    let weak = mixed(&show).tone(Loop::Leak);
    assert!(weak.rate < wide.rate && weak.gain < wide.gain, "{weak:?}");
    // It is loudest where it is.
    (show.now.machine.pump_pa, show.now.machine.gun_pa) = (7e7, 7e7);
    let at = leaks::hole(&show).expect("a hose");
    let beside = Eye {
        at: at + Vec3::Y,
        ..at_pump()
    };
    let near = Mix::of(&show, &beside, Some(Seat::PUMP)).tone(Loop::Leak);
    assert!(near.gain > wide.gain, "{near:?} {wide:?}");
}

#[test]
fn a_torn_end_gushes_as_long_as_water_comes() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    assert_eq!(gain(&show, Loop::Gush), 0.0);
    show.now.torn = vec![torn(30.0 * L_MIN)];
    let full = gain(&show, Loop::Gush);
    show.now.torn = vec![torn(5.0 * L_MIN)];
    let less = gain(&show, Loop::Gush);
    assert!(full > 1.5 * less && less > 0.01, "{full} {less}");
    show.now.torn = vec![torn(30.0 * L_MIN)];
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["water gushes out of a torn hose"]);
}

#[test]
fn the_guard_of_the_oil_is_heard_once_and_the_alarm_until_the_key_is_off() {
    let mut show = pump();
    load(&mut show);
    let key = |show: &mut Show, to| {
        let mut controls = show.now.controls.iter_mut();
        let (_, share) = controls.find(|(c, _)| *c == Control::Key).expect("a key");
        *share = to;
    };
    key(&mut show, 0.5);
    let mut ears = Ears::new(&show);
    let mut shots = Shots::default();
    let none: [Happened; 0] = [];
    let mut begun = |show: &Show| shots_of(&shots.begun(show, &at_pump(), &[], none.iter()));
    assert_eq!(begun(&show), []);
    show.now.machine.oil_tripped = true;
    assert_eq!(begun(&show), [Shot::Trip]);
    assert_eq!(begun(&show), []);
    assert!(gain(&show, Loop::Alarm) > 0.05);
    ears.hear(&show, &[], 0.1);
    assert_eq!(
        ears.lines(),
        [
            "the panel sounds its alarm",
            "the oil guard drops: the engine is stopped"
        ]
    );
    key(&mut show, 0.0);
    assert_eq!(gain(&show, Loop::Alarm), 0.0);
    // A yard that is put up with the engine stopped begins in silence.
    assert_eq!(
        shots_of(&Shots::default().begun(&show, &at_pump(), &[], none.iter())),
        []
    );
}

#[test]
fn a_relief_is_louder_the_more_it_lets_go() {
    let mut show = pump();
    load(&mut show);
    assert_eq!(gain(&show, Loop::Relief), 0.0);
    show.now.machine.relief_lifts = true;
    show.now.machine.relief_m3_s = 2.0 * L_MIN;
    let simmers = gain(&show, Loop::Relief);
    show.now.machine.relief_m3_s = 50.0 * L_MIN;
    assert!(gain(&show, Loop::Relief) > 1.2 * simmers);
}
