//! An attempt: a yard, its referee and its journal, tick by tick.

use crate::yard::{KEYFRAME_TICKS, Yard, YardFault, YardState};
use crew::{Input, Percepts, Seat, TICKS_PER_SECOND, Tick};
use training::channels::{NotMeasurable, Sample, table};
use training::faults::{Fate, Planned};
use training::recording::{
    Bundle, Closed, Header, Journal, JournalFault, OpenKey, Opened, Parent, ReadFault, Recording,
    Sealed, Sink,
};
use training::{Channel, Ended, Event, Finding, Level, Mark, Observation, Referee};

/// Ticks from one digest of the yard to the next.
pub const DIGEST_TICKS: u32 = TICKS_PER_SECOND;

/// An attempt cannot go on.
#[derive(Debug)]
pub enum AttemptFault {
    /// The level does not make a yard.
    Yard(YardFault),
    /// The recording cannot be written.
    Journal(JournalFault),
    /// The recording cannot be read.
    Read(ReadFault),
    /// Something that scores is no finite number: the attempt is void.
    NotMeasurable(NotMeasurable),
    /// The recording has no such moment.
    NoSuchTick {
        /// The moment asked for.
        asked: Tick,
        /// The first moment behind the recording.
        until: Tick,
    },
    /// The yard did not come out as it was recorded: another build made the
    /// recording, or the machine erred.
    Differs {
        /// The first tick that differs.
        at: Tick,
    },
}

impl From<YardFault> for AttemptFault {
    fn from(fault: YardFault) -> Self {
        AttemptFault::Yard(fault)
    }
}

impl From<JournalFault> for AttemptFault {
    fn from(fault: JournalFault) -> Self {
        AttemptFault::Journal(fault)
    }
}

impl From<ReadFault> for AttemptFault {
    fn from(fault: ReadFault) -> Self {
        AttemptFault::Read(fault)
    }
}

/// What is needed to begin, beside the level.
pub struct Beginning {
    /// Version of this program.
    pub release: String,
    /// The files that the level was made of.
    pub bundle: Bundle,
    /// Seed of the attempt.
    pub seed: u64,
    /// Who, when, on what machine.
    pub opened: Opened,
    /// What the instructor has in store beside the level.
    pub injected: Vec<Planned>,
}

/// An attempt that is under way.
pub struct Attempt<S: Sink> {
    yard: Yard,
    referee: Referee,
    fate: Fate,
    /// The inputs of a tick in which something fails.
    inputs: Vec<Input>,
    journal: Journal<S>,
    limit: Tick,
    ended: Option<Ended>,
    /// How many findings there were before the last tick.
    found: usize,
    /// Keyframes of this attempt, for going back while it runs.
    keyframes: Vec<YardState>,
}

impl<S: Sink> Attempt<S> {
    /// Begins an attempt at a level.
    ///
    /// # Errors
    /// The level makes no yard, or the recording cannot be begun.
    pub fn begin(level: &Level, beginning: Beginning, sink: S) -> Result<Self, AttemptFault> {
        let yard = Yard::new(level)?;
        let fate = fate(level, &beginning);
        let journal = Journal::begin(sink, header(level, &beginning, None), beginning.opened)?;
        Ok(Attempt::around(level, yard, journal, fate))
    }

    fn around(level: &Level, yard: Yard, journal: Journal<S>, fate: Fate) -> Self {
        Attempt {
            yard,
            referee: Referee::new(level),
            fate,
            inputs: Vec::new(),
            journal,
            limit: Tick::at(level.limit_s),
            ended: None,
            found: 0,
            keyframes: Vec::new(),
        }
    }

    /// Takes up another attempt at one of its moments. The new recording holds
    /// all that went before, so that it stands on its own, and names its
    /// parent, which is left as it is.
    ///
    /// # Errors
    /// No such moment, a yard that does not come out as recorded, or a new
    /// recording that cannot be begun.
    pub fn restart(
        level: &Level,
        beginning: Beginning,
        from: &Recording,
        at: Tick,
        sink: S,
    ) -> Result<Self, AttemptFault> {
        let mut yard = Yard::new(level)?;
        go_to(&mut yard, from, at)?;
        let parent = from.body_hash().map(|body| Parent { body, tick: at });
        let fate = fate(level, &beginning);
        let journal = Journal::begin(sink, header(level, &beginning, parent), beginning.opened)?;
        let mut attempt = Attempt::around(level, yard, journal, fate);
        attempt.copy_history(from, at)?;
        Ok(attempt)
    }

    fn copy_history(&mut self, from: &Recording, at: Tick) -> Result<(), AttemptFault> {
        let mut fault = None;
        let mut digests = from.digests().iter().peekable();
        let mut keyframes = from.keyframes().peekable();
        from.play(|o, inputs| {
            if fault.is_some() || o.tick >= at {
                return;
            }
            self.referee.see(o);
            // What has failed already stands among the recorded inputs.
            self.fate.act(o.tick, &mut self.inputs);
            self.fate.see(o);
            let digest = digests
                .next_if(|(tick, _)| *tick == o.tick)
                .map(|(_, d)| *d);
            let mut keep = || -> Result<(), AttemptFault> {
                self.journal
                    .tick(o.tick, inputs, &samples(o), &o.events, &o.steps, digest)?;
                if let Some(frame) = keyframes.next_if(|k| k.tick == Tick(o.tick.0 + 1)) {
                    self.journal.keyframe(frame.tick, &frame.state()?)?;
                }
                Ok(())
            };
            fault = keep().err();
        });
        self.inputs.clear();
        self.found = self.referee.findings().len();
        fault.map_or(Ok(()), Err)
    }

    /// One tick with these inputs; says what was observed.
    ///
    /// # Errors
    /// The recording cannot be written on, or the attempt is void.
    pub fn step(&mut self, inputs: &[Input]) -> Result<&Observation, AttemptFault> {
        let tick = self.yard.tick();
        self.inputs.clear();
        self.fate.act(tick, &mut self.inputs);
        let inputs = if self.inputs.is_empty() {
            inputs
        } else {
            self.inputs.extend_from_slice(inputs);
            &self.inputs
        };
        self.yard
            .step(inputs)
            .map_err(AttemptFault::NotMeasurable)?;
        let next = self.yard.tick();
        let digest = next
            .0
            .is_multiple_of(DIGEST_TICKS)
            .then(|| self.yard.digest());
        let o = self.yard.observation();
        self.found = self.referee.findings().len();
        self.referee.see(o);
        self.fate.see(o);
        self.journal
            .tick(tick, inputs, &samples(o), &o.events, &o.steps, digest)?;
        if o.events.contains(&Event::HandedBack) {
            self.ended = Some(Ended::HandedBack);
        } else if next >= self.limit {
            self.ended = Some(Ended::TimeLimit);
        }
        if next.0.is_multiple_of(KEYFRAME_TICKS) {
            let state = self.yard.state();
            self.journal.keyframe(next, &state.to_bytes()?)?;
            self.keyframes.push(state);
        }
        Ok(self.yard.observation())
    }

    /// What was found in the last tick.
    pub fn just_found(&self) -> &[Finding] {
        &self.referee.findings()[self.found..]
    }

    /// Everything found so far.
    pub fn findings(&self) -> &[Finding] {
        self.referee.findings()
    }

    /// How the attempt has ended, once it has.
    pub fn ended(&self) -> Option<Ended> {
        self.ended
    }

    /// The tick that comes next.
    pub fn tick(&self) -> Tick {
        self.yard.tick()
    }

    /// What the person on a seat knows.
    pub fn percepts(&mut self, seat: Seat) -> Percepts {
        self.yard.percepts(seat)
    }

    /// The yard.
    pub fn yard(&mut self) -> &mut Yard {
        &mut self.yard
    }

    /// States of the yard that were kept so far, 30 s apart.
    pub fn keyframes(&self) -> &[YardState] {
        &self.keyframes
    }

    /// Ends and seals the attempt, and says its mark.
    ///
    /// # Errors
    /// The recording cannot be sealed; it is unfinished then.
    pub fn seal(
        mut self,
        ended: Ended,
        closed: Closed,
        key: Option<&OpenKey>,
    ) -> Result<(Mark, Sealed), AttemptFault> {
        let digest = self.yard.digest();
        let last = Tick(self.yard.tick().0.saturating_sub(1));
        let end = training::recording::End {
            last,
            why: ended,
            digest,
        };
        let sealed = self.journal.seal(end, closed, key)?;
        Ok((self.referee.mark(ended), sealed))
    }
}

fn fate(level: &Level, beginning: &Beginning) -> Fate {
    let mut fate = Fate::new(level, beginning.seed);
    for planned in &beginning.injected {
        fate.add(*planned);
    }
    fate
}

fn header(level: &Level, beginning: &Beginning, parent: Option<Parent>) -> Header {
    Header {
        release: beginning.release.clone(),
        channels: table(),
        level: level.id.clone(),
        seed: beginning.seed,
        bundle: beginning.bundle.clone(),
        ticks_per_second: TICKS_PER_SECOND,
        parent,
    }
}

/// All channels' present samples, in the order of the table. The live yard
/// measures them all.
fn samples(o: &Observation) -> Vec<Sample> {
    Channel::ALL
        .iter()
        .map(|channel| o.sample(*channel).unwrap_or_default())
        .collect()
}

/// The mark of a recording: the referee watches it as it watched the attempt.
/// Nothing when the recording is not sealed, because an unfinished attempt is
/// never a mark.
pub fn mark(level: &Level, recording: &Recording) -> Option<Mark> {
    let ended = recording.end()?.why;
    let mut referee = Referee::new(level);
    recording.play(|o, _| {
        referee.see(o);
    });
    Some(referee.mark(ended))
}

/// Brings a yard to a moment of a recording, by way of the keyframe before it.
///
/// # Errors
/// No such moment, or a yard that does not come out as recorded.
pub fn go_to(yard: &mut Yard, recording: &Recording, at: Tick) -> Result<(), AttemptFault> {
    let until = recording.until();
    if at > until {
        return Err(AttemptFault::NoSuchTick { asked: at, until });
    }
    if let Some(keyframe) = recording.keyframe_before(at) {
        yard.restore(YardState::from_bytes(&keyframe.state()?)?);
    }
    let from = yard.tick();
    let first = recording.inputs().partition_point(|i| i.tick < from);
    let mut inputs = &recording.inputs()[first..];
    let mut digests = recording
        .digests()
        .iter()
        .filter(|(tick, _)| *tick >= from)
        .peekable();
    while yard.tick() < at {
        let tick = yard.tick();
        let here = inputs.iter().take_while(|i| i.tick == tick).count();
        let (now, rest) = inputs.split_at(here);
        inputs = rest;
        yard.step(now).map_err(AttemptFault::NotMeasurable)?;
        if let Some((_, digest)) = digests.next_if(|(t, _)| *t == tick)
            && *digest != yard.digest()
        {
            return Err(AttemptFault::Differs { at: tick });
        }
    }
    Ok(())
}

/// Runs a recording again from its start, and compares everything that was
/// observed in every tick.
///
/// # Errors
/// Names the first tick that differs.
pub fn replay(
    level: &Level,
    recording: &Recording,
    mut progress: impl FnMut(Tick),
) -> Result<(), AttemptFault> {
    let mut yard = Yard::new(level)?;
    let mut digests = recording.digests().iter().peekable();
    let mut fault = None;
    recording.play(|o, inputs| {
        if fault.is_some() {
            return;
        }
        progress(o.tick);
        match yard.step(inputs) {
            Err(not) => fault = Some(AttemptFault::NotMeasurable(not)),
            Ok(again) if again != o => fault = Some(AttemptFault::Differs { at: o.tick }),
            Ok(_) => {
                if let Some((at, digest)) = digests.next_if(|(t, _)| *t == o.tick)
                    && *digest != yard.digest()
                {
                    fault = Some(AttemptFault::Differs { at: *at });
                }
            }
        }
    });
    if let Some(fault) = fault {
        return Err(fault);
    }
    match recording.end() {
        Some(end) if end.digest != yard.digest() => Err(AttemptFault::Differs { at: end.last }),
        _ => Ok(()),
    }
}
