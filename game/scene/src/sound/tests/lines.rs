//! Two lines and what protects them, as they are heard: the jet of a second tool, the burst disc, and
//! noises of danger that are told again.

use super::{Ears, at_pump, jet, load, mixed, pump, shots_of, show};
use crate::leaks;
use crate::sound::mix::{Loop, Mix};
use crate::sound::shots::{Shot, Shots};
use crate::stage::{Eye, Happened, Show, point};
use bevy::math::Vec3;
use crew::{Seat, Tick};
use training::Event;

/// The level of two lines, its pump at work.
fn two() -> Show {
    let mut show = show("10_two_lines");
    load(&mut show);
    show
}

fn press(show: &mut Show, pressed: bool) {
    let second = show.now.second.as_mut().expect("a second tool");
    second.pressed = f64::from(u8::from(pressed));
    second.jet = pressed.then(|| jet(second.tip));
}

#[test]
fn the_jet_of_the_second_tool_is_heard_where_it_is_and_beside_the_first() {
    let mut show = two();
    assert_eq!(mixed(&show).tone(Loop::JetFar).gain, 0.0);
    press(&mut show, true);
    let tip = point(show.now.second.as_ref().expect("a second tool").tip);
    let beside = Eye {
        at: tip + Vec3::new(0.0, 1.0, -1.0),
        ..at_pump()
    };
    // Against what sounds everywhere alike, because all of it is kept within what can be played.
    let near = |mix: Mix| mix.tone(Loop::JetNear).gain / mix.tone(Loop::Yard).gain;
    let at_stand = |show: &Show| near(Mix::of(show, &beside, Some(Seat::PUMP)));
    let alone = at_stand(&show);
    assert!(alone > 0.5, "{alone}");
    assert!(near(mixed(&show)) < 0.2 * alone);
    // Another jet at the same place adds its power, and one that is far away hardly any.
    show.now.jet = Some(jet([12.5, 1.3, 1.0]));
    let with_far = at_stand(&show);
    let beside_it = (tip + Vec3::X * 0.2).as_dvec3().to_array();
    (show.before.tool.tip, show.now.tool.tip) = (beside_it, beside_it);
    show.now.jet = Some(jet(beside_it));
    let both = at_stand(&show);
    assert!(both > 1.15 * alone, "{both} {alone}");
    assert!(with_far < 1.1 * alone, "{with_far} {alone}");
}

#[test]
fn a_pedal_clicks_and_its_jet_is_told_as_that_of_the_stand() {
    let mut show = two();
    let mut ears = Ears::new(&show);
    let mut shots = Shots::default();
    let none: [Happened; 0] = [];
    let mut begun = |show: &Show| shots_of(&shots.begun(show, &at_pump(), &[], none.iter()));
    assert_eq!(begun(&show), []);
    press(&mut show, true);
    assert_eq!(begun(&show), [Shot::Trigger, Shot::HoseJump]);
    assert_eq!(begun(&show), []);
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["a jet leaves the lance in the stand"]);
    press(&mut show, false);
    assert_eq!(begun(&show), [Shot::Trigger]);
}

#[test]
fn a_disc_that_tears_bangs_once_and_roars_as_long_as_water_comes() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    let mut shots = Shots::default();
    assert_eq!(mixed(&show).tone(Loop::Disc).gain, 0.0);
    let burst = Happened {
        tick: Tick(1),
        event: Event::DiscBurst,
    };
    show.now.machine.disc_m3_s = 9e-4;
    let begun = shots.begun(&show, &at_pump(), &[], [burst].iter());
    assert_eq!(shots_of(&begun), [Shot::Bang]);
    // Whoever stands at the pump hears nothing as loud.
    assert!(begun[0].gain > 0.9, "{begun:?}");
    ears.hear(&show, &[], 0.1);
    ears.captions.burst();
    assert_eq!(
        ears.lines(),
        [
            "water roars out of the burst disc's pipe",
            "a bang at the pump: the burst disc has torn"
        ]
    );
    let at = leaks::disc(&show.loaded.level).expect("a unit");
    assert!(at.distance(at_pump().at) < 2.5, "{at}");
    let full = mixed(&show).tone(Loop::Disc).gain;
    show.now.machine.disc_m3_s = 1e-4;
    let less = mixed(&show).tone(Loop::Disc).gain;
    assert!(full > 1.3 * less && less > 0.01, "{full} {less}");
}

#[test]
fn a_noise_of_danger_is_told_again_while_it_lasts_and_no_longer() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    show.now.machine.knock = true;
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["the pump knocks"]);
    let mut stood = Vec::new();
    for _ in 0..200 {
        ears.hear(&show, &[], 0.1);
        stood.push(!ears.lines().is_empty());
    }
    let begins = stood.windows(2).filter(|pair| !pair[0] && pair[1]).count();
    assert_eq!(begins, 2, "of twenty seconds");
    // Not all the time.
    assert!(stood.iter().filter(|stands| !**stands).count() > 80);
    show.now.machine.knock = false;
    for _ in 0..200 {
        ears.hear(&show, &[], 0.1);
    }
    assert_eq!(ears.lines(), Vec::<&str>::new());
}
