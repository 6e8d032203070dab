//! An attempt played by people of the program: pilot, bots and crew.

use crate::attempt::{Attempt, AttemptFault, Beginning};
use crate::senses::JET_L_MIN;
use crew::percept::Nerves;
use crew::{
    Input, LanceHand, LanceHandWays, Mate, MateWays, Mind, Outcome, Past, Pilot, PumpHand,
    PumpHandWays, Script, Seat, Site, Skill, Spoken, SurfaceFrame, Tick, Visitor, VisitorWays,
    Watch, WatchWays,
};
use training::allowed::REACH_M;
use training::recording::{Closed, Recording, Sink};
use training::{Channel, Ended, Event, Level, Mark, Observation};

/// Ticks that an attempt goes on after a script has come to its end or got
/// stuck, so that what it did has its consequence.
const AFTER_SCRIPT_TICKS: u32 = crew::TICKS_PER_SECOND;

/// What a person who was shown round a level's site knows of it.
pub fn site(level: &Level) -> Site {
    let a = &level.assumptions;
    Site {
        nerves: Nerves {
            sight_s: a.sight_s,
            hearing_s: a.hearing_s,
            touch_s: a.touch_s,
            choice_s: a.choice_s,
            reach_s: a.control_reach_s,
            hurry_m_s: a.hurry_m_s,
            turn_rad_s: a.turn_rad_s,
        },
        places: level.site.places.clone(),
        controls: level.site.controls.clone(),
        reach_m: REACH_M,
        zone_m: level.site.zone,
        surface: level.surface.as_ref().map(|s| SurfaceFrame {
            corner_m: s.corner,
            right: s.right,
            size_m: s.size,
            tiles: s.tiles().map(|n| n as u16),
        }),
    }
}

/// The crew of a level, apart from its trainee.
pub fn crew_of(level: &Level, seed: u64) -> Vec<(Seat, Box<dyn Mind>)> {
    let mut crew: Vec<(Seat, Box<dyn Mind>)> = Vec::new();
    if let Some(ways) = &level.crew.lance_hand
        && level.post != Seat::LANCE
    {
        let ways = LanceHandWays {
            reply_s: ways.reply_s,
            squeeze_s: ways.squeeze_s,
            work: ways.work.clone(),
            dump_call_after_s: ways.dump_call_after_s,
        };
        let hand = LanceHand::new(ways, site(level), seed);
        crew.push((Seat::LANCE, Box::new(hand)));
    }
    if let Some(ways) = &level.crew.pump_hand
        && level.post != Seat::PUMP
    {
        let ways = PumpHandWays {
            reply_s: ways.reply_s,
            steps_bar: ways.steps_bar.clone(),
            throttle_pct: ways.throttle_pct.clone(),
            cool_s: 0.0,
        };
        let hand = PumpHand::new(ways, site(level), seed);
        crew.push((Seat::PUMP, Box::new(hand)));
    }
    if let Some(ways) = &level.crew.watch {
        let ways = WatchWays {
            reply_s: ways.reply_s,
            steps_near_after_s: ways.steps_near_after_s,
            near_place: ways.near_place.clone(),
        };
        crew.push((Seat::WATCH, Box::new(Watch::new(ways, site(level), seed))));
    }
    if let Some(ways) = &level.crew.visitor {
        let ways = VisitorWays {
            after_s: ways.after_s,
            by: ways.by.clone(),
        };
        let visitor = Visitor::new(ways, site(level), seed);
        crew.push((Seat::VISITOR, Box::new(visitor)));
    }
    if let Some(ways) = &level.crew.mate {
        let ways = MateWays {
            work: ways.work.clone(),
        };
        crew.push((Seat::MATE, Box::new(Mate::new(ways, site(level), seed))));
    }
    crew
}

/// The same for an attempt that is taken up at a moment of a recording.
pub fn crew_coming_in(
    level: &Level,
    seed: u64,
    from: &Recording,
    at: Tick,
) -> Vec<(Seat, Box<dyn Mind>)> {
    let past = past(from, at);
    let mut crew = crew_of(level, seed);
    for (_, mind) in &mut crew {
        mind.come_in(&past);
    }
    crew
}

/// What has gone before a moment of a recording.
fn past(from: &Recording, at: Tick) -> Past {
    let mut past = Past {
        at,
        ..Past::default()
    };
    from.play(|o, _| {
        if o.tick >= at {
            return;
        }
        let over = |channel, least| o.mean(channel).is_some_and(|v| v > least);
        let runs = over(Channel::ToolFlow, JET_L_MIN);
        for event in &o.events {
            if let Event::Said { seat, call } = *event {
                past.said.push(Spoken {
                    tick: o.tick,
                    seat,
                    call,
                    nozzle: o.on(Channel::NozzleFitted) == Some(true),
                    live: runs || o.on(Channel::HoseLimp) == Some(false),
                });
            }
        }
        for (channel, turns) in [
            (Channel::Trigger, &mut past.trigger),
            (Channel::Pedal, &mut past.pedal),
        ] {
            let down = over(channel, 50.0);
            if down != turns.last().is_some_and(|(_, was)| *was) {
                turns.push((o.tick, down));
            }
        }
        past.catch_off = o.on(Channel::SafetyCatch) == Some(false);
        if past.water.is_none() && runs {
            past.water = Some(o.tick);
        }
        past.visited |= over(Channel::Intruder, 0.5);
        past.throttle_pct = o.mean(Channel::Throttle).unwrap_or_default();
        past.set_bar = o.mean(Channel::SetPressure).unwrap_or_default();
    });
    past
}

/// The pilot that plays a script on the trainee's seat.
pub fn pilot(level: &Level, script: Script, skill: Skill, seed: u64) -> Pilot {
    Pilot::new(
        script,
        level.post,
        crew::Source::Trainee,
        site(level),
        skill,
        seed,
    )
}

/// Plays a script of a level from its start to its end with a steady hand, and
/// seals what was recorded. `watch` is called after each tick.
///
/// # Errors
/// The level makes no yard, the recording cannot be written on, or the attempt
/// is void.
pub fn by_script<S: Sink>(
    level: &Level,
    script: Script,
    beginning: Beginning,
    sink: S,
    watch: impl FnMut(&Observation),
) -> Result<Mark, AttemptFault> {
    let seed = beginning.seed;
    let mut attempt = Attempt::begin(level, beginning, sink)?;
    let mut trainee = pilot(level, script, Skill::steady(), seed);
    let mut crew = crew_of(level, seed);
    let ended = play(&mut attempt, level.post, &mut trainee, &mut crew, watch)?;
    let closed = Closed {
        wall_s: 0.0,
        least_real_time_factor: 1.0,
        frames: None,
    };
    let (mark, _) = attempt.seal(ended, closed, None)?;
    Ok(mark)
}

/// Plays an attempt to its end: the trainee's mind and the crew's, each from
/// what they perceive. `watch` is called after each tick.
///
/// # Errors
/// The recording cannot be written on, or the attempt is void.
pub fn play<S: Sink>(
    attempt: &mut Attempt<S>,
    post: Seat,
    trainee: &mut dyn Mind,
    crew: &mut [(Seat, Box<dyn Mind>)],
    mut watch: impl FnMut(&Observation),
) -> Result<Ended, AttemptFault> {
    let mut inputs: Vec<Input> = Vec::new();
    let mut left: Option<(u32, Ended)> = None;
    loop {
        inputs.clear();
        trainee.act(&attempt.percepts(post), &mut inputs);
        for (seat, mind) in crew.iter_mut() {
            mind.act(&attempt.percepts(*seat), &mut inputs);
        }
        watch(attempt.step(&inputs)?);
        if let Some(ended) = attempt.ended() {
            return Ok(ended);
        }
        if left.is_none() {
            left = match trainee.outcome() {
                Outcome::Running => None,
                Outcome::Done => Some((AFTER_SCRIPT_TICKS, Ended::Stopped)),
                Outcome::Stuck { .. } => Some((AFTER_SCRIPT_TICKS, Ended::Stuck)),
            };
        }
        match &mut left {
            Some((0, ended)) => return Ok(*ended),
            Some((ticks, _)) => *ticks -= 1,
            None => {}
        }
    }
}
