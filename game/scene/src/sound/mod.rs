//! The yard as it is heard, and the same in words.
//!
//! - [`mix`] works out how loud everything is that goes on, as numbers.
//! - [`shots`] tells what is over at once, [`voices`] who begins to speak.
//! - [`captions`] writes it out, whether or not anything is played.
//! - [`output`] plays it, [`store`] finds the files.

pub mod captions;
pub mod mix;
pub mod output;
pub mod shots;
pub mod store;
pub mod voices;

#[cfg(test)]
mod tests;

pub use captions::{Caption, Captions};

use crate::flow::{FrameSystems, Run, Screen};
use crate::replay::Debrief;
use crate::settings::Settings;
use crate::sitting::Shelf;
use crate::stage::{Eye, Happened, Stage};
use bevy::prelude::*;
use bevy::time::Real;
use captions::Listener;
use mix::Mix;
use output::{Answer, Speakers};
use shots::Shots;
use std::sync::{Mutex, PoisonError};
use training::text::say;
use voices::Voices;

/// What sound goes to, where every system may reach for it.
#[derive(Resource, Default)]
struct Output(Mutex<Speakers>);

impl Output {
    fn speakers(&mut self) -> &mut Speakers {
        self.0.get_mut().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What was heard last.
#[derive(Resource, Default)]
struct Heard {
    yard: u32,
    voices: Voices,
    shots: Shots,
    listener: Listener,
}

fn ask(shelf: Option<Res<Shelf>>, mut output: ResMut<Output>) {
    if let Some(shelf) = shelf {
        *output.speakers() = Speakers::ask(crate::app::assets(&shelf.library));
    }
}

/// Whether what is on show goes on, so that it is heard.
fn goes_on(screen: Screen, run: Option<Run>, debrief: Option<&Debrief>) -> bool {
    match screen {
        Screen::Yard => run != Some(Run::Halted),
        Screen::Debrief => debrief.is_some_and(|d| d.plays && !d.on_its_way),
        _ => false,
    }
}

#[allow(clippy::too_many_arguments)]
fn hear(
    time: Res<Time<Real>>,
    screen: Res<State<Screen>>,
    run: Option<Res<State<Run>>>,
    debrief: Option<Res<Debrief>>,
    stage: Res<Stage>,
    eye: Res<Eye>,
    settings: Res<Settings>,
    mut happened: MessageReader<Happened>,
    mut heard: ResMut<Heard>,
    mut output: ResMut<Output>,
    mut captions: ResMut<Captions>,
) {
    let happened: Vec<Happened> = happened.read().copied().collect();
    let speakers = output.speakers();
    if speakers.answer() == Some(Answer::None) {
        eprintln!("{}", say("captions-silent", &[]));
    }
    let run = run.map(|run| **run);
    let on = goes_on(**screen, run, debrief.as_deref());
    let show = stage.show.as_ref().filter(|_| on);
    let Some(show) = show else {
        if let Some(deck) = speakers.deck() {
            deck.mix(&Mix::silence(), settings.loudness, settings.voices);
        }
        // Behind a menu nothing goes on, and what was said can be read there.
        if run != Some(Run::Halted) && !captions.lines.is_empty() {
            captions.lines.clear();
        }
        return;
    };
    let heard = &mut *heard;
    if heard.yard != stage.yard {
        *heard = Heard {
            yard: stage.yard,
            ..Heard::default()
        };
    }
    let words = heard.voices.begun(show, happened.iter());
    let begun = heard.shots.begun(show, &eye, &words, happened.iter());
    heard.listener.hear(
        &mut captions,
        show,
        stage.yard,
        eye.at,
        stage.own,
        &words,
        time.delta_secs(),
    );
    for happened in happened.iter() {
        match happened.event {
            training::Event::TaggedOut { seat, part } => captions.tagged(seat, stage.own, part),
            training::Event::DiscBurst => captions.burst(),
            _ => {}
        }
    }
    if !settings.captions {
        captions.lines.clear();
    }
    if let Some(deck) = speakers.deck() {
        let mix = Mix::of(show, &eye, stage.own);
        deck.mix(&mix, settings.loudness, settings.voices);
        for sounded in &begun {
            deck.play(sounded);
        }
    }
}

/// Sets up what is heard.
pub fn plugin(app: &mut App) {
    app.init_resource::<Captions>()
        .init_resource::<Heard>()
        .init_resource::<Output>()
        .add_systems(Startup, ask)
        .add_systems(Update, hear.in_set(FrameSystems::Show));
}
