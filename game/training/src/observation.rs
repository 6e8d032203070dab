//! One tick as the referee sees it.

use crate::channels::{Channel, ChannelSpec, Sample};
use crate::event::Event;
use crate::surface::SurfaceStep;
use crew::Tick;

/// What was measured and what happened in one tick, and nothing else.
///
/// The same view is made by the live yard and from a recording, so that the
/// referee cannot tell which one it watches.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// The tick.
    pub tick: Tick,
    samples: Vec<Option<Sample>>,
    quanta: Vec<f64>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// What became of the surface, in order.
    pub steps: Vec<SurfaceStep>,
}

impl Default for Observation {
    fn default() -> Self {
        Observation::missing_all()
    }
}

impl Observation {
    /// An observation in which no channel is there.
    pub fn missing_all() -> Self {
        Observation {
            tick: Tick(0),
            samples: vec![None; Channel::ALL.len()],
            quanta: Channel::ALL.iter().map(|c| c.declared().1).collect(),
            events: Vec::new(),
            steps: Vec::new(),
        }
    }

    /// An observation read with the quanta of a recording's own table. Channels
    /// that the table lacks are missing; channels that this release does not
    /// know are left out. Until its first sample a channel reads zero, as it
    /// does live.
    pub fn with_table(table: &[ChannelSpec]) -> Self {
        let mut o = Observation::missing_all();
        for spec in table {
            if let Some(channel) = Channel::by_id(&spec.id) {
                o.quanta[channel.index()] = spec.quantum;
                o.samples[channel.index()] = Some(Sample::default());
            }
        }
        o
    }

    /// Sets a channel's present sample.
    pub fn set(&mut self, channel: Channel, sample: Sample) {
        self.samples[channel.index()] = Some(sample);
    }

    /// Sets all channels' present samples, in the order of the table.
    pub fn set_all(&mut self, samples: &[Sample]) {
        for (mine, sample) in self.samples.iter_mut().zip(samples) {
            *mine = Some(*sample);
        }
    }

    /// The present sample, or nothing when the channel is missing.
    pub fn sample(&self, channel: Channel) -> Option<Sample> {
        self.samples[channel.index()]
    }

    /// Mean over the present sample, in the channel's unit.
    pub fn mean(&self, channel: Channel) -> Option<f64> {
        Some(f64::from(self.sample(channel)?.mean) * self.quanta[channel.index()])
    }

    /// Least value in the present sample, in the channel's unit.
    pub fn min(&self, channel: Channel) -> Option<f64> {
        Some(f64::from(self.sample(channel)?.min) * self.quanta[channel.index()])
    }

    /// Greatest value in the present sample, in the channel's unit.
    pub fn max(&self, channel: Channel) -> Option<f64> {
        Some(f64::from(self.sample(channel)?.max) * self.quanta[channel.index()])
    }

    /// Whether a state is on.
    pub fn on(&self, channel: Channel) -> Option<bool> {
        Some(self.sample(channel)?.mean != 0)
    }
}
