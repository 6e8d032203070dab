//! Where sound goes: a mixer, and behind it a sound server that speaks the
//! protocol of PulseAudio, if one answers.

use super::mix::{Loop, Mix, OPEN_HZ};
use super::shots::{Shot, Sounded};
use super::store::Store;
use bevy::tasks::block_on;
use kira::backend::{Backend, Renderer};
use kira::effect::compressor::CompressorBuilder;
use kira::effect::filter::{FilterBuilder, FilterHandle};
use kira::sound::static_sound::{StaticSoundData, StaticSoundHandle};
use kira::track::{MainTrackBuilder, TrackBuilder, TrackHandle};
use kira::{AudioManager, AudioManagerSettings, Decibels, Panning, PlaybackRate, Tween};
use pulseaudio::protocol::stream::{BufferAttr, StreamFlags};
use pulseaudio::protocol::{ChannelMap, PlaybackStreamParams, SampleFormat, SampleSpec};
use pulseaudio::{AsPlaybackSource, Client, ClientError, PlaybackStream};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::Duration;

/// Frames a second.
const RATE_HZ: u32 = 48_000;
/// Channels, and bytes of one sample.
const CHANNELS: u8 = 2;
const SAMPLE_BYTES: usize = size_of::<f32>();
/// How much is sent ahead, milliseconds: little enough for a click to belong to
/// its lever.
const AHEAD_MS: u32 = 60;
/// How long a change of loudness takes, so that none is heard as a click.
const CHANGE: Tween = Tween {
    start_time: kira::StartTime::Immediate,
    duration: Duration::from_millis(90),
    easing: kira::Easing::Linear,
};

/// A sound server.
pub struct Server {
    client: Client,
    stream: Option<PlaybackStream>,
}

impl Backend for Server {
    type Settings = ();
    type Error = ClientError;

    fn setup(_: (), _: usize) -> Result<(Self, u32), ClientError> {
        let client = Client::from_env(c"Jetyard")?;
        let server = Server {
            client,
            stream: None,
        };
        Ok((server, RATE_HZ))
    }

    fn start(&mut self, mut renderer: Renderer) -> Result<(), ClientError> {
        let frame_bytes = usize::from(CHANNELS) * SAMPLE_BYTES;
        let params = PlaybackStreamParams {
            sample_spec: SampleSpec {
                format: SampleFormat::Float32Le,
                channels: CHANNELS,
                sample_rate: RATE_HZ,
            },
            channel_map: ChannelMap::stereo(),
            buffer_attr: BufferAttr {
                target_length: RATE_HZ * AHEAD_MS / 1000 * frame_bytes as u32,
                ..BufferAttr::default()
            },
            flags: StreamFlags {
                adjust_latency: true,
                ..StreamFlags::default()
            },
            ..PlaybackStreamParams::default()
        };
        let mut samples: Vec<f32> = Vec::new();
        let source = move |bytes: &mut [u8]| {
            let frames = bytes.len() / frame_bytes;
            samples.resize(frames * usize::from(CHANNELS), 0.0);
            renderer.on_start_processing();
            renderer.process(&mut samples, u16::from(CHANNELS));
            for (out, sample) in bytes.chunks_exact_mut(SAMPLE_BYTES).zip(&samples) {
                out.copy_from_slice(&sample.to_le_bytes());
            }
            frames * frame_bytes
        };
        let stream = self
            .client
            .create_playback_stream(params, source.as_playback_source());
        self.stream = Some(block_on(stream)?);
        Ok(())
    }
}

/// The mixer: machines and water on one track that ear defenders dull, voices
/// on another.
pub struct Deck<B: Backend> {
    manager: AudioManager<B>,
    machines: TrackHandle,
    dull: FilterHandle,
    voices: TrackHandle,
    loops: Vec<(Loop, StaticSoundHandle)>,
    store: Store,
}

/// A loudness as the mixer takes it.
fn decibels(gain: f32) -> Decibels {
    if gain.is_finite() && gain > 1e-3 {
        Decibels(20.0 * gain.min(1.0).log10())
    } else {
        Decibels::SILENCE
    }
}

impl<B: Backend> Deck<B> {
    /// A mixer in front of a backend; all loops run, none is heard yet. Nothing
    /// where the backend does not answer.
    pub fn new(mut store: Store, settings: B::Settings) -> Option<Self> {
        let mut main = MainTrackBuilder::new();
        // The last thing before the ears: whatever comes together, it is not
        // louder than this.
        main.add_effect(
            CompressorBuilder::new()
                .threshold(-9.0)
                .ratio(10.0)
                .attack_duration(Duration::from_millis(4))
                .release_duration(Duration::from_millis(160)),
        );
        let mut manager = AudioManager::<B>::new(AudioManagerSettings {
            capacities: kira::Capacities::default(),
            main_track_builder: main,
            internal_buffer_size: 128,
            backend_settings: settings,
        })
        .ok()?;
        let mut machines = TrackBuilder::new();
        let dull = machines.add_effect(FilterBuilder::new().cutoff(f64::from(OPEN_HZ)));
        let mut machines = manager.add_sub_track(machines).ok()?;
        let voices = manager.add_sub_track(TrackBuilder::new()).ok()?;
        let mut loops = Vec::new();
        for which in Loop::ALL {
            let data = which.files().iter().find_map(|name| store.get(name));
            let Some(data) = data else { continue };
            let data = data.loop_region(..).volume(Decibels::SILENCE);
            if let Ok(handle) = machines.play(data) {
                loops.push((which, handle));
            }
        }
        Some(Deck {
            manager,
            machines,
            dull,
            voices,
            loops,
            store,
        })
    }

    /// How many loops there are files for.
    pub fn loops(&self) -> usize {
        self.loops.len()
    }

    /// Brings everything that goes on to what it is now.
    pub fn mix(&mut self, mix: &Mix, loudness: f32, voices: f32) {
        self.manager
            .main_track()
            .set_volume(decibels(loudness), CHANGE);
        self.machines.set_volume(decibels(mix.machines), CHANGE);
        self.dull.set_cutoff(f64::from(mix.cutoff_hz), CHANGE);
        self.voices.set_volume(decibels(voices), CHANGE);
        for (which, handle) in &mut self.loops {
            let tone = mix.tone(*which);
            handle.set_volume(decibels(tone.gain), CHANGE);
            handle.set_playback_rate(PlaybackRate(f64::from(tone.rate)), CHANGE);
            handle.set_panning(Panning(tone.pan), CHANGE);
        }
    }

    /// Plays what is over at once. What there is no file for, or no room, is
    /// not heard.
    pub fn play(&mut self, sounded: &Sounded) {
        let files = sounded.shot.files(sounded.turn);
        let found = files
            .iter()
            .find_map(|(name, rate)| Some((self.store.get(name)?, *rate)));
        let Some((data, rate)) = found else { return };
        // Nothing sounds twice the same.
        let varied = match sounded.shot {
            Shot::Step | Shot::Knob => 0.94 + 0.03 * (sounded.turn % 5) as f32,
            _ => 1.0,
        };
        let data: StaticSoundData = data
            .volume(decibels(sounded.gain))
            .panning(Panning(sounded.pan))
            .playback_rate(PlaybackRate(f64::from(rate * varied)));
        let track = if sounded.shot.is_voice() {
            &mut self.voices
        } else {
            &mut self.machines
        };
        track.play(data).ok();
    }

    /// The backend.
    pub fn backend(&mut self) -> &mut B {
        self.manager.backend_mut()
    }
}

/// What sound goes to.
#[derive(Default)]
pub enum Speakers {
    /// Nothing was looked for yet.
    #[default]
    Untried,
    /// A server is being asked.
    Asked(Receiver<Option<Box<Deck<Server>>>>),
    /// One answers.
    Open(Box<Deck<Server>>),
    /// There is none: the game goes on in silence.
    Silent,
}

/// What came of asking for a server.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// One plays.
    Plays,
    /// None is there.
    None,
}

impl Speakers {
    /// Asks for a server and reads the loops meanwhile. A window never waits
    /// for it.
    pub fn ask(assets: PathBuf) -> Self {
        let (answer, asked) = channel();
        let asking = std::thread::Builder::new()
            .name(String::from("sound"))
            .spawn(move || {
                answer
                    .send(Deck::new(Store::of(&assets), ()).map(Box::new))
                    .is_ok()
            });
        match asking {
            Ok(_) => Speakers::Asked(asked),
            Err(_) => Speakers::Silent,
        }
    }

    /// Looks whether an answer has come; told once.
    pub fn answer(&mut self) -> Option<Answer> {
        let Speakers::Asked(asked) = self else {
            return None;
        };
        let (speakers, answer) = match asked.try_recv() {
            Ok(Some(deck)) => (Speakers::Open(deck), Answer::Plays),
            Ok(None) | Err(TryRecvError::Disconnected) => (Speakers::Silent, Answer::None),
            Err(TryRecvError::Empty) => return None,
        };
        *self = speakers;
        Some(answer)
    }

    /// The mixer, where there is one.
    pub fn deck(&mut self) -> Option<&mut Deck<Server>> {
        match self {
            Speakers::Open(deck) => Some(deck),
            _ => None,
        }
    }
}
