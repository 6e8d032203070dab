//! The finger at the trigger. It stays squeezed only as long as it is pressed.

use super::Scene;
use crew::Act;

/// A finger needs 0.14 s for the whole travel of the trigger, thousandths per
/// tick (common practice, no source). Whole steps: what is cut off at each tick
/// would make it slower.
const SQUEEZE_PER_TICK: u16 = 3 * STEP;
/// Travel is told in steps of this, so that a recording stays small.
const STEP: u16 = 20;

/// The finger.
#[derive(Default)]
pub(super) struct Finger {
    pressed: bool,
    drawn: u16,
    /// The yard let go of it (a fall, a catch): it has to be let go here as well
    /// before it squeezes again.
    spent: bool,
    told: Option<u16>,
}

impl Finger {
    /// The button is pressed.
    pub fn press(&mut self, scene: &Scene<'_>) {
        if scene.tool {
            self.pressed = true;
            self.spent = false;
        }
    }

    /// The button is let go.
    pub fn let_go(&mut self) {
        self.pressed = false;
        if self.drawn == 0 {
            self.spent = false;
        }
    }

    /// The trigger of the pad is drawn so far.
    pub fn draw(&mut self, share: f32) {
        let share = if share.is_finite() { share } else { 0.0 };
        let thousandths = (1000.0 * share.clamp(0.0, 1.0)) as u16;
        self.drawn = if thousandths < 3 * STEP {
            0
        } else {
            thousandths
        };
        if self.drawn == 0 {
            self.spent = false;
        }
    }

    /// Lets go, whatever is pressed.
    pub fn release(&mut self) {
        self.pressed = false;
        self.drawn = 0;
    }

    /// Moves it on.
    pub fn tick(&mut self, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let tool = &scene.frame.tool;
        if scene.me.seat != crew::Seat::LANCE {
            return;
        }
        let is = (1000.0 * tool.squeeze).round() as u16;
        if let Some(told) = self.told
            && told > is
        {
            self.spent = true;
        }
        let mut wanted = if self.pressed { 1000 } else { self.drawn };
        if wanted > 0 && scene.tool && tool.catch_on && !self.spent {
            // The catch stops the finger at once, and the finger feels it.
            self.spent = true;
            self.told = Some(0);
            acts.push(Act::Squeeze { permille: 1000 });
            return;
        }
        if self.spent || !scene.tool || scene.me.fallen || scene.me.working.is_some() {
            wanted = 0;
        }
        let next = if wanted > is {
            wanted.min(is + SQUEEZE_PER_TICK)
        } else {
            wanted
        };
        let next = if next == wanted && (next == 0 || next == 1000) {
            next
        } else {
            next / STEP * STEP
        };
        if next != is {
            acts.push(Act::Squeeze { permille: next });
        }
        self.told = Some(next);
    }
}
