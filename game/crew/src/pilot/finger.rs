//! Finger at the trigger and safety catch of somebody with a script.

use crate::person::Person;
use crate::{Act, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// From the safety catch to the trigger, seconds.
const CATCH_S: f64 = 0.15;
/// No hand is quicker from the one to the other, seconds.
const CATCH_LEAST_S: f64 = 0.05;
/// From letting go to the catch, seconds, and the longest it takes.
const CATCH_ON_S: f64 = 0.4;
const CATCH_ON_MAX_S: f64 = 0.8;
/// What was done is felt within this time, seconds; after it what is felt is
/// believed.
const FEEL_S: f64 = 0.8;

/// The finger.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Finger {
    squeezed: bool,
    catch_on: bool,
    /// When finger or catch last moved.
    moved: Tick,
    /// The catch is off and the squeeze follows then.
    taking: Option<Tick>,
    /// The catch goes on then.
    secure_at: Option<Tick>,
    /// Whoever lets go puts the catch on; not where a script has said
    /// otherwise.
    careful: bool,
}

impl Default for Finger {
    fn default() -> Self {
        Finger {
            squeezed: false,
            catch_on: true,
            moved: Tick(0),
            taking: None,
            secure_at: None,
            careful: false,
        }
    }
}

impl Finger {
    /// Whether the trigger is squeezed, as far as one knows.
    pub fn squeezed(&self) -> bool {
        self.squeezed
    }

    /// Whether the trigger is let go and the catch on.
    pub fn safe(&self) -> bool {
        !self.squeezed && self.catch_on
    }

    /// Squeezes, with the catch off first; true once that is done.
    pub fn squeeze(&mut self, me: &mut Person, p: &Percepts, out: &mut Vec<Input>) -> bool {
        self.secure_at = None;
        if self.squeezed {
            return true;
        }
        match self.taking {
            None => {
                if self.catch_on {
                    self.set_catch(false, me, p, out);
                }
                let pause_s = me.pause_s(CATCH_S).max(CATCH_LEAST_S);
                self.taking = Some(p.tick.after(pause_s));
            }
            Some(at) if p.tick >= at => {
                me.does(p.tick, Act::Squeeze { permille: 1000 }, out);
                self.squeezed = true;
                self.moved = p.tick;
                self.taking = None;
            }
            Some(_) => {}
        }
        false
    }

    /// Lets go at once, and leaves the catch as it is.
    pub fn let_go(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        self.taking = None;
        if self.squeezed {
            self.squeezed = false;
            self.moved = p.tick;
            me.does(p.tick, Act::Squeeze { permille: 0 }, out);
        }
    }

    /// Lets go at once; the catch follows.
    pub fn release(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        self.let_go(me, p, out);
        self.careful = true;
    }

    /// Puts the catch on or off and leaves it so.
    pub fn set_catch(&mut self, on: bool, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        self.catch_on = on;
        self.moved = p.tick;
        self.secure_at = None;
        me.does(p.tick, Act::SafetyCatch(on), out);
    }

    /// The catch is put on or off by another hand movement.
    pub fn noted_catch(&mut self, on: bool, p: &Percepts) {
        self.catch_on = on;
        self.moved = p.tick;
    }

    /// The script has said how finger and catch are to be left.
    pub fn leave_so(&mut self) {
        self.careful = false;
        self.secure_at = None;
    }

    /// Looks after the catch, every tick.
    pub fn tend(&mut self, me: &mut Person, p: &Percepts, out: &mut Vec<Input>) {
        if let Some(tool) = p.tool
            && p.tick.since(self.moved) > FEEL_S
        {
            self.catch_on = tool.catch_on;
            self.squeezed = tool.squeeze > 0.5;
        }
        if !self.careful || self.squeezed || self.catch_on || self.taking.is_some() {
            return;
        }
        match self.secure_at {
            None => {
                let pause_s = me.pause_s(CATCH_ON_S).min(CATCH_ON_MAX_S);
                self.secure_at = Some(p.tick.after(pause_s));
            }
            Some(at) if p.tick >= at => self.set_catch(true, me, p, out),
            Some(_) => {}
        }
    }
}
