//! What is heard, written out: words, and noises that tell something.

use crate::leaks;
use crate::stage::{Show, point};
use bevy::prelude::*;
use crew::{Call, Part, Seat};
use training::text::say;
use yard::view::{JetView, MachineView, Spread, ViewFrame};

/// What is heard, written out.
#[derive(Resource, Clone, Debug, Default)]
pub struct Captions {
    /// The lines that stand at this moment, the oldest first.
    pub lines: Vec<Caption>,
}

/// A line of what is heard.
#[derive(Clone, Debug, PartialEq)]
pub struct Caption {
    /// Who speaks; nothing for a noise.
    pub speaker: Option<String>,
    /// The words, or the noise.
    pub words: String,
    /// How long it still stands, seconds.
    pub left_s: f32,
}

/// At most so many lines stand at once.
const LINES: usize = 3;
/// How long words stand, and noises, seconds.
const WORDS_S: f32 = 4.0;
const NOISE_S: f32 = 3.0;
/// A noise that tells of danger is told again this long after it was told, seconds.
const AGAIN_S: f32 = 8.0;

/// A noise that tells something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Noise {
    Cranks,
    Runs,
    Stands,
    Falls,
    Knock,
    Hiss,
    Relief,
    Dump,
    Jet,
    Pours,
    Drip,
    Air,
    Clear,
    Alarm,
    Gland,
    Leak,
    Torn,
    Trip,
    Disc,
    SecondJet,
}

impl Noise {
    const ALL: [Noise; 20] = [
        Noise::Cranks,
        Noise::Runs,
        Noise::Stands,
        Noise::Falls,
        Noise::Knock,
        Noise::Hiss,
        Noise::Relief,
        Noise::Dump,
        Noise::Jet,
        Noise::Pours,
        Noise::Drip,
        Noise::Air,
        Noise::Clear,
        Noise::Alarm,
        Noise::Gland,
        Noise::Leak,
        Noise::Torn,
        Noise::Trip,
        Noise::Disc,
        Noise::SecondJet,
    ];

    fn words(self) -> String {
        let id = match self {
            Noise::Cranks => "captions-noise-cranks",
            Noise::Runs => "captions-noise-runs",
            Noise::Stands => "captions-noise-stands",
            Noise::Falls => "captions-noise-falls",
            Noise::Knock => "captions-noise-knock",
            Noise::Hiss => "captions-noise-hiss",
            Noise::Relief => "captions-noise-relief",
            Noise::Dump => "captions-noise-dump",
            Noise::Jet => "captions-noise-jet",
            Noise::Pours => "captions-noise-pours",
            Noise::Drip => "captions-noise-drip",
            Noise::Air => "captions-noise-air",
            Noise::Clear => "captions-noise-clear",
            Noise::Alarm => "captions-noise-alarm",
            Noise::Gland => "captions-noise-gland",
            Noise::Leak => "captions-noise-leak",
            Noise::Torn => "captions-noise-torn",
            Noise::Trip => "captions-noise-trip",
            Noise::Disc => "captions-noise-disc",
            Noise::SecondJet => "captions-noise-second_jet",
        };
        say(id, &[])
    }

    /// Whether it tells of danger for as long as it lasts: whoever did not read it the first time, or
    /// thought that it was over, reads it again.
    fn lasts(self) -> bool {
        matches!(
            self,
            Noise::Knock
                | Noise::Hiss
                | Noise::Relief
                | Noise::Disc
                | Noise::Leak
                | Noise::Torn
                | Noise::Alarm
        )
    }
}

/// From here a drip or a spitting cock is heard, metres, as far as it is seen.
const DRIP_M: f32 = 3.0;
/// A hiss is loud above the one and over below the other, share of the pump's
/// flow; it takes some pressure to be heard, pascals.
const HISS: [f64; 2] = [0.5, 0.35];
const HISS_PA: f64 = 3e6;
/// A dump roars above the one and is over below the other, cubic metres per
/// second.
const DUMP_M3_S: [f64; 2] = [8.0 / 60_000.0, 3.0 / 60_000.0];
/// A jet is heard above the one and is over below the other, newtons.
const JET_N: [f64; 2] = [5.0, 2.0];
/// A bare end pours above the one and is over below the other, cubic metres per
/// second.
const POURED_M3_S: [f64; 2] = [3.0 / 60_000.0, 1.0 / 60_000.0];
/// Packings are heard to run above the one and no longer below the other, cubic metres
/// per second, from as far as this, metres.
const GLAND_M3_S: [f64; 2] = [4.0 / 60_000.0, 2.5 / 60_000.0];
const GLAND_M: f32 = 4.0;
/// A jet out of the hose hisses above the one and is over below the other, newtons, and
/// is told from as far as this, metres.
const LEAK_N: [f64; 2] = [1.5, 0.5];
const LEAK_M: f32 = 16.0;
/// A torn end gushes above the one and is over below the other, cubic metres per second,
/// and is told from as far as this, metres.
const TORN_M3_S: [f64; 2] = [5.0 / 60_000.0, 2.0 / 60_000.0];
const TORN_M: f32 = 25.0;
/// A burst disc roars above the one and is over below the other, cubic metres per second.
const DISC_M3_S: [f64; 2] = [5.0 / 60_000.0, 1.0 / 60_000.0];
/// The engine's note falls when it is so much lower than a moment before, and
/// has come back when it is that near to it again.
const NOTE: [f32; 2] = [0.95, 0.98];
/// A moment, seconds.
const NOTE_S: f32 = 2.0;
/// An engine under its own power turns faster than this, revolutions per second.
const RUNS_REV_S: f64 = 6.0;
/// One that stands turns no faster than this.
const STANDS_REV_S: f64 = 0.5;

/// Tells when a noise begins.
#[derive(Debug, Default)]
pub struct Listener {
    yard: Option<u32>,
    on: [bool; Noise::ALL.len()],
    /// How long ago each was told, seconds.
    told_s: [f32; Noise::ALL.len()],
    note: Option<f32>,
    throttle: Option<f64>,
}

/// Whether something is on: once above the first it stays so until below the
/// second.
fn stays(was: bool, value: f64, [above, below]: [f64; 2]) -> bool {
    value > if was { below } else { above }
}

impl Listener {
    /// Takes out of the lines what has stood long enough, and puts in what has
    /// begun: words, and noises that can be heard from where the ears are.
    #[allow(clippy::too_many_arguments)]
    pub fn hear(
        &mut self,
        captions: &mut Captions,
        show: &Show,
        yard: u32,
        ears: Vec3,
        own: Option<Seat>,
        words: &[(Seat, Call)],
        passed_s: f32,
    ) {
        captions.pass(passed_s);
        for (seat, call) in words {
            captions.put(Caption {
                speaker: Some(speaker(*seat, own)),
                words: say(&format!("calls-call-{}", call.id()), &[]),
                left_s: WORDS_S,
            });
        }
        let known = self.yard == Some(yard);
        if !known {
            *self = Listener {
                yard: Some(yard),
                ..Listener::default()
            };
        }
        let now = self.noises(show, ears, passed_s);
        for (n, noise) in Noise::ALL.into_iter().enumerate() {
            self.told_s[n] += passed_s;
            // What goes on already when a yard is put up does not begin.
            let begins = !self.on[n] && known;
            if now[n] && (begins || noise.lasts() && self.told_s[n] >= AGAIN_S) {
                self.told_s[n] = 0.0;
                captions.put(Caption {
                    speaker: None,
                    words: noise.words(),
                    left_s: NOISE_S,
                });
            }
        }
        self.on = now;
    }

    fn noises(&mut self, show: &Show, ears: Vec3, passed_s: f32) -> [bool; Noise::ALL.len()] {
        let frame = &show.now;
        let machine = &frame.machine;
        let site = &show.loaded.level.site;
        let near = |control| {
            let at = site.control(control).map(crate::stage::point);
            at.is_some_and(|at| at.distance(ears) <= DRIP_M)
        };
        let falls = self.note_falls(frame, passed_s);
        let was = |noise: Noise| self.on[noise as usize];
        let bare = |jet: &JetView| jet.spread == Spread::Bare;
        let thrust_n = frame
            .jet
            .filter(|jet| !bare(jet))
            .map_or(0.0, |j| j.thrust_n);
        let poured_m3_s = frame.jet.filter(bare).map_or(0.0, |j| j.flow_m3_s);
        let within = |at: Option<Vec3>, far_m: f32| at.is_some_and(|at| at.distance(ears) <= far_m);
        let hiss = if machine.pump_pa > HISS_PA {
            machine.bypass_share
        } else {
            0.0
        };
        Noise::ALL.map(|noise| match noise {
            Noise::Cranks => machine.cranks,
            Noise::Runs => runs(machine),
            Noise::Stands => machine.engine_rev_s < STANDS_REV_S,
            Noise::Falls => falls,
            Noise::Knock => machine.knock && machine.pump_rev_s > 0.5,
            Noise::Hiss => stays(was(noise), hiss, HISS),
            Noise::Relief => machine.relief_lifts,
            Noise::Dump => stays(was(noise), machine.dump_m3_s, DUMP_M3_S),
            Noise::Jet => stays(was(noise), thrust_n, JET_N),
            Noise::Pours => stays(was(noise), poured_m3_s, POURED_M3_S),
            Noise::Drip => machine.bleed_runs && near(crew::Control::Bleed),
            Noise::Air => machine.air_spits && near(crew::Control::AirBleed),
            Noise::Clear => machine.air_runs && near(crew::Control::AirBleed),
            Noise::Alarm => super::mix::alarm(frame),
            Noise::Gland => {
                within(leaks::glands(&show.loaded.level), GLAND_M)
                    && stays(was(noise), machine.gland_m3_s, GLAND_M3_S)
            }
            Noise::Leak => {
                within(leaks::hole(show), LEAK_M)
                    && stays(was(noise), leaks::hole_n(machine), LEAK_N)
            }
            Noise::Torn => leaks::torn(show).is_some_and(|torn| {
                within(Some(point(torn.at)), TORN_M) && stays(was(noise), torn.flow_m3_s, TORN_M3_S)
            }),
            Noise::Trip => machine.oil_tripped,
            Noise::Disc => stays(was(noise), machine.disc_m3_s, DISC_M3_S),
            Noise::SecondJet => {
                let jet = frame.second.as_ref().and_then(|tool| tool.jet);
                stays(was(noise), jet.map_or(0.0, |j| j.thrust_n), JET_N)
            }
        })
    }

    /// The note falls without a hand at the throttle.
    fn note_falls(&mut self, frame: &ViewFrame, passed_s: f32) -> bool {
        let rev_s = frame.machine.engine_rev_s as f32;
        let throttle = frame
            .controls
            .iter()
            .find(|(control, _)| *control == crew::Control::Throttle)
            .map(|(_, share)| *share);
        let moved = self.throttle != throttle;
        self.throttle = throttle;
        if moved || !runs(&frame.machine) || !rev_s.is_finite() {
            self.note = Some(rev_s).filter(|r| r.is_finite());
            return false;
        }
        let note = self.note.get_or_insert(rev_s);
        let fallen = if self.on[Noise::Falls as usize] {
            NOTE[1]
        } else {
            NOTE[0]
        };
        let falls = rev_s < fallen * *note;
        *note += (rev_s - *note) * (passed_s / NOTE_S).clamp(0.0, 1.0);
        falls
    }
}

fn runs(machine: &MachineView) -> bool {
    machine.runs && !machine.cranks && machine.engine_rev_s > RUNS_REV_S
}

/// Who speaks, in words.
fn speaker(seat: Seat, own: Option<Seat>) -> String {
    if own == Some(seat) {
        return say("captions-who-own", &[]);
    }
    say(&format!("captions-who-{}", seat.id()), &[])
}

impl Captions {
    fn pass(&mut self, passed_s: f32) {
        for line in &mut self.lines {
            line.left_s -= passed_s;
        }
        self.lines.retain(|line| line.left_s > 0.0);
    }

    /// Somebody has hung a tag on a part.
    pub fn tagged(&mut self, seat: Seat, own: Option<Seat>, part: Part) {
        let part = say(&format!("calls-part-{}", part.id()), &[]);
        self.put(Caption {
            speaker: Some(speaker(seat, own)),
            words: say("captions-tagged", &[("part", &part)]),
            left_s: WORDS_S,
        });
    }

    /// The burst disc has torn.
    pub fn burst(&mut self) {
        self.put(Caption {
            speaker: None,
            words: say("captions-noise-burst", &[]),
            left_s: WORDS_S,
        });
    }

    fn put(&mut self, caption: Caption) {
        // A noise that comes again stands once.
        self.lines
            .retain(|line| line.speaker.is_some() || line.words != caption.words);
        self.lines.push(caption);
        let over = self.lines.len().saturating_sub(LINES);
        self.lines.drain(..over);
    }
}
