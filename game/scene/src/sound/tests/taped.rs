//! The mixer with the files that come with the program, listened to without a
//! sound server.

use super::{idle, jet, load, mixed, pump};
use crate::sound::mix::Loop;
use crate::sound::output::Deck;
use crate::sound::shots::{Shot, Sounded};
use crate::sound::store::Store;
use crate::stage::Show;
use crew::{Call, Ppe, Seat};
use kira::backend::mock::{MockBackend, MockBackendSettings};
use std::path::Path;

#[test]
fn without_files_a_mixer_stands_and_plays_nothing() {
    let nowhere = Store::of(Path::new("/nowhere/at/all"));
    assert_eq!(nowhere.count(), 0);
    let settings = MockBackendSettings {
        sample_rate: 48_000,
    };
    let mut deck = Deck::<MockBackend>::new(nowhere, settings).expect("a mixer");
    assert_eq!(deck.loops(), 0);
    let mut show = pump();
    load(&mut show);
    for _ in 0..300 {
        deck.mix(&mixed(&show), 0.7, 1.0);
        deck.play(&Sounded {
            shot: Shot::Step,
            gain: 0.5,
            pan: 0.0,
            turn: 1,
        });
        deck.backend().on_start_processing();
        deck.backend().process();
    }
}

/// A backend that gives what would be played.
struct Tape(Option<std::sync::Mutex<kira::backend::Renderer>>);

impl kira::backend::Backend for Tape {
    type Settings = ();
    type Error = ();

    fn setup(_: (), _: usize) -> Result<(Self, u32), ()> {
        Ok((Tape(None), TAPE_HZ))
    }

    fn start(&mut self, renderer: kira::backend::Renderer) -> Result<(), ()> {
        self.0 = Some(std::sync::Mutex::new(renderer));
        Ok(())
    }
}

const TAPE_HZ: u32 = 44_100;

impl Tape {
    /// The next stretch, left and right by turns.
    fn run(&mut self, seconds: f32) -> Vec<f32> {
        let renderer = self.0.as_mut().expect("a renderer").get_mut();
        let renderer = renderer.expect("a renderer");
        let mut heard = Vec::new();
        for _ in 0..(seconds * 100.0) as u32 {
            let mut part = vec![0.0; 2 * TAPE_HZ as usize / 100];
            renderer.on_start_processing();
            renderer.process(&mut part, 2);
            heard.extend(part);
        }
        heard
    }
}

/// Loudness of a stretch, and of what is quick in it.
fn loudness(heard: &[f32]) -> (f32, f32) {
    let square = |values: &mut dyn Iterator<Item = f32>| {
        let (sum, count) = values.fold((0.0, 0), |(s, n), v| (s + v * v, n + 1));
        (sum / count.max(1) as f32).sqrt()
    };
    let quick = &mut heard.windows(3).map(|w| w[2] - w[0]);
    (square(&mut heard.iter().copied()), square(quick))
}

fn assets() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets")
}

fn taped(show: &Show) -> Vec<f32> {
    let mut deck = Deck::<Tape>::new(Store::of(&assets()), ()).expect("a mixer");
    assert_eq!(deck.loops(), Loop::ALL.len());
    deck.mix(&mixed(show), 1.0, 1.0);
    deck.backend().run(0.3);
    deck.backend().run(1.0)
}

#[test]
fn everything_that_can_sound_has_a_file_of_its_own_that_can_be_read() {
    let mut store = Store::of(&assets());
    for which in Loop::ALL {
        let name = which.files()[0];
        assert!(store.get(name).is_some(), "{which:?}: {name}");
    }
    let mut shots = vec![
        Shot::Lever,
        Shot::Knob,
        Shot::Key,
        Shot::Stop,
        Shot::Gate,
        Shot::Catch,
        Shot::Trigger,
        Shot::Clank,
        Shot::Cloth,
        Shot::Fall,
        Shot::HoseJump,
        Shot::Trip,
        Shot::Beep,
    ];
    for seat in Seat::SPEAKERS {
        shots.extend(Call::ALL.map(|call| Shot::Word(seat, call)));
    }
    for shot in shots {
        let (name, _) = &shot.files(0)[0];
        assert!(store.get(name).is_some(), "{shot:?}: {name}");
    }
    for turn in 0..4 {
        let (name, _) = &Shot::Step.files(turn)[0];
        assert!(store.get(name).is_some(), "{name}");
    }
}

#[test]
fn a_word_in_a_file_is_no_longer_than_a_short_sentence() {
    let mut store = Store::of(&assets());
    for seat in Seat::SPEAKERS {
        for call in Call::ALL {
            let name = format!("speech/{}/{}", seat.id(), call.id());
            let data = store.get(&name).expect("a word");
            let seconds = data.duration().as_secs_f64();
            assert!((0.3..3.0).contains(&seconds), "{name}: {seconds} s");
        }
    }
}

#[test]
fn what_is_played_rises_with_the_work_and_never_leaves_its_range() {
    let mut show = pump();
    for person in &mut show.now.people {
        person.wears = 0;
    }
    let (still, _) = loudness(&taped(&show));
    idle(&mut show);
    let (idles, _) = loudness(&taped(&show));
    load(&mut show);
    let works = taped(&show);
    show.now.machine.dump_m3_s = 40.0 / 60_000.0;
    show.now.machine.knock = true;
    show.now.machine.relief_lifts = true;
    show.now.jet = Some(jet([0.6, 1.5, 0.8]));
    let all = taped(&show);
    assert!(still > 1e-4, "the yard itself: {still}");
    assert!(idles > 3.0 * still, "{still} {idles}");
    assert!(loudness(&works).0 > 1.1 * idles, "{idles}");
    for heard in [&works, &all] {
        let most = heard.iter().fold(0.0_f32, |m, v| m.max(v.abs()));
        assert!(most < 1.0, "{most}");
    }
}

#[test]
fn ear_defenders_take_the_quick_out_of_what_is_played() {
    let mut show = pump();
    load(&mut show);
    show.now.machine.bypass_share = 0.8;
    for person in &mut show.now.people {
        person.wears = 0;
    }
    let (bare, bare_quick) = loudness(&taped(&show));
    for person in &mut show.now.people {
        person.wears = Ppe::EarDefenders.bit();
    }
    let (dull, dull_quick) = loudness(&taped(&show));
    assert!(dull < 0.7 * bare, "{bare} {dull}");
    assert!(
        dull_quick / dull < 0.7 * bare_quick / bare,
        "{bare_quick} {dull_quick}"
    );
}

#[test]
fn a_voice_is_heard_through_ear_defenders_and_over_the_machine() {
    let mut show = pump();
    load(&mut show);
    for person in &mut show.now.people {
        person.wears = Ppe::EarDefenders.bit();
    }
    show.now.people[0].saying = Some(Call::Dump);
    let mut deck = Deck::<Tape>::new(Store::of(&assets()), ()).expect("a mixer");
    deck.mix(&mixed(&show), 1.0, 1.0);
    deck.backend().run(0.5);
    let (machine, _) = loudness(&deck.backend().run(0.6));
    deck.play(&Sounded {
        shot: Shot::Word(Seat::LANCE, Call::ClearToPressurise),
        gain: 0.9,
        pan: 0.0,
        turn: 0,
    });
    deck.backend().run(0.1);
    let (with_voice, _) = loudness(&deck.backend().run(0.6));
    assert!(with_voice > 2.0 * machine, "{machine} {with_voice}");
}
