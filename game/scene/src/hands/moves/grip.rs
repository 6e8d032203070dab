//! The hand that takes hold: of a control, which it turns or pushes, of the
//! tool, of what lies about.

use super::Scene;
use crate::stage::{Eye, point};
use crate::things::{Placed, Thing, work_at_end};
use bevy::math::{Vec3, Vec3Swizzles};
use crew::{Act, Control, Handling, TICKS_PER_SECOND, Task, Tick};
use yard::view::{PersonView, ToolView};

/// Fastest turn of a knob, detents per tick; the yard takes no more.
const DETENTS: i32 = 3;
/// A hand owes at most so many detents of what the wheel has asked for.
const OWED_DETENTS: i32 = 400;
/// Notches of the wheel that follow each other within so many ticks are a quick
/// turn, and a very quick one.
const QUICK_TICKS: u32 = 15;
const VERY_QUICK_TICKS: u32 = 6;
/// Detents that the stick turns at its end, per tick.
const STICK_DETENTS: f32 = 2.0;
/// From one push to the next, ticks: a little more than a push takes.
const PUSH_TICKS: u32 = 33;
/// The take key is held so long for the job to be handed back, and for the tool
/// to be laid on the ground, ticks.
const HAND_BACK_TICKS: u32 = TICKS_PER_SECOND;
const LAY_TICKS: u32 = TICKS_PER_SECOND;
/// The same for equipment to be taken off, ticks.
const OFF_TICKS: u32 = TICKS_PER_SECOND / 2;
/// An emergency stop within this distance is reached for without being looked
/// at, metres along the ground.
const STOP_REACH_M: f32 = 0.8;
/// It has to be in view: this is the cosine of the angle to it.
const STOP_IN_VIEW: f32 = 0.5;
/// From the key to the hand on it, and from there to the hand back, ticks.
const STOP_TICKS: u32 = 36;
const STOP_HELD_TICKS: u32 = 24;
/// How near to its stand the tool is put back into it, metres.
const STAND_M: f32 = 1.0;
/// How near to the board one hands back, metres.
const BOARD_M: f32 = 1.5;

/// What the take key holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Held {
    #[default]
    Nothing,
    Control(Control),
    Hose,
    /// Something that needs the key for a while, since when, and for how long.
    While(Tick, u32, Act),
}

/// The hand.
#[derive(Default)]
pub(super) struct Grip {
    held: Held,
    /// Detents still to be turned.
    owed: i32,
    /// Parts of a detent, and of a notch.
    part: f32,
    notch: f32,
    last_notch: Option<Tick>,
    pushed: Option<Tick>,
    /// The emergency stop is reached for since then.
    strike: Option<Tick>,
    /// How far a slow hold has come.
    share: Option<f32>,
    begun: bool,
}

impl Grip {
    /// How far the key has been held for what needs a while.
    pub fn held_share(&self) -> Option<f32> {
        self.share
    }

    /// Whether a control is in the hand.
    pub fn holds_control(&self, scene: &Scene<'_>) -> bool {
        scene.me.holding.is_some() || matches!(self.held, Held::Control(_))
    }

    /// Whether what is in the hand is turned.
    pub fn turns(&self, scene: &Scene<'_>) -> bool {
        let held = scene.me.holding;
        held.is_some_and(|c| matches!(c.handling(), Handling::Twist { .. }))
    }

    /// The take key is pressed on what is looked at.
    pub fn take(&mut self, at: Option<Placed>, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let (me, tool) = (scene.me, &scene.frame.tool);
        if me.working.is_some() {
            acts.push(Act::LeaveOff);
            return;
        }
        let Some(at) = at else {
            if scene.tool {
                self.held = Held::While(scene.tick, LAY_TICKS, Act::LayDown);
            }
            return;
        };
        match at.thing {
            Thing::Control(control) => {
                self.held = Held::Control(control);
                acts.push(Act::Take(control));
            }
            Thing::Lance => acts.push(Act::TakeUp),
            Thing::Stand => {
                if near_stand(me, tool) {
                    acts.push(Act::LayDown);
                }
            }
            Thing::Nozzle(nozzle) => acts.push(Act::Choose { nozzle }),
            Thing::BoreGauge => acts.push(Act::Begin(Task::GaugeBore)),
            Thing::LanceEnd => acts.push(Act::Begin(work_at_end(tool.nozzle.is_some()))),
            // Nobody takes off by mistake what was put on with the same key.
            Thing::Ppe(item) if me.wears & item.bit() != 0 => {
                let off = Act::Wear { item, on: false };
                self.held = Held::While(scene.tick, OFF_TICKS, off);
            }
            Thing::Ppe(item) => acts.push(Act::Wear { item, on: true }),
            Thing::Hose => {
                self.held = Held::Hose;
                acts.push(Act::TakeHose);
            }
            // They are there to be read.
            Thing::Dials | Thing::LineGauge => {}
            Thing::JobBoard => {
                if near_board(me, &at) {
                    self.held = Held::While(scene.tick, HAND_BACK_TICKS, Act::HandBack);
                }
            }
        }
    }

    /// The take key is let go.
    pub fn let_go(&mut self, acts: &mut Vec<Act>) {
        if matches!(self.held, Held::Control(_) | Held::Hose) {
            acts.push(Act::LetGo);
        }
        self.held = Held::Nothing;
        self.owed = 0;
    }

    /// Lets go of everything.
    pub fn release(&mut self, acts: &mut Vec<Act>) {
        self.let_go(acts);
        if self.strike.take().is_some() {
            acts.push(Act::LetGo);
        }
        (self.part, self.notch) = (0.0, 0.0);
    }

    /// The wheel is turned: it turns or pushes what is in the hand, and nothing
    /// else.
    pub fn wheel(
        &mut self,
        notches: f32,
        coarse: bool,
        fine: bool,
        scene: &Scene<'_>,
        acts: &mut Vec<Act>,
    ) {
        let control = match (self.held, scene.me.holding) {
            (_, Some(control)) | (Held::Control(control), None) => control,
            _ => return,
        };
        if !notches.is_finite() {
            return;
        }
        // Wheels that turn smoothly report parts of a notch.
        if self.notch * notches < 0.0 {
            self.notch = 0.0;
        }
        self.notch += notches.clamp(-50.0, 50.0);
        let whole = self.notch.trunc();
        self.notch -= whole;
        let whole = whole as i32;
        if whole == 0 {
            return;
        }
        match control.handling() {
            Handling::Push { .. } => self.push(whole > 0, scene, acts),
            Handling::Twist { detents } => {
                let since = self.last_notch.map(|at| scene.tick.0.saturating_sub(at.0));
                let quick = match since {
                    _ if fine => 0,
                    _ if coarse => 2,
                    Some(ticks) if ticks <= VERY_QUICK_TICKS => 2,
                    Some(ticks) if ticks <= QUICK_TICKS => 1,
                    _ => 0,
                };
                // A long travel goes in longer steps.
                let gain = match (quick, detents > 200) {
                    (0, _) => 1,
                    (1, true) => 4,
                    (1, false) => 2,
                    (_, true) => 10,
                    (_, false) => 5,
                };
                self.last_notch = Some(scene.tick);
                self.turn(gain * whole);
            }
        }
    }

    fn turn(&mut self, detents: i32) {
        // Whoever turns back does not first finish turning on.
        if self.owed * detents < 0 {
            self.owed = 0;
        }
        self.owed = (self.owed + detents).clamp(-OWED_DETENTS, OWED_DETENTS);
    }

    /// The stick turns what is in the hand.
    pub fn spin(&mut self, by: f32) {
        self.part += by * STICK_DETENTS;
        let whole = self.part.trunc();
        self.part -= whole;
        if whole != 0.0 {
            self.turn(whole as i32);
        }
    }

    /// A button is pressed with a control in the hand: on or back.
    pub fn click(&mut self, on: bool, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let control = match (self.held, scene.me.holding) {
            (_, Some(control)) | (Held::Control(control), None) => control,
            _ => return,
        };
        if let Handling::Push { positions, .. } = control.handling() {
            let at = position(control, scene);
            // What has two positions is pushed to the other one.
            let on = if positions == 2 { on && at == 0 } else { on };
            self.push(on, scene, acts);
        }
    }

    fn push(&mut self, on: bool, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let free = self
            .pushed
            .is_none_or(|at| scene.tick.0.saturating_sub(at.0) >= PUSH_TICKS);
        if free {
            self.pushed = Some(scene.tick);
            acts.push(Act::Push { on });
        }
    }

    /// Reaches for the emergency stop where that is in view and near.
    pub fn strike(&mut self, eye: &Eye, scene: &Scene<'_>) {
        let stop = scene.level.site.control(Control::EmergencyStop);
        let Some(stop) = stop.map(point) else { return };
        let near = (stop - feet(scene.me)).xz().length() <= STOP_REACH_M;
        let seen = (stop - eye.at).normalize_or_zero().dot(eye.forward()) >= STOP_IN_VIEW;
        if near && seen && self.strike.is_none() {
            self.strike = Some(scene.tick);
        }
    }

    fn reach_for_stop(&mut self, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let Some(since) = self.strike else { return };
        let gone = scene.tick.0.saturating_sub(since.0);
        let on_it = scene.me.holding == Some(Control::EmergencyStop);
        if gone == 0 && (self.holds_control(scene) || self.held == Held::Hose) {
            // One hand at a time.
            self.held = Held::Nothing;
            acts.push(Act::LetGo);
        } else if gone == STOP_TICKS {
            acts.push(Act::Take(Control::EmergencyStop));
        } else if gone == STOP_TICKS + 1 && on_it {
            acts.push(Act::Push { on: true });
        } else if gone > STOP_TICKS + STOP_HELD_TICKS {
            self.strike = None;
            if on_it {
                acts.push(Act::LetGo);
            }
        }
    }

    /// Moves it on.
    pub fn tick(&mut self, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let me = scene.me;
        // An attempt that is taken up again may find something in the hand.
        if !self.begun && self.held == Held::Nothing && (me.holding.is_some() || me.holds_hose) {
            acts.push(Act::LetGo);
        }
        self.begun = true;
        self.reach_for_stop(scene, acts);
        self.share = None;
        if let Held::While(since, ticks, act) = self.held {
            let gone = scene.tick.0.saturating_sub(since.0);
            self.share = Some((gone as f32 / ticks as f32).min(1.0));
            if gone >= ticks {
                acts.push(act);
                self.held = Held::Nothing;
            }
        }
        if matches!(self.held, Held::Nothing) {
            self.owed = 0;
        }
        if self.owed != 0 && self.turns(scene) {
            let by = self.owed.clamp(-DETENTS, DETENTS);
            self.owed -= by;
            acts.push(Act::Twist { detents: by as i16 });
        }
    }
}

/// Whether the hands are near enough to the stand to put the tool into it.
pub fn near_stand(me: &PersonView, tool: &ToolView) -> bool {
    (point(me.hands) - point(tool.stand)).xz().length() <= STAND_M
}

/// Whether somebody stands near enough to the board to hand back there.
pub fn near_board(me: &PersonView, board: &Placed) -> bool {
    (feet(me) - board.at).xz().length() <= BOARD_M
}

/// Where a person stands.
fn feet(me: &PersonView) -> Vec3 {
    0.5 * (point(me.feet[0]) + point(me.feet[1]))
}

/// The position that a control has, or is on the way to by less than half.
fn position(control: Control, scene: &Scene<'_>) -> u16 {
    let found = scene.frame.controls.iter().find(|(c, _)| *c == control);
    let share = found.map_or(0.0, |(_, share)| *share);
    (share * f64::from(control.top())).round() as u16
}
