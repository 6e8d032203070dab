//! What is heard of yards put together by hand.

use super::captions::{Captions, Listener};
use super::mix::{Loop, Mix, OPEN_HZ, pan};
use super::shots::{Shot, Shots, Sounded};
use super::voices::Voices;
use crate::stage::{Eye, Happened, Show};
use bevy::math::Vec3;
use crew::{Call, Control, Ppe, Seat, Tick};
use std::sync::{Arc, OnceLock};
use training::Event;
use training::load::{Library, Loaded};
use yard::torn::TornView;
use yard::view::{JetView, Spread};

mod lines;
mod spills;
mod taped;

/// A level as it stands before its first tick.
fn show(id: &str) -> Show {
    static LOADED: OnceLock<[Arc<Loaded>; 3]> = OnceLock::new();
    let levels = LOADED.get_or_init(|| {
        ["01_first_pressure", "02_fouled_slab", "10_two_lines"].map(|id| {
            let loaded = Library::find().load(id);
            Arc::new(loaded.unwrap_or_else(|problems| panic!("{problems}")))
        })
    });
    let loaded = levels.iter().find(|l| l.level.id == id).expect("a level");
    let frame = yard::view::at_start(&loaded.level).unwrap_or_else(|f| panic!("{f:?}"));
    Show {
        loaded: loaded.clone(),
        before: frame.clone(),
        now: frame,
        alpha: 1.0,
        cells: Vec::new(),
        fresh: Vec::new(),
        renewed: 0,
    }
}

fn pump() -> Show {
    show("01_first_pressure")
}

/// Ears in front of the pump unit, looking at it.
fn at_pump() -> Eye {
    Eye {
        at: Vec3::new(0.6, 1.6, 1.0),
        yaw: core::f32::consts::FRAC_PI_2,
        pitch: 0.0,
        roll: 0.0,
    }
}

/// The machine runs at idle, with the dump open.
fn idle(show: &mut Show) {
    let machine = &mut show.now.machine;
    machine.runs = true;
    machine.engine_rev_s = 12.0;
    machine.pump_rev_s = 3.3;
    machine.labour = 0.1;
    machine.pump_pa = 2e6;
}

/// It works hard.
fn load(show: &mut Show) {
    idle(show);
    let machine = &mut show.now.machine;
    machine.engine_rev_s = 29.0;
    machine.pump_rev_s = 8.0;
    machine.labour = 0.9;
    machine.pump_pa = 7e7;
}

fn jet(tip: [f64; 3]) -> JetView {
    JetView {
        tip,
        points: [1.0, 0.0, 0.0],
        flow_m3_s: 5e-4,
        speed_m_s: 380.0,
        thrust_n: 200.0,
        diameter_m: 1.4e-3,
        core_m: 0.3,
        spread: Spread::Round,
        meets: Some([tip[0] + 1.0, tip[1], tip[2]]),
        normal: [-1.0, 0.0, 0.0],
        spot: None,
        impact_pa: 0.0,
        at_person: false,
    }
}

/// A torn end of the hose beside the unit, with a flow out of it.
fn torn(flow_m3_s: f64) -> TornView {
    TornView {
        of_hose: true,
        at_pump: false,
        held: false,
        at: [1.0, 0.1, 1.5],
        out: [1.0, 0.0, 0.0],
        flow_m3_s,
    }
}

fn mixed(show: &Show) -> Mix {
    Mix::of(show, &at_pump(), Some(Seat::PUMP))
}

#[track_caller]
fn sound_in_range(mix: &Mix) {
    let mut sum = 0.0;
    for which in Loop::ALL {
        let tone = mix.tone(which);
        assert!((0.0..=1.0).contains(&tone.gain), "{which:?} {tone:?}");
        assert!((0.5..=2.0).contains(&tone.rate), "{which:?} {tone:?}");
        assert!((-1.0..=1.0).contains(&tone.pan), "{which:?} {tone:?}");
        sum += tone.gain;
    }
    assert!(sum <= 1.0 + 1e-4, "{sum}");
    assert!((0.0..=1.0).contains(&mix.machines), "{}", mix.machines);
    assert!((100.0..=OPEN_HZ).contains(&mix.cutoff_hz));
}

#[test]
fn the_engine_goes_from_idle_to_load_and_up_in_pitch() {
    let mut show = pump();
    let still = mixed(&show);
    assert_eq!(still.tone(Loop::EngineIdle).gain, 0.0);
    assert_eq!(still.tone(Loop::EngineLoad).gain, 0.0);
    idle(&mut show);
    let idles = mixed(&show);
    load(&mut show);
    let works = mixed(&show);
    let gain = |mix: &Mix, which| mix.tone(which).gain;
    assert!(gain(&idles, Loop::EngineIdle) > 3.0 * gain(&idles, Loop::EngineLoad));
    assert!(gain(&works, Loop::EngineLoad) > 3.0 * gain(&works, Loop::EngineIdle));
    assert!(works.tone(Loop::EngineLoad).rate > 0.9);
    let rate = |mix: &Mix| mix.tone(Loop::EngineIdle).rate;
    assert!(rate(&works) > 1.5 * rate(&idles));
    // The same speed with more labour is a higher and louder note.
    show.now.machine.labour = 0.1;
    let easy = mixed(&show);
    assert!(works.tone(Loop::EngineLoad).rate > easy.tone(Loop::EngineLoad).rate);
}

#[test]
fn an_open_dump_roars_and_a_shut_one_does_not() {
    let mut show = pump();
    load(&mut show);
    assert_eq!(mixed(&show).tone(Loop::Dump).gain, 0.0);
    show.now.machine.dump_m3_s = 10.0 / 60_000.0;
    let little = mixed(&show).tone(Loop::Dump).gain;
    show.now.machine.dump_m3_s = 35.0 / 60_000.0;
    let much = mixed(&show).tone(Loop::Dump).gain;
    assert!(little > 0.1 && much > little, "{little} {much}");
}

#[test]
fn the_hiss_rises_with_what_is_bypassed() {
    let mut show = pump();
    load(&mut show);
    let mut before = -1.0;
    for share in [0.0, 0.1, 0.3, 0.6, 1.0] {
        show.now.machine.bypass_share = share;
        let hiss = mixed(&show).tone(Loop::Hiss).gain;
        assert!(hiss > before, "{share}: {hiss} after {before}");
        before = hiss;
    }
    assert!(before > 0.2);
}

#[test]
fn a_starved_pump_knocks_in_time_with_its_crank() {
    let mut show = pump();
    load(&mut show);
    assert_eq!(mixed(&show).tone(Loop::Knock).gain, 0.0);
    show.now.machine.knock = true;
    let fast = mixed(&show).tone(Loop::Knock);
    show.now.machine.pump_rev_s = 4.0;
    let slow = mixed(&show).tone(Loop::Knock);
    assert!(fast.gain > 0.1 && slow.gain > 0.1);
    assert!(fast.rate > slow.rate);
}

#[test]
fn the_panel_sounds_its_alarm_while_the_stop_is_struck_and_the_key_on() {
    let mut show = pump();
    let set = |show: &mut Show, control, to| {
        let mut controls = show.now.controls.iter_mut();
        let (_, share) = controls.find(|(c, _)| *c == control).expect("a control");
        *share = to;
    };
    let alarm = |show: &Show| mixed(show).tone(Loop::Alarm).gain;
    set(&mut show, Control::EmergencyStop, 1.0);
    assert_eq!(alarm(&show), 0.0);
    let mut ears = Ears::new(&show);
    set(&mut show, Control::Key, 0.5);
    assert!(alarm(&show) > 0.05);
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["the panel sounds its alarm"]);
    set(&mut show, Control::EmergencyStop, 0.0);
    assert_eq!(alarm(&show), 0.0);
}

#[test]
fn ear_defenders_dull_machines_and_voices_make_them_step_back() {
    let mut show = pump();
    load(&mut show);
    for person in &mut show.now.people {
        person.wears = 0;
    }
    let bare = mixed(&show);
    assert_eq!(bare.cutoff_hz, OPEN_HZ);
    for person in &mut show.now.people {
        person.wears = Ppe::EarDefenders.bit();
    }
    let dull = mixed(&show);
    assert!(dull.cutoff_hz < 2000.0);
    assert!(dull.machines < 0.6 * bare.machines);
    // Who looks on from outside wears none.
    assert_eq!(Mix::of(&show, &at_pump(), None).cutoff_hz, OPEN_HZ);
    show.now.people[0].saying = Some(Call::Dump);
    assert!(mixed(&show).machines < 0.6 * dull.machines);
}

#[test]
fn what_is_further_off_is_quieter_and_what_is_to_the_right_is_heard_there() {
    let mut show = pump();
    load(&mut show);
    let near = mixed(&show).tone(Loop::EngineLoad).gain;
    let far_eye = Eye {
        at: Vec3::new(12.0, 1.6, 1.0),
        ..at_pump()
    };
    let far = Mix::of(&show, &far_eye, Some(Seat::LANCE)).tone(Loop::EngineLoad);
    assert!(far.gain < 0.5 * near, "{} {near}", far.gain);
    // Looking north with the unit in the west: to the left.
    assert!(far.pan < -0.4, "{}", far.pan);
    let eye = at_pump();
    assert!(pan(&eye, Vec3::X * 5.0) > 0.5 && pan(&eye, -Vec3::X * 5.0) < -0.5);
    assert!(pan(&eye, -Vec3::Z * 5.0).abs() < 0.01);
    // The jet is sharp from near and dark from far.
    show.now.jet = Some(jet([12.5, 1.3, 1.0]));
    let at_lance = Mix::of(&show, &far_eye, Some(Seat::LANCE));
    let from_pump = mixed(&show);
    let near_far = |mix: &Mix| (mix.tone(Loop::JetNear).gain, mix.tone(Loop::JetFar).gain);
    let (near, far) = near_far(&at_lance);
    assert!(near > 0.2 && near > 2.0 * far, "{near} {far}");
    let (near, far) = near_far(&from_pump);
    assert!(far > 0.02 && far > 2.0 * near, "{near} {far}");
    assert!(at_lance.tone(Loop::JetOnWall).gain > 0.1);
}

#[test]
fn every_number_is_finite_and_within_its_range_whatever_the_yard_says() {
    let wild = [0.0, -1.0, 1e12, -1e12, f64::NAN, f64::INFINITY, f64::MIN];
    for value in wild {
        for id in ["01_first_pressure", "02_fouled_slab"] {
            let mut show = show(id);
            let machine = &mut show.now.machine;
            machine.engine_rev_s = value;
            machine.pump_rev_s = value;
            machine.labour = value;
            machine.bypass_share = value;
            machine.pump_pa = value;
            machine.dump_m3_s = value;
            machine.knock = true;
            machine.relief_lifts = true;
            machine.relief_m3_s = value;
            machine.gland_m3_s = value;
            machine.hole_m3_s = value;
            machine.gun_pa = value;
            show.now.torn = vec![torn(value)];
            let machine = &mut show.now.machine;
            machine.bleed_runs = true;
            machine.air_spits = true;
            machine.cranks = true;
            for at in &mut show.now.hose {
                *at = [value; 3];
            }
            for person in &mut show.now.people {
                person.strength = value;
                person.feet = [[value; 3]; 2];
                person.hands = [value; 3];
            }
            let mut wild_jet = jet([value, 1.0, value]);
            wild_jet.thrust_n = value;
            wild_jet.speed_m_s = value;
            wild_jet.impact_pa = value;
            show.now.jet = Some(wild_jet);
            sound_in_range(&Mix::of(&show, &at_pump(), Some(Seat::LANCE)));
            let mut shots = Shots::default();
            show.now.tick = Tick(1);
            let fell = [Happened {
                tick: Tick(0),
                event: Event::Fell { seat: Seat::LANCE },
            }];
            for sounded in shots.begun(&show, &at_pump(), &[], fell.iter()) {
                assert!((0.0..=1.0).contains(&sounded.gain), "{sounded:?}");
                assert!((-1.0..=1.0).contains(&sounded.pan), "{sounded:?}");
            }
        }
    }
}

#[test]
fn every_machine_at_its_loudest_stays_within_what_can_be_played() {
    let mut show = pump();
    load(&mut show);
    let machine = &mut show.now.machine;
    machine.knock = true;
    machine.relief_lifts = true;
    machine.relief_m3_s = 1e-3;
    machine.gland_m3_s = 1e-3;
    machine.hole_m3_s = 1e-3;
    machine.gun_pa = 7e7;
    show.now.torn = vec![torn(1e-3)];
    let machine = &mut show.now.machine;
    machine.bypass_share = 1.0;
    machine.dump_m3_s = 1e-3;
    machine.cranks = true;
    show.now.jet = Some(jet([0.6, 1.5, 0.8]));
    sound_in_range(&mixed(&show));
}

fn happened(event: Event) -> Happened {
    Happened {
        tick: Tick(1),
        event,
    }
}

fn said(seat: Seat, call: Call) -> Happened {
    happened(Event::Said { seat, call })
}

#[test]
fn each_word_is_told_once_when_it_begins() {
    let mut show = pump();
    let mut voices = Voices::default();
    let none: [Happened; 0] = [];
    assert_eq!(voices.begun(&show, none.iter()), []);
    show.now.people[0].saying = Some(Call::Raise);
    let raise = (Seat::PUMP, Call::Raise);
    assert_eq!(voices.begun(&show, none.iter()), [raise]);
    assert_eq!(voices.begun(&show, none.iter()), []);
    show.now.people[0].saying = None;
    let end = [said(Seat::PUMP, Call::Raise)];
    assert_eq!(voices.begun(&show, end.iter()), []);
    // Begun and ended between two pictures.
    assert_eq!(voices.begun(&show, end.iter()), [raise]);
    // One ends and the same begins again in one picture.
    show.now.people[0].saying = Some(Call::Raise);
    assert_eq!(voices.begun(&show, none.iter()), [raise]);
    assert_eq!(voices.begun(&show, end.iter()), [raise]);
}

fn shots_of(sounded: &[Sounded]) -> Vec<Shot> {
    sounded.iter().map(|s| s.shot).collect()
}

#[test]
fn a_foot_is_heard_when_it_is_set_down_elsewhere_and_only_then() {
    let mut show = pump();
    let mut shots = Shots::default();
    let none: [Happened; 0] = [];
    let step = |show: &mut Show, shots: &mut Shots| {
        show.now.tick.0 += 1;
        let begun = shots.begun(show, &at_pump(), &[], none.iter());
        show.before = show.now.clone();
        shots_of(&begun)
    };
    assert_eq!(step(&mut show, &mut shots), []);
    assert_eq!(step(&mut show, &mut shots), []);
    // In the air.
    for _ in 0..10 {
        show.now.people[0].feet[0][0] += 0.03;
        assert_eq!(step(&mut show, &mut shots), []);
    }
    // Down.
    assert_eq!(step(&mut show, &mut shots), [Shot::Step]);
    assert_eq!(step(&mut show, &mut shots), []);
    // A yard that stands still is silent.
    show.now.people[0].feet[0][0] += 1.0;
    let begun = shots.begun(
        &Show {
            before: show.now.clone(),
            ..show.clone()
        },
        &at_pump(),
        &[],
        none.iter(),
    );
    assert_eq!(shots_of(&begun), []);
}

#[test]
fn controls_catch_trigger_and_hose_are_heard() {
    let mut show = pump();
    let mut shots = Shots::default();
    let moved = |control, to| {
        happened(Event::Moved {
            seat: Seat::PUMP,
            control,
            to,
        })
    };
    let mut begun = |show: &Show, events: &[Happened]| {
        shots_of(&shots.begun(show, &at_pump(), &[], events.iter()))
    };
    assert_eq!(begun(&show, &[]), []);
    assert_eq!(begun(&show, &[moved(Control::Dump, 1)]), [Shot::Lever]);
    assert_eq!(
        begun(&show, &[moved(Control::EmergencyStop, 1)]),
        [Shot::Stop]
    );
    let turned = vec![moved(Control::Regulator, 5); 30];
    assert_eq!(begun(&show, &turned), [Shot::Knob, Shot::Knob]);
    show.now.tool.catch_on = !show.now.tool.catch_on;
    assert_eq!(begun(&show, &[]), [Shot::Catch]);
    show.now.tool.squeeze = 1.0;
    show.now.jet = Some(jet([1.0, 1.2, 1.0]));
    assert_eq!(begun(&show, &[]), [Shot::Trigger, Shot::HoseJump]);
    assert_eq!(begun(&show, &[]), []);
}

#[test]
fn a_word_comes_with_its_beep_and_a_stop_without() {
    let show = pump();
    let mut shots = Shots::default();
    let none: [Happened; 0] = [];
    let words = [(Seat::LANCE, Call::Ready), (Seat::LANCE, Call::Dump)];
    let begun = shots.begun(&show, &at_pump(), &words, none.iter());
    assert_eq!(
        shots_of(&begun),
        [
            Shot::Beep,
            Shot::Word(Seat::LANCE, Call::Ready),
            Shot::Word(Seat::LANCE, Call::Dump)
        ]
    );
    let files = Shot::Word(Seat::LANCE, Call::Dump).files(0);
    assert_eq!(files[0].0, "speech/lance/dump");
}

struct Ears {
    listener: Listener,
    captions: Captions,
}

impl Ears {
    fn new(show: &Show) -> Self {
        let mut ears = Ears {
            listener: Listener::default(),
            captions: Captions::default(),
        };
        ears.hear(show, &[], 0.1);
        ears
    }

    fn hear(&mut self, show: &Show, words: &[(Seat, Call)], passed_s: f32) {
        self.listener.hear(
            &mut self.captions,
            show,
            1,
            at_pump().at,
            Some(Seat::PUMP),
            words,
            passed_s,
        );
    }

    fn lines(&self) -> Vec<&str> {
        let lines = self.captions.lines.iter();
        lines.map(|l| l.words.as_str()).collect()
    }
}

#[test]
fn words_are_written_with_who_said_them() {
    let show = pump();
    let mut ears = Ears::new(&show);
    ears.hear(
        &show,
        &[(Seat::LANCE, Call::Ready), (Seat::PUMP, Call::Raise)],
        0.1,
    );
    let lines = &ears.captions.lines;
    let of = |n: usize| (lines[n].speaker.as_deref(), lines[n].words.as_str());
    assert_eq!(of(0), (Some("Lance hand"), "ready"));
    assert_eq!(of(1), (Some("You"), "raise"));
    ears.hear(&show, &[], 5.0);
    assert_eq!(ears.lines(), Vec::<&str>::new());
}

#[test]
fn a_noise_is_told_once_when_it_begins_and_again_only_after_it_was_over() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    assert_eq!(ears.lines(), Vec::<&str>::new(), "what goes on already");
    show.now.machine.dump_m3_s = 3e-4;
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["water roars from the dump"]);
    for _ in 0..100 {
        ears.hear(&show, &[], 0.1);
    }
    assert_eq!(ears.lines(), Vec::<&str>::new());
    show.now.machine.dump_m3_s = 0.0;
    ears.hear(&show, &[], 0.1);
    show.now.machine.dump_m3_s = 3e-4;
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["water roars from the dump"]);
}

#[test]
fn a_hiss_that_wavers_about_its_threshold_is_told_once() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    let mut told = 0;
    for n in 0..200 {
        show.now.machine.bypass_share = if n % 2 == 0 { 0.52 } else { 0.48 };
        let before = ears.lines().len();
        ears.hear(&show, &[], 0.0);
        told += ears.lines().len() - before;
    }
    assert_eq!(told, 1);
    assert_eq!(ears.lines(), ["the bypass hisses loudly"]);
}

#[test]
fn the_note_falls_under_load_and_not_by_a_hand_at_the_throttle() {
    let mut show = pump();
    load(&mut show);
    let mut ears = Ears::new(&show);
    for _ in 0..20 {
        ears.hear(&show, &[], 0.1);
    }
    show.now.machine.engine_rev_s *= 0.92;
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["the engine note falls"]);
    let mut ears = Ears::new(&show);
    for _ in 0..20 {
        ears.hear(&show, &[], 0.1);
    }
    for _ in 0..20 {
        show.now.machine.engine_rev_s *= 0.99;
        for (control, share) in &mut show.now.controls {
            if *control == Control::Throttle {
                *share += 0.01;
            }
        }
        ears.hear(&show, &[], 0.1);
    }
    assert_eq!(ears.lines(), Vec::<&str>::new());
}

#[test]
fn no_more_than_three_lines_stand_and_the_oldest_goes_first() {
    let show = pump();
    let mut ears = Ears::new(&show);
    for call in [Call::ReadyQuery, Call::Raise, Call::Lower, Call::NoChange] {
        ears.hear(&show, &[(Seat::PUMP, call)], 0.1);
    }
    ears.hear(&show, &[(Seat::PUMP, Call::Dump)], 0.1);
    assert_eq!(ears.lines(), ["lower", "no change", "dump"]);
}

#[test]
fn a_drip_far_off_is_not_told() {
    let mut show = pump();
    let mut ears = Ears::new(&show);
    show.now.machine.bleed_runs = true;
    ears.hear(&show, &[], 0.1);
    assert_eq!(ears.lines(), ["water runs from the bleed valve"]);
    show.now.machine.bleed_runs = false;
    let mut far = Ears::new(&show);
    show.now.machine.bleed_runs = true;
    far.listener.hear(
        &mut far.captions,
        &show,
        1,
        Vec3::new(12.0, 1.6, 1.0),
        Some(Seat::LANCE),
        &[],
        0.1,
    );
    assert_eq!(far.lines(), Vec::<&str>::new());
}

#[test]
fn water_without_air_and_water_from_a_bare_end_are_told_as_what_they_are() {
    let mut show = pump();
    let mut ears = Ears::new(&show);
    show.now.machine.air_spits = true;
    ears.hear(&show, &[], 0.1);
    show.now.machine.air_spits = false;
    show.now.machine.air_runs = true;
    ears.hear(&show, &[], 0.1);
    let mut poured = jet([0.6, 1.0, 0.8]);
    poured.spread = Spread::Bare;
    poured.flow_m3_s = 25.0 / 60_000.0;
    show.now.jet = Some(poured);
    ears.hear(&show, &[], 0.1);
    assert_eq!(
        ears.lines(),
        [
            "air spits from the cock",
            "clear water runs from the air cock",
            "water pours from the bare end of the line"
        ]
    );
}
