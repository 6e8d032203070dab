//! The table of channels: everything that is measured of an attempt.
//!
//! A channel has an id, a unit, a quantum and a rate. What the yard computes in
//! floating point is turned into whole quanta in one place ([`Observer`]), and
//! the referee, the mark and the debrief read only those whole numbers, so that
//! a mark is the same on every machine and never needs the yard again.

use crew::Tick;
use serde::{Deserialize, Serialize};

/// How a channel is declared.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChannelSpec {
    /// Stable name; never changed once a recording uses it.
    pub id: String,
    /// Unit of a value, as printed.
    pub unit: String,
    /// Value of one whole step, in the unit.
    pub quantum: f64,
    /// Ticks from one sample to the next.
    pub every: u32,
    /// Whether the least and the greatest value between samples are kept
    /// beside the mean.
    pub spread: bool,
}

macro_rules! channels {
    ($($(#[$doc:meta])* $name:ident = $id:literal [$unit:literal] quantum $q:literal every $every:literal $kind:ident;)*) => {
        /// The channels of this release.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(u8)]
        pub enum Channel { $($(#[$doc])* $name,)* }

        impl Channel {
            /// All channels, in the order of the table.
            pub const ALL: &'static [Channel] = &[$(Channel::$name,)*];

            /// Stable name.
            pub fn id(self) -> &'static str {
                match self { $(Channel::$name => $id,)* }
            }

            /// Unit, quantum, ticks between samples, and whether the spread is kept.
            pub fn declared(self) -> (&'static str, f64, u32, bool) {
                match self { $(Channel::$name => ($unit, $q, $every, channels!(@spread $kind)),)* }
            }
        }
    };
    (@spread spread) => { true };
    (@spread mean) => { false };
    (@spread state) => { false };
}

channels! {
    /// Pressure at the pump's outlet.
    PumpPressure = "pump_pressure" ["bar"] quantum 0.1 every 6 spread;
    /// What the needle of the gauge shows.
    Gauge = "gauge" ["bar"] quantum 1.0 every 6 mean;
    /// Pressure at the inlet of the gun.
    GunPressure = "gun_pressure" ["bar"] quantum 0.1 every 6 spread;
    /// Flow out of the tool.
    ToolFlow = "tool_flow" ["L/min"] quantum 0.05 every 6 spread;
    /// Flow through the bypass regulator.
    BypassFlow = "bypass_flow" ["L/min"] quantum 0.1 every 6 mean;
    /// Thrust of the jet on the tool.
    Thrust = "thrust" ["N"] quantum 0.5 every 6 spread;
    /// Speed of the engine.
    EngineSpeed = "engine_speed" ["rpm"] quantum 1.0 every 6 mean;
    /// Pressure the regulator is set to.
    SetPressure = "set_pressure" ["bar"] quantum 0.5 every 6 mean;
    /// Position of the throttle.
    Throttle = "throttle" ["%"] quantum 0.1 every 6 mean;
    /// Temperature of the water in the supply tank.
    TankTemperature = "tank_temperature" ["C"] quantum 0.1 every 120 mean;
    /// Water that the work took so far: out of the tool and the bleed valve.
    WaterUsed = "water_used" ["L"] quantum 0.1 every 120 mean;
    /// Fuel burnt so far.
    FuelUsed = "fuel_used" ["L"] quantum 0.001 every 120 mean;
    /// The key: 0 off, 1 on, 2 start.
    Key = "key" ["-"] quantum 1.0 every 1 state;
    /// The engine runs under its own power, or still runs down.
    EngineRuns = "engine_runs" ["-"] quantum 1.0 every 1 state;
    /// Lever of the dump valve: 1 asks for open.
    DumpLever = "dump_lever" ["-"] quantum 1.0 every 1 state;
    /// How far the dump valve is open.
    DumpOpen = "dump_open" ["%"] quantum 1.0 every 1 state;
    /// Valve of the water supply: 1 is open.
    SupplyOpen = "supply_open" ["-"] quantum 1.0 every 1 state;
    /// Cock on the pump head: 1 is open.
    AirBleedOpen = "air_bleed_open" ["-"] quantum 1.0 every 1 state;
    /// Bleed valve of the line: 1 is open.
    BleedOpen = "bleed_open" ["-"] quantum 1.0 every 1 state;
    /// Water runs or drips from the bleed valve.
    BleedRuns = "bleed_runs" ["-"] quantum 1.0 every 1 state;
    /// The emergency stop is struck and not yet reset.
    EmergencyStop = "emergency_stop" ["-"] quantum 1.0 every 1 state;
    /// How far the trigger is squeezed.
    Trigger = "trigger" ["%"] quantum 1.0 every 1 state;
    /// A nozzle is on the lance.
    NozzleFitted = "nozzle_fitted" ["-"] quantum 1.0 every 1 state;
    /// The hose is limp.
    HoseLimp = "hose_limp" ["-"] quantum 1.0 every 1 state;
    /// Distance of the pump hand from the dump lever.
    PumpHandToDump = "pump_hand_to_dump" ["m"] quantum 0.01 every 6 mean;
    /// Where the pump hand stands, along x.
    PumpHandX = "pump_hand_x" ["m"] quantum 0.01 every 6 mean;
    /// Where the pump hand stands, along z.
    PumpHandZ = "pump_hand_z" ["m"] quantum 0.01 every 6 mean;
    /// Where the lance hand stands, along x.
    LanceHandX = "lance_hand_x" ["m"] quantum 0.01 every 6 mean;
    /// Where the lance hand stands, along z.
    LanceHandZ = "lance_hand_z" ["m"] quantum 0.01 every 6 mean;
    /// Lean of the lance hand.
    LanceHandLean = "lance_hand_lean" ["deg"] quantum 0.1 every 6 mean;
    /// The lance is braced to the shoulder.
    LanceBraced = "lance_braced" ["%"] quantum 1.0 every 6 mean;
    /// Change of length of the worst segment of the hose.
    HoseStretch = "hose_stretch" ["mm"] quantum 0.01 every 6 spread;
    /// The pump hand lies on the ground.
    PumpHandFallen = "pump_hand_fallen" ["-"] quantum 1.0 every 1 state;
    /// The lance hand lies on the ground.
    LanceHandFallen = "lance_hand_fallen" ["-"] quantum 1.0 every 1 state;
    /// What the pump hand holds: 0 nothing, else a control's number and one.
    PumpHandHolds = "pump_hand_holds" ["-"] quantum 1.0 every 1 state;
    /// What the lance hand holds: 0 nothing, else a control's number and one.
    LanceHandHolds = "lance_hand_holds" ["-"] quantum 1.0 every 1 state;
    /// What the pump hand works at: 0 nothing, else a task's number and one.
    PumpHandWorks = "pump_hand_works" ["-"] quantum 1.0 every 1 state;
    /// What the lance hand works at: 0 nothing, else a task's number and one.
    LanceHandWorks = "lance_hand_works" ["-"] quantum 1.0 every 1 state;
    /// The pump hand is speaking.
    PumpHandSpeaks = "pump_hand_speaks" ["-"] quantum 1.0 every 1 state;
    /// The lance hand is speaking.
    LanceHandSpeaks = "lance_hand_speaks" ["-"] quantum 1.0 every 1 state;
    /// The safety catch of the trigger is on.
    SafetyCatch = "safety_catch" ["-"] quantum 1.0 every 1 state;
    /// Where the tool is: 0 in its stand, 1 in the hands, 2 on the ground.
    ToolAt = "tool_at" ["-"] quantum 1.0 every 1 state;
    /// Distance of the lance hand from the tool, along the ground.
    ToolAway = "tool_away" ["m"] quantum 0.01 every 6 mean;
    /// The trigger is tied.
    TriggerTied = "trigger_tied" ["-"] quantum 1.0 every 1 state;
    /// The nozzle on the lance: 0 none, else its place in the list and one.
    Nozzle = "nozzle" ["-"] quantum 1.0 every 1 state;
    /// From the tip to the surface along the line of the tool; 0 when that
    /// line does not meet the surface.
    StandOff = "stand_off" ["mm"] quantum 1.0 every 6 mean;
    /// Speed of the jet along the surface; 0 without a jet on it.
    TravelSpeed = "travel_speed" ["mm/s"] quantum 1.0 every 6 mean;
    /// Pressure of the jet in the middle of where it meets the surface.
    ImpactPressure = "impact_pressure" ["bar"] quantum 0.5 every 6 spread;
    /// Share of the surface that is clean.
    SurfaceClean = "surface_clean" ["%"] quantum 0.01 every 6 mean;
    /// The person that the tool points at: 0 nobody, else a seat's number and
    /// one.
    PointedAt = "pointed_at" ["-"] quantum 1.0 every 1 state;
    /// Distance from the tip to that person; 0 when it is nobody.
    PointedFrom = "pointed_from" ["m"] quantum 0.01 every 1 state;
    /// Least distance between the line of the jet, as far as it reaches, and
    /// one's own feet.
    JetToFeet = "jet_to_feet" ["m"] quantum 0.01 every 6 spread;
    /// The tool points at something that is to be kept dry.
    PointedAtKeptDry = "pointed_at_kept_dry" ["-"] quantum 1.0 every 1 state;
    /// Speed of the lance hand over the ground.
    LanceHandSpeed = "lance_hand_speed" ["m/s"] quantum 0.01 every 6 mean;
    /// The lance hand holds the hose.
    HoseHeld = "hose_held" ["-"] quantum 1.0 every 1 state;
    /// The gate of the barrier is closed.
    Barrier = "barrier" ["-"] quantum 1.0 every 1 state;
    /// What the pump hand wears, a bit for each piece.
    PumpHandWears = "pump_hand_wears" ["-"] quantum 1.0 every 1 state;
    /// What the lance hand wears, a bit for each piece.
    LanceHandWears = "lance_hand_wears" ["-"] quantum 1.0 every 1 state;
    /// Somebody who has no business there is in the zone.
    Intruder = "intruder" ["-"] quantum 1.0 every 1 state;
    /// The lance hand can see somebody in the zone who has no business there.
    IntruderSeenByLance = "intruder_seen_by_lance" ["-"] quantum 1.0 every 1 state;
    /// The pump hand can see somebody in the zone who has no business there.
    IntruderSeenByPump = "intruder_seen_by_pump" ["-"] quantum 1.0 every 1 state;
    /// Where the watch stands, along x.
    WatchX = "watch_x" ["m"] quantum 0.01 every 6 mean;
    /// Where the watch stands, along z.
    WatchZ = "watch_z" ["m"] quantum 0.01 every 6 mean;
    /// Where the visitor stands, along x.
    VisitorX = "visitor_x" ["m"] quantum 0.01 every 6 mean;
    /// Where the visitor stands, along z.
    VisitorZ = "visitor_z" ["m"] quantum 0.01 every 6 mean;
    /// Noise at the ear of the pump hand, within ear defenders where they are
    /// worn; 0 where it is quieter than that.
    NoiseAtPumpHand = "noise_at_pump_hand" ["dB(A)"] quantum 0.1 every 6 mean;
    /// Noise at the ear of the lance hand, within ear defenders where they are
    /// worn; 0 where it is quieter than that.
    NoiseAtLanceHand = "noise_at_lance_hand" ["dB(A)"] quantum 0.1 every 6 mean;
    /// What the pump hand has had so far of a day's noise.
    NoiseDosePumpHand = "noise_dose_pump_hand" ["%"] quantum 0.01 every 120 mean;
    /// What the lance hand has had so far of a day's noise.
    NoiseDoseLanceHand = "noise_dose_lance_hand" ["%"] quantum 0.01 every 120 mean;
    /// Water that the supply gave so far: all that the pump took and the bypass
    /// did not bring back.
    WaterDrawn = "water_drawn" ["L"] quantum 0.1 every 120 mean;
    /// Water that ran off so far where the work is: out of the tool.
    RunOff = "run_off" ["L"] quantum 0.1 every 120 mean;
    /// Water that ran off so far beside the unit: by dump, bleed valve and
    /// relief, and what the tank does not take back of the bypass.
    RunOffAtUnit = "run_off_at_unit" ["L"] quantum 0.1 every 120 mean;
    /// Water that came back to the tank so far by the bypass.
    WaterReturned = "water_returned" ["L"] quantum 0.1 every 120 mean;
    /// Share of the surface that is damaged under its deposits.
    SurfaceDamaged = "surface_damaged" ["%"] quantum 0.01 every 6 mean;
    /// The suction brings the pump less than it asks for.
    Starved = "starved" ["-"] quantum 1.0 every 1 state;
    /// Pressure at the pump's inlet.
    InletPressure = "inlet_pressure" ["bar"] quantum 0.01 every 6 mean;
    /// Pressure of the oil in the pump's power end.
    OilPressure = "oil_pressure" ["bar"] quantum 0.01 every 60 mean;
    /// Temperature of that oil.
    OilTemperature = "oil_temperature" ["C"] quantum 0.1 every 120 mean;
    /// What the oil has stopped the engine for: 0 nothing, 1 too little pressure, 2 too hot.
    OilTrip = "oil_trip" ["-"] quantum 1.0 every 1 state;
    /// Force on one rod of the pump at the pressure of its outlet.
    RodLoad = "rod_load" ["kN"] quantum 0.1 every 6 spread;
    /// The burst disc has torn.
    DiscBurst = "disc_burst" ["-"] quantum 1.0 every 1 state;
    /// Cock of the outlet to the lance: 1 is open.
    LanceOutlet = "lance_outlet" ["-"] quantum 1.0 every 1 state;
    /// Cock of the outlet to the second tool: 1 is open.
    PedalOutlet = "pedal_outlet" ["-"] quantum 1.0 every 1 state;
    /// How far the pedal of the second tool is pressed.
    Pedal = "pedal" ["%"] quantum 1.0 every 1 state;
    /// Pressure before the valve of the second tool.
    PedalPressure = "pedal_pressure" ["bar"] quantum 0.1 every 6 spread;
    /// Flow out of the second tool.
    PedalFlow = "pedal_flow" ["L/min"] quantum 0.05 every 6 spread;
    /// Whip restraint at the pump's end of the hose: 1 is clipped on both sides of the coupling.
    PumpRestraint = "pump_restraint" ["-"] quantum 1.0 every 1 state;
    /// Whip restraint at the gun's end of the hose: 1 is clipped on both sides of the coupling.
    GunRestraint = "gun_restraint" ["-"] quantum 1.0 every 1 state;
    /// Where the hose has parted: 0 nowhere, 1 at the gun's end, 2 at the pump's end.
    HoseParted = "hose_parted" ["-"] quantum 1.0 every 1 state;
    /// Speed of the loose end of a parted hose, or of a tool that thrashes about.
    HoseEndSpeed = "hose_end_speed" ["m/s"] quantum 0.1 every 6 spread;
    /// Pull in the whip restraint of the coupling that has parted.
    RestraintLoad = "restraint_load" ["kN"] quantum 0.01 every 6 spread;
    /// Friction under the lance hand's feet, as a share of the weight on them.
    Footing = "footing" ["%"] quantum 1.0 every 6 mean;
    /// How the lance hand is hurt: 0 not, 1 bruise, 2 injury, 3 grave.
    LanceHandHurt = "lance_hand_hurt" ["-"] quantum 1.0 every 1 state;
    /// How the pump hand is hurt, as above.
    PumpHandHurt = "pump_hand_hurt" ["-"] quantum 1.0 every 1 state;
    /// How the watch is hurt, as above.
    WatchHurt = "watch_hurt" ["-"] quantum 1.0 every 1 state;
    /// How the visitor is hurt, as above.
    VisitorHurt = "visitor_hurt" ["-"] quantum 1.0 every 1 state;
    /// The hose is bent tighter than it may be.
    HoseKinked = "hose_kinked" ["-"] quantum 1.0 every 1 state;
}

impl Channel {
    /// Place of the channel in the table.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The channel with this name.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|c| c.id() == id)
    }

    /// The channel as it is written into a recording.
    pub fn spec(self) -> ChannelSpec {
        let (unit, quantum, every, spread) = self.declared();
        ChannelSpec {
            id: self.id().to_owned(),
            unit: unit.to_owned(),
            quantum,
            every,
            spread,
        }
    }
}

/// The table of this release, as it is written into a recording.
pub fn table() -> Vec<ChannelSpec> {
    Channel::ALL.iter().map(|c| c.spec()).collect()
}

/// A channel's value over one sample, in whole quanta.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sample {
    /// Least value; equal to the mean where no spread is kept.
    pub min: i32,
    /// Mean value, rounded to the nearest quantum.
    pub mean: i32,
    /// Greatest value; equal to the mean where no spread is kept.
    pub max: i32,
}

/// What the yard measured of one channel within one tick, in the unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Raw {
    /// Least value within the tick.
    pub min: f64,
    /// Mean value over the tick.
    pub mean: f64,
    /// Greatest value within the tick.
    pub max: f64,
}

impl Raw {
    /// A value that does not move within a tick.
    pub fn steady(value: f64) -> Self {
        Raw {
            min: value,
            mean: value,
            max: value,
        }
    }

    /// A state that is on or off.
    pub fn on(state: bool) -> Self {
        Raw::steady(f64::from(u8::from(state)))
    }
}

/// A channel's value is not a number that can be kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotMeasurable {
    /// The channel.
    pub channel: Channel,
    /// The tick.
    pub tick: Tick,
    /// The value that came.
    pub value: f64,
}

/// Gathers what is measured tick by tick and turns it into whole quanta at each
/// channel's own rate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Observer {
    gathered: Vec<Gathered>,
    current: Vec<Sample>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Gathered {
    ticks: u32,
    sum: f64,
    min: f64,
    max: f64,
}

impl Default for Observer {
    fn default() -> Self {
        Observer {
            gathered: vec![Gathered::default(); Channel::ALL.len()],
            current: vec![Sample::default(); Channel::ALL.len()],
        }
    }
}

impl Observer {
    /// The present sample of every channel, in the order of the table.
    pub fn current(&self) -> &[Sample] {
        &self.current
    }

    /// Takes in one tick: the only place where measured values become whole
    /// numbers. `raw` holds one value per channel, in the order of the table.
    ///
    /// # Errors
    /// A value that is not finite, or too large for its quantum, is refused:
    /// what scores is a number or an error.
    pub fn take(&mut self, tick: Tick, raw: &[Raw]) -> Result<&[Sample], NotMeasurable> {
        for (&channel, raw) in Channel::ALL.iter().zip(raw) {
            let (_, quantum, every, spread) = channel.declared();
            let gathered = &mut self.gathered[channel.index()];
            if gathered.ticks == 0 {
                *gathered = Gathered {
                    ticks: 0,
                    sum: 0.0,
                    min: raw.min,
                    max: raw.max,
                };
            }
            gathered.ticks += 1;
            gathered.sum += raw.mean;
            gathered.min = gathered.min.min(raw.min);
            gathered.max = gathered.max.max(raw.max);
            if is_sampled(tick, every) {
                let whole = |value: f64| -> Result<i32, NotMeasurable> {
                    let steps = (value / quantum).round();
                    if steps.is_finite() && steps.abs() <= f64::from(i32::MAX) {
                        Ok(steps as i32)
                    } else {
                        Err(NotMeasurable {
                            channel,
                            tick,
                            value,
                        })
                    }
                };
                let mean = whole(gathered.sum / f64::from(gathered.ticks))?;
                self.current[channel.index()] = if spread {
                    Sample {
                        min: whole(gathered.min)?,
                        mean,
                        max: whole(gathered.max)?,
                    }
                } else {
                    Sample {
                        min: mean,
                        mean,
                        max: mean,
                    }
                };
                gathered.ticks = 0;
            }
        }
        Ok(&self.current)
    }
}

/// Whether a channel with this many ticks between samples has a new sample at
/// the end of `tick`.
pub fn is_sampled(tick: Tick, every: u32) -> bool {
    (tick.0 + 1).is_multiple_of(every.max(1))
}
