//! Attempts put together by hand, for tests: what is measured is set, what
//! happens is said, and whoever judges it looks on tick by tick.

use crate::allowed::tool_at;
use crate::channels::Sample;
use crate::level::{Coat, PpeRules, Surface, Words};
use crate::load::Library;
use crate::surface::STEPS_PER_LAYER;
use crate::{Channel, Event, Level, Observation};
use crew::{Call, Control, Seat, Tick};
use std::path::Path;
use std::sync::OnceLock;

/// The first level that comes with the program, asking for no protective
/// equipment, to be changed at will.
pub(crate) fn level() -> Level {
    static LEVEL: OnceLock<Level> = OnceLock::new();
    LEVEL
        .get_or_init(|| {
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
            let loaded = Library::at(&folder).load("01_first_pressure");
            let mut level = loaded.unwrap_or_else(|problems| panic!("{problems}")).level;
            // Scenes begin with nothing on.
            level.ppe = PpeRules::default();
            level
        })
        .clone()
}

/// Steps that a cell of [`surface`] takes to be clean.
pub(crate) const CLEAN: u8 = STEPS_PER_LAYER;

/// A surface of four cells with one deposit on each.
pub(crate) fn surface() -> Surface {
    Surface {
        corner: [0.0, 0.0, 0.0],
        right: [1.0, 0.0],
        size: [1.0, 1.0],
        cell_m: 0.5,
        tile_m: 0.5,
        grade_pct: 95.0,
        stand_off_m: 0.2,
        coats: vec![Coat {
            deposit: "mud".to_owned(),
            title: Words::default(),
            removal: hydraulics::Removal {
                threshold_pa: 1.0e6,
                dose_s: 1.0,
                exponent: 1.0,
            },
            over: [0.0, 0.0, 1.0, 1.0],
            at_most_bar: 350.0,
        }],
        base: None,
    }
}

/// An attempt that goes as a test says. It begins at rest: engine off, dump
/// open, no nozzle, the tool in the hands with the catch on, barrier closed.
pub(crate) struct Scene<'a> {
    o: Observation,
    eye: Box<dyn FnMut(&Observation) + 'a>,
}

impl<'a> Scene<'a> {
    /// A scene of which only these channels are measured.
    pub fn of(channels: &[Channel], eye: impl FnMut(&Observation) + 'a) -> Self {
        let mut o = Observation::missing_all();
        for channel in channels {
            o.set(*channel, Sample::default());
        }
        let mut scene = Scene {
            o,
            eye: Box::new(eye),
        };
        for (channel, value) in [
            (Channel::DumpLever, 1.0),
            (Channel::DumpOpen, 100.0),
            (Channel::ToolAt, tool_at::HANDS),
            (Channel::SafetyCatch, 1.0),
            (Channel::Barrier, 1.0),
            (Channel::JetToFeet, 5.0),
        ] {
            scene.set(channel, value);
        }
        scene
    }

    /// Sets what a channel measures, where it is measured.
    pub fn set(&mut self, channel: Channel, value: f64) -> &mut Self {
        if self.o.sample(channel).is_some() {
            let whole = (value / channel.declared().1).round() as i32;
            let sample = Sample {
                min: whole,
                mean: whole,
                max: whole,
            };
            self.o.set(channel, sample);
        }
        self
    }

    /// Lets something happen in the next tick.
    pub fn event(&mut self, event: Event) -> &mut Self {
        self.o.events.push(event);
        self
    }

    /// Lets somebody say a word in the next tick.
    pub fn say(&mut self, seat: Seat, call: Call) -> &mut Self {
        self.event(Event::Said { seat, call })
    }

    /// Lets the pump hand move a control in the next tick.
    pub fn moved(&mut self, control: Control, to: u16) -> &mut Self {
        self.event(Event::Moved {
            seat: Seat::PUMP,
            control,
            to,
        })
    }

    /// Lets a cell of the surface come so far in the next tick.
    pub fn step(&mut self, cell: u32, steps: u8) -> &mut Self {
        self.o.steps.push(crate::SurfaceStep { cell, steps });
        self
    }

    /// The pump feeds the line at a pressure.
    pub fn fed(&mut self, bar: f64) -> &mut Self {
        self.set(Channel::EngineRuns, 1.0)
            .set(Channel::DumpLever, 0.0)
            .set(Channel::DumpOpen, 0.0)
            .bar(bar)
    }

    /// The pump feeds the line at a pressure, with a nozzle on.
    pub fn loaded(&mut self, bar: f64) -> &mut Self {
        self.set(Channel::NozzleFitted, 1.0).fed(bar)
    }

    /// The pressure at the pump and at the gun.
    pub fn bar(&mut self, bar: f64) -> &mut Self {
        self.set(Channel::PumpPressure, bar)
            .set(Channel::GunPressure, bar)
            .set(Channel::Gauge, bar)
    }

    /// The dump is opened, and what pressure there was is gone.
    pub fn dumped(&mut self) -> &mut Self {
        self.set(Channel::DumpLever, 1.0)
            .set(Channel::DumpOpen, 100.0)
            .bar(0.0)
            .set(Channel::ToolFlow, 0.0)
            .set(Channel::Thrust, 0.0)
    }

    /// The trigger is squeezed and a jet leaves the nozzle with this thrust.
    pub fn jet(&mut self, thrust_n: f64) -> &mut Self {
        self.set(Channel::SafetyCatch, 0.0)
            .set(Channel::Trigger, 100.0)
            .set(Channel::ToolFlow, 30.0)
            .set(Channel::Thrust, thrust_n)
    }

    /// The trigger is let go and the catch put on.
    pub fn released(&mut self) -> &mut Self {
        self.set(Channel::SafetyCatch, 1.0)
            .set(Channel::Trigger, 0.0)
            .set(Channel::ToolFlow, 0.0)
            .set(Channel::Thrust, 0.0)
    }

    /// Lets time pass, one tick at least.
    pub fn run(&mut self, s: f64) -> &mut Self {
        for _ in 0..Tick::at(s).0.max(1) {
            (self.eye)(&self.o);
            self.o.events.clear();
            self.o.steps.clear();
            self.o.tick.0 += 1;
        }
        self
    }
}
