//! What is heard of machines and water, as numbers: worked out from what is on
//! show and where the ears are, and from nothing else.

use crate::hands::effort::Effort;
use crate::leaks;
use crate::stage::{Eye, Show, point};
use bevy::math::{Vec3, Vec3Swizzles};
use crew::{Control, Ppe, Seat};
use training::Level;
use yard::view::{JetView, MachineView, ViewFrame};

/// Something that sounds for as long as it goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Loop {
    /// The engine at idle.
    EngineIdle,
    /// The engine under load.
    EngineLoad,
    /// The starter.
    Starter,
    /// Gears and plungers of the pump.
    Pump,
    /// The knock of a starved pump.
    Knock,
    /// Water through the bypass.
    Hiss,
    /// Water out of the dump.
    Dump,
    /// The relief valve.
    Relief,
    /// Water out of a burst disc.
    Disc,
    /// The jet from near.
    JetNear,
    /// The jet from far.
    JetFar,
    /// The jet on what it meets.
    JetOnWall,
    /// Water out of the bleed valve.
    Drip,
    /// Air out of the cock on the pump head.
    Air,
    /// Water past the packings of the pump.
    Trickle,
    /// Water out of a hole in the hose.
    Leak,
    /// Water out of a torn end of the hose.
    Gush,
    /// The alarm of the panel.
    Alarm,
    /// One's own breath.
    Breath,
    /// The yard around.
    Yard,
}

impl Loop {
    /// All of them.
    pub const ALL: [Loop; 20] = [
        Loop::EngineIdle,
        Loop::EngineLoad,
        Loop::Starter,
        Loop::Pump,
        Loop::Knock,
        Loop::Hiss,
        Loop::Dump,
        Loop::Relief,
        Loop::Disc,
        Loop::JetNear,
        Loop::JetFar,
        Loop::JetOnWall,
        Loop::Drip,
        Loop::Air,
        Loop::Trickle,
        Loop::Leak,
        Loop::Gush,
        Loop::Alarm,
        Loop::Breath,
        Loop::Yard,
    ];

    /// Names of the files that have it, the best one first.
    pub fn files(self) -> &'static [&'static str] {
        match self {
            Loop::EngineIdle => &["engine_idle"],
            Loop::EngineLoad => &["engine_load"],
            Loop::Starter => &["starter", "engine_idle"],
            Loop::Pump => &["pump_run", "pump_knock"],
            Loop::Knock => &["pump_knock"],
            Loop::Hiss => &["bypass_hiss", "jet_far"],
            Loop::Dump => &["dump_roar"],
            Loop::Relief => &["relief_valve"],
            Loop::Disc => &["dump_roar"],
            Loop::JetNear => &["jet_near"],
            Loop::JetFar => &["jet_far"],
            Loop::JetOnWall => &["jet_on_wall"],
            Loop::Drip => &["drip"],
            Loop::Air => &["air_spit", "jet_near"],
            Loop::Trickle => &["trickle", "drip"],
            Loop::Leak => &["leak_hiss", "jet_near"],
            Loop::Gush => &["gush", "dump_roar"],
            Loop::Alarm => &["alarm"],
            Loop::Breath => &["breath"],
            Loop::Yard => &["ambient_yard"],
        }
    }
}

/// How something sounds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tone {
    /// Loudness, 0 to 1.
    pub gain: f32,
    /// How much faster than recorded.
    pub rate: f32,
    /// From the left (-1) to the right (1).
    pub pan: f32,
}

/// Everything that sounds at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Mix {
    tones: [Tone; Loop::ALL.len()],
    /// What lies above this is not heard of machines and water, hertz.
    pub cutoff_hz: f32,
    /// Loudness of machines and water as a whole: ear defenders and voices take
    /// from it.
    pub machines: f32,
}

/// Above this nothing is heard anyway, hertz.
pub const OPEN_HZ: f32 = 19_000.0;
/// Ear defenders let this through: little above it, and less of everything
/// (from memory: 10 dB at the lows, 30 and more above 1 kHz).
const DEFENDED_HZ: f32 = 900.0;
const DEFENDED: f32 = 0.4;
/// Machines step back by this much while somebody speaks.
const DUCKED: f32 = 0.45;

/// Speeds at which the engine was recorded, revolutions per second.
const IDLE_REV_S: f32 = 800.0 / 60.0;
const LOAD_REV_S: f32 = 1800.0 / 60.0;
/// The one goes over into the other between these speeds; under load sooner.
const BLEND_REV_S: [f32; 2] = [1100.0 / 60.0, 1500.0 / 60.0];
const BLEND_LABOUR_REV_S: f32 = 6.0;
/// Speed at which the pump was recorded, revolutions per second.
const PUMP_REV_S: f32 = 7.5;
/// Pressure at which a bypass hisses as loudly as it can, pascals.
const LOUD_PA: f32 = 7e7;
/// Flow with which a dump roars as loudly as it can, cubic metres per second.
const LOUD_DUMP_M3_S: f32 = 40.0 / 60_000.0;
/// Flow of a relief that is as loud as any, cubic metres per second.
const LOUD_RELIEF_M3_S: f32 = 50.0 / 60_000.0;
/// Flow past the packings below which nothing is heard of it, and with which it is as
/// loud as any, cubic metres per second.
pub const TRICKLE_M3_S: [f32; 2] = [1.5 / 60_000.0, 15.0 / 60_000.0];
/// Push of a jet out of the hose that is as loud as any, newtons, and pressure at which
/// its hiss is as sharp as it was recorded, pascals.
const LOUD_LEAK_N: f32 = 40.0;
const SHARP_PA: f32 = 7e7;
/// Flow out of a torn end that is as loud as any, cubic metres per second.
const LOUD_GUSH_M3_S: f32 = 60.0 / 60_000.0;
/// Thrust of a jet that is as loud as any, newtons.
const LOUD_THRUST_N: f32 = 200.0;
/// Pressure of a jet on a wall that is as loud as any, pascals.
const LOUD_IMPACT_PA: f32 = 6e7;
/// Speed at which the jet was recorded, metres per second.
const JET_M_S: f32 = 350.0;
/// From here on a jet is heard as one that is far, metres.
const FAR_M: f32 = 5.0;
/// Rates between which a recording still sounds like itself.
const RATES: [f32; 2] = [0.5, 2.0];
/// Breaths a minute with which breathing was recorded.
const BREATHS_MIN: f32 = 24.0;

/// Ears: where they are and what is over them.
struct Ears<'a> {
    eye: &'a Eye,
}

impl Ears<'_> {
    /// Loudness and side of something at a place: as loud as it is within `near_m`, and half of it at twice that.
    fn place(&self, at: Vec3, near_m: f32) -> (f32, f32) {
        let to = at - self.eye.at;
        let away = to.length();
        if !away.is_finite() {
            return (0.0, 0.0);
        }
        let loud = near_m / away.max(near_m);
        (loud, pan(self.eye, to))
    }

    fn tone(&self, gain: f32, rate: f32, at: Vec3, near_m: f32) -> Tone {
        let (loud, pan) = self.place(at, near_m);
        Tone {
            gain: gain * loud,
            rate,
            pan,
        }
    }
}

/// Which side something is heard from. What is near is heard with both ears.
pub fn pan(eye: &Eye, to: Vec3) -> f32 {
    let right = Vec3::new(eye.yaw.sin(), 0.0, eye.yaw.cos());
    let level = to.xz().length();
    if level < 1e-3 || !level.is_finite() {
        return 0.0;
    }
    let side = to.dot(right) / level;
    (0.75 * side * (level / 1.5).min(1.0)).clamp(-1.0, 1.0)
}

/// Loudness of something at a place, and its side.
pub fn heard(eye: &Eye, at: Vec3, near_m: f32) -> (f32, f32) {
    Ears { eye }.place(at, near_m)
}

/// The middle of the pump unit: of the wall that it is, else of its controls.
pub fn unit(level: &Level) -> Vec3 {
    if let Some(wall) = level.site.walls.first() {
        return point(wall.at);
    }
    let controls = &level.site.controls;
    let count = controls.len().max(1) as f32;
    controls.iter().map(|(_, at)| point(*at)).sum::<Vec3>() / count
}

/// Where a control is, else the middle of the unit.
fn at_control(level: &Level, control: Control) -> Vec3 {
    level.site.control(control).map_or(unit(level), point)
}

/// Whether the panel sounds its alarm: the emergency stop is struck, or the guard of the
/// oil has stopped the engine, and the key is on.
pub fn alarm(frame: &ViewFrame) -> bool {
    let share = |wanted| {
        let mut controls = frame.controls.iter();
        controls
            .find(|(c, _)| *c == wanted)
            .map_or(0.0, |(_, s)| *s)
    };
    let stopped = share(Control::EmergencyStop) > 0.99 || frame.machine.oil_tripped;
    stopped && share(Control::Key) > 0.4
}

/// Whether a person wears ear defenders.
pub fn is_defended(show: &Show, own: Option<Seat>) -> bool {
    own.and_then(|seat| show.person(seat))
        .is_some_and(|(_, now)| now.wears & Ppe::EarDefenders.bit() != 0)
}

fn smooth(from: f32, to: f32, x: f32) -> f32 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

fn finite(x: f64) -> f32 {
    let x = x as f32;
    if x.is_finite() { x } else { 0.0 }
}

impl Mix {
    /// Silence.
    pub fn silence() -> Self {
        let tone = Tone {
            gain: 0.0,
            rate: 1.0,
            pan: 0.0,
        };
        Mix {
            tones: [tone; Loop::ALL.len()],
            cutoff_hz: OPEN_HZ,
            machines: 1.0,
        }
    }

    /// What is heard of what is on show. `own` is the seat whose ears these
    /// are; from outside nobody wears anything over them.
    pub fn of(show: &Show, eye: &Eye, own: Option<Seat>) -> Self {
        let mut mix = Mix::silence();
        let level = &show.loaded.level;
        let ears = Ears { eye };
        let machine = &show.now.machine;
        mix.engine(machine, &ears, unit(level));
        mix.water(machine, &ears, level);
        mix.spills(show, &ears);
        let alarm = if alarm(&show.now) { 0.2 } else { 0.0 };
        let at = at_control(level, Control::EmergencyStop);
        mix.set(Loop::Alarm, ears.tone(alarm, 1.0, at, 1.5));
        for (tip, jet) in show.jets() {
            mix.jet(tip, jet, &ears);
        }
        if let Some((_, me)) = own.and_then(|seat| show.person(seat)) {
            let effort = Effort::of(me, &show.now);
            mix.set(
                Loop::Breath,
                Tone {
                    gain: 0.5 * smooth(0.15, 0.75, finite(effort.share)),
                    rate: finite(effort.breaths_min) / BREATHS_MIN,
                    pan: 0.0,
                },
            );
        }
        mix.set(
            Loop::Yard,
            Tone {
                gain: 0.5,
                rate: 1.0,
                pan: 0.0,
            },
        );
        if is_defended(show, own) {
            mix.cutoff_hz = DEFENDED_HZ;
            mix.machines *= DEFENDED;
        }
        if show.now.people.iter().any(|p| p.saying.is_some()) {
            mix.machines *= DUCKED;
        }
        mix.limit();
        mix
    }

    fn set(&mut self, which: Loop, tone: Tone) {
        self.tones[which as usize] = tone;
    }

    /// The same beside what sounds of it already elsewhere: their powers add up, and it is heard from
    /// where more of it comes.
    fn add(&mut self, which: Loop, tone: Tone) {
        let there = self.tone(which);
        let power = |tone: Tone| tone.gain * tone.gain;
        let both = power(there) + power(tone);
        if !both.is_finite() || power(there) <= 0.0 {
            return self.set(which, tone);
        }
        let share = power(tone) / both;
        let between = |a: f32, b: f32| a + (b - a) * share;
        let tone = Tone {
            gain: both.sqrt(),
            rate: between(there.rate, tone.rate),
            pan: between(there.pan, tone.pan),
        };
        self.set(which, tone);
    }

    /// How one of them sounds.
    pub fn tone(&self, which: Loop) -> Tone {
        self.tones[which as usize]
    }

    fn engine(&mut self, machine: &MachineView, ears: &Ears<'_>, at: Vec3) {
        let rev_s = finite(machine.engine_rev_s).max(0.0);
        let labour = finite(machine.labour).clamp(0.0, 1.0);
        let turns = smooth(0.5, 6.0, rev_s);
        let [from, to] = BLEND_REV_S;
        let under_load = smooth(from, to, rev_s + BLEND_LABOUR_REV_S * labour);
        let whole = turns * (0.32 + 0.2 * labour);
        // Equal power, so that the change is not heard as a dip.
        let idle = whole * (1.0 - under_load).sqrt();
        let load = whole * under_load.sqrt();
        // Under load every stroke pushes harder, which is heard as a tone that
        // goes up a little at the same speed.
        let strain = 1.0 + 0.06 * labour;
        self.set(
            Loop::EngineIdle,
            ears.tone(idle, strain * rev_s / IDLE_REV_S, at, 2.5),
        );
        self.set(
            Loop::EngineLoad,
            ears.tone(load, strain * rev_s / LOAD_REV_S, at, 2.5),
        );
        let cranks = if machine.cranks { 0.35 } else { 0.0 };
        self.set(Loop::Starter, ears.tone(cranks, 0.75, at, 2.0));
        let pump = finite(machine.pump_rev_s).max(0.0);
        let pressed = (finite(machine.pump_pa).max(0.0) / LOUD_PA).min(1.0).sqrt();
        let beat = smooth(0.2, 3.0, pump) * (0.05 + 0.13 * pressed);
        self.set(Loop::Pump, ears.tone(beat, pump / PUMP_REV_S, at, 2.0));
        let knock = if machine.knock {
            0.45 * smooth(0.2, 2.0, pump)
        } else {
            0.0
        };
        self.set(Loop::Knock, ears.tone(knock, pump / PUMP_REV_S, at, 2.0));
    }

    fn water(&mut self, machine: &MachineView, ears: &Ears<'_>, level: &Level) {
        let pump = finite(machine.pump_rev_s).max(0.0);
        let pressed = (finite(machine.pump_pa).max(0.0) / LOUD_PA).min(1.0);
        let share = finite(machine.bypass_share).clamp(0.0, 1.0);
        let flow = (share * pump / PUMP_REV_S).clamp(0.0, 1.0);
        let hiss = 0.6 * flow.sqrt() * pressed.sqrt();
        let at = at_control(level, Control::Regulator);
        self.set(Loop::Hiss, ears.tone(hiss, 0.9 + 0.5 * pressed, at, 1.5));
        let dumped = (finite(machine.dump_m3_s).max(0.0) / LOUD_DUMP_M3_S).min(1.0);
        let at = at_control(level, Control::Dump);
        self.set(
            Loop::Dump,
            ears.tone(0.6 * dumped.sqrt(), 0.9 + 0.2 * dumped, at, 2.0),
        );
        let relieved = (finite(machine.relief_m3_s).max(0.0) / LOUD_RELIEF_M3_S).min(1.0);
        let lifts = if machine.relief_lifts {
            0.35 + 0.45 * relieved.sqrt()
        } else {
            0.0
        };
        let at = leaks::relief(level).unwrap_or_else(|| at_control(level, Control::Regulator));
        self.set(Loop::Relief, ears.tone(lifts, 1.0, at, 2.5));
        let torn = (finite(machine.disc_m3_s).max(0.0) / LOUD_RELIEF_M3_S).min(1.0);
        let at = leaks::disc(level).unwrap_or_else(|| unit(level));
        let tone = ears.tone(0.8 * torn.sqrt(), 0.9 + 0.3 * torn, at, 2.5);
        self.set(Loop::Disc, tone);
        let drips = if machine.bleed_runs { 0.3 } else { 0.0 };
        let at = at_control(level, Control::Bleed);
        self.set(Loop::Drip, ears.tone(drips, 1.0, at, 0.8));
        let spits = if machine.air_spits { 0.25 } else { 0.0 };
        let at = at_control(level, Control::AirBleed);
        self.set(Loop::Air, ears.tone(spits, 1.3, at, 0.8));
    }

    /// Water that gets out where it should not.
    fn spills(&mut self, show: &Show, ears: &Ears<'_>) {
        let machine = &show.now.machine;
        if let Some(at) = leaks::glands(&show.loaded.level) {
            let [from, to] = TRICKLE_M3_S;
            let much = smooth(from, to, finite(machine.gland_m3_s));
            let tone = ears.tone(0.3 * much.sqrt(), 0.85 + 0.3 * much, at, 1.0);
            self.set(Loop::Trickle, tone);
        }
        if let Some(at) = leaks::hole(show).filter(|at| at.is_finite()) {
            let push = (finite(leaks::hole_n(machine)).max(0.0) / LOUD_LEAK_N).min(1.0);
            let sharp = (finite(leaks::hole_pa(machine)) / SHARP_PA).clamp(0.0, 1.5);
            let rate = 0.6 + 0.4 * sharp.sqrt();
            self.set(Loop::Leak, ears.tone(0.6 * push.sqrt(), rate, at, 2.0));
        }
        if let Some(torn) = leaks::torn(show).filter(|torn| point(torn.at).is_finite()) {
            let much = (finite(torn.flow_m3_s).max(0.0) / LOUD_GUSH_M3_S).min(1.0);
            let tone = ears.tone(0.7 * much.sqrt(), 0.85 + 0.25 * much, point(torn.at), 2.5);
            self.set(Loop::Gush, tone);
        }
    }

    fn jet(&mut self, tip: Vec3, jet: &JetView, ears: &Ears<'_>) {
        let thrust = (finite(jet.thrust_n).max(0.0) / LOUD_THRUST_N).min(1.0);
        let rate = 0.75 + 0.25 * finite(jet.speed_m_s).max(0.0) / JET_M_S;
        let away = tip.distance(ears.eye.at);
        let far = smooth(0.4 * FAR_M, 2.0 * FAR_M, away);
        let loud = 0.75 * thrust.sqrt();
        self.add(
            Loop::JetNear,
            ears.tone(loud * (1.0 - far).sqrt(), rate, tip, 2.0),
        );
        self.add(Loop::JetFar, ears.tone(loud * far.sqrt(), rate, tip, 4.0));
        if let Some(meets) = jet.meets {
            let meets = point(meets);
            let impact = (finite(jet.impact_pa).max(0.0) / LOUD_IMPACT_PA).min(1.0);
            // What is not the surface is told by how much of the jet gets there.
            let thinned = thrust / (1.0 + 0.3 * tip.distance(meets));
            let hit = impact.max(0.5 * thinned).sqrt();
            self.add(
                Loop::JetOnWall,
                ears.tone(0.7 * hit, 0.85 + 0.3 * hit, meets, 2.0),
            );
        }
    }

    /// Keeps every number in its range, and the sum of all within what can be
    /// played.
    fn limit(&mut self) {
        for tone in &mut self.tones {
            if !tone.gain.is_finite() || tone.gain < 0.0 {
                tone.gain = 0.0;
            }
            if !tone.rate.is_finite() {
                tone.rate = 1.0;
            }
            tone.rate = tone.rate.clamp(RATES[0], RATES[1]);
            tone.gain = tone.gain.min(1.0);
            tone.pan = if tone.pan.is_finite() { tone.pan } else { 0.0 };
        }
        let sum: f32 = self.tones.iter().map(|t| t.gain).sum();
        if sum > 1.0 {
            for tone in &mut self.tones {
                tone.gain /= sum;
            }
        }
    }
}
