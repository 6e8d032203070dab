//! Sounds that are over at once: steps, clicks, words, and what strikes what.

use super::mix::heard;
use crate::leaks;
use crate::stage::{Eye, Happened, Show, point};
use bevy::math::{Vec3, Vec3Swizzles};
use crew::{Call, Control, Seat, TICKS_PER_SECOND};
use std::collections::BTreeMap;
use training::Event;
use yard::view::PersonView;

/// A sound that is over at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shot {
    /// A boot on wet concrete.
    Step,
    /// A lever or a valve.
    Lever,
    /// A detent of a knob.
    Knob,
    /// The engine key.
    Key,
    /// The emergency stop.
    Stop,
    /// The gate of the barrier.
    Gate,
    /// The safety catch.
    Catch,
    /// The trigger.
    Trigger,
    /// Work at nozzle and coupling, and metal on metal.
    Clank,
    /// Something put on or taken off.
    Cloth,
    /// The tool or a person falls.
    Fall,
    /// The hose jumps when the trigger is squeezed.
    HoseJump,
    /// The guard of the oil drops, and the engine's stop with it.
    Trip,
    /// The burst disc tears.
    Bang,
    /// The radio before a word.
    Beep,
    /// A word.
    Word(Seat, Call),
}

impl Shot {
    /// Names of the files that have it, the best one first, and how much
    /// faster the second ones are played. `turn` varies what is heard often.
    pub fn files(self, turn: u32) -> Vec<(String, f32)> {
        let of = |names: &[(&str, f32)]| {
            let own = names.iter().map(|(name, rate)| ((*name).to_owned(), *rate));
            own.collect::<Vec<_>>()
        };
        match self {
            Shot::Step => {
                let own = format!("step_wet_{}", turn % 4 + 1);
                vec![(own, 1.0), (String::from("step_wet_1"), 1.0)]
            }
            Shot::Lever => of(&[("lever_thunk", 1.0)]),
            Shot::Knob => of(&[("knob_tick", 1.0)]),
            Shot::Key => of(&[("key_click", 1.0), ("knob_tick", 0.7)]),
            Shot::Stop => of(&[("estop_click", 1.0)]),
            Shot::Gate => of(&[("gate", 1.0), ("coupling_clank", 0.8)]),
            Shot::Catch => of(&[("catch_click", 1.0), ("knob_tick", 1.3)]),
            Shot::Trigger => of(&[("trigger_click", 1.0), ("knob_tick", 0.9)]),
            Shot::Clank => of(&[("coupling_clank", 1.0)]),
            Shot::Cloth => of(&[("cloth", 1.0), ("step_wet_2", 1.6)]),
            Shot::Fall => of(&[("fall", 1.0), ("lever_thunk", 0.55)]),
            Shot::HoseJump => of(&[("hose_jump", 1.0), ("lever_thunk", 0.7)]),
            Shot::Trip => of(&[("guard_trip", 1.0), ("estop_click", 0.8)]),
            Shot::Bang => of(&[("disc_burst", 1.0), ("fall", 0.8)]),
            Shot::Beep => of(&[("radio_beep", 1.0)]),
            Shot::Word(seat, call) => {
                vec![(format!("speech/{}/{}", seat.id(), call.id()), 1.0)]
            }
        }
    }

    /// Voices come over the headset: ear defenders do not dull them.
    pub fn is_voice(self) -> bool {
        matches!(self, Shot::Beep | Shot::Word(..))
    }
}

/// A sound to be played now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sounded {
    /// Which.
    pub shot: Shot,
    /// Loudness, 0 to 1.
    pub gain: f32,
    /// From the left (-1) to the right (1).
    pub pan: f32,
    /// How often it was heard before, so that it can be varied.
    pub turn: u32,
}

/// A foot that is slower than this stands, metres per second.
const STANDS_M_S: f32 = 0.2;
/// A foot has been set anew when it stands this far from where it stood, metres.
const STEP_M: f32 = 0.08;
/// Thrust from which a jet that begins makes the hose jump, newtons.
const JUMP_N: f32 = 25.0;
/// Most ticks of a knob that are heard in one frame.
const KNOB_TICKS: usize = 2;
/// A trigger is heard to click when it is this far in.
const CLICK: f64 = 0.5;

/// What was seen last, to tell what has begun.
#[derive(Debug, Default)]
pub struct Shots {
    stood: BTreeMap<(Seat, usize), Vec3>,
    catch_on: Option<bool>,
    squeezed: bool,
    /// That of the lance in the hands, and that of a second tool.
    jets: [bool; 2],
    /// The pedal of a second tool is down.
    pressed: bool,
    tripped: Option<bool>,
    turn: u32,
}

impl Shots {
    /// Everything that is over at once and has begun since the last frame.
    pub fn begun<'h>(
        &mut self,
        show: &Show,
        eye: &Eye,
        words: &[(Seat, Call)],
        happened: impl Iterator<Item = &'h Happened>,
    ) -> Vec<Sounded> {
        let mut begun = Vec::new();
        self.steps(show, eye, &mut begun);
        self.tool(show, eye, &mut begun);
        let tripped = show.now.machine.oil_tripped;
        if self.tripped.replace(tripped) == Some(false) && tripped {
            let at = super::mix::unit(&show.loaded.level);
            self.at(Shot::Trip, 0.9, at, eye, &mut begun);
        }
        let mut ticks = 0;
        for happened in happened {
            self.event(happened.event, show, eye, &mut ticks, &mut begun);
        }
        for (seat, call) in words {
            // Everybody wears a headset, so that no word comes from afar.
            let stops = matches!(call, Call::Dump | Call::AllStop);
            if !stops {
                self.put(Shot::Beep, 0.25, 0.0, &mut begun);
            }
            self.put(Shot::Word(*seat, *call), 0.9, 0.0, &mut begun);
        }
        begun
    }

    fn put(&mut self, shot: Shot, gain: f32, pan: f32, begun: &mut Vec<Sounded>) {
        let gain = if gain.is_finite() {
            gain.clamp(0.0, 1.0)
        } else {
            0.0
        };
        if gain < 0.004 {
            return;
        }
        self.turn = self.turn.wrapping_add(1);
        begun.push(Sounded {
            shot,
            gain,
            pan,
            turn: self.turn,
        });
    }

    fn at(&mut self, shot: Shot, loud: f32, at: Vec3, eye: &Eye, begun: &mut Vec<Sounded>) {
        let (gain, pan) = heard(eye, at, 1.0);
        self.put(shot, loud * gain, pan, begun);
    }

    fn steps(&mut self, show: &Show, eye: &Eye, begun: &mut Vec<Sounded>) {
        let ticks = show.now.tick.0.saturating_sub(show.before.tick.0);
        if ticks == 0 {
            return;
        }
        let per_s = TICKS_PER_SECOND as f32 / ticks as f32;
        let people: Vec<(&PersonView, &PersonView)> = (show.now.people.iter())
            .filter_map(|now| show.person(now.seat))
            .collect();
        for (before, now) in people {
            for foot in 0..2 {
                let at = point(now.feet[foot]);
                let speed = (at - point(before.feet[foot])).length() * per_s;
                if !speed.is_finite() || speed > STANDS_M_S {
                    continue;
                }
                let stood = self.stood.insert((now.seat, foot), at);
                if now.fallen {
                    continue;
                }
                if stood.is_some_and(|stood| (at - stood).xz().length() > STEP_M) {
                    let loud = 0.22 + 0.15 * (now.speed_m_s as f32 / 1.8).clamp(0.0, 1.0);
                    self.at(Shot::Step, loud, at, eye, begun);
                }
            }
        }
    }

    fn tool(&mut self, show: &Show, eye: &Eye, begun: &mut Vec<Sounded>) {
        let tool = &show.now.tool;
        let grip = point(tool.grip);
        if self.catch_on.replace(tool.catch_on) == Some(!tool.catch_on) {
            self.at(Shot::Catch, 0.5, grip, eye, begun);
        }
        let squeezed = tool.squeeze >= CLICK;
        if squeezed != self.squeezed {
            self.at(Shot::Trigger, 0.4, grip, eye, begun);
        }
        self.squeezed = squeezed;
        let second = show.now.second.as_ref();
        if let Some(second) = second {
            let pressed = second.pressed >= CLICK;
            if pressed != self.pressed {
                self.at(Shot::Trigger, 0.5, point(second.pedal), eye, begun);
            }
            self.pressed = pressed;
        }
        let of_second = second.map_or((None, grip), |tool| (tool.jet, point(tool.tail)));
        for (n, (jet, at)) in [(show.now.jet, grip), of_second].into_iter().enumerate() {
            let thrust = jet.map_or(0.0, |jet| jet.thrust_n as f32);
            let pushes = thrust > JUMP_N;
            if pushes && !self.jets[n] {
                let loud = 0.3 + 0.5 * (thrust / 200.0).clamp(0.0, 1.0);
                self.at(Shot::HoseJump, loud, at, eye, begun);
            }
            self.jets[n] = pushes;
        }
    }

    fn event(
        &mut self,
        event: Event,
        show: &Show,
        eye: &Eye,
        ticks: &mut usize,
        begun: &mut Vec<Sounded>,
    ) {
        let hands = |seat: Seat| {
            let person = show.now.people.iter().find(|p| p.seat == seat);
            person.map_or(eye.at, |p| point(p.hands))
        };
        match event {
            Event::Moved { seat, control, .. } => {
                let at = show.loaded.level.site.control(control);
                let at = at.map_or(hands(seat), point);
                let (shot, loud) = match control {
                    Control::Regulator | Control::Throttle => {
                        *ticks += 1;
                        if *ticks > KNOB_TICKS {
                            return;
                        }
                        (Shot::Knob, 0.25)
                    }
                    Control::Key => (Shot::Key, 0.5),
                    Control::EmergencyStop => (Shot::Stop, 0.8),
                    Control::Barrier => (Shot::Gate, 0.6),
                    Control::PumpRestraint | Control::GunRestraint => (Shot::Clank, 0.4),
                    Control::Dump => (Shot::Lever, 0.7),
                    Control::Supply
                    | Control::AirBleed
                    | Control::Bleed
                    | Control::LanceOutlet
                    | Control::PedalOutlet => (Shot::Lever, 0.4),
                };
                self.at(shot, loud, at, eye, begun);
            }
            Event::Began { seat, .. } | Event::Finished { seat, .. } => {
                self.at(Shot::Clank, 0.5, hands(seat), eye, begun);
            }
            Event::TookUp { .. } | Event::LaidDown { .. } | Event::Chose { .. } => {
                self.at(Shot::Clank, 0.35, grip_of(show), eye, begun);
            }
            Event::Struck { .. } => {
                self.at(Shot::Clank, 0.7, point(show.now.tool.tip), eye, begun);
            }
            Event::Dropped { .. } => {
                self.at(Shot::Fall, 0.8, grip_of(show), eye, begun);
            }
            Event::Wore { seat, .. } => self.at(Shot::Cloth, 0.4, hands(seat), eye, begun),
            Event::Fell { seat } => self.at(Shot::Fall, 0.9, hands(seat), eye, begun),
            Event::Slipped { seat } => {
                let person = show.now.people.iter().find(|p| p.seat == seat);
                let at = person.map_or(eye.at, |p| point(p.feet[0]));
                self.at(Shot::Step, 0.5, at, eye, begun);
            }
            Event::DiscBurst => {
                let level = &show.loaded.level;
                let at = leaks::disc(level).unwrap_or_else(|| super::mix::unit(level));
                // It is heard over the engine, all over the yard.
                let (gain, pan) = heard(eye, at, 4.0);
                self.put(Shot::Bang, gain, pan, begun);
            }
            Event::Parted { pump_end } => {
                let end = show.now.torn.iter().find(|torn| torn.at_pump == pump_end);
                let at = end.map_or(grip_of(show), |torn| point(torn.at));
                let (gain, pan) = heard(eye, at, 4.0);
                self.put(Shot::Bang, gain, pan, begun);
                self.at(Shot::HoseJump, 0.9, at, eye, begun);
            }
            Event::RestraintBroke { pump_end } => {
                let end = show.now.torn.iter().find(|torn| torn.at_pump == pump_end);
                let at = end.map_or(grip_of(show), |torn| point(torn.at));
                self.at(Shot::Clank, 1.0, at, eye, begun);
            }
            Event::Tripped { seat } => {
                let person = show.now.people.iter().find(|p| p.seat == seat);
                let at = person.map_or(eye.at, |p| point(p.feet[0]));
                self.at(Shot::HoseJump, 0.4, at, eye, begun);
            }
            Event::TaggedOut { seat, .. } => {
                self.at(Shot::Cloth, 0.4, hands(seat), eye, begun);
            }
            // A part that fails is heard by what it does.
            Event::Said { .. }
            | Event::Failed { .. }
            | Event::Cranked
            | Event::EngineRan
            | Event::EngineStood
            | Event::BrokeOff { .. }
            | Event::ReliefLifted
            | Event::Stepped { .. }
            | Event::Refused { .. }
            | Event::Bookmark
            | Event::RestraintHeld { .. }
            | Event::LostHold { .. }
            | Event::Kinked
            | Event::Hurt { .. }
            | Event::HandedBack => {}
        }
    }
}

/// Where the grip of the tool is.
fn grip_of(show: &Show) -> Vec3 {
    point(show.now.tool.grip)
}
