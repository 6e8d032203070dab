//! A hose that parts: one rod becomes two.

use std::collections::VecDeque;

use super::{Rod, RodForces, Scratch, Tip};

impl Rod {
    /// Parts the hose at a node. This rod keeps the part with the start, the returned one is
    /// the part with the end, a lance included; both keep where they are, how they move and
    /// what pulls in them, and the new ends are free as soon as the caller says so with
    /// [`RodEnd::Free`](super::RodEnd::Free). Neither part is shorter than one segment: at the
    /// first node, where a coupling lets go of the hose, a stub of one segment stays behind at
    /// the coupling, and at the end of the hose a stub stays with what is held there. `None`
    /// for a rod of a single segment, which cannot be cut.
    ///
    /// From then on the pressure given to [`Rod::substep`] is that at the place of the cut, for
    /// both: there the pressure falls, and from there the fronts run.
    pub fn part(&mut self, node: usize) -> Option<Self> {
        let segments = self.spec.segments;
        if segments < 2 {
            return None;
        }
        let cut = node.clamp(1, segments - 1);
        let segment_m = self.spec.segment_m();
        let mut spec = self.spec.clone();
        spec.segments = segments - cut;
        spec.length_m = segment_m * spec.segments as f64;
        let mut torn = Self {
            spec,
            tail: self.tail.take(),
            fill: self.fill,
            position: self.position[cut..].to_vec(),
            velocity: self.velocity[cut..].to_vec(),
            tension: self.tension.split_off(cut),
            anchor: self.anchor[cut..].to_vec(),
            pressed: self.pressed[cut..].to_vec(),
            rubbed: self.rubbed[cut..].to_vec(),
            push: self.push[cut..].to_vec(),
            thrust: [0.0, self.thrust[1]],
            pushed_j: 0.0,
            pressed_from: Tip::Start,
            // What comes in at its start from now on is another pressure.
            inlet: VecDeque::new(),
            still_s: 0.0,
            asleep: None,
            forces: RodForces::default(),
            scratch: Scratch::default(),
        };
        // What is pushed just where it parts is pushed once.
        torn.push[0] = glam::DVec3::ZERO;
        self.spec.segments = cut;
        self.spec.length_m = segment_m * cut as f64;
        self.position.truncate(cut + 1);
        self.velocity.truncate(cut + 1);
        self.anchor.truncate(cut + 1);
        self.pressed.truncate(cut + 1);
        self.rubbed.truncate(cut + 1);
        self.push.truncate(cut + 1);
        self.thrust[1] = 0.0;
        self.pressed_from = Tip::End;
        self.wake();
        Some(torn)
    }
}
