//! Shows a recording to the referee, tick by tick, as the live yard did.

use super::read::Recording;
use crate::channels::Channel;
use crate::observation::Observation;
use crew::{Input, Tick};

impl Recording {
    /// Calls `each` for every tick with what was observed in it and what hands
    /// did in it. Values are whole quanta of the recording's own table, and a
    /// channel holds its sample until the next one, so the referee sees what it
    /// saw live. Channels that the table lacks are missing.
    pub fn play(&self, mut each: impl FnMut(&Observation, &[Input])) {
        let timeline = &self.scan.timeline;
        let table = &self.header().channels;
        let known: Vec<Option<Channel>> = table.iter().map(|c| Channel::by_id(&c.id)).collect();
        let mut seen = Observation::with_table(table);
        for (channel, sample) in known.iter().zip(&timeline.in_force) {
            if let Some(channel) = channel {
                seen.set(*channel, *sample);
            }
        }
        let mut change = 0;
        let mut inputs = timeline.inputs.as_slice();
        let mut events = timeline.events.as_slice();
        let mut steps = timeline.steps.as_slice();
        for (place, end) in timeline.ends.iter().enumerate() {
            let tick = Tick(place as u32);
            seen.tick = tick;
            for change in &timeline.changes[change..*end as usize] {
                if let Some(channel) = known[usize::from(change.channel)] {
                    seen.set(channel, change.sample);
                }
            }
            change = *end as usize;
            seen.events.clear();
            while let Some(((at, event), rest)) = events.split_first()
                && *at == tick
            {
                seen.events.push(*event);
                events = rest;
            }
            seen.steps.clear();
            while let Some(((at, step), rest)) = steps.split_first()
                && *at == tick
            {
                seen.steps.push(*step);
                steps = rest;
            }
            let mut now = 0;
            while inputs.get(now).is_some_and(|input| input.tick == tick) {
                now += 1;
            }
            let (these, rest) = inputs.split_at(now);
            each(&seen, these);
            inputs = rest;
        }
    }
}
